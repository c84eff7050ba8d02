//! Tempo, transitions and the aids before them.

use reinback_analysis::Pace;
use reinback_analysis::tempo::orientation;
use reinback_analysis::tempo_around::Around;
use reinback_analysis::transitions::Frequency;

use super::{Kind, Say};
use crate::report::whole::{AroundWhat, PaceOver, Steps, StepsKind};

impl Say {
    /// A pace.
    #[must_use]
    pub fn pace(&self, pace: Pace) -> String {
        match pace {
            Pace::Walk => self.plain("pace-walk"),
            Pace::Trot => self.plain("pace-trot"),
            Pace::Canter => self.plain("pace-canter"),
            Pace::Passage => self.plain("pace-passage"),
            Pace::Piaffe => self.plain("pace-piaffe"),
            Pace::Halt => self.plain("pace-halt"),
            Pace::ReinBack => self.plain("pace-rein-back"),
        }
    }

    /// "trot, collected".
    #[must_use]
    pub fn going(&self, pace: Pace, variant: Option<&str>) -> String {
        match variant {
            None => self.pace(pace),
            Some(variant) => {
                let variant = self.word(Kind::Variant, variant).into_owned();
                let pace = self.pace(pace);
                self.text(
                    "going",
                    &[("pace", pace.into()), ("variant", variant.into())],
                )
            }
        }
    }

    /// The tempo of a pace over the rides; one sentence an entry.
    #[must_use]
    pub fn tempo(&self, over: &PaceOver, variant: Option<&str>) -> Vec<String> {
        let mut said = vec![self.text(
            "tempo-pace",
            &[
                ("pace", self.going(over.pace, variant).into()),
                ("median", self.decimal(over.median, 0).into()),
                ("rides", self.in_rides(over.points.len()).into()),
            ],
        )];
        if over.pace == Pace::Trot {
            let steps = self.decimal(over.median * 2.0, 0);
            said.push(self.text("tempo-steps", &[("steps", steps.into())]));
        }
        if over.points.iter().any(|point| point.straight) {
            said.push(self.text("tempo-lapses", &[("lapses", over.lapses.into())]));
        } else {
            said.push(self.plain("tempo-no-line"));
        }
        if let Some((low, high)) = orientation(over.pace) {
            said.push(self.text(
                "tempo-published",
                &[
                    ("low", self.decimal(low, 0).into()),
                    ("high", self.decimal(high, 0).into()),
                ],
            ));
        }
        said
    }

    /// The tempo about changes, corners or transitions.
    #[must_use]
    pub fn around(&self, what: AroundWhat, found: &Around) -> Vec<String> {
        let events = u32::try_from(found.events.len()).unwrap_or(u32::MAX);
        let head = match what {
            AroundWhat::Changes => self.text("around-changes", &[("events", events.into())]),
            AroundWhat::Corners => self.text("around-corners", &[("events", events.into())]),
            AroundWhat::Within => self.text("around-within", &[("events", events.into())]),
        };
        let mut said = Vec::new();
        match found.median_by {
            None => said.push(self.plain("around-none")),
            Some(by) => {
                let percent = self.decimal(by.abs() * 100.0, 1);
                let typical = if by >= 0.0 {
                    self.text("around-by-quicker", &[("percent", percent.into())])
                } else {
                    self.text("around-by-slower", &[("percent", percent.into())])
                };
                said.push(self.text(
                    "around",
                    &[
                        ("head", head.into()),
                        ("quicker", found.quicker.tally.faulty.into()),
                        ("slower", found.slower.tally.faulty.into()),
                        ("typical", typical.into()),
                    ],
                ));
            }
        }
        if found.left_out > 0 {
            said.push(self.text("around-left-out", &[("events", found.left_out.into())]));
        }
        said
    }

    /// Transitions of several rides; one sentence an entry.
    #[must_use]
    pub fn steps(&self, steps: &Steps) -> Vec<String> {
        let mut said = vec![
            self.text(
                "steps-known",
                &[
                    ("length", self.length(steps.all.known_nanos).into()),
                    ("rides", self.in_rides(steps.rides).into()),
                ],
            ),
            self.text(
                "steps-between",
                &[
                    ("count", steps.all.between.count.into()),
                    ("often", self.often(&steps.all.between).into()),
                ],
            ),
            self.text(
                "steps-within",
                &[
                    ("count", steps.all.within.count.into()),
                    ("often", self.often(&steps.all.within).into()),
                ],
            ),
        ];
        if steps.not_counted > 0 {
            said.push(self.text("steps-left-out", &[("count", steps.not_counted.into())]));
        }
        let answers = &steps.all.answers;
        let aids = answers.answered + answers.unanswered;
        if aids > 0 {
            said.push(self.text(
                "steps-aids",
                &[("answered", answers.answered.into()), ("aids", aids.into())],
            ));
        }
        if let Some(times) = answers.times {
            said.push(self.text(
                "steps-answers",
                &[
                    ("middle", self.decimal(times.median, 1).into()),
                    ("low", self.decimal(times.lower_quarter, 1).into()),
                    ("high", self.decimal(times.upper_quarter, 1).into()),
                ],
            ));
        }
        said
    }

    fn often(&self, found: &Frequency) -> String {
        match found.per_minute {
            Ok(rate) => self.text(
                "steps-often",
                &[
                    ("value", self.decimal(rate.value, 2).into()),
                    ("low", self.decimal(rate.low, 2).into()),
                    ("high", self.decimal(rate.high, 2).into()),
                ],
            ),
            Err(why) => self.why(why),
        }
    }

    /// "walk to trot", "trot, collected to medium".
    #[must_use]
    pub fn steps_kind(&self, kind: &StepsKind) -> String {
        match kind {
            StepsKind::Between(from, to) => self.text(
                "steps-kind",
                &[
                    ("from", self.pace(*from).into()),
                    ("to", self.pace(*to).into()),
                ],
            ),
            StepsKind::Within(pace, from, to) => {
                let (from, to) = (from.spelled(), to.spelled());
                let from = self.word(Kind::Variant, &from).into_owned();
                let to = self.word(Kind::Variant, &to).into_owned();
                self.text(
                    "steps-kind-within",
                    &[
                        ("pace", self.pace(*pace).into()),
                        ("from", from.into()),
                        ("to", to.into()),
                    ],
                )
            }
        }
    }
}
