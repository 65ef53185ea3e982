//! Why no samples were drawn, in words.

use super::Message;
use crate::route::ledger::{NotSampled, Samples};

/// `--samples 0`, `--samples 1000000000`
pub fn bad_samples(count: u64) -> Message {
    let title = match count < Samples::FEWEST as u64 {
        true => format!("{count} samples are too few to say how far a figure scatters"),
        false => format!("{count} samples are too many to wait for"),
    };
    let (fewest, most) = (Samples::FEWEST, Samples::MOST);
    Message::error("bad-samples", title).hint(format!(
        "ask for {fewest} to {most}; 10000 settle one digit of most uncertainties"
    ))
}

/// Nothing where the faults of the route say it themselves.
pub fn not_sampled(why: NotSampled) -> Option<Message> {
    let hint = match why {
        NotSampled::Faulty => return None,
        NotSampled::NothingAsked => "add `show …`, `expect …` or `yield …`",
        NotSampled::NothingUncertain => {
            "say with `±` how well something is known: `let scrap = 1.00 g ± 0.01 g`"
        }
    };
    Some(Message::error("nothing-to-sample", why.to_string()).hint(hint))
}
