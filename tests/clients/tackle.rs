//! A 3:1 on a redirect with losses, and a tackle of one's own.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::haul::{HaulRedirect, LoadPull, Route};
use rope_mechanics::quantity::{
    Angle, Force, Length, Ratio,
    unit::{meter, newton, radian, ratio},
};
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::{
    Builder, CyclePlan, Layout, Preference, RopeStop, TackleSearch, Usual, UsualRatio,
};

fn m(x: f64) -> Length {
    Length::new::<meter>(x)
}

fn pulley(percent: f64) -> Turn {
    Turn::sheave(Ratio::new::<ratio>(percent * 1e-2)).unwrap()
}

#[test]
fn c_and_rust_agree_on_tackles() {
    let c = numbers_from_c("tackle.c");
    let layout = Layout::new(m(40.0), m(10.0)).unwrap();
    let pulleys = [pulley(85.0), pulley(85.0), pulley(95.0)];
    let tackle = Usual::new(UsualRatio::ThreeToOne).with_lead().build(&layout, &pulleys).unwrap();
    let advantage = tackle.advantage().unwrap();
    assert_same_bits!(c, "ideal", advantage.ideal.value);
    assert_same_bits!(c, "hauling", advantage.hauling.value);
    assert_same_bits!(c, "lowering", advantage.lowering.value);

    let load = Force::new::<newton>(2.0 * 1e3);
    let forces = tackle.hauling(load).unwrap();
    let tensions: Vec<_> = forces.parts().map(|p| p.tension.value).collect();
    assert_same_bits!(c, "hand", forces.hand().value);
    assert_same_bits!(c, "part_1", tensions[0]);
    assert_same_bits!(c, "part_3", tensions[2]);
    assert_same_bits!(c, "held", tackle.held(load).unwrap().parts().nth(1).unwrap().tension.value);

    let plan = CyclePlan::new(m(30.0)).unwrap().with_clearance(m(0.5)).unwrap().with_setback(m(0.1)).unwrap();
    let cycle = tackle.cycle(&plan).unwrap();
    assert_same_bits!(c, "throw", cycle.throw.load.value);
    assert_same_bits!(c, "all_rope_through_the_hand", cycle.hand.value);

    let sheaves: Vec<_> = forces.sheaves().collect();
    assert_same_bits!(c, "on_capture", sheaves[0].force.x.value);
    assert_same_bits!(c, "on_grab_sheave", sheaves[1].force.x.value);
    assert_same_bits!(c, "on_lead", sheaves[2].force.x.value);
    assert_same_bits!(c, "lead_turn", sheaves[2].turn.value);
    let carriers: Vec<_> = tackle.carriers().collect();
    assert_same_bits!(c, "on_anchor", forces.on(carriers[0]).x.value);
    assert_same_bits!(c, "grab_travel", tackle.travel_of(carriers[2]).value);
    let throw = tackle.throw(m(0.5)).unwrap();
    assert_same_bits!(c, "throw_alone", throw.load.value);
    assert_same_bits!(c, "throw_hand", throw.hand.value);
    assert_same_bits!(c, "setback", tackle.setback_ratio().unwrap().value);
    assert_same_bits!(c, "rope", tackle.rope_needed().value);

    let search =
        |available| TackleSearch::new(load, Force::new::<newton>(available), pulley(85.0), layout).unwrap();
    let fewest = search(800.0).find(Preference::FewestSheaves).unwrap();
    assert_same_bits!(c, "fewest_hand", fewest.hand.value);
    assert_same_bits!(c, "fewest_rope", fewest.rope.value);
    let least = search(500.0).with_lead(true).find(Preference::LeastRope).unwrap();
    assert_same_bits!(c, "least_hand", least.hand.value);
    assert_same_bits!(c, "least_rope", least.rope.value);

    let mut rig = Builder::new();
    let anchor = rig.anchor_in_line("anchor", m(0.0)).unwrap();
    let on = rig.load_in_line("load", m(30.0)).unwrap();
    let block = rig.carrier_in_line("block", m(20.0)).unwrap();
    let crew = rig.anchor_in_line("crew", m(-2.0)).unwrap();
    rig.rope("first", &[RopeStop::End(anchor), RopeStop::Sheave(on, pulley(90.0)), RopeStop::End(block)])
        .unwrap();
    rig.rope("second", &[RopeStop::End(anchor), RopeStop::Sheave(block, pulley(90.0)), RopeStop::Hand(crew)])
        .unwrap();
    let own = rig.build().unwrap();
    let forces = own.lowering(load).unwrap();
    assert_same_bits!(c, "own_hand", forces.hand().value);
    assert_same_bits!(c, "own_anchor", forces.on(anchor).x.value);
    assert_same_bits!(c, "own_travel", own.travel_of(block).value);
    assert_same_bits!(c, "own_sheave", forces.sheaves().nth(1).unwrap().force.x.value);
    assert_same_bits!(c, "own_hauling", own.advantage().unwrap().hauling.value);
    assert_same_bits!(c, "own_throw", own.throw(m(0.5)).unwrap().load.value);
    assert_same_bits!(c, "own_rope", own.rope_needed().value);
    let plan = CyclePlan::new(m(5.0)).unwrap().with_clearance(m(0.5)).unwrap().with_setback(m(0.1)).unwrap();
    assert_same_bits!(c, "own_cycle_hand", own.cycle(&plan).unwrap().hand.value);

    let over = HaulRedirect::new(pulley(90.0), Angle::new::<radian>(1.0)).unwrap();
    let line = Route::new(layout, pulley(85.0)).with_before(&[over]).unwrap().haul_with(own);
    let pull = LoadPull::steady(Force::new::<newton>(1500.0)).unwrap();
    assert_same_bits!(c, "own_haul", line.forces(pull).unwrap().hauling.value);
    assert_same_bits!(c, "own_haul_redirect", line.redirects(pull).unwrap().next().unwrap().hauling.value);

    let mut rig = Builder::new();
    let anchor = rig.anchor_in_line("anchor", m(0.0)).unwrap();
    let on = rig.load_in_line("load", m(30.0)).unwrap();
    let block = rig.carrier_in_line("block", m(20.0)).unwrap();
    let crew = rig.anchor_in_line("crew", m(-2.0)).unwrap();
    rig.rope("first", &[RopeStop::End(anchor), RopeStop::Sheave(on, pulley(90.0)), RopeStop::End(block)])
        .unwrap();
    rig.rope(
        "second",
        &[RopeStop::End(anchor), RopeStop::Capture(block, pulley(90.0)), RopeStop::Hand(crew)],
    )
    .unwrap();
    assert_same_bits!(c, "own_setback", rig.build().unwrap().setback_ratio().unwrap().value);
}
