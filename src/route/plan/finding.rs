//! `find`: the route run again and again until its conditions are met.
//!
//! Each `find` is answered in the order of the text, with what stands above it; the values found stay for all that
//! comes after, and the sheet is that of the last run.

mod elsewhere;

use std::borrow::Cow;
use std::cell::OnceCell;
use std::collections::BTreeSet;

use crate::number::root::{self, NoRoot};
use crate::number::{Exact, InputId, Number, Quantity};
use crate::text::Span;

use super::super::judge;
use super::super::ledger::{
    Constraint, Fact, Finding, Ledger, NoValue, NotFound, Outcome, Remark, Weight,
};
use super::super::moment::{RunScope, State};
use super::super::program::{Action, LetId, Program, RangeFault, Sought, Target};
use super::super::questions::{AGREES, agree, named};
use super::{refusals, trial};

/// A program with the values that its `find` statements found.
pub(super) struct Solved<'p> {
    pub(super) program: Cow<'p, Program>,
    pub(super) verdicts: Vec<Verdict>,
}

/// What one `find` came to.
pub(super) struct Verdict {
    span: Span,
    runs: usize,
    fact: Option<Fact>,
    /// That there are more answers.
    also: Option<Fact>,
    /// Whether it was looked for at all.
    asked: bool,
}

impl Verdict {
    fn unasked(span: Span) -> Verdict {
        Verdict {
            span,
            runs: 0,
            fact: None,
            also: None,
            asked: false,
        }
    }
}

/// Answers every `find` of a program but those that look for one of the values `given`.
pub(super) fn solve<'p>(program: &'p Program, given: &[LetId]) -> Solved<'p> {
    let mut solved = Solved {
        program: Cow::Borrowed(program),
        verdicts: Vec::new(),
    };
    for (index, instruction) in program.planning().into_iter().enumerate() {
        if let Action::Find { unknowns, targets } = &instruction.action {
            if unknowns.iter().any(|one| given.contains(&one.slot)) {
                solved.verdicts.push(Verdict::unasked(instruction.span));
                continue;
            }
            let search = Search {
                always_refused: OnceCell::new(),
                thorough: given.is_empty(),
                program: &solved.program,
                until: index + 1,
                unknowns,
                targets,
            };
            let (verdict, found) = search.verdict(instruction.span);
            solved.verdicts.push(verdict);
            if let Some(found) = found {
                solved.program = Cow::Owned(found);
            }
        }
    }
    solved
}

/// Completes the findings of the last run, which may have ended before some of them.
pub(super) fn tell(verdicts: &[Verdict], ledger: &mut Ledger) {
    for (index, verdict) in verdicts.iter().enumerate() {
        let undone = ledger.findings.get_mut(index).and_then(|finding| {
            finding.runs = verdict.runs;
            (verdict.asked && !finding.met).then(|| undone(finding))
        });
        let fact = verdict.fact.clone().or(undone);
        let remark = fact.map(|fact| Remark::new(verdict.span, Weight::Fault, fact));
        let also = verdict.also.clone();
        let also = also.map(|fact| Remark::new(verdict.span, Weight::Note, fact));
        ledger.remarks.extend(remark.or(also));
    }
}

fn undone(finding: &Finding) -> Fact {
    let conditions = finding.conditions.iter().map(|(text, _)| text.clone());
    Fact::NotFound(Box::new(NotFound {
        unknowns: finding.unknowns.clone(),
        conditions: conditions.collect(),
        why: NoValue::Undone,
    }))
}

struct Search<'s> {
    /// Statements that are not carried out at either end of the range: the route's own fault, not that of a value.
    always_refused: OnceCell<BTreeSet<Span>>,
    /// Whether to look for further answers: not in the runs of a `vary`.
    thorough: bool,
    program: &'s Program,
    until: usize,
    unknowns: &'s [Sought],
    targets: &'s [Target],
}

/// One unknown with its bounds, as numbers of the unit its lower bound is written in.
struct Range {
    low: f64,
    high: f64,
    like: Quantity,
    declared: Option<Quantity>,
}

impl Range {
    fn of(program: &Program, sought: &Sought) -> Result<Range, RangeFault> {
        let (low, high) = program.bounds(sought)?;
        let number = |q: &Quantity| match low.written_in().and_then(|u| q.in_unit(&u).ok()) {
            Some(number) => number.to_f64(),
            None => q.number().to_f64(),
        };
        Ok(Range {
            low: number(&low),
            high: number(&high),
            declared: program.lets[sought.slot].known.clone(),
            like: low.clone(),
        })
    }

    /// A value of this unknown. It keeps the uncertainty that the unknown was declared with.
    fn value(&self, number: f64) -> Option<Quantity> {
        let exact = Number::exact(Exact::decimal(&format!("{number:e}")).ok()?);
        let value = match self.like.written_in() {
            Some(unit) => Quantity::of(exact, &unit),
            None => Quantity::coherent(exact, self.like.dimension()),
        };
        let spread = self
            .declared
            .as_ref()
            .map(|q| q.number().contributions().to_vec());
        let spread: Vec<(InputId, f64)> = spread.unwrap_or_default();
        let number = spread
            .into_iter()
            .fold(value.number().clone(), |n, (input, c)| {
                n.with_uncertainty(input, c)
            });
        let whole = Quantity::coherent(number, value.dimension());
        Some(match value.written_in() {
            Some(unit) => whole.shown_in(&unit),
            None => whole,
        })
    }

    fn share(&self, share: f64) -> f64 {
        self.low + share * (self.high - self.low)
    }
}

/// What a run with some values came to.
struct Trial {
    program: Program,
    state: State,
    /// Whether the values led to something that is not carried out: then the run has no figures.
    refused: bool,
}

impl Search<'_> {
    fn verdict(&self, span: Span) -> (Verdict, Option<Program>) {
        let mut runs = 0;
        let mut also = None;
        let outcome = self.ranges().and_then(|ranges| match &ranges[..] {
            [range] => {
                let (program, further) = self.one(range, &mut runs)?;
                also = further;
                Ok(program)
            }
            _ => self.several(&ranges, &mut runs),
        });
        let (fact, found) = match outcome {
            Ok(program) => (None, Some(program)),
            Err(fact) => (Some(fact), None),
        };
        let verdict = Verdict {
            span,
            runs,
            fact,
            also,
            asked: true,
        };
        (verdict, found)
    }

    fn ranges(&self) -> Result<Vec<Range>, Fact> {
        let all = self
            .unknowns
            .iter()
            .map(|sought| Range::of(self.program, sought));
        all.collect::<Result<_, _>>().map_err(Fact::NoRange)
    }

    fn try_out(&self, values: &[Quantity], runs: &mut usize) -> Result<Trial, Fact> {
        *runs += 1;
        let slots = self.unknowns.iter().map(|sought| sought.slot);
        let settings: Vec<_> = slots.zip(values.iter().cloned()).collect();
        let program = self.program.with(&settings);
        let program = program.map_err(|fault| Fact::CannotStand(Box::new(fault)))?;
        let state = trial(&program, RunScope::until(self.until));
        let refused = refusals(&state).any(|(span, _)| !self.always_refused().contains(&span));
        Ok(Trial {
            program,
            state,
            refused,
        })
    }

    fn always_refused(&self) -> &BTreeSet<Span> {
        self.always_refused.get_or_init(|| {
            let refused_at = |share: f64| -> Option<BTreeSet<Span>> {
                let values = self.unknowns.iter().map(|sought| {
                    let range = Range::of(self.program, sought).ok()?;
                    Some((sought.slot, range.value(range.share(share))?))
                });
                let settings: Option<Vec<_>> = values.collect();
                let program = self.program.with(&settings?).ok()?;
                let state = trial(&program, RunScope::until(self.until));
                Some(refusals(&state).map(|(span, _)| span).collect())
            };
            match (refused_at(0.0), refused_at(1.0)) {
                (Some(low), Some(high)) => low.intersection(&high).copied().collect(),
                _ => BTreeSet::new(),
            }
        })
    }

    /// One unknown: by its bracket.
    fn one(&self, range: &Range, runs: &mut usize) -> Result<(Program, Option<Fact>), Fact> {
        let mut cannot = None;
        let mut seen: Vec<(f64, f64)> = Vec::new();
        let zero = root::zero(
            |at| {
                let trial = self.try_out(&[range.value(at)?], runs);
                match trial {
                    Ok(trial) => {
                        let off = trial.off()?[0];
                        seen.push((at, off));
                        Some(off)
                    }
                    Err(fact) => {
                        cannot = Some(fact);
                        None
                    }
                }
            },
            range.low,
            range.high,
        );
        let at = match zero {
            Ok(at) => at,
            Err(NoRoot::Undefined { at }) => {
                return Err(cannot.unwrap_or_else(|| self.part_of_range(range, seen, at)));
            }
            Err(NoRoot::OneSign { .. }) if seen.iter().all(|(_, off)| *off == seen[0].1) => {
                return Err(self.no_influence(range));
            }
            Err(NoRoot::OneSign { low, high, nearest }) => {
                let ends = [(range.low, low), (range.high, high)];
                return Err(self.out_of_reach(range, ends, nearest));
            }
        };
        for candidate in [shortest(at), at] {
            let value = range.value(candidate);
            let value = value.ok_or_else(|| self.no_value(range, at, NoValue::NoAnswer))?;
            let trial = self.try_out(std::slice::from_ref(&value), runs)?;
            if trial.met() {
                let also = self
                    .thorough
                    .then(|| self.further(range, (candidate, value), seen));
                return Ok((trial.program, also.flatten()));
            }
        }
        Err(self.jump(range, at))
    }

    fn no_value(&self, range: &Range, at: f64, why: NoValue) -> Fact {
        let unknowns = named(self.program, self.unknowns, |_| range.value(at));
        self.not_found(unknowns, why)
    }

    fn not_found(&self, unknowns: Vec<(String, Quantity)>, why: NoValue) -> Fact {
        Fact::NotFound(Box::new(NotFound {
            unknowns,
            conditions: self.targets.iter().map(|t| t.text.clone()).collect(),
            why,
        }))
    }

    fn jump(&self, range: &Range, at: f64) -> Fact {
        match self.sides(range, at) {
            Some((comes_to, wanted)) => {
                self.no_value(range, at, NoValue::Jump { wanted, comes_to })
            }
            None => self.no_value(range, at, NoValue::NoAnswer),
        }
    }

    /// No answer at some place: the runs that had one are what can be told of.
    fn part_of_range(&self, range: &Range, mut seen: Vec<(f64, f64)>, undefined: f64) -> Fact {
        seen.sort_by(|a, b| a.0.total_cmp(&b.0));
        let nearest = seen.iter().min_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        match (seen.first(), nearest, seen.last()) {
            (Some(low), Some(nearest), Some(high)) if low.0 < high.0 => {
                self.out_of_reach(range, [*low, *high], nearest.0)
            }
            _ => self.no_value(range, undefined, NoValue::NoAnswer),
        }
    }

    /// The same sign everywhere: what it comes to at both ends, and what holds it at the nearer one.
    fn out_of_reach(&self, range: &Range, ends: [(f64, f64); 2], nearest: f64) -> Fact {
        let [low, high] = ends;
        let farther = if low.1.abs() < high.1.abs() {
            high.0
        } else {
            low.0
        };
        let trial = |at| {
            let value = range.value(at)?;
            Some((value.clone(), self.try_out(&[value], &mut 0).ok()?))
        };
        let comes_to = |(value, trial): &(Quantity, Trial)| {
            let (left, right) = trial.state.scope.sides.first()?.clone();
            Some(((value.clone(), left?), right?))
        };
        let told = || {
            let trials = [low.0, high.0, nearest].map(trial);
            let [Some(a), Some(b), Some(near)] = trials else {
                return None;
            };
            let far = if farther == low.0 { &a } else { &b };
            let inside = ![low.0, high.0].contains(&nearest);
            let (end, wanted) = comes_to(&a)?;
            Some(NoValue::OutOfReach {
                wanted,
                ends: [end, comes_to(&b)?.0],
                nearest: comes_to(&near).filter(|_| inside).map(|(near, _)| near),
                constraints: constraints(&near.1, &far.1),
            })
        };
        self.no_value(range, nearest, told().unwrap_or(NoValue::NoAnswer))
    }

    /// Several unknowns: by Newton's method within their bounds.
    fn several(&self, ranges: &[Range], runs: &mut usize) -> Result<Program, Fact> {
        let values = |point: &[f64]| -> Option<Vec<Quantity>> {
            let all = ranges.iter().zip(point);
            all.map(|(range, share)| range.value(range.share(*share)))
                .collect()
        };
        let mut cannot = None;
        let least = root::least(
            |point| match self.try_out(&values(point)?, runs) {
                Ok(trial) => trial.off(),
                Err(fact) => {
                    cannot = Some(fact);
                    None
                }
            },
            ranges.len(),
        );
        let Some((point, _)) = least else {
            let middle: Vec<f64> = vec![0.5; ranges.len()];
            let unknowns = self.named_values(values(&middle));
            return Err(cannot.unwrap_or_else(|| self.not_found(unknowns, NoValue::NoAnswer)));
        };
        let short: Option<Vec<Quantity>> = ranges
            .iter()
            .zip(&point)
            .map(|(range, share)| range.value(shortest(range.share(*share))))
            .collect();
        for candidate in [short, values(&point)].into_iter().flatten() {
            let trial = self.try_out(&candidate, runs)?;
            if trial.met() {
                return Ok(trial.program);
            }
        }
        Err(self.not_together(&point, values(&point)))
    }

    fn named_values(&self, values: Option<Vec<Quantity>>) -> Vec<(String, Quantity)> {
        let names = self
            .unknowns
            .iter()
            .map(|s| self.program.lets[s.slot].name.clone());
        names.zip(values.unwrap_or_default()).collect()
    }

    fn not_together(&self, point: &[f64], values: Option<Vec<Quantity>>) -> Fact {
        let unknowns = self.named_values(values.clone());
        let Some(Ok(trial)) = values.map(|values| self.try_out(&values, &mut 0)) else {
            return self.not_found(unknowns, NoValue::NoAnswer);
        };
        let constraints = ends(&trial.ledger());
        let sides = trial.state.scope.sides.into_iter().zip(self.targets);
        let off = sides.filter_map(|((left, right), target)| {
            let (left, right) = (left?, right?);
            (!agree(&left, &right)).then(|| (target.text.clone(), right, left))
        });
        let names = unknowns.iter().map(|(name, _)| name.clone()).zip(point);
        let why = NoValue::NotTogether {
            off: off.collect(),
            at_bound: names
                .filter(|(_, share)| **share <= 0.0 || **share >= 1.0)
                .map(|(name, _)| name)
                .collect(),
            constraints,
        };
        self.not_found(unknowns, why)
    }
}

impl Trial {
    /// How far each left side is from its right one, as a share of what is wanted.
    fn off(&self) -> Option<Vec<f64>> {
        if self.refused {
            return None;
        }
        let one = |sides: &(Option<Quantity>, Option<Quantity>)| {
            let (left, right) = (sides.0.as_ref()?.number(), sides.1.as_ref()?.number());
            let scale = right.to_f64().abs();
            let off = (left.value() - right.value()).to_f64();
            Some(if scale > 0.0 { off / scale } else { off })
        };
        let sides = &self.state.scope.sides;
        let all: Option<Vec<f64>> = sides.iter().map(one).collect();
        all.filter(|off| !off.is_empty())
    }

    fn met(&self) -> bool {
        let last = self.state.record.ledger.findings.last();
        !self.refused && last.is_some_and(|finding| finding.met)
    }

    fn ledger(&self) -> Ledger {
        judge::finish(&self.program, self.state.clone())
    }
}

/// What one run says and another does not, and the reagents with which its reactions end.
fn constraints(near: &Trial, far: &Trial) -> Vec<Constraint> {
    let (near, far) = (near.ledger(), far.ledger());
    let told = far
        .remarks
        .iter()
        .map(|r| std::mem::discriminant(&r.fact))
        .collect::<Vec<_>>();
    let said = near
        .remarks
        .iter()
        .filter(|r| r.level >= Weight::Warning && !told.contains(&std::mem::discriminant(&r.fact)));
    let said = said.map(|r| Constraint::Said(r.fact.clone()));
    let mut all: Vec<Constraint> = said.collect();
    all.extend(ends(&near));
    all.truncate(6);
    all
}

/// The reagents with which the reactions of a run end.
fn ends(ledger: &Ledger) -> Vec<Constraint> {
    let operations = ledger.steps.iter().flat_map(|step| &step.operations);
    let ends = operations.filter_map(|operation| match &operation.outcome {
        Outcome::Reacted(record) => Some(Constraint::RunsOut {
            operation: operation.text.clone(),
            species: record.limiting.clone()?,
        }),
        _ => None,
    });
    ends.take(6).collect()
}

/// The shortest decimal that is the same number for every purpose at a bench: within 1 part in 10^11.
fn shortest(number: f64) -> f64 {
    let candidates = (0..15).filter_map(|digits| format!("{number:.digits$e}").parse::<f64>().ok());
    let near = |candidate: &f64| (candidate - number).abs() <= 1e-11 * number.abs();
    candidates.into_iter().find(near).unwrap_or(number)
}
