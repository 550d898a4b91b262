//! Verdicts and micrometres as the pages of the gauge room show them.

use maud::{Markup, html};

use crate::report::{picture, verdict_word};
use crate::words::number;

/// A verdict, as mark and word.
pub fn verdict(key: &str) -> Markup {
    html! { span class=(format!("judged {key}")) { (picture::mark(key)) (verdict_word(key)) } }
}

pub fn um(um: f64) -> String {
    format!("{} µm", number::fixed(um, 2))
}

pub fn signed(um: f64) -> String {
    format!("{} µm", number::signed(um, 2))
}
