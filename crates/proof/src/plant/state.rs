//! Where the plant stands at a moment: what is in it, what runs, what people do, what is due.

use physics::stats::Counter;
use station::control::Practised;
use station::sections::Water;

use super::amount::Amount;
use super::body::{Plant, Tank};
use super::books::{Account, Books, Outside};
use super::chance::{Chance, Stream, waited_s};
use super::pace::Quiet;
use super::person::{Doing, Person};
use super::purifier::{Flows, Running};
use super::round::Round;
use super::stores::Stores;
use super::tally::{Reason, Tally};
use super::{DAY_S, YEAR_S};

/// The whole state.
#[derive(Debug, Clone)]
pub(crate) struct State {
    pub(crate) t_s: f64,
    pub(crate) chance: Chance,
    /// What tells how late people are.
    pub(crate) arrivals: Counter,
    pub(crate) books: Books,
    /// When what stands in each vessel came into it, as a mean by volume, s.
    pub(crate) born_s: Vec<f64>,
    pub(crate) stores: Stores,
    pub(crate) running: Running,
    /// What flows through the purifier, by the day.
    pub(crate) flows: Flows,
    pub(crate) inputs: Vec<bool>,
    pub(crate) control: Practised,
    /// Since when each pump runs.
    pub(crate) pump_since_s: Vec<Option<f64>>,
    /// Flows through pumps that one step switched, until the control is told of them together; empty between, and kept for its
    /// memory.
    pub(crate) told: Vec<(usize, bool)>,
    /// Floats that stand open, vessel by vessel.
    pub(crate) float_open: Vec<bool>,
    /// Between which volumes nothing happens in each vessel.
    pub(crate) quiet: Vec<Quiet>,
    /// Vessels that the purifier fills and whose way in is open, as bits.
    pub(crate) open_fills: u64,
    /// How many those are; counting bits is slow on most processors that this is compiled for.
    pub(crate) open_count: f64,
    /// When the control's next timer runs out, s.
    pub(crate) control_due_s: f64,
    /// The state of the feed, and when it ends or the next begins.
    pub(crate) feed: usize,
    pub(crate) feed_ends_s: f64,
    pub(crate) feed_next: Vec<(f64, u64)>,
    pub(crate) laid_up: bool,
    pub(crate) person: Person,
    pub(crate) tanks: Vec<TankNow>,
    /// How many of them are in an emergency.
    pub(crate) in_trouble: usize,
    /// How many of them wait for top-off.
    pub(crate) wait_for_top_off: usize,
    /// The day of each one's next change; those without regular changes are never due.
    pub(crate) change_day: Vec<f64>,
    /// Those that fresh water, and those that salt water tops off.
    pub(crate) rounds: [Round; 2],
    /// Until when each of these has been looked at, s.
    pub(crate) topped_s: [f64; 2],
    /// When each delivery comes.
    pub(crate) delivery_s: Vec<f64>,
    /// The next of the script.
    pub(crate) script_at: usize,
    pub(crate) midnight_s: f64,
    /// Until when the loop drives, s.
    pub(crate) until_s: f64,
    pub(crate) tally: Tally,
    /// Fresh and salt water that was ready at the last event, m³.
    pub(crate) ready_m3: [f64; 2],
    /// Fresh water poured into the batch that is being made, and what stood there before, m³.
    pub(crate) poured_m3: f64,
    pub(crate) stood_m3: f64,
    /// When the batch that mixes can be used in an emergency, s; no more once it can.
    pub(crate) usable_s: f64,
    /// Whether something stands otherwise than flows can tell, so that a mark may be behind it: salt poured in, a delivery,
    /// evaporation.
    pub(crate) jumped: bool,
    /// Whether what is at hand must be reckoned anew at the end of the event: that, or a batch that is ready or no longer.
    pub(crate) stale: bool,
    /// When the next of the rare clocks strikes: trouble, odd feed, delivery, script, s.
    pub(crate) rare_s: f64,
}

/// A tank now.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TankNow {
    /// Since when it waits for top-off and for its change, and why.
    pub(crate) waits: [Option<(f64, Reason)>; 2],
    /// The emergency that it is in.
    pub(crate) emergency: Option<Emergency>,
    /// When the next begins, s, and how many there were.
    pub(crate) next_emergency_s: f64,
    pub(crate) emergencies: u64,
}

/// A tank in trouble.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Emergency {
    pub(crate) since_s: f64,
    /// When somebody came to know of it, s.
    pub(crate) seen_s: Option<f64>,
    pub(crate) left_m3: f64,
    /// Whether all its water was ready when somebody came to know of it.
    pub(crate) was_ready: bool,
}

impl State {
    /// Everything full and ready at a time, nobody here; what differs from year to year is drawn.
    pub(crate) fn begin(plant: &Plant, at_s: f64, chance: Chance) -> Self {
        let contents: Vec<Amount> = plant
            .vessels
            .iter()
            .map(|vessel| match vessel.holds {
                Water::Fresh => Amount::water(vessel.full_m3),
                Water::Salt => vessel.mixed.of_volume(vessel.full_m3),
            })
            .collect();
        let day = at_s / DAY_S;
        let first_change = |tank: &Tank| {
            tank.change.map_or(f64::INFINITY, |(_, every)| {
                day + every * chance.stream(Stream::FirstChange(tank.key)).open_unit(0)
            })
        };
        let tanks = plant
            .tanks
            .iter()
            .map(|tank| {
                let mut now = TankNow {
                    waits: [None; 2],
                    emergency: None,
                    next_emergency_s: at_s,
                    emergencies: 0,
                };
                now.draw_emergency(tank, chance);
                now
            })
            .collect();
        let volumes: Vec<f64> = plant.vessels.iter().map(|vessel| vessel.full_m3).collect();
        let inputs = plant.wiring.inputs_at(&volumes);
        let control = Practised::new(plant.wiring.program.start(at_s, &inputs));
        let mut state = Self {
            t_s: at_s,
            chance,
            arrivals: chance.stream(Stream::Arrival),
            books: Books::begin(&contents),
            born_s: vec![at_s; plant.vessels.len()],
            stores: Stores::begin(plant),
            running: Running::rest(at_s),
            flows: Flows::default(),
            inputs,
            control,
            pump_since_s: vec![None; plant.pumps_w.len()],
            told: Vec::new(),
            float_open: vec![false; plant.vessels.len()],
            quiet: vec![Quiet::default(); plant.vessels.len()],
            open_fills: 0,
            open_count: 0.0,
            control_due_s: f64::NEG_INFINITY,
            feed: 0,
            feed_ends_s: f64::INFINITY,
            feed_next: Vec::new(),
            laid_up: false,
            person: Person::away(),
            tanks,
            in_trouble: 0,
            wait_for_top_off: 0,
            change_day: plant.tanks.iter().map(first_change).collect(),
            rounds: [Water::Fresh, Water::Salt].map(|water| Round::begin(plant, water)),
            topped_s: [at_s; 2],
            delivery_s: plant
                .deliveries
                .iter()
                .map(|delivery| delivery.every_s.map_or(f64::INFINITY, |every| at_s + every))
                .collect(),
            script_at: 0,
            midnight_s: DAY_S * libm::floor(at_s / DAY_S),
            until_s: at_s,
            tally: Tally::begin(at_s),
            ready_m3: [0.0; 2],
            poured_m3: 0.0,
            stood_m3: 0.0,
            usable_s: f64::INFINITY,
            jumped: true,
            stale: false,
            rare_s: f64::NEG_INFINITY,
        };
        state.draw_feed_states(plant);
        state
    }

    /// When the odd states of the feed come.
    fn draw_feed_states(&mut self, plant: &Plant) {
        let feeds = plant
            .purifier
            .as_ref()
            .map_or(&[][..], |purifier| &purifier.feeds);
        for feed in feeds {
            let first_s = match feed.comes {
                None => f64::INFINITY,
                Some(comes) => comes.next_s(self.t_s, self.chance, 0),
            };
            self.feed_next.push((first_s, 1));
        }
    }

    /// Volume in a vessel, m³.
    #[inline]
    pub(crate) fn volume_m3(&self, plant: &Plant, vessel: usize) -> f64 {
        plant.brine.volume_m3(self.books.vessel(vessel))
    }

    /// What of it can be drawn, m³.
    #[inline]
    pub(crate) fn drawable_m3(&self, plant: &Plant, vessel: usize) -> f64 {
        (self.volume_m3(plant, vessel) - plant.vessels[vessel].low_m3).max(0.0)
    }

    /// Fresh and salt water that is at hand in an emergency, m³.
    #[inline]
    pub(crate) fn ready_m3(&self, plant: &Plant) -> [f64; 2] {
        self.stores.at_hand_m3(&plant.brine, self.books.vessels())
    }

    /// What of some permeate each vessel gets whose way in is open.
    #[inline]
    pub(crate) fn share_of_each(&self, permeate: f64) -> f64 {
        // Mostly it is one, and nothing has to wait for a division.
        if self.open_fills & self.open_fills.wrapping_sub(1) == 0 {
            permeate
        } else {
            permeate / self.open_count
        }
    }

    /// Books water without salt from the feed into a vessel, and keeps its age.
    #[inline]
    pub(crate) fn pour(&mut self, plant: &Plant, vessel: usize, water_m3: f64) {
        let before_m3 = self.volume_m3(plant, vessel);
        let before_m3 = if before_m3 > 0.0 { before_m3 } else { 0.0 };
        let born_s = &mut self.born_s[vessel];
        *born_s += (self.t_s - *born_s) * water_m3 / (before_m3 + water_m3);
        let feed = Account::Outside(Outside::Feed);
        self.books.book_water(feed, Account::vessel(vessel), water_m3);
    }

    /// Books a transfer into or out of vessels, and keeps their ages.
    pub(crate) fn book(&mut self, plant: &Plant, from: Account, to: Account, amount: Amount) {
        if let Account::Vessel(vessel) = to {
            let vessel = vessel as usize;
            let before = self.volume_m3(plant, vessel).max(0.0);
            let added = plant.brine.volume_m3(amount);
            // Salt that is poured in brings no age of its own.
            if amount.water_m3 > 0.0 && before + added > 0.0 {
                let born = match from {
                    Account::Vessel(source) => self.born_s[source as usize],
                    Account::Outside(_) => self.t_s,
                };
                self.born_s[vessel] += (born - self.born_s[vessel]) * added / (before + added);
            }
        }
        self.books.book(from, to, amount);
    }

    /// Something stands otherwise at once.
    #[inline]
    pub(crate) fn jump(&mut self) {
        self.jumped = true;
        self.stale = true;
    }

    /// When the next clock strikes that isn't the person's, or the loop is to stop, s.
    #[inline]
    pub(crate) fn others_s(&self) -> f64 {
        let rarely_s = sooner(sooner(self.midnight_s, self.usable_s), self.rare_s);
        sooner(sooner(rarely_s, self.control_due_s), self.until_s)
    }

    /// Whether people move water.
    #[inline]
    pub(crate) fn moves(&self) -> bool {
        matches!(self.person.doing, Doing::Moving(_))
    }
}

impl TankNow {
    /// Draws when its next emergency begins.
    pub(crate) fn draw_emergency(&mut self, tank: &Tank, chance: Chance) {
        self.next_emergency_s = match tank.emergency {
            Some((_, mean_s)) if mean_s.is_finite() => {
                let unit = chance
                    .stream(Stream::Emergency(tank.key))
                    .open_unit(self.emergencies);
                self.next_emergency_s + waited_s(mean_s, unit)
            }
            _ => f64::INFINITY,
        };
    }
}

impl super::body::Comes {
    /// From when it may come again once it has begun: when it is over; and where it comes every year in a month, after that
    /// month, so that it comes once.
    pub(crate) fn earliest_again_s(&self, began_s: f64) -> f64 {
        let ends_s = began_s + self.lasts_s;
        self.in_month.map_or(ends_s, |month| {
            let month_s = YEAR_S / 12.0;
            let years = libm::floor((began_s - month_s * month as f64) / YEAR_S);
            ends_s.max(years * YEAR_S + month_s * (month + 1) as f64)
        })
    }

    /// When it comes next after a time, the `count`-th of it.
    pub(crate) fn next_s(&self, after_s: f64, chance: Chance, count: u64) -> f64 {
        let unit = chance.stream(Stream::FeedState(self.key)).open_unit(count);
        if let Some(month) = self.in_month {
            // A day of that month, this year or the next.
            let start = YEAR_S / 12.0 * (month as f64 + unit);
            let years = libm::ceil((after_s - start) / YEAR_S).max(-1.0);
            return start + years * YEAR_S;
        }
        self.every_s
            .map_or(f64::INFINITY, |every| after_s + waited_s(every, unit))
    }
}

/// The sooner of two times; neither is ever no number.
#[inline]
pub(crate) fn sooner(a: f64, b: f64) -> f64 {
    if a < b { a } else { b }
}

/// A number held between two others; none of them is ever no number.
#[inline]
pub(crate) fn within(number: f64, least: f64, most: f64) -> f64 {
    let number = if number > least { number } else { least };
    if number < most { number } else { most }
}

/// 0 for fresh, 1 for salt: the order of every pair.
#[inline]
pub(crate) fn kind(water: Water) -> usize {
    match water {
        Water::Fresh => 0,
        Water::Salt => 1,
    }
}
