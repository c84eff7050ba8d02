//! Captions in `WebVTT`, read as the W3C's specification says ("WebVTT: The Web Video Text Tracks
//! Format", Candidate Recommendation of 4 April 2019, sections 4.1 and 6.1; from memory): what the
//! cues look like is passed over.

use super::read::{RawNote, note};
use super::stamp::Stamp;

/// Whether this begins as `WebVTT` must.
pub(super) fn is_signed(text: &str) -> bool {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    text.strip_prefix("WEBVTT")
        .is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t', '\n', '\r']))
}

/// The cues; a block whose times cannot be read is a note without a time.
pub(super) fn cues(text: &str) -> impl Iterator<Item = RawNote> {
    Blocks {
        lines: text.lines().zip(1_u32..).peekable(),
        in_header: true,
    }
    // The first block is the header.
    .skip(1)
    .filter_map(|block| cue(&block))
}

type Lines<'a> = std::iter::Zip<std::str::Lines<'a>, std::ops::RangeFrom<u32>>;

/// Lines between empty ones. A line of times begins a block of its own where there is none to
/// take it, even if the empty line was forgotten.
struct Blocks<'a> {
    lines: std::iter::Peekable<Lines<'a>>,
    in_header: bool,
}

impl<'a> Iterator for Blocks<'a> {
    type Item = Vec<(&'a str, u32)>;

    fn next(&mut self) -> Option<Self::Item> {
        while self.lines.next_if(|(line, _)| line.is_empty()).is_some() {}
        let mut block: Vec<(&str, u32)> = Vec::new();
        let mut seen = std::mem::take(&mut self.in_header);
        while let Some((line, _)) = self.lines.peek() {
            let times = line.contains("-->");
            if line.is_empty() || (times && (seen || block.len() > 1)) {
                break;
            }
            seen |= times;
            block.extend(self.lines.next());
        }
        (!block.is_empty()).then_some(block)
    }
}

fn cue(block: &[(&str, u32)]) -> Option<RawNote> {
    let at = block.iter().position(|(line, _)| line.contains("-->"));
    let Some(at) = at.filter(|at| *at <= 1) else {
        let (first, number) = block.first()?;
        let aside = ["NOTE", "STYLE", "REGION"].iter().any(|word| {
            first
                .strip_prefix(word)
                .is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t']))
        });
        return (!aside).then(|| note(*number, "", None, plain(first)));
    };
    let (times, number) = block.get(at)?;
    let text: Vec<String> = block
        .get(at + 1..)
        .unwrap_or_default()
        .iter()
        .map(|(line, _)| plain(line))
        .collect();
    let (from, rest) = times.split_once("-->")?;
    let to = rest.split_whitespace().next().unwrap_or_default();
    let start = timestamp(from.trim());
    // A cue whose end is no time is no cue. One whose end is not behind its start is none to a
    // player, but where it begins is known.
    let sound = start.and(timestamp(to)).is_some();
    let stamp = start.filter(|_| sound).map(Stamp::Elapsed);
    let shown = if sound { from } else { times };
    Some(note(
        *number,
        shown,
        stamp,
        text.join(" ").trim().to_owned(),
    ))
}

/// "mm:ss.ttt" or "hh:mm:ss.ttt" with two or more digits of hours, in nanoseconds.
fn timestamp(text: &str) -> Option<i64> {
    let (whole, millis) = text.split_once('.')?;
    let mut parts = whole.rsplit(':');
    let (seconds, minutes, hours) = (parts.next()?, parts.next()?, parts.next());
    let number = |text: &str, fits: bool| -> Option<i64> {
        let digits = text.bytes().all(|byte| byte.is_ascii_digit());
        (fits && digits).then(|| text.parse().ok())?
    };
    let of_sixty = |text: &str| number(text, text.len() == 2).filter(|value| *value < 60);
    if parts.next().is_some() {
        return None;
    }
    let hours = match hours {
        Some(text) => number(text, (2..=5).contains(&text.len()))?,
        None => 0,
    };
    let seconds = (hours * 60 + of_sixty(minutes)?) * 60 + of_sixty(seconds)?;
    Some((seconds * 1_000 + number(millis, millis.len() == 3)?) * 1_000_000)
}

/// The text of a line without tags and with its escapes resolved.
fn plain(line: &str) -> String {
    let mut bare = String::with_capacity(line.len());
    let mut rest = line;
    while let Some((before, tag)) = rest.split_once('<') {
        bare.push_str(before);
        // A tag that is not closed runs to the end of the text.
        rest = tag.split_once('>').map_or("", |(_, behind)| behind);
    }
    bare.push_str(rest);
    [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&nbsp;", " "),
        ("&lrm;", ""),
        ("&rlm;", ""),
        // Last, so that "&amp;lt;" is "&lt;".
        ("&amp;", "&"),
    ]
    .iter()
    .fold(bare, |text, (escape, sign)| text.replace(escape, sign))
}
