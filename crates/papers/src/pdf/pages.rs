//! Strips onto pages, with foot, bookmarks and the tree of tags.
//! Not for: how strips are set.

use krilla::destination::XyzDestination;
use krilla::document::Document;
use krilla::geom::{PathBuilder, Point, Rect, Transform};
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, BBox, ContentTag, Node, SpanTag, Tag, TagGroup, TagKind, TagTree,
};
use wakewright_picture::{Face, Ink, text_width_px};

use super::faces::{Faces, filled};
use super::lines::{Look, Piece, broken, push_text};
use super::picture;
use super::strips::{Frame, HEIGHT, Print, Set, Strip, Tagged, WIDTH, What};

/// A4, pt.
const SHEET: (f32, f32) = (595.28, 841.89);
const LEFT: f32 = 45.35;
const TOP: f32 = 48.19;

/// Prints the paper.
pub fn print(document: &mut Document, set: Set<'_>, foot: &str) -> Result<(), String> {
    let faces = Faces::new().ok_or("the embedded fonts cannot be read")?;
    let Set { strips, mut tags, .. } = set;
    let pages = paged(&strips);
    let mut chapters: Vec<OutlineNode> = Vec::new();
    for (index, page) in pages.iter().enumerate() {
        let settings = PageSettings::from_wh(SHEET.0, SHEET.1).ok_or("no page of this size")?;
        let mut sheet = document.start_page_with(settings);
        let mut surface = sheet.surface();
        for (y, strip, is_head) in page {
            if let Some((level, words)) = strip.bookmark.as_ref().filter(|_| !is_head) {
                let node =
                    OutlineNode::new(words.clone(), XyzDestination::new(index, Point::from_xy(0.0, y - 4.0)));
                match chapters.last_mut() {
                    Some(chapter) if *level > 2 => chapter.push_child(node),
                    _ => chapters.push(node),
                }
            }
            if let Some(frame) = strip.frame {
                adorned(&mut surface, |surface| framed(surface, *y, strip, frame));
            }
            for print in &strip.prints {
                let tag = print.tag.filter(|_| !is_head).map(|tag| &mut tags[tag]);
                printed(&mut surface, &faces, print, (index, *y), tag);
            }
        }
        footed(&mut surface, &faces, foot, &format!("{} of {}", index + 1, pages.len()));
        surface.finish();
        sheet.finish();
    }
    let mut outline = Outline::new();
    chapters.into_iter().for_each(|chapter| outline.push_child(chapter));
    document.set_outline(outline);
    let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
    tree.push(grown(&mut tags, 0));
    document.set_tag_tree(tree);
    Ok(())
}

type Page<'s, 'd> = Vec<(f32, &'s Strip<'d>, bool)>;

/// Strips by pages, each with its top and whether it is a head printed once more.
fn paged<'s, 'd>(strips: &'s [Strip<'d>]) -> Vec<Page<'s, 'd>> {
    let mut pages = vec![Page::new()];
    let mut y = 0.0;
    let mut free_until = 0;
    for (place, strip) in strips.iter().enumerate() {
        // What is kept together is looked at once, at its first strip.
        if place >= free_until {
            let kept = 1 + strips[place..].iter().take_while(|strip| strip.keeps).count();
            free_until = place + kept;
            let group = &strips[place..(place + kept).min(strips.len())];
            let height = group.iter().map(|strip| strip.gap + strip.height).sum::<f32>();
            if y > 0.0 && y + height > HEIGHT && height <= HEIGHT {
                pages.push(Page::new());
                y = 0.0;
            }
        }
        if y > 0.0 && y + strip.gap + strip.height > HEIGHT {
            pages.push(Page::new());
            y = 0.0;
        }
        let Some(page) = pages.last_mut() else { continue };
        if page.is_empty() {
            if let Some(head) = strip.head.as_deref() {
                page.push((TOP, head, true));
                y = head.height;
            }
        } else {
            y += strip.gap;
        }
        page.push((TOP + y, strip, false));
        y += strip.height;
    }
    pages
}

fn printed(
    surface: &mut Surface<'_>,
    faces: &Faces,
    print: &Print<'_>,
    (page, top): (usize, f32),
    tag: Option<&mut Tagged>,
) {
    let at = (LEFT + print.x, top + print.y);
    let said = match &print.what {
        What::Text(Piece { said: Some(said), .. }, _) => Some(said.as_str()),
        _ => None,
    };
    let content = match (&tag, &print.what) {
        (None, _) => ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)),
        (_, What::Text(..)) => ContentTag::Span(SpanTag::empty().with_actual_text(said)),
        _ => ContentTag::Other,
    };
    let identifier = surface.start_tagged(content);
    match &print.what {
        What::Text(piece, size) => {
            surface.set_fill(Some(filled(piece.look.ink)));
            faces.write(surface, at, &piece.text, (piece.look.face(), *size), false);
        }
        What::Bar(width, height, ink) => bar(surface, at, (*width, *height), *ink),
        What::Picture(svg, scale) => {
            surface.push_transform(&Transform::from_row(*scale, 0.0, 0.0, *scale, at.0, at.1));
            picture::draw(surface, faces, *svg);
            surface.pop();
        }
        What::Empty => {}
    }
    surface.end_tagged();
    let Some(tag) = tag else { return };
    tag.printed.push(identifier);
    if let (What::Picture(svg, scale), TagKind::Figure(figure)) = (&print.what, &mut tag.kind) {
        let side =
            |name| svg.attribute(name).and_then(|text| text.parse::<f32>().ok()).unwrap_or(1.0) * scale;
        let bounds = Rect::from_xywh(at.0, at.1, side("width"), side("height"));
        *figure = figure.clone().with_bbox(bounds.map(|bounds| BBox::new(page, bounds)));
    }
}

/// What is no part of the text.
fn adorned(surface: &mut Surface<'_>, draw: impl FnOnce(&mut Surface<'_>)) {
    surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)));
    draw(surface);
    surface.end_tagged();
}

fn bar(surface: &mut Surface<'_>, (x, y): (f32, f32), (width, height): (f32, f32), ink: Ink) {
    let Some(rect) = Rect::from_xywh(x, y, width, height) else { return };
    let mut path = PathBuilder::new();
    path.push_rect(rect);
    surface.set_fill(Some(filled(ink)));
    if let Some(path) = path.finish() {
        surface.draw_path(&path);
    }
}

/// The part of a frame beside one strip: a heavy bar, and the other edges.
fn framed(surface: &mut Surface<'_>, top: f32, strip: &Strip<'_>, frame: Frame) {
    let above = if frame.is_first { 0.0 } else { strip.gap };
    let (y, height) = (top - above, strip.height + above);
    bar(surface, (LEFT, y), (4.0, height), frame.ink);
    bar(surface, (LEFT + WIDTH - 0.6, y), (0.6, height), frame.ink);
    if frame.is_first {
        bar(surface, (LEFT, y), (WIDTH, 0.6), frame.ink);
    }
    if frame.is_last {
        bar(surface, (LEFT, y + height - 0.6), (WIDTH, 0.6), frame.ink);
    }
}

/// Boat, revision and first digits on the left, the number of the page on the right.
fn footed(surface: &mut Surface<'_>, faces: &Faces, foot: &str, number: &str) {
    const SIZE: f32 = 8.0;
    surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Footer)));
    surface.set_fill(Some(filled(Ink::Muted)));
    let y = SHEET.1 - 30.0;
    let look = Look { ink: Ink::Muted, ..Look::PLAIN };
    let width = text_width_px(number, Face::Sans, f64::from(SIZE)) as f32;
    let mut letters = Vec::new();
    push_text(&mut letters, foot, look, false);
    let lines = broken(&letters, (WIDTH - width - 20.0) / SIZE);
    for (place, line) in lines.iter().take(2).enumerate() {
        for piece in &line.pieces {
            let at = (LEFT + piece.x * SIZE, y + place as f32 * SIZE * 1.2);
            faces.write(surface, at, &piece.text, (Face::Sans, SIZE), false);
        }
    }
    faces.write(surface, (LEFT + WIDTH - width, y), number, (Face::Sans, SIZE), false);
    surface.end_tagged();
}

/// The tree from the tag at `place` down.
fn grown(tags: &mut [Tagged], place: usize) -> TagGroup {
    let kind = std::mem::replace(&mut tags[place].kind, Tag::NonStruct.into());
    let within = std::mem::take(&mut tags[place].within);
    let mut group = TagGroup::new(kind);
    for child in within {
        group.push(grown(tags, child));
    }
    for identifier in std::mem::take(&mut tags[place].printed) {
        group.push(Node::Leaf(identifier));
    }
    group
}
