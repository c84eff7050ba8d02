//! Two periods, and the reins, against each other.

use chrono::{Datelike as _, NaiveDate};
use reinback_analysis::compare::MIN_RIDES_PER_PERIOD;
use reinback_analysis::{Comparison, Estimate, Reservation, Shortage, Verdict};

use super::Say;
use crate::report::numbers::{Days, Line, Numbers};

/// When the first of two periods was, as the second is spoken of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Earlier {
    /// The whole of the month before this one.
    LastMonth,
    /// The whole of a month, by its first day.
    Month(NaiveDate),
    /// So many days right before as many.
    DaysBefore(u32),
    /// The three months before the last three.
    ThreeMonths,
    /// Everything before a day.
    Before(NaiveDate),
    /// Any other days.
    Others(Days),
}

impl Say {
    /// "last month", as it stands in a sentence.
    #[must_use]
    pub fn earlier(&self, earlier: Earlier) -> String {
        match earlier {
            Earlier::LastMonth => self.plain("earlier-last-month"),
            Earlier::Month(first) => self.text(
                "earlier-month",
                &[
                    ("month", self.month(first).into()),
                    ("year", first.year().to_string().into()),
                ],
            ),
            Earlier::DaysBefore(days) => self.text("earlier-days-before", &[("days", days.into())]),
            Earlier::Others(days) => {
                self.text("earlier-others", &[("days", self.days(days).into())])
            }
            Earlier::ThreeMonths => self.plain("earlier-three-months"),
            Earlier::Before(day) => {
                self.text("earlier-days", &[("day", self.day_in_full(day).into())])
            }
        }
    }

    /// "4 of 23 attempts, about 1 in 6; last month 9 of 21: fewer, and likely more than luck".
    #[must_use]
    pub fn periods(&self, compared: &Comparison, earlier: Earlier) -> String {
        let sides = (
            self.rate_now(&compared.after),
            self.tally(compared.before.tally),
        );
        let attempts = [&compared.after, &compared.before].map(|rate| rate.tally.attempts);
        self.two_periods(sides, earlier, attempts, compared.verdict)
    }

    /// The counts of two periods with what may be said of them; `attempts` of now and before.
    pub(super) fn two_periods(
        &self,
        (now, before): (String, String),
        earlier: Earlier,
        attempts: [u32; 2],
        verdict: Verdict,
    ) -> String {
        let earlier = self.earlier(earlier);
        if attempts[1] == 0 {
            return self.text(
                "periods-only-now",
                &[("now", now.into()), ("earlier", earlier.into())],
            );
        }
        if attempts[0] == 0 {
            return self.text(
                "periods-only-before",
                &[("earlier", earlier.into()), ("before", before.into())],
            );
        }
        match verdict {
            Verdict::Fewer => self.text(
                "periods-fewer",
                &[
                    ("now", now.into()),
                    ("earlier", earlier.into()),
                    ("before", before.into()),
                ],
            ),
            Verdict::More => self.text(
                "periods-more",
                &[
                    ("now", now.into()),
                    ("earlier", earlier.into()),
                    ("before", before.into()),
                ],
            ),
            Verdict::NoClearDifference => self.text(
                "periods-unclear",
                &[
                    ("now", now.into()),
                    ("earlier", earlier.into()),
                    ("before", before.into()),
                ],
            ),
            Verdict::TooFew(_) => self.text(
                "periods-few",
                &[
                    ("now", now.into()),
                    ("earlier", earlier.into()),
                    ("before", before.into()),
                ],
            ),
        }
    }

    /// Why two periods cannot be compared by any line; nothing where they can.
    #[must_use]
    pub fn few_rides(&self, numbers: &Numbers, earlier: Earlier) -> Option<String> {
        let earlier = self.earlier(earlier);
        let few = |rides: usize| rides < MIN_RIDES_PER_PERIOD;
        if numbers.rides_against == 0 {
            Some(self.text("no-rides-before", &[("earlier", earlier.into())]))
        } else if few(numbers.rides) {
            let rides = self.rides(numbers.rides);
            Some(self.text("few-rides-now", &[("rides", rides.into())]))
        } else if few(numbers.rides_against) {
            let rides = self.rides(numbers.rides_against);
            Some(self.text(
                "few-rides-before",
                &[("rides", rides.into()), ("earlier", earlier.into())],
            ))
        } else {
            None
        }
    }

    /// Which exercises were ridden before and not since; nothing where all were.
    #[must_use]
    pub fn only_before(&self, numbers: &Numbers, earlier: Earlier) -> Option<String> {
        if numbers.only_before.is_empty() {
            return None;
        }
        let named = numbers.only_before.iter().map(|gone| {
            self.text(
                "only-before-one",
                &[
                    ("exercise", self.exercise(&gone.name).into()),
                    ("tally", self.tally(gone.tally).into()),
                ],
            )
        });
        let named = named.collect::<Vec<_>>().join("; ");
        Some(self.text(
            "only-before",
            &[
                ("earlier", self.earlier(earlier).into()),
                ("exercises", named.into()),
            ],
        ))
    }

    /// How far two periods are apart, and why there is no verdict where one was near; one
    /// sentence an entry, and none where there is nothing to compare.
    #[must_use]
    pub fn periods_apart(&self, compared: &Comparison) -> Vec<String> {
        let tallies = [compared.before.tally, compared.after.tally];
        if tallies.iter().any(|tally| tally.attempts == 0) {
            return Vec::new();
        }
        let mut said: Vec<String> = match (compared.verdict, compared.difference) {
            (Verdict::TooFew(Shortage::FewerThanFourRides), _) => {
                vec![self.plain("periods-why-few-rides")]
            }
            (Verdict::TooFew(Shortage::FewerThanSixAttempts), _) => {
                vec![self.plain("periods-why-few-attempts")]
            }
            (Verdict::TooFew(why), _) => vec![self.why(why)],
            (_, Ok(range)) => vec![self.apart(&range, "periods")],
            (_, Err(_)) => Vec::new(),
        };
        said.extend(compared.reservation.map(|why| self.reservation(why)));
        said
    }

    /// The same in one line.
    #[must_use]
    pub fn periods_apart_in_short(&self, compared: &Comparison) -> Option<String> {
        let apart = self.periods_apart(compared).into_iter().next()?;
        Some(self.in_short(apart, compared.reservation))
    }

    /// How far two sides are apart, with why one witness was not enough.
    fn in_short(&self, apart: String, reservation: Option<Reservation>) -> String {
        match reservation {
            Some(Reservation::RangeAlone) => {
                self.text("reserved-range-alone", &[("apart", apart.into())])
            }
            Some(Reservation::ManyLines) => {
                self.text("reserved-many-lines", &[("apart", apart.into())])
            }
            Some(Reservation::ShufflesAlone) => {
                self.text("reserved-shuffles-alone", &[("apart", apart.into())])
            }
            None => apart,
        }
    }

    /// The reins against each other in two lines: the counts with what may be said, and how far they
    /// are apart or why nobody can tell.
    #[must_use]
    pub fn reins_in_short(&self, line: &Line) -> [String; 2] {
        let Some(reins) = &line.reins else {
            return [self.rate(&line.figures.all.rate), self.reins(line)];
        };
        let left = self.tally(reins.before.tally);
        let right = self.tally(reins.after.tally);
        let first = match reins.verdict {
            Verdict::Fewer => self.text(
                "reins-short-right",
                &[("left", left.into()), ("right", right.into())],
            ),
            Verdict::More => self.text(
                "reins-short-left",
                &[("left", left.into()), ("right", right.into())],
            ),
            Verdict::NoClearDifference => self.text(
                "reins-short-unclear",
                &[("left", left.into()), ("right", right.into())],
            ),
            Verdict::TooFew(_) => self.text(
                "reins-short-few",
                &[("left", left.into()), ("right", right.into())],
            ),
        };
        let second = match (reins.verdict, reins.difference) {
            (Verdict::TooFew(Shortage::FewerThanFourRides), _) => self.plain("reins-why-few-rides"),
            (Verdict::TooFew(Shortage::FewerThanSixAttempts), _) => {
                self.plain("reins-why-few-attempts")
            }
            (Verdict::TooFew(why), _) | (_, Err(why)) => self.why(why),
            (_, Ok(range)) => self.in_short(self.apart(&range, "reins"), reins.reservation),
        };
        [first, second]
    }

    /// The reins against each other, with the counts and the range.
    #[must_use]
    pub fn reins(&self, line: &Line) -> String {
        let Some(reins) = &line.reins else {
            let figures = &line.figures;
            let sided = figures.left.rate.tally.attempts + figures.right.rate.tally.attempts > 0;
            return if sided {
                self.plain("reins-apart")
            } else {
                self.plain("reins-not-noted")
            };
        };
        let left = self.tally(reins.before.tally);
        let right = self.tally(reins.after.tally);
        let mut apart = match &reins.difference {
            Ok(range) => format!("{} {}", self.apart(range, "reins"), self.plain("reins-how")),
            Err(_) => String::new(),
        };
        match reins.verdict {
            Verdict::Fewer => self.text(
                "reins-right",
                &[
                    ("left", left.into()),
                    ("right", right.into()),
                    ("apart", apart.into()),
                ],
            ),
            Verdict::More => self.text(
                "reins-left",
                &[
                    ("left", left.into()),
                    ("right", right.into()),
                    ("apart", apart.into()),
                ],
            ),
            Verdict::NoClearDifference => {
                if let Some(why) = reins.reservation {
                    apart = format!("{apart} {}", self.reservation(why));
                }
                self.text(
                    "reins-unclear",
                    &[
                        ("left", left.into()),
                        ("right", right.into()),
                        ("apart", apart.into()),
                    ],
                )
            }
            Verdict::TooFew(Shortage::FewerThanFourRides) => self.text(
                "reins-few-rides",
                &[("left", left.into()), ("right", right.into())],
            ),
            Verdict::TooFew(Shortage::FewerThanSixAttempts) => self.text(
                "reins-few-attempts",
                &[("left", left.into()), ("right", right.into())],
            ),
            Verdict::TooFew(why) => self.text(
                "reins-few",
                &[
                    ("left", left.into()),
                    ("right", right.into()),
                    ("why", self.why(why).into()),
                ],
            ),
        }
    }

    /// "Of 100 attempts, probably between 5 and 50 fewer are faulty on the right."
    fn apart(&self, range: &Estimate, sides: &str) -> String {
        let hundred = |share: f64| (share.abs() * 100.0).round();
        if range.low < 0.0 && range.high > 0.0 {
            let (fewer, more) = (hundred(range.low), hundred(range.high));
            // "From 0 fewer to 9 more" is not how anybody speaks.
            return if fewer < 1.0 {
                self.text(
                    "apart-or-more",
                    &[("more", more.into()), ("sides", sides.into())],
                )
            } else if more < 1.0 {
                self.text(
                    "apart-or-fewer",
                    &[("fewer", fewer.into()), ("sides", sides.into())],
                )
            } else {
                self.text(
                    "apart-either",
                    &[
                        ("fewer", fewer.into()),
                        ("more", more.into()),
                        ("sides", sides.into()),
                    ],
                )
            };
        }
        let fewer = range.high <= 0.0;
        let (near, far) = if fewer {
            (hundred(range.high), hundred(range.low))
        } else {
            (hundred(range.low), hundred(range.high))
        };
        // "Between 0 and 9 fewer" would sound as if the range held none.
        match (fewer, near < 1.0) {
            (true, false) => self.text(
                "apart-fewer",
                &[
                    ("low", near.into()),
                    ("high", far.into()),
                    ("sides", sides.into()),
                ],
            ),
            (true, true) => self.text(
                "apart-fewer-up-to",
                &[("high", far.into()), ("sides", sides.into())],
            ),
            (false, false) => self.text(
                "apart-more",
                &[
                    ("low", near.into()),
                    ("high", far.into()),
                    ("sides", sides.into()),
                ],
            ),
            (false, true) => self.text(
                "apart-more-up-to",
                &[("high", far.into()), ("sides", sides.into())],
            ),
        }
    }

    /// Why one witness was not enough.
    pub(super) fn reservation(&self, why: Reservation) -> String {
        match why {
            Reservation::RangeAlone => self.plain("reservation-range-alone"),
            Reservation::ManyLines => self.plain("reservation-many-lines"),
            Reservation::ShufflesAlone => self.plain("reservation-shuffles-alone"),
        }
    }
}
