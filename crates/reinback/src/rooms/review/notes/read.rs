//! Reading notes on a thread: from a file or a text to what they say.

use std::fs::File;
use std::io::Read as _;
use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::Arc;

use reinback_yard::Words;
use reinback_yard::notes::{
    Layout, MAX_NOTES, MAX_NOTES_BYTES, Piece, Question, RawNote, Recogniser, Vocabulary, decode,
    guess_layout, questions, read_notes,
};

/// Where notes come from.
#[derive(Clone, Debug)]
pub enum Source {
    /// A file.
    File(PathBuf),
    /// A text at hand.
    Text {
        /// What it is called.
        name: String,
        /// The text.
        text: Arc<str>,
        /// What is known of its file.
        about: Option<String>,
        /// How it is to be read, if not as is guessed.
        layout: Option<Layout>,
    },
}

/// Notes as they were read.
#[derive(Debug)]
pub struct ReadNotes {
    /// The name of the file, or "pasted".
    pub source: String,
    /// The whole text.
    pub text: Arc<str>,
    /// What is to be known of the file: its encoding, what was left out.
    pub about: Option<String>,
    /// How it was read.
    pub layout: Layout,
    /// The notes.
    pub notes: Vec<RawNote>,
    /// There were more than are read.
    pub cut: bool,
    /// What their words say.
    pub pieces: Vec<Vec<Piece>>,
    /// What of that is not certain, or not known.
    pub questions: Vec<Question>,
}

/// Reads notes; `flow` is asked now and then whether to go on.
///
/// # Errors
/// A sentence for the rider.
pub fn read(
    source: Source,
    words: &Words,
    flow: &mut dyn FnMut() -> ControlFlow<()>,
) -> Result<ReadNotes, String> {
    let (source, text, about, layout) = match source {
        Source::File(path) => {
            let name = path.file_name().map_or_else(
                || path.display().to_string(),
                |name| name.to_string_lossy().into_owned(),
            );
            let (text, about) = read_file(&path).map_err(|why| format!("{name}: {why}"))?;
            (name, text, about, None)
        }
        Source::Text {
            name,
            text,
            about,
            layout,
        } => (name, text, about, layout),
    };
    let layout = layout.unwrap_or_else(|| guess_layout(&text));
    let raw = read_notes(&text, &layout, &mut |_| flow()).map_err(|error| error.to_string())?;
    if raw.notes.is_empty() {
        return Err(format!("{source} holds no notes"));
    }
    let vocabulary = Vocabulary::new(words);
    let mut recogniser = Recogniser::new(&vocabulary);
    let mut pieces = Vec::with_capacity(raw.notes.len());
    for note in &raw.notes {
        if flow().is_break() {
            return Err("The notes were not read to their end".into());
        }
        pieces.push(recogniser.pieces(&note.text));
    }
    Ok(ReadNotes {
        source,
        text,
        about,
        layout,
        questions: questions(&pieces),
        notes: raw.notes,
        cut: raw.cut,
        pieces,
    })
}

/// The text of a file, and what is to be known of its encoding.
fn read_file(path: &std::path::Path) -> Result<(Arc<str>, Option<String>), String> {
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(MAX_NOTES_BYTES + 1).read_to_end(&mut bytes))
        .map_err(|error| format!("cannot be read: {error}"))?;
    if bytes.len() as u64 > MAX_NOTES_BYTES {
        return Err("is too large for notes; at most 16 MB are read".into());
    }
    let decoded = decode(&bytes);
    let about = if decoded.damaged {
        Some("some signs could not be read and stand as �".into())
    } else if decoded.guessed {
        Some(format!("read as {}, which was guessed", decoded.encoding))
    } else {
        None
    };
    Ok((decoded.text.into(), about))
}

/// What is left out of a text that is too long.
#[must_use]
pub fn cut_sentence() -> String {
    format!("Only the first {MAX_NOTES} notes were read")
}
