//! A table of figures: which columns, over which rows of what was found; and the same filled with values,
//! which is all that any output needs to know.

use wakewright_units::Quantity;

use super::column::{Column, Columns, Kind, Shown, Word};
use super::figure::{Better, Figure};
use crate::spread::Interval;

/// What stands in a cell, SI.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// There is none here.
    Nothing,
    /// With its band.
    Band(Interval),
    /// Without.
    Number(f64),
    /// Several.
    Numbers(Vec<Option<f64>>),
    /// A whole number.
    Count(u64),
    /// Yes or no.
    Flag(bool),
    /// A choice.
    Word(Word),
    /// Words.
    Text(String),
    /// Without band, of its own quantity.
    NumberOf(Quantity, f64),
    /// With its band, of its own quantity.
    BandOf(Quantity, Interval),
    /// Whole numbers.
    Counts(Vec<u64>),
    /// Several words or lines.
    Texts(Vec<String>),
}

impl Value {
    /// As a figure with its band; exact where it has none.
    #[must_use]
    pub fn interval(&self) -> Option<Interval> {
        match self {
            Self::Band(interval) => Some(*interval),
            Self::Number(number) => Some(Interval::exact(*number)),
            _ => None,
        }
    }
}

/// How a row stands out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Tone {
    /// Ordinary.
    #[default]
    Plain,
    /// What is looked at.
    Strong,
    /// What binds or fails.
    Binds,
    /// What passes.
    Passes,
    /// Out of reach, or of lesser weight.
    Faint,
}

/// In which form a sheet is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A table with a row for each.
    Table,
    /// The same, turned: a column for each row, so that what is chosen among stands side by side.
    Across,
    /// One row, shown as a list of figures with their bands; in files one object.
    List,
    /// One row, in files one object, shown nowhere else.
    Files,
    /// A table for files alone.
    FileTable,
}

impl Form {
    /// True when it has one row and is one object in files.
    #[must_use]
    pub fn is_single(self) -> bool {
        matches!(self, Self::List | Self::Files)
    }

    /// True when text and page show it.
    #[must_use]
    pub fn is_shown(self) -> bool {
        matches!(self, Self::Table | Self::Across | Self::List)
    }
}

/// Hands on each row of what was found, as it comes.
pub type Rows<Found, Row> = fn(&Found, &mut dyn FnMut(&Row));

/// A table over what was found.
pub struct Sheet<Found: 'static, Row: 'static> {
    /// Stable name for files.
    pub key: &'static str,
    /// What it shows.
    pub title: &'static str,
    /// In which form.
    pub form: Form,
    /// Its columns, in groups.
    pub columns: &'static [&'static dyn Columns<Row>],
    /// Its rows: each is handed on as it comes.
    pub rows: Rows<Found, Row>,
    /// How a row stands out.
    pub tone: fn(&Found, &Row) -> Tone,
}

/// What stands over a column.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Head {
    /// The figure.
    pub figure: &'static Figure,
    /// Head of a narrow table.
    pub head: &'static str,
    /// What the column holds.
    pub kind: Kind,
    /// Where it is shown.
    pub shown: Shown,
    /// Decimals in tables, where set.
    pub decimals: Option<usize>,
    /// Symbol of the unit that tables keep, where set.
    pub unit: Option<&'static str>,
    /// Which way is better.
    pub better: Better,
}

impl Head {
    /// That of a column.
    #[must_use]
    pub fn of<Row>(column: &Column<Row>) -> Self {
        Self {
            figure: column.figure,
            head: column.head,
            kind: column.kind(),
            shown: column.shown,
            decimals: column.decimals,
            unit: column.unit,
            better: column.better,
        }
    }
}

/// A row of a filled sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct FilledRow {
    /// How it stands out.
    pub tone: Tone,
    /// One for each head.
    pub values: Vec<Value>,
}

/// A sheet with its values.
#[derive(Debug, Clone, PartialEq)]
pub struct Filled {
    /// Stable name for files.
    pub key: &'static str,
    /// What it shows.
    pub title: String,
    /// In which form.
    pub form: Form,
    /// Its heads.
    pub heads: Vec<Head>,
    /// Its rows.
    pub rows: Vec<FilledRow>,
    /// How it is read; empty when it needs no word.
    pub remark: String,
    /// The figure of it that says most, for where it is folded away; empty for the usual one.
    pub chief: String,
}

impl Filled {
    /// Where the figure of this key stands.
    #[must_use]
    pub fn column(&self, key: &str) -> Option<usize> {
        self.heads.iter().position(|head| head.figure.key == key)
    }

    /// The same sheet with those rows alone that are kept, by their places.
    #[must_use]
    pub fn with_rows(mut self, is_kept: impl Fn(usize) -> bool) -> Self {
        let mut place = 0..;
        self.rows.retain(|_| place.next().is_some_and(&is_kept));
        self
    }

    /// The value of a figure in a row.
    #[must_use]
    pub fn value(&self, row: usize, key: &str) -> Option<&Value> {
        self.rows.get(row)?.values.get(self.column(key)?)
    }
}

/// A sheet of what was found, whatever its rows are.
pub trait AnySheet<Found>: Sync {
    /// Stable name for files.
    fn key(&self) -> &'static str;

    /// What it shows.
    fn title(&self) -> &'static str;

    /// In which form.
    fn form(&self) -> Form;

    /// Its heads.
    fn heads(&self) -> Vec<Head>;

    /// With the values of what was found.
    fn fill(&self, found: &Found) -> Filled;
}

impl<Found: 'static, Row: 'static> AnySheet<Found> for Sheet<Found, Row> {
    fn key(&self) -> &'static str {
        self.key
    }

    fn title(&self) -> &'static str {
        self.title
    }

    fn form(&self) -> Form {
        self.form
    }

    fn heads(&self) -> Vec<Head> {
        let mut heads = Vec::new();
        for columns in self.columns {
            columns.heads(&mut heads);
        }
        heads
    }

    fn fill(&self, found: &Found) -> Filled {
        let heads = self.heads();
        let mut rows = Vec::new();
        (self.rows)(found, &mut |row| {
            let mut values = Vec::with_capacity(heads.len());
            for columns in self.columns {
                columns.values(Some(row), &mut values);
            }
            rows.push(FilledRow { tone: (self.tone)(found, row), values });
        });
        Filled {
            key: self.key,
            title: self.title.to_owned(),
            form: self.form,
            heads,
            rows,
            remark: String::new(),
            chief: String::new(),
        }
    }
}

/// No row stands out.
pub fn plain<Found, Row>(_: &Found, _: &Row) -> Tone {
    Tone::Plain
}

/// The one row of a sheet whose row is what was found itself.
pub fn itself<Found>(found: &Found, see: &mut dyn FnMut(&Found)) {
    see(found);
}

impl<Found, Row> std::fmt::Debug for Sheet<Found, Row> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Sheet").field(&self.key).finish()
    }
}
