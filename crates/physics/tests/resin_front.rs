//! The zone and the pair of beds against a front that is followed cell by cell.
//!
//! The model knows nothing of a zone: each cell takes up a fixed share of what reaches it until it's full. What
//! comes out of it has to be what the closed formulas say.

use physics::resin::{lead_lag_gain, utilisation_from_zone, zone_height_m};

/// Share of what reaches a cell that it takes up. A tenth makes a zone of about thirty cells.
const TAKEN: f64 = 0.1;
/// Water per step, in what fills a cell; the front then moves by less than a cell a step.
const STEP: f64 = 0.05;
/// The first leak, as a share of what enters.
const LEAK: f64 = 0.05;
const EXHAUSTED: f64 = 0.999;

/// A bed: how full each of its cells is, `0..=1`.
struct Column(Vec<f64>);

impl Column {
    fn new(cells: usize) -> Self {
        Self(vec![0.0; cells])
    }

    /// Passes a step of water on; gives the share that leaves of what enters a column of full strength.
    fn pass(&mut self, entering: f64) -> f64 {
        let mut strength = entering;
        for held in &mut self.0 {
            let taken = (TAKEN * strength * STEP).min(1.0 - *held);
            *held += taken;
            strength -= taken / STEP;
        }
        strength
    }

    fn used(&self) -> f64 {
        self.0.iter().sum::<f64>() / self.0.len() as f64
    }
}

/// One bed from new: water to the first leak, water to exhaustion, share used at the leak, and what passed
/// between.
struct Run {
    leak: f64,
    exhaustion: f64,
    used_at_leak: f64,
    taken_after_leak: f64,
}

fn run(cells: usize) -> Run {
    let mut column = Column::new(cells);
    let (mut water, mut taken_after_leak) = (0.0, 0.0);
    let mut at_leak = None;
    loop {
        let leaving = column.pass(1.0);
        water += STEP;
        if at_leak.is_some() {
            taken_after_leak += (1.0 - leaving) * STEP;
        } else if leaving >= LEAK {
            at_leak = Some((water, column.used()));
        }
        if leaving >= EXHAUSTED {
            let (leak, used_at_leak) = at_leak.expect("it leaks before it's exhausted");
            return Run {
                leak,
                exhaustion: water,
                used_at_leak,
                taken_after_leak,
            };
        }
    }
}

#[test]
fn the_zone_of_one_bed_tells_the_use_of_another() {
    let (cells, cell_m) = (100_usize, 0.004);
    let short = run(cells);
    // f is what the bed still took up after the leak, by the water that passed until it took up no more.
    let unused = short.taken_after_leak / (short.exhaustion - short.leak);
    // A front that falls by a fixed share per cell leaves 1 − (1 − ε)/ln(1/ε) of its zone unused at a leak of ε:
    // 0.683 for a twentieth. The last cell of a hundred, and exhaustion read at 0.999, blur it by a cell in
    // thirty.
    let of_exponential = 1.0 - (1.0 - LEAK) / -libm::log(LEAK);
    assert!(
        (unused - of_exponential).abs() < 0.03,
        "{unused} for {of_exponential}"
    );
    let height_m = cells as f64 * cell_m;
    let zone_m = zone_height_m(height_m, short.leak, short.exhaustion, unused).unwrap();
    // A front that loses a tenth per cell falls from all to a twentieth in ln 20/-ln 0.9 = 28.4 cells, and its
    // last cells fill slowly: within three cells.
    let expected_m = libm::log(LEAK) / libm::log(1.0 - TAKEN) * cell_m;
    assert!(
        (zone_m - expected_m).abs() < 3.0 * cell_m,
        "{zone_m} for {expected_m}"
    );

    for times in [1, 2, 3, 5] {
        let long = run(times * cells);
        let used = utilisation_from_zone(times as f64 * height_m, zone_m, unused).unwrap();
        // What slips through before the leak, up to 5 % of the water that a few cells take, counts as taken up in
        // the readings and isn't in the bed: about a tenth of a cell in a hundred.
        assert!(
            (used - long.used_at_leak).abs() < 0.001_2 / times as f64,
            "{times}: {used} for {}",
            long.used_at_leak
        );
    }
}

#[test]
fn a_pair_makes_as_much_more_as_it_uses() {
    let cells = 60;
    let alone = run(cells);
    let (mut first, mut second) = (Column::new(cells), Column::new(cells));
    let (mut water, mut thrown_away, mut changes) = (0.0, 0.0, 0);
    let mut worst_leaving: f64 = 0.0;
    while changes < 30 {
        let between = first.pass(1.0);
        worst_leaving = worst_leaving.max(second.pass(between));
        // The first pair, started with two new beds, is left out.
        if changes > 0 {
            water += STEP;
        }
        if between >= EXHAUSTED {
            if changes > 0 {
                thrown_away += first.used();
            }
            first = std::mem::replace(&mut second, Column::new(cells));
            changes += 1;
        }
    }
    let per_change = water / 29.0;
    let gain = lead_lag_gain(alone.used_at_leak, thrown_away / 29.0).unwrap();
    // Nothing worth the name leaves the pair.
    assert!(worst_leaving < LEAK, "{worst_leaving}");
    assert!(gain > 0.2, "{gain}");
    // By its leak the bed alone has let through what half a cell takes, which water counts and shares of the bed
    // don't: half of 41 cells, on a gain to 1.5.
    let measured = per_change / alone.leak - 1.0;
    assert!((measured - gain).abs() < 0.02, "{measured} for {gain}");
}
