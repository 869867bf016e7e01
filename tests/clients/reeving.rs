//! One rope through its turns.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::geometry::{Direction3, Point3};
use rope_mechanics::motion::Motion;
use rope_mechanics::quantity::unit::{meter, newton, radian, ratio};
use rope_mechanics::quantity::{Angle, Force, Length, Ratio};
use rope_mechanics::reeving::{
    Bend, DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns, Known, Redirect, Reeving, Side, Strand,
    TrackKnown, redirect_load,
};
use rope_mechanics::sheave::Turn;

#[test]
fn c_and_rust_agree_on_a_rope_through_its_turns() {
    let c = numbers_from_c("reeving.c");
    let n = Force::new::<newton>;
    let r = Ratio::new::<ratio>;
    let at = |x, y, z| Point3::new(Length::new::<meter>(x), Length::new::<meter>(y), Length::new::<meter>(z));
    let sheave = |percent: f64| Turn::sheave(r(percent * 1e-2)).unwrap();

    let bar = Turn::bar(r(20.0 * 1e-2), r(25.0 * 1e-2)).unwrap();
    let bends =
        [Bend::at(at(-1.0, 1.5, -2.5), sheave(90.0)).unwrap(), Bend::at(at(0.0, 0.0, 0.0), bar).unwrap()];
    let rope = Reeving::new(&bends)
        .unwrap()
        .with_ends(at(-8.0, 2.0, -2.0), at(10.0, 0.0, -30.0))
        .unwrap()
        .with_strand(2, Strand::rising(n(-40.0)).unwrap())
        .unwrap();
    let rest = rope.tensions(Known::at(2, Side::Standing, n(2000.0)).unwrap(), Motion::AtRest).unwrap();
    assert_same_bits!(c, "pull_low", rest.parts()[0].pulling_side.low.value);
    assert_same_bits!(c, "pull_high", rest.parts()[0].pulling_side.high.value);
    assert_same_bits!(c, "top_low", rest.parts()[2].pulling_side.low.value);
    assert_same_bits!(c, "load_0", rest.turns()[0].load.value);
    assert_same_bits!(c, "wrap_1", rest.turns()[1].wrap.value);
    assert_same_bits!(c, "force_1_z", rest.turns()[1].force.unwrap().z.value);
    assert_same_bits!(c, "highest", rest.highest().tension.value);
    assert_same_bits!(c, "standing_end_z", rest.standing_end().unwrap().z.value);

    let places = DoubledTrackPlaces {
        capstan: at(-8.0, 2.0, -2.0),
        redirect: at(-1.0, 1.5, -2.5),
        head: at(0.0, 0.0, 0.0),
        far_sheave: at(70.0, 0.0, -45.0),
        anchor: at(-10.0, -1.0, -2.0),
    };
    let track = |frame| {
        DoubledTrack::new(
            places,
            DoubledTrackTurns { redirect: sheave(90.0), frame, far_sheave: sheave(90.0) },
        )
        .unwrap()
    };
    let tensions =
        track(Some(sheave(90.0))).tensions(TrackKnown::StrandsAtHead(n(3000.0)), Motion::Hauling).unwrap();
    assert_same_bits!(c, "capstan", tensions.capstan().high.value);
    assert_same_bits!(c, "cell", tensions.cell().low.value);
    assert_same_bits!(c, "strand_back", tensions.strand_back().standing_side.low.value);
    assert_same_bits!(c, "far_load", tensions.far_sheave().load.value);
    assert_same_bits!(c, "frame_z", tensions.frame().z.value);
    assert_same_bits!(c, "crossing_out", tensions.head_crossings()[0].value);
    assert_same_bits!(c, "crossing_back", tensions.head_crossings()[1].value);
    let free = track(None).tensions(TrackKnown::Cell(n(3000.0)), Motion::AtRest).unwrap();
    assert_same_bits!(c, "free_capstan", free.capstan().high.value);

    let angle = Angle::new::<radian>(50.0 * 0.017453292519943295);
    assert_same_bits!(c, "redirect_load", redirect_load(n(1000.0), angle).unwrap().value);
    let direction = |x, y, z| Direction3::new(r(x), r(y), r(z)).unwrap();
    let redirect = Redirect::new(sheave(85.0), direction(0.3, -0.2, -1.0), direction(-2.0, 0.5, 0.1))
        .load(n(1000.0), Motion::Lowering)
        .unwrap();
    assert_same_bits!(c, "redirect_pull", redirect.pull.high.value);
    assert_same_bits!(c, "redirect_force_x", redirect.force.x.value);
}
