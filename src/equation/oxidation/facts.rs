//! What the rules need to know about each element, from `src/data/oxidation.csv`.

use std::sync::LazyLock;

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
        let lines = include_str!("../../data/oxidation.csv").lines();
        for line in lines.filter(|line| !line.starts_with('#')).skip(1) {
            if let Some((element, facts)) = Facts::read(line) {
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
    fn read(line: &str) -> Option<(Element, Facts)> {
        let mut cells = line.split(',');
        let element = Element::of_symbol(cells.next()?)?;
        let electronegativity = cells.next()?.parse().ok()?;
        let usual: Vec<i64> = cells
            .next()?
            .split(' ')
            .map(str::parse)
            .collect::<Result<_, _>>()
            .ok()?;
        let highest = cells.next()?.parse().ok()?;
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
        let rows = include_str!("../../data/oxidation.csv")
            .lines()
            .filter(|l| !l.starts_with('#'))
            .skip(1);
        for row in rows {
            assert!(Facts::read(row).is_some(), "{row}");
        }
    }
}
