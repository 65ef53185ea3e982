//! The units of the bench: how each is written and what it is in coherent SI units.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use super::{Dimension, Exact};

/// A unit: its symbol, its dimension and how its numbers become coherent SI numbers (m, kg, s, mol, K).
#[derive(Debug, Eq, PartialEq)]
pub struct Unit {
    /// The symbol it is printed with.
    pub symbol: &'static str,
    /// Other spellings that are read.
    pub spellings: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    factor: &'static str,
    /// Added after the factor; only for temperature readings on a scale with another zero.
    offset: &'static str,
}

impl Unit {
    /// Coherent SI units in one of this unit.
    ///
    /// ```
    /// use aludel::number::{Exact, unit};
    /// assert_eq!(unit::MILLILITRE.factor(), Exact::ratio(1, 1_000_000));
    /// ```
    pub fn factor(&self) -> Exact {
        Exact::decimal(self.factor).expect("the factors of the table below are decimals")
    }

    /// What is added to a reading to get kelvins; zero except for °C.
    pub fn offset(&self) -> Exact {
        Exact::decimal(self.offset).expect("the offsets of the table below are decimals")
    }

    /// Whether it is a scale with a zero of its own, so that readings and differences must be told apart.
    pub fn has_offset(&self) -> bool {
        self.offset != "0"
    }
}

macro_rules! units {
    ($($(#[$doc:meta])* $name:ident = $symbol:literal $([$($spelling:literal),*])? $dimension:ident * $factor:literal $(+ $offset:literal)?;)*) => {
        $($(#[$doc])* pub static $name: Unit = Unit {
            symbol: $symbol,
            spellings: &[$($($spelling),*)?],
            dimension: Dimension::$dimension,
            factor: $factor,
            offset: concat!($($offset,)? "0"),
        };)*
        /// Every unit.
        pub static ALL: &[&Unit] = &[$(&$name),*];
    };
}

units! {
    /// gram
    GRAM = "g" MASS * "1e-3";
    /// milligram
    MILLIGRAM = "mg" MASS * "1e-6";
    /// microgram
    MICROGRAM = "µg" ["ug", "μg"] MASS * "1e-9";
    /// kilogram
    KILOGRAM = "kg" MASS * "1";
    /// mole
    MOLE = "mol" AMOUNT * "1";
    /// millimole
    MILLIMOLE = "mmol" AMOUNT * "1e-3";
    /// micromole
    MICROMOLE = "µmol" ["umol", "μmol"] AMOUNT * "1e-6";
    /// kilomole
    KILOMOLE = "kmol" AMOUNT * "1e3";
    /// litre
    LITRE = "L" ["l"] VOLUME * "1e-3";
    /// millilitre
    MILLILITRE = "mL" ["ml", "cm3", "cm³"] VOLUME * "1e-6";
    /// microlitre
    MICROLITRE = "µL" ["uL", "μL", "ul"] VOLUME * "1e-9";
    /// decilitre
    DECILITRE = "dL" ["dl"] VOLUME * "1e-4";
    /// centilitre
    CENTILITRE = "cL" ["cl"] VOLUME * "1e-5";
    /// cubic metre
    CUBIC_METRE = "m³" ["m3"] VOLUME * "1";
    /// kelvin
    KELVIN = "K" TEMPERATURE * "1";
    /// degree Celsius, a reading
    CELSIUS = "°C" ["degC", "ºC", "℃", "Cel"] TEMPERATURE * "1" + "273.15";
    /// second
    SECOND = "s" TIME * "1";
    /// minute
    MINUTE = "min" TIME * "60";
    /// hour
    HOUR = "h" TIME * "3600";
    /// day
    DAY = "d" TIME * "86400";
    /// joule
    JOULE = "J" ENERGY * "1";
    /// kilojoule
    KILOJOULE = "kJ" ENERGY * "1e3";
    /// thermochemical calorie
    CALORIE = "cal" ENERGY * "4.184";
    /// thermochemical kilocalorie
    KILOCALORIE = "kcal" ENERGY * "4184";
    /// watt hour
    WATT_HOUR = "Wh" ENERGY * "3600";
    /// watt
    WATT = "W" POWER * "1";
    /// kilowatt
    KILOWATT = "kW" POWER * "1e3";
    /// watt per kelvin, what a bath takes up for each degree between it and the vessel
    WATT_PER_KELVIN = "W/K" CONDUCTANCE * "1";
    /// pascal
    PASCAL = "Pa" PRESSURE * "1";
    /// kilopascal
    KILOPASCAL = "kPa" PRESSURE * "1e3";
    /// hectopascal
    HECTOPASCAL = "hPa" PRESSURE * "1e2";
    /// megapascal
    MEGAPASCAL = "MPa" PRESSURE * "1e6";
    /// bar
    BAR = "bar" PRESSURE * "1e5";
    /// millibar
    MILLIBAR = "mbar" PRESSURE * "1e2";
    /// standard atmosphere
    ATMOSPHERE = "atm" PRESSURE * "101325";
    /// conventional millimetre of mercury
    MILLIMETRE_OF_MERCURY = "mmHg" ["Torr", "torr"] PRESSURE * "133.322387415";
    /// mole per litre
    MOLAR = "mol/L" ["M", "mol/l", "mol/dm3", "mol/dm³"] CONCENTRATION * "1e3";
    /// millimole per litre
    MILLIMOLAR = "mmol/L" ["mM", "mmol/l"] CONCENTRATION * "1";
    /// mole per kilogram of solvent
    MOLAL = "mol/kg" MOLALITY * "1";
    /// gram per millilitre
    GRAM_PER_MILLILITRE = "g/mL" ["g/ml", "g/cm3", "g/cm³", "kg/L"] DENSITY * "1e3";
    /// gram per litre
    GRAM_PER_LITRE = "g/L" ["g/l", "kg/m3", "kg/m³", "mg/mL"] DENSITY * "1";
    /// milligram per litre
    MILLIGRAM_PER_LITRE = "mg/L" ["mg/l"] DENSITY * "1e-3";
    /// gram per mole
    GRAM_PER_MOLE = "g/mol" MOLAR_MASS * "1e-3";
    /// kilojoule per mole
    KILOJOULE_PER_MOLE = "kJ/mol" MOLAR_ENERGY * "1e3";
    /// joule per mole
    JOULE_PER_MOLE = "J/mol" MOLAR_ENERGY * "1";
    /// kilocalorie per mole
    KILOCALORIE_PER_MOLE = "kcal/mol" MOLAR_ENERGY * "4184";
    /// joule per mole and kelvin
    JOULE_PER_MOLE_KELVIN = "J/(mol·K)" ["J/(mol K)", "J/mol/K", "J/mol K", "J/(mol*K)"] MOLAR_ENTROPY * "1";
    /// per cent, as a plain ratio
    PER_CENT = "%" NONE * "0.01";
    /// per cent by mass, of a label
    PER_CENT_BY_MASS = "%w/w" NONE * "0.01";
    /// per cent by volume, of a label
    PER_CENT_BY_VOLUME = "%v/v" NONE * "0.01";
    /// volumes of oxygen that a volume of hydrogen peroxide gives off, of a label
    VOLUME_STRENGTH = "vol" NONE * "1";
    /// grams in 100 mL, of a label
    GRAM_PER_100_MILLILITRES = "%w/v" DENSITY * "10";
    /// parts per million, as a plain ratio
    PER_MILLION = "ppm" NONE * "1e-6";
}

/// The unit of a spelling.
///
/// ```
/// use aludel::number::unit;
/// assert_eq!(unit::find("ml"), Some(&unit::MILLILITRE));
/// assert_eq!(unit::find("furlong"), None);
/// ```
pub fn find(spelling: &str) -> Option<&'static Unit> {
    static BY_SPELLING: LazyLock<FxHashMap<&str, &Unit>> = LazyLock::new(|| {
        let spelled = |unit: &'static Unit| {
            let all = unit.spellings.iter().copied().chain([unit.symbol]);
            all.map(move |spelling| (spelling, unit))
        };
        ALL.iter().copied().flat_map(spelled).collect()
    });
    BY_SPELLING.get(spelling).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// SI Brochure, 9th ed. (2019), tables 4, 7, 8; the calorie and the millimetre of mercury after
    /// NIST SP 811 (2008), appendix B.8.
    #[test]
    fn factors_are_those_of_the_si_brochure() {
        for (spelling, factor) in [
            ("mL", "1e-6"),
            ("atm", "101325"),
            ("kcal", "4184"),
            ("mol/L", "1000"),
            ("h", "3600"),
            ("mmHg", "133.322387415"),
        ] {
            let unit = find(spelling).unwrap();
            assert_eq!(unit.factor(), Exact::decimal(factor).unwrap(), "{spelling}");
        }
        assert_eq!(CELSIUS.offset(), Exact::decimal("273.15").unwrap());
        assert!(!KELVIN.has_offset());
    }

    #[test]
    fn no_spelling_means_two_units() {
        let mut seen = std::collections::BTreeSet::new();
        for unit in ALL {
            for spelling in unit.spellings.iter().chain([&unit.symbol]) {
                assert!(seen.insert(*spelling), "{spelling}");
            }
        }
    }
}
