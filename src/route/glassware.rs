//! Tolerances of class A glassware, by kind and nominal volume.
//!
//! The figures are published numbers stated from memory: single-mark volumetric flasks of ISO 1042, single-mark pipettes
//! of ISO 648, burettes of ISO 385. A tolerance is the half-width of a rectangular distribution (JCGM 100:2008, 4.3.7).

use super::syntax::Glass;

/// Nominal volume and tolerance, both in mL.
type Sizes = &'static [(f64, f64)];

const PIPETTES: Sizes = &[
    (1.0, 0.008),
    (2.0, 0.010),
    (5.0, 0.015),
    (10.0, 0.020),
    (20.0, 0.030),
    (25.0, 0.030),
    (50.0, 0.050),
    (100.0, 0.080),
];

const FLASKS: Sizes = &[
    (5.0, 0.025),
    (10.0, 0.025),
    (25.0, 0.04),
    (50.0, 0.06),
    (100.0, 0.10),
    (200.0, 0.15),
    (250.0, 0.15),
    (500.0, 0.25),
    (1000.0, 0.40),
    (2000.0, 0.60),
];

const BURETTES: Sizes = &[(10.0, 0.02), (25.0, 0.03), (50.0, 0.05), (100.0, 0.10)];

/// The sizes there are of a kind, in mL.
pub fn sizes(glass: Glass) -> impl Iterator<Item = f64> {
    table(glass).iter().map(|(size, _)| *size)
}

/// One standard uncertainty of a volume of this size, in mL; `None` for a size that is not made.
///
/// ```
/// use aludel::route::{glassware, syntax::Glass};
/// let u = glassware::standard_uncertainty(Glass::Pipette, 25.0).unwrap();
/// assert!((u - 0.030 / 3_f64.sqrt()).abs() < 1e-12);
/// assert_eq!(glassware::standard_uncertainty(Glass::Flask, 17.0), None);
/// ```
pub fn standard_uncertainty(glass: Glass, millilitres: f64) -> Option<f64> {
    let made = table(glass)
        .iter()
        .find(|(size, _)| (size - millilitres).abs() < 1e-9 * size);
    made.map(|(_, tolerance)| tolerance / 3_f64.sqrt())
}

fn table(glass: Glass) -> Sizes {
    match glass {
        Glass::Pipette => PIPETTES,
        Glass::Flask => FLASKS,
        Glass::Burette => BURETTES,
    }
}
