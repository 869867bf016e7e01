/* Both headers in every standard that the project promises; units there and back. */
#include <stdio.h>

#include "rope_mechanics.h"
#include "rope_mechanics_units.h"

int main(void) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_force reading = rmech_lbf(740.0);
    if (error.struct_size != sizeof error || reading.newtons != 740.0 * 4.4482216152605) {
        return 1;
    }
    if (rmech_in_kn(reading) < 3.291 || rmech_in_kn(reading) > 3.292) {
        return 2;
    }
    if (rmech_init(&error, (uint32_t)sizeof error) != RMECH_OK || error.struct_size != sizeof error) {
        return 3;
    }
    puts("ok");
    return 0;
}
