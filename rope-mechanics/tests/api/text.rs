//! Quantities as text, read strictly and written so that a crew can read them.

use proptest::prelude::*;
use rope_mechanics::quantity::{
    Angle, Area, ElectricCharge, ElectricCurrent, ElectricPotential, ElectricalResistance, Energy, Force,
    Length, LineMass, LineWeight, Mass, MotorConstant, Power, Ratio, ThermodynamicTemperature, Time,
    TurningSpeed, Velocity,
};
use rope_mechanics::text::{self, Text, TextError, as_text};
use serde::{Deserialize, Serialize};

/// The SI value that a text stands for.
macro_rules! reads {
    ($($quantity:ident: $($text:literal = $value:expr),+;)*) => { $($(
        let found = $quantity::from_text($text).unwrap().value;
        let wanted: f64 = $value;
        assert!((found - wanted).abs() <= 2.0 * f64::EPSILON * wanted.abs(), "{}: {found}, not {wanted}", $text);
    )+)* };
}

#[test]
fn every_unit_of_the_trade_is_read_with_or_without_a_space() {
    let lbf = 4.448_221_615_260_5;
    reads! {
        Force: "930 lbf" = 930.0 * lbf, "930lbf" = 930.0 * lbf, "4.14 kN" = 4140.0, "12 N" = 12.0, "1e3 N" = 1000.0,
            "100 kgf" = 980.665, " -3 N " = -3.0;
        Length: "280 ft" = 280.0 * 0.3048, "12.5 mm" = 0.0125, "0.5 m" = 0.5, "3 in" = 0.0762, "2 km" = 2000.0;
        LineMass: "85 g/m" = 0.085, "0.1 kg/m" = 0.1, "1 lb/ft" = 0.453_592_37 / 0.3048;
        LineWeight: "0.83 N/m" = 0.83;
        Mass: "250 kg" = 250.0, "550 lb" = 550.0 * 0.453_592_37, "2 t" = 2000.0;
        Angle: "35 deg" = 35f64.to_radians(), "35°" = 35f64.to_radians(), "1 rad" = 1.0;
        Ratio: "2 %" = 0.02;
        ThermodynamicTemperature: "20 °C" = 293.15, "-40 °F" = 233.15, "300 K" = 300.0;
        Time: "12 min" = 720.0, "20 h" = 72_000.0;
        Velocity: "18 ft/min" = 18.0 * 0.3048 / 60.0, "0.1 m/s" = 0.1;
        ElectricCurrent: "65 A" = 65.0;
        ElectricPotential: "25.6 V" = 25.6;
        ElectricalResistance: "8 mohm" = 0.008, "8 mΩ" = 0.008;
        ElectricCharge: "50 Ah" = 180_000.0;
        Power: "1 hp" = 550.0 * 0.3048 * lbf;
        Energy: "1 Wh" = 3600.0;
        MotorConstant: "0.055 N·m/A" = 0.055;
        TurningSpeed: "60 rpm" = core::f64::consts::TAU;
        Area: "35 mm²" = 35e-6;
    }
}

#[test]
fn what_is_not_one_number_and_one_unit_is_refused() {
    for bad in
        ["", " ", "N", "kN 4", "NaN N", "inf N", "-inf N", "infinity N", "1,000 N", ".5 N", "5. N", "1_000 N"]
    {
        assert!(matches!(Force::from_text(bad), Err(TextError::NotANumber { .. })), "{bad}");
    }
    for bad in ["4 5 N", "0x10 N", "4 N N", "4 m", "4 e3 N", "4 N/m", "1e N"] {
        assert!(matches!(Force::from_text(bad), Err(TextError::UnknownUnit { .. })), "{bad}");
    }
    assert!(matches!(Force::from_text("4.5"), Err(TextError::NoUnit { .. })));
    assert!(matches!(Force::from_text("1e999 N"), Err(TextError::TooLarge { .. })));
    // A number as radians, but not as degrees.
    assert!(matches!(Angle::from_text("1.7e308 rad"), Err(TextError::TooLarge { .. })));
    assert!(matches!(Ratio::from_text("0.02"), Err(TextError::NoUnit { .. })));
}

#[test]
fn another_spelling_of_a_unit_is_refused_with_the_one_to_write() {
    fn refused<Q: Text + std::fmt::Debug>(text: &str) -> String {
        Q::from_text(text).unwrap_err().to_string()
    }
    for (said, write) in [
        (refused::<Mass>("200 lbs"), "write lb"),
        (refused::<Length>("300 feet"), "write ft"),
        (refused::<Length>("3 FT"), "write ft"),
        (refused::<ThermodynamicTemperature>("-15 C"), "write °C"),
        (refused::<ThermodynamicTemperature>("5 f"), "write °F"),
        (refused::<Force>("4 kn"), "write kN"),
        (refused::<Force>("4 newtons"), "write N"),
        (refused::<ElectricCharge>("50 A·h"), "write Ah"),
        (refused::<Length>("4 ft 6 in"), "write 4.5 ft for 4 ft 6 in"),
        (refused::<Length>("4ft6in"), "write 4.5 ft for 4 ft 6 in"),
        (refused::<Force>("930 pounds"), "lbf"),
    ] {
        assert!(said.contains(write), "{said}");
    }
    // Coulombs are a unit of charge, and degrees Celsius none of an angle.
    assert!(ElectricCharge::from_text("3600 C").is_ok());
    assert!(matches!(Angle::from_text("3 C"), Err(TextError::UnknownUnit { .. })));
}

#[test]
fn a_mass_for_a_force_is_refused_with_the_reason() {
    for bad in ["930 lb", "930lbs", "100 kg"] {
        let why = Force::from_text(bad).unwrap_err();
        assert_eq!(why, TextError::MassForForce);
        assert!(why.to_string().contains("mass") && why.to_string().contains("lbf"), "{why}");
    }
}

#[test]
fn a_quantity_is_written_with_the_digits_that_count() {
    let force = |t| Force::from_text(t).unwrap();
    assert_eq!(text::both(force("930 lbf")).to_string(), "4.14 kN (930 lbf)");
    assert_eq!(text::si(force("9.996 kN")).to_string(), "10.0 kN");
    assert_eq!(text::si(force("0 N")).to_string(), "0 kN");
    assert_eq!(text::si(force("-1234 N")).with_digits(2).to_string(), "-1.2 kN");
    assert_eq!(text::us(Length::from_text("85.34 m").unwrap()).to_string(), "280 ft");
    assert_eq!(text::si(Length::from_text("12345 m").unwrap()).to_string(), "12345 m");
    assert_eq!(text::si(ThermodynamicTemperature::from_text("20 °C").unwrap()).to_string(), "20.0 °C");
    assert_eq!(text::both(Ratio::from_text("90 %").unwrap()).to_string(), "90.0 %");
}

#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Record {
    #[serde(with = "as_text")]
    force: Force,
    #[serde(with = "as_text")]
    share: Ratio,
    #[serde(default, with = "as_text::option", skip_serializing_if = "Option::is_none")]
    length: Option<Length>,
}

#[test]
fn a_record_names_the_text_that_it_can_not_read() {
    let record: Record = toml::from_str("force = \"930 lbf\"\nshare = \"2 %\"").unwrap();
    assert_eq!(record.length, None);
    let why = toml::from_str::<Record>("force = \"930 lb\"\nshare = \"2 %\"").unwrap_err().to_string();
    assert!(why.contains("930 lb") && why.contains("lbf"), "{why}");
    let why = toml::from_str::<Record>("force = 930\nshare = \"2 %\"").unwrap_err().to_string();
    assert!(why.contains("with its unit"), "{why}");
}

proptest! {
    #[test]
    fn a_record_reads_back_to_the_same_bits(force in -1e12..1e12_f64, metres in proptest::option::of(1e-9..1e7_f64), share in -2.0..2.0_f64) {
        use rope_mechanics::quantity::unit::{meter, newton, ratio};
        let record = Record {
            force: Force::new::<newton>(force),
            share: Ratio::new::<ratio>(share),
            length: metres.map(Length::new::<meter>),
        };
        let text = serde_json::to_string(&record).unwrap();
        let back: Record = serde_json::from_str(&text).unwrap();
        prop_assert_eq!(back.force, record.force);
        prop_assert_eq!(back.length, record.length);
        // A share is written in percent: to a rounding.
        prop_assert!((back.share - record.share).value.abs() <= f64::EPSILON * share.abs());
    }

    #[test]
    fn no_text_makes_the_reader_fall(text in ".{0,24}") {
        if let Ok(force) = Force::from_text(&text) {
            prop_assert!(force.value.is_finite());
        }
    }
}
