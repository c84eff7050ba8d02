//! Whether a file is still the one that was read, without reading it again.

use std::fs::Metadata;
use std::time::{Duration, SystemTime, UNIX_EPOCH};

use crate::packed::{Bytes, BytesOut};

/// How long a file must have been left alone before its stamp is trusted: a change in the same
/// tick of the clock would leave the stamp as it is. The longest tick is that of FAT, 2 s; the
/// rest is for a server whose clock is not quite ours. Our own choice.
const SETTLED: Duration = Duration::from_secs(4);

/// What the system tells of a file. On Unix `changed` moves with everything that is done to it and
/// cannot be set back by a program; elsewhere a change that leaves size and date is not seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stamp {
    size: u64,
    /// Nanoseconds since 1970.
    modified: i64,
    /// The like, of whatever was changed last, names and rights included; 0 where it is not told.
    changed: i64,
    /// The file's number on its drive; 0 where it is not told.
    number: u64,
}

impl Stamp {
    /// `None` where the system does not tell enough.
    pub(super) fn of(metadata: &Metadata) -> Option<Self> {
        let modified = nanos(metadata.modified().ok()?)?;
        let (changed, number) = system(metadata);
        Some(Self {
            size: metadata.len(),
            modified,
            changed,
            number,
        })
    }

    /// In bytes.
    pub(super) fn size(&self) -> u64 {
        self.size
    }

    /// Whether a change after now would show in the stamp.
    pub(super) fn is_settled(&self, now: SystemTime) -> bool {
        let limit = now.checked_sub(SETTLED).and_then(nanos);
        limit.is_some_and(|limit| self.modified.max(self.changed) < limit)
    }

    pub(super) fn pack(&self, out: &mut BytesOut) {
        let Self {
            size,
            modified,
            changed,
            number,
        } = self;
        out.number(*size);
        out.signed(*modified);
        out.signed(*changed);
        out.number(*number);
    }

    pub(super) fn unpack(input: &mut Bytes<'_>) -> Option<Self> {
        Some(Self {
            size: input.number()?,
            modified: input.signed()?,
            changed: input.signed()?,
            number: input.number()?,
        })
    }
}

fn nanos(time: SystemTime) -> Option<i64> {
    let since = time.duration_since(UNIX_EPOCH).ok()?;
    i64::try_from(since.as_nanos()).ok()
}

#[cfg(unix)]
fn system(metadata: &Metadata) -> (i64, u64) {
    use std::os::unix::fs::MetadataExt as _;
    let seconds = metadata.ctime().saturating_mul(1_000_000_000);
    (
        seconds.saturating_add(metadata.ctime_nsec()),
        metadata.ino(),
    )
}

#[cfg(not(unix))]
fn system(_metadata: &Metadata) -> (i64, u64) {
    (0, 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_trusted_only_once_it_has_been_left_alone() {
        let at = |seconds: u64| UNIX_EPOCH + Duration::from_secs(seconds);
        let stamp = |modified: u64, changed: u64| Stamp {
            size: 1,
            modified: nanos(at(modified)).unwrap(),
            changed: nanos(at(changed)).unwrap(),
            number: 1,
        };
        let now = at(1_000);
        assert!(stamp(900, 900).is_settled(now));
        assert!(!stamp(997, 900).is_settled(now), "written a moment ago");
        assert!(!stamp(900, 997).is_settled(now), "put there a moment ago");
        assert!(!stamp(5_000, 900).is_settled(now), "from the future");
    }
}
