//! What holds the rig up goes: a guy, a foot, a leg of an anchor.

use super::super::model::Model;
use super::super::place::Place;
use super::super::state::{HoldingRope, Situation, State};
use super::super::under_ropes::UnderRopes;
use super::{AtMost, Before, Consequence, FailureEnd, FailureError, Still};
use crate::geometry::{Direction3, Force3, Point2, Point3};
use crate::quantity::{Force, Length, metres};

/// Put on all at once: twice what is added, without damping.
///
/// F₁ + (F₁ − F₀), never below F₀
fn sudden(before: Force, after: Force) -> AtMost<Force> {
    AtMost::new(before.max(after), before.max(2.0 * after - before))
}

impl Before<'_, '_, '_> {
    /// The frame without one of its guys.
    pub(super) fn guy(&self, index: usize) -> Result<Consequence, FailureError> {
        if index >= self.model.values().guys.len() {
            return Err(FailureError::NoSuchPart { part: "guy", index });
        }
        let lost = self.model.with(|values| {
            values.guys.remove(index);
        })?;
        self.on_another_frame(&lost)
    }

    /// The frame without one of its legs.
    pub(super) fn foot(&self, index: usize) -> Result<Consequence, FailureError> {
        let feet = self.model.values().feet.len();
        if index >= feet {
            return Err(FailureError::NoSuchPart { part: "foot", index });
        }
        if feet == 1 {
            let mut story = self.unchanged()?;
            story.frame = None;
            return Ok(self.ended(self.fell(story)?));
        }
        let lost = self.model.with(|values| {
            values.feet.remove(index);
            values.frame = values.frame.without_foot(index);
        })?;
        self.on_another_frame(&lost)
    }

    /// A frame that is gone takes every rope over it along.
    fn fell(&self, mut story: Consequence) -> Result<Consequence, FailureError> {
        story.slack_if_frame_falls = self.slack_without_frame(HoldingRope::Haul)?;
        story.haul_goes_on = false;
        story.end = FailureEnd::FrameFalls;
        Ok(story)
    }

    fn on_another_frame(&self, lost: &Model<'_>) -> Result<Consequence, FailureError> {
        let mut story = self.unchanged()?;
        let ropes = [self.state.head_ropes()];
        let (before, after) = (self.model.frame_under(&ropes)?, lost.frame_under(&ropes)?);
        if let (UnderRopes::Stands(before), UnderRopes::Stands(after)) = (&before, &after) {
            story.peaks[Place::Leg] = sudden(before.leg(), after.leg());
            story.peaks[Place::Guy] = sudden(before.guy(), after.guy());
        } else {
            story = self.fell(story)?;
        }
        story.frame = Some(after);
        Ok(self.ended(story))
    }

    /// The force on an anchor, in the axes of the apparatus.
    fn on_anchor(&self, place: Place) -> Result<Option<Force3>, FailureError> {
        let track = &self.model.values().track;
        let towards = |from: Point3, to: Point3, size: Force| -> Result<Force3, FailureError> {
            let unit = Direction3::between(from, to).map_err(FailureError::Input)?.unit();
            Ok(Force3::from_si(unit * size.value))
        };
        let size = self.forces[place];
        let haul_from = self.model.values().haul.redirects.iter().rev().find(|redirect| redirect.holds);
        Ok(Some(match place {
            Place::Far => self.state.line_on_far(),
            Place::Cell => towards(track.cell_anchor, self.model.head_at, size)?,
            Place::Capstan => {
                let to = if track.redirect.holds { track.redirect.at } else { self.model.head_at };
                towards(track.capstan, to, size)?
            }
            Place::Winch => {
                let to = haul_from.map_or(self.model.head_at, |redirect| redirect.at);
                towards(self.model.values().haul.winch, to, size)?
            }
            _ => return Ok(None),
        }))
    }

    /// One leg of an anchor goes, and the others take over once it has settled.
    pub(super) fn anchor_leg(&self, at: usize, leg: usize) -> Result<Consequence, FailureError> {
        let (place, anchor) =
            *self.values.anchors.get(at).ok_or(FailureError::NoSuchPart { part: "anchor", index: at })?;
        let load =
            self.on_anchor(place)?.ok_or(FailureError::NoSuchPart { part: "anchor with legs", index: at })?;
        let loss = anchor.after_losing(leg, load)?;
        let mut story = self.unchanged()?;
        // Each leg of its strength is judged by the legs themselves; the place takes twice the whole while it settles
        // freely, as a load put on all at once.
        let whole = self.forces[place];
        let drop_m = loss.drop.value.max(0.0);
        story.peaks[place] = AtMost::new(whole, if drop_m > 0.0 { 2.0 * whole } else { whole });
        let after = self.with_anchor_moved(place, &loss)?;
        let still = after.map(|still| still.litter_height);
        story.still = after;
        let height = self.state.litter_height();
        let none = Length::default();
        let down = still.map_or(height, |after| (height - after).max(none));
        // Put on all at once it goes down twice as far, but no further than to the ground.
        story.drop = AtMost::new(down, (2.0 * down).min(height));
        story.end = if still.is_ok_and(|after| after <= none) && height > none {
            FailureEnd::SetDown
        } else {
            FailureEnd::Stays
        };
        story.haul_goes_on = still.is_ok();
        story.legs = Some(loss);
        self.judged(story, self.model, &[self.state.head_ropes()])
    }

    /// The load at rest with the anchor where it has settled.
    fn with_anchor_moved(
        &self,
        place: Place,
        loss: &crate::anchor::LegLoss,
    ) -> Result<Result<Still, super::StateError>, FailureError> {
        let Some(strand) = self.state.situation().strand else { return Err(FailureError::NoLoad) };
        let rope = self.state.rope_out();
        let motion = self.state.situation().motion;
        let still = |state: State<'_, '_>| Still::of(&state);
        if place == Place::Far {
            let moved = loss.after.master.si() - loss.before.master.si();
            let shifted = self.model.with(|values| {
                values.far = Point2::new(values.far.x + metres(moved.x), values.far.z + metres(moved.z));
            })?;
            let situation = Situation::on_rope(strand, rope, motion);
            return Ok(shifted.state_near(&situation, self.state).map(still));
        }
        // What it gives runs into the rope.
        let given = loss.drop.max(Length::default());
        let situation = if place == Place::Winch {
            Situation::on_rope(strand, rope + given, motion)
        } else {
            Situation::on_rope(strand + 0.5 * given, rope, motion)
        };
        Ok(self.model.state_near(&situation, self.state).map(still))
    }
}
