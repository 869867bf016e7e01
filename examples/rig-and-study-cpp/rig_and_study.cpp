/* A rig put together piece by piece, a redirect that floats in its sling; and the whole operation of a site. C++17.
 *
 * CAUTION. An aid for planning and training by qualified people, never the only limit on a load. Local codes,
 * makers' instructions and the authority having jurisdiction come first.
 */
#include <cstdio>
#include <fstream>
#include <iterator>

#include "rope_mechanics.hpp"

using namespace rope_mechanics::literals;
namespace rm = rope_mechanics;

static int run(const char *path) {
    rm::check_version().value();
    rm::rig rig = rm::rig::create().value();
    const auto tree = rig.add_fixed("tree", {0_m, 3_m, 4_m}).value();
    const auto winch = rig.add_fixed("winch", {-8_m, -2_m, 0.5_m}).value();
    const auto edge = rig.add_fixed("edge", {6_m, 0_m, 0_m}).value();
    rm::rig_point point;
    point.weight = 15_n;
    const auto redirect = rig.add_point("redirect", point).value();
    point.weight = 2_kn;
    const auto load = rig.add_point("load", point).value();

    rm::rig_rope rope;
    rope.from = tree;
    rope.to = redirect;
    rope.length = 2_m;
    rope.stretch.a = 40_kn;
    rig.add_rope("sling", rope, {}).value();
    rope.from = winch;
    rope.to = load;
    rope.length = 27_m;
    rope.mass = 85_g_per_m;
    rm::rig_turn over;
    over.turn.kind = RMECH_TURN_FRICTIONLESS;
    std::vector<rm::rig_turn> turns(2, over);
    turns[0].point = redirect;
    turns[1].point = edge;
    const auto haul = rig.add_rope("haul", rope, turns).value();

    const rm::rig_solution solution = rig.solve().value();
    const rm::point at = solution.point(redirect).value().at;
    const rm::force pull = solution.part(haul, 0).value().tension_first;
    std::printf("the redirect hangs at %.3f, %.3f, %.3f m; the winch pulls %.0f lbf\n", at.x.si(), at.y.si(), at.z.si(),
                pull.in(rm::units::lbf));

    std::ifstream file(path);
    const std::string site((std::istreambuf_iterator<char>(file)), std::istreambuf_iterator<char>());
    const rm::operation operation = rm::operation::create(site).value();
    std::printf("the study of %s: %zu bytes of JSON\n", path, operation.json().value().size());
    return 0;
}

int main(int argc, char **argv) {
    try {
        return run(argc > 1 ? argv[1] : "../dispatch-c/demo.json");
    } catch (const rm::bad_result &why) {
        std::fprintf(stderr, "%s: %s\n", why.error().field(), why.error().message());
        return 1;
    }
}
