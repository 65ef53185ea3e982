//! An axis: round figures from below the smallest value to above the largest.

/// From where to where, and how far apart its figures stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Scale {
    pub(super) low: f64,
    pub(super) high: f64,
    every: f64,
}

impl Scale {
    /// Holds `low` and `high`, with about `marks` figures; one value alone gets some room around it.
    pub(super) fn over(low: f64, high: f64, marks: f64) -> Scale {
        let room = match high - low {
            spread if spread > 0.0 => spread,
            _ => high.abs().max(1.0) * 0.2,
        };
        let every = tick(room / marks);
        // A last digit lost on the way to a round figure is no reason for one more.
        Scale {
            low: (low / every + 1e-9).floor() * every,
            high: (high / every - 1e-9).ceil() * every,
            every,
        }
        .widened()
    }

    fn widened(self) -> Scale {
        match self.high > self.low {
            true => self,
            false => Scale {
                high: self.low + self.every,
                ..self
            },
        }
    }

    /// Where a value stands between the coordinates `from` and `to`.
    pub(super) fn at(&self, value: f64, from: f64, to: f64) -> f64 {
        from + (to - from) * (value - self.low) / (self.high - self.low)
    }

    /// Its figures as they are printed.
    pub(super) fn marks(&self) -> Vec<(f64, String)> {
        let count = ((self.high - self.low) / self.every).round() as usize;
        let places = (-libm::log10(self.every).floor()).max(0.0) as usize;
        let mark = |step| {
            let value = self.low + self.every * step as f64;
            // Never a minus before a zero.
            let value = if value.abs() < self.every / 2.0 {
                0.0
            } else {
                value
            };
            (value, format!("{value:.places$}").replace('-', "−"))
        };
        (0..=count).map(mark).collect()
    }
}

/// One, two or five times a power of ten, not below `least`.
fn tick(least: f64) -> f64 {
    let size = libm::exp10(libm::log10(least).floor());
    let sizes = [1.0, 2.0, 5.0].map(|times| times * size);
    let fits = sizes.into_iter().find(|tick| *tick >= least * (1.0 - 1e-9));
    fits.unwrap_or(size * 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_have_round_figures() {
        for (least, every) in [
            (2.0, 2.0),
            (3.0, 5.0),
            (16.6, 20.0),
            (51.0, 100.0),
            (400.0, 500.0),
            (0.03, 0.05),
        ] {
            assert!((tick(least) / every - 1.0).abs() < 1e-12, "{least}");
        }
    }

    #[test]
    fn figures_hold_every_value_between_them() {
        for (low, high, printed) in [
            (0.0, 7.3, "0 2 4 6 8"),
            (0.12, 0.31, "0.10 0.15 0.20 0.25 0.30 0.35"),
            (-3.0, 12.0, "−5 0 5 10 15"),
            (5.0, 5.0, "5.0 5.2"),
        ] {
            let marks = Scale::over(low, high, 5.0).marks();
            let words: Vec<&str> = marks.iter().map(|(_, word)| word.as_str()).collect();
            assert_eq!(words.join(" "), printed, "{low} to {high}");
        }
    }
}
