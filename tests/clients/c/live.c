/* Live calls in single precision: what a control loop asks while a rope is hauled in. */
#include "client.h"

int main(void) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_live_line line = {0};
    rmech_live_ends ends;
    rmech_live_length length;
    rmech_live_turn turn = {0};
    rmech_live_ratio ratio;
    line.span_m = 52.0f;
    line.rise_m = -31.0f;
    line.length_m = 60.25f;
    line.weight_n_per_m = 1.8f;
    line.stiffness_n = 124e3f;
    REQUIRE(rmech_live_line_ends(&line, &ends, &error) == RMECH_OK);
    show("horizontal_n", (double)ends.horizontal_n);
    show("first_n", (double)ends.first_n);
    show("last_n", (double)ends.last_n);
    show("first_up_n", (double)ends.first_up_n);
    show("last_up_n", (double)ends.last_up_n);
    show("residual", (double)ends.residual);
    show("iterations", (double)ends.iterations);

    line.first_n = 1500.0f;
    REQUIRE(rmech_live_line_length(&line, &length, &error) == RMECH_OK);
    show("length_m", (double)length.length_m);
    show("length_residual", (double)length.residual);
    show("length_iterations", (double)length.iterations);

    turn.kind = RMECH_TURN_SHEAVE;
    turn.motion = RMECH_MOTION_HAULING;
    turn.efficiency = 0.91f;
    turn.wrap_rad = 2.1f;
    REQUIRE(rmech_live_turn_ratio(&turn, &ratio, &error) == RMECH_OK);
    show("sheave", (double)ratio.ratio);
    turn.kind = RMECH_TURN_BAR;
    turn.motion = RMECH_MOTION_LOWERING;
    turn.friction = 0.2f;
    REQUIRE(rmech_live_turn_ratio(&turn, &ratio, &error) == RMECH_OK);
    show("bar", (double)ratio.ratio);
    turn.kind = RMECH_TURN_FRICTIONLESS;
    REQUIRE(rmech_live_turn_ratio(&turn, &ratio, &error) == RMECH_OK && ratio.ratio == 1.0f);

    /* What can't be answered says why. */
    turn.motion = RMECH_MOTION_AT_REST;
    REQUIRE(rmech_live_turn_ratio(&turn, &ratio, &error) == RMECH_ERR_VALUE && strcmp(error.field, "motion") == 0);
    line.length_m = 190e3f;
    REQUIRE(rmech_live_line_ends(&line, &ends, &error) == RMECH_ERR_GEOMETRY && strcmp(error.field, "length_m") == 0);
    line.first_n = 50.0f;
    REQUIRE(rmech_live_line_length(&line, &length, &error) == RMECH_ERR_GEOMETRY && strcmp(error.field, "first_n") == 0);
    line.span_m = 1.0f;
    line.rise_m = 0.0f;
    line.first_n = 1000.0f;
    line.stiffness_n = 1e10f;
    REQUIRE(rmech_live_line_length(&line, &length, &error) == RMECH_ERR_UNSOLVED);
    return 0;
}
