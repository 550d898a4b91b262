//! Who gives a sheet out, on top of it.

use super::slice::{HEADING, LABEL, Piece, Print, Slice, Type, rule, stacked};
use super::{GUTTER, Kind, Setter};
use crate::error::Error;
use crate::figure::{INK, SOFT, at};
use crate::sheet::Logo;
use crate::words::Words;

/// A letterhead has no larger logo.
const LOGO: (f32, f32) = (140.0, 40.0);
/// More pixels than a letterhead can show.
const PIXELS: u32 = 4_000_000;

impl Setter<'_, '_> {
    /// Lines of text, and a picture at the right.
    pub fn letterhead(
        &mut self,
        lines: &[String],
        logo: Option<&Logo>,
        width: f32,
    ) -> Result<Vec<Slice>, Error> {
        let mut whole = Slice::default();
        let room = if logo.is_some() {
            width - LOGO.0 - GUTTER
        } else {
            width
        };
        let mut all = Vec::new();
        for (index, line) in lines.iter().enumerate() {
            let node = self.node(Kind::Paragraph, None);
            let (kind, words) = if index == 0 {
                (HEADING, Words::strong(line))
            } else {
                (
                    Type {
                        colour: SOFT,
                        ..LABEL
                    },
                    line.as_str().into(),
                )
            };
            all.extend(self.lines_of(&words, room, kind, node)?);
        }
        let text = stacked(all);
        whole.height = text.height;
        whole.pieces = text.pieces;
        if let Some(logo) = logo {
            let node = self.node(Kind::Figure(logo.alt.clone()), None);
            let (image, pixels) = decoded(&logo.png)?;
            let scale = (LOGO.0 / pixels.0).min(LOGO.1 / pixels.1);
            let (wide, high) = (pixels.0 * scale, pixels.1 * scale);
            whole.pieces.push(Piece {
                node: Some(node),
                prints: vec![Print::Picture {
                    at: at(width - wide, 0.0),
                    width: wide,
                    height: high,
                    image,
                }],
            });
            whole.height = whole.height.max(high);
        }
        whole.height += 5.0;
        whole.pieces.push(rule(width, whole.height, INK, 0.8));
        whole.height += 2.0;
        Ok(vec![whole])
    }
}

/// A PNG image, and its width and height.
fn decoded(bytes: &[u8]) -> Result<(krilla::image::Image, (f32, f32)), Error> {
    let no_logo = |error: png::DecodingError| Error::Logo(error.to_string());
    let mut decoder = png::Decoder::new(std::io::Cursor::new(bytes));
    decoder.set_transformations(png::Transformations::normalize_to_color8());
    let mut reader = decoder.read_info().map_err(no_logo)?;
    let (width, height) = (reader.info().width, reader.info().height);
    if width.saturating_mul(height) > PIXELS || width == 0 || height == 0 {
        return Err(Error::LogoTooLarge(width, height));
    }
    let mut pixels = vec![0; reader.output_buffer_size().unwrap_or_default()];
    let frame = reader.next_frame(&mut pixels).map_err(no_logo)?;
    pixels.truncate(frame.buffer_size());
    let channels = frame.color_type.samples();
    let rgba: Vec<u8> = pixels
        .chunks_exact(channels)
        .flat_map(|pixel| match pixel {
            [grey] => [*grey, *grey, *grey, 255],
            [grey, alpha] => [*grey, *grey, *grey, *alpha],
            [red, green, blue] => [*red, *green, *blue, 255],
            [red, green, blue, alpha, ..] => [*red, *green, *blue, *alpha],
            [] => [255; 4],
        })
        .collect();
    let image = krilla::image::Image::from_rgba8(rgba, width, height);
    Ok((image, (width as f32, height as f32)))
}
