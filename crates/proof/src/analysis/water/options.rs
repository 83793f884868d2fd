//! What a second bed or a degassing step would change: the owner's run with other resin behind it.

use serde::Serialize;
use station::Purifier;
use station::sections::BedKind;

use super::beds::Resin;
use super::run::{Rhythm, Shared};
use crate::estimate::Estimate;
use crate::method::Refusal;
use crate::sheet::{NodeId, Sheet};

/// Resin as it is, or as it could be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ResinOption {
    /// What stands between membrane and vessel, in words.
    pub what: &'static str,
    /// Whether this is the owner's.
    pub owners: bool,
    /// Water that the bed which is changed first purifies, m³.
    pub resin_life_m3: Estimate,
    /// A cubic metre of purified water, in money, as far as prices are given.
    pub cost_per_m3: Option<Estimate>,
}

/// The resin with and without a second bed, with and without degassing; nothing without resin.
pub(super) fn options(
    shared: &Shared<'_>,
    purifier: &Purifier,
    run: NodeId,
    rhythm: Rhythm,
    sheet: &mut Sheet,
) -> Result<Vec<ResinOption>, Refusal> {
    let Some(own) = &shared.resin else {
        return Ok(Vec::new());
    };
    let degassed = purifier.fields.degassing.is_some();
    let lead = own.has_lead();
    let mixed = purifier
        .beds
        .iter()
        .filter(|bed| bed.fields.kind.value == BedKind::Mixed)
        .count();
    let alone = match mixed > 1 && !lead {
        true => "beds side by side",
        false => "one bed alone",
    };
    let with_air_alone = match mixed > 1 && !lead {
        true => "degassing, beds side by side",
        false => "degassing, one bed alone",
    };
    let kinds: &[(&str, bool, bool)] = if own.may_have_lead() {
        &[
            (alone, false, false),
            ("lead and lag bed", true, false),
            (with_air_alone, false, true),
            ("degassing, lead and lag bed", true, true),
        ]
    } else {
        &[("as it is", false, false), ("degassing before it", false, true)]
    };
    sheet.quietly(|sheet| {
        let mut out = Vec::new();
        for (what, with_lead, with_air) in kinds {
            let resin: Resin = own.with(*with_lead, *with_air, &shared.feed, sheet)?;
            let with = Shared {
                resin: Some(resin),
                train: shared.train.clone(),
                filters: shared.filters.clone(),
                ..*shared
            };
            let economics = with.economics(run, rhythm, "option", sheet)?;
            let Some(load) = economics.load else { continue };
            out.push(ResinOption {
                what,
                owners: *with_air == degassed && (!own.may_have_lead() || *with_lead == lead),
                resin_life_m3: sheet.estimate(load.life),
                cost_per_m3: economics.cost.map(|cost| sheet.estimate(cost)),
            });
        }
        Ok(out)
    })
}
