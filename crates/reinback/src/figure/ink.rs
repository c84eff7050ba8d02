//! The colours of a figure, from the palette in use.

use egui::Color32;

use super::Ink;
use crate::theme::Tokens;

impl Ink {
    /// The colour in a palette.
    #[must_use]
    pub fn colour(self, tokens: &Tokens) -> Color32 {
        let of = |colours: &[Color32], at: usize| colours.get(at % colours.len().max(1)).copied();
        match self {
            Self::Ink => tokens.ink,
            Self::Soft => tokens.ink_soft,
            Self::Hairline => tokens.line,
            Self::Leather => tokens.leather,
            Self::Fault => tokens.fault,
            Self::Good => tokens.good,
            Self::Caution => tokens.caution,
            Self::Pace(at) => of(&tokens.paces, at).unwrap_or(tokens.ink),
            Self::Kind(at) => of(&tokens.families, at).unwrap_or(tokens.ink),
        }
    }
}
