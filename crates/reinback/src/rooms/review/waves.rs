//! How loud the films of the open ride are, found one after the other on a thread.

use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use reinback_film::sound::Waveform;

use crate::services::{OnReady, Services};
use crate::stage::Placed;
use crate::task::{Task, Tasks};

/// What is known of one film's loudness.
#[derive(Clone, Debug, Default)]
pub enum Wave {
    /// Nothing yet, or the film has no sound.
    #[default]
    Unknown,
    /// Being found; the part done, 0 to 1.
    Making(f32),
    /// All of it.
    Ready(Arc<Waveform>),
}

struct Found {
    wave: Wave,
    /// Dropping it stops the work.
    task: Option<Task>,
}

enum Told {
    Part(PathBuf, f32),
    Done(PathBuf, Option<Arc<Waveform>>),
}

/// The loudness of each film, as far as it is known. Dropping it stops what is under way.
pub struct Waves {
    tasks: Tasks<Told>,
    found: BTreeMap<PathBuf, Found>,
}

impl Waves {
    /// Nothing known; `on_ready` is called when there is news.
    #[must_use]
    pub fn new(on_ready: OnReady) -> Self {
        Self {
            tasks: Tasks::new(on_ready),
            found: BTreeMap::new(),
        }
    }

    /// What is known of a film.
    #[must_use]
    pub fn of(&self, path: &Path) -> Wave {
        let found = self.found.get(path);
        found.map_or_else(Wave::default, |found| found.wave.clone())
    }

    /// Forgets a file, so that it is listened to anew.
    pub fn forget(&mut self, path: &Path) {
        self.found.remove(path);
    }

    /// Takes in news, and starts with the next of these films if nothing is under way.
    pub fn tick(&mut self, films: &[Placed], services: &Arc<dyn Services>) {
        while let Some(told) = self.tasks.poll() {
            self.take(told);
        }
        if self.found.values().any(|found| found.task.is_some()) {
            return;
        }
        let next = films
            .iter()
            .filter(|placed| !placed.another)
            .map(|placed| &placed.path)
            .find(|path| !self.found.contains_key(*path));
        if let Some(path) = next.cloned() {
            self.start(path, services);
        }
    }

    fn take(&mut self, told: Told) {
        match told {
            Told::Part(path, part) => {
                if let Some(found) = self.found.get_mut(&path) {
                    found.wave = Wave::Making(part);
                }
            }
            Told::Done(path, wave) => {
                // What was forgotten meanwhile is not wanted any more.
                if let Some(found) = self.found.get_mut(&path).filter(|f| f.task.is_some()) {
                    found.wave = wave.map_or(Wave::Unknown, Wave::Ready);
                    found.task = None;
                }
            }
        }
    }

    fn start(&mut self, path: PathBuf, services: &Arc<dyn Services>) {
        let (services, target) = (Arc::clone(services), path.clone());
        let task = self.tasks.start("loudness", move |control| {
            // A window that is told of every per cent is told enough.
            let mut told = 0;
            let mut progress = |part: f32| {
                let percent = (part * 100.0) as u32;
                if percent > told {
                    told = percent;
                    control.send(Told::Part(target.clone(), part));
                }
                control.flow()
            };
            let found = services.waveform(&target, &mut progress);
            let wave = found.unwrap_or_else(|error| {
                log::info!("no loudness of {}: {}", target.display(), error.detail());
                None
            });
            if control.flow() == ControlFlow::Continue(()) {
                control.send(Told::Done(target.clone(), wave.map(Arc::new)));
            }
        });
        let found = Found {
            wave: Wave::Unknown,
            task: Some(task),
        };
        self.found.insert(path, found);
    }
}
