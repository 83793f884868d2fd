//! What must be ready at any time.

use crate::quantity::Volume;
use crate::register::section;

section! {
    #[doc = "What must be ready to draw at any time"]
    Reserve at "reserve";
    #[doc = "Purified water that must be ready to draw at any time"]
    [optional] fresh: Volume, "0 L" to "100 m3", like "\"40 L\"";
    #[doc = "Salt water that must be ready to draw at any time"]
    [optional] salt: Volume, "0 L" to "100 m3", like "\"120 L\"";
}
