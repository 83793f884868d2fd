//! The year in months: what is made, what is needed, what is left over.

use serde::Serialize;
use station::quantity::Kind;
use station::sections::{Control, Month};
use station::{Purifier, Station};

use super::feed::{Feed, constant, key_of};
use super::train::{Point, Train};
use crate::analysis::needs::{Needs, months_after_coldest};
use crate::estimate::Estimate;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// One month.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MonthOfWater {
    /// Its name.
    pub month: &'static str,
    /// Temperature of the feed, °C.
    pub feed_temperature_c: Estimate,
    /// Permeate while it runs, m³/s.
    pub permeate_m3_per_s: Estimate,
    /// Reject while it runs, m³/s.
    pub reject_m3_per_s: Estimate,
    /// Dissolved solids of the permeate in a long run, kg/m³.
    pub permeate_solids_kg_m3: Estimate,
    /// Dissolved solids of the reject, kg/m³.
    pub reject_solids_kg_m3: Estimate,
    /// Made as a mean over the day, by the hours that it may run, m³/s.
    pub made_m3_per_s: Estimate,
    /// Purified water that is needed, m³/s; nothing without tanks.
    pub need_m3_per_s: Option<Estimate>,
    /// Fresh water that is delivered as a mean, m³/s; nothing without regular deliveries.
    pub delivered_m3_per_s: Option<Estimate>,
    /// Made and delivered beyond the need, m³/s.
    pub margin_m3_per_s: Option<Estimate>,
    /// Time from the start level to the stop level, s.
    pub fill_time_s: Option<Estimate>,
    #[serde(skip)]
    pub(super) which: Month,
    #[serde(skip)]
    pub(super) point: Point,
}

/// Inputs that all months share.
pub(super) struct Year<'s> {
    pub(super) station: &'s Station,
    pub(super) purifier: &'s Purifier,
    pub(super) feed: &'s Feed,
    pub(super) train: &'s Train,
    pub(super) needs: &'s Needs,
    /// Fresh water that is delivered as a mean.
    pub(super) delivered: Option<NodeId>,
    pub(super) run: Option<NodeId>,
    /// The owner's run and what is flushed before it; nothing where nothing is.
    pub(super) flushed: Option<(NodeId, NodeId)>,
}

impl Year<'_> {
    pub(super) fn months(&self, sheet: &mut Sheet) -> Result<Vec<MonthOfWater>, Refusal> {
        Month::ALL.iter().map(|month| self.month(*month, sheet)).collect()
    }

    fn month(&self, month: Month, sheet: &mut Sheet) -> Result<MonthOfWater, Refusal> {
        let Some(fields) = &self.station.feed else {
            return Err(Refusal::Inputs { given: 0 });
        };
        let temperature = self.feed.temperature_in(fields, month, sheet)?;
        let when = format!(".{}", month.word().to_lowercase());
        let words = format!(", {}", month.word());
        let point = self.train.at(self.feed, temperature, &when, &words, sheet)?;
        let reject_solids = sheet.figure(
            key_of("reject-solids", month),
            format!("dissolved solids of the reject, {}", month.word()),
            &m::REJECT_SOLIDS,
            &[self.feed.solids, point.solids, point.permeate, point.reject],
        )?;
        let made = over_the_day(
            self.purifier,
            point.permeate,
            &key_of("made", month),
            &format!("purified water made in {}, mean over the day", month.word()),
            sheet,
        )?;
        let made = beyond_flush(
            made,
            self.flushed,
            &key_of("net", month),
            &format!("purified water made in {}, less what is flushed", month.word()),
            sheet,
        )?;
        let need = self.need(month, sheet)?;
        let margin = match need {
            None => None,
            Some(need) => {
                let delivered = match self.delivered {
                    Some(delivered) => delivered,
                    None => constant(sheet, "nothing delivered", 0.0, Kind::Flow, "no regular delivery"),
                };
                Some(sheet.figure(
                    key_of("margin", month),
                    format!("made beyond the need in {}", month.word()),
                    &m::MARGIN,
                    &[made, delivered, need],
                )?)
            }
        };
        // A purifier that gives nothing never fills; its finding says why.
        let fill_time = self.run.and_then(|run| {
            sheet
                .figure(
                    key_of("fill-time", month),
                    format!("from the start level to the stop level in {}", month.word()),
                    &m::FILL_TIME,
                    &[run, made],
                )
                .ok()
        });
        Ok(MonthOfWater {
            month: month.word(),
            feed_temperature_c: sheet.estimate(temperature),
            permeate_m3_per_s: sheet.estimate(point.permeate),
            reject_m3_per_s: sheet.estimate(point.reject),
            permeate_solids_kg_m3: sheet.estimate(point.solids),
            reject_solids_kg_m3: sheet.estimate(reject_solids),
            made_m3_per_s: sheet.estimate(made),
            need_m3_per_s: need.map(|id| sheet.estimate(id)),
            delivered_m3_per_s: self.delivered.map(|id| sheet.estimate(id)),
            margin_m3_per_s: margin.map(|id| sheet.estimate(id)),
            fill_time_s: fill_time.map(|id| sheet.estimate(id)),
            which: month,
            point,
        })
    }

    /// Fresh water needed in a month.
    fn need(&self, month: Month, sheet: &mut Sheet) -> Result<Option<NodeId>, Refusal> {
        let Some((summer, winter)) = self.needs.top_off_by_season else {
            return Ok(None);
        };
        let Some(fields) = &self.station.feed else {
            return Ok(None);
        };
        if summer == winter {
            return Ok(self.needs.fresh);
        }
        let after = months_after_coldest(sheet, month.months_after(fields.coldest_month.value));
        let top_off = sheet.figure(
            key_of("top-off", month),
            format!("fresh water for top-off in {}", month.word()),
            &m::SEASON,
            &[summer, winter, after],
        )?;
        let Some(in_salt) = self.needs.fresh_for_salt else {
            return Ok(Some(top_off));
        };
        sheet
            .figure(
                key_of("need", month),
                format!("fresh water in all in {}", month.word()),
                &m::DAILY_SUM,
                &[top_off, in_salt],
            )
            .map(Some)
    }
}

/// What is made, less what each run flushes to the drain.
pub(super) fn beyond_flush(
    made: NodeId,
    flushed: Option<(NodeId, NodeId)>,
    key: &str,
    title: &str,
    sheet: &mut Sheet,
) -> Result<NodeId, Refusal> {
    match flushed {
        None => Ok(made),
        Some((run, flush)) => sheet.figure(key, title, &m::MADE_BEYOND_FLUSH, &[made, run, flush]),
    }
}

/// Permeate as a mean over the day, by the hours that it may run.
pub(super) fn over_the_day(
    purifier: &Purifier,
    permeate: NodeId,
    key: &str,
    title: &str,
    sheet: &mut Sheet,
) -> Result<NodeId, Refusal> {
    match hours_a_day(purifier) {
        None => Ok(permeate),
        Some(hours) => {
            let hours = sheet.given(hours);
            sheet.figure(key, title, &m::MADE_A_DAY, &[permeate, hours])
        }
    }
}

/// Hours a day that it may run, where a clock or a person decides.
pub(super) fn hours_a_day(purifier: &Purifier) -> Option<&station::register::Field<station::quantity::Time>> {
    match purifier.fields.control.value {
        Control::Timer | Control::Attended => purifier.fields.hours_a_day.as_ref(),
        // Neither asks the clock; that the hours count for nothing is told.
        Control::Float | Control::Levels => None,
    }
}

/// The month with the least margin; without tanks the one that makes least.
pub(super) fn leanest(months: &[MonthOfWater]) -> Option<&MonthOfWater> {
    months.iter().min_by(|a, b| {
        let key = |month: &MonthOfWater| {
            month
                .margin_m3_per_s
                .as_ref()
                .map_or(month.made_m3_per_s.value, |margin| margin.value)
        };
        key(a).total_cmp(&key(b))
    })
}
