/* The litter on haul and belay, by lengths and by position, and what bad input does. */
#include <math.h>

#include "client.h"

static rmech_point at(double x, double y, double z) {
    rmech_point point = {rmech_m(x), rmech_m(y), rmech_m(z)};
    return point;
}

int main(void) {
    rmech_force weight = rmech_n(2451.66);
    rmech_stretch stretch = {rmech_kn(40.0), rmech_kn(0.0)};
    rmech_bridle_rope ropes[3] = {{at(0.0, 0.0, 3.0), stretch}, {at(-6.0, 2.0, 1.5), stretch}, {at(-5.0, -4.0, 2.0), stretch}};
    rmech_length lengths[3] = {rmech_m(2.6), rmech_m(4.5), rmech_m(4.0)};
    rmech_hang hang = RMECH_INIT(rmech_hang);
    rmech_hang_rope each[3];
    rmech_error error = RMECH_INIT(rmech_error);

    REQUIRE(rmech_bridle_at_lengths(&weight, ropes, lengths, 2, &hang, each, &error) == RMECH_OK);
    show("two_x", hang.position.x.metres);
    show("two_tension", each[0].tension.newtons);
    show("two_side", each[0].on_point.y.newtons);
    REQUIRE(rmech_bridle_at_lengths(&weight, ropes, lengths, 3, &hang, each, NULL) == RMECH_OK);
    REQUIRE(each[0].slack == 0 && each[2].slack == 0);
    show("three_z", hang.position.z.metres);
    show("three_tension", each[2].tension.newtons);

    rmech_point here = at(-3.0, 0.0, -1.0);
    REQUIRE(rmech_bridle_at_position(&weight, ropes, 3, &here, &hang, each, NULL) == RMECH_OK);
    show("position_length", each[1].length.metres);
    here = at(-3.0, 1.0, -1.0);
    REQUIRE(rmech_bridle_at_position(&weight, ropes, 2, &here, &hang, each, NULL) == RMECH_OK);
    show("plane_tension", each[1].tension.newtons);

    rmech_length slack;
    REQUIRE(rmech_bridle_slack_length(&weight, ropes, lengths, 2, 1, &slack, NULL) == RMECH_OK);
    show("slack", slack.metres);

    /* The haul paid out while the belay is taken in, then a straight way that leaves the plane of two ropes. */
    rmech_length swung[2] = {rmech_m(6.0), rmech_m(2.0)};
    rmech_hang_step steps[5];
    rmech_hang_rope at_steps[15];
    REQUIRE(rmech_bridle_swing(&weight, ropes, lengths, swung, 2, 4, steps, at_steps, &error) == RMECH_OK);
    for (int i = 0; i < 5; i++) {
        static const char *const y[5] = {"swing_y_0", "swing_y_1", "swing_y_2", "swing_y_3", "swing_y_4"};
        static const char *const side[5] = {"side_0", "side_1", "side_2", "side_3", "side_4"};
        static const char *const haul_slack[5] = {"haul_slack_0", "haul_slack_1", "haul_slack_2", "haul_slack_3",
                                                  "haul_slack_4"};
        REQUIRE(steps[i].status == RMECH_OK);
        show(y[i], steps[i].position.y.metres);
        show(side[i], at_steps[2 * i].on_point.y.newtons);
        show(haul_slack[i], at_steps[2 * i].slack);
    }
    rmech_point start = at(-3.0, 0.0, -1.0), inwards = at(-5.0, -0.5, -1.0), off = at(-3.0, 3.0, -1.0);
    REQUIRE(rmech_bridle_carry(&weight, ropes, 3, &start, &inwards, 2, steps, at_steps, &error) == RMECH_OK);
    REQUIRE(steps[0].status == RMECH_OK && steps[2].status == RMECH_OK);
    show("carry_length", at_steps[3 * 1 + 2].length.metres);
    show("carry_tension", at_steps[3 * 2 + 0].tension.newtons);
    start = at(-3.0, 1.0, -1.0);
    REQUIRE(rmech_bridle_carry(&weight, ropes, 2, &start, &off, 1, steps, at_steps, &error) == RMECH_OK);
    REQUIRE(steps[0].status == RMECH_OK && steps[1].status == RMECH_ERR_GEOMETRY);
    REQUIRE(at_steps[0].tension.newtons > 0.0 && at_steps[2].tension.newtons == 0.0);
    REQUIRE(rmech_bridle_carry(&weight, ropes, 2, &start, &off, 0, steps, at_steps, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "step_count") == 0);
    REQUIRE(rmech_bridle_swing(&weight, ropes, lengths, swung, 1, 4, steps, at_steps, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_bridle_swing(&weight, ropes, lengths, NULL, 2, 4, steps, at_steps, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_bridle_swing(&weight, ropes, lengths, swung, 2, 4, NULL, at_steps, &error) == RMECH_ERR_POINTER);

    rmech_track_lost lost = RMECH_INIT(rmech_track_lost);
    rmech_track_lost_rope left[2];
    rmech_length clearance = rmech_m(0.8), out[2] = {rmech_m(26.25), rmech_m(29.5)};
    rmech_point litter = at(20.0, 0.0, -14.0);
    REQUIRE(rmech_track_rope_lost(&weight, ropes, out, 2, &litter, &clearance, &lost, left, NULL) == RMECH_OK);
    REQUIRE(lost.lands == 1 && lost.drop.metres == 0.8);
    show("landing", lost.landing_speed.metres_per_second);
    show("bound", left[0].peak_bound.newtons);

    /* Failures leave what they would have written. */
    rmech_hang before = hang;
    rmech_hang_rope rope_before = each[0];
    here = at(-3.0, 2.0, -1.0);
    REQUIRE(rmech_bridle_at_position(&weight, ropes, 2, &here, &hang, each, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strstr(error.message, "vertical plane") != NULL);
    here = at(3.0, -1.0, -1.0);
    REQUIRE(rmech_bridle_at_position(&weight, ropes, 2, &here, &hang, each, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strstr(error.message, "rope 1") != NULL);
    REQUIRE(rmech_bridle_at_lengths(&weight, ropes, lengths, 4, &hang, each, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "count") == 0);
    REQUIRE(rmech_bridle_at_lengths(&weight, ropes, lengths, 0, &hang, each, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_bridle_at_lengths(&weight, ropes, NULL, 2, &hang, each, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_bridle_at_lengths(&weight, ropes, lengths, 2, &hang, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_bridle_slack_length(&weight, ropes, lengths, 2, 2, &slack, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "rope") == 0);
    lengths[1].metres = (double)INFINITY;
    REQUIRE(rmech_bridle_at_lengths(&weight, ropes, lengths, 2, &hang, each, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "lengths[1]") == 0);
    hang.struct_size = 4;
    lengths[1] = rmech_m(4.5);
    REQUIRE(rmech_bridle_at_lengths(&weight, ropes, lengths, 2, &hang, each, &error) == RMECH_ERR_STRUCT_SIZE);
    hang.struct_size = before.struct_size;
    REQUIRE(memcmp(&before, &hang, sizeof hang) == 0);
    REQUIRE(memcmp(&rope_before, &each[0], sizeof each[0]) == 0);
    return 0;
}
