//! Each kind of harm: what does it, what clears it. Every case is small enough to be seen through.

use proof::{MistakeKind as Kind, Severity, every_state};

use super::support::{edited, mistakes_of};

/// Two tubs of a quarter of a square metre (1 mm is 0.25 L) on one header, a pump behind it, a tank across the room.
///
/// Surfaces over the room's floor: fresh 0.65 m at the start and 1.20 m full; salt 1.00 m as a batch, 0.45 m drawn down; the
/// tank 0.70 m. Both outlets and the header are at 0.45 m.
const ROOM: &str = r#"
title = "every kind"
[room]
lowest_winter_temperature = "15 C"
[salt]
anhydrous_fraction = 0.9
[feed]
pressure = "4 bar"
coldest = "8 C"
warmest = "18 C"
conductivity = "400 uS/cm"
[purifier]
control = "level switches"
waste_ratio = 3
[membranes.one]
rated_flow = "75 gal/day"
rated_pressure = "60 psi"
rated_solids = "250 mg/L"
rejection = "97 %"
[tanks.pool]
volume = "300 L"
salinity = 35
temperature = "25 C"
evaporation = "3 L/day"
water_height = "700 mm"
headroom = "15 L"
[vessels.fresh]
holds = "fresh"
shape = "box"
length = "500 mm"
width = "500 mm"
height = "900 mm"
floor_height = "400 mm"
outlet_level = "50 mm"
start_level = "250 mm"
stop_level = "800 mm"
[vessels.salt]
holds = "salt"
shape = "box"
length = "500 mm"
width = "500 mm"
height = "900 mm"
floor_height = "400 mm"
outlet_level = "50 mm"
start_level = "600 mm"
batch_volume = "150 L"
target_salinity = 35
mixing_temperature = "25 C"
[pumps.pump]
curve = [["0 L/min", "4 m"], ["20 L/min", "3 m"], ["40 L/min", "0 m"]]
height = "300 mm"
[tees.header]
height = "450 mm"
[tees.wall]
height = "500 mm"
[draw_points.tap]
height = "420 mm"
container = "10 L"
[lines.fresh-out]
from = "fresh"
to = "header"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "500 mm"
[lines.salt-out]
from = "salt"
to = "header"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "500 mm"
[lines.tap]
from = "header"
to = "tap"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "300 mm"
[lines.suction]
from = "header"
to = "pump"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "500 mm"
[lines.riser]
from = "pump"
to = "wall"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "500 mm"
[lines.jet]
from = "wall"
to = "salt"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "2 m"
[lines.pool]
from = "wall"
to = "pool"
tank_height = "650 mm"
crest = "1.5 m"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "5 m"
[valves]
fresh-outlet = { line = "fresh-out", kind = "ball" }
salt-outlet = { line = "salt-out", kind = "ball" }
tap = { line = "tap", kind = "ball" }
jet = { line = "jet", kind = "ball" }
pool = { line = "pool", kind = "ball" }
[lineups.bucket]
from = "fresh"
to = "tap"
open = "fresh-outlet, tap"
[lineups.change]
from = "salt"
to = "pool"
by = "pump"
open = "salt-outlet, pool"
"#;

/// One state of the room, changed or not.
struct Case {
    kind: Kind,
    victim: &'static str,
    edits: &'static [(&'static str, &'static str)],
    open: &'static [&'static str],
    pump: bool,
    at: &'static str,
    does: bool,
    why: &'static str,
}

const NONE: &[&str] = &[];
const BOTH: &[&str] = &["fresh-outlet", "salt-outlet"];
const CHANGE: &[&str] = &["salt-outlet", "pool"];
const FILL: &[&str] = &["fresh-outlet", "jet"];

const fn case(
    (kind, victim): (Kind, &'static str),
    edits: &'static [(&'static str, &'static str)],
    (open, pump, at): (&'static [&'static str], bool, &'static str),
    does: bool,
    why: &'static str,
) -> Case {
    Case {
        kind,
        victim,
        edits,
        open,
        pump,
        at,
        does,
        why,
    }
}

#[rustfmt::skip]
const CASES: &[Case] = &[
    // Back toward the feed.
    case((Kind::BackflowToFeed, "fresh"), &[], (NONE, false, "full"), false,
        "the purifier's tube ends in the air above the rim"),
    case((Kind::BackflowToFeed, "fresh"), &[("vessels.fresh.fill_end_level", "\"700 mm\"")], (NONE, false, "full"), true,
        "full at 800 mm its end is 100 mm under water, and nothing holds"),
    case((Kind::BackflowToFeed, "fresh"), &[("vessels.fresh.fill_end_level", "\"700 mm\"")], (NONE, false, "start"), false,
        "at 250 mm it hangs in the air"),
    case((Kind::BackflowToFeed, "fresh"), &[("vessels.fresh.fill_end_level", "\"700 mm\""), ("purifier.check_valve", "true")], (NONE, false, "full"), false,
        "the purifier's own check valve holds"),
    case((Kind::BackflowToFeed, "fresh"), &[("vessels.fresh.fill_end_level", "\"260 mm\"")], (BOTH, false, "start"), true,
        "salt water runs in and drowns it: 2.5 L do, and tens come"),
    // Tank water drawn back.
    case((Kind::TankDrawnBack, "pool"), &[], (CHANGE, false, "worst"), true,
        "the tank at 0.70 m stands over the batch at 0.45 m, and the hose ends under its water"),
    case((Kind::TankDrawnBack, "pool"), &[], (CHANGE, false, "full"), false,
        "a batch at 1.00 m stands over the tank"),
    case((Kind::TankDrawnBack, "pool"), &[("lines.pool.siphon_break", "\"1480 mm\"")], (CHANGE, false, "worst"), false,
        "a hole under the crest, 1.03 m over the batch, lets air in"),
    case((Kind::TankDrawnBack, "pool"), &[("lines.pool.tank_height", "\"750 mm\"")], (CHANGE, false, "worst"), false,
        "50 mm over the water the hose takes none"),
    case((Kind::TankDrawnBack, "pool"), &[], (&["fresh-outlet", "pool"], false, "start"), true,
        "fresh water at 0.65 m stands under the tank, too"),
    // A heater left dry.
    case((Kind::HeaterUncovered, "salt"), &[("vessels.salt.heater", "\"300 W\""), ("vessels.salt.heater_level", "\"300 mm\"")], (&["salt-outlet", "tap"], false, "full"), true,
        "the batch sinks from 600 mm to its outlet at 50 mm, past 300 mm"),
    case((Kind::HeaterUncovered, "salt"), &[("vessels.salt.heater", "\"300 W\""), ("vessels.salt.heater_level", "\"300 mm\""), ("vessels.salt.heater_cutout", "true")], (&["salt-outlet", "tap"], false, "full"), false,
        "it switches itself off"),
    case((Kind::HeaterUncovered, "salt"), &[("vessels.salt.heater", "\"300 W\""), ("vessels.salt.heater_level", "\"40 mm\"")], (&["salt-outlet", "tap"], false, "full"), false,
        "it lies under the outlet, and nothing is drawn from there"),
    case((Kind::HeaterUncovered, "salt"), &[("vessels.salt.heater", "\"300 W\""), ("vessels.salt.heater_level", "\"200 mm\"")], (BOTH, false, "start"), false,
        "it comes to a stop with the fresh water's 0.20 m over the outlets: at 245 mm"),
    case((Kind::HeaterUncovered, "salt"), &[("vessels.salt.heater", "\"300 W\""), ("vessels.salt.heater_level", "\"300 mm\"")], (CHANGE, true, "full"), true,
        "the pump draws it down"),
    // Salt into fresh. 296 mm of salt water stand 1.9 mm over what balances 300 mm of fresh: 0.24408 m over the outlets. So
    // 0.48 L at 35 come into 75 L: 0.22.
    case((Kind::SaltIntoFresh, "fresh"), &[("vessels.fresh.start_level", "\"300 mm\""), ("vessels.salt.start_level", "\"296 mm\""), ("vessels.fresh.used_for", "\"rinsing\"")], (BOTH, false, "start"), true,
        "0.22 spoils it for rinsing, where 0.05 does"),
    case((Kind::SaltIntoFresh, "fresh"), &[("vessels.fresh.start_level", "\"300 mm\""), ("vessels.salt.start_level", "\"296 mm\""), ("vessels.fresh.used_for", "\"top-off\"")], (BOTH, false, "start"), false,
        "0.22 is nothing to a tank that is topped off, where 0.5 counts"),
    case((Kind::SaltIntoFresh, "fresh"), &[("vessels.fresh.start_level", "\"300 mm\""), ("vessels.salt.start_level", "\"296 mm\""), ("vessels.fresh.spoiled_above", "0.2")], (BOTH, false, "start"), true,
        "over the owner's 0.2"),
    case((Kind::SaltIntoFresh, "fresh"), &[("vessels.fresh.start_level", "\"300 mm\""), ("vessels.salt.start_level", "\"296 mm\""), ("vessels.fresh.spoiled_above", "0.25")], (BOTH, false, "start"), false,
        "under the owner's 0.25"),
    case((Kind::SaltIntoFresh, "fresh"), &[("vessels.fresh.used_for", "\"mixing\"")], (BOTH, false, "start"), true,
        "350 mm over it, tens of litres come: past 1 too"),
    // The station runs into a tank.
    case((Kind::SiphonIntoTank, "pool"), &[], (CHANGE, false, "full"), true,
        "75 L of the batch stand over the tank, which has room for 15"),
    case((Kind::SiphonIntoTank, "pool"), &[("lines.pool.siphon_break", "\"1480 mm\"")], (CHANGE, false, "full"), false,
        "a hole under the crest, 0.48 m over the batch, lets air in"),
    case((Kind::SiphonIntoTank, "pool"), &[("tanks.pool.headroom", "\"80 L\"")], (CHANGE, false, "full"), false,
        "the tank has room for all of the 75 L"),
    case((Kind::SiphonIntoTank, "pool"), &[], (&["fresh-outlet", "pool"], false, "full"), true,
        "fresh water at 1.20 m runs on, too"),
    // Over a rim.
    case((Kind::OverRim, "pool"), &[], (CHANGE, true, "full"), true,
        "the pump goes on past 15 L"),
    case((Kind::OverRim, "pool"), &[("tanks.pool.headroom", "\"90 L\"")], (CHANGE, true, "full"), true,
        "the pump takes 137 L, down to the outlet, where a siphon takes 75"),
    case((Kind::OverRim, "pool"), &[("tanks.pool.headroom", "\"99 L\""), ("vessels.salt.batch_volume", "\"110 L\"")], (CHANGE, true, "full"), false,
        "97.5 L stand over the outlet of a batch of 110 L"),
    case((Kind::OverRim, "salt"), &[], (FILL, true, "full"), true,
        "187 L over the fresh outlet, 75 L of room over the batch"),
    case((Kind::OverRim, "salt"), &[("vessels.fresh.stop_level", "\"340 mm\"")], (FILL, true, "full"), false,
        "72.5 L over the fresh outlet, 75 L of room over the batch"),
    // Fresh into salt. 620 mm of fresh stand 6.7 mm over the 613.3 that balance a batch of 600 mm: 1.7 L.
    case((Kind::FreshIntoSalt, "salt"), &[("vessels.fresh.stop_level", "\"620 mm\"")], (BOTH, false, "full"), false,
        "150 L are thinned by half a unit with 2.17 L, and 1.7 come"),
    case((Kind::FreshIntoSalt, "salt"), &[("vessels.fresh.stop_level", "\"620 mm\""), ("vessels.salt.salinity_tolerance", "0.2")], (BOTH, false, "full"), true,
        "a fifth of a unit takes 0.86 L"),
    case((Kind::FreshIntoSalt, "salt"), &[], (BOTH, false, "full"), true,
        "46 L stand over the balance"),
    case((Kind::FreshIntoSalt, "salt"), &[], (BOTH, false, "start"), false,
        "it runs the other way"),
    // To the floor.
    // Two waters in one container. The tap is at the outlets' height or below it.
    case((Kind::WrongWaterDrawn, "tap"), &[], (&["fresh-outlet", "salt-outlet", "tap"], false, "full"), true,
        "both stand over the tap, 0.78 m and 0.58 m, and what runs is neither"),
    case((Kind::WrongWaterDrawn, "tap"), &[], (&["fresh-outlet", "tap"], false, "full"), false,
        "one water is one water"),
    case((Kind::WrongWaterDrawn, "tap"), &[], (&["salt-outlet", "tap"], false, "full"), false,
        "so is the batch"),
    case((Kind::WrongWaterDrawn, "tap"), &[("valves.tap.self_closing", "true")], (&["fresh-outlet", "salt-outlet", "tap"], false, "full"), true,
        "whoever holds the valve open catches both"),
    case((Kind::ToFloor, "tap"), &[], (&["fresh-outlet", "tap"], false, "full"), true,
        "187 L over the outlet, a bucket of 10"),
    case((Kind::ToFloor, "tap"), &[("valves.tap.self_closing", "true")], (&["fresh-outlet", "tap"], false, "full"), false,
        "it closes when the hand lets go"),
    case((Kind::ToFloor, "tap"), &[("valves.fresh-outlet.self_closing", "true")], (&["fresh-outlet", "tap"], false, "full"), true,
        "the valve at the outlet isn't the one in the hand"),
    case((Kind::ToFloor, "tap"), &[("draw_points.tap.container", "\"200 L\"")], (&["fresh-outlet", "tap"], false, "full"), false,
        "a trough that holds all of the 187 L"),
    // A pump runs dry.
    case((Kind::PumpDry, "pump"), &[], (FILL, true, "full"), true,
        "it empties the tub to its outlet"),
    case((Kind::PumpDry, "pump"), &[("vessels.fresh.low_cutout_level", "\"90 mm\"")], (FILL, true, "full"), false,
        "a switch stops it 40 mm over the outlet"),
    case((Kind::PumpDry, "pump"), &[("pumps.pump.flow_switch", "true")], (FILL, true, "full"), false,
        "it stops when nothing flows"),
    case((Kind::PumpDry, "pump"), &[("vessels.salt.start_level", "\"20 mm\"")], (&["salt-outlet", "jet"], true, "start"), true,
        "the water stands under the outlet"),
    case((Kind::PumpDry, "pump"), &[("draw_points.tap.height", "\"1100 mm\"")], (&["fresh-outlet", "tap", "jet"], true, "start"), true,
        "an open tap 0.45 m over the water, before the pump, lets air in"),
    case((Kind::PumpDry, "pump"), &[("draw_points.tap.height", "\"1100 mm\""), ("pumps.pump.flow_switch", "true")], (&["fresh-outlet", "tap", "jet"], true, "start"), true,
        "water with air in it flows, so the switch sees nothing"),
    // A pump against closed valves.
    case((Kind::PumpAgainstClosed, "pump"), &[], (NONE, true, "full"), true,
        "nothing is open"),
    case((Kind::PumpAgainstClosed, "pump"), &[], (&["fresh-outlet"], true, "full"), true,
        "nothing is open behind it"),
    case((Kind::PumpAgainstClosed, "pump"), &[], (&["jet"], true, "full"), true,
        "nothing is open before it"),
    case((Kind::PumpAgainstClosed, "pump"), &[], (FILL, true, "full"), false,
        "both sides are open"),
    case((Kind::PumpAgainstClosed, "pump"), &[("pumps.pump.flow_switch", "true")], (NONE, true, "full"), false,
        "it stops when nothing flows"),
    case((Kind::PumpAgainstClosed, "pump"), &[("room.unnoticed", "\"4 min\"")], (NONE, true, "full"), false,
        "somebody comes by before the five minutes that it bears"),
];

#[test]
fn every_kind_is_done_and_cleared_as_by_hand() {
    for case in CASES {
        let states = every_state(&edited(ROOM, case.edits), 0.0).unwrap();
        let pumps = if case.pump { &["pump"][..] } else { &[] };
        let state = states.iter().find(|state| {
            let open = state
                .valves_open
                .iter()
                .all(|valve| case.open.contains(&valve.as_str()));
            open && state.valves_open.len() == case.open.len()
                && state.pumps_on == pumps
                && state.situation == case.at
        });
        let harms = &state
            .unwrap_or_else(|| panic!("no such state: {}", case.why))
            .harms;
        let does = harms
            .iter()
            .any(|harm| (harm.kind, harm.victim.as_str()) == (case.kind, case.victim));
        assert_eq!(
            does, case.does,
            "{:?} of {}: {}: {harms:#?}",
            case.kind, case.victim, case.why
        );
    }
}

#[test]
fn every_kind_is_there_twice_each_way() {
    for kind in Kind::ALL {
        let count = |does: bool| {
            let own = CASES.iter().filter(|case| (case.kind, case.does) == (kind, does));
            own.count()
        };
        assert!(count(true) >= 2 && count(false) >= 2, "{kind:?}");
    }
}

/// Water of a tank that may carry disease must not come back; another's should not.
#[test]
fn a_tank_that_is_isolated_must_not_be_drawn_back() {
    for (isolated, severity) in [("true", Severity::Must), ("false", Severity::Should)] {
        let mistakes = mistakes_of(&edited(ROOM, &[("tanks.pool.isolated", isolated)]));
        let cause = mistakes
            .causes
            .iter()
            .find(|cause| cause.kind == Kind::TankDrawnBack)
            .unwrap();
        // The pump stops while both valves are open.
        assert_eq!(
            (cause.severity, cause.moved.as_slice()),
            (severity, &["pump".to_owned()][..])
        );
        assert_eq!(cause.lineups, ["change"]);
    }
}

/// An interlock leaves no such state.
#[test]
fn a_pump_with_an_interlock_has_no_closed_states() {
    let station = edited(ROOM, &[("pumps.pump.runs_only_with", "\"jet, pool\"")]);
    let states = every_state(&station, 0.0).unwrap();
    let runs = states.iter().filter(|state| !state.pumps_on.is_empty());
    let is_let = |valve: &String| valve == "jet" || valve == "pool";
    assert!(runs.clone().all(|state| state.valves_open.iter().any(is_let)));
    // 32 positions of five valves, and the pump in the 24 of them that open one of the two; in three situations.
    assert_eq!((states.len(), runs.count()), (3 * 56, 3 * 24));
}
