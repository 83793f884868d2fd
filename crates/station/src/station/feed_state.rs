//! The station on an odd day: its feed as one of the named states has it.

use super::Station;
use crate::file::did_you_mean;
use crate::register::Field;
use crate::sections::{FeedFields, FeedState};

impl Station {
    /// The same station, fed with the water of a named state.
    ///
    /// A value that the state doesn't name stays that of `[feed]`; a value that it names keeps its own path, so
    /// that every figure leads to it.
    ///
    /// # Errors
    /// The nearest names, where there is no such state.
    pub fn in_feed_state(&self, name: &str) -> Result<Self, String> {
        let Some(state) = self.feed_states.iter().find(|state| state.name == name) else {
            let names: Vec<&str> = self.feed_states.iter().map(|state| state.name.as_str()).collect();
            return Err(match names.as_slice() {
                [] => "the file names no states of the feed: add [feed_states.winter]".to_owned(),
                names => did_you_mean(name, names),
            });
        };
        let mut station = self.clone();
        station.usual_feed = self.usual_feed.clone().or_else(|| self.feed.clone());
        station.feed = self.feed_in(&state.fields);
        station.feed_state = Some(name.to_owned());
        Ok(station)
    }

    /// The feed as a state has it; `None` where the file has no `[feed]`.
    pub(crate) fn feed_in(&self, state: &FeedState) -> Option<FeedFields> {
        let mut feed = self.feed.clone()?;
        lay_over(&mut feed, state);
        Some(feed)
    }
}

fn lay_over(feed: &mut FeedFields, state: &FeedState) {
    fn put<T: Clone>(place: &mut Field<T>, given: Option<&Field<T>>) {
        if let Some(given) = given {
            *place = given.clone();
        }
    }
    put(&mut feed.pressure, state.pressure.as_ref());
    put(&mut feed.coldest, state.temperature.as_ref());
    put(&mut feed.warmest, state.temperature.as_ref());
    put(&mut feed.hardness, state.hardness.as_ref());
    put(&mut feed.alkalinity, state.alkalinity.as_ref());
    put(&mut feed.ph, state.ph.as_ref());
    put(&mut feed.silica, state.silica.as_ref());
    put(&mut feed.free_chlorine, state.free_chlorine.as_ref());
    put(&mut feed.chloramine, state.chloramine.as_ref());
    if let Some(conductivity) = &state.conductivity {
        feed.conductivity = conductivity.clone();
        feed.dissolved_solids = None;
    }
    if let Some(solids) = &state.dissolved_solids {
        feed.dissolved_solids = Some(solids.clone());
    }
}
