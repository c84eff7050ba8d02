//! All pictures of a film, drawn on every core and encoded in order.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::mpsc::{self, Receiver, SyncSender};

use tiny_skia::Pixmap;

use super::draw::Studio;
use super::encode::{Care, Encoder};
use super::error::FilmError;

/// Draws and encodes pictures 0 to `count`; `progress` hears the share done.
///
/// # Errors
/// The encoder is missing or fails, or a picture cannot be made.
pub(crate) fn render(
    studio: &Studio,
    out: &Path,
    (size, fps, count): ((u32, u32), u32, u64),
    care: Care,
    progress: &mut dyn FnMut(f32),
) -> Result<(), FilmError> {
    let mut encoder = Encoder::start(out, size, fps, care)?;
    let workers = std::thread::available_parallelism()
        .map_or(2, usize::from)
        .clamp(1, 8);
    let next = AtomicU64::new(0);
    let stop = AtomicBool::new(false);
    let (give_back, spare) = mpsc::channel::<Pixmap>();
    let spare = std::sync::Mutex::new(spare);
    let result = std::thread::scope(|scope| {
        let (done, drawn) = mpsc::sync_channel::<(u64, Pixmap)>(2);
        let (next, stop, spare) = (&next, &stop, &spare);
        for _ in 0..workers {
            let done = done.clone();
            scope.spawn(move || draw_some(studio, (fps, count), next, stop, spare, &done));
        }
        drop(done);
        let result = encode_in_order(&mut encoder, count, drawn, &give_back, progress);
        stop.store(true, Ordering::Relaxed);
        result
    });
    result?;
    encoder.finish()
}

fn draw_some(
    studio: &Studio,
    (fps, count): (u32, u64),
    next: &AtomicU64,
    stop: &AtomicBool,
    spare: &std::sync::Mutex<Receiver<Pixmap>>,
    done: &SyncSender<(u64, Pixmap)>,
) {
    while !stop.load(Ordering::Relaxed) {
        let index = next.fetch_add(1, Ordering::Relaxed);
        if index >= count {
            return;
        }
        let used = spare.lock().ok().and_then(|spare| spare.try_recv().ok());
        let Some(mut picture) = used.or_else(|| studio.blank().ok()) else {
            return;
        };
        studio.draw(&mut picture, index as f64 / f64::from(fps));
        if done.send((index, picture)).is_err() {
            return;
        }
    }
}

fn encode_in_order(
    encoder: &mut Encoder,
    count: u64,
    drawn: Receiver<(u64, Pixmap)>,
    give_back: &mpsc::Sender<Pixmap>,
    progress: &mut dyn FnMut(f32),
) -> Result<(), FilmError> {
    let mut early = BTreeMap::new();
    let mut wanted = 0;
    for (index, picture) in drawn {
        early.insert(index, picture);
        while let Some(picture) = early.remove(&wanted) {
            encoder.picture(picture.data())?;
            // When nobody draws any more, nobody takes it back.
            let _ = give_back.send(picture);
            wanted += 1;
            progress(wanted as f32 / count.max(1) as f32);
        }
    }
    if wanted < count {
        return Err(FilmError::Encoder(format!(
            "only {wanted} of {count} pictures were drawn"
        )));
    }
    Ok(())
}
