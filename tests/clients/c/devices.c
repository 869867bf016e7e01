/* Capstan, hand, strength and slope. */
#include <math.h>

#include "client.h"

static void capstan(void) {
    rmech_capstan drum = RMECH_INIT(rmech_capstan);
    rmech_force load = rmech_n(2670.0), hand = rmech_n(209.0), raising = rmech_n(98.0), lowering = rmech_n(50.0);
    rmech_angle wrap = rmech_deg(1080.0), needed;
    rmech_force_band band;
    rmech_ratio friction;
    rmech_error error = RMECH_INIT(rmech_error);
    uint32_t whole = 0;
    int32_t who = 0;

    drum.friction_low = rmech_percent(10.0);
    drum.friction_high = rmech_percent(30.0);
    REQUIRE(rmech_capstan_tail(&drum, &load, &wrap, &band, &error) == RMECH_OK);
    show("tail_low", band.low.newtons);
    show("tail_high", band.high.newtons);
    for (int i = 0; i < 4; i++) {
        static const char *const name[4] = {"hand_46", "hand_209", "hand_425", "hand_426"};
        const double held[4] = {46.0, 209.0, 425.0, 426.0};
        rmech_force tail = rmech_n(held[i]);
        REQUIRE(rmech_hand_hold(&tail, &who, &error) == RMECH_OK);
        show(name[i], who);
    }
    REQUIRE(rmech_capstan_turns(&drum, &load, &hand, &needed, &whole, &error) == RMECH_OK && whole == 5);
    show("needed", needed.radians);
    for (int i = 0; i < 3; i++) {
        static const char *const name[3] = {"grip_500", "grip_100", "grip_5"};
        rmech_force tail = rmech_n(i == 0 ? 500.0 : i == 1 ? 100.0 : 5.0);
        int32_t grip = 0;
        REQUIRE(rmech_capstan_grip(&drum, &load, &tail, &wrap, &grip, &error) == RMECH_OK);
        show(name[i], grip);
        REQUIRE(rmech_capstan_grip(&drum, &load, &tail, &wrap, NULL, &error) == RMECH_ERR_POINTER);
    }
    drum.groove = rmech_deg(60.0);
    REQUIRE(rmech_capstan_load(&drum, &hand, &wrap, &band, &error) == RMECH_OK);
    show("grooved_high", band.high.newtons);
    REQUIRE(rmech_friction_from_test(&raising, &lowering, &wrap, &friction, &error) == RMECH_OK);
    show("friction", friction.fraction);
    {
        rmech_turn turn;
        rmech_force weight = rmech_n(70.0);
        REQUIRE(rmech_turn_from_test(&raising, &lowering, &wrap, &weight, &turn, &error) == RMECH_OK);
        REQUIRE(turn.kind == RMECH_TURN_BAR);
        show("friction_raising", turn.friction_raising.fraction);
        show("friction_lowering", turn.friction_lowering.fraction);
        weight = rmech_n(99.0);
        REQUIRE(rmech_turn_from_test(&raising, &lowering, &wrap, &weight, &turn, &error) == RMECH_ERR_VALUE);
        REQUIRE(strcmp(error.field, "weight") == 0);
        REQUIRE(rmech_turn_from_test(&raising, &lowering, &wrap, NULL, &turn, &error) == RMECH_ERR_POINTER);
    }
    {
        rmech_capstan smooth = RMECH_INIT(rmech_capstan);
        smooth.friction_low = rmech_fraction(RMECH_DRUM_FRICTION_LOW);
        smooth.friction_high = rmech_fraction(RMECH_DRUM_FRICTION_HIGH);
        REQUIRE(rmech_capstan_load(&smooth, &hand, &wrap, &band, &error) == RMECH_OK);
        show("smooth_low", band.low.newtons);
        show("smooth_high", band.high.newtons);
    }

    drum.friction_low.fraction = -0.1;
    REQUIRE(rmech_capstan_tail(&drum, &load, &wrap, &band, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "friction_low") == 0);
    drum.flags = 1;
    REQUIRE(rmech_capstan_tail(&drum, &load, &wrap, &band, &error) == RMECH_ERR_ENUMERATOR);
    drum.struct_size = 0;
    REQUIRE(rmech_capstan_tail(&drum, &load, &wrap, &band, &error) == RMECH_ERR_STRUCT_SIZE);
    REQUIRE(rmech_capstan_tail(NULL, &load, &wrap, &band, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_hand_hold(&load, NULL, &error) == RMECH_ERR_POINTER);
}

static void strength(void) {
    rmech_force breaking = rmech_kn(40.0), left;
    rmech_length pin = rmech_mm(50.0), rope = rmech_mm(11.0);
    rmech_reduction reductions[33] = {{0}};
    rmech_component chain[3];
    rmech_ratio factor;
    rmech_error error = RMECH_INIT(rmech_error);
    int32_t place = 7;

    REQUIRE(rmech_bend_reduction(&pin, &rope, &reductions[0], &error) == RMECH_OK);
    REQUIRE(reductions[0].weakening == RMECH_WEAKENING_BEND && reductions[0].mark == RMECH_MARK_MEMORY);
    show("bend", reductions[0].factor.fraction);
    REQUIRE(rmech_usual_reduction(RMECH_WEAKENING_KNOT, &reductions[1], &error) == RMECH_OK);
    REQUIRE(reductions[1].weakening == RMECH_WEAKENING_KNOT && reductions[1].mark == RMECH_MARK_MEMORY);
    show("knot", reductions[1].factor.fraction);
    REQUIRE(rmech_usual_reduction(RMECH_WEAKENING_WET, &reductions[2], &error) == RMECH_OK);
    REQUIRE(reductions[2].weakening == RMECH_WEAKENING_WET && reductions[2].mark == RMECH_MARK_READ);
    show("wet", reductions[2].factor.fraction);
    REQUIRE(rmech_usual_reduction(RMECH_WEAKENING_WORN, &reductions[3], &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(rmech_usual_reduction(RMECH_WEAKENING_WET, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_strength_reduced(&breaking, reductions, 3, &left, &place, &error) == RMECH_OK && place == 1);
    show("left", left.newtons);
    REQUIRE(rmech_strength_reduced(&breaking, NULL, 0, &left, &place, &error) == RMECH_OK && place == -1);
    REQUIRE(left.newtons == 40e3);
    REQUIRE(rmech_strength_reduced(&breaking, reductions, 33, &left, NULL, &error) == RMECH_ERR_CAPACITY);
    REQUIRE(rmech_strength_reduced(&breaking, reductions, 4, &left, NULL, &error) == RMECH_ERR_ENUMERATOR);
    reductions[1].mark = 5;
    REQUIRE(rmech_strength_reduced(&breaking, reductions, 3, &left, NULL, &error) == RMECH_ERR_ENUMERATOR);
    REQUIRE(strcmp(error.field, "reductions[1].mark") == 0);
    REQUIRE(rmech_bend_reduction(&rope, &pin, &reductions[0], &error) == RMECH_ERR_VALUE);

    chain[0].strength = rmech_kn(28.0);
    chain[0].load = rmech_kn(2.4);
    chain[1].strength = rmech_kn(40.0);
    chain[1].load = rmech_kn(4.8);
    chain[2].strength = rmech_kn(1.0);
    chain[2].load = rmech_kn(0.0);
    REQUIRE(rmech_weakest_link(chain, 3, &place, &factor, &error) == RMECH_OK);
    show("weakest_place", place);
    show("weakest", factor.fraction);
    REQUIRE(rmech_weakest_link(chain + 2, 1, &place, &factor, &error) == RMECH_OK && place == -1);
    REQUIRE(factor.fraction == 0.0);
}

static void slope(void) {
    rmech_slope_load load = RMECH_INIT(rmech_slope_load);
    rmech_slope_pull pull = RMECH_INIT(rmech_slope_pull);
    rmech_slope_classes classes;
    rmech_ratio share = rmech_percent(25.0);
    rmech_force drag;
    rmech_error error = RMECH_INIT(rmech_error);
    int32_t class_of = 0;

    load.weight = rmech_n(2451.6625);
    load.slope = rmech_deg(35.0);
    load.friction = rmech_percent(30.0);
    REQUIRE(rmech_slope_pull_of(&load, &pull, &error) == RMECH_OK && pull.slack == 0);
    show("up", pull.up.newtons);
    show("down", pull.down.newtons);
    load.slope = rmech_deg(10.0);
    load.rope_angle = rmech_deg(15.0);
    load.carried_share = rmech_percent(25.0);
    load.attendants = rmech_n(1600.0);
    load.leaning = rmech_percent(10.0);
    REQUIRE(rmech_slope_pull_of(&load, &pull, &error) == RMECH_OK && pull.slack == 1);
    show("push", pull.push.newtons);
    show("rest_high", pull.at_rest.high.newtons);
    REQUIRE(pull.down.newtons == 0.0 && pull.struct_size == sizeof pull);
    REQUIRE(rmech_ground_drag(&load.weight, &share, &load.slope, &load.friction, &drag, &error) == RMECH_OK);
    show("drag", drag.newtons);

    load.rope_angle = rmech_deg(85.0);
    load.slope = rmech_deg(40.0);
    REQUIRE(rmech_slope_pull_of(&load, &pull, &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strcmp(error.field, "rope_angle") == 0);
    classes.low = rmech_deg(10.0);
    classes.steep = rmech_deg(20.0);
    classes.high = rmech_deg(30.0);
    for (int i = 0; i < 5; i++) {
        static const char *const usual[5] = {"usual_5", "usual_15", "usual_25", "usual_35", "usual_55"};
        static const char *const own[5] = {"own_5", "own_15", "own_25", "own_35", "own_55"};
        rmech_angle bank = rmech_deg(5.0 + 10.0 * i + (i == 4 ? 10.0 : 0.0));
        REQUIRE(rmech_slope_class(NULL, &bank, &class_of, &error) == RMECH_OK);
        show(usual[i], class_of);
        REQUIRE(rmech_slope_class(&classes, &bank, &class_of, &error) == RMECH_OK);
        show(own[i], class_of);
    }
    classes.steep = rmech_deg(5.0);
    REQUIRE(rmech_slope_class(&classes, &load.slope, &class_of, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "steep") == 0);
    REQUIRE(rmech_slope_class(NULL, &load.slope, NULL, &error) == RMECH_ERR_POINTER);
    load.weight.newtons = (double)INFINITY;
    REQUIRE(rmech_slope_pull_of(&load, &pull, &error) == RMECH_ERR_VALUE);
}

/* Every status has a sentence of its own, and any other number one that says so. */
static void statuses(void) {
    const int32_t all[11] = {RMECH_OK,         RMECH_ERR_POINTER,  RMECH_ERR_STRUCT_SIZE, RMECH_ERR_VALUE,
                             RMECH_ERR_ENUMERATOR, RMECH_ERR_TEXT, RMECH_ERR_GEOMETRY,    RMECH_ERR_UNSOLVED,
                             RMECH_ERR_CAPACITY, RMECH_ERR_INTERNAL, RMECH_ERR_VERSION};
    const char *unknown = rmech_status_text(12345);
    REQUIRE(strcmp(rmech_status_text(RMECH_OK), "fine") == 0);
    REQUIRE(strstr(rmech_status_text(RMECH_ERR_POINTER), "NULL") != NULL);
    REQUIRE(strstr(unknown, "not a status") != NULL && strcmp(unknown, rmech_status_text(-1)) == 0);
    for (int i = 0; i < 11; i++) {
        REQUIRE(strcmp(rmech_status_text(all[i]), unknown) != 0);
        for (int j = 0; j < i; j++) {
            REQUIRE(strcmp(rmech_status_text(all[i]), rmech_status_text(all[j])) != 0);
        }
    }
}

int main(void) {
    statuses();
    capstan();
    strength();
    slope();
    return 0;
}
