//! Whatever stands in the keys of a year: a year that balances, or a fault with its reason. No panic, no NaN, no end that
//! doesn't come, no vessel that holds more than it can.

use crate::year_support;

use std::fmt::Write;

use proof::{Followed, Progress, Years, paces, year};
use proptest::prelude::*;
use station::Station;
use year_support::{EXAMPLES, named, set, share, unset, without};

/// Keys that a year reads, by kind of section, and what is put there.
const EDITS: &[(&str, &str, &[&str])] = &[
    (
        "people",
        "days",
        &["\"Monday\"", "\"every day\"", "\"Saturday to Monday\""],
    ),
    ("people", "arrives", &["\"00:00\"", "\"23:59\"", "\"12:00\""]),
    ("people", "stays", &["\"5 min\"", "\"24 h\""]),
    ("people", "late_by", &["\"0 min\"", "\"12 h\""]),
    ("people", "carry_time", &["\"10 s\"", "\"1 h\""]),
    ("people", "change_time", &["\"0 min\"", "\"8 h\""]),
    ("people", "measuring_time", &["\"0 min\"", "\"2 h\""]),
    ("people", "batch_time", &["\"0 min\"", "\"8 h\""]),
    ("people", "lift", &["\"2 kg\"", "\"50 kg\""]),
    (
        "holidays.all",
        "from",
        &["\"1 January\"", "\"2 January\"", "\"31 December\""],
    ),
    (
        "holidays.all",
        "to",
        &["\"1 January\"", "\"31 December\"", "\"1 March\""],
    ),
    ("holidays.all", "laid_up", &["true", "false"]),
    ("holidays.all", "looks_in", &["\"1 day\"", "\"1 year\""]),
    (
        "tanks",
        "evaporation",
        &["\"0 L/day\"", "\"10 m3/day\"", "\"1 L/day\""],
    ),
    (
        "tanks",
        "evaporation_in_winter",
        &["\"0 L/day\"", "\"10 m3/day\""],
    ),
    ("tanks", "change", &["\"0.1 L\"", "\"1000 m3\"", "\"100 L\""]),
    ("tanks", "change_every", &["\"1 h\"", "\"1 year\""]),
    ("tanks", "emergency_change", &["\"0 %\"", "\"100 %\""]),
    ("tanks", "emergency_every", &["\"1 week\"", "\"100 years\""]),
    ("tanks", "top_off", &["\"fresh\"", "\"salt\""]),
    ("tanks", "volume", &["\"1 L\"", "\"1000 m3\""]),
    ("vessels", "lid", &["\"none\"", "\"tight\""]),
    ("vessels", "holds", &["\"fresh\"", "\"salt\""]),
    ("vessels", "fill", &["\"automatic\"", "\"by hand\""]),
    ("vessels", "diameter", &["\"100 mm\"", "\"3 m\""]),
    ("vessels", "height", &["\"100 mm\"", "\"3 m\""]),
    (
        "vessels",
        "start_level",
        &["\"0 mm\"", "\"300 mm\"", "\"2 m\"", "\"879 mm\""],
    ),
    (
        "vessels",
        "stop_level",
        &["\"1 mm\"", "\"200 mm\"", "\"1 m\"", "\"881 mm\""],
    ),
    ("vessels", "backup_level", &["\"0 mm\"", "\"500 mm\"", "\"1 m\""]),
    ("vessels", "low_cutout_level", &["\"0 mm\"", "\"850 mm\""]),
    ("vessels", "outlet_level", &["\"0 mm\"", "\"850 mm\""]),
    ("vessels", "batch_volume", &["\"1 L\"", "\"100 L\"", "\"5 m3\""]),
    ("vessels", "heater", &["\"1 W\"", "\"20 kW\""]),
    ("vessels", "mixing_temperature", &["\"1 C\"", "\"35 C\""]),
    ("vessels", "keeps_warm", &["true", "false"]),
    ("vessels", "high_cutout", &["true", "false"]),
    ("vessels", "target_salinity", &["0", "42", "1"]),
    ("salt", "mixing_time", &["\"0 h\"", "\"1 week\""]),
    ("salt", "use_within", &["\"1 h\"", "\"1 day\""]),
    (
        "purifier",
        "control",
        &[
            "\"float alone\"",
            "\"level switches\"",
            "\"attended\"",
            "\"timer\"",
        ],
    ),
    ("purifier", "shut_off", &["\"none\"", "\"leaks\"", "\"sound\""]),
    ("purifier", "feed_valve", &["true", "false"]),
    ("purifier", "flush", &["\"0 L\"", "\"100 L\""]),
    (
        "purifier",
        "new_membrane_discard",
        &["\"0 L\"", "\"100 L\"", "\"1 m3\""],
    ),
    ("purifier", "float_reopens", &["\"1 mm\"", "\"300 mm\""]),
    ("feed", "pressure", &["\"1 bar\"", "\"8 bar\""]),
    ("feed_states", "lasts", &["\"1 h\"", "\"1 year\""]),
    ("feed_states", "every", &["\"1 week\"", "\"10 years\""]),
    ("feed_states", "in_month", &["\"January\"", "\"December\""]),
    ("feed_states", "pressure", &["\"0.5 bar\"", "\"8 bar\""]),
    ("room", "lowest_winter_temperature", &["\"1 C\"", "\"30 C\""]),
    ("room", "humidity", &["0.05", "1"]),
    ("reserve", "fresh", &["\"1 L\"", "\"10 m3\""]),
    ("reserve", "salt", &["\"1 L\"", "\"10 m3\""]),
    ("delivered.more", "holds", &["\"fresh\"", "\"salt\""]),
    ("delivered.more", "volume", &["\"1 L\"", "\"100 m3\""]),
    ("delivered.more", "every", &["\"1 day\"", "\"1 year\""]),
];

/// What is taken away altogether.
const GONE: [&[&str]; 9] = [
    &[
        "purifier",
        "membranes",
        "filters",
        "resin_beds",
        "feed_states",
        "feed",
    ],
    &["salt"],
    &["tanks"],
    &["resin_beds"],
    &["lineups", "valves", "lines", "pumps", "tees", "draw_points"],
    &["reserve"],
    &["feed_states"],
    &["prices"],
    &["people"],
];

/// Goes through a year or two and a few days at both paces, or is refused; says what is wrong otherwise.
fn ends_well(text: &str) -> Result<bool, String> {
    let Ok(station) = Station::read(text) else {
        return Ok(false);
    };
    let years = Years {
        years: 2,
        seed: 1,
        threads: 1,
    };
    match year(&station, &years, &Progress::default()) {
        Ok(year) => {
            let printed = format!("{year:?}");
            if printed.contains("NaN") || printed.contains("inf,") || printed.contains("inf }") {
                return Err(format!("no number: {printed}"));
            }
            if year.residual_water > 1e-9 || year.residual_salt > 1e-9 {
                return Err(format!("lost: {} {}", year.residual_water, year.residual_salt));
            }
        }
        Err(fault) => {
            let said = fault.to_string();
            if said.is_empty() {
                return Err("no reason".into());
            }
            if said.contains("computed") {
                return Err(format!("refused: {said}"));
            }
            return Ok(false);
        }
    }
    let followed = Followed {
        from_day: 10.0,
        days: 10.0,
        seed: 1,
        tolerance: 1e-5,
    };
    let both = paces(&station, &followed).map_err(|fault| format!("paces: {fault}"))?;
    for (pace, stretch) in [("coarse", &both.coarse), ("fine", &both.fine)] {
        for (vessel, volume_m3) in station.vessels.iter().zip(&stretch.volumes_m3) {
            let full_m3 = vessel.shape.full_volume_m3();
            // A hundredth and a litre above its rim: the play of a float, and the two seconds that a switch must speak.
            if !(-1e-6..1.01 * full_m3 + 1e-3).contains(volume_m3) {
                return Err(format!("{pace}: {} holds {volume_m3} of {full_m3}", vessel.name));
            }
        }
    }
    Ok(true)
}

/// Sections of the examples that an edit goes to.
fn sections(text: &str, of: &str) -> Vec<String> {
    match named(text, of) {
        none if none.is_empty() => vec![of.to_owned()],
        all => all,
    }
}

/// Each value of each key in turn, in the first and in every section of its kind; each part of a station gone.
#[test]
fn every_edit_ends_well() {
    let mut wrong = String::new();
    let (mut case, mut read) = (0, 0);
    let mut look = |what: String, text: &str| {
        case += 1;
        if case % share(48) != 0 {
            return;
        }
        match ends_well(text) {
            Ok(true) => read += 1,
            Ok(false) => {}
            Err(why) => writeln!(wrong, "{what}: {why}").expect("a string"),
        }
    };
    for (name, text) in EXAMPLES {
        for (of, key, values) in EDITS {
            let all = sections(text, of);
            for value in *values {
                for section in &all {
                    look(
                        format!("{name} [{section}] {key} = {value}"),
                        &set(text, section, key, value),
                    );
                }
                let every = all
                    .iter()
                    .fold(text.to_owned(), |text, own| set(&text, own, key, value));
                look(format!("{name} every [{of}] {key} = {value}"), &every);
            }
            for section in &all {
                look(
                    format!("{name} [{section}] without {key}"),
                    &unset(text, section, key),
                );
            }
        }
        for gone in GONE {
            let text = gone.iter().fold(text.to_owned(), |text, own| without(&text, own));
            look(format!("{name} without {gone:?}"), &text);
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
    assert!(read > 20, "{read}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases((480 / share(48)) as u32))]

    /// Several at once.
    #[test]
    fn edits_together_end_well(
        example in 0..3_usize,
        edits in prop::collection::vec((0..EDITS.len(), 0..4_usize, 0..5_usize), 2..9),
        gone in prop::option::weighted(0.3, 0..GONE.len()),
    ) {
        let (_, text) = EXAMPLES[example];
        let mut text = text.to_owned();
        if let Some(gone) = gone {
            for own in GONE[gone] {
                text = without(&text, own);
            }
        }
        for (edit, value, at) in &edits {
            let (of, key, values) = EDITS[*edit];
            let all = sections(&text, of);
            text = set(&text, &all[at % all.len()], key, values[value % values.len()]);
        }
        let told = ends_well(&text);
        prop_assert!(told.is_ok(), "{told:?} after {:?}, without {gone:?}", edits.iter().map(|(edit, value, at)| {
            let (of, key, values) = EDITS[*edit];
            format!("{of}#{at} {key} = {}", values[value % values.len()])
        }).collect::<Vec<_>>());
    }
}
