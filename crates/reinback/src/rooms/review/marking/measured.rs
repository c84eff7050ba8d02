//! What was measured on the frame on screen becomes a mark.

use reinback_yard::{Edit, IdMaker, Mark, MarkId, MarkKind, Measured};

use super::{Marking, Refusal, Step};
use crate::action::Chosen;

impl Marking<'_> {
    /// Keeps what was measured on the frame on screen: as a new mark, or as the new points of one
    /// that is there.
    ///
    /// # Errors
    /// The film plays, or the mark is gone.
    pub fn keep_measured(
        &self,
        measured: Measured,
        mark: Option<MarkId>,
        ids: &mut IdMaker,
    ) -> Result<Step, Refusal> {
        if self.hand.speed.is_some() {
            return Err("Pause first: a frame is measured while it stands".into());
        }
        let kind = MarkKind::Measured(Box::new(measured));
        let Some(id) = mark else {
            let bout = self.current().map(|bout| bout.id);
            return Ok(self.mark("measure".into(), kind, bout, ids));
        };
        let own = self.ride.marks.iter().find(|own| own.id == id);
        let own = own.ok_or("This mark is no longer in the ride")?;
        let changed = Mark {
            kind,
            ..own.clone()
        };
        Ok(Step {
            label: "change what is measured".into(),
            edit: Edit::Mark(self.ride.id, id, Some(changed)),
            choose: Some(Chosen::Mark(id)),
        })
    }
}
