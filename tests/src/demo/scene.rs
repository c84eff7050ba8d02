//! The scenes that the short films are made of, as segments of a script.

use std::fmt::Write as _;

/// What goes wrong in a scene, drawn as such.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Drawn {
    Clean,
    /// The hind pair changes a stride after the front.
    LateBehind,
    /// The quarters stay behind in the half-pass.
    Trailing,
    /// The tempo runs.
    Ran,
    /// The tempo drops.
    Dropped,
    /// Trot breaks in.
    Broke,
    /// Walk steps before the halt.
    ThroughWalk,
    /// A step back out of the halt.
    SteppedBack,
}

/// `Left` or `Right`, as the script has them.
pub(super) type Side = &'static str;
pub(super) const LEFT: Side = "Left";
pub(super) const RIGHT: Side = "Right";

/// One scene. Numbers are seconds of a walk, strides of everything else.
#[derive(Clone, Copy)]
pub(super) enum Scene {
    LongRein(u32),
    Walk(u32),
    Trot(u32),
    /// A few strides to get on this rein.
    Onto(Side),
    ShoulderIn(Side),
    HalfPass(Side, Drawn),
    Strike(Side),
    Change(Side, Drawn),
    Fourths(Drawn),
    Ones(Drawn),
    Halt(Drawn),
    WorkingTrot(u32, Drawn),
    WorkingCanter(Side, u32, Drawn),
    WalkTrot(Drawn),
    TrotWalk(Drawn),
    TrotCanter(Side, Drawn),
    CanterTrot(Side),
    Stretching(u32),
    Passage(u32, Drawn),
    Piaffe(u32),
}

/// One segment of a script.
struct Segment {
    going: String,
    outline: &'static str,
    caption: String,
    events: Vec<String>,
}

impl Segment {
    fn new(going: String, outline: &'static str, caption: &str) -> Self {
        Self {
            going,
            outline,
            caption: caption.to_owned(),
            events: Vec::new(),
        }
    }

    fn with(mut self, event: impl Into<String>) -> Self {
        self.events.push(event.into());
        self
    }

    /// Puts into the segment what goes wrong in it.
    fn drawn(self, drawn: Drawn) -> Self {
        match drawn {
            Drawn::Trailing => self.with("QuartersTrailing(stride: 4, strides: 4)"),
            Drawn::Ran => self.with("Lapse(stride: 5, strides: 4, time_factor: 0.92)"),
            Drawn::Dropped => self.with("Lapse(stride: 4, strides: 3, time_factor: 1.1)"),
            Drawn::Broke => self.with("Break(stride: 3, strides: 2, to: Trot)"),
            // A change or a halt has these in its own way.
            Drawn::Clean | Drawn::LateBehind | Drawn::ThroughWalk | Drawn::SteppedBack => self,
        }
    }

    fn text(&self) -> String {
        let mut text = format!(
            "        ({}, outline: {},\n            caption: \"{}\"",
            self.going, self.outline, self.caption
        );
        if !self.events.is_empty() {
            // Writing to a text cannot fail.
            let _sure = write!(text, ",\n            events: [{}]", self.events.join(", "));
        }
        text.push_str("),\n");
        text
    }
}

const UPHILL: &str = "Competition";

fn strides(pace: &str, variant: &str, count: u32) -> String {
    format!("pace: {pace}, variant: {variant}, lasts: Strides({count})")
}

fn trot(count: u32) -> String {
    strides("Trot", "Collected", count)
}

fn canter(count: u32) -> String {
    strides("Canter", "Collected", count)
}

/// An easy stretch in the working outline.
fn easy(going: String, caption: &str) -> Segment {
    Segment::new(going, "Working", caption)
}

fn uphill(going: String, caption: &str) -> Segment {
    Segment::new(going, UPHILL, caption)
}

impl Scene {
    /// The segments as they stand in a script.
    pub(super) fn text(self) -> String {
        self.segments().iter().map(Segment::text).collect()
    }

    fn segments(self) -> Vec<Segment> {
        let one = match self {
            Self::LongRein(seconds) => Segment::new(
                format!("pace: Walk, variant: Free, lasts: Seconds({seconds}.0)"),
                "Stretched",
                "Walk on a long rein",
            ),
            Self::Walk(seconds) => easy(
                format!("pace: Walk, variant: Medium, lasts: Seconds({seconds}.0)"),
                "Medium walk",
            ),
            Self::Stretching(count) => Segment::new(
                strides("Trot", "Working", count),
                "Stretched",
                "Stretching in trot",
            ),
            Self::WorkingTrot(count, drawn) => {
                easy(strides("Trot", "Working", count), "Working trot").drawn(drawn)
            }
            Self::WorkingCanter(side, count, drawn) => easy(
                strides("Canter", "Working", count),
                &format!("Working canter {}", side.to_lowercase()),
            )
            .drawn(drawn),
            Self::Trot(count) => uphill(trot(count), "Collected trot"),
            Self::Onto(side) => uphill(
                format!("{}, rein: {side}", trot(3)),
                &format!("Collected trot, {} rein", side.to_lowercase()),
            ),
            Self::ShoulderIn(side) => uphill(
                format!("{}, lateral: ShoulderIn({side})", trot(8)),
                &format!("Shoulder-in {}", side.to_lowercase()),
            ),
            Self::HalfPass(side, drawn) => uphill(
                format!("{}, lateral: HalfPass({side})", trot(8)),
                &format!("Half-pass {}", side.to_lowercase()),
            )
            .drawn(drawn),
            Self::Strike(side) => uphill(
                format!("{}, lead: {side}", canter(6)),
                &format!("Collected canter {}", side.to_lowercase()),
            ),
            Self::Change(side, drawn) => {
                let caption = format!("Flying change to the {}", side.to_lowercase());
                changes(9, (4, 1, 1), drawn, &caption).drawn(drawn)
            }
            Self::Fourths(drawn) => {
                changes(20, (2, 5, 4), drawn, "Five changes every fourth stride")
            }
            Self::Ones(drawn) => changes(15, (3, 11, 1), drawn, "Eleven changes every stride"),
            Self::Passage(count, drawn) => {
                uphill(strides("Passage", "Collected", count), "Passage").drawn(drawn)
            }
            Self::Piaffe(count) => uphill(strides("Piaffe", "Collected", count), "Piaffe"),
            Self::Halt(drawn) => return halt(drawn),
            Self::WalkTrot(_) | Self::TrotWalk(_) | Self::TrotCanter(..) | Self::CanterTrot(_) => {
                return self.transition();
            }
        };
        vec![one]
    }

    /// Two segments under one caption; what goes wrong does so in the second.
    fn transition(self) -> Vec<Segment> {
        let walk = |count| strides("Walk", "Medium", count);
        let trot = |count| strides("Trot", "Working", count);
        let canter = |count| strides("Canter", "Working", count);
        let (first, second, caption, drawn) = match self {
            Self::WalkTrot(drawn) => (walk(3), trot(9), "Walk to trot".to_owned(), drawn),
            Self::TrotWalk(drawn) => (trot(3), walk(5), "Trot to walk".to_owned(), drawn),
            Self::TrotCanter(side, drawn) => {
                let caption = format!("Trot to canter, {} lead", side.to_lowercase());
                let second = format!("{}, lead: {side}", canter(9));
                (trot(3), second, caption, drawn)
            }
            Self::CanterTrot(side) => {
                let caption = format!("Canter to trot, {} lead", side.to_lowercase());
                (canter(4), trot(4), caption, Drawn::Clean)
            }
            _ => return Vec::new(),
        };
        vec![easy(first, &caption), easy(second, &caption).drawn(drawn)]
    }
}

/// Changes from a stride on, so many, every how many; where late behind, the middle one is.
fn changes(
    strides: u32,
    (first, count, every): (u32, u32, u32),
    drawn: Drawn,
    caption: &str,
) -> Segment {
    (0..count).fold(uphill(canter(strides), caption), |segment, index| {
        let late = if drawn == Drawn::LateBehind && index == count / 2 {
            ", late_behind: 1"
        } else {
            ""
        };
        segment.with(format!("Change(stride: {}{late})", first + index * every))
    })
}

fn halt(drawn: Drawn) -> Vec<Segment> {
    let mut parts = vec![uphill("pace: Halt, lasts: Seconds(3.0)".to_owned(), "Halt")];
    match drawn {
        Drawn::ThroughWalk => parts.insert(0, uphill(strides("Walk", "Collected", 2), "Halt")),
        Drawn::SteppedBack => parts.push(uphill(strides("ReinBack", "Collected", 1), "Halt")),
        _ => {}
    }
    parts
}
