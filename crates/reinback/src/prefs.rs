//! What the window remembers between starts. Never the rider's work: losing it costs nothing.

use std::collections::BTreeMap;
use std::path::PathBuf;

use crate::rooms::review::Delays;

/// Preferences.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(default)]
pub struct Prefs {
    /// The yard that was open last.
    pub yard: Option<PathBuf>,
    /// Light, dark, or as the system has it.
    pub dark: Option<bool>,
    /// Who reviews; may be empty.
    pub reviewer: String,
    /// How late each reviewer's keys are, by name.
    pub delays: BTreeMap<String, Delays>,
    /// How loud films are played, 0 to 1.
    pub volume: f32,
    /// Whether their sound is off.
    pub muted: bool,
    /// Memory for the frames of films in MiB; a share of the machine's if `None`.
    pub film_memory: Option<u32>,
    /// Whether the graphics card is asked to decode films.
    pub hardware: bool,
}

impl Default for Prefs {
    fn default() -> Self {
        Self {
            yard: None,
            dark: None,
            reviewer: String::new(),
            delays: BTreeMap::new(),
            volume: 0.8,
            muted: false,
            film_memory: None,
            hardware: false,
        }
    }
}

impl Prefs {
    /// How late the reviewer's keys are; not at all where it was never measured.
    #[must_use]
    pub fn delays(&self) -> Delays {
        self.delays.get(&self.reviewer).copied().unwrap_or_default()
    }

    /// Remembers it for this reviewer.
    pub fn set_delays(&mut self, delays: Delays) {
        self.delays.insert(self.reviewer.clone(), delays);
    }
}
