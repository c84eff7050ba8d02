//! Commands that go on while their key is held.

use egui::Event;

use super::{KeyListener, Pressed};
use crate::command::Command;

impl KeyListener {
    /// The command that goes on because its key is held: no longer than what is held beside that
    /// key is, and the window has the keyboard.
    #[must_use]
    pub fn held(&self) -> Option<Command> {
        let (_, modifiers, command) = self.holding.filter(|_| self.marking)?;
        (self.modifiers == modifiers).then_some(command)
    }

    /// Notes a key that begins to be held; whether the event only repeats one that is.
    pub(super) fn hold(&mut self, event: &Event, press: Option<Pressed>) -> bool {
        let (key, modifiers) = match event {
            &Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } => (key, modifiers),
            Event::Text(_) => match self.last.key {
                Some(key) => (key, self.modifiers),
                None => return false,
            },
            _ => return false,
        };
        if self.last.repeating {
            return self.holding.is_some_and(|(held, ..)| held == key);
        }
        if let Some(Pressed::Command(command)) = press
            && command.is_held()
        {
            self.holding = Some((key, modifiers, command));
        }
        false
    }
}

#[cfg(test)]
mod tests {
    use egui::{Context, Key, Modifiers, RawInput};

    use super::*;
    use crate::command::Press;
    use crate::keymap::KeyMap;

    fn key_event(key: Key, modifiers: Modifiers) -> Event {
        Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers,
        }
    }

    /// Alt+Right: one press, then held until it, or Alt, is let go, or the keyboard is elsewhere.
    #[test]
    fn a_held_command_ends_with_its_key_and_with_the_keyboard() {
        let ctx = Context::default();
        let release = |key, modifiers| Event::Key {
            key,
            physical_key: None,
            pressed: false,
            repeat: false,
            modifiers,
        };
        let down = key_event(Key::ArrowRight, Modifiers::ALT);
        let plain = key_event(Key::ArrowRight, Modifiers::NONE);
        let alt_up = Event::ModifiersChanged(Modifiers::NONE);
        for (events, presses, held) in [
            (vec![down.clone()], 1, true),
            (vec![down.clone(), down.clone(), down.clone()], 1, true),
            (
                vec![down.clone(), release(Key::ArrowRight, Modifiers::ALT)],
                1,
                false,
            ),
            (vec![down.clone(), release(Key::A, Modifiers::ALT)], 1, true),
            (vec![down.clone(), alt_up.clone()], 1, false),
            // The arrow alone, still down, repeats as itself: it does not step.
            (vec![down.clone(), alt_up, plain.clone(), plain], 1, false),
            (vec![down.clone(), Event::WindowFocused(false)], 1, false),
            (
                vec![
                    down,
                    Event::WindowFocused(false),
                    Event::WindowFocused(true),
                ],
                1,
                false,
            ),
        ] {
            let mut listener = KeyListener {
                marking: true,
                ..KeyListener::default()
            };
            let mut input = RawInput {
                events: events.clone(),
                ..RawInput::default()
            };
            egui::Plugin::input_hook(&mut listener, &ctx, &mut input);
            let expect = held.then_some(Command::CreepForward);
            assert_eq!(listener.held(), expect, "{events:?}");
            let queued: Vec<Pressed> = std::iter::from_fn(|| listener.take()).collect();
            assert_eq!(queued.len(), presses, "{events:?}");
            listener.set_marking(false);
            assert_eq!(listener.held(), None, "another room creeps nowhere");
        }
    }

    /// A rider may creep by a key that writes a sign.
    #[test]
    fn a_sign_is_held_too() {
        let ctx = Context::default();
        let mut map = KeyMap::default();
        map.give(Command::CreepBack, 0, Press::Sign('!'))
            .expect("free");
        let mut listener = KeyListener {
            marking: true,
            ..KeyListener::default()
        };
        listener.set_map(map);
        let mut hear = |events: Vec<Event>| {
            let mut input = RawInput {
                events,
                ..RawInput::default()
            };
            egui::Plugin::input_hook(&mut listener, &ctx, &mut input);
            let presses = std::iter::from_fn(|| listener.take()).count();
            (presses, listener.held())
        };
        let down = || {
            let text = Event::Text("!".into());
            vec![key_event(Key::Num1, Modifiers::SHIFT), text]
        };
        assert_eq!(hear(down()), (1, Some(Command::CreepBack)));
        assert_eq!(hear(down()), (0, Some(Command::CreepBack)));
        let up = Event::Key {
            key: Key::Num1,
            physical_key: None,
            pressed: false,
            repeat: false,
            modifiers: Modifiers::SHIFT,
        };
        assert_eq!(hear(vec![up]), (0, None));
    }
}
