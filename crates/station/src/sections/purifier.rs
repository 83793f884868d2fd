//! The purifier: what its stages share.

use super::{Text, YesNo};
use crate::quantity::{Flow, Fraction, Length, Number, Power, Pressure, Time, Volume};
use crate::register::{choice, section};

choice! {
    #[doc = "How several membranes or beds share the water"]
    Order {
        #[doc = "each takes its part of the water"]
        Parallel = "parallel",
        #[doc = "one after the other: a membrane takes the reject of the one before, a bed its product"]
        Series = "series",
    }
}

choice! {
    #[doc = "The valve that stops the feed when the permeate line is closed"]
    ShutOff {
        #[doc = "there is none: reject runs on"]
        None = "none",
        #[doc = "it was seen to stop the reject"]
        Sound = "sound",
        #[doc = "it is there, but reject goes on after a run: counted as none, which is the worst that it can do"]
        Leaks = "leaks",
    }
}

choice! {
    #[doc = "What starts and stops a run"]
    Control {
        #[doc = "a float valve in the vessel, and nothing else"]
        Float = "float alone",
        #[doc = "switches at a start level and a stop level"]
        Levels = "level switches",
        #[doc = "a clock that opens the feed once a day for a set time"]
        Timer = "timer",
        #[doc = "a person starts it; it stops by itself and never restarts"]
        Attended = "attended",
    }
}

section! {
    #[doc = "The purifier: what its stages share"]
    PurifierFields at "purifier";
    #[doc = "What starts and stops a run"]
    [required] control: Control, like "\"level switches\"";
    #[doc = "Hours a day that it may run, with a timer or a person"]
    [optional] hours_a_day: Time, "1 min" to "24 h", like "\"3 h\"";
    #[doc = "The vessel that it fills, where several hold fresh water"]
    [optional] fills: Text, like "\"fresh\"";
    #[doc = "How several membranes share the feed"]
    [default "parallel", "house rule"] membrane_order: Order, like "\"parallel\"";
    #[doc = "How several mixed beds share the permeate; in series the first is the lead, the last the lag"]
    [default "series", "common practice, no source: the last bed catches what the first lets through"]
    bed_order: Order, like "\"series\"";
    #[doc = "Reject that the restrictor passes, at the pressure below"]
    [optional] restrictor_flow: Flow, "1 mL/min" to "100 L/min", like "\"600 mL/min ± 60 mL/min\"";
    #[doc = "Pressure at which it passes that"]
    [default "60 psi", "common practice, no source: the usual rating point"]
    restrictor_pressure: Pressure, "0.2 bar" to "16 bar", like "\"4.1 bar\"";
    #[doc = "Bore of the restrictor, in place of its flow"]
    [optional] restrictor_bore: Length, "0.1 mm" to "10 mm", like "\"0.9 mm\"";
    #[doc = "Parts of reject to one of permeate at the membranes' rating, in place of the restrictor's flow"]
    [optional] waste_ratio: Number, "0.2" to "20", like "\"4 ± 0.6\"";
    #[doc = "The most that a limiter lets through where the feed leaves the tap"]
    [optional] feed_limiter: Flow, "0.05 L/min" to "100 L/min", like "\"5 L/min ± 0.5 L/min\"";
    #[doc = "Set pressure of a reducer at the feed"]
    [optional] reducer: Pressure, "0.5 bar" to "12 bar", like "\"4 bar\"";
    #[doc = "Pressure behind a booster pump, which stands behind the filters"]
    [optional] booster_pressure: Pressure, "1 bar" to "14 bar", like "\"5.5 bar\"";
    #[doc = "Power that the booster takes from the socket"]
    [optional] booster_power: Power, "1 W" to "5 kW", like "\"28 W\"";
    #[doc = "Pressure before the booster under which its switch stops it"]
    [optional] booster_cutout: Pressure, "0 bar" to "5 bar", like "\"0.4 bar\"";
    #[doc = "The valve that stops the feed when the permeate line is closed"]
    [default "none", "house rule: none until somebody has seen the reject stop"]
    shut_off: ShutOff, like "\"sound\"";
    #[doc = "Share of the feed pressure at which the shut-off valve closes, in the permeate line"]
    [default "0.65 ± 0.05", "common practice, no source: about two thirds"]
    shut_off_closes: Fraction, "0.3" to "0.95", like "\"0.65 ± 0.05\"";
    #[doc = "Share of the feed pressure at which it opens again"]
    [default "0.45 ± 0.1", "common practice, no source: well below the closing point"]
    shut_off_reopens: Fraction, "0.05" to "0.9", like "0.45";
    #[doc = "Whether a check valve keeps the permeate from flowing back"]
    [default "false", "house rule: none until it was seen"] check_valve: YesNo, like "true";
    #[doc = "Whether an electric valve, closed without power, stops the feed"]
    [default "false", "house rule: none until it was seen"] feed_valve: YesNo, like "true";
    #[doc = "Longest time that its control lets a run go on before it shuts the feed"]
    [optional] longest_run: Time, "1 min" to "1 month", like "\"20 h\"";
    #[doc = "Whether a detector of water on the floor shuts the feed"]
    [default "false", "house rule: none until it was seen"] leak_detector: YesNo, like "true";
    #[doc = "Whether the feed is shut while nobody is here"]
    [default "false", "house rule: it stays on unless said"] shut_when_away: YesNo, like "true";
    #[doc = "Height of a float valve's travel, from beginning to close to closed"]
    [default "25 mm ± 10 mm", "common practice, no source"] float_travel: Length, "1 mm" to "500 mm", like "\"25 mm\"";
    #[doc = "Fall of the level at which a float valve lets water in again"]
    [default "10 mm ± 5 mm", "common practice, no source"] float_reopens: Length, "1 mm" to "1 m", like "\"10 mm\"";
    #[doc = "First permeate of each run that goes to the drain, before the resin"]
    [default "0 L", "house rule: none unless said"] flush: Volume, "0 mL" to "100 L", like "\"0.4 L\"";
    #[doc = "Permeate held behind each membrane and in the line to the resin"]
    [default "80 mL ± 40 mL", "estimate from parts: 60 to 100 mL is typical; a logged first litre settles it"]
    hold_up: Volume, "1 mL" to "20 L", like "\"80 mL ± 40 mL\"";
    #[doc = "Feed water held in each membrane's housing"]
    [default "0.3 L ± 0.1 L", "common practice, no source"] feed_side: Volume, "10 mL" to "50 L", like "\"0.3 L\"";
    #[doc = "Whether a softener stands before it"]
    [default "false", "house rule"] softener: YesNo, like "true";
    #[doc = "Share of the carbon dioxide that a vented vessel with air lets go, between membrane and resin"]
    [optional] degassing: Fraction, "0" to "1", like "\"0.7 ± 0.15\"";
    #[doc = "Height of its membranes above the room's floor"]
    [default "1.2 m", "house rule: on the wall at the height of the hands"]
    height: Length, "0 m" to "4 m", like "\"1.2 m\"";
    #[doc = "Pressure that beds and line take from the permeate at its rated flow"]
    [default "0.15 bar ± 0.1 bar", "common practice, no source"]
    product_drop: Pressure, "0 bar" to "3 bar", like "\"0.15 bar\"";
    #[doc = "Permeate of a new membrane that is thrown away"]
    [default "20 L", "common practice, no source: preservative, first hours"]
    new_membrane_discard: Volume, "0 L" to "10 m3", like "\"20 L\"";
    #[doc = "Water that rinses fines out of new carbon, to the drain"]
    [default "10 L", "common practice, no source"] new_carbon_rinse: Volume, "0 L" to "5 m3", like "\"10 L\"";
}
