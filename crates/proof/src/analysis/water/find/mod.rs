//! What there is to say about the water that is made.

mod booster;
mod carbon;
mod control;
mod feed;
mod restrictor;
mod run;
mod train;

use station::quantity::UnitSystem;
use station::sections::{Control, FeedFields, Fill, Water};
use station::{Edit, Purifier, Station};

use super::run::{Rhythm, Shared};
use super::{Made, MonthOfWater};
use crate::analysis::speak::shown;
use crate::finding::{Finding, Severity};
use crate::sheet::Sheet;

pub(super) use booster::starves;
pub(super) use train::gives_nothing;

/// Everything that was worked out, for those who speak about it.
pub(super) struct Seen<'s> {
    pub(super) station: &'s Station,
    pub(super) purifier: &'s Purifier,
    pub(super) feed: &'s FeedFields,
    pub(super) made: &'s Made,
    /// The leanest month.
    pub(super) lean: &'s MonthOfWater,
    /// How the owner's runs come and go.
    pub(super) rhythm: Rhythm,
}

/// All findings about the water that is made.
pub(super) fn find(seen: &Seen<'_>, shared: &Shared<'_>, sheet: &mut Sheet, findings: &mut Vec<Finding>) {
    no_fresh_vessel(seen, findings);
    train::find(seen, sheet, findings);
    restrictor::find(seen, findings);
    control::find(seen, findings);
    booster::find(seen, findings);
    feed::find(seen, findings);
    carbon::find(seen, shared, sheet, findings);
    run::find(seen, shared, sheet, findings);
}

/// A purifier that has only salt water to run into.
fn no_fresh_vessel(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    let vessels = super::setting::filled(seen.station);
    let Some(first) = vessels.first() else { return };
    let by_hand = seen.purifier.fields.control.value == Control::Attended;
    // One that fills by itself has its own finding.
    let told = first.fields.fill.value == Fill::Automatic;
    if by_hand
        || told
        || vessels
            .iter()
            .any(|vessel| vessel.fields.holds.value == Water::Fresh)
    {
        return;
    }
    findings.push(Finding::new(
        "no-fresh-vessel",
        Severity::Note,
        format!("vessels.{}", first.name),
        format!(
            "No vessel holds fresh water: runs are reckoned with {}, filled by hand. Start one only when {} is empty: a batch that is topped up loses its salinity.",
            shown(&first.name),
            shown(&first.name)
        ),
    ));
}

impl Seen<'_> {
    /// `in February`; `on such a day` where the months are alike.
    fn when(&self, month: &str) -> String {
        match self.made.months_are_alike() {
            true => "on such a day".to_owned(),
            false => format!("in {month}"),
        }
    }

    /// The same at the head of a sentence.
    fn at_first(&self, month: &str) -> String {
        match self.made.months_are_alike() {
            true => "On such a day".to_owned(),
            false => format!("In {month}"),
        }
    }
}

/// The key of a month's figure: `permeate.february`.
fn month_key(what: &str, month: &str) -> String {
    format!("{what}.{}", month.to_lowercase())
}

/// A pressure as one sets it: half bars, or fives of psi.
fn set_pressure(station: &Station, path: &str, bar: f64, psi: f64) -> Edit {
    match station.units() {
        UnitSystem::Si => Edit::quoted(path, &format!("{bar} bar")),
        UnitSystem::Us => Edit::quoted(path, &format!("{psi} psi")),
    }
}
