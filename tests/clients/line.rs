//! A line from a frame down to a far anchor.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::line::catenary::{Branch, Catenary};
use rope_mechanics::line::elastic::{ElasticSpan, End};
use rope_mechanics::quantity::{Force, Length, LineWeight, unit::meter, unit::newton};
use rope_mechanics::rope::Stretch;

#[test]
fn c_and_rust_agree_on_a_line() {
    let c = numbers_from_c("line.c");
    let (m, n) = (Length::new::<meter>, Force::new::<newton>);
    let weight: LineWeight = n(1.667) / m(1.0);
    let supports = ElasticSpan::new(m(70.0), m(-45.0), weight, Stretch::linear(n(80e3)).unwrap()).unwrap();
    let state = supports.with_length(m(80.25)).unwrap().solve().unwrap();
    assert_same_bits!(c, "horizontal_tension", state.horizontal_tension().value);
    assert_same_bits!(c, "first_tension", state.first_tension().value);
    assert_same_bits!(c, "last_tension", state.last_tension().value);
    assert_same_bits!(c, "first_up", state.first_reaction().z.value);
    assert_same_bits!(c, "last_up", state.last_reaction().z.value);
    assert_same_bits!(c, "ends_horizontal_tension", state.horizontal_tension().value);
    assert_same_bits!(c, "ends_first_tension", state.first_tension().value);
    assert_same_bits!(c, "ends_last_tension", state.last_tension().value);
    assert_same_bits!(c, "ends_first_up", state.first_reaction().z.value);
    assert_same_bits!(c, "ends_last_up", state.last_reaction().z.value);
    assert_same_bits!(c, "ends_residual", state.report().residual);
    // The last of 150, of which three can't be solved.
    let rope = Stretch::linear(n(80e3)).unwrap();
    let last = ElasticSpan::new(m(70.0), m(-45.0 + 0.5 * 149.0), weight, rope).unwrap();
    let last = last.with_length(m(80.25 + 0.01 * 149.0)).unwrap().solve().unwrap();
    assert_same_bits!(c, "many_solved", 147.0);
    assert_same_bits!(c, "many_first_tension", last.first_tension().value);
    assert_same_bits!(c, "sag", state.sag().value);
    assert_same_bits!(c, "lowest_x", state.lowest_point().x.value);
    assert_same_bits!(c, "lowest_z", state.lowest_point().z.value);
    assert_same_bits!(c, "stretched_length", state.stretched_length().value);
    assert_same_bits!(c, "residual", state.report().residual);
    assert_same_bits!(c, "greatest_strain", state.greatest_strain().value);
    let middle = state.points(5).nth(2).unwrap();
    assert_same_bits!(c, "middle_x", middle.x.value);
    assert_same_bits!(c, "middle_z", middle.z.value);
    assert_same_bits!(c, "middle_tension", state.tension_at(state.length() * 0.5).unwrap().value);

    let tension = n(3000.0);
    assert_same_bits!(
        c,
        "length_for_tension",
        supports.length_for_tension(End::First, tension).unwrap().value
    );
    let length = supports.length_for_horizontal_tension(tension).unwrap();
    assert_same_bits!(c, "length_for_horizontal_tension", length.value);
    assert_same_bits!(c, "length_for_sag", supports.length_for_sag(m(2.0)).unwrap().value);

    let rigid = Catenary::new(m(70.0), m(-45.0), weight).unwrap();
    assert_same_bits!(c, "catenary_by_sag", rigid.by_sag(m(2.0)).unwrap().first_tension().value);
    let by_tension = rigid.by_horizontal_tension(tension).unwrap();
    assert_same_bits!(c, "catenary_by_horizontal_tension", by_tension.length().value);
    let slack = rigid.by_end_tension(End::Last, tension, Branch::Slack).unwrap();
    assert_same_bits!(c, "catenary_by_end_tension", slack.length().value);
    assert_same_bits!(c, "catenary_by_length", rigid.by_length(m(90.0)).unwrap().first_tension().value);
}
