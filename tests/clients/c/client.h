/* What the C clients of the tests share. */
#ifndef CLIENT_H
#define CLIENT_H

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "rope_mechanics.h"
#include "rope_mechanics_units.h"

/* Stops the program, and so the test, with the place. */
#define REQUIRE(condition)                                                                                      \
    do {                                                                                                        \
        if (!(condition)) {                                                                                     \
            fprintf(stderr, "%s:%d: %s\n", __FILE__, __LINE__, #condition);                                     \
            exit(1);                                                                                            \
        }                                                                                                       \
    } while (0)

/* Prints a number as the test reads it: its name and its bits. */
static inline void show(const char *name, double value) {
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    printf("%s %016" PRIx64 "\n", name, bits);
}

#endif
