//! Runs beside others: the same bytes, with fewer questions to the solver.

use std::sync::Arc;

use super::super::{Path, run};
use super::{EXAMPLES, WEEKEND_S, all_faults, weekend, with_ground};

/// Every seventh pair of each example from the first beginnings and the last, beside the run without a fault, those with
/// each of its faults, and the pairs before it: what comes of it and what it has asked of every part is what a run of its
/// own comes to. Tolerance: none. Some take every answer from others, some leave them on the way.
#[test]
fn a_run_beside_others_is_the_run_of_its_own() {
    let (mut followed, mut left) = (0, 0);
    for (name, text) in EXAMPLES {
        with_ground(text, |ground, starts| {
            let all = all_faults(ground);
            for start in starts.iter().take(2).chain(starts.last()) {
                let mut lines = ground.lines();
                let mut of = |faults: &[super::Fault], beside: &[Arc<Path>]| {
                    if let Some(lines) = &mut lines {
                        lines.keep_paths();
                        lines.beside(beside);
                    }
                    let told = run(ground, &mut lines, start, 600.0, faults, WEEKEND_S).expect("flows");
                    let led = lines
                        .as_ref()
                        .map(|lines| (lines.along.answered(), lines.along.was_followed()));
                    (told, led, lines.as_mut().map(super::super::Lines::path))
                };
                let sound = of(&[], &[]).2;
                let singles: Vec<Option<Arc<Path>>> = all.iter().map(|fault| of(&[*fault], &[]).2).collect();
                for (b, second) in all.iter().enumerate() {
                    let mut paths: Vec<Arc<Path>> = sound.iter().chain(&singles[b]).cloned().collect();
                    for (a, first) in all.iter().enumerate().take(b).skip(b % 7).step_by(7) {
                        if first.excludes(*second) {
                            continue;
                        }
                        let faults = [*first, *second];
                        let beside: Vec<Arc<Path>> = paths.iter().chain(&singles[a]).cloned().collect();
                        let (told, led, path) = of(&faults, &beside);
                        assert_eq!(
                            told,
                            weekend(ground, start, &faults),
                            "{name} {:?} {faults:?}",
                            start.phase
                        );
                        followed += usize::from(led.is_some_and(|led| led.1));
                        left += usize::from(led.is_some_and(|led| led.0 > 0 && !led.1));
                        paths.extend(path);
                    }
                }
            }
        });
    }
    assert!(followed > 200 && left > 100, "{followed} {left}");
}
