//! A disk that breaks where a test wants it to.

use std::io;
use std::path::Path;
use std::sync::{Arc, Mutex};

use tempfile::TempPath;

use super::disk::{Disk, RealDisk};

/// What happens at the chosen step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fault {
    /// That step fails for want of room, half done; later ones work again.
    FullOnce,
    /// From that step on nothing more fits. Moving, cutting off and removing still work.
    Full,
    /// That step is half done, and nothing reaches the disk after it: the power is gone.
    Killed,
    /// From that step on the system refuses.
    Refused,
}

#[derive(Debug)]
struct State {
    /// Steps that still work; `None` for all.
    left: Option<usize>,
    /// The chosen step has come.
    broken: bool,
}

/// The computer's disk, until a chosen step. Clones share their steps.
#[derive(Clone, Debug)]
pub(super) struct FaultyDisk {
    fault: Fault,
    state: Arc<Mutex<State>>,
}

/// How much of a step to do.
enum Share {
    All,
    Half(io::Error),
    None(io::Error),
}

impl FaultyDisk {
    /// Works until told otherwise.
    pub(super) fn new(fault: Fault) -> Self {
        let state = State {
            left: None,
            broken: false,
        };
        Self {
            fault,
            state: Arc::new(Mutex::new(state)),
        }
    }

    /// This many more steps work.
    pub(super) fn break_after(&self, steps: usize) {
        self.state.lock().unwrap().left = Some(steps);
    }

    /// From now on everything works.
    pub(super) fn mend(&self) {
        *self.state.lock().unwrap() = State {
            left: None,
            broken: false,
        };
    }

    /// Whether the chosen step has come.
    pub(super) fn is_broken(&self) -> bool {
        self.state.lock().unwrap().broken
    }

    /// Whether the power is gone.
    pub(super) fn killed(&self) -> bool {
        self.fault == Fault::Killed && self.is_broken()
    }

    fn step(&self) -> Share {
        let mut state = self.state.lock().unwrap();
        match state.left {
            None => return Share::All,
            Some(left) if left > 0 => {
                state.left = Some(left - 1);
                return Share::All;
            }
            Some(_) => {}
        }
        let first = !std::mem::replace(&mut state.broken, true);
        match self.fault {
            Fault::FullOnce => {
                state.left = None;
                Share::Half(io::ErrorKind::StorageFull.into())
            }
            Fault::Full => Share::Half(io::ErrorKind::StorageFull.into()),
            Fault::Killed if first => Share::Half(io::Error::other("killed")),
            Fault::Killed => Share::None(io::Error::other("killed")),
            Fault::Refused => Share::None(io::ErrorKind::PermissionDenied.into()),
        }
    }

    /// A step that is done or not done.
    fn whole(&self, act: impl FnOnce(&RealDisk) -> io::Result<()>) -> io::Result<()> {
        match self.step() {
            Share::Half(_) if self.fault == Fault::Full => act(&RealDisk),
            Share::All => act(&RealDisk),
            Share::Half(error) | Share::None(error) => Err(error),
        }
    }
}

fn half(bytes: &[u8]) -> &[u8] {
    &bytes[..bytes.len() / 2]
}

impl Disk for FaultyDisk {
    fn write_temp(&self, dir: &Path, bytes: &[u8]) -> io::Result<TempPath> {
        match self.step() {
            Share::All => RealDisk.write_temp(dir, bytes),
            Share::Half(error) => {
                let temp = RealDisk.write_temp(dir, half(bytes))?;
                if self.fault == Fault::Killed {
                    // Nobody is left to clean up.
                    temp.keep().unwrap();
                }
                Err(error)
            }
            Share::None(error) => Err(error),
        }
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.whole(|disk| disk.rename(from, to))
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        self.whole(|disk| disk.sync_dir(dir))
    }

    fn append(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        match self.step() {
            Share::All => RealDisk.append(path, bytes),
            Share::Half(error) => {
                RealDisk.append(path, half(bytes))?;
                Err(error)
            }
            Share::None(error) => Err(error),
        }
    }

    fn truncate(&self, path: &Path, len: u64) -> io::Result<()> {
        self.whole(|disk| disk.truncate(path, len))
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.whole(|disk| disk.remove(path))
    }

    fn create_dir(&self, dir: &Path) -> io::Result<()> {
        self.whole(|disk| disk.create_dir(dir))
    }
}
