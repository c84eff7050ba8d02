//! The plain data that comes in. The caller keeps the names behind the keys.

use crate::time::{Day, Span};

/// An interned word: an exercise, a variant or a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Key(pub u32);

/// The rein an attempt was ridden on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rein {
    /// Left rein.
    Left,
    /// Right rein.
    Right,
}

/// The paces of the trade, without their variants.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pace {
    /// Four beats.
    Walk,
    /// Two beats with suspension.
    Trot,
    /// Three beats with suspension.
    Canter,
    /// Elevated, cadenced trot.
    Passage,
    /// Trot-like steps on the spot.
    Piaffe,
    /// Standing.
    Halt,
    /// Backwards in diagonal pairs.
    ReinBack,
}

impl Pace {
    /// All of them, in the order of the strip's legend.
    pub const ALL: [Self; 7] = [
        Self::Walk,
        Self::Trot,
        Self::Canter,
        Self::Passage,
        Self::Piaffe,
        Self::Halt,
        Self::ReinBack,
    ];

    /// The trade's word.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Walk => "walk",
            Self::Trot => "trot",
            Self::Canter => "canter",
            Self::Passage => "passage",
            Self::Piaffe => "piaffe",
            Self::Halt => "halt",
            Self::ReinBack => "rein-back",
        }
    }
}

/// A stretch ridden in one pace.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PaceSpan {
    /// The pace.
    pub pace: Pace,
    /// Its variant (collected, medium), if noted.
    pub variant: Option<Key>,
    /// From where to where.
    pub span: Span,
}

/// One reviewed attempt at one exercise.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attempt {
    /// What was ridden.
    pub exercise: Key,
    /// Its variant, if one was named.
    pub variant: Option<Key>,
    /// The rein, if it has one.
    pub rein: Option<Rein>,
    /// When, on the ride clock.
    pub span: Span,
    /// One entry per fault marked; the same fault may appear more than once.
    pub faults: Vec<Key>,
    /// Marked by the reviewer as ridden again straight after a mistake.
    pub repeated: bool,
}

impl Attempt {
    /// Whether at least one fault was marked.
    #[must_use]
    pub fn is_faulty(&self) -> bool {
        !self.faults.is_empty()
    }
}

/// One session on one horse on one day, as its counting review left it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Ride {
    /// The caller's number for this ride.
    pub id: u64,
    /// The calendar day.
    pub day: Day,
    /// Reviewed attempts only, in the order ridden.
    pub attempts: Vec<Attempt>,
    /// How many bouts are not reviewed. They are in no denominator.
    pub unreviewed: u32,
    /// Faults noted without a bout, as (fault, how often): counts only, never
    /// part of a rate.
    pub loose_faults: Vec<(Key, u32)>,
}
