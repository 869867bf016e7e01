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

@QUANTITIES@

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
@UNITS@
} // namespace units

/// 875_lbf, 210_ft, 4.14_kn: a number of at most 15 digits, rounded as 875.0 * units::lbf.
inline namespace literals {
@LITERALS@
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

@STRUCTS@

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

@CALLS@

} // namespace rope_mechanics

#endif
