//! Labels of a plot: which spots each may take, and the list beneath for what found none.

use super::Ink;
use super::candidates::Hang;
use super::canvas::{Anchor, Canvas, Pen, Type};
use super::geometry::{Point, Rect, is_in_polygon, walk};
use super::labels::{Placer, Request, Spot};
use super::plot::{AxisSide, Label, Plot, Tone};
use super::plot_draw::{reference_points, visible_points};
use super::plot_edges::Sheet;
use super::plot_layout::SMALL;
use super::plot_parts::{LabelPlace, Line, ReferenceAt};

/// A label that found no room in the plot and is listed beneath it.
pub(super) struct Listed {
    text: String,
    kind: Type,
    sample: Option<Pen>,
}

/// Width below which the short wordings are used, px.
const NARROW_PX: f64 = 520.0;

/// Sets the labels in order of how little choice they have; gives those that found no room.
pub(super) fn draw_labels(
    plot: &Plot,
    sheet: &Sheet,
    canvas: &mut Canvas,
    placer: &mut Placer,
) -> Vec<Listed> {
    let px = sheet.label_px;
    let mut listed = Vec::new();
    let inside = sheet.area.inset(3.0);
    let whole = Rect { right: canvas.width - 1.0, ..inside };
    let mut seek = |canvas: &mut Canvas,
                    label: &Label,
                    kind: Type,
                    spots: Vec<Spot>,
                    within: Rect,
                    may_lead: bool,
                    sample: Option<Pen>| {
        if label.text.is_empty() || spots.is_empty() {
            return;
        }
        let kind = kind.on(Ink::Raised);
        // On a phone a short name on the line says more than a long one away from it.
        let is_short = canvas.width < NARROW_PX && !label.short.is_empty();
        let text = if is_short { &label.short } else { &label.text };
        let request = Request { text, short: &label.short, kind, spots, within, may_lead };
        // A hatched region speaks for itself; all else is listed beneath when it finds no room.
        if !placer.place(canvas, &request) && may_lead {
            listed.push(Listed { text: label.text.clone(), kind: Type { halo: None, ..kind }, sample });
        }
    };

    for (point, at) in visible_points(plot, sheet) {
        let kind = match point.tone {
            Tone::Binds | Tone::Passes => Type::bold(px + 1.0, point.tone.ink()),
            Tone::Ink | Tone::Muted => Type::new(px, point.tone.ink()),
        };
        let spots = vec![Spot { at, along: None, cost: 0.0, hang: Hang::Around }];
        seek(canvas, &point.label, kind, spots, inside, true, None);
    }
    for place in [LabelPlace::Along, LabelPlace::AtEnd] {
        for line in plot.lines.iter().filter(|l| l.place == place) {
            seek(
                canvas,
                &line.label,
                line_type(line, px),
                line_spots(line, sheet),
                whole,
                true,
                Some(line.pen()),
            );
        }
    }
    for reference in &plot.references {
        let Some(ends) = reference_points(reference.at, sheet) else { continue };
        // Best near the axis that the line is read on.
        let mut spots = along_spots(&ends, 10.0, |part| 10.0 + (part - 0.1).abs() * 10.0, Hang::Around);
        if matches!(reference.at, ReferenceAt::X(_)) {
            spots.push(Spot { at: ends[0], along: None, cost: 0.0, hang: Hang::Over });
        }
        let sample = Some(Pen::dashed(Ink::Muted, 1.0, "12 3 2 3"));
        let over = Rect { top: 0.0, left: 1.0, right: canvas.width - 1.0, ..inside };
        seek(canvas, &reference.label, Type::new(px, Ink::Muted), spots, over, true, sample);
    }
    for band in &plot.bands {
        let mut spots = Vec::new();
        for (low, extra) in [(false, 0.0), (true, 3.0)] {
            let edge: Vec<(f64, f64)> =
                band.points.iter().map(|(x, l, h)| (*x, if low { *l } else { *h })).collect();
            for piece in sheet.pieces(&edge, band.axis) {
                spots.extend(along_spots(
                    &piece,
                    9.0,
                    |part| extra + (part - 0.75).abs() * 20.0,
                    Hang::Around,
                ));
            }
        }
        seek(
            canvas,
            &band.label,
            Type::new(px, Ink::Muted),
            spots,
            inside,
            true,
            Some(Pen::new(Ink::Tint, 8.0)),
        );
    }
    for region in &plot.regions {
        seek(
            canvas,
            &region.label,
            Type::new(px, Ink::Muted),
            region_spots(region, sheet),
            inside,
            false,
            None,
        );
    }
    listed
}

fn line_type(line: &Line, px: f64) -> Type {
    match line.tone {
        Tone::Binds | Tone::Passes => Type::bold(px, line.tone.ink()),
        Tone::Ink if line.weight == super::Weight::Heavy => Type::bold(px, Ink::Ink),
        Tone::Ink | Tone::Muted => Type::new(px, line.tone.ink()),
    }
}

fn line_spots(line: &Line, sheet: &Sheet) -> Vec<Spot> {
    let pieces = sheet.pieces(&line.points, line.axis);
    let mut spots = Vec::new();
    let last = pieces.len().saturating_sub(1);
    for (index, piece) in pieces.iter().enumerate() {
        match line.place {
            LabelPlace::AtEnd => {
                spots.extend(along_spots(piece, 8.0, |part| 8.0 + (1.0 - part) * 60.0, Hang::Around));
                if let (true, Some(end)) = (index == last, piece.last()) {
                    // Curves that run out close together share the margin, each within a line of its end.
                    for (shift, cost) in [(0.0, 0.0), (-9.0, 1.5), (9.0, 1.5), (-17.0, 4.0), (17.0, 4.0)] {
                        let at = (end.0, end.1 + shift);
                        spots.push(Spot { at, along: None, cost, hang: Hang::Right });
                    }
                }
            }
            LabelPlace::Along => {
                spots.extend(along_spots(piece, 6.0, |part| (part - 0.4).abs() * 24.0, Hang::Along));
            }
        }
    }
    spots
}

fn along_spots(points: &[Point], step: f64, cost: impl Fn(f64) -> f64, hang: Hang) -> Vec<Spot> {
    let stations = walk(points, step);
    let count = stations.len().max(2) - 1;
    stations
        .into_iter()
        .enumerate()
        .map(|(index, (at, direction))| {
            let part = index as f64 / count as f64;
            Spot { at, along: Some(direction), cost: cost(part), hang }
        })
        .collect()
}

fn region_spots(region: &super::Region, sheet: &Sheet) -> Vec<Spot> {
    let outline: Vec<Point> =
        region.outline.iter().filter_map(|(x, y)| sheet.at(*x, *y, AxisSide::Left)).collect();
    let area = &sheet.area;
    let mut spots = Vec::new();
    for row in 1..24 {
        for column in 1..32 {
            let at = (
                area.left + area.width() * f64::from(column) / 32.0,
                area.top + area.height() * f64::from(row) / 24.0,
            );
            if is_in_polygon(at, &outline) {
                spots.push(Spot { at, along: None, cost: f64::from(row), hang: Hang::Centred });
            }
        }
    }
    spots
}

/// Lists what found no room, each with a sample of its line; gives the height reached.
pub(super) fn draw_list(canvas: &mut Canvas, listed: &[Listed], left: f64, top: f64, px: f64) -> f64 {
    let mut baseline = top;
    for entry in listed {
        baseline += px * 1.45;
        let mut x = left;
        if let Some(pen) = entry.sample {
            canvas.line((x, baseline - px * 0.3), (x + 26.0, baseline - px * 0.3), pen);
            x += 34.0;
        }
        let room = canvas.width - x - 2.0;
        for (index, line) in wrap(&entry.text, entry.kind, room).iter().enumerate() {
            if index > 0 {
                baseline += entry.kind.leading();
            }
            canvas.text((x, baseline), Anchor::Start, entry.kind, line);
        }
    }
    if listed.is_empty() { top - 2.0 } else { baseline + SMALL * 0.7 }
}

/// Breaks a text into lines of at most `room` px.
pub(super) fn wrap(text: &str, kind: Type, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if kind.width(&format!("{line} {word}")) <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
