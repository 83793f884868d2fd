//! Writes a proof as files: the page, its drawings, its tables.

use std::path::Path;

use proof::Proof;
use sheets::chart::{cost_against_run, supply_by_month};
use station::Station;

use crate::failure::{Failure, Fault};

/// Paper of a drawing and of a chart as files, mm: the width between the margins of A4.
const PAPER_MM: f64 = 180.0;

/// Writes everything into a folder and tells how many files. What was there under these names is replaced.
pub(crate) fn write(station: &Station, proof: &Proof, file: &str, folder: &Path) -> Result<usize, Failure> {
    std::fs::create_dir_all(folder).map_err(|error| refused(folder, &error))?;
    // The page is passed on: its reader has no use for the folders of whoever made it.
    let file = Path::new(file)
        .file_name()
        .map_or_else(|| file.into(), |name| name.to_string_lossy());
    let mut files = vec![("page.html".to_owned(), sheets::page(station, proof, &file))];
    let made = proof.supply.purifier.as_ref();
    let drawings = [
        ("elevation", sheets::elevation(station, proof, PAPER_MM)),
        (
            "supply-by-month",
            made.and_then(|made| supply_by_month(station, made, PAPER_MM)),
        ),
        (
            "cost-against-run",
            made.and_then(|made| cost_against_run(station, made, PAPER_MM)),
        ),
    ];
    for (name, drawing) in drawings {
        if let Some(drawing) = drawing {
            files.push((format!("{name}.svg"), sheets::svg(&drawing, true)));
        }
    }
    for table in sheets::tables(station, proof) {
        files.push((format!("{}.csv", table.name), table.csv()));
    }
    for (name, text) in &files {
        let path = folder.join(name);
        std::fs::write(&path, text).map_err(|error| refused(&path, &error))?;
    }
    Ok(files.len())
}

fn refused(path: &Path, error: &std::io::Error) -> Failure {
    let what = match error.kind() {
        std::io::ErrorKind::PermissionDenied => "you may not write there".to_owned(),
        std::io::ErrorKind::AlreadyExists | std::io::ErrorKind::NotADirectory => {
            "that is a file, not a folder".to_owned()
        }
        _ => format!("it can't be written: {error}"),
    };
    Fault::new(
        &path.display().to_string(),
        what,
        "name a folder of your own: brinewright prove --out FOLDER",
    )
    .into()
}
