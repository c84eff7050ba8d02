//! What a film shows, read from its truth: bouts, faults, paces and outlines to the nanosecond.

use std::fs;
use std::path::Path;

use reinback_yard::Rein;
use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::Failure;
use super::moves::Going;

/// A film as its truth describes it. Times are nanoseconds from its first picture.
#[derive(Debug)]
pub(super) struct Shown {
    /// Length of the file: whole pictures.
    pub(super) duration: i64,
    pub(super) bouts: Vec<ShownBout>,
    pub(super) paces: Vec<(i64, i64, Going)>,
    pub(super) outlines: Vec<(i64, i64, &'static str)>,
}

/// One bout of a film with the faults drawn in it.
#[derive(Debug)]
pub(super) struct ShownBout {
    pub(super) what: Named,
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) faults: Vec<(i64, &'static str)>,
}

/// What a caption names.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Named {
    pub(super) exercise: &'static str,
    pub(super) variant: Option<&'static str>,
    pub(super) rein: Option<Rein>,
    pub(super) asked: Option<(u16, u16)>,
}

impl Named {
    /// A pace ridden for a few strides between two exercises is no bout of its own.
    fn is_worth(&self, nanos: i64) -> bool {
        let own = matches!(self.exercise, "walk" | "free-walk" | "trot" | "canter");
        !own || nanos >= 6_000_000_000
    }
}

/// The entries of a truth file that are used here; see `demo-sessions/films/README.md`.
#[derive(Deserialize)]
struct Truth {
    fps: u32,
    frames: u32,
    paces: Vec<PaceSpan>,
    captions: Vec<(i64, i64, String)>,
    changes: Vec<Change>,
    lapses: Vec<(i64, i64, f64)>,
    breaks: Vec<(i64, i64, Pace)>,
    quarters_trailing: Vec<(i64, i64)>,
}

#[derive(Deserialize)]
struct PaceSpan {
    from: i64,
    to: i64,
    pace: Pace,
    variant: Variant,
}

#[derive(Deserialize)]
struct Change {
    at: i64,
    late_behind: u32,
}

#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
enum Pace {
    Walk,
    Trot,
    Canter,
    Passage,
    Piaffe,
    Halt,
    ReinBack,
}

#[derive(Clone, Copy, Deserialize)]
enum Variant {
    Collected,
    Working,
    Medium,
    Extended,
    Free,
    Pirouette,
}

/// The entries of a script that are used here.
#[derive(Deserialize)]
struct Script {
    segments: Vec<Segment>,
}

#[derive(Deserialize)]
struct Segment {
    #[serde(default)]
    outline: Outline,
    caption: String,
}

#[derive(Clone, Copy, Default, Deserialize)]
enum Outline {
    Stretched,
    Deep,
    #[default]
    Working,
    Competition,
    NoseForward,
}

/// Reads what the film of this name shows.
///
/// # Errors
/// The script or the truth cannot be read, or they do not belong together.
pub(super) fn read(films: &Path, name: &str) -> Result<Shown, Failure> {
    let script: Script = parse(&films.join(format!("{name}.script.ron")))?;
    let truth: Truth = parse(&films.join(format!("{name}.truth.ron")))?;
    let outlines = outlines(&script, &truth)
        .ok_or_else(|| format!("the captions of {name} are not those of its script"))?;
    let bouts = truth.captions.iter().filter_map(|(from, to, caption)| {
        let what = named(caption).filter(|what| what.is_worth(to - from))?;
        let faults = truth.faults(what.exercise, *from, *to);
        Some(ShownBout {
            what,
            from: *from,
            to: *to,
            faults,
        })
    });
    Ok(Shown {
        duration: i64::from(truth.frames) * 1_000_000_000 / i64::from(truth.fps.max(1)),
        bouts: bouts.collect(),
        paces: truth
            .paces
            .iter()
            .map(|span| (span.from, span.to, span.going()))
            .collect(),
        outlines,
    })
}

fn parse<T: DeserializeOwned>(path: &Path) -> Result<T, Failure> {
    let text = fs::read_to_string(path)
        .map_err(|error| format!("{}: {error}; run demo_yard again", path.display()))?;
    let options =
        ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    options
        .from_str(&text)
        .map_err(|error| format!("{}: {error}", path.display()).into())
}

/// Segments that follow one another under the same words are one caption, as in the truth.
fn outlines(script: &Script, truth: &Truth) -> Option<Vec<(i64, i64, &'static str)>> {
    let mut groups: Vec<&Segment> = Vec::new();
    for segment in &script.segments {
        if groups
            .last()
            .is_none_or(|last| last.caption != segment.caption)
        {
            groups.push(segment);
        }
    }
    let same = groups.len() == truth.captions.len()
        && groups
            .iter()
            .zip(&truth.captions)
            .all(|(segment, (_, _, caption))| segment.caption == *caption);
    let mut spans: Vec<(i64, i64, &'static str)> = Vec::new();
    for (segment, (from, to, _)) in groups.iter().zip(&truth.captions) {
        let outline = segment.outline.word();
        match spans.last_mut() {
            Some((_, end, last)) if *last == outline => *end = *to,
            _ => spans.push((*from, *to, outline)),
        }
    }
    same.then_some(spans)
}

impl Outline {
    const fn word(self) -> &'static str {
        match self {
            Self::Stretched => "stretched",
            Self::Deep => "deep-and-round",
            Self::Working => "working",
            Self::Competition => "competition",
            Self::NoseForward => "nose-forward",
        }
    }
}

impl PaceSpan {
    const fn going(&self) -> Going {
        use reinback_yard::Pace as Ridden;
        let variant = match self.variant {
            Variant::Collected | Variant::Pirouette => "collected",
            Variant::Working => "working",
            Variant::Medium => "medium",
            Variant::Extended => "extended",
            Variant::Free => "free",
        };
        match self.pace {
            Pace::Walk => (Ridden::Walk, Some(variant)),
            Pace::Trot => (Ridden::Trot, Some(variant)),
            Pace::Canter => (Ridden::Canter, Some(variant)),
            Pace::Passage => (Ridden::Passage, None),
            Pace::Piaffe => (Ridden::Piaffe, None),
            Pace::Halt => (Ridden::Halt, None),
            Pace::ReinBack => (Ridden::ReinBack, None),
        }
    }
}

impl Truth {
    /// What goes wrong in a stretch, in the words of the exercise.
    fn faults(&self, exercise: &str, from: i64, to: i64) -> Vec<(i64, &'static str)> {
        let within = |at: i64| from <= at && at < to;
        let late = self
            .changes
            .iter()
            .filter(|change| change.late_behind > 0)
            .map(|change| (change.at, "late-behind"));
        let trailing = self
            .quarters_trailing
            .iter()
            .map(|(at, _)| (*at, "quarters-trailing"));
        let lapses = self
            .lapses
            .iter()
            .map(|(at, _, factor)| (*at, lapse(exercise, *factor < 1.0)));
        let breaks = self
            .breaks
            .iter()
            .filter_map(|(at, _, to)| Some((*at, broken(exercise, *to)?)));
        let steps = self
            .paces
            .iter()
            .filter_map(|span| Some((span.from, halted(exercise, span.pace)?)));
        let mut faults: Vec<_> = late
            .chain(trailing)
            .chain(lapses)
            .chain(breaks)
            .chain(steps)
            .filter(|(at, _)| within(*at))
            .collect();
        faults.sort_unstable();
        faults
    }
}

fn lapse(exercise: &str, ran: bool) -> &'static str {
    match (exercise, ran) {
        ("flying-change" | "changes-every-4th-stride" | "changes-every-stride", true) => {
            "quickened"
        }
        ("walk-trot" | "trot-canter", true) => "hurried-off",
        ("trot" | "canter", true) => "hurried",
        (_, true) => "tempo-ran",
        (_, false) => "tempo-dropped",
    }
}

fn broken(exercise: &str, to: Pace) -> Option<&'static str> {
    match (exercise, to) {
        ("canter" | "passage", Pace::Trot) => Some("broke-to-trot"),
        ("trot-walk" | "trot-canter", Pace::Trot) => Some("trot-steps"),
        ("walk" | "free-walk", Pace::Trot) => Some("jogging"),
        ("trot", Pace::Canter) => Some("broke-to-canter"),
        _ => None,
    }
}

/// Steps that belong to no halt.
fn halted(exercise: &str, pace: Pace) -> Option<&'static str> {
    match (exercise, pace) {
        ("halt", Pace::Walk) => Some("through-walk"),
        ("halt", Pace::ReinBack) => Some("stepped-back"),
        _ => None,
    }
}

/// The exercise that a caption names; strides between two exercises name none.
fn named(caption: &str) -> Option<Named> {
    let plain = |exercise, variant| Named {
        exercise,
        variant,
        ..Named::default()
    };
    let series = |exercise, asked| Named {
        exercise,
        asked: Some(asked),
        ..Named::default()
    };
    let all = match caption {
        "Walk on a long rein" => plain("free-walk", None),
        "Medium walk" | "Medium walk, right rein" => plain("walk", Some("medium")),
        "Collected trot" => plain("trot", Some("collected")),
        "Working trot" => plain("trot", Some("working")),
        "Stretching in trot" => plain("stretching-on-a-long-rein", Some("in-trot")),
        "Walk to trot" => plain("walk-trot", None),
        "Trot to walk" => plain("trot-walk", None),
        "Passage" => plain("passage", None),
        "Piaffe" => plain("piaffe", None),
        "Halt" => plain("halt", None),
        "Rein-back" => plain("rein-back", None),
        "Five changes every fourth stride" => series("changes-every-4th-stride", (5, 4)),
        "Eleven changes every stride" => series("changes-every-stride", (11, 1)),
        _ => return sided(caption),
    };
    Some(all)
}

fn sided(caption: &str) -> Option<Named> {
    let words = caption.strip_suffix(" lead").unwrap_or(caption);
    let (exercise, rein) = match words.rsplit_once(' ')? {
        (exercise, "left") => (exercise, Rein::Left),
        (exercise, "right") => (exercise, Rein::Right),
        _ => return None,
    };
    let (exercise, variant) = match exercise {
        "Shoulder-in" => ("shoulder-in", Some("in-trot")),
        "Half-pass" => ("half-pass", Some("in-trot")),
        "Collected canter" => ("canter", Some("collected")),
        "Working canter" => ("canter", Some("working")),
        "Flying change to the" => ("flying-change", None),
        "Trot to canter," => ("trot-canter", None),
        "Canter to trot," => ("canter-trot", None),
        _ => return None,
    };
    Some(Named {
        exercise,
        variant,
        rein: Some(rein),
        asked: None,
    })
}
