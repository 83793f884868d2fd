//! Parts: what tubes, fittings and valves of everyday kinds are, and what they cost in pressure.
//!
//! Owns: the loss coefficients of parts, with their change at low Reynolds numbers; flow coefficients Kv and Cv;
//! changes of bore; valves by their opening; hose barbs; the true bore of tubes by their nominal size.
//!
//! Must not know: which part sits where in a station, who makes it.
//!
//! A loss coefficient K means `Δp = K·ρ·v²/2` with the mean velocity in a stated bore; at another bore the same
//! part has another K. Tables of K scatter by 30 to 50 % in bores of half an inch: what is measured comes first.

mod barb;
mod bore_change;
mod coefficient;
mod fitting;
mod fitting_friction;
mod limits;
mod loss;
mod part_error;
mod tube;
mod valve;
mod valve_opening;

pub use barb::{USUAL_BARB_SHARE, hose_barb, usual_barb_bore_m};
pub use bore_change::{sudden_contraction, sudden_expansion};
pub use coefficient::{
    KV_DENSITY_KG_M3, KV_PER_CV, cv_from_kv, drop_from_loss_pa, kv_from_cv, kv_from_loss, loss_at_other_bore,
    loss_from_drop, loss_from_kv,
};
pub use fitting::FittingKind;
pub use fitting_friction::{fitting_friction, rough_pipe_friction};
pub use loss::LossCoefficient;
pub use part_error::PartError;
pub use tube::{Tube, TubeKind, find_tube, known_tubes};
pub use valve::{Cracking, ValveKind};
pub use valve_opening::ValvePosition;
