//! The proof: everything computed once, as plain data.

use serde::Serialize;
use station::Station;

use crate::analysis;
use crate::analysis::speak::{left, print_figures};
use crate::analysis::{
    Batch, Cost, FactsOfService, LeadTime, Levels, Lineups, Mistakes, Needs, Service, Supply, SwitchOrder,
    Turned, Uncured,
};
use crate::assess::{Assessment, Scope, assess, place_and_sort};
use crate::estimate::Estimate;
use crate::figure::Figure;
use crate::finding::{Finding, Severity};
use crate::method::Refusal;
use crate::remedy::try_recipes;
use crate::sheet::{Cautions, Intervals, Sheet, When};
use crate::states::{Known, StateOfFeed, states, tests_today};
use crate::threads::joined;

/// All results for one station file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Proof {
    /// The station's title.
    pub title: String,
    /// The verdict, in words.
    pub verdict: String,
    /// The state of the feed that was proved; the usual one without a name.
    pub feed_state: Option<String>,
    /// What to test today, where a named state of the feed was proved.
    pub tests_today: Vec<String>,
    /// What each named state of the feed does; empty where one of them is proved.
    pub feed_states: Vec<StateOfFeed>,
    /// Every figure.
    pub figures: Vec<Figure>,
    /// What there is to say, worst first.
    pub findings: Vec<Finding>,
    /// What the tanks need.
    pub needs: Needs,
    /// How long the stores last.
    pub supply: Supply,
    /// Levels and volumes.
    pub levels: Levels,
    /// Batches of salt water.
    pub batch: Batch,
    /// What it costs.
    pub cost: Cost,
    /// Tasks with their valves, flows and times; `None` where nothing is plumbed.
    pub lineups: Option<Lineups>,
    /// In which order to turn valves and pumps between tasks; empty where nothing is plumbed.
    pub switching: Vec<SwitchOrder>,
    /// What to close to take each part out, and what goes on without it; `None` where nothing is plumbed.
    pub service: Option<Service>,
    /// What wrong valves do; `None` where nothing is plumbed.
    pub mistakes: Option<Mistakes>,
    /// How long until the largest emergency change is ready, from the worst moment; `None` without tanks or salt.
    pub lead_time: Option<LeadTime>,
}

/// Proves a station: pure, deterministic, without clock or files.
pub fn prove(station: &Station) -> Proof {
    prove_first(station).cured(station)
}

/// A proof to begin with: what wrong valves do is there, but neither the doubt of it nor what helps against it.
pub struct FirstProof {
    proof: Proof,
    later: Option<Later>,
}

/// What is told of wrong valves later, and what that takes.
struct Later {
    uncured: Uncured,
    sheet: Sheet,
    /// What is known of the doubt by then.
    intervals: Intervals,
    beyond: Cautions,
    /// The sentence of each cause, its figures still to be put in.
    sentences: Vec<String>,
}

/// Proves a station but for what helps against wrong valves and the doubt of what they do: these take as long as all the
/// rest several times over.
pub fn prove_first(station: &Station) -> FirstProof {
    let mut assessment = assess(station, Scope::All);
    let Assessment {
        sheet,
        findings,
        lineups,
        supply,
        ..
    } = &mut assessment;
    let usual: Vec<Known> = findings.iter().map(Known::of).collect();
    // None needs anything of another, so that each core has a part of it; the bytes are the same.
    let ((turned, states), service) = std::thread::scope(|scope| {
        let lineups = lineups.as_ref();
        let turning = scope.spawn(move || (turned(station, lineups, sheet), states(station, &usual)));
        let service = analysis::service(station, &FactsOfService { lineups, supply });
        try_recipes(station, findings);
        (joined(turning), service)
    });
    let intervals = assessment.sheet.intervals(When::AtOnce);
    let (mistakes, switching, uncured) = match turned {
        Some(Ok(turned)) => (Some(turned.mistakes), turned.switching, Some(turned.uncured)),
        Some(Err(refusal)) => {
            assessment.findings.push(not_looked_at(station, &refusal));
            place_and_sort(station, &mut assessment.findings);
            (None, Vec::new(), None)
        }
        None => (None, Vec::new(), None),
    };
    let sentences = mistakes.iter().flat_map(|mistakes| &mistakes.causes);
    let sentences = sentences.map(|cause| cause.sentence.clone()).collect();
    let slow = Slow {
        intervals,
        states,
        mistakes,
        switching,
        service,
    };
    let (mut proof, sheet, intervals, beyond) = told(station, assessment, slow);
    proof.find_mistakes(station);
    let later = uncured.map(|uncured| Later {
        uncured,
        sheet,
        intervals,
        beyond,
        sentences,
    });
    FirstProof { proof, later }
}

impl FirstProof {
    /// The proof as it is known by now.
    pub fn proof(&self) -> &Proof {
        &self.proof
    }

    /// The whole proof; the station is the one that was proved.
    pub fn cured(self, station: &Station) -> Proof {
        let Self { mut proof, later } = self;
        let Some(later) = later else {
            return proof;
        };
        let (Some(mistakes), Some(lineups)) = (&mut proof.mistakes, &proof.lineups) else {
            return proof;
        };
        let intervals = later.intervals.with(later.sheet.intervals(When::Later));
        proof.figures = later.sheet.figures(&intervals, &later.beyond);
        for (cause, sentence) in mistakes.causes.iter_mut().zip(later.sentences) {
            cause.sentence = sentence;
        }
        tell_mistakes(station, mistakes, &proof.figures, &mut |estimate| {
            fill(&intervals, &later.beyond, estimate);
        });
        if let Err(refusal) = analysis::try_cures(station, lineups, &later.uncured, mistakes) {
            proof.mistakes = None;
            proof.tell(station, vec![not_looked_at(station, &refusal)]);
            return proof;
        }
        proof.put_in_words(station);
        proof.find_mistakes(station);
        proof
    }
}

/// What moves with every change of a value: levels, batches, needs, supply and cost, the findings on them, every figure
/// without its doubt. Nothing of the lines (lineups, mistakes, service), no remedies: those take longer than a hand that
/// drags.
pub fn sketch(station: &Station) -> Proof {
    let assessment = assess(station, Scope::WithoutPlumbing);
    let slow = Slow {
        intervals: Intervals::none(),
        states: Vec::new(),
        mistakes: None,
        switching: Vec::new(),
        service: None,
    };
    told(station, assessment, slow).0
}

/// What takes longer than the assessment itself.
struct Slow {
    intervals: Intervals,
    states: Vec<StateOfFeed>,
    mistakes: Option<Mistakes>,
    switching: Vec<SwitchOrder>,
    service: Option<Service>,
}

/// As plain data, its sentences with their figures; and what these were made of.
fn told(station: &Station, mut assessment: Assessment, slow: Slow) -> (Proof, Sheet, Intervals, Cautions) {
    let Slow {
        intervals,
        states,
        mut mistakes,
        switching,
        service,
    } = slow;
    let beyond = assessment.sheet.beyond(|beyond| left(station, beyond));
    let figures = assessment.sheet.figures(&intervals, &beyond);
    let mut fill = |estimate: &mut Estimate| fill(&intervals, &beyond, estimate);
    assessment.supply.each(&mut fill);
    assessment.cost.each(&mut fill);
    if let Some(lineups) = &mut assessment.lineups {
        lineups.each(&mut fill);
    }
    if let Some(lead_time) = &mut assessment.lead_time {
        fill(&mut lead_time.ready);
    }
    if let Some(mistakes) = &mut mistakes {
        tell_mistakes(station, mistakes, &figures, &mut fill);
    }
    if let Some(made) = assessment
        .supply
        .purifier
        .as_mut()
        .filter(|_| intervals.are_told())
    {
        made.tell_doubts(&assessment.sheet);
    }
    assessment.levels.sound(station, &figures);
    for finding in &mut assessment.findings {
        finding.sentence = print_figures(station, &finding.sentence, &figures);
    }
    let mut proof = Proof {
        title: station.title.title.value.clone(),
        verdict: verdict_of(&assessment.findings, None),
        feed_state: station.feed_state.clone(),
        tests_today: tests_today(station),
        feed_states: states,
        figures,
        findings: assessment.findings,
        needs: assessment.needs,
        supply: assessment.supply,
        levels: assessment.levels,
        batch: assessment.batch,
        cost: assessment.cost,
        switching,
        mistakes,
        lineups: assessment.lineups,
        service,
        lead_time: assessment.lead_time,
    };
    proof.put_in_words(station);
    (proof, assessment.sheet, intervals, beyond)
}

/// Gives a value of a table its interval, and what there is to say of it.
fn fill(intervals: &Intervals, beyond: &Cautions, estimate: &mut Estimate) {
    intervals.fill(estimate);
    estimate.remark = beyond.of(estimate.node);
}

/// Puts figures into what is told of wrong valves.
fn tell_mistakes(
    station: &Station,
    mistakes: &mut Mistakes,
    figures: &[Figure],
    fill: &mut impl FnMut(&mut Estimate),
) {
    mistakes.each(fill);
    for cause in &mut mistakes.causes {
        cause.sentence = print_figures(station, &cause.sentence, figures);
    }
}

/// What wrong valves do; `None` where nothing is plumbed.
fn turned(
    station: &Station,
    lineups: Option<&Lineups>,
    sheet: &mut Sheet,
) -> Option<Result<Turned, Refusal>> {
    let permeate = sheet.find("permeate");
    let permeate = permeate.map_or(0.0, |permeate| sheet.value(permeate));
    Some(analysis::mistakes(station, lineups?, permeate, sheet))
}

/// That wrong valves weren't looked at, and why.
fn not_looked_at(station: &Station, refusal: &Refusal) -> Finding {
    let place = station
        .lines
        .first()
        .map_or_else(String::new, |line| format!("lines.{}", line.name));
    let sentence = format!("Wrong valves weren't looked at: {refusal}.");
    Finding::new("mistakes-not-looked-at", Severity::Note, place, sentence)
}

impl Proof {
    /// Whether everything is known, cures of all wrong valves among it.
    pub fn is_whole(&self) -> bool {
        self.mistakes
            .as_ref()
            .is_none_or(|mistakes| !mistakes.being_tried)
    }

    /// Tells the wrong valves that matter most among the findings.
    fn find_mistakes(&mut self, station: &Station) {
        if let Some(mistakes) = &self.mistakes {
            let found = mistakes.findings(station);
            self.tell(station, found);
        }
    }

    /// Tells this of wrong valves, in place of what was told of them before.
    fn tell(&mut self, station: &Station, found: Vec<Finding>) {
        self.findings.retain(|own| !analysis::is_of_mistakes(own));
        self.findings.extend(found);
        place_and_sort(station, &mut self.findings);
        self.verdict = verdict_of(&self.findings, None);
    }

    /// The figure with this key.
    pub fn figure(&self, key: &str) -> Option<&Figure> {
        self.figures.iter().find(|figure| figure.key == key)
    }

    /// Findings of a severity.
    pub fn of_severity(&self, severity: Severity) -> impl Iterator<Item = &Finding> {
        self.findings
            .iter()
            .filter(move |finding| finding.severity == severity)
    }
}

/// The verdict that findings come to, in words: those of a proof, with those of its years where these were walked through; and
/// whether one can leave it alone, where that is known.
pub fn verdict_of<'f>(findings: impl IntoIterator<Item = &'f Finding>, may_leave: Option<bool>) -> String {
    let (mut must, mut should) = (0, 0);
    for finding in findings {
        match finding.severity {
            Severity::Must => must += 1,
            Severity::Should => should += 1,
            Severity::Note => {}
        }
    }
    let sound = match may_leave {
        Some(false) => "Sound while somebody is there",
        Some(true) | None => "Sound",
    };
    match (must, should) {
        (0, 0) => format!("{sound}, by everything that was checked."),
        (0, 1) => format!("{sound}, with one thing worth fixing."),
        (0, n) => format!("{sound}, with {} things worth fixing.", number_word(n)),
        (1, 0) => "Nearly sound: one thing must be fixed.".to_owned(),
        (1, n) => format!("Nearly sound: one thing must be fixed, {} worth fixing.", are(n)),
        (m, 0) => format!("Not sound yet: {} things must be fixed.", number_word(m)),
        (m, n) => format!(
            "Not sound yet: {} things must be fixed, {} worth fixing.",
            number_word(m),
            are(n)
        ),
    }
}

fn are(n: usize) -> String {
    if n == 1 {
        "one is".to_owned()
    } else {
        format!("{} are", number_word(n))
    }
}

fn number_word(n: usize) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve",
    ];
    WORDS
        .get(n)
        .map_or_else(|| n.to_string(), |word| (*word).to_owned())
}
