//! Times of the year when nobody comes.

use super::YesNo;
use crate::quantity::Time;
use crate::register::{DayOfYear, section};

section! {
    #[doc = "A time of the year when nobody comes to the station"]
    HolidayFields at "holidays.*";
    #[doc = "Its first day, on which nobody comes"]
    [required] from: DayOfYear, like "\"20 July\"";
    #[doc = "The day on which somebody is back; it may lie in the next year"]
    [required] to: DayOfYear, like "\"10 August\"";
    #[doc = "Whether the purifier is shut and drained of its water meanwhile, as for a closed term"]
    [default "false", "house rule: the feed stays on unless somebody shuts it"] laid_up: YesNo, like "true";
    #[doc = "How often somebody looks in meanwhile, for top-off and emergencies only; left out, nobody does"]
    [optional] looks_in: Time, "1 day" to "1 year", like "\"3 days\"";
}
