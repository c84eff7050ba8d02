//! How loud a film is from moment to moment, at any closeness.

use crate::time::FilmTime;

use super::{Stereo, signed};

/// Nanoseconds of the finest step: two milliseconds, a few points on a screen
/// at the closest look. Our own choice.
pub(crate) const FINEST: i64 = 2_000_000;
/// Steps at most: more than two hours of the finest; longer films get coarser.
pub(crate) const MOST: usize = 4_000_000;
/// Steps that make one of the next level.
const FACTOR: usize = 4;
/// Full loudness as it is kept.
const FULL: f32 = 32_767.0;

/// The loudness of a stretch of film, of both ears together; full loudness is
/// 1, what is louder counts as 1.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Loudness {
    /// The lowest sample, -1 to 1.
    pub min: f32,
    /// The highest sample, -1 to 1.
    pub max: f32,
    /// Root of the mean square of the samples, 0 to 1.
    pub rms: f32,
}

/// [`Loudness`] in six bytes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Step {
    pub(crate) min: i16,
    pub(crate) max: i16,
    pub(crate) rms: u16,
}

impl Step {
    fn loudness(self) -> Loudness {
        Loudness {
            min: f32::from(self.min) / FULL,
            max: f32::from(self.max) / FULL,
            rms: f32::from(self.rms) / FULL,
        }
    }

    fn of(steps: &[Self]) -> Self {
        let square = |step: &Self| f64::from(step.rms) * f64::from(step.rms);
        let mean = steps.iter().map(square).sum::<f64>() / steps.len().max(1) as f64;
        Self {
            min: steps.iter().map(|step| step.min).min().unwrap_or(0),
            max: steps.iter().map(|step| step.max).max().unwrap_or(0),
            rms: mean.sqrt().round() as u16,
        }
    }
}

/// The loudness of a whole film from its first presented frame on, with
/// coarser and coarser levels above the finest steps.
///
/// **Invariant**: every level is made of the one below, four steps to one.
#[derive(Clone, Debug, PartialEq)]
pub struct Waveform {
    step: i64,
    levels: Vec<Vec<Step>>,
}

impl Waveform {
    /// From the finest steps of `step` nanoseconds; `None` for a length that
    /// is not above zero, and for more steps than are made.
    pub(crate) fn new(step: i64, finest: Vec<Step>) -> Option<Self> {
        if step <= 0 || finest.len() > MOST {
            return None;
        }
        let mut levels = vec![finest];
        while let Some(below) = levels.last().filter(|level| level.len() > 1) {
            let above = below.chunks(FACTOR).map(Step::of).collect();
            levels.push(above);
        }
        Some(Self { step, levels })
    }

    /// Nanoseconds of a finest step.
    pub(crate) fn step(&self) -> i64 {
        self.step
    }

    /// The finest steps.
    pub(crate) fn finest(&self) -> &[Step] {
        self.levels.first().map_or(&[], Vec::as_slice)
    }

    /// How much of the film is known: to the end of its sound.
    #[must_use]
    pub fn length(&self) -> FilmTime {
        FilmTime(self.step.saturating_mul(signed(self.finest().len())))
    }

    /// The whole film's loudness.
    #[must_use]
    pub fn whole(&self) -> Loudness {
        let top = self.levels.last().and_then(|level| level.first());
        top.map_or_else(Loudness::default, |step| step.loudness())
    }

    /// The loudness of a stretch; its ends are moved outwards by a quarter of
    /// its length at most, or to the finest step. `None` where there is no
    /// sound, before the film's start and after the sound's end.
    #[must_use]
    pub fn over(&self, from: FilmTime, to: FilmTime) -> Option<Loudness> {
        let (from, to) = (from.0.max(0), to.0.max(from.0.saturating_add(1)));
        if to <= from || from >= self.length().0 {
            return None;
        }
        let (mut level, mut step) = (0, self.step);
        let factor = signed(FACTOR);
        while level + 1 < self.levels.len() && step * factor * factor <= to - from {
            level += 1;
            step *= factor;
        }
        let steps = self.levels.get(level)?;
        let first = usize::try_from(from / step).ok()?;
        let last = usize::try_from((to - 1) / step).map_or(steps.len(), |last| last + 1);
        let steps = steps.get(first..last.min(steps.len()))?;
        (!steps.is_empty()).then(|| Step::of(steps).loudness())
    }
}

/// Makes a [`Waveform`] of samples as they come.
pub(crate) struct Maker {
    rate: i64,
    step: i64,
    steps: Vec<Step>,
    /// Number of the next sample.
    sample: i64,
    /// Number of the first sample of the next step.
    border: i64,
    now: Sum,
}

#[derive(Clone, Copy)]
struct Sum {
    min: f32,
    max: f32,
    squares: f64,
    count: u32,
}

impl Sum {
    const NONE: Self = Self {
        min: f32::INFINITY,
        max: f32::NEG_INFINITY,
        squares: 0.0,
        count: 0,
    };

    fn add(&mut self, value: f32) {
        let value = value.clamp(-1.0, 1.0);
        self.min = self.min.min(value);
        self.max = self.max.max(value);
        self.squares += f64::from(value) * f64::from(value);
        self.count += 1;
    }

    /// As [`Sum::add`] of so many zeros.
    fn add_silence(&mut self, count: u32) {
        self.min = self.min.min(0.0);
        self.max = self.max.max(0.0);
        self.count = self.count.saturating_add(count);
    }

    fn step(&self) -> Option<Step> {
        let mean = self.squares / f64::from(self.count);
        (self.count > 0).then(|| Step {
            min: (self.min * FULL).round() as i16,
            max: (self.max * FULL).round() as i16,
            rms: (mean.sqrt() * f64::from(FULL)).round() as u16,
        })
    }
}

impl Maker {
    /// For samples of `rate` a second, the first one at the film's start.
    pub(crate) fn new(rate: u32) -> Self {
        let mut maker = Self {
            rate: i64::from(rate.max(1)),
            step: FINEST,
            steps: Vec::new(),
            sample: 0,
            border: 0,
            now: Sum::NONE,
        };
        maker.border = maker.first_sample(1);
        maker
    }

    /// Adds the samples that come next.
    pub(crate) fn push(&mut self, samples: &[Stereo]) {
        for [left, right] in samples {
            while self.sample >= self.border {
                self.close();
            }
            self.now.add(*left);
            self.now.add(*right);
            self.sample += 1;
        }
    }

    /// Adds so many samples of silence, without looking at each: a time stamp gone wrong can
    /// stand hours behind the sound before it.
    pub(crate) fn push_silence(&mut self, samples: i64) {
        let end = self.sample.saturating_add(samples.max(0));
        while self.sample < end {
            while self.sample >= self.border {
                self.close();
            }
            let part = self.border.min(end) - self.sample;
            let both = u32::try_from(part.saturating_mul(2)).unwrap_or(u32::MAX);
            self.now.add_silence(both);
            self.sample += part;
        }
    }

    /// The film's moment that is reached.
    pub(crate) fn reached(&self) -> FilmTime {
        FilmTime::from_secs_f64(self.sample as f64 / self.rate as f64)
    }

    /// Samples to come until a moment.
    pub(crate) fn samples_until(&self, moment: FilmTime) -> i64 {
        let samples = (moment.as_secs_f64() * self.rate as f64) as i64;
        samples.saturating_sub(self.sample).max(0)
    }

    pub(crate) fn finish(mut self) -> Option<Waveform> {
        self.close();
        Waveform::new(self.step, self.steps)
    }

    /// The first sample of a step: at or after the step's beginning.
    fn first_sample(&self, step: usize) -> i64 {
        let nanos = step as i128 * i128::from(self.step) * i128::from(self.rate);
        i64::try_from((nanos + 999_999_999).div_euclid(1_000_000_000)).unwrap_or(i64::MAX)
    }

    fn close(&mut self) {
        // At fewer samples than steps some of these have none: as the last.
        let step = self.now.step().or(self.steps.last().copied());
        self.steps.extend(step);
        self.now = Sum::NONE;
        if self.steps.len() >= MOST {
            self.steps = self.steps.chunks(2).map(Step::of).collect();
            self.step *= 2;
        }
        self.border = self.first_sample(self.steps.len() + 1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Silence in one piece is the same as sample by sample.
        #[test]
        fn silence_is_the_samples_it_stands_for(
            before in 0_usize..3_000, silent in 0_usize..200_000, rate in 1_u32..50_000,
        ) {
            let sound = vec![[0.5, -0.25]; before];
            let (mut whole, mut single) = (Maker::new(rate), Maker::new(rate));
            for maker in [&mut whole, &mut single] {
                maker.push(&sound);
            }
            whole.push_silence(i64::try_from(silent).unwrap());
            single.push(&vec![[0.0; 2]; silent]);
            prop_assert_eq!(whole.reached(), single.reached());
            prop_assert_eq!(whole.finish(), single.finish());
        }
    }

    fn of(rate: u32, samples: &[f32]) -> Waveform {
        let mut maker = Maker::new(rate);
        let both: Vec<Stereo> = samples.iter().map(|value| [*value; 2]).collect();
        for block in both.chunks(37) {
            maker.push(block);
        }
        maker.finish().unwrap()
    }

    fn millis(count: i64) -> FilmTime {
        FilmTime(count * 1_000_000)
    }

    #[test]
    fn a_click_is_seen_at_every_closeness() {
        let mut samples = vec![0.0; 48_000];
        samples[24_000] = -0.5;
        let wave = of(48_000, &samples);
        assert_eq!(wave.length(), millis(1000));
        for (from, to, seen) in [
            (500, 502, true),
            (498, 500, false),
            (502, 504, false),
            (400, 600, true),
            (0, 1000, true),
            (-500, 2000, true),
            (0, 300, false),
            (700, 1000, false),
        ] {
            let over = wave.over(millis(from), millis(to)).unwrap();
            assert_eq!(over.min < -0.49, seen, "{from} to {to} ms: {over:?}");
            assert!(over.max.abs() < 1e-6, "{over:?}");
        }
        assert_eq!(wave.over(millis(1000), millis(1001)), None);
        assert_eq!(wave.over(millis(-9), millis(-5)), None);
    }

    #[test]
    fn what_is_too_loud_or_too_short_is_held() {
        let wave = of(48_000, &[3.0, -7.0]);
        let whole = wave.whole();
        assert_eq!((whole.min, whole.max, whole.rms), (-1.0, 1.0, 1.0));
        assert_eq!(of(48_000, &[]).whole(), Loudness::default());
        assert_eq!(of(48_000, &[]).over(millis(0), millis(5)), None);
        // Fewer samples than steps.
        assert_eq!(of(100, &[0.25; 10]).length(), millis(92));
    }

    proptest! {
        /// Against the same sums over the samples themselves.
        #[test]
        fn a_stretch_is_as_loud_as_its_samples(
            samples in prop::collection::vec(-1.0_f32..1.0, 500..3000),
            rate in prop::sample::select(vec![8000_u32, 22_050, 44_100]),
            ends in (0_usize..40, 1_usize..40),
        ) {
            let wave = of(rate, &samples);
            let (from, to) = (ends.0, ends.0 + ends.1);
            let edge = |step: usize| ((step as u64 * 2 * u64::from(rate)).div_ceil(1000)) as usize;
            let (from_sample, to_sample) = (edge(from), edge(to).min(samples.len()));
            prop_assume!(to_sample > from_sample && ends.1 < 16);
            let part = &samples[from_sample..to_sample];
            let over = wave.over(millis(signed(from * 2)), millis(signed(to * 2))).unwrap();
            let max = part.iter().copied().fold(f32::MIN, f32::max);
            let min = part.iter().copied().fold(f32::MAX, f32::min);
            prop_assert!((over.max - max).abs() < 1e-4 && (over.min - min).abs() < 1e-4);
        }
    }
}
