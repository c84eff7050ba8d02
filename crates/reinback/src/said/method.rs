//! How a number was found, for those who want to know.

use reinback_analysis::{Comparison, FaultRate, Method, PerMinute};

use super::Say;

impl Say {
    /// How a rate was found; one sentence an entry.
    #[must_use]
    pub fn how(&self, rate: &FaultRate, per_minute: &PerMinute) -> Vec<String> {
        let mut lines = Vec::new();
        if let Ok(range) = &rate.range {
            lines.push(self.text(
                "how-rate",
                &[
                    ("value", self.decimal(range.value * 100.0, 1).into()),
                    ("low", self.decimal(range.low * 100.0, 1).into()),
                    ("high", self.decimal(range.high * 100.0, 1).into()),
                    ("level", self.decimal(range.level * 100.0, 0).into()),
                    ("method", self.method(range.method).into()),
                    ("source", range.method.source().into()),
                ],
            ));
            lines.push(self.text(
                "how-likeness",
                &[("times", self.decimal(rate.dispersion, 2).into())],
            ));
        }
        if let Ok(range) = &per_minute.range {
            lines.push(self.text(
                "how-per-minute",
                &[
                    ("value", self.decimal(range.value, 1).into()),
                    ("low", self.decimal(range.low, 1).into()),
                    ("high", self.decimal(range.high, 1).into()),
                    ("level", self.decimal(range.level * 100.0, 0).into()),
                    ("method", self.method(range.method).into()),
                    ("source", range.method.source().into()),
                ],
            ));
        }
        lines.push(self.plain("how-reviewed"));
        lines
    }

    /// How two periods were compared; one sentence an entry.
    #[must_use]
    pub fn how_compared(&self, compared: &Comparison) -> Vec<String> {
        let mut lines = Vec::new();
        if let Ok(range) = &compared.difference {
            lines.push(self.text(
                "how-difference",
                &[
                    ("value", self.decimal(range.value * 100.0, 1).into()),
                    ("low", self.decimal(range.low * 100.0, 1).into()),
                    ("high", self.decimal(range.high * 100.0, 1).into()),
                    ("level", self.decimal(range.level * 100.0, 0).into()),
                    ("method", self.method(range.method).into()),
                    ("source", range.method.source().into()),
                ],
            ));
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

    /// The usual name of a method; in the words of its source where the language has none.
    #[must_use]
    pub fn method(&self, method: Method) -> String {
        match method {
            Method::Wilson => self.plain("method-wilson"),
            Method::WilsonEffective => self.plain("method-wilson-effective"),
            Method::PoissonMidP => self.plain("method-poisson"),
            Method::NewcombeScore => self.plain("method-newcombe"),
            Method::NewcombeEffective => self.plain("method-newcombe-effective"),
            Method::RateRatioMidP => self.plain("method-rate-ratio"),
            Method::Logit => self.plain("method-logit"),
            Method::LogitFirth => self.plain("method-firth"),
            Method::BetaBinomial => self.plain("method-shrunken"),
            other => other.name().to_owned(),
        }
    }
}
