//! The published figures of the paces: phases, duty, stride time and length.
//!
//! Sources, named once here and by letter in the rows:
//! - **A** Clayton 1994, Equine Vet J 26:230-234 (trot), speeds as cited in
//!   Clayton & Hobbs 2021, Animals 11:436; lengths second-hand.
//! - **B** Clayton 1994, Equine Vet J Suppl 17:16-19 (canter), from memory.
//! - **C** Clayton 1995, Am J Vet Res 56:849-852 (walk), second-hand.
//! - **D** Burns & Clayton 1997, Equine Vet J Suppl 23 (canter pirouette,
//!   suspension of the collected canter), second-hand.
//! - **E** Clayton & Hobbs 2019, Animals 9:763 (limb phase 0.52 to 0.53 in
//!   collected trot and passage; no suspension in piaffe).
//! - **F** The rules of the sport: order of the footfalls in each pace.
//! - **design** our own choice where nothing published was found; only the
//!   order between the variants follows a source.

use super::script::{Pace, Side, Variant};

/// A limb.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
pub(crate) enum Limb {
    /// Left hind.
    LH,
    /// Left fore.
    LF,
    /// Right hind.
    RH,
    /// Right fore.
    RF,
}

impl Limb {
    /// All four, in the order of every table here.
    pub(crate) const ALL: [Self; 4] = [Self::LH, Self::LF, Self::RH, Self::RF];

    /// The hind limb of a side.
    #[must_use]
    pub(crate) const fn hind(side: Side) -> Self {
        match side {
            Side::Left => Self::LH,
            Side::Right => Self::RH,
        }
    }

    /// The fore limb of a side.
    #[must_use]
    pub(crate) const fn fore(side: Side) -> Self {
        match side {
            Side::Left => Self::LF,
            Side::Right => Self::RF,
        }
    }

    /// Whether it is a fore limb.
    #[must_use]
    pub(crate) const fn is_fore(self) -> bool {
        matches!(self, Self::LF | Self::RF)
    }

    /// Which side it is on.
    #[must_use]
    pub(crate) const fn side(self) -> Side {
        match self {
            Self::LH | Self::LF => Side::Left,
            Self::RH | Self::RF => Side::Right,
        }
    }
}

/// Canter lead, behind and in front; they differ while the horse is disunited.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Lead {
    /// Lead of the hind pair.
    pub(crate) hind: Side,
    /// Lead of the fore pair.
    pub(crate) fore: Side,
}

impl Lead {
    /// United on one lead.
    #[must_use]
    pub(crate) const fn both(side: Side) -> Self {
        Self {
            hind: side,
            fore: side,
        }
    }
}

/// How one pace sets its feet down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Footing {
    /// Landing of each limb, in strides from the stride's start, 0 up to 1.
    pub(crate) phase: [f64; 4],
    /// Share of the stride each limb stands.
    pub(crate) duty: [f64; 4],
    /// Stride time in seconds.
    pub(crate) time: f64,
    /// Metres travelled in a stride; negative backwards.
    pub(crate) length: f64,
}

/// Phases and duty of the walk, hind then fore of each side (E for the duty 0.62).
/// The fore lands a little before the even quarter, as measured walks do.
const WALK: [f64; 4] = [0.0, 0.22, 0.5, 0.72];
/// Trot with the hind a little before its diagonal fore (E: 0.52 to 0.53).
const COLLECTED_TROT: [f64; 4] = [0.0, 0.525, 0.5, 0.025];
const TROT: [f64; 4] = [0.0, 0.52, 0.5, 0.02];
const PIAFFE: [f64; 4] = [0.0, 0.5, 0.5, 0.0];

/// The footing of a pace; `lead` matters in canter only.
///
/// # Errors
/// The pace has no such variant.
pub(crate) fn footing(pace: Pace, variant: Variant, lead: Lead) -> Result<Footing, &'static str> {
    use Variant::{Collected, Extended, Free, Medium, Pirouette, Working};
    Ok(match (pace, variant) {
        // C; length of the medium walk from memory.
        (Pace::Walk, Collected) => even(WALK, 0.62, 1.159, 1.57),
        (Pace::Walk, Medium | Working) => even(WALK, 0.62, 1.08, 1.87),
        (Pace::Walk, Extended | Free) => even(WALK, 0.62, 1.064, 1.93),
        // A, duty by design: under 0.475 when collected, smaller the longer the step.
        (Pace::Trot, Collected) => even(COLLECTED_TROT, 0.44, 0.781, 2.50),
        (Pace::Trot, Working) => even(TROT, 0.41, 0.756, 2.73),
        (Pace::Trot, Medium) => even(TROT, 0.38, 0.729, 3.26),
        (Pace::Trot, Extended) => even(TROT, 0.35, 0.720, 3.55),
        // Time and length from memory (Clayton, The Dynamic Horse, 2004); duty design.
        (Pace::Passage, Collected | Working) => even(COLLECTED_TROT, 0.45, 1.09, 1.75),
        // E: no suspension; length at the 10 cm a step that may be allowed.
        (Pace::Piaffe, Collected | Working) => even(PIAFFE, 0.55, 1.085, 0.20),
        // B for time and length, D for the 2 % suspension of the collected canter.
        (Pace::Canter, Collected) => canter(lead, 0.48, 0.612, 2.00),
        (Pace::Canter, Working) => canter(lead, 0.45, 0.601, 2.35),
        (Pace::Canter, Medium) => canter(lead, 0.40, 0.600, 2.94),
        (Pace::Canter, Extended) => canter(lead, 0.35, 0.581, 3.47),
        (Pace::Canter, Pirouette) => pirouette(lead),
        (Pace::Halt, _) => Footing {
            phase: [0.0; 4],
            duty: [1.0; 4],
            time: 1.0,
            length: 0.0,
        },
        // F for the diagonal beat; time, length and duty design.
        (Pace::ReinBack, Collected | Working) => even(PIAFFE, 0.60, 1.30, -1.05),
        (Pace::Walk, Pirouette) => {
            return Err("a walk has no such variant: Collected, Working, Medium, Extended or Free");
        }
        (Pace::Trot, _) => {
            return Err("a trot has no such variant: Collected, Working, Medium or Extended");
        }
        (Pace::Canter, Free) => {
            return Err(
                "a canter has no such variant: Collected, Working, Medium, Extended or Pirouette",
            );
        }
        (Pace::Passage | Pace::Piaffe | Pace::ReinBack, _) => {
            return Err("passage, piaffe and rein-back have no variants; leave it out");
        }
    })
}

const fn even(phase: [f64; 4], duty: f64, time: f64, length: f64) -> Footing {
    Footing {
        phase,
        duty: [duty; 4],
        time,
        length,
    }
}

/// Trailing hind 0, leading hind and trailing fore a quarter, leading fore a half (F, D).
fn canter(lead: Lead, duty: f64, time: f64, length: f64) -> Footing {
    Footing {
        phase: canter_phases(lead, [0.0, 0.25, 0.25, 0.5]),
        duty: [duty; 4],
        time,
        length,
    }
}

/// Four beats: leading hind 0.187 of a stride before the trailing fore, leading
/// fore off at 1.185 (D); the landings at 0.30 and 0.72 and the duty of the
/// other limbs are design, as is the length ("all but on the spot").
fn pirouette(lead: Lead) -> Footing {
    let mut duty = [0.55; 4];
    duty[Limb::fore(lead.fore) as usize] = 0.465;
    Footing {
        phase: canter_phases(lead, [0.0, 0.30, 0.487, 0.72]),
        duty,
        time: 0.879,
        length: 0.35,
    }
}

/// Spreads trailing hind, leading hind, trailing fore, leading fore over the limbs.
fn canter_phases(lead: Lead, order: [f64; 4]) -> [f64; 4] {
    let mut phase = [0.0; 4];
    phase[Limb::hind(lead.hind.other()) as usize] = order[0];
    phase[Limb::hind(lead.hind) as usize] = order[1];
    phase[Limb::fore(lead.fore.other()) as usize] = order[2];
    phase[Limb::fore(lead.fore) as usize] = order[3];
    phase
}
