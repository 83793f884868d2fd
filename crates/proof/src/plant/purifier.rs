//! The purifier's run: what its start washes into the resin, what it makes and rejects, how it ends.

use physics::membrane::{FloatStop, concentration_factor};

use super::amount::Amount;
use super::body::{Purifier, Stop};
use super::books::{Account, Outside};
use super::season::Season;
use super::state::State;

/// The purifier now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Running {
    pub(crate) on: bool,
    /// When it was switched on or off, s.
    pub(crate) since_s: f64,
    /// Water that this run has given, m³.
    pub(crate) run_m3: f64,
    /// Permeate since its salt was last booked, flushed with it, m³.
    pub(crate) made_m3: f64,
    /// Of it flushed, m³.
    pub(crate) flushed_m3: f64,
    /// Still to be flushed, m³.
    pub(crate) flush_left_m3: f64,
    /// Salt of the hold-up when its salt was last booked, or at the stop, kg/m³.
    pub(crate) hold_up_kg_m3: f64,
    /// Salt of a long run in what was made since, kg.
    pub(crate) steady_kg: f64,
    /// For how long it has flowed as it does now without being counted, s: so far only the vessels have their permeate.
    pub(crate) flowed_s: f64,
}

impl Running {
    /// It has stood for a while.
    pub(crate) fn rest(since_s: f64) -> Self {
        Self {
            on: false,
            since_s,
            run_m3: 0.0,
            made_m3: 0.0,
            flushed_m3: 0.0,
            flush_left_m3: 0.0,
            hold_up_kg_m3: 0.0,
            steady_kg: 0.0,
            flowed_s: 0.0,
        }
    }
}

/// What flows while it runs or stands.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Flows {
    pub(crate) permeate_m3_s: f64,
    pub(crate) reject_m3_s: f64,
    /// Salt of the permeate in a long run, kg/m³.
    pub(crate) solids_kg_m3: f64,
}

impl Flows {
    /// Whether anything flows.
    #[inline]
    pub(crate) fn any(&self) -> bool {
        self.permeate_m3_s > 0.0 || self.reject_m3_s > 0.0
    }

    /// What they come to over a time.
    #[inline]
    pub(super) fn over(&self, seconds: f64) -> Made {
        let made_m3 = self.permeate_m3_s * seconds;
        Made {
            made_m3,
            reject_m3: self.reject_m3_s * seconds,
            steady_kg: self.solids_kg_m3 * made_m3,
            seconds,
        }
    }
}

/// What a time of the purifier's came to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Made {
    pub(super) made_m3: f64,
    pub(super) reject_m3: f64,
    /// Salt of a long run in what was made, kg.
    pub(super) steady_kg: f64,
    pub(super) seconds: f64,
}

/// Books what of a time isn't the vessels': reject, what was flushed, what the run and the tally count.
pub(super) fn count_made(state: &mut State, purifier: &Purifier, made: &Made, flushes: bool) {
    let Made {
        made_m3, reject_m3, ..
    } = *made;
    let feed = Account::Outside(Outside::Feed);
    let drain = Account::Outside(Outside::Drain);
    let feed_kg_m3 = purifier.feeds[state.feed].feed_kg_m3;
    state.tally.reject_m3 += reject_m3;
    let rejected = Amount {
        water_m3: reject_m3,
        salt_kg: feed_kg_m3 * (reject_m3 + made_m3) - made.steady_kg,
    };
    state.books.book(feed, drain, rejected);
    if made_m3 <= 0.0 {
        return;
    }
    state.tally.running_s += made.seconds;
    state.tally.energy_j[2] += purifier.booster_w * made.seconds;
    state.running.made_m3 += made_m3;
    state.running.steady_kg += made.steady_kg;
    if flushes {
        state.running.flush_left_m3 -= made_m3;
        state.running.flushed_m3 += made_m3;
        state.tally.flushed_m3 += made_m3;
        state.books.book(feed, drain, Amount::water(made_m3));
    } else {
        state.running.run_m3 += made_m3;
        state.tally.permeate_m3 += made_m3;
    }
}

/// Counts what has flowed since the flows last changed and wasn't counted: before they change again, and before anybody asks.
#[inline]
pub(crate) fn catch_up(state: &mut State, purifier: &Purifier) {
    if state.running.flowed_s > 0.0 {
        let made = state.flows.over(state.running.flowed_s);
        state.running.flowed_s = 0.0;
        count_made(state, purifier, &made, false);
    }
}

impl Purifier {
    /// What flows at a time.
    #[inline]
    pub(crate) fn flows(&self, feed: usize, on: bool, t_s: f64) -> Flows {
        let feed = &self.feeds[feed];
        if on {
            let season = Season::at(t_s);
            Flows {
                permeate_m3_s: feed.permeate_m3_s.of(season),
                reject_m3_s: feed.reject_m3_s.of(season),
                solids_kg_m3: feed.solids_kg_m3.of(season),
            }
        } else if self.stop == Stop::RejectRunsOn {
            Flows {
                reject_m3_s: feed.reject_m3_s.at(t_s),
                ..Flows::default()
            }
        } else {
            Flows::default()
        }
    }

    /// Salt in the hold-up after a rest, kg/m³.
    pub(crate) fn rested_kg_m3(&self, feed_kg_m3: f64, from_kg_m3: f64, rest_s: f64) -> f64 {
        let gone = -libm::expm1(-rest_s / self.rest_s);
        from_kg_m3 + self.rest_share * gone * (feed_kg_m3 - from_kg_m3)
    }
}

/// Notes what flows through it from now on: at a switch, at midnight, with another feed.
pub(crate) fn note_flows(state: &mut State, purifier: &Purifier) {
    catch_up(state, purifier);
    state.flows = if state.laid_up {
        Flows::default()
    } else {
        purifier.flows(state.feed, state.running.on, state.t_s)
    };
}

/// Switches it on.
pub(crate) fn switch_on(state: &mut State, purifier: &Purifier) {
    catch_up(state, purifier);
    let feed = &purifier.feeds[state.feed];
    // While it runs the feed side stands between feed and reject; taken for their log-mean at its recovery.
    let (permeate, reject) = (feed.permeate_m3_s.at(state.t_s), feed.reject_m3_s.at(state.t_s));
    // Outside its range the feed itself stands there: nothing is made then.
    let factor = concentration_factor(permeate / (permeate + reject)).unwrap_or(1.0);
    let feed_side = feed.feed_kg_m3 * factor;
    let last = state.running;
    state.running = Running {
        on: true,
        hold_up_kg_m3: purifier.rested_kg_m3(feed_side, last.hold_up_kg_m3, state.t_s - last.since_s),
        flush_left_m3: purifier.flush_m3 + last.flush_left_m3,
        ..Running::rest(state.t_s)
    };
    note_flows(state, purifier);
}

/// Counts what a float's slow stop sends to the drain beyond what the same water takes at full flow: the permeate tapers off,
/// the reject hardly falls. The vessel has its water as if it had come at full flow: what is missing of it by then is less
/// than the float's travel.
pub(crate) fn count_taper(state: &mut State, purifier: &Purifier) {
    let Some(taper) = purifier.taper else { return };
    catch_up(state, purifier);
    let (flows, run_m3) = (state.flows, state.running.run_m3);
    if run_m3 <= 0.0 || flows.permeate_m3_s <= 0.0 {
        return;
    }
    // A run smaller than the travel starts somewhere along it.
    let starts_at = (taper.share + run_m3 / taper.band_m3).min(1.0);
    let until = |closing_share: f64| {
        FloatStop {
            band_m3: taper.band_m3,
            full_flow_m3_s: flows.permeate_m3_s,
            closing_share,
        }
        .throttle_time_s()
    };
    // What a draw puts beyond its range is no float that closes.
    let (Ok(all_s), Ok(before_s)) = (until(taper.share), until(starts_at)) else {
        return;
    };
    let slowly_m3 = run_m3.min(taper.band_m3 * (1.0 - taper.share));
    let seconds = (all_s - before_s - slowly_m3 / flows.permeate_m3_s).max(0.0);
    let made = Made {
        made_m3: 0.0,
        reject_m3: flows.reject_m3_s * seconds,
        steady_kg: 0.0,
        seconds,
    };
    count_made(state, purifier, &made, false);
    state.tally.running_s += seconds;
    state.tally.energy_j[2] += purifier.booster_w * seconds;
}

/// Switches it off: its salt goes to the resin, the run is counted.
pub(crate) fn switch_off(state: &mut State, purifier: &Purifier) {
    close(state, purifier);
    if state.running.run_m3 > 0.0 {
        state.tally.runs_m3.push(state.running.run_m3);
    }
    state.running = Running {
        hold_up_kg_m3: state.running.hold_up_kg_m3,
        flush_left_m3: state.running.flush_left_m3,
        ..Running::rest(state.t_s)
    };
    note_flows(state, purifier);
}

/// Books the salt of what was made since it was last booked: the steady part, and what the start washed out of the hold-up
/// less what was flushed to the drain.
pub(crate) fn close(state: &mut State, purifier: &Purifier) {
    catch_up(state, purifier);
    let run = state.running;
    if run.made_m3 <= 0.0 {
        return;
    }
    let steady = run.steady_kg / run.made_m3;
    let excess = run.hold_up_kg_m3 - steady;
    let left = |volume_m3: f64| libm::exp(-volume_m3 / purifier.hold_up_m3);
    let (after_flush, after_all) = (left(run.flushed_m3), left(run.made_m3));
    let to_drain = steady * run.flushed_m3 + purifier.hold_up_m3 * excess * (1.0 - after_flush);
    let made_m3 = run.made_m3 - run.flushed_m3;
    let to_resin = steady * made_m3 + purifier.hold_up_m3 * excess * (after_flush - after_all);
    let feed = Account::Outside(Outside::Feed);
    let (drain, resin) = (Account::Outside(Outside::Drain), Account::Outside(Outside::Resin));
    state.books.book(feed, drain, Amount::salt(to_drain));
    state.books.book(feed, resin, Amount::salt(to_resin));
    state.tally.load_mol += match purifier.float_mol_m3 {
        Some(load) => load * made_m3,
        None => to_resin * purifier.salt_mol_kg + purifier.gas_mol_m3 * made_m3,
    };
    state.running.hold_up_kg_m3 = steady + excess * after_all;
    state.running.made_m3 = 0.0;
    state.running.flushed_m3 = 0.0;
    state.running.steady_kg = 0.0;
}
