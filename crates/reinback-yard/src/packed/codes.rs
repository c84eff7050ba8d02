//! The kinds of things as one byte each.

use reinback_analysis::Rein;

use crate::model::{Arena, Known, Leg, LineKind, MeasureKind, Pace, Step};

/// A kind that is one byte.
pub(super) trait Coded: Sized {
    fn code(&self) -> u8;
    fn of_code(code: u8) -> Option<Self>;
}

/// Both directions come from one list, which the compiler finds complete.
macro_rules! coded {
    ($($name:ident { $($kind:ident = $code:literal),* })*) => { $(
        impl Coded for $name {
            fn code(&self) -> u8 {
                match self {
                    $(Self::$kind => $code,)*
                }
            }

            fn of_code(code: u8) -> Option<Self> {
                match code {
                    $($code => Some(Self::$kind),)*
                    _ => None,
                }
            }
        }
    )* };
}

coded! {
    Rein { Left = 0, Right = 1 }
    Arena { Standard = 0, Small = 1 }
    Leg { LeftHind = 0, RightHind = 1, LeftFore = 2, RightFore = 3 }
    Pace { Walk = 0, Trot = 1, Canter = 2, Passage = 3, Piaffe = 4, Halt = 5, ReinBack = 6 }
    Step { Half = 0, Tenth = 1 }
    LineKind { Movement = 0, General = 1, Artistic = 2 }
    Known { Read = 0, SecondHand = 1, Recalled = 2, Own = 3 }
    MeasureKind { NoseLine = 0, NeckLine = 1, Lateral = 2, Angle = 3, Ratio = 4 }
}
