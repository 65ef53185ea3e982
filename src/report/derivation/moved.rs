//! How the figures of what is moved, washed, dried and left came about.

use super::{Derivation, Maker};
use crate::advice::parted;
use crate::figure;
use crate::number::Number;
use crate::route::ledger::*;

fn told(text: String) -> Derivation {
    Derivation {
        text,
        terms: Vec::new(),
        check: None,
    }
}

impl Maker<'_> {
    /// Masses as they were parted, and what clings.
    pub(super) fn moved(
        &self,
        to: &[(String, Number)],
        retained: Option<&Number>,
    ) -> Vec<Derivation> {
        let into = to.iter().map(|(name, grams)| {
            let grams = figure::mass(grams);
            told(format!(
                "m to {name} = Σ n·M of the species that go there = {grams}"
            ))
        });
        let clings = retained.filter(|retained| retained.is_positive());
        into.chain(clings.map(clinging)).collect()
    }

    /// What the washings took of the solid, as far as it dissolves, and what clings again.
    pub(super) fn washed(
        &self,
        draw: &Withdrawal,
        dissolved: &[(crate::matter::Species, Number)],
        retained: &Number,
    ) -> Vec<Derivation> {
        let mut figures = self.draw(draw);
        figures.extend(dissolved.iter().map(|(species, moles)| {
            let (name, amount) = (self.words.bare(species), figure::amount(moles));
            told(format!(
                "n({name}) taken up = {amount}: all there is, or the solubility by the table under Sources times the water that washes"
            ))
        }));
        figures.push(clinging(retained));
        figures
    }

    /// All the water there, and what was dissolved in it.
    pub(super) fn dried(
        &self,
        water: &Number,
        residue: &[(crate::matter::Species, Number)],
    ) -> Vec<Derivation> {
        let mut figures = vec![told(format!(
            "m(H₂O) to the air = {}: all the liquid water that was there",
            figure::mass(water)
        ))];
        figures.extend(residue.iter().map(|(species, moles)| {
            let (name, amount) = (self.words.bare(species), figure::amount(moles));
            told(format!(
                "n({name}) left by the liquor = {amount}: its ions, paired one with the other"
            ))
        }));
        figures
    }

    /// What the crystals give off, with the cooling, and the liquor they keep.
    pub(super) fn of_crystals(&self, record: &CrystalRecord) -> Vec<Derivation> {
        let mut figures = Vec::new();
        if let Heat::Known(bath) = &record.bath {
            figures.push(told(format!(
                "q to the bath = {}: cooling the contents to {} and the heat of crystallising, ΔfH° of the solid less that of its ions",
                figure::heat(bath),
                figure::temperature(&record.temperature)
            )));
        }
        figures.push(clinging(&record.retained));
        figures
    }

    /// What is told of a hot vessel and of one that boils.
    pub(super) fn remarked(&self, remark: &Remark) -> Option<Derivation> {
        match &remark.fact {
            Fact::InHand(hot) => Some(self.in_hand(hot)),
            Fact::WouldBoil { boiling, .. } | Fact::Boils { boiling, .. } => Some(told(format!(
                "boiling point = {}: where the vapour over the liquid has {} kPa{}",
                figure::temperature(&boiling.kelvin),
                figure::number(&self.ledger.ambient.pressure),
                match boiling.estimate {
                    true =>
                        ", an estimate: by Raoult's law, typical coefficients or beyond what was measured",
                    false => ", by the activity of water in it and what was measured",
                }
            ))),
            _ => None,
        }
    }

    fn in_hand(&self, hot: &InHand) -> Derivation {
        let portion = |what: &str, grams: &Option<Number>| {
            let grams = grams.as_ref()?;
            Some(format!("{} of {what}", figure::mass(grams)))
        };
        let cold = [
            portion("ice", &hot.ice),
            portion("water of 0 °C", &hot.ice_water),
        ];
        let cold: Vec<String> = cold.into_iter().flatten().collect();
        let held = match cold.is_empty() {
            true => String::new(),
            false => format!(
                "; that much melting or warming from 0 °C to {} takes: {}",
                figure::temperature(&hot.start),
                cold.join(" or ")
            ),
        };
        told(format!(
            "q in all = H({}) − H({}) of the contents = {}{held}",
            figure::temperature(&hot.uncooled),
            figure::temperature(&hot.start),
            figure::heat(&hot.heat)
        ))
    }

    /// What is in the air, in the waste jar and on the losses account: sums over the whole route.
    pub(super) fn outlet(&self, outlet: &Outlet) -> Derivation {
        let (much, _) = parted(&outlet.contents);
        let account = match outlet.account {
            OutletAccount::Air => "in the air",
            OutletAccount::Waste => "in the waste jar",
            OutletAccount::Losses => "found less than planned (negative: more)",
        };
        Derivation {
            text: format!("{account}: Σ n over every operation that sent it there, times M"),
            terms: much.into_iter().map(|one| self.weighed(one)).collect(),
            check: None,
        }
    }
}

/// What a filter, a crop or a cake keeps of the liquor.
fn clinging(retained: &Number) -> Derivation {
    told(format!(
        "{} of liquor clings to the solid: as stated by `retaining`, else 0.2 mL for each gram of dry solid (common practice, no \
         source)",
        figure::volume(retained)
    ))
}
