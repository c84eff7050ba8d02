//! Everything the rider can ask for by a key, a button or a menu, in one list.

use egui::{Key, KeyboardShortcut, Modifiers};

use crate::keys;

/// What presses a command.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Press {
    /// A key with exactly these modifiers.
    Key(KeyboardShortcut),
    /// A sign that the keyboard's own layout produces, with or without Shift.
    Sign(char),
}

/// Where a command's keys are listened to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// In every room.
    Everywhere,
    /// In the Review room while no text is being typed.
    Marking,
    /// On the film moments of Progress while no text is being typed.
    Moments,
}

macro_rules! commands {
    ($($(#[$doc:meta])* $name:ident, $group:literal, $text:literal, $tip:literal, $reach:ident, [$($press:expr),*];)*) => {
        /// A command.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Command {
            $($(#[$doc])* $name,)*
        }

        impl Command {
            /// All commands, in the order of the help page.
            pub const ALL: &[Self] = &[$(Self::$name),*];

            /// The name by which a rider's own keys are remembered; never shown.
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self { $(Self::$name => stringify!($name)),* }
            }

            /// The heading it stands under in the help page.
            #[must_use]
            pub const fn group(self) -> &'static str {
                match self { $(Self::$name => $group),* }
            }

            /// As shown on buttons and in the help page.
            #[must_use]
            pub const fn text(self) -> &'static str {
                match self { $(Self::$name => $text),* }
            }

            /// One sentence more.
            #[must_use]
            pub const fn tip(self) -> &'static str {
                match self { $(Self::$name => $tip),* }
            }

            /// Where its keys are listened to.
            #[must_use]
            pub const fn reach(self) -> Reach {
                match self { $(Self::$name => Reach::$reach),* }
            }

            /// The keys with which it comes, the first one being shown on buttons. A rider may have
            /// changed them: see [`crate::keymap::KeyMap`].
            #[must_use]
            pub const fn presses(self) -> &'static [Press] {
                match self { $(Self::$name => const { &[$($press),*] }),* }
            }
        }
    };
}

const fn key(key: Key) -> Press {
    Press::Key(KeyboardShortcut::new(Modifiers::NONE, key))
}

const fn shift(key: Key) -> Press {
    Press::Key(KeyboardShortcut::new(Modifiers::SHIFT, key))
}

const fn ctrl(key: Key) -> Press {
    Press::Key(KeyboardShortcut::new(Modifiers::COMMAND, key))
}

const fn ctrl_shift(key: Key) -> Press {
    Press::Key(KeyboardShortcut::new(
        Modifiers::COMMAND.plus(Modifiers::SHIFT),
        key,
    ))
}

const fn alt(key: Key) -> Press {
    Press::Key(KeyboardShortcut::new(Modifiers::ALT, key))
}

const fn sign(sign: char) -> Press {
    Press::Sign(sign)
}

commands! {
    /// Play or pause.
    PlayPause, "Film", "Play or pause", "Plays the film from here, or stops it", Marking, [key(Key::Space)];
    /// One frame on.
    StepForward, "Film", "One frame on", "Shows the next frame", Marking, [key(Key::ArrowRight)];
    /// One frame back.
    StepBack, "Film", "One frame back", "Shows the frame before", Marking, [key(Key::ArrowLeft)];
    /// One second on.
    SecondForward, "Film", "One second on", "Jumps one second on", Marking, [shift(Key::ArrowRight)];
    /// One second back.
    SecondBack, "Film", "One second back", "Jumps one second back", Marking, [shift(Key::ArrowLeft)];
    /// The mark or bout before.
    PreviousMark, "Film", "To the mark before", "Jumps to the mark or bout start before this moment", Marking, [key(Key::ArrowUp)];
    /// The mark or bout after.
    NextMark, "Film", "To the next mark", "Jumps to the mark or bout start after this moment", Marking, [key(Key::ArrowDown)];
    /// Slower.
    Slower, "Film", "Slower", "Plays slower, down to a tenth", Marking, [key(Key::F2)];
    /// Faster.
    Faster, "Film", "Faster", "Plays faster, up to four times", Marking, [key(Key::F3)];
    /// To the start.
    ToStart, "Film", "To the start", "Jumps to the start of the ride", Marking, [key(Key::Home)];
    /// To the end.
    ToEnd, "Film", "To the end", "Jumps to the end of the ride", Marking, [key(Key::End)];
    /// Sound on or off.
    Mute, "Film", "Sound on or off", "Puts the film's sound off, or back on", Marking, [key(Key::F8)];
    /// Creep on.
    CreepForward, "Film", "Creep on", "While it is held, the film creeps on at a tenth of its speed; let go, it stands", Marking, [alt(Key::ArrowRight)];
    /// Creep back.
    CreepBack, "Film", "Creep back", "While it is held, the film creeps back at a tenth of its speed; let go, it stands", Marking, [alt(Key::ArrowLeft)];
    /// The bout before.
    PreviousBout, "Film", "To the exercise before", "Jumps to the start of the exercise before this moment", Marking, [key(Key::PageUp)];
    /// The bout after.
    NextBout, "Film", "To the next exercise", "Jumps to the start of the exercise after this moment", Marking, [key(Key::PageDown)];
    /// The flying change before.
    PreviousChange, "Film", "To the flying change before", "Jumps to the flying change before this moment", Marking, [ctrl(Key::PageUp)];
    /// The flying change after.
    NextChange, "Film", "To the next flying change", "Jumps to the flying change after this moment", Marking, [ctrl(Key::PageDown)];
    /// The tempo lapse before.
    PreviousLapse, "Film", "To the tempo lapse before", "Jumps to the stretch before this moment in which the tempo left its band", Marking, [ctrl(Key::ArrowUp)];
    /// The tempo lapse after.
    NextLapse, "Film", "To the next tempo lapse", "Jumps to the stretch after this moment in which the tempo left its band", Marking, [ctrl(Key::ArrowDown)];
    /// Repeat a stretch.
    Repeat, "Film", "Repeat a stretch", "Plays the chosen exercise, or the stretch that the strip shows, again and again; again: no more", Marking, [ctrl(Key::R)];
    /// Two stretches side by side.
    Beside, "Film", "Side by side…", "Shows a second ride of the exercise beside this one, in step; again: only this one", Marking, [ctrl(Key::B)];
    /// Mirror the second.
    Mirror, "Film", "Mirror the second", "Shows the second picture left for right, so that a left exercise lies beside a right one", Marking, [ctrl(Key::M)];
    /// Look closer.
    LookCloser, "Film", "Closer into the picture", "Shows less of the picture, larger; the wheel with Ctrl does the same around the pointer", Marking, [alt(Key::PageUp)];
    /// Look wider.
    LookWider, "Film", "Wider in the picture", "Shows more of the picture, at last the whole of it", Marking, [alt(Key::PageDown)];
    /// The film fills the window.
    Fill, "Film", "Film fills the window", "Puts everything but the film and its play buttons away; again, or Escape: back", Marking, [key(Key::F11)];
    /// A still.
    Still, "Film", "Still picture…", "Saves the frame on screen as a picture (PNG) with its time and a caption beneath", Marking, [ctrl(Key::P)];

    /// End the running bout.
    EndBout, "Marking", "End the exercise", "Ends the running bout and sets it to reviewed", Marking, [sign('0')];
    /// On the left rein.
    LeftRein, "Marking", "Left rein", "The current bout is on the left rein; again: not said", Marking, [sign(',')];
    /// On the right rein.
    RightRein, "Marking", "Right rein", "The current bout is on the right rein; again: not said", Marking, [sign('.')];
    /// The next variant.
    NextVariant, "Marking", "Next variant", "Goes through the variants of the current exercise", Marking, [key(Key::F4)];
    /// Praise.
    Praise, "Marking", "Praise", "Marks that this was well ridden", Marking, [sign('+')];
    /// Ridden again.
    Repeated, "Marking", "Ridden again", "Marks that the exercise was ridden again after a mistake", Marking, [sign('*')];
    /// In or out of the count.
    ToggleReviewed, "Marking", "In or out of the count", "Takes the current bout out of the rates, or back in", Marking, [sign('-')];
    /// A note on the last mark.
    WriteNote, "Marking", "Write a note", "Writes a note onto the chosen or the last mark", Marking, [key(Key::Enter)];
    /// Set what is chosen to this frame.
    SetToFrame, "Marking", "Set to this frame", "Moves the chosen mark, or the start of the chosen exercise, to the frame on screen", Marking, [sign('=')];
    /// Remove what is chosen.
    Remove, "Marking", "Remove", "Removes the chosen mark or bout", Marking, [key(Key::Delete), key(Key::Backspace)];
    /// Asked numbers of a series.
    Ask, "Marking", "Asked numbers", "Takes the numbers asked of a series: 5, or 5/3 for every third stride", Marking, [sign('/')];
    /// Tempo by taps.
    Taps, "Marking", "Tempo by taps", "Tap each landing of one foot on any letter; again: keeps them", Marking, [ctrl(Key::T)];
    /// Put away what is half typed or chosen.
    Cancel, "Marking", "Put away", "Clears what is half typed, then what is chosen", Marking, [key(Key::Escape)];

    /// Walk from here.
    Walk, "What the horse does", "Walk", "Walk from here on; again: no longer", Marking, [shift(Key::W)];
    /// Trot from here.
    Trot, "What the horse does", "Trot", "Trot from here on; again: no longer", Marking, [shift(Key::T)];
    /// Canter from here.
    Canter, "What the horse does", "Canter", "Canter from here on; again: no longer", Marking, [shift(Key::C)];
    /// Passage from here.
    Passage, "What the horse does", "Passage", "Passage from here on; again: no longer", Marking, [shift(Key::P)];
    /// Piaffe from here.
    Piaffe, "What the horse does", "Piaffe", "Piaffe from here on; again: no longer", Marking, [shift(Key::F)];
    /// Halt from here.
    Halt, "What the horse does", "Halt", "Halt from here on; again: no longer", Marking, [shift(Key::H)];
    /// Rein-back from here.
    ReinBack, "What the horse does", "Rein-back", "Rein-back from here on; again: no longer", Marking, [shift(Key::B)];
    /// A flying change onto the left lead.
    ChangeLeft, "What the horse does", "Change to the left", "Marks a flying change onto the left lead", Marking, [shift(Key::L)];
    /// A flying change onto the right lead.
    ChangeRight, "What the horse does", "Change to the right", "Marks a flying change onto the right lead", Marking, [shift(Key::R)];
    /// A flying change.
    Change, "What the horse does", "Flying change", "Marks a flying change onto the other lead than the one before", Marking, [shift(Key::X)];
    /// The aid.
    Aid, "What the horse does", "Aid", "Marks the aid for what comes next", Marking, [shift(Key::A)];

    /// Notes from the rail.
    Notes, "Marks", "Notes from the rail…", "Brings in what was noted at the rail, and places it on the ride", Marking, [ctrl(Key::I)];
    /// The clips of the ride.
    Clips, "Marks", "Place clips…", "Shows how the clips of the ride lie to each other, and moves one by sound or by a moment", Marking, [ctrl(Key::L)];
    /// Marks as a table.
    ExportTable, "Marks", "Export a table (CSV)…", "Writes exercises and marks as a table for other programs", Marking, [ctrl(Key::E)];
    /// Marks as captions.
    ExportCaptions, "Marks", "Export captions (WebVTT)…", "Writes exercises and marks as captions that players show over the film", Marking, [ctrl_shift(Key::E)];
    /// Reviews of the ride.
    Reviews, "Marks", "Reviews of this ride…", "Shows who reviewed the ride, starts a second review, compares and merges two", Marking, [ctrl_shift(Key::R)];
    /// The test sheet.
    TestSheet, "Marks", "Test sheet…", "The test that was ridden: the judges' marks, what they come to, and where each is on film", Marking, [ctrl_shift(Key::T)];

    /// Measuring on the frame.
    Measure, "Measuring and place", "Measure on the frame…", "Draws lines on the frame that stands, and tells their angles", Marking, [key(Key::F10)];
    /// The plan of the arena.
    Plan, "Measuring and place", "Plan of the arena…", "Shows where in the arena it was, and says it by a click", Marking, [key(Key::F12)];

    /// Closer.
    ZoomIn, "Strip", "Closer", "Shows a shorter stretch around the play head", Marking, [key(Key::F6)];
    /// Wider.
    ZoomOut, "Strip", "Wider", "Shows a longer stretch", Marking, [key(Key::F5)];
    /// The whole ride.
    ZoomAll, "Strip", "Whole ride", "Shows the whole ride on the strip", Marking, [key(Key::F7)];
    /// What is chosen starts here.
    StartHere, "Strip", "Starts here", "Moves the start of what is chosen to the frame on screen", Marking, [shift(Key::F5)];
    /// What is chosen ends here.
    EndHere, "Strip", "Ends here", "Moves the end of what is chosen to the frame on screen", Marking, [shift(Key::F6)];
    /// The one before too.
    ChooseUp, "Strip", "The one before too", "Chooses the line before in the list as well, or takes it back", Marking, [shift(Key::ArrowUp)];
    /// The next one too.
    ChooseDown, "Strip", "The next one too", "Chooses the next line of the list as well, or takes it back", Marking, [shift(Key::ArrowDown)];
    /// Everything.
    ChooseAll, "Strip", "Choose all", "Chooses everything that is marked in this ride", Marking, [ctrl(Key::A)];

    /// Pick a moment.
    PickMoment, "Moments in Progress", "Pick for side by side", "Picks the picture under the pointer, or the one that Tab has reached, or no longer; two to four can be seen together", Moments, [sign('b')];

    /// Undo.
    Undo, "Everywhere", "Undo", "Takes the last change back", Everywhere, [ctrl(Key::Z)];
    /// Redo.
    Redo, "Everywhere", "Redo", "Does the last change again", Everywhere, [ctrl_shift(Key::Z), ctrl(Key::Y)];
    /// Save now.
    Save, "Everywhere", "Save now", "Writes everything to its files at once; it happens by itself too", Everywhere, [ctrl(Key::S)];
    /// The Yard room.
    ToYard, "Everywhere", "Yard", "Horses and rides", Everywhere, [ctrl(Key::Num1)];
    /// The Review room.
    ToReview, "Everywhere", "Review", "Film, strip and marks of one ride", Everywhere, [ctrl(Key::Num2)];
    /// The Progress room.
    ToProgress, "Everywhere", "Progress", "Fault rates and trends", Everywhere, [ctrl(Key::Num3)];
    /// The last 28 days, or this month.
    FourWeeks, "Everywhere", "Last 28 days, or this month", "Shows Progress with the last 28 days against the 28 before; again: this month against the last", Everywhere, [ctrl(Key::D)];
    /// A new ride.
    NewRide, "Everywhere", "New ride from film…", "Chooses one or more films of one ride", Everywhere, [ctrl(Key::N)];
    /// Another yard.
    OpenYard, "Everywhere", "Open another yard…", "Chooses a yard's folder", Everywhere, [ctrl(Key::O)];
    /// Progress exported as a page.
    ExportPage, "Everywhere", "Export as a page…", "Writes what Progress shows as one page (HTML) to print or to send", Everywhere, [ctrl_shift(Key::P)];
    /// Light or dark.
    Theme, "Everywhere", "Light or dark", "Changes between the light and the dark look", Everywhere, [key(Key::F9)];
    /// The yard's words.
    Words, "Everywhere", "Words…", "Exercises with their letters and faults, and outlines", Everywhere, [ctrl_shift(Key::W)];
    /// Settings.
    Settings, "Everywhere", "Settings", "Who reviews, the look, memory for films", Everywhere, [ctrl(Key::Comma)];
    /// Keys.
    Help, "Everywhere", "Keys", "Lists every key", Everywhere, [key(Key::F1)];
}

/// Keys that belong to words of the yard and stay with them, or that do on the moments of Progress
/// what they do on a film: the heading, the keys, what they do, and one sentence more. A command in
/// braces stands for its key.
pub const FIXED: &[(&str, &str, &str, &str)] = &[
    (
        "Marking",
        "letters",
        "Start an exercise",
        "Its short form; the list beside the film shows it",
    ),
    (
        "Marking",
        "1 to 9",
        "A fault of the exercise",
        "As numbered beside the film",
    ),
    (
        "Marking",
        "Alt+1 to 9",
        "A fault of any exercise",
        "As numbered beside the film",
    ),
    (
        "Marking",
        "Ctrl+Shift+1 to 9",
        "A variant of the exercise",
        "In the order in which they are changed through",
    ),
    (
        "What the horse does",
        "Shift+1 to 6",
        "An outline",
        "From here on; as numbered in its list beside the film",
    ),
    (
        "Moments in Progress",
        "{PlayPause}",
        "Play or stop the picture",
        "The one under the pointer, or the one that Tab has reached; its seconds play again and again",
    ),
    (
        "Moments in Progress",
        "Enter",
        "Open in Review",
        "The one that Tab has reached, from 2 seconds before the moment",
    ),
    (
        "Moments in Progress",
        "{Beside}",
        "Side by side",
        "Plays the picked ones together",
    ),
];

impl Command {
    /// Whether it goes on while its key is held.
    #[must_use]
    pub const fn is_held(self) -> bool {
        matches!(self, Self::CreepForward | Self::CreepBack)
    }

    /// The first of the rider's keys for it, as people write it; empty where there is none.
    #[must_use]
    pub fn key_text(self, ctx: &egui::Context) -> String {
        keys::map(ctx)
            .presses(self)
            .first()
            .map_or_else(String::new, |press| press.text(ctx))
    }

    /// What it is called, with its key: "Undo (Ctrl+Z)".
    #[must_use]
    pub fn named(self, ctx: &egui::Context) -> String {
        self.with_key(self.text(), ctx)
    }

    /// What it does, with its key.
    #[must_use]
    pub fn tip_with_key(self, ctx: &egui::Context) -> String {
        self.with_key(self.tip(), ctx)
    }

    /// A text with its key behind it, where it has one.
    #[must_use]
    pub fn with_key(self, text: &str, ctx: &egui::Context) -> String {
        match self.key_text(ctx) {
            key if key.is_empty() => text.to_owned(),
            key => format!("{text} ({key})"),
        }
    }
}

impl Press {
    /// As people write it.
    #[must_use]
    pub fn text(self, ctx: &egui::Context) -> String {
        match self {
            Self::Key(shortcut) => match shortcut.logical_key {
                // The font has no arrows of this kind.
                key @ (Key::ArrowLeft | Key::ArrowRight | Key::ArrowUp | Key::ArrowDown) => {
                    let held = ctx.format_modifiers(shortcut.modifiers);
                    let between = if held.is_empty() { "" } else { "+" };
                    format!("{held}{between}{}", key.name())
                }
                _ => ctx.format_shortcut(&shortcut),
            },
            // As it stands on the key.
            Self::Sign(sign) => sign.to_uppercase().to_string(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_commands_share_a_key() {
        let mut seen: Vec<(Press, Command)> = Vec::new();
        for &command in Command::ALL {
            for &press in command.presses() {
                let clash = seen.iter().find(|(other, _)| *other == press);
                assert!(clash.is_none(), "{command:?} and {clash:?} share {press:?}");
                seen.push((press, command));
            }
        }
    }

    #[test]
    fn signs_leave_letters_and_fault_keys_alone() {
        for &command in Command::ALL {
            for press in command.presses() {
                if let Press::Sign(sign) = press {
                    let may_be_a_letter = command.reach() == Reach::Moments;
                    assert!(
                        (may_be_a_letter || !sign.is_alphabetic()) && !('1'..='9').contains(sign),
                        "{command:?} takes {sign:?}"
                    );
                }
            }
        }
    }
}
