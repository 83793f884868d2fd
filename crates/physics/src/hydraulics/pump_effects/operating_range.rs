//! The range of flow in which a pump is at home.

use crate::{OutOfRange, Range};

/// Share of the flow of best efficiency that is preferred, lowest and highest; `ANSI-HI-963`, from memory.
pub const PREFERRED_SHARE: (f64, f64) = (0.7, 1.2);

const FLOW: Range = Range {
    quantity: "flow of the pump",
    unit: "m³/s",
    min: 0.0,
    max: 1.0,
    source_key: "HOUSE-RULE",
};
const BEST_FLOW: Range = Range {
    quantity: "flow of best efficiency",
    unit: "m³/s",
    min: 1e-7,
    max: 1.0,
    source_key: "HOUSE-RULE",
};

/// Where a pump works, and the flow as a share of that of best efficiency.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OperatingRange {
    /// Below the preferred: heat, noise, load on the bearings.
    Low(f64),
    /// Inside.
    Preferred(f64),
    /// Above it: more suction head wanted, motor under more load.
    High(f64),
}

/// Returns where a pump works.
///
/// # Arguments
/// * `flow_m3_s`: `0..=1`.
/// * `best_flow_m3_s`: flow of best efficiency at the same speed, `1e-7..=1`. Where the maker doesn't state it, about half
///   of the greatest flow (common practice, no source).
///
/// # Errors
/// [`OutOfRange`].
///
/// # Source
/// `ANSI-HI-963`, [`PREFERRED_SHARE`]; it's written for pumps much larger than those of a station.
pub fn operating_range(flow_m3_s: f64, best_flow_m3_s: f64) -> Result<OperatingRange, OutOfRange> {
    let share = FLOW.require(flow_m3_s)? / BEST_FLOW.require(best_flow_m3_s)?;
    let (lowest, highest) = PREFERRED_SHARE;
    Ok(if share < lowest {
        OperatingRange::Low(share)
    } else if share <= highest {
        OperatingRange::Preferred(share)
    } else {
        OperatingRange::High(share)
    })
}
