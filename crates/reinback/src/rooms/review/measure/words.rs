//! How what was measured is said: numbers with their sign and word, and what to keep in mind.

use reinback_analysis::angle::{Against, Plumb as Upright, Reading, Together};
use reinback_yard::MeasureKind;

use super::Handle;

/// What a point is.
pub(super) fn point_name(kind: MeasureKind, handle: Handle) -> &'static str {
    let names: &[&str] = match (handle, kind) {
        (Handle::Edge(_), _) => &["one end of the upright edge", "its other end"],
        (_, MeasureKind::NoseLine) => &[
            "the forehead, where the line of the nose begins",
            "the nose, above the nostril",
            "the neck or the withers",
        ],
        (_, MeasureKind::NeckLine) => &["the neck at the withers", "the poll"],
        (_, MeasureKind::Lateral) => &[
            "a point of the track",
            "another point of the track",
            "the horse behind, between the hips",
            "the horse in front, between the shoulders",
        ],
        (_, MeasureKind::Angle) => &[
            "a point of one arm",
            "where the arms meet",
            "a point of the other arm",
        ],
        (_, MeasureKind::Ratio) => &[
            "one end of the first length",
            "its other end",
            "one end of the second length",
            "its other end",
        ],
    };
    let (Handle::Edge(at) | Handle::Point(at)) = handle;
    names.get(at).copied().unwrap_or("a point")
}

/// A number with one decimal and a true minus; a zero has no sign.
fn tenths(value: f64) -> String {
    let text = format!("{:.1}", value.abs());
    if value < 0.0 && text != "0.0" {
        format!("−{text}")
    } else {
        text
    }
}

/// What a mark of this kind measured: "−5.4°, behind the vertical".
pub(crate) fn value(kind: MeasureKind, reading: &Reading) -> String {
    let number = tenths(reading.value);
    match kind {
        MeasureKind::NoseLine => {
            let side = match reading.against_vertical() {
                Against::InFront => "in front of the vertical",
                Against::On => "on the vertical, as far as the points tell",
                Against::Behind => "behind the vertical",
            };
            format!("{}{number}°, {side}", plus(&number, reading.value))
        }
        MeasureKind::NeckLine => {
            let side = if reading.value < 0.0 {
                "the poll below the withers"
            } else {
                "rising to the poll"
            };
            format!("{number}° to the level, {side}")
        }
        MeasureKind::Lateral => format!("{number}° to the track"),
        MeasureKind::Angle => format!("{number}°"),
        MeasureKind::Ratio => format!("{:.2} to 1", reading.value),
    }
}

/// In a list: "nose line −5.4°".
pub(crate) fn short(kind: MeasureKind, reading: Option<&Reading>) -> String {
    let name = kind.name();
    let Some(reading) = reading else {
        return format!("{name}, cannot be read");
    };
    let number = tenths(reading.value);
    match kind {
        MeasureKind::NoseLine => format!("{name} {}{number}°", plus(&number, reading.value)),
        MeasureKind::Ratio => format!("{name} {:.2} to 1", reading.value),
        _ => format!("{name} {number}°"),
    }
}

fn plus(number: &str, value: f64) -> &'static str {
    if value > 0.0 && number != "0.0" {
        "+"
    } else {
        ""
    }
}

/// "Between −6.6 and −4.2, if every point is right to a pixel".
pub(super) fn range(kind: MeasureKind, reading: &Reading) -> String {
    let (low, high) = if kind == MeasureKind::Ratio {
        (
            format!("{:.2}", reading.low),
            format!("{:.2}", reading.high),
        )
    } else {
        (tenths(reading.low), tenths(reading.high))
    };
    format!("Between {low} and {high}, if every point is right to a pixel of the film")
}

/// "Turned by 1.2° clockwise".
pub(super) fn turned(degrees: f64) -> String {
    let number = tenths(degrees.abs());
    if number == "0.0" {
        "Not turned".into()
    } else if degrees > 0.0 {
        format!("Turned by {number}° clockwise")
    } else {
        format!("Turned by {number}° anticlockwise")
    }
}

/// What a drawn edge says.
pub(super) fn edge(plumb: Upright) -> String {
    let within = tenths(plumb.within());
    format!("{}, give or take {within}°", turned(plumb.tilt()))
}

/// "4 nose lines: mean −3.2°, standard deviation 2.1°".
pub(super) fn together(kind: MeasureKind, all: Together) -> String {
    let (unit, digits) = if kind == MeasureKind::Ratio {
        (" to 1", 2)
    } else {
        ("°", 1)
    };
    let number = |value: f64| {
        if digits == 2 {
            format!("{value:.2}")
        } else {
            tenths(value)
        }
    };
    let spread = all.spread.map_or_else(String::new, |spread| {
        format!(", standard deviation {}", number(spread))
    });
    let sign = if kind == MeasureKind::NoseLine {
        plus(&number(all.mean), all.mean)
    } else {
        ""
    };
    format!(
        "mean of {}: {sign}{}{unit}{spread}",
        all.count,
        number(all.mean)
    )
}

/// What to keep in mind, whatever is measured.
pub(super) const CAUTIONS: [&str; 4] = [
    "One frame is one moment of the stride, and the head nods in every stride, in walk most of all. Measure many frames and take them together.",
    "How a horse is built changes these angles: compare it with itself, not with another.",
    "Nothing here says whether it was good. What is right is said by the rules in force and by who sees the horse.",
    "The range comes from the points alone. A lens that bends lines, a picture blurred by speed, or a landmark that was missed is not in it.",
];

/// Where the camera has to stand for this.
pub(super) fn camera(kind: MeasureKind) -> &'static str {
    match kind {
        MeasureKind::NoseLine | MeasureKind::NeckLine => {
            "The camera must stand square to the horse's side. 20° away from square already narrows what lies along the horse by 6\u{a0}%, and every angle changes with it. The cheekpiece of the bridle is not the line of the nose: take the front of the face."
        }
        MeasureKind::Lateral => {
            "This is the true angle only from straight above. From the rail or along the track the picture shows another one: compare frames taken from the same place, at the same place."
        }
        MeasureKind::Angle | MeasureKind::Ratio => {
            "Both lines must lie square to the camera and equally far from it; otherwise the picture shows other angles and lengths than there were."
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(low: f64, value: f64, high: f64) -> Reading {
        Reading { value, low, high }
    }

    #[test]
    fn numbers_have_their_sign_and_word() {
        use MeasureKind::{Angle, Lateral, NeckLine, NoseLine, Ratio};
        for (kind, given, long, in_list) in [
            (
                NoseLine,
                reading(-6.6, -5.43, -4.2),
                "−5.4°, behind the vertical",
                "nose line −5.4°",
            ),
            (
                NoseLine,
                reading(2.0, 3.0, 4.0),
                "+3.0°, in front of the vertical",
                "nose line +3.0°",
            ),
            (
                NoseLine,
                reading(-1.2, -0.04, 1.1),
                "0.0°, on the vertical, as far as the points tell",
                "nose line 0.0°",
            ),
            (
                NeckLine,
                reading(-9.0, -8.0, -7.0),
                "−8.0° to the level, the poll below the withers",
                "neck line −8.0°",
            ),
            (
                Lateral,
                reading(29.0, 30.0, 31.0),
                "30.0° to the track",
                "lateral angle 30.0°",
            ),
            (Angle, reading(0.0, 90.0, 99.0), "90.0°", "angle 90.0°"),
            (
                Ratio,
                reading(2.4, 2.5, 2.6),
                "2.50 to 1",
                "ratio 2.50 to 1",
            ),
        ] {
            assert_eq!(value(kind, &given), long);
            assert_eq!(short(kind, Some(&given)), in_list);
        }
        assert_eq!(
            range(NoseLine, &reading(-6.6, -5.43, -4.2)),
            "Between −6.6 and −4.2, if every point is right to a pixel of the film"
        );
        assert_eq!(turned(-1.25), "Turned by 1.2° anticlockwise");
        assert_eq!(turned(0.04), "Not turned");
    }

    #[test]
    fn several_readings_say_how_many() {
        let all = Together {
            count: 3,
            mean: -5.0,
            spread: Some(2.646),
        };
        let text = together(MeasureKind::NoseLine, all);
        assert_eq!(text, "mean of 3: −5.0°, standard deviation 2.6");
        let one = Together {
            count: 1,
            mean: 1.5,
            spread: None,
        };
        assert_eq!(together(MeasureKind::Ratio, one), "mean of 1: 1.50 to 1");
    }

    #[test]
    fn every_point_has_a_name() {
        for kind in MeasureKind::ALL {
            for at in 0..kind.points() {
                assert_ne!(
                    point_name(kind, Handle::Point(at)),
                    "a point",
                    "{kind:?} {at}"
                );
            }
        }
    }
}
