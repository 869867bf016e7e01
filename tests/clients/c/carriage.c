/* A load on a track rope: rolling free, held, and the length that gives a reading or a height. */
#include <math.h>

#include "client.h"

static rmech_carriage slope(void) {
    rmech_carriage rig = RMECH_INIT(rmech_carriage);
    rig.far.x = rmech_m(70.0);
    rig.far.z = rmech_m(-45.0);
    rig.track_length = rmech_m(80.24889);
    rig.track_weight = rmech_n_per_m(1.6671305);
    rig.track_stretch.a = rmech_n(80e3);
    rig.load_weight = rmech_n(2451.6625);
    return rig;
}

int main(void) {
    rmech_carriage rig = slope();
    rmech_carriage_state state = RMECH_INIT(rmech_carriage_state);
    rmech_carriage_state before;
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_length x = rmech_m(30.0);
    rmech_force tension = rmech_n(4000.0);
    rmech_plane_point point;
    rmech_length height = rmech_m(2.0);
    rmech_plane_point ground[3];

    REQUIRE(rmech_carriage_held_at_x(&rig, &x, &state, NULL) == RMECH_OK);
    show("held_z", state.position.z.metres);
    show("held_head", state.tension_head.newtons);
    show("held_haul", state.haul_length.metres);
    show("held_strain", state.greatest_strain.fraction);
    show("held_on_head_z", state.on_head.z.newtons);
    REQUIRE(state.haul_pulls == 1 && state.residual.fraction < 1e-14);
    REQUIRE(state.struct_size == sizeof state);

    REQUIRE(rmech_carriage_held_by_haul_length(&rig, &state.haul_length, &state, &error) == RMECH_OK);
    show("by_haul_x", state.position.x.metres);
    REQUIRE(rmech_carriage_length_for_tension(&rig, &x, &tension, &state, &error) == RMECH_OK);
    show("length_for_tension", state.track_length.metres);
    point.x = x;
    point.z = rmech_m(-29.0);
    REQUIRE(rmech_carriage_length_for_point(&rig, &point, &state, &error) == RMECH_OK);
    show("length_for_point", state.track_length.metres);

    ground[0].x = rmech_m(0.0);
    ground[0].z = rmech_m(-3.0);
    ground[1].x = rmech_m(10.0);
    ground[1].z = rmech_m(-20.0);
    ground[2].x = rmech_m(70.0);
    ground[2].z = rmech_m(-46.0);
    REQUIRE(rmech_carriage_held_at_height_above(&rig, ground, 3, &height, RMECH_SUPPORT_HEAD, &state, &error) ==
            RMECH_OK);
    show("height_near_head_x", state.position.x.metres);
    REQUIRE(rmech_carriage_held_at_height_above(&rig, ground, 3, &height, RMECH_SUPPORT_FAR, &state, &error) ==
            RMECH_OK);
    show("height_near_far_x", state.position.x.metres);
    show("height_near_far_z", state.position.z.metres);
    before = state;
    REQUIRE(rmech_carriage_held_at_height_above(&rig, ground, 3, &height, 0, &state, &error) ==
            RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_carriage_held_at_height_above(&rig, ground, 1, &height, RMECH_SUPPORT_FAR, &state, &error) ==
            RMECH_ERR_VALUE);
    REQUIRE(rmech_carriage_held_at_height_above(&rig, ground, RMECH_GROUND_POINTS_MAX + 1, &height,
                                                RMECH_SUPPORT_FAR, &state, &error) == RMECH_ERR_CAPACITY);
    REQUIRE(rmech_carriage_held_at_height_above(&rig, NULL, 3, &height, RMECH_SUPPORT_FAR, &state, &error) ==
            RMECH_ERR_POINTER);
    height = rmech_m(50.0);
    REQUIRE(rmech_carriage_held_at_height_above(&rig, ground, 3, &height, RMECH_SUPPORT_FAR, &state, &error) ==
            RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "height") == 0);
    REQUIRE(memcmp(&before, &state, sizeof state) == 0);

    rig.wheel_friction = rmech_percent(2.0);
    rig.motion = RMECH_MOTION_HAULING;
    rig.haul_weight = rmech_n_per_m(0.83);
    rig.haul_stretch.a = rmech_n(40e3);
    REQUIRE(rmech_carriage_held_at_x(&rig, &x, &state, NULL) == RMECH_OK);
    show("hauling_pull", state.haul_at_haul_point.newtons);
    rig.motion = 0;
    rig.wheel_friction.fraction = (double)NAN;
    REQUIRE(rmech_carriage_held_at_x(&rig, &x, &state, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "wheel_friction") == 0);
    rig.wheel_friction = rmech_percent(2.0);
    REQUIRE(rmech_carriage_held_at_x(&rig, &x, &state, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(strcmp(error.field, "motion") == 0);

    rig = slope();
    before = state;
    REQUIRE(rmech_carriage_rolling(&rig, &state, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "track_length") == 0);
    REQUIRE(strncmp(error.message, "the carriage runs to the far anchor", 35) == 0);
    REQUIRE(memcmp(&before, &state, sizeof state) == 0);
    rig.track_length = rmech_m(95.0);
    REQUIRE(rmech_carriage_rolling(&rig, &state, &error) == RMECH_OK);
    show("rolling_x", state.position.x.metres);
    REQUIRE(state.haul_pulls == 0 && state.haul_length.metres == 0.0);
    x = rmech_m(69.0);
    REQUIRE(rmech_carriage_held_at_x(&rig, &x, &state, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "x") == 0);
    x = rmech_m(71.0);
    REQUIRE(rmech_carriage_held_at_x(&rig, &x, &state, &error) == RMECH_ERR_VALUE);
    REQUIRE(error.highest == 70.0);
    x = rmech_m(30.0);
    tension = rmech_n(100.0);
    REQUIRE(rmech_carriage_length_for_tension(&rig, &x, &tension, &state, &error) == RMECH_ERR_GEOMETRY);
    rig.load_weight = rmech_n((double)NAN);
    REQUIRE(rmech_carriage_held_at_x(&rig, &x, &state, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "load_weight") == 0);
    REQUIRE(rmech_carriage_rolling(NULL, &state, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_carriage_rolling(&rig, NULL, NULL) == RMECH_ERR_POINTER);
    rig.struct_size = 4;
    REQUIRE(rmech_carriage_rolling(&rig, &state, &error) == RMECH_ERR_STRUCT_SIZE);
    rig = slope();
    state.struct_size = 0;
    REQUIRE(rmech_carriage_held_at_x(&rig, &x, &state, &error) == RMECH_ERR_STRUCT_SIZE);
    return 0;
}
