// The same in C++.
#include <rope_mechanics.hpp>

int main() {
    using namespace rope_mechanics::literals;
    namespace units = rope_mechanics::units;
    rope_mechanics::line line;
    line.span = 52_m;
    line.rise = -31_m;
    line.length = 60_m;
    line.weight = 1.804_n_per_m;
    line.stretch.a = 124_kn;
    const auto version = rope_mechanics::check_version();
    const auto state = rope_mechanics::line_solve(line);
    if (!version || !state) {
        std::fputs(version ? state.error().message() : version.error().message(), stderr);
        return 1;
    }
    std::printf("%.2f kN (%.0f lbf)\n", state->first_tension.in(units::kn), state->first_tension.in(units::lbf));
}
