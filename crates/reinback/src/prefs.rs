//! What the window remembers between starts. Never the rider's work: losing it costs nothing.

use std::path::PathBuf;

/// Preferences.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(default)]
pub struct Prefs {
    /// The yard that was open last.
    pub yard: Option<PathBuf>,
    /// Light, dark, or as the system has it.
    pub dark: Option<bool>,
    /// Who reviews; may be empty.
    pub reviewer: String,
}
