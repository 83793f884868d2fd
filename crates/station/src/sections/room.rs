//! The room that the station stands in.

use super::YesNo;
use crate::quantity::{FloorLoad, Flow, Fraction, Length, Number, Speed, Temperature, Time, Volume};
use crate::register::section;

section! {
    #[doc = "The room that the station stands in"]
    Room at "room";
    #[doc = "Height of the place above the sea; the air's pressure follows from it"]
    [default "0 m", "house rule: most aquaria stand low"] altitude: Length, "-400 m" to "5000 m", like "\"120 m\"";
    #[doc = "Free height from floor to ceiling"]
    [optional] ceiling: Length, "1 m" to "12 m", like "\"2.4 m\"";
    #[doc = "Clear width of the floor that the station may stand on"]
    [optional] floor_width: Length, "0.2 m" to "50 m", like "\"3 m\"";
    #[doc = "Clear depth of that floor"]
    [optional] floor_depth: Length, "0.2 m" to "50 m", like "\"1.2 m\"";
    #[doc = "Clear width of the narrowest door on the way in"]
    [optional] door_width: Length, "300 mm" to "6 m", like "\"820 mm\"";
    #[doc = "Clear height of that door"]
    [optional] door_height: Length, "1 m" to "6 m", like "\"2 m\"";
    #[doc = "What the floor may carry, from whoever answers for the building"]
    [default "40 lb/ft2", "common practice, no source: a dwelling's floor; ask a structural engineer"]
    floor_allowance: FloorLoad, "20 kg/m2" to "20000 kg/m2", like "\"500 kg/m2\"";
    #[doc = "Height of the tap that will feed the purifier, above the floor"]
    [optional] tap_height: Length, "0 m" to "4 m", like "\"1.1 m\"";
    #[doc = "Height of the drain's inlet above the floor; 0 for a floor drain"]
    [optional] drain_height: Length, "0 m" to "2 m", like "\"0 mm\"";
    #[doc = "What the drain swallows without backing up"]
    [optional] drain_capacity: Flow, "0.1 L/min" to "2000 L/min", like "\"20 L/min\"";
    #[doc = "Water that a tray or a sill under the station holds before it runs over the floor"]
    [optional] tray: Volume, "1 L" to "10 m3", like "\"40 L\"";
    #[doc = "Whether that tray runs to the drain by itself"]
    [default "false", "house rule: not unless said"] tray_drained: YesNo, like "true";
    #[doc = "Sockets within reach of a lead, all behind a residual-current device"]
    [optional] socket_count: Number, "0" to "50", like "2";
    #[doc = "Height of the lowest socket above the floor"]
    [optional] socket_height: Length, "0 m" to "3 m", like "\"1.2 m\"";
    #[doc = "Coldest the room gets in winter; stored water follows it"]
    [default "15 C", "common practice, no source: a room that is heated a little"]
    lowest_winter_temperature: Temperature, "-20 C" to "35 C", like "\"12 C\"";
    #[doc = "Warmest the room gets in summer; stored water follows it"]
    [default "26 C", "common practice, no source: a room that isn't cooled, in a temperate summer"]
    highest_summer_temperature: Temperature, "0 C" to "45 C", like "\"25 C\"";
    #[doc = "Longest time that a wrong valve stands unnoticed"]
    [default "12 h", "house rule: overnight"] unnoticed: Time, "1 min" to "30 days", like "\"12 h\"";
    #[doc = "Air where the tanks stand, in summer"]
    [default "22 C ± 2 C", "house rule: a room that people live in"]
    air_temperature: Temperature, "0 C" to "45 C", like "\"22 C ± 2 C\"";
    #[doc = "Humidity of that air, in summer"]
    [default "0.55 ± 0.1", "house rule: a room that people live in"] humidity: Fraction, "5 %" to "100 %", like "\"0.55 ± 0.05\"";
    #[doc = "Air where the tanks stand, in winter"]
    [default "20 C ± 2 C", "house rule: a heated room"]
    winter_air_temperature: Temperature, "0 C" to "45 C", like "\"20 C ± 2 C\"";
    #[doc = "Humidity of that air, in winter"]
    [default "0.4 ± 0.1", "house rule: heating dries the air"]
    winter_humidity: Fraction, "5 %" to "100 %", like "\"0.4 ± 0.05\"";
    #[doc = "Speed of the air over the tanks"]
    [default "0.1 m/s", "common practice, no source: a still room"] air_speed: Speed, "0 m/s" to "2 m/s", like "\"0.1 m/s\"";
}
