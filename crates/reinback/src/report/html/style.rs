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
    let tokens = Tokens::of(theme);
    let mut all = String::new();
    let mut one = |name: &str, colour: Color32| {
        let [red, green, blue, _] = colour.to_array();
        // A string takes whatever is written into it.
        let _written = write!(all, "--{name}:#{red:02x}{green:02x}{blue:02x};");
    };
    one("ground", tokens.ground);
    one("raised", tokens.raised);
    one("field", tokens.field);
    one("stripe", tokens.stripe);
    one("line", tokens.line);
    one("ink", tokens.ink);
    one("soft", tokens.ink_soft);
    one("leather", tokens.leather);
    one("fault", tokens.fault);
    one("good", tokens.good);
    one("caution", tokens.caution);
    all
}
