//! Every number by which the rig's solver is tuned, in one place.
//!
//! Only those of the first group decide what an equilibrium is; the others decide how soon one is found, and where it is
//! looked for. "Measured" means that the number was changed alone, over the random rigs named with it (`tests/soaks`), and
//! that the outcome of each rig was compared with the one before. The others were chosen when the solver was written and
//! have not been measured alone.

/// The numbers by which the solver is tuned.
///
/// The size of the rig is the larger of its extent and its longest rope.
pub(crate) struct Options {
    // What an equilibrium is.
    /// The most that forces may be out of balance, as a share of the largest: the promise of the certificate.
    pub(crate) balance: f64,
    /// The roundings by which forces may be out of balance instead: of three coordinates, and of each part that ends there.
    pub(crate) digits: f64,
    /// The most by which a part may miss its end, or a point lie below its ground, as a share of the size of the rig: the
    /// worst of the random rigs (5e-12) with two digits to spare.
    pub(crate) closing: f64,
    /// The least pivot of a stable rig, as a share of its diagonal; below it the rig is a mechanism, or unstable. The
    /// diagonals of a rig differ by up to 1e9, and rounding takes the last three digits of a pivot.
    pub(crate) least_pivot: f64,
    /// The largest strain of any rope; a rig that needs more is refused.
    pub(crate) most_strain: f64,

    // How the equations are written.
    /// The most parts for which a weightless rope has a single tension. A longer rope has a variable at each bend, so that
    /// the cost grows in proportion to its parts.
    pub(crate) most_whole_parts: usize,
    /// The share of its rope below which a part counts as used up.
    pub(crate) used_up: f64,
    /// The factor on the stiffness of what is held, which keeps it in place to the last digit.
    pub(crate) held_fast: f64,
    /// The most variables for which the order of elimination isn't optimised.
    pub(crate) any_order: usize,

    // The first guess.
    /// The most variables for which a net of equal springs is guess enough.
    pub(crate) net_small: usize,
    /// How often the springs of a larger net are adjusted.
    pub(crate) net_rounds: usize,

    // Newton's method.
    /// The balance, as a share of the largest force, at which the iteration stops.
    pub(crate) fine: f64,
    /// The share of its initial value to which a line search reduces the slope of the energy.
    pub(crate) slope_left: f64,
    /// The most evaluations in one line search.
    pub(crate) searches: u32,
    /// The most evaluations in one line search where only a place to go on from is wanted.
    pub(crate) few_searches: u32,
    /// One evaluation in this many bisects the bracket, so that neither of its ends gets stuck.
    pub(crate) halve: u32,
    /// The most rounds within one step in which contact with the ground is decided anew.
    pub(crate) ground_rounds: usize,
    /// The imbalance, as a share of the largest force, below which an unstable state is left along its softest mode.
    /// Measured (seeds 0 to 1999): without it 20 of 1497 solutions are lost.
    pub(crate) near_saddle: f64,
    /// The length of a step along the softest mode, as a share of the size of the rig.
    pub(crate) leave: f64,
    /// The share of the largest stiffness below which a stiffness is only rounding.
    pub(crate) stiffness_rounding: f64,
    /// The number of steps after which a part that stays used up counts as run to its end.
    pub(crate) steps_used_up: u32,

    // Why there is no equilibrium.
    /// The distance, in sizes of the rig, beyond which only the stretch of a rope of given length matters.
    pub(crate) far: f64,
    /// The share of the largest force below which a pull at that distance is only rounding.
    pub(crate) force_rounding: f64,

    // Where an equilibrium is looked for.
    /// Steps straight from the start.
    pub(crate) first_steps: u32,
    /// Steps in one stage of the rough rig.
    pub(crate) stage_steps: u32,
    /// Steps of the rig itself from the state to which the rough one led.
    pub(crate) last_steps: u32,
    /// Steps of all stages together.
    pub(crate) all_steps: u32,
    /// Steps that a stage may take even when those of all stages are spent.
    pub(crate) few_steps: u32,
    /// The stiffness EA of the stiffest rope in the first stage, as a multiple of all loads together.
    pub(crate) soft: f64,
    /// The factor on the stiffness from stage to stage.
    pub(crate) stiffer: f64,
    /// The distance by which a sheave of the rough rig misses its neighbours at first, as a share of the size of the rig.
    pub(crate) blunt: f64,
    /// The distances to which that is reduced, in turn, while two points are close enough to feel it.
    pub(crate) sharp: [f64; 4],
    /// The distance of two points, as a multiple of the miss, beyond which they don't feel it.
    pub(crate) near: f64,
    /// The distance of two points, as a multiple of the miss, below which there is no room between them: the blunt end
    /// pulls with 10/√(1 + 10²) = 0.995 of the tension at most and a sharp end with all of it, so that nothing keeps the
    /// sheave off.
    pub(crate) no_room: f64,
    /// Steps from one of many starts.
    pub(crate) try_steps: u32,
    /// Starts of either kind; a quarter of them in a rig of many variables.
    pub(crate) tries: u32,
    /// The number of variables above which a rig has many.
    pub(crate) many_variables: usize,

    // Starts all over the rig.
    /// The margin around the fixed points within which points are scattered, as a share of the size of the rig.
    pub(crate) beside: f64,
    /// The further depth to which they are scattered, as a share of the size of the rig.
    pub(crate) below: f64,
    /// Steps to the state in which a rig with cut ropes hangs.
    pub(crate) cut_steps: u32,
    /// The distance by which a sheave misses its neighbours there, as a share of the size of the rig.
    pub(crate) cut_blunt: f64,
    /// The least share of its rope with which a part starts.
    pub(crate) cut_least: f64,
    /// The shortest length with which a rope paid out by a set tension starts, as a multiple of its chords.
    pub(crate) cut_shortest: f64,
    /// The longest such length.
    pub(crate) cut_longest: f64,

    // Moving ropes.
    /// Newton's steps at one level of friction.
    pub(crate) level_steps: u32,
    /// The smallest increment of the friction, as a share of all of it.
    pub(crate) least_rise: f64,
    /// The most steps to the full friction.
    pub(crate) rise_steps: u32,
    /// The number of scattered starts from which the rig slides; it slides from all starts with cut ropes.
    pub(crate) slide_scattered: u32,
    /// The share of its rope below which a part counts as run to its end where the friction can't be raised further.
    pub(crate) slide_used_up: f64,
    /// The most steps of a slide.
    pub(crate) slide_steps: u32,
    /// The most of Newton's steps in one step of a slide.
    pub(crate) slide_rounds: u32,
    /// The number of Newton's steps up to which the next step of the slide becomes longer.
    pub(crate) slide_easy: u32,
    /// The factor by which it becomes longer.
    pub(crate) slide_longer: f64,
    /// The factor by which a step that does not converge becomes shorter.
    pub(crate) slide_shorter: f64,
    /// The distance by which the first step moves what is most out of balance, as a share of the size of the rig.
    pub(crate) slide_first: f64,
    /// The most that any step moves a point, as a share of the size of the rig.
    pub(crate) slide_farthest: f64,
    /// A step of the slide is solved when the last of Newton's steps is shorter than this share of it.
    pub(crate) slide_met: f64,
    /// The length of a step, by the first, below which the slide has stopped.
    pub(crate) slide_shortest: f64,

    // How stable an equilibrium is.
    /// Steps of the inverse iteration; the mode found bounds the least stiffness from above in any case.
    pub(crate) mode_steps: u32,
    /// The change of the eigenvalue, as a share of it, at which the iteration stops.
    pub(crate) mode_steady: f64,
    /// The most variables for which every eigenvalue of an unsymmetric stiffness is computed.
    pub(crate) all_modes: usize,
    /// Steps of Arnoldi's iteration for the eigenvalues nearest to zero of a larger rig.
    pub(crate) soft_modes: usize,
    /// The softness of a mode, as a share of the softest, below which it is lost in rounding.
    pub(crate) lost_mode: f64,
    /// Sweeps for each eigenvalue.
    pub(crate) sweeps: usize,
}

impl Options {
    /// As every rig is solved.
    pub(crate) const DEFAULT: Self = Self {
        balance: 1e-9,
        digits: 16.0,
        closing: 1e-9,
        least_pivot: 1e-13,
        most_strain: 0.5,
        most_whole_parts: 16,
        used_up: 1e-6,
        held_fast: 1e40,
        any_order: 12,
        net_small: 40,
        net_rounds: 5,
        fine: 1e-13,
        slope_left: 0.3,
        searches: 40,
        few_searches: 12,
        halve: 3,
        ground_rounds: 12,
        near_saddle: 1e-2,
        leave: 1e-2,
        stiffness_rounding: 1e-12,
        steps_used_up: 6,
        far: 1e6,
        force_rounding: 1e-9,
        first_steps: 60,
        stage_steps: 150,
        last_steps: 400,
        all_steps: 2500,
        few_steps: 10,
        soft: 10.0,
        stiffer: 10.0,
        blunt: 1e-3,
        sharp: [1e-4, 1e-5, 1e-6, 1e-7],
        near: 100.0,
        no_room: 10.0,
        try_steps: 40,
        tries: 16,
        many_variables: 300,
        beside: 0.1,
        below: 0.9,
        cut_steps: 150,
        cut_blunt: 1e-4,
        cut_least: 1e-3,
        cut_shortest: 0.5,
        cut_longest: 1.5,
        level_steps: 30,
        least_rise: 1e-4,
        rise_steps: 1500,
        slide_scattered: 4,
        slide_used_up: 1e-3,
        slide_steps: 250,
        slide_rounds: 6,
        slide_easy: 2,
        slide_longer: 4.0,
        slide_shorter: 0.25,
        slide_first: 0.02,
        slide_farthest: 0.2,
        slide_met: 0.01,
        slide_shortest: 1e-6,
        mode_steps: 60,
        mode_steady: 1e-6,
        all_modes: 120,
        soft_modes: 80,
        lost_mode: 1e-12,
        sweeps: 100,
    };
}
