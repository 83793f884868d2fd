//! The pipes: fresh and salt water share none, so that no wrong valve brings salt into the fresh vessel.
//!
//! Each fresh vessel has a tap of its own, to which its water runs by itself. One pump draws from all of them and fills the salt
//! vessels through the air over their rims. Each salt vessel has a pump that stirs it and brings its water to a tap.

use super::answers::Thrift;
use super::plan::{FRESH_BASE_M, OUTLET_M, PUMP_M, Plan, SALT_BASE_M, Stand};
use super::text::Text;

/// Height of a tap's mouth, m: over a bucket that stands on the floor (house rule).
const TAP_M: f64 = 0.42;
/// Level at which the stirring jet ends, m: drowned, over the floor (house rule).
const JET_LEVEL_M: f64 = 0.15;
/// From a vessel to its pump, m (house rule: side by side).
const SUCTION_M: f64 = 0.6;
/// Over a vessel sideways, m (house rule).
const ACROSS_M: f64 = 0.9;
/// From a fresh vessel to its tap, m (house rule).
const SPOUT_M: f64 = 0.4;
/// A hole that lets air in lies so far under the top of a pipe, m (house rule).
const HOLE_UNDER_TOP_M: f64 = 0.03;
/// The same in a jet, over the rim, m (house rule).
const HOLE_OVER_RIM_M: f64 = 0.05;

/// A line by its ends.
struct Line<'l> {
    name: &'l str,
    from: &'l str,
    to: &'l str,
    length_m: f64,
    elbows: u8,
    unions: u8,
}

pub(super) fn write(plan: &Plan<'_>, out: &mut Text) {
    out.chapter("plumbing: how the water moves");
    out.line("# Fresh and salt water share no pipe: no wrong valve brings salt into fresh water.");
    pumps(plan, out);
    joints(plan, out);
    lines(plan, out);
    valves(plan, out);
    tasks(plan, out);
}

/// Each vessel, and what stands behind the names that go with it.
fn tailed(stand: Stand, word: &str) -> Vec<(String, String)> {
    let tail = |at: usize| match stand.count {
        1 => String::new(),
        _ => format!("-{}", at + 1),
    };
    let names = stand.names(word).into_iter().enumerate();
    names.map(|(at, name)| (name, tail(at))).collect()
}

fn salts(plan: &Plan<'_>) -> Vec<(String, String)> {
    tailed(plan.salt, "salt")
}

fn freshes(plan: &Plan<'_>) -> Vec<(String, String)> {
    tailed(plan.fresh, "fresh")
}

/// Flow and head of a small pump, as its box tells.
fn curve(plan: &Plan<'_>, large: bool) -> &'static str {
    match (large, plan.write.either("SI", "US")) {
        (false, "SI") => {
            r#"[["0 L/min", "4.5 m"], ["15 L/min", "3.9 m"], ["30 L/min", "2.4 m"], ["45 L/min", "0 m"]]"#
        }
        (true, "SI") => {
            r#"[["0 L/min", "7 m"], ["30 L/min", "6.2 m"], ["60 L/min", "4.3 m"], ["90 L/min", "0.8 m"]]"#
        }
        (false, _) => {
            r#"[["0 gal/min", "15 ft"], ["4 gal/min", "12.8 ft"], ["8 gal/min", "7.9 ft"], ["12 gal/min", "0 ft"]]"#
        }
        (true, _) => {
            r#"[["0 gal/min", "23 ft"], ["8 gal/min", "20.3 ft"], ["16 gal/min", "14.1 ft"], ["24 gal/min", "2.6 ft"]]"#
        }
    }
}

/// Whether vessels are large enough for the larger pump.
fn is_large(plan: &Plan<'_>) -> bool {
    plan.batch_m3.max(plan.run_m3) > 0.3
}

fn pumps(plan: &Plan<'_>, out: &mut Text) {
    let large = is_large(plan);
    let mut one = |name: &str| {
        out.section(&format!("pumps.{name}"), "");
        out.bare(
            "curve",
            curve(plan, large),
            "any pump of its size: put in that of yours",
        );
        out.said("tolerance", "25 %");
        out.said_with(
            "height",
            &plan.write.tape(plan.write.mark_m(PUMP_M)),
            "under the outlets: always full",
        );
        out.said("power", if large { "180 W" } else { "65 W" });
        if plan.affords(Thrift::Sensible) {
            out.bare("flow_switch", "true", "stops it where no water flows");
        }
    };
    one("fresh-pump");
    for (_, tail) in salts(plan) {
        one(&format!("salt-pump{tail}"));
    }
}

fn joints(plan: &Plan<'_>, out: &mut Text) {
    let write = &plan.write;
    let top = write.tape(plan.pipes_m());
    out.section("tees", "");
    if plan.fresh.count > 1 {
        out.line(&format!(
            "fresh-suction = {{ height = \"{}\" }}",
            write.tape(write.mark_m(PUMP_M))
        ));
    }
    if plan.salt.count > 1 {
        out.line(&format!("fresh-top = {{ height = \"{top}\" }}"));
    }
    for (_, tail) in salts(plan) {
        out.line(&format!(
            "salt-top{tail} = {{ height = \"{top}\", branch = \"salt-spout{tail}\" }}"
        ));
    }
    out.section("draw_points", "over a bucket on the floor");
    let (height, bucket) = (write.tape(write.mark_m(TAP_M)), write.either("12 L", "5 gal"));
    let mut tap = |name: &str| {
        out.line(&format!(
            "{name} = {{ height = \"{height}\", container = \"{bucket}\" }}"
        ));
    };
    for (_, tail) in freshes(plan) {
        tap(&format!("fresh-tap{tail}"));
    }
    for (_, tail) in salts(plan) {
        tap(&format!("salt-tap{tail}"));
    }
}

fn lines(plan: &Plan<'_>, out: &mut Text) {
    fresh_lines(plan, out);
    for (vessel, tail) in salts(plan) {
        salt_lines(plan, &vessel, &tail, out);
    }
}

/// From a vessel to what draws from it.
fn suction(plan: &Plan<'_>, name: &str, ends: [&str; 2], out: &mut Text) {
    let [from, to] = ends;
    let line = Line {
        name,
        from,
        to,
        length_m: SUCTION_M,
        elbows: 1,
        unions: 1,
    };
    pipe(plan, &line, "", out);
}

/// Up from a pump to the pipes over the rims, m.
fn rise_m(plan: &Plan<'_>) -> f64 {
    plan.pipes_m() - PUMP_M + 0.2
}

fn fresh_lines(plan: &Plan<'_>, out: &mut Text) {
    for (vessel, tail) in freshes(plan) {
        let (name, tap) = (format!("fresh-spout{tail}"), format!("fresh-tap{tail}"));
        let spout = Line {
            name: &name,
            from: &vessel,
            to: &tap,
            length_m: SPOUT_M,
            elbows: 1,
            unions: 0,
        };
        narrow(plan, &spout, "an outlet of its own: it needs no pump", out);
        let name = format!("fresh-out{tail}");
        let to = if plan.fresh.count > 1 {
            "tee fresh-suction"
        } else {
            "fresh-pump"
        };
        suction(plan, &name, [&vessel, to], out);
    }
    if plan.fresh.count > 1 {
        suction(plan, "fresh-suction", ["tee fresh-suction", "fresh-pump"], out);
    }
    let down = "ends in the air over the rim";
    match salts(plan).as_slice() {
        [(vessel, _)] => {
            let length_m = rise_m(plan) + 2.0 * ACROSS_M;
            let fill = Line {
                name: "fill",
                from: "fresh-pump",
                to: vessel,
                length_m,
                elbows: 4,
                unions: 1,
            };
            pipe(plan, &fill, down, out);
            out.said_with("crest", &plan.write.tape(plan.pipes_m()), "over every rim");
            hole(plan, out);
        }
        many => {
            let rise = Line {
                name: "fresh-rise",
                from: "fresh-pump",
                to: "fresh-top",
                length_m: rise_m(plan),
                elbows: 2,
                unions: 1,
            };
            pipe(plan, &rise, "", out);
            for (vessel, tail) in many {
                let name = format!("fill{tail}");
                let fill = Line {
                    name: &name,
                    from: "fresh-top",
                    to: vessel,
                    length_m: 2.0 * ACROSS_M,
                    elbows: 2,
                    unions: 0,
                };
                pipe(plan, &fill, down, out);
                hole(plan, out);
            }
        }
    }
}

fn salt_lines(plan: &Plan<'_>, vessel: &str, tail: &str, out: &mut Text) {
    let top_m = plan.pipes_m();
    let (pump, top) = (format!("salt-pump{tail}"), format!("salt-top{tail}"));
    suction(plan, &format!("salt-out{tail}"), [vessel, &pump], out);
    let name = format!("salt-rise{tail}");
    let rise = Line {
        name: &name,
        from: &pump,
        to: &top,
        length_m: rise_m(plan),
        elbows: 2,
        unions: 1,
    };
    pipe(plan, &rise, "", out);
    let (name, tap) = (format!("salt-spout{tail}"), format!("salt-tap{tail}"));
    let spout = Line {
        name: &name,
        from: &top,
        to: &tap,
        length_m: top_m - TAP_M + 0.2,
        elbows: 1,
        unions: 0,
    };
    narrow(plan, &spout, "", out);
    out.bare("couplings", "1", "from the wider pipe to this");
    hole(plan, out);
    let name = format!("jet{tail}");
    let length_m = top_m - SALT_BASE_M - JET_LEVEL_M + ACROSS_M;
    let jet = Line {
        name: &name,
        from: &top,
        to: vessel,
        length_m,
        elbows: 2,
        unions: 0,
    };
    pipe(plan, &jet, "down inside the vessel, ends drowned: it stirs", out);
    out.said("to_level", &plan.write.tape(plan.write.mark_m(JET_LEVEL_M)));
    let hole_m = plan.write.mark_m(plan.salt_rim_m() + HOLE_OVER_RIM_M);
    out.said_with(
        "siphon_break",
        &plan.write.tape(hole_m),
        "a hole that lets air in",
    );
}

/// A hole near the top of a pipe: otherwise it runs on as a siphon when its pump stops.
fn hole(plan: &Plan<'_>, out: &mut Text) {
    let hole_m = plan.write.mark_m(plan.pipes_m() - HOLE_UNDER_TOP_M);
    out.said_with(
        "siphon_break",
        &plan.write.tape(hole_m),
        "a hole that lets air in, pointing down",
    );
}

fn pipe(plan: &Plan<'_>, line: &Line<'_>, remark: &str, out: &mut Text) {
    let large = is_large(plan);
    let size = match (plan.write.either("SI", "US"), large) {
        ("SI", false) => "32 mm",
        ("SI", true) => "40 mm",
        (_, false) => "1 in",
        (_, true) => "1 1/4 in",
    };
    sized(plan, line, size, remark, out);
}

/// One that runs into a bucket: as wide as the others it would fill it before a hand is back at the valve.
fn narrow(plan: &Plan<'_>, line: &Line<'_>, remark: &str, out: &mut Text) {
    sized(plan, line, plan.write.either("25 mm", "3/4 in"), remark, out);
}

fn sized(plan: &Plan<'_>, line: &Line<'_>, size: &str, remark: &str, out: &mut Text) {
    let tube = plan.write.either("metric pipe 10 bar", "schedule 40 pipe");
    out.section(&format!("lines.{}", line.name), remark);
    out.said("from", line.from);
    out.said("to", line.to);
    out.said("tube", tube);
    out.said("size", size);
    out.said("length", &plan.write.tape(plan.write.mark_m(line.length_m)));
    out.bare("elbows", &line.elbows.to_string(), "");
    if line.unions > 0 {
        out.bare("unions", &line.unions.to_string(), "");
    }
}

fn valves(plan: &Plan<'_>, out: &mut Text) {
    out.section("valves", "");
    let mut ball = |name: &str, line: &str, rest: &str| {
        out.line(&format!(
            "{name} = {{ line = \"{line}\", kind = \"ball\"{rest} }}"
        ));
    };
    for (_, tail) in freshes(plan) {
        ball(
            &format!("fresh-spout{tail}"),
            &format!("fresh-spout{tail}"),
            ", self_closing = true",
        );
        ball(&format!("fresh-outlet{tail}"), &format!("fresh-out{tail}"), "");
    }
    for (_, tail) in salts(plan) {
        ball(&format!("fill{tail}"), &format!("fill{tail}"), "");
        ball(&format!("salt-outlet{tail}"), &format!("salt-out{tail}"), "");
        ball(
            &format!("salt-spout{tail}"),
            &format!("salt-spout{tail}"),
            ", self_closing = true",
        );
        ball(&format!("jet{tail}"), &format!("jet{tail}"), "");
    }
}

fn tasks(plan: &Plan<'_>, out: &mut Text) {
    out.section("lineups", "the tasks: which valves are open");
    let fresh = freshes(plan);
    for (vessel, tail) in &fresh {
        out.line(&format!(
            "fresh-bucket{tail} = {{ from = \"{vessel}\", to = \"fresh-tap{tail}\", by = \"gravity\", open = \"fresh-spout{tail}\" }}"
        ));
    }
    let mut pumped = |name: &str, [from, to, pump]: [&str; 3], open: &str, rest: &str| {
        out.line(&format!(
            "{name} = {{ from = \"{from}\", to = \"{to}\", by = \"pump\", pump = \"{pump}\", open = \"{open}\"{rest} }}"
        ));
    };
    let volume = plan.batch_fresh_m3.map_or_else(String::new, |volume_m3| {
        let most_m3 = plan.reserve_fresh_m3 / plan.fresh.count as f64 + plan.run_m3;
        let volume_m3 = plan.write.round_down_m3(volume_m3.min(most_m3));
        format!(", volume = \"{}\"", plan.write.volume(volume_m3))
    });
    for ((vessel, tail), (source, source_tail)) in salts(plan).iter().zip(fresh.iter().cycle()) {
        let pump = format!("salt-pump{tail}");
        pumped(
            &format!("salt-bucket{tail}"),
            [vessel, &format!("salt-tap{tail}"), &pump],
            &format!("salt-outlet{tail}, salt-spout{tail}"),
            "",
        );
        pumped(
            &format!("fresh-to-salt{tail}"),
            [source, vessel, "fresh-pump"],
            &format!("fresh-outlet{source_tail}, fill{tail}"),
            &volume,
        );
        pumped(
            &format!("mix{tail}"),
            [vessel, vessel, &pump],
            &format!("salt-outlet{tail}, jet{tail}"),
            "",
        );
    }
}

/// That the pumps lie under the outlets, and the taps of the fresh vessels too, as the file says.
const _: () = assert!(PUMP_M < SALT_BASE_M + OUTLET_M && TAP_M < FRESH_BASE_M + OUTLET_M);
