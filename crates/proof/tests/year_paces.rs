//! The same stretch second by second and from event to event.
//!
//! What the coarse pace does otherwise: the purifier's flow is taken at the beginning of each stretch and between the middles
//! of months along a straight line (a wave of relative height a is off by at most a/8·(2π/12)², 1 % for a = 0.3), transfers go
//! at the mean flow of their stretch by a table of nine levels. Neither touches a volume that is asked for or a mark that is
//! met: those agree but for the run that isn't over.

use crate::year_support;

use proof::{Followed, Paces, Stretch, paces};
use station::Station;
use year_support::{EXAMPLES, share};

/// Of each figure (the task of both paces: within 1 %).
const APART: f64 = 0.01;

/// What a stretch takes in all.
fn sums(stretch: &Stretch) -> Vec<(&'static str, f64)> {
    vec![
        ("permeate", stretch.permeate_m3),
        ("reject", stretch.reject_m3),
        ("salt on the resin", stretch.resin_kg),
        ("fresh to the tanks", stretch.to_tanks_m3[0]),
        ("salt water to the tanks", stretch.to_tanks_m3[1]),
        ("salt to the tanks", stretch.to_tanks_kg),
        ("mix", stretch.mix_kg),
        ("evaporation", stretch.evaporated_m3),
        ("running", stretch.running_s),
    ]
}

/// All that there is to it.
fn everything(stretch: &Stretch) -> Vec<(&'static str, f64)> {
    let mut all = sums(stretch);
    all.extend([
        ("work", stretch.work_s),
        ("lowest fresh", stretch.lowest_m3[0]),
        ("lowest salt", stretch.lowest_m3[1]),
        ("events", stretch.events as f64),
    ]);
    all.extend(stretch.runs_m3.iter().map(|run_m3| ("a run", *run_m3)));
    all.extend(
        stretch
            .volumes_m3
            .iter()
            .map(|volume_m3| ("a volume", *volume_m3)),
    );
    all.extend(
        stretch
            .salinities
            .iter()
            .map(|salinity| ("a salinity", *salinity)),
    );
    all
}

type Figures = fn(&Stretch) -> Vec<(&'static str, f64)>;

/// Sums that a run adds to, which at one pace may come before a stretch is over and at the other behind it.
const OF_RUNS: [&str; 5] = ["permeate", "reject", "salt on the resin", "mix", "running"];

/// How much of all runs the largest is.
fn largest_run(stretch: &Stretch) -> f64 {
    stretch.runs_m3.iter().copied().fold(0.0, f64::max) / stretch.permeate_m3
}

/// Both paces, once their figures were compared. What runs add to may be so much more apart.
fn compare(
    name: &str,
    text: &str,
    followed: &Followed,
    figures: Figures,
    of_runs: fn(&Stretch) -> f64,
) -> Paces {
    let station = Station::read(text).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let both = paces(&station, followed).expect("both paces");
    let (fine, coarse) = (figures(&both.fine), figures(&both.coarse));
    let told = format!(
        "{name} from day {} with seed {}",
        followed.from_day, followed.seed
    );
    assert_eq!(
        fine.len(),
        coarse.len(),
        "{told}: runs {:?} {:?}",
        both.fine.runs_m3,
        both.coarse.runs_m3
    );
    for ((what, fine), (_, coarse)) in fine.into_iter().zip(coarse) {
        if fine == coarse {
            continue;
        }
        // Nothing that is compared is less than a drop.
        let apart = (fine - coarse).abs() / fine.abs().max(coarse.abs()).max(1e-6);
        let runs_apart = if OF_RUNS.contains(&what) {
            of_runs(&both.fine)
        } else {
            0.0
        };
        assert!(
            apart < APART + runs_apart,
            "{told}: {what} is {fine} finely and {coarse} coarsely"
        );
    }
    for stretch in [&both.fine, &both.coarse] {
        assert!(
            stretch.residuals.0 < 1e-12 && stretch.residuals.1 < 1e-12,
            "{told}"
        );
    }
    both
}

/// Winter, spring, summer and its holidays, a month with an odd feed in it, the turn of the year. In none of these stretches
/// does a level stop so near a mark that one pace meets it and the other doesn't.
#[test]
fn weeks_of_the_examples_agree() {
    for (name, text) in EXAMPLES {
        for (from_day, days) in [
            (14.0, 7.0),
            (90.0, 14.0),
            (160.0, 21.0),
            (200.0, 7.0),
            (240.0, 35.0),
            (352.0, 21.0),
        ] {
            for seed in 1..=2 {
                let followed = Followed {
                    from_day,
                    days,
                    seed,
                    tolerance: 1e-7,
                };
                compare(name, text, &followed, everything, |_| 0.0);
            }
        }
    }
}

/// A whole year: sums only, for somewhere a level stops nearer to a mark than the paces are to each other, and runs that come
/// a day earlier or later are other runs. What water and salt the tanks take doesn't hang on that; what was made for them may
/// by a run, which comes before the year's end or behind it; so may people's time: of two vessels that hold the same but for
/// drops the one or the other is drawn, and one has a pump where the other has buckets. Both go either way, so that the means
/// of some years are compared as well.
#[test]
fn years_of_the_examples_agree() {
    for (name, text) in EXAMPLES {
        let seeds = 1..=(24 / share(3)) as u64;
        let mut of_all: Vec<(&str, [f64; 2])> = Vec::new();
        for seed in seeds {
            let followed = Followed {
                from_day: 0.0,
                days: 365.0,
                seed,
                tolerance: 1e-6,
            };
            let both = compare(name, text, &followed, sums, largest_run);
            let with_work = |stretch: &Stretch| [sums(stretch), vec![("work", stretch.work_s)]].concat();
            let fine = with_work(&both.fine);
            of_all.resize(fine.len(), ("", [0.0; 2]));
            for (of_all, (fine, coarse)) in of_all
                .iter_mut()
                .zip(fine.into_iter().zip(with_work(&both.coarse)))
            {
                *of_all = (fine.0, [of_all.1[0] + fine.1, of_all.1[1] + coarse.1]);
            }
        }
        for (what, [fine, coarse]) in of_all {
            let apart = (fine - coarse).abs() / fine.abs().max(coarse.abs()).max(1e-6);
            assert!(
                apart < APART,
                "{name}: {what} is {fine} finely and {coarse} coarsely in all years"
            );
        }
    }
}
