//! What an instrument *reads* in sea water of given salinity and temperature, and the salinity a reading means.
//!
//! Owns: hydrometer, refractometer, conductivity meter and density meter, each as a rule from water to reading and
//! back, without the doubt of the single reading; and whether several readings of the same water agree.
//!
//! Must not know: how water behaves (that's [`seawater`](crate::seawater)), how good the user's instrument is,
//! what it costs, the station.
//!
//! Units: SI, carried in the name; a reading without unit (specific gravity) has none.

mod agreement;
mod conductivity_meter;
mod density_meter;
mod hydrometer;
mod refractometer;

pub use agreement::{
    Agreement, AgreementError, DISAGREEMENT, WeightedMean, agreement, chi_square_above, weighted_mean,
};
pub use conductivity_meter::ConductivityMeter;
pub use density_meter::DensityMeter;
pub use hydrometer::{GLASS_EXPANSION_PER_C, Hydrometer, HydrometerScale};
pub use refractometer::{Refractometer, RefractometerScale, TemperatureCompensation};
