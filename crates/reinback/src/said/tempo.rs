//! Tempo, transitions and the aids before them.

use reinback_analysis::Pace;
use reinback_analysis::tempo::orientation;
use reinback_analysis::tempo_around::Around;
use reinback_analysis::transitions::Frequency;
use reinback_yard::WordId;

use super::Say;
use crate::report::figures::about::{Kind, KindAbout, Middle, TempoAbout};
use crate::report::whole::{AroundWhat, PaceOver, PacePoint, Steps, StepsKind};

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

    /// "collected trot". Pace and variant are one term of the trade, not two words side by side:
    /// medium walk is "Mittelschritt", medium trot "Mitteltrab".
    #[must_use]
    pub fn going(&self, pace: Pace, variant: Option<&str>) -> String {
        let Some(variant) = variant else {
            return self.pace(pace);
        };
        match pace {
            Pace::Walk => self.text("going-walk", &[("variant", variant.into())]),
            Pace::Trot => self.text("going-trot", &[("variant", variant.into())]),
            Pace::Canter => self.text("going-canter", &[("variant", variant.into())]),
            Pace::Passage | Pace::Piaffe | Pace::Halt | Pace::ReinBack => {
                let pace = self.pace(pace);
                self.text(
                    "going",
                    &[("pace", pace.into()), ("variant", variant.into())],
                )
            }
        }
    }

    /// What a tempo in this pace is counted in.
    fn tempo_unit(&self, pace: Pace) -> String {
        if pace == Pace::Canter {
            self.plain("tempo-unit-canter")
        } else {
            self.plain("tempo-unit")
        }
    }

    /// One ride's tempo in a pace, or the middle one of a month's rides.
    #[must_use]
    pub fn tempo_point(&self, over: &PaceOver, point: &PacePoint) -> String {
        let variant = over.variant.as_ref().map(WordId::spelled);
        let pace = self.going(over.pace, variant.as_deref());
        let unit = self.tempo_unit(over.pace);
        let median = self.decimal(point.median, 1);
        self.text(
            "tempo-point",
            &[
                ("day", self.day(point.date).into()),
                ("pace", pace.into()),
                ("median", median.into()),
                ("unit", unit.into()),
                ("strides", self.decimal(point.strides, 0).into()),
            ],
        )
    }

    /// The tempo of the rides of a month: the median of theirs, and how many.
    #[must_use]
    pub fn tempo_month(&self, over: &PaceOver, point: &PacePoint) -> String {
        let variant = over.variant.as_ref().map(WordId::spelled);
        self.text(
            "tempo-month",
            &[
                ("month", self.month_of_year(point.date).into()),
                ("pace", self.going(over.pace, variant.as_deref()).into()),
                ("median", self.decimal(point.median, 1).into()),
                ("unit", self.tempo_unit(over.pace).into()),
                ("rides", self.in_rides(point.rides as usize).into()),
            ],
        )
    }

    /// The tempo of a pace over the rides; one sentence an entry.
    #[must_use]
    pub fn tempo(&self, over: &PaceOver, variant: Option<&str>) -> Vec<String> {
        let pace = self.going(over.pace, variant);
        let median = self.decimal(over.median, 0);
        let unit = self.tempo_unit(over.pace);
        let mut said = vec![if over.points.len() == 1 {
            self.text(
                "tempo-pace",
                &[
                    ("pace", pace.into()),
                    ("median", median.into()),
                    ("unit", unit.into()),
                ],
            )
        } else {
            self.text(
                "tempo-pace-rides",
                &[
                    ("pace", pace.into()),
                    ("median", median.into()),
                    ("unit", unit.into()),
                    ("rides", self.in_rides(over.points.len()).into()),
                ],
            )
        }];
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

    /// "canter", "Quill, trot, 10 m": what some attempts have in common; empty where nothing is known.
    #[must_use]
    pub fn kind_about(&self, kind: &Kind) -> String {
        let pace = kind.pace.map(|pace| self.pace(pace));
        let variant = kind.variant.as_ref();
        let variant = variant.map(|variant| self.variant(variant).into_owned());
        let named: Vec<String> = [kind.horse.clone(), pace, variant]
            .into_iter()
            .flatten()
            .collect();
        if named.is_empty() {
            return self.plain("variant-not-noted");
        }
        named.join(", ")
    }

    /// The tempo before, in and after an exercise, each kind of attempts by itself, or that it was
    /// not tapped.
    #[must_use]
    pub fn tempo_about(&self, found: &TempoAbout) -> String {
        let kinds = found.kinds();
        let mut said: Vec<String> = kinds
            .iter()
            .filter_map(|own| {
                let text = self.tempo_of_kind(own)?;
                if kinds.len() == 1 {
                    return Some(text);
                }
                let kind = self.kind_about(own.kind);
                Some(self.text(
                    "about-kind",
                    &[("kind", kind.into()), ("said", text.into())],
                ))
            })
            .collect();
        if said.is_empty() {
            return self.plain("about-none");
        }
        if found.left_out > 0 {
            said.push(self.text("around-left-out", &[("events", found.left_out.into())]));
        }
        said.join(" ")
    }

    fn tempo_of_kind(&self, own: &KindAbout<'_>) -> Option<String> {
        let [before, within, after] = own.middles();
        let events = u32::try_from(own.events.len()).unwrap_or(u32::MAX);
        let unit = match own.kind.pace {
            Some(pace) => self.tempo_unit(pace),
            None => self.plain("tempo-unit"),
        };
        let mut said = self.text(
            "about-sides",
            &[
                ("events", events.into()),
                ("before", self.middle(&before?).into()),
                ("after", self.middle(&after?).into()),
                ("unit", unit.into()),
            ],
        );
        if let Some(within) = within {
            let middle = self.middle(&within);
            said.push(' ');
            said.push_str(&if within.known == events {
                self.text("about-within", &[("within", middle.into())])
            } else {
                self.text(
                    "about-within-some",
                    &[
                        ("within", middle.into()),
                        ("known", within.known.into()),
                        ("events", events.into()),
                    ],
                )
            });
        }
        Some(said)
    }

    /// "80 (78 to 84)"; of one value it alone.
    fn middle(&self, middle: &Middle) -> String {
        let whole = |value: f64| self.decimal(value, 0);
        if middle.known == 1 {
            return whole(middle.median);
        }
        self.text(
            "about-middle",
            &[
                ("middle", whole(middle.median).into()),
                ("low", whole(middle.low).into()),
                ("high", whole(middle.high).into()),
            ],
        )
    }

    /// The tempo about changes, corners or transitions.
    #[must_use]
    pub fn around(&self, what: AroundWhat, found: &Around) -> Vec<String> {
        let known = u32::try_from(found.events.len()).unwrap_or(u32::MAX);
        let events = if known == 0 { found.left_out } else { known };
        if events == 0 {
            return Vec::new();
        }
        let head = match what {
            AroundWhat::Changes => self.text("around-changes", &[("events", events.into())]),
            AroundWhat::Corners => self.text("around-corners", &[("events", events.into())]),
            AroundWhat::Within => self.text("around-within", &[("events", events.into())]),
        };
        let Some(by) = found.median_by else {
            return vec![self.text("around-none", &[("head", head.into())])];
        };
        let percent = self.decimal(by.abs() * 100.0, 1);
        let typical = if by >= 0.0 {
            self.text("around-by-quicker", &[("percent", percent.into())])
        } else {
            self.text("around-by-slower", &[("percent", percent.into())])
        };
        let mut said = vec![self.text(
            "around",
            &[
                ("head", head.into()),
                ("quicker", found.quicker.tally.faulty.into()),
                ("slower", found.slower.tally.faulty.into()),
                ("events", events.into()),
                ("typical", typical.into()),
            ],
        )];
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

    /// "0.20 a minute (0.02 to 0.72)", or why there is no rate.
    #[must_use]
    pub fn often(&self, found: &Frequency) -> String {
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

    /// "walk to trot", "collected trot to medium trot".
    #[must_use]
    pub fn steps_kind(&self, kind: &StepsKind) -> String {
        let (from, to) = match kind {
            StepsKind::Between(from, to) => (self.pace(*from), self.pace(*to)),
            StepsKind::Within(pace, from, to) => (
                self.going(*pace, Some(&from.spelled())),
                self.going(*pace, Some(&to.spelled())),
            ),
        };
        self.text("steps-kind", &[("from", from.into()), ("to", to.into())])
    }
}
