//! Units as they are written: in the SI's way, in UCUM's (the code of units, ucum.org, v2.1) and as bottles and books do.
//!
//! `mol/L`, `mol·L⁻¹`, `mol.L-1`, `mol L⁻¹` and `M` are one unit. After a `/` stands one factor, or several in brackets:
//! `J/mol·K` can be read in two ways (SI Brochure, 5.4.1) and is not read at all.

use crate::text::near;

use super::base::ROWS;
use super::{Base, CELSIUS, Factor, MOST, Unit};

/// The prefixes of the SI.
const PREFIXES: &[(i8, &str)] = &[
    (30, "Q"),
    (27, "R"),
    (24, "Y"),
    (21, "Z"),
    (18, "E"),
    (15, "P"),
    (12, "T"),
    (9, "G"),
    (6, "M"),
    (3, "k"),
    (2, "h"),
    (1, "da"),
    (-1, "d"),
    (-2, "c"),
    (-3, "m"),
    (-6, "µ"),
    (-9, "n"),
    (-12, "p"),
    (-15, "f"),
    (-18, "a"),
    (-21, "z"),
    (-24, "y"),
    (-27, "r"),
    (-30, "q"),
];

/// Other letters for micro: the Greek one, and that of UCUM.
const MICRO: [&str; 2] = ["μ", "u"];

/// The largest power of a base unit.
const HIGHEST: i8 = 9;

/// What a bench writes most, for a word that is no unit.
const USUAL: &[&str] = &[
    "g",
    "mg",
    "kg",
    "µg",
    "mol",
    "mmol",
    "µmol",
    "mL",
    "L",
    "µL",
    "dL",
    "cm³",
    "m³",
    "cm",
    "mm",
    "°C",
    "K",
    "s",
    "min",
    "h",
    "d",
    "kJ",
    "J",
    "kcal",
    "cal",
    "kWh",
    "W",
    "kW",
    "Pa",
    "kPa",
    "hPa",
    "MPa",
    "bar",
    "mbar",
    "atm",
    "mmHg",
    "Torr",
    "mol/L",
    "mmol/L",
    "mol/kg",
    "g/mL",
    "g/L",
    "mg/L",
    "g/cm³",
    "g/mol",
    "kJ/mol",
    "J/mol",
    "J/(mol·K)",
    "W/K",
    "mL/min",
    "%w/w",
    "%v/v",
    "%w/v",
    "ppm",
    "ppb",
    "M",
    "mM",
];

/// The unit of a spelling.
///
/// ```
/// use aludel::number::unit;
/// assert_eq!(unit::find("ml"), Some(unit::MILLILITRE));
/// assert_eq!(unit::find("mol.L-1"), unit::find("mol/L"));
/// assert_eq!(unit::find("mol / L"), unit::find("mol/L"));
/// assert_eq!(unit::find("furlong"), None);
/// ```
pub fn find(text: &str) -> Option<Unit> {
    let bare: String = match text.contains('%') {
        // `% (w/w)` is `%w/w`.
        true => text.chars().filter(|c| !" ()".contains(*c)).collect(),
        false => String::new(),
    };
    let closed;
    let text = match text.contains(" /") || text.contains("/ ") {
        true => {
            closed = text.split('/').map(str::trim).collect::<Vec<_>>().join("/");
            &*closed
        }
        false => text,
    };
    let whole = known(text).or_else(|| known(&bare));
    match whole {
        Some(factor) => Some(alone(factor)),
        None => quotient(text),
    }
}

/// The usual unit that a misspelt one is nearest to.
///
/// ```
/// use aludel::number::unit;
/// assert_eq!(unit::nearby("ML"), Some("mL"));
/// assert_eq!(unit::nearby("mLL"), Some("mL"));
/// assert_eq!(unit::nearby("Liter"), Some("L"));
/// assert_eq!(unit::nearby("furlong"), None);
/// ```
pub fn nearby(text: &str) -> Option<&'static str> {
    let in_other_case = |usual: &&&str| usual.to_lowercase() == text.to_lowercase();
    let word = |spelling: &&str| spelling.len() > 3 && spelling.eq_ignore_ascii_case(text);
    let mut rows = ROWS.iter();
    let named = rows.find(|row| row.spellings.iter().any(word));
    let found = USUAL.iter().find(in_other_case).copied();
    let found = found.or(named.map(|row| row.symbol));
    found.or_else(|| near(text, USUAL.iter().copied()))
}

pub(super) fn prefix_symbol(power: i8) -> &'static str {
    let found = PREFIXES.iter().find(|(known, _)| *known == power);
    found.map_or("", |(_, symbol)| symbol)
}

pub(super) fn raised(digit: char) -> char {
    let at = digit
        .to_digit(10)
        .and_then(|digit| RAISED.get(digit as usize));
    at.copied().unwrap_or(digit)
}

const RAISED: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];

fn alone(factor: Factor) -> Unit {
    let mut factors = [None; MOST];
    factors[0] = Some(factor);
    Unit { factors }
}

/// A base unit by its symbol or another spelling; with a prefix, if it takes that.
fn known(text: &str) -> Option<Factor> {
    let of = |base, prefix| Factor {
        base,
        prefix,
        power: 1,
    };
    let spelt = |text: &str| {
        let mut rows = ROWS.iter();
        rows.find(|row| row.symbol == text || row.spellings.contains(&text))
    };
    // A whole spelling goes first, so `min` is no milli-inch and `Pa` no peta-year.
    if let Some(row) = spelt(text) {
        return Some(of(row.base, 0));
    }
    let micro = MICRO.iter().map(|symbol| (-6, *symbol));
    let mut all = PREFIXES.iter().copied().chain(micro);
    all.find_map(|(prefix, symbol)| {
        let row = spelt(text.strip_prefix(symbol)?)?;
        let (least, most) = row.prefixes;
        (least <= prefix && prefix <= most).then(|| of(row.base, prefix))
    })
}

/// `M`, `mM`: a concentration in one letter. `cc`: a cubic centimetre in two.
fn abbreviated(text: &str) -> Option<[Option<Factor>; 2]> {
    let factor = |base, prefix, power| Factor {
        base,
        prefix,
        power,
    };
    if text == "cc" {
        return Some([Some(factor(Base::Metre, -2, 3)), None]);
    }
    let moles = known(&format!("{}mol", text.strip_suffix('M')?))?;
    Some([Some(moles), Some(factor(Base::Litre, 0, -1))])
}

/// Factors multiplied and divided.
fn quotient(text: &str) -> Option<Unit> {
    let mut reader = Reader {
        left: text,
        made: Vec::new(),
    };
    reader.factor(1)?;
    let mut divided = false;
    while !reader.left.is_empty() {
        if reader.take("/(") {
            reader.factor(-1)?;
            while !reader.take(")") {
                reader.times()?;
                reader.factor(-1)?;
            }
            divided = true;
        } else if reader.take("/") {
            reader.factor(-1)?;
            divided = true;
        } else {
            reader.times()?;
            reader.factor(1).filter(|()| !divided)?;
        }
    }
    let mut factors = [None; MOST];
    if reader.made.len() > MOST {
        return None;
    }
    for (place, factor) in factors.iter_mut().zip(reader.made) {
        *place = Some(factor);
    }
    Some(Unit { factors })
}

struct Reader<'t> {
    left: &'t str,
    made: Vec<Factor>,
}

impl Reader<'_> {
    fn take(&mut self, sign: &str) -> bool {
        let rest = self.left.strip_prefix(sign);
        self.left = rest.unwrap_or(self.left);
        rest.is_some()
    }

    fn times(&mut self) -> Option<()> {
        let signs = ["·", "⋅", ".", "*", " "];
        signs.iter().any(|sign| self.take(sign)).then_some(())
    }

    /// A prefixed base unit with its power, turned over where `sign` is -1.
    fn factor(&mut self, sign: i8) -> Option<()> {
        let ends = |c: char| "/()·⋅.* ^-⁻".contains(c) || c.is_ascii_digit() || RAISED.contains(&c);
        let end = self.left.find(ends).unwrap_or(self.left.len());
        let (word, rest) = self.left.split_at(end);
        self.left = rest;
        let power = sign.checked_mul(self.power()?)?;
        let parts = match known(word) {
            Some(factor) => [Some(factor), None],
            None => abbreviated(word)?,
        };
        for mut part in parts.into_iter().flatten() {
            part.power = part.power.checked_mul(power)?;
            let beyond = part.power == 0 || part.power.abs() > HIGHEST;
            let reading = part.base == Base::Celsius && alone(part) != CELSIUS;
            if beyond || reading {
                return None;
            }
            self.made.push(part);
        }
        // A reading of a scale is no factor of anything.
        let scale = self.made.iter().any(|part| part.base == Base::Celsius);
        (!scale).then_some(())
    }

    /// `3`, `-1`, `^3`, `^-1`, `³`, `⁻¹`; one if there is none.
    fn power(&mut self) -> Option<i8> {
        let caret = self.take("^") || self.take(" ^ ") || self.take(" ^") || self.take("^ ");
        let minus = self.take("-") || self.take("⁻");
        let digit = |c: char| {
            let raised = RAISED.iter().position(|digit| *digit == c);
            c.to_digit(10)
                .or(raised.and_then(|digit| u32::try_from(digit).ok()))
        };
        let Some(power) = self.left.chars().next().and_then(digit) else {
            return (!caret && !minus).then_some(1);
        };
        let mut rest = self.left.chars();
        rest.next();
        self.left = rest.as_str();
        let power = i8::try_from(power).ok()?;
        Some(if minus { -power } else { power })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::number::{Dimension, Exact};

    /// SI Brochure, 9th ed. (2019), tables 4, 7, 8; the calorie, the torr and the millimetre of mercury after
    /// NIST SP 811 (2008), appendix B.8.
    #[test]
    fn factors_are_those_of_the_si_brochure() {
        for (spelling, factor) in [
            ("mL", "1e-6"),
            ("cm3", "1e-6"),
            ("dm³", "1e-3"),
            ("m^3", "1"),
            ("mm2", "1e-6"),
            ("mg", "1e-6"),
            ("t", "1000"),
            ("atm", "101325"),
            ("mbar", "100"),
            ("hPa", "100"),
            ("GPa", "1e9"),
            ("kcal", "4184"),
            ("kWh", "3.6e6"),
            ("mol/L", "1000"),
            ("nmol", "1e-9"),
            ("h", "3600"),
            ("ms", "1e-3"),
            ("mmHg", "133.322387415"),
            ("ppb", "1e-9"),
            ("kJ/(mol·K)", "1000"),
        ] {
            let unit = find(spelling).unwrap();
            assert_eq!(unit.factor(), Exact::decimal(factor).unwrap(), "{spelling}");
        }
        assert_eq!(find("Torr").unwrap().factor(), Exact::ratio(101_325, 760));
        assert_eq!(CELSIUS.offset(), Exact::decimal("273.15").unwrap());
        assert!(!find("mK").unwrap().has_offset());
    }

    #[test]
    fn one_unit_has_many_spellings() {
        for (printed, all) in [
            (
                "mol/L",
                &["M", "mol/l", "mol.L-1", "mol·L⁻¹", "mol L⁻¹", "mol·L^-1"][..],
            ),
            ("mmol/L", &["mM", "mmol.l-1"]),
            ("mol/dm³", &["mol/dm3", "mol.dm-3", "mol dm⁻³", "mol/dm^3"]),
            ("cm³", &["cm3", "cm^3", "cc"]),
            ("µg", &["ug", "μg", "µg"]),
            ("°C", &["Cel", "degC", "ºC", "℃"]),
            (
                "J/(mol·K)",
                &[
                    "J/(mol K)",
                    "J/mol/K",
                    "J.mol-1.K-1",
                    "J/(mol*K)",
                    "J mol⁻¹ K⁻¹",
                ],
            ),
            ("mmHg", &["mm[Hg]"]),
            ("kcal", &["kcal_th"]),
            ("ppm", &["[ppm]"]),
            (
                "%w/w",
                &["% w/w", "%(w/w)", "% (w/w)", "%m/m", "wt%", "wt %"],
            ),
            ("%w/v", &["% w/v", "%(m/V)"]),
            ("h", &["hr", "hour", "hours"]),
        ] {
            for spelling in all.iter().chain([&printed]) {
                let found = find(spelling).map(|unit| unit.symbol());
                assert_eq!(found.as_deref(), Some(printed), "{spelling}");
            }
        }
        assert_eq!(
            find("s-1").map(|unit| unit.symbol()).as_deref(),
            Some("1/s")
        );
    }

    #[test]
    fn what_could_be_read_in_two_ways_is_no_unit() {
        for text in [
            "",
            "J/mol·K",
            "cmin",
            "kh",
            "k°C",
            "°C/min",
            "mL/",
            "/",
            "m0",
            "m-",
            "m^",
            "(g)",
            "mol/(L",
            "kkg",
            "mmmol",
            "Mg",
            "ML",
            "Pm",
            "Ts",
            "ks",
            "g^99",
            "%%",
            "g/L/L/L/L",
            "min2x",
            "ppmol",
        ] {
            assert_eq!(find(text), None, "{text}");
        }
    }

    /// With every prefix that each unit takes.
    #[test]
    fn no_spelling_means_two_units() {
        let mut seen = std::collections::BTreeMap::new();
        let micro = MICRO.iter().map(|symbol| (-6, *symbol));
        let prefixes: Vec<_> = PREFIXES.iter().copied().chain(micro).collect();
        for row in ROWS {
            for spelling in row.spellings.iter().chain([&row.symbol]) {
                let (least, most) = row.prefixes;
                let taken = prefixes.iter().filter(|(p, _)| least <= *p && *p <= most);
                let with_prefix = taken.map(|(_, symbol)| format!("{symbol}{spelling}"));
                for text in with_prefix.chain([(*spelling).to_owned()]) {
                    let other = seen.insert(text.clone(), row.symbol);
                    assert_eq!(other, None, "{text} is {} too", row.symbol);
                }
            }
        }
    }

    #[test]
    fn what_is_printed_can_be_read() {
        for usual in USUAL {
            let unit = find(usual).unwrap_or_else(|| panic!("{usual}"));
            assert_eq!(find(&unit.symbol()), Some(unit), "{usual}");
        }
        assert_eq!(find("kJ/mol").unwrap().dimension(), Dimension::MOLAR_ENERGY);
        assert_eq!(find("W/K").unwrap().dimension(), Dimension::CONDUCTANCE);
    }
}
