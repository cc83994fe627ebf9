//! What stands below a finding: sheets, pictures, words, cautions, in the order in which they are read.

use wakewright_core::sheet::{Filled, Tone};
use wakewright_picture::Picture;

/// Where a picture stands on the page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Beside the sliders, or above them on a narrow page.
    Chart,
    /// Across the page, below.
    Below,
}

/// One paragraph or several.
#[derive(Debug)]
pub struct Paragraphs(Vec<String>);

impl From<String> for Paragraphs {
    fn from(text: String) -> Self {
        Self(vec![text])
    }
}

impl From<Vec<String>> for Paragraphs {
    fn from(text: Vec<String>) -> Self {
        Self(text)
    }
}

/// One of them.
pub enum Block {
    /// A sheet.
    Sheet(Filled),
    /// A picture; a terminal shows its words, where it has any.
    Picture {
        /// Name for `draw`, and for its id on the page.
        key: &'static str,
        /// What it shows, over it.
        caption: String,
        /// The picture.
        picture: Box<dyn Picture + Send + Sync>,
        /// Where it stands.
        place: Place,
        /// What it says most, for where it is folded away; may be empty.
        chief: String,
        /// In place of it in a terminal: lines as they stand, empty when there is nothing.
        in_text: String,
    },
    /// Words under a heading.
    Words {
        /// The heading; empty for none.
        title: String,
        /// Paragraphs.
        text: Vec<String>,
        /// What they say most, for where they are folded away; may be empty.
        chief: String,
        /// What fails or can hurt: read before the cautions, and never folded away.
        is_grave: bool,
    },
    /// Lines as they stand in a terminal; a page has its own way of showing what they show.
    Lines(String),
    /// A caution, where the decision is taken.
    Caution {
        /// Its heading.
        title: String,
        /// The caution.
        text: String,
    },
}

impl Block {
    /// The name under which it stands folded below the pictures; none where it is empty or stands elsewhere.
    #[must_use]
    pub fn key_below(&self) -> Option<&str> {
        match self {
            Self::Sheet(sheet) => (!sheet.rows.is_empty()).then_some(sheet.key),
            Self::Picture { key, place, .. } => (*place == Place::Below).then_some(key),
            Self::Words { title, .. } => (!title.is_empty()).then_some(title),
            Self::Lines(_) | Self::Caution { .. } => None,
        }
    }

    /// The sheet of this key among those that are filled.
    #[must_use]
    pub fn sheet(sheets: &[Filled], key: &str) -> Self {
        let filled = sheets.iter().find(|sheet| sheet.key == key);
        filled.cloned().map_or_else(|| Self::words("", Vec::new()), Self::Sheet)
    }

    /// The same sheet with those rows alone that are kept, by their places.
    #[must_use]
    pub fn with_rows(self, is_kept: impl Fn(usize) -> bool) -> Self {
        match self {
            Self::Sheet(filled) => Self::Sheet(filled.with_rows(is_kept)),
            other => other,
        }
    }

    /// The same sheet under another title.
    #[must_use]
    pub fn title(mut self, title: &str) -> Self {
        if let Self::Sheet(filled) = &mut self {
            title.clone_into(&mut filled.title);
        }
        self
    }

    /// The same sheet with a word on how it is read.
    #[must_use]
    pub fn remark(mut self, remark: impl Into<String>) -> Self {
        if let Self::Sheet(filled) = &mut self {
            filled.remark = remark.into();
        }
        self
    }

    /// The same sheet with the row that is looked at marked, where there is one.
    #[must_use]
    pub fn looking_at(mut self, row: Option<usize>) -> Self {
        if let (Self::Sheet(filled), Some(row)) = (&mut self, row)
            && let Some(row) = filled.rows.get_mut(row)
        {
            row.tone = Tone::Strong;
        }
        self
    }

    /// The same with the figure that says most, for where it is folded away.
    #[must_use]
    pub fn chief(mut self, words: impl Into<String>) -> Self {
        match &mut self {
            Self::Sheet(Filled { chief, .. }) | Self::Picture { chief, .. } | Self::Words { chief, .. } => {
                *chief = words.into();
            }
            Self::Lines(_) | Self::Caution { .. } => {}
        }
        self
    }

    /// The same picture with lines that stand in its place in a terminal.
    #[must_use]
    pub fn in_text(mut self, lines: String) -> Self {
        if let Self::Picture { in_text, .. } = &mut self {
            *in_text = lines;
        }
        self
    }

    /// A caution, where the decision is taken.
    #[must_use]
    pub fn caution(title: &str, text: impl Into<String>) -> Self {
        Self::Caution { title: title.to_owned(), text: text.into() }
    }

    /// Words under a heading.
    #[must_use]
    pub fn words(title: &str, text: impl Into<Paragraphs>) -> Self {
        Self::Words { title: title.to_owned(), text: text.into().0, chief: String::new(), is_grave: false }
    }

    /// The same words, grave where something fails or can hurt.
    #[must_use]
    pub fn grave(mut self, fails: bool) -> Self {
        if let Self::Words { is_grave, .. } = &mut self {
            *is_grave = fails;
        }
        self
    }

    /// A picture without words for a terminal.
    #[must_use]
    pub fn picture(
        key: &'static str,
        caption: &str,
        place: Place,
        picture: impl Picture + Send + Sync + 'static,
    ) -> Self {
        Self::Picture {
            key,
            caption: caption.to_owned(),
            picture: Box::new(picture),
            place,
            chief: String::new(),
            in_text: String::new(),
        }
    }
}

impl std::fmt::Debug for Block {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Sheet(filled) => f.debug_tuple("Sheet").field(&filled.key).finish(),
            Self::Picture { key, .. } => f.debug_tuple("Picture").field(key).finish(),
            Self::Lines(_) => f.write_str("Lines"),
            Self::Words { title, .. } => f.debug_tuple("Words").field(title).finish(),
            Self::Caution { title, .. } => f.debug_tuple("Caution").field(title).finish(),
        }
    }
}
