//! The account of heat of a step in one line, where it tells something.

use crate::number::Number;
use crate::route::ledger::{Heat, StepHeat};

use crate::figure;

/// What is large on a bench, in kJ: it warms a hundred grams of water by some ten kelvins.
const LARGE: f64 = 4.0;

/// A part smaller than this share of the largest is left out.
const SMALL: f64 = 0.005;

/// Less than this a bath or vapour does not count as having done something, in kJ.
const FELT: f64 = 0.5;

/// Enough to compare the parts; the unrounded figures with their uncertainties are in JSON and CSV.
const DIGITS: usize = 3;

/// `heat of the step: reactions give off 15.4 kJ; of that baths take up 12.0 kJ, …`; nothing for a step without a bath,
/// boiling or a large heat, and where the heat of a reaction is not known.
pub(super) fn line(heat: &StepHeat) -> Option<String> {
    let Heat::Known(reactions) = &heat.reactions else {
        return None;
    };
    let size = |number: &Number| number.to_f64().abs();
    let source = size(&(reactions + &heat.dissolving));
    let told = [&heat.baths, &heat.boiling, &heat.vapour]
        .into_iter()
        .any(|part| size(part) >= FELT);
    if !told && source < LARGE {
        return None;
    }
    let heater = -&heat.boiling;
    let parts = [
        ("reactions", ["give off", "take up"], reactions),
        (
            "dissolving and mixing",
            ["give off", "take up"],
            &heat.dissolving,
        ),
        ("baths", ["give", "take"], &heat.baths),
        ("the heater", ["gives", "takes"], &heater),
        ("vapour and gas", ["bring", "carry off"], &heat.vapour),
        (
            "the contents",
            ["cool, giving", "warm, taking"],
            &heat.warming,
        ),
        ("what is not followed", ["gives", "takes"], &heat.room),
    ];
    let largest = parts
        .iter()
        .map(|(.., part)| size(part))
        .fold(0.0, f64::max);
    let worth = parts
        .iter()
        .filter(|(.., part)| size(part) > SMALL * largest);
    let told = worth.map(|(what, [gives, takes], part)| match part.is_negative() {
        true => format!("{what} {gives} {}", kilojoules(&-*part)),
        false => format!("{what} {takes} {}", kilojoules(part)),
    });
    let told: Vec<String> = told.collect();
    Some(format!("Heat of the step: {}.", told.join(", ")))
}

fn kilojoules(part: &Number) -> String {
    format!("{} kJ", figure::significant(part.value(), DIGITS))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(value: f64) -> Number {
        Number::modelled(value).unwrap()
    }

    #[test]
    fn a_line_is_for_a_bath_for_boiling_and_for_a_large_heat() {
        let lukewarm = StepHeat {
            reactions: Heat::Known(number(-1.0)),
            warming: number(1.0),
            ..StepHeat::default()
        };
        assert_eq!(line(&lukewarm), None);
        let held = StepHeat {
            reactions: Heat::Known(number(-1.0)),
            baths: number(1.0),
            ..StepHeat::default()
        };
        assert_eq!(
            line(&held).unwrap(),
            "Heat of the step: reactions give off 1.00 kJ, baths take 1.00 kJ."
        );
        let hot = StepHeat {
            reactions: Heat::Known(number(-5.0)),
            warming: number(5.0),
            ..StepHeat::default()
        };
        assert_eq!(
            line(&hot).unwrap(),
            "Heat of the step: reactions give off 5.00 kJ, the contents warm, taking 5.00 kJ."
        );
        let unknown = StepHeat {
            reactions: Heat::Unknown(Vec::new()),
            ..hot
        };
        assert_eq!(line(&unknown), None);
    }
}
