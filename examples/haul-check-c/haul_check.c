/* What the controller of a haul winch asks before it pulls: a 3:1 over a redirect with its losses, the frame above
 * it, and whether the battery lasts.
 *
 * CAUTION. An aid for planning and training by qualified people, never the only limit on a load. A winch built for
 * pulling may be barred by its own standard from lifting people: ask its maker. Local codes, makers' instructions
 * and the authority having jurisdiction come first.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "rope_mechanics.h"
#include "rope_mechanics_units.h"

static void require(int32_t status, const rmech_error *error) {
    if (status != RMECH_OK) {
        fprintf(stderr, "haul_check: %s: %s\n", rmech_status_text(status), error->message);
        exit(EXIT_FAILURE);
    }
}

static rmech_point at(double x, double y, double z) {
    rmech_point point;
    point.x = rmech_m(x);
    point.y = rmech_m(y);
    point.z = rmech_m(z);
    return point;
}

/* The run from one point to another, and how long it is. */
static rmech_direction run(rmech_point from, rmech_point to) {
    rmech_direction direction;
    direction.x = rmech_fraction(to.x.metres - from.x.metres);
    direction.y = rmech_fraction(to.y.metres - from.y.metres);
    direction.z = rmech_fraction(to.z.metres - from.z.metres);
    return direction;
}

static rmech_length distance(rmech_point from, rmech_point to) {
    rmech_direction d = run(from, to);
    return rmech_m(sqrt(d.x.fraction * d.x.fraction + d.y.fraction * d.y.fraction + d.z.fraction * d.z.fraction));
}

/* Where the haul rope runs: up the slope to the sheave on the head of the frame, back to the anchor of the 3:1. All
 * else follows from these points, so that the sheave, the haul and the frame speak of the same turn. */
typedef struct {
    rmech_point load, head, anchor;
} places;

/* How far the rope turns on the head, and how hard it pulls there behind the turn. */
static rmech_turn_load over_head(const places *at_site, rmech_force pull_at_load, rmech_force *behind) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_direction to_load = run(at_site->head, at_site->load), to_pull = run(at_site->head, at_site->anchor);
    rmech_force_band pull;
    rmech_turn_load on_head;
    rmech_turn sheave;
    memset(&sheave, 0, sizeof sheave);
    sheave.kind = RMECH_TURN_SHEAVE;
    sheave.efficiency = rmech_percent(90.0);
    require(rmech_redirect_resultant(&sheave, &to_load, &to_pull, &pull_at_load, RMECH_MOTION_HAULING, &pull, &on_head,
                                     &error),
            &error);
    *behind = pull.high;
    return on_head;
}

/* The winch's pull for this pull of the haul rope, through a 3:1 behind the sheave on the head. */
static rmech_haul haul_line(const places *at_site, rmech_angle turn, rmech_force pull_at_load,
                            rmech_redirect_force *on_head) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_tackle tackle = RMECH_INIT(rmech_tackle);
    rmech_haul haul = RMECH_INIT(rmech_haul);
    rmech_haul_redirect over;
    rmech_pull pull = { pull_at_load, pull_at_load };
    rmech_haul_plan plan = { rmech_m(50.0), rmech_m(0.5), rmech_m(0.05) };
    rmech_velocity line_speed = rmech_m_per_s(0.09);
    memset(&over, 0, sizeof over);
    over.turn.kind = RMECH_TURN_SHEAVE;
    over.turn.efficiency = rmech_percent(90.0);
    over.angle = turn;
    tackle.ready = RMECH_TACKLE_3_TO_1;
    tackle.load_distance =
        rmech_m(distance(at_site->load, at_site->head).metres + distance(at_site->head, at_site->anchor).metres);
    tackle.spread = rmech_m(10.0);
    tackle.hand_distance = rmech_m(2.0);
    tackle.efficiency = rmech_percent(90.0);
    require(rmech_haul_solve(&tackle, &over, 1, NULL, 0, &pull, &plan, &line_speed, on_head, &haul, &error), &error);
    return haul;
}

/* The legs of a tripod under both parts of the haul rope: the one from the load, and the one to the 3:1. */
static rmech_force frame(const places *at_site, rmech_force from_load, rmech_force behind) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_frame tripod = RMECH_INIT(rmech_frame);
    rmech_frame_forces forces = RMECH_INIT(rmech_frame_forces);
    rmech_leg legs[3];
    rmech_leg_forces in_legs[3];
    rmech_at_head ropes[2];
    double x, y, z;
    memset(legs, 0, sizeof legs);
    memset(ropes, 0, sizeof ropes);
    legs[0].foot = at(1.0, 1.1, 0.0);
    legs[1].foot = at(1.0, -1.1, 0.0);
    legs[2].foot = at(-1.8, 0.0, 0.0);
    tripod.head = at_site->head;
    tripod.legs = legs;
    tripod.leg_count = 3;
    ropes[0].kind = RMECH_AT_HEAD_TOWARDS;
    ropes[0].point = at_site->load;
    ropes[0].tension = from_load;
    ropes[1].kind = RMECH_AT_HEAD_TOWARDS;
    ropes[1].point = at_site->anchor;
    ropes[1].tension = behind;
    require(rmech_frame_solve(&tripod, ropes, 2, &forces, in_legs, NULL, NULL, &error), &error);
    for (int i = 0; i < 3; ++i) {
        printf("leg %d: %.2f kN (%.0f lbf)\n", i + 1, rmech_in_kn(in_legs[i].compression),
               rmech_in_lbf(in_legs[i].compression));
    }
    x = forces.resultant.x.newtons;
    y = forces.resultant.y.newtons;
    z = forces.resultant.z.newtons;
    return rmech_n(sqrt(x * x + y * y + z * z));
}

/* Current, and what is left of the battery after the haul. */
static void battery(rmech_force pull, rmech_length rope) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_winch winch = RMECH_INIT(rmech_winch);
    rmech_winch_state state = RMECH_INIT(rmech_winch_state);
    rmech_battery cells = RMECH_INIT(rmech_battery);
    rmech_haul_limits limits = RMECH_INIT(rmech_haul_limits);
    rmech_haul_outcome outcome = RMECH_INIT(rmech_haul_outcome);
    rmech_charge_voltage open_circuit = { rmech_fraction(1.0), rmech_v(25.6) };
    rmech_haul_step step;
    winch.motor_constant = rmech_n_m_per_a(0.055);
    winch.no_load_current = rmech_a(6.0);
    winch.winding = rmech_mohm(20.0);
    winch.gear_ratio = rmech_fraction(180.0);
    winch.gear_efficiency = rmech_percent(72.0);
    winch.radius = rmech_mm(36.0);
    winch.open_circuit = rmech_v(25.6);
    winch.battery = rmech_mohm(8.0);
    winch.leads = rmech_mohm(3.0);
    require(rmech_winch_turning(&winch, RMECH_MOTION_HAULING, &pull, NULL, &state, &error), &error);
    printf("current: %.1f A at %.2f V, line speed %.3f m/s (%.0f ft/min)\n", rmech_in_a(state.current),
           rmech_in_v(state.terminal_voltage), rmech_in_m_per_s(state.line_speed),
           rmech_in_ft_per_min(state.line_speed));

    cells.capacity = rmech_ah(50.0);
    cells.rated_time = rmech_h(20.0);
    cells.peukert_exponent = rmech_fraction(1.2);
    cells.internal = rmech_mohm(8.0);
    cells.open_circuit = &open_circuit;
    cells.open_circuit_count = 1;
    limits.charge = rmech_percent(100.0);
    limits.reserve = rmech_percent(20.0);
    limits.air = rmech_celsius(5.0);
    memset(&step, 0, sizeof step);
    step.motion = RMECH_MOTION_HAULING;
    step.extent = RMECH_EXTENT_DISTANCE;
    step.pull = pull;
    step.distance = rope;
    require(rmech_winch_haul(&winch, &cells, &limits, &step, 1, NULL, 0, NULL, &outcome, &error), &error);
    printf("battery: %s, %.1f min, %.0f %% left\n", outcome.stop == RMECH_STOP_NONE ? "lasts" : "DOES NOT LAST",
           rmech_in_min(outcome.time), rmech_in_percent(outcome.charge));
}

int main(void) {
    places at_site = { at(40.0, 0.0, -37.0), at(0.0, 0.0, 3.0), at(-22.0, 0.0, 0.0) };
    rmech_force pull = rmech_kn(1.5), behind, on_frame;
    rmech_redirect_force on_head;
    rmech_turn_load turn = over_head(&at_site, pull, &behind);
    rmech_haul haul = haul_line(&at_site, turn.wrap, pull, &on_head);
    printf("haul rope %.2f kN (%.0f lbf): winch %.2f kN (%.0f lbf) through the 3:1, %u throws\n", rmech_in_kn(pull),
           rmech_in_lbf(pull), rmech_in_kn(haul.hauling), rmech_in_lbf(haul.hauling), (unsigned)haul.cycle.throws);
    printf("sheave on the head: turns %.1f degrees, %.2f kN (%.0f lbf)\n", rmech_in_deg(turn.wrap),
           rmech_in_kn(on_head.hauling), rmech_in_lbf(on_head.hauling));
    on_frame = frame(&at_site, pull, behind);
    printf("frame: carries %.2f kN (%.0f lbf) at its head\n", rmech_in_kn(on_frame), rmech_in_lbf(on_frame));
    battery(haul.hauling, haul.cycle.hand);
    puts("An aid for planning and training by qualified people, never the only limit on a load.");
    return EXIT_SUCCESS;
}
