//! What a reader can read out of a picture by pointer, touch or keys, as JSON in a `data-readout` attribute.
//!
//! `{"area":[left,top,right,bottom],"x":{"title":"…"},"series":[{"label":"…","tone":"ink","points":[[x_px,y_px,"x text","y text"],…]}]}`

use super::geometry::{Point, Rect};
use std::fmt::Write as _;

/// Samples kept per line: enough for a phone's width, few enough for a page with several pictures.
const SAMPLES: usize = 120;

/// A line that can be read out.
#[derive(Debug)]
pub(super) struct Series {
    pub label: String,
    pub tone: &'static str,
    /// Where the sample stands on the page, and both values as text.
    pub points: Vec<(Point, String, String)>,
}

/// The attribute's value.
pub(super) fn json(area: &Rect, x_title: &str, series: &[Series]) -> String {
    let mut out = format!(
        "{{\"area\":[{:.1},{:.1},{:.1},{:.1}],\"x\":{{\"title\":{}}},\"series\":[",
        area.left,
        area.top,
        area.right,
        area.bottom,
        quoted(x_title)
    );
    for (index, one) in series.iter().enumerate() {
        if index > 0 {
            out.push(',');
        }
        let _ = write!(out, "{{\"label\":{},\"tone\":\"{}\",\"points\":[", quoted(&one.label), one.tone);
        let step = one.points.len().div_ceil(SAMPLES).max(1);
        for (place, (at, x, y)) in one.points.iter().step_by(step).enumerate() {
            let comma = if place > 0 { "," } else { "" };
            let _ = write!(out, "{comma}[{:.1},{:.1},{},{}]", at.0, at.1, quoted(x), quoted(y));
        }
        out.push_str("]}");
    }
    out.push_str("]}");
    out
}

fn quoted(text: &str) -> String {
    let mut out = String::from('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c < ' ' => out.push(' '),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
