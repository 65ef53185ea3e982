//! What is too little of a vessel's contents to matter at the bench.

use crate::route::ledger::Content;

/// In mol. Own rule: an amount that no burette or balance of a bench can measure.
const MOLES: f64 = 1e-5;

/// As a share of the mass of all that is there (own rule): what a label would call free of it.
const SHARE: f64 = 1e-5;

/// What matters, and what is only a trace; in their order.
pub fn parted(contents: &[Content]) -> (Vec<&Content>, Vec<&Content>) {
    let grams = |content: &Content| content.grams.to_f64().abs();
    let whole: f64 = contents.iter().map(grams).sum();
    contents.iter().partition(|content| {
        content.moles.to_f64().abs() >= MOLES || grams(content) >= SHARE * whole
    })
}
