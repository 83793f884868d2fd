//! From the station to what stands there and what joins it.

use station::plumbing::End;
use station::{Station, shown, spoken};

use super::parts::{BELOW_TAP_MM, Join, PUMP_MM, PURIFIER_MM, Parts, Piece, SPOUT_MM, Stand, Thing};
use crate::elevation::cell::Cell;
use crate::elevation::vessel::{figure, half_width};

/// Least half width of a container below a tap.
const CONTAINER_MM: f64 = 2.4;
/// White between a pump and the floor, where it is high enough.
const FLOOR_MM: f64 = 0.4;
/// Half of what the end of a line at a tank takes across.
const TANK_MM: f64 = 2.0;
/// Over a rim a pipe has so much air at the least.
const OVER_MM: f64 = 3.2;
/// A container is no more than so much higher than wide (common practice, no source).
const SLENDER: f64 = 1.2;
/// A vessel that narrows to less than this share of its width has its outlet in its tip.
const TIP: f64 = 0.25;
/// Joints nearer to each other than this don't stand on one riser.
const APART_MM: f64 = 4.0;

/// Collects it.
struct Maker<'s> {
    station: &'s Station,
    cells: &'s [Cell],
    mm_per_m: f64,
    parts: Parts,
    /// Of each of the station's ends that stands by itself, its stand.
    ends: Vec<(End, usize)>,
}

/// Everything that lines join; nothing where a line has an end that can't be drawn.
pub(super) fn parts(station: &Station, cells: &[Cell], mm_per_m: f64) -> Option<Parts> {
    let mut maker = Maker {
        station,
        cells,
        mm_per_m,
        parts: Parts::default(),
        ends: Vec::new(),
    };
    maker.vessels();
    maker.pumps();
    maker.draws();
    maker.tees();
    for line in 0..station.plumbing.lines.len() {
        maker.line(line)?;
    }
    maker.purifier();
    let parts = maker.parts;
    // A pit has no place on this paper.
    let heights = parts
        .pieces
        .iter()
        .flat_map(|own| own.ends.map(|end| end.height_mm(&parts.stands)));
    (heights.fold(f64::INFINITY, f64::min) >= 0.0).then_some(parts)
}

impl Maker<'_> {
    fn add(
        &mut self,
        thing: Thing,
        path: String,
        name: String,
        half_mm: f64,
        (low_mm, high_mm): (f64, f64),
    ) -> usize {
        self.parts.stands.push(Stand {
            thing,
            path,
            name,
            half_mm,
            low_mm,
            high_mm,
        });
        self.parts.stands.len() - 1
    }

    fn vessels(&mut self) {
        for (cell, own) in self.cells.iter().enumerate() {
            let Some(at) = self
                .station
                .vessels
                .iter()
                .position(|vessel| vessel.name == own.name)
            else {
                continue;
            };
            let low_mm = own.floor_m * self.mm_per_m;
            let reach = (low_mm, low_mm + own.height_m * self.mm_per_m);
            let path = format!("vessels.{}", own.name);
            let stand = self.add(
                Thing::Vessel {
                    cell,
                    water_mm: low_mm + own.water_m * self.mm_per_m,
                },
                path,
                shown(&own.name),
                own.outline
                    .iter()
                    .map(|(_, half)| half * self.mm_per_m)
                    .fold(0.0, f64::max),
                reach,
            );
            self.ends.push((End::Vessel(at), stand));
        }
    }

    fn pumps(&mut self) {
        for (at, pump) in self.station.pumps.iter().enumerate() {
            let height_m = pump.fields.height.value.m();
            // Its axis is at its height: the symbol of a low pump is smaller.
            let middle_mm = height_m * self.mm_per_m;
            let radius_mm = (middle_mm - FLOOR_MM).clamp(PUMP_MM.0, PUMP_MM.1);
            let reach = (middle_mm - radius_mm, middle_mm + radius_mm);
            let path = format!("pumps.{}", pump.name);
            let name = self.at_height(spoken(&pump.name), height_m);
            let stand = self.add(Thing::Pump, path, name, radius_mm, reach);
            self.ends.push((End::Pump(at), stand));
        }
    }

    /// A name with the height of what it names.
    fn at_height(&self, name: String, height_m: f64) -> String {
        format!("{name}, {}", figure(self.station, height_m))
    }

    fn draws(&mut self) {
        for (at, draw) in self.station.draw_points.iter().enumerate() {
            let height_m = draw.fields.height.value.m();
            let mouth_mm = height_m * self.mm_per_m;
            let volume_mm3 = draw.fields.container.value.m3() * self.mm_per_m * self.mm_per_m * self.mm_per_m;
            let round = |across_mm: f64| core::f64::consts::PI / 4.0 * across_mm * across_mm;
            let room_mm = (mouth_mm - BELOW_TAP_MM).max(0.6);
            // As high as there is room, and then as wide as it must be for what it holds.
            let container_mm = (SLENDER * libm::cbrt(volume_mm3 / (SLENDER * round(1.0)))).min(room_mm);
            let half_mm = (0.5 * libm::sqrt(volume_mm3 / (container_mm * round(1.0)))).max(CONTAINER_MM);
            let path = format!("draw_points.{}", draw.name);
            let thing = Thing::Draw {
                container_mm,
                foot_mm: (room_mm - container_mm).max(0.0),
            };
            let name = self.at_height(spoken(&draw.name), height_m);
            let stand = self.add(thing, path, name, half_mm, (0.0, mouth_mm + SPOUT_MM + 0.5));
            self.ends.push((End::Draw(at), stand));
        }
    }

    /// Tees that a line joins at different heights stand on one riser.
    fn tees(&mut self) {
        let (station, mm_per_m) = (self.station, self.mm_per_m);
        let height_mm = |at: usize| station.tees[at].fields.height.value.m() * mm_per_m;
        let count = self.station.tees.len();
        let mut riser: Vec<usize> = (0..count).collect();
        for joined in &self.station.plumbing.lines {
            let (End::Tee(from), End::Tee(to)) = (joined.from, joined.to) else {
                continue;
            };
            let (one, other) = (riser[from], riser[to]);
            let apart = (0..count).filter(|at| riser[*at] == one).all(|a| {
                let others = (0..count).filter(|at| riser[*at] == other);
                others
                    .into_iter()
                    .all(|b| (height_mm(a) - height_mm(b)).abs() >= APART_MM)
            });
            if one != other && apart {
                riser
                    .iter_mut()
                    .filter(|own| **own == other)
                    .for_each(|own| *own = one);
            }
        }
        for first in 0..count {
            let own: Vec<usize> = (0..count).filter(|at| riser[*at] == first).collect();
            if own.is_empty() {
                continue;
            }
            let heights = own.iter().map(|at| height_mm(*at));
            let reach = heights.fold((f64::INFINITY, 0.0_f64), |(low, high), own| {
                (low.min(own), high.max(own))
            });
            let stand = self.add(
                Thing::Joints,
                String::new(),
                String::new(),
                0.8,
                (reach.0 - 0.8, reach.1 + 0.8),
            );
            self.ends.extend(own.into_iter().map(|at| (End::Tee(at), stand)));
        }
    }

    fn line(&mut self, line: usize) -> Option<()> {
        let joined = self.station.plumbing.lines[line];
        let fields = &self.station.lines[line].fields;
        let mm_per_m = self.mm_per_m;
        let mm = |height_m: f64| height_m * mm_per_m;
        let crest_mm = fields.crest.as_ref().map(|crest| mm(crest.value.m()));
        let ends_mm = self.station.line_ends_m(line).map(|end| end.map(mm));
        let from = self.join(joined.from, (ends_mm[0], ends_mm[1]), crest_mm, true)?;
        let to = self.join(joined.to, (ends_mm[1], ends_mm[0]), crest_mm, false)?;
        let to = match (to, fields.to_level.is_some(), crest_mm) {
            // What ends below the water without rising over the rim comes through the wall.
            (Join::Rim { stand, end_mm, .. }, true, None)
                if ends_mm[0].is_none_or(|other| other < self.parts.stands[stand].high_mm) =>
            {
                self.wall(stand, end_mm)
            }
            (to, ..) => to,
        };
        let path = format!("lines.{}", self.station.lines[line].name);
        let hole = fields.siphon_break.as_ref();
        let hole = hole.map(|hole| (mm(hole.value.m()), format!("{path}.siphon_break")));
        self.parts.pieces.push(Piece {
            ends: [from, to],
            path,
            valves: self.station.plumbing.valves_of(line).collect(),
            hole,
        });
        Some(())
    }

    /// How a line ends at something, given its own height there and at its other end.
    fn join(
        &mut self,
        end: End,
        (own_mm, other_mm): (Option<f64>, Option<f64>),
        crest_mm: Option<f64>,
        first: bool,
    ) -> Option<Join> {
        if let End::Tank(at) = end {
            let end_mm = own_mm.or(crest_mm).or(other_mm)?;
            let over_mm = crest_mm.map_or(end_mm, |crest| crest.max(end_mm));
            let name = self.at_height(shown(&self.station.tanks[at].name), end_mm / self.mm_per_m);
            let path = format!("tanks.{}", self.station.tanks[at].name);
            let stand = self.add(Thing::Tank, path, name, TANK_MM, (end_mm - 1.0, over_mm));
            return Some(Join::Tank {
                stand,
                over_mm,
                end_mm,
            });
        }
        let (_, stand) = *self.ends.iter().find(|(own, _)| *own == end)?;
        Some(match end {
            End::Pump(_) => Join::Pump { stand, out: first },
            // Its mouth is at its height, a bend above it.
            End::Draw(_) => Join::Tap {
                stand,
                at_mm: own_mm? + SPOUT_MM,
            },
            End::Tee(tee) => Join::Joint {
                stand,
                at_mm: own_mm?,
                tee,
            },
            End::Vessel(_) | End::Tank(_) => {
                let rim_mm = self.parts.stands[stand].high_mm;
                match first && crest_mm.is_none_or(|crest| crest < rim_mm) {
                    true => self.wall(stand, own_mm?),
                    false => self.rim(stand, crest_mm.unwrap_or(rim_mm).max(rim_mm + OVER_MM), own_mm?),
                }
            }
        })
    }

    fn rim(&self, stand: usize, over_mm: f64, end_mm: f64) -> Join {
        Join::Rim {
            stand,
            over_mm,
            end_mm,
            half_mm: self.half_mm(stand, end_mm),
        }
    }

    /// Half of a vessel's width at a height.
    fn half_mm(&self, stand: usize, at_mm: f64) -> f64 {
        let own = &self.parts.stands[stand];
        match own.thing {
            Thing::Vessel { cell, .. } => {
                let level_m = (at_mm - own.low_mm) / self.mm_per_m;
                half_width(&self.cells[cell].outline, level_m) * self.mm_per_m
            }
            _ => own.half_mm,
        }
    }

    fn wall(&self, stand: usize, at_mm: f64) -> Join {
        let own = &self.parts.stands[stand];
        let half_mm = self.half_mm(stand, at_mm);
        match half_mm < TIP * own.half_mm {
            true => Join::Tip {
                stand,
                at_mm: own.low_mm,
            },
            false => Join::Wall {
                stand,
                at_mm,
                half_mm,
            },
        }
    }

    /// The purifier, and its product over the rim of each vessel that it fills.
    fn purifier(&mut self) {
        let Some(purifier) = &self.station.purifier else {
            return;
        };
        let filled = self.station.filled().into_iter();
        let filled: Vec<usize> = filled
            .filter_map(|at| self.ends.iter().find(|(own, _)| *own == End::Vessel(at)))
            .map(|(_, stand)| *stand)
            .collect();
        let middle_mm = (purifier.fields.height.value.m() * self.mm_per_m).max(PURIFIER_MM.1 + 0.6);
        let reach = (middle_mm - PURIFIER_MM.1, middle_mm + PURIFIER_MM.1);
        let stand = self.add(
            Thing::Purifier,
            "purifier".to_owned(),
            "purifier".to_owned(),
            PURIFIER_MM.0,
            reach,
        );
        for vessel in filled {
            let rim_mm = self.parts.stands[vessel].high_mm;
            self.parts.pieces.push(Piece {
                ends: [
                    Join::Purifier { stand },
                    self.rim(vessel, rim_mm + OVER_MM, rim_mm),
                ],
                path: "purifier".to_owned(),
                valves: Vec::new(),
                hole: None,
            });
        }
    }
}
