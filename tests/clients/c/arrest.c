/* Falls, slip, sudden stops and hand-overs, and what bad input does. */
#include <math.h>

#include "client.h"

static rmech_fall a_fall(void) {
    rmech_fall fall = RMECH_INIT(rmech_fall);
    fall.weight = rmech_n(2745.9);
    fall.height = rmech_m(0.5);
    fall.slack = rmech_m(0.25);
    fall.reaction = rmech_m(0.3);
    fall.length = rmech_m(3.0);
    fall.stretch.a = rmech_kn(60.0);
    fall.stretch.b = rmech_kn(150.0);
    return fall;
}

int main(void) {
    rmech_fall fall = a_fall();
    rmech_arrest arrest = RMECH_INIT(rmech_arrest);
    rmech_error error = RMECH_INIT(rmech_error);

    REQUIRE(rmech_fall_arrest(&fall, &arrest, &error) == RMECH_OK);
    REQUIRE(arrest.device == RMECH_DEVICE_IDLE);
    show("peak", arrest.peak_force.newtons);
    show("drop", arrest.total_drop.metres);
    show("speed", arrest.speed.metres_per_second);

    fall.slip_force = rmech_kn(9.0);
    REQUIRE(rmech_fall_arrest(&fall, &arrest, &error) == RMECH_OK);
    REQUIRE(arrest.device == RMECH_DEVICE_SLIPPED && arrest.peak_force.newtons == 9000.0);
    show("slip", arrest.slip.metres);
    fall.slip_travel = rmech_m(0.01);
    REQUIRE(rmech_fall_arrest(&fall, &arrest, &error) == RMECH_OK);
    REQUIRE(arrest.device == RMECH_DEVICE_BOTTOMED);
    show("bottomed", arrest.peak_force.newtons);
    show("stop", arrest.stopping_distance.metres);

    fall = a_fall();
    rmech_rope_piece lanyard[4];
    for (int i = 0; i < 4; i++) {
        lanyard[i].stretch.a = rmech_kn(60.0);
        lanyard[i].stretch.b = rmech_kn(900.0);
        lanyard[i].length = rmech_m(0.5 + i);
    }
    fall.in_series = lanyard;
    fall.in_series_count = 1;
    REQUIRE(rmech_fall_arrest(&fall, &arrest, &error) == RMECH_OK);
    show("with_lanyard", arrest.peak_force.newtons);
    show("with_lanyard_elongation", arrest.elongation.metres);
    rmech_ratio whole_factor;
    REQUIRE(rmech_fall_factor(&fall, &whole_factor, &error) == RMECH_OK);
    show("factor", whole_factor.fraction);
    fall.in_series_count = 4;
    REQUIRE(rmech_fall_factor(&fall, &whole_factor, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "in_series_count") == 0);
    fall.in_series = NULL;
    REQUIRE(rmech_fall_factor(&fall, &whole_factor, &error) == RMECH_ERR_POINTER);
    fall.in_series_count = 0;
    REQUIRE(rmech_fall_factor(&fall, NULL, &error) == RMECH_ERR_POINTER);

    rmech_lowered_load load = RMECH_INIT(rmech_lowered_load);
    load.weight = fall.weight;
    load.speed.metres_per_second = 0.8;
    load.length = fall.length;
    load.stretch = fall.stretch;
    REQUIRE(rmech_sudden_stop(&load, &arrest, NULL) == RMECH_OK);
    show("sudden", arrest.peak_force.newtons);
    load.in_series = lanyard;
    load.in_series_count = 2;
    REQUIRE(rmech_sudden_stop(&load, &arrest, &error) == RMECH_OK);
    show("sudden_with_lanyards", arrest.peak_force.newtons);
    show("sudden_with_lanyards_stop", arrest.stopping_distance.metres);
    rmech_arrest sudden_before = arrest;
    load.in_series_count = 4;
    REQUIRE(rmech_sudden_stop(&load, &arrest, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "in_series_count") == 0);
    load.in_series = NULL;
    REQUIRE(rmech_sudden_stop(&load, &arrest, &error) == RMECH_ERR_POINTER);
    load.in_series_count = 0;
    load.speed.metres_per_second = -0.8;
    REQUIRE(rmech_sudden_stop(&load, &arrest, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "speed") == 0);
    load.flags = 1;
    REQUIRE(rmech_sudden_stop(&load, &arrest, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_sudden_stop(&load, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_sudden_stop(NULL, &arrest, &error) == RMECH_ERR_POINTER);
    load.struct_size = 4;
    REQUIRE(rmech_sudden_stop(&load, &arrest, &error) == RMECH_ERR_STRUCT_SIZE);
    REQUIRE(memcmp(&sudden_before, &arrest, sizeof arrest) == 0);

    rmech_ratio damping = {0.08}, factor;
    REQUIRE(rmech_step_factor(&damping, &factor, NULL) == RMECH_OK);
    show("step", factor.fraction);

    rmech_force peak = rmech_kn(9.0), weight = rmech_n(784.8), stiffness;
    rmech_ratio fall_factor = {1.77};
    REQUIRE(rmech_stiffness_from_drop_test(&peak, &weight, &fall_factor, &stiffness, NULL) == RMECH_OK);
    show("stiffness", stiffness.newtons);

    rmech_holding holding[2];
    memset(holding, 0, sizeof holding);
    holding[0].stretch.a = rmech_kn(80.0);
    holding[0].length = rmech_m(40.0);
    holding[0].slack = rmech_m(0.5);
    holding[1].stretch.a = rmech_kn(20.0);
    holding[1].stretch.b = rmech_kn(100.0);
    holding[1].length = rmech_m(60.0);
    holding[1].tension = rmech_n(300.0);
    rmech_force lost = rmech_n(1363.0);
    rmech_hand_over over = RMECH_INIT(rmech_hand_over);
    rmech_share shares[2];
    REQUIRE(rmech_lost_rope(&lost, holding, 2, &over, shares, NULL) == RMECH_OK);
    show("travel", over.peak_travel.metres);
    show("share_0", shares[0].peak.newtons);
    show("share_1", shares[1].rest.newtons);
    holding[0].in_series = lanyard;
    holding[0].in_series_count = 2;
    holding[1].in_series = lanyard + 2;
    holding[1].in_series_count = 1;
    REQUIRE(rmech_lost_rope(&lost, holding, 2, &over, shares, NULL) == RMECH_OK);
    show("travel_in_series", over.peak_travel.metres);
    show("share_0_in_series", shares[0].peak.newtons);
    show("share_1_in_series", shares[1].rest.newtons);

    /* Failures leave what they would have written. */
    rmech_arrest before = arrest;
    fall.slip_force = rmech_n(100.0);
    fall.slip_travel = rmech_m(0.0);
    REQUIRE(rmech_fall_arrest(&fall, &arrest, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "slip_force") == 0);
    fall = a_fall();
    fall.height.metres = (double)NAN;
    REQUIRE(rmech_fall_arrest(&fall, &arrest, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "height") == 0);
    fall = a_fall();
    fall.stretch.a = rmech_n(0.0);
    REQUIRE(rmech_fall_arrest(&fall, &arrest, &error) == RMECH_ERR_VALUE);
    fall = a_fall();
    fall.flags = 1;
    REQUIRE(rmech_fall_arrest(&fall, &arrest, &error) == RMECH_ERR_ENUMERATOR);
    fall.flags = 0;
    fall.struct_size = 4;
    REQUIRE(rmech_fall_arrest(&fall, &arrest, &error) == RMECH_ERR_STRUCT_SIZE);
    REQUIRE(rmech_fall_arrest(NULL, &arrest, &error) == RMECH_ERR_POINTER);
    fall = a_fall();
    REQUIRE(rmech_fall_arrest(&fall, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(memcmp(&before, &arrest, sizeof arrest) == 0);
    rmech_hand_over over_before = over;
    rmech_share share_before = shares[0];
    REQUIRE(rmech_lost_rope(&lost, holding, 5, &over, shares, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "count") == 0);
    REQUIRE(rmech_lost_rope(&lost, NULL, 2, &over, shares, &error) == RMECH_ERR_POINTER);
    holding[1].in_series = lanyard;
    holding[1].in_series_count = 4;
    REQUIRE(rmech_lost_rope(&lost, holding, 2, &over, shares, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "holding[1].in_series_count") == 0);
    holding[1].in_series = NULL;
    REQUIRE(rmech_lost_rope(&lost, holding, 2, &over, shares, &error) == RMECH_ERR_POINTER);
    holding[0].tension = rmech_n(1.0);
    REQUIRE(rmech_lost_rope(&lost, holding, 2, &over, shares, &error) == RMECH_ERR_VALUE);
    REQUIRE(memcmp(&over_before, &over, sizeof over) == 0);
    REQUIRE(memcmp(&share_before, &shares[0], sizeof shares[0]) == 0);
    return 0;
}
