//! The elastic line between two supports, and the line that doesn't stretch.
//!
//! ```text
//! Elastic line:  [x*sinh(u)/(u+k)]^2 + [z*t/(t+k)]^2 = 1    H = w*X/(2*(u+k))    Vm = w*Z/(2*(t+k))
//!                x = X/L, z = Z/L, k = w*L/(2*EA), t = tanh(u): one unknown u; X span, Z rise, L unstretched length, w weight
//! Catenary:      H = w*X/(2*u)    sqrt(L^2 - Z^2) = X*sinh(u)/u    T = w/2*[sqrt((X*cosh(u)/u)^2 + (Z/t)^2) +- Z]
//! Assumed: perfectly flexible, free of the ground and of edges, bedded in; the weight is that of the unstretched metre.
//! Range: elastic, span 0 to 1e7 m, either rise, taut or slack, level or plumb; catenary, span and weight above zero.
//! A stiffening rope (b > 0) is solved as a row of linear ones. The answer is put back: see `residual`. Measured lines pulled
//! 6 to 15 % harder than a linear rope has it. Source: Irvine, Cable Structures (1981), ch. 1 and 2.
//! ```
//!
//! ```c
//! rmech_line line = RMECH_INIT(rmech_line); // 52 m out, 18 m down
//! rmech_line_state state = RMECH_INIT(rmech_line_state);
//! line.span = rmech_m(52.0);
//! line.rise = rmech_m(-18.0);
//! line.length = rmech_m(55.5);
//! line.weight = rmech_n_per_m(1.41);
//! line.stretch.a = rmech_kn(66.0);
//! if (rmech_line_solve(&line, &state, &error) == RMECH_OK)
//!     printf("%.0f N, sags %.2f m\n", rmech_in_n(state.first_tension), rmech_in_m(state.sag)); // 162 N, sags 3.72 m
//!
//! rmech_line_ends ends; // the forces at the supports alone, in half of the time
//! if (rmech_line_solve_ends(&line, &ends, &error) == RMECH_OK)
//!     printf("%.0f N\n", rmech_in_n(ends.first_tension)); // 162 N
//! ```

use crate::call::{
    apart, call, growing, growing_output, input, inputs, no_flags, output, versions, writable,
    writable_growing,
};
use crate::error::{
    Failure, Named, RMECH_ERR_GEOMETRY, RMECH_ERR_UNSOLVED, RMECH_ERR_VALUE, RMECH_OK, rmech_error,
};
use crate::quantity::{rmech_force, rmech_length, rmech_line_weight, rmech_ratio};
use crate::rope::rmech_stretch;
use rope_mechanics::line::catenary::{Branch, Catenary};
use rope_mechanics::line::elastic::{ElasticLine, ElasticSpan, End};
use rope_mechanics::line::many::{Answers, LineStatus, Lines};
use rope_mechanics::line::{LineError, LineState};
use rope_mechanics::quantity::{Force, Length, LineWeight, Ratio};
use rope_mechanics::rope::Stretch;

/// The end from which span, rise and marks are measured.
pub const RMECH_LINE_FIRST: i32 = 1;
/// The other end.
pub const RMECH_LINE_LAST: i32 = 2;

/// Of two ropes that pull equally hard at an end: the shorter, flatter one.
pub const RMECH_BRANCH_TAUT: i32 = 1;
/// The longer, deeper one.
pub const RMECH_BRANCH_SLACK: i32 = 2;

/// A rope between two supports.
///
/// It is solved for any strain: 20 m of rope between supports 50 m apart is stretched by 150 %, and RMECH_OK. See
/// `greatest_strain` of the state.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_line {
    /// sizeof(rmech_line); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// Horizontal distance between the supports: at least zero.
    pub span: rmech_length,
    /// Height of the second support above the first; negative if it is lower.
    pub rise: rmech_length,
    /// Unstretched length of the rope. Not read where the length is what is asked for.
    pub length: rmech_length,
    /// Weight per unstretched metre.
    pub weight: rmech_line_weight,
    /// How it stretches. Not read for a catenary, which doesn't.
    pub stretch: rmech_stretch,
}

versions!(rmech_line: 56);

/// A line in equilibrium.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_line_state {
    /// sizeof(rmech_line_state); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// Horizontal component of the tension, the same all along the rope.
    pub horizontal_tension: rmech_force,
    /// Tension at the first end.
    pub first_tension: rmech_force,
    /// Tension at the second end.
    pub last_tension: rmech_force,
    /// What the first support carries, upward; negative where the rope lifts it.
    pub first_up: rmech_force,
    /// What the second support carries, upward; negative where the rope lifts it.
    pub last_up: rmech_force,
    /// Greatest vertical distance below the chord.
    pub sag: rmech_length,
    /// The lowest point: horizontal distance from the first end.
    pub lowest_x: rmech_length,
    /// The lowest point: height above the first end.
    pub lowest_z: rmech_length,
    /// Unstretched length.
    pub length: rmech_length,
    /// Length as it hangs.
    pub stretched_length: rmech_length,
    /// Relative change of the answer in one more step of the solver.
    pub residual: rmech_ratio,
    /// Steps of the solver.
    pub iterations: u32,
    /// Zero.
    pub reserved: u32,
    /// Strain where the tension is greatest: 0.05 is 5 %. Zero for a catenary. No strain is refused, however soon a
    /// rope would part: compare it with the range in which the stretch of yours was measured.
    pub greatest_strain: rmech_ratio,
}

versions!(rmech_line_state: 104, 112);

/// The forces at the supports of a line.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_line_ends {
    /// Horizontal component of the tension, the same all along the rope.
    pub horizontal_tension: rmech_force,
    /// Tension at the first end.
    pub first_tension: rmech_force,
    /// Tension at the second end.
    pub last_tension: rmech_force,
    /// What the first support carries, upward; negative where the rope lifts it.
    pub first_up: rmech_force,
    /// What the second support carries, upward; negative where the rope lifts it.
    pub last_up: rmech_force,
    /// Relative change of the answer in one more step of the solver.
    pub residual: rmech_ratio,
    /// `RMECH_OK`. Of one of many lines also `RMECH_ERR_VALUE`, `RMECH_ERR_GEOMETRY` (slack without weight) or
    /// `RMECH_ERR_UNSOLVED`: then its numbers are NaN.
    pub status: i32,
    /// Zero.
    pub reserved: u32,
}

/// A point of a line, and the tension there.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_line_point {
    /// Horizontal distance from the first end.
    pub x: rmech_length,
    /// Height above the first end.
    pub z: rmech_length,
    /// Tension of the rope.
    pub tension: rmech_force,
}

impl From<LineError> for Failure {
    fn from(why: LineError) -> Self {
        match why {
            LineError::Input(why) => why.into(),
            LineError::OutOfReach { field, .. } => Self::of(RMECH_ERR_GEOMETRY, field, why),
            LineError::NoShape { .. } | LineError::TooShort { .. } => {
                Self::of(RMECH_ERR_GEOMETRY, "length", why)
            }
            _ => Self::new(RMECH_ERR_UNSOLVED, why),
        }
    }
}

impl From<LineState> for rmech_line_state {
    fn from(state: LineState) -> Self {
        let lowest = state.lowest_point();
        let report = state.report();
        Self {
            struct_size: 0,
            flags: 0,
            horizontal_tension: state.horizontal_tension().into(),
            first_tension: state.first_tension().into(),
            last_tension: state.last_tension().into(),
            first_up: state.first_reaction().z.into(),
            last_up: state.last_reaction().z.into(),
            sag: state.sag().into(),
            lowest_x: lowest.x.into(),
            lowest_z: lowest.z.into(),
            length: state.length().into(),
            stretched_length: state.stretched_length().into(),
            residual: rmech_ratio { fraction: report.residual },
            iterations: report.iterations,
            reserved: 0,
            greatest_strain: state.greatest_strain().into(),
        }
    }
}

impl rmech_line {
    fn line(&self) -> Result<ElasticLine, Failure> {
        let Self { span, rise, length, weight, stretch, .. } = *self;
        let stretch = stretch.get().inside("stretch")?;
        ElasticLine::new(span.get(), rise.get(), length.get(), weight.get(), stretch)
            .named("line_weight", "weight")
    }

    fn supports(&self) -> Result<ElasticSpan, Failure> {
        let Self { span, rise, weight, stretch, .. } = *self;
        let stretch = stretch.get().inside("stretch")?;
        ElasticSpan::new(span.get(), rise.get(), weight.get(), stretch).named("line_weight", "weight")
    }

    fn catenary(&self) -> Result<Catenary, Failure> {
        Catenary::new(self.span.get(), self.rise.get(), self.weight.get()).named("line_weight", "weight")
    }
}

fn end(value: i32) -> Result<End, Failure> {
    match value {
        RMECH_LINE_FIRST => Ok(End::First),
        RMECH_LINE_LAST => Ok(End::Last),
        _ => Err(Failure::unknown("line_end", value, "RMECH_LINE_FIRST or RMECH_LINE_LAST")),
    }
}

fn branch(value: i32) -> Result<Branch, Failure> {
    match value {
        RMECH_BRANCH_TAUT => Ok(Branch::Taut),
        RMECH_BRANCH_SLACK => Ok(Branch::Slack),
        _ => Err(Failure::unknown("which", value, "RMECH_BRANCH_TAUT or RMECH_BRANCH_SLACK")),
    }
}

/// Reads the line that every function here takes.
unsafe fn given(line: *const rmech_line) -> Result<rmech_line, Failure> {
    // SAFETY: the caller keeps the contract of the ABI.
    let line = unsafe { growing("line", line)? };
    no_flags(line.flags)?;
    Ok(line)
}

/// The line in equilibrium.
///
/// Assumptions, formula and range: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_line_solve(
    line: *const rmech_line,
    state: *mut rmech_line_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let line = unsafe { given(line)? };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let value = line.line()?.solve()?.into();
        // SAFETY: as above.
        unsafe { growing_output("state", state, value) }
    })
}

/// The forces at the supports of the line in equilibrium, without sag, lowest point and stretched length: in half of
/// the time of `rmech_line_solve`, and the same to the last bit.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_line_solve_ends(
    line: *const rmech_line,
    ends: *mut rmech_line_ends,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let line = unsafe { given(line)? };
        writable("ends", ends)?;
        let state = line.line()?.solve()?;
        let value = rmech_line_ends {
            horizontal_tension: state.horizontal_tension().into(),
            first_tension: state.first_tension().into(),
            last_tension: state.last_tension().into(),
            first_up: state.first_reaction().z.into(),
            last_up: state.last_reaction().z.into(),
            residual: rmech_ratio { fraction: state.report().residual },
            status: RMECH_OK,
            reserved: 0,
        };
        // SAFETY: as above.
        unsafe { output("ends", ends, value) }
    })
}

/// Many lines in one call, an array for each of their numbers, `count` elements in each: in vectors of what the machine
/// has, some five times as fast as one by one.
///
/// Each answer is that of `rmech_line_solve_ends` to the last bit. A line that can't be solved doesn't keep the others
/// from it: its `status` in `ends`, which takes `count` elements, says why. `solved` counts those that are `RMECH_OK`,
/// and so is the call. Nothing is allocated; several threads may each solve a part.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_line_solve_many(
    spans: *const rmech_length,
    rises: *const rmech_length,
    lengths: *const rmech_length,
    weights: *const rmech_line_weight,
    stretches: *const rmech_stretch,
    count: usize,
    ends: *mut rmech_line_ends,
    solved: *mut usize,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (spans, rises, lengths, weights, stretches) = unsafe {
            (
                inputs("spans", spans, count)?,
                inputs("rises", rises, count)?,
                inputs("lengths", lengths, count)?,
                inputs("weights", weights, count)?,
                inputs("stretches", stretches, count)?,
            )
        };
        if count > 0 {
            writable("ends", ends)?;
        }
        writable("solved", solved)?;
        apart(("spans", spans), ("ends", ends, count))?;
        apart(("rises", rises), ("ends", ends, count))?;
        apart(("lengths", lengths), ("ends", ends, count))?;
        apart(("weights", weights), ("ends", ends, count))?;
        apart(("stretches", stretches), ("ends", ends, count))?;
        // SAFETY: each is one f64 in both languages.
        let (spans, rises, lengths, weights) = unsafe {
            (
                same::<_, Length>(spans),
                same::<_, Length>(rises),
                same::<_, Length>(lengths),
                same::<_, LineWeight>(weights),
            )
        };
        let mut part = Part::new()?;
        let mut good = 0;
        let mut at = 0;
        while at < count {
            let run = at..count.min(at + PART);
            let (Some(spans), Some(rises), Some(lengths), Some(weights), Some(stretches)) = (
                spans.get(run.clone()),
                rises.get(run.clone()),
                lengths.get(run.clone()),
                weights.get(run.clone()),
                stretches.get(run),
            ) else {
                break;
            };
            let usable = part.take(stretches);
            let Some(taken) = part.stretches.get(..stretches.len()) else { break };
            part.answers.solve(&Lines::new(spans, rises, lengths, weights, taken)?)?;
            for (i, usable) in usable.iter().enumerate().take(stretches.len()) {
                let value = part.answers.ends(i, *usable);
                good += usize::from(value.status == RMECH_OK);
                // SAFETY: the caller says that `count` of them may be written, and there are no more.
                unsafe { ends.add(at + i).write(value) };
            }
            at += PART;
        }
        // SAFETY: as above.
        unsafe { output("solved", solved, good) }
    })
}

/// An array of C's one-member structs as the library's quantities.
///
/// # Safety
/// Both are one f64.
unsafe fn same<C, R>(list: &[C]) -> &[R] {
    const { assert!(size_of::<C>() == size_of::<R>() && align_of::<C>() == align_of::<R>()) };
    // SAFETY: of the same size and alignment; the caller says that the bits of one are those of the other.
    unsafe { core::slice::from_raw_parts(list.as_ptr().cast(), list.len()) }
}

/// As many lines as are handed on at once.
const PART: usize = 64;

/// The stretches and the answers of some lines.
struct Part {
    stretches: [Stretch; PART],
    answers: PartAnswers,
}

struct PartAnswers {
    status: [LineStatus; PART],
    /// Horizontal, at the first and at the second end, upward at the first and at the second.
    forces: [[Force; PART]; 5],
    residual: [Ratio; PART],
}

impl Part {
    fn new() -> Result<Self, Failure> {
        let newton = rmech_force { newtons: 1.0 }.get();
        let answers = PartAnswers {
            status: [LineStatus::Unsolved; PART],
            forces: [[newton; PART]; 5],
            residual: [rmech_ratio { fraction: 0.0 }.get(); PART],
        };
        Ok(Self { stretches: [Stretch::linear(newton)?; PART], answers })
    }

    /// Takes stretches over, and says which of them can be used.
    fn take(&mut self, given: &[rmech_stretch]) -> [bool; PART] {
        let mut usable = [false; PART];
        for ((slot, usable), given) in self.stretches.iter_mut().zip(&mut usable).zip(given) {
            if let Ok(stretch) = given.get() {
                (*slot, *usable) = (stretch, true);
            }
        }
        usable
    }
}

impl PartAnswers {
    fn solve(&mut self, lines: &Lines<'_>) -> Result<(), Failure> {
        let count = lines.len();
        let Self { status, forces: [horizontal, first, last, first_up, last_up], residual } = self;
        fn part<T>(list: &mut [T], count: usize) -> &mut [T] {
            list.get_mut(..count).unwrap_or_default()
        }
        let mut answers = Answers::new(part(status, count))
            .horizontal_tension(part(horizontal, count))
            .first_tension(part(first, count))
            .last_tension(part(last, count))
            .first_up(part(first_up, count))
            .last_up(part(last_up, count))
            .residual(part(residual, count));
        lines.solve(&mut answers)?;
        Ok(())
    }

    /// Of one line; with a stretch that can't be used, its answer was that of another.
    fn ends(&self, i: usize, usable: bool) -> rmech_line_ends {
        let status = match self.status.get(i) {
            Some(LineStatus::Solved) if usable => RMECH_OK,
            Some(LineStatus::NoShape) if usable => RMECH_ERR_GEOMETRY,
            Some(LineStatus::Unsolved) if usable => RMECH_ERR_UNSOLVED,
            _ => RMECH_ERR_VALUE,
        };
        let nan = rmech_force { newtons: f64::NAN };
        let [horizontal_tension, first_tension, last_tension, first_up, last_up] =
            self.forces.each_ref().map(|list| match list.get(i) {
                Some(force) if status == RMECH_OK => rmech_force::from(*force),
                _ => nan,
            });
        let residual = match self.residual.get(i) {
            Some(residual) if status == RMECH_OK => rmech_ratio::from(*residual),
            _ => rmech_ratio { fraction: f64::NAN },
        };
        rmech_line_ends {
            horizontal_tension,
            first_tension,
            last_tension,
            first_up,
            last_up,
            residual,
            status,
            reserved: 0,
        }
    }
}

/// `count` points of the line, at least 2: the first end, the second end, and points between them that cut its length
/// in equal parts.
///
/// `points` has room for `count` of them.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_line_points(
    line: *const rmech_line,
    points: *mut rmech_line_point,
    count: u32,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let line = unsafe { given(line)? };
        writable("points", points)?;
        if count < 2 {
            return Err(Failure::of(
                RMECH_ERR_VALUE,
                "count",
                format_args!("count is {count}, but must be at least 2"),
            ));
        }
        let parts = count - 1;
        let state = line.line()?.solve()?;
        for (at, point) in (0..count).zip(state.points(count)) {
            let tension = state.tension_at(state.length() * (f64::from(at) / f64::from(parts)))?;
            let value = rmech_line_point { x: point.x.into(), z: point.z.into(), tension: tension.into() };
            // SAFETY: the caller says that `count` points may be written, and `at` is below that.
            unsafe { points.add(at as usize).write(value) };
        }
        Ok(())
    })
}

/// Unstretched length that gives this tension at an end, of the two that may: the shorter, taut one.
///
/// `line_end` is `RMECH_LINE_FIRST` or `RMECH_LINE_LAST`. The length of `line` is not read.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_line_length_for_tension(
    line: *const rmech_line,
    line_end: i32,
    tension: *const rmech_force,
    length: *mut rmech_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (line, tension) = unsafe { (given(line)?, input("tension", tension)?) };
        writable("length", length)?;
        let value = line.supports()?.length_for_tension(end(line_end)?, tension.get())?.into();
        // SAFETY: as above.
        unsafe { output("length", length, value) }
    })
}

/// Unstretched length that gives this horizontal tension. The length of `line` is not read.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_line_length_for_horizontal_tension(
    line: *const rmech_line,
    horizontal_tension: *const rmech_force,
    length: *mut rmech_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (line, tension) = unsafe { (given(line)?, input("horizontal_tension", horizontal_tension)?) };
        writable("length", length)?;
        let value = line.supports()?.length_for_horizontal_tension(tension.get())?.into();
        // SAFETY: as above.
        unsafe { output("length", length, value) }
    })
}

/// Unstretched length that gives this sag. The length of `line` is not read.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_line_length_for_sag(
    line: *const rmech_line,
    sag: *const rmech_length,
    length: *mut rmech_length,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (line, sag) = unsafe { (given(line)?, input("sag", sag)?) };
        writable("length", length)?;
        let value = line.supports()?.length_for_sag(sag.get())?.into();
        // SAFETY: as above.
        unsafe { output("length", length, value) }
    })
}

/// The rope that doesn't stretch, of the length of `line`.
///
/// Assumptions, formula and range of all four: at the top of this topic in rope_mechanics.h. The stretch of `line` is not read.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_catenary_by_length(
    line: *const rmech_line,
    state: *mut rmech_line_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let line = unsafe { given(line)? };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let value = line.catenary()?.by_length(line.length.get())?.into();
        // SAFETY: as above.
        unsafe { growing_output("state", state, value) }
    })
}

/// The rope that doesn't stretch, with this horizontal tension. Length and stretch of `line` are not read.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_catenary_by_horizontal_tension(
    line: *const rmech_line,
    horizontal_tension: *const rmech_force,
    state: *mut rmech_line_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (line, tension) = unsafe { (given(line)?, input("horizontal_tension", horizontal_tension)?) };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let value = line.catenary()?.by_horizontal_tension(tension.get())?.into();
        // SAFETY: as above.
        unsafe { growing_output("state", state, value) }
    })
}

/// The rope that doesn't stretch, with this tension at one of its ends. Length and stretch of `line` are not read.
///
/// `line_end` is `RMECH_LINE_FIRST` or `RMECH_LINE_LAST`; two ropes have that tension, so `which` is
/// `RMECH_BRANCH_TAUT` or `RMECH_BRANCH_SLACK`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_catenary_by_end_tension(
    line: *const rmech_line,
    line_end: i32,
    which: i32,
    tension: *const rmech_force,
    state: *mut rmech_line_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (line, tension) = unsafe { (given(line)?, input("tension", tension)?) };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let value = line.catenary()?.by_end_tension(end(line_end)?, tension.get(), branch(which)?)?.into();
        // SAFETY: as above.
        unsafe { growing_output("state", state, value) }
    })
}

/// The rope that doesn't stretch and hangs this far below the chord. Length and stretch of `line` are not read.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_catenary_by_sag(
    line: *const rmech_line,
    sag: *const rmech_length,
    state: *mut rmech_line_state,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (line, sag) = unsafe { (given(line)?, input("sag", sag)?) };
        // SAFETY: as above.
        unsafe { writable_growing("state", state)? };
        let value = line.catenary()?.by_sag(sag.get())?.into();
        // SAFETY: as above.
        unsafe { growing_output("state", state, value) }
    })
}
