//! What each question answers: one file a statement.
//!
//! Knows nothing of what comes after it in the route.

mod expect;
mod heat;
mod planned;
mod product_yield;
mod scale;
mod show;
mod solution;

use super::moment::{Done, Run};
use super::program::Action;

pub use planned::{AGREES, agree, named};

/// Answers a question, or tells why it has no answer; `false` for what is none.
pub fn answer(run: &mut Run<'_>, action: &Action) -> bool {
    let done: Done<()> = match action {
        Action::Show(values) => {
            show::show(run, values);
            Ok(())
        }
        Action::Expect { text, conditions } => {
            expect::expect(run, text, conditions);
            Ok(())
        }
        Action::Yield {
            vessel,
            product,
            basis,
        } => {
            product_yield::product_yield(run, *vessel, product, basis);
            Ok(())
        }
        Action::Scale {
            reaction,
            to,
            basis,
        } => scale::scale(run, reaction, to, basis),
        Action::Heat(question) => heat::heat(run, question),
        Action::Solution(question) => solution::solution(run, question),
        Action::Find { unknowns, targets } => {
            planned::judge(run, unknowns, targets);
            Ok(())
        }
        Action::Vary { shown, .. } => {
            planned::ask(run, shown);
            Ok(())
        }
        _ => return false,
    };
    if let Err(refusal) = done {
        // A vessel put up for the question has told it already.
        let mut told = run.record.remarks.iter();
        if !told.any(|remark| remark.fact == *refusal.fact) {
            run.remark(refusal.weight, *refusal.fact);
        }
    }
    true
}
