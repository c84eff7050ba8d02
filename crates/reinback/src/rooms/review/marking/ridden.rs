//! How the current exercise is ridden: on which rein, in which variant, and whether it counts.

use reinback_yard::{Bout, Rein};

use super::{Marking, Refusal, Step};

impl Marking<'_> {
    /// Says on which rein the current bout is ridden; the same rein again says nothing.
    ///
    /// # Errors
    /// There is no bout at this moment.
    pub fn set_rein(&self, rein: Rein) -> Result<Step, Refusal> {
        let word = match rein {
            Rein::Left => "left rein",
            Rein::Right => "right rein",
        };
        self.change(word, |bout| {
            bout.rein = (bout.rein != Some(rein)).then_some(rein);
        })
    }

    /// Goes to the next variant of the current exercise, after the last one to none.
    ///
    /// # Errors
    /// There is no bout at this moment, or its exercise has no variants.
    pub fn next_variant(&self) -> Result<Step, Refusal> {
        let variants = self
            .exercise()
            .map_or(&[][..], |exercise| &exercise.variants);
        if self.current().is_some() && variants.is_empty() {
            return Err("This exercise has no variants".into());
        }
        self.change("change variant", |bout| {
            let at = bout
                .variant
                .as_ref()
                .and_then(|v| variants.iter().position(|word| word.id == *v));
            bout.variant = variants
                .get(at.map_or(0, |at| at + 1))
                .map(|word| word.id.clone());
        })
    }

    /// The variant on a key (1 to 9) of the current exercise; the same again: none.
    ///
    /// # Errors
    /// There is no bout at this moment, or the key has no variant.
    pub fn variant_on_key(&self, key: usize) -> Result<Step, Refusal> {
        let variants = self
            .exercise()
            .map_or(&[][..], |exercise| &exercise.variants);
        let word = variants.get(key.wrapping_sub(1));
        if self.current().is_some() && word.is_none() {
            return Err(format!("This exercise has no variant {key}"));
        }
        let word = word.map(|word| word.id.clone());
        self.change("change variant", |bout| {
            bout.variant = word.filter(|word| bout.variant.as_ref() != Some(word));
        })
    }

    /// Takes the current bout out of the rates, or back in.
    ///
    /// # Errors
    /// There is no bout at this moment, or it is still running.
    pub fn toggle_reviewed(&self) -> Result<Step, Refusal> {
        if self.current().is_some_and(|bout| bout.to.is_none()) {
            return Err("A running exercise counts once it has ended ({EndBout})".into());
        }
        self.change("change what counts", |bout| bout.reviewed = !bout.reviewed)
    }

    pub(super) fn change(
        &self,
        label: &str,
        change: impl FnOnce(&mut Bout),
    ) -> Result<Step, Refusal> {
        let mut bout = self
            .current()
            .ok_or("No exercise at this moment; type its letters to start one")?
            .clone();
        change(&mut bout);
        Ok(Step {
            label: label.to_owned(),
            edit: self.bout_edit(bout),
            choose: self.chosen,
        })
    }
}
