//! What can't be joined, or can't be so: pumps the wrong way round, lines to nowhere, bores that don't fit.

use core::ops::Range;

use super::{End, Plumbing};
use crate::fault::Fault;
use crate::quantity::format_tape;
use crate::sections::Tube;
use crate::station::Station;

pub(super) fn check(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    lines(station, plumbing, faults);
    pumps(station, plumbing, faults);
    tees(station, plumbing, faults);
    draw_points(station, plumbing, faults);
    valves(station, faults);
    tasks(station, plumbing, faults);
}

fn push(
    faults: &mut Vec<Fault>,
    span: Range<usize>,
    what: impl Into<String>,
    why: String,
    mend: impl Into<String>,
) {
    faults.push(Fault {
        span,
        what: what.into(),
        why,
        mend: mend.into(),
    });
}

fn lines(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    let units = station.units();
    for (line, joined) in station.lines.iter().zip(&plumbing.lines) {
        let fields = &line.fields;
        let whose = format!("the line `{}`", line.name);
        if joined.from == joined.to {
            let span = fields.to.span().unwrap_or(line.span.clone());
            push(
                faults,
                span,
                "both ends of this line are one",
                whose.clone(),
                "let it end somewhere else",
            );
        }
        if let End::Draw(_) = joined.from {
            let span = fields.from.span().unwrap_or(line.span.clone());
            push(
                faults,
                span,
                "a draw point gives no water to a line",
                whose.clone(),
                "a line ends at a draw point: exchange `from` and `to`",
            );
        }
        for (level, end, key) in [
            (&fields.from_level, joined.from, "from_level"),
            (&fields.to_level, joined.to, "to_level"),
        ] {
            let Some(level) = level else { continue };
            let span = level.span().unwrap_or(line.span.clone());
            let End::Vessel(at) = end else {
                push(
                    faults,
                    span,
                    format!("`{key}` is a level in a vessel, but the line doesn't end in one there"),
                    whose.clone(),
                    "leave it out; a tee, pump or draw point has its own height",
                );
                continue;
            };
            let vessel = &station.vessels[at];
            if key == "from_level" && level.value.m() >= vessel.height_m() {
                push(
                    faults,
                    span,
                    "this line begins above the rim and can take no water",
                    whose.clone(),
                    format!(
                        "the vessel `{}` is {} high",
                        vessel.name,
                        format_tape(vessel.height_m(), units)
                    ),
                );
            }
        }
        if let Some(height) = &fields.tank_height
            && !matches!((joined.from, joined.to), (End::Tank(_), _) | (_, End::Tank(_)))
        {
            push(
                faults,
                height.span().unwrap_or(line.span.clone()),
                "`tank_height` is the height of an end in a tank, but the line ends in none",
                whose.clone(),
                "leave it out",
            );
        }
        if let (Some(barb), Some(bore)) = (&fields.barb_bore, bore_m(station, plumbing, &line.name))
            && barb.value.m() >= bore
        {
            push(
                faults,
                barb.span().unwrap_or(line.span.clone()),
                "the bore of a barb is narrower than the hose that is pushed over it",
                whose.clone(),
                format!("the hose has a bore of {}", format_tape(bore, units)),
            );
        }
        let (flow, drop) = (&fields.measured_flow, &fields.measured_drop);
        if flow.is_some() != drop.is_some() {
            let one = flow.as_ref().and_then(|field| field.span());
            let other = drop.as_ref().and_then(|field| field.span());
            push(
                faults,
                one.or(other).unwrap_or(line.span.clone()),
                "a measured drop needs the flow at which it was measured, and the flow its drop",
                whose.clone(),
                "give both measured_flow and measured_drop",
            );
        }
        if let Some(crest) = &fields.crest {
            let top = height_of(station, plumbing, &line.name);
            if crest.value.m() < top {
                push(
                    faults,
                    crest.span().unwrap_or(line.span.clone()),
                    "the crest is lower than an end of the line",
                    whose,
                    format!(
                        "its higher end is at {}; leave the crest out where the line has none",
                        format_tape(top, units)
                    ),
                );
            }
        }
    }
}

/// Height of the higher end of a line above the room's floor, m.
fn height_of(station: &Station, plumbing: &Plumbing, name: &str) -> f64 {
    let at = station.lines.iter().position(|line| line.name == name);
    at.map_or(f64::NEG_INFINITY, |at| {
        let fields = &station.lines[at].fields;
        let joined = plumbing.lines[at];
        let one = |end: End, level: Option<f64>, first: bool| match end {
            End::Vessel(vessel) => {
                let vessel = &station.vessels[vessel];
                let usual = if first {
                    vessel.fields.outlet_level.value.m()
                } else {
                    vessel.height_m()
                };
                vessel.fields.floor_height.value.m() + level.unwrap_or(usual)
            }
            End::Pump(pump) => station.pumps[pump].fields.height.value.m(),
            End::Tee(tee) => station.tees[tee].fields.height.value.m(),
            End::Draw(draw) => station.draw_points[draw].fields.height.value.m(),
            End::Tank(_) => fields
                .tank_height
                .as_ref()
                .map_or(f64::NEG_INFINITY, |height| height.value.m()),
        };
        let level = |field: &Option<crate::register::Field<crate::quantity::Length>>| {
            field.as_ref().map(|field| field.value.m())
        };
        one(joined.from, level(&fields.from_level), true).max(one(joined.to, level(&fields.to_level), false))
    })
}

fn bore_m(station: &Station, plumbing: &Plumbing, name: &str) -> Option<f64> {
    let at = station.lines.iter().position(|line| line.name == name)?;
    let measured = station.lines[at].fields.bore.as_ref().map(|bore| bore.value.m());
    measured.or_else(|| plumbing.lines[at].tube.map(|tube| tube.inner_diameter_m))
}

fn pumps(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    for (at, pump) in station.pumps.iter().enumerate() {
        let end = End::Pump(at);
        let brings = plumbing.lines.iter().filter(|line| line.to == end).count();
        let takes = plumbing.lines.iter().filter(|line| line.from == end).count();
        let whose = format!("the pump `{}`", pump.name);
        let (what, mend) = match (brings, takes) {
            (1, 1) => continue,
            (0, 0) => (
                "no line leads to this pump",
                format!(
                    "add a line with to = \"{}\" and one with from = \"{}\"",
                    pump.name, pump.name
                ),
            ),
            (2, 0) => (
                "this pump has two lines that bring water and none that takes it on: one of them is the wrong way round",
                format!("let the line at its outlet begin there: from = \"{}\"", pump.name),
            ),
            (0, 2) => (
                "this pump has two lines that take water on and none that brings it: one of them is the wrong way round",
                format!("let the line at its inlet end there: to = \"{}\"", pump.name),
            ),
            (0, _) => (
                "no line brings water to this pump",
                format!("add a line with to = \"{}\"", pump.name),
            ),
            (_, 0) => (
                "no line takes water on from this pump",
                format!("add a line with from = \"{}\"", pump.name),
            ),
            _ => (
                "a pump has one inlet and one outlet, and more lines end here",
                "join the lines in a tee before the pump".to_owned(),
            ),
        };
        push(faults, pump.span.clone(), what, whose, mend);
    }
}

fn tees(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    for (at, tee) in station.tees.iter().enumerate() {
        let end = End::Tee(at);
        let lines: Vec<usize> = plumbing.lines_at(end).collect();
        let whose = format!("the tee `{}`", tee.name);
        match lines.len() {
            0 => push(
                faults,
                tee.span.clone(),
                "no line leads to this tee",
                whose.clone(),
                "join lines to it, or take it out",
            ),
            1 => push(
                faults,
                tee.span.clone(),
                "a line leads to this tee and nothing goes on from it",
                whose.clone(),
                "join another line to it, or let the line end elsewhere",
            ),
            _ => {}
        }
        if let Some(branch) = &tee.fields.branch
            && !lines
                .iter()
                .any(|line| station.lines[*line].name == branch.value.trim())
        {
            let own: Vec<&str> = lines
                .iter()
                .map(|line| station.lines[*line].name.as_str())
                .collect();
            push(
                faults,
                branch.span().unwrap_or(tee.span.clone()),
                "the branch of a tee is one of its lines",
                whose.clone(),
                format!("its lines are {}", own.join(", ")),
            );
        }
        joints(station, plumbing, &lines, &whose, faults);
    }
    for at in 0..station.pumps.len() {
        let end = End::Pump(at);
        let lines: Vec<usize> = plumbing.lines_at(end).collect();
        // A pump's ports take whatever was screwed in; only hoses need a barb.
        for line in lines {
            let soft = matches!(
                station.lines[line].fields.tube.value,
                Tube::VinylHose | Tube::CorrugatedHose
            );
            if soft && station.lines[line].fields.barbs.value.plain() < 1.0 {
                push(
                    faults,
                    station.lines[line].span.clone(),
                    "a hose is pushed over a barb where it joins a pump, and this one has none",
                    format!("the line `{}`", station.lines[line].name),
                    "add barbs = 1, or 2 where its other end has one too",
                );
            }
        }
    }
}

/// Lines of different make meet through an adapter, a coupling, a union or a barb.
fn joints(station: &Station, plumbing: &Plumbing, lines: &[usize], whose: &str, faults: &mut Vec<Fault>) {
    let adapted = |line: usize| {
        let fields = &station.lines[line].fields;
        [&fields.couplings, &fields.unions, &fields.barbs]
            .iter()
            .any(|count| count.value.plain() >= 1.0)
    };
    for pair in lines.windows(2) {
        let [a, b] = [pair[0], pair[1]];
        let make = |line: usize| {
            (
                station.lines[line].fields.tube.value,
                plumbing.lines[line].tube.map(|tube| tube.name),
            )
        };
        if make(a) != make(b) && !adapted(a) && !adapted(b) {
            let told = |line: usize| {
                let (tube, size) = make(line);
                format!(
                    "`{}` is {} {}",
                    station.lines[line].name,
                    size.unwrap_or("another size of"),
                    tube.word()
                )
            };
            push(
                faults,
                station.lines[b].span.clone(),
                format!("these bores can't join: {}, {}", told(a), told(b)),
                format!("both meet at {whose}"),
                "add couplings = 1 to the line with the adapter, or barbs = 1 to a hose",
            );
        }
    }
}

fn draw_points(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    for (at, draw) in station.draw_points.iter().enumerate() {
        let count = plumbing
            .lines
            .iter()
            .filter(|line| line.to == End::Draw(at))
            .count();
        let whose = format!("the draw point `{}`", draw.name);
        match count {
            1 => {}
            0 => push(
                faults,
                draw.span.clone(),
                "no line leads to this draw point",
                whose,
                format!("add a line with to = \"{}\"", draw.name),
            ),
            _ => push(
                faults,
                draw.span.clone(),
                "more than one line ends at this draw point",
                whose,
                "join them in a tee before it",
            ),
        }
    }
}

fn valves(station: &Station, faults: &mut Vec<Fault>) {
    for valve in &station.valves {
        let fields = &valve.fields;
        let whose = format!("the valve `{}`", valve.name);
        if let (Some(_), Some(cv)) = (&fields.kv, &fields.cv) {
            let span = cv.span().unwrap_or(valve.span.clone());
            push(
                faults,
                span,
                "a valve has either kv or cv, which are one thing",
                whose.clone(),
                "keep one of them",
            );
        }
        if let Some(cracking) = &fields.cracking
            && !fields.kind.value.is_check()
        {
            let span = cracking.span().unwrap_or(valve.span.clone());
            push(
                faults,
                span,
                "only a check valve has a cracking pressure",
                whose.clone(),
                "leave it out",
            );
        }
        if fields.opening.is_given()
            && fields.opening.value.of_one() < 1.0
            && (fields.kind.value.is_check() || fields.kind.value == crate::sections::Valve::Solenoid)
        {
            let span = fields.opening.span().unwrap_or(valve.span.clone());
            push(
                faults,
                span,
                "a valve of this kind is open or closed, nothing between",
                whose,
                "leave the opening out",
            );
        }
    }
}

fn tasks(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    for (lineup, task) in station.lineups.iter().zip(&plumbing.tasks) {
        let whose = format!("the lineup `{}`", lineup.name);
        let from = lineup.fields.from.span().unwrap_or(lineup.span.clone());
        let to = lineup.fields.to.span().unwrap_or(lineup.span.clone());
        if !matches!(task.from, End::Vessel(_) | End::Tank(_)) {
            push(
                faults,
                from,
                "water comes from a vessel or a tank",
                whose.clone(),
                "name the one it comes from",
            );
        }
        if matches!(task.to, End::Pump(_) | End::Tee(_)) {
            push(
                faults,
                to.clone(),
                "water goes to a draw point, a vessel or a tank",
                whose.clone(),
                "name where it ends up",
            );
        }
        // Out of a vessel and back into it is how a batch is mixed; by gravity nothing would move.
        if task.from == task.to && task.pump.is_none() {
            push(
                faults,
                to,
                "water doesn't go round by gravity",
                whose,
                "write by = \"pump\"",
            );
        }
    }
}
