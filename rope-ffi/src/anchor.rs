//! Anchors: legs that share a load, vehicles on their brakes, pickets and buried beams.
//!
//! What is found here is where an anchor begins to give, with no margin in it. No call allocates.
//!
//! ```text
//! V: T = W/(2*cos(a/2)), a between the legs    legs: T[i] = k[i]*max(0, a[i].d), k = EA/L, d the one displacement that balances
//! Vehicle: F = m*g*(mu*cos(g) - sin(g))/(cos(d) + mu*sin(d))    pickets: by table    buried: P = CC of the table, by depth and slope
//! Assumed: small displacements, a load that bisects a V. Range: V below 180 degrees; 1 to 8 legs; road -60 to 60 degrees.
//! CAUTION. These are where an anchor begins to give, with no margin: divide by a safety factor, and have each inspected and
//! loaded. Source: statics; US Navy rigging manuals and TM 5-5420-278-10, table 9 (read); tables of tyre friction.
//! ```
//!
//! ```c
//! rmech_force load = rmech_kn(6.0), leg;
//! rmech_angle between = rmech_deg(60.0); // the two legs of a V
//! if (rmech_v_anchor(&load, &between, &leg, &error) == RMECH_OK)
//!     printf("%.2f kN in each leg\n", rmech_in_kn(leg)); // 3.46 kN in each leg
//! ```

use crate::call::{
    call, growing, growing_output, input, inputs, no_flags, output, versions, writable, writable_growing,
};
use crate::error::{
    Failure, Named, RMECH_ERR_GEOMETRY, RMECH_ERR_INTERNAL, RMECH_ERR_UNSOLVED, RMECH_ERR_VALUE, rmech_error,
};
use crate::frame::{made, used};
use crate::quantity::{
    rmech_angle, rmech_force, rmech_force3, rmech_length, rmech_mass, rmech_point, rmech_pressure,
    rmech_ratio,
};
use rope_mechanics::anchor::{
    Anchor, AnchorError, AnchorLeg, Beam, Deadman, DeadmanSoil, MOST_LEGS, Picket, PicketSoil, Pickets,
    SettledAnchor, Surface, Vehicle, v_anchor,
};

/// Dry asphalt: 0.7.
pub const RMECH_SURFACE_ASPHALT_DRY: i32 = 1;
/// Wet asphalt: 0.45.
pub const RMECH_SURFACE_ASPHALT_WET: i32 = 2;
/// Wet gravel: 0.4.
pub const RMECH_SURFACE_GRAVEL_WET: i32 = 3;
/// Snow: 0.25.
pub const RMECH_SURFACE_SNOW: i32 = 4;
/// Wet earth: 0.15.
pub const RMECH_SURFACE_EARTH_WET: i32 = 5;
/// Ice: 0.05.
pub const RMECH_SURFACE_ICE: i32 = 6;

/// A single picket.
pub const RMECH_PICKETS_1: i32 = 1;
/// One and one, counted from the load backwards.
pub const RMECH_PICKETS_1_1: i32 = 2;
/// Three in a row.
pub const RMECH_PICKETS_1_1_1: i32 = 3;
/// Two and one.
pub const RMECH_PICKETS_2_1: i32 = 4;
/// Three, two and one.
pub const RMECH_PICKETS_3_2_1: i32 = 5;

/// Undisturbed loam, as the table of pickets.
pub const RMECH_PICKET_SOIL_LOAM: i32 = 1;
/// Wet clay and gravel: 0.9 of the table.
pub const RMECH_PICKET_SOIL_WET_CLAY_GRAVEL: i32 = 2;
/// Wet river clay and sand: half of the table.
pub const RMECH_PICKET_SOIL_WET_RIVER: i32 = 3;

/// A squared timber.
pub const RMECH_BEAM_TIMBER: i32 = 1;
/// A log.
pub const RMECH_BEAM_LOG: i32 = 2;

/// Hardpan or rock: five times the table of buried beams.
pub const RMECH_DEADMAN_SOIL_HARD: i32 = 1;
/// Loam, as that table.
pub const RMECH_DEADMAN_SOIL_LOAM: i32 = 2;
/// Fine-grained wet or sandy soil: half of it.
pub const RMECH_DEADMAN_SOIL_FINE_WET: i32 = 3;

/// A leg of an anchor, from its own anchor to the master point.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_anchor_leg {
    /// Where its own anchor is.
    pub at: rmech_point,
    /// EA.
    pub axial_stiffness: rmech_force,
    /// How much longer it is than the distance; zero where it is just taut before the load.
    pub slack: rmech_length,
}

/// An anchor that has settled under its load.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_settled {
    /// sizeof(rmech_settled).
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// Where the master point has come to.
    pub master: rmech_point,
    /// How far it has moved.
    pub moved: rmech_length,
    /// Residual of its equilibrium, by the largest force.
    pub residual: f64,
}

versions!(rmech_settled: 48);

/// A vehicle with its brakes set.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_vehicle {
    /// sizeof(rmech_vehicle).
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// Its mass.
    pub mass: rmech_mass,
    /// Of braked tyres on the road: see `rmech_surface_friction`.
    pub friction: rmech_ratio,
    /// Of the road, positive where the rope pulls downhill.
    pub grade: rmech_angle,
    /// Of the rope over the road from the vehicle on.
    pub rope_rise: rmech_angle,
    /// Share of the weight on braked wheels; zero for all of it.
    pub braked_share: rmech_ratio,
}

versions!(rmech_vehicle: 48);

/// A beam buried across the pull.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_deadman {
    /// sizeof(rmech_deadman).
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// A `RMECH_BEAM_...`.
    pub beam: i32,
    /// A `RMECH_DEADMAN_SOIL_...`.
    pub soil: i32,
    /// Mean depth: 3 ft to 7 ft.
    pub mean_depth: rmech_length,
    /// Rise by run of the rope: 0.25 (1:4) to 1 (1:1).
    pub slope: rmech_ratio,
    /// Height of the face of a timber, or the diameter of a log.
    pub face: rmech_length,
    /// Thickness of a timber along the pull; not used for a log.
    pub thickness: rmech_length,
}

versions!(rmech_deadman: 48);

impl From<AnchorError> for Failure {
    fn from(why: AnchorError) -> Self {
        match why {
            AnchorError::Input(why) => why.into(),
            AnchorError::Count { .. } => Self::of(RMECH_ERR_VALUE, "count", why),
            AnchorError::Slack { index } => {
                Self::of(RMECH_ERR_VALUE, format_args!("legs[{index}].slack"), why)
            }
            AnchorError::NoLeg { .. } => Self::of(RMECH_ERR_VALUE, "lost", why),
            AnchorError::NoDirection { index } => {
                Self::of(RMECH_ERR_GEOMETRY, format_args!("legs[{index}].at"), why)
            }
            AnchorError::Swings { .. } => Self::of(RMECH_ERR_GEOMETRY, "load", why),
            AnchorError::Slides { .. } => Self::of(RMECH_ERR_GEOMETRY, "grade", why),
            AnchorError::NoSliding { .. } => Self::of(RMECH_ERR_GEOMETRY, "rope_rise", why),
            AnchorError::Slender { .. } => Self::of(RMECH_ERR_GEOMETRY, "length", why),
            AnchorError::Unsolved => Self::new(RMECH_ERR_UNSOLVED, why),
            _ => Self::new(RMECH_ERR_INTERNAL, why),
        }
    }
}

fn anchor(master: rmech_point, legs: &[rmech_anchor_leg]) -> Result<Anchor, Failure> {
    let all = made::<_, _, MOST_LEGS>("legs", "count", legs, |given| {
        let leg = AnchorLeg::new(given.at.get(), given.axial_stiffness.get()).point("at", "at", &given.at)?;
        Ok(leg.with_slack(given.slack.get())?)
    })?;
    Anchor::new(master.get(), used(&all, legs.len())).point("master", "master", &master)
}

/// # Safety
/// As many forces as there are tensions must fit at `at`.
unsafe fn tensions_to(
    name: &str,
    at: *mut rmech_force,
    tensions: &[rope_mechanics::quantity::Force],
) -> Result<(), Failure> {
    for (place, tension) in tensions.iter().enumerate() {
        // SAFETY: as above.
        unsafe { output(name, at.add(place), rmech_force::from(*tension))? };
    }
    Ok(())
}

fn settled(value: &SettledAnchor) -> rmech_settled {
    rmech_settled {
        struct_size: size_of::<rmech_settled>() as u32,
        flags: 0,
        master: value.master.into(),
        moved: value.moved.into(),
        residual: value.shares.report.residual,
    }
}

/// The force in each of two legs that share a load evenly at an angle between them: two anchors in a V, or a sling.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_v_anchor(
    load: *const rmech_force,
    angle: *const rmech_angle,
    leg: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (load, angle) = unsafe { (input("load", load)?.get(), input("angle", angle)?.get()) };
        writable("leg", leg)?;
        let value = v_anchor(load, angle)?.into();
        // SAFETY: as above.
        unsafe { output("leg", leg, value) }
    })
}

/// How legs share a load at a master point that hardly moves. `tensions` takes `count` elements.
///
/// A load that would swing the master point is RMECH_ERR_GEOMETRY: see `rmech_anchor_settle`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_anchor_share(
    master: *const rmech_point,
    legs: *const rmech_anchor_leg,
    count: usize,
    load: *const rmech_force3,
    tensions: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (master, legs, load) =
            unsafe { (input("master", master)?, inputs("legs", legs, count)?, input("load", load)?) };
        writable("tensions", tensions)?;
        let shares = anchor(master, legs)?.share(load.get()).point("load", "load", &load)?;
        // SAFETY: as above.
        unsafe { tensions_to("tensions", tensions, shares.tensions()) }
    })
}

/// Where the master point comes to under a load, and the tensions there. `tensions` takes `count` elements.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_anchor_settle(
    master: *const rmech_point,
    legs: *const rmech_anchor_leg,
    count: usize,
    load: *const rmech_force3,
    anchor: *mut rmech_settled,
    tensions: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (master, legs, load) =
            unsafe { (input("master", master)?, inputs("legs", legs, count)?, input("load", load)?) };
        // SAFETY: as above.
        unsafe { writable_growing("anchor", anchor)? };
        writable("tensions", tensions)?;
        let value = self::anchor(master, legs)?.settle(load.get()).point("load", "load", &load)?;
        // SAFETY: as above.
        unsafe {
            growing_output("anchor", anchor, settled(&value))?;
            tensions_to("tensions", tensions, value.shares.tensions())
        }
    })
}

/// The anchor settled again after leg `lost` (counted from 0) has failed; its tension reads zero.
///
/// `drop` is how far the load goes down along itself. `tensions` takes `count` elements. What the load peaks at on
/// the way is for `rmech_fall_arrest`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_anchor_after_losing(
    master: *const rmech_point,
    legs: *const rmech_anchor_leg,
    count: usize,
    load: *const rmech_force3,
    lost: usize,
    anchor: *mut rmech_settled,
    tensions: *mut rmech_force,
    drop: *mut rmech_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (master, legs, load) =
            unsafe { (input("master", master)?, inputs("legs", legs, count)?, input("load", load)?) };
        // SAFETY: as above.
        unsafe { writable_growing("anchor", anchor)? };
        writable("tensions", tensions)?;
        writable("drop", drop)?;
        let value =
            self::anchor(master, legs)?.after_losing(lost, load.get()).point("load", "load", &load)?;
        // SAFETY: as above.
        unsafe {
            growing_output("anchor", anchor, settled(&value.after))?;
            tensions_to("tensions", tensions, value.after.shares.tensions())?;
            output("drop", drop, value.drop.into())
        }
    })
}

/// The friction of braked tyres on a `RMECH_SURFACE_...`. Real ones scatter by a third or more.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_surface_friction(
    surface: i32,
    friction: *mut rmech_ratio,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        writable("friction", friction)?;
        let surface = match surface {
            RMECH_SURFACE_ASPHALT_DRY => Surface::AsphaltDry,
            RMECH_SURFACE_ASPHALT_WET => Surface::AsphaltWet,
            RMECH_SURFACE_GRAVEL_WET => Surface::GravelWet,
            RMECH_SURFACE_SNOW => Surface::Snow,
            RMECH_SURFACE_EARTH_WET => Surface::EarthWet,
            RMECH_SURFACE_ICE => Surface::Ice,
            other => return Err(Failure::unknown("surface", other, "one of RMECH_SURFACE_...")),
        };
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        unsafe { output("friction", friction, surface.friction().into()) }
    })
}

/// The pull at which a vehicle on its brakes begins to slide. One that slides by itself is RMECH_ERR_GEOMETRY.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_vehicle_holds(
    vehicle: *const rmech_vehicle,
    pull: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let given = unsafe { growing("vehicle", vehicle)? };
        writable("pull", pull)?;
        no_flags(given.flags)?;
        let mut vehicle = Vehicle::new(given.mass.get(), given.friction.get())?
            .with_grade(given.grade.get())?
            .with_rope_rise(given.rope_rise.get())?;
        if given.braked_share.fraction != 0.0 {
            vehicle = vehicle.with_braked_share(given.braked_share.get())?;
        }
        let value = vehicle.holds()?.into();
        // SAFETY: as above.
        unsafe { output("pull", pull, value) }
    })
}

/// The pull at which a holdfast of alike pickets begins to give.
///
/// `arrangement` is a `RMECH_PICKETS_...`, `soil` a `RMECH_PICKET_SOIL_...`. Pickets thinner than 3 in, shorter than
/// 5 ft, or driven less than 3 ft or more than 4 ft are outside the table and refused.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_pickets_hold(
    thickness: *const rmech_length,
    length: *const rmech_length,
    driven: *const rmech_length,
    arrangement: i32,
    soil: i32,
    pull: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (thickness, length, driven) = unsafe {
            (
                input("thickness", thickness)?.get(),
                input("length", length)?.get(),
                input("driven", driven)?.get(),
            )
        };
        writable("pull", pull)?;
        let pickets = match arrangement {
            RMECH_PICKETS_1 => Pickets::One,
            RMECH_PICKETS_1_1 => Pickets::OneOne,
            RMECH_PICKETS_1_1_1 => Pickets::OneOneOne,
            RMECH_PICKETS_2_1 => Pickets::TwoOne,
            RMECH_PICKETS_3_2_1 => Pickets::ThreeTwoOne,
            other => return Err(Failure::unknown("arrangement", other, "one of RMECH_PICKETS_...")),
        };
        let soil = match soil {
            RMECH_PICKET_SOIL_LOAM => PicketSoil::UndisturbedLoam,
            RMECH_PICKET_SOIL_WET_CLAY_GRAVEL => PicketSoil::WetClayAndGravel,
            RMECH_PICKET_SOIL_WET_RIVER => PicketSoil::WetRiverClayAndSand,
            other => return Err(Failure::unknown("soil", other, "one of RMECH_PICKET_SOIL_...")),
        };
        let value = Picket::new(thickness, length, driven)?.hold(pickets, soil).into();
        // SAFETY: as above.
        unsafe { output("pull", pull, value) }
    })
}

fn deadman(given: &rmech_deadman) -> Result<Deadman, Failure> {
    no_flags(given.flags)?;
    let beam = match given.beam {
        RMECH_BEAM_TIMBER => Beam::Timber { face: given.face.get(), thickness: given.thickness.get() },
        RMECH_BEAM_LOG => Beam::Log { diameter: given.face.get() },
        other => return Err(Failure::unknown("beam", other, "one of RMECH_BEAM_...")),
    };
    let soil = match given.soil {
        RMECH_DEADMAN_SOIL_HARD => DeadmanSoil::HardpanOrRock,
        RMECH_DEADMAN_SOIL_LOAM => DeadmanSoil::Loam,
        RMECH_DEADMAN_SOIL_FINE_WET => DeadmanSoil::FineWetOrSandy,
        other => return Err(Failure::unknown("soil", other, "one of RMECH_DEADMAN_SOIL_...")),
    };
    // The diameter of a log is given as the height of its face.
    Deadman::new(given.mean_depth.get(), given.slope.get(), beam, soil).named("diameter", "face")
}

/// The pressure on the face of a buried beam that the soil holds.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_deadman_pressure(
    deadman: *const rmech_deadman,
    pressure: *mut rmech_pressure,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let given = unsafe { growing("deadman", deadman)? };
        writable("pressure", pressure)?;
        let value = self::deadman(&given)?.pressure().into();
        // SAFETY: as above.
        unsafe { output("pressure", pressure, value) }
    })
}

/// The pull at which a buried beam of this length begins to give.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_deadman_holds(
    deadman: *const rmech_deadman,
    length: *const rmech_length,
    pull: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (given, length) = unsafe { (growing("deadman", deadman)?, input("length", length)?.get()) };
        writable("pull", pull)?;
        let value = self::deadman(&given)?.hold(length)?.into();
        // SAFETY: as above.
        unsafe { output("pull", pull, value) }
    })
}

/// The length that a buried beam needs for a pull.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_deadman_length(
    deadman: *const rmech_deadman,
    pull: *const rmech_force,
    length: *mut rmech_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (given, pull) = unsafe { (growing("deadman", deadman)?, input("pull", pull)?.get()) };
        writable("length", length)?;
        let value = self::deadman(&given)?.length_for(pull)?.into();
        // SAFETY: as above.
        unsafe { output("length", length, value) }
    })
}
