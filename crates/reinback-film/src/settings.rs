//! How large frames may be and how many are held.

use std::sync::OnceLock;

use sysinfo::{MemoryRefreshKind, RefreshKind, System};

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

const MIB: u64 = 1 << 20;

impl Default for Settings {
    /// 1920 pixels a side and an eighth of the machine's memory, held between
    /// 256 MiB and 1 GiB; 256 MiB where the system does not tell its memory.
    /// Our own choice: fifteen to sixty seconds of frames at a small size, one
    /// to four seconds at full HD.
    fn default() -> Self {
        Self {
            max_side: 1920,
            full_side: 0,
            cache_bytes: share_of(machine_memory()),
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

/// Bytes for frames on a machine with so many bytes of memory; 0 where that is unknown.
fn share_of(memory: u64) -> usize {
    let share = (memory / 8).clamp(256 * MIB, 1024 * MIB);
    // A gibibyte at most: it fits wherever addresses have 32 bits.
    usize::try_from(share).unwrap_or(usize::MAX)
}

/// Bytes of memory in this machine; 0 where the system does not tell them.
fn machine_memory() -> u64 {
    static MEMORY: OnceLock<u64> = OnceLock::new();
    *MEMORY.get_or_init(|| {
        let memory = MemoryRefreshKind::nothing().with_ram();
        let asked = RefreshKind::nothing().with_memory(memory);
        let told = System::new_with_specifics(asked).map(|system| system.total_memory());
        told.unwrap_or_else(|error| {
            log::info!("the machine's memory is not known: {error}");
            0
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn frames_take_an_eighth_of_the_memory_within_bounds() {
        for (memory, expected) in [
            (0, 256),
            (1024, 256),
            (2048, 256),
            (2056, 257),
            (4096, 512),
            (8191, 1023),
            (8192, 1024),
            (65_536, 1024),
        ] {
            assert_eq!(share_of(memory * MIB) >> 20, expected, "{memory} MiB");
        }
        assert_eq!(share_of(u64::MAX), 1 << 30);
    }

    /// Beside what `proc_meminfo(5)` tells on Linux.
    #[test]
    fn the_machines_memory_is_known() {
        let known = machine_memory();
        assert!(known > 256 * MIB, "{known}");
        let Ok(table) = std::fs::read_to_string("/proc/meminfo") else {
            println!("skipped: no /proc/meminfo to compare with");
            return;
        };
        let line = table.lines().find(|line| line.starts_with("MemTotal:"));
        let kib = line.and_then(|line| line.split_whitespace().nth(1)?.parse::<u64>().ok());
        assert_eq!(Some(known >> 10), kib);
    }
}
