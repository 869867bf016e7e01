//! The study's sentences have both systems of units, "1.26 kN (284 lbf)"; a page has one.

use crate::units::Units;

/// Units of the second system, as the library writes them.
const US: [&str; 12] =
    ["lbf", "ft", "lb", "ft/s", "ft/min", "in", "lbf/ft", "lb/ft", "°F", "hp", "ft·lbf", "lbf·ft"];

/// A number as the library writes it.
fn is_number(word: &str) -> bool {
    let digits = word.trim_start_matches(['-', '−', '+']);
    digits.starts_with(|c: char| c.is_ascii_digit())
        && digits.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | ' ' | '\u{2009}' | 'e' | '-'))
}

/// "284 lbf" of "284 lbf) while …", and how long it is.
fn second(text: &str) -> Option<&str> {
    let inside = text.get(..text.find(')')?)?;
    let (number, unit) = inside.rsplit_once(' ')?;
    (is_number(number) && US.contains(&unit)).then_some(inside)
}

/// Where the quantity begins that a text ends with: "… takes 1.26 kN" at the 1.
fn first(text: &str) -> Option<usize> {
    let unit_at = text.rfind(' ')?;
    let before = text.get(..unit_at)?;
    let word_at = before.rfind(' ').map_or(0, |at| at + 1);
    let number = before.get(word_at..)?.trim_start_matches('(');
    is_number(number).then_some(before.len() - number.len())
}

/// "0.046 kN" of "0.0460 kN": what a small number ends with says nothing to a crew.
fn tidy(quantity: &str) -> String {
    match quantity.split_once(' ') {
        Some((number, unit)) if number.starts_with("0.0") => {
            format!("{} {unit}", number.trim_end_matches('0').trim_end_matches('.'))
        }
        _ => quantity.to_owned(),
    }
}

/// A text with each quantity in one system only. Whatever isn't a quantity in both stays as it is.
pub(crate) fn one_system(text: &str, units: Units) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(" (") {
        let (before, after) = (rest.get(..at).unwrap_or(""), rest.get(at + 2..).unwrap_or(""));
        out += before;
        match (second(after), first(&out)) {
            (Some(us), Some(number_at)) => {
                let si = out.split_off(number_at);
                out += &tidy(if units == Units::Us { us } else { &si });
                rest = after.get(us.len() + 1..).unwrap_or("");
            }
            _ => {
                out += " (";
                rest = after;
            }
        }
    }
    out + rest
}

#[cfg(test)]
mod tests {
    use super::*;
    use rope_mechanics::quantity::unit::{kilonewton, meter};
    use rope_mechanics::quantity::{Force, Length};
    use rope_mechanics::text;

    #[test]
    fn each_quantity_is_said_once() {
        let both =
            "The tail takes 0.122 kN (27.3 lbf), but a hand holds 0.0460 kN (10.3 lbf): tie it off (well).";
        assert_eq!(
            one_system(both, Units::Us),
            "The tail takes 27.3 lbf, but a hand holds 10.3 lbf: tie it off (well)."
        );
        assert_eq!(
            one_system(both, Units::Si),
            "The tail takes 0.122 kN, but a hand holds 0.046 kN: tie it off (well)."
        );
    }

    #[test]
    fn a_quantity_in_parentheses_is_said_once_too() {
        let both = "It takes 0.266 kN (59.8 lbf), more than a hand holds (0.0460 kN (10.3 lbf)): tie off.";
        assert_eq!(
            one_system(both, Units::Us),
            "It takes 59.8 lbf, more than a hand holds (10.3 lbf): tie off."
        );
        assert_eq!(
            one_system(both, Units::Si),
            "It takes 0.266 kN, more than a hand holds (0.046 kN): tie off."
        );
    }

    #[test]
    fn what_is_no_quantity_stays() {
        for text in
            ["nothing", "a (b) c (1 ft)", "(1 ft) first", "70 % (60 to 85 %)", "open (", "1 m (3 apples)"]
        {
            assert_eq!(one_system(text, Units::Us), text);
            assert_eq!(one_system(text, Units::Si), text);
        }
    }

    #[test]
    fn whatever_the_library_writes_of_a_quantity_is_told_apart() {
        for i in 1..4000 {
            let size = 10f64.powf(f64::from(i) * 0.002 - 3.0);
            for (both, si) in [
                (
                    text::both(Force::new::<kilonewton>(size)).to_string(),
                    text::si(Force::new::<kilonewton>(size)).to_string(),
                ),
                (
                    text::both(Length::new::<meter>(-size)).to_string(),
                    text::si(Length::new::<meter>(-size)).to_string(),
                ),
            ] {
                assert_eq!(one_system(&format!("so {both}."), Units::Si), format!("so {}.", tidy(&si)));
                let us = one_system(&format!("so {both}."), Units::Us);
                assert!(!us.contains('(') && !us.contains("kN"), "{both}: {us}");
            }
        }
    }
}
