//! A paper as a tagged PDF, set from the markup of the same paper in HTML: there is no second list of what stands on it.
//! A4, the embedded fonts, bookmarks, the foot on every page. Letters that the fonts lack stand as their numbers, and are
//! whole where they are copied or read aloud. Not for: what stands on a paper.

mod faces;
mod lines;
mod pages;
mod picture;
mod setting;
mod strips;
mod table;

use krilla::SerializeSettings;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::document::Document;
use krilla::metadata::{DateTime, Metadata};
use maud::Markup;

use crate::frame::{Head, harmless};

/// The file. Never fails on what somebody typed; the error is told as it is.
/// # Errors
/// The markup is no tree, or the document breaks a rule of PDF/UA-1, which is held while it is written.
pub fn file(head: &Head<'_>, body: &Markup) -> Result<Vec<u8>, String> {
    let markup = format!("<main>{}</main>", harmless(&body.0));
    let tree = roxmltree::Document::parse(&markup).map_err(|why| format!("the paper is no tree: {why}"))?;
    let set = setting::set(tree.root_element());
    let configuration = ConfigurationBuilder::new().with_accessibility_validator(Accessibility::UA1).finish();
    let configuration = configuration.map_err(|why| format!("{why:?}"))?;
    let mut document =
        Document::new_with(SerializeSettings { configuration, ..SerializeSettings::default() });
    pages::print(&mut document, set, head.foot)?;
    document.set_metadata(metadata(head));
    document.finish().map_err(|why| why.to_string())
}

/// What a reader's program shows of the file, and what `--verify` reads; the day is the revision's.
fn metadata(head: &Head<'_>) -> Metadata {
    let claims: Vec<String> =
        head.claims().iter().map(|(name, value)| format!("wakewright-{name}={value}")).collect();
    let metadata = Metadata::new()
        .title(harmless(head.title))
        .language("en".to_owned())
        .creator(format!("Wakewright {}", crate::VERSION))
        .keywords(vec![harmless(&claims.join(", "))]);
    let parts = head.day.map(|day| day.split('-').map(str::parse::<u16>).collect::<Vec<_>>());
    match parts.as_deref() {
        Some([Ok(year), Ok(month), Ok(day)]) => {
            let small = |number: &u16| u8::try_from(*number).unwrap_or(1);
            metadata.creation_date(DateTime::new(*year).month(small(month)).day(small(day)))
        }
        _ => metadata,
    }
}
