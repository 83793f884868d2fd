//! What a vessel weighs, what it presses on the floor, and whether it comes through the door.

use station::quantity::{Kind, Spread};
use station::sections::Water;
use station::{Station, Vessel};

use crate::method::Refusal;
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

pub(super) fn mass_when_full(
    station: &Station,
    vessel: &Vessel,
    sheet: &mut Sheet,
    full: NodeId,
) -> Result<NodeId, Refusal> {
    let name = &vessel.name;
    let salinity = match vessel.fields.holds.value {
        Water::Salt => sheet.given(&vessel.fields.target_salinity),
        Water::Fresh => sheet.assumed(
            &format!("{name}.no salt"),
            0.0,
            Kind::Salinity,
            Spread::NONE,
            "fresh water",
        ),
    };
    let coldest = station.room.lowest_winter_temperature.value.c().clamp(0.0, 35.0);
    let temperature = sheet.assumed(
        "coldest water",
        coldest,
        Kind::Temperature,
        Spread::NONE,
        "cold water is heaviest",
    );
    let empty = match &vessel.fields.empty_mass {
        Some(field) => sheet.given(field),
        None => {
            let guess = 0.04 * 1e3 * sheet.value(full);
            sheet.assumed(
                &format!("vessels.{name}.empty_mass"),
                guess,
                Kind::Mass,
                Spread::limits(guess / 2.0),
                "default: 4 % of the water's mass, common practice, no source",
            )
        }
    };
    sheet.figure(
        format!("{name}.mass-full"),
        format!("{name}: mass when full to the rim"),
        &m::MASS_WHEN_FULL,
        &[full, salinity, temperature, empty],
    )
}

pub(super) fn floor_load(
    vessel: &Vessel,
    sheet: &mut Sheet,
    mass: NodeId,
) -> Result<Option<NodeId>, Refusal> {
    let (Some(area), Some((length, width))) = (
        vessel.shape.footprint_m2(),
        vessel.shape.plan_at_m(0.0).ok().flatten(),
    ) else {
        return Ok(None);
    };
    if area <= 0.0 || length * width <= 0.0 {
        return Ok(None);
    }
    let name = &vessel.name;
    let side = |sheet: &mut Sheet, what: &str, value: f64, kind| {
        sheet.assumed(
            &format!("{name}.{what}"),
            value,
            kind,
            Spread::NONE,
            "inner dimensions at the floor",
        )
    };
    let length = side(sheet, "footprint length", length, Kind::Length);
    let width_node = side(sheet, "footprint width", width, Kind::Length);
    let share = side(
        sheet,
        "share of the rectangle",
        area / (sheet.value(length) * width),
        Kind::Fraction,
    );
    let id = sheet.figure(
        format!("{name}.floor-load"),
        format!("{name}: load on the floor under it"),
        &m::FLOOR_LOAD,
        &[mass, length, width_node, share],
    )?;
    Ok(Some(id))
}

/// Upright or lying: its two smaller outer dimensions must pass the clear opening.
pub(super) fn passes_door(station: &Station, vessel: &Vessel) -> Option<bool> {
    let (length, width) = vessel.shape.plan_m()?;
    let wall = 2.0 * vessel.fields.wall_thickness.value.m();
    sides_pass(station, [length + wall, width + wall, vessel.height_m() + wall])
}

/// Whether something of these outer sides comes in; `None` where the door isn't described.
pub(crate) fn sides_pass(station: &Station, mut sides: [f64; 3]) -> Option<bool> {
    let door_width = station.room.door_width.as_ref()?.value.m();
    let door_height = station
        .room
        .door_height
        .as_ref()
        .map_or(2.0, |height| height.value.m());
    sides.sort_by(f64::total_cmp);
    Some(sides[0] <= door_width.min(door_height) && sides[1] <= door_width.max(door_height))
}
