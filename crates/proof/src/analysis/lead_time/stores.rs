//! The water that stands in the station while a schedule runs: what each fresh vessel can give, what has been made.

use station::sections::{Fill, Water};
use station::{Situation, Station, lowest_drawable_m};

/// One fresh vessel.
struct Store {
    vessel: usize,
    left_m3: f64,
    /// What its fill may still add, up to its stop level.
    room_m3: f64,
}

/// All fresh water, with the purifier's counted as time goes.
pub(super) struct Stores {
    stores: Vec<Store>,
    permeate_m3_s: f64,
    counted_until_s: f64,
}

impl Stores {
    pub(super) fn new(station: &Station, situation: &Situation, permeate_m3_s: f64) -> Self {
        let full = Situation::full(station);
        let stores = station
            .vessels
            .iter()
            .enumerate()
            .filter(|(_, vessel)| vessel.fields.holds.value == Water::Fresh)
            .map(|(at, vessel)| {
                let volume = |level_m| vessel.shape.volume_m3(level_m).unwrap_or(0.0);
                let now = volume(situation.vessels[at].level_m);
                let fills = vessel.fields.fill.value == Fill::Automatic;
                Store {
                    vessel: at,
                    left_m3: (now - volume(lowest_drawable_m(vessel))).max(0.0),
                    room_m3: if fills {
                        (volume(full.vessels[at].level_m) - now).max(0.0)
                    } else {
                        0.0
                    },
                }
            })
            .collect();
        Self {
            stores,
            permeate_m3_s,
            counted_until_s: 0.0,
        }
    }

    /// Counts what the purifier has made up to a time, as far as its vessels had room.
    pub(super) fn advance(&mut self, now_s: f64) {
        let mut made_m3 = self.permeate_m3_s * (now_s - self.counted_until_s).max(0.0);
        self.counted_until_s = now_s;
        for store in &mut self.stores {
            let taken = made_m3.min(store.room_m3);
            store.left_m3 += taken;
            store.room_m3 -= taken;
            made_m3 -= taken;
        }
    }

    /// What was made up to a time has been used at once.
    pub(super) fn used_as_made(&mut self, now_s: f64) {
        self.counted_until_s = now_s;
    }

    /// Takes up to a volume, from one vessel after the other: how much from each.
    pub(super) fn take(&mut self, mut volume_m3: f64) -> Vec<(usize, f64)> {
        let mut taken = Vec::new();
        self.stores.sort_by(|a, b| b.left_m3.total_cmp(&a.left_m3));
        for store in &mut self.stores {
            let own = volume_m3.min(store.left_m3);
            if own > 1e-6 {
                store.left_m3 -= own;
                store.room_m3 += own;
                volume_m3 -= own;
                taken.push((store.vessel, own));
            }
        }
        taken
    }
}

/// What stands in a vessel, m³.
pub(super) fn standing_m3(station: &Station, situation: &Situation, vessel: usize) -> f64 {
    station.vessels[vessel]
        .shape
        .volume_m3(situation.vessels[vessel].level_m)
        .unwrap_or(0.0)
}

/// What lies too low to be drawn, m³.
pub(super) fn heel_m3(station: &Station, vessel: usize) -> f64 {
    let own = &station.vessels[vessel];
    own.shape.volume_m3(lowest_drawable_m(own)).unwrap_or(0.0)
}
