//! The frames held in memory: bounded by bytes, least recently used first out.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;
use std::sync::Arc;

use crate::kept::Kept;
use crate::time::FilmTime;

/// No more frames than this, whatever their size: the search for the oldest
/// one walks over all of them.
pub(crate) const MOST_FRAMES: usize = 4096;

/// No frame at all, where some are to be kept before others.
pub(crate) const NO_FRAME: RangeInclusive<FilmTime> =
    RangeInclusive::new(FilmTime(0), FilmTime(-1));

/// What is known about the frame that follows one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Next {
    /// Nothing: it was decoded alone.
    Unknown,
    /// The next presented frame has this time.
    At(FilmTime),
    /// There is none: it is the last frame of the film.
    End,
}

/// An unbroken run of held frames before one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Behind {
    pub(crate) first: FilmTime,
    pub(crate) frames: usize,
    pub(crate) keys: usize,
}

struct Slot {
    frame: Arc<Kept>,
    next: Next,
    used: u64,
}

/// Frames by their time, each with what is known about its successor.
///
/// **Invariant**: the bytes held never exceed the limit, except that the frame
/// put in last is always kept, even where it alone is larger.
pub(crate) struct Cache {
    slots: BTreeMap<FilmTime, Slot>,
    limit: usize,
    /// Bytes of the limit that others hold.
    aside: usize,
    bytes: usize,
    clock: u64,
}

impl Cache {
    /// An empty cache for `limit` bytes of pixels.
    pub(crate) fn new(limit: usize) -> Self {
        Self {
            slots: BTreeMap::new(),
            limit,
            aside: 0,
            bytes: 0,
            clock: 0,
        }
    }

    /// Bytes of pixels held now.
    pub(crate) fn bytes(&self) -> usize {
        self.bytes
    }

    /// Bytes that others hold.
    pub(crate) fn aside(&self) -> usize {
        self.aside
    }

    /// Bytes that may be held.
    pub(crate) fn room(&self) -> usize {
        self.limit.saturating_sub(self.aside)
    }

    /// Leaves `bytes` of the limit to others; frames outside `keep` make room
    /// first.
    pub(crate) fn set_aside(&mut self, bytes: usize, keep: &RangeInclusive<FilmTime>) {
        self.aside = bytes;
        self.shed(None, keep);
    }

    /// Bytes that may be held together with what is aside.
    pub(crate) fn limit(&self) -> usize {
        self.limit
    }

    /// Holds no more than `bytes` from now on.
    pub(crate) fn set_limit(&mut self, bytes: usize) {
        self.limit = bytes;
        self.shed(None, &NO_FRAME);
    }

    /// Frames held now.
    pub(crate) fn len(&self) -> usize {
        self.slots.len()
    }

    /// Holds a frame. Older frames make room, those outside `keep` first.
    pub(crate) fn insert(&mut self, frame: Arc<Kept>, next: Next, keep: &RangeInclusive<FilmTime>) {
        let time = frame.time;
        self.clock += 1;
        self.bytes += frame.byte_count();
        let slot = Slot {
            frame,
            next,
            used: self.clock,
        };
        if let Some(old) = self.slots.insert(time, slot) {
            self.bytes -= old.frame.byte_count();
            self.keep_knowledge(time, old.next);
        }
        self.shed(Some(time), keep);
    }

    fn shed(&mut self, newest: Option<FilmTime>, keep: &RangeInclusive<FilmTime>) {
        let room = self.room();
        while (self.bytes > room || self.slots.len() > MOST_FRAMES) && self.slots.len() > 1 {
            self.drop_oldest(newest, keep);
        }
    }

    /// A frame decoded again without its successor does not lose what was
    /// known about it.
    fn keep_knowledge(&mut self, time: FilmTime, known: Next) {
        if let Some(slot) = self.slots.get_mut(&time)
            && slot.next == Next::Unknown
        {
            slot.next = known;
        }
    }

    fn drop_oldest(&mut self, newest: Option<FilmTime>, keep: &RangeInclusive<FilmTime>) {
        let oldest = self
            .slots
            .iter()
            .filter(|(time, _)| Some(**time) != newest)
            .min_by_key(|(time, slot)| (keep.contains(time), slot.used))
            .map(|(time, _)| *time);
        if let Some(slot) = oldest.and_then(|time| self.slots.remove(&time)) {
            self.bytes -= slot.frame.byte_count();
        }
    }

    /// The frame on screen at `time`, if it is held and its successor is known
    /// to come later. Times before the first frame show the first frame.
    pub(crate) fn shown_at(&mut self, time: FilmTime) -> Option<Arc<Kept>> {
        let time = time.max(FilmTime::ZERO);
        self.clock += 1;
        let (_, slot) = self.slots.range_mut(..=time).next_back()?;
        let covers = match slot.next {
            Next::Unknown => slot.frame.time == time,
            Next::At(next) => time < next,
            Next::End => true,
        };
        covers.then(|| {
            slot.used = self.clock;
            Arc::clone(&slot.frame)
        })
    }

    /// The held frame with the greatest time at or before `time`, whatever is
    /// between them in the film.
    pub(crate) fn latest_until(&self, time: FilmTime) -> Option<Arc<Kept>> {
        self.slots
            .range(..=time.max(FilmTime::ZERO))
            .next_back()
            .map(|(_, slot)| Arc::clone(&slot.frame))
    }

    /// Adds what is known about the successor of the frame at exactly `time`
    /// and returns that frame; `None` where it is not held.
    pub(crate) fn learn(&mut self, time: FilmTime, next: Next) -> Option<Arc<Kept>> {
        let slot = self.slots.get_mut(&time)?;
        if next != Next::Unknown {
            slot.next = next;
        }
        self.clock += 1;
        slot.used = self.clock;
        Some(Arc::clone(&slot.frame))
    }

    /// Number and bytes of the frames held from `from` to `to`, both included.
    pub(crate) fn between(&self, from: FilmTime, to: FilmTime) -> (usize, usize) {
        if from > to {
            return (0, 0);
        }
        self.slots
            .range(from..=to)
            .fold((0, 0), |(count, bytes), (_, slot)| {
                (count + 1, bytes + slot.frame.byte_count())
            })
    }

    /// What follows the frame at exactly `time`; `None` where it is not held.
    pub(crate) fn next_of(&self, time: FilmTime) -> Option<Next> {
        self.slots.get(&time).map(|slot| slot.next)
    }

    /// The frame just before the one at exactly `time`, if it is held and
    /// known to be its neighbour.
    pub(crate) fn before(&self, time: FilmTime) -> Option<FilmTime> {
        let (found, slot) = self.slots.range(..time).next_back()?;
        (slot.next == Next::At(time)).then_some(*found)
    }

    /// The first frame of the unbroken run that ends with the frame at exactly
    /// `time`, the number of frames before `time` in it, and how many of the
    /// run's frames decoding could begin with, `time`'s own included.
    pub(crate) fn run_start(&self, time: FilmTime) -> Behind {
        let key = |time: FilmTime| self.slots.get(&time).is_some_and(|slot| slot.frame.key);
        let mut found = Behind {
            first: time,
            frames: 0,
            keys: usize::from(key(time)),
        };
        for (earlier, slot) in self.slots.range(..time).rev() {
            if slot.next != Next::At(found.first) {
                break;
            }
            found.first = *earlier;
            found.frames += 1;
            found.keys += usize::from(slot.frame.key);
        }
        found
    }

    /// The frame one step after (`forward`) or before the one shown at `time`,
    /// where both are held and known to be neighbours.
    pub(crate) fn neighbour(&mut self, time: FilmTime, forward: bool) -> Option<Arc<Kept>> {
        let start = self.shown_at(time)?.time;
        let wanted = if forward {
            match self.next_of(start)? {
                Next::At(next) => next,
                Next::Unknown | Next::End => return None,
            }
        } else {
            self.before(start)?
        };
        self.learn(wanted, Next::Unknown)
    }

    /// The last frame of the unbroken run that starts with the frame shown at
    /// `time`, and what is known to follow it.
    pub(crate) fn run_end(&self, time: FilmTime) -> Option<(FilmTime, Next)> {
        let (start, slot) = self.slots.range(..=time.max(FilmTime::ZERO)).next_back()?;
        if matches!(slot.next, Next::At(next) if next <= time) {
            return None;
        }
        let (mut last, mut next) = (*start, slot.next);
        while let Next::At(following) = next {
            let Some(slot) = self.slots.get(&following) else {
                break;
            };
            (last, next) = (following, slot.next);
        }
        Some((last, next))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kept::Form;
    use crate::picture::Pixels;
    use proptest::prelude::*;
    use std::collections::BTreeSet;

    fn frame(time: i64, side: u32) -> Arc<Kept> {
        Arc::new(Kept {
            time: FilmTime(time),
            end: None,
            key: time % 100 == 0,
            form: Form::Painted(Pixels {
                width: side,
                height: side,
                rgba: vec![0; (side * side * 4) as usize].into(),
            }),
        })
    }

    fn shown(cache: &mut Cache, time: i64) -> Option<i64> {
        cache.shown_at(FilmTime(time)).map(|frame| frame.time.0)
    }

    fn three() -> Cache {
        let mut cache = Cache::new(1 << 20);
        cache.insert(frame(0, 2), Next::At(FilmTime(40)), &NO_FRAME);
        cache.insert(frame(40, 2), Next::Unknown, &NO_FRAME);
        cache.insert(frame(200, 2), Next::End, &NO_FRAME);
        cache
    }

    #[test]
    fn a_frame_is_shown_until_its_known_successor() {
        for (time, expected) in [
            (-5, Some(0)),
            (0, Some(0)),
            (39, Some(0)),
            (40, Some(40)),
            (41, None),
            (199, None),
            (200, Some(200)),
            (i64::MAX, Some(200)),
        ] {
            assert_eq!(shown(&mut three(), time), expected, "at {time}");
        }
    }

    #[test]
    fn knowledge_about_the_successor_survives_a_second_decode() {
        let mut cache = three();
        cache.insert(frame(0, 2), Next::Unknown, &NO_FRAME);
        assert_eq!(shown(&mut cache, 39), Some(0));
    }

    #[test]
    fn neighbours_and_runs_need_known_successors() {
        let cache = three();
        assert_eq!(cache.before(FilmTime(40)), Some(FilmTime(0)));
        assert_eq!(cache.before(FilmTime(200)), None);
        assert_eq!(
            cache.run_end(FilmTime(10)),
            Some((FilmTime(40), Next::Unknown))
        );
        assert_eq!(
            cache.run_end(FilmTime(300)),
            Some((FilmTime(200), Next::End))
        );
    }

    #[test]
    fn one_step_is_answered_only_between_known_neighbours() {
        for (time, forward, expected) in [
            (10, true, Some(40)),
            (40, false, Some(0)),
            (40, true, None),
            (0, false, None),
            (200, false, None),
            (200, true, None),
        ] {
            let found = three().neighbour(FilmTime(time), forward);
            assert_eq!(
                found.map(|frame| frame.time.0),
                expected,
                "{time} {forward}"
            );
        }
    }

    #[test]
    fn what_was_looked_at_last_stays_and_the_kept_range_too() {
        let mut cache = Cache::new(3 * 16);
        for time in [0, 1, 2] {
            cache.insert(frame(time, 2), Next::At(FilmTime(time + 1)), &NO_FRAME);
        }
        assert_eq!(shown(&mut cache, 0), Some(0));
        cache.insert(frame(3, 2), Next::End, &(FilmTime(1)..=FilmTime(1)));
        let held: Vec<i64> = cache.slots.keys().map(|time| time.0).collect();
        assert_eq!(held, [0, 1, 3], "2 is the oldest outside the kept range");
    }

    #[test]
    fn a_frame_larger_than_the_limit_is_held_alone() {
        let mut cache = Cache::new(10);
        cache.insert(frame(0, 4), Next::Unknown, &NO_FRAME);
        cache.insert(frame(1, 4), Next::Unknown, &NO_FRAME);
        assert_eq!((cache.len(), cache.bytes()), (1, 64));
    }

    proptest! {
        /// Against a plain model: the answer is the film's own answer or
        /// nothing, and the bytes are bounded and counted right.
        #[test]
        fn answers_are_right_or_absent(
            film in prop::collection::btree_set(0_i64..2000, 1..60),
            moves in prop::collection::vec((any::<prop::sample::Index>(), any::<bool>(), -10_i64..2100), 1..120),
            room in 1_usize..20,
        ) {
            let times: Vec<i64> = film.iter().copied().collect();
            let mut cache = Cache::new(room * 16);
            for (pick, alone, time) in moves {
                let at = pick.index(times.len());
                let next = match times.get(at + 1) {
                    _ if alone => Next::Unknown,
                    Some(next) => Next::At(FilmTime(*next)),
                    None => Next::End,
                };
                cache.insert(frame(times[at], 2), next, &NO_FRAME);
                prop_assert!(cache.bytes() <= room * 16);
                let counted: usize = cache.slots.values().map(|slot| slot.frame.byte_count()).sum();
                prop_assert_eq!(cache.bytes(), counted);
                let truth = model(&film, time);
                if let Some(found) = shown(&mut cache, time) {
                    prop_assert_eq!(Some(found), truth);
                }
            }
        }
    }

    fn model(film: &BTreeSet<i64>, time: i64) -> Option<i64> {
        film.range(..=time.max(0)).next_back().copied()
    }
}
