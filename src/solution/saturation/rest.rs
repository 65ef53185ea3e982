//! Bringing all solids of a liquid to rest at once: Newton's method on the solids that are there, with solids joining where the
//! liquid is above saturation and leaving where they are used up.

use std::sync::Arc;

use crate::number::root::solve;
use crate::solution::activity::{Electrolytes, Tempered, WATER_MOLE};

use super::solids::{Constant, Solid};

/// ln of the saturation ratio within which a solid is at rest.
const AT_REST: f64 = 1e-8;
/// Share of an ion, of all of it that there is, below which nothing more is taken out.
const TRACE: f64 = 1e-13;
/// Share of the water below which the whole counts as set.
const SET: f64 = 0.02;
/// Share of all particles from which on a salt counts as alone.
const MAIN: f64 = 0.9;
/// The largest change of ln of an amount in one step.
const LONGEST: f64 = 1.5;
const MOST_STEPS: usize = 400;
const MOST_ROUNDS: usize = 30;

/// Solids over a liquid, all by amounts in mol.
pub(super) struct System {
    pub electrolytes: Arc<Electrolytes>,
    pub kelvin: f64,
    /// Of each species, with what the solids have of it.
    pub totals: Vec<f64>,
    /// Water, with what the solids have of it.
    pub water: f64,
    pub solids: Vec<Candidate>,
}

/// A solid that may be there.
pub(super) struct Candidate {
    pub solid: Arc<Solid>,
    pub constant: Constant,
    /// Places among the species, with numbers.
    pub gives: Vec<(usize, f64)>,
    /// mol that is there.
    pub amount: f64,
}

/// How the search ended.
#[derive(Clone, Copy, Debug, Eq, PartialEq)]
pub(super) enum End {
    AtRest,
    SetsWhole,
    Unsettled,
}

/// The liquid at one distribution.
struct Point {
    dissolved: Vec<f64>,
    water: f64,
    /// ln of the saturation ratio of each solid.
    ratios: Vec<f64>,
}

impl System {
    /// Moves amounts between liquid and solids until every solid that is there is in equilibrium, and none that is not there is above
    /// saturation.
    pub fn settle(&mut self) -> End {
        if self.lacks_water() {
            return End::SetsWhole;
        }
        self.guess();
        // Which coefficients count depends on the strength in the end.
        let mut end = End::Unsettled;
        let mut strength: Vec<f64> = self.molality(&self.point_of());
        for round in 0..MOST_ROUNDS {
            let electrolytes = Arc::clone(&self.electrolytes);
            let model = electrolytes.tempered(&strength, self.kelvin);
            end = self.settle_by(&model);
            let now = self.molality(&self.point_of());
            if electrolytes.same_model(&strength, &now) {
                break;
            }
            // From one side to the other and back: between them.
            let kept = if round < 2 { 0.0 } else { 0.5 };
            strength
                .iter_mut()
                .zip(&now)
                .for_each(|(old, new)| *old = kept * *old + (1.0 - kept) * new);
        }
        end
    }

    /// Where one salt is all but alone, as much of it as its solubility in pure water leaves: the search begins at its end.
    fn guess(&mut self) {
        let all: f64 = self.totals.iter().sum();
        for at in 0..self.solids.len() {
            let candidate = &self.solids[at];
            let gives = || candidate.gives.iter();
            let most = gives()
                .map(|(ion, n)| self.totals[*ion] / n)
                .fold(f64::MAX, f64::min);
            let particles: f64 = gives().map(|(_, n)| n * most).sum();
            if !candidate.constant.stable || particles < MAIN * all {
                continue;
            }
            let Some(solubility) = candidate.solid.solubility(self.kelvin) else {
                continue;
            };
            let per_water = solubility * WATER_MOLE;
            let amount =
                (most - per_water * self.water) / (1.0 - per_water * candidate.solid.waters);
            let left = self.water - amount * candidate.solid.waters;
            if amount > 0.0 && amount < most && left > SET * self.water {
                self.solids[at].amount = amount;
                return;
            }
        }
    }

    /// Where a hydrate of the main salt would take all the water there is and still leave a stronger liquid than its saturated
    /// solution: as much of it as the water makes, and true.
    fn lacks_water(&mut self) -> bool {
        let all: f64 = self.totals.iter().sum();
        for candidate in &mut self.solids {
            let waters = candidate.solid.waters;
            let gives = || candidate.gives.iter();
            let most = gives()
                .map(|(ion, n)| self.totals[*ion] / n)
                .fold(f64::MAX, f64::min);
            let particles: f64 = gives().map(|(_, n)| n * most).sum();
            if !candidate.constant.stable || particles < 0.5 * all {
                continue;
            }
            let Some(solubility) = candidate.solid.solubility(self.kelvin) else {
                continue;
            };
            let per_water = solubility * WATER_MOLE;
            let excess = most - per_water * self.water;
            let liquid = 1.0 - per_water * waters;
            let lacks = liquid <= 0.0 || self.water - waters * excess / liquid < SET * self.water;
            if excess > 0.0 && waters > 0.0 && lacks {
                candidate.amount = most.min((1.0 - SET) * self.water / waters);
                return true;
            }
        }
        false
    }

    fn settle_by(&mut self, model: &Tempered<'_>) -> End {
        let mut active: Vec<usize> = (0..self.solids.len())
            .filter(|at| self.solids[*at].amount > 0.0)
            .collect();
        let mut swaps = 0;
        for _ in 0..MOST_STEPS {
            let point = self.point(model);
            if point.water < SET * self.water && point.ratios.iter().any(|ratio| *ratio > AT_REST) {
                return End::SetsWhole;
            }
            let off = |at: &usize| point.ratios[*at].abs() > AT_REST && !self.is_trace(*at, &point);
            if active.iter().any(off) {
                if !self.step(model, &point, &mut active) {
                    return End::Unsettled;
                }
                continue;
            }
            let over = (0..self.solids.len()).filter(|at| {
                !active.contains(at) && point.ratios[*at] > AT_REST && !self.is_trace(*at, &point)
            });
            let Some(worst) = over.max_by(|a, b| point.ratios[*a].total_cmp(&point.ratios[*b]))
            else {
                return End::AtRest;
            };
            // Another hydrate of the same salt gives way.
            if let Some(place) = active.iter().position(|at| self.same_salt(*at, worst)) {
                swaps += 1;
                if swaps > 6 {
                    return End::AtRest;
                }
                let before = active.remove(place);
                let moved = self.solids[before].amount * self.solids[before].gives[0].1
                    / self.solids[worst].gives[0].1;
                self.solids[before].amount = 0.0;
                self.solids[worst].amount = moved;
            }
            active.push(worst);
        }
        End::Unsettled
    }

    /// One step of Newton's method on the active solids; `false` if there is none.
    fn step(&mut self, model: &Tempered<'_>, point: &Point, active: &mut Vec<usize>) -> bool {
        // The scarcest of what a solid gives is the scale of its amount.
        let scale = |at: usize| {
            let gives = self.solids[at].gives.iter();
            gives
                .map(|(ion, n)| point.dissolved[*ion] / n)
                .fold(f64::MAX, f64::min)
                .max(f64::MIN_POSITIVE)
        };
        let scales: Vec<f64> = active.iter().map(|at| scale(*at)).collect();
        let mut rows: Vec<Vec<f64>> = active
            .iter()
            .map(|at| {
                vec![0.0; active.len()]
                    .into_iter()
                    .chain([-point.ratios[*at]])
                    .collect()
            })
            .collect();
        for (column, (at, scale)) in active.iter().zip(&scales).enumerate() {
            let by = 1e-5 * scale;
            let moved = self.shifted(*at, by, model, point);
            for (row, other) in rows.iter_mut().zip(active.iter()) {
                row[column] = (moved[*other] - point.ratios[*other]) / 1e-5;
            }
        }
        let Some(steps) = solve(rows) else {
            // Two solids that cannot both be there: the one further below saturation leaves.
            let lowest = (0..active.len())
                .min_by(|a, b| point.ratios[active[*a]].total_cmp(&point.ratios[active[*b]]));
            let Some(lowest) = lowest.filter(|_| active.len() > 1) else {
                return false;
            };
            let at = active.remove(lowest);
            self.solids[at].amount = 0.0;
            return true;
        };
        let changes: Vec<f64> = steps
            .iter()
            .zip(&scales)
            .map(|(step, scale)| step * scale)
            .collect();
        let length = self.allowed(point, active, &changes);
        let mut gone = Vec::new();
        for (at, change) in active.iter().zip(&changes) {
            let amount = &mut self.solids[*at].amount;
            let next = *amount + length * change;
            if next <= 0.0 || (*change < 0.0 && next < 1e-14 * *amount) {
                *amount = 0.0;
                gone.push(*at);
            } else {
                *amount = next;
            }
        }
        active.retain(|at| !gone.contains(at));
        true
    }

    /// The part of a step that keeps every amount within a factor, and every solid from falling below nothing.
    fn allowed(&self, point: &Point, active: &[usize], changes: &[f64]) -> f64 {
        let mut taken = vec![0.0; point.dissolved.len()];
        let mut water = 0.0;
        for (at, change) in active.iter().zip(changes) {
            let solid = &self.solids[*at];
            solid
                .gives
                .iter()
                .for_each(|(ion, n)| taken[*ion] += n * change);
            water += solid.solid.waters * change;
        }
        let most = 1.0 - libm::exp(-LONGEST);
        let by_ions = taken
            .iter()
            .zip(&point.dissolved)
            .filter(|(taken, _)| **taken > 0.0);
        let by_ions = by_ions.map(|(taken, there)| most * there / taken);
        let by_growth = taken
            .iter()
            .zip(&point.dissolved)
            .filter(|(taken, _)| **taken < 0.0);
        let by_growth =
            by_growth.map(|(taken, there)| libm::exp(LONGEST) * there.max(TRACE) / -taken);
        let by_water = (water > 0.0).then(|| 0.5 * point.water / water);
        let by_amount = active
            .iter()
            .zip(changes)
            .filter(|(_, change)| **change < 0.0);
        let by_amount = by_amount.map(|(at, change)| self.solids[*at].amount / -change);
        by_ions
            .chain(by_growth)
            .chain(by_water)
            .chain(by_amount)
            .fold(1.0, f64::min)
    }

    /// ln of the saturation ratios with `by` mol more of one solid.
    fn shifted(&self, at: usize, by: f64, model: &Tempered<'_>, point: &Point) -> Vec<f64> {
        let mut dissolved = point.dissolved.clone();
        let solid = &self.solids[at];
        solid
            .gives
            .iter()
            .for_each(|(ion, n)| dissolved[*ion] -= n * by);
        self.ratios(model, &dissolved, point.water - solid.solid.waters * by)
    }

    /// Whether all but a trace of one of its ions has left the liquid: less cannot be calculated.
    fn is_trace(&self, at: usize, point: &Point) -> bool {
        let candidate = &self.solids[at];
        let scarce = candidate
            .gives
            .iter()
            .any(|(ion, _)| point.dissolved[*ion] <= TRACE * self.totals[*ion]);
        scarce && point.ratios[at] > 0.0
    }

    fn same_salt(&self, one: usize, other: usize) -> bool {
        let (a, b) = (&self.solids[one].gives, &self.solids[other].gives);
        let ratio = a[0].1 / b[0].1;
        a.len() == b.len()
            && a.iter().all(|(ion, n)| {
                b.iter()
                    .any(|(known, m)| known == ion && (n / m / ratio - 1.0).abs() < 1e-9)
            })
    }

    fn point(&self, model: &Tempered<'_>) -> Point {
        let mut point = self.point_of();
        point.ratios = self.ratios(model, &point.dissolved, point.water);
        point
    }

    /// The liquid that the amounts of the solids leave, without saturation ratios.
    fn point_of(&self) -> Point {
        let mut dissolved = self.totals.clone();
        let mut water = self.water;
        for candidate in self
            .solids
            .iter()
            .filter(|candidate| candidate.amount > 0.0)
        {
            candidate
                .gives
                .iter()
                .for_each(|(ion, n)| dissolved[*ion] -= n * candidate.amount);
            water -= candidate.solid.waters * candidate.amount;
        }
        for (left, total) in dissolved.iter_mut().zip(&self.totals) {
            *left = left.max(1e-3 * TRACE * total);
        }
        let water = water.max(1e-3 * SET * self.water);
        Point {
            dissolved,
            water,
            ratios: Vec::new(),
        }
    }

    fn molality(&self, point: &Point) -> Vec<f64> {
        point
            .dissolved
            .iter()
            .map(|n| n / (point.water * WATER_MOLE))
            .collect()
    }

    fn ratios(&self, model: &Tempered<'_>, dissolved: &[f64], water: f64) -> Vec<f64> {
        let molality: Vec<f64> = dissolved.iter().map(|n| n / (water * WATER_MOLE)).collect();
        let at = model.activities(&molality);
        let of = |candidate: &Candidate| {
            let gives = candidate.gives.iter();
            let product: f64 = gives
                .map(|(ion, n)| n * (libm::log(molality[*ion]) + at.ln_gamma[*ion]))
                .sum();
            product + candidate.solid.waters * at.ln_water - candidate.constant.ln_k
        };
        self.solids.iter().map(of).collect()
    }

    /// What is dissolved, the water left in mol, and ln of the saturation ratio of each solid.
    pub fn now(&self) -> (Vec<f64>, f64, Vec<f64>) {
        let point = self.point_of();
        let model = self
            .electrolytes
            .tempered(&self.molality(&point), self.kelvin);
        let ratios = self.ratios(&model, &point.dissolved, point.water);
        (point.dissolved, point.water, ratios)
    }
}
