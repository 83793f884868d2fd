//! `brinewright first-litre` with cups: what a cup holds, where it belongs, what a slip is told.

#[allow(dead_code, reason = "the other tests use the rest")]
use crate::common;

use common::{json, number, page, refused};

/// Shown over the excess behind the membrane at the start, µS/cm, and in a long run.
const EXCESS: f64 = 260.0;
const STEADY: f64 = 9.0;

/// exp(-V/V_h).
#[expect(
    clippy::disallowed_methods,
    reason = "the last digit varies by platform, which a reading doesn't show"
)]
fn left(volume_ml: f64, hold_up_ml: f64) -> f64 {
    (-volume_ml / hold_up_ml).exp()
}

/// Cups of 50 mL, each showing the mean of what filled it: the integral of STEADY + EXCESS exp(-V/V_h) over the cup,
/// by its volume (own derivation, design handbook section 2). `at` tells where in the cup it is written down: 0.5 in
/// the middle, 1 at its end.
fn cups(hold_up_ml: f64, at: f64) -> String {
    const CUP_ML: f64 = 50.0;
    (0..16)
        .map(|cup| {
            let from = CUP_ML * f64::from(cup);
            let mean = STEADY
                + EXCESS * hold_up_ml / CUP_ML * (left(from, hold_up_ml) - left(from + CUP_ML, hold_up_ml));
            format!("--reading \"{} mL: {mean:.6} uS/cm\" ", from + at * CUP_ML)
        })
        .collect()
}

/// Written at its middle, a cup gives hold-up and salt back. Written at its end, the hold-up comes back just the same
/// (equal cups shift the curve), but the salt of a start comes out too large.
#[test]
fn a_cup_belongs_to_its_middle() {
    for hold_up_ml in [45.0, 80.0, 140.0] {
        // 0.65 mg/L for each µS/cm; mL times mg/L in kg.
        let salt_kg = EXCESS * 0.65 * hold_up_ml * 1e-9;
        let middle = json(&format!("first-litre {}", cups(hold_up_ml, 0.5)));
        let end = json(&format!("first-litre {}", cups(hold_up_ml, 1.0)));
        for told in [&middle, &end] {
            // Readings carry six decimals; what is left is the fit's own tolerance.
            let off = number(told, "hold_up_m3") / (hold_up_ml * 1e-6) - 1.0;
            assert!(off.abs() < 1e-3, "{hold_up_ml}: {off}");
        }
        // Of the salt, exp(-800/V_h) lies beyond the last cup, 0.3 % at most; the cup's own width does the rest.
        let off = number(&middle, "start_salt_kg") / salt_kg - 1.0;
        assert!(off.abs() < 0.02, "{hold_up_ml}: {off}");
        let off = number(&end, "start_salt_kg") / salt_kg - 1.0;
        assert!(off > 0.1, "{hold_up_ml}: {off}");
        // The cup's mean stands above its middle by sinh(x)/x, x = 25/V_h: 5.2 % at 45 mL.
        let start_kg_m3 = (STEADY + EXCESS) * 0.65e-3;
        let off = number(&middle, "solids_at_start_kg_m3") / start_kg_m3 - 1.0;
        assert!((0.0..0.053).contains(&off), "{hold_up_ml}: {off}");
    }
    let help = page("first-litre --help");
    assert!(help.contains("middle of its cup"), "{help}");
}

/// Readings off by so many µS/cm, up and down in a fixed order, high and low alike as the fit takes it: the true
/// hold-up lies between the ends, twice the scatter sets them about twice as far apart, and the line for the file has
/// them.
#[test]
fn scatter_widens_the_ends() {
    const OFF: [f64; 7] = [1.0, -1.0, -0.5, 1.0, 0.5, -1.0, 0.0];
    let noisy = |scatter: f64| -> String {
        (0..14)
            .zip(OFF.iter().cycle())
            .map(|(step, off)| {
                let volume = 40.0 * f64::from(step + 1);
                let shown = STEADY + EXCESS * left(volume, 90.0) + scatter * off;
                format!("--reading \"{volume} mL: {shown:.4} uS/cm\" ")
            })
            .collect()
    };
    let width = |line: &str| {
        let told = json(&format!("first-litre {line}"));
        let (low, high) = (number(&told, "low_m3"), number(&told, "high_m3"));
        assert!(low < 90e-6 && 90e-6 < high, "{told}");
        assert!(number(&told, "scatter_kg_m3") > 0.0);
        high - low
    };
    assert!(width(&noisy(4.0)) > 1.5 * width(&noisy(2.0)));
    let text = page(&format!("first-litre {}", noisy(2.0)));
    assert!(
        text.contains("95 times in 100") && text.contains("hold_up = \""),
        "{text}"
    );
}

/// Where the readings set no end, nothing is offered for the file: a value without its doubt would pass for sure.
#[test]
fn an_open_end_is_not_written_down() {
    let line = "first-litre --reading \"50 mL: 100 ppm\" --reading \"100 mL: 96 ppm\" --reading \"150 mL: 85 ppm\" \
                --reading \"200 mL: 84 ppm\" --reading \"250 mL: 80 ppm\"";
    let told = json(line);
    assert!(told["high_m3"].is_null(), "{told}");
    let text = page(line);
    assert!(text.contains("Take more readings"), "{text}");
    assert!(!text.contains("hold_up = \""), "{text}");
}

#[test]
fn the_page_tells_what_was_used() {
    let readings = cups(83.0, 0.5);
    let with_file = page(&format!("first-litre {readings} ../../stations/larkhaven.toml"));
    assert!(
        with_file.contains("The file has 80 mL ± 40 mL, which agrees"),
        "{with_file}"
    );
    assert!(with_file.contains("in a long run, fitted"), "{with_file}");
    let given = page(&format!("first-litre {readings} --steady \"9 uS/cm\""));
    assert!(given.contains("in a long run, as given"), "{given}");
    let doubtful = page(&format!(
        "first-litre --reading \"5 mL: 250 uS/cm ± 2 %\" {readings}"
    ));
    assert!(
        doubtful.contains("The ± of the readings isn't used"),
        "{doubtful}"
    );
}

/// Each slip: where it is told, and a word of it. No refusal shows more digits or symbols than a person needs.
#[test]
fn slips_in_plain_words() {
    let far = "--reading \"100 mL: 200 ppm\" --reading \"150 mL: 190 ppm\" --reading \"200 mL: 180 ppm\"";
    for (line, place, word) in [
        (
            format!("--reading \"50 mL: 210 ppm\" {far}"),
            "--reading",
            "don't tell the hold-up",
        ),
        (
            format!("--reading \"50 mL: 25 g/L\" {far}"),
            "--reading",
            "25 000 mg/L",
        ),
        (
            format!("--reading \"-50 mL: 210 ppm\" {far}"),
            "--reading",
            "below zero",
        ),
        (
            format!("--reading \"50 mL: -210 ppm\" {far}"),
            "--reading",
            "less than nothing",
        ),
        (
            format!("--reading \"50 mL: 210 ppm\" {far} --steady \"220 ppm\""),
            "--steady",
            "isn't below the first",
        ),
        (
            format!("--reading \"50 mL: 210 ppm\" {far} --steady \"5 uS/cm\""),
            "--reading",
            "some readings are",
        ),
        (
            "--reading \"50 mL: 210 ppm\"".to_owned(),
            "--reading",
            "one reading is too little",
        ),
    ] {
        let errors = refused(&format!("first-litre {line}"));
        assert_eq!(errors.len(), 1, "{line}: {errors:?}");
        let what = errors[0]["what"].as_str().expect("words");
        assert_eq!(errors[0]["where"], place, "{line}");
        assert!(what.contains(word), "{line}: {what}");
        assert!(!what.contains("HOUSE-RULE") && !what.contains("00000"), "{what}");
    }
}
