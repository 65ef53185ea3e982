//! An object of words and figures.

use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::number::{Number, unit};

/// Keys in any order. Each figure stands in the unit that its key names; the standard uncertainties of those that have
/// one stand under `uncertainty`, under the same keys and in the same units.
#[derive(Default)]
pub(super) struct Object {
    keys: Map<String, Value>,
    uncertainty: Map<String, Value>,
}

impl Object {
    /// Anything that is not a figure.
    pub(super) fn with(mut self, key: &str, value: impl Serialize) -> Self {
        self.keys.insert(key.to_owned(), json!(value));
        self
    }

    pub(super) fn figure(self, key: &str, number: &Number) -> Self {
        self.perhaps(key, Some(number))
    }

    /// `null` where it is not known.
    pub(super) fn perhaps(mut self, key: &str, number: Option<&Number>) -> Self {
        self.keys
            .insert(key.to_owned(), json!(number.map(Number::to_f64)));
        if let Some(number) = number.filter(|number| !number.is_exact()) {
            let spread = json!(number.standard_uncertainty());
            self.uncertainty.insert(key.to_owned(), spread);
        }
        self
    }

    /// A temperature in K as °C.
    pub(super) fn celsius(self, key: &str, kelvins: &Number) -> Self {
        self.perhaps_celsius(key, Some(kelvins))
    }

    pub(super) fn perhaps_celsius(self, key: &str, kelvins: Option<&Number>) -> Self {
        let celsius = kelvins.map(|kelvins| kelvins - &Number::exact(unit::CELSIUS.offset()));
        self.perhaps(key, celsius.as_ref())
    }

    pub(super) fn done(self) -> Value {
        let mut keys = self.keys;
        if !self.uncertainty.is_empty() {
            keys.insert("uncertainty".to_owned(), Value::Object(self.uncertainty));
        }
        Value::Object(keys)
    }
}

impl From<Value> for Object {
    /// Goes on with the keys of an object.
    fn from(value: Value) -> Self {
        let keys = match value {
            Value::Object(keys) => keys,
            _ => Map::new(),
        };
        Object {
            keys,
            ..Object::default()
        }
    }
}

/// A list of what `one` makes of each.
pub(super) fn list<'a, T: 'a>(
    all: impl IntoIterator<Item = &'a T>,
    one: impl Fn(&'a T) -> Value,
) -> Vec<Value> {
    all.into_iter().map(one).collect()
}
