//! Listens to the keyboard before any widget does.
//!
//! A plugin rather than shortcuts read while drawing: arrows would move the focus and Space
//! would press a focused button before a room sees them. Text being typed is left alone.

mod catch;
mod hold;

use std::collections::{BTreeSet, VecDeque};
use std::sync::Arc;

use egui::{Context, Event, Key, Modifiers, RawInput};

use crate::command::{Command, Press, Reach};
use crate::keymap::KeyMap;
pub use catch::Caught;

/// The keys that hold in this window.
#[must_use]
pub fn map(ctx: &Context) -> Arc<KeyMap> {
    let listener = ctx.plugin_opt::<KeyListener>();
    listener.map_or_else(Arc::default, |listener| listener.lock().map.clone())
}

/// How many outlines have a key: beyond, the signs that Shift writes with a digit are commands on
/// one keyboard or another.
pub const OUTLINES: usize = 6;

/// What the rider pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pressed {
    /// The key of a command.
    Command(Command),
    /// A letter of an exercise's short form.
    Letter(char),
    /// The key of one of the exercise's own faults, 1 to 9; 0 only while numbers are typed.
    Fault(usize),
    /// The key of one of the general faults, 1 to 9.
    GeneralFault(usize),
    /// The key of an outline, 1 to [`OUTLINES`].
    Outline(usize),
    /// The key of a variant of the exercise, 1 to 9.
    Variant(usize),
}

/// What is known of a key when its text arrives.
#[derive(Clone, Copy, Debug, Default)]
struct LastKey {
    /// Which one.
    key: Option<Key>,
    /// Whether it repeats, being held.
    repeating: bool,
    /// Whether it was a command, so that its text is no press of its own.
    taken: bool,
    /// Its digit, whatever sign it writes.
    digit: Option<usize>,
}

/// Takes the presses that are commands or marks out of the input and queues them.
#[derive(Default)]
pub struct KeyListener {
    map: Arc<KeyMap>,
    /// Whether the next press is to be a command's key rather than to do anything.
    catching: bool,
    caught: Option<Caught>,
    marking: bool,
    asking: bool,
    /// Commands of marking whose keys mean something in another room too.
    watching: &'static [Command],
    /// Held while a text event arrives: Alt+1 comes as a key and as the text "1".
    modifiers: Modifiers,
    /// Keys that are down, so that one that repeats while it is held marks once only.
    down: BTreeSet<Key>,
    /// The key of the text that comes next.
    last: LastKey,
    /// A key that is held for a command that goes on as long, with what is held beside it.
    holding: Option<(Key, Modifiers, Command)>,
    queue: VecDeque<Pressed>,
}

impl KeyListener {
    /// Whether the Review room is open and nothing covers it.
    pub fn set_marking(&mut self, marking: bool) {
        self.marking = marking;
    }

    /// Which commands of marking are listened to besides, where nothing is marked.
    pub fn set_watching(&mut self, watching: &'static [Command]) {
        self.watching = watching;
    }

    /// Whether numbers are being typed: digits are digits then, 0 as well, whoever's key it is.
    pub fn set_asking(&mut self, asking: bool) {
        self.asking = asking;
    }

    /// The keys to listen by.
    pub fn set_map(&mut self, map: KeyMap) {
        self.map = Arc::new(map);
    }

    /// The oldest press not yet acted on.
    pub fn take(&mut self) -> Option<Pressed> {
        self.queue.pop_front()
    }

    /// Keeps track of what is held down.
    fn follow(&mut self, event: &Event) {
        match event {
            Event::ModifiersChanged(modifiers) => self.modifiers = *modifiers,
            Event::Key {
                key,
                physical_key,
                pressed: true,
                modifiers,
                ..
            } => {
                self.last.key = Some(*key);
                self.last.taken = false;
                self.last.digit = physical_key.and_then(digit_of);
                self.modifiers = *modifiers;
                self.last.repeating = !self.down.insert(*key);
            }
            Event::Key { key, .. } => {
                self.down.remove(key);
                // A key's text comes before it is let go: one that comes now is of another.
                self.last = LastKey::default();
                self.holding = self.holding.filter(|(held, ..)| held != key);
            }
            Event::WindowFocused(_) => {
                self.down.clear();
                self.last.repeating = false;
                self.holding = None;
            }
            _ => {}
        }
    }

    fn pressed(&self, event: &Event, typing: bool) -> Option<Pressed> {
        match event {
            Event::Key {
                key,
                pressed: true,
                modifiers,
                ..
            } => self.key(*key, *modifiers, typing),
            Event::Text(_) if self.last.taken => None,
            Event::Text(text) if !typing => {
                let mut signs = text.chars();
                match (signs.next(), signs.next()) {
                    _ if self.modifiers.alt => None,
                    (Some(one), None) if self.marking => self.of_sign(one),
                    (Some(one), None) => self.command_of(one).map(Pressed::Command),
                    _ => None,
                }
            }
            _ => None,
        }
    }

    fn key(&self, key: Key, modifiers: Modifiers, typing: bool) -> Option<Pressed> {
        let listened = |command: &Command| match command.reach() {
            Reach::Everywhere => !(typing && belongs_to_text(*command)),
            Reach::Marking | Reach::Moments => self.listens(*command) && !typing,
        };
        let hit = |press: &Press| match press {
            Press::Key(shortcut) => {
                shortcut.logical_key == key && modifiers.matches_exact(shortcut.modifiers)
            }
            Press::Sign(_) => false,
        };
        let command = Command::ALL
            .iter()
            .find(|c| listened(c) && self.map.presses(**c).iter().any(hit));
        if let Some(&command) = command {
            return Some(Pressed::Command(command));
        }
        if !self.marking || typing {
            return None;
        }
        let digit = digit_of(key).or(self.last.digit)?;
        let variant = Modifiers::COMMAND | Modifiers::SHIFT;
        if modifiers.matches_exact(Modifiers::ALT) {
            Some(Pressed::GeneralFault(digit))
        } else if modifiers.matches_exact(variant) {
            Some(Pressed::Variant(digit))
        } else {
            None
        }
    }

    /// Whether a command means something here while no text is typed.
    fn listens(&self, command: Command) -> bool {
        let watched = self.watching.contains(&command);
        match command.reach() {
            Reach::Everywhere => true,
            Reach::Marking => self.marking || watched,
            Reach::Moments => watched,
        }
    }

    /// The command that has a sign, where it means something; a letter is the same with Shift.
    fn command_of(&self, sign: char) -> Option<Command> {
        let small = || sign.to_lowercase().next().unwrap_or(sign);
        let holder = self.map.holder(Press::Sign(sign));
        let holder = holder.or_else(|| self.map.holder(Press::Sign(small())));
        holder.filter(|command| self.listens(*command))
    }

    fn of_sign(&self, sign: char) -> Option<Pressed> {
        if let Some(digit) = sign.to_digit(10).filter(|_| self.asking) {
            return Some(Pressed::Fault(digit as usize));
        }
        if let Some(command) = self.command_of(sign) {
            return Some(Pressed::Command(command));
        }
        match sign {
            '1'..='9' => sign
                .to_digit(10)
                .map(|digit| Pressed::Fault(digit as usize)),
            _ if self.modifiers.matches_exact(Modifiers::SHIFT) && self.last.digit.is_some() => {
                let digit = self.last.digit.filter(|digit| *digit <= OUTLINES);
                digit.map(Pressed::Outline)
            }
            _ if sign.is_alphabetic() => sign.to_lowercase().next().map(Pressed::Letter),
            _ => None,
        }
    }
}

/// Whether a held key goes on: moving through the film does, marking does not.
fn may_repeat(press: Pressed) -> bool {
    use Command::{
        ChooseDown, ChooseUp, LookCloser, LookWider, NextBout, NextChange, NextLapse, NextMark,
        PreviousBout, PreviousChange, PreviousLapse, PreviousMark, Redo, SecondBack, SecondForward,
        StepBack, StepForward, Undo, ZoomIn, ZoomOut,
    };
    match press {
        Pressed::Command(command) => matches!(
            command,
            ChooseDown
                | ChooseUp
                | LookCloser
                | LookWider
                | NextBout
                | NextChange
                | NextLapse
                | PreviousBout
                | PreviousChange
                | PreviousLapse
                | NextMark
                | PreviousMark
                | Redo
                | SecondBack
                | SecondForward
                | StepBack
                | StepForward
                | Undo
                | ZoomIn
                | ZoomOut
        ),
        Pressed::Letter(_)
        | Pressed::Fault(_)
        | Pressed::GeneralFault(_)
        | Pressed::Outline(_)
        | Pressed::Variant(_) => false,
    }
}

/// Space and Enter, with which a button is pressed that has the focus.
fn presses_a_button(event: &Event) -> bool {
    match event {
        Event::Key { key, modifiers, .. } => {
            matches!(key, Key::Space | Key::Enter) && *modifiers == Modifiers::NONE
        }
        _ => false,
    }
}

/// Escape, with which a button is left that has the focus.
fn leaves_a_button(event: &Event) -> bool {
    matches!(
        event,
        Event::Key {
            key: Key::Escape,
            pressed: true,
            ..
        }
    )
}

/// Undo inside a text field is the field's own.
fn belongs_to_text(command: Command) -> bool {
    matches!(command, Command::Undo | Command::Redo)
}

const DIGITS: [Key; 9] = [
    Key::Num1,
    Key::Num2,
    Key::Num3,
    Key::Num4,
    Key::Num5,
    Key::Num6,
    Key::Num7,
    Key::Num8,
    Key::Num9,
];

fn digit_of(key: Key) -> Option<usize> {
    DIGITS
        .iter()
        .position(|digit| *digit == key)
        .map(|at| at + 1)
}

impl egui::Plugin for KeyListener {
    fn debug_name(&self) -> &'static str {
        "key listener"
    }

    fn input_hook(&mut self, ctx: &Context, input: &mut RawInput) {
        if self.catching {
            self.catch_in(&mut input.events);
            return;
        }
        let typing = ctx.text_edit_focused();
        let mut left = false;
        let on_a_button = !typing && ctx.memory(|memory| memory.focused().is_some());
        input.events.retain(|event| {
            self.follow(event);
            // Who went to a button with Tab presses it as everywhere.
            if on_a_button && presses_a_button(event) {
                return true;
            }
            let leaves = self.marking || self.watching.contains(&Command::Cancel);
            if on_a_button && leaves && leaves_a_button(event) {
                left = true;
                return false;
            }
            let press = self.pressed(event, typing);
            if self.hold(event, press) {
                return false;
            }
            let Some(press) = press else { return true };
            self.last.taken |= matches!(event, Event::Key { .. });
            if !self.last.repeating || may_repeat(press) {
                self.queue.push_back(press);
            }
            false
        });
        if left {
            ctx.memory_mut(egui::Memory::stop_text_input);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    pub(super) fn key_event(key: Key, modifiers: Modifiers) -> Event {
        Event::Key {
            key,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers,
        }
    }

    fn check(event: &Event, typing: bool, expect: Option<Pressed>) {
        let listener = KeyListener {
            marking: true,
            ..KeyListener::default()
        };
        assert_eq!(
            listener.pressed(event, typing),
            expect,
            "{event:?}, typing {typing}"
        );
    }

    #[test]
    fn presses_become_marks() {
        check(&Event::Text("3".into()), false, Some(Pressed::Fault(3)));
        check(&Event::Text("H".into()), false, Some(Pressed::Letter('h')));
        check(&Event::Text("ü".into()), false, Some(Pressed::Letter('ü')));
        check(
            &Event::Text("0".into()),
            false,
            Some(Pressed::Command(Command::EndBout)),
        );
        check(
            &key_event(Key::Num2, Modifiers::ALT),
            false,
            Some(Pressed::GeneralFault(2)),
        );
        check(
            &key_event(Key::Space, Modifiers::NONE),
            false,
            Some(Pressed::Command(Command::PlayPause)),
        );
    }

    /// Shift and a digit say an outline on every layout, unless the sign they write is a command's
    /// or, as on French keyboards, the digit itself.
    #[test]
    fn shifted_digits_are_outlines() {
        for (physical, sign, expect) in [
            (Key::Num1, "!", Pressed::Outline(1)),
            (Key::Num3, "§", Pressed::Outline(3)),
            (Key::Num8, "*", Pressed::Command(Command::Repeated)),
            (Key::Num1, "1", Pressed::Fault(1)),
        ] {
            let mut listener = KeyListener {
                marking: true,
                ..KeyListener::default()
            };
            let mut input = RawInput::default();
            input.events.push(Event::Key {
                key: Key::Exclamationmark,
                physical_key: Some(physical),
                pressed: true,
                repeat: false,
                modifiers: Modifiers::SHIFT,
            });
            input.events.push(Event::Text(sign.into()));
            egui::Plugin::input_hook(&mut listener, &Context::default(), &mut input);
            assert_eq!(listener.take(), Some(expect), "{sign}");
            assert_eq!(listener.take(), None, "{sign}");
        }
    }

    #[test]
    fn digits_with_two_keys_held_are_variants() {
        let both = Modifiers::COMMAND | Modifiers::SHIFT;
        check(
            &key_event(Key::Num2, both),
            false,
            Some(Pressed::Variant(2)),
        );
        check(&key_event(Key::Num2, both), true, None);
    }

    /// While numbers are typed 0 is a digit, whatever it is else.
    #[test]
    fn all_digits_are_digits_while_numbers_are_typed() {
        let mut listener = KeyListener {
            marking: true,
            ..KeyListener::default()
        };
        listener.set_asking(true);
        for (text, expect) in [
            ("0", Pressed::Fault(0)),
            ("7", Pressed::Fault(7)),
            ("/", Pressed::Command(Command::Ask)),
        ] {
            let event = Event::Text(text.into());
            assert_eq!(listener.pressed(&event, false), Some(expect), "{text}");
        }
    }

    /// A letter with Shift is a command and starts no exercise beside.
    #[test]
    fn a_command_writes_nothing() {
        let mut listener = KeyListener {
            marking: true,
            ..KeyListener::default()
        };
        let mut input = RawInput::default();
        input.events.push(key_event(Key::T, Modifiers::SHIFT));
        input.events.push(Event::Text("T".into()));
        egui::Plugin::input_hook(&mut listener, &Context::default(), &mut input);
        assert_eq!(listener.take(), Some(Pressed::Command(Command::Trot)));
        assert_eq!(listener.take(), None);
    }

    #[test]
    fn shift_makes_another_command() {
        check(
            &key_event(Key::ArrowLeft, Modifiers::NONE),
            false,
            Some(Pressed::Command(Command::StepBack)),
        );
        check(
            &key_event(Key::ArrowLeft, Modifiers::SHIFT),
            false,
            Some(Pressed::Command(Command::SecondBack)),
        );
        check(
            &key_event(Key::ArrowLeft, Modifiers::ALT),
            false,
            Some(Pressed::Command(Command::CreepBack)),
        );
    }

    #[test]
    fn typing_is_left_alone() {
        check(&Event::Text("3".into()), true, None);
        check(&key_event(Key::Space, Modifiers::NONE), true, None);
        check(
            &key_event(Key::Z, Modifiers::COMMAND | Modifiers::CTRL),
            true,
            None,
        );
        check(
            &key_event(Key::F1, Modifiers::NONE),
            true,
            Some(Pressed::Command(Command::Help)),
        );
    }

    #[test]
    fn a_held_key_marks_once_and_steps_on() {
        let ctx = Context::default();
        let mut listener = KeyListener {
            marking: true,
            ..KeyListener::default()
        };
        let mut held = |key, text: Option<&str>| {
            let mut input = RawInput::default();
            for _ in 0..3 {
                input.events.push(key_event(key, Modifiers::NONE));
                input
                    .events
                    .extend(text.map(|text| Event::Text(text.into())));
            }
            egui::Plugin::input_hook(&mut listener, &ctx, &mut input);
            std::iter::from_fn(|| listener.take()).count()
        };
        assert_eq!(held(Key::Num1, Some("1")), 1, "one fault");
        assert_eq!(
            held(Key::Space, Some(" ")),
            1,
            "one change between play and pause"
        );
        assert_eq!(held(Key::ArrowRight, None), 3, "three frames");
    }

    #[test]
    fn a_riders_own_key_is_heard_and_the_first_one_no_more() {
        let mut map = KeyMap::default();
        map.give(Command::Praise, 0, Press::Sign('!'))
            .expect("free");
        let mut listener = KeyListener {
            marking: true,
            ..KeyListener::default()
        };
        listener.set_map(map);
        let praise = Some(Pressed::Command(Command::Praise));
        assert_eq!(listener.pressed(&Event::Text("!".into()), false), praise);
        assert_eq!(listener.pressed(&Event::Text("+".into()), false), None);
    }

    /// What is watched is heard by the rider's own keys; nothing is marked.
    #[test]
    fn a_room_that_plays_hears_what_plays() {
        let mut map = KeyMap::default();
        map.give(Command::Faster, 0, Press::Sign('!'))
            .expect("free");
        let mut listener = KeyListener {
            watching: &[Command::PlayPause, Command::Faster],
            ..KeyListener::default()
        };
        listener.set_map(map);
        let heard = |event: &Event| listener.pressed(event, false);
        let key = |key| heard(&key_event(key, Modifiers::NONE));
        assert_eq!(key(Key::Space), Some(Pressed::Command(Command::PlayPause)));
        assert_eq!(key(Key::ArrowRight), None);
        let sign = |text: &str| heard(&Event::Text(text.into()));
        assert_eq!(sign("!"), Some(Pressed::Command(Command::Faster)));
        assert_eq!((sign("3"), sign("h"), sign("+")), (None, None, None));
        let typed = key_event(Key::Space, Modifiers::NONE);
        assert_eq!(listener.pressed(&typed, true), None);
    }

    /// The letter that marks a moment in Progress starts an exercise in Review.
    #[test]
    fn a_letter_is_a_command_only_where_it_is_watched() {
        let heard = |marking: bool, watching: &'static [Command], text: &str| {
            let listener = KeyListener {
                marking,
                watching,
                ..KeyListener::default()
            };
            listener.pressed(&Event::Text(text.into()), false)
        };
        let mark = Some(Pressed::Command(Command::PickMoment));
        for text in ["b", "B"] {
            assert_eq!(heard(false, &[Command::PickMoment], text), mark, "{text}");
            assert_eq!(heard(false, &[Command::PlayPause], text), None, "{text}");
            assert_eq!(heard(true, &[], text), Some(Pressed::Letter('b')), "{text}");
        }
    }

    #[test]
    fn other_rooms_hear_no_marks() {
        let listener = KeyListener::default();
        assert_eq!(listener.pressed(&Event::Text("3".into()), false), None);
        let space = key_event(Key::Space, Modifiers::NONE);
        assert_eq!(listener.pressed(&space, false), None);
    }
}
