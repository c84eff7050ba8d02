//! Points and stretches on the ride clock, and calendar days.

/// A point on the ride clock, in nanoseconds from its zero. May be negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Moment(pub i64);

/// A stretch of the ride clock, `from` included and `to` excluded.
///
/// [`Span::new`] guarantees `from <= to`; a span written by hand the wrong way
/// round has no duration and contains nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// Where it begins.
    pub from: Moment,
    /// Where it ends.
    pub to: Moment,
}

impl Span {
    /// The stretch between two moments, given in either order.
    ///
    /// ```
    /// use reinback_analysis::{Moment, Span};
    /// let span = Span::new(Moment(9), Moment(4));
    /// assert_eq!((span.from, span.to), (Moment(4), Moment(9)));
    /// ```
    #[must_use]
    pub fn new(one: Moment, other: Moment) -> Self {
        Self {
            from: one.min(other),
            to: one.max(other),
        }
    }

    /// Length in nanoseconds; never negative, saturating at `i64::MAX`.
    #[must_use]
    pub fn duration_nanos(self) -> i64 {
        self.to.0.saturating_sub(self.from.0).max(0)
    }

    /// Whether the moment lies in the stretch; its end does not.
    #[must_use]
    pub fn contains(self, moment: Moment) -> bool {
        self.from <= moment && moment < self.to
    }

    /// Whether the two stretches share any time. Touching ends do not.
    #[must_use]
    pub fn overlaps(self, other: Self) -> bool {
        self.from.max(other.from) < self.to.min(other.to)
    }
}

/// The calendar day of a ride: days since 1970-01-01.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Day(pub i32);

/// Time covered by at least one of the spans, in nanoseconds.
///
/// Two bouts that overlap are ridden once, so their common time counts once.
/// Saturates at `i64::MAX`.
///
/// ```
/// use reinback_analysis::time::{Moment, Span, covered_nanos};
/// let spans = [Span::new(Moment(0), Moment(10)), Span::new(Moment(5), Moment(12))];
/// assert_eq!(covered_nanos(&spans), 12);
/// ```
#[must_use]
pub fn covered_nanos(spans: &[Span]) -> i64 {
    covered(spans.iter().copied())
}

pub(crate) fn covered(spans: impl Iterator<Item = Span> + Clone) -> i64 {
    // Attempts come in the order ridden, mostly.
    if spans.clone().is_sorted() {
        return covered_in_order(spans);
    }
    let mut sorted: Vec<Span> = spans.collect();
    sorted.sort_unstable();
    covered_in_order(sorted)
}

fn covered_in_order(spans: impl IntoIterator<Item = Span>) -> i64 {
    let mut reached = Moment(i64::MIN);
    let mut total = 0_i64;
    for span in spans {
        let fresh = Span {
            from: span.from.max(reached),
            to: span.to,
        };
        total = total.saturating_add(fresh.duration_nanos());
        reached = reached.max(span.to);
    }
    total
}

/// Nanoseconds as seconds. Above 104 days a nanosecond may be rounded off.
///
/// ```
/// use reinback_analysis::time::seconds;
/// assert!((seconds(617_000_000) - 0.617).abs() < 1e-15);
/// ```
#[must_use]
#[expect(
    clippy::cast_precision_loss,
    reason = "above 104 days a nanosecond may be rounded off, which no measure can show"
)]
pub fn seconds(nanos: i64) -> f64 {
    nanos as f64 / 1e9
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(from: i64, to: i64) -> Span {
        Span::new(Moment(from), Moment(to))
    }

    #[test]
    fn a_span_holds_its_start_but_not_its_end() {
        let stretch = span(3, 7);
        assert!(stretch.contains(Moment(3)));
        assert!(!stretch.contains(Moment(7)));
        assert_eq!(stretch.duration_nanos(), 4);
    }

    #[test]
    fn touching_spans_do_not_overlap() {
        assert!(!span(0, 5).overlaps(span(5, 9)));
        assert!(span(0, 6).overlaps(span(5, 9)));
        assert!(
            !span(5, 5).overlaps(span(0, 9)),
            "an empty span covers nothing"
        );
    }

    #[test]
    fn extreme_spans_saturate() {
        assert_eq!(span(i64::MIN, i64::MAX).duration_nanos(), i64::MAX);
        assert_eq!(
            covered_nanos(&[span(i64::MIN, i64::MAX), span(0, 9)]),
            i64::MAX
        );
    }

    #[test]
    fn covered_time_counts_shared_time_once() {
        assert_eq!(covered_nanos(&[]), 0);
        assert_eq!(covered_nanos(&[span(20, 30), span(0, 10), span(2, 4)]), 20);
        let backwards = Span {
            from: Moment(9),
            to: Moment(1),
        };
        assert_eq!(covered_nanos(&[backwards, span(0, 5)]), 5);
    }
}
