#include "controller.h"

#include "rope_mechanics_units.h"

/* What the cell shows while the capstan hauls, with both strands at the head pulling by this together. */
static int32_t at_cell(const controller_settings *settings, rmech_force strands, rmech_force *cell, rmech_error *error) {
    rmech_track_tensions tensions = RMECH_INIT(rmech_track_tensions);
    int32_t status = rmech_doubled_track_tensions(&settings->rope, RMECH_TRACK_KNOWN_STRANDS_AT_HEAD, &strands,
                                                  RMECH_MOTION_HAULING, &tensions, error);
    *cell = tensions.cell.high;
    return status;
}

int32_t controller_start(controller *it, const controller_settings *settings, rmech_length *to_take_in,
                         rmech_error *error) {
    rmech_track_tensions tensions = RMECH_INIT(rmech_track_tensions);
    rmech_length length;
    rmech_force strands;
    int32_t status;
    it->settings = *settings;
    it->last.seconds = 0.0;
    it->expected.low.newtons = it->expected.high.newtons = 0.0;
    it->order = ORDER_FAULT;
    /* From the reading back to the strands, and from their tension to the length of each. */
    status = rmech_doubled_track_tensions(&settings->rope, RMECH_TRACK_KNOWN_CELL, &settings->wanted,
                                          RMECH_MOTION_HAULING, &tensions, error);
    if (status != RMECH_OK) {
        return status;
    }
    strands.newtons = tensions.strand_out.pulling_side.high.newtons + tensions.strand_back.standing_side.high.newtons;
    status = rmech_line_length_for_tension(&settings->line, RMECH_LINE_FIRST, &strands, &length, error);
    if (status == RMECH_OK) {
        to_take_in->metres = 2.0 * (settings->line.length.metres - length.metres);
        it->order = ORDER_RUN;
    }
    return status;
}

static controller_order judge(controller *it, const controller_reading *reading) {
    const controller_settings *settings = &it->settings;
    double cell = reading->cell.newtons;
    double gap = reading->at.seconds - it->last.seconds;
    double doubt = settings->doubt.fraction;
    rmech_line line = settings->line;
    rmech_line_state state = RMECH_INIT(rmech_line_state);
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_force shown;
    /* What nothing may delay comes first, and a comparison with NaN is false. */
    if (!(cell <= settings->limit.newtons)) {
        return cell > settings->limit.newtons ? ORDER_LIMIT : ORDER_FAULT;
    }
    if (!(cell >= 0.0 && gap >= 0.0 && gap <= settings->longest_gap.seconds)) {
        return ORDER_FAULT;
    }
    it->last = reading->at;
    line.length.metres -= 0.5 * reading->taken_in.metres;
    if (rmech_line_solve(&line, &state, &error) != RMECH_OK ||
        at_cell(settings, state.first_tension, &shown, &error) != RMECH_OK) {
        return ORDER_FAULT;
    }
    it->expected.low.newtons = (1.0 - doubt) * shown.newtons;
    it->expected.high.newtons = (1.0 + doubt) * shown.newtons;
    if (!(cell >= it->expected.low.newtons && cell <= it->expected.high.newtons)) {
        return ORDER_UNEXPECTED;
    }
    return cell >= settings->wanted.newtons ? ORDER_REACHED : ORDER_RUN;
}

controller_order controller_step(controller *it, const controller_reading *reading) {
    if (it->order == ORDER_RUN) {
        it->order = judge(it, reading);
    }
    return it->order;
}
