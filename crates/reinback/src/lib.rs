//! Reinback shows a filmed dressage ride and turns keys and clicks into marks, rates and trends.
//!
//! A map of this folder:
//!
//! - [`app`]: what is open; one loop from presses, clicks and workers' news to changes
//! - [`command`], [`keymap`], [`keys`]: everything that can be asked for, and the keyboard
//! - [`action`]: what a room asks the application to do
//! - [`open_yard`], [`keeper`]: the open document, and the thread that writes it
//! - [`stage`]: the films of a ride on its clock; [`pair`]: two films in step
//! - [`sound`]: what plays the films' sound
//! - [`rooms`]: one folder a screen
//! - [`report`]: the numbers of the Progress room for other programs; [`still`]: a frame as a
//!   picture with a caption
//! - [`figure`]: pictures of numbers, described once for the window, for files and as tables
//! - [`said`]: what is said about numbers, in the rider's language
//! - [`theme`], [`typeface`], [`widgets`], [`notice`], [`clock`]: how things look and read; [`hints`]
//! - [`services`], [`task`], [`prefs`]: the outside world, long work, preferences
//!
//! **Invariant:** a room never changes the yard; it pushes an [`action::Action`], and only
//! [`open_yard::OpenYard`] applies edits.
//!
//! **Invariant:** nothing that may wait for a disk, a decoder or a person runs on the window's
//! thread.
//!
//! **Invariant:** no file but `theme/tokens.rs` makes a colour.

pub mod action;
pub mod app;
pub mod clock;
pub mod command;
pub mod counted;
pub mod figure;
pub mod hints;
pub mod keeper;
pub mod keymap;
pub mod keys;
pub mod notice;
pub mod open_yard;
pub mod pair;
pub mod prefs;
pub mod report;
pub mod rooms;
pub mod said;
pub mod services;
pub mod sound;
pub mod stage;
pub mod still;
pub mod task;
pub mod theme;
pub mod trial;
pub mod typeface;
pub mod widgets;
