//! The salt mix.

use super::Text;
use crate::quantity::{Alkalinity, Concentration, Fraction, Mass, Salinity, Temperature, Time};
use crate::register::section;

section! {
    #[doc = "The salt mix that batches are made from"]
    SaltFields at "salt";
    #[doc = "What its label says: mass makes volume, at salinity and temperature, fresh or finished"]
    [optional] label: Text, like "\"20 kg makes 540 L at 35 and 25 C, finished\"";
    #[doc = "Strength of the mix: kg of sea salt without water, per kg of dry mix; in place of the label"]
    [optional] anhydrous_fraction: Fraction, "0.6" to "1", like "\"0.93 ± 0.02\"";
    #[doc = "Mass of one bag or bucket"]
    [optional] bag: Mass, "0.1 kg" to "1000 kg", like "\"20 kg\"";
    #[doc = "Highest temperature at which its maker allows mixing"]
    [optional] warmest_mixing: Temperature, "0 C" to "45 C", like "\"27 C\"";
    #[doc = "Time that its maker asks for mixing"]
    [default "12 h", "common practice, no source"] mixing_time: Time, "1 min" to "2 weeks", like "\"4 h\"";
    #[doc = "Time within which its maker wants the mixed water used"]
    [default "2 weeks", "common practice, no source"] use_within: Time, "1 h" to "1 year", like "\"2 weeks\"";
    #[doc = "Salinity at which the analysis below was made"]
    [default "35", "common practice, no source"] analysis_salinity: Salinity, "5" to "42", like "35";
    #[doc = "Calcium at that salinity"]
    [optional] calcium: Concentration, "0 mg/L" to "2000 mg/L", like "\"420 mg/L\"";
    #[doc = "Magnesium at that salinity"]
    [optional] magnesium: Concentration, "0 mg/L" to "5000 mg/L", like "\"1320 mg/L\"";
    #[doc = "Alkalinity at that salinity"]
    [optional] alkalinity: Alkalinity, "0 dKH" to "30 dKH", like "\"8 dKH\"";
    #[doc = "Accuracy of the scale that weighs the salt, as its ±"]
    [default "50 g", "common practice, no source: a kitchen or luggage scale"]
    scale_accuracy: Mass, "0.1 g" to "5 kg", like "\"50 g\"";
}
