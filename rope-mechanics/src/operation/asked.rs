//! Which parts a study holds beyond the rig on its travel.

/// Which parts a study holds beyond the load on its travel, which every study has.
///
/// A part that isn't asked for costs nothing, and its field in [`Study`](super::study::Study) is absent. A part that is
/// asked for is there unless the site gives no occasion for it, as [`Study::doubt`](super::study::Study::doubt) where the
/// site file has no table of that name.
///
/// | part | field |
/// |---|---|
/// | [`with_expected_readings`](Self::with_expected_readings) | [`Position::reading_expected`](super::study::Position::reading_expected) |
/// | [`with_failures`](Self::with_failures) | [`Study::failures`](super::study::Study::failures), and what of the summary and the warnings follows from them |
/// | [`with_alternatives`](Self::with_alternatives) | [`Study::alternatives`](super::study::Study::alternatives) |
/// | [`with_changeover`](Self::with_changeover) | [`Study::changeover`](super::study::Study::changeover), and what of the warnings and assumptions follows from it |
/// | [`with_clearances`](Self::with_clearances) | [`Study::clearances`](super::study::Study::clearances), and what of the warnings follows from them |
/// | [`with_settled`](Self::with_settled) | [`Study::settled`](super::study::Study::settled) |
/// | [`with_doubt`](Self::with_doubt) | [`Study::doubt`](super::study::Study::doubt) |
/// | [`with_schedule`](Self::with_schedule) | [`Study::schedule`](super::study::Study::schedule) |
/// | [`with_cures`](Self::with_cures) | [`Study::cures`](super::study::Study::cures) |
///
/// ```
/// use rope_mechanics::operation::Asked;
///
/// let quick = Asked::PLAIN.with_failures(true).with_alternatives(true);
/// let quick_but = Asked::EVERYTHING.with_expected_readings(false).with_changeover(false).with_clearances(false);
/// let quick_but = quick_but.with_settled(false);
/// assert_eq!(quick, quick_but.with_doubt(false).with_schedule(false).with_cures(false));
/// assert_eq!(Asked::default(), Asked::EVERYTHING);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Asked {
    pub(super) expected_readings: bool,
    pub(super) failures: bool,
    pub(super) alternatives: bool,
    pub(super) changeover: bool,
    pub(super) clearances: bool,
    pub(super) settled: bool,
    pub(super) doubt: bool,
    pub(super) schedule: bool,
    pub(super) cures: bool,
}

impl Asked {
    /// The load on its travel, and nothing else.
    pub const PLAIN: Self = Self {
        expected_readings: false,
        failures: false,
        alternatives: false,
        changeover: false,
        clearances: false,
        settled: false,
        doubt: false,
        schedule: false,
        cures: false,
    };

    /// Every part that there is. Later versions may add some.
    pub const EVERYTHING: Self = Self {
        expected_readings: true,
        failures: true,
        alternatives: true,
        changeover: true,
        clearances: true,
        settled: true,
        doubt: true,
        schedule: true,
        cures: true,
    };

    /// What the load cell will show after the stated procedure, or not.
    #[must_use]
    pub const fn with_expected_readings(self, expected_readings: bool) -> Self {
        Self { expected_readings, ..self }
    }

    /// What happens when a part fails, or not.
    #[must_use]
    pub const fn with_failures(self, failures: bool) -> Self {
        Self { failures, ..self }
    }

    /// Other ways to haul and to belay, attendants, other systems, or not.
    #[must_use]
    pub const fn with_alternatives(self, alternatives: bool) -> Self {
        Self { alternatives, ..self }
    }

    /// How the load is taken over at the head and swung in, or not.
    #[must_use]
    pub const fn with_changeover(self, changeover: bool) -> Self {
        Self { changeover, ..self }
    }

    /// How near each rope and the litter come to the ground and the edge, or not.
    #[must_use]
    pub const fn with_clearances(self, clearances: bool) -> Self {
        Self { clearances, ..self }
    }

    /// What is left of reading and height after the first minutes, or not.
    #[must_use]
    pub const fn with_settled(self, settled: bool) -> Self {
        Self { settled, ..self }
    }

    /// What the doubt on the inputs makes of the answers, or not even where the site file asks for it.
    #[must_use]
    pub const fn with_doubt(self, doubt: bool) -> Self {
        Self { doubt, ..self }
    }

    /// What to set the track rope to, and what to see on the way, or not.
    #[must_use]
    pub const fn with_schedule(self, schedule: bool) -> Self {
        Self { schedule, ..self }
    }

    /// The least change that mends each warning, or not. It takes some hundred times the travel where something is broken.
    #[must_use]
    pub const fn with_cures(self, cures: bool) -> Self {
        Self { cures, ..self }
    }
}

impl Default for Asked {
    fn default() -> Self {
        Self::EVERYTHING
    }
}
