//! The pictures of films that run together, as the graphics card has them.

use egui::{Context, TextureHandle, TextureOptions};

use crate::stage::together::Together;
use crate::widgets::picture;

/// One for each film, with the number of the picture it shows.
#[derive(Default)]
pub(super) struct Screens(Vec<Option<(u64, TextureHandle)>>);

impl Screens {
    /// Hands new pictures over.
    pub(super) fn follow(&mut self, ctx: &Context, together: &Together) {
        self.0.resize_with(together.len(), || None);
        for (at, screen) in self.0.iter_mut().enumerate() {
            let picture = together.stage(at).and_then(|stage| stage.picture());
            let Some((number, frame)) = picture else {
                *screen = None;
                continue;
            };
            match screen {
                Some((shown, _)) if *shown == number => {}
                Some((shown, texture)) => {
                    texture.set(picture::image(frame), TextureOptions::LINEAR);
                    *shown = number;
                }
                None => {
                    let image = picture::image(frame);
                    let texture = ctx.load_texture("moment", image, TextureOptions::LINEAR);
                    *screen = Some((number, texture));
                }
            }
        }
    }

    /// The picture of a film, from 0, once there is one.
    pub(super) fn get(&self, at: usize) -> Option<&TextureHandle> {
        let screen = self.0.get(at)?.as_ref();
        screen.map(|(_, texture)| texture)
    }
}
