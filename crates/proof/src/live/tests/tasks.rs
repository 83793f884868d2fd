//! Tasks and fills beside what the rest of the proof tells of them.

use super::super::Beginning;
use super::{EXAMPLES, begin, example, seen, with};
use crate::{Lineup, prove};

/// Each task from a full source to a draw point or tank takes the time that the proof's lineups tell for it. Within 3 %: the
/// lineup's time is made at nine levels, with each water's own density, and with its target half full. What is moved is the
/// card's volume there and here, within a thousandth: there it is what steps of the level come to.
#[test]
fn a_task_takes_the_time_that_is_told() {
    let mut compared = 0;
    for (name, _) in EXAMPLES {
        let station = example(name);
        let proof = prove(&station);
        let Some(told) = &proof.lineups else { continue };
        for lineup in &told.lineups {
            let Some((told_s, moved_m3)) = of_full(lineup) else {
                continue;
            };
            with(&station, Beginning::Full, |live| {
                live.act(&begin(&lineup.name)).expect("begins");
                let left_m3 = seen(live).task.and_then(|task| task.left_m3);
                // Vessels are full: nothing is to be moved there.
                let Some(left_m3) = left_m3.filter(|left_m3| *left_m3 > 1e-4) else {
                    return;
                };
                live.advance(4.0 * told_s * left_m3 / moved_m3).expect("goes on");
                let seen = seen(live);
                let Some(ended_s) = seen.ended_s else {
                    panic!("{name}: {} hasn't ended: {seen:?}", lineup.name)
                };
                assert!(
                    (left_m3 / moved_m3 - 1.0).abs() < 1e-3,
                    "{name}, {}: {left_m3} here, {moved_m3} there",
                    lineup.name
                );
                assert!(
                    (ended_s / told_s * moved_m3 / left_m3 - 1.0).abs() < 0.03,
                    "{name}, {}: {ended_s} s here, {told_s} s told",
                    lineup.name
                );
                compared += 1;
            });
        }
    }
    assert!(compared >= 4, "{compared}");
}

fn of_full(lineup: &Lineup) -> Option<(f64, f64)> {
    let full = lineup.moments.iter().find(|own| own.source == "full")?;
    Some((full.nominal.1?, full.moved_m3?))
}
