/* A winch, its battery, a whole haul, its current as a gauge, and its constants from points. */
#include <math.h>

#include "client.h"

static rmech_winch worked_winch(void) {
    rmech_winch winch = RMECH_INIT(rmech_winch);
    winch.motor_constant = rmech_n_m_per_a(0.055);
    winch.no_load_current = rmech_a(6.0);
    winch.winding = rmech_mohm(20.0);
    winch.gear_ratio = rmech_fraction(180.0);
    winch.gear_efficiency = rmech_fraction(0.72);
    winch.radius = rmech_mm(36.0);
    winch.open_circuit = rmech_v(25.6);
    winch.battery = rmech_mohm(8.0);
    winch.leads = rmech_mohm(3.0);
    return winch;
}

int main(void) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_winch winch = worked_winch();
    rmech_winch_state state = RMECH_INIT(rmech_winch_state);
    rmech_force pull = rmech_n(2000.0), limit = rmech_n(8000.0);
    rmech_velocity slow = rmech_m_per_s(0.05);

    REQUIRE(rmech_winch_turning(&winch, RMECH_MOTION_HAULING, &pull, NULL, &state, &error) == RMECH_OK);
    show("current", state.current.amperes);
    show("terminal_voltage", state.terminal_voltage.volts);
    show("motor_speed", state.motor_speed.radians_per_second);
    show("line_speed", state.line_speed.metres_per_second);
    show("efficiency", state.efficiency.fraction);
    REQUIRE(rmech_winch_turning(&winch, RMECH_MOTION_HAULING, &pull, &slow, &state, &error) == RMECH_OK);
    show("slow_current", state.current.amperes);
    REQUIRE(rmech_winch_turning(&winch, RMECH_MOTION_LOWERING, &pull, NULL, &state, &error) == RMECH_OK);
    show("lowering_current", state.current.amperes);
    show("gear_loss", state.gear_loss.watts);

    rmech_force heavy = rmech_n(4000.0);
    rmech_resistance resistor = rmech_mohm(100.0);
    REQUIRE(rmech_winch_running_back(&winch, &heavy, &resistor, &state, &error) == RMECH_OK);
    show("running_back", state.line_speed.metres_per_second);
    rmech_current least, most;
    REQUIRE(rmech_winch_holding(&winch, &heavy, &least, &most, &error) == RMECH_OK);
    show("holding_least", least.amperes);
    show("holding_most", most.amperes);
    rmech_stall stall;
    REQUIRE(rmech_winch_stall(&winch, &stall, &error) == RMECH_OK);
    show("stall", stall.pull.newtons);
    REQUIRE(stall.bound == RMECH_BOUND_STALL);
    rmech_line_weight rope = rmech_n_per_m(8000.0);
    rmech_jam jam;
    REQUIRE(rmech_winch_jam(&winch, &rope, &pull, &limit, &jam, &error) == RMECH_OK);
    show("jam_rate", jam.rate.newtons_per_second);
    show("jam_time", jam.time_to_limit.seconds);
    rmech_force ea = rmech_kn(40.0);
    rmech_length five = rmech_m(5.0);
    rmech_force_rate rate;
    REQUIRE(rmech_jam_rate(&ea, &five, &slow, &rate, &error) == RMECH_OK);
    show("rate", rate.newtons_per_second);

    /* Beyond stall, bad values, wrong enumerators: a status, and outputs untouched. */
    rmech_winch_state before = state;
    rmech_force far_too_much = rmech_kn(200.0), nonsense = rmech_n((double)NAN);
    REQUIRE(rmech_winch_turning(&winch, RMECH_MOTION_HAULING, &far_too_much, NULL, &state, &error) ==
            RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "pull") == 0 && strstr(error.message, "stalls") != NULL);
    REQUIRE(rmech_winch_turning(&winch, RMECH_MOTION_HAULING, &nonsense, NULL, &state, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_winch_turning(&winch, RMECH_MOTION_AT_REST, &pull, NULL, &state, NULL) == RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_winch_turning(&winch, 17, &pull, NULL, &state, NULL) == RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_winch_turning(NULL, RMECH_MOTION_HAULING, &pull, NULL, &state, NULL) == RMECH_ERR_POINTER);
    REQUIRE(rmech_winch_turning(&winch, RMECH_MOTION_HAULING, &pull, NULL, NULL, NULL) == RMECH_ERR_POINTER);
    winch.struct_size = 4;
    REQUIRE(rmech_winch_stall(&winch, &stall, NULL) == RMECH_ERR_STRUCT_SIZE);
    winch = worked_winch();
    winch.flags = 2;
    REQUIRE(rmech_winch_stall(&winch, &stall, NULL) == RMECH_ERR_ENUMERATOR);
    winch = worked_winch();
    winch.slip = rmech_kn(6.0);
    REQUIRE(rmech_winch_stall(&winch, &stall, NULL) == RMECH_OK && stall.bound == RMECH_BOUND_SLIP);
    winch = worked_winch();
    REQUIRE(memcmp(&before, &state, sizeof state) == 0);

    /* By the maker's table. */
    rmech_winch_row rows[3] = {{rmech_lbf(0.0), rmech_a(65.0), rmech_m_per_s(0.0)},
                               {rmech_lbf(4000.0), rmech_a(250.0), rmech_m_per_s(0.0)},
                               {rmech_lbf(9000.0), rmech_a(480.0), rmech_m_per_s(0.0)}};
    rmech_ratio same = rmech_fraction(1.0);
    rmech_winch_table_state by_table;
    REQUIRE(rmech_winch_by_table(rows, 3, &same, &pull, &by_table, &error) == RMECH_OK);
    show("table_current", by_table.current.amperes);
    show("table_worst", by_table.worst_residual.amperes);
    REQUIRE(rmech_winch_by_table(rows, 3, &same, &far_too_much, &by_table, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_winch_by_table(rows, 1, &same, &pull, &by_table, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "points") == 0);
    REQUIRE(rmech_winch_by_table(NULL, 3, &same, &pull, &by_table, &error) == RMECH_ERR_POINTER);

    /* The pull from the current. */
    rmech_gauge_bands bands = {rmech_a(0.5), rmech_a(1.0), rmech_fraction(0.60), rmech_fraction(0.85),
                               rmech_fraction(0.0)};
    rmech_current reading = rmech_a(16.0);
    rmech_pull_reading read;
    REQUIRE(rmech_winch_pull_from_current(&winch, &bands, &reading, RMECH_RUNNING_HAULING, &read, &error) ==
            RMECH_OK);
    REQUIRE(read.blind == RMECH_BLIND_NOT);
    show("pull_least", read.least.newtons);
    show("pull_likely", read.likely.newtons);
    show("pull_most", read.most.newtons);
    REQUIRE(rmech_winch_pull_from_current(&winch, &bands, &reading, RMECH_RUNNING_BRAKE_SET, &read, &error) ==
            RMECH_OK);
    REQUIRE(read.blind == RMECH_BLIND_BRAKE_SET);
    REQUIRE(rmech_winch_pull_from_current(&winch, &bands, &reading, 0, &read, &error) == RMECH_ERR_ENUMERATOR);
    rmech_gauge_bands table_bands = {rmech_a(0.0), rmech_a(10.0), rmech_fraction(0.0), rmech_fraction(0.0),
                                     rmech_fraction(0.05)};
    rmech_current hundred = rmech_a(100.0);
    REQUIRE(rmech_winch_pull_from_current_by_table(rows, 3, &same, &table_bands, &hundred, RMECH_RUNNING_HAULING,
                                                   &read, &error) == RMECH_OK);
    show("table_pull_most", read.most.newtons);

    /* Drum, motor, leads, copper. */
    rmech_drum drum = RMECH_INIT(rmech_drum);
    drum.core_diameter = rmech_mm(64.0);
    drum.width = rmech_mm(220.0);
    drum.rope_diameter = rmech_mm(11.0);
    drum.layers = 5;
    rmech_length on_drum = rmech_m(20.0), capacity;
    rmech_layer layer;
    REQUIRE(rmech_drum_layer_at(&drum, &on_drum, &layer, &capacity, &error) == RMECH_OK);
    REQUIRE(layer.number == 4);
    show("layer_pull_ratio", layer.pull_ratio.fraction);
    show("capacity", capacity.metres);
    on_drum = rmech_m(1000.0);
    REQUIRE(rmech_drum_layer_at(&drum, &on_drum, &layer, NULL, &error) == RMECH_ERR_VALUE);

    rmech_voltage volts = rmech_v(12.0);
    rmech_turning_speed free_speed = rmech_rpm(3800.0), speed = rmech_rpm(2500.0);
    rmech_current none = rmech_a(0.0);
    rmech_torque stall_torque = rmech_n_m(0.030);
    rmech_motor motor;
    rmech_motor_state motor_state;
    REQUIRE(rmech_motor_from_ends(&volts, &free_speed, &none, &stall_torque, &motor, &error) == RMECH_OK);
    show("motor_constant", motor.constant.newton_metres_per_ampere);
    REQUIRE(rmech_motor_at_speed(&motor, &volts, &speed, &motor_state, &error) == RMECH_OK);
    show("motor_current", motor_state.current.amperes);
    rmech_length each_way = rmech_m(3.0);
    rmech_area area = rmech_mm2(35.0);
    rmech_resistance leads, hot;
    rmech_temperature hundred_degrees = rmech_celsius(100.0);
    REQUIRE(rmech_cable_resistance(&each_way, &area, &leads, &error) == RMECH_OK);
    show("leads", leads.ohms);
    REQUIRE(rmech_copper_resistance(&leads, &hundred_degrees, &hot, &error) == RMECH_OK);
    show("hot", hot.ohms);

    /* Battery and heat. */
    rmech_charge charge = rmech_ah(60.0);
    rmech_time rated = rmech_h(20.0), lasts;
    rmech_ratio exponent = rmech_fraction(1.2), usable;
    REQUIRE(rmech_battery_at_current(&charge, &rated, &exponent, &hundred, &lasts, &usable, &error) == RMECH_OK);
    show("lasts", lasts.seconds);
    show("usable", usable.fraction);
    rmech_motor_heat heat = {0};
    heat.kind = RMECH_HEAT_TWO_NODES;
    heat.winding.joules_per_kelvin = 400.0;
    heat.case_.joules_per_kelvin = 4000.0;
    heat.winding_to_case.kelvin_per_watt = 0.2;
    heat.case_to_air.kelvin_per_watt = 0.5;
    rmech_motor_temperatures cold = {rmech_celsius(20.0), rmech_celsius(20.0)}, warm;
    rmech_heating heating = {rmech_a(120.0), rmech_mohm(20.0), rmech_w(30.0), rmech_celsius(20.0)};
    rmech_time minute = rmech_min(1.0), to_limit;
    rmech_temperature burning = rmech_celsius(155.0), hottest;
    REQUIRE(rmech_motor_warmed(&heat, &cold, &heating, &minute, &burning, &warm, &to_limit, &error) == RMECH_OK);
    show("warm_winding", warm.winding.kelvin);
    show("to_limit", to_limit.seconds);
    REQUIRE(rmech_motor_duty_cycle(&heat, &heating, &minute, &minute, &hottest, &error) == RMECH_OK);
    show("duty_winding", hottest.kelvin);
    rmech_motor_heat lump = {0};
    lump.kind = RMECH_HEAT_ONE_NODE;
    lump.continuous_current = rmech_a(60.0);
    lump.rated_rise.kelvin = 80.0;
    lump.time_constant = rmech_min(20.0);
    REQUIRE(rmech_motor_warmed(&lump, &cold, &heating, &minute, NULL, &warm, NULL, &error) == RMECH_OK);
    show("lump", warm.winding.kelvin);
    lump.kind = RMECH_HEAT_NONE;
    REQUIRE(rmech_motor_warmed(&lump, &cold, &heating, &minute, NULL, &warm, NULL, &error) == RMECH_ERR_ENUMERATOR);

    /* A whole haul. */
    rmech_charge_voltage curve[2] = {{rmech_fraction(0.0), rmech_v(11.6)}, {rmech_fraction(1.0), rmech_v(12.7)}};
    rmech_battery battery = RMECH_INIT(rmech_battery);
    battery.capacity = charge;
    battery.rated_time = rated;
    battery.peukert_exponent = exponent;
    battery.cold_capacity = rmech_percent(80.0);
    battery.internal = rmech_mohm(4.0);
    battery.open_circuit = curve;
    battery.open_circuit_count = 2;
    battery.in_series = 2;
    rmech_haul_limits limits = RMECH_INIT(rmech_haul_limits);
    limits.charge = rmech_fraction(0.9);
    limits.reserve = rmech_fraction(0.2);
    limits.lowest_voltage = rmech_v(20.0);
    limits.standby = rmech_a(0.5);
    limits.air = rmech_celsius(5.0);
    limits.winding_limit = burning;
    limits.heat = heat;
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
    steps[2].line_speed = slow;
    rmech_haul_sample ends[3];
    rmech_haul_outcome outcome = RMECH_INIT(rmech_haul_outcome);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 3, ends, &outcome, &error) == RMECH_OK);
    REQUIRE(outcome.stop == RMECH_STOP_NONE && outcome.stopped_step == 3);
    REQUIRE(ends[0].reached == 1 && ends[2].reached == 1);
    show("haul_time", outcome.time.seconds);
    show("haul_energy", outcome.energy.joules);
    show("haul_charge", outcome.charge.fraction);
    show("haul_hottest", outcome.hottest_winding.kelvin);
    show("haul_first_end", ends[0].time.seconds);
    show("haul_lowered", outcome.lowered.metres);
    steps[0].distance = rmech_m(5000.0);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 3, ends, &outcome, &error) == RMECH_OK);
    REQUIRE(outcome.stop == RMECH_STOP_BATTERY_FLAT && outcome.stopped_step == 0 && ends[1].reached == 0);
    show("flat_distance", outcome.stopped_distance.metres);
    rmech_haul_outcome kept = outcome;
    steps[1].duration = rmech_s(-1.0);
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, steps, 3, ends, &outcome, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "duration") == 0);
    battery.open_circuit_count = 33;
    rmech_charge_voltage many[33];
    memset(many, 0, sizeof many);
    battery.open_circuit = many;
    REQUIRE(rmech_winch_haul(&winch, &battery, &limits, NULL, 0, NULL, &outcome, &error) == RMECH_ERR_CAPACITY);
    REQUIRE(memcmp(&kept, &outcome, sizeof kept) == 0);

    /* A rest ends, however many bits the haul before it takes. */
    rmech_charge_voltage lead_acid[6] = {{rmech_fraction(0.0), rmech_v(11.6)}, {rmech_fraction(0.2), rmech_v(11.9)},
                                         {rmech_fraction(0.4), rmech_v(12.15)}, {rmech_fraction(0.6), rmech_v(12.35)},
                                         {rmech_fraction(0.8), rmech_v(12.5)}, {rmech_fraction(1.0), rmech_v(12.7)}};
    battery.peukert_exponent = rmech_fraction(1.25);
    battery.open_circuit = lead_acid;
    battery.open_circuit_count = 6;
    rmech_haul_limits mild = RMECH_INIT(rmech_haul_limits);
    mild.charge = rmech_fraction(1.0);
    mild.air = rmech_celsius(15.0);
    steps[0].distance = rmech_m(0.5);
    steps[1].duration = rmech_s(30.0);
    steps[2] = steps[0];
    steps[2].distance = rmech_m(1.0);
    REQUIRE(rmech_winch_haul(&winch, &battery, &mild, steps, 3, NULL, &outcome, &error) == RMECH_OK);
    REQUIRE(outcome.stop == RMECH_STOP_NONE);
    show("timed", outcome.time.seconds);

    /* Constants from points. */
    rmech_motor_point points[3] = {{rmech_v(24.0), rmech_a(6.0), rmech_rpm(4146.0), rmech_n_m(0.0)},
                                   {rmech_v(24.0), rmech_a(106.0), rmech_rpm(3799.0), rmech_n_m(5.5)},
                                   {rmech_v(24.0), rmech_a(369.6), rmech_rpm(2884.0), rmech_n_m(20.0)}};
    rmech_motor_fit fit = RMECH_INIT(rmech_motor_fit);
    REQUIRE(rmech_motor_fit_points(points, 3, &fit, &error) == RMECH_OK);
    REQUIRE(fit.confounded == RMECH_CONSTANT_NONE && fit.spare_readings == 3);
    show("fit_winding", fit.motor.winding.ohms);
    show("fit_winding_error", fit.winding_error.ohms);
    REQUIRE(rmech_motor_fit_points(points, 1, &fit, &error) == RMECH_ERR_VALUE);
    rmech_winch_point work[2];
    for (int i = 0; i < 2; ++i) {
        rmech_force load = rmech_n(2000.0 + 2000.0 * i);
        REQUIRE(rmech_winch_turning(&winch, RMECH_MOTION_HAULING, &load, NULL, &state, &error) == RMECH_OK);
        work[i].voltage = state.terminal_voltage;
        work[i].current = state.motor_current;
        work[i].line_speed = state.line_speed;
        work[i].pull = load;
    }
    REQUIRE(rmech_winch_fit_points(work, 2, &winch.gear_ratio, &winch.radius, &fit, &error) == RMECH_OK);
    REQUIRE(fit.confounded == RMECH_CONSTANT_MOTOR && fit.confounded_with == RMECH_CONSTANT_WINDING);
    REQUIRE(isinf(fit.winding_error.ohms));
    show("fit_gear", fit.gear_efficiency.fraction);
    show("fit_condition", fit.condition);
    return 0;
}
