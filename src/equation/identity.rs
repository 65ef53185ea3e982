//! One identity for each substance, however its formula is spelled.
//!
//! A spelling is somebody's choice: `HC2H3O2` and `CH3COOH` are one acid, and `K3Fe(CN)6` is `K3[Fe(CN)6]`. The identity is
//! the formula that the tables list. It is found by the tables of spellings, by the ions of an organic salt, and by composition only
//! where no isomer can be meant: never with carbon, a complex or crystal water.
//!
//! Knows nothing of what the tables say of a substance.

use std::sync::LazyLock;

use crate::data::{self, Memo};
use crate::matter::{Element, Formula, Species};

use super::ionic::taken_apart;

/// The formula under which the tables list a substance, without phase; its own where they have no other.
///
/// ```
/// use aludel::{equation::identity, matter::Species};
/// let of = |text| identity(&Species::parse(text).unwrap()).plain().to_owned();
/// assert_eq!(of("HC2H3O2"), "CH3COOH");
/// assert_eq!(of("K4Fe(CN)6·3H2O"), "K4[Fe(CN)6]·3H2O");
/// assert_eq!(of("NaC2H3O2"), of("CH3COONa"));
/// assert_eq!(of("AlO3H3"), "Al(OH)3");
/// // Ethanol and dimethyl ether have this composition: it stays what it is.
/// assert_eq!(of("C2H6O"), "C2H6O");
/// ```
pub fn identity(species: &Species) -> Species {
    static SEEN: LazyLock<Memo<Species, Species>> = LazyLock::new(Memo::default);
    SEEN.recall(species.with_phase(None), |bare| {
        look_up(bare).unwrap_or_else(|| bare.clone())
    })
}

/// `None` for a formula that is listed itself, and for one that nothing is known of.
fn look_up(bare: &Species) -> Option<Species> {
    if let Some(formula) = data::formula_spelled(bare.key()) {
        return Species::parse(formula).ok();
    }
    if bare.is_electron() || data::is_listed(bare.key()) {
        return None;
    }
    hydrate(bare).or_else(|| {
        let alike = of_same_composition(bare);
        by_ions(bare, &alike).or_else(|| by_composition(bare, &alike))
    })
}

/// A hydrate, or another addition, of a salt that is spelled otherwise.
fn hydrate(bare: &Species) -> Option<Species> {
    let (first, others) = bare.formula().parts.split_first()?;
    if others.is_empty() || bare.charge() != 0 {
        return None;
    }
    let alone = Formula {
        parts: vec![first.clone()],
    };
    let salt = look_up(&Species::new(alone, 0, None)?)?;
    let parts = salt.formula().parts.iter().chain(others).cloned();
    Species::new(
        Formula {
            parts: parts.collect(),
        },
        0,
        None,
    )
}

/// Every listed formula of the same atoms and charge.
pub(crate) fn of_same_composition(species: &Species) -> Vec<Species> {
    let listed = data::formulas_of_same_elements(species.key());
    let read = listed.filter_map(|formula| Species::parse(formula).ok());
    let same = |other: &Species| {
        other.charge() == species.charge() && other.composition() == species.composition()
    };
    read.filter(same).collect()
}

/// A salt of an organic acid is its ions, whichever is written first and however its anion is spelled.
fn by_ions(bare: &Species, alike: &[Species]) -> Option<Species> {
    if !bare.contains(Element::C) {
        return None;
    }
    let ions = |salt: &Species| {
        let mut ions = taken_apart(salt)?.ions;
        ions.sort_by(|a, b| a.1.cmp(&b.1));
        Some(ions)
    };
    let own = ions(bare)?;
    let mut same = alike
        .iter()
        .filter(|other| ions(other).as_ref() == Some(&own));
    same.next().cloned()
}

/// The one listed formula of the same composition, where no isomer can be meant.
fn by_composition(bare: &Species, alike: &[Species]) -> Option<Species> {
    let [only] = alike else {
        return None;
    };
    let metal = bare.composition().atoms.iter().any(|(e, _)| e.is_metal());
    let safe = |one: &Species| {
        let complex = one.key().contains('[');
        !one.contains(Element::C) && !complex && one.formula().parts.len() == 1
    };
    // Without a metal the same pieces in another order: `SO4H2`, but not `HOONO` for nitric acid.
    let fits = safe(bare) && safe(only) && (metal || same_pieces(bare, only));
    fits.then(|| only.clone())
}

fn same_pieces(one: &Species, other: &Species) -> bool {
    let (own, others) = (
        &one.formula().parts[0].items,
        &other.formula().parts[0].items,
    );
    own.len() == others.len() && own.iter().all(|item| others.contains(item))
}
