//! A one-line diagram: one line for both poles of each run, from its sources to its loads, with own symbols after the
//! manner of IEC 60617. It is a list that hangs on a rail, so that it reads on a phone and prints on one page.
//! Not for: which run hangs where.

use super::canvas::{Anchor, Canvas, Fill, Pen, Type};
use super::geometry::Rect;
use super::plot_labels::wrap;
use super::plot_layout::label_size;
use super::{Drawing, Frame, Ink, Picture};

/// What stands at the end of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineEnd {
    /// Cells.
    Battery,
    /// A motor controller or converter.
    Converter,
    /// A motor.
    Motor,
    /// A load or source of another kind.
    Box,
    /// A place where further runs begin.
    Joint,
}

/// What stands in a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LineMark {
    /// A fuse or breaker.
    Fuse,
    /// What a coil opens.
    Contactor,
    /// What a hand opens.
    Switch,
}

/// A run.
#[derive(Debug, Clone, PartialEq)]
pub struct LineRun {
    /// How many runs lie between it and the first rail.
    pub depth: usize,
    /// What it ends in.
    pub end: LineEnd,
    /// Name of that end.
    pub end_label: String,
    /// What stands in it, with whether that fails.
    pub marks: Vec<(LineMark, bool)>,
    /// Over the line: name, size, length.
    pub above: String,
    /// Under it: what it carries, and what its parts face.
    pub below: String,
    /// The run itself fails.
    pub fails: bool,
}

/// The diagram.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct OneLine {
    /// Name for screen readers.
    pub title: String,
    /// Sentence for screen readers.
    pub description: String,
    /// Name of the rail from which all hangs.
    pub rail: String,
    /// Its runs, each before those that hang on its end.
    pub runs: Vec<LineRun>,
}

/// Room to the left of a rail for each further one, and half the height of a symbol, px.
const INDENT: f64 = 22.0;
const HALF: f64 = 8.0;
/// Width of the symbol at a run's end, px.
const END: f64 = 26.0;

impl Picture for OneLine {
    fn draw(&self, frame: &Frame) -> Drawing {
        let mut canvas = Canvas::new(frame);
        let size = label_size(canvas.width);
        let (plain, bold) = (Type::new(size, Ink::Ink), Type::bold(size, Ink::Ink));
        canvas.text((2.0, size), Anchor::Start, bold, &self.rail);
        let mut top = size + 10.0;
        // Where the rail of each depth begins and has come to.
        let mut rails: Vec<(f64, f64)> = vec![(top - 4.0, top)];
        let mut drawn: Vec<(usize, f64, f64)> = Vec::new();
        for run in &self.runs {
            let left = 4.0 + INDENT * run.depth as f64;
            let room = canvas.width - left - 14.0;
            let ink = if run.fails { Ink::Binds } else { Ink::Ink };
            for line in wrap(&run.above, bold, room) {
                top += bold.leading();
                canvas.text((left + 12.0, top), Anchor::Start, Type { ink, ..bold }, &line);
            }
            let y = top + 8.0 + HALF;
            if rails.len() <= run.depth {
                rails.push((y, y));
            }
            rails.truncate(run.depth + 1);
            rails[run.depth].1 = y;
            drawn.push((run.depth, rails[run.depth].0, y));
            draw_run(&mut canvas, run, left, y, (size, plain));
            // Runs that hang on its end hang on a rail under its beginning.
            rails.push((y + HALF, y + HALF));
            top = y + HALF + 2.0;
            for line in wrap(&run.below, plain, room - INDENT) {
                top += plain.leading();
                canvas.text(
                    (left + INDENT + 8.0, top),
                    Anchor::Start,
                    Type { ink: Ink::Muted, ..plain },
                    &line,
                );
            }
            top += 8.0;
        }
        for (depth, from, to) in drawn {
            let x = 4.0 + INDENT * depth as f64;
            canvas.line((x, from), (x, to), Pen::new(Ink::Ink, if depth == 0 { 3.0 } else { 1.4 }));
        }
        canvas.finish(top + 6.0, &self.title, &self.description)
    }
}

/// The line of a run from its rail to the symbol of its end.
fn draw_run(canvas: &mut Canvas, run: &LineRun, left: f64, y: f64, (size, plain): (f64, Type)) {
    let ink = if run.fails { Ink::Binds } else { Ink::Ink };
    let pen = Pen::new(ink, if run.fails { 2.2 } else { 1.4 });
    let label = plain.width(&run.end_label);
    let end = (left + 12.0 + 44.0 * run.marks.len() as f64 + 40.0)
        .min(canvas.width - END - label - 12.0)
        .max(left + 40.0);
    canvas.line((left, y), (end, y), pen);
    for (place, (mark, fails)) in run.marks.iter().enumerate() {
        draw_mark(canvas, *mark, *fails, left + 14.0 + 44.0 * place as f64, y);
    }
    draw_end(canvas, run.end, end, y);
    canvas.text((end + END + 6.0, y + size * 0.35), Anchor::Start, plain, &run.end_label);
}

fn draw_mark(canvas: &mut Canvas, mark: LineMark, fails: bool, left: f64, y: f64) {
    let ink = if fails { Ink::Binds } else { Ink::Ink };
    let pen = Pen::new(ink, 1.4);
    let body = Rect { left, top: y - HALF + 2.0, right: left + 30.0, bottom: y + HALF - 2.0 };
    match mark {
        LineMark::Fuse => {
            // The line runs through the fuse.
            canvas.rect(&body, Fill::Solid(Ink::Raised), None);
            canvas.rect(&body, if fails { Fill::Hatched } else { Fill::None }, Some(pen));
            canvas.line((body.left, y), (body.right, y), pen);
        }
        LineMark::Contactor | LineMark::Switch => {
            let gap = Rect { left: left + 4.0, top: y - 2.0, right: left + 26.0, bottom: y + 2.0 };
            canvas.rect(&gap, Fill::Solid(Ink::Raised), None);
            canvas.line((gap.left, y), (gap.right, y - HALF - 1.0), Pen::new(ink, 1.8));
            canvas.circle((gap.left, y), 2.0, Fill::Solid(ink), None, "");
            canvas.circle((gap.right, y), 2.0, Fill::Solid(ink), None, "");
            if mark == LineMark::Contactor {
                let coil =
                    Rect { left: left + 9.0, top: y + 3.0, right: left + 21.0, bottom: y + HALF + 1.0 };
                canvas.rect(&coil, if fails { Fill::Hatched } else { Fill::None }, Some(Pen::new(ink, 1.0)));
            }
        }
    }
}

fn draw_end(canvas: &mut Canvas, end: LineEnd, left: f64, y: f64) {
    let pen = Pen::new(Ink::Ink, 1.4);
    let body = Rect { left, top: y - HALF, right: left + END, bottom: y + HALF };
    let middle = left + END / 2.0;
    match end {
        LineEnd::Battery => {
            canvas.line((left, y), (left + 6.0, y), pen);
            for (place, x) in [left + 6.0, left + 11.0, left + 16.0, left + 21.0].into_iter().enumerate() {
                let (half, width) = if place % 2 == 0 { (HALF, 1.4) } else { (HALF * 0.5, 2.8) };
                canvas.line((x, y - half), (x, y + half), Pen::new(Ink::Ink, width));
            }
        }
        LineEnd::Converter => {
            canvas.rect(&body, Fill::Solid(Ink::Raised), Some(pen));
            canvas.line((body.left, body.bottom), (body.right, body.top), pen);
        }
        LineEnd::Motor => {
            canvas.circle((middle, y), HALF + 2.0, Fill::Solid(Ink::Raised), Some(pen), "");
            canvas.text((middle, y + 4.2), Anchor::Middle, Type::bold(12.0, Ink::Ink), "M");
        }
        LineEnd::Box => canvas.rect(&body, Fill::Solid(Ink::Raised), Some(pen)),
        LineEnd::Joint => {
            canvas.line((left, y), (middle, y), pen);
            canvas.circle((middle, y), 3.0, Fill::Solid(Ink::Ink), None, "");
        }
    }
}
