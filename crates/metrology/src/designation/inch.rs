//! What the designations with a size in inches share: symbol, size, threads per inch, class, in many orders.
//!
//! A form brings its [`Grammar`]; what the elements mean together it checks itself. (Unified has a reader of its
//! own: number sizes, series and written limits are found there only.)

use rust_decimal::Decimal;

use super::fraction::{count_of_pitch, fraction, mixed, mixed_count, ten_thousandths};
use super::tail::{self, Tail};
use super::text::Cursor;
use super::unified;
use crate::thread::Assumed;
use crate::thread::ThreadError;
use crate::thread::inch::InchSize;
use crate::thread::{Begins, Element, Fault, GivenPitch, KnownClasses, LeadMismatch, UnitOf};
use crate::thread::{Form, Kind};
use crate::units::{LengthUnit, ThreadsPerInch};

/// The words of one form.
pub(super) struct Grammar<S: 'static, C: 'static> {
    pub form: Form,
    /// How a designation begins, for the error about a missing size.
    pub begins: Begins,
    /// Words, one after the other, that name the form or its series. The longer ones first.
    pub symbols: &'static [(&'static [&'static str], S)],
    /// The classes as written.
    pub classes: &'static [(&'static str, C)],
    /// The classes, for the error about a wrong one.
    pub known_classes: KnownClasses,
}

/// An element with its place and as typed.
#[derive(Clone, Copy)]
pub(super) struct Piece<'t, T> {
    pub value: T,
    pub from: usize,
    pub end: usize,
    pub typed: &'t str,
}

/// A designation half read.
pub(super) struct Reader<'t, S: 'static, C: 'static> {
    pub cursor: Cursor<'t>,
    grammar: &'static Grammar<S, C>,
    pub symbol: Option<S>,
    pub class: Option<Piece<'t, C>>,
    /// Starts by lead over pitch.
    pub lead_starts: Option<u16>,
    pub tail: Tail,
}

impl<'t, S: Copy, C: Copy> Reader<'t, S, C> {
    pub fn new(cursor: Cursor<'t>, grammar: &'static Grammar<S, C>) -> Self {
        Self {
            cursor,
            grammar,
            symbol: None,
            class: None,
            lead_starts: None,
            tail: Tail::default(),
        }
    }

    /// Takes the symbol if it stands here.
    pub fn take_symbol(&mut self) -> Result<bool, ThreadError> {
        let from = self.cursor.at();
        for (words, symbol) in self.grammar.symbols {
            let mut ahead = self.cursor;
            let all = words.iter().all(|word| {
                ahead.skip_separators();
                ahead.eat_word(word)
            });
            if all {
                self.cursor = ahead;
                if self.symbol.is_some() {
                    return Err(ahead.error_from(
                        from,
                        Fault::Twice {
                            what: Element::Form,
                        },
                    ));
                }
                self.symbol = Some(*symbol);
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// A size in inches: `1/2`, `1 1/4`, `0.500`, `3/8"`.
    pub fn inch_size(&mut self) -> Result<Piece<'t, u32>, ThreadError> {
        self.take_symbol()?;
        let c = &mut self.cursor;
        c.skip_spaces();
        let mut behind = *c;
        behind.skip_separators();
        if c.peek() == b'-' && behind.is_number() && c.at() == 0 {
            return Err(c.error_here(Fault::Negative {
                what: Element::Size,
            }));
        }
        c.skip_separators();
        if !c.is_number() {
            return Err(c.error_here(Fault::MissingSize {
                form: self.grammar.begins,
            }));
        }
        let from = c.at();
        let first = c.number()?;
        let value = if c.peek() == b'/' {
            c.bump();
            fraction(c, 0, first)?
        } else if let Some(size) = mixed(c, first)? {
            size
        } else {
            ten_thousandths(c, first.value, from)?
        };
        let (end, typed) = (c.at(), c.typed(from));
        let before = *c;
        c.skip_spaces();
        match tail::unit_here(c) {
            Some(LengthUnit::Inch) => {}
            Some(_) => {
                return Err(c.error_from(
                    before.at(),
                    Fault::WrongUnit {
                        form: UnitOf::InchForm,
                    },
                ));
            }
            None => *c = before,
        }
        Ok(Piece {
            value,
            from,
            end,
            typed,
        })
    }

    /// Threads per inch, or pitch with lead: `-12`, `x 12`, ` 4 1/2`, `-0.4P-0.8L`.
    pub fn count(&mut self) -> Result<Option<Piece<'t, ThreadsPerInch>>, ThreadError> {
        let before = self.cursor;
        self.cursor.skip_separators();
        let crossed = self.cursor.eat(b'x');
        self.cursor.skip_spaces();
        if !self.cursor.is_number() || self.class_here().is_some() {
            if crossed {
                return Err(self.cursor.error_here(Fault::NumberMissing));
            }
            self.cursor = before;
            return Ok(None);
        }
        let c = &mut self.cursor;
        let from = c.at();
        let first = c.number()?;
        let value = if c.eat_word("p") {
            let count = count_of_pitch(c, first)?;
            self.lead_starts = unified::read_lead(c, first)?;
            count
        } else {
            let count = mixed_count(c, first)?;
            ThreadsPerInch::from_decimal(count).map_err(|_| {
                c.error_from(
                    from,
                    Fault::ImpossiblePitch {
                        size: before.typed(0).to_owned(),
                        pitch: GivenPitch::PerInch { count },
                    },
                )
            })?
        };
        let (end, typed) = (c.at(), c.typed(from));
        let after = *c;
        c.skip_separators();
        if !c.eat_word("tpi") {
            *c = after;
        }
        Ok(Some(Piece {
            value,
            from,
            end,
            typed,
        }))
    }

    /// Everything behind size and count, in any order.
    pub fn rest(&mut self) -> Result<(), ThreadError> {
        loop {
            self.cursor.skip_separators();
            if self.cursor.is_at_end() {
                return Ok(());
            }
            if self.take_symbol()? || self.take_class()? {
                continue;
            }
            if !self.tail.take(&mut self.cursor, LengthUnit::Inch)? {
                return Err(self.unexpected());
            }
        }
    }

    fn class_here(&self) -> Option<(usize, C)> {
        self.grammar.classes.iter().find_map(|(text, class)| {
            let mut ahead = self.cursor;
            ahead.eat_piece(text).then_some((ahead.at(), *class))
        })
    }

    fn take_class(&mut self) -> Result<bool, ThreadError> {
        let Some((end, value)) = self.class_here() else {
            return Ok(false);
        };
        let from = self.cursor.at();
        self.cursor.advance(end - from);
        if self.class.is_some() {
            return Err(self.cursor.error_from(
                from,
                Fault::Twice {
                    what: Element::Class,
                },
            ));
        }
        self.class = Some(Piece {
            value,
            from,
            end,
            typed: self.cursor.typed(from),
        });
        Ok(true)
    }

    /// A wrong class or a stray piece.
    fn unexpected(&self) -> ThreadError {
        let c = self.cursor;
        let end = c.next_piece();
        let typed = end.typed(c.at()).to_owned();
        let stem = c.typed(0).trim_end_matches(['-', ' ', ',']);
        if self.class.is_none() && !self.grammar.classes.is_empty() {
            let rest = end.rest_from(end.at());
            let with = |(text, _): &(&str, C)| format!("{stem} {text}{rest}");
            return end
                .error_from(
                    c.at(),
                    Fault::UnknownClass {
                        class: typed,
                        known: self.grammar.known_classes,
                    },
                )
                .suggest(self.grammar.classes.iter().map(with));
        }
        end.error_from(
            c.at(),
            Fault::Unexpected {
                given: typed,
                form: self.grammar.form,
            },
        )
        .suggest([stem.to_owned()])
    }

    /// The starts, by lead or by word.
    pub fn starts(&self) -> Result<u16, ThreadError> {
        match (self.lead_starts, self.tail.starts) {
            (Some(of_lead), Some(stated)) if of_lead != stated => {
                Err(self
                    .cursor
                    .error_span(0, usize::MAX, LeadMismatch::disagree(of_lead, stated)))
            }
            (of_lead, stated) => Ok(of_lead.or(stated).unwrap_or(1)),
        }
    }

    /// External or internal: by word, else external, and said.
    pub fn kind(&self, assumed: &mut Vec<Assumed>) -> Kind {
        self.tail.kind.unwrap_or_else(|| {
            assumed.push(Assumed::External);
            Kind::External
        })
    }

    /// Refuses a word that contradicts what the class or symbol says.
    pub fn agree(&self, of_class: Kind, class: &str) -> Result<Kind, ThreadError> {
        tail::agreed_kind(of_class, class, self.tail.kind).map_err(|fault| {
            let (from, end) = self
                .class
                .as_ref()
                .map_or((0, usize::MAX), |class| (class.from, class.end));
            self.cursor.error_span(from, end, *fault)
        })
    }

    /// The symbol of a pipe thread, as an error names it.
    pub fn form_symbol(&self) -> &'static str {
        match self.grammar.form {
            Form::GPipe => "G",
            Form::RPipe => "R",
            _ => "NPT",
        }
    }

    /// An error about an element.
    pub fn error<T>(&self, piece: &Piece<'t, T>, fault: Fault) -> ThreadError {
        self.cursor.error_span(piece.from, piece.end, fault)
    }

    /// A designation with other text in the place of an element.
    pub fn instead<T>(&self, piece: &Piece<'t, T>, text: &str) -> String {
        let mut before = self.cursor;
        before.go_to(piece.from);
        format!(
            "{}{text}{}",
            before.typed_all(0),
            self.cursor.rest_from(piece.end)
        )
    }
}

impl<T> Piece<'_, T> {
    /// The size as typed with a symbol, as an error names it.
    pub fn size_name(&self, symbol: &str) -> String {
        format!("{} {symbol}", self.typed)
    }
}

/// The sizes whose diameter is nearest, as many as share it; none if it is more than a thirtieth away.
pub(super) fn nearest<S>(sizes: &[InchSize<S>], diameter: u32) -> Vec<&InchSize<S>> {
    let nearest = sizes
        .iter()
        .map(|size| size.diameter)
        .min_by_key(|listed| listed.abs_diff(diameter));
    sizes
        .iter()
        .filter(|size| Some(size.diameter) == nearest)
        .filter(|size| size.diameter.abs_diff(diameter) <= diameter / 30)
        .collect()
}

/// A pitch is at most 0.45 of the diameter, so that a core is left, and no finer than 200 per inch.
pub(super) fn is_possible(diameter: u32, count: ThreadsPerInch) -> bool {
    count.decimal() * Decimal::new(i64::from(diameter), 4) >= Decimal::new(222, 2)
        && count <= ThreadsPerInch::whole(200)
}
