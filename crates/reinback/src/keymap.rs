//! Which key asks for what: the keys as the program comes, and those a rider has changed.
//!
//! Pure: no window, no file. [`crate::keys`] listens by it, and every text that shows a key
//! reads it.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Key, KeyboardShortcut, Modifiers};

use crate::command::{Command, Press, Reach};

/// A rider's own keys as they are remembered: a command's name, and its keys as
/// [`to_setting`] writes them.
pub type Settings = BTreeMap<String, Vec<String>>;

/// How many keys a command may have. Our own choice.
pub const MOST_KEYS: usize = 3;

/// Why a command cannot have a key.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// Letters belong to the exercises.
    #[error("Letters start exercises, so they stay with those")]
    Letters,
    /// 1 to 9, alone or with Alt, belong to the faults.
    #[error("The digits 1 to 9 mark faults, so they stay with those")]
    Faults,
    /// 1 to 9 with Shift belong to the outlines.
    #[error("Shift with 1 to 9 sets the outline, so they stay with that")]
    Outlines,
    /// 1 to 9 with Ctrl and Shift belong to the variants.
    #[error("Ctrl and Shift with 1 to 9 set the variant, so they stay with that")]
    Variants,
    /// Tab goes from one control to the next.
    #[error("Tab goes from button to button")]
    Tab,
    /// Escape ends things everywhere.
    #[error("Escape puts away what is open")]
    Escape,
    /// A command that is heard while text is typed must not take the text's keys.
    #[error("This works while you type, too: it needs Ctrl or Alt, or a key from F1 on")]
    NeedsModifier,
}

/// The keys of every command. No key belongs to two.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyMap {
    /// Where the rider has changed something.
    own: BTreeMap<Command, Vec<Press>>,
    /// What holds, worked out of that and of the keys as the program comes.
    all: BTreeMap<Command, Vec<Press>>,
}

impl Default for KeyMap {
    fn default() -> Self {
        Self::of(BTreeMap::new())
    }
}

impl KeyMap {
    /// What a rider has chosen comes first; a command keeps those of its first keys that nobody
    /// was given.
    fn of(mut own: BTreeMap<Command, Vec<Press>>) -> Self {
        own.retain(|command, presses| presses.as_slice() != command.presses());
        let taken: BTreeSet<Setting> = own.values().flatten().map(|p| to_setting(*p)).collect();
        let all = Command::ALL.iter().map(|&command| {
            let presses = own.get(&command).cloned().unwrap_or_else(|| {
                let first = command.presses().iter().copied();
                first.filter(|p| !taken.contains(&to_setting(*p))).collect()
            });
            (command, presses)
        });
        Self {
            all: all.collect(),
            own,
        }
    }

    /// The keys of a command, the first one being shown on buttons.
    #[must_use]
    pub fn presses(&self, command: Command) -> &[Press] {
        self.all.get(&command).map_or(&[], Vec::as_slice)
    }

    /// Whose key this is.
    #[must_use]
    pub fn holder(&self, press: Press) -> Option<Command> {
        let mut all = Command::ALL.iter().copied();
        all.find(|command| self.presses(*command).contains(&press))
    }

    /// Whether a command's keys are not those the program came with.
    #[must_use]
    pub fn is_changed(&self, command: Command) -> bool {
        self.presses(command) != command.presses()
    }

    /// Whether any key is not as the program came.
    #[must_use]
    pub fn is_any_changed(&self) -> bool {
        !self.own.is_empty()
    }

    /// Gives a command a key in the place of its key of this number, counted from 0; one more
    /// where there is none. Whoever had the key loses it.
    ///
    /// # Errors
    /// [`Refused`] for a key that stays where it is; nothing is changed then.
    pub fn give(&mut self, command: Command, place: usize, press: Press) -> Result<(), Refused> {
        allowed(command, press)?;
        let mut own = std::mem::take(&mut self.own);
        for (other, presses) in &mut own {
            if *other != command {
                presses.retain(|own| *own != press);
            }
        }
        let mut presses = self.presses(command).to_vec();
        match presses.get_mut(place.min(MOST_KEYS - 1)) {
            Some(old) => *old = press,
            None => presses.push(press),
        }
        // Its own key of another place may be the one that was given.
        let mut seen = BTreeSet::new();
        presses.retain(|press| seen.insert(to_setting(*press)));
        own.insert(command, presses);
        *self = Self::of(own);
        Ok(())
    }

    /// Takes a key away from a command.
    pub fn take_away(&mut self, command: Command, press: Press) {
        let mut own = std::mem::take(&mut self.own);
        let mut presses = self.presses(command).to_vec();
        presses.retain(|own| *own != press);
        own.insert(command, presses);
        *self = Self::of(own);
    }

    /// Who has a key with which a command came, if another has it now.
    #[must_use]
    pub fn in_the_way_of_reset(&self, command: Command) -> Option<(Press, Command)> {
        let first = command.presses().iter();
        let held = first.filter_map(|press| Some((*press, self.holder(*press)?)));
        held.into_iter().find(|(_, holder)| *holder != command)
    }

    /// Gives a command the keys back with which it came; whoever has one of them loses it.
    pub fn reset(&mut self, command: Command) {
        let mut own = std::mem::take(&mut self.own);
        own.remove(&command);
        for presses in own.values_mut() {
            presses.retain(|press| !command.presses().contains(press));
        }
        *self = Self::of(own);
    }

    /// As it is remembered: only what the rider has changed.
    #[must_use]
    pub fn to_settings(&self) -> Settings {
        let texts = |presses: &Vec<Press>| presses.iter().map(|press| to_setting(*press)).collect();
        let named = self.own.iter();
        named
            .map(|(command, presses)| (command.name().to_owned(), texts(presses)))
            .collect()
    }

    /// As it was remembered. What cannot be understood, or contradicts what is understood, is left
    /// out; the names of those commands are given back.
    #[must_use]
    pub fn from_settings(settings: &Settings) -> (Self, Vec<String>) {
        let mut own: BTreeMap<Command, Vec<Press>> = BTreeMap::new();
        let (mut taken, mut spoilt) = (BTreeSet::new(), Vec::new());
        for (name, texts) in settings {
            let read = || {
                let command = Command::ALL.iter().copied().find(|c| c.name() == name)?;
                let presses = texts.iter().map(|text| from_setting(text));
                let presses: Vec<Press> = presses.collect::<Option<_>>()?;
                let fits = presses.len() <= MOST_KEYS
                    && presses.iter().all(|press| {
                        command.presses().contains(press) || allowed(command, *press).is_ok()
                    });
                fits.then_some((command, presses))
            };
            match read() {
                Some((command, presses))
                    if presses.iter().all(|press| taken.insert(to_setting(*press))) =>
                {
                    own.insert(command, presses);
                }
                _ => spoilt.push(name.clone()),
            }
        }
        (Self::of(own), spoilt)
    }

    /// A text in which `{EndBout}` and the like stand for keys, with the rider's keys in their
    /// place.
    #[must_use]
    pub fn in_text(&self, text: &str, ctx: &egui::Context) -> String {
        Command::ALL.iter().fold(text.to_owned(), |text, command| {
            let mark = format!("{{{}}}", command.name());
            if text.contains(&mark) {
                let press = self.presses(*command).first();
                let key = press.map_or_else(|| "no key".to_owned(), |press| press.text(ctx));
                text.replace(&mark, &key)
            } else {
                text
            }
        })
    }
}

/// Whether a command may have a key at all, whoever has it now.
///
/// # Errors
/// [`Refused`] says why not.
pub fn allowed(command: Command, press: Press) -> Result<(), Refused> {
    let everywhere = command.reach() == Reach::Everywhere;
    match press {
        // Where no exercise is started, letters are free.
        Press::Sign(sign) if sign.is_alphabetic() && command.reach() == Reach::Moments => Ok(()),
        Press::Sign(sign) if sign.is_alphabetic() => Err(Refused::Letters),
        Press::Sign('1'..='9') => Err(Refused::Faults),
        Press::Sign(_) if everywhere => Err(Refused::NeedsModifier),
        Press::Sign(_) => Ok(()),
        Press::Key(shortcut) => {
            let (key, held) = (shortcut.logical_key, shortcut.modifiers);
            let bare = held == Modifiers::NONE;
            let with_ctrl = held.command || held.ctrl;
            match key {
                Key::Tab => Err(Refused::Tab),
                Key::Escape if command != Command::Cancel => Err(Refused::Escape),
                _ if bare && is_letter(key) => Err(Refused::Letters),
                _ if is_fault_digit(key) && (bare || held == Modifiers::ALT) => {
                    Err(Refused::Faults)
                }
                _ if is_fault_digit(key) && held == Modifiers::SHIFT => Err(Refused::Outlines),
                _ if is_fault_digit(key) && held == Modifiers::COMMAND.plus(Modifiers::SHIFT) => {
                    Err(Refused::Variants)
                }
                _ if everywhere && !with_ctrl && !held.alt && !is_function_key(key) => {
                    Err(Refused::NeedsModifier)
                }
                _ => Ok(()),
            }
        }
    }
}

fn is_letter(key: Key) -> bool {
    (Key::A..=Key::Z).contains(&key)
}

fn is_fault_digit(key: Key) -> bool {
    (Key::Num1..=Key::Num9).contains(&key)
}

fn is_function_key(key: Key) -> bool {
    (Key::F1..=Key::F35).contains(&key)
}

/// A key as it is remembered.
type Setting = String;

/// What is held, by the name it is remembered by.
type Held = (&'static str, Modifiers, fn(Modifiers) -> bool);
const HELD: [Held; 4] = [
    ("Command", Modifiers::COMMAND, |own| own.command),
    ("Control", Modifiers::CTRL, |own| own.ctrl && !own.command),
    ("Alt", Modifiers::ALT, |own| own.alt),
    ("Shift", Modifiers::SHIFT, |own| own.shift),
];
const SIGN: &str = "sign ";

/// "Command+Shift+R" (Command being Ctrl but on a Mac), or "sign +".
#[must_use]
pub fn to_setting(press: Press) -> String {
    match press {
        Press::Sign(sign) => format!("{SIGN}{sign}"),
        Press::Key(shortcut) => {
            let own = shortcut.modifiers;
            let held = HELD.iter().filter(|(_, _, is_held)| is_held(own));
            let names = held.map(|(name, ..)| *name);
            let names: Vec<&str> = names.chain([shortcut.logical_key.name()]).collect();
            names.join("+")
        }
    }
}

fn from_setting(text: &str) -> Option<Press> {
    if let Some(sign) = text.strip_prefix(SIGN) {
        let mut signs = sign.chars();
        let one = signs.next().filter(|one| !one.is_control())?;
        return signs.next().is_none().then_some(Press::Sign(one));
    }
    let mut names = text.split('+').rev();
    let key = Key::from_name(names.next()?)?;
    let mut modifiers = Modifiers::NONE;
    for name in names {
        let known = HELD.iter().find(|(own, ..)| *own == name)?;
        modifiers = modifiers.plus(known.1);
    }
    Some(Press::Key(KeyboardShortcut::new(modifiers, key)))
}

/// The modifiers of a key that was pressed, as a command's key has them: Ctrl is the system's
/// main one except on a Mac, where both are there.
#[must_use]
pub fn held(pressed: Modifiers) -> Modifiers {
    let held = HELD.iter().filter(|(_, _, is_held)| is_held(pressed));
    held.fold(Modifiers::NONE, |all, (_, one, _)| all.plus(*one))
}

#[cfg(test)]
mod tests;
