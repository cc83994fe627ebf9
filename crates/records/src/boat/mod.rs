//! The boat document: one TOML file per boat, in trade units with the unit written.
//!
//! Every field has one descriptor; the file template, the help text, the schema, the manual and
//! the reading of the file are all made from it. Not for: the meaning of a value in a computation.

mod alternatives;
mod alternatives_edit;
mod as_typed;
mod build;
mod build_months;
mod choice;
mod contradictions;
mod day;
mod descriptor;
mod differences;
mod document;
mod document_lines;
mod edit;
mod fault;
pub mod fields;
mod file;
mod guess;
mod guess_drive;
mod listing;
mod reading;
mod rows;
mod schema;
mod spread_rule;
mod stated;
mod syntax;
mod syntax_fault;
mod template;
mod wrap;

pub use alternatives::{Alternative, Change, Cost, doubt_of_cost, parse_cost};
pub use build::{
    build_spec, build_variants, charging_sources, controls, conversion_masses, energy_plan, harness,
    house_loads, mean_house_load, panel_unit_w, usual_reserve,
};
pub use choice::{BoatKind, CellKind, Chosen, Direction, Lying, PanelMount, PropellerPlace, Side, WaterKind};
pub use contradictions::nominal_cell_voltage_v;
pub use descriptor::{Choice, Field, FieldKind, Presence, Section};
pub use differences::Difference;
pub use document::{BoatDocument, Row};
pub use fault::{Fault, Severity, render_faults};
pub use fields::{SECTIONS, all_fields, field_named, section_named};
pub use file::{LONGEST_DOCUMENT_BYTES, read_document_file, text_of_bytes, unread};
pub use listing::{field_listing, manual_markdown};
pub use schema::json_schema;
pub use spread_rule::SpreadRule;
pub use stated::{GrammarError, Origin, Stated, read_stated, split_marks};
pub use template::new_document;
