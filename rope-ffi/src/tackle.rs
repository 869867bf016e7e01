//! Tackle: usual ones by their number, any other by arrays of carriers and stops.

use crate::call::{Growing, call, growing, input, inputs, output, writable};
use crate::error::{
    Failure, RMECH_ERR_CAPACITY, RMECH_ERR_ENUMERATOR, RMECH_ERR_GEOMETRY, RMECH_ERR_POINTER,
    RMECH_ERR_UNSOLVED, rmech_error,
};
use crate::quantity::{rmech_force, rmech_force3, rmech_length, rmech_point, rmech_ratio};
use crate::sheave::{RMECH_MOTION_HAULING, RMECH_MOTION_LOWERING};
use rope_mechanics::geometry::Direction3;
use rope_mechanics::sheave::Turn;
use rope_mechanics::tackle::{
    Builder, Forces, Form, Layout, MAX_CARRIERS, MAX_PARTS, MAX_ROPES, MAX_STOPS, Plan, Ready, Stop, Tackle,
    TackleError, Usual,
};

/// A straight pull; with a lead, the 1:1 redirect.
pub const RMECH_TACKLE_1_TO_1: i32 = 1;
/// A rope from the anchor around one travelling sheave.
pub const RMECH_TACKLE_2_TO_1: i32 = 2;
/// One sheave at the anchor and one travelling.
pub const RMECH_TACKLE_3_TO_1: i32 = 3;
/// A 2:1 pulled by a 2:1.
pub const RMECH_TACKLE_4_TO_1: i32 = 4;
/// Two sheaves at the anchor and two travelling.
pub const RMECH_TACKLE_5_TO_1: i32 = 5;
/// A 3:1 pulled by a 2:1.
pub const RMECH_TACKLE_6_TO_1: i32 = 6;
/// A 3:1 pulled by a 3:1.
pub const RMECH_TACKLE_9_TO_1: i32 = 9;
/// The 5:1 of three sheaves and two grabs, pulled towards the load. It takes no lead.
pub const RMECH_TACKLE_5_TO_1_COMPLEX: i32 = 105;

/// A flag of a usual tackle: it grips the load's rope, which a grab at the anchor holds, and isn't made of it.
pub const RMECH_TACKLE_PIGGYBACK: u32 = 1;
/// A flag of a usual tackle: a lead sheave at the anchor turns the hand's end back.
pub const RMECH_TACKLE_LEAD: u32 = 2;

/// A state of a tackle, beside `RMECH_MOTION_HAULING` and `RMECH_MOTION_LOWERING`: without losses, the ideal.
pub const RMECH_TACKLE_LOSSLESS: i32 = 101;
/// A state of a tackle: held by its capture, with the hand off.
pub const RMECH_TACKLE_HELD: i32 = 102;

/// A carrier that stays where it is.
pub const RMECH_CARRIER_ANCHOR: i32 = 0;
/// The carrier that is hauled. There is one.
pub const RMECH_CARRIER_LOAD: i32 = 1;
/// A travelling block or grab.
pub const RMECH_CARRIER_FREE: i32 = 2;

/// A rope's end tied to a carrier.
pub const RMECH_TACKLE_STOP_END: i32 = 0;
/// A rope's end in the hand or on the winch, which stands at a carrier. There is one.
pub const RMECH_TACKLE_STOP_HAND: i32 = 1;
/// A rope's end that hangs slack or is tailed.
pub const RMECH_TACKLE_STOP_TAIL: i32 = 2;
/// A rope held by a grab that sits on a carrier.
pub const RMECH_TACKLE_STOP_GRAB: i32 = 3;
/// A rope over a sheave or connector on a carrier.
pub const RMECH_TACKLE_STOP_SHEAVE: i32 = 4;
/// The same, with a capture of progress.
pub const RMECH_TACKLE_STOP_CAPTURE: i32 = 5;
/// A rope over a fixed bar on a carrier.
pub const RMECH_TACKLE_STOP_BAR: i32 = 6;

/// A usual tackle and where its parts stand along its line.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_tackle {
    /// sizeof(rmech_tackle); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// `RMECH_TACKLE_PIGGYBACK`, `RMECH_TACKLE_LEAD`, both or none.
    pub flags: u32,
    /// Which: `RMECH_TACKLE_3_TO_1`, ...
    pub ready: i32,
    /// Zero.
    pub reserved: i32,
    /// From the anchor to the load.
    pub load_distance: rmech_length,
    /// From the anchor to the travelling block or grab when the tackle is spread out: less than that to the load.
    pub spread: rmech_length,
    /// From the anchor to the hand or winch; zero for 1 m.
    pub hand_distance: rmech_length,
    /// Of every pulley over half a turn: tension after by tension before.
    pub efficiency: rmech_ratio,
    /// Of single pulleys, in the order in which the rope reaches them from the load to the hand; zero where it is
    /// that of every pulley.
    pub efficiencies: [rmech_ratio; 5],
}

// SAFETY: repr(C), begins with its size, plain numbers.
unsafe impl Growing for rmech_tackle {
    const FIRST_SIZE: usize = size_of::<rmech_tackle>();
}

/// Load by hand force.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_advantage {
    /// Without losses.
    pub ideal: rmech_ratio,
    /// While the load comes.
    pub hauling: rmech_ratio,
    /// While the load goes.
    pub lowering: rmech_ratio,
}

/// What a tackle does for a load.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_tackle_forces {
    /// At the hand or winch; zero while a capture holds.
    pub hand: rmech_force,
    /// The highest tension of any part.
    pub highest: rmech_force,
    /// Rope through the hand for each length that the load travels.
    pub velocity_ratio: rmech_ratio,
    /// How many parts of rope there are.
    pub parts: u32,
    /// How many sheaves the ropes turn over.
    pub sheaves: u32,
}

/// A haul to be planned.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_haul_plan {
    /// How far the load is to come: above zero.
    pub haul: rmech_length,
    /// What must stay clear between any two carriers that a part joins.
    pub clearance: rmech_length,
    /// How far rope slips back through the capture before it holds.
    pub setback: rmech_length,
}

/// What a haul takes with a tackle that must be reset on the way.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_cycle {
    /// The load's travel between two resets.
    pub throw_at_load: rmech_length,
    /// Rope through the hand between two resets.
    pub throw_at_hand: rmech_length,
    /// How far the load goes back at each reset.
    pub lost: rmech_length,
    /// All the rope that comes through the hand.
    pub hand: rmech_length,
    /// The rope in the tackle as drawn, beside knots and tails.
    pub rope: rmech_length,
    /// How many throws the haul takes.
    pub throws: u32,
    /// How many resets lie between them.
    pub resets: u32,
}

/// A carrier of any tackle.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_carrier {
    /// `RMECH_CARRIER_ANCHOR`, `RMECH_CARRIER_LOAD` or `RMECH_CARRIER_FREE`.
    pub kind: i32,
    /// Zero.
    pub reserved: i32,
    /// Where it stands.
    pub at: rmech_point,
    /// Along which it travels, of any length; all zero for against x. Ignored for an anchor.
    pub heading: [rmech_ratio; 3],
}

/// A stop of a rope. Stops that follow each other with the same `rope` make one rope, from one end to the other.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_stop {
    /// `RMECH_TACKLE_STOP_END`, ...
    pub kind: i32,
    /// Any number that tells its rope from the one before and after it.
    pub rope: u32,
    /// The index of its carrier.
    pub carrier: u32,
    /// Zero.
    pub reserved: u32,
    /// Of a sheave or capture, over half a turn; 1 for a capture that the rope runs straight through.
    pub efficiency: rmech_ratio,
    /// Of a bar, while raising.
    pub friction_raising: rmech_ratio,
    /// Of a bar, while lowering.
    pub friction_lowering: rmech_ratio,
}

impl From<TackleError> for Failure {
    fn from(why: TackleError) -> Self {
        match why {
            TackleError::Input(why) => why.into(),
            TackleError::Unsolved { .. } => Self::new(RMECH_ERR_UNSOLVED, why),
            _ => Self::new(RMECH_ERR_GEOMETRY, why),
        }
    }
}

fn unknown(field: &str, value: impl core::fmt::Display) -> Failure {
    Failure::of(
        RMECH_ERR_ENUMERATOR,
        field,
        format_args!("{field} is {value}, which is none of its enumerators"),
    )
}

/// The usual tackle of these enumerators.
pub(crate) fn usual(ready: i32, flags: u32) -> Result<Usual, Failure> {
    let ready = match ready {
        RMECH_TACKLE_1_TO_1 => Ready::OneToOne,
        RMECH_TACKLE_2_TO_1 => Ready::TwoToOne,
        RMECH_TACKLE_3_TO_1 => Ready::ThreeToOne,
        RMECH_TACKLE_4_TO_1 => Ready::FourToOne,
        RMECH_TACKLE_5_TO_1 => Ready::FiveToOne,
        RMECH_TACKLE_5_TO_1_COMPLEX => Ready::FiveToOneComplex,
        RMECH_TACKLE_6_TO_1 => Ready::SixToOne,
        RMECH_TACKLE_9_TO_1 => Ready::NineToOne,
        _ => return Err(unknown("ready", ready)),
    };
    if flags & !(RMECH_TACKLE_PIGGYBACK | RMECH_TACKLE_LEAD) != 0 {
        return Err(unknown("flags", flags));
    }
    let form = if flags & RMECH_TACKLE_PIGGYBACK == 0 { Form::Direct } else { Form::Piggyback };
    Ok(Usual { ready, form, lead: flags & RMECH_TACKLE_LEAD != 0 })
}

/// The enumerator of a usual tackle.
pub(crate) fn ready_of(usual: Usual) -> Result<i32, Failure> {
    Ok(match usual.ready {
        Ready::OneToOne => RMECH_TACKLE_1_TO_1,
        Ready::TwoToOne => RMECH_TACKLE_2_TO_1,
        Ready::ThreeToOne => RMECH_TACKLE_3_TO_1,
        Ready::FourToOne => RMECH_TACKLE_4_TO_1,
        Ready::FiveToOne => RMECH_TACKLE_5_TO_1,
        Ready::FiveToOneComplex => RMECH_TACKLE_5_TO_1_COMPLEX,
        Ready::SixToOne => RMECH_TACKLE_6_TO_1,
        Ready::NineToOne => RMECH_TACKLE_9_TO_1,
        _ => return Err(unknown("ready", "new")),
    })
}

pub(crate) fn reserved(value: i64) -> Result<(), Failure> {
    if value == 0 { Ok(()) } else { Err(unknown("reserved", value)) }
}

impl rmech_tackle {
    pub(crate) fn usual(&self) -> Result<Usual, Failure> {
        reserved(i64::from(self.reserved))?;
        usual(self.ready, self.flags)
    }

    pub(crate) fn layout(&self) -> Result<Layout, Failure> {
        let layout = Layout::new(self.load_distance.get(), self.spread.get())?;
        Ok(if self.hand_distance.metres == 0.0 {
            layout
        } else {
            layout.with_hand(self.hand_distance.get())?
        })
    }

    pub(crate) fn pulley(&self) -> Result<Turn, Failure> {
        Ok(Turn::sheave(self.efficiency.get())?)
    }

    pub(crate) fn build(&self) -> Result<Tackle, Failure> {
        let usual = self.usual()?;
        let mut pulleys = [self.pulley()?; 5];
        for (pulley, own) in pulleys.iter_mut().zip(self.efficiencies) {
            if own.fraction != 0.0 {
                *pulley = Turn::sheave(own.get())?;
            }
        }
        let pulleys = pulleys.get(..usual.sheaves()).unwrap_or_default();
        Ok(usual.build(&self.layout()?, pulleys)?)
    }
}

impl rmech_haul_plan {
    pub(crate) fn get(self) -> Result<Plan, Failure> {
        let plan = Plan::new(self.haul.get())?;
        Ok(plan.with_clearance(self.clearance.get())?.with_setback(self.setback.get())?)
    }
}

impl From<rope_mechanics::tackle::Cycle> for rmech_cycle {
    fn from(cycle: rope_mechanics::tackle::Cycle) -> Self {
        Self {
            throw_at_load: cycle.throw.load.into(),
            throw_at_hand: cycle.throw.hand.into(),
            lost: cycle.lost.into(),
            hand: cycle.hand.into(),
            rope: cycle.rope.into(),
            throws: cycle.throws,
            resets: cycle.resets,
        }
    }
}

fn forces_of(tackle: &Tackle, load: rmech_force, state: i32) -> Result<Forces<'_>, Failure> {
    let load = load.get();
    Ok(match state {
        RMECH_TACKLE_LOSSLESS => tackle.without_losses(load)?,
        RMECH_MOTION_HAULING => tackle.hauling(load)?,
        RMECH_MOTION_LOWERING => tackle.lowering(load)?,
        RMECH_TACKLE_HELD => tackle.held(load)?,
        _ => return Err(unknown("state", state)),
    })
}

fn summary(tackle: &Tackle, forces: &Forces<'_>) -> rmech_tackle_forces {
    rmech_tackle_forces {
        hand: forces.hand().into(),
        highest: forces.highest().into(),
        velocity_ratio: tackle.velocity_ratio().into(),
        parts: u32::try_from(tackle.parts().count()).unwrap_or(u32::MAX),
        sheaves: u32::try_from(tackle.sheaves()).unwrap_or(u32::MAX),
    }
}

/// Checks that an array has room for this many; NULL with no room is fine, for none are written then.
fn room<T>(name: &str, at: *mut T, capacity: usize, needed: usize) -> Result<bool, Failure> {
    if at.is_null() && capacity == 0 {
        return Ok(false);
    }
    writable(name, at)?;
    if capacity < needed {
        let message = format_args!("{name} has room for {capacity}, but {needed} are to be written");
        return Err(Failure::of(RMECH_ERR_CAPACITY, name, message));
    }
    Ok(true)
}

/// Writes the tension of every part.
unsafe fn write_tensions(tensions: *mut rmech_force, forces: &Forces<'_>) {
    for (i, part) in forces.parts().enumerate() {
        // SAFETY: `room` has found an aligned array of at least as many.
        unsafe { tensions.add(i).write(part.tension.into()) };
    }
}

/// The advantage of a usual tackle: without losses, hauling and lowering.
///
/// Model, formula and range: `rope_mechanics::tackle` in the library's documentation.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_advantage(
    tackle: *const rmech_tackle,
    advantage: *mut rmech_advantage,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let tackle = unsafe { growing("tackle", tackle)? };
        writable("advantage", advantage)?;
        let found = tackle.build()?.advantage()?;
        let value = rmech_advantage {
            ideal: found.ideal.into(),
            hauling: found.hauling.into(),
            lowering: found.lowering.into(),
        };
        // SAFETY: as above.
        unsafe { output("advantage", advantage, value) }
    })
}

/// The forces in a usual tackle for a load, in one state: `RMECH_MOTION_HAULING`,
/// `RMECH_MOTION_LOWERING`, `RMECH_TACKLE_LOSSLESS` or `RMECH_TACKLE_HELD`.
///
/// `tensions` takes the tension of every part in the order in which the ropes were reeved, if `capacity` is at least
/// the number of parts; NULL with a capacity of 0 asks for the rest alone.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_work_out(
    tackle: *const rmech_tackle,
    load: *const rmech_force,
    state: i32,
    tensions: *mut rmech_force,
    capacity: usize,
    forces: *mut rmech_tackle_forces,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (tackle, load) = unsafe { (growing("tackle", tackle)?, input("load", load)?) };
        writable("forces", forces)?;
        let built = tackle.build()?;
        let found = forces_of(&built, load, state)?;
        if room("tensions", tensions, capacity, built.parts().count())? {
            // SAFETY: as above.
            unsafe { write_tensions(tensions, &found) };
        }
        // SAFETY: as above.
        unsafe { output("forces", forces, summary(&built, &found)) }
    })
}

/// Throws, resets and rope for a whole haul with a usual tackle.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_tackle_cycle(
    tackle: *const rmech_tackle,
    plan: *const rmech_haul_plan,
    cycle: *mut rmech_cycle,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (tackle, plan) = unsafe { (growing("tackle", tackle)?, input("plan", plan)?) };
        writable("cycle", cycle)?;
        let value = tackle.build()?.cycle(&plan.get()?)?.into();
        // SAFETY: as above.
        unsafe { output("cycle", cycle, value) }
    })
}

/// What the carriers are called in a message: by their index.
const CARRIERS: [&str; MAX_CARRIERS] = [
    "carrier 0",
    "carrier 1",
    "carrier 2",
    "carrier 3",
    "carrier 4",
    "carrier 5",
    "carrier 6",
    "carrier 7",
    "carrier 8",
    "carrier 9",
    "carrier 10",
    "carrier 11",
    "carrier 12",
    "carrier 13",
    "carrier 14",
    "carrier 15",
    "carrier 16",
    "carrier 17",
    "carrier 18",
    "carrier 19",
    "carrier 20",
    "carrier 21",
    "carrier 22",
    "carrier 23",
];
/// What the ropes are called: in the order in which they come.
const ROPES: [&str; MAX_ROPES] = ["0", "1", "2", "3", "4", "5", "6", "7"];

fn arrange(carriers: &[rmech_carrier], stops: &[rmech_stop]) -> Result<Tackle, Failure> {
    let too_many = |what, most| Failure::from(TackleError::TooMany { what, most });
    let mut rig = Builder::new();
    let mut ids = [None; MAX_CARRIERS];
    if carriers.len() > MAX_CARRIERS {
        return Err(too_many("carriers", MAX_CARRIERS));
    }
    for ((carrier, name), id) in carriers.iter().zip(CARRIERS).zip(&mut ids) {
        reserved(i64::from(carrier.reserved))?;
        let [x, y, z] = carrier.heading.map(|h| h.get());
        let heading = || {
            if carrier.heading.iter().all(|h| h.fraction == 0.0) {
                // Against x.
                let one = rmech_ratio { fraction: -1.0 };
                Direction3::new(one.get(), y, z)
            } else {
                Direction3::new(x, y, z)
            }
        };
        let at = carrier.at.get();
        *id = Some(match carrier.kind {
            RMECH_CARRIER_ANCHOR => rig.anchor(name, at)?,
            RMECH_CARRIER_LOAD => rig.load(name, at, heading()?)?,
            RMECH_CARRIER_FREE => rig.carrier(name, at, heading()?)?,
            other => return Err(unknown("kind", other)),
        });
    }
    let mut names = ROPES.iter();
    for rope in stops.chunk_by(|a, b| a.rope == b.rope) {
        let mut path = [None; MAX_STOPS];
        if rope.len() > MAX_STOPS {
            return Err(too_many("stops", MAX_STOPS));
        }
        for (stop, slot) in rope.iter().zip(&mut path) {
            reserved(i64::from(stop.reserved))?;
            let index = usize::try_from(stop.carrier).unwrap_or(usize::MAX);
            let at = ids.get(index).copied().flatten().ok_or_else(|| {
                let message = format_args!("a stop is at carrier {index}, but there are {}", carriers.len());
                Failure::of(RMECH_ERR_ENUMERATOR, "carrier", message)
            })?;
            *slot = Some(match stop.kind {
                RMECH_TACKLE_STOP_END => Stop::End(at),
                RMECH_TACKLE_STOP_HAND => Stop::Hand(at),
                RMECH_TACKLE_STOP_TAIL => Stop::Tail(at),
                RMECH_TACKLE_STOP_GRAB => Stop::Grab(at),
                RMECH_TACKLE_STOP_SHEAVE => Stop::Sheave(at, Turn::sheave(stop.efficiency.get())?),
                RMECH_TACKLE_STOP_CAPTURE => Stop::Capture(at, Turn::sheave(stop.efficiency.get())?),
                RMECH_TACKLE_STOP_BAR => {
                    Stop::Sheave(at, Turn::bar(stop.friction_raising.get(), stop.friction_lowering.get())?)
                }
                other => return Err(unknown("kind", other)),
            });
        }
        let name = names.next().ok_or_else(|| too_many("ropes", MAX_ROPES))?;
        let filler = Stop::End(ids.first().copied().flatten().ok_or(TackleError::NoLoad)?);
        let path = path.map(|stop| stop.unwrap_or(filler));
        rig.rope(name, path.get(..rope.len()).unwrap_or_default())?;
    }
    Ok(rig.build()?)
}

/// The forces in any tackle for a load, in one state: `RMECH_MOTION_HAULING`,
/// `RMECH_MOTION_LOWERING`, `RMECH_TACKLE_LOSSLESS` or `RMECH_TACKLE_HELD`.
///
/// `tensions` takes the tension of every part in the order of the stops, if `capacity` is at least the number of
/// parts (at most `RMECH_TACKLE_MAX_PARTS`); NULL with a capacity of 0 asks for the rest alone. `on_carriers` takes
/// what the ropes do to each carrier, as many as there are; it may be NULL.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_arrangement_work_out(
    carriers: *const rmech_carrier,
    carrier_count: usize,
    stops: *const rmech_stop,
    stop_count: usize,
    load: *const rmech_force,
    state: i32,
    tensions: *mut rmech_force,
    capacity: usize,
    on_carriers: *mut rmech_force3,
    forces: *mut rmech_tackle_forces,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (carriers, stops) =
            unsafe { (inputs("carriers", carriers, carrier_count)?, inputs("stops", stops, stop_count)?) };
        // SAFETY: as above.
        let load = unsafe { input("load", load)? };
        writable("forces", forces)?;
        if !on_carriers.is_null() && !on_carriers.is_aligned() {
            return Err(Failure::of(RMECH_ERR_POINTER, "on_carriers", "on_carriers is not aligned"));
        }
        let built = arrange(carriers, stops)?;
        let found = forces_of(&built, load, state)?;
        if room("tensions", tensions, capacity, built.parts().count())? {
            // SAFETY: as above.
            unsafe { write_tensions(tensions, &found) };
        }
        if !on_carriers.is_null() {
            for (i, carrier) in built.carriers().enumerate() {
                // SAFETY: the caller says that there is room for all carriers.
                unsafe { on_carriers.add(i).write(found.on(carrier).into()) };
            }
        }
        // SAFETY: as above.
        unsafe { output("forces", forces, summary(&built, &found)) }
    })
}

/// How many parts of rope a tackle has at most.
pub const RMECH_TACKLE_MAX_PARTS: u32 = 47;
const _: () = assert!(RMECH_TACKLE_MAX_PARTS as usize == MAX_PARTS);
