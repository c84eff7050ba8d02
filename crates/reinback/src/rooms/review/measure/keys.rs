//! What the keys mean while the rider measures. The keys of the Review room keep their places:
//! those that move through the film move the point that is held.

use reinback_yard::MeasureKind;

use super::MeasureStep;
use crate::command::Command;
use crate::keys::Pressed;

/// Pixels for a press with Shift. Our own choice.
const FAR: i32 = 10;

/// What a press means while measuring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Meaning {
    /// What it always does.
    Usual,
    /// Nothing: letters begin no exercise meanwhile, and digits mark no fault.
    Nothing,
    /// This step.
    Step(MeasureStep),
}

/// What a press means while measuring, holding a point or not.
#[must_use]
pub(crate) fn meaning(press: Pressed, holding: bool) -> Meaning {
    let moved = match press {
        Pressed::Command(Command::StepBack) => Some((-1, 0)),
        Pressed::Command(Command::StepForward) => Some((1, 0)),
        Pressed::Command(Command::PreviousMark) => Some((0, -1)),
        Pressed::Command(Command::NextMark) => Some((0, 1)),
        Pressed::Command(Command::SecondBack) => Some((-FAR, 0)),
        Pressed::Command(Command::SecondForward) => Some((FAR, 0)),
        Pressed::Command(Command::ChooseUp) => Some((0, -FAR)),
        Pressed::Command(Command::ChooseDown) => Some((0, FAR)),
        _ => None,
    };
    if let Some((right, down)) = moved.filter(|_| holding) {
        return Meaning::Step(MeasureStep::Nudge(right, down));
    }
    match press {
        Pressed::Command(Command::WriteNote) => Meaning::Step(MeasureStep::PutOrKeep),
        Pressed::Command(Command::Remove) => Meaning::Step(MeasureStep::TakeLast),
        Pressed::Command(Command::Cancel) => Meaning::Step(MeasureStep::LetGo),
        Pressed::Letter(letter) => of_letter(letter).map_or(Meaning::Nothing, Meaning::Step),
        Pressed::Fault(digit) => {
            let kind = MeasureKind::ALL.get(digit.wrapping_sub(1)).copied();
            kind.map_or(Meaning::Nothing, |kind| {
                Meaning::Step(MeasureStep::Kind(kind))
            })
        }
        _ => Meaning::Usual,
    }
}

fn of_letter(letter: char) -> Option<MeasureStep> {
    match letter {
        'n' => Some(MeasureStep::HoldNext),
        'p' => Some(MeasureStep::OtherPlumb),
        't' => Some(MeasureStep::SetTilt),
        _ => None,
    }
}

/// The keys while measuring, for the page of keys: keys (names of commands in braces stand for
/// theirs), what, and a sentence more.
pub const PAGE: [(&str, &str, &str); 8] = [
    (
        "1 to 5",
        "What is measured",
        "Nose line, neck line, lateral angle, angle, ratio",
    ),
    (
        "{WriteNote}",
        "Next point",
        "Puts the next point, or keeps what is measured once none is missing",
    ),
    (
        "{StepBack}, {StepForward}, {PreviousMark}, {NextMark}",
        "Move the point",
        "Moves the point that is held by a pixel; with Shift by ten",
    ),
    (
        "n",
        "Hold the next point",
        "Goes through the points that are put",
    ),
    (
        "p",
        "Other plumb",
        "Takes plumb from the film's tilt, or from an edge drawn on the frame",
    ),
    (
        "t",
        "The film is turned so",
        "Takes the drawn edge for upright in the whole film",
    ),
    ("{Remove}", "Take back", "Takes the last point away"),
    (
        "{Cancel}",
        "Let go",
        "Lets go of the point that is held, then starts over",
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_move_a_point_only_while_one_is_held() {
        let right = Pressed::Command(Command::StepForward);
        let nudge = |right, down| Meaning::Step(MeasureStep::Nudge(right, down));
        assert_eq!(meaning(right, true), nudge(1, 0));
        assert_eq!(meaning(right, false), Meaning::Usual, "the film steps on");
        let far = Pressed::Command(Command::SecondBack);
        assert_eq!(meaning(far, true), nudge(-10, 0));
        let space = Pressed::Command(Command::PlayPause);
        assert_eq!(meaning(space, true), Meaning::Usual);
    }

    #[test]
    fn digits_choose_what_is_measured_and_mark_nothing() {
        let kind = |kind| Meaning::Step(MeasureStep::Kind(kind));
        for (digit, expect) in [
            (1, kind(MeasureKind::NoseLine)),
            (5, kind(MeasureKind::Ratio)),
            (6, Meaning::Nothing),
            (0, Meaning::Nothing),
        ] {
            assert_eq!(meaning(Pressed::Fault(digit), false), expect);
        }
        assert_eq!(meaning(Pressed::Letter('h'), false), Meaning::Nothing);
        let enter = Pressed::Command(Command::WriteNote);
        assert_eq!(meaning(enter, false), Meaning::Step(MeasureStep::PutOrKeep));
    }
}
