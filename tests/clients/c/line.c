/* A line from a frame down to a far anchor: its tension, its shape, and the rope that a tension takes. */
#include <math.h>
#include <stddef.h>

#include "client.h"

#define COUNT 5

int main(void) {
    rmech_line line = RMECH_INIT(rmech_line);
    line.span = rmech_m(70.0);
    line.rise = rmech_m(-45.0);
    line.length = rmech_m(80.25);
    line.weight = rmech_n_per_m(1.667);
    line.stretch.a = rmech_kn(80.0);

    rmech_line_state state = RMECH_INIT(rmech_line_state);
    REQUIRE(rmech_line_solve(&line, &state, NULL) == RMECH_OK);
    REQUIRE(state.struct_size == sizeof state);
    show("horizontal_tension", state.horizontal_tension.newtons);
    show("first_tension", state.first_tension.newtons);
    show("last_tension", state.last_tension.newtons);
    show("first_up", state.first_up.newtons);
    show("last_up", state.last_up.newtons);
    show("sag", state.sag.metres);
    show("lowest_x", state.lowest_x.metres);
    show("lowest_z", state.lowest_z.metres);
    show("stretched_length", state.stretched_length.metres);
    show("residual", state.residual.fraction);
    show("greatest_strain", state.greatest_strain.fraction);
    REQUIRE(state.iterations > 0 && state.residual.fraction < 1e-12);

    rmech_line_ends ends;
    REQUIRE(rmech_line_solve_ends(&line, &ends, NULL) == RMECH_OK);
    REQUIRE(ends.status == RMECH_OK && ends.reserved == 0);
    show("ends_horizontal_tension", ends.horizontal_tension.newtons);
    show("ends_first_tension", ends.first_tension.newtons);
    show("ends_last_tension", ends.last_tension.newtons);
    show("ends_first_up", ends.first_up.newtons);
    show("ends_last_up", ends.last_up.newtons);
    show("ends_residual", ends.residual.fraction);

    /* Many: more than the library hands on at once, one of each kind that can't be solved among them. */
    enum { MANY = 150 };
    rmech_length spans[MANY], rises[MANY], lengths[MANY];
    rmech_line_weight weights[MANY];
    rmech_stretch stretches[MANY];
    rmech_line_ends each[MANY + 1];
    for (int i = 0; i < MANY; i++) {
        spans[i] = rmech_m(70.0);
        rises[i] = rmech_m(-45.0 + 0.5 * i);
        lengths[i] = rmech_m(80.25 + 0.01 * i);
        weights[i] = line.weight;
        stretches[i] = line.stretch;
        stretches[i].b = rmech_kn(i % 10 == 0 ? 50.0 : 0.0);
    }
    lengths[70] = rmech_m(-1.0);
    stretches[71].a = rmech_kn(0.0);
    weights[72] = rmech_n_per_m(0.0);
    lengths[72] = rmech_m(120.0);
    memset(&each[MANY], 7, sizeof each[MANY]);
    rmech_line_ends after = each[MANY];
    size_t solved = 0;
    REQUIRE(rmech_line_solve_many(spans, rises, lengths, weights, stretches, MANY, each, &solved, NULL) == RMECH_OK);
    show("many_solved", (double)solved);
    show("many_first_tension", each[MANY - 1].first_tension.newtons);
    REQUIRE(memcmp(&each[MANY], &after, sizeof after) == 0);
    for (int i = 0; i < MANY; i++) {
        rmech_line one = line;
        one.rise = rises[i];
        one.length = lengths[i];
        one.weight = weights[i];
        one.stretch = stretches[i];
        int32_t alone = rmech_line_solve_ends(&one, &ends, NULL);
        REQUIRE(each[i].status == alone && (alone == RMECH_OK) == (i < 70 || i > 72));
        REQUIRE(alone == RMECH_OK ? memcmp(&each[i], &ends, sizeof ends) == 0
                                  : isnan(each[i].first_tension.newtons) && isnan(each[i].residual.fraction));
    }
    REQUIRE(rmech_line_solve_many(NULL, NULL, NULL, NULL, NULL, 0, NULL, &solved, NULL) == RMECH_OK && solved == 0);
    REQUIRE(rmech_line_solve_many(spans, rises, NULL, weights, stretches, MANY, each, &solved, NULL) ==
            RMECH_ERR_POINTER);
    REQUIRE(rmech_line_solve_many(spans, rises, lengths, weights, stretches, MANY, (rmech_line_ends *)spans, &solved,
                                  NULL) == RMECH_ERR_POINTER);

    rmech_line_point points[COUNT];
    REQUIRE(rmech_line_points(&line, points, COUNT, NULL) == RMECH_OK);
    REQUIRE(!signbit(points[0].x.metres) && !signbit(points[0].z.metres));
    show("middle_x", points[2].x.metres);
    show("middle_z", points[2].z.metres);
    show("middle_tension", points[2].tension.newtons);
    REQUIRE(fabs(points[COUNT - 1].z.metres - line.rise.metres) < 1e-9);

    rmech_force tension = rmech_kn(3.0);
    rmech_length length;
    REQUIRE(rmech_line_length_for_tension(&line, RMECH_LINE_FIRST, &tension, &length, NULL) == RMECH_OK);
    show("length_for_tension", length.metres);
    REQUIRE(rmech_line_length_for_horizontal_tension(&line, &tension, &length, NULL) == RMECH_OK);
    show("length_for_horizontal_tension", length.metres);
    rmech_length sag = rmech_m(2.0);
    REQUIRE(rmech_line_length_for_sag(&line, &sag, &length, NULL) == RMECH_OK);
    show("length_for_sag", length.metres);

    REQUIRE(rmech_catenary_by_sag(&line, &sag, &state, NULL) == RMECH_OK);
    show("catenary_by_sag", state.first_tension.newtons);
    REQUIRE(rmech_catenary_by_horizontal_tension(&line, &tension, &state, NULL) == RMECH_OK);
    show("catenary_by_horizontal_tension", state.length.metres);
    REQUIRE(rmech_catenary_by_end_tension(&line, RMECH_LINE_LAST, RMECH_BRANCH_SLACK, &tension, &state, NULL) ==
            RMECH_OK);
    show("catenary_by_end_tension", state.length.metres);
    line.length = rmech_m(90.0);
    REQUIRE(rmech_catenary_by_length(&line, &state, NULL) == RMECH_OK);
    show("catenary_by_length", state.first_tension.newtons);

    /* A caller built against the first version, whose state ended before the strain. */
    rmech_line_state older = state;
    older.struct_size = (uint32_t)offsetof(rmech_line_state, greatest_strain);
    older.greatest_strain = rmech_fraction(-1.0);
    line.length = rmech_m(80.25);
    REQUIRE(rmech_line_solve(&line, &older, NULL) == RMECH_OK);
    REQUIRE(older.greatest_strain.fraction == -1.0 && older.struct_size < sizeof older);

    /* What can't be: each named, and nothing written. */
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_line_state before = state;
    rmech_length length_before = length;
    line.length = rmech_m(80.0);
    REQUIRE(rmech_catenary_by_length(&line, &state, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "length") == 0);
    tension = rmech_n(1.0);
    REQUIRE(rmech_line_length_for_tension(&line, RMECH_LINE_FIRST, &tension, &length, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "tension") == 0);
    REQUIRE(rmech_line_length_for_tension(&line, 7, &tension, &length, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_catenary_by_end_tension(&line, RMECH_LINE_LAST, 0, &tension, &state, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_line_points(&line, points, 1, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_line_points(&line, NULL, COUNT, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_line_solve(NULL, &state, &error) == RMECH_ERR_POINTER);
    line.weight = rmech_n_per_m((double)NAN);
    REQUIRE(rmech_line_solve(&line, &state, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "weight") == 0);
    line.weight = rmech_n_per_m(0.0);
    line.length = rmech_m(90.0);
    REQUIRE(rmech_line_solve(&line, &state, &error) == RMECH_ERR_GEOMETRY);
    line.struct_size = 3;
    REQUIRE(rmech_line_solve(&line, &state, &error) == RMECH_ERR_STRUCT_SIZE);
    REQUIRE(memcmp(&before, &state, sizeof state) == 0);
    REQUIRE(memcmp(&length_before, &length, sizeof length) == 0);
    return 0;
}
