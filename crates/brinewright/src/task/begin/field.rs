//! What is typed on the page, field by field: its kind, the unit that it shows, what it may lie between.

use station::quantity::{Currency, Kind, QuantityFault, UnitSystem, format_plain, read_amount};

use super::answers::Units;

/// A field that a quantity is typed in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Field {
    Volume,
    Salinity,
    Temperature,
    Change,
    Every,
    Evaporation,
    Pressure,
    Conductivity,
    Solids,
    Coldest,
    Warmest,
    Width,
    Depth,
    Ceiling,
    Door,
    WaterPrice,
    ElectricityPrice,
    DaysAway,
}

/// Kind, units for those who read litres and for those who read gallons, least and greatest.
type Facts = (Kind, [&'static str; 2], [&'static str; 2]);

impl Field {
    /// The fields of one unit, by their names on the page; what is in the tap water may be told in two.
    const NAMED: [(&'static str, Self); 16] = [
        ("volume", Self::Volume),
        ("salinity", Self::Salinity),
        ("temperature", Self::Temperature),
        ("change", Self::Change),
        ("every", Self::Every),
        ("evaporation", Self::Evaporation),
        ("pressure", Self::Pressure),
        ("coldest", Self::Coldest),
        ("warmest", Self::Warmest),
        ("width", Self::Width),
        ("depth", Self::Depth),
        ("ceiling", Self::Ceiling),
        ("door", Self::Door),
        ("water_price", Self::WaterPrice),
        ("electricity_price", Self::ElectricityPrice),
        ("days_away", Self::DaysAway),
    ];

    /// The field of a name.
    pub(crate) fn named(name: &str) -> Option<Self> {
        let own = Self::NAMED.iter().find(|(own, _)| *own == name);
        own.map(|(_, field)| *field)
    }

    /// Least and greatest are what a first station is planned for (`proof::first` holds the same); prices stand without their
    /// currency.
    const fn facts(self) -> Facts {
        let temperature = (Kind::Temperature, ["C", "F"], ["0.1 C", "40 C"]);
        let floor = (Kind::Length, ["m", "ft"], ["300 mm", "50 m"]);
        match self {
            Self::Volume => (Kind::Volume, ["L", "gal"], ["1 L", "1000 m3"]),
            Self::Salinity => (Kind::Salinity, ["", ""], ["5", "42"]),
            Self::Temperature => (Kind::Temperature, ["C", "F"], ["2 C", "36 C"]),
            Self::Change => (Kind::Fraction, ["%", "%"], ["0 %", "100 %"]),
            Self::Every => (Kind::Time, ["week", "week"], ["1 h", "365 days"]),
            Self::Evaporation => (Kind::Flow, ["L/day", "gal/day"], ["0 L/day", "10 m3/day"]),
            Self::Pressure => (Kind::Pressure, ["bar", "psi"], ["0.1 bar", "16 bar"]),
            Self::Conductivity => (Kind::Conductivity, ["", ""], ["1 uS/cm", "5 mS/cm"]),
            Self::Solids => (Kind::Concentration, ["", ""], ["1 mg/L", "3 g/L"]),
            Self::Coldest | Self::Warmest => temperature,
            Self::Width | Self::Depth => floor,
            Self::Ceiling => (Kind::Length, ["m", "ft"], ["1 m", "12 m"]),
            Self::Door => (Kind::Length, ["mm", "in"], ["300 mm", "6 m"]),
            Self::WaterPrice => (Kind::PricePerVolume, ["m3", "gal"], ["0", "1000000"]),
            Self::ElectricityPrice => (Kind::PricePerEnergy, ["kWh", "kWh"], ["0", "3600000"]),
            Self::DaysAway => (Kind::Time, ["days", "days"], ["0 days", "365 days"]),
        }
    }

    pub(crate) const fn kind(self) -> Kind {
        self.facts().0
    }

    /// The unit that it shows; nothing where there are two that one may have.
    pub(crate) fn unit(self, units: Units, currency: &str) -> Option<String> {
        let (kind, [si, us], _) = self.facts();
        let own = match units {
            Units::Si => si,
            Units::Us => us,
        };
        let own = match kind {
            Kind::PricePerVolume | Kind::PricePerEnergy => format!("{currency}/{own}"),
            _ => own.to_owned(),
        };
        (!own.is_empty()).then_some(own)
    }

    /// The same value, where a station can be planned for it.
    pub(super) fn within(
        self,
        text: &str,
        si: f64,
        units: Units,
        currency: &Currency,
    ) -> Result<f64, QuantityFault> {
        let (kind, _, ends) = self.facts();
        let end = |text: &str| {
            // The same ends whichever unit a price is shown in.
            let unit = match kind {
                Kind::PricePerVolume => format!("{}/m3", currency.code()),
                Kind::PricePerEnergy => format!("{}/kWh", currency.code()),
                _ => String::new(),
            };
            read_amount(format!("{text} {unit}").trim(), kind, currency).map(|own| own.si)
        };
        let [least, greatest] = [end(ends[0])?, end(ends[1])?];
        if (least..=greatest).contains(&si) {
            return Ok(si);
        }
        let system = match units {
            Units::Si => UnitSystem::Si,
            Units::Us => UnitSystem::Us,
        };
        let say = |si: f64| format_plain(kind, si, system, currency);
        Err(QuantityFault {
            what: format!("`{}` is beyond what a station can be planned for", text.trim()),
            mend: format!(
                "give something between {} and {}, or check the unit",
                say(least),
                say(greatest)
            ),
        })
    }
}
