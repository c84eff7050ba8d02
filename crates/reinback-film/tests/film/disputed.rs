//! Films of which FFmpeg's own releases and programs tell different things.
//!
//! Found by repeating the lists beside the films with FFmpeg 9.0.2, where they
//! were made with 5.1.9.

use std::path::Path;

/// Films whose truth depends on the release, each with the reason.
const ALL: [(&str, &str); 5] = [
    ("sample.avi", "packed B-frames, shown otherwise since 6.0"),
    (
        "walk_1612214732048.avi",
        "damaged pictures, concealed otherwise",
    ),
    ("mpeg2_field_encoding.mp4", "a single field at the end"),
    (
        "h264_intra_first_ts.mp4",
        "ffprobe lists two frames fewer than ffmpeg",
    ),
    ("loewe.mp4", "leading pictures without references"),
];

/// Why this film's truth is disputed, where it is: by its file's name, if its list lies beside it,
/// as any other film may have that name.
pub(crate) fn reason(path: &Path) -> Option<&'static str> {
    let list = format!("{}.frames.csv", path.display());
    let name = path.file_name()?;
    let found = ALL.iter().find(|(film, _)| name == *film);
    found
        .filter(|_| Path::new(&list).exists())
        .map(|(_, reason)| *reason)
}
