//! The run: what it puts on the resin, what other runs and other ways to fill would.

use proof::{ControlRow, CurvePoint, Estimate, Made};
use station::quantity::Kind;

use super::super::page::fill;
use super::Speaker;
use crate::cli::table::{Column, First, columns, without_empty};

/// The owner's run, line by line.
pub(super) fn own(speaker: &Speaker<'_>, made: &Made) -> String {
    let run = &made.run;
    let mut rows = Vec::new();
    let mut add = |name: &str, estimate: Option<&Estimate>| {
        if let Some(estimate) = estimate {
            rows.push(vec![
                name.to_owned(),
                speaker.plain(estimate),
                speaker.doubt(estimate),
            ]);
        }
    };
    add("the purifier stands before it", run.idle_s.as_ref());
    let (salt, solids) = match run.resin_life_m3 {
        Some(_) => (
            "salt that its start puts on the resin",
            "dissolved solids that the resin sees",
        ),
        None => (
            "salt that its start lets through",
            "dissolved solids of its water, mean",
        ),
    };
    add(salt, run.start_salt_kg.as_ref());
    add(solids, Some(&run.solids_kg_m3));
    add("load on the resin", run.load_mol_m3.as_ref());
    add("of it carbon dioxide", made.gas_share.as_ref());
    add("water from a bed of resin", run.resin_life_m3.as_ref());
    add("time that a bed lasts", run.resin_lasts_s.as_ref());
    add("recovery while it runs", Some(&made.recovery));
    add("to the drain for each made", Some(&run.reject_ratio));
    add(
        "made with filters due, mean of the year",
        made.filters_due_m3_per_s.as_ref(),
    );
    add("pressure at the membrane", Some(&made.membrane_pressure_pa));
    add("the same with filters due", made.filters_due_pressure_pa.as_ref());
    add("pressure before the booster", made.booster_suction_pa.as_ref());
    add("the same with filters due", made.booster_suction_due_pa.as_ref());
    add("shut-off valve closes at", made.shut_off_closes_pa.as_ref());
    add("and opens again at", made.shut_off_opens_pa.as_ref());
    add(
        "least pressure for the leanest month",
        made.least_pressure_pa.as_ref(),
    );
    add(
        "saturation index of lime at the wall",
        made.calcite_index.as_ref(),
    );
    let of = |volume_m3: f64| speaker.exact(Kind::Volume, volume_m3);
    // The two runs that the proof compares.
    let (short, long) = (of(20e-3), of(130e-3));
    add(
        &format!("resin of {short} runs over {long} runs"),
        run.short_over_long.as_ref(),
    );
    add(
        "hold-up that would make that twice",
        run.hold_up_for_twice_m3.as_ref(),
    );
    let heading = match run.volume_m3 {
        Some(volume) if run.assumed => format!(
            "One run of {}{}, supposed: the file gives no start and stop level",
            of(volume),
            how_often(speaker, made, volume)
        ),
        Some(volume) => format!("One run of {}{}", of(volume), how_often(speaker, made, volume)),
        None => "No runs: the reject never stops".to_owned(),
    };
    let mut out = format!("\n{heading}\n{}", columns(First::Words, &rows));
    let flushed = speaker
        .station
        .purifier
        .as_ref()
        .is_some_and(|purifier| purifier.fields.flush.value.m3() > 0.0);
    if run.short_over_long.is_some() && run.hold_up_for_twice_m3.is_none() && !flushed {
        out += "  No hold-up behind the membrane would make that twice.\n";
    }
    out
}

/// How often the owner's run comes, where a way to control the fill has it.
fn how_often(speaker: &Speaker<'_>, made: &Made, volume_m3: f64) -> String {
    made.controls
        .iter()
        .filter(|row| {
            row.owners
                && row
                    .run_volume_m3
                    .is_some_and(|run| (run / volume_m3 - 1.0).abs() < 1e-6)
        })
        .find_map(|row| row.runs_per_week)
        .map_or_else(String::new, |runs| {
            format!(", at most {} a week", speaker.exact(Kind::Number, runs))
        })
}

/// Resin, cost and reject against the run's volume, with the runs that matter in their places.
pub(super) fn curve(speaker: &Speaker<'_>, made: &Made) -> String {
    let Some(last) = made.curve.last() else {
        return String::new();
    };
    let run = speaker.unit_of(Kind::Volume, last.run_volume_m3);
    let life = speaker.column(made.curve.iter().filter_map(|point| point.resin_life_m3.as_ref()));
    let cost = speaker.column(made.curve.iter().filter_map(|point| point.cost_per_m3.as_ref()));
    let mut rows = vec![
        ["a run", "resin lasts", "±", "water costs", "±", "drain"]
            .map(str::to_owned)
            .to_vec(),
        vec![
            run.unit(),
            life.unit(),
            String::new(),
            cost.unit(),
            String::new(),
            "to 1".to_owned(),
        ],
    ];
    let mut entries: Vec<(f64, Vec<String>)> = made
        .curve
        .iter()
        .map(|point| (point.run_volume_m3, point_row(&run, &life, &cost, point)))
        .collect();
    let own = match made.run.assumed {
        true => "supposed run",
        false => "your run",
    };
    let marks = [
        (made.long_enough_m3, "long enough"),
        (made.run.volume_m3.filter(|_| made.run.on_curve), own),
        (made.best_run_m3, "best"),
    ];
    for (volume, words) in marks {
        let Some(volume) = volume else { continue };
        // A mark on a run that is there already stands beside it.
        match entries
            .iter_mut()
            .find(|(at, _)| (at / volume - 1.0).abs() < 1e-6)
        {
            Some((_, row)) => match row.last_mut().filter(|cell| cell.starts_with("<-")) {
                Some(cell) => *cell += &format!(", {words}"),
                None => row.push(format!("<- {words}")),
            },
            None => entries.push((volume, vec![run.exact(volume), format!("<- {words}")])),
        }
    }
    entries.sort_by(|a, b| a.0.total_cmp(&b.0));
    // Marks begin below each other, in a column whose figures end so.
    let widest = entries
        .iter()
        .filter_map(|(_, row)| row.last().filter(|cell| cell.starts_with("<-")))
        .map(|mark| mark.chars().count())
        .max()
        .unwrap_or(0);
    for (_, row) in &mut entries {
        if let Some(mark) = row.last_mut().filter(|cell| cell.starts_with("<-")) {
            *mark = format!("{mark:<widest$}");
        }
    }
    rows.extend(entries.into_iter().map(|(_, row)| row));
    format!(
        "\nAgainst the volume of a run\n{}",
        columns(First::Figures, &without_empty(2, &rows))
    ) + match made.best_run_m3 {
        Some(_) => "  best: the largest that keeps the reserve, or all where none is asked for\n",
        None => "",
    } + match made.run.on_curve {
        true => "",
        false => "  For runs that begin and end at once; yours doesn't: see the ways to fill.\n",
    }
}

fn point_row(run: &Column, life: &Column, cost: &Column, point: &CurvePoint) -> Vec<String> {
    let pair = |column: &Column, estimate: Option<&Estimate>| {
        estimate.map_or_else(Default::default, |estimate| column.cell(estimate))
    };
    let [lasts, lasts_doubt] = pair(life, point.resin_life_m3.as_ref());
    let [costs, costs_doubt] = pair(cost, point.cost_per_m3.as_ref());
    vec![
        run.exact(point.run_volume_m3),
        lasts,
        lasts_doubt,
        costs,
        costs_doubt,
        Column::empty().bare(Some(&point.reject_ratio)),
    ]
}

/// The ways to control the fill, the owner's marked.
pub(super) fn controls(speaker: &Speaker<'_>, made: &Made) -> String {
    let longest = made
        .controls
        .iter()
        .filter_map(|row| row.run_volume_m3)
        .fold(0.0, f64::max);
    let run = speaker.unit_of(Kind::Volume, longest);
    let cost = speaker.column(made.controls.iter().filter_map(|row| row.cost_per_m3.as_ref()));
    let mut rows = vec![
        ["", "one run", "runs", "resin", "water", "drain"]
            .map(str::to_owned)
            .to_vec(),
        vec![
            String::new(),
            run.unit(),
            "a week".to_owned(),
            "spent".to_owned(),
            cost.unit(),
            "to 1".to_owned(),
        ],
    ];
    for row in &made.controls {
        rows.push(control_row(&run, &cost, row));
    }
    let mut out = format!(
        "\nWays to control the fill\n{}",
        columns(First::Words, &without_empty(2, &rows))
    );
    if made.controls.iter().any(|row| row.owners) {
        out += "    * yours\n";
    }
    for row in &made.controls {
        out += &(fill(&format!("{}: {}.", row.way, row.remark), "    ", "      ") + "\n");
    }
    if made.controls.iter().any(|row| row.runs_per_week.is_some()) {
        let text = "Runs are at most so many: what is drawn while one goes on makes it longer, and the next comes later. Years count that.";
        out += &(fill(text, "    ", "    ") + "\n");
    }
    // A purifier that never stands gets no creep, and looks thrifty by its resin alone.
    let spent = |stops: bool| {
        made.controls
            .iter()
            .filter(|row| row.way.starts_with("float") && row.run_volume_m3.is_some() == stops)
            .find_map(|row| row.resin_over_best)
    };
    if let (Some(stops), Some(never)) = (spent(true), spent(false))
        && never < stops
    {
        let text = "By resin alone a float without shut-off looks better than one with: what never stands gets no salt that creeps through. The drain tells the rest.";
        out += &(fill(text, "    ", "    ") + "\n");
    }
    out
}

fn control_row(run: &Column, cost: &Column, row: &ControlRow) -> Vec<String> {
    let mine = if row.owners { " *" } else { "" };
    vec![
        format!("{}{mine}", row.way),
        row.run_volume_m3
            .map_or("never stops".to_owned(), |volume| run.exact(volume)),
        row.runs_per_week
            .map_or_else(String::new, |runs| Column::empty().exact(runs)),
        row.resin_over_best
            .map_or_else(String::new, |over| format!("{over:.2} x")),
        cost.bare(row.cost_per_m3.as_ref()),
        Column::empty().bare(Some(&row.reject_ratio)),
    ]
}
