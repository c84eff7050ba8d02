//! Fault rates, faults a minute, and what is in neither.

use reinback_analysis::{Estimate, FaultRate, PerMinute, Shortage, Tally};

use super::Say;
use super::numbers::fraction;
use crate::report::numbers::Numbers;

impl Say {
    /// "4 of 23 attempts".
    pub(super) fn attempts(&self, tally: Tally) -> String {
        self.text(
            "attempts",
            &[
                ("faulty", tally.faulty.into()),
                ("attempts", tally.attempts.into()),
            ],
        )
    }

    /// "4 of 23".
    #[must_use]
    pub fn tally(&self, tally: Tally) -> String {
        self.text(
            "tally",
            &[
                ("faulty", tally.faulty.into()),
                ("attempts", tally.attempts.into()),
            ],
        )
    }

    /// "4 of 23 attempts, about 1 in 6 (probably between 1 in 14 and 1 in 3)".
    #[must_use]
    pub fn rate(&self, rate: &FaultRate) -> String {
        let counts = self.attempts(rate.tally);
        match &rate.range {
            Ok(range) if rate.tally.faulty == 0 => self.text(
                "rate-none",
                &[
                    ("counts", counts.into()),
                    ("range", self.between(range).into()),
                ],
            ),
            Ok(range) if rate.tally.faulty == rate.tally.attempts => self.text(
                "rate-all",
                &[
                    ("counts", counts.into()),
                    ("range", self.between(range).into()),
                ],
            ),
            // The counts say it more exactly than any words for so small or so large a share.
            Ok(range) if fraction(range.value).is_none() => self.text(
                "rate-near",
                &[
                    ("counts", counts.into()),
                    ("range", self.between(range).into()),
                ],
            ),
            Ok(range) => self.text(
                "rate",
                &[
                    ("counts", counts.into()),
                    ("share", self.share(range.value).into()),
                    ("range", self.between(range).into()),
                ],
            ),
            Err(Shortage::NoAttempts) => self.plain("rate-unridden"),
            Err(Shortage::FewerThanSixAttempts) => {
                self.text("rate-few", &[("counts", counts.into())])
            }
            Err(other) => self.text(
                "rate-why",
                &[("counts", counts.into()), ("why", self.why(*other).into())],
            ),
        }
    }

    /// A rate without its range, for where another one stands beside it.
    pub(super) fn rate_now(&self, rate: &FaultRate) -> String {
        let counts = self.attempts(rate.tally);
        match &rate.range {
            Ok(_) if rate.tally.faulty == 0 => self.text("now-none", &[("counts", counts.into())]),
            Ok(_) if rate.tally.faulty == rate.tally.attempts => {
                self.text("now-all", &[("counts", counts.into())])
            }
            Ok(range) if fraction(range.value).is_some() => self.text(
                "now-about",
                &[
                    ("counts", counts.into()),
                    ("share", self.share(range.value).into()),
                ],
            ),
            _ => self.text("now-few", &[("counts", counts.into())]),
        }
    }

    /// "probably between 1 in 14 and 1 in 3".
    pub(super) fn between(&self, range: &Estimate) -> String {
        let (low, high) = (self.share(range.low), self.share(range.high));
        match (fraction(range.low), fraction(range.high)) {
            (None, Some(_)) => self.text("range-below", &[("high", high.into())]),
            (Some(_), None) => self.text("range-above", &[("low", low.into())]),
            (Some(one), Some(other)) if one == other => {
                self.text("range-close", &[("low", low.into())])
            }
            (Some(_), Some(_)) => self.text(
                "range-between",
                &[("low", low.into()), ("high", high.into())],
            ),
            // Both ends beyond what words tell apart: at the same side, or one at each.
            (None, None) if range.high < 0.5 => self.plain("range-tiny"),
            (None, None) if range.low > 0.5 => self.plain("range-nearly-all"),
            (None, None) => self.plain("range-any"),
        }
    }

    /// "0.8 faults a minute (0.4 to 1.4) in 5 min 12 s".
    #[must_use]
    pub fn per_minute(&self, rate: &PerMinute) -> String {
        match &rate.range {
            Ok(range) => self.text(
                "per-minute",
                &[
                    ("value", self.measured(range.value).into()),
                    ("low", self.measured(range.low).into()),
                    ("high", self.measured(range.high).into()),
                    ("ridden", self.length(rate.ridden_nanos).into()),
                ],
            ),
            Err(_) => self.plain("per-minute-none"),
        }
    }

    /// What is in no rate; empty where everything is.
    #[must_use]
    pub fn left_out(&self, numbers: &Numbers) -> Vec<String> {
        let mut lines = Vec::new();
        if numbers.unreviewed > 0 {
            lines.push(if numbers.waiting_faults > 0 {
                self.text(
                    "left-out-faults",
                    &[
                        ("exercises", numbers.unreviewed.into()),
                        ("faults", numbers.waiting_faults.into()),
                    ],
                )
            } else {
                self.text("left-out", &[("exercises", numbers.unreviewed.into())])
            });
        }
        let loose = numbers
            .loose_faults
            .iter()
            .fold(0_u32, |sum, fault| sum.saturating_add(fault.times));
        if loose > 0 {
            lines.push(self.text("loose-faults", &[("faults", loose.into())]));
        }
        lines
    }
}
