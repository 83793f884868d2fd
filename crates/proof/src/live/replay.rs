//! A record, played again.

use station::Station;

use super::act::Recorded;
use super::begin::{Beginning, live};
use super::fault::LiveFault;
use super::picture::Snapshot;

/// Plays a record and goes on to a time: the picture of that moment. The same record comes to the same bytes.
///
/// # Errors
/// [`LiveFault`] where the station has no plant, or an act of the record can't be done.
pub fn replay(
    station: &Station,
    beginning: Beginning,
    record: &[Recorded],
    until_s: f64,
) -> Result<Snapshot, LiveFault> {
    live(station, beginning, |live| {
        for own in record {
            live.advance_to(own.at_s)?;
            live.act(&own.act)?;
        }
        live.advance_to(until_s)?;
        live.snapshot()
    })?
}
