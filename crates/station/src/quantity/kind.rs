//! The kinds of quantity, each with its one stored unit.

/// What a quantity measures. Gauge pressure, temperature and temperature difference are kinds of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Kind {
    /// Volume, m³.
    Volume,
    /// Volume flow, m³/s.
    Flow,
    /// Length or level, m.
    Length,
    /// Mass, kg.
    Mass,
    /// Gauge pressure, Pa above the air.
    Pressure,
    /// Temperature, °C on ITS-90.
    Temperature,
    /// Difference of two temperatures, K.
    TemperatureDifference,
    /// Mass of a substance in a volume of water, kg/m³.
    Concentration,
    /// Rise or fall of a concentration with time, kg/(m³ s).
    ConcentrationRate,
    /// Alkalinity or hardness as an amount of charge, mol/m³ (= meq/L).
    Alkalinity,
    /// Electrical conductivity, S/m.
    Conductivity,
    /// Mass density, kg/m³.
    Density,
    /// Time, s.
    Time,
    /// Power, W.
    Power,
    /// Energy, J.
    Energy,
    /// Load on a floor, kg/m².
    FloorLoad,
    /// Money in the station's currency.
    Money,
    /// Price of a volume, currency/m³.
    PricePerVolume,
    /// Price of energy, currency/J.
    PricePerEnergy,
    /// Price of a mass, currency/kg.
    PricePerMass,
    /// Price of time, currency/s.
    PricePerTime,
    /// Practical salinity (PSS-78), no unit.
    Salinity,
    /// A share, no unit: 0.3 or 30 %.
    Fraction,
    /// A share per kelvin, 1/K.
    FractionPerKelvin,
    /// Area, m².
    Area,
    /// Speed, m/s.
    Speed,
    /// What a litre of resin can take up, mol of charge in a m³ of bed.
    ExchangeCapacity,
    /// Charge that resin must take out of a volume of water, mol/m³ (= meq/L).
    ResinLoad,
    /// Flow through a membrane for each pressure across it, m³/(s Pa).
    FlowPerPressure,
    /// A plain number without a unit.
    Number,
}

impl Kind {
    /// The field's name for the kind, with its article: "a volume".
    pub const fn with_article(self) -> &'static str {
        match self {
            Self::Volume => "a volume",
            Self::Flow => "a flow",
            Self::Length => "a length",
            Self::Mass => "a mass",
            Self::Pressure => "a pressure",
            Self::Temperature => "a temperature",
            Self::TemperatureDifference => "a temperature difference",
            Self::Concentration => "a concentration",
            Self::ConcentrationRate => "a change of concentration with time",
            Self::Alkalinity => "an alkalinity or hardness",
            Self::Conductivity => "a conductivity",
            Self::Density => "a density",
            Self::Time => "a time",
            Self::Power => "a power",
            Self::Energy => "an energy",
            Self::FloorLoad => "a load on the floor",
            Self::Money => "an amount of money",
            Self::PricePerVolume => "a price of a volume",
            Self::PricePerEnergy => "a price of energy",
            Self::PricePerMass => "a price of a mass",
            Self::PricePerTime => "a price of time",
            Self::Salinity => "a salinity",
            Self::Fraction => "a share",
            Self::FractionPerKelvin => "a share per degree",
            Self::Area => "an area",
            Self::Speed => "a speed",
            Self::ExchangeCapacity => "a capacity of resin",
            Self::ResinLoad => "a load on resin",
            Self::FlowPerPressure => "a flow for a pressure",
            Self::Number => "a plain number",
        }
    }

    /// The unit in which the kind is stored, as machine-readable output names it.
    pub const fn si_unit(self) -> &'static str {
        match self {
            Self::Volume => "m3",
            Self::Flow => "m3/s",
            Self::Length => "m",
            Self::Mass => "kg",
            Self::Pressure => "Pa",
            Self::Temperature => "C",
            Self::TemperatureDifference => "K",
            Self::Concentration | Self::Density => "kg/m3",
            Self::ConcentrationRate => "kg/(m3 s)",
            Self::Alkalinity | Self::ExchangeCapacity | Self::ResinLoad => "mol/m3",
            Self::Area => "m2",
            Self::Speed => "m/s",
            Self::FlowPerPressure => "m3/(s Pa)",
            Self::Conductivity => "S/m",
            Self::Time => "s",
            Self::Power => "W",
            Self::Energy => "J",
            Self::FloorLoad => "kg/m2",
            Self::Money => "money",
            Self::PricePerVolume => "money/m3",
            Self::PricePerEnergy => "money/J",
            Self::PricePerMass => "money/kg",
            Self::PricePerTime => "money/s",
            Self::FractionPerKelvin => "1/K",
            Self::Salinity | Self::Fraction | Self::Number => "1",
        }
    }

    /// Whether a bare number is enough, since the quantity has no unit.
    pub const fn is_unitless(self) -> bool {
        matches!(self, Self::Salinity | Self::Fraction | Self::Number)
    }

    /// Whether it is money, or money for something.
    pub const fn is_of_money(self) -> bool {
        matches!(
            self,
            Self::Money
                | Self::PricePerVolume
                | Self::PricePerEnergy
                | Self::PricePerMass
                | Self::PricePerTime
        )
    }

    /// Whether "5 ft 3 in" or "9 h 40 min" makes sense.
    pub(crate) const fn may_be_compound(self) -> bool {
        matches!(self, Self::Length | Self::Mass | Self::Time)
    }
}
