/* A controller that tensions a doubled track rope to a set reading of its load cell, and stops at a limit.
 *
 * CAUTION. An example of an aid. Not a safety function, and never the only limit on a load: a controller that moves a
 * person is judged by the standards for such machines. A winch built for pulling may be barred by its own standard from
 * lifting people. A doubled track rope on one sheave has no redundancy. Makers' instructions, local codes and the
 * authority having jurisdiction come first.
 *
 * It takes nothing from a heap or an operating system. The start computes in double precision, once; a step solves one line
 * in single precision and needs no double at all.
 */
#ifndef CONTROLLER_H
#define CONTROLLER_H

#include <stdint.h>

#include "rope_mechanics.h"

typedef enum {
    ORDER_RUN = 1,
    ORDER_REACHED = 2,    /* The cell shows what was asked for. */
    ORDER_LIMIT = 3,      /* A limit that nothing may delay. */
    ORDER_UNEXPECTED = 4, /* The cell and the rope taken in don't belong together: a snag, an anchor that creeps. */
    ORDER_FAULT = 5       /* No reading, an old one, or a call that failed. */
} controller_order;

typedef struct {
    rmech_doubled_track rope; /* from the capstan to the anchor behind the cell */
    rmech_line line;          /* both strands between head and far sheave as one; its length is that of each at the start */
    rmech_force wanted;       /* stop at this reading */
    rmech_force limit;        /* never above this */
    rmech_ratio doubt;        /* of the stiffness and the cell, each way */
    rmech_time longest_gap;   /* between two readings */
} controller_settings;

typedef struct {
    uint32_t at_ms; /* a clock that may run over */
    float cell_n;
    float taken_in_m; /* by the capstan since the start */
} controller_reading;

typedef struct {
    rmech_live_line line; /* at the start */
    float cell_by_strands; /* what the cell shows, by the pull of both strands at the head: the sheaves' doing */
    float wanted_n, limit_n, doubt;
    float expected_low_n, expected_high_n; /* of the cell, at the last reading */
    uint32_t last_ms, longest_gap_ms;
    controller_order order;
} controller;

/* How much rope the capstan will take in until the cell shows what is wanted. The next reading belongs to the time `at_ms`. */
int32_t controller_start(controller *it, const controller_settings *settings, uint32_t at_ms, rmech_length *to_take_in,
                         rmech_error *error);

/* What the winch shall do after this reading. An order to stop stands until the next start. */
controller_order controller_step(controller *it, const controller_reading *reading);

#endif
