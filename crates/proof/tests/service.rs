//! Service on small stations whose numbers are worked by hand beside them.

use core::f64::consts::FRAC_PI_4;

use proof::{HowInstead, PartKind, Severity};

use crate::service_support;
use service_support::{names, near, part, proved};

/// Water in a metre of the lines below: a bore of 20 mm.
const METRE_M3: f64 = FRAC_PI_4 * 0.020 * 0.020;

/// A tub whose outlet is at 1.0 + 0.1 = 1.1 m and whose surface is at 1.0 + 0.6 = 1.6 m; a pump at 0.2 m; a tee at 2.2 m,
/// from which a line pours into a bin (rim at 1.5 m) and another stands up to a spout at 2.7 m. All lines have a bore of
/// 20 mm. `more` is put at the end.
fn tower(valves: &str, more: &str) -> String {
    format!(
        r#"
title = "tower"
[vessels.tub]
holds = "fresh"
shape = "box"
length = "1 m"
width = "500 mm"
height = "1 m"
floor_height = "1 m"
outlet_level = "100 mm"
stop_level = "600 mm"
[vessels.bin]
holds = "fresh"
shape = "box"
length = "1 m"
width = "1 m"
height = "1 m"
floor_height = "500 mm"
stop_level = "800 mm"
[pumps.lift]
curve = [["0 L/min", "6 m"], ["40 L/min", "0 m"]]
height = "200 mm"
[tees]
top = {{ height = "2.2 m" }}
[draw_points]
spout = {{ height = "2.7 m" }}
[lines]
suction = {{ from = "tub", to = "lift", tube = "vinyl hose", size = "20 mm", bore = "20 mm", length = "1 m", barbs = 1 }}
riser = {{ from = "lift", to = "top", tube = "vinyl hose", size = "20 mm", bore = "20 mm", length = "2 m", barbs = 2 }}
over = {{ from = "top", to = "bin", tube = "vinyl hose", size = "20 mm", bore = "20 mm", length = "1 m", barbs = 1 }}
high = {{ from = "top", to = "spout", tube = "vinyl hose", size = "20 mm", bore = "20 mm", length = "500 mm", barbs = 1 }}
[valves]
{valves}
[lineups]
fill = {{ from = "tub", to = "bin", by = "pump", volume = "100 L" }}
{more}
"#
    )
}

const COCK: &str = r#"cock = { line = "suction", kind = "ball" }"#;
const FOOT: &str = r#"foot = { line = "riser", kind = "ball" }"#;

/// Both valves hold: out come the suction (1 m, from 1.1 m down to the pump) and the riser (2 m, up to its valve at 2.2 m).
/// The valve of the riser holds no vessel back, but half a metre of standing water.
#[test]
fn a_pump_between_two_valves() {
    let proof = proved(&tower(&format!("{COCK}\n{FOOT}"), ""));
    let pump = part(&proof, PartKind::Pump, "lift");
    assert_eq!(names(&pump.close), ["cock", "foot"]);
    near(pump.lines_m3, 3.0 * METRE_M3);
    near(pump.spilled_m3, 3.0 * METRE_M3);
    assert!(pump.drain.is_empty());
    assert!(pump.first.iter().any(|first| first == "Pull the plug of lift."));
    assert!(
        proof
            .findings
            .iter()
            .all(|finding| finding.id != "pump-needs-draining")
    );
}

/// Without the riser's valve the half metre above the tee comes too; the line to the bin falls from the tee to the rim, so
/// that its water goes the other way.
#[test]
fn what_stands_above_comes_down() {
    let proof = proved(&tower(COCK, ""));
    let pump = part(&proof, PartKind::Pump, "lift");
    assert_eq!(names(&pump.close), ["cock"]);
    near(pump.lines_m3, 3.5 * METRE_M3);
}

/// Without the suction's valve the tub is drained from 0.6 to 0.1 m: 0.5 m² by 0.5 m is 250 L, 17 buckets of 15 L. A check
/// valve there is no help, and a valve in the suction is what the finding asks for.
#[test]
fn without_a_valve_the_vessel_is_drained() {
    for check in ["", r#"flap = { line = "suction", kind = "swing check" }"#] {
        let proof = proved(&tower(&format!("{check}\n{FOOT}"), ""));
        let pump = part(&proof, PartKind::Pump, "lift");
        assert_eq!(names(&pump.close), ["foot"]);
        let [drain] = pump.drain.as_slice() else {
            panic!("{:?}", pump.drain)
        };
        assert_eq!((drain.from.as_str(), drain.buckets), ("tub", 17));
        near(drain.to_level_m.unwrap(), 0.1);
        near(drain.volume_m3, 0.25);
        near(pump.spilled_m3, 0.25 + 3.0 * METRE_M3);
        let finding = proof
            .findings
            .iter()
            .find(|finding| finding.id == "pump-needs-draining")
            .unwrap();
        assert_eq!(finding.severity, Severity::Should);
        assert!(finding.sentence.contains("in suction"), "{}", finding.sentence);
        // Where the owner names the valves of a task, the new one is among them.
        let remedy = finding.remedy.as_ref().unwrap();
        assert_eq!(remedy.sentence, "put a ball valve into suction");
        let owned = tower(&format!("{check}\n{FOOT}"), "").replace("volume =", "open = \"foot\", volume =");
        let proof = proved(&owned);
        let remedy = proof
            .findings
            .iter()
            .find(|finding| finding.id == "pump-needs-draining")
            .and_then(|finding| finding.remedy.as_ref())
            .unwrap();
        assert_eq!(
            remedy.sentence,
            "put a ball valve into suction, open suction too for fill"
        );
    }
}

/// The tub's own valve out: the tub is drained to its outlet. The pump's other side holds the riser's two metres back
/// where it stands higher than the valve: from 1.1 to 2.2 m of its 0.2 to 2.2 m, 1.1 m of its length. The suction falls
/// from the valve to the pump at 0.2 m, so that its own water stays; the riser's valve at its top holds the rest.
#[test]
fn a_valve_at_a_vessel() {
    let proof = proved(&tower(&format!("{COCK}\n{FOOT}"), ""));
    let valve = part(&proof, PartKind::Valve, "cock");
    assert_eq!(names(&valve.close), ["foot"]);
    near(valve.lines_m3, 1.1 * METRE_M3);
    near(valve.spilled_m3, 0.25 + 1.1 * METRE_M3);
    // The riser's valve stands at 2.2 m, above every surface; only a pump could push water to it.
    let top = part(&proof, PartKind::Valve, "foot");
    assert_eq!(names(&top.close), ["cock"]);
    // The half metre up to the spout comes down; the riser below keeps its water.
    near(top.lines_m3, 0.5 * METRE_M3);
    assert!(top.drain.is_empty());
}

/// A line that is taken off loses all its own water, and its neighbours what stands above: the riser with the half metre,
/// not the line to the bin.
#[test]
fn a_line_with_its_own_water() {
    let proof = proved(&tower(COCK, ""));
    let lines = part(&proof, PartKind::Lines, "suction, riser, over, high");
    assert_eq!(names(&lines.close), ["cock"]);
    // The worst is the riser: its 2 m, the suction's metre and the half metre.
    near(lines.lines_m3, 3.5 * METRE_M3);
}

/// What goes on and what doesn't: with the pump out, 100 L are dipped in 7 buckets, 14 min at 2 min each; gravity doesn't
/// climb to 2.2 m from a surface at 1.6 m.
#[test]
fn a_lost_task_is_carried() {
    let proof = proved(&tower(&format!("{COCK}\n{FOOT}"), ""));
    let pump = part(&proof, PartKind::Pump, "lift");
    assert!(pump.still.is_empty());
    let [lost] = pump.lost.as_slice() else {
        panic!("{:?}", pump.lost)
    };
    let instead = lost.instead.as_ref().unwrap();
    assert_eq!((instead.how, instead.buckets), (HowInstead::Dipping, Some(7)));
    near(instead.seconds.unwrap(), 14.0 * 60.0);
    // With the tub out there is another fresh vessel, but it is where the water goes.
    let tub = part(&proof, PartKind::Vessel, "tub");
    assert!(tub.lost[0].instead.is_none(), "{:?}", tub.lost);
    near(tub.drain[0].volume_m3, 0.3);
}

/// A line from the pump over a crest at 2 m to an open end at `end`: 2 m long, a metre on either side.
fn over_a_crest(end: &str, hole: &str) -> String {
    format!(
        r#"
title = "crest"
[vessels.tub]
holds = "fresh"
shape = "box"
length = "1 m"
width = "1 m"
height = "1 m"
floor_height = "1 m"
outlet_level = "0 mm"
stop_level = "500 mm"
[pumps.lift]
curve = [["0 L/min", "6 m"], ["40 L/min", "0 m"]]
height = "200 mm"
[draw_points]
spout = {{ height = "{end}" }}
[lines]
suction = {{ from = "tub", to = "lift", tube = "vinyl hose", size = "20 mm", bore = "20 mm", length = "1 m", barbs = 1 }}
over = {{ from = "lift", to = "spout", tube = "vinyl hose", size = "20 mm", bore = "20 mm", length = "2 m", crest = "2 m", {hole} barbs = 1 }}
[valves]
{COCK}
"#
    )
}

/// With its end at 1 m, above the pump, a full line empties over its crest to the pump, all 2 m of it. A hole at the top
/// parts the two sides: a metre. With its end at 0.1 m, below the pump, the far side runs to its own end.
#[test]
fn a_crest_is_passed_by_a_full_line() {
    for (end, hole, metres) in [
        ("1 m", "", 2.0),
        ("1 m", r#"siphon_break = "1.9 m","#, 1.0),
        ("100 mm", "", 1.0),
    ] {
        let proof = proved(&over_a_crest(end, hole));
        let pump = part(&proof, PartKind::Pump, "lift");
        assert_eq!(names(&pump.close), ["cock"], "{end} {hole}");
        near(pump.lines_m3, (1.0 + metres) * METRE_M3);
    }
}

/// A hump at 1.0 m, then down to 0.4 m and up to 1.6 m over 1.2 m of line: of the rise beyond, what stands above the hump
/// comes back over it, (1.6 − 1.0)/(1.6 − 0.4) = half of it, 0.6 m. What fills the sag stays.
#[test]
fn a_sag_keeps_its_water() {
    let text = r#"
title = "sag"
[vessels.tub]
holds = "fresh"
shape = "box"
length = "1 m"
width = "1 m"
height = "1 m"
floor_height = "2 m"
outlet_level = "0 mm"
[pumps.lift]
curve = [["0 L/min", "6 m"], ["40 L/min", "0 m"]]
height = "200 mm"
[tees]
hump = { height = "1 m" }
sag = { height = "400 mm" }
[draw_points]
spout = { height = "1.6 m" }
low = { height = "300 mm" }
[lines]
suction = { from = "tub", to = "lift", tube = "vinyl hose", size = "20 mm", bore = "20 mm", length = "2 m", barbs = 1 }
rise = { from = "lift", to = "hump", tube = "vinyl hose", size = "20 mm", bore = "20 mm", length = "800 mm", barbs = 1 }
fall = { from = "hump", to = "sag", tube = "vinyl hose", size = "20 mm", bore = "20 mm", length = "600 mm", barbs = 1 }
again = { from = "sag", to = "spout", tube = "vinyl hose", size = "20 mm", bore = "20 mm", length = "1.2 m", barbs = 1 }
side = { from = "hump", to = "low", tube = "vinyl hose", size = "20 mm", bore = "20 mm", length = "700 mm", barbs = 1 }
[valves]
cock = { line = "suction", kind = "ball" }
"#;
    let proof = proved(text);
    let pump = part(&proof, PartKind::Pump, "lift");
    near(pump.lines_m3, (2.0 + 0.8 + 0.6) * METRE_M3);
}

/// A jet that hangs into the bin from above, its end at 0.5 + 0.2 = 0.7 m, the bin's surface at 1.3 m. Without a valve its
/// water comes back through the pump by siphon, 0.6 m of 1 m²; it can be lifted out instead. A hole above the surface
/// stops that; a hole at 0.9 m, under it, stops it there, after 0.4 m.
#[test]
fn a_drowned_end_siphons_back() {
    let hung = |hole: &str| {
        tower(COCK, "").replace(
            r#"to = "bin", tube = "vinyl hose", size = "20 mm","#,
            &format!(r#"to = "bin", to_level = "200 mm", {hole} tube = "vinyl hose", size = "20 mm","#),
        )
    };
    for (hole, wanted) in [
        ("", Some((0.2, 0.6))),
        (r#"siphon_break = "1.35 m","#, None),
        (r#"siphon_break = "900 mm","#, Some((0.4, 0.4))),
    ] {
        let proof = proved(&hung(hole));
        let pump = part(&proof, PartKind::Pump, "lift");
        let drain = pump.drain.iter().find(|drain| drain.from == "bin");
        assert_eq!(drain.is_some(), wanted.is_some(), "{hole}: {:?}", pump.drain);
        if let (Some(drain), Some((level_m, volume_m3))) = (drain, wanted) {
            near(drain.to_level_m.unwrap(), level_m);
            near(drain.volume_m3, volume_m3);
            assert_eq!(drain.lift_out.as_deref(), Some("over"));
        }
    }
}
