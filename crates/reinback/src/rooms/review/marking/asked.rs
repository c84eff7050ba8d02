//! Asked numbers of a series, typed with the exercise: "5", or "5/3" for every third stride.

use reinback_yard::{Asked, Bout, WordId};

use super::{Marking, Refusal, Step};

/// After so long without a key what was typed is taken, in seconds. Our own choice: long enough for
/// a second digit, and over before the first change.
pub const TAKEN_AFTER: f64 = 1.5;

/// Numbers being typed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct AskedDraft {
    /// As typed so far: digits, and at most one stroke.
    pub text: String,
    /// When the last key came, in seconds of the window.
    pub at: f64,
}

impl AskedDraft {
    /// Adds a digit; more than three a number are not taken.
    pub fn digit(&mut self, digit: usize) {
        let last = self.text.rsplit('/').next().unwrap_or_default();
        if last.len() < 3 {
            self.text.push_str(&digit.to_string());
        }
    }

    /// What follows is every how many strides.
    pub fn stroke(&mut self) {
        if !self.text.is_empty() && !self.text.contains('/') {
            self.text.push('/');
        }
    }

    /// What is asked, over what was asked before. `None` while nothing is typed.
    #[must_use]
    pub fn asked(&self, before: Asked) -> Option<Asked> {
        let (count, every) = self.text.split_once('/').unwrap_or((&self.text, ""));
        let number = |text: &str| text.parse().ok().filter(|number| *number > 0);
        let (count, every) = (number(count), number(every));
        (count.is_some() || every.is_some()).then_some(Asked {
            count: count.or(before.count),
            every: every.or(before.every),
        })
    }
}

/// "5 changes, every 3rd stride"; empty if nothing was asked.
#[must_use]
pub fn asked_text(asked: Asked) -> String {
    let count = asked.count.map(|count| format!("{count} asked"));
    let every = asked.every.map(|every| match every {
        1 => "every stride".to_owned(),
        2 => "every 2nd stride".to_owned(),
        3 => "every 3rd stride".to_owned(),
        n => format!("every {n}th stride"),
    });
    let parts: Vec<String> = count.into_iter().chain(every).collect();
    parts.join(", ")
}

impl Marking<'_> {
    /// Whether the current exercise is a series, and may be asked numbers of.
    ///
    /// # Errors
    /// There is no exercise here, or it is none.
    pub fn may_ask(&self) -> Result<(), Refusal> {
        match self.exercise() {
            Some(exercise) if exercise.series => Ok(()),
            Some(exercise) => Err(format!(
                "{} is no series: it has no asked numbers",
                exercise.name
            )),
            None => Err("No exercise at this moment; type its letters to start one".into()),
        }
    }

    /// What a new bout asks: what its name says, and else what the last one of it asked.
    pub(super) fn asked_at_first(&self, exercise: &WordId, last: Option<&Bout>) -> Asked {
        let before = last.map(|bout| bout.asked).unwrap_or_default();
        let named = self.words.exercise(exercise).and_then(|word| word.every);
        Asked {
            // A file may say 0, which nobody can ride.
            every: before.every.or(named).filter(|every| *every > 0),
            ..before
        }
    }

    /// Sets what is asked of the current exercise.
    ///
    /// # Errors
    /// As [`Marking::may_ask`], or nothing was typed.
    pub fn ask(&self, draft: &AskedDraft) -> Result<Step, Refusal> {
        self.may_ask()?;
        let before = self.current().map(|bout| bout.asked).unwrap_or_default();
        let asked = draft.asked(before).ok_or("No number was typed")?;
        self.change("asked numbers", |bout| bout.asked = asked)
    }
}

#[cfg(test)]
mod tests {
    use reinback_yard::{IdMaker, Moment, Review, ReviewId, Ride, Words};

    use super::*;
    use crate::rooms::review::marking::Hand;

    #[test]
    fn numbers_as_typed() {
        let before = Asked {
            count: Some(7),
            every: Some(4),
        };
        for (typed, expect) in [
            ("", None),
            ("0", None),
            ("5", Some((5, 4))),
            ("15", Some((15, 4))),
            ("5/3", Some((5, 3))),
            ("5/", Some((5, 4))),
            ("0/2", Some((7, 2))),
            // A second stroke and a fourth digit are not taken.
            ("5/3/2", Some((5, 32))),
            ("12345", Some((123, 4))),
            ("/3", Some((3, 4))),
        ] {
            let mut draft = AskedDraft::default();
            for sign in typed.chars() {
                match sign.to_digit(10) {
                    Some(digit) => draft.digit(digit as usize),
                    None => draft.stroke(),
                }
            }
            let found = draft
                .asked(before)
                .map(|a| (a.count.unwrap(), a.every.unwrap()));
            assert_eq!(found, expect, "{typed}");
        }
    }

    /// A yard's file can say 0; a bout does not ask for it.
    #[test]
    fn nothing_is_asked_every_0_strides() {
        let mut words = Words::default();
        let series = words.exercises.iter_mut().find(|e| e.every.is_some());
        let series = series.unwrap();
        let (id, named) = (series.id.clone(), series.every);
        let review = Review {
            id: ReviewId::from_bits(1),
            reviewer: String::new(),
            blind: false,
        };
        let mut ids = IdMaker::seeded(7);
        let day = chrono::NaiveDate::from_ymd_opt(2026, 1, 1).unwrap();
        let ride = Ride::new(ids.next(), ids.next(), day, review);
        let asked = |words: &Words| {
            let marking = Marking {
                words,
                ride: &ride,
                review: ride.head.counting,
                now: Moment(0),
                chosen: None,
                hand: Hand::STILL,
            };
            marking.asked_at_first(&id, None).every
        };
        assert_eq!(asked(&words), named);
        let mut broken = words.clone();
        let mut exercises = broken.exercises.iter_mut();
        exercises.find(|e| e.id == id).unwrap().every = Some(0);
        assert_eq!(asked(&broken), None);
    }

    #[test]
    fn numbers_as_said() {
        for (count, every, expect) in [
            (None, None, ""),
            (Some(5), Some(3), "5 asked, every 3rd stride"),
            (None, Some(1), "every stride"),
            (Some(9), None, "9 asked"),
            (None, Some(4), "every 4th stride"),
        ] {
            assert_eq!(asked_text(Asked { count, every }), expect);
        }
    }
}
