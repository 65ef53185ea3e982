//! Routes run with samples, and their figures.

use aludel::data::Store;
use aludel::number::Sampled;
use aludel::route::ledger::{SampledFigure, Samples, Sampling};
use aludel::route::{Ledger, Surroundings};
use aludel::text::Source;

/// The ledger of a route in which nothing may be wrong, with samples.
#[track_caller]
pub fn follow(text: &str, count: usize, seed: u64) -> Ledger {
    let store = Store::default();
    let bench = Surroundings {
        samples: Some(Samples { count, seed }),
        ..Surroundings::new(&store)
    };
    let outcome = bench.follow(&Source::new("test", text));
    assert_eq!(outcome.faults, [], "{text}");
    outcome.ledger
}

#[track_caller]
pub fn sampled(text: &str, count: usize) -> Sampling {
    let ledger = follow(text, count, Samples::SEED);
    ledger.sampling.expect("samples were asked for").unwrap()
}

#[track_caller]
pub fn of(figure: &SampledFigure) -> &Sampled {
    figure.sampled.as_ref().expect("every sample has a figure")
}

/// Value and standard uncertainty by the plan, in the unit that the figure is told in.
pub fn first_order(figure: &SampledFigure) -> (f64, f64) {
    let unit = figure.planned.written_in();
    let number = unit.map_or(figure.planned.number().clone(), |unit| {
        figure.planned.in_unit(&unit).unwrap()
    });
    (number.to_f64(), number.standard_uncertainty())
}
