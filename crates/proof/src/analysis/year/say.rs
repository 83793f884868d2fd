//! Figures of many years in the sentences of findings, with the digits that the tables have.

use station::Station;
use station::quantity::{Kind, format_interval};

use super::types::Over;

/// A figure with the digits that its band leaves, as the table below has it.
pub(super) fn said(station: &Station, kind: Kind, over: &Over) -> String {
    shown(station, kind, over.mean, over.digits())
}

/// A value to two digits (house rule): what one year in twenty has isn't known better.
pub(super) fn roughly(station: &Station, kind: Kind, si: f64) -> String {
    shown(station, kind, si, Some(0.3 * si.abs()))
}

fn shown(station: &Station, kind: Kind, si: f64, half_width: Option<f64>) -> String {
    format_interval(kind, si, half_width, station.units(), &station.currency()).value_with_unit()
}

/// Hours as a number: days of them would be days of 24 hours.
pub(super) fn hours(station: &Station, over: &Over) -> String {
    format!("{} hours", said(station, Kind::Number, over))
}

/// A share in whole per cent.
pub(super) fn percent(share: f64) -> String {
    format!("{} %", libm::round(100.0 * share))
}
