//! Every test of this room in one program, so that it is built and linked once.

mod cards;
mod charts;
mod elevation;
mod fault_tree;
mod kept;
mod legible;
mod printed;
mod profile;
mod proved;
mod random_station;
mod row_charts;
mod schematic;
mod sound_schematic;
mod year_charts;
