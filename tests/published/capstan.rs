//! Rope round a capstan, a bollard or an edge.

use rope_mechanics::capstan::{Capstan, Hand, RaiseLowerTest};
use rope_mechanics::quantity::unit::{degree, kilogram, meter, newton, ratio, revolution};
use rope_mechanics::quantity::{Angle, Force, Length, Mass, Ratio, weight_of};

fn n(x: f64) -> Force {
    Force::new::<newton>(x)
}

fn deg(x: f64) -> Angle {
    Angle::new::<degree>(x)
}

fn turns(x: f64) -> Angle {
    Angle::new::<revolution>(x)
}

fn smooth(friction: f64) -> Capstan {
    Capstan::new(Ratio::new::<ratio>(friction), Ratio::new::<ratio>(friction)).unwrap()
}

fn tail(friction: f64, load: Force, wrap: Angle) -> Force {
    let band = smooth(friction).tail(load, wrap).unwrap();
    assert_eq!(band.low, band.high);
    band.high
}

fn tension_ratio(friction: f64, wrap: Angle) -> f64 {
    smooth(friction).load(n(1.0), wrap).unwrap().high.value
}

/// McLean, Schaum's outline, 9.9-17 p. 141 and 9.9-20 p. 142.
#[test]
fn mclean_schaum_9_9_17_and_9_9_20_rope_round_a_post() {
    assert!((tail(0.25, n(200.0), deg(180.0)).value - 91.2).abs() <= 0.05);
    // 714 N is printed with g = 9.8 m/s²; half a unit of its last digit.
    assert!((tail(0.2, n(900.0 * 9.8), turns(2.0)).value - 714.0).abs() <= 0.5);
}

/// Hibbeler & Gupta, example 8.9 p. 324: 500 N over two bends of 135°, μ 0.25 → 15.7 kg. g = 9.81 m/s².
#[test]
fn hibbeler_gupta_8_9_rope_over_two_bends() {
    let held = tail(0.25, n(500.0), deg(270.0)).value / 9.81;
    assert!((held - 15.7).abs() <= 0.05, "{held}");
}

/// Tayal 7.4, 7.6 and 7.5, which take e = 2.718: relative error μθ·(1 − 2.718/e) = 1.04e-4·μθ.
#[test]
fn tayal_7_4_to_7_6_ropes_and_a_band_brake() {
    let by_rounded_e = 1.04e-4;
    let check = |value: f64, printed: f64, exponent: f64| {
        assert!((value / printed - 1.0).abs() <= by_rounded_e * exponent + 5e-6, "{value} {printed}");
    };
    check(tail(0.25, n(1000.0), deg(180.0)).value, 455.975, 0.25 * 3.1416);
    check(tail(0.3, n(1000.0), turns(3.0)).value, 3.502_49, 0.3 * 18.85);
    // A band brake, 200 N on the tight side, 225° of wrap, radius 0.25 m: torque (T₁ − T₂)·r.
    let slack = tail(0.5, n(200.0), deg(225.0));
    let torque = (n(200.0) - slack) * Length::new::<meter>(0.25);
    // The torque takes up the error of the slack side by its share, T₂/(T₁ − T₂) = 0.163.
    check(torque.value, 42.9802, 0.5 * 3.927 * 0.163);
}

/// Delaney 2022 p. 88, μ 0.175: ratio, and the mass in hand that holds 100 kg.
#[test]
fn delaney_2022_p_88_ratios_by_turns() {
    let rows = [
        (0.25, 1.32, 75.97),
        (0.5, 1.73, 57.71),
        (1.0, 3.00, 33.30),
        (2.0, 9.02, 11.09),
        (3.0, 27.08, 3.69),
        (4.0, 81.31, 1.23),
        (5.0, 244.15, 0.41),
        (6.0, 733.15, 0.14),
    ];
    for (count, printed, hand_kg) in rows {
        assert!((tension_ratio(0.175, turns(count)) - printed).abs() <= 0.005, "{count}");
        let hand = tail(0.175, weight_of(Mass::new::<kilogram>(100.0)), turns(count));
        let hand = hand.value / weight_of(Mass::new::<kilogram>(1.0)).value;
        assert!((hand - hand_kg).abs() <= 0.005, "{count} {hand}");
    }
}

/// Kimbell 1981: wire rope in a notched stump, one turn, mean μ 0.1768 → ratio 9.22: the notch wedges like a
/// groove of 60°; without it the ratio would be 3.04.
#[test]
fn kimbell_1981_a_notched_stump() {
    let notch = smooth(0.1768).with_groove(deg(60.0)).unwrap();
    let held = notch.load(n(1.0), turns(1.0)).unwrap().high.value;
    assert!((held - 9.22).abs() <= 0.005, "{held}");
    assert!((tension_ratio(0.1768, turns(1.0)) - 3.04).abs() <= 0.005);
}

/// Beer & Johnston, hawser on a bollard: from memory. 7500 N held by 150 N on two turns → μ 0.311; with that μ,
/// three turns hold 52.7 kN.
#[test]
fn beer_johnston_a_hawser_on_a_bollard() {
    // μ printed to three digits moves the turns by 0.0005/0.311 of two.
    let needed = smooth(0.311).turns_to_hold(n(7500.0), n(150.0)).unwrap();
    assert!((needed.wrap.get::<revolution>() - 2.0).abs() <= 2.0 * 0.0005 / 0.311);
    let held = smooth(0.311).load(n(150.0), turns(3.0)).unwrap().high.value;
    assert!((held - 52.7e3).abs() <= 50.0, "{held}");
}

/// e^(μφ) as tabulated in an encyclopaedia, from memory; printed to two digits, or whole.
#[test]
fn encyclopaedia_table_of_ratios() {
    let rows: [(f64, [f64; 7]); 3] = [
        (1.0, [1.9, 3.5, 6.6, 12.0, 23.0, 43.0, 81.0]),
        (3.0, [6.6, 43.0, 286.0, 1881.0, 12392.0, 81612.0, 537_503.0]),
        (5.0, [23.0, 535.0, 12392.0, 286_751.0, 6_635_624.0, 153_552_935.0, 3_553_321_281.0]),
    ];
    for (count, row) in rows {
        for (i, printed) in (1..=7).zip(row) {
            let held = tension_ratio(0.1 * f64::from(i), turns(count));
            let tolerance = if printed < 10.0 { 0.05 } else { 0.5 };
            // f64 gives the exponent to 2 ulp, which e^x turns into 22·ε of the ratio.
            assert!((held - printed).abs() <= tolerance + 1e-14 * printed, "{count} {i} {held}");
        }
    }
    assert!((tension_ratio(0.7, turns(2.0)) - 6611.0).abs() <= 0.5);
}

/// Delaney 2022 p. 88: 75 kg raised and lowered over bars and edges on low-stretch rope with a polyester
/// sheath; pulls in kgf, printed to 1 kgf, and μ to two digits.
#[test]
fn delaney_2022_p_88_raise_and_lower_tests() {
    let rows: [(&str, f64, f64, f64, f64); 14] = [
        ("50 mm aluminium", 98.0, 50.0, 90.0, 0.21),
        ("50 mm aluminium", 89.0, 49.0, 90.0, 0.19),
        ("50 mm aluminium", 88.0, 35.0, 180.0, 0.15),
        ("60 mm anodised", 92.0, 53.0, 90.0, 0.18),
        ("60 mm anodised", 92.0, 52.0, 90.0, 0.18),
        ("60 mm anodised", 87.0, 36.0, 180.0, 0.14),
        ("43 mm galvanised steel", 103.0, 47.0, 90.0, 0.25),
        ("43 mm galvanised steel", 92.0, 47.0, 90.0, 0.21),
        ("43 mm galvanised steel", 125.0, 37.0, 180.0, 0.19),
        ("10 mm steel bar", 127.0, 29.0, 180.0, 0.24),
        ("12 mm steel bar", 140.0, 31.0, 180.0, 0.24),
        ("wood, flat", 179.0, 17.0, 180.0, 0.37),
        ("wood, on edge", 140.0, 15.0, 180.0, 0.36),
        ("concrete edge", 135.0, 34.0, 90.0, 0.44),
    ];
    let weight = |kg| weight_of(Mass::new::<kilogram>(kg));
    for (surface, raise, lower, wrap, printed) in rows {
        let test = RaiseLowerTest::new(weight(raise), weight(lower), deg(wrap)).unwrap();
        assert!((test.friction().value - printed).abs() <= 0.005, "{surface}: {}", test.friction().value);
        // Both directions give back the pulls of the test: the two coefficients are not the same.
        let band = test.turn(weight(75.0)).unwrap().band(deg(wrap)).unwrap();
        assert!((band.high.value * 75.0 - raise).abs() < 1e-12 * raise);
        assert!((band.low.value * 75.0 - lower).abs() < 1e-12 * raise);
    }
}

/// 2670 N on three turns: worked out beforehand from T·e^(−μθ), not published; printed to 1 N.
/// The hands: Mauthner, in Moyer, International Technical Rescue Symposium 2006.
#[test]
fn mauthner_in_moyer_2006_what_hands_hold_behind_three_turns() {
    for (friction, printed, hand) in [
        (0.10, 405.0, Hand::Strongest),
        (0.15, 158.0, Hand::Average),
        (0.20, 62.0, Hand::Average),
        (0.25, 24.0, Hand::Everybody),
    ] {
        let tail = tail(friction, n(2670.0), turns(3.0));
        assert!((tail.value - printed).abs() <= 0.5, "{friction} {}", tail.value);
        assert_eq!(Hand::that_holds(tail).unwrap(), hand);
    }
    assert_eq!(Hand::HELD_N, [46.0, 209.0, 425.0]);
}

// Brown, Friction Coefficients of Synthetic Ropes, NUC TP 544, 1977, has tables that could not be read, only its summary;
// the friction paper of Attaway, International Technical Rescue Symposium 1999, neither. No figure of them stands here.
