//! The printed sheets of a proof: verdict, drawing, findings, figures, charts, tables, methods, sources.

mod away;
mod cards;

use proof::{Absence, Figure, Proof};
use station::{Station, spoken};

use crate::chart::{cost_against_run, level_against_volume, supply_by_month};
use crate::drawing::{Anchor, Drawing, EDGE_MM, Ink, Stroke, TextStyle, at};
use crate::elevation::{elevations, fitted};
use crate::flow::{
    Align, Column, Pages, Strip, drawing, heading, paginate, paragraph, rule, sticking, table,
};
use crate::font::Face;
use crate::paper::{FOOT_MM, HEAD_MM, Paper, SIDE_MM};
use crate::profile::profile;
use crate::table::{Table, tables};
use crate::told::{
    ADVICE, CAUTION, Told, below_wrong_moves, groups, headlines, in_words, leading, methods, sources, told,
};
use crate::words::lines;

const VERDICT: TextStyle = TextStyle::new(6.0, Face::Semibold, Ink::Ink);
const HEADING: TextStyle = TextStyle::new(4.4, Face::Semibold, Ink::Ink);
const BODY: TextStyle = TextStyle::new(3.5, Face::Regular, Ink::Ink);
const STRONG: TextStyle = TextStyle::new(3.5, Face::Semibold, Ink::Ink);
const SMALL: TextStyle = TextStyle::new(3.0, Face::Regular, Ink::Ink);
const LEADING: TextStyle = TextStyle::new(4.8, Face::Semibold, Ink::Ink);
const QUIET: TextStyle = TextStyle::new(3.0, Face::Regular, Ink::Second);
/// White above a section's heading, and below a heading.
const SECTION_MM: f64 = 9.0;
const BELOW_MM: f64 = 2.0;
/// How much smaller pipes by height may be drawn (house rule).
const SMALLER: [f64; 3] = [1.0, 0.88, 0.75];
/// From one chart to the one beside it.
const GUTTER_MM: f64 = 6.0;

/// The sheets of a proof on a paper, and of an absence where the station has a plant; `file` names the station file.
pub fn printed(
    station: &Station,
    proof: &Proof,
    absence: Option<&Absence>,
    file: &str,
    paper: Paper,
) -> Pages {
    let width = paper.inner_mm();
    let mut strips = Vec::new();
    // A title that the running head has no room for is told once in full.
    if STRONG.width_mm(&proof.title) > head_room_mm(width, file) {
        strips.extend(sticking(paragraph(&proof.title, STRONG, 0.0, width, 0.0)));
    }
    let verdict_at = strips.len();
    strips.extend(heading(&proof.verdict, VERDICT, width, 1.0, false));
    if let Some(first) = strips.get_mut(verdict_at) {
        first.bookmark = Some("Verdict".to_owned());
    }
    if let Some(state) = &proof.feed_state {
        strips.extend(sticking(paragraph(
            &format!("Proved with the feed of {}.", spoken(state)),
            BODY,
            0.0,
            width,
            1.0,
        )));
    }
    strips.extend(leading_figures(station, proof, width));
    // Its own white stands in the sheet's margins, so that its edge meets the text's.
    let room_mm = paper.height_mm() - HEAD_MM - FOOT_MM;
    let used_mm: f64 = strips
        .iter()
        .map(|strip| strip.before_mm + strip.drawing.height_mm)
        .sum();
    let most_mm = [room_mm - used_mm - 4.0, room_mm];
    for picture in elevations(station, proof, width + 2.0 * EDGE_MM, most_mm) {
        strips.push(drawing(&picture, width, 3.0));
    }
    found(proof, file, width, &mut strips);
    strips.extend(section("Caution", width));
    strips.extend(paragraph(CAUTION, BODY, 0.0, width, BELOW_MM));
    strips.extend(paragraph(ADVICE, BODY, 0.0, width, 1.0));
    // The schematic takes a sheet of its own, and each of its cards: charts share theirs with the figures.
    figures(station, proof, width, &mut strips);
    charts(station, proof, width, &mut strips);
    // A little smaller where a sheet has no room for it otherwise.
    let pipes = SMALLER.into_iter().find_map(|by| {
        let own = profile(station, proof, (width + 2.0 * EDGE_MM) / by)?;
        Some(own.scaled(by))
    });
    if let Some(pipes) = pipes {
        strips.extend(section("Pipes by height", width));
        strips.push(drawing(&pipes, width, BELOW_MM));
    }
    cards::schematic(station, proof, width, paper, &mut strips);
    cards::cards(station, proof, width, paper, &mut strips);
    let (mut annex, read): (Vec<Table>, Vec<Table>) =
        tables(station, proof).into_iter().partition(Table::is_annex);
    if let Some(absence) = absence {
        away::away(station, absence, paper, &mut strips);
        annex.extend(away::annex(station, absence));
    }
    for shown in &read {
        strips.extend(section(shown.title, width));
        strips.extend(printed_table(shown, width));
        if shown.name == "wrong-moves" {
            for sentence in below_wrong_moves(station, proof) {
                strips.extend(paragraph(&sentence, BODY, 0.0, width, BELOW_MM));
            }
        }
    }
    behind(proof, width, &mut strips);
    for shown in &annex {
        strips.extend(section(&format!("Annex: {}", begun_small(shown.title)), width));
        strips.extend(printed_table(shown, width));
    }
    let mut pages = paginate(&strips, paper);
    let count = pages.pages.len();
    for (at_page, page) in pages.pages.iter_mut().enumerate() {
        page.title = format!("{}, page {} of {count}", proof.title, at_page + 1);
        running(page, &proof.title, file, at_page + 1, count);
    }
    pages
}

/// A title within a heading: `The least` as `the least`.
fn begun_small(title: &str) -> String {
    let mut letters = title.chars();
    let first = letters.next().map(|first| first.to_lowercase());
    first.into_iter().flatten().chain(letters).collect()
}

fn section(title: &str, width: f64) -> Vec<Strip> {
    heading(title, HEADING, width, SECTION_MM, true)
}

/// What the running head leaves for the title.
fn head_room_mm(width: f64, file: &str) -> f64 {
    width - QUIET.width_mm(file) - 6.0
}

/// Figures that lead in one row of a sheet.
const LEADING_IN_ROW: usize = 3;

/// The figures that one asks for first, beside each other in rows.
fn leading_figures(station: &Station, proof: &Proof, width: f64) -> Vec<Strip> {
    let figures: Vec<&Figure> = leading(proof).into_iter().map(|(_, figure)| figure).collect();
    let rows = figures.chunks(LEADING_IN_ROW).collect::<Vec<_>>();
    let last = rows.len().saturating_sub(1);
    let row =
        |(number, own): (usize, &&[&Figure])| leading_row(station, own, width, [number == 0, number == last]);
    rows.iter().enumerate().map(row).collect()
}

/// One row of them, with a rule above the first and below the last.
fn leading_row(station: &Station, figures: &[&Figure], width: f64, rules: [bool; 2]) -> Strip {
    let each = width / LEADING_IN_ROW as f64;
    let named: Vec<Vec<String>> = figures
        .iter()
        .map(|figure| lines(&figure.title, each - 5.0, QUIET))
        .collect();
    let most = named.iter().map(Vec::len).max().unwrap_or(1) as f64;
    let below = 4.2 * most + 2.4;
    let shown: Vec<Told> = figures.iter().map(|figure| told(station, figure)).collect();
    // A doubt that has no room behind its value stands below it.
    let behind = |own: &Told| LEADING.width_mm(&own.value) + 2.0;
    let fits = |own: &Told| behind(own) + QUIET.width_mm(&own.doubt) < each;
    let high = below + if shown.iter().all(fits) { 8.0 } else { 12.2 };
    let mut drawing = Drawing::new("", width, high);
    for (y, _) in [0.0, high].into_iter().zip(rules).filter(|(_, rule)| *rule) {
        drawing.line(vec![at(0.0, y), at(width, y)], Stroke::Hair, Ink::Hair, "");
    }
    for (number, (figure, words)) in figures.iter().zip(&named).enumerate() {
        let left = number as f64 * each;
        for (line, words) in words.iter().enumerate() {
            drawing.text(
                at(left, 4.4 + 4.2 * line as f64),
                Anchor::Start,
                words,
                QUIET,
                &figure.key,
            );
        }
        let (own, base) = (&shown[number], below + 5.2);
        drawing.text(at(left, base), Anchor::Start, &own.value, LEADING, &figure.key);
        let place = match fits(own) {
            true => at(left + behind(own), base),
            false => at(left, base + 4.2),
        };
        drawing.text(place, Anchor::Start, &own.doubt, QUIET, &figure.key);
    }
    Strip::new(drawing, 3.0)
}

/// Head and foot of a page.
fn running(page: &mut Drawing, title: &str, file: &str, number: usize, count: usize) {
    let (left, right) = (SIDE_MM, page.width_mm - SIDE_MM);
    let numbered = format!("page {number} of {count}");
    let head = 13.0;
    let room = head_room_mm(right - left, file);
    page.text(
        at(left, head),
        Anchor::Start,
        &fitted(title, room, STRONG),
        STRONG,
        "title",
    );
    page.text(at(right, head), Anchor::End, file, QUIET, "");
    page.line(
        vec![at(left, head + 2.5), at(right, head + 2.5)],
        Stroke::Medium,
        Ink::Ink,
        "",
    );
    let foot = page.height_mm - FOOT_MM + 10.0;
    page.line(
        vec![at(left, foot - 4.5), at(right, foot - 4.5)],
        Stroke::Hair,
        Ink::Hair,
        "",
    );
    page.text(at(left, foot), Anchor::Start, ADVICE, QUIET, "");
    page.text(at(right, foot), Anchor::End, &numbered, QUIET, "");
}

/// What there is to say, the worst first; each finding stays whole.
fn found(proof: &Proof, file: &str, width: f64, strips: &mut Vec<Strip>) {
    for group in groups(proof) {
        let style = TextStyle {
            ink: group.ink,
            ..HEADING
        };
        strips.extend(heading(group.heading, style, width, SECTION_MM, true));
        for finding in group.findings {
            let mut own = vec![rule(width, BELOW_MM)];
            own.extend(paragraph(&finding.sentence, BODY, 0.0, width, 0.0));
            if let Some(remedy) = &finding.remedy {
                let text = format!("Cure, tried: {}.", remedy.sentence);
                own.extend(paragraph(&text, STRONG, 5.0, width, 0.6));
            }
            if let Some(line) = finding.line {
                own.extend(paragraph(&format!("{file}:{line}"), QUIET, 5.0, width, 0.6));
            }
            let count = own.len();
            for (at, strip) in own.iter_mut().enumerate() {
                strip.sticks = at + 1 < count;
            }
            strips.extend(own);
        }
    }
}

fn figures(station: &Station, proof: &Proof, width: f64, strips: &mut Vec<Strip>) {
    let rows: Vec<Vec<String>> = headlines(proof)
        .map(|figure| {
            let shown = told(station, figure);
            vec![figure.title.clone(), shown.value, shown.doubt, figure.key.clone()]
        })
        .collect();
    if rows.is_empty() {
        return;
    }
    strips.extend(section("Figures", width));
    let column = |head: &str, align: Align, style: TextStyle| Column {
        head: head.to_owned(),
        align,
        style,
    };
    let columns = [
        column("", Align::Left, BODY),
        column("", Align::Right, STRONG),
        column("doubt", Align::Right, BODY),
        column("ask: brinewright why", Align::Left, QUIET),
    ];
    strips.extend(table(&columns, QUIET, &rows, width, BELOW_MM));
}

/// The charts, two beside each other.
fn charts(station: &Station, proof: &Proof, width: f64, strips: &mut Vec<Strip>) {
    let half = (width - GUTTER_MM) / 2.0 + 2.0 * EDGE_MM;
    let made = proof.supply.purifier.as_ref();
    let mut drawn: Vec<Drawing> = [
        made.and_then(|made| supply_by_month(station, made, half)),
        made.and_then(|made| cost_against_run(station, made, half)),
    ]
    .into_iter()
    .flatten()
    .collect();
    drawn.extend(level_against_volume(station, proof, half));
    if drawn.is_empty() {
        return;
    }
    strips.extend(section("Charts", width));
    for pair in drawn.chunks(2) {
        let height = pair.iter().map(|chart| chart.height_mm).fold(0.0, f64::max);
        let mut row = Drawing::new("", width, height);
        for (chart, left) in pair.iter().zip([0.0, (width + GUTTER_MM) / 2.0]) {
            row.put(chart, at(left - EDGE_MM, 0.0));
        }
        strips.push(Strip::new(row, BELOW_MM));
    }
}

fn printed_table(shown: &Table, width: f64) -> Vec<Strip> {
    let columns: Vec<Column> = shown
        .heads
        .iter()
        .enumerate()
        .map(|(at, head)| Column {
            head: head.clone(),
            align: match shown.is_words(at) {
                true => Align::Left,
                false => Align::Right,
            },
            style: SMALL,
        })
        .collect();
    let rows: Vec<Vec<String>> = shown
        .rows
        .iter()
        .map(|row| row.iter().map(crate::table::Cell::printed).collect())
        .collect();
    table(&columns, QUIET, &rows, width, BELOW_MM)
}

/// The methods and the works behind the figures, in words.
fn behind(proof: &Proof, width: f64, strips: &mut Vec<Strip>) {
    let methods = methods(proof);
    if methods.is_empty() {
        return;
    }
    strips.extend(section("Methods", width));
    for method in &methods {
        let title = TextStyle {
            size_mm: SMALL.size_mm,
            ..STRONG
        };
        strips.extend(sticking(paragraph(method.title, title, 0.0, width, BELOW_MM)));
        strips.extend(sticking(paragraph(method.formula, SMALL, 5.0, width, 0.2)));
        let holds = format!("Holds: {}. {}", method.range, method.sources.join(", "));
        strips.extend(paragraph(&holds, QUIET, 5.0, width, 0.2));
    }
    strips.extend(section("Sources", width));
    for source in sources(&methods) {
        let key = TextStyle {
            size_mm: SMALL.size_mm,
            ..STRONG
        };
        strips.extend(sticking(paragraph(source.key, key, 0.0, width, BELOW_MM)));
        strips.extend(paragraph(&in_words(&source), SMALL, 5.0, width, 0.2));
    }
}
