/* The bands of a sheave and a bar, and what bad input does. */
#include <math.h>

#include "client.h"

int main(void) {
    rmech_turn sheave = {0}, bar = {0};
    rmech_angle angle = rmech_deg(120.0), wraps = rmech_deg(900.0);
    rmech_band band;
    sheave.kind = RMECH_TURN_SHEAVE;
    sheave.efficiency = rmech_percent(90.0);
    REQUIRE(rmech_turn_band(&sheave, &angle, &band, NULL) == RMECH_OK);
    show("hauling", band.hauling.fraction);
    show("lowering", band.lowering.fraction);
    bar.kind = RMECH_TURN_BAR;
    bar.friction_raising = rmech_percent(20.0);
    bar.friction_lowering = rmech_percent(25.0);
    REQUIRE(rmech_turn_band(&bar, &wraps, &band, NULL) == RMECH_OK);
    show("bar_hauling", band.hauling.fraction);
    show("bar_lowering", band.lowering.fraction);

    rmech_error error = RMECH_INIT(rmech_error);
    rmech_band before = band;
    sheave.efficiency = rmech_percent(110.0);
    REQUIRE(rmech_turn_band(&sheave, &angle, &band, &error) == RMECH_ERR_VALUE);
    REQUIRE(error.status == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "efficiency") == 0);
    REQUIRE(error.value == 1.1 && error.highest == 1.0);
    REQUIRE(strlen(error.message) > 0);
    sheave.efficiency.fraction = (double)NAN;
    REQUIRE(rmech_turn_band(&sheave, &angle, &band, &error) == RMECH_ERR_VALUE);
    bar.friction_lowering = rmech_fraction(-0.1);
    REQUIRE(rmech_turn_band(&bar, &angle, &band, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "friction_lowering") == 0);
    bar.kind = 9;
    REQUIRE(rmech_turn_band(&bar, &angle, &band, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_turn_band(NULL, &angle, &band, &error) == RMECH_ERR_POINTER);
    REQUIRE(strcmp(error.field, "turn") == 0);
    REQUIRE(rmech_turn_band(&sheave, &angle, NULL, NULL) == RMECH_ERR_POINTER);
    REQUIRE(memcmp(&before, &band, sizeof band) == 0);
    return 0;
}
