//! Tasks as tables: a row for each level of the source, and a row for each task in the letter.

use proof::{Ending, Estimate, Lineup, LineupMoment, Lineups};
use station::quantity::{Kind, format_tape};
use station::spoken;

use super::page::{WIDTH, fill};
use super::speaker::Speaker;
use super::table::{First, columns, without_empty};

pub(super) fn table(speaker: &Speaker<'_>, lineup: &Lineup, moments: &[&LineupMoment]) -> String {
    let flow = speaker.column(moments.iter().filter_map(|moment| moment.flow.as_ref()));
    let time = speaker.column(moments.iter().filter_map(|moment| moment.time.as_ref()));
    let units = speaker.station.units();
    let endings: Vec<String> = moments
        .iter()
        .map(|moment| ending(speaker, lineup, moment))
        .collect();
    let widest = endings
        .iter()
        .map(|ending| ending.chars().count())
        .max()
        .unwrap_or(0);
    let mut rows = vec![
        vec![
            String::new(),
            "level".to_owned(),
            "flow".to_owned(),
            "±".to_owned(),
            "time".to_owned(),
            "±".to_owned(),
            format!("{:<widest$}", "until"),
        ],
        vec![
            String::new(),
            String::new(),
            flow.unit(),
            String::new(),
            time.unit(),
            String::new(),
            String::new(),
        ],
    ];
    for (moment, ending) in moments.iter().zip(&endings) {
        let [flow, flow_doubt] = moment
            .flow
            .as_ref()
            .map_or_else(|| ["0".to_owned(), String::new()], |value| flow.cell(value));
        let [time, time_doubt] = moment
            .time
            .as_ref()
            .map_or_else(Default::default, |value| time.cell(value));
        let level = moment
            .source_level_m
            .map_or_else(String::new, |level_m| format_tape(level_m, units));
        rows.push(vec![
            match moment.source_level_m {
                Some(_) => format!("  {}", word(moment.source)),
                None => "  ".to_owned(),
            },
            level,
            flow,
            flow_doubt,
            time,
            time_doubt,
            format!("{ending:<widest$}"),
        ]);
    }
    let own = columns(First::Words, &without_empty(2, &rows));
    if own.lines().all(|line| line.chars().count() <= WIDTH) {
        return own;
    }
    // Long names: what ends it stands below.
    let last = rows[0].len() - 1;
    for row in &mut rows {
        row.truncate(last);
    }
    let mut own = columns(First::Words, &without_empty(2, &rows));
    for (moment, ending) in moments.iter().zip(&endings) {
        own += &(fill(
            &format!("{}, until: {ending}", word(moment.source)),
            "    ",
            "      ",
        ) + "\n");
    }
    own
}

/// `half full`.
fn word(source: &str) -> &str {
    match source {
        "half" => "half full",
        "start" => "start level",
        other => other,
    }
}

/// What ends a task, and what has been moved by then.
fn ending(speaker: &Speaker<'_>, lineup: &Lineup, moment: &LineupMoment) -> String {
    let Some(ending) = moment.ending else {
        return match (&moment.flow, lineup.from == lineup.to) {
            (None, _) => "nothing flows".to_owned(),
            (Some(_), true) => "you stop it".to_owned(),
            (Some(_), false) => String::new(),
        };
    };
    let moved = moment
        .moved_m3
        .map_or_else(String::new, |moved| speaker.exact(Kind::Volume, moved));
    match ending {
        Ending::Moved => format!("{moved} moved"),
        Ending::SourceLow => format!("{} low, {moved}", lineup.from),
        Ending::TargetFull => format!("{} full, {moved}", lineup.to),
        Ending::Level => format!("levels even, {moved}"),
        Ending::Fades => format!("no more comes, {moved}"),
        Ending::Endless => "goes on for days".to_owned(),
    }
}

/// A row for each task with its source full, for the letter.
pub(super) fn in_short(speaker: &Speaker<'_>, all: &Lineups) -> String {
    if all.lineups.is_empty() {
        return String::new();
    }
    let told = |estimate: Option<&Estimate>| {
        estimate.map_or_else(Default::default, |estimate| {
            [speaker.plain(estimate), speaker.doubt(estimate)]
        })
    };
    let mut rows = vec![["", "flow", "", "moved", "time", ""].map(str::to_owned).to_vec()];
    for lineup in &all.lineups {
        let moment = lineup.moments.first();
        let [flow, flow_doubt] = told(moment.and_then(|moment| moment.flow.as_ref()));
        let [time, time_doubt] = told(moment.and_then(|moment| moment.time.as_ref()));
        let moved = moment.and_then(|moment| moment.moved_m3);
        rows.push(vec![
            spoken(&lineup.name),
            match (&lineup.valves_open, flow.as_str()) {
                (None, _) => "no setting".to_owned(),
                (Some(_), "") => "none".to_owned(),
                _ => flow,
            },
            flow_doubt,
            moved.map_or_else(String::new, |moved| speaker.exact(Kind::Volume, moved)),
            time,
            time_doubt,
        ]);
    }
    format!(
        "\nValve settings, with the source full\n{}",
        columns(First::Words, &without_empty(1, &rows))
    )
}
