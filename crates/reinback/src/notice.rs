//! Short messages to the rider: what happened, what is safe, what to do next.

use crate::action::Action;

/// How much a notice matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Goes away by itself.
    Told,
    /// Stays until it is put away.
    Caution,
    /// Something did not work; stays until it is put away.
    Trouble,
}

/// One message. In its texts names of commands in braces stand for their keys.
#[derive(Clone, Debug)]
pub struct Notice {
    /// How much it matters.
    pub level: Level,
    /// One sentence.
    pub text: String,
    /// What to do next, or what is safe.
    pub next: Option<String>,
    /// One button.
    pub offer: Option<(String, Action)>,
}

impl Notice {
    /// A notice that goes away by itself.
    #[must_use]
    pub fn told(text: impl Into<String>) -> Self {
        Self {
            level: Level::Told,
            text: text.into(),
            next: None,
            offer: None,
        }
    }

    /// A notice that stays.
    #[must_use]
    pub fn caution(text: impl Into<String>) -> Self {
        Self {
            level: Level::Caution,
            ..Self::told(text)
        }
    }

    /// Something did not work.
    #[must_use]
    pub fn trouble(text: impl Into<String>) -> Self {
        Self {
            level: Level::Trouble,
            ..Self::told(text)
        }
    }

    /// With a second sentence.
    #[must_use]
    pub fn next(mut self, next: impl Into<String>) -> Self {
        self.next = Some(next.into());
        self
    }

    /// With a button.
    #[must_use]
    pub fn offer(mut self, label: impl Into<String>, action: Action) -> Self {
        self.offer = Some((label.into(), action));
        self
    }
}

/// How long a told notice stays, in seconds.
const TOLD_SECONDS: f64 = 4.0;

/// The notices on screen.
#[derive(Default)]
pub struct Notices {
    shown: Vec<(Notice, f64)>,
}

impl Notices {
    /// Shows a notice from `now` (window time in seconds). The same text is shown once.
    pub fn push(&mut self, notice: Notice, now: f64) {
        self.shown
            .retain(|(old, _)| old.text != notice.text && old.level != Level::Told);
        self.shown.push((notice, now));
    }

    /// Drops what has been read; returns when to look again, in seconds from now.
    pub fn tick(&mut self, now: f64) -> Option<f64> {
        self.shown
            .retain(|(n, since)| n.level != Level::Told || now - since < TOLD_SECONDS);
        let left = |(n, since): &(Notice, f64)| {
            (n.level == Level::Told).then_some(TOLD_SECONDS - (now - since))
        };
        self.shown.iter().filter_map(left).reduce(f64::min)
    }

    /// What is on screen, oldest first.
    pub fn iter(&self) -> impl Iterator<Item = &Notice> {
        self.shown.iter().map(|(notice, _)| notice)
    }

    /// Puts away what offers this: the trouble is over.
    pub fn dismiss_offering(&mut self, label: &str) {
        self.shown
            .retain(|(notice, _)| notice.offer.as_ref().is_none_or(|(own, _)| own != label));
    }

    /// Puts the notice at this place away.
    pub fn dismiss(&mut self, at: usize) {
        if at < self.shown.len() {
            self.shown.remove(at);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn told_goes_trouble_stays() {
        let mut notices = Notices::default();
        notices.push(Notice::trouble("disk full"), 0.0);
        notices.push(Notice::told("saved"), 0.0);
        assert_eq!(notices.tick(1.0), Some(TOLD_SECONDS - 1.0));
        assert_eq!(notices.iter().count(), 2);
        assert_eq!(notices.tick(TOLD_SECONDS), None);
        assert_eq!(
            notices.iter().map(|n| n.text.as_str()).collect::<Vec<_>>(),
            ["disk full"]
        );
    }

    #[test]
    fn the_same_text_is_shown_once() {
        let mut notices = Notices::default();
        notices.push(Notice::trouble("disk full"), 0.0);
        notices.push(Notice::trouble("disk full"), 5.0);
        assert_eq!(notices.iter().count(), 1);
    }
}
