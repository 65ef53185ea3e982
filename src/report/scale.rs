//! The table of a whole equation for one amount.

use super::document::{Block, Part, Section, Words, section};
use super::outcome;
use crate::figure;
use crate::number::Dimension;
use crate::route::ledger::{ScaleRow, ScaleTable};

impl Words {
    pub(super) fn scale(self, table: &ScaleTable) -> Section {
        let basis = table.rows.iter().find(|row| row.species == table.basis);
        let asked = figure::quantity(&table.asked);
        let species = self.bare(&table.basis);
        let bottle = basis.and_then(|row| Some((&row.bottle.as_ref()?.0, &row.grams)));
        let heading = match bottle {
            Some((bottle, grams)) if table.asked.dimension() == Dimension::VOLUME => {
                format!(
                    "For {asked} of {bottle}, {} of {species}",
                    figure::mass(grams)
                )
            }
            _ => format!("For {asked} of {species}"),
        };
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
