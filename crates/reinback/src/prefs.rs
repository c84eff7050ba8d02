//! What the window remembers between starts. Never the rider's work: losing it costs nothing.

use std::collections::BTreeMap;
use std::path::PathBuf;

use crate::hints;
use crate::keymap;
use crate::rooms::review::Delays;
use crate::said::Language;

/// Preferences.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(default)]
pub struct Prefs {
    /// The yard that was open last.
    pub yard: Option<PathBuf>,
    /// Light, dark, or as the system has it.
    pub dark: Option<bool>,
    /// The language of the sentences; that of the system if `None`.
    pub language: Option<Language>,
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
    /// The rider's own keys, where they are not those the program comes with.
    pub keys: keymap::Settings,
    /// Hints that are no longer shown.
    pub hints_gone: hints::Gone,
}

impl Default for Prefs {
    fn default() -> Self {
        Self {
            yard: None,
            dark: None,
            language: None,
            reviewer: String::new(),
            delays: BTreeMap::new(),
            volume: 0.8,
            muted: false,
            film_memory: None,
            hardware: false,
            keys: keymap::Settings::new(),
            hints_gone: hints::Gone::new(),
        }
    }
}

impl Prefs {
    /// As they were kept, and whether something is kept that cannot be read.
    #[must_use]
    pub fn read(storage: Option<&dyn eframe::Storage>) -> (Self, bool) {
        let kept = storage.and_then(|storage| storage.get_string(eframe::APP_KEY));
        let read = storage.and_then(|storage| eframe::get_value(storage, eframe::APP_KEY));
        let spoilt = kept.is_some() && read.is_none();
        (read.unwrap_or_default(), spoilt)
    }

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

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Default)]
    struct Kept(Option<String>);

    impl eframe::Storage for Kept {
        fn get_string(&self, _key: &str) -> Option<String> {
            self.0.clone()
        }
        fn set_string(&mut self, _key: &str, value: String) {
            self.0 = Some(value);
        }
        fn remove_string(&mut self, _key: &str) {
            self.0 = None;
        }
        fn flush(&mut self) {}
    }

    fn check(kept: Option<&str>, reviewer: &str, spoilt: bool) {
        let storage = Kept(kept.map(str::to_owned));
        let (prefs, is_spoilt) = Prefs::read(Some(&storage));
        assert_eq!(
            (prefs.reviewer.as_str(), is_spoilt),
            (reviewer, spoilt),
            "{kept:?}"
        );
    }

    #[test]
    fn spoilt_preferences_are_the_first_ones_and_told() {
        check(None, "", false);
        check(Some("(reviewer: \"Mara\")"), "Mara", false);
        check(Some("(reviewer: \"Mara\", keys: 7)"), "", true);
        check(Some("\u{0}"), "", true);
    }

    #[test]
    fn what_is_kept_comes_back() {
        let mut storage = Kept::default();
        let mut prefs = Prefs::default();
        prefs.keys.insert("Praise".into(), vec!["sign !".into()]);
        eframe::set_value(&mut storage, eframe::APP_KEY, &prefs);
        assert_eq!(Prefs::read(Some(&storage)), (prefs, false));
    }
}
