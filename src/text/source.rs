//! A named text and ranges of its bytes.

use std::ops::Range;

/// A text with the name under which messages speak of it.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Source {
    name: String,
    text: String,
    first_line: usize,
}

impl Source {
    /// A source called `name`, usually the path it was read from.
    ///
    /// ```
    /// use aludel::text::Source;
    /// let source = Source::new("notes.route", "title \"Salt\"\n");
    /// assert_eq!(source.name(), "notes.route");
    /// ```
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        Source {
            name: name.into(),
            text: text.into(),
            first_line: 1,
        }
    }

    /// The same text where its first line is line `number` of something longer, such as all that was typed so far.
    pub fn from_line(mut self, number: usize) -> Self {
        self.first_line = number;
        self
    }

    /// The name given to [`Source::new`].
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The text of `span`; empty where the span does not fit this source.
    pub fn slice(&self, span: Span) -> &str {
        self.text.get(span.range()).unwrap_or("")
    }

    /// Line and column of a byte, both counted from one, the column in characters.
    ///
    /// ```
    /// use aludel::text::Source;
    /// assert_eq!(Source::new("s", "ab\n→x").line_column(6), (2, 2));
    /// ```
    pub fn line_column(&self, byte: usize) -> (usize, usize) {
        let mut end = byte.min(self.text.len());
        while !self.text.is_char_boundary(end) {
            end -= 1;
        }
        let before = &self.text[..end];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        let line = before.bytes().filter(|&b| b == b'\n').count() + self.first_line;
        (line, before[line_start..].chars().count() + 1)
    }
}

/// A range of bytes of one [`Source`], cheap to copy.
#[derive(Clone, Copy, Debug, Default, Eq, Hash, Ord, PartialEq, PartialOrd)]
pub struct Span {
    /// The first byte.
    pub start: usize,
    /// The byte after the last.
    pub end: usize,
}

impl Span {
    /// The bytes from `start` up to `end`.
    pub fn new(start: usize, end: usize) -> Self {
        Span { start, end }
    }

    /// As a range, for slicing.
    pub fn range(self) -> Range<usize> {
        self.start..self.end
    }

    /// The same span in a text in which this one's text begins at byte `offset`.
    pub fn shifted(self, offset: usize) -> Self {
        Span::new(self.start + offset, self.end + offset)
    }

    /// The smallest span that covers both.
    pub fn to(self, other: Span) -> Self {
        Span::new(self.start.min(other.start), self.end.max(other.end))
    }
}
