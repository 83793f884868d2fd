//! Pairs as products: each of some things with each of some others, so that a tree of them stays small.

/// Each of some with each of some others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Product {
    pub(super) left: Vec<usize>,
    pub(super) right: Vec<usize>,
}

impl Product {
    /// Whether a pair is one of its pairs.
    pub(super) fn holds(&self, pair: &[usize]) -> bool {
        let across = |a, b| self.left.contains(a) && self.right.contains(b);
        matches!(pair, [a, b] if across(a, b) || across(b, a))
    }
}

/// Products that together hold every pair once and no other. Greedy: the largest that begins with one thing comes first;
/// of as large ones, the one that begins with the first thing.
pub(super) fn factor(pairs: &[[usize; 2]]) -> Vec<Product> {
    let mut left: Vec<[usize; 2]> = pairs.iter().map(|[a, b]| [*a.min(b), *a.max(b)]).collect();
    left.sort_unstable();
    left.dedup();
    let mut products = Vec::new();
    while let Some(best) = largest(&left) {
        left.retain(|pair| !best.holds(pair));
        products.push(best);
    }
    products
}

/// The largest product that begins with all partners of one thing.
fn largest(pairs: &[[usize; 2]]) -> Option<Product> {
    let mut things: Vec<usize> = pairs.iter().flatten().copied().collect();
    things.sort_unstable();
    things.dedup();
    let mut best: Option<Product> = None;
    for thing in &things {
        let right = partners(pairs, *thing);
        let left: Vec<usize> = things
            .iter()
            .copied()
            .filter(|own| {
                let theirs = partners(pairs, *own);
                !right.contains(own) && right.iter().all(|partner| theirs.contains(partner))
            })
            .collect();
        let size = |own: &Product| own.left.len() * own.right.len();
        let own = Product { left, right };
        if best.as_ref().is_none_or(|known| size(&own) > size(known)) {
            best = Some(own);
        }
    }
    best
}

fn partners(pairs: &[[usize; 2]], thing: usize) -> Vec<usize> {
    pairs
        .iter()
        .filter_map(|[a, b]| match thing {
            own if own == *a => Some(*b),
            own if own == *b => Some(*a),
            _ => None,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Three starts that each of two floats holds back are one product; a pair of its own stays.
    #[test]
    fn what_pairs_with_each_is_one_product() {
        let pairs = [[0, 5], [1, 5], [2, 5], [0, 6], [1, 6], [2, 6], [3, 4]];
        let products = factor(&pairs);
        assert_eq!(products.len(), 2);
        assert_eq!(
            (products[0].left.as_slice(), products[0].right.as_slice()),
            (&[0, 1, 2][..], &[5, 6][..])
        );
        assert_eq!(
            (products[1].left.as_slice(), products[1].right.as_slice()),
            (&[3][..], &[4][..])
        );
    }

    proptest! {
        /// Every pair is in just one product, and products hold nothing else.
        #[test]
        fn products_hold_just_the_pairs(pairs in proptest::collection::vec((0..9_usize, 0..9_usize), 0..30)) {
            let mut pairs: Vec<[usize; 2]> = pairs
                .into_iter()
                .filter(|(a, b)| a != b)
                .map(|(a, b)| [a.min(b), a.max(b)])
                .collect();
            pairs.sort_unstable();
            pairs.dedup();
            let mut held: Vec<[usize; 2]> = factor(&pairs)
                .iter()
                .flat_map(|own| {
                    own.left.iter().flat_map(|a| own.right.iter().map(move |b| [*a.min(b), *a.max(b)])).collect::<Vec<_>>()
                })
                .collect();
            held.sort_unstable();
            prop_assert_eq!(held, pairs);
        }
    }
}
