//! The purifier's figures, for what simulates it: which nodes of the sheet its numbers are.

use super::run::{Closing, Economics, Rhythm, Shared};
use crate::sheet::NodeId;

/// How a run ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Ends {
    /// At once, and the feed with it.
    Sharp,
    /// At once, but the reject runs on.
    RejectRunsOn,
    /// Along the travel of a float valve.
    Slow,
    /// Never.
    Never,
}

/// The nodes.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PurifierNodes {
    pub(crate) feed_solids: NodeId,
    /// Salt that all membranes let through at 25 °C, as a flow; the output at 15 °C that its temperature goes by; the mean
    /// temperature of the feed.
    pub(crate) salt: NodeId,
    pub(crate) cold: NodeId,
    pub(crate) mean_temperature: NodeId,
    pub(crate) hold_up: NodeId,
    pub(crate) feed_side: NodeId,
    pub(crate) flush: NodeId,
    /// What loads the resin; nothing without resin.
    pub(crate) resin: Option<ResinNodes>,
    pub(crate) ends: Ends,
    /// Volume along a float's travel, and the share of the flow that is left when the shut-off valve closes; nothing where no
    /// float ends a run.
    pub(crate) travel: Option<[NodeId; 2]>,
}

/// The resin's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct ResinNodes {
    /// Grams of salt to a mole of charge.
    pub(crate) equivalent: NodeId,
    pub(crate) gas: NodeId,
    pub(crate) silica: NodeId,
    /// Load in all at the owner's way of filling.
    pub(crate) load: NodeId,
    /// Capacity, volume and utilisation of the bed that is spent first.
    pub(crate) bed: [NodeId; 3],
}

impl PurifierNodes {
    pub(super) fn of(shared: &Shared<'_>, own: &Economics, rhythm: Rhythm) -> Self {
        let train = &shared.train;
        let resin = shared
            .resin
            .as_ref()
            .zip(own.load)
            .map(|(resin, load)| ResinNodes {
                equivalent: resin.equivalent,
                gas: load.gas,
                silica: resin.silica(),
                load: load.all,
                bed: resin.spent_first(),
            });
        Self {
            feed_solids: shared.feed.solids,
            salt: train.salt,
            cold: train.cold,
            mean_temperature: shared.mean.temperature,
            hold_up: train.hold_up,
            feed_side: train.feed_side,
            flush: shared.flush,
            resin,
            ends: match rhythm.closing {
                Closing::Sharp => Ends::Sharp,
                Closing::RejectRunsOn => Ends::RejectRunsOn,
                Closing::Slow { .. } => Ends::Slow,
                Closing::Never => Ends::Never,
            },
            travel: match rhythm.closing {
                Closing::Slow { travel, share } => Some([travel, share]),
                Closing::Sharp | Closing::RejectRunsOn | Closing::Never => None,
            },
        }
    }
}
