//! Calls through C take nothing from the heap, succeeding and failing.
#![allow(
    clippy::unwrap_used,
    clippy::undocumented_unsafe_blocks,
    reason = "every pointer here is of a local"
)]

use crate::arrest::{rmech_arrest, rmech_fall, rmech_fall_arrest};
use crate::error::{RMECH_ERR_GEOMETRY, RMECH_ERR_VALUE, RMECH_OK, rmech_error, rmech_init};
use crate::frame::{
    RMECH_AT_HEAD_TOWARDS, rmech_at_head, rmech_frame, rmech_frame_forces, rmech_frame_solve, rmech_leg,
    rmech_leg_forces,
};
use crate::quantity::{rmech_force, rmech_length, rmech_point, rmech_ratio};
use crate::sheave::RMECH_MOTION_HAULING;
use crate::tackle::{RMECH_TACKLE_9_TO_1, rmech_tackle, rmech_tackle_forces, rmech_tackle_solve};
use core::ptr::{null, null_mut};

/// Runs a call that must return this status, and counts what it takes from the heap.
fn heap_free(name: &str, status: i32, call: impl Fn() -> i32) {
    assert_eq!(call(), status, "{name}");
    let counted = allocation_counter::measure(|| {
        call();
    });
    assert_eq!(counted.count_total, 0, "{name} allocates");
}

/// As `RMECH_INIT`.
fn init<T: Copy>() -> T {
    let mut value = core::mem::MaybeUninit::<T>::zeroed();
    let status = unsafe { rmech_init(value.as_mut_ptr().cast(), u32::try_from(size_of::<T>()).unwrap()) };
    assert_eq!(status, RMECH_OK);
    unsafe { value.assume_init() }
}

fn m(metres: f64) -> rmech_length {
    rmech_length { metres }
}

fn n(newtons: f64) -> rmech_force {
    rmech_force { newtons }
}

fn at(x: f64, y: f64, z: f64) -> rmech_point {
    rmech_point { x: m(x), y: m(y), z: m(z) }
}

#[test]
fn a_fall() {
    let mut fall: rmech_fall = init();
    (fall.weight, fall.height, fall.length) = (n(2450.0), m(1.0), m(3.0));
    fall.stretch.a = n(30e3);
    fall.stretch.b = n(200e3);
    let arrest = |fall: &rmech_fall| {
        let (mut answer, mut error): (rmech_arrest, rmech_error) = (init(), init());
        unsafe { rmech_fall_arrest(fall, &mut answer, &mut error) }
    };
    heap_free("rmech_fall_arrest", RMECH_OK, || arrest(&fall));
    let slack = rmech_fall { slack: m(-1.0), ..fall };
    heap_free("rmech_fall_arrest, a failure", RMECH_ERR_VALUE, || arrest(&slack));
}

#[test]
fn a_tackle() {
    let mut tackle: rmech_tackle = init();
    tackle.ready = RMECH_TACKLE_9_TO_1;
    (tackle.load_distance, tackle.spread) = (m(40.0), m(10.0));
    tackle.efficiency = rmech_ratio { fraction: 0.9 };
    heap_free("rmech_tackle_solve", RMECH_OK, || {
        let mut forces = rmech_tackle_forces::default();
        unsafe {
            rmech_tackle_solve(&tackle, &n(2e3), RMECH_MOTION_HAULING, null_mut(), 0, &mut forces, null_mut())
        }
    });
}

#[test]
fn a_frame() {
    let legs = [at(1.2, 0.0, 0.0), at(-0.6, 1.0, 0.0), at(-0.6, -1.0, 0.0)]
        .map(|foot| rmech_leg { foot, ..Default::default() });
    let mut frame: rmech_frame = init();
    frame.head = at(0.0, 0.0, 2.5);
    (frame.legs, frame.leg_count) = (legs.as_ptr(), 3);
    (frame.guys, frame.hobbles) = (null(), null());
    let solve = |point: rmech_point| {
        let rope =
            rmech_at_head { kind: RMECH_AT_HEAD_TOWARDS, point, tension: n(3e3), ..Default::default() };
        let (mut forces, mut error): (rmech_frame_forces, rmech_error) = (init(), init());
        let mut in_legs = [rmech_leg_forces::default(); 3];
        unsafe {
            rmech_frame_solve(
                &frame,
                &rope,
                1,
                &mut forces,
                in_legs.as_mut_ptr(),
                null_mut(),
                null_mut(),
                &mut error,
            )
        }
    };
    heap_free("rmech_frame_solve", RMECH_OK, || solve(at(1.0, 0.0, -30.0)));
    heap_free("rmech_frame_solve, a frame that falls", RMECH_ERR_GEOMETRY, || solve(at(40.0, 0.0, 2.5)));
}
