//! What all that is printed has in common: letterhead, foot line, number of the page, end mark, and the data attached.

use ledger::Entry;
use paper::{Attached, Block, Logo, Moment, Running, Sheet, Tone, Words};

use super::Printing;
use crate::desk::PROGRAM;
use crate::document::EntryDocument;
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::Record;
use crate::report::sections::Fact;
use crate::say;

/// What it is printed as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// On the laboratory's paper, with letterhead and end mark.
    Report,
    Card,
    Label,
}

/// A report before it is printed.
pub struct Framed {
    /// What it is and of what, for the name of the file.
    pub title: String,
    /// The same in short, for the foot line.
    pub short: String,
    /// Tells one state of what it shows from every other.
    pub identity: String,
    pub made_at: jiff::Timestamp,
    pub program: String,
    pub person: String,
    /// Whether it is set smaller, within reason, where that makes it one page.
    pub on_one_page: bool,
    pub format: Format,
    /// What it is to be told by, in the end mark.
    pub name: String,
    pub attached: Vec<Attached>,
}

impl Framed {
    /// A report of one entry, with that entry attached.
    pub fn of(
        entry: &Entry,
        record: &Record,
        title: String,
        short: String,
    ) -> Result<Self, Failure> {
        Ok(Self {
            title,
            short,
            identity: record.hash.clone(),
            made_at: record.recorded_at,
            program: record.program.clone(),
            person: record.person.clone(),
            on_one_page: false,
            format: Format::Report,
            name: record.id.clone(),
            attached: vec![attached(entry)?],
        })
    }

    /// A card or a label, which is no record: the program stands for it, and it is dated with the moment it is made.
    pub fn dated(format: Format, title: String, name: &str, at: jiff::Timestamp) -> Self {
        Self {
            short: title.clone(),
            title,
            identity: PROGRAM.to_owned(),
            made_at: at,
            program: PROGRAM.to_owned(),
            person: PROGRAM.to_owned(),
            on_one_page: true,
            format,
            name: name.to_owned(),
            attached: Vec::new(),
        }
    }

    /// The file, with these blocks between letterhead and end mark.
    pub fn pdf(
        self,
        letterhead: &Letterhead,
        printing: &Printing,
        inner: Vec<Block>,
    ) -> Result<Vec<u8>, Failure> {
        // Cards and labels have no room for a letterhead.
        let is_report = self.format == Format::Report;
        let head = head(letterhead).filter(|_| is_report);
        let mut blocks: Vec<Block> = head.into_iter().collect();
        blocks.extend(inner);
        if is_report {
            blocks.push(Block::End(say!("paper.end", record = self.name)));
        }
        let sheet = Sheet {
            running: Running {
                foot: say!("paper.foot", what = self.short, hash = self.identity),
                page: Box::new(|page, of| say!("paper.page", page = page, of = of)),
            },
            title: self.title,
            language: "en".to_owned(),
            identity: self.identity,
            made_at: moment(self.made_at),
            program: self.program,
            authors: vec![self.person],
            size: match self.format {
                Format::Card => paper::Size::Card,
                Format::Label => paper::Size::Label,
                Format::Report => {
                    let size = printing.size.or(letterhead.size);
                    size.map_or_else(paper::Size::default, Into::into)
                }
            },
            on_one_page: self.on_one_page,
            blocks,
            attached: self.attached,
            font: letterhead.font.clone(),
        };
        sheet.to_pdf().map_err(|error| refused(&error))
    }
}

/// An entry with its documents, as a file to be attached.
pub fn attached(entry: &Entry) -> Result<Attached, Failure> {
    let id = entry.id();
    Ok(Attached {
        name: format!("record-{id}.json"),
        media_type: "application/json".to_owned(),
        description: say!("paper.attached", record = id),
        bytes: serde_json::to_vec_pretty(&EntryDocument::of(entry, true))
            .map_err(Failure::outside)?,
    })
}

/// Who gives it out; none where the laboratory's file says nothing.
pub fn head(letterhead: &Letterhead) -> Option<Block> {
    if letterhead.lines.is_empty() && letterhead.logo.is_none() {
        return None;
    }
    Some(Block::Letterhead {
        lines: letterhead.lines.clone(),
        logo: letterhead.logo.as_ref().map(|png| Logo {
            png: png.clone(),
            alt: say!("paper.logo").to_owned(),
        }),
    })
}

/// That a result is within the scope of accreditation, with the mark, or that it is not.
pub fn accredited(letterhead: &Letterhead, is_within: bool) -> Block {
    match letterhead.accreditation().filter(|_| is_within) {
        Some((text, mark)) => claim(text.to_owned(), mark),
        None => fine(say!("paper.not-accredited")),
    }
}

/// The same of the characteristics of a report by number: those within the scope, and those that are not.
pub fn accredited_of(letterhead: &Letterhead, within: &[&str], outside: &[&str]) -> Vec<Block> {
    let Some((text, mark)) = letterhead.accreditation() else {
        return Vec::new();
    };
    let mut blocks = Vec::new();
    if !within.is_empty() {
        let numbers = within.join(", ");
        let text = say!("paper.accredited-for", text = text, numbers = numbers);
        blocks.push(claim(text, mark));
    }
    if !outside.is_empty() {
        let numbers = outside.join(", ");
        blocks.push(fine(say!("paper.not-accredited-for", numbers = numbers)));
    }
    blocks
}

fn claim(text: String, mark: Option<&[u8]>) -> Block {
    match mark {
        None => fine(text),
        Some(png) => Block::Letterhead {
            lines: vec![text],
            logo: Some(Logo {
                png: png.to_owned(),
                alt: say!("paper.mark").to_owned(),
            }),
        },
    }
}

/// What keeps a report from being printed, in words.
fn refused(error: &paper::Error) -> Failure {
    match error {
        paper::Error::NoGlyph { character, text } => Failure::input(say!(
            "paper.no-glyph",
            character = character,
            number = format!("{:04X}", *character as u32),
            text = text
        )),
        paper::Error::Font => Failure::input(say!("paper.no-font")),
        paper::Error::Logo(why) => Failure::input(say!("paper.no-logo", why = why)),
        paper::Error::LogoTooLarge(width, height) => {
            Failure::input(say!("paper.logo-too-large", width = width, height = height))
        }
        paper::Error::Refused(why) => Failure::outside(say!("paper.refused", why = why)),
    }
}

fn moment(at: jiff::Timestamp) -> Moment {
    let at = jiff::tz::Offset::UTC.to_datetime(at);
    let small = |number: i8| u8::try_from(number).unwrap_or(1);
    Moment {
        year: u16::try_from(at.year()).unwrap_or(1),
        month: small(at.month()),
        day: small(at.day()),
        hour: small(at.hour()),
        minute: small(at.minute()),
        second: small(at.second()),
    }
}

pub fn fact(name: &str, words: impl Into<Words>) -> Fact {
    (name.to_owned(), words.into())
}

pub fn heading(words: &str) -> Block {
    Block::Heading(words.to_owned())
}

pub fn fine(words: impl Into<Words>) -> Block {
    Block::Paragraph(Tone::Fine, words.into())
}

pub fn plain(words: impl Into<Words>) -> Block {
    Block::Paragraph(Tone::Plain, words.into())
}

pub fn soft(words: impl Into<Words>) -> Block {
    Block::Paragraph(Tone::Soft, words.into())
}

/// What this record replaces, and what took its place.
pub fn amendments(record: &Record) -> Vec<Block> {
    let amends = record
        .amends
        .as_ref()
        .map(|(id, reason)| say!("paper.replaces", record = id, reason = reason));
    let superseded = record
        .superseded
        .as_ref()
        .map(crate::report::Superseded::sentence);
    amends
        .into_iter()
        .chain(superseded)
        .chain(record.recalled.iter().cloned())
        .map(|sentence| Block::Paragraph(Tone::Framed, sentence.into()))
        .collect()
}

/// Lines for a signature by hand and its date.
pub fn to_sign() -> Block {
    Block::ToSign(vec![
        say!("report.statement-signed").to_owned(),
        say!("report.statement-date").to_owned(),
    ])
}
