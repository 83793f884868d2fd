//! Service on small stations that nobody drew: the told valves keep every vessel away from the part, and each is needed.
//!
//! The search here knows nothing of heights and goes over names of the file alone: all vessels stand above all lines.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use proof::{PartKind, prove};
use proptest::prelude::*;
use station::Station;

/// A line: its ends, and its valves in order with whether a hand closes each.
#[derive(Debug, Clone)]
struct Line {
    name: String,
    from: String,
    to: String,
    valves: Vec<(String, bool)>,
}

/// A place: a tee or pump by its name, an end in a vessel or the air by its line, or between the valves of a line.
type Place = (String, usize);

impl Line {
    fn places(&self) -> Vec<Place> {
        let end = |name: &str, inner: usize| match name.starts_with(['t', 'p']) {
            true => (name.to_owned(), 0),
            false => (self.name.clone(), inner),
        };
        let last = self.valves.len() + 1;
        let mut places = vec![end(&self.from, 0)];
        places.extend((1..last).map(|at| (self.name.clone(), at)));
        places.push(end(&self.to, last));
        places
    }
}

#[derive(Debug, Clone)]
struct Drawn {
    text: String,
    lines: Vec<Line>,
    vessels: usize,
}

/// Where tees stand in line with each other, each has a tap, vessels come to some of them, a pump may join two.
fn drawn(
    vessels: &[usize],
    tees: usize,
    pump: Option<(usize, usize)>,
    jets: &[usize],
    valves: &[u8],
) -> Drawn {
    let mut lines: Vec<(String, String)> = Vec::new();
    for (at, tee) in vessels.iter().enumerate() {
        lines.push((format!("v{at}"), format!("t{}", tee % tees)));
    }
    for tee in 1..tees {
        lines.push((format!("t{}", tee - 1), format!("t{tee}")));
    }
    for tee in 0..tees {
        lines.push((format!("t{tee}"), format!("d{tee}")));
    }
    if let Some((from, to)) = pump {
        lines.push((format!("t{}", from % tees), "p0".to_owned()));
        lines.push(("p0".to_owned(), format!("t{}", to % tees)));
    }
    for (at, tee) in jets.iter().enumerate() {
        lines.push((format!("t{}", tee % tees), format!("v{}", at % vessels.len())));
    }
    // Few enough that what wrong moves do is told quickly.
    const MOST_VALVES: usize = 9;
    let mut count = 0;
    let lines: Vec<Line> = lines
        .into_iter()
        .enumerate()
        .map(|(at, (from, to))| {
            let kinds: &[bool] = match valves[at % valves.len()] % 6 {
                0 | 1 => &[],
                2 | 3 => &[true],
                4 => &[true, true],
                _ => &[false],
            };
            let valves = kinds
                .iter()
                .filter_map(|by_hand| {
                    count += 1;
                    (count <= MOST_VALVES).then(|| (format!("c{count}"), *by_hand))
                })
                .collect();
            Line {
                name: format!("l{at}"),
                from,
                to,
                valves,
            }
        })
        .collect();
    let mut text = "title = \"drawn\"\n".to_owned();
    for at in 0..vessels.len() {
        let _ = writeln!(
            text,
            "[vessels.v{at}]\nholds = \"fresh\"\nshape = \"box\"\nlength = \"1 m\"\nwidth = \"1 m\"\nheight = \"1 m\"\nfloor_height = \"1 m\"\noutlet_level = \"0 mm\"\nstop_level = \"900 mm\""
        );
    }
    if pump.is_some() {
        text +=
            "[pumps.p0]\ncurve = [[\"0 L/min\", \"6 m\"], [\"40 L/min\", \"0 m\"]]\nheight = \"300 mm\"\n";
    }
    for tee in 0..tees {
        let _ = writeln!(
            text,
            "[tees.t{tee}]\nheight = \"300 mm\"\n[draw_points.d{tee}]\nheight = \"200 mm\""
        );
    }
    for line in &lines {
        let level = match line.to.starts_with('v') {
            true => "to_level = \"100 mm\"\n",
            false => "",
        };
        let _ = writeln!(
            text,
            "[lines.{}]\nfrom = \"{}\"\nto = \"{}\"\n{level}tube = \"vinyl hose\"\nsize = \"4 mm\"\nbore = \"4 mm\"\nlength = \"200 mm\"\nbarbs = 2",
            line.name, line.from, line.to
        );
        for (valve, by_hand) in &line.valves {
            let kind = if *by_hand { "ball" } else { "swing check" };
            let _ = writeln!(
                text,
                "[valves.{valve}]\nline = \"{}\"\nkind = \"{kind}\"",
                line.name
            );
        }
    }
    Drawn {
        text,
        lines,
        vessels: vessels.len(),
    }
}

impl Drawn {
    /// The mouths in vessels and the pumps that a way leads to from the part, past no closed valve.
    fn reached(&self, part: &str, kind: PartKind, closed: &BTreeSet<&str>) -> BTreeSet<Place> {
        let mut ways: Vec<(Place, Place)> = Vec::new();
        let mut begin: Vec<Place> = Vec::new();
        let mut mouths: BTreeSet<Place> = BTreeSet::new();
        for line in &self.lines {
            let places = line.places();
            let last = places.len() - 1;
            // The tube itself is somewhere along the line: it parts nothing.
            for (at, (valve, _)) in line.valves.iter().enumerate() {
                let pair = (places[at].clone(), places[at + 1].clone());
                if kind == PartKind::Valve && valve == part {
                    begin.extend([pair.0, pair.1]);
                } else if !closed.contains(valve.as_str()) {
                    ways.push(pair);
                }
            }
            ways.push((places[last - 1].clone(), places[last].clone()));
            for (end, place) in [(&line.from, &places[0]), (&line.to, &places[last])] {
                let own = kind == PartKind::Vessel && end == part;
                if own {
                    begin.push(place.clone());
                } else if end.starts_with('v') || (end.starts_with('p') && end != part) {
                    mouths.insert(place.clone());
                }
                if kind == PartKind::Pump && end == part {
                    begin.push(place.clone());
                }
            }
        }
        let mut seen: BTreeSet<Place> = begin.iter().cloned().collect();
        while let Some(here) = begin.pop() {
            for (one, other) in &ways {
                for (near, far) in [(one, other), (other, one)] {
                    if *near == here && seen.insert(far.clone()) {
                        begin.push(far.clone());
                    }
                }
            }
        }
        seen.intersection(&mouths).cloned().collect()
    }

    /// The vessel of a mouth; nothing for a pump.
    fn vessel_of(&self, mouth: &Place) -> Option<&str> {
        let line = self.lines.iter().find(|line| line.name == mouth.0)?;
        Some(if mouth.1 == 0 { &line.from } else { &line.to })
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(96) })]

    #[test]
    fn the_told_valves_keep_water_away_and_each_is_needed(
        vessels in prop::collection::vec(0..4_usize, 1..4),
        tees in 2..5_usize,
        pump in prop::option::of((0..4_usize, 0..4_usize)),
        jets in prop::collection::vec(0..4_usize, 0..3),
        valves in prop::collection::vec(0..6_u8, 8..20),
    ) {
        let drawn = drawn(&vessels, tees, pump, &jets, &valves);
        let station = Station::read(&drawn.text).map_err(|faults| TestCaseError::fail(format!("{faults:?}\n{}", drawn.text)))?;
        let proof = prove(&station);
        let Some(service) = &proof.service else {
            return Err(TestCaseError::fail("no service"));
        };
        let mut looked_at = 0;
        for part in &service.parts {
            if !matches!(part.kind, PartKind::Pump | PartKind::Vessel | PartKind::Valve) {
                continue;
            }
            looked_at += 1;
            let closed: BTreeSet<&str> = part.close.iter().map(String::as_str).collect();
            // Nobody relies on a check valve.
            for line in &drawn.lines {
                for (valve, by_hand) in &line.valves {
                    prop_assert!(*by_hand || !closed.contains(valve.as_str()), "{valve} is told\n{}", drawn.text);
                }
            }
            let reached = drawn.reached(&part.part, part.kind, &closed);
            let drained: BTreeSet<&str> = part.drain.iter().map(|drain| drain.from.as_str()).collect();
            let from: BTreeSet<&str> = reached.iter().filter_map(|mouth| drawn.vessel_of(mouth)).collect();
            let own: BTreeSet<&str> = match part.kind {
                PartKind::Vessel => BTreeSet::from([part.part.as_str()]),
                _ => BTreeSet::new(),
            };
            prop_assert_eq!(
                from.union(&own).copied().collect::<BTreeSet<&str>>(),
                drained,
                "{} {}: what no valve holds is drained, nothing else\n{}",
                part.kind.word(), part.part, drawn.text
            );
            for valve in &closed {
                let mut fewer = closed.clone();
                fewer.remove(valve);
                let more = drawn.reached(&part.part, part.kind, &fewer);
                prop_assert!(more.len() > reached.len(), "{}: {valve} isn't needed\n{}", part.part, drawn.text);
            }
            // A square metre of water, from 0.9 m down to the mouth.
            for drain in &part.drain {
                let level_m = drain.to_level_m.unwrap_or(f64::NAN);
                prop_assert!((drain.volume_m3 - (0.9 - level_m)).abs() < 1e-9, "{drain:?}");
            }
            let told: f64 = part.drain.iter().map(|drain| drain.volume_m3).sum();
            prop_assert!((part.spilled_m3 - part.lines_m3 - told).abs() < 1e-12);
        }
        prop_assert!(looked_at >= drawn.vessels);
    }
}
