//! What the rules need to know about each element, from `src/data/oxidation.csv`.

use std::sync::LazyLock;

use crate::data::{OXIDATION, Row};
use crate::matter::Element;

/// One row of the table.
pub(super) struct Facts {
    /// Pauling's scale.
    pub(super) electronegativity: f64,
    /// Oxidation numbers met most, the likeliest first.
    pub(super) usual: Vec<i64>,
    /// What no compound of the bench goes beyond.
    pub(super) highest: i64,
}

/// The row of an element; one without a row counts as a metal with the number 3.
pub(super) fn facts(element: Element) -> &'static Facts {
    static ROWS: LazyLock<Vec<Option<Facts>>> = LazyLock::new(|| {
        let mut rows: Vec<Option<Facts>> = (0..120).map(|_| None).collect();
        for row in OXIDATION.rows() {
            if let Some((element, facts)) = Facts::read(row) {
                rows[element.index()] = Some(facts);
            }
        }
        rows
    });
    static UNKNOWN: LazyLock<Facts> = LazyLock::new(|| Facts {
        electronegativity: 1.3,
        usual: vec![3],
        highest: 8,
    });
    ROWS[element.index()].as_ref().unwrap_or(&UNKNOWN)
}

impl Facts {
    fn read(row: Row) -> Option<(Element, Facts)> {
        let element = Element::of_symbol(row.cell("symbol"))?;
        let electronegativity = row.float("electronegativity")?;
        let usual: Vec<i64> = row
            .cell("usual")
            .split(' ')
            .map(str::parse)
            .collect::<Result<_, _>>()
            .ok()?;
        let highest = row.cell("highest").parse().ok()?;
        (!usual.is_empty()).then_some((
            element,
            Facts {
                electronegativity,
                usual,
                highest,
            },
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_table_can_be_read() {
        let wrong: Vec<String> = OXIDATION
            .rows()
            .filter(|row| Facts::read(*row).is_none())
            .map(|row| row.to_string())
            .collect();
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }
}
