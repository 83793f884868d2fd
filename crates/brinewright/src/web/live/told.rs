//! A moment in the owner's units, as the page shows it.

use proof::live::{self, Balances, Snapshot, VesselNow};
use serde::Serialize;
use sheets::fragment::kept;
use station::plumbing::End;
use station::quantity::{Kind, format_plain, format_tape};
use station::{Station, spoken};

use super::card;
use super::clock::{Clock, since};

/// Salinity from which water is shown as sea water.
const SEA: f64 = 2.0;
/// Practical salinity up to which a figure means something: the formulas of sea water reach as far (TEOS-10 to 120 g/kg).
const SALTIEST: f64 = 120.0;

/// Water on the floor that counts, m³ (house rule: a litre is wiped up).
const WIPED_M3: f64 = 1e-3;
/// Less of what a tank gained or lost isn't told, m³: a spoonful.
const TOLD_M3: f64 = 1e-5;
/// Less salt isn't told, kg: a pinch.
const TOLD_KG: f64 = 1e-4;

/// A moment.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Told {
    /// The day and the hour.
    time: String,
    /// How long that is from the beginning.
    since: String,
    pub(super) speed: f64,
    /// The number of the last choice of a pace that was heard by then.
    pub(super) paced: u64,
    /// Whether the text is another by now.
    pub(super) stale: bool,
    /// Whether time is being skipped.
    pub(super) skips: bool,
    /// What came of the time that was skipped last; empty where none was, or something was done since.
    pub(super) skipped: String,
    /// Acts that were done.
    pub(super) acts: usize,
    /// Acts of a record that couldn't be done.
    pub(super) left_out: usize,
    /// Acts of it that are still to be played, and when the next one is due.
    pub(super) to_come: usize,
    pub(super) next_due: String,
    /// What stands otherwise than between tasks since a card was left; empty where nothing does.
    pub(super) left_open: String,
    /// The card that is followed.
    pub(super) card: Option<card::Told>,
    lines: Vec<Flow>,
    switches: Vec<Switch>,
    /// What is at work besides, or stands shut.
    marks: Vec<Mark>,
    vessels: Vec<Level>,
    draws: Vec<Level>,
    tanks: Vec<Level>,
    purifier: String,
    task: String,
    wet: Vec<String>,
    alarms: Vec<String>,
    harms: Vec<String>,
    faults: Vec<String>,
    balance: Balance,
}

/// Water and salt since the beginning, as two lists with their sums.
#[derive(Debug, Clone, Serialize)]
struct Balance {
    came: Vec<Entry>,
    there: Vec<Entry>,
    /// What is lost or made.
    said: String,
}

/// An entry of the balance, or a sum.
#[derive(Debug, Clone, Serialize)]
struct Entry {
    place: &'static str,
    water: String,
    salt: String,
}

/// What goes through a line, or into the purifier or out of it.
#[derive(Debug, Clone, Serialize)]
struct Flow {
    path: String,
    /// 1 along, -1 against, 0 still.
    way: i8,
    sea: bool,
    said: String,
    /// Lines that lead the same water on have the same number: one figure is enough for them.
    run: usize,
}

/// What nobody presses, and how it is drawn: `at-work` or `shut`.
#[derive(Debug, Clone, Serialize)]
struct Mark {
    path: String,
    mark: &'static str,
    on: bool,
}

/// What can be pressed.
#[derive(Debug, Clone, Serialize)]
struct Switch {
    path: String,
    on: bool,
    said: String,
}

/// How full something is.
#[derive(Debug, Clone, Serialize)]
struct Level {
    path: String,
    share: f64,
    sea: bool,
    said: String,
    /// Its volume alone, for the drawing.
    volume: String,
}

pub(super) fn told(station: &Station, seen: &Snapshot) -> Told {
    let say = |kind, si: f64| kept(&format_plain(kind, si, station.units(), &station.currency()));
    let way = |flow: f64| if flow > 0.0 { 1 } else { -i8::from(flow < 0.0) };
    let mut switches: Vec<Switch> = seen
        .valves
        .iter()
        .filter(|own| own.by_hand)
        .map(|own| Switch {
            path: format!("valves.{}", own.name),
            on: own.open,
            said: match own.open {
                true if card::closes_by_itself(station, &own.name) => "held open",
                true => "open",
                false => "shut",
            }
            .to_owned(),
        })
        .collect();
    switches.extend(seen.pumps.iter().map(|own| Switch {
        path: format!("pumps.{}", own.name),
        on: own.asked,
        said: match (own.does, own.asked) {
            ("moves", _) => format!("runs, {}", say(Kind::Flow, own.flow_m3_per_s)),
            ("dry", _) => "runs dry".to_owned(),
            ("closed", _) => "runs against closed valves".to_owned(),
            (_, true) => "asked for, stands".to_owned(),
            (_, false) => "stands".to_owned(),
        },
    }));
    let clock = Clock::of(station);
    let runs = runs(station, seen, |flow| say(Kind::Flow, flow.abs()));
    Told {
        time: clock.at(seen.t_s),
        since: since(seen.t_s),
        speed: 0.0,
        paced: 0,
        stale: false,
        skips: false,
        skipped: String::new(),
        acts: 0,
        left_out: 0,
        to_come: 0,
        next_due: String::new(),
        left_open: String::new(),
        card: None,
        marks: marks(seen),
        lines: seen
            .lines
            .iter()
            .zip(runs)
            .map(|(own, run)| Flow {
                run,
                path: format!("lines.{}", own.name),
                way: way(own.flow_m3_per_s),
                sea: own.practical_salinity > SEA,
                said: say(Kind::Flow, own.flow_m3_per_s.abs()),
            })
            .chain(streams(seen, |flow| say(Kind::Flow, flow)))
            .collect(),
        switches,
        vessels: seen
            .vessels
            .iter()
            .map(|own| Level {
                path: format!("vessels.{}", own.name),
                share: own.level_m / own.height_m,
                sea: own.practical_salinity > SEA,
                volume: say(Kind::Volume, own.volume_m3),
                said: format!(
                    "{}, {}, salinity {:.1}, {}{}",
                    kept(&format_tape(own.level_m, station.units())),
                    say(Kind::Volume, own.volume_m3),
                    own.practical_salinity,
                    say(Kind::Temperature, own.temperature_c),
                    match own.grains_kg > TOLD_KG {
                        true => format!(", {} of salt still to dissolve", say(Kind::Mass, own.grains_kg)),
                        false => String::new(),
                    }
                ),
            })
            .collect(),
        draws: seen
            .draws
            .iter()
            .map(|own| Level {
                path: format!("draw_points.{}", own.name),
                share: own.caught_m3 / own.container_m3,
                volume: say(Kind::Volume, own.caught_m3),
                sea: own.practical_salinity > SEA,
                said: format!(
                    "{} of {}{}",
                    say(Kind::Volume, own.caught_m3),
                    say(Kind::Volume, own.container_m3),
                    match own.caught_m3 > 0.0 {
                        true => format!(", salinity {:.1}", own.practical_salinity),
                        false => String::new(),
                    }
                ),
            })
            .collect(),
        tanks: seen
            .tanks
            .iter()
            .map(|own| {
                let came_m3 = own.gained_m3 + own.evaporated_m3;
                let parts = [
                    (own.evaporated_m3, "evaporated"),
                    (came_m3, "came"),
                    (-came_m3, "was taken"),
                ];
                let change: String = parts
                    .iter()
                    .filter(|(volume_m3, _)| *volume_m3 > TOLD_M3)
                    .map(|(volume_m3, how)| format!(", {} {how}", say(Kind::Volume, *volume_m3)))
                    .collect();
                Level {
                    path: format!("tanks.{}", own.name),
                    share: own.volume_m3 / own.full_m3,
                    volume: say(Kind::Volume, own.volume_m3),
                    sea: own.practical_salinity.is_some_and(|own| own > SEA),
                    said: match own.practical_salinity {
                        None if own.evaporated_m3 > came_m3.abs() => {
                            format!("dry, its salt left behind{change}")
                        }
                        None => format!("drawn empty{change}"),
                        Some(salinity) if salinity > SALTIEST => format!(
                            "{}, brine of a salinity over {SALTIEST:.0}{change}",
                            say(Kind::Volume, own.volume_m3)
                        ),
                        Some(salinity) => {
                            format!(
                                "{}, salinity {salinity:.1}{change}",
                                say(Kind::Volume, own.volume_m3)
                            )
                        }
                    },
                }
            })
            .collect(),
        purifier: purifier(station, seen),
        task: seen
            .task
            .as_ref()
            .map_or_else(String::new, |task| match task.left_m3 {
                Some(left_m3) => format!("{}, {} to go", spoken(&task.name), say(Kind::Volume, left_m3)),
                None => spoken(&task.name),
            }),
        wet: seen
            .floor
            .iter()
            .map(|own| format!("{} {}", say(Kind::Volume, own.volume_m3), own.place))
            .collect(),
        alarms: seen.alarms.iter().map(|own| kept(&own.says)).collect(),
        harms: seen
            .harms
            .iter()
            .map(|own| kept(&format!("Since {}: {}", clock.short(own.at_s), own.harm)))
            .collect(),
        faults: seen.faults.clone(),
        balance: balance(station, &seen.balance),
    }
}

/// Which run each line is of: with the one line that leads its water on at a pump or a tee, as long as the same is said of
/// both.
fn runs(station: &Station, seen: &Snapshot, said: impl Fn(f64) -> String) -> Vec<usize> {
    let mut runs: Vec<usize> = (0..seen.lines.len()).collect();
    let joined = &station.plumbing.lines;
    let ends = joined.iter().flat_map(|own| [own.from, own.to]);
    for end in ends.filter(|end| matches!(end, End::Pump(_) | End::Tee(_))) {
        let flowing: Vec<usize> = (0..joined.len())
            .filter(|at| joined[*at].from == end || joined[*at].to == end)
            .filter(|at| seen.lines.get(*at).is_some_and(|own| own.flow_m3_per_s != 0.0))
            .collect();
        if let [one, other] = flowing[..]
            && said(seen.lines[one].flow_m3_per_s) == said(seen.lines[other].flow_m3_per_s)
        {
            let (from, to) = (runs[one].max(runs[other]), runs[one].min(runs[other]));
            for run in runs.iter_mut().filter(|run| **run == from) {
                *run = to;
            }
        }
    }
    runs
}

/// What came against what is there or went; who reads it adds it up.
fn balance(station: &Station, own: &Balances) -> Balance {
    let say = |kind, si: f64| kept(&format_plain(kind, si, station.units(), &station.currency()));
    let entry = |place, water_m3: f64, salt_kg: f64| Entry {
        place,
        water: told_of(water_m3, TOLD_M3, || say(Kind::Volume, water_m3)),
        salt: told_of(salt_kg, TOLD_KG, || say(Kind::Mass, salt_kg)),
    };
    let side = |entries: &[live::Entry], water_m3, salt_kg| {
        let own = entries
            .iter()
            .map(|own| entry(own.place, own.water_m3, own.salt_kg));
        own.chain([entry("in all", water_m3, salt_kg)]).collect()
    };
    Balance {
        came: side(&own.came, own.water_came_m3, own.salt_came_kg),
        there: side(&own.there, own.water_there_m3, own.salt_there_kg),
        said: match own.holds() {
            true => {
                "Nothing is lost and nothing made, to a part in a thousand million of what moved.".to_owned()
            }
            false => format!(
                "Lost or made of what moved: {:.1e} of the water, {:.1e} of the salt. That is a fault of this program.",
                own.water_residual, own.salt_residual
            ),
        },
    }
}

/// A figure, or a dash for less than is told.
fn told_of(si: f64, least: f64, said: impl FnOnce() -> String) -> String {
    if si.abs() < least {
        "–".to_owned()
    } else {
        said()
    }
}

/// What runs into the purifier and out of it, each by itself.
fn streams(seen: &Snapshot, said: impl Fn(f64) -> String) -> Vec<Flow> {
    let Some(purifier) = &seen.purifier else {
        return Vec::new();
    };
    let mut streams = vec![
        ("purifier.feed".to_owned(), purifier.feed_m3_per_s),
        ("purifier.waste".to_owned(), purifier.reject_m3_per_s),
    ];
    let into = |own: &VesselNow| (format!("purifier.product.{}", own.name), own.permeate_m3_per_s);
    streams.extend(seen.vessels.iter().map(into));
    let first = seen.lines.len();
    let flow = |(at, (path, flow)): (usize, (String, f64))| Flow {
        path,
        way: i8::from(flow > 0.0),
        sea: false,
        said: said(flow),
        run: first + at,
    };
    streams.into_iter().enumerate().map(flow).collect()
}

/// What of the purifier is at work, or shut.
fn marks(seen: &Snapshot) -> Vec<Mark> {
    let Some(purifier) = &seen.purifier else {
        return Vec::new();
    };
    let mark = |path: &str, mark, on| Mark {
        path: path.to_owned(),
        mark,
        on,
    };
    let makes = purifier.permeate_m3_per_s > 0.0;
    vec![
        mark("purifier.feed_valve", "shut", !purifier.feed_open),
        mark("purifier.booster_pressure", "at-work", makes),
    ]
}

fn purifier(station: &Station, seen: &Snapshot) -> String {
    let say = |kind, si: f64| kept(&format_plain(kind, si, station.units(), &station.currency()));
    match &seen.purifier {
        None => "there is none".to_owned(),
        Some(own) if own.runs => format!(
            "makes {}, {} to waste",
            say(Kind::Flow, own.permeate_m3_per_s),
            say(Kind::Flow, own.reject_m3_per_s)
        ),
        Some(own) if own.reject_m3_per_s > 0.0 => {
            format!("makes nothing, {} to waste", say(Kind::Flow, own.reject_m3_per_s))
        }
        Some(own) if own.feed_open => "waits, its feed open".to_owned(),
        Some(_) => "rests, its feed shut".to_owned(),
    }
}

/// What came of the time that was skipped from then on, with so much on the floor by then.
pub(super) fn skipped(station: &Station, seen: &Snapshot, (from_s, wet_m3): (f64, f64), to_s: f64) -> String {
    let harms = seen.harms.iter().filter(|own| own.at_s > from_s).count();
    let more_m3 = seen.wet_m3() - wet_m3;
    let more = format_plain(Kind::Volume, more_m3, station.units(), &station.currency());
    let came = match (harms, more_m3 > WIPED_M3) {
        (0, false) => "no harm came of it".to_owned(),
        (0, true) => format!("{more} more ran to the floor"),
        (1, _) => "one harm came of it, told above".to_owned(),
        _ => "harm came of it, told above".to_owned(),
    };
    let until = Clock::of(station).at(seen.t_s);
    kept(&match seen.t_s < to_s {
        true => format!("Stopped on the way, on {until}: {came}."),
        false => format!("Skipped to {until}: {came}."),
    })
}
