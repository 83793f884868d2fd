//! How the station decides: its blocks, its functions, its laws.

mod blocks;
mod examples;
mod functions;
mod laws;
mod plain;
mod rig;
