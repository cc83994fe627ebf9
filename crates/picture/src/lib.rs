//! Every picture of Wakewright: a description in display units goes in, an SVG string comes out.
//!
//! For drawing only. Nothing here converts a unit, computes a boat or opens a file; callers fill plain
//! structs with numbers in the units that the reader sees and with finished wording.
//!
//! | picture | carries |
//! |---|---|
//! | [`Plot`] | torque against shaft speed, power and range against speed, tide curves |
//! | [`Ladder`] | where each watt goes, from bank to water |
//! | [`Profile`] | the boat from the side, to scale from her own numbers |
//! | [`Strip`] | a day or a year in lanes that share one time axis |
//! | [`Intervals`] | rows of a median and its 80 % band |
//! | [`OneLine`] | the drive's wiring as a one-line diagram |
//! | [`Scatter`] | candidates and the front that they leave |
//!
//! A picture is laid out anew for the width it gets; text is never smaller than 12 px. With [`Theme::Page`]
//! the colours are the page's CSS custom properties, so that one inline SVG follows light, dark and night;
//! the other themes write colours and embed the font, for files that stand alone.
//!
//! # Why own drawing and not a chart crate
//! The torque chart was also drawn with `plotters` (SVG backend, 0.3). It gave axes and lines in few calls, but
//! has no hatching, no CSS variables for colours, rounds points to whole pixels so that curves wobble, measures text with whatever font the machine has, places no
//! label on a line and knows nothing of collisions; the legend box it offers is what these pictures avoid.
//! All that makes a chart readable here would have been written on top of it anyway, as raw elements, and the
//! profile and the ladder are no charts at all.

mod candidates;
mod canvas;
mod font;
mod font_widths;
mod geometry;
mod intervals;
mod labels;
mod ladder;
mod lane;
mod one_line;
mod plot;
mod plot_draw;
mod plot_edges;
mod plot_labels;
mod plot_layout;
mod plot_parts;
mod profile;
mod profile_draw;
mod profile_gear;
mod profile_hull;
mod readout;
mod scale;
mod scatter;
mod strip;
mod theme;

pub use canvas::{Drawing, LabelBox};
pub use font::{ALL_FACES, Face, SANS, embedded_css, has_letter, text_width_px};
pub use intervals::{IntervalRow, Intervals};
pub use ladder::{Ladder, Step, StepKind};
pub use lane::{Lane, LaneMarks};
pub use one_line::{LineEnd, LineMark, LineRun, OneLine};
pub use plot::{Axis, AxisSide, Dash, Label, Plot, Tone, Weight};
pub use plot_parts::{Band, LabelPlace, Line, MarkedPoint, Reference, ReferenceAt, Region, RegionFill};
pub use profile::{Aperture, Arrangement, DimensionTexts, Fitted, Keel, Profile, Rudder};
pub use scale::format_number;
pub use scatter::{Candidate, Scatter};
pub use strip::Strip;
pub use theme::{Ink, Theme};

/// What a picture is drawn into.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Width to lay out for, px; held within 320 and 1600.
    pub width_px: f64,
    /// Colours.
    pub theme: Theme,
    /// Prefix of every id in the SVG; must differ between the pictures of one page.
    pub id: String,
}

impl Frame {
    /// A frame of that width, theme and id.
    #[must_use]
    pub fn new(width_px: f64, theme: Theme, id: &str) -> Self {
        Self { width_px, theme, id: id.to_owned() }
    }

    /// The width that layouts use: finite and within what they are made for.
    fn layout_width(&self) -> f64 {
        if self.width_px.is_finite() { self.width_px.clamp(320.0, 1600.0).round() } else { 720.0 }
    }
}

/// A description that can be drawn.
pub trait Picture {
    /// The SVG and the boxes of all its texts.
    fn draw(&self, frame: &Frame) -> Drawing;

    /// The SVG alone.
    fn to_svg(&self, frame: &Frame) -> String {
        self.draw(frame).svg
    }
}
