//! Where lines meet: pumps, tees, draw points.

use crate::fault::Fault;
use crate::plumbing::refuse::Refusals;
use crate::plumbing::{End, Plumbing};
use crate::quantity::{Quantity, format_tape};
use crate::sections::{LineFields, PumpFields, Tube};
use crate::station::Station;

pub(super) fn check(station: &Station, plumbing: &Plumbing, faults: &mut Vec<Fault>) {
    for (at, pump) in station.pumps.iter().enumerate() {
        let refusals = &mut Refusals::of("pump", pump, faults);
        ports(&pump.name, End::Pump(at), plumbing, refusals);
        lifts(&pump.fields, refusals);
        hoses(station, plumbing, End::Pump(at), faults);
    }
    for (at, tee) in station.tees.iter().enumerate() {
        let lines: Vec<usize> = plumbing.lines_at(End::Tee(at)).collect();
        let refusals = &mut Refusals::of("tee", tee, faults);
        match lines.len() {
            0 => refusals.whole(
                "no line leads to this tee",
                "let lines end or begin at it, or take it out",
            ),
            1 => refusals.whole(
                "a line leads to this tee and nothing goes on from it",
                "join another line to it, or let the line end elsewhere",
            ),
            _ => {}
        }
        if let Some(branch) = &tee.fields.branch {
            let own: Vec<&str> = lines
                .iter()
                .map(|line| station.lines[*line].name.as_str())
                .collect();
            if !own.is_empty() && !own.contains(&branch.value.trim()) {
                refusals.value(
                    branch,
                    "the branch of a tee is one of the lines that meet there",
                    format!("name one of {}", own.join(", ")),
                );
            }
        }
        let whose = refusals.whose().to_owned();
        meet(station, &lines, &whose, faults);
    }
    for (at, draw) in station.draw_points.iter().enumerate() {
        let lines: Vec<usize> = plumbing.lines_at(End::Draw(at)).collect();
        let refusals = &mut Refusals::of("draw point", draw, faults);
        match lines.as_slice() {
            [] => refusals.whole(
                "no line leads to this draw point",
                format!("add a line with to = \"{}\"", draw.name),
            ),
            [line] => {
                if let (Some(nozzle), Some(bore_m)) = (
                    &draw.fields.nozzle,
                    plumbing.lines[*line].bore_m(&station.lines[*line].fields),
                ) && nozzle.value.m() > bore_m
                {
                    refusals.value(
                        nozzle,
                        "a nozzle is narrower than the line that ends in it",
                        format!(
                            "the line has a bore of {}; leave the nozzle out where the line's end is open",
                            format_tape(bore_m, station.units())
                        ),
                    );
                }
            }
            _ => refusals.whole(
                "more than one line ends at this draw point",
                "join them in a tee before it",
            ),
        }
    }
}

/// One line brings water to a pump and one takes it on.
fn ports(name: &str, end: End, plumbing: &Plumbing, refusals: &mut Refusals<'_>) {
    let brings = plumbing.lines.iter().filter(|line| line.to == end).count();
    let takes = plumbing.lines.iter().filter(|line| line.from == end).count();
    match (brings, takes) {
        (1, 1) => {}
        (0, 0) => refusals.whole(
            "no line leads to this pump",
            format!("add a line with to = \"{name}\" and one with from = \"{name}\""),
        ),
        (2, 0) => refusals.whole(
            "two lines bring water to this pump and none takes it on: one of them is the wrong way round",
            format!("let the line at its outlet begin there: from = \"{name}\""),
        ),
        (0, 2) => refusals.whole(
            "two lines take water on from this pump and none brings it: one of them is the wrong way round",
            format!("let the line at its inlet end there: to = \"{name}\""),
        ),
        (0, _) => refusals.whole(
            "no line brings water to this pump",
            format!("add a line with to = \"{name}\""),
        ),
        (_, 0) => refusals.whole(
            "no line takes water on from this pump",
            format!("add a line with from = \"{name}\""),
        ),
        (2.., _) => refusals.whole(
            "a pump has one inlet, and several lines bring water to it",
            "join them in a tee before the pump",
        ),
        (_, 2..) => refusals.whole(
            "a pump has one outlet, and several lines take water on from it",
            "let them begin at a tee behind the pump",
        ),
    }
}

fn lifts(fields: &PumpFields, refusals: &mut Refusals<'_>) {
    let largest = fields.curve.value.curve.largest_flow_m3_s();
    if let Some(best) = &fields.best_flow
        && best.value.si() > largest
    {
        refusals.value(
            best,
            "the pump is said to work best at a flow that is beyond its curve",
            "give the curve up to the most it moves, or leave best_flow out",
        );
    }
    if let (Some(lift), false) = (&fields.dry_lift, fields.primes_itself.value) {
        refusals.value(
            lift,
            "a dry lift is given, but the pump doesn't draw water up by itself",
            "add primes_itself = true, or leave the lift out",
        );
    }
}

/// A pump's ports take whatever was screwed in; only hoses need a barb.
fn hoses(station: &Station, plumbing: &Plumbing, end: End, faults: &mut Vec<Fault>) {
    for at in plumbing.lines_at(end) {
        let line = &station.lines[at];
        let soft = matches!(line.fields.tube.value, Tube::VinylHose | Tube::CorrugatedHose);
        if soft && line.fields.barbs.value.plain() < 1.0 {
            Refusals::of("line", line, faults).value(
                &line.fields.tube,
                "a hose is pushed over a barb where it joins a pump, and this one has none",
                "add barbs = 1, or 2 where its other end has one too",
            );
        }
    }
}

/// What has to be alike for two lines to go into one fitting: the makers' system, and the size.
fn make(fields: &LineFields) -> (u8, i64) {
    let system = match fields.tube.value {
        Tube::VinylHose | Tube::CorrugatedHose => 0,
        Tube::PushFit => 1,
        Tube::Schedule40 | Tube::Schedule80 => 2,
        Tube::Metric10Bar | Tube::Metric16Bar => 3,
    };
    // To a tenth of a millimetre, as sizes are looked up.
    (system, libm::round(fields.size.value.m() * 1e4) as i64)
}

/// Lines of different make meet through an adapter: a coupling, a union or a barb of one of them.
fn meet(station: &Station, lines: &[usize], whose: &str, faults: &mut Vec<Fault>) {
    let told = |fields: &LineFields| {
        let size = fields
            .size
            .span()
            .and_then(|span| station.text.get(span))
            .unwrap_or("");
        format!("{} {}", size.trim_matches(['"', '\'']), fields.tube.value.word())
    };
    let mut bare = lines.iter().map(|at| &station.lines[*at]).filter(|line| {
        let fields = &line.fields;
        [&fields.couplings, &fields.unions, &fields.barbs]
            .iter()
            .all(|count| count.value.plain() < 1.0)
    });
    let Some(first) = bare.next() else { return };
    for other in bare.filter(|other| make(&other.fields) != make(&first.fields)) {
        Refusals::of("line", other, faults).because(
            &other.fields.size,
            format!(
                "`{}` and `{}` can't join: {} meets {}",
                first.name,
                other.name,
                told(&first.fields),
                told(&other.fields)
            ),
            format!("both meet at {whose}, and neither has an adapter"),
            "add couplings = 1 to the line with the adapter, or barbs = 1 to a hose",
        );
    }
}
