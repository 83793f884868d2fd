//! Conflicts in plain words: the place, what stands there, what was to stand there.

use serde::{Deserialize, Serialize};
use station::edit::{Edit, named};

use super::fields::{place, plain};
use crate::task::desk::Conflict;

/// What a page shows of a conflict.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub(super) struct Told {
    path: String,
    /// `Vessel Fresh: Level of the switch that stops a fill`.
    place: String,
    theirs: String,
    yours: String,
}

/// A value exactly as it stands in the file.
#[derive(Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Set {
    path: String,
    /// Empty where it is taken out.
    text: String,
}

impl Set {
    pub(super) fn of(own: &Edit) -> Self {
        Self {
            path: own.path.clone(),
            text: own.text.clone(),
        }
    }

    pub(super) fn edit(&self) -> Edit {
        Edit {
            path: self.path.clone(),
            text: self.text.clone(),
        }
    }
}

/// A conflict in words.
pub(super) fn told(own: &Conflict) -> Told {
    Told {
        path: own.path.clone(),
        place: place(&own.path),
        // Of a whole section no more than that it is there.
        theirs: match own.theirs.as_deref() {
            Some(_) if named(&own.path).is_some() => "as it is now".to_owned(),
            theirs => theirs.map_or_else(nothing, said),
        },
        yours: said(&own.yours),
    }
}

fn nothing() -> String {
    "nothing".to_owned()
}

fn said(text: &str) -> String {
    match text.trim() {
        "" => nothing(),
        "true" => "yes".to_owned(),
        "false" => "no".to_owned(),
        text => plain(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn conflict(path: &str, theirs: Option<&str>, yours: &str) -> Told {
        told(&Conflict {
            path: path.to_owned(),
            theirs: theirs.map(str::to_owned),
            yours: yours.to_owned(),
        })
    }

    #[test]
    fn a_place_is_told_in_words() {
        let own = conflict(
            "vessels.fresh-north.stop_level",
            Some("\"880 mm ± 5 mm\""),
            "\"860 mm\"",
        );
        assert!(
            own.place.starts_with("Vessel Fresh north: ") && own.place.len() > 25,
            "{own:?}"
        );
        assert_eq!(
            (own.theirs.as_str(), own.yours.as_str()),
            ("880 mm ± 5 mm", "860 mm")
        );
        assert!(conflict("reserve.salt", None, "").place.starts_with("Reserve: "));
        assert!(
            conflict("title", Some("\"A\""), "\"B\"")
                .place
                .starts_with("The station: ")
        );
        // A field of one shape only, one that nobody knows, and yes and no.
        let cone = conflict("vessels.salt.cone_height", Some("1"), "2");
        assert!(cone.place.starts_with("Vessel Salt: "), "{cone:?}");
        assert_eq!(
            conflict("attic.rope_length", None, "3").place,
            "Attic rope length"
        );
        // A section that was to be taken out, changed meanwhile.
        let tank = conflict("tanks.reef", Some("[tanks.reef]\nvolume = \"1 L\"\n"), "");
        assert_eq!(
            (tank.place.as_str(), tank.theirs.as_str(), tank.yours.as_str()),
            ("Tank Reef", "as it is now", "nothing")
        );
        let lid = conflict("purifier.check_valve", Some("true"), "");
        assert_eq!((lid.theirs.as_str(), lid.yours.as_str()), ("yes", "nothing"));
    }
}
