//! Which days, and what they are compared with, as they are called on buttons and in lists.

use chrono::{Datelike as _, NaiveDate};
use reinback_analysis::compare::MIN_RIDES_PER_PERIOD;
use reinback_yard::Rein;

use super::{Earlier, Say};
use crate::report::numbers::Reins;
use crate::report::period::{Against, Choice, Few, Instead, Span, Unclear};

impl Say {
    /// "November to date", "October 2026", "Last 28 days".
    #[must_use]
    pub fn span(&self, span: Span, today: NaiveDate) -> String {
        match span {
            Span::Month(back) => {
                let first = span.month(today).unwrap_or(today);
                let month = self.month(first);
                if back == 0 {
                    return self.text("period-this-month", &[("month", month.into())]);
                }
                self.text(
                    "period-month",
                    &[
                        ("month", month.into()),
                        ("year", first.year().to_string().into()),
                    ],
                )
            }
            Span::FourWeeks => self.plain("period-28-days"),
            Span::ThreeMonths => self.plain("period-three-months"),
            Span::Everything => self.plain("period-everything"),
            Span::Typed => self.plain("period-days"),
        }
    }

    /// "28 days to 15 November": what stands in the place of a month with too few rides.
    #[must_use]
    pub fn span_instead(&self, why: &Instead) -> String {
        self.text("period-28-days-to", &[("day", self.day(why.latest).into())])
    }

    /// "all of October", "the 28 days before", after "Compare with". The days compared are those
    /// of `span`, which may stand in for that of the choice.
    #[must_use]
    pub fn against(
        &self,
        choice: &Choice,
        (span, against): (Span, Against),
        today: NaiveDate,
    ) -> String {
        match against {
            Against::Nothing => self.plain("against-nothing"),
            Against::Reins => self.plain("against-reins"),
            Against::Typed => self.plain("against-typed"),
            Against::DayBetween => self.plain("against-before"),
            Against::Earlier => match choice.earlier(span, today) {
                Some((_, Earlier::DaysBefore(days))) => {
                    self.text("against-days-before", &[("days", days.into())])
                }
                Some((days, Earlier::LastMonth | Earlier::Month(_))) => {
                    let month = self.month(days.from.unwrap_or(today));
                    self.text("against-last-month", &[("month", month.into())])
                }
                Some((_, Earlier::ThreeMonths)) => self.plain("against-three-months"),
                // Typed days without an end have none before them.
                _ => self.plain("against-as-many"),
            },
        }
    }

    /// "Left rein only".
    #[must_use]
    pub fn reins_counted(&self, reins: Reins) -> String {
        match reins {
            Reins::Both => self.plain("reins-both"),
            Reins::Only(Rein::Left) => self.plain("reins-only-left"),
            Reins::Only(Rein::Right) => self.plain("reins-only-right"),
        }
    }

    /// Why other days are shown than the running month: two sentences.
    #[must_use]
    pub fn instead(&self, why: &Instead) -> String {
        let number = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
        let month = self.month(why.month);
        let latest = self.day_in_full(why.latest);
        let least = number(MIN_RIDES_PER_PERIOD);
        match why.few {
            Few::Rides(rides) => self.text(
                "instead",
                &[
                    ("month", month.into()),
                    ("rides", number(rides).into()),
                    ("least", least.into()),
                    ("latest", latest.into()),
                ],
            ),
            Few::Horses { enough, of } => self.text(
                "instead-horses",
                &[
                    ("month", month.into()),
                    ("enough", number(enough).into()),
                    ("horses", number(of).into()),
                    ("least", least.into()),
                    ("latest", latest.into()),
                ],
            ),
        }
    }

    /// What is wrong with typed days: a sentence.
    #[must_use]
    pub fn unclear(&self, why: &Unclear) -> String {
        match why {
            Unclear::NotADay(text) => self.text("day-unread", &[("text", text.as_str().into())]),
            Unclear::TurnedRound => self.plain("days-turned"),
        }
    }
}
