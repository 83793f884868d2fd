//! Small stations thrown together: most of them nobody would build, which is what makes them good cases.
//!
//! Straight tubes of one make, so that their losses are few; everything else varies.

use core::fmt::Write;

use station::Station;

use super::dice::Dice;

/// A station with its text, the first that can be read of those that a seed throws.
pub(super) fn station(seed: u64) -> Station {
    for attempt in 0..200 {
        let mut dice = Dice::new(1_000 * seed + attempt);
        if let Ok(station) = Station::read(&text(&mut dice)) {
            return station;
        }
    }
    panic!("seed {seed}: none of 200 can be read");
}

/// A line while it is thrown.
struct Thrown {
    from: String,
    to: String,
    rest: String,
}

#[derive(Default)]
struct Parts {
    text: String,
    vessels: Vec<String>,
    tees: Vec<String>,
    draws: Vec<String>,
    tank: Option<(String, usize)>,
    pump: Option<String>,
    lines: Vec<Thrown>,
}

impl Parts {
    fn say(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn join(&mut self, from: &str, to: &str, rest: &str) {
        self.lines.push(Thrown {
            from: from.to_owned(),
            to: to.to_owned(),
            rest: rest.to_owned(),
        });
    }

    fn degree(&self, end: &str) -> usize {
        let ends = self.lines.iter().flat_map(|line| [&line.from, &line.to]);
        ends.filter(|own| *own == end).count()
    }
}

fn text(dice: &mut Dice) -> String {
    let mut parts = Parts::default();
    parts.say("title = \"thrown\"\n[salt]\nanhydrous_fraction = 0.9\n[room]");
    let unnoticed = dice.pick(&["20 min", "2 h", "12 h"]);
    parts.say(&format!("unnoticed = \"{unnoticed}\""));
    let filled = dice.chance(0.3);
    if filled {
        purifier(dice, &mut parts);
    }
    vessels(dice, &mut parts, filled);
    tank(dice, &mut parts);
    joints(dice, &mut parts);
    lines(dice, &mut parts);
    let valves = valves(dice, &mut parts);
    pump(dice, &mut parts, &valves);
    lineups(dice, &mut parts, &valves);
    parts.text
}

fn purifier(dice: &mut Dice, parts: &mut Parts) {
    parts.say(
        "[feed]\npressure = \"4 bar\"\ncoldest = \"8 C\"\nwarmest = \"18 C\"\nconductivity = \"400 uS/cm\"",
    );
    let check = dice.chance(0.3);
    parts.say(&format!(
        "[purifier]\ncontrol = \"level switches\"\nwaste_ratio = 3\ncheck_valve = {check}"
    ));
    parts.say("[membranes.one]\nrated_flow = \"75 gal/day\"\nrated_pressure = \"60 psi\"\nrated_solids = \"250 mg/L\"\nrejection = \"97 %\"");
}

fn vessels(dice: &mut Dice, parts: &mut Parts, filled: bool) {
    let mut names = vec!["fresh", "salt"];
    if dice.chance(0.3) {
        names.push(dice.pick(&["fresh-too", "salt-too"]));
    }
    for name in names {
        let is_fresh = name.starts_with("fresh");
        let height = dice.whole(600, 1000);
        let (length, width) = (dice.whole(350, 900), dice.whole(350, 700));
        let (floor, outlet) = (dice.whole(100, 900), dice.whole(0, 80));
        let (start, stop) = (dice.whole(90, 300), dice.whole(350, height - 30));
        let holds = if is_fresh { "fresh" } else { "salt" };
        parts.say(&format!(
            "[vessels.{name}]\nholds = \"{holds}\"\nshape = \"box\"\nlength = \"{length} mm\"\nwidth = \"{width} mm\"\nheight = \"{height} mm\"\nfloor_height = \"{floor} mm\"\noutlet_level = \"{outlet} mm\"\nstop_level = \"{stop} mm\""
        ));
        if dice.chance(0.8) {
            parts.say(&format!("start_level = \"{start} mm\""));
        }
        if dice.chance(0.3) {
            let cutout = outlet + dice.whole(10, 100);
            parts.say(&format!("low_cutout_level = \"{cutout} mm\""));
        }
        if dice.chance(0.4) {
            let (top, cutout) = (dice.whole(100, 400), dice.chance(0.3));
            parts.say(&format!(
                "heater = \"300 W\"\nheater_level = \"{top} mm\"\nheater_cutout = {cutout}"
            ));
        }
        if is_fresh {
            let used_for = dice.pick(&["top-off", "mixing", "rinsing"]);
            parts.say(&format!("used_for = \"{used_for}\""));
            if filled && name == "fresh" {
                let end = dice.whole(200, height);
                parts.say(&format!("fill = \"automatic\"\nfill_end_level = \"{end} mm\""));
            }
        } else {
            let (target, off) = (dice.whole(28, 36), dice.pick(&["0.2", "0.5", "2"]));
            parts.say(&format!("target_salinity = {target}\nsalinity_tolerance = {off}"));
            parts.say(&format!("high_cutout = {}", dice.chance(0.4)));
        }
        parts.vessels.push(name.to_owned());
    }
}

fn tank(dice: &mut Dice, parts: &mut Parts) {
    if !dice.chance(0.5) {
        return;
    }
    let (volume, water, isolated) = (dice.whole(60, 500), dice.whole(500, 1600), dice.chance(0.5));
    parts.say(&format!(
        "[tanks.pool]\nvolume = \"{volume} L\"\nsalinity = 33\ntemperature = \"25 C\"\nevaporation = \"4 L/day\"\nisolated = {isolated}"
    ));
    if dice.chance(0.85) {
        parts.say(&format!("water_height = \"{water} mm\""));
    }
    if dice.chance(0.5) {
        parts.say("headroom = \"9 L\"");
    }
    parts.say(&format!("high_cutout = {}", dice.chance(0.4)));
    parts.tank = Some(("pool".to_owned(), water));
}

fn joints(dice: &mut Dice, parts: &mut Parts) {
    for at in 0..dice.whole(1, 4) {
        let (name, height) = (format!("t{at}"), dice.whole(60, 1300));
        parts.say(&format!("[tees.{name}]\nheight = \"{height} mm\""));
        parts.tees.push(name);
    }
    for at in 0..dice.whole(0, 2) {
        let (name, height, container) = (format!("d{at}"), dice.whole(60, 1200), dice.whole(2, 30));
        parts.say(&format!(
            "[draw_points.{name}]\nheight = \"{height} mm\"\ncontainer = \"{container} L\""
        ));
        parts.draws.push(name);
    }
    if dice.chance(0.6) {
        parts.pump = Some("pump".to_owned());
    }
}

fn lines(dice: &mut Dice, parts: &mut Parts) {
    let (vessels, tees) = (parts.vessels.clone(), parts.tees.clone());
    let into = |dice: &mut Dice| match dice.chance(0.6) {
        true => format!("to_level = \"{} mm\"", dice.whole(20, 580)),
        false => String::new(),
    };
    for (at, vessel) in vessels.iter().enumerate() {
        for way in 0..dice.whole(1, 2) {
            let level = match way == 1 || dice.chance(0.3) {
                true => format!("from_level = \"{} mm\"", dice.whole(0, 400)),
                false => String::new(),
            };
            if dice.chance(0.15) {
                let other = vessels[(at + 1) % vessels.len()].clone();
                let rest = format!("{level}\n{}", into(dice));
                parts.join(vessel, &other, &rest);
            } else {
                let tee = tees[dice.below(tees.len())].clone();
                parts.join(vessel, &tee, &level);
            }
        }
    }
    for draw in parts.draws.clone() {
        let from = match dice.chance(0.75) {
            true => tees[dice.below(tees.len())].clone(),
            false => vessels[dice.below(vessels.len())].clone(),
        };
        parts.join(&from, &draw, "");
    }
    if dice.chance(0.6) {
        let (tee, vessel) = (
            tees[dice.below(tees.len())].clone(),
            vessels[dice.below(vessels.len())].clone(),
        );
        let rest = into(dice);
        parts.join(&tee, &vessel, &rest);
    }
    if let Some((tank, water)) = parts.tank.clone() {
        let tee = tees[dice.below(tees.len())].clone();
        let rest = match dice.chance(0.8) {
            true => format!("tank_height = \"{} mm\"", water + dice.whole(0, 400) - 200),
            false => String::new(),
        };
        match dice.chance(0.7) {
            true => parts.join(&tee, &tank, &rest),
            false => parts.join(&tank, &tee, &rest),
        }
    }
    if let Some(pump) = parts.pump.clone() {
        let before = tees[dice.below(tees.len())].clone();
        parts.join(&before, &pump, "");
        match dice.chance(0.75) {
            true => parts.join(&pump, &tees[dice.below(tees.len())].clone(), ""),
            false => {
                let vessel = vessels[dice.below(vessels.len())].clone();
                let rest = into(dice);
                parts.join(&pump, &vessel, &rest);
            }
        }
    }
    // No tee ends a line.
    for at in 0..tees.len() {
        while parts.degree(&tees[at]) < 2 {
            match tees.len() > 1 && dice.chance(0.7) {
                true => parts.join(&tees[at], &tees[(at + 1) % tees.len()], ""),
                false => {
                    let vessel = vessels[dice.below(vessels.len())].clone();
                    let rest = into(dice);
                    parts.join(&tees[at], &vessel, &rest);
                }
            }
        }
    }
    for at in 0..parts.lines.len() {
        let (bore, length) = (dice.whole(12, 28), dice.whole(300, 3000));
        let Thrown { from, to, rest } = &parts.lines[at];
        let text = format!(
            "[lines.l{at}]\nfrom = \"{from}\"\nto = \"{to}\"\ntube = \"metric pipe 10 bar\"\nsize = \"25 mm\"\nbore = \"{bore} mm\"\nlength = \"{length} mm\"\n{rest}"
        );
        parts.say(&text);
    }
}

/// Names of the valves that a hand turns.
fn valves(dice: &mut Dice, parts: &mut Parts) -> Vec<String> {
    let count = dice.whole(2, 6);
    let mut names = Vec::new();
    let mut bare: Vec<usize> = (0..parts.lines.len()).collect();
    for at in 0..count {
        // Mostly one a line.
        let line = match bare.is_empty() || dice.chance(0.1) {
            true => dice.below(parts.lines.len()),
            false => {
                let place = dice.below(bare.len());
                bare.swap_remove(place)
            }
        };
        let name = format!("v{at}");
        let kind = dice.pick(&["ball", "ball", "gate", "narrow ball", "globe", "solenoid"]);
        let mut text = format!("[valves.{name}]\nline = \"l{line}\"\nkind = \"{kind}\"");
        if dice.chance(0.2) {
            text.push_str("\nself_closing = true");
        }
        if at > 0 && at % 2 == 1 && dice.chance(0.25) {
            write!(text, "\nthree_way_with = \"v{}\"", at - 1).unwrap();
        }
        parts.say(&text);
        names.push(name);
    }
    for at in 0..(7 - count).min(dice.below(3)) {
        let (line, kind) = (
            dice.below(parts.lines.len()),
            dice.pick(&["swing check", "spring check"]),
        );
        parts.say(&format!("[valves.c{at}]\nline = \"l{line}\"\nkind = \"{kind}\""));
    }
    names
}

fn pump(dice: &mut Dice, parts: &mut Parts, valves: &[String]) {
    if parts.pump.is_none() {
        return;
    }
    let (height, switch) = (dice.whole(50, 600), dice.chance(0.3));
    let curve = dice.pick(&[
        "[[\"0 L/min\", \"4 m\"], [\"20 L/min\", \"3 m\"], [\"40 L/min\", \"0 m\"]]",
        "[[\"0 L/min\", \"1.5 m\"], [\"8 L/min\", \"1.1 m\"], [\"16 L/min\", \"0 m\"]]",
    ]);
    parts.say(&format!(
        "[pumps.pump]\ncurve = {curve}\nheight = \"{height} mm\"\nflow_switch = {switch}"
    ));
    if dice.chance(0.5) {
        parts.say(&format!(
            "power = \"{} W\"\nheat_share = \"70 %\"",
            dice.whole(20, 90)
        ));
    }
    if dice.chance(0.2) {
        let valve = valves[dice.below(valves.len())].clone();
        parts.say(&format!("runs_only_with = \"{valve}\""));
    }
}

fn lineups(dice: &mut Dice, parts: &mut Parts, valves: &[String]) {
    let mut from = parts.vessels.clone();
    from.extend(parts.tank.iter().map(|(name, _)| name.clone()));
    let mut to = from.clone();
    to.extend(parts.draws.iter().cloned());
    for at in 0..dice.whole(1, 3) {
        let (from, to) = (&from[dice.below(from.len())], &to[dice.below(to.len())]);
        let by = if parts.pump.is_some() && dice.chance(0.6) {
            "pump"
        } else {
            "gravity"
        };
        let mut text = format!("[lineups.task-{at}]\nfrom = \"{from}\"\nto = \"{to}\"\nby = \"{by}\"");
        if dice.chance(0.5) {
            let open: Vec<&str> = valves
                .iter()
                .filter(|_| dice.chance(0.5))
                .map(String::as_str)
                .collect();
            let open = if open.is_empty() {
                "none".to_owned()
            } else {
                open.join(", ")
            };
            write!(text, "\nopen = \"{open}\"").unwrap();
        }
        parts.say(&text);
    }
}
