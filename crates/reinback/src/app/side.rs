//! The panel beside the film: what may take it.

use super::App;
use crate::notice::Notice;

impl App {
    /// Whether the panel beside the film may be given to something else; says so if not. Notes on
    /// their way in would be lost: what was answered about them is kept nowhere else.
    pub(super) fn has_room_beside(&mut self) -> bool {
        let Some(review) = &self.review else {
            return false;
        };
        if review.notes.is_some() {
            self.tell(Notice::told("Place the notes or put them away first"));
            return false;
        }
        true
    }
}
