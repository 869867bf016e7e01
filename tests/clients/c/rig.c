/* A haul rope from a winch over a floating redirect, which hangs in a sling from a tree, and over the edge. */
#include <math.h>
#include <stdlib.h>

#include "client.h"

static rmech_point at(double x, double y, double z) {
    rmech_point p;
    p.x.metres = x;
    p.y.metres = y;
    p.z.metres = z;
    return p;
}

int main(void) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_rig *rig = NULL;
    REQUIRE(rmech_rig_create(&rig, &error) == RMECH_OK);

    rmech_rig_point_id tree, winch, edge, redirect, load;
    rmech_point p = at(0.0, 3.0, 4.0);
    REQUIRE(rmech_rig_add_fixed(rig, "tree", &p, &tree, &error) == RMECH_OK);
    p = at(-8.0, -2.0, 0.5);
    REQUIRE(rmech_rig_add_fixed(rig, "winch", &p, &winch, &error) == RMECH_OK);
    p = at(6.0, 0.0, 0.0);
    REQUIRE(rmech_rig_add_fixed(rig, "edge", &p, &edge, &error) == RMECH_OK);
    rmech_rig_point moving = RMECH_INIT(rmech_rig_point);
    moving.weight.newtons = 15.0;
    REQUIRE(rmech_rig_add_point(rig, "redirect", &moving, &redirect, &error) == RMECH_OK);
    moving.weight.newtons = 2000.0;
    REQUIRE(rmech_rig_add_point(rig, "load", &moving, &load, &error) == RMECH_OK);

    /* Nothing holds the load yet. */
    rmech_rig_solution *solution = NULL;
    REQUIRE(rmech_rig_solve(rig, &solution, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "redirect") == 0 && solution == NULL);

    rmech_rig_rope_id sling, haul;
    rmech_rig_rope rope = RMECH_INIT(rmech_rig_rope);
    rope.from = tree;
    rope.to = redirect;
    rope.length.metres = 2.0;
    rope.stretch.a.newtons = 40e3;
    REQUIRE(rmech_rig_add_rope(rig, "sling", &rope, NULL, 0, &sling, &error) == RMECH_OK);
    rmech_rig_turn turns[2];
    memset(turns, 0, sizeof turns);
    turns[0].point = redirect;
    turns[0].turn.kind = RMECH_TURN_FRICTIONLESS;
    turns[1].point = edge;
    turns[1].turn.kind = RMECH_TURN_FRICTIONLESS;
    rope.from = winch;
    rope.to = load;
    rope.length.metres = 27.0;
    rope.mass.kilograms_per_metre = 0.085;
    REQUIRE(rmech_rig_add_rope(rig, "haul", &rope, turns, 2, &haul, &error) == RMECH_OK);

    /* Too few steps decide nothing; enough give the same solution. */
    REQUIRE(rmech_rig_solve_within(rig, 1, &solution, &error) == RMECH_ERR_BUDGET);
    REQUIRE(strcmp(error.field, "steps") == 0 && solution == NULL);
    rmech_rig_solution *within = NULL;
    REQUIRE(rmech_rig_solve_within(rig, 100000, &within, &error) == RMECH_OK);
    REQUIRE(rmech_rig_solve(rig, &solution, &error) == RMECH_OK);
    rmech_rig_certificate proof, proof_within;
    REQUIRE(rmech_rig_solution_certificate(solution, &proof, &error) == RMECH_OK);
    REQUIRE(rmech_rig_solution_certificate(within, &proof_within, &error) == RMECH_OK);
    REQUIRE(memcmp(&proof, &proof_within, sizeof proof) == 0);
    rmech_rig_solution_destroy(within);
    REQUIRE(rmech_rig_solution_certificate(solution, &proof, &error) == RMECH_OK);
    REQUIRE(proof.force_residual.newtons < 1e-5 && proof.least_stiffness.newtons_per_metre > 0.0);
    show("least_stiffness", proof.least_stiffness.newtons_per_metre);
    rmech_rig_place place;
    REQUIRE(rmech_rig_solution_point(solution, &redirect, &place, &error) == RMECH_OK);
    show("redirect_x", place.at.x.metres);
    show("redirect_z", place.at.z.metres);
    rmech_rig_part part;
    REQUIRE(rmech_rig_solution_part(solution, &haul, 0, &part, &error) == RMECH_OK);
    show("winch_tension", part.tension_first.newtons);
    REQUIRE(rmech_rig_solution_part(solution, &haul, 2, &part, &error) == RMECH_OK);
    REQUIRE(part.from.point == edge.point && part.to.point == load.point && part.from.rig == edge.rig);
    show("load_share", part.share.metres);
    show("load_chord", part.chord.metres);
    show("load_strain", part.strain.fraction);
    REQUIRE(rmech_rig_solution_part(solution, &haul, 3, &part, &error) == RMECH_ERR_VALUE);
    rmech_rig_sheave sheave;
    REQUIRE(rmech_rig_solution_sheave(solution, &haul, 0, &sheave, &error) == RMECH_OK);
    show("redirect_turn", sheave.turn.radians);
    show("redirect_interior", sheave.interior.radians);
    rmech_length length;
    REQUIRE(rmech_rig_solution_length(solution, &haul, &length, &error) == RMECH_OK);
    show("haul_length", length.metres);

    /* Ten centimetres more rope. */
    rmech_rig_change change = RMECH_INIT(rmech_rig_change);
    change.kind = RMECH_CHANGE_LENGTH;
    change.rope = haul;
    change.length.metres = 0.1;
    rmech_rig_response *response = NULL;
    REQUIRE(rmech_rig_respond(solution, &change, &response, &error) == RMECH_OK);
    rmech_rig_point_response moved;
    REQUIRE(rmech_rig_response_point(response, &load, &moved, &error) == RMECH_OK);
    show("load_sinks", moved.moves.z.metres);
    REQUIRE(rmech_rig_response_point(response, &tree, &moved, &error) == RMECH_OK);
    show("tree_reaction", moved.reaction.z.newtons);
    rmech_rig_part_response part_moves;
    REQUIRE(rmech_rig_response_part(response, &haul, 1, &part_moves, &error) == RMECH_OK);
    show("sag_grows", part_moves.sag.metres);
    REQUIRE(rmech_rig_response_part(response, &haul, 3, &part_moves, &error) == RMECH_ERR_VALUE);
    rmech_rig_sheave_response turns_more;
    REQUIRE(rmech_rig_response_sheave(response, &haul, 1, &turns_more, &error) == RMECH_OK);
    show("edge_turns", turns_more.turn.radians);
    REQUIRE(rmech_rig_response_sheave(response, &haul, 2, &turns_more, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_rig_response_length(response, &haul, &length, &error) == RMECH_OK);
    REQUIRE(fabs(length.metres - 0.1) < 1e-12);
    rmech_rig_response *none = NULL;
    change.kind = RMECH_CHANGE_LOAD;
    change.point = tree;
    REQUIRE(rmech_rig_respond(solution, &change, &none, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "tree") == 0 && none == NULL);
    change.kind = 99;
    REQUIRE(rmech_rig_respond(solution, &change, &none, &error) == RMECH_ERR_ENUMERATOR);

    /* Through text and back. */
    size_t needed = 0;
    REQUIRE(rmech_rig_write_json(rig, NULL, 0, &needed, &error) == RMECH_OK && needed > 100);
    char *text = malloc(needed);
    REQUIRE(text != NULL);
    REQUIRE(rmech_rig_write_json(rig, text, needed - 1, &needed, &error) == RMECH_ERR_CAPACITY);
    REQUIRE(rmech_rig_write_json(rig, text, needed, &needed, &error) == RMECH_OK);
    rmech_rig *twin = NULL;
    REQUIRE(rmech_rig_read_json(text, needed - 1, &twin, &error) == RMECH_OK);
    REQUIRE(rmech_rig_read_json(text, needed / 2, &twin, &error) == RMECH_ERR_TEXT);
    free(text);
    rmech_rig_point_id twin_load;
    rmech_rig_rope_id twin_haul;
    REQUIRE(rmech_rig_find_point(twin, "load", &twin_load, &error) == RMECH_OK);
    REQUIRE(rmech_rig_find_point(twin, "nobody", &twin_load, &error) == RMECH_ERR_TEXT);
    REQUIRE(rmech_rig_find_rope(twin, "haul", &twin_haul, &error) == RMECH_OK);
    REQUIRE(twin_load.point == load.point && twin_load.rig != load.rig);
    rmech_rig_solution *twin_solution = NULL;
    REQUIRE(rmech_rig_solve(twin, &twin_solution, &error) == RMECH_OK);
    REQUIRE(rmech_rig_solution_point(twin_solution, &twin_load, &place, &error) == RMECH_OK);
    show("twin_load_z", place.at.z.metres);
    /* One rig's ids are nothing to another. */
    REQUIRE(rmech_rig_solution_point(twin_solution, &load, &place, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_rig_solution_part(twin_solution, &haul, 0, &part, &error) == RMECH_ERR_VALUE);
    rmech_rig_point_id nobody = {0, 0};
    REQUIRE(rmech_rig_solution_point(solution, &nobody, &place, &error) == RMECH_ERR_VALUE);
    rmech_rig_rope crossed = rope;
    crossed.from = twin_load;
    REQUIRE(rmech_rig_add_rope(rig, "crossed", &crossed, NULL, 0, &sling, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "from") == 0);
    REQUIRE(rmech_rig_solution_write_json(solution, NULL, 0, &needed, &error) == RMECH_OK && needed > 500);
    REQUIRE(rmech_rig_response_write_json(response, NULL, 0, &needed, &error) == RMECH_OK && needed > 500);
    rmech_rig_solution_destroy(twin_solution);
    rmech_rig_destroy(twin);
    rmech_rig_response_destroy(response);
    rmech_rig_response_destroy(NULL);

    /* A band: a rope at rest over a bar with a round turn, its tension set at the end where the hand is not. */
    rmech_rig *held = NULL;
    REQUIRE(rmech_rig_create(&held, &error) == RMECH_OK);
    rmech_rig_point_id bar, hand, hung;
    p = at(0.0, 0.0, 0.0);
    REQUIRE(rmech_rig_add_fixed(held, "bar", &p, &bar, &error) == RMECH_OK);
    p = at(-3.0, 0.0, 0.0);
    REQUIRE(rmech_rig_add_fixed(held, "hand", &p, &hand, &error) == RMECH_OK);
    rmech_rig_point weight = RMECH_INIT(rmech_rig_point);
    weight.weight.newtons = 500.0;
    REQUIRE(rmech_rig_add_point(held, "load", &weight, &hung, &error) == RMECH_OK);
    rmech_rig_rope over = RMECH_INIT(rmech_rig_rope);
    over.from = hung;
    over.to = hand;
    over.length.metres = 9.0;
    over.stretch.a.newtons = 40e3;
    rmech_rig_turn round;
    memset(&round, 0, sizeof round);
    round.point = bar;
    round.wraps = 1;
    round.turn.kind = RMECH_TURN_BAR;
    round.turn.friction_raising.fraction = 0.2;
    round.turn.friction_lowering.fraction = 0.1;
    rmech_rig_rope_id rope_id;
    REQUIRE(rmech_rig_add_rope(held, "rope", &over, &round, 1, &rope_id, &error) == RMECH_OK);
    rmech_rig_solution *hauled = NULL, *lowered = NULL;
    REQUIRE(rmech_rig_solve_band_within(held, 1, &hauled, &lowered, &error) == RMECH_ERR_BUDGET);
    REQUIRE(strcmp(error.field, "steps") == 0 && hauled == NULL && lowered == NULL);
    REQUIRE(rmech_rig_solve_band_within(held, 100000, &hauled, &lowered, &error) == RMECH_OK);
    rmech_rig_certificate of_hauled, of_lowered;
    REQUIRE(rmech_rig_solution_certificate(hauled, &of_hauled, &error) == RMECH_OK);
    REQUIRE(rmech_rig_solution_certificate(lowered, &of_lowered, &error) == RMECH_OK);
    rmech_rig_solution_destroy(hauled);
    rmech_rig_solution_destroy(lowered);
    REQUIRE(rmech_rig_solve_band(held, &hauled, &lowered, &error) == RMECH_OK);
    REQUIRE(rmech_rig_solution_certificate(hauled, &proof, &error) == RMECH_OK);
    REQUIRE(memcmp(&of_hauled, &proof, sizeof proof) == 0);
    REQUIRE(rmech_rig_solution_certificate(lowered, &proof, &error) == RMECH_OK);
    REQUIRE(memcmp(&of_lowered, &proof, sizeof proof) == 0);
    REQUIRE(rmech_rig_solution_part(hauled, &rope_id, 1, &part, &error) == RMECH_OK);
    show("band_hauled", part.tension_last.newtons);
    REQUIRE(rmech_rig_solution_part(lowered, &rope_id, 1, &part, &error) == RMECH_OK);
    show("band_lowered", part.tension_last.newtons);
    rmech_rig_solution_destroy(hauled);
    rmech_rig_solution_destroy(lowered);
    rmech_rig_destroy(held);
    held = NULL;
    REQUIRE(rmech_rig_create(&held, &error) == RMECH_OK);
    p = at(0.0, 0.0, 0.0);
    REQUIRE(rmech_rig_add_fixed(held, "bar", &p, &bar, &error) == RMECH_OK);
    p = at(20.0, 0.0, -3.0);
    REQUIRE(rmech_rig_add_fixed(held, "winch", &p, &hand, &error) == RMECH_OK);
    over.flags = RMECH_RIG_ROPE_TENSION;
    over.tension.newtons = 700.0;
    over.from = bar;
    over.to = hand;
    over.mass.kilograms_per_metre = 0.085;
    over.hand = RMECH_END_FIRST;
    over.tension_end = RMECH_END_LAST;
    REQUIRE(rmech_rig_add_rope(held, "rope", &over, NULL, 0, &rope_id, &error) == RMECH_OK);
    REQUIRE(rmech_rig_solve(held, &hauled, &error) == RMECH_OK);
    REQUIRE(rmech_rig_solution_part(hauled, &rope_id, 0, &part, &error) == RMECH_OK);
    REQUIRE(fabs(part.tension_last.newtons - 700.0) < 1e-6 && part.tension_first.newtons > 701.0);
    over.tension_end = 7;
    REQUIRE(rmech_rig_add_rope(held, "odd", &over, NULL, 0, &rope_id, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(strcmp(error.field, "tension_end") == 0);
    rmech_rig_solution_destroy(hauled);
    rmech_rig_destroy(held);

    /* What can't be is refused, and leaves nothing behind. */
    REQUIRE(rmech_rig_add_rope(rig, "haul", &rope, NULL, 0, &haul, &error) == RMECH_ERR_TEXT);
    rope.length.metres = (double)NAN;
    REQUIRE(rmech_rig_add_rope(rig, "broken", &rope, NULL, 0, &haul, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "length") == 0);
    rope.length.metres = 30.0;
    rope.strands = UINT32_MAX;
    REQUIRE(rmech_rig_add_rope(rig, "broken", &rope, NULL, 0, &haul, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "strands") == 0 && error.lowest == 1.0 && error.highest == 1000.0);
    rope.strands = 1;
    rope.stretch.a.newtons = -1.0;
    REQUIRE(rmech_rig_add_rope(rig, "broken", &rope, NULL, 0, &haul, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "stretch.a") == 0);
    rope.stretch.a.newtons = 40e3;
    rope.mass.kilograms_per_metre = (double)NAN;
    REQUIRE(rmech_rig_add_rope(rig, "broken", &rope, NULL, 0, &haul, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "mass") == 0);
    rope.mass.kilograms_per_metre = 0.085;
    rmech_rig_turn rounds[2];
    memset(rounds, 0, sizeof rounds);
    rounds[0].point = rounds[1].point = redirect;
    rounds[0].turn.kind = rounds[1].turn.kind = RMECH_TURN_SHEAVE;
    rounds[0].turn.efficiency = rounds[1].turn.efficiency = rmech_percent(90.0);
    rounds[0].wraps = 99;
    REQUIRE(rmech_rig_add_rope(rig, "broken", &rope, rounds, 1, &haul, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "turns[0].wraps") == 0);
    rounds[1].turn.efficiency = rmech_percent(190.0);
    REQUIRE(rmech_rig_add_rope(rig, "broken", &rope, rounds, 2, &haul, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "turns[1].turn.efficiency") == 0);
    rmech_rig_point odd = RMECH_INIT(rmech_rig_point);
    odd.force.y.newtons = (double)INFINITY;
    REQUIRE(rmech_rig_add_point(rig, "odd", &odd, &load, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "force.y") == 0);
    odd.force.y.newtons = 0.0;
    odd.hold = RMECH_HOLD_PLANE;
    odd.direction[2].fraction = (double)NAN;
    REQUIRE(rmech_rig_add_point(rig, "odd", &odd, &load, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "direction[2]") == 0);
    REQUIRE(strcmp(error.message, "direction[2] is NaN, but must be finite") == 0);
    odd.direction[2].fraction = 1.0;
    odd.through.y = rmech_m(1e300);
    REQUIRE(rmech_rig_add_point(rig, "odd", &odd, &load, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "through.y") == 0);
    odd.through.y = rmech_m(0.0);
    rmech_rig_rope heavy = rope;
    heavy.mass = rmech_kg_per_m(1e30);
    REQUIRE(rmech_rig_add_rope(rig, "heavy", &heavy, NULL, 0, &haul, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "mass") == 0 && error.value >= 1e30);
    /* A name goes into messages as it is: none with a control character, from JSON neither. */
    odd.direction[2].fraction = 1.0;
    REQUIRE(rmech_rig_add_point(rig, "bell\a", &odd, &load, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "name") == 0 && strchr(error.message, '\a') == NULL);
    REQUIRE(rmech_rig_add_fixed(rig, "two\nlines", &p, &load, &error) == RMECH_ERR_TEXT);
    rope.to = rope.from;
    REQUIRE(rmech_rig_add_rope(rig, "escape \x1b[2J", &rope, NULL, 0, &haul, &error) == RMECH_ERR_TEXT);
    rmech_rig *read = NULL;
    const char *hidden = "{\"points\": [{\"name\": \"a\\u0000b\", \"at\": [\"0 m\", \"0 m\", \"0 m\"], \"fixed\": true}],"
                         " \"ropes\": []}";
    REQUIRE(rmech_rig_read_json(hidden, strlen(hidden), &read, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "points[0].name") == 0 && read == NULL);
    const char *in_lbf = "{\"points\": [{\"name\": \"a\", \"at\": [\"0 m\", \"0 lbf\", \"0 m\"]}], \"ropes\": []}";
    REQUIRE(rmech_rig_read_json(in_lbf, strlen(in_lbf), &read, &error) == RMECH_ERR_TEXT);
    REQUIRE(strcmp(error.field, "points[0].at[1]") == 0);
    const char *short_rope = "{\"points\": [{\"name\": \"a\", \"at\": [\"0 m\", \"0 m\", \"0 m\"], \"fixed\": true},"
                             "{\"name\": \"b\"}], \"ropes\": [{\"name\": \"r\", \"from\": \"a\", \"to\": \"b\","
                             " \"length\": \"-5 m\", \"stretch\": \"40 kN\"}]}";
    REQUIRE(rmech_rig_read_json(short_rope, strlen(short_rope), &read, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "ropes[0].length") == 0 && error.value >= -5.0 && error.value <= -5.0);
    const char *marked = "\xEF\xBB\xBF{\"points\": [], \"ropes\": []}";
    REQUIRE(rmech_rig_read_json(marked, strlen(marked), &read, &error) == RMECH_OK);
    rmech_rig_destroy(read);
    rope.to.point = 99;
    REQUIRE(rmech_rig_add_rope(rig, "lost", &rope, NULL, 0, &haul, &error) == RMECH_ERR_VALUE);
    moving.hold = 77;
    REQUIRE(rmech_rig_add_point(rig, "odd", &moving, &load, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_rig_add_point(rig, NULL, &moving, &load, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_rig_solve(NULL, &solution, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_rig_solution_point(solution, NULL, &place, NULL) == RMECH_ERR_POINTER);

    /* The solution outlives its rig. */
    rmech_rig_destroy(rig);
    REQUIRE(rmech_rig_solution_point(solution, &load, &place, &error) == RMECH_OK);
    rmech_rig_solution_destroy(solution);
    rmech_rig_destroy(NULL);
    rmech_rig_solution_destroy(NULL);
    return 0;
}
