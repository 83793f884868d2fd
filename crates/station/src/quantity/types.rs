//! One newtype a kind, with one stored unit; a gauge bar can't meet a volume by accident.

use super::Kind;

/// A number that knows what it measures. The stored unit is [`Kind::si_unit`].
pub trait Quantity: Copy + PartialEq + core::fmt::Debug {
    /// What it measures.
    const KIND: Kind;
    /// From the stored unit.
    fn from_si(value: f64) -> Self;
    /// To the stored unit.
    fn si(self) -> f64;
}

macro_rules! quantity_types {
    ($($(#[$doc:meta])* $name:ident, $unit_name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// The value in the stored unit, which the method's name tells.
            pub const fn $unit_name(self) -> f64 {
                self.0
            }
        }

        impl Quantity for $name {
            const KIND: Kind = Kind::$name;
            fn from_si(value: f64) -> Self {
                Self(value)
            }
            fn si(self) -> f64 {
                self.0
            }
        }
    )*};
}

quantity_types! {
    /// Volume.
    Volume, m3;
    /// Volume flow.
    Flow, m3_s;
    /// Length or level.
    Length, m;
    /// Mass.
    Mass, kg;
    /// Gauge pressure.
    Pressure, pa_gauge;
    /// Temperature on ITS-90.
    Temperature, c;
    /// Difference of two temperatures.
    TemperatureDifference, k;
    /// Mass of a substance in a volume of water.
    Concentration, kg_m3;
    /// Change of a concentration with time.
    ConcentrationRate, kg_m3_s;
    /// Alkalinity or hardness as charge.
    Alkalinity, mol_m3;
    /// Electrical conductivity.
    Conductivity, s_m;
    /// Mass density.
    Density, kg_m3;
    /// Time.
    Time, s;
    /// Power.
    Power, w;
    /// Energy.
    Energy, j;
    /// Load on a floor.
    FloorLoad, kg_m2;
    /// Money in the station's currency.
    Money, amount;
    /// Price of a volume.
    PricePerVolume, per_m3;
    /// Price of energy.
    PricePerEnergy, per_j;
    /// Price of a mass.
    PricePerMass, per_kg;
    /// Price of time.
    PricePerTime, per_s;
    /// Practical salinity.
    Salinity, practical;
    /// A share of one.
    Fraction, of_one;
    /// A share per kelvin.
    FractionPerKelvin, per_k;
    /// Area.
    Area, m2;
    /// Speed.
    Speed, m_s;
    /// Charge that a volume of resin takes up.
    ExchangeCapacity, mol_m3;
    /// A plain number.
    Number, plain;
}
