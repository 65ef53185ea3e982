//! An equation as somebody types it, read and balanced.

use super::doors::Status;
use crate::diagnostic::{
    Message, equation_fault, several_balances, unbalanced, unstated_medium, written_wrongly,
};
use crate::equation::{
    Balance, Skeleton, Unbalanced, balance, imbalances, media, parse_equation, suggestions,
};
use crate::matter::Notation;

/// A balance with what is worth saying about it.
#[derive(Debug)]
pub struct Balanced {
    /// As written.
    pub skeleton: Skeleton,
    /// As found.
    pub balance: Balance,
    /// Warnings and remarks; places are those of the text.
    pub messages: Vec<Message>,
}

/// Reads and balances a text that holds one equation; blanks around it do not matter.
///
/// ```
/// use aludel::shell::{Status, balanced};
/// assert!(balanced("H2 + O2 -> H2O\n").is_ok());
/// assert_eq!(balanced("H2 -> O2").unwrap_err().1, Status::No);
/// assert_eq!(balanced("H2 + O2").unwrap_err().1, Status::Wrong);
/// ```
pub fn balanced(text: &str) -> Result<Balanced, (Message, Status)> {
    if text.trim().len() > LONGEST {
        let title = format!("an equation of more than {} MiB", LONGEST >> 20);
        let message = Message::error("too-large", title).hint(
            "write counts in place of repeated symbols; give a list of equations to `aludel batch`",
        );
        return Err((message, Status::Wrong));
    }
    answered(text, true)
}

/// The longest equation, in bytes: reading takes a hundred times that in memory.
const LONGEST: usize = 2 << 20;

/// With `suggesting`, the message of an equation without a balance says what would give it one.
pub(super) fn answered(text: &str, suggesting: bool) -> Result<Balanced, (Message, Status)> {
    let start = text.len() - text.trim_start().len();
    let skeleton = parse_equation(text.trim())
        .map_err(|fault| (worded(&fault, text.trim()).shifted(start), Status::Wrong))?
        .shifted(start);
    let balance = balance(&skeleton).map_err(|fault| {
        let explicable = !matches!(fault, Unbalanced::TooLarge | Unbalanced::Uncounted { .. });
        if explicable && let choices @ [_, ..] = media(&skeleton).as_slice() {
            return (unstated_medium(choices, &skeleton), Status::No);
        }
        let mut message = unbalanced(&fault, &skeleton);
        let lacking = if suggesting && explicable {
            suggestions(&skeleton)
        } else {
            Vec::new()
        };
        for reaction in lacking.iter().take(2) {
            message = message.hint(format!(
                "it would balance as {}",
                reaction.to_text(Notation::Plain)
            ));
        }
        (message, Status::No)
    })?;
    let mut messages = Vec::new();
    if let Some(wrong) = imbalances(&skeleton).filter(|wrong| !wrong.is_empty()) {
        messages.push(written_wrongly(&wrong, &skeleton, balance.reaction()));
    }
    if let Balance::Open { freedom, balances } = &balance {
        messages.push(several_balances(*freedom, balances, &skeleton));
    }
    Ok(Balanced {
        skeleton,
        balance,
        messages,
    })
}

fn worded(fault: &crate::equation::EquationFault, text: &str) -> Message {
    let message = equation_fault(fault);
    if text[fault.span.start.min(text.len())..].starts_with(['\n', '\r']) {
        return message.hint("one equation at a time; `aludel batch` reads one from each line");
    }
    message
}
