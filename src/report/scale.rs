//! The table of a whole equation for one amount.

use super::document::{Block, Part, Section, Words, section};
use super::figure;
use super::outcome;
use crate::route::ledger::{ScaleRow, ScaleTable};

impl Words {
    pub(super) fn scale(self, table: &ScaleTable) -> Section {
        let basis = table.rows.iter().find(|row| row.species == table.basis);
        let amount = basis.map_or(String::new(), |row| figure::mass(&row.grams));
        let heading = format!("For {amount} of {}", self.bare(&table.basis));
        let blocks = vec![
            Block::Equation(table.reaction.clone()),
            Block::Table {
                columns: vec!["", "species", "amount", "mass", "measured as"],
                rows: table.rows.iter().map(|row| self.scale_row(row)).collect(),
            },
            Block::Paragraph(outcome::heat(self, "heat", &table.heat)),
        ];
        section(Part::Scale, &heading, blocks)
    }

    fn scale_row(self, row: &ScaleRow) -> Vec<String> {
        let poured = row.bottle.as_ref().map(|(name, millilitres, grams)| {
            let amount = millilitres
                .as_ref()
                .map_or_else(|| figure::mass(grams), figure::volume);
            format!("{amount} of {name}")
        });
        let gas = row
            .litres
            .as_ref()
            .map(|litres| format!("{} of gas", figure::litres(litres)));
        let measured: Vec<String> = poured.into_iter().chain(gas).collect();
        vec![
            if row.reactant { "use" } else { "get" }.to_owned(),
            self.bare(&row.species),
            figure::amount(&row.moles),
            figure::mass(&row.grams),
            measured.join(", "),
        ]
    }
}
