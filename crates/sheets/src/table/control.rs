//! The list of a control's inputs and outputs as a table.

use station::control::take_away::{Point, TakeAway};

use super::{Cell, Table};

/// All inputs, thermometers and outputs, with the variable that each is in the program text.
pub fn control_table(control: &TakeAway) -> Table {
    let heads = [
        "tag",
        "channel",
        "what",
        "where",
        "contact",
        "closed, or on, while",
        "why",
        "voltage",
        "broken wire",
        "variable",
    ];
    let variables = &control.structured_text.points;
    let row = |(point, variable): (&Point, &String)| {
        [
            &*point.tag,
            &point.channel,
            &point.what,
            &point.place,
            point.contact.words(),
            &point.closed_while,
            point.why,
            point.voltage,
            point.broken_wire,
            variable,
        ]
        .map(|words| Cell::Words(words.to_owned()))
        .to_vec()
    };
    Table {
        name: "control",
        title: "Inputs and outputs of the control",
        heads: heads.map(str::to_owned).to_vec(),
        rows: control.points.iter().zip(variables).map(row).collect(),
    }
}
