//! The feed as nodes of the sheet: what is dissolved in it, and how warm it is in each month.

use station::quantity::{Kind, Spread};
use station::sections::{FeedFields, Month};

use crate::analysis::needs::months_after_coldest;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// The feed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Feed {
    pub(super) solids: NodeId,
    pub(super) conductivity: NodeId,
    pub(super) hardness: NodeId,
    pub(super) alkalinity: NodeId,
    pub(super) silica: NodeId,
    pub(super) coldest: NodeId,
    pub(super) warmest: NodeId,
    pub(super) carbon_dioxide: NodeId,
    /// Temperature as a mean of the year.
    pub(super) mean_temperature: NodeId,
}

impl Feed {
    /// The feed; `usual` is that of ordinary days where a state of the feed is laid over it.
    pub(super) fn new(
        fields: &FeedFields,
        usual: Option<&FeedFields>,
        sheet: &mut Sheet,
    ) -> Result<Self, Refusal> {
        let factor = sheet.given(&fields.solids_per_conductivity);
        let (solids, conductivity) = match &fields.dissolved_solids {
            Some(solids) => {
                let solids = sheet.given(solids);
                let conductivity = match fields.conductivity.is_given() {
                    true => sheet.given(&fields.conductivity),
                    false => sheet.figure(
                        "feed.conductivity",
                        "conductivity of the feed at 25 C",
                        &m::CONDUCTIVITY_FROM_SOLIDS,
                        &[solids, factor],
                    )?,
                };
                (solids, conductivity)
            }
            None => {
                let conductivity = sheet.given(&fields.conductivity);
                let solids = sheet.figure(
                    "feed.solids",
                    "dissolved solids of the feed",
                    &m::DISSOLVED_SOLIDS,
                    &[conductivity, factor],
                )?;
                (solids, conductivity)
            }
        };
        let (coldest, warmest) = (sheet.given(&fields.coldest), sheet.given(&fields.warmest));
        let alkalinity = sheet.given(&fields.alkalinity);
        let ph = sheet.given(&fields.ph);
        // Colder water keeps its carbonate while its pH moves: a pH that the state doesn't give anew is that of
        // ordinary days, and holds at their temperature.
        let [sampled_coldest, sampled_warmest] = match usual {
            Some(usual) if usual.ph == fields.ph && usual.alkalinity == fields.alkalinity => {
                [sheet.given(&usual.coldest), sheet.given(&usual.warmest)]
            }
            _ => [coldest, warmest],
        };
        let carbon_dioxide = sheet.figure(
            "feed.carbon-dioxide",
            "carbon dioxide in the feed, which no meter shows",
            &m::CARBON_DIOXIDE,
            &[alkalinity, ph, sampled_coldest, sampled_warmest, conductivity],
        )?;
        sheet.headline(carbon_dioxide);
        sheet.figure(
            "feed.gas-on-meter",
            "what a meter shows of that carbon dioxide behind a perfect membrane",
            &m::GAS_ON_METER,
            &[carbon_dioxide],
        )?;
        let quarter = months_after_coldest(sheet, 3);
        let mean_temperature = sheet.figure(
            "feed.temperature",
            "temperature of the feed, mean of the year",
            &m::FEED_TEMPERATURE,
            &[coldest, warmest, quarter],
        )?;
        Ok(Self {
            solids,
            conductivity,
            hardness: sheet.given(&fields.hardness),
            alkalinity,
            silica: sheet.given(&fields.silica),
            coldest,
            warmest,
            carbon_dioxide,
            mean_temperature,
        })
    }

    /// Its temperature in a month.
    pub(super) fn temperature_in(
        &self,
        fields: &FeedFields,
        month: Month,
        sheet: &mut Sheet,
    ) -> Result<NodeId, Refusal> {
        let after = months_after_coldest(sheet, month.months_after(fields.coldest_month.value));
        sheet.figure(
            key_of("feed.temperature", month),
            format!("temperature of the feed in {}", month.word()),
            &m::FEED_TEMPERATURE,
            &[self.coldest, self.warmest, after],
        )
    }
}

/// `made.february`.
pub(super) fn key_of(what: &str, month: Month) -> String {
    format!("{what}.{}", month.word().to_lowercase())
}

/// A constant of the method's own, as a leaf.
pub(super) fn constant(sheet: &mut Sheet, name: &str, value: f64, kind: Kind, reason: &str) -> NodeId {
    sheet.assumed(name, value, kind, Spread::NONE, reason)
}
