//! What a bottle was found to hold takes the place of its label.

use crate::number::Number;
use crate::vessel::{Reagent, ReagentFault, reagent};

use super::super::check::CheckFault;
use super::super::ledger::{Fact, GivenStrength, Weight};
use super::super::moment::{Done, Refusal, Run, strength};
use super::super::program::BottleId;

/// A bottle is so many times as strong as was thought. What its label could not say is refused.
pub(super) fn standardise(
    run: &mut Run<'_>,
    bottle: Option<BottleId>,
    factor: &Number,
) -> Done<Option<GivenStrength>> {
    let Some(bottle) = bottle else {
        return Ok(None);
    };
    let before = run.stuff(bottle);
    let after = reagent::stronger(&before, factor, &run.program.ambient.temperature)
        .map_err(|fault| cannot_be(run, bottle, fault))?;
    let name = run.program.bottles[bottle].name.clone();
    if keeps_density(&before, &after) {
        let detail =
            format!("that of the label of {name} is kept: none is known for the strength found");
        let what = "density";
        run.remark(Weight::Note, Fact::Modelled { what, detail });
    }
    run.record.standardised.insert(bottle, after.clone());
    let strengths = strength(&before).zip(strength(&after));
    Ok(strengths.map(|(planned, found)| GivenStrength {
        bottle: name,
        planned,
        found,
    }))
}

/// Whether a solution of another strength has the density that its label has, since no table has another.
fn keeps_density(before: &Reagent, after: &Reagent) -> bool {
    let known = |reagent: &Reagent| match reagent {
        Reagent::Solution {
            density, per_gram, ..
        } => density.clone().map(|density| (density, per_gram.clone())),
        Reagent::Pure { .. } => None,
    };
    match (known(before), known(after)) {
        (Some((density, strength)), Some((new_density, new_strength))) => {
            strength != new_strength && density == new_density
        }
        _ => false,
    }
}

fn cannot_be(run: &Run<'_>, bottle: BottleId, fault: ReagentFault) -> Refusal {
    let span = run.record.here;
    let fault = CheckFault::OfBottle {
        bottle: run.program.bottles[bottle].name.clone(),
        fault: Box::new(CheckFault::Reagent { span, fault }),
    };
    Refusal::of(Fact::CannotStand(Box::new(fault)))
}
