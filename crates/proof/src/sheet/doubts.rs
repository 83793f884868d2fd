//! Where the doubt of a figure comes from.

use super::{NodeId, Sheet, Source};

impl Sheet {
    /// How much of a figure's doubt each field brings, greatest first: each is moved by its standard uncertainty,
    /// both ways, while the others stand still (JCGM 100, 5.1.4). Shares of the variance, so that they add to one.
    pub(crate) fn shares_of_doubt(&self, figure: NodeId) -> Vec<(String, f64)> {
        let wanted = self.ancestors(figure);
        let mut shares: Vec<(String, f64)> = Vec::new();
        for (leaf, node) in self.nodes.iter().enumerate() {
            let Source::Leaf { spread, path, .. } = &node.source else {
                continue;
            };
            if !wanted[leaf] || spread.is_none() {
                continue;
            }
            let at = |value: f64| self.moved(figure, leaf, value, &wanted);
            let step = spread.standard_uncertainty();
            if let (Some(high), Some(low)) = (at(node.value + step), at(node.value - step)) {
                shares.push((path.clone(), (high - low) * (high - low)));
            }
        }
        let sum: f64 = shares.iter().map(|(_, share)| share).sum();
        if sum <= 0.0 {
            return Vec::new();
        }
        for (_, share) in &mut shares {
            *share /= sum;
        }
        shares.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        shares
    }

    /// A figure's value with one leaf moved.
    fn moved(&self, figure: NodeId, leaf: usize, value: f64, wanted: &[bool]) -> Option<f64> {
        let mut values: Vec<f64> = self.nodes.iter().map(|node| node.value).collect();
        values[leaf] = value;
        for at in (leaf + 1)..=figure.0 {
            if !wanted[at] {
                continue;
            }
            if let Source::Figure { method, inputs, .. } = &self.nodes[at].source {
                let inputs: Vec<f64> = inputs.iter().map(|id| values[id.0]).collect();
                values[at] = method.evaluate(&inputs).ok()?;
            }
        }
        Some(values[figure.0])
    }

    /// Which nodes a figure rests on, itself among them.
    fn ancestors(&self, figure: NodeId) -> Vec<bool> {
        let mut wanted = vec![false; self.nodes.len()];
        wanted[figure.0] = true;
        for at in (0..=figure.0).rev() {
            if let (true, Source::Figure { inputs, .. }) = (wanted[at], &self.nodes[at].source) {
                for input in inputs {
                    wanted[input.0] = true;
                }
            }
        }
        wanted
    }
}
