//! The charts that decide: what a litre costs against the run, what is made against what is needed.

use proof::{Estimate, Made};
use station::Station;
use station::quantity::{Kind, format_interval, format_plain, unit_for};

use super::place::{Callout, Places};
use super::{Axis, Plot, Valued};
use crate::drawing::{Drawing, Ink, Shape, Stroke};

/// Values of one kind in one unit, that of the largest.
struct Scale {
    name: String,
    factor: f64,
}

impl Scale {
    fn of<'e>(station: &Station, kind: Kind, estimates: impl Iterator<Item = &'e Estimate>) -> Self {
        let largest = estimates
            .map(|estimate| estimate.high.unwrap_or(estimate.value))
            .fold(0.0, f64::max);
        let unit = unit_for(kind, largest, station.units(), &station.currency());
        Self {
            name: unit.name,
            factor: unit.factor,
        }
    }

    fn valued(&self, x: f64, estimate: &Estimate) -> Valued {
        let value = estimate.value / self.factor;
        Valued {
            x,
            value,
            low: estimate.low.map_or(value, |low| low / self.factor),
            high: estimate.high.map_or(value, |high| high / self.factor),
        }
    }
}

/// Values this near each other are told in a sentence; a line of them shows nothing (house rule).
const FLAT: f64 = 0.05;

/// What is told of each run: its cost where everything has a price, else how long resin lasts.
fn told_of_runs(made: &Made) -> (bool, Vec<(f64, Estimate)>) {
    let priced = made.curve.iter().all(|point| point.cost_per_m3.is_some());
    let values = made.curve.iter().filter_map(|point| {
        let own = match priced {
            true => &point.cost_per_m3,
            false => &point.resin_life_m3,
        };
        Some((point.run_volume_m3, own.clone()?))
    });
    (priced, values.collect())
}

fn ends(values: &[(f64, Estimate)]) -> [f64; 2] {
    values
        .iter()
        .fold([f64::INFINITY, 0.0], |[least, most], (_, own)| {
            [least.min(own.value), most.max(own.value)]
        })
}

/// That the volume of a run hardly matters, where it doesn't: then there is no chart of it.
pub fn same_for_any_run(station: &Station, made: &Made) -> Option<String> {
    let (priced, values) = told_of_runs(made);
    let [least, most] = ends(&values);
    let ((first, sample), (last, _)) = (values.first()?, values.last()?);
    if values.len() < 3 || most - least > FLAT * most {
        return None;
    }
    let say = |kind: Kind, si: f64| format_plain(kind, si, station.units(), &station.currency());
    let (from, to) = (say(sample.kind, least), say(sample.kind, most));
    let span = match from == to {
        true => format!("about {to}"),
        false => format!("{from} to {to}"),
    };
    let runs = format!(
        "runs of {} to {}",
        say(Kind::Volume, *first),
        say(Kind::Volume, *last)
    );
    let (what, own) = match priced {
        true => ("Purified water costs", made.run.cost_per_m3.as_ref()),
        false => ("A bed of resin purifies", made.run.resin_life_m3.as_ref()),
    };
    // These runs begin and end at once; a float's don't, nor where the feed stays open.
    let yours = own
        .filter(|_| !made.run.on_curve)
        .map_or_else(String::new, |own| {
            let own = format_interval(
                own.kind,
                own.value,
                own.half_width(),
                station.units(),
                &station.currency(),
            );
            format!(
                " Yours don't: {}, as the ways to fill tell.",
                own.value_with_unit()
            )
        });
    Some(format!(
        "{what} {span} in {runs} that begin and end at once: their volume hardly matters here.{yours}"
    ))
}

/// What a litre costs, or how long resin lasts where nothing has a price, against the volume of a run; the owner's run,
/// the largest that leaves the reserve and the smallest that is long enough are marked. Nothing where all are alike.
pub fn cost_against_run(station: &Station, made: &Made, width_mm: f64) -> Option<Drawing> {
    let (priced, values) = told_of_runs(made);
    let ((first, sample), (last, _)) = (values.first()?, values.last()?);
    let [least, most] = ends(&values);
    if values.len() < 3 || most - least <= FLAT * most {
        return None;
    }
    let scale = Scale::of(station, sample.kind, values.iter().map(|(_, estimate)| estimate));
    let volume = unit_for(Kind::Volume, *last, station.units(), &station.currency());
    let points: Vec<Valued> = values
        .iter()
        .map(|(run, estimate)| scale.valued(run / volume.factor, estimate))
        .collect();
    let greatest = points.iter().map(|point| point.high).fold(0.0, f64::max);
    let least = points.iter().map(|point| point.low).fold(greatest, f64::min);
    let title = if priced {
        "Cost against the volume of a run"
    } else {
        "Resin life against the volume of a run"
    };
    let x = Axis::logarithmic(
        format!("run, {}", volume.name),
        first / volume.factor,
        last / volume.factor,
    );
    let mut plot = Plot::new(
        title,
        width_mm,
        x,
        Axis::about(scale.name.clone(), least, greatest),
    );
    plot.band(
        &points,
        Stroke::Medium,
        if priced { "run.litre" } else { "run.resin-life" },
    );
    let own = match priced {
        true => made.run.cost_per_m3.as_ref(),
        false => made.run.resin_life_m3.as_ref(),
    };
    let mut off_curve = String::new();
    // These runs begin and end at once; a float's don't, and what it costs stands elsewhere.
    if let Some(own) = own.filter(|_| !made.run.on_curve) {
        let shown = format_interval(
            own.kind,
            own.value,
            own.half_width(),
            station.units(),
            &station.currency(),
        );
        off_curve = format!(" Yours, off this curve: {}.", shown.value_with_unit());
        plot.remark(
            &format!("yours, off this curve: {}", shown.value_with_unit()),
            Ink::Must,
        );
    }

    let best = match station.reserve.fresh.is_some() || station.reserve.salt.is_some() {
        true => "keeps the reserve",
        false => "largest",
    };
    let marks = [
        (made.long_enough_m3, "long enough"),
        (made.run.volume_m3.filter(|_| made.run.on_curve), "your run"),
        (made.best_run_m3, best),
    ];
    let mut told = Vec::new();
    let mut callouts = Vec::new();
    let mut places = Places::of(&plot);
    places.curve(&plot, &points);
    for (run, words) in marks {
        let Some(run) = run.map(|run| run / volume.factor) else {
            continue;
        };
        if !(points[0].x..=points[points.len() - 1].x).contains(&run) {
            continue;
        }
        let place = plot.place(run, between(&points, run));
        let ink = if words == "your run" { Ink::Must } else { Ink::Ink };
        plot.dot(place, ink, "");
        callouts.push(Callout { place, words });
        told.push(format!("{words} {run:.1} {}", volume.name));
    }
    if !places.callouts(&mut plot, 0, &callouts) {
        // Without room beside their points they are named in their order.
        callouts.sort_by(|a, b| a.place.x_mm.total_cmp(&b.place.x_mm));
        let words: Vec<&str> = callouts.iter().map(|own| own.words).collect();
        plot.remark(&format!("from the left: {}", words.join(", ")), Ink::Second);
    }
    plot.drawing.description = format!(
        "From {:.2} {unit} at runs of {:.1} {volume} to {:.2} {unit} at {:.0} {volume}. Marked: {}.{off_curve}",
        points[0].value,
        points[0].x,
        points[points.len() - 1].value,
        points[points.len() - 1].x,
        told.join(", "),
        unit = scale.name,
        volume = volume.name,
    );
    Some(plot.drawing)
}

/// The curve's value at a run, between its points by the logarithm.
fn between(points: &[Valued], run: f64) -> f64 {
    points
        .windows(2)
        .find(|pair| (pair[0].x..=pair[1].x).contains(&run))
        .map_or(points[0].value, |pair| {
            let share = libm::log(run / pair[0].x) / libm::log(pair[1].x / pair[0].x);
            pair[0].value + share * (pair[1].value - pair[0].value)
        })
}

/// What is made in each month, with its doubt, and what is needed.
pub fn supply_by_month(station: &Station, made: &Made, width_mm: f64) -> Option<Drawing> {
    let months = &made.months;
    let waters = || months.iter().map(|month| &month.made_m3_per_s);
    let needs: Vec<&Estimate> = months
        .iter()
        .filter_map(|month| month.need_m3_per_s.as_ref())
        .collect();
    let scale = Scale::of(station, Kind::Flow, waters().chain(needs.iter().copied()));
    let points: Vec<Valued> = waters()
        .enumerate()
        .map(|(at, water)| scale.valued(at as f64, water))
        .collect();
    if points.len() != 12 {
        return None;
    }
    let needed: Vec<Valued> = needs
        .iter()
        .enumerate()
        .map(|(at, need)| scale.valued(at as f64, need))
        .collect();
    let with_deliveries = deliveries(months, &scale);
    let greatest = points
        .iter()
        .chain(&needed)
        .chain(with_deliveries.iter().flatten())
        .map(|point| point.high)
        .fold(0.0, f64::max);
    let words: Vec<String> = months
        .iter()
        .map(|month| month.month.chars().take(3).collect())
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let title = match needed.len() == points.len() {
        true => "Purified water made and needed",
        false => "Purified water made",
    };
    let mut plot = Plot::new(
        title,
        width_mm,
        Axis::words(&words),
        Axis::from_zero(scale.name.clone(), greatest),
    );
    if needed.len() == points.len() {
        plot.band(&needed, Stroke::Heavy, "needed");
    }
    plot.band(&points, Stroke::Medium, "made");
    let lean = months
        .iter()
        .position(|month| month.month == made.leanest_month)
        .unwrap_or(0);
    let place = plot.place(points[lean].x, points[lean].value);
    plot.dot(place, Ink::Ink, "");
    let mut places = Places::of(&plot);
    places.curve(&plot, &points);
    if needed.len() == points.len() {
        places.curve(&plot, &needed);
    }
    if let Some(curve) = &with_deliveries {
        let points = curve
            .iter()
            .map(|point| plot.place(point.x, point.value))
            .collect();
        plot.drawing.push(
            Shape::Line {
                points,
                stroke: Stroke::Medium,
                ink: Ink::Ink,
                dashed: true,
            },
            "delivered",
        );
        places.curve(&plot, &thin(curve));
    }
    let leanest = Callout {
        place,
        words: "leanest",
    };
    places.callouts(&mut plot, 0, &[leanest]);
    // Each curve is named beside it, the one in between first; by a leader where there is no room.
    let mut named: Vec<(&[Valued], &str)> = vec![(&points, "made")];
    if needed.len() == points.len() {
        named.push((&needed, "needed"));
    }
    if let Some(curve) = &with_deliveries {
        named.push((curve, "made and delivered"));
    }
    for (curve, (points, words)) in named.iter().enumerate().rev() {
        if !places.name(&mut plot, curve, words) {
            places.name_from_afar(&mut plot, curve, points, words);
        }
    }
    plot.drawing.description = format!(
        "Made in {}: {:.0} {unit}, the leanest month{}.{} Most is made in the warmest month, {:.0} {unit}.",
        made.leanest_month,
        points[lean].value,
        needed.get(lean).map_or_else(String::new, |need| format!(
            ", for a need of {:.0} {}",
            need.value, scale.name
        )),
        with_deliveries.map_or_else(String::new, |curve| format!(
            " With what is delivered {:.0} {}.",
            curve[lean].value, scale.name
        )),
        points.iter().map(|point| point.value).fold(0.0, f64::max),
        unit = scale.name,
    );
    Some(plot.drawing)
}

/// A line without its band.
fn thin(points: &[Valued]) -> Vec<Valued> {
    points
        .iter()
        .map(|point| Valued {
            low: point.value,
            high: point.value,
            ..*point
        })
        .collect()
}

/// What is made and delivered together; nothing without regular deliveries.
fn deliveries(months: &[proof::MonthOfWater], scale: &Scale) -> Option<Vec<Valued>> {
    months
        .iter()
        .enumerate()
        .map(|(at, month)| {
            let delivered = month.delivered_m3_per_s.as_ref()?;
            let made = scale.valued(at as f64, &month.made_m3_per_s);
            let more = delivered.value / scale.factor;
            Some(Valued {
                value: made.value + more,
                low: made.low + more,
                high: made.high + more,
                ..made
            })
        })
        .collect()
}
