//! A card that is followed: what is asked of it, and how it is told.

use proof::live::{
    Act, Ended, Follow, Foretold, Left, Live, LiveFault, Part, Snapshot, Step, Turned, Unsalted,
};
use serde::{Deserialize, Serialize};
use sheets::fragment::kept;
use station::plumbing::End;
use station::quantity::{Kind, format_plain};
use station::{Station, spoken};

/// What somebody wants of a card.
#[derive(Debug, Clone, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub(super) enum Wanted {
    /// A task's card is taken in hand.
    Take { task: String },
    /// The step that is next is done.
    Step,
    /// What isn't the card's is put back.
    PutBack,
    /// The card goes on from how everything stands.
    GoOn,
    /// One has watched for long enough.
    Enough,
    /// The card is left.
    Leave,
}

/// A card in hand on the stage.
pub(super) struct Card {
    pub(super) follow: Follow,
    /// What comes of what was turned beside it.
    pub(super) word: Option<Word>,
    /// The step that time waits for, and the pace that it then goes on at.
    pub(super) waits_for: Option<(usize, f64)>,
}

/// What comes of what was turned beside a card.
pub(super) struct Word {
    /// When it was looked at, s.
    at_s: f64,
    comes: Comes,
}

enum Comes {
    /// Nothing, left or gone on with.
    Nothing,
    /// Harm that comes without it as well: nobody ends what runs.
    Anyway(Foretold),
    /// Nothing, left to itself; with the card's next steps what they would do without it, where nobody watches.
    Watched,
    /// Harm, left to itself.
    Left(Foretold),
    /// Harm once the card goes on, beside what comes anyway.
    GoneOn(Foretold, Option<Foretold>),
}

impl Card {
    /// Looks what comes of what was turned beside it.
    pub(super) fn look_ahead(&mut self, live: &mut Live<'_>) -> Result<(), LiveFault> {
        self.word = None;
        if self.follow.is_beside() {
            let left = live.foretell_beside(&self.follow)?;
            let comes = match left {
                Some(own) if !own.anyway => Comes::Left(own),
                left => match (left, live.foretell_gone_on(&self.follow)?) {
                    (left, Some(own)) if !own.anyway => Comes::GoneOn(own, left),
                    (Some(own), _) => Comes::Anyway(own),
                    (None, Some(_)) => Comes::Watched,
                    (None, None) => Comes::Nothing,
                },
            };
            self.word = Some(Word {
                at_s: live.t_s(),
                comes,
            });
        }
        Ok(())
    }

    pub(super) fn take(live: &Live<'_>, task: &str) -> Result<Self, LiveFault> {
        let mut follow = live.follow(task)?;
        live.look_on(&mut follow);
        Ok(Self {
            follow,
            word: None,
            waits_for: None,
        })
    }

    /// Whether an act is the step that is next.
    pub(super) fn is_next(&self, act: &Act) -> bool {
        let next = self.follow.next_step().and_then(|step| step.act.as_ref());
        !self.follow.is_beside() && next == Some(act)
    }
}

/// A card as pages show it.
#[derive(Debug, Clone, Serialize)]
pub(super) struct Told {
    /// The task, as the file calls it and as one says it.
    key: String,
    task: String,
    steps: Vec<StepTold>,
    /// The step that is next, by its place; as many as there are where all are done.
    next: usize,
    /// What to do now, and why.
    says: String,
    /// What of the water that has come isn't what the card draws; it is part of what is said.
    wrong: String,
    /// What is still to come while one watches.
    left: String,
    /// Whether time waits until it is done.
    waits: bool,
    watches: bool,
    /// What was turned that isn't the card's.
    beside: Option<Beside>,
}

#[derive(Debug, Clone, Serialize)]
struct StepTold {
    said: String,
    part: Part,
    /// What is to be pressed; empty where nothing is.
    path: String,
}

#[derive(Debug, Clone, Serialize)]
struct Beside {
    says: String,
    /// What it would harm; empty where nothing.
    harm: String,
    /// What comes of it and how soon, harm or none.
    comes: String,
    /// What was turned, as it is pressed.
    paths: Vec<String>,
}

/// The card in the owner's words and units.
pub(super) fn told(station: &Station, live: &Live<'_>, seen: &Snapshot, card: &Card) -> Told {
    let follow = &card.follow;
    let steps: Vec<StepTold> = follow
        .steps()
        .iter()
        .map(|step| StepTold {
            said: said(station, live, follow, step),
            part: step.part,
            path: match &step.act {
                Some(Act::Valve { valve, .. }) => format!("valves.{valve}"),
                Some(Act::Pump { pump, .. }) => format!("pumps.{pump}"),
                _ => String::new(),
            },
        })
        .collect();
    Told {
        key: station.lineups[follow.task()].name.clone(),
        task: station::shown(&station.lineups[follow.task()].name),
        next: follow.next_at(),
        says: says(station, live, seen, card, &steps),
        wrong: wrong(live, follow),
        left: match live.left(follow) {
            Some(Left::Volume { left_m3 }) => format!("{} to go", volume(station, left_m3)),
            Some(Left::Time { left_s }) => format!("{} to go", time(station, left_s.max(0.0))),
            Some(Left::Open) | None => String::new(),
        },
        waits: card.waits_for.is_some(),
        watches: follow.watches(),
        beside: follow.is_beside().then(|| {
            let turned = live.turned(follow);
            Beside {
                says: format!("That isn't the card's step: {}.", standing(&turned)),
                comes: card
                    .word
                    .as_ref()
                    .map_or_else(String::new, |word| comes(station, live.t_s(), word)),
                harm: card
                    .word
                    .as_ref()
                    .map_or_else(String::new, |word| match &word.comes {
                        Comes::Left(own) | Comes::GoneOn(own, _) | Comes::Anyway(own) => own.harm.clone(),
                        Comes::Watched | Comes::Nothing => String::new(),
                    }),
                paths: turned.iter().map(path).collect(),
            }
        }),
        steps,
    }
}

fn said(station: &Station, live: &Live<'_>, follow: &Follow, step: &Step) -> String {
    match &step.act {
        Some(Act::Valve { valve, open }) => match (closes_by_itself(station, valve), *open) {
            (false, true) => format!("Open {}", spoken(valve)),
            (false, false) => format!("Shut {}", spoken(valve)),
            (true, true) => format!("Hold {} open", spoken(valve)),
            (true, false) => format!("Let {} go", spoken(valve)),
        },
        Some(Act::Pump { pump, on: true }) => format!("Start {}", spoken(pump)),
        Some(Act::Pump { pump, .. }) => format!("Stop {}", spoken(pump)),
        Some(Act::Bucket { draw }) => format!("Put an empty container under {}", spoken(draw)),
        Some(Act::TakeOut { tank, volume_m3 }) => {
            format!("Take {} out of {}", volume(station, *volume_m3), spoken(tank))
        }
        Some(_) | None => match live.whole(follow) {
            Left::Volume { left_m3 } => {
                let volume = volume(station, left_m3);
                let to = station.plumbing.tasks[follow.task()].to;
                let full = if matches!(to, End::Tank(_)) {
                    ", or it is full"
                } else {
                    ""
                };
                format!(
                    "Watch until {volume} have come to {}{full}",
                    spoken(station.name_of(to))
                )
            }
            Left::Time { left_s } => format!("Let it go round for {}", time(station, left_s)),
            Left::Open => "Watch until it is enough".to_owned(),
        },
    }
}

/// What of the water that has come isn't what the card draws.
fn wrong(live: &Live<'_>, follow: &Follow) -> String {
    let wrong = live.wrong_drawn(follow);
    wrong.map_or_else(String::new, |what| format!("There is {what}: pour it away."))
}

/// Whether a valve closes once nobody holds it.
pub(super) fn closes_by_itself(station: &Station, valve: &str) -> bool {
    let mut valves = station.valves.iter();
    valves.any(|own| own.name == valve && own.fields.closes_by_itself())
}

/// What to do now, and why.
fn says(station: &Station, live: &Live<'_>, seen: &Snapshot, card: &Card, steps: &[StepTold]) -> String {
    let follow = &card.follow;
    let wrong = match wrong(live, follow).as_str() {
        "" => String::new(),
        wrong => format!(" {wrong}"),
    };
    let Some(step) = steps.get(follow.next_at()) else {
        let mut says = done(&live.unlike_rest(follow), seen);
        says.extend(live.unsalted(follow).map(|own| to_salt(station, &own)));
        return says + &wrong;
    };
    let at = format!("Step {} of {}: {}.", follow.next_at() + 1, steps.len(), step.said);
    let why = match follow.ended() {
        Some(Ended::Moved) => "All has come. ",
        Some(Ended::Full) => "There is no room for more. ",
        Some(Ended::Time) => "It has gone round for long enough. ",
        Some(Ended::Still) => "No more comes. ",
        Some(Ended::Enough) | None => "",
    };
    match card.waits_for {
        // What isn't the card's comes before its next step.
        Some(_) if follow.is_beside() => format!("{why}Time waits for you.{wrong}"),
        Some(_) => format!("{why}Time waits for you. {at}{wrong}"),
        None => at + &wrong,
    }
}

/// Said of a card that put water in for a batch: what it still wants.
fn to_salt(station: &Station, own: &Unsalted) -> String {
    let say = |mass_kg| {
        kept(&format_plain(
            Kind::Mass,
            mass_kg,
            station.units(),
            &station.currency(),
        ))
    };
    let of_mix = own
        .mix_kg
        .map(|mix_kg| format!(", which is {} of your mix", say(mix_kg)));
    format!(
        " {} has a salinity of {:.1} and is to have {:.1}: pour {} of dry salt into it{}, then mix.",
        station::shown(&own.vessel),
        own.practical_salinity,
        own.target,
        say(own.salt_kg),
        of_mix.unwrap_or_default()
    )
}

/// Said of a card that is done: how everything stands, and what isn't well.
fn done(unlike: &[Turned], seen: &Snapshot) -> String {
    let wrong = match (seen.floor.is_empty(), seen.alarms.is_empty()) {
        (false, _) => "there is water on the floor",
        (true, false) => "an alarm stands",
        (true, true) => "",
    };
    match (unlike, wrong) {
        ([], "") => "Done: everything stands as it does between tasks.".to_owned(),
        ([], wrong) => format!("Done: valves and pumps stand as they do between tasks, but {wrong}."),
        (unlike, "") => format!(
            "Done, but not everything stands as it does between tasks: {}.",
            standing(unlike)
        ),
        (unlike, wrong) => format!(
            "Done, but not everything stands as it does between tasks: {}; and {wrong}.",
            standing(unlike)
        ),
    }
}

/// What an act would harm, before it is done.
pub(super) fn asked(station: &Station, own: &Foretold, beside: bool) -> String {
    let begins = if beside {
        "That isn't the card's step. "
    } else {
        ""
    };
    let soon = match own.in_s {
        ..1.0 => "at once".to_owned(),
        in_s => format!("in {}", rounded(station, in_s)),
    };
    format!(
        "{begins}Left to itself it does harm {soon}. Within {} it comes to this: {}.",
        rounded(station, own.within_s),
        own.harm
    )
}

/// A time to come, in whole seconds or minutes.
fn rounded(station: &Station, seconds: f64) -> String {
    match seconds {
        ..120.0 => time(station, seconds.ceil()),
        _ => time(station, 60.0 * (seconds / 60.0).ceil()),
    }
}

/// What comes of what was turned, with how soon.
fn comes(station: &Station, now_s: f64, word: &Word) -> String {
    let rounded = |seconds: f64| rounded(station, seconds);
    // By then somebody sees it happen.
    let soon = |own: &Foretold| match own.in_s - (now_s - word.at_s) {
        ..1.0 => "now".to_owned(),
        left_s => format!("in {}", rounded(left_s)),
    };
    match &word.comes {
        Comes::Left(own) => format!(
            "Left like that it does harm {}; {} after it was turned it comes to this: {}.",
            soon(own),
            rounded(own.within_s),
            own.harm
        ),
        Comes::GoneOn(own, Some(left)) => format!(
            "It adds no harm as long as it is left like that, but nobody ends what runs, which does harm {}; with the card's next steps it adds harm in {}, and within {} it comes to this: {}.",
            soon(left),
            rounded(own.in_s.max(1.0)),
            rounded(own.within_s),
            own.harm
        ),
        Comes::GoneOn(own, None) => format!(
            "Left like that it does none; with the card's next steps it does harm in {}, and within {} comes to this: {}.",
            rounded(own.in_s.max(1.0)),
            rounded(own.within_s),
            own.harm
        ),
        Comes::Anyway(own) => format!(
            "It adds no harm of its own, but nobody ends what runs: that does harm {}; {} after it was turned it comes to this: {}.",
            soon(own),
            rounded(own.within_s),
            own.harm
        ),
        Comes::Watched => {
            "Left like that it does no harm within a quarter of an hour; with the card's next steps it adds none, as long as somebody watches."
                .to_owned()
        }
        Comes::Nothing => {
            "It does no harm within a quarter of an hour, left like that or with the card's next steps."
                .to_owned()
        }
    }
}

pub(super) fn standing(turned: &[Turned]) -> String {
    let said: Vec<String> = turned
        .iter()
        .map(|own| {
            let stands = match (own.is_pump, own.on) {
                (false, true) => "open",
                (false, false) => "shut",
                (true, true) => "on",
                (true, false) => "off",
            };
            format!("{} is {stands}", spoken(&own.what))
        })
        .collect();
    said.join(", ")
}

fn path(turned: &Turned) -> String {
    let section = if turned.is_pump { "pumps" } else { "valves" };
    format!("{section}.{}", turned.what)
}

fn volume(station: &Station, m3: f64) -> String {
    kept(&format_plain(
        Kind::Volume,
        m3,
        station.units(),
        &station.currency(),
    ))
}

fn time(station: &Station, seconds: f64) -> String {
    kept(&format_plain(
        Kind::Time,
        seconds,
        station.units(),
        &station.currency(),
    ))
}
