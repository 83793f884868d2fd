//! Findings on the plumbing of the examples: each is there with its cause, and not without it.

use proof::{Finding, Proof, prove};
use station::{Edit, Station, edit};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");
const JUNIPER: &str = include_str!("../../../stations/juniper-street-school.toml");

fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// An example with fields set, each to a quoted text unless it is a number or a word of the language.
fn with(text: &str, edits: &[(&str, &str)]) -> Proof {
    let edits: Vec<Edit> = edits
        .iter()
        .map(|(path, text)| Edit {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        })
        .collect();
    prove(&read(
        &edit::apply(text, &edits).unwrap_or_else(|error| panic!("{error}")),
    ))
}

/// The text without lines that begin so.
fn without(text: &str, begins: &str) -> String {
    let lines: Vec<&str> = text.lines().filter(|line| !line.starts_with(begins)).collect();
    lines.join("\n")
}

fn find<'p>(proof: &'p Proof, id: &str) -> Option<&'p Finding> {
    proof.findings.iter().find(|finding| finding.id == id)
}

/// Fresh and salt water share Larkhaven's suction and riser; the school has one water and one line.
#[test]
fn shared_lines_are_flushed_first() {
    let proof = with(LARKHAVEN, &[]);
    let finding = find(&proof, "flush-first").expect("told");
    assert!(finding.sentence.contains("riser"), "{}", finding.sentence);
    assert!(find(&with(JUNIPER, &[]), "flush-first").is_none());
}

/// A salt vessel that is stirred by its pump, with the salt at its outlet, unless the pump takes grains.
#[test]
fn grains_go_through_the_pump() {
    assert!(find(&with(LARKHAVEN, &[]), "grains-in-pump").is_some());
    let hard = with(LARKHAVEN, &[("pumps.bracket.takes_grains", "true")]);
    assert!(find(&hard, "grains-in-pump").is_none());
}

/// 540 W into 270 L are 1.7 °C in an hour; 39 W are a tenth of a degree.
#[test]
fn a_strong_pump_warms_the_batch() {
    assert!(find(&with(LARKHAVEN, &[]), "pump-warms").is_none());
    let proof = with(LARKHAVEN, &[("pumps.bracket.power", "\"900 W\"")]);
    let finding = find(&proof, "pump-warms").expect("told");
    // 540 W x 3600 s / (0.27 m3 x 1025 kg/m3 x 3993 J/(kg K)) = 1.76 K. The finding prints three digits.
    assert!(finding.sentence.contains("1.7"), "{}", finding.sentence);
}

/// Water through a bore of 19 mm runs faster to the pump than through one of 32 mm.
#[test]
fn a_narrow_suction_is_fast() {
    let narrow = with(LARKHAVEN, &[("lines.pump-suction.size", "\"19 mm\"")]);
    assert!(find(&narrow, "suction-fast").is_some());
    let wide = with(LARKHAVEN, &[("lines.pump-suction.size", "\"40 mm\"")]);
    assert!(find(&wide, "suction-fast").is_none());
}

/// Thirty metres of soft hose before the pump, and it draws against all of them; ribbed hose bears it.
#[test]
fn a_soft_suction_is_pressed_flat() {
    let long = ("lines.pump-suction.length", "\"30 m\"");
    let soft = with(
        LARKHAVEN,
        &[
            long,
            ("lines.pump-suction.tube", "\"vinyl hose\""),
            (
                "pumps.bracket.curve",
                "[[\"0 L/min\", \"20 m\"], [\"45 L/min\", \"10 m\"], [\"90 L/min\", \"0 m\"]]",
            ),
        ],
    );
    let finding = find(&soft, "suction-collapses");
    let inlet: Vec<f64> = soft
        .lineups
        .iter()
        .flat_map(|all| &all.pumps)
        .map(|work| work.inlet_gauge_pressure_pa)
        .collect();
    assert!(finding.is_some(), "{inlet:?}");
    let ribbed = with(LARKHAVEN, &[long]);
    assert!(find(&ribbed, "suction-collapses").is_none());
}

/// Without its valve the line over the rim takes a share of every task that the pump does.
#[test]
fn a_missing_valve_is_told() {
    assert!(find(&with(LARKHAVEN, &[]), "lineup-not-alone").is_none());
    let text = without(LARKHAVEN, "over-the-rim = ").replace("pump-outlet, over-the-rim\"", "pump-outlet\"");
    let proof = prove(&read(&text));
    let finding = find(&proof, "lineup-not-alone").expect("told");
    assert!(
        finding.sentence.contains("over the rim") && finding.sentence.contains("has no valve: add one"),
        "{}",
        finding.sentence
    );
    let lineup = proof
        .lineups
        .iter()
        .flat_map(|all| &all.lineups)
        .find(|lineup| finding.place == format!("lineups.{}", lineup.name))
        .expect("its task");
    assert!(lineup.valves_open.is_none() && lineup.moments.iter().all(|moment| moment.flow.is_none()));
    assert!(lineup.strays.iter().any(|stray| stray.line == "over-the-rim"));
}

/// A tap above the water gets none; lower by half a metre it does.
#[test]
fn a_tap_above_the_water_gets_none() {
    assert!(find(&with(LARKHAVEN, &[]), "lineup-not-found").is_none());
    let proof = with(
        LARKHAVEN,
        &[
            ("draw_points.salt-tap.height", "\"1340 mm\""),
            ("lines.salt-spout.length", "\"1.6 m\""),
        ],
    );
    let finding = find(&proof, "lineup-not-found").expect("told");
    assert_eq!(finding.place, "lineups.salt-bucket");
    assert!(finding.sentence.contains("by gravity"), "{}", finding.sentence);
}

/// A way that needs both ways of a three-way valve, or a pump that its interlock stops, is none; others are still found.
#[test]
fn a_way_that_is_held_is_not_found() {
    for (edit, held) in [
        (
            ("valves.pump-spout.three_way_with", "\"salt-outlet\""),
            &["lineups.tall-bucket"][..],
        ),
        (
            ("pumps.bracket.runs_only_with", "\"jet, over-the-rim\""),
            &["lineups.tall-bucket", "lineups.touch-pool-change"],
        ),
    ] {
        let proof = with(LARKHAVEN, &[edit]);
        let told: Vec<&Finding> = proof
            .findings
            .iter()
            .filter(|finding| finding.id == "lineup-not-found")
            .collect();
        let mut places: Vec<&str> = told.iter().map(|finding| finding.place.as_str()).collect();
        places.sort_unstable();
        assert_eq!(places, held);
        let why =
            "needs both ways of a three-way valve open, or a pump that its interlock (runs_only_with) stops";
        for finding in told {
            assert!(finding.sentence.contains(why), "{}", finding.sentence);
        }
    }
}

/// By gravity over a crest above the water it runs only as a siphon.
#[test]
fn a_siphon_must_be_started() {
    assert!(find(&with(JUNIPER, &[]), "siphon-to-start").is_none());
    let proof = with(
        JUNIPER,
        &[
            ("lines.spigot.crest", "\"56 in\""),
            ("lines.spigot.length", "\"9 ft\""),
        ],
    );
    let finding = find(&proof, "siphon-to-start").expect("told");
    assert!(finding.sentence.contains("by mouth"), "{}", finding.sentence);
}

/// What a change brings must have gone out before: 90 L into a tank of 900 L that takes a twentieth of them, 45 L (house
/// rule), or what its owner measured.
#[test]
fn a_tank_is_drained_before_it_is_filled() {
    let headroom = |told: &'static str| ("tanks.touch-pool.headroom", told);
    let volume = |told: &'static str| ("lineups.touch-pool-change.volume", told);
    for (edits, says) in [
        (&[][..], Some(["90 L", "45 L"])),
        (&[headroom("\"89 L\"")], Some(["90 L", "89 L"])),
        (&[headroom("\"90 L\"")], None),
        (&[volume("\"45 L\"")], None),
        (&[volume("\"60 L\"")], Some(["60 L", "45 L"])),
    ] {
        let proof = with(LARKHAVEN, edits);
        let told = find(&proof, "drain-first").map(|finding| finding.sentence.clone());
        let expected = says.map(|[brings, takes]| {
            format!(
                "Touch pool change brings {brings}, and touch pool takes {takes} on top: drain as much from it first."
            )
        });
        assert_eq!(told, expected, "{edits:?}");
    }
    // Nothing leads into the school's tank.
    assert!(find(&with(JUNIPER, &[]), "drain-first").is_none());
}
