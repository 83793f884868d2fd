//! Mistakes: the map of every position of valves and pumps against a slow one, against hand-worked stations, and its laws.

#![expect(clippy::unwrap_used, reason = "a test that can't read its case has failed")]

mod brute_force;
mod by_hand;
mod joined;
mod kinds;
mod laws;
mod rank;
mod support;
