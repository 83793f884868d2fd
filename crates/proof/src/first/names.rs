//! The owner's names of the tanks, as the file can have them.

/// Names that the file uses for something else.
const TAKEN: [&str; 4] = ["fresh", "salt", "fresh-pump", "salt-pump"];

/// Names for sections: letters of ASCII, digits and hyphens, no two alike, none that the file uses for something else.
pub(super) fn keys<'n>(names: impl Iterator<Item = &'n str>) -> Vec<String> {
    let mut keys: Vec<String> = Vec::new();
    for (at, name) in names.enumerate() {
        let plain = plain(name);
        let wanted = match plain.as_str() {
            "" => format!("tank-{}", at + 1),
            own if TAKEN.contains(&own) || own.starts_with("fresh-") || own.starts_with("salt-") => {
                format!("tank-{own}")
            }
            own => own.to_owned(),
        };
        let free = (1..)
            .map(|count| match count {
                1 => wanted.clone(),
                count => format!("{wanted}-{count}"),
            })
            .find(|key| !keys.contains(key));
        keys.extend(free);
    }
    keys
}

fn plain(name: &str) -> String {
    let mut out = String::new();
    for letter in name.trim().chars() {
        match letter {
            own if own.is_ascii_alphanumeric() => out.push(own.to_ascii_lowercase()),
            '\'' | '’' => {}
            _ if out.is_empty() || out.ends_with('-') => {}
            _ => out.push('-'),
        }
    }
    out.truncate(40);
    out.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::keys;

    #[test]
    fn every_name_becomes_one_of_its_own() {
        let names = [
            "Reef",
            "reef",
            "The Kids' tank!",
            "  ",
            "Salt",
            "Морской",
            "fresh-pump",
        ];
        assert_eq!(
            keys(names.into_iter()),
            [
                "reef",
                "reef-2",
                "the-kids-tank",
                "tank-4",
                "tank-salt",
                "tank-6",
                "tank-fresh-pump"
            ]
        );
    }
}
