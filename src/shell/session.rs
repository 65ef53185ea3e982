//! What a conversation remembers, and the answer to each entry.

use std::collections::BTreeSet;
use std::ops::Range;

use super::doors::Status;
use super::entry::Entry;
use super::equation::balanced;
use super::help;
use super::script::Kept;
use crate::data::Store;
use crate::diagnostic::{Message, formula_fault, route_fact, route_fault};
use crate::equation::{Reaction, Skeleton};
use crate::figure;
use crate::matter::{Notation, Species};
use crate::report::{self, Style};
use crate::route::ledger::{Fact, Remark};
use crate::route::parse::{RESERVED, verbs};
use crate::route::{self, CheckFault, Ledger};
use crate::text::{Source, Span};

/// The answer to one entry.
#[derive(Debug, Default)]
pub struct Reply {
    /// To be printed as it is.
    pub answer: String,
    /// Places are those of the entry.
    pub messages: Vec<Message>,
    /// How it went.
    pub status: Status,
    /// Whether the conversation ends.
    pub leave: bool,
}

impl Reply {
    pub(super) fn answer(answer: String) -> Self {
        Reply {
            answer,
            ..Reply::default()
        }
    }

    pub(super) fn refusal(messages: Vec<Message>) -> Self {
        Reply {
            messages,
            status: Status::Wrong,
            ..Reply::default()
        }
    }
}

/// A conversation: what was declared and done so far.
#[derive(Debug)]
pub struct Session {
    pub(super) store: Store,
    /// What the statements so far came to.
    pub(super) route: route::Session,
    /// Entries that did not fail.
    pub(super) kept: Vec<Kept>,
    /// Formulas seen, for completion.
    formulas: BTreeSet<String>,
}

impl Default for Session {
    fn default() -> Self {
        let store = Store::default();
        Session {
            route: route::Session::new(&store),
            store,
            kept: Vec::new(),
            formulas: BTreeSet::new(),
        }
    }
}

impl Session {
    /// A conversation about nothing yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Answers an entry. One that fails leaves the session as it was.
    ///
    /// ```
    /// let mut session = aludel::shell::Session::new();
    /// assert!(session.enter("H2O").answer.contains("18.015"));
    /// assert_eq!(session.enter("Xx").messages[0].kind, "unknown-element");
    /// ```
    pub fn enter(&mut self, text: &str) -> Reply {
        let entry = Entry::of(text, is_verb);
        let lone = match entry {
            Entry::Equation(lone)
            | Entry::Working(lone)
            | Entry::Ions(lone)
            | Entry::Formula(lone)
            | Entry::Expression(lone) => lone,
            _ => text,
        };
        let offset = text.find(lone).unwrap_or(0);
        let mut reply = match entry {
            Entry::Nothing => Reply::default(),
            Entry::Help(topic) => {
                help::help(topic).map_or_else(|m| Reply::refusal(vec![m]), Reply::answer)
            }
            Entry::Save(file) => self.save(file),
            Entry::Undo => self.undo(),
            Entry::Picture => self.picture(),
            Entry::Leave => Reply {
                leave: true,
                ..Reply::default()
            },
            Entry::Formula(lone) => self.formula(lone),
            Entry::Equation(lone) => self.equation(lone, |_, _| String::new()),
            Entry::Working(lone) => self.equation(lone, |skeleton, reaction| {
                report::explained(skeleton, reaction, Notation::Printed)
            }),
            Entry::Ions(lone) => self.equation(lone, |_, reaction| {
                report::ions(reaction, Notation::Printed)
            }),
            Entry::Statement => self.statement(text, 0),
            Entry::Expression(lone) => self.statement(lone, SHOW.len()),
        };
        reply.messages = reply
            .messages
            .into_iter()
            .map(|message| message.shifted(offset))
            .collect();
        reply
    }

    /// Verbs, names and formulas that can be completed now.
    pub fn words(&self) -> Vec<String> {
        let mut words: Vec<String> = ["help", "ions", "picture", "save", "quit", "undo", "working"]
            .map(str::to_owned)
            .into();
        words.extend(verbs().map(str::to_owned));
        words.extend(self.route.names());
        words.extend(self.formulas.iter().cloned());
        words.sort();
        words.dedup();
        words
    }

    /// What did not fail so far, as the text of a script.
    pub fn script(&self) -> String {
        let lines = self.kept.iter().map(|kept| &kept.line);
        lines.map(|line| format!("{line}\n")).collect()
    }

    fn formula(&mut self, text: &str) -> Reply {
        match Species::parse(text) {
            Ok(species) => {
                self.remember(&species);
                self.kept.push(Kept::line(format!("# {text}")));
                Reply::answer(report::substance(&species, &self.store))
            }
            Err(fault) => Reply::refusal(vec![formula_fault(&fault)]),
        }
    }

    /// Balances an equation; `further` is what is told about its answer besides.
    fn equation(&mut self, text: &str, further: impl Fn(&Skeleton, &Reaction) -> String) -> Reply {
        match balanced(text) {
            Ok(found) => {
                for (_, term) in found.skeleton.terms() {
                    self.remember(&term.species);
                }
                self.kept.push(Kept::line(format!("# {text}")));
                let mut answer = report::balance(&found.balance, Notation::Printed);
                if let Some(reaction) = found.balance.reaction() {
                    answer += &further(&found.skeleton, reaction);
                }
                Reply {
                    messages: found.messages,
                    ..Reply::answer(answer)
                }
            }
            Err((message, status)) => Reply {
                status,
                ..Reply::refusal(vec![message])
            },
        }
    }

    /// Carries out statements; with `shown` the text is an expression, and the statement asks for its value.
    fn statement(&mut self, text: &str, shown: usize) -> Reply {
        let statement = format!("{}{text}", &SHOW[..shown]);
        let entry = Source::new("prompt", statement.as_str());
        let fed = self.route.feed_reading(&entry, &super::file::beside);
        let added = fed.place.start + shown;
        if !fed.faults.is_empty() {
            let source = self.route.source();
            let messages = fed
                .faults
                .iter()
                .map(|fault| back(here(route_fault(fault), fault, source, &fed.place), added));
            return Reply {
                messages: messages.collect(),
                status: faults_status(&fed.faults),
                ..Reply::default()
            };
        }
        // What stands below an operation is not told again, unless the operation is not there.
        let again = |remark: &&Remark| fed.refused || remark.on.is_none();
        let remarks = fed.news.remarks.iter();
        let messages = remarks.filter(again).map(|remark| {
            let mut message = route_fact(&remark.fact, remark.level, Notation::Printed);
            if looks_back(&remark.fact) {
                message.labels.clear();
            }
            let place = remark.calls.first().unwrap_or(&remark.span);
            back(message.at_first(*place), added)
        });
        let messages: Vec<Message> = messages.collect();
        if fed.refused {
            return Reply::refusal(messages);
        }
        for old in &fed.superseded {
            self.drop_from_script(old);
        }
        self.kept.push(Kept {
            line: statement,
            displaced: fed.superseded,
        });
        Reply {
            answer: told(&fed.news),
            messages,
            status: if fed.news.expectations.iter().all(|one| one.met) {
                Status::Well
            } else {
                Status::No
            },
            leave: false,
        }
    }

    fn remember(&mut self, species: &Species) {
        self.formulas.insert(species.plain().to_owned());
    }

    /// Draws what was done so far.
    fn picture(&self) -> Reply {
        let drawn = report::pictures(&self.route.ledger(), Style::default());
        if drawn.is_empty() {
            let message = Message::error("no-picture", "there is nothing to draw yet")
                .hint("charge a vessel, or ask for a `yield`, and then for the picture");
            return Reply::refusal(vec![message]);
        }
        Reply::answer(drawn)
    }
}

/// What turns an expression into a statement.
pub(super) const SHOW: &str = "show ";

/// An equation without a balance is the chemistry's no; any other fault is the input's.
pub fn faults_status(faults: &[route::Fault]) -> Status {
    let chemistry = |fault: &route::Fault| {
        matches!(
            fault,
            route::Fault::Check(CheckFault::CannotBalance { .. } | CheckFault::ManyBalances { .. })
        )
    };
    if faults.iter().all(chemistry) {
        Status::No
    } else {
        Status::Wrong
    }
}

/// A message about something that stands in another text than this entry: it is placed where this entry leads there.
fn here(
    mut message: Message,
    fault: &route::Fault,
    source: &Source,
    entry: &Range<usize>,
) -> Message {
    if let route::Fault::Check(CheckFault::Inside { calls, .. }) = fault
        && let Some((_, call)) = calls.first()
    {
        message.labels = vec![(*call, String::new())];
    }
    let place = message.place().map_or(entry.start, |span| span.start);
    if place > entry.end {
        let (name, line, column) = source.place(place);
        message.title = format!("{name}:{line}:{column}: {}", message.title);
        message.labels = vec![(Span::new(entry.start, entry.end), String::new())];
    }
    message
}

/// A message about a statement whose first `added` bytes nobody typed; only its main place is in this entry.
fn back(mut message: Message, added: usize) -> Message {
    message.labels.truncate(1);
    for (span, _) in &mut message.labels {
        *span = Span::new(
            span.start.saturating_sub(added),
            span.end.saturating_sub(added),
        );
    }
    message
}

/// Whether a remark points at an earlier statement, which stands in another entry.
fn looks_back(fact: &Fact) -> bool {
    matches!(
        fact,
        Fact::Empty { .. } | Fact::Absent { .. } | Fact::NearlyAbsent { .. }
    )
}

/// What an entry added to the ledger, in words.
fn told(news: &Ledger) -> String {
    let style = Style::default();
    let operations = news.steps.iter().flat_map(|step| &step.operations);
    let mut text: String = operations
        .map(|record| report::operation(record, news, style))
        .collect();
    for table in &news.scales {
        text += &report::scale(table, style);
    }
    for found in &news.energetics {
        text += &report::heat(found, figure::Spread::default());
    }
    for answer in &news.solutions {
        text += &report::solution(answer, style);
    }
    text + &report::yields(&news.yields, style)
        + &report::planned(&news.findings, &news.comparisons, style)
        + &report::answers(&news.shows, &news.expectations, style)
}

fn is_verb(word: &str) -> bool {
    verbs().chain(RESERVED).any(|verb| verb == word)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Enters each line and gives the kinds of its messages.
    fn kinds(session: &mut Session, line: &str) -> Vec<&'static str> {
        let reply = session.enter(line);
        reply.messages.iter().map(|message| message.kind).collect()
    }

    #[test]
    fn an_entry_that_fails_says_why_and_leaves_no_trace() {
        let mut session = Session::new();
        assert!(kinds(&mut session, "vessel cup: 5 mL").is_empty());
        assert!(kinds(&mut session, "charge cup: 1 g NaCl, 3 mL water").is_empty());
        let before = session.enter("mass(cup)").answer;
        for line in [
            "charge cp: 1 g NaCl",
            "charge cup: 5 s water",
            "stir cup",
            "filter pot -> a, b",
        ] {
            assert_eq!(kinds(&mut session, line).len(), 1, "{line}");
        }
        assert_eq!(session.enter("mass(cup)").answer, before);
        let script = session.script();
        assert!(
            script.contains("charge cup: 1 g NaCl") && !script.contains("stir"),
            "{script}"
        );
    }

    #[test]
    fn what_was_found_can_be_sought_again_and_the_script_still_runs() {
        let mut session = Session::new();
        for line in ["let lot = 1 g", "vessel cup", "charge cup: lot NaCl"] {
            assert!(kinds(&mut session, line).is_empty(), "{line}");
        }
        let first = session.enter("find lot in 1 g .. 9 g: mass(cup) = 4 g");
        assert!(first.answer.contains("lot = 4"), "{first:?}");
        let again = session.enter("find lot in 1 g .. 9 g: mass(cup) = 5 g");
        assert!(again.answer.contains("lot = 5"), "{again:?}");
        // One that fails leaves the one before it.
        let beyond = session.enter("find lot in 1 g .. 9 g: mass(cup) = 50 g");
        assert_eq!(beyond.status, Status::Wrong, "{beyond:?}");
        assert!(session.enter("mass(cup)").answer.contains("5.000 g"));
        let script = session.script();
        let source = Source::new("kept", script.as_str());
        let outcome = route::follow(&source, &Store::default(), &[]);
        assert!(outcome.faults.is_empty(), "{script}: {:?}", outcome.faults);
        assert_eq!(outcome.ledger.findings.len(), 1, "{script}");
    }

    #[test]
    fn too_much_for_a_vessel_and_nothing_to_filter_are_told_at_once() {
        let mut session = Session::new();
        session.enter("vessel cup: 5 mL");
        session.enter("charge cup: 1 g NaCl, 3 mL water");
        let reply = session.enter("charge cup: 50 mL water");
        assert!(
            reply.status == Status::Wrong && reply.messages.len() == 1,
            "{reply:?}"
        );
        session.enter("vessel pot");
        let reply = session.enter("filter pot -> a, b");
        assert!(
            reply.status == Status::Wrong && reply.messages.len() == 1,
            "{reply:?}"
        );
        // What emptied a vessel stands in another entry: it is named, and nothing of this one is pointed at for it.
        session.enter("pour cup -> jar");
        let reply = session.enter("filter cup -> a, b");
        let message = &reply.messages[0];
        assert!(
            message.title.contains("moved all of it to jar"),
            "{message:?}"
        );
        assert!(
            message.labels.iter().all(|(_, label)| label.is_empty()),
            "{message:?}"
        );
    }
}
