//! Stages of the purifier that wear out: filters, membranes, beds of resin.

use crate::quantity::{
    Concentration, ExchangeCapacity, Flow, Fraction, Length, Money, Pressure, PricePerVolume, Temperature,
    Time, Volume,
};
use crate::register::{choice, section};

choice! {
    #[doc = "What a filter holds back"]
    FilterKind {
        #[doc = "particles"]
        Sediment = "sediment",
        #[doc = "chlorine, in a pressed block of fine carbon"]
        CarbonBlock = "carbon block",
        #[doc = "chlorine, in a bed of grains"]
        GranularCarbon = "granular carbon",
        #[doc = "chlorine and chloramine, in carbon made for it"]
        CatalyticCarbon = "catalytic carbon",
    }
}

impl FilterKind {
    /// Whether it takes chlorine.
    pub fn is_carbon(self) -> bool {
        self != Self::Sediment
    }
}

choice! {
    #[doc = "What a bed of resin takes"]
    BedKind {
        #[doc = "both: cation and anion resin mixed"]
        Mixed = "mixed",
        #[doc = "cations alone"]
        Cation = "cation",
        #[doc = "anions alone"]
        Anion = "anion",
    }
}

section! {
    #[doc = "A filter before the membrane, in the order of the file; all feed water passes it"]
    FilterFields at "filters.*";
    #[doc = "What it holds back"]
    [required] kind: FilterKind, like "\"carbon block\"";
    #[doc = "Volume of its bed of carbon"]
    [optional] bed_volume: Volume, "10 mL" to "1 m3", like "\"0.5 L\"";
    #[doc = "Feed water that it treats by its maker's test, at 2 mg/L of free chlorine"]
    [optional] rated_volume: Volume, "1 L" to "100000 m3", like "\"20000 L\"";
    #[doc = "Flow at which its maker tested it"]
    [optional] rated_flow: Flow, "10 mL/min" to "1000 L/min", like "\"3.8 L/min\"";
    #[doc = "Feed water that it treats by its maker's test with chloramine, where there is one"]
    [optional] rated_chloramine_volume: Volume, "1 L" to "100000 m3", like "\"4000 L\"";
    #[doc = "Size of particle that it is sold for"]
    [optional] fineness: Length, "0.01 um" to "1 mm", like "\"5 um\"";
    #[doc = "Pressure that it takes when new, at 1 L/min"]
    [default "0.05 bar ± 0.03 bar", "common practice, no source: 0.02 to 0.1 bar"]
    clean_drop: Pressure, "0 bar" to "2 bar", like "\"0.05 bar\"";
    #[doc = "Pressure that it takes in all when it is due for change, at the flow that runs through it"]
    [default "0.5 bar ± 0.15 bar", "common practice, no source: 0.35 to 0.7 bar more than new"]
    due_drop: Pressure, "0 bar" to "3 bar", like "\"0.5 bar\"";
    #[doc = "Longest time that it stays in, whatever it treated"]
    [default "6 months", "common practice, no source: carbon grows life"]
    change_every: Time, "1 week" to "5 years", like "\"6 months\"";
    #[doc = "Price of one"]
    [optional] price: Money, like "\"14 EUR\"";
}

section! {
    #[doc = "A membrane, with its maker's rating and the conditions of that rating"]
    MembraneFields at "membranes.*";
    #[doc = "Permeate by its rating"]
    [required] rated_flow: Flow, "1 L/day" to "200 m3/day", like "\"75 gal/day\"";
    #[doc = "Pressure of the rating"]
    [required] rated_pressure: Pressure, "0.5 bar" to "20 bar", like "\"60 psi\"";
    #[doc = "Dissolved solids of the rating"]
    [required] rated_solids: Concentration, "1 mg/L" to "3 g/L", like "\"250 mg/L\"";
    #[doc = "Temperature of the rating"]
    [default "25 C", "common practice, no source: all ratings are at 25 C"]
    rated_temperature: Temperature, "5 C" to "40 C", like "\"25 C\"";
    #[doc = "Recovery of the rating"]
    [default "15 %", "common practice, no source: the usual rating of small elements"]
    rated_recovery: Fraction, "1 %" to "80 %", like "\"15 %\"";
    #[doc = "Rejection by its rating"]
    [required] rejection: Fraction, "70 %" to "99.9 %", like "\"98 %\"";
    #[doc = "How far a new one may be from its rated flow, as its ±"]
    [default "15 %", "common practice, no source: makers allow 15 to 20 %"]
    tolerance: Fraction, "0 %" to "40 %", like "\"15 %\"";
    #[doc = "Share of its output at 25 C that it gives at 15 C"]
    [default "0.703 ± 0.046", "published tables run from 0.68 to 0.73"]
    output_at_15_c: Fraction, "0.5" to "0.9", like "\"0.703 ± 0.046\"";
    #[doc = "How long one lasts"]
    [default "3 years ± 1 year", "common practice, no source: 2 to 5 years behind sound carbon"]
    lasts: Time, "1 month" to "15 years", like "\"3 years ± 1 year\"";
    #[doc = "Price of one"]
    [optional] price: Money, like "\"58 EUR\"";
}

section! {
    #[doc = "A bed of resin behind the membrane, in the order of the file"]
    BedFields at "resin_beds.*";
    #[doc = "What it takes"]
    [default "mixed", "common practice, no source"] kind: BedKind, like "\"mixed\"";
    #[doc = "Resin in it"]
    [required] volume: Volume, "50 mL" to "2 m3", like "\"0.55 L ± 0.03 L\"";
    #[doc = "Charge that a litre of it takes up; a mixed bed by its weaker side"]
    [optional] capacity: ExchangeCapacity, "0.05 eq/L" to "3 eq/L", like "\"0.457 eq/L ± 0.05 eq/L\"";
    #[doc = "Share of the capacity that is used when the bed is changed"]
    [optional] utilisation: Fraction, "10 %" to "100 %", like "\"85 % ± 8 %\"";
    #[doc = "Price of the resin"]
    [optional] price: PricePerVolume, like "\"14 EUR/L\"";
}
