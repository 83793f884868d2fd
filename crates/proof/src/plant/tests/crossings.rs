//! The same marks in the same order at both paces, each within a hundredth of the time that led to it.

use station::Station;

use super::super::body::Plant;
use super::super::pace::{Crossing, Pace};
use super::super::person::Doing;
use super::super::{Chance, Coarse, DAY_S, Fine, Network, State, drive};
use crate::analysis::{plain_network, prepare};

const EXAMPLES: [&str; 3] = [
    include_str!("../../../../../stations/larkhaven.toml"),
    include_str!("../../../../../stations/juniper-street-school.toml"),
    include_str!("../../../../../stations/skelder-hatchery.toml"),
];

/// A crossing, when it came, and how long what led to it had been going on, s.
#[derive(Debug, Clone, Copy)]
struct Seen {
    crossing: Crossing,
    t_s: f64,
    since_s: f64,
    /// Whether it came in the midst of a transfer.
    midst: bool,
}

/// A pace that is watched.
struct Watched<P> {
    pace: P,
    seen: Vec<Seen>,
}

impl<P: Pace> Pace for Watched<P> {
    type Refusal = P::Refusal;

    fn advance(
        &mut self,
        plant: &Plant,
        state: &mut State,
        until_s: f64,
    ) -> Result<Option<Crossing>, P::Refusal> {
        let crossing = self.pace.advance(plant, state, until_s)?;
        if let Some(crossing) = crossing {
            let run_s = state.running.on.then_some(state.running.since_s);
            let task_s = match state.person.doing {
                Doing::Moving(moving) => Some(moving.load.since_s),
                _ => None,
            };
            let since_s = match (crossing, run_s, task_s) {
                (Crossing::Moved, _, Some(task_s)) | (_, None, Some(task_s)) => task_s,
                (_, Some(run_s), _) => run_s,
                _ => state.t_s,
            };
            self.seen.push(Seen {
                crossing,
                t_s: state.t_s,
                since_s,
                midst: task_s == Some(since_s) && crossing != Crossing::Moved,
            });
        }
        Ok(crossing)
    }
}

fn seen<P: Pace>(plant: &Plant, pace: P, (from_day, days): (f64, f64), seed: u64) -> Vec<Seen> {
    let mut state = State::begin(plant, from_day * DAY_S, Chance::new(seed, 0));
    let mut watched = Watched {
        pace,
        seen: Vec::new(),
    };
    drive(plant, &mut state, &mut watched, (from_day + days) * DAY_S).expect("drives");
    watched.seen
}

/// A mark in the midst of a transfer is met by the coarse pace as if the whole transfer had one flow. Where the flow falls by a
/// part f on the way, because the level does, half of the volume is through f/4 of its time sooner; in the examples f is 6 %
/// at most, as measured, so 2 %. Ends of transfers and of runs aren't touched by it.
///
/// A batch takes what is to spare while the purifier runs, so that a run may begin at a level that carries what the paces
/// made apart before: up to a thousandth (0.08 % in `year_paces`) of a running that lasts for days. A thousandth of one day
/// is let pass on top.
///
/// Two marks that lie closer together than the paces do can be met in either order: a transfer that ends some millilitres
/// above a start mark at one pace and below it at the other. From there on the stretch has two lives, and isn't compared
/// further; but both must have met their marks within the same hundredth, and most of all crossings must be compared.
#[test]
fn marks_are_met_in_one_order_and_at_one_time() {
    let (mut compared, mut all) = (0, 0);
    for text in EXAMPLES {
        let station = Station::read(text).expect("an example");
        let prepared = prepare(&station, false).expect("a plant");
        let plant = &prepared.nominal;
        let pipework = plain_network(&station).expect("a network");
        let network = Network::new(&station, &pipework);
        for stretch in [
            (14.0, 7.0),
            (90.0, 30.0),
            (160.0, 21.0),
            (200.0, 21.0),
            (240.0, 35.0),
            (352.0, 21.0),
        ] {
            let fine = Fine::new(Some(&network), prepared.membranes.clone(), 1e-7);
            let fine = seen(plant, fine, stretch, 1);
            let coarse = seen(plant, Coarse, stretch, 1);
            all += fine.len();
            for (at, (fine, coarse)) in fine.iter().zip(&coarse).enumerate() {
                let told = format!(
                    "{} {stretch:?} {at}: {fine:?} {coarse:?}",
                    station.title.title.value
                );
                let (finely_s, coarsely_s) = (fine.t_s - fine.since_s, coarse.t_s - coarse.since_s);
                // A second of grace for what takes no time, and what was made apart before.
                let grace_s = 1.0
                    + if fine.crossing != Crossing::Moved && !fine.midst && finely_s > 60.0 {
                        1e-3 * DAY_S
                    } else {
                        0.0
                    };
                let share = if fine.midst { 0.02 } else { 0.01 };
                assert!(
                    (finely_s - coarsely_s).abs() < grace_s + share * finely_s,
                    "{told}"
                );
                if fine.crossing != coarse.crossing {
                    break;
                }
                compared += 1;
            }
        }
    }
    assert!(compared * 10 > all * 9, "{compared} of {all}");
}
