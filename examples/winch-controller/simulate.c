/* The controller with a simulated winch, line and cell: six runs, of which one reaches its reading and five must stop.
 * Rope, sheaves and cell of the simulation are not those that the controller believes in. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "controller.h"
#include "rope_mechanics_units.h"

/* The clock runs over while the winch hauls. */
#define CLOCK_MS (UINT32_MAX - 5000u)

enum { GOOD, SNAG, CREEP, UNPLUGGED, STRUCK, LATE };

static const char *const NAMES[] = {"all goes well",         "the far sheave snags",     "the far anchor creeps",
                                    "the cell is unplugged", "a tree falls on the line", "a reading comes late"};
static const controller_order MUST[] = {ORDER_REACHED,    ORDER_UNEXPECTED, ORDER_UNEXPECTED,
                                        ORDER_UNEXPECTED, ORDER_LIMIT,      ORDER_FAULT};

static void require(int32_t status, const rmech_error *error) {
    if (status != RMECH_OK) {
        fprintf(stderr, "winch-controller: %s: %s %g\n", rmech_status_text(status), error->field, error->value);
        exit(EXIT_FAILURE);
    }
}

static rmech_point at(double x, double y, double z) {
    rmech_point point;
    point.x = rmech_m(x);
    point.y = rmech_m(y);
    point.z = rmech_m(z);
    return point;
}

static rmech_turn sheave(double percent) {
    rmech_turn turn;
    memset(&turn, 0, sizeof turn);
    turn.kind = RMECH_TURN_SHEAVE;
    turn.efficiency = rmech_percent(percent);
    return turn;
}

static controller_settings rig(double stiffness_kn, double efficiency) {
    controller_settings rig;
    rmech_doubled_track rope = RMECH_INIT(rmech_doubled_track);
    rmech_line line = RMECH_INIT(rmech_line);
    rope.capstan = at(-5.2, 1.4, 0.8);
    rope.redirect = at(-0.8, 0.9, 0.3);
    rope.head = at(0.0, 0.0, 2.6);
    rope.far_sheave = at(53.0, 0.0, -27.5);
    rope.anchor = at(-4.9, -1.6, 0.5);
    rope.redirect_turn = rope.frame_turn = rope.far_turn = sheave(efficiency);
    line.span = rmech_m(53.0);
    line.rise = rmech_m(-30.1);
    line.length = rmech_m(61.6);
    line.weight.newtons_per_metre = 2.0 * 1.05; /* two strands */
    line.stretch.a = rmech_kn(2.0 * stiffness_kn);
    memset(&rig, 0, sizeof rig);
    rig.rope = rope;
    rig.line = line;
    rig.wanted = rmech_kn(1.7);
    rig.limit = rmech_kn(2.3);
    rig.doubt = rmech_percent(35.0);
    rig.longest_gap = rmech_s(0.35);
    return rig;
}

/* What the cell of the simulated rig shows. */
static double cell_n(const controller_settings *real, double taken_in_m, double seconds, int what) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_line line = real->line;
    rmech_line_state state = RMECH_INIT(rmech_line_state);
    rmech_track_tensions tensions = RMECH_INIT(rmech_track_tensions);
    double length = line.length.metres - 0.5 * taken_in_m;
    if (what == SNAG && taken_in_m > 0.8) {
        length -= 0.5 * (taken_in_m - 0.8); /* one strand only comes in */
    }
    if (what == CREEP && taken_in_m > 0.9) {
        length += 0.45 * (taken_in_m - 0.9);
    }
    line.length = rmech_m(length);
    require(rmech_line_solve(&line, &state, &error), &error);
    require(rmech_doubled_track_tensions(&real->rope, RMECH_TRACK_KNOWN_STRANDS_AT_HEAD, &state.first_tension,
                                         RMECH_MOTION_HAULING, &tensions, &error),
            &error);
    if (what == UNPLUGGED && seconds > 6.0) {
        return 0.0;
    }
    if (what == STRUCK && seconds > 31.0) {
        return 2900.0;
    }
    /* Ripple of the winch, of one part in a hundred. */
    return tensions.cell.high.newtons * (1.0 + 0.01 * sin(7.0 * seconds));
}

static controller_order run(int what) {
    controller_settings believed = rig(55.0, 90.0), real = rig(60.0, 88.0);
    controller it;
    controller_order order = ORDER_RUN;
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_length to_take_in;
    double taken_in = 0.0, seconds = 0.0, speed = 0.08, cell = 0.0;
    require(controller_start(&it, &believed, CLOCK_MS, &to_take_in, &error), &error);
    while (order == ORDER_RUN && seconds < 120.0) {
        controller_reading reading;
        seconds += what == LATE && seconds > 9.0 ? 0.6 : 0.1;
        taken_in += 0.1 * speed;
        cell = cell_n(&real, taken_in, seconds, what);
        reading.at_ms = CLOCK_MS + (uint32_t)(1000.0 * seconds + 0.5);
        reading.cell_n = (float)cell;
        reading.taken_in_m = (float)taken_in;
        order = controller_step(&it, &reading);
    }
    printf("%-24s  order %d after %5.1f s: %.2f m (%.1f ft) in, expected %.2f m; the cell shows %.0f N (%.0f lbf), "
           "expected %.0f to %.0f N\n",
           NAMES[what], (int)order, seconds, taken_in, taken_in / 0.3048, to_take_in.metres, cell,
           cell / 4.4482216152605, (double)it.expected_low_n, (double)it.expected_high_n);
    return order;
}

int main(void) {
    int what, wrong = 0;
    puts("CAUTION: an example of an aid, not a safety function, and never the only limit on a load.");
    for (what = GOOD; what <= LATE; what++) {
        wrong += run(what) != MUST[what];
    }
    if (wrong != 0) {
        fprintf(stderr, "winch-controller: %d runs did not end as they must\n", wrong);
    }
    return wrong == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
