/* What the generated comparison of all calls leaves: units, literals, failures, handles, texts. */
#include "rope_mechanics.hpp"

#include <cstring>

using namespace rope_mechanics::literals;
namespace rm = rope_mechanics;
namespace units = rope_mechanics::units;

#define REQUIRE(condition)                                                                                       \
    do {                                                                                                         \
        if (!(condition)) {                                                                                      \
            std::fprintf(stderr, "%s:%d: %s\n", __FILE__, __LINE__, #condition);                                 \
            std::exit(1);                                                                                        \
        }                                                                                                        \
    } while (0)

/* Literals are known when the program is compiled. */
static_assert((875_lbf).si() == 875.0 * 4.4482216152605, "");
static_assert((0.1_m).si() == 0.1 && (1.804_n_per_m).si() == 1.804 && (6.02e3_n).si() == 6.02e3, "");
static_assert((12'000_n).si() == 12000.0 && (7e-3_m).si() == 7e-3 && (90_percent).si() == 90.0 * 1e-2, "");
static_assert((10_m + 5_m - 3_m) / 4_m == 3.0 && -2_m < 1_m && 2_m * 3_m / 2_m == 3_m, "");
static_assert(3_m_per_s * 2_s == 6_m && 6_m / 3_m_per_s == 2_s && 50_n * 2_m == 100_j, "");
static_assert(12_v * 100_a == 1200_w && 24_w / 12_v == 2_a && 80_celsius - 20_celsius == 60_kelvin, "");
static_assert(20_celsius + 5_kelvin == 25_celsius && 90_percent * 200_n == 200_n * 90_percent, "");

/* As the C functions, and literals as the compiler's own numbers, to the last bit. */
static void quantities() {
    REQUIRE((875_lbf).si() == rmech_lbf(875.0).newtons);
    REQUIRE((210_ft).si() == rmech_ft(210.0).metres);
    REQUIRE((123.456789_rpm).si() == rmech_rpm(123.456789).radians_per_second);
    REQUIRE((2.675_inch).in(units::mm) == rmech_in_mm(rmech_inch(2.675)));
    REQUIRE((72.3_celsius).si() == rmech_celsius(72.3).kelvin);
    REQUIRE(rm::in_celsius(rmech_celsius(72.3)) == rmech_in_celsius(rmech_celsius(72.3)));
    REQUIRE(rm::weight_of(80_kg).si() == 80.0 * 9.80665);
    const double x = 4.14;
    REQUIRE((x * units::kn).si() == rmech_kn(x).newtons);
    /* Decimals that a long double rounds twice, and others. */
#define SAME(text) REQUIRE((text##_n).si() == text)
    SAME(0.3); SAME(2.675); SAME(9.80665); SAME(123456.789012345); SAME(1e22); SAME(1.7976931e15); SAME(8.5e-7);
    SAME(0.000123456789); SAME(299792458.0); SAME(6.62607015e-8); SAME(7.105427357601); SAME(0.1e-6);
#undef SAME
    rm::force sum;
    sum += 3_kn;
    sum -= 1_kn;
    REQUIRE(sum == 2_kn && sum != 3_kn && sum <= 2_kn && sum >= 2_kn && sum > 1_kn);
}

static void failures() {
    rm::line line;
    line.span = 52_m;
    line.length = 60_m;
    line.weight = -1.0 * units::n_per_m;
    line.stretch.a = 124_kn;
    const auto refused = rm::line_solve(line);
    REQUIRE(!refused && !refused.has_value() && refused.error().status() == RMECH_ERR_VALUE);
    REQUIRE(std::strcmp(refused.error().field(), "weight") == 0 && std::strstr(refused.error().message(), "-1 N/m"));
    REQUIRE(refused.error().detail().value == -1.0);
    bool caught = false;
    try {
        (void)refused.value();
    } catch (const rm::bad_result &why) {
        caught = why.error().status() == RMECH_ERR_VALUE;
    }
    REQUIRE(caught);
    REQUIRE(rm::line_length_for_sag(line, 1_m).value_or(7_m) == 7_m);
    /* Arrays that should be equally long. */
    const std::array<rm::bridle_rope, 2> ropes{};
    const std::vector<rm::length> lengths(3, 5_m);
    const auto unequal = rm::bridle_at_lengths(800_n, ropes, lengths);
    REQUIRE(!unequal && unequal.error().status() == RMECH_ERR_VALUE);
    REQUIRE(std::strcmp(unequal.error().message(), "lengths has 3 elements, but ropes has 2") == 0);
}

static rm::rig two_legs() {
    rm::rig rig = rm::rig::create().value();
    const auto left = rig.add_fixed("left", {0_m, 0_m, 5_m}).value();
    const auto right = rig.add_fixed("right", {30_m, 0_m, 2_m}).value();
    rm::rig_point load;
    load.weight = 900_n;
    const auto at = rig.add_point("load", load).value();
    rm::rig_rope rope;
    rope.stretch.a = 41_kn;
    rope.from = left;
    rope.to = at;
    rope.length = 17_m;
    REQUIRE(rig.add_rope("first", rope, {}).has_value());
    rope.from = at;
    rope.to = right;
    rope.length = 15_m;
    REQUIRE(rig.add_rope("second", rope, {}).has_value());
    return rig;
}

static void handles() {
    rm::rig rig = two_legs();
    const auto load = rig.find_point("load").value();
    const auto first = rig.find_rope("first").value();
    rm::rig_solution solution = rig.solve().value();
    REQUIRE(!rig.solve_within(1) && rig.solve_within(1).error().status() == RMECH_ERR_BUDGET);
    const rm::rig_place place = solution.point(load).value();
    /* By C, from the same handle. */
    rmech_rig_place by_c;
    const rmech_rig_point_id id = {load.rig, load.point};
    REQUIRE(rmech_rig_solution_point(solution.get(), &id, &by_c, nullptr) == RMECH_OK);
    REQUIRE(std::memcmp(&place, &by_c, sizeof by_c) == 0);
    REQUIRE(solution.certificate().value().unique == 1);
    REQUIRE(solution.length(first).value() == 17_m);
    /* As text and back. */
    const std::string text = rig.write_json().value();
    REQUIRE(text.size() > 100 && text.back() == '}');
    rm::rig twin = rm::rig::read_json(text).value();
    REQUIRE(twin.solve().value().write_json().value() == solution.write_json().value());
    rm::rig_change change;
    change.kind = RMECH_CHANGE_LENGTH;
    change.rope = first;
    change.length = 10_mm;
    const rm::rig_response response = solution.respond(change).value();
    REQUIRE(response.point(load).value().moves.z < 0_m && response.write_json().has_value());
    /* It moves, and what is left behind is empty: no crash, a status. */
    rm::rig moved = std::move(twin);
    REQUIRE(moved.solve().has_value() && twin.get() == nullptr); // NOLINT: what was moved from
    REQUIRE(twin.solve().error().status() == RMECH_ERR_POINTER);
    moved = two_legs();
    rmech_rig *given = moved.release();
    rmech_rig_destroy(given);
    /* A control character is refused, a name that is taken, too. */
    REQUIRE(rig.add_fixed("left", {}).error().status() == RMECH_ERR_TEXT);
    const auto both = rig.solve_band().value();
    REQUIRE(both.hauled.point(load).value().at.z == both.lowered.point(load).value().at.z);
}

static void operations() {
    REQUIRE(rm::operation::create("{", std::nullopt).error().status() == RMECH_ERR_TEXT);
    rm::operation_progress progress;
    progress.cancel = 1;
    rm::operation_options options;
    options.progress = &progress;
    REQUIRE(rm::operation::create("{}", options).error().status() == RMECH_ERR_TEXT);
}

int main() {
    REQUIRE(rm::check_version().has_value() && rm::abi_version() == RMECH_ABI_VERSION);
    REQUIRE(std::strcmp(rm::status_text(RMECH_OK), "fine") == 0 && rm::version()[0] != '\0');
    quantities();
    failures();
    handles();
    operations();
    std::puts("ok");
}
