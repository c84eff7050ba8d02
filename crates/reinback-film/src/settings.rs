//! How large frames may be and how many are held.

use std::sync::OnceLock;

/// Limits of one open film.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Frames are scaled down so that neither side exceeds this; at least 1.
    pub max_side: u32,
    /// A frame that is rested on comes again by
    /// [`Reply::Sharp`](crate::Reply::Sharp), with no side above this, where
    /// that makes it larger. At or below `max_side`: never.
    pub full_side: u32,
    /// Bytes of pixels held in memory.
    pub cache_bytes: usize,
    /// Whether the machine's own decoder (VAAPI, `VideoToolbox`, D3D11VA) is
    /// to be used. Where there is none, or it fails, software decodes; which
    /// of them does is not told.
    pub hardware: bool,
}

impl Default for Settings {
    /// 1920 pixels a side and an eighth of the machine's memory, held between
    /// 256 MiB and 1 GiB; 256 MiB where the system does not tell its memory in
    /// a file, as macOS and Windows do not. Our own choice: fifteen to sixty seconds of frames
    /// at a small size, one to four seconds at full HD.
    fn default() -> Self {
        const MIB: u64 = 1 << 20;
        let share = machine_memory().map_or(256 * MIB, |bytes| bytes / 8);
        Self {
            max_side: 1920,
            full_side: 0,
            cache_bytes: usize::try_from(share.clamp(256 * MIB, 1024 * MIB)).unwrap_or(256 << 20),
            hardware: false,
        }
    }
}

impl Settings {
    /// For reviewing: the cache keeps frames of at most 1280 pixels a side,
    /// more than twice as many as at full HD, and a frame that is rested on
    /// comes again at up to 3840. The window has to take
    /// [`Reply::Sharp`](crate::Reply::Sharp).
    #[must_use]
    pub fn reviewing() -> Self {
        Self {
            max_side: 1280,
            full_side: 3840,
            ..Self::default()
        }
    }
}

/// Bytes of memory in this machine, where the system tells it in a file
/// (Linux: `proc_meminfo(5)`); elsewhere unknown.
fn machine_memory() -> Option<u64> {
    static MEMORY: OnceLock<Option<u64>> = OnceLock::new();
    *MEMORY.get_or_init(|| {
        let text = std::fs::read_to_string("/proc/meminfo").ok()?;
        total_memory(&text)
    })
}

fn total_memory(text: &str) -> Option<u64> {
    let line = text
        .lines()
        .find_map(|line| line.strip_prefix("MemTotal:"))?;
    let kib: u64 = line.trim().strip_suffix("kB")?.trim().parse().ok()?;
    kib.checked_mul(1024)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_cache_share_is_within_its_bounds() {
        let bytes = Settings::default().cache_bytes;
        assert!((256 << 20..=1 << 30).contains(&bytes), "{bytes}");
    }

    #[test]
    fn memory_is_read_from_the_systems_table() {
        for (text, expected) in [
            (
                "MemTotal:       16314036 kB\nMemFree: 1 kB",
                Some(16_705_572_864),
            ),
            ("MemFree: 1 kB", None),
            ("MemTotal: many kB", None),
        ] {
            assert_eq!(total_memory(text), expected, "{text}");
        }
    }
}
