/* A sheave's band, and what bad input does. */
#include <math.h>

#include "client.h"

int main(void) {
    rmech_ratio efficiency = rmech_percent(90.0);
    rmech_angle turn = rmech_deg(120.0);
    rmech_band band;
    REQUIRE(rmech_sheave_band(&efficiency, &turn, &band, NULL) == RMECH_OK);
    show("hauling", band.hauling.fraction);
    show("lowering", band.lowering.fraction);

    rmech_error error = RMECH_INIT(rmech_error);
    rmech_band before = band;
    efficiency = rmech_percent(110.0);
    REQUIRE(rmech_sheave_band(&efficiency, &turn, &band, &error) == RMECH_ERR_VALUE);
    REQUIRE(error.status == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "sheave_efficiency") == 0);
    REQUIRE(error.value == 1.1 && error.highest == 1.0);
    REQUIRE(strlen(error.message) > 0);
    efficiency.fraction = (double)NAN;
    REQUIRE(rmech_sheave_band(&efficiency, &turn, &band, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_sheave_band(NULL, &turn, &band, &error) == RMECH_ERR_POINTER);
    REQUIRE(strcmp(error.field, "efficiency") == 0);
    REQUIRE(rmech_sheave_band(&efficiency, &turn, NULL, NULL) == RMECH_ERR_POINTER);
    REQUIRE(memcmp(&before, &band, sizeof band) == 0);
    return 0;
}
