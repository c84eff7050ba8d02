//! Outlines: how the time was shared, and the timer.

use reinback_analysis::outline::{Notice, OutlineProblem, OutlineReport, TimerRun, longest_run};

use super::Say;

impl Say {
    /// A share in whole percent: "62 %", "under 1 %".
    #[must_use]
    pub fn percent(&self, share: f64) -> String {
        if share > 0.0 && share < 0.005 {
            return self.plain("percent-tiny");
        }
        self.text(
            "percent",
            &[("percent", self.decimal(share * 100.0, 0).into())],
        )
    }

    /// What the timer says of a ride: its longest run.
    #[must_use]
    pub fn outline_timer(&self, report: &OutlineReport) -> String {
        longest_run(report).map_or_else(|| self.plain("outline-not-held"), |run| self.timer(run))
    }

    fn timer(&self, run: &TimerRun) -> String {
        let length = self.length(run.timed_nanos);
        let held = match run.notice() {
            Notice::Quiet => self.text("outline-quiet", &[("length", length.into())]),
            Notice::Early => self.text("outline-early", &[("length", length.into())]),
            Notice::Full => self.text("outline-full", &[("length", length.into())]),
        };
        if run.paused_nanos == 0 {
            return held;
        }
        let paused = self.length(run.paused_nanos);
        self.text(
            "outline-paused",
            &[("held", held.into()), ("length", paused.into())],
        )
    }

    /// How often the outline changed.
    #[must_use]
    pub fn outline_changes(&self, report: &OutlineReport) -> String {
        match report.changes.per_ten_minutes {
            Some(often) => self.text(
                "outline-changes",
                &[
                    ("changes", report.changes.changes.into()),
                    ("often", self.decimal(often, 1).into()),
                ],
            ),
            None => self.plain("outline-changes-few"),
        }
    }

    /// Why outlines cannot be looked at.
    #[must_use]
    pub fn outline_problem(&self, problem: OutlineProblem) -> String {
        match problem {
            OutlineProblem::NoRide => self.plain("outline-no-ride"),
            OutlineProblem::Rules => self.plain("outline-rules"),
            OutlineProblem::HeldAndReleased(_) => self.plain("outline-held-and-released"),
            other => other.to_string(),
        }
    }
}
