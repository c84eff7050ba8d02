//! How Reinback looks: colours, type and spacing, light and dark.

mod tokens;

use std::sync::Arc;

use egui::{Context, FontData, FontDefinitions, FontFamily, FontId, Stroke, TextStyle, Theme};

pub use tokens::Tokens;

use crate::typeface;

/// The family of headings and of names that stand out.
pub const BOLD: &str = "bold";

/// Installs type, spacing and both palettes into a context.
pub fn install(ctx: &Context) {
    ctx.set_fonts(fonts());
    for theme in [Theme::Light, Theme::Dark] {
        let tokens = Tokens::of(theme);
        ctx.style_mut_of(theme, |style| apply(style, tokens));
    }
}

/// The palette in use.
#[must_use]
pub fn tokens(ui: &egui::Ui) -> &'static Tokens {
    Tokens::of(if ui.visuals().dark_mode {
        Theme::Dark
    } else {
        Theme::Light
    })
}

/// Bold type of a size.
#[must_use]
pub fn bold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(BOLD.into()))
}

/// The typeface sits high in its line; this puts capitals into the middle of buttons.
fn lower() -> egui::FontTweak {
    egui::FontTweak {
        y_offset_factor: 0.06,
        ..egui::FontTweak::default()
    }
}

fn fonts() -> FontDefinitions {
    let mut fonts = FontDefinitions::default();
    let faces: [(&str, &'static [u8], FontFamily); 2] = [
        ("regular", typeface::REGULAR, FontFamily::Proportional),
        ("bold", typeface::BOLD, FontFamily::Name(BOLD.into())),
    ];
    let fallback = fonts
        .families
        .get(&FontFamily::Proportional)
        .cloned()
        .unwrap_or_default();
    for (name, bytes, family) in faces {
        fonts.font_data.insert(
            name.to_owned(),
            Arc::new(FontData::from_static(bytes).tweak(lower())),
        );
        let mut chain = vec![name.to_owned()];
        chain.extend(fallback.iter().cloned());
        fonts.families.insert(family, chain);
    }
    fonts
}

fn apply(style: &mut egui::Style, tokens: &Tokens) {
    style.text_styles = [
        (TextStyle::Small, FontId::proportional(12.5)),
        (TextStyle::Body, FontId::proportional(14.5)),
        (TextStyle::Button, FontId::proportional(14.5)),
        (TextStyle::Monospace, FontId::proportional(14.5)),
        (TextStyle::Heading, bold(19.0)),
    ]
    .into();

    let spacing = &mut style.spacing;
    spacing.item_spacing = egui::vec2(8.0, 6.0);
    spacing.button_padding = egui::vec2(10.0, 5.0);
    spacing.interact_size.y = 28.0;
    spacing.window_margin = egui::Margin::same(16);
    spacing.scroll.floating = true;
    style.interaction.selectable_labels = false;

    let visuals = &mut style.visuals;
    visuals.panel_fill = tokens.ground;
    visuals.window_fill = tokens.raised;
    visuals.window_stroke = Stroke::new(1.0, tokens.line);
    visuals.extreme_bg_color = tokens.field;
    visuals.text_edit_bg_color = Some(tokens.field);
    visuals.faint_bg_color = tokens.stripe;
    visuals.code_bg_color = tokens.stripe;
    visuals.hyperlink_color = tokens.leather;
    visuals.warn_fg_color = tokens.caution;
    visuals.error_fg_color = tokens.fault;
    visuals.selection.bg_fill = tokens.chosen;
    visuals.selection.stroke = Stroke::new(1.0, tokens.ink);
    visuals.weak_text_color = Some(tokens.ink_soft);
    visuals.window_corner_radius = 10.into();
    visuals.menu_corner_radius = 8.into();

    let widgets = &mut visuals.widgets;
    let looks = [
        (
            &mut widgets.noninteractive,
            tokens.ground,
            tokens.line,
            tokens.ink,
        ),
        (
            &mut widgets.inactive,
            tokens.button,
            tokens.line,
            tokens.ink,
        ),
        (
            &mut widgets.hovered,
            tokens.button_hover,
            tokens.leather,
            tokens.ink,
        ),
        (
            &mut widgets.active,
            tokens.chosen,
            tokens.leather,
            tokens.ink,
        ),
        (
            &mut widgets.open,
            tokens.button_hover,
            tokens.line,
            tokens.ink,
        ),
    ];
    for (look, fill, line, ink) in looks {
        look.bg_fill = fill;
        look.weak_bg_fill = fill;
        look.bg_stroke = Stroke::new(1.0, line);
        look.fg_stroke = Stroke::new(1.2, ink);
        look.corner_radius = 6.into();
        look.expansion = 0.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Contrast of text against what it stands on, by WCAG 2.2 (w3.org/TR/WCAG22, "contrast
    /// ratio" and "relative luminance"): at least 4.5 for text, 3 for shapes that carry meaning.
    #[test]
    fn contrast_is_enough() {
        for theme in [Theme::Light, Theme::Dark] {
            let t = Tokens::of(theme);
            for ground in [t.ground, t.raised, t.button, t.field, t.chosen, t.stripe] {
                check_contrast(theme, t.ink, ground, 4.5);
                check_contrast(theme, t.ink_soft, ground, 4.5);
            }
            for (shape, ground) in [
                (t.fault, t.ground),
                (t.good, t.ground),
                (t.leather, t.ground),
                (t.caution, t.ground),
            ] {
                check_contrast(theme, shape, ground, 4.5);
            }
            for family in t.families {
                check_contrast(theme, t.on_family, family, 4.5);
            }
        }
    }

    fn check_contrast(theme: Theme, ink: egui::Color32, ground: egui::Color32, least: f32) {
        let luminance = |c: egui::Color32| {
            let [r, g, b, _] = egui::Rgba::from(c).to_array();
            0.2126 * r + 0.7152 * g + 0.0722 * b
        };
        let (a, b) = (luminance(ink), luminance(ground));
        let ratio = (a.max(b) + 0.05) / (a.min(b) + 0.05);
        assert!(
            ratio >= least,
            "{theme:?}: {ink:?} on {ground:?} has only {ratio:.2}"
        );
    }
}
