//! The haul goes, gets slack, stops or jams: haul rope, the winch's brake, a haul redirect, power, a jam.

use super::super::place::Place;
use super::super::state::{HoldingRope, LoadPlace, Situation, State};
use super::super::under_ropes::HeadRopes;
use super::fall::{Acting, speed_bound};
use super::{AtMost, Before, Consequence, Detail, FailureEnd, FailureError, Holds, Impact, JamRise, Still};
use crate::arrest::{Holding, STIFFER_AT_MOST, STIFFER_IN_A_FALL, hand_over};
use crate::error::{non_negative, positive};
use crate::math;
use crate::motion::Motion;
use crate::quantity::Stiffness;
use crate::quantity::{
    Force, Length, STANDARD_GRAVITY_M_PER_S2 as G, Time, Velocity, metres, metres_per_second, newtons, ratio,
    unit::newton_per_meter, unit::second,
};

/// The track gives as well: while things swing it comes down so much further, by its height, than at rest.
///
/// On its way out the load lies further and further above where it would rest. A spring that is put under a load that only
/// grows, x″ = ω²·(e(t) − x) with e from 0 to E, answers by x(t) = ∫₀ᵗ e′(τ)·(1 − cos ω(t − τ)) dτ ≤ 2·E: each bit of the load
/// brings at most twice what it brings at rest. A track hardens as it comes down, which brings less. Assumed: it goes
/// down all the way out, and along the track nothing comes back. In the simulation of whole rigs it is 1.57 at most, where the
/// track is flat and the run is short.
const STILL_SWINGS: f64 = 2.0;

/// What the ropes that catch a load take: belay, haul rope, and how far the load runs.
struct Caught {
    belay_n: f64,
    haul_n: f64,
    run_m: f64,
}

impl Before<'_, '_, '_> {
    /// The belay, and the haul rope if it comes taut again after so much slack, take over the pull of the haul rope.
    fn caught(&self, pull: Force, stiffer: f64, haul_slack: Option<Length>) -> Result<Caught, FailureError> {
        let holding = |rope: HoldingRope, slack: Length| -> Result<Holding, FailureError> {
            let rope = self.model.load_rope_as_it_stretches(rope, self.carriage)?;
            Ok(Holding::slack(rope.stretch.scaled(ratio(stiffer))?, metres(rope.length_m), slack)?)
        };
        let belay = match self.model.values().belay {
            Some(belay) => Some(holding(HoldingRope::Belay, belay.slack)?),
            None => None,
        };
        let haul = match haul_slack {
            Some(slack) => Some(holding(HoldingRope::Haul, slack)?),
            None => None,
        };
        Ok(match (belay, haul) {
            (Some(belay), Some(haul)) => {
                let taken = hand_over(pull, &[belay, haul])?;
                let [b, h] = taken.peak;
                Caught { belay_n: b.value, haul_n: h.value, run_m: taken.peak_travel.value }
            }
            (Some(belay), None) => {
                let taken = hand_over(pull, &[belay])?;
                let [b] = taken.peak;
                Caught { belay_n: b.value, haul_n: 0.0, run_m: taken.peak_travel.value }
            }
            (None, Some(haul)) => {
                let taken = hand_over(pull, &[haul])?;
                let [h] = taken.peak;
                Caught { belay_n: 0.0, haul_n: h.value, run_m: taken.peak_travel.value }
            }
            (None, None) => Caught { belay_n: 0.0, haul_n: 0.0, run_m: f64::INFINITY },
        })
    }

    /// How high the litter is above the lowest ground between here and so far out.
    fn above_lowest_ground_m(&self, run_m: f64) -> f64 {
        let (from, to) = (self.carriage.x.value, self.carriage.x.value + run_m);
        let ends = [from, to].into_iter().filter_map(|x| self.model.ground_m(x));
        let corners = self.model.values().ground.iter().map(|point| point.si());
        let between = corners.filter(|at| from < at.x && at.x < to).map(|at| at.y);
        self.litter().z.value - ends.chain(between).fold(f64::INFINITY, f64::min)
    }

    /// The load on its track, held at the end of so much rope after it ran out.
    fn held_at(&self, rope: HoldingRope, reach_m: f64) -> Result<State<'_, '_>, super::StateError> {
        let strand = self.state.situation().strand.ok_or(super::StateError::NotHeld)?;
        let situation = Situation::on_rope(strand, metres(reach_m), Motion::AtRest).held_by(rope);
        self.model.state_near(&situation, self.state)
    }

    /// The haul rope, or what holds it, goes; or gets slack.
    pub(super) fn haul_lost(&self, haul_slack: Option<Length>) -> Result<Consequence, FailureError> {
        let mut story = self.unchanged()?;
        story.haul_goes_on = false;
        for place in [Place::HaulRope, Place::HaulHead, Place::Tackle, Place::Winch] {
            // What it had before it went.
            story.peaks[place] = AtMost::known(self.forces[place]);
        }
        if self.state.pull().value <= 0.0 {
            return self.judged(story, self.model, &[self.state.head_ropes()]);
        }
        let by = if self.model.values().belay.is_some() { HoldingRope::Belay } else { HoldingRope::Haul };
        if self.model.values().belay.is_none() && haul_slack.is_none() {
            return self.runs_away(story);
        }
        // Friction holds back what runs out: no more is lost than the pull without it.
        let rest = self.state.situation().moving(Motion::AtRest);
        let pull = self.model.state_near(&rest, self.state).map_or(self.state.pull(), |rest| rest.pull());
        if pull.value <= 0.0 {
            return self.judged(story, self.model, &[self.state.head_ropes()]);
        }
        let caught = |stiffer: f64| self.caught(pull, stiffer, haul_slack);
        let (expected, stiff) = (caught(STIFFER_IN_A_FALL.expected)?, caught(STIFFER_AT_MOST)?);
        let soft = caught(STIFFER_IN_A_FALL.low)?;
        let mut belay = AtMost::new(newtons(expected.belay_n), newtons(stiff.belay_n.max(soft.belay_n)));
        let mut haul = AtMost::new(newtons(expected.haul_n), newtons(stiff.haul_n.max(soft.haul_n)));
        story.run = AtMost::new(metres(expected.run_m), metres(soft.run_m));
        story.holds = if by == HoldingRope::Belay { Holds::TrackAndBelay } else { Holds::TrackAndHaul };
        let out_m = self.state.rope_out().value;
        let at = |run_m: f64| self.held_at(by, out_m + run_m);
        let farthest = at(story.run.bound.value);
        // Still: at the end of its slack and of what it stretches under the pull.
        let rope = self.model.load_rope_as_it_stretches(by, self.carriage)?;
        let slack_m = match by {
            HoldingRope::Belay => self.model.values().belay.map_or(0.0, |belay| belay.slack.value),
            HoldingRope::Haul => haul_slack.map_or(0.0, |slack| slack.value),
        };
        let rest_m = slack_m + pull.value / rope.stiffness_n_per_m(1.0);
        let still = at(rest_m);
        story.still = still.map(|state| Still::of(&state));
        // How far down it is out there; down by all of its way where it has no place to be, near the far anchor. In both
        // cases no further than to the lowest ground on the way.
        let run_m = story.run.bound.value;
        let (rests_m, down_m) = match &farthest {
            Ok(state) => {
                let down = self.carriage.z - state.carriage().map_or(self.carriage.z, |at| at.z);
                (down.value, STILL_SWINGS * down.value)
            }
            Err(_) => (run_m, run_m),
        };
        let above_m = self.above_lowest_ground_m(run_m);
        let [rests_m, down_m] = [rests_m, down_m].map(|down_m| down_m.min(above_m).max(0.0));
        let (mass_kg, litter_kg) = self.masses_kg();
        let mut track = AtMost::known(2.0 * self.state.strand_tension_head());
        if !self.state.on_ground() {
            // As far as it runs, on the average.
            let share = if run_m > 0.0 { story.run.expected.value / run_m } else { 1.0 };
            let drop = AtMost::new(metres(share * rests_m), metres(down_m));
            let lands = drop.bound >= self.state.litter_height()
                || [&farthest, &still].iter().any(|state| state.as_ref().is_ok_and(State::on_ground));
            story.drop = drop;
            // ½·m·v² ≤ P·(s + P/2k): fastest where what catches it pulls as much as what is lost.
            let fastest = |stiffer: f64, kg: f64| {
                let pull_n = pull.value;
                let energy_j = pull_n * (slack_m + 0.5 * pull_n / rope.stiffness_n_per_m(stiffer));
                speed_bound(0.0, mass_kg, kg, energy_j)
            };
            let speed = AtMost::new(
                fastest(STIFFER_IN_A_FALL.expected, mass_kg),
                fastest(STIFFER_IN_A_FALL.low, litter_kg),
            );
            story.impact = lands.then_some(Impact { speed, into_ground: speed });
            let lies = still.as_ref().is_ok_and(State::on_ground);
            story.end = self.fallen(story.impact, lies);
            // ½·T²/k ≤ ½·T₀²/k + W·Δ of the track
            let k = STIFFER_AT_MOST * self.model.track_stretch.a_n()
                / self.state.situation().strand.map_or(f64::NAN, |strand| strand.value);
            let energy = |drop: Length| {
                let t0 = 2.0 * self.state.strand_tension_head().value;
                newtons(math::sqrt(t0 * t0 + 2.0 * k * self.model.weight().value * drop.value))
            };
            track = AtMost::new(track.expected, energy(drop.bound));
            let pulls = belay.bound.max(haul.bound);
            let mut sling =
                AtMost::new(self.state.sling(), self.state.sling() + pulls + self.sling_jerk(drop.bound));
            if self.detail == Detail::InTime {
                let followed = self.follow(Acting {
                    haul: haul_slack.map(|slack| -slack.value),
                    belay_slack_m: self.model.values().belay.map(|belay| belay.slack.value),
                    track_longer_m: Some(0.0),
                })?;
                // The sag of the strands gives more than straight ones do.
                let deeper = |followed: f64, closed: f64| closed.min(STILL_SWINGS * followed);
                let deepest = deeper(followed.drop.bound.value, drop.bound.value);
                story.drop = AtMost::new(followed.drop.expected, metres(deepest));
                story.impact = match (story.impact, followed.landing) {
                    (Some(closed), Some((speed, into_ground))) => {
                        let faster = |of: AtMost<Velocity>| {
                            let bound = deeper(of.bound.value, closed.speed.bound.value);
                            AtMost::new(of.expected, metres_per_second(bound))
                        };
                        Some(Impact { speed: faster(speed), into_ground: faster(into_ground) })
                    }
                    // It may, further down: as bounded without following it.
                    (Some(closed), None) => {
                        let closed = AtMost::new(metres_per_second(0.0), closed.speed.bound);
                        Some(Impact { speed: closed, into_ground: closed })
                    }
                    (None, landing) => landing.map(|(speed, into_ground)| Impact { speed, into_ground }),
                };
                story.end = self.fallen(story.impact, lies);
                belay = AtMost::new(followed.belay.expected, followed.belay.bound.min(belay.bound));
                haul = AtMost::new(followed.haul.expected, followed.haul.bound.max(newtons(expected.haul_n)));
                track = AtMost::known(2.0 * self.state.strand_tension_head()).max(followed.track);
                sling = followed.sling;
            }
            story.peaks[Place::Carriage] = story.peaks[Place::Carriage].max(sling);
        } else {
            story.end = FailureEnd::SetDown;
        }
        let strands = 2.0 * self.state.strand_tension_head();
        for place in [
            Place::TrackRope,
            Place::Far,
            Place::TrackRedirect,
            Place::Head,
            Place::Cell,
            Place::Capstan,
            Place::CarriageWheel,
        ] {
            let scaled = |track: Force| self.forces[place] * (track / strands);
            story.peaks[place] = AtMost { expected: scaled(track.expected), bound: scaled(track.bound) };
        }
        let mut ropes = [self.state.head_ropes(); 3];
        if belay.bound.value > 0.0 {
            self.with_load_rope(&mut story.peaks, HoldingRope::Belay, self.carriage, belay)?;
            ropes[1] = ropes[0].with_load_rope(HoldingRope::Belay, self.carriage, belay.bound);
            ropes[2] = ropes[1];
            if let Ok(after) = &farthest {
                let at = after.carriage().unwrap_or(self.carriage);
                ropes[2] = after.head_ropes().with_load_rope(HoldingRope::Belay, at, belay.bound);
            }
        }
        if haul.bound.value > 0.0 {
            self.with_load_rope(&mut story.peaks, HoldingRope::Haul, self.carriage, haul)?;
            ropes[2] = ropes[0].with_load_rope(HoldingRope::Haul, self.carriage, haul.bound);
        }
        story.slack_if_frame_falls = self.slack_without_frame(by)?;
        self.judged(story, self.model, &ropes)
    }

    /// Nothing holds the load along the track: it runs to where it rests by itself, or into the far anchor.
    fn runs_away(&self, mut story: Consequence) -> Result<Consequence, FailureError> {
        let rolling = Situation { load: LoadPlace::Rolling, ..*self.state.situation() };
        let rest = self.model.state(&rolling.moving(Motion::AtRest));
        story.still = rest.map(|state| Still::of(&state));
        let (mass_kg, litter_kg) = self.masses_kg();
        let lowest_z = match &story.still {
            Ok(still) => still.carriage.z,
            Err(_) => self.model.values().far.z.min(self.carriage.z),
        };
        let drop = (self.carriage.z - lowest_z).max(Length::default());
        story.drop = AtMost::new(drop, drop);
        story.run = AtMost::known(self.model.chord() - self.state.rope_out());
        // What it hits, it may hit head-on.
        let speed = AtMost::new(
            speed_bound(drop.value, mass_kg, mass_kg, 0.0),
            speed_bound(drop.value, mass_kg, litter_kg, 0.0),
        );
        story.impact = Some(Impact { speed, into_ground: speed });
        story.holds = Holds::Track;
        story.end = FailureEnd::RunsAway;
        let ropes = self.state.head_ropes();
        self.judged(story, self.model, &[ropes, HeadRopes { load_rope: None, ..ropes }])
    }

    /// A haul redirect goes: its way enters the haul rope as slack.
    pub(super) fn haul_redirect(&self, index: usize) -> Result<Consequence, FailureError> {
        let redirects = &self.model.values().haul.redirects;
        if !redirects.get(index).is_some_and(|redirect| redirect.holds) {
            return Err(FailureError::NoSuchPart { part: "haul redirect", index });
        }
        let slack = self.model.slack_of_haul_redirect(index);
        let lost = self.model.with(|values| {
            if let Some(redirect) = values.haul.redirects.get_mut(index) {
                redirect.holds = false;
            }
        })?;
        let mut story = self.haul_lost(Some(slack))?;
        // The winch can take up the slack: the haul goes on over what is left, if the frame stands under it.
        let frame = lost.frame_under(&[self.state.head_ropes()])?;
        let stands = matches!(frame, super::UnderRopes::Stands(_));
        story.haul_goes_on = stands && story.still.is_ok() && story.end >= FailureEnd::Lies;
        if !stands {
            story.frame = Some(frame);
        }
        Ok(self.ended(story))
    }

    /// The winch stops at once, and its brake holds: ΔF = v·√(k·m).
    pub(super) fn power(&self) -> Result<Consequence, FailureError> {
        let mut story = self.unchanged()?;
        story.haul_goes_on = false;
        let speed = self.values.winch.map_or(0.0, |winch| winch.speed.value);
        let speed =
            non_negative("winch_speed", metres_per_second(speed))? / self.model.velocity_ratio().value;
        let rope = self.model.load_rope_as_it_stretches(HoldingRope::Haul, self.carriage)?;
        let added = |stiffer: f64| {
            newtons(speed * math::sqrt(rope.stiffness_n_per_m(stiffer) * self.model.weight().value / G))
        };
        let pull = self.state.pull();
        let peak = AtMost::new(pull + added(STIFFER_IN_A_FALL.expected), pull + added(STIFFER_AT_MOST));
        self.with_load_rope(&mut story.peaks, HoldingRope::Haul, self.carriage, peak)?;
        let ropes = self.state.head_ropes();
        let peaked = ropes.with_load_rope(HoldingRope::Haul, self.carriage, peak.bound);
        self.judged(story, self.model, &[ropes, peaked])
    }

    /// The load jams while the winch hauls: dF/dt = k·v, up to what the winch can pull.
    pub(super) fn jam(&self) -> Result<Consequence, FailureError> {
        let winch = self.values.winch.ok_or(FailureError::NoWinch)?;
        let greatest_n = positive("winch_greatest", winch.greatest)?;
        let speed = positive("winch_speed", winch.speed)?;
        let mut story = self.unchanged()?;
        story.haul_goes_on = false;
        // k = EA/(l_w + η·l + η²·r) at the winch: every turn hauls.
        let k = Stiffness::new::<newton_per_meter>(self.model.haul_stiffness_at_winch(self.carriage)?);
        let one = self.model.load_rope_forces(HoldingRope::Haul, self.carriage, newtons(1.0))?;
        // At the carriage no less than what friction leaves, and no more than all of it, times the tackle.
        let least_n = greatest_n / one[Place::Winch].value;
        let most_n = greatest_n * self.model.velocity_ratio().value;
        let least = AtMost::known(newtons(least_n).max(self.state.pull()));
        let most = newtons(most_n).max(self.state.pull());
        self.with_load_rope(&mut story.peaks, HoldingRope::Haul, self.carriage, least)?;
        for place in [Place::Carriage, Place::HaulRope] {
            story.peaks[place] = story.peaks[place].max(AtMost::new(least.expected, most));
        }
        let rate = |stiffer: f64| stiffer * k * metres_per_second(speed);
        let mut rise = JamRise {
            rate: AtMost { expected: rate(1.0), bound: rate(STIFFER_IN_A_FALL.expected) },
            greatest: winch.greatest,
            time_to_break: None,
        };
        let ropes = self.state.head_ropes();
        let pulled = |pull: Force| ropes.with_load_rope(HoldingRope::Haul, self.carriage, pull);
        story = self.judged(story, self.model, &[ropes, pulled(least.bound), pulled(most)])?;
        // The soonest: F = F₀ + k·v·t at the winch, in proportion at the other places.
        let start_n = self.forces[Place::Winch].value;
        for (place, peak) in story.peaks.iter() {
            let Some(strength) = self.values.strengths[place] else { continue };
            let before_n = self.forces[place].value;
            if peak.bound <= strength || peak.bound.value <= before_n {
                continue;
            }
            let share = (strength.value - before_n) / (peak.bound.value - before_n);
            let time_s = share.max(0.0) * (greatest_n - start_n).max(0.0) / rise.rate.bound.value;
            let soonest = rise.time_to_break.map_or(time_s, |time| time.value.min(time_s));
            rise.time_to_break = Some(Time::new::<second>(soonest));
        }
        story.jam = Some(rise);
        Ok(story)
    }
}
