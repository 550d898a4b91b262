//! BA threads (BS 93): numbers 0 to 16, in millimetres.
//!
//! `0 BA normal`, `4BA close`, `BA 2`, `No. 6 BA nut`. Nuts have one class, which is not written.

use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;

use super::assumed::Assumed;
use super::error::ThreadError;
use super::fault::{Begins, ClassNotDefined, Fault, KnownClasses, KnownSizes};
use super::inch::{Grammar, Piece, Reader, write_tail};
use super::text::Cursor;
use super::unified::size::whole;
use super::{Form, Hand, Kind};
use crate::tables;
use crate::units::Length;

/// A BA thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BaThread {
    pub(crate) size: &'static BaSize,
    /// Of a bolt; nuts have one class.
    pub(crate) class: Option<BaClass>,
    pub(crate) hand: Hand,
    pub(crate) assumed: Vec<Assumed>,
}

/// A class of bolts of BS 93.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BaClass {
    /// Numbers 0 to 10 only.
    Close,
    /// All numbers.
    Normal,
}

impl BaClass {
    /// As the standard writes it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Close => "close",
            Self::Normal => "normal",
        }
    }
}

/// A row of the basic sizes.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct BaSize {
    pub number: u32,
    pub pitch: Length,
    pub major: Length,
    pub pitch_diameter: Length,
    pub minor: Length,
}

#[derive(Deserialize)]
struct Row {
    size: u32,
    pitch_mm: String,
    d_mm: String,
    pitch_diameter_mm: String,
    minor_mm: String,
}

static SIZES: LazyLock<Vec<BaSize>> = LazyLock::new(|| {
    tables::rows(tables::BA_SIZES)
        .into_iter()
        .filter_map(|row: Row| {
            Some(BaSize {
                number: row.size,
                pitch: tables::mm(&row.pitch_mm)?,
                major: tables::mm(&row.d_mm)?,
                pitch_diameter: tables::mm(&row.pitch_diameter_mm)?,
                minor: tables::mm(&row.minor_mm)?,
            })
        })
        .collect()
});

/// The sizes of BS 93.
pub(crate) fn sizes() -> &'static [BaSize] {
    &SIZES
}

static GRAMMAR: Grammar<(), BaClass> = Grammar {
    form: Form::Ba,
    begins: Begins::Ba,
    symbols: &[(&["ba"], ()), (&["b", "a"], ())],
    classes: &[("normal", BaClass::Normal), ("close", BaClass::Close)],
    known_classes: KnownClasses::Ba,
};

/// Reads a BA designation.
pub(super) fn read(cursor: Cursor<'_>) -> Result<BaThread, ThreadError> {
    let mut read = Reader::new(cursor, &GRAMMAR);
    read.take_symbol()?;
    let number = number(&mut read)?;
    read.rest()?;
    let size = SIZES
        .iter()
        .find(|size| Some(size.number) == number.value)
        .ok_or_else(|| {
            read.error(
                &number,
                Fault::NoSuchSize {
                    size: format!("{} BA", number.typed),
                    standard: "BS 93",
                    known: KnownSizes::BaNumbers,
                },
            )
            .suggest([read.instead(&number, "16")])
        })?;
    let mut assumed = Vec::new();
    let kind = read.kind(&mut assumed);
    let class = match (kind, &read.class) {
        (Kind::External, Some(class)) if class.value == BaClass::Close && size.number > 10 => {
            return Err(read
                .error(
                    class,
                    Fault::ClassNotDefined {
                        class: "close".to_owned(),
                        thread: format!("{} BA", size.number),
                        why: ClassNotDefined::BaClose,
                    },
                )
                .suggest([read.instead(class, "normal")]));
        }
        (Kind::External, Some(class)) => Some(class.value),
        (Kind::External, None) => {
            assumed.push(Assumed::BaClass);
            Some(BaClass::Normal)
        }
        (Kind::Internal, Some(class)) => {
            assumed.push(Assumed::BaNutClass {
                class: class.value.name(),
            });
            None
        }
        (Kind::Internal, None) => None,
    };
    Ok(BaThread {
        size,
        class,
        hand: read.tail.hand.unwrap_or_default(),
        assumed,
    })
}

/// The number, with or without `No.` before it.
fn number<'t>(read: &mut Reader<'t, (), BaClass>) -> Result<Piece<'t, Option<u32>>, ThreadError> {
    let c = &mut read.cursor;
    c.skip_separators();
    if !c.eat(b'#') && (c.eat_word("no") || c.eat_word("nr") || c.eat_word("number")) {
        c.eat(b'.');
    }
    c.skip_spaces();
    if !c.is_number() {
        return Err(c.error_here(Fault::MissingSize {
            form: GRAMMAR.begins,
        }));
    }
    let from = c.at();
    let number = c.number()?;
    Ok(Piece {
        value: whole(number),
        from,
        end: c.at(),
        typed: c.typed(from),
    })
}

impl BaThread {
    /// External with a class, internal without.
    pub(crate) const fn kind(&self) -> Kind {
        if self.class.is_some() {
            Kind::External
        } else {
            Kind::Internal
        }
    }
}

/// Number and class; `internal` for a nut.
impl fmt::Display for BaThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} BA", self.size.number)?;
        if let Some(class) = self.class {
            write!(f, " {}", class.name())?;
        }
        let word = self.class.is_none().then_some(Kind::Internal);
        write_tail(f, self.hand, word)
    }
}
