//! What the models of this room share: the way from exact numbers through floating-point equations, and finding the
//! rows of a substance.

use std::sync::LazyLock;

use crate::data::{Row, Table};
use crate::equation::identity;
use crate::matter::{Count, Formula, Species};
use crate::number::{Exact, Number};

/// The result of a model with its uncertainty to first order: the slopes are taken by central differences, and only
/// along inputs that are uncertain. `None` where the model gives no finite number.
pub(super) fn through(inputs: &[&Number], model: impl Fn(&[f64]) -> f64) -> Option<Number> {
    let at: Vec<f64> = inputs.iter().map(|input| input.to_f64()).collect();
    let value = model(&at);
    let uncertain = inputs
        .iter()
        .enumerate()
        .filter(|(_, input)| !input.is_exact());
    let slopes = uncertain.map(|(index, input)| {
        let step = (at[index].abs() * 1e-5).max(1e-9);
        let shifted = |by: f64| {
            let mut moved = at.clone();
            moved[index] += by;
            model(&moved)
        };
        (*input, (shifted(step) - shifted(-step)) / (2.0 * step))
    });
    let slopes: Vec<_> = slopes.filter(|(_, slope)| slope.is_finite()).collect();
    Number::of_model(value, &slopes)
}

/// The rows of a substance, however it is spelled.
pub(super) fn rows_of(table: &'static Table, species: &Species) -> Vec<Row> {
    let rows: Vec<Row> = table.find(species.key()).collect();
    if rows.is_empty() {
        return table.find(identity(species).key()).collect();
    }
    rows
}

/// A hydrate as its anhydrous formula and the molecules of water it brings; anything else as itself and zero.
///
/// ```
/// use aludel::{matter::Species, number::Exact, solution};
/// let (salt, water) = solution::anhydrous(&Species::parse("CuSO4·5H2O").unwrap());
/// assert_eq!((salt.plain(), water), ("CuSO4", Exact::from(5)));
/// ```
pub fn anhydrous(species: &Species) -> (Species, Exact) {
    static WATER: LazyLock<Species> =
        LazyLock::new(|| Species::parse("H2O").expect("water can be read"));
    let water_items = &WATER.formula().parts[0].items;
    let parts = &species.formula().parts;
    let (Some(last), true) = (parts.last(), parts.len() == 2) else {
        return (species.clone(), Exact::zero());
    };
    if &last.items != water_items || parts[0].multiplier != Count::ONE {
        return (species.clone(), Exact::zero());
    }
    let molecules = last.multiplier;
    let rest = Formula {
        parts: vec![parts[0].clone()],
    };
    match Species::new(rest, species.charge(), None) {
        Some(salt) => {
            let above = Exact::from(num_bigint::BigInt::from(molecules.numerator()));
            let below = Exact::from(num_bigint::BigInt::from(molecules.denominator()));
            (salt, above / below)
        }
        None => (species.clone(), Exact::zero()),
    }
}

/// The value at `x` of the polynomial through the four points nearest to it; of fewer where there are fewer. Points
/// are in ascending order. `None` outside them or inside a gap wider than `gap`.
pub(super) fn interpolate(points: &[(f64, f64)], x: f64, gap: f64) -> Option<f64> {
    let above = points.partition_point(|(at, _)| *at < x);
    if let Some((at, value)) = points.get(above)
        && (*at - x).abs() < 1e-12
    {
        return Some(*value);
    }
    if above == 0 || above == points.len() {
        return None;
    }
    if points[above].0 - points[above - 1].0 > gap {
        return None;
    }
    let first = above.saturating_sub(2).min(points.len().saturating_sub(4));
    let near = &points[first..points.len().min(first + 4)];
    // A wide gap on one side would let the cubic swing: straight line then.
    let steps = near.windows(2).map(|pair| pair[1].0 - pair[0].0);
    let near = if steps.fold(0.0, f64::max) > gap {
        &points[above - 1..=above]
    } else {
        near
    };
    Some(lagrange(near, x))
}

fn lagrange(points: &[(f64, f64)], x: f64) -> f64 {
    let weight = |k: usize| {
        let others = points.iter().enumerate().filter(|(other, _)| *other != k);
        others.fold(1.0, |product, (_, (at, _))| {
            product * (x - at) / (points[k].0 - at)
        })
    };
    (0..points.len()).map(|k| points[k].1 * weight(k)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::number::InputId;

    #[test]
    fn slopes_reach_the_result() {
        let x = Number::exact(Exact::from(3)).with_uncertainty(InputId(0), 0.1);
        let y = Number::exact(Exact::from(2));
        let square = through(&[&x, &y], |v| v[0] * v[0] * v[1]).unwrap();
        assert_eq!(square.to_f64(), 18.0);
        assert!((square.standard_uncertainty() - 1.2).abs() < 1e-8);
    }

    #[test]
    fn a_cubic_is_met_exactly_and_gaps_are_not_bridged() {
        let points: Vec<(f64, f64)> = [0.0, 1.0, 2.0, 3.0, 5.0, 9.0]
            .map(|x: f64| (x, x.powi(3)))
            .into();
        assert!((interpolate(&points, 1.5, 1.5).unwrap() - 3.375).abs() < 1e-12);
        assert_eq!(interpolate(&points, 7.0, 1.5), None);
        assert_eq!(interpolate(&points, 9.5, 1.5), None);
        assert_eq!(interpolate(&points, 9.0, 1.5), Some(729.0));
    }
}
