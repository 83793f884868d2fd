//! The primitive blocks. Each is one of IEC 61131-3, or a few lines of it.
//!
//! Owns: what a block is and what it does with its reads. Doesn't own: when it is evaluated (`step`).

/// A wire that a block reads, as it is or negated.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Read {
    /// The wire: inputs first, then one wire for each block.
    pub wire: u16,
    /// Whether it is read negated (NOT).
    pub negated: bool,
}

impl core::ops::Not for Read {
    type Output = Self;

    fn not(self) -> Self {
        Self {
            negated: !self.negated,
            ..self
        }
    }
}

/// What a block does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// On while all that it reads is on (AND); on without any reads.
    All,
    /// On while anything that it reads is on (OR); off without any reads.
    Any,
    /// Its first read sets it, its second resets it, and reset wins (RS of IEC 61131-3).
    Latch {
        /// Whether it outlasts a loss of power (RETAIN).
        retained: bool,
    },
    /// On once its read has been on for so long, off at once when that goes off (TON).
    OnDelay {
        /// The delay, s.
        delay_s: f64,
    },
    /// On for one scan when its read goes on (`R_TRIG`).
    RisingEdge,
    /// On below one temperature, off from another on, and in between as it was: a comparison with hysteresis. Off
    /// while there is no reading.
    Colder {
        /// The vessel whose thermometer it reads.
        vessel: u16,
        /// It goes on below this, °C.
        on_below_c: f64,
        /// It goes off at this and above, °C.
        off_at_c: f64,
    },
    /// On once a day for a set time, by the clock; time 0 is a midnight.
    Daily {
        /// When it goes on, s after midnight.
        from_s: f64,
        /// How long it stays on, s.
        for_s: f64,
    },
}

/// A block: what it does, and where its reads stand in the program's list of reads. It writes one wire, which is its
/// own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// What it does.
    pub kind: Kind,
    pub(super) first: u16,
    pub(super) count: u16,
}

/// A day, s.
const DAY_S: f64 = 86_400.0;

/// Whether a daily block is on, and when that changes next. Both come from the same sums, so that at the moment of a
/// change it has changed.
pub(super) fn daily(at_s: f64, from_s: f64, for_s: f64) -> (bool, f64) {
    let mut day = ((at_s - from_s) / DAY_S).floor();
    if at_s >= (day + 1.0) * DAY_S + from_s {
        day += 1.0;
    }
    let begin_s = day * DAY_S + from_s;
    let next_s = (day + 1.0) * DAY_S + from_s;
    let end_s = begin_s + for_s;
    if at_s >= begin_s && at_s < end_s {
        (true, if end_s < next_s { end_s } else { next_s })
    } else {
        (false, if at_s < begin_s { begin_s } else { next_s })
    }
}
