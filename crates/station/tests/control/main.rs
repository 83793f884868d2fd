//! How the station decides: its blocks, its functions, its laws.

mod blocks;
mod examples;
mod fills;
mod laws;
mod plain;
mod pumps;
mod rig;
mod sequence;
