//! Intervals that are told at once and later, beside all of them told in one pass.

use std::sync::Arc;

use station::quantity::{Kind, Spread, SpreadShape};

use super::draws::Intervals;
use super::{NodeId, Sheet, Told, When};
use crate::methods as m;

fn leaf(sheet: &mut Sheet, path: &str, value: f64) -> NodeId {
    let spread = Spread {
        half_width: 0.2 * value,
        shape: SpreadShape::Normal,
    };
    sheet.assumed(path, value, Kind::Volume, spread, "of a test")
}

fn sum(sheet: &mut Sheet, key: &str, inputs: &[NodeId]) -> NodeId {
    let figure = sheet.figure(key, key, &m::SUM_OF_VOLUMES, inputs);
    figure.unwrap_or_else(|refusal| panic!("{key}: {refusal}"))
}

/// A solution that gives the sum of its two inputs, and refuses where that is large.
fn solved(sheet: &mut Sheet, key: &str, inputs: [NodeId; 2], when: When) -> NodeId {
    let solve = |values: &[f64]| {
        let sum: f64 = values.iter().sum();
        vec![if sum < 3.4 { sum } else { f64::NAN }]
    };
    let names = vec!["a".to_owned(), "b".to_owned()];
    let value = inputs.iter().map(|id| sheet.value(*id)).sum();
    let solution = sheet.solution(inputs.to_vec(), names, (when, Arc::new(solve)));
    let told = Told {
        key: key.to_owned(),
        title: key.to_owned(),
        method: &m::MISTAKE_FLOW,
        shown: vec![0, 1],
    };
    sheet.output(solution, 0, value, told)
}

fn ends(intervals: &Intervals, nodes: &[NodeId]) -> Vec<(Option<u64>, Option<u64>, Option<String>)> {
    let of = |id: &NodeId| {
        let own = intervals.of(id.0);
        (own.low.map(f64::to_bits), own.high.map(f64::to_bits), own.remark)
    };
    nodes.iter().map(of).collect()
}

/// Leaves, a figure and its repetition, a solution told at once and one told later that rests on the repetition, and what
/// rests on each: told in two passes, to the last bit as in one.
#[test]
fn what_is_told_later_is_what_would_have_been_told_at_once() {
    let mut sheet = Sheet::default();
    let (a, b) = (leaf(&mut sheet, "a", 1.0), leaf(&mut sheet, "b", 2.0));
    let first = sum(&mut sheet, "first", &[a, a]);
    let again = sum(&mut sheet, "again", &[a, a]);
    let early = solved(&mut sheet, "early", [a, b], When::AtOnce);
    let late = solved(&mut sheet, "late", [b, a], When::Later);
    let of_again = solved(&mut sheet, "of again", [again, a], When::Later);
    let on_early = sum(&mut sheet, "on early", &[early, b]);
    let on_late = sum(&mut sheet, "on late", &[late, b]);
    let all = [first, again, early, late, of_again, on_early, on_late];
    let in_one = sheet.intervals_of(vec![true; sheet.nodes.len()]);
    let at_once = sheet.intervals(When::AtOnce);
    for id in [late, of_again, on_late] {
        assert!(at_once.of(id.0).low.is_none() && at_once.of(id.0).remark.is_none());
    }
    let told = ends(&at_once.with(sheet.intervals(When::Later)), &all);
    assert_eq!(told, ends(&in_one, &all));
    // The draws that refuse are told of, and every figure is in doubt.
    assert!(told.iter().all(|(low, high, _)| low.is_some() && low != high));
    let remarked = |id: NodeId| {
        told[all.iter().position(|own| *own == id).unwrap_or(0)]
            .2
            .is_some()
    };
    assert!(remarked(early) && remarked(late) && !remarked(first));
}
