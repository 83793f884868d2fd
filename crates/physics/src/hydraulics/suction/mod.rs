//! The suction side of a pump, and everything that stops one there.
//!
//! Owns: the head above vapour pressure that a pump is given, the air of high places, the depth that keeps an outlet
//! from drawing air, lines that are air-locked, siphons, soft tubes that collapse, usual velocities and the blow of a valve
//! that shuts.
//!
//! Must not know: friction of tubes and fittings (it comes as a head in metres of the water itself), pump curves.
//!
//! Pressures say in their name whether they are absolute. Heights are above any common datum; heads are metres of the
//! water that is moved.

mod air;
mod atmosphere;
mod collapse;
mod error;
mod limits;
mod npsh;
mod siphon;
mod siphon_break;
mod submergence;
mod surge;
mod velocity;

pub use air::{
    AIR_CLEARS_FROM_FROUDE, AIR_STAYS_BELOW_FROUDE, AirPocket, Filling, Start, SuctionLine, air_pocket,
    clearing_velocity_m_s, start_of,
};
pub use atmosphere::{ALTITUDE, standard_pressure_pa};
pub use collapse::{Collapse, SoftMaterial, Tube, collapse_margin, collapse_pressure_pa};
pub use error::SuctionError;
pub(in crate::hydraulics) use limits::{DENSITY, GRAVITY_M_S2};
pub use npsh::{
    NpshMargin, SuctionHead, USUAL_NPSH_MARGIN_M, npsh_available_m, npsh_margin, water_vapour_pressure_pa,
};
pub use siphon::{Crest, CrestState, crest_of, hose_volume_m3};
pub use siphon_break::{HoleHeights, back_flow_m3, siphon_break_heights};
pub use submergence::{froude_number, greatest_flow_m3_s, least_level_m, least_submergence_m};
pub use surge::{Surge, WATER_BULK_MODULUS_PA, WallStiffness, surge, wave_speed_m_s};
pub use velocity::{
    Place, USUAL_DISCHARGE_M_S, USUAL_SUCTION_M_S, VelocityFinding, judge_velocity, mean_velocity_m_s,
};
