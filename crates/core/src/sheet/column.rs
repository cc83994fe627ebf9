//! A figure in a table: how it is taken out of a row, and where it is shown.

use wakewright_units::Quantity;

use super::figure::{Better, Figure};
use super::filled::Value;
use crate::spread::Interval;

/// A choice in a table: its stable key, and what it is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Word {
    /// For files.
    pub key: &'static str,
    /// For reading.
    pub words: &'static str,
}

/// How a figure is taken out of a row. `None` is "there is none here".
pub enum Get<Row: 'static> {
    /// SI, with its band.
    Band(fn(&Row) -> Option<Interval>),
    /// SI.
    Number(fn(&Row) -> Option<f64>),
    /// SI, several in their order.
    Numbers(fn(&Row) -> Vec<Option<f64>>),
    /// A whole number.
    Count(fn(&Row) -> Option<u64>),
    /// Yes or no.
    Flag(fn(&Row) -> Option<bool>),
    /// A choice.
    Word(fn(&Row) -> Option<Word>),
    /// Words.
    Text(fn(&Row) -> Option<String>),
    /// SI, of the quantity that the row is about.
    NumberOf(fn(&Row) -> Option<(Quantity, f64)>),
    /// SI with its band, of the quantity that the row is about.
    BandOf(fn(&Row) -> Option<(Quantity, Interval)>),
    /// Whole numbers in their order.
    Counts(fn(&Row) -> Vec<u64>),
    /// Several words or lines in their order.
    Texts(fn(&Row) -> Vec<String>),
}

/// What a column holds, as the schema of its files says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A value with its band.
    Band,
    /// A value.
    Number,
    /// Several values.
    Numbers,
    /// A whole number.
    Count,
    /// Yes or no.
    Flag,
    /// A choice, by its key.
    Word,
    /// Words.
    Text,
    /// A value of the row's own quantity.
    NumberOf,
    /// A value with its band, of the row's own quantity.
    BandOf,
    /// Whole numbers.
    Counts,
    /// Several words or lines.
    Texts,
}

/// Where a column is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// In files only.
    InFiles,
    /// In tables, its value.
    Value,
    /// In tables, value and band.
    ValueAndBand,
}

/// A figure as the column of a table.
pub struct Column<Row: 'static> {
    /// The figure.
    pub figure: &'static Figure,
    /// How it is taken out of a row.
    pub get: Get<Row>,
    /// Head of its table, where it is not the figure's own.
    pub head: &'static str,
    /// Where it is shown.
    pub shown: Shown,
    /// Decimals in tables; those of its unit where none are set.
    pub decimals: Option<usize>,
    /// Symbol of the unit that tables keep, whatever the size of its values.
    pub unit: Option<&'static str>,
    /// Which way is better, where options compare.
    pub better: Better,
}

impl<Row: 'static> Column<Row> {
    const fn new(figure: &'static Figure, get: Get<Row>, shown: Shown) -> Self {
        Self { figure, get, head: figure.head, shown, decimals: None, unit: None, better: Better::Neither }
    }

    /// A value with its band, both shown.
    #[must_use]
    pub const fn band(figure: &'static Figure, get: fn(&Row) -> Option<Interval>) -> Self {
        Self::new(figure, Get::Band(get), Shown::ValueAndBand)
    }

    /// A value with its band, of which tables show the value.
    #[must_use]
    pub const fn value(figure: &'static Figure, get: fn(&Row) -> Option<Interval>) -> Self {
        Self::new(figure, Get::Band(get), Shown::Value)
    }

    /// A value without band.
    #[must_use]
    pub const fn number(figure: &'static Figure, get: fn(&Row) -> Option<f64>) -> Self {
        Self::new(figure, Get::Number(get), Shown::Value)
    }

    /// Several values, in files only.
    #[must_use]
    pub const fn numbers(figure: &'static Figure, get: fn(&Row) -> Vec<Option<f64>>) -> Self {
        Self::new(figure, Get::Numbers(get), Shown::InFiles)
    }

    /// A whole number.
    #[must_use]
    pub const fn count(figure: &'static Figure, get: fn(&Row) -> Option<u64>) -> Self {
        Self::new(figure, Get::Count(get), Shown::Value)
    }

    /// Yes or no.
    #[must_use]
    pub const fn flag(figure: &'static Figure, get: fn(&Row) -> Option<bool>) -> Self {
        Self::new(figure, Get::Flag(get), Shown::Value)
    }

    /// A choice.
    #[must_use]
    pub const fn word(figure: &'static Figure, get: fn(&Row) -> Option<Word>) -> Self {
        Self::new(figure, Get::Word(get), Shown::Value)
    }

    /// Words.
    #[must_use]
    pub const fn text(figure: &'static Figure, get: fn(&Row) -> Option<String>) -> Self {
        Self::new(figure, Get::Text(get), Shown::Value)
    }

    /// A value of the quantity that the row is about.
    #[must_use]
    pub const fn number_of(figure: &'static Figure, get: fn(&Row) -> Option<(Quantity, f64)>) -> Self {
        Self::new(figure, Get::NumberOf(get), Shown::Value)
    }

    /// A value with its band, of the quantity that the row is about.
    #[must_use]
    pub const fn band_of(figure: &'static Figure, get: fn(&Row) -> Option<(Quantity, Interval)>) -> Self {
        Self::new(figure, Get::BandOf(get), Shown::ValueAndBand)
    }

    /// Whole numbers.
    #[must_use]
    pub const fn counts(figure: &'static Figure, get: fn(&Row) -> Vec<u64>) -> Self {
        Self::new(figure, Get::Counts(get), Shown::Value)
    }

    /// Several words or lines.
    #[must_use]
    pub const fn texts(figure: &'static Figure, get: fn(&Row) -> Vec<String>) -> Self {
        Self::new(figure, Get::Texts(get), Shown::Value)
    }

    /// The same column, in files only.
    #[must_use]
    pub const fn in_files(mut self) -> Self {
        self.shown = Shown::InFiles;
        self
    }

    /// The same column, of which tables show the value without its band.
    #[must_use]
    pub const fn value_only(mut self) -> Self {
        self.shown = Shown::Value;
        self
    }

    /// The same column under another head.
    #[must_use]
    pub const fn head(mut self, head: &'static str) -> Self {
        self.head = head;
        self
    }

    /// The same column with so many decimals in tables.
    #[must_use]
    pub const fn decimals(mut self, decimals: usize) -> Self {
        self.decimals = Some(decimals);
        self
    }

    /// The same column, which tables write in this unit: hours that are counted as hours.
    #[must_use]
    pub const fn unit(mut self, symbol: &'static str) -> Self {
        self.unit = Some(symbol);
        self
    }

    /// The same column, of which more or less is better.
    #[must_use]
    pub const fn better(mut self, better: Better) -> Self {
        self.better = better;
        self
    }

    /// What it holds.
    #[must_use]
    pub fn kind(&self) -> Kind {
        match self.get {
            Get::Band(_) => Kind::Band,
            Get::Number(_) => Kind::Number,
            Get::Numbers(_) => Kind::Numbers,
            Get::Count(_) => Kind::Count,
            Get::Flag(_) => Kind::Flag,
            Get::Word(_) => Kind::Word,
            Get::Text(_) => Kind::Text,
            Get::NumberOf(_) => Kind::NumberOf,
            Get::BandOf(_) => Kind::BandOf,
            Get::Counts(_) => Kind::Counts,
            Get::Texts(_) => Kind::Texts,
        }
    }

    /// Its value in a row.
    #[must_use]
    pub fn of(&self, row: &Row) -> Value {
        let found = match &self.get {
            Get::Band(get) => get(row).map(Value::Band),
            Get::Number(get) => get(row).map(Value::Number),
            Get::Numbers(get) => Some(Value::Numbers(get(row))),
            Get::Count(get) => get(row).map(Value::Count),
            Get::Flag(get) => get(row).map(Value::Flag),
            Get::Word(get) => get(row).map(Value::Word),
            Get::Text(get) => get(row).map(Value::Text),
            Get::NumberOf(get) => get(row).map(|(of, si)| Value::NumberOf(of, si)),
            Get::BandOf(get) => get(row).map(|(of, band)| Value::BandOf(of, band)),
            Get::Counts(get) => Some(Value::Counts(get(row))),
            Get::Texts(get) => Some(Value::Texts(get(row))),
        };
        found.unwrap_or(Value::Nothing)
    }
}

/// Columns of a row: its own, or those of something that it holds.
pub trait Columns<Row>: Sync {
    /// Heads, in order.
    fn heads(&self, heads: &mut Vec<super::Head>);

    /// Values, in the order of the heads; `Nothing` for each where the row does not hold it.
    fn values(&self, row: Option<&Row>, values: &mut Vec<Value>);
}

/// Columns of the row itself.
#[derive(Debug)]
pub struct List<Row: 'static>(pub &'static [Column<Row>]);

impl<Row: 'static> Columns<Row> for List<Row> {
    fn heads(&self, heads: &mut Vec<super::Head>) {
        heads.extend(self.0.iter().map(super::Head::of));
    }

    fn values(&self, row: Option<&Row>, values: &mut Vec<Value>) {
        values.extend(self.0.iter().map(|column| row.map_or(Value::Nothing, |row| column.of(row))));
    }
}

/// The columns of something that a row holds.
pub struct Via<Row: 'static, Inner: ?Sized + 'static> {
    /// What it holds.
    pub of: fn(&Row) -> Option<&Inner>,
    /// The columns of that.
    pub columns: &'static dyn Columns<Inner>,
}

impl<Row: 'static, Inner: 'static> Columns<Row> for Via<Row, Inner> {
    fn heads(&self, heads: &mut Vec<super::Head>) {
        self.columns.heads(heads);
    }

    fn values(&self, row: Option<&Row>, values: &mut Vec<Value>) {
        self.columns.values(row.and_then(self.of), values);
    }
}

impl<Row> std::fmt::Debug for Column<Row> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Column").field(&self.figure.key).finish()
    }
}

impl<Row> std::fmt::Debug for Get<Row> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Get")
    }
}

impl<Row, Inner> std::fmt::Debug for Via<Row, Inner> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Via")
    }
}
