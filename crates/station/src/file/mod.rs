//! Walking a station file: every key looked at once, every fault kept with its place.

mod declared;

use core::ops::Range;
use std::borrow::Cow;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::fault::Fault;
use crate::quantity::{Kind, QuantityFault, Spread};
use crate::register::{Context, Field, FieldSpec, FieldValue, Form, Need, Origin, Raw};

pub(crate) use declared::Declared;

/// Levels and volumes of a measured vessel, as texts.
pub(crate) type Pairs = Vec<(String, String)>;

/// Reads the fields of one section, and remembers which keys were known.
pub(crate) struct SectionReader<'r, 't> {
    table: Option<&'r DeTable<'t>>,
    path: String,
    span: Range<usize>,
    context: &'r Context,
    faults: &'r mut Vec<Fault>,
    known: Vec<&'static str>,
}

/// Room for the fields of a section: more than most have.
const FIELDS: usize = 40;

impl<'r, 't> SectionReader<'r, 't> {
    /// Over a table of the file, or over nothing where the section is left out.
    pub(crate) fn new(
        table: Option<&'r DeTable<'t>>,
        path: impl Into<String>,
        span: Range<usize>,
        context: &'r Context,
        faults: &'r mut Vec<Fault>,
    ) -> Self {
        Self {
            table,
            path: path.into(),
            span,
            context,
            faults,
            known: Vec::with_capacity(FIELDS),
        }
    }

    pub(crate) fn required<T: FieldValue>(
        &mut self,
        spec: &FieldSpec,
        declared: &Declared<T>,
    ) -> Option<Field<T>> {
        match self.look(spec, declared) {
            Look::Read(field) => Some(field),
            Look::Faulty => None,
            Look::Absent => {
                self.faults.push(Fault {
                    span: self.span.clone(),
                    what: format!("`{}` is missing", spec.key),
                    why: lower_first(spec.help),
                    mend: format!("add a line such as: {} = {}", spec.key, spec.example),
                });
                None
            }
        }
    }

    pub(crate) fn optional<T: FieldValue>(
        &mut self,
        spec: &FieldSpec,
        declared: &Declared<T>,
    ) -> Option<Option<Field<T>>> {
        match self.look(spec, declared) {
            Look::Read(field) => Some(Some(field)),
            Look::Faulty => None,
            Look::Absent => Some(None),
        }
    }

    pub(crate) fn default<T: FieldValue>(
        &mut self,
        spec: &FieldSpec,
        declared: &Declared<T>,
    ) -> Option<Field<T>> {
        match self.look(spec, declared) {
            Look::Read(field) => Some(field),
            Look::Faulty => None,
            Look::Absent => {
                let Need::Default { origin, .. } = spec.need else {
                    return None;
                };
                let (value, spread) = declared.default(spec)?.clone();
                Some(Field {
                    value,
                    spread,
                    origin: Origin::Default(origin),
                    path: self.path_of(spec.key),
                })
            }
        }
    }

    /// The raw pairs of a table of levels.
    pub(crate) fn pairs(&mut self, spec: &FieldSpec) -> Option<(Pairs, Range<usize>)> {
        self.known.push(spec.key);
        let Some((_, value)) = self.entry(spec.key) else {
            self.required(spec, &Declared::<String>::new());
            return None;
        };
        let span = value.span();
        match raw_of(value.get_ref()) {
            Raw::Pairs(pairs) => Some((pairs, span)),
            _ => {
                self.faults.push(Fault {
                    span,
                    what: format!("`{}` is no list of pairs", spec.key),
                    why: lower_first(spec.help),
                    mend: format!("write it as {} = {}", spec.key, spec.example),
                });
                None
            }
        }
    }

    /// Complains of every key that no field of the section has.
    pub(crate) fn finish(self, also: &[&'static str], elsewhere: impl Fn(&str) -> Option<String>) {
        let Some(table) = self.table else { return };
        let known: Vec<&'static str> = self.known.iter().chain(also).copied().collect();
        for (key, _) in table {
            let name: &str = key.get_ref();
            if known.contains(&name) {
                continue;
            }
            let mend = match elsewhere(name) {
                Some(mend) => mend,
                None => did_you_mean(name, &known),
            };
            self.faults.push(Fault {
                span: key.span(),
                what: format!("`{}` isn't known here", clipped(name)),
                why: if self.path.is_empty() {
                    "not a key or section of a station file".to_owned()
                } else {
                    format!("not a key of [{}]", self.path)
                },
                mend,
            });
        }
    }

    pub(crate) fn fault(
        &mut self,
        span: Range<usize>,
        what: impl Into<String>,
        why: impl Into<String>,
        mend: impl Into<String>,
    ) {
        self.faults.push(Fault {
            span,
            what: what.into(),
            why: why.into(),
            mend: mend.into(),
        });
    }

    pub(crate) fn context(&self) -> &'r Context {
        self.context
    }

    pub(crate) fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            // Made for every field of a file, so without what formatting costs.
            let mut path = String::with_capacity(self.path.len() + 1 + key.len());
            path.push_str(&self.path);
            path.push('.');
            path.push_str(key);
            path
        }
    }

    fn entry(&self, key: &str) -> Option<(&'r Spanned<Cow<'t, str>>, &'r Spanned<DeValue<'t>>)> {
        self.table?.get_key_value(key)
    }

    fn look<T: FieldValue>(&mut self, spec: &FieldSpec, declared: &Declared<T>) -> Look<T> {
        self.known.push(spec.key);
        let Some((_, value)) = self.entry(spec.key) else {
            return Look::Absent;
        };
        let span = value.span();
        let raw = raw_of(value.get_ref());
        let read = T::read(&raw, self.context).and_then(|(value, spread)| {
            check_range(&value, spread, spec, declared, self.context)?;
            Ok((value, spread))
        });
        match read {
            Ok((value, spread)) => Look::Read(Field {
                value,
                spread,
                origin: Origin::Given(span),
                path: self.path_of(spec.key),
            }),
            Err(QuantityFault { what, mend }) => {
                self.faults.push(Fault {
                    span,
                    what,
                    why: lower_first(spec.help),
                    mend,
                });
                Look::Faulty
            }
        }
    }
}

enum Look<T> {
    Read(Field<T>),
    Faulty,
    Absent,
}

fn check_range<T: FieldValue>(
    value: &T,
    spread: Spread,
    spec: &FieldSpec,
    declared: &Declared<T>,
    context: &Context,
) -> Result<(), QuantityFault> {
    let (Some((least, greatest)), Some(si)) = (spec.range, value.si()) else {
        return Ok(());
    };
    let Some((min, max)) = declared.bounds(spec) else {
        return Ok(());
    };
    if !(min..=max).contains(&si) {
        // 25 for a quarter: the sign was left out.
        if matches!(spec.form, Form::Quantity(Kind::Fraction)) && (1.0..=100.0).contains(&si) {
            return Err(QuantityFault::new(
                format!("`{}` is a share, so {si} would be {si} times the whole", spec.key),
                format!("did you mean \"{si} %\"?"),
            ));
        }
        return Err(QuantityFault::new(
            format!("`{}` is outside what it can be", spec.key),
            match spec.form {
                Form::Quantity(kind) => {
                    let [least, greatest] = [least, greatest].map(|end| context.says(end, kind));
                    format!("it lies between {least} and {greatest}")
                }
                _ => format!("it lies between {least} and {greatest}"),
            },
        ));
    }
    // A spread wider than the value itself is a slip of the unit or of the pen.
    if spread.half_width > (max - min) || (min >= 0.0 && si > 0.0 && spread.half_width > si) {
        return Err(QuantityFault::new(
            format!("the spread of `{}` is larger than its value", spec.key),
            "a ± is two standard uncertainties, in the same unit as the value unless it names its own",
        ));
    }
    Ok(())
}

fn raw_of<'v>(value: &'v DeValue<'_>) -> Raw<'v> {
    match value {
        DeValue::String(text) => Raw::Text(text),
        DeValue::Integer(number) => Raw::Number(number.to_string()),
        DeValue::Float(number) => Raw::Number(number.as_str().replace('_', "")),
        DeValue::Boolean(value) => Raw::YesNo(*value),
        DeValue::Array(items) => items
            .iter()
            .map(|item| {
                match item
                    .get_ref()
                    .as_array()
                    .map(|pair| pair.iter().map(|p| p.get_ref()).collect::<Vec<_>>())
                    .as_deref()
                {
                    Some([first, second]) => Some((text_of(first)?, text_of(second)?)),
                    _ => None,
                }
            })
            .collect::<Option<Vec<_>>>()
            .map(Raw::Pairs)
            .or_else(|| {
                let texts = items
                    .iter()
                    .map(|item| item.get_ref().as_str().map(str::to_owned));
                texts.collect::<Option<Vec<_>>>().map(Raw::Texts)
            })
            .unwrap_or(Raw::Other("a list")),
        DeValue::Table(_) => Raw::Other("a section"),
        DeValue::Datetime(date) => Raw::Date(date.to_string()),
    }
}

fn text_of(value: &DeValue<'_>) -> Option<String> {
    match value {
        DeValue::String(text) => Some(text.clone().into_owned()),
        DeValue::Integer(number) => Some(number.to_string()),
        DeValue::Float(number) => Some(number.as_str().to_owned()),
        _ => None,
    }
}

/// The nearest of the known names, or all of them.
pub fn did_you_mean(name: &str, known: &[&str]) -> String {
    let name = name.to_lowercase();
    let nearest = known
        .iter()
        .map(|known| (strsim::damerau_levenshtein(known, &name), *known))
        .filter(|(distance, known)| *distance <= 2.max(known.len() / 3))
        .min();
    match nearest {
        Some((_, known)) => format!("did you mean `{known}`?"),
        None => {
            // Shapes of a vessel share some of their keys.
            let once: Vec<&str> = known
                .iter()
                .enumerate()
                .filter(|(at, name)| !known[..*at].contains(name))
                .map(|(_, name)| *name)
                .collect();
            format!("known here: {}", once.join(", "))
        }
    }
}

/// A name as a message shows it: a pasted page would bury the message.
pub(crate) fn clipped(name: &str) -> String {
    let mut short: String = name
        .chars()
        .take(40)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    if name.chars().count() > 40 {
        short.push('…');
    }
    short
}

pub(crate) fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}
