//! Water that comes ready-made or natural, beside or in place of what the purifier makes.

use super::Water;
use crate::quantity::{Conductivity, PricePerVolume, Salinity, Time, Volume};
use crate::register::{choice, section};

choice! {
    #[doc = "Where delivered water comes from"]
    DeliveredKind {
        #[doc = "purified by its seller"]
        Purified = "purified",
        #[doc = "salt water mixed by its seller"]
        Mixed = "mixed",
        #[doc = "sea water, from the sea"]
        Natural = "natural",
    }
}

section! {
    #[doc = "Water that is delivered ready-made, or fetched from the sea"]
    DeliveredFields at "delivered.*";
    #[doc = "Which water it is"]
    [required] holds: Water, like "\"salt\"";
    #[doc = "Where it comes from"]
    [required] kind: DeliveredKind, like "\"natural\"";
    #[doc = "Volume that comes at once"]
    [required] volume: Volume, "1 L" to "100 m3", like "\"500 L\"";
    #[doc = "Time from one delivery to the next; left out, it comes when called"]
    [optional] every: Time, "1 day" to "1 year", like "\"2 weeks\"";
    #[doc = "Time from the call to the water"]
    [default "1 week", "common practice, no source"] notice: Time, "1 h" to "1 year", like "\"4 days\"";
    #[doc = "Salinity of salt water as it comes"]
    [optional] salinity: Salinity, "1" to "42", like "33";
    #[doc = "Conductivity of purified water as it comes, at 25 C"]
    [optional] conductivity: Conductivity, "0.05 uS/cm" to "1 mS/cm", like "\"8 uS/cm\"";
    #[doc = "Its price, carriage and all"]
    [optional] price: PricePerVolume, like "\"0.35 EUR/L\"";
}
