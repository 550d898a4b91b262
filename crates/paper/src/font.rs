//! Fonts, and text as glyphs of them.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use krilla::Data;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use rustybuzz::{Direction, Script, ShapePlan, UnicodeBuffer, script};
use unicode_bidi::{BidiClass, BidiInfo, bidi_class};

use crate::error::Error;

const REGULAR: &[u8] = include_bytes!("../fonts/Roboto-Regular.ttf");
const BOLD: &[u8] = include_bytes!("../fonts/Roboto-Bold.ttf");
const MORE: &[u8] = include_bytes!("../fonts/DejaVuSans.ttf");

/// A font, as it is written and as it is shaped.
struct Face<'a> {
    font: Font,
    shaped: rustybuzz::Face<'a>,
    /// How text of a script is shaped, leftward or not. To make one takes longer than to shape a word by it.
    plans: RefCell<Vec<(bool, Script, Rc<ShapePlan>)>>,
    units: f32,
}

impl<'a> Face<'a> {
    fn new(bytes: &'a [u8], data: Data) -> Option<Self> {
        let font = Font::new(data, 0)?;
        let shaped = rustybuzz::Face::from_slice(bytes, 0)?;
        Some(Self {
            units: font.units_per_em(),
            font,
            shaped,
            plans: RefCell::default(),
        })
    }

    fn has(&self, character: char) -> bool {
        self.shaped.glyph_index(character).is_some()
    }

    fn plan(&self, leftward: bool, script: Script) -> Rc<ShapePlan> {
        let mut plans = self.plans.borrow_mut();
        let mut known = plans.iter();
        if let Some((_, _, plan)) = known.find(|known| (known.0, known.1) == (leftward, script)) {
            return Rc::clone(plan);
        }
        let stated = Some(script).filter(|script| *script != script::UNKNOWN);
        let plan = ShapePlan::new(&self.shaped, direction(leftward), stated, None, &[]);
        let plan = Rc::new(plan);
        plans.push((leftward, script, Rc::clone(&plan)));
        plan
    }
}

/// Glyphs of one font, in the order they stand on paper.
#[derive(Clone)]
pub struct Run {
    pub font: Font,
    /// What they say.
    pub text: String,
    /// The glyphs, in ems.
    pub glyphs: Vec<KrillaGlyph>,
    /// How wide they are, in ems.
    pub width: f32,
}

/// Runs by weight and text.
type Known = HashMap<(bool, String), Rc<[Run]>>;

/// All fonts there are.
pub struct Fonts<'a> {
    /// Regular and bold.
    text: [Face<'a>; 2],
    /// What has the characters that those lack.
    more: Vec<Face<'a>>,
    /// What was shaped, by weight and text; the same words come again and again.
    known: RefCell<Known>,
}

impl<'a> Fonts<'a> {
    /// Those compiled in, and one more.
    pub fn new(own: Option<&'a [u8]>) -> Result<Self, Error> {
        let face = |bytes: &'static [u8]| Face::new(bytes, bytes.into()).ok_or(Error::Font);
        let mut more = vec![face(MORE)?];
        if let Some(bytes) = own {
            more.push(Face::new(bytes, bytes.to_vec().into()).ok_or(Error::Font)?);
        }
        Ok(Self {
            text: [face(REGULAR)?, face(BOLD)?],
            more,
            known: RefCell::default(),
        })
    }

    /// How wide a text is, in ems.
    pub fn width(&self, text: &str, strong: bool) -> Result<f32, Error> {
        let runs = self.shape(text, strong)?;
        Ok(runs.iter().map(|run| run.width).sum())
    }

    /// A text on one line, as glyphs.
    pub fn shape(&self, text: &str, strong: bool) -> Result<Rc<[Run]>, Error> {
        let key = (strong, text.to_owned());
        if let Some(runs) = self.known.borrow().get(&key) {
            return Ok(Rc::clone(runs));
        }
        let runs: Rc<[Run]> = self.shape_anew(text, strong)?.into();
        self.known.borrow_mut().insert(key, Rc::clone(&runs));
        Ok(runs)
    }

    fn shape_anew(&self, text: &str, strong: bool) -> Result<Vec<Run>, Error> {
        let text = plain(text);
        if !text.chars().any(is_right_to_left) {
            return self.shape_one_way(&text, strong, false);
        }
        let info = BidiInfo::new(&text, None);
        let mut runs = Vec::new();
        for paragraph in &info.paragraphs {
            let (levels, visual) = info.visual_runs(paragraph, paragraph.range.clone());
            for range in visual {
                let leftward = levels
                    .get(range.start)
                    .is_some_and(unicode_bidi::Level::is_rtl);
                let part = text.get(range).unwrap_or_default();
                runs.extend(self.shape_one_way(part, strong, leftward)?);
            }
        }
        Ok(runs)
    }

    fn shape_one_way(&self, text: &str, strong: bool, leftward: bool) -> Result<Vec<Run>, Error> {
        let mut parts: Vec<(&Face, String)> = Vec::new();
        for character in text.chars() {
            let face = self.face(character, strong, parts.last().map(|(face, _)| *face));
            let face = face.ok_or_else(|| Error::NoGlyph {
                character,
                text: text.to_owned(),
            })?;
            match parts.last_mut() {
                Some((last, part)) if std::ptr::eq(*last, face) => part.push(character),
                _ => parts.push((face, character.to_string())),
            }
        }
        let mut runs: Vec<Run> = parts
            .into_iter()
            .map(|(face, part)| shaped(face, part, leftward))
            .collect();
        if leftward {
            runs.reverse();
        }
        Ok(runs)
    }

    /// The font of a character. What joins or stands between others stays in theirs.
    fn face<'f>(
        &'f self,
        character: char,
        strong: bool,
        last: Option<&'f Face<'a>>,
    ) -> Option<&'f Face<'a>> {
        if let Some(last) = last
            && (is_joiner(character) || (goes_along(character) && last.has(character)))
        {
            return Some(last);
        }
        let [regular, bold] = &self.text;
        let first = if strong { bold } else { regular };
        let mut all = std::iter::once(first).chain(&self.more);
        all.find(|face| face.has(character) || is_joiner(character))
    }
}

/// Control characters have no place on paper; marks of direction do their work without being seen.
fn plain(text: &str) -> String {
    text.chars()
        .filter(|character| {
            !matches!(character, '\u{200B}' | '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FEFF}')
        })
        .map(|character| if character.is_control() { ' ' } else { character })
        .collect()
}

const fn is_joiner(character: char) -> bool {
    matches!(character, '\u{200C}' | '\u{200D}' | '\u{FE00}'..='\u{FE0F}')
}

fn goes_along(character: char) -> bool {
    character == ' ' || !character.is_ascii() && bidi_class(character) == BidiClass::NSM
}

fn is_right_to_left(character: char) -> bool {
    let class = || bidi_class(character);
    !character.is_ascii() && matches!(class(), BidiClass::R | BidiClass::AL | BidiClass::AN)
}

const fn direction(leftward: bool) -> Direction {
    if leftward {
        Direction::RightToLeft
    } else {
        Direction::LeftToRight
    }
}

fn shaped(face: &Face, text: String, leftward: bool) -> Run {
    let mut buffer = UnicodeBuffer::new();
    buffer.push_str(&text);
    buffer.guess_segment_properties();
    buffer.set_direction(direction(leftward));
    let plan = face.plan(leftward, buffer.script());
    let output = rustybuzz::shape_with_plan(&face.shaped, &plan, buffer);
    let em = |units: i32| units as f32 / face.units;
    let starts: Vec<usize> = output
        .glyph_infos()
        .iter()
        .map(|info| info.cluster as usize)
        .collect();
    let mut sorted = starts.clone();
    sorted.sort_unstable();
    let glyphs: Vec<KrillaGlyph> = output
        .glyph_infos()
        .iter()
        .zip(output.glyph_positions())
        .map(|(info, place)| {
            let start = info.cluster as usize;
            // A cluster ends where the next one in the text begins.
            let next = sorted.partition_point(|other| *other <= start);
            let end = sorted.get(next).copied().unwrap_or(text.len());
            KrillaGlyph::new(
                GlyphId::new(info.glyph_id),
                em(place.x_advance),
                em(place.x_offset),
                em(place.y_offset),
                em(place.y_advance),
                start..end,
                None,
            )
        })
        .collect();
    Run {
        font: face.font.clone(),
        width: glyphs.iter().map(|glyph| glyph.x_advance).sum(),
        text,
        glyphs,
    }
}
