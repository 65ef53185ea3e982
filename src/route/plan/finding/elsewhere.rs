//! Whether a condition is met elsewhere in the range too, or hangs on its unknown at all.

use crate::number::Quantity;

use super::{AGREES, Range, Search};
use crate::route::ledger::{AlsoMet, Fact, NoValue};

impl Search<'_> {
    /// Whether a value elsewhere in the range meets the condition too, as far as a few places tell.
    pub(super) fn further(
        &self,
        range: &Range,
        (root, value): (f64, Quantity),
        mut seen: Vec<(f64, f64)>,
    ) -> Option<Fact> {
        /// Places that are tried between the bounds, and these themselves.
        const PLACES: u32 = 8;
        for place in 0..=PLACES {
            let at = range.share(f64::from(place) / f64::from(PLACES));
            let off = self
                .try_out(&[range.value(at)?], &mut 0)
                .ok()
                .and_then(|trial| trial.off());
            seen.extend(off.map(|off| (at, off[0])));
        }
        // What lies about the root itself is the root.
        let near = 1e-3 * (range.high - range.low).abs();
        seen.retain(|(at, _)| (at - root).abs() > near);
        seen.sort_by(|a, b| a.0.total_cmp(&b.0));
        let meets = |off: f64| off.abs() <= AGREES;
        let everywhere = seen.iter().all(|(_, off)| meets(*off));
        let other = seen
            .iter()
            .find(|(_, off)| meets(*off))
            .map(|(at, _)| (*at, *at));
        let crossing = seen.windows(2).find(|pair| {
            let [(a, off_a), (b, off_b)] = [pair[0], pair[1]];
            off_a * off_b < 0.0 && !(a < root && root < b)
        });
        let (low, high) = other.or(crossing.map(|pair| (pair[0].0, pair[1].0)))?;
        let name = self.program.lets[self.unknowns[0].slot].name.clone();
        Some(Fact::AlsoMet(Box::new(AlsoMet {
            unknown: (name, value),
            between: (range.value(low)?, range.value(high)?),
            everywhere,
        })))
    }

    pub(super) fn no_influence(&self, range: &Range) -> Fact {
        match self.sides(range, range.low) {
            Some((comes_to, wanted)) => {
                self.no_value(range, range.low, NoValue::NoInfluence { wanted, comes_to })
            }
            None => self.no_value(range, range.low, NoValue::NoAnswer),
        }
    }

    /// What the condition comes to at a value: its left side and its right one.
    pub(super) fn sides(&self, range: &Range, at: f64) -> Option<(Quantity, Quantity)> {
        let trial = self.try_out(&[range.value(at)?], &mut 0).ok()?;
        let (left, right) = trial.state.scope.sides.into_iter().next()?;
        left.zip(right)
    }
}
