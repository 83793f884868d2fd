//! The station under somebody's hands: valves, pumps, tasks and faults as they are pressed, the water as it goes.
//!
//! Owns: acts and their record, the walk by short steps with every flow followed, the ledger of water and salt, what the air
//! takes, salt that dissolves, warmth and thermostats, what would be harmed by an act, how far somebody is on a card that they
//! follow, the picture of a moment.
//!
//! Doesn't own: how the station decides (`station::control`), how water flows, what a fault bends and what counts as harm:
//! all of that is `crate::alone`'s, with a hand put before it.
//!
//! A step is planned once and walked to its end whatever is asked meanwhile; only an act cuts it. So the same acts at the
//! same times come to the same bytes, however often somebody looks. Vessels are stirred bodies, salt that is poured in lies on
//! their floor until it is dissolved, and lines hold no water of their own: what leaves one end has arrived at the other.

mod act;
mod air;
mod begin;
mod beside;
mod books;
mod fault;
mod follow;
mod foretell;
mod grains;
mod hand;
mod ledger;
mod picture;
mod read;
mod replay;
mod tank;
#[cfg(test)]
mod tests;
mod walk;
mod warmth;
mod watch;
mod words;

pub use act::{Act, Recorded};
pub use begin::{Beginning, Live, live};
pub use beside::{Turned, Unsalted};
pub use fault::{LiveFault, PossibleFault};
pub use follow::{Follow, Part, Step};
pub use foretell::Foretold;
pub use picture::{
    AlarmNow, Balances, DrawNow, Entry, FloorNow, HarmNow, LineNow, PumpNow, PurifierNow, Snapshot, TankNow,
    TaskNow, ValveNow, VesselNow,
};
pub use replay::replay;
pub use watch::{Ended, Left};
