//! A message with the text it is about, as lines for a terminal.

use std::fmt::Write;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use super::{Message, Severity};
use crate::text::{Source, Span};

/// Columns of a terminal, and of a line printed on paper.
const WIDTH: usize = 80;

/// The longest title or hint; a name quoted in one could be of any length.
const MAX_SENTENCE: usize = 300;

/// The most messages drawn at once; beyond it a count says how many more there are.
const MOST: usize = 100;

/// Bytes of a line behind the last place of a message that are drawn at most.
const MOST_BEHIND: usize = 1_000;

/// One message as text that ends with a line break.
///
/// ```
/// use aludel::diagnostic::{Message, draw};
/// use aludel::text::{Source, Span};
/// let source = Source::new("notes.route", "vessel Flask\n");
/// let message = Message::error("bad-name", "a name begins with a small letter").at(Span::new(7, 12), "here");
/// assert!(draw(&message, &source, false).contains("notes.route:1:8"));
/// ```
pub fn draw(message: &Message, source: &Source, colour: bool) -> String {
    let level = match message.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Remark => Level::INFO.with_name("remark"),
    };
    let title = shortened(&message.title);
    let mut group = Group::with_title(level.primary_title(&title).id(message.kind));
    let excerpts = excerpts(message, source);
    for excerpt in &excerpts {
        group = group.element(excerpt.snippet(message, source));
    }
    let hints: Vec<String> = message.hints.iter().map(|hint| shortened(hint)).collect();
    for hint in &hints {
        group = group.element(Level::HELP.with_name("hint").message(hint));
    }
    let renderer = if colour {
        Renderer::styled().hyperlink(false)
    } else {
        Renderer::plain()
    };
    renderer.term_width(WIDTH).render(&[group]) + "\n"
}

/// All messages in the order of their places, with a blank line between.
pub fn draw_all(messages: &[Message], source: &Source, colour: bool) -> String {
    let mut in_order: Vec<&Message> = messages.iter().collect();
    in_order.sort_by_key(|message| (message.place(), message.severity));
    let drawn = in_order.iter().take(MOST);
    let mut all: String = drawn
        .map(|message| draw(message, source, colour))
        .collect::<Vec<_>>()
        .join("\n");
    if let Some(more) = in_order.len().checked_sub(MOST).filter(|more| *more > 0) {
        let _ = writeln!(all, "\n… and {more} more");
    }
    all
}

/// The lines a message is about: only they go to the drawing, so that its cost does not grow with the file.
struct Excerpt<'t> {
    text: &'t str,
    start: usize,
    /// Which labels of the message stand in it.
    labels: Vec<usize>,
}

/// One excerpt for each file that a message has places in, the file of the main place first.
fn excerpts<'t>(message: &Message, source: &'t Source) -> Vec<Excerpt<'t>> {
    let mut files: Vec<(usize, Vec<usize>)> = Vec::new();
    for (index, (span, _)) in message.labels.iter().enumerate() {
        let file = source.around(fitted(*span, source.text()).start).start;
        match files.iter_mut().find(|(start, _)| *start == file) {
            Some((_, labels)) => labels.push(index),
            None => files.push((file, vec![index])),
        }
    }
    let made = files.into_iter();
    made.filter_map(|(_, labels)| Excerpt::of(message, labels, source))
        .collect()
}

impl<'t> Excerpt<'t> {
    /// `None` without labels.
    fn of(message: &Message, labels: Vec<usize>, source: &'t Source) -> Option<Self> {
        let text = source.text();
        let spans = || {
            labels
                .iter()
                .map(|index| fitted(message.labels[*index].0, text))
        };
        let first = spans().map(|span| span.start).min()?;
        let file = source.around(first);
        let last = spans().map(|span| span.end.min(file.end)).max()?.max(first);
        let start = text[file.start..first]
            .rfind('\n')
            .map_or(file.start, |at| file.start + at + 1);
        // No terminal shows more of a line behind its mark, and a line may be megabytes long.
        let shown = fitted(Span::new(last, last + MOST_BEHIND), text).end;
        let shown = shown.min(file.end);
        let end = text[last..shown].find('\n').map_or(shown, |at| last + at);
        Some(Excerpt {
            text: &text[start..end],
            start,
            labels,
        })
    }

    fn snippet<'a>(
        &'a self,
        message: &'a Message,
        source: &'a Source,
    ) -> Snippet<'a, annotate_snippets::Annotation<'a>> {
        let marks = self
            .labels
            .iter()
            .map(|index| (*index, &message.labels[*index]))
            .map(|(index, (span, label))| {
                let kind = if index == 0 {
                    AnnotationKind::Primary
                } else {
                    AnnotationKind::Context
                };
                let span = fitted(*span, source.text());
                let end = (span.end - self.start).min(self.text.len());
                let here = span.start - self.start..end;
                kind.span(here)
                    .label((!label.is_empty()).then_some(label.as_str()))
            });
        let (name, line, _) = source.place(self.start);
        Snippet::source(self.text)
            .line_start(line)
            .path(name)
            .annotations(marks)
    }
}

/// The span cut to the text and widened to whole characters: a fault of ours must not become a panic.
fn fitted(span: Span, text: &str) -> Span {
    let mut start = span.start.min(text.len());
    let mut end = span.end.clamp(start, text.len());
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    while !text.is_char_boundary(end) {
        end += 1;
    }
    Span::new(start, end)
}

/// With an ellipsis in the middle if it is too long, and without characters that would move a cursor.
fn shortened(sentence: &str) -> String {
    let visible = sentence.chars().map(|c| match c {
        '\n' | '\t' => ' ',
        c if c.is_control() => '\u{fffd}',
        c => c,
    });
    let all: Vec<char> = visible.collect();
    if all.len() <= MAX_SENTENCE {
        return all.into_iter().collect();
    }
    let half = MAX_SENTENCE / 2;
    let head: String = all[..half].iter().collect();
    let tail: String = all[all.len() - half..].iter().collect();
    format!("{head} … {tail}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn about(text: &str, piece: &str) -> String {
        let start = text.find(piece).unwrap();
        let message = Message::error("test", "a finding")
            .at(Span::new(start, start + piece.len()), "this")
            .hint("do something");
        draw(&message, &Source::new("notes", text), false)
    }

    #[test]
    fn the_underline_stands_below_its_text_after_subscripts_arrows_and_tabs() {
        for text in ["Fe₂O₃ → XX\n", "\tab XX cd", "H2 → Ψ漢字 XX\n"] {
            let drawn = about(text, "XX");
            let lines: Vec<&str> = drawn.lines().collect();
            let at = lines.iter().position(|line| line.contains("XX")).unwrap();
            let column = |line: &str, piece: &str| {
                unicode_width::UnicodeWidthStr::width(&line[..line.find(piece).unwrap()])
            };
            assert_eq!(
                column(lines[at], "XX"),
                column(lines[at + 1], "^^"),
                "{drawn}"
            );
        }
    }

    #[test]
    fn long_lines_are_trimmed_to_the_width() {
        let text = format!("{} XX {}", "H2 + ".repeat(2000), "+ O2".repeat(2000));
        for line in about(&text, "XX").lines() {
            assert!(unicode_width::UnicodeWidthStr::width(line) <= 100, "{line}");
        }
    }

    #[test]
    fn control_characters_never_reach_the_terminal() {
        let drawn = about("a \u{1b}[31m XX \u{7}\u{8}", "XX");
        assert!(
            drawn.chars().all(|c| c == '\n' || !c.is_control()),
            "{drawn:?}"
        );
    }

    #[test]
    fn spans_that_fit_nothing_still_draw() {
        let source = Source::new("notes", "→");
        for (start, end) in [(0, 0), (1, 2), (3, 3), (7, 9), (2, 1)] {
            let message = Message::error("test", "x").at(Span { start, end }, "");
            assert!(draw(&message, &source, false).contains("notes:1:"));
        }
    }

    #[test]
    fn messages_come_in_the_order_of_their_places() {
        let source = Source::new("notes", "a\nb\n");
        let at = |start| {
            Message::error("test", format!("at {start}")).at(Span::new(start, start + 1), "")
        };
        let all = draw_all(&[at(2), at(0)], &source, false);
        assert!(all.find("at 0").unwrap() < all.find("at 2").unwrap());
    }
}
