//! The integrated case of the design handbook (section 21), from the rating to the resin, each step fed by the one
//! before, unrounded.
//!
//! Inputs there: a membrane of 75 US gallons a day (60 psi, 25 C, 250 mg/L, 15 %, 98 %), 60 psi, 15 C, feed of
//! 300 mg/L, recovery 0.20, 0.2 bar of head, alkalinity 100 mg/L as CaCO₃, pH 7.5, ionic strength 0.006, 80 mL and
//! 0.30 L held, 0.457 eq/L of which 0.85 is used; what passes is taken for sodium chloride, 58.44 g. A recovery
//! isn't an input of the methods: the restrictor passes 31.16 L/h at the 60 psi, the case's own reject.

use super::answer;
use super::water::{
    AS_CALCITE, BAR, COLD, HOUR, L_H, LITRE, MG, MG_L, MINUTE, PER_IONIC_STRENGTH, PSI, RATED,
};

/// Half a unit of the last digit printed.
#[track_caller]
fn meets(what: &str, got: f64, printed: f64, half: f64) {
    assert!((got - printed).abs() <= half, "{what}: {got} for {printed}");
}

const PRESSURE: f64 = 60.0 * PSI;
const FEED: f64 = 300.0 * MG_L;
const HEAD: f64 = 0.2 * BAR;
const HOLD_UP: f64 = 0.08 * LITRE;
const IN_HOUSING: f64 = 0.30 * LITRE;
const REJECT: f64 = 31.16 * L_H;
const WEIGHT: f64 = 58.44;

/// Conductances, permeate, its solids: the train at 15 C.
struct Train {
    water: f64,
    salt: f64,
    permeate: f64,
    solids: f64,
}

fn train() -> Train {
    let rating = [RATED, 1.0, 60.0 * PSI, 0.25, 25.0, 0.15, 0.98, COLD];
    let water = answer("water-conductance", &rating);
    let salt = answer("salt-conductance", &rating);
    let permeate = answer(
        "permeate-flow",
        &[
            PRESSURE, 15.0, FEED, HEAD, COLD, REJECT, PRESSURE, 0.0, 0.0, RATED, water, salt,
        ],
    );
    let reject = answer("reject-flow", &[PRESSURE, REJECT, PRESSURE, 0.0, permeate]);
    Train {
        water,
        salt,
        permeate,
        solids: answer("permeate-solids", &[salt, 15.0, COLD, FEED, permeate, reject]),
    }
}

#[test]
fn from_the_rating_to_the_permeate() {
    let Train {
        water,
        salt,
        permeate,
        solids,
    } = train();
    meets(
        "A, L/(m2 h bar) over 0.46 m2",
        water * BAR / L_H / 0.46,
        6.545,
        5e-4,
    );
    meets("B, L/(m2 h) over 0.46 m2", salt / L_H / 0.46, 0.4346, 5e-5);
    meets("product, L/h", permeate / L_H, 7.79, 5e-3);
    meets("recovery", answer("recovery", &[permeate, REJECT]), 0.20, 5e-5);
    meets("feed, L/h", (permeate + REJECT) / L_H, 38.95, 5e-3);
    let made = answer("made-a-day", &[permeate, 24.0 * HOUR]);
    meets("product, L a day", made * 24.0 * HOUR / LITRE, 187.0, 0.5);
    let contact = answer("contact-time", &[0.649 * LITRE, permeate, REJECT]);
    meets("carbon sees 0.649 L/min", contact / MINUTE, 1.0, 0.0005 / 0.649);
    meets("permeate, mg/L", solids / MG_L, 6.83, 5e-3);
    meets("rejection, %", 100.0 * (1.0 - solids / FEED), 97.7, 0.05);
    // At the wall the channel's mean times exp(0.7 Y), here 1.150.
    let channel = answer("feed-side-solids", &[FEED, permeate, REJECT]);
    meets("wall, mg/L", 1.150_27 * channel / MG_L, 385.0, 0.5);
    let fill = answer("fill-time", &[200.0 * LITRE, permeate]);
    meets("200 L, h", fill / HOUR, 25.7, 0.05);
}

fn gas() -> f64 {
    let inputs = [100.0 * AS_CALCITE, 7.5, 15.0, 15.0, 0.006 * PER_IONIC_STRENGTH];
    let carbon_dioxide = answer("carbon-dioxide", &inputs);
    meets("carbon dioxide, mg/L", carbon_dioxide / MG_L, 6.71, 5e-3);
    answer("gas-load", &[carbon_dioxide])
}

fn load(mean_solids: f64, gas: f64) -> f64 {
    answer(
        "resin-load",
        &[answer("salt-load", &[mean_solids, WEIGHT]), gas, 0.0],
    )
}

#[test]
fn what_loads_the_resin() {
    let gas = gas();
    meets("gas, meq/L", gas, 0.152, 5e-4);
    let steady = load(train().solids, gas);
    meets("load, meq/L", steady, 0.269, 5e-4);
    meets("gas, %", 100.0 * answer("gas-share", &[gas, steady]), 57.0, 0.5);
    let life = answer("resin-life", &[457.0, LITRE, 0.85, steady]);
    meets("L of resin in 1000 L", LITRE / life * 1000.0, 0.693, 5e-4);
}

#[test]
fn what_a_start_costs() {
    let Train {
        salt,
        permeate,
        solids,
        ..
    } = train();
    let channel = answer("feed-side-solids", &[FEED, permeate, REJECT]);
    let after = |idle: f64| {
        answer(
            "solids-after-idle",
            &[
                HOLD_UP, IN_HOUSING, salt, 15.0, COLD, solids, channel, idle, 10.0, 0.0,
            ],
        )
    };
    let even = after(1e8);
    meets("c_eq, mg/L", even / MG_L, 265.7, 0.05);
    // After one tau a share 1/e is still to go; half a unit of tau is worth 0.0007 of it.
    let to_go = (even - after(26.9 * MINUTE)) / (even - solids);
    meets("tau of 26.9 min", to_go, 0.367_879, 0.367_879 * 0.05 / 26.9);
    let start = |run: f64| answer("start-salt", &[HOLD_UP, even, solids, run, 0.0]);
    meets("m_s, mg", start(200.0 * LITRE) / MG, 20.7, 0.05);
    meets("N, L", start(200.0 * LITRE) / solids / LITRE, 3.03, 5e-3);

    let gas = gas();
    for (litres, printed) in [
        (1.0, 0.624),
        (5.0, 0.340),
        (20.0, 0.287),
        (130.0, 0.272),
        (200.0, 0.271),
    ] {
        let run = litres * LITRE;
        let mean = answer("mean-solids", &[solids, start(run), 0.0, run]);
        meets(
            &format!("load of runs of {litres} L, meq/L"),
            load(mean, gas),
            printed,
            5e-4,
        );
    }
}

/// The limits that the handbook asserts.
#[test]
fn limits_of_the_case() {
    let Train {
        water, salt, solids, ..
    } = train();
    let at = |pressure: f64| {
        answer(
            "permeate-flow",
            &[
                pressure, 15.0, FEED, 0.0, COLD, REJECT, PRESSURE, 0.0, 0.0, RATED, water, salt,
            ],
        )
    };
    // Down to no pressure the permeate goes to nothing, and is never saltier than its wall.
    assert_eq!(at(0.0), 0.0);
    let trickle = at(0.05 * BAR);
    assert!(trickle > 0.0 && trickle < 0.01 * at(PRESSURE), "{trickle}");
    let salty = answer("permeate-solids", &[salt, 15.0, COLD, FEED, trickle, REJECT]);
    assert!(salty > 0.5 * FEED && salty <= 1.1 * FEED, "{salty}");
    // No recovery: neither the channel nor the wall is concentrated.
    meets(
        "channel",
        answer("feed-side-solids", &[FEED, 0.0, REJECT]),
        FEED,
        1e-15,
    );
    // No gas: the salt alone.
    meets("load", load(solids, 0.0), solids / WEIGHT * 1e3, 1e-12);
    // An endless run: the start is forgotten.
    let start = answer("start-salt", &[HOLD_UP, 0.2657, solids, 1e6, 0.0]);
    meets(
        "mean",
        answer("mean-solids", &[solids, start, 0.0, 1e6]),
        solids,
        1e-10,
    );
}
