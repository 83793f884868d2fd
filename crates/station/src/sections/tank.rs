//! A served system with animals in it.

use super::Text;
use crate::quantity::{
    Concentration, ConcentrationRate, Flow, Fraction, Salinity, Temperature, Time, Volume,
};
use crate::register::{choice, section};

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
    #[doc = "Salinity that its animals are kept at"]
    [required] salinity: Salinity, "0" to "42", like "34.5";
    #[doc = "Temperature that its animals are kept at"]
    [required] temperature: Temperature, "0 C" to "36 C", like "\"24 C\"";
    #[doc = "Water that evaporates, as measured from the top-off"]
    [required] evaporation: Flow, "0 L/day" to "10 m3/day", like "\"6 L/day ± 1 L/day\"";
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
    #[doc = "The pollutant that is followed"]
    [default "nitrate", "common practice, no source"] pollutant: Text, like "\"nitrate\"";
    #[doc = "What a test shows of it now"]
    [optional] pollutant_now: Concentration, "0 mg/L" to "10 g/L", like "\"25 mg/L\"";
    #[doc = "What the animals add to it"]
    [optional] pollutant_rise: ConcentrationRate, "0 mg/L/day" to "1000 mg/L/day", like "\"0.5 mg/L/day\"";
    #[doc = "The level that it should stay under"]
    [optional] pollutant_limit: Concentration, "0 mg/L" to "10 g/L", like "\"40 mg/L\"";
}
