//! Water and purifiers that can't be as they are told: each fault at its place, with its mend.

use station::{Position, Station};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");

/// What is changed in Larkhaven (from, to), where the fault must point, and words that it must hold.
#[rustfmt::skip]
const FAULTS: &[(&str, &str, &str, &str, &[&str])] = &[
    ("alkaline, yet hardly with alkalinity", "\"135 mg/L CaCO3 ± 8 mg/L CaCO3\"\nph = \"7.4 ± 0.1\"", "\"3 mg/L CaCO3\"\nph = 10.4", "ph = 10.4", &["pH", "alkalinity", "go together"]),
    ("acid, yet full of alkalinity", "ph = \"7.4 ± 0.1\"", "ph = 4.6", "ph = 4.6", &["pH", "alkalinity", "go together"]),
    ("harder than all that is dissolved", "hardness = \"170 mg/L CaCO3 ± 12 mg/L CaCO3\"", "hardness = \"400 mg/L CaCO3\"", "hardness = \"400", &["hardness", "more than all that is dissolved"]),
    ("more alkalinity than solids", "alkalinity = \"135 mg/L CaCO3 ± 8 mg/L CaCO3\"", "alkalinity = \"22 dKH\"", "alkalinity = \"22", &["alkalinity", "more than all that is dissolved"]),
    ("solids and conductivity of two waters", "conductivity = \"430 uS/cm ± 20 uS/cm\"", "conductivity = \"430 uS/cm ± 20 uS/cm\"\ndissolved_solids = \"900 mg/L\"", "dissolved_solids", &["can't be of one water", "2.09 mg/L for each uS/cm"]),
    ("too few solids for its conductivity", "conductivity = \"430 uS/cm ± 20 uS/cm\"", "conductivity = \"2 mS/cm\"\ndissolved_solids = \"300 mg/L\"", "dissolved_solids", &["can't be of one water"]),
    ("milligrams of what", "hardness = \"170 mg/L CaCO3 ± 12 mg/L CaCO3\"", "hardness = \"170 mg/L\"", "hardness = \"170", &["of what", "CaCO3", "HCO3"]),
    ("hydroxide in the owner's unit", "\"135 mg/L CaCO3 ± 8 mg/L CaCO3\"\nph = \"7.4 ± 0.1\"", "\"3 mg/L CaCO3\"\nph = 10.4", "ph = 10.4", &["mg/L CaCO3 of alkalinity"]),
    ("salt water without salt", "salinity = 34.2", "salinity = 0.4", "salinity = 0.4", &["salinity", "outside"]),
    ("a rating weaker than its own osmosis", "rated_pressure = \"60 psi\"\nrated_solids = \"250 mg/L\"", "rated_pressure = \"0.5 bar\"\nrated_solids = \"3 g/L\"", "rated_pressure = \"0.5", &["would give no water", "2.49 bar", "0.5 bar"]),
    ("sea water as fresh", "holds = \"salt\"\nkind = \"natural\"", "holds = \"fresh\"\nkind = \"natural\"", "kind = \"natural\"", &["natural water is salt"]),
    ("fresh water with a salinity", "holds = \"salt\"\nkind = \"natural\"", "holds = \"fresh\"\nkind = \"purified\"", "salinity = 34.2", &["fresh water has no salinity"]),
    ("purified water as salt", "kind = \"natural\"", "kind = \"purified\"", "kind = \"purified\"", &["purified water is fresh"]),
    ("pressure below nothing", "pressure = \"4.2 bar ± 0.3 bar\"", "pressure = \"-5 bar\"", "pressure = \"-5 bar\"", &["pressure", "outside"]),
    ("warmer in winter", "coldest = \"6 C ± 1 C\"", "coldest = \"25 C\"", "coldest = \"25 C\"", &["colder in its warmest month"]),
    ("a rating without its pressure", "rated_pressure = \"60 psi\"\n", "", "first]\nrated_flow", &["rated_pressure", "missing"]),
    ("a rating without its solids", "rated_solids = \"250 mg/L\"\n", "", "first]\nrated_flow", &["rated_solids", "missing"]),
    ("a rating without its rejection", "rejection = \"98 %\"\n", "", "first]\nrated_flow", &["rejection", "missing"]),
    ("a rejection as a bare number of percent", "rejection = \"98 %\"", "rejection = 98", "rejection = 98", &["share", "98"]),
    ("a restrictor told twice", "restrictor_pressure", "waste_ratio = 4\nrestrictor_pressure", "waste_ratio = 4", &["told twice"]),
    ("a shut-off valve that can't close", "shut_off = \"sound\"", "shut_off = \"sound\"\nshut_off_reopens = 0.8", "shut_off_reopens = 0.8", &["open again before it closes"]),
    ("fills salt water", "height = \"1.3 m\"", "fills = \"salt\"\nheight = \"1.3 m\"", "fills = \"salt\"", &["salt water"]),
    ("fills nothing there is", "height = \"1.3 m\"", "fills = \"frech\"\nheight = \"1.3 m\"", "fills = \"frech\"", &["no vessel", "did you mean `fresh`"]),
    ("a cation bed alone", "kind = \"mixed\"\nvolume = \"0.55 L", "kind = \"cation\"\nvolume = \"0.55 L", "canister]", &["without its partner"]),
    ("a mixed bed before separate ones", "price = \"15 EUR/L\"\n", "price = \"15 EUR/L\"\n[resin_beds.second]\nkind = \"cation\"\nvolume = \"1 L\"\n[resin_beds.third]\nkind = \"anion\"\nvolume = \"1 L\"\n", "canister]", &["mixed bed stands before"]),
    ("nothing tells the evaporation", "evaporation = \"9 L/day ± 2 L/day\"\n", "", "touch-pool]", &["evaporates"]),
    ("a word that isn't one", "control = \"level switches\"", "control = \"float\"", "control = \"float\"", &["float alone"]),
    ("a state with an impossible pH", "[feed_states.main-repair]\n", "[feed_states.main-repair]\nalkalinity = \"3 mg/L CaCO3\"\nph = 10.4\n", "ph = 10.4", &["pH", "go together"]),
    ("a state harder than its solids", "[feed_states.main-repair]\n", "[feed_states.main-repair]\nhardness = \"600 mg/L CaCO3\"\n", "hardness = \"600", &["hardness"]),
    ("a state with pressure below nothing", "pressure = \"2.3 bar\"", "pressure = \"-2.3 bar\"", "pressure = \"-2.3", &["pressure", "outside"]),
    ("a state with more alkalinity than solids", "[feed_states.hard-frost]\n", "[feed_states.hard-frost]\nalkalinity = \"500 mg/L CaCO3\"\n", "alkalinity = \"500", &["alkalinity", "more than all that is dissolved"]),
    ("salt water as a seller of fresh", "kind = \"natural\"", "kind = \"sea\"", "kind = \"sea\"", &["natural"]),
    ("a delivery without its volume", "volume = \"250 L\"\nnotice", "notice", "bay]", &["volume", "missing"]),
    ("a mistyped key", "shut_off = ", "shutoff = ", "shutoff = ", &["did you mean `shut_off`"]),
];

#[test]
fn each_fault_stands_at_its_place() {
    for (what, from, to, place, words) in FAULTS {
        assert!(LARKHAVEN.contains(from), "{what}: {from}");
        let text = LARKHAVEN.replacen(from, to, 1);
        let faults = match Station::read(&text) {
            Err(faults) => faults,
            Ok(_) => panic!("{what}: it was read"),
        };
        let at = text.find(place).unwrap_or_else(|| panic!("{what}: {place}"));
        let line = Position::of(&text, at).line;
        let found = faults.iter().find(|fault| {
            let told = format!("{} {} {}", fault.what, fault.why, fault.mend);
            words.iter().all(|word| told.contains(word))
        });
        let fault = found.unwrap_or_else(|| panic!("{what}: {faults:#?}"));
        assert!(!fault.mend.is_empty(), "{what}");
        assert_eq!(
            Position::of(&text, fault.span.start).line,
            line,
            "{what}: {fault:?}"
        );
    }
}

/// The place is underlined to the letter: a value by its bytes, a section by its name.
#[test]
fn the_place_is_underlined_to_the_letter() {
    for (from, to, underlined) in [
        ("\"4.2 bar ± 0.3 bar\"", "\"-5 bar\"", "\"-5 bar\""),
        ("ph = \"7.4 ± 0.1\"", "ph = 4.6", "4.6"),
        ("\"6 C ± 1 C\"", "\"25 C\"", "\"25 C\""),
        ("rejection = \"98 %\"\n", "", "first"),
        ("kind = \"mixed\"\nvolume", "kind = \"anion\"\nvolume", "canister"),
        ("evaporation = \"9 L/day ± 2 L/day\"\n", "", "touch-pool"),
    ] {
        assert!(LARKHAVEN.contains(from), "{from}");
        let text = LARKHAVEN.replacen(from, to, 1);
        let faults = Station::read(&text).err().unwrap_or_default();
        assert_eq!(faults.len(), 1, "{to}: {faults:#?}");
        assert_eq!(&text[faults[0].span.clone()], underlined, "{to}: {faults:#?}");
    }
}

/// What is wrong with the usual feed is told once, not again for each of its states.
#[test]
fn a_fault_of_the_usual_feed_is_told_once() {
    let text = LARKHAVEN.replacen("ph = \"7.4 ± 0.1\"", "ph = 4.6", 1);
    let faults = Station::read(&text).err().unwrap_or_default();
    assert_eq!(faults.len(), 1, "{faults:#?}");
}

/// Between a cation and an anion bed a mixed one polishes nothing either.
#[test]
fn a_mixed_bed_between_separate_ones_is_refused() {
    let beds = |order: [&str; 3]| {
        let begin = LARKHAVEN.find("[resin_beds.canister]").expect("the bed");
        let end = LARKHAVEN.find("[delivered.bay]").expect("the delivery");
        let beds: String = order
            .iter()
            .map(|kind| format!("[resin_beds.{kind}]\nkind = \"{kind}\"\nvolume = \"1 L\"\n"))
            .collect();
        Station::read(&format!("{}{beds}{}", &LARKHAVEN[..begin], &LARKHAVEN[end..]))
    };
    assert!(beds(["cation", "anion", "mixed"]).is_ok());
    for order in [
        ["mixed", "cation", "anion"],
        ["cation", "mixed", "anion"],
        ["anion", "mixed", "cation"],
    ] {
        let faults = beds(order).err().unwrap_or_default();
        assert!(
            faults.iter().any(|fault| fault.what.contains("mixed bed")),
            "{order:?}: {faults:#?}"
        );
    }
}

/// Sections that lean on each other.
#[test]
fn sections_that_need_another_say_so() {
    let section = |name: &str| {
        let begin = LARKHAVEN.find(name).unwrap_or_else(|| panic!("{name}"));
        let end = LARKHAVEN[begin + 1..]
            .find("\n[")
            .map_or(LARKHAVEN.len(), |at| begin + 1 + at + 1);
        (begin, end)
    };
    let without = |names: &[&str]| {
        let mut text = LARKHAVEN.to_owned();
        for name in names {
            let (begin, end) = section(name);
            text = text.replace(&LARKHAVEN[begin..end], "");
        }
        text
    };
    for (names, word) in [
        (&["[purifier]"][..], "no section [purifier]"),
        (&["[feed]"], "no section [feed]"),
        (&["[membranes.first]"], "no membrane"),
    ] {
        let faults = Station::read(&without(names)).err().unwrap_or_default();
        assert!(
            faults
                .iter()
                .any(|fault| fault.what.contains(word) && !fault.mend.is_empty()),
            "{word}: {faults:#?}"
        );
    }
    // Without any of them it's a station that makes no water, and that is allowed.
    let bare = without(&[
        "[purifier]",
        "[feed]",
        "[feed_states.flushing-week]",
        "[feed_states.main-repair]",
        "[feed_states.hard-frost]",
        "[filters.sediment]",
        "[filters.carbon]",
        "[membranes.first]",
        "[resin_beds.canister]",
    ]);
    let proof = proof::prove(&Station::read(&bare).expect("a sound file"));
    assert!(proof.supply.purifier.is_none());
    assert_eq!(proof.supply.endurance.len(), 3);
}

/// A model out of its range says so on the figure.
#[test]
fn a_figure_beyond_the_range_says_so() {
    let station = Station::read(LARKHAVEN).expect("a sound file");
    let usual = proof::prove(&station);
    let frost = proof::prove(&station.in_feed_state("hard-frost").expect("it has that state"));
    let remark = |proof: &proof::Proof| {
        let figure = proof.figure("permeate.february").expect("it has a purifier");
        figure.remark.clone().unwrap_or_default()
    };
    assert!(!remark(&usual).contains("extrapolates"));
    assert!(remark(&frost).contains("extrapolates"), "{}", remark(&frost));
}
