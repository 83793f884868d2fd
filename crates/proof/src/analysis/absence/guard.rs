//! What may keep the floor dry: parts to buy, settings, tests. Whether one does is tried.

use station::plumbing::End;
use station::quantity::Kind;
use station::sections::{FailureClass, Water};
use station::{Edit, FLOOR_DRAIN_M, Station};

use super::Looked;
use crate::analysis::speak::{list, set_length, set_round, set_volume, shown, tape};

/// How far over the stop mark a backup is hung, and how far under the rim an overflow begins, m (house rules).
const BACKUP_OVER_STOP_M: f64 = 0.03;
const OVERFLOW_UNDER_RIM_M: f64 = 0.05;
/// What a tray is taken to hold, m³ (house rule).
const TRAY_M3: f64 = 0.06;
/// How much longer than a fill the longest run is set (house rule).
const LONGER: f64 = 1.5;
/// What a limiter passes over what the purifier takes (house rule).
const LIMITER: f64 = 1.3;

/// A change to try.
pub(super) struct Guard {
    pub(super) edits: Vec<Edit>,
    /// What to do, where the edits don't say it well.
    pub(super) says: Option<String>,
    pub(super) price: Option<f64>,
    pub(super) caution: Option<&'static str>,
}

impl Guard {
    /// Whether it only changes how often parts fail and are tested, and not what they do.
    pub(super) fn is_of_rates(&self) -> bool {
        self.edits.iter().all(|edit| edit.path.starts_with("failures."))
    }
}

const MAINS: &str = "Mains near water: behind a residual-current device of 30 mA or less, by a licensed electrician where \
                     your code asks for one.";
const DRAIN: &str =
    "Into the drain through an air gap, and never smaller than what can come: your plumbing code decides.";

fn yes(path: &str) -> Edit {
    Edit {
        path: path.to_owned(),
        text: "true".to_owned(),
    }
}

/// Everything that this station might have and hasn't.
pub(super) fn candidates(looked: &Looked<'_>) -> Vec<Guard> {
    let station = looked.station;
    let mut all = Vec::new();
    if let Some(purifier) = &station.purifier {
        at_the_feed(looked, &purifier.fields, &mut all);
        for vessel in station.filled() {
            at_a_vessel(station, vessel, &mut all);
        }
    }
    let prices = &station.prices;
    if station.room.tray.is_none() {
        trays(
            station,
            prices.tray.as_ref().map(|own| own.value.amount()),
            &mut all,
        );
    }
    draws(station, &mut all);
    air_gaps(station, &mut all);
    tests(station, &mut all);
    all
}

/// A tray by itself, and one that runs to a drain: to the one that there is, where a tray on the floor stands over it, or to
/// one that has to be laid.
fn trays(station: &Station, price: Option<f64>, all: &mut Vec<Guard>) {
    let tray = || set_volume(station, "room.tray".to_owned(), TRAY_M3, true);
    let room = &station.room;
    let height_m = room.drain_height.as_ref().map(|own| own.value.m());
    let (drained, says, price_drained) = match height_m {
        Some(own) if own <= FLOOR_DRAIN_M => (
            vec![tray(), yes("room.tray_drained")],
            "stand the station in a tray that runs to the drain",
            price,
        ),
        // A tray on the floor can't run up into a drain, and where the file tells of none there is none to rely on.
        other => {
            let says = match other {
                Some(_) => {
                    "have a drain laid in the floor, as the one that there is lies too high for it, and stand the station in a tray that runs to it"
                }
                None => {
                    "have a drain laid in the floor, as the file tells of none, and stand the station in a tray that runs to it"
                }
            };
            all.push(Guard {
                edits: vec![tray()],
                says: Some("stand the station in a tray, which somebody empties".to_owned()),
                price,
                caution: Some("A tray without a drain holds what it holds, and no more."),
            });
            let floor = Edit::quoted("room.drain_height", &tape(station, 0.0));
            // What the drain costs nobody has told.
            (vec![tray(), yes("room.tray_drained"), floor], says, None)
        }
    };
    all.push(Guard {
        edits: drained,
        says: Some(says.to_owned()),
        price: price_drained,
        caution: Some(DRAIN),
    });
}

fn at_the_feed(looked: &Looked<'_>, fields: &station::sections::PurifierFields, all: &mut Vec<Guard>) {
    let station = looked.station;
    let prices = &station.prices;
    let valve = prices.feed_valve.as_ref().map(|own| own.value.amount());
    if !fields.feed_valve.value {
        all.push(Guard {
            edits: vec![yes("purifier.feed_valve")],
            says: Some("have an electric feed valve at the tap, closed without power".to_owned()),
            price: valve,
            caution: Some(MAINS),
        });
    }
    if !fields.leak_detector.value {
        let detector = prices.leak_detector.as_ref().map(|own| own.value.amount());
        let mut edits = vec![yes("purifier.leak_detector")];
        let mut price = detector;
        let mut says = "have a leak detector that shuts the feed valve and stops the pumps".to_owned();
        if !fields.feed_valve.value {
            edits.push(yes("purifier.feed_valve"));
            price = detector.zip(valve).map(|(detector, valve)| detector + valve);
            says = "have a leak detector and an electric feed valve at the tap that it shuts".to_owned();
        }
        all.push(Guard {
            edits,
            says: Some(says),
            price,
            caution: Some(MAINS),
        });
    }
    if fields.feed_valve.value && fields.longest_run.is_none() {
        let hours = looked.ground.longest_fill_s() * LONGER / 3600.0;
        if hours > 0.0 && hours < 700.0 {
            all.push(Guard {
                edits: vec![Edit::quoted(
                    "purifier.longest_run",
                    &format!("{:.0} h", hours.ceil()),
                )],
                says: Some(format!(
                    "let the control shut the feed after a run of {:.0} h",
                    hours.ceil()
                )),
                price: Some(0.0),
                caution: None,
            });
        }
    }
    if fields.feed_valve.value && !fields.shut_when_away.value {
        all.push(Guard {
            edits: vec![yes("purifier.shut_when_away")],
            says: Some("keep the feed shut while nobody is there".to_owned()),
            price: Some(0.0),
            caution: Some(
                "Then water is only made while somebody is there: see that the visits are long enough.",
            ),
        });
    }
    if fields.feed_limiter.is_none() {
        let takes_m3_s = looked.ground.takes_m3_s();
        if takes_m3_s > 0.0 {
            all.push(Guard {
                edits: vec![set_round(
                    station,
                    "purifier.feed_limiter",
                    Kind::Flow,
                    LIMITER * takes_m3_s,
                )],
                says: None,
                price: prices.feed_limiter.as_ref().map(|own| own.value.amount()),
                caution: Some("It floods slower, not less often."),
            });
        }
    }
}

fn at_a_vessel(station: &Station, vessel: usize, all: &mut Vec<Guard>) {
    let own = &station.vessels[vessel];
    let fields = &own.fields;
    let prices = &station.prices;
    if let (Some(stop), None) = (&fields.stop_level, &fields.backup_level) {
        let level_m = stop.value.m() + BACKUP_OVER_STOP_M;
        if level_m < own.height_m() {
            all.push(Guard {
                edits: vec![set_length(
                    station,
                    format!("vessels.{}.backup_level", own.name),
                    level_m,
                    true,
                )],
                says: Some(format!(
                    "hang a float valve of its own in {} as a second stop",
                    shown(&own.name)
                )),
                price: prices.float_valve.as_ref().map(|own| own.value.amount()),
                caution: Some(
                    "A second stop that is never tested is hardly worth having: lift it each month.",
                ),
            });
        }
    }
    if fields.overflow_level.is_none() && fields.holds.value == Water::Fresh {
        let level_m = own.height_m() - OVERFLOW_UNDER_RIM_M;
        all.push(Guard {
            edits: vec![set_length(
                station,
                format!("vessels.{}.overflow_level", own.name),
                level_m,
                true,
            )],
            says: Some(match station.room.drain_height.is_some() {
                true => format!("lead an overflow pipe from {} to the drain", shown(&own.name)),
                false => format!(
                    "lead an overflow pipe from {} to a drain, which has to be there: the file tells of none",
                    shown(&own.name)
                ),
            }),
            price: prices.overflow_pipe.as_ref().map(|own| own.value.amount()),
            caution: Some(DRAIN),
        });
    }
}

/// Valves that close by themselves before each draw point that has none.
fn draws(station: &Station, all: &mut Vec<Guard>) {
    let open: Vec<&str> = station
        .plumbing
        .lines
        .iter()
        .enumerate()
        .filter(|(_, line)| matches!(line.to, End::Draw(_)))
        .filter(|(line, _)| {
            let mut valves = station.plumbing.valves_of(*line);
            !valves.any(|valve| station.valves[valve].fields.self_closing.value)
        })
        .filter_map(|(line, _)| station.plumbing.valves_of(line).last())
        .map(|valve| station.valves[valve].name.as_str())
        .collect();
    if open.is_empty() {
        return;
    }
    let price = station.prices.self_closing_valve.as_ref();
    all.push(Guard {
        edits: open
            .iter()
            .map(|name| yes(&format!("valves.{name}.self_closing")))
            .collect(),
        says: (open.len() > 1).then(|| "take valves that close by themselves at every draw point".to_owned()),
        price: price.map(|own| own.value.amount() * open.len() as f64),
        caution: None,
    });
}

/// How far over a tank's water a line ends in air, m: twice the bore of a small line, never under 25 mm (common practice, no
/// source).
const AIR_GAP_M: f64 = 0.05;

/// Ends in the air for lines that end under water: what is left then can't run back through them.
fn air_gaps(station: &Station, all: &mut Vec<Guard>) {
    let mut edits = Vec::new();
    let mut names = Vec::new();
    for (line, own) in station.plumbing.lines.iter().enumerate() {
        let (name, fields) = (&station.lines[line].name, &station.lines[line].fields);
        // Air that comes in by a hole ends what runs back as well.
        if fields.siphon_break.is_some() {
            continue;
        }
        let edit = match own.to {
            End::Vessel(vessel) => fields.to_level.as_ref().and_then(|level| {
                let rim_m = station.vessels[vessel].height_m();
                let path = format!("lines.{name}.to_level");
                (level.value.m() < rim_m).then(|| set_length(station, path, rim_m, false))
            }),
            End::Tank(tank) => {
                let water = station.tanks[tank].fields.water_height.as_ref();
                let ends = fields.tank_height.as_ref();
                water.zip(ends).and_then(|(water, ends)| {
                    let path = format!("lines.{name}.tank_height");
                    let in_air_m = water.value.m() + AIR_GAP_M;
                    (ends.value.m() < water.value.m()).then(|| set_length(station, path, in_air_m, true))
                })
            }
            End::Draw(_) | End::Pump(_) | End::Tee(_) => None,
        };
        if let Some(edit) = edit {
            edits.push(edit);
            names.push(shown(name));
        }
    }
    if names.is_empty() {
        return;
    }
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    all.push(Guard {
        edits,
        says: Some(format!(
            "lead {} to an end in the air above the water",
            list(&names)
        )),
        price: Some(0.0),
        caution: Some(
            "A jet that stirs the batch needs its end under water: then drill a hole against the siphon.",
        ),
    });
}

/// Classes of parts that hide, and what testing them is called.
const TESTED: [(FailureClass, &str); 3] = [
    (FailureClass::BackupFloat, "the backup floats"),
    (FailureClass::LeakDetector, "the leak detector"),
    (FailureClass::CutOutSwitch, "the cut-outs"),
];

fn tests(station: &Station, all: &mut Vec<Guard>) {
    for (class, what) in TESTED {
        let often = station
            .failure(class)
            .and_then(|own| own.tested_every.as_ref())
            .is_some_and(|every| every.value.s() < 40.0 * 86_400.0);
        if often {
            continue;
        }
        all.push(Guard {
            edits: vec![Edit::quoted(
                format!("failures.{}.tested_every", class.name()),
                "1 month",
            )],
            says: Some(format!("test {what} each month, by the sheet")),
            price: Some(0.0),
            caution: None,
        });
    }
}
