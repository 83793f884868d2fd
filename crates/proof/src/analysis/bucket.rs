//! Water carried by hand: what one carries at once, and how long a bucket takes. Lead times, service and the year's people
//! go by it.

use station::Station;

/// What a bucket holds that is dipped, m³; less where the owner lifts less (house rule).
const BUCKET_M3: f64 = 0.015;
/// A litre of salt water and an empty bucket, kg (house rule).
const SALT_WATER_KG_M3: f64 = 1025.0;
const EMPTY_BUCKET_KG: f64 = 1.0;

/// One bucket by hand, s: filled, carried, poured, and back.
pub(crate) fn bucket_s(station: &Station) -> f64 {
    station.people.carry_time.value.s()
}

/// What of that isn't filling, s (house rule: half).
pub(crate) fn carry_s(station: &Station) -> f64 {
    0.5 * bucket_s(station)
}

/// What somebody carries at once, m³.
pub(crate) fn bucket_m3(station: &Station, container_m3: f64) -> f64 {
    let liftable = (station.people.lift.value.kg() - EMPTY_BUCKET_KG).max(1.0) / SALT_WATER_KG_M3;
    container_m3.min(liftable)
}

/// A bucket for dipping, m³.
pub(crate) fn dipped_m3(station: &Station) -> f64 {
    bucket_m3(station, BUCKET_M3)
}

/// Buckets for a volume.
pub(crate) fn buckets(volume_m3: f64, each_m3: f64) -> u32 {
    // A ten-thousandth more is rounding, no bucket.
    libm::ceil(volume_m3 / each_m3 - 1e-4).clamp(0.0, f64::from(u32::MAX)) as u32
}
