//! Members that meet at a point, each holding in one sense only: what frames and anchors have in common.
//!
//! The forces x of the members must balance a given force b at the point, Σ xᵢ·aᵢ = b with xᵢ ≥ 0 (a member that
//! holds both ways is free of the bound). Of all such x the elastic one has the least energy Σ xᵢ²/2kᵢ.
//! Two stages, both finite active-set methods:
//!
//! 1. the nearest point of the cone of the members to b, by non-negative least squares; what it misses of b is
//!    the force that the members can't give;
//! 2. if nothing is missing, the least energy from there on, where xᵢ = kᵢ·aᵢ·d with d the shift of the point.
//!
//! Sources: Lawson & Hanson, *Solving Least Squares Problems* (1974), ch. 23; Nocedal & Wright, *Numerical
//! Optimization* (2006), § 16.5. Both from memory.

use crate::math::{self, linear::Svd, lists};
use arrayvec::ArrayVec;
use nalgebra::{Matrix3, SVector, Vector3};

/// Most members at a point.
pub(crate) const MOST: usize = 16;
/// Most columns of a fit: a member that holds both ways counts twice.
const COLUMNS: usize = 2 * MOST;
/// Steps after which an active-set method has failed. In 3-D with 16 members it takes fewer than 20.
const STEPS: u32 = 400;
/// What is nothing, by the size of the force to be balanced: some thousand roundings.
const NOTHING: f64 = 1e-13;
/// The largest closing error of an answer, by its largest force.
pub(crate) const CLOSED: f64 = 1e-12;
/// Stiffnesses below this part of the largest don't count: 1/ε of f64, with two digits to spare.
const SOFTEST: f64 = 1e-13;
/// Directions closer than this to the span of others are in it.
const DEPENDENT: f64 = 1e-9;

/// One member.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Member {
    /// Unit vector of its force on the point.
    pub(crate) along: Vector3<f64>,
    /// Force for a metre of shift along that.
    pub(crate) stiffness: f64,
    /// Whether it may also push where it pulls, or pull where it pushes.
    pub(crate) both_ways: bool,
}

/// How the members balance a force.
#[derive(Debug, Clone, Copy)]
pub(crate) struct MemberForces {
    /// The force of each member, in their order.
    pub(crate) forces: [f64; MOST],
    /// What they can't give of the force; zero if they balance it.
    pub(crate) missing: Vector3<f64>,
    pub(crate) steps: u32,
    /// |Σ xᵢ·aᵢ − b| by the largest term, where nothing is missing.
    pub(crate) residual: f64,
}

impl MemberForces {
    pub(crate) fn holds(&self) -> bool {
        self.missing == Vector3::zeros()
    }
}

/// The forces of the members that balance `needed`, or come nearest to it. `None` if the residual isn't reached.
pub(crate) fn balance(members: &[Member], needed: Vector3<f64>) -> Option<MemberForces> {
    let size = math::sqrt(needed.norm_squared());
    let mut result = MemberForces { forces: [0.0; MOST], missing: Vector3::zeros(), steps: 0, residual: 0.0 };
    if size == 0.0 {
        return Some(result);
    }
    let b = needed / size;
    if let Some((forces, residual)) = statics(members, b) {
        return Some(MemberForces { forces: forces.map(|x| x * size), steps: 1, residual, ..result });
    }
    let (reach, steps) = nearest(members, b)?;
    let miss = b - total(members, &reach);
    result.steps = steps;
    if math::sqrt(miss.norm_squared()) > CLOSED * largest(&reach) {
        result.forces = reach.map(|x| x * size);
        result.missing = miss * size;
        return Some(result);
    }
    let (shared, steps) = share(members, b, reach)?;
    result.steps += steps;
    result.residual = closed(members, b, &shared)?;
    result.forces = shared.map(|x| x * size);
    Some(result)
}

/// The forces of three members well out of one plane, if all of them hold the way they are asked to; and the residual.
///
/// Equilibrium alone gives them, so that neither stage has a choice: x₁ = b·(a₂ × a₃)/(a₁·(a₂ × a₃)), and so on around.
fn statics(members: &[Member], b: Vector3<f64>) -> Option<([f64; MOST], f64)> {
    let [one, two, three] = members else { return None };
    let across = [two.along.cross(&three.along), three.along.cross(&one.along), one.along.cross(&two.along)];
    let [first, ..] = &across;
    let volume = one.along.dot(first);
    let mut forces = [0.0; MOST];
    for ((force, across), m) in forces.iter_mut().zip(&across).zip(members) {
        *force = b.dot(across) / volume;
        // As well where the volume is nothing: neither is a number.
        if !(m.both_ways || *force >= 0.0) {
            return None;
        }
    }
    closed(members, b, &forces).map(|residual| (forces, residual)).filter(|_| volume.abs() > DEPENDENT)
}

/// |Σ xᵢ·aᵢ − b| by the largest force; none if that is too large.
fn closed(members: &[Member], b: Vector3<f64>, forces: &[f64; MOST]) -> Option<f64> {
    let residual = (b - total(members, forces)).amax() / largest(forces);
    (residual <= CLOSED).then_some(residual)
}

/// The largest force, at least that to be balanced.
fn largest(forces: &[f64; MOST]) -> f64 {
    forces.iter().fold(1.0, |m: f64, x| m.max(x.abs()))
}

/// Σ xᵢ·aᵢ
fn total(members: &[Member], forces: &[f64; MOST]) -> Vector3<f64> {
    members.iter().zip(forces).fold(Vector3::zeros(), |sum, (m, x)| sum + m.along * *x)
}

/// Stage 1: the forces whose sum comes nearest to b.
fn nearest(members: &[Member], b: Vector3<f64>) -> Option<([f64; MOST], u32)> {
    // Those that hold both ways once more, the other way.
    let ways = || {
        let again = members.iter().enumerate().filter(|(_, m)| m.both_ways).map(|(i, m)| (i, -m.along));
        members.iter().enumerate().map(|(i, m)| (i, m.along)).chain(again)
    };
    let columns: ArrayVec<Vector3<f64>, COLUMNS> = lists::list(ways().map(|(_, way)| way));
    let (x, steps) = non_negative_fit::<3, COLUMNS>(&columns, b)?;
    let mut forces = [0.0; MOST];
    for (number, ((i, _), x)) in ways().zip(&x).enumerate() {
        *forces.get_mut(i)? += if number < members.len() { *x } else { -x };
    }
    Some((forces, steps))
}

/// Stage 2: of all forces that balance b, those of the least energy, from `x` that balance it.
fn share(members: &[Member], b: Vector3<f64>, mut x: [f64; MOST]) -> Option<([f64; MOST], u32)> {
    let stiffest = members.iter().fold(0.0, |k: f64, m| k.max(m.stiffness));
    let k = |m: &Member| m.stiffness / stiffest;
    let mut carries = [false; MOST];
    for ((carries, m), x) in carries.iter_mut().zip(members).zip(&x) {
        *carries = m.both_ways || *x > 0.0;
    }
    // A member whose taking ends where it began adds nothing but rounding: it is left out until the forces have
    // changed.
    let mut taken: Option<usize> = None;
    let mut useless = [false; MOST];
    let mut settled: Option<[f64; MOST]> = None;
    for step in 0..STEPS {
        let (d, aim) = shift(members, &carries, k, b);
        // The first member that goes slack on the way there.
        let mut way = 1.0;
        let mut first = None;
        for (i, ((m, from), to)) in members.iter().zip(&x).zip(&aim).enumerate() {
            if !m.both_ways && *to < -NOTHING && from / (from - to) < way {
                way = from / (from - to);
                first = Some(i);
            }
        }
        if let Some(first) = first {
            for (x, aim) in x.iter_mut().zip(&aim) {
                *x += way * (aim - *x);
            }
            *x.get_mut(first)? = 0.0;
            *carries.get_mut(first)? = false;
            continue;
        }
        for ((x, aim), m) in x.iter_mut().zip(&aim).zip(members) {
            *x = if m.both_ways { *aim } else { aim.max(0.0) };
        }
        let rounding = CLOSED * largest(&x);
        let stays =
            |before: [f64; MOST]| x.iter().zip(&before).all(|(x, before)| (x - before).abs() <= rounding);
        if !settled.is_some_and(stays) {
            useless = [false; MOST];
        } else if let Some(taken) = taken {
            *useless.get_mut(taken)? = true;
        }
        settled = Some(x);
        // The slack member that the shift would load most.
        let mut most = 0.0;
        let mut taut = None;
        // aᵢ·d is known to a few roundings of |d|.
        let blur = 64.0 * f64::EPSILON * math::sqrt(d.norm_squared());
        for (i, ((m, carries), useless)) in members.iter().zip(&carries).zip(&useless).enumerate() {
            let would = k(m) * (m.along.dot(&d) - blur) - NOTHING;
            if !carries && !useless && would > most {
                most = would;
                taut = Some(i);
            }
        }
        taken = taut;
        match taut {
            Some(taut) => *carries.get_mut(taut)? = true,
            None => return Some((x, step + 1)),
        }
    }
    None
}

/// The shift d of the point under b and the forces xᵢ = kᵢ·aᵢ·d of the members that carry it.
///
/// (Σ kᵢ·aᵢ·aᵢᵀ)·d = b, the least d where the members leave it a choice.
fn shift(
    members: &[Member],
    carries: &[bool; MOST],
    k: impl Fn(&Member) -> f64,
    b: Vector3<f64>,
) -> (Vector3<f64>, [f64; MOST]) {
    let carrying = || members.iter().zip(carries).filter(|(_, carries)| **carries).map(|(m, _)| m);
    let matrix = carrying().fold(Matrix3::zeros(), |sum, m| sum + m.along * m.along.transpose() * k(m));
    // Symmetric without negative eigenvalues: they are the singular values.
    let eigen = Svd::of(&matrix);
    let cutoff = SOFTEST * eigen.largest();
    let mut d = Vector3::zeros();
    let mut x = [0.0; MOST];
    // Each round takes off what the squared condition left of the error. The forces are summed for themselves:
    // from d alone a stiff member's would drown in the rounding of a soft one's shift.
    for _ in 0..4 {
        let left = b - total(members, &x);
        let mut more = Vector3::zeros();
        for (value, vector) in eigen.right() {
            if value > cutoff {
                more += vector * (vector.dot(&left) / value);
            }
        }
        d += more;
        for ((x, m), carries) in x.iter_mut().zip(members).zip(carries) {
            if *carries {
                *x += k(m) * m.along.dot(&more);
            }
        }
    }
    (d, x)
}

/// x ≥ 0 with the least |Σ xⱼ·cⱼ − b|, for b of about unit size and C columns at most. Columns of zeros take no part.
pub(crate) fn non_negative_fit<const R: usize, const C: usize>(
    columns: &[SVector<f64, R>],
    b: SVector<f64, R>,
) -> Option<([f64; C], u32)> {
    let mut x = [0.0; C];
    let mut used = [false; C];
    let mut barred = [false; C];
    let mut steps = 0;
    loop {
        let left = columns.iter().zip(&x).fold(b, |sum, (c, x)| sum - c * *x);
        // The column that takes most off what is left.
        let mut most = NOTHING;
        let mut next = None;
        for (j, ((c, used), barred)) in columns.iter().zip(&used).zip(&barred).enumerate() {
            let slope = c.dot(&left);
            if !used && !barred && slope > most {
                most = slope;
                next = Some(j);
            }
        }
        let Some(next) = next else { return Some((x, steps)) };
        *used.get_mut(next)? = true;
        let before = x;
        let mut moved = false;
        loop {
            steps += 1;
            if steps > STEPS {
                return None;
            }
            let aim = least_squares(columns, &used, b);
            // Either says that the slope was rounding.
            let useless = match aim {
                None => true,
                Some(aim) => !moved && aim.get(next).is_none_or(|x| *x <= 0.0),
            };
            if useless {
                *used.get_mut(next)? = false;
                *barred.get_mut(next)? = true;
                x = before;
                break;
            }
            let aim = aim?;
            let mut way = 1.0;
            let mut first = None;
            for (j, ((from, to), used)) in x.iter().zip(&aim).zip(&used).enumerate().take(columns.len()) {
                if *used && *to <= 0.0 && (first.is_none() || from / (from - to) < way) {
                    way = from / (from - to);
                    first = Some(j);
                }
            }
            let Some(first) = first else {
                x = aim;
                barred = [false; C];
                break;
            };
            for (x, aim) in x.iter_mut().zip(&aim) {
                *x += way * (aim - *x);
            }
            *x.get_mut(first)? = 0.0;
            *used.get_mut(first)? = false;
            moved = true;
        }
    }
}

/// The least |Σ xⱼ·cⱼ − b| over the columns in use; `None` if they are not independent.
///
/// C = Q·R by Gram and Schmidt, each column twice; R·x = Qᵀ·b.
fn least_squares<const R: usize, const C: usize>(
    columns: &[SVector<f64, R>],
    used: &[bool; C],
    b: SVector<f64, R>,
) -> Option<[f64; C]> {
    let mut q = [SVector::<f64, R>::zeros(); R];
    let mut r = [[0.0; C]; R];
    let mut rank = 0;
    for (j, (column, _)) in columns.iter().zip(used).enumerate().filter(|(_, (_, used))| **used) {
        let mut v = *column;
        for _ in 0..2 {
            for (q, r) in q.iter().zip(&mut r).take(rank) {
                let part = q.dot(&v);
                *r.get_mut(j)? += part;
                v -= q * part;
            }
        }
        let size = math::sqrt(v.norm_squared());
        if size.is_nan() || size <= DEPENDENT * math::sqrt(column.norm_squared()) {
            return None;
        }
        *q.get_mut(rank)? = v / size;
        *r.get_mut(rank)?.get_mut(j)? = size;
        rank += 1;
    }
    let mut x = [0.0; C];
    let in_use = (0..columns.len()).rev().filter(|j| used.get(*j) == Some(&true));
    for (row, j) in (0..rank).rev().zip(in_use) {
        let (q, r) = (q.get(row)?, r.get(row)?);
        let known: f64 = r.iter().zip(&x).take(columns.len()).skip(j + 1).map(|(r, x)| r * x).sum();
        *x.get_mut(j)? = (q.dot(&b) - known) / r.get(j)?;
    }
    Some(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn member(x: f64, y: f64, z: f64, stiffness: f64) -> Member {
        Member { along: Vector3::new(x, y, z).normalize(), stiffness, both_ways: false }
    }

    #[test]
    fn a_force_outside_the_cone_is_missed_by_its_part_beyond() {
        let members = [member(1.0, 0.0, 0.0, 1.0), member(0.0, 1.0, 0.0, 1.0)];
        let b = balance(&members, Vector3::new(3.0, -2.0, 5.0)).unwrap();
        assert_eq!(b.missing, Vector3::new(0.0, -2.0, 5.0));
        assert_eq!(b.forces[..2], [3.0, 0.0]);
    }

    #[test]
    fn forces_that_do_not_close_are_refused() {
        let members = [member(1.0, 0.0, 0.0, 1.0), member(0.0, 0.0, 1.0, 1.0)];
        let b = Vector3::new(0.6, 0.0, 0.8);
        let mut forces = [0.0; MOST];
        (forces[0], forces[1]) = (0.6, 0.8);
        assert_eq!(closed(&members, b, &forces), Some(0.0));
        for off in [1e-11, -1e-11, f64::NAN, f64::INFINITY] {
            let mut forces = forces;
            forces[1] += off;
            assert_eq!(closed(&members, b, &forces), None, "{off}");
        }
    }

    #[test]
    fn a_stiff_member_takes_more_and_a_slack_one_nothing() {
        // Two parallel members, 3:1, and one that would have to push.
        let members = [member(0.0, 0.0, 1.0, 3.0), member(0.0, 0.0, 1.0, 1.0), member(0.0, 0.0, -1.0, 1.0)];
        let b = balance(&members, Vector3::new(0.0, 0.0, 8.0)).unwrap();
        assert!(b.holds() && b.residual < 1e-15);
        assert!((b.forces[0] - 6.0).abs() < 1e-14 && (b.forces[1] - 2.0).abs() < 1e-14);
        assert_eq!(b.forces[2], 0.0);
    }

    /// Numbers from −1 to 1.
    fn random() -> impl FnMut() -> f64 {
        let mut seed = 7_u64;
        move || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 11) as f64 / (1_u64 << 53) as f64 * 2.0 - 1.0
        }
    }

    /// A case of 1 to 16 members whose stiffnesses differ by so many decades, some of them holding both ways.
    fn case(number: usize, decades: f64, random: &mut impl FnMut() -> f64) -> (Vec<Member>, Vector3<f64>) {
        let members = (0..1 + number % MOST)
            .map(|_| {
                let m = member(random(), random(), random(), 10.0_f64.powf(0.5 * decades * random()));
                Member { both_ways: random() > 0.9, ..m }
            })
            .collect();
        (members, Vector3::new(random(), random(), random()) * 1e4)
    }

    #[test]
    fn a_force_is_balanced_or_proved_beyond_reach_over_nine_decades_of_stiffness() {
        let mut random = random();
        let mut held = 0;
        for number in 0..20_000 {
            let (members, b) = case(number, 9.0, &mut random);
            let answer = balance(&members, b).unwrap_or_else(|| panic!("case {number}: {members:?} {b:?}"));
            if answer.holds() {
                held += 1;
                assert!(answer.residual <= CLOSED);
                for (m, x) in members.iter().zip(&answer.forces) {
                    assert!(m.both_ways || *x >= 0.0);
                }
            } else {
                // Farkas: the missing force lies at no less than a right angle to every member.
                for m in &members {
                    let slope = m.along.dot(&answer.missing);
                    let none = 1e-9 * b.norm();
                    assert!(slope < none && (!m.both_ways || slope > -none), "case {number}");
                }
            }
        }
        assert!(held > 5_000, "{held}");
    }

    #[test]
    fn the_answer_has_the_least_energy_of_all() {
        // Kuhn and Tucker: one shift d of the point stretches every loaded member by x/k, and no slack one. For a
        // strictly convex energy only the least has that. d is found anew here, by least squares.
        let mut random = random();
        let mut shared = 0;
        for number in 0..5_000 {
            let (members, b) = case(number, 3.0, &mut random);
            let answer = balance(&members, b).unwrap();
            let loaded: Vec<_> =
                members.iter().zip(answer.forces).filter(|(m, x)| m.both_ways || *x > 0.0).collect();
            if !answer.holds() || loaded.len() < 4 {
                continue;
            }
            shared += 1;
            let rows = nalgebra::DMatrix::from_fn(loaded.len(), 3, |i, j| loaded[i].0.along[j]);
            let stretch =
                nalgebra::DVector::from_fn(loaded.len(), |i, _| loaded[i].1 / loaded[i].0.stiffness);
            let d = rows.clone().svd(true, true).solve(&stretch, 1e-12).unwrap();
            let none = 1e-9 * d.norm();
            assert!((&rows * &d - &stretch).amax() < none, "case {number}");
            for (m, x) in members.iter().zip(answer.forces) {
                assert!(m.both_ways || x > 0.0 || m.along.dot(&Vector3::new(d[0], d[1], d[2])) < none);
            }
        }
        assert!(shared > 1_000, "{shared}");
    }
}
