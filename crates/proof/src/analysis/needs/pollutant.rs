//! What holds a tank's pollutant down.

use station::quantity::Kind;
use station::{Edit, Station, Tank};

use super::TankNeed;
use crate::analysis::speak::{figure, say, set_volume, shown};
use crate::finding::{Finding, Severity};
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

#[expect(
    clippy::too_many_arguments,
    reason = "one tank's nodes; a struct would be used once"
)]
pub(super) fn pollutant(
    station: &Station,
    tank: &Tank,
    change: Option<NodeId>,
    every: NodeId,
    volume: NodeId,
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
    need: &mut TankNeed,
) {
    let name = &tank.name;
    let fields = &tank.fields;
    let what = &fields.pollutant.value;
    let limit = fields
        .pollutant_limit
        .as_ref()
        .map(|limit| (sheet.given(limit), limit.value.kg_m3()));
    if let (Some(now), Some((limit, limit_value))) = (&fields.pollutant_now, limit)
        && now.value.kg_m3() > limit_value
    {
        let node = sheet.given(now);
        if let Ok(id) = sheet.figure(
            format!("{name}.one-change-now"),
            format!("{name}: share of one change that brings {what} to its limit"),
            &m::ONE_CHANGE_NOW,
            &[node, limit],
        ) {
            need.one_change_now = Some(sheet.value(id));
            let exchange = sheet.figure(
                format!("{name}.exchange-now"),
                format!("{name}: water passed through slowly that brings {what} to its limit"),
                &m::EXCHANGE_NOW,
                &[node, limit, volume],
            );
            need.exchange_now_m3 = exchange.ok().map(|id| sheet.value(id));
            let passed = need.exchange_now_m3.map_or_else(String::new, |_| {
                format!(
                    ", or {} passed through slowly",
                    figure(&format!("{name}.exchange-now"))
                )
            });
            findings.push(
                Finding::new(
                    "pollutant-high-now",
                    Severity::Should,
                    now.path.clone(),
                    format!(
                        "{what} in {} is {} now, over its limit of {}: one change of {} brings it there{passed}; several smaller changes are kinder.",
                        shown(name),
                        say(station, Kind::Concentration, now.value.kg_m3()),
                        say(station, Kind::Concentration, limit_value),
                        figure(&format!("{name}.one-change-now")),
                    ),
                )
                .figure(format!("{name}.one-change-now")),
            );
        }
    }
    let (Some(rise), Some(change)) = (&fields.pollutant_rise, change) else {
        return;
    };
    let rise = sheet.given(rise);
    let Ok(fraction) = sheet.figure(
        format!("{name}.change-share"),
        format!("{name}: share replaced at each change"),
        &m::CHANGE_FRACTION,
        &[change, volume],
    ) else {
        return;
    };
    let Ok(before) = sheet.figure(
        format!("{name}.pollutant"),
        format!("{name}: {what} just before each change, in the long run"),
        &m::STEADY_BEFORE_CHANGE,
        &[rise, every, fraction],
    ) else {
        return;
    };
    need.pollutant_before_change_kg_m3 = Some(sheet.value(before));
    let Some((limit, limit_value)) = limit else { return };
    let Ok(hold) = sheet.figure(
        format!("{name}.share-to-hold"),
        format!("{name}: share of each change that holds {what} at its limit"),
        &m::FRACTION_TO_HOLD,
        &[rise, every, limit],
    ) else {
        return;
    };
    need.fraction_to_hold = Some(sheet.value(hold));
    if sheet.value(before) > limit_value * 1.0001 {
        let wanted = sheet.value(hold) * fields.volume.value.m3();
        findings.push(
            Finding::new(
                "changes-too-small",
                Severity::Should,
                format!("tanks.{name}.change"),
                format!(
                    "With the present changes {what} in {} climbs to {}, over its limit of {}.",
                    shown(name),
                    figure(&format!("{name}.pollutant")),
                    say(station, Kind::Concentration, limit_value)
                ),
            )
            .figure(format!("{name}.pollutant"))
            .recipe(vec![set_volume(
                station,
                format!("tanks.{name}.change"),
                wanted,
                true,
            )])
            .recipe(vec![Edit::quoted(
                format!("tanks.{name}.change_every"),
                &format!(
                    "{} days",
                    libm::floor(fields.change_every.value.s() / 86_400.0 * limit_value / sheet.value(before))
                        .max(1.0)
                ),
            )]),
        );
    }
}
