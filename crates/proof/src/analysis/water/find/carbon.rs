//! Carbon that is missing, too small, or of unknown size.

use station::quantity::Kind;
use station::sections::{FilterFields, FilterKind};
use station::{Edit, Named};

use super::super::run::Shared;
use super::Seen;
use crate::analysis::speak::{figure, say, set_round, shown};
use crate::finding::{Finding, Severity};
use crate::methods as m;
use crate::sheet::Sheet;

pub(super) fn find(seen: &Seen<'_>, shared: &Shared<'_>, sheet: &mut Sheet, findings: &mut Vec<Finding>) {
    let (free, bound) = (
        seen.feed.free_chlorine.value.kg_m3(),
        seen.feed.chloramine.value.kg_m3(),
    );
    let carbons: Vec<&Named<FilterFields>> = seen
        .purifier
        .filters
        .iter()
        .filter(|filter| filter.fields.kind.value.is_carbon())
        .collect();
    if carbons.is_empty() {
        if free + bound > 0.0 {
            missing(free, findings);
        }
        return;
    }
    spent_early(seen, findings);
    if bound > 0.0 {
        chloramine(seen, shared, &carbons, sheet, findings);
    } else if free > 0.0 {
        chlorine(seen, shared, &carbons, sheet, findings);
    }
}

/// Carbon that is spent before its date, since it treats the reject too.
fn spent_early(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    // Where the reject never stops, that is the fault, and it is told.
    if seen.made.run.volume_m3.is_none() {
        return;
    }
    for row in &seen.made.filters {
        let Some(filter) = seen
            .purifier
            .filters
            .iter()
            .find(|filter| filter.name == row.name)
        else {
            continue;
        };
        let bound = seen.feed.chloramine.value.kg_m3() > 0.0;
        let of_test = match &filter.fields.rated_chloramine_volume {
            Some(rated) if bound => Some(rated),
            _ => filter.fields.rated_volume.as_ref(),
        };
        let (Some(rated), date) = (of_test, &filter.fields.change_every) else {
            continue;
        };
        if row.lasts_s.value >= 0.9 * date.value.s() {
            continue;
        }
        let name = &row.name;
        let weeks = libm::floor(row.lasts_s.value / 604_800.0);
        let mut finding = Finding::new(
            "carbon-spent-early",
            Severity::Should,
            format!("filters.{name}.change_every"),
            format!(
                "{} treats {} of feed in its maker's test, and the reject passes it too: with {} times as much to the drain as is made that is {} of purified water, or {}, not {}.",
                shown(name),
                say(seen.station, Kind::Volume, rated.value.m3()),
                figure("run.reject-ratio"),
                figure(&format!("run.life-{name}")),
                figure(&format!("filters.{name}.lasts")),
                say(seen.station, Kind::Time, date.value.s()),
            ),
        )
        .figure(format!("run.life-{name}"))
        .figure("run.reject-ratio")
        .gap(date.value.s() / row.lasts_s.value);
        if weeks >= 1.0 {
            let text = if weeks > 1.0 {
                format!("{weeks} weeks")
            } else {
                "1 week".to_owned()
            };
            finding = finding.recipe(vec![Edit::quoted(format!("filters.{name}.change_every"), &text)]);
        }
        findings.push(finding);
    }
}

fn missing(free: f64, findings: &mut Vec<Finding>) {
    let harm = match free > 0.0 {
        true => format!(
            "bare chlorine may have harmed the membrane after {} of running",
            figure("time-to-damage")
        ),
        false => "chloramine reaches the membrane, and through it the tanks".to_owned(),
    };
    findings.push(
        Finding::new(
            "no-carbon",
            Severity::Must,
            "purifier",
            format!("Nothing takes the chlorine out before the membrane: {harm}. Add a [filters] section with carbon."),
        )
        .figure(if free > 0.0 { "time-to-damage" } else { "feed.chlorine" }),
    );
}

/// The largest bed among the carbons that have one.
fn largest<'f>(carbons: &[&'f Named<FilterFields>]) -> Option<&'f Named<FilterFields>> {
    carbons
        .iter()
        .copied()
        .filter(|filter| filter.fields.bed_volume.is_some())
        .max_by(|a, b| {
            let volume = |f: &Named<FilterFields>| f.fields.bed_volume.as_ref().map_or(0.0, |v| v.value.m3());
            volume(a).total_cmp(&volume(b))
        })
}

/// Most feed that flows, in the warmest month.
fn most_flow(seen: &Seen<'_>) -> f64 {
    seen.made
        .months
        .iter()
        .map(|month| month.permeate_m3_per_s.value + month.reject_m3_per_s.value)
        .fold(0.0, f64::max)
}

fn chlorine(
    seen: &Seen<'_>,
    shared: &Shared<'_>,
    carbons: &[&Named<FilterFields>],
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) {
    let flow = most_flow(seen);
    // A block goes by its maker's test.
    let tested = carbons.iter().any(|filter| {
        filter
            .fields
            .rated_flow
            .as_ref()
            .is_some_and(|rated| rated.value.m3_s() >= flow)
    });
    if tested {
        return;
    }
    let beds: f64 = carbons
        .iter()
        .filter_map(|filter| filter.fields.bed_volume.as_ref())
        .map(|volume| volume.value.m3())
        .sum();
    if beds == 0.0 {
        unknown_size(carbons[0], "rated_flow", Severity::Note, findings);
        return;
    }
    let only_blocks = carbons
        .iter()
        .all(|filter| filter.fields.kind.value == FilterKind::CarbonBlock);
    if only_blocks && carbons.iter().all(|filter| filter.fields.rated_flow.is_none()) {
        return;
    }
    let Ok(wanted) = sheet.figure(
        "contact-wanted",
        "contact time that the feed's free chlorine wants in the coldest month",
        &m::CONTACT_FOR_CHLORINE,
        &[shared.feed.coldest],
    ) else {
        return;
    };
    too_small(
        seen,
        carbons,
        beds,
        flow,
        sheet.value(wanted),
        "free chlorine",
        Severity::Should,
        findings,
    );
}

fn unknown_size(carbon: &Named<FilterFields>, key: &str, severity: Severity, findings: &mut Vec<Finding>) {
    findings.push(Finding::new(
        "carbon-of-unknown-size",
        severity,
        format!("filters.{}", carbon.name),
        format!(
            "Nobody can tell whether {} is enough: give its {key} from the maker's test, or its bed_volume.",
            shown(&carbon.name)
        ),
    ));
}

fn chloramine(
    seen: &Seen<'_>,
    shared: &Shared<'_>,
    carbons: &[&Named<FilterFields>],
    sheet: &mut Sheet,
    findings: &mut Vec<Finding>,
) {
    let flow = most_flow(seen);
    let rated: Vec<&&Named<FilterFields>> = carbons
        .iter()
        .filter(|filter| filter.fields.rated_chloramine_volume.is_some())
        .collect();
    // A test holds at its own flow: a slower one, or a flow that nobody told, proves nothing here.
    let tested = rated.iter().any(|filter| {
        filter
            .fields
            .rated_flow
            .as_ref()
            .is_some_and(|rated| rated.value.m3_s() >= flow)
    });
    if tested {
        ammonia(seen, findings);
        return;
    }
    if let Some(filter) = rated.first() {
        faster_than_tested(seen, filter, flow, findings);
        ammonia(seen, findings);
        return;
    }
    // As slow as the slowest bed that counts.
    let catalytic = carbons
        .iter()
        .filter(|filter| filter.fields.bed_volume.is_some())
        .all(|filter| filter.fields.kind.value == FilterKind::CatalyticCarbon);
    let Ok(wanted) = sheet.figure(
        "contact-wanted",
        "contact time that chloramine wants in the coldest month",
        match catalytic {
            true => &m::CONTACT_FOR_CHLORAMINE_CATALYTIC,
            false => &m::CONTACT_FOR_CHLORAMINE,
        },
        &[shared.feed.coldest],
    ) else {
        return;
    };
    let beds: f64 = carbons
        .iter()
        .filter_map(|filter| filter.fields.bed_volume.as_ref())
        .map(|volume| volume.value.m3())
        .sum();
    if beds == 0.0 {
        unknown_size(carbons[0], "rated_chloramine_volume", Severity::Should, findings);
    } else if beds / flow < sheet.value(wanted) {
        too_small(
            seen,
            carbons,
            beds,
            flow,
            sheet.value(wanted),
            "chloramine",
            Severity::Must,
            findings,
        );
    }
    ammonia(seen, findings);
}

/// Carbon that was tested for chloramine at a smaller flow than passes it, or at one that nobody told.
fn faster_than_tested(seen: &Seen<'_>, filter: &Named<FilterFields>, flow: f64, findings: &mut Vec<Finding>) {
    let name = &filter.name;
    let passes = say(seen.station, Kind::Flow, flow);
    findings.push(match &filter.fields.rated_flow {
        None => Finding::new(
            "carbon-of-unknown-size",
            Severity::Should,
            format!("filters.{name}"),
            format!(
                "{} was tested for chloramine at a flow that the file doesn't tell, and up to {passes} pass it: give its rated_flow from the maker's test.",
                shown(name)
            ),
        ),
        Some(rated) => Finding::new(
            "carbon-too-small-for-chloramine",
            Severity::Must,
            rated.path.clone(),
            format!(
                "{} was tested for chloramine at {}, and up to {passes} pass it: what breaks through reaches the animals. A second one beside it halves the flow; test total chlorine behind the carbon.",
                shown(name),
                say(seen.station, Kind::Flow, rated.value.m3_s()),
            ),
        )
        .gap((flow - rated.value.m3_s()) / flow),
    });
}

#[expect(
    clippy::too_many_arguments,
    reason = "one sentence's figures; a struct would be used once"
)]
fn too_small(
    seen: &Seen<'_>,
    carbons: &[&Named<FilterFields>],
    beds: f64,
    flow: f64,
    wanted_s: f64,
    what: &str,
    severity: Severity,
    findings: &mut Vec<Finding>,
) {
    let has = beds / flow;
    if has >= wanted_s {
        return;
    }
    let place = largest(carbons).unwrap_or(carbons[0]);
    let path = format!("filters.{}.bed_volume", place.name);
    let id = if what == "chloramine" {
        "carbon-too-small-for-chloramine"
    } else {
        "carbon-too-small"
    };
    let test = match what {
        _ if place.fields.kind.value == FilterKind::CarbonBlock && what != "chloramine" => {
            " A block made for a larger flow, or a tighter restrictor; test chlorine behind the carbon."
        }
        "chloramine" => {
            " Test total chlorine behind the carbon; a strip for free chlorine misses it. What breaks through reaches the animals."
        }
        _ => " Test chlorine behind the carbon.",
    };
    let mut finding = Finding::new(
        id,
        severity,
        path.clone(),
        format!(
            "The carbon is too small for {what}: all the feed, {}, passes it in {}, where {} would be wanted in the coldest month.{test}",
            say(seen.station, Kind::Flow, flow),
            say(seen.station, Kind::Time, has),
            figure("contact-wanted"),
        ),
    )
    .figure("contact-wanted")
    .gap((wanted_s - has) / wanted_s);
    // A block is judged by its maker's test: no block is sold by its volume.
    let block = place.fields.kind.value == FilterKind::CarbonBlock;
    if block && what == "chloramine" {
        // The shorter of the two published times holds for carbon that is made for it.
        let volume = 0.6 * wanted_s * flow;
        finding = finding.recipe(vec![
            Edit::quoted(
                format!("filters.{}.kind", place.name),
                FilterKind::CatalyticCarbon.word(),
            ),
            set_round(seen.station, &path, Kind::Volume, volume * 1.02),
        ]);
    } else if !block && place.fields.bed_volume.is_some() {
        let more = place.fields.bed_volume.as_ref().map_or(0.0, |v| v.value.m3()) + (wanted_s - has) * flow;
        finding = finding.recipe(vec![set_round(seen.station, &path, Kind::Volume, more * 1.02)]);
    }
    findings.push(finding);
}

fn ammonia(seen: &Seen<'_>, findings: &mut Vec<Finding>) {
    if seen.purifier.beds.is_empty() {
        findings.push(
            Finding::new(
                "ammonia-passes",
                Severity::Must,
                "purifier",
                format!(
                    "Carbon that breaks chloramine leaves ammonia, {} as nitrogen, and a membrane holds only part of it back: without resin it reaches the tanks. Add a [resin_beds] section.",
                    figure("ammonia-left")
                ),
            )
            .figure("ammonia-left"),
        );
        return;
    }
    findings.push(
        Finding::new(
            "ammonia-loads-resin",
            Severity::Note,
            "feed.chloramine",
            format!(
                "Carbon that breaks this chloramine leaves {} of ammonia nitrogen. The resin takes what passes the membrane; when it is spent, ammonia comes through, and a conductivity meter shows it late.",
                figure("ammonia-left")
            ),
        )
        .figure("ammonia-left"),
    );
}
