//! Levels of what hangs in a vessel: its heater, the end of its fill.

use super::Case;

pub(super) const CASES: &[Case] = &[
    Case {
        name: "a heater above the rim",
        edits: &[(
            r#"floor_height = "500 mm""#,
            "floor_height = \"500 mm\"\nheater = \"200 W\"\nheater_level = \"1 m\"",
        )],
        what: "the heater level is above the rim",
        underlined: r#""1 m""#,
        mend: "at most 860 mm keeps the freeboard of 40 mm",
    },
    Case {
        name: "a fill that ends above the rim",
        edits: &[(
            r#"floor_height = "500 mm""#,
            "floor_height = \"500 mm\"\nfill_end_level = \"950 mm\"",
        )],
        what: "the fill-end level is above the rim",
        underlined: r#""950 mm""#,
        mend: "leave it out where the tube ends in the air above the rim",
    },
];
