//! What two ions of like sign and unequal charge do to each other by their charges alone (K. S. Pitzer 1975).

/// ln(J(x)/x) as a Chebyshev series in ln x from x = 10⁻³ to 10³, with
/// J(x) = x/4 − 1 + (1/x) ∫₀^∞ [1 − exp(−(x/y) e^−y)] y² dy (K. S. Pitzer, J. Solution Chem. 4 (1975) 249).
const SERIES: [f64; 20] = [
    -6.424675276,
    2.689922066,
    -0.9670477358,
    0.02956674579,
    0.08048418806,
    0.0004791364594,
    -0.01203051314,
    -0.001040475616,
    0.001983100815,
    0.0003644914994,
    -0.0003272630599,
    -9.788109199e-05,
    5.245545498e-05,
    2.34242135e-05,
    -8.035838857e-06,
    -5.291976976e-06,
    1.144805008e-06,
    1.1658154e-06,
    -1.389082355e-07,
    -2.574853047e-07,
];

/// ln 10³, half the width of the series.
const HALF_WIDTH: f64 = 6.907755278982137;

/// J(x) and x·J′(x).
fn j(x: f64) -> (f64, f64) {
    let u = (libm::log(x) / HALF_WIDTH).clamp(-1.0, 1.0);
    let (mut b1, mut b2, mut d1, mut d2) = (0.0, 0.0, 0.0, 0.0);
    for c in SERIES[1..].iter().rev() {
        let d = 2.0 * b1 + 2.0 * u * d1 - d2;
        (d2, d1) = (d1, d);
        let b = 2.0 * u * b1 - b2 + c;
        (b2, b1) = (b1, b);
    }
    let ln_ratio = u * b1 - b2 + SERIES[0] / 2.0;
    let slope = (b1 + u * d1 - d2) / HALF_WIDTH;
    let value = x * libm::exp(ln_ratio);
    (value, value * (1.0 + slope))
}

/// The electrostatic term between two ions of charges `zi` and `zj` of like sign in kg/mol, and its derivative by the
/// ionic strength, from the Debye–Hückel slope and the ionic strength in mol/kg.
pub(super) fn electrostatic(zi: f64, zj: f64, slope: f64, strength: f64) -> (f64, f64) {
    let root = strength.sqrt();
    let part = |product: f64| j(6.0 * product * slope * root);
    let ((ij, dij), (ii, dii), (jj, djj)) = (part(zi * zj), part(zi * zi), part(zj * zj));
    let value = zi * zj / (4.0 * strength) * (ij - 0.5 * (ii + jj));
    let derivative = zi * zj / (8.0 * strength * strength) * (dij - 0.5 * (dii + djj));
    (value, derivative - value / strength)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// J from its definition, by the trapezoidal rule in ln y.
    fn by_quadrature(x: f64) -> f64 {
        let (from, to, steps) = (-14.0, 4.2, 4000);
        let h = (to - from) / f64::from(steps);
        let sum: f64 = (0..=steps)
            .map(|step| {
                let y = libm::exp(from + h * f64::from(step));
                let edge = if step == 0 || step == steps { 0.5 } else { 1.0 };
                -edge * libm::expm1(-(x / y) * libm::exp(-y)) * y.powi(3)
            })
            .sum();
        x / 4.0 - 1.0 + sum * h / x
    }

    #[test]
    fn the_series_is_the_integral() {
        for x in [0.01, 0.2, 1.0, 3.7, 10.0, 80.0, 400.0] {
            let exact = by_quadrature(x);
            let (value, slope) = j(x);
            assert!((value / exact - 1.0).abs() < 1e-6, "{x}: {value} {exact}");
            let h = 1e-4;
            let difference =
                (by_quadrature(x * (1.0 + h)) - by_quadrature(x * (1.0 - h))) / (2.0 * h);
            assert!(
                (slope / difference - 1.0).abs() < 1e-5,
                "{x}: {slope} {difference}"
            );
        }
        // Pitzer 1975, J(1) and J(10).
        assert!((j(1.0).0 - 0.11644).abs() < 1e-5);
        assert!((j(10.0).0 - 2.063).abs() < 1e-3);
    }
}
