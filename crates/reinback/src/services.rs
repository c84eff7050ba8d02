//! The outside world as the window needs it, so that tests can stand in for it.

use std::borrow::Cow;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;
use reinback_film::sound::{Playhead, Sound, SoundState, SoundStream, Waveform};
use reinback_film::{
    Alignment, FILM_ENDINGS, Film, FilmError, FilmTime, Frame, FrameIndex, IndexState, Reply,
    Settings, Want,
};

use crate::pair::{Pair, Second};
use crate::sound::{Speaker, device::Device};

/// Called from a worker when there is something new to look at.
pub type OnReady = Arc<dyn Fn() + Send + Sync>;

/// A film that is open on a worker.
pub trait FilmHandle {
    /// Asks for a picture; the newest wish wins.
    fn want(&self, want: Want);
    /// The next answer.
    fn poll(&self) -> Option<Reply>;
    /// The number of the frame at a time among those of its second, from 0, once the film's
    /// frames have been numbered.
    fn frame_of_second(&self, time: FilmTime) -> Option<u32>;
    /// The times of the film's frames, once they have been numbered.
    fn index(&self) -> Option<Arc<FrameIndex>> {
        None
    }
    /// The newest frame at hand that is not after a time.
    fn latest_cached(&self, time: FilmTime) -> Option<Arc<Frame>>;
    /// The frame on screen at a time, if it is at hand.
    fn cached(&self, time: FilmTime) -> Option<Arc<Frame>>;
    /// The film that is shown beside it in step, if there is one.
    fn second(&self) -> Option<&dyn Second> {
        None
    }
}

impl FilmHandle for Film {
    fn want(&self, want: Want) {
        Self::want(self, want);
    }

    fn poll(&self) -> Option<Reply> {
        Self::poll(self)
    }

    fn frame_of_second(&self, time: FilmTime) -> Option<u32> {
        match Self::index(self) {
            IndexState::Ready(index) => Some(index.within_second(time)),
            _ => None,
        }
    }

    fn index(&self) -> Option<Arc<FrameIndex>> {
        match Self::index(self) {
            IndexState::Ready(index) => Some(index),
            _ => None,
        }
    }

    fn latest_cached(&self, time: FilmTime) -> Option<Arc<Frame>> {
        Self::latest_cached(self, time)
    }

    fn cached(&self, time: FilmTime) -> Option<Arc<Frame>> {
        Self::cached(self, time)
    }
}

/// The sound of a film that is open on a worker.
pub trait SoundHandle {
    /// What there is to hear.
    fn state(&self) -> SoundState;
    /// Sound from a moment on, so many times as fast as life, so many samples a second.
    fn play(&self, from: FilmTime, speed: f64, rate: u32) -> (SoundStream, Playhead);
}

impl SoundHandle for Sound {
    fn state(&self) -> SoundState {
        Self::state(self)
    }

    fn play(&self, from: FilmTime, speed: f64, rate: u32) -> (SoundStream, Playhead) {
        Self::play(self, from, speed, rate)
    }
}

/// Told how far long work has come, 0 to 1; breaks when nobody waits for it any more.
pub type Progress<'a> = &'a mut dyn FnMut(f32) -> ControlFlow<()>;

/// A question to the rider that the system's own dialogs answer.
#[derive(Clone, Debug)]
pub enum Question {
    /// One or more films.
    Films,
    /// Where one film is.
    OneFilm,
    /// A folder, with what it is for.
    Folder(&'static str),
    /// A file of notes.
    Notes,
    /// Where to write a file.
    SaveAs {
        /// What it is for.
        title: Cow<'static, str>,
        /// What it would be called.
        name: String,
        /// The ending of its name.
        ending: &'static str,
        /// Where it would lie, if not where the system thinks.
        folder: Option<PathBuf>,
    },
}

/// What the window needs from outside.
pub trait Services: Send + Sync {
    /// The local calendar day.
    fn today(&self) -> NaiveDate;
    /// The system's locale, "de_AT.UTF-8"; nothing where it is not known.
    fn locale(&self) -> Option<String> {
        None
    }
    /// Opens a film on a worker.
    fn open_film(&self, path: &Path, settings: Settings, on_ready: OnReady) -> Box<dyn FilmHandle>;
    /// Opens two films on workers, in step, on the memory of one; the first is what is played.
    fn open_pair(
        &self,
        paths: [&Path; 2],
        alignment: Alignment,
        settings: Settings,
        on_ready: OnReady,
    ) -> Box<dyn FilmHandle> {
        let films = paths.map(|path| Film::open(path, settings, on_ready.clone()));
        Box::new(Pair::new(films, alignment, settings.cache_bytes))
    }
    /// Where small pictures of films are kept, if anywhere.
    fn picture_folder(&self) -> Option<PathBuf>;
    /// Where the indexes of yards are kept, if anywhere.
    fn yard_index_folder(&self) -> Option<PathBuf> {
        None
    }
    /// Opens the sound of a film on a worker.
    fn open_sound(&self, path: &Path, on_ready: OnReady) -> Box<dyn SoundHandle>;
    /// What plays sound on this machine; its device is opened when it is needed.
    fn speaker(&self, on_ready: OnReady) -> Box<dyn Speaker>;
    /// How loud a film is from moment to moment; `None` without sound or when told to stop.
    /// Blocks, so it is called on a thread of its own.
    ///
    /// # Errors
    /// The film or its sound cannot be read.
    fn waveform(&self, path: &Path, progress: Progress<'_>) -> Result<Option<Waveform>, FilmError>;
    /// Asks the rider; blocks, so it is called on a thread of its own. Empty when put away.
    fn ask(&self, question: Question) -> Vec<PathBuf>;
}

/// The real world.
pub struct System;

/// Where the indexes of yards are kept on this computer: beside the small pictures of films.
#[must_use]
pub fn yard_index_folder() -> Option<PathBuf> {
    let folders = directories::ProjectDirs::from("", "", "reinback")?;
    Some(folders.cache_dir().join("yards"))
}

/// A film whose frames are numbered, where there is a folder to keep the numbers in.
fn open_numbered(path: &Path, settings: Settings, on_ready: OnReady) -> Film {
    match reinback_film::index_folder() {
        Some(folder) => Film::open_indexed(path, settings, folder, on_ready),
        None => Film::open(path, settings, on_ready),
    }
}

impl Services for System {
    fn today(&self) -> NaiveDate {
        chrono::Local::now().date_naive()
    }

    fn locale(&self) -> Option<String> {
        sys_locale::get_locale()
    }

    fn open_film(&self, path: &Path, settings: Settings, on_ready: OnReady) -> Box<dyn FilmHandle> {
        Box::new(open_numbered(path, settings, on_ready))
    }

    fn open_pair(
        &self,
        paths: [&Path; 2],
        alignment: Alignment,
        settings: Settings,
        on_ready: OnReady,
    ) -> Box<dyn FilmHandle> {
        let films = paths.map(|path| open_numbered(path, settings, on_ready.clone()));
        Box::new(Pair::new(films, alignment, settings.cache_bytes))
    }

    fn picture_folder(&self) -> Option<PathBuf> {
        reinback_film::picture_folder()
    }

    fn yard_index_folder(&self) -> Option<PathBuf> {
        yard_index_folder()
    }

    fn open_sound(&self, path: &Path, on_ready: OnReady) -> Box<dyn SoundHandle> {
        Box::new(Sound::open(path, on_ready))
    }

    fn speaker(&self, on_ready: OnReady) -> Box<dyn Speaker> {
        Box::new(Device::new(on_ready))
    }

    fn waveform(&self, path: &Path, progress: Progress<'_>) -> Result<Option<Waveform>, FilmError> {
        let folder = reinback_film::sound::waveform_folder();
        reinback_film::sound::waveform(path, folder.as_deref(), progress)
    }

    fn ask(&self, question: Question) -> Vec<PathBuf> {
        let films = || {
            let upper: Vec<String> = FILM_ENDINGS.iter().map(|e| e.to_uppercase()).collect();
            let endings: Vec<&str> = FILM_ENDINGS
                .iter()
                .copied()
                .chain(upper.iter().map(String::as_str))
                .collect();
            rfd::FileDialog::new()
                .add_filter("Films", &endings)
                .add_filter("All files", &["*"])
        };
        match question {
            Question::Films => films()
                .set_title("Films of one ride")
                .pick_files()
                .unwrap_or_default(),
            Question::OneFilm => films()
                .set_title("Where is this film now?")
                .pick_file()
                .into_iter()
                .collect(),
            Question::Notes => rfd::FileDialog::new()
                .add_filter(
                    "Notes",
                    &["csv", "tsv", "txt", "vtt", "CSV", "TSV", "TXT", "VTT"],
                )
                .add_filter("All files", &["*"])
                .set_title("Notes from the rail")
                .pick_file()
                .into_iter()
                .collect(),
            Question::SaveAs {
                title,
                name,
                ending,
                folder,
            } => {
                let dialog = rfd::FileDialog::new()
                    .add_filter(ending, &[ending])
                    .set_title(title.into_owned())
                    .set_file_name(name);
                let dialog = match folder {
                    Some(folder) => dialog.set_directory(folder),
                    None => dialog,
                };
                dialog.save_file().into_iter().collect()
            }
            Question::Folder(title) => rfd::FileDialog::new()
                .set_title(title)
                .pick_folder()
                .into_iter()
                .collect(),
        }
    }
}
