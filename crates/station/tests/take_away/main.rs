//! Control to take away: its program text, run by an interpreter of exactly its subset, against the step; its truth
//! tables; its contacts; its lists.

mod broken_wires;
mod examples;
mod lexer;
mod machine;
mod parser;
mod rigs;
mod sequences;
mod standard;
mod strict;
mod tree;
mod truth;
mod twin;
