/* The calls of the C interface whose instructions `run` counts: see calls.rs. */
#include <stdio.h>
#include <stdlib.h>

#include "rope_mechanics.h"
#include "rope_mechanics_units.h"

enum { COUNT = 1000 };

#define COUNTED __attribute__((noinline)) static int32_t

COUNTED counted_c_line_solve(const rmech_line *line, rmech_line_state *state) {
    return rmech_line_solve(line, state, NULL);
}

COUNTED counted_c_line_solve_ends(const rmech_line *line, rmech_line_ends *ends) {
    return rmech_line_solve_ends(line, ends, NULL);
}

static rmech_length spans[COUNT], rises[COUNT], lengths[COUNT];
static rmech_line_weight weights[COUNT];
static rmech_stretch stretches[COUNT];
static rmech_line_ends ends[COUNT];

COUNTED counted_c_lines_of_a_thousand(size_t *solved) {
    return rmech_line_solve_many(spans, rises, lengths, weights, stretches, COUNT, ends, solved, NULL);
}

COUNTED counted_c_live_line_ends(const rmech_live_line *line, rmech_live_ends *at_ends) {
    return rmech_live_line_ends(line, at_ends, NULL);
}

COUNTED counted_c_live_line_length(const rmech_live_line *line, rmech_live_length *length) {
    return rmech_live_line_length(line, length, NULL);
}

COUNTED counted_c_live_turn_ratio(const rmech_live_turn *turn, rmech_live_ratio *ratio) {
    return rmech_live_turn_ratio(turn, ratio, NULL);
}

/* From 0 to 1, the same on every run. */
static double share(void) {
    static uint64_t state = 11;
    state = state * 6364136223846793005u + 1442695040888963407u;
    return (double)(state >> 11) / 9007199254740992.0;
}

int main(void) {
    for (int i = 0; i < COUNT; i++) {
        rmech_line line = RMECH_INIT(rmech_line);
        rmech_line_state state = RMECH_INIT(rmech_line_state);
        spans[i] = line.span = rmech_m(10.0 + 200.0 * share());
        rises[i] = line.rise = rmech_m((share() - 0.5) * 3.0 * line.span.metres);
        double part = 0.98 + 0.2 * share() * share() * share();
        double x = line.span.metres, z = line.rise.metres < 0.0 ? -line.rise.metres : line.rise.metres;
        /* Between the chord and both of its legs, from above: near enough. */
        double chord = x > z ? x + 0.41 * z * z / x : z + 0.41 * x * x / z;
        lengths[i] = line.length = rmech_m(part * chord);
        weights[i] = line.weight = rmech_n_per_m(0.3 + 10.0 * share());
        line.stretch.a = rmech_kn(20.0 + 100.0 * share());
        stretches[i] = line.stretch;
        if (counted_c_line_solve(&line, &state) != RMECH_OK || counted_c_line_solve_ends(&line, &ends[i]) != RMECH_OK)
            return EXIT_FAILURE;
        if (state.first_tension.newtons != ends[i].first_tension.newtons)
            return EXIT_FAILURE;
        rmech_live_line live = {(float)line.span.metres, (float)line.rise.metres, (float)line.length.metres,
                                (float)line.weight.newtons_per_metre, (float)line.stretch.a.newtons, 0.0f};
        rmech_live_ends at_ends;
        rmech_live_length length;
        rmech_live_turn turn = {RMECH_TURN_BAR, RMECH_MOTION_HAULING, 0.0f, 0.2f, 2.0f};
        rmech_live_ratio ratio;
        if (counted_c_live_line_ends(&live, &at_ends) != RMECH_OK || counted_c_live_turn_ratio(&turn, &ratio) != RMECH_OK)
            return EXIT_FAILURE;
        /* A tension that some length makes for sure. */
        live.first_n = at_ends.first_n + 100.0f;
        if (counted_c_live_line_length(&live, &length) != RMECH_OK) return EXIT_FAILURE;
    }
    size_t solved = 0;
    return counted_c_lines_of_a_thousand(&solved) == RMECH_OK && solved == COUNT ? EXIT_SUCCESS : EXIT_FAILURE;
}
