//! Each finding about the water that is made: an edit that raises it, and the cure that clears it.

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
    Case(LARKHAVEN, &[("feed.pressure", "\"0.1 bar\"")], "gives-no-water", Must, false),
    Case(LARKHAVEN, &[("tanks.touch-pool.evaporation", "\"120 L/day\"")], "too-little-water", Must, true),
    Case(LARKHAVEN, &[("tanks.touch-pool.evaporation", "\"82 L/day\"")], "margin-thin", Should, true),
    Case(LARKHAVEN, &[("purifier.control", "\"attended\""), ("purifier.hours_a_day", "\"4 h\"")], "too-little-water", Must, true),
    Case(LARKHAVEN, &[], "rated-is-not-made", Note, false),
    Case(LARKHAVEN, &[("feed.pressure", "\"2.4 bar\"")], "pressure-too-low", Should, true),
    Case(LARKHAVEN, &[("feed.pressure", "\"9 bar\"")], "pressure-too-high", Should, true),
    Case(LARKHAVEN, &[("purifier.restrictor_flow", "\"150 mL/min\"")], "restrictor-wrong", Should, true),
    Case(LARKHAVEN, &[("purifier.restrictor_flow", "\"1500 mL/min\"")], "restrictor-wrong", Should, true),
    Case(JUNIPER, &[("feed.ph", "8.2"), ("purifier.waste_ratio", "1.8")], "recovery-too-high", Should, true),
    Case(LARKHAVEN, &[("purifier.feed_valve", "false"), ("purifier.shut_off", "\"leaks\"")], "reject-never-stops", Must, true),
    Case(JUNIPER, &[], "reject-never-stops", Must, true),
    Case(LARKHAVEN, &[("purifier.check_valve", "false")], "no-check-valve", Note, true),
    Case(LARKHAVEN, &[("purifier.booster_pressure", "\"5.5 bar\"")], "booster-without-cutout", Should, false),
    Case(LARKHAVEN, &[("purifier.booster_pressure", "\"5.5 bar\""), ("purifier.booster_cutout", "\"4.5 bar\"")], "booster-never-starts", Must, true),
    Case(LARKHAVEN, &[("filters.carbon.fineness", "\"10 um\"")], "filter-behind-a-finer-one", Note, false),
    Case(LARKHAVEN, &[("purifier.control", "\"attended\"")], "hours-unknown", Note, false),
    Case(JUNIPER, &[], "feed-guessed", Note, false),
    Case(LARKHAVEN, &[], "gas-load-dominates", Note, true),
    Case(LARKHAVEN, &[("filters.carbon.kind", "\"sediment\"")], "no-carbon", Must, false),
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
    Case(LARKHAVEN, &[("delivered.bay.holds", "\"fresh\""), ("delivered.bay.kind", "\"purified\""), ("delivered.bay.price", "\"1 ct/L\"")], "delivered-is-cheaper", Note, false),
    Case(LARKHAVEN, &[("delivered.bay.holds", "\"fresh\""), ("delivered.bay.kind", "\"purified\""), ("delivered.bay.conductivity", "\"90 uS/cm\"")], "delivered-not-pure", Should, false),
    Case(LARKHAVEN, &[("delivered.bay.holds", "\"fresh\""), ("delivered.bay.kind", "\"purified\"")], "delivery-too-late", Should, false),
    Case(SKELDER, &[], "evaporation-computed", Note, false),
];

fn edited(text: &str, edits: &[(&str, &str)]) -> String {
    let edits: Vec<Edit> = edits
        .iter()
        .map(|(path, text)| Edit {
            path: (*path).to_owned(),
            text: (*text).to_owned(),
        })
        .collect();
    edit::apply(text, &edits).expect("it can be edited")
}

#[test]
fn each_finding_is_raised_and_its_cure_clears_it() {
    let mut missed = Vec::new();
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
            && !proved(text)
                .findings
                .iter()
                .all(|f| f.id != *id || f.severity != *severity)
        {
            missed.push(format!("{id} is there without {edits:?}"));
        }
        match (&finding.remedy, cure) {
            (None, true) => missed.push(format!("{id} with {edits:?} has no cure")),
            (Some(remedy), false) => missed.push(format!("{id} has a cure: {}", remedy.sentence)),
            (None, false) => {}
            (Some(remedy), true) => {
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
