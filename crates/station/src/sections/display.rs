//! The title, and how figures are shown.

use super::Text;
use crate::register::{choice, section};

section! {
    #[doc = "What the station is called"]
    Title at "";
    #[doc = "What the station is called; the heading of every sheet"]
    [required] title: Text, like "\"Larkhaven, make-up water\"";
    #[doc = "A remark for readers of the file"]
    [optional] note: Text, like "\"All numbers are invented.\"";
}

choice! {
    #[doc = "The owner's system of units"]
    Units {
        #[doc = "litres, millimetres, kilograms, degrees Celsius"]
        Si = "SI",
        #[doc = "US gallons, inches, pounds, degrees Fahrenheit"]
        Us = "US",
    }
}

section! {
    #[doc = "How figures are shown; the file itself may mix units freely"]
    Display at "display";
    #[doc = "System of units for everything that is printed"]
    [default "SI", "house rule"] units: Units, like "\"SI\"";
    #[doc = "Code of the station's currency, three capital letters of ISO 4217"]
    [default "EUR", "house rule"] currency: Text, like "\"EUR\"";
}
