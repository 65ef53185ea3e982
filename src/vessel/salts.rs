//! Ions joined to salts, and salts to ions.

use std::sync::LazyLock;

use crate::data::{Store, StoreMemo};
use crate::equation::ionic::Ions;
use crate::matter::{Count, FormulaUnit, Notation, Species};
use crate::number::{Exact, Number};

use super::contents::Contents;
use super::reagent::{dry, in_solution, usual};

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
            && matches!(item.unit, FormulaUnit::Atom(_) | FormulaUnit::Group('[', _))),
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
