//! Pumps at work and what they mix, as tables and sentences of the terminal.

use proof::{Estimate, Lineups, PumpAtWork};
use station::quantity::{Kind, format_tape};
use station::spoken;

use super::page::fill;
use super::read;
use super::speaker::Speaker;
use super::table::{First, Heads, Pressures, columns, without_empty};

/// What the pump does to a batch that goes round.
pub(super) fn mixing(speaker: &Speaker<'_>, all: &Lineups) -> String {
    if all.mixing.is_empty() {
        return String::new();
    }
    let mut out = "\nMixing\n".to_owned();
    for mixing in &all.mixing {
        let with = |estimate: &Estimate| {
            let doubt = speaker.doubt(estimate);
            match doubt.as_str() {
                "" => speaker.plain(estimate),
                doubt => format!("{} ({doubt})", speaker.plain(estimate)),
            }
        };
        out += &(fill(
            &format!(
                "{}: {} in {}",
                mixing.lineup,
                speaker.exact(Kind::Volume, mixing.volume_m3),
                mixing.vessel
            ),
            "  ",
            "    ",
        ) + "\n");
        let by = if mixing.by_jet {
            "by its jet"
        } else {
            "by turnovers, its jet being too weak or above the water"
        };
        let mut sentences = vec![
            format!("The pump moves it once in {}.", with(&mixing.turnover)),
            format!(
                "Mixed to 95 % in {}, to 99 % in {}, {by}.",
                with(&mixing.to_95),
                speaker.plain(&mixing.to_99)
            ),
            format!(
                "A grain of salt that drifts dissolves in {}; salt that sank to the floor: {}.",
                speaker.plain(&mixing.grain_dissolves),
                mixing.salt_on_floor
            ),
            mixing.brine_on_floor.map_or_else(String::new, |fate| {
                format!("A finger's breadth of brine under it: {fate}.")
            }),
            format!("Measure {} after the last salt.", with(&mixing.first_measurement)),
        ];
        if let Some(flush) = mixing.flush_m3 {
            sentences.push(format!(
                "Before a sample from the lines let {} go round.",
                speaker.exact(Kind::Volume, flush)
            ));
        }
        sentences.retain(|sentence| !sentence.is_empty());
        for sentence in sentences {
            out += &(fill(&sentence, "    ", "    ") + "\n");
        }
    }
    out
}

/// Each pump in each of its tasks.
pub(super) fn pumps(speaker: &Speaker<'_>, all: &Lineups) -> String {
    if all.pumps.is_empty() {
        return String::new();
    }
    let units = speaker.station.units();
    let most =
        |value: fn(&PumpAtWork) -> f64| all.pumps.iter().map(|work| value(work).abs()).fold(0.0, f64::max);
    let flow = speaker.unit_of(Kind::Flow, most(|work| work.flow_m3_per_s));
    let (pressure, head) = (Pressures::of(units), Heads::of(units));
    let mut rows = vec![
        ["", "", "", "", "of", "before", "NPSH", "NPSH", "least"]
            .map(str::to_owned)
            .to_vec(),
        [
            "", "source", "flow", "head", "flow", "it", "there", "asked", "level",
        ]
        .map(str::to_owned)
        .to_vec(),
        vec![
            String::new(),
            String::new(),
            flow.unit(),
            head.0.unit(),
            "%".to_owned(),
            pressure.0.unit(),
            head.0.unit(),
            head.0.unit(),
            String::new(),
        ],
    ];
    let heads = rows.len();
    let mut named: Vec<&str> = Vec::new();
    for work in &all.pumps {
        if !named.contains(&work.pump.as_str()) {
            named.push(&work.pump);
        }
    }
    for pump in named {
        rows.push(vec![spoken(pump), String::new()]);
        let mut before = "";
        for work in all.pumps.iter().filter(|work| work.pump == pump) {
            let name = match work.lineup == before {
                true => String::new(),
                false => format!("  {}", spoken(&work.lineup)),
            };
            before = &work.lineup;
            rows.push(vec![
                name,
                match work.source {
                    "start" => "low",
                    other => other,
                }
                .to_owned(),
                flow.exact(work.flow_m3_per_s) + if work.within_curve { "" } else { "?" },
                head.fixed(work.head_m),
                work.share_of_best
                    .map_or_else(String::new, |share| format!("{:.0}", 100.0 * share)),
                pressure.fixed(work.inlet_gauge_pressure_pa),
                head.fixed(work.npsh_available_m),
                work.npsh_required_m
                    .map_or_else(String::new, |npsh_m| head.fixed(npsh_m)),
                work.least_level_m
                    .map_or_else(String::new, |level_m| format_tape(level_m, units)),
            ]);
        }
    }
    let mut out = format!(
        "\nPumps at work\n{}",
        columns(First::Words, &without_empty(heads, &rows))
    );
    for sentence in pump_remarks(all) {
        out += &(fill(&sentence, "  ", "  ") + "\n");
    }
    out
}

/// What the columns mean, and what a number doesn't tell.
fn pump_remarks(all: &Lineups) -> Vec<String> {
    let mut out = vec![
        "Before it: pressure at its inlet above the air's. NPSH: the same above the water's vapour, as a height. \
         Least level: below it, the outlet of the source draws air."
            .to_owned(),
    ];
    if all.pumps.iter().any(|work| !work.within_curve) {
        out.push("?: beyond the points of its curve, a guess.".to_owned());
    }
    let mut dry: Vec<&str> = Vec::new();
    for work in all.pumps.iter().filter(|work| !work.flooded) {
        if !dry.contains(&work.lineup.as_str()) {
            dry.push(&work.lineup);
        }
    }
    out.push(match dry.as_slice() {
        [] => "Water stands over every pump when it starts.".to_owned(),
        dry => format!(
            "No water stands over the pump when it starts in {}.",
            spoken(&read::list(dry, "and"))
        ),
    });
    out
}
