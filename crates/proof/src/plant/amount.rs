//! Water and the salt in it, each conserved; and how much room both take together.

use physics::seawater;

use crate::method::Refusal;

/// Water and the sea salt dissolved in it.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Amount {
    /// Water, as the volume that it takes without salt, m³.
    pub(crate) water_m3: f64,
    /// Salt, kg.
    pub(crate) salt_kg: f64,
}

impl Amount {
    /// Water alone.
    pub(crate) fn water(water_m3: f64) -> Self {
        Self {
            water_m3,
            salt_kg: 0.0,
        }
    }

    /// Salt alone.
    pub(crate) fn salt(salt_kg: f64) -> Self {
        Self {
            water_m3: 0.0,
            salt_kg,
        }
    }

    /// So many times as much.
    pub(crate) fn times(self, share: f64) -> Self {
        Self {
            water_m3: self.water_m3 * share,
            salt_kg: self.salt_kg * share,
        }
    }
}

/// How salt and water add up to a volume.
///
/// The volume of a mixture is taken as `water + φ·salt` with one `φ` for the station, found from the densities of pure
/// water and of the target's sea water. That is exact at salinity 0 and at the target and within 0.05 % between, and it
/// makes volumes add: pouring waters together keeps their volume. Water isn't followed as it grows and shrinks with its
/// temperature (0.3 % from 10 to 26 °C); what the difference comes to is within the doubt of every vessel's width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Brine {
    /// Volume that a kilogram of salt adds, m³/kg.
    pub(crate) salt_m3_kg: f64,
    /// Density of the water without salt, kg/m³.
    pub(crate) water_kg_m3: f64,
}

impl Brine {
    /// From the water that the station keeps.
    ///
    /// # Errors
    /// [`Refusal`] outside the range of the densities.
    pub(crate) fn new(practical_salinity: f64, temperature_c: f64) -> Result<Self, Refusal> {
        let temperature_c = temperature_c.clamp(0.0, 38.0);
        let water_kg_m3 = seawater::pure_water_density_kg_m3(temperature_c)?;
        // Without salt nothing tells; a usual sea then.
        let salinity = if practical_salinity >= 1.0 {
            practical_salinity
        } else {
            35.0
        };
        let density = seawater::density_kg_m3(salinity, temperature_c)?;
        let salt = density * seawater::salt_mass_fraction(salinity);
        Ok(Self {
            salt_m3_kg: (1.0 - (density - salt) / water_kg_m3) / salt,
            water_kg_m3,
        })
    }

    /// Room that an amount takes, m³.
    pub(crate) fn volume_m3(&self, amount: Amount) -> f64 {
        amount.water_m3 + self.salt_m3_kg * amount.salt_kg
    }

    /// Its practical salinity; 0 for nothing at all.
    #[inline]
    pub(crate) fn practical_salinity(&self, amount: Amount) -> f64 {
        if amount.salt_kg == 0.0 {
            return 0.0;
        }
        let mass = self.water_kg_m3 * amount.water_m3 + amount.salt_kg;
        if mass > 0.0 {
            seawater::practical_salinity_from_absolute(1000.0 * amount.salt_kg / mass)
        } else {
            0.0
        }
    }

    /// What water of a salinity is made of.
    pub(crate) fn salt_water(&self, practical_salinity: f64) -> SaltWater {
        let share = seawater::salt_mass_fraction(practical_salinity);
        // salt = share·(ρ·water + salt), volume = water + φ·salt.
        let salt_kg_m3 = share * self.water_kg_m3 / (1.0 - share);
        SaltWater {
            salt_kg_m3,
            water_per_volume: 1.0 / (1.0 + self.salt_m3_kg * salt_kg_m3),
        }
    }

    /// A volume of a salinity.
    pub(crate) fn of_volume(&self, volume_m3: f64, practical_salinity: f64) -> Amount {
        self.salt_water(practical_salinity).of_volume(volume_m3)
    }

    /// Salt that brings an amount to a salinity, kg; below 0 where it is saltier.
    pub(crate) fn salt_wanting_kg(&self, amount: Amount, practical_salinity: f64) -> f64 {
        self.salt_water(practical_salinity).salt_wanting_kg(amount)
    }
}

/// What water of one salinity is made of.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct SaltWater {
    /// Salt by the volume of pure water, kg/m³.
    salt_kg_m3: f64,
    /// Pure water by the volume of the whole.
    water_per_volume: f64,
}

impl SaltWater {
    /// A volume of it.
    pub(crate) fn of_volume(&self, volume_m3: f64) -> Amount {
        let water_m3 = volume_m3 * self.water_per_volume;
        Amount {
            water_m3,
            salt_kg: self.salt_kg_m3 * water_m3,
        }
    }

    /// Salt that brings an amount to it, kg; below 0 where it is saltier.
    pub(crate) fn salt_wanting_kg(&self, amount: Amount) -> f64 {
        self.salt_kg_m3 * amount.water_m3 - amount.salt_kg
    }
}

#[cfg(test)]
mod tests {
    use physics::mixing::{Recipe, batch_from_finished_volume};

    use super::*;

    /// Against the batch of `physics::mixing`, which goes by TEOS-10 densities throughout: 200 L at 35 and 25 °C take
    /// 7.197 kg of sea salt in 198.1 L (the handbook's acceptance case).
    #[test]
    fn a_batch_has_the_salt_and_the_water_of_the_recipe() {
        let brine = Brine::new(35.0, 25.0).expect("in range");
        let recipe = Recipe {
            practical_salinity: 35.0,
            temperature_c: 25.0,
            strength: 1.0,
        };
        let batch = batch_from_finished_volume(&recipe, 0.2).expect("in range");
        let own = brine.of_volume(0.2, 35.0);
        // One density on both sides: rounding only.
        assert!(
            (own.salt_kg - batch.dry_mass_kg).abs() < 1e-9,
            "{own:?} {batch:?}"
        );
        assert!((own.water_m3 - batch.fresh_volume_m3).abs() < 1e-9);
        assert!((own.salt_kg - 7.197).abs() < 5e-4);
        assert!((own.water_m3 - 0.1981).abs() < 5e-5);
    }

    /// Half strength isn't fitted: the volume by TEOS-10 within 0.05 %.
    #[test]
    fn between_fresh_and_target_the_volume_is_off_by_little() {
        let brine = Brine::new(35.0, 25.0).expect("in range");
        for salinity in [5.0, 10.0, 17.5, 25.0, 30.0] {
            let own = brine.of_volume(1.0, salinity);
            let mass = 997.047 * own.water_m3 + own.salt_kg;
            let density = seawater::density_kg_m3(salinity, 25.0).expect("in range");
            assert!(
                (mass / density - 1.0).abs() < 5e-4,
                "{salinity}: {}",
                mass / density
            );
        }
    }

    #[test]
    fn salinity_and_volume_are_each_other_s_inverse() {
        let brine = Brine::new(34.0, 22.0).expect("in range");
        for salinity in [0.0, 0.4, 12.0, 34.0, 40.0] {
            let amount = brine.of_volume(0.27, salinity);
            assert!((brine.practical_salinity(amount) - salinity).abs() < 1e-12);
            assert!((brine.volume_m3(amount) - 0.27).abs() < 1e-15);
            assert!(brine.salt_wanting_kg(amount, salinity).abs() < 1e-12);
        }
    }
}
