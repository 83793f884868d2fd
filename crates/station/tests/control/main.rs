//! How the station decides: its blocks, its functions, its laws.

mod blocks;
mod functions;
mod rig;
