//! How much liquor a filtered solid holds, by the kind of solid and the way of separation.
//!
//! Nearly all of it is common practice without a source: a default with a wide band for a bench that has not weighed its cake.

use crate::data::{PRECIPITATE, RETAINED, SOLUBILITY, Source};

/// How solid and liquor are separated.
#[derive(Clone, Copy, Debug, Eq, Hash, PartialEq)]
pub enum Separation {
    /// Suction filter, pressed.
    Suction,
    /// Paper and funnel, drained.
    Gravity,
    /// Liquor poured off.
    Decanting,
    /// Centrifuge.
    Centrifuge,
}

/// The liquor held by a solid.
#[derive(Clone, Debug, PartialEq)]
pub struct RetainedLiquor {
    /// The kind of solid.
    pub class: &'static str,
    /// g of liquor on 1 g of dry solid: the middle of the band, as to ratio.
    pub usual: f64,
    /// The lower end of the band.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// Whether the class was taken for want of a listed one.
    pub assumed: bool,
    /// Where from.
    pub source: Source,
}

/// The liquor that a solid holds, by its formula without phase and in whose place another way of separation is taken for one
/// without data, the one that leaves most.
///
/// ```
/// use aludel::solution::{Separation, retained_liquor};
/// let gel = retained_liquor("Fe(OH)3", Separation::Suction);
/// let crystals = retained_liquor("CuSO4·5H2O", Separation::Suction);
/// assert!(gel.usual > 20.0 * crystals.usual);
/// ```
pub fn retained_liquor(solid: &str, way: Separation) -> RetainedLiquor {
    let listed = PRECIPITATE.find(solid).next().map(|row| row.cell("class"));
    let class = listed.unwrap_or_else(|| usual_class(solid));
    let rows = || RETAINED.find(class);
    let wanted = way.name();
    let drier_to_wetter = [
        Separation::Suction,
        Separation::Gravity,
        Separation::Decanting,
    ];
    let row = rows().find(|row| row.cell("way") == wanted).or_else(|| {
        let names = drier_to_wetter.iter().rev().map(|way| way.name());
        let mut names = names.filter_map(|name| rows().find(|row| row.cell("way") == name));
        names.next()
    });
    let number = |column| row.and_then(|row| row.float(column)).unwrap_or(f64::NAN);
    let (low, high) = (number("low_g_g"), number("high_g_g"));
    RetainedLiquor {
        class,
        usual: (low * high).sqrt(),
        low,
        high,
        assumed: listed.is_none() || row.is_some_and(|row| row.cell("way") != wanted),
        source: Source::published(row.map_or("CP-retained", |row| row.cell("source")), ""),
    }
}

/// What is soluble comes as crystals; a hydroxide of a trivalent metal as a gel; the rest as a granular precipitate.
fn usual_class(solid: &str) -> &'static str {
    let salt = solid.split_once('·').map_or(solid, |(salt, _)| salt);
    let soluble = SOLUBILITY
        .find(salt)
        .any(|row| row.float("solubility_g_100g").is_some_and(|s| s > 3.0));
    match (soluble, salt.ends_with("(OH)3"), salt.ends_with("(OH)2")) {
        (true, ..) => "medium crystals",
        (_, true, _) => "gelatinous hydroxide",
        (_, _, true) => "semi-crystalline hydroxide",
        _ => "granular precipitate",
    }
}

impl Separation {
    fn name(self) -> &'static str {
        match self {
            Separation::Suction => "suction",
            Separation::Gravity => "gravity",
            Separation::Decanting => "decanted",
            Separation::Centrifuge => "centrifuge",
        }
    }
}
