//! Keys of a year: what they are without a word, and every refusal with what it underlines and how it is mended.

use station::sections::{Lid, Month};
use station::{Fault, Station};

/// A sound little station; the remarks tell its lines apart.
const SOUND: &str = r#"title = "Two drums"
[people]
days = "Saturday to Monday"
[holidays.winter]
from = "22 December"
to = "4 January" # winter
[vessels.north]
holds = "fresh"
shape = "cylinder"
diameter = "600 mm"
height = "900 mm"
floor_height = "500 mm"
[vessels.south]
holds = "salt"
shape = "cylinder"
diameter = "600 mm"
height = "900 mm"
floor_height = "500 mm"
recirculate_every = "1 day"
recirculate_for = "30 min"
[salt]
label = "20 kg makes 540 L at 35"
[feed]
pressure = "4 bar"
coldest = "7 C"
warmest = "18 C"
[feed_states.frost]
temperature = "3 C"
every = "2 years"
[feed_states.flush]
free_chlorine = "2 mg/L"
in_month = "September"
[purifier]
control = "float alone"
feed_valve = true
longest_run = "20 h"
leak_detector = true
shut_when_away = true
[membranes.first]
rated_flow = "75 gal/day"
rated_pressure = "60 psi"
rated_solids = "250 mg/L"
rejection = "97 %"
[pumps.pump]
curve = [["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]
height = "200 mm"
[lines.out]
from = "south"
to = "pump"
tube = "vinyl hose"
size = "25 mm"
length = "1.5 m"
barbs = 2
[lines.back]
from = "pump"
to = "south"
tube = "vinyl hose"
size = "25 mm"
length = "2 m"
barbs = 2
[valves.back]
line = "back"
kind = "ball"
[lineups.stir]
from = "south"
to = "south"
by = "pump"
open = "back"
[prices]
labour = "20 EUR/h"
"#;

#[track_caller]
fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn close(value: f64, expected: f64) -> bool {
    (value - expected).abs() <= 1e-12 * expected.abs()
}

#[test]
fn what_is_said_is_read() {
    let station = read(SOUND);
    assert_eq!(station.people.days.value.count(), 3);
    let winter = &station.holidays[0];
    assert_eq!(winter.name, "winter");
    let (from, to) = (winter.fields.from.value, winter.fields.to.value);
    assert_eq!((from.index(), to.index(), to.days_after(from)), (355, 3, 13));
    assert!(!winter.fields.laid_up.value && winter.fields.looks_in.is_none());
    let [frost, flush] = station.feed_states.as_slice() else {
        panic!("{:?}", station.feed_states);
    };
    let two_years_s = 2.0 * 365.25 * 86_400.0;
    assert!(
        frost
            .fields
            .every
            .as_ref()
            .is_some_and(|every| close(every.value.s(), two_years_s))
    );
    assert_eq!(
        flush.fields.in_month.as_ref().map(|month| month.value),
        Some(Month::September)
    );
    let south = &station.vessels[1].fields;
    assert!(
        south
            .recirculate_for
            .as_ref()
            .is_some_and(|long| close(long.value.s(), 1800.0))
    );
    let labour = station.prices.labour.as_ref().map(|labour| labour.value.per_s());
    assert!(labour.is_some_and(|labour| close(labour, 20.0 / 3600.0)));
}

#[test]
fn what_isnt_said_has_its_default() {
    let station = read(
        "title = \"x\"\n[tanks.a]\nvolume = \"1 m3\"\nsalinity = 35\ntemperature = \"24 C\"\nevaporation = \"9 L/day\"\n[vessels.b]\nholds = \"fresh\"\nshape = \"cylinder\"\ndiameter = \"600 mm\"\nheight = \"900 mm\"\n",
    );
    let people = &station.people;
    assert_eq!(people.days.value.from_monday(), [true; 7]);
    assert_eq!(people.arrives.value.to_string(), "09:00");
    for (time, minutes) in [
        (&people.stays, 120.0),
        (&people.late_by, 20.0),
        (&people.carry_time, 2.0),
        (&people.change_time, 15.0),
        (&people.measuring_time, 5.0),
        (&people.batch_time, 30.0),
        (&station.tanks[0].fields.emergency_every, 3.0 * 365.25 * 1440.0),
    ] {
        assert!(close(time.value.s(), 60.0 * minutes), "{}", time.path);
        assert!(!time.is_given(), "{}", time.path);
    }
    let vessel = &station.vessels[0].fields;
    assert_eq!(vessel.lid.value, Lid::Loose);
    assert!(vessel.keeps_warm.value);
    assert!(station.holidays.is_empty() && station.prices.labour.is_none());
}

/// The tighter a lid, the less evaporates.
#[test]
fn a_lid_lets_a_share_through() {
    let [tight, loose, none] = [Lid::Tight, Lid::Loose, Lid::None].map(Lid::open_share);
    assert!(0.0 < tight && tight < loose && loose < none);
    assert!((none - 1.0).abs() < 1e-15);
}

/// One fault, planted by these edits.
struct Case {
    edits: &'static [(&'static str, &'static str)],
    what: &'static str,
    underlined: &'static str,
    mend: &'static str,
}

const fn case(
    edits: &'static [(&'static str, &'static str)],
    what: &'static str,
    underlined: &'static str,
    mend: &'static str,
) -> Case {
    Case {
        edits,
        what,
        underlined,
        mend,
    }
}

#[rustfmt::skip]
const CASES: &[Case] = &[
    case(&[("\"4 January\"", "\"22 December\"")],
        "this holiday ends on the day on which it begins", "\"22 December\"", "one day off ends on the next day; check both dates"),
    case(&[("to = \"4 January\" # winter\n", "")],
        "`to` is missing", "winter", "add a line such as: to = \"10 August\""),
    case(&[("\"4 January\"", "2027-01-04")],
        "a date stands where a day of every year is wanted", "2027-01-04", "write the day and the month: \"20 July\""),
    case(&[("\"Saturday to Monday\"", "\"Saturday, Manday\"")],
        "`Manday` is no day of the week", "\"Saturday, Manday\"", "write \"Saturday, Monday\""),
    case(&[("\"Saturday to Monday\"", "\"every day\"\narrives = \"8.30\"")],
        "`8.30` is no time of the day", "\"8.30\"", "write \"08:30\""),
    case(&[("[holidays.winter]", "[holiday.winter]")],
        "`holiday` isn't known here", "holiday", "did you mean `holidays`?"),
    case(&[("recirculate_for = \"30 min\"\n", "")],
        "this tells how often the water is stirred, and nothing how long", "\"1 day\"", "add recirculate_for = \"30 min\", or leave both out"),
    case(&[("recirculate_every = \"1 day\"\n", "")],
        "this tells how long the water is stirred, and nothing how often", "\"30 min\"", "add recirculate_every = \"1 day\", or leave both out"),
    case(&[("\"30 min\"", "\"24 h\"")],
        "the water is stirred longer than from one time to the next", "\"24 h\"", "recirculate_for must be shorter than recirculate_every: exchange them?"),
    case(&[("[lineups.stir]\nfrom = \"south\"\nto = \"south\"\nby = \"pump\"\nopen = \"back\"\n", "")],
        "no lineup stirs the vessel `south` by a pump", "\"1 day\"",
        "add [lineups.stir-south] with from = \"south\", to = \"south\" and by = \"pump\", or leave recirculate_every and recirculate_for out"),
    case(&[("[vessels.north]\nholds = \"fresh\"\n", "[vessels.north]\nholds = \"fresh\"\nrecirculate_every = \"2 days\"\nrecirculate_for = \"1 h\"\n")],
        "no lineup stirs the vessel `north` by a pump", "\"2 days\"",
        "add [lineups.stir-north] with from = \"north\", to = \"north\" and by = \"pump\", or leave recirculate_every and recirculate_for out"),
    case(&[("every = \"2 years\"", "every = \"2 years\"\nin_month = \"May\"")],
        "this state of the feed comes each year, and at no set time as well", "\"2 years\"",
        "keep in_month where it comes each year in that month, otherwise keep every"),
    case(&[("every = \"2 years\"", "every = \"2 days\"")],
        "`every` is outside what it can be", "\"2 days\"", "it lies between 1 week and 100 years"),
    case(&[("labour = \"20 EUR/h\"", "labour = \"20 EUR\"")],
        "`EUR` is no price; this station's currency is EUR", "\"20 EUR\"", "write it as \"20 EUR/h\"; another currency goes into [display]"),
    case(&[("feed_valve = true\n", ""), ("leak_detector = true\nshut_when_away = true\n", "")],
        "nothing here can end a run that goes on too long", "\"20 h\"", "add feed_valve = true where there is such a valve, or leave this out"),
    case(&[("feed_valve = true\nlongest_run = \"20 h\"\n", ""), ("shut_when_away = true\n", "")],
        "nothing here can shut the feed when the detector finds water", "true", "add feed_valve = true where there is such a valve, or leave this out"),
    case(&[("feed_valve = true\nlongest_run = \"20 h\"\nleak_detector = true\n", "")],
        "nothing here can shut the feed while nobody is here", "true", "add feed_valve = true where there is such a valve, or leave this out"),
];

#[test]
fn every_refusal_teaches() {
    for case in CASES {
        let mut text = SOUND.to_owned();
        for (from, to) in case.edits {
            assert_eq!(text.matches(from).count(), 1, "{from}");
            text = text.replace(from, to);
        }
        let faults = Station::read(&text).expect_err(case.what);
        let [Fault { span, what, mend, .. }] = faults.as_slice() else {
            panic!("{}: {faults:#?}", case.what);
        };
        assert_eq!(what, case.what);
        assert_eq!(&text[span.clone()], case.underlined, "{what}");
        assert_eq!(mend, case.mend, "{what}");
    }
}

/// A lineup that goes round without a pump moves nothing, and is told by its name.
#[test]
fn what_goes_round_by_gravity_stirs_nothing() {
    let faults = Station::read(&SOUND.replace("by = \"pump\"\n", "")).expect_err("gravity");
    let stirring = faults.iter().find(|fault| fault.what.contains("stirs"));
    assert_eq!(
        stirring.map(|fault| fault.mend.as_str()),
        Some("give [lineups.stir] by = \"pump\""),
        "{faults:#?}"
    );
}

/// Who starts each run is there to shut the tap, and switches and clocks move an electric valve.
#[test]
fn what_can_shut_the_feed_is_taken() {
    for (control, keeps) in [
        (
            "level switches",
            "longest_run = \"20 h\"\nleak_detector = true\nshut_when_away = true\n",
        ),
        (
            "timer",
            "longest_run = \"20 h\"\nleak_detector = true\nshut_when_away = true\n",
        ),
        ("attended", "shut_when_away = true\n"),
    ] {
        let text = SOUND.replace("float alone", control).replace(
            "feed_valve = true\nlongest_run = \"20 h\"\nleak_detector = true\nshut_when_away = true\n",
            keeps,
        );
        assert!(text.contains(control) && !text.contains("feed_valve"));
        read(&text);
    }
}

/// The examples of this repository.
#[test]
fn the_examples_tell_their_year() {
    for (text, days, holidays) in [
        (include_str!("../../../stations/larkhaven.toml"), 6, 1),
        (include_str!("../../../stations/juniper-street-school.toml"), 5, 1),
        (include_str!("../../../stations/skelder-hatchery.toml"), 7, 0),
    ] {
        let station = read(text);
        assert_eq!(
            station.people.days.value.count(),
            days,
            "{}",
            station.title.title.value
        );
        assert_eq!(station.holidays.len(), holidays, "{}", station.title.title.value);
        assert!(station.prices.labour.is_some());
        for state in &station.feed_states {
            assert!(
                state.fields.every.is_some() || state.fields.in_month.is_some(),
                "{}",
                state.name
            );
        }
    }
}
