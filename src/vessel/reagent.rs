//! What can be measured out: labels into compositions, quantities into amounts.
//!
//! Knows nothing of vessels.

use std::sync::LazyLock;

use crate::data::Store;
use crate::equation::ionic::{Form, Ions, in_water};
use crate::matter::{Notation, Phase, Species};
use crate::number::{Dimension, Exact, Number, Quantity, unit};
use crate::solution::{self, Strength, StrengthFault, Water};
use crate::thermo;

use super::Ambient;
use super::contents::{self, Contents};

/// Something that can be measured out.
#[derive(Clone, Debug)]
pub enum Reagent {
    /// A pure or nearly pure substance.
    Pure {
        /// With its phase.
        species: Species,
        /// Mass fraction of `species`; the rest is taken as inert.
        purity: Number,
        /// The purity as written; empty for a pure substance.
        label: String,
        /// In g/mL, where it is known.
        density: Option<Number>,
    },
    /// A solution in water.
    Solution {
        /// As on the label.
        solute: Species,
        /// The strength as written.
        label: String,
        /// Of the solute, in mol for each gram of solution.
        per_gram: Number,
        /// In g/mL; `None` where nobody knows it, and then it can only be weighed.
        density: Option<Number>,
        /// Of the solute, g in 1 g of solution.
        mass_fraction: Number,
    },
}

impl Reagent {
    /// Water as it is measured out.
    pub fn water() -> Reagent {
        Reagent::Pure {
            species: water(),
            purity: Number::one(),
            label: String::new(),
            density: None,
        }
    }

    /// What it is called by.
    pub fn substance(&self) -> &Species {
        match self {
            Reagent::Pure { species, .. } => species,
            Reagent::Solution { solute, .. } => solute,
        }
    }
}

/// Why something cannot be measured out as written.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum ReagentFault {
    /// `bottle x: NaCl 3 s`
    #[error("{}", not_a_strength(.unit))]
    NotAStrength {
        /// What was written.
        unit: String,
    },
    /// A strength that cannot stand.
    #[error(transparent)]
    Strength(StrengthFault),
    /// `charge flask: 5 mL Al`: a volume of something whose density is not known.
    #[error("the density of {substance} is not known, so it cannot be measured by volume")]
    NoDensity {
        /// Of what.
        substance: Species,
    },
    /// `charge flask: 1 g Na^+`
    #[error("no bottle holds {} alone", .species.to_text(Notation::Printed))]
    Charged {
        /// The ion.
        species: Species,
    },
    /// `bottle x: NaCl(s) 110 %`
    #[error("a purity is more than 0 % and at most 100 %")]
    Purity,
}

/// Water as solvent.
pub fn water() -> Species {
    // Parsing takes about a microsecond; it is asked for often, so it is kept.
    static WATER: LazyLock<Species> =
        LazyLock::new(|| Species::parse("H2O(l)").expect("water can be read"));
    WATER.clone()
}

/// Ice as coolant.
pub fn ice() -> Species {
    static ICE: LazyLock<Species> = LazyLock::new(|| water().with_phase(Some(Phase::Solid)));
    ICE.clone()
}

/// What boils off.
pub fn steam() -> Species {
    static STEAM: LazyLock<Species> = LazyLock::new(|| water().with_phase(Some(Phase::Gas)));
    STEAM.clone()
}

/// Things of every bench that need no bottle.
pub fn household(name: &str) -> Option<Reagent> {
    match name {
        "water" => Some(Reagent::water()),
        "ice" => Some(Reagent::Pure {
            species: ice(),
            purity: Number::one(),
            label: String::new(),
            density: None,
        }),
        _ => None,
    }
}

/// A pure substance in its usual phase at ambient.
pub fn pure(
    store: &Store,
    species: &Species,
    purity: Number,
    density: Option<Number>,
) -> Result<Reagent, ReagentFault> {
    if species.charge() != 0 {
        return Err(ReagentFault::Charged {
            species: species.clone(),
        });
    }
    let species = match species.phase() {
        Some(_) => species.clone(),
        None => usual(store, species),
    };
    Ok(Reagent::Pure {
        species,
        purity,
        label: String::new(),
        density,
    })
}

/// What a label says: the strength in the unit it is written in, as text and at a temperature, since molarities depend
/// on it.
pub fn bottle(
    store: &Store,
    species: &Species,
    strength: &Quantity,
    density: Option<Number>,
    (label, ambient): (&str, &Ambient),
) -> Result<Reagent, ReagentFault> {
    if species.charge() != 0 {
        return Err(ReagentFault::Charged {
            species: species.clone(),
        });
    }
    let unit = strength.written_in();
    let solid = species.phase() == Some(Phase::Solid);
    if solid || (unit == Some(unit::PER_CENT) && species.phase().is_some()) {
        return with_purity(store, species, strength, label);
    }
    let number = strength.number().clone();
    let named = match unit {
        Some(unit::PER_CENT_BY_VOLUME) => Strength::VolumeFraction(number),
        Some(unit::VOLUME_STRENGTH) => Strength::PeroxideVolumes(number),
        // Without a word to it a share is by mass, and `mg/kg` says so.
        Some(unit) if unit.is_share() || unit.compares_masses() => Strength::MassFraction(number),
        _ => by_dimension(strength)?,
    };
    let bare = species.with_phase(None);
    let made = solution::composition(&bare, &named, &ambient.temperature, density.as_ref())
        .map_err(ReagentFault::Strength)?;
    let density = density.or(made.density.map(|d| d.value));
    let solute = made.solute.with_phase(None);
    let whole = Exact::one()
        .checked_div(solute.molar_mass())
        .unwrap_or_else(Exact::one);
    let per_gram = match (&named, &density) {
        // The stated molarity is kept to the letter; density only tells the mass.
        (Strength::Molar(molarity), Some(density)) => molarity
            .scaled(&Exact::ratio(1, 1000))
            .checked_div(density)
            .unwrap_or_else(|| made.mass_fraction.scaled(&whole)),
        _ => made.mass_fraction.scaled(&whole),
    };
    Ok(Reagent::Solution {
        solute,
        label: label.to_owned(),
        per_gram,
        density,
        mass_fraction: made.mass_fraction,
    })
}

/// A bottle that is so many times as strong as was thought, at a temperature in K.
pub fn stronger(
    bottle: &Reagent,
    factor: &Number,
    kelvin: &Number,
) -> Result<Reagent, ReagentFault> {
    let (solute, label, per_gram, density, mass_fraction) = match bottle.clone() {
        Reagent::Pure {
            species,
            purity,
            label,
            density,
        } => {
            let purity = &purity * factor;
            return match purity.is_positive() && purity.value() <= &Exact::one() {
                true => Ok(Reagent::Pure {
                    species,
                    purity,
                    label,
                    density,
                }),
                false => Err(ReagentFault::Purity),
            };
        }
        Reagent::Solution {
            solute,
            label,
            per_gram,
            density,
            mass_fraction,
        } => (solute, label, per_gram, density, mass_fraction),
    };
    let Some(density) = density else {
        // It is only ever weighed.
        let named = Strength::MassFraction(&mass_fraction * factor);
        let made = solution::composition(&solute, &named, kelvin, None);
        let made = made.map_err(ReagentFault::Strength)?;
        return Ok(Reagent::Solution {
            solute,
            label,
            per_gram: &per_gram * factor,
            density: None,
            mass_fraction: made.mass_fraction,
        });
    };
    let molarity = (&(&per_gram * &density) * factor).scaled(&Exact::from(1000));
    let density = density_at(&solute, (&mass_fraction, &density), &molarity, kelvin)?;
    let named = Strength::Molar(molarity.clone());
    let made = solution::composition(&solute, &named, kelvin, Some(&density));
    let made = made.map_err(ReagentFault::Strength)?;
    let per_litre = molarity.scaled(&Exact::ratio(1, 1000));
    Ok(Reagent::Solution {
        per_gram: per_litre.checked_div(&density).unwrap_or(per_gram),
        solute,
        label,
        density: Some(density),
        mass_fraction: made.mass_fraction,
    })
}

/// The density in g/mL at another molarity: as the tables have it, times what the label's own was beside theirs; where they
/// have none, the label's.
fn density_at(
    solute: &Species,
    (fraction, density): (&Number, &Number),
    molarity: &Number,
    kelvin: &Number,
) -> Result<Number, ReagentFault> {
    let named = Strength::Molar(molarity.clone());
    let after = match solution::composition(solute, &named, kelvin, None) {
        Ok(made) => made.density,
        Err(solution::StrengthFault::NeedsDensity(_)) => None,
        Err(fault) => return Err(ReagentFault::Strength(fault)),
    };
    let before = solution::density(solute, fraction, kelvin).ok();
    let beside = after.zip(before).and_then(|(after, before)| {
        let share = after.value.checked_div(&before.value)?;
        Some((density * &share).settled())
    });
    Ok(beside.unwrap_or_else(|| density.clone()))
}

fn with_purity(
    store: &Store,
    species: &Species,
    purity: &Quantity,
    label: &str,
) -> Result<Reagent, ReagentFault> {
    let unit = purity.written_in();
    if !unit.is_some_and(|unit| unit.is_share() || unit.compares_masses()) {
        return Err(ReagentFault::NotAStrength {
            unit: unit.map_or(String::new(), |unit| unit.symbol()),
        });
    }
    let purity = purity.number().clone();
    if !purity.is_positive() || purity.value() > &Exact::one() {
        return Err(ReagentFault::Purity);
    }
    let Reagent::Pure {
        species, density, ..
    } = pure(store, species, Number::one(), None)?
    else {
        return Err(ReagentFault::Purity);
    };
    Ok(Reagent::Pure {
        species,
        purity,
        label: label.to_owned(),
        density,
    })
}

fn by_dimension(strength: &Quantity) -> Result<Strength, ReagentFault> {
    let in_unit = |unit| strength.in_unit(unit).ok();
    in_unit(&unit::MOLAR)
        .map(Strength::Molar)
        .or_else(|| in_unit(&unit::MOLAL).map(Strength::Molal))
        .or_else(|| in_unit(&unit::GRAM_PER_LITRE).map(Strength::GramsPerLitre))
        .ok_or_else(|| ReagentFault::NotAStrength {
            unit: strength
                .written_in()
                .map_or(String::new(), |unit| unit.symbol()),
        })
}

/// Fails for a volume of something whose density is not known.
pub fn pourable(stuff: &Reagent) -> Result<(), ReagentFault> {
    let known = match stuff {
        Reagent::Pure {
            species, density, ..
        } => density.is_some() || species.phase() == Some(Phase::Gas) || *species == water(),
        Reagent::Solution { density, .. } => density.is_some(),
    };
    if known {
        return Ok(());
    }
    Err(ReagentFault::NoDensity {
        substance: stuff.substance().clone(),
    })
}

/// An amount measured out.
pub struct Measured {
    /// Of the substance or solute, in mol.
    pub moles: Number,
    /// As weighed, in g.
    pub grams: Number,
    /// As poured, in mL.
    pub millilitres: Option<Number>,
}

/// How much a quantity of something is; `None` for a dimension that does not fit.
pub fn measure(stuff: &Reagent, amount: &Quantity, ambient: &Ambient) -> Option<Measured> {
    match stuff {
        Reagent::Pure {
            species,
            purity,
            density,
            ..
        } => {
            let per_gram = purity.scaled(&Exact::one().checked_div(species.molar_mass())?);
            if species.phase() == Some(Phase::Gas) && amount.dimension() == Dimension::VOLUME {
                let molar = solution::molar_volume(&ambient.temperature, &ambient.pressure)?;
                let moles = amount.in_unit(&unit::LITRE).ok()?.checked_div(&molar)?;
                let grams = moles.checked_div(&per_gram)?;
                return Some(Measured {
                    moles,
                    grams,
                    millilitres: None,
                });
            }
            let density = density
                .clone()
                .or_else(|| (*species == water()).then(|| water_density(ambient))?);
            measured(amount, &per_gram, density.as_ref())
        }
        Reagent::Solution {
            per_gram, density, ..
        } => measured(amount, per_gram, density.as_ref()),
    }
}

fn measured(amount: &Quantity, per_gram: &Number, density: Option<&Number>) -> Option<Measured> {
    let grams = match amount.dimension() {
        Dimension::MASS => amount.in_unit(&unit::GRAM).ok()?,
        Dimension::VOLUME => &amount.in_unit(&unit::MILLILITRE).ok()? * density?,
        Dimension::AMOUNT => amount.in_unit(&unit::MOLE).ok()?.checked_div(per_gram)?,
        _ => return None,
    };
    Some(Measured {
        moles: &grams * per_gram,
        millilitres: density.and_then(|d| grams.checked_div(d)),
        grams,
    })
}

fn water_density(ambient: &Ambient) -> Option<Number> {
    solution::water(Water::Density, &ambient.temperature)
        .ok()
        .map(|d| d.value)
}

/// The strength or purity as written on the label.
pub fn label(stuff: &Reagent) -> String {
    match stuff {
        Reagent::Pure { label, .. } | Reagent::Solution { label, .. } => label.clone(),
    }
}

/// What a substance becomes when it is put into water: its ions, or itself dissolved, solid, liquid.
pub fn in_solution(species: &Species) -> Ions {
    let bare = species.with_phase(None);
    match in_water(&bare) {
        Form::Ions(ions) => ions,
        form => molecule_in_solution(&bare, &form),
    }
}

/// A molecule of its own, and the water that it brings as a hydrate.
fn molecule_in_solution(bare: &Species, form: &Form) -> Ions {
    let (molecule, crystal_water) = solution::anhydrous(bare);
    if crystal_water.is_zero() || in_water(&molecule) != Form::Molecule {
        return vec![(Exact::one(), in_form(bare, form))];
    }
    let dissolved = in_form(&molecule, &Form::Molecule);
    vec![(Exact::one(), dissolved), (crystal_water, water())]
}

/// A species in the phase of a form.
pub fn in_form(species: &Species, form: &Form) -> Species {
    let phase = match form {
        Form::Solid => Phase::Solid,
        Form::Gas => Phase::Gas,
        Form::Liquid => Phase::Liquid,
        Form::Ions(_) | Form::Molecule => Phase::Aqueous,
    };
    species.with_phase(Some(species.phase().unwrap_or(phase)))
}

/// A dissolved molecule as the dry substance.
pub fn dry(store: &Store, species: &Species) -> Species {
    usual(store, &species.with_phase(None))
}

/// The usual phase at ambient: of the data where there are any, else as its form in water suggests.
pub(super) fn usual(store: &Store, species: &Species) -> Species {
    if let Ok(found) = thermo::standard(store, species)
        && found.phase_assumed
        && found.species.phase() != Some(Phase::Aqueous)
    {
        return species.with_phase(found.species.phase());
    }
    let phase = match in_water(species) {
        Form::Gas => Phase::Gas,
        Form::Liquid => Phase::Liquid,
        _ => Phase::Solid,
    };
    species.with_phase(Some(phase))
}

/// In g, of the water there.
pub fn grams_of_water(contents: &Contents) -> Number {
    contents::grams(&water(), &contents.amount(&water()))
}

/// As [`in_solution`], but a stated phase other than `(aq)` stays.
pub fn in_solution_or_as_stated(species: &Species) -> Ions {
    match species.phase() {
        None | Some(Phase::Aqueous) => in_solution(species),
        Some(_) => vec![(Exact::one(), species.clone())],
    }
}

fn not_a_strength(unit: &str) -> String {
    match unit {
        "" => "a strength needs its unit".to_owned(),
        unit => format!("`{unit}` is no unit of strength"),
    }
}
