/* A load on a doubled track rope, held by its haul rope 22 m out: what pulls at the head? C++20, for the names of members.
 *
 * CAUTION. An aid for planning and training by qualified people, never the only limit on a load. A doubled track rope on one
 * sheave has no redundancy. Local codes, makers' instructions and the authority having jurisdiction come first.
 */
#include <cstdio>

#include "rope_mechanics.hpp"

using namespace rope_mechanics::literals;

int main() {
    rope_mechanics::carriage carriage{.far = {52_m, -31.0 * rope_mechanics::units::m}, .track_length = 60.7_m,
        .track_weight = 1.804_n_per_m, .track_stretch = {124_kn, 0_n}, .load_weight = weight_of(160_kg)};
    std::printf("%.2f kN\n", rope_mechanics::carriage_held_at_x(carriage, 22_m).value().tension_head.in(rope_mechanics::units::kn));
}
