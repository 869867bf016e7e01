//! A 3:1 on a redirect with losses, and a tackle of one's own.

use rope_checks::{assert_same_bits, numbers_from_c};
use rope_mechanics::quantity::{
    Force, Length, Ratio,
    unit::{meter, newton, ratio},
};
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::{Builder, Layout, Plan, Ready, Stop, Usual};

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
    let tackle = Usual::new(Ready::ThreeToOne).with_lead().build(&layout, &pulleys).unwrap();
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

    let plan = Plan::new(m(30.0)).unwrap().with_clearance(m(0.5)).unwrap().with_setback(m(0.1)).unwrap();
    let cycle = tackle.cycle(&plan).unwrap();
    assert_same_bits!(c, "throw", cycle.throw.load.value);
    assert_same_bits!(c, "all_rope_through_the_hand", cycle.hand.value);

    let mut rig = Builder::new();
    let anchor = rig.anchor_in_line("anchor", m(0.0)).unwrap();
    let on = rig.load_in_line("load", m(30.0)).unwrap();
    let block = rig.carrier_in_line("block", m(20.0)).unwrap();
    let crew = rig.anchor_in_line("crew", m(-2.0)).unwrap();
    rig.rope("first", &[Stop::End(anchor), Stop::Sheave(on, pulley(90.0)), Stop::End(block)]).unwrap();
    rig.rope("second", &[Stop::End(anchor), Stop::Sheave(block, pulley(90.0)), Stop::Hand(crew)]).unwrap();
    let own = rig.build().unwrap();
    let forces = own.lowering(load).unwrap();
    assert_same_bits!(c, "own_hand", forces.hand().value);
    assert_same_bits!(c, "own_anchor", forces.on(anchor).x.value);
}
