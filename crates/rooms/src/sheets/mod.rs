//! A filled sheet written: as a table for terminal and page, as JSON with its schema, as CSV.
//! Not for: which sheets there are.

mod answer;
mod csv;
mod json;
mod table;

pub use answer::{answer_text, finding_only};
pub use csv::answer_csv;
pub use json::{FORMAT_VERSION, answer_json, file_name, room_schema, sheet_json, sheet_schema};
pub use table::{cell_text, table_of, titled_of};
