//! Findings on levels: what contradicts, what is missing, what is too close.

use station::quantity::Kind;
use station::sections::{Fill, Water};
use station::{Edit, Station, Vessel};

use super::pair::{Pair, TRAVEL_M};
use super::{Levels, VesselLevels};
use crate::analysis::speak::{figure, say, set_length, shown, tape};
use crate::finding::{Finding, Severity};

pub(super) fn find(station: &Station, vessel: &Vessel, entry: &VesselLevels, findings: &mut Vec<Finding>) {
    let name = &shown(&vessel.name);
    let fields = &vessel.fields;
    let at = |key: &str| format!("vessels.{}.{key}", vessel.name);
    let key = |key: &str| format!("{}.{key}", vessel.name);
    let height = vessel.height_m();
    let highest = height - fields.freeboard.value.m();
    let salt = fields.holds.value == Water::Salt;
    let automatic = fields.fill.value == Fill::Automatic;

    if salt && automatic {
        let sentence = format!(
            "{name} holds salt water and fills itself: all that is drawn is replaced by fresh water, so the batch grows thinner as it is used, unseen."
        );
        findings.push(
            Finding::new("salt-fills-itself", Severity::Must, at("fill"), sentence)
                .figure(key("full"))
                .recipe(vec![Edit::quoted(at("fill"), "by hand")]),
        );
    }
    cutout_under_outlet(station, vessel, name, findings);
    // A vessel of salt water has no runs: its switches are what is wrong, not where they sit.
    if salt {
        return;
    }
    let pair = Pair::of(station, vessel);
    findings.extend(pair.as_ref().and_then(|pair| pair.too_near(name)));
    if automatic && fields.backup_level.is_none() {
        let stop = fields
            .stop_level
            .as_ref()
            .map_or(highest - 0.05, |stop| stop.value.m());
        findings.push(
            Finding::new(
                "no-backup",
                Severity::Must,
                format!("vessels.{}", vessel.name),
                format!("{name} fills itself and nothing else holds when its stop fails: it runs over until somebody comes."),
            )
            .figure(key("full"))
            .recipe(vec![set_length(station, at("backup_level"), stop + 0.04, true)])
            .recipe(vec![Edit::quoted(at("fill"), "by hand")]),
        );
    }
    for (level, field) in [("stop", &fields.stop_level), ("backup", &fields.backup_level)] {
        if let Some(field) = field
            && field.value.m() > highest + 1e-9
        {
            // Whichever is too high: the backup stays above the stop, or one cure would ask for the next.
            let lower = match &pair {
                Some(pair) => pair.lowered(level),
                None => vec![vec![set_length(station, field.path.clone(), highest, false)]],
            };
            let finding = Finding::new(
                "little-freeboard",
                Severity::Should,
                field.path.clone(),
                format!(
                    "The {level} level of {name} leaves {} under the rim, less than the freeboard of {}: a wave or a late switch spills.",
                    tape(station, height - field.value.m()),
                    tape(station, fields.freeboard.value.m())
                ),
            )
            .gap(field.value.m() - highest)
            .figure(key(level));
            findings.push(lower.into_iter().fold(finding, Finding::recipe));
        }
    }
    let floats = station.floats(vessel);
    if floats {
        findings.extend(start_unused(station, vessel, name));
    }
    if automatic && !floats {
        start_near_stop(station, vessel, name, findings);
    }
    if let (Some(start), Some(cutout)) = (&fields.start_level, &fields.low_cutout_level)
        && !floats
        && start.value.m() <= cutout.value.m()
    {
        findings.push(
            Finding::new(
                "start-under-cutout",
                Severity::Should,
                start.path.clone(),
                format!("The fill of {name} starts under the low cut-out: the pump is off before new water comes, and nothing can be drawn."),
            )
            .figure(key("start"))
            .recipe(vec![set_length(station, start.path.clone(), cutout.value.m() + 0.05, true)]),
        );
    }
    if let (Some(wanted), Some(run), Some(start), Some(stop)) = (
        &fields.run_volume,
        entry.run_volume_m3,
        &fields.start_level,
        &fields.stop_level,
    ) && run < wanted.value.m3() * 0.99
    {
        let mut finding = Finding::new(
            "run-too-small",
            Severity::Should,
            wanted.path.clone(),
            format!(
                "One run of {name} makes {}, less than the {} wanted.",
                figure(&key("run")),
                say(station, Kind::Volume, wanted.value.m3())
            ),
        )
        .gap(wanted.value.m3() - run)
        .figure(key("run"));
        let volume_at = |level: f64| vessel.shape.volume_m3(level).unwrap_or(0.0);
        if let Ok(lower) = vessel
            .shape
            .level_m((volume_at(stop.value.m()) - wanted.value.m3()).max(0.0))
        {
            finding = finding.recipe(vec![set_length(station, start.path.clone(), lower, false)]);
        }
        if let Ok(higher) = vessel
            .shape
            .level_m(volume_at(start.value.m()) + wanted.value.m3())
        {
            finding = finding.recipe(vec![set_length(station, stop.path.clone(), higher, true)]);
        }
        findings.push(finding);
    }
}

/// A pump that would draw air before it is switched off.
fn cutout_under_outlet(station: &Station, vessel: &Vessel, name: &str, findings: &mut Vec<Finding>) {
    let outlet = vessel.fields.outlet_level.value.m();
    let Some(cutout) = &vessel.fields.low_cutout_level else {
        return;
    };
    if cutout.value.m() >= outlet {
        return;
    }
    let sentence = format!(
        "The low cut-out of {name} lies under its outlet: the pump draws air before it is switched off."
    );
    findings.push(
        Finding::new(
            "cutout-under-outlet",
            Severity::Must,
            cutout.path.clone(),
            sentence,
        )
        .figure(format!("{}.low-cut-out", vessel.name))
        .figure(format!("{}.dead", vessel.name))
        .recipe(vec![set_length(
            station,
            cutout.path.clone(),
            outlet + 0.03,
            true,
        )]),
    );
}

/// A start level that stands in the file while a float alone fills the vessel.
fn start_unused(station: &Station, vessel: &Vessel, name: &str) -> Option<Finding> {
    let start = vessel.fields.start_level.as_ref()?;
    let purifier = station.purifier.as_ref()?;
    let sentence = format!(
        "The start level of {name} counts for nothing: a float alone fills it, and opens as soon as the water has sunk by {}. It would count for level switches.",
        tape(station, purifier.fields.float_reopens.value.m())
    );
    Some(
        Finding::new("start-unused", Severity::Note, start.path.clone(), sentence)
            .figure(format!("{}.run", vessel.name)),
    )
}

/// A start level that can't be told from the stop level by the marks' own doubt and the travel of a switch.
fn start_near_stop(station: &Station, vessel: &Vessel, name: &str, findings: &mut Vec<Finding>) {
    let (Some(start), Some(stop)) = (&vessel.fields.start_level, &vessel.fields.stop_level) else {
        return;
    };
    let gap = stop.value.m() - start.value.m();
    let doubt = libm::hypot(start.spread.half_width, stop.spread.half_width);
    if gap >= TRAVEL_M + doubt {
        return;
    }
    let sentence = format!(
        "The start level of {name} lies only {} under the stop level, too near for the doubt of the marks: a fill may begin and end at once, again and again.",
        tape(station, gap.max(0.0))
    );
    let mut finding = Finding::new("start-too-near", Severity::Should, start.path.clone(), sentence)
        .gap(TRAVEL_M + doubt - gap)
        .figure(format!("{}.start", vessel.name))
        .figure(format!("{}.stop", vessel.name));
    let lower = stop.value.m() - 2.0 * TRAVEL_M - doubt;
    if lower > station::lowest_drawable_m(vessel) {
        finding = finding.recipe(vec![set_length(station, start.path.clone(), lower, false)]);
    }
    findings.push(finding);
}

/// What must be ready against what always is.
pub(super) fn reserve(station: &Station, levels: &Levels, findings: &mut Vec<Finding>) {
    let held =
        |vessel: &&Vessel| vessel.fields.holds.value == Water::Fresh && station.starts_m(vessel).is_some();
    if let Some(wanted) = &station.reserve.fresh
        && !station.vessels.iter().any(|vessel| held(&vessel))
        && wanted.value.m3() > 0.0
    {
        findings.push(Finding::new(
            "reserve-not-held",
            Severity::Should,
            wanted.path.clone(),
            format!(
                "No fresh vessel has a start level, so nothing makes sure that the reserve of {} is there.",
                say(station, Kind::Volume, wanted.value.m3())
            ),
        ));
    } else if let Some(wanted) = &station.reserve.fresh
        && levels.fresh_always_m3 < wanted.value.m3()
    {
        let missing = wanted.value.m3() - levels.fresh_always_m3;
        let mut finding = Finding::new(
            "fresh-reserve",
            Severity::Must,
            wanted.path.clone(),
            format!(
                "Just before a fill starts only {} of fresh water can be drawn, {} less than the reserve of {}.",
                figure("fresh-always"),
                say(station, Kind::Volume, missing),
                say(station, Kind::Volume, wanted.value.m3())
            ),
        )
        .gap(missing)
        .figure("fresh-always");
        for vessel in station
            .vessels
            .iter()
            .filter(|vessel| vessel.fields.holds.value == Water::Fresh)
        {
            // A float's own level follows its stop.
            let Some(start) = vessel
                .fields
                .start_level
                .as_ref()
                .filter(|_| !station.floats(vessel))
            else {
                continue;
            };
            // What lies under the lowest drawable level doesn't count.
            let lowest = station::lowest_drawable_m(vessel);
            let raised = vessel
                .shape
                .volume_m3(lowest)
                .map(|volume| volume + wanted.value.m3());
            if let Some(level) = raised.ok().and_then(|volume| vessel.shape.level_m(volume).ok()) {
                finding = finding.recipe(vec![set_length(station, start.path.clone(), level, true)]);
            }
        }
        findings.push(finding);
    }
    if let Some(wanted) = &station.reserve.salt
        && levels.salt_full_m3 < wanted.value.m3()
    {
        findings.push(
            Finding::new(
                "salt-reserve",
                Severity::Must,
                wanted.path.clone(),
                format!(
                    "Even when mixed and full, only {} of salt water can be drawn, less than the reserve of {}. It takes a larger or a second vessel.",
                    figure("salt-full"),
                    say(station, Kind::Volume, wanted.value.m3())
                ),
            )
            .figure("salt-full"),
        );
    }
}
