//! What is in a vessel into its hazard statements: salts put together from their ions, then the limits of mixtures.
//!
//! Follows the additivity of the UN GHS: for corrosion, irritation and water life the shares of each component in its
//! own limit are summed; toxicity goes by the sum of the parts of the toxicity estimates; everything else by the
//! strongest component. Specific limits of a substance, where the table has its bands of strength, go before the
//! generic ones.
//!
//! Leaves out physical hazards of mixtures but those in the bands, and multiplying factors for water life.

use std::sync::{Arc, LazyLock};

use rustc_hash::FxHashSet;

use crate::data::{Memo, Row, elements_named};
use crate::equation::identity;
use crate::equation::ionic::dissociate;
use crate::matter::{Element, Species};

use super::caution::{Hazard, banded, same_salt, statement, without_water};
use super::mix::Mix;
use super::tables::{GHS, MIXTURE_LIMITS};

/// The statements that hold for a mixture, the gravest first, and what no row was found for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Classified {
    /// With the components that bring them, by formula.
    pub hazards: Vec<(Hazard, Vec<&'static str>)>,
    /// Species that no row of the table covers; never to be shown as safe.
    pub unknown: Vec<Species>,
}

/// What holds for a mix as a whole, solids and liquid.
pub fn classify(mix: &Mix<'_>) -> Classified {
    let (components, unknown) = components(mix);
    let mut codes: Vec<(&'static str, Vec<&'static str>)> = Vec::new();
    let sums = ADDED.iter().filter_map(|code| summed(code, &components));
    let singles = components.iter().flat_map(strongest);
    let toxic = ROUTES
        .iter()
        .filter_map(|route| toxicity(route, &components));
    for (code, from) in sums.chain(singles).chain(toxic) {
        match codes.iter_mut().find(|(known, _)| *known == code) {
            Some((_, all)) => all.extend(from),
            None => codes.push((code, from)),
        }
    }
    for (_, from) in &mut codes {
        from.dedup();
    }
    let covered = |code: &str| codes.iter().any(|(graver, _)| covers(graver, code));
    let told = codes.iter().filter(|(code, _)| !covered(code));
    let mut hazards: Vec<_> = told
        .map(|(code, from)| {
            (
                statement(code, signal_word(code), SOURCE, BASIS),
                from.clone(),
            )
        })
        .collect();
    hazards.sort_by_key(|(hazard, _)| (hazard.signal_word != "Danger", hazard.code));
    Classified { hazards, unknown }
}

/// Per cent by mass from which something counts as the substance as sold (own rule).
const AS_SOLD: f64 = 90.0;

const SOURCE: &str =
    "UN GHS and CLP Annex I: limits of mixtures (memory), on the rows of the substances";
const BASIS: &str = "mixture limits (computed)";

/// Codes whose components are summed.
const ADDED: [&str; 11] = [
    "H314", "H315", "H318", "H319", "H335", "H336", "H304", "H400", "H410", "H411", "H412",
];

/// Codes of acute toxicity by the way in, the gravest first, with the word for it in the table.
const ROUTES: [(&str, [&str; 3]); 3] = [
    ("oral", ["H300", "H301", "H302"]),
    ("dermal", ["H310", "H311", "H312"]),
    ("dust or mist", ["H330", "H331", "H332"]),
];

/// Codes that carry `Danger`; the rest carry `Warning` (UN GHS Annex 1, memory).
const DANGER: [&str; 26] = [
    "H220", "H224", "H225", "H228", "H250", "H260", "H261", "H270", "H271", "H272", "H300", "H301",
    "H304", "H310", "H311", "H314", "H318", "H330", "H331", "H334", "H340", "H350", "H360", "H370",
    "H372", "EUH032",
];

/// `Danger` or `Warning`, by the statement alone.
///
/// ```
/// assert_eq!(aludel::hazard::signal_word("H314"), "Danger");
/// assert_eq!(aludel::hazard::signal_word("H412"), "Warning");
/// ```
pub fn signal_word(code: &str) -> &'static str {
    let own = code.get(..4).unwrap_or(code);
    match DANGER.contains(&own) || DANGER.contains(&code) {
        true => "Danger",
        false => "Warning",
    }
}

/// Whether the graver statement says the milder one too.
fn covers(graver: &str, milder: &str) -> bool {
    const OVER: [(&str, &[&str]); 9] = [
        ("H314", &["H315", "H318", "H319"]),
        ("H318", &["H319"]),
        ("H300", &["H301", "H302"]),
        ("H301", &["H302"]),
        ("H310", &["H311", "H312"]),
        ("H311", &["H312"]),
        ("H330", &["H331", "H332"]),
        ("H410", &["H400", "H411", "H412"]),
        ("H411", &["H412"]),
    ];
    OVER.iter()
        .any(|(own, others)| *own == graver && others.contains(&milder))
}

/// A substance of the table in a mixture.
struct Component {
    formula: &'static str,
    percent: f64,
    /// Codes with the per cent by mass from which the mixture carries them.
    limits: Vec<(&'static str, f64)>,
    /// Codes of acute toxicity of the substance as sold, where its own bands do not say.
    toxic: Vec<&'static str>,
    /// The row of the substance as sold, which may state its own toxicity estimates.
    sold: Option<Row>,
}

impl Component {
    fn of(formula: &'static str, percent: f64) -> Component {
        let bands: Vec<Row> = GHS.find(formula).filter(|row| banded(*row)).collect();
        if bands.is_empty() {
            let sold = GHS.find(formula).find(|row| row.cell("form") != "powder");
            return Component::generic(formula, percent, sold);
        }
        let mut limits: Vec<(&'static str, f64)> = Vec::new();
        for row in bands {
            let from = row.float("conc_min_pct").unwrap_or(0.0);
            for code in codes(row) {
                match limits.iter_mut().find(|(known, _)| *known == code) {
                    Some((_, least)) => *least = least.min(from),
                    None => limits.push((code, from)),
                }
            }
        }
        Component {
            formula,
            percent,
            limits,
            toxic: Vec::new(),
            sold: None,
        }
    }

    fn generic(formula: &'static str, percent: f64, sold: Option<Row>) -> Component {
        let carried: Vec<&'static str> = sold.into_iter().flat_map(codes).collect();
        let limits = carried.iter().flat_map(|code| match generic_limits(code) {
            // What the limits of mixtures do not carry over belongs to the substance as sold.
            none if none.is_empty() => vec![(*code, AS_SOLD)],
            limits => limits,
        });
        let limits = limits.collect();
        let acute = |code: &&str| ROUTES.iter().any(|(_, all)| all.contains(code));
        let toxic = carried.iter().copied().filter(|code| acute(code)).collect();
        Component {
            formula,
            percent,
            limits,
            toxic,
            sold,
        }
    }

    /// Its harmonised toxicity estimate for a way in.
    fn estimate(&self, way: &str) -> Option<f64> {
        let column = match way {
            "dust or mist" => "ate_inhalation",
            "oral" => "ate_oral_mg_kg",
            _ => "ate_dermal_mg_kg",
        };
        self.sold?.float(column)
    }
}

fn codes(row: Row) -> impl Iterator<Item = &'static str> {
    let own = row.cell("h_codes").split_whitespace();
    own.chain(row.cell("euh_codes").split_whitespace())
}

/// What the generic limits make of a component that carries a code.
fn generic_limits(code: &'static str) -> Vec<(&'static str, f64)> {
    let class = code.get(..4).unwrap_or(code);
    let rows = MIXTURE_LIMITS.rows().filter(move |row| {
        row.cell("component_codes")
            .split_whitespace()
            .any(|named| named == class)
    });
    let limit = |row: Row| {
        Some((
            row.filled("mixture_code").unwrap_or(code),
            row.float("conc_from_pct")?,
        ))
    };
    // A suffix (H350i, H360D) stays on what is taken over unchanged.
    let suffixed = |(found, from)| (if found == class { code } else { found }, from);
    rows.filter_map(limit).map(suffixed).collect()
}

/// A code whose components add up to its limit.
fn summed(
    code: &'static str,
    components: &[Component],
) -> Option<(&'static str, Vec<&'static str>)> {
    let shares = components.iter().filter_map(|one| {
        let (_, limit) = one.limits.iter().find(|(known, _)| *known == code)?;
        Some((one.percent / limit.max(0.01), one.formula))
    });
    let shares: Vec<(f64, &'static str)> = shares.collect();
    let total: f64 = shares.iter().map(|(share, _)| share).sum();
    // Less than a tenth of what is needed is not what the statement is for.
    let from = shares
        .iter()
        .filter(|(share, _)| *share >= 0.1)
        .map(|(_, formula)| *formula);
    (total >= 1.0).then(|| (code, from.collect()))
}

/// Codes that a component brings alone.
fn strongest(one: &Component) -> impl Iterator<Item = (&'static str, Vec<&'static str>)> {
    let alone = one.limits.iter().filter(|(code, _)| !ADDED.contains(code));
    let reached = alone.filter(|(_, limit)| one.percent >= *limit && one.percent > 0.0);
    reached.map(|(code, _)| (*code, vec![one.formula]))
}

/// 100 over the sum of per cent over estimate; the class is the first whose bound is not exceeded. A harmonised estimate
/// goes first; without one, where a code stands for two categories, the graver counts.
fn toxicity(
    (way, codes): &(&str, [&'static str; 3]),
    components: &[Component],
) -> Option<(&'static str, Vec<&'static str>)> {
    let rows = || {
        MIXTURE_LIMITS
            .rows()
            .filter(|row| row.cell("component_class").ends_with(way))
    };
    let point = |code: &str| {
        rows()
            .find(|row| row.cell("component_codes") == code)?
            .float("ate_point")
    };
    let parts = components.iter().filter_map(|one| {
        let code = codes.iter().find(|code| one.toxic.contains(code))?;
        let estimate = one.estimate(way).or_else(|| point(code))?;
        Some((one.percent / estimate, one.formula))
    });
    let parts: Vec<(f64, &'static str)> = parts.filter(|(part, _)| *part > 0.0).collect();
    let sum: f64 = parts.iter().map(|(part, _)| part).sum();
    if parts.is_empty() {
        return None;
    }
    let estimate = 100.0 / sum;
    let reached = rows().find(|row| {
        row.float("ate_up_to")
            .is_some_and(|bound| estimate <= bound)
    })?;
    let from = parts.iter().map(|(_, formula)| *formula).collect();
    Some((reached.cell("mixture_code"), from))
}

/// A salt of the table as its two ions.
struct Salt {
    formula: &'static str,
    ions: [(Species, f64); 2],
    grams: f64,
    gravity: usize,
}

/// The salts, acids and bases of the table that these elements could make, the gravest first: an acid before a base
/// before the rest. Only those are taken apart: a mix holds a handful of elements, the table the salts of fifty.
fn salts(there: Elements) -> Vec<Arc<Salt>> {
    static FORMULAS: LazyLock<Vec<(Elements, &str)>> = LazyLock::new(|| {
        let mut seen = FxHashSet::default();
        let formulas = GHS.rows().map(|row| row.cell("formula"));
        let first = formulas.filter(|formula| seen.insert(*formula));
        let needed = |formula| Elements::named(without_water(formula));
        first.map(|formula| (needed(formula), formula)).collect()
    });
    static SEEN: LazyLock<Memo<&str, Option<Arc<Salt>>>> = LazyLock::new(Memo::default);
    let possible = FORMULAS.iter().filter(|(needed, _)| there.hold(*needed));
    let read = |(_, formula): &(Elements, &'static str)| {
        SEEN.recall(formula, |formula| Salt::of(formula).map(Arc::new))
    };
    let mut all: Vec<Arc<Salt>> = possible.filter_map(read).collect();
    all.sort_by_key(|salt| std::cmp::Reverse(salt.gravity));
    all
}

/// A set of elements, one bit for each.
#[derive(Clone, Copy, Default)]
struct Elements(u128);

impl Elements {
    /// Those that a formula names.
    fn named(formula: &str) -> Elements {
        let symbols = elements_named(formula);
        let all = symbols.split(' ').filter_map(Element::of_symbol);
        all.fold(Elements::default(), Elements::and)
    }

    /// Those of the ions of a mix.
    fn of_ions(mix: &[(Species, f64)]) -> Elements {
        let ions = mix.iter().filter(|(species, _)| species.charge() != 0);
        let atoms = ions.flat_map(|(ion, _)| &ion.composition().atoms);
        atoms.fold(Elements::default(), |all, (element, _)| all.and(*element))
    }

    fn and(self, element: Element) -> Elements {
        Elements(self.0 | 1 << element.index())
    }

    fn hold(self, others: Elements) -> bool {
        self.0 & others.0 == others.0
    }
}

impl Salt {
    fn of(formula: &'static str) -> Option<Salt> {
        let species = Species::parse(formula).ok()?;
        let ions: Vec<(f64, Species)> = dissociate(&species)?
            .into_iter()
            .filter(|(_, ion)| ion.charge() != 0)
            .map(|(count, ion)| (count.to_f64(), ion.with_phase(None)))
            .collect();
        let [(n, one), (m, other)] = <[_; 2]>::try_from(ions).ok()?;
        let rows = GHS.find(formula).flat_map(codes);
        let dangers = rows.filter(|code| signal_word(code) == "Danger").count();
        let kind = match [one.key(), other.key()] {
            pair if pair.contains(&"H^+") => 200,
            pair if pair.contains(&"OH^-") => 100,
            _ => 0,
        };
        let gravity = kind + 2 * dangers + usize::from(!formula.contains('·'));
        Some(Salt {
            formula,
            ions: [(one, n), (other, m)],
            grams: species.molar_mass().to_f64(),
            gravity,
        })
    }
}

/// The substances of the table that a mix is made of, with their strengths; ions are spent as salts take them up.
fn components(mix: &Mix<'_>) -> (Vec<Component>, Vec<Species>) {
    let whole = mix.grams().max(f64::MIN_POSITIVE);
    let mut left: Vec<(Species, f64)> = mix.moles();
    let mut found = Vec::new();
    for (species, moles) in left.iter_mut().filter(|(species, _)| species.charge() == 0) {
        if let Some(row) = row_of(species) {
            let grams = *moles * species.molar_mass().to_f64();
            found.push(Component::of(row.cell("formula"), 100.0 * grams / whole));
            *moles = 0.0;
        }
    }
    for salt in salts(Elements::of_ions(&left)) {
        let turns = salt.take_from(&mut left);
        if turns > 0.0 {
            found.push(Component::of(
                salt.formula,
                100.0 * turns * salt.grams / whole,
            ));
        }
    }
    let rest = left
        .into_iter()
        .filter(|(species, moles)| *moles > 1e-9 && !harmless(species));
    (found, rest.map(|(species, _)| species).collect())
}

/// The row of a substance, or of its salt with other crystal water or none.
fn row_of(species: &Species) -> Option<Row> {
    let identity = identity(species);
    let own = GHS.find(identity.key()).next();
    own.or_else(|| same_salt(identity.key()))
}

impl Salt {
    /// How much of it the ions there make, in mol; they are used up for it.
    fn take_from(&self, left: &mut [(Species, f64)]) -> f64 {
        let there = |ion: &Species| left.iter().position(|(species, _)| species == ion);
        let [(one, n), (other, m)] = &self.ions;
        let (Some(one), Some(other)) = (there(one), there(other)) else {
            return 0.0;
        };
        let turns = (left[one].1 / n).min(left[other].1 / m);
        left[one].1 -= n * turns;
        left[other].1 -= m * turns;
        turns
    }
}

/// Water, and the ions that are left when the harmful salts are put together.
pub(super) fn harmless(species: &Species) -> bool {
    const COMMON: [&str; 10] = [
        "H2O", "Na^+", "K^+", "Mg^2+", "Ca^2+", "Cl^-", "SO4^2-", "HCO3^-", "CO3^2-", "HPO4^2-",
    ];
    COMMON.contains(&species.key())
}
