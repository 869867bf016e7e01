//! A winch known by its maker's table of pull and current.

use super::WinchError;
use crate::error::{self, InputError};
use crate::quantity::{
    Band, ElectricCurrent, Force, Ratio, Velocity, amperes, metres_per_second, newtons, ratio,
};
use core::borrow::Borrow;

/// One line of a maker's table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableRow {
    /// Line pull.
    pub pull: Force,
    /// Current at that pull.
    pub current: ElectricCurrent,
    /// Line speed at that pull, where the table gives it.
    pub line_speed: Option<Velocity>,
}

/// A winch by a straight line through its maker's table, I = a + b·F, and where it gives speeds by one of two curves,
/// v = c − d·F or 1/v = e + g·F, whichever passes nearer to its farthest row.
///
/// A permanent-magnet motor follows straight lines exactly, a series-wound one only roughly: look at
/// [`worst_residual`](Self::worst_residual) and at the band of the speed. On three vehicle winches a straight line from
/// free to rated speed is 15 to 93 % too fast between; the other curve follows their tables within 4, 10 and 19 %
/// (`docs::measured`). Assumed: the table's voltage, layer and temperature (usually a full
/// battery, the engine running, the first layer, cold). It answers hauling only, up to its greatest pull: going down,
/// the load drives the gear, and how much of its losses the load pays, the motor or a brake inside, no row of a pull
/// table says. For lowering describe the winch by its motor and gear ([`Winch`](super::Winch)).
///
/// **Caution.** A winch built for pulling may be barred by its own standard from lifting people: ask its maker.
///
/// ```
/// use rope_mechanics::quantity::{ElectricCurrent, Force, unit::{ampere, newton, pound_force}};
/// use rope_mechanics::winch::{TableRow, TableWinch};
///
/// let row = |lbf, amperes| TableRow {
///     pull: Force::new::<pound_force>(lbf),
///     current: ElectricCurrent::new::<ampere>(amperes),
///     line_speed: None,
/// };
/// let winch = TableWinch::fit([row(0.0, 65.0), row(4000.0, 250.0), row(9000.0, 480.0)])?;
/// assert!(winch.worst_residual().get::<ampere>() < 1.0);
/// assert!((winch.hauling(Force::new::<newton>(2000.0))?.current.get::<ampere>() - 85.9).abs() < 0.1);
/// # Ok::<(), rope_mechanics::winch::WinchError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableWinch {
    a: f64,
    b: f64,
    speed: Option<Speeds>,
    greatest: f64,
    worst: f64,
    /// Radius by that of the table's layer.
    radius: f64,
}

/// What a table says about a pull.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TableState {
    /// On the rope where it leaves the winch.
    pub pull: Force,
    /// Drawn from the battery.
    pub current: ElectricCurrent,
    /// Of the rope, where the table gives speeds.
    pub line_speed: Option<Velocity>,
    /// What the speed may be instead: how far the rows of the table lie from the curve; with two rows only, which say
    /// nothing of the curve, from the slower of the two curves less 5 % to the faster. The low end is the safe one for
    /// time and charge, the high one for a jam.
    pub line_speed_band: Option<Band<Velocity>>,
}

impl TableWinch {
    /// One straight line through all currents of the table (a slice, an array, or an iterator that can be cloned) and
    /// one of two curves through all its speeds, by least squares.
    ///
    /// # Errors
    /// [`WinchError::RowOutOfOrder`] where the pull falls from one row to the next, or the current falls while the
    /// pull grows; [`WinchError::TooFewPoints`] with fewer than two different pulls; [`WinchError::ImpossibleFit`]
    /// where the line's current doesn't grow with the pull, is negative without pull, or the speed grows with it; an
    /// input error where a number of the table can't be used.
    pub fn fit(rows: impl IntoIterator<Item: Borrow<TableRow>> + Clone) -> Result<Self, WinchError> {
        let rows = || rows.clone().into_iter().map(|row| *row.borrow());
        let mut greatest = 0.0_f64;
        let mut before: Option<TableRow> = None;
        for (i, row) in rows().enumerate() {
            greatest = greatest.max(error::non_negative("table_pull", row.pull)?);
            error::non_negative("table_current", row.current)?;
            if let Some(speed) = row.line_speed {
                error::non_negative("table_line_speed", speed)?;
            }
            if let Some(before) = before
                && (row.pull < before.pull || row.pull > before.pull && row.current < before.current)
            {
                return Err(WinchError::RowOutOfOrder {
                    row: i + 1,
                    pull: row.pull.value,
                    current: row.current.value,
                    pull_before: before.pull.value,
                    current_before: before.current.value,
                });
            }
            before = Some(row);
        }
        let currents = || rows().map(|row| (row.pull.value, row.current.value));
        let Some(TableLine { at_zero: a, slope: b }) = TableLine::fit(currents) else {
            return Err(WinchError::TooFewPoints { given: rows().count(), needed: 2, constants: 2 });
        };
        if b <= 0.0 {
            return Err(WinchError::ImpossibleFit { constant: "amperes per newton", value: b, unit: "A/N" });
        }
        let worst = currents().map(|(f, i)| (a + b * f - i).abs()).fold(0.0, f64::max);
        // Rounding of the table may carry a line through the origin just below it.
        if a < -worst {
            return Err(WinchError::ImpossibleFit { constant: "current without pull", value: a, unit: "A" });
        }
        let a = a.max(0.0);
        let worst = currents().map(|(f, i)| (a + b * f - i).abs()).fold(0.0, f64::max);
        let speed = Speeds::fit(|| rows().filter_map(|row| Some((row.pull.value, row.line_speed?.value))));
        if let Some(speeds) = speed
            && speeds.straight.slope > 0.0
        {
            let (value, unit) = (speeds.straight.slope, "m/s/N");
            return Err(WinchError::ImpossibleFit { constant: "growth of speed with pull", value, unit });
        }
        Ok(Self { a, b, speed, greatest, worst, radius: 1.0 })
    }

    /// The same winch with its rope on another layer: `radius` by the radius on the table's layer.
    ///
    /// I = a + b·F·r/r₁, since the current follows the torque; v = (c − d·F·r/r₁)·r/r₁.
    ///
    /// # Errors
    /// Unless the ratio is from 0.1 to 10.
    pub fn with_radius_ratio(self, radius: Ratio) -> Result<Self, InputError> {
        Ok(Self { radius: error::within("radius_ratio", radius, 0.1, 10.0)?, ..self })
    }

    /// Current without pull: a.
    #[must_use]
    pub fn idle_current(&self) -> ElectricCurrent {
        amperes(self.a)
    }

    /// The greatest pull of the table, on the layer set.
    #[must_use]
    pub fn greatest_pull(&self) -> Force {
        newtons(self.greatest / self.radius)
    }

    /// How far the line of the currents passes from the worst row of the table.
    #[must_use]
    pub fn worst_residual(&self) -> ElectricCurrent {
        amperes(self.worst)
    }

    /// Current and, where the table gives it, speed under a pull.
    ///
    /// Range: from zero to the table's greatest pull.
    ///
    /// # Errors
    /// [`WinchError::BeyondTable`]; an input error unless the pull is finite and at least zero.
    pub fn hauling(&self, pull: Force) -> Result<TableState, WinchError> {
        let f = error::non_negative("pull", pull)?;
        if f > self.greatest_pull().value {
            return Err(WinchError::BeyondTable { pull: f, greatest: self.greatest_pull().value });
        }
        // I = a + b·F·r/r₁
        let on_first = f * self.radius;
        // v·r/r₁ at the pull F·r/r₁
        let speed = self.speed.map(|speeds| speeds.at(on_first).map(|v| metres_per_second(v * self.radius)));
        Ok(TableState {
            pull,
            current: amperes(self.a + self.b * on_first),
            line_speed: speed.map(|band: Band<Velocity>| band.expected),
            line_speed_band: speed,
        })
    }

    /// Whether the table gives enough speeds for a curve.
    pub(crate) fn has_speeds(&self) -> bool {
        self.speed.is_some()
    }

    /// Radius by that of the table's layer.
    pub(crate) fn radius_ratio(&self) -> Ratio {
        ratio(self.radius)
    }

    /// The pull at which the line of speeds comes to zero; infinite without one, and for the curve that never does.
    pub(crate) fn stall_n(&self) -> f64 {
        let straight = self.speed.filter(|speeds| !speeds.by_inverse);
        straight.map_or(f64::INFINITY, |s| s.straight.at_zero / -s.straight.slope / self.radius)
    }

    /// Amperes per newton on the layer set.
    pub(crate) fn amperes_per_newton(&self) -> f64 {
        self.b * self.radius
    }
}

/// With two speeds only the winch may be so much slower than the slower of the two curves: two of three measured ones
/// were, by 2 and 4 %.
const BELOW_BOTH: f64 = 0.95;
/// Measured: how much slower than a straight line to a speed of zero a winch may be, by 93 % at most.
const BELOW_STRAIGHT: f64 = 1.0 / 1.93;

/// Speed by pull, on the table's layer.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Speeds {
    /// v = at_zero + slope·F
    straight: TableLine,
    /// 1/v = at_zero + slope·F, unless a row stands still.
    inverse: Option<TableLine>,
    /// Whether the second passes nearer to its farthest row.
    by_inverse: bool,
    /// Least and greatest speed of a row by the curve; nothing where two rows fix it.
    rows: Option<(f64, f64)>,
}

impl Speeds {
    fn fit<P: Iterator<Item = (f64, f64)>>(points: impl Fn() -> P) -> Option<Self> {
        let straight = TableLine::fit(&points)?;
        // Least squares of v·(e + g·F) − 1, so that each row counts by its share.
        let [vv, vvf, vvff, v, vf] = points().fold([0.0; 5], |[a, b, c, d, e], (f, v)| {
            [a + v * v, b + v * v * f, c + v * v * f * f, d + v, e + v * f]
        });
        let det = vv * vvff - vvf * vvf;
        let inverse = TableLine { at_zero: (v * vvff - vf * vvf) / det, slope: (vv * vf - vvf * v) / det };
        let usable = points().all(|(f, v)| v > 0.0 && inverse.at(f) > 0.0) && inverse.at_zero > 0.0;
        let inverse = (usable && inverse.slope >= 0.0).then_some(inverse);
        let spread = |curve: &dyn Fn(f64) -> f64| {
            points().filter(|(_, v)| *v > 0.0).fold((1.0_f64, 1.0_f64), |(least, most), (f, v)| {
                let by = v / curve(f);
                (least.min(by), most.max(by))
            })
        };
        // The farthest row by its share, either way.
        let miss = |(least, most): (f64, f64)| (most - 1.0).max(1.0 / least - 1.0);
        let by_straight = spread(&|f| straight.at(f));
        let by_curve = inverse.map(|line| spread(&|f| 1.0 / line.at(f)));
        // A line that falls to zero before the last row misses it altogether; a tie is the straight line's.
        let straight_fails = points().any(|(f, v)| v > 0.0 && straight.at(f) <= 0.0);
        let by_inverse =
            by_curve.is_some_and(|curve| straight_fails || miss(curve) + 1e-9 < miss(by_straight));
        let few = points().count() <= 2;
        let rows = if by_inverse { by_curve } else { Some(by_straight) };
        Some(Self { straight, inverse, by_inverse, rows: rows.filter(|_| !few) })
    }

    fn at(&self, pull: f64) -> Band<f64> {
        let straight = self.straight.at(pull).max(0.0);
        let inverse = self.inverse.map(|line| 1.0 / line.at(pull));
        let expected = if self.by_inverse { inverse.unwrap_or(straight) } else { straight };
        match (self.rows, inverse) {
            (Some((least, most)), _) => {
                Band { low: (expected * least).max(0.0), expected, high: expected * most }
            }
            (None, Some(inverse)) => {
                Band { low: BELOW_BOTH * straight.min(inverse), expected, high: straight.max(inverse) }
            }
            (None, None) => Band { low: BELOW_STRAIGHT * straight, expected, high: straight },
        }
    }
}

/// y = at_zero + slope·x
#[derive(Debug, Clone, Copy, PartialEq)]
struct TableLine {
    at_zero: f64,
    slope: f64,
}

impl TableLine {
    fn at(&self, x: f64) -> f64 {
        self.at_zero + self.slope * x
    }

    /// By least squares about the mean; none unless two x differ.
    fn fit<P: Iterator<Item = (f64, f64)>>(points: impl Fn() -> P) -> Option<Self> {
        let (n, sum_x, sum_y) =
            points().fold((0.0, 0.0, 0.0), |(n, sx, sy), (x, y)| (n + 1.0, sx + x, sy + y));
        if n < 2.0 {
            return None;
        }
        let (mean_x, mean_y) = (sum_x / n, sum_y / n);
        // slope = Σ(x − x̄)(y − ȳ)/Σ(x − x̄)²
        let (sxx, sxy) = points().fold((0.0, 0.0), |(sxx, sxy), (x, y)| {
            let dx = x - mean_x;
            (sxx + dx * dx, sxy + dx * (y - mean_y))
        });
        // Pulls that differ by rounding only are the same pull.
        let same = 1e-9 * mean_x.abs();
        if sxx <= n * same * same {
            return None;
        }
        let slope = sxy / sxx;
        Some(Self { at_zero: mean_y - slope * mean_x, slope })
    }
}
