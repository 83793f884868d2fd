//! What is chosen by its exact size also fits as the file writes it: to the millimetre, or to a sixteenth of an inch.

use station::catalogue::CATALOGUE;
use station::quantity::UnitSystem;

use crate::first::plan::Stand;
use crate::first::vessels::candidates;
use crate::first::write::Write;
use crate::first::{Answers, begun, mend};
use crate::prove::sketch;

/// Doors by fifths of a millimetre, so that each written mark is met from all sides: every vessel that is thought to come in
/// through one is found to by the proof, of the file that tells both.
#[test]
fn what_passes_the_door_passes_as_written() {
    let mut tried = 0;
    for units in [UnitSystem::Si, UnitSystem::Us] {
        let mut answers = Answers::usual(units);
        answers.space.ceiling_m = 3.5;
        let write = Write {
            units,
            currency: station::quantity::Currency::default(),
        };
        for vessel in CATALOGUE {
            let [long_m, short_m] = vessel.plan_m();
            // The narrowest door that it is thought to come through, to a fifth of a millimetre.
            let fits = |door_m: f64| {
                let mut space = answers.space;
                space.door_m = door_m;
                candidates(&space).is_ok_and(|all| all.contains(&vessel))
            };
            let doors = (0..800).map(|step| short_m.min(long_m) - 0.08 + f64::from(step) * 2e-4);
            let Some(narrowest_m) = doors.into_iter().find(|door_m| fits(*door_m)) else {
                continue;
            };
            for step in 0..8 {
                answers.space.door_m = narrowest_m + f64::from(step) * 2e-4;
                let mut plan = begun(&answers, &write).expect("a plan");
                plan.salt = Stand { count: 1, vessel };
                let proof = sketch(&mend::station_of(&plan).expect("it is read"));
                let salt = proof.levels.vessels.iter().find(|own| own.holds == "salt");
                let what = vessel.name(units);
                assert_eq!(
                    salt.and_then(|own| own.passes_door),
                    Some(true),
                    "{what} through {} m",
                    answers.space.door_m
                );
                tried += 1;
            }
        }
    }
    assert!(tried > 200, "only {tried} doors were tried");
}
