//! Wordings of the trade that no letter out of place explains: what each can have been meant as, and those that are offered nothing.
//!
//! Common practice, no source: `F` and `M` for female and male, `IG` and `AG` (Innengewinde, Außengewinde), a number of holes before
//! the thread (ASME Y14.5, from memory).

use super::super::read;
use super::{around, is_plain};
use crate::thread::{Fault, Form, Thread, ThreadError};

/// All that is offered for a text, where its wording is known; each names a thread.
pub(super) fn meant(text: &str, error: &ThreadError) -> Option<Vec<String>> {
    let found = counted(text, error)
        .or_else(|| without_x(text, error))
        .or_else(|| with_letter(text, error))
        .or_else(|| of_american_series(text, error))
        .or_else(|| stub(text))
        .or_else(|| by_word(text, error))?;
    Some(
        found
            .into_iter()
            .filter(|text| read(text).is_ok())
            .collect(),
    )
}

/// `4X M6x1-6H`: the thread without how often it is there.
fn counted(text: &str, error: &ThreadError) -> Option<Vec<String>> {
    if matches!(error.fault(), Fault::MissingM { .. }) {
        return None;
    }
    let text = text.trim();
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let (count, rest) = text.split_at_checked(digits)?;
    let rest = rest.trim_start().strip_prefix(['x', 'X', '\u{d7}'])?;
    let rest = rest.trim_start();
    let is_count = matches!(count.len(), 1 | 2);
    // `10 x 1.5` is a thread that lost its M.
    let is_named = rest.contains(|sign: char| sign.is_ascii_alphabetic());
    (is_count && is_named && read(rest).is_ok()).then(|| vec![rest.to_owned()])
}

/// `M161.5`: the x is missing between size and pitch.
fn without_x(text: &str, error: &ThreadError) -> Option<Vec<String>> {
    let no_pitch = matches!(
        error.fault(),
        Fault::MissingPitch { .. } | Fault::SizeOutOfRange { .. }
    );
    let number = text.trim().strip_prefix(['M', 'm']).filter(|_| no_pitch)?;
    let end = number.find(|sign: char| !sign.is_ascii_digit() && !".,".contains(sign));
    let (number, rest) = number.split_at_checked(end.unwrap_or(number.len()))?;
    let whole = number.find(['.', ','])?;
    let found: Vec<String> = (1..whole)
        .filter_map(|at| number.split_at_checked(at))
        .map(|(size, pitch)| format!("M{size}x{pitch}{rest}"))
        .filter(|text| is_plain(text))
        .collect();
    (!found.is_empty()).then_some(found)
}

/// `M10x1.5-69`: a 9 that is a g; it may be a length all the same.
fn with_letter(text: &str, error: &ThreadError) -> Option<Vec<String>> {
    let Fault::OfTheScrew { given, .. } = error.fault() else {
        return None;
    };
    let (before, _, behind) = around(text, error)?;
    let grade = given.strip_suffix('9').filter(|grade| grade.len() == 1)?;
    let with_class = format!("{before}{grade}g{behind}");
    let stem = before.trim_end_matches([' ', '-', ',']);
    read(&with_class)
        .is_ok()
        .then(|| vec![with_class, format!("{stem}{behind}")])
}

/// `1/4-20 NF-2A`: the count is that of the coarse series, the word is fine.
fn of_american_series(text: &str, error: &ThreadError) -> Option<Vec<String>> {
    let Fault::UnknownSeries { given } = error.fault() else {
        return None;
    };
    let series = ["NC", "NF", "NEF"];
    let given = given.to_ascii_uppercase();
    let (before, _, behind) = around(text, error).filter(|_| series.contains(&given.as_str()))?;
    let (size, _) = before.trim_end().rsplit_once('-')?;
    if read(&format!("{before}U{given}{behind}")).is_ok() {
        return None;
    }
    let of_count = series.map(|other| format!("{before}U{other}{behind}"));
    let of_count = of_count.into_iter().find(|text| read(text).is_ok())?;
    let of_word = read(&format!("{} U{given}{behind}", size.trim_end())).ok()?;
    Some(vec![of_count, of_word.to_string()])
}

/// `1"-5 stub`.
fn stub(text: &str) -> Option<Vec<String>> {
    let lower = text.to_ascii_lowercase();
    let at = lower.find("stub").filter(|_| !lower.contains("acme"))?;
    let (before, behind) = (text.get(..at)?, text.get(at + "stub".len()..)?);
    let whole = format!("{}STUB ACME{behind}", before.replacen('"', "", 1));
    read(&whole).is_ok().then(|| vec![whole])
}

/// A word behind the thread that says its side, or that may be several things.
fn by_word(text: &str, error: &ThreadError) -> Option<Vec<String>> {
    let (Fault::Unexpected { .. } | Fault::UnknownClass { .. } | Fault::UnknownSeries { .. }) =
        error.fault()
    else {
        return None;
    };
    let (before, piece, behind) = around(text, error)?;
    let stem = before.trim_end_matches(['(', ' ', '-', ',']);
    let behind = if before.ends_with('(') {
        behind.trim_start_matches(')')
    } else {
        behind
    };
    let side = |stem: &str, side: &str| vec![format!("{stem} {side}{behind}")];
    let form = read(stem).ok().as_ref().map(Thread::form);
    let is_pipe = matches!(form, Some(Form::Npt | Form::RPipe | Form::GPipe));
    let is_metric = matches!(form, Some(Form::IsoMetric));
    let word = piece.trim_matches(['(', ')', '.']).to_ascii_lowercase();
    Some(match word.as_str() {
        "fnpt" | "fpt" => side(&format!("{before}NPT"), "internal"),
        "mnpt" | "mpt" => side(&format!("{before}NPT"), "external"),
        "f" | "fem" if is_pipe => side(stem, "internal"),
        "m" if is_pipe => side(stem, "external"),
        "ig" => side(stem, "internal"),
        "ag" if form != Some(Form::Unified) => side(stem, "external"),
        // Nobody knows what they are of: a class of another form, a round thread, a wire insert.
        "eg" | "ah" | "ih" | "rd" | "1a" | "2a" | "3a" | "1b" | "2b" | "3b" if is_metric => {
            Vec::new()
        }
        _ => return None,
    })
}
