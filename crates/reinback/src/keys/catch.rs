//! The next press as a command's new key, rather than as anything it would do.

use egui::{Event, Key, KeyboardShortcut, Modifiers};

use super::{DIGITS, KeyListener};
use crate::command::Press;
use crate::keymap;

/// What came of waiting for a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Caught {
    /// A key.
    Press(Press),
    /// Escape: it stays as it was.
    Nothing,
}

impl KeyListener {
    /// Waits for the next press, which does nothing then, or waits no more.
    pub fn catch(&mut self, catching: bool) {
        self.catching = catching;
        self.caught = None;
    }

    /// What came of waiting, once.
    pub fn caught(&mut self) -> Option<Caught> {
        self.caught.take()
    }

    /// The digit that is pressed with Shift.
    fn shifted_digit(&self) -> Option<Key> {
        let digit = self.last.digit.filter(|_| self.modifiers.shift)?;
        DIGITS.get(digit.wrapping_sub(1)).copied()
    }

    /// Takes the first press out of the events. A key and the sign it writes come together.
    pub(super) fn catch_in(&mut self, events: &mut Vec<Event>) {
        let mut press = None;
        events.retain(|event| {
            self.follow(event);
            match event {
                Event::Key {
                    key,
                    pressed: true,
                    modifiers,
                    ..
                } => {
                    if press.is_none() && !self.last.repeating && !is_modifier(*key) {
                        // A digit is the same with Shift, whatever sign it writes then.
                        let digit = self.shifted_digit().unwrap_or(*key);
                        let shortcut = KeyboardShortcut::new(keymap::held(*modifiers), digit);
                        press = Some(Press::Key(shortcut));
                    }
                    false
                }
                Event::Text(text) => {
                    if self.shifted_digit().is_none() {
                        press = with_text(press, text);
                    }
                    false
                }
                _ => true,
            }
        });
        if let Some(press) = press {
            let escape = Press::Key(KeyboardShortcut::new(Modifiers::NONE, Key::Escape));
            self.caught = Some(match press {
                press if press == escape => Caught::Nothing,
                press => Caught::Press(press),
            });
            self.catching = false;
        }
    }
}

/// The press that a key and its text make. A sign is taken as the keyboard writes it, so that it is
/// the same on every layout; letters with Shift, and Space, are taken as keys.
fn with_text(key: Option<Press>, text: &str) -> Option<Press> {
    let mut signs = text.chars();
    let (Some(sign), None) = (signs.next(), signs.next()) else {
        return key;
    };
    let held = match key {
        Some(Press::Key(shortcut)) => shortcut.modifiers,
        _ => Modifiers::NONE,
    };
    let as_key = sign.is_whitespace() || held.alt || held.command || held.ctrl;
    if as_key || (held.shift && sign.is_alphanumeric()) {
        key
    } else {
        Some(Press::Sign(sign.to_lowercase().next().unwrap_or(sign)))
    }
}

/// Whether a key is only held while another is pressed.
fn is_modifier(key: Key) -> bool {
    use Key::{
        AltLeft, AltRight, ControlLeft, ControlRight, ShiftLeft, ShiftRight, SuperLeft, SuperRight,
    };
    matches!(
        key,
        AltLeft
            | AltRight
            | ControlLeft
            | ControlRight
            | ShiftLeft
            | ShiftRight
            | SuperLeft
            | SuperRight
    )
}

#[cfg(test)]
mod tests {
    use egui::{Context, RawInput};

    use super::*;
    use crate::keys::tests::key_event;

    fn check_caught(events: &[Event], expect: Option<Caught>) {
        let ctx = Context::default();
        let mut listener = KeyListener {
            marking: true,
            ..KeyListener::default()
        };
        listener.catch(true);
        let mut input = RawInput {
            events: events.to_vec(),
            ..RawInput::default()
        };
        egui::Plugin::input_hook(&mut listener, &ctx, &mut input);
        assert_eq!(listener.caught(), expect, "{events:?}");
        assert_eq!(listener.take(), None, "what is caught does nothing");
        assert_eq!(input.events, [], "and nobody else hears it");
    }

    #[test]
    fn a_new_key_is_caught() {
        let text = |text: &str| Event::Text(text.into());
        let key = |modifiers, key| {
            Some(Caught::Press(Press::Key(KeyboardShortcut::new(
                modifiers, key,
            ))))
        };
        let sign = |sign| Some(Caught::Press(Press::Sign(sign)));
        check_caught(
            &[key_event(Key::R, Modifiers::COMMAND | Modifiers::CTRL)],
            key(Modifiers::COMMAND, Key::R),
        );
        check_caught(&[key_event(Key::ShiftLeft, Modifiers::SHIFT)], None);
        check_caught(
            &[key_event(Key::Num7, Modifiers::SHIFT), text("/")],
            sign('/'),
        );
        check_caught(&[text("!")], sign('!'));
        check_caught(&[text("M")], sign('m'));
        let shifted_one = |modifiers| Event::Key {
            key: Key::Exclamationmark,
            physical_key: Some(Key::Num1),
            pressed: true,
            repeat: false,
            modifiers,
        };
        check_caught(
            &[shifted_one(Modifiers::SHIFT), text("!")],
            key(Modifiers::SHIFT, Key::Num1),
        );
        let both = Modifiers::COMMAND | Modifiers::SHIFT;
        check_caught(&[shifted_one(both)], key(both, Key::Num1));
        check_caught(&[key_event(Key::H, Modifiers::NONE), text("h")], sign('h'));
        check_caught(
            &[key_event(Key::H, Modifiers::SHIFT), text("H")],
            key(Modifiers::SHIFT, Key::H),
        );
        check_caught(
            &[key_event(Key::Space, Modifiers::NONE), text(" ")],
            key(Modifiers::NONE, Key::Space),
        );
        check_caught(
            &[key_event(Key::Escape, Modifiers::NONE)],
            Some(Caught::Nothing),
        );
    }
}
