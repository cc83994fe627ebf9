//! JSON whose columns are lists, or whose rows are lists: taken in as a whole, given row by row.
//! Not for: telling such files (`json_shape`), or rows that are objects, which are read one at a time (`json`).

use std::borrow::Cow;
use std::fmt;
use std::io::{self, BufRead};

use serde::de::{DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};

use crate::LogError;
use crate::background::{GivenRows, rows_of};
use crate::file_kind::FileKind;

/// Longest file.
const LONGEST: u64 = 256 << 20;
/// Columns beyond are those of no log.
const MOST_COLUMNS: usize = 1000;

/// Texts one behind the other.
#[derive(Debug, Default)]
struct Column {
    name: String,
    text: String,
    ends: Vec<u32>,
}

impl Column {
    fn push(&mut self, cell: &str) {
        self.text.push_str(cell);
        self.ends.push(self.text.len() as u32);
    }

    fn cell(&self, row: usize) -> &str {
        let start = row.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.text[start as usize..self.ends[row] as usize]
    }

    /// Empty cells up to `rows`.
    fn fill(&mut self, rows: usize) {
        self.ends.resize(rows, self.text.len() as u32);
    }
}

/// What was found in the file.
#[derive(Debug, Default)]
struct Found {
    columns: Vec<Column>,
    rows: Vec<Column>,
    row_count: usize,
    path: String,
}

impl Found {
    fn row_cell(&mut self, index: usize, cell: &str) {
        if index >= MOST_COLUMNS {
            return;
        }
        if self.rows.len() <= index {
            self.rows.resize_with(index + 1, Column::default);
        }
        self.rows[index].fill(self.row_count);
        self.rows[index].push(cell);
    }
}

/// Rows of a file of columns or of lists.
/// # Errors
/// In words, when the file is too long, breaks off, or holds no columns.
pub(crate) fn rows(reader: impl BufRead) -> Result<GivenRows, LogError> {
    let mut limited = reader.take(LONGEST + 1);
    let mut found = Found::default();
    // A mark of the encoding is no JSON.
    if limited.fill_buf()?.starts_with("\u{feff}".as_bytes()) {
        limited.consume(3);
    }
    let mut parsed = serde_json::Deserializer::from_reader(&mut limited);
    let result = Node(&mut found).deserialize(&mut parsed).and_then(|_| parsed.end());
    if limited.limit() == 0 {
        let most = LONGEST >> 20;
        return Err(said(&format!("JSON of more than {most} MB; save the columns of the trial as CSV")));
    }
    if let Err(error) = result {
        return Err(said(&format!("JSON that cannot be read ({error}); save it anew, or as CSV")));
    }
    let longest = found.columns.iter().map(|column| column.ends.len()).max().unwrap_or(0);
    if found.row_count >= 2 && 2 * found.row_count >= longest {
        of_rows(found)
    } else {
        of_columns(found.columns)
    }
}

fn said(text: &str) -> LogError {
    LogError::Io(io::Error::other(text.to_owned()))
}

/// Whether a list of this name holds the names of columns.
fn names_heads(name: &str) -> bool {
    const HEADS: [&str; 8] = ["columns", "fields", "heads", "header", "headers", "names", "keys", "cols"];
    HEADS.contains(&name.rsplit('.').next().unwrap_or_default().to_lowercase().as_str())
}

fn of_rows(mut found: Found) -> Result<GivenRows, LogError> {
    let (count, width) = (found.row_count, found.rows.len());
    if found.columns.iter().filter(|column| names_heads(&column.name)).count() > 1 {
        return Err(said(
            "JSON with several lists of rows, each under names of its own; save each as a file",
        ));
    }
    found.rows.iter_mut().for_each(|column| column.fill(count));
    let names = found.columns.iter().find(|column| column.ends.len() == width && names_heads(&column.name));
    let mut heads: Option<Vec<String>> =
        names.map(|column| (0..width).map(|index| column.cell(index).to_owned()).collect());
    // A list as long as there are rows, beside them, is their index.
    let index = found.columns.iter().position(|column| {
        column.ends.len() == count && column.name.rsplit('.').next() == Some("index")
            // Plain places tell nothing.
            && count > 0
            && !matches!(column.cell(0), "0" | "1")
    });
    if let (Some(heads), Some(index)) = (&mut heads, index) {
        heads.insert(0, "index".to_owned());
        found.rows.insert(0, found.columns.remove(index));
    }
    Ok(GivenRows::of_one(given(heads, found.rows, count), Vec::new()))
}

fn of_columns(mut columns: Vec<Column>) -> Result<GivenRows, LogError> {
    let with = |length: usize, columns: &[Column]| columns.iter().filter(|c| c.ends.len() == length).count();
    let length = columns
        .iter()
        .map(|column| column.ends.len())
        .filter(|length| *length >= 2)
        .max_by_key(|length| (with(*length, &columns), *length));
    let Some(length) = length.filter(|length| with(*length, &columns) >= 2) else {
        return Err(LogError::Unknown(FileKind::Json.advice()));
    };
    let others: Vec<String> = columns
        .iter()
        .filter(|column| column.ends.len() != length && column.ends.len() > 1)
        .map(|column| format!("{:?} ({})", column.name, column.ends.len()))
        .collect();
    columns.retain(|column| column.ends.len() == length);
    columns.truncate(MOST_COLUMNS);
    let remarks = if others.is_empty() {
        Vec::new()
    } else {
        vec![format!(
            "Lists of {length} values are read; {} left out: nothing says which of their values belong to which.",
            others.join(", ")
        )]
    };
    let heads = names(&columns);
    Ok(GivenRows::of_one(given(Some(heads), columns, length), remarks))
}

/// Names without what all have in common, and without words that only say that there are values.
fn names(columns: &[Column]) -> Vec<String> {
    const EMPTY: [&str; 9] =
        ["data", "values", "series", "columns", "rows", "records", "result", "results", "samples"];
    let mut parts: Vec<Vec<&str>> = columns
        .iter()
        .map(|column| {
            let all: Vec<&str> = column.name.split('.').collect();
            let last = all.len() - 1;
            all.iter()
                .enumerate()
                .filter(|(at, part)| *at == last || !EMPTY.contains(&part.to_lowercase().as_str()))
                .map(|(_, part)| *part)
                .collect()
        })
        .collect();
    while parts.iter().all(|part| part.len() > 1) && parts.windows(2).all(|two| two[0][0] == two[1][0]) {
        for part in &mut parts {
            part.remove(0);
        }
    }
    parts.iter().map(|part| part.join(" ")).collect()
}

fn given(
    heads: Option<Vec<String>>,
    columns: Vec<Column>,
    count: usize,
) -> Box<dyn Iterator<Item = io::Result<Vec<String>>>> {
    rows_of(move |give| {
        if heads.is_some_and(|heads| !give(heads)) {
            return Ok(());
        }
        for row in 0..count {
            if !give(columns.iter().map(|column| column.cell(row).to_owned()).collect()) {
                break;
            }
        }
        Ok(())
    })
}

/// A value anywhere; gives its text back where it is a single one.
struct Node<'a>(&'a mut Found);

/// A value of a list: of a column, or a row that is a list itself.
struct Element<'a> {
    found: &'a mut Found,
    column: &'a mut Column,
}

/// A value of a row.
struct Cell<'a> {
    found: &'a mut Found,
    index: usize,
}

/// Scalars in a visitor, each handed on as text.
macro_rules! scalars {
    ($self:ident, $text:ident, $put:expr) => {
        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("lists of values")
        }

        fn visit_unit<E>($self) -> Result<Self::Value, E> {
            let $text = "";
            Ok($put)
        }

        fn visit_bool<E>($self, value: bool) -> Result<Self::Value, E> {
            let $text = if value { "true" } else { "false" };
            Ok($put)
        }

        fn visit_i64<E>($self, value: i64) -> Result<Self::Value, E> {
            let $text = &value.to_string();
            Ok($put)
        }

        fn visit_u64<E>($self, value: u64) -> Result<Self::Value, E> {
            let $text = &value.to_string();
            Ok($put)
        }

        fn visit_f64<E>($self, value: f64) -> Result<Self::Value, E> {
            let $text = &value.to_string();
            Ok($put)
        }

        fn visit_str<E>($self, $text: &str) -> Result<Self::Value, E> {
            Ok($put)
        }
    };
}

impl<'de> DeserializeSeed<'de> for Node<'_> {
    type Value = Option<String>;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Self::Value, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Node<'_> {
    type Value = Option<String>;

    scalars!(self, text, Some(text.to_owned()));

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let (length, first) = (self.0.path.len(), self.0.columns.len());
        let (mut name, mut unit) = (None, None);
        let mut numbered = Column::default();
        while let Some(key) = map.next_key::<Cow<'_, str>>()? {
            if length > 0 {
                self.0.path.push('.');
            }
            self.0.path.push_str(&key);
            let scalar = map.next_value_seed(Node(self.0))?;
            self.0.path.truncate(length);
            let Some(text) = scalar else { continue };
            match key.to_lowercase().as_str() {
                "name" | "label" | "field" | "channel" | "signal" => name = Some(text),
                "unit" | "units" => unit = Some(text),
                // `{"volts": {"0": 51.2, "1": 51.3}}`: a list whose places are written out.
                place if place.parse() == Ok(numbered.ends.len()) => numbered.push(&text),
                _ => {}
            }
        }
        if numbered.ends.len() > 1 {
            numbered.name.clone_from(&self.0.path);
            self.0.columns.push(numbered);
        }
        if let [column] = &mut self.0.columns[first..] {
            if let Some(name) = name.filter(|_| !names_heads(&column.name)) {
                column.name = name;
            }
            if let Some(unit) = unit.filter(|unit| !unit.is_empty()) {
                column.name = format!("{} [{unit}]", column.name);
            }
        }
        Ok(None)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Self::Value, A::Error> {
        let mut column = Column { name: self.0.path.clone(), ..Column::default() };
        while list.next_element_seed(Element { found: self.0, column: &mut column })?.is_some() {}
        if !column.ends.is_empty() && self.0.columns.len() < 4 * MOST_COLUMNS {
            self.0.columns.push(column);
        }
        Ok(None)
    }
}

impl<'de> DeserializeSeed<'de> for Element<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Element<'_> {
    type Value = ();

    scalars!(self, text, self.column.push(text));

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<(), A::Error> {
        Node(self.found).visit_map(map).map(|_| ())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        let mut index = 0;
        while list.next_element_seed(Cell { found: self.found, index })?.is_some() {
            index += 1;
        }
        self.found.row_count += usize::from(index > 0);
        Ok(())
    }
}

impl<'de> DeserializeSeed<'de> for Cell<'_> {
    type Value = ();

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<(), D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Cell<'_> {
    type Value = ();

    scalars!(self, text, self.found.row_cell(self.index, text));

    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<(), A::Error> {
        while map.next_entry::<serde::de::IgnoredAny, serde::de::IgnoredAny>()?.is_some() {}
        self.found.row_cell(self.index, "");
        Ok(())
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<(), A::Error> {
        while list.next_element::<serde::de::IgnoredAny>()?.is_some() {}
        self.found.row_cell(self.index, "");
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn table(text: &str) -> Vec<Vec<String>> {
        rows(text.as_bytes()).unwrap().rows.map(Result::unwrap).collect()
    }

    #[test]
    fn columns_and_lists_give_the_same_rows() {
        let expected = [["time", "volts"], ["1", "51.2"], ["2", ""], ["3", "51.4"]];
        for text in [
            r#"{"time":[1,2,3],"volts":[51.2,null,51.4]}"#,
            r#"{"log":{"data":{"time":[1,2,3],"volts":[51.2,null,51.4]},"n":3}}"#,
            r#"[["time","volts"],[1,51.2],[2,null],[3,51.4]]"#,
            r#"{"columns":["time","volts"],"index":[0,1,2],"data":[[1,51.2],[2,null],[3,51.4]]}"#,
            r#"{"time":{"0":1,"1":2,"2":3},"volts":{"0":51.2,"1":null,"2":51.4}}"#,
            r#"[{"name":"time","values":[1,2,3]},{"values":[51.2,null,51.4],"name":"volts"}]"#,
        ] {
            assert_eq!(table(text), expected, "{text}");
        }
    }

    #[test]
    fn lists_of_other_lengths_are_named() {
        let given = rows(r#"{"t":[1,2,3],"v":[1,2,3],"gps":[7,8]}"#.as_bytes()).unwrap();
        assert!(given.remarks[0].contains("gps"), "{:?}", given.remarks);
        assert!(rows(b"{\"t\":[1,2".as_slice()).is_err());
    }
}
