//! The languages there are, and the files of each.

use unic_langid::LanguageIdentifier;

/// A language of the sentences.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize,
)]
pub enum Language {
    /// English, as British riders write it.
    #[default]
    English,
    /// German, with the terms of the German federation's guidelines.
    German,
}

/// The trade's words as a new yard has them.
pub(super) const TRADE_OF_A_NEW_YARD: &str = include_str!("../../../../assets/lang/en/trade.ftl");

const ENGLISH: &[&str] = &[
    include_str!("../../../../assets/lang/en/numbers.ftl"),
    include_str!("../../../../assets/lang/en/estimates.ftl"),
    include_str!("../../../../assets/lang/en/room.ftl"),
    include_str!("../../../../assets/lang/en/measures.ftl"),
    include_str!("../../../../assets/lang/en/page.ftl"),
    TRADE_OF_A_NEW_YARD,
];

const GERMAN: &[&str] = &[
    include_str!("../../../../assets/lang/de/numbers.ftl"),
    include_str!("../../../../assets/lang/de/estimates.ftl"),
    include_str!("../../../../assets/lang/de/room.ftl"),
    include_str!("../../../../assets/lang/de/measures.ftl"),
    include_str!("../../../../assets/lang/de/page.ftl"),
    include_str!("../../../../assets/lang/de/trade.ftl"),
];

impl Language {
    /// All of them.
    pub const ALL: [Self; 2] = [Self::English, Self::German];

    /// Its own name for itself.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::English => "English",
            Self::German => "Deutsch",
        }
    }

    /// Its messages.
    pub(super) const fn files(self) -> &'static [&'static str] {
        match self {
            Self::English => ENGLISH,
            Self::German => GERMAN,
        }
    }

    /// Its code (ISO 639-1).
    #[must_use]
    pub const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
        }
    }

    /// By which its plurals are formed.
    pub(super) fn identifier(self) -> LanguageIdentifier {
        // A test sees to it that every code can be read.
        self.code().parse().unwrap_or_default()
    }

    /// The language of a system's locale ("de_AT.UTF-8", "de-CH"); English where there is none of
    /// that name.
    ///
    /// ```
    /// use reinback::said::Language;
    /// assert_eq!(Language::of_locale("de_AT.UTF-8"), Language::German);
    /// assert_eq!(Language::of_locale("fr-FR"), Language::English);
    /// ```
    #[must_use]
    pub fn of_locale(locale: &str) -> Self {
        let language = locale
            .split(['-', '_', '.', '@'])
            .next()
            .unwrap_or_default();
        let known = Self::ALL
            .into_iter()
            .find(|known| known.code().eq_ignore_ascii_case(language));
        known.unwrap_or_default()
    }
}
