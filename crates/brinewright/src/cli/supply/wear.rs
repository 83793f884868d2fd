//! What a litre costs and what wears out for it: resin, filters; and where the doubt in it comes from.

use proof::Made;
use station::quantity::Kind;
use station::spoken;

use super::super::page::fill;
use super::Speaker;
use crate::cli::table::{First, columns, without_empty};

/// What purified water costs, part by part, and what has no price.
pub(super) fn cost(speaker: &Speaker<'_>, made: &Made) -> String {
    let mut out = String::new();
    if let Some(total) = &made.run.cost_per_m3 {
        let column = speaker.column(core::iter::once(total));
        let mut rows = vec![vec![String::new(), column.unit(), "±".to_owned(), String::new()]];
        for part in &made.cost_parts {
            let share = 100.0 * part.per_m3.value / total.value;
            let share = match share {
                small if small < 0.5 => "under 1 %".to_owned(),
                share => format!("{share:.0} %"),
            };
            let [money, doubt] = column.cell(&part.per_m3);
            rows.push(vec![part.part.to_owned(), money, doubt, share]);
        }
        let [money, doubt] = column.cell(total);
        rows.push(vec!["together".to_owned(), money, doubt]);
        let heading = match made.run.least_of_float {
            true => "What purified water costs in the least runs that the float lets through",
            false => "What purified water costs",
        };
        out += &format!("\n{heading}\n{}", columns(First::Words, &rows));
        if made.run.least_of_float {
            let text = "What is drawn while the float fills makes runs longer, and their water costs less: years count that.";
            out += &(fill(text, "  ", "  ") + "\n");
        }
    }
    if !made.unpriced.is_empty() {
        let text = format!(
            "Not counted, since no price or no life is known: {}.",
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
    let options = &made.resin_options;
    if options.is_empty() {
        return String::new();
    }
    let life = speaker.column(options.iter().map(|option| &option.resin_life_m3));
    // Without a price of resin all would cost the same.
    let priced = !made.unpriced.contains(&"resin");
    let cost = speaker.column(options.iter().filter_map(|option| option.cost_per_m3.as_ref()));
    let mut rows = vec![
        ["", "resin lasts", "±", "water costs"]
            .map(str::to_owned)
            .to_vec(),
        vec![String::new(), life.unit(), String::new(), cost.unit()],
    ];
    for option in options {
        let mine = if option.owners { " *" } else { "" };
        let [lasts, doubt] = life.cell(&option.resin_life_m3);
        rows.push(vec![
            format!("{}{mine}", option.what),
            lasts,
            doubt,
            cost.bare(option.cost_per_m3.as_ref().filter(|_| priced)),
        ]);
    }
    format!(
        "\nOther resin behind the same run\n{}",
        columns(First::Words, &without_empty(2, &rows))
    )
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
            format!("{}, {}", spoken(&filter.name), filter.kind)
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
    let mut remarks = vec![
        format!("To the drain when new: the first {discard} of a membrane{rinse}."),
        SIGN.to_owned(),
    ];
    if let Some(time) = &made.time_to_damage_s {
        remarks.push(format!(
            "Were the carbon spent, chlorine could harm the membrane within {} of running.",
            speaker.plain(time)
        ));
    }
    if let Some(ammonia) = &made.ammonia_left_kg_m3 {
        remarks.push(format!(
            "Broken chloramine leaves {} of ammonia nitrogen.",
            speaker.plain(ammonia)
        ));
    }
    let mut out = format!(
        "\nFilters, in purified water\n{}",
        columns(First::Words, &without_empty(1, &rows))
    );
    for remark in remarks {
        out += &(fill(&remark, "    ", "      ") + "\n");
    }
    out
}

/// What two gauges tell (handbook of the trade: common practice, no source).
const SIGN: &str = "Less water and less pressure before the membrane: the filters are due. Less water at the same \
pressure: cold, or the membrane.";

/// Where the doubt comes from, and what to measure first.
pub(super) fn doubts(made: &Made) -> String {
    if made.doubts.is_empty() {
        return String::new();
    }
    // Behind a comma stands in which arrangement a default holds; the path is before it.
    let path = |path: &str| path.split(',').next().unwrap_or(path).to_owned();
    let rows: Vec<Vec<String>> = made
        .doubts
        .iter()
        .map(|doubt| vec![path(&doubt.path), format!("{:.0} %", 100.0 * doubt.share)])
        .collect();
    let what = match made.run.resin_life_m3 {
        Some(_) => "Where the doubt in the resin's life comes from",
        None => "Where the doubt in the cost comes from",
    };
    let mut out = format!("\n{what}\n{}", columns(First::Words, &rows));
    out += &(fill(
        "Measure the first of these that the file has a line for, and write it there with its ±: that narrows it most. The others are the model's own.",
        "  ",
        "  ",
    ) + "\n");
    out
}
