//! The marks that end a fill, and what is said where they stand wrong.

use proof::{Finding, Proof, RemedyEdit, Severity, prove_first};
use station::{Edit, Situation, Station, edit};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");

fn with(values: &[(&str, &str)]) -> String {
    let edits: Vec<Edit> = values
        .iter()
        .map(|(path, text)| Edit::quoted(*path, text))
        .collect();
    edit::apply(LARKHAVEN, &edits).expect("edits")
}

#[track_caller]
fn proved(text: &str) -> Proof {
    // Wrong valves have no say in these.
    let station = Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"));
    prove_first(&station).proof().clone()
}

fn of_marks(proof: &Proof) -> Vec<&Finding> {
    let ids = ["backup-under-stop", "backup-too-near", "little-freeboard"];
    proof
        .findings
        .iter()
        .filter(|own| ids.contains(&own.id))
        .collect()
}

/// By hand: the vessel is 1010 mm high with 40 mm of freeboard, so that a mark may stand at 970 mm at most.
#[test]
fn a_backup_under_the_stop_is_told_as_that() {
    for (stop, backup, lies) in [
        ("880 mm", "800 mm", "80 mm under the stop level"),
        ("880 mm", "880 mm", "at the stop level"),
    ] {
        let text = with(&[
            ("vessels.fresh.stop_level", stop),
            ("vessels.fresh.backup_level", backup),
        ]);
        let proof = proved(&text);
        let all = of_marks(&proof);
        let [own] = all.as_slice() else { panic!("{all:#?}") };
        assert_eq!((own.id, own.severity), ("backup-under-stop", Severity::Must));
        assert!(own.sentence.contains(lies), "{}", own.sentence);
        // The control latches on a backup that closes.
        assert!(
            own.sentence.contains("until somebody resets it"),
            "{}",
            own.sentence
        );
    }
    // A float alone hears no contact: the wrong one of two floats closes, and no more.
    let text = with(&[
        ("vessels.fresh.backup_level", "800 mm"),
        ("purifier.control", "float alone"),
    ]);
    let proof = proved(&text);
    let own = of_marks(&proof)[0];
    assert_eq!((own.id, own.severity), ("backup-under-stop", Severity::Should));
    assert!(!own.sentence.contains("resets"), "{}", own.sentence);
    // Just above is another finding, with its own words.
    let proof = proved(&with(&[("vessels.fresh.backup_level", "885 mm")]));
    assert!(of_marks(&proof).iter().all(|own| own.id == "backup-too-near"));
}

/// Whichever cure of these findings is taken, alone, none of them is left.
#[test]
fn no_cure_of_a_mark_asks_for_another() {
    for (stop, backup) in [
        ("880 mm", "800 mm"),
        ("960 mm", "890 mm"),
        ("990 mm", "890 mm"),
        ("990 mm", "1000 mm"),
        ("880 mm", "1000 mm"),
        ("965 mm", "1000 mm"),
        ("960 mm", "965 mm"),
        ("975 mm", "300 mm"),
    ] {
        let text = with(&[
            ("vessels.fresh.stop_level", stop),
            ("vessels.fresh.backup_level", backup),
        ]);
        let proof = proved(&text);
        let all = of_marks(&proof);
        assert!(!all.is_empty(), "{stop}, {backup}");
        for own in all {
            let remedy = own
                .remedy
                .as_ref()
                .unwrap_or_else(|| panic!("{stop}, {backup}: {own:#?}"));
            let edits: Vec<Edit> = remedy.edits.iter().map(RemedyEdit::edit).collect();
            let mended = proved(&edit::apply(&text, &edits).expect("a cure"));
            let left = of_marks(&mended);
            assert!(
                left.is_empty(),
                "{stop}, {backup}: {} leaves {left:#?}",
                remedy.sentence
            );
        }
    }
}

/// What a cure brings that is worth fixing stands in its words, and nothing graver comes of it.
#[test]
fn a_cure_says_what_it_brings() {
    let mut said = 0;
    for values in [
        // A backup so low that the stop under it leaves less of a run than is wanted.
        &[
            ("vessels.fresh.stop_level", "965 mm"),
            ("vessels.fresh.backup_level", "700 mm"),
            ("vessels.fresh.run_volume", "200 L"),
        ][..],
        &[
            ("vessels.fresh.backup_level", "300 mm"),
            ("vessels.fresh.run_volume", "170 L"),
        ],
        &[("reserve.fresh", "200 L")],
        &[("reserve.fresh", "120 L"), ("vessels.fresh.run_volume", "140 L")],
    ] {
        let text = with(values);
        let proof = proved(&text);
        for own in &proof.findings {
            let Some(remedy) = &own.remedy else { continue };
            let edits: Vec<Edit> = remedy.edits.iter().map(RemedyEdit::edit).collect();
            let mended = proved(&edit::apply(&text, &edits).expect("a cure"));
            let new: Vec<&Finding> = mended
                .findings
                .iter()
                .filter(|own| own.severity >= Severity::Should && !own.id.starts_with("mistake-"))
                .filter(|own| {
                    let same = |old: &&Finding| (old.id, &old.place) == (own.id, &own.place);
                    !proof.findings.iter().any(|old| same(&old))
                })
                .collect();
            assert_eq!(
                new.is_empty(),
                !remedy.sentence.contains("; that brings: "),
                "{values:?}, {}: {}, {new:#?}",
                own.id,
                remedy.sentence
            );
            assert!(
                new.iter().all(|new| new.severity < own.severity),
                "{values:?}: {new:#?}"
            );
            said += new.len();
        }
    }
    assert!(said > 0, "one of them brings something");
}

/// Which level a fill starts at, by hand: a cylinder of 710 mm holds 395.9 L to the metre of its height, level switches let it
/// sink to the start mark, a float alone by the 10 mm at which it opens again, start mark or not. What lies under the low
/// cut-out at 90 mm can't be drawn.
#[test]
fn a_float_alone_keeps_its_vessel_full() {
    let area_m2 = core::f64::consts::FRAC_PI_4 * 0.71 * 0.71;
    let start = "start_level = \"260 mm ± 5 mm\"\n";
    for (control, has_start, starts_m, unused) in [
        ("level switches", true, 0.26, false),
        ("float alone", true, 0.87, true),
        ("float alone", false, 0.87, false),
    ] {
        let text = with(&[("purifier.control", control)]);
        let text = if has_start { text } else { text.replace(start, "") };
        let proof = proved(&text);
        let case = format!("{control}, start mark {has_start}");
        // What lineups and wrong valves are looked at with is the same level.
        let station = Station::read(&text).unwrap_or_else(|faults| panic!("{faults:#?}"));
        let moment = Situation::at_start(&station).vessels[0].level_m;
        assert!((moment - starts_m).abs() < 1e-12, "{case}: {moment}");
        let always = proof.levels.fresh_always_m3;
        assert!(
            (always - area_m2 * (starts_m - 0.09)).abs() < 1e-9,
            "{case}: {always}"
        );
        let has = |id: &str| proof.findings.iter().any(|own| own.id == id);
        assert_eq!(has("start-unused"), unused, "{case}");
        assert_eq!(has("fresh-reserve"), control == "level switches", "{case}");
        assert!(!has("reserve-not-held"), "{case}");
        let vessel = &proof.levels.vessels[0];
        // A float has no run of a size, and no mark to move.
        let switched = control == "level switches";
        assert_eq!(vessel.run_volume_m3.is_some(), switched, "{case}");
        assert_eq!(
            vessel.marks.iter().any(|mark| mark.name == "start"),
            switched,
            "{case}"
        );
        assert_eq!(
            proof.figure("fresh.run").is_some_and(|own| own.headline),
            switched,
            "{case}"
        );
    }
}
