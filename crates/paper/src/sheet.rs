//! What stands on a sheet, before it is set in type. Lengths are points (1/72 in).

use crate::figure::{Colour, Figure};
use crate::table::Table;
use crate::words::Words;

#[derive(Debug)]
pub struct Sheet {
    /// What readers show as its name.
    pub title: String,
    /// The language of its words (BCP 47).
    pub language: String,
    /// What tells it from every other document, for its metadata.
    pub identity: String,
    /// What it is dated.
    pub made_at: Moment,
    /// The program that made what it shows.
    pub program: String,
    /// The people who stand for it.
    pub authors: Vec<String>,
    pub size: Size,
    /// Whether it is set smaller, within reason, where that makes it one page.
    pub on_one_page: bool,
    /// What every page bears.
    pub running: Running,
    /// What it shows, in reading order.
    pub blocks: Vec<Block>,
    /// Files that it brings along.
    pub attached: Vec<Attached>,
    /// A font of one's own, for characters that those compiled in lack.
    pub font: Option<Vec<u8>>,
}

/// The paper it is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Size {
    /// 210 mm by 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 in by 11 in (ANSI/ASME Y14.1).
    Letter,
    /// 148 mm by 105 mm: A6 (ISO 216), on its side.
    Card,
    /// 57 mm by 32 mm: a label on a roll. It has a narrow margin, and no foot line.
    Label,
}

impl Size {
    /// Width and height.
    pub(crate) const fn points(self) -> (f32, f32) {
        match self {
            Self::A4 => (595.28, 841.89),
            Self::Letter => (612.0, 792.0),
            Self::Card => (419.53, 297.64),
            Self::Label => (161.57, 90.71),
        }
    }

    /// White on every side.
    pub(crate) const fn margin(self) -> f32 {
        match self {
            Self::Label => 6.0,
            _ => 40.0,
        }
    }

    /// Whether its pages have a foot line.
    pub(crate) const fn has_foot(self) -> bool {
        !matches!(self, Self::Label)
    }
}

/// A moment in UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    pub year: u16,
    pub month: u8,
    pub day: u8,
    pub hour: u8,
    pub minute: u8,
    pub second: u8,
}

/// The line under every page.
pub struct Running {
    /// What the page belongs to.
    pub foot: String,
    /// Which page it is, of how many.
    pub page: Box<dyn Fn(usize, usize) -> String>,
}

impl std::fmt::Debug for Running {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Running({:?})", self.foot)
    }
}

/// A file inside the document.
#[derive(Debug, Clone)]
pub struct Attached {
    pub name: String,
    /// Its media type.
    pub media_type: String,
    /// What it is, in words.
    pub description: String,
    /// Its bytes: the data that the sheet shows (AFRelationship `Data`, ISO 19005-3).
    pub bytes: Vec<u8>,
}

/// A picture that stands for whoever gives the sheet out.
#[derive(Debug, Clone)]
pub struct Logo {
    /// A PNG image.
    pub png: Vec<u8>,
    /// What it shows, in words.
    pub alt: String,
}

/// How loud a paragraph is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// As text is.
    Plain,
    /// As text in tables is.
    Fine,
    /// Beside the point.
    Soft,
    /// With a bar at its side.
    Caution,
    /// In a frame.
    Framed,
    /// As large as a heading.
    Large,
    /// The one word that matters.
    Shout(Colour),
}

/// One thing on a sheet.
#[derive(Debug)]
pub enum Block {
    /// What the whole is.
    Title(String),
    /// What follows.
    Heading(String),
    /// Sentences.
    Paragraph(Tone, Words),
    /// Names and what belongs to them, in so many columns.
    Facts(usize, Vec<(String, Words)>),
    /// Sentences that stand one by one.
    List(Vec<Words>),
    /// Rows and columns.
    Table(Table),
    Figure(Figure),
    /// Who gives it out: lines of text beside a picture.
    Letterhead {
        /// The first line is the name.
        lines: Vec<String>,
        /// At the right.
        logo: Option<Logo>,
    },
    /// Side by side, each with its share of the width; they stay on one page.
    Columns(Vec<(f32, Vec<Block>)>),
    /// Lines to be filled in by hand.
    ToSign(Vec<String>),
    /// That nothing follows.
    End(String),
}
