//! What a route has to remark about its own operations, in words.

use super::{Message, Severity, any_of, gone};
use crate::data;
use crate::figure;
use crate::matter::{Notation, Species};
use crate::number::{Exact, Number};
use crate::route::Fault;
use crate::route::ledger::{Fact, FillReason, Idle, Level, Remark};
use crate::solution;

/// Formulas that differ by a letter; the one that looks the same, with a small l for a capital I, alone.
fn look_alike(key: &str) -> Vec<String> {
    let near = data::near_formulas(key);
    let twin = key.replace('I', "l");
    match near.contains(&twin.as_str()) {
        true => vec![twin],
        false => near.into_iter().map(str::to_owned).collect(),
    }
}

/// Solubilities are those of the anhydrous salt, which is worth a word of a hydrate alone.
fn of_what(species: &Species) -> &'static str {
    let (_, crystal_water) = solution::anhydrous(&species.with_phase(None));
    match crystal_water.is_zero() {
        true => "",
        false => " of the anhydrous salt",
    }
}

/// Why a statement changes nothing.
fn idle(why: &Idle) -> Message {
    let say = |title: String| Message::warning("changes-nothing", title);
    match why {
        Idle::ThatTemperature { vessel } => say(format!(
            "{vessel} has that temperature already: this changes nothing"
        ))
        .hint("leave it out, or `hold` it there"),
        Idle::NoGas { vessel } => say(format!("there is no gas in {vessel}: this changes nothing"))
            .hint("an open vessel lets its gas go by itself; `seal` one that is to keep it"),
        Idle::ClosureAsItWas {
            vessel,
            sealed: true,
        } => say(format!("{vessel} is closed already: this changes nothing")).hint("leave it out"),
        Idle::ClosureAsItWas {
            vessel,
            sealed: false,
        } => say(format!("{vessel} is open already: this changes nothing")).hint("leave it out"),
        Idle::NoWater { vessel } => say(format!(
            "there is no water in {vessel}: this changes nothing"
        ))
        .hint("leave it out"),
        Idle::NoSolid { vessel } => say(format!(
            "there is no solid in {vessel}: nothing stays on the filter"
        ))
        .hint("`pour` moves a liquid; or look at what should have come down"),
        Idle::ThatSize { vessel } => say(format!(
            "{vessel} holds just that much already: this changes nothing"
        ))
        .hint("leave it out"),
        Idle::IntoItself { vessel } => {
            say(format!("{vessel} goes into itself: this changes nothing"))
                .hint("name another vessel behind the arrow")
        }
        Idle::NotParted { vessel } => say(format!(
            "filtrate and cake both go to {vessel}: nothing is parted"
        ))
        .hint("name two vessels behind the arrow, or `pour`"),
        Idle::EmptyStep => {
            say("nothing is done in this step".to_owned()).hint("write what to do, or leave it out")
        }
    }
}

/// The message of a fact; its place is that of the remark, which the caller adds.
pub fn route_fact(fact: &Fact, level: Level, notation: Notation) -> Message {
    let severity = match level {
        Level::Fault => Severity::Error,
        Level::Warning => Severity::Warning,
        Level::Note => Severity::Remark,
    };
    let mut message = worded(fact, notation);
    message.severity = severity;
    message
}

/// The message of a remark at its place, with the calls that led there.
pub fn route_remark(remark: &Remark, notation: Notation) -> Message {
    let message = route_fact(&remark.fact, remark.level, notation).at_first(remark.span);
    let calls = remark.calls.iter().rev();
    calls.fold(message, |message, call| message.at(*call, "in this call"))
}

/// A fact whose whole stands elsewhere on the same sheet, in few words; `None` for one that is short as it is.
pub fn reminder(fact: &Fact) -> Option<String> {
    match fact {
        Fact::Hazard(encounter) => super::hazard::reminder(encounter),
        Fact::InHand(in_hand) => Some(super::in_hand::reminder(in_hand)),
        _ => None,
    }
}

fn worded(fact: &Fact, notation: Notation) -> Message {
    let plain = |species: &Species| species.with_phase(None).to_text(notation);
    let say = |kind, title: String| Message::warning(kind, title);
    match fact {
        Fact::Absent {
            vessel,
            species,
            used_up,
        } => gone::absent(&plain(species), vessel, used_up.as_ref()),
        Fact::NearlyAbsent {
            vessel,
            species,
            used_up,
        } => gone::nearly_absent(&plain(species), vessel, used_up),
        Fact::OtherLimit { named, limiting } => say(
            "other-limit",
            format!("{} runs out first, not {}", plain(limiting), plain(named)),
        )
        .hint(format!(
            "charge more {} or name it as the limit",
            plain(limiting)
        )),
        Fact::NoHeatData { species } => {
            let all: Vec<String> = species.iter().map(|s| s.to_text(notation)).collect();
            say(
                "no-heat-data",
                format!("the heat is unknown: no data for {}", super::all_of(&all)),
            )
            .hint("give your own with `substance FORMULA(phase): dfH …, source \"…\"`")
        }
        Fact::UnknownRise { vessel } => say(
            "unknown-rise",
            format!("how hot {vessel} becomes is not known: the heat of its reaction is not"),
        )
        .hint("take it for violent until a small trial shows otherwise: add slowly, thermometer in, bath at hand"),
        Fact::NeverConsumed { substance, vessel } => say(
            "never-consumed",
            format!(
                "{} was charged into {vessel}, and nothing uses it",
                plain(substance)
            ),
        )
        .hint("leave it out, or write the reaction that uses it"),
        Fact::AcidBesideBase { vessel } => say(
            "acid-beside-base",
            format!("{vessel} holds acid and base side by side, which cannot last"),
        )
        .hint(format!(
            "write `react {vessel}: H^+ + OH^- -> H2O` where they meet"
        )),
        Fact::UnusedBottle { bottle } => say(
            "unused-bottle",
            format!("the bottle {bottle} is never used"),
        ),
        Fact::NoEnergetics { why, skeleton } => super::heat::no_energetics(why, skeleton),
        Fact::Solution(fact) => super::solution::worded(fact, notation),
        Fact::WouldBoil {
            vessel,
            uncooled,
            boiling,
        } => say(
            "would-boil",
            format!(
                "{vessel} would come to {} uncooled and boils at {}",
                figure::temperature(uncooled),
                figure::perhaps_estimated(&boiling.kelvin, boiling.estimate)
            ),
        )
        .hint("add slowly, cool with a bath (`hold`), or work in more water"),
        Fact::Boils {
            vessel,
            uncooled,
            boiling,
            lost,
            dry,
        } => {
            let gone = if *dry {
                "nearly all its water leaves as steam, and the heat beyond is not followed"
                    .to_owned()
            } else {
                format!("{} of water leave as steam", figure::mass(lost))
            };
            let heat = figure::temperature(uncooled);
            let boils = figure::perhaps_estimated(&boiling.kelvin, boiling.estimate);
            say(
                "boils",
                format!(
                    "{vessel} boils at {boils}: {gone} (without boiling it would come to {heat})"
                ),
            )
            .hint("add slowly, cool with a bath (`hold`), put in ice, or work in more water")
        }
        Fact::UnderPressure { vessel, pressure } => match pressure {
            Some(pressure) => say(
                "under-pressure",
                format!("{vessel} is closed, and the gas in it makes {} kPa", figure::number(pressure)),
            ),
            None => say(
                "under-pressure",
                format!("{vessel} is closed, and gas collects in it; state its capacity to know the pressure"),
            ),
        }
        .hint("glass of the bench is no pressure vessel: leave a vent (`open`)"),
        Fact::InHand(in_hand) => super::in_hand::worded(in_hand),
        Fact::NeedsHeating { vessel, heat } => say(
            "needs-heating",
            format!(
                "{vessel} does not hold the {} this takes up",
                figure::heat(heat)
            ),
        )
        .hint("warm it first and hold it there: `hold V at T`"),
        Fact::WarmIce { kelvins } => say(
            "warm-ice",
            format!(
                "there is no ice at {}: it is taken at 0 °C",
                figure::temperature(kelvins)
            ),
        )
        .hint("leave the temperature out, or state one below 0 °C"),
        Fact::Overfull {
            vessel,
            volume,
            capacity,
        } => say(
            "overfull",
            format!(
                "{vessel} holds {} at most, and this makes {} of liquid",
                figure::volume(capacity),
                figure::volume(volume)
            ),
        )
        .hint("take a larger vessel or less of everything"),
        Fact::FoamRoom {
            vessel,
            volume,
            capacity,
            reason,
        } => {
            let (full, while_) = match reason {
                FillReason::Gas => ("half", "gas comes off"),
                FillReason::Foam => ("one third", "it foams"),
                FillReason::Boiling => ("two thirds", "it boils down"),
            };
            say(
                "foam-room",
                format!(
                    "{vessel} is more than {full} full ({} in {}) while {while_}",
                    figure::volume(volume),
                    figure::capacity(capacity)
                ),
            )
            .hint("take a larger vessel: foam and spray need room")
        }
        Fact::Empty { vessel, emptied } => gone::empty(vessel, emptied.as_ref()),
        Fact::Leftover {
            vessel,
            species,
            moles,
            share,
        } => {
            let species = plain(species);
            say(
                "leftover-reagent",
                format!(
                    "{} of {species} is left over in {vessel} at the end, {} % of what was charged",
                    figure::amount(moles),
                    share.scaled(&Exact::from(100)).value().to_fixed(0)
                ),
            )
            .hint(format!("charge less {species}, or use it up"))
        }
        Fact::ProductDiscarded { species, grams } => say(
            "product-discarded",
            format!(
                "{} of {}, which this route made, goes to the waste jar, and no more than that is kept",
                figure::mass(grams),
                plain(species)
            ),
        )
        .hint("keep it, or say with `yield` what the product is"),
        Fact::ChangesNothing(why) => idle(why),
        Fact::OutOfRange { expression, fault } => {
            let words = format!("`{expression}` {fault}");
            super::range::out_of_range(|kind| Message::error(kind, words), fault)
        }
        Fact::NoLiquid { vessel } => say(
            "no-liquid",
            format!("there is no liquid in {vessel}"),
        )
        .hint("`charge` a liquid first, or leave this out"),
        Fact::NoSolution { vessel } => say(
            "no-solution",
            format!("there is no water in {vessel}, and nothing crystallises from a dry solid"),
        )
        .hint("dissolve it first: `charge` some water"),
        Fact::NotAboveBlank { vessel } => say(
            "not-positive",
            format!("the readings for {vessel} are not more than the blank: nothing is left for what is titrated"),
        )
        .hint("write readings above the blank, or another blank"),
        Fact::TooMuch {
            vessel,
            asked,
            there,
        } => say(
            "too-much",
            format!(
                "{} asked for, and {vessel} has {}",
                figure::quantity(asked),
                figure::quantity(there)
            ),
        )
        .hint("write another amount, or change what comes before"),
        Fact::MediumShort {
            vessel,
            medium,
            sought,
        } => say(
            "medium-short",
            format!(
                "{vessel} holds too little {} to titrate its {}",
                plain(medium),
                plain(sought)
            ),
        )
        .hint("charge more acid or base first: it must outlast what is sought"),
        Fact::Discordant {
            vessel,
            apart,
            usual,
        } => say(
            "discordant",
            format!(
                "the readings for {vessel} lie {} mL apart, more than the usual {} mL",
                apart.value().to_plain(),
                usual.value().to_plain()
            ),
        )
        .hint("titrate further portions until two agree, and leave out the reading whose fault you know"),
        Fact::NothingToUseUp {
            vessel,
            matter,
            missing,
        } => {
            let title = format!("no amount of {matter} is called for");
            let missing: Vec<String> = missing.iter().map(plain).collect();
            match missing.is_empty() {
                false => say(
                    "nothing-to-use-up",
                    format!("{title}: {vessel} holds no {}", super::all_of(&missing)),
                )
                .hint("charge that first"),
                true => say(
                    "nothing-to-use-up",
                    format!("{title}: {vessel} holds nothing that it would use up"),
                )
                .hint("check bottle and equation; what is there may be enough already"),
            }
        }
        Fact::StillMissing {
            vessel,
            missing,
            counted,
        } => {
            let missing: Vec<String> = missing.iter().map(plain).collect();
            let (counted, missing) = (plain(counted), super::all_of(&missing));
            say(
                "still-missing",
                format!("{vessel} holds no {missing} yet: this is enough for the {counted} there"),
            )
            .hint(format!("charge {missing} before the reaction"))
        }
        Fact::TooManyDigits => say(
            "bad-number",
            "this comes to a number with more digits than can be kept, or beyond 1e±150".to_owned(),
        )
        .hint("take smaller powers, or round on the way"),
        Fact::DivisionByZero { expression } => say(
            "division-by-zero",
            format!("`{expression}` divides by zero"),
        )
        .hint("see what the part behind the `/` comes to, with `show` before this line"),
        Fact::NoAnswer { expression } => say(
            "no-answer",
            format!("`{expression}` has no answer here"),
        )
        .hint("it needs a vessel with liquid, known data and the operations before it carried out"),
        Fact::Undissolved {
            species,
            grams,
            solubility,
        } => say(
            "undissolved",
            format!(
                "{} of {} stays undissolved (100 g of water take {} g{})",
                figure::mass(grams),
                plain(species),
                figure::number(solubility),
                of_what(species)
            ),
        ),
        Fact::UnknownInWater { species } => {
            let message = say(
                "no-solubility",
                format!(
                    "nothing is known of {} in water: it is taken to stay as it is",
                    plain(species)
                ),
            );
            let near = look_alike(species.key());
            match near.is_empty() {
                false => message.hint(format!("did you mean {}?", any_of(&near))),
                true => message.hint("check the formula; a `bottle` of it would be dissolved"),
            }
        }
        Fact::NoSolubility { species } => say(
            "no-solubility",
            format!("no solubility is known for {}", plain(species)),
        )
        .hint("it is taken to dissolve completely; it cannot be crystallised by the table"),
        Fact::Freezes { vessel, freezing } => say(
            "freezes",
            format!(
                "{vessel} begins to freeze at {}, and the plan keeps it liquid",
                figure::perhaps_estimated(&freezing.kelvin, freezing.estimate)
            ),
        )
        .hint("glass may crack; keep it above that"),
        Fact::IonsInCommon {
            species,
            ions,
            most,
        } => say(
            "ions-in-common",
            format!(
                "more {} is there than {} takes, so that less of it stays dissolved than in pure water: more may come, up \
                 to {}",
                super::all_of(ions.iter().map(plain).collect::<Vec<_>>()),
                plain(species),
                figure::mass(most)
            ),
        )
        .hint("the plan goes by the solubility in pure water; weigh what comes"),
        Fact::NotSaturated { species } => say(
            "not-saturated",
            format!(
                "no {} comes out: the solution is not saturated",
                plain(species)
            ),
        )
        .hint("evaporate first, or cool further"),
        Fact::OtherHydrate { asked, stable } => say(
            "other-hydrate",
            format!(
                "at this temperature {} comes out, not {}",
                stable,
                plain(asked)
            ),
        )
        .hint("write the stable solid, or another temperature"),
        Fact::WrongWay { has } => say(
            "wrong-way",
            format!(
                "it is at {} already: this goes the other way",
                figure::temperature(has)
            ),
        ),
        Fact::FoundMore { fraction } => found_more(fraction),
        Fact::NoVolume { vessel } => {
            say("no-volume", format!("the volume of {vessel} is not known"))
                .hint("give a mass instead, or `measure` its density or its volume first")
        }
        Fact::Model(words) => say("model", words.clone()),
        Fact::Modelled { what, detail } => say("model", format!("{what}: {detail}")),
        Fact::Hazard(encounter) => super::hazard::encounter(encounter, notation),
        Fact::UnusedAcceptance { text } => say(
            "unused-acceptance",
            format!("`accept hazard \"{text}\"` stands here, and nothing meets that hazard"),
        )
        .hint("leave it out"),
        Fact::NotFound(found) => super::planning::not_found(found, notation),
        Fact::AlsoMet(also) => super::planning::also_met(also),
        Fact::CannotStand(fault) => super::route_fault(&Fault::Check((**fault).clone())),
        Fact::NoRange(fault) => super::planning::no_range(*fault),
        Fact::Unbalanced { what } => say(
            "books",
            format!("the books do not balance ({what}): this is a fault of the program"),
        )
        .hint("please report it with the route"),
    }
}

fn found_more(fraction: &Number) -> Message {
    let hundred = fraction.scaled(&Exact::from(100));
    let percent = match hundred.to_f64() < 1e6 {
        true => hundred.value().to_fixed(1),
        false => crate::figure::significant(hundred.value(), 3),
    };
    Message::warning(
        "found-more",
        format!("{percent} % more was found than the plan allows"),
    )
    .hint("check the figure; what was weighed may be wet or impure: dry it to constant mass")
}
