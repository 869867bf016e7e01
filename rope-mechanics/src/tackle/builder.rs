//! How a tackle is put together.

use super::TackleError;
use super::arrangement::{
    Carrier, CarrierId, Kinematics, MAX_CARRIERS, MAX_MOVING, MAX_ROPES, MAX_STOPS, Name, PartData, Placed,
    RopeId, RopeStop, RunData, RunKind, Tackle, small,
};
use crate::geometry::{Direction3, Point3};
use crate::math::{self, lists::add};
use crate::quantity::{Length, metres, newtons};
use arrayvec::ArrayVec;
use core::f64::consts::PI;
use nalgebra::Vector3;

/// What a carrier does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Role {
    Anchor,
    Load,
    Free,
}

/// Puts a tackle together: carriers first, then ropes, then [`build`](Self::build), or [`close`](Self::close) where a
/// second copy of some 7 kB would be too much for the stack.
///
/// Carriers are drawn where they are, in space or along a line; [`Tackle`] reads the angles of the parts, the turns
/// at the sheaves and the lengths of rope from the drawing. Unless set otherwise a carrier travels towards the
/// head of the rig: against x.
#[derive(Debug, Clone)]
pub struct Builder {
    /// As far as it goes: parts, runs and motion are those of the last time it was closed.
    tackle: Tackle,
}

impl Default for Builder {
    fn default() -> Self {
        Self::new()
    }
}

impl Builder {
    /// A tackle with nothing in it yet.
    #[must_use]
    pub fn new() -> Self {
        Self {
            tackle: Tackle {
                carriers: ArrayVec::new(),
                stops: ArrayVec::new(),
                ropes: ArrayVec::new(),
                parts: ArrayVec::new(),
                runs: ArrayVec::new(),
                load: None,
                moving: 0,
                motion: Kinematics::default(),
            },
        }
    }

    /// Adds an anchor: it stays where it is. The crew or the winch stands at one too.
    ///
    /// # Errors
    /// If the name or the place can't be used, or there is no more room.
    pub fn anchor(&mut self, name: &str, at: Point3) -> Result<CarrierId, TackleError> {
        self.carrier_as(Role::Anchor, name, at, None)
    }

    /// Adds the load, which travels along `heading` while it is hauled; its pull is against that.
    ///
    /// # Errors
    /// If there is a load already, the name or the place can't be used, or there is no more room.
    pub fn load(&mut self, name: &str, at: Point3, heading: Direction3) -> Result<CarrierId, TackleError> {
        self.carrier_as(Role::Load, name, at, Some(heading))
    }

    /// Adds a travelling block or a grab, which moves along `heading` or against it.
    ///
    /// # Errors
    /// If the name or the place can't be used, or there is no more room.
    pub fn carrier(&mut self, name: &str, at: Point3, heading: Direction3) -> Result<CarrierId, TackleError> {
        self.carrier_as(Role::Free, name, at, Some(heading))
    }

    /// Adds an anchor at a place along a line.
    ///
    /// # Errors
    /// As [`anchor`](Self::anchor).
    pub fn anchor_in_line(&mut self, name: &str, x: Length) -> Result<CarrierId, TackleError> {
        self.carrier_as(Role::Anchor, name, in_line(x), None)
    }

    /// Adds the load at a place along a line; it is hauled towards smaller x.
    ///
    /// # Errors
    /// As [`load`](Self::load).
    pub fn load_in_line(&mut self, name: &str, x: Length) -> Result<CarrierId, TackleError> {
        self.carrier_as(Role::Load, name, in_line(x), None)
    }

    /// Adds a travelling block or grab at a place along a line.
    ///
    /// # Errors
    /// As [`carrier`](Self::carrier).
    pub fn carrier_in_line(&mut self, name: &str, x: Length) -> Result<CarrierId, TackleError> {
        self.carrier_as(Role::Free, name, in_line(x), None)
    }

    fn carrier_as(
        &mut self,
        role: Role,
        name: &str,
        at: Point3,
        heading: Option<Direction3>,
    ) -> Result<CarrierId, TackleError> {
        let name = Name::new(name)?;
        let at = at.finite("carrier_at")?;
        let tackle = &mut self.tackle;
        let id = CarrierId(small(tackle.carriers.len()));
        if role == Role::Load && tackle.load.is_some() {
            return Err(TackleError::SecondLoad { name });
        }
        let row = match role {
            Role::Anchor => None,
            _ if tackle.moving == MAX_MOVING => {
                return Err(TackleError::TooMany { what: "moving carriers", most: MAX_MOVING });
            }
            _ => Some(tackle.moving),
        };
        let heading = heading.map_or(Vector3::new(-1.0, 0.0, 0.0), Direction3::unit);
        tackle
            .carriers
            .try_push(Carrier::new(name, at, heading, row))
            .map_err(|_| TackleError::TooMany { what: "carriers", most: MAX_CARRIERS })?;
        tackle.moving += usize::from(row.is_some());
        if role == Role::Load {
            tackle.load = Some(id);
        }
        Ok(id)
    }

    /// Reeves a rope: its stops from one end to the other.
    ///
    /// # Errors
    /// If a stop can't stand where it does, two stops that follow each other are at one place, or there is no more
    /// room. The builder is as before then.
    pub fn rope(&mut self, name: &str, stops: &[RopeStop]) -> Result<RopeId, TackleError> {
        let rope_name = Name::new(name)?;
        let rope = small(self.tackle.ropes.len());
        let wrong = |stop: usize, must| Err(TackleError::WrongStop { rope: rope_name, stop: stop + 1, must });
        for (index, stop) in stops.iter().enumerate() {
            let outer = index == 0 || index + 1 == stops.len();
            match stop {
                RopeStop::End(_) | RopeStop::Hand(_) | RopeStop::Tail(_) if !outer => {
                    return wrong(index, "a sheave, a capture or a grab, being neither first nor last");
                }
                RopeStop::Sheave(..) | RopeStop::Capture(..) | RopeStop::Grab(_) if outer => {
                    return wrong(index, "an end, the hand or a tail, being first or last");
                }
                _ => {}
            }
        }
        if stops.len() < 2 {
            return wrong(stops.len(), "there: a rope has two ends");
        }
        if self.tackle.ropes.is_full() {
            return Err(TackleError::TooMany { what: "ropes", most: MAX_ROPES });
        }
        if self.tackle.stops.remaining_capacity() < stops.len() {
            return Err(TackleError::TooMany { what: "stops", most: MAX_STOPS });
        }
        let before = self.tackle.stops.len();
        if let Err(why) = self.place(rope_name, rope, stops) {
            self.tackle.stops.truncate(before);
            return Err(why);
        }
        add(&mut self.tackle.ropes, rope_name);
        Ok(RopeId(rope))
    }

    /// Adds the stops of a rope, for which there is room, with how far it turns at each.
    fn place(&mut self, rope_name: Name, rope: u8, stops: &[RopeStop]) -> Result<(), TackleError> {
        let Tackle { carriers, stops: all, .. } = &mut self.tackle;
        let at = |index: usize| match stops.get(index).map(|s| carriers.get(usize::from(s.carrier().0))) {
            Some(Some(carrier)) => Ok(carrier),
            _ => Err(TackleError::StrangeCarrier { rope: rope_name, stop: index + 1 }),
        };
        for (index, stop) in stops.iter().enumerate() {
            let here = at(index)?;
            if index > 0 {
                let before = at(index - 1)?;
                if before.at == here.at {
                    let (from, to) = (before.name, here.name);
                    return Err(TackleError::NoLength { rope: rope_name, part: index, from, to });
                }
            }
            let wrap = if stop.turn().is_some() {
                wrap_between(at(index - 1)?.at - here.at, at(index + 1)?.at - here.at)
            } else {
                0.0
            };
            add(all, Placed { stop: *stop, rope, wrap });
        }
        Ok(())
    }

    /// Closes the arrangement and proves that it works: every carrier held, no rope too many, no part pushing.
    ///
    /// # Errors
    /// A [`TackleError`] that names the carrier, rope or part at fault.
    pub fn build(mut self) -> Result<Tackle, TackleError> {
        self.close()?;
        Ok(self.tackle)
    }

    /// The same with the tackle left where it is, which keeps a second copy off the stack of a controller.
    ///
    /// More carriers and ropes may be added afterwards, and the arrangement closed again.
    ///
    /// # Errors
    /// As [`build`](Self::build).
    pub fn close(&mut self) -> Result<&Tackle, TackleError> {
        let tackle = &mut self.tackle;
        if tackle.load.is_none() {
            return Err(TackleError::NoLoad);
        }
        tackle.find_parts();
        tackle.find_runs()?;
        tackle.motion = Kinematics::of(tackle)?;
        tackle.without_losses(newtons(1.0))?;
        Ok(tackle)
    }
}

impl Tackle {
    fn find_parts(&mut self) {
        let Self { carriers, stops, parts, .. } = self;
        parts.clear();
        let mut index = 0;
        for (from_stop, pair) in stops.windows(2).enumerate() {
            let [a, b] = pair else { continue };
            if a.rope != b.rope {
                index = 0;
                continue;
            }
            let ends = [a.stop.carrier(), b.stop.carrier()];
            let [Some(start), Some(end)] = ends.map(|id| carriers.get(usize::from(id.0))) else { continue };
            let along = end.at - start.at;
            add(parts, PartData::new(a.rope, index, from_stop, ends, along, length(along)));
            index += 1;
        }
    }

    fn find_runs(&mut self) -> Result<(), TackleError> {
        let Self { stops, ropes, parts, runs, .. } = self;
        runs.clear();
        let mut hand_seen = false;
        let mut first = 0;
        for (last, part) in parts.iter().enumerate() {
            let (Some(begin), Some(end)) =
                (parts.get(first).and_then(|p| stops.get(p.first_stop())), stops.get(part.first_stop() + 1))
            else {
                continue;
            };
            if end.stop.turn().is_some() {
                continue;
            }
            let name = ropes.get(usize::from(part.rope)).copied().unwrap_or(Name::NONE);
            let kind = match (begin.stop, end.stop) {
                (a, b) if a.is_fastened() && b.is_fastened() => RunKind::Tied,
                (RopeStop::Hand(_), b) if b.is_fastened() => RunKind::HandFirst,
                (a, RopeStop::Hand(_)) if a.is_fastened() => RunKind::HandLast,
                (RopeStop::Tail(_), b) if b.is_fastened() => RunKind::TailFirst,
                (a, RopeStop::Tail(_)) if a.is_fastened() => RunKind::TailLast,
                _ => return Err(TackleError::Untied { rope: name }),
            };
            if matches!(kind, RunKind::HandFirst | RunKind::HandLast) {
                if hand_seen {
                    return Err(TackleError::SecondHand { rope: name });
                }
                hand_seen = true;
            }
            runs.try_push(RunData::new(first, last, kind)).map_err(|_| TackleError::TooMany {
                what: "lengths of rope between fastenings",
                most: MAX_MOVING,
            })?;
            first = last + 1;
        }
        if hand_seen { Ok(()) } else { Err(TackleError::NoHand) }
    }
}

fn in_line(x: Length) -> Point3 {
    Point3::new(x, metres(0.0), metres(0.0))
}

fn length(v: Vector3<f64>) -> f64 {
    // Scaled, so that the squares neither overflow nor vanish.
    let largest = v.amax();
    if largest > 0.0 { largest * math::sqrt((v / largest).norm_squared()) } else { 0.0 }
}

/// How far a rope turns between two parts that leave a sheave in these directions.
fn wrap_between(a: Vector3<f64>, b: Vector3<f64>) -> f64 {
    let (a, b) = (a / length(a), b / length(b));
    // θ = π − angle between the parts
    PI - math::atan2(length(a.cross(&b)), a.dot(&b))
}
