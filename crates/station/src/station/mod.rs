//! The station: read from text, valid by construction.

use core::ops::Range;

use physics::vessel::{Dimensions, Shape, TableRow};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::check;
use crate::fault::Fault;
use crate::file::{SectionReader, did_you_mean, lower_first};
use crate::quantity::{Currency, Kind, Length, Quantity, Spread, UnitSystem, read_amount};
use crate::register::{Context, Field, Form, Origin};
use crate::sections::{
    Display, InstrumentFields, People, Prices, Reserve, Room, SaltFields, ShapeWord, TankFields, Title,
    Units, VesselFields, dimensions_of,
};

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
    /// What things cost.
    pub prices: Prices,
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
        if let (Some(station), true, true) = (station, faults.is_empty(), syntax.is_empty()) {
            check::check(&station, &mut faults);
            if faults.is_empty() {
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

    /// Where a path stands in the text: its value, or the section that it would be added to.
    pub fn span_of(&self, path: &str) -> Option<Range<usize>> {
        crate::edit::span_of(&self.text, path)
    }
}

impl Vessel {
    /// Inner height, floor to rim, m.
    pub fn height_m(&self) -> f64 {
        self.shape.height_m()
    }
}

fn read_all(text: &str, faults: &mut Vec<Fault>, slips: &mut Vec<Fault>) -> Option<Station> {
    if text.len() > 1_000_000 {
        faults.push(Fault {
            span: 0..0,
            what: "the file is larger than a million bytes".into(),
            why: String::new(),
            mend: "a station file is a few pages of text; is this the right file?".into(),
        });
        return None;
    }
    let (root, syntax) = DeTable::parse_recoverable(text);
    for error in &syntax {
        let span = error.span().unwrap_or(0..0);
        slips.push(Fault {
            span: span.start.min(text.len())..span.end.min(text.len()),
            what: in_plain_words(error.message()),
            why: String::new(),
            mend: "a line is `key = \"value with unit\"`; a section begins with [name]".into(),
        });
    }
    let root = root.get_ref();
    let end = text.len()..text.len();

    // The currency decides how prices are read, so the display comes first.
    let plain = Context::default();
    let display = one(root, "display", &plain, faults, &end, Display::read);
    let currency = display
        .as_ref()
        .and_then(|display| check::currency(display, faults));
    let context = Context {
        currency: currency.unwrap_or_default(),
    };

    let title = {
        let mut reader = SectionReader::new(Some(root), "", 0..first_line_end(text), &context, faults);
        let title = Title::read(&mut reader);
        reader.finish(
            &[
                "display",
                "room",
                "people",
                "tanks",
                "vessels",
                "salt",
                "instruments",
                "reserve",
                "prices",
            ],
            |_| None,
        );
        title
    };
    let room = one(root, "room", &context, faults, &end, Room::read);
    let people = one(root, "people", &context, faults, &end, People::read);
    let tanks = many(root, "tanks", &context, faults, &end, read_tank);
    let vessels = many(root, "vessels", &context, faults, &end, read_vessel);
    let instruments = many(root, "instruments", &context, faults, &end, |reader, name, _| {
        InstrumentFields::read(reader).map(|fields| (name.to_owned(), fields))
    });
    let salt = match section(root, "salt", faults) {
        Some((table, span)) => Some(read_one(table, "salt", span, &context, faults, SaltFields::read)?),
        None => None,
    };
    let reserve = one(root, "reserve", &context, faults, &end, Reserve::read);
    let prices = one(root, "prices", &context, faults, &end, Prices::read);

    if vessels.as_ref().is_some_and(Vec::is_empty) {
        faults.push(Fault {
            span: end,
            what: "there is no vessel in this file".into(),
            why: "a station holds water in at least one vessel".into(),
            mend: "add a section [vessels.fresh] with holds, shape and dimensions".into(),
        });
        return None;
    }
    Some(Station {
        text: text.to_owned(),
        title: title?,
        display: display?,
        room: room?,
        people: people?,
        tanks: tanks?,
        vessels: vessels?,
        salt,
        instruments: instruments?,
        reserve: reserve?,
        prices: prices?,
    })
}

fn first_line_end(text: &str) -> usize {
    text.find('\n').unwrap_or(text.len())
}

/// The parser's words for the commonest slips, as somebody would say them who doesn't know the notation.
fn in_plain_words(message: &str) -> String {
    let plain = [
        ("duplicate key", "this key or section stands here a second time"),
        ("basic string", "a text in quotes isn't closed on its line"),
        ("literal string", "a text in quotes isn't closed on its line"),
        (
            "string values must be quoted",
            "a quantity or word must stand in quotes",
        ),
        ("key with no value", "a key stands here without its value"),
        ("invalid boolean", "a quantity or word must stand in quotes"),
        ("unquoted", "a quantity or word must stand in quotes"),
    ];
    match plain.iter().find(|(part, _)| message.contains(part)) {
        Some((_, words)) => (*words).to_owned(),
        None => format!("this line can't be read: {message}"),
    }
}

/// A section of the root, or nothing; a fault where the name stands for something else.
fn section<'r, 't>(
    root: &'r DeTable<'t>,
    name: &str,
    faults: &mut Vec<Fault>,
) -> Option<(&'r DeTable<'t>, Range<usize>)> {
    let (key, value): (_, &'r Spanned<DeValue<'t>>) = root.iter().find(|(key, _)| key.get_ref() == name)?;
    match value.get_ref() {
        DeValue::Table(table) => Some((table, key.span())),
        _ => {
            faults.push(Fault {
                span: value.span(),
                what: format!("`{name}` is a section, not a value"),
                why: String::new(),
                mend: format!("begin it with [{name}] on a line of its own"),
            });
            None
        }
    }
}

fn read_one<T>(
    table: &DeTable<'_>,
    path: &str,
    span: Range<usize>,
    context: &Context,
    faults: &mut Vec<Fault>,
    read: impl FnOnce(&mut SectionReader<'_, '_>) -> Option<T>,
) -> Option<T> {
    let mut reader = SectionReader::new(Some(table), path, span, context, faults);
    let value = read(&mut reader);
    reader.finish(&[], |_| None);
    value
}

/// A section that stands once, or is left out: then its defaults hold.
fn one<T>(
    root: &DeTable<'_>,
    name: &str,
    context: &Context,
    faults: &mut Vec<Fault>,
    end: &Range<usize>,
    read: impl FnOnce(&mut SectionReader<'_, '_>) -> Option<T>,
) -> Option<T> {
    match section(root, name, faults) {
        Some((table, span)) => read_one(table, name, span, context, faults, read),
        None => read(&mut SectionReader::new(None, name, end.clone(), context, faults)),
    }
}

/// Sections with names of the owner's.
fn many<T>(
    root: &DeTable<'_>,
    name: &str,
    context: &Context,
    faults: &mut Vec<Fault>,
    _end: &Range<usize>,
    mut read: impl FnMut(&mut SectionReader<'_, '_>, &str, Range<usize>) -> Option<T>,
) -> Option<Vec<T>> {
    let Some((table, _)) = section(root, name, faults) else {
        return Some(Vec::new());
    };
    let mut all = Some(Vec::new());
    let mut entries: Vec<_> = table.iter().collect();
    entries.sort_by_key(|(key, _)| key.span().start);
    for (key, value) in entries {
        let given_name: &str = key.get_ref();
        let DeValue::Table(entry) = value.get_ref() else {
            faults.push(Fault {
                span: key.span(),
                what: format!("`{given_name}` stands in [{name}] without a name of its own"),
                why: format!("[{name}] holds named sections only"),
                mend: format!("begin a section with a name you choose: [{name}.north]"),
            });
            all = None;
            continue;
        };
        if given_name.is_empty()
            || !given_name
                .bytes()
                .all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_')
        {
            faults.push(Fault {
                span: key.span(),
                what: "this name can't be used".into(),
                why: "commands and paths name it too".into(),
                mend: "use letters, digits and hyphens: touch-pool".into(),
            });
            all = None;
            continue;
        }
        let mut reader = SectionReader::new(
            Some(entry),
            format!("{name}.{given_name}"),
            key.span(),
            context,
            faults,
        );
        let item = read(&mut reader, given_name, key.span());
        if name == "vessels" {
            let shape = item_shape(entry);
            let own = shape.map_or(&[][..], dimensions_of);
            let keys: Vec<&'static str> = match shape {
                Some(_) => own.iter().map(|spec| spec.key).collect(),
                None => VesselFields::SPEC.variants.map_or(Vec::new(), |variants| {
                    variants
                        .cases
                        .iter()
                        .flat_map(|(_, fields)| fields.iter().map(|spec| spec.key))
                        .collect()
                }),
            };
            reader.finish(&keys, |key| other_shape(key, shape));
        } else {
            reader.finish(&[], |_| None);
        }
        match (item, &mut all) {
            (Some(item), Some(all)) => all.push(item),
            _ => all = None,
        }
    }
    all
}

fn item_shape(entry: &DeTable<'_>) -> Option<ShapeWord> {
    entry
        .iter()
        .find(|(key, _)| key.get_ref() == "shape")
        .and_then(|(_, value)| value.get_ref().as_str())
        .and_then(ShapeWord::from_word)
}

/// A dimension that belongs to another shape.
fn other_shape(key: &str, shape: Option<ShapeWord>) -> Option<String> {
    let shape = shape?;
    let variants = VesselFields::SPEC.variants?;
    let (other, _) = variants
        .cases
        .iter()
        .find(|(_, fields)| fields.iter().any(|spec| spec.key == key))?;
    let own: Vec<&str> = dimensions_of(shape).iter().map(|spec| spec.key).collect();
    let near = did_you_mean(key, &own);
    Some(match near.strip_prefix("did") {
        Some(_) => near,
        None => format!(
            "`{key}` belongs to shape \"{other}\"; \"{}\" has {}",
            shape.word(),
            own.join(", ")
        ),
    })
}

fn read_tank(reader: &mut SectionReader<'_, '_>, name: &str, span: Range<usize>) -> Option<Tank> {
    TankFields::read(reader).map(|fields| Tank {
        name: name.to_owned(),
        fields,
        span,
    })
}

fn read_vessel(reader: &mut SectionReader<'_, '_>, name: &str, span: Range<usize>) -> Option<Vessel> {
    let fields = VesselFields::read(reader);
    // The shape alone is enough to look at the dimensions, so that their faults come out too.
    let shape_word = fields.as_ref().map(|fields| fields.shape.value)?;
    let mut dimensions = Some(Vec::new());
    for spec in dimensions_of(shape_word) {
        let read = match spec.form {
            Form::LevelTable => read_table(reader, spec),
            _ => reader
                .required::<Length>(spec)
                .map(|field| vec![dimension(spec.key, Kind::Length, field)]),
        };
        match (read, &mut dimensions) {
            (Some(read), Some(all)) => all.extend(read),
            _ => dimensions = None,
        }
    }
    let (fields, dimensions) = (fields?, dimensions?);
    match Shape::new(body(shape_word, &dimensions)) {
        Ok(shape) => Some(Vessel {
            name: name.to_owned(),
            fields,
            dimensions,
            shape,
            span,
        }),
        Err(errors) => {
            for error in errors {
                let place = error
                    .row()
                    .map(|row| row * 2)
                    .and_then(|index| dimensions.get(index))
                    .or_else(|| {
                        let key = error.place().replace("_m", "");
                        dimensions.iter().find(|dimension| {
                            key.starts_with(&dimension.key) || dimension.key.starts_with(&key)
                        })
                    });
                let at = place
                    .and_then(|dimension| dimension.field.span())
                    .unwrap_or_else(|| span.clone());
                reader.fault(
                    at,
                    lower_first(&error.to_string()),
                    format!("the vessel `{name}`"),
                    error.mend(),
                );
            }
            None
        }
    }
}

fn dimension<T: Quantity>(key: &str, kind: Kind, field: Field<T>) -> Dimension {
    let Field {
        value,
        spread,
        origin,
        path,
    } = field;
    Dimension {
        key: key.to_owned(),
        kind,
        field: Field {
            value: value.si(),
            spread,
            origin,
            path,
        },
    }
}

fn read_table(
    reader: &mut SectionReader<'_, '_>,
    spec: &crate::register::FieldSpec,
) -> Option<Vec<Dimension>> {
    let (pairs, span) = reader.pairs(spec)?;
    let currency = reader.context().currency.clone();
    let mut out = Vec::with_capacity(2 * pairs.len());
    let mut sound = true;
    for (row, (level, volume)) in pairs.iter().enumerate() {
        for (key, text, kind) in [("level", level, Kind::Length), ("volume", volume, Kind::Volume)] {
            match read_amount(text, kind, &currency) {
                Ok(amount) => out.push(Dimension {
                    key: format!("{key} {}", row + 1),
                    kind,
                    field: Field {
                        value: amount.si,
                        spread: amount.spread,
                        origin: Origin::Given(span.clone()),
                        path: reader.path_of(spec.key),
                    },
                }),
                Err(fault) => {
                    sound = false;
                    reader.fault(
                        span.clone(),
                        format!("row {} of the table: {}", row + 1, fault.what),
                        "",
                        fault.mend,
                    );
                }
            }
        }
    }
    sound.then_some(out)
}

fn body(shape: ShapeWord, d: &[Dimension]) -> Dimensions {
    let v = |index: usize| d.get(index).map_or(f64::NAN, |dimension| dimension.field.value);
    match shape {
        ShapeWord::Cylinder => Dimensions::Cylinder {
            diameter_m: v(0),
            height_m: v(1),
        },
        ShapeWord::TaperedRound => Dimensions::TaperedRound {
            diameter_bottom_m: v(0),
            diameter_top_m: v(1),
            height_m: v(2),
        },
        ShapeWord::Box => Dimensions::Box {
            length_m: v(0),
            width_m: v(1),
            height_m: v(2),
        },
        ShapeWord::TaperedBox => Dimensions::TaperedBox {
            length_bottom_m: v(0),
            width_bottom_m: v(1),
            length_top_m: v(2),
            width_top_m: v(3),
            height_m: v(4),
        },
        ShapeWord::HorizontalCylinder => Dimensions::HorizontalCylinder {
            diameter_m: v(0),
            length_m: v(1),
        },
        ShapeWord::ConeBottom => Dimensions::ConeBottom {
            cone_outlet_diameter_m: v(0),
            diameter_m: v(1),
            cone_height_m: v(2),
            height_m: v(3),
        },
        ShapeWord::Measured => Dimensions::Table {
            rows: d
                .chunks_exact(2)
                .map(|row| TableRow {
                    level_m: row[0].field.value,
                    volume_m3: row[1].field.value,
                })
                .collect(),
        },
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
