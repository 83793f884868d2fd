//! Each finding about the water that is made: an edit that raises it, and the cure that clears it.

use std::path::{Path, PathBuf};

use proof::{Proof, Severity, prove};
use station::{Edit, Station, edit};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");
const JUNIPER: &str = include_str!("../../../stations/juniper-street-school.toml");
const SKELDER: &str = include_str!("../../../stations/skelder-hatchery.toml");

#[track_caller]
fn proved(text: &str) -> Proof {
    match Station::read(text) {
        Ok(station) => prove(&station),
        Err(faults) => panic!("{:?}", faults.iter().map(|fault| &fault.what).collect::<Vec<_>>()),
    }
}

/// A file, edits as (path, value as in the file), the finding, its severity, whether a cure is offered.
struct Case(
    &'static str,
    &'static [(&'static str, &'static str)],
    &'static str,
    Severity,
    bool,
);

use Severity::{Must, Note, Should};

#[rustfmt::skip]
const CASES: &[Case] = &[
    Case(LARKHAVEN, &[("feed.pressure", "\"0.9 bar\""), ("feed.conductivity", "\"3 mS/cm\"")], "gives-no-water", Must, true),
    Case(LARKHAVEN, &[("feed.pressure", "\"0.2 bar\"")], "gives-no-water", Must, false),
    Case(LARKHAVEN, &[("tanks.touch-pool.evaporation", "\"120 L/day\"")], "too-little-water", Must, true),
    Case(LARKHAVEN, &[("tanks.touch-pool.evaporation", "\"82 L/day\"")], "margin-thin", Should, true),
    Case(LARKHAVEN, &[("purifier.control", "\"attended\""), ("purifier.hours_a_day", "\"4 h\"")], "too-little-water", Must, true),
    Case(LARKHAVEN, &[], "drain-costs-most", Note, false),
    Case(JUNIPER, &[("vessels.drum.fill", "\"by hand\"")], "no-fresh-vessel", Note, false),
    Case(LARKHAVEN, &[], "rated-is-not-made", Note, false),
    Case(LARKHAVEN, &[("feed.pressure", "\"2.4 bar\"")], "pressure-too-low", Should, true),
    Case(LARKHAVEN, &[("feed.pressure", "\"9 bar\"")], "pressure-too-high", Should, true),
    Case(LARKHAVEN, &[("purifier.booster_pressure", "\"8 bar\""), ("purifier.booster_cutout", "\"0.5 bar\"")], "pressure-too-high", Should, false),
    Case(LARKHAVEN, &[("purifier.restrictor_flow", "\"150 mL/min\"")], "restrictor-wrong", Should, true),
    Case(LARKHAVEN, &[("purifier.restrictor_flow", "\"1500 mL/min\"")], "restrictor-wrong", Should, true),
    Case(JUNIPER, &[("feed.ph", "8.2"), ("purifier.waste_ratio", "1.8")], "recovery-too-high", Should, true),
    Case(LARKHAVEN, &[("purifier.feed_valve", "false"), ("purifier.shut_off", "\"leaks\"")], "reject-never-stops", Must, true),
    Case(JUNIPER, &[], "reject-never-stops", Must, true),
    Case(LARKHAVEN, &[("purifier.control", "\"timer\""), ("purifier.hours_a_day", "\"12 h\""), ("purifier.feed_valve", "false"), ("purifier.shut_off", "\"none\"")], "reject-never-stops", Must, true),
    Case(LARKHAVEN, &[("purifier.control", "\"float alone\""), ("purifier.shut_off", "\"none\"")], "reject-never-stops", Must, true),
    Case(LARKHAVEN, &[("purifier.check_valve", "false")], "no-check-valve", Note, true),
    Case(LARKHAVEN, &[("purifier.booster_pressure", "\"5.5 bar\"")], "booster-without-cutout", Should, false),
    Case(LARKHAVEN, &[("purifier.booster_pressure", "\"5.5 bar\""), ("purifier.booster_cutout", "\"4.5 bar\"")], "booster-never-starts", Must, true),
    Case(LARKHAVEN, &[("filters.carbon.fineness", "\"10 um\"")], "filter-behind-a-finer-one", Note, false),
    Case(LARKHAVEN, &[("purifier.control", "\"attended\"")], "hours-unknown", Note, false),
    Case(JUNIPER, &[], "feed-guessed", Note, false),
    Case(LARKHAVEN, &[], "gas-load-dominates", Note, true),
    Case(LARKHAVEN, &[("filters.carbon.kind", "\"sediment\"")], "no-carbon", Must, false),
    Case(LARKHAVEN, &[("filters.carbon.kind", "\"sediment\""), ("feed.free_chlorine", "\"0 mg/L\""), ("feed.chloramine", "\"1 mg/L\"")], "no-carbon", Must, false),
    Case(LARKHAVEN, &[("filters.carbon.kind", "\"sediment\""), ("filters.sediment.kind", "\"granular carbon\"")], "carbon-of-unknown-size", Note, false),
    Case(LARKHAVEN, &[("filters.carbon.kind", "\"granular carbon\""), ("filters.carbon.rated_flow", "\"100 mL/min\"")], "carbon-too-small", Should, true),
    Case(JUNIPER, &[], "carbon-too-small-for-chloramine", Must, true),
    Case(JUNIPER, &[], "ammonia-loads-resin", Note, false),
    Case(LARKHAVEN, &[("filters.carbon.change_every", "\"6 months\"")], "carbon-spent-early", Should, true),
    Case(LARKHAVEN, &[("vessels.fresh.start_level", "\"875 mm\""), ("purifier.hold_up", "\"300 mL\"")], "run-too-short", Should, true),
    Case(LARKHAVEN, &[("purifier.control", "\"float alone\"")], "run-too-short", Should, true),
    Case(LARKHAVEN, &[], "longer-runs-save-little", Note, false),
    Case(LARKHAVEN, &[("vessels.fresh.start_level", "\"870 mm\""), ("feed.ph", "8.6"), ("purifier.hold_up", "\"200 mL\""), ("feed.price", "\"0.5 EUR/m3\""), ("filters.carbon.change_every", "\"2 weeks\"")], "flush-pays", Note, true),
    Case(LARKHAVEN, &[], "natural-water", Note, false),
    Case(LARKHAVEN, &[("delivered.bay.salinity", "31")], "delivered-at-other-salinity", Should, false),
    Case(LARKHAVEN, &[("delivered.bay.salinity", "38")], "delivered-at-other-salinity", Should, false),
    Case(LARKHAVEN, &[("delivered.bay.holds", "\"fresh\""), ("delivered.bay.kind", "\"purified\""), ("delivered.bay.price", "\"1 ct/L\"")], "delivered-is-cheaper", Note, false),
    Case(LARKHAVEN, &[("delivered.bay.holds", "\"fresh\""), ("delivered.bay.kind", "\"purified\""), ("delivered.bay.conductivity", "\"90 uS/cm\"")], "delivered-not-pure", Should, false),
    Case(LARKHAVEN, &[("delivered.bay.holds", "\"fresh\""), ("delivered.bay.kind", "\"purified\"")], "delivery-too-late", Should, false),
    Case(LARKHAVEN, &[("delivered.bay.volume", "\"400 L\"")], "delivery-larger-than-stores", Should, false),
    Case(LARKHAVEN, &[], "call-in-time", Note, false),
    Case(LARKHAVEN, &[("delivered.bay.notice", "\"4 weeks\"")], "delivery-too-late", Should, false),
    Case(LARKHAVEN, &[("delivered.bay.holds", "\"fresh\""), ("delivered.bay.kind", "\"purified\""), ("delivered.bay.every", "\"4 days\"")], "delivered-is-enough", Note, false),
    Case(LARKHAVEN, &[("purifier.booster_pressure", "\"3 bar\""), ("purifier.booster_cutout", "\"0.5 bar\"")], "booster-adds-nothing", Should, true),
    Case(SKELDER, &[("purifier.booster_cutout", "\"3 bar\"")], "booster-starves", Must, true),
    Case(SKELDER, &[("purifier.booster_cutout", "\"2.5 bar\"")], "booster-starves-when-filters-are-due", Should, true),
    Case(LARKHAVEN, &[("purifier.control", "\"attended\""), ("purifier.shut_off", "\"none\""), ("purifier.feed_valve", "false")], "nothing-ends-a-run", Must, true),
    Case(LARKHAVEN, &[("purifier.feed_valve", "false")], "nothing-to-switch", Should, true),
    Case(LARKHAVEN, &[("purifier.hours_a_day", "\"3 h\"")], "hours-without-a-clock", Note, false),
    Case(SKELDER, &[("feed.chloramine", "\"2 mg/L\""), ("filters.carbon.rated_chloramine_volume", "\"3000 L\""), ("filters.carbon.rated_flow", "\"1 L/min\"")], "carbon-too-small-for-chloramine", Must, false),
    Case(LARKHAVEN, &[("purifier.reducer", "\"2.2 bar\"")], "pressure-too-low", Should, true),
    Case(SKELDER, &[], "evaporation-computed", Note, false),
];

fn edited(text: &str, edits: &[(&str, &str)]) -> String {
    // Fresh water has no salinity: the delivery that becomes fresh loses its own.
    let fresh = edits.contains(&("delivered.bay.holds", "\"fresh\""));
    let kept = match fresh {
        true => text.replace("salinity = 34.2\n", ""),
        false => text.to_owned(),
    };
    let edits: Vec<Edit> = edits
        .iter()
        .map(|(path, text)| Edit {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        })
        .collect();
    edit::apply(&kept, &edits).expect("it can be edited")
}

#[test]
fn each_finding_is_raised_and_its_cure_clears_it() {
    let mut missed = Vec::new();
    let unchanged = [LARKHAVEN, JUNIPER, SKELDER].map(|text| (text, proved(text)));
    for Case(text, edits, id, severity, cure) in CASES {
        let changed = edited(text, edits);
        let proof = proved(&changed);
        let Some(finding) = proof.findings.iter().find(|finding| finding.id == *id) else {
            let ids: Vec<&str> = proof.findings.iter().map(|finding| finding.id).collect();
            missed.push(format!("{id} with {edits:?} is not among {ids:?}"));
            continue;
        };
        if finding.severity != *severity {
            missed.push(format!("{id} with {edits:?} is {:?}", finding.severity));
        }
        for key in &finding.figures {
            assert!(proof.figure(key).is_some(), "{id}: no figure {key}");
        }
        if !edits.is_empty()
            && unchanged
                .iter()
                .filter(|(own, _)| own == text)
                .flat_map(|(_, own)| &own.findings)
                .any(|f| f.id == *id && f.severity == *severity)
        {
            missed.push(format!("{id} is there without {edits:?}"));
        }
        match (&finding.remedy, cure) {
            (None, true) => missed.push(format!("{id} with {edits:?} has no cure")),
            (Some(remedy), false) => missed.push(format!("{id} has a cure: {}", remedy.sentence)),
            (None, false) => {}
            (Some(remedy), true) => {
                if !remedy.tried {
                    missed.push(format!("{id} with {edits:?}: never tried: {}", remedy.sentence));
                }
                let mends: Vec<(&str, String)> = remedy
                    .edits
                    .iter()
                    .map(|edit| (edit.path.as_str(), format!("\"{}\"", edit.text)))
                    .collect();
                let mends: Vec<(&str, &str)> =
                    mends.iter().map(|(path, text)| (*path, text.as_str())).collect();
                let mended = proved(&edited(&changed, &mends));
                if mended
                    .findings
                    .iter()
                    .any(|f| f.id == *id && f.place == finding.place)
                {
                    missed.push(format!("{id} with {edits:?} stays after {}", remedy.sentence));
                }
            }
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}

/// Every file below a folder.
fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let mut files = Vec::new();
    for entry in entries {
        let path = entry.expect("an entry").path();
        match path.is_dir() {
            true => files.extend(self::files(&path)),
            false => files.push(path),
        }
    }
    files
}

/// The names of findings in the sources about water made and water delivered.
fn names_in_sources() -> Vec<String> {
    let analysis = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/analysis");
    files(&analysis)
        .iter()
        .filter(|file| {
            let below = file.strip_prefix(&analysis).expect("below it");
            below.starts_with("water") || below.starts_with("delivered") || below.ends_with("delivered.rs")
        })
        .map(|file| std::fs::read_to_string(file).expect("a source"))
        .flat_map(|source| {
            source
                .split("Finding::new(")
                .skip(1)
                .filter_map(|behind| behind.trim_start().strip_prefix('"')?.split('"').next())
                .map(str::to_owned)
                .collect::<Vec<_>>()
        })
        .collect()
}

/// No finding goes without its case: a new one that is only written isn't done.
#[test]
fn each_finding_has_its_case() {
    // The first two stand below, since a section has to go. The last catches what no other refusal did: an input that
    // raises it is a fault of ours.
    const APART: [&str; 3] = ["ammonia-passes", "delivered-too-little", "purifier-not-computed"];
    let names = names_in_sources();
    assert!(names.len() >= 25, "{names:?}");
    let forgotten: Vec<String> = names
        .into_iter()
        .filter(|name| !APART.contains(&name.as_str()) && !CASES.iter().any(|case| case.2 == *name))
        .collect();
    assert!(forgotten.is_empty(), "{forgotten:?}");
}

/// The sentence of a finding.
#[track_caller]
fn sentence(proof: &Proof, id: &str) -> String {
    match proof.findings.iter().find(|finding| finding.id == id) {
        Some(finding) => finding.sentence.clone(),
        None => panic!(
            "no {id} among {:?}",
            proof.findings.iter().map(|f| f.id).collect::<Vec<_>>()
        ),
    }
}

#[test]
fn without_resin_ammonia_passes() {
    let canister = "[resin_beds.canister]\nvolume = \"0.15 gal\"\nprice = \"60 USD/gal\"\n";
    assert!(JUNIPER.contains(canister));
    let proof = proved(&JUNIPER.replace(canister, ""));
    assert!(sentence(&proof, "ammonia-passes").contains("reaches the tanks"));
    assert!(
        proof
            .findings
            .iter()
            .all(|finding| finding.id != "ammonia-loads-resin")
    );
}

/// A switch at no pressure never stops the booster: such a cure would be none.
#[test]
fn no_cure_fits_a_switch_that_never_stops() {
    for bar in ["0.02", "0.1", "0.15", "0.3", "0.8", "2.4"] {
        let pressure = format!("\"{bar} bar\"");
        let proof = proved(&edited(LARKHAVEN, &[("feed.pressure", &pressure)]));
        let cures = proof
            .findings
            .iter()
            .filter_map(|finding| finding.remedy.as_ref());
        for edit in cures.flat_map(|remedy| &remedy.edits) {
            assert!(
                edit.path != "purifier.booster_cutout" || !edit.text.starts_with("0 "),
                "at {bar} bar: {edit:?}"
            );
        }
    }
}

/// Larkhaven without any section about making water, and what its delivery becomes.
fn delivered_only(edits: &[(&str, &str)]) -> Proof {
    let begin = LARKHAVEN.find("[feed]").expect("the feed");
    let end = LARKHAVEN.find("[delivered.bay]").expect("the delivery");
    proved(&edited(
        &format!("{}{}", &LARKHAVEN[..begin], &LARKHAVEN[end..]),
        edits,
    ))
}

/// What is delivered is judged without a purifier too: then all depends on it.
#[test]
fn deliveries_are_judged_without_a_purifier() {
    assert!(sentence(&delivered_only(&[]), "natural-water").contains("brings life"));
    let fresh = [
        ("delivered.bay.holds", "\"fresh\""),
        ("delivered.bay.kind", "\"purified\""),
        ("delivered.bay.conductivity", "\"90 uS/cm\""),
    ];
    let called = delivered_only(&fresh);
    assert!(sentence(&called, "delivered-not-pure").contains("20 µS/cm"));
    assert!(sentence(&called, "delivery-too-late").contains("5 days"));
    // 57 L a day are needed; 250 L in four weeks are 9, in four days 63.
    let every = |time| {
        let mut edits = fresh.to_vec();
        edits.push(("delivered.bay.every", time));
        delivered_only(&edits)
    };
    assert!(sentence(&every("\"4 weeks\""), "delivered-too-little").contains("order more"));
    let enough = every("\"4 days\"");
    assert!(
        enough
            .findings
            .iter()
            .all(|finding| finding.id != "delivered-too-little")
    );
}

/// One name may stand for two opposite faults: the sentence must tell which.
#[test]
fn opposite_faults_are_told_apart() {
    for (edits, id, words) in [
        (
            ("purifier.restrictor_flow", "\"150 mL/min\""),
            "restrictor-wrong",
            "too tight",
        ),
        (
            ("purifier.restrictor_flow", "\"1500 mL/min\""),
            "restrictor-wrong",
            "too open",
        ),
        (
            ("delivered.bay.salinity", "31"),
            "delivered-at-other-salinity",
            "trim it with dry mix",
        ),
        (
            ("delivered.bay.salinity", "38"),
            "delivered-at-other-salinity",
            "thin it",
        ),
    ] {
        let told = sentence(&proved(&edited(LARKHAVEN, &[edits])), id);
        assert!(told.contains(words), "{edits:?}: {told}");
    }
}

/// Only the tank that nobody measured is told of, with its figure.
#[test]
fn computed_evaporation_is_told_of_its_tank() {
    let proof = proved(SKELDER);
    let places: Vec<&str> = proof
        .findings
        .iter()
        .filter(|finding| finding.id == "evaporation-computed")
        .map(|finding| finding.place.as_str())
        .collect();
    assert_eq!(places, ["tanks.larval-rings"]);
    let measured = edited(
        SKELDER,
        &[("tanks.larval-rings.evaporation", "\"25 L/day ± 5 L/day\"")],
    );
    assert!(
        proved(&measured)
            .findings
            .iter()
            .all(|finding| finding.id != "evaporation-computed")
    );
}

/// An odd day tells what it alone makes wrong, and what to test.
#[test]
fn odd_days_tell_what_they_alone_bring() {
    let proof = proved(LARKHAVEN);
    let told: Vec<(&str, Vec<&str>)> = proof
        .feed_states
        .iter()
        .map(|state| {
            let ids = state.findings.iter().map(|finding| finding.id).collect();
            (state.name.as_str(), ids)
        })
        .collect();
    assert_eq!(
        told,
        [
            ("flushing-week", vec![]),
            ("main-repair", vec!["pressure-too-low"]),
            ("hard-frost", vec![]),
        ]
    );
    let tests = |at: usize| proof.feed_states[at].tests.join("; ");
    assert!(tests(0).contains("2.5 mg/L"), "{}", tests(0));
    assert!(tests(0).contains("smell at the tap"), "{}", tests(0));
    assert!(tests(1).contains("pressure at the membrane"), "{}", tests(1));
    assert!(tests(2).contains("fills a jug"), "{}", tests(2));
}
