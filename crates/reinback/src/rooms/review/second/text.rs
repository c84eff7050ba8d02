//! What a comparison says, in sentences.

use reinback_analysis::agreement::{Agreement, AgreementReason};
use reinback_yard::reviews::{Difference, Thing, What};
use reinback_yard::{MarkKind, Ride, Words};

use crate::counted::counted;
use crate::rooms::review::bout_name;

/// The names of the two reviewers.
#[derive(Clone, Copy, Debug)]
pub(super) struct Names<'a> {
    pub(super) first: &'a str,
    pub(super) second: &'a str,
}

/// One line of figures: the sentence, and a caution or the reason why there is no figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Line {
    pub(super) text: String,
    pub(super) soft: bool,
}

fn line(text: String) -> Line {
    Line { text, soft: false }
}

fn soft(text: impl Into<String>) -> Line {
    Line {
        text: text.into(),
        soft: true,
    }
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

/// What is compared, and what its class is called.
#[derive(Clone, Copy, Debug)]
pub(super) struct Kind {
    /// "marks".
    things: &'static str,
    /// "word".
    class: &'static str,
}

/// Bouts, by their exercise.
pub(super) const BOUTS: Kind = Kind {
    things: "exercises",
    class: "exercise",
};

/// Marks, by their fault or what else they say.
pub(super) const MARKS: Kind = Kind {
    things: "marks",
    class: "word",
};

/// Why there is no figure.
fn reason(why: AgreementReason, things: &str) -> Line {
    soft(match why {
        AgreementReason::NothingMarked => {
            format!("Neither has any {things}, so there is nothing to agree on.")
        }
        AgreementReason::FewerThanSix => format!("Fewer than 6 {things}: look at them one by one."),
        AgreementReason::FewerThanTen => {
            format!("Fewer than 10 {things} in common: too few for agreement on what they were.")
        }
        AgreementReason::OneClass => {
            format!("All common {things} are of one kind, so chance alone would agree.")
        }
        other => other.to_string(),
    })
}

/// What the figures of two reviews say.
pub(super) fn figures(
    agreed: &Result<Agreement, AgreementReason>,
    names: Names<'_>,
    Kind { things, class }: Kind,
) -> Vec<Line> {
    let agreed = match agreed {
        Ok(agreed) => agreed,
        Err(why) => return vec![reason(*why, things)],
    };
    let common = agreed.pairs.len();
    let Names { first, second } = names;
    let mut lines = vec![line(format!(
        "{common} in common, {} only {first}, {} only {second}",
        agreed.only_first, agreed.only_second
    ))];
    match &agreed.shared {
        Ok(shared) => lines.push(line(format!(
            "Both have {} of all ({} to {})",
            percent(shared.value),
            percent(shared.low),
            percent(shared.high)
        ))),
        Err(why) => lines.push(reason(*why, things)),
    }
    if common == 0 {
        return lines;
    }
    lines.push(line(format!(
        "{} of {} under the same {class}",
        agreed.same_class,
        counted(common as f64, "common one", "common ones")
    )));
    match (&agreed.kappa, &agreed.ac1) {
        (Ok(kappa), Ok(ac1)) => {
            lines.push(line(format!(
                "kappa {:.2} ({:.2} to {:.2}), AC1 {:.2} ({:.2} to {:.2})",
                kappa.value, kappa.low, kappa.high, ac1.value, ac1.low, ac1.high
            )));
            lines.push(soft(format!(
                "About the {class} of what both have, not about what was seen. Kappa is low where \
                 one {class} is much more frequent than the others, however well two agree."
            )));
        }
        (Err(why), _) | (_, Err(why)) => lines.push(reason(*why, things)),
    }
    if let Some(median) = agreed.median_delay {
        let [later, earlier] = if median >= 0.0 {
            [second, first]
        } else {
            [first, second]
        };
        let middle = match common {
            1 => String::new(),
            _ => format!(" in the middle of {common}"),
        };
        let apart = format!(
            "{later} comes {:.2} s after {earlier}{middle}",
            median.abs()
        );
        match &agreed.delay {
            Ok(limits) => lines.push(line(format!(
                "{apart}; nineteen of twenty differences lie between {:+.2} and {:+.2} s",
                limits.low, limits.high
            ))),
            Err(_) => lines.push(soft(apart)),
        }
    }
    lines
}

/// What a thing of a review is called.
pub(super) fn name_of(thing: Thing, ride: &Ride, words: &Words) -> String {
    match thing {
        Thing::Bout(id) => ride
            .bouts
            .iter()
            .find(|bout| bout.id == id)
            .map(|bout| bout_name(words, bout)),
        Thing::Mark(id) => ride.marks.iter().find(|mark| mark.id == id).map(|mark| {
            let bout = ride.bouts.iter().find(|bout| Some(bout.id) == mark.bout);
            let name = words.mark_name(bout.map(|bout| &bout.exercise), &mark.kind);
            match (&mark.kind, mark.note.is_empty()) {
                (_, true) => name,
                (MarkKind::Note, false) => format!("“{}”", mark.note),
                (_, false) => format!("{name}, “{}”", mark.note),
            }
        }),
        Thing::Tempo(id) => ride
            .tempos
            .iter()
            .find(|track| track.id == id)
            .map(|track| format!("tempo taps, {}", track.leg.name())),
    }
    .unwrap_or_else(|| "something that is gone".to_owned())
}

/// What differs, in a line.
pub(super) fn difference(it: &Difference, ride: &Ride, words: &Words, names: Names<'_>) -> String {
    let name = |thing: Option<Thing>| thing.map_or_else(String::new, |t| name_of(t, ride, words));
    let (first, second) = (name(it.first), name(it.second));
    match it.what {
        What::OnlyFirst => format!("only {}: {first}", names.first),
        What::OnlySecond => format!("only {}: {second}", names.second),
        What::Time(nanos) => {
            let seconds = nanos.unsigned_abs() as f64 / 1e9;
            let [later, earlier] = if nanos > 0 {
                [names.second, names.first]
            } else {
                [names.first, names.second]
            };
            format!(
                "{first}: {later} {seconds:.1} s after {earlier}{}",
                end(it, ride)
            )
        }
        What::Else if first == second => {
            format!("{first}: {}", other_detail(it, ride))
        }
        What::Word | What::Else => {
            format!("{}: {first}; {}: {second}", names.first, names.second)
        }
    }
}

/// Whether it is the end of a bout that lies elsewhere.
fn end(it: &Difference, ride: &Ride) -> &'static str {
    let from = |thing: Option<Thing>| match thing {
        Some(Thing::Bout(id)) => ride.bouts.iter().find(|b| b.id == id).map(|b| b.from),
        _ => None,
    };
    let starts = from(it.first).zip(from(it.second));
    let close = |one: i64, other: i64| {
        one.abs_diff(other) <= reinback_yard::reviews::CLOSE_BOUTS.unsigned_abs()
    };
    match starts {
        Some((first, second)) if close(first.0, second.0) => " at its end",
        _ => "",
    }
}

/// What differs between two that are called alike.
fn other_detail(it: &Difference, ride: &Ride) -> &'static str {
    let bout = |thing: Option<Thing>| match thing {
        Some(Thing::Bout(id)) => ride.bouts.iter().find(|bout| bout.id == id),
        _ => None,
    };
    match (it.first, bout(it.first).zip(bout(it.second))) {
        (_, Some((a, b))) if a.reviewed != b.reviewed => "counts for one of them only",
        (_, Some((a, b))) if a.to.is_some() != b.to.is_some() => "ended by one of them only",
        (_, Some((a, b))) if a.score != b.score => "another score",
        (_, Some((a, b))) if a.asked != b.asked => "other numbers asked",
        (_, Some((a, b))) if a.letters != b.letters => "other letters",
        (_, Some(_)) => "another note",
        (Some(Thing::Tempo(_)), None) => "other taps",
        (_, None) => "another place",
    }
}

#[cfg(test)]
mod tests {
    use reinback_analysis::agreement::{Event, agreement};
    use reinback_analysis::{Key, Moment};

    use super::*;

    const NAMES: Names<'static> = Names {
        first: "Mara",
        second: "Jon",
    };

    /// Marks a second apart from each other, the second reviewer's so much later; a class in three
    /// is another one.
    fn agreed(count: i64, later_ms: i64) -> Result<Agreement, AgreementReason> {
        let event = |at: i64, class: i64| Event {
            at: Moment(at),
            class: Key(u32::from(class % 3 == 0)),
        };
        let first: Vec<Event> = (0..count)
            .map(|at| event(at * 10_000_000_000, at))
            .collect();
        let second: Vec<Event> = first
            .iter()
            .map(|event| Event {
                at: Moment(event.at.0 + later_ms * 1_000_000),
                ..*event
            })
            .collect();
        agreement(&first, &second, 2_000_000_000)
    }

    fn check(count: i64, later_ms: i64, expect: &[&str]) {
        let lines = figures(&agreed(count, later_ms), NAMES, MARKS);
        for part in expect {
            assert!(
                lines.iter().any(|line| line.text.contains(part)),
                "{part} is not in {lines:#?}"
            );
        }
        assert!(lines.iter().all(|line| !line.text.contains("NaN")));
    }

    #[test]
    fn figures_come_with_their_counts_or_the_reason() {
        check(
            0,
            0,
            &[
                "0 in common, 0 only Mara, 0 only Jon",
                "nothing to agree on",
            ],
        );
        check(
            3,
            100,
            &[
                "3 in common",
                "Fewer than 6 marks",
                "3 of 3 common ones",
                "Fewer than 10",
            ],
        );
        check(
            12,
            300,
            &[
                "12 in common, 0 only Mara",
                "Both have 100 % of all (76 % to 100 %)",
                "12 of 12 common ones under the same word",
                "kappa 1.00",
                "Kappa is low where one word",
                "Jon comes 0.30 s after Mara in the middle of 12; nineteen of twenty",
            ],
        );
        check(12, -300, &["Mara comes 0.30 s after Jon"]);
        check(12, 3_000, &["0 in common, 12 only Mara, 12 only Jon"]);
    }

    #[test]
    fn exercises_are_not_called_marks() {
        let lines = figures(&agreed(3, 100), NAMES, BOUTS);
        assert!(
            lines.iter().all(|line| !line.text.contains("marks")),
            "{lines:#?}"
        );
    }

    #[test]
    fn why_nothing_is_compared_is_said() {
        let lines = figures(&Err(AgreementReason::ToleranceTooWide), NAMES, BOUTS);
        assert_eq!(lines, [soft(AgreementReason::ToleranceTooWide.to_string())]);
    }
}
