//! Flows, times and settings of small stations that can be worked by hand, and of the examples.

#![expect(clippy::unwrap_used, reason = "a test that can't read its case has failed")]

use proof::{Ending, Proof, Severity, prove};
use station::{Edit, Situation, Station, edit};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");
const JUNIPER: &str = include_str!("../../../stations/juniper-street-school.toml");
const SKELDER: &str = include_str!("../../../stations/skelder-hatchery.toml");

const L_MIN: f64 = 1e-3 / 60.0;

fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn edited(text: &str, edits: &[(&str, &str)]) -> Station {
    let edits: Vec<Edit> = edits
        .iter()
        .map(|(path, text)| Edit {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        })
        .collect();
    read(&edit::apply(text, &edits).unwrap_or_else(|error| panic!("{error}")))
}

fn flow(proof: &Proof, lineup: &str) -> f64 {
    proof.figure(&format!("lineups.{lineup}.flow")).unwrap().value
}

fn finds(proof: &Proof, id: &str) -> bool {
    proof.findings.iter().any(|finding| finding.id == id)
}

/// Water stands 0.5 m over a tap, behind 1.5 m of tube and a loss of 3.3 with the exit's own: a valve of this Kv and a
/// flush entrance (0.5) make the 3.3.
fn tap(bore_mm: f64) -> String {
    // K = 1.6e-3 d⁴/Kv² with d in mm; the handbook's, also exact to 0.1 %.
    let kv = (1.6e-3 * bore_mm * bore_mm * bore_mm * bore_mm / 2.8).sqrt();
    format!(
        r#"
title = "tap"
[vessels.tub]
holds = "fresh"
shape = "box"
length = "1 m"
width = "1 m"
height = "1 m"
floor_height = "1 m"
outlet_level = "0 mm"
stop_level = "500 mm"
start_level = "100 mm"
[draw_points.tap]
height = "1 m"
container = "10 L"
[lines.spout]
from = "tub"
to = "tap"
tube = "vinyl hose"
size = "1/2 in"
bore = "{bore_mm} mm"
length = "1.5 m"
[valves.cock]
line = "spout"
kind = "ball"
kv = {kv}
[lineups.bucket]
from = "tub"
to = "tap"
"#
    )
}

/// Source: the design handbook, section 8, check 3: 0.5 m of head, 1.5 m of tube, K 3.3 and the exit. Tolerance: its
/// last digit, and 2 % for the water, which is at 15 °C here.
#[test]
fn a_tap_gives_what_the_handbook_says() {
    for (bore_mm, wanted) in [(9.5, 4.4), (12.7, 8.6), (19.1, 21.5), (25.4, 40.0)] {
        let proof = prove(&read(&tap(bore_mm)));
        let got = flow(&proof, "bucket") / L_MIN;
        assert!(
            (got / wanted - 1.0).abs() < 0.03,
            "{bore_mm} mm: {got} L/min, not {wanted}"
        );
    }
}

/// Time to draw 10 L while a square metre sinks by 10 mm: that of the mean flow, to the square of the change.
#[test]
fn a_bucket_takes_its_volume_by_its_flow() {
    let proof = prove(&read(&tap(12.7)));
    let lineups = proof.lineups.as_ref().unwrap();
    let moment = &lineups.lineups[0].moments[0];
    let (time, flow) = (
        moment.time.as_ref().unwrap().value,
        moment.flow.as_ref().unwrap().value,
    );
    // The level falls from 0.50 to 0.49 m, so the flow by about 0.9 %; half of it counts.
    let wanted = 0.010 / flow * (1.0 + 0.5 * 0.009);
    assert!((time / wanted - 1.0).abs() < 0.002, "{time} s, not {wanted}");
    assert_eq!(moment.ending, Some(Ending::Moved));
    assert!((moment.moved_m3.unwrap() - 0.010).abs() < 1e-6);
}

/// A pump whose curve is a straight line, H = 3 m − 0.075 m·Q, against 1 m and 0.005 m·Q² (Q in L/min): both meet at
/// 0.005 Q² + 0.075 Q = 2, so at 13.86 L/min and 1.961 m. By hand.
fn pumped() -> String {
    r#"
title = "pumped"
[vessels.low]
holds = "fresh"
shape = "box"
length = "1 m"
width = "1 m"
height = "1 m"
floor_height = "500 mm"
outlet_level = "0 mm"
stop_level = "500 mm"
start_level = "400 mm"
low_cutout_level = "300 mm"
[vessels.high]
holds = "fresh"
shape = "box"
length = "1 m"
width = "1 m"
height = "500 mm"
floor_height = "1500 mm"
start_level = "200 mm"
stop_level = "400 mm"
[pumps.lift]
curve = [["0 L/min", "3 m"], ["40 L/min", "0 m"]]
height = "0 mm"
[lines.in]
from = "low"
to = "lift"
tube = "schedule 40 pipe"
size = "2 in"
length = "1 m"
measured_flow = "10 L/min"
measured_drop = "5 Pa"
[lines.out]
from = "lift"
to = "high"
tube = "schedule 40 pipe"
size = "1/2 in"
length = "3 m"
measured_flow = "10 L/min"
measured_drop = "4903.3 Pa"
[valves.cock]
line = "out"
kind = "ball"
kv = 50
[lineups.lift-it]
from = "low"
to = "high"
by = "pump"
"#
    .to_owned()
}

/// Tolerance 0.5 %: fresh water at 15 °C weighs 0.1 % less than the drop was turned into a head with, and the suction
/// and the valve take a millimetre.
#[test]
fn a_pump_works_where_its_curve_meets_the_lines() {
    let proof = prove(&read(&pumped()));
    let got = flow(&proof, "lift-it") / L_MIN;
    assert!((got / 13.86 - 1.0).abs() < 0.005, "{got} L/min");
    let work = &proof.lineups.as_ref().unwrap().pumps[0];
    assert!((work.head_m / 1.961 - 1.0).abs() < 0.005, "{} m", work.head_m);
    // A metre of water over the pump: NPSH of an atmosphere, a metre more, less the vapour: about 11.2 m.
    assert!(
        (work.npsh_available_m - 11.18).abs() < 0.05,
        "{}",
        work.npsh_available_m
    );
    assert!(work.flooded && work.primes);
}

/// The examples: what the owner opens is what the program finds, every task has its flow, with its interval round it.
#[test]
fn every_task_of_the_examples_works() {
    for text in [LARKHAVEN, JUNIPER, SKELDER] {
        let station = read(text);
        let proof = prove(&station);
        for (lineup, own) in proof
            .lineups
            .as_ref()
            .unwrap()
            .lineups
            .iter()
            .zip(&station.lineups)
        {
            let full = &lineup.moments[0];
            let flow = full
                .flow
                .as_ref()
                .unwrap_or_else(|| panic!("{} doesn't flow", lineup.name));
            let (low, high) = (flow.low.unwrap(), flow.high.unwrap());
            assert!(
                low < flow.value && flow.value < high,
                "{}: {low} {} {high}",
                lineup.name,
                flow.value
            );
            assert!(
                high / low < 2.5,
                "{}: nobody could use {low} to {high}",
                lineup.name
            );
            assert!(lineup.strays.is_empty(), "{}: {:?}", lineup.name, lineup.strays);
            // Fuller runs faster.
            let mut flows: Vec<(f64, f64)> = lineup
                .moments
                .iter()
                .filter_map(|moment| Some((moment.source_level_m?, moment.flow.as_ref()?.value)))
                .collect();
            flows.sort_by(|a, b| a.0.total_cmp(&b.0));
            let rises = |pair: &[(f64, f64)]| pair[1].1 >= pair[0].1 * (1.0 - 1e-6);
            assert!(flows.windows(2).all(rises), "{}: {flows:?}", lineup.name);
            if own.fields.open.is_some() {
                let path = format!("lineups.{}.open", own.name);
                let found = prove(&read(&without(text, &path)));
                let other = found
                    .lineups
                    .as_ref()
                    .unwrap()
                    .lineups
                    .iter()
                    .find(|o| o.name == own.name)
                    .unwrap();
                assert!(other.found);
                // Another way may do it as well; it must do it no worse.
                let best = other.moments[0].flow.as_ref().unwrap().value;
                assert!(
                    best >= flow.value * (1.0 - 1e-6),
                    "{}: {best} {}",
                    own.name,
                    flow.value
                );
            }
        }
    }
}

/// The text without one line.
fn without(text: &str, path: &str) -> String {
    let span = read(text).span_of(path).unwrap();
    let start = text[..span.start].rfind('\n').map_or(0, |at| at + 1);
    let line_end = text[span.end..]
        .find('\n')
        .map_or(text.len(), |at| span.end + at + 1);
    let line = &text[start..line_end];
    // A value among others in braces goes alone.
    if line.contains('{') {
        let key_start = text[..span.start].rfind("open").unwrap();
        let before = text[..key_start].trim_end().trim_end_matches(',');
        return format!("{before}{}", &text[span.end..]);
    }
    format!("{}{}", &text[..start], &text[line_end..])
}

#[test]
fn the_same_bytes_every_time() {
    let station = read(LARKHAVEN);
    assert_eq!(prove(&station).lineups, prove(&station).lineups);
}

#[test]
fn wrong_valves_are_told() {
    // The salt spout left open: salt water on the floor while the vessel is mixed.
    let proof = prove(&edited(
        LARKHAVEN,
        &[(
            "lineups.mix.open",
            "\"salt-outlet, pump-outlet, jet, salt-spout\"",
        )],
    ));
    let finding = proof
        .findings
        .iter()
        .find(|finding| finding.id == "lineup-goes-elsewhere")
        .unwrap();
    assert_eq!(
        (finding.severity, finding.place.as_str()),
        (Severity::Must, "lineups.mix")
    );
    assert!(finding.sentence.contains("salt spout"), "{}", finding.sentence);
    // The outlet left closed: the pump draws from nothing.
    let proof = prove(&edited(
        LARKHAVEN,
        &[("lineups.mix.open", "\"pump-outlet, jet\"")],
    ));
    let finding = proof.findings.iter().find(|own| own.id == "lineup-does-nothing");
    let cure = finding.and_then(|own| own.remedy.as_ref()).expect("a cure");
    assert_eq!(cure.sentence, "open salt outlet too for mix");
    assert!(!finds(&prove(&read(LARKHAVEN)), "lineup-does-nothing"));
}

/// A pump that stops leaves a siphon running to the pool below it, unless a hole lets air in.
#[test]
fn water_runs_on_without_a_hole() {
    let open = without(LARKHAVEN, "lines.pool-hose.siphon_break");
    let told = |text: &str| {
        let proof = prove(&read(text));
        let all = proof.findings.into_iter();
        all.filter(|finding| finding.id == "runs-on" && finding.place == "lineups.touch-pool-change")
            .count()
    };
    assert_eq!((told(&open), told(LARKHAVEN)), (1, 0));
}

/// Nobody opens a float: it lets water in as long as the level asks for it.
#[test]
fn a_float_is_open_by_itself() {
    let text = LARKHAVEN.replacen(
        "over-the-rim = { line = \"over-the-rim\", kind = \"ball\" }",
        "over-the-rim = { line = \"over-the-rim\", kind = \"float\", kv = 5 }",
        1,
    );
    assert_ne!(text, LARKHAVEN);
    let proof = prove(&edited(
        &text,
        &[("lineups.fresh-to-salt.open", "\"fresh-outlet, pump-outlet\"")],
    ));
    assert!(flow(&proof, "fresh-to-salt") > 0.0);
    assert!(!finds(&proof, "lineup-does-nothing"));
}

/// Edits of the pumped station, the finding they bring about, and whether the station without them has it.
#[test]
fn each_finding_has_its_cause() {
    let sound = prove(&read(&pumped()));
    let cases: &[(&str, &[(&str, &str)])] = &[
        (
            "pump-not-primed",
            &[("pumps.lift.height", "\"2 m\""), ("lines.in.length", "\"3 m\"")],
        ),
        (
            "suction-lifts",
            &[
                ("pumps.lift.height", "\"1200 mm\""),
                ("lines.in.length", "\"3 m\""),
                ("pumps.lift.primes_itself", "true"),
            ],
        ),
        (
            "crest-in-suction",
            &[("lines.in.crest", "\"700 mm\""), ("lines.in.length", "\"3 m\"")],
        ),
        ("npsh-short", &[("pumps.lift.npsh_required", "\"11 m\"")]),
        ("line-underrated", &[("lines.out.rated_pressure", "\"0.3 bar\"")]),
        (
            "beyond-curve",
            &[(
                "pumps.lift.curve",
                "[[\"0 L/min\", \"3 m\"], [\"5 L/min\", \"2.9 m\"]]",
            )],
        ),
        ("off-best-range", &[("pumps.lift.best_flow", "\"40 L/min\"")]),
        ("draws-air", &[("vessels.low.low_cutout_level", "\"5 mm\"")]),
        ("siphons-back", &[("lines.out.to_level", "\"50 mm\"")]),
        (
            "line-fast",
            &[(
                "pumps.lift.curve",
                "[[\"0 L/min\", \"30 m\"], [\"90 L/min\", \"0 m\"]]",
            )],
        ),
        (
            "crest-below-air",
            &[
                ("lines.out.crest", "\"2400 mm\""),
                ("lines.out.length", "\"9 m\""),
                ("lines.out.to_level", "\"10 mm\""),
                ("lines.out.measured_drop", "\"100 Pa\""),
            ],
        ),
    ];
    for (id, edits) in cases {
        assert!(!finds(&sound, id), "{id} is there without its cause");
        let proof = prove(&edited(&pumped(), edits));
        let finding = proof.findings.iter().find(|finding| finding.id == *id);
        let finding = finding.unwrap_or_else(|| panic!("{id} isn't told: {:#?}", proof.findings));
        assert!(finding.sentence.ends_with('.'), "{}", finding.sentence);
        assert!(!finding.sentence.contains("NaN"));
        assert!(finding.line.is_some(), "{id} leads nowhere");
    }
}

/// No cut-out at all: the cure sets one, at the level that the pump needs.
#[test]
fn a_pump_that_runs_dry_is_cured() {
    let text = without(&pumped(), "vessels.low.low_cutout_level");
    let proof = prove(&read(&text));
    let finding = proof
        .findings
        .iter()
        .find(|finding| finding.id == "runs-dry")
        .unwrap();
    let remedy = finding.remedy.as_ref().unwrap();
    assert!(remedy.tried);
    assert_eq!(remedy.edits[0].path, "vessels.low.low_cutout_level");
}

/// A narrow spout makes a bucket slow; as wide as it is, it isn't.
#[test]
fn a_slow_bucket_is_told() {
    assert!(finds(&prove(&read(&tap(6.0))), "bucket-slow"));
    assert!(!finds(&prove(&read(&tap(19.1))), "bucket-slow"));
}

/// Two vessels of different size level out: each level is where both hold what both held.
#[test]
fn two_vessels_level_out() {
    let text = r#"
title = "level"
[vessels.wide]
holds = "fresh"
shape = "box"
length = "2 m"
width = "1 m"
height = "1 m"
outlet_level = "0 mm"
start_level = "100 mm"
stop_level = "800 mm"
[vessels.slim]
holds = "fresh"
shape = "box"
length = "1 m"
width = "1 m"
height = "1 m"
outlet_level = "0 mm"
start_level = "200 mm"
stop_level = "800 mm"
[lines.between]
from = "wide"
to = "slim"
to_level = "0 mm"
tube = "schedule 40 pipe"
size = "1 in"
length = "2 m"
[lineups.even]
from = "wide"
to = "slim"
"#;
    let proof = prove(&read(text));
    let moment = &proof.lineups.as_ref().unwrap().lineups[0].moments[0];
    assert_eq!(moment.ending, Some(Ending::Level));
    // From 0.8 and 0.2 m: 0.6 m by 2 : 1 is level after 0.4 m3; it ends a little before, at 1 % of the flow.
    let moved = moment.moved_m3.unwrap();
    assert!((0.39..0.4001).contains(&moved), "{moved}");
}

/// The network of a task at any levels: what enters a tee leaves it, and the pump lifts what the lines take.
#[test]
fn flows_of_a_task_balance() {
    let station = read(SKELDER);
    for lineup in &station.lineups {
        for situation in Situation::named(&station) {
            let flows = proof::flows(&station, &lineup.name, &situation).unwrap();
            assert!(flows.residual_m3_per_s < 1e-12, "{}", lineup.name);
            assert!(flows.iterations < 60, "{}: {}", lineup.name, flows.iterations);
        }
    }
    assert!(proof::flows(&station, "nothing", &Situation::full(&station)).is_err());
}
