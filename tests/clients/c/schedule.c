/* What a controller reads of a study: every member of every struct, on the demo site as it is, with a lower greatest height
 * (the rope is set anew on the way), and with a factor that no length of rope keeps. */
#include "client.h"

static rmech_error error = RMECH_INIT(rmech_error);

/* Of one study, by what it is asked for: "moves.mark.3.pull". */
static const char *study = "";

static void show_number(const char *what, size_t i, const char *member, double value) {
    char name[160];
    snprintf(name, sizeof name, "%s.%s.%zu.%s", study, what, i, member);
    show(name, value);
}

static void show_kept(const char *what, size_t i, const char *end, const rmech_kept *kept) {
    char member[64];
    const double values[6] = {kept->kind, kept->component, kept->has_value, kept->value, kept->allowed, kept->slack};
    const char *names[6] = {"kind", "component", "has_value", "value", "allowed", "slack"};
    REQUIRE(kept->reserved == 0);
    for (int k = 0; k < 6; k++) {
        snprintf(member, sizeof member, "%s.%s", end, names[k]);
        show_number(what, i, member, values[k]);
    }
}

static void show_band(const char *what, size_t i, const char *of, const rmech_expected_force *band) {
    char member[64];
    const double values[3] = {band->low.newtons, band->expected.newtons, band->high.newtons};
    const char *names[3] = {"low", "expected", "high"};
    for (int k = 0; k < 3; k++) {
        snprintf(member, sizeof member, "%s.%s", of, names[k]);
        show_number(what, i, member, values[k]);
    }
}

static void show_readings(const char *what, size_t i, const rmech_cell_readings *of) {
    show_number(what, i, "taking_in", of->taking_in.newtons);
    show_number(what, i, "easing", of->easing.newtons);
    show_band(what, i, "at_rest", &of->at_rest);
}

static void show_line(const char *what, size_t i, const rmech_loaded_line *line) {
    show_number(what, i, "position", line->position);
    show_readings(what, i, &line->reading);
    show_number(what, i, "strand_tension_head", line->strand_tension_head.newtons);
    show_number(what, i, "capstan_pull", line->capstan_pull.newtons);
    show_number(what, i, "litter_height", line->litter_height.metres);
    show_number(what, i, "least_litter_height", line->least_litter_height.metres);
    show_number(what, i, "sag", line->sag.metres);
    show_number(what, i, "haul_pull", line->haul_pull.newtons);
}

static void show_set_point(const char *what, size_t i, const rmech_set_point *of) {
    show_number(what, i, "line_count", of->line_count);
    show_number(what, i, "strand", of->strand.metres);
    show_number(what, i, "rope_in_line", of->rope_in_line.metres);
    show_number(what, i, "relaxed_strand", of->relaxed_strand.metres);
    show_readings(what, i, &of->reading);
    show_band(what, i, "reading_after_minutes", &of->reading_after_minutes);
    show_number(what, i, "strand_tension_head", of->strand_tension_head.newtons);
    show_number(what, i, "capstan_pull", of->capstan_pull.newtons);
    show_number(what, i, "sag", of->sag.metres);
}

static void settings(const rmech_operation *operation, uint32_t count) {
    for (size_t i = 0; i < count; i++) {
        rmech_track_setting setting = RMECH_INIT(rmech_track_setting);
        rmech_set_point set_point = RMECH_INIT(rmech_set_point);
        REQUIRE(rmech_operation_setting(operation, i, &setting, &set_point, &error) == RMECH_OK);
        show_set_point("target", i, &set_point);
        show_number("setting", i, "known", setting.known);
        show_number("setting", i, "from", setting.from);
        show_number("setting", i, "to", setting.to);
        show_number("setting", i, "can_be_set", setting.can_be_set);
        show_number("setting", i, "narrower_than_friction", setting.narrower_than_friction);
        show_number("setting", i, "holds_relaxed", setting.holds_relaxed);
        show_number("setting", i, "stop", setting.stop);
        show_number("setting", i, "both_hold", setting.both_hold);
        show_number("setting", i, "shorter_at", setting.shorter_at);
        show_number("setting", i, "longer_at", setting.longer_at);
        show_number("setting", i, "shortest", setting.shortest.metres);
        show_number("setting", i, "longest", setting.longest.metres);
        show_number("setting", i, "reading_loose", setting.reading_loose.newtons);
        show_number("setting", i, "reading_tight", setting.reading_tight.newtons);
        show_number("setting", i, "take_in", setting.take_in.metres);
        show_number("setting", i, "reading_before", setting.reading_before.newtons);
        show_kept("setting", i, "shorter", &setting.shorter_passes);
        show_kept("setting", i, "longer", &setting.longer_passes);
        REQUIRE(setting.reserved == 0);
        /* The same without its set-point. */
        rmech_track_setting twin = RMECH_INIT(rmech_track_setting);
        REQUIRE(rmech_operation_setting(operation, i, &twin, NULL, &error) == RMECH_OK);
        REQUIRE(memcmp(&twin, &setting, sizeof twin) == 0);
        int at_stop = 0;
        for (size_t j = 0; j < set_point.line_count; j++) {
            rmech_loaded_line line = RMECH_INIT(rmech_loaded_line);
            REQUIRE(rmech_operation_setting_line(operation, i, j, &line, &error) == RMECH_OK);
            show_line("setting_line", 10 * i + j, &line);
            at_stop |= (int32_t)line.position == setting.stop;
        }
        /* What the cell shows after a change is among them. */
        REQUIRE(at_stop == ((setting.known & RMECH_SETTING_HAS_CHANGE) != 0));
        rmech_loaded_line beyond = RMECH_INIT(rmech_loaded_line);
        REQUIRE(rmech_operation_setting_line(operation, i, set_point.line_count, &beyond, &error) == RMECH_ERR_VALUE);
        REQUIRE(strcmp(error.field, "number") == 0);
    }
}

static void places(const rmech_operation *operation, uint32_t count) {
    for (size_t i = 0; i < count; i++) {
        rmech_schedule_place place = RMECH_INIT(rmech_schedule_place);
        REQUIRE(rmech_operation_place(operation, i, &place, &error) == RMECH_OK);
        show_number("place", i, "position", place.position);
        show_number("place", i, "window_count", place.window_count);
        show_number("place", i, "has_clash", place.has_clash);
        show_number("place", i, "clash_strand", place.clash_strand.metres);
        show_kept("place", i, "clash_shorter", &place.clash_shorter);
        show_kept("place", i, "clash_longer", &place.clash_longer);
        for (size_t j = 0; j < place.window_count; j++) {
            rmech_strand_window window = RMECH_INIT(rmech_strand_window);
            REQUIRE(rmech_operation_window(operation, i, j, &window, &error) == RMECH_OK);
            show_number("window", 10 * i + j, "known", window.known);
            show_number("window", 10 * i + j, "shortest", window.shortest.metres);
            show_number("window", 10 * i + j, "longest", window.longest.metres);
            show_number("window", 10 * i + j, "reading_loose", window.reading_loose.newtons);
            show_number("window", 10 * i + j, "reading_tight", window.reading_tight.newtons);
            show_kept("window", 10 * i + j, "shorter", &window.shorter_passes);
            show_kept("window", 10 * i + j, "longer", &window.longer_passes);
        }
        rmech_strand_window beyond = RMECH_INIT(rmech_strand_window);
        REQUIRE(rmech_operation_window(operation, i, place.window_count, &beyond, &error) == RMECH_ERR_VALUE);
        REQUIRE(strcmp(error.field, "number") == 0);
    }
}

static void marks(const rmech_operation *operation, uint32_t count) {
    for (size_t i = 0; i < count; i++) {
        rmech_haul_mark mark = RMECH_INIT(rmech_haul_mark);
        REQUIRE(rmech_operation_mark(operation, i, &mark, &error) == RMECH_OK);
        show_number("mark", i, "known", mark.known);
        show_number("mark", i, "mark", mark.mark);
        show_number("mark", i, "reading_goes_on", mark.reading_goes_on);
        show_number("mark", i, "current_goes_on", mark.current_goes_on);
        show_number("mark", i, "rope_taken_in", mark.rope_taken_in.metres);
        show_number("mark", i, "winch_rope", mark.winch_rope.metres);
        show_number("mark", i, "carriage_x", mark.carriage_x.metres);
        show_number("mark", i, "carriage_z", mark.carriage_z.metres);
        show_number("mark", i, "slope_distance", mark.slope_distance.metres);
        show_number("mark", i, "litter_height", mark.litter_height.metres);
        show_band("mark", i, "reading", &mark.reading);
        show_band("mark", i, "winch_pull", &mark.winch_pull);
        show_number("mark", i, "current_low", mark.current.low.amperes);
        show_number("mark", i, "current_expected", mark.current.expected.amperes);
        show_number("mark", i, "current_high", mark.current.high.amperes);
        show_number("mark", i, "stop_above_reading", mark.stop_above_reading.newtons);
        show_number("mark", i, "stop_above_current", mark.stop_above_current.amperes);
        REQUIRE(mark.reserved == 0);
    }
}

static void everything(const rmech_operation *operation) {
    rmech_schedule of = RMECH_INIT(rmech_schedule);
    REQUIRE(rmech_operation_schedule(operation, &of, &error) == RMECH_OK);
    show_number("schedule", 0, "known", of.known);
    show_number("schedule", 0, "verdict", of.verdict);
    show_number("schedule", 0, "outcome", of.outcome);
    show_number("schedule", 0, "in_doubt", of.in_doubt);
    show_number("schedule", 0, "fewest_if_exact", of.fewest_if_exact);
    show_number("schedule", 0, "setting_count", of.setting_count);
    show_number("schedule", 0, "place_count", of.place_count);
    show_number("schedule", 0, "no_length_count", of.no_length_count);
    show_number("schedule", 0, "mark_count", of.mark_count);
    show_number("schedule", 0, "position_count", of.position_count);
    show_number("schedule", 0, "marks_given", of.marks_given);
    show_number("schedule", 0, "mark_spacing", of.mark_spacing.metres);
    show_number("schedule", 0, "edge_x", of.edge_x.metres);
    show_number("schedule", 0, "edge_z", of.edge_z.metres);
    show_number("schedule", 0, "reading_limit", of.reading_limit.newtons);
    show_number("schedule", 0, "current_limit", of.current_limit.amperes);

    rmech_set_point set_point = RMECH_INIT(rmech_set_point);
    rmech_loaded_line line = RMECH_INIT(rmech_loaded_line);
    if (of.known & RMECH_SCHEDULE_HAS_SET_POINT) {
        REQUIRE(rmech_operation_set_point(operation, &set_point, &error) == RMECH_OK);
        show_set_point("set_point", 0, &set_point);
        for (size_t j = 0; j < set_point.line_count; j++) {
            REQUIRE(rmech_operation_set_point_line(operation, j, &line, &error) == RMECH_OK);
            show_line("set_point_line", j, &line);
        }
        REQUIRE(rmech_operation_set_point_line(operation, set_point.line_count, &line, &error) == RMECH_ERR_VALUE);
    } else {
        /* With a no-go there is no set-point, and nothing is written. */
        set_point.strand = rmech_m(-1.0);
        REQUIRE(rmech_operation_set_point(operation, &set_point, &error) == RMECH_ERR_GEOMETRY);
        REQUIRE(rmech_operation_set_point_line(operation, 0, &line, &error) == RMECH_ERR_GEOMETRY);
        REQUIRE(set_point.strand.metres == -1.0 && of.verdict == RMECH_VERDICT_NO_GO && of.mark_count == 0);
    }
    settings(operation, of.setting_count);
    places(operation, of.place_count);
    for (size_t i = 0; i < of.no_length_count; i++) {
        rmech_no_length stretch = RMECH_INIT(rmech_no_length);
        REQUIRE(rmech_operation_no_length(operation, i, &stretch, &error) == RMECH_OK);
        show_number("no_length", i, "from", stretch.from);
        show_number("no_length", i, "to", stretch.to);
        show_number("no_length", i, "at", stretch.at);
        show_number("no_length", i, "strand", stretch.strand.metres);
        show_kept("no_length", i, "shorter", &stretch.shorter);
        show_kept("no_length", i, "longer", &stretch.longer);
    }
    marks(operation, of.mark_count);
    for (size_t i = 0; i < of.position_count; i++) {
        rmech_seen seen = RMECH_INIT(rmech_seen);
        REQUIRE(rmech_operation_seen(operation, i, &seen, &error) == RMECH_OK);
        show_number("seen", i, "rope_taken_in", seen.rope_taken_in.metres);
        show_number("seen", i, "marks", seen.marks.fraction);
        show_number("seen", i, "slope_distance", seen.slope_distance.metres);
        REQUIRE(seen.flags == 0);
    }
}

/* Each function refuses what it can't read, what isn't there, and a struct of no version. */
static void refusals(const rmech_operation *operation) {
    rmech_schedule schedule = RMECH_INIT(rmech_schedule);
    rmech_track_setting setting = RMECH_INIT(rmech_track_setting);
    rmech_set_point set_point = RMECH_INIT(rmech_set_point);
    rmech_loaded_line line = RMECH_INIT(rmech_loaded_line);
    rmech_schedule_place place = RMECH_INIT(rmech_schedule_place);
    rmech_strand_window window = RMECH_INIT(rmech_strand_window);
    rmech_no_length stretch = RMECH_INIT(rmech_no_length);
    rmech_haul_mark mark = RMECH_INIT(rmech_haul_mark);
    rmech_seen seen = RMECH_INIT(rmech_seen);
    const size_t far = SIZE_MAX;

    REQUIRE(rmech_operation_schedule(NULL, &schedule, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_set_point(NULL, &set_point, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_set_point_line(NULL, 0, &line, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_setting(NULL, 0, &setting, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_setting_line(NULL, 0, 0, &line, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_place(NULL, 0, &place, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_window(NULL, 0, 0, &window, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_no_length(NULL, 0, &stretch, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_mark(NULL, 0, &mark, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_seen(NULL, 0, &seen, &error) == RMECH_ERR_POINTER);

    REQUIRE(rmech_operation_schedule(operation, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_set_point(operation, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_set_point_line(operation, 0, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_setting(operation, 0, NULL, &set_point, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_setting_line(operation, 0, 0, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_place(operation, 0, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_window(operation, 0, 0, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_mark(operation, 0, NULL, &error) == RMECH_ERR_POINTER);
    REQUIRE(rmech_operation_seen(operation, 0, NULL, &error) == RMECH_ERR_POINTER);

    REQUIRE(rmech_operation_set_point_line(operation, far, &line, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_operation_setting(operation, far, &setting, &set_point, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_operation_setting_line(operation, far, 0, &line, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "setting") == 0);
    REQUIRE(rmech_operation_place(operation, far, &place, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_operation_window(operation, far, 0, &window, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "place") == 0);
    REQUIRE(rmech_operation_no_length(operation, far, &stretch, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_operation_mark(operation, far, &mark, &error) == RMECH_ERR_VALUE);
    REQUIRE(rmech_operation_seen(operation, far, &seen, &error) == RMECH_ERR_VALUE);
    REQUIRE(strcmp(error.field, "number") == 0);

    schedule.struct_size -= 8;
    setting.struct_size -= 8;
    line.struct_size -= 8;
    mark.struct_size += 8;
    REQUIRE(rmech_operation_schedule(operation, &schedule, &error) == RMECH_ERR_STRUCT_SIZE);
    REQUIRE(rmech_operation_setting_line(operation, 0, 0, &line, &error) == RMECH_ERR_STRUCT_SIZE);
    REQUIRE(rmech_operation_mark(operation, 0, &mark, &error) == RMECH_ERR_STRUCT_SIZE);
    /* Neither output is written where one can't be. */
    set_point.strand = rmech_m(-1.0);
    REQUIRE(rmech_operation_setting(operation, 0, &setting, &set_point, &error) == RMECH_ERR_STRUCT_SIZE);
    REQUIRE(set_point.strand.metres == -1.0);
}

/* The demo site with something else in the place of a text that stands in it once. */
static void of(const char *name, const char *site, const char *was, const char *is) {
    static char changed[100000];
    const char *at = strstr(site, was);
    REQUIRE(at != NULL && strstr(at + 1, was) == NULL && strlen(site) + strlen(is) < sizeof changed);
    snprintf(changed, sizeof changed, "%.*s%s%s", (int)(at - site), site, is, at + strlen(was));
    rmech_operation *operation = NULL;
    study = name;
    REQUIRE(rmech_operation_create(changed, strlen(changed), NULL, &operation, &error) == RMECH_OK);
    everything(operation);
    if (strcmp(name, "planned") == 0) {
        refusals(operation);
    }
    rmech_operation_destroy(operation);
}

/* With an argument only the first site, which has fewer positions: under valgrind the others take minutes. */
int main(int argc, char **argv) {
    (void)argv;
    static char site[100000];
    char path[4096];
    const char *end = strstr(__FILE__, "tests/clients/c/schedule.c");
    REQUIRE(end != NULL);
    snprintf(path, sizeof path, "%.*sexamples/dispatch-c/demo.json", (int)(end - __FILE__), __FILE__);
    FILE *file = fopen(path, "rb");
    REQUIRE(file != NULL);
    size_t bytes = fread(site, 1, sizeof site - 1, file);
    fclose(file);
    site[bytes] = '\0';
    /* Fewer positions take less time. */
    of("planned", site, "\"positions\": 200", "\"positions\": 30");
    if (argc > 1) return 0;
    of("moves", site, "\"litter_height\": \"2.286 m\"", "\"litter_height\": \"1.2 m\"");
    of("none", site, "\"factor\": 6.0", "\"factor\": 22.0");
    return 0;
}
