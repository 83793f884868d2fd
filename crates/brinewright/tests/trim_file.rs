//! `trim` in a vessel of a station: what the file says, what the rim allows.

use crate::common;

use common::{json, number, page, refused};

const SALT: &str = concat!(
    "trim ",
    env!("CARGO_MANIFEST_DIR"),
    "/../../stations/larkhaven.toml --vessel salt"
);

/// The same question without the file, every part of it spelled out.
const SPELLED_OUT: &str =
    "trim --target 34.5 --temperature \"20 C\" --label \"20 kg makes 540 L at 35 and 25 C, finished\"";

/// Differences of double precision only.
const TOLERANCE: f64 = 1e-9;

#[track_caller]
fn close(got: f64, expected: f64) {
    assert!(
        (got - expected).abs() <= TOLERANCE * expected.abs().max(1e-3),
        "{got} for {expected}"
    );
}

fn full_below_freeboard() -> f64 {
    let level = SALT.replace("trim", "level");
    number(&json(&format!("{level} --at \"810 mm\"")), "volume_m3")
}

#[test]
fn the_file_gives_target_temperature_mix_and_batch() {
    for measured in ["33.5", "35.2"] {
        let by_file = json(&format!("{SALT} --measured {measured}"));
        let spelled = json(&format!("{SPELLED_OUT} --measured {measured} --volume \"270 L\""));
        for key in ["add_salt_kg", "add_water_m3", "replace_water_m3"] {
            assert_eq!(by_file.get(key), spelled.get(key), "{key} at {measured}");
        }
        close(number(&by_file, "room_m3"), full_below_freeboard());
        assert_eq!(by_file["target"], 34.5);
        assert_eq!(by_file["temperature_c"], 20.0);
        assert_eq!(by_file["vessel"], "salt");
    }
}

#[test]
fn options_beat_the_file() {
    let answer = json(&format!(
        "{SALT} --measured 33 --target 35 --temperature \"24 C\" --anhydrous-fraction 0.93 --volume \"200 L\""
    ));
    let spelled = json(
        "trim --measured 33 --target 35 --temperature \"24 C\" --anhydrous-fraction 0.93 --volume \"200 L\"",
    );
    close(number(&answer, "add_salt_kg"), number(&spelled, "add_salt_kg"));
}

#[test]
fn a_trim_that_fits_draws_nothing_off() {
    let answer = json(&format!("{SALT} --measured 33.5"));
    assert_eq!(answer["fits"], true);
    assert_eq!(answer["withdraw_first_m3"], 0.0);
    close(
        number(&answer, "add_salt_after_withdrawing_kg"),
        number(&answer, "add_salt_kg"),
    );
    assert!(number(&answer, "finished_volume_m3") > 0.27);
    let text = page(&format!("{SALT} --measured 33.5"));
    assert!(!text.contains("draw off"), "{text}");
    assert!(
        text.split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .contains("below the rim"),
        "{text}"
    );
}

/// A reading without its own ± carries the accuracy of the station's best instrument: ±0.4 at Larkhaven.
#[test]
fn a_reading_carries_the_accuracy_of_the_best_instrument() {
    let half = |measured: &str| {
        let answer = json(&format!("{SALT} --measured \"{measured}\""));
        (number(&answer, "add_water_high_m3") - number(&answer, "add_water_low_m3")) / 2.0
    };
    close(half("36.2"), half("36.2 ± 0.4"));
    assert!(half("36.2") > 3.0 * half("36.2 ± 0.1"));
    let text = page(&format!("{SALT} --measured 34.7"));
    assert!(text.contains("within the doubt of the reading"), "{text}");
}

/// Salt and volume are conserved by hand: what is kept, plus what is added, is the vessel up to its freeboard.
#[test]
fn where_it_does_not_fit_the_water_ends_at_the_freeboard() {
    let room = full_below_freeboard();
    let litres = room * 1000.0;
    for (measured, volume) in [
        (40.0, 270.0),
        (38.0, litres - 1.0),
        (30.0, litres - 0.2),
        (25.0, litres),
    ] {
        let line = format!("{SALT} --measured {measured} --volume \"{volume} L\"");
        let answer = json(&line);
        assert_eq!(answer["fits"], false, "{answer}");
        close(number(&answer, "finished_volume_m3"), room);
        assert!((number(&answer, "level_m") - 0.81).abs() < 1e-9, "{answer}");
        let drawn = number(&answer, "withdraw_first_m3");
        assert!(drawn > 0.0 && drawn < volume / 1000.0);
        // Trimming what is left, with nothing in the way, comes to the same addition and the same end.
        let kept = json(&format!(
            "{SPELLED_OUT} --measured {measured} --volume \"{} L\"",
            volume - drawn * 1000.0
        ));
        let (split, whole) = if measured > 34.5 {
            ("add_water_after_withdrawing_m3", "add_water_m3")
        } else {
            ("add_salt_after_withdrawing_kg", "add_salt_kg")
        };
        close(number(&answer, split), number(&kept, whole));
        close(
            number(&answer, "finished_volume_m3"),
            number(&kept, "finished_volume_m3"),
        );
        assert!(number(&answer, split) < number(&answer, whole));
        let text = page(&line).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains("first draw off"), "{text}");
        assert!(text.contains("810 mm, 40 mm below the rim"), "{text}");
        assert!(text.contains("doesn't fit"), "{text}");
    }
}

#[test]
fn water_above_the_freeboard_is_drawn_off_with_the_rest() {
    let room = full_below_freeboard();
    let above = room * 1000.0 + 5.0;
    let at_room = json(&format!("{SALT} --measured 33 --volume \"{} L\"", room * 1000.0));
    let answer = json(&format!("{SALT} --measured 33 --volume \"{above} L\""));
    close(
        number(&answer, "withdraw_first_m3"),
        number(&at_room, "withdraw_first_m3") + 0.005,
    );
    close(number(&answer, "finished_volume_m3"), room);
    let as_wanted = page(&format!("{SALT} --measured 34.5 --volume \"{above} L\""));
    assert!(as_wanted.contains("Nothing to do"), "{as_wanted}");
    assert!(as_wanted.contains("above the freeboard"), "{as_wanted}");
}

#[test]
fn a_level_stands_for_its_volume_and_brings_the_doubt_of_the_vessel() {
    let level = json(&format!("{} --at \"640 mm\"", SALT.replace("trim", "level")));
    let answer = json(&format!("{SALT} --measured \"33.5 ± 0.0001\" --at \"640 mm\""));
    close(number(&answer, "volume_m3"), number(&level, "volume_m3"));
    close(number(&answer, "level_before_m"), 0.64);
    // The diameter is known to ±0.5 %, so the volume, and with it the mass, to ±1 % at least.
    let share = |answer: &serde_json::Value| {
        (number(answer, "add_salt_high_kg") - number(answer, "add_salt_low_kg"))
            / number(answer, "add_salt_kg")
    };
    let wide = share(&answer);
    assert!((0.018..0.035).contains(&wide), "{wide}");
    let wider = share(&json(&format!(
        "{SALT} --measured \"33.5 ± 0.0001\" --at \"640 mm ± 10 mm\""
    )));
    assert!(wider > 1.3 * wide, "{wider} against {wide}");
}

#[test]
fn nothing_to_do_is_said_with_the_level() {
    let answer = json(&format!("{SALT} --measured 34.5"));
    for key in ["add_salt_kg", "add_water_m3", "withdraw_first_m3"] {
        assert_eq!(answer[key], 0.0, "{key}");
    }
    close(number(&answer, "level_m"), number(&answer, "level_before_m"));
}

#[test]
fn what_the_file_does_not_allow_is_refused() {
    let file = SALT.replace(" --vessel salt", "");
    for (line, place, what) in [
        (
            format!("{file} --vessel fresh --measured 33"),
            "--vessel",
            "holds fresh water",
        ),
        (
            format!("{file} --vessel tub --measured 33"),
            "--vessel",
            "no vessel `tub`",
        ),
        (format!("{file} --measured 33"), "--vessel", "asks for --vessel"),
        (SALT.to_owned(), "--measured", "is needed"),
        (
            format!("{SALT} --measured 33 --volume \"400 L\""),
            "--volume",
            "doesn't hold that much",
        ),
        (
            format!("{SALT} --measured 33 --at \"900 mm\""),
            "--at",
            "above the rim",
        ),
        (
            format!("{SALT} --measured 33 --at \"500 mm\" --volume \"100 L\""),
            "command line",
            "which one holds?",
        ),
        (
            "trim --vessel salt --volume \"9 L\" --measured 33 --target 32 --temperature \"20 C\"".to_owned(),
            "--vessel",
            "belongs to a station file",
        ),
        (
            "trim --at \"1 m\" --volume \"9 L\" --measured 33 --target 32 --temperature \"20 C\"".to_owned(),
            "--at",
            "belongs to a station file",
        ),
    ] {
        let errors = refused(&line);
        assert!(
            errors.iter().any(|error| error["where"] == place
                && error["what"].as_str().is_some_and(|text| text.contains(what))),
            "{line}: {errors:?}"
        );
    }
}
