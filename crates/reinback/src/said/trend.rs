//! Ride over ride.

use reinback_analysis::{Direction, Shortage, Trend};

use super::Say;

impl Say {
    /// "8 rides".
    #[must_use]
    pub fn rides(&self, rides: usize) -> String {
        let rides = u32::try_from(rides).unwrap_or(u32::MAX);
        self.text("rides", &[("rides", rides.into())])
    }

    /// Few words for a trend, under its picture.
    #[must_use]
    pub fn trend(&self, trend: &Trend, rides: usize) -> String {
        match trend.state {
            Ok(found) => match found.direction {
                Direction::Fewer => self.plain("trend-fewer"),
                Direction::More => self.plain("trend-more"),
                Direction::NoClearTrend => self.plain("trend-unclear"),
            },
            Err(Shortage::FewerThanEightRides) => {
                let rides = u32::try_from(rides).unwrap_or(u32::MAX);
                self.text("trend-few-rides", &[("rides", rides.into())])
            }
            Err(Shortage::OneDayOnly) => self.plain("trend-one-day"),
            Err(other) => self.why(other),
        }
    }

    /// A sentence or two for a trend, with what it rests on.
    #[must_use]
    pub fn trend_in_full(&self, trend: &Trend, rides: usize) -> String {
        match trend.state {
            Ok(found) => {
                let rides = self.rides(found.rides as usize);
                match found.direction {
                    Direction::Fewer => self.text("trend-fewer-full", &[("rides", rides.into())]),
                    Direction::More => self.text("trend-more-full", &[("rides", rides.into())]),
                    Direction::NoClearTrend => {
                        self.text("trend-unclear-full", &[("rides", rides.into())])
                    }
                }
            }
            Err(Shortage::FewerThanEightRides) => self.text(
                "trend-few-rides-full",
                &[("rides", self.rides(rides).into())],
            ),
            Err(other) => self.why(other),
        }
    }
}
