/* The size query of the operation, and what bad input does. The site stands in a file beside the example. */
#include <pthread.h>

#include "client.h"

/* A small site of 60 positions, and one over each of the three corners of its ground on the way. */
static const char SITE[] =
    "{\"title\": \"An invented bank\","
    "\"ground\": [[\"-9 m\", \"0.3 m\"], [\"1.2 m\", \"0 m\"], [\"12 m\", \"-11.3 m\"], [\"27 m\", \"-20.6 "
    "m\"], [\"58 m\", \"-29.8 m\"]],"
    "\"far_anchor\": {\"x\": \"47 m\", \"height\": \"1.1 m\"},"
    "\"load\": {\"patient\": \"82 kg\", \"litter\": \"19 kg\", \"carriage\": \"12 kg\", \"hang\": \"0.9 "
    "m\"},"
    "\"capstan\": {\"at\": [\"-6.4 m\", \"2.2 m\", \"0.7 m\"], \"wraps\": 4},"
    "\"frame\": {\"x\": \"0 m\", \"height\": \"2.8 m\", \"feet\": [[\"1.2 m\", \"1.2 m\", \"0 m\"], [\"1.2 "
    "m\", \"-1.2 m\", \"0 m\"], [\"-1.4 m\", \"0 m\", \"0 m\"]]},"
    "\"track\": {\"rope\": {\"class\": \"12.5 mm nylon\"}, \"on_hand\": \"140 m\", \"knots\": \"1.5 m\", "
    "\"tails\": \"2.5 m\", \"wraps\": \"2.2 m\", \"redirect\": [\"-0.7 m\", \"1 m\", \"0.2 m\"], "
    "\"cell_anchor\": [\"-5.5 m\", \"-1.4 m\", \"0.4 m\"], \"set\": {\"greatest_reading\": \"1.9 kN\"}},"
    "\"haul\": {\"rope\": {\"class\": \"11 mm polyester\"}, \"tackle\": \"1:1\", \"winch\": [\"-7.5 m\", "
    "\"-1.6 m\", \"0.7 m\"]},"
    "\"winch\": {\"table\": {\"points\": [{\"pull\": \"0 N\", \"current\": \"58 A\"}, {\"pull\": \"14 kN\", "
    "\"current\": \"212 A\"}], \"speed\": \"4.2 m/min\", \"rated_pull\": \"8 kN\", \"battery\": "
    "{\"voltage\": \"12.8 V\", \"resistance\": \"7 mohm\", \"leads\": \"4 mohm\", \"charge\": \"85 "
    "Ah\"}}},"
    "\"travel\": {\"positions\": 60}}";

/* Waits for the first position, then stops the study. */
static void *stop(void *at) {
    rmech_operation_progress *progress = at;
    while (__atomic_load_n(&progress->done, __ATOMIC_RELAXED) == 0) {
    }
    __atomic_store_n(&progress->cancel, 1, __ATOMIC_RELAXED);
    return NULL;
}

static void handles(void) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_operation *operation = NULL;
    const char *json = NULL;
    size_t bytes = 0;
    size_t needed = 0;
    size_t length = strlen(SITE);
    /* The text of the handle is the one of the call that fills a buffer. */
    REQUIRE(rmech_operation_create(SITE, length, NULL, &operation, &error) == RMECH_OK);
    REQUIRE(rmech_operation_json(operation, &json, &bytes, &error) == RMECH_OK);
    REQUIRE(strlen(json) == bytes && bytes > 1000);
    char *study = malloc(bytes + 1);
    REQUIRE(study != NULL);
    REQUIRE(rmech_operation_study(SITE, length, study, bytes, &needed, &error) == RMECH_ERR_CAPACITY);
    REQUIRE(needed == bytes + 1);
    REQUIRE(rmech_operation_study(SITE, length, study, needed, &needed, &error) == RMECH_OK);
    REQUIRE(strcmp(study, json) == 0);
    free(study);
    /* What reads a study asks for its format first. */
    uint32_t format = 7;
    REQUIRE(rmech_operation_format(json, bytes, &format, &error) == RMECH_OK && format == 1);
    static const char newer[] = "{\"format\": 2, \"title\": \"An invented bank\", \"version\": \"9.0.0\"}";
    format = 7;
    REQUIRE(rmech_operation_format(newer, strlen(newer), &format, &error) == RMECH_ERR_TEXT && format == 7);
    REQUIRE(strcmp(error.field, "format") == 0);
    REQUIRE(strncmp(error.message, "format 2 is not known; this version reads format 1", 50) == 0);
    REQUIRE(rmech_operation_format("{\"title\": \"A site\"}", 19, &format, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "format") == 0);
    REQUIRE(rmech_operation_format("[]", 2, &format, &error) == RMECH_ERR_TEXT);
    REQUIRE(rmech_operation_format("{", 1, &format, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "study") == 0);
    REQUIRE(rmech_operation_format(NULL, 1, &format, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_format(json, bytes, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_json(NULL, &json, &bytes, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_json(operation, NULL, &bytes, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_json(operation, &json, NULL, &error) == RMECH_ERR_POINTER);
    rmech_operation_destroy(operation);
    rmech_operation_destroy(NULL);

    /* How far it has come. */
    rmech_operation_options options = RMECH_INIT(rmech_operation_options);
    rmech_operation_progress progress = {0};
    options.progress = &progress;
    REQUIRE(rmech_operation_create(SITE, length, &options, &operation, &error) == RMECH_OK);
    REQUIRE(progress.of > 60 && progress.done == progress.of);
    rmech_operation_destroy(operation);
    operation = NULL;

    /* A budget: one position too few is refused, as many as there are is not. */
    uint32_t all = progress.of;
    options.most_positions = all - 1;
    REQUIRE(rmech_operation_create(SITE, length, &options, &operation, &error) == RMECH_ERR_BUDGET);
    REQUIRE(strcmp(error.field, "most_positions") == 0 && operation == NULL);
    REQUIRE(progress.done == 1 && progress.of == all);
    options.most_positions = all;
    REQUIRE(rmech_operation_create(SITE, length, &options, &operation, &error) == RMECH_OK);
    rmech_operation_destroy(operation);
    operation = NULL;

    /* Stopped before it begins, and on the way by another thread. */
    memset(&progress, 0, sizeof progress);
    progress.cancel = 1;
    REQUIRE(rmech_operation_create(SITE, length, &options, &operation, &error) == RMECH_ERR_CANCELLED);
    REQUIRE(strcmp(error.field, "cancel") == 0 && progress.done == 0 && operation == NULL);
    progress.cancel = 0;
    pthread_t thread;
    /* Of so many positions that the other thread comes in time on any machine. */
    char many[4096];
    REQUIRE(strcmp(SITE + length - 4, "60}}") == 0 && length + 8 < sizeof many);
    snprintf(many, sizeof many, "%.*s3000}}", (int)(length - 4), SITE);
    options.most_positions = 0;
    REQUIRE(pthread_create(&thread, NULL, stop, &progress) == 0);
    REQUIRE(rmech_operation_create(many, strlen(many), &options, &operation, &error) == RMECH_ERR_CANCELLED);
    REQUIRE(pthread_join(thread, NULL) == 0);
    REQUIRE(progress.done >= 1 && progress.done < progress.of && progress.of >= 3000 && operation == NULL);

    options.flags = 1;
    REQUIRE(rmech_operation_create(SITE, length, &options, &operation, &error) == RMECH_ERR_ENUMERATOR);
    options.flags = 0;
    options.struct_size -= 4;
    REQUIRE(rmech_operation_create(SITE, length, &options, &operation, &error) == RMECH_ERR_STRUCT_SIZE);
    options.struct_size += 4;
    options.progress = (rmech_operation_progress *)((char *)&progress + 1);
    REQUIRE(rmech_operation_create(SITE, length, &options, &operation, &error) == RMECH_ERR_POINTER);
    REQUIRE(strcmp(error.field, "options.progress") == 0);
    REQUIRE(rmech_operation_create(SITE, length, NULL, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_create(NULL, length, NULL, &operation, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_create(SITE, length - 1, NULL, &operation, &error) == RMECH_ERR_TEXT);
    REQUIRE(operation == NULL);
}

int main(void) {
    rmech_error error = RMECH_INIT(rmech_error);
    size_t needed = 7;
    char study[16] = "untouched";
    const char *not_json = "{";
    const char *unknown = "{\"titel\": \"x\"}";

    REQUIRE(rmech_operation_study(NULL, 3, study, sizeof study, &needed, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_study(not_json, 1, study, sizeof study, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_study(not_json, 1, NULL, 16, &needed, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_study(not_json, 0, study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(rmech_operation_study(not_json, 1, study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(rmech_operation_study("\xff", 1, study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(rmech_operation_study(unknown, strlen(unknown), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "titel") == 0 && strstr(error.message, "titel") != NULL);
    /* A byte order mark is no fault. */
    const char *marked = "\xEF\xBB\xBF{\"titel\": \"x\"}";
    REQUIRE(rmech_operation_study(marked, strlen(marked), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "titel") == 0);
    /* The key at fault, as deep as it stands, a missing one, too. */
    const char *unreadable = "{\"capstan\": {\"at\": [\"1 m\", \"2 m\"], \"wraps\": 5}}";
    REQUIRE(rmech_operation_study(unreadable, strlen(unreadable), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "capstan.at") == 0 && strstr(error.message, "three values") != NULL);
    const char *deep = "{\"ground\": [[\"0 m\", \"0 m\"], [\"1 m\", \"2 lbf\"]]}";
    REQUIRE(rmech_operation_study(deep, strlen(deep), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "ground[1][1]") == 0 && strstr(error.message, "2 lbf") != NULL);
    const char *without = "{\"far_anchor\": {\"x\": \"1 m\"}}";
    REQUIRE(rmech_operation_study(without, strlen(without), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "far_anchor.height") == 0);
    REQUIRE(strstr(error.message, "far_anchor.height is missing: the height of its sheave") != NULL);
    const char *empty = "{\"title\": \"x\"}";
    REQUIRE(rmech_operation_study(empty, strlen(empty), study, sizeof study, &needed, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "ground") == 0 && strstr(error.message, "ground is missing") != NULL);
    REQUIRE(needed == 7 && strcmp(study, "untouched") == 0);
    handles();
    show("done", 1.0);
    return 0;
}
