//! Which form a designation is of: by the word it begins with, or by a word in it that only one form has.

use super::known_names::known_name;
use super::text::Cursor;
use super::{Form, unified};
use crate::thread::Fault;
use crate::thread::ThreadError;

/// The form of a designation.
pub(super) fn recognise(cursor: Cursor<'_>) -> Result<Form, ThreadError> {
    let word = cursor.word();
    let mut next = cursor;
    next.advance(word.len());
    next.skip_spaces();
    let is = |name: &str| word.eq_ignore_ascii_case(name);
    // `M10`, and `M-6g` or a lone `M`, so that the error says what is missing.
    if is("m") && (next.is_number() || next.is_at_end() || next.peek() == b'-') {
        return Ok(Form::IsoMetric);
    }
    let mut behind_hyphen = next;
    behind_hyphen.skip_separators();
    if behind_hyphen.is_number() || next.is_at_end() {
        for (name, form) in [
            ("mj", Form::Mj),
            ("tr", Form::Trapezoidal),
            ("g", Form::GPipe),
            ("r", Form::RPipe),
            ("rc", Form::RPipe),
            ("rp", Form::RPipe),
        ] {
            if is(name) {
                return Ok(form);
            }
        }
    }
    if let Some(form) = by_symbol(cursor) {
        return Ok(form);
    }
    if let Some(error) = known_name(cursor) {
        return Err(error);
    }
    if unified::begins(cursor) {
        return Ok(Form::Unified);
    }
    let mut piece = cursor.next_piece();
    if is("m") {
        piece = next.next_piece();
    }
    Err(cursor.error_here(Fault::UnknownForm {
        given: piece.typed(0).to_owned(),
    }))
}

/// The form that a word anywhere in the designation names.
fn by_symbol(cursor: Cursor<'_>) -> Option<Form> {
    let mut acme = None;
    for (_, word) in cursor.words() {
        let is = |name: &str| word.eq_ignore_ascii_case(name);
        match word.len() {
            2 if is("ba") => return Some(Form::Ba),
            3 if is("bsw") || is("bsf") => return Some(Form::Whitworth),
            3 if is("npt") => return Some(Form::Npt),
            3..=5
                if word
                    .get(..3)
                    .is_some_and(|start| start.eq_ignore_ascii_case("unj")) =>
            {
                return Some(Form::Unj);
            }
            4 if is("acme") => acme = acme.or(Some(Form::Acme)),
            4 if is("stub") => acme = Some(Form::StubAcme),
            4 if is("whit") => return Some(Form::Whitworth),
            4 if is("nptf") => return Some(Form::Npt),
            4 if is("bspp") => return Some(Form::GPipe),
            4 if is("bspt") => return Some(Form::RPipe),
            9 if is("whitworth") => return Some(Form::Whitworth),
            _ => {}
        }
    }
    acme
}
