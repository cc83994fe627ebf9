//! What a plot is made of. The drawing is done in `plot_draw`.

use super::plot_parts::{Band, Line, MarkedPoint, Reference, Region};
use super::{Drawing, Frame, Ink, Picture};

/// A wording and a shorter one for narrow pages.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Label {
    /// Full wording.
    pub text: String,
    /// Shorter wording; empty when there is none.
    pub short: String,
}

impl Label {
    /// A wording with a shorter one.
    #[must_use]
    pub fn new(text: &str, short: &str) -> Self {
        Self { text: text.to_owned(), short: short.to_owned() }
    }
}

impl From<&str> for Label {
    fn from(text: &str) -> Self {
        Self::new(text, "")
    }
}

/// An axis.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Axis {
    /// Quantity, such as "shaft torque".
    pub quantity: String,
    /// Unit, such as "N m"; empty when there is none.
    pub unit: String,
    /// Range to show; taken from the data when absent or empty.
    pub range: Option<(f64, f64)>,
    /// Whether zero belongs to a range taken from the data.
    pub is_from_zero: bool,
    /// Words at given values instead of round numbers, such as months or hours.
    pub named_ticks: Vec<(f64, String)>,
    /// Decimals of a value that is read out.
    pub decimals: usize,
}

impl Axis {
    /// An axis from zero whose range the data gives.
    #[must_use]
    pub fn new(quantity: &str, unit: &str, decimals: usize) -> Self {
        Self {
            quantity: quantity.to_owned(),
            unit: unit.to_owned(),
            is_from_zero: true,
            decimals,
            ..Self::default()
        }
    }

    /// The same axis over a given range.
    #[must_use]
    pub fn over(mut self, from: f64, to: f64) -> Self {
        self.range = Some((from, to));
        self
    }

    pub(super) fn title(&self) -> String {
        if self.unit.is_empty() { self.quantity.clone() } else { format!("{}, {}", self.quantity, self.unit) }
    }
}

/// Which upright axis a line is read on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum AxisSide {
    /// The main axis, left.
    #[default]
    Left,
    /// The second axis, right.
    Right,
}

/// Weight of a line, as in a drawing office's pen set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Weight {
    /// Construction lines.
    Hair,
    /// Alternatives.
    #[default]
    Thin,
    /// Limits.
    Medium,
    /// The subject.
    Heavy,
}

/// How a line is broken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Dash {
    /// Unbroken.
    #[default]
    Solid,
    /// Dashes.
    Dashed,
    /// Dots.
    Dotted,
    /// Dash and dot: centre and reference lines.
    Chain,
}

/// What a line's colour says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Tone {
    /// Nothing beyond the line itself.
    #[default]
    Ink,
    /// It stands back.
    Muted,
    /// It binds.
    Binds,
    /// It passes.
    Passes,
}

impl Tone {
    pub(super) const fn ink(self) -> Ink {
        match self {
            Self::Ink => Ink::Ink,
            Self::Muted => Ink::Muted,
            Self::Binds => Ink::Binds,
            Self::Passes => Ink::Passes,
        }
    }
}

/// A plot with direct labels.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plot {
    /// Read out by screen readers as the name of the picture.
    pub title: String,
    /// Read out as its description: what the picture shows, in a sentence.
    pub description: String,
    /// Laid out low: one of two that stand above each other.
    pub is_low: bool,
    /// Level axis.
    pub x: Axis,
    /// Left axis.
    pub y: Axis,
    /// Right axis.
    pub y2: Option<Axis>,
    /// Areas, beneath everything.
    pub regions: Vec<Region>,
    /// Intervals.
    pub bands: Vec<Band>,
    /// Curves and boundaries.
    pub lines: Vec<Line>,
    /// Points.
    pub points: Vec<MarkedPoint>,
    /// Lines for comparison.
    pub references: Vec<Reference>,
}

impl Picture for Plot {
    fn draw(&self, frame: &Frame) -> Drawing {
        super::plot_draw::draw(self, frame)
    }
}
