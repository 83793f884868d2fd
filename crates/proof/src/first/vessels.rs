//! Vessels of the catalogue that hold what must be ready and fit the space, the door, the ceiling and the hands.

use station::catalogue::{CATALOGUE, CatalogueVessel};
use station::sections::Wall;

use super::answers::Space;
use super::fault::{FirstFault, Question};
use super::plan::{FREEBOARD_M, FRESH_BASE_M, OUTLET_M, SALT_CUTOUT_M, Stand};
use super::write::Write;

/// The most vessels of one kind that are planned (house rule: beyond it the pipes want a plan of their own).
const MOST: usize = 3;
/// Between vessels, m (house rule: a hand gets in).
const GAP_M: f64 = 0.1;
/// Beside the vessels, for pumps, taps and a bucket, m (house rule).
const BESIDE_M: f64 = 0.4;
/// Over a rim to the ceiling, m, as the proof asks for: a hand, a bag, a lid.
const OVER_RIM_M: f64 = 0.3;
/// What the door and the ceiling leave beyond what must pass, m: the file writes both, and the vessel, as a tape reads them,
/// each up to half a mark off (house rule: a finger's breadth, which hands that carry want too).
const CLEARANCE_M: f64 = 0.01;
/// The heaviest empty vessel that two carry, kg (house rule: twice what one person lifts).
const CARRY_KG: f64 = 40.0;
/// Room for marks in a fresh vessel beyond its run and reserve, m: under them for the outlet and the pump's cut-out, over
/// them for the backup.
const UNDER_MARKS_M: f64 = OUTLET_M + 0.08;
const OVER_MARKS_M: f64 = FREEBOARD_M + 0.05;
/// Of a batch more than what must be ready, as a share: marks are rounded (house rule).
const SPARE: f64 = 1.03;

/// What is wanted of all vessels of a kind together, m³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Wanted {
    pub(super) reserve_fresh_m3: f64,
    pub(super) reserve_salt_m3: f64,
    /// Salt water for one change of every tank, on top of the reserve, so that the reserve is still there after them.
    pub(super) changes_m3: f64,
}

/// What was chosen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Chosen {
    pub(super) fresh: Stand,
    pub(super) salt: Stand,
    /// Of one fresh vessel.
    pub(super) run_m3: f64,
    /// Of one salt vessel.
    pub(super) batch_m3: f64,
    /// What the salt vessels hold for changes on top of the reserve, m³.
    pub(super) changes_m3: f64,
}

/// The fewest and smallest vessels that do; where none stand there that hold the changes on top of the reserve, those that
/// hold the reserve.
pub(super) fn choose(wanted: &Wanted, space: &Space, write: &Write) -> Result<Chosen, FirstFault> {
    chosen(wanted, space, write).or_else(|_| {
        let reserve_only = Wanted {
            changes_m3: 0.0,
            ..*wanted
        };
        chosen(&reserve_only, space, write)
    })
}

fn chosen(wanted: &Wanted, space: &Space, write: &Write) -> Result<Chosen, FirstFault> {
    let candidates = candidates(space)?;
    let salts = salts(wanted, &candidates, write);
    if salts.is_empty() {
        return Err(too_much(wanted, &candidates, write));
    }
    // A batch in one go where there is room for it, otherwise in several.
    for goes in [1, 2, 4] {
        let mut best: Option<(Rank, Chosen)> = None;
        for (salt, batch_m3) in &salts {
            let run_all_m3 = batch_m3 / f64::from(goes);
            for fresh in fresh(wanted.reserve_fresh_m3 + run_all_m3, &candidates) {
                if !stands(&[fresh, *salt], space) {
                    continue;
                }
                let rank = rank(fresh, *salt);
                if best.as_ref().is_none_or(|(old, _)| rank < *old) {
                    let chosen = Chosen {
                        fresh,
                        salt: *salt,
                        run_m3: write
                            .round_down_m3(run_all_m3 / fresh.count as f64)
                            .max(MIN_RUN_M3),
                        batch_m3: *batch_m3,
                        changes_m3: wanted.changes_m3,
                    };
                    best = Some((rank, chosen));
                }
            }
        }
        if let Some((_, chosen)) = best {
            return Ok(chosen);
        }
    }
    Err(too_small_space(wanted, &salts, &candidates, space, write))
}

/// The smallest run, m³ (house rule).
const MIN_RUN_M3: f64 = 0.01;

/// Fewest vessels, then least volume, then how they stand.
type Rank = (usize, u64, u8);

fn rank(fresh: Stand, salt: Stand) -> Rank {
    let litres = |stand: Stand| (stand.count as f64 * stand.vessel.nominal_m3 * 1000.0) as u64;
    let not_round =
        |stand: Stand| u8::from(stand.vessel.body.word() != station::sections::ShapeWord::Cylinder);
    (
        fresh.count + salt.count,
        litres(fresh) + litres(salt),
        not_round(fresh) + not_round(salt),
    )
}

/// Those that come in and can stand, and have a wall for a bulkhead.
pub(super) fn candidates(space: &Space) -> Result<Vec<&'static CatalogueVessel>, FirstFault> {
    let with_flat = CATALOGUE
        .iter()
        .filter(|own| own.bulkhead_wall == Wall::FlatThick && own.empty_kg <= CARRY_KG);
    let through: Vec<_> = with_flat.filter(|own| passes(own, space.door_m)).collect();
    if through.is_empty() {
        let what = "No vessel comes through that door";
        return Err(FirstFault::impossible(
            Question::Door,
            what,
            "measure another way in, or check the unit",
        ));
    }
    let under: Vec<_> = through
        .into_iter()
        .filter(|own| FRESH_BASE_M + own.height_m() + OVER_RIM_M + CLEARANCE_M <= space.ceiling_m)
        .collect();
    if under.is_empty() {
        let what = "Under that ceiling no hand gets over the rim of any vessel";
        return Err(FirstFault::impossible(
            Question::Ceiling,
            what,
            "check the height of the ceiling, and its unit",
        ));
    }
    Ok(under)
}

/// Its two smaller sides pass the door, as the proof asks too, with a little to spare.
fn passes(own: &CatalogueVessel, door_m: f64) -> bool {
    let [long_m, short_m] = own.plan_m();
    let mut sides_m = [long_m, short_m, own.height_m() + 2.0 * own.wall_m];
    sides_m.sort_by(f64::total_cmp);
    // A door is 2 m high where nobody told.
    let [least_m, middle_m] = [sides_m[0] + CLEARANCE_M, sides_m[1] + CLEARANCE_M];
    least_m <= door_m.min(2.0) && middle_m <= door_m.max(2.0)
}

/// Salt vessels that hold a batch of which so much can be drawn, with that batch.
fn salts(wanted: &Wanted, candidates: &[&'static CatalogueVessel], write: &Write) -> Vec<(Stand, f64)> {
    let mut out = Vec::new();
    for count in 1..=MOST {
        for vessel in candidates {
            let Some([low_m3, most_m3]) = volumes_m3(vessel, SALT_CUTOUT_M, FREEBOARD_M) else {
                continue;
            };
            let batch_m3 = write
                .round_up_m3((wanted.reserve_salt_m3 + wanted.changes_m3) / count as f64 * SPARE + low_m3);
            if batch_m3 <= most_m3 {
                out.push((Stand { count, vessel }, batch_m3));
            }
        }
    }
    out
}

/// Fresh vessels that hold so much between their lowest and their highest mark.
fn fresh<'c>(
    holds_m3: f64,
    candidates: &'c [&'static CatalogueVessel],
) -> impl Iterator<Item = Stand> + use<'c> {
    (1..=MOST).flat_map(move |count| {
        candidates.iter().filter_map(move |vessel| {
            let [low_m3, most_m3] = volumes_m3(vessel, UNDER_MARKS_M, OVER_MARKS_M)?;
            (holds_m3 / count as f64 <= most_m3 - low_m3).then_some(Stand { count, vessel })
        })
    })
}

/// Volume at a level above the floor, and at one below the rim.
fn volumes_m3(vessel: &CatalogueVessel, low_m: f64, under_rim_m: f64) -> Option<[f64; 2]> {
    let shape = vessel.shape()?;
    let low_m3 = shape.volume_m3(low_m).ok()?;
    let most_m3 = shape.volume_m3(vessel.height_m() - under_rim_m).ok()?;
    Some([low_m3, most_m3])
}

/// Whether they stand in one row along either side of the floor.
fn stands(all: &[Stand], space: &Space) -> bool {
    row_m_on(all, space.depth_m).is_some_and(|row_m| row_m <= space.width_m)
        || row_m_on(all, space.width_m).is_some_and(|row_m| row_m <= space.depth_m)
}

/// Length of a row on a floor so deep; nothing where one is deeper.
fn row_m_on(all: &[Stand], depth_m: f64) -> Option<f64> {
    let mut row_m = BESIDE_M;
    for stand in all {
        let [long_m, short_m] = stand.vessel.plan_m();
        let along_m = match (long_m <= depth_m, short_m <= depth_m) {
            (true, _) => short_m,
            (false, true) => long_m,
            (false, false) => return None,
        };
        row_m += stand.count as f64 * (along_m + GAP_M);
    }
    Some(row_m)
}

/// That no vessels hold so much salt water.
fn too_much(wanted: &Wanted, candidates: &[&'static CatalogueVessel], write: &Write) -> FirstFault {
    let most_m3 = candidates
        .iter()
        .filter_map(|vessel| volumes_m3(vessel, SALT_CUTOUT_M, FREEBOARD_M))
        .map(|[low_m3, most_m3]| MOST as f64 * (most_m3 - low_m3) / SPARE)
        .fold(0.0, f64::max);
    FirstFault::impossible(
        Question::Tanks,
        format!(
            "A tank in trouble takes {}, and {MOST} of the largest vessels that come in give {} at once",
            write.volume(wanted.reserve_salt_m3),
            write.volume(write.round_down_m3(most_m3))
        ),
        "plan the largest tank apart, or look for a wider door; this program plans up to three salt vessels by itself",
    )
}

/// That the floor is too small, with one that does.
fn too_small_space(
    wanted: &Wanted,
    salts: &[(Stand, f64)],
    candidates: &[&'static CatalogueVessel],
    space: &Space,
    write: &Write,
) -> FirstFault {
    let pairs = |reserve_m3: f64| {
        salts.iter().flat_map(move |(salt, batch_m3)| {
            fresh(reserve_m3 + batch_m3 / 4.0, candidates).map(|fresh| [fresh, *salt])
        })
    };
    let least = |reserve_m3: f64| {
        pairs(reserve_m3)
            .filter_map(|both| {
                let depth_m = both
                    .iter()
                    .map(|stand| stand.vessel.plan_m()[0])
                    .fold(0.0, f64::max);
                Some((row_m_on(&both, depth_m)?, depth_m))
            })
            .min_by(|a, b| (a.0 * a.1).total_cmp(&(b.0 * b.1)))
    };
    // Whether it would stand on less if nobody were ever away.
    let days_help = least(0.0) != least(wanted.reserve_fresh_m3);
    let Some((row_m, depth_m)) = least(wanted.reserve_fresh_m3) else {
        return FirstFault::impossible(
            Question::DaysAway,
            format!(
                "Topping off while you are away takes {}, more than {MOST} of the largest vessels that come in hold",
                write.volume(wanted.reserve_fresh_m3)
            ),
            "stay away for fewer days, have somebody look in, or cover the tanks",
        );
    };
    let tape = |length_m| write.tape(write.mark_m(length_m));
    let along = pairs(wanted.reserve_fresh_m3)
        .filter_map(|both| row_m_on(&both, space.depth_m))
        .min_by(f64::total_cmp);
    // As deep as it is, if anything stands on it; otherwise the least floor of all.
    let takes = match along {
        Some(along_m) => format!(
            "takes {} along the wall of one that is {} deep",
            tape(along_m),
            write.tape(space.depth_m)
        ),
        None => format!(
            "takes {} along the wall and {} of depth",
            tape(row_m),
            tape(depth_m)
        ),
    };
    FirstFault::impossible(
        Question::Space,
        format!(
            "The floor is too small: what your tanks ask for {takes}, with room for a hand between the vessels and a bucket beside them"
        ),
        if days_help {
            "give it more floor, or stay away for fewer days"
        } else {
            "give it more floor"
        },
    )
}
