//! Several questions asked on one page.
//!
//! A rider scans a page for anything that stands out. With twenty lines, one
//! stands out at 5 % by luck alone, so the lines are judged together.

/// Largest share of false findings we accept among those shown as findings.
pub const FALSE_DISCOVERY_RATE: f64 = 0.05;

/// Benjamini and Hochberg's adjusted p values, in the order given.
///
/// The `i`-th smallest of `m` becomes `min over j >= i of m p_j / j`, never
/// above one. Finding those at or below `q` keeps the expected share of false findings
/// at or below `q`. Source: Benjamini & Hochberg 1995, J R Stat Soc B
/// 57:289-300. No values give no values; NaN counts as 1.
///
/// ```
/// use reinback_analysis::multiple::adjust;
/// assert_eq!(adjust(&[0.01, 0.5]), vec![0.02, 0.5]);
/// ```
#[must_use]
pub fn adjust(p_values: &[f64]) -> Vec<f64> {
    let clean = |p: f64| if p.is_nan() { 1.0 } else { p.clamp(0.0, 1.0) };
    let mut order: Vec<usize> = (0..p_values.len()).collect();
    order.sort_by(|&one, &other| clean(p_values[other]).total_cmp(&clean(p_values[one])));
    let total = crate::special::real(p_values.len());
    let mut adjusted = vec![1.0; p_values.len()];
    let mut smallest = 1.0_f64;
    let mut rank = total;
    for index in order {
        smallest = smallest.min(total / rank * clean(p_values[index]));
        adjusted[index] = smallest;
        rank -= 1.0;
    }
    adjusted
}

/// Holm's adjusted p values, in the order given.
///
/// The `i`-th smallest of `m` becomes `max over j <= i of (m - j + 1) p_j`,
/// never above one. Finding those at or below `a` keeps the chance of *any*
/// false finding at or below `a`: stricter than [`adjust`], by which the lines
/// of a page are judged, and for the few questions asked in advance. Source:
/// Holm 1979, Scand J Stat 6:65-70 (recalled). No values give no values; NaN
/// counts as 1.
///
/// ```
/// use reinback_analysis::multiple::holm;
/// assert_eq!(holm(&[0.01, 0.5, 0.02]), vec![0.03, 0.5, 0.04]);
/// ```
#[must_use]
pub fn holm(p_values: &[f64]) -> Vec<f64> {
    let clean = |p: f64| if p.is_nan() { 1.0 } else { p.clamp(0.0, 1.0) };
    let mut order: Vec<usize> = (0..p_values.len()).collect();
    order.sort_by(|&one, &other| clean(p_values[one]).total_cmp(&clean(p_values[other])));
    let mut adjusted = vec![1.0; p_values.len()];
    let mut largest = 0.0_f64;
    let mut left = crate::special::real(p_values.len());
    for index in order {
        largest = largest.max(left * clean(p_values[index])).min(1.0);
        adjusted[index] = largest;
        left -= 1.0;
    }
    adjusted
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Benjamini & Hochberg 1995, section 4.1: fifteen comparisons of a
    /// thrombolysis trial, as quoted in the documentation of
    /// `scipy.stats.false_discovery_control` (read there).
    const THROMBOLYSIS: [f64; 15] = [
        0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.324, 0.4262,
        0.5719, 0.6528, 0.759, 1.0,
    ];

    #[test]
    fn the_published_example_rejects_four() {
        let rejected = adjust(&THROMBOLYSIS)
            .into_iter()
            .filter(|&p| p <= FALSE_DISCOVERY_RATE)
            .count();
        assert_eq!(rejected, 4);
    }

    /// Holm rejects the first three of them (Benjamini & Hochberg 1995, section 4.1, seen
    /// second-hand); the adjusted values as R p.adjust and statsmodels 0.15.0 give them.
    #[test]
    fn holm_rejects_three_and_agrees_with_r_and_statsmodels() {
        let found = holm(&THROMBOLYSIS);
        assert_eq!(found.iter().filter(|&&p| p <= 0.05).count(), 3);
        let expected = [
            0.0015, 0.0056, 0.0247, 0.114, 0.2211, 0.278, 0.278, 0.278, 0.3213, 1.0, 1.0, 1.0, 1.0,
            1.0, 1.0,
        ];
        for (got, wanted) in found.into_iter().zip(expected) {
            assert!((got - wanted).abs() < 1e-12, "{got} {wanted}");
        }
        let mut turned = THROMBOLYSIS;
        turned.reverse();
        assert!(
            (holm(&turned)[14] - 0.0015).abs() < 1e-12,
            "in the order given"
        );
    }

    #[test]
    fn adjusted_values_agree_with_r_and_statsmodels() {
        // R p.adjust and statsmodels 0.15.0 multipletests, computed for the
        // published example.
        let expected = [
            0.0015,
            0.003,
            0.0095,
            0.035_625,
            0.0603,
            0.063_857_142_857_142_86,
            0.063_857_142_857_142_86,
            0.0645,
            0.0765,
            0.486,
            0.581_181_818_181_818_2,
            0.714_875,
            0.753_230_769_230_769_3,
            0.813_214_285_714_285_7,
            1.0,
        ];
        for (got, wanted) in adjust(&THROMBOLYSIS).into_iter().zip(expected) {
            assert!((got - wanted).abs() < 1e-12, "{got} {wanted}");
        }
    }

    proptest! {
        #[test]
        fn adjusting_never_helps_and_keeps_the_order(p in proptest::collection::vec(0.0..=1.0_f64, 0..30)) {
            let adjusted = adjust(&p);
            for (strict, loose) in holm(&p).iter().zip(&adjusted) {
                prop_assert!(strict >= loose && *strict <= 1.0);
            }
            for (one, raw) in adjusted.iter().zip(&p) {
                prop_assert!(*one >= *raw && *one <= 1.0);
                for (other, other_raw) in adjusted.iter().zip(&p) {
                    prop_assert!(raw >= other_raw || one <= other);
                }
            }
        }
    }
}
