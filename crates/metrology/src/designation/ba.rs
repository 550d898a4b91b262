//! BA threads (BS 93): numbers 0 to 16, in millimetres.
//!
//! `0 BA normal`, `4BA close`, `BA 2`, `No. 6 BA nut`. Nuts have one class, which is not written.

use super::fraction::whole;
use super::inch::{Grammar, Piece, Reader};
use super::text::Cursor;
use crate::thread::Assumed;
use crate::thread::ThreadError;
use crate::thread::ba::{BaClass, BaThread, sizes};
use crate::thread::{Begins, ClassNotDefined, Fault, KnownClasses, KnownSizes};
use crate::thread::{Form, Kind};

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
    let size = sizes()
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
            // The largest, for one that is not much larger.
            .suggest(
                (number.value.is_some_and(|number| number <= 20))
                    .then(|| read.instead(&number, "16")),
            )
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
