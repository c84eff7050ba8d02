//! Takes in everything that happened since the last frame. Paints nothing.

use std::time::Duration;

use egui::Context;
use reinback_yard::{Edit, Moment};

use super::notes::is_notes;
use super::page::Making;
use super::{App, Event, Purpose};
use crate::action::{Action, Room};
use crate::command::Command;
use crate::keeper::Safety;
use crate::keys::KeyListener;
use crate::notice::Notice;
use crate::rooms::progress::World;
use crate::sound::gain;
use crate::stage::News;

impl App {
    pub(super) fn on_logic(&mut self, ctx: &Context) {
        self.now = ctx.input(|i| i.time);
        let actions = std::mem::take(&mut self.actions);
        for action in actions {
            self.act(ctx, action);
        }
        // Asked before the news is taken in: it may come between the two.
        let page_ended = self.page.as_ref().and_then(Making::ended);
        while let Some(event) = self.tasks.poll() {
            self.take_event(ctx, event);
        }
        if let Some(number) = page_ended {
            self.page_lost(number);
        }
        self.take_presses(ctx);
        self.tick_measuring();
        self.tick_asked(ctx);
        self.take_drops(ctx);
        self.check_changed_films();
        self.creep(ctx);
        self.follow_repeat();
        self.follow_beside();
        self.tick_stage(ctx);
        self.tick_keeper(ctx);
        self.watch_closing(ctx);
        self.tick_progress(ctx);
        if let Some(seconds) = self.notices.tick(self.now) {
            ctx.request_repaint_after(Duration::from_secs_f64(seconds.max(0.01)));
        }
        self.keep_title(ctx);
    }

    fn take_presses(&mut self, ctx: &Context) {
        let covered = self.help
            || self.settings
            || self.trial.is_some()
            || self.words.is_some()
            || egui::Popup::is_any_open(ctx);
        let marking = self.room == Room::Review && self.review.is_some() && !covered;
        let watching: &[Command] = if self.room == Room::Progress && !covered {
            self.progress.listens()
        } else {
            &[]
        };
        let handle = ctx.plugin::<KeyListener>();
        let asking = self
            .review
            .as_ref()
            .is_some_and(|review| review.asked.is_some());
        {
            let mut listener = handle.lock();
            listener.set_marking(marking);
            listener.set_watching(watching);
            listener.set_asking(asking);
        }
        loop {
            let press = handle.lock().take();
            match press {
                Some(press) => self.press(ctx, press),
                None => return,
            }
        }
    }

    fn take_drops(&mut self, ctx: &Context) {
        let dropped = ctx.input(|i| i.raw.dropped_files.clone());
        let paths: Vec<_> = dropped
            .into_iter()
            .map(|file| file.path().to_owned())
            .collect();
        if paths.is_empty() {
            return;
        }
        match paths.as_slice() {
            [folder] if folder.is_dir() => self.start_opening(folder, false),
            [file] if is_notes(file) => {
                if self.room == Room::Review && self.review.is_some() {
                    self.read_notes_file(file.clone());
                } else {
                    let what = "Open the ride that these notes belong to, then drop them";
                    self.tell(Notice::caution(what));
                }
            }
            _ if self.open.is_some() => self.start_new_ride(None, paths),
            _ => self.tell(Notice::caution(
                "Open or make a yard first, then drop the films of a ride",
            )),
        }
    }

    fn tick_stage(&mut self, ctx: &Context) {
        let (Some(open), Some(review)) = (&self.open, &mut self.review) else {
            return;
        };
        let Some(ride) = open.document.yard().ride(review.ride) else {
            self.review = None;
            if self.room == Room::Review {
                self.room = Room::Yard;
            }
            return;
        };
        let ends = ride
            .bouts
            .iter()
            .filter_map(|b| b.to)
            .chain(ride.marks.iter().map(|m| m.at));
        let marked_end = ends.max().unwrap_or(Moment(0));
        review.stage.set_films(review.placed(open), marked_end);
        if self.room != Room::Review {
            review.stage.pause();
            return;
        }
        let largest = ctx.input(|i| i.max_texture_side);
        let settings = Self::film_settings(&self.prefs, largest);
        let muted = self.prefs.muted;
        let volume = if muted { 0.0 } else { self.prefs.volume };
        self.speaker.set_gain(gain(volume));
        review.stage.tick(
            self.now,
            self.services.as_ref(),
            settings,
            &self.on_ready,
            self.speaker.as_mut(),
        );
        // Once the first picture is there: it is what the rider waits for.
        if !review.stage.is_waiting() {
            review.waves.tick(&review.placed(open), &self.services);
        }
        if review.stage.is_playing() {
            ctx.request_repaint();
        } else if review.stage.is_waiting() {
            // The worker asks for a frame itself; this only bridges a lost wake-up.
            ctx.request_repaint_after(Duration::from_millis(200));
        }
        let (ride, news) = (review.ride, review.stage.take_news());
        for item in news {
            self.take_news(ride, &item);
        }
    }

    fn take_news(&mut self, ride: reinback_yard::RideId, news: &News) {
        match news {
            News::Length(film, nanos) => {
                let Some(open) = &mut self.open else { return };
                let known = open
                    .document
                    .yard()
                    .ride(ride)
                    .and_then(|r| r.films.iter().find(|f| f.id == *film));
                if let Some(known) =
                    known.filter(|known| known.duration_nanos.is_none() && open.keeper.is_some())
                {
                    let film = reinback_yard::Film {
                        duration_nanos: Some(*nanos),
                        ..known.clone()
                    };
                    // The film is in the yard, so this cannot be refused.
                    let _noted = open.note(Edit::Film(ride, film.id, Some(film)), self.now);
                }
            }
            News::Damaged => self.tell(
                Notice::told("Some of this film is damaged: what cannot be decoded is left out, and pictures with made-up parts say so")
                    .next("The strip shows where; for what is left out you see the frame before, and the times stay right"),
            ),
        }
    }

    fn tick_keeper(&mut self, ctx: &Context) {
        let Some(open) = &mut self.open else { return };
        let Some(keeper) = &mut open.keeper else {
            return;
        };
        if let Some(seconds) = keeper.tick(&mut open.document, self.now) {
            ctx.request_repaint_after(Duration::from_secs_f64(seconds.clamp(0.02, 60.0)));
        }
        match keeper.safety(&open.document) {
            Safety::Failing { what, next } if !self.told_failing => {
                self.told_failing = true;
                let notice = Notice::trouble(what).next(next);
                self.tell(notice.offer("Save again", Action::RetrySave));
            }
            Safety::Saved if self.told_failing => {
                self.told_failing = false;
                self.notices.dismiss_offering("Save again");
                self.tell(Notice::told("Everything is saved again"));
            }
            _ => {}
        }
    }

    fn tick_progress(&mut self, ctx: &Context) {
        if self.room != Room::Progress {
            self.progress.rest();
            return;
        }
        let real = self.services.today();
        let Some(open) = &self.open else { return };
        let (yard, revision) = (open.document.yard(), open.document.revision());
        self.progress.tick(yard, revision, open.today(real));
        let largest = ctx.input(|i| i.max_texture_side);
        let world = World {
            yard,
            revision,
            services: &*self.services,
            film_path: &|film| open.film_path(film),
            settings: Self::film_settings(&self.prefs, largest),
            on_ready: &self.on_ready,
            now: self.now,
        };
        self.progress.tick_moments(ctx, &world);
    }

    fn take_event(&mut self, ctx: &Context, event: Event) {
        match event {
            Event::YardNews(number, news) => self.take_yard_news(number, news),
            Event::YardOpened(number, result) => self.take_opened(number, *result),
            Event::Indexed(number, progress) => self.take_indexed(number, progress),
            Event::Answered(purpose, paths) => self.answered(purpose, paths),
            Event::FilmRead(path, read) => self.yard_view.film_read(&path, *read),
            Event::FilmLocated(ride, film, path, print) => {
                self.film_located(ride, film, path, print);
            }
            Event::FilmLookedAt(ride, film, look) => self.film_looked_at(ride, film, look),
            Event::NotesRead(number, result) => {
                let review = self.review.as_mut();
                if let Some(import) = review.and_then(|review| review.notes.as_mut()) {
                    import.take(number, *result);
                }
            }
            Event::Exported(path, written) => self.exported(&path, &written),
            Event::SecondIsAnother(film) => self.second_is_another(film),
            Event::StillWritten(path, written) => self.still_written(&path, &written),
            Event::PageMade(number, done) => self.page_made(number, done),
            Event::PageWritten(number, path, written) => {
                self.page_written(number, &path, written);
            }
            Event::FigureWritten(path, written) => self.figure_written(&path, &written),
            Event::FigureCopied(copied) => self.figure_copied(ctx, copied),
            Event::FilmsSought(number, sought) => self.film_search_began(number, sought),
            Event::FilmSearch(number, searched) => self.film_search_went_on(number, searched),
        }
    }

    fn answered(&mut self, purpose: Purpose, mut paths: Vec<std::path::PathBuf>) {
        if paths.is_empty() {
            return;
        }
        match purpose {
            Purpose::NewRide(horse) => self.start_new_ride(horse, paths),
            Purpose::Locate(ride, film) => self.look_at_located(ride, film, paths.remove(0)),
            Purpose::OpenYard => self.start_opening(&paths.remove(0), false),
            Purpose::Notes => self.read_notes_file(paths.remove(0)),
            Purpose::Export(ride, table, film) => {
                self.write_export(ride, table, film, paths.remove(0));
            }
            Purpose::Still(wish) => self.write_still(wish, paths.remove(0)),
            Purpose::Page(wish) => self.write_page(*wish, paths.remove(0)),
            Purpose::Figure(file, shown) => self.write_figure(file, *shown, paths.remove(0)),
            Purpose::CreateYard => self.start_opening(&paths.remove(0), true),
        }
    }

    fn keep_title(&mut self, ctx: &Context) {
        let title = self.open.as_ref().map_or_else(
            || "Reinback".to_owned(),
            |open| format!("{} – Reinback", open.document.yard().name),
        );
        if title != self.title {
            ctx.send_viewport_cmd(egui::ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }
}
