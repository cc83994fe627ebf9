//! The watt ladder: what leaves the bank falls step by step to what moves the water.

use super::canvas::{Anchor, Canvas, Fill, Pen, Type};
use super::geometry::Rect;
use super::plot_labels::wrap;
use super::plot_layout::{SMALL, label_size};
use super::scale::format_number;
use super::{Drawing, Frame, Ink, Picture};

/// What becomes of a step's watts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepKind {
    /// Lost as heat or swirl: hatched.
    Lost,
    /// Moves the boat through water and air: solid.
    Reaches,
    /// Moves growth through the water: stippled.
    Growth,
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Where the watts go.
    pub label: String,
    /// How many, W.
    pub power_w: f64,
    /// 80 % band, W.
    pub interval_w: Option<(f64, f64)>,
    /// What becomes of them.
    pub kind: StepKind,
}

/// The ladder.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ladder {
    /// Name for screen readers.
    pub title: String,
    /// Sentence for screen readers.
    pub description: String,
    /// Words for the whole, such as "from the bank".
    pub source: String,
    /// Words for what is left, such as "reaches the water".
    pub arrival: String,
    /// Steps from bank to water.
    pub steps: Vec<Step>,
}

/// Watts for reading: kilowatts from 10 kW upwards.
fn format_power(power_w: f64) -> String {
    if power_w.abs() >= 10_000.0 {
        format!("{} kW", format_number(power_w / 1000.0, 1))
    } else {
        format!("{} W", format_number(power_w, 0))
    }
}

fn format_share(part: f64, whole: f64) -> String {
    if whole > 0.0 { format!("{} %", format_number(100.0 * part / whole, 0)) } else { String::new() }
}

/// Where things stand across the page.
struct Columns {
    bar_left: f64,
    bar_right: f64,
    /// Right edges of watts and share.
    watts: f64,
    share: f64,
    /// Whether the words stand above the bars instead of beside them.
    is_narrow: bool,
    label_px: f64,
}

/// A bar's height and the space beneath it, px.
const BAR: f64 = 20.0;
const GAP: f64 = 12.0;

impl Picture for Ladder {
    fn draw(&self, frame: &Frame) -> Drawing {
        let mut canvas = Canvas::new(frame);
        let steps: Vec<&Step> = self.steps.iter().filter(|s| s.power_w >= 0.0 && s.power_w < 1e12).collect();
        let total: f64 = steps.iter().map(|s| s.power_w).sum();
        let columns = self.columns(canvas.width, &steps);
        let per_watt = if total > 0.0 { (columns.bar_right - columns.bar_left) / total } else { 0.0 };
        let (plain, bold) = (Type::new(columns.label_px, Ink::Ink), Type::bold(columns.label_px, Ink::Ink));

        let mut bar = columns.row(&mut canvas, 4.0, bold, [&self.source, &format_power(total), ""]);
        let whole = Rect { right: columns.bar_left + total * per_watt, ..bar };
        canvas.rect(&whole, Fill::Solid(Ink::Tint), Some(Pen::new(Ink::Ink, 1.2)));

        let mut left_w = total;
        let mut has_arrived = false;
        let mut has_interval = false;
        for step in steps {
            let fall_from = bar.bottom;
            let mut next = bar.bottom + GAP;
            if step.kind != StepKind::Lost && !has_arrived {
                has_arrived = true;
                next = self.draw_arrival(&mut canvas, &columns, next, left_w, total);
            }
            let share = format_share(step.power_w, total);
            bar = columns.row(&mut canvas, next, plain, [&step.label, &format_power(step.power_w), &share]);
            let right = columns.bar_left + left_w * per_watt;
            left_w -= step.power_w;
            let left = columns.bar_left + left_w.max(0.0) * per_watt;
            if !columns.is_narrow {
                canvas.line((right, fall_from), (right, bar.top), Pen::dashed(Ink::Muted, 0.8, "2 2"));
            }
            if left - columns.bar_left > 0.5 {
                canvas.rect(&Rect { right: left, ..bar }, Fill::Solid(Ink::Tint), None);
            }
            let part = Rect { left, right: right.max(left + 1.5), ..bar };
            let (fill, outline) = match step.kind {
                StepKind::Lost => (Fill::Hatched, Ink::Ink),
                StepKind::Reaches => (Fill::Solid(Ink::Passes), Ink::Passes),
                StepKind::Growth => (Fill::Stippled, Ink::Passes),
            };
            canvas.rect(&part, Fill::Solid(Ink::Raised), None);
            canvas.rect(&part, fill, Some(Pen::new(outline, 1.2)));
            if let Some((low, high)) = step.interval_w.filter(|(l, h)| l.is_finite() && h.is_finite()) {
                has_interval = true;
                let from = (right - high * per_watt).max(columns.bar_left);
                draw_whisker(&mut canvas, bar.bottom + 4.0, from, right - low * per_watt);
            }
        }
        let mut bottom = bar.bottom + 10.0;
        if has_interval {
            bottom += SMALL + 6.0;
            let left = if columns.is_narrow { 2.0 } else { columns.bar_left };
            draw_whisker(&mut canvas, bottom - 4.5, left, left + 22.0);
            let kind = Type::new(SMALL, Ink::Muted);
            canvas.text((left + 30.0, bottom), Anchor::Start, kind, "80 % band: the step ends in here");
            bottom += 6.0;
        }
        canvas.finish(bottom, &self.title, &self.description)
    }
}

/// The interval of a step, beneath its bar: where the bar's left end may lie.
fn draw_whisker(canvas: &mut Canvas, y: f64, from: f64, to: f64) {
    let pen = Pen::new(Ink::Ink, 1.1);
    canvas.line((from, y), (to, y), pen);
    for end in [from, to] {
        canvas.line((end, y - 2.5), (end, y + 2.5), pen);
    }
}

impl Ladder {
    fn columns(&self, width: f64, steps: &[&Step]) -> Columns {
        let label_px = label_size(width);
        let (plain, bold) = (Type::new(label_px, Ink::Ink), Type::bold(label_px, Ink::Ink));
        let labels = steps
            .iter()
            .map(|s| plain.width(&s.label))
            .chain([bold.width(&self.source), bold.width(&self.arrival)])
            .fold(0.0, f64::max);
        let share = width - 2.0;
        let watts = share - plain.width("100 %") - 12.0;
        let is_narrow = width < 560.0 || labels > width * 0.42;
        let (bar_left, bar_right) = if is_narrow {
            (2.0, width - 2.0)
        } else {
            (labels + 18.0, watts - bold.width("00,000 W") - 16.0)
        };
        Columns { bar_left, bar_right, watts, share, is_narrow, label_px }
    }

    /// The line that says what is left, under a rule across the page; gives the top for what follows.
    fn draw_arrival(&self, canvas: &mut Canvas, columns: &Columns, top: f64, left_w: f64, total: f64) -> f64 {
        canvas.line((2.0, top), (canvas.width - 2.0, top), Pen::dashed(Ink::Passes, 1.2, "10 3 2 3"));
        let kind = Type::bold(columns.label_px, Ink::Passes);
        let texts = [self.arrival.as_str(), &format_power(left_w), &format_share(left_w, total)];
        if columns.is_narrow {
            let bar = columns.row(canvas, top + 4.0, kind, texts);
            bar.top + 6.0
        } else {
            columns.write(canvas, top + columns.label_px * 1.3, kind, texts);
            top + columns.label_px * 1.3 + 12.0
        }
    }
}

impl Columns {
    /// Writes a row whose top is given; gives the place of its bar.
    fn row(&self, canvas: &mut Canvas, top: f64, kind: Type, texts: [&str; 3]) -> Rect {
        let bar_top = if self.is_narrow {
            self.write(canvas, top + kind.size, kind, texts) + 6.0
        } else {
            self.write(canvas, top + BAR / 2.0 + kind.size * 0.35, kind, texts);
            top
        };
        Rect { left: self.bar_left, top: bar_top, right: self.bar_right, bottom: bar_top + BAR }
    }

    /// Writes label, watts and share; gives the last baseline.
    fn write(&self, canvas: &mut Canvas, base: f64, kind: Type, [label, watts, share]: [&str; 3]) -> f64 {
        canvas.text((self.watts, base), Anchor::End, kind, watts);
        let share_kind = if kind.ink == Ink::Ink { Type { ink: Ink::Muted, ..kind } } else { kind };
        canvas.text((self.share, base), Anchor::End, share_kind, share);
        if !self.is_narrow {
            canvas.text((self.bar_left - 12.0, base), Anchor::End, kind, label);
            return base;
        }
        let room = self.watts - kind.width(watts) - 12.0;
        let mut last = base;
        for (index, line) in wrap(label, kind, room).iter().enumerate() {
            last = base + index as f64 * kind.leading();
            canvas.text((2.0, last), Anchor::Start, kind, line);
        }
        last
    }
}
