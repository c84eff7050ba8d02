//! The open line, and its figures: made once for an answer, a line and a language.

use std::sync::Arc;

use reinback_yard::WordId;

use super::chart::{LineFigures, WholeFigures};
use super::{ProgressView, Wanted};
use crate::report::moments::Moments;
use crate::report::numbers::{Line, Question};
use crate::report::whole::Whole;
use crate::said::{Earlier, Language, Say};

/// What the figures of a line were made of: the answer, the line, the language.
pub(super) type DrawnOf = (Wanted, Option<WordId>, Language);

/// The same for those that rest on the whole horse.
pub(super) type DrawnOfWhole = (Arc<Whole>, Option<WordId>, Language);

/// The line that is open, and what belongs to it.
pub(super) struct OpenLine<'a> {
    pub(super) line: &'a Line,
    /// Its film moments, once they are found, and those of the days compared with.
    pub(super) moments: Option<&'a Moments>,
    pub(super) before: &'a Moments,
    /// What is asked.
    pub(super) question: Question,
    /// Which days it is compared with.
    pub(super) earlier: Option<Earlier>,
}

impl ProgressView {
    /// The open line, and its film moments once they are found.
    pub(super) fn open_line(&self) -> Option<OpenLine<'_>> {
        let ((wanted, counted), open) = (self.counted()?, self.open.as_ref()?);
        let line = counted
            .numbers
            .lines
            .iter()
            .find(|line| line.exercise == *open)?;
        let found = wanted.open.as_ref() == Some(open);
        Some(OpenLine {
            line,
            moments: found.then_some(&counted.moments),
            before: &counted.before,
            question: counted.numbers.question,
            earlier: counted.earlier(),
        })
    }

    /// The figures of the open line; made anew where the answer, the line or the language is
    /// another.
    pub(super) fn line_figures(&mut self, say: &Say) -> Option<Arc<LineFigures>> {
        let (wanted, counted) = self.counted()?;
        let of = (wanted.clone(), self.open.clone(), say.language());
        if let Some((made, figures)) = &self.drawn
            && *made == of
        {
            return Some(figures.clone());
        }
        let line = self.open_line()?.line;
        // The answer may still be that of the line that was open before.
        let tempo = (wanted.open == self.open).then_some(&counted.tempo);
        let figures = Arc::new(LineFigures::new(line, &counted.happened, tempo, say));
        self.drawn = Some((of, figures.clone()));
        Some(figures)
    }

    /// Those that rest on the whole horse; nothing until that has been looked at.
    pub(super) fn whole_figures(&mut self, say: &Say) -> Option<Arc<WholeFigures>> {
        let whole = self.whole.whole(self.horse())?;
        let of = (self.open.clone(), say.language());
        if let Some(((made, open, language), figures)) = &self.drawn_whole
            && Arc::ptr_eq(made, &whole)
            && (open, *language) == (&of.0, of.1)
        {
            return Some(figures.clone());
        }
        let line = self.open_line()?.line;
        let figures = Arc::new(WholeFigures::new(line, &whole, say));
        self.drawn_whole = Some(((whole, of.0, of.1), figures.clone()));
        Some(figures)
    }
}
