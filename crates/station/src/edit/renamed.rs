//! Another name for a section, and for it wherever it is named.

use super::at_once::is_bare;
use super::hanging::namers;
use super::section::named;
use super::{Edit, EditError, Written, apply};

/// The text with another name for a section that its owner names; whatever names it follows.
///
/// # Errors
/// [`EditError`]: no such section, a name that is taken or can't be one, a section that is written in several places.
///
/// # Examples
/// ```
/// let text = "[tanks.reef]   # mine\n[lines.hose]\nto = \"tank reef\"\n";
/// let renamed = station::edit::renamed(text, "tanks.reef", "lagoon")?;
/// assert_eq!(renamed, text.replace("reef", "lagoon"));
/// # Ok::<(), station::EditError>(())
/// ```
pub fn renamed(text: &str, path: &str, name: &str) -> Result<String, EditError> {
    let missing = || EditError::NoSection {
        path: path.to_owned(),
    };
    let (table, old) = named(path).ok_or_else(missing)?;
    if !is_bare(name) {
        return Err(EditError::NoName {
            name: name.to_owned(),
        });
    }
    let written = Written::of(text);
    let siblings = written.keys(table);
    if !siblings.iter().any(|own| own == old) {
        return Err(missing());
    }
    let new = format!("{table}.{name}");
    if old == name {
        return Ok(text.to_owned());
    }
    if siblings.iter().any(|own| own == name) {
        return Err(EditError::Taken { path: new });
    }
    let edits: Vec<Edit> = namers(&written)
        .into_iter()
        .filter_map(|(naming, section, value)| {
            let own = naming.names(&value, table, old)?;
            let value = format!("{}{name}{}", &value[..own.start], &value[own.end..]);
            Some(Edit::quoted(format!("{section}.{}", naming.key), &value))
        })
        .collect();
    let followed = apply(text, &edits)?;
    let span = Written::of(&followed).key_span(path).ok_or_else(missing)?;
    let renamed = format!("{}{name}{}", &followed[..span.start], &followed[span.end..]);
    let now = Written::of(&renamed);
    // A name that stands at several places, `tanks.reef.volume = ...`, was changed at one of them.
    let is_whole = now.is_whole() && now.key_span(path).is_none() && now.key_span(&new).is_some();
    match is_whole {
        true => Ok(renamed),
        false => Err(EditError::Scattered {
            path: path.to_owned(),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LARKHAVEN: &str = include_str!("../../../../stations/larkhaven.toml");

    #[test]
    fn a_name_and_back_is_the_same_file() {
        let mut names = 0;
        for table in [
            "tanks",
            "vessels",
            "pumps",
            "tees",
            "draw_points",
            "lines",
            "valves",
            "lineups",
            "filters",
        ] {
            for name in Written::of(LARKHAVEN).keys(table) {
                let there = renamed(LARKHAVEN, &format!("{table}.{name}"), "another").expect("renamed");
                assert!(there != LARKHAVEN, "{table}.{name}");
                assert!(crate::Station::read(&there).is_ok(), "{table}.{name}");
                let back = renamed(&there, &format!("{table}.another"), &name).expect("renamed back");
                assert_eq!(back, LARKHAVEN, "{table}.{name}");
                names += 1;
            }
        }
        assert!(names > 40, "{names}");
    }

    #[test]
    fn what_cant_be_renamed_is_said() {
        let text = "tanks.a.volume = '1 L'\ntanks.a.salinity = 3\n[vessels.x]\n[vessels.y]\n";
        for (path, name, error) in [
            (
                "vessels.x",
                "y",
                EditError::Taken {
                    path: "vessels.y".to_owned(),
                },
            ),
            (
                "vessels.x",
                "a tub",
                EditError::NoName {
                    name: "a tub".to_owned(),
                },
            ),
            (
                "vessels.z",
                "y",
                EditError::NoSection {
                    path: "vessels.z".to_owned(),
                },
            ),
            (
                "room",
                "hall",
                EditError::NoSection {
                    path: "room".to_owned(),
                },
            ),
            (
                "tanks.a",
                "b",
                EditError::Scattered {
                    path: "tanks.a".to_owned(),
                },
            ),
        ] {
            assert_eq!(renamed(text, path, name), Err(error), "{path}");
        }
        assert_eq!(renamed(text, "vessels.x", "x").as_deref(), Ok(text));
    }
}
