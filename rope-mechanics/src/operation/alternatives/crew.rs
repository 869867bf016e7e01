//! What the alternatives take of the crew and of the motor's heat, its defaults filled in.

use crate::error::{self, Allowed, Checked};
use crate::operation::failures::AtMost;
use crate::operation::plan::SiteError;
use crate::operation::power::Drive;
use crate::operation::site::{Site, SiteHeat, SiteWinch};
use crate::operation::study::Assumption;
use crate::quantity::unit::percent;
use crate::quantity::{Force, Length, Mark, Mass, Ratio, Time, kelvins_apart, metres, newtons, seconds};
use crate::text::{self, Text};
use crate::winch::OneNode;
use alloc::format;
use alloc::string::ToString;
use alloc::vec::Vec;

/// Height of an attendant's harness above the feet.
///
/// 0.53 of the stature to the hip and 0.6 to the navel (Drillis & Contini 1966, from memory): 0.9 to 1.1 m.
pub(super) const HARNESS_M: f64 = 1.0;
/// Height above the underside of the litter at which an attendant is attached to it. From memory: the height of a rail.
pub(super) const RAIL_M: f64 = 0.3;

/// The crew, every default filled in.
#[derive(Debug, Clone, Copy)]
pub(super) struct Crew {
    /// Steady pull of one person, and the least to count on.
    pub(super) pull: Force,
    pub(super) pull_least: Force,
    pub(super) delay: Time,
    pub(super) reset: Time,
    pub(super) conversion: Time,
    pub(super) attendant: Mass,
    pub(super) attachment: Length,
    pub(super) share: Ratio,
    /// How far one setting of a tackle hauls the load.
    pub(super) throw: Length,
    /// The motor as it is expected to warm, and at the worst; nothing where that isn't known.
    pub(super) motor: Option<AtMost<OneNode>>,
    /// Whether the site file says what the motor bears.
    pub(super) motor_is_given: bool,
}

/// Collects what is assumed.
struct Reader<'a> {
    assumptions: &'a mut Vec<Assumption>,
}

impl Reader<'_> {
    fn or<Q: Text + Checked>(
        &mut self,
        (key, given): (&str, Option<Q>),
        default: Q,
        (what, mark): (&str, Mark),
        allowed: Allowed,
    ) -> Result<Q, SiteError> {
        match given {
            Some(value) => {
                error::check("", value, allowed).map_err(|why| SiteError::at(key, why))?;
                Ok(value)
            }
            None => {
                let text = format!("{what}: {}", text::both(default));
                self.assumptions.push(Assumption { key: key.to_string(), text, mark });
                Ok(default)
            }
        }
    }
}

impl Crew {
    /// Of a site, listing what it doesn't give.
    pub(super) fn new(
        site: &Site,
        drive: &Drive,
        last_of_haul_rope: Length,
        assumptions: &mut Vec<Assumption>,
    ) -> Result<Self, SiteError> {
        let crew = &site.crew;
        let mut read = Reader { assumptions };
        let within = Allowed::Within;
        let pull = read.or(
            ("crew.pull", crew.pull),
            newtons(200.0),
            (
                "steady pull of one person on a rope (150 to 300 N, the least counts for a bound)",
                Mark::Memory,
            ),
            within(20.0, 2000.0),
        )?;
        let delay = read.or(
            ("crew.delay", crew.delay),
            seconds(2.0),
            ("how late a belay is tended", Mark::Memory),
            within(0.0, 60.0),
        )?;
        let reset = read.or(
            ("crew.reset", crew.reset),
            seconds(120.0),
            ("time to reset a tackle (1 to 4 min)", Mark::Memory),
            within(0.0, 3600.0),
        )?;
        let conversion = read.or(
            ("crew.conversion", crew.conversion),
            seconds(300.0),
            ("time to convert a straight pull into a tackle under load (3 to 10 min)", Mark::Memory),
            within(0.0, 7200.0),
        )?;
        let attendant = read.or(
            ("crew.attendant", crew.attendant),
            Mass::new::<crate::quantity::unit::kilogram>(85.0),
            ("mass of one attendant with gear", Mark::Memory),
            within(1.0, 300.0),
        )?;
        let attachment = read.or(
            ("crew.attachment", crew.attachment),
            metres(0.8),
            ("length of an attendant's attachment, between harness and litter", Mark::Memory),
            within(0.0, 20.0),
        )?;
        let share = read.or(
            ("crew.share", crew.share),
            Ratio::new::<percent>(30.0),
            (
                "share of their weight that attendants leave to the line with their feet on the ground",
                Mark::Memory,
            ),
            within(0.0, 1.0),
        )?;
        let throw = read.or(
            ("haul.throw", site.haul.throw),
            (last_of_haul_rope - metres(1.0)).max(metres(1.0)),
            (
                "how far one setting of a tackle hauls the load: the last part of the haul rope less 1 m",
                Mark::Choice,
            ),
            within(0.1, 1000.0),
        )?;
        let pull_least = if crew.pull.is_some() { pull } else { newtons(150.0) };
        let (motor, motor_is_given) = motor(site, drive, &mut read)?;
        Ok(Self {
            pull,
            pull_least,
            delay,
            reset,
            conversion,
            attendant,
            attachment,
            share,
            throw,
            motor,
            motor_is_given,
        })
    }

    /// How many people pull so hard: as expected, and if each pulls with the least.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small whole number, never below zero"
    )]
    pub(super) fn people_for(&self, pull: Force) -> AtMost<u32> {
        let people = |one: Force| crate::math::ceil((pull / one).value - 1e-9).max(0.0) as u32;
        AtMost { expected: people(self.pull), bound: people(self.pull_least) }
    }

    /// The litter height up to which an attendant's feet stay down, standing beside it: h = a + harness − rail.
    pub(super) fn feet_down_to(&self) -> Length {
        (self.attachment + metres(HARNESS_M - RAIL_M)).max(metres(0.0))
    }
}

/// The motor, and whether the site file says what it bears.
fn motor(
    site: &Site,
    drive: &Drive,
    read: &mut Reader<'_>,
) -> Result<(Option<AtMost<OneNode>>, bool), SiteError> {
    let (key, heat): (&str, &SiteHeat) = match &site.winch {
        SiteWinch::Motor(motor) => ("winch.motor.heat", &motor.heat),
        SiteWinch::Table(table) => ("winch.table.heat", &table.heat),
    };
    let time_constant = read.or(
        (&format!("{key}.time_constant"), heat.time_constant),
        seconds(1200.0),
        ("thermal time constant of the winch's motor (10 to 40 min)", Mark::Memory),
        Allowed::Within(10.0, 1e5),
    )?;
    if let (Some(_), Some(_)) = (heat.continuous_current, heat.short_time) {
        return Err(SiteError::new(
            format!("{key}.short_time"),
            "says the same as continuous_current in another way: give one of them",
        ));
    }
    if let Some(current) = heat.continuous_current {
        let field = format!("{key}.continuous_current");
        error::within("", current, 0.1, 1e5).map_err(|why| SiteError::at(&field, why))?;
        let node = OneNode::new(current, kelvins_apart(1.0), time_constant);
        return node
            .map(|node| (Some(AtMost { expected: node, bound: node }), true))
            .map_err(|why| SiteError::at(field, why));
    }
    let by = |short_time: Time| drive.motor_by_short_time(short_time, time_constant);
    if let Some(short_time) = heat.short_time {
        error::within("", short_time, 1.0, 1e5)
            .map_err(|why| SiteError::at(format!("{key}.short_time"), why))?;
        return Ok((by(short_time).map(|node| AtMost { expected: node, bound: node }), true));
    }
    read.or(
        (&format!("{key}.short_time"), None),
        seconds(300.0),
        ("how long the winch's motor bears its rated pull from cold (2 to 10 min; 2 min counts for a bound)", Mark::Memory),
        Allowed::Finite,
    )?;
    let both = by(seconds(300.0)).zip(by(seconds(120.0)));
    Ok((both.map(|(expected, bound)| AtMost { expected, bound }), false))
}
