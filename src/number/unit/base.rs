//! Base units: what each is called, what it measures and what it is in coherent SI units.

use std::sync::LazyLock;

use super::super::{Dimension, Exact};

/// What the table says of a base unit.
pub(super) struct Row {
    pub base: Base,
    /// The symbol it is printed with.
    pub symbol: &'static str,
    /// Other spellings that are read.
    pub spellings: &'static [&'static str],
    pub dimension: Dimension,
    /// Coherent SI units in one of it: numerator, denominator.
    factor: (&'static str, &'static str),
    /// The powers of ten whose prefixes it takes.
    pub prefixes: (i8, i8),
}

macro_rules! bases {
    ($($(#[$doc:meta])* $name:ident = $symbol:literal $([$($spelling:literal),*])? $dimension:ident
        * $factor:literal $(/ $below:literal)? $(, $least:literal to $most:literal)?;)*) => {
        /// A unit that is not made of others.
        #[derive(Clone, Copy, Debug, Eq, PartialEq)]
        pub enum Base { $($(#[$doc])* $name),* }

        pub(super) static ROWS: &[Row] = &[$(Row {
            base: Base::$name,
            symbol: $symbol,
            spellings: &[$($($spelling),*)?],
            dimension: Dimension::$dimension,
            factor: ($factor, concat!($($below,)? "")),
            prefixes: (0 $(+ $least)?, 0 $(+ $most)?),
        }),*];
    };
}

// Factors: SI Brochure, 9th ed. (2019), tables 4 and 8; thermochemical calorie, bar, atmosphere, torr and millimetre of
// mercury: NIST SP 811 (2008), appendix B.8. Prefixes: SI Brochure, table 7. Those above kilo stay
// away from what a bench holds, and those above one from the second: so `Mg`, `Pm` and `Ts` are elements, and `ML` is a
// slip for mL and no million litres.
bases! {
    /// metre
    Metre = "m" ["metre", "metres", "meter", "meters"] LENGTH * "1", -30 to 3;
    /// gram
    Gram = "g" ["gram", "grams"] MASS * "1e-3", -30 to 3;
    /// tonne
    Tonne = "t" ["tonne", "tonnes"] MASS * "1000";
    /// second
    Second = "s" ["sec", "second", "seconds"] TIME * "1", -30 to 0;
    /// minute
    Minute = "min" ["mins", "minute", "minutes"] TIME * "60";
    /// hour
    Hour = "h" ["hr", "hrs", "hour", "hours"] TIME * "3600";
    /// day
    Day = "d" ["day", "days"] TIME * "86400";
    /// week
    Week = "wk" ["week", "weeks"] TIME * "604800";
    /// mole
    Mole = "mol" ["mole", "moles"] AMOUNT * "1", -30 to 3;
    /// litre
    Litre = "L" ["l", "litre", "litres", "liter", "liters"] VOLUME * "1e-3", -30 to 3;
    /// kelvin
    Kelvin = "K" [] TEMPERATURE * "1", -30 to 0;
    /// degree Celsius, a reading
    Celsius = "°C" ["degC", "ºC", "℃", "Cel"] TEMPERATURE * "1";
    /// joule
    Joule = "J" ["joule", "joules"] ENERGY * "1", -30 to 30;
    /// thermochemical calorie
    Calorie = "cal" ["cal_th"] ENERGY * "4.184", -3 to 6;
    /// watt hour
    WattHour = "Wh" ["W·h"] ENERGY * "3600", -3 to 6;
    /// watt
    Watt = "W" [] POWER * "1", -30 to 30;
    /// pascal
    Pascal = "Pa" ["pascal"] PRESSURE * "1", -30 to 30;
    /// bar
    Bar = "bar" [] PRESSURE * "1e5", -6 to 3;
    /// standard atmosphere
    Atmosphere = "atm" [] PRESSURE * "101325";
    /// torr, of which 760 are a standard atmosphere
    Torr = "Torr" ["torr"] PRESSURE * "101325" / "760", -6 to 0;
    /// conventional millimetre of mercury
    MillimetreOfMercury = "mmHg" ["mm[Hg]"] PRESSURE * "133.322387415";
    /// per cent, as a plain ratio
    PerCent = "%" [] NONE * "0.01";
    /// per mille
    PerMille = "‰" ["[ppth]"] NONE * "0.001";
    /// parts per million, as a plain ratio
    PerMillion = "ppm" ["[ppm]"] NONE * "1e-6";
    /// parts in 10⁹, as a plain ratio
    PerBillion = "ppb" ["[ppb]"] NONE * "1e-9";
    /// per cent by mass, of a label
    PerCentByMass = "%w/w" ["%m/m", "wt%"] NONE * "0.01";
    /// per cent by volume, of a label
    PerCentByVolume = "%v/v" ["%V/V", "vol%"] NONE * "0.01";
    /// grams in 100 mL, of a label
    GramIn100Millilitres = "%w/v" ["%m/v", "%m/V"] DENSITY * "10";
    /// volumes of oxygen that a volume of hydrogen peroxide gives off, of a label
    VolumeStrength = "vol" ["volumes"] NONE * "1";
}

impl Base {
    pub(super) fn row(self) -> &'static Row {
        &ROWS[self as usize]
    }

    /// Coherent SI units in one of it.
    pub(super) fn factor(self) -> Exact {
        static FACTORS: LazyLock<Vec<Exact>> =
            LazyLock::new(|| ROWS.iter().map(Row::factor).collect());
        FACTORS[self as usize].clone()
    }
}

impl Row {
    fn factor(&self) -> Exact {
        let number = |text| Exact::decimal(text).expect("the factors of the table are decimals");
        match self.factor {
            (above, "") => number(above),
            (above, below) => number(above) / number(below),
        }
    }
}
