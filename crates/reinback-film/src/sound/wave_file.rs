//! The kept copy of a film's loudness.
//!
//! Layout, all numbers little-endian: `RBLOUDNS`, version (4 bytes),
//! nanoseconds of a step (8 bytes), count (8 bytes), then for each step its
//! lowest and highest sample (2 bytes each, signed) and its root mean square
//! (2 bytes), full loudness being 32767, then BLAKE3 of all that (32 bytes).
//! A file that is not exactly so is as good as none.

use std::io;
use std::path::{Path, PathBuf};

use super::signed;
use super::wave::{FINEST, MOST, Step, Waveform};
use crate::file_cache::{FileCache, seal, unseal};
use crate::fingerprint::Fingerprint;

const MAGIC: &[u8; 8] = b"RBLOUDNS";
const VERSION: u32 = 1;
const HEAD: usize = 28;
const STEP: usize = 6;
const FILES: FileCache = FileCache {
    ending: "loudness",
    // Some twenty hours of film.
    room: 256 << 20,
    largest: (MOST * STEP) as u64 + 1024,
};

/// Where the loudness of a film is kept.
pub(crate) fn path(folder: &Path, print: &Fingerprint) -> PathBuf {
    FILES.path(folder, print)
}

/// The loudness kept at `path`, if it is there and whole.
pub(crate) fn read(path: &Path) -> Option<Waveform> {
    decode(&FILES.read(path)?)
}

/// Keeps a loudness.
pub(crate) fn write(path: &Path, wave: &Waveform) -> io::Result<()> {
    FILES.write(path, &encode(wave))
}

fn encode(wave: &Waveform) -> Vec<u8> {
    let steps = wave.finest();
    let mut bytes = Vec::with_capacity(HEAD + steps.len() * STEP + crate::file_cache::SUM);
    bytes.extend_from_slice(MAGIC);
    bytes.extend_from_slice(&VERSION.to_le_bytes());
    bytes.extend_from_slice(&wave.step().to_le_bytes());
    bytes.extend_from_slice(&(steps.len() as u64).to_le_bytes());
    for step in steps {
        bytes.extend_from_slice(&step.min.to_le_bytes());
        bytes.extend_from_slice(&step.max.to_le_bytes());
        bytes.extend_from_slice(&step.rms.to_le_bytes());
    }
    seal(bytes)
}

fn decode(bytes: &[u8]) -> Option<Waveform> {
    let (head, body) = unseal(bytes)?.split_at_checked(HEAD)?;
    let version = u32::from_le_bytes(head[8..12].try_into().ok()?);
    let step = i64::from_le_bytes(head[12..20].try_into().ok()?);
    let count = u64::from_le_bytes(head[20..].try_into().ok()?);
    let known = head[..8] == *MAGIC && version == VERSION && step >= FINEST;
    let whole = body.len().is_multiple_of(STEP) && (body.len() / STEP) as u64 == count;
    // Steps so long that their sum is beyond all time were made by nobody.
    if !known || !whole || step.checked_mul(signed(MOST)).is_none() {
        return None;
    }
    let number = |pair: &[u8]| [pair[0], pair[1]];
    let steps = body.chunks_exact(STEP).map(|step| Step {
        min: i16::from_le_bytes(number(&step[0..2])),
        max: i16::from_le_bytes(number(&step[2..4])),
        rms: u16::from_le_bytes(number(&step[4..6])),
    });
    Waveform::new(step, steps.collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn wave(steps: &[(i16, i16, u16)]) -> Waveform {
        let steps = steps.iter().map(|(min, max, rms)| Step {
            min: *min,
            max: *max,
            rms: *rms,
        });
        Waveform::new(FINEST, steps.collect()).unwrap()
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_and_a_changed_byte_is_none(
            steps in prop::collection::vec(any::<(i16, i16, u16)>(), 0..200),
            at in any::<prop::sample::Index>(),
            by in 1_u8..,
        ) {
            let mut bytes = encode(&wave(&steps));
            prop_assert_eq!(decode(&bytes), Some(wave(&steps)));
            let at = at.index(bytes.len());
            bytes[at] ^= by;
            prop_assert_eq!(decode(&bytes), None);
        }
    }

    /// Sealed rightly, but with a version, a step or a count that lies.
    #[test]
    fn a_sealed_file_that_lies_is_none() {
        let sealed = |change: &dyn Fn(&mut Vec<u8>)| {
            let mut bytes = encode(&wave(&[(-5, 5, 3), (-6, 6, 4)]));
            bytes.truncate(bytes.len() - crate::file_cache::SUM);
            change(&mut bytes);
            decode(&seal(bytes))
        };
        assert!(sealed(&|_| ()).is_some());
        assert_eq!(sealed(&|bytes| bytes[8] = 9), None, "a newer version");
        assert_eq!(sealed(&|bytes| bytes[12..20].fill(0)), None, "no step");
        assert_eq!(sealed(&|bytes| bytes[19] = 0x7F), None, "an endless step");
        assert_eq!(sealed(&|bytes| bytes[20] = 3), None, "more than there are");
        assert_eq!(sealed(&|bytes| bytes.push(1)), None, "part of a step");
        assert_eq!(sealed(&|bytes| bytes.truncate(20)), None, "no count");
    }
}
