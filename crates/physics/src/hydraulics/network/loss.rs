//! What a run of branches loses at a flow, its branches added up: tube of one kind with one water counts once however many
//! of them have some.

use super::super::friction::{FrictionLaw, FrictionTables};
use super::branch::{Cost, Friction, lost};
use super::runs::{Member, Run, Runs};
use super::solver::Arc;

/// The losses of a run, nominal m.
#[derive(Debug, Clone, Copy)]
pub(super) struct Loss {
    /// The range of its tubes among those of all runs.
    first: usize,
    last: usize,
    /// Head per flow, s/m².
    linear: f64,
    /// Head per flow squared, s²/m⁵.
    quadratic: f64,
    /// What check valves take while they pass, positive along the run.
    cracking_m: f64,
    /// Which ways all of its branches let water pass, along the run.
    forward: bool,
    backward: bool,
    has_pumps: bool,
}

impl Loss {
    /// Of some branches in series. Their tubes go behind those of other runs.
    pub(super) fn of(members: &[Member], arcs: &[Arc], tubes: &mut Vec<Friction>) -> Self {
        let mut all = Self {
            first: tubes.len(),
            last: 0,
            linear: 0.0,
            quadratic: 0.0,
            cracking_m: 0.0,
            forward: true,
            backward: true,
            has_pumps: false,
        };
        for member in members {
            let law = &arcs[member.branch].law;
            let (own, linear, quadratic, cracking_m) = law.parts();
            for tube in own {
                let mut before = tubes[all.first..].iter_mut();
                match before.find(|before| before.is_alike(&tube)) {
                    Some(before) => before.head_per_resistance += tube.head_per_resistance,
                    None => tubes.push(tube),
                }
            }
            all.linear += linear;
            all.quadratic += quadratic;
            all.cracking_m += member.along(cracking_m);
            let (forward, backward) = law.ways();
            all.forward &= if member.against { backward } else { forward };
            all.backward &= if member.against { forward } else { backward };
            all.has_pumps |= law.has_pumps();
        }
        all.last = tubes.len();
        all
    }

    /// Whether every branch lets water pass either way.
    #[inline]
    pub(super) fn both_ways(&self) -> bool {
        self.forward & self.backward
    }

    /// What is lost at a flow.
    #[inline(always)]
    pub(super) fn cost<F: FrictionLaw>(
        &self,
        flow_m3_s: f64,
        members: Members<'_>,
        tubes: &[Friction],
        tables: &mut FrictionTables<F>,
    ) -> Cost {
        let passes = if flow_m3_s < 0.0 {
            self.backward
        } else {
            self.forward
        };
        if !passes {
            return members.each_alone(flow_m3_s, tables);
        }
        let tubes = tubes[self.first..self.last].iter().copied();
        let own = lost(
            (self.linear, self.quadratic, self.cracking_m),
            tubes,
            flow_m3_s,
            |table, reynolds| tables.resistance(table, reynolds),
        );
        if !self.has_pumps {
            return own;
        }
        own.lifted(members.lift(flow_m3_s))
    }
}

/// The branches of a run, for what is asked of them one by one.
#[derive(Clone, Copy)]
pub(super) struct Members<'a> {
    pub(super) runs: &'a Runs,
    pub(super) run: &'a Run,
    pub(super) arcs: &'a [Arc],
}

impl Members<'_> {
    /// What the pumps lift along the run, and its slope.
    #[inline(never)]
    fn lift(self, flow_m3_s: f64) -> (f64, f64) {
        let (mut lift_m, mut slope) = (0.0, 0.0);
        for member in self.runs.members(self.run) {
            let law = &self.arcs[member.branch].law;
            if law.has_pumps() {
                let (own_m, own_slope) = law.lift(member.along(flow_m3_s));
                lift_m += member.along(own_m);
                slope += own_slope;
            }
        }
        (lift_m, slope)
    }

    /// What the run costs where one of its branches leaks the wrong way.
    #[cold]
    #[inline(never)]
    fn each_alone<F: FrictionLaw>(self, flow_m3_s: f64, tables: &mut FrictionTables<F>) -> Cost {
        let mut sum = Cost::default();
        for member in self.runs.members(self.run) {
            let own = self.arcs[member.branch]
                .law
                .cost(member.along(flow_m3_s), |table, reynolds| {
                    tables.resistance(table, reynolds)
                });
            sum.head_m += member.along(own.head_m);
            sum.slope_s_m2 += own.slope_s_m2;
        }
        sum
    }
}
