//! A label for a piece of equipment, with a code that a scanner types as its identity.

use jiff::Timestamp;
use paper::{Block, Figure, INK, Mark, Point, Tone, Words};
use qrcode::{Color, EcLevel, QrCode};
use workshop::equipment::Equipment;

use super::Printing;
use super::frame::{Format, Framed, soft};
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::{say, words};

/// Points that the code takes in either direction, with the four modules of white that ISO/IEC 18004 wants around it.
const CODE: f32 = 66.0;
const QUIET: usize = 4;

/// The PDF, dated with this moment; an identity that is too long for a code is refused.
pub fn pdf(
    equipment: &Equipment,
    letterhead: &Letterhead,
    at: Timestamp,
) -> Result<Vec<u8>, Failure> {
    let id = equipment.id();
    let code = QrCode::with_error_correction_level(id, EcLevel::M)
        .map_err(|_| Failure::input(say!("paper-label.too-long", id = id)))?;
    let title = say!("paper-label.title", id = id);
    let framed = Framed::dated(Format::Label, title, id, at);
    framed.pdf(letterhead, &Printing::default(), blocks(equipment, &code))
}

fn blocks(equipment: &Equipment, code: &QrCode) -> Vec<Block> {
    let mut beside = vec![
        Block::Paragraph(Tone::Large, Words::strong(equipment.id())),
        soft(words::word(&equipment.kind())),
    ];
    beside.extend(
        equipment
            .due()
            .map(|due| soft(say!("paper-label.due", due = due))),
    );
    vec![Block::Columns(vec![
        (0.46, vec![Block::Figure(drawn(equipment.id(), code))]),
        (0.54, beside),
    ])]
}

fn drawn(id: &str, code: &QrCode) -> Figure {
    let width = code.width();
    let dark: Vec<bool> = code
        .to_colors()
        .into_iter()
        .map(|colour| colour == Color::Dark)
        .collect();
    Figure {
        alt: say!("paper-label.code", id = id),
        height: CODE,
        draw: Box::new(move |_| {
            let module = CODE / (width + 2 * QUIET) as f32;
            let rows = dark.chunks(width).enumerate();
            rows.flat_map(|(row, modules)| {
                runs(modules).map(move |(from, length)| {
                    let corner = Point {
                        x: (QUIET + from) as f32 * module,
                        y: (QUIET + row) as f32 * module,
                    };
                    // One area a run: viewers show a hair of white between areas that only touch.
                    Mark::rectangle(corner, length as f32 * module, module, Some(INK), None)
                })
            })
            .collect()
        }),
    }
}

/// Where dark modules of a row begin, and how many stand together.
fn runs(modules: &[bool]) -> impl Iterator<Item = (usize, usize)> + '_ {
    let mut at = 0;
    modules
        .chunk_by(|one, next| one == next)
        .filter_map(move |run| {
            let from = at;
            at += run.len();
            run.first()?.then_some((from, run.len()))
        })
}
