//! Stations of any number of valves, as text: one vessel of purified and one of salt water, one pump, all invented.
//!
//! Their valves are `v1`, `v2` and so on, in the order of the file.

use std::fmt::Write;

/// How the branches behind the pump are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    /// A suction header with a branch from each vessel, a discharge header with returns, tanks and draw points, a valve in
    /// each branch and one between the pump and its header; and one valve in four is a spout of a vessel by itself.
    Header,
    /// The same with those spouts at the suction header, so that all valves are joined: the worst there is.
    SharedHeader,
    /// A run of tees behind the pump, with a valve in each branch and one between each tee and the next.
    Chain,
    /// As the trade advises: purified and salt water share no line, each with a pump and a header of its own.
    Parted,
}

impl Shape {
    /// All of them.
    #[allow(dead_code, reason = "not every user draws all")]
    pub(crate) const ALL: [Self; 4] = [Self::Header, Self::Chain, Self::SharedHeader, Self::Parted];

    /// What it is called.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Header => "header",
            Self::SharedHeader => "shared header",
            Self::Chain => "chain",
            Self::Parted => "parted",
        }
    }

    /// A station of this shape with so many valves: an even number of 8 or more.
    pub(crate) fn station(self, valves: usize) -> String {
        let mut text = Text::new();
        match self {
            Self::Header | Self::SharedHeader => {
                let taps = valves / 4 - 1;
                let suction = text.suction(taps, self == Self::SharedHeader);
                text.pump("pump", &suction);
                let branches = valves - taps - 3;
                let tees = text.tees("header", branches - 1, 1600);
                text.riser(&tees[0], true);
                for pair in tees.windows(2) {
                    text.between(&pair[0], &pair[1], false);
                }
                for branch in 0..branches {
                    text.branch(&tees[branch.min(tees.len() - 1)], branch);
                }
            }
            Self::Chain => {
                let suction = text.suction(0, false);
                text.pump("pump", &suction);
                let tees = text.tees("run", (valves - 2) / 2, 1600);
                text.riser(&tees[0], false);
                for (at, tee) in tees.iter().enumerate() {
                    if at > 0 {
                        text.between(&tees[at - 1], tee, true);
                    }
                    text.branch(tee, at);
                }
                text.branch(&tees[tees.len() - 1], tees.len());
            }
            Self::Parted => {
                text.side("fresh", valves / 2, 0);
                text.side("salt", valves - valves / 2, valves / 2);
            }
        }
        text.finish(self, valves)
    }
}

/// From a pump up to its header.
const RISER: &str =
    "tube = \"metric pipe 10 bar\", size = \"32 mm\", length = \"1.7 m\", elbows = 1, unions = 1";

/// A station's sections as they come.
struct Text {
    ends: String,
    lines: String,
    valves: String,
    count: usize,
}

impl Text {
    fn new() -> Self {
        Self {
            ends: String::new(),
            lines: "\n[lines]\n".to_owned(),
            valves: "\n[valves]\n".to_owned(),
            count: 0,
        }
    }

    fn line(&mut self, name: &str, (from, to): (&str, &str), rest: &str, valve: bool) {
        let _ = writeln!(
            self.lines,
            "{name} = {{ from = \"{from}\", to = \"{to}\", {rest} }}"
        );
        if valve {
            self.count += 1;
            let _ = writeln!(
                self.valves,
                "v{} = {{ line = \"{name}\", kind = \"ball\" }}",
                self.count
            );
        }
    }

    fn tees(&mut self, name: &str, count: usize, height_mm: u32) -> Vec<String> {
        let names: Vec<String> = (1..=count).map(|at| format!("{name}-{at}")).collect();
        for name in &names {
            let _ = writeln!(self.ends, "[tees.{name}]\nheight = \"{height_mm} mm\"");
        }
        names
    }

    /// Both vessels at one header, and some low taps at that or at the vessels; the header's last tee.
    fn suction(&mut self, taps: usize, shared: bool) -> String {
        let tees = self.tees("suction", if shared { taps + 1 } else { 1 }, 300);
        let out =
            "tube = \"metric pipe 10 bar\", size = \"32 mm\", length = \"1.1 m\", elbows = 2, unions = 1";
        self.line("fresh-out", ("fresh", &tees[0]), out, true);
        self.line("salt-out", ("salt", &tees[0]), out, true);
        for tap in 0..taps {
            let (name, height_mm) = (format!("tap-{}", tap + 1), 260 + 40 * tap);
            let _ = writeln!(
                self.ends,
                "[draw_points.{name}]\nheight = \"{height_mm} mm\"\ncontainer = \"12 L\""
            );
            let tube = "tube = \"metric pipe 10 bar\", size = \"25 mm\", length = \"400 mm\", elbows = 1, couplings = 1";
            if !shared {
                let vessel = if tap % 2 == 0 { "fresh" } else { "salt" };
                self.line(&format!("{name}-line"), (vessel, &name), tube, true);
                continue;
            }
            self.line(&format!("{name}-line"), (&tees[tap], &name), tube, true);
            let between = "tube = \"metric pipe 10 bar\", size = \"32 mm\", length = \"300 mm\"";
            self.line(
                &format!("suction-piece-{}", tap + 1),
                (&tees[tap], &tees[tap + 1]),
                between,
                false,
            );
        }
        tees[tees.len() - 1].clone()
    }

    fn pump(&mut self, name: &str, suction: &str) {
        let _ = writeln!(
            self.ends,
            "[pumps.{name}]\ncurve = [[\"0 L/min\", \"6.5 m\"], [\"25 L/min\", \"5.6 m\"], [\"50 L/min\", \"3.6 m\"], [\"75 L/min\", \"0 m\"]]\nheight = \"250 mm\"\npower = \"120 W\""
        );
        let tube = "tube = \"corrugated hose\", size = \"32 mm\", length = \"300 mm\", barbs = 2";
        self.line(&format!("{name}-in"), (suction, name), tube, false);
    }

    fn riser(&mut self, tee: &str, valve: bool) {
        self.line("riser", ("pump", tee), RISER, valve);
    }

    /// One water's side of a parted station: a vessel, its pump, a header with so many valves in all.
    fn side(&mut self, vessel: &str, valves: usize, from: usize) {
        let pump = format!("{vessel}-pump");
        let foot = self.tees(&format!("{vessel}-foot"), 1, 300).swap_remove(0);
        let out =
            "tube = \"metric pipe 10 bar\", size = \"32 mm\", length = \"1.1 m\", elbows = 2, unions = 1";
        self.line(&format!("{vessel}-out"), (vessel, &foot), out, true);
        self.pump(&pump, &foot);
        let branches = valves - 2;
        let tees = self.tees(&format!("{vessel}-header"), branches - 1, 1600);
        self.line(&format!("{vessel}-riser"), (&pump, &tees[0]), RISER, true);
        for pair in tees.windows(2) {
            self.between(&pair[0], &pair[1], false);
        }
        // Of the four turns the fresh side leaves the drowned return out: it would put salt water over its pump.
        for branch in 0..branches {
            let turn = match (vessel, branch % 3) {
                ("fresh", at) => 4 * (branch / 3) + 1 + at,
                (_, at) => 4 * (branch / 3) + at,
            };
            self.branch_of(&tees[branch.min(tees.len() - 1)], (vessel, from + branch), turn);
        }
    }

    fn between(&mut self, from: &str, to: &str, valve: bool) {
        let tube = "tube = \"metric pipe 10 bar\", size = \"32 mm\", length = \"350 mm\"";
        self.line(&format!("to-{to}"), (from, to), tube, valve);
    }

    /// The branches by turns: a drowned return to the salt vessel, a tank, a draw point, one over a rim.
    fn branch(&mut self, tee: &str, at: usize) {
        self.branch_of(tee, ("", at), at);
    }

    /// The same with a number of its own; a side that has salt water returns it to the salt vessel only.
    fn branch_of(&mut self, tee: &str, (side, number): (&str, usize), at: usize) {
        let (round, name) = (at / 4, format!("branch-{}", number + 1));
        let pipe = "tube = \"metric pipe 10 bar\", size = \"25 mm\", elbows = 2, couplings = 1";
        match at % 4 {
            0 => {
                let (level, hole) = (150 + 60 * round, 1450 + 10 * round);
                let rest = format!(
                    "{pipe}, length = \"2.1 m\", to_level = \"{level} mm\", siphon_break = \"{hole} mm\""
                );
                self.line(&name, (tee, "salt"), &rest, true);
            }
            1 => {
                let tank = format!("tank-{}", number + 1);
                let (height, length) = (900 + 45 * number, 6 + 2 * round);
                let _ = writeln!(
                    self.ends,
                    "[tanks.{tank}]\nvolume = \"{} L\"\nsalinity = 34\ntemperature = \"24 C\"\nevaporation = \"4 L/day\"\nchange = \"30 L\"\nchange_every = \"1 week\"",
                    250 + 60 * round
                );
                let rest = format!(
                    "tube = \"vinyl hose\", size = \"19 mm\", barbs = 1, couplings = 1, length = \"{length} m\", tank_height = \"{height} mm\""
                );
                self.line(&name, (tee, &tank), &rest, true);
            }
            2 => {
                let draw = format!("draw-{}", number + 1);
                let _ = writeln!(
                    self.ends,
                    "[draw_points.{draw}]\nheight = \"{} mm\"\ncontainer = \"20 L\"",
                    800 + 40 * round
                );
                let rest = format!("{pipe}, length = \"900 mm\"");
                self.line(&name, (tee, &draw), &rest, true);
            }
            _ => {
                let vessel = if side.is_empty() && round % 2 == 0 {
                    "fresh"
                } else {
                    "salt"
                };
                self.line(&name, (tee, vessel), &format!("{pipe}, length = \"1.6 m\""), true);
            }
        }
    }

    fn finish(self, shape: Shape, valves: usize) -> String {
        assert_eq!(
            self.count, valves,
            "a shape has as many valves as it is asked for"
        );
        format!(
            r#"title = "{} of {valves} valves"

[vessels.fresh]
holds = "fresh"
shape = "cylinder"
diameter = "710 mm"
height = "1010 mm"
floor_height = "450 mm"
fill = "automatic"
outlet_level = "60 mm"
low_cutout_level = "90 mm"
start_level = "260 mm"
stop_level = "880 mm"

[vessels.salt]
holds = "salt"
shape = "cylinder"
diameter = "760 mm"
height = "900 mm"
floor_height = "500 mm"
outlet_level = "40 mm"
target_salinity = 34.5
mixing_temperature = "22 C"
heater = "600 W"
heater_level = "200 mm"
batch_volume = "300 L"

[salt]
label = "20 kg makes 540 L at 35"

{}{}{}"#,
            shape.word(),
            self.ends,
            self.lines,
            self.valves
        )
    }
}
