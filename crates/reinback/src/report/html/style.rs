//! How the page looks: the sheet beside this file, and the program's own colours for it.

use std::fmt::Write as _;

use egui::{Color32, Theme};

use crate::theme::Tokens;

const SHEET: &str = include_str!("style.css");

/// The whole style of the page. Light on paper whatever the screen is.
pub(super) fn style() -> String {
    let (light, dark) = (colours(Theme::Light), colours(Theme::Dark));
    format!(
        ":root{{{light}}}\n@media screen and (prefers-color-scheme:dark){{:root{{{dark}}}}}\n{SHEET}"
    )
}

/// The colours of a theme as properties, by the names they have in the program.
fn colours(theme: Theme) -> String {
    let mut all = String::new();
    for (name, colour) in named(Tokens::of(theme)) {
        // A string takes whatever is written into it.
        let _written = write!(all, "--{name}:{};", hex(colour));
    }
    all
}

/// A picture drawn in the light colours, with the properties in their place: so it follows the
/// look of the page it stands in.
pub(super) fn in_both_looks(svg: &str) -> String {
    let mut svg = svg.to_owned();
    for (name, colour) in named(Tokens::of(Theme::Light)) {
        svg = svg.replace(
            &format!("\"{}\"", hex(colour)),
            &format!("\"var(--{name})\""),
        );
    }
    svg
}

fn hex(colour: Color32) -> String {
    let [red, green, blue, _] = colour.to_array();
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// What each colour is called on the page. Of two that are the same in the light the first is
/// taken in pictures.
fn named(tokens: &Tokens) -> Vec<(String, Color32)> {
    let plain = [
        ("ink", tokens.ink),
        ("soft", tokens.ink_soft),
        ("line", tokens.line),
        ("leather", tokens.leather),
        ("fault", tokens.fault),
        ("good", tokens.good),
        ("caution", tokens.caution),
        ("ground", tokens.ground),
        ("raised", tokens.raised),
        ("stripe", tokens.stripe),
    ];
    let counted = |name: &'static str, colours: &[Color32]| {
        let colours = colours.iter().copied().enumerate();
        let colours = colours.map(|(at, colour)| (format!("{name}-{at}"), colour));
        colours.collect::<Vec<_>>()
    };
    plain
        .into_iter()
        .map(|(name, colour)| (name.to_owned(), colour))
        .chain(counted("pace", &tokens.paces))
        .chain(counted("family", &tokens.families))
        .collect()
}
