/* rope_mechanics_units.h - builds and reads the quantities of rope_mechanics.h, inline.
 *
 *     rmech_force pull = rmech_lbf(740.0);
 *     printf("%.2f kN\n", rmech_in_kn(pull));
 *
 * Nothing here crosses the library's boundary: each function is compiled into the caller.
 * The foot is 0.3048 m, the pound 0.45359237 kg, the pound-force that times 9.80665 m/s2: all exact.
 */
#ifndef ROPE_MECHANICS_UNITS_H
#define ROPE_MECHANICS_UNITS_H

#include "rope_mechanics.h"

/* Zeros, and the size set: what a struct that begins with struct_size starts from. */
#ifdef __cplusplus
extern "C++" {
template <typename T> inline T rmech_init_value() {
    T value = T();
    value.struct_size = static_cast<uint32_t>(sizeof(T));
    return value;
}
}
#define RMECH_INIT(type) rmech_init_value<type>()
#else
#define RMECH_INIT(type) { .struct_size = (uint32_t)sizeof(type) }
#endif

/* RMECH_OK if the library that runs serves this header, else RMECH_ERR_VERSION and a message: see rmech_check_version. */
#define RMECH_CHECK_VERSION(error)                                                                             \
    rmech_check_version(RMECH_ABI_VERSION, RMECH_VERSION_MAJOR, RMECH_VERSION_MINOR, (error))

/* Defines a function that builds a quantity from a unit, and one that reads it in that unit. */
#define RMECH_UNIT(quantity, member, build, read, size)                                                        \
    static inline quantity build(double value) {                                                               \
        quantity q;                                                                                            \
        q.member = value * (size);                                                                             \
        return q;                                                                                              \
    }                                                                                                          \
    static inline double read(quantity q) { return q.member / (size); }

RMECH_UNIT(rmech_length, metres, rmech_m, rmech_in_m, 1.0)
RMECH_UNIT(rmech_length, metres, rmech_mm, rmech_in_mm, 1e-3)
RMECH_UNIT(rmech_length, metres, rmech_ft, rmech_in_ft, 0.3048)
RMECH_UNIT(rmech_length, metres, rmech_inch, rmech_in_inch, 0.0254)
RMECH_UNIT(rmech_force, newtons, rmech_n, rmech_in_n, 1.0)
RMECH_UNIT(rmech_force, newtons, rmech_kn, rmech_in_kn, 1e3)
RMECH_UNIT(rmech_force, newtons, rmech_lbf, rmech_in_lbf, 4.4482216152605)
RMECH_UNIT(rmech_mass, kilograms, rmech_kg, rmech_in_kg, 1.0)
RMECH_UNIT(rmech_mass, kilograms, rmech_lb, rmech_in_lb, 0.45359237)
RMECH_UNIT(rmech_line_mass, kilograms_per_metre, rmech_kg_per_m, rmech_in_kg_per_m, 1.0)
RMECH_UNIT(rmech_line_mass, kilograms_per_metre, rmech_g_per_m, rmech_in_g_per_m, 1e-3)
RMECH_UNIT(rmech_line_weight, newtons_per_metre, rmech_n_per_m, rmech_in_n_per_m, 1.0)
RMECH_UNIT(rmech_stiffness, newtons_per_metre, rmech_kn_per_m, rmech_in_kn_per_m, 1e3)
RMECH_UNIT(rmech_angle, radians, rmech_rad, rmech_in_rad, 1.0)
RMECH_UNIT(rmech_angle, radians, rmech_deg, rmech_in_deg, 0.017453292519943295)
RMECH_UNIT(rmech_ratio, fraction, rmech_fraction, rmech_in_fraction, 1.0)
RMECH_UNIT(rmech_ratio, fraction, rmech_percent, rmech_in_percent, 1e-2)
RMECH_UNIT(rmech_velocity, metres_per_second, rmech_m_per_s, rmech_in_m_per_s, 1.0)
RMECH_UNIT(rmech_velocity, metres_per_second, rmech_ft_per_min, rmech_in_ft_per_min, 0.00508)
RMECH_UNIT(rmech_time, seconds, rmech_s, rmech_in_s, 1.0)
RMECH_UNIT(rmech_time, seconds, rmech_min, rmech_in_min, 60.0)
RMECH_UNIT(rmech_time, seconds, rmech_h, rmech_in_h, 3600.0)
RMECH_UNIT(rmech_energy, joules, rmech_j, rmech_in_j, 1.0)
RMECH_UNIT(rmech_energy, joules, rmech_kj, rmech_in_kj, 1e3)
RMECH_UNIT(rmech_power, watts, rmech_w, rmech_in_w, 1.0)
RMECH_UNIT(rmech_torque, newton_metres, rmech_n_m, rmech_in_n_m, 1.0)
RMECH_UNIT(rmech_current, amperes, rmech_a, rmech_in_a, 1.0)
RMECH_UNIT(rmech_voltage, volts, rmech_v, rmech_in_v, 1.0)
RMECH_UNIT(rmech_resistance, ohms, rmech_ohm, rmech_in_ohm, 1.0)
RMECH_UNIT(rmech_resistance, ohms, rmech_mohm, rmech_in_mohm, 1e-3)
RMECH_UNIT(rmech_charge, coulombs, rmech_ah, rmech_in_ah, 3600.0)
RMECH_UNIT(rmech_motor_constant, newton_metres_per_ampere, rmech_n_m_per_a, rmech_in_n_m_per_a, 1.0)
RMECH_UNIT(rmech_turning_speed, radians_per_second, rmech_rad_per_s, rmech_in_rad_per_s, 1.0)
RMECH_UNIT(rmech_turning_speed, radians_per_second, rmech_rpm, rmech_in_rpm, 0.10471975511965977)
RMECH_UNIT(rmech_area, square_metres, rmech_mm2, rmech_in_mm2, 1e-6)
RMECH_UNIT(rmech_temperature_interval, kelvin, rmech_kelvin, rmech_in_kelvin, 1.0)
RMECH_UNIT(rmech_heat_capacity, joules_per_kelvin, rmech_j_per_k, rmech_in_j_per_k, 1.0)
RMECH_UNIT(rmech_thermal_resistance, kelvin_per_watt, rmech_k_per_w, rmech_in_k_per_w, 1.0)
RMECH_UNIT(rmech_current_squared_time, ampere_squared_seconds, rmech_a2s, rmech_in_a2s, 1.0)
RMECH_UNIT(rmech_force_rate, newtons_per_second, rmech_n_per_s, rmech_in_n_per_s, 1.0)
RMECH_UNIT(rmech_pressure, pascals, rmech_pa, rmech_in_pa, 1.0)
RMECH_UNIT(rmech_pressure, pascals, rmech_kpa, rmech_in_kpa, 1e3)

#undef RMECH_UNIT

static inline rmech_temperature rmech_celsius(double value) {
    rmech_temperature t;
    t.kelvin = value + 273.15;
    return t;
}
static inline double rmech_in_celsius(rmech_temperature t) { return t.kelvin - 273.15; }

#endif
