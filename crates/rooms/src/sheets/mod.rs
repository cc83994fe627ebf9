//! A filled sheet written: as a table for terminal and page, as JSON with its schema, as CSV.
//! Not for: which sheets there are.

mod answer;
mod csv;
mod json;
mod table;

pub use answer::{answer_text, block_text, finding_only};
pub use csv::answer_csv;
pub use json::{
    FORMAT_VERSION, answer_json, answer_schema, file_name, found_json, room_schema, sheet_json, sheet_schema,
    sheets_json, sheets_schema,
};
pub use table::{cell_text, table_of, titled_of};
