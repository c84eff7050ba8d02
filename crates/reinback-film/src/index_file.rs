//! The kept copy of a frame index: one small file a film, named by the film's
//! content.
//!
//! Layout, all numbers little-endian: `RBFRAMES`, version (4 bytes), count
//! (8 bytes), then for each frame but the first the nanoseconds since the one
//! before as LEB128 (DWARF 5, 7.6), then BLAKE3 of all that (32 bytes).
//! A file that is not exactly so is as good as none.

use std::io;
use std::path::{Path, PathBuf};

use crate::file_cache::{FileCache, seal, unseal};
use crate::fingerprint::Fingerprint;
use crate::index::{FrameIndex, MOST_FRAMES};
use crate::time::FilmTime;

const MAGIC: &[u8; 8] = b"RBFRAMES";
const VERSION: u32 = 1;
const HEAD: usize = 20;
const FILES: FileCache = FileCache {
    ending: "frames",
    room: 64 << 20,
    // Eight bytes a frame are plenty.
    largest: MOST_FRAMES as u64 * 8 + 1024,
};

/// Where the index of a film is kept.
pub(crate) fn path(folder: &Path, print: &Fingerprint) -> PathBuf {
    FILES.path(folder, print)
}

/// The index kept at `path`, if it is there and whole.
pub(crate) fn read(path: &Path) -> Option<FrameIndex> {
    decode(&FILES.read(path)?)
}

/// Keeps an index.
pub(crate) fn write(path: &Path, index: &FrameIndex) -> io::Result<()> {
    FILES.write(path, &encode(index))
}

fn encode(index: &FrameIndex) -> Vec<u8> {
    let times = index.times();
    let mut bytes = Vec::with_capacity(HEAD + times.len() * 4);
    bytes.extend_from_slice(MAGIC);
    bytes.extend_from_slice(&VERSION.to_le_bytes());
    bytes.extend_from_slice(&index.frames().to_le_bytes());
    for pair in times.windows(2) {
        // Times rise, so the step is above zero.
        let mut step = pair[1].0.abs_diff(pair[0].0);
        while step >= 0x80 {
            bytes.push(step as u8 | 0x80);
            step >>= 7;
        }
        bytes.push(step as u8);
    }
    seal(bytes)
}

fn decode(bytes: &[u8]) -> Option<FrameIndex> {
    let (head, mut steps) = unseal(bytes)?.split_at_checked(HEAD)?;
    if head[..8] != *MAGIC {
        return None;
    }
    let version = u32::from_le_bytes(head[8..12].try_into().ok()?);
    let count = usize::try_from(u64::from_le_bytes(head[12..].try_into().ok()?)).ok()?;
    if version != VERSION || count > MOST_FRAMES || count > steps.len() + 1 {
        return None;
    }
    let mut times = Vec::with_capacity(count);
    let mut time = FilmTime::ZERO;
    for number in 0..count {
        if number > 0 {
            time = FilmTime(time.0.checked_add(step(&mut steps)?)?);
        }
        times.push(time);
    }
    steps.is_empty().then(|| FrameIndex::new(times)).flatten()
}

fn step(bytes: &mut &[u8]) -> Option<i64> {
    let mut value = 0_u64;
    for shift in (0..63).step_by(7) {
        let (byte, rest) = bytes.split_first()?;
        *bytes = rest;
        value |= u64::from(byte & 0x7F) << shift;
        if byte & 0x80 == 0 {
            return i64::try_from(value).ok();
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file_cache::SUM;
    use proptest::prelude::*;

    fn index(steps: &[i64]) -> FrameIndex {
        let mut time = 0;
        let later = steps.iter().map(|step| {
            time += step;
            FilmTime(time)
        });
        FrameIndex::new(std::iter::once(FilmTime::ZERO).chain(later).collect()).unwrap()
    }

    proptest! {
        #[test]
        fn what_is_written_is_read(steps in prop::collection::vec(1_i64..1 << 40, 0..300)) {
            let index = index(&steps);
            prop_assert_eq!(decode(&encode(&index)), Some(index));
        }

        #[test]
        fn a_file_with_one_changed_byte_is_none(
            steps in prop::collection::vec(1_i64..1 << 30, 0..40),
            at in any::<prop::sample::Index>(),
            by in 1_u8..,
        ) {
            let mut bytes = encode(&index(&steps));
            let at = at.index(bytes.len());
            bytes[at] ^= by;
            prop_assert_eq!(decode(&bytes), None);
            bytes[at] ^= by;
            bytes.truncate(at);
            prop_assert_eq!(decode(&bytes), None);
        }
    }

    /// Sealed rightly, but with a count, a version or steps that lie.
    #[test]
    fn a_sealed_file_that_lies_is_none() {
        let sealed = |change: &dyn Fn(&mut Vec<u8>)| {
            let mut bytes = encode(&index(&[5, 6]));
            bytes.truncate(bytes.len() - SUM);
            change(&mut bytes);
            decode(&seal(bytes))
        };
        assert!(sealed(&|_| ()).is_some());
        assert_eq!(sealed(&|bytes| bytes[8] = 2), None, "a newer version");
        assert_eq!(sealed(&|bytes| bytes[12..20].fill(0xFF)), None, "too many");
        assert_eq!(sealed(&|bytes| bytes[20] = 0), None, "time stands still");
        assert_eq!(sealed(&|bytes| bytes.push(1)), None, "more than counted");
        assert_eq!(sealed(&|bytes| bytes[21] = 0x80), None, "a step cut off");
    }
}
