//! What is too little to have figures of its own on a sheet is named; JSON and CSV carry every
//! figure.

use crate::route::ledger::Content;

use super::document::Words;

impl Words {
    /// `traces of NO₃⁻, Na⁺`
    pub(super) fn traces(self, traces: &[&Content]) -> Option<String> {
        let names: Vec<String> = traces.iter().map(|one| self.bare(&one.species)).collect();
        (!names.is_empty()).then(|| format!("traces of {}", names.join(", ")))
    }
}
