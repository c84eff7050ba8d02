//! The messages against each other and against the source: none is missing, unused or filled in
//! with other names, in any language.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use reinback_yard::Words;

use super::method::OF_RANGE;
use super::*;

/// What is filled into each message of some files.
type Catalog = BTreeMap<String, BTreeSet<String>>;

fn catalog(files: &[&str]) -> Catalog {
    let mut found = Catalog::new();
    for file in files {
        let mut id = String::new();
        for line in file.lines().filter(|line| !line.starts_with('#')) {
            if line.starts_with(|sign: char| sign.is_ascii_lowercase())
                && let Some((name, _)) = line.split_once(" = ")
            {
                name.clone_into(&mut id);
                let twice = found.insert(id.clone(), BTreeSet::new());
                assert!(twice.is_none(), "{id} is there twice");
            }
            let names = line.split('$').skip(1).map(|rest| {
                rest.chars()
                    .take_while(char::is_ascii_alphanumeric)
                    .collect::<String>()
            });
            if let Some(known) = found.get_mut(&id) {
                known.extend(names);
            }
        }
    }
    found
}

/// What stands in the English messages between what is filled in, and in no German one: no German
/// room says it. The trade's words are left out, since a rider's own stay as they were written.
pub(crate) fn only_in_english() -> Vec<String> {
    let german = Language::German.files().join("\n");
    let english = Language::English.files().iter();
    let own = english.filter(|file| **file != language::TRADE_OF_A_NEW_YARD);
    let lines = own.flat_map(|file| file.lines().filter(|line| !line.starts_with('#')));
    let text = lines.filter_map(|line| match line.split_once(" = ") {
        Some((_, text)) => Some(text),
        None => line.split_once("] ").map(|(_, text)| text),
    });
    let pieces = text.flat_map(|text| text.split(['{', '}']));
    let pieces = pieces.map(|piece| piece.trim_matches([' ', '.', ',', ';', ':', '(', ')']));
    pieces
        .filter(|piece| !piece.starts_with('$') && piece.len() >= 10 && piece.contains(' '))
        .filter(|piece| !german.contains(piece))
        .map(str::to_owned)
        .collect()
}

fn of(language: Language) -> Catalog {
    catalog(language.files())
}

/// Those of the trade's words are made from names, not written in the source.
fn of_trade() -> Catalog {
    catalog(&[language::TRADE_OF_A_NEW_YARD])
}

#[test]
fn every_file_can_be_read() {
    for language in Language::ALL {
        for file in language.files() {
            let read = FluentResource::try_new((*file).to_owned());
            if let Err((_, why)) = read {
                panic!("{language:?}: {why:?}\n{}", &file[..200]);
            }
        }
        assert_eq!(language.identifier().language.as_str(), language.code());
    }
}

#[test]
fn every_language_says_the_same_things() {
    let english = of(Language::English);
    assert!(english.len() > 300, "only {} messages", english.len());
    for language in Language::ALL {
        let own = of(language);
        for (id, filled) in &english {
            // German faults have one plural form, so a count need not be asked for its form.
            assert_eq!(own.get(id), Some(filled), "{id} in {language:?}");
        }
        for id in own.keys() {
            assert!(english.contains_key(id), "{id} is in {language:?} only");
        }
    }
}

/// How a call fills its message in.
#[derive(Clone, Copy)]
enum Filled {
    /// By the list that follows the id.
    Listed,
    /// Not at all.
    Plain,
    /// With the numbers of a range.
    Range,
}

/// `say.text("id", &[("name", ..), ..])`, `say.plain("id")` and the same of `self`, and
/// `self.of_range("id", ..)`, in the program's source, outside tests.
fn used(source: &str) -> Vec<(String, BTreeSet<String>)> {
    let source = source.split("#[cfg(test)]\nmod tests {").next();
    // Without the breaks a formatter puts before `.text(`.
    let source: String = source
        .unwrap_or_default()
        .lines()
        .map(str::trim)
        .filter(|line| !line.starts_with("//"))
        .collect();
    let mut found = Vec::new();
    for (call, filled) in [
        ("say.text(", Filled::Listed),
        ("self.text(", Filled::Listed),
        ("say.plain(", Filled::Plain),
        ("self.plain(", Filled::Plain),
        ("self.of_range(", Filled::Range),
    ] {
        for rest in source.split(call).skip(1) {
            let Some(rest) = rest.trim_start().strip_prefix('"') else {
                continue;
            };
            let Some((id, rest)) = rest.split_once('"') else {
                continue;
            };
            let is_id =
                |sign: char| sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '-';
            if !id.chars().all(is_id) {
                continue;
            }
            let names = match filled {
                Filled::Listed => {
                    let list = rest.trim_start_matches(',').trim_start();
                    let list = list.strip_prefix("&[");
                    names_of(list.unwrap_or_else(|| panic!("{id} is filled in elsewhere")))
                }
                Filled::Plain => BTreeSet::new(),
                Filled::Range => OF_RANGE.map(str::to_owned).into(),
            };
            found.push((id.to_owned(), names));
        }
    }
    found
}

/// The names in `("name", value), ..]`, up to the bracket that closes the list.
fn names_of(list: &str) -> BTreeSet<String> {
    let (mut names, mut depth) = (BTreeSet::new(), 0_i32);
    for (at, sign) in list.char_indices() {
        match sign {
            ']' if depth == 0 => break,
            '(' | '[' => {
                let name = list[at + 1..].trim_start().strip_prefix('"');
                if sign == '(' && depth == 0 {
                    let name = name.and_then(|rest| rest.split_once('"'));
                    names.extend(name.map(|(name, _)| name.to_owned()));
                }
                depth += 1;
            }
            ')' | ']' => depth -= 1,
            _ => {}
        }
    }
    names
}

fn sources(folder: &Path, found: &mut Vec<String>) {
    for entry in fs::read_dir(folder).expect("the source") {
        let path = entry.expect("the source").path();
        let name = path
            .file_name()
            .and_then(|name| name.to_str())
            .unwrap_or_default();
        if path.is_dir() && name != "tests" {
            sources(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs")
            && !["tests.rs", "catalog.rs", "golden.rs"].contains(&name)
        {
            found.push(fs::read_to_string(&path).expect("the source"));
        }
    }
}

#[test]
fn every_message_is_used_and_filled_in_as_it_asks() {
    let english = of(Language::English);
    let mut read = Vec::new();
    sources(
        &Path::new(env!("CARGO_MANIFEST_DIR")).join("src"),
        &mut read,
    );
    let mut unused: BTreeSet<&String> = english.keys().collect();
    let trade = of_trade();
    unused.retain(|id| !trade.contains_key(*id));
    for (id, names) in read.iter().flat_map(|source| used(source)) {
        let asked = english.get(&id);
        let asked = asked.unwrap_or_else(|| panic!("there is no message “{id}”"));
        assert_eq!(*asked, names, "what is filled into {id}");
        unused.remove(&id);
    }
    assert!(unused.is_empty(), "never said: {unused:?}");
}

/// The scan above would prove nothing if it found nothing.
#[test]
fn the_scan_of_the_source_finds_what_is_there() {
    let source = "// say.plain(\"not-this\")\nsay.text(\n \"rate\",\n &[(\"counts\", self.of(1, (\"no\")).into()), (\"share\", x)],\n); say.plain(\"none\"); ui.text(\"Other words\", 1)";
    let names = ["counts", "share"].map(str::to_owned);
    assert_eq!(
        used(source),
        [
            ("rate".to_owned(), BTreeSet::from(names)),
            ("none".to_owned(), BTreeSet::new())
        ]
    );
}

/// The English words are those of a new yard, so that a yard's words are known again.
#[test]
fn the_trade_s_words_are_those_of_a_new_yard() {
    let words = Words::default();
    let mut expect = BTreeMap::new();
    for exercise in &words.exercises {
        expect.insert(Kind::Exercise.id(&exercise.name), &exercise.name);
        for variant in &exercise.variants {
            expect.insert(Kind::Variant.id(&variant.name), &variant.name);
        }
        for fault in &exercise.faults {
            expect.insert(Kind::Fault.id(&fault.name), &fault.name);
        }
    }
    for fault in &words.general_faults {
        expect.insert(Kind::Fault.id(&fault.name), &fault.name);
    }
    for outline in &words.outlines {
        expect.insert(Kind::Outline.id(&outline.name), &outline.name);
    }
    let english = Say::new(Language::English);
    let written: BTreeSet<String> = of_trade().into_keys().collect();
    let missing: Vec<&String> = expect.keys().filter(|id| !written.contains(*id)).collect();
    assert!(missing.is_empty(), "not in trade.ftl: {missing:?}");
    for id in written {
        let name = expect.get(&id);
        assert_eq!(Some(&&english.plain(&id)), name, "{id}");
    }
}

#[test]
fn words_are_said_in_the_rider_s_language_unless_the_rider_changed_them() {
    let say = Say::new(Language::German);
    for (kind, name, expect) in [
        (Kind::Exercise, "half-pass", "Traversale"),
        (
            Kind::Exercise,
            "changes every 3rd stride",
            "Serienwechsel zu drei Sprüngen",
        ),
        (Kind::Exercise, "shoulder-in", "Schulterherein"),
        (Kind::Exercise, "Half-pass", "Half-pass"),
        (Kind::Exercise, "the long one", "the long one"),
        (Kind::Fault, "late behind", "hinten nachgesprungen"),
        (Kind::Variant, "in trot", "im Trab"),
        (Kind::Outline, "long and low", "vorwärts-abwärts"),
        (Kind::Fault, "", ""),
        (Kind::Fault, "\u{fffd} ä 🐎", "\u{fffd} ä 🐎"),
    ] {
        assert_eq!(say.word(kind, name), expect);
    }
}

#[test]
fn the_language_of_a_system_is_spoken_or_english_is() {
    for (locale, expect) in [
        ("de_DE.UTF-8", Language::German),
        ("de-CH", Language::German),
        ("de", Language::German),
        ("DE_at@euro", Language::German),
        ("en_GB.UTF-8", Language::English),
        ("C.UTF-8", Language::English),
        ("fr_FR", Language::English),
        ("dev", Language::English),
        ("", Language::English),
    ] {
        assert_eq!(Language::of_locale(locale), expect, "{locale}");
    }
}

/// Every letter of every message is in the typefaces, so that none is drawn as a box.
#[test]
fn every_letter_can_be_drawn() {
    for font in ["Lato-Regular.ttf", "Lato-Bold.ttf"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../assets/fonts");
        let data = fs::read(path.join(font)).expect("the typeface");
        let face = ttf_parser::Face::parse(&data, 0).expect("a typeface");
        for language in Language::ALL {
            for letter in language.files().iter().flat_map(|file| file.chars()) {
                let drawn = letter.is_control() || face.glyph_index(letter).is_some();
                assert!(drawn, "{letter:?} of {language:?} is not in {font}");
            }
        }
    }
}
