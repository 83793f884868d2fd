//! An axis: from where to where, even or logarithmic, with ticks at round values.

/// A tick.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tick {
    pub(super) value: f64,
    pub(super) text: String,
}

/// A least value of less than this share of the greatest asks for an axis from zero (house rule).
const NEAR_ZERO: f64 = 0.4;

/// An axis.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Axis {
    pub(super) name: String,
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) ticks: Vec<Tick>,
    logarithmic: bool,
}

impl Axis {
    /// From zero to a round value above the greatest, with steps of 1, 2 or 5.
    pub(super) fn from_zero(name: impl Into<String>, greatest: f64) -> Self {
        let greatest = if greatest > 0.0 { greatest } else { 1.0 };
        let step = round_step(greatest / 4.0);
        let count = libm::ceil(greatest / step - 1e-9).max(1.0);
        Self::even(name, 0, count as u32, step)
    }

    /// Between round values about the least and the greatest, so that a shape is seen; from zero where that is near.
    pub(super) fn about(name: impl Into<String>, least: f64, greatest: f64) -> Self {
        if least < NEAR_ZERO * greatest || greatest <= least {
            return Self::from_zero(name, greatest);
        }
        let step = round_step((greatest - least) / 4.0);
        let from = libm::floor(least / step + 1e-9).max(0.0);
        let to = libm::ceil(greatest / step - 1e-9);
        Self::even(name, from as u32, to as u32, step)
    }

    /// Ticks from so many steps to so many.
    fn even(name: impl Into<String>, from: u32, to: u32, step: f64) -> Self {
        let decimals = (-libm::floor(libm::log10(step) + 1e-9)).max(0.0) as usize;
        let ticks = (from..=to).map(|at| {
            let value = f64::from(at) * step;
            Tick {
                value,
                text: grouped(value, decimals),
            }
        });
        Self {
            name: name.into(),
            from: f64::from(from) * step,
            to: f64::from(to) * step,
            ticks: ticks.collect(),
            logarithmic: false,
        }
    }

    /// From zero to the greatest itself, with ticks at steps of 1, 2 or 5 below it.
    pub(super) fn up_to(name: impl Into<String>, greatest: f64) -> Self {
        let mut axis = Self::from_zero(name, greatest);
        axis.ticks.retain(|tick| tick.value <= greatest * (1.0 + 1e-9));
        axis.to = greatest;
        axis
    }

    /// Logarithmic between two values, with ticks at 1 and 3 of each decade.
    pub(super) fn logarithmic(name: impl Into<String>, from: f64, to: f64) -> Self {
        let mut ticks = Vec::new();
        let mut decade = libm::pow(10.0, libm::floor(libm::log10(from)));
        while decade <= to {
            for times in [1.0, 3.0] {
                let value = decade * times;
                if (from * (1.0 - 1e-9)..=to * (1.0 + 1e-9)).contains(&value) {
                    let decimals = (-libm::floor(libm::log10(value) + 1e-9)).max(0.0) as usize;
                    ticks.push(Tick {
                        value,
                        text: grouped(value, decimals),
                    });
                }
            }
            decade *= 10.0;
        }
        Self {
            name: name.into(),
            from,
            to,
            ticks,
            logarithmic: true,
        }
    }

    /// Evenly spaced words.
    pub(super) fn words(words: &[&str]) -> Self {
        Self {
            name: String::new(),
            from: 0.0,
            to: (words.len().max(2) - 1) as f64,
            ticks: words
                .iter()
                .enumerate()
                .map(|(at, word)| Tick {
                    value: at as f64,
                    text: (*word).to_owned(),
                })
                .collect(),
            logarithmic: false,
        }
    }

    /// Words at places of their own.
    pub(super) fn placed(from: f64, to: f64, words: impl Iterator<Item = (f64, String)>) -> Self {
        Self {
            name: String::new(),
            from,
            to,
            ticks: words.map(|(value, text)| Tick { value, text }).collect(),
            logarithmic: false,
        }
    }

    /// How far along the axis a value lies, 0 to 1.
    pub(super) fn share(&self, value: f64) -> f64 {
        if self.logarithmic {
            libm::log(value / self.from) / libm::log(self.to / self.from)
        } else {
            (value - self.from) / (self.to - self.from)
        }
    }
}

/// The next of 1, 2 and 5 times a power of ten.
fn round_step(least: f64) -> f64 {
    let decade = libm::pow(10.0, libm::floor(libm::log10(least)));
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|times| times * decade)
        .find(|step| *step >= least * (1.0 - 1e-9))
        .unwrap_or(10.0 * decade)
}

/// A figure with its thousands apart.
fn grouped(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let (whole, rest) = text
        .split_once('.')
        .map_or((text.as_str(), None), |(w, r)| (w, Some(r)));
    let mut out = String::new();
    for (at, digit) in whole.chars().enumerate() {
        if at > 0 && (whole.len() - at).is_multiple_of(3) {
            out.push(' ');
        }
        out.push(digit);
    }
    match rest {
        Some(rest) => format!("{out}.{rest}"),
        None => out,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_stand_at_round_values() {
        let texts = |axis: &Axis| {
            axis.ticks
                .iter()
                .map(|tick| tick.text.clone())
                .collect::<Vec<_>>()
        };
        assert_eq!(texts(&Axis::from_zero("", 7.3)), ["0", "2", "4", "6", "8"]);
        assert_eq!(
            texts(&Axis::from_zero("", 0.07)),
            ["0.00", "0.02", "0.04", "0.06", "0.08"]
        );
        assert_eq!(
            texts(&Axis::from_zero("", 1900.0)),
            ["0", "500", "1 000", "1 500", "2 000"]
        );
        assert_eq!(texts(&Axis::about("", 5.3, 7.4)), ["5", "6", "7", "8"]);
        assert_eq!(
            texts(&Axis::about("", 0.61, 0.64)),
            ["0.61", "0.62", "0.63", "0.64"]
        );
        assert_eq!(texts(&Axis::about("", 1.0, 7.3)), ["0", "2", "4", "6", "8"]);
        assert_eq!(
            texts(&Axis::logarithmic("", 0.3, 1000.0)),
            ["0.3", "1", "3", "10", "30", "100", "300", "1 000"]
        );
    }

    #[test]
    fn a_logarithmic_axis_gives_each_decade_the_same_room() {
        let axis = Axis::logarithmic("", 0.1, 1000.0);
        for (value, share) in [(0.1, 0.0), (1.0, 0.25), (10.0, 0.5), (100.0, 0.75), (1000.0, 1.0)] {
            assert!((axis.share(value) - share).abs() < 1e-12);
        }
    }
}
