//! What can be measured out: labels into compositions, quantities into amounts.
//!
//! Knows nothing of vessels.

use std::sync::LazyLock;

use crate::data::{Store, StoreMemo};
use crate::equation::ionic::{Form, Ions, in_water};
use crate::matter::{Count, Kernel, Notation, Phase, Species};
use crate::number::{Dimension, Exact, Number, Quantity, unit};
use crate::solution::{self, Strength, StrengthFault, Water};
use crate::thermo;

use super::check::{CheckFault, literal};
use super::contents::{self, Contents};
use super::ledger::Ambient;
use super::program::{Matter, Stuff};
use super::syntax::{Literal, Spanned};

/// Why something cannot be measured out as written.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum StuffFault {
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
    /// A literal with a fault of its own.
    #[error(transparent)]
    Literal(Box<CheckFault>),
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
pub fn household(name: &str) -> Option<Stuff> {
    match name {
        "water" => Some(water_matter().stuff),
        "ice" => Some(Stuff::Pure {
            species: ice(),
            purity: Number::one(),
            label: String::new(),
            density: None,
        }),
        _ => None,
    }
}

/// Water as it is measured out.
pub fn water_matter() -> Matter {
    Matter {
        bottle: None,
        stuff: Stuff::Pure {
            species: water(),
            purity: Number::one(),
            label: String::new(),
            density: None,
        },
        label: "water".to_owned(),
    }
}

/// A pure substance in its usual phase at ambient.
pub fn pure(
    store: &Store,
    species: &Species,
    purity: Number,
    density: Option<Number>,
) -> Result<Stuff, StuffFault> {
    if species.charge() != 0 {
        return Err(StuffFault::Charged {
            species: species.clone(),
        });
    }
    let species = match species.phase() {
        Some(_) => species.clone(),
        None => usual(store, species),
    };
    Ok(Stuff::Pure {
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
) -> Result<Stuff, StuffFault> {
    if species.charge() != 0 {
        return Err(StuffFault::Charged {
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
        .map_err(StuffFault::Strength)?;
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
    Ok(Stuff::Solution {
        solute,
        label: label.to_owned(),
        per_gram,
        density,
        mass_fraction: made.mass_fraction,
    })
}

fn with_purity(
    store: &Store,
    species: &Species,
    purity: &Quantity,
    label: &str,
) -> Result<Stuff, StuffFault> {
    let unit = purity.written_in();
    if !unit.is_some_and(|unit| unit.is_share() || unit.compares_masses()) {
        return Err(StuffFault::NotAStrength {
            unit: unit.map_or(String::new(), |unit| unit.symbol()),
        });
    }
    let purity = purity.number().clone();
    if !purity.is_positive() || purity.value() > &Exact::one() {
        return Err(StuffFault::Purity);
    }
    let Stuff::Pure {
        species, density, ..
    } = pure(store, species, Number::one(), None)?
    else {
        return Err(StuffFault::Purity);
    };
    Ok(Stuff::Pure {
        species,
        purity,
        label: label.to_owned(),
        density,
    })
}

fn by_dimension(strength: &Quantity) -> Result<Strength, StuffFault> {
    let in_unit = |unit| strength.in_unit(unit).ok();
    in_unit(&unit::MOLAR)
        .map(Strength::Molar)
        .or_else(|| in_unit(&unit::MOLAL).map(Strength::Molal))
        .or_else(|| in_unit(&unit::GRAM_PER_LITRE).map(Strength::GramsPerLitre))
        .ok_or_else(|| StuffFault::NotAStrength {
            unit: strength
                .written_in()
                .map_or(String::new(), |unit| unit.symbol()),
        })
}

/// Fails for a volume of something whose density is not known.
pub fn pourable(stuff: &Stuff) -> Result<(), StuffFault> {
    let known = match stuff {
        Stuff::Pure {
            species, density, ..
        } => density.is_some() || species.phase() == Some(Phase::Gas) || *species == water(),
        Stuff::Solution { density, .. } => density.is_some(),
    };
    if known {
        return Ok(());
    }
    Err(StuffFault::NoDensity {
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
pub fn measure(stuff: &Stuff, amount: &Quantity, ambient: &Ambient) -> Option<Measured> {
    match stuff {
        Stuff::Pure {
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
        Stuff::Solution {
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
pub fn label(stuff: &Stuff) -> String {
    match stuff {
        Stuff::Pure { label, .. } | Stuff::Solution { label, .. } => label.clone(),
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
fn usual(store: &Store, species: &Species) -> Species {
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

/// The next dry substance that dissolved species make when their water goes: the salt of a cation and an anion (H^+
/// last), or a dissolved molecule; with the change that makes it and how many moles of it there are.
pub fn next_salt(store: &Store, dissolved: &Contents) -> Option<(Species, Ions, Number)> {
    let molecule = dissolved.iter().find(|(s, _)| s.charge() == 0);
    if let Some((molecule, moles)) = molecule {
        let dry = dry(store, molecule);
        let terms = vec![
            (Exact::from(-1), molecule.clone()),
            (Exact::one(), dry.clone()),
        ];
        return Some((dry, terms, moles.clone()));
    }
    let of_sign = |sign: i64| {
        dissolved
            .iter()
            .filter(move |(s, _)| s.charge().signum() == sign)
    };
    let (cation, n) = of_sign(1).max_by_key(|(s, _)| s.key() != "H^+")?;
    let (anion, m) = of_sign(-1).max_by_key(|(s, _)| s.key() != "OH^-")?;
    let common = num_integer::gcd(cation.charge(), -anion.charge());
    let (a, c) = (-anion.charge() / common, cation.charge() / common);
    let salt = salt_of(store, (cation, a), (anion, c))?;
    let (a, c) = (Exact::from(a), Exact::from(c));
    let turns = |moles: &Number, count: &Exact| moles.checked_div(&Number::exact(count.clone()));
    let moles = turns(n, &a)?.min(turns(m, &c)?);
    let terms = vec![
        (-&a, cation.clone()),
        (-&c, anion.clone()),
        (Exact::one(), salt.clone()),
    ];
    Some((salt, terms, moles))
}

/// The dry salt of so many cations and anions.
fn salt_of(
    store: &Store,
    (cation, a): (&Species, i64),
    (anion, c): (&Species, i64),
) -> Option<Species> {
    static SEEN: LazyLock<StoreMemo<String, Option<Species>>> = LazyLock::new(StoreMemo::default);
    let text = [counted(cation, a), counted(anion, c)].concat();
    SEEN.recall_by(store, text, |text| {
        let salt = Species::parse(text).ok()?;
        Some(usual(store, &salt))
    })
}

/// `SO4` three times is `(SO4)3`, `Na` twice `Na2`.
fn counted(ion: &Species, count: i64) -> String {
    let plain = ion.to_text(Notation::Plain);
    let body = plain.split('^').next().unwrap_or(&plain);
    if count == 1 {
        return body.to_owned();
    }
    let single = match ion.formula().parts.as_slice() {
        [part] => matches!(part.items.as_slice(), [item] if item.count == Count::ONE
            && matches!(item.unit, Kernel::Atom(_) | Kernel::Group('[', _))),
        _ => false,
    };
    if single {
        format!("{body}{count}")
    } else {
        format!("({body}){count}")
    }
}

/// Hydrogen ions and hydroxide that stand side by side, in mol of the water they could make.
pub fn acid_beside_base(contents: &Contents) -> Number {
    let [acid, base] = neutralisation().map(|(_, ion)| contents.amount(&ion));
    acid.min(base)
}

/// What neutralisation uses up.
pub fn neutralisation() -> [(Exact, Species); 2] {
    static IONS: LazyLock<[Species; 2]> = LazyLock::new(|| {
        ["H^+(aq)", "OH^-(aq)"].map(|text| Species::parse(text).expect("an ion can be read"))
    });
    IONS.clone().map(|ion| (Exact::from(-1), ion))
}

/// Formula units of a salt that dissolved ions could make, in mol, and the ions of one unit; `None` for what has no
/// ions in the table.
pub fn units_in_solution(contents: &Contents, salt: &Species) -> Option<Number> {
    let ions = in_solution(salt);
    let solutes = ions.iter().filter(|(_, s)| s.key() != "H2O");
    let turns = solutes.map(|(count, s)| {
        contents
            .amount(s)
            .checked_div(&Number::exact(count.clone()))
    });
    turns
        .collect::<Option<Vec<_>>>()?
        .into_iter()
        .min_by(|a, b| a.value().cmp(b.value()))
}

/// In g, of the water there.
pub fn grams_of_water(contents: &Contents) -> Number {
    contents::grams(&water(), &contents.amount(&water()))
}

/// A literal with its span, for callers that read quantities outside a script.
pub fn quantity(value: &Spanned<Literal>) -> Result<Quantity, CheckFault> {
    literal(&value.node, String::new, &mut Vec::new())
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
