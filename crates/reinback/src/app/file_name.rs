//! A name for a new file, made of words that people wrote.

/// The most letters that one of the words adds, and the most bytes, so that two long ones and a day
/// fit: common file systems take 255 bytes in all (ext4; NTFS 255 UTF-16 units; from memory).
const LETTERS: usize = 80;
const BYTES: usize = 110;

/// What a file is called where nothing is left of the words.
const NOTHING_LEFT: &str = "Reinback";

/// Names of devices, which no file may have, whatever its ending (Microsoft, "Naming Files, Paths,
/// and Namespaces"; from memory); `COM` and `LPT` with a digit are some too.
const DEVICES: [&str; 4] = ["con", "prn", "aux", "nul"];

/// Signs that part folders, or that Windows forbids in names (the same source).
const FORBIDDEN: &str = "/\\:*?\"<>|";

/// Joins the words with spaces, without what some system forbids in the name of a file, and not too
/// long for any. Letters of every script stay.
pub(super) fn file_name(words: &[&str], ending: &str) -> String {
    let words = words.iter().map(|word| cleaned(word));
    let kept: Vec<String> = words.filter(|word| !word.is_empty()).collect();
    let name = match kept.join(" ") {
        none if none.is_empty() => NOTHING_LEFT.to_owned(),
        name if is_device(&name) => format!("{NOTHING_LEFT} {name}"),
        name => name,
    };
    format!("{name}.{ending}")
}

fn cleaned(word: &str) -> String {
    let mut name = String::new();
    // Signs that turn the direction of writing would show an ending where there is none.
    let seen = |sign: &char| !matches!(sign, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    for sign in word.chars().filter(seen).take(LETTERS) {
        if name.len() + sign.len_utf8() > BYTES {
            break;
        }
        let forbidden = sign.is_control() || FORBIDDEN.contains(sign);
        name.push(if forbidden { '-' } else { sign });
    }
    // A point at the beginning hides a file, one at the end is lost on Windows; what joins two
    // signs joins nothing at the end.
    name.trim_matches([' ', '.', '-', '\u{200d}']).to_owned()
}

/// Whether Windows takes this for a device: the name up to its first point counts.
fn is_device(name: &str) -> bool {
    let stem = name
        .split('.')
        .next()
        .unwrap_or(name)
        .trim_end()
        .to_lowercase();
    let numbered = ["com", "lpt"]
        .iter()
        .find_map(|device| stem.strip_prefix(device));
    let digits = "0123456789¹²³";
    let one_digit = |rest: &str| {
        let mut signs = rest.chars();
        signs.next().is_some_and(|sign| digits.contains(sign)) && signs.next().is_none()
    };
    DEVICES.contains(&stem.as_str()) || numbered.is_some_and(one_digit)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn words_become_a_name_that_every_system_takes() {
        for (words, expect) in [
            (
                &["half-pass: ride by ride"][..],
                "half-pass- ride by ride.csv",
            ),
            (&["2026-03-01", "Sonnet"], "2026-03-01 Sonnet.csv"),
            (&["2026-03-01", "///"], "2026-03-01.csv"),
            (&["../../etc/passwd"], "etc-passwd.csv"),
            (&["..\\a: \"c\"?"], "a- -c.csv"),
            (&["a\nb\u{0}c"], "a-b-c.csv"),
            (&["..."], "Reinback.csv"),
            (&[""], "Reinback.csv"),
            (&[], "Reinback.csv"),
            (&["Trabverstärkung, Größe"], "Trabverstärkung, Größe.csv"),
            (&["a\u{308}pfel"], "a\u{308}pfel.csv"),
            (&["🐎 Sonnet 👩‍🌾"], "🐎 Sonnet 👩‍🌾.csv"),
            (&["سوسن"], "سوسن.csv"),
            (&["exe.\u{202e}gpj"], "exe.gpj.csv"),
            (&["CON"], "Reinback CON.csv"),
            (&["nul.txt"], "Reinback nul.txt.csv"),
            (&["aux "], "Reinback aux.csv"),
            (&["Lpt1"], "Reinback Lpt1.csv"),
            (&["COM²"], "Reinback COM².csv"),
            (&["COM10"], "COM10.csv"),
            (&["Connie"], "Connie.csv"),
            (&["2026-03-01", "CON"], "2026-03-01 CON.csv"),
        ] {
            assert_eq!(file_name(words, "csv"), expect, "{words:?}");
        }
    }

    #[test]
    fn what_stands_behind_a_long_name_is_still_there() {
        for long in ["x".repeat(200), "ä".repeat(200), "🐎".repeat(200)] {
            let name = file_name(&["2026-03-01", &long, "0-12-03"], "png");
            assert!(
                name.starts_with("2026-03-01 ") && name.ends_with(" 0-12-03.png"),
                "{name}"
            );
            assert!(name.len() <= 255, "{} bytes", name.len());
        }
        let cut = file_name(&[&"👩‍🌾".repeat(60)], "png");
        assert!(!cut.contains("\u{200d}."), "{cut}");
    }

    proptest! {
        #[test]
        fn no_words_make_a_name_that_is_refused(words in prop::collection::vec(".{0,90}", 0..3)) {
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let name = file_name(&words, "html");
            let stem = name.strip_suffix(".html").expect("its ending");
            prop_assert!(!stem.is_empty() && name.len() <= 255);
            prop_assert!(!stem.starts_with(['.', ' ']) && !stem.ends_with(['.', ' ']));
            prop_assert!(!stem.contains(|sign: char| sign.is_control() || FORBIDDEN.contains(sign)));
            prop_assert!(!is_device(stem));
        }
    }
}
