#include "controller.h"

#include "rope_mechanics_units.h"

int32_t controller_start(controller *it, const controller_settings *settings, uint32_t at_ms, rmech_length *to_take_in,
                         rmech_error *error) {
    rmech_track_tensions tensions = RMECH_INIT(rmech_track_tensions);
    const rmech_line *line = &settings->line;
    rmech_length length;
    rmech_force strands;
    int32_t status;
    it->order = ORDER_FAULT;
    it->expected_low_n = it->expected_high_n = 0.0f;
    it->last_ms = at_ms;
    it->longest_gap_ms = (uint32_t)(1000.0 * settings->longest_gap.seconds);
    it->wanted_n = (float)settings->wanted.newtons;
    it->limit_n = (float)settings->limit.newtons;
    it->doubt = (float)settings->doubt.fraction;
    it->line.span_m = (float)line->span.metres;
    it->line.rise_m = (float)line->rise.metres;
    it->line.length_m = (float)line->length.metres;
    it->line.weight_n_per_m = (float)line->weight.newtons_per_metre;
    it->line.stiffness_n = (float)line->stretch.a.newtons;
    it->line.first_n = 0.0f;
    /* From the reading back to the strands while the capstan hauls, and from their tension to the length of each. */
    status = rmech_doubled_track_tensions(&settings->rope, RMECH_TRACK_KNOWN_CELL, &settings->wanted,
                                          RMECH_MOTION_HAULING, &tensions, error);
    if (status != RMECH_OK) {
        return status;
    }
    strands.newtons = tensions.strand_out.pulling_side.high.newtons + tensions.strand_back.standing_side.high.newtons;
    /* Each sheave keeps its ratio whatever the tension, so the cell shows this share of it. */
    it->cell_by_strands = (float)(settings->wanted.newtons / strands.newtons);
    status = rmech_line_length_for_tension(line, RMECH_LINE_FIRST, &strands, &length, error);
    if (status == RMECH_OK) {
        to_take_in->metres = 2.0 * (line->length.metres - length.metres);
        it->order = ORDER_RUN;
    }
    return status;
}

static controller_order judge(controller *it, const controller_reading *reading) {
    float cell_n = reading->cell_n;
    rmech_live_line line = it->line;
    rmech_live_ends ends;
    /* What nothing may delay comes first, and a comparison with NaN is false. */
    if (!(cell_n <= it->limit_n)) {
        return cell_n > it->limit_n ? ORDER_LIMIT : ORDER_FAULT;
    }
    /* A reading from before the last one is very late. */
    if (!(cell_n >= 0.0f) || reading->at_ms - it->last_ms > it->longest_gap_ms) {
        return ORDER_FAULT;
    }
    it->last_ms = reading->at_ms;
    line.length_m -= 0.5f * reading->taken_in_m;
    if (rmech_live_line_ends(&line, &ends, NULL) != RMECH_OK) {
        return ORDER_FAULT;
    }
    it->expected_low_n = (1.0f - it->doubt) * it->cell_by_strands * ends.first_n;
    it->expected_high_n = (1.0f + it->doubt) * it->cell_by_strands * ends.first_n;
    if (!(cell_n >= it->expected_low_n && cell_n <= it->expected_high_n)) {
        return ORDER_UNEXPECTED;
    }
    return cell_n >= it->wanted_n ? ORDER_REACHED : ORDER_RUN;
}

controller_order controller_step(controller *it, const controller_reading *reading) {
    if (it->order == ORDER_RUN) {
        it->order = judge(it, reading);
    }
    return it->order;
}
