//! The ground, the frame on it and the line over it: where they stand, checked against each other.

use super::SiteError;
use super::reader::{check_place, check_range};
use crate::frame::MOST_HOBBLES;
use crate::geometry::{Piece, Point2};
use crate::operation::model::FrameValues;
use crate::operation::site::{Site, SiteFrame};
use crate::quantity::{Length, metres};
use crate::text;
use alloc::format;

/// (base, head, far anchor), with the ground checked against the straight line between the last two.
pub(super) fn geometry(site: &Site) -> Result<(Point2, Point2, Point2), SiteError> {
    if site.ground.len() < 2 {
        return Err(SiteError::new(
            "ground",
            format!("holds {} points, but must hold at least 2", site.ground.len()),
        ));
    }
    if site.ground.len() > 10_000 {
        return Err(SiteError::new(
            "ground",
            format!("holds {} points, but must hold at most 10000", site.ground.len()),
        ));
    }
    for (i, point) in site.ground.iter().enumerate() {
        check_range(&format!("ground[{i}]"), point.x, -10_000.0, 10_000.0)?;
        check_range(&format!("ground[{i}]"), point.z, -10_000.0, 10_000.0)?;
    }
    for (i, pair) in site.ground.windows(2).enumerate() {
        if let [a, b] = pair
            && b.x <= a.x
        {
            return Err(SiteError::new(
                format!("ground[{}]", i + 1),
                format!(
                    "its x of {} must be greater than that of the point before it, {}: the profile runs outward and can't cross itself",
                    text::both(b.x),
                    text::both(a.x)
                ),
            ));
        }
    }
    let tolerances = site.ground_tolerance.len();
    if tolerances > 0 && tolerances != site.ground.len() {
        return Err(SiteError::new(
            "ground_tolerance",
            format!(
                "holds {tolerances}, but must hold one for each of the {} points of the ground",
                site.ground.len()
            ),
        ));
    }
    for (i, tolerance) in site.ground_tolerance.iter().enumerate() {
        check_range(&format!("ground_tolerance[{i}]"), tolerance.0, 0.0, 100.0)?;
    }
    check_range("frame.height", site.frame.height.value(), 0.05, 50.0)?;
    check_range("far_anchor.height", site.far_anchor.height.value(), 0.0, 50.0)?;
    let on_ground = |key: &str, x: Length, height: Length| {
        let piece = Piece::at(&site.ground, x.value).ok_or_else(|| {
            SiteError::new(
                key,
                format!("is {}, where the ground profile does not reach: extend `ground`", text::both(x)),
            )
        })?;
        Ok(Point2::new(x, metres(piece.height_m(x.value)) + height))
    };
    let base = on_ground("frame.x", site.frame.x, metres(0.0))?;
    let head = on_ground("frame.x", site.frame.x, site.frame.height.value())?;
    let far = on_ground("far_anchor.x", site.far_anchor.x.value(), site.far_anchor.height.value())?;
    if far.x.value - head.x.value < 1.0 {
        return Err(SiteError::new(
            "far_anchor.x",
            format!(
                "is {}, but must lie at least 1 m outward of frame.x, {}",
                text::both(far.x),
                text::both(head.x)
            ),
        ));
    }
    if far.z >= head.z {
        return Err(SiteError::new(
            "far_anchor.height",
            format!(
                "puts the far anchor {} above the head of the frame: the load travels up to the head, so raise frame.height or lower the far anchor",
                text::both(far.z - head.z)
            ),
        ));
    }
    let worst = site
        .ground
        .iter()
        .filter(|p| p.x > head.x && p.x < far.x)
        .map(|p| {
            (
                p,
                p.z.value
                    - head.z.value
                    - (far.z.value - head.z.value) * (p.x.value - head.x.value)
                        / (far.x.value - head.x.value),
            )
        })
        .max_by(|a, b| a.1.total_cmp(&b.1));
    if let Some((point, above)) = worst
        && above >= 0.0
    {
        return Err(SiteError::new(
            "ground",
            format!(
                "at x = {} stands {} above the straight line from the head to the far anchor, so no track line can pass: raise frame.height, raise far_anchor.height, or move far_anchor.x",
                text::both(point.x),
                text::both(metres(above))
            ),
        ));
    }
    frame(&site.frame)?;
    Ok((base, head, far))
}

fn frame(frame: &SiteFrame) -> Result<(), SiteError> {
    if frame.feet.is_empty() || frame.feet.len() > 8 {
        return Err(SiteError::new(
            "frame.feet",
            format!("holds {} feet, but must hold from 1 to 8", frame.feet.len()),
        ));
    }
    if frame.guys.len() > 8 {
        return Err(SiteError::new(
            "frame.guys",
            format!("holds {} guys, but must hold at most 8", frame.guys.len()),
        ));
    }
    for (list, points) in [("feet", &frame.feet), ("guys", &frame.guys)] {
        for (i, point) in points.iter().enumerate() {
            let key = format!("frame.{list}[{i}]");
            check_place(&key, *point)?;
            if point.z >= frame.height.value() {
                return Err(SiteError::new(
                    key,
                    format!(
                        "its z of {} must be below the head, {} above the ground",
                        text::both(point.z),
                        text::both(frame.height.value())
                    ),
                ));
            }
        }
    }
    Ok(())
}

/// What is known of the frame's own parts: the pairs of feet counted from 0.
pub(super) fn parts(frame: &SiteFrame) -> Result<FrameValues, SiteError> {
    if frame.hobbles.len() > MOST_HOBBLES {
        return Err(SiteError::new(
            "frame.hobbles",
            format!("holds {} hobbles, but must hold at most {MOST_HOBBLES}", frame.hobbles.len()),
        ));
    }
    let mut parts = FrameValues::default();
    for (i, (one, other)) in frame.hobbles.iter().enumerate() {
        let foot = |number: u32| {
            let index = (number as usize).checked_sub(1);
            index.filter(|index| *index < frame.feet.len())
        };
        match (foot(*one), foot(*other)) {
            (Some(a), Some(b)) if a != b => parts.hobbles.push((a, b)),
            _ => {
                return Err(SiteError::new(
                    format!("frame.hobbles[{i}]"),
                    format!(
                        "ties feet {one} and {other}, but must tie two different ones of {}, counted from 1",
                        frame.feet.len()
                    ),
                ));
            }
        }
    }
    parts.leg = frame.leg_mass.unwrap_or_default();
    check_range("frame.leg_mass", parts.leg, 0.0, 500.0)?;
    if let Some(plate) = frame.head_plate {
        check_range("frame.head_plate.mass", plate.mass, 0.0, 500.0)?;
        check_range("frame.head_plate.above", plate.above, 0.0, 5.0)?;
        (parts.plate, parts.plate_above) = (plate.mass, plate.above);
    }
    Ok(parts)
}
