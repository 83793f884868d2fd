//! Bringing a batch to its temperature: heater or chiller and the pump's heat, against what the vessel loses or, in a
//! warm room, gains.

use physics::heat::{EnvelopePart, HeatBalance, VesselWall, loss_w_k, wall_loss};
use physics::seawater;
use station::Station;

use crate::method::Refusal;

/// Conductivity of a moulded plastic wall, W/(m·K), from memory.
const PLASTIC_W_M_K: f64 = 0.45;

/// The balance of a vessel with a batch in it, and what its parts are worth.
pub(crate) struct Warming {
    pub(crate) capacity_j_k: f64,
    pub(crate) loss_w_k: f64,
    pub(super) air_c: f64,
    pub(super) power_w: f64,
    pub(super) from_c: f64,
    pub(super) to_c: f64,
}

impl Warming {
    /// Whether it is chilled: the water is warmer than the batch is kept.
    pub(super) fn chills(&self) -> bool {
        self.from_c > self.to_c
    }

    /// Power beyond the present one that would bring the batch there in a time, W; negative for a chiller. The balance
    /// solved for its power: `P = UA·((T₁ − T₀·e)/(1 − e) − Tₐ)` with `e = exp(−UA·t/C)`.
    pub(super) fn lacking_w(&self, time_s: f64) -> f64 {
        let left = libm::exp(-self.loss_w_k * time_s / self.capacity_j_k);
        let rest_c = (self.to_c - self.from_c * left) / (1.0 - left);
        self.loss_w_k * (rest_c - self.air_c) - self.power_w
    }

    pub(super) fn balance(&self) -> HeatBalance {
        HeatBalance {
            heat_capacity_j_k: self.capacity_j_k,
            loss_w_k: self.loss_w_k,
            air_temperature_c: self.air_c,
            power_w: self.power_w,
        }
    }
}

/// The heat of a batch of a volume in a vessel, from the temperature that its water has to the one it is mixed at, in a
/// room. `pump_w` is the heat of a pump that goes round it.
pub(crate) fn warming(
    station: &Station,
    vessel: usize,
    volume_m3: f64,
    from_c: f64,
    air_c: f64,
    pump_w: f64,
) -> Result<Warming, Refusal> {
    let own = &station.vessels[vessel];
    let salinity = own.fields.target_salinity.value.practical();
    let to_c = own.fields.mixing_temperature.value.c();
    let level_m = own
        .shape
        .level_m(volume_m3.min(own.shape.full_volume_m3()))?
        .max(0.05);
    let area_m2 = volume_m3 / level_m;
    let around_m = 2.0 * libm::sqrt(core::f64::consts::PI * area_m2);
    let wall = VesselWall {
        height_m: level_m.min(3.0),
        thickness_m: own.fields.wall_thickness.value.m(),
        conductivity_w_m_k: PLASTIC_W_M_K,
        emissivity: 0.9,
        inside_film_w_m2_k: physics::heat::STILL_WATER_FILM_W_M2_K,
    };
    let middle_c = 0.5 * (from_c + to_c);
    // Without a difference nothing is lost, and the coefficient hardly matters; but the film needs one.
    let apart_c = match middle_c - air_c {
        colder if (-1.0..0.0).contains(&colder) => air_c - 1.0,
        warmer if (0.0..1.0).contains(&warmer) => air_c + 1.0,
        _ => middle_c,
    };
    let overall = wall_loss(&wall, apart_c, air_c)?.overall_w_m2_k;
    let parts = [
        EnvelopePart {
            area_m2: around_m * level_m,
            overall_w_m2_k: overall,
        },
        // A lid half as much, the floor a quarter (house rules of physics::heat).
        EnvelopePart {
            area_m2,
            overall_w_m2_k: 0.5 * overall,
        },
        EnvelopePart {
            area_m2,
            overall_w_m2_k: 0.25 * overall,
        },
    ];
    let density = seawater::density_kg_m3(salinity, middle_c)?;
    let own_w = if to_c >= from_c {
        own.fields.heater.as_ref().map_or(0.0, |heater| heater.value.w())
    } else {
        -own.fields
            .chiller
            .as_ref()
            .map_or(0.0, |chiller| chiller.value.w())
    };
    Ok(Warming {
        capacity_j_k: volume_m3 * density * seawater::heat_capacity_j_kg_k(salinity, middle_c)?,
        loss_w_k: loss_w_k(&parts)?,
        air_c,
        power_w: own_w + pump_w,
        from_c,
        to_c,
    })
}
