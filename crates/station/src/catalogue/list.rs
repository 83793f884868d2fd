//! The list, smallest first.

use super::{Body, CatalogueVessel};
use crate::sections::Wall;

/// Every vessel of the catalogue, by what it is sold as, smallest first; of one size those that stand alone first (common
/// practice, no source).
pub const CATALOGUE: &[CatalogueVessel] = &[
    upright(
        0.06,
        Body::Cylinder {
            diameter_m: 0.38,
            height_m: 0.54,
        },
        0.004,
        3.5,
    ),
    rectangular(
        0.06,
        Body::Box {
            length_m: 0.56,
            width_m: 0.35,
            height_m: 0.312,
        },
        0.004,
        3.5,
    ),
    drum(
        0.06,
        Body::TaperedRound {
            diameter_bottom_m: 0.37,
            diameter_top_m: 0.385,
            height_m: 0.54,
        },
        0.003,
        3.0,
    ),
    upright(
        0.1,
        Body::Cylinder {
            diameter_m: 0.43,
            height_m: 0.705,
        },
        0.004,
        5.0,
    ),
    rectangular(
        0.1,
        Body::Box {
            length_m: 0.65,
            width_m: 0.4,
            height_m: 0.392,
        },
        0.004,
        5.5,
    ),
    cone_bottomed(
        0.1,
        Body::ConeBottom {
            cone_outlet_diameter_m: 0.05,
            diameter_m: 0.45,
            cone_height_m: 0.18,
            height_m: 0.75,
        },
        0.005,
        7.0,
    ),
    drum(
        0.12,
        Body::TaperedRound {
            diameter_bottom_m: 0.47,
            diameter_top_m: 0.49,
            height_m: 0.68,
        },
        0.003,
        5.5,
    ),
    upright(
        0.15,
        Body::Cylinder {
            diameter_m: 0.5,
            height_m: 0.78,
        },
        0.005,
        7.0,
    ),
    rectangular(
        0.15,
        Body::Box {
            length_m: 0.76,
            width_m: 0.4,
            height_m: 0.505,
        },
        0.005,
        8.0,
    ),
    upright(
        0.2,
        Body::Cylinder {
            diameter_m: 0.55,
            height_m: 0.86,
        },
        0.005,
        9.0,
    ),
    rectangular(
        0.2,
        Body::Box {
            length_m: 0.8,
            width_m: 0.44,
            height_m: 0.58,
        },
        0.005,
        10.0,
    ),
    cone_bottomed(
        0.2,
        Body::ConeBottom {
            cone_outlet_diameter_m: 0.05,
            diameter_m: 0.58,
            cone_height_m: 0.24,
            height_m: 0.925,
        },
        0.005,
        13.0,
    ),
    drum(
        0.21,
        Body::TaperedRound {
            diameter_bottom_m: 0.56,
            diameter_top_m: 0.58,
            height_m: 0.84,
        },
        0.003,
        8.5,
    ),
    upright(
        0.3,
        Body::Cylinder {
            diameter_m: 0.65,
            height_m: 0.925,
        },
        0.006,
        13.0,
    ),
    rectangular(
        0.3,
        Body::Box {
            length_m: 0.98,
            width_m: 0.5,
            height_m: 0.625,
        },
        0.006,
        15.0,
    ),
    cone_bottomed(
        0.3,
        Body::ConeBottom {
            cone_outlet_diameter_m: 0.05,
            diameter_m: 0.65,
            cone_height_m: 0.28,
            height_m: 1.1,
        },
        0.006,
        18.0,
    ),
    upright(
        0.4,
        Body::Cylinder {
            diameter_m: 0.71,
            height_m: 1.03,
        },
        0.006,
        16.0,
    ),
    upright(
        0.5,
        Body::Cylinder {
            diameter_m: 0.85,
            height_m: 0.9,
        },
        0.006,
        20.0,
    ),
    rectangular(
        0.5,
        Body::Box {
            length_m: 1.18,
            width_m: 0.6,
            height_m: 0.72,
        },
        0.006,
        23.0,
    ),
    cone_bottomed(
        0.5,
        Body::ConeBottom {
            cone_outlet_diameter_m: 0.05,
            diameter_m: 0.78,
            cone_height_m: 0.33,
            height_m: 1.28,
        },
        0.007,
        27.0,
    ),
    rectangular(
        0.7,
        Body::Box {
            length_m: 1.2,
            width_m: 0.7,
            height_m: 0.85,
        },
        0.007,
        30.0,
    ),
    upright(
        0.75,
        Body::Cylinder {
            diameter_m: 0.99,
            height_m: 0.995,
        },
        0.007,
        28.0,
    ),
    upright(
        1.0,
        Body::Cylinder {
            diameter_m: 1.15,
            height_m: 0.985,
        },
        0.008,
        37.0,
    ),
    rectangular(
        1.0,
        Body::Box {
            length_m: 1.4,
            width_m: 0.74,
            height_m: 0.99,
        },
        0.008,
        40.0,
    ),
    cone_bottomed(
        1.0,
        Body::ConeBottom {
            cone_outlet_diameter_m: 0.05,
            diameter_m: 1.08,
            cone_height_m: 0.44,
            height_m: 1.4,
        },
        0.008,
        45.0,
    ),
];

const fn upright(nominal_m3: f64, body: Body, wall_m: f64, empty_kg: f64) -> CatalogueVessel {
    CatalogueVessel {
        what: "upright tank",
        made_for: "drinking water, with a flat for a bulkhead low in its wall",
        body,
        nominal_m3,
        wall_m,
        empty_kg,
        bulkhead_wall: Wall::FlatThick,
    }
}

const fn rectangular(nominal_m3: f64, body: Body, wall_m: f64, empty_kg: f64) -> CatalogueVessel {
    CatalogueVessel {
        what: "rectangular tank",
        made_for: "drinking water, along a wall",
        body,
        nominal_m3,
        wall_m,
        empty_kg,
        bulkhead_wall: Wall::FlatThick,
    }
}

const fn cone_bottomed(nominal_m3: f64, body: Body, wall_m: f64, empty_kg: f64) -> CatalogueVessel {
    CatalogueVessel {
        what: "cone-bottomed tank",
        made_for: "liquids that are drained to the last drop, on its stand",
        body,
        nominal_m3,
        wall_m,
        empty_kg,
        bulkhead_wall: Wall::Uncut,
    }
}

const fn drum(nominal_m3: f64, body: Body, wall_m: f64, empty_kg: f64) -> CatalogueVessel {
    CatalogueVessel {
        what: "drum",
        made_for: "rain and process water; its lid comes off",
        body,
        nominal_m3,
        wall_m,
        empty_kg,
        bulkhead_wall: Wall::Curved,
    }
}
