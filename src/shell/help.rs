//! `help` and `help WORD` at the prompt.

use std::fmt::Write;

use crate::diagnostic::{Message, near};
use crate::route::parse::VERBS;

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

/// What is of the prompt alone: a word, what it does, and one of it.
const PROMPT_WORDS: &[(&str, &str, &str)] = &[
    (
        "ions",
        "shows an equation in ions, and what drives it",
        "ions HCl + NaOH -> NaCl + H2O",
    ),
    ("picture", "draws what was done so far", "picture"),
    ("quit", "leaves the prompt", "quit"),
    (
        "save",
        "keeps what was typed as a script, without the lines that failed",
        "save alum.route",
    ),
    ("undo", "takes the last statement back", "undo"),
    (
        "working",
        "shows how an equation is balanced",
        "working KMnO4 + HCl -> KCl + MnCl2 + Cl2 + H2O",
    ),
];

/// Every word with what it does and one of it, in the order of the alphabet.
fn topics() -> Vec<(&'static str, &'static str, &'static str)> {
    let statements = VERBS
        .iter()
        .map(|verb| (verb.word, verb.does, verb.example));
    let mut all: Vec<_> = statements.chain(PROMPT_WORDS.iter().copied()).collect();
    all.sort_unstable();
    all
}

/// Help on everything, or on one word.
pub(super) fn help(topic: &str) -> Result<String, Message> {
    if topic.is_empty() {
        let mut all = OVERVIEW.to_owned();
        for (word, does, _) in topics() {
            let _ = writeln!(all, "  {word:<13}{does}");
        }
        return Ok(all);
    }
    match topics().into_iter().find(|(word, ..)| *word == topic) {
        Some((word, does, example)) => Ok(page(word, does, example)),
        None => Err(unknown(topic)),
    }
}

fn page(word: &str, does: &str, example: &str) -> String {
    format!("{word} {does}\n  {example}\n")
}

fn unknown(topic: &str) -> Message {
    let message = Message::error("no-help", format!("there is no help on `{topic}`"));
    match near(topic, topics().into_iter().map(|(word, ..)| word)) {
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
