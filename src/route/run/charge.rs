//! `charge` and `dilute`: from bottles and the shelf into a vessel.

use crate::equation::Reaction;
use crate::matter::Species;
use crate::number::{Dimension, Exact, Number, Quantity, unit};

use super::super::books::Account;
use super::super::contents::{Contents, grams, moles};
use super::super::ledger::{Draw, DrawReason, Fact, Idle, Outcome, Weight};
use super::super::program::{Matter, Portion, Program, Slack, Stuff, Value, VesselId};
use super::super::stuff;
use super::hand::Addition;
use super::properties;
use super::react;
use super::state::{Charged, State};
use super::{Blank, Done, dissolve, enthalpy, watch};

/// The largest amount, in g or mol, that a small lab can mean.
const ABSURD: i64 = 1_000_000;
/// The largest volume, in mL: a room full of gas. What is poured is limited by its mass.
const ABSURD_VOLUME: i64 = 100_000_000;

/// `charge V: Q X, …`
pub(super) fn portions(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    portions: &[Portion],
    at: Option<&Value>,
    over: Option<&Value>,
) -> Done<Outcome> {
    let times = read_times(program, state, at, over)?;
    let mut draws = Vec::new();
    for portion in portions {
        let amount = positive(program, state, &portion.amount)?;
        let matter = state.as_it_is(program, &portion.matter);
        let draw = draw(state, vessel, &matter, &amount, DrawReason::Stated);
        let draw = draw.ok_or(Blank)?;
        if draw.grams.value() > &Exact::from(ABSURD) {
            let expression = portion.amount.text.clone();
            state.remark(Weight::Fault, Fact::Absurd { expression });
            return Err(Blank);
        }
        draws.push((draw, matter));
    }
    Ok(pour_in(program, state, vessel, draws, times))
}

/// `charge V: enough X for EQUATION, P % excess`
pub(super) fn enough(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    (matter, slack): (&Matter, Option<&Slack>),
    reaction: &Reaction,
    excess: Option<&Value>,
    times: (Option<&Value>, Option<&Value>),
) -> Done<Outcome> {
    let times = read_times(program, state, times.0, times.1)?;
    let excess = match excess {
        Some(excess) => Some(state.quantity(program, excess)?.number().clone()),
        None => None,
    };
    let matter = &state.as_it_is(program, matter);
    let Some((needed, for_species)) = needed(state, vessel, matter, reaction) else {
        let name = state.vessels[vessel].name.clone();
        let fact = Fact::NothingToUseUp {
            vessel: name,
            matter: matter.label.clone(),
        };
        state.remark(Weight::Fault, fact);
        return Err(Blank);
    };
    let factor = match &excess {
        Some(excess) => &Number::one() + excess,
        None => Number::one(),
    };
    let amount = Quantity::of(&needed * &factor, &unit::MOLE);
    let reason = DrawReason::Enough {
        reaction: reaction.clone(),
        for_species,
        excess,
    };
    let planned = draw(state, vessel, matter, &amount, reason.clone()).ok_or(Blank)?;
    let draw = match slack {
        Some(slack) => {
            let measured = slack.on(program, &measure_of(&planned));
            draw(state, vessel, matter, &measured, reason).ok_or(Blank)?
        }
        None => planned,
    };
    Ok(pour_in(
        program,
        state,
        vessel,
        vec![(draw, matter.clone())],
        times,
    ))
}

/// As it is measured out: poured, or weighed.
fn measure_of(draw: &Draw) -> Quantity {
    match &draw.millilitres {
        Some(millilitres) => Quantity::of(millilitres.clone(), &unit::MILLILITRE),
        None => Quantity::of(draw.grams.clone(), &unit::GRAM),
    }
}

/// `dilute V to Q`: water up to a volume or a mass.
pub(super) fn dilute(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    to: &Value,
) -> Done<Outcome> {
    let target = positive(program, state, to)?;
    let water = stuff::water_matter();
    let grams_needed = properties::water_to(state, vessel, &target).ok_or(Blank)?;
    if grams_needed.is_negative() {
        return Err(too_much(program, state, vessel, target));
    }
    if grams_needed.is_zero() {
        let vessel = state.vessels[vessel].name.clone();
        state.changes_nothing(Idle::ThatSize { vessel });
    }
    let amount = Quantity::of(grams_needed, &unit::GRAM);
    let draw = draw(state, vessel, &water, &amount, DrawReason::Dilution).ok_or(Blank)?;
    let name = state.vessels[vessel].name.clone();
    pour_in(
        program,
        state,
        vessel,
        vec![(draw.clone(), water)],
        (None, None),
    );
    Ok(Outcome::Diluted {
        vessel: name,
        draw: Box::new(draw),
    })
}

/// Leaves an operation blank that wants more, or less, than a vessel has.
pub(super) fn too_much(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    asked: Quantity,
) -> Blank {
    let there = properties::volume_or_mass(program, state, vessel, asked.dimension());
    let vessel = state.vessels[vessel].name.clone();
    let fact = Fact::TooMuch {
        vessel,
        asked,
        there,
    };
    state.remark(Weight::Fault, fact);
    Blank
}

/// An amount above zero that a small lab can mean.
pub(super) fn positive(program: &Program, state: &mut State, value: &Value) -> Done<Quantity> {
    let quantity = state.quantity(program, value)?;
    let size = [&unit::GRAM, &unit::MILLILITRE, &unit::MOLE]
        .into_iter()
        .find_map(|unit| quantity.in_unit(unit).ok())
        .unwrap_or_else(|| quantity.number().clone());
    let expression = value.text.clone();
    if !size.is_positive() {
        state.remark(Weight::Fault, Fact::NotPositive { expression });
        return Err(Blank);
    }
    let most = match quantity.dimension() {
        Dimension::VOLUME => ABSURD_VOLUME,
        _ => ABSURD,
    };
    if size.value() > &Exact::from(most) {
        state.remark(Weight::Fault, Fact::Absurd { expression });
        return Err(Blank);
    }
    Ok(quantity)
}

/// How much of a bottle or substance a quantity is; `None` where its dimension does not fit, which the check excludes.
pub(super) fn draw(
    state: &State,
    vessel: VesselId,
    matter: &Matter,
    amount: &Quantity,
    reason: DrawReason,
) -> Option<Draw> {
    let measured = stuff::measure(&matter.stuff, amount, &state.ledger.ambient)?;
    Some(Draw {
        span: state.here,
        bottle: matter.bottle.map(|_| matter.label.clone()),
        substance: matter.stuff.substance().clone(),
        strength: stuff::label(&matter.stuff),
        stated: amount.places().map(|_| amount.clone()),
        vessel: state.vessels[vessel].name.clone(),
        moles: measured.moles,
        grams: measured.grams,
        millilitres: measured.millilitres,
        reason,
    })
}

/// Transfers the draws, mixes temperatures, dissolves what dissolves.
pub(super) fn pour_in(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    draws: Vec<(Draw, Matter)>,
    (at, over): (Option<Number>, Option<Number>),
) -> Outcome {
    let excess_before = enthalpy::excess(program, state, vessel);
    let mut brought = Number::zero();
    state.vessels[vessel].addition = over.as_ref().map(|seconds| Addition {
        seconds: seconds.clone(),
        before: enthalpy::capacity(program, state, vessel),
    });
    for (draw, matter) in &draws {
        let portion = contents_of(&matter.stuff, draw);
        state.used_bottles.extend(matter.bottle);
        let came_at = comes_at(program, state, &portion, at.as_ref());
        brought += &properties::excess(program, state, &portion);
        receive(program, state, vessel, Account::Shelf, &portion, &came_at);
        state.charged.push(Charged {
            span: draw.span,
            calls: state.calls.clone(),
            substance: draw.substance.clone(),
            vessel: draw.vessel.clone(),
            moles: draw.moles.clone(),
            became: portion.iter().map(|(s, _)| s.clone()).collect(),
        });
        state.note_draw(draw);
    }
    enthalpy::settle(program, state, vessel);
    let (dissolved, heat) = dissolve::dissolve(program, state, vessel);
    let mixing = &enthalpy::excess(program, state, vessel) - &(&excess_before + &brought);
    state.touch(program, vessel);
    Outcome::Charged {
        vessel: state.vessels[vessel].name.clone(),
        draws: draws.into_iter().map(|(draw, _)| draw).collect(),
        dissolved,
        heat,
        mixing: mixing.settled(),
        temperature: state.vessels[vessel].temperature.clone(),
        over,
    }
}

/// What a draw brings into a vessel: ions, molecules, water.
pub(super) fn contents_of(stuff: &Stuff, draw: &Draw) -> Contents {
    let mut contents = Contents::new();
    match stuff {
        Stuff::Pure { species, .. } => contents.add(species, &draw.moles),
        Stuff::Solution { solute, .. } => {
            let dissolved = stuff::in_solution(solute);
            for (count, species) in dissolved {
                contents.add(&species, &draw.moles.scaled(&count));
            }
            let water = stuff::water();
            let water_grams = &draw.grams - &grams(solute, &draw.moles);
            if let Some(water_moles) = moles(&water, &water_grams) {
                contents.add(&water, &water_moles);
            }
        }
    }
    contents
}

/// Moves contents into a vessel with the heat in them; the temperature is found when all of them are there.
pub(super) fn receive(
    program: &Program,
    state: &mut State,
    vessel: VesselId,
    from: Account,
    portion: &Contents,
    came_at: &Number,
) {
    let there = state.vessels[vessel].contents.clone();
    if there.is_empty() {
        let vessel = &mut state.vessels[vessel];
        vessel.temperature = came_at.settled();
        vessel.begun = vessel.temperature.clone();
        vessel.removed = Number::zero();
    }
    enthalpy::carry(
        program,
        state,
        from,
        Account::Vessel(vessel),
        portion,
        came_at,
    );
    watch::met(program, state, vessel, &there, (portion, from));
}

/// Ice comes at its melting point, everything else at the temperature of the room, unless the script says otherwise.
fn comes_at(
    program: &Program,
    state: &mut State,
    portion: &Contents,
    at: Option<&Number>,
) -> Number {
    let melting = Number::exact(Exact::ratio(27_315, 100));
    let ice = portion.holds(&stuff::ice());
    match at {
        Some(at) if ice && at.value() > melting.value() => {
            let kelvins = at.clone();
            state.remark(Weight::Warning, Fact::WarmIce { kelvins });
            melting
        }
        Some(at) => at.clone(),
        None if ice => melting,
        None => program.ambient.temperature.clone(),
    }
}

/// How much of the solute or substance a reaction still needs, in mol, and what it then uses up.
pub(super) fn needed(
    state: &State,
    vessel: VesselId,
    matter: &Matter,
    reaction: &Reaction,
) -> Option<(Number, Species)> {
    let brought: Vec<(Exact, Species)> = match &matter.stuff {
        Stuff::Pure { species, .. } => stuff::in_solution(species),
        Stuff::Solution { solute, .. } => stuff::in_solution(solute),
    };
    let water_alone = brought.len() == 1 && brought[0].1.key() == "H2O";
    let brings = |species: &Species| {
        let water = species.key() == "H2O"
            && (water_alone || matches!(matter.stuff, Stuff::Solution { .. }));
        water || brought.iter().any(|(_, s)| s.key() == species.key())
    };
    let terms = react::terms(state, vessel, reaction);
    let used: Vec<_> = terms.iter().filter(|(n, _)| n.is_negative()).collect();
    let contents = &state.vessels[vessel].contents;
    let turns = |(n, species): &(Exact, Species)| {
        contents
            .amount(species)
            .checked_div(&Number::exact(n.abs()))
    };
    let others = used.iter().filter(|(_, s)| !brings(s));
    let (extent, for_species) = others
        .filter_map(|term| Some((turns(term)?, term.1.clone())))
        .min_by(|(a, _), (b, _)| a.value().cmp(b.value()))?;
    if !extent.is_positive() {
        return None;
    }
    let supplied = used
        .iter()
        .filter(|(_, s)| brings(s) && (water_alone || s.key() != "H2O"));
    let needs = supplied.filter_map(|(n, species)| {
        let (per_unit, _) = brought.iter().find(|(_, s)| s.key() == species.key())?;
        let short = &extent.scaled(&n.abs()) - &contents.amount(species);
        short.checked_div(&Number::exact(per_unit.clone()))
    });
    let need = needs.max_by(|a, b| a.value().cmp(b.value()))?;
    need.is_positive().then_some((need, for_species))
}

fn read_times(
    program: &Program,
    state: &mut State,
    at: Option<&Value>,
    over: Option<&Value>,
) -> Done<(Option<Number>, Option<Number>)> {
    let mut read = |value: Option<&Value>| match value {
        Some(value) => state
            .quantity(program, value)
            .map(|q| Some(q.number().clone())),
        None => Ok(None),
    };
    Ok((read(at)?, read(over)?))
}
