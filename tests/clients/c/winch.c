/* A winch, its parts, its current as a gauge, and its constants from points. */
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
    rmech_stiffness rope = rmech_kn_per_m(8.0);
    rmech_jam jam;
    rmech_energy rotor = {50.0};
    REQUIRE(rmech_winch_jam(&winch, &rope, &pull, &rotor, &limit, &jam, &error) == RMECH_OK);
    show("jam_rate", rmech_in_n_per_s(jam.rate));
    show("jam_greatest", jam.greatest.newtons);
    show("jam_time", jam.time_to_limit.seconds);
    rmech_time two = rmech_s(2.0), past = rmech_s(-1.0);
    rmech_force then, untouched = rmech_n(1.0);
    REQUIRE(rmech_winch_jam_force_after(&winch, &rope, &pull, &rotor, &two, &then, &error) == RMECH_OK);
    show("jam_force", then.newtons);
    REQUIRE(rmech_winch_jam_force_after(&winch, &rope, &pull, &rotor, &past, &untouched, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "time") == 0 && untouched.newtons > 0.5);
    REQUIRE(rmech_winch_jam_force_after(&winch, NULL, &pull, &rotor, &two, &then, NULL) == RMECH_ERR_POINTER);
    rmech_ratio back;
    REQUIRE(rmech_gear_back_efficiency(&winch.gear_efficiency, &back, &error) == RMECH_OK);
    show("gear_back", back.fraction);
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
    REQUIRE(by_table.line_speed.metres_per_second == 0.0 && by_table.line_speed_most.metres_per_second == 0.0);
    rmech_winch_row speeds[3] = {{rmech_lbf(0.0), rmech_a(65.0), rmech_m_per_s(0.2)},
                                 {rmech_lbf(4000.0), rmech_a(250.0), rmech_m_per_s(0.08)},
                                 {rmech_lbf(9000.0), rmech_a(480.0), rmech_m_per_s(0.05)}};
    REQUIRE(rmech_winch_by_table(speeds, 3, &same, &pull, &by_table, &error) == RMECH_OK);
    show("table_speed", by_table.line_speed.metres_per_second);
    show("table_speed_least", by_table.line_speed_least.metres_per_second);
    show("table_speed_most", by_table.line_speed_most.metres_per_second);
    REQUIRE(rmech_winch_by_table(rows, 3, &same, &far_too_much, &by_table, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_winch_by_table(rows, 1, &same, &pull, &by_table, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "rows") == 0);
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
    rmech_length on_drum = rmech_m(20.0), capacity, radius;
    rmech_layer layer;
    rmech_ratio turns, third;
    REQUIRE(rmech_drum_layer_at(&drum, &on_drum, &layer, &error) == RMECH_OK);
    REQUIRE(layer.number == 4);
    show("layer_pull_ratio", layer.pull_ratio.fraction);
    show("layer_room", layer.room.metres);
    REQUIRE(rmech_drum_capacity(&drum, &turns, &capacity, &error) == RMECH_OK);
    REQUIRE(rmech_drum_capacity(&drum, NULL, NULL, &error) == RMECH_OK);
    show("turns", turns.fraction);
    show("capacity", capacity.metres);
    drum.layer_rise = rmech_fraction(0.866);
    REQUIRE(rmech_drum_layer(&drum, 3, &radius, &third, &error) == RMECH_OK);
    show("third_radius", radius.metres);
    show("third_pull_ratio", third.fraction);
    REQUIRE(rmech_drum_layer(&drum, 6, &radius, NULL, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "number") == 0);
    on_drum = rmech_m(1000.0);
    REQUIRE(rmech_drum_layer_at(&drum, &on_drum, &layer, &error) == RMECH_ERR_VALUE);

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
    rmech_torque tenth = rmech_n_m(0.003);
    REQUIRE(rmech_motor_at_torque(&motor, &volts, &tenth, &motor_state, &error) == RMECH_OK);
    show("motor_speed_at_torque", motor_state.speed.radians_per_second);
    rmech_length each_way = rmech_m(3.0);
    rmech_area area = rmech_mm2(35.0);
    rmech_resistance leads, hot;
    rmech_temperature hundred_degrees = rmech_celsius(100.0);
    REQUIRE(rmech_cable_resistance(&each_way, &area, &leads, &error) == RMECH_OK);
    show("leads", leads.ohms);
    REQUIRE(rmech_copper_resistance(&leads, &hundred_degrees, &hot, &error) == RMECH_OK);
    show("hot", hot.ohms);

    /* Constants from points. */
    rmech_motor_point points[3] = {{rmech_v(24.0), rmech_a(6.0), rmech_rpm(4146.0), rmech_n_m(0.0)},
                                   {rmech_v(24.0), rmech_a(106.0), rmech_rpm(3799.0), rmech_n_m(5.5)},
                                   {rmech_v(24.0), rmech_a(369.6), rmech_rpm(2884.0), rmech_n_m(20.0)}};
    rmech_motor_fit fit = RMECH_INIT(rmech_motor_fit);
    rmech_motor_residual off[3];
    REQUIRE(rmech_motor_fit_points(points, 3, off, &fit, &error) == RMECH_OK);
    show("off_voltage", off[1].voltage.volts);
    show("off_torque", off[2].torque.newton_metres);
    REQUIRE(fit.confounded == RMECH_CONSTANT_NONE && fit.spare_readings == 3);
    show("fit_winding", fit.motor.winding.ohms);
    show("fit_winding_error", fit.winding_error.ohms);
    REQUIRE(rmech_motor_fit_points(points, 1, NULL, &fit, &error) == RMECH_ERR_VALUE);
    rmech_winch_point work[2];
    for (int i = 0; i < 2; ++i) {
        rmech_force load = rmech_n(2000.0 + 2000.0 * i);
        REQUIRE(rmech_winch_turning(&winch, RMECH_MOTION_HAULING, &load, NULL, &state, &error) == RMECH_OK);
        work[i].voltage = state.terminal_voltage;
        work[i].current = state.motor_current;
        work[i].line_speed = state.line_speed;
        work[i].pull = load;
    }
    REQUIRE(rmech_winch_fit_points(work, 2, &winch.gear_ratio, &winch.radius, NULL, &fit, &error) == RMECH_OK);
    REQUIRE(fit.confounded == RMECH_CONSTANT_MOTOR && fit.confounded_with == RMECH_CONSTANT_WINDING);
    REQUIRE(isinf(fit.winding_error.ohms));
    show("fit_gear", fit.gear_efficiency.fraction);
    show("fit_condition", fit.condition);
    rmech_winch_point three[3] = {work[0], work[1], work[1]};
    three[2].current = rmech_a(30.0);
    rmech_winch_residual winch_off[3];
    REQUIRE(rmech_winch_fit_points(three, 3, &winch.gear_ratio, &winch.radius, winch_off, &fit, &error) ==
            RMECH_OK);
    show("off_current", winch_off[2].current.amperes);
    show("off_line_voltage", winch_off[2].voltage.volts);
    return 0;
}
