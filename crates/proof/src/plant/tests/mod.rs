//! Plants that are made by hand, and what is known of them from elsewhere.

mod at_once;
mod by_hand;
mod creep;
mod crossings;
mod emergencies;
mod feed_states;
mod integration;
mod inventory;
mod order;
mod pumps;
mod reserve;
mod warmth;

use station::Station;

use super::body::{People, Plant};
use super::calendar::Calendar;
use super::season::ByMonth;
use super::ways::Way;
use crate::analysis::prepare;

/// A fresh and a salt vessel, a purifier with level switches, a tank. All numbers are invented.
const STATION: &str = r#"
title = "By hand"

[tanks.one]
volume = "1000 L"
salinity = 35
temperature = "20 C"
evaporation = "0 L/day"

[vessels.fresh]
holds = "fresh"
shape = "cylinder"
diameter = "1000 mm"
height = "1200 mm"
fill = "automatic"
lid = "tight"
start_level = "300 mm"
stop_level = "1000 mm"

[vessels.salt]
holds = "salt"
shape = "cylinder"
diameter = "1000 mm"
height = "1200 mm"
lid = "tight"
batch_volume = "700 L"

[salt]
label = "20 kg makes 540 L at 35 and 25 C, finished"

[feed]
pressure = "4 bar"
coldest = "10 C"
warmest = "10 C"
conductivity = "400 uS/cm"

[purifier]
control = "level switches"
feed_valve = true
waste_ratio = 3

[membranes.one]
rated_flow = "100 gal/day"
rated_pressure = "60 psi"
rated_solids = "250 mg/L"
rejection = "97 %"
"#;

/// The plant of the station above, with nobody who comes and no emergencies, to be altered.
fn plant() -> Plant {
    let station = Station::read(STATION).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let mut plant = prepare(&station, false).expect("a plant").nominal;
    for tank in &mut plant.tanks {
        tank.emergency = None;
        tank.change = None;
    }
    plant.people = People {
        calendar: Calendar {
            weekdays: [false; 7],
            arrives_s: 0.0,
            stays_s: 0.0,
            late_by_s: 0.0,
            holidays: Vec::new(),
        },
        change_s: 0.0,
        measuring_s: 0.0,
        batch_s: 0.0,
    };
    for vessel in &mut plant.vessels {
        vessel.evaporation_m3_s = ByMonth([0.0; 12]);
        vessel.heat = None;
    }
    plant
}

/// A way that takes next to no time.
const AT_ONCE: Way = Way {
    rate_m3_s: 100.0,
    bucket_m3: None,
    lineup: None,
    pump: None,
};
