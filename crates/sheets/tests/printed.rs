//! The printed sheets: everything is there, legible, between the margins, whole; the PDF and the PNG are made of it.

use crate::legible;
use crate::proved::{EXAMPLES, proved, read};

use legible::legible;
use sheets::{Pages, Paper, Shape, elevation, pdf, png, printed};
use station::quantity::format_ends;

/// White at each side (house rule of the sheets), mm.
const MARGIN_MM: f64 = 15.0;

fn sheets_of(text: &str, paper: Paper) -> (proof::Proof, Pages) {
    let own = proved(text);
    let (station, proof) = &*own;
    let pages = printed(station, proof, None, "station.toml", paper);
    (proof.clone(), pages)
}

/// The words of a page in the order in which they were set.
fn words(pages: &Pages) -> String {
    let texts = pages.pages.iter().flat_map(|page| {
        page.items.iter().filter_map(|item| match &item.shape {
            Shape::Text { text, .. } => Some(text.as_str()),
            _ => None,
        })
    });
    texts.collect::<Vec<_>>().join(" ")
}

/// A figure that leads keeps its doubt on the sheet, however long that is: two ends of a time have no room behind it.
#[test]
fn a_long_doubt_stands_by_its_figure() {
    for (name, text) in EXAMPLES {
        let own = proved(text);
        let (station, proof) = &*own;
        let figure = proof.figure("lead-time.emergency").expect("an emergency");
        let (Some(low), Some(high)) = (figure.low, figure.high) else {
            continue;
        };
        let ends = format_ends(
            figure.kind,
            (figure.value, low, high),
            figure.half_width(),
            station.units(),
            &station.currency(),
        );
        for paper in [Paper::A4, Paper::Letter] {
            let (_, mut pages) = sheets_of(text, paper);
            pages.pages.truncate(1);
            let said = words(&pages);
            assert!(
                !figure.is_lopsided() || said.contains(&ends),
                "{name}: {ends} in {said}"
            );
        }
    }
}

#[test]
fn every_page_is_legible_and_within_its_margins() {
    for (name, text) in EXAMPLES {
        for paper in [Paper::A4, Paper::Letter] {
            let (_, pages) = sheets_of(text, paper);
            assert!(pages.pages.len() >= 4, "{name}");
            for (at, page) in pages.pages.iter().enumerate() {
                let what = format!("{name}, {paper:?}, page {}", at + 1);
                legible(page, &what);
                assert_eq!(
                    (page.width_mm, page.height_mm),
                    (paper.width_mm(), paper.height_mm())
                );
                for (bounds, text) in page.text_bounds() {
                    assert!(
                        bounds.left_mm > MARGIN_MM
                            && bounds.right_mm < page.width_mm - MARGIN_MM
                            && bounds.top_mm > 8.0
                            && bounds.bottom_mm < page.height_mm - 8.0,
                        "{what}: {text} stands in the margin"
                    );
                }
            }
        }
    }
}

/// The cautions never have a page to themselves: what can be read beside them stands there too.
#[test]
fn the_cautions_share_their_page() {
    for (name, text) in EXAMPLES {
        for paper in [Paper::A4, Paper::Letter] {
            let (_, pages) = sheets_of(text, paper);
            let said = |page: &sheets::Drawing| -> Vec<String> {
                let texts = page.items.iter().filter_map(|item| match &item.shape {
                    Shape::Text { text, .. } => Some(text.clone()),
                    _ => None,
                });
                texts.collect()
            };
            let told: Vec<Vec<String>> = pages.pages.iter().map(said).collect();
            let page = told.iter().find(|page| page.iter().any(|own| own == "Caution"));
            let page = page.expect("the cautions");
            let words: usize = page.iter().map(|own| own.split_whitespace().count()).sum();
            assert!(words > 150, "{name}, {paper:?}: {page:?}");
        }
    }
}

/// A title in any script, and longer than the running head, is there in full.
#[test]
fn long_and_foreign_titles_are_told() {
    let title = "Łódź, Žižkov und Ærøskøbing, the long corridor behind the old boiler room, third door on the left, 日本";
    let text = EXAMPLES[0].1.replace("Larkhaven, old boiler room", title);
    let (_, pages) = sheets_of(&text, Paper::A4);
    let all = words(&pages).replace(' ', "");
    assert!(all.contains(&sheets::font::printable(title).replace(' ', "")));
    assert!(all.contains("Łódź") && !all.contains('?'));
    for page in &pages.pages {
        legible(page, "a long title");
    }
}

/// Twelve vessels take more than a sheet: none is cut, and each sheet tells its scale.
#[test]
fn many_vessels_take_several_sheets() {
    let vessel = |at: usize| {
        format!(
            "[vessels.v{at}]\nholds = \"fresh\"\nshape = \"cylinder\"\ndiameter = \"700 mm\"\nheight = \"1900 mm\"\n\
             nominal_volume = \"600 L\"\noutlet_level = \"50 mm\"\nstart_level = \"300 mm\"\nstop_level = \"900 mm\"\n\n"
        )
    };
    let text = format!("title = \"Many\"\n\n{}", (1..=12).map(vessel).collect::<String>());
    let (_, pages) = sheets_of(&text, Paper::Letter);
    let maps: usize = pages.pages.iter().map(|page| page.maps.len()).sum();
    assert_eq!(maps, 12);
    for (at, page) in pages.pages.iter().enumerate() {
        legible(page, &format!("page {}", at + 1));
        for (bounds, text) in page.text_bounds() {
            assert!(bounds.bottom_mm < page.height_mm - 8.0, "{text}");
        }
    }
    assert!(words(&pages).contains("inner lengths"));
}

/// Every finding, cure, headline figure and table of the proof is on the sheets, in its words.
#[test]
fn everything_is_told() {
    for (name, text) in EXAMPLES {
        let (proof, pages) = sheets_of(text, Paper::A4);
        // Blanks where lines end are those between words.
        let all = words(&pages).replace(' ', "");
        let has = |words: &str| {
            let wanted = sheets::font::printable(words).replace(' ', "");
            assert!(all.contains(&wanted), "{name}: {words}");
        };
        has(&proof.verdict);
        for finding in &proof.findings {
            // A sentence may go on behind the foot and the head of a page: its halves are there.
            let words: Vec<&str> = finding.sentence.split(' ').collect();
            let (first, second) = words.split_at(words.len() / 2);
            let whole = sheets::font::printable(&finding.sentence).replace(' ', "");
            if !all.contains(&whole) {
                has(&first.join(" "));
                has(&second.join(" "));
            }
        }
        for figure in proof.figures.iter().filter(|figure| figure.headline) {
            has(&figure.key);
        }
        for bookmark in ["Verdict", "Caution", "Figures", "Charts", "Methods", "Sources"] {
            assert!(
                pages.bookmarks.iter().any(|mark| mark.title == bookmark),
                "{name}: {bookmark}"
            );
        }
        let station = read(text);
        for table in sheets::tables(&station, &proof) {
            // Long tables stand in the annex, their titles behind that word.
            let mut letters = table.title.chars();
            let small: String = letters
                .next()
                .into_iter()
                .flat_map(char::to_lowercase)
                .chain(letters)
                .collect();
            let annex = format!("Annex: {small}");
            let mark = pages
                .bookmarks
                .iter()
                .find(|mark| mark.title == table.title || mark.title == annex);
            let Some(mark) = mark else {
                panic!("{name}: {}", table.title);
            };
            has(&mark.title);
        }
        assert!(all.contains(&format!("page1of{}", pages.pages.len())));
    }
}

/// The elevation stands on the first sheet at the scale that it tells.
#[test]
fn the_drawing_on_the_sheet_is_to_scale() {
    for (name, text) in EXAMPLES {
        let (_, pages) = sheets_of(text, Paper::A4);
        let station = read(text);
        let first = &pages.pages[0];
        assert_eq!(first.maps.len(), station.vessels.len(), "{name}");
        for (vessel, map) in station.vessels.iter().zip(&first.maps) {
            let path = format!("vessels.{}", vessel.name);
            let body = first
                .items
                .iter()
                .filter(|item| item.path == path)
                .find_map(|item| match &item.shape {
                    Shape::Line {
                        points,
                        stroke: sheets::Stroke::Heavy,
                        ..
                    } => Some(points),
                    _ => None,
                })
                .expect("its body");
            let rim = body.iter().map(|point| point.y_mm).fold(f64::INFINITY, f64::min);
            let above_m = (map.origin.y_mm - rim) / map.mm_per_m;
            let wanted_m = vessel.fields.floor_height.value.m() + vessel.height_m();
            assert!((above_m - wanted_m).abs() < 1e-9, "{name}: {path}");
        }
    }
}

/// The same pages make the same bytes, and such as a reader takes for a PDF; what other programs say of them is asked by
/// `scripts/test-sheets`.
#[test]
fn the_pdf_is_made_of_the_pages() {
    let (proof, pages) = sheets_of(EXAMPLES[0].1, Paper::A4);
    let file = pdf(&pages, &proof.title).expect("a file");
    assert!(file.starts_with(b"%PDF-1."));
    assert_eq!(file, pdf(&pages, &proof.title).expect("again"));
    let none = Pages {
        pages: vec![sheets::Drawing::new("", 0.0, 10.0)],
        bookmarks: Vec::new(),
    };
    assert!(pdf(&none, "").is_err());
}

#[test]
fn a_picture_has_the_pixels_that_were_asked_for() {
    let own = proved(EXAMPLES[0].1);
    let (station, proof) = &*own;
    let drawing = elevation(station, proof, 100.0).expect("vessels");
    let picture = png(&drawing, 4.0).expect("a picture");
    // PNG (ISO 15948): eight bytes of signature, a chunk's length and name, then width and height.
    assert_eq!(&picture[..8], b"\x89PNG\r\n\x1a\n");
    let number =
        |at: usize| u32::from_be_bytes([picture[at], picture[at + 1], picture[at + 2], picture[at + 3]]);
    assert_eq!(number(16), 400);
    assert_eq!(number(20), (drawing.height_mm * 4.0).round() as u32);
    assert!(png(&drawing, 0.0).is_err() && png(&drawing, 1e6).is_err());
}
