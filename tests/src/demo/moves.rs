//! What can be asked in a ride, and how it is ridden.

use reinback_yard::{Pace, Rein};

/// A pace with its variant.
pub(super) type Going = (Pace, Option<&'static str>);

pub(super) const FREE: Going = (Pace::Walk, Some("free"));
pub(super) const MEDIUM_WALK: Going = (Pace::Walk, Some("medium"));
pub(super) const WORKING: Going = (Pace::Trot, Some("working"));
pub(super) const TROT: Going = (Pace::Trot, Some("collected"));
pub(super) const WORKING_CANTER: Going = (Pace::Canter, Some("working"));
pub(super) const CANTER: Going = (Pace::Canter, Some("collected"));

/// One exercise as it is asked. Words are ids of the default words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Move {
    pub(super) exercise: &'static str,
    pub(super) variant: Option<&'static str>,
    pub(super) rein: Option<Rein>,
    /// How many, every how many strides.
    pub(super) asked: Option<(u16, u16)>,
    /// How it is come to.
    pub(super) approach: Going,
    /// How it is ridden.
    pub(super) going: Going,
    pub(super) outline: &'static str,
    /// Shortest and longest, in tenths of a second.
    pub(super) tenths: (u32, u32),
    pub(super) letters: (Option<char>, Option<char>),
}

impl Move {
    const fn new(exercise: &'static str, going: Going, seconds: (u32, u32)) -> Self {
        Self {
            exercise,
            variant: None,
            rein: None,
            asked: None,
            approach: going,
            going,
            outline: "competition",
            tenths: (seconds.0 * 10, seconds.1 * 10),
            letters: (None, None),
        }
    }

    const fn from(self, approach: Going) -> Self {
        Self { approach, ..self }
    }

    const fn variant(self, variant: &'static str) -> Self {
        Self {
            variant: Some(variant),
            ..self
        }
    }

    const fn asked(self, count: u16, every: u16) -> Self {
        Self {
            asked: Some((count, every)),
            ..self
        }
    }

    /// The same in another outline.
    pub(super) const fn in_outline(self, outline: &'static str) -> Self {
        Self { outline, ..self }
    }

    /// The same on a rein.
    pub(super) const fn on(self, rein: Rein) -> Self {
        Self {
            rein: Some(rein),
            ..self
        }
    }

    /// The same between two letters, or at one.
    pub(super) const fn at(self, from: char, to: Option<char>) -> Self {
        Self {
            letters: (Some(from), to),
            ..self
        }
    }

    /// Whether one pace gives way to another half way through.
    pub(super) fn is_transition(self) -> bool {
        let comes_whole = matches!(self.exercise, "halt" | "rein-back" | "piaffe" | "passage");
        self.approach.0 != self.going.0 && !comes_whole
    }
}

const fn halt(seconds: (u32, u32)) -> Move {
    Move::new("halt", (Pace::Halt, None), seconds)
}

pub(super) const FREE_WALK: Move = Move::new("free-walk", FREE, (80, 170)).in_outline("stretched");
pub(super) const WALK_BREAK: Move = Move::new("free-walk", FREE, (50, 90)).in_outline("stretched");
pub(super) const STRETCH: Move = Move::new("stretching-on-a-long-rein", WORKING, (50, 110))
    .variant("in-trot")
    .in_outline("long-and-low");
pub(super) const CIRCLE: Move = Move::new("circle", WORKING, (24, 48))
    .variant("20-m")
    .in_outline("working");
pub(super) const WALK_TROT: Move = Move::new("walk-trot", WORKING, (4, 7))
    .from(MEDIUM_WALK)
    .in_outline("working");
pub(super) const TROT_WALK: Move = Move::new("trot-walk", MEDIUM_WALK, (4, 7))
    .from(WORKING)
    .in_outline("working");
pub(super) const TROT_CANTER: Move = Move::new("trot-canter", WORKING_CANTER, (4, 7))
    .from(WORKING)
    .in_outline("working");
pub(super) const CANTER_TROT: Move = Move::new("canter-trot", WORKING, (4, 7))
    .from(WORKING_CANTER)
    .in_outline("working");
pub(super) const WORKING_TROT: Move = Move::new("trot", WORKING, (30, 60))
    .variant("working")
    .in_outline("working");
pub(super) const WORKING_CANTER_BOUT: Move = Move::new("canter", WORKING_CANTER, (20, 45))
    .variant("working")
    .in_outline("working");
pub(super) const WALK_CANTER: Move = Move::new("walk-canter", CANTER, (4, 7)).from(MEDIUM_WALK);
pub(super) const CANTER_WALK: Move = Move::new("canter-walk", MEDIUM_WALK, (4, 7)).from(CANTER);
pub(super) const WITHIN_TROT: Move = Move::new("transition-within-trot", TROT, (8, 14))
    .variant("to-shorter")
    .in_outline("working");
pub(super) const SHOULDER_IN: Move = Move::new("shoulder-in", TROT, (9, 16)).variant("in-trot");
pub(super) const TRAVERS: Move = Move::new("travers", TROT, (9, 16)).variant("in-trot");
pub(super) const HALF_PASS: Move = Move::new("half-pass", TROT, (7, 13)).variant("in-trot");
pub(super) const MEDIUM_TROT: Move =
    Move::new("medium-trot", (Pace::Trot, Some("medium")), (10, 16)).from(TROT);
pub(super) const EXTENDED_TROT: Move =
    Move::new("extended-trot", (Pace::Trot, Some("extended")), (10, 15)).from(TROT);
pub(super) const COUNTER_CANTER: Move = Move::new("counter-canter", CANTER, (18, 35));
pub(super) const EXTENDED_CANTER: Move =
    Move::new("extended-canter", (Pace::Canter, Some("extended")), (8, 12)).from(CANTER);
pub(super) const FLYING_CHANGE: Move = Move::new("flying-change", CANTER, (5, 9));
pub(super) const FOURTHS: Move =
    Move::new("changes-every-4th-stride", CANTER, (14, 19)).asked(5, 4);
pub(super) const SECONDS: Move =
    Move::new("changes-every-2nd-stride", CANTER, (10, 14)).asked(9, 2);
pub(super) const ONES: Move = Move::new("changes-every-stride", CANTER, (8, 11)).asked(11, 1);
pub(super) const HALF_PIROUETTE: Move =
    Move::new("half-pirouette-in-canter", CANTER, (5, 8)).at('L', None);
pub(super) const FULL_PIROUETTE: Move =
    Move::new("full-pirouette-in-canter", CANTER, (7, 10)).at('L', None);
pub(super) const HALT: Move = halt((5, 9)).from(TROT);
pub(super) const WALK_HALT: Move = halt((4, 8)).from(MEDIUM_WALK).in_outline("working");
pub(super) const REIN_BACK: Move =
    Move::new("rein-back", (Pace::ReinBack, None), (5, 8)).from(TROT);
pub(super) const PASSAGE: Move = Move::new("passage", (Pace::Passage, None), (12, 22)).from(TROT);
pub(super) const PIAFFE: Move =
    Move::new("piaffe", (Pace::Piaffe, None), (9, 15)).from((Pace::Passage, None));
pub(super) const INTO_PIAFFE: Move =
    Move::new("piaffe-passage-transition", (Pace::Piaffe, None), (4, 7))
        .from((Pace::Passage, None))
        .variant("into-piaffe");
