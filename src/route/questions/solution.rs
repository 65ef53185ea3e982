//! `solution …`: strengths told anew, what to take for a solution, what becomes of a mixture, bottles side by side.
//!
//! Amounts follow from masses, which add up; what becomes of them is found by putting them together in a vessel of its
//! own, with the same heats, densities and solubilities as anywhere in a route.

use typed_index_collections::TiVec;

use crate::matter::Species;
use crate::number::{Exact, Number, Quantity, Unit, unit};
use crate::solution::{self, Strength};
use crate::text::Span;
use crate::vessel::{Reagent, liquid, reagent};

use super::super::bench::Vessel;
use super::super::ledger::*;
use super::super::moment::{Done, Refusal, Run, State, heat_control};
use super::super::operations::carry_out;
use super::super::program::*;

mod compare;

/// The one vessel of [`SideBench::vessel`].
const BEAKER: VesselId = VesselId::FIRST;

/// The statement: its answer goes into the ledger.
pub fn solution(run: &mut Run<'_>, question: &SolutionQuestion) -> Done<()> {
    let mut room = run.program.clone();
    room.ambient.temperature = question.kelvin.clone();
    room.bottles = run.shelf();
    let mut answer = SolutionAnswer {
        text: question.text.clone(),
        kelvin: question.kelvin.clone(),
        take: Vec::new(),
        made: None,
        mixed: None,
        compared: None,
    };
    let mut side = SideBench {
        program: &room,
        run,
    };
    side.answer(question, &mut answer)?;
    run.record.ledger.solutions.push(answer);
    Ok(())
}

/// The program at the temperature asked for, and the run that remarks go to.
struct SideBench<'b, 'r> {
    program: &'b Program,
    run: &'b mut Run<'r>,
}

/// How much of what.
type Part<'m> = (&'m Matter, Number);

impl SideBench<'_, '_> {
    fn answer(&mut self, question: &SolutionQuestion, answer: &mut SolutionAnswer) -> Done<()> {
        match &question.kind {
            SolutionKind::Strengths(matter) => {
                answer.made = Some(self.card(matter)?);
            }
            SolutionKind::Make {
                amount,
                target,
                from,
            } => self.make(amount, target, from, answer)?,
            SolutionKind::Dilute { amount, from, to } => self.dilute(amount, from, to, answer)?,
            SolutionKind::Mix(portions) => self.mix(portions, answer)?,
            SolutionKind::Compare(compared) => {
                answer.compared = Some(self.compare(compared)?);
            }
        }
        Ok(())
    }

    fn fault<T>(&self, fact: impl Into<Fact>) -> Done<T> {
        Err(Refusal::of(fact.into()))
    }

    /// Every strength of one solution.
    fn card(&mut self, matter: &Matter) -> Done<MadeSolution> {
        let solute = self.solute(matter)?;
        let fraction = self.fraction(matter, &solute)?;
        let density = self.given_density(matter, &solute);
        self.made(&solute, fraction, density, None)
    }

    /// The substance in the water; water alone and mixtures have none.
    fn solute(&mut self, matter: &Matter) -> Done<Species> {
        let (solute, _) =
            solution::anhydrous(&matter.stuff(self.program).substance().with_phase(None));
        if solute.key() == "H2O" {
            return self.fault(SolutionFact::NotOfSolute {
                label: matter.label.clone(),
                solute: None,
            });
        }
        Ok(solute)
    }

    /// g of a solute, anhydrous, in 1 g of what stands on the shelf.
    fn fraction(&mut self, matter: &Matter, solute: &Species) -> Done<Number> {
        let (inside, _) =
            solution::anhydrous(&matter.stuff(self.program).substance().with_phase(None));
        match matter.stuff(self.program) {
            _ if inside.key() == "H2O" => Ok(Number::zero()),
            _ if inside.key() != solute.key() => self.fault(SolutionFact::NotOfSolute {
                label: matter.label.clone(),
                solute: Some(solute.clone()),
            }),
            Reagent::Solution { mass_fraction, .. } => Ok(mass_fraction.clone()),
            Reagent::Pure {
                species, purity, ..
            } => {
                let dry = inside.molar_mass().checked_div(species.molar_mass());
                Ok(purity.scaled(&dry.unwrap_or_else(Exact::one)))
            }
        }
    }

    /// The density that a label gives; `None` where it is that of the tables.
    fn given_density(&self, matter: &Matter, solute: &Species) -> Option<Number> {
        let Reagent::Solution {
            density: Some(density),
            mass_fraction,
            ..
        } = matter.stuff(self.program)
        else {
            return None;
        };
        let kelvin = &self.program.ambient.temperature;
        let known = solution::density(solute, mass_fraction, kelvin).ok();
        let same = |known: f64| (density.to_f64() / known - 1.0).abs() < 1e-9;
        let derived = known.is_some_and(|known| same(known.value.to_f64()));
        (!derived).then(|| density.clone())
    }

    fn made(
        &mut self,
        solute: &Species,
        fraction: Number,
        density: Option<Number>,
        grams: Option<Number>,
    ) -> Done<MadeSolution> {
        let kelvin = self.program.ambient.temperature.clone();
        let strength = Strength::MassFraction(fraction.clone());
        // A density given on a label is kept only where it is the label's own solution.
        let made = solution::composition(solute, &strength, &kelvin, density.as_ref());
        let Ok(made) = made else {
            return self.fault(SolutionFact::TooStrong {
                solute: solute.clone(),
                fraction,
                saturated: saturated(solute, &kelvin),
            });
        };
        if let (Some(known), Some(given)) = (&made.disagrees, &made.density) {
            let fact = SolutionFact::DensitiesDisagree {
                label: solute.key().to_owned(),
                given: given.value.clone(),
                known: known.value.clone(),
                source: known.source.code,
            };
            self.run.remark(Weight::Warning, fact.into());
        }
        let density = made.density.as_ref().map(|density| &density.value);
        Ok(MadeSolution {
            restated: solution::restate(&made, &kelvin),
            millilitres: grams
                .as_ref()
                .zip(density)
                .and_then(|(g, d)| g.checked_div(d)),
            grams,
            composition: made,
        })
    }

    fn make(
        &mut self,
        amount: &Value,
        target: &Matter,
        from: &[Matter],
        answer: &mut SolutionAnswer,
    ) -> Done<()> {
        let solute = self.solute(target)?;
        let wanted = self.fraction(target, &solute)?;
        let total = self.grams_of(amount, target)?;
        let water = Matter::water();
        let (first, second) = match from {
            [first, second, ..] => (first, second),
            [first] => (first, &water),
            [] => (&water, &water),
        };
        let (a, b) = (
            self.fraction(first, &solute)?,
            self.fraction(second, &solute)?,
        );
        let parts = match solution::aliquots(&a, &b, &wanted, &total) {
            Ok(parts) => parts,
            Err(between) => {
                return self.fault(SolutionFact::NotBetween {
                    wanted,
                    low: between.low,
                    high: between.high,
                });
            }
        };
        let parts = [(first, parts.first), (second, parts.second)];
        let density = self.given_density(target, &solute);
        answer.made = Some(self.made(&solute, wanted, density, Some(total))?);
        self.together(&parts, answer)
    }

    fn dilute(
        &mut self,
        amount: &Value,
        from: &Matter,
        to: &DilutedTo,
        answer: &mut SolutionAnswer,
    ) -> Done<()> {
        let solute = self.solute(from)?;
        let present = self.fraction(from, &solute)?;
        let taken = self.grams_of(amount, from)?;
        let dry = &taken * &present;
        let total = match to {
            DilutedTo::Strength(target) => {
                let wanted = self.fraction(target, &solute)?;
                dry.checked_div(&wanted)
            }
            DilutedTo::Amount(end) => self.grams_at_mark(end, &solute, &taken, &present)?,
        };
        let water = total.as_ref().map(|total| total - &taken);
        let (Some(total), Some(water)) = (total, water.filter(|water| !water.is_negative())) else {
            return self.fault(SolutionFact::NotBetween {
                wanted: present.clone(),
                low: 0.0,
                high: present.to_f64(),
            });
        };
        let reached = dry.checked_div(&total).unwrap_or_else(Number::zero);
        answer.made = Some(self.made(&solute, reached, None, Some(total))?);
        self.together(&[(from, taken), (&Matter::water(), water)], answer)
    }

    /// g of solution that fill up to a mark, or the mass itself; `None` where the mark is below what is there.
    fn grams_at_mark(
        &mut self,
        end: &Value,
        solute: &Species,
        taken: &Number,
        present: &Number,
    ) -> Done<Option<Number>> {
        let end = self.run.quantity(end)?;
        if let Ok(grams) = end.in_unit(&unit::GRAM) {
            return Ok(Some(grams));
        }
        let Ok(mark) = end.in_unit(&unit::MILLILITRE) else {
            return Ok(None);
        };
        let kelvin = &self.program.ambient.temperature;
        let made = solution::dilute_to_mark(solute, taken, present, &mark, kelvin);
        Ok(made.ok().map(|made| taken + &made.water))
    }

    /// g of an amount of something.
    fn grams_of(&mut self, amount: &Value, matter: &Matter) -> Done<Number> {
        let quantity = self.run.quantity(amount)?;
        match reagent::measure(matter.stuff(self.program), &quantity, &self.program.ambient) {
            Some(measured) => Ok(measured.grams),
            None => self.fault(Fact::NoVolume {
                vessel: matter.label.clone(),
            }),
        }
    }

    fn mix(&mut self, portions: &[Portion], answer: &mut SolutionAnswer) -> Done<()> {
        let mut parts: Vec<Part<'_>> = Vec::with_capacity(portions.len());
        for portion in portions {
            let taken = self.grams_of(&portion.amount, &portion.matter)?;
            parts.push((&portion.matter, taken));
        }
        let solutes: Vec<Species> = parts
            .iter()
            .map(|(matter, _)| {
                solution::anhydrous(&matter.stuff(self.program).substance().with_phase(None)).0
            })
            .filter(|solute| solute.key() != "H2O")
            .collect();
        if let Some(only) = solutes.first()
            && solutes.iter().all(|other| other.key() == only.key())
        {
            let mut shares = Vec::with_capacity(parts.len());
            for (matter, taken) in &parts {
                shares.push((taken.clone(), self.fraction(matter, only)?));
            }
            if let Some(blend) = solution::blended(&shares) {
                let total = shares.iter().map(|(taken, _)| taken.clone()).sum();
                answer.made = Some(self.made(only, blend, None, Some(total))?);
            }
        }
        self.together(&parts, answer)
    }

    /// The parts as they are measured out, and what they are together.
    fn together(&mut self, parts: &[Part<'_>], answer: &mut SolutionAnswer) -> Done<()> {
        let parts = || parts.iter().filter(|(_, grams)| grams.is_positive());
        for (matter, taken) in parts() {
            answer.take.push(Taken {
                label: matter.label.clone(),
                grams: taken.clone(),
                millilitres: self.millilitres(matter, taken),
            });
        }
        // The weaker goes first, as at the bench: acid into water.
        let mut ordered: Vec<&Part<'_>> = parts().collect();
        let share = |part: &Part<'_>| share_of(part.0.stuff(self.program));
        ordered.sort_by(|a, b| share(a).total_cmp(&share(b)));
        let portions: Vec<Portion> = ordered
            .into_iter()
            .map(|(matter, taken)| Portion {
                amount: constant(taken.clone(), &unit::GRAM, &matter.label),
                matter: (*matter).clone(),
            })
            .collect();
        let vessel = self
            .vessel(vec![Action::Charge {
                vessel: BEAKER,
                portions,
                at: None,
                over: None,
            }])?
            .0;
        let summed: Option<Vec<Number>> = answer
            .take
            .iter()
            .map(|taken| taken.millilitres.clone())
            .collect();
        let mixture = vessel.bench.vessel(BEAKER);
        answer.mixed = Some(MixedSolution {
            grams: mixture.contents().grams(),
            millilitres: volume(mixture),
            summed: summed.map(|all| all.into_iter().sum()),
            temperature: mixture.temperature().clone(),
            contents: mixture.contents().listed(),
        });
        Ok(())
    }

    fn millilitres(&self, matter: &Matter, taken: &Number) -> Option<Number> {
        let quantity = Quantity::of(taken.clone(), &unit::GRAM);
        reagent::measure(matter.stuff(self.program), &quantity, &self.program.ambient)?.millilitres
    }

    /// One vessel of its own after some operations, with what came of them; what they warn of is said here too.
    fn vessel(&mut self, actions: Vec<Action>) -> Done<(State, Vec<Outcome>)> {
        let mut program = self.program.clone();
        program.vessels = TiVec::from(vec![VesselSlot {
            name: "mixture".to_owned(),
            capacity: None,
            capacity_from: None,
        }]);
        let mut state = State::new(&program);
        state.values.clone_from(self.run.values);
        state.record.here = self.run.record.here;
        let mut aside = state.run(&program);
        let outcomes = actions
            .iter()
            .filter_map(|action| carry_out(&mut aside, action));
        let outcomes: Vec<Outcome> = outcomes.collect();
        let hot = heat_control::tell(&aside, BEAKER);
        aside.record.remarks.extend(hot);
        let told = state.record.remarks.iter();
        for remark in told.filter(|remark| remark.level > Weight::Note) {
            // One bottle after the other may give cause for the same.
            if !self.run.record.remarks.contains(remark) {
                self.run.record.remarks.push(remark.clone());
            }
        }
        for source in &state.record.ledger.sources {
            self.run.record.cite(source);
        }
        match state.scope.refusals.first() {
            Some((_, refusal)) => Err(refusal.clone()),
            None => Ok((state, outcomes)),
        }
    }
}

/// Volume of the liquid in a vessel, in mL.
fn volume(vessel: &Vessel) -> Option<Number> {
    let found = liquid::volume(vessel.contents(), vessel.temperature())?;
    Some(found.value)
}

fn saturated(solute: &Species, kelvin: &Number) -> Option<Number> {
    let found = solution::solubility(solute, kelvin).ok()?;
    let grams = found.value.grams_per_100_g_water;
    grams.checked_div(&(&grams + &Number::exact(Exact::from(100))))
}

/// How strong something is, for putting things in order.
fn share_of(stuff: &Reagent) -> f64 {
    match stuff {
        Reagent::Solution { mass_fraction, .. } => mass_fraction.to_f64(),
        Reagent::Pure { species, .. } if species.key() == "H2O" => 0.0,
        Reagent::Pure { .. } => 1.0,
    }
}

/// A quantity that is known already, as an operation takes it; messages about it name what it is of.
fn constant(number: Number, unit: &Unit, of: &str) -> Value {
    Value {
        node: Node::Constant(Quantity::of(number, unit)),
        dimension: unit.dimension(),
        unit: Some(*unit),
        demand: Demand::PORTION,
        span: Span::default(),
        text: of.to_owned(),
    }
}
