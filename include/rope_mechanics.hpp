/* rope_mechanics.hpp - rope_mechanics.h for C++17 and later: header-only, over the C library. Generated; don't edit.
 *
 * CAUTION. An aid for planning and training by qualified people. It is not a certified safety function and
 * must never be the only limit on a load. The inputs, the inspection and the equipment are the user's; results
 * are estimates, good to about +-15 % in tension where nothing was measured. Local codes, makers' instructions
 * and the authority having jurisdiction come first.
 *
 *     using namespace rope_mechanics::literals;
 *     rope_mechanics::line line;
 *     line.span = 52_m;
 *     line.rise = -102_ft;
 *     line.length = 60_m;
 *     line.weight = 1.804_n_per_m;
 *     line.stretch.a = 124_kn;
 *     auto state = rope_mechanics::line_solve(line);
 *     if (!state) std::puts(state.error().message());
 *     else std::printf("%.0f lbf\n", state->first_tension.in(rope_mechanics::units::lbf));
 *
 * The contract is that of rope_mechanics.h, and so are the numbers, to the last bit. What differs:
 *
 * Quantities. length, force, mass, ... are types of their own: a double in SI that only comes from a literal (875_lbf), a
 *   unit (rope_mechanics::units::ft * x) or from_si, and is read by .in(unit) or .si(). They add to their own kind, and
 *   multiply where physics does: 3_m_per_s * 2_s is a length, 3_m + 2_s doesn't compile. Energy and torque are two kinds.
 * Structs. The C structs under their names without rmech_, zeros and their size already set. A pointer with its count is
 *   one array_view, which a std::vector or std::array converts to; it owns nothing.
 * Functions. Inputs by value, arrays as array_view, and a result for what comes out: has_value(), *, ->, error(), value()
 *   (which throws). It is std::expected<T, failure> where the library has that, else a type with the same members. A
 *   function with several outputs returns a struct of them; one that fills an array, a std::vector.
 * Handles. rig, rig_solution, rig_response and operation own theirs: they move and don't copy, and destroy it at their end.
 *   A handle that was moved from is empty: a call by it fails with RMECH_ERR_POINTER.
 * Memory. Vectors and strings are allocated here, in the caller. Enumerators are the constants of the C header.
 */
#ifndef ROPE_MECHANICS_HPP
#define ROPE_MECHANICS_HPP

#include "rope_mechanics.h"
#include "rope_mechanics_units.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>
#if __has_include(<version>)
#include <version>
#endif
#if defined(__cpp_lib_expected)
#include <expected>
#endif

namespace rope_mechanics {

/* ---- What a call that fails returns ---- */

/// Why a call failed: the detail of rmech_error.
class failure {
public:
    explicit failure(const rmech_error &detail) noexcept : detail_(detail) {}

    /// One of RMECH_ERR_...
    std::int32_t status() const noexcept { return detail_.status; }
    /// The input at fault by its path, as in "stretch.a"; empty if none is.
    const char *field() const noexcept { return detail_.field; }
    /// A sentence with the value and what is allowed.
    const char *message() const noexcept { return detail_.message; }
    /// Everything, with the value at fault and its range.
    const rmech_error &detail() const noexcept { return detail_; }

private:
    rmech_error detail_;
};

#if defined(__cpp_lib_expected)
template <class T> using result = std::expected<T, failure>;
using unexpected = std::unexpected<failure>;
using bad_result = std::bad_expected_access<failure>;
#else
/// A failure on its way into a result.
class unexpected {
public:
    explicit unexpected(const failure &why) : why_(why) {}
    const failure &error() const noexcept { return why_; }

private:
    failure why_;
};

/// What value() throws.
class bad_result : public std::exception {
public:
    explicit bad_result(const failure &why) : why_(why) {}
    const char *what() const noexcept override { return why_.message(); }
    const failure &error() const noexcept { return why_; }

private:
    failure why_;
};

/// A value, or why there is none: as much of std::expected as there is use for.
template <class T> class result {
public:
    using value_type = T;
    result(T value) : held_(std::in_place_index<0>, std::move(value)) {}
    result(const unexpected &why) : held_(std::in_place_index<1>, why.error()) {}

    bool has_value() const noexcept { return held_.index() == 0; }
    explicit operator bool() const noexcept { return has_value(); }

    /// The value, which must be there.
    T &operator*() & noexcept { return *std::get_if<0>(&held_); }
    const T &operator*() const & noexcept { return *std::get_if<0>(&held_); }
    T &&operator*() && noexcept { return std::move(*std::get_if<0>(&held_)); }
    T *operator->() noexcept { return std::get_if<0>(&held_); }
    const T *operator->() const noexcept { return std::get_if<0>(&held_); }

    /// The value; throws bad_result if there is none (without exceptions: ends the program).
    T &value() & {
        require();
        return **this;
    }
    const T &value() const & {
        require();
        return **this;
    }
    T &&value() && {
        require();
        return std::move(*std::get_if<0>(&held_));
    }
    template <class U> T value_or(U &&other) const & {
        return has_value() ? **this : static_cast<T>(std::forward<U>(other));
    }

    /// The failure, which must be there.
    const failure &error() const noexcept { return *std::get_if<1>(&held_); }

private:
    void require() const {
        if (!has_value()) {
#if defined(__cpp_exceptions)
            throw bad_result(error());
#else
            std::fputs(error().message(), stderr);
            std::abort();
#endif
        }
    }

    std::variant<T, failure> held_;
};

/// Nothing, or why not.
template <> class result<void> {
public:
    using value_type = void;
    result() = default;
    result(const unexpected &why) : why_(why.error()) {}

    bool has_value() const noexcept { return !why_; }
    explicit operator bool() const noexcept { return has_value(); }
    void value() const {
        if (why_) {
#if defined(__cpp_exceptions)
            throw bad_result(*why_);
#else
            std::fputs(why_->message(), stderr);
            std::abort();
#endif
        }
    }
    const failure &error() const noexcept { return *why_; }

private:
    std::optional<failure> why_;
};
#endif

/* ---- Arrays ---- */

/// So many elements, which stand elsewhere and must outlive it.
template <class T> class array_view {
public:
    constexpr array_view() noexcept = default;
    constexpr array_view(const T *data, std::size_t size) noexcept : data_(data), size_(size) {}
    template <std::size_t N> constexpr array_view(const T (&array)[N]) noexcept : data_(array), size_(N) {}
    template <std::size_t N> constexpr array_view(const std::array<T, N> &array) noexcept : data_(array.data()), size_(N) {}
    array_view(const std::vector<T> &vector) noexcept : data_(vector.data()), size_(vector.size()) {}

    constexpr const T *data() const noexcept { return data_; }
    constexpr std::size_t size() const noexcept { return size_; }
    constexpr const T *begin() const noexcept { return data_; }
    constexpr const T *end() const noexcept { return data_ + size_; }
    constexpr const T &operator[](std::size_t i) const noexcept { return data_[i]; }

private:
    const T *data_ = nullptr;
    std::size_t size_ = 0;
};

/* ---- Quantities ---- */

namespace detail {
/// How a quantity of C is read and built.
template <class C> struct of_c;

/// A decimal number as it is written, rounded once, as the compiler rounds a double: up to 15 digits, by a power of ten
/// that is a double.
template <char... Text> constexpr double number() {
    constexpr char text[] = {Text..., '\0'};
    std::uint64_t digits = 0;
    int exponent = 0;
    bool point = false;
    bool known = true;
    std::size_t i = 0;
    for (; text[i] != '\0' && text[i] != 'e' && text[i] != 'E'; ++i) {
        if (text[i] == '.') {
            point = true;
        } else if (text[i] >= '0' && text[i] <= '9') {
            known = known && digits < 100000000000000U;
            digits = 10 * digits + static_cast<std::uint64_t>(text[i] - '0');
            exponent -= point ? 1 : 0;
        } else if (text[i] != '\'') {
            known = false; // 0x...
        }
    }
    if (text[i] != '\0') {
        ++i;
        const bool negative = text[i] == '-';
        if (text[i] == '-' || text[i] == '+') {
            ++i;
        }
        int power = 0;
        for (; text[i] != '\0' && power < 1000; ++i) {
            if (text[i] != '\'') {
                power = 10 * power + (text[i] - '0');
            }
        }
        exponent += negative ? -power : power;
    }
    if (!known || exponent > 22 || exponent < -22) {
        return -1.0;
    }
    double scale = 1.0;
    for (int k = exponent < 0 ? -exponent : exponent; k > 0; --k) {
        scale *= 10.0;
    }
    return exponent < 0 ? static_cast<double>(digits) / scale : static_cast<double>(digits) * scale;
}
} // namespace detail

template <class C> class quantity;

/// So many of the SI unit.
template <class C> struct unit {
    double size;
};

/// A double in SI, of one kind. A temperature is a point on a scale: it has differences, but no sums and multiples.
template <class C> class quantity {
public:
    constexpr quantity() noexcept = default;
    /// From and to the struct of C.
    constexpr quantity(C c) noexcept : si_(detail::of_c<C>::get(c)) {}
    constexpr operator C() const noexcept { return detail::of_c<C>::make(si_); }

    static constexpr quantity from_si(double si) noexcept {
        quantity made;
        made.si_ = si;
        return made;
    }
    constexpr double si() const noexcept { return si_; }
    /// In a unit of its kind, as f.in(units::lbf).
    constexpr double in(unit<C> of) const noexcept { return si_ / of.size; }

private:
    double si_ = 0.0;
};

template <class C> constexpr bool operator==(quantity<C> a, quantity<C> b) noexcept { return a.si() == b.si(); }
template <class C> constexpr bool operator!=(quantity<C> a, quantity<C> b) noexcept { return a.si() != b.si(); }
template <class C> constexpr bool operator<(quantity<C> a, quantity<C> b) noexcept { return a.si() < b.si(); }
template <class C> constexpr bool operator>(quantity<C> a, quantity<C> b) noexcept { return a.si() > b.si(); }
template <class C> constexpr bool operator<=(quantity<C> a, quantity<C> b) noexcept { return a.si() <= b.si(); }
template <class C> constexpr bool operator>=(quantity<C> a, quantity<C> b) noexcept { return a.si() >= b.si(); }

namespace detail {
template <class C> using sums = std::enable_if_t<!std::is_same<C, rmech_temperature>::value, quantity<C>>;
}
template <class C> constexpr detail::sums<C> operator+(quantity<C> a, quantity<C> b) noexcept {
    return quantity<C>::from_si(a.si() + b.si());
}
template <class C> constexpr detail::sums<C> operator-(quantity<C> a, quantity<C> b) noexcept {
    return quantity<C>::from_si(a.si() - b.si());
}
template <class C> constexpr detail::sums<C> operator-(quantity<C> a) noexcept { return quantity<C>::from_si(-a.si()); }
template <class C> constexpr detail::sums<C> &operator+=(quantity<C> &a, quantity<C> b) noexcept { return a = a + b; }
template <class C> constexpr detail::sums<C> &operator-=(quantity<C> &a, quantity<C> b) noexcept { return a = a - b; }
template <class C> constexpr detail::sums<C> operator*(quantity<C> a, double b) noexcept {
    return quantity<C>::from_si(a.si() * b);
}
template <class C> constexpr detail::sums<C> operator*(double a, quantity<C> b) noexcept {
    return quantity<C>::from_si(a * b.si());
}
template <class C> constexpr detail::sums<C> operator/(quantity<C> a, double b) noexcept {
    return quantity<C>::from_si(a.si() / b);
}
/// How many times the other: a plain number.
template <class C> constexpr std::enable_if_t<!std::is_same<C, rmech_temperature>::value, double>
operator/(quantity<C> a, quantity<C> b) noexcept {
    return a.si() / b.si();
}
/// So many of a unit.
template <class C> constexpr quantity<C> operator*(double value, unit<C> of) noexcept {
    return quantity<C>::from_si(value * of.size);
}

namespace detail {
template <> struct of_c<rmech_force> {
    static constexpr double get(rmech_force c) noexcept { return c.newtons; }
    static constexpr rmech_force make(double si) noexcept { return rmech_force{si}; }
};
template <> struct of_c<rmech_angle> {
    static constexpr double get(rmech_angle c) noexcept { return c.radians; }
    static constexpr rmech_angle make(double si) noexcept { return rmech_angle{si}; }
};
template <> struct of_c<rmech_length> {
    static constexpr double get(rmech_length c) noexcept { return c.metres; }
    static constexpr rmech_length make(double si) noexcept { return rmech_length{si}; }
};
template <> struct of_c<rmech_ratio> {
    static constexpr double get(rmech_ratio c) noexcept { return c.fraction; }
    static constexpr rmech_ratio make(double si) noexcept { return rmech_ratio{si}; }
};
template <> struct of_c<rmech_mass> {
    static constexpr double get(rmech_mass c) noexcept { return c.kilograms; }
    static constexpr rmech_mass make(double si) noexcept { return rmech_mass{si}; }
};
template <> struct of_c<rmech_pressure> {
    static constexpr double get(rmech_pressure c) noexcept { return c.pascals; }
    static constexpr rmech_pressure make(double si) noexcept { return rmech_pressure{si}; }
};
template <> struct of_c<rmech_velocity> {
    static constexpr double get(rmech_velocity c) noexcept { return c.metres_per_second; }
    static constexpr rmech_velocity make(double si) noexcept { return rmech_velocity{si}; }
};
template <> struct of_c<rmech_line_weight> {
    static constexpr double get(rmech_line_weight c) noexcept { return c.newtons_per_metre; }
    static constexpr rmech_line_weight make(double si) noexcept { return rmech_line_weight{si}; }
};
template <> struct of_c<rmech_time> {
    static constexpr double get(rmech_time c) noexcept { return c.seconds; }
    static constexpr rmech_time make(double si) noexcept { return rmech_time{si}; }
};
template <> struct of_c<rmech_line_mass> {
    static constexpr double get(rmech_line_mass c) noexcept { return c.kilograms_per_metre; }
    static constexpr rmech_line_mass make(double si) noexcept { return rmech_line_mass{si}; }
};
template <> struct of_c<rmech_stiffness> {
    static constexpr double get(rmech_stiffness c) noexcept { return c.newtons_per_metre; }
    static constexpr rmech_stiffness make(double si) noexcept { return rmech_stiffness{si}; }
};
template <> struct of_c<rmech_current> {
    static constexpr double get(rmech_current c) noexcept { return c.amperes; }
    static constexpr rmech_current make(double si) noexcept { return rmech_current{si}; }
};
template <> struct of_c<rmech_motor_constant> {
    static constexpr double get(rmech_motor_constant c) noexcept { return c.newton_metres_per_ampere; }
    static constexpr rmech_motor_constant make(double si) noexcept { return rmech_motor_constant{si}; }
};
template <> struct of_c<rmech_resistance> {
    static constexpr double get(rmech_resistance c) noexcept { return c.ohms; }
    static constexpr rmech_resistance make(double si) noexcept { return rmech_resistance{si}; }
};
template <> struct of_c<rmech_voltage> {
    static constexpr double get(rmech_voltage c) noexcept { return c.volts; }
    static constexpr rmech_voltage make(double si) noexcept { return rmech_voltage{si}; }
};
template <> struct of_c<rmech_turning_speed> {
    static constexpr double get(rmech_turning_speed c) noexcept { return c.radians_per_second; }
    static constexpr rmech_turning_speed make(double si) noexcept { return rmech_turning_speed{si}; }
};
template <> struct of_c<rmech_torque> {
    static constexpr double get(rmech_torque c) noexcept { return c.newton_metres; }
    static constexpr rmech_torque make(double si) noexcept { return rmech_torque{si}; }
};
template <> struct of_c<rmech_power> {
    static constexpr double get(rmech_power c) noexcept { return c.watts; }
    static constexpr rmech_power make(double si) noexcept { return rmech_power{si}; }
};
template <> struct of_c<rmech_energy> {
    static constexpr double get(rmech_energy c) noexcept { return c.joules; }
    static constexpr rmech_energy make(double si) noexcept { return rmech_energy{si}; }
};
template <> struct of_c<rmech_force_rate> {
    static constexpr double get(rmech_force_rate c) noexcept { return c.newtons_per_second; }
    static constexpr rmech_force_rate make(double si) noexcept { return rmech_force_rate{si}; }
};
template <> struct of_c<rmech_charge> {
    static constexpr double get(rmech_charge c) noexcept { return c.coulombs; }
    static constexpr rmech_charge make(double si) noexcept { return rmech_charge{si}; }
};
template <> struct of_c<rmech_temperature> {
    static constexpr double get(rmech_temperature c) noexcept { return c.kelvin; }
    static constexpr rmech_temperature make(double si) noexcept { return rmech_temperature{si}; }
};
template <> struct of_c<rmech_temperature_interval> {
    static constexpr double get(rmech_temperature_interval c) noexcept { return c.kelvin; }
    static constexpr rmech_temperature_interval make(double si) noexcept { return rmech_temperature_interval{si}; }
};
template <> struct of_c<rmech_heat_capacity> {
    static constexpr double get(rmech_heat_capacity c) noexcept { return c.joules_per_kelvin; }
    static constexpr rmech_heat_capacity make(double si) noexcept { return rmech_heat_capacity{si}; }
};
template <> struct of_c<rmech_thermal_resistance> {
    static constexpr double get(rmech_thermal_resistance c) noexcept { return c.kelvin_per_watt; }
    static constexpr rmech_thermal_resistance make(double si) noexcept { return rmech_thermal_resistance{si}; }
};
template <> struct of_c<rmech_current_squared_time> {
    static constexpr double get(rmech_current_squared_time c) noexcept { return c.ampere_squared_seconds; }
    static constexpr rmech_current_squared_time make(double si) noexcept { return rmech_current_squared_time{si}; }
};
template <> struct of_c<rmech_area> {
    static constexpr double get(rmech_area c) noexcept { return c.square_metres; }
    static constexpr rmech_area make(double si) noexcept { return rmech_area{si}; }
};
} // namespace detail

/// A force.
using force = quantity<rmech_force>;
/// An angle.
using angle = quantity<rmech_angle>;
/// A length.
using length = quantity<rmech_length>;
/// A plain ratio: an efficiency, a coefficient of friction, a strain.
using ratio = quantity<rmech_ratio>;
/// A mass.
using mass = quantity<rmech_mass>;
/// A pressure.
using pressure = quantity<rmech_pressure>;
/// A speed.
using velocity = quantity<rmech_velocity>;
/// A force per metre of unstretched line: its weight.
using line_weight = quantity<rmech_line_weight>;
/// A time.
using time = quantity<rmech_time>;
/// A mass per metre of unstretched line.
using line_mass = quantity<rmech_line_mass>;
/// A force per metre of stretch.
using stiffness = quantity<rmech_stiffness>;
/// An electric current.
using current = quantity<rmech_current>;
/// The torque of a motor per ampere.
using motor_constant = quantity<rmech_motor_constant>;
/// An electrical resistance.
using resistance = quantity<rmech_resistance>;
/// A voltage.
using voltage = quantity<rmech_voltage>;
/// A turning speed.
using turning_speed = quantity<rmech_turning_speed>;
/// A torque.
using torque = quantity<rmech_torque>;
/// A power.
using power = quantity<rmech_power>;
/// An energy.
using energy = quantity<rmech_energy>;
/// A rate at which a force rises.
using force_rate = quantity<rmech_force_rate>;
/// An electric charge.
using charge = quantity<rmech_charge>;
/// A temperature.
using temperature = quantity<rmech_temperature>;
/// A difference of two temperatures.
using temperature_interval = quantity<rmech_temperature_interval>;
/// A heat capacity.
using heat_capacity = quantity<rmech_heat_capacity>;
/// A thermal resistance.
using thermal_resistance = quantity<rmech_thermal_resistance>;
/// A current squared times a time: what a fuse can take, or a winding too quick to cool.
using current_squared_time = quantity<rmech_current_squared_time>;
/// An area.
using area = quantity<rmech_area>;

constexpr area operator*(length a, length b) noexcept { return area::from_si(a.si() * b.si()); }
constexpr length operator/(area a, length b) noexcept { return length::from_si(a.si() / b.si()); }
constexpr length operator*(velocity a, time b) noexcept { return length::from_si(a.si() * b.si()); }
constexpr length operator*(time a, velocity b) noexcept { return length::from_si(a.si() * b.si()); }
constexpr time operator/(length a, velocity b) noexcept { return time::from_si(a.si() / b.si()); }
constexpr velocity operator/(length a, time b) noexcept { return velocity::from_si(a.si() / b.si()); }
constexpr energy operator*(force a, length b) noexcept { return energy::from_si(a.si() * b.si()); }
constexpr energy operator*(length a, force b) noexcept { return energy::from_si(a.si() * b.si()); }
constexpr length operator/(energy a, force b) noexcept { return length::from_si(a.si() / b.si()); }
constexpr force operator/(energy a, length b) noexcept { return force::from_si(a.si() / b.si()); }
constexpr energy operator*(power a, time b) noexcept { return energy::from_si(a.si() * b.si()); }
constexpr energy operator*(time a, power b) noexcept { return energy::from_si(a.si() * b.si()); }
constexpr time operator/(energy a, power b) noexcept { return time::from_si(a.si() / b.si()); }
constexpr power operator/(energy a, time b) noexcept { return power::from_si(a.si() / b.si()); }
constexpr power operator*(force a, velocity b) noexcept { return power::from_si(a.si() * b.si()); }
constexpr power operator*(velocity a, force b) noexcept { return power::from_si(a.si() * b.si()); }
constexpr velocity operator/(power a, force b) noexcept { return velocity::from_si(a.si() / b.si()); }
constexpr force operator/(power a, velocity b) noexcept { return force::from_si(a.si() / b.si()); }
constexpr force operator*(line_weight a, length b) noexcept { return force::from_si(a.si() * b.si()); }
constexpr force operator*(length a, line_weight b) noexcept { return force::from_si(a.si() * b.si()); }
constexpr length operator/(force a, line_weight b) noexcept { return length::from_si(a.si() / b.si()); }
constexpr force operator*(stiffness a, length b) noexcept { return force::from_si(a.si() * b.si()); }
constexpr force operator*(length a, stiffness b) noexcept { return force::from_si(a.si() * b.si()); }
constexpr length operator/(force a, stiffness b) noexcept { return length::from_si(a.si() / b.si()); }
constexpr mass operator*(line_mass a, length b) noexcept { return mass::from_si(a.si() * b.si()); }
constexpr mass operator*(length a, line_mass b) noexcept { return mass::from_si(a.si() * b.si()); }
constexpr length operator/(mass a, line_mass b) noexcept { return length::from_si(a.si() / b.si()); }
constexpr line_mass operator/(mass a, length b) noexcept { return line_mass::from_si(a.si() / b.si()); }
constexpr power operator*(voltage a, current b) noexcept { return power::from_si(a.si() * b.si()); }
constexpr power operator*(current a, voltage b) noexcept { return power::from_si(a.si() * b.si()); }
constexpr current operator/(power a, voltage b) noexcept { return current::from_si(a.si() / b.si()); }
constexpr voltage operator/(power a, current b) noexcept { return voltage::from_si(a.si() / b.si()); }
constexpr voltage operator*(resistance a, current b) noexcept { return voltage::from_si(a.si() * b.si()); }
constexpr voltage operator*(current a, resistance b) noexcept { return voltage::from_si(a.si() * b.si()); }
constexpr current operator/(voltage a, resistance b) noexcept { return current::from_si(a.si() / b.si()); }
constexpr resistance operator/(voltage a, current b) noexcept { return resistance::from_si(a.si() / b.si()); }
constexpr charge operator*(current a, time b) noexcept { return charge::from_si(a.si() * b.si()); }
constexpr charge operator*(time a, current b) noexcept { return charge::from_si(a.si() * b.si()); }
constexpr time operator/(charge a, current b) noexcept { return time::from_si(a.si() / b.si()); }
constexpr current operator/(charge a, time b) noexcept { return current::from_si(a.si() / b.si()); }
constexpr force operator*(pressure a, area b) noexcept { return force::from_si(a.si() * b.si()); }
constexpr force operator*(area a, pressure b) noexcept { return force::from_si(a.si() * b.si()); }
constexpr area operator/(force a, pressure b) noexcept { return area::from_si(a.si() / b.si()); }
constexpr pressure operator/(force a, area b) noexcept { return pressure::from_si(a.si() / b.si()); }
constexpr torque operator*(motor_constant a, current b) noexcept { return torque::from_si(a.si() * b.si()); }
constexpr torque operator*(current a, motor_constant b) noexcept { return torque::from_si(a.si() * b.si()); }
constexpr current operator/(torque a, motor_constant b) noexcept { return current::from_si(a.si() / b.si()); }
constexpr motor_constant operator/(torque a, current b) noexcept { return motor_constant::from_si(a.si() / b.si()); }
constexpr power operator*(torque a, turning_speed b) noexcept { return power::from_si(a.si() * b.si()); }
constexpr power operator*(turning_speed a, torque b) noexcept { return power::from_si(a.si() * b.si()); }
constexpr turning_speed operator/(power a, torque b) noexcept { return turning_speed::from_si(a.si() / b.si()); }
constexpr torque operator/(power a, turning_speed b) noexcept { return torque::from_si(a.si() / b.si()); }
constexpr force operator*(force_rate a, time b) noexcept { return force::from_si(a.si() * b.si()); }
constexpr force operator*(time a, force_rate b) noexcept { return force::from_si(a.si() * b.si()); }
constexpr time operator/(force a, force_rate b) noexcept { return time::from_si(a.si() / b.si()); }
constexpr force_rate operator/(force a, time b) noexcept { return force_rate::from_si(a.si() / b.si()); }
constexpr energy operator*(heat_capacity a, temperature_interval b) noexcept { return energy::from_si(a.si() * b.si()); }
constexpr energy operator*(temperature_interval a, heat_capacity b) noexcept { return energy::from_si(a.si() * b.si()); }
constexpr temperature_interval operator/(energy a, heat_capacity b) noexcept { return temperature_interval::from_si(a.si() / b.si()); }
constexpr heat_capacity operator/(energy a, temperature_interval b) noexcept { return heat_capacity::from_si(a.si() / b.si()); }
constexpr temperature_interval operator*(thermal_resistance a, power b) noexcept { return temperature_interval::from_si(a.si() * b.si()); }
constexpr temperature_interval operator*(power a, thermal_resistance b) noexcept { return temperature_interval::from_si(a.si() * b.si()); }
constexpr power operator/(temperature_interval a, thermal_resistance b) noexcept { return power::from_si(a.si() / b.si()); }
constexpr thermal_resistance operator/(temperature_interval a, power b) noexcept { return thermal_resistance::from_si(a.si() / b.si()); }
constexpr angle operator*(turning_speed a, time b) noexcept { return angle::from_si(a.si() * b.si()); }
constexpr angle operator*(time a, turning_speed b) noexcept { return angle::from_si(a.si() * b.si()); }
constexpr time operator/(angle a, turning_speed b) noexcept { return time::from_si(a.si() / b.si()); }
constexpr turning_speed operator/(angle a, time b) noexcept { return turning_speed::from_si(a.si() / b.si()); }

/// A plain ratio multiplies what has a unit.
template <class C> constexpr std::enable_if_t<!std::is_same<C, rmech_ratio>::value, detail::sums<C>>
operator*(quantity<C> a, ratio b) noexcept {
    return quantity<C>::from_si(a.si() * b.si());
}
template <class C> constexpr std::enable_if_t<!std::is_same<C, rmech_ratio>::value, detail::sums<C>>
operator*(ratio a, quantity<C> b) noexcept {
    return quantity<C>::from_si(a.si() * b.si());
}
constexpr temperature_interval operator-(temperature a, temperature b) noexcept {
    return temperature_interval::from_si(a.si() - b.si());
}
constexpr temperature operator+(temperature a, temperature_interval b) noexcept {
    return temperature::from_si(a.si() + b.si());
}
constexpr temperature operator-(temperature a, temperature_interval b) noexcept {
    return temperature::from_si(a.si() - b.si());
}
/// A temperature in degrees Celsius, and what it is there.
constexpr temperature celsius(double degrees) noexcept { return temperature::from_si(degrees + 273.15); }
constexpr double in_celsius(temperature t) noexcept { return t.si() - 273.15; }
/// What a mass weighs, at 9.80665 m/s2.
constexpr force weight_of(mass m) noexcept { return force::from_si(m.si() * 9.80665); }
constexpr line_weight weight_of(line_mass m) noexcept { return line_weight::from_si(m.si() * 9.80665); }

/// The units of rope_mechanics_units.h, for in() and as factors: 875.0 * units::lbf.
namespace units {
inline constexpr unit<rmech_length> m{1.0};
inline constexpr unit<rmech_length> mm{0.001};
inline constexpr unit<rmech_length> ft{0.3048};
inline constexpr unit<rmech_length> inch{0.0254};
inline constexpr unit<rmech_force> n{1.0};
inline constexpr unit<rmech_force> kn{1000.0};
inline constexpr unit<rmech_force> lbf{4.4482216152605};
inline constexpr unit<rmech_mass> kg{1.0};
inline constexpr unit<rmech_mass> lb{0.45359237};
inline constexpr unit<rmech_line_mass> kg_per_m{1.0};
inline constexpr unit<rmech_line_mass> g_per_m{0.001};
inline constexpr unit<rmech_line_weight> n_per_m{1.0};
inline constexpr unit<rmech_stiffness> kn_per_m{1000.0};
inline constexpr unit<rmech_angle> rad{1.0};
inline constexpr unit<rmech_angle> deg{0.017453292519943295};
inline constexpr unit<rmech_ratio> fraction{1.0};
inline constexpr unit<rmech_ratio> percent{0.01};
inline constexpr unit<rmech_velocity> m_per_s{1.0};
inline constexpr unit<rmech_velocity> ft_per_min{0.00508};
inline constexpr unit<rmech_time> s{1.0};
inline constexpr unit<rmech_time> min{60.0};
inline constexpr unit<rmech_time> h{3600.0};
inline constexpr unit<rmech_energy> j{1.0};
inline constexpr unit<rmech_energy> kj{1000.0};
inline constexpr unit<rmech_power> w{1.0};
inline constexpr unit<rmech_torque> n_m{1.0};
inline constexpr unit<rmech_current> a{1.0};
inline constexpr unit<rmech_voltage> v{1.0};
inline constexpr unit<rmech_resistance> ohm{1.0};
inline constexpr unit<rmech_resistance> mohm{0.001};
inline constexpr unit<rmech_charge> ah{3600.0};
inline constexpr unit<rmech_motor_constant> n_m_per_a{1.0};
inline constexpr unit<rmech_turning_speed> rad_per_s{1.0};
inline constexpr unit<rmech_turning_speed> rpm{0.10471975511965977};
inline constexpr unit<rmech_area> mm2{1e-6};
inline constexpr unit<rmech_temperature_interval> kelvin{1.0};
inline constexpr unit<rmech_heat_capacity> j_per_k{1.0};
inline constexpr unit<rmech_thermal_resistance> k_per_w{1.0};
inline constexpr unit<rmech_current_squared_time> a2s{1.0};
inline constexpr unit<rmech_force_rate> n_per_s{1.0};
inline constexpr unit<rmech_pressure> pa{1.0};
inline constexpr unit<rmech_pressure> kpa{1000.0};
} // namespace units

/// 875_lbf, 210_ft, 4.14_kn: a number of at most 15 digits, rounded as 875.0 * units::lbf.
inline namespace literals {
template <char... Text> constexpr length operator""_m() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::m;
}
template <char... Text> constexpr length operator""_mm() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::mm;
}
template <char... Text> constexpr length operator""_ft() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::ft;
}
template <char... Text> constexpr length operator""_inch() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::inch;
}
template <char... Text> constexpr force operator""_n() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::n;
}
template <char... Text> constexpr force operator""_kn() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::kn;
}
template <char... Text> constexpr force operator""_lbf() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::lbf;
}
template <char... Text> constexpr mass operator""_kg() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::kg;
}
template <char... Text> constexpr mass operator""_lb() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::lb;
}
template <char... Text> constexpr line_mass operator""_kg_per_m() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::kg_per_m;
}
template <char... Text> constexpr line_mass operator""_g_per_m() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::g_per_m;
}
template <char... Text> constexpr line_weight operator""_n_per_m() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::n_per_m;
}
template <char... Text> constexpr stiffness operator""_kn_per_m() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::kn_per_m;
}
template <char... Text> constexpr angle operator""_rad() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::rad;
}
template <char... Text> constexpr angle operator""_deg() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::deg;
}
template <char... Text> constexpr ratio operator""_fraction() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::fraction;
}
template <char... Text> constexpr ratio operator""_percent() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::percent;
}
template <char... Text> constexpr velocity operator""_m_per_s() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::m_per_s;
}
template <char... Text> constexpr velocity operator""_ft_per_min() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::ft_per_min;
}
template <char... Text> constexpr time operator""_s() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::s;
}
template <char... Text> constexpr time operator""_min() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::min;
}
template <char... Text> constexpr time operator""_h() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::h;
}
template <char... Text> constexpr energy operator""_j() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::j;
}
template <char... Text> constexpr energy operator""_kj() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::kj;
}
template <char... Text> constexpr power operator""_w() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::w;
}
template <char... Text> constexpr torque operator""_n_m() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::n_m;
}
template <char... Text> constexpr current operator""_a() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::a;
}
template <char... Text> constexpr voltage operator""_v() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::v;
}
template <char... Text> constexpr resistance operator""_ohm() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::ohm;
}
template <char... Text> constexpr resistance operator""_mohm() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::mohm;
}
template <char... Text> constexpr charge operator""_ah() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::ah;
}
template <char... Text> constexpr motor_constant operator""_n_m_per_a() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::n_m_per_a;
}
template <char... Text> constexpr turning_speed operator""_rad_per_s() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::rad_per_s;
}
template <char... Text> constexpr turning_speed operator""_rpm() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::rpm;
}
template <char... Text> constexpr area operator""_mm2() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::mm2;
}
template <char... Text> constexpr temperature_interval operator""_kelvin() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::kelvin;
}
template <char... Text> constexpr heat_capacity operator""_j_per_k() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::j_per_k;
}
template <char... Text> constexpr thermal_resistance operator""_k_per_w() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::k_per_w;
}
template <char... Text> constexpr current_squared_time operator""_a2s() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::a2s;
}
template <char... Text> constexpr force_rate operator""_n_per_s() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::n_per_s;
}
template <char... Text> constexpr pressure operator""_pa() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::pa;
}
template <char... Text> constexpr pressure operator""_kpa() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return value * units::kpa;
}
template <char... Text> constexpr temperature operator""_celsius() noexcept {
    constexpr double value = detail::number<Text...>();
    static_assert(value >= 0.0, "write a decimal number of at most 15 digits");
    return celsius(value);
}
} // namespace literals

/* ---- Structs ---- */

/* The structs here and those of C are the same in memory. */
#define RMECH_SAME_SIZE(type, of_c)                                                                                \
    static_assert(sizeof(type) == sizeof(of_c) && alignof(type) == alignof(of_c), #type);                          \
    static_assert(std::is_standard_layout<type>::value && std::is_trivially_copyable<type>::value, #type)
#define RMECH_SAME_PLACE(type, of_c, member)                                                                       \
    static_assert(offsetof(type, member) == offsetof(of_c, member), #type "." #member)

/// A point in space: x horizontal, outward from the head; y horizontal, to the left of somebody who looks out; z up.
struct point {
    /// Horizontal, outward.
    rope_mechanics::length x{};
    /// Horizontal, to the left.
    rope_mechanics::length y{};
    /// Up.
    rope_mechanics::length z{};
};
RMECH_SAME_SIZE(point, rmech_point);
RMECH_SAME_PLACE(point, rmech_point, x);
RMECH_SAME_PLACE(point, rmech_point, y);
RMECH_SAME_PLACE(point, rmech_point, z);

/// A force in space, in the axes of `rmech_point`.
struct force3 {
    /// Horizontal, outward.
    rope_mechanics::force x{};
    /// Horizontal, to the left.
    rope_mechanics::force y{};
    /// Up.
    rope_mechanics::force z{};
};
RMECH_SAME_SIZE(force3, rmech_force3);
RMECH_SAME_PLACE(force3, rmech_force3, x);
RMECH_SAME_PLACE(force3, rmech_force3, y);
RMECH_SAME_PLACE(force3, rmech_force3, z);

/// A force that lies between two.
struct force_band {
    /// At least this.
    rope_mechanics::force low{};
    /// At most this.
    rope_mechanics::force high{};
};
RMECH_SAME_SIZE(force_band, rmech_force_band);
RMECH_SAME_PLACE(force_band, rmech_force_band, low);
RMECH_SAME_PLACE(force_band, rmech_force_band, high);

/// A direction in space: a vector in the axes of `rmech_point`, whose length doesn't matter.
struct direction {
    /// Horizontal, outward.
    rope_mechanics::ratio x{};
    /// Horizontal, to the left.
    rope_mechanics::ratio y{};
    /// Up.
    rope_mechanics::ratio z{};
};
RMECH_SAME_SIZE(direction, rmech_direction);
RMECH_SAME_PLACE(direction, rmech_direction, x);
RMECH_SAME_PLACE(direction, rmech_direction, y);
RMECH_SAME_PLACE(direction, rmech_direction, z);

/// How the tension of a rope grows with its strain: T = a·ε + b·ε².
struct stretch {
    /// The axial stiffness without load, EA: above zero.
    rope_mechanics::force a{};
    /// How it stiffens: zero for a linear rope, else above zero.
    rope_mechanics::force b{};
};
RMECH_SAME_SIZE(stretch, rmech_stretch);
RMECH_SAME_PLACE(stretch, rmech_stretch, a);
RMECH_SAME_PLACE(stretch, rmech_stretch, b);

/// What a rope turns on. What doesn't count for its kind is not read.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct turn {
    /// One of `RMECH_TURN_...`.
    std::int32_t kind{};
    /// Zero.
    std::int32_t reserved{};
    /// Of a sheave, over a turn of 180 degrees: 0.01 to 1.
    rope_mechanics::ratio efficiency{};
    /// Of a bar, while the load comes: from 0 to 2.
    rope_mechanics::ratio friction_raising{};
    /// Of a bar, while the load goes: from 0 to 2.
    rope_mechanics::ratio friction_lowering{};
};
RMECH_SAME_SIZE(turn, rmech_turn);
RMECH_SAME_PLACE(turn, rmech_turn, kind);
RMECH_SAME_PLACE(turn, rmech_turn, reserved);
RMECH_SAME_PLACE(turn, rmech_turn, efficiency);
RMECH_SAME_PLACE(turn, rmech_turn, friction_raising);
RMECH_SAME_PLACE(turn, rmech_turn, friction_lowering);

/// The ratio of the tensions at the two ends of a turn, pulling side by load's side.
struct band {
    /// While the load comes: at least 1.
    rope_mechanics::ratio hauling{};
    /// While the load goes: at most 1. At rest the ratio is anywhere between.
    rope_mechanics::ratio lowering{};
};
RMECH_SAME_SIZE(band, rmech_band);
RMECH_SAME_PLACE(band, rmech_band, hauling);
RMECH_SAME_PLACE(band, rmech_band, lowering);

/// The share of its strength that a rope keeps, and why.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct reduction {
    /// One of `RMECH_WEAKENING_...`.
    std::int32_t weakening{};
    /// Where the factor comes from, one of `RMECH_MARK_...`. It says how far to trust it and changes no number.
    std::int32_t mark{};
    /// The share that is left: above 0 and at most 1.
    rope_mechanics::ratio factor{};
};
RMECH_SAME_SIZE(reduction, rmech_reduction);
RMECH_SAME_PLACE(reduction, rmech_reduction, weakening);
RMECH_SAME_PLACE(reduction, rmech_reduction, mark);
RMECH_SAME_PLACE(reduction, rmech_reduction, factor);

/// A component with the load at which it fails and the load on it.
struct component {
    /// The load at which it fails: above 0.
    rope_mechanics::force strength{};
    /// The load on it: at least 0.
    rope_mechanics::force load{};
};
RMECH_SAME_SIZE(component, rmech_component);
RMECH_SAME_PLACE(component, rmech_component, strength);
RMECH_SAME_PLACE(component, rmech_component, load);

/// A rope between two supports.
/// It is solved for any strain: 20 m of rope between supports 50 m apart is stretched by 150 %, and RMECH_OK. See
/// `greatest_strain` of the state.
struct line {
    /// sizeof(rmech_line); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_line));
    /// Zero.
    std::uint32_t flags{};
    /// Horizontal distance between the supports: at least zero.
    rope_mechanics::length span{};
    /// Height of the second support above the first; negative if it is lower.
    rope_mechanics::length rise{};
    /// Unstretched length of the rope. Not read where the length is what is asked for.
    rope_mechanics::length length{};
    /// Weight per unstretched metre.
    rope_mechanics::line_weight weight{};
    /// How it stretches. Not read for a catenary, which doesn't.
    rope_mechanics::stretch stretch{};
};
RMECH_SAME_SIZE(line, rmech_line);
RMECH_SAME_PLACE(line, rmech_line, struct_size);
RMECH_SAME_PLACE(line, rmech_line, flags);
RMECH_SAME_PLACE(line, rmech_line, span);
RMECH_SAME_PLACE(line, rmech_line, rise);
RMECH_SAME_PLACE(line, rmech_line, length);
RMECH_SAME_PLACE(line, rmech_line, weight);
RMECH_SAME_PLACE(line, rmech_line, stretch);

/// A line in equilibrium.
struct line_state {
    /// sizeof(rmech_line_state); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_line_state));
    /// Zero.
    std::uint32_t flags{};
    /// Horizontal component of the tension, the same all along the rope.
    rope_mechanics::force horizontal_tension{};
    /// Tension at the first end.
    rope_mechanics::force first_tension{};
    /// Tension at the second end.
    rope_mechanics::force last_tension{};
    /// What the first support carries, upward; negative where the rope lifts it.
    rope_mechanics::force first_up{};
    /// What the second support carries, upward; negative where the rope lifts it.
    rope_mechanics::force last_up{};
    /// Greatest vertical distance below the chord.
    rope_mechanics::length sag{};
    /// The lowest point: horizontal distance from the first end.
    rope_mechanics::length lowest_x{};
    /// The lowest point: height above the first end.
    rope_mechanics::length lowest_z{};
    /// Unstretched length.
    rope_mechanics::length length{};
    /// Length as it hangs.
    rope_mechanics::length stretched_length{};
    /// Relative change of the answer in one more step of the solver.
    rope_mechanics::ratio residual{};
    /// Steps of the solver.
    std::uint32_t iterations{};
    /// Zero.
    std::uint32_t reserved{};
    /// Strain where the tension is greatest: 0.05 is 5 %. Zero for a catenary. No strain is refused, however soon a
    /// rope would part: compare it with the range in which the stretch of yours was measured.
    rope_mechanics::ratio greatest_strain{};
};
RMECH_SAME_SIZE(line_state, rmech_line_state);
RMECH_SAME_PLACE(line_state, rmech_line_state, struct_size);
RMECH_SAME_PLACE(line_state, rmech_line_state, flags);
RMECH_SAME_PLACE(line_state, rmech_line_state, horizontal_tension);
RMECH_SAME_PLACE(line_state, rmech_line_state, first_tension);
RMECH_SAME_PLACE(line_state, rmech_line_state, last_tension);
RMECH_SAME_PLACE(line_state, rmech_line_state, first_up);
RMECH_SAME_PLACE(line_state, rmech_line_state, last_up);
RMECH_SAME_PLACE(line_state, rmech_line_state, sag);
RMECH_SAME_PLACE(line_state, rmech_line_state, lowest_x);
RMECH_SAME_PLACE(line_state, rmech_line_state, lowest_z);
RMECH_SAME_PLACE(line_state, rmech_line_state, length);
RMECH_SAME_PLACE(line_state, rmech_line_state, stretched_length);
RMECH_SAME_PLACE(line_state, rmech_line_state, residual);
RMECH_SAME_PLACE(line_state, rmech_line_state, iterations);
RMECH_SAME_PLACE(line_state, rmech_line_state, reserved);
RMECH_SAME_PLACE(line_state, rmech_line_state, greatest_strain);

/// The forces at the supports of a line.
struct line_ends {
    /// Horizontal component of the tension, the same all along the rope.
    rope_mechanics::force horizontal_tension{};
    /// Tension at the first end.
    rope_mechanics::force first_tension{};
    /// Tension at the second end.
    rope_mechanics::force last_tension{};
    /// What the first support carries, upward; negative where the rope lifts it.
    rope_mechanics::force first_up{};
    /// What the second support carries, upward; negative where the rope lifts it.
    rope_mechanics::force last_up{};
    /// Relative change of the answer in one more step of the solver.
    rope_mechanics::ratio residual{};
    /// `RMECH_OK`. Of one of many lines also `RMECH_ERR_VALUE`, `RMECH_ERR_GEOMETRY` (slack without weight) or
    /// `RMECH_ERR_UNSOLVED`: then its numbers are NaN.
    std::int32_t status{};
    /// Zero.
    std::uint32_t reserved{};
};
RMECH_SAME_SIZE(line_ends, rmech_line_ends);
RMECH_SAME_PLACE(line_ends, rmech_line_ends, horizontal_tension);
RMECH_SAME_PLACE(line_ends, rmech_line_ends, first_tension);
RMECH_SAME_PLACE(line_ends, rmech_line_ends, last_tension);
RMECH_SAME_PLACE(line_ends, rmech_line_ends, first_up);
RMECH_SAME_PLACE(line_ends, rmech_line_ends, last_up);
RMECH_SAME_PLACE(line_ends, rmech_line_ends, residual);
RMECH_SAME_PLACE(line_ends, rmech_line_ends, status);
RMECH_SAME_PLACE(line_ends, rmech_line_ends, reserved);

/// A point of a line, and the tension there.
struct line_point {
    /// Horizontal distance from the first end.
    rope_mechanics::length x{};
    /// Height above the first end.
    rope_mechanics::length z{};
    /// Tension of the rope.
    rope_mechanics::force tension{};
};
RMECH_SAME_SIZE(line_point, rmech_line_point);
RMECH_SAME_PLACE(line_point, rmech_line_point, x);
RMECH_SAME_PLACE(line_point, rmech_line_point, z);
RMECH_SAME_PLACE(line_point, rmech_line_point, tension);

/// A point in the vertical plane of a line: x horizontal, outward; z up.
struct plane_point {
    /// Horizontal, outward.
    rope_mechanics::length x{};
    /// Up.
    rope_mechanics::length z{};
};
RMECH_SAME_SIZE(plane_point, rmech_plane_point);
RMECH_SAME_PLACE(plane_point, rmech_plane_point, x);
RMECH_SAME_PLACE(plane_point, rmech_plane_point, z);

/// A track rope, the load on its carriage, and the haul rope.
/// It is solved for any strain of the track: see `greatest_strain` of the state.
/// A doubled track is one line of twice the weight and twice the stretch coefficients. On one sheave at its far anchor
/// it has no redundancy.
struct carriage {
    /// sizeof(rmech_carriage); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_carriage));
    /// Zero.
    std::uint32_t flags{};
    /// Upper support of the track.
    rope_mechanics::plane_point head{};
    /// Its far anchor, on either side.
    rope_mechanics::plane_point far{};
    /// Unstretched length of the track. Not read where a length is sought.
    rope_mechanics::length track_length{};
    /// Its weight per unstretched metre.
    rope_mechanics::line_weight track_weight{};
    /// How it stretches.
    rope_mechanics::stretch track_stretch{};
    /// Weight on the carriage, the carriage included.
    rope_mechanics::force load_weight{};
    /// By how much harder the track pulls behind the moving wheel, as a share of its tension (not of the load on the
    /// wheel): 0.02, say; zero for none. Hauling is towards the haul point.
    rope_mechanics::ratio wheel_friction{};
    /// One of `RMECH_MOTION_...`: with friction it must be said, and 0 is refused; without friction it is not read. (A
    /// `rmech_rig_rope` takes 0 for at rest.)
    std::int32_t motion{};
    /// Zero.
    std::int32_t reserved{};
    /// Where the haul rope comes from.
    rope_mechanics::plane_point haul_point{};
    /// Weight of the haul rope per unstretched metre; zero for a straight one.
    rope_mechanics::line_weight haul_weight{};
    /// How the haul rope stretches; zeros if it doesn't.
    rope_mechanics::stretch haul_stretch{};
};
RMECH_SAME_SIZE(carriage, rmech_carriage);
RMECH_SAME_PLACE(carriage, rmech_carriage, struct_size);
RMECH_SAME_PLACE(carriage, rmech_carriage, flags);
RMECH_SAME_PLACE(carriage, rmech_carriage, head);
RMECH_SAME_PLACE(carriage, rmech_carriage, far);
RMECH_SAME_PLACE(carriage, rmech_carriage, track_length);
RMECH_SAME_PLACE(carriage, rmech_carriage, track_weight);
RMECH_SAME_PLACE(carriage, rmech_carriage, track_stretch);
RMECH_SAME_PLACE(carriage, rmech_carriage, load_weight);
RMECH_SAME_PLACE(carriage, rmech_carriage, wheel_friction);
RMECH_SAME_PLACE(carriage, rmech_carriage, motion);
RMECH_SAME_PLACE(carriage, rmech_carriage, reserved);
RMECH_SAME_PLACE(carriage, rmech_carriage, haul_point);
RMECH_SAME_PLACE(carriage, rmech_carriage, haul_weight);
RMECH_SAME_PLACE(carriage, rmech_carriage, haul_stretch);

/// A force in the vertical plane of a line.
struct plane_force {
    /// Horizontal, outward.
    rope_mechanics::force x{};
    /// Up.
    rope_mechanics::force z{};
};
RMECH_SAME_SIZE(plane_force, rmech_plane_force);
RMECH_SAME_PLACE(plane_force, rmech_plane_force, x);
RMECH_SAME_PLACE(plane_force, rmech_plane_force, z);

/// A carriage in balance.
struct carriage_state {
    /// sizeof(rmech_carriage_state); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_carriage_state));
    /// Zero.
    std::uint32_t flags{};
    /// Where the carriage is.
    rope_mechanics::plane_point position{};
    /// Unstretched length of the whole track.
    rope_mechanics::length track_length{};
    /// Unstretched length on the head's side.
    rope_mechanics::length upper_length{};
    /// Unstretched length on the far side.
    rope_mechanics::length lower_length{};
    /// Tension of the track at the head, all strands together.
    rope_mechanics::force tension_head{};
    /// Tension at the carriage on the head's side.
    rope_mechanics::force tension_carriage_upper{};
    /// Tension at the carriage on the far side.
    rope_mechanics::force tension_carriage_lower{};
    /// Tension at the far anchor.
    rope_mechanics::force tension_far{};
    /// Horizontal tension on the head's side.
    rope_mechanics::force horizontal_upper{};
    /// Horizontal tension on the far side.
    rope_mechanics::force horizontal_lower{};
    /// The weight that track and haul rope carry.
    rope_mechanics::force load{};
    /// Between the two parts of the track at the carriage; half a turn where it runs straight through.
    rope_mechanics::angle interior_angle{};
    /// The lowest point of the track.
    rope_mechanics::plane_point lowest_point{};
    /// The pull of the track on the head.
    rope_mechanics::plane_force on_head{};
    /// The pull of the track on the far anchor.
    rope_mechanics::plane_force on_far{};
    /// 1 if the haul rope pulls; 0 if there is none or it is slack, and all that follows of it is zero.
    std::int32_t haul_pulls{};
    /// Steps of the solver.
    std::uint32_t iterations{};
    /// Unstretched length of the haul rope from its haul point to the carriage.
    rope_mechanics::length haul_length{};
    /// Its tension at the carriage.
    rope_mechanics::force haul_at_carriage{};
    /// Its tension at the haul point.
    rope_mechanics::force haul_at_haul_point{};
    /// Its pull on the carriage.
    rope_mechanics::plane_force haul_on_carriage{};
    /// Its pull on the haul point.
    rope_mechanics::plane_force haul_on_haul_point{};
    /// By how much the forces at the carriage miss balance.
    rope_mechanics::force force_error{};
    /// By how much the parts miss their supports.
    rope_mechanics::length closing_error{};
    /// The larger of the two errors against the largest force or length.
    rope_mechanics::ratio residual{};
    /// Strain of the track where its tension is greatest: 0.05 is 5 %. No strain is refused, however soon a rope would
    /// part: compare it with the range in which the stretch of yours was measured.
    rope_mechanics::ratio greatest_strain{};
};
RMECH_SAME_SIZE(carriage_state, rmech_carriage_state);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, struct_size);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, flags);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, position);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, track_length);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, upper_length);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, lower_length);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, tension_head);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, tension_carriage_upper);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, tension_carriage_lower);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, tension_far);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, horizontal_upper);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, horizontal_lower);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, load);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, interior_angle);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, lowest_point);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, on_head);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, on_far);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, haul_pulls);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, iterations);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, haul_length);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, haul_at_carriage);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, haul_at_haul_point);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, haul_on_carriage);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, haul_on_haul_point);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, force_error);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, closing_error);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, residual);
RMECH_SAME_PLACE(carriage_state, rmech_carriage_state, greatest_strain);

/// A turn in its place.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct bend {
    /// What the rope turns on.
    rope_mechanics::turn turn{};
    /// `RMECH_BEND_PLACE`, `RMECH_BEND_WRAP`, or both added.
    std::int32_t given{};
    /// Zero.
    std::int32_t reserved{};
    /// Where it stands.
    rope_mechanics::point place{};
    /// How far the rope wraps it: 0 to 32 turns.
    rope_mechanics::angle wrap{};
};
RMECH_SAME_SIZE(bend, rmech_bend);
RMECH_SAME_PLACE(bend, rmech_bend, turn);
RMECH_SAME_PLACE(bend, rmech_bend, given);
RMECH_SAME_PLACE(bend, rmech_bend, reserved);
RMECH_SAME_PLACE(bend, rmech_bend, place);
RMECH_SAME_PLACE(bend, rmech_bend, wrap);

/// How a part runs that is not straight, or whose two sides differ in tension.
struct strand {
    /// The part, counted from the pulling end.
    std::uint32_t part{};
    /// Zero, or the sum of what is given.
    std::int32_t given{};
    /// Tension of the standing side less that of the pulling side.
    rope_mechanics::force rise{};
    /// Tension of the standing side by that of the pulling side.
    rope_mechanics::ratio scale{};
    /// The direction in which the part leaves its pulling side, seen towards the standing end.
    rope_mechanics::direction leaving{};
    /// The direction in which it arrives at its standing side.
    rope_mechanics::direction arriving{};
};
RMECH_SAME_SIZE(strand, rmech_strand);
RMECH_SAME_PLACE(strand, rmech_strand, part);
RMECH_SAME_PLACE(strand, rmech_strand, given);
RMECH_SAME_PLACE(strand, rmech_strand, rise);
RMECH_SAME_PLACE(strand, rmech_strand, scale);
RMECH_SAME_PLACE(strand, rmech_strand, leaving);
RMECH_SAME_PLACE(strand, rmech_strand, arriving);

/// One rope through a row of turns, from its pulling end. It has one part more than turns.
struct reeving {
    /// sizeof(rmech_reeving); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_reeving));
    /// Zero, or `RMECH_REEVING_ENDS`.
    std::uint32_t flags{};
    /// The turns in order.
    array_view<rope_mechanics::bend> bends;
    /// The parts that are not straight or bear a load; NULL for none.
    array_view<rope_mechanics::strand> strands;
    /// Where the hand, winch or capstan stands.
    rope_mechanics::point pulling_end{};
    /// Where the load or anchor of the other end is.
    rope_mechanics::point standing_end{};
};
RMECH_SAME_SIZE(reeving, rmech_reeving);
RMECH_SAME_PLACE(reeving, rmech_reeving, struct_size);
RMECH_SAME_PLACE(reeving, rmech_reeving, flags);
RMECH_SAME_PLACE(reeving, rmech_reeving, bends);
RMECH_SAME_PLACE(reeving, rmech_reeving, strands);
RMECH_SAME_PLACE(reeving, rmech_reeving, pulling_end);
RMECH_SAME_PLACE(reeving, rmech_reeving, standing_end);

/// What is known of a rope's tension: of one spot, or of the sum of two.
struct known {
    /// The part, counted from the pulling end.
    std::uint32_t part{};
    /// Which of its sides: one of `RMECH_SIDE_...`.
    std::int32_t side{};
    /// The part of the second spot.
    std::uint32_t other_part{};
    /// Its side; zero if the tension is that of the first spot alone.
    std::int32_t other_side{};
    /// The tension, or the sum of both.
    rope_mechanics::force tension{};
};
RMECH_SAME_SIZE(known, rmech_known);
RMECH_SAME_PLACE(known, rmech_known, part);
RMECH_SAME_PLACE(known, rmech_known, side);
RMECH_SAME_PLACE(known, rmech_known, other_part);
RMECH_SAME_PLACE(known, rmech_known, other_side);
RMECH_SAME_PLACE(known, rmech_known, tension);

/// The tension of a part at its two sides.
struct part_tension {
    /// Towards the pulling end.
    rope_mechanics::force_band pulling_side{};
    /// Towards the standing end.
    rope_mechanics::force_band standing_side{};
};
RMECH_SAME_SIZE(part_tension, rmech_part_tension);
RMECH_SAME_PLACE(part_tension, rmech_part_tension, pulling_side);
RMECH_SAME_PLACE(part_tension, rmech_part_tension, standing_side);

/// What a rope does to a turn.
struct turn_load {
    /// How far the rope wraps it.
    rope_mechanics::angle wrap{};
    /// Size of the force on what holds it; at rest the greatest that friction may leave.
    rope_mechanics::force load{};
    /// The same as a vector; zero if the directions are not known.
    rope_mechanics::force3 force{};
    /// 1 if `force` is known, else 0.
    std::int32_t force_known{};
    /// Zero.
    std::int32_t reserved{};
};
RMECH_SAME_SIZE(turn_load, rmech_turn_load);
RMECH_SAME_PLACE(turn_load, rmech_turn_load, wrap);
RMECH_SAME_PLACE(turn_load, rmech_turn_load, load);
RMECH_SAME_PLACE(turn_load, rmech_turn_load, force);
RMECH_SAME_PLACE(turn_load, rmech_turn_load, force_known);
RMECH_SAME_PLACE(turn_load, rmech_turn_load, reserved);

/// The highest tension in a rope.
struct highest {
    /// The part, counted from the pulling end.
    std::uint32_t part{};
    /// Which of its sides: one of `RMECH_SIDE_...`.
    std::int32_t side{};
    /// The tension; at rest the upper end of its band.
    rope_mechanics::force tension{};
};
RMECH_SAME_SIZE(highest, rmech_highest);
RMECH_SAME_PLACE(highest, rmech_highest, part);
RMECH_SAME_PLACE(highest, rmech_highest, side);
RMECH_SAME_PLACE(highest, rmech_highest, tension);

/// What a rope does as a whole.
struct reeving_summary {
    /// sizeof(rmech_reeving_summary); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_reeving_summary));
    /// Zero.
    std::uint32_t flags{};
    /// The highest tension anywhere.
    rope_mechanics::highest highest{};
    /// The rope's pull on what holds its pulling end.
    rope_mechanics::force3 pulling_end{};
    /// The rope's pull on what holds its standing end.
    rope_mechanics::force3 standing_end{};
    /// The sum of `RMECH_END_...` of the ends whose direction is known; the others are zero.
    std::int32_t ends_known{};
    /// Zero.
    std::int32_t reserved{};
    /// The largest closing error, by the largest term of its equation.
    rope_mechanics::ratio residual{};
};
RMECH_SAME_SIZE(reeving_summary, rmech_reeving_summary);
RMECH_SAME_PLACE(reeving_summary, rmech_reeving_summary, struct_size);
RMECH_SAME_PLACE(reeving_summary, rmech_reeving_summary, flags);
RMECH_SAME_PLACE(reeving_summary, rmech_reeving_summary, highest);
RMECH_SAME_PLACE(reeving_summary, rmech_reeving_summary, pulling_end);
RMECH_SAME_PLACE(reeving_summary, rmech_reeving_summary, standing_end);
RMECH_SAME_PLACE(reeving_summary, rmech_reeving_summary, ends_known);
RMECH_SAME_PLACE(reeving_summary, rmech_reeving_summary, reserved);
RMECH_SAME_PLACE(reeving_summary, rmech_reeving_summary, residual);

/// A doubled track rope: capstan, redirect, over the frame, far sheave, back over the frame, load cell, anchor.
/// CAUTION. Both strands are one rope on one sheave: it has no redundancy.
struct doubled_track {
    /// sizeof(rmech_doubled_track); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_doubled_track));
    /// Zero, or `RMECH_TRACK_FRAME_WITHOUT_CONTACT`.
    std::uint32_t flags{};
    /// The powered capstan.
    rope_mechanics::point capstan{};
    /// The redirect beside the frame.
    rope_mechanics::point redirect{};
    /// The head of the frame.
    rope_mechanics::point head{};
    /// The sheave at the far anchor.
    rope_mechanics::point far_sheave{};
    /// The anchor of the standing end, behind the load cell.
    rope_mechanics::point anchor{};
    /// What the rope turns on at the redirect.
    rope_mechanics::turn redirect_turn{};
    /// At each crossing of the frame.
    rope_mechanics::turn frame_turn{};
    /// At the far anchor.
    rope_mechanics::turn far_turn{};
    /// The strand that goes out; its `part` is not read.
    rope_mechanics::strand strand_out{};
    /// The strand that comes back; its `part` is not read.
    rope_mechanics::strand strand_back{};
};
RMECH_SAME_SIZE(doubled_track, rmech_doubled_track);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, struct_size);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, flags);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, capstan);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, redirect);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, head);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, far_sheave);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, anchor);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, redirect_turn);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, frame_turn);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, far_turn);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, strand_out);
RMECH_SAME_PLACE(doubled_track, rmech_doubled_track, strand_back);

/// The tensions of a doubled track rope, and what it does to what holds it.
struct track_tensions {
    /// sizeof(rmech_track_tensions); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_track_tensions));
    /// Zero.
    std::uint32_t flags{};
    /// What the capstan pulls.
    rope_mechanics::force_band capstan{};
    /// What the load cell shows.
    rope_mechanics::force_band cell{};
    /// The strand that goes out: pulling side at the head, standing side at the far sheave.
    rope_mechanics::part_tension strand_out{};
    /// The strand that comes back: pulling side at the far sheave, standing side at the head.
    rope_mechanics::part_tension strand_back{};
    /// The highest tension anywhere in the rope.
    rope_mechanics::highest highest{};
    /// On the redirect.
    rope_mechanics::turn_load redirect{};
    /// On the far sheave and its anchor.
    rope_mechanics::turn_load far_sheave{};
    /// Both crossings on the head of the frame.
    rope_mechanics::force3 frame{};
    /// The size of each crossing's load: the rope going out, then coming back.
    std::array<rope_mechanics::force, 2> head_crossings{};
    /// The largest closing error, by the largest term of its equation.
    rope_mechanics::ratio residual{};
};
RMECH_SAME_SIZE(track_tensions, rmech_track_tensions);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, struct_size);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, flags);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, capstan);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, cell);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, strand_out);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, strand_back);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, highest);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, redirect);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, far_sheave);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, frame);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, head_crossings);
RMECH_SAME_PLACE(track_tensions, rmech_track_tensions, residual);

/// A drum, bollard or bar with rope wrapped round it.
struct capstan {
    /// sizeof(rmech_capstan); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_capstan));
    /// Zero.
    std::uint32_t flags{};
    /// The lowest coefficient of friction that the rope may have on it: above 0.
    rope_mechanics::ratio friction_low{};
    /// The highest: at most 2.
    rope_mechanics::ratio friction_high{};
    /// Angle between the flanks of its groove, from 10 to 180 degrees; zero if it is flat.
    rope_mechanics::angle groove{};
};
RMECH_SAME_SIZE(capstan, rmech_capstan);
RMECH_SAME_PLACE(capstan, rmech_capstan, struct_size);
RMECH_SAME_PLACE(capstan, rmech_capstan, flags);
RMECH_SAME_PLACE(capstan, rmech_capstan, friction_low);
RMECH_SAME_PLACE(capstan, rmech_capstan, friction_high);
RMECH_SAME_PLACE(capstan, rmech_capstan, groove);

/// A load on a slope, the rope that moves it, and who helps. What stays zero is not there.
struct slope_load {
    /// sizeof(rmech_slope_load); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_slope_load));
    /// Zero.
    std::uint32_t flags{};
    /// Weight of the load.
    rope_mechanics::force weight{};
    /// Slope from the horizontal: 0 to 90 degrees.
    rope_mechanics::angle slope{};
    /// Coefficient of friction with the ground: 0 to 2.
    rope_mechanics::ratio friction{};
    /// Angle at which the rope rises from the slope; negative, it presses the load down.
    rope_mechanics::angle rope_angle{};
    /// Share of the weight carried straight up, by attendants or a line: 0 to 1.
    rope_mechanics::ratio carried_share{};
    /// Weight of all attendants who hang on the rope.
    rope_mechanics::force attendants{};
    /// Share of the downhill part of their weight that they leave to the rope: 0 to 1.
    rope_mechanics::ratio leaning{};
};
RMECH_SAME_SIZE(slope_load, rmech_slope_load);
RMECH_SAME_PLACE(slope_load, rmech_slope_load, struct_size);
RMECH_SAME_PLACE(slope_load, rmech_slope_load, flags);
RMECH_SAME_PLACE(slope_load, rmech_slope_load, weight);
RMECH_SAME_PLACE(slope_load, rmech_slope_load, slope);
RMECH_SAME_PLACE(slope_load, rmech_slope_load, friction);
RMECH_SAME_PLACE(slope_load, rmech_slope_load, rope_angle);
RMECH_SAME_PLACE(slope_load, rmech_slope_load, carried_share);
RMECH_SAME_PLACE(slope_load, rmech_slope_load, attendants);
RMECH_SAME_PLACE(slope_load, rmech_slope_load, leaning);

/// The pulls on a load on a slope.
struct slope_pull {
    /// sizeof(rmech_slope_pull); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_slope_pull));
    /// Zero.
    std::uint32_t flags{};
    /// In the rope, while the load moves up.
    rope_mechanics::force up{};
    /// In the rope, while it moves down; zero if the rope goes slack.
    rope_mechanics::force down{};
    /// While nothing moves.
    rope_mechanics::force_band at_rest{};
    /// The push that moves the load down where it doesn't slide by itself.
    rope_mechanics::force push{};
    /// 1 if the rope goes slack on the way down, else 0.
    std::int32_t slack{};
    /// Zero.
    std::int32_t reserved{};
};
RMECH_SAME_SIZE(slope_pull, rmech_slope_pull);
RMECH_SAME_PLACE(slope_pull, rmech_slope_pull, struct_size);
RMECH_SAME_PLACE(slope_pull, rmech_slope_pull, flags);
RMECH_SAME_PLACE(slope_pull, rmech_slope_pull, up);
RMECH_SAME_PLACE(slope_pull, rmech_slope_pull, down);
RMECH_SAME_PLACE(slope_pull, rmech_slope_pull, at_rest);
RMECH_SAME_PLACE(slope_pull, rmech_slope_pull, push);
RMECH_SAME_PLACE(slope_pull, rmech_slope_pull, slack);
RMECH_SAME_PLACE(slope_pull, rmech_slope_pull, reserved);

/// The slopes, from the horizontal, at which the classes begin.
struct slope_classes {
    /// Low angle.
    rope_mechanics::angle low{};
    /// Steep angle.
    rope_mechanics::angle steep{};
    /// High angle.
    rope_mechanics::angle high{};
};
RMECH_SAME_SIZE(slope_classes, rmech_slope_classes);
RMECH_SAME_PLACE(slope_classes, rmech_slope_classes, low);
RMECH_SAME_PLACE(slope_classes, rmech_slope_classes, steep);
RMECH_SAME_PLACE(slope_classes, rmech_slope_classes, high);

/// A carrier of any tackle.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct carrier {
    /// `RMECH_CARRIER_ANCHOR`, `RMECH_CARRIER_LOAD` or `RMECH_CARRIER_FREE`.
    std::int32_t kind{};
    /// Zero.
    std::int32_t reserved{};
    /// Where it stands.
    rope_mechanics::point at{};
    /// Along which it travels, of any length; all zero for against x. Ignored for an anchor.
    std::array<rope_mechanics::ratio, 3> heading{};
};
RMECH_SAME_SIZE(carrier, rmech_carrier);
RMECH_SAME_PLACE(carrier, rmech_carrier, kind);
RMECH_SAME_PLACE(carrier, rmech_carrier, reserved);
RMECH_SAME_PLACE(carrier, rmech_carrier, at);
RMECH_SAME_PLACE(carrier, rmech_carrier, heading);

/// A stop of a rope. Stops that follow each other with the same `rope` make one rope, from one end to the other.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct stop {
    /// `RMECH_TACKLE_STOP_END`, ...
    std::int32_t kind{};
    /// Any number that differs from those of the ropes before and after it.
    std::uint32_t rope{};
    /// The index of its carrier.
    std::uint32_t carrier{};
    /// Zero.
    std::uint32_t reserved{};
    /// Of a sheave or capture, over half a turn; 1 for a capture that the rope runs straight through.
    rope_mechanics::ratio efficiency{};
    /// Of a bar, while raising.
    rope_mechanics::ratio friction_raising{};
    /// Of a bar, while lowering.
    rope_mechanics::ratio friction_lowering{};
};
RMECH_SAME_SIZE(stop, rmech_stop);
RMECH_SAME_PLACE(stop, rmech_stop, kind);
RMECH_SAME_PLACE(stop, rmech_stop, rope);
RMECH_SAME_PLACE(stop, rmech_stop, carrier);
RMECH_SAME_PLACE(stop, rmech_stop, reserved);
RMECH_SAME_PLACE(stop, rmech_stop, efficiency);
RMECH_SAME_PLACE(stop, rmech_stop, friction_raising);
RMECH_SAME_PLACE(stop, rmech_stop, friction_lowering);

/// A tackle: a usual one and where its parts stand along its line, or one of one's own.
struct tackle {
    /// sizeof(rmech_tackle); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_tackle));
    /// `RMECH_TACKLE_PIGGYBACK`, `RMECH_TACKLE_LEAD`, both or none; none for a tackle of one's own.
    std::uint32_t flags{};
    /// Which: `RMECH_TACKLE_3_TO_1`, ...; or `RMECH_TACKLE_OWN`, for which only the carriers and stops count.
    std::int32_t ready{};
    /// Zero.
    std::int32_t reserved{};
    /// From the anchor to the load.
    rope_mechanics::length load_distance{};
    /// From the anchor to the travelling block or grab when the tackle is spread out: less than that to the load.
    rope_mechanics::length spread{};
    /// From the anchor to the hand or winch; zero for 1 m.
    rope_mechanics::length hand_distance{};
    /// Of every pulley over half a turn: tension after by tension before.
    rope_mechanics::ratio efficiency{};
    /// Of single pulleys, in the order in which the rope reaches them from the load to the hand; zero where it is that
    /// of every pulley.
    std::array<rope_mechanics::ratio, 5> efficiencies{};
    /// The carriers of a tackle of one's own. They stay the caller's, and are read during a call only.
    array_view<rope_mechanics::carrier> carriers;
    /// The stops of its ropes, rope after rope.
    array_view<rope_mechanics::stop> stops;
};
RMECH_SAME_SIZE(tackle, rmech_tackle);
RMECH_SAME_PLACE(tackle, rmech_tackle, struct_size);
RMECH_SAME_PLACE(tackle, rmech_tackle, flags);
RMECH_SAME_PLACE(tackle, rmech_tackle, ready);
RMECH_SAME_PLACE(tackle, rmech_tackle, reserved);
RMECH_SAME_PLACE(tackle, rmech_tackle, load_distance);
RMECH_SAME_PLACE(tackle, rmech_tackle, spread);
RMECH_SAME_PLACE(tackle, rmech_tackle, hand_distance);
RMECH_SAME_PLACE(tackle, rmech_tackle, efficiency);
RMECH_SAME_PLACE(tackle, rmech_tackle, efficiencies);
RMECH_SAME_PLACE(tackle, rmech_tackle, carriers);
RMECH_SAME_PLACE(tackle, rmech_tackle, stops);

/// A haul to be planned.
struct haul_plan {
    /// How far the load is to come: above zero.
    rope_mechanics::length haul{};
    /// What must stay clear between any two carriers that a part joins.
    rope_mechanics::length clearance{};
    /// How far rope slips back through the capture before it holds.
    rope_mechanics::length setback{};
};
RMECH_SAME_SIZE(haul_plan, rmech_haul_plan);
RMECH_SAME_PLACE(haul_plan, rmech_haul_plan, haul);
RMECH_SAME_PLACE(haul_plan, rmech_haul_plan, clearance);
RMECH_SAME_PLACE(haul_plan, rmech_haul_plan, setback);

/// What a haul takes with a tackle that must be reset on the way.
struct cycle {
    /// The load's travel between two resets.
    rope_mechanics::length throw_at_load{};
    /// Rope through the hand between two resets.
    rope_mechanics::length throw_at_hand{};
    /// How far the load goes back at each reset.
    rope_mechanics::length lost{};
    /// All the rope that comes through the hand.
    rope_mechanics::length hand{};
    /// The rope in the tackle as drawn, beside knots and tails.
    rope_mechanics::length rope{};
    /// How many throws the haul takes.
    std::uint32_t throws{};
    /// How many resets lie between them.
    std::uint32_t resets{};
};
RMECH_SAME_SIZE(cycle, rmech_cycle);
RMECH_SAME_PLACE(cycle, rmech_cycle, throw_at_load);
RMECH_SAME_PLACE(cycle, rmech_cycle, throw_at_hand);
RMECH_SAME_PLACE(cycle, rmech_cycle, lost);
RMECH_SAME_PLACE(cycle, rmech_cycle, hand);
RMECH_SAME_PLACE(cycle, rmech_cycle, rope);
RMECH_SAME_PLACE(cycle, rmech_cycle, throws);
RMECH_SAME_PLACE(cycle, rmech_cycle, resets);

/// Load by hand force.
struct advantage {
    /// Without losses.
    rope_mechanics::ratio ideal{};
    /// While the load comes.
    rope_mechanics::ratio hauling{};
    /// While the load goes.
    rope_mechanics::ratio lowering{};
};
RMECH_SAME_SIZE(advantage, rmech_advantage);
RMECH_SAME_PLACE(advantage, rmech_advantage, ideal);
RMECH_SAME_PLACE(advantage, rmech_advantage, hauling);
RMECH_SAME_PLACE(advantage, rmech_advantage, lowering);

/// What a tackle does for a load.
struct tackle_forces {
    /// At the hand or winch; zero while a capture holds.
    rope_mechanics::force hand{};
    /// The highest tension of any part.
    rope_mechanics::force highest{};
    /// Rope through the hand for each length that the load travels.
    rope_mechanics::ratio velocity_ratio{};
    /// How many parts of rope there are.
    std::uint32_t parts{};
    /// How many sheaves the ropes turn over.
    std::uint32_t sheaves{};
    /// How many stops `rmech_tackle_on_sheaves` gives: the sheaves, and captures that a rope runs straight through.
    std::uint32_t turns{};
    /// How many carriers there are.
    std::uint32_t carriers{};
};
RMECH_SAME_SIZE(tackle_forces, rmech_tackle_forces);
RMECH_SAME_PLACE(tackle_forces, rmech_tackle_forces, hand);
RMECH_SAME_PLACE(tackle_forces, rmech_tackle_forces, highest);
RMECH_SAME_PLACE(tackle_forces, rmech_tackle_forces, velocity_ratio);
RMECH_SAME_PLACE(tackle_forces, rmech_tackle_forces, parts);
RMECH_SAME_PLACE(tackle_forces, rmech_tackle_forces, sheaves);
RMECH_SAME_PLACE(tackle_forces, rmech_tackle_forces, turns);
RMECH_SAME_PLACE(tackle_forces, rmech_tackle_forces, carriers);

/// What a rope does to a sheave, connector, bar or capture.
struct sheave_force {
    /// Where it sits: the place of its carrier.
    std::uint32_t carrier{};
    /// The rope over it, in the order in which they are reeved.
    std::uint32_t rope{};
    /// Which stop of that rope it is, from 0.
    std::uint32_t stop{};
    /// Zero.
    std::uint32_t reserved{};
    /// How far the rope turns.
    rope_mechanics::angle turn{};
    /// What the rope does to it.
    rope_mechanics::force3 force{};
};
RMECH_SAME_SIZE(sheave_force, rmech_sheave_force);
RMECH_SAME_PLACE(sheave_force, rmech_sheave_force, carrier);
RMECH_SAME_PLACE(sheave_force, rmech_sheave_force, rope);
RMECH_SAME_PLACE(sheave_force, rmech_sheave_force, stop);
RMECH_SAME_PLACE(sheave_force, rmech_sheave_force, reserved);
RMECH_SAME_PLACE(sheave_force, rmech_sheave_force, turn);
RMECH_SAME_PLACE(sheave_force, rmech_sheave_force, force);

/// What all ropes do to a carrier, and how it moves.
struct carrier_force {
    /// What it is called, NUL-terminated: "anchor", "load", "grab", ...; of a tackle of one's own "carrier 0", ...
    std::array<char, 24> name{};
    /// The force that all ropes together put on it.
    rope_mechanics::force3 force{};
    /// How far it travels along its heading for each length that the load travels; zero for an anchor.
    rope_mechanics::ratio travel{};
};
RMECH_SAME_SIZE(carrier_force, rmech_carrier_force);
RMECH_SAME_PLACE(carrier_force, rmech_carrier_force, name);
RMECH_SAME_PLACE(carrier_force, rmech_carrier_force, force);
RMECH_SAME_PLACE(carrier_force, rmech_carrier_force, travel);

/// The greatest travel before a tackle must be reset.
struct throw_ {
    /// How far the load travels.
    rope_mechanics::length load{};
    /// How much rope comes through the hand.
    rope_mechanics::length hand{};
    /// The part that gets too short first: the place of the carrier where it begins.
    std::uint32_t from{};
    /// That of the carrier where it ends.
    std::uint32_t to{};
};
RMECH_SAME_SIZE(throw_, rmech_throw);
RMECH_SAME_PLACE(throw_, rmech_throw, load);
RMECH_SAME_PLACE(throw_, rmech_throw, hand);
RMECH_SAME_PLACE(throw_, rmech_throw, from);
RMECH_SAME_PLACE(throw_, rmech_throw, to);

/// The usual tackle found.
struct tackle_found {
    /// Which, as in `rmech_tackle`.
    std::int32_t ready{};
    /// Its flags, as in `rmech_tackle`.
    std::uint32_t flags{};
    /// The force at the hand while hauling.
    rope_mechanics::force hand{};
    /// Its rope as drawn, beside knots and tails.
    rope_mechanics::length rope{};
};
RMECH_SAME_SIZE(tackle_found, rmech_tackle_found);
RMECH_SAME_PLACE(tackle_found, rmech_tackle_found, ready);
RMECH_SAME_PLACE(tackle_found, rmech_tackle_found, flags);
RMECH_SAME_PLACE(tackle_found, rmech_tackle_found, hand);
RMECH_SAME_PLACE(tackle_found, rmech_tackle_found, rope);

/// A turn of the haul line outside its tackle: over the frame, over an edge, beside the winch.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct haul_redirect {
    /// What the rope turns on: a sheave, a bare connector by its efficiency, a fixed bar or edge by its friction.
    rope_mechanics::turn turn{};
    /// How far the rope turns: from 0 to half a turn.
    rope_mechanics::angle angle{};
};
RMECH_SAME_SIZE(haul_redirect, rmech_haul_redirect);
RMECH_SAME_PLACE(haul_redirect, rmech_haul_redirect, turn);
RMECH_SAME_PLACE(haul_redirect, rmech_haul_redirect, angle);

/// What the load asks of its haul line.
struct pull {
    /// While the load comes.
    rope_mechanics::force hauling{};
    /// While it goes: no more than hauling; zero where the rope goes slack.
    rope_mechanics::force lowering{};
};
RMECH_SAME_SIZE(pull, rmech_pull);
RMECH_SAME_PLACE(pull, rmech_pull, hauling);
RMECH_SAME_PLACE(pull, rmech_pull, lowering);

/// The force on a redirect.
struct redirect_force {
    /// While the load comes.
    rope_mechanics::force hauling{};
    /// While the load goes.
    rope_mechanics::force lowering{};
};
RMECH_SAME_SIZE(redirect_force, rmech_redirect_force);
RMECH_SAME_PLACE(redirect_force, rmech_redirect_force, hauling);
RMECH_SAME_PLACE(redirect_force, rmech_redirect_force, lowering);

/// The forces, speed and resets of a haul.
struct haul {
    /// sizeof(rmech_haul); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_haul));
    /// Zero.
    std::uint32_t flags{};
    /// At the winch while the load comes; at rest, the greatest that doesn't yet haul it.
    rope_mechanics::force hauling{};
    /// At the winch while the load goes; at rest, the least that keeps it from going.
    rope_mechanics::force lowering{};
    /// The highest tension of any part of rope while hauling.
    rope_mechanics::force highest{};
    /// The greatest force on a carrier of the tackle that stays, while hauling: its anchor, as a rule.
    rope_mechanics::force anchor{};
    /// The load's speed while the winch turns.
    rope_mechanics::velocity load_speed{};
    /// Time with the winch turning; the resets take theirs besides.
    rope_mechanics::time pulling{};
    /// Throws, resets and rope.
    rope_mechanics::cycle cycle{};
};
RMECH_SAME_SIZE(haul, rmech_haul);
RMECH_SAME_PLACE(haul, rmech_haul, struct_size);
RMECH_SAME_PLACE(haul, rmech_haul, flags);
RMECH_SAME_PLACE(haul, rmech_haul, hauling);
RMECH_SAME_PLACE(haul, rmech_haul, lowering);
RMECH_SAME_PLACE(haul, rmech_haul, highest);
RMECH_SAME_PLACE(haul, rmech_haul, anchor);
RMECH_SAME_PLACE(haul, rmech_haul, load_speed);
RMECH_SAME_PLACE(haul, rmech_haul, pulling);
RMECH_SAME_PLACE(haul, rmech_haul, cycle);

/// A rope of a bridle.
struct bridle_rope {
    /// Where it leaves its last sheave or anchor.
    rope_mechanics::point from{};
    /// How it stretches from there to the load.
    rope_mechanics::stretch stretch{};
};
RMECH_SAME_SIZE(bridle_rope, rmech_bridle_rope);
RMECH_SAME_PLACE(bridle_rope, rmech_bridle_rope, from);
RMECH_SAME_PLACE(bridle_rope, rmech_bridle_rope, stretch);

/// A load at rest on its ropes.
struct hang {
    /// sizeof(rmech_hang).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_hang));
    /// Zero.
    std::uint32_t flags{};
    /// Where the load is.
    rope_mechanics::point position{};
    /// The largest gap left between the end of a stretched rope and the load.
    rope_mechanics::length closing_error{};
    /// The sum of all forces on the load that is left over.
    rope_mechanics::force imbalance{};
};
RMECH_SAME_SIZE(hang, rmech_hang);
RMECH_SAME_PLACE(hang, rmech_hang, struct_size);
RMECH_SAME_PLACE(hang, rmech_hang, flags);
RMECH_SAME_PLACE(hang, rmech_hang, position);
RMECH_SAME_PLACE(hang, rmech_hang, closing_error);
RMECH_SAME_PLACE(hang, rmech_hang, imbalance);

/// One rope of a load at rest.
struct hang_rope {
    /// How hard it pulls; zero if it is slack.
    rope_mechanics::force tension{};
    /// Its unstretched length.
    rope_mechanics::length length{};
    /// What it does to the point that it comes from: y is the side force on a frame's head.
    rope_mechanics::force3 on_point{};
    /// 1 if it is slack, else 0.
    std::int32_t slack{};
    /// Zero.
    std::int32_t reserved{};
};
RMECH_SAME_SIZE(hang_rope, rmech_hang_rope);
RMECH_SAME_PLACE(hang_rope, rmech_hang_rope, tension);
RMECH_SAME_PLACE(hang_rope, rmech_hang_rope, length);
RMECH_SAME_PLACE(hang_rope, rmech_hang_rope, on_point);
RMECH_SAME_PLACE(hang_rope, rmech_hang_rope, slack);
RMECH_SAME_PLACE(hang_rope, rmech_hang_rope, reserved);

/// A load at rest at one step of its way.
struct hang_step {
    /// RMECH_OK, or why the load can't hang there; the rest of the step and its ropes are zero then.
    std::int32_t status{};
    /// Zero.
    std::int32_t reserved{};
    /// Where the load is.
    rope_mechanics::point position{};
    /// The largest gap left between the end of a stretched rope and the load.
    rope_mechanics::length closing_error{};
    /// The sum of all forces on the load that is left over.
    rope_mechanics::force imbalance{};
};
RMECH_SAME_SIZE(hang_step, rmech_hang_step);
RMECH_SAME_PLACE(hang_step, rmech_hang_step, status);
RMECH_SAME_PLACE(hang_step, rmech_hang_step, reserved);
RMECH_SAME_PLACE(hang_step, rmech_hang_step, position);
RMECH_SAME_PLACE(hang_step, rmech_hang_step, closing_error);
RMECH_SAME_PLACE(hang_step, rmech_hang_step, imbalance);

/// The litter after the track rope fails.
struct track_lost {
    /// sizeof(rmech_track_lost).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_track_lost));
    /// 1 if the litter comes down on the ground before it hangs, else 0.
    std::int32_t lands{};
    /// How far it goes down: to the ground or until it hangs, whichever comes first.
    rope_mechanics::length drop{};
    /// No faster than this does it meet the ground; zero if it doesn't.
    rope_mechanics::velocity landing_speed{};
    /// Where it would hang if no ground were in the way.
    rope_mechanics::point rest{};
};
RMECH_SAME_SIZE(track_lost, rmech_track_lost);
RMECH_SAME_PLACE(track_lost, rmech_track_lost, struct_size);
RMECH_SAME_PLACE(track_lost, rmech_track_lost, lands);
RMECH_SAME_PLACE(track_lost, rmech_track_lost, drop);
RMECH_SAME_PLACE(track_lost, rmech_track_lost, landing_speed);
RMECH_SAME_PLACE(track_lost, rmech_track_lost, rest);

/// A remaining rope after the track rope fails.
struct track_lost_rope {
    /// Its tension once the litter hangs, if no ground were in the way.
    rope_mechanics::force rest{};
    /// It is pulled no harder than this at any moment, however the litter swings.
    rope_mechanics::force peak_bound{};
};
RMECH_SAME_SIZE(track_lost_rope, rmech_track_lost_rope);
RMECH_SAME_PLACE(track_lost_rope, rmech_track_lost_rope, rest);
RMECH_SAME_PLACE(track_lost_rope, rmech_track_lost_rope, peak_bound);

/// What a rope does to the head. One that runs over it pulls twice, once for each of its parts.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct at_head {
    /// `RMECH_AT_HEAD_TOWARDS` or `RMECH_AT_HEAD_ALONG`.
    std::int32_t kind{};
    /// Zero.
    std::int32_t reserved{};
    /// Where it runs to, if towards a point.
    rope_mechanics::point point{};
    /// Where it runs to, if along a direction.
    rope_mechanics::direction direction{};
    /// How hard it pulls.
    rope_mechanics::force tension{};
};
RMECH_SAME_SIZE(at_head, rmech_at_head);
RMECH_SAME_PLACE(at_head, rmech_at_head, kind);
RMECH_SAME_PLACE(at_head, rmech_at_head, reserved);
RMECH_SAME_PLACE(at_head, rmech_at_head, point);
RMECH_SAME_PLACE(at_head, rmech_at_head, direction);
RMECH_SAME_PLACE(at_head, rmech_at_head, tension);

/// A leg of a frame. It pushes only, unless its foot is staked.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct leg {
    /// Its foot.
    rope_mechanics::point foot{};
    /// EA; zero if it isn't known.
    rope_mechanics::force axial_stiffness{};
    /// The compression that it bears at `strength_length`; zero if it isn't known.
    rope_mechanics::force strength{};
    /// The length of leg for which `strength` holds.
    rope_mechanics::length strength_length{};
    /// 1 if the foot is staked, so that the leg may pull as well; else 0.
    std::int32_t staked{};
    /// Zero.
    std::int32_t reserved{};
};
RMECH_SAME_SIZE(leg, rmech_leg);
RMECH_SAME_PLACE(leg, rmech_leg, foot);
RMECH_SAME_PLACE(leg, rmech_leg, axial_stiffness);
RMECH_SAME_PLACE(leg, rmech_leg, strength);
RMECH_SAME_PLACE(leg, rmech_leg, strength_length);
RMECH_SAME_PLACE(leg, rmech_leg, staked);
RMECH_SAME_PLACE(leg, rmech_leg, reserved);

/// A guy of a frame. It pulls only.
struct guy {
    /// Its anchor.
    rope_mechanics::point anchor{};
    /// EA; zero if it isn't known.
    rope_mechanics::force axial_stiffness{};
    /// The pull that it and its anchor bear; zero if it isn't known.
    rope_mechanics::force strength{};
};
RMECH_SAME_SIZE(guy, rmech_guy);
RMECH_SAME_PLACE(guy, rmech_guy, anchor);
RMECH_SAME_PLACE(guy, rmech_guy, axial_stiffness);
RMECH_SAME_PLACE(guy, rmech_guy, strength);

/// A rope between two feet, by the places of their legs in the list.
struct hobble {
    /// One leg, counted from 0.
    std::uint32_t from{};
    /// The other.
    std::uint32_t to{};
};
RMECH_SAME_SIZE(hobble, rmech_hobble);
RMECH_SAME_PLACE(hobble, rmech_hobble, from);
RMECH_SAME_PLACE(hobble, rmech_hobble, to);

/// A frame. Its lists stay the caller's, and are read during a call only.
struct frame {
    /// sizeof(rmech_frame); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_frame));
    /// Zero.
    std::uint32_t flags{};
    /// The head.
    rope_mechanics::point head{};
    /// The legs.
    array_view<rope_mechanics::leg> legs;
    /// The guys; may be NULL for none.
    array_view<rope_mechanics::guy> guys;
    /// The hobbles; may be NULL for none.
    array_view<rope_mechanics::hobble> hobbles;
};
RMECH_SAME_SIZE(frame, rmech_frame);
RMECH_SAME_PLACE(frame, rmech_frame, struct_size);
RMECH_SAME_PLACE(frame, rmech_frame, flags);
RMECH_SAME_PLACE(frame, rmech_frame, head);
RMECH_SAME_PLACE(frame, rmech_frame, legs);
RMECH_SAME_PLACE(frame, rmech_frame, guys);
RMECH_SAME_PLACE(frame, rmech_frame, hobbles);

/// The forces of a frame that stands.
struct frame_forces {
    /// sizeof(rmech_frame_forces).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_frame_forces));
    /// How the members share: a `RMECH_SHARING_...`.
    std::int32_t sharing{};
    /// Sum of all ropes at the head.
    rope_mechanics::force3 resultant{};
    /// Residual of the equilibrium of the head, by the largest force.
    double residual{};
    /// How far it stands from tipping. See `rmech_frame_stability` for the rest.
    rope_mechanics::angle margin{};
};
RMECH_SAME_SIZE(frame_forces, rmech_frame_forces);
RMECH_SAME_PLACE(frame_forces, rmech_frame_forces, struct_size);
RMECH_SAME_PLACE(frame_forces, rmech_frame_forces, sharing);
RMECH_SAME_PLACE(frame_forces, rmech_frame_forces, resultant);
RMECH_SAME_PLACE(frame_forces, rmech_frame_forces, residual);
RMECH_SAME_PLACE(frame_forces, rmech_frame_forces, margin);

/// The force in a leg and at its foot.
struct leg_forces {
    /// Along the leg; negative if it pulls at its stake.
    rope_mechanics::force compression{};
    /// What leg and hobbles together do to the ground.
    rope_mechanics::force3 on_ground{};
    /// Horizontal by vertical force at the foot; negative (−1) where nothing presses it down.
    rope_mechanics::ratio friction_needed{};
    /// Strength by compression; zero where there is no strength or no compression.
    rope_mechanics::ratio factor{};
};
RMECH_SAME_SIZE(leg_forces, rmech_leg_forces);
RMECH_SAME_PLACE(leg_forces, rmech_leg_forces, compression);
RMECH_SAME_PLACE(leg_forces, rmech_leg_forces, on_ground);
RMECH_SAME_PLACE(leg_forces, rmech_leg_forces, friction_needed);
RMECH_SAME_PLACE(leg_forces, rmech_leg_forces, factor);

/// The force in a guy.
struct guy_forces {
    /// Zero for a slack guy.
    rope_mechanics::force tension{};
    /// Strength by tension; zero where there is no strength or no tension.
    rope_mechanics::ratio factor{};
};
RMECH_SAME_SIZE(guy_forces, rmech_guy_forces);
RMECH_SAME_PLACE(guy_forces, rmech_guy_forces, tension);
RMECH_SAME_PLACE(guy_forces, rmech_guy_forces, factor);

/// A frame with its head at one of several places.
struct frame_at_head {
    /// RMECH_OK, or why there is no answer at this place: RMECH_ERR_GEOMETRY where the frame falls. The rest is zero
    /// then, and so are its legs; `rmech_frame_solve` with this head says more.
    std::int32_t status{};
    /// How the members share: a `RMECH_SHARING_...`.
    std::int32_t sharing{};
    /// Sum of all ropes at the head.
    rope_mechanics::force3 resultant{};
    /// How far it stands from tipping.
    rope_mechanics::angle margin{};
    /// Horizontal by vertical part of the resultant at which it tips on the side where the resultant leans; infinite
    /// if never, negative (−1) if it stands at none.
    rope_mechanics::ratio tip_limit{};
    /// Residual of the equilibrium of the head, by the largest force.
    double residual{};
};
RMECH_SAME_SIZE(frame_at_head, rmech_frame_at_head);
RMECH_SAME_PLACE(frame_at_head, rmech_frame_at_head, status);
RMECH_SAME_PLACE(frame_at_head, rmech_frame_at_head, sharing);
RMECH_SAME_PLACE(frame_at_head, rmech_frame_at_head, resultant);
RMECH_SAME_PLACE(frame_at_head, rmech_frame_at_head, margin);
RMECH_SAME_PLACE(frame_at_head, rmech_frame_at_head, tip_limit);
RMECH_SAME_PLACE(frame_at_head, rmech_frame_at_head, residual);

/// Whether and how a frame falls.
struct frame_fall {
    /// sizeof(rmech_frame_fall).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_frame_fall));
    /// 1 if it falls; 0 if it stands, and then the rest is zero.
    std::int32_t falls{};
    /// The least force at the head that would keep it up.
    rope_mechanics::force3 missing{};
    /// The azimuth of that from x towards y: the side on which a guy is needed.
    rope_mechanics::angle guy_needed_towards{};
    /// 1 if `guy_needed_towards` is known: unless the missing force is vertical.
    std::int32_t side_known{};
    /// A bit for each guy that would have to push, the first being 1: the wrong guys.
    std::uint32_t wrong_guys{};
};
RMECH_SAME_SIZE(frame_fall, rmech_frame_fall);
RMECH_SAME_PLACE(frame_fall, rmech_frame_fall, struct_size);
RMECH_SAME_PLACE(frame_fall, rmech_frame_fall, falls);
RMECH_SAME_PLACE(frame_fall, rmech_frame_fall, missing);
RMECH_SAME_PLACE(frame_fall, rmech_frame_fall, guy_needed_towards);
RMECH_SAME_PLACE(frame_fall, rmech_frame_fall, side_known);
RMECH_SAME_PLACE(frame_fall, rmech_frame_fall, wrong_guys);

/// How far a frame stands from tipping.
struct stability {
    /// sizeof(rmech_stability).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_stability));
    /// Sum of the `RMECH_STABILITY_...` of what is known; the rest is zero.
    std::int32_t known{};
    /// Angle from the resultant to the nearest plane over which the frame tips; negative where it falls.
    rope_mechanics::angle margin{};
    /// Lever arm of the resultant about that edge.
    rope_mechanics::length lever{};
    /// Horizontal by vertical part of the resultant.
    rope_mechanics::ratio lateral{};
    /// The value of `lateral` at which it tips on the side where the resultant leans; infinite if never.
    rope_mechanics::ratio tip_limit{};
    /// One end of the edge: a `RMECH_FRAME_PART_...`.
    std::int32_t edge_from{};
    /// Its place in the list.
    std::int32_t edge_from_index{};
    /// The other end.
    std::int32_t edge_to{};
    /// Its place in the list.
    std::int32_t edge_to_index{};
};
RMECH_SAME_SIZE(stability, rmech_stability);
RMECH_SAME_PLACE(stability, rmech_stability, struct_size);
RMECH_SAME_PLACE(stability, rmech_stability, known);
RMECH_SAME_PLACE(stability, rmech_stability, margin);
RMECH_SAME_PLACE(stability, rmech_stability, lever);
RMECH_SAME_PLACE(stability, rmech_stability, lateral);
RMECH_SAME_PLACE(stability, rmech_stability, tip_limit);
RMECH_SAME_PLACE(stability, rmech_stability, edge_from);
RMECH_SAME_PLACE(stability, rmech_stability, edge_from_index);
RMECH_SAME_PLACE(stability, rmech_stability, edge_to);
RMECH_SAME_PLACE(stability, rmech_stability, edge_to_index);

/// What a frame bears in one vertical half-plane of resultants; tilts count from straight down.
struct cone_edge {
    /// sizeof(rmech_cone_edge).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_cone_edge));
    /// 1 if the frame stands at some tilt.
    std::int32_t stands{};
    /// Least tilt at which it stands.
    rope_mechanics::angle stands_from{};
    /// Greatest.
    rope_mechanics::angle stands_to{};
    /// Least tilt at which no leg or guy exceeds its strength.
    rope_mechanics::angle bears_from{};
    /// Greatest.
    rope_mechanics::angle bears_to{};
    /// 1 if there are such tilts.
    std::int32_t bears{};
    /// Zero.
    std::int32_t reserved{};
};
RMECH_SAME_SIZE(cone_edge, rmech_cone_edge);
RMECH_SAME_PLACE(cone_edge, rmech_cone_edge, struct_size);
RMECH_SAME_PLACE(cone_edge, rmech_cone_edge, stands);
RMECH_SAME_PLACE(cone_edge, rmech_cone_edge, stands_from);
RMECH_SAME_PLACE(cone_edge, rmech_cone_edge, stands_to);
RMECH_SAME_PLACE(cone_edge, rmech_cone_edge, bears_from);
RMECH_SAME_PLACE(cone_edge, rmech_cone_edge, bears_to);
RMECH_SAME_PLACE(cone_edge, rmech_cone_edge, bears);
RMECH_SAME_PLACE(cone_edge, rmech_cone_edge, reserved);

/// A leg of an anchor, from its own anchor to the master point.
struct anchor_leg {
    /// Where its own anchor is.
    rope_mechanics::point at{};
    /// EA.
    rope_mechanics::force axial_stiffness{};
    /// How much longer it is than the distance; zero where it is just taut before the load.
    rope_mechanics::length slack{};
};
RMECH_SAME_SIZE(anchor_leg, rmech_anchor_leg);
RMECH_SAME_PLACE(anchor_leg, rmech_anchor_leg, at);
RMECH_SAME_PLACE(anchor_leg, rmech_anchor_leg, axial_stiffness);
RMECH_SAME_PLACE(anchor_leg, rmech_anchor_leg, slack);

/// An anchor that has settled under its load.
struct settled {
    /// sizeof(rmech_settled).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_settled));
    /// Zero.
    std::uint32_t flags{};
    /// Where the master point has come to.
    rope_mechanics::point master{};
    /// How far it has moved.
    rope_mechanics::length moved{};
    /// Residual of its equilibrium, by the largest force.
    double residual{};
};
RMECH_SAME_SIZE(settled, rmech_settled);
RMECH_SAME_PLACE(settled, rmech_settled, struct_size);
RMECH_SAME_PLACE(settled, rmech_settled, flags);
RMECH_SAME_PLACE(settled, rmech_settled, master);
RMECH_SAME_PLACE(settled, rmech_settled, moved);
RMECH_SAME_PLACE(settled, rmech_settled, residual);

/// A vehicle with its brakes set.
struct vehicle {
    /// sizeof(rmech_vehicle).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_vehicle));
    /// Zero.
    std::uint32_t flags{};
    /// Its mass.
    rope_mechanics::mass mass{};
    /// Of braked tyres on the road: see `rmech_surface_friction`.
    rope_mechanics::ratio friction{};
    /// Of the road, positive where the rope pulls downhill.
    rope_mechanics::angle grade{};
    /// Of the rope over the road from the vehicle on.
    rope_mechanics::angle rope_rise{};
    /// Share of the weight on braked wheels; zero for all of it.
    rope_mechanics::ratio braked_share{};
};
RMECH_SAME_SIZE(vehicle, rmech_vehicle);
RMECH_SAME_PLACE(vehicle, rmech_vehicle, struct_size);
RMECH_SAME_PLACE(vehicle, rmech_vehicle, flags);
RMECH_SAME_PLACE(vehicle, rmech_vehicle, mass);
RMECH_SAME_PLACE(vehicle, rmech_vehicle, friction);
RMECH_SAME_PLACE(vehicle, rmech_vehicle, grade);
RMECH_SAME_PLACE(vehicle, rmech_vehicle, rope_rise);
RMECH_SAME_PLACE(vehicle, rmech_vehicle, braked_share);

/// A beam buried across the pull.
struct deadman {
    /// sizeof(rmech_deadman).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_deadman));
    /// Zero.
    std::uint32_t flags{};
    /// A `RMECH_BEAM_...`.
    std::int32_t beam{};
    /// A `RMECH_DEADMAN_SOIL_...`.
    std::int32_t soil{};
    /// Mean depth: 3 ft to 7 ft.
    rope_mechanics::length mean_depth{};
    /// Rise by run of the rope: 0.25 (1:4) to 1 (1:1).
    rope_mechanics::ratio slope{};
    /// Height of the face of a timber, or the diameter of a log.
    rope_mechanics::length face{};
    /// Thickness of a timber along the pull; not used for a log.
    rope_mechanics::length thickness{};
};
RMECH_SAME_SIZE(deadman, rmech_deadman);
RMECH_SAME_PLACE(deadman, rmech_deadman, struct_size);
RMECH_SAME_PLACE(deadman, rmech_deadman, flags);
RMECH_SAME_PLACE(deadman, rmech_deadman, beam);
RMECH_SAME_PLACE(deadman, rmech_deadman, soil);
RMECH_SAME_PLACE(deadman, rmech_deadman, mean_depth);
RMECH_SAME_PLACE(deadman, rmech_deadman, slope);
RMECH_SAME_PLACE(deadman, rmech_deadman, face);
RMECH_SAME_PLACE(deadman, rmech_deadman, thickness);

/// A piece of rope.
struct rope_piece {
    /// Its stretch in a fall.
    rope_mechanics::stretch stretch{};
    /// Its unstretched length, at least a millimetre.
    rope_mechanics::length length{};
};
RMECH_SAME_SIZE(rope_piece, rmech_rope_piece);
RMECH_SAME_PLACE(rope_piece, rmech_rope_piece, stretch);
RMECH_SAME_PLACE(rope_piece, rmech_rope_piece, length);

/// A load that falls freely and is then stopped by a rope, or by several end to end.
struct fall {
    /// sizeof(rmech_fall).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_fall));
    /// Zero.
    std::uint32_t flags{};
    /// The weight of the load.
    rope_mechanics::force weight{};
    /// How far it falls freely, slack and reaction not counted.
    rope_mechanics::length height{};
    /// Slack in the rope: falls further on the same rope.
    rope_mechanics::length slack{};
    /// What runs freely through a belay device before it grabs: falls further, on as much more rope.
    rope_mechanics::length reaction{};
    /// The unstretched rope from load to anchor, at least a millimetre; the first of several.
    rope_mechanics::length length{};
    /// The stretch of the rope in a fall: about twice as stiff as under a slow load (from memory).
    rope_mechanics::stretch stretch{};
    /// The force at which a device in series slips; zero for none.
    rope_mechanics::force slip_force{};
    /// The travel of that device; zero for as much as it takes.
    rope_mechanics::length slip_travel{};
    /// More pieces of rope end to end with the first, in any order: a lanyard, a sling. May be NULL for none.
    array_view<rope_mechanics::rope_piece> in_series;
};
RMECH_SAME_SIZE(fall, rmech_fall);
RMECH_SAME_PLACE(fall, rmech_fall, struct_size);
RMECH_SAME_PLACE(fall, rmech_fall, flags);
RMECH_SAME_PLACE(fall, rmech_fall, weight);
RMECH_SAME_PLACE(fall, rmech_fall, height);
RMECH_SAME_PLACE(fall, rmech_fall, slack);
RMECH_SAME_PLACE(fall, rmech_fall, reaction);
RMECH_SAME_PLACE(fall, rmech_fall, length);
RMECH_SAME_PLACE(fall, rmech_fall, stretch);
RMECH_SAME_PLACE(fall, rmech_fall, slip_force);
RMECH_SAME_PLACE(fall, rmech_fall, slip_travel);
RMECH_SAME_PLACE(fall, rmech_fall, in_series);

/// How a load was stopped.
struct arrest {
    /// sizeof(rmech_arrest).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_arrest));
    /// What the device did, one of RMECH_DEVICE_….
    std::int32_t device{};
    /// The greatest tension of the rope, and force on load and anchor. Undamped.
    rope_mechanics::force peak_force{};
    /// The stretch of the rope at that moment, from its unstretched length; of all pieces together.
    rope_mechanics::length elongation{};
    /// What ran through the device.
    rope_mechanics::length slip{};
    /// From where the rope begins to brake to the lowest point.
    rope_mechanics::length stopping_distance{};
    /// From where the load is released to the lowest point: the clearance needed.
    rope_mechanics::length total_drop{};
    /// The speed at which the rope begins to brake.
    rope_mechanics::velocity speed{};
    /// What is left over of the energy turned over, as a share.
    double residual{};
};
RMECH_SAME_SIZE(arrest, rmech_arrest);
RMECH_SAME_PLACE(arrest, rmech_arrest, struct_size);
RMECH_SAME_PLACE(arrest, rmech_arrest, device);
RMECH_SAME_PLACE(arrest, rmech_arrest, peak_force);
RMECH_SAME_PLACE(arrest, rmech_arrest, elongation);
RMECH_SAME_PLACE(arrest, rmech_arrest, slip);
RMECH_SAME_PLACE(arrest, rmech_arrest, stopping_distance);
RMECH_SAME_PLACE(arrest, rmech_arrest, total_drop);
RMECH_SAME_PLACE(arrest, rmech_arrest, speed);
RMECH_SAME_PLACE(arrest, rmech_arrest, residual);

/// A load that hangs on a rope, or on several end to end, and is being lowered at a steady speed.
struct lowered_load {
    /// sizeof(rmech_lowered_load).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_lowered_load));
    /// Zero.
    std::uint32_t flags{};
    /// The weight of the load, all of it on the rope.
    rope_mechanics::force weight{};
    /// The speed at which it is lowered.
    rope_mechanics::velocity speed{};
    /// The unstretched rope that is out, at least a millimetre; the first of several.
    rope_mechanics::length length{};
    /// The stretch of the rope in a fall: about twice as stiff as under a slow load (from memory).
    rope_mechanics::stretch stretch{};
    /// More pieces of rope end to end with the first, in any order: a lanyard, a sling. May be NULL for none.
    array_view<rope_mechanics::rope_piece> in_series;
};
RMECH_SAME_SIZE(lowered_load, rmech_lowered_load);
RMECH_SAME_PLACE(lowered_load, rmech_lowered_load, struct_size);
RMECH_SAME_PLACE(lowered_load, rmech_lowered_load, flags);
RMECH_SAME_PLACE(lowered_load, rmech_lowered_load, weight);
RMECH_SAME_PLACE(lowered_load, rmech_lowered_load, speed);
RMECH_SAME_PLACE(lowered_load, rmech_lowered_load, length);
RMECH_SAME_PLACE(lowered_load, rmech_lowered_load, stretch);
RMECH_SAME_PLACE(lowered_load, rmech_lowered_load, in_series);

/// A rope, or several end to end, that still holds when another fails.
struct holding {
    /// Its stretch in a fall.
    rope_mechanics::stretch stretch{};
    /// Its unstretched length; of the first of several.
    rope_mechanics::length length{};
    /// Slack in the whole; zero if it pulls.
    rope_mechanics::length slack{};
    /// The tension it already has; zero if it is slack.
    rope_mechanics::force tension{};
    /// More pieces of rope end to end with the first, in any order: a lanyard, a sling. May be NULL for none.
    array_view<rope_mechanics::rope_piece> in_series;
};
RMECH_SAME_SIZE(holding, rmech_holding);
RMECH_SAME_PLACE(holding, rmech_holding, stretch);
RMECH_SAME_PLACE(holding, rmech_holding, length);
RMECH_SAME_PLACE(holding, rmech_holding, slack);
RMECH_SAME_PLACE(holding, rmech_holding, tension);
RMECH_SAME_PLACE(holding, rmech_holding, in_series);

/// How far a load drops on the remaining ropes after one has failed.
struct hand_over {
    /// sizeof(rmech_hand_over).
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_hand_over));
    /// Zero.
    std::uint32_t flags{};
    /// Until it is at rest.
    rope_mechanics::length rest_travel{};
    /// Until the lowest point.
    rope_mechanics::length peak_travel{};
    /// What is left over of energy and force, as a share.
    double residual{};
};
RMECH_SAME_SIZE(hand_over, rmech_hand_over);
RMECH_SAME_PLACE(hand_over, rmech_hand_over, struct_size);
RMECH_SAME_PLACE(hand_over, rmech_hand_over, flags);
RMECH_SAME_PLACE(hand_over, rmech_hand_over, rest_travel);
RMECH_SAME_PLACE(hand_over, rmech_hand_over, peak_travel);
RMECH_SAME_PLACE(hand_over, rmech_hand_over, residual);

/// The tension of a rope after another has failed.
struct share {
    /// Its tension at rest.
    rope_mechanics::force rest{};
    /// Its tension at the lowest point, undamped.
    rope_mechanics::force peak{};
};
RMECH_SAME_SIZE(share, rmech_share);
RMECH_SAME_PLACE(share, rmech_share, rest);
RMECH_SAME_PLACE(share, rmech_share, peak);

/// A winch with a permanent-magnet motor, at one state of charge of its battery.
struct winch {
    /// sizeof(rmech_winch); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_winch));
    /// `RMECH_WINCH_BACK_EFFICIENCY` or zero.
    std::uint32_t flags{};
    /// Torque of the motor per ampere.
    rope_mechanics::motor_constant motor_constant{};
    /// What turns the motor and its gear without load.
    rope_mechanics::current no_load_current{};
    /// Of the winding with its brushes at 25 °C.
    rope_mechanics::resistance winding{};
    /// Turns of the motor for one of the drum.
    rope_mechanics::ratio gear_ratio{};
    /// Of the gear, hauling.
    rope_mechanics::ratio gear_efficiency{};
    /// Of the gear, when the load drives; read only with `RMECH_WINCH_BACK_EFFICIENCY`.
    rope_mechanics::ratio back_efficiency{};
    /// From the axis to the middle of the rope.
    rope_mechanics::length radius{};
    /// Of the battery, without current.
    rope_mechanics::voltage open_circuit{};
    /// Inside the battery.
    rope_mechanics::resistance battery{};
    /// Of the leads, out and back.
    rope_mechanics::resistance leads{};
    /// What controller or fuse let through the motor; zero for no limit.
    rope_mechanics::current current_limit{};
    /// At which a grab or clutch slips; zero if there is none.
    rope_mechanics::force slip{};
};
RMECH_SAME_SIZE(winch, rmech_winch);
RMECH_SAME_PLACE(winch, rmech_winch, struct_size);
RMECH_SAME_PLACE(winch, rmech_winch, flags);
RMECH_SAME_PLACE(winch, rmech_winch, motor_constant);
RMECH_SAME_PLACE(winch, rmech_winch, no_load_current);
RMECH_SAME_PLACE(winch, rmech_winch, winding);
RMECH_SAME_PLACE(winch, rmech_winch, gear_ratio);
RMECH_SAME_PLACE(winch, rmech_winch, gear_efficiency);
RMECH_SAME_PLACE(winch, rmech_winch, back_efficiency);
RMECH_SAME_PLACE(winch, rmech_winch, radius);
RMECH_SAME_PLACE(winch, rmech_winch, open_circuit);
RMECH_SAME_PLACE(winch, rmech_winch, battery);
RMECH_SAME_PLACE(winch, rmech_winch, leads);
RMECH_SAME_PLACE(winch, rmech_winch, current_limit);
RMECH_SAME_PLACE(winch, rmech_winch, slip);

/// A winch at work.
struct winch_state {
    /// sizeof(rmech_winch_state); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_winch_state));
    /// Zero.
    std::uint32_t flags{};
    /// One of `RMECH_MOTION_...`.
    std::int32_t motion{};
    /// Zero.
    std::int32_t reserved{};
    /// On the rope where it leaves the winch.
    rope_mechanics::force pull{};
    /// From the battery; negative while the load drives and current flows back.
    rope_mechanics::current current{};
    /// In the motor.
    rope_mechanics::current motor_current{};
    /// At the end of the leads.
    rope_mechanics::voltage terminal_voltage{};
    /// At the battery's posts.
    rope_mechanics::voltage battery_voltage{};
    /// Of the motor, at least zero in either direction.
    rope_mechanics::turning_speed motor_speed{};
    /// At the motor's shaft; negative while the load drives it.
    rope_mechanics::torque motor_torque{};
    /// Of the rope, at least zero in either direction.
    rope_mechanics::velocity line_speed{};
    /// What the battery gives up: its voltage without current, times the current.
    rope_mechanics::power electrical_power{};
    /// What the rope takes up; negative lowering.
    rope_mechanics::power mechanical_power{};
    /// Lost inside the battery.
    rope_mechanics::power battery_loss{};
    /// Lost in the leads, or in the resistor of a winch that runs back.
    rope_mechanics::power lead_loss{};
    /// Lost in the winding.
    rope_mechanics::power winding_loss{};
    /// Lost to idle drag.
    rope_mechanics::power idle_loss{};
    /// Lost in the gear.
    rope_mechanics::power gear_loss{};
    /// Mechanical by electrical power, hauling; zero lowering, where it has no meaning.
    rope_mechanics::ratio efficiency{};
    /// How well the power balance closes.
    double residual{};
};
RMECH_SAME_SIZE(winch_state, rmech_winch_state);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, struct_size);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, flags);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, motion);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, reserved);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, pull);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, current);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, motor_current);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, terminal_voltage);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, battery_voltage);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, motor_speed);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, motor_torque);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, line_speed);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, electrical_power);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, mechanical_power);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, battery_loss);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, lead_loss);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, winding_loss);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, idle_loss);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, gear_loss);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, efficiency);
RMECH_SAME_PLACE(winch_state, rmech_winch_state, residual);

/// A winch with its rotor locked: what a jammed rope gets.
struct stall {
    /// In the motor, once it stands.
    rope_mechanics::current current{};
    /// On the rope.
    rope_mechanics::force pull{};
    /// The same if the gear lost nothing: what anchors, frame and rope must be checked against.
    rope_mechanics::force pull_without_gear_loss{};
    /// One of `RMECH_BOUND_...`.
    std::int32_t bound{};
    /// Zero.
    std::int32_t reserved{};
};
RMECH_SAME_SIZE(stall, rmech_stall);
RMECH_SAME_PLACE(stall, rmech_stall, current);
RMECH_SAME_PLACE(stall, rmech_stall, pull);
RMECH_SAME_PLACE(stall, rmech_stall, pull_without_gear_loss);
RMECH_SAME_PLACE(stall, rmech_stall, bound);
RMECH_SAME_PLACE(stall, rmech_stall, reserved);

/// A winch that hauls against a jam.
struct jam {
    /// The fastest that the force can rise at first.
    rope_mechanics::force_rate rate{};
    /// The greatest force that can come, none of the gear's loss counted: hold it against rope, anchors and frame.
    rope_mechanics::force greatest{};
    /// The soonest that the force can reach the limit asked about; infinite if it stays below.
    rope_mechanics::time time_to_limit{};
};
RMECH_SAME_SIZE(jam, rmech_jam);
RMECH_SAME_PLACE(jam, rmech_jam, rate);
RMECH_SAME_PLACE(jam, rmech_jam, greatest);
RMECH_SAME_PLACE(jam, rmech_jam, time_to_limit);

/// The constants of a permanent-magnet motor.
struct motor {
    /// Torque per ampere.
    rope_mechanics::motor_constant constant{};
    /// What turns it without load.
    rope_mechanics::current no_load_current{};
    /// Of the winding with its brushes at 25 °C.
    rope_mechanics::resistance winding{};
};
RMECH_SAME_SIZE(motor, rmech_motor);
RMECH_SAME_PLACE(motor, rmech_motor, constant);
RMECH_SAME_PLACE(motor, rmech_motor, no_load_current);
RMECH_SAME_PLACE(motor, rmech_motor, winding);

/// A drum that takes rope in layers.
struct drum {
    /// sizeof(rmech_drum); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_drum));
    /// Zero.
    std::uint32_t flags{};
    /// The bare drum.
    rope_mechanics::length core_diameter{};
    /// Between the flanges.
    rope_mechanics::length width{};
    /// The rope on it.
    rope_mechanics::length rope_diameter{};
    /// How each layer rises, by the rope's diameter: 0.866 where turns lie in grooves; zero stands for 1.
    rope_mechanics::ratio layer_rise{};
    /// How many layers the flanges allow.
    std::uint32_t layers{};
    /// Zero.
    std::uint32_t reserved{};
};
RMECH_SAME_SIZE(drum, rmech_drum);
RMECH_SAME_PLACE(drum, rmech_drum, struct_size);
RMECH_SAME_PLACE(drum, rmech_drum, flags);
RMECH_SAME_PLACE(drum, rmech_drum, core_diameter);
RMECH_SAME_PLACE(drum, rmech_drum, width);
RMECH_SAME_PLACE(drum, rmech_drum, rope_diameter);
RMECH_SAME_PLACE(drum, rmech_drum, layer_rise);
RMECH_SAME_PLACE(drum, rmech_drum, layers);
RMECH_SAME_PLACE(drum, rmech_drum, reserved);

/// The layer from which the rope leaves the drum.
struct layer {
    /// Counted from 1, on the core.
    std::uint32_t number{};
    /// Zero.
    std::uint32_t reserved{};
    /// From the axis to the middle of the rope.
    rope_mechanics::length radius{};
    /// The pull by that on the first layer, for the same torque.
    rope_mechanics::ratio pull_ratio{};
    /// How much rope can still be wound on before the next layer begins.
    rope_mechanics::length room{};
    /// How much rope leaves the drum before the layer below is reached.
    rope_mechanics::length on_layer{};
};
RMECH_SAME_SIZE(layer, rmech_layer);
RMECH_SAME_PLACE(layer, rmech_layer, number);
RMECH_SAME_PLACE(layer, rmech_layer, reserved);
RMECH_SAME_PLACE(layer, rmech_layer, radius);
RMECH_SAME_PLACE(layer, rmech_layer, pull_ratio);
RMECH_SAME_PLACE(layer, rmech_layer, room);
RMECH_SAME_PLACE(layer, rmech_layer, on_layer);

/// A motor that turns steadily.
struct motor_state {
    /// Through the winding.
    rope_mechanics::current current{};
    /// At the shaft.
    rope_mechanics::torque torque{};
    /// Of the shaft.
    rope_mechanics::turning_speed speed{};
    /// Taken in.
    rope_mechanics::power electrical_power{};
    /// Given out.
    rope_mechanics::power mechanical_power{};
    /// Of the motor alone.
    rope_mechanics::ratio efficiency{};
};
RMECH_SAME_SIZE(motor_state, rmech_motor_state);
RMECH_SAME_PLACE(motor_state, rmech_motor_state, current);
RMECH_SAME_PLACE(motor_state, rmech_motor_state, torque);
RMECH_SAME_PLACE(motor_state, rmech_motor_state, speed);
RMECH_SAME_PLACE(motor_state, rmech_motor_state, electrical_power);
RMECH_SAME_PLACE(motor_state, rmech_motor_state, mechanical_power);
RMECH_SAME_PLACE(motor_state, rmech_motor_state, efficiency);

/// One line of a maker's table of line pull and current.
struct winch_row {
    /// Line pull.
    rope_mechanics::force pull{};
    /// Current at that pull.
    rope_mechanics::current current{};
    /// Line speed at that pull; zero where the table gives none.
    rope_mechanics::velocity line_speed{};
};
RMECH_SAME_SIZE(winch_row, rmech_winch_row);
RMECH_SAME_PLACE(winch_row, rmech_winch_row, pull);
RMECH_SAME_PLACE(winch_row, rmech_winch_row, current);
RMECH_SAME_PLACE(winch_row, rmech_winch_row, line_speed);

/// Current and speed at a pull, from a table.
struct winch_table_state {
    /// From the battery.
    rope_mechanics::current current{};
    /// Of the rope; zero where the table gives no speeds.
    rope_mechanics::velocity line_speed{};
    /// At least this: how far the rows lie from the curve, or with two rows only, which say nothing of it, the slower
    /// of both curves less 5 %. For time and charge.
    rope_mechanics::velocity line_speed_least{};
    /// At most this. For a jam.
    rope_mechanics::velocity line_speed_most{};
    /// Current without pull.
    rope_mechanics::current idle_current{};
    /// The greatest pull of the table, on the layer asked about.
    rope_mechanics::force greatest_pull{};
    /// How far the line of the currents passes from the worst row.
    rope_mechanics::current worst_residual{};
};
RMECH_SAME_SIZE(winch_table_state, rmech_winch_table_state);
RMECH_SAME_PLACE(winch_table_state, rmech_winch_table_state, current);
RMECH_SAME_PLACE(winch_table_state, rmech_winch_table_state, line_speed);
RMECH_SAME_PLACE(winch_table_state, rmech_winch_table_state, line_speed_least);
RMECH_SAME_PLACE(winch_table_state, rmech_winch_table_state, line_speed_most);
RMECH_SAME_PLACE(winch_table_state, rmech_winch_table_state, idle_current);
RMECH_SAME_PLACE(winch_table_state, rmech_winch_table_state, greatest_pull);
RMECH_SAME_PLACE(winch_table_state, rmech_winch_table_state, worst_residual);

/// How well the constants behind a current reading are known.
struct gauge_bands {
    /// The ammeter, ±.
    rope_mechanics::current meter{};
    /// The idle current, ±.
    rope_mechanics::current idle{};
    /// For a winch by its motor: the gear's least efficiency. For a table: zero.
    rope_mechanics::ratio least_efficiency{};
    /// For a winch by its motor: the gear's greatest efficiency. For a table: zero.
    rope_mechanics::ratio most_efficiency{};
    /// For a table: its slope, ±, as a share. For a winch by its motor: zero.
    rope_mechanics::ratio slope{};
};
RMECH_SAME_SIZE(gauge_bands, rmech_gauge_bands);
RMECH_SAME_PLACE(gauge_bands, rmech_gauge_bands, meter);
RMECH_SAME_PLACE(gauge_bands, rmech_gauge_bands, idle);
RMECH_SAME_PLACE(gauge_bands, rmech_gauge_bands, least_efficiency);
RMECH_SAME_PLACE(gauge_bands, rmech_gauge_bands, most_efficiency);
RMECH_SAME_PLACE(gauge_bands, rmech_gauge_bands, slope);

/// What a current says about the pull.
struct pull_reading {
    /// `RMECH_BLIND_NOT`, or why the current says nothing of the pull; the forces are then zero.
    std::int32_t blind{};
    /// Zero.
    std::int32_t reserved{};
    /// At least this.
    rope_mechanics::force least{};
    /// With the constants as given.
    rope_mechanics::force likely{};
    /// At most this.
    rope_mechanics::force most{};
};
RMECH_SAME_SIZE(pull_reading, rmech_pull_reading);
RMECH_SAME_PLACE(pull_reading, rmech_pull_reading, blind);
RMECH_SAME_PLACE(pull_reading, rmech_pull_reading, reserved);
RMECH_SAME_PLACE(pull_reading, rmech_pull_reading, least);
RMECH_SAME_PLACE(pull_reading, rmech_pull_reading, likely);
RMECH_SAME_PLACE(pull_reading, rmech_pull_reading, most);

/// A motor on the bench, or one row of its data sheet.
struct motor_point {
    /// At its terminals.
    rope_mechanics::voltage voltage{};
    /// Through it.
    rope_mechanics::current current{};
    /// Of its shaft.
    rope_mechanics::turning_speed speed{};
    /// At its shaft.
    rope_mechanics::torque torque{};
};
RMECH_SAME_SIZE(motor_point, rmech_motor_point);
RMECH_SAME_PLACE(motor_point, rmech_motor_point, voltage);
RMECH_SAME_PLACE(motor_point, rmech_motor_point, current);
RMECH_SAME_PLACE(motor_point, rmech_motor_point, speed);
RMECH_SAME_PLACE(motor_point, rmech_motor_point, torque);

/// How far a point of a motor lies from its fit: measured less fitted.
struct motor_residual {
    /// Of the voltage at the current and speed.
    rope_mechanics::voltage voltage{};
    /// Of the torque at the current.
    rope_mechanics::torque torque{};
};
RMECH_SAME_SIZE(motor_residual, rmech_motor_residual);
RMECH_SAME_PLACE(motor_residual, rmech_motor_residual, voltage);
RMECH_SAME_PLACE(motor_residual, rmech_motor_residual, torque);

/// A motor fitted to points.
/// A standard error is infinite where there is no reading to spare.
struct motor_fit {
    /// sizeof(rmech_motor_fit); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_motor_fit));
    /// Zero.
    std::uint32_t flags{};
    /// The best constants.
    rope_mechanics::motor motor{};
    /// Of the gear; zero for a motor on the bench.
    rope_mechanics::ratio gear_efficiency{};
    /// Standard error of the motor constant.
    rope_mechanics::motor_constant constant_error{};
    /// Standard error of the current without load.
    rope_mechanics::current no_load_error{};
    /// Standard error of the winding's resistance.
    rope_mechanics::resistance winding_error{};
    /// Standard error of the gear's efficiency; zero for a motor on the bench.
    rope_mechanics::ratio gear_error{};
    /// The largest difference of a voltage.
    rope_mechanics::voltage worst_voltage{};
    /// The largest difference of a torque; zero for a winch.
    rope_mechanics::torque worst_torque{};
    /// The largest difference of a current; zero for a motor on the bench.
    rope_mechanics::current worst_current{};
    /// One of `RMECH_CONSTANT_...` if the points hardly distinguish two constants, otherwise `RMECH_CONSTANT_NONE`.
    std::int32_t confounded{};
    /// The other.
    std::int32_t confounded_with{};
    /// Of the errors of the two.
    double correlation{};
    /// Readings wrong by 1 % may leave a constant wrong by about this many per cent; zero where that is below 30.
    double condition{};
    /// How many readings there are beyond those needed.
    std::uint64_t spare_readings{};
};
RMECH_SAME_SIZE(motor_fit, rmech_motor_fit);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, struct_size);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, flags);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, motor);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, gear_efficiency);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, constant_error);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, no_load_error);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, winding_error);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, gear_error);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, worst_voltage);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, worst_torque);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, worst_current);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, confounded);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, confounded_with);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, correlation);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, condition);
RMECH_SAME_PLACE(motor_fit, rmech_motor_fit, spare_readings);

/// A winch at work, hauling, read off its meters.
struct winch_point {
    /// At the motor's terminals.
    rope_mechanics::voltage voltage{};
    /// Through the motor.
    rope_mechanics::current current{};
    /// Of the rope.
    rope_mechanics::velocity line_speed{};
    /// On the rope.
    rope_mechanics::force pull{};
};
RMECH_SAME_SIZE(winch_point, rmech_winch_point);
RMECH_SAME_PLACE(winch_point, rmech_winch_point, voltage);
RMECH_SAME_PLACE(winch_point, rmech_winch_point, current);
RMECH_SAME_PLACE(winch_point, rmech_winch_point, line_speed);
RMECH_SAME_PLACE(winch_point, rmech_winch_point, pull);

/// How far a point of a winch lies from its fit: measured less fitted.
struct winch_residual {
    /// Of the voltage at the current and line speed.
    rope_mechanics::voltage voltage{};
    /// Of the current at the pull.
    rope_mechanics::current current{};
};
RMECH_SAME_SIZE(winch_residual, rmech_winch_residual);
RMECH_SAME_PLACE(winch_residual, rmech_winch_residual, voltage);
RMECH_SAME_PLACE(winch_residual, rmech_winch_residual, current);

/// A point of a battery's curve of voltage without current.
struct charge_voltage {
    /// State of charge: 0 empty, 1 full.
    rope_mechanics::ratio charge{};
    /// Without current.
    rope_mechanics::voltage voltage{};
};
RMECH_SAME_SIZE(charge_voltage, rmech_charge_voltage);
RMECH_SAME_PLACE(charge_voltage, rmech_charge_voltage, charge);
RMECH_SAME_PLACE(charge_voltage, rmech_charge_voltage, voltage);

/// A point of a table of what the cold does to a battery.
struct temperature_share {
    /// Of the battery.
    rope_mechanics::temperature temperature{};
    /// Of the value at 25 °C.
    rope_mechanics::ratio share{};
};
RMECH_SAME_SIZE(temperature_share, rmech_temperature_share);
RMECH_SAME_PLACE(temperature_share, rmech_temperature_share, temperature);
RMECH_SAME_PLACE(temperature_share, rmech_temperature_share, share);

/// A battery, by tables that are linear between their points and constant beyond their ends.
struct battery {
    /// sizeof(rmech_battery); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_battery));
    /// Zero.
    std::uint32_t flags{};
    /// Stated for `rated_time`.
    rope_mechanics::charge capacity{};
    /// The time for which the capacity is stated.
    rope_mechanics::time rated_time{};
    /// Peukert's exponent, 1 to 2.
    rope_mechanics::ratio peukert_exponent{};
    /// Inside the battery at 25 °C.
    rope_mechanics::resistance internal{};
    /// At least one point, at most `RMECH_BATTERY_POINTS_MAX`, their charges growing.
    array_view<rope_mechanics::charge_voltage> open_circuit;
    /// What is left of the capacity, the temperatures growing; none where the cold takes nothing.
    array_view<rope_mechanics::temperature_share> cold;
    /// How the internal resistance grows, the temperatures growing; none where it doesn't.
    array_view<rope_mechanics::temperature_share> cold_resistance;
    /// How many batteries in series; zero stands for 1.
    std::uint32_t in_series{};
    /// How many such rows in parallel; zero stands for 1.
    std::uint32_t in_parallel{};
};
RMECH_SAME_SIZE(battery, rmech_battery);
RMECH_SAME_PLACE(battery, rmech_battery, struct_size);
RMECH_SAME_PLACE(battery, rmech_battery, flags);
RMECH_SAME_PLACE(battery, rmech_battery, capacity);
RMECH_SAME_PLACE(battery, rmech_battery, rated_time);
RMECH_SAME_PLACE(battery, rmech_battery, peukert_exponent);
RMECH_SAME_PLACE(battery, rmech_battery, internal);
RMECH_SAME_PLACE(battery, rmech_battery, open_circuit);
RMECH_SAME_PLACE(battery, rmech_battery, cold);
RMECH_SAME_PLACE(battery, rmech_battery, cold_resistance);
RMECH_SAME_PLACE(battery, rmech_battery, in_series);
RMECH_SAME_PLACE(battery, rmech_battery, in_parallel);

/// A battery at a state of charge and a temperature, all of its bank.
struct battery_state {
    /// Without current.
    rope_mechanics::voltage open_circuit{};
    /// Inside.
    rope_mechanics::resistance internal{};
    /// What it holds at this temperature, full, at its rated current.
    rope_mechanics::charge capacity{};
    /// The current at which the capacity of each single battery is stated.
    rope_mechanics::current rated_current{};
};
RMECH_SAME_SIZE(battery_state, rmech_battery_state);
RMECH_SAME_PLACE(battery_state, rmech_battery_state, open_circuit);
RMECH_SAME_PLACE(battery_state, rmech_battery_state, internal);
RMECH_SAME_PLACE(battery_state, rmech_battery_state, capacity);
RMECH_SAME_PLACE(battery_state, rmech_battery_state, rated_current);

/// How a motor takes up heat. What doesn't count for its kind is not read.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct motor_heat {
    /// One of `RMECH_HEAT_...`.
    std::int32_t kind{};
    /// Zero.
    std::int32_t reserved{};
    /// What the motor bears for ever.
    rope_mechanics::current continuous_current{};
    /// How far that warms it above the air.
    rope_mechanics::temperature_interval rated_rise{};
    /// Its time constant.
    rope_mechanics::time time_constant{};
    /// Of the winding.
    rope_mechanics::heat_capacity winding{};
    /// Of the case.
    rope_mechanics::heat_capacity case_{};
    /// From winding to case.
    rope_mechanics::thermal_resistance winding_to_case{};
    /// From case to air.
    rope_mechanics::thermal_resistance case_to_air{};
};
RMECH_SAME_SIZE(motor_heat, rmech_motor_heat);
RMECH_SAME_PLACE(motor_heat, rmech_motor_heat, kind);
RMECH_SAME_PLACE(motor_heat, rmech_motor_heat, reserved);
RMECH_SAME_PLACE(motor_heat, rmech_motor_heat, continuous_current);
RMECH_SAME_PLACE(motor_heat, rmech_motor_heat, rated_rise);
RMECH_SAME_PLACE(motor_heat, rmech_motor_heat, time_constant);
RMECH_SAME_PLACE(motor_heat, rmech_motor_heat, winding);
RMECH_SAME_PLACE(motor_heat, rmech_motor_heat, case_);
RMECH_SAME_PLACE(motor_heat, rmech_motor_heat, winding_to_case);
RMECH_SAME_PLACE(motor_heat, rmech_motor_heat, case_to_air);

/// The temperatures of a motor; one node has only a winding, and its case is taken to be as warm.
struct motor_temperatures {
    /// Of the winding.
    rope_mechanics::temperature winding{};
    /// Of the case.
    rope_mechanics::temperature case_{};
};
RMECH_SAME_SIZE(motor_temperatures, rmech_motor_temperatures);
RMECH_SAME_PLACE(motor_temperatures, rmech_motor_temperatures, winding);
RMECH_SAME_PLACE(motor_temperatures, rmech_motor_temperatures, case_);

/// What warms a motor, and the air around it.
struct heating {
    /// In the winding.
    rope_mechanics::current current{};
    /// Of the winding at 25 °C; not read for one node.
    rope_mechanics::resistance winding{};
    /// Idle drag; not read for one node.
    rope_mechanics::power idle{};
    /// Of the air.
    rope_mechanics::temperature air{};
};
RMECH_SAME_SIZE(heating, rmech_heating);
RMECH_SAME_PLACE(heating, rmech_heating, current);
RMECH_SAME_PLACE(heating, rmech_heating, winding);
RMECH_SAME_PLACE(heating, rmech_heating, idle);
RMECH_SAME_PLACE(heating, rmech_heating, air);

/// A rope between two supports that stretches in proportion to its tension. Each member's unit stands in its name.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct live_line {
    /// Horizontal distance between the supports.
    float span_m{};
    /// Height of the second support above the first; negative if it is lower.
    float rise_m{};
    /// Unstretched length. Not read where the length is what is asked for.
    float length_m{};
    /// Weight per unstretched metre.
    float weight_n_per_m{};
    /// Axial stiffness EA: tension by strain.
    float stiffness_n{};
    /// Tension at the first end. Read by `rmech_live_line_length` alone.
    float first_n{};
};
RMECH_SAME_SIZE(live_line, rmech_live_line);
RMECH_SAME_PLACE(live_line, rmech_live_line, span_m);
RMECH_SAME_PLACE(live_line, rmech_live_line, rise_m);
RMECH_SAME_PLACE(live_line, rmech_live_line, length_m);
RMECH_SAME_PLACE(live_line, rmech_live_line, weight_n_per_m);
RMECH_SAME_PLACE(live_line, rmech_live_line, stiffness_n);
RMECH_SAME_PLACE(live_line, rmech_live_line, first_n);

/// The forces at the supports of a line.
struct live_ends {
    /// Horizontal component of the tension, the same all along the rope.
    float horizontal_n{};
    /// Tension at the first end.
    float first_n{};
    /// Tension at the second end.
    float last_n{};
    /// What the first support carries, upward; negative where the rope lifts it.
    float first_up_n{};
    /// What the second support carries, upward; negative where the rope lifts it.
    float last_up_n{};
    /// Relative change of the answer in one more step of the solver: at most 2e-6, or the call fails.
    float residual{};
    /// Steps of the solver.
    std::uint32_t iterations{};
};
RMECH_SAME_SIZE(live_ends, rmech_live_ends);
RMECH_SAME_PLACE(live_ends, rmech_live_ends, horizontal_n);
RMECH_SAME_PLACE(live_ends, rmech_live_ends, first_n);
RMECH_SAME_PLACE(live_ends, rmech_live_ends, last_n);
RMECH_SAME_PLACE(live_ends, rmech_live_ends, first_up_n);
RMECH_SAME_PLACE(live_ends, rmech_live_ends, last_up_n);
RMECH_SAME_PLACE(live_ends, rmech_live_ends, residual);
RMECH_SAME_PLACE(live_ends, rmech_live_ends, iterations);

/// The length of rope that pulls as hard as asked for.
struct live_length {
    /// Unstretched length.
    float length_m{};
    /// How far the tension of that length is from the one asked for, by the latter: at most 1e-3, or the call fails.
    float residual{};
    /// Lines solved.
    std::uint32_t iterations{};
};
RMECH_SAME_SIZE(live_length, rmech_live_length);
RMECH_SAME_PLACE(live_length, rmech_live_length, length_m);
RMECH_SAME_PLACE(live_length, rmech_live_length, residual);
RMECH_SAME_PLACE(live_length, rmech_live_length, iterations);

/// A turn, the way the rope goes over it, and how far it turns.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct live_turn {
    /// One of `RMECH_TURN_...`.
    std::int32_t kind{};
    /// `RMECH_MOTION_HAULING` or `RMECH_MOTION_LOWERING`: at rest the ratio is a band, see `rmech_turn_band`.
    std::int32_t motion{};
    /// Of a sheave, over a turn of 180 degrees: 0.3 to 1.
    float efficiency{};
    /// Of a bar or capstan, in this direction: 0 to 2.
    float friction{};
    /// How far the rope wraps it, in radians: 0 to 4 pi.
    float wrap_rad{};
};
RMECH_SAME_SIZE(live_turn, rmech_live_turn);
RMECH_SAME_PLACE(live_turn, rmech_live_turn, kind);
RMECH_SAME_PLACE(live_turn, rmech_live_turn, motion);
RMECH_SAME_PLACE(live_turn, rmech_live_turn, efficiency);
RMECH_SAME_PLACE(live_turn, rmech_live_turn, friction);
RMECH_SAME_PLACE(live_turn, rmech_live_turn, wrap_rad);

/// Tension on the pulling side by that on the load's side.
struct live_ratio {
    /// At least 1 hauling, at most 1 lowering.
    float ratio{};
};
RMECH_SAME_SIZE(live_ratio, rmech_live_ratio);
RMECH_SAME_PLACE(live_ratio, rmech_live_ratio, ratio);

/// From where a haul starts, how closely it is followed, and what stops it.
struct haul_limits {
    /// sizeof(rmech_haul_limits); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_haul_limits));
    /// `RMECH_HAUL_STEP_ENDS`, `RMECH_HAUL_WARM_START`, both or none.
    std::uint32_t flags{};
    /// State of charge at the start, 0 to 1.
    rope_mechanics::ratio charge{};
    /// State of charge that must be left.
    rope_mechanics::ratio reserve{};
    /// At the end of the leads, below which the controller drops out; zero for none.
    rope_mechanics::voltage lowest_voltage{};
    /// What flows while the winch rests.
    rope_mechanics::current standby{};
    /// Of air and battery.
    rope_mechanics::temperature air{};
    /// Of the winding; read where heat is followed.
    rope_mechanics::temperature winding_limit{};
    /// How the motor takes up heat.
    rope_mechanics::motor_heat heat{};
    /// Of the motor at the start; read only with `RMECH_HAUL_WARM_START`. One node has only a winding.
    rope_mechanics::motor_temperatures start{};
    /// Between two samples, but longer in steps of more than a thousand of it; zero stands for a second.
    rope_mechanics::time interval{};
};
RMECH_SAME_SIZE(haul_limits, rmech_haul_limits);
RMECH_SAME_PLACE(haul_limits, rmech_haul_limits, struct_size);
RMECH_SAME_PLACE(haul_limits, rmech_haul_limits, flags);
RMECH_SAME_PLACE(haul_limits, rmech_haul_limits, charge);
RMECH_SAME_PLACE(haul_limits, rmech_haul_limits, reserve);
RMECH_SAME_PLACE(haul_limits, rmech_haul_limits, lowest_voltage);
RMECH_SAME_PLACE(haul_limits, rmech_haul_limits, standby);
RMECH_SAME_PLACE(haul_limits, rmech_haul_limits, air);
RMECH_SAME_PLACE(haul_limits, rmech_haul_limits, winding_limit);
RMECH_SAME_PLACE(haul_limits, rmech_haul_limits, heat);
RMECH_SAME_PLACE(haul_limits, rmech_haul_limits, start);
RMECH_SAME_PLACE(haul_limits, rmech_haul_limits, interval);

/// One step of a haul.
struct haul_step {
    /// One of `RMECH_MOTION_...`; at rest the brake is set, and only `duration` counts.
    std::int32_t motion{};
    /// One of `RMECH_EXTENT_...`; at rest not read.
    std::int32_t extent{};
    /// On the rope where it leaves the winch.
    rope_mechanics::force pull{};
    /// How far.
    rope_mechanics::length distance{};
    /// How long.
    rope_mechanics::time duration{};
    /// What a controller holds; zero for full speed.
    rope_mechanics::velocity line_speed{};
    /// Of the drum's layer, 1 on that for which the winch is described; zero stands for 1.
    rope_mechanics::ratio pull_ratio{};
};
RMECH_SAME_SIZE(haul_step, rmech_haul_step);
RMECH_SAME_PLACE(haul_step, rmech_haul_step, motion);
RMECH_SAME_PLACE(haul_step, rmech_haul_step, extent);
RMECH_SAME_PLACE(haul_step, rmech_haul_step, pull);
RMECH_SAME_PLACE(haul_step, rmech_haul_step, distance);
RMECH_SAME_PLACE(haul_step, rmech_haul_step, duration);
RMECH_SAME_PLACE(haul_step, rmech_haul_step, line_speed);
RMECH_SAME_PLACE(haul_step, rmech_haul_step, pull_ratio);

/// The haul at one moment.
struct haul_sample {
    /// In which step, counted from 0.
    std::uint32_t step{};
    /// One of `RMECH_MOTION_...`.
    std::int32_t motion{};
    /// Since the start of the haul.
    rope_mechanics::time time{};
    /// Rope moved in this step.
    rope_mechanics::length distance{};
    /// On the rope.
    rope_mechanics::force pull{};
    /// From the battery.
    rope_mechanics::current current{};
    /// At the end of the leads.
    rope_mechanics::voltage terminal_voltage{};
    /// Of the rope; zero where a table gives no speeds.
    rope_mechanics::velocity line_speed{};
    /// State of charge.
    rope_mechanics::ratio charge{};
    /// Of the winding; that of the air where no heat is followed.
    rope_mechanics::temperature winding{};
    /// What the battery has given up since the start of the haul.
    rope_mechanics::energy energy{};
};
RMECH_SAME_SIZE(haul_sample, rmech_haul_sample);
RMECH_SAME_PLACE(haul_sample, rmech_haul_sample, step);
RMECH_SAME_PLACE(haul_sample, rmech_haul_sample, motion);
RMECH_SAME_PLACE(haul_sample, rmech_haul_sample, time);
RMECH_SAME_PLACE(haul_sample, rmech_haul_sample, distance);
RMECH_SAME_PLACE(haul_sample, rmech_haul_sample, pull);
RMECH_SAME_PLACE(haul_sample, rmech_haul_sample, current);
RMECH_SAME_PLACE(haul_sample, rmech_haul_sample, terminal_voltage);
RMECH_SAME_PLACE(haul_sample, rmech_haul_sample, line_speed);
RMECH_SAME_PLACE(haul_sample, rmech_haul_sample, charge);
RMECH_SAME_PLACE(haul_sample, rmech_haul_sample, winding);
RMECH_SAME_PLACE(haul_sample, rmech_haul_sample, energy);

/// How a haul went.
struct haul_outcome {
    /// sizeof(rmech_haul_outcome); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_haul_outcome));
    /// Zero.
    std::uint32_t flags{};
    /// One of `RMECH_STOP_...`.
    std::int32_t stop{};
    /// In which step it stopped, counted from 0; the number of steps if it finished.
    std::uint32_t stopped_step{};
    /// Rope moved in the step in which it stopped; zero if it finished.
    rope_mechanics::length stopped_distance{};
    /// How long it took, or until it stopped.
    rope_mechanics::time time{};
    /// Rope hauled in, all steps.
    rope_mechanics::length hauled{};
    /// Rope lowered out, all steps.
    rope_mechanics::length lowered{};
    /// What the battery gave up, net of what flowed back.
    rope_mechanics::energy energy{};
    /// What the rope took up hauling.
    rope_mechanics::energy work{};
    /// State of charge at the end.
    rope_mechanics::ratio charge{};
    /// The largest current from the battery.
    rope_mechanics::current largest_current{};
    /// The lowest voltage at the end of the leads.
    rope_mechanics::voltage lowest_voltage{};
    /// The hottest that the winding was.
    rope_mechanics::temperature hottest_winding{};
    /// The largest closing error of the power balance.
    double residual{};
};
RMECH_SAME_SIZE(haul_outcome, rmech_haul_outcome);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, struct_size);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, flags);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, stop);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, stopped_step);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, stopped_distance);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, time);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, hauled);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, lowered);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, energy);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, work);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, charge);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, largest_current);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, lowest_voltage);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, hottest_winding);
RMECH_SAME_PLACE(haul_outcome, rmech_haul_outcome, residual);

/// A point of a rig.
struct rig_point_id {
    /// Whose point: the number of the rig, never 0.
    std::uint32_t rig{};
    /// Counted from 0 in the order of adding.
    std::uint32_t point{};
};
RMECH_SAME_SIZE(rig_point_id, rmech_rig_point_id);
RMECH_SAME_PLACE(rig_point_id, rmech_rig_point_id, rig);
RMECH_SAME_PLACE(rig_point_id, rmech_rig_point_id, point);

/// A point that moves.
struct rig_point {
    /// sizeof(rmech_rig_point); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_rig_point));
    /// `RMECH_RIG_POINT_HAS_START` or none.
    std::uint32_t flags{};
    /// One of `RMECH_HOLD_...`.
    std::int32_t hold{};
    /// Zero.
    std::int32_t reserved{};
    /// Its weight.
    rope_mechanics::force weight{};
    /// A force on it.
    rope_mechanics::force3 force{};
    /// Where the search for it starts.
    rope_mechanics::point start{};
    /// A point of the plane, line or ground.
    rope_mechanics::point through{};
    /// Normal of the plane or ground, or along the line: x, y, z. Its length doesn't matter.
    std::array<rope_mechanics::ratio, 3> direction{};
};
RMECH_SAME_SIZE(rig_point, rmech_rig_point);
RMECH_SAME_PLACE(rig_point, rmech_rig_point, struct_size);
RMECH_SAME_PLACE(rig_point, rmech_rig_point, flags);
RMECH_SAME_PLACE(rig_point, rmech_rig_point, hold);
RMECH_SAME_PLACE(rig_point, rmech_rig_point, reserved);
RMECH_SAME_PLACE(rig_point, rmech_rig_point, weight);
RMECH_SAME_PLACE(rig_point, rmech_rig_point, force);
RMECH_SAME_PLACE(rig_point, rmech_rig_point, start);
RMECH_SAME_PLACE(rig_point, rmech_rig_point, through);
RMECH_SAME_PLACE(rig_point, rmech_rig_point, direction);

/// A rope of a rig.
struct rig_rope {
    /// sizeof(rmech_rig_rope); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_rig_rope));
    /// `RMECH_RIG_ROPE_TENSION` or none.
    std::uint32_t flags{};
    /// Where it starts.
    rope_mechanics::rig_point_id from{};
    /// Where it ends.
    rope_mechanics::rig_point_id to{};
    /// Strands side by side; 0 counts as 1.
    std::uint32_t strands{};
    /// What the hand does: `RMECH_MOTION_HAULING`, rope comes to it; `RMECH_MOTION_LOWERING`, rope goes from it; 0 or
    /// `RMECH_MOTION_AT_REST`, neither, and the turns count as frictionless. (Elsewhere 0 is refused.)
    std::int32_t motion{};
    /// At which end the hand, winch or brake is: `RMECH_END_FIRST`, at `from`; `RMECH_END_LAST` or 0, at `to`. While
    /// rope is hauled each turn leaves more tension on that side.
    std::int32_t hand{};
    /// Where the tension is set: one of `RMECH_END_...`; 0 is where the hand is.
    std::int32_t tension_end{};
    /// Unstretched length.
    rope_mechanics::length length{};
    /// The set tension, all strands together.
    rope_mechanics::force tension{};
    /// Stretch of one strand.
    rope_mechanics::stretch stretch{};
    /// Mass per metre of one strand.
    rope_mechanics::line_mass mass{};
};
RMECH_SAME_SIZE(rig_rope, rmech_rig_rope);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, struct_size);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, flags);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, from);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, to);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, strands);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, motion);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, hand);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, tension_end);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, length);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, tension);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, stretch);
RMECH_SAME_PLACE(rig_rope, rmech_rig_rope, mass);

/// A turn of a rope at a point.
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
struct rig_turn {
    /// Over what.
    rope_mechanics::rig_point_id point{};
    /// Whole turns around it, besides what the directions of the rope show: 0 to 31.
    std::uint32_t wraps{};
    /// Zero.
    std::uint32_t reserved{};
    /// Its losses there.
    rope_mechanics::turn turn{};
};
RMECH_SAME_SIZE(rig_turn, rmech_rig_turn);
RMECH_SAME_PLACE(rig_turn, rmech_rig_turn, point);
RMECH_SAME_PLACE(rig_turn, rmech_rig_turn, wraps);
RMECH_SAME_PLACE(rig_turn, rmech_rig_turn, reserved);
RMECH_SAME_PLACE(rig_turn, rmech_rig_turn, turn);

/// A rope of a rig.
struct rig_rope_id {
    /// Whose rope: the number of the rig, never 0.
    std::uint32_t rig{};
    /// Counted from 0 in the order of adding.
    std::uint32_t rope{};
};
RMECH_SAME_SIZE(rig_rope_id, rmech_rig_rope_id);
RMECH_SAME_PLACE(rig_rope_id, rmech_rig_rope_id, rig);
RMECH_SAME_PLACE(rig_rope_id, rmech_rig_rope_id, rope);

/// The proof of an equilibrium.
struct rig_certificate {
    /// Steps taken.
    std::uint32_t iterations{};
    /// 1 if no other equilibrium exists, else 0.
    std::uint32_t unique{};
    /// Largest force out of balance.
    rope_mechanics::force force_residual{};
    /// Largest distance by which a part misses its end.
    rope_mechanics::length closing_residual{};
    /// Largest force in the rig.
    rope_mechanics::force largest_force{};
    /// Least stiffness against any small movement: above zero is stable. Infinite where nothing moves.
    rope_mechanics::stiffness least_stiffness{};
};
RMECH_SAME_SIZE(rig_certificate, rmech_rig_certificate);
RMECH_SAME_PLACE(rig_certificate, rmech_rig_certificate, iterations);
RMECH_SAME_PLACE(rig_certificate, rmech_rig_certificate, unique);
RMECH_SAME_PLACE(rig_certificate, rmech_rig_certificate, force_residual);
RMECH_SAME_PLACE(rig_certificate, rmech_rig_certificate, closing_residual);
RMECH_SAME_PLACE(rig_certificate, rmech_rig_certificate, largest_force);
RMECH_SAME_PLACE(rig_certificate, rmech_rig_certificate, least_stiffness);

/// A point of a solution.
struct rig_place {
    /// Where it is.
    rope_mechanics::point at{};
    /// Force of all ropes on it.
    rope_mechanics::force3 rope_force{};
    /// The reaction of what holds it: an anchor, a plane, the ground.
    rope_mechanics::force3 reaction{};
    /// 1 if it lies on its ground, else 0.
    std::uint32_t on_ground{};
    /// Zero.
    std::uint32_t reserved{};
};
RMECH_SAME_SIZE(rig_place, rmech_rig_place);
RMECH_SAME_PLACE(rig_place, rmech_rig_place, at);
RMECH_SAME_PLACE(rig_place, rmech_rig_place, rope_force);
RMECH_SAME_PLACE(rig_place, rmech_rig_place, reaction);
RMECH_SAME_PLACE(rig_place, rmech_rig_place, on_ground);
RMECH_SAME_PLACE(rig_place, rmech_rig_place, reserved);

/// A part of a rope of a solution. Forces count all strands together.
struct rig_part {
    /// Where it starts.
    rope_mechanics::rig_point_id from{};
    /// Where it ends.
    rope_mechanics::rig_point_id to{};
    /// Unstretched length in it.
    rope_mechanics::length share{};
    /// Distance of its ends.
    rope_mechanics::length chord{};
    /// Strain where it is largest.
    rope_mechanics::ratio strain{};
    /// Tension where it starts.
    rope_mechanics::force tension_first{};
    /// Tension where it ends.
    rope_mechanics::force tension_last{};
    /// Force on the point where it starts.
    rope_mechanics::force3 pull_first{};
    /// Force on the point where it ends.
    rope_mechanics::force3 pull_last{};
    /// How far it hangs below its chord.
    rope_mechanics::length sag{};
    /// 1 if it is slack, else 0.
    std::uint32_t slack{};
    /// Strands that share the tension.
    std::uint32_t strands{};
};
RMECH_SAME_SIZE(rig_part, rmech_rig_part);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, from);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, to);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, share);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, chord);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, strain);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, tension_first);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, tension_last);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, pull_first);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, pull_last);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, sag);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, slack);
RMECH_SAME_PLACE(rig_part, rmech_rig_part, strands);

/// A turn of a rope of a solution.
struct rig_sheave {
    /// Where it is.
    rope_mechanics::rig_point_id point{};
    /// By how much the rope changes its direction, with its wraps.
    rope_mechanics::angle turn{};
    /// The angle between its two parts.
    rope_mechanics::angle interior{};
    /// Tension of the part before.
    rope_mechanics::force tension_before{};
    /// Tension of the part after.
    rope_mechanics::force tension_after{};
    /// Force of the rope on the sheave.
    rope_mechanics::force3 force{};
};
RMECH_SAME_SIZE(rig_sheave, rmech_rig_sheave);
RMECH_SAME_PLACE(rig_sheave, rmech_rig_sheave, point);
RMECH_SAME_PLACE(rig_sheave, rmech_rig_sheave, turn);
RMECH_SAME_PLACE(rig_sheave, rmech_rig_sheave, interior);
RMECH_SAME_PLACE(rig_sheave, rmech_rig_sheave, tension_before);
RMECH_SAME_PLACE(rig_sheave, rmech_rig_sheave, tension_after);
RMECH_SAME_PLACE(rig_sheave, rmech_rig_sheave, force);

/// A small change of one input. What its kind doesn't name is not read.
struct rig_change {
    /// sizeof(rmech_rig_change); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_rig_change));
    /// None yet: 0.
    std::uint32_t flags{};
    /// One of `RMECH_CHANGE_...`.
    std::int32_t kind{};
    /// A turn of the rope, counted from 0 at its first end.
    std::uint32_t number{};
    /// The rope that changes.
    rope_mechanics::rig_rope_id rope{};
    /// The point that changes.
    rope_mechanics::rig_point_id point{};
    /// A change of a length.
    rope_mechanics::length length{};
    /// A change of a force.
    rope_mechanics::force3 force{};
    /// A change of a place: x, y, z.
    rope_mechanics::point place{};
    /// A change of a plain number.
    rope_mechanics::ratio ratio{};
    /// A change of a weight per metre.
    rope_mechanics::line_weight line_weight{};
    /// A change of a unit vector: x, y, z.
    std::array<rope_mechanics::ratio, 3> tilt{};
};
RMECH_SAME_SIZE(rig_change, rmech_rig_change);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, struct_size);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, flags);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, kind);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, number);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, rope);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, point);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, length);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, force);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, place);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, ratio);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, line_weight);
RMECH_SAME_PLACE(rig_change, rmech_rig_change, tilt);

/// How a point answers.
struct rig_point_response {
    /// How far it moves.
    rope_mechanics::point moves{};
    /// More force of all ropes on it.
    rope_mechanics::force3 rope_force{};
    /// More reaction of what holds it.
    rope_mechanics::force3 reaction{};
};
RMECH_SAME_SIZE(rig_point_response, rmech_rig_point_response);
RMECH_SAME_PLACE(rig_point_response, rmech_rig_point_response, moves);
RMECH_SAME_PLACE(rig_point_response, rmech_rig_point_response, rope_force);
RMECH_SAME_PLACE(rig_point_response, rmech_rig_point_response, reaction);

/// How a part of a rope answers.
struct rig_part_response {
    /// More unstretched length in it.
    rope_mechanics::length share{};
    /// More distance of its ends.
    rope_mechanics::length chord{};
    /// More strain where it is largest.
    rope_mechanics::ratio strain{};
    /// More tension where it starts.
    rope_mechanics::force tension_first{};
    /// More tension where it ends.
    rope_mechanics::force tension_last{};
    /// More force on the point where it starts.
    rope_mechanics::force3 pull_first{};
    /// More force on the point where it ends.
    rope_mechanics::force3 pull_last{};
    /// More sag.
    rope_mechanics::length sag{};
};
RMECH_SAME_SIZE(rig_part_response, rmech_rig_part_response);
RMECH_SAME_PLACE(rig_part_response, rmech_rig_part_response, share);
RMECH_SAME_PLACE(rig_part_response, rmech_rig_part_response, chord);
RMECH_SAME_PLACE(rig_part_response, rmech_rig_part_response, strain);
RMECH_SAME_PLACE(rig_part_response, rmech_rig_part_response, tension_first);
RMECH_SAME_PLACE(rig_part_response, rmech_rig_part_response, tension_last);
RMECH_SAME_PLACE(rig_part_response, rmech_rig_part_response, pull_first);
RMECH_SAME_PLACE(rig_part_response, rmech_rig_part_response, pull_last);
RMECH_SAME_PLACE(rig_part_response, rmech_rig_part_response, sag);

/// How a turn of a rope answers.
struct rig_sheave_response {
    /// More turn.
    rope_mechanics::angle turn{};
    /// More of the angle between its two parts.
    rope_mechanics::angle interior{};
    /// More tension of the part before.
    rope_mechanics::force tension_before{};
    /// More tension of the part after.
    rope_mechanics::force tension_after{};
    /// More force of the rope on the sheave.
    rope_mechanics::force3 force{};
};
RMECH_SAME_SIZE(rig_sheave_response, rmech_rig_sheave_response);
RMECH_SAME_PLACE(rig_sheave_response, rmech_rig_sheave_response, turn);
RMECH_SAME_PLACE(rig_sheave_response, rmech_rig_sheave_response, interior);
RMECH_SAME_PLACE(rig_sheave_response, rmech_rig_sheave_response, tension_before);
RMECH_SAME_PLACE(rig_sheave_response, rmech_rig_sheave_response, tension_after);
RMECH_SAME_PLACE(rig_sheave_response, rmech_rig_sheave_response, force);

/// How far a study has come, and whether to stop it: while `rmech_operation_create` runs, another thread may read
/// `done` and `of` and set `cancel`, each by one atomic access of 32 bits. Start it from zeros.
struct operation_progress {
    /// Written: how many positions are done.
    std::uint32_t done{};
    /// Written: of how many; zero until the first is done.
    std::uint32_t of{};
    /// Read before the first position and after each: anything but zero ends the study with `RMECH_ERR_CANCELLED`.
    std::uint32_t cancel{};
};
RMECH_SAME_SIZE(operation_progress, rmech_operation_progress);
RMECH_SAME_PLACE(operation_progress, rmech_operation_progress, done);
RMECH_SAME_PLACE(operation_progress, rmech_operation_progress, of);
RMECH_SAME_PLACE(operation_progress, rmech_operation_progress, cancel);

/// How long a study may take.
struct operation_options {
    /// sizeof(rmech_operation_options); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_operation_options));
    /// Zero.
    std::uint32_t flags{};
    /// A site with more positions is refused with `RMECH_ERR_BUDGET` once the first is done; zero for any number. A
    /// position takes about as long as another one. Where the site has `doubt`, each of its samples counts as one, and
    /// too many are refused once the first of them is drawn.
    std::uint64_t most_positions{};
    /// How far it has come, and whether to stop; NULL for neither.
    rope_mechanics::operation_progress *progress = nullptr;
};
RMECH_SAME_SIZE(operation_options, rmech_operation_options);
RMECH_SAME_PLACE(operation_options, rmech_operation_options, struct_size);
RMECH_SAME_PLACE(operation_options, rmech_operation_options, flags);
RMECH_SAME_PLACE(operation_options, rmech_operation_options, most_positions);
RMECH_SAME_PLACE(operation_options, rmech_operation_options, progress);

/// What the schedule of a study comes to, and how much it holds. Positions are those of the study.
struct schedule {
    /// sizeof(rmech_schedule); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_schedule));
    /// Bits `RMECH_SCHEDULE_HAS_...`.
    std::int32_t known{};
    /// One of `RMECH_VERDICT_...`, on the site's own setting.
    std::int32_t verdict{};
    /// One of `RMECH_SCHEDULE_...`, on the fewest settings.
    std::int32_t outcome{};
    /// Whether the doubt on the inputs was counted in.
    std::int32_t in_doubt{};
    /// How many settings would do if each length could be set exactly.
    std::uint32_t fewest_if_exact{};
    /// For `rmech_operation_setting`.
    std::uint32_t setting_count{};
    /// For `rmech_operation_place`.
    std::uint32_t place_count{};
    /// For `rmech_operation_no_length`.
    std::uint32_t no_length_count{};
    /// For `rmech_operation_mark`.
    std::uint32_t mark_count{};
    /// For `rmech_operation_seen`.
    std::uint32_t position_count{};
    /// Whether the site gives the distance of the marks.
    std::int32_t marks_given{};
    /// Distance between the marks on the haul rope.
    rope_mechanics::length mark_spacing{};
    /// Of the edge of the slope, from which slope distances are measured, in the site's own level distances.
    rope_mechanics::length edge_x{};
    /// Its height in the site.
    rope_mechanics::length edge_z{};
    /// Greatest reading that the site allows.
    rope_mechanics::force reading_limit{};
    /// Greatest current that it allows.
    rope_mechanics::current current_limit{};
};
RMECH_SAME_SIZE(schedule, rmech_schedule);
RMECH_SAME_PLACE(schedule, rmech_schedule, struct_size);
RMECH_SAME_PLACE(schedule, rmech_schedule, known);
RMECH_SAME_PLACE(schedule, rmech_schedule, verdict);
RMECH_SAME_PLACE(schedule, rmech_schedule, outcome);
RMECH_SAME_PLACE(schedule, rmech_schedule, in_doubt);
RMECH_SAME_PLACE(schedule, rmech_schedule, fewest_if_exact);
RMECH_SAME_PLACE(schedule, rmech_schedule, setting_count);
RMECH_SAME_PLACE(schedule, rmech_schedule, place_count);
RMECH_SAME_PLACE(schedule, rmech_schedule, no_length_count);
RMECH_SAME_PLACE(schedule, rmech_schedule, mark_count);
RMECH_SAME_PLACE(schedule, rmech_schedule, position_count);
RMECH_SAME_PLACE(schedule, rmech_schedule, marks_given);
RMECH_SAME_PLACE(schedule, rmech_schedule, mark_spacing);
RMECH_SAME_PLACE(schedule, rmech_schedule, edge_x);
RMECH_SAME_PLACE(schedule, rmech_schedule, edge_z);
RMECH_SAME_PLACE(schedule, rmech_schedule, reading_limit);
RMECH_SAME_PLACE(schedule, rmech_schedule, current_limit);

/// A force to expect, and what it lies between.
struct expected_force {
    /// At least this.
    rope_mechanics::force low{};
    /// The best estimate.
    rope_mechanics::force expected{};
    /// At most this.
    rope_mechanics::force high{};
};
RMECH_SAME_SIZE(expected_force, rmech_expected_force);
RMECH_SAME_PLACE(expected_force, rmech_expected_force, low);
RMECH_SAME_PLACE(expected_force, rmech_expected_force, expected);
RMECH_SAME_PLACE(expected_force, rmech_expected_force, high);

/// What the load cell shows of one rope, by what the capstan did last.
struct cell_readings {
    /// While it takes in, and just after.
    rope_mechanics::force taking_in{};
    /// While it eases, and just after.
    rope_mechanics::force easing{};
    /// At rest after anything else: the band that friction may leave.
    rope_mechanics::expected_force at_rest{};
};
RMECH_SAME_SIZE(cell_readings, rmech_cell_readings);
RMECH_SAME_PLACE(cell_readings, rmech_cell_readings, taking_in);
RMECH_SAME_PLACE(cell_readings, rmech_cell_readings, easing);
RMECH_SAME_PLACE(cell_readings, rmech_cell_readings, at_rest);

/// One length of track rope by all that it can be set to or checked by, without its load.
struct set_point {
    /// sizeof(rmech_set_point); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_set_point));
    /// With the load on at so many places: `rmech_operation_set_point_line`, `rmech_operation_setting_line`.
    std::uint32_t line_count{};
    /// Of each strand between head and far sheave, unstretched, locked without load.
    rope_mechanics::length strand{};
    /// Both strands and what lies behind the head, unstretched: what the capstan takes in shortens this.
    rope_mechanics::length rope_in_line{};
    /// The strand that pulls as much as this one does after it has relaxed in the first minutes.
    rope_mechanics::length relaxed_strand{};
    /// What the load cell shows.
    rope_mechanics::cell_readings reading{};
    /// What it shows ten minutes after the rope was taken in and locked.
    rope_mechanics::expected_force reading_after_minutes{};
    /// Tension of each strand at the head.
    rope_mechanics::force strand_tension_head{};
    /// What the capstan pulls while it takes in.
    rope_mechanics::force capstan_pull{};
    /// Greatest vertical distance below the chord.
    rope_mechanics::length sag{};
};
RMECH_SAME_SIZE(set_point, rmech_set_point);
RMECH_SAME_PLACE(set_point, rmech_set_point, struct_size);
RMECH_SAME_PLACE(set_point, rmech_set_point, line_count);
RMECH_SAME_PLACE(set_point, rmech_set_point, strand);
RMECH_SAME_PLACE(set_point, rmech_set_point, rope_in_line);
RMECH_SAME_PLACE(set_point, rmech_set_point, relaxed_strand);
RMECH_SAME_PLACE(set_point, rmech_set_point, reading);
RMECH_SAME_PLACE(set_point, rmech_set_point, reading_after_minutes);
RMECH_SAME_PLACE(set_point, rmech_set_point, strand_tension_head);
RMECH_SAME_PLACE(set_point, rmech_set_point, capstan_pull);
RMECH_SAME_PLACE(set_point, rmech_set_point, sag);

/// The track rope with its load hauled to a place.
struct loaded_line {
    /// sizeof(rmech_loaded_line); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_loaded_line));
    /// Index in the study's positions.
    std::uint32_t position{};
    /// What the load cell shows.
    rope_mechanics::cell_readings reading{};
    /// Tension of each strand at the head.
    rope_mechanics::force strand_tension_head{};
    /// What the capstan pulls while it takes in.
    rope_mechanics::force capstan_pull{};
    /// Height of the litter's underside, hauled,
    rope_mechanics::length litter_height{};
    /// and the least of hauled, at rest and lowered.
    rope_mechanics::length least_litter_height{};
    /// The carriage below the chord of the track.
    rope_mechanics::length sag{};
    /// Pull of the haul rope at the carriage.
    rope_mechanics::force haul_pull{};
};
RMECH_SAME_SIZE(loaded_line, rmech_loaded_line);
RMECH_SAME_PLACE(loaded_line, rmech_loaded_line, struct_size);
RMECH_SAME_PLACE(loaded_line, rmech_loaded_line, position);
RMECH_SAME_PLACE(loaded_line, rmech_loaded_line, reading);
RMECH_SAME_PLACE(loaded_line, rmech_loaded_line, strand_tension_head);
RMECH_SAME_PLACE(loaded_line, rmech_loaded_line, capstan_pull);
RMECH_SAME_PLACE(loaded_line, rmech_loaded_line, litter_height);
RMECH_SAME_PLACE(loaded_line, rmech_loaded_line, least_litter_height);
RMECH_SAME_PLACE(loaded_line, rmech_loaded_line, sag);
RMECH_SAME_PLACE(loaded_line, rmech_loaded_line, haul_pull);

/// How a limit is kept at one place, with one length of rope.
struct kept {
    /// One of `RMECH_LIMIT_...`; zero where there is none.
    std::int32_t kind{};
    /// Index in the study's components, of `RMECH_LIMIT_FACTOR`; else -1.
    std::int32_t component{};
    /// Whether there are a value and what is allowed: not for a frame that falls.
    std::int32_t has_value{};
    /// Zero.
    std::int32_t reserved{};
    /// At its worst, in the SI unit of its kind: metres, newtons, amperes, radians; a factor is a plain number.
    double value{};
    /// What is allowed, in the same.
    double allowed{};
    /// By how much it is kept, as a share of what is allowed, or in metres for a height; negative where it is passed.
    double slack{};
};
RMECH_SAME_SIZE(kept, rmech_kept);
RMECH_SAME_PLACE(kept, rmech_kept, kind);
RMECH_SAME_PLACE(kept, rmech_kept, component);
RMECH_SAME_PLACE(kept, rmech_kept, has_value);
RMECH_SAME_PLACE(kept, rmech_kept, reserved);
RMECH_SAME_PLACE(kept, rmech_kept, value);
RMECH_SAME_PLACE(kept, rmech_kept, allowed);
RMECH_SAME_PLACE(kept, rmech_kept, slack);

/// One setting of the track rope and the positions that it serves.
struct track_setting {
    /// sizeof(rmech_track_setting); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_track_setting));
    /// Bits `RMECH_SETTING_HAS_...`; the readings are always known.
    std::int32_t known{};
    /// The first position that it serves; -1 for a setting that is made before the load is on.
    std::int32_t from{};
    /// The last.
    std::int32_t to{};
    /// Whether a crew that sets its reading to within 3 % stays inside.
    std::int32_t can_be_set{};
    /// Whether its readings are closer together than what friction may leave: then take in last, or they say nothing.
    std::int32_t narrower_than_friction{};
    /// Whether the rope still keeps every limit when it has relaxed in its first minutes; else take it in again then.
    std::int32_t holds_relaxed{};
    /// The position at which to stop for the change to it.
    std::int32_t stop{};
    /// Whether both settings keep every limit there.
    std::int32_t both_hold{};
    /// The position of `shorter_passes`; -1 before the load is on.
    std::int32_t shorter_at{};
    /// The position of `longer_passes`; -1 before the load is on.
    std::int32_t longer_at{};
    /// Zero.
    std::int32_t reserved{};
    /// The lengths of each strand that keep every limit at all of its positions: from this
    rope_mechanics::length shortest{};
    /// to this.
    rope_mechanics::length longest{};
    /// Reading of the empty line, the capstan taking in, at the longest strand,
    rope_mechanics::force reading_loose{};
    /// and at the shortest.
    rope_mechanics::force reading_tight{};
    /// Rope to take in at the capstan for the change; negative for rope to let out.
    rope_mechanics::length take_in{};
    /// What the load cell shows before the capstan turns, if it was taken in last. After: the line of `stop`.
    rope_mechanics::force reading_before{};
    /// What a shorter strand passes.
    rope_mechanics::kept shorter_passes{};
    /// What a longer one passes.
    rope_mechanics::kept longer_passes{};
};
RMECH_SAME_SIZE(track_setting, rmech_track_setting);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, struct_size);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, known);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, from);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, to);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, can_be_set);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, narrower_than_friction);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, holds_relaxed);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, stop);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, both_hold);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, shorter_at);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, longer_at);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, reserved);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, shortest);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, longest);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, reading_loose);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, reading_tight);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, take_in);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, reading_before);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, shorter_passes);
RMECH_SAME_PLACE(track_setting, rmech_track_setting, longer_passes);

/// A place for which the lengths that keep every limit were found: without load first, then along the travel.
struct schedule_place {
    /// sizeof(rmech_schedule_place); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_schedule_place));
    /// Index in the study's positions; -1 before the load is on.
    std::int32_t position{};
    /// For `rmech_operation_window`; with none, two limits clash.
    std::uint32_t window_count{};
    /// Whether the members below hold a clash.
    std::int32_t has_clash{};
    /// The strand whose worst limit is passed by least.
    rope_mechanics::length clash_strand{};
    /// The limit passed on the side of a shorter strand,
    rope_mechanics::kept clash_shorter{};
    /// and on that of a longer one. Where it is the same limit, no length of rope helps against it.
    rope_mechanics::kept clash_longer{};
};
RMECH_SAME_SIZE(schedule_place, rmech_schedule_place);
RMECH_SAME_PLACE(schedule_place, rmech_schedule_place, struct_size);
RMECH_SAME_PLACE(schedule_place, rmech_schedule_place, position);
RMECH_SAME_PLACE(schedule_place, rmech_schedule_place, window_count);
RMECH_SAME_PLACE(schedule_place, rmech_schedule_place, has_clash);
RMECH_SAME_PLACE(schedule_place, rmech_schedule_place, clash_strand);
RMECH_SAME_PLACE(schedule_place, rmech_schedule_place, clash_shorter);
RMECH_SAME_PLACE(schedule_place, rmech_schedule_place, clash_longer);

/// An interval of lengths of each strand that keeps every limit at one place.
struct strand_window {
    /// sizeof(rmech_strand_window); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_strand_window));
    /// Bits `RMECH_SETTING_HAS_...`, but for a change.
    std::int32_t known{};
    /// The shortest strand, unstretched, as it is locked without load.
    rope_mechanics::length shortest{};
    /// The longest.
    rope_mechanics::length longest{};
    /// Reading of the empty line, the capstan taking in, at the longest strand,
    rope_mechanics::force reading_loose{};
    /// and at the shortest.
    rope_mechanics::force reading_tight{};
    /// What a shorter strand passes.
    rope_mechanics::kept shorter_passes{};
    /// What a longer one passes.
    rope_mechanics::kept longer_passes{};
};
RMECH_SAME_SIZE(strand_window, rmech_strand_window);
RMECH_SAME_PLACE(strand_window, rmech_strand_window, struct_size);
RMECH_SAME_PLACE(strand_window, rmech_strand_window, known);
RMECH_SAME_PLACE(strand_window, rmech_strand_window, shortest);
RMECH_SAME_PLACE(strand_window, rmech_strand_window, longest);
RMECH_SAME_PLACE(strand_window, rmech_strand_window, reading_loose);
RMECH_SAME_PLACE(strand_window, rmech_strand_window, reading_tight);
RMECH_SAME_PLACE(strand_window, rmech_strand_window, shorter_passes);
RMECH_SAME_PLACE(strand_window, rmech_strand_window, longer_passes);

/// A stretch of the travel on which no length of rope keeps every limit.
struct no_length {
    /// sizeof(rmech_no_length); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_no_length));
    /// From this position; -1 before the load is on,
    std::int32_t from{};
    /// to this.
    std::int32_t to{};
    /// Where the best length passes most.
    std::int32_t at{};
    /// The strand whose worst limit is passed by least there.
    rope_mechanics::length strand{};
    /// The limit passed on the side of a shorter strand,
    rope_mechanics::kept shorter{};
    /// and on that of a longer one.
    rope_mechanics::kept longer{};
};
RMECH_SAME_SIZE(no_length, rmech_no_length);
RMECH_SAME_PLACE(no_length, rmech_no_length, struct_size);
RMECH_SAME_PLACE(no_length, rmech_no_length, from);
RMECH_SAME_PLACE(no_length, rmech_no_length, to);
RMECH_SAME_PLACE(no_length, rmech_no_length, at);
RMECH_SAME_PLACE(no_length, rmech_no_length, strand);
RMECH_SAME_PLACE(no_length, rmech_no_length, shorter);
RMECH_SAME_PLACE(no_length, rmech_no_length, longer);

/// A current to expect, and what it lies between.
struct expected_current {
    /// At least this.
    rope_mechanics::current low{};
    /// The best estimate.
    rope_mechanics::current expected{};
    /// At most this.
    rope_mechanics::current high{};
};
RMECH_SAME_SIZE(expected_current, rmech_expected_current);
RMECH_SAME_PLACE(expected_current, rmech_expected_current, low);
RMECH_SAME_PLACE(expected_current, rmech_expected_current, expected);
RMECH_SAME_PLACE(expected_current, rmech_expected_current, high);

/// A mark on the haul rope as it comes in over the head, what to expect then, and where to stop.
struct haul_mark {
    /// sizeof(rmech_haul_mark); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_haul_mark));
    /// Bits `RMECH_MARK_HAS_...`.
    std::int32_t known{};
    /// Counted from 1.
    std::uint32_t mark{};
    /// How the reading goes on to the next mark: one of `RMECH_TREND_...`,
    std::int32_t reading_goes_on{};
    /// and the current.
    std::int32_t current_goes_on{};
    /// Zero.
    std::int32_t reserved{};
    /// Haul rope that has come in past the head since the start.
    rope_mechanics::length rope_taken_in{};
    /// Rope that the winch has taken in, through its tackle.
    rope_mechanics::length winch_rope{};
    /// Where the carriage is: its level distance in the site,
    rope_mechanics::length carriage_x{};
    /// and its height.
    rope_mechanics::length carriage_z{};
    /// Straight from the edge of the slope to the point of the ground below the carriage.
    rope_mechanics::length slope_distance{};
    /// Height of the litter's underside, hauled.
    rope_mechanics::length litter_height{};
    /// What the load cell is to show.
    rope_mechanics::expected_force reading{};
    /// The pull at the winch, over what its turns may lose.
    rope_mechanics::expected_force winch_pull{};
    /// The winch's current at these pulls.
    rope_mechanics::expected_current current{};
    /// Stop when the load cell shows more: the limit, or all that friction explains there, whichever is less.
    rope_mechanics::force stop_above_reading{};
    /// Stop when the winch draws more: the limit, or the high end of what is expected, whichever is less.
    rope_mechanics::current stop_above_current{};
};
RMECH_SAME_SIZE(haul_mark, rmech_haul_mark);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, struct_size);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, known);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, mark);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, reading_goes_on);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, current_goes_on);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, reserved);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, rope_taken_in);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, winch_rope);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, carriage_x);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, carriage_z);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, slope_distance);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, litter_height);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, reading);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, winch_pull);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, current);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, stop_above_reading);
RMECH_SAME_PLACE(haul_mark, rmech_haul_mark, stop_above_current);

/// A position as it can be seen without a survey.
struct seen {
    /// sizeof(rmech_seen); set it with `rmech_init` or `RMECH_INIT`.
    std::uint32_t struct_size = static_cast<std::uint32_t>(sizeof(rmech_seen));
    /// Zero.
    std::uint32_t flags{};
    /// Haul rope that has come in past the head since the start.
    rope_mechanics::length rope_taken_in{};
    /// The same in marks on the haul rope: 2.5 lies half-way between the second and the third.
    rope_mechanics::ratio marks{};
    /// Straight from the edge of the slope to the point of the ground below the carriage.
    rope_mechanics::length slope_distance{};
};
RMECH_SAME_SIZE(seen, rmech_seen);
RMECH_SAME_PLACE(seen, rmech_seen, struct_size);
RMECH_SAME_PLACE(seen, rmech_seen, flags);
RMECH_SAME_PLACE(seen, rmech_seen, rope_taken_in);
RMECH_SAME_PLACE(seen, rmech_seen, marks);
RMECH_SAME_PLACE(seen, rmech_seen, slope_distance);

#undef RMECH_SAME_SIZE
#undef RMECH_SAME_PLACE

/* ---- Calls ---- */

namespace detail {
/// The failure that the library says.
inline unexpected failed(const rmech_error &error) { return unexpected(failure(error)); }

/// Two arrays that should be equally long, and are not.
inline unexpected unequal(const char *name, std::size_t size, const char *other, std::size_t other_size) {
    rmech_error error = RMECH_INIT(rmech_error);
    error.status = RMECH_ERR_VALUE;
    std::snprintf(error.field, sizeof error.field, "%s", name);
    std::snprintf(error.message, sizeof error.message, "%s has %zu elements, but %s has %zu", name, size, other, other_size);
    return unexpected(failure(error));
}

/// To the structs of the library, which are the same but for their types: each layout is asserted above.
template <class To, class From> To *as(From *from) noexcept {
    static_assert(sizeof(To) == sizeof(From) && alignof(To) == alignof(From), "another layout");
    return reinterpret_cast<To *>(from);
}
template <class To, class From> const To *as(const From *from) noexcept {
    static_assert(sizeof(To) == sizeof(From) && alignof(To) == alignof(From), "another layout");
    return reinterpret_cast<const To *>(from);
}

/// What is owned and destroyed at the end.
template <class C, void (*Destroy)(C *)> class owner {
public:
    owner() noexcept = default;
    explicit owner(C *handle) noexcept : handle_(handle) {}
    owner(owner &&other) noexcept : handle_(std::exchange(other.handle_, nullptr)) {}
    owner &operator=(owner &&other) noexcept {
        if (this != &other) {
            Destroy(handle_);
            handle_ = std::exchange(other.handle_, nullptr);
        }
        return *this;
    }
    owner(const owner &) = delete;
    owner &operator=(const owner &) = delete;
    ~owner() { Destroy(handle_); }
    C *get() const noexcept { return handle_; }
    C *release() noexcept { return std::exchange(handle_, nullptr); }

private:
    C *handle_ = nullptr;
};
} // namespace detail

/// Whether the library that runs serves this header: call it once, first.
inline result<void> check_version() {
    rmech_error error = RMECH_INIT(rmech_error);
    if (RMECH_CHECK_VERSION(&error) != RMECH_OK) {
        return detail::failed(error);
    }
    return {};
}
/// The version of the library that runs, as "1.2.3".
inline const char *version() noexcept { return rmech_version(); }
/// The binary interface of the library that runs.
inline std::uint32_t abi_version() noexcept { return rmech_abi_version(); }
/// A sentence for a status.
inline const char *status_text(std::int32_t status) noexcept { return rmech_status_text(status); }

/// Strain under a tension.
/// Formula and range: at the top of this topic in rope_mechanics.h. Cost: no heap, 4 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::ratio> stretch_strain(const rope_mechanics::stretch &stretch, const rope_mechanics::force &tension) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::ratio strain{};
    if (rmech_stretch_strain(detail::as<rmech_stretch>(&stretch), detail::as<rmech_force>(&tension), detail::as<rmech_ratio>(&strain), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return strain;
}

/// Tension under a strain.
/// Formula and range: at the top of this topic in rope_mechanics.h. Cost: no heap, 4 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::force> stretch_tension(const rope_mechanics::stretch &stretch, const rope_mechanics::ratio &strain) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force tension{};
    if (rmech_stretch_tension(detail::as<rmech_stretch>(&stretch), detail::as<rmech_ratio>(&strain), detail::as<rmech_force>(&tension), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return tension;
}

/// What turn_measured gives.
struct turn_measured_result {
    rope_mechanics::turn worst;
    rope_mechanics::turn best;
};
/// The turns that lose the most and the least of what was measured over pulleys, connectors and descenders.
/// `what` is one of `RMECH_MEASURED_...`. `worst` is for what a haul takes, `best` for what a load may pull while it
/// is let down. Source: Delaney 2022, p. 90 (in notes on it); bars by the same author. Cost: no heap, 3 kB of stack;
/// closed form.
[[nodiscard]] inline result<turn_measured_result> turn_measured(std::int32_t what) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::turn worst{};
    rope_mechanics::turn best{};
    if (rmech_turn_measured(what, detail::as<rmech_turn>(&worst), detail::as<rmech_turn>(&best), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return turn_measured_result{std::move(worst), std::move(best)};
}

/// Ratio of the tensions over a turn by `angle`: a sheave, or a bar with its two coefficients.
/// Formula, source and range: at the top of this topic in rope_mechanics.h. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::band> turn_band(const rope_mechanics::turn &turn, const rope_mechanics::angle &angle) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::band band{};
    if (rmech_turn_band(detail::as<rmech_turn>(&turn), detail::as<rmech_angle>(&angle), detail::as<rmech_band>(&band), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return band;
}

/// What strength_reduced gives.
struct strength_reduced_result {
    rope_mechanics::force strength;
    std::int32_t weakest_place;
};
/// The strength of a rope with all that weakens it. Of knots and bends only the worst counts.
/// `weakest_place` takes the index of that knot or bend, or -1 if there is none; it may be NULL. Cost: no heap, 5 kB
/// of stack; one pass over what is given.
[[nodiscard]] inline result<strength_reduced_result> strength_reduced(const rope_mechanics::force &breaking_strength, array_view<rope_mechanics::reduction> reductions) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force strength{};
    std::int32_t weakest_place{};
    if (rmech_strength_reduced(detail::as<rmech_force>(&breaking_strength), detail::as<rmech_reduction>(reductions.data()), reductions.size(), detail::as<rmech_force>(&strength), &weakest_place, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return strength_reduced_result{std::move(strength), std::move(weakest_place)};
}

/// What the library knows of a knot or of water in nylon: `weakening` is `RMECH_WEAKENING_KNOT` (0.70, from memory) or
/// `RMECH_WEAKENING_WET` (0.80, read).
/// A knot keeps 0.55 to 0.80, trainers say. Wet nylon: Flory, Hearle & Goksoy 1990. Where the mark is memory, take
/// what your rope's maker states. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::reduction> usual_reduction(std::int32_t weakening) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::reduction reduction{};
    if (rmech_usual_reduction(weakening, detail::as<rmech_reduction>(&reduction), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return reduction;
}

/// What a bend of this diameter takes from a rope.
/// 0.50 at as thick as the rope; 0.65, 0.75, 0.79, 0.83, 0.86, 0.89, 0.91, 0.93, 0.95 at 2, 4, 6, 8, 10, 15, 20, 30,
/// 40 rope diameters; straight lines between, 0.95 beyond. For wire rope over bends that stand still, by a table that
/// three suppliers of blocks print alike; for fibre rope it is a stand-in, so its mark is memory. Cost: no heap, 3 kB
/// of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::reduction> bend_reduction(const rope_mechanics::length &bend_diameter, const rope_mechanics::length &rope_diameter) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::reduction reduction{};
    if (rmech_bend_reduction(detail::as<rmech_length>(&bend_diameter), detail::as<rmech_length>(&rope_diameter), detail::as<rmech_reduction>(&reduction), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return reduction;
}

/// What weakest_link gives.
struct weakest_link_result {
    std::int32_t index;
    rope_mechanics::ratio safety_factor;
};
/// The component with the least safety factor.
/// `index` takes its index, or -1 if no component bears a load; `safety_factor` is then 0, which no loaded component
/// has. Cost: no heap, 3 kB of stack; one pass over what is given.
[[nodiscard]] inline result<weakest_link_result> weakest_link(array_view<rope_mechanics::component> components) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::int32_t index{};
    rope_mechanics::ratio safety_factor{};
    if (rmech_weakest_link(detail::as<rmech_component>(components.data()), components.size(), &index, detail::as<rmech_ratio>(&safety_factor), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return weakest_link_result{std::move(index), std::move(safety_factor)};
}

/// The line in equilibrium.
/// Assumptions, formula and range: at the top of this topic in rope_mechanics.h. Cost: no heap, 5 kB of stack; at most
/// 2000 evaluations of its equation and one line more, some 4 as a rule (more where it stiffens), iterations at most
/// 2400.
[[nodiscard]] inline result<rope_mechanics::line_state> line_solve(const rope_mechanics::line &line) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::line_state state{};
    if (rmech_line_solve(detail::as<rmech_line>(&line), detail::as<rmech_line_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The forces at the supports of the line in equilibrium, without sag, lowest point and stretched length: in half of
/// the time of `rmech_line_solve`, and the same to the last bit. Cost: no heap, 5 kB of stack; as of rmech_line_solve.
[[nodiscard]] inline result<rope_mechanics::line_ends> line_solve_ends(const rope_mechanics::line &line) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::line_ends ends{};
    if (rmech_line_solve_ends(detail::as<rmech_line>(&line), detail::as<rmech_line_ends>(&ends), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return ends;
}

/// What line_solve_many gives.
struct line_solve_many_result {
    std::vector<rope_mechanics::line_ends> ends;
    std::size_t solved;
};
/// Many lines in one call, an array for each of their numbers, `count` elements in each: in vectors of what the
/// machine has, some five times as fast as one by one.
/// Each answer is that of `rmech_line_solve_ends` to the last bit. A line that can't be solved doesn't keep the others
/// from it: its `status` in `ends`, which takes `count` elements, says why. `solved` counts those that are `RMECH_OK`,
/// and so is the call. Nothing is allocated; several threads may each solve a part. Cost: no heap, 20 kB of stack; as
/// of rmech_line_solve for each line.
[[nodiscard]] inline result<line_solve_many_result> line_solve_many(array_view<rope_mechanics::length> spans, array_view<rope_mechanics::length> rises, array_view<rope_mechanics::length> lengths, array_view<rope_mechanics::line_weight> weights, array_view<rope_mechanics::stretch> stretches) {
    rmech_error error = RMECH_INIT(rmech_error);
    if (rises.size() != spans.size()) {
        return detail::unequal("rises", rises.size(), "spans", spans.size());
    }
    if (lengths.size() != spans.size()) {
        return detail::unequal("lengths", lengths.size(), "spans", spans.size());
    }
    if (weights.size() != spans.size()) {
        return detail::unequal("weights", weights.size(), "spans", spans.size());
    }
    if (stretches.size() != spans.size()) {
        return detail::unequal("stretches", stretches.size(), "spans", spans.size());
    }
    std::vector<rope_mechanics::line_ends> ends(spans.size());
    std::size_t solved{};
    if (rmech_line_solve_many(detail::as<rmech_length>(spans.data()), detail::as<rmech_length>(rises.data()), detail::as<rmech_length>(lengths.data()), detail::as<rmech_line_weight>(weights.data()), detail::as<rmech_stretch>(stretches.data()), spans.size(), detail::as<rmech_line_ends>(ends.data()), &solved, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return line_solve_many_result{std::move(ends), std::move(solved)};
}

/// `count` points of the line, at least 2: the first end, the second end, and points between them that cut its length
/// in equal parts.
/// `points` has room for `count` of them. Cost: no heap, 5 kB of stack; as of rmech_line_solve, and one pass over the
/// points.
[[nodiscard]] inline result<std::vector<rope_mechanics::line_point>> line_points(const rope_mechanics::line &line, std::uint32_t count) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::line_point> points(std::size_t{count});
    if (rmech_line_points(detail::as<rmech_line>(&line), detail::as<rmech_line_point>(points.data()), count, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return points;
}

/// Unstretched length that gives this tension at an end, of the two that may: the shorter, taut one.
/// `line_end` is `RMECH_LINE_FIRST` or `RMECH_LINE_LAST`. The length of `line` is not read. Cost: no heap, 5 kB of
/// stack; at most 120 lines solved, ten as a rule.
[[nodiscard]] inline result<rope_mechanics::length> line_length_for_tension(const rope_mechanics::line &line, std::int32_t line_end, const rope_mechanics::force &tension) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::length length{};
    if (rmech_line_length_for_tension(detail::as<rmech_line>(&line), line_end, detail::as<rmech_force>(&tension), detail::as<rmech_length>(&length), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return length;
}

/// Unstretched length that gives this horizontal tension. The length of `line` is not read. Cost: no heap, 5 kB of
/// stack; at most 120 lines solved, ten as a rule.
[[nodiscard]] inline result<rope_mechanics::length> line_length_for_horizontal_tension(const rope_mechanics::line &line, const rope_mechanics::force &horizontal_tension) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::length length{};
    if (rmech_line_length_for_horizontal_tension(detail::as<rmech_line>(&line), detail::as<rmech_force>(&horizontal_tension), detail::as<rmech_length>(&length), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return length;
}

/// Unstretched length that gives this sag. The length of `line` is not read. Cost: no heap, 5 kB of stack; at most 120
/// lines solved, ten as a rule.
[[nodiscard]] inline result<rope_mechanics::length> line_length_for_sag(const rope_mechanics::line &line, const rope_mechanics::length &sag) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::length length{};
    if (rmech_line_length_for_sag(detail::as<rmech_line>(&line), detail::as<rmech_length>(&sag), detail::as<rmech_length>(&length), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return length;
}

/// The rope that doesn't stretch, of the length of `line`.
/// Assumptions, formula and range of all four: at the top of this topic in rope_mechanics.h. The stretch of `line` is
/// not read. Cost: no heap, 4 kB of stack; at most 400 evaluations of its equation, some 4 as a rule, iterations at
/// most 400.
[[nodiscard]] inline result<rope_mechanics::line_state> catenary_by_length(const rope_mechanics::line &line) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::line_state state{};
    if (rmech_catenary_by_length(detail::as<rmech_line>(&line), detail::as<rmech_line_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The rope that doesn't stretch, with this horizontal tension. Length and stretch of `line` are not read. Cost: no
/// heap, 4 kB of stack; closed form, iterations at most 0.
[[nodiscard]] inline result<rope_mechanics::line_state> catenary_by_horizontal_tension(const rope_mechanics::line &line, const rope_mechanics::force &horizontal_tension) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::line_state state{};
    if (rmech_catenary_by_horizontal_tension(detail::as<rmech_line>(&line), detail::as<rmech_force>(&horizontal_tension), detail::as<rmech_line_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The rope that doesn't stretch, with this tension at one of its ends. Length and stretch of `line` are not read.
/// `line_end` is `RMECH_LINE_FIRST` or `RMECH_LINE_LAST`; two ropes have that tension, so `which` is
/// `RMECH_BRANCH_TAUT` or `RMECH_BRANCH_SLACK`. Cost: no heap, 4 kB of stack; roots between two bounds, each in at
/// most the steps of bisection, some ten as a rule, iterations at most 400.
[[nodiscard]] inline result<rope_mechanics::line_state> catenary_by_end_tension(const rope_mechanics::line &line, std::int32_t line_end, std::int32_t which, const rope_mechanics::force &tension) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::line_state state{};
    if (rmech_catenary_by_end_tension(detail::as<rmech_line>(&line), line_end, which, detail::as<rmech_force>(&tension), detail::as<rmech_line_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The rope that doesn't stretch and hangs this far below the chord. Length and stretch of `line` are not read. Cost:
/// no heap, 4 kB of stack; roots between two bounds, each in at most the steps of bisection, some ten as a rule,
/// iterations at most 400.
[[nodiscard]] inline result<rope_mechanics::line_state> catenary_by_sag(const rope_mechanics::line &line, const rope_mechanics::length &sag) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::line_state state{};
    if (rmech_catenary_by_sag(detail::as<rmech_line>(&line), detail::as<rmech_length>(&sag), detail::as<rmech_line_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The load rolling free on the track, without friction. The haul rope is not read.
/// `RMECH_ERR_GEOMETRY` if nothing holds it between its supports: it runs to the lower one. Cost: no heap, 7 kB of
/// stack; at most 200 roots of bisection each; some ten steps as a rule, iterations at most 64.
[[nodiscard]] inline result<rope_mechanics::carriage_state> carriage_rolling(const rope_mechanics::carriage &carriage) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::carriage_state state{};
    if (rmech_carriage_rolling(detail::as<rmech_carriage>(&carriage), detail::as<rmech_carriage_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The load held by its haul rope at the horizontal position `x`, strictly between the supports of the track.
/// `RMECH_ERR_GEOMETRY` where the haul rope would have to push. Cost: no heap, 19 kB of stack; Newton's method from at
/// most a few starts, 60 steps of at most 14 halvings each, and 4 more; 3 to 5 as a rule, iterations at most 64.
[[nodiscard]] inline result<rope_mechanics::carriage_state> carriage_held_at_x(const rope_mechanics::carriage &carriage, const rope_mechanics::length &x) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::carriage_state state{};
    if (rmech_carriage_held_at_x(detail::as<rmech_carriage>(&carriage), detail::as<rmech_length>(&x), detail::as<rmech_carriage_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The load held by an unstretched length of haul rope. Where that rope is slack, the load rests by itself. Cost: no
/// heap, 24 kB of stack; the same at no more than 60 places; one or two as a rule, iterations at most 64.
[[nodiscard]] inline result<rope_mechanics::carriage_state> carriage_held_by_haul_length(const rope_mechanics::carriage &carriage, const rope_mechanics::length &haul_length) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::carriage_state state{};
    if (rmech_carriage_held_by_haul_length(detail::as<rmech_carriage>(&carriage), detail::as<rmech_length>(&haul_length), detail::as<rmech_carriage_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The load held where it hangs `height` above the ground, measured plumb: of several such places the one nearest to
/// the support named by `nearest`, one of `RMECH_SUPPORT_...`.
/// `ground` has `count` points with growing x, at most `RMECH_GROUND_POINTS_MAX`. `RMECH_ERR_GEOMETRY` where the load
/// hangs so high nowhere: the message has the least and the greatest height. Cost: no heap, 35 kB of stack; the same
/// at some 500 places at most, over the ground given; some ten as a rule, iterations at most 32000.
[[nodiscard]] inline result<rope_mechanics::carriage_state> carriage_held_at_height_above(const rope_mechanics::carriage &carriage, array_view<rope_mechanics::plane_point> ground, const rope_mechanics::length &height, std::int32_t nearest) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::carriage_state state{};
    if (rmech_carriage_held_at_height_above(detail::as<rmech_carriage>(&carriage), detail::as<rmech_plane_point>(ground.data()), ground.size(), detail::as<rmech_length>(&height), nearest, detail::as<rmech_carriage_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The length of track with which it pulls with `tension` at the head while the load is held at `x`.
/// `state` has the length. `RMECH_ERR_GEOMETRY` if the load can't hang on so little tension. Cost: no heap, 19 kB of
/// stack; Newton's method from at most a few starts, 60 steps of at most 14 halvings each, and 4 more; 3 to 5 as a
/// rule, iterations at most 64.
[[nodiscard]] inline result<rope_mechanics::carriage_state> carriage_length_for_tension(const rope_mechanics::carriage &carriage, const rope_mechanics::length &x, const rope_mechanics::force &tension) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::carriage_state state{};
    if (rmech_carriage_length_for_tension(detail::as<rmech_carriage>(&carriage), detail::as<rmech_length>(&x), detail::as<rmech_force>(&tension), detail::as<rmech_carriage_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The length of track with which the held carriage stands at `point`: at a given height above the ground, say.
/// `state` has the length. Cost: no heap, 19 kB of stack; Newton's method from at most a few starts, 60 steps of at
/// most 14 halvings each, and 4 more; 3 to 5 as a rule, iterations at most 64.
[[nodiscard]] inline result<rope_mechanics::carriage_state> carriage_length_for_point(const rope_mechanics::carriage &carriage, const rope_mechanics::plane_point &point) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::carriage_state state{};
    if (rmech_carriage_length_for_point(detail::as<rmech_carriage>(&carriage), detail::as<rmech_plane_point>(&point), detail::as<rmech_carriage_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// What reeving_tensions gives.
struct reeving_tensions_result {
    std::vector<rope_mechanics::part_tension> parts;
    std::vector<rope_mechanics::turn_load> turns;
    rope_mechanics::reeving_summary summary;
};
/// The tension of every part of a rope, from what is known of one part or of the sum of two.
/// `parts` takes bend_count + 1 entries and `turns` bend_count; both, and `summary`, may be NULL. `motion_of_rope` is
/// one of `RMECH_MOTION_...`. Formula and source: at the top of this topic in rope_mechanics.h. Cost: no heap, 12 kB
/// of stack; for each side of each part, a few passes along the rope.
[[nodiscard]] inline result<reeving_tensions_result> reeving_tensions(const rope_mechanics::reeving &reeving, const rope_mechanics::known &known, std::int32_t motion_of_rope) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::part_tension> parts(reeving.bends.size()+1);
    std::vector<rope_mechanics::turn_load> turns(reeving.bends.size());
    rope_mechanics::reeving_summary summary{};
    if (rmech_reeving_tensions(detail::as<rmech_reeving>(&reeving), detail::as<rmech_known>(&known), motion_of_rope, detail::as<rmech_part_tension>(parts.data()), reeving.bends.size()+1, detail::as<rmech_turn_load>(turns.data()), reeving.bends.size(), detail::as<rmech_reeving_summary>(&summary), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return reeving_tensions_result{std::move(parts), std::move(turns), std::move(summary)};
}

/// The tensions of a doubled track rope from one known tension.
/// `known` is one of `RMECH_TRACK_KNOWN_...` and says what `tension` is; `motion_of_rope` one of `RMECH_MOTION_...`:
/// tensioning is hauling, easing is lowering. Cost: no heap, 14 kB of stack; for each side of each part, a few passes
/// along the rope.
[[nodiscard]] inline result<rope_mechanics::track_tensions> doubled_track_tensions(const rope_mechanics::doubled_track &track, std::int32_t known, const rope_mechanics::force &tension, std::int32_t motion_of_rope) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::track_tensions tensions{};
    if (rmech_doubled_track_tensions(detail::as<rmech_doubled_track>(&track), known, detail::as<rmech_force>(&tension), motion_of_rope, detail::as<rmech_track_tensions>(&tensions), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return tensions;
}

/// Load on a turn without loss, from the tension and the angle between its two lines: 0 to 180 degrees. Cost: no heap,
/// 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::force> redirect_load(const rope_mechanics::force &tension, const rope_mechanics::angle &between_lines) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force load{};
    if (rmech_redirect_load(detail::as<rmech_force>(&tension), detail::as<rmech_angle>(&between_lines), detail::as<rmech_force>(&load), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return load;
}

/// What redirect_resultant gives.
struct redirect_resultant_result {
    rope_mechanics::force_band pull;
    rope_mechanics::turn_load on_turn;
};
/// The force of a redirect on what holds it, and the tension on its pulling side.
/// `to_load` and `to_pull` are the directions in which its two lines run away from it. Cost: no heap, 4 kB of stack;
/// closed form.
[[nodiscard]] inline result<redirect_resultant_result> redirect_resultant(const rope_mechanics::turn &turn, const rope_mechanics::direction &to_load, const rope_mechanics::direction &to_pull, const rope_mechanics::force &load_tension, std::int32_t motion_of_rope) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force_band pull{};
    rope_mechanics::turn_load on_turn{};
    if (rmech_redirect_resultant(detail::as<rmech_turn>(&turn), detail::as<rmech_direction>(&to_load), detail::as<rmech_direction>(&to_pull), detail::as<rmech_force>(&load_tension), motion_of_rope, detail::as<rmech_force_band>(&pull), detail::as<rmech_turn_load>(&on_turn), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return redirect_resultant_result{std::move(pull), std::move(on_turn)};
}

/// The tail force that holds `load` for the `wrap` taken: from `tail->low`, if friction is at its highest, to
/// `tail->high`, which holds in any case.
/// Formula and source: at the top of this topic in rope_mechanics.h. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::force_band> capstan_tail(const rope_mechanics::capstan &capstan, const rope_mechanics::force &load, const rope_mechanics::angle &wrap) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force_band tail{};
    if (rmech_capstan_tail(detail::as<rmech_capstan>(&capstan), detail::as<rmech_force>(&load), detail::as<rmech_angle>(&wrap), detail::as<rmech_force_band>(&tail), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return tail;
}

/// The load that a `tail` force holds: `load->low` is held in any case; above `load->high` the rope runs in any case.
/// Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::force_band> capstan_load(const rope_mechanics::capstan &capstan, const rope_mechanics::force &tail, const rope_mechanics::angle &wrap) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force_band load{};
    if (rmech_capstan_load(detail::as<rmech_capstan>(&capstan), detail::as<rmech_force>(&tail), detail::as<rmech_angle>(&wrap), detail::as<rmech_force_band>(&load), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return load;
}

/// Whether a `tail` force holds `load`: one of `RMECH_GRIP_...`. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<std::int32_t> capstan_grip(const rope_mechanics::capstan &capstan, const rope_mechanics::force &load, const rope_mechanics::force &tail, const rope_mechanics::angle &wrap) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::int32_t grip{};
    if (rmech_capstan_grip(detail::as<rmech_capstan>(&capstan), detail::as<rmech_force>(&load), detail::as<rmech_force>(&tail), detail::as<rmech_angle>(&wrap), &grip, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return grip;
}

/// What capstan_turns gives.
struct capstan_turns_result {
    rope_mechanics::angle wrap;
    std::uint32_t whole_turns;
};
/// The wrap that lets a `hand` force hold `load` with the lowest friction, and its whole turns, rounded up. Cost: no
/// heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<capstan_turns_result> capstan_turns(const rope_mechanics::capstan &capstan, const rope_mechanics::force &load, const rope_mechanics::force &hand) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::angle wrap{};
    std::uint32_t whole_turns{};
    if (rmech_capstan_turns(detail::as<rmech_capstan>(&capstan), detail::as<rmech_force>(&load), detail::as<rmech_force>(&hand), detail::as<rmech_angle>(&wrap), &whole_turns, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return capstan_turns_result{std::move(wrap), std::move(whole_turns)};
}

/// Which hands hold a `tail` force on a moving rope: one of `RMECH_HAND_...`.
/// Bands from a test of people; source: at the top of this topic in rope_mechanics.h. A hand is no brake to rely on.
/// Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<std::int32_t> hand_hold(const rope_mechanics::force &tail) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::int32_t hand{};
    if (rmech_hand_hold(detail::as<rmech_force>(&tail), &hand, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return hand;
}

/// The coefficient of friction from a test in which a weight was just raised and just lowered over a bar. Cost: no
/// heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::ratio> friction_from_test(const rope_mechanics::force &raising, const rope_mechanics::force &lowering, const rope_mechanics::angle &wrap) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::ratio friction{};
    if (rmech_friction_from_test(detail::as<rmech_force>(&raising), detail::as<rmech_force>(&lowering), detail::as<rmech_angle>(&wrap), detail::as<rmech_ratio>(&friction), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return friction;
}

/// A turn with a coefficient of friction for each direction, from such a test and the `weight` that hung on the rope.
/// `turn` takes a `RMECH_TURN_BAR`. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::turn> turn_from_test(const rope_mechanics::force &raising, const rope_mechanics::force &lowering, const rope_mechanics::angle &wrap, const rope_mechanics::force &weight) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::turn turn{};
    if (rmech_turn_from_test(detail::as<rmech_force>(&raising), detail::as<rmech_force>(&lowering), detail::as<rmech_angle>(&wrap), detail::as<rmech_force>(&weight), detail::as<rmech_turn>(&turn), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return turn;
}

/// The pulls in the rope of a load on a slope: up, down and at rest.
/// Formula and source: at the top of this topic in rope_mechanics.h. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::slope_pull> slope_pull_of(const rope_mechanics::slope_load &load) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::slope_pull pull{};
    if (rmech_slope_pull_of(detail::as<rmech_slope_load>(&load), detail::as<rmech_slope_pull>(&pull), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return pull;
}

/// Drag of a load of which the ground carries only a share, the rest hanging on a line. Cost: no heap, 3 kB of stack;
/// closed form.
[[nodiscard]] inline result<rope_mechanics::force> ground_drag(const rope_mechanics::force &weight, const rope_mechanics::ratio &ground_share, const rope_mechanics::angle &slope, const rope_mechanics::ratio &friction) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force drag{};
    if (rmech_ground_drag(detail::as<rmech_force>(&weight), detail::as<rmech_ratio>(&ground_share), detail::as<rmech_angle>(&slope), detail::as<rmech_ratio>(&friction), detail::as<rmech_force>(&drag), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return drag;
}

/// The class of a slope: one of `RMECH_SLOPE_...`.
/// `classes` may be NULL: the cautious limits then, 15, 30 and 50 degrees. Sources disagree on them. Cost: no heap, 3
/// kB of stack; closed form.
[[nodiscard]] inline result<std::int32_t> slope_class(const std::optional<rope_mechanics::slope_classes> &classes, const rope_mechanics::angle &slope) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::int32_t class_{};
    if (rmech_slope_class(classes ? detail::as<rmech_slope_classes>(&*classes) : nullptr, detail::as<rmech_angle>(&slope), &class_, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return class_;
}

/// The advantage of a tackle: without losses, hauling and lowering.
/// Model, formula and range: at the top of this topic in rope_mechanics.h. Cost: no heap, 16 kB of stack; linear
/// systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
[[nodiscard]] inline result<rope_mechanics::advantage> tackle_advantage(const rope_mechanics::tackle &tackle) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::advantage advantage{};
    if (rmech_tackle_advantage(detail::as<rmech_tackle>(&tackle), detail::as<rmech_advantage>(&advantage), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return advantage;
}

/// What tackle_solve gives.
struct tackle_solve_result {
    std::vector<rope_mechanics::force> tensions;
    rope_mechanics::tackle_forces forces;
};
/// The forces in a tackle for a load, in one state: `RMECH_MOTION_HAULING`, `RMECH_MOTION_LOWERING`,
/// `RMECH_TACKLE_LOSSLESS` or `RMECH_TACKLE_HELD`.
/// `tensions` takes the tension of every part in the order in which the ropes were reeved (of a tackle of one's own,
/// that of its stops), if `capacity` is at least the number of parts, at most `RMECH_TACKLE_MAX_PARTS`; NULL with a
/// capacity of 0 asks for the rest alone. Cost: no heap, 16 kB of stack; linear systems of at most 8 unknowns,
/// elimination; where singular or held, at most 40 sweeps.
[[nodiscard]] inline result<tackle_solve_result> tackle_solve(const rope_mechanics::tackle &tackle, const rope_mechanics::force &load, std::int32_t state, std::size_t capacity) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::force> tensions(capacity);
    rope_mechanics::tackle_forces forces{};
    if (rmech_tackle_solve(detail::as<rmech_tackle>(&tackle), detail::as<rmech_force>(&load), state, detail::as<rmech_force>(tensions.data()), capacity, detail::as<rmech_tackle_forces>(&forces), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return tackle_solve_result{std::move(tensions), std::move(forces)};
}

/// The force on every sheave of a tackle for a load, in one state as for `rmech_tackle_solve`.
/// `sheaves` takes them in the order in which the ropes reach them, as many as `turns` in `rmech_tackle_forces` says
/// (at most `RMECH_TACKLE_MAX_PARTS`). Cost: no heap, 16 kB of stack; linear systems of at most 8 unknowns,
/// elimination; where singular or held, at most 40 sweeps.
[[nodiscard]] inline result<std::vector<rope_mechanics::sheave_force>> tackle_on_sheaves(const rope_mechanics::tackle &tackle, const rope_mechanics::force &load, std::int32_t state, std::size_t capacity) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::sheave_force> sheaves(capacity);
    if (rmech_tackle_on_sheaves(detail::as<rmech_tackle>(&tackle), detail::as<rmech_force>(&load), state, detail::as<rmech_sheave_force>(sheaves.data()), capacity, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return sheaves;
}

/// The force on every carrier of a tackle for a load, in one state as for `rmech_tackle_solve`, and how each travels.
/// `carriers` takes as many as `carriers` in `rmech_tackle_forces` says, at most 24. Cost: no heap, 16 kB of stack;
/// linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
[[nodiscard]] inline result<std::vector<rope_mechanics::carrier_force>> tackle_on_carriers(const rope_mechanics::tackle &tackle, const rope_mechanics::force &load, std::int32_t state, std::size_t capacity) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::carrier_force> carriers(capacity);
    if (rmech_tackle_on_carriers(detail::as<rmech_tackle>(&tackle), detail::as<rmech_force>(&load), state, detail::as<rmech_carrier_force>(carriers.data()), capacity, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return carriers;
}

/// How far the load goes before two carriers that a part joins come closer than `clearance`. Cost: no heap, 16 kB of
/// stack; linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
[[nodiscard]] inline result<rope_mechanics::throw_> tackle_throw(const rope_mechanics::tackle &tackle, const rope_mechanics::length &clearance) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::throw_ throw_{};
    if (rmech_tackle_throw(detail::as<rmech_tackle>(&tackle), detail::as<rmech_length>(&clearance), detail::as<rmech_throw>(&throw_), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return throw_;
}

/// How far the load goes back when its capture takes hold, for each length of rope that slips through it. Cost: no
/// heap, 16 kB of stack; linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
[[nodiscard]] inline result<rope_mechanics::ratio> tackle_setback(const rope_mechanics::tackle &tackle) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::ratio setback{};
    if (rmech_tackle_setback(detail::as<rmech_tackle>(&tackle), detail::as<rmech_ratio>(&setback), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return setback;
}

/// The rope in all parts of a tackle, as drawn: what it needs beside knots and tails. Cost: no heap, 16 kB of stack;
/// linear systems of at most 8 unknowns, elimination; where singular or held, at most 40 sweeps.
[[nodiscard]] inline result<rope_mechanics::length> tackle_rope(const rope_mechanics::tackle &tackle) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::length rope{};
    if (rmech_tackle_rope(detail::as<rmech_tackle>(&tackle), detail::as<rmech_length>(&rope), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return rope;
}

/// The best of the usual tackles with which the `available` hand force is enough for a load.
/// `tackle` gives where things stand and the one efficiency of all pulleys; its `ready`, `flags` and `efficiencies`
/// are not read. `wanted` is a `RMECH_WANTED_...`, `lead` a `RMECH_LEAD_...`. If none is enough, RMECH_ERR_GEOMETRY.
/// Cost: no heap, 17 kB of stack; the same for each of the usual tackles, 30 in all.
[[nodiscard]] inline result<rope_mechanics::tackle_found> tackle_search(const rope_mechanics::tackle &tackle, const rope_mechanics::force &load, const rope_mechanics::force &available, std::int32_t wanted, std::int32_t lead) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::tackle_found found{};
    if (rmech_tackle_search(detail::as<rmech_tackle>(&tackle), detail::as<rmech_force>(&load), detail::as<rmech_force>(&available), wanted, lead, detail::as<rmech_tackle_found>(&found), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return found;
}

/// Throws, resets and rope for a whole haul. Cost: no heap, 16 kB of stack; linear systems of at most 8 unknowns,
/// elimination; where singular or held, at most 40 sweeps.
[[nodiscard]] inline result<rope_mechanics::cycle> tackle_cycle(const rope_mechanics::tackle &tackle, const rope_mechanics::haul_plan &plan) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::cycle cycle{};
    if (rmech_tackle_cycle(detail::as<rmech_tackle>(&tackle), detail::as<rmech_haul_plan>(&plan), detail::as<rmech_cycle>(&cycle), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return cycle;
}

/// What haul_solve gives.
struct haul_solve_result {
    std::vector<rope_mechanics::redirect_force> on_redirects;
    rope_mechanics::haul haul;
};
/// The whole haul: redirects from the load to the tackle, the tackle (a usual one or one's own), redirects from the
/// tackle to the winch.
/// The redirects are in that order; each list may be NULL with a count of 0 and has at most 8. `on_redirects` takes
/// the force on all of them, first those before the tackle; it may be NULL. Set `haul->struct_size` before.
/// Model, formula and range: at the top of this topic in rope_mechanics.h. Cost: no heap, 17 kB of stack; as of
/// tackle.
[[nodiscard]] inline result<haul_solve_result> haul_solve(const rope_mechanics::tackle &tackle, array_view<rope_mechanics::haul_redirect> before, array_view<rope_mechanics::haul_redirect> after, const rope_mechanics::pull &pull, const rope_mechanics::haul_plan &plan, const rope_mechanics::velocity &winch_speed) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::redirect_force> on_redirects(before.size()+after.size());
    rope_mechanics::haul haul{};
    if (rmech_haul_solve(detail::as<rmech_tackle>(&tackle), detail::as<rmech_haul_redirect>(before.data()), before.size(), detail::as<rmech_haul_redirect>(after.data()), after.size(), detail::as<rmech_pull>(&pull), detail::as<rmech_haul_plan>(&plan), detail::as<rmech_velocity>(&winch_speed), detail::as<rmech_redirect_force>(on_redirects.data()), detail::as<rmech_haul>(&haul), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return haul_solve_result{std::move(on_redirects), std::move(haul)};
}

/// What haul_least_advantage gives.
struct haul_least_advantage_result {
    std::int32_t ready;
    rope_mechanics::force hauling;
};
/// The least advantage with which a force at the winch is enough: `RMECH_TACKLE_1_TO_1` says that a straight pull is.
/// The tackle gives the layout, the form, the lead and the one efficiency of all pulleys; its `ready` is not read.
/// `hauling` takes the force at the winch then. Cost: no heap, 17 kB of stack; as of tackle, for at most 7 tackles.
[[nodiscard]] inline result<haul_least_advantage_result> haul_least_advantage(const rope_mechanics::tackle &tackle, array_view<rope_mechanics::haul_redirect> before, array_view<rope_mechanics::haul_redirect> after, const rope_mechanics::pull &pull, const rope_mechanics::force &available) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::int32_t ready{};
    rope_mechanics::force hauling{};
    if (rmech_haul_least_advantage(detail::as<rmech_tackle>(&tackle), detail::as<rmech_haul_redirect>(before.data()), before.size(), detail::as<rmech_haul_redirect>(after.data()), after.size(), detail::as<rmech_pull>(&pull), detail::as<rmech_force>(&available), &ready, detail::as<rmech_force>(&hauling), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return haul_least_advantage_result{std::move(ready), std::move(hauling)};
}

/// What bridle_at_lengths gives.
struct bridle_at_lengths_result {
    rope_mechanics::hang hang;
    std::vector<rope_mechanics::hang_rope> each;
};
/// Where a load hangs on ropes of given unstretched lengths, and how hard each pulls.
/// `ropes` and `lengths` hold `count` elements, two or three; `each` takes as many, in the same order. A rope too long
/// to be reached is slack. Cost: no heap, 7 kB of stack; Newton's method, at most 200 steps of at most 60 halvings;
/// some ten as a rule.
[[nodiscard]] inline result<bridle_at_lengths_result> bridle_at_lengths(const rope_mechanics::force &weight, array_view<rope_mechanics::bridle_rope> ropes, array_view<rope_mechanics::length> lengths) {
    rmech_error error = RMECH_INIT(rmech_error);
    if (lengths.size() != ropes.size()) {
        return detail::unequal("lengths", lengths.size(), "ropes", ropes.size());
    }
    rope_mechanics::hang hang{};
    std::vector<rope_mechanics::hang_rope> each(ropes.size());
    if (rmech_bridle_at_lengths(detail::as<rmech_force>(&weight), detail::as<rmech_bridle_rope>(ropes.data()), detail::as<rmech_length>(lengths.data()), ropes.size(), detail::as<rmech_hang>(&hang), detail::as<rmech_hang_rope>(each.data()), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return bridle_at_lengths_result{std::move(hang), std::move(each)};
}

/// What bridle_at_position gives.
struct bridle_at_position_result {
    rope_mechanics::hang hang;
    std::vector<rope_mechanics::hang_rope> each;
};
/// The tensions and unstretched lengths that hold a load at a position.
/// A position that no pull can hold is RMECH_ERR_GEOMETRY; the message names the rope that would have to push, or says
/// how far the position lies beside the vertical plane of two ropes. Cost: no heap, 7 kB of stack; closed form, or one
/// small system.
[[nodiscard]] inline result<bridle_at_position_result> bridle_at_position(const rope_mechanics::force &weight, array_view<rope_mechanics::bridle_rope> ropes, const rope_mechanics::point &position) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::hang hang{};
    std::vector<rope_mechanics::hang_rope> each(ropes.size());
    if (rmech_bridle_at_position(detail::as<rmech_force>(&weight), detail::as<rmech_bridle_rope>(ropes.data()), ropes.size(), detail::as<rmech_point>(&position), detail::as<rmech_hang>(&hang), detail::as<rmech_hang_rope>(each.data()), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return bridle_at_position_result{std::move(hang), std::move(each)};
}

/// The length from which on a rope (counted from 0) is slack, the others being of the lengths given.
/// That rope's own entry in `lengths` isn't used. Cost: no heap, 7 kB of stack; Newton's method, at most 200 steps of
/// at most 60 halvings; some ten as a rule.
[[nodiscard]] inline result<rope_mechanics::length> bridle_slack_length(const rope_mechanics::force &weight, array_view<rope_mechanics::bridle_rope> ropes, array_view<rope_mechanics::length> lengths, std::size_t rope) {
    rmech_error error = RMECH_INIT(rmech_error);
    if (lengths.size() != ropes.size()) {
        return detail::unequal("lengths", lengths.size(), "ropes", ropes.size());
    }
    rope_mechanics::length length{};
    if (rmech_bridle_slack_length(detail::as<rmech_force>(&weight), detail::as<rmech_bridle_rope>(ropes.data()), detail::as<rmech_length>(lengths.data()), ropes.size(), rope, detail::as<rmech_length>(&length), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return length;
}

/// What bridle_swing gives.
struct bridle_swing_result {
    std::vector<rope_mechanics::hang_step> steps;
    std::vector<rope_mechanics::hang_rope> each;
};
/// The way of a load while all ropes move evenly from one set of unstretched lengths to another.
/// `ropes`, `from` and `to` hold `count` elements, two or three. `step_count` moves give one step more, the first and
/// the last included: `steps` takes step_count + 1 elements and `each` count times as many, step after step, with the
/// slack and the side force of each rope. Cost: no heap, 7 kB of stack; as of the other bridles, at each of the steps
/// given.
[[nodiscard]] inline result<bridle_swing_result> bridle_swing(const rope_mechanics::force &weight, array_view<rope_mechanics::bridle_rope> ropes, array_view<rope_mechanics::length> from, array_view<rope_mechanics::length> to, std::uint32_t step_count) {
    rmech_error error = RMECH_INIT(rmech_error);
    if (from.size() != ropes.size()) {
        return detail::unequal("from", from.size(), "ropes", ropes.size());
    }
    if (to.size() != ropes.size()) {
        return detail::unequal("to", to.size(), "ropes", ropes.size());
    }
    std::vector<rope_mechanics::hang_step> steps(std::size_t{step_count}+1);
    std::vector<rope_mechanics::hang_rope> each(ropes.size()*(std::size_t{step_count}+1));
    if (rmech_bridle_swing(detail::as<rmech_force>(&weight), detail::as<rmech_bridle_rope>(ropes.data()), detail::as<rmech_length>(from.data()), detail::as<rmech_length>(to.data()), ropes.size(), step_count, detail::as<rmech_hang_step>(steps.data()), detail::as<rmech_hang_rope>(each.data()), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    if (step_count < steps.size()) {
        steps.resize(step_count);
    }
    return bridle_swing_result{std::move(steps), std::move(each)};
}

/// What bridle_carry gives.
struct bridle_carry_result {
    std::vector<rope_mechanics::hang_step> steps;
    std::vector<rope_mechanics::hang_rope> each;
};
/// The way of a load straight from one position to another: what lengths it takes, and what forces.
/// `ropes` holds `count` elements, two or three. `step_count` moves give one step more, the first and the last
/// included: `steps` takes step_count + 1 elements and `each` count times as many, step after step. A position on the
/// way that can't be held is a status of its own step. Cost: no heap, 8 kB of stack; as of the other bridles, at each
/// of the steps given.
[[nodiscard]] inline result<bridle_carry_result> bridle_carry(const rope_mechanics::force &weight, array_view<rope_mechanics::bridle_rope> ropes, const rope_mechanics::point &from, const rope_mechanics::point &to, std::uint32_t step_count) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::hang_step> steps(std::size_t{step_count}+1);
    std::vector<rope_mechanics::hang_rope> each(ropes.size()*(std::size_t{step_count}+1));
    if (rmech_bridle_carry(detail::as<rmech_force>(&weight), detail::as<rmech_bridle_rope>(ropes.data()), ropes.size(), detail::as<rmech_point>(&from), detail::as<rmech_point>(&to), step_count, detail::as<rmech_hang_step>(steps.data()), detail::as<rmech_hang_rope>(each.data()), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    if (step_count < steps.size()) {
        steps.resize(step_count);
    }
    return bridle_carry_result{std::move(steps), std::move(each)};
}

/// What track_rope_lost gives.
struct track_rope_lost_result {
    rope_mechanics::track_lost lost;
    std::vector<rope_mechanics::track_lost_rope> each;
};
/// The track rope fails: the litter drops from `position` by its `clearance`, or until it hangs on the ropes left.
/// `ropes` and `lengths` hold `count` elements, two or three; `each` takes as many, in the same order. Cost: no heap,
/// 8 kB of stack; as of rmech_bridle_at_lengths, and a root for each rope in at most 100 steps.
[[nodiscard]] inline result<track_rope_lost_result> track_rope_lost(const rope_mechanics::force &weight, array_view<rope_mechanics::bridle_rope> ropes, array_view<rope_mechanics::length> lengths, const rope_mechanics::point &position, const rope_mechanics::length &clearance) {
    rmech_error error = RMECH_INIT(rmech_error);
    if (lengths.size() != ropes.size()) {
        return detail::unequal("lengths", lengths.size(), "ropes", ropes.size());
    }
    rope_mechanics::track_lost lost{};
    std::vector<rope_mechanics::track_lost_rope> each(ropes.size());
    if (rmech_track_rope_lost(detail::as<rmech_force>(&weight), detail::as<rmech_bridle_rope>(ropes.data()), detail::as<rmech_length>(lengths.data()), ropes.size(), detail::as<rmech_point>(&position), detail::as<rmech_length>(&clearance), detail::as<rmech_track_lost>(&lost), detail::as<rmech_track_lost_rope>(each.data()), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return track_rope_lost_result{std::move(lost), std::move(each)};
}

/// The sum of all ropes at the head of a frame. Cost: no heap, 5 kB of stack; one pass over what is given.
[[nodiscard]] inline result<rope_mechanics::force3> head_resultant(const rope_mechanics::point &head, array_view<rope_mechanics::at_head> pulls) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force3 force{};
    if (rmech_head_resultant(detail::as<rmech_point>(&head), detail::as<rmech_at_head>(pulls.data()), pulls.size(), detail::as<rmech_force3>(&force), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return force;
}

/// What frame_solve gives.
struct frame_solve_result {
    rope_mechanics::frame_forces forces;
    std::vector<rope_mechanics::leg_forces> legs;
    std::vector<rope_mechanics::guy_forces> guys;
    std::vector<rope_mechanics::force> hobbles;
};
/// The forces of a frame under the ropes at its head.
/// `legs`, `guys` and `hobbles` take as many elements as the frame has, in its order; `guys` and `hobbles` may be NULL
/// where it has none. A frame that falls is RMECH_ERR_GEOMETRY; see `rmech_frame_falls`. Cost: no heap, 21 kB of
/// stack; at most 400 small systems; as many as there are legs and guys as a rule.
[[nodiscard]] inline result<frame_solve_result> frame_solve(const rope_mechanics::frame &frame, array_view<rope_mechanics::at_head> pulls) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::frame_forces forces{};
    std::vector<rope_mechanics::leg_forces> legs(frame.legs.size());
    std::vector<rope_mechanics::guy_forces> guys(frame.guys.size());
    std::vector<rope_mechanics::force> hobbles(frame.hobbles.size());
    if (rmech_frame_solve(detail::as<rmech_frame>(&frame), detail::as<rmech_at_head>(pulls.data()), pulls.size(), detail::as<rmech_frame_forces>(&forces), detail::as<rmech_leg_forces>(legs.data()), detail::as<rmech_guy_forces>(guys.data()), detail::as<rmech_force>(hobbles.data()), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return frame_solve_result{std::move(forces), std::move(legs), std::move(guys), std::move(hobbles)};
}

/// What frame_at_heads gives.
struct frame_at_heads_result {
    std::vector<rope_mechanics::frame_at_head> at_heads;
    std::vector<rope_mechanics::leg_forces> legs;
};
/// The forces of a frame for each of several places of its head: how they change with its height and lean.
/// A rope towards a point turns with the head. `at_heads` takes `head_count` elements; `legs` takes as many times the
/// legs of the frame, place after place, and may be NULL. Neither may overlap `heads` or `pulls`: RMECH_ERR_POINTER.
/// Cost: no heap, 23 kB of stack; the same for each head given.
[[nodiscard]] inline result<frame_at_heads_result> frame_at_heads(const rope_mechanics::frame &frame, array_view<rope_mechanics::point> heads, array_view<rope_mechanics::at_head> pulls) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::frame_at_head> at_heads(heads.size());
    std::vector<rope_mechanics::leg_forces> legs(heads.size()*frame.legs.size());
    if (rmech_frame_at_heads(detail::as<rmech_frame>(&frame), detail::as<rmech_point>(heads.data()), heads.size(), detail::as<rmech_at_head>(pulls.data()), pulls.size(), detail::as<rmech_frame_at_head>(at_heads.data()), detail::as<rmech_leg_forces>(legs.data()), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return frame_at_heads_result{std::move(at_heads), std::move(legs)};
}

/// Whether a frame falls under the ropes at its head, which guys are on the wrong side, and where one is needed. Cost:
/// no heap, 19 kB of stack; at most 400 small systems; as many as there are legs and guys as a rule.
[[nodiscard]] inline result<rope_mechanics::frame_fall> frame_falls(const rope_mechanics::frame &frame, array_view<rope_mechanics::at_head> pulls) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::frame_fall fall{};
    if (rmech_frame_falls(detail::as<rmech_frame>(&frame), detail::as<rmech_at_head>(pulls.data()), pulls.size(), detail::as<rmech_frame_fall>(&fall), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return fall;
}

/// How far a frame stands from tipping under a resultant, also where it falls. Cost: no heap, 16 kB of stack; one pass
/// over what is given.
[[nodiscard]] inline result<rope_mechanics::stability> frame_stability(const rope_mechanics::frame &frame, const rope_mechanics::force3 &resultant) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::stability stability{};
    if (rmech_frame_stability(detail::as<rmech_frame>(&frame), detail::as<rmech_force3>(&resultant), detail::as<rmech_stability>(&stability), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return stability;
}

/// The share of a wooden gin pole's tabulated capacity that each leg may bear: 1 for a gin pole, 7/8 for shears or a
/// tripod.
/// Poles longer than 60 times their least thickness, and a gin pole that leans by more than 45 degrees, are
/// RMECH_ERR_GEOMETRY. For sound wooden poles only. Source: US Navy Steelworker manual, chapter on rigging (read).
/// Cost: no heap, 15 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::ratio> frame_pole_share(const rope_mechanics::frame &frame, const rope_mechanics::length &least_thickness) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::ratio share{};
    if (rmech_frame_pole_share(detail::as<rmech_frame>(&frame), detail::as<rmech_length>(&least_thickness), detail::as<rmech_ratio>(&share), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return share;
}

/// The tilts of a resultant of a given size that a frame bears on one side, to draw its safe cone.
/// `azimuth` is the side to which the resultant leans, from x towards y. Cost: no heap, 23 kB of stack; the same for
/// each of some 90 leans and for two ends by bisection.
[[nodiscard]] inline result<rope_mechanics::cone_edge> frame_cone_edge(const rope_mechanics::frame &frame, const rope_mechanics::angle &azimuth, const rope_mechanics::force &size) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::cone_edge edge{};
    if (rmech_frame_cone_edge(detail::as<rmech_frame>(&frame), detail::as<rmech_angle>(&azimuth), detail::as<rmech_force>(&size), detail::as<rmech_cone_edge>(&edge), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return edge;
}

/// The force in each of two legs that share a load evenly at an angle between them: two anchors in a V, or a sling.
/// Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::force> v_anchor(const rope_mechanics::force &load, const rope_mechanics::angle &angle) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force leg{};
    if (rmech_v_anchor(detail::as<rmech_force>(&load), detail::as<rmech_angle>(&angle), detail::as<rmech_force>(&leg), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return leg;
}

/// How legs share a load at a master point that hardly moves. `tensions` takes `count` elements.
/// A load that would swing the master point is RMECH_ERR_GEOMETRY: see `rmech_anchor_settle`. Cost: no heap, 8 kB of
/// stack; at most 400 small systems; as many as there are legs as a rule.
[[nodiscard]] inline result<std::vector<rope_mechanics::force>> anchor_share(const rope_mechanics::point &master, array_view<rope_mechanics::anchor_leg> legs, const rope_mechanics::force3 &load) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::force> tensions(legs.size());
    if (rmech_anchor_share(detail::as<rmech_point>(&master), detail::as<rmech_anchor_leg>(legs.data()), legs.size(), detail::as<rmech_force3>(&load), detail::as<rmech_force>(tensions.data()), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return tensions;
}

/// What anchor_settle gives.
struct anchor_settle_result {
    rope_mechanics::settled anchor;
    std::vector<rope_mechanics::force> tensions;
};
/// Where the master point comes to under a load, and the tensions there. `tensions` takes `count` elements. Cost: no
/// heap, 8 kB of stack; at most 400 small systems; as many as there are legs as a rule.
[[nodiscard]] inline result<anchor_settle_result> anchor_settle(const rope_mechanics::point &master, array_view<rope_mechanics::anchor_leg> legs, const rope_mechanics::force3 &load) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::settled anchor{};
    std::vector<rope_mechanics::force> tensions(legs.size());
    if (rmech_anchor_settle(detail::as<rmech_point>(&master), detail::as<rmech_anchor_leg>(legs.data()), legs.size(), detail::as<rmech_force3>(&load), detail::as<rmech_settled>(&anchor), detail::as<rmech_force>(tensions.data()), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return anchor_settle_result{std::move(anchor), std::move(tensions)};
}

/// What anchor_after_losing gives.
struct anchor_after_losing_result {
    rope_mechanics::settled anchor;
    std::vector<rope_mechanics::force> tensions;
    rope_mechanics::length drop;
};
/// The anchor settled again after leg `lost` (counted from 0) has failed; its tension reads zero.
/// `drop` is how far the load goes down along itself. `tensions` takes `count` elements. What the load peaks at on the
/// way is for `rmech_fall_arrest`. Cost: no heap, 8 kB of stack; at most 400 small systems; as many as there are legs
/// as a rule.
[[nodiscard]] inline result<anchor_after_losing_result> anchor_after_losing(const rope_mechanics::point &master, array_view<rope_mechanics::anchor_leg> legs, const rope_mechanics::force3 &load, std::size_t lost) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::settled anchor{};
    std::vector<rope_mechanics::force> tensions(legs.size());
    rope_mechanics::length drop{};
    if (rmech_anchor_after_losing(detail::as<rmech_point>(&master), detail::as<rmech_anchor_leg>(legs.data()), legs.size(), detail::as<rmech_force3>(&load), lost, detail::as<rmech_settled>(&anchor), detail::as<rmech_force>(tensions.data()), detail::as<rmech_length>(&drop), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return anchor_after_losing_result{std::move(anchor), std::move(tensions), std::move(drop)};
}

/// The friction of braked tyres on a `RMECH_SURFACE_...`. Real ones scatter by a third or more. Cost: no heap, 3 kB of
/// stack; closed form.
[[nodiscard]] inline result<rope_mechanics::ratio> surface_friction(std::int32_t surface) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::ratio friction{};
    if (rmech_surface_friction(surface, detail::as<rmech_ratio>(&friction), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return friction;
}

/// The pull at which a vehicle on its brakes begins to slide. One that slides by itself is RMECH_ERR_GEOMETRY. Cost:
/// no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::force> vehicle_holds(const rope_mechanics::vehicle &vehicle) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force pull{};
    if (rmech_vehicle_holds(detail::as<rmech_vehicle>(&vehicle), detail::as<rmech_force>(&pull), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return pull;
}

/// The pull at which a holdfast of alike pickets begins to give.
/// `arrangement` is a `RMECH_PICKETS_...`, `soil` a `RMECH_PICKET_SOIL_...`. Pickets thinner than 3 in, shorter than 5
/// ft, or driven less than 3 ft or more than 4 ft are outside the table and refused. Cost: no heap, 3 kB of stack;
/// closed form.
[[nodiscard]] inline result<rope_mechanics::force> pickets_hold(const rope_mechanics::length &thickness, const rope_mechanics::length &length, const rope_mechanics::length &driven, std::int32_t arrangement, std::int32_t soil) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force pull{};
    if (rmech_pickets_hold(detail::as<rmech_length>(&thickness), detail::as<rmech_length>(&length), detail::as<rmech_length>(&driven), arrangement, soil, detail::as<rmech_force>(&pull), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return pull;
}

/// The pressure on the face of a buried beam that the soil holds. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::pressure> deadman_pressure(const rope_mechanics::deadman &deadman) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::pressure pressure{};
    if (rmech_deadman_pressure(detail::as<rmech_deadman>(&deadman), detail::as<rmech_pressure>(&pressure), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return pressure;
}

/// The pull at which a buried beam of this length begins to give. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::force> deadman_holds(const rope_mechanics::deadman &deadman, const rope_mechanics::length &length) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force pull{};
    if (rmech_deadman_holds(detail::as<rmech_deadman>(&deadman), detail::as<rmech_length>(&length), detail::as<rmech_force>(&pull), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return pull;
}

/// The length that a buried beam needs for a pull. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::length> deadman_length(const rope_mechanics::deadman &deadman, const rope_mechanics::force &pull) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::length length{};
    if (rmech_deadman_length(detail::as<rmech_deadman>(&deadman), detail::as<rmech_force>(&pull), detail::as<rmech_length>(&length), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return length;
}

/// How a rope stops a falling load: the peak force, and the way it takes.
/// Without a fall it is the load put on suddenly: exactly twice the weight on a linear rope. Cost: no heap, 7 kB of
/// stack; a root in at most 100 steps for each piece of rope, some 6 as a rule.
[[nodiscard]] inline result<rope_mechanics::arrest> fall_arrest(const rope_mechanics::fall &fall) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::arrest arrest{};
    if (rmech_fall_arrest(detail::as<rmech_fall>(&fall), detail::as<rmech_arrest>(&arrest), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return arrest;
}

/// The fall factor: the whole free fall, slack and reaction included, by the rope in service. Cost: no heap, 7 kB of
/// stack; closed form.
[[nodiscard]] inline result<rope_mechanics::ratio> fall_factor(const rope_mechanics::fall &fall) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::ratio factor{};
    if (rmech_fall_factor(detail::as<rmech_fall>(&fall), detail::as<rmech_ratio>(&factor), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return factor;
}

/// How a rope that is locked at once stops a load that was being lowered on it. Cost: no heap, 6 kB of stack; a root
/// in at most 100 steps for each piece of rope, some 6 as a rule.
[[nodiscard]] inline result<rope_mechanics::arrest> sudden_stop(const rope_mechanics::lowered_load &load) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::arrest arrest{};
    if (rmech_sudden_stop(detail::as<rmech_lowered_load>(&load), detail::as<rmech_arrest>(&arrest), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return arrest;
}

/// Peak by steady tension when a load comes all at once on a rope that damps: 2 without damping, towards 1. Cost: no
/// heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::ratio> step_factor(const rope_mechanics::ratio &damping) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::ratio factor{};
    if (rmech_step_factor(detail::as<rmech_ratio>(&damping), detail::as<rmech_ratio>(&factor), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return factor;
}

/// The axial stiffness that makes a rope give the peak force printed for it in a standard drop test. Cost: no heap, 3
/// kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::force> stiffness_from_drop_test(const rope_mechanics::force &peak, const rope_mechanics::force &weight, const rope_mechanics::ratio &fall_factor) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force stiffness{};
    if (rmech_stiffness_from_drop_test(detail::as<rmech_force>(&peak), detail::as<rmech_force>(&weight), detail::as<rmech_ratio>(&fall_factor), detail::as<rmech_force>(&stiffness), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return stiffness;
}

/// What lost_rope gives.
struct lost_rope_result {
    rope_mechanics::hand_over hand_over;
    std::vector<rope_mechanics::share> shares;
};
/// A rope that carried `lost` fails; `count` others, one to four, side by side with it, take over.
/// `shares` takes `count` elements, in the order of `holding`. Cost: no heap, 7 kB of stack; a root in at most 100
/// steps for each piece of rope, some 6 as a rule.
[[nodiscard]] inline result<lost_rope_result> lost_rope(const rope_mechanics::force &lost, array_view<rope_mechanics::holding> holding) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::hand_over hand_over{};
    std::vector<rope_mechanics::share> shares(holding.size());
    if (rmech_lost_rope(detail::as<rmech_force>(&lost), detail::as<rmech_holding>(holding.data()), holding.size(), detail::as<rmech_hand_over>(&hand_over), detail::as<rmech_share>(shares.data()), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return lost_rope_result{std::move(hand_over), std::move(shares)};
}

/// The winch hauling or lowering a `pull`; `line_speed` is what a controller holds, NULL for full speed.
/// `motion` is `RMECH_MOTION_HAULING` or `RMECH_MOTION_LOWERING`. A pull beyond the stall, a limit or a slipping grab
/// is `RMECH_ERR_GEOMETRY`, with the numbers in the message. Formula and source: at the top of this topic in
/// rope_mechanics.h. Cost: no heap, 4 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::winch_state> winch_turning(const rope_mechanics::winch &winch, std::int32_t motion, const rope_mechanics::force &pull, const std::optional<rope_mechanics::velocity> &line_speed = std::nullopt) {
    rmech_error error = RMECH_INIT(rmech_error);
    const rmech_velocity line_speed_c = line_speed ? static_cast<rmech_velocity>(*line_speed) : rmech_velocity{};
    rope_mechanics::winch_state state{};
    if (rmech_winch_turning(detail::as<rmech_winch>(&winch), motion, detail::as<rmech_force>(&pull), line_speed ? &line_speed_c : nullptr, detail::as<rmech_winch_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The load turning the winch back, its motor cut off from the battery and closed over a resistor (zero: shorted).
/// It never stops the load: only a brake does. Cost: no heap, 5 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::winch_state> winch_running_back(const rope_mechanics::winch &winch, const rope_mechanics::force &pull, const rope_mechanics::resistance &resistor) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::winch_state state{};
    if (rmech_winch_running_back(detail::as<rmech_winch>(&winch), detail::as<rmech_force>(&pull), detail::as<rmech_resistance>(&resistor), detail::as<rmech_winch_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// What winch_holding gives.
struct winch_holding_result {
    rope_mechanics::current least;
    rope_mechanics::current most;
};
/// What holds a load still with the motor alone, the brake off: below `least` it runs back, above `most` it comes up.
/// `least` is zero where friction alone seems to hold it, which is never to be counted as a brake. Cost: no heap, 4 kB
/// of stack; closed form.
[[nodiscard]] inline result<winch_holding_result> winch_holding(const rope_mechanics::winch &winch, const rope_mechanics::force &pull) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::current least{};
    rope_mechanics::current most{};
    if (rmech_winch_holding(detail::as<rmech_winch>(&winch), detail::as<rmech_force>(&pull), detail::as<rmech_current>(&least), detail::as<rmech_current>(&most), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return winch_holding_result{std::move(least), std::move(most)};
}

/// The winch with its rotor locked, and what bounds its pull. Cost: no heap, 4 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::stall> winch_stall(const rope_mechanics::winch &winch) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::stall stall{};
    if (rmech_winch_stall(detail::as<rmech_winch>(&winch), detail::as<rmech_stall>(&stall), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return stall;
}

/// What happens when the load jams while the winch hauls `pull`: how fast the force rises in a rope of this stiffness
/// (EA by the length from winch to jam), where it ends, and how soon it reaches `limit`. `rotor_energy` is ½·J·ω²
/// of the rotor and what turns with it at the motor's speed before the jam: rather too much than too little, zero for
/// none.
/// All of it on the side of more force, sooner. Formula: at the top of this topic in rope_mechanics.h. Cost: no heap,
/// 5 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::jam> winch_jam(const rope_mechanics::winch &winch, const rope_mechanics::stiffness &rope_stiffness, const rope_mechanics::force &pull, const rope_mechanics::energy &rotor_energy, const rope_mechanics::force &limit) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::jam jam{};
    if (rmech_winch_jam(detail::as<rmech_winch>(&winch), detail::as<rmech_stiffness>(&rope_stiffness), detail::as<rmech_force>(&pull), detail::as<rmech_energy>(&rotor_energy), detail::as<rmech_force>(&limit), detail::as<rmech_jam>(&jam), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return jam;
}

/// The greatest force that can be so long after the load jams while the winch hauls `pull`, in a rope of this
/// stiffness.
/// Formula: at the top of this topic in rope_mechanics.h. Cost: no heap, 5 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::force> winch_jam_force_after(const rope_mechanics::winch &winch, const rope_mechanics::stiffness &rope_stiffness, const rope_mechanics::force &pull, const rope_mechanics::energy &rotor_energy, const rope_mechanics::time &time) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force force{};
    if (rmech_winch_jam_force_after(detail::as<rmech_winch>(&winch), detail::as<rmech_stiffness>(&rope_stiffness), detail::as<rmech_force>(&pull), detail::as<rmech_energy>(&rotor_energy), detail::as<rmech_time>(&time), detail::as<rmech_force>(&force), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return force;
}

/// How fast the force rises in a jam: (EA/L)·v. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::force_rate> jam_rate(const rope_mechanics::force &axial_stiffness, const rope_mechanics::length &free_length, const rope_mechanics::velocity &line_speed) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::force_rate rate{};
    if (rmech_jam_rate(detail::as<rmech_force>(&axial_stiffness), detail::as<rmech_length>(&free_length), detail::as<rmech_velocity>(&line_speed), detail::as<rmech_force_rate>(&rate), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return rate;
}

/// The layer from which the rope leaves when so much of it is on the drum, the turns that must stay on it included.
/// Cost: no heap, 4 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::layer> drum_layer_at(const rope_mechanics::drum &drum, const rope_mechanics::length &rope_on_drum) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::layer layer{};
    if (rmech_drum_layer_at(detail::as<rmech_drum>(&drum), detail::as<rmech_length>(&rope_on_drum), detail::as<rmech_layer>(&layer), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return layer;
}

/// What drum_layer gives.
struct drum_layer_result {
    rope_mechanics::length radius;
    rope_mechanics::ratio pull_ratio;
};
/// The radius of a layer, counted from 1, from the axis to the middle of the rope, and the pull on it by that on the
/// first layer for the same torque. Either may be NULL. Cost: no heap, 4 kB of stack; closed form.
[[nodiscard]] inline result<drum_layer_result> drum_layer(const rope_mechanics::drum &drum, std::uint32_t number) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::length radius{};
    rope_mechanics::ratio pull_ratio{};
    if (rmech_drum_layer(detail::as<rmech_drum>(&drum), number, detail::as<rmech_length>(&radius), detail::as<rmech_ratio>(&pull_ratio), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return drum_layer_result{std::move(radius), std::move(pull_ratio)};
}

/// What drum_capacity gives.
struct drum_capacity_result {
    rope_mechanics::ratio turns_per_layer;
    rope_mechanics::length capacity;
};
/// How many whole turns a layer takes, and how much rope the drum with all its layers full. Either may be NULL. Cost:
/// no heap, 4 kB of stack; closed form.
[[nodiscard]] inline result<drum_capacity_result> drum_capacity(const rope_mechanics::drum &drum) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::ratio turns_per_layer{};
    rope_mechanics::length capacity{};
    if (rmech_drum_capacity(detail::as<rmech_drum>(&drum), detail::as<rmech_ratio>(&turns_per_layer), detail::as<rmech_length>(&capacity), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return drum_capacity_result{std::move(turns_per_layer), std::move(capacity)};
}

/// What gets back through a gear when the load drives, by the assumption that as much torque is lost both ways; zero
/// or below where the gear locks, which is friction and never to be counted as a brake. Cost: no heap, 3 kB of stack;
/// closed form.
[[nodiscard]] inline result<rope_mechanics::ratio> gear_back_efficiency(const rope_mechanics::ratio &gear_efficiency) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::ratio back_efficiency{};
    if (rmech_gear_back_efficiency(detail::as<rmech_ratio>(&gear_efficiency), detail::as<rmech_ratio>(&back_efficiency), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return back_efficiency;
}

/// A motor's constants from the ends of its curve at one voltage: speed and current without load, torque at stall.
/// Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::motor> motor_from_ends(const rope_mechanics::voltage &voltage, const rope_mechanics::turning_speed &no_load_speed, const rope_mechanics::current &no_load_current, const rope_mechanics::torque &stall_torque) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::motor motor{};
    if (rmech_motor_from_ends(detail::as<rmech_voltage>(&voltage), detail::as<rmech_turning_speed>(&no_load_speed), detail::as<rmech_current>(&no_load_current), detail::as<rmech_torque>(&stall_torque), detail::as<rmech_motor>(&motor), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return motor;
}

/// A motor at a voltage, turning at a speed: from standstill to its speed without load. Cost: no heap, 4 kB of stack;
/// closed form.
[[nodiscard]] inline result<rope_mechanics::motor_state> motor_at_speed(const rope_mechanics::motor &motor, const rope_mechanics::voltage &voltage, const rope_mechanics::turning_speed &speed) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::motor_state state{};
    if (rmech_motor_at_speed(detail::as<rmech_motor>(&motor), detail::as<rmech_voltage>(&voltage), detail::as<rmech_turning_speed>(&speed), detail::as<rmech_motor_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// A motor at a voltage, under a torque: from none to that at stall. Cost: no heap, 4 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::motor_state> motor_at_torque(const rope_mechanics::motor &motor, const rope_mechanics::voltage &voltage, const rope_mechanics::torque &torque) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::motor_state state{};
    if (rmech_motor_at_torque(detail::as<rmech_motor>(&motor), detail::as<rmech_voltage>(&voltage), detail::as<rmech_torque>(&torque), detail::as<rmech_motor_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The resistance of a pair of copper leads at 20 °C, out and back. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::resistance> cable_resistance(const rope_mechanics::length &each_way, const rope_mechanics::area &cross_section) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::resistance resistance{};
    if (rmech_cable_resistance(detail::as<rmech_length>(&each_way), detail::as<rmech_area>(&cross_section), detail::as<rmech_resistance>(&resistance), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return resistance;
}

/// The resistance at a temperature of a copper conductor whose resistance at 25 °C is known. Cost: no heap, 3 kB of
/// stack; closed form.
[[nodiscard]] inline result<rope_mechanics::resistance> copper_resistance(const rope_mechanics::resistance &at_25_celsius, const rope_mechanics::temperature &temperature) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::resistance resistance{};
    if (rmech_copper_resistance(detail::as<rmech_resistance>(&at_25_celsius), detail::as<rmech_temperature>(&temperature), detail::as<rmech_resistance>(&resistance), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return resistance;
}

/// Current for a `pull` by one straight line through the maker's table, and speed by another or by 1/v = e + g·F,
/// whichever passes nearer to its farthest row. Hauling only.
/// Going down, the load drives the gear, and how much of its losses the load pays, the motor or a brake inside, no row
/// of a pull table says: for lowering describe the winch by its motor and gear.
/// `radius_ratio` is the radius by that of the table's layer, 1 on the same. A pull beyond the table is
/// `RMECH_ERR_VALUE`; a table that no winch has, or whose pull falls from one row to the next, `RMECH_ERR_GEOMETRY`.
/// Cost: no heap, 4 kB of stack; one pass over what is given.
[[nodiscard]] inline result<rope_mechanics::winch_table_state> winch_by_table(array_view<rope_mechanics::winch_row> rows, const rope_mechanics::ratio &radius_ratio, const rope_mechanics::force &pull) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::winch_table_state state{};
    if (rmech_winch_by_table(detail::as<rmech_winch_row>(rows.data()), rows.size(), detail::as<rmech_ratio>(&radius_ratio), detail::as<rmech_force>(&pull), detail::as<rmech_winch_table_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// The pull that a motor's current stands for, and its band: a check on the load cell, never the measurement.
/// `state` is one of `RMECH_RUNNING_...`; the current is positive while it is drawn. That a current says nothing is no
/// failure: `reading->blind` then says why. Formula: at the top of this topic in rope_mechanics.h. Cost: no heap, 5 kB
/// of stack; one pass over what is given.
[[nodiscard]] inline result<rope_mechanics::pull_reading> winch_pull_from_current(const rope_mechanics::winch &winch, const rope_mechanics::gauge_bands &bands, const rope_mechanics::current &current, std::int32_t state) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::pull_reading reading{};
    if (rmech_winch_pull_from_current(detail::as<rmech_winch>(&winch), detail::as<rmech_gauge_bands>(&bands), detail::as<rmech_current>(&current), state, detail::as<rmech_pull_reading>(&reading), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return reading;
}

/// The pull that a current stands for by the maker's table, and its band. Otherwise as
/// `rmech_winch_pull_from_current`. Cost: no heap, 5 kB of stack; one pass over what is given.
[[nodiscard]] inline result<rope_mechanics::pull_reading> winch_pull_from_current_by_table(array_view<rope_mechanics::winch_row> rows, const rope_mechanics::ratio &radius_ratio, const rope_mechanics::gauge_bands &bands, const rope_mechanics::current &current, std::int32_t state) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::pull_reading reading{};
    if (rmech_winch_pull_from_current_by_table(detail::as<rmech_winch_row>(rows.data()), rows.size(), detail::as<rmech_ratio>(&radius_ratio), detail::as<rmech_gauge_bands>(&bands), detail::as<rmech_current>(&current), state, detail::as<rmech_pull_reading>(&reading), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return reading;
}

/// What motor_fit_points gives.
struct motor_fit_points_result {
    std::vector<rope_mechanics::motor_residual> residuals;
    rope_mechanics::motor_fit fit;
};
/// Fits a motor's constants to points by least squares, and warns where they can't distinguish two of them.
/// `residuals` takes `point_count` entries, one for each point; it may be NULL. It must not overlap `points`. Formula:
/// at the top of this topic in rope_mechanics.h. Cost: no heap, 4 kB of stack; one pass over what is given.
[[nodiscard]] inline result<motor_fit_points_result> motor_fit_points(array_view<rope_mechanics::motor_point> points) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::motor_residual> residuals(points.size());
    rope_mechanics::motor_fit fit{};
    if (rmech_motor_fit_points(detail::as<rmech_motor_point>(points.data()), points.size(), detail::as<rmech_motor_residual>(residuals.data()), detail::as<rmech_motor_fit>(&fit), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return motor_fit_points_result{std::move(residuals), std::move(fit)};
}

/// What winch_fit_points gives.
struct winch_fit_points_result {
    std::vector<rope_mechanics::winch_residual> residuals;
    rope_mechanics::motor_fit fit;
};
/// Fits a winch's motor and gear to points by least squares, its gear ratio and radius known.
/// `residuals` takes `point_count` entries, one for each point; it may be NULL. It must not overlap `points`. Formula:
/// at the top of this topic in rope_mechanics.h. Cost: no heap, 5 kB of stack; one pass over what is given.
[[nodiscard]] inline result<winch_fit_points_result> winch_fit_points(array_view<rope_mechanics::winch_point> points, const rope_mechanics::ratio &gear_ratio, const rope_mechanics::length &radius) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::winch_residual> residuals(points.size());
    rope_mechanics::motor_fit fit{};
    if (rmech_winch_fit_points(detail::as<rmech_winch_point>(points.data()), points.size(), detail::as<rmech_ratio>(&gear_ratio), detail::as<rmech_length>(&radius), detail::as<rmech_winch_residual>(residuals.data()), detail::as<rmech_motor_fit>(&fit), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return winch_fit_points_result{std::move(residuals), std::move(fit)};
}

/// What battery_at_current gives.
struct battery_at_current_result {
    rope_mechanics::time time;
    rope_mechanics::ratio usable_share;
};
/// What a battery gives at a steady current, by Peukert's law in its rated-hour form.
/// `time` from full to flat and `usable_share` of the stated capacity; either may be NULL. Formula and source: at the
/// top of this topic in rope_mechanics.h. Cost: no heap, 3 kB of stack; closed form.
[[nodiscard]] inline result<battery_at_current_result> battery_at_current(const rope_mechanics::charge &capacity, const rope_mechanics::time &rated_time, const rope_mechanics::ratio &peukert_exponent, const rope_mechanics::current &current) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::time time{};
    rope_mechanics::ratio usable_share{};
    if (rmech_battery_at_current(detail::as<rmech_charge>(&capacity), detail::as<rmech_time>(&rated_time), detail::as<rmech_ratio>(&peukert_exponent), detail::as<rmech_current>(&current), detail::as<rmech_time>(&time), detail::as<rmech_ratio>(&usable_share), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return battery_at_current_result{std::move(time), std::move(usable_share)};
}

/// A battery at a state of charge and a temperature: voltage and resistance are what `rmech_winch` takes as
/// `open_circuit` and `battery`.
/// Formula: at the top of this topic in rope_mechanics.h. Cost: no heap, 12 kB of stack; one pass over what is given.
[[nodiscard]] inline result<rope_mechanics::battery_state> battery_at_charge(const rope_mechanics::battery &battery, const rope_mechanics::ratio &charge, const rope_mechanics::temperature &temperature) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::battery_state state{};
    if (rmech_battery_at_charge(detail::as<rmech_battery>(&battery), detail::as<rmech_ratio>(&charge), detail::as<rmech_temperature>(&temperature), detail::as<rmech_battery_state>(&state), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return state;
}

/// What motor_warmed gives.
struct motor_warmed_result {
    rope_mechanics::motor_temperatures after;
    rope_mechanics::time time_to_limit;
};
/// The motor's temperatures after a time of steady heating, and how long it may go on until the winding reaches
/// `limit`: from `start`, infinite if it never does.
/// `limit` and `time_to_limit` may both be NULL. Formula: at the top of this topic in rope_mechanics.h. Cost: no heap,
/// 5 kB of stack; closed form, or a root between two bounds in at most the steps of bisection.
[[nodiscard]] inline result<motor_warmed_result> motor_warmed(const rope_mechanics::motor_heat &heat, const rope_mechanics::motor_temperatures &start, const rope_mechanics::heating &heating, const rope_mechanics::time &duration, const std::optional<rope_mechanics::temperature> &limit = std::nullopt) {
    rmech_error error = RMECH_INIT(rmech_error);
    const rmech_temperature limit_c = limit ? static_cast<rmech_temperature>(*limit) : rmech_temperature{};
    rope_mechanics::motor_temperatures after{};
    rope_mechanics::time time_to_limit{};
    if (rmech_motor_warmed(detail::as<rmech_motor_heat>(&heat), detail::as<rmech_motor_temperatures>(&start), detail::as<rmech_heating>(&heating), detail::as<rmech_time>(&duration), limit ? &limit_c : nullptr, detail::as<rmech_motor_temperatures>(&after), detail::as<rmech_time>(&time_to_limit), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return motor_warmed_result{std::move(after), std::move(time_to_limit)};
}

/// What motor_duty_cycle gives.
struct motor_duty_cycle_result {
    rope_mechanics::motor_temperatures after_pull;
    rope_mechanics::motor_temperatures after_rest;
};
/// How warm the motor gets in cycles of pull and rest that go on for ever: at the end of each pull, when the winding
/// is hottest, and at the end of each rest, when it is coolest.
/// Either output may be NULL. Formula: at the top of this topic in rope_mechanics.h. Cost: no heap, 5 kB of stack;
/// closed form, or a root between two bounds in at most the steps of bisection.
[[nodiscard]] inline result<motor_duty_cycle_result> motor_duty_cycle(const rope_mechanics::motor_heat &heat, const rope_mechanics::heating &pull, const rope_mechanics::time &time_on, const rope_mechanics::time &time_off) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::motor_temperatures after_pull{};
    rope_mechanics::motor_temperatures after_rest{};
    if (rmech_motor_duty_cycle(detail::as<rmech_motor_heat>(&heat), detail::as<rmech_heating>(&pull), detail::as<rmech_time>(&time_on), detail::as<rmech_time>(&time_off), detail::as<rmech_motor_temperatures>(&after_pull), detail::as<rmech_motor_temperatures>(&after_rest), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return motor_duty_cycle_result{std::move(after_pull), std::move(after_rest)};
}

/// Where the motor's temperatures settle under steady heating; infinite if the winding runs away. Cost: no heap, 6 kB
/// of stack; at most 200 steps, or a root between two bounds in at most the steps of bisection.
[[nodiscard]] inline result<rope_mechanics::motor_temperatures> motor_settles_at(const rope_mechanics::motor_heat &heat, const rope_mechanics::heating &heating) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::motor_temperatures settled{};
    if (rmech_motor_settles_at(detail::as<rmech_motor_heat>(&heat), detail::as<rmech_heating>(&heating), detail::as<rmech_motor_temperatures>(&settled), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return settled;
}

/// What the winding takes from cold to its rated rise when it has no time to cool: I²t. For `RMECH_HEAT_ONE_NODE`
/// only. Cost: no heap, 4 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::current_squared_time> motor_current_squared_time(const rope_mechanics::motor_heat &heat) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::current_squared_time taken{};
    if (rmech_motor_current_squared_time(detail::as<rmech_motor_heat>(&heat), detail::as<rmech_current_squared_time>(&taken), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return taken;
}

/// The share of the time for which a current may flow for ever, in cycles much shorter than the time constant, at most
/// 1. For `RMECH_HEAT_ONE_NODE` only. Cost: no heap, 4 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::ratio> motor_lasting_share(const rope_mechanics::motor_heat &heat, const rope_mechanics::current &current) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::ratio share{};
    if (rmech_motor_lasting_share(detail::as<rmech_motor_heat>(&heat), detail::as<rmech_current>(&current), detail::as<rmech_ratio>(&share), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return share;
}

/// The forces at the supports of a line, in single precision.
/// Formula, range and measured error: at the top of this topic in rope_mechanics.h. Cost: no heap, 3 kB of stack; at
/// most 60 evaluations of its equation, some 5 as a rule, iterations at most 60.
[[nodiscard]] inline result<rope_mechanics::live_ends> live_line_ends(const rope_mechanics::live_line &line) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::live_ends ends{};
    if (rmech_live_line_ends(detail::as<rmech_live_line>(&line), detail::as<rmech_live_ends>(&ends), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return ends;
}

/// The unstretched length at which a line pulls with `first_n` at its first end, in single precision: the shorter,
/// where two do.
/// A tension below what the rope's weight alone makes there is refused with `RMECH_ERR_GEOMETRY`; so may be one within
/// a millionth of the least. A rope so stiff that no float comes within a thousandth: `RMECH_ERR_UNSOLVED`. Cost: no
/// heap, 3 kB of stack; at most 120 lines solved, some 20 as a rule, iterations at most 120.
[[nodiscard]] inline result<rope_mechanics::live_length> live_line_length(const rope_mechanics::live_line &line) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::live_length length{};
    if (rmech_live_line_length(detail::as<rmech_live_line>(&line), detail::as<rmech_live_length>(&length), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return length;
}

/// The ratio of the tensions over a turn, in single precision: a sheave, a bar or capstan, or no loss. Cost: no heap,
/// 3 kB of stack; closed form.
[[nodiscard]] inline result<rope_mechanics::live_ratio> live_turn_ratio(const rope_mechanics::live_turn &turn) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::live_ratio ratio{};
    if (rmech_live_turn_ratio(detail::as<rmech_live_turn>(&turn), detail::as<rmech_live_ratio>(&ratio), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return ratio;
}

/// What winch_haul gives.
struct winch_haul_result {
    std::vector<rope_mechanics::haul_sample> samples;
    std::size_t sample_count;
    rope_mechanics::haul_outcome outcome;
};
/// A whole haul on one battery: whether it finishes, and what stops it.
/// `samples` takes the haul over time, at the start and end of every step and after every interval; with
/// `RMECH_HAUL_STEP_ENDS` only the ends. `sample_count` takes how many there are. With `sample_capacity` 0 (`samples`
/// may then be NULL) that is all: the size query. A buffer that is too small gives `RMECH_ERR_CAPACITY`, with
/// `sample_count` written and the rest untouched. Where no samples are asked for, both may be NULL. Neither may
/// overlap `steps`: RMECH_ERR_POINTER.
/// The winch's own `open_circuit`, `battery` and `leads` give way to the battery and its leads, of which only `leads`
/// is read from the winch. That a haul is stopped is no failure: `outcome->stop` then says why. A step that can't be
/// used is `RMECH_ERR_VALUE`; one whose line all but stops, so that it isn't through after 10 000 intervals,
/// `RMECH_ERR_UNSOLVED`. Formula: at the top of this topic in rope_mechanics.h. Cost: no heap, 16 kB of stack; at most
/// 10000 intervals for each step of the haul.
[[nodiscard]] inline result<winch_haul_result> winch_haul(const rope_mechanics::winch &winch, const rope_mechanics::battery &battery, const rope_mechanics::haul_limits &limits, array_view<rope_mechanics::haul_step> steps, std::size_t sample_capacity) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::haul_sample> samples(sample_capacity);
    std::size_t sample_count{};
    rope_mechanics::haul_outcome outcome{};
    if (rmech_winch_haul(detail::as<rmech_winch>(&winch), detail::as<rmech_battery>(&battery), detail::as<rmech_haul_limits>(&limits), detail::as<rmech_haul_step>(steps.data()), steps.size(), detail::as<rmech_haul_sample>(samples.data()), sample_capacity, &sample_count, detail::as<rmech_haul_outcome>(&outcome), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    if (sample_count < samples.size()) {
        samples.resize(sample_count);
    }
    return winch_haul_result{std::move(samples), std::move(sample_count), std::move(outcome)};
}

/// What winch_haul_by_table gives.
struct winch_haul_by_table_result {
    std::vector<rope_mechanics::haul_sample> samples;
    std::size_t sample_count;
    rope_mechanics::haul_outcome outcome;
};
/// A whole haul of a winch known by its maker's table, at the end of these leads. Otherwise as `rmech_winch_haul`.
/// `radius_ratio` is the radius by that of the table's layer, 1 on the same; a step's `pull_ratio` comes on top. A
/// table says nothing of lowering, where the load drives the gear, or of the winding: such a step, and heat of two
/// nodes, are `RMECH_ERR_GEOMETRY`. Cost: no heap, 16 kB of stack; at most 10000 intervals for each step of the haul.
[[nodiscard]] inline result<winch_haul_by_table_result> winch_haul_by_table(array_view<rope_mechanics::winch_row> rows, const rope_mechanics::ratio &radius_ratio, const rope_mechanics::resistance &leads, const rope_mechanics::battery &battery, const rope_mechanics::haul_limits &limits, array_view<rope_mechanics::haul_step> steps, std::size_t sample_capacity) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::vector<rope_mechanics::haul_sample> samples(sample_capacity);
    std::size_t sample_count{};
    rope_mechanics::haul_outcome outcome{};
    if (rmech_winch_haul_by_table(detail::as<rmech_winch_row>(rows.data()), rows.size(), detail::as<rmech_ratio>(&radius_ratio), detail::as<rmech_resistance>(&leads), detail::as<rmech_battery>(&battery), detail::as<rmech_haul_limits>(&limits), detail::as<rmech_haul_step>(steps.data()), steps.size(), detail::as<rmech_haul_sample>(samples.data()), sample_capacity, &sample_count, detail::as<rmech_haul_outcome>(&outcome), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    if (sample_count < samples.size()) {
        samples.resize(sample_count);
    }
    return winch_haul_by_table_result{std::move(samples), std::move(sample_count), std::move(outcome)};
}

/// The format of a study that was kept as a file or came from elsewhere: JSON in UTF-8 of `bytes` bytes. Ask for it
/// before reading more. One that this version doesn't know gives `RMECH_ERR_TEXT` with `format` in `error->field`, and
/// the message holds the one found and the one read. Of the study nothing is looked at but `format`, `title` and
/// `version`, each of which must stand there. Cost: heap; one pass over the text.
[[nodiscard]] inline result<std::uint32_t> operation_format(std::string_view study) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::uint32_t format{};
    if (rmech_operation_format(study.data(), study.size(), &format, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return format;
}

/// The study of a site in one call, into a buffer of the caller. `rmech_operation_create` does the same, computes only
/// once, and can be stopped. Both texts are JSON in UTF-8, the study NUL-terminated.
/// `needed` always takes the number of bytes that the study needs, its NUL included. With `capacity` 0 (`study` may
/// then be NULL) that is all: the size query, which returns `RMECH_OK`. A buffer that is too small gives
/// `RMECH_ERR_CAPACITY`, with `needed` written and `study` untouched. Errors as of `rmech_operation_create`. Cost:
/// heap; grows with the positions; see most_positions and cancel for what stops it.
[[nodiscard]] inline result<std::string> operation_study(std::string_view site) {
    rmech_error error = RMECH_INIT(rmech_error);
    std::string study;
    std::size_t needed = 0;
    if (rmech_operation_study(site.data(), site.size(), nullptr, 0, &needed, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    study.resize(needed);
    if (rmech_operation_study(site.data(), site.size(), study.data(), study.size(), &needed, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    study.resize(needed - 1);
    return study;
}

class rig;
class rig_solution;
class rig_response;
class operation;
struct rig_solve_band_result;
struct rig_solve_band_within_result;
struct operation_setting_result;

/// A rig.
class rig {
public:
    /// Takes over a handle of C.
    explicit rig(rmech_rig *handle) noexcept : handle_(handle) {}
    /// The handle of C, which stays owned here.
    rmech_rig *get() const noexcept { return handle_.get(); }
    /// Gives the handle away: to destroy it is the caller's now.
    rmech_rig *release() noexcept { return handle_.release(); }

    /// Makes a rig with nothing in it. Destroy it with `rmech_rig_destroy`. Cost: heap; one pass over what is given or
    /// freed.
    [[nodiscard]] static result<rope_mechanics::rig> create();
    /// Adds a fixed point. Cost: heap; one pass over what is given or freed.
    [[nodiscard]] result<rope_mechanics::rig_point_id> add_fixed(const std::string &name, const rope_mechanics::point &at);
    /// Adds a point that moves. Cost: heap; one pass over what is given or freed.
    [[nodiscard]] result<rope_mechanics::rig_point_id> add_point(const std::string &name, const rope_mechanics::rig_point &point);
    /// Adds a rope that runs over `turn_count` turns in order; `turns` may be NULL if there are none. Cost: heap; one
    /// pass over what is given or freed.
    [[nodiscard]] result<rope_mechanics::rig_rope_id> add_rope(const std::string &name, const rope_mechanics::rig_rope &rope, array_view<rope_mechanics::rig_turn> turns);
    /// The point of a name. Cost: heap; one pass over what is given or freed.
    [[nodiscard]] result<rope_mechanics::rig_point_id> find_point(const std::string &name) const;
    /// The rope of a name. Cost: heap; one pass over what is given or freed.
    [[nodiscard]] result<rope_mechanics::rig_rope_id> find_rope(const std::string &name) const;
    /// Solves a rig. Destroy the solution with `rmech_rig_solution_destroy`.
    /// Ropes that move lose tension at their turns as stated. Where the frictionless equilibrium ends before the loss
    /// is full, the rig slides to where it rests. An answer may not be the only one: see the certificate's `unique`. A
    /// refusal that isn't sure means that none was found.
    /// The detail of an error names the point or rope at fault in `field`. Assumptions: at the top of this topic in
    /// rope_mechanics.h. Cost: heap; some ten steps as a rule, thousands where a rig is refused; each one linear
    /// system of the size of the rig.
    [[nodiscard]] result<rope_mechanics::rig_solution> solve() const;
    /// The same, in no more than so many steps, so that a rig that is hard to refuse takes no longer than one may
    /// wait.
    /// A step solves the linear equations of the rig once, so that its time grows with the size of the rig; what else
    /// is done takes no longer than a few of them. A rig that stands takes some ten steps, one that runs over rough
    /// turns some hundred; to refuse one may take thousands. When they are spent: `RMECH_ERR_BUDGET`, which decides
    /// nothing. An answer, or any other refusal, is the one of `rmech_rig_solve`, bit by bit. Cost: heap; at most the
    /// steps given.
    [[nodiscard]] result<rope_mechanics::rig_solution> solve_within(std::uint32_t steps) const;
    /// The two ends of what friction may hold at the turns of ropes at rest: as they stand after hauling, and after
    /// lowering. Destroy both with `rmech_rig_solution_destroy`.
    /// Assumed: all ropes at rest came to rest from the same motion; mixtures give tensions between, or near, these. A
    /// rig that friction alone keeps at rest is refused: no motion of its rope holds it. `rmech_rig_solve_band_within`
    /// stops in time. Cost: heap; as of rmech_rig_solve, twice.
    [[nodiscard]] result<rig_solve_band_result> solve_band() const;
    /// The same in no more than so many steps for each of the two, as `rmech_rig_solve_within` counts them. When they
    /// are spent: `RMECH_ERR_BUDGET`, which decides nothing. An answer, or any other refusal, is the one of
    /// `rmech_rig_solve_band`, bit by bit. Cost: heap; at most twice the steps given.
    [[nodiscard]] result<rig_solve_band_within_result> solve_band_within(std::uint32_t steps) const;
    /// Makes a rig from JSON in UTF-8 of `bytes` bytes. Destroy it with `rmech_rig_destroy`; find its points and ropes
    /// by their names.
    /// The keys: at the top of this topic in rope_mechanics.h. Cost: heap; one pass over the text.
    [[nodiscard]] static result<rope_mechanics::rig> read_json(std::string_view json);
    /// A rig that `rmech_rig_read_json` makes again: JSON in UTF-8, NUL-terminated.
    /// `needed` always takes the number of bytes that it needs, its NUL included. With `capacity` 0 (`json` may then
    /// be NULL) that is all: the size query, which returns `RMECH_OK`. A buffer that is too small gives
    /// `RMECH_ERR_CAPACITY`, with `needed` written and `json` untouched. Cost: heap; one pass over the text.
    [[nodiscard]] result<std::string> write_json() const;

private:
    detail::owner<rmech_rig, rmech_rig_destroy> handle_;
};

/// An equilibrium of a rig. It stays good when the rig is changed or destroyed.
class rig_solution {
public:
    /// Takes over a handle of C.
    explicit rig_solution(rmech_rig_solution *handle) noexcept : handle_(handle) {}
    /// The handle of C, which stays owned here.
    rmech_rig_solution *get() const noexcept { return handle_.get(); }
    /// Gives the handle away: to destroy it is the caller's now.
    rmech_rig_solution *release() noexcept { return handle_.release(); }

    /// The proof of a solution. Cost: heap; read from the handle, nothing is computed.
    [[nodiscard]] result<rope_mechanics::rig_certificate> certificate() const;
    /// A point of a solution. Cost: heap; read from the handle, nothing is computed.
    [[nodiscard]] result<rope_mechanics::rig_place> point(const rope_mechanics::rig_point_id &id) const;
    /// Part `number` of a rope of a solution, counted from 0 at its first end: a rope over n turns has n + 1 of them.
    /// Cost: heap; read from the handle, nothing is computed.
    [[nodiscard]] result<rope_mechanics::rig_part> part(const rope_mechanics::rig_rope_id &id, std::size_t number) const;
    /// Turn `number` of a rope of a solution, counted from 0 at its first end. Cost: heap; read from the handle,
    /// nothing is computed.
    [[nodiscard]] result<rope_mechanics::rig_sheave> sheave(const rope_mechanics::rig_rope_id &id, std::size_t number) const;
    /// The unstretched length of a rope of a solution: as given, or as its set tension makes it. Cost: heap; read from
    /// the handle, nothing is computed.
    [[nodiscard]] result<rope_mechanics::length> length(const rope_mechanics::rig_rope_id &id) const;
    /// What a small change of one input does to every output. Destroy the response with `rmech_rig_response_destroy`.
    /// What is assumed: at the top of this topic in rope_mechanics.h. Cost: heap; one linear system of the size of the
    /// rig.
    [[nodiscard]] result<rope_mechanics::rig_response> respond(const rope_mechanics::rig_change &by) const;
    /// Everything that a solution says, with names: JSON in UTF-8, NUL-terminated.
    /// `needed`, `capacity` and a buffer that is too small: as of `rmech_rig_write_json`. Cost: heap; one pass over
    /// the text.
    [[nodiscard]] result<std::string> write_json() const;

private:
    detail::owner<rmech_rig_solution, rmech_rig_solution_destroy> handle_;
};

/// What a small change does to every output of a solution, to first order.
class rig_response {
public:
    /// Takes over a handle of C.
    explicit rig_response(rmech_rig_response *handle) noexcept : handle_(handle) {}
    /// The handle of C, which stays owned here.
    rmech_rig_response *get() const noexcept { return handle_.get(); }
    /// Gives the handle away: to destroy it is the caller's now.
    rmech_rig_response *release() noexcept { return handle_.release(); }

    /// How a point answers. Cost: heap; read from the handle, nothing is computed.
    [[nodiscard]] result<rope_mechanics::rig_point_response> point(const rope_mechanics::rig_point_id &id) const;
    /// How part `number` of a rope answers, counted from 0 at its first end. Cost: heap; read from the handle, nothing
    /// is computed.
    [[nodiscard]] result<rope_mechanics::rig_part_response> part(const rope_mechanics::rig_rope_id &id, std::size_t number) const;
    /// How turn `number` of a rope answers, counted from 0 at its first end. Cost: heap; read from the handle, nothing
    /// is computed.
    [[nodiscard]] result<rope_mechanics::rig_sheave_response> sheave(const rope_mechanics::rig_rope_id &id, std::size_t number) const;
    /// More unstretched length of a rope. Cost: heap; read from the handle, nothing is computed.
    [[nodiscard]] result<rope_mechanics::length> length(const rope_mechanics::rig_rope_id &id) const;
    /// Everything that a response says, with names: JSON in UTF-8, NUL-terminated.
    /// `needed`, `capacity` and a buffer that is too small: as of `rmech_rig_write_json`. Cost: heap; one pass over
    /// the text.
    [[nodiscard]] result<std::string> write_json() const;

private:
    detail::owner<rmech_rig_response, rmech_rig_response_destroy> handle_;
};

/// A site that was studied. What a controller reads of it stands in the next topic.
class operation {
public:
    /// Takes over a handle of C.
    explicit operation(rmech_operation *handle) noexcept : handle_(handle) {}
    /// The handle of C, which stays owned here.
    rmech_operation *get() const noexcept { return handle_.get(); }
    /// Gives the handle away: to destroy it is the caller's now.
    rmech_operation *release() noexcept { return handle_.release(); }

    /// Studies a site: JSON in UTF-8 of `site_bytes` bytes, with the keys of a site file (schemas/site.schema.json).
    /// Read the study with `rmech_operation_json`, and destroy it with `rmech_operation_destroy`. `options` may be
    /// NULL.
    /// The time grows with the number of positions, travel.positions (10 to 20000, 200 unless given) and one over each
    /// corner of the ground. Other limits: 10000 points of ground, 8 guys, 6 redirects of the haul rope.
    /// A key that is unknown or unreadable gives `RMECH_ERR_TEXT`; one that makes the rig impossible,
    /// `RMECH_ERR_GEOMETRY`: `error->field` names it, as in `track.rope.mass` or `ground[3]`. A missing key gives
    /// `RMECH_ERR_TEXT`, too, and the message says what the key holds. No file is opened: `kit` holds the kit itself,
    /// and a fault in it is named by its path there, as in `ropes.red.mass`. Each `variant` is studied, too, and adds
    /// its positions. Cost: heap; grows with the positions; see most_positions and cancel for what stops it.
    [[nodiscard]] static result<rope_mechanics::operation> create(std::string_view site, const std::optional<rope_mechanics::operation_options> &options = std::nullopt);
    /// The study as JSON in UTF-8, as `study.json` holds it: `bytes` of them, and a NUL behind. The text belongs to
    /// the handle, and is gone with it. The same site gives the same bytes. Cost: heap; read from the handle, nothing
    /// is computed.
    [[nodiscard]] result<std::string_view> json() const;
    /// What the schedule of a study comes to, and how many of each list it holds. Cost: heap; read from the handle,
    /// nothing is computed.
    [[nodiscard]] result<rope_mechanics::schedule> schedule() const;
    /// The setting that the site asks for, by all that it shows without its load. With a no-go there is none:
    /// `RMECH_ERR_GEOMETRY`. Cost: heap; read from the handle, nothing is computed.
    [[nodiscard]] result<rope_mechanics::set_point> set_point() const;
    /// The same with its load on at one of its places, counted from 0: the first and the last position. Cost: heap;
    /// read from the handle, nothing is computed.
    [[nodiscard]] result<rope_mechanics::loaded_line> set_point_line(std::size_t number) const;
    /// One of the fewest settings, counted from 0 in the order of the travel, and what to set for it. `set_point` may
    /// be NULL. Cost: heap; read from the handle, nothing is computed.
    [[nodiscard]] result<operation_setting_result> setting(std::size_t number) const;
    /// A setting with its load on at one of the places of its set-point: its first and last position, and its stop.
    /// Cost: heap; read from the handle, nothing is computed.
    [[nodiscard]] result<rope_mechanics::loaded_line> setting_line(std::size_t setting, std::size_t number) const;
    /// A place whose windows were found, counted from 0. Cost: heap; read from the handle, nothing is computed.
    [[nodiscard]] result<rope_mechanics::schedule_place> place(std::size_t number) const;
    /// A window of a place, both counted from 0, the shortest strand first; several where a litter may drag. Cost:
    /// heap; read from the handle, nothing is computed.
    [[nodiscard]] result<rope_mechanics::strand_window> window(std::size_t place, std::size_t number) const;
    /// A stretch on which no length keeps every limit, counted from 0. Cost: heap; read from the handle, nothing is
    /// computed.
    [[nodiscard]] result<rope_mechanics::no_length> no_length(std::size_t number) const;
    /// A mark on the haul rope, counted from 0 in the order in which they come in. Cost: heap; read from the handle,
    /// nothing is computed.
    [[nodiscard]] result<rope_mechanics::haul_mark> mark(std::size_t number) const;
    /// A position of the study as it can be seen, counted from 0. Cost: heap; read from the handle, nothing is
    /// computed.
    [[nodiscard]] result<rope_mechanics::seen> seen(std::size_t number) const;

private:
    detail::owner<rmech_operation, rmech_operation_destroy> handle_;
};

/// What rmech_rig_solve_band gives.
struct rig_solve_band_result {
    rope_mechanics::rig_solution hauled;
    rope_mechanics::rig_solution lowered;
};
/// What rmech_rig_solve_band_within gives.
struct rig_solve_band_within_result {
    rope_mechanics::rig_solution hauled;
    rope_mechanics::rig_solution lowered;
};
/// What rmech_operation_setting gives.
struct operation_setting_result {
    rope_mechanics::track_setting setting;
    rope_mechanics::set_point set_point;
};

inline result<rope_mechanics::rig> rig::create() {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_rig *rig_made = nullptr;
    if (rmech_rig_create(&rig_made, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return rope_mechanics::rig(rig_made);
}

inline result<rope_mechanics::rig_point_id> rig::add_fixed(const std::string &name, const rope_mechanics::point &at) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_point_id id{};
    if (rmech_rig_add_fixed(handle_.get(), name.c_str(), detail::as<rmech_point>(&at), detail::as<rmech_rig_point_id>(&id), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return id;
}

inline result<rope_mechanics::rig_point_id> rig::add_point(const std::string &name, const rope_mechanics::rig_point &point) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_point_id id{};
    if (rmech_rig_add_point(handle_.get(), name.c_str(), detail::as<rmech_rig_point>(&point), detail::as<rmech_rig_point_id>(&id), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return id;
}

inline result<rope_mechanics::rig_rope_id> rig::add_rope(const std::string &name, const rope_mechanics::rig_rope &rope, array_view<rope_mechanics::rig_turn> turns) {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_rope_id id{};
    if (rmech_rig_add_rope(handle_.get(), name.c_str(), detail::as<rmech_rig_rope>(&rope), detail::as<rmech_rig_turn>(turns.data()), turns.size(), detail::as<rmech_rig_rope_id>(&id), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return id;
}

inline result<rope_mechanics::rig_point_id> rig::find_point(const std::string &name) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_point_id id{};
    if (rmech_rig_find_point(handle_.get(), name.c_str(), detail::as<rmech_rig_point_id>(&id), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return id;
}

inline result<rope_mechanics::rig_rope_id> rig::find_rope(const std::string &name) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_rope_id id{};
    if (rmech_rig_find_rope(handle_.get(), name.c_str(), detail::as<rmech_rig_rope_id>(&id), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return id;
}

inline result<rope_mechanics::rig_solution> rig::solve() const {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_rig_solution *solution_made = nullptr;
    if (rmech_rig_solve(handle_.get(), &solution_made, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return rope_mechanics::rig_solution(solution_made);
}

inline result<rope_mechanics::rig_solution> rig::solve_within(std::uint32_t steps) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_rig_solution *solution_made = nullptr;
    if (rmech_rig_solve_within(handle_.get(), steps, &solution_made, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return rope_mechanics::rig_solution(solution_made);
}

inline result<rig_solve_band_result> rig::solve_band() const {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_rig_solution *hauled_made = nullptr;
    rmech_rig_solution *lowered_made = nullptr;
    if (rmech_rig_solve_band(handle_.get(), &hauled_made, &lowered_made, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return rig_solve_band_result{rope_mechanics::rig_solution(hauled_made), rope_mechanics::rig_solution(lowered_made)};
}

inline result<rig_solve_band_within_result> rig::solve_band_within(std::uint32_t steps) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_rig_solution *hauled_made = nullptr;
    rmech_rig_solution *lowered_made = nullptr;
    if (rmech_rig_solve_band_within(handle_.get(), steps, &hauled_made, &lowered_made, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return rig_solve_band_within_result{rope_mechanics::rig_solution(hauled_made), rope_mechanics::rig_solution(lowered_made)};
}

inline result<rope_mechanics::rig_certificate> rig_solution::certificate() const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_certificate certificate{};
    if (rmech_rig_solution_certificate(handle_.get(), detail::as<rmech_rig_certificate>(&certificate), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return certificate;
}

inline result<rope_mechanics::rig_place> rig_solution::point(const rope_mechanics::rig_point_id &id) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_place place{};
    if (rmech_rig_solution_point(handle_.get(), detail::as<rmech_rig_point_id>(&id), detail::as<rmech_rig_place>(&place), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return place;
}

inline result<rope_mechanics::rig_part> rig_solution::part(const rope_mechanics::rig_rope_id &id, std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_part part{};
    if (rmech_rig_solution_part(handle_.get(), detail::as<rmech_rig_rope_id>(&id), number, detail::as<rmech_rig_part>(&part), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return part;
}

inline result<rope_mechanics::rig_sheave> rig_solution::sheave(const rope_mechanics::rig_rope_id &id, std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_sheave sheave{};
    if (rmech_rig_solution_sheave(handle_.get(), detail::as<rmech_rig_rope_id>(&id), number, detail::as<rmech_rig_sheave>(&sheave), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return sheave;
}

inline result<rope_mechanics::length> rig_solution::length(const rope_mechanics::rig_rope_id &id) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::length length{};
    if (rmech_rig_solution_length(handle_.get(), detail::as<rmech_rig_rope_id>(&id), detail::as<rmech_length>(&length), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return length;
}

inline result<rope_mechanics::rig_response> rig_solution::respond(const rope_mechanics::rig_change &by) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_rig_response *response_made = nullptr;
    if (rmech_rig_respond(handle_.get(), detail::as<rmech_rig_change>(&by), &response_made, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return rope_mechanics::rig_response(response_made);
}

inline result<rope_mechanics::rig_point_response> rig_response::point(const rope_mechanics::rig_point_id &id) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_point_response point{};
    if (rmech_rig_response_point(handle_.get(), detail::as<rmech_rig_point_id>(&id), detail::as<rmech_rig_point_response>(&point), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return point;
}

inline result<rope_mechanics::rig_part_response> rig_response::part(const rope_mechanics::rig_rope_id &id, std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_part_response part{};
    if (rmech_rig_response_part(handle_.get(), detail::as<rmech_rig_rope_id>(&id), number, detail::as<rmech_rig_part_response>(&part), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return part;
}

inline result<rope_mechanics::rig_sheave_response> rig_response::sheave(const rope_mechanics::rig_rope_id &id, std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::rig_sheave_response sheave{};
    if (rmech_rig_response_sheave(handle_.get(), detail::as<rmech_rig_rope_id>(&id), number, detail::as<rmech_rig_sheave_response>(&sheave), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return sheave;
}

inline result<rope_mechanics::length> rig_response::length(const rope_mechanics::rig_rope_id &id) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::length length{};
    if (rmech_rig_response_length(handle_.get(), detail::as<rmech_rig_rope_id>(&id), detail::as<rmech_length>(&length), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return length;
}

inline result<rope_mechanics::rig> rig::read_json(std::string_view json) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_rig *rig_made = nullptr;
    if (rmech_rig_read_json(json.data(), json.size(), &rig_made, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return rope_mechanics::rig(rig_made);
}

inline result<std::string> rig::write_json() const {
    rmech_error error = RMECH_INIT(rmech_error);
    std::string json;
    std::size_t needed = 0;
    if (rmech_rig_write_json(handle_.get(), nullptr, 0, &needed, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    json.resize(needed);
    if (rmech_rig_write_json(handle_.get(), json.data(), json.size(), &needed, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    json.resize(needed - 1);
    return json;
}

inline result<std::string> rig_solution::write_json() const {
    rmech_error error = RMECH_INIT(rmech_error);
    std::string json;
    std::size_t needed = 0;
    if (rmech_rig_solution_write_json(handle_.get(), nullptr, 0, &needed, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    json.resize(needed);
    if (rmech_rig_solution_write_json(handle_.get(), json.data(), json.size(), &needed, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    json.resize(needed - 1);
    return json;
}

inline result<std::string> rig_response::write_json() const {
    rmech_error error = RMECH_INIT(rmech_error);
    std::string json;
    std::size_t needed = 0;
    if (rmech_rig_response_write_json(handle_.get(), nullptr, 0, &needed, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    json.resize(needed);
    if (rmech_rig_response_write_json(handle_.get(), json.data(), json.size(), &needed, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    json.resize(needed - 1);
    return json;
}

inline result<rope_mechanics::operation> operation::create(std::string_view site, const std::optional<rope_mechanics::operation_options> &options) {
    rmech_error error = RMECH_INIT(rmech_error);
    rmech_operation *operation_made = nullptr;
    if (rmech_operation_create(site.data(), site.size(), options ? detail::as<rmech_operation_options>(&*options) : nullptr, &operation_made, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return rope_mechanics::operation(operation_made);
}

inline result<std::string_view> operation::json() const {
    rmech_error error = RMECH_INIT(rmech_error);
    const char *json = nullptr;
    std::size_t bytes = 0;
    if (rmech_operation_json(handle_.get(), &json, &bytes, &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return std::string_view(json, bytes);
}

inline result<rope_mechanics::schedule> operation::schedule() const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::schedule schedule{};
    if (rmech_operation_schedule(handle_.get(), detail::as<rmech_schedule>(&schedule), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return schedule;
}

inline result<rope_mechanics::set_point> operation::set_point() const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::set_point set_point{};
    if (rmech_operation_set_point(handle_.get(), detail::as<rmech_set_point>(&set_point), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return set_point;
}

inline result<rope_mechanics::loaded_line> operation::set_point_line(std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::loaded_line line{};
    if (rmech_operation_set_point_line(handle_.get(), number, detail::as<rmech_loaded_line>(&line), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return line;
}

inline result<operation_setting_result> operation::setting(std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::track_setting setting{};
    rope_mechanics::set_point set_point{};
    if (rmech_operation_setting(handle_.get(), number, detail::as<rmech_track_setting>(&setting), detail::as<rmech_set_point>(&set_point), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return operation_setting_result{std::move(setting), std::move(set_point)};
}

inline result<rope_mechanics::loaded_line> operation::setting_line(std::size_t setting, std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::loaded_line line{};
    if (rmech_operation_setting_line(handle_.get(), setting, number, detail::as<rmech_loaded_line>(&line), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return line;
}

inline result<rope_mechanics::schedule_place> operation::place(std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::schedule_place place{};
    if (rmech_operation_place(handle_.get(), number, detail::as<rmech_schedule_place>(&place), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return place;
}

inline result<rope_mechanics::strand_window> operation::window(std::size_t place, std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::strand_window window{};
    if (rmech_operation_window(handle_.get(), place, number, detail::as<rmech_strand_window>(&window), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return window;
}

inline result<rope_mechanics::no_length> operation::no_length(std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::no_length no_length{};
    if (rmech_operation_no_length(handle_.get(), number, detail::as<rmech_no_length>(&no_length), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return no_length;
}

inline result<rope_mechanics::haul_mark> operation::mark(std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::haul_mark mark{};
    if (rmech_operation_mark(handle_.get(), number, detail::as<rmech_haul_mark>(&mark), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return mark;
}

inline result<rope_mechanics::seen> operation::seen(std::size_t number) const {
    rmech_error error = RMECH_INIT(rmech_error);
    rope_mechanics::seen seen{};
    if (rmech_operation_seen(handle_.get(), number, detail::as<rmech_seen>(&seen), &error) != RMECH_OK) {
        return detail::failed(error);
    }
    return seen;
}

} // namespace rope_mechanics

#endif
