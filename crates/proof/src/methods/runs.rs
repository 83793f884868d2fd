//! Starts and stops: what one run costs the resin.

use physics::freshwater::osmotic_pressure_pa;
use physics::membrane::shut_off::closing_share;
use physics::membrane::{
    FloatStop, HoldUp, MembraneError, RunLengths, TemperatureResponse, hold_up_for_ratio,
    idle_equilibrium_kg_m3, load_ratio, repeated_start_kg_m3, start_salt_kg, throttled_forever_kg_m3,
};
use physics::resin::CARBON_DIOXIDE_KG_MOL;
use station::quantity::Kind;

use crate::method::{Method, take};

const SOURCES: &[&str] = &["LONSDALE-1965", "MASS-BALANCE"];
const RANGE: &str = "one salt; well-mixed hold-up; no air drawn in while idle";

pub(crate) static IDLE_TIME: Method = Method {
    key: "idle-time",
    title: "time that the purifier stands before a run",
    formula: "max(0, max(run/need, apart) - (run + flush)/permeate)",
    inputs: &[
        "run",
        "need",
        "permeate",
        "least time from one start to the next",
        "flush",
    ],
    output: Kind::Time,
    sources: &["MASS-BALANCE"],
    range: "steady need",
    caution: None,
    eval: |inputs| {
        let [run, need, permeate, apart, flush] = take(inputs)?;
        Ok(((run / need).max(apart) - (run + flush) / permeate).max(0.0))
    },
};

pub(crate) static SOLIDS_AFTER_IDLE: Method = Method {
    key: "solids-after-idle",
    title: "dissolved solids behind the membrane when a run starts",
    formula: "c_ss + s g (c_f - c_ss)/(1 - r (1 - s g)), s = V_f/(V_f + V_h), g = 1 - exp(-t/tau), r = exp(-(F + V)/V_h), tau = V_h V_f/((V_h + V_f) B TCF)",
    inputs: &[
        "hold-up",
        "feed side",
        "salt conductance",
        "temperature",
        "output at 15 C",
        "permeate in a long run",
        "feed side in a run",
        "idle",
        "run",
        "flush",
    ],
    output: Kind::Concentration,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [
            permeate_m3,
            feed_side_m3,
            salt,
            temperature,
            cold,
            steady,
            feed_side,
            idle,
            run,
            flush,
        ] = take(inputs)?;
        let factor = TemperatureResponse::from_output_at_15_c(cold)?.factor(temperature)?;
        let hold_up = HoldUp {
            permeate_m3,
            feed_side_m3,
        };
        Ok(repeated_start_kg_m3(
            &hold_up,
            steady,
            feed_side,
            salt * factor,
            idle,
            run + flush,
        )?)
    },
};

pub(crate) static START_SALT: Method = Method {
    key: "start-salt",
    title: "salt that one start puts on the resin beyond a long run's",
    formula: "V_h (c_1 - c_ss)(exp(-F/V_h) - exp(-(F + V)/V_h))",
    inputs: &[
        "hold-up",
        "solids at the start",
        "permeate in a long run",
        "run",
        "flush",
    ],
    output: Kind::Mass,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [hold_up, start, steady, run, flush] = take(inputs)?;
        Ok(start_salt_kg(hold_up, start, steady, flush + run)?
            - start_salt_kg(hold_up, start, steady, flush)?)
    },
};

pub(crate) static TIMER_RUN: Method = Method {
    key: "timer-run",
    title: "water of one run by the clock or by hand",
    formula: "min(wanted, permeate x hours)",
    inputs: &["wanted", "permeate", "hours a day"],
    output: Kind::Volume,
    sources: &["MASS-BALANCE"],
    range: "a float ends it when the vessel is full",
    caution: None,
    eval: |inputs| {
        let [wanted, permeate, hours] = take(inputs)?;
        Ok(wanted.min(permeate * hours))
    },
};

pub(crate) static FLOAT_VOLUME: Method = Method {
    key: "float-volume",
    title: "water in a slice of the vessel, as a float sees it",
    formula: "slice x volume to the rim / height",
    inputs: &["slice", "volume to the rim", "height"],
    output: Kind::Volume,
    sources: &["GEOMETRY"],
    range: "mean section of the vessel",
    caution: None,
    eval: |inputs| {
        let [slice, full, height] = take(inputs)?;
        Ok(slice * full / height)
    },
};

pub(crate) static CLOSING_SHARE: Method = Method {
    key: "closing-share",
    title: "share of the flow left when the shut-off valve closes",
    formula: "1 - ratio/(1 - pi/P)",
    inputs: &["closes at", "pressure", "solids of the feed", "temperature"],
    output: Kind::Fraction,
    sources: SOURCES,
    range: "permeate pressure rises as a float closes",
    caution: None,
    eval: |inputs| {
        let [ratio, pressure, solids, temperature] = take(inputs)?;
        Ok(closing_share(
            ratio,
            pressure,
            osmotic_pressure_pa(solids, temperature)?,
        )?)
    },
};

/// Water that a run makes while the float closes: all of it where the run is smaller than the travel.
fn slowly_made_m3(band_m3: f64, share: f64, run_m3: f64) -> f64 {
    run_m3.min(band_m3 * (1.0 - share))
}

pub(crate) static SHUT_OFF_PRESSURE: Method = Method {
    key: "shut-off-pressure",
    title: "pressure in the permeate line at which the shut-off valve moves",
    formula: "share x pressure",
    inputs: &["share of the feed pressure", "pressure"],
    output: Kind::Pressure,
    sources: &["DEFINITION"],
    range: "gauge pressures; a gauge in the permeate line shows it",
    caution: None,
    eval: |inputs| {
        let [share, pressure] = take(inputs)?;
        Ok(share * pressure)
    },
};

pub(crate) static THROTTLE_TIME: Method = Method {
    key: "throttle-time",
    title: "time that a run spends while the float valve closes",
    formula: "V_b/q ln(min(1, share + V/V_b)/share)",
    inputs: &[
        "volume of its travel",
        "permeate",
        "share left when it ends",
        "run",
    ],
    output: Kind::Time,
    sources: SOURCES,
    range: "flow falls evenly along the float's travel",
    caution: None,
    eval: |inputs| {
        let [band_m3, full_flow_m3_s, closing_share, run] = take(inputs)?;
        let until = |closing_share: f64| {
            FloatStop {
                band_m3,
                full_flow_m3_s,
                closing_share,
            }
            .throttle_time_s()
        };
        // A run smaller than the travel starts somewhere along it.
        let starts_at = (closing_share + run / band_m3).min(1.0);
        Ok(until(closing_share)? - until(starts_at)?)
    },
};

pub(crate) static STOP_SALT: Method = Method {
    key: "stop-salt",
    title: "salt that passes while a float valve closes",
    formula: "B TCF C_b t - c_ss min(V, V_b (1 - share))",
    inputs: &[
        "salt conductance",
        "temperature",
        "output at 15 C",
        "feed side in a run",
        "time to close",
        "permeate in a long run",
        "volume of its travel",
        "share left when it ends",
        "run",
    ],
    output: Kind::Mass,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [salt, temperature, cold, feed_side, time, steady, band, share, run] = take(inputs)?;
        let factor = TemperatureResponse::from_output_at_15_c(cold)?.factor(temperature)?;
        let through = salt * factor * feed_side * time;
        Ok((through - steady * slowly_made_m3(band, share, run)).max(0.0))
    },
};

pub(crate) static MEAN_SOLIDS: Method = Method {
    key: "mean-solids",
    title: "dissolved solids that the resin sees, on average over a run",
    formula: "c_ss + (start + stop)/run",
    inputs: &["permeate in a long run", "start", "stop", "run"],
    output: Kind::Concentration,
    sources: SOURCES,
    range: RANGE,
    caution: None,
    eval: |inputs| {
        let [steady, start, stop, run] = take(inputs)?;
        Ok(steady + (start + stop) / run)
    },
};

pub(crate) static THROTTLED_SOLIDS: Method = Method {
    key: "throttled-solids",
    title: "dissolved solids of a purifier that never stops and gives only the need",
    formula: "max(c_ss, B TCF C_f / (q + B TCF))",
    inputs: &[
        "salt conductance",
        "temperature",
        "output at 15 C",
        "solids of the feed",
        "drawn",
        "permeate in a long run",
    ],
    output: Kind::Concentration,
    sources: SOURCES,
    range: "reject runs all the time, so that the feed side hardly concentrates; never cleaner than at full flow",
    caution: None,
    eval: |inputs| {
        let [salt, temperature, cold, solids, drawn, steady] = take(inputs)?;
        let factor = TemperatureResponse::from_output_at_15_c(cold)?.factor(temperature)?;
        Ok(throttled_forever_kg_m3(salt * factor, solids, drawn)?.max(steady))
    },
};

pub(crate) static REJECT_RATIO: Method = Method {
    key: "reject-ratio",
    title: "to the drain for each part of purified water",
    formula: "(reject/permeate (V + flush - V_s) + flush + reject t)/V, V_s = min(V, V_b (1 - share))",
    inputs: &[
        "reject",
        "permeate",
        "run",
        "flush",
        "time to close",
        "volume of a float's travel",
        "share left when it ends",
    ],
    output: Kind::Number,
    sources: &["MASS-BALANCE"],
    range: "while it runs; a sound shut-off valve between runs",
    caution: None,
    eval: |inputs| {
        let [reject, permeate, run, flush, closing, band, share] = take(inputs)?;
        let at_full_flow = run + flush - slowly_made_m3(band, share, run);
        Ok((reject / permeate * at_full_flow + flush + reject * closing) / run)
    },
};

pub(crate) static DRAWN_DAY_AND_NIGHT: Method = Method {
    key: "drawn-day-and-night",
    title: "water that leaves a purifier that never stops",
    formula: "min(need, permeate)",
    inputs: &["need", "permeate"],
    output: Kind::Flow,
    sources: &["MASS-BALANCE"],
    range: "a float throttles it to the need",
    caution: None,
    eval: |inputs| {
        let [need, permeate] = take(inputs)?;
        Ok(need.min(permeate))
    },
};

pub(crate) static REJECT_RATIO_ALWAYS: Method = Method {
    key: "reject-ratio-always",
    title: "to the drain for each part of purified water, when the reject never stops",
    formula: "reject/drawn",
    inputs: &["reject", "drawn"],
    output: Kind::Number,
    sources: &["MASS-BALANCE"],
    range: "no sound shut-off valve",
    caution: None,
    eval: |inputs| {
        let [reject, drawn] = take(inputs)?;
        Ok(reject / drawn)
    },
};

pub(crate) static SHORT_OVER_LONG: Method = Method {
    key: "short-over-long",
    title: "resin that runs of 20 L spend over what runs of 130 L do",
    formula: "load(20 L)/load(130 L), load = (c_ss + m_s/V)/E + gas",
    inputs: &[
        "hold-up",
        "feed side",
        "feed side in a run",
        "permeate in a long run",
        "equivalent weight",
        "carbon dioxide",
        "flush",
    ],
    output: Kind::Number,
    sources: SOURCES,
    range: "stood long enough to even out; other loads as the equivalent salt",
    caution: None,
    eval: |inputs| {
        let [hold_up, feed_side, in_run, steady, equivalent, gas, flush] = take(inputs)?;
        let runs = saying(feed_side, in_run, steady, equivalent, gas);
        if flush == 0.0 {
            return Ok(load_ratio(&runs, hold_up)?);
        }
        let at_start = idle_equilibrium_kg_m3(
            &HoldUp {
                permeate_m3: hold_up,
                feed_side_m3: feed_side,
            },
            steady,
            in_run,
        )?;
        let load = |run: f64| {
            let salt = start_salt_kg(hold_up, at_start, steady, flush + run)?
                - start_salt_kg(hold_up, at_start, steady, flush)?;
            Ok::<f64, MembraneError>(steady + salt / run + runs.other_kg_m3)
        };
        Ok(load(runs.short_run_m3)? / load(runs.long_run_m3)?)
    },
};

/// The two runs that the trade's saying compares.
fn saying(
    feed_side_m3: f64,
    feed_side_kg_m3: f64,
    steady_kg_m3: f64,
    equivalent: f64,
    carbon_dioxide: f64,
) -> RunLengths {
    RunLengths {
        short_run_m3: 0.020,
        long_run_m3: 0.130,
        feed_side_m3,
        feed_side_kg_m3,
        steady_kg_m3,
        // Carbon dioxide loads as much as so much salt would.
        other_kg_m3: carbon_dioxide / CARBON_DIOXIDE_KG_MOL * equivalent * 1e-3,
    }
}

pub(crate) static HOLD_UP_FOR_TWICE: Method = Method {
    key: "hold-up-for-twice",
    title: "hold-up at which runs of 20 L would spend twice the resin of runs of 130 L",
    formula: "V_h with load(20 L) = 2 load(130 L), load = (c_ss + m_s(V_h)/V)/E + gas",
    inputs: &[
        "feed side",
        "feed side in a run",
        "permeate in a long run",
        "equivalent weight",
        "carbon dioxide",
    ],
    output: Kind::Volume,
    sources: SOURCES,
    range: "stood long enough to even out; other loads as the equivalent salt",
    caution: None,
    eval: |inputs| {
        let [feed_side, in_run, steady, equivalent, gas] = take(inputs)?;
        Ok(hold_up_for_ratio(
            &saying(feed_side, in_run, steady, equivalent, gas),
            2.0,
        )?)
    },
};
