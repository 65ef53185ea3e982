//! How the figures of a sheet came about: each beside the law it follows from and the figures that went into it.
//!
//! A second reading, not a copy: wherever the law can be worked out again from other figures of the ledger, it is, and
//! the tests hold the two against each other.
//!
//! Finds nothing out that the ledger does not hold; what rests on a model (a density, a solubility) is named as that.

mod assay;
mod moved;
mod portion;
mod thermal;

use crate::data::{Property, Store, publication};
use crate::figure;
use crate::matter::{Notation, Species};
use crate::number::{Exact, Number};
use crate::route::ledger::*;
use crate::thermo;

use super::document::{Words, product_mass};
use super::page::wrapped;

/// One figure.
#[derive(Clone, Debug)]
pub struct Derivation {
    /// The law with its figures: `n(Al) = m / M = 1.00 g / 26.98 g/mol = 0.0371 mol`.
    pub text: String,
    /// The terms of a sum, one a line.
    pub terms: Vec<String>,
    /// What the law gives and what the ledger says, in the same unit, where both can be had.
    pub check: Option<(Number, Number)>,
}

impl Derivation {
    fn lines(&self) -> String {
        let terms = self.terms.iter();
        let terms = terms.map(|term| wrapped(&format!("        {term}"), 10));
        wrapped(&format!("      {}", self.text), 8) + &terms.collect::<String>()
    }
}

/// The figures of one operation or of one part of the sheet.
#[derive(Clone, Debug)]
pub struct Group {
    /// The operation as written, or what the part is called.
    pub of: String,
    /// In the order of the sheet.
    pub figures: Vec<Derivation>,
}

/// Every figure of a ledger that follows from others.
pub fn derivations(ledger: &Ledger, store: &Store) -> Vec<Group> {
    let maker = Maker {
        words: Words(Notation::Printed),
        ledger,
        store,
    };
    let mut groups = Vec::new();
    for (place, step) in ledger.steps.iter().enumerate() {
        groups.extend(step.operations.iter().map(|one| maker.operation(one)));
        let there = step.after.iter().filter(|vessel| !vessel.emptied);
        groups.push(Group {
            of: format!("The heat of step {}", place + 1),
            figures: maker.step_heat(&step.heat).into_iter().collect(),
        });
        groups.push(Group {
            of: format!("The vessels after step {}", place + 1),
            figures: there.flat_map(|vessel| maker.vessel(vessel)).collect(),
        });
    }
    let yields = ledger.yields.iter().flat_map(|one| maker.product(one));
    groups.push(Group {
        of: "Product and yield".to_owned(),
        figures: yields.collect(),
    });
    groups.push(Group {
        of: "Asked".to_owned(),
        figures: ledger
            .shows
            .iter()
            .filter_map(|one| maker.answered(&one.expression, &one.answer))
            .collect(),
    });
    groups.push(Group {
        of: "Expectations".to_owned(),
        figures: ledger
            .expectations
            .iter()
            .filter_map(|one| maker.answered(&one.expression, &one.value))
            .collect(),
    });
    groups.push(Group {
        of: "Worked back".to_owned(),
        figures: ledger
            .findings
            .iter()
            .map(|one| maker.worked_back(one))
            .collect(),
    });
    if let Some(Ok(sampling)) = &ledger.sampling {
        groups.push(Group {
            of: "Monte Carlo check".to_owned(),
            figures: super::sampling::derived(sampling, &ledger.inputs),
        });
    }
    groups.push(Group {
        of: "What is left, and waste".to_owned(),
        figures: ledger.outlets.iter().map(|one| maker.outlet(one)).collect(),
    });
    groups.retain(|group| !group.figures.is_empty());
    groups
}

/// The derivations as a page: all of them, or those that mention `about`. `None` where nothing does.
pub fn explain(ledger: &Ledger, store: &Store, about: Option<&str>) -> Option<String> {
    let mut page = String::new();
    for group in derivations(ledger, store) {
        let wanted = |text: &String| about.is_none_or(|about| text.contains(about));
        let whole = wanted(&group.of);
        let told = group
            .figures
            .iter()
            .filter(|one| whole || wanted(&one.text) || one.terms.iter().any(wanted));
        let told: Vec<String> = told.map(Derivation::lines).collect();
        if !told.is_empty() {
            page += &wrapped(&format!("  {}", group.of), 6);
            page += &told.concat();
        }
    }
    let heading = "How the figures came about";
    let rule = "-".repeat(heading.len());
    (!page.is_empty()).then(|| format!("{heading}\n{rule}\n{page}{}", publications(&page)))
}

/// What the codes in brackets on a page stand for.
fn publications(page: &str) -> String {
    let mut codes: Vec<&str> = page
        .split('[')
        .filter_map(|piece| piece.split_once(']').map(|(code, _)| code))
        .collect();
    codes.sort_unstable();
    codes.dedup();
    let named = codes
        .into_iter()
        .filter_map(|code| Some((code, publication(code)?)));
    named
        .map(|(code, found)| wrapped(&format!("  [{code}] {}", found.citation), 6))
        .collect()
}

struct Maker<'a> {
    words: Words,
    ledger: &'a Ledger,
    store: &'a Store,
}

impl Maker<'_> {
    fn operation(&self, record: &OperationRecord) -> Group {
        let figures = match &record.outcome {
            charged @ Outcome::Charged { .. } => self.charged(charged),
            Outcome::Washed {
                draw,
                dissolved,
                retained,
                ..
            } => self.washed(draw, dissolved, retained),
            Outcome::Dried { water, residue, .. } => self.dried(water, residue),
            Outcome::Diluted { draw, .. } => self.draw(draw),
            Outcome::Reacted(record) => self.reacted(record),
            Outcome::Titrated(record) => {
                let mut figures = self.titrated(record);
                figures.extend(self.reacted(&record.reaction));
                figures
            }
            Outcome::Thermal { from, to, bath, .. } => self.bath(from, to, bath),
            Outcome::Evaporated { water, heat, .. } => self.evaporated(water, heat),
            Outcome::Moved { to, retained, .. } => self.moved(to, retained.as_ref()),
            found @ Outcome::Found { .. } => self.found(found),
            Outcome::Vented { gas, .. } => gas.iter().map(|gas| self.gas(gas)).collect(),
            Outcome::Crystallised(record) => self.crystals(record),
            _ => Vec::new(),
        };
        let remarked = self
            .ledger
            .remarks_on(record)
            .filter_map(|one| self.remarked(one));
        Group {
            of: record.text.clone(),
            figures: figures.into_iter().chain(remarked).collect(),
        }
    }

    fn reacted(&self, record: &ReactRecord) -> Vec<Derivation> {
        if record.extent.is_zero() {
            return Vec::new();
        }
        let mut figures = self.extent(record);
        figures.extend(self.heat(record));
        figures.extend(record.gas.iter().map(|gas| self.gas(gas)));
        figures.extend(self.uncooled(record));
        figures
    }

    /// `ξ = n(Al) / 2`, and for what is left over `n − ν·ξ`.
    fn extent(&self, record: &ReactRecord) -> Vec<Derivation> {
        let turns = figure::amount(&record.extent);
        let used = |species: &Species| {
            let mut terms = record.reaction.left.iter().chain(&record.net.left);
            let found = terms.find(|(_, term)| term.key() == species.key());
            found.map(|(count, _)| count.clone())
        };
        let mut figures = Vec::new();
        if let Some(limiting) = &record.limiting
            && let Some(count) = used(limiting)
        {
            let there = record.extent.scaled(&Exact::from(count.clone()));
            figures.push(Derivation {
                text: format!(
                    "ξ = n({name}) / {count} = {} / {count} = {turns}, since {name} runs out first",
                    figure::amount(&there),
                    name = self.words.bare(limiting)
                ),
                terms: Vec::new(),
                check: None,
            });
        }
        for (species, left) in &record.leftovers {
            let Some(count) = used(species) else { continue };
            let before = left + &record.extent.scaled(&Exact::from(count.clone()));
            figures.push(Derivation {
                text: format!(
                    "n({}) left = n before − {count}·ξ = {} − {count}·{turns} = {}",
                    self.words.bare(species),
                    figure::amount(&before),
                    figure::amount(left)
                ),
                terms: Vec::new(),
                check: None,
            });
        }
        figures
    }

    /// `q = ξ · Σ ν·ΔfH°`
    fn heat(&self, record: &ReactRecord) -> Vec<Derivation> {
        let Heat::Known(stated) = &record.heat else {
            return Vec::new();
        };
        let terms = record.net.signed();
        let data = thermo::reaction(self.store, &terms);
        let Ok(molar) = data.enthalpy() else {
            return Vec::new();
        };
        let each: Vec<String> = data
            .contributions
            .iter()
            .filter_map(|one| self.share(one))
            .collect();
        let molar = molar.number().scaled(&Exact::ratio(1, 1000));
        let again = &molar * &record.extent;
        vec![Derivation {
            text: format!(
                "q = ξ · ΔrH° = {} · ({}) kJ/mol = {}, with ΔrH° = Σ ν·ΔfH° at 25 °C:",
                figure::amount(&record.extent),
                figure::number(&molar),
                figure::heat(&again)
            ),
            terms: each,
            check: Some((again, stated.clone())),
        }]
    }

    /// `2 · ΔfH°(H2O, l) = 2 · (−285.83) kJ/mol (NBS tables)`
    fn share(&self, one: &thermo::Contribution) -> Option<String> {
        let found = one.data.as_ref().ok()?;
        let datum = found.get(Property::FormationEnthalpy)?;
        let value = datum.value.number().scaled(&Exact::ratio(1, 1000));
        let count = one.coefficient.to_plain().replace('-', "−");
        Some(format!(
            "{count} × ({}) kJ/mol for {} [{}]",
            figure::number(&value),
            self.words.formula(&found.species),
            datum.source.code
        ))
    }

    /// `V = n·R·T/p`
    fn gas(&self, gas: &GasRecord) -> Derivation {
        let ambient = &self.ledger.ambient;
        let constant = Number::modelled(thermo::GAS_CONSTANT).unwrap_or_else(Number::zero);
        let above = &(&gas.moles * &constant) * &ambient.temperature;
        let moist = gas.moist.as_ref().map(|moist| {
            let moist = figure::litres(moist);
            format!("; over water with p less the vapour pressure of water: {moist}")
        });
        let stays = gas.dissolved.as_ref().map(|stays| {
            let stays = figure::amount(stays);
            format!("; by Henry's law the water there could keep {stays} at that pressure, and never more than there is")
        });
        Derivation {
            text: format!(
                "V({}) = n·R·T / p = {} · 8.3145 J/(mol·K) · {} / {} = {}, as an ideal gas in the room{}{}",
                self.words.bare(&gas.species),
                figure::amount(&gas.moles),
                figure::kelvins(&ambient.temperature),
                figure::pressure(&ambient.pressure),
                figure::litres(&gas.litres),
                moist.unwrap_or_default(),
                stays.unwrap_or_default()
            ),
            terms: Vec::new(),
            check: above
                .checked_div(&ambient.pressure)
                .map(|again| (again, gas.litres.clone())),
        }
    }

    fn crystals(&self, record: &CrystalRecord) -> Vec<Derivation> {
        let name = self.words.bare(&record.solid);
        let molar = record.solid.molar_mass();
        let weighed = Derivation {
            text: format!(
                "m({name}) = n·M = {} · {} g/mol = {}",
                figure::amount(&record.moles),
                figure::significant(molar, 5),
                figure::mass(&record.grams)
            ),
            terms: Vec::new(),
            check: Some((record.moles.scaled(molar), record.grams.clone())),
        };
        let stays = Derivation {
            text: format!(
                "{} of it stays dissolved: the water that is left, times {} g of anhydrous salt in 100 g of water at {}, by the table under Sources",
                figure::mass(&record.stays),
                figure::number(&record.solubility),
                figure::temperature(&record.temperature)
            ),
            terms: Vec::new(),
            check: None,
        };
        let rest = self.of_crystals(record);
        [weighed, stays].into_iter().chain(rest).collect()
    }

    /// The mass as a sum, and the volume by the density.
    fn vessel(&self, vessel: &VesselState) -> Vec<Derivation> {
        let sum: Number = vessel
            .contents
            .iter()
            .map(|one| one.moles.scaled(one.species.molar_mass()))
            .sum();
        let mut figures = vec![Derivation {
            text: format!(
                "m({}) = Σ n·M over its {} species = {}",
                vessel.name,
                vessel.contents.len(),
                figure::mass(&sum)
            ),
            terms: vessel
                .contents
                .iter()
                .map(|one| self.weighed(one))
                .collect(),
            check: Some((sum, vessel.mass.clone())),
        }];
        let liquid = vessel.contents.iter().filter(|one| is_liquid(&one.species));
        let liquid: Number = liquid.map(|one| one.grams.clone()).sum();
        if let Some(volume) = &vessel.volume
            && let Some(density) = liquid.checked_div(volume)
        {
            figures.push(Derivation {
                text: format!(
                    "V({}) = m(liquid) / ρ = {} / {} = {}; ρ of the mixture at {} by the models under Sources",
                    vessel.name,
                    figure::mass(&liquid),
                    figure::with_unit(&density, "g/mL"),
                    figure::volume(volume),
                    figure::temperature(&vessel.temperature)
                ),
                terms: Vec::new(),
                check: None,
            });
        }
        figures.extend(self.warmth(vessel));
        figures
    }

    /// `1.234 mmol · 39.997 g/mol = 49.36 mg of NaOH`
    fn weighed(&self, content: &Content) -> String {
        format!(
            "{} · {} g/mol = {} of {}",
            figure::amount(&content.moles),
            figure::significant(content.species.molar_mass(), 5),
            figure::mass(&content.grams),
            self.words.bare(&content.species)
        )
    }

    fn product(&self, record: &YieldRecord) -> Vec<Derivation> {
        let (most, weight) = &record.theoretical;
        let molar = record.product.molar_mass();
        let name = self.words.bare(&record.product);
        let mut figures = vec![Derivation {
            text: format!(
                "at most {} of {name} = {} of {}, by the scarcest element they share; times {} g/mol = {}",
                figure::amount(most),
                figure::amount(&record.basis_moles),
                self.words.bare(&record.basis),
                figure::significant(molar, 5),
                figure::mass(weight)
            ),
            terms: Vec::new(),
            check: Some((most.scaled(molar), weight.clone())),
        }];
        if let Some(fraction) = &record.fraction {
            let how = if record.weighed.is_some() {
                "weighed"
            } else {
                "planned"
            };
            figures.push(Derivation {
                text: format!(
                    "yield = {how} / at most = {} / {} = {}",
                    product_mass(record),
                    figure::mass(weight),
                    figure::percent(fraction)
                ),
                terms: Vec::new(),
                check: record
                    .found
                    .1
                    .checked_div(weight)
                    .map(|again| (again, fraction.clone())),
            });
        }
        figures
    }

    /// The value that was found, by what it had to meet.
    fn worked_back(&self, finding: &Finding) -> Derivation {
        let values = finding.unknowns.iter();
        let values = values.map(|(name, value)| format!("{name} = {}", figure::quantity(value)));
        let conditions = finding.conditions.iter();
        let conditions = conditions
            .map(|(text, left)| format!("{text}, whose left side is {}", figure::answer(left)));
        Derivation {
            text: format!(
                "{}: the route was run {} times, until the conditions held",
                values.collect::<Vec<_>>().join(", "),
                finding.runs
            ),
            terms: conditions.collect(),
            check: None,
        }
    }

    /// Where the uncertainty of an answer comes from.
    fn answered(&self, expression: &str, answer: &Answer) -> Option<Derivation> {
        let Answer::Quantity(quantity) = answer else {
            return None;
        };
        let parts = quantity.number().contributions();
        let total: f64 = parts.iter().map(|(_, part)| part * part).sum();
        let from = |(input, part): &(crate::number::InputId, f64)| {
            let share = 100.0 * part * part / total;
            let label = self.ledger.inputs.get(input.0 as usize);
            let label = label.map_or("published data", |input| &input.label);
            format!("{label} ({share:.0} %)")
        };
        // Published data have no names of their own: they are told together.
        let (data, named): (Vec<_>, Vec<_>) = parts
            .iter()
            .partition(|(input, _)| self.ledger.inputs.get(input.0 as usize).is_none());
        let mut from: Vec<String> = named.into_iter().map(from).collect();
        if !data.is_empty() {
            let share: f64 = data.iter().map(|(_, part)| part * part).sum();
            from.push(format!("published data ({:.0} %)", 100.0 * share / total));
        }
        let spread = match from.is_empty() {
            true => "nothing that went into it was given an uncertainty".to_owned(),
            false => format!("its variance comes from {}", from.join(", ")),
        };
        Some(Derivation {
            text: format!("{expression} is {}; {spread}", figure::answer(answer)),
            terms: Vec::new(),
            check: None,
        })
    }
}

fn is_liquid(species: &Species) -> bool {
    use crate::matter::Phase;
    matches!(species.phase(), Some(Phase::Liquid | Phase::Aqueous))
}
