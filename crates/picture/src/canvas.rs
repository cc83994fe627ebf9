//! Writes SVG elements and keeps account of every text's box, so that nothing overlaps unseen.

use super::font::{Face, SANS, embedded_css, text_width_px};
use super::geometry::{Point, Rect, TurnedBox};
use super::{Frame, Ink, Theme};
use std::fmt::Write as _;

/// A finished picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The SVG element.
    pub svg: String,
    /// Width, px.
    pub width_px: f64,
    /// Height, px.
    pub height_px: f64,
    /// Boxes of all texts.
    pub label_boxes: Vec<LabelBox>,
}

/// Where a text stands: the corners of its box, px, in order round it.
#[derive(Debug, Clone, PartialEq)]
pub struct LabelBox {
    /// The text (lines joined by a space).
    pub text: String,
    /// Corners.
    pub corners: [(f64, f64); 4],
    pub(super) turned: TurnedBox,
}

impl LabelBox {
    /// Whether two boxes overlap.
    #[must_use]
    pub fn overlaps(&self, other: &Self) -> bool {
        self.turned.grown(-0.4).hits(&other.turned.grown(-0.4))
    }
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pen {
    pub ink: Ink,
    pub width: f64,
    pub dash: &'static str,
}

impl Pen {
    pub const fn new(ink: Ink, width: f64) -> Self {
        Self { ink, width, dash: "" }
    }

    pub const fn dashed(ink: Ink, width: f64, dash: &'static str) -> Self {
        Self { ink, width, dash }
    }
}

/// What fills an area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Fill {
    None,
    Solid(Ink),
    /// Oblique lines: lost, or out of reach.
    Hatched,
    /// Dots on the colour of what reaches the water: growth.
    Stippled,
}

/// Where a text hangs from its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a text is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Type {
    pub size: f64,
    pub is_bold: bool,
    pub ink: Ink,
    /// Paper that is kept free round the letters where they stand on grid or hatching.
    pub halo: Option<Ink>,
}

impl Type {
    pub const fn new(size: f64, ink: Ink) -> Self {
        Self { size, is_bold: false, ink, halo: None }
    }

    pub const fn bold(size: f64, ink: Ink) -> Self {
        Self { size, is_bold: true, ink, halo: None }
    }

    pub const fn on(self, paper: Ink) -> Self {
        Self { halo: Some(paper), ..self }
    }

    pub fn width(&self, text: &str) -> f64 {
        text_width_px(text, if self.is_bold { Face::SansBold } else { Face::Sans }, self.size)
    }

    /// Distance between baselines.
    pub fn leading(&self) -> f64 {
        self.size * 1.22
    }
}

/// Part of the type size above and below the baseline that a text's box takes.
pub(super) const ASCENT: f64 = 0.74;
pub(super) const DESCENT: f64 = 0.22;

/// An SVG being written.
#[derive(Debug)]
pub(super) struct Canvas {
    pub theme: Theme,
    pub id: String,
    pub width: f64,
    body: String,
    defs: String,
    root_attributes: String,
    pub boxes: Vec<LabelBox>,
}

impl Canvas {
    pub fn new(frame: &Frame) -> Self {
        let id: String =
            frame.id.chars().map(|c| if c.is_ascii_alphanumeric() || c == '-' { c } else { '-' }).collect();
        Self {
            theme: frame.theme,
            id: if id.is_empty() { "picture".to_owned() } else { id },
            width: frame.layout_width(),
            body: String::new(),
            defs: String::new(),
            root_attributes: String::new(),
            boxes: Vec::new(),
        }
    }

    /// Closes the SVG at that height. `title` and `description` are read out by screen readers.
    pub fn finish(self, height: f64, title: &str, description: &str) -> Drawing {
        let (id, theme, width) = (&self.id, self.theme, self.width);
        let height = height.ceil();
        let (hatch, passes) = (theme.paint(Ink::Hatch), theme.paint(Ink::Passes));
        let raised = theme.paint(Ink::Raised);
        let mut svg = String::with_capacity(self.body.len() + 2000);
        let _ = write!(
            svg,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" id=\"{id}\" class=\"picture\" width=\"{width}\" height=\"{height}\" \
             viewBox=\"0 0 {width} {height}\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\" \
             font-family=\"'Wakewright Sans', 'Source Sans 3', system-ui, sans-serif\"{}>\
             <title id=\"{id}-title\">{}</title><desc id=\"{id}-desc\">{}</desc>",
            self.root_attributes,
            escape(title),
            escape(description)
        );
        if theme != Theme::Page {
            let _ = write!(svg, "<style>{}</style>", embedded_css(SANS));
        }
        let _ = write!(
            svg,
            "<defs>\
             <pattern id=\"{id}-hatch\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
             <line x1=\"3\" y1=\"0\" x2=\"3\" y2=\"6\" stroke=\"{hatch}\" stroke-width=\"1\"/></pattern>\
             <pattern id=\"{id}-stipple\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\">\
             <rect width=\"6\" height=\"6\" fill=\"{raised}\"/><circle cx=\"1.5\" cy=\"1.5\" r=\"1.25\" fill=\"{passes}\"/>\
             <circle cx=\"4.5\" cy=\"4.5\" r=\"1.25\" fill=\"{passes}\"/></pattern>{}</defs>",
            self.defs
        );
        if theme != Theme::Page {
            let _ = write!(
                svg,
                "<rect width=\"{width}\" height=\"{height}\" fill=\"{}\"/>",
                theme.paint(Ink::Ground)
            );
        }
        svg.push_str(&self.body);
        svg.push_str("</svg>");
        Drawing { svg, width_px: width, height_px: height, label_boxes: self.boxes }
    }

    /// Adds an attribute to the SVG element.
    pub fn root_attribute(&mut self, name: &str, value: &str) {
        let _ = write!(self.root_attributes, " {name}=\"{}\"", escape(value));
    }

    /// Defines a clipping rectangle and gives its reference.
    pub fn clip_rect(&mut self, rect: &Rect) -> String {
        let name = format!("{}-clip{}", self.id, self.defs.matches("<clipPath").count());
        let _ = write!(
            self.defs,
            "<clipPath id=\"{name}\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>",
            px(rect.left),
            px(rect.top),
            px(rect.width()),
            px(rect.height())
        );
        name
    }

    /// Opens a group; `attributes` begins with a space and is already escaped.
    pub fn open_group(&mut self, attributes: &str) {
        let _ = write!(self.body, "<g{attributes}>");
    }

    pub fn close_group(&mut self) {
        self.body.push_str("</g>");
    }

    fn fill_paint(&self, fill: Fill) -> String {
        match fill {
            Fill::None => "none".to_owned(),
            Fill::Solid(ink) => self.theme.paint(ink).to_owned(),
            Fill::Hatched => format!("url(#{}-hatch)", self.id),
            Fill::Stippled => format!("url(#{}-stipple)", self.id),
        }
    }

    fn stroke(&self, pen: Option<Pen>) -> String {
        let Some(pen) = pen else { return String::new() };
        let mut text =
            format!(" stroke=\"{}\" stroke-width=\"{}\"", self.theme.paint(pen.ink), px(pen.width));
        if !pen.dash.is_empty() {
            let _ = write!(text, " stroke-dasharray=\"{}\"", pen.dash);
        }
        text
    }

    pub fn line(&mut self, a: Point, b: Point, pen: Pen) {
        let stroke = self.stroke(Some(pen));
        let _ = write!(
            self.body,
            "<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{stroke}/>",
            px(a.0),
            px(a.1),
            px(b.0),
            px(b.1)
        );
    }

    pub fn polyline(&mut self, points: &[Point], pen: Pen) {
        if points.len() < 2 {
            return;
        }
        let stroke = self.stroke(Some(pen));
        let _ = write!(
            self.body,
            "<path d=\"{}\" fill=\"none\" stroke-linejoin=\"round\"{stroke}/>",
            path_data(points, false)
        );
    }

    pub fn polygon(&mut self, points: &[Point], fill: Fill, pen: Option<Pen>) {
        if points.len() < 3 {
            return;
        }
        let (stroke, fill) = (self.stroke(pen), self.fill_paint(fill));
        let _ = write!(
            self.body,
            "<path d=\"{}\" fill=\"{fill}\" stroke-linejoin=\"round\"{stroke}/>",
            path_data(points, true)
        );
    }

    pub fn rect(&mut self, rect: &Rect, fill: Fill, pen: Option<Pen>) {
        let (stroke, fill) = (self.stroke(pen), self.fill_paint(fill));
        let _ = write!(
            self.body,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{fill}\"{stroke}/>",
            px(rect.left),
            px(rect.top),
            px(rect.width().max(0.0)),
            px(rect.height().max(0.0))
        );
    }

    /// A circle; `attributes` begins with a space and is already escaped.
    pub fn circle(&mut self, centre: Point, radius: f64, fill: Fill, pen: Option<Pen>, attributes: &str) {
        let (stroke, fill) = (self.stroke(pen), self.fill_paint(fill));
        let _ = write!(
            self.body,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{fill}\"{stroke}{attributes}/>",
            px(centre.0),
            px(centre.1),
            px(radius)
        );
    }

    /// A text on one line, baseline at `at`.
    pub fn text(&mut self, at: Point, anchor: Anchor, kind: Type, text: &str) {
        if text.is_empty() {
            return;
        }
        let width = kind.width(text);
        let left = match anchor {
            Anchor::Start => at.0,
            Anchor::Middle => at.0 - width / 2.0,
            Anchor::End => at.0 - width,
        };
        let turned = TurnedBox {
            centre: (left + width / 2.0, at.1 - (ASCENT - DESCENT) / 2.0 * kind.size),
            half_width: width / 2.0,
            half_height: (ASCENT + DESCENT) / 2.0 * kind.size,
            angle_rad: 0.0,
        };
        self.block(&turned, kind, &[text], anchor);
    }

    /// Lines of text that fill a box; a margin of paper is kept round them.
    pub fn block<S: AsRef<str>>(&mut self, turned: &TurnedBox, kind: Type, lines: &[S], anchor: Anchor) {
        let (sign, name) = match anchor {
            Anchor::Start => (-1.0, ""),
            Anchor::Middle => (0.0, " text-anchor=\"middle\""),
            Anchor::End => (1.0, " text-anchor=\"end\""),
        };
        let x = turned.centre.0 + sign * turned.half_width;
        let first = turned.centre.1 - turned.half_height + ASCENT * kind.size;
        let rotate = if turned.angle_rad.abs() > 1e-6 {
            format!(
                " transform=\"rotate({} {} {})\"",
                px(turned.angle_rad.to_degrees()),
                px(turned.centre.0),
                px(turned.centre.1)
            )
        } else {
            String::new()
        };
        let weight = if kind.is_bold { " font-weight=\"600\"" } else { "" };
        let halo = kind.halo.map_or(String::new(), |paper| {
            format!(
                " stroke=\"{}\" stroke-width=\"4\" stroke-linejoin=\"round\" paint-order=\"stroke\"",
                self.theme.paint(paper)
            )
        });
        let mut baseline = first;
        for line in lines {
            let _ = write!(
                self.body,
                "<text x=\"{}\" y=\"{}\"{name} font-size=\"{}\"{weight} fill=\"{}\"{halo}{rotate}>{}</text>",
                px(x),
                px(baseline),
                px(kind.size),
                self.theme.paint(kind.ink),
                escape(line.as_ref())
            );
            baseline += kind.leading();
        }
        let text = lines.iter().map(AsRef::as_ref).collect::<Vec<_>>().join(" ");
        self.boxes.push(LabelBox { text, corners: turned.corners(), turned: *turned });
    }
}

/// A coordinate as it is written: two decimals at most. Callers keep their points finite; should one not be,
/// 0 is written, since a reader's program may refuse the whole file for one bad number.
pub(super) fn px(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{:.2}", value.clamp(-1e6, 1e6));
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn path_data(points: &[Point], is_closed: bool) -> String {
    let mut data = String::with_capacity(points.len() * 14);
    for (index, point) in points.iter().enumerate() {
        let _ = write!(data, "{}{} {}", if index == 0 { "M" } else { "L" }, px(point.0), px(point.1));
    }
    if is_closed {
        data.push('Z');
    }
    data
}

/// Text made safe for element content and quoted attributes; characters that XML forbids are left out.
pub(super) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' | '\t' => out.push(' '),
            c if c < ' ' || c == '\u{fffe}' || c == '\u{ffff}' => {}
            c => out.push(c),
        }
    }
    out
}
