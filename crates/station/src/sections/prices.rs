//! What things cost.

use crate::quantity::{Money, PricePerEnergy, PricePerVolume};
use crate::register::section;

section! {
    #[doc = "What things cost, in the station's currency"]
    Prices at "prices";
    #[doc = "One bag or bucket of salt mix"]
    [optional] salt_bag: Money, like "\"62 EUR\"";
    #[doc = "A volume of purified water, where no purifier is described"]
    [optional] purified_water: PricePerVolume, like "\"2 ct/L\"";
    #[doc = "Electric energy"]
    [optional] electricity: PricePerEnergy, like "\"0.31 EUR/kWh\"";
}
