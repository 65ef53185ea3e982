//! A named text and ranges of its bytes.

use std::ops::Range;

/// A text with the name under which messages speak of it.
#[derive(Clone, Debug, Eq, PartialEq)]
pub struct Source {
    name: String,
    text: String,
    first_line: usize,
    /// What tells its file from another, where one may go by several names.
    identity: Option<String>,
    /// Other texts behind the first, each with the byte at which it begins.
    others: Vec<(usize, String)>,
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
            identity: None,
            others: Vec::new(),
        }
    }

    /// The same text where its first line is line `number` of something longer, such as all that was typed so far.
    pub fn from_line(mut self, number: usize) -> Self {
        self.first_line = number;
        self
    }

    /// The same text of a file that goes by several names, and by this one alone.
    pub fn identified(mut self, identity: String) -> Self {
        self.identity = Some(identity);
        self
    }

    /// What tells its file from another: its name, unless it is known better.
    pub fn identity(&self) -> &str {
        self.identity.as_deref().unwrap_or(&self.name)
    }

    /// Puts another text behind this one, with a name of its own; the byte at which it begins.
    ///
    /// ```
    /// use aludel::text::Source;
    /// let mut source = Source::new("a.route", "title \"A\"");
    /// let base = source.append(&Source::new("b.route", "\nvessel cup\n"));
    /// assert_eq!(source.place(base + 1), ("b.route", 2, 1));
    /// ```
    pub fn append(&mut self, other: &Source) -> usize {
        self.text.push('\n');
        let base = self.text.len();
        self.text.push_str(&other.text);
        self.others.push((base, other.name.clone()));
        base
    }

    /// The bytes of the text to which a byte belongs, this one or one behind it.
    pub fn around(&self, byte: usize) -> Range<usize> {
        let behind = self.others.partition_point(|(start, _)| *start <= byte);
        let start = behind.checked_sub(1).map_or(0, |at| self.others[at].0);
        let end = self.others.get(behind).map(|(start, _)| start - 1);
        start..end.unwrap_or(self.text.len())
    }

    /// Where a byte is: the name of its text, line and column.
    pub fn place(&self, byte: usize) -> (&str, usize, usize) {
        let start = self.around(byte).start;
        let other = self.others.binary_search_by_key(&start, |(at, _)| *at);
        let name = other.map_or(&self.name, |at| &self.others[at].1);
        let (line, column) = self.line_column(byte);
        (name, line, column)
    }

    /// The name given to [`Source::new`].
    pub fn name(&self) -> &str {
        &self.name
    }

    /// That name, then those of the texts behind it.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        let others = self.others.iter().map(|(_, name)| name.as_str());
        std::iter::once(self.name.as_str()).chain(others)
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
        let start = self.around(byte).start;
        let first_line = if start == 0 { self.first_line } else { 1 };
        let before = &self.text[start..end.max(start)];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        let line = before.bytes().filter(|&b| b == b'\n').count() + first_line;
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
