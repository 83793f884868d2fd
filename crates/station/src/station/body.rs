//! The body of a vessel: its dimensions, as its shape wants them.

use core::ops::Range;

use physics::vessel::{Dimensions, Shape, TableRow};
use toml::de::DeTable;

use super::{Dimension, Vessel};
use crate::file::{Declared, SectionReader, did_you_mean, lower_first};
use crate::quantity::{Kind, Length, Quantity, read_amount};
use crate::register::{Field, Form, Origin};
use crate::sections::{ShapeWord, VesselFields, dimensions_of};

pub(super) fn item_shape(entry: &DeTable<'_>) -> Option<ShapeWord> {
    entry
        .get("shape")
        .and_then(|value| value.get_ref().as_str())
        .and_then(ShapeWord::from_word)
}

/// A dimension that belongs to another shape.
pub(super) fn other_shape(key: &str, shape: Option<ShapeWord>) -> Option<String> {
    let shape = shape?;
    let variants = VesselFields::SPEC.variants?;
    let (other, _) = variants
        .cases
        .iter()
        .find(|(_, fields)| fields.iter().any(|spec| spec.key == key))?;
    let own: Vec<&str> = dimensions_of(shape).iter().map(|spec| spec.key).collect();
    let near = did_you_mean(key, &own);
    Some(match near.strip_prefix("did") {
        Some(_) => near,
        None => format!(
            "`{key}` belongs to shape \"{other}\"; \"{}\" has {}",
            shape.word(),
            own.join(", ")
        ),
    })
}

pub(super) fn read_vessel(
    reader: &mut SectionReader<'_, '_>,
    name: &str,
    span: Range<usize>,
) -> Option<Vessel> {
    let fields = VesselFields::read(reader);
    // The shape alone is enough to look at the dimensions, so that their faults come out too.
    let shape_word = fields.as_ref().map(|fields| fields.shape.value)?;
    let mut dimensions = Some(Vec::new());
    for spec in dimensions_of(shape_word) {
        let read = match spec.form {
            Form::LevelTable => read_table(reader, spec),
            _ => reader
                .required(spec, &Declared::<Length>::new())
                .map(|field| vec![dimension(spec.key, Kind::Length, field)]),
        };
        match (read, &mut dimensions) {
            (Some(read), Some(all)) => all.extend(read),
            _ => dimensions = None,
        }
    }
    let (fields, dimensions) = (fields?, dimensions?);
    match Shape::new(body(shape_word, &dimensions)) {
        Ok(shape) => Some(Vessel {
            name: name.to_owned(),
            fields,
            dimensions,
            shape,
            span,
        }),
        Err(errors) => {
            for error in errors {
                let place = error
                    .row()
                    .map(|row| row * 2)
                    .and_then(|index| dimensions.get(index))
                    .or_else(|| {
                        let key = error.place().replace("_m", "");
                        dimensions.iter().find(|dimension| {
                            key.starts_with(&dimension.key) || dimension.key.starts_with(&key)
                        })
                    });
                let at = place
                    .and_then(|dimension| dimension.field.span())
                    .unwrap_or_else(|| span.clone());
                reader.fault(
                    at,
                    lower_first(&error.to_string()),
                    format!("the vessel `{name}`"),
                    error.mend(),
                );
            }
            None
        }
    }
}

fn dimension<T: Quantity>(key: &str, kind: Kind, field: Field<T>) -> Dimension {
    let Field {
        value,
        spread,
        origin,
        path,
    } = field;
    Dimension {
        key: key.to_owned(),
        kind,
        field: Field {
            value: value.si(),
            spread,
            origin,
            path,
        },
    }
}

fn read_table(
    reader: &mut SectionReader<'_, '_>,
    spec: &crate::register::FieldSpec,
) -> Option<Vec<Dimension>> {
    let (pairs, span) = reader.pairs(spec)?;
    let currency = reader.context().currency.clone();
    let mut out = Vec::with_capacity(2 * pairs.len());
    let mut sound = true;
    for (row, (level, volume)) in pairs.iter().enumerate() {
        for (key, text, kind) in [("level", level, Kind::Length), ("volume", volume, Kind::Volume)] {
            match read_amount(text, kind, &currency) {
                Ok(amount) => out.push(Dimension {
                    key: format!("{key} {}", row + 1),
                    kind,
                    field: Field {
                        value: amount.si,
                        spread: amount.spread,
                        origin: Origin::Given(span.clone()),
                        path: reader.path_of(spec.key),
                    },
                }),
                Err(fault) => {
                    sound = false;
                    reader.fault(
                        span.clone(),
                        format!("row {} of the table: {}", row + 1, fault.what),
                        "",
                        fault.mend,
                    );
                }
            }
        }
    }
    sound.then_some(out)
}

fn body(shape: ShapeWord, d: &[Dimension]) -> Dimensions {
    let v = |index: usize| d.get(index).map_or(f64::NAN, |dimension| dimension.field.value);
    match shape {
        ShapeWord::Cylinder => Dimensions::Cylinder {
            diameter_m: v(0),
            height_m: v(1),
        },
        ShapeWord::TaperedRound => Dimensions::TaperedRound {
            diameter_bottom_m: v(0),
            diameter_top_m: v(1),
            height_m: v(2),
        },
        ShapeWord::Box => Dimensions::Box {
            length_m: v(0),
            width_m: v(1),
            height_m: v(2),
        },
        ShapeWord::TaperedBox => Dimensions::TaperedBox {
            length_bottom_m: v(0),
            width_bottom_m: v(1),
            length_top_m: v(2),
            width_top_m: v(3),
            height_m: v(4),
        },
        ShapeWord::HorizontalCylinder => Dimensions::HorizontalCylinder {
            diameter_m: v(0),
            length_m: v(1),
        },
        ShapeWord::ConeBottom => Dimensions::ConeBottom {
            cone_outlet_diameter_m: v(0),
            diameter_m: v(1),
            cone_height_m: v(2),
            height_m: v(3),
        },
        ShapeWord::Measured => Dimensions::Table {
            rows: d
                .chunks_exact(2)
                .map(|row| TableRow {
                    level_m: row[0].field.value,
                    volume_m3: row[1].field.value,
                })
                .collect(),
        },
    }
}
