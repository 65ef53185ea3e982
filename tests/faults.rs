//! Every fault is an error of the language: it implements `std::error::Error` and prints one sentence.

#![allow(clippy::disallowed_methods, reason = "the test reads the source")]

use std::collections::BTreeSet;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};

use aludel::data::{OutOfRange, Range, Store};
use aludel::equation::{EquationFaultKind, balance, imbalances, parse_equation, working};
use aludel::matter::{Bracket, FormulaFaultKind, Species};
use aludel::number::root::zero;
use aludel::number::{Dimension, Exact, Mismatch, NotANumber, Number, Quantity};
use aludel::route::check::{CheckFault, InstrumentFault, ReadingFault};
use aludel::route::ledger::NotSampled;
use aludel::route::program::{Demand, RangeFault};
use aludel::route::uses::{Unread, UseFault};
use aludel::route::{self, SyntaxFault};
use aludel::shell::Unreadable;
use aludel::solution::{
    NoCrystals, NoDilution, NotBetween, StrengthFault, density, heat_of_solution, henry, solubility,
};
use aludel::text::{OutlineFault, Source, Span};
use aludel::thermo::{Missing, NoEnergetics, TooFar, standard};
use aludel::vessel::ReagentFault;

/// A fault with the name of its type: whatever is listed here is an error that threads may hand on.
type Named = (&'static str, Box<dyn Error + Send + Sync>);

fn named<E: Error + Send + Sync + 'static>(fault: E) -> Named {
    let path = std::any::type_name::<E>();
    (path.rsplit("::").next().unwrap_or(path), Box::new(fault))
}

fn species(text: &str) -> Species {
    Species::parse(text).unwrap()
}

/// At least one of each type, where it can be had from an input.
fn faults() -> Vec<Named> {
    let kelvin = Number::exact(Exact::from(298));
    let share = Number::exact(Exact::ratio(1, 2));
    let unknown = species("Og2O3");
    let skeleton = parse_equation("CO -> CO2").unwrap();
    let written = parse_equation("2 H2 + 3 O2 -> H2O").unwrap();
    let out_of_range = OutOfRange {
        value: 400.0,
        range: Range::kelvin(273.15, 373.15),
    };
    let span = Span::default();
    let mut all = vec![
        named(Exact::decimal("1.2.3").unwrap_err()),
        named(zero(|x| Some(x * x + 1.0), 0.0, 2.0).unwrap_err()),
        named(Mismatch {
            found: Dimension::MASS,
            expected: Dimension::VOLUME,
        }),
        named(out_of_range),
        named(Species::parse("NACL").unwrap_err()),
        named(FormulaFaultKind::TwoPhases),
        named(Bracket::Crossed),
        named(parse_equation("H2 + O2").unwrap_err()),
        named(EquationFaultKind::UnevenRatio),
        named(balance(&skeleton).unwrap_err()),
        named(imbalances(&written).unwrap().remove(0)),
        named(working(&parse_equation("HCl + NaOH -> NaCl + H2O").unwrap()).unwrap_err()),
        named(standard(&Store::default(), &unknown).unwrap_err()),
        named(Missing {
            property: aludel::data::Property::FormationEnthalpy,
            species: vec![unknown.clone()],
        }),
        named(TooFar::NotAboveZero),
        named(NoEnergetics::NotInEquation(unknown.clone())),
        named(density(&unknown, &share, &kelvin).unwrap_err()),
        named(heat_of_solution(&unknown, &share).unwrap_err()),
        named(solubility(&unknown, &kelvin).unwrap_err()),
        named(NoCrystals::OpenHydrate),
        named(henry(&unknown, &kelvin).unwrap_err()),
        named(NotBetween {
            low: 0.1,
            high: 0.2,
        }),
        named(NoDilution::Stronger {
            present: 0.1,
            wanted: 0.2,
        }),
        named(StrengthFault::NotPeroxide),
        named(ReagentFault::Purity),
        named(RangeFault::Empty(span)),
        named(
            Demand::DEGREE
                .admit(&Quantity::plain(Number::zero()))
                .unwrap_err(),
        ),
        named(InstrumentFault::Slack { span }),
        named(ReadingFault::Added),
        named(NotSampled::NothingAsked),
        named(Unread::Folder),
        named(UseFault::TooMany),
        named(Unreadable::TooLong),
    ];
    all.extend(of_routes());
    all
}

/// Faults of the texts of routes: each line has one.
const WRONG: &str = "\
}
stir flask
vessel flask: 250 mLL
vessel flask
charge flsk: 1 g NaCl
charge flask: 1 g NACL
charge flask: 1 g Na^+
bottle lye: NaOH 3 s
bottle lye: NaOH 120 %w/w
react flask: CO -> CO2
warm flask to 5 g
warm flask to 2 * 20 °C
show weight(flask)
show mass(NaCl)
instrument balance 200 g: ± 0.01 g
use \"nowhere.route\"
accept hazard \"all\"
expect 1 g + 1 mL < 2 g
let = 2
do wash(flask)
";

fn of_routes() -> Vec<Named> {
    let source = Source::new("wrong.route", WRONG);
    let (_, found) = route::prepare(&source, &Store::default(), &[]);
    assert!(found.len() >= 19, "{found:#?}");
    let outline = OutlineFault::StrayBrace {
        brace: Span::default(),
    };
    let mut all = vec![named(outline)];
    for fault in found {
        all.push(match fault.clone() {
            route::Fault::Syntax(fault) => named::<SyntaxFault>(fault),
            route::Fault::Check(fault) => named::<CheckFault>(fault),
        });
        all.push(named(fault));
    }
    all
}

#[test]
fn each_fault_prints_one_sentence() {
    for (name, fault) in faults() {
        let sentence = fault.to_string();
        assert!(sentence.len() > 8, "{name}: `{sentence}`");
        assert!(sentence.contains(' '), "{name}: `{sentence}`");
        assert!(!sentence.contains('\n'), "{name}: `{sentence}`");
        assert!(!sentence.ends_with(['.', ':', ' ']), "{name}: `{sentence}`");
        assert!(
            !sentence.contains(" {"),
            "{name} shows its fields: `{sentence}`"
        );
    }
}

/// A message and the error beneath it do not differ: a wording lives once.
#[test]
fn the_title_of_a_message_is_the_sentence_of_the_fault() {
    let source = Source::new("wrong.route", WRONG);
    let (_, found) = route::prepare(&source, &Store::default(), &[]);
    let mut other = Vec::new();
    for fault in &found {
        let title = aludel::diagnostic::route_fault(fault).title;
        if title != fault.to_string() {
            other.push(title);
        }
    }
    // The message names the file.
    assert_eq!(other, ["`nowhere.route` cannot be read from here"]);
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap();
    let paths = entries.map(|entry| entry.unwrap().path());
    paths
        .flat_map(|path| match path.is_dir() {
            true => files(&path),
            false => vec![path],
        })
        .collect()
}

/// The last argument of every `Result<…>` of a text, without its path and its own arguments.
fn errors_named(text: &str) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    for after in text.split("Result<").skip(1) {
        let mut depth = 1;
        let mut last = None;
        for (at, letter) in after.char_indices() {
            match letter {
                '<' | '(' | '[' => depth += 1,
                '>' | ')' | ']' => depth -= 1,
                ',' if depth == 1 => last = Some(at + 1),
                _ => {}
            }
            if depth == 0 {
                if let Some(start) = last {
                    let error = after[start..at].split('<').next().unwrap_or_default();
                    let name = error.rsplit("::").next().unwrap_or_default().trim();
                    all.insert(name.to_owned());
                }
                break;
            }
        }
    }
    all
}

/// What stands in the place of an error and is none: answers of the two ways, messages that are worded already, and what
/// never leaves its room.
const NO_FAULTS: [&str; 14] = [
    "",
    "_",
    "Box",
    "Discrepancy",
    "Refusal",
    "Short",
    "Fact",
    "Kind",
    "Ledger",
    "Message",
    "NoResult",
    "Rule",
    "Status",
    "Vec",
];

#[test]
fn no_fault_is_forgotten() {
    let listed: BTreeSet<&str> = faults().iter().map(|(name, _)| *name).collect();
    let mut missing = BTreeSet::new();
    let mut seen = 0;
    for file in files(Path::new("src")) {
        let Ok(text) = fs::read_to_string(&file) else {
            continue;
        };
        for name in errors_named(&text) {
            seen += 1;
            let other = name.starts_with('(') || NO_FAULTS.contains(&name.as_str());
            if !other && !listed.contains(name.as_str()) {
                missing.insert(name);
            }
        }
    }
    assert!(seen > 60, "{seen} seen");
    assert!(missing.is_empty(), "not listed in this test: {missing:?}");
}

/// `NotANumber`, `NoRoot` and others are taken by `?` into a boxed error.
#[test]
fn faults_pass_through_the_question_mark() {
    fn amount(text: &str) -> Result<f64, Box<dyn Error>> {
        let value = Exact::decimal(text)?;
        let skeleton = parse_equation("H2 + O2 -> H2O")?;
        balance(&skeleton)?;
        Ok(value.to_f64())
    }
    assert_eq!(amount("1.5").unwrap(), 1.5);
    let fault = amount("1..5").unwrap_err();
    assert_eq!(fault.downcast_ref(), Some(&NotANumber::Malformed));
}
