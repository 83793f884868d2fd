//! The owner's names of the tanks, as the file can have them.

use station::read_alike;

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
            .find(|key| !keys.iter().any(|own| read_alike(own, key)));
        keys.extend(free);
    }
    keys
}

fn plain(name: &str) -> String {
    let mut out = String::new();
    for letter in name.trim().chars() {
        match letter {
            own if own.is_ascii_alphanumeric() => out.push(own.to_ascii_lowercase()),
            own if !plainly(own).is_empty() => out.push_str(plainly(own)),
            '\'' | '’' => {}
            _ if out.is_empty() || out.ends_with('-') => {}
            _ => out.push('-'),
        }
    }
    // Short enough for a label, with room for `tank-` before it and a number behind.
    out.truncate(30);
    out.trim_end_matches('-').to_owned()
}

/// A letter of western Europe (Latin 1) as one writes it without its marks; nothing for any other.
fn plainly(letter: char) -> &'static str {
    match letter.to_lowercase().next().unwrap_or(letter) {
        'ä' | 'æ' => "ae",
        'ö' | 'ø' => "oe",
        'ü' => "ue",
        'ß' => "ss",
        'å' | 'à' | 'á' | 'â' | 'ã' => "a",
        'è' | 'é' | 'ê' | 'ë' => "e",
        'ì' | 'í' | 'î' | 'ï' => "i",
        'ò' | 'ó' | 'ô' | 'õ' => "o",
        'ù' | 'ú' | 'û' => "u",
        'ý' | 'ÿ' => "y",
        'ç' => "c",
        'ñ' => "n",
        'ð' => "d",
        'þ' => "th",
        _ => "",
    }
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
            "Nano Öl",
            "Ærø",
            "tank1",
            "Tank 1",
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
                "tank-fresh-pump",
                "nano-oel",
                "aeroe",
                "tank1",
                "tank-1-2"
            ]
        );
        let long = "The very long name of a tank that goes on and on";
        let both = keys([long, long].into_iter());
        assert!(both.iter().all(|own| own.len() <= 40), "{both:?}");
    }
}
