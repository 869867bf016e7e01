//! What a controller reads of a study: every member, bit by bit, against what Rust finds for the same site.

use crate::abi::header::Header;
use rope_checks::{FromC, assert_same_bits, numbers_from_c, top};
use rope_mechanics::operation::schedule::{
    Kept, LimitKind, LoadedLine, Outcome, Readings, Schedule, SetPoint, Trend,
};
use rope_mechanics::operation::site::Site;
use rope_mechanics::operation::study::Study;
use rope_mechanics::operation::verdict::Verdict;
use rope_mechanics::operation::{self, Asked};
use rope_mechanics::quantity::{Band, Force};
use std::ops::ControlFlow;

/// Numbers of one study by their names.
struct OfOne<'a> {
    c: &'a FromC,
    study: &'a str,
}

fn flag(is: bool) -> f64 {
    f64::from(u8::from(is))
}

/// An index, or -1.
fn index(at: Option<usize>) -> f64 {
    at.map_or(-1.0, |at| at as f64)
}

fn constant(name: &str) -> f64 {
    Header::get().constants[name] as f64
}

/// The sum of those of the header's bits that hold.
fn known<const N: usize>(bits: [(&str, bool); N]) -> f64 {
    bits.iter().map(|(name, known)| flag(*known) * constant(name)).sum()
}

fn limit(kind: LimitKind) -> f64 {
    constant(match kind {
        LimitKind::LitterLow => "RMECH_LIMIT_LITTER_LOW",
        LimitKind::LitterHigh => "RMECH_LIMIT_LITTER_HIGH",
        LimitKind::Factor => "RMECH_LIMIT_FACTOR",
        LimitKind::Reading => "RMECH_LIMIT_READING",
        LimitKind::CapstanPull => "RMECH_LIMIT_CAPSTAN_PULL",
        LimitKind::CapstanTail => "RMECH_LIMIT_CAPSTAN_TAIL",
        LimitKind::FrameMargin => "RMECH_LIMIT_FRAME_MARGIN",
        LimitKind::FrameFalls => "RMECH_LIMIT_FRAME_FALLS",
        LimitKind::WinchPull => "RMECH_LIMIT_WINCH_PULL",
        LimitKind::WinchCurrent => "RMECH_LIMIT_WINCH_CURRENT",
        LimitKind::TrackOnGround => "RMECH_LIMIT_TRACK_ON_GROUND",
        LimitKind::RopeTooShort => "RMECH_LIMIT_ROPE_TOO_SHORT",
        LimitKind::CarriageOnGround => "RMECH_LIMIT_CARRIAGE_ON_GROUND",
        LimitKind::NoBalance => "RMECH_LIMIT_NO_BALANCE",
        other => panic!("{other:?} has no number in the header"),
    })
}

fn trend(of: Trend) -> f64 {
    constant(match of {
        Trend::Rises => "RMECH_TREND_RISES",
        Trend::Steady => "RMECH_TREND_STEADY",
        Trend::Falls => "RMECH_TREND_FALLS",
        other => panic!("{other:?} has no number in the header"),
    })
}

impl OfOne<'_> {
    fn same(&self, what: &str, i: usize, member: &str, rust: f64) {
        let name = format!("{}.{what}.{i}.{member}", self.study);
        assert_same_bits!(self.c, &name, rust);
    }

    fn kept(&self, what: &str, i: usize, end: &str, kept: Option<&Kept>) {
        let value = kept.and_then(|kept| kept.value);
        let rows = [
            ("kind", kept.map_or(0.0, |kept| limit(kept.limit.kind))),
            ("component", kept.map_or(0.0, |kept| index(kept.limit.component))),
            ("has_value", flag(value.is_some())),
            ("value", value.unwrap_or(0.0)),
            ("allowed", kept.and_then(|kept| kept.allowed).unwrap_or(0.0)),
            ("slack", kept.map_or(0.0, |kept| kept.slack)),
        ];
        for (member, rust) in rows {
            self.same(what, i, &format!("{end}.{member}"), rust);
        }
    }

    fn band(&self, what: &str, i: usize, of: &str, band: Band<Force>) {
        for (member, rust) in [("low", band.low), ("expected", band.expected), ("high", band.high)] {
            self.same(what, i, &format!("{of}.{member}"), rust.value);
        }
    }

    fn readings(&self, what: &str, i: usize, of: &Readings) {
        self.same(what, i, "taking_in", of.taking_in.value);
        self.same(what, i, "easing", of.easing.value);
        self.band(what, i, "at_rest", of.at_rest);
    }

    fn line(&self, what: &str, i: usize, line: &LoadedLine) {
        self.same(what, i, "position", line.position as f64);
        self.readings(what, i, &line.reading);
        self.same(what, i, "strand_tension_head", line.strand_tension_head.value);
        self.same(what, i, "capstan_pull", line.capstan_pull.value);
        self.same(what, i, "litter_height", line.litter_height.value);
        self.same(what, i, "least_litter_height", line.least_litter_height.value);
        self.same(what, i, "sag", line.sag.value);
        self.same(what, i, "haul_pull", line.haul_pull.value);
    }

    fn set_point(&self, what: &str, i: usize, of: &SetPoint) {
        self.same(what, i, "line_count", of.loaded.len() as f64);
        self.same(what, i, "strand", of.strand.value);
        self.same(what, i, "rope_in_line", of.rope_in_line.value);
        self.same(what, i, "relaxed_strand", of.relaxed_strand.value);
        self.readings(what, i, &of.empty.reading);
        self.band(what, i, "reading_after_minutes", of.empty.reading_after_minutes);
        self.same(what, i, "strand_tension_head", of.empty.strand_tension_head.value);
        self.same(what, i, "capstan_pull", of.empty.capstan_pull.value);
        self.same(what, i, "sag", of.empty.sag.value);
    }

    fn settings(&self, schedule: &Schedule) {
        for (i, setting) in schedule.settings.iter().enumerate() {
            self.set_point("target", i, &setting.target);
            let same = |member: &str, rust: f64| self.same("setting", i, member, rust);
            let (shorter, longer, change) =
                (setting.shorter_passes.as_ref(), setting.longer_passes.as_ref(), setting.change.as_ref());
            let bits = known([
                ("RMECH_SETTING_HAS_SHORTER", shorter.is_some()),
                ("RMECH_SETTING_HAS_LONGER", longer.is_some()),
                ("RMECH_SETTING_HAS_CHANGE", change.is_some()),
                ("RMECH_SETTING_HAS_LOOSE", true),
                ("RMECH_SETTING_HAS_TIGHT", true),
            ]);
            same("known", bits);
            same("from", index(setting.from));
            same("to", setting.to as f64);
            same("can_be_set", flag(setting.can_be_set));
            same("narrower_than_friction", flag(setting.narrower_than_friction));
            same("holds_relaxed", flag(setting.holds_relaxed));
            same("stop", index(change.map(|change| change.stop)));
            same("both_hold", flag(change.is_some_and(|change| change.both_hold)));
            same("shorter_at", index(shorter.and_then(|end| end.position)));
            same("longer_at", index(longer.and_then(|end| end.position)));
            same("shortest", setting.shortest.value);
            same("longest", setting.longest.value);
            same("reading_loose", setting.readings[0].value);
            same("reading_tight", setting.readings[1].value);
            same("take_in", change.map_or(0.0, |change| change.take_in.value));
            same("reading_before", change.map_or(0.0, |change| change.reading_before.value));
            self.kept("setting", i, "shorter", shorter.map(|end| &end.passes));
            self.kept("setting", i, "longer", longer.map(|end| &end.passes));
            for (j, line) in setting.target.loaded.iter().enumerate() {
                self.line("setting_line", 10 * i + j, line);
            }
        }
    }

    fn places(&self, schedule: &Schedule) {
        for (i, place) in schedule.windows.iter().enumerate() {
            let clash = place.clash.as_ref();
            self.same("place", i, "position", index(place.position));
            self.same("place", i, "window_count", place.windows.len() as f64);
            self.same("place", i, "has_clash", flag(clash.is_some()));
            self.same("place", i, "clash_strand", clash.map_or(0.0, |clash| clash.strand.value));
            self.kept("place", i, "clash_shorter", clash.map(|clash| &clash.shorter));
            self.kept("place", i, "clash_longer", clash.map(|clash| &clash.longer));
            for (j, (window, [loose, tight])) in place.windows.iter().zip(&place.readings).enumerate() {
                let i = 10 * i + j;
                let bits = known([
                    ("RMECH_SETTING_HAS_SHORTER", window.shorter_passes.is_some()),
                    ("RMECH_SETTING_HAS_LONGER", window.longer_passes.is_some()),
                    ("RMECH_SETTING_HAS_LOOSE", loose.is_some()),
                    ("RMECH_SETTING_HAS_TIGHT", tight.is_some()),
                ]);
                self.same("window", i, "known", bits);
                self.same("window", i, "shortest", window.shortest.value);
                self.same("window", i, "longest", window.longest.value);
                self.same("window", i, "reading_loose", loose.map_or(0.0, |force| force.value));
                self.same("window", i, "reading_tight", tight.map_or(0.0, |force| force.value));
                self.kept("window", i, "shorter", window.shorter_passes.as_ref());
                self.kept("window", i, "longer", window.longer_passes.as_ref());
            }
        }
        for (i, stretch) in schedule.no_length.iter().enumerate() {
            self.same("no_length", i, "from", index(stretch.from));
            self.same("no_length", i, "to", index(stretch.to));
            self.same("no_length", i, "at", index(stretch.at));
            self.same("no_length", i, "strand", stretch.clash.strand.value);
            self.kept("no_length", i, "shorter", Some(&stretch.clash.shorter));
            self.kept("no_length", i, "longer", Some(&stretch.clash.longer));
        }
    }

    fn marks(&self, schedule: &Schedule) {
        for (i, mark) in schedule.marks.iter().enumerate() {
            let same = |member: &str, rust: f64| self.same("mark", i, member, rust);
            let (current, stop) = (mark.current, mark.stop_above_current);
            let bits = known([
                ("RMECH_MARK_HAS_CURRENT", current.is_some()),
                ("RMECH_MARK_HAS_STOP_CURRENT", stop.is_some()),
            ]);
            same("known", bits);
            same("mark", f64::from(mark.mark));
            same("reading_goes_on", trend(mark.reading_goes_on));
            same("current_goes_on", trend(mark.current_goes_on));
            same("rope_taken_in", mark.rope_taken_in.value);
            same("winch_rope", mark.winch_rope.value);
            same("carriage_x", mark.carriage.x.value);
            same("carriage_z", mark.carriage.z.value);
            same("slope_distance", mark.slope_distance.value);
            same("litter_height", mark.litter_height.value);
            self.band("mark", i, "reading", mark.reading);
            self.band("mark", i, "winch_pull", mark.winch_pull);
            same("current_low", current.map_or(0.0, |band| band.low.value));
            same("current_expected", current.map_or(0.0, |band| band.expected.value));
            same("current_high", current.map_or(0.0, |band| band.high.value));
            same("stop_above_reading", mark.stop_above_reading.value);
            same("stop_above_current", stop.map_or(0.0, |current| current.value));
        }
        for (i, seen) in schedule.seen.iter().enumerate() {
            self.same("seen", i, "rope_taken_in", seen.rope_taken_in.value);
            self.same("seen", i, "marks", seen.marks);
            self.same("seen", i, "slope_distance", seen.slope_distance.value);
        }
    }

    fn everything(&self, study: &Study) {
        let (schedule, limits) = (study.schedule.as_ref().unwrap(), &study.limits);
        let same = |member: &str, rust: f64| self.same("schedule", 0, member, rust);
        let bits = known([
            ("RMECH_SCHEDULE_HAS_SET_POINT", schedule.set_point.is_some()),
            ("RMECH_SCHEDULE_HAS_READING_LIMIT", limits.reading.is_some()),
            ("RMECH_SCHEDULE_HAS_CURRENT_LIMIT", limits.current.is_some()),
        ]);
        same("known", bits);
        let verdict = constant(match study.verdict.verdict {
            Verdict::Go => "RMECH_VERDICT_GO",
            Verdict::GoWith => "RMECH_VERDICT_GO_WITH",
            Verdict::NoGo => "RMECH_VERDICT_NO_GO",
            other => panic!("{other:?} has no number in the header"),
        });
        same("verdict", verdict);
        let outcome = constant(match schedule.outcome {
            Outcome::OneSetting => "RMECH_SCHEDULE_ONE_SETTING",
            Outcome::Moves => "RMECH_SCHEDULE_MOVES",
            Outcome::NoLength => "RMECH_SCHEDULE_NO_LENGTH",
            Outcome::NoGo => "RMECH_SCHEDULE_NO_GO",
            other => panic!("{other:?} has no number in the header"),
        });
        same("outcome", outcome);
        same("in_doubt", flag(schedule.in_doubt));
        same("fewest_if_exact", schedule.fewest_if_exact as f64);
        same("setting_count", schedule.settings.len() as f64);
        same("place_count", schedule.windows.len() as f64);
        same("no_length_count", schedule.no_length.len() as f64);
        same("mark_count", schedule.marks.len() as f64);
        same("position_count", schedule.seen.len() as f64);
        same("marks_given", flag(schedule.marks_given));
        same("mark_spacing", schedule.mark_spacing.value);
        same("edge_x", schedule.edge.x.value);
        same("edge_z", schedule.edge.z.value);
        same("reading_limit", limits.reading.map_or(0.0, |force| force.value));
        same("current_limit", limits.current.map_or(0.0, |current| current.value));
        if let Some(set_point) = &schedule.set_point {
            self.set_point("set_point", 0, set_point);
            for (j, line) in set_point.loaded.iter().enumerate() {
                self.line("set_point_line", j, line);
            }
        }
        self.settings(schedule);
        self.places(schedule);
        self.marks(schedule);
    }
}

#[test]
fn a_controller_reads_the_same_numbers_as_rust() {
    let text = std::fs::read_to_string(top().join("examples/dispatch-c/demo.json")).unwrap();
    let c = numbers_from_c("schedule.c");
    for (name, was, is, outcome) in [
        ("planned", "\"positions\": 200", "\"positions\": 30", Outcome::OneSetting),
        ("moves", "\"litter_height\": \"2.286 m\"", "\"litter_height\": \"1.2 m\"", Outcome::Moves),
        ("none", "\"factor\": 6.0", "\"factor\": 22.0", Outcome::NoLength),
    ] {
        assert_eq!(text.matches(was).count(), 1);
        let site: Site = serde_json::from_str(&text.replace(was, is)).unwrap();
        // Without what changes neither schedule nor verdict.
        let asked = Asked::EVERYTHING.with_alternatives(false).with_cures(false);
        let study = operation::solve_asked(&site, &asked, |_, _| ControlFlow::<()>::Continue(()));
        let study = study.unwrap().continue_value().unwrap();
        let schedule = study.schedule.as_ref().unwrap();
        assert_eq!(schedule.outcome, outcome);
        let one = OfOne { c: &c, study: name };
        one.everything(&study);
        println!("{name}: {} places, {} marks", schedule.windows.len(), schedule.marks.len());
    }
}
