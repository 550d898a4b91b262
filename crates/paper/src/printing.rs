//! From a sheet to its file: set in type, broken into pages, written.

use crate::error::Error;
use crate::font::Fonts;
use crate::galley::Galley;
use crate::pages::{self, Pages};
use crate::pdf;
use crate::sheet::Sheet;

/// A sheet that shall be one page is set smaller in these steps, until it is.
const STEPS: [f32; 5] = [1.0, 0.95, 0.9, 0.86, 0.82];

impl Sheet {
    pub fn to_pdf(&self) -> Result<Vec<u8>, Error> {
        let fonts = Fonts::new(self.font.as_deref())?;
        if self.on_one_page {
            for scale in STEPS {
                let pages = self.pages(scale, &fonts)?;
                if pages.all.len() == 1 {
                    return pdf::written(self, &pages);
                }
            }
        }
        pdf::written(self, &self.pages(1.0, &fonts)?)
    }

    /// Set on paper that is larger by as much as it is printed smaller.
    fn pages(&self, scale: f32, fonts: &Fonts) -> Result<Pages, Error> {
        let (width, height) = self.size.points();
        let room = (width / scale, height / scale);
        let margin = self.size.margin();
        let galley = Galley::set(&self.blocks, room.0 - 2.0 * margin, fonts)?;
        let running = self.size.has_foot().then_some(&self.running);
        Ok(Pages {
            scale,
            ..pages::broken(galley, room, margin, running, fonts)?
        })
    }
}
