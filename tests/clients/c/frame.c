/* A hobbled tripod, a guyed bipod with its guys on the right and on the wrong side, and what bad input does. */
#include <math.h>

#include "client.h"

static rmech_point at(double x, double y, double z) {
    rmech_point point = {rmech_m(x), rmech_m(y), rmech_m(z)};
    return point;
}

static rmech_leg foot(double x, double y, double z) {
    rmech_leg leg;
    memset(&leg, 0, sizeof leg);
    leg.foot = at(x, y, z);
    return leg;
}

static rmech_at_head towards(double x, double y, double z, double newtons) {
    rmech_at_head rope;
    memset(&rope, 0, sizeof rope);
    rope.kind = RMECH_AT_HEAD_TOWARDS;
    rope.point = at(x, y, z);
    rope.tension = rmech_n(newtons);
    return rope;
}

static rmech_at_head along(double x, double y, double z, double newtons) {
    rmech_at_head rope;
    memset(&rope, 0, sizeof rope);
    rope.kind = RMECH_AT_HEAD_ALONG;
    rope.direction.x = rmech_fraction(x);
    rope.direction.y = rmech_fraction(y);
    rope.direction.z = rmech_fraction(z);
    rope.tension = rmech_n(newtons);
    return rope;
}

static void tripod(void) {
    rmech_leg legs[3];
    rmech_hobble hobbles[3] = {{0, 1}, {1, 2}, {2, 0}};
    rmech_at_head down = along(0.0, 0.0, -1.0, 5000.0);
    rmech_frame frame = RMECH_INIT(rmech_frame);
    rmech_frame_forces forces = RMECH_INIT(rmech_frame_forces);
    rmech_stability stability = RMECH_INIT(rmech_stability);
    rmech_cone_edge edge = RMECH_INIT(rmech_cone_edge);
    rmech_leg_forces in_legs[3];
    rmech_force in_hobbles[3];
    rmech_angle azimuth = rmech_deg(180.0);
    rmech_force size = rmech_n(5000.0);
    legs[0] = foot(1.2, 0.0, 0.0);
    legs[1] = foot(-0.6, 1.04, 0.0);
    legs[2] = foot(-0.6, -1.04, 0.0);
    frame.head = at(0.0, 0.0, 2.5);
    frame.legs = legs;
    frame.leg_count = 3;
    frame.hobbles = hobbles;
    frame.hobble_count = 3;
    REQUIRE(rmech_frame_solve(&frame, &down, 1, &forces, in_legs, NULL, in_hobbles, NULL) == RMECH_OK);
    REQUIRE(forces.sharing == RMECH_SHARING_STATICS && forces.residual <= 1e-12);
    show("tripod_leg", in_legs[0].compression.newtons);
    show("tripod_hobble", in_hobbles[1].newtons);
    REQUIRE(rmech_frame_stability(&frame, &forces.resultant, &stability, NULL) == RMECH_OK);
    REQUIRE(stability.known == (RMECH_STABILITY_LEVER | RMECH_STABILITY_LATERAL | RMECH_STABILITY_TIP_LIMIT));
    REQUIRE(stability.edge_from == RMECH_FRAME_PART_LEG && stability.edge_to == RMECH_FRAME_PART_LEG);
    show("tripod_limit", stability.tip_limit.fraction);
    show("tripod_lever", stability.lever.metres);
    REQUIRE(rmech_frame_cone_edge(&frame, &azimuth, &size, &edge, NULL) == RMECH_OK);
    REQUIRE(edge.stands == 1 && edge.bears == 1);
    show("tripod_tilt", edge.stands_to.radians);

    rmech_length thick = rmech_mm(60.0), thin = rmech_mm(40.0);
    rmech_ratio share;
    rmech_error error = RMECH_INIT(rmech_error);
    REQUIRE(rmech_frame_pole_share(&frame, &thick, &share, &error) == RMECH_OK);
    show("pole_share", share.fraction);
    REQUIRE(rmech_frame_pole_share(&frame, &thin, &share, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strstr(error.message, "at most 2.4 m") != NULL);
    REQUIRE(rmech_frame_pole_share(&frame, NULL, &share, &error) == RMECH_ERR_POINTER);

    /* Higher with the same feet, then so far out that it falls. */
    rmech_point heads[3] = {at(0.0, 0.0, 2.0), at(0.0, 0.0, 3.0), at(2.0, 0.0, 2.0)};
    rmech_at_head slope = towards(1.0, 0.0, -40.0, 5000.0);
    rmech_frame_at_head at_heads[3];
    rmech_leg_forces legs_at_heads[9];
    REQUIRE(rmech_frame_at_heads(&frame, heads, 3, &slope, 1, at_heads, legs_at_heads, &error) == RMECH_OK);
    REQUIRE(at_heads[0].status == RMECH_OK && at_heads[1].status == RMECH_OK);
    REQUIRE(at_heads[2].status == RMECH_ERR_GEOMETRY && legs_at_heads[6].compression.newtons == 0.0);
    show("low_limit", at_heads[0].tip_limit.fraction);
    show("high_limit", at_heads[1].tip_limit.fraction);
    show("high_margin", at_heads[1].margin.radians);
    show("low_leg", legs_at_heads[1].compression.newtons);
    show("high_leg", legs_at_heads[3].compression.newtons);
    REQUIRE(rmech_frame_at_heads(&frame, heads, 3, &slope, 1, at_heads, NULL, &error) == RMECH_OK);
    REQUIRE(rmech_frame_at_heads(&frame, heads, 3, &slope, 1, NULL, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_frame_at_heads(&frame, NULL, 3, &slope, 1, at_heads, NULL, &error) == RMECH_ERR_POINTER);
    /* Outputs over inputs that are still read. */
    union {
        rmech_point heads[9];
        rmech_frame_at_head at[3];
        rmech_leg_forces legs[9];
        rmech_at_head slope;
    } one;
    memset(&one, 0, sizeof one);
    REQUIRE(rmech_frame_at_heads(&frame, one.heads, 3, &slope, 1, one.at, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(strcmp(error.field, "at_heads") == 0 && strstr(error.message, "overlaps heads") != NULL);
    REQUIRE(rmech_frame_at_heads(&frame, one.heads + 1, 1, &slope, 1, at_heads, one.legs, &error) == RMECH_ERR_POINTER);
    one.slope = slope;
    REQUIRE(rmech_frame_at_heads(&frame, heads, 1, &one.slope, 1, one.at, NULL, &error) == RMECH_ERR_POINTER);
    slope.kind = 7;
    REQUIRE(rmech_frame_at_heads(&frame, heads, 3, &slope, 1, at_heads, NULL, &error) == RMECH_ERR_ENUMERATOR);
}

int main(void) {
    rmech_leg legs[9];
    rmech_guy front[2], rear[2];
    rmech_at_head ropes[4];
    rmech_point head = at(0.0, 0.0, 3.0);
    rmech_force3 resultant;
    rmech_frame frame = RMECH_INIT(rmech_frame);
    rmech_frame_forces forces = RMECH_INIT(rmech_frame_forces), before;
    rmech_frame_fall fall = RMECH_INIT(rmech_frame_fall);
    rmech_leg_forces in_legs[2];
    rmech_guy_forces in_guys[2];
    rmech_error error = RMECH_INIT(rmech_error);
    int i;

    tripod();

    ropes[0] = along(0.7108, 0.0, -0.7034, 4683.0);
    ropes[1] = along(0.7108, 0.0, -0.7034, 1362.8);
    ropes[2] = towards(-6.0, 0.0, 0.8, 4683.0);
    ropes[3] = towards(-5.0, 0.0, 0.5, 1362.8);
    REQUIRE(rmech_head_resultant(&head, ropes, 4, &resultant, NULL) == RMECH_OK);
    show("resultant_x", resultant.x.newtons);
    show("resultant_z", resultant.z.newtons);

    for (i = 0; i < 9; i++) {
        legs[i] = foot(0.0, i == 0 ? 1.2 : -1.2, 0.0);
    }
    memset(front, 0, sizeof front);
    memset(rear, 0, sizeof rear);
    front[0].anchor = at(3.0, 1.5, -2.0);
    front[1].anchor = at(3.0, -1.5, -2.0);
    front[1].strength = rmech_kn(20.0);
    rear[0].anchor = at(-3.0, 1.5, -2.0);
    rear[1].anchor = at(-3.0, -1.5, -2.0);
    frame.head = head;
    frame.legs = legs;
    frame.leg_count = 2;
    frame.guys = front;
    frame.guy_count = 2;
    REQUIRE(rmech_frame_solve(&frame, ropes, 4, &forces, in_legs, in_guys, NULL, NULL) == RMECH_OK);
    REQUIRE(forces.sharing == RMECH_SHARING_ASSUMED);
    show("bipod_leg", in_legs[0].compression.newtons);
    show("bipod_guy", in_guys[0].tension.newtons);
    show("bipod_factor", in_guys[1].factor.fraction);
    show("bipod_friction", in_legs[1].friction_needed.fraction);
    REQUIRE(rmech_frame_falls(&frame, ropes, 4, &fall, NULL) == RMECH_OK && fall.falls == 0);

    /* Failures leave what they would have written. */
    before = forces;
    frame.guys = rear;
    REQUIRE(rmech_frame_solve(&frame, ropes, 4, &forces, in_legs, in_guys, NULL, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strstr(error.message, "wrong side") != NULL);
    REQUIRE(rmech_frame_falls(&frame, ropes, 4, &fall, NULL) == RMECH_OK);
    REQUIRE(fall.falls == 1 && fall.wrong_guys == 3 && fall.side_known == 1);
    show("missing", fall.missing.x.newtons);
    frame.leg_count = 9;
    REQUIRE(rmech_frame_solve(&frame, ropes, 4, &forces, in_legs, in_guys, NULL, &error) == RMECH_ERR_CAPACITY);
    REQUIRE(strcmp(error.field, "leg_count") == 0);
    frame.leg_count = 0;
    REQUIRE(rmech_frame_solve(&frame, ropes, 4, &forces, in_legs, in_guys, NULL, &error) == RMECH_ERR_VALUE);
    frame.leg_count = 2;
    REQUIRE(rmech_frame_solve(&frame, ropes, 0, &forces, in_legs, in_guys, NULL, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_frame_solve(&frame, NULL, 4, &forces, in_legs, in_guys, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_frame_solve(&frame, ropes, 4, &forces, in_legs, NULL, NULL, &error) == RMECH_ERR_POINTER);
    ropes[1].kind = 7;
    REQUIRE(rmech_frame_solve(&frame, ropes, 4, &forces, in_legs, in_guys, NULL, &error) == RMECH_ERR_ENUMERATOR);
    ropes[1] = towards(0.0, 0.0, 3.0, 10.0);
    REQUIRE(rmech_head_resultant(&head, ropes, 4, &resultant, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strstr(error.message, "pulls[1]") != NULL);
    ropes[1] = along(0.0, 0.0, -1.0, (double)NAN);
    REQUIRE(rmech_head_resultant(&head, ropes, 4, &resultant, &error) == RMECH_ERR_VALUE);
    legs[0].staked = 2;
    ropes[1].tension = rmech_n(1.0);
    REQUIRE(rmech_frame_solve(&frame, ropes, 4, &forces, in_legs, in_guys, NULL, &error) == RMECH_ERR_ENUMERATOR);
    forces.struct_size = 3;
    REQUIRE(rmech_frame_solve(&frame, ropes, 4, &forces, in_legs, in_guys, NULL, &error) != RMECH_OK);
    forces.struct_size = before.struct_size;
    REQUIRE(memcmp(&before, &forces, sizeof forces) == 0);
    return 0;
}
