//! Colours by role. The page's style sheet holds the same values under the same names; a test compares them.

/// Which colours a picture is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Theme {
    /// Ink on paper.
    #[default]
    Light,
    /// Chalk on slate.
    Dark,
    /// Dim red on near-black, for use on deck at night.
    Night,
    /// The page's own CSS custom properties; nothing is embedded.
    Page,
}

/// A colour by what it is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// The paper.
    Ground,
    /// The lighter sheet on which a plot stands.
    Raised,
    /// Lines and text.
    Ink,
    /// Secondary text and lines.
    Muted,
    /// Fine grid.
    Grid,
    /// Lines of hatching and frames.
    Hatch,
    /// Area of a band, body of a bar.
    Tint,
    /// Red lead: this is what binds.
    Binds,
    /// Verdigris: passes, or reaches the water.
    Passes,
}

impl Ink {
    /// Every role, in the order of the style sheet.
    pub const ALL: [Self; 9] = [
        Self::Ground,
        Self::Raised,
        Self::Ink,
        Self::Muted,
        Self::Grid,
        Self::Hatch,
        Self::Tint,
        Self::Binds,
        Self::Passes,
    ];

    /// Name of the CSS custom property, without the dashes.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Ground => "ground",
            Self::Raised => "raised",
            Self::Ink => "ink",
            Self::Muted => "muted",
            Self::Grid => "grid",
            Self::Hatch => "hatch",
            Self::Tint => "tint",
            Self::Binds => "binds",
            Self::Passes => "passes",
        }
    }
}

impl Theme {
    /// The themes that have colours of their own.
    pub const CONCRETE: [Self; 3] = [Self::Light, Self::Dark, Self::Night];

    /// The colour of a role as it is written into the SVG.
    #[must_use]
    pub const fn paint(self, ink: Ink) -> &'static str {
        match self {
            Self::Light => match ink {
                Ink::Ground => "#f4efe2",
                Ink::Raised => "#fbf8f0",
                Ink::Ink => "#1b232b",
                Ink::Muted => "#5a5f5b",
                Ink::Grid => "#e5dec9",
                Ink::Hatch => "#c3b895",
                Ink::Tint => "#dccfae",
                Ink::Binds => "#ab2f17",
                Ink::Passes => "#1f6b5c",
            },
            Self::Dark => match ink {
                Ink::Ground => "#171c1f",
                Ink::Raised => "#1d2428",
                Ink::Ink => "#ebe5d6",
                Ink::Muted => "#a5a89f",
                Ink::Grid => "#2a3337",
                Ink::Hatch => "#4b5659",
                Ink::Tint => "#3a4547",
                Ink::Binds => "#f37b5c",
                Ink::Passes => "#6cc0a8",
            },
            Self::Night => match ink {
                Ink::Ground => "#0b0403",
                Ink::Raised => "#110605",
                Ink::Ink => "#de654e",
                Ink::Muted => "#cb543e",
                Ink::Grid => "#2a0d09",
                Ink::Hatch => "#5c2016",
                Ink::Tint => "#3a120c",
                Ink::Binds => "#ff7256",
                Ink::Passes => "#c07a3c",
            },
            Self::Page => match ink {
                Ink::Ground => "var(--ground)",
                Ink::Raised => "var(--raised)",
                Ink::Ink => "var(--ink)",
                Ink::Muted => "var(--muted)",
                Ink::Grid => "var(--grid)",
                Ink::Hatch => "var(--hatch)",
                Ink::Tint => "var(--tint)",
                Ink::Binds => "var(--binds)",
                Ink::Passes => "var(--passes)",
            },
        }
    }
}
