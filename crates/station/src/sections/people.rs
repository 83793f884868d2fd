//! Who lifts and pours.

use crate::quantity::{Length, Mass};
use crate::register::section;

section! {
    #[doc = "Who lifts and pours; the least able of those who will do it"]
    People at "people";
    #[doc = "Highest rim over which a bag or bucket is poured with bent arms"]
    [default "1.2 m", "common practice, no source: below the shoulder of a small adult"]
    pouring_height: Length, "0.3 m" to "2 m", like "\"1.2 m\"";
    #[doc = "Heaviest load that one person lifts"]
    [default "20 kg", "house rule, near the lower limits of common manual-handling guidance"]
    lift: Mass, "2 kg" to "50 kg", like "\"20 kg\"";
}
