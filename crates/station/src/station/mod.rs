//! The station: read from text, valid by construction.

mod body;
mod feed_state;
mod names;
mod read;
mod spoken;
mod syntax;

use core::ops::Range;

use physics::vessel::{Dimensions, Shape};

use crate::check;
use crate::edit::Places;
use crate::fault::Fault;
use crate::plumbing::{self, Plumbing};
use crate::quantity::{Currency, Kind, Length, Quantity, Spread, UnitSystem};
use crate::register::{Field, Origin};
use crate::sections::{
    BedFields, Control, DeliveredFields, Display, DrawFields, FailureClass, FailureFields, FeedFields,
    FeedState, Fill, FilterFields, HolidayFields, InstrumentFields, LineFields, LineupFields, MembraneFields,
    People, Prices, PumpFields, PurifierFields, Reserve, Room, SaltFields, TankFields, TeeFields, Title,
    Units, ValveFields, VesselFields, Water,
};
pub use names::read_alike;
use read::read_all;
use spoken::Names;
pub use spoken::{shown, spoken};

/// Everything that the file says, in SI, with origins and places.
#[derive(Debug, Clone)]
pub struct Station {
    /// The text it was read from.
    pub text: String,
    /// Title and remark.
    pub title: Title,
    /// Units and currency.
    pub display: Display,
    /// The room.
    pub room: Room,
    /// Who lifts and pours.
    pub people: People,
    /// Times of the year when nobody comes.
    pub holidays: Vec<Named<HolidayFields>>,
    /// The tanks, in the order of the file's names.
    pub tanks: Vec<Tank>,
    /// The vessels.
    pub vessels: Vec<Vessel>,
    /// The salt mix, where salt water is made.
    pub salt: Option<SaltFields>,
    /// The instruments, by name.
    pub instruments: Vec<(String, InstrumentFields)>,
    /// What must be ready.
    pub reserve: Reserve,
    /// How often parts fail, class by class.
    pub failures: Vec<Named<FailureFields>>,
    /// What things cost.
    pub prices: Prices,
    /// The feed, where a purifier is described.
    pub feed: Option<FeedFields>,
    /// The feed on odd days.
    pub feed_states: Vec<Named<FeedState>>,
    /// The state of the feed that holds now; the usual one without a name.
    pub feed_state: Option<String>,
    /// The usual feed, where a state of it holds now.
    pub usual_feed: Option<FeedFields>,
    /// The purifier.
    pub purifier: Option<Purifier>,
    /// Water that is delivered.
    pub delivered: Vec<Named<DeliveredFields>>,
    /// Pumps.
    pub pumps: Vec<Named<PumpFields>>,
    /// Tees.
    pub tees: Vec<Named<TeeFields>>,
    /// Draw points.
    pub draw_points: Vec<Named<DrawFields>>,
    /// Lines.
    pub lines: Vec<Named<LineFields>>,
    /// Valves.
    pub valves: Vec<Named<ValveFields>>,
    /// Lineups: one for each task.
    pub lineups: Vec<Named<LineupFields>>,
    /// How all of them are joined.
    pub plumbing: Plumbing,
    places: Places,
    names: Names,
}

/// A section with a name of the owner's.
#[derive(Debug, Clone)]
pub struct Named<F> {
    /// The owner's name for it.
    pub name: String,
    /// Its fields.
    pub fields: F,
    /// Where its section begins in the text.
    pub span: Range<usize>,
}

/// The purifier and its stages, each in the order of the file.
#[derive(Debug, Clone)]
pub struct Purifier {
    /// What the stages share.
    pub fields: PurifierFields,
    /// Filters before the membranes.
    pub filters: Vec<Named<FilterFields>>,
    /// Membranes.
    pub membranes: Vec<Named<MembraneFields>>,
    /// Beds of resin behind them.
    pub beds: Vec<Named<BedFields>>,
    /// Where its section begins in the text.
    pub span: Range<usize>,
}

/// A tank and its name.
#[derive(Debug, Clone)]
pub struct Tank {
    /// The owner's name for it.
    pub name: String,
    /// Its fields.
    pub fields: TankFields,
    /// Where its section begins in the text.
    pub span: Range<usize>,
}

/// A vessel, its name, and its body.
#[derive(Debug, Clone)]
pub struct Vessel {
    /// The owner's name for it.
    pub name: String,
    /// Its fields.
    pub fields: VesselFields,
    /// Its dimensions, in the order of its shape's formula; level and volume in turn for a measured one.
    pub dimensions: Vec<Dimension>,
    /// Its inside.
    pub shape: Shape,
    /// Where its section begins in the text.
    pub span: Range<usize>,
}

/// One dimension of a vessel.
#[derive(Debug, Clone, PartialEq)]
pub struct Dimension {
    /// Its key: `diameter`.
    pub key: String,
    /// What it measures.
    pub kind: Kind,
    /// Its value in the stored unit, with doubt, origin and path.
    pub field: Field<f64>,
}

impl Station {
    /// Reads a station file.
    ///
    /// # Errors
    /// Every fault of the text at once, each with its place, reason and mend, in the order of the text.
    pub fn read(text: &str) -> Result<Self, Vec<Fault>> {
        let mut faults = Vec::new();
        let mut syntax = Vec::new();
        let station = read_all(text, &mut faults, &mut syntax);
        if let (Some(mut station), true, true) = (station, faults.is_empty(), syntax.is_empty()) {
            check::check(&station, &mut faults);
            station.plumbing = plumbing::join(&station, &mut faults);
            if faults.is_empty() {
                station.names = Names::of(&station);
                return Ok(station);
            }
        }
        // What a line that can't be read seems to hold isn't worth a fault of its own.
        faults.retain(|fault| {
            !syntax
                .iter()
                .any(|slip: &Fault| slip.span.start == fault.span.start)
        });
        faults.extend(syntax);
        faults.sort_by_key(|fault| (fault.span.start, fault.span.end));
        faults.dedup();
        Err(faults)
    }

    /// The owner's units.
    pub fn units(&self) -> UnitSystem {
        match self.display.units.value {
            Units::Si => UnitSystem::Si,
            Units::Us => UnitSystem::Us,
        }
    }

    /// Shows it in these units, whatever its file says.
    pub fn show_in(&mut self, units: UnitSystem) {
        self.display.units.value = match units {
            UnitSystem::Si => Units::Si,
            UnitSystem::Us => Units::Us,
        };
    }

    /// The station's currency.
    pub fn currency(&self) -> Currency {
        Currency::new(&self.display.currency.value).unwrap_or_default()
    }

    /// The vessel with this name; in any case where no other fits better.
    pub fn vessel(&self, name: &str) -> Option<&Vessel> {
        self.vessels
            .iter()
            .find(|vessel| vessel.name == name)
            .or_else(|| {
                self.vessels
                    .iter()
                    .find(|vessel| vessel.name.eq_ignore_ascii_case(name))
            })
    }

    /// What the file says of a class of parts that fail.
    pub fn failure(&self, class: FailureClass) -> Option<&FailureFields> {
        self.failures
            .iter()
            .find(|failure| failure.name == class.name())
            .map(|failure| &failure.fields)
    }

    /// The vessels that the purifier fills, as indices: the one that its section names, else those with fresh water that
    /// fill themselves, else all with fresh water, else all.
    pub fn filled(&self) -> Vec<usize> {
        let named = self
            .purifier
            .as_ref()
            .and_then(|purifier| purifier.fields.fills.as_ref())
            .and_then(|name| self.vessel(&name.value))
            .and_then(|vessel| self.vessels.iter().position(|own| own.name == vessel.name));
        if let Some(at) = named {
            return vec![at];
        }
        let those = |wanted: fn(&VesselFields) -> bool| -> Vec<usize> {
            (0..self.vessels.len())
                .filter(|at| wanted(&self.vessels[*at].fields))
                .collect()
        };
        let fresh = |fields: &VesselFields| fields.holds.value == Water::Fresh;
        let by_itself = |fields: &VesselFields| {
            fields.holds.value == Water::Fresh && fields.fill.value == Fill::Automatic
        };
        [those(by_itself), those(fresh), those(|_| true)]
            .into_iter()
            .find(|vessels| !vessels.is_empty())
            .unwrap_or_default()
    }

    /// Whether a float alone opens and closes what runs into a vessel, so that its start level says nothing.
    pub fn floats(&self, vessel: &Vessel) -> bool {
        let is_float = |purifier: &Purifier| purifier.fields.control.value == Control::Float;
        self.purifier.as_ref().is_some_and(is_float)
            && self
                .filled()
                .into_iter()
                .any(|at| self.vessels[at].name == vessel.name)
    }

    /// Where a fill of a vessel starts, m above its floor: at its start level, or where the float that alone fills it opens
    /// again; nothing where nobody knows.
    pub fn starts_m(&self, vessel: &Vessel) -> Option<f64> {
        let fields = &vessel.fields;
        match (&self.purifier, self.floats(vessel)) {
            (Some(purifier), true) => {
                let stop_m = match &fields.stop_level {
                    Some(stop) => stop.value.m(),
                    None => vessel.height_m() - fields.freeboard.value.m(),
                };
                Some((stop_m - purifier.fields.float_reopens.value.m()).max(0.0))
            }
            _ => fields.start_level.as_ref().map(|level| level.value.m()),
        }
    }

    /// Whether the tray runs to a drain by itself: it is said to, and there is one in the floor.
    pub fn tray_is_drained(&self) -> bool {
        let low = |own: &Field<Length>| own.value.m() <= FLOOR_DRAIN_M;
        self.room.tray.is_some()
            && self.room.tray_drained.value
            && self.room.drain_height.as_ref().is_some_and(low)
    }

    /// Where a path stands in the text: its value, or the section that it would be added to.
    pub fn span_of(&self, path: &str) -> Option<Range<usize>> {
        self.places.span_of(path)
    }

    /// The bytes of the value at a path of the text; nothing where none is written there.
    pub fn value_span(&self, path: &str) -> Option<Range<usize>> {
        self.places.value_of(path)
    }
}

/// Share of a tank's volume that it can take on top where nobody told (house rule).
const HEADROOM: f64 = 0.05;

impl Tank {
    /// Water that it can take on top before it runs over, m³: what the file gives, otherwise a twentieth of its volume.
    pub fn headroom_m3(&self) -> f64 {
        match &self.fields.headroom {
            Some(headroom) => headroom.value.m3(),
            None => HEADROOM * self.fields.volume.value.m3(),
        }
    }
}

impl Vessel {
    /// Levels between which its sides are straight, from the floor to the rim, m.
    pub fn bends_m(&self) -> Vec<f64> {
        let mut levels = vec![0.0];
        if let Dimensions::ConeBottom { cone_height_m, .. } = self.shape.dimensions() {
            levels.push(*cone_height_m);
        }
        levels.push(self.height_m());
        levels
    }

    /// Inner height, floor to rim, m.
    pub fn height_m(&self) -> f64 {
        self.shape.height_m()
    }
}

/// A value that the program derives, in the shape of a field: for the proof's inputs.
impl Field<f64> {
    /// From a typed field.
    pub fn of<T: Quantity>(field: &Field<T>) -> Self {
        Self {
            value: field.value.si(),
            spread: field.spread,
            origin: field.origin.clone(),
            path: field.path.clone(),
        }
    }

    /// Without doubt.
    pub fn exact(value: f64, origin: &'static str, path: &str) -> Self {
        Self {
            value,
            spread: Spread::NONE,
            origin: Origin::Default(origin),
            path: path.to_owned(),
        }
    }
}

/// A drain no higher than that over the floor is one that a tray on the floor runs into, m (house rule).
pub const FLOOR_DRAIN_M: f64 = 0.02;
