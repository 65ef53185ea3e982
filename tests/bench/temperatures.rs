//! A reaction at many temperatures: looked up once, then along its heat capacities.
//!
//! `cargo bench --bench temperatures`; docs/performance.md quotes it.

use aludel::data::Store;
use aludel::matter::Species;
use aludel::number::{Exact, Number};
use aludel::thermo::{self, ReactionData};

fn main() {
    divan::main();
}

fn ammonia() -> ReactionData {
    let terms = [(-1, "N2(g)"), (-3, "H2(g)"), (2, "NH3(g)")];
    let terms = terms.map(|(n, text)| (Exact::from(n), Species::parse(text).unwrap()));
    thermo::reaction(&Store::default(), &terms)
}

/// Rises of enthalpy, entropy and heat capacity at 100,000 temperatures.
#[divan::bench]
fn hundred_thousand_rises(bencher: divan::Bencher<'_, '_>) {
    let data = ammonia();
    bencher.bench(|| {
        let course = data.course();
        let all = (0..100_000).filter_map(|i| course.rise(300.0 + f64::from(i) * 0.01));
        all.map(|rise| rise.enthalpy - rise.entropy).sum::<f64>()
    });
}

/// Whole answers with uncertainty and log10 K at 1,000 temperatures.
#[divan::bench]
fn thousand_whole_answers(bencher: divan::Bencher<'_, '_>) {
    let data = ammonia();
    let kelvins: Vec<Number> = (0..1000)
        .filter_map(|i| Number::modelled(300.0 + f64::from(i)))
        .collect();
    bencher.bench(|| {
        let course = data.course();
        let all = kelvins.iter().filter_map(|kelvin| course.at(kelvin).ok());
        all.filter(|at| at.log10_k.is_ok()).count()
    });
}
