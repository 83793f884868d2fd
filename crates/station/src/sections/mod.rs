//! The sections of a station file, each declared once.

mod display;
mod instrument;
mod people;
mod prices;
mod reserve;
mod room;
mod salt;
mod tank;
mod vessel;

pub use display::{Display, Title, Units};
pub use instrument::{InstrumentFields, InstrumentKind};
pub use people::People;
pub use prices::Prices;
pub use reserve::Reserve;
pub use room::Room;
pub use salt::SaltFields;
pub use tank::{TankFields, TopOff};
pub use vessel::{Fill, Light, ShapeWord, VesselFields, Wall, Water, dimensions_of};

use crate::register::SectionSpec;

/// Free text.
pub type Text = String;
/// True or false.
pub type YesNo = bool;

/// Every section, in the order in which a file is written and read.
pub const REGISTER: &[SectionSpec] = &[
    Title::SPEC,
    Display::SPEC,
    Room::SPEC,
    People::SPEC,
    TankFields::SPEC,
    VesselFields::SPEC,
    SaltFields::SPEC,
    InstrumentFields::SPEC,
    Reserve::SPEC,
    Prices::SPEC,
];
