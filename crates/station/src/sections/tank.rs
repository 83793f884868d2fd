//! A served system with animals in it.

use super::{Text, YesNo};
use crate::quantity::{
    Area, Concentration, ConcentrationRate, Flow, Fraction, Length, Number, Salinity, Temperature, Time,
    Volume,
};
use crate::register::{Place, choice, section};

choice! {
    #[doc = "The water that replaces what evaporated"]
    TopOff {
        #[doc = "purified water: the salt stays behind when water evaporates"]
        Fresh = "fresh",
        #[doc = "salt water: a mistake, shown so that its drift can be seen"]
        Salt = "salt",
    }
}

section! {
    #[doc = "A tank: a served system with animals in it"]
    TankFields at "tanks.*";
    #[doc = "Water in the whole system, without rock and sand"]
    [required] volume: Volume, "1 L" to "1000 m3", like "\"900 L ± 5 %\"";
    #[doc = "Salinity that its animals are kept at; a fresh-water tank is none of this station's, which changes salt water"]
    [required] salinity: Salinity, "1" to "42", like "34.5";
    #[doc = "Temperature that its animals are kept at"]
    [required] temperature: Temperature, "0 C" to "36 C", like "\"24 C\"";
    #[doc = "Water that evaporates, as measured from the top-off"]
    [optional] evaporation: Flow, "0 L/day" to "10 m3/day", like "\"6 L/day ± 1 L/day\"";
    #[doc = "Water that evaporates in the coldest month, where it differs"]
    [optional] evaporation_in_winter: Flow, "0 L/day" to "10 m3/day", like "\"8 L/day ± 1 L/day\"";
    #[doc = "Open water surface, from which evaporation is computed where nobody measured it"]
    [optional] surface: Area, "0 m2" to "1000 m2", like "\"1.4 m2\"";
    #[doc = "Stir of that surface: 0.5 under a lid or still, 1 with the usual flow, more with spray"]
    [default "0.8 ± 0.3", "house rule: the activity factor of swimming pools, between a quiet and a busy one"]
    surface_activity: Number, "0.1" to "3", like "0.8";
    #[doc = "What tops it off"]
    [default "fresh", "common practice, no source: salt doesn't evaporate"]
    top_off: TopOff, like "\"fresh\"";
    #[doc = "Water replaced at each regular change"]
    [optional] change: Volume, "0.1 L" to "1000 m3", like "\"90 L\"";
    #[doc = "Time from one regular change to the next"]
    [default "1 week", "common practice, no source"]
    change_every: Time, "1 h" to "1 year", like "\"1 week\"";
    #[doc = "Share of its water for one emergency change"]
    [default "40 %", "common practice, no source: 30 to 50 % of the system"]
    emergency_change: Fraction, "0" to "1", like "\"40 %\"";
    #[doc = "Mean time from one emergency to the next"]
    [default "3 years", "house rule: a sickness, a spill or a wrong dose now and then"]
    emergency_every: Time, "1 week" to "100 years", like "\"3 years\"";
    #[doc = "Height of its water above the station's floor, where a line leads to it"]
    [optional] water_height: Length, "-3 m" to "12 m", like "\"900 mm\"";
    #[doc = "Water that it can take on top before it runs over; without it a twentieth of its volume"]
    [optional] headroom: Volume, "0.1 L" to "100 m3", like "\"30 L\"";
    #[doc = "Whether a switch in it stops the pumps that fill it before it runs over"]
    [default "false", "house rule: the safer assumption"] high_cutout: YesNo, like "true";
    #[doc = "How far its salinity may move in a day"]
    [default "1", "common practice, no source: half a unit to a unit a day for fish and hardy invertebrates"]
    salinity_tolerance: Number, "0.05" to "10", like "1";
    #[doc = "Whether its water may carry medicine or disease, so that none may come back into the station"]
    [default "false", "house rule"] isolated: YesNo, like "true";
    #[doc = "The pollutant that is followed"]
    [default "nitrate", "common practice, no source"] pollutant: Text, like "\"nitrate\"";
    #[doc = "What a test shows of the pollutant now"]
    [optional] pollutant_now: Concentration, "0 mg/L" to "10 g/L", like "\"25 mg/L\"";
    #[doc = "What the animals add of the pollutant"]
    [optional] pollutant_rise: ConcentrationRate, "0 mg/L/day" to "1000 mg/L/day", like "\"0.5 mg/L/day\"";
    #[doc = "The level that the pollutant should stay under"]
    [optional] pollutant_limit: Concentration, "0 mg/L" to "10 g/L", like "\"40 mg/L\"";
    #[doc = "Its place in the schematic: column and row, counted from 1 at the upper left; without it the program finds one"]
    [optional] place: Place, like "\"3, 1\"";
}
