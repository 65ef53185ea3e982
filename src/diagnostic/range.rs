//! Quantities that are not what their place demands, in words.

use super::Message;
use crate::figure;
use crate::route::program::{Beyond, Inadmissible};

/// The same words before a route runs, for what is written, and when it runs, for what is worked out.
pub(super) fn out_of_range(
    message: impl FnOnce(&'static str) -> Message,
    fault: &Inadmissible,
) -> Message {
    let bound = figure::quantity;
    let (kind, way_out) = match &fault.beyond {
        Beyond::NotPositive => ("not-positive", "write an amount above zero".to_owned()),
        Beyond::Negative => ("negative", "write an amount of zero or more".to_owned()),
        Beyond::MoreThanAll => ("more-than-all", "write a share of 100 % at most".to_owned()),
        Beyond::NoTemperature(most) => (
            "absurd-temperature",
            format!("write one from above −273.15 °C to {}", bound(most)),
        ),
        Beyond::Absurd(most) => (
            "absurd-amount",
            format!("check the unit: the limit is {}", bound(most)),
        ),
        Beyond::Traceless(least) => (
            "absurd-amount",
            format!("check the unit: the least is {}", bound(least)),
        ),
        Beyond::Outside(..) => (
            "out-of-range",
            "check the number, its sign and its unit".to_owned(),
        ),
    };
    message(kind).hint(format!("it is {}: {way_out}", bound(&fault.found)))
}

/// `2 g ± 1e30 g`
pub(super) fn absurd_uncertainty(message: impl FnOnce(&'static str) -> Message) -> Message {
    message("absurd-uncertainty")
        .hint("check the number behind `±` and its unit, and `k`; a relative one is written ± 1 %")
}
