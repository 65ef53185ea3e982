//! What is too little to have figures of its own on a sheet: it is told by its name.
//!
//! Knows nothing of hazards. JSON and CSV carry every figure.

use crate::route::ledger::Content;

use super::document::Words;

/// In mol. Own rule: an amount that no burette or balance of a bench can measure.
const MOLES: f64 = 1e-5;

/// As a share of the mass of all that is there (own rule): what a label would call free of it.
const SHARE: f64 = 1e-5;

/// What has figures, and what is only a trace; in their order.
pub(super) fn parted(contents: &[Content]) -> (Vec<&Content>, Vec<&Content>) {
    let grams = |content: &Content| content.grams.to_f64().abs();
    let whole: f64 = contents.iter().map(grams).sum();
    contents.iter().partition(|content| {
        content.moles.to_f64().abs() >= MOLES || grams(content) >= SHARE * whole
    })
}

impl Words {
    /// `traces of NO₃⁻, Na⁺`
    pub(super) fn traces(self, traces: &[&Content]) -> Option<String> {
        let names: Vec<String> = traces.iter().map(|one| self.bare(&one.species)).collect();
        (!names.is_empty()).then(|| format!("traces of {}", names.join(", ")))
    }
}
