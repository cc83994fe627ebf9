//! Words that a button sends or an address carries, each beside what it stands for. Not for: what users read.

/// Kinds of a thing with one word each; a word that is none of them is read as none.
macro_rules! sent {
    ($($(#[$meta:meta])* $kind:ident { $($(#[$doc:meta])* $variant:ident = $word:literal,)+ })+) => { $(
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $kind { $($(#[$doc])* $variant),+ }

        impl $kind {
            /// What is sent.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }

            /// What the word stands for; none for any other.
            #[must_use]
            pub fn of_word(word: &str) -> Option<Self> {
                match word {
                    $($word => Some(Self::$variant),)+
                    _ => None,
                }
            }

            /// What the field of this name sends.
            #[must_use]
            pub fn in_field(form: &crate::query::Query, name: &str) -> Option<Self> {
                form.get(name).and_then(Self::of_word)
            }
        }
    )+ };
}

/// Name of the field in which a pressed button says what it asks for.
pub const DO: &str = "do";

/// Name in an address of what was done before its page was shown.
pub const DONE: &str = "done";

sent! {
    /// How the document of a boat is shown.
    View {
        /// Field by field.
        Sheet = "boat",
        /// As text.
        Text = "text",
    }
    /// What a button of a form of an alternative asks for.
    OfAlternative {
        /// Keep it as it is typed.
        Keep = "keep",
        /// More lines to type in.
        MoreLines = "more",
        /// Move it before the one in front.
        Earlier = "earlier",
        /// Move it behind the next.
        Later = "later",
        /// Take it out.
        Remove = "remove",
    }
    /// Which of two texts is kept.
    OfTwoTexts {
        /// Field by field, as chosen.
        Merge = "merge",
        /// The one that was typed.
        Mine = "mine",
        /// The one that was saved meanwhile.
        Theirs = "theirs",
    }
    /// As what something that was tried is kept.
    As {
        /// An alternative in her document.
        Alternative = "alternative",
        /// Her new revision.
        Revision = "revision",
        /// A boat of her own.
        Copy = "copy",
    }
    /// What was done before a page is shown.
    Done {
        /// Kept as a revision.
        Kept = "kept",
        /// Kept as a boat of her own.
        Beside = "beside",
        /// A revision of before is the latest again.
        BroughtBack = "brought-back",
        /// There was nothing to keep.
        Unchanged = "unchanged",
        /// Checked, and kept as a draft.
        Checked = "checked",
        /// A draft, because a number has two readings.
        Doubtful = "doubtful",
        /// What was typed was thrown away.
        Discarded = "discarded",
        /// Two texts were brought together.
        Settled = "settled",
        /// Kept, under her old name in the list.
        NameTaken = "name-taken",
        /// An alternative was taken out.
        Removed = "removed",
        /// An alternative changed its place.
        Moved = "moved",
    }
}

impl View {
    /// The one that a form says; the sheet where it says none.
    #[must_use]
    pub fn of(form: &crate::query::Query) -> Self {
        Self::in_field(form, "view").unwrap_or(Self::Sheet)
    }
}

/// What a button of the survey sheet asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OfSheet {
    /// Keep it as a revision.
    Keep,
    /// Read it and keep it as a draft.
    Check,
    /// Throw away what was typed.
    Discard,
    /// One more of this section.
    Add(String),
    /// Without what stands at this place.
    Remove(String),
}

const KEEP: &str = "keep";
const CHECK: &str = "check";
const DISCARD: &str = "discard";
const ADD: &str = "add";
const REMOVE: &str = "remove";

impl OfSheet {
    /// What its button sends.
    #[must_use]
    pub fn value(&self) -> String {
        match self {
            Self::Keep => KEEP.to_owned(),
            Self::Check => CHECK.to_owned(),
            Self::Discard => DISCARD.to_owned(),
            Self::Add(section) => format!("{ADD}:{section}"),
            Self::Remove(place) => format!("{REMOVE}:{place}"),
        }
    }

    /// What was asked for; none where no button sends that.
    #[must_use]
    pub fn of_value(value: &str) -> Option<Self> {
        match value.split_once(':') {
            None => match value {
                KEEP => Some(Self::Keep),
                CHECK => Some(Self::Check),
                DISCARD => Some(Self::Discard),
                _ => None,
            },
            Some((ADD, section)) => Some(Self::Add(section.to_owned())),
            Some((REMOVE, place)) => Some(Self::Remove(place.to_owned())),
            Some(_) => None,
        }
    }
}
