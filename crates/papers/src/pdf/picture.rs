//! The pictures' own SVG drawn onto a page: lines, paths of straight pieces, rectangles, circles, text, groups, tiles.
//! These are all that `wakewright_picture` writes, so that no general reader of SVG is needed. Not for: other SVG.

use krilla::geom::{Path, PathBuilder, Rect, Transform};
use krilla::num::NormalizedF32;
use krilla::paint::{Fill, FillRule, LineJoin, Paint, Pattern, Stroke, StrokeDash};
use krilla::surface::Surface;
use roxmltree::Node;
use wakewright_picture::{Face, Ink, text_width_px};

use super::faces::{Faces, colour, spelled};

fn number(node: Node<'_, '_>, name: &str) -> f32 {
    node.attribute(name).and_then(|text| text.parse().ok()).unwrap_or(0.0)
}

/// What `url(#id)` names.
fn named<'d>(node: Node<'d, 'd>, url: &str) -> Option<Node<'d, 'd>> {
    let id = url.strip_prefix("url(#")?.strip_suffix(')')?;
    node.document().descendants().find(|node| node.attribute("id") == Some(id))
}

/// Numbers of a text, whatever stands between them.
fn numbers(text: &str) -> Vec<f32> {
    let is_between = |c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-'));
    text.split(is_between).filter_map(|part| part.parse().ok()).collect()
}

/// Everything within `node`.
pub fn draw(surface: &mut Surface<'_>, faces: &Faces, node: Node<'_, '_>) {
    for child in node.children() {
        match child.tag_name().name() {
            "g" => group(surface, faces, child),
            "text" => text(surface, faces, child),
            _ => shape(surface, faces, child),
        }
    }
}

fn group(surface: &mut Surface<'_>, faces: &Faces, node: Node<'_, '_>) {
    let clip = node.attribute("clip-path").and_then(|url| named(node, url)?.first_element_child());
    let clip = clip.and_then(outline);
    let opacity = node.attribute("opacity").and_then(|text| NormalizedF32::new(text.parse().ok()?));
    if let Some(path) = &clip {
        surface.push_clip_path(path, &FillRule::NonZero);
    }
    if let Some(opacity) = opacity {
        surface.push_opacity(opacity);
    }
    draw(surface, faces, node);
    for _ in 0..usize::from(clip.is_some()) + usize::from(opacity.is_some()) {
        surface.pop();
    }
}

fn shape(surface: &mut Surface<'_>, faces: &Faces, node: Node<'_, '_>) {
    let Some(path) = outline(node) else { return };
    // A line has no inside.
    let fill = node.attribute("fill").filter(|_| node.tag_name().name() != "line");
    let fill = fill.and_then(|fill| paint(surface, faces, node, fill));
    let stroke = stroke(node);
    if fill.is_some() || stroke.is_some() {
        surface.set_fill(fill.map(|paint| Fill { paint, ..Fill::default() }));
        surface.set_stroke(stroke);
        surface.draw_path(&path);
        surface.set_stroke(None);
    }
}

/// The outline of a line, path, rectangle or circle; of nothing else.
fn outline(node: Node<'_, '_>) -> Option<Path> {
    let mut path = PathBuilder::new();
    let at = |name| number(node, name);
    match node.tag_name().name() {
        "line" => {
            path.move_to(at("x1"), at("y1"));
            path.line_to(at("x2"), at("y2"));
        }
        "rect" => path.push_rect(Rect::from_xywh(at("x"), at("y"), at("width"), at("height"))?),
        "path" => {
            let data = node.attribute("d")?;
            for (place, point) in numbers(data).chunks_exact(2).enumerate() {
                if place == 0 { path.move_to(point[0], point[1]) } else { path.line_to(point[0], point[1]) }
            }
            if data.ends_with('Z') {
                path.close();
            }
        }
        "circle" => {
            // Four arcs of a quarter each; 0.5523 makes a cubic lie on the circle within 0.03 % of its radius.
            let (x, y, r) = (at("cx"), at("cy"), at("r"));
            let k = r * 0.5523;
            path.move_to(x + r, y);
            path.cubic_to(x + r, y + k, x + k, y + r, x, y + r);
            path.cubic_to(x - k, y + r, x - r, y + k, x - r, y);
            path.cubic_to(x - r, y - k, x - k, y - r, x, y - r);
            path.cubic_to(x + k, y - r, x + r, y - k, x + r, y);
            path.close();
        }
        _ => return None,
    }
    path.finish()
}

/// A colour by its role, or a tile.
fn paint(surface: &mut Surface<'_>, faces: &Faces, node: Node<'_, '_>, text: &str) -> Option<Paint> {
    if let Some(tile) = named(node, text) {
        let mut builder = surface.stream_builder();
        let mut on_tile = builder.surface();
        draw(&mut on_tile, faces, tile);
        on_tile.finish();
        let stream = builder.finish();
        let turn = tile.attribute("patternTransform").map(numbers).unwrap_or_default();
        let transform = turn.first().map_or_else(Transform::identity, |angle| Transform::from_rotate(*angle));
        let (width, height) = (number(tile, "width"), number(tile, "height"));
        return Some(Pattern { stream, transform, width, height }.into());
    }
    let role = text.strip_prefix("var(--")?.strip_suffix(')')?;
    Ink::ALL.iter().find(|ink| ink.name() == role).map(|ink| colour(*ink).into())
}

fn stroke(node: Node<'_, '_>) -> Option<Stroke> {
    let role = node.attribute("stroke")?.strip_prefix("var(--")?.strip_suffix(')')?;
    let ink = Ink::ALL.into_iter().find(|ink| ink.name() == role)?;
    let dash =
        node.attribute("stroke-dasharray").map(|text| StrokeDash { array: numbers(text), offset: 0.0 });
    let line_join = match node.attribute("stroke-linejoin") {
        Some("round") => LineJoin::Round,
        _ => LineJoin::Miter,
    };
    Some(Stroke {
        paint: colour(ink).into(),
        width: number(node, "stroke-width"),
        line_join,
        dash,
        ..Stroke::default()
    })
}

fn text(surface: &mut Surface<'_>, faces: &Faces, node: Node<'_, '_>) {
    let face = if node.attribute("font-weight").is_some() { Face::SansBold } else { Face::Sans };
    let words = spelled(node.text().unwrap_or_default(), face);
    let size = number(node, "font-size");
    let width = text_width_px(&words, face, f64::from(size)) as f32;
    let shift = match node.attribute("text-anchor") {
        Some("middle") => width / 2.0,
        Some("end") => width,
        _ => 0.0,
    };
    let at = (number(node, "x") - shift, number(node, "y"));
    let turn = node.attribute("transform").map(numbers);
    let turn = turn.as_deref().and_then(|turn| <&[f32; 3]>::try_from(turn).ok());
    if let Some([angle, x, y]) = turn {
        surface.push_transform(&Transform::from_rotate_at(*angle, *x, *y));
    }
    // Paper round the letters first: as outlines, so that they are read once.
    if let Some(halo) = stroke(node) {
        surface.set_fill(None);
        surface.set_stroke(Some(halo));
        faces.write(surface, at, &words, (face, size), true);
        surface.set_stroke(None);
    }
    let ink = node.attribute("fill").and_then(|fill| paint(surface, faces, node, fill));
    surface.set_fill(ink.map(|paint| Fill { paint, ..Fill::default() }));
    faces.write(surface, at, &words, (face, size), false);
    if turn.is_some() {
        surface.pop();
    }
}
