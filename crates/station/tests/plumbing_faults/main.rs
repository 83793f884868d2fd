//! Every refusal of the plumbing: what it says, what it underlines, how it is mended.

mod curves;
mod joints;
mod levels;
mod lines;
mod linked;
mod names;
mod tasks;

use station::Station;

/// A sound little plumbing; the remarks tell its lines apart.
const SOUND: &str = r#"title = "Two drums"
[tanks.pool]
volume = "900 L"
salinity = 35
temperature = "24 C"
evaporation = "9 L/day"
[vessels.north]
holds = "fresh"
shape = "cylinder"
diameter = "600 mm"
height = "900 mm"
floor_height = "500 mm"
outlet_level = "40 mm"
[vessels.south]
holds = "fresh"
shape = "cylinder"
diameter = "600 mm"
height = "900 mm"
[pumps.pump]
curve = [["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]
height = "200 mm" # pump
[tees.low]
height = "300 mm" # low
[tees.high]
height = "1.2 m"
[draw_points.spout]
height = "420 mm"
[lines.out]
from = "north" # out
to = "low" # out
tube = "vinyl hose"
size = "25 mm" # out
length = "1.5 m" # out
barbs = 2 # out
[lines.in]
from = "low" # in
to = "pump"
tube = "corrugated hose"
size = "25 mm"
length = "400 mm"
barbs = 2 # in
[lines.up]
from = "pump" # up
to = "high"
tube = "vinyl hose"
size = "25 mm" # up
length = "2 m" # up
barbs = 2
[lines.over]
from = "high" # over
to = "south" # over
tube = "metric pipe 16 bar"
size = "32 mm" # over
length = "1.2 m"
[lines.spare]
from = "high" # spare
to = "south"
to_level = "200 mm"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "2 m"
[lines.hose]
from = "high"
to = "pool"
tank_height = "900 mm"
crest = "2.1 m"
tube = "vinyl hose"
size = "19 mm"
length = "9 m"
barbs = 1
[lines.spout]
from = "low" # spout
to = "spout" # spout
tube = "vinyl hose"
size = "25 mm"
length = "1 m" # spout
barbs = 1
[valves.outlet]
line = "out"
kind = "ball" # out
[valves.up]
line = "up"
kind = "gate"
[valves.spout]
line = "spout"
kind = "ball"
[lineups.bucket]
from = "north" # bucket
to = "spout"
by = "gravity" # bucket
open = "outlet, spout"
[lineups.fill]
from = "north" # fill
to = "south" # fill
by = "pump" # fill
"#;

/// One fault, planted by these edits.
struct Case {
    name: &'static str,
    edits: &'static [(&'static str, &'static str)],
    what: &'static str,
    underlined: &'static str,
    mend: &'static str,
}

#[test]
fn the_sound_one_is_sound() {
    let station = Station::read(SOUND).expect("it is sound");
    assert_eq!(
        (station.plumbing.lines.len(), station.plumbing.tasks.len()),
        (7, 2)
    );
}

/// Each fault comes alone, at its place, with its mend.
#[test]
fn every_refusal_teaches() {
    let all = [
        names::CASES,
        lines::CASES,
        joints::CASES,
        levels::CASES,
        linked::CASES,
        tasks::CASES,
        curves::CASES,
    ];
    for case in all.into_iter().flatten() {
        let mut text = SOUND.to_owned();
        for (from, to) in case.edits {
            assert_eq!(text.matches(from).count(), 1, "{}: {from}", case.name);
            text = text.replace(from, to);
        }
        let faults = Station::read(&text).expect_err(case.name);
        let [fault] = faults.as_slice() else {
            panic!("{}: {faults:#?}", case.name);
        };
        let told = (
            fault.what.as_str(),
            &text[fault.span.clone()],
            fault.mend.as_str(),
        );
        assert_eq!(told, (case.what, case.underlined, case.mend), "{}", case.name);
    }
}

/// A name at which several lines meet is a tee that nobody wrote down: the mend shows how.
#[test]
fn a_tee_that_nobody_wrote_down() {
    let text = SOUND.replace("[tees.high]\nheight = \"1.2 m\"\n", "");
    assert_ne!(text, SOUND);
    let faults = Station::read(&text).expect_err("four ends lead nowhere");
    assert_eq!(faults.len(), 4, "{faults:#?}");
    for fault in faults {
        assert!(fault.what.ends_with("nothing is named `high`"), "{}", fault.what);
        assert_eq!(
            fault.mend,
            "a joint of lines is a tee: add [tees] with high = { height = \"300 mm\" }, its height above the room's floor"
        );
    }
}

/// A brace that isn't closed is one fault, at the brace, however much stands behind it.
#[test]
fn one_open_brace_is_one_fault() {
    let text = "title = \"x\"\n[tees]\nlow = { height = \"50 mm\"\nhigh = { height = \"1 m\" }\n[vessels.a]\nholds = \"fresh\"\n";
    let faults = Station::read(text).expect_err("a fault");
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert_eq!(text.get(faults[0].span.clone()), Some("{"));
    assert_eq!(text[..faults[0].span.start].matches('\n').count(), 2);
}
