//! A horse in a line, among all horses.

use reinback_analysis::Rein;
use reinback_analysis::compare::MIN_RIDES_PER_PERIOD;
use reinback_analysis::load::Caution;

use super::Say;
use crate::report::horses::{Held, HorseRow};
use crate::report::period::Instead;

impl Say {
    /// "9 years", "4 years, still growing".
    #[must_use]
    pub fn horse_age(&self, row: &HorseRow) -> String {
        let young = |caution: &Caution| matches!(caution, Caution::Young { .. });
        match row.age {
            Some(age) if row.cautions.iter().any(young) => {
                self.text("horses-age-young", &[("age", age.into())])
            }
            Some(age) => self.text("horses-age", &[("age", age.into())]),
            None => self.plain("horses-no-age"),
        }
    }

    /// "8 rides, 5 h 10 min", or when the newest ride was.
    #[must_use]
    pub fn horse_ridden(&self, row: &HorseRow) -> String {
        match (row.rides, row.newest) {
            (0, None) => self.plain("horses-no-ride-ever"),
            (0, Some(day)) => self.text("horses-no-ride-newest", &[("day", self.day(day).into())]),
            (rides, _) => self.text(
                "horses-ridden",
                &[
                    ("rides", self.rides(rides).into()),
                    ("length", self.length(row.ridden_nanos).into()),
                ],
            ),
        }
    }

    /// That some rows are not of the month that was asked for; nothing where all are.
    #[must_use]
    pub fn horses_instead<'a>(&self, rows: impl Iterator<Item = &'a HorseRow>) -> Option<String> {
        let gave_way: Vec<Instead> = rows.filter_map(|row| row.instead).collect();
        let month = self.month(gave_way.first()?.month);
        let horses = u32::try_from(gave_way.len()).unwrap_or(u32::MAX);
        let least = u32::try_from(MIN_RIDES_PER_PERIOD).unwrap_or(u32::MAX);
        Some(self.text(
            "horses-instead",
            &[
                ("horses", horses.into()),
                ("month", month.into()),
                ("least", least.into()),
            ],
        ))
    }

    /// The exercise to work on first and the sentence of its line.
    ///
    /// # Errors
    /// Why there is none, in words.
    pub fn horse_first(&self, row: &HorseRow) -> Result<[String; 2], String> {
        if let Some(line) = &row.first {
            let compared = line.compared.as_ref().zip(row.earlier);
            let sentence = match compared {
                Some((compared, earlier)) => self.periods(&compared.rate, earlier),
                None => self.rate(&line.figures.all.rate),
            };
            return Ok([self.exercise(&line.name).into_owned(), sentence]);
        }
        Err(if row.rides == 0 {
            self.plain("horses-no-ride")
        } else if row.counts {
            self.plain("horses-nothing-faulty")
        } else {
            self.plain("horses-nothing-counts")
        })
    }

    /// How many exercises became clearly better, and which.
    #[must_use]
    pub fn horse_better(&self, row: &HorseRow) -> Option<String> {
        let exercises = self.named(&row.better)?;
        Some(self.text(
            "horses-better",
            &[
                ("count", row.better.len().into()),
                ("exercises", exercises.into()),
            ],
        ))
    }

    /// How many exercises became clearly worse, and which.
    #[must_use]
    pub fn horse_worse(&self, row: &HorseRow) -> Option<String> {
        let exercises = self.named(&row.worse)?;
        Some(self.text(
            "horses-worse",
            &[
                ("count", row.worse.len().into()),
                ("exercises", exercises.into()),
            ],
        ))
    }

    /// That nothing changed, or that nothing can be said of it; nothing where something did.
    #[must_use]
    pub fn horse_unchanged(&self, row: &HorseRow) -> Option<String> {
        if !row.better.is_empty() || !row.worse.is_empty() || row.rides == 0 {
            None
        } else if row.earlier.is_none() {
            Some(self.plain("horses-not-compared"))
        } else if row.judged == 0 {
            Some(self.plain("horses-too-few"))
        } else {
            Some(self.text("horses-no-change", &[("count", row.judged.into())]))
        }
    }

    /// Which exercises go worse on one rein, and on which.
    #[must_use]
    pub fn horse_one_sided(&self, row: &HorseRow) -> Option<String> {
        let named = row.one_sided.iter().map(|(name, worse)| {
            let exercise = self.exercise(name);
            match worse {
                Rein::Left => self.text("horses-worse-left", &[("exercise", exercise.into())]),
                Rein::Right => self.text("horses-worse-right", &[("exercise", exercise.into())]),
            }
        });
        let named: Vec<String> = named.collect();
        (!named.is_empty()).then(|| {
            let exercises = named.join(", ");
            self.text("horses-one-sided", &[("exercises", exercises.into())])
        })
    }

    /// What is to be thought about, in short, as much as a line holds; that a horse is young is said
    /// with its age.
    #[must_use]
    pub fn horse_cautions(&self, row: &HorseRow) -> Vec<String> {
        let mut said = self.load_in_short(row);
        said.extend(self.held(&row.held).into_iter().next());
        said
    }

    /// The same with every count of the timer of outlines, and what that timer rests on.
    #[must_use]
    pub fn horse_cautions_in_full(&self, row: &HorseRow) -> Vec<String> {
        let held = self.held(&row.held);
        let rests_on = (!held.is_empty()).then(|| self.plain("outline-caution"));
        let mut said = self.load_in_short(row);
        said.extend(held);
        said.extend(rests_on);
        said
    }

    fn load_in_short(&self, row: &HorseRow) -> Vec<String> {
        let mut said: Vec<String> = row
            .cautions
            .iter()
            .filter_map(|caution| match *caution {
                Caution::MuchMore => Some(self.plain("horses-much-more")),
                Caution::NoDayOff { days } => {
                    Some(self.text("horses-no-day-off", &[("days", days.into())]))
                }
                Caution::LongRide { .. } => Some(self.plain("horses-long-ride")),
                Caution::PerhapsLongRide { .. } => Some(self.plain("horses-perhaps-long-ride")),
                Caution::Young { .. } => None,
                // One without short words is said at its length.
                other => self.load_cautions(&[other]).into_iter().next(),
            })
            .collect();
        said.dedup();
        said
    }

    /// How many rides the timer of outlines noticed, the more serious first.
    #[must_use]
    pub fn held(&self, held: &Held) -> Vec<String> {
        let timed = held.timed;
        let mut said = Vec::new();
        if held.full > 0 {
            said.push(self.text(
                "horses-held-full",
                &[("rides", held.full.into()), ("timed", timed.into())],
            ));
        }
        if held.early > 0 {
            said.push(self.text(
                "horses-held-early",
                &[("rides", held.early.into()), ("timed", timed.into())],
            ));
        }
        said
    }

    fn named(&self, exercises: &[String]) -> Option<String> {
        let named = exercises
            .iter()
            .map(|name| self.exercise(name).into_owned());
        let named: Vec<String> = named.collect();
        (!named.is_empty()).then(|| named.join(", "))
    }
}
