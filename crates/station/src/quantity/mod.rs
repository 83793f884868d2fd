//! Quantities: text with a unit in, SI inside, text in the owner's units out.
//!
//! Owns: the kinds of quantity that the trade uses, their units with exact factors, the newtypes that the
//! station is made of, reading (`"38 L ± 0.5 L"`, `"5 ft 3 in"`) and printing to the digits that a spread
//! supports. Must not know: the station, files, places in a file.

mod commas;
mod find_unit;
mod format;
mod kind;
mod number;
mod read;
mod salinity;
mod spread;
mod typed;
mod types;
mod unit;

pub use format::{
    Shown, ShownUnit, UnitSystem, format_about, format_amount, format_count, format_ends, format_interval,
    format_plain, format_rough, format_rough_time, format_tape, is_lopsided, three_digits, unit_for,
};
pub use kind::Kind;
pub use read::{Amount, Currency, QuantityFault, read_amount};
pub use salinity::{SalinityScale, read_salinity};
pub use spread::{Spread, SpreadShape};
pub use typed::{as_written, written_unit};
pub use types::*;
pub(crate) use unit::GALLON_M3;
pub use unit::{Unit, is_unit, units_of};
