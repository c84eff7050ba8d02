//! Opens a film and answers "the picture at this time" from a thread of its
//! own and a bounded cache. libav is used here and nowhere else.
//!
//! An app holds a [`Film`], sends it a [`Want`] when the rider plays, steps or
//! drags, drains [`Film::poll`] in each window frame, and while playing shows
//! [`Film::cached`] as its clock runs. [`probe()`], [`thumbnail()`],
//! [`Pictures`], [`fingerprint()`] and [`find_films()`] block and are for task
//! threads.
//!
//! # Times
//!
//! [`FilmTime`] counts nanoseconds from the first *presented* frame. The frame
//! on screen at `t` is the one with the greatest time stamp at or before `t`:
//! real time stamps always, never a frame number divided by a rate, so films
//! of variable rate and films with holes are shown as they were filmed. What
//! an edit list hides is never shown.
//!
//! Where time stamps stand still, or run backwards, a frame that is not later
//! than the one before it is left out. After a single stamp that leaps ahead
//! and comes back, stepping forward and jumping may therefore meet other
//! frames; order still rises.
//!
//! # Exactness
//!
//! Which frame is on screen is known only once its successor is: a frame goes
//! into the cache together with the time of the next one, and answers for the
//! span between. Where that is not known (a frame met alone while dragging, or
//! one whose neighbours were left out on the way of a jump) it answers for its
//! own moment only. A jump leaves out frames that nothing refers to, but never
//! the last ones before the place wanted; should the frame on screen stand
//! before those, the way is gone again in full. After a seek nothing is given
//! whose references were not decoded.
//!
//! # Pictures
//!
//! Frames come upright (rotation and mirroring of the display matrix), with
//! square pixels, as opaque 8-bit RGBA, scaled down to
//! [`Settings::max_side`]; one that is rested on comes again as filmed
//! ([`Reply::Sharp`]). Colour matrix and range are honoured; brightness of
//! high dynamic range (PQ, HLG) is mapped to an ordinary screen; frames made
//! of two fields are shown by their earlier field. In memory they are 4:2:0
//! and become RGBA when they are handed out.
//!
//! # Threads
//!
//! Each film has one worker thread, which owns the file, the decoder (with
//! libav's own threads under it), the scaler and the shelf of full-size frames.
//! It takes the newest want, answers it, and goes on making neighbours ready
//! until another comes; between two decoded frames it looks whether one has. A
//! step to a frame in the cache is answered by the handle, or in that look, so a
//! held key does not stop what is being decoded. The window shares with it the cache, the
//! mailbox for one want, and the painter for frames it takes from the cache,
//! each under a lock held briefly. Numbering the frames is a second thread.
//!
//! # Memory
//!
//! [`Settings::cache_bytes`] bounds all frames together: small ones in the
//! cache, full-size ones on the shelf (a quarter at most). What shares the
//! decoder's buffers is counted by those buffers. The decoder's own frames come
//! on top. Films shown together share a limit ([`InStep`],
//! [`Film::hold_at_most`]).
//!
//! # Map
//!
//! - `film`: the handle, wants and replies; `settings`, `info`, `frame`,
//!   `time`, `error`: what passes through it; `in_step`: two films side by side
//! - `worker`: the thread: newest want first; `play`: decodes ahead; `rest`:
//!   uses the time after an answer
//! - `projector`: finds frames and fills the cache; `behind`: whole groups of
//!   frames towards the start; `cache`: holds small frames, `shelf`: full-size
//!   ones around the hand
//! - `reader`: demultiplexes, decodes, seeks; `decoder` and `hardware`: make the
//!   decoder; `debts`: what it owes, what is lost or in doubt; `open`: chooses the stream
//!   and reads the film's facts; `identity`: whether it is still the same file
//! - `index`: numbers the frames on a second thread; `index_file`: its kept copy
//! - [`sound`]: what is heard, on the same clock, and its picture for the strip
//! - `kept`: a frame in memory; `picture`: paints it; `scaler`, `shape`,
//!   `colour`, `orient`, `tone` (high dynamic range): how
//! - `libav`: calls the binding has no safe way for; `lock`: locks that outlive a panic
//! - `damage`: where frames are missing or doubtful
//! - `proof`: what was decoded, for checks against other programs
//! - `thumbnail`, `pictures`, `fingerprint`: for lists of films, strips, and stills; `find`: films
//!   that were moved
//! - `file_cache`: small files in the user's cache folder
//!
//! # Invariants
//!
//! **Invariant**: no type of libav is in a public item.
//!
//! **Invariant**: no method of [`Film`] waits for the disk or the decoder.
//!
//! **Invariant**: a frame told as exact is the frame on screen at the time
//! asked for; [`Film::cached`] gives that frame or nothing.
//!
//! **Invariant**: a film file is only ever read.

mod behind;
mod cache;
mod colour;
mod damage;
mod debts;
mod decoder;
mod error;
mod file_cache;
mod film;
mod find;
mod fingerprint;
mod frame;
mod hardware;
mod identity;
mod in_step;
mod index;
mod index_file;
mod info;
mod kept;
mod libav;
mod lock;
mod open;
mod orient;
mod picture;
mod pictures;
mod play;
mod projector;
#[doc(hidden)]
pub mod proof;
mod reader;
mod rest;
mod scaler;
mod settings;
mod shape;
mod shelf;
pub mod sound;
mod thumbnail;
mod time;
mod tone;
mod worker;

pub use damage::{Flaw, FlawKind};
pub use error::{FilmError, FilmErrorKind};
pub use film::{Film, Reply, Want};
pub use find::{FILM_ENDINGS, Searched, Sought, find_films};
pub use fingerprint::{Fingerprint, FingerprintTextError, fingerprint};
pub use frame::Frame;
pub use in_step::{Alignment, InStep, PairReply, Side};
pub use index::{FrameIndex, IndexState, index_folder};
pub use info::FilmInfo;
pub use pictures::{Pictures, picture_folder};
pub use settings::Settings;
pub use thumbnail::{probe, thumbnail};
pub use time::FilmTime;
