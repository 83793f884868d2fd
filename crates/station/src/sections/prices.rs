//! What things cost.

use crate::quantity::{Money, PricePerEnergy, PricePerTime, PricePerVolume};
use crate::register::section;

section! {
    #[doc = "What things cost, in the station's currency"]
    Prices at "prices";
    #[doc = "One bag or bucket of salt mix"]
    [optional] salt_bag: Money, like "\"62 EUR\"";
    #[doc = "A volume of purified water, where no purifier is described"]
    [optional] purified_water: PricePerVolume, like "\"2 ct/L\"";
    #[doc = "A check valve of the station's usual size"]
    [optional] check_valve: Money, like "\"18 EUR\"";
    #[doc = "A three-way valve"]
    [optional] three_way_valve: Money, like "\"38 EUR\"";
    #[doc = "A valve that closes by itself"]
    [optional] self_closing_valve: Money, like "\"24 EUR\"";
    #[doc = "A switch that stops a pump where nothing flows"]
    [optional] flow_switch: Money, like "\"45 EUR\"";
    #[doc = "A level switch that stops a pump, high or low in a vessel"]
    [optional] level_switch: Money, like "\"28 EUR\"";
    #[doc = "An interlock that lets a pump run only with a valve open"]
    [optional] interlock: Money, like "\"60 EUR\"";
    #[doc = "A detector of water on the floor"]
    [optional] leak_detector: Money, like "\"35 EUR\"";
    #[doc = "An electric valve, closed without power, that stops the feed"]
    [optional] feed_valve: Money, like "\"42 EUR\"";
    #[doc = "A float valve that closes a fill by itself"]
    [optional] float_valve: Money, like "\"22 EUR\"";
    #[doc = "An overflow pipe from a vessel to the drain"]
    [optional] overflow_pipe: Money, like "\"30 EUR\"";
    #[doc = "A tray under the station"]
    [optional] tray: Money, like "\"55 EUR\"";
    #[doc = "A limiter of the flow where the feed leaves the tap"]
    [optional] feed_limiter: Money, like "\"16 EUR\"";
    #[doc = "What switches a heater off when it runs dry"]
    [optional] heater_cutout: Money, like "\"32 EUR\"";
    #[doc = "Electric energy"]
    [optional] electricity: PricePerEnergy, like "\"0.31 EUR/kWh\"";
    #[doc = "A person's time; left out, work isn't priced"]
    [optional] labour: PricePerTime, like "\"20 EUR/h\"";
}
