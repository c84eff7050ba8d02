//! The panel beside the film with the plan of the arena.

use egui::{
    Align2, Button, DragValue, FontId, Painter, Pos2, Rect, Response, RichText, Sense, Shape,
    Stroke, TextEdit, Ui, WidgetInfo, pos2, vec2,
};
use reinback_analysis::place::{Arena, Course, Letter, Place};
use reinback_yard::{Bout, Mark};

use super::{
    Clicked, Layout, Plan, Shown, Step, arena_of, own_bout, own_mark, set_arena, set_letters,
    set_place, typed_letter,
};
use crate::action::{Action, Chosen};
use crate::clock;
use crate::command::Command;
use crate::counted::counted;
use crate::keys;
use crate::rooms::review::strip::names::mark_name;
use crate::rooms::review::strip::paint::sign_at;
use crate::rooms::review::strip::signs::{SignShape, is_about};
use crate::rooms::review::{ReviewData, bout_name};
use crate::theme::{self, Tokens};
use crate::widgets::{Icon, icon_button};

/// How near something the pointer finds it, in points of the screen. Our own choice.
const REACH: f32 = 8.0;
/// The side of a mark's sign.
const SIGN: f32 = 11.0;
/// Width of a field for one letter.
const LETTER: f32 = 34.0;
/// Length of the head of an arrow.
const HEAD: f32 = 11.0;
/// Metres from which a number that nobody has said is dragged: as far outside as a place may lie,
/// so that a nought that is typed is another.
const UNKNOWN: f64 = -1.0;
/// What stands below the plan needs this height.
const BELOW: f32 = 168.0;

/// Draws the panel's content.
pub(in crate::rooms::review) fn panel_ui(
    ui: &mut Ui,
    plan: &mut Plan,
    chosen: Option<Chosen>,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Plan of the arena").font(theme::bold(17.0)));
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if icon_button(ui, Icon::Close, "Put the plan away", true).clicked() {
                out.push(Action::Run(Command::Plan));
            }
        });
    });
    size_ui(ui, data, out);
    let shown = Shown::of(data.ride, data.review);
    let height = (ui.available_height() - BELOW).max(260.0);
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), height), Sense::click());
    let layout = Layout::new(rect, arena_of(data.ride));
    let begun = plan.begun(chosen);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Canvas, true, described(&shown, data)));
    let pen = Pen {
        painter: ui.painter_at(rect),
        layout,
        tokens: theme::tokens(ui),
    };
    pen.ground();
    pen.letters(&shown, begun);
    pen.bouts(&shown, chosen);
    pen.marks(&shown, chosen, data);
    let response = hover_ui(response, &layout, &shown, data);
    if response.clicked()
        && let Some(at) = response.interact_pointer_pos()
    {
        let within = f64::from(REACH / layout.scale);
        let of = (data.ride, data.review);
        match plan.click(of, chosen, layout.place(at), within) {
            Clicked::Change(label, edit) => out.push(Action::Edit(label.into(), edit)),
            Clicked::Choose(found) => out.push(Action::Choose(Some(found))),
            Clicked::Nothing => {}
        }
    }
    chosen_ui(ui, plan, chosen, data, out);
    ui.add_space(2.0);
    soft(ui, &summary(&shown));
}

fn soft(ui: &mut Ui, text: &str) {
    let ink = theme::tokens(ui).ink_soft;
    ui.label(RichText::new(text).size(13.0).color(ink));
}

fn push(out: &mut Vec<Action>, step: Option<Step>) {
    out.extend(step.map(|(label, edit)| Action::Edit(label.into(), edit)));
}

fn size_ui(ui: &mut Ui, data: &ReviewData<'_>, out: &mut Vec<Action>) {
    let known = data.ride.head.arena;
    ui.horizontal(|ui| {
        for (arena, text) in [
            (Arena::Standard, "20 by 60 m"),
            (Arena::Small, "20 by 40 m"),
        ] {
            let button = Button::selectable(known == Some(arena), text);
            if ui.add_enabled(data.writable, button).clicked() {
                push(out, set_arena(data.ride, arena));
            }
        }
        if known.is_none() {
            soft(ui, "not said yet");
        }
    });
}

/// What is chosen, and where that was, to be typed.
fn chosen_ui(
    ui: &mut Ui,
    plan: &mut Plan,
    chosen: Option<Chosen>,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    ui.add_enabled_ui(data.writable, |ui| match chosen {
        Some(Chosen::Bout(id)) => {
            if let Some(bout) = own_bout(data.ride, data.review, id) {
                bout_ui(ui, plan, bout, data, out);
            }
        }
        Some(Chosen::Mark(id)) => {
            if let Some(mark) = own_mark(data.ride, data.review, id) {
                mark_ui(ui, plan, mark, data, out);
            }
        }
        _ => {
            let text = "Choose an exercise or a mark, here, on the strip or with {PreviousMark} and {NextMark}; then click where it was.";
            soft(ui, &keys::map(ui.ctx()).in_text(text, ui.ctx()));
        }
    });
}

fn name_ui(ui: &mut Ui, name: &str, next: &str) {
    let name = RichText::new(name).font(theme::bold(14.0));
    ui.add(egui::Label::new(name).truncate());
    soft(ui, next);
}

fn bout_ui(
    ui: &mut Ui,
    plan: &mut Plan,
    bout: &Bout,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let arena = arena_of(data.ride);
    let name = format!(
        "{}, {}",
        bout_name(data.words(), bout),
        clock::short(bout.from)
    );
    let next = match plan.begun(Some(Chosen::Bout(bout.id))) {
        Some(from) => format!("From {from}: click the letter where it ended"),
        None => "Click the letter where it began, then where it ended".to_owned(),
    };
    name_ui(ui, &name, &next);
    let find = |letter: Option<char>| letter.and_then(|own| super::find(arena, own));
    let ends = (find(bout.letters.0), find(bout.letters.1));
    // Of the larger arena too: a letter that this one does not have is not lost for that.
    let known = |letter: Option<char>| letter.and_then(Letter::from_char);
    let letters = (known(bout.letters.0), known(bout.letters.1));
    ui.horizontal(|ui| {
        ui.label("From");
        let from = letter_ui(ui, arena, bout.letters.0, "Letter where it began");
        ui.label("to");
        let to = letter_ui(ui, arena, bout.letters.1, "Letter where it ended");
        let changed = |typed: Typed, known: Option<Letter>| match typed {
            Typed::Nothing => known,
            Typed::Emptied => None,
            Typed::Letter(letter) => Some(letter),
        };
        let now = (changed(from, letters.0), changed(to, letters.1));
        if now != letters {
            plan.from = None;
            push(out, set_letters(data.ride, bout, now));
        }
        if let (Some((_, from)), Some((_, to))) = ends
            && let Some(course) = from.course(to)
        {
            ui.label(line_text(course));
        }
    });
}

/// What was typed into a field for a letter.
#[derive(Clone, Copy)]
enum Typed {
    /// Nothing, or a letter that this arena does not have.
    Nothing,
    /// The field was emptied.
    Emptied,
    /// A letter.
    Letter(Letter),
}

/// A field for one letter.
fn letter_ui(ui: &mut Ui, arena: Arena, letter: Option<char>, name: &str) -> Typed {
    let mut text = letter.map(String::from).unwrap_or_default();
    let response = ui.add(TextEdit::singleline(&mut text).desired_width(LETTER));
    response.widget_info(|| WidgetInfo::labeled(egui::Role::TextInput, true, name));
    match (response.changed(), typed_letter(arena, &text)) {
        (true, Some(letter)) => Typed::Letter(letter),
        (true, None) if text.is_empty() => Typed::Emptied,
        _ => Typed::Nothing,
    }
}

fn mark_ui(
    ui: &mut Ui,
    plan: &mut Plan,
    mark: &Mark,
    data: &ReviewData<'_>,
    out: &mut Vec<Action>,
) {
    let name = format!(
        "{}, {}",
        mark_name(data.words(), data.ride, mark),
        clock::short(mark.at)
    );
    let own = mark.place.map(reinback_yard::ArenaPlace::place);
    let next = if own.is_some() {
        "Click where it was, to move it there"
    } else {
        "Click where it was"
    };
    name_ui(ui, &name, next);
    let of = (data.ride, data.review);
    let whole = |typed: &[Option<f64>; 2]| typed.iter().all(Option::is_some);
    // Half of a place is forgotten where a click has said the whole of it.
    plan.typed = plan
        .typed
        .filter(|(id, typed)| *id == mark.id && (own.is_none() || whole(typed)));
    let (width, length) = arena_of(data.ride).size();
    let known = own.map_or([None; 2], |own| [Some(own.x), Some(own.y)]);
    let mut typed = plan.typed.map_or(known, |(_, typed)| typed);
    ui.horizontal_wrapped(|ui| {
        let (mut changed, mut done) = (false, false);
        for (at, most, name, label) in [
            (0, width, "Metres from the side of K", "from K's side"),
            (1, length, "Metres from A", "from A"),
        ] {
            let value: &mut Option<f64> = &mut typed[at];
            let known = value.is_some();
            let mut metres = value.unwrap_or(UNKNOWN);
            let number = DragValue::new(&mut metres)
                .custom_formatter(move |metres, _| {
                    if known {
                        format!("{metres:.1}")
                    } else {
                        "–".into()
                    }
                })
                .speed(0.1)
                .range(-1.0..=most + 1.0)
                .suffix(" m");
            let response = ui.add(number);
            response.widget_info(|| WidgetInfo::labeled(egui::Role::SpinButton, true, name));
            if response.changed() {
                *value = Some(metres);
                changed = true;
            }
            // One step for one drag or one number typed.
            done |= response.drag_stopped() || response.lost_focus();
            ui.label(label);
        }
        if changed {
            plan.typed = Some((mark.id, typed));
        }
        // A place is known by both of its numbers only.
        if let [Some(x), Some(y)] = typed
            && done
            && plan.typed.take().is_some()
        {
            push(out, set_place(of, mark.id, Some(Place { x, y })));
        }
        if own.is_some() && ui.button("Take away").clicked() {
            push(out, set_place(of, mark.id, None));
        }
    });
}

/// "31.2 m, 39.8° to the long side".
fn line_text(course: Course) -> String {
    format!(
        "{:.1} m, {:.1}° to the long side",
        course.length, course.to_long_side
    )
}

/// What is counted, in words.
fn summary(shown: &Shown) -> String {
    let mut parts = Vec::new();
    if !shown.faults.is_empty() {
        let counts: Vec<String> = shown
            .faults
            .iter()
            .map(|(letter, times)| format!("{letter} {times}"))
            .collect();
        parts.push(format!("Faults by letter: {}", counts.join(", ")));
    }
    let count = |number: u32| counted(number as usize, "fault", "faults");
    if shown.unplaced > 0 {
        parts.push(format!("{} without a place", count(shown.unplaced)));
    }
    if shown.outside > 0 {
        parts.push(format!("{} outside this arena", count(shown.outside)));
    }
    if !shown.strange.is_empty() {
        let letters: String = shown.strange.iter().collect();
        parts.push(format!("this arena has no {letters}"));
    }
    if parts.is_empty() {
        return "No fault has a place yet.".into();
    }
    format!(
        "{}. Counts only: how often a place was passed is not known.",
        parts.join("; ")
    )
}

/// What there is to see, for those who do not see it.
fn described(shown: &Shown, data: &ReviewData<'_>) -> String {
    let (width, length) = arena_of(data.ride).size();
    format!(
        "Plan of the arena, {width} by {length} metres, A below: {} and {}",
        counted(shown.marks.len(), "mark", "marks"),
        counted(shown.bouts.len(), "exercise", "exercises"),
    )
}

fn hover_ui(response: Response, layout: &Layout, shown: &Shown, data: &ReviewData<'_>) -> Response {
    let Some(at) = response.hover_pos() else {
        return response;
    };
    let within = f64::from(REACH / layout.scale);
    let text = match shown.near(layout.place(at), within) {
        Some(Chosen::Mark(id)) => own_mark(data.ride, data.review, id).map(|mark| {
            let name = mark_name(data.words(), data.ride, mark);
            format!("{} {name}", clock::short(mark.at))
        }),
        Some(Chosen::Bout(id)) => own_bout(data.ride, data.review, id).map(|bout| {
            let ridden = shown.bouts.iter().find(|own| own.bout == id);
            let line = ridden.map_or_else(String::new, |own| {
                let course = own
                    .course
                    .map_or_else(String::new, |course| format!(", {}", line_text(course)));
                format!("\n{} to {}{course}", own.from.0, own.to.0)
            });
            let name = bout_name(data.words(), bout);
            format!("{} {name}{line}", clock::short(bout.from))
        }),
        _ => None,
    };
    match text {
        Some(text) => response.on_hover_text_at_pointer(text),
        None => response,
    }
}

struct Pen {
    painter: Painter,
    layout: Layout,
    tokens: &'static Tokens,
}

impl Pen {
    fn ground(&self) {
        let fence = self.layout.fence;
        let (width, length) = self.layout.arena.size();
        self.painter.rect_filled(fence, 0.0, self.tokens.field);
        let hair = Stroke::new(1.0, self.tokens.line);
        let at = |x: f64, y: f64| self.layout.screen(Place { x, y });
        // The centre line whole, the quarter lines (half-way between it and the wall) dashed.
        self.painter
            .line_segment([at(width / 2.0, 0.0), at(width / 2.0, length)], hair);
        for x in [width / 4.0, width * 0.75] {
            let dashes = Shape::dashed_line(&[at(x, 0.0), at(x, length)], hair, 4.0, 5.0);
            self.painter.extend(dashes);
        }
        self.painter.rect_stroke(
            fence,
            0.0,
            Stroke::new(2.0, self.tokens.ink_soft),
            egui::StrokeKind::Outside,
        );
    }

    /// Letters outside the fence, those of the centre line on it; with the faults counted there.
    fn letters(&self, shown: &Shown, begun: Option<Letter>) {
        let (width, length) = self.layout.arena.size();
        for (letter, place) in self.layout.arena.letters() {
            let at = self.layout.screen(*place);
            let on_fence = |edge: f64, at: f64| (edge - at).abs() < 1e-9;
            let (offset, align) = if on_fence(0.0, place.x) {
                (vec2(-8.0, 0.0), Align2::RIGHT_CENTER)
            } else if on_fence(width, place.x) {
                (vec2(8.0, 0.0), Align2::LEFT_CENTER)
            } else if on_fence(0.0, place.y) {
                (vec2(0.0, 5.0), Align2::CENTER_TOP)
            } else if on_fence(length, place.y) {
                (vec2(0.0, -5.0), Align2::CENTER_BOTTOM)
            } else {
                (vec2(5.0, 0.0), Align2::LEFT_CENTER)
            };
            let inner = !on_fence(0.0, place.x)
                && !on_fence(width, place.x)
                && !on_fence(0.0, place.y)
                && !on_fence(length, place.y);
            let faults = shown.faults.iter().find(|(own, _)| own == letter);
            let text = match (faults, align == Align2::RIGHT_CENTER) {
                (None, _) => letter.to_string(),
                (Some((_, times)), true) => format!("{times}× {letter}"),
                (Some((_, times)), false) => format!("{letter} ×{times}"),
            };
            let (font, ink) = if inner {
                (FontId::proportional(11.5), self.tokens.ink_soft)
            } else {
                (theme::bold(14.0), self.tokens.ink)
            };
            if begun == Some(*letter) {
                let ring = Stroke::new(2.5, self.tokens.leather);
                self.painter.circle_stroke(at, 8.0, ring);
            }
            self.painter.circle_filled(at, 2.0, ink);
            self.painter.text(at + offset, align, text, font, ink);
        }
    }

    fn bouts(&self, shown: &Shown, chosen: Option<Chosen>) {
        for own in &shown.bouts {
            let here = chosen == Some(Chosen::Bout(own.bout));
            let (width, ink) = if here {
                (3.0, self.tokens.leather)
            } else {
                (1.5, self.tokens.ink_soft)
            };
            let (from, to) = (self.layout.screen(own.from.1), self.layout.screen(own.to.1));
            if own.course.is_none() {
                self.painter
                    .circle_stroke(from, 6.0, Stroke::new(width, ink));
            } else {
                self.arrow(from, to, Stroke::new(width, ink));
            }
        }
    }

    fn arrow(&self, from: Pos2, to: Pos2, stroke: Stroke) {
        let along = (to - from).normalized();
        let foot = to - along * HEAD;
        self.painter.line_segment([from, foot], stroke);
        let aside = along.rot90() * (HEAD * 0.42);
        let head = vec![to, foot + aside, foot - aside];
        self.painter
            .add(Shape::convex_polygon(head, stroke.color, Stroke::NONE));
    }

    fn marks(&self, shown: &Shown, chosen: Option<Chosen>, data: &ReviewData<'_>) {
        for (id, place) in &shown.marks {
            let Some(mark) = own_mark(data.ride, data.review, *id) else {
                continue;
            };
            let at = self.layout.screen(*place);
            let sign = Rect::from_center_size(at, vec2(SIGN, SIGN));
            let shape = SignShape::of(&mark.kind);
            sign_at(&self.painter, sign, shape, is_about(mark), self.tokens);
            if chosen == Some(Chosen::Mark(*id)) {
                let ring = Stroke::new(2.0, self.tokens.leather);
                self.painter.circle_stroke(pos2(at.x, at.y), SIGN, ring);
            }
        }
    }
}
