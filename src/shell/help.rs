//! `help` and `help WORD` at the prompt.

use std::fmt::Write;

use crate::diagnostic::{Message, near};

const OVERVIEW: &str = "\
\x20 Fe + O2 -> Fe2O3        an equation is balanced
  CuSO4·5H2O              a formula is described
  2 * molar_mass(NaCl)    an expression is evaluated
  charge flask: 5 g NaOH  a statement is carried out, as in a script

  step \"Mix\" {            a block goes on until its } is typed

  help WORD    how a statement is written     save FILE    keep what was typed as a script
  picture      draws what was done so far     undo         takes the last statement back
  Tab          completes names and formulas   Up, Ctrl-R   find earlier lines
  Ctrl-C       drops the line                 Ctrl-D       leaves (so does quit)

statements:
";

/// A statement, what it does, and one of it.
const TOPICS: &[(&str, &str, &str)] = &[
    (
        "accept",
        "takes on a hazard that would be refused",
        "accept hazard \"R057 chlorine, in the hood behind a trap\"",
    ),
    (
        "ambient",
        "sets the temperature and pressure of the room",
        "ambient 22 °C, 100.5 kPa",
    ),
    (
        "bottle",
        "puts a bottle on the shelf, with what its label says",
        "bottle lye: KOH 1.50 mol/L",
    ),
    (
        "charge",
        "puts portions into a vessel",
        "charge flask: 5 g NaOH, 30 mL water",
    ),
    (
        "cool",
        "brings a vessel down to a temperature in a bath",
        "cool flask to 5 °C",
    ),
    (
        "crystallise",
        "lets a salt crystallise; the liquor stays",
        "crystallise flask at 5 °C: KNO3 -> crop",
    ),
    ("decant", "pours off the liquid", "decant flask -> beaker"),
    (
        "dilute",
        "adds water up to a volume",
        "dilute flask to 250 mL",
    ),
    (
        "discard",
        "empties a vessel into the waste jar",
        "discard beaker",
    ),
    ("do", "carries out a procedure", "do rinse(crop)"),
    ("dry", "takes the water off a solid", "dry crop at 40 °C"),
    (
        "evaporate",
        "boils a solution down to a volume",
        "evaporate flask to 50 mL",
    ),
    (
        "expect",
        "says what must hold; the plan fails if it does not",
        "expect peak(flask) < 80 °C",
    ),
    (
        "filter",
        "parts liquid and solid",
        "filter flask -> liquor, cake",
    ),
    (
        "find",
        "works back from a target to a value",
        "find scrap in 0.1 g .. 50 g: mass(crop) = 25 g",
    ),
    (
        "heat",
        "tells enthalpy, entropy, Gibbs energy, K and potential of a reaction",
        "heat CaCO3 -> CaO + CO2 at 1100 K",
    ),
    (
        "hold",
        "keeps a vessel at a temperature",
        "hold flask at 60 °C",
    ),
    (
        "instrument",
        "says how well a balance or glassware measures",
        "instrument balance: ± 0.01 g",
    ),
    (
        "ions",
        "shows an equation in ions, and what drives it",
        "ions HCl + NaOH -> NaCl + H2O",
    ),
    ("let", "names a value", "let scrap = 1.00 g ± 0.01 g"),
    (
        "measure",
        "says what was really measured",
        "measure volume(flask): 48 mL",
    ),
    (
        "note",
        "writes a line on the sheet",
        "note \"stir until clear\"",
    ),
    ("open", "opens a sealed vessel", "open flask"),
    ("picture", "draws what was done so far", "picture"),
    (
        "pour",
        "moves everything into another vessel",
        "pour flask -> beaker",
    ),
    (
        "procedure",
        "names operations that are done more than once",
        "procedure rinse(solid) { wash solid with 10 mL water }",
    ),
    ("quit", "leaves the prompt", "quit"),
    (
        "react",
        "runs a reaction as far as the contents allow",
        "react flask: Fe + HCl -> FeCl2 + H2",
    ),
    (
        "save",
        "keeps what was typed as a script, without the lines that failed",
        "save alum.route",
    ),
    (
        "scale",
        "tabulates an equation for an amount",
        "scale Fe + HCl -> FeCl2 + H2 to 50 g Fe",
    ),
    ("seal", "closes a vessel, so that gas stays", "seal flask"),
    (
        "show",
        "answers questions",
        "show volume(flask), mass(flask)",
    ),
    (
        "solution",
        "tells every strength of a solution, and what to take for one",
        "solution make 500 mL HCl 1 mol/L from HCl 37 %w/w",
    ),
    (
        "step",
        "gathers operations under a title",
        "step \"Filter\" { filter flask -> liquor, cake }",
    ),
    (
        "substance",
        "gives a substance data of your own",
        "substance NaOH(s): dfH -425.9 kJ/mol, source \"label\"",
    ),
    (
        "take",
        "moves a part into another vessel",
        "take 10 mL from flask -> beaker",
    ),
    ("title", "names the route", "title \"Potash alum\""),
    (
        "titrate",
        "runs a bottle into a vessel up to the end point, and takes what the burette found",
        "titrate cone with lye: HCl + NaOH -> NaCl + H2O, found 24.95, 25.01 mL, giving lye",
    ),
    ("undo", "takes the last statement back", "undo"),
    (
        "use",
        "brings the bottles, values and procedures of another file",
        "use \"shelf.route\"",
    ),
    (
        "vary",
        "compares the route with other values",
        "vary scrap: 1 g .. 5 g by 1 g show mass(crop), peak(flask)",
    ),
    ("vent", "lets gas out", "vent flask"),
    (
        "vessel",
        "sets out a vessel, with what it holds at most",
        "vessel flask: 250 mL",
    ),
    ("wait", "lets time pass", "wait 30 min"),
    (
        "warm",
        "brings a vessel up to a temperature in a bath",
        "warm flask to 60 °C",
    ),
    ("wash", "rinses a solid", "wash crop with 10 mL water"),
    (
        "weigh",
        "says what a vessel's contents really weighed",
        "weigh crop: 11.9 g",
    ),
    (
        "working",
        "shows how an equation is balanced",
        "working KMnO4 + HCl -> KCl + MnCl2 + Cl2 + H2O",
    ),
    (
        "yield",
        "reckons the yield of a product",
        "yield crop: KNO3 on KCl",
    ),
];

/// Help on everything, or on one word.
pub(super) fn help(topic: &str) -> Result<String, Message> {
    if topic.is_empty() {
        let mut all = OVERVIEW.to_owned();
        for (word, does, _) in TOPICS {
            let _ = writeln!(all, "  {word:<13}{does}");
        }
        return Ok(all);
    }
    match TOPICS.iter().find(|(word, ..)| *word == topic) {
        Some((word, does, example)) => Ok(page(word, does, example)),
        None => Err(unknown(topic)),
    }
}

fn page(word: &str, does: &str, example: &str) -> String {
    format!("{word} {does}\n  {example}\n")
}

fn unknown(topic: &str) -> Message {
    let message = Message::error("no-help", format!("there is no help on `{topic}`"));
    match near(topic, TOPICS.iter().map(|(word, ..)| *word)) {
        Some(word) => message.hint(format!("did you mean `help {word}`?")),
        None => message.hint("`help` alone lists the words"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::route::parse;
    use crate::text::Source;

    #[test]
    fn every_verb_has_help_whose_example_is_read_without_a_fault() {
        for verb in parse::verbs() {
            let page = help(verb).unwrap();
            let example = page.lines().nth(1).unwrap().trim();
            assert!(example.starts_with(verb), "{page}");
            let (_, faults) = parse::parse(&Source::new("help", example));
            assert_eq!(faults, [], "{example}");
        }
    }
}
