//! What each thing takes on the paper: its symbol and its name, broken into lines.

use super::graph::{Graph, Kind, Node};
use crate::drawing::TextStyle;
use crate::elevation::{LABEL, QUIET};
use crate::font::descent_mm;
use crate::words::lines;

/// From one line of a name to the next.
pub(super) const LINE_MM: f64 = 3.8;
/// Between a symbol and its name.
pub(super) const NEAR_MM: f64 = 1.0;
/// From the left edge of a column to its first upright line, and from one to the next.
pub(super) const INSET_MM: f64 = 2.0;
pub(super) const STEP_MM: f64 = 4.0;

/// Half of a valve's length, and half of its height.
pub(crate) const VALVE_MM: (f64, f64) = (3.0, 1.8);
pub(super) const PUMP_MM: f64 = 3.6;
pub(super) const FILTER_MM: (f64, f64) = (7.0, 7.0);
pub(super) const BED_MM: (f64, f64) = (6.0, 9.0);
pub(super) const MEMBRANE_MM: (f64, f64) = (12.0, 6.0);
pub(super) const RESTRICTOR_MM: (f64, f64) = (4.0, 3.0);
pub(super) const FEED_MM: (f64, f64) = (7.0, 4.0);
pub(super) const DRAIN_MM: (f64, f64) = (5.0, 4.2);
pub(super) const VENT_MM: (f64, f64) = (2.4, 3.6);
/// From a valve to a hole behind it, and to where the pipe goes on.
pub(super) const HOLE_MM: f64 = 3.6;
/// Of a draw point: half of its container's width, and how far the container reaches below the pipe.
pub(super) const DRAW_MM: (f64, f64) = (3.6, 9.4);
/// Least width of a vessel and of a tank.
const VESSEL_MM: f64 = 19.0;
/// Within what holds water: from its rim to its name, where lines end; and from the last row to its floor.
pub(super) const RIM_MM: f64 = 8.8;
pub(super) const FLOOR_MM: f64 = 4.0;
/// Least height of a vessel's body, and of a tank's.
const BODY_MM: f64 = 19.0;
const TANK_MM: f64 = 14.0;

/// What a node takes.
#[derive(Debug, Clone)]
pub(super) struct Size {
    pub(super) width_mm: f64,
    /// Above its row's line, and below it, with its name.
    pub(super) above_mm: f64,
    pub(super) below_mm: f64,
    /// Least height of what stands upright and holds water.
    pub(super) body_mm: f64,
    pub(super) words: Vec<String>,
}

/// How a node's name is written.
pub(super) fn style(kind: Kind) -> TextStyle {
    match kind {
        Kind::Joint | Kind::Feed | Kind::Drain => QUIET,
        _ => LABEL,
    }
}

/// Width and reach of a symbol above and below the line through it.
fn symbol(graph: &Graph, at: usize) -> (f64, f64, f64) {
    use station::sections::Valve;
    let upright = |(width, height): (f64, f64)| (width, height / 2.0, height / 2.0);
    match graph.nodes[at].kind {
        Kind::Feed => upright(FEED_MM),
        Kind::Filter => upright(FILTER_MM),
        Kind::Membrane => upright(MEMBRANE_MM),
        Kind::Bed => upright(BED_MM),
        Kind::Restrictor => upright(RESTRICTOR_MM),
        Kind::Drain => (DRAIN_MM.0, 0.5, DRAIN_MM.1),
        Kind::Vessel(_) | Kind::Tank(_) => (VESSEL_MM, 4.0, FLOOR_MM),
        Kind::Pump => (2.0 * PUMP_MM, PUMP_MM, PUMP_MM),
        Kind::Draw => (2.0 * DRAW_MM.0, 0.5, DRAW_MM.1),
        Kind::Joint => (2.0 * INSET_MM, 0.9, 0.9),
        Kind::Vent => (VENT_MM.0, VENT_MM.1, 0.5),
        Kind::Valve(kind) => {
            let above = match kind {
                Valve::Solenoid | Valve::Float => 6.6,
                Valve::Diaphragm | Valve::Needle => 4.0,
                Valve::SpringCheck => 2.4,
                _ => VALVE_MM.1,
            };
            // A hole behind it stands to its right; to its left the same stays white, so that it keeps its middle.
            match graph.nodes[at].hole {
                Some(_) => (2.0 * (VALVE_MM.0 + HOLE_MM), above.max(VENT_MM.1), VALVE_MM.1),
                None => (2.0 * VALVE_MM.0, above, VALVE_MM.1),
            }
        }
    }
}

/// Words wider than that are torn where they must.
const WORD_MM: f64 = 26.0;

/// The words of a name with their widths; the first is that of a blank.
#[derive(Debug, Clone)]
pub(super) struct Words {
    blank_mm: f64,
    words: Vec<(String, f64)>,
}

/// The words of all names, measured once.
pub(super) fn words(graph: &Graph) -> Vec<Words> {
    let of = |node: &Node| {
        let style = style(node.kind);
        let torn = lines(&node.label, 0.0_f64.max(WORD_MM), style);
        let pieces = torn
            .iter()
            .flat_map(|line| line.split(' '))
            .filter(|word| !word.is_empty());
        Words {
            blank_mm: style.width_mm(" "),
            words: pieces
                .map(|word| (word.to_owned(), style.width_mm(word)))
                .collect(),
        }
    };
    graph.nodes.iter().map(of).collect()
}

/// What a node takes where names are no wider than so much, or than their widest word.
pub(super) fn size(graph: &Graph, at: usize, words: &Words, name_mm: f64) -> Size {
    let node = &graph.nodes[at];
    let style = style(node.kind);
    let (width, above, below) = symbol(graph, at);
    let (words, widest) = words.balanced(name_mm);
    let count = words.len() as f64;
    let name_height_mm = match words.is_empty() {
        true => 0.0,
        false => text_mm(style, words.len()),
    };
    let mut size = Size {
        width_mm: width.max(widest),
        above_mm: above,
        below_mm: below + name_height_mm,
        body_mm: 0.0,
        words,
    };
    match node.kind {
        Kind::Vessel(_) | Kind::Tank(_) => {
            let into = graph.into(at).count() as f64;
            let levels = node.levels.iter().map(|(tag, _)| LABEL.width_mm(tag));
            let levels_mm = levels.fold(0.0, f64::max);
            size.width_mm = width
                .max(widest + 3.0)
                .max(levels_mm + 6.0)
                .max(2.0 * INSET_MM + (into - 1.0) * STEP_MM);
            size.below_mm = FLOOR_MM;
            let lines = (count + node.levels.len() as f64) * LINE_MM;
            let least = if matches!(node.kind, Kind::Tank(_)) {
                TANK_MM
            } else {
                BODY_MM
            };
            size.body_mm = least.max(RIM_MM + lines + 2.0);
        }
        // To the right of the dot, below the line that runs through it.
        Kind::Joint if !size.words.is_empty() => {
            size.width_mm = INSET_MM + 1.0 + widest;
        }
        // Above it: what it rejects leaves it below.
        Kind::Membrane => {
            size.above_mm = above + name_height_mm;
            size.below_mm = below;
        }
        _ => {}
    }
    size
}

/// Height of the lines of a name, with the white between it and its symbol.
pub(super) fn text_mm(style: TextStyle, lines: usize) -> f64 {
    NEAR_MM + style.cap_mm() + (lines as f64 - 1.0) * LINE_MM + descent_mm(style.size_mm, style.face)
}

impl Words {
    /// In lines no wider than that, or than the widest word; says how wide they are.
    fn broken(&self, width_mm: f64) -> (Vec<String>, f64) {
        let mut lines: Vec<(String, f64)> = Vec::new();
        for (word, width) in &self.words {
            match lines.last_mut() {
                Some((line, wide)) if *wide + self.blank_mm + width <= width_mm => {
                    line.push(' ');
                    line.push_str(word);
                    *wide += self.blank_mm + width;
                }
                _ => lines.push((word.clone(), *width)),
            }
        }
        let widest = lines.iter().map(|(_, width)| *width).fold(0.0, f64::max);
        (lines.into_iter().map(|(line, _)| line).collect(), widest)
    }

    /// In as few lines as that width takes, these as even as can be.
    fn balanced(&self, width_mm: f64) -> (Vec<String>, f64) {
        let mut best = self.broken(width_mm);
        loop {
            let narrower = self.broken(best.1 - 1e-6);
            if best.0.len() < 2 || narrower.0.len() > best.0.len() || narrower.1 >= best.1 {
                return best;
            }
            best = narrower;
        }
    }
}
