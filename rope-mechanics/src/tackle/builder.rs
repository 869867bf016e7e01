//! How a tackle is put together.

use super::TackleError;
use super::arrangement::{
    Carrier, CarrierId, Kinematics, MAX_CARRIERS, MAX_MOVING, MAX_PARTS, MAX_ROPES, MAX_STOPS, Name,
    PartData, Placed, RopeId, RopeStop, RunData, RunKind, Tackle,
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

/// Puts a tackle together: carriers first, then ropes, then [`build`](Self::build).
///
/// Carriers are drawn where they are, in space or along a line; [`Tackle`] reads the angles of the parts, the turns
/// at the sheaves and the lengths of rope from the drawing. Unless set otherwise a carrier travels towards the
/// head of the rig: against x.
#[derive(Debug, Clone, Default)]
pub struct Builder {
    carriers: ArrayVec<Carrier, MAX_CARRIERS>,
    stops: ArrayVec<Placed, MAX_STOPS>,
    ropes: ArrayVec<Name, MAX_ROPES>,
    load: Option<usize>,
    moving: usize,
}

impl Builder {
    /// A tackle with nothing in it yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
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
        let index = self.carriers.len();
        if role == Role::Load && self.load.is_some() {
            return Err(TackleError::SecondLoad { name });
        }
        let row = match role {
            Role::Anchor => None,
            _ if self.moving == MAX_MOVING => {
                return Err(TackleError::TooMany { what: "moving carriers", most: MAX_MOVING });
            }
            _ => Some(self.moving),
        };
        let heading = heading.map_or(Vector3::new(-1.0, 0.0, 0.0), Direction3::unit);
        self.carriers
            .try_push(Carrier { name, at, heading, row })
            .map_err(|_| TackleError::TooMany { what: "carriers", most: MAX_CARRIERS })?;
        self.moving += usize::from(row.is_some());
        if role == Role::Load {
            self.load = Some(index);
        }
        Ok(CarrierId(u8::try_from(index).unwrap_or(u8::MAX)))
    }

    /// Reeves a rope: its stops from one end to the other.
    ///
    /// # Errors
    /// If a stop can't stand where it does, two stops that follow each other are at one place, or there is no more
    /// room. The builder is as before then.
    pub fn rope(&mut self, name: &str, stops: &[RopeStop]) -> Result<RopeId, TackleError> {
        let rope_name = Name::new(name)?;
        let rope = self.ropes.len();
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
        if rope == MAX_ROPES {
            return Err(TackleError::TooMany { what: "ropes", most: MAX_ROPES });
        }
        if self.stops.remaining_capacity() < stops.len() {
            return Err(TackleError::TooMany { what: "stops", most: MAX_STOPS });
        }
        let place =
            |index: usize| match stops.get(index).map(|s| self.carriers.get(usize::from(s.carrier().0))) {
                Some(Some(carrier)) => Ok(*carrier),
                _ => Err(TackleError::StrangeCarrier { rope: rope_name, stop: index + 1 }),
            };
        let mut placed = ArrayVec::<Placed, MAX_STOPS>::new();
        for (index, stop) in stops.iter().enumerate() {
            let here = place(index)?;
            if index > 0 {
                let before = place(index - 1)?;
                if before.at == here.at {
                    let (from, to) = (before.name, here.name);
                    return Err(TackleError::NoLength { rope: rope_name, part: index, from, to });
                }
            }
            let wrap = if stop.turn().is_some() {
                wrap_between(place(index - 1)?.at - here.at, place(index + 1)?.at - here.at)
            } else {
                0.0
            };
            add(&mut placed, Placed { stop: *stop, rope, wrap });
        }
        for stop in placed {
            add(&mut self.stops, stop);
        }
        add(&mut self.ropes, rope_name);
        Ok(RopeId(u8::try_from(rope).unwrap_or(u8::MAX)))
    }

    /// Closes the arrangement and proves that it works: every carrier held, no rope too many, no part pushing.
    ///
    /// # Errors
    /// A [`TackleError`] that names the carrier, rope or part at fault.
    pub fn build(self) -> Result<Tackle, TackleError> {
        let load = self.load.ok_or(TackleError::NoLoad)?;
        let parts = self.parts();
        let runs = self.runs(&parts)?;
        let mut tackle = Tackle {
            carriers: self.carriers,
            stops: self.stops,
            ropes: self.ropes,
            parts,
            runs,
            load,
            moving: self.moving,
            motion: Kinematics::default(),
        };
        tackle.motion = Kinematics::of(&tackle)?;
        tackle.without_losses(newtons(1.0))?;
        Ok(tackle)
    }

    fn parts(&self) -> ArrayVec<PartData, MAX_PARTS> {
        let mut parts = ArrayVec::new();
        let mut index = 0;
        for (from_stop, pair) in self.stops.windows(2).enumerate() {
            let [a, b] = pair else { continue };
            if a.rope != b.rope {
                index = 0;
                continue;
            }
            let (from, to) = (usize::from(a.stop.carrier().0), usize::from(b.stop.carrier().0));
            let (Some(start), Some(end)) = (self.carriers.get(from), self.carriers.get(to)) else { continue };
            let along = end.at - start.at;
            let length_m = length(along);
            add(
                &mut parts,
                PartData { rope: a.rope, index, from_stop, from, to, unit: along / length_m, length_m },
            );
            index += 1;
        }
        parts
    }

    fn runs(&self, parts: &[PartData]) -> Result<ArrayVec<RunData, MAX_MOVING>, TackleError> {
        let mut runs = ArrayVec::new();
        let mut hand_seen = false;
        let mut first = 0;
        for (last, part) in parts.iter().enumerate() {
            let (Some(begin), Some(end)) = (
                parts.get(first).and_then(|p| self.stops.get(p.from_stop)),
                self.stops.get(part.from_stop + 1),
            ) else {
                continue;
            };
            if end.stop.turn().is_some() {
                continue;
            }
            let name = self.ropes.get(part.rope).copied().unwrap_or(Name::NONE);
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
            runs.try_push(RunData { first, last, kind }).map_err(|_| TackleError::TooMany {
                what: "lengths of rope between fastenings",
                most: MAX_MOVING,
            })?;
            first = last + 1;
        }
        if hand_seen { Ok(runs) } else { Err(TackleError::NoHand) }
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
