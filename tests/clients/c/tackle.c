/* A 3:1 on a redirect with losses, a tackle of one's own, and what bad input does. */
#include <math.h>

#include "client.h"

static rmech_carrier carrier(int32_t kind, double x) {
    rmech_carrier c;
    memset(&c, 0, sizeof c);
    c.kind = kind;
    c.at.x = rmech_m(x);
    return c;
}

static rmech_stop stop(int32_t kind, uint32_t at) {
    rmech_stop s;
    memset(&s, 0, sizeof s);
    s.kind = kind;
    s.carrier = at;
    s.efficiency = rmech_percent(90.0);
    return s;
}

int main(void) {
    rmech_error error = RMECH_INIT(rmech_error);

    /* The load's own rope makes a 3:1, a lead turns it back to the crew. The lead is the good pulley. */
    rmech_tackle tackle = RMECH_INIT(rmech_tackle);
    tackle.ready = RMECH_TACKLE_3_TO_1;
    tackle.flags = RMECH_TACKLE_LEAD;
    tackle.load_distance = rmech_m(40.0);
    tackle.spread = rmech_m(10.0);
    tackle.efficiency = rmech_percent(85.0);
    tackle.efficiencies[2] = rmech_percent(95.0);
    rmech_advantage advantage;
    REQUIRE(rmech_tackle_advantage(&tackle, &advantage, &error) == RMECH_OK);
    show("ideal", advantage.ideal.fraction);
    show("hauling", advantage.hauling.fraction);
    show("lowering", advantage.lowering.fraction);

    rmech_force load = rmech_kn(2.0);
    rmech_tackle_forces forces;
    REQUIRE(rmech_tackle_work_out(&tackle, &load, RMECH_MOTION_HAULING, NULL, 0, &forces, &error) == RMECH_OK);
    rmech_force tensions[RMECH_TACKLE_MAX_PARTS];
    REQUIRE(forces.parts == 5 && forces.sheaves == 3);
    REQUIRE(rmech_tackle_work_out(&tackle, &load, RMECH_MOTION_HAULING, tensions, forces.parts, &forces, &error) == RMECH_OK);
    show("hand", forces.hand.newtons);
    show("part_1", tensions[0].newtons);
    show("part_3", tensions[2].newtons);
    REQUIRE(tensions[4].newtons == forces.hand.newtons);
    REQUIRE(rmech_tackle_work_out(&tackle, &load, RMECH_TACKLE_HELD, tensions, 5, &forces, &error) == RMECH_OK);
    show("held", tensions[1].newtons);

    rmech_haul_plan plan = { rmech_m(30.0), rmech_m(0.5), rmech_m(0.1) };
    rmech_cycle cycle;
    REQUIRE(rmech_tackle_cycle(&tackle, &plan, &cycle, &error) == RMECH_OK);
    show("throw", cycle.throw_at_load.metres);
    show("all_rope_through_the_hand", cycle.hand.metres);
    REQUIRE(cycle.resets == 3 && cycle.throws == 4);

    /* Too little room leaves everything as it was. */
    rmech_force before = tensions[0];
    REQUIRE(rmech_tackle_work_out(&tackle, &load, RMECH_MOTION_LOWERING, tensions, 4, &forces, &error) == RMECH_ERR_CAPACITY);
    REQUIRE(tensions[0].newtons == before.newtons);
    REQUIRE(rmech_tackle_work_out(&tackle, &load, RMECH_MOTION_AT_REST, tensions, 5, &forces, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(strcmp(error.field, "state") == 0);
    tackle.ready = 7;
    REQUIRE(rmech_tackle_advantage(&tackle, &advantage, &error) == RMECH_ERR_ENUMERATOR);
    tackle.ready = RMECH_TACKLE_3_TO_1;
    tackle.flags = 4;
    REQUIRE(rmech_tackle_advantage(&tackle, &advantage, &error) == RMECH_ERR_ENUMERATOR);
    tackle.flags = 0;
    tackle.spread.metres = (double)NAN;
    REQUIRE(rmech_tackle_advantage(&tackle, &advantage, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "spread") == 0);
    REQUIRE(rmech_tackle_advantage(NULL, &advantage, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_tackle_advantage(&tackle, NULL, &error) == RMECH_ERR_POINTER);
    tackle.struct_size = 3;
    REQUIRE(rmech_tackle_advantage(&tackle, &advantage, &error) == RMECH_ERR_STRUCT_SIZE);

    /* A 2:1 on a 2:1, by hand. */
    rmech_carrier carriers[4] = {
        carrier(RMECH_CARRIER_ANCHOR, 0.0),
        carrier(RMECH_CARRIER_LOAD, 30.0),
        carrier(RMECH_CARRIER_FREE, 20.0),
        carrier(RMECH_CARRIER_ANCHOR, -2.0),
    };
    rmech_stop stops[6] = {
        stop(RMECH_TACKLE_STOP_END, 0), stop(RMECH_TACKLE_STOP_SHEAVE, 1), stop(RMECH_TACKLE_STOP_END, 2),
        stop(RMECH_TACKLE_STOP_END, 0), stop(RMECH_TACKLE_STOP_SHEAVE, 2), stop(RMECH_TACKLE_STOP_HAND, 3),
    };
    stops[3].rope = stops[4].rope = stops[5].rope = 1;
    rmech_force3 on[4];
    REQUIRE(rmech_arrangement_work_out(carriers, 4, stops, 6, &load, RMECH_MOTION_LOWERING, tensions, 47, on, &forces,
                                       &error) == RMECH_OK);
    show("own_hand", forces.hand.newtons);
    show("own_anchor", on[0].x.newtons);
    REQUIRE(forces.velocity_ratio.fraction == 4.0 && forces.parts == 4);

    /* Without its second rope the block floats, and the message says which. */
    stops[2] = stop(RMECH_TACKLE_STOP_HAND, 3);
    REQUIRE(rmech_arrangement_work_out(carriers, 4, stops, 3, &load, RMECH_MOTION_LOWERING, NULL, 0, NULL, &forces,
                                       &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strstr(error.message, "\"carrier 2\" floats") != NULL);
    stops[1].carrier = 4;
    REQUIRE(rmech_arrangement_work_out(carriers, 4, stops, 3, &load, RMECH_MOTION_LOWERING, NULL, 0, NULL, &forces,
                                       &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_arrangement_work_out(NULL, 0, NULL, 0, &load, RMECH_MOTION_LOWERING, NULL, 0, NULL, &forces, &error) ==
            RMECH_ERR_GEOMETRY);
    return 0;
}
