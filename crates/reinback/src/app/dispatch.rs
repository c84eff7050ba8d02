//! From an action or a command to its effect.

use egui::Context;
use reinback_yard::{Edit, Horse, MarkKind, Moment, Pace, Rein, RideId};

use super::{App, Event, Purpose};
use crate::action::{Action, NotesStep, Room, Table};
use crate::command::Command;
use crate::hints;
use crate::keys::Pressed;
use crate::notice::Notice;
use crate::rooms::review::ReviewView;
use crate::rooms::review::marking::used;
use crate::rooms::review::second::first_shown;
use crate::rooms::review::selection::Selection;
use crate::rooms::review::strip::grip::End;
use crate::rooms::review::strip::roll::Roll;
use crate::rooms::review::waves::Waves;
use crate::services::Question;
use crate::stage::Stage;

const SECOND: i64 = 1_000_000_000;

impl App {
    pub(super) fn act(&mut self, ctx: &Context, action: Action) {
        match action {
            Action::Run(command) => self.run(ctx, command),
            Action::Edit(label, edit) => self.apply(&label, edit),
            Action::OpenRide(ride, at) => self.open_ride(ride, at),
            Action::TapTempo(ride, at) => self.open_for_taps(ride, at),
            Action::Figure(step, shown) => self.order_figure(step, shown),
            Action::Seek(moment) => self.seek(moment, false),
            Action::Drag(moment) => self.seek(moment, true),
            Action::Speed(speed) => self.with_stage(|stage| stage.set_speed(speed)),
            Action::Volume(volume) => self.prefs.volume = volume.clamp(0.0, 1.0),
            Action::Choose(chosen) => {
                if let Some(review) = &mut self.review {
                    review.chosen = chosen;
                    review.reveal = true;
                }
            }
            Action::Select(select) => self.select(select),
            Action::StartBout(exercise) => self.start_bout(&exercise),
            Action::MarkFault(fault) => self.mark(|marking, ids| marking.fault(&fault, ids)),
            Action::SetOutline(word) => {
                self.mark(|marking, ids| marking.set_outline(&word, ids));
            }
            Action::SetRein(rein) => self.mark(|marking, _| marking.set_rein(rein)),
            Action::ShowProgress(horse) => {
                self.progress.choose_horse(horse);
                self.room = Room::Progress;
            }
            Action::ChooseFilms(horse) => self.ask(Purpose::NewRide(horse), Question::Films),
            Action::NewRide(horse, paths) => self.start_new_ride(Some(horse), paths),
            Action::LocateFilm(film) => {
                if let Some(review) = &self.review {
                    self.ask(Purpose::Locate(review.ride, film), Question::OneFilm);
                }
            }
            Action::RetryFilm => {
                if let Some(review) = &mut self.review {
                    if let Some(path) = review.stage.current_film().map(|film| film.path.clone()) {
                        review.forget_file(&path);
                    }
                    review.stage.reopen();
                }
                self.check_films_again();
            }
            Action::StopFilmSearch => self.stop_film_search(),
            Action::AcceptFilm(film) => self.accept_film(film),
            Action::ChooseYard => self.ask(Purpose::OpenYard, Question::Folder("Open a yard")),
            Action::ChooseNewYard => self.ask(
                Purpose::CreateYard,
                Question::Folder("A folder for the new yard"),
            ),
            Action::OpenYard(folder) => self.start_opening(&folder, false),
            Action::RetrySave => self.save_now(),
            Action::CloseAnyway => self.close_anyway(ctx),
            Action::StopIndexing => self.indexing = None,
            Action::StopPage => self.page = None,
            Action::Tell(notice) => self.tell(*notice),
            Action::KeepHorse {
                horse,
                name,
                foaled,
                stage,
                notes,
            } => {
                let Some(open) = &mut self.open else { return };
                let label = if horse.is_some() {
                    "change horse"
                } else {
                    "add horse"
                };
                let id = horse.unwrap_or_else(|| open.ids.next());
                self.apply(
                    label,
                    Edit::Horse(
                        id,
                        Some(Horse {
                            id,
                            name,
                            foaled,
                            stage,
                            notes,
                        }),
                    ),
                );
            }
            Action::Notes(step) => self.notes(step),
            Action::Measure(step) => {
                self.measure(step);
            }
            Action::Export(table) => self.export(table),
            Action::Reviews(step) => self.reviews_step(step),
            Action::CreateRide(draft) => self.create_ride(*draft),
        }
    }

    pub(super) fn press(&mut self, ctx: &Context, press: Pressed) {
        if let Pressed::Command(command) = press
            && self.room == Room::Progress
            && self.progress.run(command, self.now)
        {
            return;
        }
        let Some(press) = self.press_in_a_mode(press) else {
            return;
        };
        if self.measure_by(press) {
            return;
        }
        match press {
            Pressed::Command(command) => self.run(ctx, command),
            Pressed::Letter(letter) => self.type_letter(letter),
            Pressed::Fault(key) => self.mark(|marking, ids| marking.fault_on_key(key, ids)),
            Pressed::Variant(key) => self.mark(|marking, _| marking.variant_on_key(key)),
            Pressed::Outline(key) => self.mark(|marking, ids| marking.outline_on_key(key, ids)),
            Pressed::GeneralFault(key) => {
                self.mark(|marking, ids| marking.general_fault_on_key(key, ids));
            }
        }
    }

    fn run(&mut self, ctx: &Context, command: Command) {
        let now = self.now;
        match command {
            Command::PlayPause => self.with_stage(|stage| stage.toggle(now)),
            Command::StepForward => self.with_stage(|stage| stage.step(1)),
            Command::StepBack => self.with_stage(|stage| stage.step(-1)),
            Command::SecondForward => self.jump(SECOND),
            Command::SecondBack => self.jump(-SECOND),
            Command::PreviousMark => self.jump_to_neighbour(false),
            Command::NextMark => self.jump_to_neighbour(true),
            Command::Slower => self.with_stage(|stage| stage.change_speed(false)),
            Command::Faster => self.with_stage(|stage| stage.change_speed(true)),
            Command::Mute => self.mute(),
            Command::CreepForward
            | Command::CreepBack
            | Command::PreviousBout
            | Command::NextBout
            | Command::PreviousChange
            | Command::NextChange
            | Command::PreviousLapse
            | Command::NextLapse
            | Command::Repeat
            | Command::LookCloser
            | Command::LookWider
            | Command::Fill => self.look(command),
            Command::Beside | Command::Mirror => self.look_beside(command),
            Command::Still => self.ask_for_still(),
            Command::ToStart => self.jump_to_end(End::Start),
            Command::ToEnd => self.jump_to_end(End::End),
            Command::EndBout => self.mark(|marking, _| marking.end_bout()),
            Command::LeftRein => self.mark(|marking, _| marking.set_rein(Rein::Left)),
            Command::RightRein => self.mark(|marking, _| marking.set_rein(Rein::Right)),
            Command::NextVariant => self.mark(|marking, _| marking.next_variant()),
            Command::Praise => self.mark(|marking, ids| Ok(marking.remark(MarkKind::Praise, ids))),
            Command::SetToFrame => self.set_to_frame(),
            Command::Repeated => {
                self.mark(|marking, ids| Ok(marking.remark(MarkKind::Repeated, ids)));
            }
            Command::Walk => self.set_pace(Pace::Walk),
            Command::Trot => self.set_pace(Pace::Trot),
            Command::Canter => self.set_pace(Pace::Canter),
            Command::Passage => self.set_pace(Pace::Passage),
            Command::Piaffe => self.set_pace(Pace::Piaffe),
            Command::Halt => self.set_pace(Pace::Halt),
            Command::ReinBack => self.set_pace(Pace::ReinBack),
            Command::ChangeLeft => self.mark_change(Some(Rein::Left)),
            Command::ChangeRight => self.mark_change(Some(Rein::Right)),
            Command::Change => self.mark_change(None),
            Command::Aid => self.mark(|marking, ids| Ok(marking.remark(MarkKind::Aid, ids))),
            Command::Ask => self.start_asking(),
            Command::Taps => self.turn_tapping(),
            Command::ToggleReviewed => self.toggle_reviewed(),
            Command::WriteNote => self.write_note(),
            Command::Remove => self.remove(),
            Command::Cancel => self.cancel(),
            Command::Notes => self.notes(NotesStep::Open),
            Command::Clips => self.show_clips(),
            Command::Measure => self.show_measuring(),
            Command::Plan => self.show_plan(),
            Command::TestSheet => self.show_test_sheet(),
            Command::ExportTable => self.export(Table::Csv),
            Command::ExportCaptions => self.export(Table::Captions),
            Command::Reviews => self.show_reviews(),
            Command::ZoomIn => self.zoom(2.0),
            Command::ZoomOut => self.zoom(0.5),
            Command::ZoomAll => {
                if let Some(review) = &mut self.review {
                    review.strip.fit();
                }
            }
            Command::StartHere => self.end_here(End::Start),
            Command::EndHere => self.end_here(End::End),
            Command::ChooseUp => self.choose_next(false),
            Command::ChooseDown => self.choose_next(true),
            Command::ChooseAll => self.choose_all(),
            // Only the moments of Progress know which one is meant; they have heard it already.
            Command::PickMoment => {}
            Command::Undo => self.turn(true),
            Command::Redo => self.turn(false),
            Command::Save => self.save_now(),
            Command::ToYard => self.room = Room::Yard,
            Command::ToReview => self.enter_review(),
            Command::ToProgress => self.room = Room::Progress,
            Command::FourWeeks => {
                self.progress.turn_four_weeks();
                self.room = Room::Progress;
            }
            Command::NewRide => self.act(ctx, Action::ChooseFilms(None)),
            Command::OpenYard => self.act(ctx, Action::ChooseYard),
            Command::ExportPage => self.ask_for_page(),
            Command::Theme => self.change_theme(ctx),
            Command::Help => self.help = !self.help,
            Command::Words => self.turn_words(),
            Command::Settings => self.settings = !self.settings,
        }
    }

    pub(super) fn tell(&mut self, notice: Notice) {
        self.notices.push(notice, self.now);
    }

    fn change_theme(&mut self, ctx: &Context) {
        let dark = ctx.theme() != egui::Theme::Dark;
        self.prefs.dark = Some(dark);
        ctx.request_repaint();
        ctx.set_theme(if dark {
            egui::Theme::Dark
        } else {
            egui::Theme::Light
        });
    }

    fn mute(&mut self) {
        self.prefs.muted = !self.prefs.muted;
    }

    // ---- the yard ----

    pub(super) fn apply(&mut self, label: &str, edit: Edit) {
        let Some(open) = &mut self.open else { return };
        if !open.writable() {
            self.tell(Notice::told(
                "This yard is open for reading only; nothing can be changed",
            ));
            return;
        }
        let done = hints::done_by(&edit);
        match open.apply(label, edit, self.now) {
            Ok(()) => self.hints_done(&done),
            Err(error) => self.tell(Notice::caution(format!("Not done: {error}"))),
        }
    }

    fn turn(&mut self, back: bool) {
        let now = self.now;
        let Some(open) = &mut self.open else { return };
        let word = if back { "Undone" } else { "Done again" };
        match open.turn(back, now) {
            Some(turned) => {
                // What was chosen beside the one thing may be gone, or elsewhere.
                if let Some(review) = &mut self.review {
                    review.selection = Selection::default();
                }
                let ride = turned.applied.ride();
                let here = self.review.as_ref().map(|review| review.ride);
                let elsewhere = self.room == Room::Review && ride.is_some() && ride != here;
                let place = if elsewhere { " in another ride" } else { "" };
                self.tell(Notice::told(format!("{word}{place}: {}", turned.label)));
            }
            None => self.tell(Notice::told(if back {
                "Nothing to undo"
            } else {
                "Nothing to do again"
            })),
        }
    }

    pub(super) fn save_now(&mut self) {
        if let Some(open) = &mut self.open
            && let Some(keeper) = &mut open.keeper
        {
            keeper.save(&mut open.document);
        }
    }

    pub(super) fn ask(&mut self, purpose: Purpose, question: Question) {
        let services = self.services.clone();
        let task = self.tasks.start("dialog", move |control| {
            control.send(Event::Answered(purpose, services.ask(question)));
        });
        self.keep(task);
    }

    // ---- the open ride ----

    pub(super) fn open_ride(&mut self, ride: RideId, at: Option<Moment>) {
        let Some(open) = &self.open else { return };
        let Some(of_yard) = open.document.yard().ride(ride) else {
            self.tell(Notice::told("This ride is no longer in the yard"));
            return;
        };
        if self
            .review
            .as_ref()
            .is_none_or(|review| review.ride != ride)
        {
            let roll = Roll::new(self.on_ready.clone(), self.services.picture_folder());
            let waves = Waves::new(self.on_ready.clone());
            let stage = Stage::new(open.placed(ride), Moment(0));
            let mut review = ReviewView::new(ride, stage, roll, waves);
            review.used = used(open.document.yard(), of_yard.head.horse);
            review.reviewing = first_shown(of_yard, &self.prefs.reviewer);
            self.review = Some(review);
        }
        self.room = Room::Review;
        if let Some(at) = at {
            self.with_stage(|stage| stage.start_at(at));
            if let Some(review) = &mut self.review {
                review.reveal = true;
            }
        }
    }

    fn enter_review(&mut self) {
        if self.open.is_none() {
            return;
        }
        if self.review.is_some() {
            self.room = Room::Review;
            return;
        }
        let newest = self
            .open
            .as_ref()
            .and_then(|open| open.document.yard().rides_by_date().last().map(|r| r.id));
        match newest {
            Some(ride) => self.open_ride(ride, None),
            None => self.tell(Notice::told(
                "No ride yet: make one from a film in the Yard room",
            )),
        }
    }

    pub(super) fn with_stage(&mut self, act: impl FnOnce(&mut Stage)) {
        if let Some(review) = &mut self.review {
            act(&mut review.stage);
        }
    }

    fn jump(&mut self, nanos: i64) {
        let now = self.review.as_ref().map(|review| review.stage.position());
        if let Some(now) = now {
            self.seek(Moment(now.0.saturating_add(nanos)), false);
        }
    }

    fn jump_to_end(&mut self, end: End) {
        let extent = self.review.as_ref().map(|review| review.stage.extent());
        if let Some(extent) = extent {
            let at = match end {
                End::Start => extent.from,
                End::End => extent.to,
            };
            self.seek(at, false);
        }
    }

    fn zoom(&mut self, factor: f64) {
        if let Some(review) = &mut self.review {
            let (extent, now) = (review.stage.extent(), review.stage.position());
            review.strip.follow(extent, now);
            review.strip.zoom(extent, now, factor);
        }
    }

    fn jump_to_neighbour(&mut self, forward: bool) {
        let Some((moment, chosen)) = self
            .marking()
            .and_then(|marking| marking.neighbour(forward))
        else {
            return;
        };
        self.seek(moment, false);
        if let Some(review) = &mut self.review {
            review.chosen = Some(chosen);
            review.reveal = true;
        }
    }
}
