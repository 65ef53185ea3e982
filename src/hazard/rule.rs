//! The table of what must not meet, made ready for asking.

use std::sync::LazyLock;

use crate::data::Row;
use crate::equation::{Reaction, Term, parse_equation};

use super::group::{GroupId, book};
use super::tables::PAIRS;

/// How much a meeting matters, the gravest last.
#[derive(Clone, Copy, Debug, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub enum Severity {
    /// Worth a precaution.
    Caution,
    /// Only as a planned step, in the hood.
    Danger,
    /// Refused, unless the route accepts it.
    Stop,
    /// Refused whatever the route says.
    Forbidden,
}

impl Severity {
    /// `caution`, `danger`, `stop`, `forbidden`.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Caution => "caution",
            Severity::Danger => "danger",
            Severity::Stop => "stop",
            Severity::Forbidden => "forbidden",
        }
    }

    fn of_word(word: &str) -> Option<Severity> {
        use Severity::*;
        [Caution, Danger, Stop, Forbidden]
            .into_iter()
            .find(|severity| severity.word() == word)
    }
}

/// One row of the table.
#[derive(Clone, Copy)]
pub struct Rule(&'static Compiled);

impl PartialEq for Rule {
    fn eq(&self, other: &Rule) -> bool {
        self.key() == other.key()
    }
}

impl Eq for Rule {}

impl std::fmt::Debug for Rule {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.key())
    }
}

/// A row with its words looked up.
pub(super) struct Compiled {
    row: Row,
    pub(super) a: GroupId,
    /// All of these must be there.
    pub(super) b: Vec<GroupId>,
    pub(super) severity: Severity,
    pub(super) otherwise: Option<Severity>,
    pub(super) dry: bool,
    pub(super) min_percent: [Option<f64>; 2],
    pub(super) min_celsius: Option<f64>,
    pub(super) min_grams_a: Option<f64>,
    pub(super) min_hours: Option<f64>,
    pub(super) b_onto_a: bool,
    pub(super) waste_only: bool,
    /// Kinds of substance the two sides name: the fewer, the nearer the row is to the case.
    pub(super) breadth: usize,
}

impl Rule {
    /// The key that `accept hazard` names: `R001`.
    pub fn key(self) -> &'static str {
        self.0.row.cell("rule_id")
    }

    /// What comes of it, in words.
    pub fn consequence(self) -> &'static str {
        self.0.row.cell("consequence")
    }

    /// The gases it gives off, by formula.
    pub fn gives_off(self) -> impl Iterator<Item = &'static str> {
        self.0
            .row
            .cell("gives_off")
            .split(';')
            .filter(|gas| !gas.is_empty())
    }

    /// An equation of it, balanced; left out on purpose where it would only teach harm.
    pub fn equation(self) -> Option<Reaction> {
        let skeleton = parse_equation(self.0.row.filled("equation")?).ok()?;
        let side = |terms: &[Term]| -> Vec<_> {
            let one = |term: &Term| {
                let count = term.coefficient.as_ref();
                let count = count.map_or_else(|| 1.into(), |count| count.numerator().clone());
                (count, term.species.clone())
            };
            terms.iter().map(one).collect()
        };
        Some(Reaction {
            left: side(&skeleton.left),
            right: side(&skeleton.right),
        })
    }

    /// What to do, or not to do.
    pub fn action(self) -> &'static str {
        self.0.row.cell("action")
    }

    /// What meets, by the names of the groups.
    pub fn between(self) -> [&'static str; 2] {
        [
            book().name(self.0.a),
            self.0.b.first().map_or("", |b| book().name(*b)),
        ]
    }

    /// The same for the middle of a sentence.
    pub fn briefly_between(self) -> [&'static str; 2] {
        [
            book().short_name(self.0.a),
            self.0.b.first().map_or("", |b| book().short_name(*b)),
        ]
    }

    /// Whether a meeting of this severity came about by bringing the second side to the first, which the row is about.
    pub fn is_wrong_way_round(self, severity: Severity) -> bool {
        self.0.b_onto_a && severity == self.0.severity
    }

    /// Whether a route can accept it: there is a case in which it is no more than refused.
    pub fn can_be_accepted(self) -> bool {
        self.0.severity < Severity::Forbidden || self.0.otherwise == Some(Severity::Stop)
    }

    /// Where the row comes from.
    pub fn source(self) -> &'static str {
        self.0.row.cell("source")
    }

    /// The temperature in °C from which heat alone harms its first side; `None` for every other row.
    pub(super) fn own_heat_limit(self) -> Option<f64> {
        let alone = self.0.b.as_slice() == [book().heat];
        self.0.min_celsius.filter(|_| alone)
    }

    pub(super) fn compiled(self) -> &'static Compiled {
        self.0
    }

    /// The row that a text names by its key, words behind it left aside, or by its consequence.
    ///
    /// ```
    /// use aludel::hazard::Rule;
    /// assert_eq!(Rule::named("R185 azide with acid").map(Rule::key), Some("R185"));
    /// assert!(Rule::named("all of them").is_none());
    /// ```
    pub fn named(text: &str) -> Option<Rule> {
        let word = text
            .split(|c: char| !c.is_alphanumeric())
            .next()
            .unwrap_or_default();
        let same = |rule: &Compiled| {
            let (key, words) = (rule.row.cell("rule_id"), rule.row.cell("consequence"));
            key.eq_ignore_ascii_case(word) || words.eq_ignore_ascii_case(text.trim())
        };
        rules().iter().find(|rule| same(rule)).map(Rule)
    }

    /// Every row.
    pub fn all() -> impl Iterator<Item = Rule> {
        rules().iter().map(Rule)
    }

    /// The rows whose first side is this group.
    pub(super) fn of(group: GroupId) -> impl Iterator<Item = Rule> {
        static BY_GROUP: LazyLock<Vec<Vec<Rule>>> = LazyLock::new(|| {
            let mut all: Vec<Vec<Rule>> = Vec::new();
            for rule in rules() {
                if all.len() <= rule.a {
                    all.resize(rule.a + 1, Vec::new());
                }
                all[rule.a].push(Rule(rule));
            }
            all
        });
        BY_GROUP.get(group).into_iter().flatten().copied()
    }
}

fn rules() -> &'static [Compiled] {
    static RULES: LazyLock<Vec<Compiled>> =
        LazyLock::new(|| PAIRS.rows().filter_map(Compiled::of).collect());
    &RULES
}

impl Compiled {
    /// `None` for a row whose words are not understood; the table tests see that there is none.
    fn of(row: Row) -> Option<Compiled> {
        let a = book().id(row.cell("group_a"))?;
        let named = row.cell("group_b").split('+').map(|name| book().id(name));
        let b: Vec<GroupId> = named.collect::<Option<_>>()?;
        let breadth = book().breadth(a) + b.iter().map(|b| book().breadth(*b)).sum::<usize>();
        Some(Compiled {
            row,
            a,
            b,
            severity: Severity::of_word(row.cell("severity"))?,
            otherwise: Severity::of_word(row.cell("otherwise")),
            dry: row.cell("state") == "dry",
            min_percent: [row.float("min_percent_a"), row.float("min_percent_b")],
            min_celsius: row.float("min_celsius"),
            min_grams_a: row.float("min_grams_a"),
            min_hours: row.float("min_hours"),
            b_onto_a: row.cell("order") == "b onto a",
            waste_only: row.cell("where") == "waste",
            breadth,
        })
    }
}
