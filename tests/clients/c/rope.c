/* Strain and tension, there and back. */
#include <math.h>

#include "client.h"

int main(void) {
    rmech_stretch stretch = {rmech_kn(30.0), rmech_kn(200.0)};
    rmech_force tension = rmech_n(2000.0);
    rmech_ratio strain;
    REQUIRE(rmech_stretch_strain(&stretch, &tension, &strain, NULL) == RMECH_OK);
    show("strain", strain.fraction);
    REQUIRE(rmech_stretch_tension(&stretch, &strain, &tension, NULL) == RMECH_OK);
    show("tension", tension.newtons);

    rmech_error error = RMECH_INIT(rmech_error);
    rmech_ratio before = strain;
    tension.newtons = (double)NAN;
    REQUIRE(rmech_stretch_strain(&stretch, &tension, &strain, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "tension") == 0);
    stretch.a = rmech_n(0.0);
    REQUIRE(rmech_stretch_tension(&stretch, &strain, &tension, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "a") == 0);
    stretch.a = rmech_kn(30.0);
    REQUIRE(rmech_stretch_tension(NULL, &strain, &tension, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_stretch_strain(&stretch, &tension, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(memcmp(&before, &strain, sizeof strain) == 0);
    return 0;
}
