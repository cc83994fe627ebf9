//! Kinds of a thing with one word each, written once. Not for: words in which people write the same thing.

macro_rules! worded {
    ($($(#[$meta:meta])* $kind:ident { $($variant:ident = $word:literal, $meaning:literal;)+ })+) => { $(
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
        pub enum $kind { $(#[doc = $meaning] #[serde(rename = $word)] $variant),+ }

        impl $kind {
            /// All of them, in the order in which they are offered.
            pub const ALL: [Self; [$($word),+].len()] = [$(Self::$variant),+];

            /// Its word in documents and forms.
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
        }
    )+ };
}
