//! How a number was found, for those who want to know.

use reinback_analysis::{Comparison, Estimate, FaultRate, Method, PerMinute, Shortage, Trend};

use super::Say;
use crate::report::numbers::Line;

/// What is filled into the message of [`Say::of_range`].
pub(super) const OF_RANGE: [&str; 6] = ["value", "low", "high", "level", "method", "source"];

impl Say {
    /// How the numbers of a line were found, sentence by sentence.
    #[must_use]
    pub fn how_line(&self, line: &Line) -> Vec<String> {
        let all = &line.figures.all;
        let mut how = self.how(&all.rate, &all.per_minute);
        if let Some(compared) = &line.compared {
            how.extend(self.how_compared(&compared.rate));
            how.extend(self.how_ratio(&compared.per_minute));
        }
        how.extend(self.how_trend(&line.figures.trend));
        how.extend(line.reins.iter().flat_map(|reins| self.how_reins(reins)));
        how.push(self.how_usual(&line.priority.shrunken));
        how
    }

    /// A message about a range, with its numbers so many `times`, and how it was found.
    fn of_range(&self, id: &str, range: &Estimate, times: f64, places: usize) -> String {
        let number = |value: f64| self.decimal(value * times, places);
        let filled = [
            number(range.value),
            number(range.low),
            number(range.high),
            self.decimal(range.level * 100.0, 0),
            self.method(range.method),
            range.method.source().to_owned(),
        ];
        let named = OF_RANGE.into_iter().zip(filled);
        let named: Vec<_> = named.map(|(name, text)| (name, text.into())).collect();
        self.text(id, &named)
    }

    /// How a rate was found; one sentence an entry.
    #[must_use]
    pub fn how(&self, rate: &FaultRate, per_minute: &PerMinute) -> Vec<String> {
        let mut lines = Vec::new();
        if let Ok(range) = &rate.range {
            lines.push(self.of_range("how-rate", range, 100.0, 1));
            // Below this the two numbers would read the same.
            if rate.dispersion >= 1.005 {
                let worth = f64::from(rate.tally.attempts) / rate.dispersion;
                lines.push(self.text(
                    "how-likeness",
                    &[
                        ("attempts", rate.tally.attempts.into()),
                        ("worth", self.decimal(worth, 1).into()),
                    ],
                ));
            }
        }
        if let Ok(range) = &per_minute.range {
            lines.push(self.of_range("how-per-minute", range, 1.0, 1));
        }
        lines.push(self.plain("how-reviewed"));
        lines
    }

    /// How two periods were compared; one sentence an entry.
    #[must_use]
    pub fn how_compared(&self, compared: &Comparison) -> Vec<String> {
        let mut lines = Vec::new();
        if let Ok(range) = &compared.difference {
            lines.push(self.of_range("how-difference", range, 100.0, 1));
        }
        if let (Some(raw), Some(adjusted)) = (compared.permutation_p, compared.adjusted_p) {
            lines.push(self.text(
                "how-shuffled",
                &[
                    ("share", self.decimal(raw * 100.0, 1).into()),
                    ("adjusted", self.decimal(adjusted * 100.0, 1).into()),
                ],
            ));
        }
        lines
    }

    /// How the faults per minute of two periods were compared; nothing where they were not.
    #[must_use]
    pub fn how_ratio(&self, ratio: &Result<Estimate, Shortage>) -> Option<String> {
        let range = ratio.as_ref().ok()?;
        Some(self.of_range("how-ratio", range, 1.0, 2))
    }

    /// How a trend was found; one sentence an entry, none where there is no trend.
    #[must_use]
    pub fn how_trend(&self, trend: &Trend) -> Vec<String> {
        let Ok(found) = &trend.state else {
            return Vec::new();
        };
        let range = found.odds_per_month();
        vec![
            self.of_range("how-trend", &range, 1.0, 2),
            self.text(
                "how-trend-shuffled",
                &[
                    ("share", self.decimal(found.permutation_p * 100.0, 1).into()),
                    ("adjusted", self.decimal(found.adjusted_p * 100.0, 1).into()),
                ],
            ),
        ]
    }

    /// How the reins were compared; one sentence an entry.
    #[must_use]
    pub fn how_reins(&self, reins: &Comparison) -> Vec<String> {
        let mut lines = Vec::new();
        if let Ok(range) = &reins.difference {
            lines.push(self.of_range("how-reins", range, 100.0, 1));
        }
        lines
    }

    /// How the rate behind a place in what to work on first was found.
    #[must_use]
    pub fn how_usual(&self, range: &Estimate) -> String {
        self.of_range("how-usual", range, 100.0, 1)
    }

    /// The usual name of a method; in the words of its source where the language has none.
    #[must_use]
    pub fn method(&self, method: Method) -> String {
        match method {
            Method::Wilson => self.plain("method-wilson"),
            Method::WilsonEffective => self.plain("method-wilson-effective"),
            Method::ClopperPearson => self.plain("method-clopper"),
            Method::MidP => self.plain("method-mid-p"),
            Method::Garwood => self.plain("method-garwood"),
            Method::PoissonMidP => self.plain("method-poisson"),
            Method::NewcombeScore => self.plain("method-newcombe"),
            Method::NewcombeEffective => self.plain("method-newcombe-effective"),
            Method::NewcombeStratified => self.plain("method-newcombe-horses"),
            Method::RateRatioMidP => self.plain("method-rate-ratio"),
            Method::RateRatioStratified => self.plain("method-ratio-horses"),
            Method::Logit => self.plain("method-logit"),
            Method::LogitFirth => self.plain("method-firth"),
            Method::BetaBinomial => self.plain("method-shrunken"),
            Method::GammaPoisson => self.plain("method-gamma"),
            Method::McKay => self.plain("method-mckay"),
            Method::TheilSen => self.plain("method-theil-sen"),
            Method::LimitsOfAgreement => self.plain("method-agreement"),
            Method::Kappa => self.plain("method-kappa"),
            Method::Ac1 => self.plain("method-ac1"),
            other => other.name().to_owned(),
        }
    }
}
