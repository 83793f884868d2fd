//! The printed sheets on a station left alone: the answer, why, the fault tree, the tables.

use proof::Absence;
use station::Station;

use super::{BELOW_MM, BODY, STRONG, printed_table, section};
use crate::drawing::EDGE_MM;
use crate::fault_tree::fault_tree;
use crate::flow::{Strip, drawing, paragraph, sticking};
use crate::paper::{FOOT_MM, HEAD_MM, Paper};
use crate::table::{Table, absence_tables};

/// All of it but what one looks up.
pub(super) fn away(station: &Station, absence: &Absence, paper: Paper, strips: &mut Vec<Strip>) {
    let width = paper.inner_mm();
    strips.extend(section("While nobody is there", width));
    strips.extend(sticking(paragraph(&absence.answer, STRONG, 0.0, width, BELOW_MM)));
    for reason in &absence.reasons {
        strips.extend(paragraph(reason, BODY, 0.0, width, 1.2));
    }
    let mut tables = absence_tables(station, absence, false);
    tables.retain(|table| !table.is_annex());
    // The tree fills a sheet: what explains it stands before it, what one takes along behind.
    let (sheet, read): (Vec<Table>, Vec<Table>) = tables.into_iter().partition(Table::is_filled_in);
    for table in &read {
        strips.extend(set(table, width));
    }
    strips.extend(tree(station, absence, paper));
    for table in &sheet {
        strips.extend(set(table, width));
    }
    strips.extend(paragraph(absence.caution, BODY, 0.0, width, BELOW_MM));
}

fn set(table: &Table, width: f64) -> Vec<Strip> {
    let mut strips = section(table.title, width);
    strips.extend(printed_table(table, width));
    strips
}

/// The fault tree under its heading, whole on a sheet.
fn tree(station: &Station, absence: &Absence, paper: Paper) -> Vec<Strip> {
    let width = paper.inner_mm();
    let room_mm = paper.height_mm() - HEAD_MM - FOOT_MM;
    let heading = section("What leads to water on the floor", width);
    let left_mm = room_mm - heading.iter().map(|own| own.drawing.height_mm).sum::<f64>() - BELOW_MM;
    let Some(tree) = fault_tree(station, absence, width + 2.0 * EDGE_MM, left_mm) else {
        return Vec::new();
    };
    let by = (left_mm / tree.height_mm).min(1.0);
    let mut strips = heading;
    strips.push(drawing(&tree.scaled(by), width, BELOW_MM));
    strips
}

/// What one looks up.
pub(super) fn annex(station: &Station, absence: &Absence) -> Vec<Table> {
    let mut tables = absence_tables(station, absence, false);
    tables.retain(Table::is_annex);
    tables
}
