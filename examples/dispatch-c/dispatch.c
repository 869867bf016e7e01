/* What a dispatch program asks of the library: a table of one line, and the whole operation of a site.
 *
 *     dispatch SITE.json [STUDY.json]
 *     dispatch --bits
 *
 * The study goes to STUDY.json; without it, only its size is told. --bits prints the numbers of the table to the last bit,
 * as the same examples in other languages do.
 *
 * CAUTION. An aid for planning and training by qualified people, never the only limit on a load. Local codes,
 * makers' instructions and the authority having jurisdiction come first.
 */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "rope_mechanics.h"
#include "rope_mechanics_units.h"

/* A failed call ends the program with what the library says of it. */
static void require(int32_t status, const rmech_error *error) {
    if (status != RMECH_OK) {
        fprintf(stderr, "dispatch: %s: %s\n", rmech_status_text(status), error->message);
        exit(EXIT_FAILURE);
    }
}

/* A number as 16 hexadecimal digits. */
static void show(double number) {
    uint64_t bits;
    memcpy(&bits, &number, sizeof bits);
    printf("%016" PRIx64 "\n", bits);
}

/* How a doubled rope hangs between the head and an anchor 18 m below, for some lengths of each strand. */
static void line_table(int as_bits) {
    rmech_error error = RMECH_INIT(rmech_error);
    if (!as_bits) {
        puts("Doubled rope, 52 m out and 18 m down, each strand 72 g/m and 33 kN:");
        puts("  strand length      both strands at the head      at the far anchor       sag");
    }
    for (int i = 0; i <= 5; ++i) {
        rmech_line line = RMECH_INIT(rmech_line);
        rmech_line_state state = RMECH_INIT(rmech_line_state);
        line.span = rmech_m(52.0);
        line.rise = rmech_m(-18.0);
        line.length = rmech_m(54.6 + 0.3 * i);
        line.weight = rmech_n_per_m(2.0 * 0.072 * 9.80665);
        line.stretch.a = rmech_kn(2.0 * 33.0);
        require(rmech_line_solve(&line, &state, &error), &error);
        if (as_bits) {
            show(rmech_in_m(line.length));
            show(rmech_in_n(state.first_tension));
            show(rmech_in_n(state.last_tension));
            show(rmech_in_m(state.sag));
            show(rmech_in_fraction(state.residual));
            continue;
        }
        printf("  %5.2f m %6.1f ft   %6.2f kN %6.0f lbf   %6.2f kN %6.0f lbf   %5.2f m %5.1f ft\n",
               rmech_in_m(line.length), rmech_in_ft(line.length), rmech_in_kn(state.first_tension),
               rmech_in_lbf(state.first_tension), rmech_in_kn(state.last_tension), rmech_in_lbf(state.last_tension),
               rmech_in_m(state.sag), rmech_in_ft(state.sag));
    }
}

/* A whole file, NUL-terminated; the caller frees it. */
static char *read_file(const char *path, size_t *bytes) {
    FILE *file = fopen(path, "rb");
    char *text = NULL;
    size_t used = 0;
    size_t room = 0;
    if (file == NULL) {
        perror(path);
        exit(EXIT_FAILURE);
    }
    for (;;) {
        if (room - used < 4096) {
            char *larger = realloc(text, room + 65536);
            if (larger == NULL) {
                fputs("dispatch: out of memory\n", stderr);
                exit(EXIT_FAILURE);
            }
            text = larger;
            room += 65536;
        }
        size_t got = fread(text + used, 1, room - used - 1, file);
        used += got;
        if (got == 0) {
            break;
        }
    }
    fclose(file);
    text[used] = '\0';
    *bytes = used;
    return text;
}

/* A whole file, written or the program ends. */
static void write_file(const char *path, const char *text, size_t bytes) {
    FILE *file = fopen(path, "wb");
    if (file == NULL || fwrite(text, 1, bytes, file) != bytes || fclose(file) != 0) {
        perror(path);
        exit(EXIT_FAILURE);
    }
}

int main(int argc, char **argv) {
    if (argc == 2 && strcmp(argv[1], "--bits") == 0) {
        line_table(1);
        return EXIT_SUCCESS;
    }
    if (argc != 2 && argc != 3) {
        fputs("usage: dispatch SITE.json [STUDY.json]\n", stderr);
        return EXIT_FAILURE;
    }
    line_table(0);

    rmech_error error = RMECH_INIT(rmech_error);
    size_t bytes = 0;
    char *site = read_file(argv[1], &bytes);

    /* No more than 1000 positions: dispatch doesn't wait longer than that takes. */
    rmech_operation_options options = RMECH_INIT(rmech_operation_options);
    options.most_positions = 1000;
    rmech_operation *operation = NULL;
    require(rmech_operation_create(site, bytes, &options, &operation, &error), &error);
    const char *study = NULL;
    size_t study_bytes = 0;
    require(rmech_operation_json(operation, &study, &study_bytes, &error), &error);
    printf("The study of %s: %zu bytes of JSON", argv[1], study_bytes);
    if (argc == 3) {
        write_file(argv[2], study, study_bytes);
        printf(", written to %s", argv[2]);
    }
    putchar('\n');
    rmech_operation_destroy(operation);
    free(site);
    return EXIT_SUCCESS;
}
