//! The page around every page: header, names of the pages in their groups, switch of colours.
//! Not for: the contents of any page.

use maud::{DOCTYPE, Markup, html};

use wakewright_rooms::Rooms;
use wakewright_rooms::shop::Over;

use super::visitor::{Theme, UNITS, Visitor};
use super::words::in_page_words;
use super::{address, assets};

/// Which page this is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Here {
    /// The page of this word in addresses.
    At(&'static str),
    /// None of those in the navigation.
    Elsewhere,
}

/// Words and names of the pages of a boat that are no rooms, before and after those that are.
const BEFORE_ROOMS: [(&str, &str); 1] = [("boat", "Boat")];
const AFTER_ROOMS: [(&str, &str); 2] = [("trials", "Trials"), ("report", "Report")];

/// The fitter's day: its parts, and the page with which each begins; a room stands where the list of rooms has it.
const DAY: [(&str, &str); 5] = [
    ("the boat", "boat"),
    ("what she does", "drive"),
    ("what to change", "wiring"),
    ("away", "tide"),
    ("looking after", "commission"),
];

/// Words, addresses and names of the pages of the shop.
const SHOP_PAGES: [(&str, &str, &str); 2] = [("boats", "/", "Boats"), ("fleet", "/fleet", "Fleet")];

/// The boat that a page is about.
#[derive(Clone, Copy)]
pub struct About<'a> {
    /// Her name.
    pub name: &'a str,
    /// Her name in addresses.
    pub slug: &'a str,
    /// The questions that she can be asked.
    pub rooms: Rooms,
}

/// What a page tells the frame around it.
pub struct Shell<'a> {
    /// Who looks.
    pub visitor: &'a Visitor,
    /// Title in the browser's tab, without the program's name.
    pub title: &'a str,
    /// The boat that the page is about.
    pub boat: Option<About<'a>>,
    /// Which page this is.
    pub here: Here,
}

/// The whole page with `body` as its contents.
pub fn page(shell: &Shell<'_>, body: &Markup) -> Markup {
    let theme = (shell.visitor.theme != Theme::Device).then(|| shell.visitor.theme.word());
    html! {
        (DOCTYPE)
        html lang="en" data-theme=[theme] {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (shell.title) " – Wakewright" }
                link rel="stylesheet" href=(assets::address("style.css"));
                @for font in ["fonts/serif-regular.woff2", "fonts/sans-regular.woff2"] {
                    link rel="preload" href=(assets::address(font)) as="font" type="font/woff2" crossorigin;
                }
                script type="module" src=(assets::address("app.js")) {}
            }
            body {
                a.skip href="#content" { "To the content" }
                (masthead(shell))
                main id="content" tabindex="-1" { (in_page_words(body, shell.boat.map(|boat| boat.slug))) }
                (colophon(shell.visitor))
            }
        }
    }
}

fn masthead(shell: &Shell<'_>) -> Markup {
    html! {
        header.masthead {
            a.name href="/" { "Wakewright" }
            @if let Some(about) = shell.boat {
                span.boat { (about.name) }
                span.page { (pages(about.rooms).find(|page| shell.here == Here::At(page.0)).map_or("", |page| page.1)) }
            }
            // On a narrow page what follows is shown while this is open.
            details.menu { summary { "Menu" } }
            nav.pages aria-label="Pages" {
                section {
                    h2 { "shop" }
                    ul { @for (word, address, name) in SHOP_PAGES { (link(shell.here == Here::At(word), address, name)) } }
                }
                @if let Some(About { slug, rooms, .. }) = shell.boat {
                    @let pages: Vec<_> = pages(rooms).collect();
                    @for pages in pages.chunk_by(|_, (next, _)| part_of_day(next).is_empty()) {
                        section {
                            h2 { (pages.first().map_or("", |(first, _)| part_of_day(first))) }
                            ul { @for (word, name) in pages { (link(shell.here == Here::At(word), &address::of_boat(slug, word), name)) } }
                        }
                    }
                }
            }
        }
    }
}

/// The part of the day that begins with this page; empty where none does.
fn part_of_day(page: &str) -> &'static str {
    DAY.iter().find(|(_, first)| *first == page).map_or("", |(part, _)| part)
}

fn pages(rooms: Rooms) -> impl Iterator<Item = (&'static str, &'static str)> {
    let rooms = rooms.iter().filter(|room| room.over() != Over::Boats);
    let rooms = rooms.map(|room| (room.card().key, room.card().title));
    BEFORE_ROOMS.into_iter().chain(rooms).chain(AFTER_ROOMS)
}

fn link(is_here: bool, address: &str, name: &str) -> Markup {
    html! { li { a href=(address) aria-current=[is_here.then_some("page")] { (name) } } }
}

fn colophon(visitor: &Visitor) -> Markup {
    html! {
        footer.colophon {
            form.themes method="post" action="/theme" {
                fieldset {
                    legend { "Colours" }
                    @for choice in Theme::ALL {
                        button.quiet name="theme" value=(choice.word()) aria-pressed=(choice == visitor.theme) {
                            (choice.word())
                        }
                    }
                }
                fieldset {
                    legend { "Units" }
                    @for (word, units) in UNITS {
                        button.quiet name="units" value=(word) aria-pressed=(units == visitor.units) { (word) }
                    }
                }
            }
        }
    }
}
