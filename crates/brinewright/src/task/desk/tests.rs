//! A file on the workbench: one value changes and nothing else, back and forward, what editors do meanwhile.

use std::fs;

use super::*;

const TEXT: &str = include_str!("../../../../../stations/juniper-street-school.toml");

struct Table {
    folder: tempfile::TempDir,
    desk: Desk,
}

fn laid() -> Table {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("mine.toml");
    fs::write(&path, TEXT).expect("written");
    let desk = Desk::open(Some(&path)).expect("opened");
    Table { folder, desk }
}

impl Table {
    fn file(&self) -> String {
        fs::read_to_string(self.folder.path().join("mine.toml")).expect("read")
    }

    fn edited_outside(&self, from: &str, to: &str) {
        let before = self.file();
        assert!(before.contains(from), "{from}");
        fs::write(self.folder.path().join("mine.toml"), before.replace(from, to)).expect("written");
    }
}

fn salt(text: &str) -> Edit {
    Edit::quoted("reserve.salt", text)
}

#[test]
fn a_change_is_one_value_and_is_saved() {
    let mut table = laid();
    let now = table.desk.change(1, &[salt("32 gal")]).expect("changed");
    assert_eq!(now, 2);
    assert_eq!(
        table.file(),
        TEXT.replace("salt = \"30 gal\"", "salt = \"32 gal\"")
    );
    let left: Vec<_> = fs::read_dir(table.folder.path()).expect("a folder").collect();
    assert_eq!(left.len(), 1, "nothing is left beside it");
}

#[test]
fn back_and_forward_over_whole_texts() {
    let mut table = laid();
    table.desk.change(1, &[salt("32 gal")]).expect("changed");
    let once = table.file();
    table.desk.change(2, &[salt("34 gal")]).expect("changed");
    let twice = table.file();
    table.desk.undo().expect("undone");
    assert_eq!(table.file(), once);
    table.desk.undo().expect("undone");
    assert_eq!(table.file(), TEXT);
    assert!(matches!(table.desk.undo(), Err(DeskFault::Nothing(_))));
    table.desk.redo().expect("redone");
    table.desk.redo().expect("redone");
    assert_eq!(table.file(), twice);
    assert!(matches!(table.desk.redo(), Err(DeskFault::Nothing(_))));
    // A new change ends what could be brought back.
    table.desk.undo().expect("undone");
    let now = table.desk.revision();
    table.desk.change(now, &[salt("36 gal")]).expect("changed");
    assert_eq!(table.desk.undoable(), [true, false]);
}

#[test]
fn what_would_be_no_station_is_refused_with_its_mend() {
    let mut table = laid();
    let refused = table
        .desk
        .change(1, &[Edit::quoted("vessels.drum.backup_level", "9 ft")]);
    let Err(DeskFault::Refused(faults)) = refused else {
        panic!("{refused:?}");
    };
    assert!(!faults.is_empty() && !faults[0].mend.is_empty(), "{faults:?}");
    assert_eq!(table.file(), TEXT);
    assert_eq!(table.desk.revision(), 1);
}

#[test]
fn another_value_changed_in_an_editor_stays() {
    let mut table = laid();
    table.edited_outside("labour = \"18 USD/h\"", "labour = \"20 USD/h\"");
    table.desk.change(1, &[salt("32 gal")]).expect("both");
    let file = table.file();
    assert!(file.contains("labour = \"20 USD/h\"") && file.contains("salt = \"32 gal\""));
    // The page's own change can be taken back, the editor's stays.
    table.desk.undo().expect("undone");
    assert!(table.file().contains("labour = \"20 USD/h\"") && table.file().contains("salt = \"30 gal\""));
    // An editor's alone is none to take back here.
    assert_eq!(table.desk.undoable(), [false, true]);
    assert!(matches!(table.desk.undo(), Err(DeskFault::Nothing(_))));
}

/// What was changed here is taken back and brought back beneath what an editor did since, as often as it was done; what
/// the editor wrote stays to the byte.
#[test]
fn own_changes_are_taken_back_beneath_an_editors() {
    let mut table = laid();
    table.desk.change(1, &[salt("32 gal")]).expect("changed");
    table.desk.change(2, &[salt("34 gal")]).expect("changed");
    table.edited_outside("labour = \"18 USD/h\"", "labour = \"20 USD/h\" # Since autumn.");
    let both = table.file();
    for own in ["32 gal", "30 gal"] {
        table.desk.undo().expect("undone");
        assert_eq!(table.file(), both.replace("34 gal", own));
    }
    assert_eq!(table.desk.undoable(), [false, true]);
    for own in ["32 gal", "34 gal"] {
        table.desk.redo().expect("brought back");
        assert_eq!(table.file(), both.replace("34 gal", own));
    }
    // The same value changed in an editor since: neither is lost.
    table.edited_outside("salt = \"34 gal\"", "salt = \"50 gal\"");
    assert!(matches!(table.desk.undo(), Err(DeskFault::Outside)));
    assert!(table.file().contains("salt = \"50 gal\""));
}

/// A section that was put in is taken out beneath an editor's change of another line.
#[test]
fn an_own_section_is_taken_back_beneath_an_editors_change() {
    let mut table = laid();
    let own = Edit {
        path: "tanks.nook".to_owned(),
        text: "{ volume = \"20 gal\", salinity = 34.5, temperature = \"77 F\", evaporation = \"1 gal/day\" }"
            .to_owned(),
    };
    table.desk.change(1, &[own]).expect("put in");
    table.edited_outside("labour = \"18 USD/h\"", "labour = \"20 USD/h\"");
    table.desk.undo().expect("taken back");
    assert_eq!(table.file(), TEXT.replace("18 USD/h", "20 USD/h"));
}

/// A file that was taken away is missed, nothing is changed meanwhile, and it is written again when somebody asks for that;
/// one that is there isn't overwritten.
#[test]
fn a_file_that_is_gone_is_written_again() {
    let mut table = laid();
    assert!(matches!(table.desk.write_again(), Err(DeskFault::Nothing(_))));
    let path = table.folder.path().join("mine.toml");
    fs::remove_file(&path).expect("gone");
    assert!(matches!(table.desk.catch_up(), Err(DeskFault::File(_))));
    assert!(table.desk.is_gone());
    assert!(matches!(
        table.desk.change(1, &[salt("32 gal")]),
        Err(DeskFault::File(_))
    ));
    assert!(!path.exists());
    table.desk.write_again().expect("written");
    assert_eq!((table.file().as_str(), table.desk.is_gone()), (TEXT, false));
    table.desk.change(1, &[salt("32 gal")]).expect("changed");
}

#[test]
fn the_same_value_changed_in_an_editor_is_a_conflict() {
    let mut table = laid();
    table.edited_outside("salt = \"30 gal\"", "salt = \"40 gal\"");
    let both = table.desk.change(1, &[salt("32 gal")]);
    let Err(DeskFault::Conflict(clash)) = both else {
        panic!("{both:?}");
    };
    assert_eq!(
        clash,
        Clash {
            revision: 2,
            conflicts: vec![Conflict {
                path: "reserve.salt".to_owned(),
                theirs: Some("\"40 gal\"".to_owned()),
                yours: "\"32 gal\"".to_owned(),
            }],
            edits: vec![salt("32 gal")],
        }
    );
    assert!(
        table.file().contains("salt = \"40 gal\""),
        "nothing was overwritten"
    );
    // Looked at again, it is a change like any other.
    let now = table.desk.revision();
    table.desk.change(now, &[salt("32 gal")]).expect("changed");
    assert!(table.file().contains("salt = \"32 gal\""));
}

/// A section that somebody else changed isn't taken out unseen; its name is given whatever was changed in it meanwhile.
#[test]
fn a_section_changed_in_an_editor_is_looked_at_before_it_goes() {
    let mut table = laid();
    let text = table.file();
    let name = Written::of(&text).keys("tanks").remove(0);
    let path = format!("tanks.{name}");
    let volume = Written::of(&text)
        .value(&format!("{path}.volume"))
        .expect("a volume")
        .to_owned();
    table.edited_outside(&format!("volume = {volume}"), "volume = \"77 gal\"");
    let gone = Edit {
        path: path.clone(),
        text: String::new(),
    };
    let Err(DeskFault::Conflict(clash)) = table.desk.change(1, core::slice::from_ref(&gone)) else {
        panic!("it was taken out unseen");
    };
    assert!(
        clash.conflicts[0]
            .theirs
            .as_deref()
            .is_some_and(|own| own.contains("77 gal"))
    );
    table.desk.rename(&path, "lagoon").expect("renamed");
    assert!(table.file().contains("[tanks.lagoon]") && table.file().contains("77 gal"));
    assert!(matches!(
        table.desk.rename(&path, "pond"),
        Err(DeskFault::Refused(_))
    ));
    table.desk.undo().expect("undone");
    assert!(table.file().contains(&format!("[{path}]")));
}

/// A change of three values, of which two met another's: nothing of it is done; settled value by value all of it is, what met
/// nothing too. Changed once more in between, it meets again.
#[test]
fn several_conflicts_are_settled_value_by_value() {
    let mut table = laid();
    table.edited_outside("salt = \"30 gal\"", "salt = \"40 gal\"");
    table.edited_outside("labour = \"18 USD/h\"", "labour = \"20 USD/h\"");
    let change = [
        salt("32 gal"),
        Edit::quoted("prices.labour", "25 USD/h"),
        Edit::quoted("title", "Another title"),
    ];
    let met = |desk: &mut Desk, based_on: u64, edits: &[Edit]| match desk.change(based_on, edits) {
        Err(DeskFault::Conflict(clash)) => clash,
        other => panic!("{other:?}"),
    };
    let clash = met(&mut table.desk, 1, &change);
    assert_eq!(clash.conflicts.len(), 2, "{clash:?}");
    assert_eq!(clash.edits, change);
    assert!(!table.file().contains("Another title"), "nothing is half done");
    // Mine for the salt, theirs for the labour.
    let settled = [change[0].clone(), change[2].clone()];
    table.edited_outside("salt = \"40 gal\"", "salt = \"41 gal\"");
    let again = met(&mut table.desk, clash.revision, &settled);
    assert_eq!(again.conflicts[0].theirs.as_deref(), Some("\"41 gal\""));
    table.desk.change(again.revision, &settled).expect("settled");
    let file = table.file();
    for holds in ["salt = \"32 gal\"", "labour = \"20 USD/h\"", "Another title"] {
        assert!(file.contains(holds), "{holds}");
    }
}

#[test]
fn two_pages_that_want_the_same_are_of_one_mind() {
    let mut table = laid();
    table.desk.change(1, &[salt("32 gal")]).expect("changed");
    let now = table.desk.change(1, &[salt("32 gal")]).expect("the same again");
    assert_eq!(now, 2, "which is no change to take back");
}

#[test]
fn the_demo_is_kept_by_nobody() {
    let mut desk = Desk::open(None).expect("the demo");
    assert!(!desk.is_kept());
    let edit = Edit::quoted("reserve.fresh", "100 L");
    desk.change(1, &[edit]).expect("changed");
    assert!(desk.text().contains("fresh = \"100 L\""));
}

#[test]
fn another_file_takes_its_place_and_no_change_of_the_old_one_reaches_it() {
    let mut table = laid();
    table.desk.change(1, &[salt("32 gal")]).expect("changed");
    let old = table.file();
    let other = table.folder.path().join("other.toml");
    fs::write(&other, TEXT).expect("written");
    assert_eq!(table.desk.folder(), table.folder.path());
    let now = table.desk.exchange(&other).expect("exchanged");
    assert_eq!((now, table.desk.file_name().as_str()), (3, "other.toml"));
    assert_eq!(table.desk.undoable(), [false, false]);
    // A page that still looks at the old file changes nothing of the new one.
    let late = table.desk.change(2, &[salt("34 gal")]);
    assert!(matches!(late, Err(DeskFault::Conflict(_))), "{late:?}");
    table.desk.change(now, &[salt("36 gal")]).expect("changed");
    assert_eq!(table.file(), old, "the old file is as it was");
    assert!(
        fs::read_to_string(&other)
            .expect("read")
            .contains("salt = \"36 gal\"")
    );
    assert!(
        table
            .desk
            .exchange(&table.folder.path().join("none.toml"))
            .is_err()
    );
    assert_eq!(table.desk.file_name(), "other.toml");
}

#[cfg(unix)]
#[test]
fn a_link_stays_a_link_and_rights_stay_as_they_are() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = tempfile::tempdir().expect("a folder");
    let (real, link) = (folder.path().join("real.toml"), folder.path().join("link.toml"));
    fs::write(&real, TEXT).expect("written");
    fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).expect("rights");
    symlink(&real, &link).expect("a link");
    let mut desk = Desk::open(Some(&link)).expect("opened");
    desk.change(1, &[salt("32 gal")]).expect("changed");
    assert!(fs::symlink_metadata(&link).expect("a link").is_symlink());
    assert_eq!(
        fs::metadata(&real).expect("a file").permissions().mode() & 0o777,
        0o640
    );
    assert!(
        fs::read_to_string(&real)
            .expect("read")
            .contains("salt = \"32 gal\"")
    );
}
