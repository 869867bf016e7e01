/* A rig put together piece by piece: a haul rope from a winch over a redirect that floats in its sling, and over the
 * edge to the load. Where does the redirect come to rest, and what does the tree feel?
 *
 * CAUTION. An aid for planning and training by qualified people, never the only limit on a load. Local codes,
 * makers' instructions and the authority having jurisdiction come first.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "rope_mechanics.h"
#include "rope_mechanics_units.h"

static rmech_error error = RMECH_INIT(rmech_error);

static void require(int32_t status) {
    if (status != RMECH_OK) {
        fprintf(stderr, "floating_redirect: %s: %s\n", rmech_status_text(status), error.message);
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

static rmech_rig_point_id fixed(rmech_rig *rig, const char *name, double x, double y, double z) {
    rmech_rig_point_id id;
    rmech_point place = at(x, y, z);
    require(rmech_rig_add_fixed(rig, name, &place, &id, &error));
    return id;
}

static rmech_rig_point_id hanging(rmech_rig *rig, const char *name, rmech_force weight) {
    rmech_rig_point_id id;
    rmech_rig_point point = RMECH_INIT(rmech_rig_point);
    point.weight = weight;
    require(rmech_rig_add_point(rig, name, &point, &id, &error));
    return id;
}

int main(void) {
    rmech_rig *rig = NULL;
    rmech_rig_solution *solution = NULL;
    require(rmech_rig_create(&rig, &error));
    rmech_rig_point_id tree = fixed(rig, "tree", 0.0, 3.0, 4.0);
    rmech_rig_point_id winch = fixed(rig, "winch", -8.0, -2.0, 0.5);
    rmech_rig_point_id edge = fixed(rig, "edge", 6.0, 0.0, 0.0);
    rmech_rig_point_id redirect = hanging(rig, "redirect", rmech_n(15.0));
    rmech_rig_point_id load = hanging(rig, "load", rmech_n(2000.0));

    rmech_rig_rope_id sling, haul;
    rmech_rig_rope rope = RMECH_INIT(rmech_rig_rope);
    rope.from = tree;
    rope.to = redirect;
    rope.length = rmech_m(2.0);
    rope.stretch.a = rmech_kn(40.0);
    require(rmech_rig_add_rope(rig, "sling", &rope, NULL, 0, &sling, &error));

    rmech_rig_turn turns[2];
    memset(turns, 0, sizeof turns);
    turns[0].point = redirect;
    turns[0].turn.kind = RMECH_TURN_FRICTIONLESS;
    turns[1].point = edge;
    turns[1].turn.kind = RMECH_TURN_FRICTIONLESS;
    rope.from = winch;
    rope.to = load;
    rope.length = rmech_m(27.0);
    rope.mass = rmech_g_per_m(85.0);
    require(rmech_rig_add_rope(rig, "haul", &rope, turns, 2, &haul, &error));

    require(rmech_rig_solve(rig, &solution, &error));
    rmech_rig_place place;
    rmech_rig_part part;
    rmech_rig_certificate proof;
    require(rmech_rig_solution_point(solution, &redirect, &place, &error));
    printf("the redirect rests at x %.2f m, y %.2f m, z %.2f m\n", rmech_in_m(place.at.x), rmech_in_m(place.at.y),
           rmech_in_m(place.at.z));
    require(rmech_rig_solution_part(solution, &sling, 0, &part, &error));
    printf("the tree feels %.2f kN (%.0f lbf)\n", rmech_in_kn(part.tension_first), rmech_in_lbf(part.tension_first));
    require(rmech_rig_solution_part(solution, &haul, 0, &part, &error));
    printf("the winch holds %.2f kN (%.0f lbf)\n", rmech_in_kn(part.tension_first), rmech_in_lbf(part.tension_first));
    require(rmech_rig_solution_certificate(solution, &proof, &error));
    printf("out of balance by at most %.0e N\n", rmech_in_n(proof.force_residual));
    rmech_rig_solution_destroy(solution);
    rmech_rig_destroy(rig);
    return EXIT_SUCCESS;
}
