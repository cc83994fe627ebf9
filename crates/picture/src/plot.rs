//! What a plot is made of. The drawing is done in `plot_draw`.

use super::canvas::Pen;
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

/// Where a line's label belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LabelPlace {
    /// By its far end: curves.
    #[default]
    AtEnd,
    /// Along it: boundaries, named by what makes them.
    Along,
}

/// A curve or a boundary.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Line {
    /// What it is.
    pub label: Label,
    /// Points in display units; values that are no numbers break the line.
    pub points: Vec<(f64, f64)>,
    /// Weight.
    pub weight: Weight,
    /// Dash.
    pub dash: Dash,
    /// Tone.
    pub tone: Tone,
    /// Where the label goes.
    pub place: LabelPlace,
    /// Axis.
    pub axis: AxisSide,
    /// Whether a reader can read its values out.
    pub has_readout: bool,
}

impl Line {
    pub(super) fn pen(&self) -> Pen {
        let width = match self.weight {
            Weight::Hair => 0.7,
            Weight::Thin => 1.2,
            Weight::Medium => 1.8,
            Weight::Heavy => 2.6,
        };
        let dash = match self.dash {
            Dash::Solid => "",
            Dash::Dashed => "7 4",
            Dash::Dotted => "1.5 3.5",
            Dash::Chain => "10 3 2 3",
        };
        Pen::dashed(self.tone.ink(), width, dash)
    }
}

/// An interval along a curve, such as 80 %.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Band {
    /// What it is, such as "80 % band".
    pub label: Label,
    /// x, low, high.
    pub points: Vec<(f64, f64, f64)>,
    /// Axis.
    pub axis: AxisSide,
}

/// How a region is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum RegionFill {
    /// Hatched: out of reach.
    #[default]
    Hatched,
    /// Tinted.
    Tinted,
}

/// An area.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Region {
    /// What it is; may be empty.
    pub label: Label,
    /// Corners in display units.
    pub outline: Vec<(f64, f64)>,
    /// Filling.
    pub fill: RegionFill,
}

/// A point that matters, such as the working point.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MarkedPoint {
    /// What it is.
    pub label: Label,
    /// x.
    pub x: f64,
    /// y.
    pub y: f64,
    /// Tone; a point that binds is filled and its label bold.
    pub tone: Tone,
    /// Whether dotted lines lead to both axes.
    pub has_guides: bool,
    /// Axis.
    pub axis: AxisSide,
}

/// Where a reference line stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReferenceAt {
    /// Upright.
    X(f64),
    /// Level, on the left axis.
    Y(f64),
}

/// A level or upright line for comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Reference {
    /// What it is.
    pub label: Label,
    /// Where.
    pub at: ReferenceAt,
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
