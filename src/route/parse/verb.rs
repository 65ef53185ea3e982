//! The verbs of the language: one row a statement.

use crate::text::grammar::Rule;

/// A statement of the language.
#[derive(Clone, Copy, Debug)]
pub struct Verb {
    /// The word that it begins with.
    pub word: &'static str,
    /// Its grammar.
    pub(super) rule: Rule,
    /// How it is written.
    pub usage: &'static str,
    /// What it does.
    pub does: &'static str,
    /// One of it.
    pub example: &'static str,
}

/// Words that are kept for statements to come.
pub const RESERVED: [&str; 1] = ["settle"];

/// Every verb, by its word.
pub static VERBS: &[Verb] = &[
    Verb {
        word: "accept",
        rule: Rule::accept_statement,
        usage: "accept hazard \"KEY and words of your own\"",
        does: "takes on a hazard that would be refused",
        example: "accept hazard \"R057 chlorine, in the hood behind a trap\"",
    },
    Verb {
        word: "ambient",
        rule: Rule::ambient_statement,
        usage: "ambient 20 °C, 101.325 kPa",
        does: "sets the temperature and pressure of the room",
        example: "ambient 22 °C, 100.5 kPa",
    },
    Verb {
        word: "boil",
        rule: Rule::boil_statement,
        usage: "boil VESSEL for TIME",
        does: "keeps an open vessel at its boiling point for a time",
        example: "boil flask for 10 min",
    },
    Verb {
        word: "bottle",
        rule: Rule::bottle_statement,
        usage: "bottle NAME: FORMULA STRENGTH, density Q",
        does: "puts a bottle on the shelf, with what its label says",
        example: "bottle lye: KOH 1.50 mol/L",
    },
    Verb {
        word: "charge",
        rule: Rule::charge_statement,
        usage: "charge VESSEL: Q X, Q X   or   charge VESSEL: enough X for EQUATION, P % excess",
        does: "puts portions into a vessel",
        example: "charge flask: 5 g NaOH, 30 mL water",
    },
    Verb {
        word: "cool",
        rule: Rule::cool_statement,
        usage: "cool VESSEL to T",
        does: "brings a vessel down to a temperature in a bath",
        example: "cool flask to 5 °C",
    },
    Verb {
        word: "crystallise",
        rule: Rule::crystallise_statement,
        usage: "crystallise VESSEL at T: FORMULA -> VESSEL",
        does: "lets a salt crystallise; the liquor stays",
        example: "crystallise flask at 5 °C: KNO3 -> crop",
    },
    Verb {
        word: "decant",
        rule: Rule::decant_statement,
        usage: "decant VESSEL -> VESSEL",
        does: "pours off the liquid",
        example: "decant flask -> beaker",
    },
    Verb {
        word: "dilute",
        rule: Rule::dilute_statement,
        usage: "dilute VESSEL to Q",
        does: "adds water up to a volume",
        example: "dilute flask to 250 mL",
    },
    Verb {
        word: "discard",
        rule: Rule::discard_statement,
        usage: "discard VESSEL",
        does: "empties a vessel into the waste jar",
        example: "discard beaker",
    },
    Verb {
        word: "do",
        rule: Rule::do_statement,
        usage: "do NAME(VESSEL, BOTTLE, VALUE)",
        does: "carries out a procedure",
        example: "do rinse(crop)",
    },
    Verb {
        word: "dry",
        rule: Rule::dry_statement,
        usage: "dry VESSEL at T",
        does: "takes the water off a solid",
        example: "dry crop at 40 °C",
    },
    Verb {
        word: "evaporate",
        rule: Rule::evaporate_statement,
        usage: "evaporate VESSEL to Q",
        does: "boils a solution down to a volume",
        example: "evaporate flask to 50 mL",
    },
    Verb {
        word: "expect",
        rule: Rule::expect_statement,
        usage: "expect EXPR < EXPR",
        does: "says what must hold; the plan fails if it does not",
        example: "expect peak(flask) < 80 °C",
    },
    Verb {
        word: "filter",
        rule: Rule::filter_statement,
        usage: "filter VESSEL -> FILTRATE, CAKE, retaining Q",
        does: "parts liquid and solid",
        example: "filter flask -> liquor, cake",
    },
    Verb {
        word: "find",
        rule: Rule::find_statement,
        usage: "find NAME in LOW .. HIGH: EXPR = EXPR",
        does: "works back from a target to a value",
        example: "find scrap in 0.1 g .. 50 g: mass(crop) = 25 g",
    },
    Verb {
        word: "heat",
        rule: Rule::heat_statement,
        usage: "heat EQUATION at T, activity X = N; a vessel is heated by: warm VESSEL to T",
        does: "tells enthalpy, entropy, Gibbs energy, K and potential of a reaction",
        example: "heat CaCO3 -> CaO + CO2 at 1100 K",
    },
    Verb {
        word: "hold",
        rule: Rule::hold_statement,
        usage: "hold VESSEL at T [with POWER]",
        does: "keeps a vessel at a temperature",
        example: "hold flask at 60 °C",
    },
    Verb {
        word: "instrument",
        rule: Rule::instrument_statement,
        usage: "instrument balance: ± Q   or   instrument pipette Q: ± Q",
        does: "says how well a balance or glassware measures",
        example: "instrument balance: ± 0.01 g",
    },
    Verb {
        word: "let",
        rule: Rule::let_statement,
        usage: "let NAME = EXPR",
        does: "names a value",
        example: "let scrap = 1.00 g ± 0.01 g",
    },
    Verb {
        word: "measure",
        rule: Rule::measure_statement,
        usage: "measure temperature(VESSEL): Q",
        does: "says what was really measured",
        example: "measure volume(flask): 48 mL",
    },
    Verb {
        word: "note",
        rule: Rule::note_statement,
        usage: "note \"…\"",
        does: "writes a line on the sheet",
        example: "note \"stir until clear\"",
    },
    Verb {
        word: "open",
        rule: Rule::open_statement,
        usage: "open VESSEL",
        does: "opens a sealed vessel",
        example: "open flask",
    },
    Verb {
        word: "pour",
        rule: Rule::pour_statement,
        usage: "pour VESSEL -> VESSEL",
        does: "moves everything into another vessel",
        example: "pour flask -> beaker",
    },
    Verb {
        word: "procedure",
        rule: Rule::procedure_statement,
        usage: "procedure NAME(VESSEL, BOTTLE, VALUE) { … }",
        does: "names operations that are done more than once",
        example: "procedure rinse(solid) { wash solid with 10 mL water }",
    },
    Verb {
        word: "react",
        rule: Rule::react_statement,
        usage: "react VESSEL: EQUATION, to P %, limited by X",
        does: "runs a reaction as far as the contents allow",
        example: "react flask: Fe + HCl -> FeCl2 + H2",
    },
    Verb {
        word: "scale",
        rule: Rule::scale_statement,
        usage: "scale EQUATION to Q X",
        does: "tabulates an equation for an amount",
        example: "scale Fe + HCl -> FeCl2 + H2 to 50 g Fe",
    },
    Verb {
        word: "seal",
        rule: Rule::seal_statement,
        usage: "seal VESSEL",
        does: "closes a vessel, so that gas stays",
        example: "seal flask",
    },
    Verb {
        word: "show",
        rule: Rule::show_statement,
        usage: "show EXPR, EXPR",
        does: "answers questions",
        example: "show volume(flask), mass(flask)",
    },
    Verb {
        word: "solution",
        rule: Rule::solution_statement,
        usage: "solution HCl 37 %w/w; solution make Q X STRENGTH from X STRENGTH and X STRENGTH; \
             solution dilute Q X STRENGTH to STRENGTH; solution mix Q X STRENGTH and Q water; \
             solution compare X STRENGTH and X STRENGTH for EQUATION to Q X",
        does: "tells every strength of a solution, and what to take for one",
        example: "solution make 500 mL HCl 1 mol/L from HCl 37 %w/w",
    },
    Verb {
        word: "step",
        rule: Rule::step_statement,
        usage: "step \"…\" { … }",
        does: "gathers operations under a title",
        example: "step \"Filter\" { filter flask -> liquor, cake }",
    },
    Verb {
        word: "substance",
        rule: Rule::substance_statement,
        usage: "substance FORMULA(phase): dfH …, S …, source \"…\"",
        does: "gives a substance data of your own",
        example: "substance NaOH(s): dfH -425.9 kJ/mol, source \"label\"",
    },
    Verb {
        word: "take",
        rule: Rule::take_statement,
        usage: "take Q by pipette from VESSEL -> VESSEL",
        does: "moves a part into another vessel",
        example: "take 10 mL from flask -> beaker",
    },
    Verb {
        word: "title",
        rule: Rule::title_statement,
        usage: "title \"…\"",
        does: "names the route",
        example: "title \"Potash alum\"",
    },
    Verb {
        word: "titrate",
        rule: Rule::titrate_statement,
        usage: "titrate VESSEL with BOTTLE: EQUATION, found Q, Q, blank Q, burette Q, giving BOTTLE, indicator \"…\"",
        does: "runs a bottle into a vessel up to the end point, and takes what the burette found",
        example: "titrate cone with lye: HCl + NaOH -> NaCl + H2O, found 24.95, 25.01 mL, giving lye",
    },
    Verb {
        word: "use",
        rule: Rule::use_statement,
        usage: "use \"FILE.route\"",
        does: "brings the bottles, values and procedures of another file",
        example: "use \"shelf.route\"",
    },
    Verb {
        word: "vary",
        rule: Rule::vary_statement,
        usage: "vary NAME: EXPR, EXPR show EXPR, EXPR   or   vary NAME: LOW .. HIGH by STEP show EXPR",
        does: "compares the route with other values",
        example: "vary scrap: 1 g .. 5 g by 1 g show mass(crop), peak(flask)",
    },
    Verb {
        word: "vent",
        rule: Rule::vent_statement,
        usage: "vent VESSEL",
        does: "lets gas out",
        example: "vent flask",
    },
    Verb {
        word: "vessel",
        rule: Rule::vessel_statement,
        usage: "vessel NAME: CAPACITY",
        does: "sets out a vessel, with what it holds at most",
        example: "vessel flask: 250 mL",
    },
    Verb {
        word: "wait",
        rule: Rule::wait_statement,
        usage: "wait TIME",
        does: "lets time pass",
        example: "wait 30 min",
    },
    Verb {
        word: "warm",
        rule: Rule::warm_statement,
        usage: "warm VESSEL to T",
        does: "brings a vessel up to a temperature in a bath",
        example: "warm flask to 60 °C",
    },
    Verb {
        word: "wash",
        rule: Rule::wash_statement,
        usage: "wash VESSEL with Q X -> VESSEL",
        does: "rinses a solid",
        example: "wash crop with 10 mL water",
    },
    Verb {
        word: "weigh",
        rule: Rule::weigh_statement,
        usage: "weigh VESSEL: Q",
        does: "says what a vessel's contents really weighed",
        example: "weigh crop: 11.9 g",
    },
    Verb {
        word: "yield",
        rule: Rule::yield_statement,
        usage: "yield VESSEL: FORMULA on BASIS",
        does: "reckons the yield of a product",
        example: "yield crop: KNO3 on KCl",
    },
];

impl Verb {
    /// The verb that a word is.
    pub fn of(word: &str) -> Option<&'static Verb> {
        VERBS.iter().find(|verb| verb.word == word)
    }
}

/// Every verb, for completion and suggestions.
pub fn verbs() -> impl Iterator<Item = &'static str> {
    VERBS.iter().map(|verb| verb.word)
}
