//! Many years, each with its own chance and its own draw of what is doubtful; the same on one thread and on two.

use std::sync::atomic::{AtomicU32, Ordering};

use station::sections::FilterFields;

use station::control::Learned;

use super::prepare::Prepared;
use crate::method::Refusal;
use crate::plant::{Chance, Coarse, DAY_S, Plant, State, Tally, YEAR_S, drive, finish};
use crate::progress::Progress;
use crate::threads::joined;

/// Days before the year in which the plant finds its rhythm.
pub(crate) const BEFORE_DAYS: f64 = 28.0;
/// Years that a thread takes at once.
const SLICE: u32 = 16;

/// What a year came to.
#[derive(Debug, Clone)]
pub(crate) struct OneYear {
    pub(crate) tally: Tally,
    pub(crate) residual_water: f64,
    pub(crate) residual_salt: f64,
    /// Charge of the bed that is changed, mol.
    pub(crate) bed_mol: Option<f64>,
}

impl OneYear {
    /// Beds that were used up; `None` without resin.
    pub(crate) fn beds(&self) -> Option<f64> {
        let bed_mol = self.bed_mol.filter(|bed_mol| *bed_mol > 0.0)?;
        Some(self.tally.load_mol / bed_mol)
    }

    /// Water that was taken from the tap, m³.
    pub(crate) fn feed_m3(&self) -> f64 {
        self.tally.permeate_m3 + self.tally.flushed_m3 + self.tally.reject_m3
    }

    /// How many of a filter it used up: by what it treated or by the calendar, whichever wants more.
    pub(crate) fn filter_wear(&self, filter: &FilterFields) -> f64 {
        let by_time = YEAR_S / filter.change_every.value.s();
        let by_volume = filter
            .rated_volume
            .as_ref()
            .map_or(0.0, |rated| self.feed_m3() / rated.value.m3());
        by_time.max(by_volume)
    }
}

/// One simulated year. What is learned of the control's steps stays for the next: it hangs on the program alone, which all
/// years of a station share, and changes no figure.
///
/// # Errors
/// [`Refusal`] where the plant can't be driven.
pub(crate) fn one_year(plant: &Plant, chance: Chance, learned: &mut Learned) -> Result<OneYear, Refusal> {
    let mut state = in_rhythm(plant, chance, learned)?;
    drive(plant, &mut state, &mut Coarse, YEAR_S)?;
    finish(plant, &mut state);
    state.control.swap_learned(&plant.wiring.program, learned);
    let (residual_water, residual_salt) = state.books.residuals();
    Ok(OneYear {
        tally: state.tally,
        residual_water,
        residual_salt,
        bed_mol: plant.purifier.as_ref().and_then(|purifier| purifier.bed_mol),
    })
}

/// A plant at the beginning of its year, by what it did in the days before. It has what is learned until its year is over.
///
/// # Errors
/// As [`one_year`].
pub(crate) fn in_rhythm(plant: &Plant, chance: Chance, learned: &mut Learned) -> Result<State, Refusal> {
    let mut state = State::begin(plant, -BEFORE_DAYS * DAY_S, chance);
    state.control.swap_learned(&plant.wiring.program, learned);
    drive(plant, &mut state, &mut Coarse, 0.0)?;
    finish(plant, &mut state);
    state.tally = Tally::begin(0.0);
    Ok(state)
}

/// Many years, in their order, each a piece of what `progress` counts. Where somebody asked for an end, those that were done
/// by then, from the first on without a gap: which they are doesn't hang on what is in them.
///
/// # Errors
/// The first year's refusal; [`Refusal::Stopped`] where somebody asked for a stop.
pub(crate) fn many_years(
    prepared: &Prepared,
    years: u32,
    seed: u64,
    threads: usize,
    progress: &Progress,
) -> Result<Vec<OneYear>, Refusal> {
    let next = AtomicU32::new(0);
    let work = || {
        let mut done: Vec<(u32, Result<OneYear, Refusal>)> = Vec::new();
        let mut learned = Learned::nothing();
        loop {
            let from = next.fetch_add(SLICE, Ordering::Relaxed);
            if from >= years || progress.is_ended() {
                return done;
            }
            for year in from..(from + SLICE).min(years) {
                if progress.is_stopped() {
                    return done;
                }
                let chance = Chance::new(seed, u64::from(year));
                done.push((year, one_year(prepared.plant(year), chance, &mut learned)));
                progress.step();
            }
        }
    };
    let mut all = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
        let mut all = work();
        for other in others {
            all.extend(joined(other));
        }
        all
    });
    if progress.is_stopped() {
        return Err(Refusal::Stopped);
    }
    all.sort_by_key(|(year, _)| *year);
    let without_gap = all.into_iter().zip(0..).take_while(|((year, _), at)| year == at);
    without_gap.map(|((_, year), _)| year).collect()
}

#[cfg(test)]
mod tests {
    use station::Station;

    use super::*;
    use crate::analysis::year::prepare;
    use crate::plant::{Account, Amount, Batch, Outside};

    fn larkhaven() -> Plant {
        let text = include_str!("../../../../../stations/larkhaven.toml");
        let station = Station::read(text).expect("an example of the project");
        prepare(&station, false).expect("it has vessels").nominal
    }

    /// Ten days' evaporation from all tanks is owed, and less is there than the first of them wants: only what there is gets
    /// carried.
    #[test]
    fn nobody_carries_buckets_that_nothing_is_in() {
        let plant = larkhaven();
        // A Monday out of the holidays.
        let from_s = 7.0 * DAY_S;
        let mut state = State::begin(&plant, from_s, Chance::new(1, 1));
        let used = Amount::water(0.31);
        state.book(&plant, Account::vessel(0), Account::Outside(Outside::Tanks), used);
        state.jumped = true;
        state.topped_s = [from_s - 10.0 * DAY_S; 2];
        state.change_day.fill(f64::INFINITY);
        for tank in &mut state.tanks {
            tank.next_emergency_s = f64::INFINITY;
        }
        drive(&plant, &mut state, &mut Coarse, from_s + 0.5 * DAY_S).expect("it can be driven");
        let carried_m3 = state.tally.to_tanks_m3[0];
        let bucket_m3 = plant.ways.to_tank[0][0].bucket_m3.expect("no task leads there");
        assert!((0.01..0.09).contains(&carried_m3), "{carried_m3}");
        assert!((state.tally.carries - (carried_m3 / bucket_m3).ceil()).abs() < 0.5);
    }

    /// A batch of 270 L that can be used after an hour, while purified water is made: under a reserve of 225 L for that hour
    /// and no longer. What becomes usable does so at once; it doesn't grow while the purifier runs.
    #[test]
    fn a_batch_is_at_hand_from_one_moment_on() {
        let plant = larkhaven();
        let mut state = State::begin(&plant, 0.0, Chance::new(1, 1));
        let used = Amount::water(0.27);
        state.book(&plant, Account::vessel(0), Account::Outside(Outside::Tanks), used);
        state.jumped = true;
        state.usable_s = 3600.0;
        let mixing = Batch::Mixing {
            until_s: DAY_S,
            usable_s: 3600.0,
        };
        state.stores.put(&plant, 1, mixing);
        drive(&plant, &mut state, &mut Coarse, 7200.0).expect("it can be driven");
        assert!(state.running.on && state.tally.permeate_m3 > 0.0);
        assert!((state.tally.under_reserve_s[1] - 3600.0).abs() < 1e-6);
    }
}
