//! What the tests of fresh water and moist air share: the rows of a reference table.

use std::collections::BTreeMap;

/// A row of a table, by column.
pub(crate) struct Row(BTreeMap<String, String>);

impl Row {
    /// The number in a column; nothing where the cell is blank.
    pub(crate) fn maybe(&self, column: &str) -> Option<f64> {
        let text = &self.0[column];
        (!text.is_empty()).then(|| text.parse().expect("the column holds numbers"))
    }

    /// The number in a column.
    pub(crate) fn number(&self, column: &str) -> f64 {
        self.maybe(column).expect("the cell isn't blank")
    }
}

/// The rows of a table in `validation/`.
pub(crate) fn rows(name: &str) -> Vec<Row> {
    let path = format!("{}/../../validation/{name}", env!("CARGO_MANIFEST_DIR"));
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .expect("the table is part of the repository");
    let header = reader.headers().expect("the table has a header").clone();
    let row = |row: csv::StringRecord| {
        Row(header
            .iter()
            .map(str::to_owned)
            .zip(row.iter().map(str::to_owned))
            .collect())
    };
    let records: Result<Vec<_>, _> = reader.records().collect();
    records
        .expect("the table is well formed")
        .into_iter()
        .map(row)
        .collect()
}
