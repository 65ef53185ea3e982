//! What can be typed after `aludel`.

use std::path::{Path, PathBuf};

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::route::ledger::Samples;

/// Balances reactions exactly, chains them into a preparation and keeps the books.
///
/// Without a command it opens a prompt that reads the same language as a script, or reads statements from a pipe.
#[derive(Debug, Parser)]
#[command(
    name = "aludel",
    version,
    disable_help_subcommand = true,
    max_term_width = 80,
    after_help = "Exit status: 0 all well, 1 the chemistry says no, 2 the input is wrong.\n\
        Example: aludel balance 'Fe + O2 -> Fe2O3'"
)]
pub struct Arguments {
    /// What to do; nothing for the prompt.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Find the smallest whole coefficients of an equation
    #[command(after_help = "Example: aludel balance 'MnO4^- + SO3^2- -> MnO2 + SO4^2- in base'")]
    Balance(Balance),
    /// Reckon enthalpy, entropy, Gibbs energy, equilibrium constant and potential of a reaction
    #[command(
        after_help = "Example: aludel heat 'CaCO3(s) -> CaO(s) + CO2(g)' --at '1100 K'\n\
        A cell away from standard states: aludel heat 'Zn + Cu^2+ -> Zn^2+ + Cu' --activity 'Cu^2+ = 0.01'"
    )]
    Heat(Heat),
    /// Weigh a formula: molar mass and share of each element
    #[command(after_help = "Example: aludel mass 'KAl(SO4)2·12H2O'")]
    Mass(OneFormula),
    /// Show what is known about a substance, with the sources
    #[command(after_help = "Example: aludel substance NaOH")]
    Substance(Substance),
    /// Read a route and tell everything that is wrong with it, without running it
    #[command(after_help = "Example: aludel check scripts/alum.route")]
    Check(Check),
    /// Lay a route out evenly: blanks, indents, columns; words and comments stay
    #[command(after_help = "Example: aludel fmt --write scripts/alum.route")]
    Fmt(Fmt),
    /// Run a route and print its sheet
    #[command(after_help = "Example: aludel run scripts/alum.route --set scrap='2.00 g'")]
    Run(Run),
    /// Tabulate a whole equation for a given amount of one of its species
    #[command(
        after_help = "Example: aludel scale 'Fe + HCl -> FeCl2 + H2' --to '50 g Fe' --bottle 'HCl 37 %w/w'"
    )]
    Scale(Scale),
    /// Tell every strength of a solution, what to take for one, what a mixture is, bottles side by side
    #[command(after_help = "\
        Example: aludel solution HCl 37 %w/w at 25 °C\n\
        aludel solution make 500 mL HCl 1 mol/L from HCl 37 %w/w\n\
        aludel solution make 250 mL H2O2 6 %w/w from H2O2 30 %w/w and H2O2 3 %w/w\n\
        aludel solution dilute 50 mL H2SO4 96 %w/w to 10 %w/w\n\
        aludel solution mix 100 mL NaCl 20 %w/w and 100 mL water\n\
        aludel solution compare HNO3 30 %w/w and HNO3 65 %w/w\n    \
        for 'Ag + HNO3 -> AgNO3 + NO + H2O' to 5 g Ag in 20 mL water")]
    Solution(Solution),
    /// Balance one equation a line and write one JSON object a line
    #[command(after_help = "Example: aludel batch equations.txt > answers.jsonl")]
    Batch(Batch),
}

/// An equation on the command line.
#[derive(Args, Debug)]
pub struct Equation {
    /// The equation, or `-` to read it from standard input; a medium or a ratio may follow it
    #[arg(value_name = "EQ")]
    pub equation: String,
}

/// `aludel balance`
#[derive(Args, Debug)]
pub struct Balance {
    #[command(flatten)]
    #[allow(missing_docs)] // documented at its type
    pub equation: Equation,
    /// Print one JSON object
    #[arg(long)]
    pub json: bool,
    /// Show how the answer is found
    #[arg(long, conflicts_with = "json")]
    pub working: bool,
    /// Show the ionic equations, what looks on and what drives the reaction; part of `--working`
    #[arg(long, conflicts_with = "json")]
    pub ions: bool,
    /// Print plain ASCII: no subscripts, no arrow character
    #[arg(long, conflicts_with = "json")]
    pub ascii: bool,
}

/// `aludel heat`
#[derive(Args, Debug)]
pub struct Heat {
    #[command(flatten)]
    #[allow(missing_docs)] // documented at its type
    pub equation: Equation,
    /// At this temperature, such as '500 K'; 25 °C if left out
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    pub at: Option<String>,
    /// The activity of one species, such as 'Cu^2+ = 0.01'; one if left out; may be repeated
    #[arg(long, value_name = "SPECIES = NUMBER")]
    pub activity: Vec<String>,
    #[command(flatten)]
    #[allow(missing_docs)] // documented at its type
    pub own: OwnData,
    /// Print uncertainties in the concise form, 1.234(56)
    #[arg(long, conflicts_with = "json")]
    pub concise: bool,
    /// Print one JSON object
    #[arg(long)]
    pub json: bool,
}

/// Data of one's own.
#[derive(Args, Debug)]
pub struct OwnData {
    /// A file of `substance` statements, which add to the tables and override them
    #[arg(long, value_name = "FILE")]
    pub data: Option<PathBuf>,
}

/// `aludel substance`
#[derive(Args, Debug)]
pub struct Substance {
    /// A formula, a name or a CAS number, or `-` to read it from standard input
    #[arg(value_name = "SUBSTANCE")]
    pub what: String,
    #[command(flatten)]
    #[allow(missing_docs)] // documented at its type
    pub own: OwnData,
}

/// `aludel mass`
#[derive(Args, Debug)]
pub struct OneFormula {
    /// The formula, or `-` to read it from standard input
    #[arg(value_name = "FORMULA")]
    pub formula: String,
}

/// `aludel check`
#[derive(Args, Debug)]
pub struct Check {
    /// The route, or `-` for standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    #[command(flatten)]
    #[allow(missing_docs)] // documented at its type
    pub own: OwnData,
}

/// `aludel fmt`
#[derive(Args, Debug)]
pub struct Fmt {
    /// The route, or `-` for standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Change the file instead of printing it
    #[arg(long, conflicts_with = "check")]
    pub write: bool,
    /// Print nothing; exit with 1 if the file is not laid out so
    #[arg(long)]
    pub check: bool,
}

/// `aludel run`
#[derive(Args, Debug)]
pub struct Run {
    /// The route, or `-` for standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// Give a `let` of the route another value; may be repeated
    #[arg(long, value_name = "NAME=VALUE")]
    pub set: Vec<String>,
    /// How to write the sheet
    #[arg(long, value_name = "FORMAT", default_value = "text")]
    pub format: Format,
    /// Tell after the sheet how its figures came about: all, or those that mention TEXT
    #[arg(long, value_name = "TEXT", num_args = 0..=1, require_equals = true, default_missing_value = "")]
    pub explain: Option<String>,
    /// Run the route N times more, each with its uncertain inputs drawn at random, to check the uncertainties
    #[arg(long, value_name = "N")]
    pub samples: Option<u64>,
    /// Where the random numbers of `--samples` begin: the same seed gives the same sheet
    #[arg(long, value_name = "S", requires = "samples", default_value_t = Samples::SEED)]
    pub seed: u64,
    /// Print a text sheet in plain ASCII: `degC`, `+/-`, no subscripts
    #[arg(long)]
    pub ascii: bool,
    /// Write the sheet to this file instead of printing it; `-` prints it
    #[arg(long, short, value_name = "FILE")]
    pub output: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)] // documented at its type
    pub own: OwnData,
}

impl Run {
    /// The file of `--output`; none where the sheet is printed, as `-` says, too.
    pub(super) fn file_for_sheet(&self) -> Option<&Path> {
        let file = self.output.as_deref();
        file.filter(|file| *file != Path::new("-"))
    }
}

/// How a sheet is written.
#[derive(Clone, Copy, Debug, Eq, PartialEq, ValueEnum)]
pub enum Format {
    /// For a terminal or a printer
    Text,
    /// For programs
    Json,
    /// For notes and repositories
    Markdown,
    /// For a browser, a phone at the bench or paper; one file that needs nothing else
    Html,
    /// The pictures alone
    Svg,
    /// Every figure in a row of one table, for a spreadsheet
    Csv,
}

/// `aludel scale`
#[derive(Args, Debug)]
pub struct Scale {
    #[command(flatten)]
    #[allow(missing_docs)] // documented at its type
    pub equation: Equation,
    /// How much of which species, such as '50 g Fe'
    #[arg(long, value_name = "AMOUNT")]
    pub to: String,
    /// A bottle on the shelf, such as 'HCl 37 %w/w'; may be repeated
    #[arg(long, value_name = "LABEL")]
    pub bottle: Vec<String>,
    /// Print one JSON object
    #[arg(long)]
    pub json: bool,
    /// Print plain ASCII: no subscripts, no arrow character
    #[arg(long, conflicts_with = "json")]
    pub ascii: bool,
    #[command(flatten)]
    #[allow(missing_docs)] // documented at its type
    pub own: OwnData,
}

/// `aludel solution`
#[derive(Args, Debug)]
pub struct Solution {
    /// The question, as after the word `solution` in a script
    #[arg(value_name = "QUESTION", required = true, num_args = 1.., allow_hyphen_values = true)]
    pub words: Vec<String>,
    #[command(flatten)]
    #[allow(missing_docs)] // documented at its type
    pub own: OwnData,
}

/// `aludel batch`
#[derive(Args, Debug)]
pub struct Batch {
    /// One equation a line; standard input if left out
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,
}
