//! SVG 1.1, element by element: attributes and words are escaped here and nowhere else.

use std::fmt::{Display, Write};
use std::ops::{Add, AddAssign};

use crate::report::typeset::escaped;

/// Finished elements, one after the other.
#[derive(Clone, Debug, Default)]
pub(super) struct Svg(String);

/// An element that is being written.
#[derive(Clone, Debug)]
pub(super) struct Element {
    name: &'static str,
    attributes: String,
    inside: String,
}

/// An element without anything yet.
pub(super) fn element(name: &'static str) -> Element {
    Element {
        name,
        attributes: String::new(),
        inside: String::new(),
    }
}

/// A path by its steps.
pub(super) fn path(steps: impl Display) -> Element {
    element("path").with("d", steps)
}

/// A line of words, anchored at its `start`, `middle` or `end`.
pub(super) fn words(x: f64, y: f64, anchor: &str, text: &str) -> Element {
    let line = element("text").at("x", x).at("y", y);
    line.with("text-anchor", anchor).filled().words(text)
}

impl Element {
    pub(super) fn with(mut self, attribute: &str, value: impl Display) -> Self {
        let value = escaped(&value.to_string());
        // Writing to a text cannot fail.
        let _ = write!(self.attributes, " {attribute}=\"{value}\"");
        self
    }

    /// A coordinate, to a tenth.
    pub(super) fn at(self, attribute: &str, coordinate: f64) -> Self {
        self.with(attribute, format_args!("{coordinate:.1}"))
    }

    /// In the ink of the page.
    pub(super) fn filled(self) -> Self {
        self.with("fill", "currentColor")
    }

    /// Drawn with the ink of the page.
    pub(super) fn stroked(self) -> Self {
        self.with("stroke", "currentColor")
    }

    /// A thin line of an axis.
    pub(super) fn faint(self, opacity: f64) -> Self {
        self.stroked().with("stroke-opacity", opacity)
    }

    /// A line through points, of this width.
    pub(super) fn course(self, width: f64) -> Self {
        let line = self.with("fill", "none").stroked();
        line.with("stroke-width", width)
    }

    pub(super) fn words(mut self, text: &str) -> Self {
        self.inside += &escaped(text);
        self
    }

    pub(super) fn holding(mut self, inside: impl Into<Svg>) -> Self {
        if self.inside.is_empty() {
            self.inside.push('\n');
        }
        self.inside += &inside.into().0;
        self
    }
}

impl From<Element> for Svg {
    fn from(element: Element) -> Svg {
        let Element {
            name,
            attributes,
            inside,
        } = element;
        Svg(match inside.is_empty() {
            true => format!("<{name}{attributes}/>\n"),
            false => format!("<{name}{attributes}>{inside}</{name}>\n"),
        })
    }
}

impl From<Option<Element>> for Svg {
    /// Nothing where there is none.
    fn from(element: Option<Element>) -> Svg {
        element.map_or_else(Svg::default, Svg::from)
    }
}

impl<T: Into<Svg>> AddAssign<T> for Svg {
    fn add_assign(&mut self, other: T) {
        self.0 += &other.into().0;
    }
}

impl<T: Into<Svg>> Add<T> for Svg {
    type Output = Svg;

    fn add(mut self, other: T) -> Svg {
        self += other;
        self
    }
}

impl Svg {
    /// As it stands in a file.
    pub(super) fn into_text(self) -> String {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_in_an_element_is_escaped() {
        let group = element("g").with("id", "a\"><script>").holding(words(
            1.0,
            2.25,
            "start",
            "<b> & \"c\"",
        ));
        assert_eq!(
            Svg::from(group).into_text(),
            "<g id=\"a&quot;&gt;&lt;script&gt;\">\n<text x=\"1.0\" y=\"2.2\" text-anchor=\"start\" \
             fill=\"currentColor\">&lt;b&gt; &amp; &quot;c&quot;</text>\n</g>\n"
        );
        assert_eq!(Svg::from(path("M0 0")).into_text(), "<path d=\"M0 0\"/>\n");
    }
}
