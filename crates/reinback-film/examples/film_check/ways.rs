//! The ways in which a rider comes to a frame, gone by the engine.

use std::path::Path;

use reinback_film::proof::{NativeFrame, Proof};
use reinback_film::{FilmError, FilmTime};

use crate::told::Told;

/// Room for the frames of most groups, at 32 pixels a side.
pub(crate) const CACHE: usize = 32 << 20;
/// The same with frames as filmed beside them: a quarter of it is theirs.
const SHELVED: usize = 512 << 20;
/// Frames rested on one after the other, going back.
const STEPS: usize = 12;
/// One place to rest at for so many random ones: it takes more decoding.
const PER_REST: usize = 4;

/// One way through a film: frames by their number, `None` where there was none.
pub(crate) struct Way {
    pub(crate) name: &'static str,
    pub(crate) frames: Vec<(usize, Option<NativeFrame>)>,
    /// Frames that were held at full size already, where that is looked at.
    pub(crate) shelved: Option<usize>,
    /// Pieces that could not be decoded on it.
    pub(crate) damaged: u64,
}

impl Way {
    fn new(name: &'static str, frames: Vec<(usize, Option<NativeFrame>)>, damaged: u64) -> Self {
        Self {
            name,
            frames,
            shelved: None,
            damaged,
        }
    }
}

/// The frames forward and backward as far as there are any, some at random, and some rested on
/// while going back.
pub(crate) fn all(
    path: &Path,
    proof: &mut Proof,
    count: usize,
    random: usize,
) -> Result<Vec<Way>, FilmError> {
    let mut forward = Vec::new();
    let mut next = proof.at(FilmTime::ZERO)?;
    while let Some(frame) = next {
        forward.push(frame);
        next = proof.after(frame.time)?;
    }
    let forward_damaged = proof.skipped();
    // From here on nothing may come from what forward stepping left behind.
    *proof = Proof::open(path, CACHE)?;
    let mut backward = Vec::new();
    let mut before = proof.at(FilmTime::MAX)?;
    while let Some(frame) = before {
        backward.push(frame);
        before = proof.before(frame.time)?;
    }
    backward.reverse();
    let backward_damaged = proof.skipped();
    let mut dice = Dice(17);
    let (mut jumps, mut jumps_damaged) = (Vec::new(), 0);
    for _ in 0..random.min(forward.len()) {
        *proof = Proof::open(path, 0)?;
        let at = dice.below(forward.len());
        jumps.push((at, proof.at(within(&forward, at))?));
        jumps_damaged = proof.skipped().max(jumps_damaged);
    }
    let mut rests = Way::new("rested on", Vec::new(), 0);
    for _ in 0..random.div_ceil(PER_REST).min(forward.len()) {
        rest(path, &forward, dice.below(forward.len()), &mut rests)?;
    }
    Ok(vec![
        Way::new("forward", against(forward, count), forward_damaged),
        Way::new("backward", against(backward, count), backward_damaged),
        Way::new("random", jumps, jumps_damaged),
        rests,
    ])
}

/// Jumps to a frame and goes back from it, resting on each: the frame as filmed that is then
/// handed out.
fn rest(
    path: &Path,
    frames: &[NativeFrame],
    from: usize,
    rests: &mut Way,
) -> Result<(), FilmError> {
    let mut proof = Proof::open_shelved(path, SHELVED)?;
    let mut shown = proof.at(within(frames, from))?;
    for at in (0..=from).rev().take(STEPS) {
        let rested = match shown {
            Some(frame) => proof.rested(frame.time)?,
            None => None,
        };
        rests.frames.push((at, rested.map(|rested| rested.frame)));
        let shelved = rested.is_some_and(|rested| rested.shelved);
        rests.shelved = Some(rests.shelved.unwrap_or(0) + usize::from(shelved));
        let Some(frame) = shown else { break };
        shown = proof.before(frame.time)?;
    }
    rests.damaged = rests.damaged.max(proof.skipped());
    Ok(())
}

/// Half way to the next frame, where there is one.
fn within(frames: &[NativeFrame], at: usize) -> FilmTime {
    let start = frames[at].time;
    let end = frames.get(at + 1).map_or(start, |next| next.time);
    FilmTime(start.0 + (end.0 - start.0) / 2)
}

/// Numbers what was found; what is told and was not found is missing.
fn against(found: Vec<NativeFrame>, count: usize) -> Vec<(usize, Option<NativeFrame>)> {
    let missing = found.len()..count;
    let mut frames: Vec<_> = found.into_iter().map(Some).enumerate().collect();
    frames.extend(missing.map(|at| (at, None)));
    frames
}

impl Way {
    /// Whether its time stamps rise from each frame to the next; it goes through the film once.
    pub(crate) fn rises(&self) -> bool {
        let found = self.frames.iter().filter_map(|(_, frame)| frame.as_ref());
        found.is_sorted_by(|a, b| a.tick < b.tick)
    }

    /// Frames that were there.
    pub(crate) fn found(&self) -> usize {
        self.frames.iter().filter(|(_, f)| f.is_some()).count()
    }

    /// What differs from what is told, a line each.
    pub(crate) fn differences(&self, told: &Told) -> Vec<String> {
        // Numbers say nothing where the programs count differently: then each frame is looked for
        // among those of either.
        let by_number = told.dispute().is_none();
        let differing = |(at, found): &(usize, Option<NativeFrame>)| {
            let words = match found {
                None => Some("missing".to_owned()),
                Some(frame) if by_number => at_its_number(frame, *at, told),
                Some(frame) => anywhere(frame, told),
            };
            words.map(|words| format!("frame {at} {words}"))
        };
        self.frames.iter().filter_map(differing).collect()
    }
}

fn at_its_number(frame: &NativeFrame, at: usize, told: &Told) -> Option<String> {
    let (Some(tick), Some(listed)) = (told.ticks.get(at), told.md5s.get(at)) else {
        return Some(format!("at tick {}, not told", frame.tick));
    };
    if let Some(tick) = tick.filter(|tick| *tick != frame.tick) {
        return Some(format!("at tick {} instead of {tick}", frame.tick));
    }
    let md5 = hex(frame.md5);
    (md5 != *listed).then(|| format!("pixels {md5} instead of {listed}"))
}

fn anywhere(frame: &NativeFrame, told: &Told) -> Option<String> {
    let md5 = hex(frame.md5);
    if !told.ticks.contains(&Some(frame.tick)) {
        Some(format!(
            "at tick {}, which ffprobe does not list",
            frame.tick
        ))
    } else if !told.md5s.contains(&md5) {
        Some(format!("pixels {md5}, which ffmpeg does not give"))
    } else {
        None
    }
}

fn hex(md5: [u8; 16]) -> String {
    format!("{:032x}", u128::from_be_bytes(md5))
}

/// Numbers that look random and are the same in each run (Knuth's MMIX
/// constants).
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) as usize) % limit.max(1)
    }
}
