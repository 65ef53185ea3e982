//! Figures that carry what they rest on.

use crate::data::{Source, Sourced};

/// Publications and own data behind a figure, each once.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sources(Vec<Source>);

impl Sources {
    /// None yet.
    pub fn new() -> Self {
        Sources::default()
    }

    /// Adds a source, unless it is there.
    pub fn add(&mut self, source: &Source) {
        if !self.0.contains(source) {
            self.0.push(source.clone());
        }
    }

    /// Adds all of another figure.
    pub fn add_all(&mut self, others: &Sources) {
        others.iter().for_each(|source| self.add(source));
    }

    /// In the order of coming.
    pub fn iter(&self) -> impl Iterator<Item = &Source> {
        self.0.iter()
    }
}

/// The publications of some codes of `sources.csv`.
impl<'c> FromIterator<&'c &'static str> for Sources {
    fn from_iter<I: IntoIterator<Item = &'c &'static str>>(codes: I) -> Self {
        let mut all = Sources::new();
        for code in codes {
            all.add(&Source::published(code, ""));
        }
        all
    }
}

/// A figure with what it rests on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cited<T> {
    /// The figure.
    pub value: T,
    /// What it rests on.
    pub sources: Sources,
}

impl<T> Cited<T> {
    /// A figure that rests on nothing but its inputs.
    pub fn plain(value: T) -> Self {
        Cited {
            value,
            sources: Sources::new(),
        }
    }

    /// Another figure that rests on the same.
    pub fn map<U>(self, change: impl FnOnce(T) -> U) -> Cited<U> {
        Cited {
            value: change(self.value),
            sources: self.sources,
        }
    }

    /// The figure, with its sources added to those of the figure that is calculated from it.
    pub fn noting(self, sources: &mut Sources) -> T {
        sources.add_all(&self.sources);
        self.value
    }
}

impl<T> From<Sourced<T>> for Cited<T> {
    fn from(found: Sourced<T>) -> Self {
        let mut sources = Sources::new();
        sources.add(&found.source);
        Cited {
            value: found.value,
            sources,
        }
    }
}
