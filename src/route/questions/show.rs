//! `show EXPR, …`

use super::super::ledger::{AskedBy, Shown};
use super::super::moment::Run;
use super::super::program::Value;

/// The statement: its answers go into the ledger.
pub fn show(run: &mut Run<'_>, values: &[Value]) {
    for value in values {
        let answer = run.answered(value);
        run.met(AskedBy::Show, value, &answer);
        run.record.ledger.shows.push(Shown {
            expression: value.text.clone(),
            span: value.span,
            answer,
        });
    }
}
