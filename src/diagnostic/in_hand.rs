//! How hot a step is and what would hold it, in words.

use super::Message;
use crate::figure;
use crate::number::Number;
use crate::route::ledger::InHand;

/// Severity by the rise of temperature, in K from which it holds: F. Stoessel, Thermal Safety of Chemical Processes,
/// Wiley-VCH 2008 (from memory).
const SEVERITY: [(f64, &str); 3] = [
    (400.0, "catastrophic: do not do it"),
    (200.0, "critical: dilute, or change the plan"),
    (
        50.0,
        "medium: add slowly, with an ice bath and a thermometer",
    ),
];

pub(super) fn worded(in_hand: &InHand) -> Message {
    let rise = &in_hand.uncooled - &in_hand.start;
    let class = SEVERITY.iter().find(|(from, _)| rise.to_f64() > *from);
    let title = format!(
        "{} gives off {} and would rise by {} K, from {} to {}{}",
        in_hand.vessel,
        figure::heat(&in_hand.heat),
        rise.value().to_fixed(0),
        figure::temperature(&in_hand.start),
        figure::temperature(&in_hand.uncooled),
        class.map_or(String::new(), |(_, means)| format!(
            "; by Stoessel's scale (2008) {means}"
        )),
    );
    let kind = if class.is_some() {
        "large-rise"
    } else {
        "rise"
    };
    let message = Message::warning(kind, title);
    ways(in_hand)
        .into_iter()
        .flatten()
        .fold(message, Message::hint)
}

/// The heat and what would hold it, where the rise has been said before.
pub(super) fn reminder(in_hand: &InHand) -> String {
    let start = figure::temperature(&in_hand.start);
    let coolants = [
        (&in_hand.ice, "ice"),
        (&in_hand.ice_water, "ice-cold water"),
    ];
    let coolants: Vec<String> = coolants
        .into_iter()
        .filter_map(|(grams, what)| Some(format!("{} of {what}", figure::mass(grams.as_ref()?))))
        .collect();
    let held = (!coolants.is_empty())
        .then(|| format!("{} put in would keep it at {start}", coolants.join(" or ")));
    let [course, .., halved] = ways(in_hand);
    let pieces: Vec<String> = [course, held, halved].into_iter().flatten().collect();
    format!(
        "{} gives off {} in all; {}",
        in_hand.vessel,
        figure::heat(&in_hand.heat),
        pieces.join("; ")
    )
}

fn ways(in_hand: &InHand) -> [Option<String>; 4] {
    let held = |grams: &Number, what: &str| {
        let start = figure::temperature(&in_hand.start);
        format!(
            "{} of {what} put in would keep it at {start}",
            figure::mass(grams)
        )
    };
    let ice = in_hand.ice.as_ref().map(|grams| held(grams, "ice"));
    let water = in_hand.ice_water.as_ref();
    let water = water.map(|grams| held(grams, "ice-cold water"));
    let halved = in_hand.halved.as_ref().map(|kelvin| {
        format!(
            "in half the water it would come to {}",
            figure::temperature(kelvin)
        )
    });
    let course = in_hand.course.as_ref().map(|(seconds, warmest)| {
        let (time, warmest) = (figure::time(seconds), figure::temperature(warmest));
        format!("over {time} with the stated bath it comes to {warmest}")
    });
    [course, ice, water, halved]
}
