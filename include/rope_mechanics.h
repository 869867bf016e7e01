/* rope_mechanics.h - the C interface of rope-mechanics. Generated from rope-ffi; don't edit.
 *
 * CAUTION. An aid for planning and training by qualified people. It is not a certified safety function and
 * must never be the only limit on a load. The inputs, the inspection and the equipment are the user's; results
 * are estimates, good to about +-15 % in tension where nothing was measured. Local codes, makers' instructions
 * and the authority having jurisdiction come first.
 *
 * Every function returns a status: RMECH_OK, or one of RMECH_ERR_..., with the outputs untouched. `error` may be
 * NULL. Include rope_mechanics_units.h to build quantities: rmech_lbf(930.0), rmech_ft(280.0).
 */

#ifndef ROPE_MECHANICS_H
#define ROPE_MECHANICS_H

#include <stdint.h>
#include <stddef.h>

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

// No equilibrium exists for these inputs. The message says which of them makes it impossible.
#define RMECH_ERR_GEOMETRY 100

// A solver did not reach its promised residual.
#define RMECH_ERR_UNSOLVED 200

// A caller's buffer is too small. The size query tells what is needed.
#define RMECH_ERR_CAPACITY 300

// A fault of the library itself, caught at its boundary. Please report it.
#define RMECH_ERR_INTERNAL 900

// A force.
typedef struct rmech_force {
  // In newtons.
  double newtons;
} rmech_force;

// How the tension of a rope grows with its strain: T = a·ε + b·ε².
typedef struct rmech_stretch {
  // The axial stiffness without load, EA: above zero.
  struct rmech_force a;
  // How it stiffens: zero for a linear rope, else above zero.
  struct rmech_force b;
} rmech_stretch;

// A plain ratio: an efficiency, a coefficient of friction, a strain.
typedef struct rmech_ratio {
  // As a fraction: 0.02, not 2.
  double fraction;
} rmech_ratio;

// The detail of a failure, owned by the caller.
typedef struct rmech_error {
  // sizeof(rmech_error); set it with `rmech_init` or `RMECH_INIT`.
  uint32_t struct_size;
  // The status returned.
  int32_t status;
  // The value at fault, in SI; zero if none is.
  double value;
  // The least value allowed, in SI; −infinity if there is none.
  double lowest;
  // The greatest value allowed, in SI; infinity if there is none.
  double highest;
  // The field at fault, NUL-terminated; empty if none is.
  char field[64];
  // A sentence, NUL-terminated, in UTF-8.
  char message[256];
} rmech_error;

// An angle.
typedef struct rmech_angle {
  // In radians.
  double radians;
} rmech_angle;

// The ratio of the tensions at the two ends of a turn, pulling side by load's side.
typedef struct rmech_band {
  // While the load comes: at least 1.
  struct rmech_ratio hauling;
  // While the load goes: at most 1. At rest the ratio is anywhere between.
  struct rmech_ratio lowering;
} rmech_band;

// A length.
typedef struct rmech_length {
  // In metres.
  double metres;
} rmech_length;

// A mass.
typedef struct rmech_mass {
  // In kilograms.
  double kilograms;
} rmech_mass;

// A mass per metre of unstretched line.
typedef struct rmech_line_mass {
  // In kilograms per metre.
  double kilograms_per_metre;
} rmech_line_mass;

// A force per metre: the weight of a line, or a stiffness.
typedef struct rmech_line_weight {
  // In newtons per metre.
  double newtons_per_metre;
} rmech_line_weight;

// A speed.
typedef struct rmech_velocity {
  // In metres per second.
  double metres_per_second;
} rmech_velocity;

// A time.
typedef struct rmech_time {
  // In seconds.
  double seconds;
} rmech_time;

// An energy.
typedef struct rmech_energy {
  // In joules.
  double joules;
} rmech_energy;

// A power.
typedef struct rmech_power {
  // In watts.
  double watts;
} rmech_power;

// A torque.
typedef struct rmech_torque {
  // In newton metres.
  double newton_metres;
} rmech_torque;

// An electric current.
typedef struct rmech_current {
  // In amperes.
  double amperes;
} rmech_current;

// A voltage.
typedef struct rmech_voltage {
  // In volts.
  double volts;
} rmech_voltage;

// An electrical resistance.
typedef struct rmech_resistance {
  // In ohms.
  double ohms;
} rmech_resistance;

// An electric charge.
typedef struct rmech_charge {
  // In coulombs: 3600 to the ampere hour.
  double coulombs;
} rmech_charge;

// The torque of a motor per ampere.
typedef struct rmech_motor_constant {
  // In newton metres per ampere, which is volt seconds per radian.
  double newton_metres_per_ampere;
} rmech_motor_constant;

// A turning speed.
typedef struct rmech_turning_speed {
  // In radians per second.
  double radians_per_second;
} rmech_turning_speed;

// A temperature.
typedef struct rmech_temperature {
  // In kelvin: degrees Celsius plus 273.15.
  double kelvin;
} rmech_temperature;

// An area.
typedef struct rmech_area {
  // In square metres.
  double square_metres;
} rmech_area;

// A point in space: x level outward from the head, y level to the left of somebody who looks out, z up.
typedef struct rmech_point {
  // Level, outward.
  struct rmech_length x;
  // Level, to the left.
  struct rmech_length y;
  // Up.
  struct rmech_length z;
} rmech_point;

// A force in space, in the axes of `rmech_point`.
typedef struct rmech_force3 {
  // Level, outward.
  struct rmech_force x;
  // Level, to the left.
  struct rmech_force y;
  // Up.
  struct rmech_force z;
} rmech_force3;

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

// A sentence for a status, in static memory.
const char *rmech_status_text(int32_t status);

// Fills a struct that begins with `struct_size` with zeros and sets that size.
//
// `size` is the sizeof the struct.
int32_t rmech_init(void *structure, uint32_t size);

// Strain under a tension.
//
// Formula and range: `rope_mechanics::rope::Stretch` in the library's documentation.
int32_t rmech_stretch_strain(const struct rmech_stretch *stretch,
                             const struct rmech_force *tension,
                             struct rmech_ratio *strain,
                             struct rmech_error *error);

// Tension under a strain.
//
// Formula and range: `rope_mechanics::rope::Stretch` in the library's documentation.
int32_t rmech_stretch_tension(const struct rmech_stretch *stretch,
                              const struct rmech_ratio *strain,
                              struct rmech_force *tension,
                              struct rmech_error *error);

// Ratio of the tensions over a sheave that passes `efficiency` of the tension over half a turn.
//
// Source and range: `rope_mechanics::sheave::Turn` in the library's documentation.
int32_t rmech_sheave_band(const struct rmech_ratio *efficiency,
                          const struct rmech_angle *turn,
                          struct rmech_band *band,
                          struct rmech_error *error);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* ROPE_MECHANICS_H */
