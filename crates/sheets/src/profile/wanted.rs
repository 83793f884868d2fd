//! What of a profile is named, and what its names keep off.

use station::{Station, spoken};

use super::area::{Area, area_of, drops, stretches};
use super::names::{Named, Names, Wanted};
use super::order::Places;
use super::paint::TEE_MM;
use super::parts::{Join, Parts, Stand, Thing};
use super::seats::Seat;
use super::ways::Way;
use crate::elevation::{LABEL, NAME};
use crate::schematic::symbols::Turn;

/// The sign of a vessel's free surface, as the elevation draws it.
fn surface(stand: &Stand, middle_mm: f64) -> Area {
    let water_mm = match stand.thing {
        Thing::Vessel { water_mm, .. } => water_mm,
        _ => stand.high_mm,
    };
    Area {
        across: (
            middle_mm - 0.5 * stand.half_mm - 1.4,
            middle_mm - 0.5 * stand.half_mm + 1.4,
        ),
        upright: (water_mm - 0.2, water_mm + 2.2),
    }
}

/// All names that find a place, and how many don't: nowhere, and nowhere near.
pub(super) fn names(
    station: &Station,
    parts: &Parts,
    places: &Places,
    (ways, seats): (&[Way], &[Seat]),
    (width_mm, room_mm, top_mm): (f64, f64, f64),
) -> (Vec<Named>, [usize; 2]) {
    let spare_mm = 0.5 * (room_mm - width_mm);
    let mut taken: Vec<Area> = ways
        .iter()
        .flat_map(|way| stretches(way).chain(drops(way)).map(area_of))
        .collect();
    taken.extend(seats.iter().map(|seat| seat.area));
    let (mut wanted, mut bodies) = (Vec::new(), Vec::new());
    for (stand, middle) in parts.stands.iter().zip(&places.middle_mm) {
        let (left, right) = (middle - stand.half_mm, middle + stand.half_mm);
        let own = Area {
            across: (left, right),
            upright: (stand.low_mm, stand.high_mm),
        };
        let wall = |x: f64, from: f64, to: f64| area_of(((x, from), (x, to)));
        match stand.thing {
            Thing::Vessel { .. } => {
                taken.extend([wall(left, 0.0, stand.high_mm), wall(right, 0.0, stand.high_mm)]);
                taken.push(area_of(((left, stand.low_mm), (right, stand.low_mm))));
                taken.push(surface(stand, *middle));
                bodies.push(own);
            }
            Thing::Joints => {
                let tee =
                    |end: &Join| matches!(end, Join::Joint { .. }).then(|| end.height_mm(&parts.stands));
                let here = parts.pieces.iter().flat_map(|piece| &piece.ends);
                let here = here.filter(|end| core::ptr::eq(&parts.stands[end.stand()], stand));
                taken.extend(
                    here.filter_map(tee)
                        .map(|height| Area::about((*middle, height), (TEE_MM, TEE_MM))),
                );
                continue;
            }
            Thing::Tank(_) => {}
            Thing::Draw { foot_mm, .. } => {
                taken.push(own);
                if foot_mm > 0.0 {
                    taken.extend([wall(left, 0.0, foot_mm), wall(right, 0.0, foot_mm)]);
                }
            }
            Thing::Pump(_) | Thing::Purifier => taken.push(own),
        }
        let is_vessel = matches!(stand.thing, Thing::Vessel { .. });
        let named = match stand.thing {
            Thing::Draw {
                container_mm,
                foot_mm,
                ..
            } => Area {
                upright: (foot_mm, foot_mm + container_mm),
                ..own
            },
            _ => own,
        };
        wanted.push(Wanted {
            path: stand.path.clone(),
            name: stand.name.clone(),
            style: if is_vessel { NAME } else { LABEL },
            area: named,
            within: is_vessel,
            is_level: !matches!(stand.thing, Thing::Draw { .. }),
        });
    }
    for seat in seats {
        let own = &station.valves[seat.valve];
        wanted.push(Wanted {
            path: format!("valves.{}", own.name),
            name: spoken(&own.name),
            style: LABEL,
            area: seat.area,
            within: false,
            is_level: matches!(seat.turn, Turn::Left | Turn::Right),
        });
    }
    let mut names = Names {
        paper: Area {
            across: (-spare_mm, width_mm + spare_mm),
            upright: (0.7, top_mm),
        },
        symbols: wanted
            .iter()
            .filter(|own| !own.within)
            .map(|own| own.area)
            .collect(),
        taken,
        bodies,
        leaders: Vec::new(),
        set: Vec::new(),
    };
    let unnamed = wanted.iter().filter(|own| !names.set(own)).count();
    let far = names.set.iter().filter(|own| own.leader.is_some()).count();
    (names.set, [unnamed, far])
}
