//! The sections of a station file, each declared once.

mod delivered;
mod display;
mod failure;
mod feed;
mod holiday;
mod instrument;
mod naming;
mod people;
mod plumbing;
mod prices;
mod purifier;
mod reserve;
mod room;
mod salt;
mod stage;
mod tank;
mod vessel;

pub use delivered::{DeliveredFields, DeliveredKind};
pub use display::{Display, Title, Units};
pub use failure::{FailureClass, FailureFields};
pub use feed::{FeedFields, FeedState, Month};
pub use holiday::HolidayFields;
pub use instrument::{InstrumentFields, InstrumentKind};
pub use naming::{NAMINGS, Naming, ONE_OF};
pub use people::People;
pub use plumbing::{
    Aim, By, DrawFields, Entrance, LineFields, LineupFields, PumpFields, TeeFields, Tube, Valve, ValveFields,
};
pub use prices::Prices;
pub use purifier::{Control, Order, PurifierFields, ShutOff};
pub use reserve::Reserve;
pub use room::Room;
pub use salt::SaltFields;
pub use stage::{BedFields, BedKind, FilterFields, FilterKind, MembraneFields};
pub use tank::{TankFields, TopOff};
pub use vessel::{Fill, Lid, Light, Purpose, ShapeWord, VesselFields, Wall, Water, dimensions_of};

use crate::register::SectionSpec;

/// Free text.
pub type Text = String;
/// True or false.
pub type YesNo = bool;

/// The sections of a table; nothing where sections there have no names.
pub fn of_table(table: &str) -> Option<&'static SectionSpec> {
    REGISTER.iter().find(|own| own.table() == Some(table))
}

/// Every section, in the order in which a file is written and read.
pub const REGISTER: &[SectionSpec] = &[
    Title::SPEC,
    Display::SPEC,
    Room::SPEC,
    People::SPEC,
    HolidayFields::SPEC,
    TankFields::SPEC,
    VesselFields::SPEC,
    SaltFields::SPEC,
    FeedFields::SPEC,
    FeedState::SPEC,
    PurifierFields::SPEC,
    FilterFields::SPEC,
    MembraneFields::SPEC,
    BedFields::SPEC,
    DeliveredFields::SPEC,
    PumpFields::SPEC,
    TeeFields::SPEC,
    DrawFields::SPEC,
    LineFields::SPEC,
    ValveFields::SPEC,
    LineupFields::SPEC,
    InstrumentFields::SPEC,
    Reserve::SPEC,
    FailureFields::SPEC,
    Prices::SPEC,
];
