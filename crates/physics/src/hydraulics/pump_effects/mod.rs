//! What a pump does to the water and to the tube behind it.
//!
//! Owns: the power that goes into the water, the heat that stays in it, a pump that runs against a closed valve, the range
//! of flow in which a pump is at home, the pressure at no flow against what a tube bears at its temperature.
//!
//! Must not know: pump curves and where they meet the line, what the vessel loses to the room.

mod closed_valve;
mod error;
mod heat;
mod operating_range;
mod power;
mod shut_off;

pub use closed_valve::{ClosedPump, HeatingTime, heating_rate_c_s, time_to_rise};
pub use error::PumpEffectError;
pub use heat::{WET_ROTOR_HEAT_SHARE, heat_into_water_w, warming_c_s};
pub use operating_range::{OperatingRange, PREFERRED_SHARE, operating_range};
pub use power::{hydraulic_power_w, input_power_w};
pub use shut_off::{ShutOff, TubeMaterial, rating_at_pa, shut_off};
