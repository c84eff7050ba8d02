//! The real application in a window without a screen, and hands for it.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use chrono::NaiveDate;
use egui::{Event, Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use reinback::app::App;
use reinback::services::{FilmHandle, OnReady, Progress, Question, Services, SoundHandle};
use reinback::sound::stand_in::StandIn;
use reinback::sound::{NoSpeaker, Speaker};
use reinback_film::sound::{Sound, Waveform};
use reinback_film::{Film, FilmError, Settings};
use reinback_yard::{Ride, Yard};

/// The outside world of a journey: a fixed day, real films, and answers given beforehand.
pub struct Outside {
    /// The day that counts as today.
    pub today: NaiveDate,
    /// What the next dialogs answer, last one first.
    pub answers: Mutex<Vec<Vec<PathBuf>>>,
    /// The device for sound; a machine without one if there is none.
    pub speaker: Mutex<Option<StandIn>>,
}

impl Services for Outside {
    fn today(&self) -> NaiveDate {
        self.today
    }

    fn open_film(&self, path: &Path, settings: Settings, on_ready: OnReady) -> Box<dyn FilmHandle> {
        Box::new(Film::open(path, settings, on_ready))
    }

    fn picture_folder(&self) -> Option<PathBuf> {
        None
    }

    fn open_sound(&self, path: &Path, on_ready: OnReady) -> Box<dyn SoundHandle> {
        Box::new(Sound::open(path, on_ready))
    }

    fn speaker(&self, _on_ready: OnReady) -> Box<dyn Speaker> {
        let speaker = self.speaker.lock().ok().and_then(|mut own| own.take());
        match speaker {
            Some(speaker) => Box::new(speaker),
            None => Box::new(NoSpeaker),
        }
    }

    fn waveform(&self, path: &Path, progress: Progress<'_>) -> Result<Option<Waveform>, FilmError> {
        reinback_film::sound::waveform(path, None, progress)
    }

    fn ask(&self, _question: Question) -> Vec<PathBuf> {
        self.answers
            .lock()
            .ok()
            .and_then(|mut answers| answers.pop())
            .unwrap_or_default()
    }
}

/// How long a worker may take until a journey gives up.
const PATIENCE: Duration = Duration::from_secs(30);

/// The window.
pub struct Window {
    /// The harness, for what has no hand here.
    pub harness: Harness<'static, App>,
    outside: Arc<Outside>,
}

/// Leaves as the program does, so that the yard can be opened again at once.
impl Drop for Window {
    fn drop(&mut self) {
        // After a failed check nothing may wait for a window that may be stuck.
        if !std::thread::panicking() {
            eframe::App::on_exit(self.harness.state_mut(), None);
        }
    }
}

impl Window {
    /// Opens the application with these paths, as if named on the command line.
    #[must_use]
    pub fn open(paths: &[&Path]) -> Self {
        Self::open_with(paths, None)
    }

    /// As [`Window::open`], on a machine with this device for sound.
    #[must_use]
    pub fn open_with(paths: &[&Path], speaker: Option<StandIn>) -> Self {
        let today = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap_or_default();
        let outside = Arc::new(Outside {
            today,
            answers: Mutex::default(),
            speaker: Mutex::new(speaker),
        });
        let services = outside.clone();
        let paths: Vec<PathBuf> = paths.iter().map(|path| path.to_path_buf()).collect();
        let harness = Harness::builder()
            .with_size([1280.0, 800.0])
            .with_step_dt(1.0 / 30.0)
            .build_eframe(move |cc| App::new(cc, services, paths));
        let mut window = Self { harness, outside };
        window.steps(3);
        window
    }

    /// Gives the answer of the next dialog.
    pub fn will_answer(&self, paths: Vec<PathBuf>) {
        if let Ok(mut answers) = self.outside.answers.lock() {
            answers.insert(0, paths);
        }
    }

    /// The application.
    #[must_use]
    pub fn app(&self) -> &App {
        self.harness.state()
    }

    /// The open yard.
    ///
    /// # Panics
    /// No yard is open.
    #[must_use]
    #[expect(clippy::expect_used, reason = "a journey without a yard has failed")]
    pub fn yard(&self) -> &Yard {
        self.app()
            .open_yard()
            .expect("a yard is open")
            .document
            .yard()
    }

    /// The ride in the Review room.
    ///
    /// # Panics
    /// No ride is open.
    #[must_use]
    #[expect(clippy::expect_used, reason = "a journey without a ride has failed")]
    pub fn ride(&self) -> &Ride {
        let id = self.app().review().expect("a ride is open").ride;
        self.yard().ride(id).expect("the open ride is in the yard")
    }

    /// Draws so many frames.
    pub fn steps(&mut self, count: usize) {
        self.harness.run_steps(count);
    }

    /// Draws frames until something holds.
    ///
    /// # Panics
    /// It does not hold in time.
    pub fn until(&mut self, what: &str, holds: impl Fn(&Self) -> bool) {
        let start = Instant::now();
        while !holds(self) {
            assert!(
                start.elapsed() < PATIENCE,
                "waited in vain until {what}; the window shows:\n{}",
                self.texts().join("\n")
            );
            self.harness.step();
            std::thread::sleep(Duration::from_millis(5));
        }
        self.steps(2);
    }

    /// Whether the Review room shows a picture of a film.
    #[must_use]
    pub fn has_picture(&self) -> bool {
        let review = self.app().review();
        review.is_some_and(|review| review.stage.picture().is_some())
    }

    /// Types signs as the keyboard gives them: a key and its text.
    pub fn types(&mut self, text: &str) {
        for sign in text.chars() {
            self.harness.event(Event::Text(sign.to_string()));
            self.steps(2);
        }
    }

    /// Presses a key.
    pub fn press(&mut self, key: Key) {
        self.press_with(Modifiers::NONE, key);
    }

    /// Presses a key while others are held.
    pub fn press_with(&mut self, modifiers: Modifiers, key: Key) {
        self.harness.key_press_modifiers(modifiers, key);
        self.steps(3);
    }

    /// Clicks at a place while keys are held.
    pub fn click_at(&mut self, modifiers: Modifiers, at: egui::Pos2) {
        self.take_hold(modifiers, at);
        self.let_go(at);
    }

    /// Drags from a place to another while keys are held.
    pub fn drag(&mut self, modifiers: Modifiers, from: egui::Pos2, to: egui::Pos2) {
        self.take_hold(modifiers, from);
        self.move_to(from.lerp(to, 0.5));
        self.move_to(to);
        self.let_go(to);
    }

    /// Presses the pointer's button at a place while keys are held.
    pub fn take_hold(&mut self, modifiers: Modifiers, at: egui::Pos2) {
        self.harness.event(Event::ModifiersChanged(modifiers));
        self.move_to(at);
        self.harness.drag_at(at);
        self.steps(2);
    }

    /// Moves the pointer.
    pub fn move_to(&mut self, at: egui::Pos2) {
        self.harness.hover_at(at);
        self.steps(2);
    }

    /// Lets the pointer's button and the held keys go.
    pub fn let_go(&mut self, at: egui::Pos2) {
        self.harness.drop_at(at);
        self.steps(2);
        self.harness.event(Event::ModifiersChanged(Modifiers::NONE));
        self.steps(3);
    }

    /// Clicks what has this label.
    pub fn click(&mut self, label: &str) {
        self.harness.get_by_label(label).click();
        self.steps(3);
    }

    /// Clicks the first thing whose label contains this.
    ///
    /// # Panics
    /// There is none.
    #[expect(
        clippy::expect_used,
        reason = "a journey that finds no button has failed"
    )]
    pub fn click_part(&mut self, part: &str) {
        let found = self.harness.get_all_by_label_contains(part).next();
        found.expect("there is a label with this part").click();
        self.steps(3);
    }

    /// Whether something on screen has this in its label or value.
    #[must_use]
    pub fn shows(&self, part: &str) -> bool {
        self.texts().iter().any(|text| text.contains(part))
    }

    /// Every label and value on screen.
    #[must_use]
    pub fn texts(&self) -> Vec<String> {
        let mut texts = Vec::new();
        let mut open = vec![self.harness.root()];
        while let Some(node) = open.pop() {
            let access = node.accesskit_node();
            texts.extend(access.label());
            texts.extend(access.value());
            open.extend(node.children());
        }
        texts
    }
}

/// Copies the committed demo yard into a folder, with its main film beside it.
///
/// # Errors
/// As copying files.
pub fn copy_demo(to: &Path) -> std::io::Result<PathBuf> {
    let source = workspace().join("demo-sessions");
    let yard = to.join("yard");
    copy_folder(&source.join("yard"), &yard)?;
    std::fs::create_dir_all(yard.join("films"))?;
    std::fs::copy(
        source.join("films/evening-ride.mp4"),
        yard.join("films/evening-ride.mp4"),
    )?;
    Ok(yard)
}

/// The workspace's folder.
#[must_use]
pub fn workspace() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn copy_folder(from: &Path, to: &Path) -> std::io::Result<()> {
    std::fs::create_dir_all(to)?;
    for entry in std::fs::read_dir(from)? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy_folder(&entry.path(), &target)?;
        } else {
            std::fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}
