//! Where a function of one number, or of several, is zero.
//!
//! One number: the hybrid of bisection and inverse quadratic interpolation of T. R. Chandrupatla, "A new hybrid
//! quadratic/bisection algorithm for finding the zero of a nonlinear function without using derivatives", Advances in
//! Engineering Software 28 (1997) 145–149. It keeps a bracket, so it ends for every function that has an answer on the
//! whole range. Several: Newton's method with differences and a step that is halved until it helps, J. E. Dennis and
//! R. B. Schnabel, Numerical Methods for Unconstrained Optimization and Nonlinear Equations, SIAM 1996, ch. 5 and 6.
//!
//! The functions are models and may have no answer somewhere; that is reported with its place, never stepped over.

/// Why there is no zero.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NoRoot {
    /// The function has one sign at every place that was tried; its values at both ends, and where it came nearest.
    #[error(
        "the function has no zero here: it goes from {low} to {high} and is nearest to zero at {nearest}"
    )]
    OneSign {
        /// At the lower end.
        low: f64,
        /// At the upper end.
        high: f64,
        /// The place of the smallest value, which may be one of the ends.
        nearest: f64,
    },
    /// The function has no answer here.
    #[error("the function has no value at {at}")]
    Undefined {
        /// Where.
        at: f64,
    },
}

/// Relative width of the bracket at which a zero counts as found.
const NARROW: f64 = 1e-14;
/// The bracket at least halves in every other step, so this is more than a bracket of any two numbers needs.
const MOST_STEPS: usize = 200;
/// Places tried for a change of sign when both ends have the same.
const PROBES: u32 = 24;
/// Places tried around the nearest of them.
const CLOSER: usize = 24;

/// A zero of `f` between `low` and `high`.
///
/// ```
/// use aludel::number::root::zero;
/// let root = zero(|x| Some(x * x - 2.0), 0.0, 2.0).unwrap();
/// assert!((root - 2f64.sqrt()).abs() < 1e-12);
/// assert!(zero(|x| Some(x * x + 1.0), 0.0, 2.0).is_err());
/// ```
pub fn zero(mut f: impl FnMut(f64) -> Option<f64>, low: f64, high: f64) -> Result<f64, NoRoot> {
    let mut ask = |at: f64| f(at).ok_or(NoRoot::Undefined { at });
    let (first, last) = (ask(low), ask(high));
    if let (Ok(first), Ok(last)) = (first, last)
        && opposite(first, last)
    {
        return narrowed(ask, (low, first), (high, last));
    }
    let mut before = first.ok().map(|value| (low, value));
    let mut tried: Vec<Point> = before.into_iter().collect();
    for probe in 1..=PROBES {
        let at = if probe == PROBES {
            high
        } else {
            low + (high - low) * f64::from(probe) / f64::from(PROBES)
        };
        let here = ask(at).ok().map(|value| (at, value));
        if let (Some(from), Some(to)) = (before, here)
            && opposite(from.1, to.1)
        {
            return narrowed(ask, from, to);
        }
        tried.extend(here);
        before = here;
    }
    let nearest = match closer(&mut ask, &tried, (low, high)) {
        Closer::Past(from, to) => return narrowed(ask, from, to),
        Closer::At(at) => at,
    };
    Err(NoRoot::OneSign {
        low: first?,
        high: last?,
        nearest,
    })
}

enum Closer {
    /// A hump between two probes has another sign.
    Past(Point, Point),
    At(f64),
}

/// Goes on from the smallest of some values of one sign, between the probes beside it by golden sections. A place without
/// an answer bounds it.
fn closer(
    ask: &mut impl FnMut(f64) -> Result<f64, NoRoot>,
    tried: &[Point],
    range: (f64, f64),
) -> Closer {
    let smallest = tried.iter().min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
    let Some(mut best) = smallest.copied() else {
        return Closer::At(f64::NAN);
    };
    let apart = (range.1 - range.0) / f64::from(PROBES);
    let (mut low, mut high) = ((best.0 - apart).max(range.0), (best.0 + apart).min(range.1));
    let golden = 0.5 * (5_f64.sqrt() - 1.0);
    for _ in 0..CLOSER {
        // The larger side of the best place.
        let at = match high - best.0 > best.0 - low {
            true => best.0 + (1.0 - golden) * (high - best.0),
            false => best.0 - (1.0 - golden) * (best.0 - low),
        };
        let Ok(value) = ask(at) else {
            match at < best.0 {
                true => low = at,
                false => high = at,
            }
            continue;
        };
        if opposite(value, best.1) {
            return Closer::Past(best, (at, value));
        }
        let (far, near) = match value.abs() < best.1.abs() {
            true => (best.0, (at, value)),
            false => (at, best),
        };
        if far < near.0 {
            low = far;
        } else {
            high = far;
        }
        best = near;
    }
    Closer::At(best.0)
}

/// Where a rising function is zero, looked for outwards from a guess; the end where it comes nearest if it has one sign
/// on the whole range. For functions that are nearly straight and dear to ask.
///
/// ```
/// use aludel::number::root::rising;
/// assert!((rising(|x| x * x * x - 27.0, (0.0, 1e6), 2.0) - 3.0).abs() < 1e-12);
/// assert_eq!(rising(|x| x + 1.0, (0.0, 9.0), 5.0), 0.0);
/// ```
pub fn rising(mut f: impl FnMut(f64) -> f64, (low, high): (f64, f64), guess: f64) -> f64 {
    let guess = if guess.is_finite() {
        guess.clamp(low, high)
    } else {
        0.5 * (low + high)
    };
    let mut step = guess.abs().max(1e-6 * (high - low)) / 64.0;
    let mut near = (guess, f(guess));
    loop {
        let next = if near.1 < 0.0 {
            (near.0 + step).min(high)
        } else {
            (near.0 - step).max(low)
        };
        if near.1 == 0.0 || next == near.0 {
            return near.0;
        }
        let there = (next, f(next));
        if opposite(near.1, there.1) {
            // Asked this way it always has an answer.
            return narrowed(|at| Ok(f(at)), near, there).unwrap_or(next);
        }
        near = there;
        step *= 4.0;
    }
}

fn opposite(a: f64, b: f64) -> bool {
    a == 0.0 || b == 0.0 || (a < 0.0) != (b < 0.0)
}

type Point = (f64, f64);

fn narrowed(
    mut ask: impl FnMut(f64) -> Result<f64, NoRoot>,
    from: Point,
    to: Point,
) -> Result<f64, NoRoot> {
    let (mut newest, mut other) = (to, from);
    let mut share = 0.5;
    for _ in 0..MOST_STEPS {
        let best = nearest(newest, other);
        let width = (other.0 - newest.0).abs();
        let least = NARROW * best.0.abs().max(f64::MIN_POSITIVE) / width;
        if best.1 == 0.0 || least > 0.5 || width == 0.0 {
            return Ok(best.0);
        }
        let share_now = share_within(share, least);
        let at = newest.0 + share_now * (other.0 - newest.0);
        let here = (at, ask(at)?);
        let gone = if opposite(here.1, newest.1) {
            std::mem::replace(&mut other, newest)
        } else {
            newest
        };
        newest = here;
        share = next_share(newest, other, gone);
    }
    Ok(nearest(newest, other).0)
}

fn nearest(a: Point, b: Point) -> Point {
    if a.1.abs() < b.1.abs() { a } else { b }
}

fn share_within(share: f64, least: f64) -> f64 {
    share.max(least).min(1.0 - least)
}

/// How far to go from the newest point towards the other end: by inverse quadratic interpolation where the three last
/// points allow it (Chandrupatla's criterion), else half way.
fn next_share((x1, f1): Point, (x2, f2): Point, (x3, f3): Point) -> f64 {
    let xi = (x1 - x2) / (x3 - x2);
    let phi = (f1 - f2) / (f3 - f2);
    if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
        f1 / (f2 - f1) * f3 / (f2 - f3) + (x3 - x1) / (x2 - x1) * f1 / (f3 - f1) * f2 / (f3 - f2)
    } else {
        0.5
    }
}

/// Size of the residuals at which a system counts as solved.
const SMALL: f64 = 1e-12;
/// Newton's method doubles its digits in each round near a solution; so many without one means there is none near.
const MOST_ROUNDS: usize = 40;
/// Halvings of a step before it is given up.
const HALVINGS: usize = 20;
/// Difference for the slopes, of a range of 1.
const DIFFERENCE: f64 = 1e-6;

/// The point of the unit cube at which the residuals are smallest, as far as Newton's method from several beginnings
/// finds it, with the residuals there; `None` if they have no answer anywhere that was tried. The caller judges whether
/// they are small enough.
///
/// ```
/// use aludel::number::root::least;
/// let (point, off) = least(|p| Some(vec![p[0] + p[1] - 1.0, p[0] - p[1]]), 2).unwrap();
/// assert!((point[0] - 0.5).abs() < 1e-9 && off.iter().all(|r| r.abs() < 1e-9));
/// ```
pub fn least(
    mut residuals: impl FnMut(&[f64]) -> Option<Vec<f64>>,
    unknowns: usize,
) -> Option<(Vec<f64>, Vec<f64>)> {
    let mut best: Option<(Vec<f64>, Vec<f64>)> = None;
    for share in [0.5, 0.25, 0.75, 0.05, 0.95] {
        let Some(found) = descend(&mut residuals, vec![share; unknowns]) else {
            continue;
        };
        let done = size(&found.1) < SMALL;
        if best.as_ref().is_none_or(|b| size(&found.1) < size(&b.1)) {
            best = Some(found);
        }
        if done {
            break;
        }
    }
    best
}

fn size(residuals: &[f64]) -> f64 {
    residuals.iter().map(|r| r.abs()).fold(0.0, f64::max)
}

fn squares(residuals: &[f64]) -> f64 {
    residuals.iter().map(|r| r * r).sum()
}

fn descend(
    residuals: &mut impl FnMut(&[f64]) -> Option<Vec<f64>>,
    mut point: Vec<f64>,
) -> Option<(Vec<f64>, Vec<f64>)> {
    let mut off = residuals(&point)?;
    for _ in 0..MOST_ROUNDS {
        if size(&off) < SMALL {
            break;
        }
        let Some(step) = newton_step(residuals, &point, &off) else {
            break;
        };
        let mut share = 1.0;
        let better = (0..HALVINGS).find_map(|_| {
            let next: Vec<f64> = point
                .iter()
                .zip(&step)
                .map(|(p, s)| (p + share * s).clamp(0.0, 1.0))
                .collect();
            share /= 2.0;
            let there = residuals(&next)?;
            (squares(&there) < squares(&off)).then_some((next, there))
        });
        let Some((next, there)) = better else { break };
        (point, off) = (next, there);
    }
    Some((point, off))
}

fn newton_step(
    residuals: &mut impl FnMut(&[f64]) -> Option<Vec<f64>>,
    point: &[f64],
    off: &[f64],
) -> Option<Vec<f64>> {
    let count = point.len();
    let mut rows: Vec<Vec<f64>> = off.iter().map(|r| vec![-r]).collect();
    for column in (0..count).rev() {
        let mut beside = point.to_vec();
        // Inwards, so that the point stays in the cube.
        let step = if point[column] > 0.5 {
            -DIFFERENCE
        } else {
            DIFFERENCE
        };
        beside[column] += step;
        let there = residuals(&beside)?;
        for (row, (new, old)) in rows.iter_mut().zip(there.iter().zip(off)) {
            row.insert(0, (new - old) / step);
        }
    }
    solve(rows.clone()).or_else(|| solve(normal(&rows)))
}

/// The normal equations of a system whose rows say the same twice, or nothing, a little damped (K. Levenberg, Q. Appl. Math. 2
/// (1944) 164, from memory): their step goes downhill as far as there is a slope.
fn normal(rows: &[Vec<f64>]) -> Vec<Vec<f64>> {
    let count = rows.len();
    let product = |a: usize, b: usize| -> f64 { rows.iter().map(|row| row[a] * row[b]).sum() };
    let largest = (0..count).map(|i| product(i, i)).fold(0.0, f64::max);
    let damping = 1e-8 * largest;
    let row = |i: usize| {
        let cells = (0..=count).map(|j| product(i, j) + if i == j { damping } else { 0.0 });
        cells.collect()
    };
    (0..count).map(row).collect()
}

/// The solution of linear equations, a row each with the right side as its last cell; `None` if there is none or more than one.
///
/// Gauss's elimination with the largest pivot of each column.
///
/// ```
/// use aludel::number::root::solve;
/// assert_eq!(solve(vec![vec![2.0, 0.0, 4.0], vec![1.0, 1.0, 3.0]]), Some(vec![2.0, 1.0]));
/// ```
pub fn solve(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let count = rows.len();
    let cells = rows.iter().flat_map(|row| &row[..count]);
    let least = 1e-12 * cells.map(|cell| cell.abs()).fold(0.0, f64::max);
    for column in 0..count {
        let pivot = (column..count)
            .max_by(|a, b| rows[*a][column].abs().total_cmp(&rows[*b][column].abs()))?;
        rows.swap(column, pivot);
        if rows[column][column].abs() <= least {
            return None;
        }
        let head = rows[column].clone();
        let others = rows.iter_mut().enumerate().filter(|(i, _)| *i != column);
        for (_, row) in others {
            let factor = row[column] / head[column];
            row.iter_mut()
                .zip(&head)
                .for_each(|(a, b)| *a -= factor * b);
        }
    }
    Some((0..count).map(|i| rows[i][count] / rows[i][i]).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Test functions in common use since R. P. Brent, Algorithms for Minimization without Derivatives, 1973, ch. 4.
    #[test]
    fn zeros_are_found_to_the_last_digits_in_few_steps() {
        type F = fn(f64) -> f64;
        let cases: [(F, f64, f64, f64); 5] = [
            (
                |x| x * x * x - 2.0 * x - 5.0,
                2.0,
                3.0,
                2.094_551_481_542_326_5,
            ),
            (|x| libm::cos(x) - x, 0.0, 1.0, 0.739_085_133_215_160_6),
            (|x| 3.0 * x - 6.0, 0.0, 100.0, 2.0),
            (|x| x.powi(9), -1.0, 4.0, 0.0),
            (|x| if x < 0.3 { -1.0 } else { 1.0 }, 0.0, 1.0, 0.3),
        ];
        for (f, low, high, root) in cases {
            let mut asked = 0;
            let found = zero(
                |x| {
                    asked += 1;
                    Some(f(x))
                },
                low,
                high,
            )
            .unwrap();
            assert!((found - root).abs() < 1e-6, "{found} for {root}");
            assert!(asked < 150, "{asked} for {root}");
        }
    }

    #[test]
    fn a_line_needs_few_values() {
        let mut asked = 0;
        let found = zero(
            |x| {
                asked += 1;
                Some(3.0 * x - 6.0)
            },
            0.0,
            100.0,
        )
        .unwrap();
        assert!(
            (found - 2.0).abs() < 1e-12 && asked <= 5,
            "{found} after {asked}"
        );
    }

    #[test]
    fn rising_lines_curves_and_jumps_are_met_from_any_guess() {
        for guess in [0.0, 1.0, 1.9, 2.0, 7.0, f64::NAN] {
            assert!((rising(|x| 3.0 * x - 6.0, (0.0, 6000.0), guess) - 2.0).abs() < 1e-9);
            assert!((rising(|x| x.powi(3) - 8.0, (0.0, 10.0), guess) - 2.0).abs() < 1e-9);
            let jump = |x: f64| if x < 2.0 { x - 5.0 } else { x + 5.0 };
            assert!((rising(jump, (0.0, 10.0), guess) - 2.0).abs() < 1e-9);
            assert_eq!(rising(|x| x - 11.0, (0.0, 10.0), guess), 10.0);
        }
    }

    #[test]
    fn a_zero_between_equal_ends_is_found_and_none_is_said() {
        let hump = |x: f64| Some(1.0 - (x - 5.0) * (x - 5.0));
        assert!((zero(hump, 0.0, 10.0).unwrap() - 4.0).abs() < 1e-9);
        assert_eq!(
            zero(|x| Some(x + 1.0), 0.0, 1.0),
            Err(NoRoot::OneSign {
                low: 1.0,
                high: 2.0,
                nearest: 0.0
            })
        );
        assert!(matches!(
            zero(|_| None, 0.0, 1.0),
            Err(NoRoot::Undefined { .. })
        ));
    }

    #[test]
    fn equations_that_say_the_same_are_met_and_a_flat_one_is_left() {
        let same = |p: &[f64]| Some(vec![p[0] + p[1] - 0.7, 2.0 * (p[0] + p[1] - 0.7)]);
        let (point, off) = least(same, 2).unwrap();
        assert!((point[0] + point[1] - 0.7).abs() < 1e-9 && size(&off) < 1e-9);
        // The second never changes: the first is met all the same, as near as it goes.
        let flat = |p: &[f64]| Some(vec![p[0] - 2.0, 1.0]);
        let (point, _) = least(flat, 2).unwrap();
        assert_eq!(point[0], 1.0);
    }

    #[test]
    fn a_hump_between_two_probes_is_found_or_told() {
        let hump = |height: f64| move |x: f64| Some(height - (x - 3.1).abs().min(0.2) * 10.0);
        let root = zero(hump(1.9), 0.0, 10.0).unwrap();
        assert!(((root - 3.1).abs() - 0.19).abs() < 1e-9, "{root}");
        let Err(NoRoot::OneSign { nearest, .. }) = zero(hump(-0.1), 0.0, 10.0) else {
            panic!("it never is zero");
        };
        assert!((nearest - 3.1).abs() < 1e-3, "{nearest}");
    }

    #[test]
    fn two_curves_meet_where_both_are_zero() {
        // A circle and a line: x² + y² = 0.5, x = y.
        let curves = |p: &[f64]| Some(vec![p[0] * p[0] + p[1] * p[1] - 0.5, p[0] - p[1]]);
        let (point, off) = least(curves, 2).unwrap();
        assert!(
            (point[0] - 0.5).abs() < 1e-9 && size(&off) < 1e-9,
            "{point:?}"
        );
    }
}
