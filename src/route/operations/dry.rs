//! `dry V at T`: water goes to the air; what was dissolved in it stays as salts.

use crate::matter::{Phase, Species};
use crate::number::{Exact, Number};
use crate::vessel::{Heat, grams, reagent, salts};

use super::super::bench::{Account, Place};
use super::super::ledger::{Idle, Outcome};
use super::super::moment::{Done, Run};
use super::super::nature::{encounters, phases};
use super::super::program::{Value, VesselId};
use super::demand::not_empty;

pub(super) fn dry(run: &mut Run<'_>, vessel: VesselId, at: Option<&Value>) -> Done<Outcome> {
    not_empty(run, vessel)?;
    let at = at.map(|at| run.quantity(at)).transpose()?;
    let at = at.map(|at| at.number().clone());
    let water = reagent::water();
    let before = encounters::before(run, vessel);
    neutralise(run, vessel)?;
    let moles = run.contents(vessel).amount(&water);
    let at = at.unwrap_or_else(|| run.kelvins(vessel).clone());
    phases::vapour_leaves(run, vessel, &moles, &at)?;
    let residue = leave_salts(run, vessel)?;
    run.bench.leave_at(vessel, &at, Place::Bath);
    run.bench.count_from_here(vessel);
    run.bench.raise_peak(vessel);
    run.touch(vessel);
    encounters::after(run, vessel, &before);
    let name = run.name(vessel);
    if moles.is_zero() {
        run.changes_nothing(Idle::NoWater {
            vessel: name.clone(),
        });
    }
    Ok(Outcome::Dried {
        vessel: name,
        water: grams(&water, &moles),
        residue,
    })
}

/// Acid and base that nobody let react are water by the time they are dry; the bath takes the heat of that.
fn neutralise(run: &mut Run<'_>, vessel: VesselId) -> Done<()> {
    let made = salts::acid_beside_base(run.contents(vessel));
    let mut terms = salts::neutralisation().to_vec();
    terms.push((Exact::one(), reagent::water()));
    let done = run.bench.react_with(vessel, &terms, &made, &Heat::none());
    done.map_err(|short| run.short(Account::Vessel(vessel), short))
}

/// Turns the ions that a dried liquor leaves behind into solid salts.
fn leave_salts(run: &mut Run<'_>, vessel: VesselId) -> Done<Vec<(Species, Number)>> {
    let mut residue = Vec::new();
    // Each round uses up one ion at least, so there are fewer rounds than ions.
    loop {
        let ions = run
            .contents(vessel)
            .of_phases(|phase| phase == Phase::Aqueous);
        let Some((salt, terms, moles)) = salts::next_salt(&run.program.store, &ions) else {
            return Ok(residue);
        };
        run.react(vessel, &terms, &moles)?;
        residue.push((salt, moles));
    }
}
