/* rope_mechanics.h - the C interface of rope-mechanics. Generated from rope-ffi; don't edit.
 *
 * CAUTION. An aid for planning and training by qualified people. It is not a certified safety function and
 * must never be the only limit on a load. The inputs, the inspection and the equipment are the user's; results
 * are estimates, good to about +-15 % in tension where nothing was measured. Local codes, makers' instructions
 * and the authority having jurisdiction come first.
 *
 * In this file: the contract; the contents; then topic by topic its example, constants, types and functions.
 * Include rope_mechanics_units.h to build quantities: rmech_lbf(740.0), rmech_ft(210.0). In the examples it is included,
 * and there is an rmech_error error = RMECH_INIT(rmech_error). Each topic begins with its formulas, what is assumed,
 * the range and the source; its picture with the symbols is the file that it names, in the repository.
 *
 * THE CONTRACT holds for every function that doesn't say otherwise.
 *
 * Status. A function returns RMECH_OK or one of RMECH_ERR_... (rmech_status_text, rmech_version and rmech_abi_version
 *   return what they are named for; the ..._destroy return nothing). Outputs are written only with RMECH_OK, except a
 *   count or size that says how large a buffer must be.
 * Error. `error` may be NULL. Otherwise it takes the detail of a failure: `field` names the input at fault by its path
 *   here, as in "stretch.a" or "legs[2].foot.x". Its struct_size must be set, else RMECH_ERR_STRUCT_SIZE.
 * Quantities. A quantity is a struct of one member, named for its unit. Where a number is read, NaN and infinity are
 *   refused unless it says what they stand for.
 * Structs. Start each from zeros, then set what you need:
 *     rmech_line line = RMECH_INIT(rmech_line);     one that begins with struct_size, inputs and outputs alike;
 *                                                   rmech_init(&line, sizeof line) does the same
 *     rmech_turn turn = {0};                        any other, in C
 *     rmech_turn turn = {};                         any other, in C++
 *   A struct_size of an older version is understood, its missing members read as zero; any other is refused before
 *   anything is computed, but for a longer rmech_error, which is written as far as this version knows it. A `reserved`
 *   member must stay zero: another value is refused with RMECH_ERR_ENUMERATOR and the field "reserved".
 * Pointers. They must be aligned, and point to memory of their type that nobody changes during the call. NULL is refused
 *   with RMECH_ERR_POINTER unless the function allows it; an array of no elements may be NULL.
 * Overlap. Inputs are read before outputs are written, so an output may take the place of an input. Where an array is
 *   still read while outputs are written, an output that overlaps it is refused with RMECH_ERR_POINTER. Two outputs of
 *   one call must not overlap.
 * Ownership. Memory that you pass stays yours, and no pointer to it is kept after the call. A handle belongs to you from
 *   its ..._create, ..._read_json, ..._solve..., or ..._respond until its ..._destroy, which accepts NULL.
 *   It may outlive the handle that it was made from.
 * Threads. Any function may be called from any thread at any time. One handle may be used by one thread at a time.
 * Memory. Only rmech_rig_... and rmech_operation_... allocate. When memory runs out there, the process is ended
 *   (abort): on a controller, use the others, which need only stack. Each function's "Cost" says its heap, its stack and
 *   its steps. The stack is that of the controller's build on x86-64 with a tenth to spare, which CI holds; the shared
 *   library takes some more. Give a thread that calls rmech_rig_... or rmech_operation_... 512 kB, which is tested.
 * Time. No call waits for anything, and each ends: its steps are bounded. Where the bound is long, as for a rig or an
 *   operation, a budget or a flag stops it.
 * Faults. No function unwinds, throws or jumps into its caller. A fault of the library is caught, told on stderr, and
 *   returned as RMECH_ERR_INTERNAL. Signals, errno and the floating-point environment are left alone.
 * Locale. No function reads the locale: numbers in texts have a point, and all texts are UTF-8.
 * Versions. Call RMECH_CHECK_VERSION(&error) once, first: RMECH_ERR_VERSION says that this header and the library that
 *   runs don't go together. While RMECH_ABI_VERSION stays, a later library serves programs compiled with an earlier
 *   header. Such a library may add functions, constants and statuses, append members to structs that begin with
 *   struct_size, give a meaning to a reserved member, change a function's cost, reword messages, and change the last digits of a result. It
 *   doesn't remove or rename anything, change a number of a constant, or move a member. So: treat a status or enumerator
 *   that you don't know as a failure, and don't compare messages.
 *
 * CONTENTS
 *   Versions
 *     rmech_version, rmech_abi_version, rmech_check_version
 *   Statuses, and structs set to zeros
 *     rmech_status_text, rmech_init
 *   Ropes: strain and tension
 *     rmech_stretch_strain, rmech_stretch_tension
 *   Losses at a bend
 *     rmech_turn_measured, rmech_turn_band
 *   Strength left, and the weakest link
 *     rmech_strength_reduced, rmech_usual_reduction, rmech_bend_reduction, rmech_weakest_link
 *   Lines between two supports, elastic and not
 *     rmech_line_solve, rmech_line_solve_ends, rmech_line_solve_many, rmech_line_points,
 *     rmech_line_length_for_tension, rmech_line_length_for_horizontal_tension, rmech_line_length_for_sag,
 *     rmech_catenary_by_length, rmech_catenary_by_horizontal_tension, rmech_catenary_by_end_tension,
 *     rmech_catenary_by_sag
 *   A load on a track rope, rolling or held
 *     rmech_carriage_rolling, rmech_carriage_held_at_x, rmech_carriage_held_by_haul_length,
 *     rmech_carriage_held_at_height_above, rmech_carriage_length_for_tension,
 *     rmech_carriage_length_for_point
 *   One rope over its bends
 *     rmech_reeving_tensions, rmech_doubled_track_tensions, rmech_redirect_load, rmech_redirect_resultant
 *   Rope wrapped on a capstan, and what a hand holds
 *     rmech_capstan_tail, rmech_capstan_load, rmech_capstan_grip, rmech_capstan_turns, rmech_hand_hold,
 *     rmech_friction_from_test, rmech_turn_from_test
 *   Loads on a slope
 *     rmech_slope_pull_of, rmech_ground_drag, rmech_slope_class
 *   Tackle
 *     rmech_tackle_advantage, rmech_tackle_solve, rmech_tackle_on_sheaves, rmech_tackle_on_carriers,
 *     rmech_tackle_throw, rmech_tackle_setback, rmech_tackle_rope, rmech_tackle_search, rmech_tackle_cycle
 *   A haul in one call
 *     rmech_haul_solve, rmech_haul_least_advantage
 *   A load on two or three ropes
 *     rmech_bridle_at_lengths, rmech_bridle_at_position, rmech_bridle_slack_length, rmech_bridle_swing,
 *     rmech_bridle_carry, rmech_track_rope_lost
 *   The high frame
 *     rmech_head_resultant, rmech_frame_solve, rmech_frame_at_heads, rmech_frame_falls,
 *     rmech_frame_stability, rmech_frame_pole_share, rmech_frame_cone_edge
 *   Anchors
 *     rmech_v_anchor, rmech_anchor_share, rmech_anchor_settle, rmech_anchor_after_losing,
 *     rmech_surface_friction, rmech_vehicle_holds, rmech_pickets_hold, rmech_deadman_pressure,
 *     rmech_deadman_holds, rmech_deadman_length
 *   Falls and sudden loads
 *     rmech_fall_arrest, rmech_fall_factor, rmech_sudden_stop, rmech_step_factor,
 *     rmech_stiffness_from_drop_test, rmech_lost_rope
 *   Winches by motor, gear and supply
 *     rmech_winch_turning, rmech_winch_running_back, rmech_winch_holding, rmech_winch_stall,
 *     rmech_winch_jam, rmech_winch_jam_force_after, rmech_jam_rate
 *   Drum, motor and leads
 *     rmech_drum_layer_at, rmech_drum_layer, rmech_drum_capacity, rmech_gear_back_efficiency,
 *     rmech_motor_from_ends, rmech_motor_at_speed, rmech_motor_at_torque, rmech_cable_resistance,
 *     rmech_copper_resistance
 *   Winches by their maker's table, and pull from a current
 *     rmech_winch_by_table, rmech_winch_pull_from_current, rmech_winch_pull_from_current_by_table
 *   A motor's constants from measured points
 *     rmech_motor_fit_points, rmech_winch_fit_points
 *   Batteries
 *     rmech_battery_at_current, rmech_battery_at_charge
 *   How warm a motor gets
 *     rmech_motor_warmed, rmech_motor_duty_cycle, rmech_motor_settles_at, rmech_motor_current_squared_time,
 *     rmech_motor_lasting_share
 *   Live calls in single precision
 *     rmech_live_line_ends, rmech_live_line_length, rmech_live_turn_ratio
 *   A haul on a battery
 *     rmech_winch_haul, rmech_winch_haul_by_table
 *   Rigs: ropes through sheaves in three dimensions
 *     rmech_rig_create, rmech_rig_destroy, rmech_rig_add_fixed, rmech_rig_add_point, rmech_rig_add_rope,
 *     rmech_rig_find_point, rmech_rig_find_rope, rmech_rig_solve, rmech_rig_solve_within,
 *     rmech_rig_solve_band, rmech_rig_solve_band_within, rmech_rig_solution_destroy, rmech_rig_solution_certificate, rmech_rig_solution_point,
 *     rmech_rig_solution_part, rmech_rig_solution_sheave, rmech_rig_solution_length
 *   How a solved rig answers to a small change
 *     rmech_rig_respond, rmech_rig_response_destroy, rmech_rig_response_point, rmech_rig_response_part,
 *     rmech_rig_response_sheave, rmech_rig_response_length
 *   Rigs as JSON
 *     rmech_rig_read_json, rmech_rig_write_json, rmech_rig_solution_write_json,
 *     rmech_rig_response_write_json
 *   The whole operation
 *     rmech_operation_create, rmech_operation_json, rmech_operation_format, rmech_operation_destroy,
 *     rmech_operation_study
 *   What a study tells a controller
 *     rmech_operation_schedule, rmech_operation_set_point, rmech_operation_set_point_line, rmech_operation_setting,
 *     rmech_operation_setting_line, rmech_operation_place, rmech_operation_window, rmech_operation_no_length,
 *     rmech_operation_mark, rmech_operation_seen
 */

#ifndef ROPE_MECHANICS_H
#define ROPE_MECHANICS_H

#include <stdint.h>
#include <stddef.h>

#if defined(__cplusplus)
#  if __cplusplus >= 201703L
#    define RMECH_NODISCARD [[nodiscard]]
#  endif
#elif defined(__STDC_VERSION__)
#  if __STDC_VERSION__ > 201710L
#    define RMECH_NODISCARD [[nodiscard]]
#  endif
#endif
#ifndef RMECH_NODISCARD
#  define RMECH_NODISCARD
#endif

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

/* ---- Quantities, points and forces ---------------------------------------------------------------------------------
 * A value is a double in the SI unit of its member's name; rope_mechanics_units.h converts exactly (pound 0.45359237 kg, foot
 * 0.3048 m, g = 9.80665 m/s^2). Axes: x level, outward from the head over the slope; y level, to the left of somebody who
 * looks out; z up.
 *
 *     rmech_force pull = rmech_lbf(740.0); // built in one unit, read in another
 *     rmech_point head = {rmech_m(0.0), rmech_m(0.0), rmech_ft(10.0)};
 *     printf("%.2f kN, %.2f m\n", rmech_in_kn(pull), rmech_in_m(head.z)); // 3.29 kN, 3.05 m
 */

// A force.
typedef struct rmech_force {
  // In newtons.
  double newtons;
} rmech_force;

// An angle.
typedef struct rmech_angle {
  // In radians.
  double radians;
} rmech_angle;

// A length.
typedef struct rmech_length {
  // In metres.
  double metres;
} rmech_length;

// A point in space: x horizontal, outward from the head; y horizontal, to the left of somebody who looks out; z up.
typedef struct rmech_point {
  // Horizontal, outward.
  struct rmech_length x;
  // Horizontal, to the left.
  struct rmech_length y;
  // Up.
  struct rmech_length z;
} rmech_point;

// A force in space, in the axes of `rmech_point`.
typedef struct rmech_force3 {
  // Horizontal, outward.
  struct rmech_force x;
  // Horizontal, to the left.
  struct rmech_force y;
  // Up.
  struct rmech_force z;
} rmech_force3;

// A plain ratio: an efficiency, a coefficient of friction, a strain.
typedef struct rmech_ratio {
  // As a fraction: 0.02, not 2.
  double fraction;
} rmech_ratio;

// A mass.
typedef struct rmech_mass {
  // In kilograms.
  double kilograms;
} rmech_mass;

// A pressure.
typedef struct rmech_pressure {
  // In pascals.
  double pascals;
} rmech_pressure;

// A speed.
typedef struct rmech_velocity {
  // In metres per second.
  double metres_per_second;
} rmech_velocity;

// A force that lies between two.
typedef struct rmech_force_band {
  // At least this.
  struct rmech_force low;
  // At most this.
  struct rmech_force high;
} rmech_force_band;

// A force per metre of unstretched line: its weight.
typedef struct rmech_line_weight {
  // In newtons per metre.
  double newtons_per_metre;
} rmech_line_weight;

// A direction in space: a vector in the axes of `rmech_point`, whose length doesn't matter.
typedef struct rmech_direction {
  // Horizontal, outward.
  struct rmech_ratio x;
  // Horizontal, to the left.
  struct rmech_ratio y;
  // Up.
  struct rmech_ratio z;
} rmech_direction;

// A time.
typedef struct rmech_time {
  // In seconds.
  double seconds;
} rmech_time;

// A mass per metre of unstretched line.
typedef struct rmech_line_mass {
  // In kilograms per metre.
  double kilograms_per_metre;
} rmech_line_mass;

// A force per metre of stretch.
typedef struct rmech_stiffness {
  // In newtons per metre.
  double newtons_per_metre;
} rmech_stiffness;

// An electric current.
typedef struct rmech_current {
  // In amperes.
  double amperes;
} rmech_current;

// The torque of a motor per ampere.
typedef struct rmech_motor_constant {
  // In newton metres per ampere, which is volt seconds per radian.
  double newton_metres_per_ampere;
} rmech_motor_constant;

// An electrical resistance.
typedef struct rmech_resistance {
  // In ohms.
  double ohms;
} rmech_resistance;

// A voltage.
typedef struct rmech_voltage {
  // In volts.
  double volts;
} rmech_voltage;

// A turning speed.
typedef struct rmech_turning_speed {
  // In radians per second.
  double radians_per_second;
} rmech_turning_speed;

// A torque.
typedef struct rmech_torque {
  // In newton metres.
  double newton_metres;
} rmech_torque;

// A power.
typedef struct rmech_power {
  // In watts.
  double watts;
} rmech_power;

// An energy.
typedef struct rmech_energy {
  // In joules.
  double joules;
} rmech_energy;

// A rate at which a force rises.
typedef struct rmech_force_rate {
  // In newtons per second.
  double newtons_per_second;
} rmech_force_rate;

// An electric charge.
typedef struct rmech_charge {
  // In coulombs: 3600 to the ampere hour.
  double coulombs;
} rmech_charge;

// A temperature.
typedef struct rmech_temperature {
  // In kelvin: degrees Celsius plus 273.15.
  double kelvin;
} rmech_temperature;

// A difference of two temperatures.
typedef struct rmech_temperature_interval {
  // In kelvin.
  double kelvin;
} rmech_temperature_interval;

// A heat capacity.
typedef struct rmech_heat_capacity {
  // In joules per kelvin.
  double joules_per_kelvin;
} rmech_heat_capacity;

// A thermal resistance.
typedef struct rmech_thermal_resistance {
  // In kelvin per watt.
  double kelvin_per_watt;
} rmech_thermal_resistance;

// A current squared times a time: what a fuse can take, or a winding too quick to cool.
typedef struct rmech_current_squared_time {
  // In ampere squared seconds.
  double ampere_squared_seconds;
} rmech_current_squared_time;

// An area.
typedef struct rmech_area {
  // In square metres.
  double square_metres;
} rmech_area;

/* ---- Versions ------------------------------------------------------------------------------------------------------
 *
 *     int32_t status = RMECH_CHECK_VERSION(&error); // once, first
 *     printf("%s\n", status == RMECH_OK ? "header and library go together" : error.message); // header and library go together
 */

// The version of this header: 1 in 1.2.3.
#define RMECH_VERSION_MAJOR 0

// The version of this header: 2 in 1.2.3.
#define RMECH_VERSION_MINOR 1

// The version of this header: 3 in 1.2.3.
#define RMECH_VERSION_PATCH 0

// The version of the binary interface of this header: raised whenever programs have to be compiled again. The shared
// library carries it in its name, as in librope_mechanics.so.1.
#define RMECH_ABI_VERSION 1

// The version of the library that runs, as in "1.2.3", in static memory.
// Cost: no heap, 1 kB of stack; closed form.
const char *rmech_version(void);

// The binary interface of the library that runs: `RMECH_ABI_VERSION` of the header that belongs to it.
// Cost: no heap, 1 kB of stack; closed form.
uint32_t rmech_abi_version(void);

// The detail of a failure, owned by the caller.
typedef struct rmech_error {
  // sizeof(rmech_error); set it with `rmech_init` or `RMECH_INIT`. A longer one, of a later header, is served: what it
  // has more stays as it is. A shorter one, one above 4096, and an error that is not aligned, is refused by every
  // function before it does anything: with nowhere to tell more, by the status alone.
  uint32_t struct_size;
  // The status returned.
  int32_t status;
  // The value at fault, in SI, where the fault is one number outside its range. Zero for every other fault, as an
  // enumerator, a text, a pointer or an equilibrium that does not exist: `field` and `message` say which.
  double value;
  // Lower end of the allowed values, in SI; minus infinity if there is none. Only the message says whether the end
  // itself is allowed: "above 0 m" or "at least 0 m".
  double lowest;
  // Upper end of the allowed values, in SI; infinity if there is none. As for `lowest`: "below" or "at most".
  double highest;
  // The input at fault, NUL-terminated; empty if none is. A member of a struct is named by its path from the
  // struct on, as in "span" or "stretch.a"; an element of an array by the name of the array and its index,
  // as in "legs[2].foot.x"; a quantity, point or direction that is a parameter by the name of the parameter. For a
  // rig it may be the name of a point or rope.
  char field[64];
  // A sentence with the value and what is allowed, NUL-terminated, in UTF-8.
  char message[256];
} rmech_error;

// Whether the library that runs serves a program that was compiled with a header of these versions. Call it once, first,
// by `RMECH_CHECK_VERSION(error)` of rope_mechanics_units.h, which passes those of the header.
//
// It does if the binary interface is the same and the library has at least the header's major and minor version; if
// not, `RMECH_ERR_VERSION`, and the message names both.
// Cost: no heap, 2 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_check_version(uint32_t abi_version,
                            uint32_t major,
                            uint32_t minor,
                            struct rmech_error *error);

/* ---- Statuses, and structs set to zeros ----------------------------------------------------------------------------
 *
 *     rmech_line line = RMECH_INIT(rmech_line); // zeros, and its size
 *     rmech_line_state state = RMECH_INIT(rmech_line_state);
 *     line.length = rmech_m(20.0); // and no stiffness
 *     if (rmech_line_solve(&line, &state, &error) != RMECH_OK)
 *         printf("%s\n", error.message); // stretch.a is 0 N, but must be above 0 N
 */

// Fine: the outputs are written.
#define RMECH_OK 0

// A pointer that must not be NULL is NULL, or is not aligned for its type.
#define RMECH_ERR_POINTER 1

// A `struct_size` is smaller than any version of the struct, or larger than this version knows.
#define RMECH_ERR_STRUCT_SIZE 2

// A value is NaN, infinite, of the wrong sign or outside its range. The detail names it.
#define RMECH_ERR_VALUE 3

// An enumerator or a flag that this version doesn't know.
#define RMECH_ERR_ENUMERATOR 4

// A text that isn't UTF-8, or can't be read as what it should be.
#define RMECH_ERR_TEXT 5

// The header that the program was compiled with is not one that this library serves: `rmech_check_version`.
#define RMECH_ERR_VERSION 6

// No equilibrium exists for these inputs. The message says which of them makes it impossible.
#define RMECH_ERR_GEOMETRY 100

// A solver did not reach its promised residual.
#define RMECH_ERR_UNSOLVED 200

// The steps or positions that the caller allows are spent, and nothing is decided.
#define RMECH_ERR_BUDGET 201

// The caller said to stop.
#define RMECH_ERR_CANCELLED 202

// A caller's buffer is too small. The size query says what is needed.
#define RMECH_ERR_CAPACITY 300

// A fault of the library itself, caught at its boundary. Please report it.
#define RMECH_ERR_INTERNAL 900

// A sentence for a status, in static memory.
// Cost: no heap, 1 kB of stack; closed form.
const char *rmech_status_text(int32_t status);

// Fills a struct that begins with `struct_size` with zeros and sets that size.
//
// `size` is the sizeof the struct.
// Cost: no heap, 1 kB of stack; one pass over the bytes.
RMECH_NODISCARD
int32_t rmech_init(void *structure, uint32_t size);

/* ---- Ropes: strain and tension -------------------------------------------------------------------------------------
 * T = a*e + b*e^2    e = 2*T/(a + sqrt(a^2 + 4*b*T))    T tension, e strain, a the axial stiffness EA
 * Assumed: the rope is bedded in, and loads and unloads along the same curve. Range: a > 0, b >= 0 (0: linear).
 * For n strands side by side give n*a and n*b. Source: a curve to fit to a measured rope; see rope-mechanics/src/docs/measured.md.
 * Picture: rope-mechanics/src/docs/pictures/rope.svg
 *
 *     rmech_stretch stretch = {rmech_kn(33.0), rmech_kn(120.0)}; // T = a*e + b*e^2
 *     rmech_force tension = rmech_kn(2.1);
 *     rmech_ratio strain;
 *     if (rmech_stretch_strain(&stretch, &tension, &strain, &error) == RMECH_OK)
 *         printf("%.2f %%\n", rmech_in_percent(strain)); // 5.33 %
 */

// How the tension of a rope grows with its strain: T = a·ε + b·ε².
typedef struct rmech_stretch {
  // The axial stiffness without load, EA: above zero.
  struct rmech_force a;
  // How it stiffens: zero for a linear rope, else above zero.
  struct rmech_force b;
} rmech_stretch;

// Strain under a tension.
//
// Formula and range: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_stretch_strain(const struct rmech_stretch *stretch,
                             const struct rmech_force *tension,
                             struct rmech_ratio *strain,
                             struct rmech_error *error);

// Tension under a strain.
//
// Formula and range: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_stretch_tension(const struct rmech_stretch *stretch,
                              const struct rmech_ratio *strain,
                              struct rmech_force *tension,
                              struct rmech_error *error);

/* ---- Losses at a bend ----------------------------------------------------------------------------------------------
 * Sheave:  T2 = T1*eta(q)    eta(q) = eta180 + (1 - eta180)*0.28*(1 - q/pi) for q from 10 degrees, from there straight to 1
 * Bar:     T2 = T1*exp(-mu*q), with one mu raising and another lowering
 * q is how far the rope turns; beyond half a turn, once more for each. At rest a turn holds anything between hauling and
 * lowering: a band, not a number.
 * Range: eta180 from 0.01 to 1, mu from 0 to 2, q from 0 to 32 turns. Sources: Poysti 2020 for 0.28 (one pulley, so take it
 * as 0.27 to 0.29); Delaney 2022 for bars; below 10 degrees our assumption.
 * Picture: rope-mechanics/src/docs/pictures/sheave.svg
 *
 *     rmech_turn sheave = {0};
 *     sheave.kind = RMECH_TURN_SHEAVE;
 *     sheave.efficiency = rmech_percent(91.0); // over half a turn
 *     rmech_angle angle = rmech_deg(60.0);
 *     rmech_band band;
 *     if (rmech_turn_band(&sheave, &angle, &band, &error) == RMECH_OK)
 *         printf("hauling takes %.3f of the load\n", rmech_in_fraction(band.hauling)); // hauling takes 1.079 of the load
 */

// The load comes towards the hand, winch or capstan.
#define RMECH_MOTION_HAULING 1

// The load goes away from it.
#define RMECH_MOTION_LOWERING 2

// Nothing moves: friction holds somewhere between the two. 0 is no motion: only a `rmech_rig_rope` takes it, for at
// rest.
#define RMECH_MOTION_AT_REST 3

// A turn without losses.
#define RMECH_TURN_FRICTIONLESS 1

// A sheave: `efficiency` counts.
#define RMECH_TURN_SHEAVE 2

// A fixed bar, edge or capstan: `friction_raising` and `friction_lowering` count.
#define RMECH_TURN_BAR 3

// A pulley of rescue size on ball bearings.
#define RMECH_MEASURED_RESCUE_PULLEY 1

// A pulley on bushings.
#define RMECH_MEASURED_BUSHED_PULLEY 2

// A small pulley with a progress capture in it.
#define RMECH_MEASURED_CAPTURE_PULLEY 3

// One bare connector.
#define RMECH_MEASURED_CONNECTOR 4

// Two bare connectors side by side.
#define RMECH_MEASURED_TWO_CONNECTORS 5

// A descender with the load on it, used as a redirect.
#define RMECH_MEASURED_DESCENDER 6

// What a rope turns on. What doesn't count for its kind is not read.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_turn {
  // One of `RMECH_TURN_...`.
  int32_t kind;
  // Zero.
  int32_t reserved;
  // Of a sheave, over a turn of 180 degrees: 0.01 to 1.
  struct rmech_ratio efficiency;
  // Of a bar, while the load comes: from 0 to 2.
  struct rmech_ratio friction_raising;
  // Of a bar, while the load goes: from 0 to 2.
  struct rmech_ratio friction_lowering;
} rmech_turn;

// The ratio of the tensions at the two ends of a turn, pulling side by load's side.
typedef struct rmech_band {
  // While the load comes: at least 1.
  struct rmech_ratio hauling;
  // While the load goes: at most 1. At rest the ratio is anywhere between.
  struct rmech_ratio lowering;
} rmech_band;

// The turns that lose the most and the least of what was measured over pulleys, connectors and descenders.
//
// `what` is one of `RMECH_MEASURED_...`. `worst` is for what a haul takes, `best` for what a load may pull
// while it is let down. Source: Delaney 2022, p. 90 (in notes on it); bars by the same author.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_turn_measured(int32_t what,
                            struct rmech_turn *worst,
                            struct rmech_turn *best,
                            struct rmech_error *error);

// Ratio of the tensions over a turn by `angle`: a sheave, or a bar with its two coefficients.
//
// Formula, source and range: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_turn_band(const struct rmech_turn *turn,
                        const struct rmech_angle *angle,
                        struct rmech_band *band,
                        struct rmech_error *error);

/* ---- Strength left, and the weakest link ---------------------------------------------------------------------------
 * F = F0 * (product of what acts on the whole rope) * (least of what acts at one place)    safety factor = F/T
 * Assumed: knots and bends stand apart from each other. Sources: bends by the table for wire rope that three suppliers of blocks
 * print alike, from 0.50 at D/d = 1 to 0.95 at 40; a knot keeps 0.70, from memory, range 0.55 to 0.80.
 * The static safety factor usual in rope rescue is 10, and not below 5: common practice, no source; local rules come first.
 *
 *     rmech_reduction reductions[2];
 *     memset(reductions, 0, sizeof reductions);
 *     reductions[0].weakening = RMECH_WEAKENING_KNOT;
 *     reductions[0].mark = RMECH_MARK_GIVEN;
 *     reductions[0].factor = rmech_percent(70.0);
 *     reductions[1].weakening = RMECH_WEAKENING_WET;
 *     reductions[1].mark = RMECH_MARK_GIVEN;
 *     reductions[1].factor = rmech_percent(85.0);
 *     rmech_force rated = rmech_kn(27.0), left;
 *     int32_t knot;
 *     if (rmech_strength_reduced(&rated, reductions, 2, &left, &knot, &error) == RMECH_OK)
 *         printf("%.1f kN, by reduction %d\n", rmech_in_kn(left), (int)knot); // 16.1 kN, by reduction 0
 */

// A knot, at one place.
#define RMECH_WEAKENING_KNOT 1

// A bend over something thin, at one place.
#define RMECH_WEAKENING_BEND 2

// Water, in the whole rope.
#define RMECH_WEAKENING_WET 3

// Wear, age, sun, in the whole rope.
#define RMECH_WEAKENING_WORN 4

// Given by the caller.
#define RMECH_MARK_GIVEN 0

// Read in a source, which the comment of the function names.
#define RMECH_MARK_READ 1

// A fact of the trade without a source.
#define RMECH_MARK_COMMON_PRACTICE 2

// From memory: check it before relying on it.
#define RMECH_MARK_MEMORY 3

// A choice of this library, where something had to be chosen.
#define RMECH_MARK_CHOICE 4

// The static safety factor that is usual in rope rescue, and not below 5. Common practice, no source; local rules come
// first.
#define RMECH_USUAL_SAFETY_FACTOR 10.0

// The most reductions that one call takes.
#define RMECH_MAX_REDUCTIONS 32

// The share of its strength that a rope keeps, and why.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_reduction {
  // One of `RMECH_WEAKENING_...`.
  int32_t weakening;
  // Where the factor comes from, one of `RMECH_MARK_...`. It says how far to trust it and changes no number.
  int32_t mark;
  // The share that is left: above 0 and at most 1.
  struct rmech_ratio factor;
} rmech_reduction;

// A component with the load at which it fails and the load on it.
typedef struct rmech_component {
  // The load at which it fails: above 0.
  struct rmech_force strength;
  // The load on it: at least 0.
  struct rmech_force load;
} rmech_component;

// The strength of a rope with all that weakens it. Of knots and bends only the worst counts.
//
// `weakest_place` takes the index of that knot or bend, or -1 if there is none; it may be NULL.
// Cost: no heap, 5 kB of stack; one pass over what is given.
RMECH_NODISCARD
int32_t rmech_strength_reduced(const struct rmech_force *breaking_strength,
                               const struct rmech_reduction *reductions,
                               size_t reduction_count,
                               struct rmech_force *strength,
                               int32_t *weakest_place,
                               struct rmech_error *error);

// What the library knows of a knot or of water in nylon: `weakening` is `RMECH_WEAKENING_KNOT` (0.70, from memory) or
// `RMECH_WEAKENING_WET` (0.80, read).
//
// A knot keeps 0.55 to 0.80, trainers say. Wet nylon: Flory, Hearle & Goksoy 1990. Where the mark is memory, take what your
// rope's maker states.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_usual_reduction(int32_t weakening,
                              struct rmech_reduction *reduction,
                              struct rmech_error *error);

// What a bend of this diameter takes from a rope.
//
// 0.50 at as thick as the rope; 0.65, 0.75, 0.79, 0.83, 0.86, 0.89, 0.91, 0.93, 0.95 at 2, 4, 6, 8, 10, 15, 20, 30, 40 rope
// diameters; straight lines between, 0.95 beyond. For wire rope over bends that stand still, by a table that three suppliers of
// blocks print alike; for fibre rope it is a stand-in, so its mark is memory.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_bend_reduction(const struct rmech_length *bend_diameter,
                             const struct rmech_length *rope_diameter,
                             struct rmech_reduction *reduction,
                             struct rmech_error *error);

// The component with the least safety factor.
//
// `index` takes its index, or -1 if no component bears a load; `safety_factor` is then 0, which no loaded
// component has.
// Cost: no heap, 3 kB of stack; one pass over what is given.
RMECH_NODISCARD
int32_t rmech_weakest_link(const struct rmech_component *components,
                           size_t component_count,
                           int32_t *index,
                           struct rmech_ratio *safety_factor,
                           struct rmech_error *error);

/* ---- Lines between two supports, elastic and not -------------------------------------------------------------------
 * Elastic line:  [x*sinh(u)/(u+k)]^2 + [z*t/(t+k)]^2 = 1    H = w*X/(2*(u+k))    Vm = w*Z/(2*(t+k))
 *                x = X/L, z = Z/L, k = w*L/(2*EA), t = tanh(u): one unknown u; X span, Z rise, L unstretched length, w weight
 * Catenary:      H = w*X/(2*u)    sqrt(L^2 - Z^2) = X*sinh(u)/u    T = w/2*[sqrt((X*cosh(u)/u)^2 + (Z/t)^2) +- Z]
 * Assumed: perfectly flexible, free of the ground and of edges, bedded in; the weight is that of the unstretched metre.
 * Range: elastic, span 0 to 1e7 m, either rise, taut or slack, level or plumb; catenary, span and weight above zero.
 * A stiffening rope (b > 0) is solved as a row of linear ones. The answer is put back: see `residual`. Measured lines pulled
 * 6 to 15 % harder than a linear rope has it. Source: Irvine, Cable Structures (1981), ch. 1 and 2.
 * Picture: rope-mechanics/src/docs/pictures/line.svg
 *
 *     rmech_line line = RMECH_INIT(rmech_line); // 52 m out, 18 m down
 *     rmech_line_state state = RMECH_INIT(rmech_line_state);
 *     line.span = rmech_m(52.0);
 *     line.rise = rmech_m(-18.0);
 *     line.length = rmech_m(55.5);
 *     line.weight = rmech_n_per_m(1.41);
 *     line.stretch.a = rmech_kn(66.0);
 *     if (rmech_line_solve(&line, &state, &error) == RMECH_OK)
 *         printf("%.0f N, sags %.2f m\n", rmech_in_n(state.first_tension), rmech_in_m(state.sag)); // 162 N, sags 3.72 m
 *
 *     rmech_line_ends ends; // the forces at the supports alone, in half of the time
 *     if (rmech_line_solve_ends(&line, &ends, &error) == RMECH_OK)
 *         printf("%.0f N\n", rmech_in_n(ends.first_tension)); // 162 N
 */

// The end from which span, rise and marks are measured.
#define RMECH_LINE_FIRST 1

// The other end.
#define RMECH_LINE_LAST 2

// Of two ropes that pull equally hard at an end: the shorter, flatter one.
#define RMECH_BRANCH_TAUT 1

// The longer, deeper one.
#define RMECH_BRANCH_SLACK 2

// A rope between two supports.
//
// It is solved for any strain: 20 m of rope between supports 50 m apart is stretched by 150 %, and RMECH_OK. See
// `greatest_strain` of the state.
typedef struct rmech_line {
  // sizeof(rmech_line); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // Horizontal distance between the supports: at least zero.
  struct rmech_length span;
  // Height of the second support above the first; negative if it is lower.
  struct rmech_length rise;
  // Unstretched length of the rope. Not read where the length is what is asked for.
  struct rmech_length length;
  // Weight per unstretched metre.
  struct rmech_line_weight weight;
  // How it stretches. Not read for a catenary, which doesn't.
  struct rmech_stretch stretch;
} rmech_line;

// A line in equilibrium.
typedef struct rmech_line_state {
  // sizeof(rmech_line_state); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // Horizontal component of the tension, the same all along the rope.
  struct rmech_force horizontal_tension;
  // Tension at the first end.
  struct rmech_force first_tension;
  // Tension at the second end.
  struct rmech_force last_tension;
  // What the first support carries, upward; negative where the rope lifts it.
  struct rmech_force first_up;
  // What the second support carries, upward; negative where the rope lifts it.
  struct rmech_force last_up;
  // Greatest vertical distance below the chord.
  struct rmech_length sag;
  // The lowest point: horizontal distance from the first end.
  struct rmech_length lowest_x;
  // The lowest point: height above the first end.
  struct rmech_length lowest_z;
  // Unstretched length.
  struct rmech_length length;
  // Length as it hangs.
  struct rmech_length stretched_length;
  // Relative change of the answer in one more step of the solver.
  struct rmech_ratio residual;
  // Steps of the solver.
  uint32_t iterations;
  // Zero.
  uint32_t reserved;
  // Strain where the tension is greatest: 0.05 is 5 %. Zero for a catenary. No strain is refused, however soon a
  // rope would part: compare it with the range in which the stretch of yours was measured.
  struct rmech_ratio greatest_strain;
} rmech_line_state;

// The forces at the supports of a line.
typedef struct rmech_line_ends {
  // Horizontal component of the tension, the same all along the rope.
  struct rmech_force horizontal_tension;
  // Tension at the first end.
  struct rmech_force first_tension;
  // Tension at the second end.
  struct rmech_force last_tension;
  // What the first support carries, upward; negative where the rope lifts it.
  struct rmech_force first_up;
  // What the second support carries, upward; negative where the rope lifts it.
  struct rmech_force last_up;
  // Relative change of the answer in one more step of the solver.
  struct rmech_ratio residual;
  // `RMECH_OK`. Of one of many lines also `RMECH_ERR_VALUE`, `RMECH_ERR_GEOMETRY` (slack without weight) or
  // `RMECH_ERR_UNSOLVED`: then its numbers are NaN.
  int32_t status;
  // Zero.
  uint32_t reserved;
} rmech_line_ends;

// A point of a line, and the tension there.
typedef struct rmech_line_point {
  // Horizontal distance from the first end.
  struct rmech_length x;
  // Height above the first end.
  struct rmech_length z;
  // Tension of the rope.
  struct rmech_force tension;
} rmech_line_point;

// The line in equilibrium.
//
// Assumptions, formula and range: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 5 kB of stack; at most 2000 evaluations of its equation and one line more, some 4 as a rule (more where it stiffens), iterations at most 2400.
RMECH_NODISCARD
int32_t rmech_line_solve(const struct rmech_line *line,
                         struct rmech_line_state *state,
                         struct rmech_error *error);

// The forces at the supports of the line in equilibrium, without sag, lowest point and stretched length: in half of
// the time of `rmech_line_solve`, and the same to the last bit.
// Cost: no heap, 5 kB of stack; as of rmech_line_solve.
RMECH_NODISCARD
int32_t rmech_line_solve_ends(const struct rmech_line *line,
                              struct rmech_line_ends *ends,
                              struct rmech_error *error);

// Many lines in one call, an array for each of their numbers, `count` elements in each: in vectors of what the machine
// has, some five times as fast as one by one.
//
// Each answer is that of `rmech_line_solve_ends` to the last bit. A line that can't be solved doesn't keep the others
// from it: its `status` in `ends`, which takes `count` elements, says why. `solved` counts those that are `RMECH_OK`,
// and so is the call. Nothing is allocated; several threads may each solve a part.
// Cost: no heap, 20 kB of stack; as of rmech_line_solve for each line.
RMECH_NODISCARD
int32_t rmech_line_solve_many(const struct rmech_length *spans,
                              const struct rmech_length *rises,
                              const struct rmech_length *lengths,
                              const struct rmech_line_weight *weights,
                              const struct rmech_stretch *stretches,
                              size_t count,
                              struct rmech_line_ends *ends,
                              size_t *solved,
                              struct rmech_error *error);

// `count` points of the line, at least 2: the first end, the second end, and points between them that cut its length
// in equal parts.
//
// `points` has room for `count` of them.
// Cost: no heap, 5 kB of stack; as of rmech_line_solve, and one pass over the points.
RMECH_NODISCARD
int32_t rmech_line_points(const struct rmech_line *line,
                          struct rmech_line_point *points,
                          uint32_t count,
                          struct rmech_error *error);

// Unstretched length that gives this tension at an end, of the two that may: the shorter, taut one.
//
// `line_end` is `RMECH_LINE_FIRST` or `RMECH_LINE_LAST`. The length of `line` is not read.
// Cost: no heap, 5 kB of stack; at most 120 lines solved, ten as a rule.
RMECH_NODISCARD
int32_t rmech_line_length_for_tension(const struct rmech_line *line,
                                      int32_t line_end,
                                      const struct rmech_force *tension,
                                      struct rmech_length *length,
                                      struct rmech_error *error);

// Unstretched length that gives this horizontal tension. The length of `line` is not read.
// Cost: no heap, 5 kB of stack; at most 120 lines solved, ten as a rule.
RMECH_NODISCARD
int32_t rmech_line_length_for_horizontal_tension(const struct rmech_line *line,
                                                 const struct rmech_force *horizontal_tension,
                                                 struct rmech_length *length,
                                                 struct rmech_error *error);

// Unstretched length that gives this sag. The length of `line` is not read.
// Cost: no heap, 5 kB of stack; at most 120 lines solved, ten as a rule.
RMECH_NODISCARD
int32_t rmech_line_length_for_sag(const struct rmech_line *line,
                                  const struct rmech_length *sag,
                                  struct rmech_length *length,
                                  struct rmech_error *error);

// The rope that doesn't stretch, of the length of `line`.
//
// Assumptions, formula and range of all four: at the top of this topic in rope_mechanics.h. The stretch of `line` is not read.
// Cost: no heap, 4 kB of stack; at most 400 evaluations of its equation, some 4 as a rule, iterations at most 400.
RMECH_NODISCARD
int32_t rmech_catenary_by_length(const struct rmech_line *line,
                                 struct rmech_line_state *state,
                                 struct rmech_error *error);

// The rope that doesn't stretch, with this horizontal tension. Length and stretch of `line` are not read.
// Cost: no heap, 4 kB of stack; closed form, iterations at most 0.
RMECH_NODISCARD
int32_t rmech_catenary_by_horizontal_tension(const struct rmech_line *line,
                                             const struct rmech_force *horizontal_tension,
                                             struct rmech_line_state *state,
                                             struct rmech_error *error);

// The rope that doesn't stretch, with this tension at one of its ends. Length and stretch of `line` are not read.
//
// `line_end` is `RMECH_LINE_FIRST` or `RMECH_LINE_LAST`; two ropes have that tension, so `which` is
// `RMECH_BRANCH_TAUT` or `RMECH_BRANCH_SLACK`.
// Cost: no heap, 4 kB of stack; roots between two bounds, each in at most the steps of bisection, some ten as a rule, iterations at most 400.
RMECH_NODISCARD
int32_t rmech_catenary_by_end_tension(const struct rmech_line *line,
                                      int32_t line_end,
                                      int32_t which,
                                      const struct rmech_force *tension,
                                      struct rmech_line_state *state,
                                      struct rmech_error *error);

// The rope that doesn't stretch and hangs this far below the chord. Length and stretch of `line` are not read.
// Cost: no heap, 4 kB of stack; roots between two bounds, each in at most the steps of bisection, some ten as a rule, iterations at most 400.
RMECH_NODISCARD
int32_t rmech_catenary_by_sag(const struct rmech_line *line,
                              const struct rmech_length *sag,
                              struct rmech_line_state *state,
                              struct rmech_error *error);

/* ---- A load on a track rope, rolling or held -----------------------------------------------------------------------
 * T*(e1 + r*e2) + P*d = W    e1, e2 along the track at both sides of the wheel, r = 1 without friction; P haul rope along d
 * with both parts of the track, and the haul rope, elastic lines with their own weight. Rolling: P = 0, T equal at both sides.
 * Assumed: the wheel passes the tension on but for its friction; nothing is taken to be flat. Range: certified where the haul
 * rope climbs 0 to 60 degrees and the track is at most 3 % longer than its chord; beyond, an answer is certified or refused.
 * One branch is promised: the wheel presses on its track, the haul rope pulls, the carriage is stable.
 * CAUTION. A doubled track on one sheave has no redundancy. Keep +-15 % on every tension where nothing was measured.
 * Source: statics of the carriage; Irvine for the lines; vectors at high precision (tests/oracle).
 * Picture: rope-mechanics/src/docs/pictures/carriage.svg
 *
 *     rmech_carriage carriage = RMECH_INIT(rmech_carriage); // head, haul point at the head, far anchor
 *     rmech_carriage_state state = RMECH_INIT(rmech_carriage_state);
 *     carriage.far.x = rmech_m(52.0);
 *     carriage.far.z = rmech_m(-31.0);
 *     carriage.track_length = rmech_m(60.7);
 *     carriage.track_weight = rmech_n_per_m(1.8);
 *     carriage.track_stretch.a = rmech_kn(124.0);
 *     carriage.load_weight = rmech_n(1570.0);
 *     rmech_length x = rmech_m(22.0);
 *     if (rmech_carriage_held_at_x(&carriage, &x, &state, &error) == RMECH_OK)
 *         printf("%.2f kN at the head\n", rmech_in_kn(state.tension_head)); // 2.79 kN at the head
 */

// The support that the load is hauled to.
#define RMECH_SUPPORT_HEAD 1

// The support beyond the load.
#define RMECH_SUPPORT_FAR 2

// The most points of a ground profile.
#define RMECH_GROUND_POINTS_MAX 512

// A point in the vertical plane of a line: x horizontal, outward; z up.
typedef struct rmech_plane_point {
  // Horizontal, outward.
  struct rmech_length x;
  // Up.
  struct rmech_length z;
} rmech_plane_point;

// A track rope, the load on its carriage, and the haul rope.
//
// It is solved for any strain of the track: see `greatest_strain` of the state.
//
// A doubled track is one line of twice the weight and twice the stretch coefficients. On one sheave at its far
// anchor it has no redundancy.
typedef struct rmech_carriage {
  // sizeof(rmech_carriage); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // Upper support of the track.
  struct rmech_plane_point head;
  // Its far anchor, on either side.
  struct rmech_plane_point far;
  // Unstretched length of the track. Not read where a length is sought.
  struct rmech_length track_length;
  // Its weight per unstretched metre.
  struct rmech_line_weight track_weight;
  // How it stretches.
  struct rmech_stretch track_stretch;
  // Weight on the carriage, the carriage included.
  struct rmech_force load_weight;
  // By how much harder the track pulls behind the moving wheel, as a share of its tension (not of the load on the
  // wheel): 0.02, say; zero for none. Hauling is towards the haul point.
  struct rmech_ratio wheel_friction;
  // One of `RMECH_MOTION_...`: with friction it must be said, and 0 is refused; without friction it is not read. (A
  // `rmech_rig_rope` takes 0 for at rest.)
  int32_t motion;
  // Zero.
  int32_t reserved;
  // Where the haul rope comes from.
  struct rmech_plane_point haul_point;
  // Weight of the haul rope per unstretched metre; zero for a straight one.
  struct rmech_line_weight haul_weight;
  // How the haul rope stretches; zeros if it doesn't.
  struct rmech_stretch haul_stretch;
} rmech_carriage;

// A force in the vertical plane of a line.
typedef struct rmech_plane_force {
  // Horizontal, outward.
  struct rmech_force x;
  // Up.
  struct rmech_force z;
} rmech_plane_force;

// A carriage in balance.
typedef struct rmech_carriage_state {
  // sizeof(rmech_carriage_state); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // Where the carriage is.
  struct rmech_plane_point position;
  // Unstretched length of the whole track.
  struct rmech_length track_length;
  // Unstretched length on the head's side.
  struct rmech_length upper_length;
  // Unstretched length on the far side.
  struct rmech_length lower_length;
  // Tension of the track at the head, all strands together.
  struct rmech_force tension_head;
  // Tension at the carriage on the head's side.
  struct rmech_force tension_carriage_upper;
  // Tension at the carriage on the far side.
  struct rmech_force tension_carriage_lower;
  // Tension at the far anchor.
  struct rmech_force tension_far;
  // Horizontal tension on the head's side.
  struct rmech_force horizontal_upper;
  // Horizontal tension on the far side.
  struct rmech_force horizontal_lower;
  // The weight that track and haul rope carry.
  struct rmech_force load;
  // Between the two parts of the track at the carriage; half a turn where it runs straight through.
  struct rmech_angle interior_angle;
  // The lowest point of the track.
  struct rmech_plane_point lowest_point;
  // The pull of the track on the head.
  struct rmech_plane_force on_head;
  // The pull of the track on the far anchor.
  struct rmech_plane_force on_far;
  // 1 if the haul rope pulls; 0 if there is none or it is slack, and all that follows of it is zero.
  int32_t haul_pulls;
  // Steps of the solver.
  uint32_t iterations;
  // Unstretched length of the haul rope from its haul point to the carriage.
  struct rmech_length haul_length;
  // Its tension at the carriage.
  struct rmech_force haul_at_carriage;
  // Its tension at the haul point.
  struct rmech_force haul_at_haul_point;
  // Its pull on the carriage.
  struct rmech_plane_force haul_on_carriage;
  // Its pull on the haul point.
  struct rmech_plane_force haul_on_haul_point;
  // By how much the forces at the carriage miss balance.
  struct rmech_force force_error;
  // By how much the parts miss their supports.
  struct rmech_length closing_error;
  // The larger of the two errors against the largest force or length.
  struct rmech_ratio residual;
  // Strain of the track where its tension is greatest: 0.05 is 5 %. No strain is refused, however soon a rope would
  // part: compare it with the range in which the stretch of yours was measured.
  struct rmech_ratio greatest_strain;
} rmech_carriage_state;

// The load rolling free on the track, without friction. The haul rope is not read.
//
// `RMECH_ERR_GEOMETRY` if nothing holds it between its supports: it runs to the lower one.
// Cost: no heap, 7 kB of stack; at most 200 roots of bisection each; some ten steps as a rule, iterations at most 64.
RMECH_NODISCARD
int32_t rmech_carriage_rolling(const struct rmech_carriage *carriage,
                               struct rmech_carriage_state *state,
                               struct rmech_error *error);

// The load held by its haul rope at the horizontal position `x`, strictly between the supports of the track.
//
// `RMECH_ERR_GEOMETRY` where the haul rope would have to push.
// Cost: no heap, 19 kB of stack; Newton's method from at most a few starts, 60 steps of at most 14 halvings each, and 4 more; 3 to 5 as a rule, iterations at most 64.
RMECH_NODISCARD
int32_t rmech_carriage_held_at_x(const struct rmech_carriage *carriage,
                                 const struct rmech_length *x,
                                 struct rmech_carriage_state *state,
                                 struct rmech_error *error);

// The load held by an unstretched length of haul rope. Where that rope is slack, the load rests by itself.
// Cost: no heap, 24 kB of stack; the same at no more than 60 places; one or two as a rule, iterations at most 64.
RMECH_NODISCARD
int32_t rmech_carriage_held_by_haul_length(const struct rmech_carriage *carriage,
                                           const struct rmech_length *haul_length,
                                           struct rmech_carriage_state *state,
                                           struct rmech_error *error);

// The load held where it hangs `height` above the ground, measured plumb: of several such places the one nearest to
// the support named by `nearest`, one of `RMECH_SUPPORT_...`.
//
// `ground` has `count` points with growing x, at most `RMECH_GROUND_POINTS_MAX`. `RMECH_ERR_GEOMETRY` where the load
// hangs so high nowhere: the message has the least and the greatest height.
// Cost: no heap, 35 kB of stack; the same at some 500 places at most, over the ground given; some ten as a rule, iterations at most 32000.
RMECH_NODISCARD
int32_t rmech_carriage_held_at_height_above(const struct rmech_carriage *carriage,
                                            const struct rmech_plane_point *ground,
                                            size_t count,
                                            const struct rmech_length *height,
                                            int32_t nearest,
                                            struct rmech_carriage_state *state,
                                            struct rmech_error *error);

// The length of track with which it pulls with `tension` at the head while the load is held at `x`.
//
// `state` has the length. `RMECH_ERR_GEOMETRY` if the load can't hang on so little tension.
// Cost: no heap, 19 kB of stack; Newton's method from at most a few starts, 60 steps of at most 14 halvings each, and 4 more; 3 to 5 as a rule, iterations at most 64.
RMECH_NODISCARD
int32_t rmech_carriage_length_for_tension(const struct rmech_carriage *carriage,
                                          const struct rmech_length *x,
                                          const struct rmech_force *tension,
                                          struct rmech_carriage_state *state,
                                          struct rmech_error *error);

// The length of track with which the held carriage stands at `point`: at a given height above the ground, say.
//
// `state` has the length.
// Cost: no heap, 19 kB of stack; Newton's method from at most a few starts, 60 steps of at most 14 halvings each, and 4 more; 3 to 5 as a rule, iterations at most 64.
RMECH_NODISCARD
int32_t rmech_carriage_length_for_point(const struct rmech_carriage *carriage,
                                        const struct rmech_plane_point *point,
                                        struct rmech_carriage_state *state,
                                        struct rmech_error *error);

/* ---- One rope over its bends ---------------------------------------------------------------------------------------
 * T behind a turn = T before it * ratio(q), the ratio of the topic on bends; along a part T' = scale*T + rise
 * Load on a turn:  R^2 = (T1 - T2)^2 + 4*T1*T2*sin(q/2)^2    without loss, b between the lines: R = 2*T*cos(b/2)
 * While the rope moves, one tension gives all. At rest each turn holds any ratio between its two, so that each part has a band;
 * not every combination of what lies in the bands is possible. Assumed: parts without weight unless a strand says otherwise.
 * Range: up to 16 turns, 0 to 32 turns of wrap each. CAUTION. Ratios of real turns scatter by 5 % or more each: a load cell is
 * worth more than any table. Source: statics; block factors of industrial catalogues.
 * Picture: rope-mechanics/src/docs/pictures/reeving.svg
 *
 *     rmech_force tension = rmech_kn(2.1), load;
 *     rmech_angle between = rmech_deg(110.0); // the rope's two sides
 *     if (rmech_redirect_load(&tension, &between, &load, &error) == RMECH_OK)
 *         printf("%.2f kN on the redirect\n", rmech_in_kn(load)); // 2.41 kN on the redirect
 */

// The most turns that one rope can take.
#define RMECH_MAX_TURNS 16

// The side of a part towards the pulling end of its rope.
#define RMECH_SIDE_PULLING 1

// The side towards the standing end.
#define RMECH_SIDE_STANDING 2

// `place` is given: the wrap follows from the places before and behind, unless it is given too.
#define RMECH_BEND_PLACE 1

// `wrap` is given.
#define RMECH_BEND_WRAP 2

// `rise` is given.
#define RMECH_STRAND_RISE 1

// `scale` is given, in place of a rise.
#define RMECH_STRAND_SCALE 2

// `leaving` and `arriving` are given.
#define RMECH_STRAND_DIRECTIONS 4

// `pulling_end` and `standing_end` are given.
#define RMECH_REEVING_ENDS 1

// `pulling_end` is known.
#define RMECH_END_PULLING 1

// `standing_end` is known.
#define RMECH_END_STANDING 2

// The rope passes the frame without contact: `frame` is not read.
#define RMECH_TRACK_FRAME_WITHOUT_CONTACT 1

// The load cell's reading is known.
#define RMECH_TRACK_KNOWN_CELL 1

// The pull of the capstan is known.
#define RMECH_TRACK_KNOWN_CAPSTAN 2

// The tensions of both strands at the head together are known.
#define RMECH_TRACK_KNOWN_STRANDS_AT_HEAD 3

// The tensions of both strands at the far sheave together are known.
#define RMECH_TRACK_KNOWN_STRANDS_AT_FAR_SHEAVE 4

// A turn in its place.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_bend {
  // What the rope turns on.
  struct rmech_turn turn;
  // `RMECH_BEND_PLACE`, `RMECH_BEND_WRAP`, or both added.
  int32_t given;
  // Zero.
  int32_t reserved;
  // Where it stands.
  struct rmech_point place;
  // How far the rope wraps it: 0 to 32 turns.
  struct rmech_angle wrap;
} rmech_bend;

// How a part runs that is not straight, or whose two sides differ in tension.
typedef struct rmech_strand {
  // The part, counted from the pulling end.
  uint32_t part;
  // Zero, or the sum of what is given.
  int32_t given;
  // Tension of the standing side less that of the pulling side.
  struct rmech_force rise;
  // Tension of the standing side by that of the pulling side.
  struct rmech_ratio scale;
  // The direction in which the part leaves its pulling side, seen towards the standing end.
  struct rmech_direction leaving;
  // The direction in which it arrives at its standing side.
  struct rmech_direction arriving;
} rmech_strand;

// One rope through a row of turns, from its pulling end. It has one part more than turns.
typedef struct rmech_reeving {
  // sizeof(rmech_reeving); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero, or `RMECH_REEVING_ENDS`.
  uint32_t flags;
  // The turns in order.
  const struct rmech_bend *bends;
  // How many: at most `RMECH_MAX_TURNS`.
  size_t bend_count;
  // The parts that are not straight or bear a load; NULL for none.
  const struct rmech_strand *strands;
  // How many.
  size_t strand_count;
  // Where the hand, winch or capstan stands.
  struct rmech_point pulling_end;
  // Where the load or anchor of the other end is.
  struct rmech_point standing_end;
} rmech_reeving;

// What is known of a rope's tension: of one spot, or of the sum of two.
typedef struct rmech_known {
  // The part, counted from the pulling end.
  uint32_t part;
  // Which of its sides: one of `RMECH_SIDE_...`.
  int32_t side;
  // The part of the second spot.
  uint32_t other_part;
  // Its side; zero if the tension is that of the first spot alone.
  int32_t other_side;
  // The tension, or the sum of both.
  struct rmech_force tension;
} rmech_known;

// The tension of a part at its two sides.
typedef struct rmech_part_tension {
  // Towards the pulling end.
  struct rmech_force_band pulling_side;
  // Towards the standing end.
  struct rmech_force_band standing_side;
} rmech_part_tension;

// What a rope does to a turn.
typedef struct rmech_turn_load {
  // How far the rope wraps it.
  struct rmech_angle wrap;
  // Size of the force on what holds it; at rest the greatest that friction may leave.
  struct rmech_force load;
  // The same as a vector; zero if the directions are not known.
  struct rmech_force3 force;
  // 1 if `force` is known, else 0.
  int32_t force_known;
  // Zero.
  int32_t reserved;
} rmech_turn_load;

// The highest tension in a rope.
typedef struct rmech_highest {
  // The part, counted from the pulling end.
  uint32_t part;
  // Which of its sides: one of `RMECH_SIDE_...`.
  int32_t side;
  // The tension; at rest the upper end of its band.
  struct rmech_force tension;
} rmech_highest;

// What a rope does as a whole.
typedef struct rmech_reeving_summary {
  // sizeof(rmech_reeving_summary); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // The highest tension anywhere.
  struct rmech_highest highest;
  // The rope's pull on what holds its pulling end.
  struct rmech_force3 pulling_end;
  // The rope's pull on what holds its standing end.
  struct rmech_force3 standing_end;
  // The sum of `RMECH_END_...` of the ends whose direction is known; the others are zero.
  int32_t ends_known;
  // Zero.
  int32_t reserved;
  // The largest closing error, by the largest term of its equation.
  struct rmech_ratio residual;
} rmech_reeving_summary;

// A doubled track rope: capstan, redirect, over the frame, far sheave, back over the frame, load cell, anchor.
//
// CAUTION. Both strands are one rope on one sheave: it has no redundancy.
typedef struct rmech_doubled_track {
  // sizeof(rmech_doubled_track); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero, or `RMECH_TRACK_FRAME_WITHOUT_CONTACT`.
  uint32_t flags;
  // The powered capstan.
  struct rmech_point capstan;
  // The redirect beside the frame.
  struct rmech_point redirect;
  // The head of the frame.
  struct rmech_point head;
  // The sheave at the far anchor.
  struct rmech_point far_sheave;
  // The anchor of the standing end, behind the load cell.
  struct rmech_point anchor;
  // What the rope turns on at the redirect.
  struct rmech_turn redirect_turn;
  // At each crossing of the frame.
  struct rmech_turn frame_turn;
  // At the far anchor.
  struct rmech_turn far_turn;
  // The strand that goes out; its `part` is not read.
  struct rmech_strand strand_out;
  // The strand that comes back; its `part` is not read.
  struct rmech_strand strand_back;
} rmech_doubled_track;

// The tensions of a doubled track rope, and what it does to what holds it.
typedef struct rmech_track_tensions {
  // sizeof(rmech_track_tensions); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // What the capstan pulls.
  struct rmech_force_band capstan;
  // What the load cell shows.
  struct rmech_force_band cell;
  // The strand that goes out: pulling side at the head, standing side at the far sheave.
  struct rmech_part_tension strand_out;
  // The strand that comes back: pulling side at the far sheave, standing side at the head.
  struct rmech_part_tension strand_back;
  // The highest tension anywhere in the rope.
  struct rmech_highest highest;
  // On the redirect.
  struct rmech_turn_load redirect;
  // On the far sheave and its anchor.
  struct rmech_turn_load far_sheave;
  // Both crossings on the head of the frame.
  struct rmech_force3 frame;
  // The size of each crossing's load: the rope going out, then coming back.
  struct rmech_force head_crossings[2];
  // The largest closing error, by the largest term of its equation.
  struct rmech_ratio residual;
} rmech_track_tensions;

// The tension of every part of a rope, from what is known of one part or of the sum of two.
//
// `parts` takes bend_count + 1 entries and `turns` bend_count; both, and `summary`, may be NULL. `motion_of_rope`
// is one of `RMECH_MOTION_...`. Formula and source: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 12 kB of stack; for each side of each part, a few passes along the rope.
RMECH_NODISCARD
int32_t rmech_reeving_tensions(const struct rmech_reeving *reeving,
                               const struct rmech_known *known,
                               int32_t motion_of_rope,
                               struct rmech_part_tension *parts,
                               size_t part_capacity,
                               struct rmech_turn_load *turns,
                               size_t turn_capacity,
                               struct rmech_reeving_summary *summary,
                               struct rmech_error *error);

// The tensions of a doubled track rope from one known tension.
//
// `known` is one of `RMECH_TRACK_KNOWN_...` and says what `tension` is; `motion_of_rope` one of
// `RMECH_MOTION_...`: tensioning is hauling, easing is lowering.
// Cost: no heap, 14 kB of stack; for each side of each part, a few passes along the rope.
RMECH_NODISCARD
int32_t rmech_doubled_track_tensions(const struct rmech_doubled_track *track,
                                     int32_t known,
                                     const struct rmech_force *tension,
                                     int32_t motion_of_rope,
                                     struct rmech_track_tensions *tensions,
                                     struct rmech_error *error);

// Load on a turn without loss, from the tension and the angle between its two lines: 0 to 180 degrees.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_redirect_load(const struct rmech_force *tension,
                            const struct rmech_angle *between_lines,
                            struct rmech_force *load,
                            struct rmech_error *error);

// The force of a redirect on what holds it, and the tension on its pulling side.
//
// `to_load` and `to_pull` are the directions in which its two lines run away from it.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_redirect_resultant(const struct rmech_turn *turn,
                                 const struct rmech_direction *to_load,
                                 const struct rmech_direction *to_pull,
                                 const struct rmech_force *load_tension,
                                 int32_t motion_of_rope,
                                 struct rmech_force_band *pull,
                                 struct rmech_turn_load *on_turn,
                                 struct rmech_error *error);

/* ---- Rope wrapped on a capstan, and what a hand holds --------------------------------------------------------------
 * T_tail = T*exp(-mu*q)    groove of opening g: mu' = mu/sin(g/2)    q = ln(T/T_hand)/mu
 * Assumed: a rigid drum much thicker than the rope, wraps side by side. mu is a band: tail low with the highest mu.
 * Range: mu from 0 to 2, q from 0 to 100 turns, g from 10 to 180 degrees. CAUTION. A wet, iced or worn drum holds less; a hand
 * is no brake. Source: the belt equation of any statics textbook; hands by Mauthner, in Moyer 2006.
 * Picture: rope-mechanics/src/docs/pictures/capstan.svg
 *
 *     rmech_capstan capstan = RMECH_INIT(rmech_capstan);
 *     capstan.friction_low = rmech_fraction(0.12);
 *     capstan.friction_high = rmech_fraction(0.28);
 *     rmech_force load = rmech_kn(2.1);
 *     rmech_angle wrap = rmech_deg(3.5 * 360.0);
 *     rmech_force_band tail;
 *     if (rmech_capstan_tail(&capstan, &load, &wrap, &tail, &error) == RMECH_OK)
 *         printf("the tail takes %.0f to %.0f N\n", rmech_in_n(tail.low), rmech_in_n(tail.high)); // the tail takes 4 to 150 N
 */

// The lowest friction of a smooth metal drum. From memory.
#define RMECH_DRUM_FRICTION_LOW 0.10

// The highest friction of a smooth metal drum. From memory.
#define RMECH_DRUM_FRICTION_HIGH 0.30

// The tail force holds even with the lowest friction.
#define RMECH_GRIP_HOLDS 1

// It depends on the friction: count on neither.
#define RMECH_GRIP_UNCERTAIN 2

// The rope slips even with the highest friction.
#define RMECH_GRIP_SLIPS 3

// Everybody tested held it: up to 46 N.
#define RMECH_HAND_EVERYBODY 1

// An average hand held it, weaker ones did not: up to 209 N.
#define RMECH_HAND_AVERAGE 2

// Only hands stronger than the average held it: up to 425 N.
#define RMECH_HAND_STRONGEST 3

// Nobody held it: above 425 N.
#define RMECH_HAND_NOBODY 4

// A drum, bollard or bar with rope wrapped round it.
typedef struct rmech_capstan {
  // sizeof(rmech_capstan); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // The lowest coefficient of friction that the rope may have on it: above 0.
  struct rmech_ratio friction_low;
  // The highest: at most 2.
  struct rmech_ratio friction_high;
  // Angle between the flanks of its groove, from 10 to 180 degrees; zero if it is flat.
  struct rmech_angle groove;
} rmech_capstan;

// The tail force that holds `load` for the `wrap` taken: from `tail->low`, if friction is at its highest, to
// `tail->high`, which holds in any case.
//
// Formula and source: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_capstan_tail(const struct rmech_capstan *capstan,
                           const struct rmech_force *load,
                           const struct rmech_angle *wrap,
                           struct rmech_force_band *tail,
                           struct rmech_error *error);

// The load that a `tail` force holds: `load->low` is held in any case; above `load->high` the rope runs in any
// case.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_capstan_load(const struct rmech_capstan *capstan,
                           const struct rmech_force *tail,
                           const struct rmech_angle *wrap,
                           struct rmech_force_band *load,
                           struct rmech_error *error);

// Whether a `tail` force holds `load`: one of `RMECH_GRIP_...`.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_capstan_grip(const struct rmech_capstan *capstan,
                           const struct rmech_force *load,
                           const struct rmech_force *tail,
                           const struct rmech_angle *wrap,
                           int32_t *grip,
                           struct rmech_error *error);

// The wrap that lets a `hand` force hold `load` with the lowest friction, and its whole turns, rounded up.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_capstan_turns(const struct rmech_capstan *capstan,
                            const struct rmech_force *load,
                            const struct rmech_force *hand,
                            struct rmech_angle *wrap,
                            uint32_t *whole_turns,
                            struct rmech_error *error);

// Which hands hold a `tail` force on a moving rope: one of `RMECH_HAND_...`.
//
// Bands from a test of people; source: at the top of this topic in rope_mechanics.h. A hand is
// no brake to rely on.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_hand_hold(const struct rmech_force *tail, int32_t *hand, struct rmech_error *error);

// The coefficient of friction from a test in which a weight was just raised and just lowered over a bar.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_friction_from_test(const struct rmech_force *raising,
                                 const struct rmech_force *lowering,
                                 const struct rmech_angle *wrap,
                                 struct rmech_ratio *friction,
                                 struct rmech_error *error);

// A turn with a coefficient of friction for each direction, from such a test and the `weight` that hung on the rope.
//
// `turn` takes a `RMECH_TURN_BAR`.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_turn_from_test(const struct rmech_force *raising,
                             const struct rmech_force *lowering,
                             const struct rmech_angle *wrap,
                             const struct rmech_force *weight,
                             struct rmech_turn *turn,
                             struct rmech_error *error);

/* ---- Loads on a slope ----------------------------------------------------------------------------------------------
 * With G = ((1-c)*W + s*Wa)*sin(q) and N = (1-c)*W*cos(q), the rope at d to the slope:
 * P_up = (G + mu*N)/(cos(d) + mu*sin(d))    P_down = (G - mu*N)/(cos(d) - mu*sin(d)), slack where negative
 * Assumed: a plane slope, a rigid load that slides slowly; c is the share carried, s that of the attendants' weight Wa on the
 * rope. Range: slope 0 to 90 degrees, mu from 0 to 2, d from -90 to 90 degrees. Classes of slopes: sources disagree (low from
 * 15, steep from 30 to 35, high from 50 to 60 degrees); local rules come first. Source: statics of a block on a plane.
 * Picture: rope-mechanics/src/docs/pictures/slope.svg
 *
 *     rmech_slope_load load = RMECH_INIT(rmech_slope_load);
 *     rmech_slope_pull pull = RMECH_INIT(rmech_slope_pull);
 *     load.weight = rmech_kn(2.1);
 *     load.slope = rmech_deg(35.0);
 *     load.friction = rmech_fraction(0.25);
 *     if (rmech_slope_pull_of(&load, &pull, &error) == RMECH_OK)
 *         printf("%.0f N up, %.0f N down\n", rmech_in_n(pull.up), rmech_in_n(pull.down)); // 1635 N up, 774 N down
 */

// Walkable without a rope.
#define RMECH_SLOPE_FLAT 1

// Low angle: attendants carry the load, the rope steadies them.
#define RMECH_SLOPE_LOW 2

// Steep angle: load and attendants share the rope and the ground.
#define RMECH_SLOPE_STEEP 3

// High angle: the rope carries everything.
#define RMECH_SLOPE_HIGH 4

// A load on a slope, the rope that moves it, and who helps. What stays zero is not there.
typedef struct rmech_slope_load {
  // sizeof(rmech_slope_load); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // Weight of the load.
  struct rmech_force weight;
  // Slope from the horizontal: 0 to 90 degrees.
  struct rmech_angle slope;
  // Coefficient of friction with the ground: 0 to 2.
  struct rmech_ratio friction;
  // Angle at which the rope rises from the slope; negative, it presses the load down.
  struct rmech_angle rope_angle;
  // Share of the weight carried straight up, by attendants or a line: 0 to 1.
  struct rmech_ratio carried_share;
  // Weight of all attendants who hang on the rope.
  struct rmech_force attendants;
  // Share of the downhill part of their weight that they leave to the rope: 0 to 1.
  struct rmech_ratio leaning;
} rmech_slope_load;

// The pulls on a load on a slope.
typedef struct rmech_slope_pull {
  // sizeof(rmech_slope_pull); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // In the rope, while the load moves up.
  struct rmech_force up;
  // In the rope, while it moves down; zero if the rope goes slack.
  struct rmech_force down;
  // While nothing moves.
  struct rmech_force_band at_rest;
  // The push that moves the load down where it doesn't slide by itself.
  struct rmech_force push;
  // 1 if the rope goes slack on the way down, else 0.
  int32_t slack;
  // Zero.
  int32_t reserved;
} rmech_slope_pull;

// The slopes, from the horizontal, at which the classes begin.
typedef struct rmech_slope_classes {
  // Low angle.
  struct rmech_angle low;
  // Steep angle.
  struct rmech_angle steep;
  // High angle.
  struct rmech_angle high;
} rmech_slope_classes;

// The pulls in the rope of a load on a slope: up, down and at rest.
//
// Formula and source: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_slope_pull_of(const struct rmech_slope_load *load,
                            struct rmech_slope_pull *pull,
                            struct rmech_error *error);

// Drag of a load of which the ground carries only a share, the rest hanging on a line.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_ground_drag(const struct rmech_force *weight,
                          const struct rmech_ratio *ground_share,
                          const struct rmech_angle *slope,
                          const struct rmech_ratio *friction,
                          struct rmech_force *drag,
                          struct rmech_error *error);

// The class of a slope: one of `RMECH_SLOPE_...`.
//
// `classes` may be NULL: the cautious limits then, 15, 30 and 50 degrees. Sources disagree on them.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_slope_class(const struct rmech_slope_classes *classes,
                          const struct rmech_angle *slope,
                          int32_t *class_,
                          struct rmech_error *error);

/* ---- Tackle --------------------------------------------------------------------------------------------------------
 * Each carrier that moves is in balance along its heading: sum of T*cos(angle) = load at the load, 0 elsewhere.
 * Travel by virtual work, the transpose of the same system: advantage = rope through the hand / travel of the load, without losses.
 * Losses: the tension behind each sheave by the topic on bends, in the direction in which the rope runs there.
 * Assumed: straight, weightless ropes that don't stretch; angles as drawn. Range: up to 24 carriers (8 that move), 48 stops,
 * 8 ropes. The balance is put back to 1e-11. CAUTION. A tackle multiplies what a jammed load does to its anchor.
 * Source: statics and virtual work; checked against printed ratios (McAllister, Pipeline Rules of Thumb Handbook, p. 6).
 * Picture: rope-mechanics/src/docs/pictures/tackle.svg
 *
 *     rmech_tackle tackle = RMECH_INIT(rmech_tackle);
 *     rmech_tackle_forces forces;
 *     tackle.ready = RMECH_TACKLE_3_TO_1;
 *     tackle.load_distance = rmech_m(40.0);
 *     tackle.spread = rmech_m(10.0);
 *     tackle.efficiency = rmech_percent(90.0);
 *     rmech_force load = rmech_kn(2.1);
 *     if (rmech_tackle_solve(&tackle, &load, RMECH_MOTION_HAULING, NULL, 0, &forces, &error) == RMECH_OK)
 *         printf("%.0f N at the hand\n", rmech_in_n(forces.hand)); // 775 N at the hand
 */

// A straight pull; with a lead, the 1:1 redirect.
#define RMECH_TACKLE_1_TO_1 1

// A rope from the anchor around one travelling sheave.
#define RMECH_TACKLE_2_TO_1 2

// One sheave at the anchor and one travelling.
#define RMECH_TACKLE_3_TO_1 3

// A 2:1 pulled by a 2:1.
#define RMECH_TACKLE_4_TO_1 4

// Two sheaves at the anchor and two travelling.
#define RMECH_TACKLE_5_TO_1 5

// A 3:1 pulled by a 2:1.
#define RMECH_TACKLE_6_TO_1 6

// A 3:1 pulled by a 3:1.
#define RMECH_TACKLE_9_TO_1 9

// The 5:1 of three sheaves and two grabs, pulled towards the load. It takes no lead.
#define RMECH_TACKLE_5_TO_1_COMPLEX 105

// A tackle of one's own, of the carriers and stops given with it.
#define RMECH_TACKLE_OWN 201

// A flag of a usual tackle: it grips the load's rope, which a grab at the anchor holds, and isn't made of it.
#define RMECH_TACKLE_PIGGYBACK 1

// A flag of a usual tackle: a lead sheave at the anchor turns the hand's end back.
#define RMECH_TACKLE_LEAD 2

// A state of a tackle, beside `RMECH_MOTION_HAULING` and `RMECH_MOTION_LOWERING`: without losses, the ideal.
#define RMECH_TACKLE_LOSSLESS 101

// A state of a tackle: held by its capture, with the hand off.
#define RMECH_TACKLE_HELD 102

// A carrier that stays where it is.
#define RMECH_CARRIER_ANCHOR 0

// The carrier that is hauled. There is one.
#define RMECH_CARRIER_LOAD 1

// A travelling block or grab.
#define RMECH_CARRIER_FREE 2

// A rope's end tied to a carrier.
#define RMECH_TACKLE_STOP_END 0

// A rope's end in the hand or on the winch, which stands at a carrier. There is one.
#define RMECH_TACKLE_STOP_HAND 1

// A rope's end that hangs slack or is tailed.
#define RMECH_TACKLE_STOP_TAIL 2

// A rope held by a grab that sits on a carrier.
#define RMECH_TACKLE_STOP_GRAB 3

// A rope over a sheave or connector on a carrier.
#define RMECH_TACKLE_STOP_SHEAVE 4

// The same, with a capture of progress.
#define RMECH_TACKLE_STOP_CAPTURE 5

// A rope over a fixed bar on a carrier.
#define RMECH_TACKLE_STOP_BAR 6

// The tackle wanted has the fewest sheaves; among equals the least rope.
#define RMECH_WANTED_FEWEST_SHEAVES 1

// The tackle wanted takes the least rope; among equals it has the fewest sheaves.
#define RMECH_WANTED_LEAST_ROPE 2

// With a lead sheave or without.
#define RMECH_LEAD_EITHER 0

// Only with a lead sheave.
#define RMECH_LEAD_WITH 1

// Only without.
#define RMECH_LEAD_WITHOUT 2

// How many parts of rope a tackle has at most.
#define RMECH_TACKLE_MAX_PARTS 47

// A carrier of any tackle.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_carrier {
  // `RMECH_CARRIER_ANCHOR`, `RMECH_CARRIER_LOAD` or `RMECH_CARRIER_FREE`.
  int32_t kind;
  // Zero.
  int32_t reserved;
  // Where it stands.
  struct rmech_point at;
  // Along which it travels, of any length; all zero for against x. Ignored for an anchor.
  struct rmech_ratio heading[3];
} rmech_carrier;

// A stop of a rope. Stops that follow each other with the same `rope` make one rope, from one end to the other.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_stop {
  // `RMECH_TACKLE_STOP_END`, ...
  int32_t kind;
  // Any number that differs from those of the ropes before and after it.
  uint32_t rope;
  // The index of its carrier.
  uint32_t carrier;
  // Zero.
  uint32_t reserved;
  // Of a sheave or capture, over half a turn; 1 for a capture that the rope runs straight through.
  struct rmech_ratio efficiency;
  // Of a bar, while raising.
  struct rmech_ratio friction_raising;
  // Of a bar, while lowering.
  struct rmech_ratio friction_lowering;
} rmech_stop;

// A tackle: a usual one and where its parts stand along its line, or one of one's own.
typedef struct rmech_tackle {
  // sizeof(rmech_tackle); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // `RMECH_TACKLE_PIGGYBACK`, `RMECH_TACKLE_LEAD`, both or none; none for a tackle of one's own.
  uint32_t flags;
  // Which: `RMECH_TACKLE_3_TO_1`, ...; or `RMECH_TACKLE_OWN`, for which only the carriers and stops count.
  int32_t ready;
  // Zero.
  int32_t reserved;
  // From the anchor to the load.
  struct rmech_length load_distance;
  // From the anchor to the travelling block or grab when the tackle is spread out: less than that to the load.
  struct rmech_length spread;
  // From the anchor to the hand or winch; zero for 1 m.
  struct rmech_length hand_distance;
  // Of every pulley over half a turn: tension after by tension before.
  struct rmech_ratio efficiency;
  // Of single pulleys, in the order in which the rope reaches them from the load to the hand; zero where it is
  // that of every pulley.
  struct rmech_ratio efficiencies[5];
  // The carriers of a tackle of one's own. They stay the caller's, and are read during a call only.
  const struct rmech_carrier *carriers;
  // How many: up to 24.
  size_t carrier_count;
  // The stops of its ropes, rope after rope.
  const struct rmech_stop *stops;
  // How many: up to 48.
  size_t stop_count;
} rmech_tackle;

// A haul to be planned.
typedef struct rmech_haul_plan {
  // How far the load is to come: above zero.
  struct rmech_length haul;
  // What must stay clear between any two carriers that a part joins.
  struct rmech_length clearance;
  // How far rope slips back through the capture before it holds.
  struct rmech_length setback;
} rmech_haul_plan;

// What a haul takes with a tackle that must be reset on the way.
typedef struct rmech_cycle {
  // The load's travel between two resets.
  struct rmech_length throw_at_load;
  // Rope through the hand between two resets.
  struct rmech_length throw_at_hand;
  // How far the load goes back at each reset.
  struct rmech_length lost;
  // All the rope that comes through the hand.
  struct rmech_length hand;
  // The rope in the tackle as drawn, beside knots and tails.
  struct rmech_length rope;
  // How many throws the haul takes.
  uint32_t throws;
  // How many resets lie between them.
  uint32_t resets;
} rmech_cycle;

// Load by hand force.
typedef struct rmech_advantage {
  // Without losses.
  struct rmech_ratio ideal;
  // While the load comes.
  struct rmech_ratio hauling;
  // While the load goes.
  struct rmech_ratio lowering;
} rmech_advantage;

// What a tackle does for a load.
typedef struct rmech_tackle_forces {
  // At the hand or winch; zero while a capture holds.
  struct rmech_force hand;
  // The highest tension of any part.
  struct rmech_force highest;
  // Rope through the hand for each length that the load travels.
  struct rmech_ratio velocity_ratio;
  // How many parts of rope there are.
  uint32_t parts;
  // How many sheaves the ropes turn over.
  uint32_t sheaves;
  // How many stops `rmech_tackle_on_sheaves` gives: the sheaves, and captures that a rope runs straight through.
  uint32_t turns;
  // How many carriers there are.
  uint32_t carriers;
} rmech_tackle_forces;

// What a rope does to a sheave, connector, bar or capture.
typedef struct rmech_sheave_force {
  // Where it sits: the place of its carrier.
  uint32_t carrier;
  // The rope over it, in the order in which they are reeved.
  uint32_t rope;
  // Which stop of that rope it is, from 0.
  uint32_t stop;
  // Zero.
  uint32_t reserved;
  // How far the rope turns.
  struct rmech_angle turn;
  // What the rope does to it.
  struct rmech_force3 force;
} rmech_sheave_force;

// What all ropes do to a carrier, and how it moves.
typedef struct rmech_carrier_force {
  // What it is called, NUL-terminated: "anchor", "load", "grab", ...; of a tackle of one's own "carrier 0", ...
  char name[24];
  // The force that all ropes together put on it.
  struct rmech_force3 force;
  // How far it travels along its heading for each length that the load travels; zero for an anchor.
  struct rmech_ratio travel;
} rmech_carrier_force;

// The greatest travel before a tackle must be reset.
typedef struct rmech_throw {
  // How far the load travels.
  struct rmech_length load;
  // How much rope comes through the hand.
  struct rmech_length hand;
  // The part that gets too short first: the place of the carrier where it begins.
  uint32_t from;
  // That of the carrier where it ends.
  uint32_t to;
} rmech_throw;

// The usual tackle found.
typedef struct rmech_tackle_found {
  // Which, as in `rmech_tackle`.
  int32_t ready;
  // Its flags, as in `rmech_tackle`.
  uint32_t flags;
  // The force at the hand while hauling.
  struct rmech_force hand;
  // Its rope as drawn, beside knots and tails.
  struct rmech_length rope;
} rmech_tackle_found;

// The advantage of a tackle: without losses, hauling and lowering.
//
// Model, formula and range: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 16 kB of stack; linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
RMECH_NODISCARD
int32_t rmech_tackle_advantage(const struct rmech_tackle *tackle,
                               struct rmech_advantage *advantage,
                               struct rmech_error *error);

// The forces in a tackle for a load, in one state: `RMECH_MOTION_HAULING`,
// `RMECH_MOTION_LOWERING`, `RMECH_TACKLE_LOSSLESS` or `RMECH_TACKLE_HELD`.
//
// `tensions` takes the tension of every part in the order in which the ropes were reeved (of a tackle of one's own, that
// of its stops), if `capacity` is at least the number of parts, at most `RMECH_TACKLE_MAX_PARTS`; NULL with a capacity of
// 0 asks for the rest alone.
// Cost: no heap, 16 kB of stack; linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
RMECH_NODISCARD
int32_t rmech_tackle_solve(const struct rmech_tackle *tackle,
                           const struct rmech_force *load,
                           int32_t state,
                           struct rmech_force *tensions,
                           size_t capacity,
                           struct rmech_tackle_forces *forces,
                           struct rmech_error *error);

// The force on every sheave of a tackle for a load, in one state as for `rmech_tackle_solve`.
//
// `sheaves` takes them in the order in which the ropes reach them, as many as `turns` in `rmech_tackle_forces` says (at
// most `RMECH_TACKLE_MAX_PARTS`).
// Cost: no heap, 16 kB of stack; linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
RMECH_NODISCARD
int32_t rmech_tackle_on_sheaves(const struct rmech_tackle *tackle,
                                const struct rmech_force *load,
                                int32_t state,
                                struct rmech_sheave_force *sheaves,
                                size_t capacity,
                                struct rmech_error *error);

// The force on every carrier of a tackle for a load, in one state as for `rmech_tackle_solve`, and how each travels.
//
// `carriers` takes as many as `carriers` in `rmech_tackle_forces` says, at most 24.
// Cost: no heap, 16 kB of stack; linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
RMECH_NODISCARD
int32_t rmech_tackle_on_carriers(const struct rmech_tackle *tackle,
                                 const struct rmech_force *load,
                                 int32_t state,
                                 struct rmech_carrier_force *carriers,
                                 size_t capacity,
                                 struct rmech_error *error);

// How far the load goes before two carriers that a part joins come closer than `clearance`.
// Cost: no heap, 16 kB of stack; linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
RMECH_NODISCARD
int32_t rmech_tackle_throw(const struct rmech_tackle *tackle,
                           const struct rmech_length *clearance,
                           struct rmech_throw *throw_,
                           struct rmech_error *error);

// How far the load goes back when its capture takes hold, for each length of rope that slips through it.
// Cost: no heap, 16 kB of stack; linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
RMECH_NODISCARD
int32_t rmech_tackle_setback(const struct rmech_tackle *tackle,
                             struct rmech_ratio *setback,
                             struct rmech_error *error);

// The rope in all parts of a tackle, as drawn: what it needs beside knots and tails.
// Cost: no heap, 16 kB of stack; linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
RMECH_NODISCARD
int32_t rmech_tackle_rope(const struct rmech_tackle *tackle,
                          struct rmech_length *rope,
                          struct rmech_error *error);

// The best of the usual tackles with which the `available` hand force is enough for a load.
//
// `tackle` gives where things stand and the one efficiency of all pulleys; its `ready`, `flags` and `efficiencies` are
// not read. `wanted` is a `RMECH_WANTED_...`, `lead` a `RMECH_LEAD_...`. If none is enough, RMECH_ERR_GEOMETRY.
// Cost: no heap, 17 kB of stack; the same for each of the usual tackles, 30 in all.
RMECH_NODISCARD
int32_t rmech_tackle_search(const struct rmech_tackle *tackle,
                            const struct rmech_force *load,
                            const struct rmech_force *available,
                            int32_t wanted,
                            int32_t lead,
                            struct rmech_tackle_found *found,
                            struct rmech_error *error);

// Throws, resets and rope for a whole haul.
// Cost: no heap, 16 kB of stack; linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
RMECH_NODISCARD
int32_t rmech_tackle_cycle(const struct rmech_tackle *tackle,
                           const struct rmech_haul_plan *plan,
                           struct rmech_cycle *cycle,
                           struct rmech_error *error);

/* ---- A haul in one call --------------------------------------------------------------------------------------------
 * F = pull * product of redirects before / advantage of the tackle * product of redirects behind
 * with each redirect's ratio and the tackle's advantage hauling or lowering. At rest anything between. Load's speed = line
 * speed / velocity ratio; hand = travel * velocity ratio. Assumed, range: as of tackle; up to 8 redirects on each side, 0 to
 * 180 degrees. CAUTION. A winch built for pulling may be barred by its own standard from lifting people.
 * Source: as of tackle and bends; Delaney 2022 for what redirects pass on.
 * Picture: rope-mechanics/src/docs/pictures/haul.svg
 *
 *     rmech_tackle tackle = RMECH_INIT(rmech_tackle);
 *     tackle.load_distance = rmech_m(40.0);
 *     tackle.spread = rmech_m(10.0);
 *     tackle.efficiency = rmech_percent(90.0);
 *     rmech_pull pull = {rmech_kn(2.1), rmech_kn(1.5)}; // hauling, lowering
 *     rmech_force available = rmech_n(900.0), needed;
 *     int32_t ready; // the least of the usual tackles that is enough, with no redirects
 *     if (rmech_haul_least_advantage(&tackle, NULL, 0, NULL, 0, &pull, &available, &ready, &needed, &error) == RMECH_OK)
 *         printf("%s, %.0f N\n", ready == RMECH_TACKLE_3_TO_1 ? "3:1" : "another", rmech_in_n(needed)); // 3:1, 775 N
 */

// A turn of the haul line outside its tackle: over the frame, over an edge, beside the winch.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_haul_redirect {
  // What the rope turns on: a sheave, a bare connector by its efficiency, a fixed bar or edge by its friction.
  struct rmech_turn turn;
  // How far the rope turns: from 0 to half a turn.
  struct rmech_angle angle;
} rmech_haul_redirect;

// What the load asks of its haul line.
typedef struct rmech_pull {
  // While the load comes.
  struct rmech_force hauling;
  // While it goes: no more than hauling; zero where the rope goes slack.
  struct rmech_force lowering;
} rmech_pull;

// The force on a redirect.
typedef struct rmech_redirect_force {
  // While the load comes.
  struct rmech_force hauling;
  // While the load goes.
  struct rmech_force lowering;
} rmech_redirect_force;

// The forces, speed and resets of a haul.
typedef struct rmech_haul {
  // sizeof(rmech_haul); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // At the winch while the load comes; at rest, the greatest that doesn't yet haul it.
  struct rmech_force hauling;
  // At the winch while the load goes; at rest, the least that keeps it from going.
  struct rmech_force lowering;
  // The highest tension of any part of rope while hauling.
  struct rmech_force highest;
  // The greatest force on a carrier of the tackle that stays, while hauling: its anchor, as a rule.
  struct rmech_force anchor;
  // The load's speed while the winch turns.
  struct rmech_velocity load_speed;
  // Time with the winch turning; the resets take theirs besides.
  struct rmech_time pulling;
  // Throws, resets and rope.
  struct rmech_cycle cycle;
} rmech_haul;

// The whole haul: redirects from the load to the tackle, the tackle (a usual one or one's own), redirects from the tackle
// to the winch.
//
// The redirects are in that order; each list may be NULL with a count of 0 and has at most 8. `on_redirects` takes
// the force on all of them, first those before the tackle; it may be NULL. Set `haul->struct_size` before.
//
// Model, formula and range: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 17 kB of stack; as of tackle.
RMECH_NODISCARD
int32_t rmech_haul_solve(const struct rmech_tackle *tackle,
                         const struct rmech_haul_redirect *before,
                         size_t before_count,
                         const struct rmech_haul_redirect *after,
                         size_t after_count,
                         const struct rmech_pull *pull,
                         const struct rmech_haul_plan *plan,
                         const struct rmech_velocity *winch_speed,
                         struct rmech_redirect_force *on_redirects,
                         struct rmech_haul *haul,
                         struct rmech_error *error);

// The least advantage with which a force at the winch is enough: `RMECH_TACKLE_1_TO_1` says that a straight pull is.
//
// The tackle gives the layout, the form, the lead and the one efficiency of all pulleys; its `ready` is not read.
// `hauling` takes the force at the winch then.
// Cost: no heap, 17 kB of stack; as of tackle, for at most 7 tackles.
RMECH_NODISCARD
int32_t rmech_haul_least_advantage(const struct rmech_tackle *tackle,
                                   const struct rmech_haul_redirect *before,
                                   size_t before_count,
                                   const struct rmech_haul_redirect *after,
                                   size_t after_count,
                                   const struct rmech_pull *pull,
                                   const struct rmech_force *available,
                                   int32_t *ready,
                                   struct rmech_force *hauling,
                                   struct rmech_error *error);

/* ---- A load on two or three ropes ----------------------------------------------------------------------------------
 * sum of T[i]*u[i] = W upward    |r - p[i]| = L[i]*(1 + e[i])    at the least of  sum of L*integral(T de) + W*z
 * r the load, p[i] where rope i comes from, u[i] from the load to there; a rope that would have to push is slack.
 * Assumed: straight, weightless, elastic ropes; the load a point; nothing swings. Range: 2 or 3 ropes of a millimetre at least.
 * A lost track rope: v^2 <= 2*g*(c + U0/W), and peaks by the energy stored and set free, an upper bound.
 * Source: statics of a point; energy. Checked against printed sling factors.
 * Picture: rope-mechanics/src/docs/pictures/bridle.svg
 *
 *     rmech_bridle_rope ropes[2]; // from two points 6 m apart
 *     memset(ropes, 0, sizeof ropes);
 *     ropes[0].from.x = rmech_m(-3.0);
 *     ropes[1].from.x = rmech_m(3.0);
 *     ropes[0].stretch.a = ropes[1].stretch.a = rmech_kn(33.0);
 *     rmech_length lengths[2] = {rmech_m(4.0), rmech_m(5.0)};
 *     rmech_force weight = rmech_kn(2.1);
 *     rmech_hang hang = RMECH_INIT(rmech_hang);
 *     rmech_hang_rope each[2];
 *     if (rmech_bridle_at_lengths(&weight, ropes, lengths, 2, &hang, each, &error) == RMECH_OK)
 *         printf("%.2f and %.2f kN\n", rmech_in_kn(each[0].tension), rmech_in_kn(each[1].tension)); // 1.56 and 1.14 kN
 */

// A rope of a bridle.
typedef struct rmech_bridle_rope {
  // Where it leaves its last sheave or anchor.
  struct rmech_point from;
  // How it stretches from there to the load.
  struct rmech_stretch stretch;
} rmech_bridle_rope;

// A load at rest on its ropes.
typedef struct rmech_hang {
  // sizeof(rmech_hang).
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // Where the load is.
  struct rmech_point position;
  // The largest gap left between the end of a stretched rope and the load.
  struct rmech_length closing_error;
  // The sum of all forces on the load that is left over.
  struct rmech_force imbalance;
} rmech_hang;

// One rope of a load at rest.
typedef struct rmech_hang_rope {
  // How hard it pulls; zero if it is slack.
  struct rmech_force tension;
  // Its unstretched length.
  struct rmech_length length;
  // What it does to the point that it comes from: y is the side force on a frame's head.
  struct rmech_force3 on_point;
  // 1 if it is slack, else 0.
  int32_t slack;
  // Zero.
  int32_t reserved;
} rmech_hang_rope;

// A load at rest at one step of its way.
typedef struct rmech_hang_step {
  // RMECH_OK, or why the load can't hang there; the rest of the step and its ropes are zero then.
  int32_t status;
  // Zero.
  int32_t reserved;
  // Where the load is.
  struct rmech_point position;
  // The largest gap left between the end of a stretched rope and the load.
  struct rmech_length closing_error;
  // The sum of all forces on the load that is left over.
  struct rmech_force imbalance;
} rmech_hang_step;

// The litter after the track rope fails.
typedef struct rmech_track_lost {
  // sizeof(rmech_track_lost).
  uint32_t struct_size;
  // 1 if the litter comes down on the ground before it hangs, else 0.
  int32_t lands;
  // How far it goes down: to the ground or until it hangs, whichever comes first.
  struct rmech_length drop;
  // No faster than this does it meet the ground; zero if it doesn't.
  struct rmech_velocity landing_speed;
  // Where it would hang if no ground were in the way.
  struct rmech_point rest;
} rmech_track_lost;

// A remaining rope after the track rope fails.
typedef struct rmech_track_lost_rope {
  // Its tension once the litter hangs, if no ground were in the way.
  struct rmech_force rest;
  // It is pulled no harder than this at any moment, however the litter swings.
  struct rmech_force peak_bound;
} rmech_track_lost_rope;

// Where a load hangs on ropes of given unstretched lengths, and how hard each pulls.
//
// `ropes` and `lengths` hold `count` elements, two or three; `each` takes as many, in the same order. A rope too
// long to be reached is slack.
// Cost: no heap, 7 kB of stack; Newton's method, at most 200 steps of at most 60 halvings; some ten as a rule.
RMECH_NODISCARD
int32_t rmech_bridle_at_lengths(const struct rmech_force *weight,
                                const struct rmech_bridle_rope *ropes,
                                const struct rmech_length *lengths,
                                size_t count,
                                struct rmech_hang *hang,
                                struct rmech_hang_rope *each,
                                struct rmech_error *error);

// The tensions and unstretched lengths that hold a load at a position.
//
// A position that no pull can hold is RMECH_ERR_GEOMETRY; the message names the rope that would have to push, or
// says how far the position lies beside the vertical plane of two ropes.
// Cost: no heap, 7 kB of stack; closed form, or one small system.
RMECH_NODISCARD
int32_t rmech_bridle_at_position(const struct rmech_force *weight,
                                 const struct rmech_bridle_rope *ropes,
                                 size_t count,
                                 const struct rmech_point *position,
                                 struct rmech_hang *hang,
                                 struct rmech_hang_rope *each,
                                 struct rmech_error *error);

// The length from which on a rope (counted from 0) is slack, the others being of the lengths given.
//
// That rope's own entry in `lengths` isn't used.
// Cost: no heap, 7 kB of stack; Newton's method, at most 200 steps of at most 60 halvings; some ten as a rule.
RMECH_NODISCARD
int32_t rmech_bridle_slack_length(const struct rmech_force *weight,
                                  const struct rmech_bridle_rope *ropes,
                                  const struct rmech_length *lengths,
                                  size_t count,
                                  size_t rope,
                                  struct rmech_length *length,
                                  struct rmech_error *error);

// The way of a load while all ropes move evenly from one set of unstretched lengths to another.
//
// `ropes`, `from` and `to` hold `count` elements, two or three. `step_count` moves give one step more, the first and the
// last included: `steps` takes step_count + 1 elements and `each` count times as many, step after step, with the slack
// and the side force of each rope.
// Cost: no heap, 7 kB of stack; as of the other bridles, at each of the steps given.
RMECH_NODISCARD
int32_t rmech_bridle_swing(const struct rmech_force *weight,
                           const struct rmech_bridle_rope *ropes,
                           const struct rmech_length *from,
                           const struct rmech_length *to,
                           size_t count,
                           uint32_t step_count,
                           struct rmech_hang_step *steps,
                           struct rmech_hang_rope *each,
                           struct rmech_error *error);

// The way of a load straight from one position to another: what lengths it takes, and what forces.
//
// `ropes` holds `count` elements, two or three. `step_count` moves give one step more, the first and the last included:
// `steps` takes step_count + 1 elements and `each` count times as many, step after step. A position on the way that
// can't be held is a status of its own step.
// Cost: no heap, 8 kB of stack; as of the other bridles, at each of the steps given.
RMECH_NODISCARD
int32_t rmech_bridle_carry(const struct rmech_force *weight,
                           const struct rmech_bridle_rope *ropes,
                           size_t count,
                           const struct rmech_point *from,
                           const struct rmech_point *to,
                           uint32_t step_count,
                           struct rmech_hang_step *steps,
                           struct rmech_hang_rope *each,
                           struct rmech_error *error);

// The track rope fails: the litter drops from `position` by its `clearance`, or until it hangs on the ropes left.
//
// `ropes` and `lengths` hold `count` elements, two or three; `each` takes as many, in the same order.
// Cost: no heap, 8 kB of stack; as of rmech_bridle_at_lengths, and a root for each rope in at most 100 steps.
RMECH_NODISCARD
int32_t rmech_track_rope_lost(const struct rmech_force *weight,
                              const struct rmech_bridle_rope *ropes,
                              const struct rmech_length *lengths,
                              size_t count,
                              const struct rmech_point *position,
                              const struct rmech_length *clearance,
                              struct rmech_track_lost *lost,
                              struct rmech_track_lost_rope *each,
                              struct rmech_error *error);

/* ---- The high frame ------------------------------------------------------------------------------------------------
 * sum of c[i]*u[i] + sum of t[j]*v[j] + R = 0    c, t >= 0    least sum of x^2/(2*k), k = EA/L, where more than one answer fits
 * R the resultant of the ropes at the head, u from foot to head, v from head to guy anchor. A staked foot may also pull.
 * Assumed: a pin joint at the head, members without bending; no guy tightened beforehand. Left out: the frame's own weight
 * (add half of each leg's), buckling beyond the strength given, sinking feet, swaying. Range: 1 to 8 legs, up to 8 guys.
 * CAUTION. The forces are those of the ideal frame: its feet, guys and anchors must hold. Source: statics of a pin joint;
 * Lawson & Hanson, Solving Least Squares Problems (1974), ch. 23, from memory; poles by a US Navy rigging manual.
 * Picture: rope-mechanics/src/docs/pictures/frame.svg
 *
 *     rmech_leg legs[3]; // a tripod 3 m high, and a rope that hangs from its head
 *     memset(legs, 0, sizeof legs);
 *     legs[0].foot.x = legs[1].foot.x = rmech_m(1.0);
 *     legs[0].foot.y = rmech_m(1.1);
 *     legs[1].foot.y = rmech_m(-1.1);
 *     legs[2].foot.x = rmech_m(-1.8);
 *     rmech_frame frame = RMECH_INIT(rmech_frame);
 *     frame.head.z = rmech_m(3.0);
 *     frame.legs = legs;
 *     frame.leg_count = 3;
 *     rmech_at_head pull;
 *     memset(&pull, 0, sizeof pull);
 *     pull.kind = RMECH_AT_HEAD_ALONG;
 *     pull.direction.z = rmech_fraction(-1.0);
 *     pull.tension = rmech_kn(2.1);
 *     rmech_frame_forces forces = RMECH_INIT(rmech_frame_forces);
 *     rmech_leg_forces in_legs[3];
 *     if (rmech_frame_solve(&frame, &pull, 1, &forces, in_legs, NULL, NULL, &error) == RMECH_OK)
 *         printf("%.2f kN in the rear leg\n", rmech_in_kn(in_legs[2].compression)); // 0.87 kN in the rear leg
 */

// The most legs of a frame.
#define RMECH_MAX_LEGS 8

// The most guys of a frame.
#define RMECH_MAX_GUYS 8

// The most hobbles of a frame.
#define RMECH_MAX_HOBBLES 8

// A rope that runs straight towards a point.
#define RMECH_AT_HEAD_TOWARDS 1

// A rope that leaves the head in a direction, or any force that does.
#define RMECH_AT_HEAD_ALONG 2

// No part.
#define RMECH_FRAME_PART_NONE 0

// A leg, by its foot.
#define RMECH_FRAME_PART_LEG 1

// A guy, by its anchor.
#define RMECH_FRAME_PART_GUY 2

// Equilibrium alone gives every force.
#define RMECH_SHARING_STATICS 1

// Members share by the stiffnesses given.
#define RMECH_SHARING_STIFFNESS 2

// Members share by stiffness, but some of them were assumed: 40 MN for a leg, 80 kN for a guy.
#define RMECH_SHARING_ASSUMED 3

// `lever` is known.
#define RMECH_STABILITY_LEVER 1

// `lateral` is known.
#define RMECH_STABILITY_LATERAL 2

// `tip_limit` is known.
#define RMECH_STABILITY_TIP_LIMIT 4

// What a rope does to the head. One that runs over it pulls twice, once for each of its parts.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_at_head {
  // `RMECH_AT_HEAD_TOWARDS` or `RMECH_AT_HEAD_ALONG`.
  int32_t kind;
  // Zero.
  int32_t reserved;
  // Where it runs to, if towards a point.
  struct rmech_point point;
  // Where it runs to, if along a direction.
  struct rmech_direction direction;
  // How hard it pulls.
  struct rmech_force tension;
} rmech_at_head;

// A leg of a frame. It pushes only, unless its foot is staked.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_leg {
  // Its foot.
  struct rmech_point foot;
  // EA; zero if it isn't known.
  struct rmech_force axial_stiffness;
  // The compression that it bears at `strength_length`; zero if it isn't known.
  struct rmech_force strength;
  // The length of leg for which `strength` holds.
  struct rmech_length strength_length;
  // 1 if the foot is staked, so that the leg may pull as well; else 0.
  int32_t staked;
  // Zero.
  int32_t reserved;
} rmech_leg;

// A guy of a frame. It pulls only.
typedef struct rmech_guy {
  // Its anchor.
  struct rmech_point anchor;
  // EA; zero if it isn't known.
  struct rmech_force axial_stiffness;
  // The pull that it and its anchor bear; zero if it isn't known.
  struct rmech_force strength;
} rmech_guy;

// A rope between two feet, by the places of their legs in the list.
typedef struct rmech_hobble {
  // One leg, counted from 0.
  uint32_t from;
  // The other.
  uint32_t to;
} rmech_hobble;

// A frame. Its lists stay the caller's, and are read during a call only.
typedef struct rmech_frame {
  // sizeof(rmech_frame); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // The head.
  struct rmech_point head;
  // The legs.
  const struct rmech_leg *legs;
  // How many: 1 to 8.
  size_t leg_count;
  // The guys; may be NULL for none.
  const struct rmech_guy *guys;
  // How many: up to 8.
  size_t guy_count;
  // The hobbles; may be NULL for none.
  const struct rmech_hobble *hobbles;
  // How many: up to 8.
  size_t hobble_count;
} rmech_frame;

// The forces of a frame that stands.
typedef struct rmech_frame_forces {
  // sizeof(rmech_frame_forces).
  uint32_t struct_size;
  // How the members share: a `RMECH_SHARING_...`.
  int32_t sharing;
  // Sum of all ropes at the head.
  struct rmech_force3 resultant;
  // Residual of the equilibrium of the head, by the largest force.
  double residual;
  // How far it stands from tipping. See `rmech_frame_stability` for the rest.
  struct rmech_angle margin;
} rmech_frame_forces;

// The force in a leg and at its foot.
typedef struct rmech_leg_forces {
  // Along the leg; negative if it pulls at its stake.
  struct rmech_force compression;
  // What leg and hobbles together do to the ground.
  struct rmech_force3 on_ground;
  // Horizontal by vertical force at the foot; negative (−1) where nothing presses it down.
  struct rmech_ratio friction_needed;
  // Strength by compression; zero where there is no strength or no compression.
  struct rmech_ratio factor;
} rmech_leg_forces;

// The force in a guy.
typedef struct rmech_guy_forces {
  // Zero for a slack guy.
  struct rmech_force tension;
  // Strength by tension; zero where there is no strength or no tension.
  struct rmech_ratio factor;
} rmech_guy_forces;

// A frame with its head at one of several places.
typedef struct rmech_frame_at_head {
  // RMECH_OK, or why there is no answer at this place: RMECH_ERR_GEOMETRY where the frame falls. The rest is zero
  // then, and so are its legs; `rmech_frame_solve` with this head says more.
  int32_t status;
  // How the members share: a `RMECH_SHARING_...`.
  int32_t sharing;
  // Sum of all ropes at the head.
  struct rmech_force3 resultant;
  // How far it stands from tipping.
  struct rmech_angle margin;
  // Horizontal by vertical part of the resultant at which it tips on the side where the resultant leans; infinite if
  // never, negative (−1) if it stands at none.
  struct rmech_ratio tip_limit;
  // Residual of the equilibrium of the head, by the largest force.
  double residual;
} rmech_frame_at_head;

// Whether and how a frame falls.
typedef struct rmech_frame_fall {
  // sizeof(rmech_frame_fall).
  uint32_t struct_size;
  // 1 if it falls; 0 if it stands, and then the rest is zero.
  int32_t falls;
  // The least force at the head that would keep it up.
  struct rmech_force3 missing;
  // The azimuth of that from x towards y: the side on which a guy is needed.
  struct rmech_angle guy_needed_towards;
  // 1 if `guy_needed_towards` is known: unless the missing force is vertical.
  int32_t side_known;
  // A bit for each guy that would have to push, the first being 1: the wrong guys.
  uint32_t wrong_guys;
} rmech_frame_fall;

// How far a frame stands from tipping.
typedef struct rmech_stability {
  // sizeof(rmech_stability).
  uint32_t struct_size;
  // Sum of the `RMECH_STABILITY_...` of what is known; the rest is zero.
  int32_t known;
  // Angle from the resultant to the nearest plane over which the frame tips; negative where it falls.
  struct rmech_angle margin;
  // Lever arm of the resultant about that edge.
  struct rmech_length lever;
  // Horizontal by vertical part of the resultant.
  struct rmech_ratio lateral;
  // The value of `lateral` at which it tips on the side where the resultant leans; infinite if never.
  struct rmech_ratio tip_limit;
  // One end of the edge: a `RMECH_FRAME_PART_...`.
  int32_t edge_from;
  // Its place in the list.
  int32_t edge_from_index;
  // The other end.
  int32_t edge_to;
  // Its place in the list.
  int32_t edge_to_index;
} rmech_stability;

// What a frame bears in one vertical half-plane of resultants; tilts count from straight down.
typedef struct rmech_cone_edge {
  // sizeof(rmech_cone_edge).
  uint32_t struct_size;
  // 1 if the frame stands at some tilt.
  int32_t stands;
  // Least tilt at which it stands.
  struct rmech_angle stands_from;
  // Greatest.
  struct rmech_angle stands_to;
  // Least tilt at which no leg or guy exceeds its strength.
  struct rmech_angle bears_from;
  // Greatest.
  struct rmech_angle bears_to;
  // 1 if there are such tilts.
  int32_t bears;
  // Zero.
  int32_t reserved;
} rmech_cone_edge;

// The sum of all ropes at the head of a frame.
// Cost: no heap, 5 kB of stack; one pass over what is given.
RMECH_NODISCARD
int32_t rmech_head_resultant(const struct rmech_point *head,
                             const struct rmech_at_head *pulls,
                             size_t pull_count,
                             struct rmech_force3 *force,
                             struct rmech_error *error);

// The forces of a frame under the ropes at its head.
//
// `legs`, `guys` and `hobbles` take as many elements as the frame has, in its order; `guys` and `hobbles` may be
// NULL where it has none. A frame that falls is RMECH_ERR_GEOMETRY; see `rmech_frame_falls`.
// Cost: no heap, 21 kB of stack; at most 400 small systems; as many as there are legs and guys as a rule.
RMECH_NODISCARD
int32_t rmech_frame_solve(const struct rmech_frame *frame,
                          const struct rmech_at_head *pulls,
                          size_t pull_count,
                          struct rmech_frame_forces *forces,
                          struct rmech_leg_forces *legs,
                          struct rmech_guy_forces *guys,
                          struct rmech_force *hobbles,
                          struct rmech_error *error);

// The forces of a frame for each of several places of its head: how they change with its height and lean.
//
// A rope towards a point turns with the head. `at_heads` takes `head_count` elements; `legs` takes as many times the
// legs of the frame, place after place, and may be NULL. Neither may overlap `heads` or `pulls`: RMECH_ERR_POINTER.
// Cost: no heap, 23 kB of stack; the same for each head given.
RMECH_NODISCARD
int32_t rmech_frame_at_heads(const struct rmech_frame *frame,
                             const struct rmech_point *heads,
                             size_t head_count,
                             const struct rmech_at_head *pulls,
                             size_t pull_count,
                             struct rmech_frame_at_head *at_heads,
                             struct rmech_leg_forces *legs,
                             struct rmech_error *error);

// Whether a frame falls under the ropes at its head, which guys are on the wrong side, and where one is needed.
// Cost: no heap, 19 kB of stack; at most 400 small systems; as many as there are legs and guys as a rule.
RMECH_NODISCARD
int32_t rmech_frame_falls(const struct rmech_frame *frame,
                          const struct rmech_at_head *pulls,
                          size_t pull_count,
                          struct rmech_frame_fall *fall,
                          struct rmech_error *error);

// How far a frame stands from tipping under a resultant, also where it falls.
// Cost: no heap, 16 kB of stack; one pass over what is given.
RMECH_NODISCARD
int32_t rmech_frame_stability(const struct rmech_frame *frame,
                              const struct rmech_force3 *resultant,
                              struct rmech_stability *stability,
                              struct rmech_error *error);

// The share of a wooden gin pole's tabulated capacity that each leg may bear: 1 for a gin pole, 7/8 for shears or a
// tripod.
//
// Poles longer than 60 times their least thickness, and a gin pole that leans by more than 45 degrees, are
// RMECH_ERR_GEOMETRY. For sound wooden poles only. Source: US Navy Steelworker manual, chapter on rigging (read).
// Cost: no heap, 15 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_frame_pole_share(const struct rmech_frame *frame,
                               const struct rmech_length *least_thickness,
                               struct rmech_ratio *share,
                               struct rmech_error *error);

// The tilts of a resultant of a given size that a frame bears on one side, to draw its safe cone.
//
// `azimuth` is the side to which the resultant leans, from x towards y.
// Cost: no heap, 23 kB of stack; the same for each of some 90 leans and for two ends by bisection.
RMECH_NODISCARD
int32_t rmech_frame_cone_edge(const struct rmech_frame *frame,
                              const struct rmech_angle *azimuth,
                              const struct rmech_force *size,
                              struct rmech_cone_edge *edge,
                              struct rmech_error *error);

/* ---- Anchors -------------------------------------------------------------------------------------------------------
 * V: T = W/(2*cos(a/2)), a between the legs    legs: T[i] = k[i]*max(0, a[i].d), k = EA/L, d the one displacement that balances
 * Vehicle: F = m*g*(mu*cos(g) - sin(g))/(cos(d) + mu*sin(d))    pickets: by table    buried: P = CC of the table, by depth and slope
 * Assumed: small displacements, a load that bisects a V. Range: V below 180 degrees; 1 to 8 legs; road -60 to 60 degrees.
 * CAUTION. These are where an anchor begins to give, with no margin: divide by a safety factor, and have each inspected and
 * loaded. Source: statics; US Navy rigging manuals and TM 5-5420-278-10, table 9 (read); tables of tyre friction.
 * Picture: rope-mechanics/src/docs/pictures/anchor.svg
 *
 *     rmech_force load = rmech_kn(6.0), leg;
 *     rmech_angle between = rmech_deg(60.0); // the two legs of a V
 *     if (rmech_v_anchor(&load, &between, &leg, &error) == RMECH_OK)
 *         printf("%.2f kN in each leg\n", rmech_in_kn(leg)); // 3.46 kN in each leg
 */

// Dry asphalt: 0.7.
#define RMECH_SURFACE_ASPHALT_DRY 1

// Wet asphalt: 0.45.
#define RMECH_SURFACE_ASPHALT_WET 2

// Wet gravel: 0.4.
#define RMECH_SURFACE_GRAVEL_WET 3

// Snow: 0.25.
#define RMECH_SURFACE_SNOW 4

// Wet earth: 0.15.
#define RMECH_SURFACE_EARTH_WET 5

// Ice: 0.05.
#define RMECH_SURFACE_ICE 6

// A single picket.
#define RMECH_PICKETS_1 1

// One and one, counted from the load backwards.
#define RMECH_PICKETS_1_1 2

// Three in a row.
#define RMECH_PICKETS_1_1_1 3

// Two and one.
#define RMECH_PICKETS_2_1 4

// Three, two and one.
#define RMECH_PICKETS_3_2_1 5

// Undisturbed loam, as the table of pickets.
#define RMECH_PICKET_SOIL_LOAM 1

// Wet clay and gravel: 0.9 of the table.
#define RMECH_PICKET_SOIL_WET_CLAY_GRAVEL 2

// Wet river clay and sand: half of the table.
#define RMECH_PICKET_SOIL_WET_RIVER 3

// A squared timber.
#define RMECH_BEAM_TIMBER 1

// A log.
#define RMECH_BEAM_LOG 2

// Hardpan or rock: five times the table of buried beams.
#define RMECH_DEADMAN_SOIL_HARD 1

// Loam, as that table.
#define RMECH_DEADMAN_SOIL_LOAM 2

// Fine-grained wet or sandy soil: half of it.
#define RMECH_DEADMAN_SOIL_FINE_WET 3

// A leg of an anchor, from its own anchor to the master point.
typedef struct rmech_anchor_leg {
  // Where its own anchor is.
  struct rmech_point at;
  // EA.
  struct rmech_force axial_stiffness;
  // How much longer it is than the distance; zero where it is just taut before the load.
  struct rmech_length slack;
} rmech_anchor_leg;

// An anchor that has settled under its load.
typedef struct rmech_settled {
  // sizeof(rmech_settled).
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // Where the master point has come to.
  struct rmech_point master;
  // How far it has moved.
  struct rmech_length moved;
  // Residual of its equilibrium, by the largest force.
  double residual;
} rmech_settled;

// A vehicle with its brakes set.
typedef struct rmech_vehicle {
  // sizeof(rmech_vehicle).
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // Its mass.
  struct rmech_mass mass;
  // Of braked tyres on the road: see `rmech_surface_friction`.
  struct rmech_ratio friction;
  // Of the road, positive where the rope pulls downhill.
  struct rmech_angle grade;
  // Of the rope over the road from the vehicle on.
  struct rmech_angle rope_rise;
  // Share of the weight on braked wheels; zero for all of it.
  struct rmech_ratio braked_share;
} rmech_vehicle;

// A beam buried across the pull.
typedef struct rmech_deadman {
  // sizeof(rmech_deadman).
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // A `RMECH_BEAM_...`.
  int32_t beam;
  // A `RMECH_DEADMAN_SOIL_...`.
  int32_t soil;
  // Mean depth: 3 ft to 7 ft.
  struct rmech_length mean_depth;
  // Rise by run of the rope: 0.25 (1:4) to 1 (1:1).
  struct rmech_ratio slope;
  // Height of the face of a timber, or the diameter of a log.
  struct rmech_length face;
  // Thickness of a timber along the pull; not used for a log.
  struct rmech_length thickness;
} rmech_deadman;

// The force in each of two legs that share a load evenly at an angle between them: two anchors in a V, or a sling.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_v_anchor(const struct rmech_force *load,
                       const struct rmech_angle *angle,
                       struct rmech_force *leg,
                       struct rmech_error *error);

// How legs share a load at a master point that hardly moves. `tensions` takes `count` elements.
//
// A load that would swing the master point is RMECH_ERR_GEOMETRY: see `rmech_anchor_settle`.
// Cost: no heap, 8 kB of stack; at most 400 small systems; as many as there are legs as a rule.
RMECH_NODISCARD
int32_t rmech_anchor_share(const struct rmech_point *master,
                           const struct rmech_anchor_leg *legs,
                           size_t count,
                           const struct rmech_force3 *load,
                           struct rmech_force *tensions,
                           struct rmech_error *error);

// Where the master point comes to under a load, and the tensions there. `tensions` takes `count` elements.
// Cost: no heap, 8 kB of stack; at most 400 small systems; as many as there are legs as a rule.
RMECH_NODISCARD
int32_t rmech_anchor_settle(const struct rmech_point *master,
                            const struct rmech_anchor_leg *legs,
                            size_t count,
                            const struct rmech_force3 *load,
                            struct rmech_settled *anchor,
                            struct rmech_force *tensions,
                            struct rmech_error *error);

// The anchor settled again after leg `lost` (counted from 0) has failed; its tension reads zero.
//
// `drop` is how far the load goes down along itself. `tensions` takes `count` elements. What the load peaks at on
// the way is for `rmech_fall_arrest`.
// Cost: no heap, 8 kB of stack; at most 400 small systems; as many as there are legs as a rule.
RMECH_NODISCARD
int32_t rmech_anchor_after_losing(const struct rmech_point *master,
                                  const struct rmech_anchor_leg *legs,
                                  size_t count,
                                  const struct rmech_force3 *load,
                                  size_t lost,
                                  struct rmech_settled *anchor,
                                  struct rmech_force *tensions,
                                  struct rmech_length *drop,
                                  struct rmech_error *error);

// The friction of braked tyres on a `RMECH_SURFACE_...`. Real ones scatter by a third or more.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_surface_friction(int32_t surface, struct rmech_ratio *friction, struct rmech_error *error);

// The pull at which a vehicle on its brakes begins to slide. One that slides by itself is RMECH_ERR_GEOMETRY.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_vehicle_holds(const struct rmech_vehicle *vehicle,
                            struct rmech_force *pull,
                            struct rmech_error *error);

// The pull at which a holdfast of alike pickets begins to give.
//
// `arrangement` is a `RMECH_PICKETS_...`, `soil` a `RMECH_PICKET_SOIL_...`. Pickets thinner than 3 in, shorter than
// 5 ft, or driven less than 3 ft or more than 4 ft are outside the table and refused.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_pickets_hold(const struct rmech_length *thickness,
                           const struct rmech_length *length,
                           const struct rmech_length *driven,
                           int32_t arrangement,
                           int32_t soil,
                           struct rmech_force *pull,
                           struct rmech_error *error);

// The pressure on the face of a buried beam that the soil holds.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_deadman_pressure(const struct rmech_deadman *deadman,
                               struct rmech_pressure *pressure,
                               struct rmech_error *error);

// The pull at which a buried beam of this length begins to give.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_deadman_holds(const struct rmech_deadman *deadman,
                            const struct rmech_length *length,
                            struct rmech_force *pull,
                            struct rmech_error *error);

// The length that a buried beam needs for a pull.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_deadman_length(const struct rmech_deadman *deadman,
                             const struct rmech_force *pull,
                             struct rmech_length *length,
                             struct rmech_error *error);

/* ---- Falls and sudden loads ----------------------------------------------------------------------------------------
 * Fall:   W*(h + sum of L*e + s) = sum of L*integral(T de) + Fs*s    linear: F = W + sqrt(W^2 + 2*W*EA*f), f = h/L
 * Stop:   m*v^2/2 = sum of L*integral((T - W) de)                    linear: F = W + v*sqrt(m*k)
 * Lost:   sum of U(y) - sum of U(0) = (P + sum of T(0))*y            a load put on at once: twice its weight
 * Assumed: vertical, weightless rope, nothing damped: an upper bound for the rope described. A rope is stiffer in a fall
 * than under a slow load (2.1 times expected, 3.3 at most, measured): give that stiffness. Range: rope from a millimetre, up to
 * 4 pieces end to end. CAUTION. A person may be hurt by a force that breaks no rope. Source: energy balance; Bansal, Strength of
 * Materials, ch. 4; EN 892 for the drop.
 * Picture: rope-mechanics/src/docs/pictures/arrest.svg
 *
 *     rmech_fall fall = RMECH_INIT(rmech_fall);
 *     rmech_arrest arrest = RMECH_INIT(rmech_arrest);
 *     fall.weight = rmech_n(980.0);
 *     fall.height = rmech_m(0.5);
 *     fall.length = rmech_m(12.0);
 *     fall.stretch.a = rmech_kn(60.0); // in a fall
 *     if (rmech_fall_arrest(&fall, &arrest, &error) == RMECH_OK)
 *         printf("%.2f kN after %.2f m\n", rmech_in_kn(arrest.peak_force), rmech_in_m(arrest.total_drop)); // 3.40 kN after 1.18 m
 */

// The device did nothing: there is none, or the force stayed below its slip force.
#define RMECH_DEVICE_IDLE 0

// The device slipped, and stopped the load within its travel.
#define RMECH_DEVICE_SLIPPED 1

// The device used up its travel, and the rope took the rest.
#define RMECH_DEVICE_BOTTOMED 2

// How much stiffer a rope is in its first fall than under a slow load, on the average of 101 measured falls; nine in ten
// lie between `RMECH_STIFFER_IN_A_FALL_LOW` and `RMECH_STIFFER_IN_A_FALL_HIGH`.
#define RMECH_STIFFER_IN_A_FALL 2.08

// The low end of `RMECH_STIFFER_IN_A_FALL`: for how far a load runs.
#define RMECH_STIFFER_IN_A_FALL_LOW 1.4

// The high end of `RMECH_STIFFER_IN_A_FALL`.
#define RMECH_STIFFER_IN_A_FALL_HIGH 2.9

// How much stiffer a rope may be in a fall for a peak that is called a bound: none of 51 measured falls passes it.
#define RMECH_STIFFER_AT_MOST 3.3

// The usual damping of a load on a rope, for `rmech_step_factor`: 0.05 to 0.15. From memory.
#define RMECH_DAMPING 0.08

// A piece of rope.
typedef struct rmech_rope_piece {
  // Its stretch in a fall.
  struct rmech_stretch stretch;
  // Its unstretched length, at least a millimetre.
  struct rmech_length length;
} rmech_rope_piece;

// A load that falls freely and is then stopped by a rope, or by several end to end.
typedef struct rmech_fall {
  // sizeof(rmech_fall).
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // The weight of the load.
  struct rmech_force weight;
  // How far it falls freely, slack and reaction not counted.
  struct rmech_length height;
  // Slack in the rope: falls further on the same rope.
  struct rmech_length slack;
  // What runs freely through a belay device before it grabs: falls further, on as much more rope.
  struct rmech_length reaction;
  // The unstretched rope from load to anchor, at least a millimetre; the first of several.
  struct rmech_length length;
  // The stretch of the rope in a fall: about twice as stiff as under a slow load (from memory).
  struct rmech_stretch stretch;
  // The force at which a device in series slips; zero for none.
  struct rmech_force slip_force;
  // The travel of that device; zero for as much as it takes.
  struct rmech_length slip_travel;
  // More pieces of rope end to end with the first, in any order: a lanyard, a sling. May be NULL for none.
  const struct rmech_rope_piece *in_series;
  // How many: up to 3.
  size_t in_series_count;
} rmech_fall;

// How a load was stopped.
typedef struct rmech_arrest {
  // sizeof(rmech_arrest).
  uint32_t struct_size;
  // What the device did, one of RMECH_DEVICE_….
  int32_t device;
  // The greatest tension of the rope, and force on load and anchor. Undamped.
  struct rmech_force peak_force;
  // The stretch of the rope at that moment, from its unstretched length; of all pieces together.
  struct rmech_length elongation;
  // What ran through the device.
  struct rmech_length slip;
  // From where the rope begins to brake to the lowest point.
  struct rmech_length stopping_distance;
  // From where the load is released to the lowest point: the clearance needed.
  struct rmech_length total_drop;
  // The speed at which the rope begins to brake.
  struct rmech_velocity speed;
  // What is left over of the energy turned over, as a share.
  double residual;
} rmech_arrest;

// A load that hangs on a rope, or on several end to end, and is being lowered at a steady speed.
typedef struct rmech_lowered_load {
  // sizeof(rmech_lowered_load).
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // The weight of the load, all of it on the rope.
  struct rmech_force weight;
  // The speed at which it is lowered.
  struct rmech_velocity speed;
  // The unstretched rope that is out, at least a millimetre; the first of several.
  struct rmech_length length;
  // The stretch of the rope in a fall: about twice as stiff as under a slow load (from memory).
  struct rmech_stretch stretch;
  // More pieces of rope end to end with the first, in any order: a lanyard, a sling. May be NULL for none.
  const struct rmech_rope_piece *in_series;
  // How many: up to 3.
  size_t in_series_count;
} rmech_lowered_load;

// A rope, or several end to end, that still holds when another fails.
typedef struct rmech_holding {
  // Its stretch in a fall.
  struct rmech_stretch stretch;
  // Its unstretched length; of the first of several.
  struct rmech_length length;
  // Slack in the whole; zero if it pulls.
  struct rmech_length slack;
  // The tension it already has; zero if it is slack.
  struct rmech_force tension;
  // More pieces of rope end to end with the first, in any order: a lanyard, a sling. May be NULL for none.
  const struct rmech_rope_piece *in_series;
  // How many: up to 3.
  size_t in_series_count;
} rmech_holding;

// How far a load drops on the remaining ropes after one has failed.
typedef struct rmech_hand_over {
  // sizeof(rmech_hand_over).
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // Until it is at rest.
  struct rmech_length rest_travel;
  // Until the lowest point.
  struct rmech_length peak_travel;
  // What is left over of energy and force, as a share.
  double residual;
} rmech_hand_over;

// The tension of a rope after another has failed.
typedef struct rmech_share {
  // Its tension at rest.
  struct rmech_force rest;
  // Its tension at the lowest point, undamped.
  struct rmech_force peak;
} rmech_share;

// How a rope stops a falling load: the peak force, and the way it takes.
//
// Without a fall it is the load put on suddenly: exactly twice the weight on a linear rope.
// Cost: no heap, 7 kB of stack; a root in at most 100 steps for each piece of rope, some 6 as a rule.
RMECH_NODISCARD
int32_t rmech_fall_arrest(const struct rmech_fall *fall,
                          struct rmech_arrest *arrest,
                          struct rmech_error *error);

// The fall factor: the whole free fall, slack and reaction included, by the rope in service.
// Cost: no heap, 7 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_fall_factor(const struct rmech_fall *fall,
                          struct rmech_ratio *factor,
                          struct rmech_error *error);

// How a rope that is locked at once stops a load that was being lowered on it.
// Cost: no heap, 6 kB of stack; a root in at most 100 steps for each piece of rope, some 6 as a rule.
RMECH_NODISCARD
int32_t rmech_sudden_stop(const struct rmech_lowered_load *load,
                          struct rmech_arrest *arrest,
                          struct rmech_error *error);

// Peak by steady tension when a load comes all at once on a rope that damps: 2 without damping, towards 1.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_step_factor(const struct rmech_ratio *damping,
                          struct rmech_ratio *factor,
                          struct rmech_error *error);

// The axial stiffness that makes a rope give the peak force printed for it in a standard drop test.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_stiffness_from_drop_test(const struct rmech_force *peak,
                                       const struct rmech_force *weight,
                                       const struct rmech_ratio *fall_factor,
                                       struct rmech_force *stiffness,
                                       struct rmech_error *error);

// A rope that carried `lost` fails; `count` others, one to four, side by side with it, take over.
//
// `shares` takes `count` elements, in the order of `holding`.
// Cost: no heap, 7 kB of stack; a root in at most 100 steps for each piece of rope, some 6 as a rule.
RMECH_NODISCARD
int32_t rmech_lost_rope(const struct rmech_force *lost,
                        const struct rmech_holding *holding,
                        size_t count,
                        struct rmech_hand_over *hand_over,
                        struct rmech_share *shares,
                        struct rmech_error *error);

/* ---- Winches by motor, gear and supply -----------------------------------------------------------------------------
 * Hauling: I = I0 + F*r/(N*ef*kt)    lowering: I = I0 - F*r*eb/(N*kt)    w = (Voc - I*R)/kt    v = w*r/N
 * Stall: I = Voc/R, F = kt*(I - I0)*N*ef/r    jam: F(t) = Fs - (Fs - F0)*exp(-k*c*t), on the side of more force, sooner
 * kt motor constant, I0 current without load, N gear ratio, ef and eb efficiency forward and backward, r drum radius, R all
 * resistances in the circuit. Assumed: steady turning, brake off, no slip. Range: pull from zero to the stall.
 * Balance put back: Voc*I = losses + F*v. CAUTION. A gear that doesn't run back is not a brake.
 * Source: the law of the permanent-magnet motor; recomputed, no published check of jam.
 * Picture: rope-mechanics/src/docs/pictures/winch.svg
 *
 *     rmech_winch winch = RMECH_INIT(rmech_winch);
 *     winch.motor_constant = rmech_n_m_per_a(0.055);
 *     winch.no_load_current = rmech_a(4.0);
 *     winch.winding = rmech_mohm(18.0);
 *     winch.gear_ratio = rmech_fraction(180.0);
 *     winch.gear_efficiency = rmech_percent(72.0);
 *     winch.radius = rmech_mm(36.0);
 *     winch.open_circuit = rmech_v(25.0);
 *     winch.battery = rmech_mohm(8.0);
 *     winch.leads = rmech_mohm(3.0);
 *     rmech_winch_state state = RMECH_INIT(rmech_winch_state);
 *     rmech_force pull = rmech_kn(2.1);
 *     if (rmech_winch_turning(&winch, RMECH_MOTION_HAULING, &pull, NULL, &state, &error) == RMECH_OK)
 *         printf("%.0f A, %.1f m/min\n", rmech_in_a(state.current), 60.0 * rmech_in_m_per_s(state.line_speed)); // 15 A, 5.4 m/min
 */

// The back-driven efficiency of the gear is given in `back_efficiency`; without this flag it is 2 − 1/η.
#define RMECH_WINCH_BACK_EFFICIENCY 1

// Nothing but the motor's own stall bounds a jammed winch: rope and anchors go first.
#define RMECH_BOUND_STALL 1

// The limit of the controller or fuse bounds it.
#define RMECH_BOUND_CURRENT_LIMIT 2

// A slipping grab or clutch bounds it.
#define RMECH_BOUND_SLIP 3

// A winch with a permanent-magnet motor, at one state of charge of its battery.
typedef struct rmech_winch {
  // sizeof(rmech_winch); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // `RMECH_WINCH_BACK_EFFICIENCY` or zero.
  uint32_t flags;
  // Torque of the motor per ampere.
  struct rmech_motor_constant motor_constant;
  // What turns the motor and its gear without load.
  struct rmech_current no_load_current;
  // Of the winding with its brushes at 25 °C.
  struct rmech_resistance winding;
  // Turns of the motor for one of the drum.
  struct rmech_ratio gear_ratio;
  // Of the gear, hauling.
  struct rmech_ratio gear_efficiency;
  // Of the gear, when the load drives; read only with `RMECH_WINCH_BACK_EFFICIENCY`.
  struct rmech_ratio back_efficiency;
  // From the axis to the middle of the rope.
  struct rmech_length radius;
  // Of the battery, without current.
  struct rmech_voltage open_circuit;
  // Inside the battery.
  struct rmech_resistance battery;
  // Of the leads, out and back.
  struct rmech_resistance leads;
  // What controller or fuse let through the motor; zero for no limit.
  struct rmech_current current_limit;
  // At which a grab or clutch slips; zero if there is none.
  struct rmech_force slip;
} rmech_winch;

// A winch at work.
typedef struct rmech_winch_state {
  // sizeof(rmech_winch_state); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // One of `RMECH_MOTION_...`.
  int32_t motion;
  // Zero.
  int32_t reserved;
  // On the rope where it leaves the winch.
  struct rmech_force pull;
  // From the battery; negative while the load drives and current flows back.
  struct rmech_current current;
  // In the motor.
  struct rmech_current motor_current;
  // At the end of the leads.
  struct rmech_voltage terminal_voltage;
  // At the battery's posts.
  struct rmech_voltage battery_voltage;
  // Of the motor, at least zero in either direction.
  struct rmech_turning_speed motor_speed;
  // At the motor's shaft; negative while the load drives it.
  struct rmech_torque motor_torque;
  // Of the rope, at least zero in either direction.
  struct rmech_velocity line_speed;
  // What the battery gives up: its voltage without current, times the current.
  struct rmech_power electrical_power;
  // What the rope takes up; negative lowering.
  struct rmech_power mechanical_power;
  // Lost inside the battery.
  struct rmech_power battery_loss;
  // Lost in the leads, or in the resistor of a winch that runs back.
  struct rmech_power lead_loss;
  // Lost in the winding.
  struct rmech_power winding_loss;
  // Lost to idle drag.
  struct rmech_power idle_loss;
  // Lost in the gear.
  struct rmech_power gear_loss;
  // Mechanical by electrical power, hauling; zero lowering, where it has no meaning.
  struct rmech_ratio efficiency;
  // How well the power balance closes.
  double residual;
} rmech_winch_state;

// A winch with its rotor locked: what a jammed rope gets.
typedef struct rmech_stall {
  // In the motor, once it stands.
  struct rmech_current current;
  // On the rope.
  struct rmech_force pull;
  // The same if the gear lost nothing: what anchors, frame and rope must be checked against.
  struct rmech_force pull_without_gear_loss;
  // One of `RMECH_BOUND_...`.
  int32_t bound;
  // Zero.
  int32_t reserved;
} rmech_stall;

// A winch that hauls against a jam.
typedef struct rmech_jam {
  // The fastest that the force can rise at first.
  struct rmech_force_rate rate;
  // The greatest force that can come, none of the gear's loss counted: hold it against rope, anchors and frame.
  struct rmech_force greatest;
  // The soonest that the force can reach the limit asked about; infinite if it stays below.
  struct rmech_time time_to_limit;
} rmech_jam;

// The winch hauling or lowering a `pull`; `line_speed` is what a controller holds, NULL for full speed.
//
// `motion` is `RMECH_MOTION_HAULING` or `RMECH_MOTION_LOWERING`. A pull beyond the stall, a limit or a slipping grab
// is `RMECH_ERR_GEOMETRY`, with the numbers in the message. Formula and source: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_winch_turning(const struct rmech_winch *winch,
                            int32_t motion,
                            const struct rmech_force *pull,
                            const struct rmech_velocity *line_speed,
                            struct rmech_winch_state *state,
                            struct rmech_error *error);

// The load turning the winch back, its motor cut off from the battery and closed over a resistor (zero: shorted).
//
// It never stops the load: only a brake does.
// Cost: no heap, 5 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_winch_running_back(const struct rmech_winch *winch,
                                 const struct rmech_force *pull,
                                 const struct rmech_resistance *resistor,
                                 struct rmech_winch_state *state,
                                 struct rmech_error *error);

// What holds a load still with the motor alone, the brake off: below `least` it runs back, above `most` it comes up.
//
// `least` is zero where friction alone seems to hold it, which is never to be counted as a brake.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_winch_holding(const struct rmech_winch *winch,
                            const struct rmech_force *pull,
                            struct rmech_current *least,
                            struct rmech_current *most,
                            struct rmech_error *error);

// The winch with its rotor locked, and what bounds its pull.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_winch_stall(const struct rmech_winch *winch,
                          struct rmech_stall *stall,
                          struct rmech_error *error);

// What happens when the load jams while the winch hauls `pull`: how fast the force rises in a rope of this stiffness
// (EA by the length from winch to jam), where it ends, and how soon it reaches `limit`. `rotor_energy` is ½·J·ω² of the
// rotor and what turns with it at the motor's speed before the jam: rather too much than too little, zero for none.
//
// All of it on the side of more force, sooner. Formula: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 5 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_winch_jam(const struct rmech_winch *winch,
                        const struct rmech_stiffness *rope_stiffness,
                        const struct rmech_force *pull,
                        const struct rmech_energy *rotor_energy,
                        const struct rmech_force *limit,
                        struct rmech_jam *jam,
                        struct rmech_error *error);

// The greatest force that can be so long after the load jams while the winch hauls `pull`, in a rope of this stiffness.
//
// Formula: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 5 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_winch_jam_force_after(const struct rmech_winch *winch,
                                    const struct rmech_stiffness *rope_stiffness,
                                    const struct rmech_force *pull,
                                    const struct rmech_energy *rotor_energy,
                                    const struct rmech_time *time,
                                    struct rmech_force *force,
                                    struct rmech_error *error);

// How fast the force rises in a jam: (EA/L)·v.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_jam_rate(const struct rmech_force *axial_stiffness,
                       const struct rmech_length *free_length,
                       const struct rmech_velocity *line_speed,
                       struct rmech_force_rate *rate,
                       struct rmech_error *error);

/* ---- Drum, motor and leads -----------------------------------------------------------------------------------------
 * Drum:  r(k) = D/2 + d/2 + (k - 1)*p*d, p = 1 crown on crown, 0.866 in the groove    gear back: eb = 2 - 1/ef
 * Motor: torque = kt*(I - I0)    w = (V - I*R)/kt    leads: R = rho*2*l/A, rho = 0.01724 ohm mm^2/m
 * Copper: R(T) = R25*(1 + 0.00393*(T - 20 C))/(1 + 0.00393*5)
 * Assumed: steady turning, whole turns on the drum, a round rope. Range: copper -100 to 300 C; contacts and lugs come on top.
 * Source: geometry; the motor's law; IEC 60028 (from memory).
 * Picture: rope-mechanics/src/docs/pictures/winch.svg
 *
 *     rmech_voltage voltage = rmech_v(12.0); // from the four numbers of a data sheet
 *     rmech_turning_speed idle_speed = rmech_rpm(3800.0);
 *     rmech_current idle_current = rmech_a(1.0);
 *     rmech_torque stall = rmech_n_m(0.9);
 *     rmech_motor motor;
 *     if (rmech_motor_from_ends(&voltage, &idle_speed, &idle_current, &stall, &motor, &error) == RMECH_OK)
 *         printf("%.4f N m/A, %.0f mohm\n", rmech_in_n_m_per_a(motor.constant), rmech_in_mohm(motor.winding)); // 0.0292 N m/A, 377 mohm
 */

// The constants of a permanent-magnet motor.
typedef struct rmech_motor {
  // Torque per ampere.
  struct rmech_motor_constant constant;
  // What turns it without load.
  struct rmech_current no_load_current;
  // Of the winding with its brushes at 25 °C.
  struct rmech_resistance winding;
} rmech_motor;

// A drum that takes rope in layers.
typedef struct rmech_drum {
  // sizeof(rmech_drum); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // The bare drum.
  struct rmech_length core_diameter;
  // Between the flanges.
  struct rmech_length width;
  // The rope on it.
  struct rmech_length rope_diameter;
  // How each layer rises, by the rope's diameter: 0.866 where turns lie in grooves; zero stands for 1.
  struct rmech_ratio layer_rise;
  // How many layers the flanges allow.
  uint32_t layers;
  // Zero.
  uint32_t reserved;
} rmech_drum;

// The layer from which the rope leaves the drum.
typedef struct rmech_layer {
  // Counted from 1, on the core.
  uint32_t number;
  // Zero.
  uint32_t reserved;
  // From the axis to the middle of the rope.
  struct rmech_length radius;
  // The pull by that on the first layer, for the same torque.
  struct rmech_ratio pull_ratio;
  // How much rope can still be wound on before the next layer begins.
  struct rmech_length room;
  // How much rope leaves the drum before the layer below is reached.
  struct rmech_length on_layer;
} rmech_layer;

// A motor that turns steadily.
typedef struct rmech_motor_state {
  // Through the winding.
  struct rmech_current current;
  // At the shaft.
  struct rmech_torque torque;
  // Of the shaft.
  struct rmech_turning_speed speed;
  // Taken in.
  struct rmech_power electrical_power;
  // Given out.
  struct rmech_power mechanical_power;
  // Of the motor alone.
  struct rmech_ratio efficiency;
} rmech_motor_state;

// The layer from which the rope leaves when so much of it is on the drum, the turns that must stay on it included.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_drum_layer_at(const struct rmech_drum *drum,
                            const struct rmech_length *rope_on_drum,
                            struct rmech_layer *layer,
                            struct rmech_error *error);

// The radius of a layer, counted from 1, from the axis to the middle of the rope, and the pull on it by that on the
// first layer for the same torque. Either may be NULL.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_drum_layer(const struct rmech_drum *drum,
                         uint32_t number,
                         struct rmech_length *radius,
                         struct rmech_ratio *pull_ratio,
                         struct rmech_error *error);

// How many whole turns a layer takes, and how much rope the drum with all its layers full. Either may be NULL.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_drum_capacity(const struct rmech_drum *drum,
                            struct rmech_ratio *turns_per_layer,
                            struct rmech_length *capacity,
                            struct rmech_error *error);

// What gets back through a gear when the load drives, by the assumption that as much torque is lost both ways; zero
// or below where the gear locks, which is friction and never to be counted as a brake.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_gear_back_efficiency(const struct rmech_ratio *gear_efficiency,
                                   struct rmech_ratio *back_efficiency,
                                   struct rmech_error *error);

// A motor's constants from the ends of its curve at one voltage: speed and current without load, torque at stall.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_motor_from_ends(const struct rmech_voltage *voltage,
                              const struct rmech_turning_speed *no_load_speed,
                              const struct rmech_current *no_load_current,
                              const struct rmech_torque *stall_torque,
                              struct rmech_motor *motor,
                              struct rmech_error *error);

// A motor at a voltage, turning at a speed: from standstill to its speed without load.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_motor_at_speed(const struct rmech_motor *motor,
                             const struct rmech_voltage *voltage,
                             const struct rmech_turning_speed *speed,
                             struct rmech_motor_state *state,
                             struct rmech_error *error);

// A motor at a voltage, under a torque: from none to that at stall.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_motor_at_torque(const struct rmech_motor *motor,
                              const struct rmech_voltage *voltage,
                              const struct rmech_torque *torque,
                              struct rmech_motor_state *state,
                              struct rmech_error *error);

// The resistance of a pair of copper leads at 20 °C, out and back.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_cable_resistance(const struct rmech_length *each_way,
                               const struct rmech_area *cross_section,
                               struct rmech_resistance *resistance,
                               struct rmech_error *error);

// The resistance at a temperature of a copper conductor whose resistance at 25 °C is known.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_copper_resistance(const struct rmech_resistance *at_25_celsius,
                                const struct rmech_temperature *temperature,
                                struct rmech_resistance *resistance,
                                struct rmech_error *error);

/* ---- Winches by their maker's table, and pull from a current -------------------------------------------------------
 * Table:    I = a + b*F*r/r1    v = (c - d*F*r/r1)*r/r1, or 1/v = e + g*F, whichever passes nearer to its farthest row
 * Pull:     hauling F = (I - I0)*kt*N*ef/r    lowering F = (I0 - I)*kt*N/(r*eb)
 * Assumed: the table's voltage, layer and temperature. Range: up to the table's greatest pull. Makers' tables followed the
 * better curve within 4, 10 and 19 % (measured.md). CAUTION. A pull from a current is a check on the load cell, not a load
 * cell; with the brake set it says nothing. Source: the motor's law; published pull and current tables.
 * Picture: rope-mechanics/src/docs/pictures/winch.svg
 *
 *     rmech_winch_row rows[2]; // the maker's table, first layer
 *     memset(rows, 0, sizeof rows);
 *     rows[0].current = rmech_a(65.0);
 *     rows[0].line_speed = rmech_m_per_s(0.20);
 *     rows[1].pull = rmech_kn(18.0);
 *     rows[1].current = rmech_a(250.0);
 *     rows[1].line_speed = rmech_m_per_s(0.12);
 *     rmech_ratio layer = rmech_fraction(1.2); // its radius by that of the first
 *     rmech_force pull = rmech_kn(9.0);
 *     rmech_winch_table_state state;
 *     if (rmech_winch_by_table(rows, 2, &layer, &pull, &state, &error) == RMECH_OK)
 *         printf("%.0f A\n", rmech_in_a(state.current)); // 176 A
 */

// The winch turns steadily, the load coming.
#define RMECH_RUNNING_HAULING 1

// The winch turns steadily, driven out by its motor.
#define RMECH_RUNNING_LOWERING 2

// The brake is set.
#define RMECH_RUNNING_BRAKE_SET 3

// The winch was switched on a second or so ago.
#define RMECH_RUNNING_STARTING 4

// Its speed is changing.
#define RMECH_RUNNING_ACCELERATING 5

// It turns with no power on its motor.
#define RMECH_RUNNING_UNPOWERED 6

// The current gives the pull.
#define RMECH_BLIND_NOT 0

// The brake holds the load, whatever it is.
#define RMECH_BLIND_BRAKE_SET 1

// The current that starts the rotor hides that of the load.
#define RMECH_BLIND_STARTING 2

// The current that speeds up the rotor hides that of the load.
#define RMECH_BLIND_ACCELERATING 3

// No current flows.
#define RMECH_BLIND_UNPOWERED 4

// A gear that may lock carries any load going down.
#define RMECH_BLIND_GEAR_LOCKS 5

// A pull table says nothing of lowering.
#define RMECH_BLIND_NO_LOWERING_IN_TABLE 6

// Less current than turning the empty winch takes: it isn't hauling, or its constants are wrong.
#define RMECH_BLIND_BELOW_IDLE 7

// Lowering takes more than turning the empty winch does: a brake drags, or the constants are wrong.
#define RMECH_BLIND_BRAKE_DRAGS 8

// As much current as a locked rotor takes.
#define RMECH_BLIND_STALLED 9

// Beyond the greatest pull of the table.
#define RMECH_BLIND_BEYOND_TABLE 10

// For a reason that this version of the header doesn't know.
#define RMECH_BLIND_OTHERWISE 99

// One line of a maker's table of line pull and current.
typedef struct rmech_winch_row {
  // Line pull.
  struct rmech_force pull;
  // Current at that pull.
  struct rmech_current current;
  // Line speed at that pull; zero where the table gives none.
  struct rmech_velocity line_speed;
} rmech_winch_row;

// Current and speed at a pull, from a table.
typedef struct rmech_winch_table_state {
  // From the battery.
  struct rmech_current current;
  // Of the rope; zero where the table gives no speeds.
  struct rmech_velocity line_speed;
  // At least this: how far the rows lie from the curve, or with two rows only, which say nothing of it, the slower
  // of both curves less 5 %. For time and charge.
  struct rmech_velocity line_speed_least;
  // At most this. For a jam.
  struct rmech_velocity line_speed_most;
  // Current without pull.
  struct rmech_current idle_current;
  // The greatest pull of the table, on the layer asked about.
  struct rmech_force greatest_pull;
  // How far the line of the currents passes from the worst row.
  struct rmech_current worst_residual;
} rmech_winch_table_state;

// How well the constants behind a current reading are known.
typedef struct rmech_gauge_bands {
  // The ammeter, ±.
  struct rmech_current meter;
  // The idle current, ±.
  struct rmech_current idle;
  // For a winch by its motor: the gear's least efficiency. For a table: zero.
  struct rmech_ratio least_efficiency;
  // For a winch by its motor: the gear's greatest efficiency. For a table: zero.
  struct rmech_ratio most_efficiency;
  // For a table: its slope, ±, as a share. For a winch by its motor: zero.
  struct rmech_ratio slope;
} rmech_gauge_bands;

// What a current says about the pull.
typedef struct rmech_pull_reading {
  // `RMECH_BLIND_NOT`, or why the current says nothing of the pull; the forces are then zero.
  int32_t blind;
  // Zero.
  int32_t reserved;
  // At least this.
  struct rmech_force least;
  // With the constants as given.
  struct rmech_force likely;
  // At most this.
  struct rmech_force most;
} rmech_pull_reading;

// Current for a `pull` by one straight line through the maker's table, and speed by another or by 1/v = e + g·F,
// whichever passes nearer to its farthest row. Hauling only.
//
// Going down, the load drives the gear, and how much of its losses the load pays, the motor or a brake inside, no row
// of a pull table says: for lowering describe the winch by its motor and gear.
//
// `radius_ratio` is the radius by that of the table's layer, 1 on the same. A pull beyond the table is
// `RMECH_ERR_VALUE`; a table that no winch has, or whose pull falls from one row to the next, `RMECH_ERR_GEOMETRY`.
// Cost: no heap, 4 kB of stack; one pass over what is given.
RMECH_NODISCARD
int32_t rmech_winch_by_table(const struct rmech_winch_row *rows,
                             size_t row_count,
                             const struct rmech_ratio *radius_ratio,
                             const struct rmech_force *pull,
                             struct rmech_winch_table_state *state,
                             struct rmech_error *error);

// The pull that a motor's current stands for, and its band: a check on the load cell, never the measurement.
//
// `state` is one of `RMECH_RUNNING_...`; the current is positive while it is drawn. That a current says nothing is
// no failure: `reading->blind` then says why. Formula: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 5 kB of stack; one pass over what is given.
RMECH_NODISCARD
int32_t rmech_winch_pull_from_current(const struct rmech_winch *winch,
                                      const struct rmech_gauge_bands *bands,
                                      const struct rmech_current *current,
                                      int32_t state,
                                      struct rmech_pull_reading *reading,
                                      struct rmech_error *error);

// The pull that a current stands for by the maker's table, and its band. Otherwise as
// `rmech_winch_pull_from_current`.
// Cost: no heap, 5 kB of stack; one pass over what is given.
RMECH_NODISCARD
int32_t rmech_winch_pull_from_current_by_table(const struct rmech_winch_row *rows,
                                               size_t row_count,
                                               const struct rmech_ratio *radius_ratio,
                                               const struct rmech_gauge_bands *bands,
                                               const struct rmech_current *current,
                                               int32_t state,
                                               struct rmech_pull_reading *reading,
                                               struct rmech_error *error);

/* ---- A motor's constants from measured points ----------------------------------------------------------------------
 * kt*w + R*I = V and kt*I - kt*I0 = torque, least squares, each reading good to the same share of its greatest value
 * Winch: kt*(N/r)*v + R*I = V and I = I0 + s*F, with ef = r/(N*kt*s)
 * Range: two points at least that differ; what the readings can't tell is said, not guessed. Source: least squares.
 * Picture: rope-mechanics/src/docs/pictures/winch.svg
 *
 *     rmech_motor_point points[3];
 *     for (int i = 0; i < 3; ++i) {
 *         const double current[3] = {6.0, 106.0, 370.0}, speed[3] = {434.0, 398.0, 302.0}, torque[3] = {0.0, 5.5, 20.0};
 *         points[i].voltage = rmech_v(24.0);
 *         points[i].current = rmech_a(current[i]);
 *         points[i].speed = rmech_rad_per_s(speed[i]);
 *         points[i].torque = rmech_n_m(torque[i]);
 *     }
 *     rmech_motor_fit fit = RMECH_INIT(rmech_motor_fit);
 *     if (rmech_motor_fit_points(points, 3, NULL, &fit, &error) == RMECH_OK)
 *         printf("%.4f N m/A\n", rmech_in_n_m_per_a(fit.motor.constant)); // 0.0550 N m/A
 */

// No constant.
#define RMECH_CONSTANT_NONE 0

// The motor constant.
#define RMECH_CONSTANT_MOTOR 1

// The winding's resistance.
#define RMECH_CONSTANT_WINDING 2

// The current without load.
#define RMECH_CONSTANT_NO_LOAD 3

// The gear's efficiency.
#define RMECH_CONSTANT_GEAR 4

// A motor on the bench, or one row of its data sheet.
typedef struct rmech_motor_point {
  // At its terminals.
  struct rmech_voltage voltage;
  // Through it.
  struct rmech_current current;
  // Of its shaft.
  struct rmech_turning_speed speed;
  // At its shaft.
  struct rmech_torque torque;
} rmech_motor_point;

// How far a point of a motor lies from its fit: measured less fitted.
typedef struct rmech_motor_residual {
  // Of the voltage at the current and speed.
  struct rmech_voltage voltage;
  // Of the torque at the current.
  struct rmech_torque torque;
} rmech_motor_residual;

// A motor fitted to points.
//
// A standard error is infinite where there is no reading to spare.
typedef struct rmech_motor_fit {
  // sizeof(rmech_motor_fit); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // The best constants.
  struct rmech_motor motor;
  // Of the gear; zero for a motor on the bench.
  struct rmech_ratio gear_efficiency;
  // Standard error of the motor constant.
  struct rmech_motor_constant constant_error;
  // Standard error of the current without load.
  struct rmech_current no_load_error;
  // Standard error of the winding's resistance.
  struct rmech_resistance winding_error;
  // Standard error of the gear's efficiency; zero for a motor on the bench.
  struct rmech_ratio gear_error;
  // The largest difference of a voltage.
  struct rmech_voltage worst_voltage;
  // The largest difference of a torque; zero for a winch.
  struct rmech_torque worst_torque;
  // The largest difference of a current; zero for a motor on the bench.
  struct rmech_current worst_current;
  // One of `RMECH_CONSTANT_...` if the points hardly distinguish two constants, otherwise `RMECH_CONSTANT_NONE`.
  int32_t confounded;
  // The other.
  int32_t confounded_with;
  // Of the errors of the two.
  double correlation;
  // Readings wrong by 1 % may leave a constant wrong by about this many per cent; zero where that is below 30.
  double condition;
  // How many readings there are beyond those needed.
  uint64_t spare_readings;
} rmech_motor_fit;

// A winch at work, hauling, read off its meters.
typedef struct rmech_winch_point {
  // At the motor's terminals.
  struct rmech_voltage voltage;
  // Through the motor.
  struct rmech_current current;
  // Of the rope.
  struct rmech_velocity line_speed;
  // On the rope.
  struct rmech_force pull;
} rmech_winch_point;

// How far a point of a winch lies from its fit: measured less fitted.
typedef struct rmech_winch_residual {
  // Of the voltage at the current and line speed.
  struct rmech_voltage voltage;
  // Of the current at the pull.
  struct rmech_current current;
} rmech_winch_residual;

// Fits a motor's constants to points by least squares, and warns where they can't distinguish two of them.
//
// `residuals` takes `point_count` entries, one for each point; it may be NULL. It must not overlap `points`.
// Formula: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 4 kB of stack; one pass over what is given.
RMECH_NODISCARD
int32_t rmech_motor_fit_points(const struct rmech_motor_point *points,
                               size_t point_count,
                               struct rmech_motor_residual *residuals,
                               struct rmech_motor_fit *fit,
                               struct rmech_error *error);

// Fits a winch's motor and gear to points by least squares, its gear ratio and radius known.
//
// `residuals` takes `point_count` entries, one for each point; it may be NULL. It must not overlap `points`.
// Formula: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 5 kB of stack; one pass over what is given.
RMECH_NODISCARD
int32_t rmech_winch_fit_points(const struct rmech_winch_point *points,
                               size_t point_count,
                               const struct rmech_ratio *gear_ratio,
                               const struct rmech_length *radius,
                               struct rmech_winch_residual *residuals,
                               struct rmech_motor_fit *fit,
                               struct rmech_error *error);

/* ---- Batteries -----------------------------------------------------------------------------------------------------
 * t = H*(C/(I*H))^n    usable share = (Ih/I)^(n-1), Ih = C/H    cold: by the table given, or that of a battery manual
 * Voltage: the curve over the charge given, less I*(internal + leads). Assumed: a steady current from full to flat; pauses give
 * some back. Range: n from 1 to 2, charge 0 to 1, up to 1000 in series and parallel. Source: Peukert's law (1897); a battery
 * meter's manual.
 * Picture: rope-mechanics/src/docs/pictures/winch.svg
 *
 *     rmech_charge capacity = rmech_ah(55.0); // over 20 hours
 *     rmech_time rated = rmech_h(20.0), time;
 *     rmech_ratio exponent = rmech_fraction(1.2), share;
 *     rmech_current current = rmech_a(90.0);
 *     if (rmech_battery_at_current(&capacity, &rated, &exponent, &current, &time, &share, &error) == RMECH_OK)
 *         printf("%.0f min, %.0f %% of it\n", rmech_in_min(time), rmech_in_percent(share)); // 18 min, 50 % of it
 */

// How many points each table of a battery may have.
#define RMECH_BATTERY_POINTS_MAX 32

// A point of a battery's curve of voltage without current.
typedef struct rmech_charge_voltage {
  // State of charge: 0 empty, 1 full.
  struct rmech_ratio charge;
  // Without current.
  struct rmech_voltage voltage;
} rmech_charge_voltage;

// A point of a table of what the cold does to a battery.
typedef struct rmech_temperature_share {
  // Of the battery.
  struct rmech_temperature temperature;
  // Of the value at 25 °C.
  struct rmech_ratio share;
} rmech_temperature_share;

// A battery, by tables that are linear between their points and constant beyond their ends.
typedef struct rmech_battery {
  // sizeof(rmech_battery); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // Stated for `rated_time`.
  struct rmech_charge capacity;
  // The time for which the capacity is stated.
  struct rmech_time rated_time;
  // Peukert's exponent, 1 to 2.
  struct rmech_ratio peukert_exponent;
  // Inside the battery at 25 °C.
  struct rmech_resistance internal;
  // At least one point, at most `RMECH_BATTERY_POINTS_MAX`, their charges growing.
  const struct rmech_charge_voltage *open_circuit;
  // How many.
  size_t open_circuit_count;
  // What is left of the capacity, the temperatures growing; none where the cold takes nothing.
  const struct rmech_temperature_share *cold;
  // How many.
  size_t cold_count;
  // How the internal resistance grows, the temperatures growing; none where it doesn't.
  const struct rmech_temperature_share *cold_resistance;
  // How many.
  size_t cold_resistance_count;
  // How many batteries in series; zero stands for 1.
  uint32_t in_series;
  // How many such rows in parallel; zero stands for 1.
  uint32_t in_parallel;
} rmech_battery;

// A battery at a state of charge and a temperature, all of its bank.
typedef struct rmech_battery_state {
  // Without current.
  struct rmech_voltage open_circuit;
  // Inside.
  struct rmech_resistance internal;
  // What it holds at this temperature, full, at its rated current.
  struct rmech_charge capacity;
  // The current at which the capacity of each single battery is stated.
  struct rmech_current rated_current;
} rmech_battery_state;

// What a battery gives at a steady current, by Peukert's law in its rated-hour form.
//
// `time` from full to flat and `usable_share` of the stated capacity; either may be NULL. Formula and source:
// at the top of this topic in rope_mechanics.h.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_battery_at_current(const struct rmech_charge *capacity,
                                 const struct rmech_time *rated_time,
                                 const struct rmech_ratio *peukert_exponent,
                                 const struct rmech_current *current,
                                 struct rmech_time *time,
                                 struct rmech_ratio *usable_share,
                                 struct rmech_error *error);

// A battery at a state of charge and a temperature: voltage and resistance are what `rmech_winch` takes as
// `open_circuit` and `battery`.
//
// Formula: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 12 kB of stack; one pass over what is given.
RMECH_NODISCARD
int32_t rmech_battery_at_charge(const struct rmech_battery *battery,
                                const struct rmech_ratio *charge,
                                const struct rmech_temperature *temperature,
                                struct rmech_battery_state *state,
                                struct rmech_error *error);

/* ---- How warm a motor gets -----------------------------------------------------------------------------------------
 * One body:   dT = dTn*(I/In)^2*(1 - exp(-t/tau)) from cold
 * Two bodies: C1*x1' = I^2*R(x1) - (x1 - x2)/R12    C2*x2' = P_idle + (x1 - x2)/R12 - (x2 - air)/R2
 * Assumed: loss as I^2. A winding runs ahead of its case: one body is late for short, hard pulls. Range: -100 to 300 C.
 * Source: the balance of heat; IEC 60028 for copper (from memory). No published check.
 * Picture: rope-mechanics/src/docs/pictures/winch.svg
 *
 *     rmech_motor_heat heat = {0};
 *     heat.kind = RMECH_HEAT_ONE_NODE;
 *     heat.continuous_current = rmech_a(60.0);
 *     heat.rated_rise = rmech_kelvin(80.0);
 *     heat.time_constant = rmech_min(20.0);
 *     rmech_current current = rmech_a(90.0);
 *     rmech_ratio share;
 *     if (rmech_motor_lasting_share(&heat, &current, &share, &error) == RMECH_OK)
 *         printf("%.0f %% of the time\n", rmech_in_percent(share)); // 44 % of the time
 */

// Heat is not followed.
#define RMECH_HEAT_NONE 0

// The motor is one lump: `continuous_current`, `rated_rise` and `time_constant` count.
#define RMECH_HEAT_ONE_NODE 1

// The motor is a winding in a case: the last four members count.
#define RMECH_HEAT_TWO_NODES 2

// How a motor takes up heat. What doesn't count for its kind is not read.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_motor_heat {
  // One of `RMECH_HEAT_...`.
  int32_t kind;
  // Zero.
  int32_t reserved;
  // What the motor bears for ever.
  struct rmech_current continuous_current;
  // How far that warms it above the air.
  struct rmech_temperature_interval rated_rise;
  // Its time constant.
  struct rmech_time time_constant;
  // Of the winding.
  struct rmech_heat_capacity winding;
  // Of the case.
  struct rmech_heat_capacity case_;
  // From winding to case.
  struct rmech_thermal_resistance winding_to_case;
  // From case to air.
  struct rmech_thermal_resistance case_to_air;
} rmech_motor_heat;

// The temperatures of a motor; one node has only a winding, and its case is taken to be as warm.
typedef struct rmech_motor_temperatures {
  // Of the winding.
  struct rmech_temperature winding;
  // Of the case.
  struct rmech_temperature case_;
} rmech_motor_temperatures;

// What warms a motor, and the air around it.
typedef struct rmech_heating {
  // In the winding.
  struct rmech_current current;
  // Of the winding at 25 °C; not read for one node.
  struct rmech_resistance winding;
  // Idle drag; not read for one node.
  struct rmech_power idle;
  // Of the air.
  struct rmech_temperature air;
} rmech_heating;

// The motor's temperatures after a time of steady heating, and how long it may go on until the winding reaches
// `limit`: from `start`, infinite if it never does.
//
// `limit` and `time_to_limit` may both be NULL. Formula: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 5 kB of stack; closed form, or a root between two bounds in at most the steps of bisection.
RMECH_NODISCARD
int32_t rmech_motor_warmed(const struct rmech_motor_heat *heat,
                           const struct rmech_motor_temperatures *start,
                           const struct rmech_heating *heating,
                           const struct rmech_time *duration,
                           const struct rmech_temperature *limit,
                           struct rmech_motor_temperatures *after,
                           struct rmech_time *time_to_limit,
                           struct rmech_error *error);

// How warm the motor gets in cycles of pull and rest that go on for ever: at the end of each pull, when the winding
// is hottest, and at the end of each rest, when it is coolest.
//
// Either output may be NULL. Formula: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 5 kB of stack; closed form, or a root between two bounds in at most the steps of bisection.
RMECH_NODISCARD
int32_t rmech_motor_duty_cycle(const struct rmech_motor_heat *heat,
                               const struct rmech_heating *pull,
                               const struct rmech_time *time_on,
                               const struct rmech_time *time_off,
                               struct rmech_motor_temperatures *after_pull,
                               struct rmech_motor_temperatures *after_rest,
                               struct rmech_error *error);

// Where the motor's temperatures settle under steady heating; infinite if the winding runs away.
// Cost: no heap, 6 kB of stack; at most 200 steps, or a root between two bounds in at most the steps of bisection.
RMECH_NODISCARD
int32_t rmech_motor_settles_at(const struct rmech_motor_heat *heat,
                               const struct rmech_heating *heating,
                               struct rmech_motor_temperatures *settled,
                               struct rmech_error *error);

// What the winding takes from cold to its rated rise when it has no time to cool: I²t. For `RMECH_HEAT_ONE_NODE`
// only.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_motor_current_squared_time(const struct rmech_motor_heat *heat,
                                         struct rmech_current_squared_time *taken,
                                         struct rmech_error *error);

// The share of the time for which a current may flow for ever, in cycles much shorter than the time constant, at
// most 1. For `RMECH_HEAT_ONE_NODE` only.
// Cost: no heap, 4 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_motor_lasting_share(const struct rmech_motor_heat *heat,
                                  const struct rmech_current *current,
                                  struct rmech_ratio *share,
                                  struct rmech_error *error);

/* ---- Live calls in single precision --------------------------------------------------------------------------------
 * The line of rmech_line_solve and the turns of rmech_turn_band, by the same formulas, all of it computed in float. Lines that
 * stretch in proportion (b = 0). Prepare a rig with the double calls; ask these while it runs.
 * Measured against the double calls with the same numbers, over 2 million random lines: each force is off by less than 1e-6 of
 * the greater end tension (5.4e-7 seen); a ratio by less than 5e-6 of itself (3e-6 seen). That is of the arithmetic alone: a
 * length given as float is itself rounded by up to 6e-8, which makes EA*6e-8 of tension in a taut line, 7 mN at 120 kN.
 * Range: span 0.01 to 1e5 m, length to 2e5 m, weight 0.001 to 1e4 N/m, EA 1 to 1e10 N; not slacker than some thousand times
 * the span. CAUTION. As of every call: an aid, not a safety function. Sources: those of lines and of losses at a bend.
 * Picture: rope-mechanics/src/docs/pictures/live.svg
 *
 *     rmech_live_line live = {0}; // 52 m out, 31 m down
 *     rmech_live_ends at_ends;
 *     live.span_m = 52.0f;
 *     live.rise_m = -31.0f;
 *     live.length_m = 60.0f;
 *     live.weight_n_per_m = 1.8f;
 *     live.stiffness_n = 124e3f;
 *     if (rmech_live_line_ends(&live, &at_ends, &error) == RMECH_OK)
 *         printf("%.0f N\n", (double)at_ends.first_n); // 1177 N
 */

// A rope between two supports that stretches in proportion to its tension. Each member's unit stands in its name.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_live_line {
  // Horizontal distance between the supports.
  float span_m;
  // Height of the second support above the first; negative if it is lower.
  float rise_m;
  // Unstretched length. Not read where the length is what is asked for.
  float length_m;
  // Weight per unstretched metre.
  float weight_n_per_m;
  // Axial stiffness EA: tension by strain.
  float stiffness_n;
  // Tension at the first end. Read by `rmech_live_line_length` alone.
  float first_n;
} rmech_live_line;

// The forces at the supports of a line.
typedef struct rmech_live_ends {
  // Horizontal component of the tension, the same all along the rope.
  float horizontal_n;
  // Tension at the first end.
  float first_n;
  // Tension at the second end.
  float last_n;
  // What the first support carries, upward; negative where the rope lifts it.
  float first_up_n;
  // What the second support carries, upward; negative where the rope lifts it.
  float last_up_n;
  // Relative change of the answer in one more step of the solver: at most 2e-6, or the call fails.
  float residual;
  // Steps of the solver.
  uint32_t iterations;
} rmech_live_ends;

// The length of rope that pulls as hard as asked for.
typedef struct rmech_live_length {
  // Unstretched length.
  float length_m;
  // How far the tension of that length is from the one asked for, by the latter: at most 1e-3, or the call fails.
  float residual;
  // Lines solved.
  uint32_t iterations;
} rmech_live_length;

// A turn, the way the rope goes over it, and how far it turns.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_live_turn {
  // One of `RMECH_TURN_...`.
  int32_t kind;
  // `RMECH_MOTION_HAULING` or `RMECH_MOTION_LOWERING`: at rest the ratio is a band, see `rmech_turn_band`.
  int32_t motion;
  // Of a sheave, over a turn of 180 degrees: 0.3 to 1.
  float efficiency;
  // Of a bar or capstan, in this direction: 0 to 2.
  float friction;
  // How far the rope wraps it, in radians: 0 to 4 pi.
  float wrap_rad;
} rmech_live_turn;

// Tension on the pulling side by that on the load's side.
typedef struct rmech_live_ratio {
  // At least 1 hauling, at most 1 lowering.
  float ratio;
} rmech_live_ratio;

// The forces at the supports of a line, in single precision.
//
// Formula, range and measured error: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 3 kB of stack; at most 60 evaluations of its equation, some 5 as a rule, iterations at most 60.
RMECH_NODISCARD
int32_t rmech_live_line_ends(const struct rmech_live_line *line,
                             struct rmech_live_ends *ends,
                             struct rmech_error *error);

// The unstretched length at which a line pulls with `first_n` at its first end, in single precision: the shorter,
// where two do.
//
// A tension below what the rope's weight alone makes there is refused with `RMECH_ERR_GEOMETRY`; so may be one within
// a millionth of the least. A rope so stiff that no float comes within a thousandth: `RMECH_ERR_UNSOLVED`.
// Cost: no heap, 3 kB of stack; at most 120 lines solved, some 20 as a rule, iterations at most 120.
RMECH_NODISCARD
int32_t rmech_live_line_length(const struct rmech_live_line *line,
                               struct rmech_live_length *length,
                               struct rmech_error *error);

// The ratio of the tensions over a turn, in single precision: a sheave, a bar or capstan, or no loss.
// Cost: no heap, 3 kB of stack; closed form.
RMECH_NODISCARD
int32_t rmech_live_turn_ratio(const struct rmech_live_turn *turn,
                              struct rmech_live_ratio *ratio,
                              struct rmech_error *error);

/* ---- A haul on a battery -------------------------------------------------------------------------------------------
 * The winch at each moment, with the charge by Peukert's law, the voltage by charge and cold, the motor by its heat, in
 * intervals of at most the one given (1500 to a step as a rule, 10000 at most, else RMECH_ERR_UNSOLVED).
 * Stops at the reserve of charge, the stall, the heat, or the end of the steps. Assumed, range, sources: of the four topics
 * above; resistance grows as the motor warms.
 * Picture: rope-mechanics/src/docs/pictures/winch.svg
 *
 *     rmech_winch winch = RMECH_INIT(rmech_winch);
 *     winch.motor_constant = rmech_n_m_per_a(0.055);
 *     winch.no_load_current = rmech_a(4.0);
 *     winch.winding = rmech_mohm(18.0);
 *     winch.gear_ratio = rmech_fraction(180.0);
 *     winch.gear_efficiency = rmech_percent(72.0);
 *     winch.radius = rmech_mm(36.0);
 *     winch.open_circuit = rmech_v(25.0);
 *     winch.battery = rmech_mohm(8.0);
 *     winch.leads = rmech_mohm(3.0);
 *     rmech_charge_voltage curve[2] = {{rmech_fraction(0.0), rmech_v(11.6)}, {rmech_fraction(1.0), rmech_v(12.7)}};
 *     rmech_battery battery = RMECH_INIT(rmech_battery); // two in series
 *     battery.capacity = rmech_ah(55.0);
 *     battery.rated_time = rmech_h(20.0);
 *     battery.peukert_exponent = rmech_fraction(1.2);
 *     battery.open_circuit = curve;
 *     battery.open_circuit_count = 2;
 *     battery.internal = rmech_mohm(4.0);
 *     battery.in_series = 2;
 *     battery.in_parallel = 1;
 *     rmech_haul_limits limits = RMECH_INIT(rmech_haul_limits);
 *     limits.charge = rmech_percent(90.0);
 *     limits.reserve = rmech_percent(20.0);
 *     limits.air = rmech_celsius(15.0);
 *     limits.interval = rmech_s(1.0);
 *     rmech_haul_step step;
 *     memset(&step, 0, sizeof step);
 *     step.motion = RMECH_MOTION_HAULING;
 *     step.extent = RMECH_EXTENT_DISTANCE;
 *     step.pull = rmech_kn(2.1);
 *     step.distance = rmech_m(60.0);
 *     step.pull_ratio = rmech_fraction(1.0);
 *     rmech_haul_outcome outcome = RMECH_INIT(rmech_haul_outcome);
 *     if (rmech_winch_haul(&winch, &battery, &limits, &step, 1, NULL, 0, NULL, &outcome, &error) == RMECH_OK)
 *         printf("%.0f %% of the charge is left\n", rmech_in_percent(outcome.charge)); // 83 % of the charge is left
 */

// Until so much rope has moved: `distance` counts.
#define RMECH_EXTENT_DISTANCE 1

// For so long: `duration` counts.
#define RMECH_EXTENT_DURATION 2

// A flag of a haul's limits: the samples are the end of each step that began, and no others.
#define RMECH_HAUL_STEP_ENDS 1

// A flag of a haul's limits: the motor starts as warm as `start` says, else at the temperature of the air.
#define RMECH_HAUL_WARM_START 2

// The haul finished.
#define RMECH_STOP_NONE 0

// The battery is down to its reserve.
#define RMECH_STOP_BATTERY_FLAT 1

// The voltage at the end of the leads is below what the controller needs.
#define RMECH_STOP_VOLTAGE_TOO_LOW 2

// The winding has reached its limit.
#define RMECH_STOP_TOO_HOT 3

// The winch can't move this pull, or not at the speed asked.
#define RMECH_STOP_CANNOT_PULL 4

// For a reason that this version of the header doesn't know.
#define RMECH_STOP_OTHERWISE 99

// From where a haul starts, how closely it is followed, and what stops it.
typedef struct rmech_haul_limits {
  // sizeof(rmech_haul_limits); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // `RMECH_HAUL_STEP_ENDS`, `RMECH_HAUL_WARM_START`, both or none.
  uint32_t flags;
  // State of charge at the start, 0 to 1.
  struct rmech_ratio charge;
  // State of charge that must be left.
  struct rmech_ratio reserve;
  // At the end of the leads, below which the controller drops out; zero for none.
  struct rmech_voltage lowest_voltage;
  // What flows while the winch rests.
  struct rmech_current standby;
  // Of air and battery.
  struct rmech_temperature air;
  // Of the winding; read where heat is followed.
  struct rmech_temperature winding_limit;
  // How the motor takes up heat.
  struct rmech_motor_heat heat;
  // Of the motor at the start; read only with `RMECH_HAUL_WARM_START`. One node has only a winding.
  struct rmech_motor_temperatures start;
  // Between two samples, but longer in steps of more than a thousand of it; zero stands for a second.
  struct rmech_time interval;
} rmech_haul_limits;

// One step of a haul.
typedef struct rmech_haul_step {
  // One of `RMECH_MOTION_...`; at rest the brake is set, and only `duration` counts.
  int32_t motion;
  // One of `RMECH_EXTENT_...`; at rest not read.
  int32_t extent;
  // On the rope where it leaves the winch.
  struct rmech_force pull;
  // How far.
  struct rmech_length distance;
  // How long.
  struct rmech_time duration;
  // What a controller holds; zero for full speed.
  struct rmech_velocity line_speed;
  // Of the drum's layer, 1 on that for which the winch is described; zero stands for 1.
  struct rmech_ratio pull_ratio;
} rmech_haul_step;

// The haul at one moment.
typedef struct rmech_haul_sample {
  // In which step, counted from 0.
  uint32_t step;
  // One of `RMECH_MOTION_...`.
  int32_t motion;
  // Since the start of the haul.
  struct rmech_time time;
  // Rope moved in this step.
  struct rmech_length distance;
  // On the rope.
  struct rmech_force pull;
  // From the battery.
  struct rmech_current current;
  // At the end of the leads.
  struct rmech_voltage terminal_voltage;
  // Of the rope; zero where a table gives no speeds.
  struct rmech_velocity line_speed;
  // State of charge.
  struct rmech_ratio charge;
  // Of the winding; that of the air where no heat is followed.
  struct rmech_temperature winding;
  // What the battery has given up since the start of the haul.
  struct rmech_energy energy;
} rmech_haul_sample;

// How a haul went.
typedef struct rmech_haul_outcome {
  // sizeof(rmech_haul_outcome); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // One of `RMECH_STOP_...`.
  int32_t stop;
  // In which step it stopped, counted from 0; the number of steps if it finished.
  uint32_t stopped_step;
  // Rope moved in the step in which it stopped; zero if it finished.
  struct rmech_length stopped_distance;
  // How long it took, or until it stopped.
  struct rmech_time time;
  // Rope hauled in, all steps.
  struct rmech_length hauled;
  // Rope lowered out, all steps.
  struct rmech_length lowered;
  // What the battery gave up, net of what flowed back.
  struct rmech_energy energy;
  // What the rope took up hauling.
  struct rmech_energy work;
  // State of charge at the end.
  struct rmech_ratio charge;
  // The largest current from the battery.
  struct rmech_current largest_current;
  // The lowest voltage at the end of the leads.
  struct rmech_voltage lowest_voltage;
  // The hottest that the winding was.
  struct rmech_temperature hottest_winding;
  // The largest closing error of the power balance.
  double residual;
} rmech_haul_outcome;

// A whole haul on one battery: whether it finishes, and what stops it.
//
// `samples` takes the haul over time, at the start and end of every step and after every interval; with
// `RMECH_HAUL_STEP_ENDS` only the ends. `sample_count` takes how many there are. With `sample_capacity` 0 (`samples`
// may then be NULL) that is all: the size query. A buffer that is too small gives `RMECH_ERR_CAPACITY`, with
// `sample_count` written and the rest untouched. Where no samples are asked for, both may be NULL. Neither may overlap
// `steps`: RMECH_ERR_POINTER.
//
// The winch's own `open_circuit`, `battery` and `leads` give way to the battery and its leads, of which only `leads`
// is read from the winch. That a haul is stopped is no failure: `outcome->stop` then says why. A step that can't be
// used is `RMECH_ERR_VALUE`; one whose line all but stops, so that it isn't through after 10 000 intervals,
// `RMECH_ERR_UNSOLVED`. Formula: at the top of this topic in rope_mechanics.h.
// Cost: no heap, 16 kB of stack; at most 10000 intervals for each step of the haul.
RMECH_NODISCARD
int32_t rmech_winch_haul(const struct rmech_winch *winch,
                         const struct rmech_battery *battery,
                         const struct rmech_haul_limits *limits,
                         const struct rmech_haul_step *steps,
                         size_t step_count,
                         struct rmech_haul_sample *samples,
                         size_t sample_capacity,
                         size_t *sample_count,
                         struct rmech_haul_outcome *outcome,
                         struct rmech_error *error);

// A whole haul of a winch known by its maker's table, at the end of these leads. Otherwise as `rmech_winch_haul`.
//
// `radius_ratio` is the radius by that of the table's layer, 1 on the same; a step's `pull_ratio` comes on top. A
// table says nothing of lowering, where the load drives the gear, or of the winding: such a step, and heat of two
// nodes, are `RMECH_ERR_GEOMETRY`.
// Cost: no heap, 16 kB of stack; at most 10000 intervals for each step of the haul.
RMECH_NODISCARD
int32_t rmech_winch_haul_by_table(const struct rmech_winch_row *rows,
                                  size_t row_count,
                                  const struct rmech_ratio *radius_ratio,
                                  const struct rmech_resistance *leads,
                                  const struct rmech_battery *battery,
                                  const struct rmech_haul_limits *limits,
                                  const struct rmech_haul_step *steps,
                                  size_t step_count,
                                  struct rmech_haul_sample *samples,
                                  size_t sample_capacity,
                                  size_t *sample_count,
                                  struct rmech_haul_outcome *outcome,
                                  struct rmech_error *error);

/* ---- Rigs: ropes through sheaves in three dimensions ---------------------------------------------------------------
 * At each point: sum of T*u + weight = 0    each rope: its length is that of its parts, T the same along it but for its turns
 * the minimum of energy of elastic, straight or heavy parts; friction at turns by the topic on bends.
 * Assumed: static, no contact but at its sheaves. Proof: `rmech_rig_solution_certificate` has both residuals, and the least
 * stiffness (is it stable?). A rig is refused where something floats, or where no equilibrium exists.
 * Source: least energy of cables; checked against every solver above and SciPy's minimiser.
 * Picture: rope-mechanics/src/docs/pictures/rig.svg
 *
 *     rmech_rig *rig = NULL; // a load on two ropes
 *     rmech_rig_solution *solution = NULL;
 *     rmech_rig_point_id left, right, load;
 *     rmech_rig_rope_id first, second;
 *     rmech_rig_rope rope = RMECH_INIT(rmech_rig_rope);
 *     rmech_rig_point weight = RMECH_INIT(rmech_rig_point);
 *     rmech_point at_left = {rmech_m(0.0), rmech_m(0.0), rmech_m(5.0)}, at_right = {rmech_m(30.0), rmech_m(0.0), rmech_m(2.0)};
 *     weight.weight = rmech_n(900.0);
 *     rope.stretch.a = rmech_kn(41.0);
 *     int32_t status = rmech_rig_create(&rig, &error);
 *     if (status == RMECH_OK) status = rmech_rig_add_fixed(rig, "left", &at_left, &left, &error);
 *     if (status == RMECH_OK) status = rmech_rig_add_fixed(rig, "right", &at_right, &right, &error);
 *     if (status == RMECH_OK) status = rmech_rig_add_point(rig, "load", &weight, &load, &error);
 *     rope.from = left;
 *     rope.to = load;
 *     rope.length = rmech_m(17.0);
 *     if (status == RMECH_OK) status = rmech_rig_add_rope(rig, "first", &rope, NULL, 0, &first, &error);
 *     rope.from = load;
 *     rope.to = right;
 *     rope.length = rmech_m(15.0);
 *     if (status == RMECH_OK) status = rmech_rig_add_rope(rig, "second", &rope, NULL, 0, &second, &error);
 *     if (status == RMECH_OK) status = rmech_rig_solve(rig, &solution, &error);
 *     rmech_rig_place place;
 *     if (status == RMECH_OK) status = rmech_rig_solution_point(solution, &load, &place, &error);
 *     if (status == RMECH_OK) printf("the load hangs at %.2f m\n", rmech_in_m(place.at.z)); // the load hangs at -3.12 m
 *     rmech_rig_solution_destroy(solution);
 *     rmech_rig_destroy(rig);
 */

// Free to move anywhere.
#define RMECH_HOLD_FREE 0

// Held to a plane, which pushes and pulls.
#define RMECH_HOLD_PLANE 1

// Held to a line.
#define RMECH_HOLD_LINE 2

// On or above even ground, which only pushes.
#define RMECH_HOLD_GROUND 3

// The end where a rope starts: `from` of a `rmech_rig_rope`.
#define RMECH_END_FIRST 1

// The end where a rope ends: `to` of a `rmech_rig_rope`.
#define RMECH_END_LAST 2

// A flag of a point: its start counts.
#define RMECH_RIG_POINT_HAS_START 1

// A flag of a rope: `tension` is set at the end that `tension_end` names, and `length` follows; else `length` is
// given.
#define RMECH_RIG_ROPE_TENSION 1

// A rig.
typedef struct rmech_rig rmech_rig;

// An equilibrium of a rig. It stays good when the rig is changed or destroyed.
typedef struct rmech_rig_solution rmech_rig_solution;

// A point of a rig.
typedef struct rmech_rig_point_id {
  // Whose point: the number of the rig, never 0.
  uint32_t rig;
  // Counted from 0 in the order of adding.
  uint32_t point;
} rmech_rig_point_id;

// A point that moves.
typedef struct rmech_rig_point {
  // sizeof(rmech_rig_point); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // `RMECH_RIG_POINT_HAS_START` or none.
  uint32_t flags;
  // One of `RMECH_HOLD_...`.
  int32_t hold;
  // Zero.
  int32_t reserved;
  // Its weight.
  struct rmech_force weight;
  // A force on it.
  struct rmech_force3 force;
  // Where the search for it starts.
  struct rmech_point start;
  // A point of the plane, line or ground.
  struct rmech_point through;
  // Normal of the plane or ground, or along the line: x, y, z. Its length doesn't matter.
  struct rmech_ratio direction[3];
} rmech_rig_point;

// A rope of a rig.
typedef struct rmech_rig_rope {
  // sizeof(rmech_rig_rope); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // `RMECH_RIG_ROPE_TENSION` or none.
  uint32_t flags;
  // Where it starts.
  struct rmech_rig_point_id from;
  // Where it ends.
  struct rmech_rig_point_id to;
  // Strands side by side; 0 counts as 1.
  uint32_t strands;
  // What the hand does: `RMECH_MOTION_HAULING`, rope comes to it; `RMECH_MOTION_LOWERING`, rope goes from it; 0 or
  // `RMECH_MOTION_AT_REST`, neither, and the turns count as frictionless. (Elsewhere 0 is refused.)
  int32_t motion;
  // At which end the hand, winch or brake is: `RMECH_END_FIRST`, at `from`; `RMECH_END_LAST` or 0, at `to`. While
  // rope is hauled each turn leaves more tension on that side.
  int32_t hand;
  // Where the tension is set: one of `RMECH_END_...`; 0 is where the hand is.
  int32_t tension_end;
  // Unstretched length.
  struct rmech_length length;
  // The set tension, all strands together.
  struct rmech_force tension;
  // Stretch of one strand.
  struct rmech_stretch stretch;
  // Mass per metre of one strand.
  struct rmech_line_mass mass;
} rmech_rig_rope;

// A turn of a rope at a point.
//
// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
typedef struct rmech_rig_turn {
  // Over what.
  struct rmech_rig_point_id point;
  // Whole turns around it, besides what the directions of the rope show: 0 to 31.
  uint32_t wraps;
  // Zero.
  uint32_t reserved;
  // Its losses there.
  struct rmech_turn turn;
} rmech_rig_turn;

// A rope of a rig.
typedef struct rmech_rig_rope_id {
  // Whose rope: the number of the rig, never 0.
  uint32_t rig;
  // Counted from 0 in the order of adding.
  uint32_t rope;
} rmech_rig_rope_id;

// The proof of an equilibrium.
typedef struct rmech_rig_certificate {
  // Steps taken.
  uint32_t iterations;
  // 1 if no other equilibrium exists, else 0.
  uint32_t unique;
  // Largest force out of balance.
  struct rmech_force force_residual;
  // Largest distance by which a part misses its end.
  struct rmech_length closing_residual;
  // Largest force in the rig.
  struct rmech_force largest_force;
  // Least stiffness against any small movement: above zero is stable. Infinite where nothing moves.
  struct rmech_stiffness least_stiffness;
} rmech_rig_certificate;

// A point of a solution.
typedef struct rmech_rig_place {
  // Where it is.
  struct rmech_point at;
  // Force of all ropes on it.
  struct rmech_force3 rope_force;
  // The reaction of what holds it: an anchor, a plane, the ground.
  struct rmech_force3 reaction;
  // 1 if it lies on its ground, else 0.
  uint32_t on_ground;
  // Zero.
  uint32_t reserved;
} rmech_rig_place;

// A part of a rope of a solution. Forces count all strands together.
typedef struct rmech_rig_part {
  // Where it starts.
  struct rmech_rig_point_id from;
  // Where it ends.
  struct rmech_rig_point_id to;
  // Unstretched length in it.
  struct rmech_length share;
  // Distance of its ends.
  struct rmech_length chord;
  // Strain where it is largest.
  struct rmech_ratio strain;
  // Tension where it starts.
  struct rmech_force tension_first;
  // Tension where it ends.
  struct rmech_force tension_last;
  // Force on the point where it starts.
  struct rmech_force3 pull_first;
  // Force on the point where it ends.
  struct rmech_force3 pull_last;
  // How far it hangs below its chord.
  struct rmech_length sag;
  // 1 if it is slack, else 0.
  uint32_t slack;
  // Strands that share the tension.
  uint32_t strands;
} rmech_rig_part;

// A turn of a rope of a solution.
typedef struct rmech_rig_sheave {
  // Where it is.
  struct rmech_rig_point_id point;
  // By how much the rope changes its direction, with its wraps.
  struct rmech_angle turn;
  // The angle between its two parts.
  struct rmech_angle interior;
  // Tension of the part before.
  struct rmech_force tension_before;
  // Tension of the part after.
  struct rmech_force tension_after;
  // Force of the rope on the sheave.
  struct rmech_force3 force;
} rmech_rig_sheave;

// Makes a rig with nothing in it. Destroy it with `rmech_rig_destroy`.
// Cost: heap; one pass over what is given or freed.
RMECH_NODISCARD
int32_t rmech_rig_create(struct rmech_rig **rig, struct rmech_error *error);

// Destroys a rig; NULL is fine.
// Cost: heap; one pass over what is given or freed.
void rmech_rig_destroy(struct rmech_rig *rig);

// Adds a fixed point.
// Cost: heap; one pass over what is given or freed.
RMECH_NODISCARD
int32_t rmech_rig_add_fixed(struct rmech_rig *rig,
                            const char *name,
                            const struct rmech_point *at,
                            struct rmech_rig_point_id *id,
                            struct rmech_error *error);

// Adds a point that moves.
// Cost: heap; one pass over what is given or freed.
RMECH_NODISCARD
int32_t rmech_rig_add_point(struct rmech_rig *rig,
                            const char *name,
                            const struct rmech_rig_point *point,
                            struct rmech_rig_point_id *id,
                            struct rmech_error *error);

// Adds a rope that runs over `turn_count` turns in order; `turns` may be NULL if there are none.
// Cost: heap; one pass over what is given or freed.
RMECH_NODISCARD
int32_t rmech_rig_add_rope(struct rmech_rig *rig,
                           const char *name,
                           const struct rmech_rig_rope *rope,
                           const struct rmech_rig_turn *turns,
                           size_t turn_count,
                           struct rmech_rig_rope_id *id,
                           struct rmech_error *error);

// The point of a name.
// Cost: heap; one pass over what is given or freed.
RMECH_NODISCARD
int32_t rmech_rig_find_point(const struct rmech_rig *rig,
                             const char *name,
                             struct rmech_rig_point_id *id,
                             struct rmech_error *error);

// The rope of a name.
// Cost: heap; one pass over what is given or freed.
RMECH_NODISCARD
int32_t rmech_rig_find_rope(const struct rmech_rig *rig,
                            const char *name,
                            struct rmech_rig_rope_id *id,
                            struct rmech_error *error);

// Solves a rig. Destroy the solution with `rmech_rig_solution_destroy`.
//
// Ropes that move lose tension at their turns as stated. Where the frictionless equilibrium ends before the loss is
// full, the rig slides to where it rests. An answer may not be the only one: see the certificate's `unique`. A refusal
// that isn't sure means that none was found.
//
// The detail of an error names the point or rope at fault in `field`. Assumptions: at the top of this topic in rope_mechanics.h.
// Cost: heap; some ten steps as a rule, thousands where a rig is refused; each one linear system of the size of the rig.
RMECH_NODISCARD
int32_t rmech_rig_solve(const struct rmech_rig *rig,
                        struct rmech_rig_solution **solution,
                        struct rmech_error *error);

// The same, in no more than so many steps, so that a rig that is hard to refuse takes no longer than one may wait.
//
// A step solves the linear equations of the rig once, so that its time grows with the size of the rig; what else is done
// takes no longer than a few of them. A rig that stands takes some ten steps, one that runs over rough turns some
// hundred; to refuse one may take thousands. When they are spent: `RMECH_ERR_BUDGET`, which decides nothing. An answer, or
// any other refusal, is the one of `rmech_rig_solve`, bit by bit.
// Cost: heap; at most the steps given.
RMECH_NODISCARD
int32_t rmech_rig_solve_within(const struct rmech_rig *rig,
                               uint32_t steps,
                               struct rmech_rig_solution **solution,
                               struct rmech_error *error);

// The two ends of what friction may hold at the turns of ropes at rest: as they stand after hauling, and after
// lowering. Destroy both with `rmech_rig_solution_destroy`.
//
// Assumed: all ropes at rest came to rest from the same motion; mixtures give tensions between, or near, these. A rig that
// friction alone keeps at rest is refused: no motion of its rope holds it. `rmech_rig_solve_band_within` stops in time.
// Cost: heap; as of rmech_rig_solve, twice.
RMECH_NODISCARD
int32_t rmech_rig_solve_band(const struct rmech_rig *rig,
                             struct rmech_rig_solution **hauled,
                             struct rmech_rig_solution **lowered,
                             struct rmech_error *error);

// The same in no more than so many steps for each of the two, as `rmech_rig_solve_within` counts them. When they are
// spent: `RMECH_ERR_BUDGET`, which decides nothing. An answer, or any other refusal, is the one of
// `rmech_rig_solve_band`, bit by bit.
// Cost: heap; at most twice the steps given.
RMECH_NODISCARD
int32_t rmech_rig_solve_band_within(const struct rmech_rig *rig,
                                    uint32_t steps,
                                    struct rmech_rig_solution **hauled,
                                    struct rmech_rig_solution **lowered,
                                    struct rmech_error *error);

// Destroys a solution; NULL is fine.
// Cost: heap; one pass over what is given or freed.
void rmech_rig_solution_destroy(struct rmech_rig_solution *solution);

// The proof of a solution.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_rig_solution_certificate(const struct rmech_rig_solution *solution,
                                       struct rmech_rig_certificate *certificate,
                                       struct rmech_error *error);

// A point of a solution.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_rig_solution_point(const struct rmech_rig_solution *solution,
                                 const struct rmech_rig_point_id *id,
                                 struct rmech_rig_place *place,
                                 struct rmech_error *error);

// Part `number` of a rope of a solution, counted from 0 at its first end: a rope over n turns has n + 1 of them.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_rig_solution_part(const struct rmech_rig_solution *solution,
                                const struct rmech_rig_rope_id *id,
                                size_t number,
                                struct rmech_rig_part *part,
                                struct rmech_error *error);

// Turn `number` of a rope of a solution, counted from 0 at its first end.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_rig_solution_sheave(const struct rmech_rig_solution *solution,
                                  const struct rmech_rig_rope_id *id,
                                  size_t number,
                                  struct rmech_rig_sheave *sheave,
                                  struct rmech_error *error);

// The unstretched length of a rope of a solution: as given, or as its set tension makes it.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_rig_solution_length(const struct rmech_rig_solution *solution,
                                  const struct rmech_rig_rope_id *id,
                                  struct rmech_length *length,
                                  struct rmech_error *error);

/* ---- How a solved rig answers to a small change --------------------------------------------------------------------
 * K*dx = df: the solved rig, linearised; exact to first order in the change. Where a part is slack, or a rope at rest over a
 * rough turn starts to move, the answer holds for one side only.
 * Picture: rope-mechanics/src/docs/pictures/rig.svg
 *
 *     // solution, first: as in the topic above
 *     rmech_rig_change change = RMECH_INIT(rmech_rig_change);
 *     rmech_rig_response *response = NULL;
 *     rmech_rig_point_response moved;
 *     change.kind = RMECH_CHANGE_LENGTH;
 *     change.rope = first;
 *     change.length = rmech_mm(10.0); // more of it
 *     int32_t status = rmech_rig_respond(solution, &change, &response, &error);
 *     if (status == RMECH_OK) status = rmech_rig_response_point(response, &load, &moved, &error);
 *     if (status == RMECH_OK) printf("%.1f mm\n", rmech_in_mm(moved.moves.z)); // -11.6 mm
 *     rmech_rig_response_destroy(response);
 */

// More rope at the last end of a rope of given length: `length`.
#define RMECH_CHANGE_LENGTH 1

// More tension where it is set, all strands together: `force.x`.
#define RMECH_CHANGE_TENSION 2

// The whole curve T = a*strain + b*strain^2 raised by this part: `ratio`.
#define RMECH_CHANGE_STIFFNESS 3

// More of a alone, of one strand: `force.x`.
#define RMECH_CHANGE_STRETCH_A 4

// More of b alone, of one strand: `force.x`.
#define RMECH_CHANGE_STRETCH_B 5

// A heavier rope, all strands together; it must have weight already: `line_weight`.
#define RMECH_CHANGE_WEIGHT 6

// A sheave that passes more over half a turn: `ratio`, at turn `number` of the rope.
#define RMECH_CHANGE_EFFICIENCY 7

// A rougher bar, raising: `ratio`, at turn `number` of the rope.
#define RMECH_CHANGE_FRICTION_RAISING 8

// A rougher bar, lowering: `ratio`, at turn `number` of the rope.
#define RMECH_CHANGE_FRICTION_LOWERING 9

// A force added on a point that moves: `force`.
#define RMECH_CHANGE_LOAD 10

// A fixed point moved: `place`.
#define RMECH_CHANGE_PLACE 11

// The plane, line or ground of a point moved: `place`.
#define RMECH_CHANGE_THROUGH 12

// The unit vector of the plane, line or ground of a point changed: `tilt`.
#define RMECH_CHANGE_TILT 13

// What a small change does to every output of a solution, to first order.
typedef struct rmech_rig_response rmech_rig_response;

// A small change of one input. What its kind doesn't name is not read.
typedef struct rmech_rig_change {
  // sizeof(rmech_rig_change); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // None yet: 0.
  uint32_t flags;
  // One of `RMECH_CHANGE_...`.
  int32_t kind;
  // A turn of the rope, counted from 0 at its first end.
  uint32_t number;
  // The rope that changes.
  struct rmech_rig_rope_id rope;
  // The point that changes.
  struct rmech_rig_point_id point;
  // A change of a length.
  struct rmech_length length;
  // A change of a force.
  struct rmech_force3 force;
  // A change of a place: x, y, z.
  struct rmech_point place;
  // A change of a plain number.
  struct rmech_ratio ratio;
  // A change of a weight per metre.
  struct rmech_line_weight line_weight;
  // A change of a unit vector: x, y, z.
  struct rmech_ratio tilt[3];
} rmech_rig_change;

// How a point answers.
typedef struct rmech_rig_point_response {
  // How far it moves.
  struct rmech_point moves;
  // More force of all ropes on it.
  struct rmech_force3 rope_force;
  // More reaction of what holds it.
  struct rmech_force3 reaction;
} rmech_rig_point_response;

// How a part of a rope answers.
typedef struct rmech_rig_part_response {
  // More unstretched length in it.
  struct rmech_length share;
  // More distance of its ends.
  struct rmech_length chord;
  // More strain where it is largest.
  struct rmech_ratio strain;
  // More tension where it starts.
  struct rmech_force tension_first;
  // More tension where it ends.
  struct rmech_force tension_last;
  // More force on the point where it starts.
  struct rmech_force3 pull_first;
  // More force on the point where it ends.
  struct rmech_force3 pull_last;
  // More sag.
  struct rmech_length sag;
} rmech_rig_part_response;

// How a turn of a rope answers.
typedef struct rmech_rig_sheave_response {
  // More turn.
  struct rmech_angle turn;
  // More of the angle between its two parts.
  struct rmech_angle interior;
  // More tension of the part before.
  struct rmech_force tension_before;
  // More tension of the part after.
  struct rmech_force tension_after;
  // More force of the rope on the sheave.
  struct rmech_force3 force;
} rmech_rig_sheave_response;

// What a small change of one input does to every output. Destroy the response with `rmech_rig_response_destroy`.
//
// What is assumed: at the top of this topic in rope_mechanics.h.
// Cost: heap; one linear system of the size of the rig.
RMECH_NODISCARD
int32_t rmech_rig_respond(const struct rmech_rig_solution *solution,
                          const struct rmech_rig_change *by,
                          struct rmech_rig_response **response,
                          struct rmech_error *error);

// Destroys a response; NULL is fine.
// Cost: heap; one pass over what is given or freed.
void rmech_rig_response_destroy(struct rmech_rig_response *response);

// How a point answers.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_rig_response_point(const struct rmech_rig_response *response,
                                 const struct rmech_rig_point_id *id,
                                 struct rmech_rig_point_response *point,
                                 struct rmech_error *error);

// How part `number` of a rope answers, counted from 0 at its first end.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_rig_response_part(const struct rmech_rig_response *response,
                                const struct rmech_rig_rope_id *id,
                                size_t number,
                                struct rmech_rig_part_response *part,
                                struct rmech_error *error);

// How turn `number` of a rope answers, counted from 0 at its first end.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_rig_response_sheave(const struct rmech_rig_response *response,
                                  const struct rmech_rig_rope_id *id,
                                  size_t number,
                                  struct rmech_rig_sheave_response *sheave,
                                  struct rmech_error *error);

// More unstretched length of a rope.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_rig_response_length(const struct rmech_rig_response *response,
                                  const struct rmech_rig_rope_id *id,
                                  struct rmech_length *length,
                                  struct rmech_error *error);

/* ---- Rigs as JSON --------------------------------------------------------------------------------------------------
 * {"points": [...], "ropes": [...]}. A key that is unknown is refused; what stands in () is taken where a key is missing.
 * A point: name; at [x, y, z], where it is fixed or its search starts; fixed (false). One that moves: held, as
 *   {"plane": {"through": [x, y, z], "normal": [0, 0, 1]}}, {"ground": the same} or {"line": {"through", "along"}}; weight;
 *   force [x, y, z].
 * A rope: name; from; over ([]), a list of turns; to; length, or tension with tension_at "first" or "last" (hand); hand
 *   ("last"); stretch, which is a; stiffening, which is b (0); mass or weight of a metre of one strand (0); strands (1);
 *   motion "hauling", "lowering" or "at-rest" ("at-rest").
 * A turn: point; efficiency, or friction {"raising": 0.1, "lowering": 0.1} (no loss); wraps (0).
 * Quantities are texts with their unit ("145 ft", "96 %"); directions, friction, strands and wraps plain numbers. What is written
 * can be read again: to the last bit.
 * Picture: rope-mechanics/src/docs/pictures/rig.svg
 *
 *     // rig: as above; first how much room it needs, then the text
 *     size_t needed = 0;
 *     int32_t status = rmech_rig_write_json(rig, NULL, 0, &needed, &error);
 *     char *json = malloc(needed);
 *     if (status == RMECH_OK && json != NULL) status = rmech_rig_write_json(rig, json, needed, &needed, &error);
 *     rmech_rig *twin = NULL;
 *     if (status == RMECH_OK) status = rmech_rig_read_json(json, needed - 1, &twin, &error);
 *     if (status == RMECH_OK) printf("%s\n", twin != NULL ? "read again" : "?"); // read again
 *     rmech_rig_destroy(twin);
 *     free(json);
 */

// Makes a rig from JSON in UTF-8 of `bytes` bytes. Destroy it with `rmech_rig_destroy`; find its points and ropes by
// their names.
//
// The keys: at the top of this topic in rope_mechanics.h.
// Cost: heap; one pass over the text.
RMECH_NODISCARD
int32_t rmech_rig_read_json(const char *json,
                            size_t bytes,
                            struct rmech_rig **rig,
                            struct rmech_error *error);

// A rig that `rmech_rig_read_json` makes again: JSON in UTF-8, NUL-terminated.
//
// `needed` always takes the number of bytes that it needs, its NUL included. With `capacity` 0 (`json` may then be
// NULL) that is all: the size query, which returns `RMECH_OK`. A buffer that is too small gives
// `RMECH_ERR_CAPACITY`, with `needed` written and `json` untouched.
// Cost: heap; one pass over the text.
RMECH_NODISCARD
int32_t rmech_rig_write_json(const struct rmech_rig *rig,
                             char *json,
                             size_t capacity,
                             size_t *needed,
                             struct rmech_error *error);

// Everything that a solution says, with names: JSON in UTF-8, NUL-terminated.
//
// `needed`, `capacity` and a buffer that is too small: as of `rmech_rig_write_json`.
// Cost: heap; one pass over the text.
RMECH_NODISCARD
int32_t rmech_rig_solution_write_json(const struct rmech_rig_solution *solution,
                                      char *json,
                                      size_t capacity,
                                      size_t *needed,
                                      struct rmech_error *error);

// Everything that a response says, with names: JSON in UTF-8, NUL-terminated.
//
// `needed`, `capacity` and a buffer that is too small: as of `rmech_rig_write_json`.
// Cost: heap; one pass over the text.
RMECH_NODISCARD
int32_t rmech_rig_response_write_json(const struct rmech_rig_response *response,
                                      char *json,
                                      size_t capacity,
                                      size_t *needed,
                                      struct rmech_error *error);

/* ---- The whole operation -------------------------------------------------------------------------------------------
 * The site's ropes, frame, anchors, winch and battery, solved at places along the travel by all topics above; what may fail,
 * and by how much each limit is passed. Assumed: one vertical plane outward of the head. Bands say what isn't exactly known.
 * CAUTION. An aid for planning: a certified safety function it is not.
 *
 *     // site, bytes: a site file as JSON
 *     rmech_operation_options options = RMECH_INIT(rmech_operation_options);
 *     options.most_positions = 1000;
 *     rmech_operation *operation = NULL;
 *     const char *study = NULL;
 *     size_t study_bytes = 0;
 *     int32_t status = rmech_operation_create(site, bytes, &options, &operation, &error);
 *     if (status == RMECH_OK) status = rmech_operation_json(operation, &study, &study_bytes, &error);
 *     if (status == RMECH_OK) printf("%s\n", strncmp(study, "{\"format\"", 9) == 0 ? "a study" : "?"); // a study
 *     rmech_operation_destroy(operation);
 */

// A site that was studied. What a controller reads of it stands in the next topic.
typedef struct rmech_operation rmech_operation;

// How far a study has come, and whether to stop it: while `rmech_operation_create` runs, another thread may read `done` and
// `of` and set `cancel`, each by one atomic access of 32 bits. Start it from zeros.
typedef struct rmech_operation_progress {
  // Written: how many positions are done.
  uint32_t done;
  // Written: of how many; zero until the first is done.
  uint32_t of;
  // Read before the first position and after each: anything but zero ends the study with `RMECH_ERR_CANCELLED`.
  uint32_t cancel;
} rmech_operation_progress;

// How long a study may take.
typedef struct rmech_operation_options {
  // sizeof(rmech_operation_options); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // A site with more positions is refused with `RMECH_ERR_BUDGET` once the first is done; zero for any number. A position
  // takes about as long as another one. Where the site has `doubt`, each of its samples counts as one, and too many are
  // refused once the first of them is drawn.
  uint64_t most_positions;
  // How far it has come, and whether to stop; NULL for neither.
  struct rmech_operation_progress *progress;
} rmech_operation_options;

// Studies a site: JSON in UTF-8 of `site_bytes` bytes, with the keys of a site file (schemas/site.schema.json). Read the study with
// `rmech_operation_json`, and destroy it with `rmech_operation_destroy`. `options` may be NULL.
//
// The time grows with the number of positions, travel.positions (10 to 20000, 200 unless given) and one over each corner of
// the ground. Other limits: 10000 points of ground, 8 guys, 6 redirects of the haul rope.
//
// A key that is unknown or unreadable gives `RMECH_ERR_TEXT`; one that makes the rig impossible,
// `RMECH_ERR_GEOMETRY`: `error->field` names it, as in `track.rope.mass` or `ground[3]`. A missing key gives
// `RMECH_ERR_TEXT`, too, and the message says what the key holds. No file is opened: `kit` holds the kit itself, and
// a fault in it is named by its path there, as in `ropes.red.mass`. Each `variant` is studied, too, and adds its positions.
// Cost: heap; grows with the positions; see most_positions and cancel for what stops it.
RMECH_NODISCARD
int32_t rmech_operation_create(const char *site,
                               size_t site_bytes,
                               const struct rmech_operation_options *options,
                               struct rmech_operation **operation,
                               struct rmech_error *error);

// The study as JSON in UTF-8, as `study.json` holds it: `bytes` of them, and a NUL behind. The text belongs to the handle,
// and is gone with it. The same site gives the same bytes.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_operation_json(const struct rmech_operation *operation,
                             const char **json,
                             size_t *bytes,
                             struct rmech_error *error);

// The format of a study that was kept as a file or came from elsewhere: JSON in UTF-8 of `bytes` bytes. Ask for it before
// reading more. One that this version doesn't know gives `RMECH_ERR_TEXT` with `format` in `error->field`, and the message holds
// the one found and the one read. Of the study nothing is looked at but `format`, `title` and `version`, each of which must stand
// there.
// Cost: heap; one pass over the text.
RMECH_NODISCARD
int32_t rmech_operation_format(const char *study,
                               size_t bytes,
                               uint32_t *format,
                               struct rmech_error *error);

// Destroys a study; NULL is fine.
// Cost: heap; one pass over what is given or freed.
void rmech_operation_destroy(struct rmech_operation *operation);

// The study of a site in one call, into a buffer of the caller. `rmech_operation_create` does the same, computes only
// once, and can be stopped. Both texts are JSON in UTF-8, the study NUL-terminated.
//
// `needed` always takes the number of bytes that the study needs, its NUL included. With `capacity` 0 (`study`
// may then be NULL) that is all: the size query, which returns `RMECH_OK`. A buffer that is too small gives
// `RMECH_ERR_CAPACITY`, with `needed` written and `study` untouched. Errors as of `rmech_operation_create`.
// Cost: heap; grows with the positions; see most_positions and cancel for what stops it.
RMECH_NODISCARD
int32_t rmech_operation_study(const char *site,
                              size_t site_bytes,
                              char *study,
                              size_t capacity,
                              size_t *needed,
                              struct rmech_error *error);

/* ---- What a study tells a controller -------------------------------------------------------------------------------
 * Read from a study; nothing is computed here. A setting is a length of each strand of the track, unstretched, with all that
 * it shows: readings of the load cell by what the capstan did last, sags, heights. A window: the lengths that keep every
 * limit with the load at one place. A mark comes in over the head with every mark_spacing of haul rope.
 * Assumed: as the study; the capstan turns only while the load stands. With a no-go there is no set-point, and no mark.
 * CAUTION. A band is what friction and the stated procedure explain. A reading inside it is no proof that all is well.
 *
 *     // operation: of the topic above
 *     rmech_schedule schedule = RMECH_INIT(rmech_schedule);
 *     rmech_haul_mark mark = RMECH_INIT(rmech_haul_mark);
 *     if (status == RMECH_OK) status = rmech_operation_schedule(operation, &schedule, &error);
 *     for (uint32_t i = 0; status == RMECH_OK && i < schedule.mark_count; i++) {
 *         status = rmech_operation_mark(operation, i, &mark, &error);
 *         // watch the cell for mark.stop_above_reading until this mark comes in
 *     }
 *     if (status == RMECH_OK) printf("%s\n", schedule.mark_count == mark.mark ? "every mark read" : "?"); // every mark read
 */

// No warning.
#define RMECH_VERDICT_GO 1

// Something that the crew has to do, or to keep to, on the spot: `verdict.go_with` of the study.
#define RMECH_VERDICT_GO_WITH 2

// A limit is passed, or the numbers don't hold for this rig.
#define RMECH_VERDICT_NO_GO 3

// One setting keeps every limit on the whole travel.
#define RMECH_SCHEDULE_ONE_SETTING 1

// The rope has to be set anew on the way.
#define RMECH_SCHEDULE_MOVES 2

// On some stretch no length keeps every limit.
#define RMECH_SCHEDULE_NO_LENGTH 3

// Something is wrong that no length of rope mends: see the study's warnings.
#define RMECH_SCHEDULE_NO_GO 4

// The litter hangs lower than its margin where it is to float.
#define RMECH_LIMIT_LITTER_LOW 1

// The litter hangs higher than it may.
#define RMECH_LIMIT_LITTER_HIGH 2

// A part, `component` of the study, has less than its factor.
#define RMECH_LIMIT_FACTOR 3

// The load cell may show more than its limit.
#define RMECH_LIMIT_READING 4

// The capstan would have to pull more than it is rated for.
#define RMECH_LIMIT_CAPSTAN_PULL 5

// The capstan's tail takes more than its limit.
#define RMECH_LIMIT_CAPSTAN_TAIL 6

// The frame is nearer to tipping than it may be.
#define RMECH_LIMIT_FRAME_MARGIN 7

// The frame falls.
#define RMECH_LIMIT_FRAME_FALLS 8

// The winch would have to pull more than it is rated for.
#define RMECH_LIMIT_WINCH_PULL 9

// The winch draws more than its limit.
#define RMECH_LIMIT_WINCH_CURRENT 10

// The track rope hangs below the ground.
#define RMECH_LIMIT_TRACK_ON_GROUND 11

// The strands are longer than the rope on hand allows.
#define RMECH_LIMIT_ROPE_TOO_SHORT 12

// Even the carriage lies on the ground.
#define RMECH_LIMIT_CARRIAGE_ON_GROUND 13

// No balance was found.
#define RMECH_LIMIT_NO_BALANCE 14

// A limit that this version of the header doesn't know.
#define RMECH_LIMIT_OTHER 99

// By less than 1 % either way on the way to the next mark.
#define RMECH_TREND_STEADY 0

// By more than 1 %.
#define RMECH_TREND_RISES 1

// By more than 1 %.
#define RMECH_TREND_FALLS -1

// The site's own setting has a set-point: the verdict on it is not no-go.
#define RMECH_SCHEDULE_HAS_SET_POINT 1

// `reading_limit` holds one.
#define RMECH_SCHEDULE_HAS_READING_LIMIT 2

// `current_limit` holds one.
#define RMECH_SCHEDULE_HAS_CURRENT_LIMIT 4

// `shorter_passes` holds what a shorter strand passes.
#define RMECH_SETTING_HAS_SHORTER 1

// `longer_passes` holds what a longer strand passes.
#define RMECH_SETTING_HAS_LONGER 2

// There is a setting before, and the members of the change hold how to come from it.
#define RMECH_SETTING_HAS_CHANGE 4

// `reading_loose` holds a reading.
#define RMECH_SETTING_HAS_LOOSE 8

// `reading_tight` holds a reading.
#define RMECH_SETTING_HAS_TIGHT 16

// The current's band is known: the winch can pull so hard.
#define RMECH_MARK_HAS_CURRENT 1

// `stop_above_current` holds a current.
#define RMECH_MARK_HAS_STOP_CURRENT 2

// What the schedule of a study comes to, and how much it holds. Positions are those of the study.
typedef struct rmech_schedule {
  // sizeof(rmech_schedule); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Bits `RMECH_SCHEDULE_HAS_...`.
  int32_t known;
  // One of `RMECH_VERDICT_...`, on the site's own setting.
  int32_t verdict;
  // One of `RMECH_SCHEDULE_...`, on the fewest settings.
  int32_t outcome;
  // Whether the doubt on the inputs was counted in.
  int32_t in_doubt;
  // How many settings would do if each length could be set exactly.
  uint32_t fewest_if_exact;
  // For `rmech_operation_setting`.
  uint32_t setting_count;
  // For `rmech_operation_place`.
  uint32_t place_count;
  // For `rmech_operation_no_length`.
  uint32_t no_length_count;
  // For `rmech_operation_mark`.
  uint32_t mark_count;
  // For `rmech_operation_seen`.
  uint32_t position_count;
  // Whether the site gives the distance of the marks.
  int32_t marks_given;
  // Distance between the marks on the haul rope.
  struct rmech_length mark_spacing;
  // Of the edge of the slope, from which slope distances are measured, in the site's own level distances.
  struct rmech_length edge_x;
  // Its height in the site.
  struct rmech_length edge_z;
  // Greatest reading that the site allows.
  struct rmech_force reading_limit;
  // Greatest current that it allows.
  struct rmech_current current_limit;
} rmech_schedule;

// A force to expect, and what it lies between.
typedef struct rmech_expected_force {
  // At least this.
  struct rmech_force low;
  // The best estimate.
  struct rmech_force expected;
  // At most this.
  struct rmech_force high;
} rmech_expected_force;

// What the load cell shows of one rope, by what the capstan did last.
typedef struct rmech_cell_readings {
  // While it takes in, and just after.
  struct rmech_force taking_in;
  // While it eases, and just after.
  struct rmech_force easing;
  // At rest after anything else: the band that friction may leave.
  struct rmech_expected_force at_rest;
} rmech_cell_readings;

// One length of track rope by all that it can be set to or checked by, without its load.
typedef struct rmech_set_point {
  // sizeof(rmech_set_point); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // With the load on at so many places: `rmech_operation_set_point_line`, `rmech_operation_setting_line`.
  uint32_t line_count;
  // Of each strand between head and far sheave, unstretched, locked without load.
  struct rmech_length strand;
  // Both strands and what lies behind the head, unstretched: what the capstan takes in shortens this.
  struct rmech_length rope_in_line;
  // The strand that pulls as much as this one does after it has relaxed in the first minutes.
  struct rmech_length relaxed_strand;
  // What the load cell shows.
  struct rmech_cell_readings reading;
  // What it shows ten minutes after the rope was taken in and locked.
  struct rmech_expected_force reading_after_minutes;
  // Tension of each strand at the head.
  struct rmech_force strand_tension_head;
  // What the capstan pulls while it takes in.
  struct rmech_force capstan_pull;
  // Greatest vertical distance below the chord.
  struct rmech_length sag;
} rmech_set_point;

// The track rope with its load hauled to a place.
typedef struct rmech_loaded_line {
  // sizeof(rmech_loaded_line); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Index in the study's positions.
  uint32_t position;
  // What the load cell shows.
  struct rmech_cell_readings reading;
  // Tension of each strand at the head.
  struct rmech_force strand_tension_head;
  // What the capstan pulls while it takes in.
  struct rmech_force capstan_pull;
  // Height of the litter's underside, hauled,
  struct rmech_length litter_height;
  // and the least of hauled, at rest and lowered.
  struct rmech_length least_litter_height;
  // The carriage below the chord of the track.
  struct rmech_length sag;
  // Pull of the haul rope at the carriage.
  struct rmech_force haul_pull;
} rmech_loaded_line;

// How a limit is kept at one place, with one length of rope.
typedef struct rmech_kept {
  // One of `RMECH_LIMIT_...`; zero where there is none.
  int32_t kind;
  // Index in the study's components, of `RMECH_LIMIT_FACTOR`; else -1.
  int32_t component;
  // Whether there are a value and what is allowed: not for a frame that falls.
  int32_t has_value;
  // Zero.
  int32_t reserved;
  // At its worst, in the SI unit of its kind: metres, newtons, amperes, radians; a factor is a plain number.
  double value;
  // What is allowed, in the same.
  double allowed;
  // By how much it is kept, as a share of what is allowed, or in metres for a height; negative where it is passed.
  double slack;
} rmech_kept;

// One setting of the track rope and the positions that it serves.
typedef struct rmech_track_setting {
  // sizeof(rmech_track_setting); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Bits `RMECH_SETTING_HAS_...`; the readings are always known.
  int32_t known;
  // The first position that it serves; -1 for a setting that is made before the load is on.
  int32_t from;
  // The last.
  int32_t to;
  // Whether a crew that sets its reading to within 3 % stays inside.
  int32_t can_be_set;
  // Whether its readings are closer together than what friction may leave: then take in last, or they say nothing.
  int32_t narrower_than_friction;
  // Whether the rope still keeps every limit when it has relaxed in its first minutes; else take it in again then.
  int32_t holds_relaxed;
  // The position at which to stop for the change to it.
  int32_t stop;
  // Whether both settings keep every limit there.
  int32_t both_hold;
  // The position of `shorter_passes`; -1 before the load is on.
  int32_t shorter_at;
  // The position of `longer_passes`; -1 before the load is on.
  int32_t longer_at;
  // Zero.
  int32_t reserved;
  // The lengths of each strand that keep every limit at all of its positions: from this
  struct rmech_length shortest;
  // to this.
  struct rmech_length longest;
  // Reading of the empty line, the capstan taking in, at the longest strand,
  struct rmech_force reading_loose;
  // and at the shortest.
  struct rmech_force reading_tight;
  // Rope to take in at the capstan for the change; negative for rope to let out.
  struct rmech_length take_in;
  // What the load cell shows before the capstan turns, if it was taken in last. After: the line of `stop`.
  struct rmech_force reading_before;
  // What a shorter strand passes.
  struct rmech_kept shorter_passes;
  // What a longer one passes.
  struct rmech_kept longer_passes;
} rmech_track_setting;

// A place for which the lengths that keep every limit were found: without load first, then along the travel.
typedef struct rmech_schedule_place {
  // sizeof(rmech_schedule_place); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Index in the study's positions; -1 before the load is on.
  int32_t position;
  // For `rmech_operation_window`; with none, two limits clash.
  uint32_t window_count;
  // Whether the members below hold a clash.
  int32_t has_clash;
  // The strand whose worst limit is passed by least.
  struct rmech_length clash_strand;
  // The limit passed on the side of a shorter strand,
  struct rmech_kept clash_shorter;
  // and on that of a longer one. Where it is the same limit, no length of rope helps against it.
  struct rmech_kept clash_longer;
} rmech_schedule_place;

// An interval of lengths of each strand that keeps every limit at one place.
typedef struct rmech_strand_window {
  // sizeof(rmech_strand_window); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Bits `RMECH_SETTING_HAS_...`, but for a change.
  int32_t known;
  // The shortest strand, unstretched, as it is locked without load.
  struct rmech_length shortest;
  // The longest.
  struct rmech_length longest;
  // Reading of the empty line, the capstan taking in, at the longest strand,
  struct rmech_force reading_loose;
  // and at the shortest.
  struct rmech_force reading_tight;
  // What a shorter strand passes.
  struct rmech_kept shorter_passes;
  // What a longer one passes.
  struct rmech_kept longer_passes;
} rmech_strand_window;

// A stretch of the travel on which no length of rope keeps every limit.
typedef struct rmech_no_length {
  // sizeof(rmech_no_length); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // From this position; -1 before the load is on,
  int32_t from;
  // to this.
  int32_t to;
  // Where the best length passes most.
  int32_t at;
  // The strand whose worst limit is passed by least there.
  struct rmech_length strand;
  // The limit passed on the side of a shorter strand,
  struct rmech_kept shorter;
  // and on that of a longer one.
  struct rmech_kept longer;
} rmech_no_length;

// A current to expect, and what it lies between.
typedef struct rmech_expected_current {
  // At least this.
  struct rmech_current low;
  // The best estimate.
  struct rmech_current expected;
  // At most this.
  struct rmech_current high;
} rmech_expected_current;

// A mark on the haul rope as it comes in over the head, what to expect then, and where to stop.
typedef struct rmech_haul_mark {
  // sizeof(rmech_haul_mark); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Bits `RMECH_MARK_HAS_...`.
  int32_t known;
  // Counted from 1.
  uint32_t mark;
  // How the reading goes on to the next mark: one of `RMECH_TREND_...`,
  int32_t reading_goes_on;
  // and the current.
  int32_t current_goes_on;
  // Zero.
  int32_t reserved;
  // Haul rope that has come in past the head since the start.
  struct rmech_length rope_taken_in;
  // Rope that the winch has taken in, through its tackle.
  struct rmech_length winch_rope;
  // Where the carriage is: its level distance in the site,
  struct rmech_length carriage_x;
  // and its height.
  struct rmech_length carriage_z;
  // Straight from the edge of the slope to the point of the ground below the carriage.
  struct rmech_length slope_distance;
  // Height of the litter's underside, hauled.
  struct rmech_length litter_height;
  // What the load cell is to show.
  struct rmech_expected_force reading;
  // The pull at the winch, over what its turns may lose.
  struct rmech_expected_force winch_pull;
  // The winch's current at these pulls.
  struct rmech_expected_current current;
  // Stop when the load cell shows more: the limit, or all that friction explains there, whichever is less.
  struct rmech_force stop_above_reading;
  // Stop when the winch draws more: the limit, or the high end of what is expected, whichever is less.
  struct rmech_current stop_above_current;
} rmech_haul_mark;

// A position as it can be seen without a survey.
typedef struct rmech_seen {
  // sizeof(rmech_seen); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // Zero.
  uint32_t flags;
  // Haul rope that has come in past the head since the start.
  struct rmech_length rope_taken_in;
  // The same in marks on the haul rope: 2.5 lies half-way between the second and the third.
  struct rmech_ratio marks;
  // Straight from the edge of the slope to the point of the ground below the carriage.
  struct rmech_length slope_distance;
} rmech_seen;

// What the schedule of a study comes to, and how many of each list it holds.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_operation_schedule(const struct rmech_operation *operation,
                                 struct rmech_schedule *schedule,
                                 struct rmech_error *error);

// The setting that the site asks for, by all that it shows without its load. With a no-go there is none:
// `RMECH_ERR_GEOMETRY`.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_operation_set_point(const struct rmech_operation *operation,
                                  struct rmech_set_point *set_point,
                                  struct rmech_error *error);

// The same with its load on at one of its places, counted from 0: the first and the last position.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_operation_set_point_line(const struct rmech_operation *operation,
                                       size_t number,
                                       struct rmech_loaded_line *line,
                                       struct rmech_error *error);

// One of the fewest settings, counted from 0 in the order of the travel, and what to set for it. `set_point` may be NULL.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_operation_setting(const struct rmech_operation *operation,
                                size_t number,
                                struct rmech_track_setting *setting,
                                struct rmech_set_point *set_point,
                                struct rmech_error *error);

// A setting with its load on at one of the places of its set-point: its first and last position, and its stop.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_operation_setting_line(const struct rmech_operation *operation,
                                     size_t setting,
                                     size_t number,
                                     struct rmech_loaded_line *line,
                                     struct rmech_error *error);

// A place whose windows were found, counted from 0.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_operation_place(const struct rmech_operation *operation,
                              size_t number,
                              struct rmech_schedule_place *place,
                              struct rmech_error *error);

// A window of a place, both counted from 0, the shortest strand first; several where a litter may drag.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_operation_window(const struct rmech_operation *operation,
                               size_t place,
                               size_t number,
                               struct rmech_strand_window *window,
                               struct rmech_error *error);

// A stretch on which no length keeps every limit, counted from 0.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_operation_no_length(const struct rmech_operation *operation,
                                  size_t number,
                                  struct rmech_no_length *no_length,
                                  struct rmech_error *error);

// A mark on the haul rope, counted from 0 in the order in which they come in.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_operation_mark(const struct rmech_operation *operation,
                             size_t number,
                             struct rmech_haul_mark *mark,
                             struct rmech_error *error);

// A position of the study as it can be seen, counted from 0.
// Cost: heap; read from the handle, nothing is computed.
RMECH_NODISCARD
int32_t rmech_operation_seen(const struct rmech_operation *operation,
                             size_t number,
                             struct rmech_seen *seen,
                             struct rmech_error *error);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* ROPE_MECHANICS_H */
