//! Writes a proof as files: the page, the printed sheets, the drawings, the tables.

use std::path::Path;

use proof::{Absence, Proof};
use sheets::chart::{cost_against_run, level_against_volume, need_by_tank, soon_by_cause, supply_by_month};
use sheets::fragment::WIDE_MM;
use sheets::{Drawing, Paper, Shows, Tags};
use station::Station;

use super::new::replace_whole;
use crate::failure::{Failure, Fault};

/// Paper of a drawing and of a chart as files, mm: the width between the margins of A4.
pub(crate) const PAPER_MM: f64 = 180.0;
/// Pixels of a picture to a millimetre: 200 to an inch, enough for a screen and for a letter.
const PIXELS_PER_MM: f64 = 200.0 / 25.4;

/// Writes everything into a folder and tells how many files. What was there under these names is replaced.
pub(crate) fn write(
    station: &Station,
    proof: &Proof,
    absence: Option<&Absence>,
    file: &str,
    paper: Paper,
    folder: &Path,
) -> Result<usize, Failure> {
    // The page is passed on: its reader has no use for the folders of whoever made it.
    let file = Path::new(file)
        .file_name()
        .map_or_else(|| file.into(), |name| name.to_string_lossy());
    let page = sheets::page(station, proof, absence, &file);
    let pdf = sheets(station, proof, absence, &file, paper)?;
    let mut files = vec![
        ("page.html".to_owned(), page.into_bytes()),
        ("sheets.pdf".to_owned(), pdf),
    ];
    for (name, drawing) in drawings(station, proof) {
        files.extend(pictures(&name, &drawing)?);
    }
    let tree = absence.and_then(|absence| sheets::fault_tree(station, absence, PAPER_MM, f64::INFINITY));
    if let Some(tree) = tree {
        files.extend(pictures("fault-tree", &tree)?);
    }
    let away = absence.map_or_else(Vec::new, |absence| sheets::absence_tables(station, absence, true));
    for table in sheets::files(station, proof).into_iter().chain(away) {
        files.push((format!("{}.csv", table.name), table.csv().into_bytes()));
    }
    let charts = (2..=MOST_CHARTS).map(|at| format!("level-against-volume-{at}"));
    let names: Vec<String> = NAMES
        .iter()
        .map(|name| (*name).to_owned())
        .chain(charts)
        .collect();
    save(folder, &names, &files, "prove")?;
    Ok(files.len())
}

/// The printed sheets.
pub(crate) fn sheets(
    station: &Station,
    proof: &Proof,
    absence: Option<&Absence>,
    file: &str,
    paper: Paper,
) -> Result<Vec<u8>, Failure> {
    let printed = sheets::printed(station, proof, absence, file, paper);
    let pdf = sheets::pdf(&printed, &proof.title).map_err(|error| {
        Fault::new(
            "sheets.pdf",
            error.to_string(),
            "the other files are there; report it",
        )
    })?;
    Ok(pdf)
}

/// A drawing as the two files that pictures are passed on as.
pub(crate) fn pictures(name: &str, drawing: &Drawing) -> Result<[(String, Vec<u8>); 2], Failure> {
    let picture = picture(name, drawing)?;
    Ok([
        (format!("{name}.svg"), sheets::svg_to_keep(drawing).into_bytes()),
        (format!("{name}.png"), picture),
    ])
}

/// A drawing as points of light.
pub(crate) fn picture(name: &str, drawing: &Drawing) -> Result<Vec<u8>, Failure> {
    let picture = sheets::png(drawing, PIXELS_PER_MM).map_err(|error| {
        Fault::new(
            name,
            error.to_string(),
            "the drawing as SVG is the same; report it",
        )
    })?;
    Ok(picture)
}

/// Whether a folder can be there, looked at before long work, so that nobody waits for one that can't be. Nothing is made:
/// work that is broken off leaves nothing behind.
pub(crate) fn ready(folder: Option<&Path>, command: &str) -> Result<(), Failure> {
    let Some(folder) = folder else { return Ok(()) };
    // The nearest that is there already: the folder itself, or one that it would be made in.
    let there = folder.ancestors().find_map(|own| std::fs::metadata(own).ok());
    let error = match there {
        Some(own) if !own.is_dir() => std::io::ErrorKind::NotADirectory,
        Some(own) if own.permissions().readonly() => std::io::ErrorKind::PermissionDenied,
        _ => return Ok(()),
    };
    Err(refused(folder, &error.into(), command))
}

/// Writes files into a folder, which is made where it isn't there; `names` are those that the same command may have left
/// there before.
pub(crate) fn save(
    folder: &Path,
    names: &[String],
    files: &[(String, Vec<u8>)],
    command: &str,
) -> Result<(), Failure> {
    std::fs::create_dir_all(folder).map_err(|error| refused(folder, &error, command))?;
    forget(folder, names, files);
    for (name, bytes) in files {
        let path = folder.join(name);
        replace_whole(folder, name.as_ref(), bytes).map_err(|error| refused(&path, &error, command))?;
    }
    Ok(())
}

/// Names of drawings and tables that a station may have or not.
const NAMES: [&str; 36] = [
    "elevation",
    "profile",
    "schematic",
    "schematic-tags",
    "supply-by-month",
    "cost-against-run",
    "needs-by-tank",
    "needs",
    "level-against-volume-1",
    "marks",
    "valve-settings",
    "flows-and-times",
    "pumps-at-work",
    "mixing",
    "taking-parts-out",
    "order-of-turning",
    "wrong-moves",
    "changes-tried",
    "least-that-harms",
    "states-looked-at",
    "months",
    "runs",
    "ways-to-fill",
    "cost",
    "resin",
    "filters",
    "stores",
    "figures",
    "findings",
    "soundings",
    "fault-tree",
    "wet-floor",
    "what-helps",
    "test-sheet",
    "faults-alone",
    "rates-assumed",
];
/// Most vessels whose charts are looked for.
const MOST_CHARTS: usize = 40;

/// Takes away what an earlier proof left under our own names and this one doesn't write: an old table beside a new page
/// would be believed. Everything else in the folder stays; what can't be taken away is left.
fn forget(folder: &Path, names: &[String], files: &[(String, Vec<u8>)]) {
    for name in names {
        for ending in ["svg", "png", "csv"] {
            let file = format!("{name}.{ending}");
            if !files.iter().any(|(written, _)| *written == file) {
                let _ = std::fs::remove_file(folder.join(file));
            }
        }
    }
}

/// Every drawing and chart, with the name of its file.
fn drawings(station: &Station, proof: &Proof) -> Vec<(String, Drawing)> {
    let levels = (1..=MOST_CHARTS).map(|at| format!("{LEVELS}{at}"));
    DRAWINGS
        .iter()
        .map(|name| (*name).to_owned())
        .chain(levels)
        .map_while(|name| match drawing(station, proof, &name, PAPER_MM) {
            Some(drawing) => Some(Some((name, drawing))),
            None if name.starts_with(LEVELS) => None,
            None => Some(None),
        })
        .flatten()
        .collect()
}

/// Names of the drawings and charts of a proof; those of vessels are counted, behind [`LEVELS`].
const DRAWINGS: [&str; 8] = [
    "elevation",
    "profile",
    "schematic",
    "schematic-tags",
    "supply-by-month",
    "cost-against-run",
    "needs-by-tank",
    "wrong-moves",
];
const LEVELS: &str = "level-against-volume-";
/// Cards are counted too.
const CARDS: &str = "card-";

/// The drawing or chart of a name on paper of a width; nothing where there is none of that name, or this station hasn't got it.
pub(crate) fn drawing(station: &Station, proof: &Proof, name: &str, width_mm: f64) -> Option<Drawing> {
    let made = proof.supply.purifier.as_ref();
    match name {
        "elevation" => sheets::elevation(station, proof, width_mm),
        // Where a sheet has no room for it, a wider one may.
        "profile" => {
            sheets::profile(station, proof, width_mm).or_else(|| sheets::profile(station, proof, WIDE_MM))
        }
        "schematic" => sheets::schematic(station, Shows::whole(proof), Tags::Owner, width_mm),
        "schematic-tags" => sheets::schematic(station, Shows::whole(proof), Tags::Isa, width_mm),
        "supply-by-month" => supply_by_month(station, made?, width_mm),
        "cost-against-run" => cost_against_run(station, made?, width_mm),
        "needs-by-tank" => need_by_tank(station, proof, width_mm),
        "wrong-moves" => soon_by_cause(proof.mistakes.as_ref()?, width_mm),
        _ => counted(station, proof, name, width_mm),
    }
}

/// Of drawings that are counted, the one of a name.
fn counted(station: &Station, proof: &Proof, name: &str, width_mm: f64) -> Option<Drawing> {
    let number = |begin: &str| name.strip_prefix(begin)?.parse::<usize>().ok()?.checked_sub(1);
    if let Some(at) = number(LEVELS) {
        return level_against_volume(station, proof, width_mm).into_iter().nth(at);
    }
    let lineup = proof.lineups.as_ref()?.lineups.get(number(CARDS)?)?;
    sheets::schematic(station, Shows::Task(lineup), Tags::Owner, width_mm)
}

fn refused(path: &Path, error: &std::io::Error, command: &str) -> Failure {
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
        format!("name a folder of your own: brinewright {command} --out FOLDER"),
    )
    .into()
}
