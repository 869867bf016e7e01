//! Labels beside points of a drawing, none over another.
//!
//! Drawings grow with the page, their text doesn't. A label keeps its distance in pixels from its point, so it is
//! placed where it is free at the narrowest page and at wider ones too.

/// Of a line of text.
const LINE: f64 = 18.0;
/// Room kept between two labels.
const GAP: f64 = 2.0;

/// A label to place: its point as shares of the drawing's width and height.
#[derive(Debug, Clone)]
pub(crate) struct Wanted<'a> {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) text: &'a str,
}

/// Where a label's middle stands from its point, in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Offset {
    pub(crate) dx: f64,
    pub(crate) dy: f64,
}

/// Room that a text takes, a little more than it has in the page's fonts.
pub(crate) fn width(text: &str) -> f64 {
    9.0 * text.chars().count() as f64 + 8.0
}

#[derive(Debug, Clone, Copy)]
struct Boxed {
    x: f64,
    y: f64,
    half_width: f64,
    half_height: f64,
}

impl Boxed {
    fn meets(&self, other: &Self) -> bool {
        (self.x - other.x).abs() < self.half_width + other.half_width + GAP
            && (self.y - other.y).abs() < self.half_height + other.half_height + GAP
    }
}

/// Places each label in turn, the important ones first: `None` for one that finds no room.
///
/// `aspect` is the drawing's height by its width; `points` are things that no label may cover; `widths` are those that
/// the drawing has in pixels.
pub(crate) fn place(
    wanted: &[Wanted<'_>],
    aspect: f64,
    points: &[(f64, f64)],
    widths: &[f64],
) -> Vec<Option<Offset>> {
    let mut placed: Vec<(f64, f64, Offset, f64)> = Vec::new();
    wanted
        .iter()
        .map(|label| {
            let half = 0.5 * width(label.text);
            let found = candidates(half).into_iter().find(|offset| {
                widths.iter().all(|width| {
                    let height = width * aspect;
                    let here = Boxed {
                        x: label.x * width + offset.dx,
                        y: label.y * height + offset.dy,
                        half_width: half,
                        half_height: 0.5 * LINE,
                    };
                    here.x >= half
                        && here.x + half <= *width
                        && here.y >= 0.5 * LINE
                        && here.y + 0.5 * LINE <= height
                        && placed.iter().all(|(x, y, offset, half_width)| {
                            !here.meets(&Boxed {
                                x: x * width + offset.dx,
                                y: y * height + offset.dy,
                                half_width: *half_width,
                                half_height: 0.5 * LINE,
                            })
                        })
                        && points.iter().all(|(x, y)| {
                            !here.meets(&Boxed {
                                x: x * width,
                                y: y * height,
                                half_width: 3.0,
                                half_height: 3.0,
                            })
                        })
                })
            });
            if let Some(offset) = found {
                placed.push((label.x, label.y, offset, half));
            }
            found
        })
        .collect()
}

/// Above, below, beside, then farther away.
fn candidates(half: f64) -> Vec<Offset> {
    let mut list = Vec::new();
    for away in [16.0, 30.0, 46.0, 64.0, 84.0, 110.0] {
        for (dx, dy) in [
            (0.0, -away),
            (0.0, away),
            (half + 0.5 * away, 0.0),
            (-half - 0.5 * away, 0.0),
            (half, -away),
            (-half, -away),
            (half, away),
            (-half, away),
        ] {
            list.push(Offset { dx, dy });
        }
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A phone, paper, a screen.
    const WIDTHS: [f64; 4] = [318.0, 480.0, 690.0, 1060.0];

    fn boxes(wanted: &[Wanted<'_>], offsets: &[Option<Offset>], width_px: f64, aspect: f64) -> Vec<[f64; 4]> {
        wanted
            .iter()
            .zip(offsets)
            .filter_map(|(w, offset)| {
                let offset = (*offset)?;
                let (x, y) = (w.x * width_px + offset.dx, w.y * width_px * aspect + offset.dy);
                let half = 0.5 * width(w.text);
                Some([x - half, y - 9.0, x + half, y + 9.0])
            })
            .collect()
    }

    #[test]
    fn no_label_meets_another_at_any_width_between() {
        let mut state = 11_u64;
        let mut next = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1_u64 << 53) as f64
        };
        let texts = ["far anchor", "head", "least 0.6 m", "7", "edge"];
        let (mut asked, mut found) = (0, 0);
        for _ in 0..400 {
            let wanted: Vec<_> = texts.iter().map(|text| Wanted { x: next(), y: next(), text }).collect();
            let aspect = 0.4 + next();
            let offsets = place(&wanted, aspect, &[], &WIDTHS);
            asked += offsets.len();
            found += offsets.iter().flatten().count();
            for width_px in WIDTHS {
                let boxes = boxes(&wanted, &offsets, width_px, aspect);
                for (i, a) in boxes.iter().enumerate() {
                    assert!(a[0] >= 0.0 && a[1] >= 0.0 && a[2] <= width_px && a[3] <= width_px * aspect);
                    for b in &boxes[..i] {
                        let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
                        assert!(apart, "{a:?} over {b:?} at {width_px}");
                    }
                }
            }
        }
        // Few points are so near to each other and to the edge that there is no room.
        assert!(found * 100 >= asked * 99, "{found} of {asked}");
    }

    #[test]
    fn a_point_stays_free() {
        let wanted = [Wanted { x: 0.5, y: 0.5, text: "here" }];
        let free = place(&wanted, 1.0, &[], &WIDTHS)[0].unwrap();
        assert_eq!(free, Offset { dx: 0.0, dy: -16.0 });
        let above = (0.5, 0.5 - 16.0 / 318.0);
        assert_ne!(place(&wanted, 1.0, &[above], &WIDTHS)[0].unwrap(), free);
    }
}
