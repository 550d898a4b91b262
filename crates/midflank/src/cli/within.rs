//! Numbers on the command line: finite, and within what can be meant.

use crate::say;
use crate::words::number;

/// Reads a number from `from` to `to`.
pub fn within(from: f64, to: f64) -> impl Fn(&str) -> Result<f64, String> + Clone + Send + Sync {
    move |text| {
        let number = text.trim().replace(',', ".").parse().ok();
        number
            .filter(|number| (from..=to).contains(number))
            .ok_or_else(|| {
                say!(
                    "command.number-within",
                    text = text,
                    from = number::short(from, 6),
                    to = number::short(to, 6)
                )
            })
    }
}
