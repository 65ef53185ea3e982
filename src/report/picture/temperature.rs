//! The temperature of each vessel, operation by operation.
//!
//! A vessel whose temperature is not known has a gap; what filtering and pouring do to it shows at its next operation.

use super::scale::Scale;
use super::svg::{Element, Svg, path, words};
use super::{Picture, WIDTH, mark, shortened, strip};
use crate::number::Number;
use crate::route::ledger::*;

const HEIGHT: f64 = 260.0;
const LEFT: f64 = 44.0;
const RIGHT: f64 = WIDTH - 80.0;
const TOP: f64 = 34.0;
const BOTTOM: f64 = HEIGHT - 34.0;

/// What one operation does to the temperature of one vessel, in °C.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Change {
    /// Before; `None` for as it was.
    from: Option<f64>,
    /// After; `None` if it is not known.
    to: Option<f64>,
    /// Where it would come to if no bath held it.
    uncooled: Option<f64>,
    /// Where the solution boils, if that was reckoned.
    boiling: Option<f64>,
}

/// One vessel's changes, each with the number of its operation from the start of the route.
struct Course<'a> {
    vessel: &'a str,
    changes: Vec<(usize, Change)>,
}

/// The temperatures through the route; `None` if fewer than two operations tell any, or all tell the same.
pub fn temperature(ledger: &Ledger) -> Option<Picture> {
    let operations: Vec<&OperationRecord> = ledger
        .steps
        .iter()
        .flat_map(|step| &step.operations)
        .collect();
    let courses = courses(&operations);
    let changes: usize = courses.iter().map(|course| course.changes.len()).sum();
    if changes < 2 || !goes_anywhere(&courses) {
        return None;
    }
    let plot = Plot::around(&courses, operations.len());
    let mut body = plot.frame() + plot.steps(&ledger.steps);
    let mut labels = Labels::default();
    for (index, course) in courses.iter().enumerate() {
        body += plot.course(course, index, &mut labels);
    }
    Some(Picture {
        title: "Temperature through the route".to_owned(),
        caption: in_words(&courses),
        drawn: "Full lines: as planned; broken lines: uncooled.",
        typed: "●: as planned; ○: uncooled.",
        height: HEIGHT,
        body,
        lines: plot.lines(&courses, &operations),
    })
}

/// In K: less is a straight line to the eye.
const WORTH_DRAWING: f64 = 2.0;

/// Whether any temperature stands away from another.
fn goes_anywhere(courses: &[Course]) -> bool {
    let changes = courses.iter().flat_map(|course| &course.changes);
    let all = changes.flat_map(|(_, change)| [change.from, change.to, change.uncooled]);
    let (low, high) = all
        .flatten()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    high - low > WORTH_DRAWING
}

fn courses<'a>(operations: &[&'a OperationRecord]) -> Vec<Course<'a>> {
    let mut all: Vec<Course> = Vec::new();
    for (at, record) in operations.iter().enumerate() {
        let Some((vessel, change)) = change(&record.outcome) else {
            continue;
        };
        match all.iter_mut().find(|course| course.vessel == vessel) {
            Some(course) => course.changes.push((at, change)),
            None => all.push(Course {
                vessel,
                changes: vec![(at, change)],
            }),
        }
    }
    all
}

fn change(outcome: &Outcome) -> Option<(&str, Change)> {
    let quiet = |from: Option<f64>, to: Option<f64>| Change {
        from,
        to,
        uncooled: None,
        boiling: None,
    };
    Some(match outcome {
        Outcome::Charged {
            vessel,
            temperature,
            ..
        } => (vessel, quiet(None, Some(celsius(temperature)))),
        Outcome::Thermal {
            vessel, from, to, ..
        } => (vessel, quiet(Some(celsius(from)), Some(celsius(to)))),
        Outcome::Crystallised(record) => (
            &record.vessel,
            quiet(None, Some(celsius(&record.temperature))),
        ),
        Outcome::Titrated(record) => return reacted(&record.reaction),
        Outcome::Reacted(record) => return reacted(record),
        _ => return None,
    })
}

fn reacted(record: &ReactRecord) -> Option<(&str, Change)> {
    if record.extent.is_zero() {
        return None;
    }
    let uncooled = record.uncooled.as_ref().map(celsius);
    let held = record.held.as_ref().map(celsius);
    let change = Change {
        from: Some(celsius(&record.start)),
        to: held.or(uncooled),
        uncooled: uncooled.filter(|_| held.is_some()),
        boiling: Some(celsius(&record.boiling.kelvin)),
    };
    Some((&record.vessel, change))
}

/// A coordinate: pictures have no use for more than a float holds.
fn celsius(kelvins: &Number) -> f64 {
    kelvins.to_f64() - 273.15
}

fn degrees(celsius: f64) -> String {
    format!("{celsius:.0} °C")
}

fn in_words(courses: &[Course]) -> String {
    let hottest = |course: &Course| {
        let each = course
            .changes
            .iter()
            .flat_map(|(_, change)| [change.from, change.to, change.uncooled]);
        each.flatten().max_by(f64::total_cmp)
    };
    let told = courses.iter().filter_map(|course| {
        let held = course
            .changes
            .iter()
            .any(|(_, change)| change.uncooled.is_some());
        let uncooled = if held { " if no bath held it" } else { "" };
        let last = course.changes.last().and_then(|(_, change)| change.to);
        let end = last.map_or(
            "ends at a temperature that is not known".to_owned(),
            |last| format!("ends at {}", degrees(last)),
        );
        Some(format!(
            "{} comes to at most {}{uncooled} and {end}.",
            course.vessel,
            degrees(hottest(course)?)
        ))
    });
    let all: Vec<String> = told.collect();
    all.join(" ")
}

/// Where words stand already, so that none is written over another: left, right, line.
#[derive(Default)]
struct Labels(Vec<(f64, f64, f64)>);

/// About the width of a letter, and from one line of words to the next.
const LETTER: f64 = 6.6;
const LINE: f64 = 13.0;

impl Labels {
    /// Words that begin at a point, or end before it where there is no room behind; moved up or down where others stand.
    /// Nothing where there is no room at all.
    fn beside(&mut self, (left, right): (f64, f64), y: f64, text: &str) -> Option<Element> {
        let width = text.chars().count() as f64 * LETTER;
        let (from, to, x, anchor) = match right + width < WIDTH {
            true => (right, right + width, right, "start"),
            false => (left - width, left, left, "end"),
        };
        let free = |y: &f64| {
            let apart =
                |(l, r, line): &(f64, f64, f64)| *r < from || to < *l || (line - y).abs() >= LINE;
            (TOP - LINE..=BOTTOM).contains(y) && self.0.iter().all(apart)
        };
        let lines = [0.0, -1.0, 1.0, -2.0, 2.0, -3.0].map(|lines| y + lines * LINE);
        let y = lines.into_iter().find(free)?;
        self.0.push((from, to, y));
        Some(words(x, y, anchor, text))
    }
}

struct Plot {
    scale: Scale,
    operations: usize,
}

impl Plot {
    fn around(courses: &[Course], operations: usize) -> Plot {
        let changes = courses.iter().flat_map(|course| &course.changes);
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for (_, change) in changes {
            let near_boiling = change.boiling.filter(|boiling| {
                let hottest = change.uncooled.or(change.to);
                hottest.is_some_and(|hottest| hottest > boiling - 15.0)
            });
            for value in [change.from, change.to, change.uncooled, near_boiling]
                .into_iter()
                .flatten()
            {
                low = low.min(value);
                high = high.max(value);
            }
        }
        Plot {
            scale: Scale::over(low, high.max(low + 10.0), 5.0),
            operations: operations.max(1),
        }
    }

    fn x(&self, at: f64) -> f64 {
        LEFT + (RIGHT - LEFT) * at / self.operations as f64
    }

    fn y(&self, celsius: f64) -> f64 {
        self.scale.at(celsius, BOTTOM, TOP)
    }

    /// The scale on the left, with a thin line at each figure.
    fn frame(&self) -> Svg {
        let mut out = Svg::from(words(8.0, TOP - 16.0, "start", "°C"));
        for (value, word) in self.scale.marks() {
            let y = self.y(value);
            out += path(format_args!("M{LEFT} {y:.1}H{RIGHT}")).faint(0.15);
            out += words(LEFT - 8.0, y + 4.0, "end", &word);
        }
        out
    }

    /// Where each step begins, with its number and as much of its title as fits.
    fn steps(&self, steps: &[StepRecord]) -> Svg {
        let mut out = Svg::default();
        let mut at = 0;
        for (index, step) in steps.iter().enumerate() {
            let (from, to) = (
                self.x(at as f64),
                self.x((at + step.operations.len()) as f64),
            );
            at += step.operations.len();
            out += path(format_args!("M{from:.1} {TOP}V{:.1}", BOTTOM + 8.0)).faint(0.4);
            let room = ((to - from) / 6.5) as usize;
            let full = match &step.title {
                Some(title) => format!("{} {title}", index + 1),
                None => (index + 1).to_string(),
            };
            // Too narrow for words: the number alone, and where even that would crowd, nothing.
            let name = if room > 8 {
                shortened(&full, room)
            } else {
                (index + 1).to_string()
            };
            if room > 1 {
                out += words(from + 4.0, BOTTOM + 20.0, "start", &name);
            }
        }
        out
    }

    /// A line for each change: `●` where it comes to, `○` where it would come to uncooled.
    fn lines(&self, courses: &[Course], operations: &[&OperationRecord]) -> Vec<String> {
        let share = |celsius: f64| self.scale.at(celsius, 0.0, 1.0);
        let mut rows: Vec<(usize, Vec<String>)> = Vec::new();
        for course in courses {
            let mut last = None;
            for (at, change) in course
                .changes
                .iter()
                .filter(|(_, change)| change.to.is_some())
            {
                let told = change.uncooled.or(change.to).map(degrees);
                // What stays as warm as it was needs no second line.
                if told == last && change.uncooled.is_none() {
                    continue;
                }
                let marks = [(change.uncooled, '○'), (change.to, '●')];
                let marks = marks
                    .into_iter()
                    .filter_map(|(value, mark)| Some((share(value?), mark)));
                let verb = operations[*at].text.split(' ').next().unwrap_or("");
                let name = shortened(&format!("{verb} {}", course.vessel), 22);
                let marks: Vec<(f64, char)> = marks.collect();
                let values = [change.to, change.uncooled]
                    .into_iter()
                    .flatten()
                    .map(degrees);
                let values = values.collect::<Vec<_>>().join(", uncooled ");
                rows.push((*at, vec![name, strip::marks(&marks, 24), values]));
                last = change.to.map(degrees);
            }
        }
        rows.sort_by_key(|(at, _)| *at);
        let foot = format!(
            "{} to {}",
            degrees(self.scale.low),
            degrees(self.scale.high)
        );
        rows.push((0, vec![String::new(), foot]));
        strip::rows(&rows.into_iter().map(|(_, row)| row).collect::<Vec<_>>())
    }

    fn course(&self, course: &Course, index: usize, labels: &mut Labels) -> Svg {
        let mut out = Svg::default();
        let mut steps = String::new();
        let mut last: Option<(f64, f64)> = None;
        for (at, change) in &course.changes {
            let (begin, end) = (*at as f64, *at as f64 + 1.0);
            let from = change
                .from
                .or(last.map(|(_, celsius)| celsius))
                .or(change.to);
            let Some(from) = from else { continue };
            steps += &match last {
                Some(_) => format!("L{:.1} {:.1}", self.x(begin), self.y(from)),
                None => format!("M{:.1} {:.1}", self.x(begin), self.y(from)),
            };
            out += self.uncooled(begin, from, change, labels);
            out += self.boiling(begin, change, labels);
            // What is not known is not drawn: the line ends, and begins anew where something is known again.
            last = change.to.map(|to| (end, to));
            if let Some(to) = change.to {
                steps += &format!("L{:.1} {:.1}", self.x(end), self.y(to));
                out += mark(index, self.x(end), self.y(to));
            }
        }
        out += path(steps).course(2.0);
        if let Some((at, celsius)) = last {
            let (x, y) = (self.x(at), self.y(celsius) + 4.0);
            let name = shortened(course.vessel, 14);
            let label = labels.beside((x - 8.0, x + 8.0), y, &name);
            out += label.map(|label| label.with("font-weight", "bold"));
        }
        out
    }

    fn uncooled(&self, begin: f64, from: f64, change: &Change, labels: &mut Labels) -> Svg {
        let apart = |uncooled: &f64| {
            change
                .to
                .is_none_or(|to| (uncooled - to).abs() >= WORTH_DRAWING)
        };
        let Some(uncooled) = change.uncooled.filter(apart) else {
            return Svg::default();
        };
        let (x, y) = (self.x(begin + 1.0), self.y(uncooled));
        let (begin, from) = (self.x(begin), self.y(from));
        let line = path(format_args!("M{begin:.1} {from:.1}L{x:.1} {y:.1}")).course(1.5);
        let line = Svg::from(line.with("stroke-dasharray", "5 4"));
        let told = format!("uncooled {}", degrees(uncooled));
        line + labels.beside((x - 8.0, x + 4.0), y + 4.0, &told)
    }

    /// A dotted line where the solution boils, if it comes near.
    fn boiling(&self, begin: f64, change: &Change, labels: &mut Labels) -> Svg {
        let hottest = change.uncooled.or(change.to);
        let near = change
            .boiling
            .filter(|boiling| hottest.is_some_and(|hottest| hottest > boiling - 15.0));
        let Some(boiling) = near else {
            return Svg::default();
        };
        let (from, to, y) = (self.x(begin - 0.3), self.x(begin + 1.3), self.y(boiling));
        let line = path(format_args!("M{from:.1} {y:.1}H{to:.1}")).stroked();
        let line = line
            .with("stroke-width", 1.5)
            .with("stroke-dasharray", "1 3");
        let told = format!("boils at {}", degrees(boiling));
        Svg::from(line) + labels.beside((from - 4.0, to + 4.0), y + 4.0, &told)
    }
}
