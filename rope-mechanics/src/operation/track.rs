//! How long the track rope is made, and what it does without its load.

use super::apparatus::{Apparatus, Way, Ways};
use super::parts::{FrameParts, Parts};
use super::plan::SiteError;
use super::position::{Balanced, Unbalanced};
use super::site::TrackSetting;
use super::study::{Unloaded, Xz};
use super::under_frame::OnHead;
use crate::carriage::{Track, rolling};
use crate::geometry::{Force3, Point2};
use crate::line::span::{self, Span};
use crate::math;
use crate::motion::Motion;
use crate::quantity::{Force, Length, metres, newtons};
use crate::text;
use alloc::format;
use alloc::string::ToString;
use alloc::vec::Vec;

/// Positions at which a length is tried before it is refined.
const COARSE: usize = 12;
/// How often the place that governs may move before the search gives up.
const MOST_ROUNDS: u32 = 12;
/// Lengths over few places are found to this, to see which place governs,
const ROUGH_TOLERANCE_M: f64 = 1e-2;
/// and at that place to this.
const LENGTH_TOLERANCE_M: f64 = 1e-9;

impl Apparatus<'_> {
    fn chord(&self) -> (f64, f64) {
        (self.plan.far.x.value - self.plan.head.x.value, self.plan.far.z.value - self.plan.head.z.value)
    }

    fn span(&self, length_m: f64) -> Result<Span, SiteError> {
        let (span_m, rise_m) = self.chord();
        let stretch = self.plan.track.stretch().strands(2).map_err(|why| SiteError::at("track.rope", why))?;
        Ok(Span { span_m, rise_m, length_m, weight_n_per_m: self.track_weight.value, stretch })
    }

    fn unloaded_tension_n(&self, length_m: f64) -> Result<f64, SiteError> {
        let solved =
            span::solve(&self.span(length_m)?).map_err(|why| SiteError::new("track", why.to_string()))?;
        Ok(solved.ends.t_first_n)
    }

    /// Where the load is put on: as far out as asked, but not where it would roll in by itself.
    pub(crate) fn start_x(&self, way: &Way, track: &Track) -> Result<(f64, bool), SiteError> {
        let asked = self.plan.far.x.value - self.plan.start.value;
        match rolling(track, way.held.load()) {
            Ok(free) if free.position.x.value < asked => {
                let floor = self.ground_at(free.position.x.value)? + self.site.load.hang.value;
                if free.position.z.value > floor {
                    // A little nearer, so that the haul rope has something to hold.
                    Ok((free.position.x.value - 1e-3, true))
                } else {
                    Ok((asked, false))
                }
            }
            _ => Ok((asked, false)),
        }
    }

    /// The places of the load, from the far anchor to the head: evenly spaced, and over every corner of the ground,
    /// where the litter may come nearest to it.
    pub(crate) fn places(&self, start_x_m: f64) -> Vec<f64> {
        let mut places = self.even(start_x_m, self.plan.positions);
        let end = self.plan.head.x.value + self.plan.end.value;
        let corners = self.plan.ground.iter().map(|p| p.x.value).filter(|x| *x > end && *x < start_x_m);
        places.extend(corners);
        places.sort_unstable_by(|a, b| b.total_cmp(a));
        places.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        places
    }

    fn even(&self, start_x_m: f64, count: usize) -> Vec<f64> {
        let end = self.plan.head.x.value + self.plan.end.value;
        let steps = (count - 1) as f64;
        (0..count).map(|i| start_x_m + (end - start_x_m) * i as f64 / steps).collect()
    }

    /// Unstretched length of each strand that fulfils the wish of the site file.
    pub(crate) fn strand_length(&self) -> Result<Length, SiteError> {
        match self.site.track.set {
            TrackSetting::UnloadedTension(tension) => {
                let wanted = 2.0 * positive("track.set.unloaded_tension", tension)?;
                self.length_where("track.set.unloaded_tension", LENGTH_TOLERANCE_M, |length_m| {
                    Ok(self.unloaded_tension_n(length_m)? - wanted)
                })
            }
            TrackSetting::GreatestReading(reading) => {
                let key = "track.set.greatest_reading";
                let wanted = positive(key, reading)?;
                self.refined(key, |balance| 0.5 * balance.state.tension.head.value - wanted, true)
            }
            TrackSetting::LitterHeight(height) => {
                let key = "track.set.litter_height";
                crate::error::non_negative("", height).map_err(|why| SiteError::at(key, why))?;
                let hang = self.site.load.hang.value;
                // A short rope lifts the litter: the height falls with the length, as a tension does.
                self.refined(
                    key,
                    |balance| balance.state.position.z.value - balance.ground_z_m - hang - height.value,
                    false,
                )
            }
        }
    }

    /// The length at which the greatest (or the least) of a measure over the travel is zero: first over few places,
    /// then at the place that governs among all of them.
    fn refined(
        &self,
        key: &str,
        measure: impl Fn(&Balanced) -> f64,
        greatest: bool,
    ) -> Result<Length, SiteError> {
        let worst_of = |length_m: f64, everywhere: bool| -> Result<(f64, f64), SiteError> {
            let mut worst: Option<(f64, f64)> = None;
            for (x_m, balance) in self.travel(length_m, everywhere, greatest)? {
                // Only what is to float counts for the height.
                if !greatest && x_m > self.plan.far.x.value - self.plan.float_from.value {
                    continue;
                }
                let value = measure(&balance);
                let replaces = worst.is_none_or(|(_, w)| if greatest { value > w } else { value < w });
                if replaces {
                    worst = Some((x_m, value));
                }
            }
            worst.ok_or_else(|| SiteError::new(key, "no place of the load has an equilibrium"))
        };
        let mut length =
            self.length_where(key, ROUGH_TOLERANCE_M, |length_m| Ok(worst_of(length_m, false)?.1))?;
        // The place that governs among all of them hardly moves: once or twice settles it.
        for _ in 0..MOST_ROUNDS {
            let (x_m, value) = worst_of(length.value, true)?;
            if value.abs() < 1e-6 {
                return Ok(length);
            }
            length = self.length_where(key, LENGTH_TOLERANCE_M, |length_m| {
                let track = self.track(metres(length_m))?;
                match self.place(&self.ways(track)?, x_m, None, greatest) {
                    Ok(balance) => Ok(measure(&balance)),
                    Err(Unbalanced::RollsIn | Unbalanced::LiesDown(_)) => Ok(worst_of(length_m, false)?.1),
                    Err(Unbalanced::Other(why)) => Err(why),
                }
            })?;
        }
        Err(SiteError::new(
            key,
            "no length of the track rope was found that gives it: the place that governs changes with every length. Ask for another value, or give more travel.positions",
        ))
    }

    /// The balances over the travel with this length of each strand.
    fn travel(
        &self,
        length_m: f64,
        everywhere: bool,
        with_ground: bool,
    ) -> Result<Vec<(f64, Balanced)>, SiteError> {
        let track = self.track(metres(length_m))?;
        let ways = self.ways(track)?;
        let (start, _) = self.start_x(&ways.hauling, &track)?;
        let mut found: Vec<(f64, Balanced)> = Vec::new();
        for x_m in if everywhere { self.places(start) } else { self.even(start, COARSE) } {
            match self.place(&ways, x_m, found.last().map(|last| &last.1), with_ground) {
                Ok(balance) => found.push((x_m, balance)),
                // While a length is sought: lying down, the load doesn't pull most.
                Err(Unbalanced::RollsIn | Unbalanced::LiesDown(_)) => {}
                Err(Unbalanced::Other(why)) => return Err(why),
            }
        }
        Ok(found)
    }

    /// The load at one place, hauled; without the ground it may hang below it, and is taken as low as it hangs: on the
    /// way down, or hauled where it doesn't run out by itself.
    fn place(
        &self,
        ways: &Ways,
        x_m: f64,
        nearby: Option<&Balanced>,
        with_ground: bool,
    ) -> Result<Balanced, Unbalanced> {
        if with_ground {
            return self.balance(&ways.hauling, x_m, nearby);
        }
        match self.lifted(&ways.lowering, x_m, nearby) {
            Err(Unbalanced::RollsIn) => self.lifted(&ways.hauling, x_m, nearby),
            lowered => lowered,
        }
    }

    /// A length between very taut and very slack at which a falling measure passes zero.
    fn length_where(
        &self,
        key: &str,
        tolerance_m: f64,
        mut measure: impl FnMut(f64) -> Result<f64, SiteError>,
    ) -> Result<Length, SiteError> {
        let (x, z) = self.chord();
        let chord = math::hypot(x, z);
        // A rope shorter than this is far beyond breaking; one longer lies on the ground.
        let (mut short, mut long) = (chord, chord);
        let mut at_short = measure(short)?;
        let mut at_long = at_short;
        for step in 0..12 {
            if at_short >= 0.0 {
                break;
            }
            long = short;
            at_long = at_short;
            short = chord * (1.0 - 0.002 * f64::from(1 << step));
            if short < 0.5 * chord {
                break;
            }
            at_short = measure(short)?;
        }
        if at_short < 0.0 {
            return Err(SiteError::new(
                key,
                "asks for a track rope so tight that it would have to stretch by half: ask for less tension or height",
            ));
        }
        for step in 0..10 {
            if at_long <= 0.0 {
                break;
            }
            short = long;
            long = chord * (1.0 + 0.001 * f64::from(1 << step));
            match measure(long) {
                Ok(value) => at_long = value,
                // No equilibrium so slack: the wish lies between the last two.
                Err(_) => break,
            }
        }
        if at_long > 0.0 {
            return Err(SiteError::new(
                key,
                format!(
                    "asks for so little that no track rope between {} and {} a strand gives it: ask for more",
                    text::both(metres(short)),
                    text::both(metres(long))
                ),
            ));
        }
        math::roots::try_bracketed(short, long, tolerance_m, measure)?
            .map(|root| metres(root.x))
            .ok_or_else(|| SiteError::new(key, "no length of the track rope gives it"))
    }

    /// The track rope without its load.
    pub(crate) fn unloaded(&self, length: Length) -> Result<(Unloaded, Parts), SiteError> {
        let span = self.span(length.value)?;
        let solved = span::solve(&span).map_err(|why| SiteError::new("track", why.to_string()))?;
        let (x0, z0) = (self.plan.head.x.value, self.plan.head.z.value);
        let mut shape = Vec::new();
        let mut sag = 0.0_f64;
        for i in 0..=60 {
            let (x, z) = solved.point(span.length_m * f64::from(i) / 60.0);
            sag = sag.max(span.rise_m * x / span.span_m - z);
            shape.push(Point2::new(metres(x0 + x), metres(z0 + z)));
        }
        let both = newtons(solved.ends.t_first_n);
        let ends = solved.ends;
        let on_head = Force3::new(newtons(ends.h_n), Force::default(), newtons(-ends.v_first_n));
        let on_far = Force3::new(newtons(-ends.h_n), Force::default(), newtons(-ends.v_last_n));
        let rest = self.track_tensions(both, on_head, on_far, Motion::AtRest)?;
        let moving = self.track_tensions(both, on_head, on_far, Motion::Hauling)?;
        let frame =
            self.frame_under(&[OnHead { strands: both, line: on_head, haul: None }], "without its load")?;
        let parts = Parts {
            track: rest.highest().tension,
            far: newtons(ends.t_last_n),
            redirect: rest.redirect().load,
            head: rest.head_crossings().into_iter().fold(Force::default(), Force::max),
            cell: rest.cell().high,
            capstan: rest.capstan().high,
            carriage: Force::default(),
            carriage_load: Force::default(),
            haul: Force::default(),
            haul_head: Force::default(),
            haul_redirects: Vec::new(),
            tackle: Force::default(),
            winch: Force::default(),
            frame: FrameParts::of(&frame),
        };
        let unloaded = Unloaded {
            strand_tension_head: 0.5 * both,
            strand_tension_far: newtons(0.5 * solved.ends.t_last_n),
            reading: self.reading(&rest, both),
            reading_while_tensioning: moving.cell().high,
            capstan_pull: moving.capstan().high,
            strand_length: length,
            sag: metres(sag),
            clearance: self.clearance(&shape),
            frame: frame.ok(),
            forces: Vec::new(),
            shape: shape.into_iter().map(Xz::from).collect(),
        };
        Ok((unloaded, parts))
    }
}

fn positive(key: &str, force: Force) -> Result<f64, SiteError> {
    crate::error::within("", force, 1.0, 1e6).map_err(|why| SiteError::at(key, why))
}
