//! A film's fingerprint: finds a film again after it was moved or renamed.

use std::fmt;
use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::path::Path;
use std::str::FromStr;

use blake3::Hasher;

use crate::error::FilmError;

/// Bytes taken from each end of the file and from its middle.
const SAMPLE: u64 = 1 << 20;

/// BLAKE3 over the file's size (eight bytes, little-endian), its first MiB,
/// the MiB that starts half a MiB before its half, and its last MiB. A file of
/// at most three MiB is taken whole, once.
///
/// Two films with the same fingerprint are taken for the same recording. It
/// says nothing about the bytes between, and is no protection against forgery.
/// As text it is 64 lowercase hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fingerprint([u8; 32]);

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Fingerprint({self})")
    }
}

/// A text that is not 64 hexadecimal digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a film's fingerprint is 64 hexadecimal digits")]
pub struct FingerprintTextError;

impl FromStr for Fingerprint {
    type Err = FingerprintTextError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let digits = text.as_bytes();
        if digits.len() != 64 {
            return Err(FingerprintTextError);
        }
        let mut bytes = [0; 32];
        for (byte, pair) in bytes.iter_mut().zip(digits.chunks_exact(2)) {
            *byte = nibble(pair[0])? << 4 | nibble(pair[1])?;
        }
        Ok(Self(bytes))
    }
}

fn nibble(digit: u8) -> Result<u8, FingerprintTextError> {
    char::from(digit)
        .to_digit(16)
        .map(|value| value as u8)
        .ok_or(FingerprintTextError)
}

/// The fingerprint of the file at `path`.
///
/// Blocks, but reads three MiB at most: fit for a task thread.
///
/// # Errors
/// [`FilmErrorKind::NotFound`](crate::FilmErrorKind::NotFound) or
/// [`FilmErrorKind::Unreadable`](crate::FilmErrorKind::Unreadable).
pub fn fingerprint(path: &Path) -> Result<Fingerprint, FilmError> {
    read(path).map_err(|error| FilmError::from_io(path, &error))
}

fn read(path: &Path) -> std::io::Result<Fingerprint> {
    let mut file = File::open(path)?;
    let size = file.seek(SeekFrom::End(0))?;
    let mut hash = Hasher::new();
    hash.update(&size.to_le_bytes());
    file.seek(SeekFrom::Start(0))?;
    if size <= 3 * SAMPLE {
        feed(&mut hash, &mut file, size)?;
    } else {
        for start in [0, size / 2 - SAMPLE / 2, size - SAMPLE] {
            file.seek(SeekFrom::Start(start))?;
            feed(&mut hash, &mut file, SAMPLE)?;
        }
    }
    Ok(Fingerprint(hash.finalize().into()))
}

fn feed(hash: &mut Hasher, file: &mut File, count: u64) -> std::io::Result<()> {
    let mut bytes = Vec::new();
    file.take(count).read_to_end(&mut bytes)?;
    hash.update(&bytes);
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn of(bytes: &[u8]) -> Fingerprint {
        let file = tempfile::NamedTempFile::new().unwrap();
        std::fs::write(file.path(), bytes).unwrap();
        fingerprint(file.path()).unwrap()
    }

    /// Expected values from the Python package `blake3` of the hash's authors
    /// over the same bytes: `blake3((3).to_bytes(8, "little") + b"abc")`.
    #[test]
    fn agrees_with_the_authors_package() {
        assert_eq!(
            of(b"abc").to_string(),
            "2c43cb52459d810e4b6ce3aab77f69c2925c62316bcfb7d078c93bfdd594ebce"
        );
        assert_eq!(
            of(b"").to_string(),
            "71e0a99173564931c0b8acc52d2685a8e39c64dc52e3d02390fdac2a12b155cb"
        );
    }

    #[test]
    fn ends_middle_and_size_of_a_long_file_count_and_nothing_else() {
        const MIB: usize = 1 << 20;
        let long = vec![7_u8; 5 << 20];
        let base = of(&long);
        let changed = |at: usize| {
            let mut bytes = long.clone();
            bytes[at] = 8;
            of(&bytes)
        };
        for (at, counts) in [
            (0, true),
            (MIB - 1, true),
            (MIB, false),
            (2 * MIB - 1, false),
            (2 * MIB, true),
            (3 * MIB - 1, true),
            (3 * MIB, false),
            (4 * MIB - 1, false),
            (4 * MIB, true),
            (5 * MIB - 1, true),
        ] {
            assert_eq!(changed(at) != base, counts, "byte {at}");
        }
        assert_ne!(of(&long[1..]), base);
    }

    #[test]
    fn text_that_is_no_fingerprint_is_refused() {
        for text in ["", "12", &"g".repeat(64), &"é".repeat(32), &"a".repeat(65)] {
            assert_eq!(
                text.parse::<Fingerprint>(),
                Err(FingerprintTextError),
                "{text}"
            );
        }
    }

    proptest! {
        #[test]
        fn text_goes_there_and_back(bytes in any::<[u8; 32]>()) {
            let print = Fingerprint(bytes);
            prop_assert_eq!(print.to_string().parse::<Fingerprint>(), Ok(print));
        }
    }
}
