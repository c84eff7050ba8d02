//! Frames as decoded around the hand, so that the one rested on is sharp at
//! once: bounded by bytes, those furthest from the hand first out.

use std::collections::BTreeMap;

use ffmpeg_the_third as av;

use av::frame::Video;

use crate::cache::Next;
use crate::libav;
use crate::time::FilmTime;

/// How much further a frame counts that lies where the hand comes from.
const PAST: i64 = 4;

struct Slot {
    frame: Video,
    next: Next,
    bytes: usize,
}

/// Full-size frames by their time. They share the decoder's buffers: putting
/// one here copies nothing.
///
/// **Invariant**: the bytes held never exceed the limit, except that one frame
/// is always kept, the nearest to the hand.
pub(crate) struct Shelf {
    slots: BTreeMap<FilmTime, Slot>,
    limit: usize,
    bytes: usize,
    hand: FilmTime,
    back: bool,
}

/// What the shelf holds before the hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Stock {
    /// The first frame of the unbroken run up to the hand; the hand itself,
    /// with `frames` zero, where its own frame is not held.
    pub(crate) first: FilmTime,
    /// Frames in that run, the hand's own included.
    pub(crate) frames: usize,
}

impl Shelf {
    /// An empty shelf for `limit` bytes.
    pub(crate) fn new(limit: usize) -> Self {
        Self {
            slots: BTreeMap::new(),
            limit,
            bytes: 0,
            hand: FilmTime::ZERO,
            back: false,
        }
    }

    /// Bytes held now.
    pub(crate) fn bytes(&self) -> usize {
        self.bytes
    }

    /// Frames that fit, judged by those held; 0 where none is.
    pub(crate) fn capacity(&self) -> usize {
        let each = self.bytes / self.slots.len().max(1);
        self.limit.checked_div(each).unwrap_or(0)
    }

    /// Tells where the hand is and whether it goes back.
    pub(crate) fn face(&mut self, hand: FilmTime, back: bool) {
        self.hand = hand;
        self.back = back;
    }

    /// Where the hand is.
    pub(crate) fn hand(&self) -> FilmTime {
        self.hand
    }

    /// Lets go of everything.
    pub(crate) fn clear(&mut self) {
        self.slots.clear();
        self.bytes = 0;
    }

    /// Holds a decoded frame, if none that lies nearer has to go for it.
    pub(crate) fn put(&mut self, time: FilmTime, next: Next, frame: &Video) {
        if let Some(slot) = self.slots.get_mut(&time) {
            if next != Next::Unknown {
                slot.next = next;
            }
            return;
        }
        let bytes = libav::held_bytes(frame);
        let full = self.bytes.saturating_add(bytes) > self.limit;
        let furthest = self.furthest().map(|time| self.distance(time));
        if full && furthest.is_some_and(|furthest| self.distance(time) >= furthest) {
            return;
        }
        let Some(frame) = libav::share(frame) else {
            return;
        };
        self.bytes += bytes;
        let slot = Slot { frame, next, bytes };
        self.slots.insert(time, slot);
        self.shed();
    }

    /// Holds no more than `limit` bytes from now on. Whether frames had to go.
    pub(crate) fn set_limit(&mut self, limit: usize) -> bool {
        let before = self.bytes;
        self.limit = limit;
        self.shed();
        self.bytes < before
    }

    fn shed(&mut self) {
        while self.bytes > self.limit && self.slots.len() > 1 {
            let Some(slot) = self.furthest().and_then(|time| self.slots.remove(&time)) else {
                break;
            };
            self.bytes -= slot.bytes;
        }
    }

    fn furthest(&self) -> Option<FilmTime> {
        // The distance only grows away from the hand, so it is at an end.
        let ends = [self.slots.keys().next(), self.slots.keys().next_back()];
        let far = |time: &&FilmTime| self.distance(**time);
        ends.into_iter().flatten().max_by_key(far).copied()
    }

    fn distance(&self, time: FilmTime) -> i64 {
        let far = (time - self.hand).0;
        let past = (far > 0) == self.back;
        far.saturating_abs()
            .saturating_mul(if past { PAST } else { 1 })
    }

    /// The frame at exactly `time`.
    pub(crate) fn get(&self, time: FilmTime) -> Option<&Video> {
        self.slots.get(&time).map(|slot| &slot.frame)
    }

    /// The frame on screen at `time`, its time and what follows it, where that
    /// is known.
    pub(crate) fn shown_at(&self, time: FilmTime) -> Option<(FilmTime, Next, &Video)> {
        let (found, slot) = self.slots.range(..=time).next_back()?;
        let covers = match slot.next {
            Next::Unknown => *found == time,
            Next::At(next) => time < next,
            Next::End => true,
        };
        covers.then_some((*found, slot.next, &slot.frame))
    }

    /// The frame just before the one at exactly `time`, if it is known to be
    /// its neighbour.
    pub(crate) fn before(&self, time: FilmTime) -> Option<(FilmTime, &Video)> {
        let (found, slot) = self.slots.range(..time).next_back()?;
        (slot.next == Next::At(time)).then_some((*found, &slot.frame))
    }

    /// What is held from the hand backwards.
    pub(crate) fn stock(&self) -> Stock {
        let mut stock = Stock {
            first: self.hand,
            frames: usize::from(self.slots.contains_key(&self.hand)),
        };
        while stock.frames > 0
            && let Some((earlier, _)) = self.before(stock.first)
        {
            stock.first = earlier;
            stock.frames += 1;
        }
        stock
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use av::format::Pixel;

    fn put(shelf: &mut Shelf, time: i64) {
        let frame = Video::new(Pixel::YUV420P, 32, 32);
        shelf.put(FilmTime(time), Next::At(FilmTime(time + 10)), &frame);
    }

    fn held(shelf: &Shelf) -> Vec<i64> {
        shelf.slots.keys().map(|time| time.0).collect()
    }

    fn room_for(frames: usize) -> Shelf {
        let frame = Video::new(Pixel::YUV420P, 32, 32);
        Shelf::new(libav::held_bytes(&frame) * frames)
    }

    #[test]
    fn what_lies_before_a_hand_that_goes_back_is_kept() {
        for (back, expected) in [(true, [30, 40, 50, 60, 70]), (false, [60, 70, 80, 90, 100])] {
            let mut shelf = room_for(5);
            shelf.face(FilmTime(70), back);
            (0..20).for_each(|at| put(&mut shelf, at * 10));
            assert_eq!(held(&shelf), expected, "{back}");
            assert!(shelf.bytes() <= shelf.limit && shelf.capacity() == 5);
        }
    }

    #[test]
    fn the_run_up_to_the_hand_is_counted() {
        let mut shelf = room_for(9);
        for time in [0, 10, 30, 40, 50] {
            put(&mut shelf, time);
        }
        for (hand, first, frames) in [(50, 30, 3), (10, 0, 2), (30, 30, 1), (20, 20, 0)] {
            shelf.face(FilmTime(hand), true);
            let expected = Stock {
                first: FilmTime(first),
                frames,
            };
            assert_eq!(shelf.stock(), expected, "{hand}");
        }
    }

    #[test]
    fn a_frame_is_found_until_its_known_successor() {
        let mut shelf = room_for(9);
        put(&mut shelf, 10);
        put(&mut shelf, 30);
        for (time, expected) in [(9, None), (10, Some(10)), (19, Some(10)), (20, None)] {
            let found = shelf.shown_at(FilmTime(time)).map(|(time, ..)| time.0);
            assert_eq!(found, expected, "{time}");
        }
        assert_eq!(shelf.before(FilmTime(20)).map(|(time, _)| time.0), Some(10));
        assert!(shelf.before(FilmTime(30)).is_none());
        shelf.clear();
        assert_eq!((shelf.bytes(), shelf.capacity()), (0, 0));
    }

    #[test]
    fn a_lower_limit_takes_what_is_furthest() {
        let mut shelf = room_for(5);
        shelf.face(FilmTime(70), true);
        (0..20).for_each(|at| put(&mut shelf, at * 10));
        let frame = shelf.bytes() / 5;
        assert!(shelf.set_limit(frame * 2));
        assert_eq!(held(&shelf), [60, 70]);
        assert!(!shelf.set_limit(frame * 9));
    }

    #[test]
    fn one_frame_is_kept_however_small_the_shelf() {
        let mut shelf = Shelf::new(0);
        shelf.face(FilmTime(10), true);
        put(&mut shelf, 0);
        put(&mut shelf, 10);
        put(&mut shelf, 30);
        assert_eq!(held(&shelf), [10]);
    }
}
