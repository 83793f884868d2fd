//! The card of each task: what it says, and that it stands whole on its sheet.

use crate::proved::{EXAMPLES, proved};
use sheets::{Paper, card, printed};
use station::spoken;

/// A card says the way, the valves, the order of moves where there is one, and each level of the source.
#[test]
fn a_card_says_what_to_do() {
    let own = proved(EXAMPLES[0].1);
    let (station, proof) = &*own;
    let lineups = &proof.lineups.as_ref().expect("lines").lineups;
    let change = lineups
        .iter()
        .find(|own| own.name == "touch-pool-change")
        .expect("a task");
    let card = card(station, proof, change);
    assert_eq!(card.title, "Touch pool change");
    assert_eq!(
        card.way,
        "From salt by salt out to salt leg, by salt suction to suction, by pump suction to bracket, by riser to \
         wall spout, by wall low to wall jet, by wall high to wall top, by pool hose to touch pool."
    );
    assert_eq!(
        card.open,
        "Open salt outlet, pump outlet and pool; close the others."
    );
    assert_eq!(card.run, "Run bracket.");
    // By hand from the way above: the way is opened before the pump runs, the pump stops before its way is closed.
    assert_eq!(card.order.len(), 4, "{:?}", card.order);
    assert_eq!(card.order[3], "start bracket");
    assert_eq!(card.back.len(), 4, "{:?}", card.back);
    assert_eq!(card.back[0], "stop bracket");
    assert_eq!(card.moments.len(), change.moments.len());
    for (told, moment) in card.moments.iter().zip(&change.moments) {
        assert!(
            told[0].starts_with("salt ") && told[1].contains("L/min"),
            "{told:?}"
        );
        assert_eq!(told[2].is_empty(), moment.time.is_none());
    }
}

/// The gravest wrong moves are told, worst first: of the pool's change, with pump and pool line set, the fresh outlet
/// lets fresh and salt water into each other.
#[test]
fn a_card_warns_of_the_gravest() {
    let own = proved(EXAMPLES[0].1);
    let (station, proof) = &*own;
    let one_step = &proof.mistakes.as_ref().expect("valves").one_step;
    let mut warned = 0;
    for lineup in &proof.lineups.as_ref().expect("lines").lineups {
        let card = card(station, proof, lineup);
        let own: Vec<_> = one_step
            .iter()
            .filter(|own| own.lineup == lineup.name && !own.moved.is_empty())
            .collect();
        assert_eq!(card.wrong.is_empty(), own.is_empty(), "{}", lineup.name);
        assert!(card.wrong.len() <= 2, "{:?}", card.wrong);
        let Some(first) = card.wrong.first() else { continue };
        warned += 1;
        let worst = own.iter().map(|own| own.kind).min().expect("one");
        assert!(first.contains(&format!("({}, ", worst.word())), "{first}");
        let named = own
            .iter()
            .any(|own| first.contains(&format!(" {} (", spoken(&own.moved))));
        assert!(named, "{first}");
        let verb = ["open ", "close ", "start ", "stop "];
        assert!(verb.iter().any(|verb| first.starts_with(verb)), "{first}");
        assert!(
            first.contains(", after ") || first.ends_with(", at once)"),
            "{first}"
        );
        let sentence = format!("Don't: {}.", card.wrong.join(", "));
        assert_eq!(card.turning().last(), Some(&sentence));
    }
    assert!(warned > 2, "{warned}");
}

/// Each card stands whole on one sheet.
#[test]
fn no_card_is_split() {
    for (name, text) in EXAMPLES {
        let own = proved(text);
        let (station, proof) = &*own;
        for paper in [Paper::A4, Paper::Letter] {
            let pages = printed(station, proof, None, "station.toml", paper);
            for lineup in &proof.lineups.as_ref().expect("lines").lineups {
                let card = card(station, proof, lineup);
                let mark = pages
                    .bookmarks
                    .iter()
                    .find(|mark| mark.title == card.title)
                    .expect("a card");
                let page = &pages.pages[mark.page];
                let words: String = page
                    .text_bounds()
                    .iter()
                    .map(|(_, text)| format!("{text} "))
                    .collect();
                let words = words.replace(' ', "");
                let cells = card.moments.iter().flatten();
                let turning = card.turning();
                for told in [&card.way, &card.open].into_iter().chain(&turning).chain(cells) {
                    let told = sheets::font::printable(told).replace(' ', "");
                    assert!(
                        words.contains(&told),
                        "{name}, {paper:?}, {}: {told}",
                        lineup.name
                    );
                }
                let drawn = page
                    .items
                    .iter()
                    .any(|item| item.path == format!("lines.{}", lineup.lines[0]));
                assert!(drawn, "{name}, {paper:?}, {}", lineup.name);
            }
        }
    }
}
