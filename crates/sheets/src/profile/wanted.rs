//! What of a profile is named, and what its names keep off.

use station::{Station, spoken};

use super::area::{Area, area_of, drops, stretches};
use super::names::{Named, Names, Wanted};
use super::order::Places;
use super::paint::{TEE_MM, tip};
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

/// All names with their places.
pub(super) fn names(
    station: &Station,
    parts: &Parts,
    places: &Places,
    (ways, seats): (&[Way], &[Seat]),
    (width_mm, room_mm, top_mm): (f64, f64, f64),
) -> Labels {
    let spare_mm = 0.5 * (room_mm - width_mm);
    let mut taken: Vec<Area> = ways
        .iter()
        .flat_map(|way| stretches(way).chain(drops(way)).map(area_of))
        .collect();
    let taken_pipes = taken.clone();
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
            Thing::Tank => taken.push(tip(stand, *middle)),
            Thing::Draw { foot_mm, .. } => {
                taken.push(own);
                if foot_mm > 0.0 {
                    taken.extend([wall(left, 0.0, foot_mm), wall(right, 0.0, foot_mm)]);
                }
            }
            Thing::Pump | Thing::Purifier => taken.push(own),
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
            Thing::Tank => tip(stand, *middle),
            _ => own,
        };
        wanted.push(Wanted {
            path: stand.path.clone(),
            name: stand.name.clone(),
            style: if is_vessel { NAME } else { LABEL },
            area: named,
            within: is_vessel,
            crosses: 1,
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
            crosses: 1,
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
        pipes: taken_pipes,
        taken,
        bodies,
        leaders: Vec::new(),
        set: Vec::new(),
    };
    // What finds no place for its name has a number, and stands below.
    let mut legend = Vec::new();
    let mut unnamed = 0;
    for own in &wanted {
        if names.set(own) {
            continue;
        }
        let number = Wanted {
            name: (legend.len() + 1).to_string(),
            style: LABEL,
            within: false,
            crosses: 3,
            ..own.clone()
        };
        match names.set(&number) {
            true => legend.push(own.name.clone()),
            false => unnamed += 1,
        }
    }
    let far = names.set.iter().filter(|own| own.leader.is_some()).count();
    Labels {
        far: far + 2 * legend.len(),
        names: names.set,
        legend,
        unnamed,
    }
}

/// Names with their places.
pub(super) struct Labels {
    pub(super) names: Vec<Named>,
    /// What the numbers stand for, from 1.
    pub(super) legend: Vec<String>,
    /// Names that found no place, not even for a number.
    pub(super) unnamed: usize,
    /// How many stand further off, a number for two.
    pub(super) far: usize,
}
