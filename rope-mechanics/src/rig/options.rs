//! Every number by which the rig's solver is tuned, in one place.
//!
//! None of them decides what an equilibrium is but those of the first group; the others decide how soon one is found,
//! and where one is looked for. "Measured" means: switched off or changed alone over the random rigs named beside it
//! (`tests/rigs`), what came of each rig compared with what came of it before. Where nothing is said, the number was
//! chosen when the solver was written and was not measured alone.

/// The numbers by which the solver is tuned.
pub(crate) struct Options {
    // What an equilibrium is.
    /// Forces may be out of balance by this part of the largest: the promise of the certificate.
    pub(crate) balance: f64,
    /// Or by so many last digits of what the forces are computed from: three coordinates, and each part that ends there.
    pub(crate) digits: f64,
    /// A part may miss its end, and a point stand below its ground, by this part of the size of the rig: what random rigs
    /// are off by at most (5e-12) and two digits more.
    pub(crate) closing: f64,
    /// A pivot must keep this part of its diagonal; one that keeps less is a mechanism, or unstable. The diagonals of a
    /// rig differ by up to 1e9, and rounding takes the last three digits of a pivot.
    pub(crate) least_pivot: f64,
    /// No rope takes more strain than this; a rig that needs more is refused.
    pub(crate) most_strain: f64,

    // How the equations are written.
    /// Up to so many parts a weightless rope has one tension for all; beyond, a variable at each bend, so that the cost
    /// grows with the number of parts only.
    pub(crate) most_whole_parts: usize,
    /// A heavy part stretched to so many times its length is taken for weightless, on the way only: no answer
    /// stretches like that.
    pub(crate) absurd_stretch: f64,
    /// A part with less than this share of its rope is used up.
    pub(crate) used_up: f64,
    /// By how much the stiffness of what is held is raised: enough to keep it to the last digit.
    pub(crate) held_fast: f64,
    /// Up to so many variables any order of elimination is as good as the best.
    pub(crate) any_order: usize,

    // The first guess.
    /// A rig of more variables is worth a better guess than a net of equal springs,
    pub(crate) net_small: usize,
    /// the springs of which are adjusted so often.
    pub(crate) net_rounds: usize,

    // Newton's method.
    /// No better balance than this part of the largest force is sought.
    pub(crate) fine: f64,
    /// A line search ends where the slope of the energy has fallen to this part,
    pub(crate) slope_left: f64,
    /// or after so many tries,
    pub(crate) searches: u32,
    /// fewer where only a place to go on from is sought.
    pub(crate) few_searches: u32,
    /// Every so many tries the middle of the bracket is tried, so that neither end stays where it is.
    pub(crate) halve: u32,
    /// How often what lies on the ground is decided anew within one step.
    pub(crate) ground_rounds: usize,
    /// Out of balance by no more than this part of the largest force, an unstable state is left along its softest mode.
    /// Measured (seeds 0 to 1999): without it 20 of 1497 solutions are lost.
    pub(crate) near_saddle: f64,
    /// How far at a time, by the size of the rig.
    pub(crate) leave: f64,
    /// A stiffness of this part of the largest is nothing but rounding.
    pub(crate) stiffness_rounding: f64,
    /// A part that stays used up for so many steps is at its end.
    pub(crate) steps_used_up: u32,

    // Why there is no equilibrium.
    /// Beyond so many times the size of the rig no rope of given length takes part any more but by its stretch.
    pub(crate) far: f64,
    /// A pull of less than this part of the largest force there is rounding.
    pub(crate) force_rounding: f64,

    // Where an equilibrium is looked for.
    /// Steps straight from the start.
    pub(crate) first_steps: u32,
    /// Steps of one stage of the rough rig.
    pub(crate) stage_steps: u32,
    /// Steps of the rig itself from where the rough one led.
    pub(crate) last_steps: u32,
    /// Steps of all stages together;
    pub(crate) all_steps: u32,
    /// each may still take these when they are spent.
    pub(crate) few_steps: u32,
    /// At first no rope of the rough rig is stiffer than this many times all loads together,
    pub(crate) soft: f64,
    /// then ropes are so many times stiffer at each stage.
    pub(crate) stiffer: f64,
    /// By how much a sheave of the rough rig misses the points beside it, by the size of the rig, at first,
    pub(crate) blunt: f64,
    /// and then, while there are points nearer than `near` times that.
    pub(crate) sharp: [f64; 4],
    /// Points farther apart than so many times the miss don't feel it.
    pub(crate) near: f64,
    /// Nearer than so many times the miss, the blunt end pulls with 10/√(1 + 10²) = 0.995 of the tension at most, and a
    /// sharp end with all of it: nothing keeps the sheave off.
    pub(crate) no_room: f64,
    /// Steps from one of many starts,
    pub(crate) try_steps: u32,
    /// of which there are so many of either kind,
    pub(crate) tries: u32,
    /// a quarter of them for a rig of more variables than this.
    pub(crate) many_variables: usize,

    // Starts all over the rig.
    /// Points are scattered over the fixed points' extent and by this part of its size beside it,
    pub(crate) beside: f64,
    /// and so much farther below it.
    pub(crate) below: f64,
    /// Steps to where a rig with cut ropes hangs.
    pub(crate) cut_steps: u32,
    /// By how much a sheave misses the points beside it there, by the size of the rig.
    pub(crate) cut_blunt: f64,
    /// No part begins with less than this share of its rope.
    pub(crate) cut_least: f64,
    /// A rope paid out by a set tension begins with so many times its chords,
    pub(crate) cut_shortest: f64,
    /// up to so many.
    pub(crate) cut_longest: f64,

    // Moving ropes.
    /// Newton's steps at one level of friction.
    pub(crate) level_steps: u32,
    /// The smallest part of the friction that is added at a time,
    pub(crate) least_rise: f64,
    /// and the most steps to all of it.
    pub(crate) rise_steps: u32,
    /// The rig slides from so many scattered starts, and from all that are cut up.
    pub(crate) slide_scattered: u32,
    /// A part with less than this share of its rope is at its end where friction goes no further.
    pub(crate) slide_used_up: f64,
    /// Steps of a slide at most,
    pub(crate) slide_steps: u32,
    /// and Newton's steps in each.
    pub(crate) slide_rounds: u32,
    /// A step that took no more than this many becomes longer,
    pub(crate) slide_easy: u32,
    /// by this,
    pub(crate) slide_longer: f64,
    /// one that does not converge, shorter.
    pub(crate) slide_shorter: f64,
    /// The first step moves what is most out of balance by this part of the size of the rig,
    pub(crate) slide_first: f64,
    /// and none moves a point by more than this part.
    pub(crate) slide_farthest: f64,
    /// The step is solved when what is left to move is less than this part of it.
    pub(crate) slide_met: f64,
    /// A step so much shorter than the first moves nothing any more.
    pub(crate) slide_shortest: f64,

    // How stable an equilibrium is.
    /// Steps of the inverse iteration; the mode found bounds the least stiffness from above in any case.
    pub(crate) mode_steps: u32,
    /// It ends when the eigenvalue changes by less than this part.
    pub(crate) mode_steady: f64,
    /// Up to so many variables every eigenvalue of an unsymmetric stiffness is computed;
    pub(crate) all_modes: usize,
    /// of a larger rig those nearest to zero that so many steps of Arnoldi's iteration show.
    pub(crate) soft_modes: usize,
    /// Modes this many times stiffer than the softest are lost in rounding.
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
        absurd_stretch: 100.0,
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
