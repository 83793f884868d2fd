//! A vessel's shape as figures: volume of a level, level of a volume.

use station::Vessel;
use station::quantity::{Kind, Spread};
use station::sections::ShapeWord;

use crate::method::{Method, Refusal};
use crate::methods as m;
use crate::sheet::{NodeId, Sheet};

/// The method that gives volume from level, for a shape.
pub(crate) fn volume_method(shape: ShapeWord) -> &'static Method {
    match shape {
        ShapeWord::Cylinder => &m::VOLUME_CYLINDER,
        ShapeWord::TaperedRound => &m::VOLUME_TAPERED_ROUND,
        ShapeWord::Box => &m::VOLUME_BOX,
        ShapeWord::TaperedBox => &m::VOLUME_TAPERED_BOX,
        ShapeWord::HorizontalCylinder => &m::VOLUME_HORIZONTAL_CYLINDER,
        ShapeWord::ConeBottom => &m::VOLUME_CONE_BOTTOM,
        ShapeWord::Measured => &m::VOLUME_MEASURED,
    }
}

/// The method that gives level from volume, for a shape.
pub(crate) fn level_method(shape: ShapeWord) -> &'static Method {
    match shape {
        ShapeWord::Cylinder => &m::LEVEL_CYLINDER,
        ShapeWord::TaperedRound => &m::LEVEL_TAPERED_ROUND,
        ShapeWord::Box => &m::LEVEL_BOX,
        ShapeWord::TaperedBox => &m::LEVEL_TAPERED_BOX,
        ShapeWord::HorizontalCylinder => &m::LEVEL_HORIZONTAL_CYLINDER,
        ShapeWord::ConeBottom => &m::LEVEL_CONE_BOTTOM,
        ShapeWord::Measured => &m::LEVEL_MEASURED,
    }
}

/// The dimensions of a vessel as inputs, and `last` behind them.
pub(crate) fn shape_figure(
    sheet: &mut Sheet,
    vessel: &Vessel,
    method: &'static Method,
    last: NodeId,
    key: String,
    title: String,
) -> Result<NodeId, Refusal> {
    let measured = vessel.fields.shape.value == ShapeWord::Measured;
    let mut inputs = Vec::with_capacity(vessel.dimensions.len() + 1);
    let mut names = Vec::new();
    for dimension in &vessel.dimensions {
        // The rows of a measured table share a path; each is a leaf of its own.
        let mut field = dimension.field.clone();
        if measured {
            field.path = format!("{}.{}", field.path, dimension.key);
            names.push(dimension.key.clone());
        }
        inputs.push(sheet.field(&field, dimension.kind));
    }
    inputs.push(last);
    let id = sheet.figure(key, title, method, &inputs)?;
    if measured {
        names.push(method.inputs.last().copied().unwrap_or_default().to_owned());
        sheet.name_inputs(id, names);
    }
    Ok(id)
}

/// The node of the inner height: a dimension, or the last level of a measured table.
pub(crate) fn rim(sheet: &mut Sheet, vessel: &Vessel) -> NodeId {
    let measured = vessel.fields.shape.value == ShapeWord::Measured;
    let lying = vessel.fields.shape.value == ShapeWord::HorizontalCylinder;
    let found = match (measured, lying) {
        (true, _) => vessel.dimensions.iter().rev().find(|d| d.kind == Kind::Length),
        (_, true) => vessel.dimensions.iter().find(|d| d.key == "diameter"),
        _ => vessel.dimensions.iter().find(|d| d.key == "height"),
    };
    match found {
        Some(dimension) => {
            let mut field = dimension.field.clone();
            if measured {
                field.path = format!("{}.{}", field.path, dimension.key);
            }
            sheet.field(&field, Kind::Length)
        }
        None => sheet.assumed(
            &format!("vessels.{}.rim", vessel.name),
            vessel.height_m(),
            Kind::Length,
            Spread::NONE,
            "inner height",
        ),
    }
}
