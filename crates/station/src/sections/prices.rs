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
    #[doc = "Electric energy"]
    [optional] electricity: PricePerEnergy, like "\"0.31 EUR/kWh\"";
    #[doc = "A person's time; left out, work isn't priced"]
    [optional] labour: PricePerTime, like "\"20 EUR/h\"";
}
