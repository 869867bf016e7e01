//! The track goes, or gets slack: track rope, far anchor, the capstan's tail, the track redirect.

use super::super::place::Place;
use super::super::state::{HoldingRope, Situation};
use super::super::under_ropes::HeadRopes;
use super::fall::{Acting, Followed, speed_bound};
use super::{
    AtMost, Before, Consequence, Detail, FailureEnd, FailureError, Holds, Impact, SET_DOWN_M_PER_S, Still,
};
use crate::arrest::{STIFFER_AT_MOST, STIFFER_IN_A_FALL, lying_bound, sling_bound};
use crate::math;
use crate::motion::Motion;
use crate::quantity::{
    Force, Length, Stiffness, metres, metres_per_second, newtons, radians, unit::newton_per_meter,
};

/// A fall on the haul rope in closed form.
struct ClosedFall {
    peak: AtMost<Force>,
    drop: AtMost<Length>,
    impact: Option<Impact>,
}

impl Before<'_, '_, '_> {
    fn slope_here(&self) -> f64 {
        math::atan(self.model.ground_slope(self.carriage.x.value)).abs()
    }

    /// The end of a load that falls until it lies or hangs.
    pub(super) fn fallen(&self, impact: Option<Impact>, lies: bool) -> FailureEnd {
        match (impact, lies) {
            (Some(impact), true) if impact.into_ground.bound > metres_per_second(SET_DOWN_M_PER_S) => {
                FailureEnd::Lies
            }
            (_, true) => FailureEnd::SetDown,
            (_, false) => FailureEnd::Hangs,
        }
    }

    /// What in closed form bounds a fall on the haul rope, the track gone: peak, drop, and how fast it lands.
    ///
    /// Peak A + √(A² + 2·A·k·s₀); a drop to the lowest place inside the litter's arc and above the ground; v² = 2·g·Δ,
    /// and what the haul rope had stored.
    fn fall_on_haul(&self) -> Result<ClosedFall, FailureError> {
        let rope = self.model.load_rope_as_it_stretches(HoldingRope::Haul, self.carriage)?;
        let litter = self.litter();
        let hang_m = (self.carriage.z - litter.z).value;
        let pull = self.state.pull();
        let radius_m = rope.out_m + hang_m;
        let arc = newtons(self.greatest_on_arc_n(radius_m));
        // s₀ = r + hang − |head to litter|
        let free_m = (radius_m - self.model.reach_m(litter)).max(0.0);
        let peak = |stiffer: f64| -> Result<Force, FailureError> {
            let k = Stiffness::new::<newton_per_meter>(rope.stiffness_n_per_m(stiffer));
            Ok(sling_bound(arc, k, metres(free_m))?.max(pull))
        };
        let peak = AtMost::new(peak(STIFFER_IN_A_FALL.expected)?, peak(STIFFER_AT_MOST)?);
        let stretched = |peak: Force, stiffer: f64| {
            radius_m + (peak - pull).value.max(0.0) / rope.stiffness_n_per_m(stiffer)
        };
        let soft = STIFFER_IN_A_FALL.low;
        let (mean_m, _) = self.lowest_m(radius_m);
        let (lowest_m, lands) = self.lowest_m(stretched(peak.expected, soft));
        let drop = |z_m: f64| metres((litter.z.value - z_m).max(0.0));
        let drop = AtMost::new(drop(mean_m), drop(lowest_m));
        // U = T²/2k of the haul rope, and of the sling
        let (mass_kg, litter_kg) = self.masses_kg();
        let litter_n = self.model.litter_weight().value;
        let stored_j = pull.value * pull.value / (2.0 * rope.stiffness_n_per_m(soft))
            + litter_n * litter_n * hang_m / (2.0 * self.values.sling.a_n());
        let speed = AtMost::new(
            speed_bound(drop.expected.value, mass_kg, mass_kg, 0.0),
            speed_bound(drop.bound.value, mass_kg, litter_kg, stored_j),
        );
        Ok(ClosedFall { peak, drop, impact: lands.then_some(Impact { speed, into_ground: speed }) })
    }

    /// The track rope or its far anchor goes.
    pub(super) fn track_lost(&self) -> Result<Consequence, FailureError> {
        let still =
            self.model.state(&Situation::without_track(self.state.rope_out())).map(|state| Still::of(&state));
        let mut gone = self.unchanged()?;
        for place in [
            Place::TrackRope,
            Place::Far,
            Place::TrackRedirect,
            Place::Head,
            Place::Cell,
            Place::Capstan,
            Place::CarriageWheel,
        ] {
            gone.peaks[place] = AtMost::default();
        }
        gone.holds = Holds::Haul;
        gone.haul_goes_on = false;
        gone.slack_if_frame_falls = self.slack_without_frame(HoldingRope::Haul)?;
        gone.still = still;
        let mut sling = AtMost::known(self.state.sling());
        let peak = if self.state.on_ground() {
            gone.end = FailureEnd::SetDown;
            let bound = lying_bound(self.state.pull(), self.model.weight(), radians(self.slope_here()))?;
            AtMost::known(bound)
        } else {
            let ClosedFall { mut peak, mut drop, mut impact } = self.fall_on_haul()?;
            let mut lies = still.is_ok_and(|still| still.on_ground);
            sling = sling.max(AtMost::new(peak.expected, peak.bound + self.sling_jerk(drop.bound)));
            if self.detail == Detail::InTime {
                let acting = Acting {
                    haul: Some(self.state.pull().value),
                    belay_slack_m: self.model.values().belay.map(|belay| belay.slack.value),
                    track_longer_m: None,
                };
                let Followed { drop: fell, haul, landing, sling: slung, lies: lay, .. } =
                    self.follow(acting)?;
                (peak, drop) = (haul, fell);
                // Where it comes to lie, but not in the time that it was followed: as bounded without.
                let later = impact.filter(|_| lies);
                impact = landing.map(|(speed, into_ground)| Impact { speed, into_ground }).or(later);
                sling = slung;
                lies |= lay;
            }
            gone.drop = drop;
            gone.impact = impact;
            gone.end = self.fallen(impact, lies);
            peak
        };
        self.with_load_rope(&mut gone.peaks, HoldingRope::Haul, self.carriage, peak)?;
        gone.peaks[Place::Carriage] = gone.peaks[Place::Carriage].max(sling);
        let at = |carriage| HeadRopes::without_track(HoldingRope::Haul, carriage, peak.bound);
        match still {
            Ok(still) => self.judged(gone, self.model, &[at(self.carriage), at(still.carriage)]),
            Err(_) => self.judged(gone, self.model, &[at(self.carriage)]),
        }
    }

    /// The tail behind the capstan is let go: its friction holds T·e^(−μθ), or the track rope runs out as if it were
    /// lost, which `track_lost` follows.
    pub(super) fn capstan_tail(
        &self,
        track_lost: impl FnOnce() -> Result<Consequence, FailureError>,
    ) -> Result<Consequence, FailureError> {
        let values = self.values;
        // T_tail·e^(μθ)
        let holds_n =
            values.capstan_tail.value * math::exp(values.capstan_friction.value * values.capstan_wrap.value);
        let pull = self.forces[Place::Capstan];
        if holds_n >= pull.value {
            let mut holds = self.unchanged()?;
            holds.haul_goes_on = false;
            return self.judged(holds, self.model, &[self.state.head_ropes()]);
        }
        // As if it were gone; what friction leaves slows it, and lets it land at another angle.
        let mut runs = Consequence { failure: self.failure, ..track_lost()? };
        if let Some(impact) = &mut runs.impact {
            impact.into_ground.bound = impact.speed.bound;
        }
        for place in
            [Place::TrackRope, Place::Far, Place::TrackRedirect, Place::Head, Place::Cell, Place::Capstan]
        {
            runs.peaks[place] = AtMost::known(self.forces[place]);
        }
        Ok(self.ended(runs))
    }

    /// The track redirect goes: its way enters the strands, and the part between capstan and head snaps tight.
    pub(super) fn track_redirect(&self) -> Result<Consequence, FailureError> {
        let Some(strand) = self.state.situation().strand else { return Err(FailureError::NoLoad) };
        if !self.model.values().track.redirect.holds {
            return Err(FailureError::NoSuchPart { part: "track redirect", index: 0 });
        }
        let slack = self.model.slack_of_track_redirect();
        let lost = self.model.with(|values| values.track.redirect.holds = false)?;
        let longer = Situation::on_rope(strand + 0.5 * slack, self.state.rope_out(), Motion::AtRest);
        let after = lost.state_near(&longer, self.state);
        let mut story = self.unchanged()?;
        story.still = after.map(|state| Still::of(&state));
        story.peaks[Place::TrackRedirect] = AtMost::default();
        let mut ropes = [self.state.head_ropes(), self.state.head_ropes()];
        if let Ok(after) = &after {
            let forces = after.forces()?;
            // A rope that is let go runs at T/√(EA·ρ), and takes T to be stopped again; put on all at once, 2·T.
            let snap = AtMost::new(self.forces[Place::Capstan], 2.0 * forces[Place::Capstan]);
            story.peaks[Place::Capstan] = story.peaks[Place::Capstan].max(snap);
            story.peaks[Place::TrackRope] = story.peaks[Place::TrackRope].max(snap);
            ropes = [after.head_ropes(), self.state.head_ropes()];
        }
        let mut haul = AtMost::known(self.state.pull());
        if self.state.on_ground() {
            story.end = FailureEnd::SetDown;
        } else {
            let ClosedFall { peak, drop, impact } = self.fall_on_haul()?;
            // What is expected: to where it is still.
            let down = after.map_or(drop.expected, |after| {
                let z = after.carriage().map_or(self.carriage.z, |at| at.z);
                (self.carriage.z - z).max(Length::default()).min(drop.bound)
            });
            story.drop = AtMost::new(down, drop.bound);
            story.impact = impact;
            haul = haul.max(peak);
            let mut slung = AtMost::new(peak.expected, peak.bound + self.sling_jerk(drop.bound));
            let lies = after.is_ok_and(|after| after.on_ground());
            story.end = self.fallen(story.impact, lies);
            if self.detail == Detail::InTime {
                let acting = Acting {
                    haul: Some(self.state.pull().value),
                    belay_slack_m: self.model.values().belay.map(|belay| belay.slack.value),
                    // Half of it for each strand: with all of it in one, the other would hold the load higher.
                    track_longer_m: Some(0.5 * slack.value),
                };
                let followed = self.follow(acting)?;
                story.drop = followed.drop;
                story.impact = followed.landing.map(|(speed, into_ground)| Impact { speed, into_ground });
                haul = AtMost::known(self.state.pull()).max(followed.haul);
                slung = followed.sling;
                story.end = self.fallen(story.impact, lies || followed.lies);
            }
            story.peaks[Place::Carriage] = story.peaks[Place::Carriage].max(slung);
        }
        self.with_load_rope(&mut story.peaks, HoldingRope::Haul, self.carriage, haul)?;
        story.haul_goes_on = after.is_ok();
        story.slack_if_frame_falls = self.slack_without_frame(HoldingRope::Haul)?;
        self.judged(story, &lost, &ropes)
    }
}
