//! Tables of two columns, as one types them: a line for each pair, with a comma between the two.

use toml_edit::Value;

/// A table of the file, `[["0 L/min", "4.5 m"]]`, as lines, `0 L/min, 4.5 m`; nothing where it is none.
pub fn pairs_as_lines(text: &str) -> Option<String> {
    let value: Value = text.trim().parse().ok()?;
    let mut lines = Vec::new();
    for pair in value.as_array()? {
        let pair = pair.as_array()?;
        let [first, second] = [pair.get(0)?, pair.get(1)?];
        if pair.len() != 2 {
            return None;
        }
        lines.push(format!("{}, {}", plain(first), plain(second)));
    }
    Some(lines.join("\n"))
}

fn plain(value: &Value) -> String {
    match value.as_str() {
        Some(text) => text.to_owned(),
        None => value.to_string().trim().to_owned(),
    }
}

/// Lines as a table of the file; what stands in brackets already is left as it is.
///
/// # Errors
/// The first line that is no pair.
pub fn lines_as_pairs(text: &str) -> Result<String, &str> {
    let text = text.trim();
    if text.starts_with('[') {
        return Ok(text.to_owned());
    }
    let mut pairs = Vec::new();
    for line in text.lines().map(str::trim).filter(|line| !line.is_empty()) {
        let parts: Vec<&str> = line.split([',', ';', '\t']).map(str::trim).collect();
        let [first, second] = parts[..] else {
            return Err(line);
        };
        pairs.push(format!("[{}, {}]", quoted(first), quoted(second)));
    }
    Ok(format!("[{}]", pairs.join(", ")))
}

fn quoted(text: &str) -> String {
    Value::from(text).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: &str = r#"[["0 L/min", "4.5 m"], ["15 L/min", "3.9 m"]]"#;

    #[test]
    fn a_table_is_lines_and_lines_are_the_table() {
        let typed = "0 L/min, 4.5 m\n15 L/min, 3.9 m";
        assert_eq!(pairs_as_lines(TABLE).as_deref(), Some(typed));
        for typed in [typed, "\n 0 L/min,4.5 m\n\n15 L/min;3.9 m\n", TABLE] {
            assert_eq!(lines_as_pairs(typed).as_deref(), Ok(TABLE));
        }
        // Over several lines of a file, too, and with quotes in it.
        let written = pairs_as_lines("[\n  [\"0 mm\", '0 L'],\n  [1, 2],\n]");
        assert_eq!(written.as_deref(), Some("0 mm, 0 L\n1, 2"));
        assert_eq!(lines_as_pairs("3\", 1 L").as_deref(), Ok(r#"[['3"', "1 L"]]"#));
    }

    #[test]
    fn what_is_no_table_is_told() {
        for odd in ["[1, 2]", "curve", "[[1, 2, 3]]"] {
            assert_eq!(pairs_as_lines(odd), None);
        }
        assert_eq!(lines_as_pairs("0 L/min, 1 m\n2 L/min 4 m"), Err("2 L/min 4 m"));
        assert_eq!(lines_as_pairs("1, 2, 3"), Err("1, 2, 3"));
    }
}
