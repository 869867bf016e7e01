//! One rope through its turns.
//!
//! ```text
//! T behind a turn = T before it * ratio(q), the ratio of the topic on bends; along a part T' = scale*T + rise
//! Load on a turn:  R^2 = (T1 - T2)^2 + 4*T1*T2*sin(q/2)^2    without loss, b between the lines: R = 2*T*cos(b/2)
//! While the rope moves, one tension gives all. At rest each turn holds any ratio between its two, so that each part has a band;
//! not every combination of what lies in the bands is possible. Assumed: parts without weight unless a strand says otherwise.
//! Range: up to 16 turns, 0 to 32 turns of wrap each. CAUTION. Ratios of real turns scatter by 5 % or more each: a load cell is
//! worth more than any table. Source: statics; block factors of industrial catalogues.
//! ```
//!
//! ```c
//! rmech_force tension = rmech_kn(2.1), load;
//! rmech_angle between = rmech_deg(110.0); // the rope's two sides
//! if (rmech_redirect_load(&tension, &between, &load, &error) == RMECH_OK)
//!     printf("%.2f kN on the redirect\n", rmech_in_kn(load)); // 2.41 kN on the redirect
//! ```

use crate::call::{
    call, growing, growing_output, input, inputs, no_flags, no_reserved, output, versions, writable,
    writable_growing,
};
use crate::error::{
    Coordinates, Failure, Named, RMECH_ERR_CAPACITY, RMECH_ERR_GEOMETRY, RMECH_ERR_INTERNAL, RMECH_ERR_VALUE,
    rmech_error,
};
use crate::quantity::{
    rmech_angle, rmech_direction, rmech_force, rmech_force_band, rmech_force3, rmech_point, rmech_ratio,
};
use crate::sheave::{motion, rmech_turn};
use rope_mechanics::geometry::Force3;
use rope_mechanics::motion::Motion;
use rope_mechanics::reeving::{
    Bend, DoubledTrack, DoubledTrackPlaces, DoubledTrackTurns, Highest, Known, PartTension, Redirect,
    Reeving, ReevingError, Side, Strand, Tensions, TrackKnown, TrackTensions, TurnLoad, redirect_load,
};

/// The most turns that one rope can take.
pub const RMECH_MAX_TURNS: i32 = 16;
const MAX_TURNS: usize = rope_mechanics::reeving::MAX_TURNS;
const _: () = assert!(RMECH_MAX_TURNS as usize == MAX_TURNS);

/// The side of a part towards the pulling end of its rope.
pub const RMECH_SIDE_PULLING: i32 = 1;
/// The side towards the standing end.
pub const RMECH_SIDE_STANDING: i32 = 2;

/// `place` is given: the wrap follows from the places before and behind, unless it is given too.
pub const RMECH_BEND_PLACE: i32 = 1;
/// `wrap` is given.
pub const RMECH_BEND_WRAP: i32 = 2;

/// A turn in its place.
///
/// It has no `struct_size`: start it from zeros, `= {0}` in C and `= {}` in C++.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_bend {
    /// What the rope turns on.
    pub turn: rmech_turn,
    /// `RMECH_BEND_PLACE`, `RMECH_BEND_WRAP`, or both added.
    pub given: i32,
    /// Zero.
    pub reserved: i32,
    /// Where it stands.
    pub place: rmech_point,
    /// How far the rope wraps it: 0 to 32 turns.
    pub wrap: rmech_angle,
}

impl rmech_bend {
    fn get(self) -> Result<Bend, Failure> {
        no_reserved("bend", self.reserved.into())?;
        let turn = self.turn.get().inside("turn")?;
        let wraps = self.given & RMECH_BEND_WRAP != 0;
        match self.given {
            RMECH_BEND_WRAP => Ok(Bend::of(self.wrap.get(), turn)?),
            1 | 3 => {
                let bend = Bend::at(self.place.get(), turn).point("place", "place", &self.place)?;
                Ok(if wraps { bend.with_wrap(self.wrap.get())? } else { bend })
            }
            given => {
                Err(Failure::unknown("given", given, "RMECH_BEND_PLACE, RMECH_BEND_WRAP, or both added"))
            }
        }
    }
}

/// `rise` is given.
pub const RMECH_STRAND_RISE: i32 = 1;
/// `scale` is given, in place of a rise.
pub const RMECH_STRAND_SCALE: i32 = 2;
/// `leaving` and `arriving` are given.
pub const RMECH_STRAND_DIRECTIONS: i32 = 4;

/// How a part runs that is not straight, or whose two sides differ in tension.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_strand {
    /// The part, counted from the pulling end.
    pub part: u32,
    /// Zero, or the sum of what is given.
    pub given: i32,
    /// Tension of the standing side less that of the pulling side.
    pub rise: rmech_force,
    /// Tension of the standing side by that of the pulling side.
    pub scale: rmech_ratio,
    /// The direction in which the part leaves its pulling side, seen towards the standing end.
    pub leaving: rmech_direction,
    /// The direction in which it arrives at its standing side.
    pub arriving: rmech_direction,
}

impl rmech_strand {
    fn get(self) -> Result<Strand, Failure> {
        let strand = match self.given & !RMECH_STRAND_DIRECTIONS {
            0 => Strand::STRAIGHT,
            RMECH_STRAND_RISE => Strand::rising(self.rise.get())?,
            RMECH_STRAND_SCALE => Strand::scaled(self.scale.get()).named("ratio", "scale")?,
            _ => {
                let allowed = "a sum of RMECH_STRAND_..., rise or scale";
                return Err(Failure::unknown("given", self.given, allowed));
            }
        };
        Ok(if self.given & RMECH_STRAND_DIRECTIONS == 0 {
            strand
        } else {
            strand.with_directions(
                self.leaving.get().inside("leaving")?,
                self.arriving.get().inside("arriving")?,
            )
        })
    }
}

/// `pulling_end` and `standing_end` are given.
pub const RMECH_REEVING_ENDS: i32 = 1;

/// One rope through a row of turns, from its pulling end. It has one part more than turns.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_reeving {
    /// sizeof(rmech_reeving); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero, or `RMECH_REEVING_ENDS`.
    pub flags: u32,
    /// The turns in order.
    pub bends: *const rmech_bend,
    /// How many: at most `RMECH_MAX_TURNS`.
    pub bend_count: usize,
    /// The parts that are not straight or bear a load; NULL for none.
    pub strands: *const rmech_strand,
    /// How many.
    pub strand_count: usize,
    /// Where the hand, winch or capstan stands.
    pub pulling_end: rmech_point,
    /// Where the load or anchor of the other end is.
    pub standing_end: rmech_point,
}

versions!(rmech_reeving: 56 + 4 * WORD);

/// What is known of a rope's tension: of one spot, or of the sum of two.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_known {
    /// The part, counted from the pulling end.
    pub part: u32,
    /// Which of its sides: one of `RMECH_SIDE_...`.
    pub side: i32,
    /// The part of the second spot.
    pub other_part: u32,
    /// Its side; zero if the tension is that of the first spot alone.
    pub other_side: i32,
    /// The tension, or the sum of both.
    pub tension: rmech_force,
}

impl rmech_known {
    fn get(self) -> Result<Known, Failure> {
        let first = (self.part as usize, side("side", self.side)?);
        match self.other_side {
            0 => Known::at(first.0, first.1, self.tension.get()),
            other => {
                let second = (self.other_part as usize, side("other_side", other)?);
                Known::sum(first, second, self.tension.get())
            }
        }
        .named("known_tension", "tension")
    }
}

fn side(name: &str, value: i32) -> Result<Side, Failure> {
    match value {
        RMECH_SIDE_PULLING => Ok(Side::Pulling),
        RMECH_SIDE_STANDING => Ok(Side::Standing),
        _ => Err(Failure::unknown(name, value, "one of RMECH_SIDE_...")),
    }
}

fn side_to_c(side: Side) -> i32 {
    match side {
        Side::Pulling => RMECH_SIDE_PULLING,
        Side::Standing => RMECH_SIDE_STANDING,
    }
}

/// The tension of a part at its two sides.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_part_tension {
    /// Towards the pulling end.
    pub pulling_side: rmech_force_band,
    /// Towards the standing end.
    pub standing_side: rmech_force_band,
}

impl From<PartTension> for rmech_part_tension {
    fn from(part: PartTension) -> Self {
        Self { pulling_side: part.pulling_side.into(), standing_side: part.standing_side.into() }
    }
}

/// What a rope does to a turn.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_turn_load {
    /// How far the rope wraps it.
    pub wrap: rmech_angle,
    /// Size of the force on what holds it; at rest the greatest that friction may leave.
    pub load: rmech_force,
    /// The same as a vector; zero if the directions are not known.
    pub force: rmech_force3,
    /// 1 if `force` is known, else 0.
    pub force_known: i32,
    /// Zero.
    pub reserved: i32,
}

impl From<TurnLoad> for rmech_turn_load {
    fn from(turn: TurnLoad) -> Self {
        Self {
            wrap: turn.wrap.into(),
            load: turn.load.into(),
            force: vector(turn.force),
            force_known: turn.force.is_some().into(),
            reserved: 0,
        }
    }
}

fn vector(force: Option<Force3>) -> rmech_force3 {
    force.unwrap_or_default().into()
}

/// The highest tension in a rope.
#[repr(C)]
#[derive(Debug, Clone, Copy, Default)]
pub struct rmech_highest {
    /// The part, counted from the pulling end.
    pub part: u32,
    /// Which of its sides: one of `RMECH_SIDE_...`.
    pub side: i32,
    /// The tension; at rest the upper end of its band.
    pub tension: rmech_force,
}

impl From<Highest> for rmech_highest {
    #[allow(clippy::cast_possible_truncation, reason = "at most 16")]
    fn from(highest: Highest) -> Self {
        Self { part: highest.part as u32, side: side_to_c(highest.side), tension: highest.tension.into() }
    }
}

/// `pulling_end` is known.
pub const RMECH_END_PULLING: i32 = 1;
/// `standing_end` is known.
pub const RMECH_END_STANDING: i32 = 2;

/// What a rope does as a whole.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_reeving_summary {
    /// sizeof(rmech_reeving_summary); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// The highest tension anywhere.
    pub highest: rmech_highest,
    /// The rope's pull on what holds its pulling end.
    pub pulling_end: rmech_force3,
    /// The rope's pull on what holds its standing end.
    pub standing_end: rmech_force3,
    /// The sum of `RMECH_END_...` of the ends whose direction is known; the others are zero.
    pub ends_known: i32,
    /// Zero.
    pub reserved: i32,
    /// The largest closing error, by the largest term of its equation.
    pub residual: rmech_ratio,
}

versions!(rmech_reeving_summary: 88);

impl From<ReevingError> for Failure {
    fn from(why: ReevingError) -> Self {
        match why {
            ReevingError::Input(why) => why.into(),
            ReevingError::TooManyTurns { .. } => Self::of(RMECH_ERR_CAPACITY, "bend_count", why),
            ReevingError::NoSuchPart { .. } => Self::of(RMECH_ERR_VALUE, "part", why),
            ReevingError::UnknownWrap { turn } => {
                Self::of(RMECH_ERR_VALUE, format_args!("bends[{turn}].wrap"), why)
            }
            ReevingError::TooManyWraps { .. } => Self::of(RMECH_ERR_VALUE, "bends", why),
            // Between this turn and the one before it.
            ReevingError::NoLength { part } => {
                Self::of(RMECH_ERR_GEOMETRY, format_args!("bends[{}].place", part.saturating_sub(1)), why)
            }
            _ => Self::of(RMECH_ERR_GEOMETRY, "tension", why),
        }
    }
}

/// Refuses a buffer that holds fewer than `needed`; NULL is fine for none wanted.
fn room<T>(name: &str, at: *mut T, capacity: usize, needed: usize) -> Result<(), Failure> {
    if at.is_null() {
        return Ok(());
    }
    writable(name, at)?;
    if capacity < needed {
        return Err(Failure::of(
            RMECH_ERR_CAPACITY,
            name,
            format_args!("{name} has room for {capacity}, but {needed} are needed"),
        ));
    }
    Ok(())
}

/// Writes as many as there are, if they are wanted.
unsafe fn write_all<T: Copy>(at: *mut T, values: impl Iterator<Item = T>) {
    if !at.is_null() {
        for (index, value) in values.enumerate() {
            // SAFETY: `room` has seen that so many fit.
            unsafe { at.add(index).write(value) };
        }
    }
}

/// The tension of every part of a rope, from what is known of one part or of the sum of two.
///
/// `parts` takes bend_count + 1 entries and `turns` bend_count; both, and `summary`, may be NULL. `motion_of_rope`
/// is one of `RMECH_MOTION_...`. Formula and source: at the top of this topic in rope_mechanics.h.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "two arrays come back, each with its capacity")]
pub unsafe extern "C" fn rmech_reeving_tensions(
    reeving: *const rmech_reeving,
    known: *const rmech_known,
    motion_of_rope: i32,
    parts: *mut rmech_part_tension,
    part_capacity: usize,
    turns: *mut rmech_turn_load,
    turn_capacity: usize,
    summary: *mut rmech_reeving_summary,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (reeving, known) = unsafe { (growing("reeving", reeving)?, input("known", known)?) };
        // SAFETY: as above.
        let bends = unsafe { inputs("bends", reeving.bends, reeving.bend_count)? };
        // SAFETY: as above.
        let strands = unsafe { inputs("strands", reeving.strands, reeving.strand_count)? };
        let count = bends.len();
        if count > MAX_TURNS {
            return Err(ReevingError::TooManyTurns { turns: count }.into());
        }
        room("parts", parts, part_capacity, count + 1)?;
        room("turns", turns, turn_capacity, count)?;
        if !summary.is_null() {
            // SAFETY: as above.
            unsafe { writable_growing("summary", summary)? };
        }

        let mut rope = Reeving::STRAIGHT;
        reeving.fill(&mut rope, bends, strands)?;
        let (known, motion) = (known.get()?, motion("motion_of_rope", motion_of_rope)?);
        // SAFETY: as above; `room` has seen that as many fit.
        unsafe { answer(&rope, known, motion, parts, turns, summary) }
    })
}

impl rmech_reeving {
    /// In a frame of its own, so that its failures do not add to the rope on the stack.
    #[inline(never)]
    fn fill(
        &self,
        rope: &mut Reeving,
        bends: &[rmech_bend],
        strands: &[rmech_strand],
    ) -> Result<(), Failure> {
        for (index, bend) in bends.iter().enumerate() {
            rope.add(bend.get().item("bends", index)?)?;
        }
        if self.flags == RMECH_REEVING_ENDS as u32 {
            let (pulling, standing) = (self.pulling_end, self.standing_end);
            rope.set_ends(pulling.get(), standing.get())
                .point("pulling_end", "pulling_end", &pulling)
                .point("standing_end", "standing_end", &standing)?;
        } else {
            no_flags(self.flags)?;
        }
        for (index, strand) in strands.iter().enumerate() {
            let set = strand.get().and_then(|run| Ok(rope.set_strand(strand.part as usize, run)?));
            set.item("strands", index)?;
        }
        Ok(())
    }
}

/// Solves the rope and writes its answer, in a frame of its own, so that what was read is not in that of the answer too.
///
/// # Safety
/// The contract of the ABI; `parts` and `turns` are NULL or take as many as there are.
#[inline(never)]
unsafe fn answer(
    rope: &Reeving,
    known: Known,
    motion: Motion,
    parts: *mut rmech_part_tension,
    turns: *mut rmech_turn_load,
    summary: *mut rmech_reeving_summary,
) -> Result<(), Failure> {
    let mut found = Tensions::default();
    rope.tensions_into(known, motion, &mut found)?;
    let (pulling_end, standing_end) = (found.pulling_end(), found.standing_end());
    if !summary.is_null() {
        let value = rmech_reeving_summary {
            struct_size: 0,
            flags: 0,
            highest: found.highest().into(),
            pulling_end: vector(pulling_end),
            standing_end: vector(standing_end),
            ends_known: i32::from(pulling_end.is_some()) * RMECH_END_PULLING
                + i32::from(standing_end.is_some()) * RMECH_END_STANDING,
            reserved: 0,
            residual: rmech_ratio { fraction: found.report().residual },
        };
        // SAFETY: as above. It comes first, since it may still be refused for its size.
        unsafe { growing_output("summary", summary, value)? };
    }
    // SAFETY: as above.
    unsafe {
        write_all(parts, found.parts().iter().map(|part| (*part).into()));
        write_all(turns, found.turns().iter().map(|turn| (*turn).into()));
    }
    Ok(())
}

/// The rope passes the frame without contact: `frame` is not read.
pub const RMECH_TRACK_FRAME_WITHOUT_CONTACT: i32 = 1;

/// A doubled track rope: capstan, redirect, over the frame, far sheave, back over the frame, load cell, anchor.
///
/// CAUTION. Both strands are one rope on one sheave: it has no redundancy.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_doubled_track {
    /// sizeof(rmech_doubled_track); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero, or `RMECH_TRACK_FRAME_WITHOUT_CONTACT`.
    pub flags: u32,
    /// The powered capstan.
    pub capstan: rmech_point,
    /// The redirect beside the frame.
    pub redirect: rmech_point,
    /// The head of the frame.
    pub head: rmech_point,
    /// The sheave at the far anchor.
    pub far_sheave: rmech_point,
    /// The anchor of the standing end, behind the load cell.
    pub anchor: rmech_point,
    /// What the rope turns on at the redirect.
    pub redirect_turn: rmech_turn,
    /// At each crossing of the frame.
    pub frame_turn: rmech_turn,
    /// At the far anchor.
    pub far_turn: rmech_turn,
    /// The strand that goes out; its `part` is not read.
    pub strand_out: rmech_strand,
    /// The strand that comes back; its `part` is not read.
    pub strand_back: rmech_strand,
}

versions!(rmech_doubled_track: 368);

impl rmech_doubled_track {
    /// In a frame of its own, so that the track is not in that of the conversions too.
    #[inline(never)]
    fn solve(
        &self,
        places: DoubledTrackPlaces,
        turns: DoubledTrackTurns,
        [out, back]: [Strand; 2],
        known: TrackKnown,
        motion: Motion,
        found: &mut TrackTensions,
    ) -> Result<(), Failure> {
        let mut track = DoubledTrack::new(places, turns);
        // In its place: moved out, it would stand on the stack twice.
        let track = match &mut track {
            Ok(track) => track,
            Err(why) => return Err(self.misplaced(*why)),
        };
        track.set_strands(out, back)?;
        track.tensions_into(known, motion, found).named("known_tension", "tension")
    }

    /// Which of the places is no place, or stands where the one before it does.
    fn misplaced(&self, why: ReevingError) -> Failure {
        let places = [
            ("capstan", &self.capstan),
            ("redirect", &self.redirect),
            ("head", &self.head),
            ("far_sheave", &self.far_sheave),
            ("anchor", &self.anchor),
        ];
        let found = places.into_iter().find(|(_, at)| !at.coordinates().all(|(_, x)| x.abs() <= FARTHEST_M));
        let Some((name, at)) = found else { return why.into() };
        let mut failure = Err::<(), _>(why).point("head", name, at);
        for core in ["place", "pulling_end", "standing_end"] {
            failure = failure.point(core, name, at);
        }
        failure.err().unwrap_or_else(|| Failure::new(RMECH_ERR_INTERNAL, "a place that was refused is none"))
    }
}

/// Farther out the core takes no place.
const FARTHEST_M: f64 = 1e7;

/// The load cell's reading is known.
pub const RMECH_TRACK_KNOWN_CELL: i32 = 1;
/// The pull of the capstan is known.
pub const RMECH_TRACK_KNOWN_CAPSTAN: i32 = 2;
/// The tensions of both strands at the head together are known.
pub const RMECH_TRACK_KNOWN_STRANDS_AT_HEAD: i32 = 3;
/// The tensions of both strands at the far sheave together are known.
pub const RMECH_TRACK_KNOWN_STRANDS_AT_FAR_SHEAVE: i32 = 4;

/// The tensions of a doubled track rope, and what it does to what holds it.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
pub struct rmech_track_tensions {
    /// sizeof(rmech_track_tensions); set it with `rmech_init` or `RMECH_INIT`.
    pub struct_size: u32,
    /// Zero.
    pub flags: u32,
    /// What the capstan pulls.
    pub capstan: rmech_force_band,
    /// What the load cell shows.
    pub cell: rmech_force_band,
    /// The strand that goes out: pulling side at the head, standing side at the far sheave.
    pub strand_out: rmech_part_tension,
    /// The strand that comes back: pulling side at the far sheave, standing side at the head.
    pub strand_back: rmech_part_tension,
    /// The highest tension anywhere in the rope.
    pub highest: rmech_highest,
    /// On the redirect.
    pub redirect: rmech_turn_load,
    /// On the far sheave and its anchor.
    pub far_sheave: rmech_turn_load,
    /// Both crossings on the head of the frame.
    pub frame: rmech_force3,
    /// The size of each crossing's load: the rope going out, then coming back.
    pub head_crossings: [rmech_force; 2],
    /// The largest closing error, by the largest term of its equation.
    pub residual: rmech_ratio,
}

versions!(rmech_track_tensions: 264);

/// # Safety
/// The contract of the ABI.
#[inline(never)] // its frame must not add to that of what calls it
unsafe fn write_track(found: &TrackTensions, tensions: *mut rmech_track_tensions) -> Result<(), Failure> {
    let value = rmech_track_tensions {
        struct_size: 0,
        flags: 0,
        capstan: found.capstan().into(),
        cell: found.cell().into(),
        strand_out: found.strand_out().into(),
        strand_back: found.strand_back().into(),
        highest: found.highest().into(),
        redirect: found.redirect().into(),
        far_sheave: found.far_sheave().into(),
        frame: found.frame().into(),
        head_crossings: found.head_crossings().map(Into::into),
        residual: rmech_ratio { fraction: found.report().residual },
    };
    // SAFETY: the caller keeps the contract of the ABI.
    unsafe { growing_output("tensions", tensions, value) }
}

/// The tensions of a doubled track rope from one known tension.
///
/// `known` is one of `RMECH_TRACK_KNOWN_...` and says what `tension` is; `motion_of_rope` one of
/// `RMECH_MOTION_...`: tensioning is hauling, easing is lowering.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_doubled_track_tensions(
    track: *const rmech_doubled_track,
    known: i32,
    tension: *const rmech_force,
    motion_of_rope: i32,
    tensions: *mut rmech_track_tensions,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (track, tension) = unsafe { (growing("track", track)?, input("tension", tension)?.get()) };
        // SAFETY: as above.
        unsafe { writable_growing("tensions", tensions)? };
        let known = match known {
            RMECH_TRACK_KNOWN_CELL => TrackKnown::Cell(tension),
            RMECH_TRACK_KNOWN_CAPSTAN => TrackKnown::Capstan(tension),
            RMECH_TRACK_KNOWN_STRANDS_AT_HEAD => TrackKnown::StrandsAtHead(tension),
            RMECH_TRACK_KNOWN_STRANDS_AT_FAR_SHEAVE => TrackKnown::StrandsAtFarSheave(tension),
            other => return Err(Failure::unknown("known", other, "one of RMECH_TRACK_KNOWN_...")),
        };
        let frame = if track.flags == RMECH_TRACK_FRAME_WITHOUT_CONTACT as u32 {
            None
        } else {
            no_flags(track.flags)?;
            Some(track.frame_turn.get().inside("frame_turn")?)
        };
        let places = DoubledTrackPlaces {
            capstan: track.capstan.get(),
            redirect: track.redirect.get(),
            head: track.head.get(),
            far_sheave: track.far_sheave.get(),
            anchor: track.anchor.get(),
        };
        let turns = DoubledTrackTurns {
            redirect: track.redirect_turn.get().inside("redirect_turn")?,
            frame,
            far_sheave: track.far_turn.get().inside("far_turn")?,
        };
        let strand_out = track.strand_out.get().inside("strand_out")?;
        let strand_back = track.strand_back.get().inside("strand_back")?;
        let motion = motion("motion_of_rope", motion_of_rope)?;
        let mut found = TrackTensions::default();
        track.solve(places, turns, [strand_out, strand_back], known, motion, &mut found)?;
        // SAFETY: as above.
        unsafe { write_track(&found, tensions) }
    })
}

/// Load on a turn without loss, from the tension and the angle between its two lines: 0 to 180 degrees.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rmech_redirect_load(
    tension: *const rmech_force,
    between_lines: *const rmech_angle,
    load: *mut rmech_force,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (tension, between) =
            unsafe { (input("tension", tension)?, input("between_lines", between_lines)?) };
        writable("load", load)?;
        let value = redirect_load(tension.get(), between.get())?.into();
        // SAFETY: as above.
        unsafe { output("load", load, value) }
    })
}

/// The force of a redirect on what holds it, and the tension on its pulling side.
///
/// `to_load` and `to_pull` are the directions in which its two lines run away from it.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "a redirect is three things, and gives two")]
pub unsafe extern "C" fn rmech_redirect_resultant(
    turn: *const rmech_turn,
    to_load: *const rmech_direction,
    to_pull: *const rmech_direction,
    load_tension: *const rmech_force,
    motion_of_rope: i32,
    pull: *mut rmech_force_band,
    on_turn: *mut rmech_turn_load,
    error: *mut rmech_error,
) -> i32 {
    call(error, || {
        // SAFETY: the caller keeps the contract of the ABI, as for every pointer here.
        let (turn, tension) = unsafe { (input("turn", turn)?, input("load_tension", load_tension)?) };
        // SAFETY: as above.
        let (to_load, to_pull) = unsafe { (input("to_load", to_load)?, input("to_pull", to_pull)?) };
        writable("pull", pull)?;
        writable("on_turn", on_turn)?;
        let found =
            Redirect::new(turn.get()?, to_load.get().inside("to_load")?, to_pull.get().inside("to_pull")?)
                .load(tension.get(), motion("motion_of_rope", motion_of_rope)?)?;
        let load = TurnLoad { wrap: found.wrap, load: found.load, force: Some(found.force) };
        // SAFETY: as above.
        unsafe {
            output("pull", pull, found.pull.into())?;
            output("on_turn", on_turn, load.into())
        }
    })
}
