//! Blocks on pages: strips of paper that stay whole, set one below the other.
//!
//! Owns: where pages end. A heading stays with what it heads, a row is never split, a table's head is drawn again on
//! each page that it reaches, a paragraph leaves no single line behind.

mod block;
mod columns;

pub(crate) use block::{drawing, heading, paragraph, rule, sticking};
pub(crate) use columns::{Align, Column, table};

use std::rc::Rc;

use crate::drawing::{Drawing, at};
use crate::paper::{FOOT_MM, HEAD_MM, Paper, SIDE_MM};

/// A strip of paper that stays whole.
#[derive(Debug, Clone)]
pub(crate) struct Strip {
    /// What is on it.
    pub(crate) drawing: Drawing,
    /// White above it, none where it begins a page.
    pub(crate) before_mm: f64,
    /// Whether it stays with the next.
    pub(crate) sticks: bool,
    /// What is drawn above it where it begins a page: the head of its table.
    pub(crate) head: Option<Rc<Drawing>>,
    /// Its bookmark.
    pub(crate) bookmark: Option<String>,
}

impl Strip {
    pub(crate) fn new(drawing: Drawing, before_mm: f64) -> Self {
        Self {
            drawing,
            before_mm,
            sticks: false,
            head: None,
            bookmark: None,
        }
    }

    fn head_mm(&self) -> f64 {
        self.head.as_ref().map_or(0.0, |head| head.height_mm)
    }
}

/// A place that a bookmark leads to.
#[derive(Debug, Clone, PartialEq)]
pub struct Bookmark {
    /// What it says.
    pub title: String,
    /// Which page, from 0.
    pub page: usize,
    /// How far down, mm.
    pub y_mm: f64,
}

/// Pages as display lists, and the bookmarks into them.
#[derive(Debug, Clone, PartialEq)]
pub struct Pages {
    /// What each page shows.
    pub pages: Vec<Drawing>,
    /// Bookmarks in their order.
    pub bookmarks: Vec<Bookmark>,
}

/// Sets strips on pages.
pub(crate) fn paginate(strips: &[Strip], paper: Paper) -> Pages {
    let room_mm = paper.height_mm() - HEAD_MM - FOOT_MM;
    let blank = || Drawing::new("", paper.width_mm(), paper.height_mm());
    let mut out = Pages {
        pages: vec![blank()],
        bookmarks: Vec::new(),
    };
    let mut used_mm = 0.0;
    for (at_strip, strip) in strips.iter().enumerate() {
        let begins = |used_mm: f64| used_mm == 0.0;
        let leads = at_strip == 0 || !strips[at_strip - 1].sticks;
        // What must stay together is measured where it begins.
        if leads && !begins(used_mm) && used_mm + together_mm(&strips[at_strip..]) > room_mm {
            out.pages.push(blank());
            used_mm = 0.0;
        } else if !begins(used_mm) && used_mm + strip.before_mm + strip.drawing.height_mm > room_mm {
            // More sticks together than a page holds: it breaks where the page ends.
            out.pages.push(blank());
            used_mm = 0.0;
        }
        let page = out.pages.len() - 1;
        let Some(paper) = out.pages.last_mut() else {
            break;
        };
        if begins(used_mm) {
            if let Some(head) = &strip.head {
                paper.put(head, at(SIDE_MM, HEAD_MM));
            }
            used_mm += strip.head_mm();
        } else {
            used_mm += strip.before_mm;
        }
        let top_mm = HEAD_MM + used_mm;
        paper.put(&strip.drawing, at(SIDE_MM, top_mm));
        if let Some(title) = &strip.bookmark {
            out.bookmarks.push(Bookmark {
                title: title.clone(),
                page,
                y_mm: top_mm,
            });
        }
        used_mm += strip.drawing.height_mm;
    }
    out
}

/// Height of the first strip with all that it stays with, and the white above them.
fn together_mm(strips: &[Strip]) -> f64 {
    let mut height_mm = 0.0;
    for strip in strips {
        height_mm += strip.before_mm + strip.drawing.height_mm;
        if !strip.sticks {
            break;
        }
    }
    height_mm
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn strip(height_mm: f64, sticks: bool) -> Strip {
        Strip {
            sticks,
            ..Strip::new(Drawing::new("", 170.0, height_mm), 2.0)
        }
    }

    fn marked(heights: &[(f64, bool)]) -> Vec<Strip> {
        heights
            .iter()
            .enumerate()
            .map(|(at, (height_mm, sticks))| Strip {
                bookmark: Some(at.to_string()),
                ..strip(*height_mm, *sticks)
            })
            .collect()
    }

    proptest! {
        /// Every strip is there once, in its order, whole on its page, below the one before; one that sticks is on the
        /// page of the next as long as they fit a page together.
        #[test]
        fn pages_hold_everything_in_order(heights in proptest::collection::vec((1.0..90.0_f64, any::<bool>()), 1..60)) {
            let strips = marked(&heights);
            let room = Paper::A4.height_mm() - HEAD_MM - FOOT_MM;
            let set = paginate(&strips, Paper::A4);
            prop_assert_eq!(set.bookmarks.len(), strips.len());
            for (at, mark) in set.bookmarks.iter().enumerate() {
                prop_assert_eq!(&mark.title, &at.to_string());
                prop_assert!(mark.y_mm >= HEAD_MM - 1e-9);
                prop_assert!(mark.y_mm + heights[at].0 <= HEAD_MM + room + 1e-9);
            }
            for (at, pair) in set.bookmarks.windows(2).enumerate() {
                let below = pair[1].page > pair[0].page
                    || pair[1].y_mm >= pair[0].y_mm + heights[at].0 - 1e-9;
                prop_assert!(below);
                let begins = (0..=at).rev().find(|i| *i == 0 || !heights[i - 1].1).unwrap_or(0);
                if heights[at].1 && together_mm(&strips[begins..]) <= room {
                    prop_assert_eq!(pair[0].page, pair[1].page);
                }
            }
        }
    }

    /// Three pages of rows: the head is drawn above the first row of each later page.
    #[test]
    fn a_head_is_drawn_again_on_each_page() {
        let mut head = Drawing::new("head", 170.0, 7.0);
        head.line(
            vec![at(0.0, 7.0), at(170.0, 7.0)],
            crate::drawing::Stroke::Hair,
            crate::drawing::Ink::Hair,
            "head",
        );
        let head = Rc::new(head);
        let mut strips = vec![Strip::new((*head).clone(), 0.0)];
        strips[0].sticks = true;
        strips.extend((0..90).map(|_| Strip {
            head: Some(Rc::clone(&head)),
            before_mm: 0.0,
            ..strip(7.0, false)
        }));
        let set = paginate(&strips, Paper::Letter);
        assert!(set.pages.len() >= 3);
        for page in &set.pages {
            let heads = page.items.iter().filter(|item| item.path == "head").count();
            assert_eq!(heads, 1);
        }
    }
}
