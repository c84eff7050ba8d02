//! The trade's own words in the rider's language.
//!
//! A yard's words are the rider's to change, so only those that still have the name a new yard
//! gives them are said in another language; all others stay as they were written.

use std::borrow::Cow;

use fluent_bundle::FluentArgs;

use super::{Language, Say, format};

/// What a word names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// An exercise: "half-pass".
    Exercise,
    /// A variant of an exercise: "in trot".
    Variant,
    /// A fault: "quarters trailing".
    Fault,
    /// A posture of neck and head: "deep and round".
    Outline,
}

impl Kind {
    const fn prefix(self) -> &'static str {
        match self {
            Self::Exercise => "exercise-",
            Self::Variant => "variant-",
            Self::Fault => "fault-",
            Self::Outline => "outline-",
        }
    }

    /// The message of a word with this name.
    pub(super) fn id(self, name: &str) -> String {
        let mut id = self.prefix().to_owned();
        for sign in name.to_lowercase().chars() {
            id.push(if sign.is_ascii_alphanumeric() {
                sign
            } else {
                '-'
            });
        }
        id
    }
}

impl Say {
    /// A word of the yard, by the name it has there.
    ///
    /// ```
    /// use reinback::said::{Kind, Language, Say};
    /// let say = Say::new(Language::German);
    /// assert_eq!(say.word(Kind::Exercise, "half-pass"), "Traversale");
    /// assert_eq!(say.word(Kind::Exercise, "our own zigzag"), "our own zigzag");
    /// ```
    #[must_use]
    pub fn word<'a>(&self, kind: Kind, name: &'a str) -> Cow<'a, str> {
        if self.language == Language::English {
            return Cow::Borrowed(name);
        }
        let (id, nothing) = (kind.id(name), FluentArgs::new());
        let untouched = format(&self.defaults, &id, &nothing).is_ok_and(|first| first == name);
        match format(&self.messages, &id, &nothing) {
            Ok(said) if untouched => Cow::Owned(said),
            _ => Cow::Borrowed(name),
        }
    }

    /// The name of an exercise.
    #[must_use]
    pub fn exercise<'a>(&self, name: &'a str) -> Cow<'a, str> {
        self.word(Kind::Exercise, name)
    }

    /// The name of a fault.
    #[must_use]
    pub fn fault<'a>(&self, name: &'a str) -> Cow<'a, str> {
        self.word(Kind::Fault, name)
    }

    /// The name of a variant.
    #[must_use]
    pub fn variant<'a>(&self, name: &'a str) -> Cow<'a, str> {
        self.word(Kind::Variant, name)
    }

    /// The name of an outline.
    #[must_use]
    pub fn outline<'a>(&self, name: &'a str) -> Cow<'a, str> {
        self.word(Kind::Outline, name)
    }
}
