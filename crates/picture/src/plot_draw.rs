//! Draws a plot: areas, grid, bands, lines and points; the labels are set in `plot_labels`.

use super::canvas::{Canvas, Fill, Pen};
use super::geometry::{Point, Rect};
use super::labels::Placer;
use super::plot::{AxisSide, Plot, Tone};
use super::plot_edges::{Sheet, end_label_margin, x_values, y_values};
use super::plot_labels::{draw_labels, draw_list};
use super::plot_layout::{
    Ticks, draw_grid, draw_sheet, draw_x_axis, draw_y_axis, draw_y_titles, draw_y2_axis, label_size,
    y_titles_height,
};
use super::plot_parts::{ReferenceAt, RegionFill};
use super::readout;
use super::scale::{Scale, format_number, range};
use super::{Drawing, Frame, Ink};

pub(super) fn draw(plot: &Plot, frame: &Frame) -> Drawing {
    let mut canvas = Canvas::new(frame);
    let width = canvas.width;
    let label_px = label_size(width);

    let (x_from, x_to) = range(plot.x.range, x_values(plot), plot.x.is_from_zero);
    let (y_from, y_to) = range(plot.y.range, y_values(plot, AxisSide::Left), plot.y.is_from_zero);
    let second = plot
        .y2
        .as_ref()
        .map(|axis| (axis, range(axis.range, y_values(plot, AxisSide::Right), axis.is_from_zero)));

    let plot_height =
        if plot.is_low { (width * 0.36).clamp(230.0, 300.0) } else { (width * 0.6).clamp(330.0, 520.0) };
    let y_count = plot_height / 62.0;
    let y_ticks = Ticks::of(&plot.y, y_from, y_to, y_count);
    let y2_ticks = second.as_ref().map(|(axis, (from, to))| Ticks::of(axis, *from, *to, y_count));
    let y2_title = plot.y2.as_ref().map(super::plot::Axis::title).unwrap_or_default();
    let right = match &y2_ticks {
        Some(ticks) => ticks.width() + 12.0,
        None => end_label_margin(plot, width, label_px, x_to),
    };
    let top = y_titles_height(width, &plot.y.title(), &y2_title) + 4.0;
    let area = Rect {
        left: (y_ticks.width() + 12.0).max(24.0).round(),
        top,
        right: (width - right).round(),
        bottom: (top + plot_height).round(),
    };
    let x_ticks = Ticks::of(&plot.x, x_from, x_to, (area.width() / 95.0).max(4.0));
    let scale = |from, to, px_from, px_to| Scale { from, to, px_from, px_to };
    let sheet = Sheet {
        x: scale(x_from, x_to, area.left, area.right),
        y: scale(y_from, y_to, area.bottom, area.top),
        y2: second.as_ref().map(|(_, (from, to))| scale(*from, *to, area.bottom, area.top)),
        area,
        label_px,
    };

    draw_sheet(&mut canvas, &area);
    draw_grid(&mut canvas, &area, (&sheet.x, &x_ticks), (&sheet.y, &y_ticks));
    let mut placer = Placer::default();
    draw_areas(plot, &sheet, &mut canvas, &mut placer);
    draw_references(plot, &sheet, &mut canvas, &mut placer);
    draw_lines(plot, &sheet, &mut canvas, &mut placer);
    draw_points(plot, &sheet, &mut canvas, &mut placer);
    draw_x_axis(&mut canvas, &area, &sheet.x, &x_ticks, &plot.x.title());
    draw_y_axis(&mut canvas, &area, &sheet.y, &y_ticks);
    if let (Some(y2), Some(ticks)) = (&sheet.y2, &y2_ticks) {
        draw_y2_axis(&mut canvas, &area, y2, ticks);
    }
    draw_y_titles(&mut canvas, &area, &plot.y.title(), &y2_title);
    placer.keep_clear_of(&[(area.left, area.bottom), (area.left, area.top), (area.right, area.top)]);
    placer.keep_clear_of(&[(area.right, area.top), (area.right, area.bottom), (area.left, area.bottom)]);

    let listed = draw_labels(plot, &sheet, &mut canvas, &mut placer);
    let height = draw_list(&mut canvas, &listed, area.left, area.bottom + 44.0, label_px);
    add_readout(plot, &sheet, &mut canvas);
    canvas.finish(height, &plot.title, &plot.description)
}

fn draw_areas(plot: &Plot, sheet: &Sheet, canvas: &mut Canvas, placer: &mut Placer) {
    let clip = canvas.clip_rect(&sheet.area);
    canvas.open_group(&format!(" clip-path=\"url(#{clip})\""));
    for region in &plot.regions {
        let outline: Vec<Point> =
            region.outline.iter().filter_map(|(x, y)| sheet.at(*x, *y, AxisSide::Left)).collect();
        let fill = match region.fill {
            RegionFill::Hatched => Fill::Hatched,
            RegionFill::Tinted => Fill::Solid(Ink::Tint),
        };
        canvas.polygon(&outline, fill, None);
    }
    canvas.open_group(" opacity=\"0.62\"");
    for band in &plot.bands {
        let edge = |low: bool| {
            band.points.iter().filter_map(move |(x, l, h)| sheet.at(*x, if low { *l } else { *h }, band.axis))
        };
        let mut outline: Vec<Point> = edge(true).collect();
        let mut back: Vec<Point> = edge(false).collect();
        back.reverse();
        outline.extend(back);
        canvas.polygon(&outline, Fill::Solid(Ink::Tint), None);
    }
    canvas.close_group();
    for band in &plot.bands {
        for low in [true, false] {
            let edge: Vec<(f64, f64)> =
                band.points.iter().map(|(x, l, h)| (*x, if low { *l } else { *h })).collect();
            for piece in sheet.pieces(&edge, band.axis) {
                placer.rather_not_cross(&piece);
            }
        }
    }
    canvas.close_group();
}

pub(super) fn reference_points(at: ReferenceAt, sheet: &Sheet) -> Option<[Point; 2]> {
    let area = &sheet.area;
    match at {
        ReferenceAt::X(x) => {
            let px = sheet.at(x, sheet.y.from, AxisSide::Left)?.0;
            (px >= area.left && px <= area.right).then_some([(px, area.top), (px, area.bottom)])
        }
        ReferenceAt::Y(y) => {
            let px = sheet.at(sheet.x.from, y, AxisSide::Left)?.1;
            (px >= area.top && px <= area.bottom).then_some([(area.left, px), (area.right, px)])
        }
    }
}

fn draw_references(plot: &Plot, sheet: &Sheet, canvas: &mut Canvas, placer: &mut Placer) {
    for reference in &plot.references {
        if let Some(ends) = reference_points(reference.at, sheet) {
            canvas.polyline(&ends, Pen::dashed(Ink::Muted, 1.0, "12 3 2 3"));
            placer.keep_clear_of(&ends);
        }
    }
}

fn draw_lines(plot: &Plot, sheet: &Sheet, canvas: &mut Canvas, placer: &mut Placer) {
    for line in &plot.lines {
        for piece in sheet.pieces(&line.points, line.axis) {
            canvas.polyline(&piece, line.pen());
            placer.keep_clear_of(&piece);
        }
    }
}

pub(super) fn visible_points<'a>(
    plot: &'a Plot,
    sheet: &'a Sheet,
) -> impl Iterator<Item = (&'a super::MarkedPoint, Point)> {
    let area = sheet.area.grown(0.5);
    plot.points.iter().filter_map(move |point| {
        let at = sheet.at(point.x, point.y, point.axis)?;
        area.clip(at, at).map(|_| (point, at))
    })
}

fn draw_points(plot: &Plot, sheet: &Sheet, canvas: &mut Canvas, placer: &mut Placer) {
    for (point, at) in visible_points(plot, sheet) {
        let ink = point.tone.ink();
        if point.has_guides {
            let edge = match point.axis {
                AxisSide::Left => sheet.area.left,
                AxisSide::Right => sheet.area.right,
            };
            for guide in [[(edge, at.1), at], [at, (at.0, sheet.area.bottom)]] {
                canvas.polyline(&guide, Pen::dashed(ink, 1.0, "1.5 3.5"));
                placer.keep_clear_of(&guide);
            }
        }
        let is_filled = matches!(point.tone, Tone::Binds | Tone::Passes);
        let fill = Fill::Solid(if is_filled { ink } else { Ink::Raised });
        let ring = if is_filled { Pen::new(Ink::Raised, 1.5) } else { Pen::new(ink, 1.8) };
        canvas.circle(at, if is_filled { 5.5 } else { 4.2 }, fill, Some(ring), "");
        placer.keep_clear_of_mark(at, 6.0);
    }
}

fn add_readout(plot: &Plot, sheet: &Sheet, canvas: &mut Canvas) {
    let value = |axis: &super::Axis, v: f64| {
        let number = format_number(v, axis.decimals);
        if axis.unit.is_empty() { number } else { format!("{number} {}", axis.unit) }
    };
    let series: Vec<readout::Series> = plot
        .lines
        .iter()
        .filter(|line| line.has_readout)
        .map(|line| {
            let axis = match (line.axis, &plot.y2) {
                (AxisSide::Right, Some(axis)) => axis,
                _ => &plot.y,
            };
            let points = line
                .points
                .iter()
                .filter_map(|(x, y)| {
                    let at = sheet.at(*x, *y, line.axis)?;
                    sheet.area.clip(at, at)?;
                    Some((at, value(&plot.x, *x), value(axis, *y)))
                })
                .collect();
            readout::Series { label: line.label.text.clone(), tone: line.tone.ink().name(), points }
        })
        .collect();
    if !series.is_empty() {
        canvas.root_attribute("data-readout", &readout::json(&sheet.area, &plot.x.title(), &series));
        canvas.root_attribute("tabindex", "0");
    }
}
