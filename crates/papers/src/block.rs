//! Blocks of an answer as they stand on a paper: tables, figures with their bands and what they stand on, pictures.
//! Not for: which of them stand there.

use maud::{Markup, PreEscaped, html};
use wakewright_core::notice::{Notice, Severity};
use wakewright_core::sheet::{Filled, Form, Shown, Value};
use wakewright_picture::{Frame, Picture, Theme};
use wakewright_rooms::Rooms;
use wakewright_rooms::boats::Loaded;
use wakewright_rooms::explain::stands_on;
use wakewright_rooms::room::Block;
use wakewright_rooms::sheets::{cell_text, titled_of};
use wakewright_rooms::sources::in_words;
use wakewright_rooms::text::{Align, Ink, Paper, Titled};

/// What the blocks of a paper are written with.
#[derive(Clone, Copy)]
pub struct Press<'a> {
    /// The rooms, in which the origin of a figure is looked up.
    pub rooms: Rooms,
    /// The boat.
    pub boat: &'a Loaded,
    /// Units.
    pub paper: &'a Paper,
    /// Width of pictures, px.
    pub width_px: f64,
    /// Of which room, which makes ids unique.
    pub room: &'static str,
}

impl Press<'_> {
    /// One block; nothing where there is nothing to show.
    pub fn block(&self, block: &Block) -> Markup {
        match block {
            Block::Sheet(sheet) if sheet.rows.is_empty() => html! {},
            Block::Sheet(sheet) if sheet.form == Form::List => self.figures(sheet),
            Block::Sheet(sheet) => table(&titled_of(sheet, self.paper)),
            Block::Picture { key, caption, picture, .. } => self.picture(picture.as_ref(), key, caption),
            Block::Words { title, text, .. } => html! {
                @if !title.is_empty() { h3 { (title) } }
                @for paragraph in text { p { (in_words(paragraph)) } }
            },
            Block::Caution { title, text } => html! { div.caution { strong { (title) } p { (text) } } },
            Block::Lines(_) => html! {},
        }
    }

    /// A picture in the paper's colours.
    pub fn picture(&self, picture: &(impl Picture + ?Sized), key: &str, caption: &str) -> Markup {
        let id = format!("{}-{key}", self.room);
        let svg = picture.to_svg(&Frame::new(self.width_px, Theme::Page, &id));
        html! { figure { figcaption { (caption) } (PreEscaped(svg)) } }
    }

    /// Figures with their bands, and how many of the inputs of each are known how.
    fn figures(&self, sheet: &Filled) -> Markup {
        let values = sheet.rows.first().map(|row| row.values.as_slice()).unwrap_or_default();
        let shown = sheet.heads.iter().zip(values);
        let shown = shown.filter(|(head, value)| head.shown != Shown::InFiles && **value != Value::Nothing);
        html! {
            (scrolling(&sheet.title, &html! {
                table.figures {
                    caption { (sheet.title) }
                    thead { tr {
                        th scope="col" { "figure" } th.number scope="col" { "value" } th.number scope="col" { "80 % band" }
                        th.mark scope="col" { "stands on" }
                    } }
                    tbody { @for (head, value) in shown {
                        @let figure = head.figure;
                        tr data-figure=(figure.key) {
                            th scope="row" { (figure.label) }
                            td.number { (value.interval().map_or_else(|| cell_text(value), |i| self.paper.quantity(i.value, figure.quantity))) }
                            td.number { (match value {
                                Value::Band(band) if band.p10 < band.p90 => self.paper.band(*band, figure.quantity),
                                _ => "–".to_owned(),
                            }) }
                            td.mark { (stands_on(self.rooms, figure, self.boat)) }
                        }
                    } }
                }
            }))
            @if !sheet.remark.is_empty() { p.aside { (sheet.remark) } }
        }
    }
}

/// What scrolls by itself where it is wider than the page, with a thumb or by the keyboard.
pub fn scrolling(title: &str, contents: &Markup) -> Markup {
    html! { div.scroll role="region" aria-label=(title) tabindex="0" { (contents) } }
}

/// A table as the commands print it; it scrolls by itself where it is wider than the page.
pub fn table(titled: &Titled) -> Markup {
    let columns = titled.table.columns();
    html! {
        (scrolling(&titled.title, &html! {
            table.across[titled.table.is_across] {
                caption { (titled.title) }
                thead { tr {
                    @for (head, align) in columns {
                        @if head.is_empty() { td {} } @else { th.number[*align == Align::Right] scope="col" { (head.replace('\n', " ")) } }
                    }
                } }
                tbody {
                    @for (ink, cells) in titled.table.rows() {
                        tr.binds[*ink == Ink::Binds] .looked-at[*ink == Ink::Strong] .out[*ink == Ink::Faint] {
                            @for (place, (cell, (_, align))) in cells.iter().zip(columns).enumerate() {
                                @let is_number = *align == Align::Right;
                                @if place == 0 {
                                    th.number[is_number] scope="row" { (printed(cell)) }
                                } @else {
                                    td.number[is_number] { (printed(cell)) }
                                }
                            }
                        }
                    }
                }
            }
        }))
        @if !titled.note.is_empty() { p.aside { (titled.note.replace(" -: ", " –: ")) } }
    }
}

/// A cell of a terminal's table as print has it: dashes between figures, and for what there is not; days stay as they are.
pub fn printed(cell: &str) -> String {
    let letters: Vec<char> = cell.chars().collect();
    let is_figure = |c: Option<&char>| c.is_some_and(|c| c.is_ascii_digit() || *c == '−');
    let is_day =
        |i: usize| [i.checked_sub(3), Some(i + 3)].iter().flatten().any(|&i| letters.get(i) == Some(&'-'));
    let dash = |(i, &c): (usize, &char)| match c {
        '-' if letters.len() == 1 => '–',
        '-' if is_day(i) => '-',
        '-' if i > 0 && is_figure(letters.get(i - 1)) && is_figure(letters.get(i + 1)) => '–',
        c => c,
    };
    letters.iter().enumerate().map(dash).collect()
}

/// Texts of the cautions among `notices`, each once.
pub fn cautions<'n>(notices: impl Iterator<Item = &'n Notice>) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    for notice in notices.filter(|notice| notice.severity() == Severity::Caution) {
        let text = notice.text();
        if !said.contains(&text) {
            said.push(text);
        }
    }
    said
}
