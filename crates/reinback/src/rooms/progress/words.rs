//! What a line says: its sentences, its sign, and the same for those who hear it.

use reinback_analysis::Verdict;
use reinback_yard::Rein;

use super::picture::{self, Side};
use crate::report::numbers::{Line, Measure};
use crate::report::shown::Yardstick;
use crate::said::Say;

/// How the lines speak.
#[derive(Clone, Copy)]
pub(super) struct Words<'a> {
    pub(super) say: &'a Say,
    pub(super) yardstick: Yardstick,
    pub(super) measure: Measure,
}

/// What is drawn before a name where a difference is more than luck; nothing else has a sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sign {
    /// More faults than before.
    Up,
    /// Fewer.
    Down,
    /// The rein on which more attempts are faulty.
    Weaker(Rein),
}

impl Words<'_> {
    /// The sign of a line.
    pub(super) fn sign(self, line: &Line) -> Option<Sign> {
        match self.yardstick {
            Yardstick::Days(_) => {
                let compared = line.compared.as_ref()?;
                match compared.verdict(self.measure) {
                    Verdict::More => Some(Sign::Up),
                    Verdict::Fewer => Some(Sign::Down),
                    Verdict::NoClearDifference | Verdict::TooFew(_) => None,
                }
            }
            // What tells the reins apart are their attempts.
            Yardstick::Reins if self.measure == Measure::Attempts => {
                line.clear.weaker_rein.map(Sign::Weaker)
            }
            Yardstick::Reins | Yardstick::Nothing => None,
        }
    }

    /// What matters most about a line, and what stands under it.
    pub(super) fn sentences(self, line: &Line) -> [String; 2] {
        self.say.sentences(line, self.yardstick, self.measure)
    }

    /// What a line says to those who hear it.
    pub(super) fn spoken(
        self,
        line: &Line,
        sentences: &[String; 2],
        reason: Option<&str>,
    ) -> String {
        let (say, figures) = (self.say, &line.figures);
        let mut parts = vec![say.exercise(&line.name).into_owned()];
        parts.extend_from_slice(sentences);
        parts.extend(reason.map(str::to_owned));
        for (side, cell) in picture::bars(figures) {
            let counts = say.counts(cell, self.measure);
            parts.push(match side {
                Side::All => continue,
                Side::Left => say.text("reins-left-count", &[("tally", counts.into())]),
                Side::Right => say.text("reins-right-count", &[("tally", counts.into())]),
                Side::Unsided => say.text("reins-none-count", &[("tally", counts.into())]),
            });
        }
        parts.push(self.course(line));
        parts.join(". ")
    }

    /// The words under the small picture of the rides.
    pub(super) fn course(self, line: &Line) -> String {
        match self.measure {
            Measure::Attempts => self.say.trend(&line.figures.trend, line.rides.len()),
            Measure::Faults => {
                let most = line.course.iter().map(|point| point.faults).max();
                self.say.most_faults(most.unwrap_or(0), by_month(line))
            }
        }
    }
}

/// Whether the rides of a line are so many that they are drawn month by month.
pub(super) fn by_month(line: &Line) -> bool {
    line.course.iter().any(|point| point.ride.is_none())
}
