/* A winch's battery, a whole haul on it, by motor and by the maker's table, and its samples over time. */
#include "client.h"

static rmech_winch worked_winch(void) {
    rmech_winch winch = RMECH_INIT(rmech_winch);
    winch.motor_constant = rmech_n_m_per_a(0.055);
    winch.no_load_current = rmech_a(6.0);
    winch.winding = rmech_mohm(20.0);
    winch.gear_ratio = rmech_fraction(180.0);
    winch.gear_efficiency = rmech_fraction(0.72);
    winch.radius = rmech_mm(36.0);
    winch.leads = rmech_mohm(3.0);
    return winch;
}

int main(void) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_winch winch = worked_winch();
    rmech_force pull = rmech_n(2000.0);

    /* What a battery gives at a current, and is at a state of charge and in the cold. */
    rmech_charge charge = rmech_ah(60.0);
    rmech_time rated = rmech_h(20.0), minute = rmech_min(1.0), lasts;
    rmech_ratio exponent = rmech_fraction(1.2), usable;
    rmech_current hundred = rmech_a(100.0);
    REQUIRE(rmech_battery_at_current(&charge, &rated, &exponent, &hundred, &lasts, &usable, &error) == RMECH_OK);
    show("lasts", lasts.seconds);
    show("usable", usable.fraction);
    rmech_charge_voltage curve[2] = {{rmech_fraction(0.0), rmech_v(11.6)}, {rmech_fraction(1.0), rmech_v(12.7)}};
    rmech_temperature_share cold[2] = {{rmech_celsius(-20.0), rmech_fraction(0.5)},
                                       {rmech_celsius(25.0), rmech_fraction(1.0)}};
    rmech_temperature_share stiff[2] = {{rmech_celsius(-20.0), rmech_fraction(2.0)},
                                        {rmech_celsius(25.0), rmech_fraction(1.0)}};
    rmech_battery battery = RMECH_INIT(rmech_battery);
    battery.capacity = charge;
    battery.rated_time = rated;
    battery.peukert_exponent = exponent;
    battery.internal = rmech_mohm(4.0);
    battery.open_circuit = curve;
    battery.open_circuit_count = 2;
    battery.cold = cold;
    battery.cold_count = 2;
    battery.cold_resistance = stiff;
    battery.cold_resistance_count = 2;
    battery.in_series = 2;
    battery.in_parallel = 2;
    rmech_ratio half = rmech_fraction(0.5), too_full = rmech_fraction(1.5);
    rmech_temperature frost = rmech_celsius(-10.0);
    rmech_battery_state state;
    REQUIRE(rmech_battery_at_charge(&battery, &half, &frost, &state, &error) == RMECH_OK);
    show("open_circuit", state.open_circuit.volts);
    show("internal", state.internal.ohms);
    show("capacity", state.capacity.coulombs);
    show("rated_current", state.rated_current.amperes);
    rmech_battery_state same = state;
    REQUIRE(rmech_battery_at_charge(&battery, &too_full, &frost, &state, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "charge") == 0 && memcmp(&same, &state, sizeof state) == 0);
    REQUIRE(rmech_battery_at_charge(NULL, &half, &frost, &state, &error) == RMECH_ERR_POINTER);
    battery.in_parallel = 0;

    /* A whole haul: a warm motor in the cold, followed twice as closely. */
    rmech_temperature burning = rmech_celsius(155.0);
    rmech_haul_limits limits = RMECH_INIT(rmech_haul_limits);
    limits.flags = RMECH_HAUL_STEP_ENDS | RMECH_HAUL_WARM_START;
    limits.charge = rmech_fraction(0.9);
    limits.reserve = rmech_fraction(0.2);
    limits.lowest_voltage = rmech_v(20.0);
    limits.standby = rmech_a(0.5);
    limits.air = rmech_celsius(5.0);
    limits.winding_limit = burning;
    limits.heat.kind = RMECH_HEAT_TWO_NODES;
    limits.heat.winding = rmech_j_per_k(400.0);
    limits.heat.case_ = rmech_j_per_k(4000.0);
    limits.heat.winding_to_case = rmech_k_per_w(0.2);
    limits.heat.case_to_air = rmech_k_per_w(0.5);
    limits.start.winding = rmech_celsius(60.0);
    limits.start.case_ = rmech_celsius(40.0);
    limits.interval = rmech_s(0.5);
    rmech_haul_step steps[3];
    memset(steps, 0, sizeof steps);
    steps[0].motion = RMECH_MOTION_HAULING;
    steps[0].extent = RMECH_EXTENT_DISTANCE;
    steps[0].pull = pull;
    steps[0].distance = rmech_m(30.0);
    steps[1].motion = RMECH_MOTION_AT_REST;
    steps[1].duration = minute;
    steps[2].motion = RMECH_MOTION_LOWERING;
    steps[2].extent = RMECH_EXTENT_DURATION;
    steps[2].pull = pull;
    steps[2].duration = minute;
    steps[2].line_speed = rmech_m_per_s(0.05);
    rmech_haul_sample ends[3];
    size_t count = 77;
    rmech_haul_outcome outcome = RMECH_INIT(rmech_haul_outcome);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 3, ends, 3, &count, &outcome, &error) == RMECH_OK);
    REQUIRE(outcome.stop == RMECH_STOP_NONE && outcome.stopped_step == 3 && count == 3);
    REQUIRE(ends[0].step == 0 && ends[2].step == 2 && ends[2].motion == RMECH_MOTION_LOWERING);
    show("haul_time", outcome.time.seconds);
    show("haul_energy", outcome.energy.joules);
    show("haul_charge", outcome.charge.fraction);
    show("haul_hottest", outcome.hottest_winding.kelvin);
    show("haul_first_end", ends[0].time.seconds);
    show("haul_lowered", outcome.lowered.metres);
    REQUIRE(ends[2].time.seconds <= outcome.time.seconds && ends[2].time.seconds >= outcome.time.seconds);

    /* The same over time: first how many, then all of them. */
    limits.flags = RMECH_HAUL_WARM_START;
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 3, NULL, 0, &count, &outcome, &error) == RMECH_OK);
    REQUIRE(count > 500);
    size_t samples_needed = count;
    rmech_haul_sample *samples = malloc(samples_needed * sizeof *samples);
    REQUIRE(samples != NULL);
    memset(samples, 0x5a, samples_needed * sizeof *samples);
    rmech_haul_sample blank = samples[0];
    rmech_haul_outcome kept = outcome;
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 2, samples, 3, &count, &outcome, &error) ==
            RMECH_ERR_CAPACITY);
    REQUIRE(count < samples_needed && count > 3 && strcmp(error.field, "samples") == 0);
    REQUIRE(memcmp(&blank, &samples[0], sizeof blank) == 0 && memcmp(&kept, &outcome, sizeof kept) == 0);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 3, samples, samples_needed, &count, &outcome,
                             &error) == RMECH_OK);
    REQUIRE(count == samples_needed);
    /* Samples over the steps that are still read. */
    rmech_haul_step *mixed = malloc(samples_needed * sizeof *samples);
    REQUIRE(mixed != NULL);
    memcpy(mixed, steps, 3 * sizeof *mixed);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, mixed, 3, (rmech_haul_sample *)mixed, samples_needed, &count,
                             &outcome, &error) == RMECH_ERR_POINTER);
    REQUIRE(strcmp(error.field, "samples") == 0 && memcmp(mixed, steps, 3 * sizeof *mixed) == 0);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, mixed, 3, NULL, 0, (size_t *)&mixed[1].distance, &outcome, &error) ==
            RMECH_ERR_POINTER);
    free(mixed);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 3, samples, samples_needed, &count, &outcome,
                             &error) == RMECH_OK);
    double times = 0.0, windings = 0.0;
    for (size_t i = 0; i < count; ++i) {
        times += samples[i].time.seconds;
        windings += samples[i].winding.kelvin;
    }
    show("sample_count", (double)count);
    show("sample_times", times);
    show("sample_windings", windings);
    show("sample_distance", samples[5].distance.metres);
    free(samples);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 3, NULL, 9, &count, &outcome, NULL) ==
            RMECH_ERR_POINTER);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 3, ends, 3, NULL, &outcome, NULL) ==
            RMECH_ERR_POINTER);

    /* An empty battery, bad values. */
    limits.flags = RMECH_HAUL_STEP_ENDS;
    steps[0].distance = rmech_m(5000.0);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 3, ends, 3, &count, &outcome, &error) == RMECH_OK);
    REQUIRE(outcome.stop == RMECH_STOP_BATTERY_FLAT && outcome.stopped_step == 0 && count == 1);
    show("flat_distance", outcome.stopped_distance.metres);
    kept = outcome;
    steps[1].duration = rmech_s(-1.0);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 3, NULL, 0, NULL, &outcome, &error) ==
            RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "steps[1].duration") == 0);
    limits.flags = 4;
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, NULL, 0, NULL, 0, NULL, &outcome, &error) ==
            RMECH_ERR_ENUMERATOR);
    limits.flags = 0;
    limits.interval = rmech_s(1e-3);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, NULL, 0, NULL, 0, NULL, &outcome, &error) ==
            RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "interval") == 0);
    battery.cold_count = 33;
    rmech_temperature_share many[33];
    memset(many, 0, sizeof many);
    battery.cold = many;
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, NULL, 0, NULL, 0, NULL, &outcome, &error) ==
            RMECH_ERR_CAPACITY);
    REQUIRE(strcmp(error.field, "cold_count") == 0 && memcmp(&kept, &outcome, sizeof kept) == 0);
    battery.cold = cold;
    battery.cold_count = 2;

    /* A rest ends, however many bits the haul before it takes. */
    rmech_charge_voltage lead_acid[6] = {{rmech_fraction(0.0), rmech_v(11.6)}, {rmech_fraction(0.2), rmech_v(11.9)},
                                         {rmech_fraction(0.4), rmech_v(12.15)}, {rmech_fraction(0.6), rmech_v(12.35)},
                                         {rmech_fraction(0.8), rmech_v(12.5)}, {rmech_fraction(1.0), rmech_v(12.7)}};
    rmech_battery plain = RMECH_INIT(rmech_battery);
    plain.capacity = charge;
    plain.rated_time = rated;
    plain.peukert_exponent = rmech_fraction(1.25);
    plain.internal = rmech_mohm(4.0);
    plain.open_circuit = lead_acid;
    plain.open_circuit_count = 6;
    plain.in_series = 2;
    rmech_haul_limits mild = RMECH_INIT(rmech_haul_limits);
    mild.charge = rmech_fraction(1.0);
    mild.air = rmech_celsius(15.0);
    steps[0].distance = rmech_m(0.5);
    steps[1].duration = rmech_s(30.0);
    steps[2] = steps[0];
    steps[2].distance = rmech_m(1.0);
    REQUIRE(rmech_winch_haul(&winch, &plain, &mild, steps, 3, NULL, 0, NULL, &outcome, &error) == RMECH_OK);
    REQUIRE(outcome.stop == RMECH_STOP_NONE);
    show("timed", outcome.time.seconds);

    /* A battery that holds nothing that a number of any use could say is refused, and one that holds a speck is flat. */
    rmech_haul_outcome unsolved = outcome;
    plain.capacity.coulombs = 1e-320;
    mild.standby = rmech_a(1.0);
    REQUIRE(rmech_winch_haul(&winch, &plain, &mild, &steps[1], 1, NULL, 0, NULL, &outcome, &error) ==
            RMECH_ERR_VALUE);
    REQUIRE(memcmp(&unsolved, &outcome, sizeof outcome) == 0);
    plain.capacity.coulombs = 1e-20;
    REQUIRE(rmech_winch_haul(&winch, &plain, &mild, &steps[1], 1, NULL, 0, NULL, &outcome, &error) == RMECH_OK);
    REQUIRE(outcome.stop == RMECH_STOP_BATTERY_FLAT);
    plain.capacity = charge;
    mild.standby = rmech_a(0.0);

    /* By the maker's table, on another layer than it is for. */
    rmech_winch_row rows[2] = {{rmech_lbf(0.0), rmech_a(65.0), rmech_m_per_s(0.2)},
                               {rmech_lbf(9000.0), rmech_a(480.0), rmech_m_per_s(0.02)}};
    rmech_ratio layer = rmech_fraction(1.5);
    rmech_resistance leads = rmech_mohm(3.0);
    REQUIRE(rmech_winch_haul_by_table(rows, 2, &layer, &leads, &plain, &mild, steps, 3, NULL, 0, &count, &outcome,
                                      &error) == RMECH_OK);
    REQUIRE(outcome.stop == RMECH_STOP_NONE && count > 30);
    show("table_time", outcome.time.seconds);
    show("table_charge", outcome.charge.fraction);
    show("table_voltage", outcome.lowest_voltage.volts);
    steps[0].motion = RMECH_MOTION_LOWERING;
    REQUIRE(rmech_winch_haul_by_table(rows, 2, &layer, &leads, &plain, &mild, steps, 3, NULL, 0, NULL, &outcome,
                                      &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strstr(error.message, "lowering") != NULL);
    REQUIRE(rmech_winch_haul_by_table(rows, 2, &layer, NULL, &plain, &mild, steps, 3, NULL, 0, NULL, &outcome,
                                      &error) == RMECH_ERR_POINTER);
    return 0;
}
