//! What comes of it when contents meet, grow hot, fall dry or stand.
//!
//! Promises: what was already together is not told again; of rows that say the same the nearest to the case is told.
//!
//! Knows nothing of vessels or routes: it is asked about mixes and circumstances.

use crate::matter::Species;

use super::group::{GroupId, Groups, book};
use super::mix::Mix;
use super::rule::{Compiled, Rule, Severity};

/// What stands around some contents.
#[derive(Clone, Copy, Debug)]
pub struct Circumstances {
    /// The temperature in °C.
    pub celsius: f64,
    /// How long they stay together, in h.
    pub hours: f64,
    /// Whether the vessel is closed.
    pub sealed: bool,
    /// Whether it is the waste jar.
    pub waste: bool,
    /// Whether gas is made.
    pub gas: bool,
    /// Whether it is boiled.
    pub boiling: bool,
}

/// A row that holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Meeting {
    /// Which row.
    pub rule: Rule,
    /// How grave it is here.
    pub severity: Severity,
    /// What is there of its two sides.
    pub between: [Vec<Species>; 2],
}

/// What comes of pouring one thing to another; the contents of `together` are those of both, `came` stood in `from`
/// before.
///
/// ```
/// use aludel::hazard::{Circumstances, Mix, Severity, poured};
/// use aludel::{matter::Species, number::Exact};
/// let one = Exact::one();
/// let ions = ["Na^+(aq)", "CN^-(aq)", "H^+(aq)", "Cl^-(aq)"].map(|ion| Species::parse(ion).unwrap());
/// let [sodium, cyanide, hydrogen, chloride] = &ions;
/// let there = Mix::of([(sodium, &one), (cyanide, &one)]);
/// let came = Mix::of([(hydrogen, &one), (chloride, &one)]);
/// let together = Mix::of(ions.iter().map(|ion| (ion, &one)));
/// let bench = Circumstances { celsius: 20.0, hours: 0.0, sealed: false, waste: false, gas: false, boiling: false };
/// assert_eq!(poured(&there, (&came, &bench), (&together, &bench))[0].severity, Severity::Stop);
/// ```
pub fn poured(
    there: &Mix<'_>,
    (came, from): (&Mix<'_>, &Circumstances),
    (together, around): (&Mix<'_>, &Circumstances),
) -> Vec<Meeting> {
    let both = Case {
        strong: &[there, came, together],
        all: together,
        around,
        onto: Some((there, came)),
    };
    told(both.holding(), &both, |rule| {
        let was_there = Case::of(there, around).severity(rule);
        was_there.max(Case::of(came, from).severity(rule))
    })
}

/// Whether any row is about what is here, at whatever strength: most contents need no further look.
pub fn concerns(mix: &Mix<'_>, around: &Circumstances) -> bool {
    let case = Case::of(mix, around);
    let groups = case.groups();
    groups.iter().flat_map(Rule::of).any(|rule| {
        let row = rule.compiled();
        row.b.iter().all(|group| groups.contains(*group))
            && (!row.waste_only || around.waste)
            && (row.otherwise.is_some() || case.reached(row))
    })
}

/// What comes of it when contents change, or what is around them: told as far as it was not so before.
pub fn changed(
    before: (&Mix<'_>, &Circumstances),
    after: (&Mix<'_>, &Circumstances),
) -> Vec<Meeting> {
    let (was, is) = (Case::of(before.0, before.1), Case::of(after.0, after.1));
    told(is.holding(), &is, |rule| was.severity(rule))
}

/// Contents and circumstances that rows are held against.
struct Case<'c, 'm> {
    /// Where the strength of a group is looked for: the strongest counts.
    strong: &'c [&'c Mix<'m>],
    all: &'c Mix<'m>,
    around: &'c Circumstances,
    /// What was there, and what came.
    onto: Option<(&'c Mix<'m>, &'c Mix<'m>)>,
}

impl<'c, 'm> Case<'c, 'm> {
    fn of(mix: &'c Mix<'m>, around: &'c Circumstances) -> Self {
        Case {
            strong: &[],
            all: mix,
            around,
            onto: None,
        }
    }

    fn groups(&self) -> Groups {
        let mut groups = self.all.groups();
        groups.extend(book().always);
        let circumstances = [
            (self.around.sealed, book().closed_vessel),
            (self.around.gas, book().gas_maker),
            (self.around.boiling, book().boiling),
        ];
        for (_, group) in circumstances.into_iter().filter(|(holds, _)| *holds) {
            groups.extend(group);
        }
        groups
    }

    fn holding(&self) -> Vec<(Rule, Severity)> {
        if self.all.is_empty() {
            return Vec::new();
        }
        let groups = self.groups();
        let rules = groups.iter().flat_map(Rule::of);
        let holds = rules.filter_map(|rule| Some((rule, self.severity_within(rule, groups)?)));
        holds.collect()
    }

    fn severity(&self, rule: Rule) -> Option<Severity> {
        self.severity_within(rule, self.groups())
    }

    fn severity_within(&self, rule: Rule, groups: Groups) -> Option<Severity> {
        let row = rule.compiled();
        let there = |group: &GroupId| groups.contains(*group);
        if !there(&row.a) || !row.b.iter().all(there) || row.waste_only && !self.around.waste {
            return None;
        }
        if row.otherwise.is_none() && !self.reached(row) {
            return None; // the cheap conditions first: amounts cost arithmetic
        }
        let sides = || std::iter::once(&row.a).chain(&row.b);
        if !sides().all(|group| self.counts(*group)) {
            return None;
        }
        match self.fulfilled(rule) {
            true => Some(row.severity),
            false => row.otherwise,
        }
    }

    /// More than a trace, and as strong as the group asks for.
    fn counts(&self, group: GroupId) -> bool {
        if !self.all.groups().contains(group) {
            return true; // a circumstance, not a substance
        }
        let (low, high) = book().bounds(group);
        let within = || (low..high).contains(&self.percent(group));
        self.all.more_than_a_trace(group) && (low == 0.0 && high.is_infinite() || within())
    }

    fn percent(&self, group: GroupId) -> f64 {
        let parts = self
            .strong
            .iter()
            .filter(|mix| mix.groups().contains(group));
        let strongest = parts.map(|mix| mix.percent(group)).reduce(f64::max);
        strongest.unwrap_or_else(|| self.all.percent(group))
    }

    fn fulfilled(&self, rule: Rule) -> bool {
        let row = rule.compiled();
        let [percent_a, percent_b] = row.min_percent;
        let strong = |least: Option<f64>, group: Option<&GroupId>| match (least, group) {
            (Some(least), Some(group)) => self.percent(*group) >= least,
            _ => true,
        };
        self.reached(row)
            && (!row.b_onto_a || self.came_onto(row.a, &row.b))
            && (!row.dry || self.all.is_dry())
            && strong(percent_a, Some(&row.a))
            && strong(percent_b, row.b.first())
            && row
                .min_grams_a
                .is_none_or(|least| self.all.grams_of(row.a) >= least)
    }

    /// As hot, and as long together, as the row asks for.
    fn reached(&self, row: &Compiled) -> bool {
        let reaches = |least: Option<f64>, found: f64| least.is_none_or(|least| found >= least);
        reaches(row.min_celsius, self.around.celsius) && reaches(row.min_hours, self.around.hours)
    }

    fn came_onto(&self, a: GroupId, b: &[GroupId]) -> bool {
        let Some((there, came)) = self.onto else {
            return false;
        };
        there.groups().contains(a)
            && !came.groups().contains(a)
            && b.iter().all(|b| came.groups().contains(*b))
    }
}

/// What is new, the gravest first, each kind of harm once.
fn told(
    holding: Vec<(Rule, Severity)>,
    case: &Case<'_, '_>,
    before: impl Fn(Rule) -> Option<Severity>,
) -> Vec<Meeting> {
    let mut fresh = holding;
    fresh.retain(|(rule, severity)| before(*rule).is_none_or(|was| was < *severity));
    fresh.sort_by_key(|(rule, severity)| {
        (
            std::cmp::Reverse(*severity),
            rule.compiled().breadth,
            rule.key(),
        )
    });
    let mut kept: Vec<(Rule, Severity)> = Vec::new();
    for (rule, severity) in fresh {
        if !kept
            .iter()
            .any(|(other, graver)| *graver >= severity && same_harm(*other, rule))
        {
            kept.push((rule, severity));
        }
    }
    kept.into_iter()
        .map(|(rule, severity)| case.meeting(rule, severity))
        .collect()
}

/// The same gas, or the same words.
fn same_harm(one: Rule, other: Rule) -> bool {
    let gases = |rule: Rule| rule.gives_off().collect::<Vec<_>>();
    let gas = gases(one);
    one.consequence() == other.consequence()
        || !gas.is_empty()
            && gases(other).iter().all(|g| gas.contains(g))
            && !gases(other).is_empty()
}

impl Case<'_, '_> {
    fn meeting(&self, rule: Rule, severity: Severity) -> Meeting {
        let row = rule.compiled();
        let b = row
            .b
            .iter()
            .flat_map(|group| self.all.named(*group))
            .collect();
        Meeting {
            rule,
            severity,
            between: [self.all.named(row.a), b],
        }
    }
}
