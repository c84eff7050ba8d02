//! The script of a film: what is ridden, in which order, for how long.
//!
//! The format is described for writers in `demo-sessions/films/README.md`.

use std::path::Path;

use serde::{Deserialize, Serialize};

use super::error::FilmError;

/// Left or right: a rein, a lead, a direction.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum Side {
    /// The horse's left.
    Left,
    /// The horse's right.
    Right,
}

impl Side {
    /// The other side.
    #[must_use]
    pub(crate) const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// +1 for right, -1 for left: the sign of the horse's lateral axis.
    #[must_use]
    pub(crate) const fn sign(self) -> f64 {
        match self {
            Self::Left => -1.0,
            Self::Right => 1.0,
        }
    }
}

/// A pace.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum Pace {
    Walk,
    Trot,
    Canter,
    Passage,
    Piaffe,
    Halt,
    ReinBack,
}

/// A variant within a pace.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) enum Variant {
    /// Gathered: shorter, higher steps.
    #[default]
    Collected,
    /// The everyday variant.
    Working,
    /// Longer steps.
    Medium,
    /// The longest steps.
    Extended,
    /// Walk on a long rein.
    Free,
    /// Canter all but on the spot, as in a pirouette.
    Pirouette,
}

/// How long a segment lasts.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub(crate) enum Lasts {
    /// A number of whole strides.
    Strides(u32),
    /// Seconds, rounded to whole strides (a halt is exact).
    Seconds(f64),
}

/// An exercise on two tracks. The side is the direction of the exercise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) enum Lateral {
    /// Forehand brought in, quarters on the track.
    ShoulderIn(Side),
    /// Quarters in, forehand on the track.
    Travers(Side),
    /// Quarters on the track, forehand in, bent the way it goes.
    Renvers(Side),
    /// Forwards and sideways, almost parallel to the long side.
    HalfPass(Side),
}

/// The posture of neck and head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) enum Outline {
    /// Neck long and low on a long rein.
    Stretched,
    /// Neck low and rounded, nose to the plumb line.
    Deep,
    /// The everyday outline.
    #[default]
    Working,
    /// Uphill, poll the highest point.
    Competition,
    /// Poll up, nose well in front of the plumb line.
    NoseForward,
}

/// Something that happens within a segment. Strides count from 1.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) enum Event {
    /// A flying change: `stride` is the first on the new lead.
    Change {
        /// First stride on the new lead, in front.
        stride: u32,
        /// Strides by which the hind pair changes later; 0 is clean.
        #[serde(default)]
        late_behind: u32,
    },
    /// The tempo leaves its band for some strides.
    Lapse {
        /// First stride of the lapse.
        stride: u32,
        /// How many strides it lasts.
        strides: u32,
        /// Stride time against the segment's own: below 1 ran, above 1 lost tempo.
        time_factor: f64,
    },
    /// Another pace breaks in for some strides.
    Break {
        /// First stride of the break.
        stride: u32,
        /// How many strides it lasts.
        strides: u32,
        /// The pace broken into.
        to: Pace,
    },
    /// In a half-pass the quarters are left behind for some strides.
    QuartersTrailing {
        /// First stride of the fault.
        stride: u32,
        /// How many strides it lasts.
        strides: u32,
    },
}

/// One stretch of the ride in one pace and exercise.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Segment {
    /// The pace.
    pub(crate) pace: Pace,
    /// The variant of it.
    #[serde(default)]
    pub(crate) variant: Variant,
    /// For how long.
    pub(crate) lasts: Lasts,
    /// The rein from here on; unsaid, the rein before (at first: right).
    #[serde(default)]
    pub(crate) rein: Option<Side>,
    /// Canter lead; unsaid, the lead before, or the rein when striking off.
    #[serde(default)]
    pub(crate) lead: Option<Side>,
    /// An exercise on two tracks.
    #[serde(default)]
    pub(crate) lateral: Option<Lateral>,
    /// The posture of neck and head.
    #[serde(default)]
    pub(crate) outline: Outline,
    /// Words at the foot of the picture.
    #[serde(default)]
    pub(crate) caption: Option<String>,
    /// Stride time against the published one; the stride length stays.
    #[serde(default = "one")]
    pub(crate) time_factor: f64,
    /// What happens within.
    #[serde(default)]
    pub(crate) events: Vec<Event>,
}

/// The colour of the horse.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) enum Coat {
    #[default]
    Chestnut,
    Bay,
    Grey,
    Black,
}

/// The light over the arena.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub(crate) enum Light {
    /// Low sun, warm sky.
    #[default]
    Evening,
    /// Clear and cool.
    Morning,
    /// Soft grey cloud.
    Overcast,
}

/// A film: its picture and its segments.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Script {
    /// Shown over the first seconds.
    pub(crate) title: String,
    /// Pictures per second, 1 to 120.
    #[serde(default = "usual_fps")]
    pub(crate) fps: u32,
    /// Width and height in pixels, both even.
    #[serde(default = "usual_size")]
    pub(crate) size: (u32, u32),
    /// Varies the scenery, the markings and the wander of the tempo.
    #[serde(default)]
    pub(crate) seed: u64,
    /// The colour of the horse.
    #[serde(default)]
    pub(crate) coat: Coat,
    /// The light over the arena.
    #[serde(default)]
    pub(crate) light: Light,
    /// Metres ridden from A, along the track, when the film begins.
    #[serde(default)]
    pub(crate) from_a: f64,
    /// Largest natural wander of a stride time, as a share of it, 0 to 0.05.
    #[serde(default)]
    pub(crate) wander: f64,
    /// The ride.
    pub(crate) segments: Vec<Segment>,
}

const fn one() -> f64 {
    1.0
}

const fn usual_fps() -> u32 {
    30
}

const fn usual_size() -> (u32, u32) {
    (1280, 720)
}

impl Script {
    /// Reads and checks a script.
    ///
    /// # Errors
    /// The file cannot be read, is not in the format, or asks for what cannot be ridden.
    pub(crate) fn read(path: &Path) -> Result<Self, FilmError> {
        let text = std::fs::read_to_string(path).map_err(FilmError::file("cannot read", path))?;
        let script = Self::parse(&text).map_err(|reason| FilmError::Syntax {
            path: path.to_owned(),
            reason,
        })?;
        script.check()?;
        Ok(script)
    }

    /// Parses the text of a script without checking what it asks for.
    ///
    /// # Errors
    /// Line, column and reason.
    pub(crate) fn parse(text: &str) -> Result<Self, String> {
        ron::Options::default()
            .with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME)
            .from_str(text)
            .map_err(|error| error.to_string())
    }

    /// Checks everything that can be said before the strides are laid out.
    ///
    /// # Errors
    /// The first segment that asks for something that cannot be ridden.
    pub(crate) fn check(&self) -> Result<(), FilmError> {
        self.check_picture()?;
        for (index, segment) in self.segments.iter().enumerate() {
            segment
                .check()
                .map_err(|reason| FilmError::segment(index, reason))?;
        }
        Ok(())
    }

    fn check_picture(&self) -> Result<(), FilmError> {
        let (width, height) = self.size;
        let even = width % 2 == 0 && height % 2 == 0;
        if !even || !(160..=3840).contains(&width) || !(90..=2160).contains(&height) {
            return Err(FilmError::Size(width, height));
        }
        let whole = |reason: &str| {
            Err(FilmError::Script {
                segment: 0,
                reason: reason.to_owned(),
            })
        };
        if !(1..=120).contains(&self.fps) {
            return whole("fps is from 1 to 120");
        }
        if !(0.0..=0.05).contains(&self.wander) {
            return whole("wander is from 0 to 0.05");
        }
        if !(0.0..=10_000.0).contains(&self.from_a) {
            return whole("from_a is from 0 to 10000 metres");
        }
        if self.segments.is_empty() {
            return whole("a film needs at least one segment");
        }
        Ok(())
    }
}

impl Segment {
    fn check(&self) -> Result<(), String> {
        match self.lasts {
            Lasts::Strides(n) if !(1..=400).contains(&n) => {
                return Err("lasts is from 1 to 400 strides".to_owned());
            }
            Lasts::Strides(_) if self.pace == Pace::Halt => {
                return Err("a halt has no strides; give seconds".to_owned());
            }
            Lasts::Seconds(s) if !(0.5..=600.0).contains(&s) => {
                return Err("lasts is from 0.5 to 600 seconds".to_owned());
            }
            _ => {}
        }
        if !(0.5..=2.0).contains(&self.time_factor) {
            return Err("time_factor is from 0.5 to 2".to_owned());
        }
        if self.lead.is_some() && self.pace != Pace::Canter {
            return Err("only the canter has a lead".to_owned());
        }
        if self.lateral.is_some()
            && !matches!(
                self.pace,
                Pace::Walk | Pace::Trot | Pace::Canter | Pace::Passage
            )
        {
            return Err(
                "exercises on two tracks are ridden in walk, trot, canter or passage".to_owned(),
            );
        }
        super::paces::footing(
            self.pace,
            self.variant,
            super::paces::Lead::both(Side::Right),
        )
        .map_err(str::to_owned)?;
        self.events
            .iter()
            .try_for_each(|event| self.check_event(event))
    }

    fn check_event(&self, event: &Event) -> Result<(), String> {
        let (first, count) = event.strides();
        if first == 0 || count == 0 {
            return Err("strides count from 1".to_owned());
        }
        match event {
            Event::Change { .. } if self.pace != Pace::Canter => {
                Err("flying changes belong in a canter segment".to_owned())
            }
            Event::Lapse { time_factor, .. } if !(0.5..=2.0).contains(time_factor) => {
                Err("the time_factor of a lapse is from 0.5 to 2".to_owned())
            }
            Event::Break { to, .. }
                if *to == self.pace || matches!(to, Pace::Halt | Pace::ReinBack) =>
            {
                Err("a break of pace goes to another pace that moves forward".to_owned())
            }
            Event::QuartersTrailing { .. }
                if !matches!(self.lateral, Some(Lateral::HalfPass(_))) =>
            {
                Err("quarters trail in a half-pass".to_owned())
            }
            _ => Ok(()),
        }
    }
}

impl Event {
    /// First stride (from 1) and number of strides the event covers.
    #[must_use]
    pub(crate) const fn strides(&self) -> (u32, u32) {
        match *self {
            Self::Change {
                stride,
                late_behind,
            } => (stride, late_behind + 1),
            Self::Lapse {
                stride, strides, ..
            }
            | Self::Break {
                stride, strides, ..
            }
            | Self::QuartersTrailing { stride, strides } => (stride, strides),
        }
    }
}
