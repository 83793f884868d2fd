//! The run: what it puts on the resin, what other runs would, what a litre costs.

use proof::{ControlRow, CurvePoint, Estimate, Made};
use station::quantity::Kind;

use super::super::page::fill;
use super::{Speaker, columns};

/// The owner's run, line by line.
pub(super) fn own(speaker: &Speaker<'_>, made: &Made) -> String {
    let run = &made.run;
    let mut rows = Vec::new();
    let mut add = |name: &str, estimate: Option<&Estimate>| {
        if let Some(estimate) = estimate {
            let shown = speaker.shown(estimate);
            let doubt = match shown.half_width {
                Some(_) => format!("± {}", shown.half_width_with_unit()),
                None => String::new(),
            };
            rows.push(vec![name.to_owned(), shown.value_with_unit(), doubt]);
        }
    };
    add("the purifier stands before it", run.idle_s.as_ref());
    add(
        "salt that its start puts on the resin",
        run.start_salt_kg.as_ref(),
    );
    add("dissolved solids that the resin sees", Some(&run.solids_kg_m3));
    add("load on the resin", run.load_mol_m3.as_ref());
    add("of it carbon dioxide", made.gas_share.as_ref());
    add("water from a bed of resin", run.resin_life_m3.as_ref());
    add("time that a bed lasts", run.resin_lasts_s.as_ref());
    add("recovery while it runs", Some(&made.recovery));
    add("litres to the drain for each litre", Some(&run.reject_ratio));
    add(
        "made with filters due for change",
        made.filters_due_m3_per_s.as_ref(),
    );
    add("pressure at the membrane", Some(&made.membrane_pressure_pa));
    add("the same with filters due", made.filters_due_pressure_pa.as_ref());
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
    add("resin of 20 L runs over 130 L runs", run.short_over_long.as_ref());
    add(
        "hold-up that would make that twice",
        run.hold_up_for_twice_m3.as_ref(),
    );
    let heading = match run.volume_m3 {
        Some(volume) => format!("One run of {}", speaker.exact(Kind::Volume, volume)),
        None => "No runs: the reject never stops".to_owned(),
    };
    format!("\n{heading}\n{}", columns(&rows))
}

/// Resin, cost and reject against the run's volume, with the runs that matter in their places.
pub(super) fn curve(speaker: &Speaker<'_>, made: &Made) -> String {
    if made.curve.is_empty() {
        return String::new();
    }
    let mut rows = vec![vec![
        String::new(),
        "resin lasts".to_owned(),
        "±".to_owned(),
        "water costs".to_owned(),
        "±".to_owned(),
        "to drain".to_owned(),
    ]];
    let marks = [
        (made.long_enough_m3, "long enough"),
        (made.run.volume_m3, "your run"),
        (made.best_run_m3, "largest that leaves the reserve"),
    ];
    let mut entries: Vec<(f64, Vec<String>)> = made
        .curve
        .iter()
        .map(|point| (point.run_volume_m3, point_row(speaker, point)))
        .collect();
    for (volume, words) in marks {
        let Some(volume) = volume else { continue };
        // A mark on a point of the curve stands beside it.
        match entries
            .iter_mut()
            .find(|(at, row)| (*at - volume).abs() < 1e-9 && row.len() > 2)
        {
            Some((_, row)) => row.push(format!("<- {words}")),
            None => entries.push((
                volume,
                vec![format!("{} <- {words}", speaker.exact(Kind::Volume, volume))],
            )),
        }
    }
    entries.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (points, notes): (Vec<_>, Vec<_>) = entries.iter().partition(|(_, row)| row.len() > 2);
    rows.extend(points.iter().map(|(_, row)| row.clone()));
    // Notes are no columns: they are set between the lines afterwards.
    let table = columns(&rows);
    let mut lines: Vec<String> = table.lines().map(str::to_owned).collect();
    for (volume, note) in notes.iter().rev() {
        let before = points.iter().filter(|(at, _)| at < volume).count();
        lines.insert(1 + before, format!("    {}", note[0]));
    }
    format!("\nAgainst the volume of a run\n{}\n", lines.join("\n"))
}

fn point_row(speaker: &Speaker<'_>, point: &CurvePoint) -> Vec<String> {
    let pair = |estimate: Option<&Estimate>| match estimate {
        Some(estimate) => {
            let shown = speaker.shown(estimate);
            [shown.value_with_unit(), shown.half_width.unwrap_or_default()]
        }
        None => [String::new(), String::new()],
    };
    let [life, life_doubt] = pair(point.resin_life_m3.as_ref());
    let [cost, cost_doubt] = pair(point.cost_per_m3.as_ref());
    vec![
        speaker.exact(Kind::Volume, point.run_volume_m3),
        life,
        life_doubt,
        cost,
        cost_doubt,
        format!("{} to 1", speaker.bare(&point.reject_ratio)),
    ]
}

/// The ways to control the fill, the owner's marked.
pub(super) fn controls(speaker: &Speaker<'_>, made: &Made) -> String {
    let mut rows = vec![
        ["", "one run", "runs", "resin", "water", "drain"]
            .map(str::to_owned)
            .to_vec(),
        ["", "", "a week", "spent", "costs", "to 1"]
            .map(str::to_owned)
            .to_vec(),
    ];
    for row in &made.controls {
        rows.push(control_row(speaker, row));
    }
    let mut out = format!("\nWays to control the fill\n{}", columns(&rows));
    if made.controls.iter().any(|row| row.owners) {
        out += "    * yours\n";
    }
    for row in &made.controls {
        out += &(fill(&format!("{}: {}.", row.way, row.remark), "    ", "      ") + "\n");
    }
    out
}

fn control_row(speaker: &Speaker<'_>, row: &ControlRow) -> Vec<String> {
    let mine = if row.owners { " *" } else { "" };
    vec![
        format!("{}{mine}", row.way),
        row.run_volume_m3.map_or("never stops".to_owned(), |volume| {
            speaker.exact(Kind::Volume, volume)
        }),
        row.runs_per_week
            .map_or_else(String::new, |runs| speaker.exact(Kind::Number, runs)),
        row.resin_over_best
            .map_or_else(String::new, |over| format!("{over:.2} x")),
        row.cost_per_m3
            .as_ref()
            .map_or_else(String::new, |cost| speaker.plain(cost)),
        speaker.bare(&row.reject_ratio),
    ]
}

/// What a litre costs, part by part, and what has no price.
pub(super) fn cost(speaker: &Speaker<'_>, made: &Made) -> String {
    let mut out = String::new();
    if let Some(total) = &made.run.cost_per_m3 {
        let mut rows: Vec<Vec<String>> = made
            .cost_parts
            .iter()
            .map(|part| {
                let share = format!("{:.0} %", 100.0 * part.per_m3.value / total.value);
                vec![part.part.to_owned(), speaker.with_doubt(&part.per_m3), share]
            })
            .collect();
        rows.push(vec![
            "together".to_owned(),
            speaker.with_doubt(total),
            String::new(),
        ]);
        out += &format!("\nWhat purified water costs\n{}", columns(&rows));
    }
    if !made.unpriced.is_empty() {
        let text = format!(
            "Not counted, since the file has no price: {}.",
            made.unpriced.join(", ")
        );
        if out.is_empty() {
            out += "\nWhat purified water costs\n";
        }
        out += &(fill(&text, "  ", "  ") + "\n");
    }
    out
}

/// What a second bed or a degassing step would change.
pub(super) fn resin_options(speaker: &Speaker<'_>, made: &Made) -> String {
    if made.resin_options.is_empty() {
        return String::new();
    }
    let mut rows = vec![
        ["", "resin lasts", "±", "water costs"]
            .map(str::to_owned)
            .to_vec(),
    ];
    for option in &made.resin_options {
        let mine = if option.owners { " *" } else { "" };
        let life = speaker.shown(&option.resin_life_m3);
        rows.push(vec![
            format!("{}{mine}", option.what),
            life.value_with_unit(),
            life.half_width.unwrap_or_default(),
            option
                .cost_per_m3
                .as_ref()
                .map_or_else(String::new, |cost| speaker.plain(cost)),
        ]);
    }
    format!("\nOther resin behind the same run\n{}", columns(&rows))
}

/// Filters before the membrane.
pub(super) fn filters(speaker: &Speaker<'_>, made: &Made) -> String {
    if made.filters.is_empty() {
        return String::new();
    }
    let mut rows = vec![["", "contact", "serves", "lasts"].map(str::to_owned).to_vec()];
    for filter in &made.filters {
        let kind = if filter.kind == filter.name {
            filter.name.clone()
        } else {
            format!("{}, {}", filter.name, filter.kind)
        };
        rows.push(vec![
            kind,
            filter
                .contact_s
                .as_ref()
                .map_or_else(String::new, |contact| speaker.plain(contact)),
            speaker.plain(&filter.life_m3),
            speaker.plain(&filter.lasts_s),
        ]);
    }
    let rinse = match made.carbon_rinse_m3 {
        Some(rinse) => format!(", {} through new carbon", speaker.exact(Kind::Volume, rinse)),
        None => String::new(),
    };
    let discard = speaker.exact(Kind::Volume, made.membrane_discard_m3);
    let mut first = format!("To the drain when new: the first {discard} of a membrane{rinse}. {SIGN}");
    if let Some(time) = &made.time_to_damage_s {
        first += &format!(
            " Were the carbon spent, chlorine could harm the membrane within {} of running.",
            speaker.plain(time)
        );
    }
    if let Some(ammonia) = &made.ammonia_left_kg_m3 {
        first += &format!(
            " Broken chloramine leaves {} of ammonia nitrogen.",
            speaker.plain(ammonia)
        );
    }
    format!(
        "\nFilters, in purified water\n{}{}\n",
        columns(&rows),
        fill(&first, "  ", "  ")
    )
}

/// What two gauges tell (handbook of the trade: common practice, no source).
const SIGN: &str = "Less water and less pressure before the membrane: the filters are due. Less water at the same \
pressure: cold, or the membrane.";

/// Where the doubt comes from.
pub(super) fn doubts(made: &Made) -> String {
    if made.doubts.is_empty() {
        return String::new();
    }
    let rows: Vec<Vec<String>> = made
        .doubts
        .iter()
        .map(|doubt| vec![doubt.path.clone(), format!("{:.0} %", 100.0 * doubt.share)])
        .collect();
    let what = match made.run.resin_life_m3 {
        Some(_) => "Where the doubt in the resin's life comes from",
        None => "Where the doubt in the cost comes from",
    };
    format!("\n{what}\n{}", columns(&rows))
}
