//! What a frame of the Progress room takes on a yard of 30 000 rides: the room ticked, drawn and
//! made into triangles, scrolled in every frame, while a ride is edited twice a second and the
//! answers of the workers arrive.
//!
//!     cargo bench -p reinback --bench progress
//!     cargo bench -p reinback --bench progress --profile dev   # unoptimised
//!     RIDES=3000 cargo bench -p reinback --bench progress      # a smaller yard
//!     FILM=/path/ride.mp4 cargo bench -p reinback --bench progress
//!
//! Every ride has a film of 50 minutes. Without `FILM`, the path of one, none of them is there, and
//! the wall of moments says so; with it, stills are made and the picture under the pointer plays.
//!
//! The time is that for which the window's thread had the processor (on Linux; elsewhere the
//! clock's), so that workers and others on the machine matter little.
#![expect(clippy::print_stdout, reason = "it prints its table")]

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use chrono::{Days, NaiveDate};
use egui::accesskit::{Node, TreeUpdate};
use egui::{Event, Modifiers, MouseWheelUnit, PointerButton, Pos2, Rect, TouchPhase, pos2, vec2};
use reinback::action::Action;
use reinback::rooms::progress::{ProgressData, ProgressView, World, progress_ui};
use reinback::said::{Language, Say};
use reinback::services::{FilmHandle, OnReady, Progress, Question, Services, SoundHandle, System};
use reinback::sound::Speaker;
use reinback_film::sound::Waveform;
use reinback_film::{FilmError, Settings};
use reinback_yard::{Exercise, Film, FilmId, HorseId, Moment, WordId, Yard};

use large::{Maker, edit, first_day};

mod large;

/// Frames measured of each scene, and after how many a ride is edited.
const FRAMES: usize = 300;
const EDITED: usize = 30;
/// Where the pointer is, as a share of the window's width: over the list, or what is beside it.
const LIST: f32 = 0.25;
const BESIDE: f32 = 0.8;
/// The frame's share of a second at 60 a second.
const FRAME: Duration = Duration::from_micros(16_667);
/// The aim.
const AIM: Duration = Duration::from_millis(8);

/// Time that this thread had the processor for; the clock's where the system does not tell.
fn processor(begun: Instant) -> Duration {
    // The system counts up to the last time it looked at this thread; now it does.
    std::thread::yield_now();
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let told = told.and_then(|told| told.split_whitespace().next()?.parse().ok());
    told.map_or_else(|| begun.elapsed(), Duration::from_nanos)
}

/// The machine as it is, but for the folder of small pictures: each run makes its own anew.
struct Outside;

impl Services for Outside {
    fn today(&self) -> NaiveDate {
        System.today()
    }

    fn open_film(&self, path: &Path, settings: Settings, on_ready: OnReady) -> Box<dyn FilmHandle> {
        System.open_film(path, settings, on_ready)
    }

    fn picture_folder(&self) -> Option<PathBuf> {
        None
    }

    fn open_sound(&self, path: &Path, on_ready: OnReady) -> Box<dyn SoundHandle> {
        System.open_sound(path, on_ready)
    }

    fn speaker(&self, on_ready: OnReady) -> Box<dyn Speaker> {
        System.speaker(on_ready)
    }

    fn waveform(&self, path: &Path, progress: Progress<'_>) -> Result<Option<Waveform>, FilmError> {
        System.waveform(path, progress)
    }

    fn ask(&self, _: Question) -> Vec<PathBuf> {
        Vec::new()
    }
}

/// A film for every ride, as long as the rides are.
fn with_films(mut yard: Yard) -> Yard {
    let path = std::env::var("FILM").unwrap_or_else(|_| "not-there.mp4".to_owned());
    for ride in yard.rides.values_mut() {
        Arc::make_mut(ride).films.push(Film {
            id: FilmId::from_bits(1),
            path: path.clone(),
            fingerprint: None,
            offset: Moment(0),
            drift_ppb: 0,
            duration_nanos: Some(3_000_000_000_000),
            tilt: None,
        });
    }
    yard
}

/// The room in a window without a screen.
struct Room {
    ctx: egui::Context,
    on_ready: OnReady,
    view: ProgressView,
    yard: Yard,
    revision: u64,
    today: NaiveDate,
    say: Say,
    size: [f32; 2],
    begun: Instant,
}

impl Room {
    fn new(yard: Yard, size: [f32; 2]) -> Self {
        let ctx = egui::Context::default();
        reinback::theme::install(&ctx);
        let newest = yard.rides.values().map(|ride| ride.head.date).max();
        let on_ready: OnReady = Arc::new(|| {});
        Self {
            ctx,
            view: ProgressView::new(on_ready.clone()),
            on_ready,
            today: newest.unwrap_or_else(|| first_day() + Days::new(3_652)),
            yard,
            revision: 1,
            say: Say::new(Language::English),
            size,
            begun: Instant::now(),
        }
    }

    /// A frame with these events; gives what a screen reader is told, if it is listening.
    fn frame(&mut self, events: Vec<Event>) -> Option<TreeUpdate> {
        let input = egui::RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, self.size.into())),
            time: Some(self.begun.elapsed().as_secs_f64()),
            events,
            ..egui::RawInput::default()
        };
        let mut out: Vec<Action> = Vec::new();
        self.view.tick(&self.yard, self.revision, self.today);
        let world = World {
            yard: &self.yard,
            revision: self.revision,
            services: &Outside,
            film_path: &|film| PathBuf::from(&film.path),
            settings: Settings::reviewing(),
            on_ready: &self.on_ready,
            now: self.begun.elapsed().as_secs_f64(),
        };
        self.view.tick_moments(&self.ctx, &world);
        let output = self.ctx.run_ui(input, |ui| {
            let data = ProgressData {
                yard: &self.yard,
                revision: self.revision,
                today: self.today,
                say: &self.say,
            };
            progress_ui(ui, &mut self.view, &data, &mut out);
        });
        let triangles = self
            .ctx
            .tessellate(output.shapes, output.pixels_per_point)
            .len();
        std::hint::black_box(triangles);
        output.platform_output.accesskit_update
    }

    /// What is on screen, by its words.
    fn nodes(&mut self) -> Vec<Node> {
        self.ctx.enable_accesskit();
        let mut update = self.frame(Vec::new());
        for _ in 0..2 {
            update = self.frame(Vec::new()).or(update);
        }
        self.ctx.disable_accesskit();
        let nodes = update.map(|update| update.nodes).unwrap_or_default();
        nodes.into_iter().map(|(_, node)| node).collect()
    }

    /// Presses what begins with these words, waiting for it at most a minute.
    fn press(&mut self, words: &str) -> bool {
        let begun = Instant::now();
        while begun.elapsed() < Duration::from_mins(1) {
            let nodes = self.nodes();
            let found = nodes.iter().find(|node| {
                let label = node.label().or(node.value());
                label.is_some_and(|label| label.starts_with(words))
            });
            if let Some(bounds) = found.and_then(Node::bounds) {
                #[expect(clippy::cast_possible_truncation, reason = "a place on the screen")]
                let at = pos2(
                    bounds.x0.midpoint(bounds.x1) as f32,
                    bounds.y0.midpoint(bounds.y1) as f32,
                );
                for pressed in [true, false] {
                    let press = Event::PointerButton {
                        pos: at,
                        button: PointerButton::Primary,
                        pressed,
                        modifiers: Modifiers::NONE,
                    };
                    self.frame(vec![Event::PointerMoved(at), press]);
                }
                self.frame(Vec::new());
                return true;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        false
    }

    /// A frame with the pointer at this share of the width, and the wheel turned so far.
    fn scroll(&mut self, across: f32, way: f32) {
        let pointer = pos2(self.size[0] * across, self.size[1] * 0.6);
        let mut events = vec![Event::PointerMoved(pointer)];
        if way != 0.0 {
            events.push(Event::MouseWheel {
                unit: MouseWheelUnit::Point,
                delta: vec2(0.0, way),
                phase: TouchPhase::Move,
                source: egui::MouseWheelSource::Wheel,
                modifiers: Modifiers::NONE,
            });
        }
        self.frame(events);
    }

    /// Draws until nothing has been on its way for a while.
    fn settle(&mut self) {
        for _ in 0..2_000 {
            let nodes = self.nodes();
            let waits = nodes.iter().any(|node| {
                let said = node.label().or(node.value());
                said.is_some_and(|said| {
                    said.starts_with("Counting") || said.starts_with("Being counted")
                })
            });
            if !waits {
                return;
            }
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Scrolls and edits with the pointer at this share of the window's width, and prints what a
    /// frame took.
    fn measure(&mut self, name: &str, across: f32) {
        self.settle();
        for _ in 0..30 {
            self.frame(Vec::new());
        }
        let mut took: Vec<Duration> = Vec::with_capacity(FRAMES);
        for number in 0..FRAMES {
            if number % EDITED == 0 {
                edit(&mut self.yard, HorseId::from_bits(3));
                self.revision += 1;
            }
            // Fifty frames one way, fifty back, fifty at rest.
            let way = match number / 50 % 3 {
                0 => -40.0,
                1 => 40.0,
                _ => 0.0,
            };
            let clock = Instant::now();
            let before = processor(self.begun);
            self.scroll(across, way);
            took.push(processor(self.begun).saturating_sub(before));
            std::thread::sleep(FRAME.saturating_sub(clock.elapsed()));
        }
        took.sort_unstable();
        let at = |share: usize| took[(took.len() - 1) * share / 100].as_secs_f64() * 1e3;
        let slow = took.iter().filter(|one| **one > AIM).count();
        println!(
            "| {name} | {:.2} ms | {:.2} ms | {:.2} ms | {slow} of {FRAMES} |",
            at(50),
            at(99),
            at(100),
        );
    }
}

/// What the program holds of memory, in MB, where the system tells it.
fn memory() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    let kilobytes: u64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kilobytes / 1_024)
}

fn print_memory(when: &str) {
    if let Some(memory) = memory() {
        println!("memory {when}: {memory} MB");
    }
}

/// Goes through the pages of a room and measures each.
fn pages(room: &mut Room, which: &str) {
    let horse = HorseId::from_bits(3);
    room.view.choose_horse(horse);
    room.measure(
        &format!("{which}: one horse, the days it begins with"),
        LIST,
    );
    if !room.press("Days") {
        println!("| {which}: the list of days was not found | | | | |");
    }
    for (page, measured) in [
        ("Everything", "one horse, everything"),
        ("The whole horse", "the whole horse, everything"),
        ("Horses", "all horses at a glance, everything"),
        ("Exercises", "exercises of all horses, everything"),
    ] {
        if !room.press(page) {
            println!("| {which}: {measured} | “{page}” was not found | | | |");
            continue;
        }
        room.measure(&format!("{which}: {measured}"), LIST);
    }
    room.view.choose_horse(horse);
    if room.press("Exercises") && room.press("exercise ") {
        room.measure(&format!("{which}: an open exercise, everything"), LIST);
        // Down to the wall of its moments, past all figures.
        for _ in 0..400 {
            room.scroll(BESIDE, -40.0);
        }
        room.measure(&format!("{which}: the moments of it, everything"), BESIDE);
    }
}

/// Every word of this yard as long as a rider may write it.
fn long_names(yard: &mut Yard) {
    let long = |name: &str| {
        let mut long = name.to_owned();
        while long.len() < 200 {
            long.push_str(" as ridden on");
        }
        long.truncate(200);
        long
    };
    for horse in &mut yard.horses {
        horse.name = long(&horse.name);
    }
    let Some(like) = yard.words.exercises.first().cloned() else {
        return;
    };
    for number in 0..400 {
        if let Ok(id) = WordId::new(format!("exercise-{number}")) {
            yard.words.exercises.push(Exercise {
                name: long(&id.spelled()),
                id,
                ..like.clone()
            });
        }
    }
}

fn main() {
    println!("| what is shown | median | 99 of 100 | longest | above 8 ms |");
    println!("| --- | --- | --- | --- | --- |");
    let large = with_films(Maker::new().yard());
    let named = format!("{} rides", large.rides.len());
    let mut room = Room::new(large, [1280.0, 756.0]);
    print_memory("with the yard alone");
    pages(&mut room, &named);
    print_memory("after all pages");
    drop(room);
    let mut many = with_films(Maker::of(400).yard());
    long_names(&mut many);
    let mut room = Room::new(many, [1280.0, 756.0]);
    pages(&mut room, "400 exercises");
}
