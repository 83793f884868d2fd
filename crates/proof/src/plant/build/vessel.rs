//! A vessel of the plant: its volumes, what evaporates from it, its warmth, its float.

use station::control::Mark;
use station::plumbing::End;
use station::sections::{Control, Lid, Water};
use station::{Situation, Station, lowest_drawable_m};

use super::{Known, Reader, coldest_month};
use crate::analysis::warming;
use crate::method::Refusal;
use crate::plant::Brine;
use crate::plant::body::{Heat, Vessel};
use crate::plant::season::{ByMonth, Wave};

/// How much above its switch a vessel's own inlet closes, m³ (house rule: 10 mL).
const ABOVE_SWITCH_M3: f64 = 1e-5;

/// A figure of a vessel by its name on the sheet.
fn figure(known: &Known<'_>, vessel: usize, name: &str, reader: &mut dyn Reader) -> Option<f64> {
    let key = format!("{}.{name}", known.station.vessels[vessel].name);
    known.assessment.sheet.find(&key).map(|node| reader.read(node))
}

pub(super) fn vessel(
    known: &Known<'_>,
    (at, fills): (usize, &[usize]),
    (brine, room_c): (&Brine, &ByMonth),
    reader: &mut dyn Reader,
) -> Result<Vessel, Refusal> {
    let station = known.station;
    let own = &station.vessels[at];
    let fields = &own.fields;
    let nominal = |level_m: f64| own.shape.volume_m3(level_m.clamp(0.0, own.height_m()));
    let full_level_m = Situation::full(station).vessels[at].level_m;
    let rim_m3 = figure(known, at, "full", reader).unwrap_or(own.shape.full_volume_m3());
    let full_m3 = figure(known, at, "volume-full", reader)
        .unwrap_or(nominal(full_level_m)?)
        .min(rim_m3);
    let low_m3 = match figure(known, at, "drawable-full", reader) {
        Some(drawable_m3) => full_m3 - drawable_m3,
        None => nominal(lowest_drawable_m(own))?,
    };
    let backup_m3 = figure(known, at, "backup", reader);
    let purifier = station.purifier.as_ref().map(|purifier| &purifier.fields);
    let float_alone = purifier.is_some_and(|fields| fields.control.value == Control::Float);
    let reopens_m = purifier.map_or(0.01, |fields| fields.float_reopens.value.m());
    // A float alone closes where it hangs; beside switches the backup does. Of several vessels each shuts its own way, a
    // little above the switch, so that the switch is met first.
    // A batch may be smaller or larger than what the vessel is filled to.
    let stop_m3 = figure(known, at, "stop", reader).unwrap_or(full_m3);
    let own_m3 = match (float_alone, fills.len() > 1) {
        (true, _) => Some(stop_m3),
        (false, true) => Some(stop_m3 + ABOVE_SWITCH_M3),
        (false, false) => None,
    };
    let mut closes: Vec<f64> = match fills.contains(&at) {
        true => own_m3.into_iter().chain(backup_m3).collect(),
        false => Vec::new(),
    };
    closes.sort_by(f64::total_cmp);
    let mut floats = Vec::new();
    for closes_m3 in closes {
        let level_m = own.shape.level_m(closes_m3.min(own.shape.full_volume_m3()))?;
        floats.push((closes_m3, nominal(level_m - reopens_m)?.min(closes_m3)));
    }
    let target = match fields.holds.value {
        Water::Fresh => 0.0,
        Water::Salt => fields.target_salinity.value.practical(),
    };
    let level_m = own
        .shape
        .level_m(full_m3.min(own.shape.full_volume_m3()))?
        .max(0.05);
    let surface_m2 = full_m3 / level_m;
    Ok(Vessel {
        name: own.name.clone(),
        holds: fields.holds.value,
        rim_m3,
        full_m3,
        low_m3: low_m3.max(0.0),
        target,
        mixed: brine.salt_water(target),
        evaporation_m3_s: evaporation(station, fields.lid.value, surface_m2, target, room_c)?,
        heat: heat(
            station,
            at,
            full_m3,
            station.room.lowest_winter_temperature.value.c(),
        )?,
        mixing_w: mixing_w(station, at),
        float_m3: floats.first().copied(),
        second_float_m3: floats.get(1).copied(),
    })
}

/// What the pump that goes round a vessel takes; 0 where none does, and a paddle or a loose pump mixes.
fn mixing_w(station: &Station, at: usize) -> f64 {
    let round = station
        .plumbing
        .tasks
        .iter()
        .find(|task| task.from == task.to && task.from == End::Vessel(at));
    round
        .and_then(|task| station.pumps[task.pump?].fields.power.as_ref())
        .map_or(0.0, |power| power.value.w())
}

/// What evaporates from a vessel under its lid, by month: at the temperature of the room, into its air.
fn evaporation(
    station: &Station,
    lid: Lid,
    surface_m2: f64,
    salinity: f64,
    room_c: &ByMonth,
) -> Result<ByMonth, Refusal> {
    let room = &station.room;
    let (summer, winter) = (room.humidity.value.of_one(), room.winter_humidity.value.of_one());
    let coldest = coldest_month(station);
    let humidity = Wave {
        winter,
        summer,
        coldest,
    }
    .by_month();
    let mut months = [0.0; 12];
    for (at, month) in months.iter_mut().enumerate() {
        let air_c = room_c.0[at].clamp(1.0, 40.0);
        let air = physics::evaporation::SurfaceAir {
            water_temperature_c: air_c,
            practical_salinity: salinity,
            air_temperature_c: air_c,
            relative_humidity: humidity.0[at],
            air_speed_m_s: 0.0,
        };
        // A still surface: half of a busy one's (the activity factor of physics::evaporation).
        let rate = physics::evaporation::evaporation_kg_s_m2(&air, 0.5)?.max(0.0);
        *month = rate * surface_m2 * lid.open_share() / 1000.0;
    }
    Ok(ByMonth(months))
}

/// A vessel's warmth; nothing without a heater.
fn heat(station: &Station, at: usize, full_m3: f64, winter_c: f64) -> Result<Option<Heat>, Refusal> {
    let own = &station.vessels[at];
    let fields = &own.fields;
    let Some(heater) = &fields.heater else {
        return Ok(None);
    };
    let winter_c = winter_c.clamp(0.0, 38.0);
    let full = warming(station, at, full_m3, winter_c, winter_c, 0.0)?;
    let heater_level_m = fields
        .heater_level
        .as_ref()
        .map_or(fields.outlet_level.value.m(), |level| level.value.m());
    Ok(Some(Heat {
        set_c: fields.mixing_temperature.value.c(),
        heater_w: heater.value.w(),
        loss_w_k: full.loss_w_k,
        capacity_j_m3_k: full.capacity_j_k / full_m3,
        keeps_warm: fields.keeps_warm.value,
        heater_m3: own.shape.volume_m3(heater_level_m.clamp(0.0, own.height_m()))?,
    }))
}

/// The volume of a mark: by the sheet where it has one.
pub(super) fn mark_volume_m3(known: &Known<'_>, vessel: usize, mark: Mark, built: &Vessel) -> Option<f64> {
    let own = &known.station.vessels[vessel];
    let fields = &own.fields;
    let level_m = match mark {
        Mark::LowCutout => fields.low_cutout_level.as_ref()?.value.m(),
        Mark::Start => fields.start_level.as_ref()?.value.m(),
        Mark::Stop => match &fields.stop_level {
            // To the last bit as full as the plant takes it to be.
            Some(stop) if fields.holds.value == Water::Salt => stop.value.m(),
            _ => return Some(built.full_m3),
        },
        Mark::Backup => fields.backup_level.as_ref()?.value.m(),
        Mark::HeaterLevel => fields.heater_level.as_ref()?.value.m(),
        Mark::High => own.height_m() - fields.freeboard.value.m(),
    };
    let nominal_m3 = own.shape.volume_m3(level_m.clamp(0.0, own.height_m())).ok()?;
    // Wider or narrower than the file says, like the whole vessel.
    Some(nominal_m3 * built.rim_m3 / own.shape.full_volume_m3())
}
