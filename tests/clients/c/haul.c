/* A haul over the frame with a 3:1 to the winch, and what bad input does. */
#include "client.h"

static rmech_haul_redirect sheave(double percent, double degrees) {
    rmech_haul_redirect redirect = {0};
    redirect.turn.kind = RMECH_TURN_SHEAVE;
    redirect.turn.efficiency = rmech_percent(percent);
    redirect.angle = rmech_deg(degrees);
    return redirect;
}

int main(void) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_tackle tackle = RMECH_INIT(rmech_tackle);
    tackle.ready = RMECH_TACKLE_3_TO_1;
    tackle.load_distance = rmech_m(60.0);
    tackle.spread = rmech_m(8.0);
    tackle.hand_distance = rmech_m(3.0);
    tackle.efficiency = rmech_percent(90.0);
    rmech_haul_redirect over_frame = sheave(85.0, 50.0);
    rmech_haul_redirect at_winch = sheave(90.0, 90.0);
    rmech_pull pull = { rmech_n(2009.0), rmech_n(804.0) };
    rmech_haul_plan plan = { rmech_m(20.0), rmech_m(0.5), rmech_m(0.05) };
    rmech_velocity speed = { 0.3 };
    rmech_haul haul = RMECH_INIT(rmech_haul);
    rmech_redirect_force on[2];
    REQUIRE(rmech_haul_solve(&tackle, &over_frame, 1, &at_winch, 1, &pull, &plan, &speed, on, &haul, &error) ==
            RMECH_OK);
    show("hauling", haul.hauling.newtons);
    show("lowering", haul.lowering.newtons);
    show("highest", haul.highest.newtons);
    show("anchor", haul.anchor.newtons);
    show("load_speed", haul.load_speed.metres_per_second);
    show("pulling", haul.pulling.seconds);
    show("rope", haul.cycle.rope.metres);
    show("on_the_frame", on[0].hauling.newtons);
    show("at_the_winch_lowering", on[1].lowering.newtons);
    REQUIRE(haul.cycle.resets == 2);
    REQUIRE(haul.struct_size == sizeof haul);

    int32_t ready = 0;
    rmech_force available = rmech_n(1500.0), needed;
    REQUIRE(rmech_haul_least_advantage(&tackle, &over_frame, 1, &at_winch, 1, &pull, &available, &ready, &needed,
                                       &error) == RMECH_OK);
    REQUIRE(ready == RMECH_TACKLE_2_TO_1);
    show("with_a_2:1", needed.newtons);
    available = rmech_n(5000.0);
    REQUIRE(rmech_haul_least_advantage(&tackle, NULL, 0, NULL, 0, &pull, &available, &ready, &needed, NULL) == RMECH_OK);
    REQUIRE(ready == RMECH_TACKLE_1_TO_1);
    available = rmech_n(10.0);
    REQUIRE(rmech_haul_least_advantage(&tackle, NULL, 0, NULL, 0, &pull, &available, &ready, &needed, &error) ==
            RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "available") == 0);
    REQUIRE(ready == RMECH_TACKLE_1_TO_1);

    /* Over the edge of the road instead of the frame, and straight: a bar, with one friction each way. */
    rmech_haul_redirect over_edge = {0};
    over_edge.turn.kind = RMECH_TURN_BAR;
    over_edge.turn.friction_raising = rmech_percent(44.0);
    over_edge.turn.friction_lowering = rmech_percent(30.0);
    over_edge.angle = rmech_deg(35.0);
    rmech_haul_redirect straight = {0};
    straight.turn.kind = RMECH_TURN_FRICTIONLESS;
    REQUIRE(rmech_haul_solve(&tackle, &over_edge, 1, &straight, 1, &pull, &plan, &speed, on, &haul, &error) ==
            RMECH_OK);
    show("over_an_edge_hauling", haul.hauling.newtons);
    show("over_an_edge_lowering", haul.lowering.newtons);
    show("on_the_edge", on[0].hauling.newtons);
    REQUIRE(on[1].hauling.newtons == 0.0);

    rmech_haul before = haul;
    over_edge.turn.kind = 0;
    REQUIRE(rmech_haul_solve(&tackle, &over_edge, 1, NULL, 0, &pull, &plan, &speed, NULL, &haul, &error) ==
            RMECH_ERR_ENUMERATOR);
    REQUIRE(strcmp(error.field, "before[0].turn.kind") == 0);
    over_edge.turn.kind = RMECH_TURN_BAR;
    over_edge.turn.friction_raising = rmech_percent(-1.0);
    REQUIRE(rmech_haul_solve(&tackle, &over_edge, 1, NULL, 0, &pull, &plan, &speed, NULL, &haul, &error) ==
            RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "before[0].turn.friction_raising") == 0);
    at_winch.angle = rmech_deg(181.0);
    REQUIRE(rmech_haul_solve(&tackle, NULL, 0, &at_winch, 1, &pull, &plan, &speed, NULL, &haul, &error) ==
            RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "after[0].angle") == 0);
    pull.lowering = rmech_n(3000.0);
    REQUIRE(rmech_haul_solve(&tackle, NULL, 0, NULL, 0, &pull, &plan, &speed, NULL, &haul, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "lowering") == 0);
    pull.lowering = rmech_n(0.0);
    rmech_haul_redirect many[9];
    for (int i = 0; i < 9; i++) many[i] = sheave(90.0, 90.0);
    REQUIRE(rmech_haul_solve(&tackle, many, 9, NULL, 0, &pull, &plan, &speed, NULL, &haul, &error) ==
            RMECH_ERR_CAPACITY);
    REQUIRE(strcmp(error.field, "before_count") == 0);
    REQUIRE(rmech_haul_solve(&tackle, NULL, 1, NULL, 0, &pull, &plan, &speed, NULL, &haul, &error) ==
            RMECH_ERR_POINTER);
    REQUIRE(strcmp(error.field, "before") == 0);
    REQUIRE(memcmp(&before, &haul, sizeof haul) == 0);
    haul.struct_size = 8;
    REQUIRE(rmech_haul_solve(&tackle, NULL, 0, NULL, 0, &pull, &plan, &speed, NULL, &haul, &error) ==
            RMECH_ERR_STRUCT_SIZE);
    return 0;
}
