//! The water that comes to the purifier, through the year and on odd days.

use super::{Text, YesNo};
use crate::quantity::{
    Alkalinity, Concentration, Conductivity, Number, Pressure, PricePerVolume, Temperature, Time,
};
use crate::register::{choice, section};

choice! {
    #[doc = "A month"]
    Month {
        #[doc = "the first month"]
        January = "January",
        #[doc = "the second month"]
        February = "February",
        #[doc = "the third month"]
        March = "March",
        #[doc = "the fourth month"]
        April = "April",
        #[doc = "the fifth month"]
        May = "May",
        #[doc = "the sixth month"]
        June = "June",
        #[doc = "the seventh month"]
        July = "July",
        #[doc = "the eighth month"]
        August = "August",
        #[doc = "the ninth month"]
        September = "September",
        #[doc = "the tenth month"]
        October = "October",
        #[doc = "the eleventh month"]
        November = "November",
        #[doc = "the twelfth month"]
        December = "December",
    }
}

impl Month {
    /// The twelve, from January.
    pub const ALL: [Self; 12] = [
        Self::January,
        Self::February,
        Self::March,
        Self::April,
        Self::May,
        Self::June,
        Self::July,
        Self::August,
        Self::September,
        Self::October,
        Self::November,
        Self::December,
    ];

    /// Months from another one to this one, 0 to 11.
    pub fn months_after(self, other: Self) -> usize {
        let at = |month| Self::ALL.iter().position(|m| *m == month).unwrap_or(0);
        (at(self) + 12 - at(other)) % 12
    }
}

section! {
    #[doc = "The feed: the water that comes to the purifier, from a report of the supplier, a few test strips, or guessed"]
    FeedFields at "feed";
    #[doc = "Pressure at the tap while the purifier runs"]
    [required] pressure: Pressure, "0 bar" to "16 bar", like "\"4.2 bar ± 0.4 bar\"";
    #[doc = "Its temperature in the coldest month, after a minute's running"]
    [required] coldest: Temperature, "0.1 C" to "40 C", like "\"7 C ± 1 C\"";
    #[doc = "Its temperature in the warmest month"]
    [required] warmest: Temperature, "0.1 C" to "40 C", like "\"18 C ± 1 C\"";
    #[doc = "The month in which it is coldest"]
    [default "February", "house rule: north of the equator, a month after the air"]
    coldest_month: Month, like "\"February\"";
    #[doc = "Its conductivity at 25 C"]
    [default "450 uS/cm ± 220 uS/cm", "guessed, a middling tap water: a pen that costs little measures it"]
    conductivity: Conductivity, "1 uS/cm" to "5 mS/cm", like "\"410 uS/cm ± 20 uS/cm\"";
    #[doc = "Its dissolved solids, in place of the conductivity"]
    [optional] dissolved_solids: Concentration, "1 mg/L" to "3 g/L", like "\"270 mg/L\"";
    #[doc = "Dissolved solids in mg/L for each uS/cm"]
    [default "0.65 ± 0.06", "common practice, no source: 0.5 to 0.7 for tap water"]
    solids_per_conductivity: Number, "0.4" to "1", like "0.65";
    #[doc = "Its hardness, calcium and magnesium together"]
    [default "150 mg/L CaCO3 ± 100 mg/L CaCO3", "guessed, a middling tap water: a test strip measures it"]
    hardness: Alkalinity, "0 mg/L CaCO3" to "2000 mg/L CaCO3", like "\"180 mg/L CaCO3 ± 15 mg/L CaCO3\"";
    #[doc = "Its alkalinity"]
    [default "110 mg/L CaCO3 ± 60 mg/L CaCO3", "guessed, a middling tap water: a test strip measures it"]
    alkalinity: Alkalinity, "0 mg/L CaCO3" to "1500 mg/L CaCO3", like "\"120 mg/L CaCO3 ± 10 mg/L CaCO3\"";
    #[doc = "Its pH, as measured at once at the tap"]
    [default "7.6 ± 0.4", "guessed, a middling tap water: a report or a fresh test tells it"]
    ph: Number, "4.5" to "10.5", like "\"7.6 ± 0.1\"";
    #[doc = "Its silica, as SiO2"]
    [default "8 mg/L ± 6 mg/L", "guessed: river water has 2 to 15 mg/L"]
    silica: Concentration, "0 mg/L" to "150 mg/L", like "\"8 mg/L\"";
    #[doc = "Its free chlorine"]
    [default "0.5 mg/L ± 0.3 mg/L", "guessed: most networks carry 0.2 to 1 mg/L"]
    free_chlorine: Concentration, "0 mg/L" to "20 mg/L", like "\"0.5 mg/L\"";
    #[doc = "Its chloramine, as chlorine: total less free"]
    [default "0 mg/L", "guessed: ask the supplier, for a strip for free chlorine misses it"]
    chloramine: Concentration, "0 mg/L" to "20 mg/L", like "\"0 mg/L\"";
    #[doc = "Price of the water, with what its drain costs"]
    [optional] price: PricePerVolume, like "\"4.20 EUR/m3\"";
}

section! {
    #[doc = "A named state of the feed: what differs from the usual one on such days"]
    FeedState at "feed_states.*";
    #[doc = "Pressure at the tap then"]
    [optional] pressure: Pressure, "0 bar" to "16 bar", like "\"2.4 bar\"";
    #[doc = "Temperature then, all the time"]
    [optional] temperature: Temperature, "0.1 C" to "40 C", like "\"5 C\"";
    #[doc = "Conductivity at 25 C then"]
    [optional] conductivity: Conductivity, "1 uS/cm" to "5 mS/cm", like "\"520 uS/cm\"";
    #[doc = "Dissolved solids then"]
    [optional] dissolved_solids: Concentration, "1 mg/L" to "3 g/L", like "\"340 mg/L\"";
    #[doc = "Hardness then"]
    [optional] hardness: Alkalinity, "0 mg/L CaCO3" to "2000 mg/L CaCO3", like "\"220 mg/L CaCO3\"";
    #[doc = "Alkalinity then"]
    [optional] alkalinity: Alkalinity, "0 mg/L CaCO3" to "1500 mg/L CaCO3", like "\"150 mg/L CaCO3\"";
    #[doc = "pH then"]
    [optional] ph: Number, "4.5" to "10.5", like "7.3";
    #[doc = "Silica then"]
    [optional] silica: Concentration, "0 mg/L" to "150 mg/L", like "\"10 mg/L\"";
    #[doc = "Free chlorine then"]
    [optional] free_chlorine: Concentration, "0 mg/L" to "20 mg/L", like "\"2.5 mg/L\"";
    #[doc = "Chloramine then, as chlorine"]
    [optional] chloramine: Concentration, "0 mg/L" to "20 mg/L", like "\"2 mg/L\"";
    #[doc = "Whether it runs cloudy or brown then"]
    [default "false", "house rule: clear unless said"] cloudy: YesNo, like "true";
    #[doc = "How long such a state lasts"]
    [optional] lasts: Time, "1 h" to "1 year", like "\"3 weeks\"";
    #[doc = "Mean time from one such state to the next, where it comes at no set time; left out, with no month either, it isn't expected"]
    [optional] every: Time, "1 week" to "100 years", like "\"2 years\"";
    #[doc = "The month in which it begins each year, in place of a mean time"]
    [optional] in_month: Month, like "\"September\"";
    #[doc = "What the owner wants to test on such a day, beside what the program names"]
    [optional] test: Text, like "\"total chlorine behind the carbon, each morning\"";
}
