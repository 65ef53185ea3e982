//! Vapour pressure of water and ice over the whole range that solutions need.

/// Vapour pressure of liquid water in Pa at a temperature in K, from 173 K to the critical point.
///
/// Above 0 °C: W. Wagner, A. Pruß, J. Phys. Chem. Ref. Data 22 (1993) 783 (IAPWS SR1-86); below, for supercooled water:
/// D. M. Murphy, T. Koop, Q. J. R. Meteorol. Soc. 131 (2005) 1539. Both from memory, held against the table of water by
/// `tests/phase_change.rs`.
pub fn water_vapour_pressure(kelvin: f64) -> f64 {
    if kelvin < 273.15 {
        return supercooled(kelvin) * wagner(273.15) / supercooled(273.15);
    }
    wagner(kelvin)
}

fn wagner(kelvin: f64) -> f64 {
    const CRITICAL: (f64, f64) = (647.096, 22.064e6);
    let tau = (1.0 - kelvin / CRITICAL.0).max(0.0);
    let root = tau.sqrt();
    let sum = tau
        * (-7.859_517_83
            + root
                * (1.844_082_59
                    + tau
                        * root
                        * (-11.786_649_7
                            + root
                                * (22.680_741_1
                                    + root
                                        * (-15.961_871_9
                                            + 1.801_225_02 * tau * tau * tau * root)))));
    CRITICAL.1 * libm::exp(CRITICAL.0 / kelvin * sum)
}

fn supercooled(kelvin: f64) -> f64 {
    let t = kelvin;
    let main = 54.842763 - 6763.22 / t - 4.210 * libm::log(t) + 0.000367 * t;
    let turn = 53.878 - 1331.22 / t - 9.44523 * libm::log(t) + 0.014025 * t;
    libm::exp(main + libm::tanh(0.0415 * (t - 218.8)) * turn)
}

/// Vapour pressure of ice in Pa at a temperature in K below 273.16 K.
///
/// D. M. Murphy, T. Koop, Q. J. R. Meteorol. Soc. 131 (2005) 1539; from memory.
pub fn ice_vapour_pressure(kelvin: f64) -> f64 {
    libm::exp(9.550426 - 5723.265 / kelvin + 3.53068 * libm::log(kelvin) - 0.00728332 * kelvin)
}

/// Natural logarithm of the activity of water in a solution in equilibrium with ice.
pub fn ln_water_with_ice(kelvin: f64) -> f64 {
    const MELTING: f64 = 273.15;
    let ratio = |t: f64| libm::log(ice_vapour_pressure(t) / supercooled(t));
    ratio(kelvin) - ratio(MELTING)
}
