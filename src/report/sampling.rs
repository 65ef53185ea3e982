//! What the samples of a route say, beside the figures to first order.

use crate::number::{
    Distribution, Exact, FACTOR, Input, InputId, Number, Sampled, Unit, Validation, Verdict,
};
use crate::route::ledger::{SampledFigure, Sampling};

use super::derivation::Derivation;
use super::document::{Block, Part, Section, Words, section};
use crate::figure;

/// A figure in the unit that the sheet shows it in.
pub(super) struct Told {
    pub(super) unit: Option<Unit>,
    pub(super) planned: Number,
    pub(super) sampled: Sampled,
    pub(super) validation: Validation,
}

impl Told {
    /// `None` where too few samples have the figure.
    pub(super) fn of(one: &SampledFigure) -> Option<Told> {
        let unit = figure::unit_of(&one.planned);
        let planned = figure::in_unit(&one.planned, unit)?;
        let sampled = one.sampled.as_ref()?;
        // Without a unit of its own it was sampled in coherent units.
        let sampled = match unit {
            Some(unit) if one.planned.written_in().is_none() => {
                sampled.rescaled(1.0 / unit.factor().to_f64(), -unit.offset().to_f64())
            }
            _ => sampled.clone(),
        };
        let standard = match figure::with_uncertainty(&planned) {
            Some(_) => planned.standard_uncertainty(),
            None => 0.0,
        };
        let validation = sampled.validate(planned.to_f64(), standard);
        Some(Told {
            unit,
            planned,
            sampled,
            validation,
        })
    }

    /// The mean with the standard uncertainty of the samples.
    pub(super) fn mean(&self) -> Number {
        let mean = Number::modelled(self.sampled.mean).unwrap_or_else(Number::zero);
        mean.with_uncertainty(InputId(0), self.sampled.standard_uncertainty)
    }

    fn words(&self, one: &SampledFigure) -> String {
        let symbol = figure::symbol(self.unit, one.planned.dimension());
        let written = |number: &Number| figure::with_unit(number, &symbol);
        let mean = self.mean();
        if figure::with_uncertainty(&mean).is_none() {
            return format!("{}, the same in every run", written(&mean));
        }
        // To the place of the standard uncertainty.
        let end = |value: f64| {
            let value = Number::modelled(value).unwrap_or_else(Number::zero);
            let end = value.with_uncertainty(InputId(0), self.sampled.standard_uncertainty);
            figure::with_uncertainty(&end).map_or_else(|| figure::number(&end), |(value, _)| value)
        };
        let (low, high) = self.sampled.symmetric;
        let between = format!("95 % from {} to {} {symbol}", end(low), end(high));
        let text = format!(
            "{}, {}; {}",
            written(&mean),
            between.trim_end(),
            self.verdict(&written, &symbol)
        );
        match share(one) {
            Some(share) => format!("{text}; {share}"),
            None => text,
        }
    }

    fn verdict(&self, written: &dyn Fn(&Number) -> String, symbol: &str) -> String {
        let first = match figure::with_uncertainty(&self.planned) {
            Some(_) => format!("to first order {}", written(&self.planned)),
            None => format!(
                "to first order {} without an uncertainty",
                written(&self.planned)
            ),
        };
        let size = |value: f64| {
            let value = Exact::modelled(value).unwrap_or_else(Exact::zero);
            format!("{} {symbol}", figure::significant(&value, 1))
                .trim_end()
                .to_owned()
        };
        let tolerance = size(self.validation.tolerance);
        let apart = size(self.validation.apart.0.max(self.validation.apart.1));
        match self.validation.verdict {
            Verdict::Agrees => format!("{first}, which agrees within {tolerance}"),
            Verdict::Differs => format!(
                "{first}, which DIFFERS: the ends of its 95 % lie {apart} off, more than {tolerance}; go by the sample"
            ),
            Verdict::Undecided => format!(
                "{first}; these are too few samples to tell whether the two agree within {tolerance}"
            ),
        }
    }
}

impl Words {
    /// What the samples say; nothing where none were drawn.
    pub(super) fn sampled(self, sampling: &Sampling) -> Section {
        let asked = sampling.asked;
        let mut blocks = vec![Block::Paragraph(format!(
            "{} runs of the route, seed {}, each with a value drawn at random for every uncertain input (JCGM 101:2008). \
             Below: mean and standard uncertainty, the interval that leaves out 2.5 % of the values at either end, and \
             whether the uncertainty to first order stands up to it.",
            asked.count, asked.seed
        ))];
        blocks.extend(sampling.faults.iter().map(|(count, remark)| {
            let (level, text) = self.remark(remark);
            let runs = if *count == 1 { "run" } else { "runs" };
            Block::Remark(
                level,
                format!("{count} {runs} went wrong and are left out: {text}"),
            )
        }));
        let figures = sampling.figures.iter().enumerate();
        blocks.extend(figures.filter_map(|(index, one)| {
            let above = &sampling.figures[..index];
            let told_above = above.iter().any(|other| same(one, other));
            Some(Block::Answer {
                asked: one.expression.clone(),
                answer: match (told_above, share(one), Told::of(one)) {
                    (true, None, _) => return None,
                    (true, Some(share), _) => format!("as above; {share}"),
                    (false, _, Some(told)) => told.words(one),
                    (false, _, None) => "unknown: fewer than 40 runs came to it".to_owned(),
                },
            })
        }));
        section(Part::Sampled, "Monte Carlo check", blocks)
    }
}

/// Whether a demand is about a figure that was shown.
fn same(one: &SampledFigure, other: &SampledFigure) -> bool {
    one.expression == other.expression
        && one.planned == other.planned
        && one.sampled == other.sampled
}

/// In how many runs a condition holds.
fn share(one: &SampledFigure) -> Option<String> {
    let (condition, share) = (one.condition.as_ref()?, per_cent(one.holds?));
    Some(format!("{condition} in {share}"))
}

fn per_cent(share: f64) -> String {
    let percent = 100.0 * share;
    match share {
        1.0 => "every run".to_owned(),
        0.0 => "no run".to_owned(),
        _ => format!("{percent:.1} % of the runs"),
    }
}

/// How the inputs were drawn, and how each verdict came about.
pub(super) fn derived(sampling: &Sampling, inputs: &[Input]) -> Vec<Derivation> {
    let drawn = inputs.iter().map(|input| {
        let how = match input.distribution {
            Distribution::Normal => "normal".to_owned(),
            Distribution::Rectangular => "rectangular between its limits".to_owned(),
            Distribution::Triangular => "triangular between its limits".to_owned(),
            Distribution::Student(degrees) => format!("t with {degrees} degrees of freedom"),
        };
        format!("{}: {how}", input.label)
    });
    let inputs = Derivation {
        text: "each run draws one value for every input; published data are normal".to_owned(),
        terms: drawn.collect(),
        check: None,
    };
    let figures = sampling.figures.iter().enumerate();
    let told = figures.filter_map(|(index, one)| {
        let above = &sampling.figures[..index];
        let told = Told::of(one).filter(|_| !above.iter().any(|other| same(one, other)))?;
        let symbol = figure::symbol(told.unit, one.planned.dimension());
        let size = |value: f64| {
            let value = Exact::modelled(value).unwrap_or_else(Exact::zero);
            format!("{} {symbol}", figure::significant(&value, 4))
                .trim_end()
                .to_owned()
        };
        let pair = |(low, high)| format!("{} to {}", size(low), size(high));
        let standard = told.planned.standard_uncertainty();
        let middle = told.planned.to_f64();
        let (low, high) = (middle - FACTOR * standard, middle + FACTOR * standard);
        Some(Derivation {
            text: format!(
                "{}: 95 % of the runs {}, the shortest such interval {}; to first order y ± 1.96 u = {}; the ends \
                 differ by {} and {}, compared with {}, half a unit of the last digit of u that counts",
                one.expression,
                pair(told.sampled.symmetric),
                pair(told.sampled.shortest),
                pair((low, high)),
                size(told.validation.apart.0),
                size(told.validation.apart.1),
                size(told.validation.tolerance),
            ),
            terms: Vec::new(),
            check: None,
        })
    });
    std::iter::once(inputs).chain(told).collect()
}
