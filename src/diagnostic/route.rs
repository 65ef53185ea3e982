//! What is wrong with the text of a route, in words.

use super::{
    Message, any_of, equation_fault, formula_fault, near, outline_fault, planning, procedure,
    quantity, several_balances, unbalanced, unread::unusable,
};
use crate::data;
use crate::matter::Notation;
use crate::number::unit;
use crate::route::check::{CheckFault, FUNCTIONS, NameKind};
use crate::route::parse::{SyntaxFault, verbs};
use crate::route::{Fault, StuffFault};
use crate::solution::StrengthFault;
use crate::text::Span;

/// The message of a fault found before anything ran.
pub fn route_fault(fault: &Fault) -> Message {
    match fault {
        Fault::Syntax(fault) => syntax_fault(fault),
        Fault::Check(fault) => check_fault(fault),
    }
}

fn syntax_fault(fault: &SyntaxFault) -> Message {
    match fault {
        SyntaxFault::Outline(fault) => outline_fault(fault),
        SyntaxFault::Formula(fault) => formula_fault(fault),
        SyntaxFault::Equation(fault) => equation_fault(fault),
        SyntaxFault::UnknownVerb { word } if word.node.is_empty() => {
            Message::error("not-a-statement", "a statement begins with a verb")
                .at(word.span, "no verb here")
                .hint("write what to do first: charge, react, warm, filter, …")
        }
        SyntaxFault::UnknownVerb { word } => {
            let message = Message::error(
                "unknown-verb",
                format!("there is no statement `{}`", word.node),
            )
            .at(word.span, "");
            match near(&word.node, verbs()).or_else(|| other_word(&word.node)) {
                Some(meant) => message.hint(format!("did you mean `{meant}`?")),
                None => message.hint("`help` at the prompt lists the statements"),
            }
        }
        SyntaxFault::NotYet { word } => Message::error(
            "not-yet",
            format!(
                "`{}` is a word of the language that is not there yet",
                word.node
            ),
        )
        .at(word.span, "reserved")
        .hint("leave this statement out for now"),
        SyntaxFault::Unusable { path, why } => unusable(path, why),
        SyntaxFault::StrayBlock { header } => Message::error(
            "stray-block",
            "only a step or a procedure has a block in braces",
        )
        .at(*header, "this is neither")
        .hint("take the braces away, or write `step \"…\" {` before them"),
        SyntaxFault::MissingBlock { header } => {
            Message::error("missing-block", "this needs its block")
                .at(*header, "nothing follows")
                .hint("write its statements between `{` and `}`")
        }
        SyntaxFault::TooDeep { span } => {
            Message::error("too-deep", "too many brackets in each other")
                .at(*span, "this one goes too far")
                .hint("use `let` for the inner parts")
        }
        SyntaxFault::TooLong { span } => {
            Message::error("too-long", "this statement is too long to be read")
                .at(*span, "")
                .hint(
                    "at most 64 KiB, and 200 operands in an expression: use `let` for parts of it",
                )
        }
        SyntaxFault::BadNumber { span } => {
            Message::error("bad-number", "this number cannot be read")
                .at(*span, "")
                .hint("at most 400 digits")
        }
        SyntaxFault::SplitUnit { span, unit } => {
            Message::error("unexpected", "a unit is written without blanks here")
                .at(*span, "found this")
                .hint(format!("write `{unit}`"))
        }
        SyntaxFault::Unexpected {
            span,
            verb,
            expected,
        } => unexpected(*span, verb, expected),
    }
}

/// What the bench also says for a statement.
fn other_word(word: &str) -> Option<&'static str> {
    Some(match word.to_lowercase().as_str() {
        "add" | "fill" | "put" | "drop" | "mix" | "combine" | "dissolve" => "charge",
        "boil" | "concentrate" | "reduce" => "evaporate",
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

fn unexpected(span: Span, verb: &str, expected: &[String]) -> Message {
    let title = match (expected.is_empty(), verb.is_empty()) {
        (false, _) => format!("expected {}", any_of(expected)),
        (true, false) => format!("this is not how `{verb}` is written"),
        (true, true) => "this cannot be read here".to_owned(),
    };
    let mut message = Message::error("unexpected", title).at(span, "found this");
    if expected.iter().any(|what| what == "a name") {
        message = message.hint("a name begins with a small letter, as in `flask`");
    }
    match usage(verb) {
        Some(usage) => message.hint(format!("it is written: {usage}")),
        None => message,
    }
}

/// How each statement is written.
fn usage(verb: &str) -> Option<&'static str> {
    Some(match verb {
        "title" => "title \"…\"",
        "ambient" => "ambient 20 °C, 101.325 kPa",
        "bottle" => "bottle NAME: FORMULA STRENGTH, density Q",
        "let" => "let NAME = EXPR",
        "vessel" => "vessel NAME: CAPACITY",
        "substance" => "substance FORMULA(phase): dfH …, S …, source \"…\"",
        "use" => "use \"FILE.route\"",
        "procedure" => "procedure NAME(VESSEL, BOTTLE, VALUE) { … }",
        "do" => "do NAME(VESSEL, BOTTLE, VALUE)",
        "step" => "step \"…\" { … }",
        "charge" => {
            "charge VESSEL: Q X, Q X   or   charge VESSEL: enough X for EQUATION, P % excess"
        }
        "react" => "react VESSEL: EQUATION, to P %, limited by X",
        "warm" => "warm VESSEL to T",
        "cool" => "cool VESSEL to T",
        "hold" => "hold VESSEL at T [with POWER]",
        "vent" => "vent VESSEL",
        "seal" => "seal VESSEL",
        "open" => "open VESSEL",
        "discard" => "discard VESSEL",
        "filter" => "filter VESSEL -> FILTRATE, CAKE, retaining Q",
        "decant" => "decant VESSEL -> VESSEL",
        "pour" => "pour VESSEL -> VESSEL",
        "take" => "take Q by pipette from VESSEL -> VESSEL",
        "titrate" => {
            "titrate VESSEL with BOTTLE: EQUATION, found Q, Q, blank Q, burette Q, giving BOTTLE, indicator \"…\""
        }
        "wash" => "wash VESSEL with Q X -> VESSEL",
        "dry" => "dry VESSEL at T",
        "evaporate" => "evaporate VESSEL to Q",
        "dilute" => "dilute VESSEL to Q",
        "crystallise" => "crystallise VESSEL at T: FORMULA -> VESSEL",
        "weigh" => "weigh VESSEL: Q",
        "measure" => "measure temperature(VESSEL): Q",
        "wait" => "wait TIME",
        "accept" => "accept hazard \"KEY and words of your own\"",
        "note" => "note \"…\"",
        "scale" => "scale EQUATION to Q X",
        "heat" => "heat EQUATION at T, activity X = N; a vessel is heated by: warm VESSEL to T",
        "solution" => {
            "solution HCl 37 %w/w; solution make Q X STRENGTH from X STRENGTH and X STRENGTH; \
             solution dilute Q X STRENGTH to STRENGTH; solution mix Q X STRENGTH and Q water; \
             solution compare X STRENGTH and X STRENGTH for EQUATION to Q X"
        }
        "show" => "show EXPR, EXPR",
        "expect" => "expect EXPR < EXPR",
        "find" => "find NAME in LOW .. HIGH: EXPR = EXPR",
        "vary" => {
            "vary NAME: EXPR, EXPR show EXPR, EXPR   or   vary NAME: LOW .. HIGH by STEP show EXPR"
        }
        "yield" => "yield VESSEL: FORMULA on BASIS",
        _ => return None,
    })
}

fn check_fault(fault: &CheckFault) -> Message {
    match fault {
        CheckFault::UnknownName {
            name,
            wanted,
            near,
            later,
        } => {
            let message = Message::error(
                "unknown-name",
                format!("there is no {} `{}`", noun(*wanted), name.node),
            )
            .at(name.span, "");
            match (near, later) {
                (Some(near), _) => message.hint(format!("did you mean `{near}`?")),
                (None, Some(later)) => message
                    .at(*later, "it is made only here")
                    .hint("move one of the two"),
                (None, None) => message.hint(declare(*wanted, &name.node)),
            }
        }
        CheckFault::WrongKind { name, is, wanted } => Message::error(
            "wrong-kind",
            format!(
                "`{}` is a {}, and a {} is needed here",
                name.node,
                noun(*is),
                noun(*wanted)
            ),
        )
        .at(name.span, ""),
        CheckFault::Redefined { name, first } => Message::error(
            "redefined",
            format!("`{}` has a meaning already", name.node),
        )
        .at(name.span, "second time")
        .at(*first, "first time")
        .hint("give one of them another name"),
        CheckFault::UnknownUnit { unit, near } => quantity::unknown_unit(unit, *near),
        CheckFault::WrongDimension {
            span,
            found,
            expected,
        } => quantity::wrong_dimension(*span, *found, expected),
        CheckFault::MixedDimensions { span, left, right } => {
            quantity::mixed_dimensions(*span, *left, *right)
        }
        CheckFault::Reading { span, fault } => quantity::reading(*fault).at(*span, ""),
        CheckFault::BadPower { span } => {
            Message::error("bad-power", "an exponent is a whole number up to 16")
                .at(*span, "")
                .hint("write a small whole number without a unit behind `^`")
        }
        CheckFault::UnknownFunction { function, near } => {
            let message = Message::error(
                "unknown-function",
                format!("there is no function `{}`", function.node),
            )
            .at(function.span, "");
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
        CheckFault::FunctionNotYet { function } => {
            Message::error("not-yet", format!("`{}` is not there yet", function.node))
                .at(function.span, "reserved")
        }
        CheckFault::WrongArguments {
            span,
            function,
            usage,
        } => {
            let title = if function.is_empty() {
                format!("expected {usage}")
            } else {
                format!("this is not how `{function}` is used")
            };
            let message = Message::error("wrong-arguments", title).at(*span, "");
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
        CheckFault::Stuff { span, fault } => stuff_fault(fault, *span),
        CheckFault::BadDatum { span } => {
            Message::error("bad-datum", "this datum has the wrong unit or comes twice")
                .at(*span, "")
                .hint("dfH and dfG in kJ/mol, S and Cp in J/(mol·K)")
        }
        CheckFault::Misplaced { span, what, inside } => Message::error(
            "misplaced",
            format!("`{what}` cannot stand inside a {inside}"),
        )
        .at(*span, "")
        .hint("move it to the route itself"),
        CheckFault::Recursion { cycle } => procedure::recursion(cycle),
        CheckFault::Arity {
            call,
            parameters,
            given,
        } => procedure::arity(call, parameters, *given),
        CheckFault::TooDeep { span } => {
            Message::error("too-deep", "procedures call each other too deep here")
                .at(*span, "")
                .hint("call fewer inside each other: at most 32")
        }
        CheckFault::TooManyStatements { span, most } => Message::error(
            "too-large",
            format!("the calls of this route come to more than {most} statements"),
        )
        .at(*span, "this one goes too far"),
        CheckFault::Inside { calls, fault } => procedure::inside(check_fault(fault), calls),
        CheckFault::UnknownHazard { text } => super::hazard::unknown(text),
        CheckFault::ForbiddenHazard { text, rule } => super::hazard::forbidden(text, *rule),
        CheckFault::NoResult { span } => Message::error(
            "division-by-zero",
            "nothing comes out of this: it divides by zero, or has too many digits",
        )
        .at(*span, "")
        .hint("see what the part behind the `/` comes to, with `show`"),
        CheckFault::NotStated { span } => planning::not_stated().at(*span, "this asks a vessel"),
        CheckFault::Range(fault) => planning::no_range(*fault),
        CheckFault::Unmatched {
            span,
            unknowns,
            conditions,
        } => Message::error(
            "unmatched-conditions",
            format!("{unknowns} to find and {conditions} to meet: there must be as many"),
        )
        .at(*span, "")
        .hint("join conditions with `and`, unknowns with `,`"),
        CheckFault::SoughtTwice { name, first } => Message::error(
            "sought-twice",
            format!("`{}` is what a `find` looks for already", name.node),
        )
        .at(name.span, "")
        .at(*first, "here")
        .hint("look for another value here, or for several in one `find`"),
        CheckFault::SetSought { name, find } => Message::error(
            "set-and-sought",
            format!("`{name}` cannot be set: the route looks for it"),
        )
        .at(*find, "here")
        .hint("leave the setting out, or the `find`"),
        CheckFault::UnknownSetting { name, near } => {
            let message =
                Message::error("unknown-setting", format!("the route has no `let {name}`"));
            match near {
                Some(near) => message.hint(format!("did you mean `{near}`?")),
                None => message.hint("only values declared with `let` can be set"),
            }
        }
        CheckFault::SettingDimension {
            name,
            found,
            expected,
        } => Message::error(
            "wrong-dimension",
            format!(
                "`{name}` is {}, and was set to {}",
                quantity::dimension(*expected),
                quantity::dimension(*found)
            ),
        ),
    }
}

fn stuff_fault(fault: &StuffFault, span: Span) -> Message {
    match fault {
        StuffFault::NotAStrength { unit } => {
            let title = match unit.is_empty() {
                true => "a strength needs its unit".to_owned(),
                false => format!("`{unit}` is no unit of strength"),
            };
            Message::error("not-a-strength", title)
                .at(span, "")
                .hint("mol/L, mol/kg, %w/w, %w/v, %v/v or g/L; for a solid `(s)` its purity in %")
        }
        StuffFault::Strength(fault) => strength_fault(fault, span),
        StuffFault::NoDensity { substance } => Message::error(
            "no-density",
            format!("the density of {substance} is not known, so it cannot be measured by volume"),
        )
        .at(span, "")
        .hint("give a mass or an amount, or declare a bottle with its density"),
        StuffFault::Charged { species } => Message::error(
            "lone-ion",
            format!(
                "no bottle holds {} alone",
                species.to_text(Notation::Printed)
            ),
        )
        .at(span, "an ion")
        .hint("name the salt, acid or base that brings it"),
        StuffFault::Purity => {
            Message::error("purity", "a purity is more than 0 % and at most 100 %").at(span, "")
        }
        StuffFault::Literal(fault) => check_fault(fault),
    }
}

fn strength_fault(fault: &StrengthFault, span: Span) -> Message {
    let percent = |fraction: f64| format!("{:.1} %", fraction * 100.0);
    match fault {
        StrengthFault::Negative => {
            Message::error("strength", "a strength is not below zero").at(span, "")
        }
        StrengthFault::AboveWhole { mass_fraction } => {
            let comes_to =
                mass_fraction.map_or(String::new(), |w| format!(" ({} by mass)", percent(w)));
            Message::error(
                "strength",
                format!("this is more than the pure substance{comes_to}"),
            )
            .at(span, "")
            .hint("check number and unit: %w/w goes up to 100")
        }
        StrengthFault::AboveSaturation {
            mass_fraction,
            saturated,
        } => Message::error(
            "strength",
            format!(
                "so much does not dissolve: {} by mass asked for, {} is saturated",
                percent(*mass_fraction),
                percent(saturated.value.to_f64())
            ),
        )
        .at(span, "")
        .hint("write a weaker solution, or the solid `(s)` with its purity"),
        StrengthFault::NeedsDensity(_) => Message::error(
            "no-density",
            "the density of this solution is not in the tables",
        )
        .at(span, "")
        .hint("add it: `, density 1.25 g/mL`, or give the strength in %w/w and weigh it"),
        StrengthFault::NeedsPureDensity(species) => Message::error(
            "no-density",
            format!("the density of pure {species} is not in the tables"),
        )
        .at(span, "")
        .hint("give the strength in %w/w"),
        StrengthFault::NotPeroxide => {
            Message::error("strength", "volume strength is for hydrogen peroxide only").at(span, "")
        }
    }
}

fn noun(kind: NameKind) -> &'static str {
    match kind {
        NameKind::Value => "value",
        NameKind::Bottle => "bottle",
        NameKind::Vessel => "vessel",
        NameKind::Procedure => "procedure",
        NameKind::Formula => "formula",
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
