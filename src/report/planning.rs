//! What was found by working back, and what comparing gave.

use crate::route::ledger::{Comparison, ComparisonRow, Finding};

use super::document::{Block, Part, Section, Words, section};
use crate::figure;

impl Words {
    /// The values that `find` found, with what they lead to.
    pub(super) fn found(self, findings: &[Finding]) -> Option<Section> {
        let met = findings.iter().filter(|finding| finding.met);
        let blocks: Vec<Block> = met.map(found).collect();
        (!blocks.is_empty()).then(|| section(Part::Found, "Worked back", blocks))
    }

    /// The tables of `vary`.
    pub(super) fn compared(self, comparisons: &[Comparison]) -> Option<Section> {
        let blocks: Vec<Block> = comparisons
            .iter()
            .flat_map(|comparison| self.comparison(comparison))
            .collect();
        (!blocks.is_empty()).then(|| section(Part::Compared, "Compared", blocks))
    }

    fn comparison(self, comparison: &Comparison) -> Vec<Block> {
        let columns = comparison.varied.iter().chain(&comparison.shown);
        let mut blocks = vec![Block::Comparison {
            columns: columns.cloned().collect(),
            rows: comparison
                .rows
                .iter()
                .map(|row| cells(comparison, row))
                .collect(),
        }];
        blocks.extend(comparison.rows.iter().filter_map(|row| {
            let (level, text) = self.remark(row.faults.first()?);
            let values: Vec<String> = row.values.iter().map(figure::quantity).collect();
            Some(Block::Remark(
                level,
                format!("at {}: {text}", values.join(", ")),
            ))
        }));
        blocks
    }
}

fn found(finding: &Finding) -> Block {
    let mut named = finding.unknowns.iter();
    let (first, value) = named
        .next()
        .map_or((String::new(), String::new()), |(name, value)| {
            (name.clone(), figure::quantity(value))
        });
    let others = named.map(|(name, value)| format!("{name} = {}", figure::quantity(value)));
    let values: Vec<String> = std::iter::once(value).chain(others).collect();
    let conditions: Vec<&str> = finding
        .conditions
        .iter()
        .map(|(text, _)| text.as_str())
        .collect();
    Block::Answer {
        asked: first,
        answer: format!(
            "{}, so that {} ({} runs)",
            values.join(", "),
            conditions.join(" and "),
            finding.runs
        ),
    }
}

fn cells(comparison: &Comparison, row: &ComparisonRow) -> Vec<String> {
    let values = row.values.iter().map(figure::quantity);
    let answers = (0..comparison.shown.len()).map(|index| match row.answers.get(index) {
        Some(answer) => figure::answer(answer),
        None => "—".to_owned(),
    });
    values.chain(answers).collect()
}
