//! The two examples tell their stories, and every figure of theirs keeps its promises.

use proof::{Proof, Severity, method, prove};
use station::{Edit, Station, edit};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");
const JUNIPER: &str = include_str!("../../../stations/juniper-street-school.toml");
const SKELDER: &str = include_str!("../../../stations/skelder-hatchery.toml");

fn read(text: &str) -> Station {
    Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn ids(proof: &Proof, severity: Severity) -> Vec<&'static str> {
    proof.of_severity(severity).map(|finding| finding.id).collect()
}

/// Larkhaven is nearly right: two things that must be fixed, five that should.
#[test]
fn larkhaven_keeps_its_story() {
    let proof = prove(&read(LARKHAVEN));
    assert_eq!(
        ids(&proof, Severity::Must),
        ["fresh-reserve", "mistake-salt-into-fresh"]
    );
    assert_eq!(
        ids(&proof, Severity::Should),
        [
            "backup-too-near",
            "runs-dry",
            "poured-too-high",
            "mistake-to-floor",
            "mistake-over-rim"
        ]
    );
    for finding in proof
        .of_severity(Severity::Must)
        .chain(proof.of_severity(Severity::Should))
    {
        assert!(
            finding.remedy.as_ref().is_some_and(|remedy| remedy.tried),
            "{}",
            finding.id
        );
        assert!(finding.line.is_some(), "{} has no place", finding.id);
    }
}

/// Juniper Street School is a beginner's first try; the gravest is a batch that thins itself.
#[test]
fn juniper_street_school_keeps_its_story() {
    let proof = prove(&read(JUNIPER));
    assert_eq!(
        ids(&proof, Severity::Must),
        [
            "salt-top-off",
            "salt-fills-itself",
            "reject-never-stops",
            "carbon-too-small-for-chloramine"
        ]
    );
    let should = ids(&proof, Severity::Should);
    for id in [
        "mixed-too-warm",
        "bucket-slow",
        "changes-too-small",
        "not-for-liquids",
        "nothing-measures-salinity",
    ] {
        assert!(should.contains(&id), "{id} is missing from {should:?}");
    }
}

/// Skelder Hatchery is sound but for three wrong moves that no part clears: each thins a batch while another is filled. On
/// the days of the borehole its resin goes to carbon dioxide.
#[test]
fn skelder_hatchery_keeps_its_story() {
    let station = read(SKELDER);
    let proof = prove(&station);
    assert_eq!(proof.verdict, "Sound, with three things worth fixing.");
    assert_eq!(
        ids(&proof, Severity::Should),
        [
            "mistake-fresh-into-salt",
            "mistake-fresh-into-salt",
            "mistake-over-rim"
        ]
    );
    let notes = |proof: &Proof| ids(proof, Severity::Note);
    assert!(!notes(&proof).contains(&"gas-load-dominates"));
    let then = prove(&station.in_feed_state("borehole").unwrap());
    assert!(notes(&then).contains(&"gas-load-dominates"));
    let lives = |proof: &Proof| proof.figure("run.resin-life").unwrap().value;
    assert!(lives(&then) < 0.4 * lives(&proof));
}

/// A year's need by hand: in the coldest month the winter's top-off, half a year later the summer's, and each time what
/// goes into salt water. Larval rings alone is computed, and its two figures are asked for.
#[test]
fn the_need_of_a_month_is_top_off_and_salt_water() {
    let proof = prove(&read(SKELDER));
    let figure = |key: &str| proof.figure(key).unwrap_or_else(|| panic!("{key}")).value;
    let in_salt = figure("fresh-for-salt");
    let a_day = 1e-3 / 86_400.0;
    let made = proof.supply.purifier.as_ref().unwrap();
    let need = |at: usize| made.months[at].need_m3_per_s.as_ref().unwrap().value;
    let winter = (60.0 + 38.0) * a_day + figure("larval-rings.evaporation-winter") + in_salt;
    let summer = (48.0 + 30.0) * a_day + figure("larval-rings.evaporation-summer") + in_salt;
    assert!((need(1) / winter - 1.0).abs() < 1e-12, "{} {winter}", need(1));
    assert!((need(7) / summer - 1.0).abs() < 1e-12, "{} {summer}", need(7));
}

/// Larkhaven's litre by hand, from the prices of its file and what each part serves.
#[test]
fn a_litre_costs_what_its_parts_cost() {
    let proof = prove(&read(LARKHAVEN));
    let made = proof.supply.purifier.as_ref().unwrap();
    let part = |name: &str| {
        made.cost_parts
            .iter()
            .find(|part| part.part == name)
            .unwrap()
            .per_m3
            .value
    };
    let serves = |name: &str| {
        made.filters
            .iter()
            .find(|row| row.name == name)
            .unwrap()
            .life_m3
            .value
    };
    let by_hand = 6.0 / serves("sediment") + 14.0 / serves("carbon");
    assert!((part("filters") / by_hand - 1.0).abs() < 1e-12);
    // 15 EUR/L for 0.55 L.
    let life = made.run.resin_life_m3.as_ref().unwrap().value;
    assert!((part("resin") / (15.0 * 0.55 / life) - 1.0).abs() < 1e-12);
    // 58 EUR in three years of 57 L a day.
    let three_years = 3.0 * 365.25 * 86_400.0 * proof.needs.fresh_m3_per_s;
    assert!((part("membranes") / (58.0 / three_years) - 1.0).abs() < 1e-12);
    // 4.80 EUR/m3 for all the feed, 20 L a membrane thrown away, 10 L through new carbon.
    let feed = (1.0 + made.run.reject_ratio.value) * (1.0 + 0.020 / three_years) + 0.010 / serves("carbon");
    assert!((part("tap water") / (4.8 * feed) - 1.0).abs() < 1e-12);
}

/// Taking every offered remedy of Larkhaven, and those that are offered then, leaves nothing to fix. When the wrong moves
/// that lead have been cleared, the next ones lead. Nothing but wrong moves that no part clears is left then.
#[test]
fn the_remedies_of_larkhaven_work_together() {
    let mut text = LARKHAVEN.to_owned();
    for _ in 0..6 {
        let proof = prove(&read(&text));
        let edits: Vec<Edit> = proof
            .findings
            .iter()
            .filter(|finding| finding.severity > Severity::Note)
            .filter_map(|finding| finding.remedy.as_ref())
            .flat_map(|remedy| remedy.edits.iter().map(proof::RemedyEdit::edit))
            .collect();
        if edits.is_empty() {
            // Three wrong moves stay that no part clears: the pump draws from whatever is open.
            let left: Vec<&str> = proof
                .findings
                .iter()
                .filter(|finding| finding.severity > Severity::Note)
                .map(|finding| finding.id)
                .collect();
            let thinned = "mistake-fresh-into-salt";
            assert_eq!(left, [thinned, thinned, "mistake-wrong-water-drawn"]);
            return;
        }
        text = edit::apply(&text, &edits).unwrap();
    }
    panic!("remedies without end:\n{text}");
}

/// What is shown as the inputs is what was used: each figure comes out again from its printed inputs.
#[test]
fn every_figure_comes_out_of_its_printed_inputs() {
    for text in [LARKHAVEN, JUNIPER, SKELDER] {
        let proof = prove(&read(text));
        assert!(proof.figures.len() > 20);
        for figure in &proof.figures {
            let inputs: Vec<f64> = figure.inputs.iter().map(|input| input.value).collect();
            let method = method(figure.method).expect(figure.method);
            // A network is solved for all its tasks together; `plumbing.rs` holds what comes of it.
            if matches!(method.evaluate(&[1.0]), Err(proof::Refusal::Solved)) {
                assert!(inputs.len() > 4, "{} rests on its lines", figure.key);
                continue;
            }
            let again = method.evaluate(&inputs).expect(&figure.key);
            assert_eq!(again.to_bits(), figure.value.to_bits(), "{}", figure.key);
            if let (Some(low), Some(high)) = (figure.low, figure.high) {
                assert!(
                    low <= high && low.is_finite() && high.is_finite(),
                    "{}",
                    figure.key
                );
                // A figure may sit at an end of a lopsided interval, never far outside it.
                let slack = 0.05 * (high - low);
                assert!(
                    figure.value >= low - slack && figure.value <= high + slack,
                    "{}: {low} {} {high}",
                    figure.key,
                    figure.value
                );
            }
        }
        let mut keys: Vec<&str> = proof.figures.iter().map(|figure| figure.key.as_str()).collect();
        let count = keys.len();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), count, "two figures share a key");
        for finding in &proof.findings {
            for key in &finding.figures {
                assert!(
                    proof.figure(key).is_some(),
                    "{} names the figure {key}, which isn't there",
                    finding.id
                );
            }
        }
    }
}

#[test]
fn the_same_file_gives_the_same_bytes() {
    for text in [LARKHAVEN, JUNIPER, SKELDER] {
        let bytes = || serde_json::to_string(&prove(&read(text))).unwrap();
        let first = bytes();
        assert_eq!(first, bytes());
        let on_a_thread = std::thread::scope(|scope| scope.spawn(bytes).join().unwrap());
        assert_eq!(first, on_a_thread);
    }
}

fn edited(text: &str, path: &str, value: &str) -> Proof {
    prove(&read(
        &edit::apply(text, &[Edit::quoted(path, value)]).expect("the edit"),
    ))
}

/// JCGM 101: for one normal input through a linear model the 95 % points are 1.96 u; a `±` is 2 u.
/// 1 %: 256 stratified draws place a 2.5 % point to a tenth of a slice.
#[test]
fn intervals_follow_their_inputs() {
    let width = |spread: &str| {
        let proof = edited(
            LARKHAVEN,
            "vessels.fresh.stop_level",
            &format!("880 mm ± {spread} mm"),
        );
        proof.figure("fresh.run").unwrap().half_width().unwrap()
    };
    assert!(
        width("5") < width("10") && width("10") < width("20"),
        "an interval grows with its input"
    );

    let text = LARKHAVEN
        .replace("710 mm ± 4 mm", "710 mm")
        .replace("1010 mm ± 4 mm", "1010 mm")
        .replace("260 mm ± 5 mm", "260 mm")
        .replace("880 mm ± 5 mm", "880 mm ± 10 mm");
    let run = prove(&read(&text))
        .figure("fresh.run")
        .unwrap()
        .half_width()
        .unwrap();
    let expected = 1.959_964 / 2.0 * 0.010 * core::f64::consts::FRAC_PI_4 * 0.710 * 0.710;
    assert!((run / expected - 1.0).abs() < 0.01, "{run} against {expected}");
}

/// Common practice, no source: a bag sold for 190 L is one fill of a 208 L drum that stays below the rim.
#[test]
fn one_bag_for_190_litres_fits_a_208_litre_drum() {
    let text = r#"
title = "a drum"
[vessels.drum]
holds = "salt"
shape = "cylinder"
diameter = "572 mm"
height = "851 mm"
nominal_volume = "208 L"
target_salinity = 35
[salt]
label = "7 kg makes 190 L at 35 and 25 C"
bag = "7 kg"
[instruments.hand]
kind = "refractometer"
accuracy = 0.7
"#;
    let proof = prove(&read(text));
    let batch = &proof.batch.vessels[0];
    let finished = batch.one_bag_finished_m3.unwrap();
    assert!((0.188..0.194).contains(&finished), "{finished}");
    assert!(batch.one_bag_finished_level_m.unwrap() < 0.851 - 0.04);
    assert!(
        proof
            .figure("drum.one-bag-finished")
            .unwrap()
            .title
            .contains("35"),
        "the line names its salinity"
    );
}

/// Handbook section 10, exact arithmetic: nitrate +1 mg/L a day, weekly 15 %: 46.7 before each change.
#[test]
fn a_pollutant_settles_where_the_handbook_says() {
    let text = LARKHAVEN
        .replace("change = \"90 L\"", "change = \"135 L\"")
        .replace(
            "pollutant_rise = \"0.4 mg/L/day\"",
            "pollutant_rise = \"1 mg/L/day\"",
        );
    let proof = prove(&read(&text));
    let before = proof.needs.tanks[0].pollutant_before_change_kg_m3.unwrap();
    assert!((before * 1e3 - 46.666_67).abs() < 1e-4, "{before}");
    // 1 %/day topped off with water of 35 for 30 days: +10.5 (same section).
    let salty = edited(LARKHAVEN, "tanks.touch-pool.top_off", "salt");
    let drift = salty.figure("touch-pool.drift").unwrap();
    assert!((drift.value - 34.5 * 0.01 * 30.0).abs() < 1e-9, "{}", drift.value);
}

/// The moments with names and the figures drawn from them tell the same: water above the lowest drawable level.
#[test]
fn drawable_water_follows_the_named_moments() {
    for text in [LARKHAVEN, JUNIPER, SKELDER] {
        let station = read(text);
        let proof = prove(&station);
        for (moment, situation) in station::Situation::named(&station).iter().enumerate() {
            for (vessel, (levels, now)) in station
                .vessels
                .iter()
                .zip(proof.levels.vessels.iter().zip(&situation.vessels))
            {
                let volume = |level_m: f64| vessel.shape.volume_m3(level_m).expect("a level inside");
                let expected = (volume(now.level_m) - volume(station::lowest_drawable_m(vessel))).max(0.0);
                let got = levels.drawable_m3[moment];
                // 1e-12 m3: the level of a batch goes to a volume and back.
                assert!(
                    (got - expected).abs() < 1e-12,
                    "{} {}: {got} against {expected}",
                    vessel.name,
                    situation.name
                );
            }
        }
    }
}

/// A cure never makes another finding worse: all of Juniper's together leave only what no edit can mend.
#[test]
fn the_remedies_of_juniper_work_together() {
    let before = prove(&read(JUNIPER));
    let edits: Vec<Edit> = before
        .findings
        .iter()
        .filter_map(|finding| finding.remedy.as_ref())
        .flat_map(|remedy| remedy.edits.iter().map(proof::RemedyEdit::edit))
        .collect();
    assert!(edits.len() >= 5);
    let after = prove(&read(&edit::apply(JUNIPER, &edits).unwrap()));
    // A note may come up once something graver is out of the way.
    for finding in after
        .findings
        .iter()
        .filter(|finding| finding.severity > Severity::Note)
    {
        let old = before
            .findings
            .iter()
            .find(|old| old.id == finding.id && old.place == finding.place);
        assert!(
            old.is_some_and(|old| old.remedy.is_none()),
            "{} is new or came back: {}",
            finding.id,
            finding.sentence
        );
    }
}

/// What follows a hand is the whole check's own: each figure of the sketch has the value that `prove` gives it.
#[test]
fn a_sketch_has_the_figures_of_the_proof() {
    for (name, text) in [
        ("Larkhaven", LARKHAVEN),
        ("Juniper Street", JUNIPER),
        ("Skelder", SKELDER),
    ] {
        let station = read(text);
        let (sketch, whole) = (proof::sketch(&station), prove(&station));
        assert!(sketch.figures.len() > 20, "{name}: {}", sketch.figures.len());
        for figure in &sketch.figures {
            let own = whole
                .figure(&figure.key)
                .unwrap_or_else(|| panic!("{name}: {}", figure.key));
            assert!(
                figure.value == own.value || figure.value.is_nan() && own.value.is_nan(),
                "{name}, {}: {} for {}",
                figure.key,
                figure.value,
                own.value
            );
            assert_eq!(
                (figure.low, figure.high),
                (None, None),
                "{name}, {}: no doubt yet",
                figure.key
            );
        }
        assert_eq!(sketch.levels.vessels.len(), whole.levels.vessels.len(), "{name}");
        let shares = |proof: &Proof| proof.supply.purifier.as_ref().map(|own| own.doubts.len());
        assert!(shares(&sketch) == Some(0) && shares(&whole) > Some(0), "{name}");
    }
}

/// A mark goes to the nearest place that one can mark, in the owner's units, and keeps its ±.
#[test]
fn a_mark_goes_to_the_nearest_place() {
    let (si, us) = (read(LARKHAVEN), read(JUNIPER));
    for (station, path, level_m, text) in [
        (&si, "vessels.fresh.stop_level", 0.8524, "\"850 mm ± 5 mm\""),
        (&si, "vessels.fresh.stop_level", 0.8526, "\"855 mm ± 5 mm\""),
        (&si, "vessels.fresh.stop_level", 0.0, "\"0 mm ± 5 mm\""),
        (
            &us,
            "vessels.drum.backup_level",
            33.1 * 0.0254,
            "\"33 in ± 1/2 in\"",
        ),
        (
            &us,
            "vessels.drum.backup_level",
            33.15 * 0.0254,
            "\"33 1/4 in ± 1/2 in\"",
        ),
    ] {
        assert_eq!(
            proof::mark_edit(station, path, level_m).text,
            text,
            "{path}, {level_m}"
        );
    }
}
