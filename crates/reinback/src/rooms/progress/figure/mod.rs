//! How a figure is shown: a plot with its legend, or its table; copied and saved from a menu.
//!
//! - `plot`: the picture, what is pointed at in it, and looking closer
//! - `legend`: its layers, each of which can be switched off
//! - `table`: its numbers in rows
//! - `menu`: copying and saving
//! - `paint`: the parts of a figure on the screen

mod legend;
mod menu;
mod paint;
mod plot;
mod table;

pub(super) use paint::band;

use std::collections::{BTreeMap, BTreeSet};

use egui::{Align, Layout, Pos2, Ui};

use super::detail::heading_label;
use crate::action::Action;
use crate::figure::layout::View;
use crate::figure::{Figure, Pick};
use crate::report::figures::Leading;
use crate::said::Say;
use crate::widgets::icon::{Icon, icon_button, icon_toggle};

/// What the window remembers of its figures, each by a name of its own.
#[derive(Default)]
pub(super) struct Figures(BTreeMap<String, FigureState>);

impl Figures {
    /// What is remembered of one; a new one is a plot with all of its layers.
    pub(super) fn of(&mut self, name: &str) -> &mut FigureState {
        self.0.entry(name.to_owned()).or_default()
    }

    /// The same, but at first without these layers.
    pub(super) fn of_quiet(&mut self, name: &str, quiet: &[String]) -> &mut FigureState {
        let quiet = quiet.iter().cloned();
        self.0
            .entry(name.to_owned())
            .or_insert_with(|| FigureState {
                off: quiet.collect(),
                ..FigureState::default()
            })
    }
}

/// What the window remembers of a figure.
#[derive(Debug, Default)]
pub(super) struct FigureState {
    /// Its table instead of its plot.
    table: bool,
    /// Names of layers that are switched off.
    off: BTreeSet<String>,
    /// What is looked at closer, and the whole that it is a part of.
    closer: Option<(View, View)>,
    /// Where a box around what to look at begins.
    from: Option<Pos2>,
}

impl FigureState {
    /// The places of the layers that are switched off.
    fn off(&self, figure: &Figure) -> BTreeSet<usize> {
        let off = figure
            .legend()
            .filter(|(_, layer)| self.off.contains(&layer.name));
        off.map(|(at, _)| at).collect()
    }
}

/// How a figure is shown.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shown<'a> {
    /// Its name among all that are on screen at once.
    pub(super) name: &'a str,
    /// Height of the plot in points, with what is written along its axes.
    pub(super) height: f32,
    /// What a press on a mark or a row does, in words; nothing if it does nothing.
    pub(super) opens: Option<&'a str>,
    /// Which marks and rows do; all of them where that is not said.
    pub(super) leading: Option<&'a Leading>,
    /// What stands beside its buttons.
    pub(super) beside: Beside<'a>,
}

/// What stands beside the buttons of a figure.
#[derive(Clone, Copy, Debug)]
pub(super) enum Beside<'a> {
    /// Its legend.
    Legend,
    /// The heading it stands under; a legend follows below.
    Heading(&'a str),
    /// Words that lead to it; a legend follows below.
    Words(&'a str),
}

impl<'a> Shown<'a> {
    /// What a press does, if it does something.
    fn opens(&self, pressed: Pressed) -> Option<&'a str> {
        let leads = |leading: &Leading| match pressed {
            Pressed::Mark(pick) => leading.of_mark(pick).is_some(),
            Pressed::Row(row) => leading.of_row(row).is_some(),
        };
        self.opens.filter(|_| self.leading.is_none_or(leads))
    }
}

/// What was pressed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Pressed {
    /// A dot, a box or an event.
    Mark(Pick),
    /// A row of the table.
    Row(usize),
}

/// Draws a figure over the width there is; gives what was pressed in it.
pub(super) fn figure_ui(
    ui: &mut Ui,
    figure: &Figure,
    shown: Shown<'_>,
    state: &mut FigureState,
    say: &Say,
    out: &mut Vec<Action>,
) -> Option<Pressed> {
    ui.push_id(("figure", shown.name), |ui| {
        head_ui(ui, figure, shown, state, say, out);
        if state.table {
            table::table_ui(ui, &figure.table, shown).map(Pressed::Row)
        } else {
            plot::plot_ui(ui, figure, shown, state).map(Pressed::Mark)
        }
    })
    .inner
}

/// The buttons at the right; at their left what stands beside them.
fn head_ui(
    ui: &mut Ui,
    figure: &Figure,
    shown: Shown<'_>,
    state: &mut FigureState,
    say: &Say,
    out: &mut Vec<Action>,
) {
    ui.horizontal_top(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Min), |ui| {
            ui.spacing_mut().item_spacing.x = 2.0;
            menu::menu_ui(ui, figure, shown, state, say, out);
            let table = say.text(
                "figure-as-table",
                &[("figure", figure.title.as_str().into())],
            );
            if icon_toggle(ui, Icon::Table, &table, state.table).clicked() {
                state.table = !state.table;
            }
            if !state.table && state.closer.is_some() {
                let whole = say.text("figure-whole", &[("figure", figure.title.as_str().into())]);
                if icon_button(ui, Icon::Fit, &whole, true).clicked() {
                    state.closer = None;
                }
            } else if !state.table && !figure.to_scale {
                // Its place is kept, so that nothing moves beneath the pointer that looks closer.
                ui.add_space(ui.spacing().interact_size.y + ui.spacing().item_spacing.x);
            }
            let room = ui.available_size_before_wrap();
            let layout = Layout::left_to_right(Align::Min).with_main_wrap(true);
            ui.allocate_ui_with_layout(egui::vec2(room.x, 0.0), layout, |ui| {
                ui.set_width(room.x);
                match shown.beside {
                    Beside::Legend => shown_legend_ui(ui, figure, state),
                    Beside::Heading(text) => heading_label(ui, text),
                    Beside::Words(text) => {
                        ui.label(text);
                    }
                }
            });
        });
    });
    if !matches!(shown.beside, Beside::Legend) && figure.legend().next().is_some() {
        ui.horizontal_wrapped(|ui| shown_legend_ui(ui, figure, state));
    }
}

/// The legend of a plot; a table needs none.
fn shown_legend_ui(ui: &mut Ui, figure: &Figure, state: &mut FigureState) {
    if !state.table {
        legend::legend_ui(ui, figure, state);
    }
}
