//! Draws the wall: the moments of the days asked about and, where they are wanted, of the days
//! compared with, as pictures or, where no film shows them, as lines.

use egui::{Button, Id, Rect, RichText, Ui, WidgetInfo, vec2};
use reinback_analysis::Cell;
use reinback_yard::WordId;

use super::attention::Hands;
use super::choice::{Choice, MOST_SHOWN};
use super::grid::Grid;
use super::lines::lines_ui;
use super::switches::choice_ui;
use super::telling::Telling;
use super::tile::{Tile, Touched, sign_of, tile_ui};
use super::wall::{InSight, Wall};
use crate::action::Action;
use crate::command::Command;
use crate::notice::Notice;
use crate::report::moments::{FilmMoment, Moments};
use crate::report::numbers::Question;
use crate::rooms::progress::ProgressData;
use crate::rooms::progress::detail::{heading, soft};
use crate::said::{Earlier, Say};
use crate::stage::together::MOST_TOGETHER;
use crate::theme;

/// Rows before all are asked for.
const FIRST_ROWS: usize = 2;
/// Lines for moments without film, before all are asked for.
const FIRST_LINES: usize = 4;
/// Tiles that are always there for those who go by key; of the others those near.
const ALWAYS: usize = 60;

/// What is drawn.
pub(in crate::rooms::progress) struct Shown<'a> {
    /// The line.
    pub(in crate::rooms::progress) exercise: &'a WordId,
    /// What is asked.
    pub(in crate::rooms::progress) question: Question,
    /// Its moments, once they are found.
    pub(in crate::rooms::progress) now: Option<Group<'a>>,
    /// Those of the days compared with, and how these are called.
    pub(in crate::rooms::progress) before: Option<(Earlier, Group<'a>)>,
    /// Whether it is of many horses.
    pub(in crate::rooms::progress) many: bool,
}

/// The moments of some days.
#[derive(Clone, Copy)]
pub(in crate::rooms::progress) struct Group<'a> {
    /// They, or the newest of them.
    pub(super) moments: &'a Moments,
    /// How many faults and how many clean attempts the line counts.
    counted: (u32, u32),
}

impl<'a> Group<'a> {
    /// Moments of the days compared with. Of days that are asked about as well there are none among
    /// them, while the line counts these too.
    pub(in crate::rooms::progress) fn before(
        moments: &'a Moments,
        counted: &Cell,
        question: &Question,
    ) -> Self {
        let shared = question
            .against
            .is_some_and(|days| question.days.share_a_day(days));
        if shared {
            let found = |list: &[FilmMoment]| u32::try_from(list.len()).unwrap_or(u32::MAX);
            let counted = (found(&moments.faults), found(&moments.clean));
            return Self { moments, counted };
        }
        Self::new(moments, counted)
    }

    /// Moments, and what the line counts in the same days.
    pub(in crate::rooms::progress) fn new(moments: &'a Moments, counted: &Cell) -> Self {
        let tally = counted.rate.tally;
        Self {
            moments,
            counted: (counted.faults, tally.attempts.saturating_sub(tally.faulty)),
        }
    }

    /// How many clean attempts there are.
    pub(super) fn clean(&self) -> u32 {
        let found = u32::try_from(self.moments.clean.len()).unwrap_or(u32::MAX);
        self.counted.1.max(found)
    }

    fn is_empty(&self) -> bool {
        self.moments.faults.is_empty() && self.moments.clean.is_empty()
    }
}

/// Draws the wall of a line's moments.
pub(in crate::rooms::progress) fn wall_ui(
    ui: &mut Ui,
    wall: &mut Wall,
    shown: &Shown<'_>,
    data: &ProgressData<'_>,
    out: &mut Vec<Action>,
) {
    if wall.of.as_ref() != Some(shown.exercise) {
        wall.of = Some(shown.exercise.clone());
        wall.choice = Choice::default();
    }
    let say = data.say;
    heading(ui, &say.plain("heading-moments"));
    // They are looked up when a line is opened, and are there in a moment.
    let Some(now) = shown.now else { return };
    let before = shown.before.filter(|(_, group)| !group.is_empty());
    if now.is_empty() && before.is_none() {
        soft(ui, say.plain("no-moments"));
        return;
    }
    let [play, pick] = [Command::PlayPause, Command::PickMoment];
    let [play, pick] = [play, pick].map(|command| key_name(ui, command, say));
    soft(
        ui,
        say.text(
            "moments-tip",
            &[("play", play.into()), ("pick", pick.into())],
        ),
    );
    let mut groups = vec![now];
    groups.extend(
        before
            .map(|(_, group)| group)
            .filter(|_| wall.choice.before),
    );
    let offered = before.map(|(earlier, group)| {
        let from = [now.moments, group.moments];
        (earlier, wall.choice.shown(group.moments, &from).len())
    });
    choice_ui(ui, &mut wall.choice, (&groups, offered), say);
    beside_bar_ui(ui, wall, (shown.exercise, &groups), say);
    let telling = Telling {
        question: shown.question,
        many: shown.many,
        data,
    };
    let mut seen = InSight {
        hands: Hands {
            now: ui.input(|input| input.time),
            moved: ui.input(|input| input.pointer.delta() != egui::Vec2::ZERO),
            ..Hands::default()
        },
        moments: Vec::new(),
    };
    let from: Vec<&Moments> = groups.iter().map(|group| group.moments).collect();
    for (at, group) in groups.iter().enumerate() {
        if let Some(days) = shown.question.against.filter(|_| at > 0) {
            let days = say.days(days);
            before_heading_ui(
                ui,
                &say.text("heading-moments-before", &[("days", days.into())]),
            );
        }
        let list = wall.choice.shown(group.moments, &from);
        group_ui(ui, wall, (at, *group, &list), &telling, (&mut seen, out));
    }
    if std::mem::take(&mut wall.refused) {
        let most = u32::try_from(MOST_TOGETHER).unwrap_or(u32::MAX);
        let text = say.text("moments-most", &[("most", most.into())]);
        out.push(Action::Tell(Box::new(Notice::told(text))));
    }
    // What came into sight is looked for with the next tick.
    if seen.hands.pressed || seen.moments != wall.sought {
        wall.sought.clone_from(&seen.moments);
        ui.request_repaint();
    }
    wall.seen = Some(seen);
}

/// The key of a command, as it stands in a sentence.
fn key_name(ui: &Ui, command: Command, say: &Say) -> String {
    match command.key_text(ui.ctx()) {
        key if key.is_empty() => say.plain("no-key"),
        key if key == egui::Key::Space.name() => say.plain("key-space"),
        key => key,
    }
}

fn before_heading_ui(ui: &mut Ui, text: &str) {
    ui.add_space(8.0);
    let ink = theme::tokens(ui).ink;
    let label = ui.label(RichText::new(text).font(theme::bold(13.5)).color(ink));
    label.widget_info(|| WidgetInfo::labeled(egui::Role::Heading, true, text));
}

/// The moments of some days: the first rows, or all that were found.
fn group_ui(
    ui: &mut Ui,
    wall: &mut Wall,
    (at, group, list): (usize, Group<'_>, &[&FilmMoment]),
    telling: &Telling<'_>,
    (seen, out): (&mut InSight, &mut Vec<Action>),
) {
    let say = telling.data.say;
    if list.is_empty() {
        soft(ui, say.plain("no-moments-so"));
        return;
    }
    let filmed = list.iter().take_while(|moment| moment.filmed).count();
    let (filmed, unfilmed) = list.split_at(filmed);
    let more = if telling.many { 16.0 } else { 0.0 };
    let grid = Grid::new(ui.available_width(), more);
    let first = (FIRST_ROWS * grid.columns).min(filmed.len());
    let first_lines = FIRST_LINES.min(unfilmed.len());
    let (tiles, lines) = if wall.choice.all[at] {
        (filmed.len(), unfilmed.len())
    } else {
        (first, first_lines)
    };
    if tiles > 0 {
        grid_ui(ui, wall, (&grid, &filmed[..tiles]), telling, (seen, out));
    }
    if lines > 0 {
        if tiles > 0 {
            let many = u32::try_from(unfilmed.len()).unwrap_or(u32::MAX);
            ui.add_space(4.0);
            let text = say.text("moments-unfilmed", &[("moments", many.into())]);
            soft(ui, text);
        }
        lines_ui(ui, &unfilmed[..lines], telling, out);
    }
    more_ui(
        ui,
        &mut wall.choice,
        (at, group, list.len()),
        first + first_lines,
        say,
    );
}

/// The pictures.
fn grid_ui(
    ui: &mut Ui,
    wall: &mut Wall,
    (grid, list): (&Grid, &[&FilmMoment]),
    telling: &Telling<'_>,
    (seen, out): (&mut InSight, &mut Vec<Action>),
) {
    let size = vec2(ui.available_width(), grid.height(list.len()));
    let (room, _) = ui.allocate_exact_size(size, egui::Sense::hover());
    let sight = ui.clip_rect();
    let in_sight = grid.between(list.len(), room.top(), (sight.top(), sight.bottom()));
    let around = (
        sight.top() - sight.height(),
        sight.bottom() + sight.height(),
    );
    let near = grid.between(list.len(), room.top(), around);
    let marked = wall.of.as_ref().map(|exercise| wall.chosen.of(exercise));
    let marking = marked.is_some_and(|own| !own.is_empty());
    for (at, moment) in list.iter().enumerate() {
        if at >= ALWAYS && !near.contains(&at) {
            continue;
        }
        if in_sight.contains(&at) {
            seen.moments.push((moment.id, moment.at));
        }
        let rect = grid.tile(room.min, at);
        let touched = one_ui(ui, wall, (moment, rect, marking), telling);
        let hands = &mut seen.hands;
        if touched.under_pointer {
            hands.pointer = Some(moment.id);
        }
        if touched.focused {
            hands.focus = Some(moment.id);
        }
        hands.pressed |= touched.pressed;
        if touched.opened {
            out.push(Action::OpenRide(moment.id.ride(), Some(moment.lead_in())));
        }
        if touched.marked {
            wall.turn(moment.id);
        }
    }
}

fn one_ui(
    ui: &mut Ui,
    wall: &Wall,
    (moment, rect, marking): (&FilmMoment, Rect, bool),
    telling: &Telling<'_>,
) -> Touched {
    let say = telling.data.say;
    let told = telling.tell(moment);
    let tile = Tile {
        rect,
        id: Id::unique(("moment", moment.id)),
        spoken: &told.spoken(say),
        told: &told,
        sign: sign_of(moment, theme::tokens(ui)),
        look: wall.look(moment.id),
        number: wall.chosen.number(moment.id),
        marking,
    };
    tile_ui(ui, &tile, say)
}

/// What is marked, and the way to see it side by side.
fn beside_bar_ui(
    ui: &mut Ui,
    wall: &mut Wall,
    (exercise, groups): (&WordId, &[Group<'_>]),
    say: &Say,
) {
    let chosen = wall.chosen.of(exercise);
    let lists = groups.iter().map(|group| group.moments);
    let all = lists.flat_map(|own| own.faults.iter().chain(&own.clean));
    // There before anything is marked, or the pictures would move away under the pointer.
    if chosen.is_empty() && all.filter(|moment| moment.filmed).count() < 2 {
        return;
    }
    // Wrapped: what is too wide here moves the whole panel out of the window.
    ui.horizontal_wrapped(|ui| {
        let many = u32::try_from(chosen.len()).unwrap_or(u32::MAX);
        let text = say.text("beside-these", &[("moments", many.into())]);
        let key = Command::Beside.key_text(ui.ctx());
        let button = ui.add_enabled(chosen.len() > 1, Button::new(text));
        let tip = if chosen.len() > 1 {
            say.text("beside-these-tip", &[("key", key.into())])
        } else if chosen.is_empty() {
            say.plain("beside-two")
        } else {
            say.plain("beside-one-more")
        };
        if button
            .on_hover_text(&tip)
            .on_disabled_hover_text(&tip)
            .clicked()
        {
            wall.asked_beside = Some(exercise.clone());
        }
        let none = Button::new(say.plain("beside-none"));
        if ui.add_enabled(!chosen.is_empty(), none).clicked() {
            wall.chosen.clear(exercise);
        }
        if chosen.len() < 2 {
            soft(ui, tip);
        }
    });
    ui.add_space(2.0);
}

/// A button for those that are not shown yet. Of very many only the newest are looked up; that is
/// said, or the rest would seem not to be.
fn more_ui(
    ui: &mut Ui,
    choice: &mut Choice,
    (at, group, found): (usize, Group<'_>, usize),
    first: usize,
    say: &Say,
) {
    let many = u32::try_from(found).unwrap_or(u32::MAX);
    let (faults, clean) = group.counted;
    let counted = if choice.shows_clean(group.moments) {
        faults.saturating_add(clean)
    } else {
        faults
    };
    let capped = found >= MOST_SHOWN && counted > many;
    ui.add_space(4.0);
    if !choice.all[at] && found > first {
        let text = if capped {
            say.text(
                "newest-moments",
                &[("moments", many.into()), ("all", counted.into())],
            )
        } else {
            say.text("all-moments", &[("moments", many.into())])
        };
        choice.all[at] = ui.button(text).clicked();
    } else if capped {
        let text = say.text(
            "moments-capped",
            &[("moments", many.into()), ("all", counted.into())],
        );
        soft(ui, text);
    }
}
