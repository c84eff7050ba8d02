//! Series of flying changes.

use reinback_analysis::series::{
    EvennessReason, Lead, Series, SeriesProblem, StrideSource, Unverified,
};
use reinback_analysis::series_count::{Count, Verdict};

use super::Say;
use crate::report::whole::SeriesShown;

impl Say {
    /// "5 every fourth stride asked", as far as it was noted.
    #[must_use]
    pub fn series_asked(&self, count: Option<u16>, every: Option<u16>) -> String {
        match (count, every) {
            (Some(count), Some(every)) => self.text(
                "series-asked",
                &[("count", count.into()), ("every", every.into())],
            ),
            (None, Some(every)) => self.text("series-asked-every", &[("every", every.into())]),
            (Some(count), None) => self.text("series-asked-count", &[("count", count.into())]),
            (None, None) => self.plain("series-asked-nothing"),
        }
    }

    /// What a series shows; one sentence an entry, the most important first. `every` is whether a
    /// number of strides was asked at all, `counted` whether how many was.
    #[must_use]
    pub fn series(&self, found: &Series, every: bool, counted: bool) -> Vec<String> {
        let mut said = Vec::new();
        match &found.count {
            Ok(count) => said.extend(self.series_count(found, count, counted)),
            Err(_) if !every => said.push(self.plain("series-not-asked")),
            Err(why) => said.push(self.unverified(*why)),
        }
        said.push(self.evenness(found));
        let leads = [
            (self.plain("series-to-left"), &found.onto_left),
            (self.plain("series-to-right"), &found.onto_right),
        ];
        said.extend(
            leads
                .iter()
                .filter_map(|(name, lead)| self.lead(name, lead)),
        );
        if !found.same_lead_twice.is_empty() {
            let times = u32::try_from(found.same_lead_twice.len()).unwrap_or(u32::MAX);
            said.push(self.text("series-same-lead", &[("times", times.into())]));
        }
        if found.shown > 0 {
            said.push(self.plain("series-no-feet"));
        }
        said
    }

    fn series_count(&self, found: &Series, count: &Count, counted: bool) -> Vec<String> {
        let (wrong, sure) = (count.wrong.faulty, count.wrong.attempts);
        let every = found.asked.every;
        let mut said = vec![match count.steady_every {
            Some(ridden) => self.text(
                "series-other",
                &[("ridden", ridden.into()), ("every", every.into())],
            ),
            None if sure == 0 => self.plain("series-none-sure"),
            None if wrong == 0 => self.text(
                "series-held",
                &[("sure", sure.into()), ("every", every.into())],
            ),
            None => self.text(
                "series-wrong",
                &[
                    ("wrong", wrong.into()),
                    ("sure", sure.into()),
                    ("kinds", self.kinds(count).into()),
                    ("run", count.longest_run.into()),
                ],
            ),
        }];
        if count.unsure > 0 {
            said.push(self.text("series-unsure", &[("unsure", count.unsure.into())]));
        }
        if counted && count.surplus != 0 {
            said.push(self.text(
                "series-surplus",
                &[
                    ("shown", found.shown.into()),
                    ("asked", found.asked.count.into()),
                ],
            ));
        }
        let seconds = count.stride.nanos as f64 / 1e9;
        let source = match count.stride.source {
            StrideSource::TempoTrack => self.plain("stride-film"),
            StrideSource::Taps => self.plain("stride-taps"),
            StrideSource::EarlierCanter => self.plain("stride-earlier"),
        };
        said.push(self.text(
            "series-stride",
            &[
                ("seconds", self.decimal(seconds, 2).into()),
                ("source", source.into()),
            ],
        ));
        said
    }

    fn kinds(&self, count: &Count) -> String {
        let early = count.early;
        let kinds = [
            (early, self.text("series-early", &[("times", early.into())])),
            (
                count.late,
                self.text("series-late", &[("times", count.late.into())]),
            ),
            (
                count.missed,
                self.text("series-missed", &[("times", count.missed.into())]),
            ),
            (
                count.extra,
                self.text("series-extra", &[("times", count.extra.into())]),
            ),
        ];
        let there = kinds.into_iter().filter(|(times, _)| *times > 0);
        there.map(|(_, said)| said).collect::<Vec<_>>().join(", ")
    }

    fn unverified(&self, why: Unverified) -> String {
        match why {
            Unverified::TooFewChanges => self.plain("series-few-changes"),
            Unverified::MarksNotRefined => self.plain("series-not-refined"),
            Unverified::NoStrideTime => self.plain("series-no-stride"),
            other => other.to_string(),
        }
    }

    fn evenness(&self, found: &Series) -> String {
        match found.evenness {
            Ok(even) => self.text(
                "series-even",
                &[
                    ("spread", self.percent(even.spread.value).into()),
                    ("low", self.percent(even.spread.low).into()),
                    ("high", self.percent(even.spread.high).into()),
                    ("frames", self.percent(even.of_frames).into()),
                ],
            ),
            Err(EvennessReason::TooFewChanges) => self.plain("series-even-few"),
            Err(_) => self.plain("series-uneven"),
        }
    }

    fn lead(&self, name: &str, lead: &Lead) -> Option<String> {
        (lead.miscounted.attempts > 0).then(|| {
            self.text(
                "series-lead",
                &[
                    ("side", name.into()),
                    ("tally", self.tally(lead.miscounted).into()),
                ],
            )
        })
    }

    /// What stands between two changes: "4", "3 early", "4 or 5".
    #[must_use]
    pub fn interval(&self, strides: f64, verdict: Verdict) -> String {
        match verdict {
            Verdict::Unsure { fewest, most } => self.text(
                "interval-unsure",
                &[("fewest", fewest.into()), ("most", most.into())],
            ),
            Verdict::AsAsked => self.decimal(strides, 0),
            Verdict::Early { .. } => self.text(
                "interval-early",
                &[("strides", self.decimal(strides, 0).into())],
            ),
            Verdict::Late { .. } => self.text(
                "interval-late",
                &[("strides", self.decimal(strides, 0).into())],
            ),
            Verdict::Missed { .. } => self.text(
                "interval-missed",
                &[("strides", self.decimal(strides, 0).into())],
            ),
            Verdict::Extra => self.text(
                "interval-extra",
                &[("strides", self.decimal(strides, 0).into())],
            ),
        }
    }

    /// "4 May 2026: flying change, asked 15, every third stride".
    #[must_use]
    pub fn series_title(&self, exercise: &str, one: &SeriesShown) -> String {
        self.text(
            "series-title",
            &[
                ("day", self.day(one.date).into()),
                ("exercise", exercise.into()),
                (
                    "asked",
                    self.series_asked(one.ridden.asked_count, one.ridden.every)
                        .into(),
                ),
            ],
        )
    }

    /// What is wrong with a series.
    #[must_use]
    pub fn series_problem(&self, problem: SeriesProblem) -> String {
        match problem {
            SeriesProblem::ImpossibleAsked => self.plain("series-impossible-asked"),
            SeriesProblem::ImpossibleStride => self.plain("series-impossible-stride"),
            SeriesProblem::ImpossibleFrame => self.plain("series-impossible-frame"),
            SeriesProblem::MarkedTwice { .. } => self.plain("series-marked-twice"),
            other => other.to_string(),
        }
    }
}
