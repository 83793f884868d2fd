//! Stations at the edge of sense: more need than water, few hours, beds of several prices, deliveries alone. What
//! comes out is checked by hand, beside each case.

use proof::{Proof, prove};
use station::{Edit, Station, edit};

const LARKHAVEN: &str = include_str!("../../../stations/larkhaven.toml");
const JUNIPER: &str = include_str!("../../../stations/juniper-street-school.toml");
const SKELDER: &str = include_str!("../../../stations/skelder-hatchery.toml");

const DAY_S: f64 = 86_400.0;
const LITRE_M3: f64 = 1e-3;

#[track_caller]
fn proved(text: &str) -> Proof {
    match Station::read(text) {
        Ok(station) => prove(&station),
        Err(faults) => panic!("{:?}", faults.iter().map(|fault| &fault.what).collect::<Vec<_>>()),
    }
}

#[track_caller]
fn edited(text: &str, edits: &[(&str, &str)]) -> String {
    // Fresh water has no salinity: the delivery that becomes fresh loses its own.
    let fresh = edits.contains(&("delivered.bay.holds", "\"fresh\""));
    let kept = match fresh {
        true => text.replace("salinity = 34.2\n", ""),
        false => text.to_owned(),
    };
    let edits = edits
        .iter()
        .map(|(path, value)| Edit {
            path: (*path).to_owned(),
            text: (*value).to_owned(),
        })
        .collect::<Vec<_>>();
    edit::apply(&kept, &edits).unwrap_or_else(|error| panic!("{error}"))
}

#[track_caller]
fn figure(proof: &Proof, key: &str) -> f64 {
    proof
        .figures
        .iter()
        .find(|figure| figure.key == key)
        .unwrap_or_else(|| panic!("{key}"))
        .value
}

fn has(proof: &Proof, id: &str) -> bool {
    proof.findings.iter().any(|finding| finding.id == id)
}

/// The least pressure of a tap, and a need beyond what is made: a float that never shuts can't beat one that does.
#[test]
fn a_float_without_shut_off_is_never_the_best() {
    for edits in [
        &[("feed.pressure", "\"0.7 bar\"")][..],
        &[("tanks.touch-pool.evaporation", "\"150 L/day\"")],
        &[],
    ] {
        let proof = proved(&edited(LARKHAVEN, edits));
        let made = proof.supply.purifier.as_ref().expect("a purifier");
        let never = made
            .controls
            .iter()
            .find(|row| row.run_volume_m3.is_none())
            .expect("the row");
        // A float that closes slowly doesn't close at all while more is drawn than made: no run to compare.
        let compared = made
            .controls
            .iter()
            .filter(|row| edits.is_empty() || !row.way.starts_with("float, sound"));
        for row in compared {
            let (cost, worst) = (row.cost_per_m3.as_ref(), never.cost_per_m3.as_ref());
            let (cost, worst) = cost.zip(worst).expect("prices");
            assert!(cost.value <= worst.value * (1.0 + 1e-9), "{} {edits:?}", row.way);
            // A float that shuts soundly pays with starts instead.
            if row.way.starts_with("float") {
                continue;
            }
            assert!(
                row.solids_kg_m3.value <= never.solids_kg_m3.value * (1.0 + 1e-9),
                "{}",
                row.way
            );
            assert!(
                row.reject_ratio.value <= never.reject_ratio.value * (1.0 + 1e-9),
                "{}",
                row.way
            );
        }
        if !edits.is_empty() {
            assert!(!has(&proof, "run-too-short"), "{edits:?}");
        }
    }
}

/// Each resin is changed when it is spent itself: 0.3 L at 10 are 3 over the one life, 0.6 L at 30 are 18 over the
/// other; a mixed bed that polishes behind them is told as not counted.
#[test]
fn separate_beds_are_both_paid() {
    let begin = LARKHAVEN.find("[resin_beds.canister]").expect("the bed");
    let end = LARKHAVEN.find("[delivered.bay]").expect("the delivery");
    let beds = "[resin_beds.first]\nkind = \"cation\"\nvolume = \"0.3 L\"\nprice = \"10 EUR/L\"\n\
                [resin_beds.second]\nkind = \"anion\"\nvolume = \"0.6 L\"\nprice = \"30 EUR/L\"\n";
    let proof = proved(&format!("{}{beds}{}", &LARKHAVEN[..begin], &LARKHAVEN[end..]));
    let (cation, anion) = (
        figure(&proof, "run.cation-life"),
        figure(&proof, "run.anion-life"),
    );
    let by_hand = 3.0 / cation + 18.0 / anion;
    assert!((figure(&proof, "run.cost-resin") / by_hand - 1.0).abs() < 1e-12);
    assert!((figure(&proof, "run.resin-life") / cation.min(anion) - 1.0).abs() < 1e-12);
    let polish = "[resin_beds.third]\nkind = \"mixed\"\nvolume = \"0.5 L\"\n";
    let polished = proved(&format!(
        "{}{beds}{polish}{}",
        &LARKHAVEN[..begin],
        &LARKHAVEN[end..]
    ));
    let unpriced = |proof: &Proof| proof.supply.purifier.as_ref().map(|made| made.unpriced.clone());
    assert_eq!(unpriced(&proof), Some(vec![]));
    assert_eq!(unpriced(&polished), Some(vec!["the mixed bed that polishes"]));
}

/// The worst moment is in the season that takes more: 9 and 14 L/day, or whatever the other tank takes, in summer.
#[test]
fn stores_are_told_for_the_season_that_takes_more() {
    let text = edited(
        LARKHAVEN,
        &[
            ("tanks.touch-pool.evaporation", "\"9 L/day\""),
            ("tanks.touch-pool.evaporation_in_winter", "\"1 L/day\""),
        ],
    );
    let proof = proved(&text);
    let most = figure(&proof, "top-off-summer").max(figure(&proof, "top-off-winter"));
    assert!(figure(&proof, "top-off-summer") > figure(&proof, "top-off-winter"));
    let left = figure(&proof, "stores.top-off-worst");
    assert!((left * most - figure(&proof, "stores.fresh-worst")).abs() < 1e-9);
    let worst = &proof.supply.endurance[0];
    let alone = worst
        .tanks
        .iter()
        .find(|tank| tank.name == "touch-pool")
        .expect("it");
    let alone_s = alone.top_off_alone_s.as_ref().expect("a time").value;
    let by_hand_s = figure(&proof, "stores.fresh-worst") / (9.0 * LITRE_M3 / DAY_S);
    assert!((alone_s - by_hand_s).abs() < 1.0, "{alone_s}");
}

/// Four hours a day make what they make once a day, however much is wanted; it stands the other twenty.
#[test]
fn hours_of_a_day_cap_a_run() {
    for control in ["timer", "attended"] {
        let text = edited(
            LARKHAVEN,
            &[
                ("purifier.control", &format!("\"{control}\"")),
                ("purifier.hours_a_day", "\"4 h\""),
            ],
        );
        let proof = proved(&text);
        let made = proof.supply.purifier.as_ref().expect("a purifier");
        let own = made.controls.iter().find(|row| row.owners).expect("a row");
        assert!((own.runs_per_week.expect("runs") - 7.0).abs() < 1e-9, "{control}");
        assert!(
            (figure(&proof, "run.idle") - 20.0 * 3600.0).abs() < 1e-6,
            "{control}"
        );
        let by_hand = figure(&proof, "permeate") * 4.0 * 3600.0;
        let run = made.run.volume_m3.expect("a run");
        assert!((run - by_hand).abs() < 1e-12, "{control}: {run} {by_hand}");
        // A sixth of the day, so that more than the tap's pressure would be needed.
        if let Some(least) = &made.least_pressure_pa {
            assert!(least.value > 4.2e5, "{control}: {}", least.value);
        }
        let due = made.filters_due_m3_per_s.as_ref().expect("filters").value;
        assert!(due < figure(&proof, "permeate") / 6.0, "{control}");
    }
}

/// A run that its hours allow comes as often as the need asks, not once a day.
#[test]
fn enough_hours_leave_the_run_alone() {
    let text = edited(
        LARKHAVEN,
        &[
            ("purifier.control", "\"attended\""),
            ("purifier.hours_a_day", "\"24 h\""),
        ],
    );
    let proof = proved(&text);
    let made = proof.supply.purifier.as_ref().expect("a purifier");
    let own = made.controls.iter().find(|row| row.owners).expect("a row");
    let (run, runs) = own.run_volume_m3.zip(own.runs_per_week).expect("runs");
    let need = figure(&proof, "fresh-need");
    assert!((runs - need * 7.0 * DAY_S / run).abs() < 1e-6, "{runs} of {run}");
}

/// Colder water keeps its carbonate, while its pH moves: the carbon dioxide is that of ordinary days.
#[test]
fn a_colder_day_makes_no_carbon_dioxide() {
    let text = LARKHAVEN.replacen(
        "[feed_states.hard-frost]\n",
        "[feed_states.cold]\ntemperature = \"3 C\"\n[feed_states.hard-frost]\n",
        1,
    );
    let usual = Station::read(&text).unwrap_or_else(|_| panic!("it reads"));
    let cold = usual
        .in_feed_state("cold")
        .unwrap_or_else(|mend| panic!("{mend}"));
    let (usual, cold) = (prove(&usual), prove(&cold));
    let key = "feed.carbon-dioxide";
    assert!((figure(&usual, key) - figure(&cold, key)).abs() < 1e-12);
}

/// What its maker's test with chloramine promises is what a filter serves: 100 L of feed, by one plus the reject.
#[test]
fn a_chloramine_rating_is_a_life() {
    let text = edited(
        LARKHAVEN,
        &[
            ("feed.free_chlorine", "\"0 mg/L\""),
            ("feed.chloramine", "\"2.5 mg/L\""),
            ("filters.carbon.rated_chloramine_volume", "\"100 L\""),
        ],
    );
    let proof = proved(&text);
    let by_hand = 0.1 / (1.0 + figure(&proof, "run.reject-ratio"));
    assert!((figure(&proof, "run.life-carbon") - by_hand).abs() < 1e-12);
}

/// Several vessels share the run that a cure asks for: every start level moves, none to the floor.
#[test]
fn short_runs_of_several_vessels_are_cured_in_each() {
    let station = Station::read(SKELDER).unwrap_or_else(|_| panic!("it reads"));
    let fresh: Vec<&str> = station
        .vessels
        .iter()
        .filter(|vessel| vessel.fields.holds.value == station::sections::Water::Fresh)
        .map(|vessel| vessel.name.as_str())
        .collect();
    assert!(fresh.len() > 1);
    let paths: Vec<String> = fresh
        .iter()
        .map(|name| format!("vessels.{name}.start_level"))
        .collect();
    let mut edits: Vec<(&str, &str)> = paths.iter().map(|path| (path.as_str(), "\"1045 mm\"")).collect();
    edits.push(("purifier.flush", "\"0 L\""));
    let proof = proved(&edited(SKELDER, &edits));
    let finding = proof
        .findings
        .iter()
        .find(|finding| finding.id == "run-too-short")
        .expect("short runs");
    let remedy = finding.remedy.as_ref().expect("a cure");
    for path in &paths {
        let edit = remedy
            .edits
            .iter()
            .find(|edit| edit.path == *path)
            .expect("an edit");
        assert!(!edit.text.starts_with("\"0 "), "{}", edit.text);
    }
}

/// Nothing is made here, but water comes: what there is to say of it is said, and less than the need is a fault.
#[test]
fn deliveries_without_a_purifier_are_judged() {
    let begin = LARKHAVEN.find("[purifier]").expect("the purifier");
    let end = LARKHAVEN.find("[delivered.bay]").expect("the delivery");
    let shop = "[delivered.shop]\nkind = \"purified\"\nholds = \"fresh\"\nvolume = \"400 L\"\nevery = \"2 weeks\"\nconductivity = \"90 uS/cm\"\n";
    let text = format!("{}{shop}{}", &LARKHAVEN[..begin], &LARKHAVEN[end..]);
    let proof = proved(&text);
    assert!(has(&proof, "delivered-not-pure") && has(&proof, "natural-water"));
    // 400 L in 14 days are 28.6 L/day, half of what is needed; in one week they are enough.
    assert!(has(&proof, "delivered-too-little"));
    let weekly = proved(&text.replacen("\"2 weeks\"\nconductivity", "\"5 days\"\nconductivity", 1));
    assert!(!has(&weekly, "delivered-too-little"));
}

/// Hardness within the doubt of what is dissolved is read; beyond it, refused.
#[test]
fn hardness_within_the_doubt_is_read() {
    let with = |hardness: &str| {
        edited(
            LARKHAVEN,
            &[
                ("feed.conductivity", "\"300 uS/cm ± 20 uS/cm\""),
                ("feed.hardness", hardness),
                ("feed.alkalinity", "\"100 mg/L CaCO3\""),
            ],
        )
    };
    assert!(Station::read(&with("\"200 mg/L CaCO3 ± 15 mg/L CaCO3\"")).is_ok());
    assert!(Station::read(&with("\"260 mg/L CaCO3 ± 15 mg/L CaCO3\"")).is_err());
}

/// Switches with nothing to switch: reject runs between runs too, so that all of the day's goes to the drain.
#[test]
fn a_feed_that_nothing_stops_is_reckoned_day_and_night() {
    let text = edited(
        LARKHAVEN,
        &[
            ("purifier.feed_valve", "false"),
            ("purifier.shut_off", "\"leaks\""),
        ],
    );
    let proof = proved(&text);
    assert!(has(&proof, "reject-never-stops"));
    let by_hand = figure(&proof, "reject") / figure(&proof, "fresh-need");
    assert!((figure(&proof, "run.reject-ratio") / by_hand - 1.0).abs() < 1e-9);
    let sound = proved(LARKHAVEN);
    assert!(figure(&proof, "run.litre") > 2.0 * figure(&sound, "run.litre"));
}

/// It presses against the highest vessel that it fills: half a metre of water is about 0.05 bar.
#[test]
fn the_highest_vessel_gives_the_back_pressure() {
    let station = Station::read(SKELDER).unwrap_or_else(|_| panic!("it reads"));
    let last = station
        .vessels
        .iter()
        .rfind(|vessel| vessel.fields.holds.value == station::sections::Water::Fresh)
        .expect("a vessel");
    let path = format!("vessels.{}.floor_height", last.name);
    // As far as its line reaches.
    let lifted = last.fields.floor_height.value.m() + 0.5;
    let high = proved(&edited(SKELDER, &[(path.as_str(), &format!("\"{lifted} m\""))]));
    let risen_pa = figure(&high, "purifier.head") - figure(&proved(SKELDER), "purifier.head");
    // Density between 995 and 1 000 kg/m³, standard gravity; the other vessel may have stood a little higher.
    assert!((0.9 * 4_903.0..4_925.0).contains(&risen_pa), "{risen_pa}");
}

/// A booster behind the filters: the membrane has its pressure whatever they take; before it stands what they leave.
#[test]
fn a_booster_stands_behind_the_filters() {
    let proof = proved(SKELDER);
    let made = proof.supply.purifier.as_ref().expect("a purifier");
    assert!((made.membrane_pressure_pa.value - 6e5).abs() < 1.0);
    assert!(made.filters_due_m3_per_s.is_none());
    let clean = made.booster_suction_pa.as_ref().expect("a booster").value;
    let due = made.booster_suction_due_pa.as_ref().expect("a booster").value;
    // 0.05 bar at 1 L/min when clean, 0.5 bar for each of the two when due (the file's defaults).
    let litres_a_minute = (figure(&proof, "permeate") + figure(&proof, "reject")) * 60e3;
    assert!(
        (clean - (3.1e5 - 0.05e5 * litres_a_minute)).abs() < 1.0,
        "{clean}"
    );
    assert!((due - (3.1e5 - 1.0e5)).abs() < 1.0, "{due}");
    // A weaker tap leaves less before it and changes nothing behind it, until it stops.
    let weak = proved(&edited(SKELDER, &[("feed.pressure", "\"2 bar\"")]));
    let weakly = weak.supply.purifier.as_ref().expect("a purifier");
    assert!((figure(&weak, "permeate") / figure(&proof, "permeate") - 1.0).abs() < 1e-9);
    let left = weakly.booster_suction_pa.as_ref().expect("a booster").value;
    assert!((clean - left - 1.1e5).abs() < 1.0);
    let none = proved(&edited(SKELDER, &[("feed.pressure", "\"0.55 bar\"")]));
    assert!(has(&none, "booster-starves") && none.supply.purifier.is_none());
}

/// A booster that is set below what comes by itself adds nothing, and takes nothing.
#[test]
fn a_weak_booster_leaves_the_tap_as_it_is() {
    let weak = proved(&edited(
        LARKHAVEN,
        &[
            ("purifier.booster_pressure", "\"3 bar\""),
            ("purifier.booster_cutout", "\"0.5 bar\""),
        ],
    ));
    assert!(has(&weak, "booster-adds-nothing"));
    assert!((figure(&weak, "permeate") / figure(&proved(LARKHAVEN), "permeate") - 1.0).abs() < 1e-12);
}

/// What is bought comes into the price of a litre by its share.
#[test]
fn deliveries_come_into_the_litre() {
    let bought = [
        ("delivered.bay.holds", "\"fresh\""),
        ("delivered.bay.kind", "\"purified\""),
        ("delivered.bay.every", "\"4 weeks\""),
        ("delivered.bay.price", "\"20 ct/L\""),
    ];
    let proof = proved(&edited(LARKHAVEN, &bought));
    let comes = 250.0 * LITRE_M3 / (28.0 * DAY_S);
    let need = figure(&proof, "fresh-need");
    let by_hand = (comes * 200.0 + (need - comes) * figure(&proof, "run.litre")) / need;
    assert!((figure(&proof, "fresh.litre") / by_hand - 1.0).abs() < 1e-9);
    let lean = &proof.supply.purifier.as_ref().expect("a purifier").months[1];
    let delivered = lean.delivered_m3_per_s.as_ref().expect("it comes");
    assert!((delivered.value / comes - 1.0).abs() < 1e-12);
    // Where it is called, nothing comes by itself.
    assert!(proved(LARKHAVEN).supply.delivered[0].mean_m3_per_s.is_none());
}

/// Water that is called must be called while as much is left as is used until it comes.
#[test]
fn called_in_time() {
    let proof = proved(LARKHAVEN);
    let call_at = proof.supply.delivered[0]
        .call_at_m3
        .as_ref()
        .expect("it is called");
    let by_hand = figure(&proof, "salt-need") * 5.0 * DAY_S;
    assert!((call_at.value / by_hand - 1.0).abs() < 1e-12);
}

/// The worst season counts where deliveries are all there is: Skelder's tanks lose more in winter.
#[test]
fn deliveries_meet_the_worst_season() {
    let begin = SKELDER.find("# ---- water: what comes").expect("the section");
    let end = SKELDER.find("[instruments.bench-meter]").expect("the next");
    let shop = |volume: &str| {
        format!(
            "[delivered.lorry]\nholds = \"fresh\"\nkind = \"purified\"\nvolume = \"{volume}\"\nevery = \"1 week\"\n\n"
        )
    };
    let with = |volume: &str| {
        let text = format!("{}{}{}", &SKELDER[..begin], shop(volume), &SKELDER[end..]);
        proved(&text)
    };
    let lean = figure(&proved(SKELDER), "fresh-need") * 7.0 * DAY_S / LITRE_M3;
    // Enough for the mean of the year, not for its winter.
    let thin = with(&format!("{:.0} L", lean + 10.0));
    assert!(has(&thin, "delivered-too-little"), "{lean}");
    assert!(has(&with(&format!("{:.0} L", 1.2 * lean)), "delivered-is-enough"));
}

/// Resin and filters last by what is drawn, and no more is drawn than is made.
#[test]
fn lives_go_by_what_is_made() {
    let proof = proved(&edited(
        LARKHAVEN,
        &[("tanks.touch-pool.evaporation", "\"400 L/day\"")],
    ));
    assert!(has(&proof, "too-little-water"));
    let made = proof.supply.purifier.as_ref().expect("a purifier");
    let life = made.run.resin_life_m3.as_ref().expect("resin").value;
    let lasts = made.run.resin_lasts_s.as_ref().expect("resin").value;
    assert!((life / lasts / figure(&proof, "permeate") - 1.0).abs() < 1e-9);
}

/// A clock with an open feed still comes once a day: both are reckoned.
#[test]
fn a_timer_with_an_open_feed_stands_a_day() {
    let text = edited(
        LARKHAVEN,
        &[
            ("purifier.control", "\"timer\""),
            ("purifier.feed_valve", "false"),
            ("purifier.shut_off", "\"none\""),
        ],
    );
    let proof = proved(&text);
    let idle = figure(&proof, "run.idle");
    let running = figure(&proof, "fresh-need") / figure(&proof, "permeate") * DAY_S;
    assert!((idle - (DAY_S - running)).abs() < 1.0, "{idle}");
    let by_hand = figure(&proof, "reject") / figure(&proof, "fresh-need");
    assert!((figure(&proof, "run.reject-ratio") / by_hand - 1.0).abs() < 1e-9);
}

/// Top-off with salt water draws on the salt water: 46.7 gal, 1 gal/day and 10 gal in two weeks.
#[test]
fn salt_top_off_draws_on_the_salt_store() {
    let proof = proved(JUNIPER);
    let full = proof
        .supply
        .endurance
        .iter()
        .find(|stores| stores.at == "full")
        .expect("full");
    let tank = &full.tanks[0];
    let salt = full.salt_m3.as_ref().expect("salt water").value;
    let gallon = 3.785_411_784e-3;
    let own = tank.top_off_alone_s.as_ref().expect("top-off").value;
    assert!((own / (salt / (gallon / DAY_S)) - 1.0).abs() < 1e-9);
    let all = tank.top_off_s.as_ref().expect("top-off").value;
    assert!((all / (salt / (gallon / DAY_S + 10.0 * gallon / (14.0 * DAY_S))) - 1.0).abs() < 1e-9);
}

/// What a short run leaves in the hold-up isn't lost: it is there at the next start. Without its flush Skelder's resin
/// never lasts longer by shorter runs, down to a third of a litre.
#[test]
fn salt_left_behind_by_a_short_run_comes_with_the_next() {
    assert!(SKELDER.contains("flush = \"1.2 L\"\n"));
    let proof = proved(&SKELDER.replace("flush = \"1.2 L\"\n", ""));
    let curve = &proof.supply.purifier.as_ref().expect("a purifier").curve;
    let lives: Vec<f64> = curve
        .iter()
        .map(|point| point.resin_life_m3.as_ref().expect("resin").value)
        .collect();
    assert!(curve[0].run_volume_m3 < 0.4 * LITRE_M3);
    assert!(
        lives.windows(2).all(|pair| pair[0] <= pair[1] * (1.0 + 1e-9)),
        "{lives:?}"
    );
}

/// A flush of 100 L before runs of some 90 L: less than half of what is made is left, and runs that can't be made
/// aren't on the curve.
#[test]
fn a_flush_is_taken_from_what_is_made() {
    let text = edited(
        SKELDER,
        &[
            ("purifier.flush", "\"100 L\""),
            ("vessels.fresh-north.start_level", "\"1000 mm\""),
            ("vessels.fresh-south.start_level", "\"1000 mm\""),
        ],
    );
    let proof = proved(&text);
    let made = proof.supply.purifier.as_ref().expect("a purifier");
    let run = made.run.volume_m3.expect("a run");
    let month = &made.months[1];
    let by_hand = month.permeate_m3_per_s.value * run / (run + 100.0 * LITRE_M3);
    assert!((month.made_m3_per_s.value / by_hand - 1.0).abs() < 1e-9);
    let fill_s = month.fill_time_s.as_ref().expect("levels").value;
    let by_hand_s = (run + 100.0 * LITRE_M3) / month.permeate_m3_per_s.value;
    assert!((fill_s / by_hand_s - 1.0).abs() < 1e-9);
    let (permeate, need) = (figure(&proof, "permeate"), figure(&proof, "fresh-need"));
    for point in &made.curve {
        let v = point.run_volume_m3;
        assert!(
            permeate * v / (v + 100.0 * LITRE_M3) >= need * (1.0 - 1e-9),
            "{v}"
        );
    }
}

/// A restrictor so tight that more than half becomes permeate: every figure that rests on it says so, in the owner's
/// units.
#[test]
fn beyond_its_range_every_figure_says_so() {
    let tight = LARKHAVEN.replace(
        "restrictor_flow = \"800 mL/min ± 60 mL/min\"\n",
        "restrictor_bore = \"0.3 mm\"\n",
    );
    let proof = proved(&tight);
    for key in ["permeate.august", "run.resin-life", "run.litre", "recovery"] {
        let figure = proof.figure(key).expect(key);
        let remark = figure.remark.as_deref().unwrap_or_default();
        assert!(remark.contains("recovery is beyond 0 to 50 %"), "{key}: {remark}");
    }
    let august = &proof.supply.purifier.as_ref().expect("a purifier").months[7];
    assert!(august.made_m3_per_s.remark.is_some());
    assert!(august.need_m3_per_s.as_ref().expect("tanks").remark.is_none());
    let weak = proved(&edited(LARKHAVEN, &[("feed.pressure", "\"1.5 bar\"")]));
    let remark = weak
        .figure("permeate.august")
        .and_then(|figure| figure.remark.clone());
    assert!(
        remark
            .unwrap_or_default()
            .contains("pressure is beyond 2 to 8 bar")
    );
}

/// Only runs that begin and end at once stand on the curve: a float's don't.
#[test]
fn a_floats_run_is_not_on_the_curve() {
    let on_curve = |proof: &Proof| proof.supply.purifier.as_ref().map(|made| made.run.on_curve);
    assert_eq!(on_curve(&proved(LARKHAVEN)), Some(true));
    let float = proved(&edited(LARKHAVEN, &[("purifier.control", "\"float alone\"")]));
    assert_eq!(on_curve(&float), Some(false));
}
