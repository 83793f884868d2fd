//! The remark that stands beside a value: an edit leaves it where it is, true or not.

use core::ops::Range;

/// The remark behind the value at some bytes of a text, on its line, without its mark; nothing where there is none.
pub fn remark_beside(text: &str, value: Range<usize>) -> Option<&str> {
    let behind = text.get(value.end..)?;
    let line = behind.split('\n').next()?;
    let at = remark_at(line)?;
    let remark = line.get(at + 1..)?.trim();
    (!remark.is_empty()).then_some(remark)
}

/// Where a remark begins in what is left of a line, past the texts of other values.
fn remark_at(line: &str) -> Option<usize> {
    let mut quote: Option<char> = None;
    let mut escaped = false;
    for (at, c) in line.char_indices() {
        match quote {
            Some(_) if escaped => escaped = false,
            Some('"') if c == '\\' => escaped = true,
            Some(own) if c == own => quote = None,
            Some(_) => {}
            None if matches!(c, '"' | '\'') => quote = Some(c),
            None if c == '#' => return Some(at),
            None => {}
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::Written;
    use super::*;

    const FILE: &str = "title = \"a # b\"\n[vessels.fresh]\nstop_level = \"33 in\"   # same as the backup\nbackup_level = \"33 in\"\n\
                        start_level = \"9 in\" #\n[valves]\none = { line = \"a\", kind = \"b#c\" } # by the door\n";

    #[test]
    fn a_remark_stands_beside_its_value() {
        for (path, remark) in [
            ("vessels.fresh.stop_level", Some("same as the backup")),
            ("vessels.fresh.backup_level", None),
            ("vessels.fresh.start_level", None),
            ("vessels.fresh.height", None),
            ("title", None),
            // Of a line with several values it is beside each of them.
            ("valves.one.line", Some("by the door")),
            ("valves.one.kind", Some("by the door")),
        ] {
            let value = Written::of(FILE).span(path);
            let beside = value.and_then(|value| remark_beside(FILE, value));
            assert_eq!(beside, remark, "{path}");
        }
    }
}
