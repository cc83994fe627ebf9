//! What is drawn in a plot: lines, bands, regions, marked points, references.

use super::canvas::Pen;
use super::plot::{AxisSide, Dash, Label, Tone, Weight};

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
