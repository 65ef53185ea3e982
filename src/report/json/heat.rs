//! The account of heat of a step: what reactions, dissolving and mixing, baths and boiling move.

use serde_json::Value;

use super::object::Object;
use crate::number::Number;
use crate::route::ledger::*;

/// In kJ, signs as with the operations: negative is given off by reactions and dissolving, positive is taken up by baths and
/// needed for boiling; `null` where a part of it is not known. What a bath takes up while it holds a vessel is not counted again.
pub(super) fn of_step(step: &StepRecord) -> Value {
    let mut account = Account::default();
    for operation in &step.operations {
        account.add(&operation.outcome);
    }
    Object::default()
        .perhaps("reactions_kJ", account.reactions.as_ref())
        .perhaps("dissolving_kJ", account.dissolving.as_ref())
        .perhaps("baths_kJ", account.baths.as_ref())
        .perhaps("boiling_kJ", account.boiling.as_ref())
        .done()
}

/// Each sum is `None` as soon as one of its parts is not known.
struct Account {
    reactions: Option<Number>,
    dissolving: Option<Number>,
    baths: Option<Number>,
    boiling: Option<Number>,
}

impl Default for Account {
    fn default() -> Self {
        let none = || Some(Number::zero());
        Account {
            reactions: none(),
            dissolving: none(),
            baths: none(),
            boiling: none(),
        }
    }
}

impl Account {
    fn add(&mut self, outcome: &Outcome) {
        match outcome {
            Outcome::Charged { heat, mixing, .. } => {
                also(&mut self.dissolving, heat.known());
                also(&mut self.dissolving, Some(mixing));
            }
            Outcome::Reacted(record) => also(&mut self.reactions, record.heat.known()),
            Outcome::Titrated(record) => also(&mut self.reactions, record.reaction.heat.known()),
            Outcome::Thermal { bath, .. } => also(&mut self.baths, bath.known()),
            Outcome::Crystallised(record) => also(&mut self.baths, record.bath.known()),
            Outcome::Evaporated { heat, .. } => also(&mut self.boiling, heat.known()),
            _ => {}
        }
    }
}

fn also(sum: &mut Option<Number>, more: Option<&Number>) {
    *sum = sum
        .take()
        .zip(more)
        .map(|(sum, more)| (&sum + more).settled());
}
