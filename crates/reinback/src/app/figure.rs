//! Figures and their tables, copied and written as files.

use std::path::{Path, PathBuf};

use egui::{ColorImage, Context, Theme};

use super::export::write_whole;
use super::file_name::file_name;
use super::{App, Event, Purpose};
use crate::action::{FigureCopy, FigureFile, FigureShown, FigureStep};
use crate::figure::png::{self, PictureError};
use crate::figure::{Sheet, svg};
use crate::notice::Notice;
use crate::said::Say;
use crate::services::Question;
use crate::theme::Tokens;

/// Width of a picture in a file, in points.
const WIDTH: f32 = 720.0;

/// What is on its way to the clipboard.
#[derive(Debug)]
pub(super) enum Copied {
    /// Pixels.
    Picture(ColorImage),
    /// Rows with tabs.
    Table(String),
}

impl App {
    /// Copies a figure or its table, or asks where it should be written.
    pub(super) fn order_figure(&mut self, step: FigureStep, shown: Box<FigureShown>) {
        match step {
            FigureStep::Copy(what) => self.copy_figure(what, shown),
            FigureStep::Save(file) => self.ask_for_figure(file, shown),
        }
    }

    fn copy_figure(&mut self, what: FigureCopy, shown: Box<FigureShown>) {
        let say = self.say.clone();
        let task = self.tasks.start("figure", move |control| {
            control.send(Event::FigureCopied(copied(what, &shown, &say)));
        });
        self.keep(task);
    }

    fn ask_for_figure(&mut self, file: FigureFile, shown: Box<FigureShown>) {
        let (ending, title) = match file {
            FigureFile::Png => ("png", self.say.plain("figure-title-picture")),
            FigureFile::Svg => ("svg", self.say.plain("figure-title-picture")),
            FigureFile::Csv => ("csv", self.say.plain("figure-title-table")),
        };
        let name = file_name(&[&shown.figure.title], ending);
        self.ask(
            Purpose::Figure(file, shown),
            Question::SaveAs {
                title: title.into(),
                name,
                ending,
                folder: None,
            },
        );
    }

    /// Draws and writes what was asked for, on a thread.
    pub(super) fn write_figure(&mut self, file: FigureFile, shown: FigureShown, path: PathBuf) {
        let say = self.say.clone();
        let task = self.tasks.start("figure", move |control| {
            let written = bytes(file, &shown, &say)
                .and_then(|bytes| write_whole(&path, &bytes).map_err(|error| error.to_string()));
            control.send(Event::FigureWritten(path, written));
        });
        self.keep(task);
    }

    pub(super) fn figure_written(&mut self, path: &Path, written: &Result<(), String>) {
        let name = path.file_name().unwrap_or(path.as_os_str());
        let name = name.to_string_lossy();
        let say = &self.say;
        self.tell(match written {
            Ok(()) => Notice::told(say.text("figure-written", &[("file", name.into())])),
            Err(why) => {
                let text = say.text(
                    "figure-not-written",
                    &[("file", name.into()), ("why", why.as_str().into())],
                );
                Notice::trouble(text).next(say.plain("figure-not-written-next"))
            }
        });
    }

    pub(super) fn figure_copied(&mut self, ctx: &Context, copied: Result<Copied, String>) {
        let say = &self.say;
        self.tell(match copied {
            Ok(Copied::Picture(picture)) => {
                ctx.copy_image(picture);
                Notice::told(say.plain("figure-copied-picture"))
            }
            Ok(Copied::Table(table)) => {
                ctx.copy_text(table);
                Notice::told(say.plain("figure-copied-table"))
            }
            Err(why) => Notice::trouble(say.text("figure-not-copied", &[("why", why.into())])),
        });
    }
}

/// Pictures that leave the window are on paper, whatever the window's theme.
fn sheet(shown: &FigureShown) -> Sheet<'static> {
    Sheet {
        size: [WIDTH, shown.height],
        tokens: Tokens::of(Theme::Light),
        heading: true,
    }
}

fn bytes(file: FigureFile, shown: &FigureShown, say: &Say) -> Result<Vec<u8>, String> {
    let figure = &shown.figure;
    match file {
        FigureFile::Svg => Ok(svg(figure, &sheet(shown)).into_bytes()),
        FigureFile::Csv => figure.table.csv().map_err(|error| error.to_string()),
        FigureFile::Png => png::png(figure, &sheet(shown)).map_err(|error| said(&error, say)),
    }
}

fn copied(what: FigureCopy, shown: &FigureShown, say: &Say) -> Result<Copied, String> {
    match what {
        FigureCopy::Table => {
            let table = shown.figure.table.tabbed();
            table.map(Copied::Table).map_err(|error| error.to_string())
        }
        FigureCopy::Picture => {
            let drawn = png::pixels(&shown.figure, &sheet(shown));
            let drawn = drawn.map_err(|error| said(&error, say))?;
            let picture = ColorImage::from_rgba_premultiplied(drawn.size, &drawn.rgba);
            Ok(Copied::Picture(picture))
        }
    }
}

fn said(error: &PictureError, say: &Say) -> String {
    match error {
        PictureError::TooLarge => say.plain("figure-too-large"),
        PictureError::Vectors(_) | PictureError::Png(_) => {
            log::error!("{error}");
            say.plain("figure-not-drawn")
        }
    }
}
