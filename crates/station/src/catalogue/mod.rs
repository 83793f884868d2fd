//! Vessels as the trade sells them everywhere: plain shapes in plain sizes, by their inside.
//!
//! Owns: the list, and what a vessel of it comes to as values of a vessel's section, so that a vessel of a file can be
//! replaced by one of these. Must not know: makers, prices, where a station puts it.
//!
//! Every number is common practice, no source: sizes as they are usual, each inside a hair larger than what it is sold as.
//! Whoever buys one measures it and writes down what the tape says.

mod list;

use physics::vessel::{Dimensions, Shape};

use crate::edit::Edit;
use crate::quantity::{Currency, GALLON_M3, Kind, UnitSystem, format_plain, format_tape};
use crate::sections::{ShapeWord, Wall};

pub use list::CATALOGUE;

/// A vessel of the catalogue.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CatalogueVessel {
    /// What it is, without its size: `upright tank`.
    pub what: &'static str,
    /// What it is made for, in a few words.
    pub made_for: &'static str,
    /// Its inside.
    pub body: Body,
    /// What its seller calls it, m³.
    pub nominal_m3: f64,
    /// Thickness of its wall, m.
    pub wall_m: f64,
    /// Its mass when empty, kg.
    pub empty_kg: f64,
    /// The wall where a bulkhead goes through.
    pub bulkhead_wall: Wall,
}

/// The inside of a vessel of the catalogue, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Body {
    /// Upright and round.
    Cylinder {
        /// Inner diameter.
        diameter_m: f64,
        /// Floor to rim.
        height_m: f64,
    },
    /// Round, a little wider at the top.
    TaperedRound {
        /// Inner diameter at the floor.
        diameter_bottom_m: f64,
        /// Inner diameter at the rim.
        diameter_top_m: f64,
        /// Floor to rim.
        height_m: f64,
    },
    /// Rectangular.
    Box {
        /// Inner length.
        length_m: f64,
        /// Inner width.
        width_m: f64,
        /// Floor to rim.
        height_m: f64,
    },
    /// Round above a cone.
    ConeBottom {
        /// Inner diameter of the outlet at the tip.
        cone_outlet_diameter_m: f64,
        /// Inner diameter.
        diameter_m: f64,
        /// Height of the cone.
        cone_height_m: f64,
        /// Tip of the cone to rim.
        height_m: f64,
    },
}

impl Body {
    /// The word of its shape in a file.
    pub fn word(self) -> ShapeWord {
        match self {
            Self::Cylinder { .. } => ShapeWord::Cylinder,
            Self::TaperedRound { .. } => ShapeWord::TaperedRound,
            Self::Box { .. } => ShapeWord::Box,
            Self::ConeBottom { .. } => ShapeWord::ConeBottom,
        }
    }

    /// Its dimensions by their keys in a file, m.
    pub fn dimensions_m(self) -> Vec<(&'static str, f64)> {
        match self {
            Self::Cylinder { diameter_m, height_m } => vec![("diameter", diameter_m), ("height", height_m)],
            Self::TaperedRound {
                diameter_bottom_m,
                diameter_top_m,
                height_m,
            } => vec![
                ("diameter_bottom", diameter_bottom_m),
                ("diameter_top", diameter_top_m),
                ("height", height_m),
            ],
            Self::Box {
                length_m,
                width_m,
                height_m,
            } => vec![("length", length_m), ("width", width_m), ("height", height_m)],
            Self::ConeBottom {
                cone_outlet_diameter_m,
                diameter_m,
                cone_height_m,
                height_m,
            } => vec![
                ("cone_outlet_diameter", cone_outlet_diameter_m),
                ("diameter", diameter_m),
                ("cone_height", cone_height_m),
                ("height", height_m),
            ],
        }
    }

    fn dimensions(self) -> Dimensions {
        match self {
            Self::Cylinder { diameter_m, height_m } => Dimensions::Cylinder { diameter_m, height_m },
            Self::TaperedRound {
                diameter_bottom_m,
                diameter_top_m,
                height_m,
            } => Dimensions::TaperedRound {
                diameter_bottom_m,
                diameter_top_m,
                height_m,
            },
            Self::Box {
                length_m,
                width_m,
                height_m,
            } => Dimensions::Box {
                length_m,
                width_m,
                height_m,
            },
            Self::ConeBottom {
                cone_outlet_diameter_m,
                diameter_m,
                cone_height_m,
                height_m,
            } => Dimensions::ConeBottom {
                cone_outlet_diameter_m,
                diameter_m,
                cone_height_m,
                height_m,
            },
        }
    }
}

impl CatalogueVessel {
    /// What it is called: `upright tank of 200 L`.
    pub fn name(&self, units: UnitSystem) -> String {
        // A size in litres makes no round gallons: whole ones name it.
        let named_m3 = match units {
            UnitSystem::Si => self.nominal_m3,
            UnitSystem::Us => (self.nominal_m3 / GALLON_M3).round() * GALLON_M3,
        };
        format!("{} of {}", self.what, volume(named_m3, units))
    }

    /// What it is sold as, in these units: `200 L`, `52.8 gal`.
    pub fn nominal(&self, units: UnitSystem) -> String {
        volume(self.nominal_m3, units)
    }

    /// Its inside, as a shape that tells volumes and levels; nothing where it is none, which no vessel of the list is.
    pub fn shape(&self) -> Option<Shape> {
        Shape::new(self.body.dimensions()).ok()
    }

    /// Inner height, floor to rim, m.
    pub fn height_m(&self) -> f64 {
        let dimensions = self.body.dimensions_m();
        dimensions
            .iter()
            .find(|(key, _)| *key == "height")
            .map_or(0.0, |(_, height_m)| *height_m)
    }

    /// Length and width of the floor that it takes, walls and all, m; the longer first.
    pub fn plan_m(&self) -> [f64; 2] {
        let [a, b] = match self.body {
            Body::Cylinder { diameter_m, .. } | Body::ConeBottom { diameter_m, .. } => [diameter_m; 2],
            Body::TaperedRound { diameter_top_m, .. } => [diameter_top_m; 2],
            Body::Box {
                length_m, width_m, ..
            } => [length_m, width_m],
        };
        [a.max(b), a.min(b)].map(|inner_m| inner_m + 2.0 * self.wall_m)
    }

    /// The values that stand in a vessel's section for it, each as a key and its text in the notation of the file, lengths as
    /// one marks them in these units.
    pub fn values(&self, units: UnitSystem) -> Vec<(&'static str, String)> {
        let quoted = |text: &str| format!("\"{text}\"");
        let mut out = vec![("shape", quoted(self.body.word().word()))];
        out.extend(
            self.body
                .dimensions_m()
                .into_iter()
                .map(|(key, length_m)| (key, quoted(&format_tape(length_m, units)))),
        );
        let mass = format_plain(Kind::Mass, self.empty_kg, units, &Currency::default());
        // A wall is told in millimetres everywhere: an eighth of an inch is half of it.
        let wall = format_tape(self.wall_m, UnitSystem::Si);
        out.extend([
            ("nominal_volume", quoted(&self.nominal(units))),
            ("wall_thickness", quoted(&wall)),
            ("empty_mass", quoted(&mass)),
            ("made_for_liquids", "true".to_owned()),
            ("drinking_water_rated", "true".to_owned()),
            ("light", quoted("opaque")),
            ("bulkhead_wall", quoted(self.bulkhead_wall.word())),
        ]);
        out
    }

    /// Edits that put this vessel in place of one of a file, which keeps its name, its water and its marks: those of
    /// [`values`](Self::values), and the dimensions of the old shape taken out.
    pub fn replaces(&self, text: &str, vessel: &str, units: UnitSystem) -> Vec<Edit> {
        let path = |key: &str| format!("vessels.{vessel}.{key}");
        let values = self.values(units);
        let mut edits: Vec<Edit> = old_dimensions(text, vessel)
            .into_iter()
            .filter(|old| !values.iter().any(|(key, _)| key == old))
            .map(|old| Edit {
                path: path(old),
                text: String::new(),
            })
            .collect();
        edits.extend(values.into_iter().map(|(key, text)| Edit {
            path: path(key),
            text,
        }));
        edits
    }
}

fn volume(volume_m3: f64, units: UnitSystem) -> String {
    format_plain(Kind::Volume, volume_m3, units, &Currency::default())
}

/// The dimensions that a vessel of a file has, of whatever shape.
fn old_dimensions(text: &str, vessel: &str) -> Vec<&'static str> {
    let Some(variants) = crate::sections::VesselFields::SPEC.variants else {
        return Vec::new();
    };
    let written = crate::edit::Written::of(text);
    let mut keys: Vec<&'static str> = variants
        .cases
        .iter()
        .flat_map(|(_, fields)| fields.iter().map(|field| field.key))
        .filter(|key| written.value(&format!("vessels.{vessel}.{key}")).is_some())
        .collect();
    keys.sort_unstable();
    keys.dedup();
    keys
}

#[cfg(test)]
mod tests;
