//! What a figure is: its names, its kind of quantity, and where it comes from.

use wakewright_units::{Quantity, file_unit};

/// A figure, declared once; every output takes its names, unit and origin from here.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// Stable name for commands and files. JSON and CSV add the file unit (`drag` becomes `drag_n`).
    pub key: &'static str,
    /// Head of a narrow table, lower case, without unit; a line break where it may be broken.
    pub head: &'static str,
    /// In words, lower case.
    pub label: &'static str,
    /// Kind of quantity, which decides the unit it is written in.
    pub quantity: Quantity,
    /// Where it comes from.
    pub origin: Origin,
}

/// Where a figure comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Origin {
    /// A formula.
    Formula {
        /// With its symbols explained.
        formula: &'static str,
        /// Keys of the sources.
        sources: &'static [&'static str],
        /// Document fields and model factors that it stands on.
        inputs: &'static [&'static str],
        /// Where the formula holds, and how well.
        validity: &'static str,
    },
    /// It is what was asked, or as the document states it: nothing was computed.
    Asked,
    /// A count of what lies on view, or a part of a figure that opens: this one, by its key.
    Of(&'static str),
    /// No formula can be opened, for this reason.
    Because(&'static str),
}

/// Which way of a figure is better, where options compare.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Better {
    /// More is better.
    More,
    /// Less is better.
    Less,
    /// Neither: it differs.
    Neither,
}

impl Figure {
    /// A figure that opens to its formula.
    #[must_use]
    pub const fn computed(
        key: &'static str,
        head: &'static str,
        label: &'static str,
        quantity: Quantity,
        origin: Origin,
    ) -> Self {
        Self { key, head, label, quantity, origin }
    }

    /// What was asked, or what the document states.
    #[must_use]
    pub const fn asked(
        key: &'static str,
        head: &'static str,
        label: &'static str,
        quantity: Quantity,
    ) -> Self {
        Self { key, head, label, quantity, origin: Origin::Asked }
    }

    /// A part of a figure that opens, the one of the key `of`.
    #[must_use]
    pub const fn part(
        key: &'static str,
        head: &'static str,
        label: &'static str,
        quantity: Quantity,
        of: &'static str,
    ) -> Self {
        Self::computed(key, head, label, quantity, Origin::Of(of))
    }

    /// Words, a count or a mark, which have no unit.
    #[must_use]
    pub const fn plain(key: &'static str, head: &'static str, label: &'static str, origin: Origin) -> Self {
        Self { key, head, label, quantity: Quantity::Ratio, origin }
    }

    /// Its name in files, with their unit: `drag_n`.
    #[must_use]
    pub fn file_name(&self) -> String {
        let (key, (suffix, _)) = (self.key, file_unit(self.quantity));
        if suffix.is_empty() || key.ends_with(&format!("_{suffix}")) {
            key.to_owned()
        } else {
            format!("{key}_{suffix}")
        }
    }

    /// True when its formula can be opened.
    #[must_use]
    pub const fn opens(&self) -> bool {
        matches!(self.origin, Origin::Formula { .. })
    }
}
