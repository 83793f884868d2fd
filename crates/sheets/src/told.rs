//! What the page and the printed sheets tell alike: figures with their doubt, groups of findings, methods, sources,
//! cautions.

use proof::{Figure, Finding, Method, Mistakes, Over, Proof, Severity, Source, TriedChange, Year};
use station::quantity::{format_about, format_count, format_ends, format_interval, format_rough_time};
use station::{Station, spoken};

use crate::drawing::Ink;

/// What every sheet of a station bears.
pub(crate) const CAUTION: &str = "Relieve the pressure before a housing is opened. Mains near water only behind a \
residual-current device, with a drip loop. Never leave the feed on to a station that has not passed its tests; air gaps \
at tap and drain. Full vessels weigh hundreds of kilograms. Not drinking water.";

/// What it is, and what it isn't.
pub(crate) const ADVICE: &str =
    "Advice, not a permit: readings beat it, local codes and licensed trades govern.";

/// A figure in the owner's units: its value, and its doubt as `± 2` or as two ends.
pub(crate) struct Told {
    pub(crate) value: String,
    pub(crate) doubt: String,
}

/// A figure as it is told.
pub(crate) fn told(station: &Station, figure: &Figure) -> Told {
    let own = format_interval(
        figure.kind,
        figure.value,
        figure.half_width(),
        station.units(),
        &station.currency(),
    );
    let doubt = match (figure.low, figure.high) {
        (Some(low), Some(high)) if figure.is_lopsided() => format_ends(
            figure.kind,
            (figure.value, low, high),
            figure.half_width(),
            station.units(),
            &station.currency(),
        ),
        _ => own
            .half_width
            .as_ref()
            .map_or_else(String::new, |half| format!("± {half}")),
    };
    Told {
        value: own.value_with_unit(),
        doubt,
    }
}

/// What is told in place of a difference that chance alone may make: its interval has nothing in it.
pub(crate) fn not_sure(difference: &Over) -> Option<&'static str> {
    (difference.low <= 0.0 && difference.high >= 0.0).then_some("no sure difference")
}

/// A difference is told no finer than this share of it, however sure it is (house rule: nobody decides by more).
const FINEST_OF_DIFFERENCE: f64 = 0.04;

/// Half of the interval that the digits of a difference follow.
pub(crate) fn half_of_difference(own: &Over) -> f64 {
    (0.5 * (own.high - own.low)).max(FINEST_OF_DIFFERENCE * own.mean.abs())
}

/// The figures that matter.
pub(crate) fn headlines(proof: &Proof) -> impl Iterator<Item = &Figure> {
    proof.figures.iter().filter(|figure| figure.headline)
}

/// Keys of the figures that lead, of each group the first that there is and that no group before has taken; `{month}` stands
/// for the leanest, `{vessel}` for the first that is filled in runs. Two answer whether there is water, two how it is made,
/// two what it takes: most of them move with a mark.
const LEADING: [&[&str]; 6] = [
    &["fresh-always", "stores.top-off-worst", "salt-full"],
    &[LEAD_TIME, "stores.top-off-worst", "peak-day"],
    &[
        RUN_OF_ALL,
        "{vessel}.run",
        "net.{month}",
        "made.{month}",
        "permeate.{month}",
    ],
    &["fill-time.{month}", "run.reject-ratio"],
    &["fresh.litre", "run.litre"],
    &["run.resin-life", "fresh-need"],
];

/// How long an emergency's water takes. A sketch lacks it: nothing else takes its place there.
const LEAD_TIME: &str = "lead-time.emergency";

/// The place of the figure that a sketch leaves open.
pub(crate) fn left_open(proof: &Proof) -> Option<usize> {
    let place = LEADING.iter().position(|group| group.contains(&LEAD_TIME))?;
    (proof.needs.emergency_m3 > 0.0 && proof.figure(LEAD_TIME).is_none()).then_some(place)
}

/// Where several vessels are filled.
const RUN_OF_ALL: &str = "purifier.run";

/// The figures that one asks for first, each with the number of its place among them.
pub(crate) fn leading(proof: &Proof) -> Vec<(usize, &Figure)> {
    let month = proof
        .supply
        .purifier
        .as_ref()
        .map_or_else(String::new, |made| made.leanest_month.to_lowercase());
    let filled = proof
        .levels
        .vessels
        .iter()
        .find(|own| own.run_volume_m3.is_some());
    let vessel = filled.map_or("", |own| &own.name);
    let mut out: Vec<(usize, &Figure)> = Vec::new();
    for (place, group) in LEADING.iter().enumerate() {
        let only = proof.needs.emergency_m3 > 0.0 && group.contains(&LEAD_TIME);
        let known: Vec<&Figure> = group[..if only { 1 } else { group.len() }]
            .iter()
            .filter(|key| filled.is_some() || **key != RUN_OF_ALL)
            .filter_map(|key| proof.figure(&key.replace("{month}", &month).replace("{vessel}", vessel)))
            .filter(|figure| !out.iter().any(|(_, taken)| taken.key == figure.key))
            .filter(|figure| figure.value >= 0.0)
            .collect();
        // What isn't kept here leads only where nothing else does: then there is nothing, and that is told.
        let own = known
            .iter()
            .find(|figure| figure.value > 0.0)
            .or(known.last())
            .copied();
        out.extend(own.map(|own| (place, own)));
    }
    out
}

/// What a mark is called: "fresh" alone would be a vessel's name.
pub(crate) fn mark(name: &'static str) -> &'static str {
    match name {
        "fresh" => "fresh line",
        other => other,
    }
}

/// Findings of one weight.
pub(crate) struct Group<'p> {
    pub(crate) heading: &'static str,
    pub(crate) ink: Ink,
    pub(crate) findings: Vec<&'p Finding>,
}

/// How much findings matter, the worst first, with what stands over them and its ink.
pub(crate) const WEIGHTS: [(Severity, &str, Ink); 3] = [
    (Severity::Must, "Must fix", Ink::Must),
    (Severity::Should, "Worth fixing", Ink::Should),
    (Severity::Note, "Worth knowing", Ink::Second),
];

/// Findings by how much they matter, the worst first.
pub(crate) fn groups(proof: &Proof) -> Vec<Group<'_>> {
    WEIGHTS
        .into_iter()
        .map(|(severity, heading, ink)| Group {
            heading,
            ink,
            findings: proof.of_severity(severity).collect(),
        })
        .filter(|group| !group.findings.is_empty())
        .collect()
}

/// The methods behind the figures that matter, each once, by their titles.
pub(crate) fn methods(proof: &Proof) -> Vec<&'static Method> {
    let mut methods: Vec<&Method> = headlines(proof)
        .filter_map(|figure| proof::method(figure.method))
        .collect();
    methods.sort_by_key(|method| (method.title, method.key));
    methods.dedup_by_key(|method| method.key);
    methods
}

/// The works behind those methods, each once, by their keys.
pub(crate) fn sources(methods: &[&Method]) -> Vec<Source> {
    let mut keys: Vec<&str> = methods
        .iter()
        .flat_map(|method| method.sources.iter().copied())
        .collect();
    keys.sort_unstable();
    keys.dedup();
    keys.into_iter().filter_map(proof::source).collect()
}

/// A work in words: what it is, and how far it was checked. The marks of its register are taken off.
pub(crate) fn in_words(source: &Source) -> String {
    let plain = |text: &str| text.trim_end_matches('.').replace(['`', '*'], "");
    format!("{}. Checked: {}.", plain(source.reference), plain(source.checked))
}

/// The moves from one task, or rest, to another; none where no order is known that does no harm.
pub(crate) fn moves(proof: &Proof, from: &str, to: &str) -> Vec<String> {
    let order = proof
        .switching
        .iter()
        .find(|order| order.from == from && order.to == to);
    order
        .and_then(|order| order.moves.as_ref())
        .map_or_else(Vec::new, |moves| {
            moves
                .iter()
                .map(|own| format!("{} {}", own.turn, spoken(&own.what)))
                .collect()
        })
}

/// Wrong moves that a card warns of (house rule: more aren't read).
const WARNED_OF: usize = 2;

/// The gravest single wrong moves out of a task, each with the worst that it does:
/// `open fresh outlet (salt into fresh, after 3 s)`.
pub(crate) fn gravest(proof: &Proof, lineup: &str) -> Vec<String> {
    let all = proof
        .mistakes
        .as_ref()
        .map_or_else(Vec::new, |all| all.gravest(lineup));
    all.into_iter()
        .take(WARNED_OF)
        .map(|wrong| {
            format!(
                "{} {} ({}, {})",
                verb(wrong.turned),
                spoken(&wrong.moved),
                wrong.kind.word(),
                how_soon(wrong.seconds_to_harm)
            )
        })
        .collect()
}

/// What one does, for what was done.
fn verb(turned: &'static str) -> &'static str {
    match turned {
        "opened" => "open",
        "closed" => "close",
        "started" => "start",
        "stopped" => "stop",
        other => other,
    }
}

/// The changes that were tried, each with its place among them: the one most worth making first, as the heading names it,
/// then what saves most in a year.
pub fn changes_by_worth(year: &Year) -> Vec<(usize, &TriedChange)> {
    let mut all: Vec<(usize, &TriedChange)> = year.changes.iter().enumerate().collect();
    let is_other = |at: usize| year.best_change != Some(at);
    all.sort_by(|(a, own), (b, other)| {
        let first = is_other(*a).cmp(&is_other(*b));
        first.then(own.cost.mean.total_cmp(&other.cost.mean))
    });
    all
}

/// How soon harm is done.
pub(crate) fn how_soon(seconds: f64) -> String {
    match seconds {
        ..1.0 => "at once".to_owned(),
        _ => format!("after {}", format_rough_time(seconds)),
    }
}

/// What is said below the wrong moves: what is left when the cheapest change of each is made, what to keep in mind about
/// those changes, how much was looked at.
pub(crate) fn below_wrong_moves(station: &Station, proof: &Proof) -> Vec<String> {
    let Some(mistakes) = &proof.mistakes else {
        return Vec::new();
    };
    let mut told = Vec::new();
    if mistakes.causes.len() > 1 {
        told.push(
            "The gravest stand first; among those as grave, what has most time to happen: how often its tasks are done, and for how long."
                .to_owned(),
        );
    }
    told.extend(left_with_changes(station, mistakes));
    let cheapest = mistakes.causes.iter().filter_map(|cause| cause.remedy);
    for caution in cheapest.filter_map(|at| mistakes.remedies.get(at)?.caution) {
        if !told.iter().any(|own| own == caution) {
            told.push(caution.to_owned());
        }
    }
    let map = &mistakes.map;
    told.push(format!(
        "Looked at: {}, in {} situations; {} of {} states do no harm.",
        map.exhaustive,
        map.situations.len(),
        format_count(map.harmless),
        format_count(map.states_tried)
    ));
    told
}

fn left_with_changes(station: &Station, mistakes: &Mistakes) -> Option<String> {
    let all = mistakes.together.as_ref()?;
    let changes = match all.remedies.len() {
        1 => "this change".to_owned(),
        n => format!("these {n} changes"),
    };
    let price = all.price.map_or_else(String::new, |price| {
        format!(", about {}", format_about(price, &station.currency()))
    });
    let left = match all.left {
        0 => "none".to_owned(),
        left => left.to_string(),
    };
    let is = if all.left > 1 { "are" } else { "is" };
    let brings = if all.brings {
        ", and a new one comes up"
    } else {
        ""
    };
    Some(format!(
        "With {changes}{price}, made together and tried, {left} of {} causes {is} left{brings}.",
        mistakes.causes.len()
    ))
}
