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
    REQUIRE(rmech_tackle_solve(&tackle, &load, RMECH_MOTION_HAULING, NULL, 0, &forces, &error) == RMECH_OK);
    rmech_force tensions[RMECH_TACKLE_MAX_PARTS];
    REQUIRE(forces.parts == 5 && forces.sheaves == 3);
    REQUIRE(rmech_tackle_solve(&tackle, &load, RMECH_MOTION_HAULING, tensions, forces.parts, &forces, &error) == RMECH_OK);
    show("hand", forces.hand.newtons);
    show("part_1", tensions[0].newtons);
    show("part_3", tensions[2].newtons);
    REQUIRE(tensions[4].newtons == forces.hand.newtons);
    REQUIRE(rmech_tackle_solve(&tackle, &load, RMECH_TACKLE_HELD, tensions, 5, &forces, &error) == RMECH_OK);
    show("held", tensions[1].newtons);

    rmech_haul_plan plan = { rmech_m(30.0), rmech_m(0.5), rmech_m(0.1) };
    rmech_cycle cycle;
    REQUIRE(rmech_tackle_cycle(&tackle, &plan, &cycle, &error) == RMECH_OK);
    show("throw", cycle.throw_at_load.metres);
    show("all_rope_through_the_hand", cycle.hand.metres);
    REQUIRE(cycle.resets == 3 && cycle.throws == 4);

    rmech_sheave_force sheaves[RMECH_TACKLE_MAX_PARTS];
    rmech_carrier_force on_carriers[24];
    REQUIRE(rmech_tackle_solve(&tackle, &load, RMECH_MOTION_HAULING, NULL, 0, &forces, &error) == RMECH_OK);
    REQUIRE(forces.turns == 3 && forces.carriers == 4);
    REQUIRE(rmech_tackle_on_sheaves(&tackle, &load, RMECH_MOTION_HAULING, sheaves, forces.turns, &error) == RMECH_OK);
    REQUIRE(sheaves[0].rope == 0 && sheaves[0].stop == 2 && sheaves[1].carrier == 2);
    show("on_capture", sheaves[0].force.x.newtons);
    show("on_grab_sheave", sheaves[1].force.x.newtons);
    show("on_lead", sheaves[2].force.x.newtons);
    show("lead_turn", sheaves[2].turn.radians);
    REQUIRE(rmech_tackle_on_carriers(&tackle, &load, RMECH_MOTION_HAULING, on_carriers, 24, &error) == RMECH_OK);
    REQUIRE(strcmp(on_carriers[0].name, "anchor") == 0 && strcmp(on_carriers[2].name, "grab") == 0);
    show("on_anchor", on_carriers[0].force.x.newtons);
    show("grab_travel", on_carriers[2].travel.fraction);
    rmech_length clearance = rmech_m(0.5), rope;
    rmech_throw throw;
    REQUIRE(rmech_tackle_throw(&tackle, &clearance, &throw, &error) == RMECH_OK);
    REQUIRE(throw.from + throw.to == 2);
    show("throw_alone", throw.load.metres);
    show("throw_hand", throw.hand.metres);
    rmech_ratio setback;
    REQUIRE(rmech_tackle_setback(&tackle, &setback, &error) == RMECH_OK);
    show("setback", setback.fraction);
    REQUIRE(rmech_tackle_rope(&tackle, &rope, &error) == RMECH_OK);
    show("rope", rope.metres);
    REQUIRE(rmech_tackle_on_sheaves(&tackle, &load, RMECH_MOTION_HAULING, sheaves, 2, &error) == RMECH_ERR_CAPACITY);
    REQUIRE(rmech_tackle_on_carriers(&tackle, &load, RMECH_MOTION_HAULING, NULL, 0, &error) == RMECH_ERR_POINTER);
    clearance = rmech_m(11.0);
    REQUIRE(rmech_tackle_throw(&tackle, &clearance, &throw, &error) == RMECH_ERR_GEOMETRY);

    /* Which of the usual ones is enough. */
    rmech_force available = rmech_n(800.0);
    rmech_tackle_found found;
    REQUIRE(rmech_tackle_search(&tackle, &load, &available, RMECH_WANTED_FEWEST_SHEAVES, RMECH_LEAD_EITHER, &found,
                                &error) == RMECH_OK);
    REQUIRE(found.ready == RMECH_TACKLE_3_TO_1);
    show("fewest_hand", found.hand.newtons);
    show("fewest_rope", found.rope.metres);
    available = rmech_n(500.0);
    REQUIRE(rmech_tackle_search(&tackle, &load, &available, RMECH_WANTED_LEAST_ROPE, RMECH_LEAD_WITH, &found, &error) ==
            RMECH_OK);
    REQUIRE((found.flags & RMECH_TACKLE_LEAD) != 0);
    show("least_hand", found.hand.newtons);
    show("least_rope", found.rope.metres);
    REQUIRE(rmech_tackle_search(&tackle, &load, &available, 0, RMECH_LEAD_WITH, &found, &error) ==
            RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_tackle_search(&tackle, &load, &available, RMECH_WANTED_LEAST_ROPE, 3, &found, &error) ==
            RMECH_ERR_ENUMERATOR);
    available = rmech_n(1.0);
    REQUIRE(rmech_tackle_search(&tackle, &load, &available, RMECH_WANTED_LEAST_ROPE, RMECH_LEAD_WITH, &found, &error) ==
            RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "available") == 0);

    /* Too little room leaves everything as it was. */
    rmech_force before = tensions[0];
    REQUIRE(rmech_tackle_solve(&tackle, &load, RMECH_MOTION_LOWERING, tensions, 4, &forces, &error) == RMECH_ERR_CAPACITY);
    REQUIRE(tensions[0].newtons == before.newtons);
    REQUIRE(rmech_tackle_solve(&tackle, &load, RMECH_MOTION_AT_REST, tensions, 5, &forces, &error) == RMECH_ERR_ENUMERATOR);
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
    rmech_tackle own = RMECH_INIT(rmech_tackle);
    own.ready = RMECH_TACKLE_OWN;
    own.carriers = carriers;
    own.carrier_count = 4;
    own.stops = stops;
    own.stop_count = 6;
    REQUIRE(rmech_tackle_solve(&own, &load, RMECH_MOTION_LOWERING, tensions, 47, &forces, &error) == RMECH_OK);
    show("own_hand", forces.hand.newtons);
    REQUIRE(forces.velocity_ratio.fraction == 4.0 && forces.parts == 4);
    REQUIRE(rmech_tackle_on_carriers(&own, &load, RMECH_MOTION_LOWERING, on_carriers, 4, &error) == RMECH_OK);
    REQUIRE(strcmp(on_carriers[3].name, "carrier 3") == 0);
    show("own_anchor", on_carriers[0].force.x.newtons);
    show("own_travel", on_carriers[2].travel.fraction);
    REQUIRE(rmech_tackle_on_sheaves(&own, &load, RMECH_MOTION_LOWERING, sheaves, 2, &error) == RMECH_OK);
    REQUIRE(sheaves[1].rope == 1 && sheaves[1].carrier == 2 && sheaves[1].stop == 1);
    show("own_sheave", sheaves[1].force.x.newtons);
    REQUIRE(rmech_tackle_advantage(&own, &advantage, &error) == RMECH_OK);
    show("own_hauling", advantage.hauling.fraction);
    clearance = rmech_m(0.5);
    REQUIRE(rmech_tackle_throw(&own, &clearance, &throw, &error) == RMECH_OK);
    show("own_throw", throw.load.metres);
    REQUIRE(rmech_tackle_rope(&own, &rope, &error) == RMECH_OK);
    show("own_rope", rope.metres);
    plan.haul = rmech_m(5.0);
    REQUIRE(rmech_tackle_cycle(&own, &plan, &cycle, &error) == RMECH_OK);
    show("own_cycle_hand", cycle.hand.metres);
    REQUIRE(rmech_tackle_setback(&own, &setback, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strstr(error.message, "nothing captures") != NULL);

    /* The same in a haul line, behind a redirect. */
    rmech_haul_redirect over = {0};
    over.turn.kind = RMECH_TURN_SHEAVE;
    over.turn.efficiency.fraction = 0.9;
    over.angle.radians = 1.0;
    rmech_pull pull = {{1500.0}, {1500.0}};
    rmech_velocity speed = {0.3};
    rmech_redirect_force on_over;
    rmech_haul haul = RMECH_INIT(rmech_haul);
    REQUIRE(rmech_haul_solve(&own, &over, 1, NULL, 0, &pull, &plan, &speed, &on_over, &haul, &error) == RMECH_OK);
    show("own_haul", haul.hauling.newtons);
    show("own_haul_redirect", on_over.hauling.newtons);

    /* With a capture where the second rope reaches the anchor's side, it can be set back. */
    stops[4].kind = RMECH_TACKLE_STOP_CAPTURE;
    REQUIRE(rmech_tackle_setback(&own, &setback, &error) == RMECH_OK);
    show("own_setback", setback.fraction);
    stops[4].kind = RMECH_TACKLE_STOP_SHEAVE;

    /* Without its second rope the block floats, and the message says which. */
    stops[2] = stop(RMECH_TACKLE_STOP_HAND, 3);
    own.stop_count = 3;
    REQUIRE(rmech_tackle_solve(&own, &load, RMECH_MOTION_LOWERING, NULL, 0, &forces, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strstr(error.message, "\"carrier 2\" floats") != NULL);
    stops[1].carrier = 4;
    REQUIRE(rmech_tackle_advantage(&own, &advantage, &error) == RMECH_ERR_ENUMERATOR);
    own.flags = RMECH_TACKLE_LEAD;
    REQUIRE(rmech_tackle_advantage(&own, &advantage, &error) == RMECH_ERR_ENUMERATOR);
    own.flags = 0;
    own.stops = NULL;
    REQUIRE(rmech_tackle_advantage(&own, &advantage, &error) == RMECH_ERR_POINTER);
    own.stop_count = 0;
    own.carriers = NULL;
    own.carrier_count = 0;
    REQUIRE(rmech_tackle_advantage(&own, &advantage, &error) == RMECH_ERR_GEOMETRY);
    return 0;
}
