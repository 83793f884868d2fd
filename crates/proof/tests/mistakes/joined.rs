//! Two suction valves open together: two vessels on one header before one pump, and what clears it.

use proof::{Cause, Hazard, MistakeKind as Kind, Mistakes, prove};

use super::support::{edited, mistakes_of, read, remedied};

/// Two tubs of a quarter of a square metre side by side, their outlets and the header all at 450 mm, so that nothing
/// hangs on which water stands in the suction lines.
const HEADER: &str = r#"
title = "header"
[room]
lowest_winter_temperature = "15 C"
[salt]
anhydrous_fraction = 0.9
[prices]
check_valve = "12 EUR"
three_way_valve = "40 EUR"
[vessels.fresh]
holds = "fresh"
shape = "box"
length = "500 mm"
width = "500 mm"
height = "900 mm"
floor_height = "400 mm"
outlet_level = "50 mm"
start_level = "250 mm"
stop_level = "800 mm"
used_for = "rinsing"
[vessels.salt]
holds = "salt"
shape = "box"
length = "500 mm"
width = "500 mm"
height = "900 mm"
floor_height = "400 mm"
outlet_level = "50 mm"
stop_level = "600 mm"
target_salinity = 35
mixing_temperature = "25 C"
[pumps.pump]
curve = [["0 L/min", "3 m"], ["20 L/min", "2.2 m"], ["40 L/min", "0 m"]]
height = "300 mm"
[tees.header]
height = "450 mm"
[tees.wall]
height = "400 mm"
[draw_points.spout]
height = "420 mm"
container = "10 L"
[lines.fresh-suction]
from = "fresh"
to = "header"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "500 mm"
[lines.salt-suction]
from = "salt"
to = "header"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "500 mm"
[lines.suction]
from = "header"
to = "pump"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "500 mm"
[lines.discharge]
from = "pump"
to = "wall"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "500 mm"
[lines.spout]
from = "wall"
to = "spout"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "300 mm"
[lines.jet]
from = "wall"
to = "salt"
tube = "metric pipe 10 bar"
size = "32 mm"
length = "2 m"
[valves]
fresh-outlet = { line = "fresh-suction", kind = "ball" }
salt-outlet = { line = "salt-suction", kind = "ball" }
spout = { line = "spout", kind = "ball" }
jet = { line = "jet", kind = "ball" }
[lineups.bucket]
from = "fresh"
to = "spout"
open = "fresh-outlet, spout"
[lineups.mix]
from = "salt"
to = "salt"
by = "pump"
open = "salt-outlet, jet"
"#;

/// Density of fresh water at 15 °C and of sea water of salinity 35 at 25 °C, kg/m³: 999.10 (IAPWS) and 1023.34 (UNESCO's
/// check value of the equation of state of 1980), from memory.
const FRESH_KG_M3: f64 = 999.10;
const SALT_KG_M3: f64 = 1023.34;

/// The fresh level that balances a salt level, both over the outlets: ρ_fresh·h_fresh = ρ_salt·h_salt (hydrostatics).
fn balanced_m(salt_m: f64) -> f64 {
    0.05 + (salt_m - 0.05) * SALT_KG_M3 / FRESH_KG_M3
}

/// The hazard of exactly these two valves.
fn of_both(mistakes: &Mistakes, kind: Kind) -> Option<&Hazard> {
    mistakes.map.hazards.iter().find(|hazard| {
        hazard.kind == kind
            && hazard.valves_open == ["fresh-outlet", "salt-outlet"]
            && hazard.pumps_on.is_empty()
    })
}

#[test]
fn water_runs_one_way_above_the_balance_and_the_other_below() {
    let mistakes = mistakes_of(&read(HEADER));
    // A batch of 600 mm balances 613.3 mm of fresh water: 550 mm · 1023.34 / 999.10 = 563.3 mm over the outlets.
    let level_m = balanced_m(0.6);
    assert!((level_m - 0.6133).abs() < 1e-4);
    let thins = of_both(&mistakes, Kind::FreshIntoSalt).unwrap();
    assert_eq!(thins.victim, "salt");
    let salts = of_both(&mistakes, Kind::SaltIntoFresh).unwrap();
    assert_eq!(
        (salts.victim.as_str(), salts.situation.as_str()),
        ("fresh", "crossed")
    );
    // Half a millimetre: what is told is found to a hundredth of one, the densities are known to a hundredth of a per mille.
    let told = salts.balance.as_ref().unwrap();
    assert_eq!(told.vessel, "fresh");
    assert!((told.level_m - level_m).abs() < 5e-4, "{} m", told.level_m);
}

/// The levels set in the file, 20 mm either side of the balance; and 5 mm below it, where fresh water stands 8 mm higher
/// than the batch and yet salt water comes in: 2.5 mm of it, 0.6 L at 35 in 150 L, which is 0.14.
#[test]
fn levels_in_the_file_decide_which_way() {
    let level_m = balanced_m(0.6);
    let at = |from_balance_m: f64| {
        let level = format!("\"{:.1} mm\"", 1e3 * (level_m + from_balance_m));
        let above = format!("\"{:.1} mm\"", 1e3 * (level_m + from_balance_m) + 1.0);
        let station = edited(
            HEADER,
            &[
                ("vessels.fresh.stop_level", &above),
                ("vessels.fresh.start_level", &level),
            ],
        );
        let station = edited(&station.text, &[("vessels.salt.start_level", "\"599 mm\"")]);
        let states = proof::every_state(&station, 0.0).unwrap();
        let state = states.into_iter().find(|state| {
            state.situation == "full"
                && state.valves_open == ["fresh-outlet", "salt-outlet"]
                && state.pumps_on.is_empty()
        });
        state
            .unwrap()
            .harms
            .into_iter()
            .map(|harm| harm.kind)
            .collect::<Vec<_>>()
    };
    assert_eq!(at(0.02), [Kind::FreshIntoSalt]);
    assert_eq!(at(-0.02), [Kind::SaltIntoFresh]);
    assert_eq!(at(-0.005), [Kind::SaltIntoFresh]);
}

/// What stands in the common pipe holds nothing back that goes round before it.
#[test]
fn a_check_valve_behind_the_pump_clears_neither() {
    let check = r#"{ line = "discharge", kind = "swing check" }"#;
    let mistakes = mistakes_of(&edited(HEADER, &[("valves.check", check)]));
    assert!(of_both(&mistakes, Kind::FreshIntoSalt).is_some());
    assert!(of_both(&mistakes, Kind::SaltIntoFresh).is_some());
    assert!(mixes_by_opening(&mistakes));
}

/// Whether one wrong valve during the task by gravity lets salt water into the fresh.
fn mixes_by_opening(mistakes: &Mistakes) -> bool {
    mistakes.one_step.iter().any(|own| {
        (own.lineup.as_str(), own.moved.as_str(), own.kind) == ("bucket", "salt-outlet", Kind::SaltIntoFresh)
    })
}

#[test]
fn a_check_valve_in_each_branch_clears_both() {
    let checks = [
        (
            "valves.fresh-check",
            r#"{ line = "fresh-suction", kind = "swing check" }"#,
        ),
        (
            "valves.salt-check",
            r#"{ line = "salt-suction", kind = "swing check" }"#,
        ),
    ];
    let mistakes = mistakes_of(&edited(HEADER, &checks));
    assert_eq!(of_both(&mistakes, Kind::FreshIntoSalt), None);
    assert_eq!(of_both(&mistakes, Kind::SaltIntoFresh), None);
    assert!(!mixes_by_opening(&mistakes));
    // One in one branch clears one way only.
    let one = mistakes_of(&edited(HEADER, &checks[..1]));
    assert!(of_both(&one, Kind::FreshIntoSalt).is_some());
    assert_eq!(of_both(&one, Kind::SaltIntoFresh), None);
}

/// With salt water at 600 mm and fresh at 250 mm, salt stands over fresh by 563.3 − 200 = 363 mm of fresh water at the
/// outlets. A spring that takes 20 mbar, 204 mm, lets it pass; one that takes 50 mbar, 510 mm, doesn't.
#[test]
fn what_opens_a_check_valve_counts() {
    let with = |cracking: &str| {
        let check = format!(r#"{{ line = "salt-suction", kind = "spring check", cracking = "{cracking}" }}"#);
        mistakes_of(&edited(HEADER, &[("valves.salt-check", &check)]))
    };
    assert!(of_both(&with("20 mbar"), Kind::SaltIntoFresh).is_some());
    assert_eq!(of_both(&with("50 mbar"), Kind::SaltIntoFresh), None);
}

#[test]
fn a_three_way_valve_clears_both() {
    let mistakes = mistakes_of(&edited(
        HEADER,
        &[("valves.salt-outlet.three_way_with", "\"fresh-outlet\"")],
    ));
    assert_eq!(of_both(&mistakes, Kind::FreshIntoSalt), None);
    assert_eq!(of_both(&mistakes, Kind::SaltIntoFresh), None);
    assert!(!mixes_by_opening(&mistakes));
    // Never both open: a quarter of the positions can't be. Four valves and a pump make 32, in four situations.
    assert_eq!(
        mistakes.map.states_tried,
        24 * mistakes.map.situations.len() as u64
    );
}

/// The cheapest is told: one check valve, for one way; that it can stick is said. Both branches' and the three-way valve
/// are among what was tried.
#[test]
fn changes_are_proposed_by_their_price() {
    let mistakes = mistakes_of(&read(HEADER));
    let paths = |at: usize| -> Vec<&str> {
        let edits = mistakes.remedies[at].edits.iter();
        edits.map(|edit| edit.path.as_str()).collect()
    };
    let place = |wanted: &[&str]| {
        (0..mistakes.remedies.len())
            .find(|at| paths(*at) == wanted)
            .unwrap()
    };
    let one = place(&["valves.fresh-suction-check"]);
    let both = place(&["valves.fresh-suction-check", "valves.salt-suction-check"]);
    let three_way = place(&["valves.salt-outlet.three_way_with"]);
    assert_eq!(salted(&mistakes).remedy, Some(one));
    assert!(one < both && both < three_way, "{:#?}", mistakes.remedies);
    let price = |at: usize| mistakes.remedies[at].price;
    assert_eq!(
        [price(one), price(both), price(three_way)],
        [Some(12.0), Some(24.0), Some(40.0)]
    );
    for at in [one, both] {
        assert!(
            mistakes.remedies[at]
                .caution
                .unwrap()
                .contains("can stick or leak")
        );
    }
    assert_eq!(mistakes.remedies[three_way].caution, None);
    // Salt into fresh. Fresh water that thins the batch isn't cleared whole by any: opened while the batch is mixed, the
    // fresh valve lets the pump draw purified water and send it into salt.
    let clears = |at: usize| mistakes.remedies[at].clears;
    assert_eq!([clears(one), clears(both), clears(three_way)], [1, 1, 1]);
}

fn salted(mistakes: &Mistakes) -> &Cause {
    let is = |cause: &&Cause| cause.kind == Kind::SaltIntoFresh;
    mistakes.causes.iter().find(is).unwrap()
}

/// Where check valves are dearer than a three-way valve, that is told.
#[test]
fn the_prices_of_the_file_decide() {
    let mistakes = mistakes_of(&edited(HEADER, &[("prices.check_valve", "\"41 EUR\"")]));
    let told = &mistakes.remedies[salted(&mistakes).remedy.unwrap()];
    assert_eq!(told.edits[0].path, "valves.salt-outlet.three_way_with");
}

#[test]
fn every_change_proposed_for_the_header_does_what_it_says() {
    assert!(remedied(HEADER) > 4);
}

const LARKHAVEN: &str = include_str!("../../../../stations/larkhaven.toml");
const JUNIPER: &str = include_str!("../../../../stations/juniper-street-school.toml");
const SKELDER: &str = include_str!("../../../../stations/skelder-hatchery.toml");

#[test]
fn every_change_proposed_for_larkhaven_does_what_it_says() {
    assert!(remedied(LARKHAVEN) > 5);
}

/// One spigot over a bucket that is watched: no wrong move, nothing to change.
#[test]
fn nothing_is_proposed_for_juniper_street() {
    let mistakes = mistakes_of(&read(JUNIPER));
    assert_eq!(
        (
            mistakes.one_step.len(),
            mistakes.causes.len(),
            mistakes.remedies.len()
        ),
        (0, 0, 0)
    );
}

#[test]
fn nothing_is_left_to_propose_for_skelder() {
    assert_eq!(remedied(SKELDER), 0);
    // Without what its file has for this, it is all proposed.
    let bare = [
        ("flow_switch = true", ""),
        (", self_closing = true", ""),
        ("siphon_break = \"2.68 m\"", ""),
    ]
    .iter()
    .fold(SKELDER.to_owned(), |text, (had, has)| {
        assert!(text.contains(had), "{had}");
        text.replace(had, has)
    });
    assert!(remedied(&bare) > 3);
}

/// Skelder with its western salt vessel 0.85 m higher. A valve opened to it lets it run into the eastern one, which a cut-out
/// that stops pumps can't end: told out of rest, where valves stand open for the timer, and beside a pump that runs. As it is,
/// both stand level and nothing of the kind is told.
#[test]
fn a_high_cutout_holds_no_water_that_falls() {
    let floods = |text: &str| -> Vec<String> {
        let mistakes = mistakes_of(&read(text));
        let own = mistakes.one_step.iter().filter(|own| {
            (own.kind, own.victim.as_str(), own.moved.as_str()) == (Kind::OverRim, "salt-east", "salt-west")
        });
        own.map(|own| own.lineup.clone()).collect()
    };
    assert!(floods(SKELDER).is_empty());
    let (before, west) = SKELDER.split_once("[vessels.salt-west]").unwrap();
    let raised = west.replacen("floor_height = \"50 mm\"", "floor_height = \"900 mm\"", 1);
    let found = floods(&format!("{before}[vessels.salt-west]{raised}"));
    for task in ["rest", "mix-east"] {
        assert!(found.iter().any(|own| own == task), "{task}: {found:?}");
    }
}

/// Two pumps on one header, each to stir a vessel by its timer: the valves of both may never stand open, or one vessel runs
/// into the other. Those of the first stay open alone, once each.
#[test]
fn no_two_vessels_are_joined_at_rest() {
    let pipe = "tube = \"metric pipe 10 bar\"\nsize = \"40 mm\"\nlength = \"1 m\"\n";
    let spare = format!(
        "[pumps.spare]\ncurve = [[\"0 L/min\", \"9 m\"], [\"80 L/min\", \"6 m\"], [\"150 L/min\", \"0 m\"]]\nheight = \"150 mm\"\n\n\
         [lines.spare-in]\nfrom = \"salt-suction\"\nto = \"spare\"\n{pipe}\n\
         [lines.spare-out]\nfrom = \"spare\"\nto = \"salt-header\"\n{pipe}\n\
         [valves]\nspare-valve = {{ line = \"spare-out\", kind = \"ball\" }}\n"
    );
    let west = "mix-west = { from = \"salt-west\", to = \"salt-west\", by = \"pump\", pump = ";
    assert!(SKELDER.contains(west));
    let text = SKELDER
        .replace("[valves]\n", &spare)
        .replace(&format!("{west}\"salt-pump\""), &format!("{west}\"spare\""));
    let proof = prove(&read(&text));
    let open = proof.lineups.unwrap().stand_open;
    let mut once = open.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), open.len(), "{open:?}");
    assert!(open.iter().any(|own| own == "jet-east"), "{open:?}");
    assert!(
        !open.iter().any(|own| own == "jet-west" || own == "salt-west"),
        "{open:?}"
    );
}
