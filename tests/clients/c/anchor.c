/* Legs that share, a leg lost, a vehicle, pickets and a buried beam, and what bad input does. */
#include <math.h>

#include "client.h"

static rmech_point at(double x, double y, double z) {
    rmech_point point = {rmech_m(x), rmech_m(y), rmech_m(z)};
    return point;
}

int main(void) {
    rmech_point master = at(0.0, 0.0, 0.0);
    rmech_anchor_leg legs[9];
    rmech_force3 load = {rmech_n(30.0), rmech_n(0.0), rmech_n(-2000.0)};
    rmech_force tensions[3], pull, leg;
    rmech_settled settled = RMECH_INIT(rmech_settled);
    rmech_vehicle truck = RMECH_INIT(rmech_vehicle);
    rmech_deadman beam = RMECH_INIT(rmech_deadman);
    rmech_pressure pressure;
    rmech_length drop, length = rmech_ft(4.0);
    rmech_length thick = rmech_inch(3.0), tall = rmech_ft(5.0), driven = rmech_ft(3.0), shallow = rmech_ft(2.0);
    rmech_angle angle = rmech_deg(150.0), flat = rmech_deg(180.0);
    rmech_error error = RMECH_INIT(rmech_error);
    int i;

    memset(legs, 0, sizeof legs);
    for (i = 0; i < 9; i++) {
        legs[i].at = at(i - 1.0, 0.0, 2.0);
        legs[i].axial_stiffness = rmech_kn(50.0);
    }
    REQUIRE(rmech_anchor_share(&master, legs, 3, &load, tensions, NULL) == RMECH_OK);
    show("share", tensions[1].newtons);
    REQUIRE(rmech_anchor_settle(&master, legs, 3, &load, &settled, tensions, NULL) == RMECH_OK);
    REQUIRE(settled.residual <= 1e-9);
    show("settled", tensions[2].newtons);
    show("moved", settled.moved.metres);
    REQUIRE(rmech_anchor_after_losing(&master, legs, 3, &load, 1, &settled, tensions, &drop, NULL) == RMECH_OK);
    REQUIRE(tensions[1].newtons == 0.0);
    show("after", tensions[0].newtons);
    show("drop", drop.metres);

    pull = rmech_lbf(400.0);
    REQUIRE(rmech_v_anchor(&pull, &angle, &leg, NULL) == RMECH_OK);
    show("v", leg.newtons);

    truck.mass = rmech_kg(12000.0);
    REQUIRE(rmech_surface_friction(RMECH_SURFACE_GRAVEL_WET, &truck.friction, NULL) == RMECH_OK);
    show("wet_gravel", truck.friction.fraction);
    truck.grade = rmech_rad(0.06);
    truck.rope_rise = rmech_rad(0.17);
    REQUIRE(rmech_vehicle_holds(&truck, &pull, NULL) == RMECH_OK);
    show("truck", pull.newtons);

    REQUIRE(rmech_pickets_hold(&thick, &tall, &driven, RMECH_PICKETS_3_2_1, RMECH_PICKET_SOIL_WET_CLAY_GRAVEL,
                               &pull, NULL) == RMECH_OK);
    show("pickets", pull.newtons);

    beam.beam = RMECH_BEAM_TIMBER;
    beam.soil = RMECH_DEADMAN_SOIL_LOAM;
    beam.mean_depth = rmech_ft(5.0);
    beam.slope = rmech_fraction(0.25);
    beam.face = rmech_ft(1.0);
    beam.thickness = rmech_ft(1.0);
    REQUIRE(rmech_deadman_pressure(&beam, &pressure, NULL) == RMECH_OK);
    show("deadman_pressure", pressure.pascals);
    REQUIRE(rmech_deadman_holds(&beam, &length, &pull, NULL) == RMECH_OK);
    show("deadman", pull.newtons);
    REQUIRE(rmech_deadman_length(&beam, &pull, &length, NULL) == RMECH_OK);
    show("deadman_length", length.metres);

    /* Failures leave what they would have written. */
    leg = pull;
    REQUIRE(rmech_anchor_share(&master, legs, 9, &load, tensions, &error) == RMECH_ERR_CAPACITY);
    REQUIRE(rmech_anchor_share(&master, legs, 0, &load, tensions, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_anchor_share(&master, NULL, 3, &load, tensions, &error) == RMECH_ERR_POINTER);
    load.y = rmech_n(100.0);
    REQUIRE(rmech_anchor_share(&master, legs, 3, &load, tensions, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strstr(error.message, "settle") != NULL);
    REQUIRE(rmech_anchor_after_losing(&master, legs, 3, &load, 3, &settled, tensions, &drop, &error) ==
            RMECH_ERR_VALUE);
    REQUIRE(rmech_v_anchor(&pull, &flat, &leg, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_v_anchor(&pull, NULL, &leg, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_surface_friction(0, &truck.friction, &error) == RMECH_ERR_ENUMERATOR);
    truck.grade = rmech_rad(0.5);
    REQUIRE(rmech_vehicle_holds(&truck, &pull, &error) == RMECH_ERR_GEOMETRY);
    truck.grade = rmech_rad(-0.5);
    REQUIRE(rmech_vehicle_holds(&truck, &pull, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "grade") == 0);
    truck.mass.kilograms = (double)NAN;
    REQUIRE(rmech_vehicle_holds(&truck, &pull, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_pickets_hold(&thick, &tall, &driven, 9, 1, &pull, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_pickets_hold(&thick, &tall, &shallow, 1, 1, &pull, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "driven") == 0);
    beam.mean_depth = rmech_ft(8.0);
    REQUIRE(rmech_deadman_pressure(&beam, &pressure, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_deadman_pressure(&beam, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_deadman_holds(&beam, &length, &pull, &error) == RMECH_ERR_VALUE);
    beam.soil = 0;
    REQUIRE(rmech_deadman_holds(&beam, &length, &pull, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(memcmp(&leg, &pull, sizeof pull) == 0);
    return 0;
}
