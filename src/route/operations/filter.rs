//! `filter V -> FILTRATE, CAKE, retaining Q`

use super::super::ledger::{Idle, Outcome};
use super::super::moment::{Done, Run};
use super::super::program::{Value, VesselId};
use super::demand::not_empty;
use super::liquor::{move_parts, part_liquid, retained};

pub(super) fn filter(
    run: &mut Run<'_>,
    from: VesselId,
    filtrate: VesselId,
    cake: VesselId,
    retaining: Option<&Value>,
) -> Done<Outcome> {
    not_empty(run, from)?;
    let stated = retaining.map(|value| run.quantity(value)).transpose()?;
    let retained = retained(run, from, stated.as_ref())?;
    if filtrate == cake {
        let vessel = run.name(cake);
        run.changes_nothing(Idle::NotParted { vessel });
    }
    let liquid = part_liquid(run, from, &retained);
    let mut on_paper = run.contents(from).solid();
    if on_paper.is_empty() {
        let vessel = run.name(from);
        run.changes_nothing(Idle::NoSolid { vessel });
    }
    on_paper.add_all(&liquid.stays);
    let parts = [(filtrate, liquid.leaves), (cake, on_paper)];
    move_parts(run, from, &parts, Some(retained))
}
