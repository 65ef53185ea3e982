//! The rows of what a route asks besides its steps: `find`, `heat`, `solution`, and what is usual with the waste.

use super::super::caution;
use super::super::heat::{couples, in_unit};
use super::{Row, figures, plain};
use crate::advice;
use crate::data::Property;
use crate::figure;
use crate::matter::{Notation, Species};
use crate::number::{Exact, Number, Quantity, unit};
use crate::route::ledger::*;
use crate::thermo::{Contribution, Energetics};

/// The inputs that a `budget` names, each with its share of the variance.
pub(super) fn budget(shown: &Shown) -> Vec<Row> {
    let Answer::Budget(shares) = &shown.answer else {
        return Vec::new();
    };
    let share = |(input, share): &(String, f64)| {
        let share = Number::modelled(*share);
        let place = (None, "", shown.expression.as_str());
        figures("asked", place, [(input.as_str(), share.as_ref(), "")])
    };
    shares.iter().flat_map(share).collect()
}

/// What was found, and what each condition came to with it.
pub(super) fn finding(finding: &Finding) -> Vec<Row> {
    let conditions: Vec<&str> = finding.conditions.iter().map(|(t, _)| t.as_str()).collect();
    let conditions = conditions.join(" and ");
    let found = finding.unknowns.iter().flat_map(|(name, value)| {
        let unit = figure::unit_of(value);
        let symbol = unit.map_or(String::new(), |unit| unit.symbol());
        let number = figure::in_unit(value, unit);
        let told = [(name.as_str(), number.as_ref(), symbol.as_str())];
        figures("found", (None, "", &conditions), told)
    });
    found.collect()
}

/// The quantities of a reaction, then what each species brings.
pub(super) fn heat(found: &Energetics) -> Vec<Row> {
    let at = &found.at;
    let kilojoules = |quantity: &Quantity| in_unit(quantity, &unit::KILOJOULE_PER_MOLE);
    let enthalpy = at.enthalpy.as_ref().ok().map(kilojoules);
    let gibbs = at.gibbs.as_ref().ok().map(|(gibbs, _)| kilojoules(gibbs));
    let entropy = at.entropy.as_ref().ok().map(Quantity::number);
    let equation = found.equation.to_text(Notation::Plain);
    let mut rows = figures(
        "heat",
        (None, "", &equation),
        [
            ("temperature", Some(&at.kelvin), "K"),
            ("enthalpy", enthalpy.as_ref(), "kJ/mol"),
            ("entropy", entropy, "J/(mol·K)"),
            ("Gibbs energy", gibbs.as_ref(), "kJ/mol"),
            ("heat capacity", at.heat_capacity.as_ref(), "J/(mol·K)"),
            ("log10 K", at.log10_k.as_ref().ok(), "1"),
        ],
    );
    rows.extend(potentials(found, &equation));
    let each = found.data.contributions.iter();
    rows.extend(each.flat_map(|one| contribution(one, &equation)));
    rows
}

/// Of redox alone; with activities also away from standard states.
fn potentials(found: &Energetics, equation: &str) -> Vec<Row> {
    let mut told: Vec<(String, Option<Number>, &str)> = Vec::new();
    let mut tell = |name: &str, number: Option<&Number>, unit| {
        told.push((name.to_owned(), number.cloned(), unit));
    };
    if let Some(cell) = &found.cell {
        tell("potential", cell.from_gibbs.as_ref(), "V");
        let tabled = cell.tabled.as_ref();
        tell("tabled potential", tabled.map(|one| &one.potential), "V");
        for (_, couple) in tabled.map_or_else(Vec::new, couples) {
            let name = format!("potential of {}", couple.value.reduction);
            tell(&name, Some(&couple.value.potential), "V");
        }
    }
    if let Some(away) = &found.away {
        let gibbs = away.gibbs.as_ref();
        let gibbs = gibbs.map(|gibbs| in_unit(gibbs, &unit::KILOJOULE_PER_MOLE));
        tell("Gibbs energy at the activities", gibbs.as_ref(), "kJ/mol");
        let cell = away.from_gibbs.as_ref();
        tell("potential at the activities", cell, "V");
        let tabled = away.tabled.as_ref();
        tell("tabled potential at the activities", tabled, "V");
    }
    let known = told.iter().filter(|(_, number, _)| number.is_some());
    known
        .flat_map(|(name, number, unit)| {
            figures(
                "heat",
                (None, "", equation),
                [(name, number.as_ref(), unit)],
            )
        })
        .collect()
}

/// Coefficient and sign included, at 298.15 K.
fn contribution(one: &Contribution, equation: &str) -> Vec<Row> {
    let species = one.data.as_ref().map_or(&one.species, |data| &data.species);
    let parts = [
        ("enthalpy", Property::FormationEnthalpy, "kJ/mol"),
        ("Gibbs energy", Property::FormationGibbs, "kJ/mol"),
        ("entropy", Property::Entropy, "J/(mol·K)"),
        ("heat capacity", Property::HeatCapacity, "J/(mol·K)"),
    ];
    let known = parts.into_iter().filter_map(|(name, property, unit)| {
        let share = one.share(property)?;
        // Energies are kept in J/mol.
        let share = match unit {
            "kJ/mol" => share.scaled(&Exact::ratio(1, 1000)),
            _ => share,
        };
        Some((
            format!("{name} of {} at 298.15 K", plain(species)),
            share,
            unit,
        ))
    });
    known
        .flat_map(|(name, share, unit)| {
            figures("heat", (None, "", equation), [(&*name, Some(&share), unit)])
        })
        .collect()
}

/// What to take, what is made, the mixture, and the bottles side by side.
pub(super) fn solution(answer: &SolutionAnswer) -> Vec<Row> {
    let mut table = Table(&answer.text, Vec::new());
    table.celsius("temperature", Some(&answer.kelvin));
    for taken in &answer.take {
        table.tell(&format!("mass of {}", taken.label), Some(&taken.grams), "g");
        let volume = taken.millilitres.as_ref();
        table.tell(&format!("volume of {}", taken.label), volume, "mL");
    }
    if let Some(made) = &answer.made {
        table.made(made);
    }
    if let Some(mixed) = &answer.mixed {
        table.mixed(mixed);
    }
    let compared = answer.compared.iter().flat_map(|all| &all.rows);
    compared.for_each(|row| table.compared(row));
    table.1
}

/// The rows of one answer; what is not known has none.
struct Table<'a>(&'a str, Vec<Row>);

impl Table<'_> {
    fn tell(&mut self, quantity: &str, number: Option<&Number>, unit: &str) {
        if number.is_some() {
            let place = (None, "", self.0);
            self.1
                .extend(figures("solution", place, [(quantity, number, unit)]));
        }
    }

    fn percent(&mut self, quantity: &str, share: Option<&Number>) {
        let share = share.map(|share| share.scaled(&Exact::from(100)));
        self.tell(quantity, share.as_ref(), "%");
    }

    fn celsius(&mut self, quantity: &str, kelvin: Option<&Number>) {
        let celsius = kelvin.map(|kelvin| kelvin - &Number::exact(unit::CELSIUS.offset()));
        self.tell(quantity, celsius.as_ref(), "°C");
    }

    fn made(&mut self, made: &MadeSolution) {
        let (composition, restated) = (&made.composition, &made.restated);
        let density = composition.density.as_ref().map(|density| &density.value);
        self.tell("mass", made.grams.as_ref(), "g");
        self.tell("volume", made.millilitres.as_ref(), "mL");
        self.tell("density", density, "g/mL");
        self.percent("mass fraction", Some(&composition.mass_fraction));
        let molarity = composition.molarity.as_ref();
        self.tell("amount concentration", molarity, "mol/L");
        self.tell("molality", composition.molality.as_ref(), "mol/kg");
        let by_mass = restated.grams_per_litre.as_ref();
        self.tell("mass concentration", by_mass, "g/L");
        self.percent("volume fraction", restated.volume_fraction.as_ref());
        let oxygen = restated.peroxide_volumes.as_ref();
        self.tell("volumes of oxygen", oxygen, "vol");
        let saturated = restated.saturated.as_ref().map(|most| &most.value);
        self.percent("mass fraction when saturated", saturated);
    }

    fn mixed(&mut self, mixed: &MixedSolution) {
        self.tell("mass of the mixture", Some(&mixed.grams), "g");
        self.tell("volume of the mixture", mixed.millilitres.as_ref(), "mL");
        self.tell("volume of the portions", mixed.summed.as_ref(), "mL");
        self.celsius("temperature of the mixture", Some(&mixed.temperature));
        for content in &mixed.contents {
            let name = plain(&content.species);
            self.tell(&format!("amount of {name}"), Some(&content.moles), "mol");
            self.tell(&format!("mass of {name}"), Some(&content.grams), "g");
        }
    }

    fn compared(&mut self, row: &ComparedBottle) {
        let with = |what: &str| format!("{what} with {}", row.label);
        self.tell(&with("mass"), Some(&row.grams), "g");
        self.tell(&with("volume"), row.millilitres.as_ref(), "mL");
        let vessel = row.volume.as_ref();
        self.tell(&with("volume in the vessel"), vessel, "mL");
        for (species, molar) in &row.products {
            let name = with(&format!("concentration of {}", plain(species)));
            self.tell(&name, Some(molar), "mol/L");
        }
        self.celsius(&with("uncooled temperature"), row.peak.as_ref());
    }
}

/// Kind and practice in words, no figure but the pH to bring it to.
pub(super) fn waste(ledger: &Ledger) -> Vec<Row> {
    let found = advice::waste(ledger);
    let rows = found.practices.iter().flat_map(|(one, species)| {
        let species: Vec<&str> = species.iter().map(Species::plain).collect();
        let words = format!("{}: {}", one.waste(), caution::practice(*one));
        figures(
            "waste",
            (None, "", &species.join(", ")),
            [(&*words, None, "")],
        )
    });
    let unknown = found.without_practice.iter().flat_map(|species| {
        figures(
            "waste",
            (None, "", species.plain()),
            [(caution::NO_PRACTICE, None, "")],
        )
    });
    rows.chain(unknown).collect()
}
