/* One rope through its turns, the doubled track rope, redirects. */
#include <math.h>

#include "client.h"

static rmech_point at(double x, double y, double z) {
    rmech_point p;
    p.x = rmech_m(x);
    p.y = rmech_m(y);
    p.z = rmech_m(z);
    return p;
}

static rmech_turn sheave(double percent) {
    rmech_turn turn = {0};
    turn.kind = RMECH_TURN_SHEAVE;
    turn.efficiency = rmech_percent(percent);
    return turn;
}

static void rope_of_two_turns(void) {
    rmech_bend bends[2];
    rmech_strand hanging = {0};
    rmech_reeving rope = RMECH_INIT(rmech_reeving);
    rmech_known known = {0};
    rmech_part_tension parts[3];
    rmech_turn_load turns[2];
    rmech_reeving_summary summary = RMECH_INIT(rmech_reeving_summary);
    rmech_error error = RMECH_INIT(rmech_error);

    memset(bends, 0, sizeof bends);
    bends[0].turn = sheave(90.0);
    bends[0].given = RMECH_BEND_PLACE;
    bends[0].place = at(-1.0, 1.5, -2.5);
    bends[1].turn.kind = RMECH_TURN_BAR;
    bends[1].turn.friction_raising = rmech_percent(20.0);
    bends[1].turn.friction_lowering = rmech_percent(25.0);
    bends[1].given = RMECH_BEND_PLACE;
    bends[1].place = at(0.0, 0.0, 0.0);
    hanging.part = 2;
    hanging.given = RMECH_STRAND_RISE;
    hanging.rise = rmech_n(-40.0);
    rope.flags = RMECH_REEVING_ENDS;
    rope.bends = bends;
    rope.bend_count = 2;
    rope.strands = &hanging;
    rope.strand_count = 1;
    rope.pulling_end = at(-8.0, 2.0, -2.0);
    rope.standing_end = at(10.0, 0.0, -30.0);
    known.part = 2;
    known.side = RMECH_SIDE_STANDING;
    known.tension = rmech_n(2000.0);

    REQUIRE(rmech_reeving_tensions(&rope, &known, RMECH_MOTION_AT_REST, parts, 3, turns, 2, &summary, &error) ==
            RMECH_OK);
    show("pull_low", parts[0].pulling_side.low.newtons);
    show("pull_high", parts[0].pulling_side.high.newtons);
    show("top_low", parts[2].pulling_side.low.newtons);
    show("load_0", turns[0].load.newtons);
    show("wrap_1", turns[1].wrap.radians);
    show("force_1_z", turns[1].force.z.newtons);
    show("highest", summary.highest.tension.newtons);
    show("standing_end_z", summary.standing_end.z.newtons);
    REQUIRE(summary.ends_known == RMECH_END_PULLING + RMECH_END_STANDING && turns[0].force_known == 1);
    REQUIRE(summary.highest.part == 0 && summary.highest.side == RMECH_SIDE_PULLING);

    /* What isn't wanted may be NULL; what is too small stays as it was. */
    REQUIRE(rmech_reeving_tensions(&rope, &known, RMECH_MOTION_HAULING, NULL, 0, NULL, 0, NULL, NULL) == RMECH_OK);
    {
        rmech_part_tension before[3];
        memcpy(before, parts, sizeof parts);
        REQUIRE(rmech_reeving_tensions(&rope, &known, RMECH_MOTION_HAULING, parts, 2, NULL, 0, NULL, &error) ==
                RMECH_ERR_CAPACITY);
        REQUIRE(strcmp(error.field, "parts") == 0);
        REQUIRE(rmech_reeving_tensions(&rope, &known, 7, parts, 3, NULL, 0, NULL, &error) == RMECH_ERR_ENUMERATOR);
        REQUIRE(strcmp(error.field, "motion_of_rope") == 0);
        rope.flags = 6;
        REQUIRE(rmech_reeving_tensions(&rope, &known, 1, parts, 3, NULL, 0, NULL, &error) == RMECH_ERR_ENUMERATOR);
        rope.flags = 0;
        REQUIRE(rmech_reeving_tensions(&rope, &known, 1, parts, 3, NULL, 0, NULL, &error) == RMECH_ERR_VALUE);
        REQUIRE(strcmp(error.field, "bends[0].wrap") == 0);
        rope.flags = RMECH_REEVING_ENDS;
        rope.bends = NULL;
        REQUIRE(rmech_reeving_tensions(&rope, &known, 1, parts, 3, NULL, 0, NULL, &error) == RMECH_ERR_POINTER);
        rope.bends = bends;
        rope.bend_count = 17;
        REQUIRE(rmech_reeving_tensions(&rope, &known, 1, NULL, 0, NULL, 0, NULL, &error) == RMECH_ERR_CAPACITY);
        rope.bend_count = 2;
        bends[1].given = 0;
        REQUIRE(rmech_reeving_tensions(&rope, &known, 1, parts, 3, NULL, 0, NULL, &error) == RMECH_ERR_ENUMERATOR);
        bends[1].given = RMECH_BEND_PLACE;
        known.tension = rmech_n((double)NAN);
        REQUIRE(rmech_reeving_tensions(&rope, &known, 1, parts, 3, NULL, 0, NULL, &error) == RMECH_ERR_VALUE);
        REQUIRE(strcmp(error.field, "tension") == 0);
        known.tension = rmech_n(1.0);
        known.part = 3;
        REQUIRE(rmech_reeving_tensions(&rope, &known, 1, parts, 3, NULL, 0, NULL, &error) == RMECH_ERR_VALUE);
        REQUIRE(strcmp(error.field, "part") == 0);
        known.part = 0;
        known.side = RMECH_SIDE_PULLING;
        REQUIRE(rmech_reeving_tensions(&rope, &known, 1, parts, 3, NULL, 0, NULL, &error) == RMECH_ERR_GEOMETRY);
        summary.struct_size = 3;
        REQUIRE(rmech_reeving_tensions(&rope, &known, 1, parts, 3, NULL, 0, &summary, &error) != RMECH_OK);
        REQUIRE(memcmp(before, parts, sizeof parts) == 0);
    }
}

static void doubled_track(void) {
    rmech_doubled_track track = RMECH_INIT(rmech_doubled_track);
    rmech_track_tensions tensions = RMECH_INIT(rmech_track_tensions);
    rmech_force sum = rmech_n(3000.0);
    rmech_error error = RMECH_INIT(rmech_error);
    track.capstan = at(-8.0, 2.0, -2.0);
    track.redirect = at(-1.0, 1.5, -2.5);
    track.head = at(0.0, 0.0, 0.0);
    track.far_sheave = at(70.0, 0.0, -45.0);
    track.anchor = at(-10.0, -1.0, -2.0);
    track.redirect_turn = track.frame_turn = track.far_turn = sheave(90.0);
    REQUIRE(rmech_doubled_track_tensions(&track, RMECH_TRACK_KNOWN_STRANDS_AT_HEAD, &sum, RMECH_MOTION_HAULING,
                                         &tensions, &error) == RMECH_OK);
    REQUIRE(tensions.struct_size == sizeof tensions);
    show("capstan", tensions.capstan.high.newtons);
    show("cell", tensions.cell.low.newtons);
    show("strand_back", tensions.strand_back.standing_side.low.newtons);
    show("far_load", tensions.far_sheave.load.newtons);
    show("frame_z", tensions.frame.z.newtons);
    show("crossing_out", tensions.head_crossings[0].newtons);
    show("crossing_back", tensions.head_crossings[1].newtons);
    track.flags = RMECH_TRACK_FRAME_WITHOUT_CONTACT;
    REQUIRE(rmech_doubled_track_tensions(&track, RMECH_TRACK_KNOWN_CELL, &sum, RMECH_MOTION_AT_REST, &tensions,
                                         NULL) == RMECH_OK);
    REQUIRE(tensions.frame.z.newtons == 0.0);
    show("free_capstan", tensions.capstan.high.newtons);
    REQUIRE(rmech_doubled_track_tensions(&track, 0, &sum, RMECH_MOTION_AT_REST, &tensions, &error) ==
            RMECH_ERR_ENUMERATOR);
    track.far_sheave = track.redirect;
    REQUIRE(rmech_doubled_track_tensions(&track, RMECH_TRACK_KNOWN_CELL, &sum, RMECH_MOTION_AT_REST, &tensions,
                                         &error) == RMECH_ERR_GEOMETRY);
    REQUIRE(strlen(error.message) > 0);
}

static void redirects(void) {
    rmech_force tension = rmech_n(1000.0);
    rmech_angle angle = rmech_deg(50.0);
    rmech_force load;
    rmech_turn turn = sheave(85.0);
    rmech_direction to_load = {{0.3}, {-0.2}, {-1.0}};
    rmech_direction to_pull = {{-2.0}, {0.5}, {0.1}};
    rmech_force_band pull;
    rmech_turn_load on_turn;
    REQUIRE(rmech_redirect_load(&tension, &angle, &load, NULL) == RMECH_OK);
    show("redirect_load", load.newtons);
    REQUIRE(rmech_redirect_resultant(&turn, &to_load, &to_pull, &tension, RMECH_MOTION_LOWERING, &pull, &on_turn,
                                     NULL) == RMECH_OK);
    show("redirect_pull", pull.high.newtons);
    show("redirect_force_x", on_turn.force.x.newtons);
    to_pull.x.fraction = to_pull.y.fraction = to_pull.z.fraction = 0.0;
    REQUIRE(rmech_redirect_resultant(&turn, &to_load, &to_pull, &tension, RMECH_MOTION_LOWERING, &pull, &on_turn,
                                     NULL) == RMECH_ERR_VALUE);
    REQUIRE(rmech_redirect_load(NULL, &angle, &load, NULL) == RMECH_ERR_POINTER);
    REQUIRE(rmech_redirect_load(&tension, &angle, NULL, NULL) == RMECH_ERR_POINTER);
}

int main(void) {
    rope_of_two_turns();
    doubled_track();
    redirects();
    return 0;
}
