//! Every test of this room in one program, so that it is built and linked once.

mod absence;
mod blend;
mod check_solution;
mod common;
mod control;
mod first_litre;
mod first_litre_cups;
mod generated;
mod layers;
mod lead_time;
mod lineups;
mod mistakes;
mod mixing;
mod new;
mod open;
mod pages;
mod paper;
mod prove;
mod readings;
mod service;
mod supply;
mod supply_tables;
mod trim_file;
mod water;
mod year;
mod year_stopped;
