//! Resin, cost and reject against the volume of a run, and the ways to control the fill side by side.

use serde::Serialize;
use station::quantity::{Kind, Spread, UnitSystem};
use station::sections::{Control, ShutOff};
use station::{Purifier, Vessel};

use super::feed::constant;
use super::run::{Closing, Economics, Rhythm, Shared};
use crate::estimate::Estimate;
use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// Run volumes of the curve, m³: even steps on a logarithmic scale, as far as one can read them.
const RUNS_M3: [f64; 11] = [
    0.3e-3, 1e-3, 3e-3, 5e-3, 10e-3, 20e-3, 50e-3, 130e-3, 300e-3, 1.0, 3.0,
];
/// The same in gallons.
const RUNS_GAL: [f64; 11] = [0.1, 0.25, 0.75, 1.5, 2.5, 5.0, 15.0, 35.0, 80.0, 250.0, 800.0];

/// What a run of this volume comes to.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CurvePoint {
    /// Its volume, m³.
    pub run_volume_m3: f64,
    /// Dissolved solids that the resin sees, kg/m³.
    pub solids_kg_m3: Estimate,
    /// Water that a bed purifies, m³.
    pub resin_life_m3: Option<Estimate>,
    /// A cubic metre of purified water, in money, as far as prices are given.
    pub cost_per_m3: Option<Estimate>,
    /// Litres to the drain for each litre.
    pub reject_ratio: Estimate,
}

impl CurvePoint {
    fn of(run_volume_m3: f64, economics: &Economics, sheet: &Sheet) -> Self {
        Self {
            run_volume_m3,
            solids_kg_m3: sheet.estimate(economics.solids),
            resin_life_m3: economics.load.map(|load| sheet.estimate(load.life)),
            cost_per_m3: economics.cost.map(|cost| sheet.estimate(cost)),
            reject_ratio: sheet.estimate(economics.reject_ratio),
        }
    }
}

/// The curve, up to a volume, with the runs that are marked on it.
pub(super) fn curve(
    shared: &Shared<'_>,
    most_m3: f64,
    marked_m3: &[f64],
    sheet: &mut Sheet,
) -> Result<Vec<CurvePoint>, Refusal> {
    let even_m3 = match shared.station.units() {
        UnitSystem::Si => RUNS_M3,
        UnitSystem::Us => RUNS_GAL.map(|gallons| gallons * 3.785_411_784e-3),
    };
    sheet.quietly(|sheet| {
        // A run that is all flush can't make what is needed: nobody could run it.
        let (flush, need, permeate) = (
            sheet.value(shared.flush),
            sheet.value(shared.need),
            sheet.value(shared.mean.permeate),
        );
        let can_be_run = |run: &f64| flush == 0.0 || permeate * run / (run + flush) >= need;
        let mut runs_m3: Vec<f64> = even_m3
            .into_iter()
            .filter(|run| *run <= most_m3 && can_be_run(run))
            .collect();
        for marked in marked_m3 {
            if !runs_m3.iter().any(|run| (run / marked - 1.0).abs() < 1e-6) {
                runs_m3.push(*marked);
            }
        }
        runs_m3.sort_by(f64::total_cmp);
        runs_m3.iter().map(|run| point(shared, *run, sheet)).collect()
    })
}

/// One point of it.
fn point(shared: &Shared<'_>, run_m3: f64, sheet: &mut Sheet) -> Result<CurvePoint, Refusal> {
    sheet.quietly(|sheet| {
        let run = sheet.assumed(
            &format!("a run of {run_m3} m3"),
            run_m3,
            Kind::Volume,
            Spread::NONE,
            "a point of the curve",
        );
        let economics = shared.economics(run, Closing::Sharp, "curve", sheet)?;
        Ok(CurvePoint::of(run_m3, &economics, sheet))
    })
}

/// A way to control the fill.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ControlRow {
    /// What it is, in words.
    pub way: &'static str,
    /// Whether this is the owner's.
    pub owners: bool,
    /// Water of one run, m³; nothing where it never stops.
    pub run_volume_m3: Option<f64>,
    /// Runs in a week, at most: what is drawn while one goes on makes it longer, and the next come later, which years count.
    /// Nothing where it never stops.
    pub runs_per_week: Option<f64>,
    /// Dissolved solids that the resin sees, kg/m³.
    pub solids_kg_m3: Estimate,
    /// Water that a bed purifies, m³.
    pub resin_life_m3: Option<Estimate>,
    /// Resin spent for each litre, over that of the best way.
    pub resin_over_best: Option<f64>,
    /// A cubic metre of purified water, in money.
    pub cost_per_m3: Option<Estimate>,
    /// Litres to the drain for each litre.
    pub reject_ratio: Estimate,
    /// What it asks of the owner, or does to them.
    pub remark: &'static str,
}

/// A way of filling before it was worked out.
struct Way {
    way: &'static str,
    control: Control,
    run: Option<NodeId>,
    rhythm: Rhythm,
    remark: &'static str,
}

/// Volumes that a float valve sees in its vessel.
#[derive(Debug, Clone, Copy)]
pub(super) struct Float {
    /// Along its travel.
    pub(super) travel: NodeId,
    /// Before it lets water in again.
    pub(super) reopens: NodeId,
    /// Share of the flow that is left when the shut-off valve closes; nothing where it never would.
    pub(super) share: Option<NodeId>,
}

impl Float {
    pub(super) fn new(
        shared: &Shared<'_>,
        purifier: &Purifier,
        vessel: &Vessel,
        sheet: &mut Sheet,
    ) -> Result<Self, Refusal> {
        let fields = &purifier.fields;
        let Some(full) = sheet.find(&format!("{}.full", vessel.name)) else {
            return Err(Refusal::Inputs { given: 0 });
        };
        let height = crate::analysis::levels::rim(sheet, vessel);
        let slice = |sheet: &mut Sheet, key: &str, title: &str, slice: NodeId| {
            sheet.figure(key, title, &m::FLOAT_VOLUME, &[slice, full, height])
        };
        let (travel, reopens) = (
            sheet.given(&fields.float_travel),
            sheet.given(&fields.float_reopens),
        );
        let travel = slice(
            sheet,
            "float.travel",
            "water along a float valve's travel",
            travel,
        )?;
        let reopens = slice(
            sheet,
            "float.reopens",
            "water drawn before a float valve opens again",
            reopens,
        )?;
        let closes = sheet.given(&fields.shut_off_closes);
        let inputs = [
            closes,
            shared.train.inlet.pressure,
            shared.feed.solids,
            shared.mean.temperature,
        ];
        let share = sheet.figure(
            "float.share",
            "share of the flow left when the shut-off valve closes",
            &m::CLOSING_SHARE,
            &inputs,
        );
        let share = share.ok();
        Ok(Self {
            travel,
            reopens,
            share,
        })
    }
}

impl Float {
    /// How a run ends that it closes: slowly, or never where the shut-off valve wouldn't close.
    pub(super) fn closing(&self) -> Closing {
        match self.share {
            Some(share) => Closing::Slow {
                travel: self.travel,
                share,
            },
            None => Closing::Never,
        }
    }
}

/// The ways to control the fill, the owner's among them.
pub(super) fn controls(
    shared: &Shared<'_>,
    purifier: &Purifier,
    float: &Float,
    own_run: Option<NodeId>,
    best_run: Option<NodeId>,
    sheet: &mut Sheet,
) -> Result<Vec<ControlRow>, Refusal> {
    let day = constant(sheet, "a day", 86_400.0, Kind::Time, "one run a day");
    sheet.quietly(|sheet| {
        let daily = sheet.figure(
            "controls.daily",
            "need of one day",
            &m::NEED_OF_TIME,
            &[shared.need, day],
        )?;
        let timed = super::setting::timer_run(purifier, shared.mean.permeate, shared.need, sheet)?;
        let by_hand = match best_run.or(own_run) {
            Some(run) => Some(super::setting::in_its_hours(
                purifier,
                run,
                shared.mean.permeate,
                sheet,
            )?),
            None => None,
        };
        let levels_run = match purifier.fields.control.value {
            Control::Levels => own_run.or(best_run),
            _ => best_run.or(own_run),
        };
        let slow = float.closing();
        let ways = [
            Way {
                way: "float, no sound shut-off",
                control: Control::Float,
                run: None,
                rhythm: Closing::Never.into(),
                remark: "reject runs day and night",
            },
            Way {
                way: "float, sound shut-off",
                control: Control::Float,
                run: float.share.map(|_| float.reopens),
                rhythm: slow.into(),
                remark: "many starts, slow stops",
            },
            Way {
                way: "timer, once a day",
                control: Control::Timer,
                run: Some(timed),
                rhythm: Rhythm::daily(Closing::Sharp),
                remark: "needs a float as backup; overfills when less was drawn",
            },
            Way {
                way: "level switches",
                control: Control::Levels,
                run: levels_run,
                rhythm: Closing::Sharp.into(),
                remark: "starts by itself, also when nobody is there",
            },
            Way {
                way: "attended",
                control: Control::Attended,
                run: by_hand,
                rhythm: Rhythm::daily(Closing::Sharp),
                remark: "push to start, stops by itself, never restarts",
            },
        ];
        let sound = purifier.fields.shut_off.value == ShutOff::Sound;
        let mut rows = Vec::new();
        for way in ways {
            let never = way.rhythm.never_stops();
            // A way without a run can't be worked out: the file gives no levels.
            let run = match (way.run, never) {
                (Some(run), _) => run,
                (None, true) if way.control == Control::Float => daily,
                (None, _) => continue,
            };
            let mut rhythm = way.rhythm;
            if way.control == purifier.fields.control.value
                && super::setting::nothing_stops_the_feed(purifier)
            {
                rhythm.closing = Closing::RejectRunsOn;
            }
            let economics = shared.economics(run, rhythm, "controls", sheet)?;
            let run_m3 = sheet.value(run);
            rows.push(ControlRow {
                way: way.way,
                owners: purifier.fields.control.value == way.control
                    && (way.control != Control::Float || never != sound),
                run_volume_m3: (!never).then_some(run_m3),
                runs_per_week: (!never).then(|| {
                    let apart_s = run_m3 / sheet.value(shared.need);
                    604_800.0
                        / match rhythm.at_most_daily {
                            true => apart_s.max(86_400.0),
                            false => apart_s,
                        }
                }),
                solids_kg_m3: sheet.estimate(economics.solids),
                resin_life_m3: economics.load.map(|load| sheet.estimate(load.life)),
                resin_over_best: None,
                cost_per_m3: economics.cost.map(|cost| sheet.estimate(cost)),
                reject_ratio: sheet.estimate(economics.reject_ratio),
                remark: way.remark,
            });
        }
        let best = rows
            .iter()
            .filter_map(|row| row.resin_life_m3.as_ref().map(|life| life.value))
            .fold(0.0, f64::max);
        for row in &mut rows {
            row.resin_over_best = row.resin_life_m3.as_ref().map(|life| best / life.value);
        }
        Ok(rows)
    })
}
