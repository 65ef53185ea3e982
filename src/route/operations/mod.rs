//! What each statement does: one file a verb.
//!
//! Every operation ends in one of two ways: an outcome for the ledger, or a refusal with its reason.

mod boil;
mod change;
mod charge;
mod closure;
mod crystallise;
mod decant;
mod demand;
mod dilute;
mod discard;
mod dry;
mod enough;
mod evaporate;
mod filter;
mod heating;
mod liquor;
mod measure;
mod portion;
mod pour;
mod react;
mod standardise;
mod take;
mod titrate;
mod wait;
mod wash;
mod weigh;

use super::ledger::Outcome;
use super::moment::{Done, Run};
use super::nature::phases;
use super::program::Action;

/// Carries out a statement that works on a vessel, with the remarks on it; `None` for one that only declares or asks.
pub fn carry_out(run: &mut Run<'_>, action: &Action) -> Option<Outcome> {
    let outcome = match perform(run, action)? {
        Ok(outcome) => outcome,
        Err(refusal) => {
            run.remark(refusal.weight, (*refusal.fact).clone());
            let here = run.record.here;
            run.scope.refusals.push((here, refusal));
            Outcome::Refused
        }
    };
    phases::tell_boiled(run);
    phases::tell_freezing(run);
    Some(outcome)
}

fn perform(run: &mut Run<'_>, action: &Action) -> Option<Done<Outcome>> {
    Some(match action {
        Action::Charge {
            vessel,
            portions,
            at,
            over,
        } => charge::charge(run, *vessel, portions, at.as_ref(), over.as_ref()),
        Action::ChargeEnough { vessel, enough } => enough::enough(run, *vessel, enough),
        Action::React {
            vessel,
            reaction,
            degree,
            limit,
        } => react::statement(run, *vessel, reaction, degree.as_ref(), limit.as_ref()),
        Action::Bath {
            vessel,
            to,
            kind,
            with,
        } => heating::bathe(run, *vessel, to, *kind, with.as_ref()),
        Action::Vent(vessel) => closure::vent(run, *vessel),
        Action::Seal(vessel) => Ok(closure::seal(run, *vessel)),
        Action::Open(vessel) => closure::open(run, *vessel),
        Action::Discard(vessel) => discard::discard(run, *vessel),
        Action::Filter {
            vessel,
            filtrate,
            cake,
            retaining,
        } => filter::filter(run, *vessel, *filtrate, *cake, retaining.as_ref()),
        Action::Decant { vessel, into } => decant::decant(run, *vessel, *into),
        Action::Pour { vessel, into } => pour::pour(run, *vessel, *into),
        Action::Take {
            amount,
            vessel,
            into,
        } => take::take(run, amount, *vessel, *into),
        Action::Wash {
            vessel,
            with,
            retaining,
            into,
        } => wash::wash(run, *vessel, with, retaining.as_ref(), *into),
        Action::Dry { vessel, at } => dry::dry(run, *vessel, at.as_ref()),
        Action::Boil { vessel, time } => boil::boil(run, *vessel, time),
        Action::Evaporate { vessel, to } => evaporate::evaporate(run, *vessel, to),
        Action::Dilute { vessel, to } => dilute::dilute(run, *vessel, to),
        Action::Crystallise {
            vessel,
            at,
            solid,
            into,
        } => crystallise::crystallise(run, *vessel, at, solid, *into),
        Action::Titrate(asked) => titrate::titrate(run, asked),
        Action::Weigh { vessel, found } => weigh::weigh(run, *vessel, found),
        Action::Measure { what, found } => measure::measure(run, what, found),
        Action::Wait(time) => wait::wait(run, time),
        Action::Note(text) => Ok(Outcome::Noted(text.clone())),
        Action::Step { .. }
        | Action::Let { .. }
        | Action::Show(_)
        | Action::Expect { .. }
        | Action::Yield { .. }
        | Action::Scale { .. }
        | Action::Heat(_)
        | Action::Solution(_)
        | Action::Find { .. }
        | Action::Vary { .. } => return None,
    })
}
