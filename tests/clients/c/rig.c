/* A haul rope from a winch over a floating redirect, which hangs in a sling from a tree, and over the edge. */
#include <math.h>

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

    REQUIRE(rmech_rig_solve(rig, &solution, &error) == RMECH_OK);
    rmech_rig_certificate proof;
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
    REQUIRE(part.from.point == edge.point && part.to.point == load.point);
    show("load_share", part.share.metres);
    REQUIRE(rmech_rig_solution_part(solution, &haul, 3, &part, &error) == RMECH_ERR_VALUE);
    rmech_rig_sheave sheave;
    REQUIRE(rmech_rig_solution_sheave(solution, &haul, 0, &sheave, &error) == RMECH_OK);
    show("redirect_turn", sheave.turn.radians);

    /* What can't be is refused, and leaves nothing behind. */
    REQUIRE(rmech_rig_add_rope(rig, "haul", &rope, NULL, 0, &haul, &error) == RMECH_ERR_TEXT);
    rope.length.metres = (double)NAN;
    REQUIRE(rmech_rig_add_rope(rig, "broken", &rope, NULL, 0, &haul, &error) == RMECH_ERR_VALUE);
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
