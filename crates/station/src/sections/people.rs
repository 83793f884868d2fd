//! Who lifts and pours, when they come, and how long their work takes.

use crate::quantity::{Length, Mass, Time};
use crate::register::{TimeOfDay, Weekdays, section};

section! {
    #[doc = "Who lifts and pours, the least able of those who will do it; and when somebody comes"]
    People at "people";
    #[doc = "Highest rim over which a bag or bucket is poured with bent arms"]
    [default "1.2 m", "common practice, no source: below the shoulder of a small adult"]
    pouring_height: Length, "0.3 m" to "2 m", like "\"1.2 m\"";
    #[doc = "Heaviest load that one person lifts"]
    [default "20 kg", "house rule, near the lower limits of common manual-handling guidance"]
    lift: Mass, "2 kg" to "50 kg", like "\"20 kg\"";
    #[doc = "Days of the week on which somebody comes"]
    [default "every day", "house rule: animals are fed every day"] days: Weekdays, like "\"Monday to Friday\"";
    #[doc = "Time of the day at which somebody comes"]
    [default "09:00", "house rule"] arrives: TimeOfDay, like "\"08:30\"";
    #[doc = "How long somebody stays"]
    [default "2 h", "house rule"] stays: Time, "5 min" to "24 h", like "\"2 h\"";
    #[doc = "Longest time in a row that nobody comes, which the station must stand"]
    [default "64 h", "house rule: a long weekend, from Friday evening to Monday morning"]
    longest_absence: Time, "1 h" to "1000 h", like "\"14 days\"";
    #[doc = "How much the time of coming varies, as one standard deviation"]
    [default "20 min", "house rule"] late_by: Time, "0 min" to "12 h", like "\"20 min\"";
    #[doc = "Time for one bucket: filled, carried, poured, and back"]
    [default "2 min", "house rule: fill, carry, lift, pour"] carry_time: Time, "10 s" to "1 h", like "\"3 min\"";
    #[doc = "Time around one water change beside moving the water: siphoning out, wiping, putting away"]
    [default "15 min", "common practice, no source"] change_time: Time, "0 min" to "8 h", like "\"15 min\"";
    #[doc = "Time for one measurement: rinsing, reading, writing down"]
    [default "5 min", "common practice, no source"] measuring_time: Time, "0 min" to "2 h", like "\"5 min\"";
    #[doc = "A person's time at one batch beside its flows: weighing, pouring the salt, measuring twice"]
    [default "30 min", "common practice, no source"] batch_time: Time, "0 min" to "8 h", like "\"30 min\"";
}
