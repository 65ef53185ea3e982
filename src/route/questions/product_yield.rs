//! `yield V: FORMULA on BASIS`

use crate::matter::{Element, Species};
use crate::number::{Exact, Number, Quantity, unit};
use crate::vessel::{grams, moles};

use super::super::ledger::{AskedBy, YieldRecord};
use super::super::moment::Run;
use super::super::program::VesselId;

/// The statement: what came of it goes into the ledger.
pub fn product_yield(run: &mut Run<'_>, vessel: VesselId, product: &Species, basis: &Species) {
    let charged = run
        .record
        .charged
        .iter()
        .filter(|c| c.substance.key() == basis.key());
    let basis_moles: Number = charged.map(|c| c.moles.clone()).sum();
    let most = basis_moles.scaled(&units_per_basis(product, basis));
    // A weighed crop counts as it is weighed, taken as pure: that is how a yield is reckoned at the bench.
    let planned = run.amount_of(&product.with_phase(None), vessel);
    let weighed = moles(product, &run.contents(vessel).grams());
    let found = match weighed {
        Some(weighed) if run.record.histories[vessel].weighed.is_some() => weighed,
        _ => planned,
    };
    let fraction = found.checked_div(&most);
    let shown = fraction
        .clone()
        .map(|f| Quantity::plain(f).shown_in(&unit::PER_CENT));
    let [made, from] = [product, basis].map(|species| species.with_phase(None).plain().to_owned());
    let asked = format!("yield of {made} on {from}");
    let here = run.record.here;
    run.met_figure(AskedBy::Yield, (&asked, here), shown);
    run.record.ledger.yields.push(YieldRecord {
        span: run.record.here,
        vessel: run.name(vessel),
        product: product.clone(),
        basis: basis.clone(),
        theoretical: (most.clone(), grams(product, &most)),
        found: (found.clone(), grams(product, &found)),
        basis_moles,
        fraction,
        weighed: run.record.histories[vessel].weighed.clone(),
    });
}

/// Formula units of the product that one of the basis can make: by the scarcest element they share, hydrogen and oxygen
/// aside, which come from the water too.
fn units_per_basis(product: &Species, basis: &Species) -> Exact {
    let shared = basis
        .composition()
        .iter()
        .filter(|(e, _)| product.contains(*e));
    let ratio = |(element, count): (Element, Exact)| {
        count.checked_div(&product.composition().count(element))
    };
    let telling = shared.filter(|(e, _)| *e != Element::H && *e != Element::O);
    telling.filter_map(ratio).min().unwrap_or_else(Exact::zero)
}
