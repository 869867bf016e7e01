/* The library with one fault put in on purpose, to see that the attack sees it: -DFAULT=1 and so on. All other calls go to
 * the library behind it. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <math.h>
#include <stdlib.h>

#include "rope_mechanics.h"

typedef int32_t (*solve)(const rmech_line *, rmech_line_state *, rmech_error *);

int32_t rmech_line_solve(const rmech_line *line, rmech_line_state *state, rmech_error *error) {
    solve real = (solve)dlsym(RTLD_NEXT, "rmech_line_solve");
    int32_t status = real(line, state, error);
#if FAULT == 1 /* a byte too far */
    if (status == RMECH_OK) ((char *)state)[sizeof *state] = 0;
#elif FAULT == 2 /* a byte before */
    if (status == RMECH_OK) ((char *)state)[-1] = 0;
#elif FAULT == 3 /* an output of a call that is refused */
    if (status == RMECH_ERR_GEOMETRY || status == RMECH_ERR_VALUE) state->sag.metres = 0.0;
#elif FAULT == 4 /* NaN as an answer */
    if (status == RMECH_OK) state->sag.metres = NAN;
#elif FAULT == 5 /* a status that there is not */
    if (status != RMECH_OK) return 77;
#elif FAULT == 6 /* an error that tells another status */
    if (status != RMECH_OK && error && error->struct_size == sizeof *error) error->status = 1 + status;
#elif FAULT == 7 /* a text that does not end */
    if (status != RMECH_OK && error && error->struct_size == sizeof *error)
        for (int i = 0; i < 64; i++) error->field[i] = 'x';
#elif FAULT == 8 /* a crash */
    if (status == RMECH_ERR_VALUE) abort();
#elif FAULT == 9 /* an infinite answer of which the header says nothing */
    if (status == RMECH_OK) state->sag.metres = INFINITY;
#endif
    return status;
}
