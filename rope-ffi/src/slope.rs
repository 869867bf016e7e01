//! Loads on a slope.
//!
//! ```text
//! With G = ((1-c)*W + s*Wa)*sin(q) and N = (1-c)*W*cos(q), the rope at d to the slope:
//! P_up = (G + mu*N)/(cos(d) + mu*sin(d))    P_down = (G - mu*N)/(cos(d) - mu*sin(d)), slack where negative
//! Assumed: a plane slope, a rigid load that slides slowly; c is the share carried, s that of the attendants' weight Wa on the
//! rope. Range: slope 0 to 90 degrees, mu from 0 to 2, d from -90 to 90 degrees. Classes of slopes: sources disagree (low from
//! 15, steep from 30 to 35, high from 50 to 60 degrees); local rules come first. Source: statics of a block on a plane.
//! ```
//!
//! ```c
//! rmech_slope_load load = RMECH_INIT(rmech_slope_load);
//! rmech_slope_pull pull = RMECH_INIT(rmech_slope_pull);
//! load.weight = rmech_kn(2.1);
//! load.slope = rmech_deg(35.0);
//! load.friction = rmech_fraction(0.25);
//! if (rmech_slope_pull_of(&load, &pull, &error) == RMECH_OK)
//!     printf("%.0f N up, %.0f N down\n", rmech_in_n(pull.up), rmech_in_n(pull.down)); // 1635 N up, 774 N down
//! ```

use crate::call::{
    call, growing, growing_output, input, no_flags, output, versions, writable, writable_growing,
};
use crate::error::{Failure, Named, RMECH_ERR_GEOMETRY, rmech_error};
use crate::quantity::{rmech_angle, rmech_force, rmech_force_band, rmech_ratio};
use rope_mechanics::slope::{Lowering, SlopeClass, SlopeClasses, SlopeError, SlopeLoad, ground_drag};

/// A load on a slope, the rope that moves it, and who helps. What stays zero is not there.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_slope_load {
    /// sizeof(rmech_slope_load); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// Weight of the load.
    pub weight: rmech_force,
    /// Slope from the horizontal: 0 to 90 degrees.
    pub slope: rmech_angle,
    /// Coefficient of friction with the ground: 0 to 2.
    pub friction: rmech_ratio,
    /// Angle at which the rope rises from the slope; negative, it presses the load down.
    pub rope_angle: rmech_angle,
    /// Share of the weight carried straight up, by attendants or a line: 0 to 1.
    pub carried_share: rmech_ratio,
    /// Weight of all attendants who hang on the rope.
    pub attendants: rmech_force,
    /// Share of the downhill part of their weight that they leave to the rope: 0 to 1.
    pub leaning: rmech_ratio,
}

versions!(rmech_slope_load: 64);

/// The pulls on a load on a slope.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_slope_pull {
    /// sizeof(rmech_slope_pull); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// In the rope, while the load moves up.
    pub up: rmech_force,
    /// In the rope, while it moves down; zero if the rope goes slack.
    pub down: rmech_force,
    /// While nothing moves.
    pub at_rest: rmech_force_band,
    /// The push that moves the load down where it doesn't slide by itself.
    pub push: rmech_force,
    /// 1 if the rope goes slack on the way down, else 0.
    pub slack: i32,
    /// Zero.
    pub reserved: i32,
}

versions!(rmech_slope_pull: 56);

impl From<SlopeError> for Failure {
    fn from(why: SlopeError) -> Self {
        match why {
            SlopeError::Input(why) => why.into(),
            _ => Self::of(RMECH_ERR_GEOMETRY, "rope_angle", why),
        }
    }
}

/// The pulls in the rope of a load on a slope: up, down and at rest.
///
/// Formula and source: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_slope_pull_of(
    load: *const rmech_slope_load,
    pull: *mut rmech_slope_pull,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let load = unsafe { growing("load", load)? };
        // SAFETY: as above.
        unsafe { writable_growing("pull", pull)? };
        no_flags(load.flags)?;
        let found = SlopeLoad::new(load.weight.get(), load.slope.get(), load.friction.get())?
            .with_rope_angle(load.rope_angle.get())?
            .with_carried_share(load.carried_share.get())?
            .with_attendants(load.attendants.get(), load.leaning.get())?
            .pull()?;
        let none = rmech_force { newtons: 0.0 };
        let (down, push, slack) = match found.down {
            Lowering::Held(force) => (force.into(), none, 0),
            Lowering::Slack { push } => (none, push.into(), 1),
        };
        let (up, at_rest) = (found.up.into(), found.at_rest.into());
        let value =
            rmech_slope_pull { struct_size: 0, flags: 0, up, down, at_rest, push, slack, reserved: 0 };
        // SAFETY: as above.
        unsafe { growing_output("pull", pull, value) }
    })
}

/// Drag of a load of which the ground carries only a share, the rest hanging on a line.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_ground_drag(
    weight: *const rmech_force,
    ground_share: *const rmech_ratio,
    slope: *const rmech_angle,
    friction: *const rmech_ratio,
    drag: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (weight, share) = unsafe { (input("weight", weight)?, input("ground_share", ground_share)?) };
        // SAFETY: as above.
        let (slope, friction) = unsafe { (input("slope", slope)?, input("friction", friction)?) };
        writable("drag", drag)?;
        let value = ground_drag(weight.get(), share.get(), slope.get(), friction.get())?.into();
        // SAFETY: as above.
        unsafe { output("drag", drag, value) }
    })
}

/// Walkable without a rope.
pub const RMECH_SLOPE_FLAT: i32 = 1;
/// Low angle: attendants carry the load, the rope steadies them.
pub const RMECH_SLOPE_LOW: i32 = 2;
/// Steep angle: load and attendants share the rope and the ground.
pub const RMECH_SLOPE_STEEP: i32 = 3;
/// High angle: the rope carries everything.
pub const RMECH_SLOPE_HIGH: i32 = 4;

/// The slopes, from the horizontal, at which the classes begin.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_slope_classes {
    /// Low angle.
    pub low: rmech_angle,
    /// Steep angle.
    pub steep: rmech_angle,
    /// High angle.
    pub high: rmech_angle,
}

/// The class of a slope: one of `RMECH_SLOPE_...`.
///
/// `classes` may be NULL: the cautious limits then, 15, 30 and 50 degrees. Sources disagree on them.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_slope_class(
    classes: *const rmech_slope_classes,
    slope: *const rmech_angle,
    class: *mut i32,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        let classes = if classes.is_null() {
            SlopeClasses::EARLY
        } else {
            // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
            let limits = unsafe { input("classes", classes)? };
            SlopeClasses::new(limits.low.get(), limits.steep.get(), limits.high.get())
                .named("low_from", "low")
                .named("steep_from", "steep")
                .named("high_from", "high")?
        };
        // SAFETY: as above.
        let slope = unsafe { input("slope", slope)? };
        writable("class_", class)?;
        let value = match classes.class(slope.get())? {
            SlopeClass::Flat => RMECH_SLOPE_FLAT,
            SlopeClass::Low => RMECH_SLOPE_LOW,
            SlopeClass::Steep => RMECH_SLOPE_STEEP,
            SlopeClass::High => RMECH_SLOPE_HIGH,
        };
        // SAFETY: as above.
        unsafe { output("class_", class, value) }
    })
}
