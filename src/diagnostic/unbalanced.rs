//! Why an equation has no balance, or more than one, or not the one that was written, in words.

use super::{Message, all_of, any_of};
use crate::equation::{
    Conserved, Imbalance, MAX_SPECIES, Medium, Reaction, Side, Skeleton, Unbalanced,
};
use crate::matter::{Notation, Species};
use crate::number::Exact;

/// The message of an equation that cannot be balanced; its places are those of the skeleton.
pub fn unbalanced(fault: &Unbalanced, skeleton: &Skeleton) -> Message {
    let message = |kind| Message::error(kind, fault.to_string());
    match fault {
        Unbalanced::OneSided {
            what,
            side,
            species,
        } => one_sided(message("one-sided"), (*what, *side), species, skeleton),
        Unbalanced::Conflict { .. } => message("conflict")
            .at(skeleton.span, "no positive coefficients do it")
            .hint("check the formulas; add what is missing, often H2O, H^+, OH^- or O2"),
        Unbalanced::Unusable { species } => {
            unusable(message("unusable-species"), species, skeleton)
        }
        Unbalanced::NothingHappens => message("nothing-happens")
            .at(skeleton.span, "nothing reacts here")
            .hint("write on the right what is formed"),
        Unbalanced::Uncounted { .. } => message("several-balances")
            .at(skeleton.span, "")
            .hint("write it as several equations, one for each reaction"),
        Unbalanced::TooLarge => message("too-large").at(skeleton.span, "").hint(format!(
            "write it with at most {MAX_SPECIES} species and smaller counts"
        )),
    }
}

/// The question in which of these media an equation is meant to run.
pub fn unstated_medium(choices: &[(Medium, Reaction)], skeleton: &Skeleton) -> Message {
    let names: Vec<String> = choices
        .iter()
        .map(|(medium, _)| format!("`in {}`", medium.word()))
        .collect();
    let title = match names.as_slice() {
        [only] => format!("this needs its medium: write {only} after the equation"),
        many => format!("in which medium? write {} after the equation", any_of(many)),
    };
    let message = Message::error("unstated-medium", title)
        .at(skeleton.span, "water and H^+ or OH^- are left out here");
    choices.iter().fold(message, |message, (medium, reaction)| {
        let balance = reaction.to_text(Notation::Plain);
        message.hint(format!("in {}: {balance}", medium.word()))
    })
}

/// The remark on an equation with several balances, of which `balances` are the elementary ones.
pub fn several_balances(freedom: usize, balances: &[Reaction], skeleton: &Skeleton) -> Message {
    let message = Message::remark(
        "several-balances",
        format!("{freedom} independent balances; each sum of the ones shown is another"),
    )
    .at(skeleton.span, "");
    match possible_ratio(balances, skeleton) {
        Some(ratio) => message.hint(format!(
            "fix a ratio after the equation, for example `, with {ratio}`"
        )),
        None => message.hint("write it as several equations, one for each reaction"),
    }
}

/// The warning about coefficients that were written and do not balance; `right` is the answer, if there is one.
pub fn written_wrongly(
    found: &[Imbalance],
    skeleton: &Skeleton,
    right: Option<&Reaction>,
) -> Message {
    let counts: Vec<String> = found
        .iter()
        .map(|one| {
            let (left, right) = (figure(one.what, &one.left), figure(one.what, &one.right));
            format!("{} {left} left, {right} right", one.what)
        })
        .collect();
    Message::warning(
        "wrong-coefficients",
        "the coefficients as written do not balance",
    )
    .at(skeleton.span, counts.join("; "))
    .hint(
        match right.map(|reaction| corrections(reaction, skeleton)) {
            Some(all) if !all.is_empty() => {
                format!("write {}; or check the formulas", all.join(", "))
            }
            _ => "take the coefficients found, or check the formulas".to_owned(),
        },
    )
}

/// Which coefficients to write in place of which, for the multiple of the answer that leaves most as they are.
fn corrections(right: &Reaction, skeleton: &Skeleton) -> Vec<String> {
    let terms: Vec<(Exact, Exact, &Species)> = skeleton
        .terms()
        .filter_map(|(side, term)| {
            let all = if side == Side::Left {
                &right.left
            } else {
                &right.right
            };
            let (n, _) = all.iter().find(|(_, species)| *species == term.species)?;
            let written = term.coefficient.clone().unwrap_or_else(Exact::one);
            Some((written, Exact::from(n.clone()), &term.species))
        })
        .collect();
    let kept = |times: &Exact| terms.iter().filter(|(w, n, _)| *w == n * times).count();
    let multiples = terms
        .iter()
        .filter_map(|(written, n, _)| written.checked_div(n));
    let whole = multiples.filter(Exact::is_integer).chain([Exact::one()]);
    // Of those that keep as many, the smallest.
    let times = whole
        .min_by_key(|times| (std::cmp::Reverse(kept(times)), times.clone()))
        .unwrap_or_else(Exact::one);
    let differing = terms.iter().filter(|(w, n, _)| *w != n * &times);
    differing
        .map(|(written, n, species)| {
            let needed = (n * &times).to_plain();
            format!(
                "{needed} {} instead of {}",
                species.plain(),
                written.to_plain()
            )
        })
        .collect()
}

fn figure(what: Conserved, count: &Exact) -> String {
    let plain = count.to_plain();
    match what {
        Conserved::Charge if count.is_positive() => format!("+{plain}"),
        _ => plain.replace('-', "−"),
    }
}

fn one_sided(
    mut message: Message,
    (what, side): (Conserved, Side),
    species: &[Species],
    skeleton: &Skeleton,
) -> Message {
    let there = match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
    };
    let bringing = skeleton
        .terms()
        .filter(|(at, term)| *at == side && species.contains(&term.species));
    for (_, term) in bringing {
        message = message.at(term.span, format!("needs {what} on the {there}"));
    }
    if what == Conserved::Charge {
        return message.hint(format!(
            "add what carries the charge on the {there}: an ion, or e^- in a half-reaction"
        ));
    }
    message.hint(format!(
        "add a species with {what} on the {there}, or drop {}",
        all_of(species)
    ))
}

fn unusable(mut message: Message, species: &[Species], skeleton: &Skeleton) -> Message {
    for (_, term) in skeleton
        .terms()
        .filter(|(_, term)| species.contains(&term.species))
    {
        message = message.at(term.span, "its coefficient would be zero or negative");
    }
    let names = species.iter().map(|one| format!("`{one}`"));
    message.hint(format!(
        "move {} to the other side, or take it out",
        any_of(names)
    ))
}

/// A ratio of two species that differs between the balances and that the sum of them all has, so that it can be met.
fn possible_ratio(balances: &[Reaction], skeleton: &Skeleton) -> Option<String> {
    let (first, others) = balances.split_first()?;
    // What is formed tells the balances apart best.
    let formed = skeleton.right.iter().chain(&skeleton.left);
    let written: Vec<&Species> = formed.map(|term| &term.species).collect();
    let of = |reaction: &Reaction, s: &Species| reaction.coefficient(s).abs();
    let differs = |a: &Species, b: &Species| {
        others
            .iter()
            .any(|other| &of(first, a) * &of(other, b) != &of(first, b) * &of(other, a))
    };
    let mut pairs = written
        .iter()
        .enumerate()
        .flat_map(|(at, a)| written[at + 1..].iter().map(move |b| (*a, *b)));
    let (a, b) = pairs.find(|(a, b)| differs(a, b))?;
    let total = |s: &Species| -> Exact { balances.iter().map(|one| of(one, s)).sum() };
    let ratio = total(a).checked_div(&total(b))?;
    let (above, below) = (ratio.numerator(), ratio.denominator());
    Some(format!("{} : {} = {above} : {below}", a.plain(), b.plain()))
}
