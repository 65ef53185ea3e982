//! What is wrong with the text of a route, in words.

use super::{
    Message, equation_fault, formula_fault, near, outline_fault, planning, procedure, quantity,
    several_balances, unbalanced, unread::unusable,
};
use crate::data;
use crate::matter::Notation;
use crate::number::unit;
use crate::route::Fault;
use crate::route::check::{CheckFault, FUNCTIONS, NameKind};
use crate::route::parse::{SyntaxFault, Verb, verbs};
use crate::solution::StrengthFault;
use crate::text::Span;
use crate::vessel::ReagentFault;

/// The message of a fault found before anything ran.
pub fn route_fault(fault: &Fault) -> Message {
    match fault {
        Fault::Syntax(fault) => syntax_fault(fault),
        Fault::Check(fault) => check_fault(fault),
    }
}

fn syntax_fault(fault: &SyntaxFault) -> Message {
    let message = |kind| Message::error(kind, fault.to_string());
    match fault {
        SyntaxFault::Outline(fault) => outline_fault(fault),
        SyntaxFault::Formula(fault) => formula_fault(fault),
        SyntaxFault::Equation(fault) => equation_fault(fault),
        SyntaxFault::UnknownVerb { word } if word.node.is_empty() => message("not-a-statement")
            .at(word.span, "no verb here")
            .hint("write what to do first: charge, react, warm, filter, …"),
        SyntaxFault::UnknownVerb { word } => {
            let message = message("unknown-verb").at(word.span, "");
            match near(&word.node, verbs()).or_else(|| other_word(&word.node)) {
                Some(meant) => message.hint(format!("did you mean `{meant}`?")),
                None => message.hint("`help` at the prompt lists the statements"),
            }
        }
        SyntaxFault::NotYet { word } => message("not-yet")
            .at(word.span, "reserved")
            .hint("leave this statement out for now"),
        SyntaxFault::Unusable { path, why } => unusable(path, why),
        SyntaxFault::StrayBlock { header } => message("stray-block")
            .at(*header, "this is neither")
            .hint("take the braces away, or write `step \"…\" {` before them"),
        SyntaxFault::MissingBlock { header } => message("missing-block")
            .at(*header, "nothing follows")
            .hint("write its statements between `{` and `}`"),
        SyntaxFault::TooDeep { span } => message("too-deep")
            .at(*span, "this one goes too far")
            .hint("use `let` for the inner parts"),
        SyntaxFault::TooLong { span } => message("too-long")
            .at(*span, "")
            .hint("at most 64 KiB, and 200 operands in an expression: use `let` for parts of it"),
        SyntaxFault::BeyondReach { span } => message("bad-number")
            .at(*span, "")
            .hint("write a number between 1e-100 and 1e100, or 0"),
        SyntaxFault::CoverageFactor { span } => message("bad-number")
            .at(*span, "")
            .hint("write one between 0.1 and 100, such as 2 for 95 %"),
        SyntaxFault::BadNumber { span } => message("bad-number")
            .at(*span, "")
            .hint("at most 400 digits"),
        SyntaxFault::SplitUnit { span, unit } => message("unexpected")
            .at(*span, "found this")
            .hint(format!("write `{unit}`")),
        SyntaxFault::Unexpected {
            span,
            verb,
            expected,
        } => unexpected(
            message("unexpected").at(*span, "found this"),
            verb,
            expected,
        ),
    }
}

/// What the bench also says for a statement.
fn other_word(word: &str) -> Option<&'static str> {
    Some(match word.to_lowercase().as_str() {
        "add" | "fill" | "put" | "drop" | "mix" | "combine" | "dissolve" => "charge",
        "concentrate" | "reduce" => "evaporate",
        "chill" | "ice" => "cool",
        "empty" | "throw" | "dispose" => "discard",
        "move" | "transfer" => "pour",
        "rinse" => "wash",
        "sample" | "withdraw" | "aliquot" => "take",
        "print" | "tell" | "ask" => "show",
        "check" | "assert" | "require" => "expect",
        "include" | "import" => "use",
        "rest" | "sleep" => "wait",
        "set" | "value" => "let",
        "beaker" | "flask" => "vessel",
        "reagent" => "bottle",
        "recrystallise" | "recrystallize" | "crystallize" => "crystallise",
        _ => return None,
    })
}

fn unexpected(mut message: Message, verb: &str, expected: &[String]) -> Message {
    if expected.iter().any(|what| what == "a name") {
        message = message.hint("a name begins with a small letter, as in `flask`");
    }
    match Verb::of(verb) {
        Some(Verb { usage, .. }) => message.hint(format!("it is written: {usage}")),
        None => message,
    }
}

fn check_fault(fault: &CheckFault) -> Message {
    let message = |kind| Message::error(kind, fault.to_string());
    match fault {
        CheckFault::UnknownName {
            name,
            wanted,
            near,
            later,
        } => {
            let message = message("unknown-name").at(name.span, "");
            match (near, later) {
                (Some(near), _) => message.hint(format!("did you mean `{near}`?")),
                (None, Some(later)) => message
                    .at(*later, "it is made only here")
                    .hint("move one of the two"),
                (None, None) => message.hint(declare(*wanted, &name.node)),
            }
        }
        CheckFault::WrongKind { name, is, wanted } => message("wrong-kind")
            .at(name.span, "")
            .hint(instead(*is, *wanted)),
        CheckFault::Redefined { name, first } => message("redefined")
            .at(name.span, "second time")
            .at(*first, "first time")
            .hint("give one of them another name"),
        CheckFault::UnknownUnit { unit, near } => {
            quantity::unknown_unit(message("unknown-unit"), unit, *near)
        }
        CheckFault::WrongDimension {
            span,
            found,
            expected,
        } => quantity::wrong_dimension(message("wrong-dimension").at(*span, ""), *found, expected),
        CheckFault::MixedDimensions { span, left, right } => {
            quantity::mixed_dimensions(message("mixed-dimensions").at(*span, ""), *left, *right)
        }
        CheckFault::Reading { span, fault } => quantity::reading(*fault).at(*span, ""),
        CheckFault::BadPower { span } => message("bad-power")
            .at(*span, "")
            .hint("write a small whole number without a unit behind `^`"),
        CheckFault::UnknownFunction { function, near } => {
            let message = message("unknown-function").at(function.span, "");
            match near {
                Some(near) => message.hint(format!("did you mean `{near}`?")),
                None => {
                    let names: Vec<String> = FUNCTIONS
                        .iter()
                        .map(|(name, _)| (*name).to_owned())
                        .collect();
                    message.hint(format!("there are {}", super::all_of(&names)))
                }
            }
        }
        CheckFault::Instrument(fault) => super::instrument::fault(*fault),
        CheckFault::FunctionNotYet { function } => message("not-yet")
            .at(function.span, "reserved")
            .hint("ask for the amounts that decide it, as in concentration(H^+, flask)"),
        CheckFault::WrongArguments {
            span,
            function,
            usage,
        } => {
            let message = message("wrong-arguments").at(*span, "");
            if function.is_empty() {
                message.hint("as in amount(NaCl, flask)")
            } else {
                message.hint(format!("it is written {usage}"))
            }
        }
        CheckFault::CannotBalance { skeleton, why } => unbalanced(why, skeleton),
        CheckFault::ManyBalances {
            skeleton,
            freedom,
            balances,
        } => {
            let mut message = several_balances(*freedom, balances, skeleton);
            message.severity = super::Severity::Error;
            for reaction in balances.iter().take(4) {
                message = message.hint(format!("one is {}", reaction.to_text(Notation::Printed)));
            }
            message
        }
        CheckFault::OfBottle { bottle, fault } => {
            let message = check_fault(fault);
            let title = format!("in the bottle `{bottle}`: {}", message.title);
            Message { title, ..message }
        }
        CheckFault::Reagent { span, fault } => stuff_fault(fault, *span),
        CheckFault::BadDatum { span } => message("bad-datum")
            .at(*span, "")
            .hint("dfH and dfG in kJ/mol, S and Cp in J/(mol·K)"),
        CheckFault::Misplaced { span, .. } => message("misplaced")
            .at(*span, "")
            .hint("move it to the route itself"),
        CheckFault::Recursion { cycle } => procedure::recursion(message("recursion"), cycle),
        CheckFault::Arity {
            call, parameters, ..
        } => procedure::arity(message("wrong-arguments"), call, parameters),
        CheckFault::TooDeep { span } => message("too-deep")
            .at(*span, "")
            .hint("call fewer inside each other: at most 32"),
        CheckFault::TooManyStatements { span, .. } => message("too-large")
            .at(*span, "this one goes too far")
            .hint("call fewer, or put parts of the route into files of their own"),
        CheckFault::Inside { calls, fault } => procedure::inside(check_fault(fault), calls),
        CheckFault::UnknownHazard { text } => message("unknown-hazard")
            .at(text.span, "names no row of the table")
            .hint(
                "the message that refuses a meeting says what to write: `accept hazard \"R057 …\"`",
            ),
        CheckFault::ForbiddenHazard { text, rule } => message("forbidden-hazard")
            .at(text.span, "")
            .hint(rule.action()),
        CheckFault::NoResult { span } => message("division-by-zero")
            .at(*span, "")
            .hint("see what the part behind the `/` comes to, with `show`"),
        CheckFault::NotStated { span } => planning::not_stated(*span),
        CheckFault::OutOfRange { span, fault, .. } => {
            super::range::out_of_range(message, fault).at(*span, "")
        }
        CheckFault::AbsurdUncertainty { span } => {
            super::range::absurd_uncertainty(message).at(*span, "")
        }
        CheckFault::Range(fault) => planning::no_range(*fault),
        CheckFault::Unmatched { span, .. } => message("unmatched-conditions")
            .at(*span, "")
            .hint("join conditions with `and`, unknowns with `,`"),
        CheckFault::SoughtTwice { name, first } => message("sought-twice")
            .at(name.span, "")
            .at(*first, "here")
            .hint("look for another value here, or for several in one `find`"),
        CheckFault::SetSought { find, .. } => message("set-and-sought")
            .at(*find, "here")
            .hint("leave the setting out, or the `find`"),
        CheckFault::UnknownSetting { near, .. } => {
            let message = message("unknown-setting");
            match near {
                Some(near) => message.hint(format!("did you mean `{near}`?")),
                None => message.hint("only values declared with `let` can be set"),
            }
        }
        CheckFault::SettingDimension { expected, .. } => {
            message("wrong-dimension").hint(format!("give {expected}"))
        }
    }
}

fn stuff_fault(fault: &ReagentFault, span: Span) -> Message {
    let message = |kind| Message::error(kind, fault.to_string()).at(span, "");
    match fault {
        ReagentFault::NotAStrength { .. } => message("not-a-strength")
            .hint("mol/L, mol/kg, %w/w, %w/v, %v/v or g/L; for a solid `(s)` its purity in %"),
        ReagentFault::Strength(fault) => strength_fault(fault).at(span, ""),
        ReagentFault::NoDensity { .. } => message("no-density")
            .hint("give a mass or an amount, or declare a bottle with its density"),
        ReagentFault::Charged { .. } => Message::error("lone-ion", fault.to_string())
            .at(span, "an ion")
            .hint("name the salt, acid or base that brings it"),
        ReagentFault::Purity => {
            message("purity").hint("write the share by mass that the label states, such as 98 %")
        }
    }
}

fn strength_fault(fault: &StrengthFault) -> Message {
    let message = |kind| Message::error(kind, fault.to_string());
    match fault {
        StrengthFault::Negative => {
            message("strength").hint("write the strength as the label states it, without a sign")
        }
        StrengthFault::NotPeroxide => message("strength").hint("write mol/L, %w/w or g/L"),
        StrengthFault::AboveWhole { .. } => {
            message("strength").hint("check number and unit: %w/w goes up to 100")
        }
        StrengthFault::AboveSaturation { .. } => {
            message("strength").hint("write a weaker solution, or the solid `(s)` with its purity")
        }
        StrengthFault::NeedsDensity(_) => message("no-density")
            .hint("add it: `, density 1.25 g/mL`, or give the strength in %w/w and weigh it"),
        StrengthFault::NeedsPureDensity(_) => {
            message("no-density").hint("give the strength in %w/w")
        }
    }
}

/// What to write where a name of another kind stands.
fn instead(is: NameKind, wanted: NameKind) -> String {
    let name = match wanted {
        NameKind::Value => "a number with its unit, or the name of a `let`",
        NameKind::Bottle => "the name of a `bottle`, or a formula",
        NameKind::Vessel => "the name of a `vessel`",
        NameKind::Procedure => "the name of a `procedure`",
        NameKind::Formula => "a formula",
    };
    match (is, wanted) {
        (NameKind::Vessel, NameKind::Value) => {
            format!("write {name}, or a figure of the vessel, such as mass(flask)")
        }
        (NameKind::Vessel, NameKind::Bottle) => {
            format!("write {name}; what is in a vessel is moved with `pour` or `take`")
        }
        _ => format!("write {name}"),
    }
}

fn declare(kind: NameKind, name: &str) -> String {
    match kind {
        NameKind::Value if unit::find(name).is_some() => {
            format!("if the unit is meant, write it without blanks, as in g/{name}")
        }
        NameKind::Value => format!("declare it before: let {name} = 1.00 g"),
        NameKind::Bottle => declare_bottle(name),
        NameKind::Vessel => format!("declare it before: vessel {name}: 250 mL"),
        NameKind::Procedure => format!("write it before: procedure {name}(flask) {{ … }}"),
        NameKind::Formula => "write a formula".to_owned(),
    }
}

/// A substance may have been called by its name.
fn declare_bottle(name: &str) -> String {
    match data::formulas_named(&name.replace('_', " ")).as_slice() {
        [formula] => format!(
            "{name} is {formula}: write the formula, or declare it before: bottle {name}: {formula} 10 %w/w"
        ),
        _ => format!("declare it before, by its label: bottle {name}: HCl 37 %w/w"),
    }
}
