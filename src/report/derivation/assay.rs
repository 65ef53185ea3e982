//! How the figures of a titration came about, and what was found at the bench.

use super::{Derivation, Maker};
use crate::figure;
use crate::number::{Number, Quantity, unit};
use crate::report::titration::reading;
use crate::route::ledger::*;

impl Maker<'_> {
    /// The end point by the plan, the mean, and what that comes to.
    pub(super) fn titrated(&self, record: &TitrationRecord) -> Vec<Derivation> {
        let analyte = self.words.bare(&record.analyte);
        let mut figures = vec![Derivation {
            text: format!(
                "V(planned) = {} of {}: what the {} of {analyte} there use up by {}",
                figure::volume(&record.planned),
                record.bottle,
                figure::amount(&record.planned_analyte),
                record.reaction.reaction.to_text(self.words.0)
            ),
            terms: Vec::new(),
            check: None,
        }];
        let Some(mean) = &record.mean else {
            return figures;
        };
        figures.push(self.mean(record, mean));
        let less = match &record.blank {
            Some(blank) => mean - blank,
            None => mean.clone(),
        };
        let (titre, planned) = (figure::volume(&less), figure::volume(&record.planned));
        figures.push(match &record.given {
            Some(given) if given.bottle == record.bottle => Derivation {
                text: format!(
                    "c({}) = c(label)·V(planned) / V(found) = {} · {planned} / {titre} = {}",
                    given.bottle,
                    figure::quantity(&given.planned),
                    figure::quantity(&given.found)
                ),
                terms: Vec::new(),
                check: (given.planned.number() * &record.planned)
                    .checked_div(&less)
                    .map(|again| (again, given.found.number().clone())),
            },
            given => Derivation {
                text: format!(
                    "n({analyte}) = n(planned)·V(found) / V(planned) = {} · {titre} / {planned} = {}{}",
                    figure::amount(&record.planned_analyte),
                    figure::amount(&record.found_analyte),
                    given.as_ref().map_or(String::new(), |given| format!(
                        ", and so c({}) = {}",
                        given.bottle,
                        figure::quantity(&given.found)
                    ))
                ),
                terms: Vec::new(),
                check: (&record.planned_analyte * &less)
                    .checked_div(&record.planned)
                    .map(|again| (again, record.found_analyte.clone())),
            },
        });
        figures.extend(self.draw(&record.titrant));
        if let Some(concentration) = &record.concentration {
            let concentration = Quantity::of(concentration.clone(), &unit::MOLAR);
            figures.push(Derivation {
                text: format!(
                    "c({analyte}) in {} before = n / V of its liquid = {}",
                    record.vessel,
                    figure::quantity(&concentration)
                ),
                terms: Vec::new(),
                check: None,
            });
        }
        figures
    }

    /// `V = Σ V / n`, with the scatter as it is reckoned in JCGM 100, 4.2.
    fn mean(&self, record: &TitrationRecord, mean: &Number) -> Derivation {
        let each: Vec<String> = record.readings.iter().map(reading).collect();
        let blank = record.blank.as_ref().map_or(String::new(), |blank| {
            format!("; of that {} mL are the blank", reading(blank))
        });
        let count = each.len();
        let scatter = record.scatter.map_or(String::new(), |scatter| {
            format!("; s = {scatter:.3} mL, and u = s/√{count} of the mean (JCGM 100:2008, 4.2.3)")
        });
        Derivation {
            text: format!(
                "V(found) = ({}) mL / {count} = {}{scatter}{blank}",
                each.join(" + "),
                figure::volume(mean)
            ),
            terms: Vec::new(),
            check: None,
        }
    }

    /// What was weighed or measured beside the plan.
    pub(super) fn found(&self, outcome: &Outcome) -> Vec<Derivation> {
        let Outcome::Found {
            what,
            planned,
            found,
            lost: Some(lost),
            ..
        } = outcome
        else {
            return Vec::new();
        };
        vec![Derivation {
            text: format!(
                "{what}: {} found for {} planned; the difference, {}, is booked to the losses",
                figure::quantity(found),
                figure::quantity(planned),
                figure::mass(lost)
            ),
            terms: Vec::new(),
            check: None,
        }]
    }
}
