//! From the bytes of a file to text, whatever program wrote it.

use chardetng::{EncodingDetector, Iso2022JpDetection, Utf8Detection};
use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE};

/// The largest file of notes that is read, in bytes: a hundred thousand long lines. Our own choice.
pub const MAX_NOTES_BYTES: u64 = 16 * 1024 * 1024;

/// A text and how its bytes were understood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Decoded {
    /// The text, without a byte order mark.
    pub text: String,
    /// The name of the encoding, as in the WHATWG Encoding Standard.
    pub encoding: &'static str,
    /// Nothing in the file says which encoding it is; the bytes were judged by what they spell.
    pub guessed: bool,
    /// Some bytes are no text in this encoding and stand as �.
    pub damaged: bool,
}

/// Reads bytes as text: by the byte order mark, as UTF-16 where every other byte is zero, as
/// UTF-8 where it is that, else in the encoding of old programs that it looks most like.
#[must_use]
pub fn decode(bytes: &[u8]) -> Decoded {
    let (encoding, guessed) = encoding_of(bytes);
    let (text, used, damaged) = encoding.decode(bytes);
    Decoded {
        text: text.into_owned(),
        encoding: used.name(),
        guessed,
        damaged,
    }
}

fn encoding_of(bytes: &[u8]) -> (&'static Encoding, bool) {
    if let Some((encoding, _)) = Encoding::for_bom(bytes) {
        return (encoding, false);
    }
    if let Some(encoding) = utf_16_without_mark(bytes) {
        return (encoding, true);
    }
    if std::str::from_utf8(bytes).is_ok() {
        return (UTF_8, false);
    }
    let mut detector = EncodingDetector::new(Iso2022JpDetection::Deny);
    detector.feed(bytes, true);
    (detector.guess(None, Utf8Detection::Deny), true)
}

/// Digits and letters without accents have a zero byte beside them in UTF-16, and no other text
/// has zero bytes at all.
fn utf_16_without_mark(bytes: &[u8]) -> Option<&'static Encoding> {
    let start = bytes.get(..bytes.len().min(4096))?;
    let zeros = |first: usize| {
        start
            .iter()
            .skip(first)
            .step_by(2)
            .filter(|b| **b == 0)
            .count()
    };
    let (even, odd) = (zeros(0), zeros(1));
    let many = start.len() / 4;
    if odd > many && even == 0 {
        Some(UTF_16LE)
    } else if even > many && odd == 0 {
        Some(UTF_16BE)
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str =
        "10:42:15 Traversale links, Hinterhand schleppt nach – überall müde, später größer\n";

    fn check(bytes: &[u8], encoding: &str, guessed: bool) {
        let decoded = decode(bytes);
        assert_eq!(decoded.encoding, encoding);
        assert_eq!(decoded.text, TEXT, "{encoding}");
        assert_eq!(
            (decoded.guessed, decoded.damaged),
            (guessed, false),
            "{encoding}"
        );
    }

    fn utf_16(mark: bool, bytes: fn(u16) -> [u8; 2]) -> Vec<u8> {
        let mark = mark.then_some(0xfeff);
        mark.into_iter()
            .chain(TEXT.encode_utf16())
            .flat_map(bytes)
            .collect()
    }

    #[test]
    fn every_usual_encoding() {
        check(TEXT.as_bytes(), "UTF-8", false);
        check(format!("\u{feff}{TEXT}").as_bytes(), "UTF-8", false);
        check(&utf_16(true, u16::to_le_bytes), "UTF-16LE", false);
        check(&utf_16(true, u16::to_be_bytes), "UTF-16BE", false);
        check(&utf_16(false, u16::to_le_bytes), "UTF-16LE", true);
        check(&utf_16(false, u16::to_be_bytes), "UTF-16BE", true);
        let (old, _, lost) = encoding_rs::WINDOWS_1252.encode(TEXT);
        assert!(!lost);
        check(&old, "windows-1252", true);
    }

    #[test]
    fn bytes_that_are_no_text_are_said() {
        assert_eq!(decode(b"").text, "");
        // A lone surrogate.
        assert!(decode(&[0xff, 0xfe, 0x00, 0xd8]).damaged);
        for bytes in [&[0_u8; 64][..], &[0xff; 64], &[0x80, 0x00, 0xc3]] {
            let _any = decode(bytes);
        }
    }
}
