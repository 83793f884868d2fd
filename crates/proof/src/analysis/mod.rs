//! One module for each analysis.

mod batch;
mod cost;
mod levels;
mod needs;
pub(crate) mod speak;
mod supply;

pub use batch::{Batch, SaltBatch};
pub use cost::Cost;
pub use levels::{LevelMark, Levels, VesselLevels};
pub use needs::{Needs, TankNeed};
pub use supply::{Supply, VesselSupply};

pub(crate) use batch::batch;
pub(crate) use cost::cost;
pub(crate) use levels::levels;
pub(crate) use needs::needs;
pub(crate) use supply::supply;
