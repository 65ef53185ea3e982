//! A species into its standard data at 298.15 K.

use std::sync::{Arc, LazyLock};

use crate::data::{Figure, Formation, Own, Property, Source, Sourced, Store, StoreMemo};
use crate::equation::ionic::{Form, Ions, in_water};
use crate::equation::{identity, of_same_composition};
use crate::matter::{Phase, Species};
use crate::number::{Exact, Number, Quantity, STANDARD_TEMPERATURE, SampleDraw, Unit, unit};

use super::spread;

/// Standard data of one species in one phase and form.
#[derive(Clone, Debug)]
pub struct Standard {
    /// The species asked for, with the phase the data are for.
    pub species: Species,
    /// How the table spells it, where that differs: found by another spelling or by composition.
    pub listed_as: Option<Species>,
    /// Whether the phase was not given and the usual one was taken.
    pub phase_assumed: bool,
    /// The crystal or other form; may be empty.
    pub form: &'static str,
    /// The name; may be empty.
    pub name: &'static str,
    /// The CAS number; may be empty.
    pub cas: &'static str,
    /// A dissolved molecule or ion pair, as against the ions of the dissolved salt.
    pub undissociated: bool,
    /// What a dissolved strong electrolyte is the sum of; empty for anything else.
    pub ions: Ions,
    values: [Option<Sourced<Quantity>>; 4],
    newer: [Option<Sourced<Quantity>>; 4],
}

/// A species without data, and what there is instead.
#[derive(Clone, Debug, Eq, PartialEq, thiserror::Error)]
#[error("there are no data for {species}")]
pub struct Unknown {
    /// What was asked for.
    pub species: Species,
    /// The same formula in phases that have data.
    pub other_phases: Vec<Phase>,
    /// Other formulas of the same composition and charge: isomers or spellings, for the user to choose from.
    pub same_composition: Vec<Species>,
}

impl Standard {
    /// The value of `property`, in kJ/mol or J/(mol·K), with its source.
    pub fn get(&self, property: Property) -> Option<&Sourced<Quantity>> {
        self.values[property as usize].as_ref()
    }

    /// A newer evaluated value of `property` with its uncertainty, where there is one. It is for comparison: the value
    /// used stays with its own network, since differences between substances are right only inside one.
    pub fn newer(&self, property: Property) -> Option<&Sourced<Quantity>> {
        self.newer[property as usize].as_ref()
    }

    fn drawn(mut self, draw: &SampleDraw) -> Standard {
        for value in self.values.iter_mut().flatten() {
            if !value.value.number().is_exact() {
                value.value = value.value.drawn(draw);
            }
        }
        self
    }

    fn is_exact(&self) -> bool {
        let mut values = self.values.iter().flatten();
        values.all(|value| value.value.number().is_exact())
    }

    /// Whether any of its values is the user's own.
    pub fn has_own(&self) -> bool {
        self.values.iter().flatten().any(|v| v.source.is_own())
    }
}

/// Looks a species up: the user's data first, then the tables, under its own spelling or that of its
/// [`identity`](crate::equation::identity()); the answer then says how the table spells it. A dissolved strong electrolyte,
/// `HCl(aq)`, is the sum of its ions.
///
/// # Errors
/// [`Unknown`] where nothing fits, with the phases and spellings that have data.
///
/// ```
/// use aludel::{data::{Property, Store}, matter::Species, thermo};
/// let water = thermo::standard(&Store::default(), &Species::parse("H2O").unwrap()).unwrap();
/// assert_eq!(water.species.plain(), "H2O(l)");
/// assert!(water.phase_assumed);
/// let enthalpy = water.get(Property::FormationEnthalpy).unwrap();
/// assert_eq!(enthalpy.value.number().to_f64(), -285_830.0);
/// assert_eq!(enthalpy.source.code, "NBS1982");
/// ```
pub fn standard(store: &Store, species: &Species) -> Result<Arc<Standard>, Unknown> {
    let stated = stated(store, species)?;
    match store.draw() {
        Some(draw) if !stated.is_exact() => Ok(Arc::new(Standard::clone(&stated).drawn(draw))),
        _ => Ok(stated),
    }
}

/// What data there are, whatever is drawn for them.
fn stated(store: &Store, species: &Species) -> Result<Arc<Standard>, Unknown> {
    static SEEN: LazyLock<StoreMemo<Species, Result<Arc<Standard>, Unknown>>> =
        LazyLock::new(StoreMemo::default);
    if species.is_electron() {
        return Ok(Arc::new(electron(species)));
    }
    SEEN.recall_by(store, species.clone(), |species| {
        look_up(store, species).map(Arc::new)
    })
}

fn look_up(store: &Store, species: &Species) -> Result<Standard, Unknown> {
    let listing = listing(species);
    let phase = match species.phase() {
        Some(phase) => Some(phase),
        None => usual_phase(store, species, &listing.rows),
    };
    let own = phase.and_then(|phase| own_data(store, species, phase));
    if own.is_none()
        && phase == Some(Phase::Aqueous)
        && let Some(dissolved) = dissolved(store, species)
    {
        return Ok(dissolved);
    }
    let row = phase.and_then(|phase| best_row(&listing.rows, phase));
    match phase.filter(|_| own.is_some() || row.is_some()) {
        Some(phase) => Ok(assemble(species, phase, own, row, listing.spelled)),
        None => Err(Unknown {
            species: species.clone(),
            other_phases: phases_of(&listing.rows),
            same_composition: listing.choices,
        }),
    }
}

/// The user's data of a substance in a phase, those for just this spelling first.
fn own_data<'s>(store: &'s Store, species: &Species, phase: Phase) -> Option<&'s Own> {
    let spelled_so = store.own(species.key(), phase.symbol());
    let same = |own: &&Own| own.phase == phase.symbol() && is_of(own, species);
    spelled_so.or_else(|| store.all_own().iter().rev().find(same))
}

/// Whether the user's data are of a substance, however both are spelled.
fn is_of(own: &Own, species: &Species) -> bool {
    own.formula == species.key()
        || Species::parse(&own.formula).is_ok_and(|given| identity(&given) == identity(species))
}

/// A dissolved strong electrolyte as the sum of its ions; `None` for a molecule, and where an ion has no data.
fn dissolved(store: &Store, species: &Species) -> Option<Standard> {
    if species.charge() != 0 {
        return None;
    }
    let Form::Ions(ions) = in_water(&species.with_phase(Some(Phase::Aqueous))) else {
        return None;
    };
    let parts: Option<Vec<(Exact, Arc<Standard>)>> = ions
        .iter()
        .map(|(n, ion)| Some((n.clone(), stated(store, ion).ok()?)))
        .collect();
    let parts = parts?;
    let values = Property::ALL.map(|property| sum_of_ions(&parts, property));
    Some(Standard {
        species: species.with_phase(Some(Phase::Aqueous)),
        listed_as: None,
        phase_assumed: species.phase().is_none(),
        form: "",
        name: "",
        cas: "",
        undissociated: false,
        ions,
        values,
        newer: [const { None }; 4],
    })
}

fn sum_of_ions(parts: &[(Exact, Arc<Standard>)], property: Property) -> Option<Sourced<Quantity>> {
    let mut total = Number::zero();
    let mut source = None;
    for (count, ion) in parts {
        let value = ion.get(property)?;
        total += &value.value.number().scaled(count);
        let own = value.source.is_own();
        source = source.filter(|_| !own).or(Some(value.source.clone()));
    }
    let dimension = unit_of(property).dimension();
    Some(Sourced::new(Quantity::coherent(total, dimension), source?))
}

/// Every phase and form that has data for a formula, in the order of the tables, the user's own first: what a card of the
/// substance shows. Empty where nothing is known.
///
/// ```
/// use aludel::{data::Store, matter::Species, thermo};
/// let forms = thermo::forms(&Store::default(), &Species::parse("CaCO3").unwrap());
/// let names: Vec<_> = forms.iter().map(|form| form.form).collect();
/// assert!(names.contains(&"calcite") && names.contains(&"aragonite"));
/// ```
pub fn forms(store: &Store, species: &Species) -> Vec<Standard> {
    let listing = listing(species);
    let wanted = |phase: Phase| species.phase().is_none_or(|given| given == phase);
    let own = store.all_own().iter().filter(|own| is_of(own, species));
    let own = own.filter_map(|own| {
        let phase = Phase::of_symbol(&own.phase).filter(|phase| wanted(*phase))?;
        let row = best_row(&listing.rows, phase);
        Some(assemble(species, phase, Some(own), row, listing.spelled))
    });
    let listed = listing.rows.iter().filter_map(|row| {
        let phase = Phase::of_symbol(row.phase()).filter(|phase| wanted(*phase))?;
        Some(assemble(species, phase, None, Some(*row), listing.spelled))
    });
    own.chain(listed).collect()
}

/// Rows that could be meant by a species.
struct Listing {
    rows: Vec<Formation>,
    /// The table's spelling, where it is not the one asked for.
    spelled: Option<&'static str>,
    /// Formulas of the same composition that were not taken.
    choices: Vec<Species>,
}

fn listing(species: &Species) -> Listing {
    let rows = |formula: &str| Formation::of(formula).collect::<Vec<_>>();
    let (own, identity) = (rows(species.key()), identity(species));
    let spelled_so = !own.is_empty() || identity.key() == species.key();
    let rows = if spelled_so {
        own
    } else {
        rows(identity.key())
    };
    Listing {
        spelled: rows.first().filter(|_| !spelled_so).map(Formation::formula),
        choices: match rows.is_empty() {
            true => with_data(of_same_composition(species)),
            false => Vec::new(),
        },
        rows,
    }
}

fn with_data(mut formulas: Vec<Species>) -> Vec<Species> {
    formulas.retain(|formula| Formation::of(formula.key()).next().is_some());
    formulas.sort_unstable();
    formulas
}

/// The usual phase at 25 °C and 1 bar: ions are dissolved; of the pure phases the one with the lowest Gibbs energy of
/// formation, which is the stable one; without Gibbs energies the most condensed, unless that liquid boils lower.
fn usual_phase(store: &Store, species: &Species, rows: &[Formation]) -> Option<Phase> {
    let own = |phase: &Phase| own_data(store, species, *phase).is_some();
    let listed = |phase: &Phase| best_row(rows, *phase).is_some();
    if species.charge() != 0 {
        return Some(Phase::Aqueous).filter(|phase| own(phase) || listed(phase));
    }
    let pure = [Phase::Solid, Phase::Liquid, Phase::Gas];
    if let Some(phase) = pure.into_iter().find(own) {
        return Some(phase);
    }
    let present: Vec<Phase> = pure.into_iter().filter(listed).collect();
    let gibbs = |phase: &Phase| -> Option<f64> {
        let figure = best_row(rows, *phase)?.figure(Property::FormationGibbs)?;
        figure.digits.parse().ok()
    };
    let all: Option<Vec<f64>> = present.iter().map(gibbs).collect();
    let stable = all.and_then(|energies| {
        let pairs = present.iter().zip(energies);
        pairs
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(phase, _)| *phase)
    });
    stable
        .or_else(|| Some(Phase::Gas).filter(|_| boils_below_ambient(rows, &present)))
        .or_else(|| present.first().copied())
        .or_else(|| Some(Phase::Aqueous).filter(|phase| own(phase) || listed(phase)))
}

/// Whether a liquid boils below 25 °C by its enthalpy of vaporisation: Trouton's rule, about 90 J/(mol·K) at the boiling
/// point, so 26.8 kJ/mol for one at 25 °C. Propane, sulfur dioxide: their liquids have an enthalpy alone.
fn boils_below_ambient(rows: &[Formation], present: &[Phase]) -> bool {
    const VAPORISATION_KJ_PER_MOL: f64 = 26.8;
    let enthalpy = |phase: Phase| -> Option<f64> {
        let figure = best_row(rows, phase)?.figure(Property::FormationEnthalpy)?;
        figure.digits.parse().ok()
    };
    present == [Phase::Liquid, Phase::Gas]
        && match (enthalpy(Phase::Liquid), enthalpy(Phase::Gas)) {
            (Some(liquid), Some(gas)) => gas - liquid < VAPORISATION_KJ_PER_MOL,
            _ => false,
        }
}

fn best_row(rows: &[Formation], phase: Phase) -> Option<Formation> {
    let mut fitting = rows.iter().filter(|row| row.phase() == phase.symbol());
    let first = fitting.clone().next().copied();
    fitting.find(|row| row.is_default()).copied().or(first)
}

fn phases_of(rows: &[Formation]) -> Vec<Phase> {
    let mut phases: Vec<Phase> = rows
        .iter()
        .filter_map(|row| Phase::of_symbol(row.phase()))
        .collect();
    phases.sort_unstable();
    phases.dedup();
    phases
}

fn assemble(
    species: &Species,
    phase: Phase,
    own: Option<&Own>,
    row: Option<Formation>,
    spelled: Option<&'static str>,
) -> Standard {
    let listed = spelled.and_then(|formula| Species::parse(formula).ok());
    let value = |property| {
        own.and_then(|own| own_value(own, property))
            .or_else(|| row.and_then(|row| published(row, property)))
    };
    Standard {
        species: species.with_phase(Some(phase)),
        listed_as: listed.map(|found| found.with_phase(Some(phase))),
        phase_assumed: species.phase().is_none(),
        form: row.map_or("", |row| row.form()),
        name: row.map_or("", |row| row.name()),
        cas: row.map_or("", |row| row.cas()),
        undissociated: row.is_some_and(|row| row.is_undissociated()),
        ions: Ions::new(),
        values: Property::ALL.map(value),
        newer: Property::ALL.map(|property| row.and_then(|row| evaluated(row, property))),
    }
}

fn own_value(own: &Own, property: Property) -> Option<Sourced<Quantity>> {
    let value = own.get(property)?.clone();
    Some(Sourced::new(value, own.source()))
}

fn unit_of(property: Property) -> &'static Unit {
    match property {
        Property::FormationEnthalpy | Property::FormationGibbs => &unit::KILOJOULE_PER_MOLE,
        Property::Entropy | Property::HeatCapacity => &unit::JOULE_PER_MOLE_KELVIN,
    }
}

/// The value of a row with its uncertainty.
fn published(row: Formation, property: Property) -> Option<Sourced<Quantity>> {
    let figure = row.figure(property)?;
    let value = Number::exact(Exact::decimal(figure.digits).ok()?);
    let value = spread_on(value, row, property, figure);
    let quantity = Quantity::of(value, unit_of(property));
    let source = Source::published(figure.source, row.note());
    Some(Sourced::new(quantity, source))
}

/// The newer value beside a row; its published uncertainty is taken as two standard uncertainties.
fn evaluated(row: Formation, property: Property) -> Option<Sourced<Quantity>> {
    let reference = row.reference(property)?;
    let value = Number::exact(Exact::decimal(reference.value.digits).ok()?);
    let value = match reference.uncertainty.parse::<f64>() {
        Ok(published) if published > 0.0 => {
            value.with_uncertainty(spread::input(row, property), published / 2.0)
        }
        _ => value,
    };
    let quantity = Quantity::of(value, unit_of(property));
    Some(Sourced::new(
        quantity,
        Source::published(reference.value.source, ""),
    ))
}

/// A Gibbs energy hangs on the enthalpy and the entropy of its row, where both are there: then it shares their inputs,
/// so that the three stay correlated.
fn spread_on(value: Number, row: Formation, property: Property, figure: Figure) -> Number {
    // That of an element is zero by convention, whatever its entropy.
    if property == Property::FormationGibbs && value.is_zero() {
        return value;
    }
    let own = |property: Property, figure: Figure| {
        let size = spread::standard_uncertainty(row, property, figure);
        (spread::input(row, property), size)
    };
    let parts = match (
        property,
        row.figure(Property::FormationEnthalpy),
        row.figure(Property::Entropy),
    ) {
        (Property::FormationGibbs, Some(enthalpy), Some(entropy)) => {
            let (h, size) = own(Property::FormationEnthalpy, enthalpy);
            let (s, per_kelvin) = own(Property::Entropy, entropy);
            vec![(h, size), (s, -1e-3 * STANDARD_TEMPERATURE * per_kelvin)]
        }
        _ => vec![own(property, figure)],
    };
    parts
        .into_iter()
        .filter(|(_, size)| *size != 0.0)
        .fold(value, |value, (input, size)| {
            value.with_uncertainty(input, size)
        })
}

/// The electron of a half-reaction, so that 2 H^+ + 2 e^- -> H2 comes out as zero throughout: the convention of the
/// standard hydrogen electrode.
fn electron(species: &Species) -> Standard {
    let convention = |text: &str, unit| {
        let value = Number::exact(Exact::decimal(text).expect("a decimal of this file"));
        Some(Sourced::new(
            Quantity::of(value, unit),
            Source::published("NBS1982", "convention of the standard hydrogen electrode"),
        ))
    };
    Standard {
        species: species.clone(),
        listed_as: None,
        phase_assumed: false,
        form: "",
        name: "electron",
        cas: "",
        undissociated: false,
        ions: Ions::new(),
        values: [
            convention("0", &unit::KILOJOULE_PER_MOLE),
            convention("0", &unit::KILOJOULE_PER_MOLE),
            // Half of S and Cp of H2(g), 130.684 and 28.824 J/(mol·K).
            convention("65.342", &unit::JOULE_PER_MOLE_KELVIN),
            convention("14.412", &unit::JOULE_PER_MOLE_KELVIN),
        ],
        newer: [const { None }; 4],
    }
}
