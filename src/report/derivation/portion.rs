//! How what is measured out came about.

use super::{Derivation, Maker};
use crate::figure;
use crate::matter::Notation;
use crate::number::Number;
use crate::report::portion::measure;
use crate::route::ledger::*;

impl Maker<'_> {
    /// `n(Al) = m / M`
    pub(super) fn draw(&self, draw: &Withdrawal) -> Vec<Derivation> {
        let name = self.words.bare(&draw.substance);
        let mut figures: Vec<Derivation> = self.enough(draw).into_iter().collect();
        let molar = draw.substance.molar_mass();
        let amount = figure::amount(&draw.moles);
        let (weighed, as_measured) = (figure::mass(&draw.grams), measure(draw));
        if draw.strength.is_empty() {
            figures.push(Derivation {
                text: format!(
                    "n({name}) = m / M = {weighed} / {} g/mol = {amount}; M from the standard atomic weights",
                    figure::significant(molar, 5)
                ),
                terms: Vec::new(),
                check: draw
                    .grams
                    .checked_div(&Number::exact(molar.clone()))
                    .map(|again| (again, draw.moles.clone())),
            });
            return figures;
        }
        figures.push(Derivation {
            text: format!(
                "n({name}) in {as_measured} of {}, by its label: {amount}, which weighs {} pure",
                self.words.named(draw),
                figure::mass(&draw.moles.scaled(molar)),
            ),
            terms: Vec::new(),
            check: None,
        });
        if let Some(millilitres) = &draw.millilitres
            && let Some(density) = draw.grams.checked_div(millilitres)
        {
            figures.push(Derivation {
                text: format!(
                    "V = m / ρ = {weighed} / {} g/mL = {}; ρ is of the label or of the tables under Sources",
                    figure::number(&density),
                    figure::volume(millilitres)
                ),
                terms: Vec::new(),
                check: None,
            });
        }
        figures
    }

    /// `n(KOH) = 2/2 · n(Al) · 1.5`
    fn enough(&self, draw: &Withdrawal) -> Option<Derivation> {
        let WithdrawalReason::Enough {
            reaction,
            for_species,
            excess,
        } = &draw.reason
        else {
            return None;
        };
        let share = excess.as_ref().map_or(String::new(), |excess| {
            format!(", and {} more", figure::percent(excess))
        });
        Some(Derivation {
            text: format!(
                "enough of {} for all the {} there{share}, in the proportions of {}",
                self.words.bare(&draw.substance),
                self.words.bare(for_species),
                reaction.to_text(Notation::Printed)
            ),
            terms: Vec::new(),
            check: None,
        })
    }
}
