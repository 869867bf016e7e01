//! The winch through the whole job as planned, moment by moment: its battery and how warm its motor is.

use super::haul::Step;
use crate::error::InputError;
use crate::operation::failures::AtMost;
use crate::operation::plan::SiteError;
use crate::operation::power::{Drive, FLAT, WinchStep, told};
use crate::quantity::{
    ElectricCurrent, ElectricPotential, Energy, Length, Ratio, Time, joules, kelvins_apart, metres, ratio,
    seconds,
};
use crate::winch::OneNode;
use alloc::string::{String, ToString};
use alloc::vec::Vec;
use serde::Serialize;

/// A motor that has reached its limit rests until it has cooled to this share of it.
pub(super) const RESUME: f64 = 0.5;
/// No moment is further from the one before, so that a straight line between two shows how it cools.
const LONGEST_S: f64 = 60.0;

/// Battery and motor through the way down and the haul as planned, from a full battery and a cold motor.
///
/// In each piece pull and current stay the same: E = Σ V_oc·I·t, the charge falls by Peukert's law, and the motor warms as
/// one lump, ϑ(t) = ϑ∞ + (ϑ₀ − ϑ∞)·e^(−t/τ).
#[derive(Debug, Clone, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Course {
    /// The start, then the end of each piece.
    pub moments: Vec<Moment>,
    /// Whether it begins with the way down. A winch that is known by its table isn't followed there.
    pub with_way_down: bool,
    /// What stops it; empty if nothing does.
    pub stopped_by: String,
}

/// One moment of a [`Course`].
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[non_exhaustive]
pub struct Moment {
    /// Since the start, with all rests.
    #[serde(rename = "time_s")]
    pub time: Time,
    /// What the winch did up to here.
    pub doing: Doing,
    /// Haul rope from the head to the carriage.
    #[serde(rename = "haul_length_m")]
    pub haul_length: Length,
    /// What it drew up to here.
    #[serde(rename = "current_a")]
    pub current: ElectricCurrent,
    /// Voltage at the winch meanwhile.
    #[serde(rename = "voltage_v")]
    pub voltage: ElectricPotential,
    /// From the battery so far.
    #[serde(rename = "energy_j")]
    pub energy: Energy,
    /// State of charge.
    #[serde(rename = "charge_fraction")]
    pub charge: Ratio,
    /// How warm the motor is, as a share of the rise that it bears: above 1 it burns. Absent where it isn't known what it
    /// bears.
    #[serde(rename = "heat_fraction")]
    pub heat: Option<AtMost<Ratio>>,
}

/// What the winch does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Doing {
    /// Nothing yet.
    Starts,
    /// Lets the litter down.
    Lowers,
    /// Hauls.
    Hauls,
    /// Stands while a tackle is reset.
    Waits,
    /// Stands so that its motor cools.
    Cools,
}

/// A stretch of time in which nothing changes but what time brings.
#[derive(Clone, Copy)]
struct Piece {
    doing: Doing,
    current: ElectricCurrent,
    time: Time,
    /// Haul rope that comes in at the carriage; below zero for what goes out.
    rope: Length,
}

impl Piece {
    fn share(self, share: f64) -> Self {
        Self { time: share * self.time, rope: share * self.rope, ..self }
    }
}

/// What a course is followed with.
pub(super) struct Following<'a> {
    pub(super) drive: &'a Drive,
    pub(super) motor: Option<AtMost<OneNode>>,
    /// Whether it rests at its limit.
    pub(super) rests: bool,
    /// Haul rope from the head to the carriage at the start of the haul.
    pub(super) longest: Length,
}

fn fail(why: InputError) -> SiteError {
    SiteError::at("winch", why)
}

impl Following<'_> {
    /// Through these steps, and its last moment.
    pub(super) fn course(&self, steps: &[Step]) -> Result<(Course, Moment), SiteError> {
        let (pieces, mut stopped_by) = self.pieces(steps)?;
        let with_way_down = steps.first().is_some_and(|(step, _)| matches!(step, WinchStep::Lower { .. }));
        let out: Length =
            steps.iter().filter(|(_, rope)| rope.value < 0.0).fold(metres(0.0), |sum, (_, rope)| sum + *rope);
        let cold = kelvins_apart(0.0);
        let mut rise = AtMost { expected: cold, bound: cold };
        let mut now = Moment {
            time: seconds(0.0),
            doing: Doing::Starts,
            haul_length: self.longest + out,
            current: ElectricCurrent::default(),
            voltage: self.drive.voltage_at(ElectricCurrent::default()),
            energy: joules(0.0),
            charge: ratio(1.0),
            heat: self.motor.map(|_| AtMost { expected: ratio(0.0), bound: ratio(0.0) }),
        };
        let mut moments = Vec::with_capacity(pieces.len() + 1);
        moments.push(now);
        for piece in pieces {
            // Δq = drain(I)·t, until nothing is left
            let drain = self.drive.drain(piece.current)?;
            let used = drain * piece.time.value;
            let flat = used > now.charge.value;
            let piece = if flat { piece.share(now.charge.value / used) } else { piece };
            if let Some(motor) = self.motor {
                let after =
                    |node: OneNode, rise| node.rise_after(rise, piece.current, piece.time).map_err(fail);
                rise = AtMost {
                    expected: after(motor.expected, rise.expected)?,
                    bound: after(motor.bound, rise.bound)?,
                };
                // The rise that it bears is 1 K.
                now.heat =
                    Some(AtMost { expected: ratio(rise.expected.value), bound: ratio(rise.bound.value) });
            }
            now.time += piece.time;
            now.doing = piece.doing;
            now.haul_length -= piece.rope;
            now.current = piece.current;
            now.voltage = self.drive.voltage_at(piece.current);
            now.energy += self.drive.power_at(piece.current) * piece.time;
            now.charge = if flat { ratio(0.0) } else { now.charge - ratio(used) };
            moments.push(now);
            if flat {
                stopped_by = FLAT.to_string();
                break;
            }
        }
        Ok((Course { moments, with_way_down, stopped_by }, now))
    }

    /// The steps cut where the motor has to rest, and so that none is long; and what stops the winch.
    fn pieces(&self, steps: &[Step]) -> Result<(Vec<Piece>, String), SiteError> {
        let mut whole = Vec::with_capacity(steps.len());
        let mut stopped_by = String::new();
        for (step, rope) in steps {
            let (current, time) = match self.drive.draw(step) {
                Ok(draw) => draw,
                Err(why) => {
                    stopped_by = told(&why);
                    break;
                }
            };
            let doing = match step {
                WinchStep::Haul { .. } => Doing::Hauls,
                WinchStep::Lower { .. } => Doing::Lowers,
                WinchStep::Rest(_) => Doing::Waits,
            };
            whole.push(Piece { doing, current, time, rope: *rope });
        }
        let mut pieces = Vec::with_capacity(whole.len());
        let mut add = |piece: Piece| {
            let parts = crate::math::ceil(piece.time.value / LONGEST_S).max(1.0);
            let part = piece.share(1.0 / parts);
            let mut at = 0.0;
            while at < parts {
                pieces.push(part);
                at += 1.0;
            }
        };
        match self.motor.filter(|_| self.rests) {
            None => whole.into_iter().for_each(&mut add),
            Some(motor) => {
                let pulls = whole.iter().map(|piece| (piece.current, piece.time));
                let limits = (kelvins_apart(1.0), kelvins_apart(RESUME));
                let found = motor
                    .expected
                    .each_with_rests(kelvins_apart(0.0), pulls, limits, |stretch| {
                        let Some(piece) = whole.get(stretch.pull) else { return };
                        if stretch.resting {
                            let (current, rope) = (ElectricCurrent::default(), metres(0.0));
                            add(Piece { doing: Doing::Cools, current, time: stretch.time, rope });
                        } else if piece.time.value > 0.0 {
                            add(piece.share((stretch.time / piece.time).value));
                        }
                    })
                    .map_err(fail)?;
                if !found.gets_through {
                    stopped_by = TOO_SMALL.to_string();
                }
            }
        }
        Ok((pieces, stopped_by))
    }
}

/// Why a course ends where the motor does nothing but rest.
const TOO_SMALL: &str = "the motor is too small: it does little but cool";
