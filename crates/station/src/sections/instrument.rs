//! What the water is measured with.

use super::Text;
use crate::quantity::{Fraction, FractionPerKelvin, Salinity};
use crate::register::{choice, section};

choice! {
    #[doc = "The kind of an instrument"]
    InstrumentKind {
        #[doc = "hand or digital refractometer"]
        Refractometer = "refractometer",
        #[doc = "glass or swing-arm hydrometer"]
        Hydrometer = "hydrometer",
        #[doc = "conductivity meter"]
        ConductivityMeter = "conductivity meter",
        #[doc = "density meter"]
        DensityMeter = "density meter",
    }
}

section! {
    #[doc = "An instrument that tells salinity"]
    InstrumentFields at "instruments.*";
    #[doc = "What it is"]
    [required] kind: InstrumentKind, like "\"refractometer\"";
    #[doc = "Its accuracy, in practical salinity, as its ±"]
    [required] accuracy: Salinity, "0" to "10", like "0.7";
    #[doc = "Scale of a hydrometer: t/4C, 25C/25C, 20C/20C or 60F/60F"]
    [optional] reference: Text, like "\"25C/25C\"";
    #[doc = "Compensation of a conductivity meter to 25 C"]
    [optional] compensation: FractionPerKelvin, "0 %/C" to "5 %/C", like "\"2 %/C\"";
    #[doc = "Share by which a check solution was missed at the last check"]
    [optional] last_check: Fraction, "-0.5" to "0.5", like "\"1 %\"";
}
