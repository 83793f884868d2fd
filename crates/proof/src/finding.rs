//! What the proof has to say.

use serde::Serialize;
use station::Edit;

/// How much a finding matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// Worth fixing.
    Should,
    /// Must be fixed before the station is used.
    Must,
}

/// Something to say, with its place, its figures and its cure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Stable name: `backup-too-near`.
    pub id: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// Path in the station file.
    #[serde(rename = "where")]
    pub place: String,
    /// Line of the file that the path leads to.
    pub line: Option<usize>,
    /// One plain sentence or two.
    pub sentence: String,
    /// Keys of the figures behind it.
    pub figures: Vec<String>,
    /// A cure that was tried.
    pub remedy: Option<Remedy>,
    /// Whether cures are still being tried.
    #[serde(skip)]
    pub being_tried: bool,
    /// How far it is from being right, in its own unit: a cure of another finding must not make it worse.
    #[serde(skip)]
    pub(crate) gap: f64,
    /// Cures to try, best first.
    #[serde(skip)]
    pub(crate) recipes: Vec<Vec<Edit>>,
}

/// A cure: edits of the file, tried on a copy.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Remedy {
    /// What to do, made from the edits.
    pub sentence: String,
    /// The edits.
    pub edits: Vec<RemedyEdit>,
    /// Whether it was tried, cleared the finding and made none as bad. Only such are offered.
    pub tried: bool,
}

/// One edit of a remedy.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct RemedyEdit {
    /// Path in the file.
    pub path: String,
    /// What stands there afterwards: a quantity or a word, without the quotes of the file.
    pub text: String,
}

impl RemedyEdit {
    /// As it is told of an edit.
    pub(crate) fn of(edit: &Edit) -> Self {
        Self {
            path: edit.path.clone(),
            text: edit.text.trim_matches('"').to_owned(),
        }
    }

    /// The edit in the file's own notation: texts and quantities in quotes; switches and tables as they are.
    pub fn edit(&self) -> Edit {
        let is_bare = matches!(self.text.as_str(), "true" | "false") || self.text.starts_with('{');
        match is_bare {
            true => Edit {
                path: self.path.clone(),
                text: self.text.clone(),
            },
            false => Edit::quoted(self.path.clone(), &self.text),
        }
    }
}

impl Finding {
    pub(crate) fn new(
        id: &'static str,
        severity: Severity,
        place: impl Into<String>,
        sentence: impl Into<String>,
    ) -> Self {
        Self {
            id,
            severity,
            place: place.into(),
            line: None,
            sentence: capitalised(&sentence.into()),
            figures: Vec::new(),
            remedy: None,
            being_tried: false,
            gap: 0.0,
            recipes: Vec::new(),
        }
    }

    pub(crate) fn figure(mut self, key: impl Into<String>) -> Self {
        self.figures.push(key.into());
        self
    }

    pub(crate) fn gap(mut self, gap: f64) -> Self {
        self.gap = gap;
        self
    }

    pub(crate) fn recipe(mut self, edits: Vec<Edit>) -> Self {
        self.recipes.push(edits);
        self
    }

    /// What tells two findings apart.
    pub(crate) fn identity(&self) -> (&'static str, &str) {
        (self.id, &self.place)
    }
}

/// A sentence that begins with the owner's name of a vessel begins with a capital all the same.
fn capitalised(sentence: &str) -> String {
    let mut chars = sentence.chars();
    chars
        .next()
        .map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}
