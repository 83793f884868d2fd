//! Mixing a vessel by the jet that a pump returns into it, from the first turn to the first measurement.
//!
//! Owns: turnovers and wash-out, the path of a jet and its mixing time by three correlations, what a difference of
//! density does to a jet or leaves on the floor, the settling, moving and dissolving of salt grains, the flushing of
//! a dead leg, the wait before the first measurement.
//!
//! Must not know: pumps and their curves (a flow comes as a number), the chemistry of salt, heat beyond a wait in
//! seconds, shapes of vessels beyond a diameter and a depth ([`StirredVessel::of_volume`] takes the rest).
//!
//! How far to believe it: mixing times to a factor of 1.5, grains to a factor of 2, and a heap of salt not at all:
//! it dissolves from its outside and may take hours. Two readings, top and bottom, prove a vessel mixed; these
//! numbers only say when to take them.

mod aim;
mod bed;
mod blend;
mod dead_leg;
mod density;
mod dissolve;
mod error;
mod grain;
mod layer;
mod limits;
mod nozzle;
mod turnover;
mod wait;

pub use aim::{Aim, JetPath, StirredVessel, jet_path};
pub use bed::{
    FloorReach, FloorTransport, SaltOnFloor, critical_shields, floor_reach, floor_transport,
    shear_speed_to_move_m_s,
};
pub use blend::{
    BlendTimes, HOMOGENEITY, blend_times, circulation_time_s, crossing_time_s, time_to_homogeneity_s,
    turbulence_time_s,
};
pub use dead_leg::{
    DeadLeg, Flush, LegFlow, flush, laminar_old_share_inside, laminar_old_share_leaving, laminar_volumes,
    turbulent_volumes,
};
pub use density::{
    AgainstDensity, OpposedJet, densimetric_froude, jet_length_scale_m, opposed_jet, opposed_reach_m,
};
pub use dissolve::{
    SALT_DIFFUSIVITY_M2_S, STILL_FILM_M_S, Undersaturated, dissolution_time_s, falling_dissolution_time_s,
    mass_transfer_m_s,
};
pub use error::JetError;
pub use grain::{Grain, GrainShape, Liquid, settling_speed_m_s};
pub use layer::{LayerFate, layer_fate, layer_richardson};
pub use nozzle::{Nozzle, SpeedBounds, axis_speed_m_s, floor_speed_m_s};
pub use turnover::{REPLACED_SHARE, replaced_share, turnover_time_s, turnovers_for_share};
pub use wait::{FirstMeasurement, MIXING_MARGIN, WAIT_HOMOGENEITY, first_measurement};
