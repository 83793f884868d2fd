//! What leaves the tanks as vapour, measured or computed.

use physics::evaporation::{SurfaceAir, evaporation_kg_s_m2};
use physics::seawater::density_kg_m3;
use station::quantity::Kind;

use crate::method::{Method, take};

pub(crate) static EVAPORATION: Method = Method {
    key: "evaporation",
    title: "water that evaporates from a surface",
    formula: "A (p_w - p_a)(0.089 + 0.0782 v)/latent x activity",
    inputs: &[
        "surface",
        "activity",
        "water",
        "air",
        "humidity",
        "speed of the air",
        "salinity",
        "true share of the formula",
    ],
    output: Kind::Flow,
    sources: &["ASHRAE-APPLICATIONS", "HYLAND-WEXLER-1983"],
    range: "indoor pools; good to perhaps 30 % on a tank: measure the top-off",
    caution: None,
    eval: |inputs| {
        let [
            surface,
            activity,
            water_temperature_c,
            air_temperature_c,
            relative_humidity,
            air_speed_m_s,
            practical_salinity,
            share,
        ] = take(inputs)?;
        let surface_air = SurfaceAir {
            water_temperature_c,
            air_temperature_c,
            relative_humidity,
            air_speed_m_s,
            practical_salinity,
        };
        let rate = evaporation_kg_s_m2(&surface_air, activity)?;
        // Water that condenses into a tank is no need.
        Ok((rate * surface * share / density_kg_m3(0.0, water_temperature_c)?).max(0.0))
    },
};

pub(crate) static SEASON: Method = Method {
    key: "season",
    title: "a flow in a month, between summer and winter",
    formula: "(q_summer + q_winter)/2 + (q_winter - q_summer)/2 cos(2 pi m/12)",
    inputs: &["in summer", "in winter", "months from the coldest"],
    output: Kind::Flow,
    sources: &["HOUSE-RULE"],
    range: "a year as one wave",
    caution: None,
    eval: |inputs| {
        let [summer, winter, months] = take(inputs)?;
        let wave = libm::cos(core::f64::consts::PI * months / 6.0);
        Ok(0.5 * (summer + winter) + 0.5 * (winter - summer) * wave)
    },
};
