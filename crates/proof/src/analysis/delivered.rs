//! Water that is delivered regularly, as a mean.

mod find;

use station::Station;
use station::sections::Water;

use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

pub(crate) use find::{find, too_little};

/// Water of one kind that is delivered regularly, as a mean.
pub(crate) fn delivered(
    station: &Station,
    water: Water,
    sheet: &mut Sheet,
) -> Result<Option<NodeId>, Refusal> {
    let mut flows = Vec::new();
    for delivery in station.delivered.iter().filter(|d| d.fields.holds.value == water) {
        let Some(every) = &delivery.fields.every else {
            continue;
        };
        let inputs = [sheet.given(&delivery.fields.volume), sheet.given(every)];
        flows.push(sheet.figure(
            format!("delivered.{}.mean", delivery.name),
            format!("{}: delivered as a mean", delivery.name),
            &m::DELIVERED_RATE,
            &inputs,
        )?);
    }
    match flows.as_slice() {
        [] => Ok(None),
        [one] => Ok(Some(*one)),
        flows => sheet
            .figure(
                format!("delivered.{}", water.word()),
                format!("{} water delivered as a mean", water.word()),
                &m::DAILY_SUM,
                flows,
            )
            .map(Some),
    }
}
