//! The numbers in a rider's words. Every sentence of the room about a number is made here.
//!
//! **Invariant:** a sentence names its denominator, and where there is too little behind a
//! number it says so instead.

use chrono::NaiveDate;
use reinback_analysis::{
    AfterMistake, Comparison, Direction, Estimate, FaultRate, PerMinute, Sequence, Shortage, Tally,
    Trend, Verdict,
};

use crate::clock;
use crate::counted::counted;
use crate::report::numbers::{Line, Numbers};

/// The one caution that always stands at the foot of the room.
pub(super) const CAUTION: &str = "Rates help to choose exercises. Uneven or unlevel steps may be \
     lameness: see a vet. Nothing here is a diagnosis.";

/// A day as it is shown: "4 May 2026".
pub(super) fn day(date: NaiveDate) -> String {
    date.format("%-d %b %Y").to_string()
}

/// Above a third, the fractions a rider says; below, one in so many.
const FRACTIONS: [(u32, u32); 12] = [
    (1, 3),
    (2, 5),
    (1, 2),
    (3, 5),
    (2, 3),
    (3, 4),
    (4, 5),
    (5, 6),
    (7, 8),
    (9, 10),
    (19, 20),
    (99, 100),
];

/// A share, 0 to 1, as "so many in so many"; `None` at the very ends.
fn fraction(share: f64) -> Option<(u32, u32)> {
    if !(0.005..=0.995).contains(&share) {
        return None;
    }
    if share < 1.0 / 3.0 {
        return Some((1, (1.0 / share).round() as u32));
    }
    let far = |(some, all): &(u32, u32)| (f64::from(*some) / f64::from(*all) - share).abs();
    FRACTIONS
        .iter()
        .copied()
        .min_by(|one, other| far(one).total_cmp(&far(other)))
}

/// "1 in 6", "none", "all".
pub(super) fn share(value: f64) -> String {
    match fraction(value) {
        Some((some, all)) => format!("{some} in {all}"),
        None if value >= 0.5 => "all".to_owned(),
        None if value <= 0.0 => "none".to_owned(),
        None => "fewer than 1 in 200".to_owned(),
    }
}

/// "probably between 1 in 14 and 1 in 3".
fn between(range: &Estimate) -> String {
    match (fraction(range.low), fraction(range.high)) {
        (None, Some(_)) => format!("probably fewer than {}", share(range.high)),
        (Some(_), None) => format!("probably more than {}", share(range.low)),
        (Some(low), Some(high)) if low == high => format!("probably close to {}", share(range.low)),
        (Some(_), Some(_)) => {
            format!(
                "probably between {} and {}",
                share(range.low),
                share(range.high)
            )
        }
        (None, None) => "anything from none to all".to_owned(),
    }
}

fn attempts(tally: Tally) -> String {
    format!(
        "{} of {}",
        tally.faulty,
        counted(tally.attempts, "attempt", "attempts")
    )
}

/// "4 of 23 attempts, about 1 in 6 (probably between 1 in 14 and 1 in 3)".
pub(super) fn rate(rate: &FaultRate) -> String {
    let counts = attempts(rate.tally);
    match &rate.range {
        Ok(range) if rate.tally.faulty == 0 => {
            format!("{counts}: none faulty so far ({})", between(range))
        }
        Ok(range) if rate.tally.faulty == rate.tally.attempts => {
            format!("{counts}: every one faulty ({})", between(range))
        }
        Ok(range) => format!(
            "{counts}, about {} ({})",
            share(range.value),
            between(range)
        ),
        Err(Shortage::NoAttempts) => "not ridden".to_owned(),
        Err(Shortage::FewerThanSixAttempts) => format!("{counts}: too few for a rate"),
        Err(other) => format!("{counts}. {other}"),
    }
}

/// A rate with no more digits than it can bear.
fn number(value: f64) -> String {
    if value >= 9.95 {
        format!("{value:.0}")
    } else if value >= 0.095 || value == 0.0 {
        format!("{value:.1}")
    } else {
        format!("{value:.2}")
    }
}

/// "0.8 faults a minute (0.4 to 1.4) in 5 min 12 s".
pub(super) fn per_minute(rate: &PerMinute) -> String {
    let ridden = clock::length(rate.ridden_nanos);
    match &rate.range {
        Ok(range) => format!(
            "{} faults a minute ({} to {}) in {ridden}",
            number(range.value),
            number(range.low),
            number(range.high)
        ),
        Err(_) => "no time ridden: the bouts have no length".to_owned(),
    }
}

/// Few words for a trend, under its picture.
pub(super) fn trend(trend: &Trend, rides: usize) -> String {
    match trend.state {
        Ok(found) => match found.direction {
            Direction::Fewer => "fewer faults lately, more than luck",
            Direction::More => "more faults lately, more than luck",
            Direction::NoClearTrend => "no clear trend",
        }
        .to_owned(),
        Err(Shortage::FewerThanEightRides) => format!("not enough rides yet ({rides} of 8)"),
        Err(Shortage::OneDayOnly) => "no trend: all on one day".to_owned(),
        Err(other) => other.to_string(),
    }
}

/// A sentence or two for a trend, with what it rests on.
pub(super) fn trend_in_full(found: &Trend, rides: usize) -> String {
    match found.state {
        Ok(estimate) => {
            let said = match estimate.direction {
                Direction::Fewer => "Faults have become fewer, more than luck would explain.",
                Direction::More => "Faults have become more, beyond what luck would explain.",
                Direction::NoClearTrend => {
                    "No clear trend: what moves here may be luck. That is not the same as no change."
                }
            };
            format!(
                "{said} {} with this exercise.",
                counted(estimate.rides, "ride", "rides")
            )
        }
        Err(Shortage::FewerThanEightRides) => format!(
            "Not enough rides yet: {} with this exercise; a trend needs at least 8.",
            counted(rides as u32, "ride", "rides")
        ),
        Err(other) => other.to_string(),
    }
}

/// The reins against each other, with the counts and the range.
pub(super) fn reins(line: &Line) -> String {
    let Some(reins) = &line.reins else {
        let figures = &line.figures;
        let sided = figures.left.rate.tally.attempts + figures.right.rate.tally.attempts > 0;
        return if sided {
            "No ride has it on both reins, so the reins cannot be compared. Ride it on both, or \
             choose a longer period."
        } else {
            "No rein is noted for these attempts. While marking, the keys , and . note it."
        }
        .to_owned();
    };
    let counts = format!("left {}, right {}", reins.before.tally, reins.after.tally);
    match reins.verdict {
        Verdict::Fewer => format!("Fewer faults on the right rein: {counts}. {}", apart(reins)),
        Verdict::More => format!("Fewer faults on the left rein: {counts}. {}", apart(reins)),
        Verdict::NoClearDifference => {
            let why = reins
                .reservation
                .map_or_else(String::new, |why| format!(" {why}"));
            format!(
                "No clear difference between the reins: {counts}. {}{why}",
                apart(reins)
            )
        }
        Verdict::TooFew(Shortage::FewerThanFourRides) => {
            format!("Too few to tell: {counts}. Fewer than 4 rides have it on both reins.")
        }
        Verdict::TooFew(Shortage::FewerThanSixAttempts) => {
            format!("Too few to tell: {counts}. At least 6 attempts on each rein are needed.")
        }
        Verdict::TooFew(why) => format!("Too few to tell: {counts}. {why}"),
    }
}

/// "Of 100 attempts, probably between 5 and 50 fewer are faulty on the right. ..."
fn apart(reins: &Comparison) -> String {
    let Ok(range) = reins.difference else {
        return String::new();
    };
    // Adding zero turns a rounded -0 into 0.
    let hundred = |share: f64| (share * 100.0).round() + 0.0;
    let (low, high) = (hundred(range.low), hundred(range.high));
    let said = if high <= 0.0 {
        format!(
            "probably between {} and {} fewer are faulty",
            -high + 0.0,
            -low + 0.0
        )
    } else if low >= 0.0 {
        format!("probably between {low} and {high} more are faulty")
    } else {
        format!("anything from {} fewer to {high} more may be faulty", -low)
    };
    format!(
        "Of 100 attempts, {said} on the right. Counted over the rides that have it on both reins."
    )
}

/// What happens after a mistake; one sentence a line.
pub(super) fn after_mistake(after: &AfterMistake) -> Vec<String> {
    if after.repeated.tally.attempts == 0 {
        return vec!["No faulty attempts: there was nothing to repeat.".to_owned()];
    }
    let mut lines = vec![format!(
        "Ridden again at once after {} of {}.",
        after.repeated.tally.faulty,
        counted(after.repeated.tally.attempts, "mistake", "mistakes")
    )];
    if after.repeat.tally.attempts > 0 {
        lines.push(format!(
            "Of these repeats, {} went wrong again.",
            after.repeat.tally
        ));
    }
    lines.push(format!(
        "The next attempt was faulty {} times after a mistake, {} times after a clean one.",
        after.after_faulty.tally, after.after_clean.tally
    ));
    lines.push(
        match after.verdict {
            Sequence::InARow => "Mistakes come in a row, more than luck would have it.",
            Sequence::SettlesAfter => {
                "After a mistake the next attempt tends to be cleaner, more than luck would have it."
            }
            Sequence::NoClearPattern => "No clear pattern from one attempt to the next.",
            Sequence::TooFew(_) => {
                "Too few to tell a pattern: at least 6 attempts after a mistake and 6 after a clean one are needed."
            }
        }
        .to_owned(),
    );
    lines
}

/// What is in no rate; empty where everything is.
pub(super) fn left_out(numbers: &Numbers) -> Vec<String> {
    let mut lines = Vec::new();
    if numbers.unreviewed > 0 {
        let waiting = if numbers.waiting_faults > 0 {
            format!(
                ", with {}",
                counted(numbers.waiting_faults, "fault", "faults")
            )
        } else {
            String::new()
        };
        let is = if numbers.unreviewed == 1 { "is" } else { "are" };
        lines.push(format!(
            "{} {is} not in the count{waiting}",
            counted(numbers.unreviewed, "exercise", "exercises")
        ));
    }
    let loose = numbers
        .loose_faults
        .iter()
        .fold(0_u32, |sum, fault| sum.saturating_add(fault.times));
    if loose > 0 {
        lines.push(format!(
            "{} outside any exercise",
            counted(loose, "fault", "faults")
        ));
    }
    lines
}

/// How a rate was found, for those who want to know.
pub(super) fn method(rate: &FaultRate, per_minute: &PerMinute) -> Vec<String> {
    let of = |what: &str, range: &Estimate, unit: &str, scale: f64| {
        format!(
            "{what}: {:.1}{unit}, range {:.1} to {:.1}{unit} at {:.0} %: {} ({}).",
            range.value * scale,
            range.low * scale,
            range.high * scale,
            range.level * 100.0,
            range.method,
            range.method.source()
        )
    };
    let mut lines = Vec::new();
    if let Ok(range) = &rate.range {
        lines.push(of("Faulty attempts", range, " %", 100.0));
        lines.push(format!(
            "Attempts of one ride resemble each other; here they count {:.2} times less than \
             independent ones would.",
            rate.dispersion
        ));
    }
    if let Ok(range) = &per_minute.range {
        lines.push(of("Faults per minute", range, "", 1.0));
    }
    lines.push(
        "Only reviewed attempts of the review that counts are in these numbers; a reviewed attempt \
         without a fault is a clean one."
            .to_owned(),
    );
    lines
}

#[cfg(test)]
mod tests;
