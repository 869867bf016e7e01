/* What each consumer builds: the versions go together, and a line hangs as the README says. */
#include <stdio.h>

#include <rope_mechanics.h>
#include <rope_mechanics_units.h>

int main(void) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_line line = RMECH_INIT(rmech_line);
    rmech_line_state state = RMECH_INIT(rmech_line_state);
    line.span = rmech_m(52.0);
    line.rise = rmech_m(-31.0);
    line.length = rmech_m(60.0);
    line.weight = rmech_n_per_m(1.804);
    line.stretch.a = rmech_kn(124.0);
    if (RMECH_CHECK_VERSION(&error) != RMECH_OK || rmech_line_solve(&line, &state, &error) != RMECH_OK) {
        fprintf(stderr, "%s\n", error.message);
        return 1;
    }
    printf("%.2f kN (%.0f lbf)\n", rmech_in_kn(state.first_tension), rmech_in_lbf(state.first_tension));
    return 0;
}
