//! What holds for every route, tried on random ones: the books balance, the same text gives the same ledger, and twice
//! as much of everything gives twice as much of everything.
//!
//! Routes are drawn as operations on four vessels with a shelf of bottles and solids. Most make no sense to a chemist
//! (washing an empty flask, reacting what is not there), which is the point.

use std::collections::BTreeMap;

use aludel::data::Store;
use aludel::matter::{Element, Species};
use aludel::number::{Exact, Number};
use aludel::route::ledger::{Content, Draw, Fact, Heat, Ledger, OperationRecord, Outcome, Remark};
use aludel::route::{self, Outcome as Followed};
use aludel::text::Source;
use proptest::prelude::*;

/// Tried of each; a route takes some tens of milliseconds without optimisation.
const CASES: u32 = 48;

const SHELF: &str = "\
bottle lye: KOH 1.50 mol/L
bottle caustic: NaOH 40 %w/w
bottle acid: HCl 2.0 mol/L
bottle vitriol: H2SO4 9.0 mol/L
bottle silver: AgNO3 0.50 mol/L
bottle blue: CuSO4 0.80 mol/L
bottle soda: Na2CO3 1.00 mol/L
bottle brine: NaCl 150 g/L
bottle ammonia: NH3 25 %w/w
bottle peroxide: H2O2 30 %w/w
bottle chalk: CaCO3(s) 92 %
vessel flask
vessel beaker
vessel dish
vessel jar
";

/// What is poured, in mL, or weighed, in g.
const BOTTLES: [&str; 10] = [
    "lye", "caustic", "acid", "vitriol", "silver", "blue", "soda", "brine", "ammonia", "peroxide",
];
/// Solids that stay solid in water, weighed in g.
const INSOLUBLE: [&str; 6] = ["Al", "Zn", "Fe", "Cu", "CaCO3", "chalk"];
/// Solids that dissolve as far as their solubility goes.
const SOLUBLE: [&str; 7] = [
    "NaCl",
    "KNO3",
    "CuSO4·5H2O",
    "Na2CO3",
    "BaCl2·2H2O",
    "K2SO4",
    "KAl(SO4)2·12H2O",
];
const VESSELS: [&str; 4] = ["flask", "beaker", "dish", "jar"];
/// Reactions, and what to charge for them to run.
const REACTIONS: [(&str, &[&str]); 17] = [
    ("Al + OH^- + H2O -> [Al(OH)4]^- + H2", &["g Al", "mL lye"]),
    ("OH^- + H^+ -> H2O", &["mL lye", "mL acid"]),
    ("[Al(OH)4]^- + H^+ -> Al^3+ + H2O", &["mL vitriol"]),
    ("CaCO3 + HCl -> CaCl2 + CO2 + H2O", &["g chalk", "mL acid"]),
    ("Na2CO3 + HCl -> NaCl + CO2 + H2O", &["mL soda", "mL acid"]),
    ("Zn + HCl -> ZnCl2 + H2", &["g Zn", "mL acid"]),
    ("Zn + CuSO4 -> Cu + ZnSO4", &["g Zn", "mL blue"]),
    (
        "CuSO4 + NaOH -> Cu(OH)2 + Na2SO4",
        &["mL blue", "mL caustic"],
    ),
    ("AgNO3 + NaCl -> AgCl + NaNO3", &["mL silver", "mL brine"]),
    ("BaCl2 + H2SO4 -> BaSO4 + HCl", &["mL vitriol"]),
    ("NH3 + HCl -> NH4Cl", &["mL ammonia", "mL acid"]),
    ("H2O2 -> H2O + O2", &["mL peroxide"]),
    ("Fe + H2SO4 -> FeSO4 + H2", &["g Fe", "mL vitriol"]),
    ("CaCO3 -> CaO + CO2", &["g CaCO3"]),
    ("Cu^2+ + NH3 -> [Cu(NH3)4]^2+", &["mL blue", "mL ammonia"]),
    ("Na2CO3 + CuSO4 -> CuCO3 + Na2SO4", &["mL soda", "mL blue"]),
    ("Cu(OH)2 -> CuO + H2O", &["mL water"]),
];
const CRYSTALS: [&str; 5] = [
    "CuSO4·5H2O",
    "NaCl",
    "KNO3",
    "KAl(SO4)2·12H2O",
    "Na2CO3·10H2O",
];

/// One statement; amounts in thousandths of g or mL, which grow with the batch, everything else does not.
#[derive(Clone, Debug)]
enum Step {
    Pour(usize, usize, u32),
    WeighOut(usize, &'static str, u32),
    Water(usize, u32),
    Enough(usize, usize, usize, u32),
    React(usize, usize, u32),
    /// A reaction with fresh reagents.
    Prepare(usize, usize, [u32; 2], u32),
    Bath(&'static str, usize, u32),
    Alone(&'static str, usize),
    Filter(usize, usize, usize, Option<u32>),
    Move(&'static str, usize, usize),
    TakeShare(usize, usize, u32),
    Take(usize, usize, u32),
    Wash(usize, u32, Option<usize>),
    To(&'static str, usize, u32, &'static str),
    Crystallise(usize, u32, usize, usize),
    Weigh(usize, u32),
}

impl Step {
    fn text(&self, batch: &Exact) -> String {
        let amount = |thousandths: u32| (Exact::ratio(thousandths.into(), 1000) * batch).to_plain();
        let v = |id: usize| VESSELS[id];
        match self {
            Step::Pour(id, bottle, n) => {
                format!("charge {}: {} mL {}", v(*id), amount(*n), BOTTLES[*bottle])
            }
            Step::WeighOut(id, solid, n) => format!("charge {}: {} g {solid}", v(*id), amount(*n)),
            Step::Water(id, n) => format!("charge {}: {} mL water", v(*id), amount(*n)),
            Step::Enough(id, bottle, equation, excess) => format!(
                "charge {}: enough {} for {}, {excess} % excess",
                v(*id),
                BOTTLES[*bottle],
                REACTIONS[*equation].0
            ),
            Step::React(id, equation, degree) => {
                format!(
                    "react {}: {}, to {degree} %",
                    v(*id),
                    REACTIONS[*equation].0
                )
            }
            Step::Prepare(id, reaction, amounts, degree) => {
                let (equation, reagents) = REACTIONS[*reaction];
                let portions: Vec<String> = reagents
                    .iter()
                    .zip(amounts)
                    .map(|(reagent, n)| format!("{} {reagent}", amount(*n)))
                    .collect();
                let portions = portions.join(", ");
                format!(
                    "charge {0}: {portions}\nreact {0}: {equation}, to {degree} %",
                    v(*id)
                )
            }
            Step::Bath(verb, id, celsius) => {
                let word = if *verb == "hold" { "at" } else { "to" };
                format!("{verb} {} {word} {celsius} °C", v(*id))
            }
            Step::Alone(verb, id) => format!("{verb} {}", v(*id)),
            Step::Filter(id, a, b, retaining) => {
                let kept = retaining.map(|n| format!(", retaining {} mL", amount(n)));
                let kept = kept.unwrap_or_default();
                format!("filter {} -> {}, {}{kept}", v(*id), v(*a), v(*b))
            }
            Step::Move(verb, from, into) => format!("{verb} {} -> {}", v(*from), v(*into)),
            Step::TakeShare(from, into, share) => {
                format!("take {share} % from {} -> {}", v(*from), v(*into))
            }
            Step::Take(from, into, n) => {
                format!("take {} mL from {} -> {}", amount(*n), v(*from), v(*into))
            }
            Step::Wash(id, n, into) => {
                let into = into.map(|id| format!(" -> {}", v(id))).unwrap_or_default();
                format!("wash {} with {} mL water{into}", v(*id), amount(*n))
            }
            Step::To(verb, id, n, unit) => format!("{verb} {} to {} {unit}", v(*id), amount(*n)),
            Step::Crystallise(id, celsius, solid, into) => format!(
                "crystallise {} at {celsius} °C: {} -> {}",
                v(*id),
                CRYSTALS[*solid],
                v(*into)
            ),
            Step::Weigh(id, n) => format!("weigh {}: {} g", v(*id), amount(*n)),
        }
    }
}

/// Mostly the first, so that operations meet something to work on.
fn vessel() -> impl Strategy<Value = usize> {
    prop_oneof![5 => Just(0usize), 2 => Just(1), 1 => 2..VESSELS.len()]
}

/// How far a reaction goes, in per cent.
fn degree() -> impl Strategy<Value = u32> {
    prop_oneof![Just(100u32), 1u32..100]
}

/// Two or three vessels, no two the same.
fn different<const N: usize>() -> impl Strategy<Value = [usize; N]> {
    (vessel(), Just([0, 1, 2, 3]).prop_shuffle()).prop_map(|(first, others)| {
        let rest = others.into_iter().filter(|id| *id != first);
        let all: Vec<usize> = std::iter::once(first).chain(rest).collect();
        std::array::from_fn(|i| all[i])
    })
}

fn amount() -> impl Strategy<Value = u32> {
    1u32..60_000
}

/// Steps whose arithmetic is exact from the text to the books: no density of a mixture, no solubility.
fn exact_step() -> impl Strategy<Value = Step> {
    let solid = prop::sample::select(&INSOLUBLE[..]);
    let alone = prop::sample::select(&["seal", "open", "vent", "discard"][..]);
    prop_oneof![
        6 => (vessel(), 0..BOTTLES.len(), amount()).prop_map(|(v, b, n)| Step::Pour(v, b, n)),
        3 => (vessel(), solid, amount()).prop_map(|(v, s, n)| Step::WeighOut(v, s, n)),
        2 => (vessel(), amount()).prop_map(|(v, n)| Step::Water(v, n)),
        2 => (vessel(), 0..BOTTLES.len(), 0..REACTIONS.len(), 0u32..80)
            .prop_map(|(v, b, e, x)| Step::Enough(v, b, e, x)),
        4 => (vessel(), 0..REACTIONS.len(), degree()).prop_map(|(v, e, d)| Step::React(v, e, d)),
        8 => (vessel(), 0..REACTIONS.len(), prop::array::uniform2(amount()), degree())
            .prop_map(|(v, e, n, d)| Step::Prepare(v, e, n, d)),
        1 => (alone, vessel()).prop_map(|(verb, v)| Step::Alone(verb, v)),
        1 => different().prop_map(|[a, b]| Step::Move("pour", a, b)),
        1 => (different(), 1u32..100).prop_map(|([a, b], s)| Step::TakeShare(a, b, s)),
    ]
}

fn any_step() -> impl Strategy<Value = Step> {
    let solid = prop::sample::select(&SOLUBLE[..]);
    let bath = prop::sample::select(&["warm", "cool", "hold"][..]);
    let to = prop::sample::select(&["evaporate", "dilute"][..]);
    let unit = prop::sample::select(&["mL", "g"][..]);
    prop_oneof![
        10 => exact_step(),
        2 => (vessel(), solid, amount()).prop_map(|(v, s, n)| Step::WeighOut(v, s, n)),
        1 => (bath, vessel(), 1u32..95).prop_map(|(verb, v, t)| Step::Bath(verb, v, t)),
        1 => vessel().prop_map(|v| Step::Alone("dry", v)),
        1 => (different(), prop::option::of(1u32..5_000))
            .prop_map(|([a, b, c], r)| Step::Filter(a, b, c, r)),
        1 => different().prop_map(|[a, b]| Step::Move("decant", a, b)),
        1 => (different(), 1u32..20_000).prop_map(|([a, b], n)| Step::Take(a, b, n)),
        1 => (different(), amount(), any::<bool>())
            .prop_map(|([a, b], n, kept)| Step::Wash(a, n, kept.then_some(b))),
        1 => (to, vessel(), amount(), unit).prop_map(|(verb, v, n, u)| Step::To(verb, v, n, u)),
        1 => (different(), 1u32..60, 0..CRYSTALS.len())
            .prop_map(|([a, b], t, s)| Step::Crystallise(a, t, s, b)),
        1 => (vessel(), 1u32..20_000).prop_map(|(v, n)| Step::Weigh(v, n)),
    ]
}

fn text_of(steps: &[Step], batch: &Exact) -> String {
    let lines: Vec<String> = steps.iter().map(|step| step.text(batch)).collect();
    format!("{SHELF}{}\n", lines.join("\n"))
}

fn follow(text: &str) -> Followed {
    let outcome = route::follow(&Source::new("random.route", text), &Store::default(), &[]);
    assert!(outcome.faults.is_empty(), "{text}\n{:?}", outcome.faults);
    outcome
}

fn operations(ledger: &Ledger) -> impl Iterator<Item = &OperationRecord> {
    ledger.steps.iter().flat_map(|step| &step.operations)
}

/// Atoms and charge of some amounts.
#[derive(Debug, Default, PartialEq)]
struct Count {
    atoms: BTreeMap<Element, Exact>,
    charge: Exact,
}

impl Count {
    fn add(&mut self, species: &Species, moles: &Exact) {
        for (element, count) in species.composition().iter() {
            let total = self.atoms.entry(element).or_default();
            *total += &(count * moles);
        }
        self.charge += &(Exact::from(species.charge()) * moles);
        self.atoms.retain(|_, total| !total.is_zero());
    }

    fn add_contents(&mut self, contents: &[Content]) {
        for content in contents {
            self.add(&content.species, content.moles.value());
        }
    }

    /// What was measured out: the substance, and the water of its solution.
    fn add_draw(&mut self, draw: &Draw) {
        let moles = draw.moles.value();
        self.add(&draw.substance, moles);
        let is_solution = draw.substance.phase().is_none();
        if is_solution {
            let water = Species::parse("H2O(l)").unwrap();
            let dissolved = draw.substance.molar_mass() * moles;
            let grams = draw.grams.value() - &dissolved;
            self.add(&water, &grams.checked_div(water.molar_mass()).unwrap());
        }
    }
}

/// Counts atoms from what was measured out to what is in vessels, air, drain and losses, apart from the auditor.
fn counted_again(ledger: &Ledger) -> Result<(), TestCaseError> {
    let (mut taken, mut there) = (Count::default(), Count::default());
    ledger.draws.iter().for_each(|draw| taken.add_draw(draw));
    for vessel in &ledger.vessels {
        there.add_contents(&vessel.contents);
    }
    for outlet in &ledger.outlets {
        there.add_contents(&outlet.contents);
    }
    prop_assert_eq!(taken, there);
    Ok(())
}

fn nothing_is_less_than_nothing(ledger: &Ledger) -> Result<(), TestCaseError> {
    let after_steps = ledger.steps.iter().flat_map(|step| &step.after);
    for vessel in ledger.vessels.iter().chain(after_steps) {
        for content in &vessel.contents {
            prop_assert!(content.moles.is_positive(), "{:?}", content.species.plain());
        }
        prop_assert!(vessel.temperature.is_positive());
        prop_assert!(vessel.volume.as_ref().is_none_or(|v| !v.is_negative()));
    }
    Ok(())
}

/// Every extensive figure of a ledger by what it is, in its order: amounts, masses, volumes, heats, gas.
fn extensive(ledger: &Ledger) -> Vec<(String, Number)> {
    let mut all = Vec::new();
    for draw in &ledger.draws {
        all.push((format!("drawn {}", draw.substance), draw.moles.clone()));
        all.push((format!("weighed {}", draw.substance), draw.grams.clone()));
        let poured = draw.millilitres.clone();
        all.extend(poured.map(|ml| (format!("poured {}", draw.substance), ml)));
    }
    for operation in operations(ledger) {
        if let Outcome::Reacted(record) = &operation.outcome {
            all.push((
                format!("extent of {}", operation.text),
                record.extent.clone(),
            ));
            if let Heat::Known(heat) = &record.heat {
                all.push((format!("heat of {}", operation.text), heat.clone()));
            }
            let gas = record
                .gas
                .iter()
                .map(|gas| (format!("gas {}", gas.species), &gas.moles));
            all.extend(gas.map(|(what, moles)| (what, moles.clone())));
        }
    }
    let vessels = ledger
        .vessels
        .iter()
        .map(|v| (v.name.as_str(), &v.contents));
    let outlets = ledger.outlets.iter().map(|o| (o.account, &o.contents));
    for (place, contents) in vessels.chain(outlets) {
        // Listed by mass, so that a tie may fall either way.
        let mut contents: Vec<&Content> = contents.iter().collect();
        contents.sort_by_key(|content| content.species.plain());
        let amounts = contents.into_iter();
        all.extend(amounts.map(|c| (format!("{} in {place}", c.species), c.moles.clone())));
    }
    all
}

#[test]
fn a_reaction_that_only_a_furnace_can_heat_does_not_cool_its_vessel_below_nothing() {
    let ledger =
        follow("vessel dish\ncharge dish: 1 g CaCO3\nreact dish: CaCO3 -> CaO + CO2\n").ledger;
    nothing_is_less_than_nothing(&ledger).unwrap();
    let unmet = |fact: &Fact| matches!(fact, Fact::NeedsHeating { heat, .. } if heat.is_positive());
    assert!(ledger.remarks.iter().any(|remark| unmet(&remark.fact)));
    let held = follow(
        "vessel dish\ncharge dish: 1 g CaCO3\nhold dish at 900 °C\nreact dish: CaCO3 -> CaO + CO2\n",
    );
    assert!(!held.ledger.remarks.iter().any(|remark| unmet(&remark.fact)));
}

/// At 20 °C 1 mL of water is 0.9982 g (CRC Handbook, from memory).
#[test]
fn an_empty_vessel_is_filled_to_the_mark_and_not_a_trace_less() {
    let milligrams = |volume: &str| {
        let ledger = follow(&format!("vessel flask\ndilute flask to {volume}\n")).ledger;
        ledger.draws[0].grams.to_f64() * 1000.0
    };
    assert!((milligrams("1 mL") - 998.2).abs() < 0.05);
    assert!((milligrams("1 mL") / milligrams("1 µL") - 1000.0).abs() < 0.01);
}

/// The figures of a ledger with the same name added up, as plain numbers.
fn summed(ledger: &Ledger) -> BTreeMap<String, f64> {
    let mut all = BTreeMap::new();
    for (what, number) in extensive(ledger) {
        *all.entry(what).or_default() += number.to_f64();
    }
    all
}

fn batch() -> impl Strategy<Value = Exact> {
    prop_oneof![(1i64..=9), Just(10), Just(25)].prop_map(|tenths| Exact::ratio(tenths, 4))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: CASES, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_books_balance_whatever_is_done(steps in prop::collection::vec(any_step(), 1..25)) {
        let ledger = follow(&text_of(&steps, &Exact::one())).ledger;
        for remark in &ledger.remarks {
            prop_assert!(!matches!(remark.fact, Fact::Unbalanced { .. }), "{:?}", remark.fact);
        }
        counted_again(&ledger)?;
        nothing_is_less_than_nothing(&ledger)?;
    }

    #[test]
    fn the_same_text_gives_the_same_ledger(steps in prop::collection::vec(any_step(), 1..20)) {
        let text = text_of(&steps, &Exact::one());
        let (once, again) = (follow(&text), follow(&text));
        prop_assert_eq!(format!("{:?}", once.ledger), format!("{:?}", again.ledger));
    }

    #[test]
    fn a_larger_batch_is_larger_exactly(
        steps in prop::collection::vec(exact_step(), 1..25),
        batch in batch(),
    ) {
        let one = follow(&text_of(&steps, &Exact::one())).ledger;
        // What boils off is a model's figure: the test below has that case.
        let boils = |remark: &Remark| matches!(remark.fact, Fact::Boils { .. });
        prop_assume!(!one.remarks.iter().any(boils));
        let one = extensive(&one);
        let scaled = extensive(&follow(&text_of(&steps, &batch)).ledger);
        prop_assert_eq!(one.len(), scaled.len());
        for ((what, small), (_, large)) in one.iter().zip(&scaled) {
            prop_assert_eq!(&(small.value() * &batch), large.value(), "{}", what);
        }
    }

    /// Densities and solubilities are floating-point models: their last digits may fall otherwise in a larger batch.
    #[test]
    fn a_larger_batch_is_larger_in_every_figure(
        steps in prop::collection::vec(any_step(), 1..25),
        batch in batch(),
    ) {
        let one = summed(&follow(&text_of(&steps, &Exact::one())).ledger);
        let scaled = summed(&follow(&text_of(&steps, &batch)).ledger);
        let times = batch.to_f64();
        let most = one.values().fold(1.0, |most: f64, figure| most.max(figure.abs()));
        for what in one.keys().chain(scaled.keys()) {
            let of = |figures: &BTreeMap<String, f64>| figures.get(what).copied().unwrap_or(0.0);
            let (small, large) = (of(&one), of(&scaled));
            let off = (large - times * small).abs();
            prop_assert!(off <= 1e-8 * times * most, "{}: {} times {} is {}", what, times, small, large);
        }
    }
}
