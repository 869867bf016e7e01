/* Handles in several threads, as the contract has it: any function in any thread, one handle in one at a time, and 512 kB of
 * stack for each. Every thread finds the same numbers. With a site as JSON, by its path: the study too, stopped from another
 * thread. Run under helgrind and ThreadSanitizer by .ci/run. */
#include <pthread.h>

#include "client.h"

enum { THREADS = 4, ROUNDS = 3 };

static char site[100000];
static size_t site_bytes;
static rmech_rig *handed_on; /* made by one thread, solved by the next */
static pthread_mutex_t turn = PTHREAD_MUTEX_INITIALIZER;
#ifdef NO_LOCK /* a fault on purpose, which both must see */
#define pthread_mutex_lock(of) ((void)(of))
#define pthread_mutex_unlock(of) ((void)(of))
#endif

static rmech_rig *rig_of(double length, rmech_rig_rope_id *rope_id) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_rig *rig = NULL;
    rmech_rig_point_id left, right, load;
    rmech_point at_left = {rmech_m(0.0), rmech_m(0.0), rmech_m(5.0)};
    rmech_point at_right = {rmech_m(30.0), rmech_m(0.0), rmech_m(2.0)};
    rmech_rig_point weight = RMECH_INIT(rmech_rig_point);
    rmech_rig_rope rope = RMECH_INIT(rmech_rig_rope);
    weight.weight = rmech_n(900.0);
    rope.stretch.a = rmech_kn(41.0);
    rope.mass = rmech_kg_per_m(0.09);
    REQUIRE(rmech_rig_create(&rig, &error) == RMECH_OK);
    REQUIRE(rmech_rig_add_fixed(rig, "left", &at_left, &left, &error) == RMECH_OK);
    REQUIRE(rmech_rig_add_fixed(rig, "right", &at_right, &right, &error) == RMECH_OK);
    REQUIRE(rmech_rig_add_point(rig, "load", &weight, &load, &error) == RMECH_OK);
    rope.from = left;
    rope.to = load;
    rope.length = rmech_m(length);
    REQUIRE(rmech_rig_add_rope(rig, "first", &rope, NULL, 0, rope_id, &error) == RMECH_OK);
    rope.from = load;
    rope.to = right;
    rope.length = rmech_m(15.0);
    REQUIRE(rmech_rig_add_rope(rig, "second", &rope, NULL, 0, rope_id, &error) == RMECH_OK);
    return rig;
}

static double tension(const rmech_rig *rig, const rmech_rig_rope_id *rope) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_rig_solution *solution = NULL;
    rmech_rig_part part;
    REQUIRE(rmech_rig_solve(rig, &solution, &error) == RMECH_OK);
    REQUIRE(rmech_rig_solution_part(solution, rope, 0, &part, &error) == RMECH_OK);
    rmech_rig_solution_destroy(solution);
    return part.tension_first.newtons;
}

static void *work(void *of) {
    rmech_error error = RMECH_INIT(rmech_error);
    for (int round = 0; round < ROUNDS; ++round) {
        rmech_rig_rope_id rope;
        rmech_rig *rig = rig_of(17.0, &rope);
        *(double *)of = tension(rig, &rope);
        pthread_mutex_lock(&turn);
        rmech_rig *other = handed_on;
        handed_on = rig;
        pthread_mutex_unlock(&turn);
        rmech_rig_point_id load;
        if (other != NULL) {
            REQUIRE(rmech_rig_find_point(other, "load", &load, &error) == RMECH_OK);
        }
        rmech_rig_destroy(other);
        /* Without a handle. */
        rmech_line line = RMECH_INIT(rmech_line);
        rmech_line_state state = RMECH_INIT(rmech_line_state);
        line.span = rmech_m(52.0);
        line.length = rmech_m(50.0 + round);
        /* Each error is its own. */
        REQUIRE(rmech_line_solve(&line, &state, &error) == RMECH_ERR_VALUE);
        REQUIRE(strcmp(error.field, "stretch.a") == 0);
    }
    return NULL;
}

/* A study in one thread; this one looks on, and stops it. */
static rmech_operation_progress progress;

static void *study(void *of) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_operation_options options = RMECH_INIT(rmech_operation_options);
    rmech_operation *operation = NULL;
    options.progress = &progress;
    *(int32_t *)of = rmech_operation_create(site, site_bytes, &options, &operation, &error);
    rmech_operation_destroy(operation);
    return NULL;
}

int main(int argc, char **argv) {
    pthread_attr_t little;
    pthread_t threads[THREADS];
    double found[THREADS];
    REQUIRE(pthread_attr_init(&little) == 0 && pthread_attr_setstacksize(&little, 512 * 1024) == 0);
    for (int i = 0; i < THREADS; ++i) {
        REQUIRE(pthread_create(&threads[i], &little, work, &found[i]) == 0);
    }
    for (int i = 0; i < THREADS; ++i) {
        REQUIRE(pthread_join(threads[i], NULL) == 0);
    }
    rmech_rig_destroy(handed_on);
    for (int i = 1; i < THREADS; ++i) {
        REQUIRE(found[i] > 0.0 && memcmp(&found[i], &found[0], sizeof found[0]) == 0);
    }
    if (argc > 1) {
        FILE *file = fopen(argv[1], "rb");
        REQUIRE(file != NULL);
        site_bytes = fread(site, 1, sizeof site, file);
        fclose(file);
        int32_t status = -1;
        REQUIRE(pthread_create(&threads[0], &little, study, &status) == 0);
        REQUIRE(pthread_join(threads[0], NULL) == 0);
        REQUIRE(status == RMECH_OK && progress.done == progress.of && progress.of > 0);
        __atomic_store_n(&progress.cancel, 1, __ATOMIC_RELAXED);
        REQUIRE(pthread_create(&threads[0], &little, study, &status) == 0);
        REQUIRE(pthread_join(threads[0], NULL) == 0);
        REQUIRE(status == RMECH_ERR_CANCELLED);
    }
    REQUIRE(pthread_attr_destroy(&little) == 0);
    puts("ok");
    return 0;
}
