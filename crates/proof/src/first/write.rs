//! Quantities as the first file writes them: in the owner's units, as round as one would say them.

use station::quantity::{Currency, Kind, UnitSystem, format_plain, format_tape};

const GALLON_M3: f64 = 3.785_411_784e-3;

/// Writes in the owner's units.
#[derive(Debug, Clone)]
pub(super) struct Write {
    pub(super) units: UnitSystem,
    pub(super) currency: Currency,
}

impl Write {
    /// As a sentence or a file says it: three digits.
    pub(super) fn say(&self, kind: Kind, si: f64) -> String {
        format_plain(kind, si, self.units, &self.currency)
    }

    pub(super) fn volume(&self, volume_m3: f64) -> String {
        self.say(Kind::Volume, volume_m3)
    }

    /// A flow in litres or gallons a day, however small.
    pub(super) fn per_day(&self, flow_m3_s: f64) -> String {
        let (unit, factor_m3) = match self.units {
            UnitSystem::Si => ("L", 1e-3),
            UnitSystem::Us => ("gal", GALLON_M3),
        };
        let count = flow_m3_s * 86_400.0 / factor_m3;
        format!("{} {unit}/day", self.say(Kind::Number, count))
    }

    /// A volume that is about so much: two digits.
    pub(super) fn about(&self, volume_m3: f64) -> String {
        if volume_m3 <= 0.0 {
            return self.volume(0.0);
        }
        let factor_m3 = match self.units {
            UnitSystem::Si => 1e-3,
            UnitSystem::Us => GALLON_M3,
        };
        let count = volume_m3 / factor_m3;
        let step = libm::pow(10.0, (libm::floor(libm::log10(count)) - 1.0).max(-2.0));
        self.volume(libm::round(count / step) * step * factor_m3)
    }

    /// A price of water, by the cubic metre or the gallon.
    pub(super) fn water_price(&self, per_m3: f64) -> String {
        let (unit, m3) = match self.units {
            UnitSystem::Si => ("m3", 1.0),
            UnitSystem::Us => ("gal", GALLON_M3),
        };
        format!("{} {}/{unit}", digits(per_m3 * m3), self.currency.code())
    }

    pub(super) fn electricity_price(&self, per_j: f64) -> String {
        format!("{} {}/kWh", digits(per_j * 3.6e6), self.currency.code())
    }

    /// A time between changes: in weeks where they are whole.
    pub(super) fn time(&self, seconds: f64) -> String {
        const WEEK_S: f64 = 7.0 * 86_400.0;
        let weeks = seconds / WEEK_S;
        match libm::round(weeks) {
            one if (weeks - one).abs() < 1e-6 && one == 1.0 => "1 week".to_owned(),
            many if (weeks - many).abs() < 1e-6 && many > 1.0 => format!("{many} weeks"),
            _ => self.say(Kind::Time, seconds),
        }
    }

    /// As a tape reads it.
    pub(super) fn tape(&self, length_m: f64) -> String {
        format_tape(length_m, self.units)
    }

    /// A temperature in a file, whose degree has no sign there.
    pub(super) fn temperature(&self, celsius: f64) -> String {
        self.say(Kind::Temperature, celsius).replace('°', "")
    }

    /// A practical salinity in a file, to a tenth.
    pub(super) fn salinity(&self, practical: f64) -> String {
        format!("{}", libm::round(10.0 * practical) / 10.0)
    }

    /// One of the two, by the owner's units: what is sold differs.
    pub(super) fn either<'t>(&self, si: &'t str, us: &'t str) -> &'t str {
        match self.units {
            UnitSystem::Si => si,
            UnitSystem::Us => us,
        }
    }

    /// Up to the next 5 L or whole gallon.
    pub(super) fn round_up_m3(&self, volume_m3: f64) -> f64 {
        let step_m3 = self.step_m3();
        libm::ceil(volume_m3 / step_m3 - 1e-6) * step_m3
    }

    /// Down to them.
    pub(super) fn round_down_m3(&self, volume_m3: f64) -> f64 {
        let step_m3 = self.step_m3();
        libm::floor(volume_m3 / step_m3 + 1e-6) * step_m3
    }

    fn step_m3(&self) -> f64 {
        match self.units {
            UnitSystem::Si => 5e-3,
            UnitSystem::Us => GALLON_M3,
        }
    }

    /// Up to what one can mark: 5 mm, or a quarter of an inch.
    pub(super) fn mark_m(&self, length_m: f64) -> f64 {
        let step_m = match self.units {
            UnitSystem::Si => 0.005,
            UnitSystem::Us => 0.0254 / 4.0,
        };
        libm::ceil(length_m / step_m - 1e-6) * step_m
    }
}

/// A price to four digits, and to two places at least.
fn digits(price: f64) -> String {
    let leading = if price > 0.0 {
        libm::floor(libm::log10(price))
    } else {
        0.0
    };
    let places = (3.0 - leading).clamp(2.0, 12.0) as usize;
    let mut out = format!("{price:.places$}");
    while out.ends_with('0') && out.find('.').is_some_and(|at| out.len() - at > 3) {
        out.pop();
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{Currency, UnitSystem, Write};

    /// As it was answered, so that nothing is lost on the way into a file.
    #[test]
    fn a_price_is_written_as_it_was_answered() {
        let of = |units| Write {
            units,
            currency: Currency::new("USD").expect("a code"),
        };
        let [si, us] = [UnitSystem::Si, UnitSystem::Us].map(of);
        assert_eq!(si.water_price(4.2), "4.20 USD/m3");
        assert_eq!(si.water_price(0.0), "0.00 USD/m3");
        assert_eq!(si.water_price(0.003), "0.003 USD/m3");
        assert_eq!(si.water_price(123_456.0), "123456.00 USD/m3");
        assert_eq!(us.water_price(0.05 / 3.785_411_784e-3), "0.05 USD/gal");
        assert_eq!(us.water_price(0.0123 / 3.785_411_784e-3), "0.0123 USD/gal");
        assert_eq!(si.electricity_price(0.345 / 3.6e6), "0.345 USD/kWh");
    }
}
