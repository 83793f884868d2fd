//! Which mistakes are told first.

use proof::{Leading, MistakeKind as Kind, Mistakes, Severity};

use super::support::{edited, mistakes_of, read};

const EXAMPLES: [&str; 3] = [
    include_str!("../../../../stations/larkhaven.toml"),
    include_str!("../../../../stations/juniper-street-school.toml"),
    include_str!("../../../../stations/skelder-hatchery.toml"),
];

/// Kind and victim of a mistake told first.
fn what(all: &Mistakes, own: &Leading) -> (Kind, String) {
    match own {
        Leading::Cause(at) => (all.causes[*at].kind, all.causes[*at].victim.clone()),
        Leading::Left { at, .. } => (all.left_on[*at].kind, all.left_on[*at].victim.clone()),
    }
}

#[test]
fn no_two_are_the_same_mistake_and_what_has_no_cure_says_what_was_tried() {
    let mut without_cure = 0;
    for text in EXAMPLES {
        let all = mistakes_of(&read(text));
        let told: Vec<(Kind, String)> = all.leading.iter().map(|own| what(&all, own)).collect();
        assert!((1..=3).contains(&told.len()), "{told:?}");
        for (at, own) in told.iter().enumerate() {
            assert!(!told[..at].contains(own), "{told:?}");
        }
        for cause in &all.causes {
            assert_eq!(
                cause.remedy.is_some(),
                all.no_cure(cause).is_none(),
                "{}",
                cause.sentence
            );
            let Some(said) = all.no_cure(cause) else { continue };
            without_cure += 1;
            assert!(!cause.tried.is_empty(), "{}", cause.sentence);
            assert!(
                cause.tried.iter().all(|tried| said.contains(tried.as_str())),
                "{said}"
            );
        }
        // Each stands in one place.
        let others = all.others().count();
        let causes = all.leading.iter().filter(|own| matches!(own, Leading::Cause(_)));
        assert_eq!(others + causes.count(), all.causes.len());
        let left = all
            .leading
            .iter()
            .filter(|own| matches!(own, Leading::Left { .. }));
        assert_eq!(all.left_soonest().len() + left.count(), all.left_on.len());
    }
    assert!(without_cure > 0);
}

/// The school's only way to a wet floor is a spigot that nobody closes; a valve that closes by itself ends it.
#[test]
fn a_task_that_nobody_ends_is_among_them_with_what_ends_it() {
    let text = EXAMPLES[1];
    let all = mistakes_of(&read(text));
    let [
        Leading::Left {
            at,
            severity: Severity::Should,
            sentence,
            remedy: Some(remedy),
        },
    ] = &all.leading[..]
    else {
        panic!("{:?}", all.leading)
    };
    assert_eq!(all.left_on[*at].kind, Kind::ToFloor);
    assert!(sentence.starts_with("Nobody ends bucket: "), "{sentence}");
    let edits: Vec<(&str, &str)> = remedy
        .edits
        .iter()
        .map(|edit| (edit.path.as_str(), edit.text.as_str()))
        .collect();
    let after = mistakes_of(&edited(text, &edits));
    assert!(after.left_on.is_empty(), "{:?}", after.left_on);
    assert!(after.leading.is_empty(), "{:?}", after.leading);
}

/// At the hatchery both salt vessels can be thinned and nothing tried clears either: the second refers to the first by its
/// number, where all that was tried stands. What has a cure, and what nobody ends, refers to nothing.
#[test]
fn what_was_tried_in_vain_is_told_once() {
    let all = mistakes_of(&read(EXAMPLES[2]));
    let refers: Vec<Option<usize>> = (0..all.leading.len() + 1).map(|at| all.no_cure_as(at)).collect();
    assert_eq!(refers, [None, None, Some(2), None], "{:?}", all.leading);
    let cured = mistakes_of(&read(EXAMPLES[0]));
    assert!((0..cured.leading.len()).all(|at| cured.no_cure_as(at).is_none()));
}

/// The same plumbing: a change of the touch pool that is done each hour has more time for its wrong moves than one that is
/// done once a year, so that what only it leads to comes further up.
#[test]
fn a_task_that_is_done_more_often_weighs_more() {
    let place = |every: &str| {
        let all = mistakes_of(&edited(EXAMPLES[0], &[("tanks.touch-pool.change_every", every)]));
        let only_there = |cause: &proof::Cause| cause.lineups == ["touch-pool-change"];
        let at = all.causes.iter().position(only_there);
        at.expect("a wrong move of that task alone")
    };
    let (often, seldom) = (place("\"1 h\""), place("\"1 year\""));
    assert!(often < seldom, "{often} against {seldom}");
}

/// A sentence without its numbers, whose digits hang on their doubt.
fn without_numbers(sentence: &str) -> String {
    sentence.replace(
        |letter: char| letter.is_ascii_digit() || ".,".contains(letter),
        "",
    )
}

/// What is told before cures are tried is what is told afterwards but for the cures, and for the doubt of what wrong valves
/// do, in the same order: a press that meant the third finding still means it. And nothing is said to have no cure meanwhile.
#[test]
fn what_is_told_first_lacks_cures_and_the_doubt_of_wrong_moves_and_nothing_else() {
    let mut later = 0;
    for text in EXAMPLES {
        let station = read(text);
        let first = proof::prove_first(&station);
        let early = first.proof().clone();
        let whole = first.cured(&station);
        assert!(!early.is_whole() && whole.is_whole());
        assert_eq!(whole, proof::prove(&station));
        assert_eq!(early.verdict, whole.verdict);
        assert_eq!(early.figures.len(), whole.figures.len());
        for (before, after) in early.figures.iter().zip(&whole.figures) {
            let mut after = after.clone();
            if after.key.starts_with("mistakes.") {
                later += usize::from(after.low.is_some());
                (after.low, after.high, after.remark) = (None, None, None);
            }
            assert!(*before == after, "{}", before.key);
        }
        let told = |proof: &proof::Proof| -> Vec<(&'static str, String)> {
            let each = proof.findings.iter();
            each.map(|own| (own.id, own.place.clone())).collect()
        };
        assert_eq!(told(&early), told(&whole));
        let mut tried = 0;
        for (before, after) in early.findings.iter().zip(&whole.findings) {
            assert!(!after.being_tried);
            let [said, by_then] = [before, after].map(|own| without_numbers(&own.sentence));
            assert!(by_then.starts_with(&said), "{said:?} and then {by_then:?}");
            if before.being_tried {
                tried += 1;
                assert_eq!(before.remedy, None);
            } else {
                assert_eq!(before, after);
            }
        }
        let early = early.mistakes.unwrap_or_else(|| panic!("something is plumbed"));
        let most = early.leading.iter().enumerate();
        assert!(tried >= early.leading.len() && tried > 0);
        for (at, own) in most {
            assert_eq!(early.no_cure_as(at), None, "{own:?}");
        }
        for cause in &early.causes {
            assert_eq!(early.no_cure(cause).as_deref(), Some(proof::BEING_TRIED));
        }
    }
    assert!(later > 0);
}
