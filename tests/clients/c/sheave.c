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

    rmech_turn worst, best;
    REQUIRE(rmech_turn_measured(RMECH_MEASURED_CAPTURE_PULLEY, &worst, &best, NULL) == RMECH_OK);
    show("capture_worst", worst.efficiency.fraction);
    show("capture_best", best.efficiency.fraction);
    REQUIRE(worst.kind == RMECH_TURN_SHEAVE && worst.reserved == 0 && best.kind == RMECH_TURN_SHEAVE);
    const int32_t kinds[] = {RMECH_MEASURED_RESCUE_PULLEY, RMECH_MEASURED_BUSHED_PULLEY, RMECH_MEASURED_CONNECTOR,
                             RMECH_MEASURED_TWO_CONNECTORS, RMECH_MEASURED_DESCENDER};
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        char name[32];
        REQUIRE(rmech_turn_measured(kinds[i], &worst, &best, NULL) == RMECH_OK);
        REQUIRE(rmech_turn_band(&worst, &angle, &band, NULL) == RMECH_OK);
        snprintf(name, sizeof name, "measured_%" PRId32, kinds[i]);
        show(name, band.hauling.fraction);
    }

    rmech_error error = RMECH_INIT(rmech_error);
    rmech_band before = band;
    rmech_turn best_before = best;
    REQUIRE(rmech_turn_measured(0, &worst, &best, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(strcmp(error.field, "what") == 0);
    REQUIRE(rmech_turn_measured(RMECH_MEASURED_CONNECTOR, NULL, &best, &error) == RMECH_ERR_POINTER);
    REQUIRE(memcmp(&best_before, &best, sizeof best) == 0);
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
