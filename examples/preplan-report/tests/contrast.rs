//! Contrast of text and lines, computed from the style sheets by the formula of WCAG 2.1 (relative luminance of sRGB).
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test that can't go on has failed"
)]

use std::collections::BTreeMap;

const TOKENS: &str = include_str!("../style/tokens.css");
const STYLES: [&str; 3] = [
    include_str!("../style/base.css"),
    include_str!("../style/card.css"),
    include_str!("../style/planner.css"),
];

/// The colours by name: on a light screen, on a dark one, on paper.
fn palettes() -> Vec<(&'static str, BTreeMap<String, [f64; 3]>)> {
    let read = |text: &str| -> BTreeMap<String, [f64; 3]> {
        text.split(';')
            .filter_map(|part| {
                let (name, value) = part.rsplit_once(": #")?;
                let name = &name[name.rfind("--")?..];
                let channel = |i: usize| f64::from(u8::from_str_radix(&value[i..i + 2], 16).unwrap()) / 255.0;
                Some((name.to_owned(), [channel(0), channel(2), channel(4)]))
            })
            .collect()
    };
    let (light, rest) = TOKENS.split_once("@media (prefers-color-scheme: dark)").unwrap();
    let (dark, print) = rest.split_once("@media print").unwrap();
    vec![("light", read(light)), ("dark", read(dark)), ("print", read(print))]
}

/// L = 0.2126·R + 0.7152·G + 0.0722·B of the linear channels.
fn luminance(colour: [f64; 3]) -> f64 {
    let linear = colour.map(|c| if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) });
    0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
}

/// (L₁ + 0.05)/(L₂ + 0.05)
fn contrast(a: [f64; 3], b: [f64; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn the_formula_gives_known_ratios() {
    // WCAG 2.1: black on white 21 : 1; #767676 on white is the lightest grey that passes 4.5 : 1 (widely tabulated).
    assert!((contrast([0.0; 3], [1.0; 3]) - 21.0).abs() < 1e-9);
    let grey = |c: f64| [c / 255.0; 3];
    assert!(contrast(grey(118.0), [1.0; 3]) >= 4.5 && contrast(grey(119.0), [1.0; 3]) < 4.5);
}

#[test]
fn text_is_readable_and_lines_are_seen_on_every_ground() {
    // Read at arm's length in poor light: 7 : 1 (AAA) for what is acted on, 4.5 : 1 (AA) for the rest; 3 : 1 for lines.
    let pairs = [
        ("--ink", "--paper", 12.0),
        ("--ink", "--panel", 12.0),
        ("--ink", "--earth", 7.0),
        ("--paper", "--ink", 12.0),
        ("--stop", "--paper", 7.0),
        ("--stop", "--panel", 4.5),
        ("--on-stop", "--stop-fill", 7.0),
        ("--soft", "--paper", 7.0),
        ("--soft", "--panel", 4.5),
        ("--first", "--paper", 4.5),
        ("--second", "--paper", 4.5),
        ("--third", "--paper", 4.5),
        ("--first", "--fill", 3.0),
        ("--first", "--earth", 3.0),
        ("--second", "--earth", 3.0),
        ("--third", "--earth", 3.0),
        ("--earth-edge", "--paper", 3.0),
    ];
    for (name, palette) in palettes() {
        for (front, ground, least) in pairs {
            let found = contrast(palette[front], palette[ground]);
            assert!(found >= least, "{name}: {front} on {ground} has {found:.2}, wants {least}");
        }
    }
}

#[test]
fn no_style_has_a_colour_of_its_own() {
    let known: Vec<String> = palettes()[0].1.keys().cloned().collect();
    for (_, palette) in palettes() {
        assert_eq!(palette.keys().cloned().collect::<Vec<_>>(), known, "every palette has every colour");
    }
    for style in STYLES {
        for part in style.split("var(").skip(1) {
            let name = &part[..part.find(')').unwrap()];
            assert!(known.iter().any(|k| k == name), "{name} is in no palette");
        }
        for hash in style.split('#').skip(1) {
            let digits = hash.chars().take_while(char::is_ascii_hexdigit).count();
            // The margin boxes of a printed page don't know variables; their grey is that of --soft in print.
            let of_margin = hash.starts_with("333b42");
            assert!(
                of_margin || !(digits == 3 || digits == 6),
                "a colour that is in no palette: #{}",
                &hash[..12]
            );
        }
    }
}

#[test]
fn red_is_for_stops_only() {
    for style in STYLES {
        for rule in style.split('}').filter(|rule| rule.contains("var(--stop")) {
            let selector = rule.rsplit_once('{').unwrap().0;
            let means_stop = ["stop", "limit", "no-go"].iter().any(|word| selector.contains(word));
            assert!(means_stop, "red without a stop: {selector}");
        }
    }
}

#[test]
fn what_is_told_by_colour_is_told_another_way_too() {
    // Black and white: curves differ by their dashes, parts below their factor say so, stops are bold.
    let [base, _, planner] = STYLES;
    for curve in [".curve.b", ".curve.c", ".rope.haul", ".rope.belay", ".rope.empty"] {
        let style =
            STYLES.iter().flat_map(|style| style.split('}')).find(|rule| rule.contains(curve)).unwrap();
        assert!(style.contains("stroke-dasharray"), "{curve} differs by its colour only");
    }
    assert!(base.contains(".stop { color: var(--stop); font-weight: 700; }"));
    assert!(planner.contains(".rows tr.stop td { color: var(--stop); font-weight: 700; }"));
}
