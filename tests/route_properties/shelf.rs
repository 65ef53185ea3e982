//! Random routes: operations on four vessels with a shelf of bottles and solids. Most make no sense to a chemist (washing
//! an empty flask, reacting what is not there), which is the point.

use aludel::number::Exact;
use proptest::prelude::*;

pub const SHELF: &str = "\
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
pub const BOTTLES: [&str; 10] = [
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
pub const VESSELS: [&str; 4] = ["flask", "beaker", "dish", "jar"];
/// Reactions, and what to charge for them to run.
pub const REACTIONS: [(&str, &[&str]); 17] = [
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
/// What grows with the batch, with its unit.
const MEASURED: [(&str, &str); 4] = [
    ("mass(V)", "g"),
    ("volume(V)", "mL"),
    ("amount(NaCl, V)", "mmol"),
    ("amount(Cu^2+, V)", "mmol"),
];
const MEASURED_KINDS: [(&str, &str); 6] = [
    ("concentration(NaOH, V)", "mmol/L"),
    ("concentration(Na^+, V)", "mmol/L"),
    ("concentration(H^+, V)", "mmol/L"),
    ("fraction(CuSO4, V)", "%"),
    ("temperature(V)", "°C"),
    ("density(V)", "g/L"),
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
pub enum Step {
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
    Measure(&'static str, usize, u32, &'static str),
    /// A concentration in mmol/L, a share in %, a temperature: these stay as they are in a larger batch.
    MeasureKind(&'static str, usize, u32, &'static str),
    Titrate(usize, usize, u32),
    HoldWith(usize, u32, u32),
}

impl Step {
    pub fn text(&self, batch: &Exact) -> String {
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
            Step::Measure(what, id, n, unit) => format!(
                "measure {}: {} {unit}",
                what.replace('V', v(*id)),
                amount(*n)
            ),
            Step::MeasureKind(what, id, n, unit) => {
                format!("measure {}: {n} {unit}", what.replace('V', v(*id)))
            }
            Step::Titrate(id, bottle, n) => format!(
                "titrate {} with {}: OH^- + H^+ -> H2O, found {} mL",
                v(*id),
                BOTTLES[*bottle],
                amount(*n)
            ),
            Step::HoldWith(id, celsius, watts) => {
                format!("hold {} at {celsius} °C with {watts} W", v(*id))
            }
        }
    }
}

/// Mostly the first, so that operations meet something to work on.
pub fn vessel() -> impl Strategy<Value = usize> {
    prop_oneof![5 => Just(0usize), 2 => Just(1), 1 => 2..VESSELS.len()]
}

/// How far a reaction goes, in per cent.
fn degree() -> impl Strategy<Value = u32> {
    prop_oneof![Just(100u32), 1u32..100]
}

/// Two or three vessels, no two the same.
pub fn different<const N: usize>() -> impl Strategy<Value = [usize; N]> {
    (vessel(), Just([0, 1, 2, 3]).prop_shuffle()).prop_map(|(first, others)| {
        let rest = others.into_iter().filter(|id| *id != first);
        let all: Vec<usize> = std::iter::once(first).chain(rest).collect();
        std::array::from_fn(|i| all[i])
    })
}

pub fn amount() -> impl Strategy<Value = u32> {
    1u32..60_000
}

/// Steps whose arithmetic is exact from the text to the books: no density of a mixture, no solubility.
pub fn exact_step() -> impl Strategy<Value = Step> {
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

pub fn any_step() -> impl Strategy<Value = Step> {
    let solid = prop::sample::select(&SOLUBLE[..]);
    let bath = prop::sample::select(&["warm", "cool", "hold"][..]);
    let to = prop::sample::select(&["evaporate", "dilute"][..]);
    let unit = prop::sample::select(&["mL", "g"][..]);
    let measured = prop::sample::select(&MEASURED[..]);
    let kind = prop::sample::select(&MEASURED_KINDS[..]);
    prop_oneof![
        14 => exact_step(),
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
        1 => (measured, vessel(), amount()).prop_map(|((what, unit), v, n)| Step::Measure(what, v, n, unit)),
        1 => (kind, vessel(), 1u32..90).prop_map(|((what, unit), v, n)| Step::MeasureKind(what, v, n, unit)),
        1 => (vessel(), 0..4usize, amount()).prop_map(|(v, b, n)| Step::Titrate(v, b, n)),
        1 => (vessel(), 1u32..95, 1u32..80).prop_map(|(v, t, w)| Step::HoldWith(v, t, w)),
    ]
}

pub fn text_of(steps: &[Step], batch: &Exact) -> String {
    let lines: Vec<String> = steps.iter().map(|step| step.text(batch)).collect();
    format!("{SHELF}{}\n", lines.join("\n"))
}
