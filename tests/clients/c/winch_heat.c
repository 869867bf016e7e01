/* How warm a winch's motor gets: after a time, in the end, in cycles, and when it has no time to cool. */
#include <math.h>

#include "client.h"

int main(void) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_motor_heat heat = {0};
    heat.kind = RMECH_HEAT_TWO_NODES;
    heat.winding = rmech_j_per_k(400.0);
    heat.case_ = rmech_j_per_k(4000.0);
    heat.winding_to_case = rmech_k_per_w(0.2);
    heat.case_to_air = rmech_k_per_w(0.5);
    rmech_motor_heat lump = {0};
    lump.kind = RMECH_HEAT_ONE_NODE;
    lump.continuous_current = rmech_a(60.0);
    lump.rated_rise = rmech_kelvin(80.0);
    lump.time_constant = rmech_min(20.0);
    rmech_motor_heat nothing = {0};

    rmech_motor_temperatures cold = {rmech_celsius(20.0), rmech_celsius(20.0)}, warm, hottest, coolest, settled;
    rmech_heating heating = {rmech_a(120.0), rmech_mohm(20.0), rmech_w(30.0), rmech_celsius(20.0)};
    rmech_time minute = rmech_min(1.0), to_limit;
    rmech_temperature burning = rmech_celsius(155.0);
    REQUIRE(rmech_motor_warmed(&heat, &cold, &heating, &minute, &burning, &warm, &to_limit, &error) == RMECH_OK);
    show("warm_winding", warm.winding.kelvin);
    show("warm_case", warm.case_.kelvin);
    show("to_limit", to_limit.seconds);
    REQUIRE(rmech_motor_warmed(&lump, &cold, &heating, &minute, &burning, &warm, &to_limit, &error) == RMECH_OK);
    show("lump", warm.winding.kelvin);
    show("lump_to_limit", to_limit.seconds);
    REQUIRE(rmech_motor_warmed(&nothing, &cold, &heating, &minute, NULL, &warm, NULL, &error) ==
            RMECH_ERR_ENUMERATOR);

    REQUIRE(rmech_motor_duty_cycle(&heat, &heating, &minute, &minute, &hottest, &coolest, &error) == RMECH_OK);
    show("duty_hottest", hottest.winding.kelvin);
    show("duty_hottest_case", hottest.case_.kelvin);
    show("duty_coolest", coolest.winding.kelvin);
    show("duty_coolest_case", coolest.case_.kelvin);
    REQUIRE(rmech_motor_duty_cycle(&lump, &heating, &minute, &minute, &hottest, &coolest, &error) == RMECH_OK);
    show("lump_hottest", hottest.winding.kelvin);
    show("lump_coolest", coolest.winding.kelvin);
    REQUIRE(rmech_motor_duty_cycle(&lump, &heating, &minute, &minute, NULL, NULL, &error) == RMECH_OK);

    rmech_heating light = heating;
    light.current = rmech_a(80.0);
    REQUIRE(rmech_motor_settles_at(&heat, &light, &settled, &error) == RMECH_OK);
    show("settled_winding", settled.winding.kelvin);
    show("settled_case", settled.case_.kelvin);
    light.current = rmech_a(200.0);
    REQUIRE(rmech_motor_settles_at(&heat, &light, &settled, &error) == RMECH_OK);
    REQUIRE(isinf(settled.winding.kelvin) && isinf(settled.case_.kelvin));
    REQUIRE(rmech_motor_settles_at(&lump, &heating, &settled, &error) == RMECH_OK);
    show("lump_settled", settled.winding.kelvin);
    REQUIRE(rmech_motor_settles_at(&nothing, &heating, &settled, &error) == RMECH_ERR_ENUMERATOR);

    /* A temperature that is none is refused for both kinds: a forgotten zero, no number, below absolute zero. */
    const rmech_motor_heat kinds[] = {heat, lump};
    const double none_at_all[] = {0.0, NAN, -300.0};
    for (int kind = 0; kind < 2; kind++) {
        for (int bad = 0; bad < 3; bad++) {
            const rmech_motor_heat *motor = &kinds[kind];
            rmech_heating in_no_air = heating;
            in_no_air.air.kelvin = none_at_all[bad];
            rmech_motor_temperatures never_so = cold;
            never_so.winding.kelvin = none_at_all[bad];
            REQUIRE(rmech_motor_settles_at(motor, &in_no_air, &settled, &error) == RMECH_ERR_VALUE);
            REQUIRE(strstr(error.field, "air") != NULL);
            REQUIRE(rmech_motor_duty_cycle(motor, &in_no_air, &minute, &minute, &hottest, NULL, &error) ==
                    RMECH_ERR_VALUE);
            REQUIRE(strstr(error.field, "air") != NULL);
            REQUIRE(rmech_motor_warmed(motor, &cold, &in_no_air, &minute, NULL, &warm, NULL, &error) ==
                    RMECH_ERR_VALUE);
            REQUIRE(strstr(error.field, "air") != NULL);
            REQUIRE(rmech_motor_warmed(motor, &never_so, &heating, &minute, NULL, &warm, NULL, &error) ==
                    RMECH_ERR_VALUE);
            REQUIRE(strstr(error.field, "winding") != NULL);
            rmech_temperature no_limit = {none_at_all[bad]};
            REQUIRE(rmech_motor_warmed(motor, &cold, &heating, &minute, &no_limit, &warm, &to_limit, &error) ==
                    RMECH_ERR_VALUE);
            REQUIRE(strstr(error.field, "limit") != NULL);
        }
    }

    rmech_current_squared_time taken;
    rmech_ratio share;
    rmech_current twice = rmech_a(120.0), none = rmech_a(0.0);
    REQUIRE(rmech_motor_current_squared_time(&lump, &taken, &error) == RMECH_OK);
    show("squared_time", rmech_in_a2s(taken));
    REQUIRE(rmech_motor_current_squared_time(&heat, &taken, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(strcmp(error.field, "kind") == 0);
    REQUIRE(rmech_motor_lasting_share(&lump, &twice, &share, &error) == RMECH_OK);
    show("lasting_share", share.fraction);
    REQUIRE(rmech_motor_lasting_share(&lump, &none, &share, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_motor_lasting_share(&lump, &twice, NULL, &error) == RMECH_ERR_POINTER);
    return 0;
}
