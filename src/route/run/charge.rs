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
use super::{Blank, Done, dissolve, enthalpy, thermal, watch};

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
#[allow(
    clippy::too_many_arguments,
    reason = "until each verb has a file and a type of its own"
)]
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
    let Needed {
        moles,
        for_species,
        missing,
    } = needed(state, vessel, matter, reaction)
        .map_err(|missing| nothing_to_use_up(state, vessel, matter, missing))?;
    if !missing.is_empty() {
        let fact = Fact::StillMissing {
            vessel: state.vessels[vessel].name.clone(),
            missing,
            counted: for_species.clone(),
        };
        state.remark(Weight::Note, fact);
    }
    let factor = match &excess {
        Some(excess) => &Number::one() + excess,
        None => Number::one(),
    };
    let amount = Quantity::of(&moles * &factor, &unit::MOLE);
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
    let grams_needed = match target.in_unit(&unit::MILLILITRE) {
        Ok(wanted) => to_the_mark(program, state, vessel, &wanted, grams_needed)?,
        Err(_) => grams_needed,
    };
    let draw = water_draw(state, vessel, &grams_needed)?;
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

/// Rounds in which the volume comes to the mark: each leaves a few hundredths of what was missing.
const TO_THE_MARK: usize = 8;

/// Water, in g, with which the liquid has a volume, in mL, at the temperature that it has then.
fn to_the_mark(
    program: &Program,
    state: &State,
    vessel: VesselId,
    wanted: &Number,
    mut grams: Number,
) -> Done<Number> {
    for _ in 0..TO_THE_MARK {
        if !grams.is_positive() {
            break;
        }
        let mut trial = state.clone();
        let draws = vec![(water_draw(&trial, vessel, &grams)?, stuff::water_matter())];
        pour_in(program, &mut trial, vessel, draws, (None, None));
        let Some(there) = properties::volume(program, &mut trial, vessel) else {
            break;
        };
        let missing = (wanted - &there).settled();
        if missing.to_f64().abs() < 1e-9 {
            break;
        }
        grams = (&grams + &missing).settled();
    }
    Ok(grams)
}

fn water_draw(state: &State, vessel: VesselId, grams: &Number) -> Done<Draw> {
    let amount = Quantity::of(grams.clone(), &unit::GRAM);
    let water = stuff::water_matter();
    draw(state, vessel, &water, &amount, DrawReason::Dilution).ok_or(Blank)
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

/// What a reaction still needs of a bottle or substance.
pub(super) struct Needed {
    /// Of the solute or substance, in mol.
    pub(super) moles: Number,
    /// What it then uses up.
    pub(super) for_species: Species,
    /// What the vessel holds nothing of so far, though the reaction needs it too.
    pub(super) missing: Vec<Species>,
}

/// How much of something uses up what a vessel holds; else what the vessel lacks for that, nothing if it needs no more.
/// What is not there yet may come later, as long as something is there that the reaction is about.
pub(super) fn needed(
    state: &State,
    vessel: VesselId,
    matter: &Matter,
    reaction: &Reaction,
) -> Result<Needed, Vec<Species>> {
    let (brought, solution) = match &matter.stuff {
        Stuff::Pure { species, .. } => (stuff::in_solution(species), false),
        Stuff::Solution { solute, .. } => (stuff::in_solution(solute), true),
    };
    let water_alone = brought.len() == 1 && brought[0].1.key() == "H2O";
    let brings = |species: &Species| {
        let water = species.key() == "H2O" && (water_alone || solution);
        water || brought.iter().any(|(_, s)| s.key() == species.key())
    };
    let terms = react::terms_with(state, vessel, reaction, solution);
    let used: Vec<_> = terms.iter().filter(|(n, _)| n.is_negative()).collect();
    let contents = &state.vessels[vessel].contents;
    let others = used.iter().copied().filter(|term| !brings(&term.1));
    let (there, absent): (Vec<_>, Vec<_>) = others.partition(|term| contents.holds(&term.1));
    let missing: Vec<Species> = absent.into_iter().map(|(_, s)| s.clone()).collect();
    if !missing.is_empty() && there.iter().all(|(_, s)| react::is_medium(s)) {
        return Err(missing);
    }
    let turns = |(n, species): &(Exact, Species)| {
        contents
            .amount(species)
            .checked_div(&Number::exact(n.abs()))
    };
    let extents = there
        .iter()
        .filter_map(|term| Some((turns(term)?, term.1.clone())));
    let (extent, for_species) = extents
        .min_by(|(a, _), (b, _)| a.value().cmp(b.value()))
        .ok_or_else(Vec::new)?;
    let supplied = used
        .iter()
        .filter(|(_, s)| brings(s) && (water_alone || s.key() != "H2O"));
    let needs = supplied.filter_map(|(n, species)| {
        let (per_unit, _) = brought.iter().find(|(_, s)| s.key() == species.key())?;
        let short = &extent.scaled(&n.abs()) - &contents.amount(species);
        short.checked_div(&Number::exact(per_unit.clone()))
    });
    let need = needs.max_by(|a, b| a.value().cmp(b.value()));
    match need.filter(Number::is_positive) {
        Some(moles) => Ok(Needed {
            moles,
            for_species,
            missing,
        }),
        None => Err(Vec::new()),
    }
}

/// Leaves an operation blank for which nothing is called for.
pub(super) fn nothing_to_use_up(
    state: &mut State,
    vessel: VesselId,
    matter: &Matter,
    missing: Vec<Species>,
) -> Blank {
    let fact = Fact::NothingToUseUp {
        vessel: state.vessels[vessel].name.clone(),
        matter: matter.label.clone(),
        missing,
    };
    state.remark(Weight::Fault, fact);
    Blank
}

fn read_times(
    program: &Program,
    state: &mut State,
    at: Option<&Value>,
    over: Option<&Value>,
) -> Done<(Option<Number>, Option<Number>)> {
    let at = at
        .map(|value| thermal::temperature(program, state, value))
        .transpose()?;
    let over = over
        .map(|value| positive_time(program, state, value))
        .transpose()?;
    Ok((at, over))
}

fn positive_time(program: &Program, state: &mut State, value: &Value) -> Done<Number> {
    let seconds = state.quantity(program, value)?.number().clone();
    if seconds.is_positive() {
        return Ok(seconds);
    }
    let expression = value.text.clone();
    state.remark(Weight::Fault, Fact::NotPositive { expression });
    Err(Blank)
}
