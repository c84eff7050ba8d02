//! The truth beside a film: what its script makes happen, to the nanosecond.

use serde::{Deserialize, Serialize};

use super::arena;
use super::error::FilmError;
use super::gait::{Contact, Gait};
use super::motion::Motion;
use super::paces::Limb;
use super::script::{Event, Pace, Script, Side, Variant};

/// Everything known about a film. Times are nanoseconds from its first picture.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Truth {
    /// Number of this format.
    pub(crate) format: u32,
    /// Title of the film.
    pub(crate) title: String,
    /// Pictures per second.
    pub(crate) fps: u32,
    /// Number of pictures; picture `n` shows the moment `n / fps`.
    pub(crate) frames: u64,
    /// End of the ride.
    pub(crate) end: i64,
    /// Stretches in one pace and variant.
    pub(crate) paces: Vec<PaceSpan>,
    /// Stretches on one rein.
    pub(crate) reins: Vec<(i64, i64, Side)>,
    /// Captions with their exercise.
    pub(crate) captions: Vec<(i64, i64, String)>,
    /// Flying changes.
    pub(crate) changes: Vec<ChangeMark>,
    /// Tempo lapses: from, to, stride time against the segment's own.
    pub(crate) lapses: Vec<(i64, i64, f64)>,
    /// Breaks of pace: from, to, into.
    pub(crate) breaks: Vec<(i64, i64, Pace)>,
    /// Half-pass with the quarters trailing: from, to.
    pub(crate) quarters_trailing: Vec<(i64, i64)>,
    /// Letters passed by the middle of the trunk.
    pub(crate) letters: Vec<(i64, char)>,
    /// Every whole stride: start and pace.
    pub(crate) strides: Vec<(i64, Pace)>,
    /// Parts of strides between two paces or at a halt: from and to.
    pub(crate) joins: Vec<(i64, i64)>,
    /// Every footfall that begins and ends within the film: limb, on, off.
    pub(crate) footfalls: Vec<(Limb, i64, i64)>,
}

/// A stretch in one pace and variant.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct PaceSpan {
    pub(crate) from: i64,
    pub(crate) to: i64,
    pub(crate) pace: Pace,
    pub(crate) variant: Variant,
}

/// A flying change.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct ChangeMark {
    /// Start of the first stride on the new lead in front.
    pub(crate) at: i64,
    /// The new lead.
    pub(crate) to: Side,
    /// Strides by which the hind pair was late; 0 is clean.
    pub(crate) late_behind: u32,
    /// Start of the first stride on the new lead behind, if it came.
    pub(crate) hind_at: Option<i64>,
}

impl Truth {
    /// The truth of a script.
    ///
    /// # Errors
    /// The script asks for what cannot be ridden.
    pub(crate) fn of(script: &Script) -> Result<Self, FilmError> {
        let gait = super::gait::ride(script)?;
        let motion = Motion::new(script, &gait);
        Ok(Self::from_ride(script, &gait, &motion))
    }

    /// The truth of a ride already laid out.
    #[must_use]
    pub(crate) fn from_ride(script: &Script, gait: &Gait, motion: &Motion) -> Self {
        let span = |event: &dyn Fn(&Event) -> bool| {
            gait.stretches
                .iter()
                .filter(|stretch| event(&stretch.event))
                .map(|s| (s.from, s.to))
                .collect::<Vec<_>>()
        };
        Self {
            format: 1,
            title: script.title.clone(),
            fps: script.fps,
            frames: frames(script, gait),
            end: gait.end,
            paces: paces(gait),
            reins: reins(gait, motion),
            captions: captions(script, gait),
            changes: gait
                .changes
                .iter()
                .map(|change| ChangeMark {
                    at: change.fore,
                    to: change.to,
                    late_behind: change.late_behind,
                    hind_at: change.hind,
                })
                .collect(),
            lapses: gait
                .stretches
                .iter()
                .filter_map(|stretch| match stretch.event {
                    Event::Lapse { time_factor, .. } => {
                        Some((stretch.from, stretch.to, time_factor))
                    }
                    _ => None,
                })
                .collect(),
            breaks: gait
                .stretches
                .iter()
                .filter_map(|stretch| match stretch.event {
                    Event::Break { to, .. } => Some((stretch.from, stretch.to, to)),
                    _ => None,
                })
                .collect(),
            quarters_trailing: span(&|event| matches!(event, Event::QuartersTrailing { .. })),
            letters: arena::passed(gait, motion),
            strides: gait
                .strides
                .iter()
                .filter(|stride| !stride.joining && stride.pace != Pace::Halt)
                .map(|stride| (stride.start, stride.pace))
                .collect(),
            joins: gait
                .strides
                .iter()
                .filter(|stride| stride.joining)
                .map(|s| (s.start, s.end))
                .collect(),
            footfalls: footfalls(gait),
        }
    }

    /// The text of the truth file: one entry a line.
    ///
    /// # Errors
    /// The text cannot be formed.
    pub(crate) fn text(&self) -> Result<String, FilmError> {
        let style = ron::ser::PrettyConfig::new()
            .depth_limit(2)
            .indentor("  ")
            .new_line("\n");
        let mut text = ron::ser::to_string_pretty(self, style)
            .map_err(|error| FilmError::Form(error.to_string()))?;
        text.push('\n');
        Ok(text)
    }
}

/// Pictures in the film: every whole picture that begins before the end.
#[must_use]
pub(crate) fn frames(script: &Script, gait: &Gait) -> u64 {
    (i128::from(gait.end) * i128::from(script.fps) / 1_000_000_000) as u64
}

fn paces(gait: &Gait) -> Vec<PaceSpan> {
    let mut spans: Vec<PaceSpan> = Vec::new();
    for stride in &gait.strides {
        match spans.last_mut() {
            Some(span) if span.pace == stride.pace && span.variant == stride.variant => {
                span.to = stride.end;
            }
            _ => spans.push(PaceSpan {
                from: stride.start,
                to: stride.end,
                pace: stride.pace,
                variant: stride.variant,
            }),
        }
    }
    spans
}

fn reins(gait: &Gait, motion: &Motion) -> Vec<(i64, i64, Side)> {
    let starts: Vec<i64> = motion
        .reins
        .iter()
        .map(|(t, ..)| super::gait::ns(*t))
        .collect();
    motion
        .reins
        .iter()
        .enumerate()
        .map(|(index, (_, side, _))| {
            (
                starts[index],
                starts.get(index + 1).copied().unwrap_or(gait.end),
                *side,
            )
        })
        .collect()
}

/// Captions; the same words in segments that follow one another are one caption.
#[must_use]
pub(crate) fn captions(script: &Script, gait: &Gait) -> Vec<(i64, i64, String)> {
    let mut spans: Vec<(i64, i64, String)> = Vec::new();
    for (segment, (from, to)) in script.segments.iter().zip(gait.segments()) {
        let Some(words) = &segment.caption else {
            continue;
        };
        match spans.last_mut() {
            Some((_, until, said)) if *until == from && said == words => *until = to,
            _ => spans.push((from, to, words.clone())),
        }
    }
    spans
}

fn footfalls(gait: &Gait) -> Vec<(Limb, i64, i64)> {
    let within = |contact: &&Contact| contact.on >= 0 && contact.off <= gait.end;
    let mut all: Vec<(Limb, i64, i64)> = Limb::ALL
        .iter()
        .flat_map(|&limb| {
            gait.of(limb)
                .iter()
                .filter(within)
                .map(move |contact| (limb, contact.on, contact.off))
        })
        .collect();
    all.sort_by_key(|&(limb, on, _)| (on, limb));
    all
}
