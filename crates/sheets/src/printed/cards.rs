//! The schematic on sheets, and a card for each valve setting; none of them is split.

use proof::{Lineup, Proof};
use station::Station;

use super::{BELOW_MM, BODY, HEADING, QUIET, SECTION_MM, SMALL, STRONG, section};
use crate::drawing::{Drawing, EDGE_MM};
use crate::flow::{Align, Column, Strip, drawing, heading, paragraph, table};
use crate::paper::{FOOT_MM, HEAD_MM, Paper};
use crate::schematic::{HEADS, Laid, Shows, Tags, card, laid};

/// How much smaller a schematic may be drawn that a sheet has no room for: a little first, as the tables of a sheet are
/// (house rule).
const SMALLER: [f64; 9] = [1.0, 0.94, 0.88, 0.82, 0.75, 0.65, 0.55, 0.45, 0.35];

/// A schematic for paper of a width and a height, and how much smaller it is drawn.
struct Fitted {
    laid: Laid,
    by: f64,
}

impl Fitted {
    fn of(station: &Station, width_mm: f64, most_mm: f64) -> Option<Self> {
        let mut last = None;
        for by in SMALLER {
            let laid = laid(
                station,
                Tags::Owner,
                (width_mm + 2.0 * EDGE_MM) / by,
                most_mm / by,
            )?;
            let fits = laid.height_mm() * by <= most_mm;
            // What no size fits is drawn as small as it must.
            let by = if fits { by } else { most_mm / laid.height_mm() };
            last = Some(Self { laid, by });
            if fits {
                break;
            }
        }
        last
    }

    fn drawn(&self, station: &Station, shows: Shows<'_>) -> Drawing {
        self.laid.drawn(station, shows).scaled(self.by)
    }
}

/// The schematic without a setting.
pub(super) fn schematic(station: &Station, proof: &Proof, width: f64, paper: Paper, strips: &mut Vec<Strip>) {
    let room_mm = paper.height_mm() - HEAD_MM - FOOT_MM;
    let head = section("Schematic", width);
    let most_mm = room_mm - height_mm(&head) - BELOW_MM;
    if let Some(fitted) = Fitted::of(station, width, most_mm) {
        strips.extend(head);
        strips.push(drawing(
            &fitted.drawn(station, Shows::whole(proof)),
            width,
            BELOW_MM,
        ));
    }
}

/// A card for each setting, each whole on its sheet.
pub(super) fn cards(station: &Station, proof: &Proof, width: f64, paper: Paper, strips: &mut Vec<Strip>) {
    let lineups = proof.lineups.as_ref().map_or(&[][..], |all| &all.lineups);
    let words: Vec<(Vec<Strip>, Vec<Strip>)> = lineups
        .iter()
        .map(|lineup| worded(station, proof, lineup, width))
        .collect();
    let room_mm = paper.height_mm() - HEAD_MM - FOOT_MM;
    let most_mm = room_mm
        - BELOW_MM
        - words
            .iter()
            .map(|(head, foot)| height_mm(head) + height_mm(foot))
            .fold(0.0, f64::max);
    let fitted = if words.is_empty() {
        None
    } else {
        Fitted::of(station, width, most_mm)
    };
    for (lineup, (head, foot)) in lineups.iter().zip(words) {
        let mut own = head;
        if let Some(fitted) = &fitted {
            own.push(drawing(
                &fitted.drawn(station, Shows::Task(lineup)),
                width,
                BELOW_MM,
            ));
        }
        own.extend(foot);
        let count = own.len();
        for (at, strip) in own.iter_mut().enumerate() {
            strip.sticks = at + 1 < count;
        }
        strips.extend(own);
    }
}

fn height_mm(strips: &[Strip]) -> f64 {
    strips
        .iter()
        .map(|strip| strip.before_mm + strip.drawing.height_mm)
        .sum()
}

/// The heading of a card, and what stands below its schematic.
fn worded(station: &Station, proof: &Proof, lineup: &Lineup, width: f64) -> (Vec<Strip>, Vec<Strip>) {
    let card = card(station, proof, lineup);
    let head = heading(&card.title, HEADING, width, SECTION_MM, true);
    let mut foot = paragraph(&card.way, BODY, 0.0, width, BELOW_MM);
    foot.extend(paragraph(
        &format!("{} {}", card.open, card.run),
        STRONG,
        0.0,
        width,
        1.0,
    ));
    for sentence in card.turning() {
        foot.extend(paragraph(&sentence, BODY, 0.0, width, 0.6));
    }
    let column = |head: &&str| Column {
        head: (*head).to_owned(),
        align: Align::Left,
        style: SMALL,
    };
    let columns: Vec<Column> = HEADS.iter().map(column).collect();
    let rows: Vec<Vec<String>> = card.moments.iter().map(|row| row.to_vec()).collect();
    if !rows.is_empty() {
        foot.extend(table(&columns, QUIET, &rows, width, BELOW_MM));
    }
    (head, foot)
}
