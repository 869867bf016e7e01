//! The load taken over at the head against `changeover.py`, which shares no formula with the library.

use super::{Rig, site};
use rope_mechanics::geometry::Point3;
use rope_mechanics::operation::changeover::{ChangeoverStep, PullsIn, StageKind, Swing};
use rope_mechanics::operation::study::Study;
use rope_mechanics::operation::{self, Asked};
use rope_mechanics::quantity::unit::{meter, newton, percent};
use rope_mechanics::quantity::{Length, Ratio};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::ops::ControlFlow;

/// What the simulation found of a rig.
#[derive(Debug, Deserialize)]
struct Found {
    rig: Rig,
    /// From the head to the load when the track is let down.
    rope: f64,
    strand: f64,
    /// Lean from plumb, x and z of the load, haul rope, strand at the head, track rope let out; and the errors of each.
    rows: Vec<[f64; 6]>,
    errors: [f64; 6],
    /// From the head to the load on the haul rope alone.
    plumb: f64,
    weight: f64,
    /// So far inward: haul rope and belay rope.
    swings: Vec<[f64; 3]>,
    /// Of a tripod, under the haul rope alone without friction.
    legs: Vec<f64>,
}

fn study(found: &Found) -> Study {
    let mut site = site(&found.rig, found.rig.load.wheel_friction);
    site.changeover.rope = Some(Length::new::<meter>(found.rope));
    site.haul.head_efficiency = Some(Ratio::new::<percent>(100.0).into());
    let asked = Asked::PLAIN.with_changeover(true);
    match operation::solve_asked(&site, &asked, |_, _| ControlFlow::<()>::Continue(())).unwrap() {
        ControlFlow::Continue(study) => study,
        ControlFlow::Break(()) => unreachable!("nothing breaks it off"),
    }
}

#[test]
fn the_track_is_let_down_as_pieces_of_rope_in_balance_say() {
    let all: BTreeMap<String, Found> = serde_json::from_str(include_str!("changeover.json")).unwrap();
    let mut compared = 0;
    for (name, found) in &all {
        let study = study(found);
        let changeover = study.changeover.as_ref().unwrap_or_else(|| panic!("{name}: {:?}", study.warnings));
        // Its error is what it changes from 80 to 160 pieces, by three; it prints all digits.
        let near = |what: &str, at: f64, ours: f64, theirs: f64, error: f64, floor: f64| {
            let off = (ours - theirs).abs();
            assert!(
                off <= 1.1 * error + floor,
                "{name}, {what} at {at}: {ours}, the simulation {theirs} ± {error}"
            );
        };
        near("strand", 0.0, study.unloaded.strand_length.value, found.strand, 0.0, 1e-5);
        let height = found.rig.head[1] - found.rig.base;
        let lean =
            |step: &ChangeoverStep| (step.load.x.get::<meter>()).atan2(height - step.load.z.get::<meter>());
        for row in &found.rows {
            let [wanted, x, z, haul, strand, out] = *row;
            let steps = changeover.steps.iter().filter(|step| step.stage == StageKind::LetDown);
            let step =
                steps.min_by(|a, b| (lean(a) - wanted).abs().total_cmp(&(lean(b) - wanted).abs())).unwrap();
            let [lean_error, x_error, z_error, haul_error, strand_error, out_error] = found.errors;
            near("lean", wanted, lean(step), wanted, lean_error, 1e-7);
            near("x", wanted, step.load.x.get::<meter>(), x, x_error, 1e-6);
            near("z", wanted, step.load.z.get::<meter>(), z, z_error, 1e-6);
            near("haul rope", wanted, step.haul.expected.get::<newton>(), haul, haul_error, 1e-3);
            near(
                "strand",
                wanted,
                step.strand_tension_head.expected.get::<newton>(),
                strand,
                strand_error,
                1e-3,
            );
            if let Some(ours) = step.track_out {
                near("let out", wanted, ours.get::<meter>(), out, out_error, 1e-5);
            }
            compared += 1;
        }
        let plumb = changeover.steps.iter().rfind(|step| step.stage == StageKind::LetDown).unwrap();
        near("plumb", 0.0, plumb.haul_length.get::<meter>(), found.plumb, 0.0, 1e-6);
        near("weight", 0.0, plumb.haul.expected.get::<newton>(), found.weight, 0.0, 1e-6);
        for (ours, theirs) in plumb.frame.iter().flat_map(|frame| &frame.legs).zip(&found.legs) {
            near("leg", 0.0, ours.get::<newton>(), *theirs, 0.0, 1e-6 * theirs);
        }
        let m = Length::new::<meter>;
        let [x, y, z] = found.rig.belay.device.map(m);
        let from = PullsIn::RopeFrom(Point3::new(x, y, z));
        let head = Point3::new(m(0.0), m(0.0), m(height));
        let swing = Swing::new(head, plumb.haul.expected, from).unwrap();
        for [inward, haul, belay] in &found.swings {
            let held = swing.at(*inward, height - found.plumb).unwrap();
            near("haul rope", *inward, held.haul.get::<newton>(), *haul, 0.0, 1e-5 * haul);
            near("belay rope", *inward, held.inward.get::<newton>(), *belay, 0.0, 1e-5 * haul);
        }
    }
    assert_eq!((all.len(), compared), (8, 48));
}
