//! Small pictures of films for the list of rides, made one after the other on a thread.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use egui::{Context, TextureHandle};
use reinback_film::{FilmError, FilmTime, Frame};

use crate::services::OnReady;
use crate::task::{Task, Tasks};
use crate::widgets::picture;

/// Longer side of a picture in pixels.
const SIDE: u32 = 320;
/// Into the film, so that it is not the tripod being set up.
const AT: FilmTime = FilmTime(4_000_000_000);
/// Pictures made at the same time.
const AT_ONCE: usize = 2;

enum State {
    Wanted,
    Making { _task: Task },
    Ready(TextureHandle),
    None(FilmError),
}

/// What there is to show of a film.
pub(super) enum Picture<'a> {
    /// A picture.
    Ready(&'a TextureHandle),
    /// On its way.
    Waiting,
    /// Why there is none.
    None(&'a FilmError),
}

struct Made(PathBuf, Result<Frame, FilmError>);

/// The pictures made so far.
pub(super) struct Pictures {
    tasks: Tasks<Made>,
    folder: Option<PathBuf>,
    states: BTreeMap<PathBuf, State>,
}

impl Pictures {
    pub(super) fn new(on_ready: OnReady, folder: Option<PathBuf>) -> Self {
        Self {
            tasks: Tasks::new(on_ready),
            folder,
            states: BTreeMap::new(),
        }
    }

    pub(super) fn forget(&mut self) {
        self.states.clear();
    }

    /// The picture of the film at a path; asks for it the first time.
    pub(super) fn get(&mut self, path: &Path) -> Picture<'_> {
        match self.states.entry(path.to_owned()).or_insert(State::Wanted) {
            State::Ready(texture) => Picture::Ready(texture),
            State::None(why) => Picture::None(why),
            State::Wanted | State::Making { .. } => Picture::Waiting,
        }
    }

    /// Takes in what was made and starts what is wanted.
    pub(super) fn tick(&mut self, ctx: &Context) {
        while let Some(Made(path, made)) = self.tasks.poll() {
            let state = match made {
                Ok(frame) => State::Ready(picture::texture(ctx, &path, &frame)),
                Err(error) => State::None(error),
            };
            self.states.insert(path, state);
        }
        let making = self
            .states
            .values()
            .filter(|state| matches!(state, State::Making { .. }))
            .count();
        let wanted = self
            .states
            .iter_mut()
            .filter(|(_, state)| matches!(state, State::Wanted));
        for (path, state) in wanted.take(AT_ONCE.saturating_sub(making)) {
            let target = path.clone();
            let pictures = reinback_film::Pictures {
                max_side: SIDE,
                slack: FilmTime::ZERO,
                folder: self.folder.clone(),
            };
            let task = self.tasks.start("picture", move |control| {
                let made = pictures.make(&target, &[AT], &mut |_, frame| {
                    control.send(Made(target.clone(), Ok(frame)));
                    control.flow()
                });
                if let Err(error) = made {
                    control.send(Made(target, Err(error)));
                }
            });
            *state = State::Making { _task: task };
        }
    }
}
