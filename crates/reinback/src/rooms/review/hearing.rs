//! The control of the sound: on or off, how loud, and why nothing is heard.

use egui::{Slider, Ui, WidgetInfo};

use super::ReviewData;
use crate::action::Action;
use crate::command::Command;
use crate::stage::Hearing;
use crate::theme;
use crate::widgets::{Icon, icon_button};

/// What the control shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SoundShown {
    /// What can be heard.
    pub hearing: Hearing,
    /// How loud, 0 to 1.
    pub volume: f32,
    /// Whether the rider has put it off.
    pub muted: bool,
}

/// Width of the volume's rail, in points.
const RAIL: f32 = 64.0;

/// Draws the control; laid out from right to left.
pub(super) fn hearing_ui(ui: &mut Ui, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    let SoundShown {
        hearing,
        volume,
        muted,
    } = data.sound;
    if hearing == Hearing::NoFilm {
        return;
    }
    if let Some((short, long)) = why_silent(hearing) {
        let ink = theme::tokens(ui).ink_soft;
        ui.label(egui::RichText::new(short).small().color(ink))
            .on_hover_text(long);
        icon_button(ui, Icon::Silent, long, false);
        return;
    }
    let mut loud = volume * 100.0;
    ui.scope(|ui| {
        ui.spacing_mut().slider_width = RAIL;
        let slider = Slider::new(&mut loud, 0.0..=100.0)
            .show_value(false)
            .trailing_fill(true);
        let response = ui.add_enabled(!muted, slider);
        response.widget_info(|| WidgetInfo::slider(!muted, f64::from(loud), "Volume"));
        if response.changed() {
            out.push(Action::Volume(loud / 100.0));
        }
        response.on_hover_text(format!("Volume, {loud:.0} %"));
    });
    let key = Command::Mute.key_text(ui.ctx());
    let (icon, name) = if muted {
        (Icon::Silent, format!("Put the sound on ({key})"))
    } else {
        (Icon::Sound, format!("Put the sound off ({key})"))
    };
    if icon_button(ui, icon, &name, true).clicked() {
        out.push(Action::Run(Command::Mute));
    }
}

/// Why nothing can be heard, in short and in full.
fn why_silent(hearing: Hearing) -> Option<(&'static str, &'static str)> {
    match hearing {
        Hearing::NoFilm | Hearing::Sound => None,
        Hearing::NoSound => Some(("no sound", "This film has no sound")),
        Hearing::Unreadable => Some((
            "no sound",
            "This film's sound is damaged, or coded in a way that cannot be played here",
        )),
        Hearing::NoDevice => Some((
            "no loudspeaker",
            "No loudspeaker was found; connect one, then pause and play again",
        )),
        Hearing::Lost => Some((
            "loudspeaker gone",
            "The loudspeaker went away; pause and play again once it is back",
        )),
        Hearing::OutOfSpeed => Some(("silent", "Sound is played from half to double speed")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_silence_has_its_reason() {
        for hearing in [
            Hearing::NoSound,
            Hearing::Unreadable,
            Hearing::NoDevice,
            Hearing::Lost,
            Hearing::OutOfSpeed,
        ] {
            let (short, long) = why_silent(hearing).unwrap();
            assert!(short.len() < 20 && long.len() > short.len(), "{hearing:?}");
            assert!(!long.ends_with('.'), "{long}");
        }
        assert_eq!(why_silent(Hearing::Sound), None);
    }
}
