//! How a proof is shown on paper and screen: drawings and charts as one display list, the page, tables.
//!
//! Owns: the embedded typeface and what it measures, the display list in millimetres of paper, layout of drawings
//! and charts, their export, the page. Each item carries the path in the station file that it stands for, each
//! drawing its map from metres to millimetres.
//! Must not know: files, databases, HTTP; arithmetic beyond layout. Numbers come from the proof.

pub mod bench;
pub mod chart;
mod cure;
mod drawing;
mod elevation;
mod fault_tree;
mod flow;
pub mod font;
pub mod fragment;
mod label;
mod page;
pub mod palette;
mod paper;
mod pdf;
mod png;
mod printed;
mod profile;
mod scaled;
mod schematic;
mod svg;
mod table;
mod told;
mod typeface;
mod words;

pub use cure::{CureOf, press};
pub use drawing::{Anchor, Bounds, Drawing, EDGE_MM, Ink, Item, Map, Point, Shape, Stroke};
pub use elevation::{elevation, elevations};
pub use fault_tree::fault_tree;
pub use flow::{Bookmark, Pages};
pub use label::spread;
pub use page::{page, style};
pub use paper::Paper;
pub use pdf::{PdfError, pdf};
pub use png::{PngError, png};
pub use printed::printed;
pub use profile::profile;
pub use schematic::{Card, Shows, Tags, card, schematic};
pub use svg::{svg, svg_to_keep};
pub use table::{
    Cell, Table, absence_tables, changes_table, comparison_table, control_table, files, tables, year_tables,
};
pub use told::changes_by_worth;
