//! The two temperatures that figures are counted from.

use super::Exact;

/// 0 °C in K, exact by definition (SI Brochure, 9th ed., 2.3.1).
pub const ZERO_CELSIUS: f64 = 273.15;

/// The temperature of standard data in K (IUPAC Green Book, 3rd ed., 2.11.1).
pub const STANDARD_TEMPERATURE: f64 = 298.15;

/// 0 °C in K.
///
/// ```
/// use aludel::number::{ZERO_CELSIUS, zero_celsius};
/// assert_eq!(zero_celsius().to_f64(), ZERO_CELSIUS);
/// ```
pub fn zero_celsius() -> Exact {
    Exact::ratio(27_315, 100)
}

/// The temperature of standard data in K.
///
/// ```
/// use aludel::number::{STANDARD_TEMPERATURE, standard_temperature};
/// assert_eq!(standard_temperature().to_f64(), STANDARD_TEMPERATURE);
/// ```
pub fn standard_temperature() -> Exact {
    Exact::ratio(29_815, 100)
}
