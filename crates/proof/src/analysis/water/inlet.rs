//! What drives the purifier: the tap, a reducer, a booster, and what the filters take of it.
//!
//! A booster stands behind the filters (common practice, no source): it sucks through them, and the membrane has the
//! booster's pressure whatever they take, until too little is left before it.

use station::quantity::Kind;
use station::{Purifier, Station};

use super::feed::constant;
use super::train::Point;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// The pressure before the filters and before the membranes.
#[derive(Debug, Clone)]
pub(super) struct Inlet {
    /// Before the filters: of the tap, or behind a reducer.
    before_filters: NodeId,
    /// What drives the water through everything that `filters` and the membranes take.
    pub(super) pressure: NodeId,
    /// What clean filters take of it at 1 L/min; nothing where a booster stands behind them.
    pub(super) filters: NodeId,
    /// What clean filters take at 1 L/min, wherever they stand.
    drop: NodeId,
    /// Whether a booster raises the pressure.
    pub(super) boosted: bool,
}

/// Whether a booster is described that gives more than comes to it.
pub(super) fn boosts(station: &Station, purifier: &Purifier) -> bool {
    purifier
        .fields
        .booster_pressure
        .as_ref()
        .is_some_and(|booster| booster.value.pa_gauge() > comes_pa(station, purifier))
}

/// What comes to the filters, Pa gauge: of the tap, or behind a reducer.
pub(super) fn comes_pa(station: &Station, purifier: &Purifier) -> f64 {
    let tap = station
        .feed
        .as_ref()
        .map_or(0.0, |feed| feed.pressure.value.pa_gauge());
    purifier
        .fields
        .reducer
        .as_ref()
        .map_or(tap, |reducer| tap.min(reducer.value.pa_gauge()))
}

impl Inlet {
    pub(super) fn new(station: &Station, purifier: &Purifier, sheet: &mut Sheet) -> Result<Self, Refusal> {
        let Some(feed) = &station.feed else {
            return Err(Refusal::Inputs { given: 0 });
        };
        let tap = sheet.given(&feed.pressure);
        let before_filters = match &purifier.fields.reducer {
            None => tap,
            Some(reducer) => {
                let reducer = sheet.given(reducer);
                sheet.figure(
                    "purifier.inlet-pressure",
                    "pressure behind the reducer",
                    &m::INLET_PRESSURE,
                    &[tap, reducer],
                )?
            }
        };
        let drops: Vec<NodeId> = purifier
            .filters
            .iter()
            .map(|filter| sheet.given(&filter.fields.clean_drop))
            .collect();
        let drop = match drops.as_slice() {
            [] => constant(
                sheet,
                "no filters",
                0.0,
                Kind::Pressure,
                "the file describes no filters",
            ),
            [one] => *one,
            drops => sheet.figure(
                "purifier.filter-drop",
                "pressure that new filters take at 1 L/min (0.26 gal/min)",
                &m::SUM_OF_PRESSURES,
                drops,
            )?,
        };
        let booster = purifier
            .fields
            .booster_pressure
            .as_ref()
            .filter(|_| boosts(station, purifier));
        let (pressure, filters) = match booster {
            None => (before_filters, drop),
            Some(booster) => {
                let behind = constant(
                    sheet,
                    "no filters behind the booster",
                    0.0,
                    Kind::Pressure,
                    "a booster stands behind the filters, which take nothing of its pressure (common practice, no source)",
                );
                (sheet.given(booster), behind)
            }
        };
        Ok(Self {
            before_filters,
            pressure,
            filters,
            drop,
            boosted: booster.is_some(),
        })
    }

    /// What filters that are due for change take at 1 L/min; nothing where there are none.
    pub(super) fn drop_when_due(
        &self,
        purifier: &Purifier,
        clean: &Point,
        sheet: &mut Sheet,
    ) -> Option<NodeId> {
        let drops: Vec<NodeId> = purifier
            .filters
            .iter()
            .map(|filter| sheet.given(&filter.fields.due_drop))
            .collect();
        if drops.is_empty() {
            return None;
        }
        let drop = sheet
            .figure(
                "purifier.filter-drop-due",
                "pressure that filters take when they are due",
                &m::SUM_OF_PRESSURES,
                &drops,
            )
            .ok()?;
        sheet
            .figure(
                "purifier.filter-drop-due-at-1-l-min",
                "pressure that filters take at 1 L/min (0.26 gal/min) when they are due",
                &m::DROP_AT_A_LITRE,
                &[drop, clean.permeate, clean.reject],
            )
            .ok()
    }

    /// Pressure before the booster while it runs, with clean filters and with such as are due; nothing without one.
    pub(super) fn suction(
        &self,
        purifier: &Purifier,
        running: &Point,
        sheet: &mut Sheet,
    ) -> Option<(NodeId, NodeId)> {
        if !self.boosted {
            return None;
        }
        let due = self.drop_when_due(purifier, running, sheet);
        let mut before = |key: &str, words: &str, drop: NodeId| {
            sheet
                .figure(
                    key,
                    format!("pressure before the booster while it runs{words}"),
                    &m::PRESSURE_BEFORE_BOOSTER,
                    &[self.before_filters, drop, running.permeate, running.reject],
                )
                .ok()
        };
        let clean = before("booster-suction", "", self.drop)?;
        let due = match due {
            None => clean,
            Some(due) => before("booster-suction.filters-due", ", filters due for change", due)?,
        };
        Some((clean, due))
    }
}
