//! Sizes and small lengths of the answers that explain: sizes in the thread's unit, effects in micrometres beside
//! millimetres and in millionths beside inches.

use metrology::units::LengthUnit;

use super::text::{WIDTH, wrap};
use crate::document::from_mm;

/// A size, to a tenth of a micrometre or a hundred-thousandth of an inch.
pub fn size(mm: f64, unit: LengthUnit) -> String {
    let places = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => 5,
        LengthUnit::Millimetre | LengthUnit::Micrometre => 4,
    };
    format!("{:.places$} {unit}", from_mm(mm, unit))
}

/// An effect: `20.8 µm`, `0.000820 in`.
pub fn small(mm: f64, unit: LengthUnit) -> String {
    text(mm, unit, "")
}

/// An effect with its sign: `+20.8 µm`; nothing is `0.0 µm`.
pub fn signed(mm: f64, unit: LengthUnit) -> String {
    text(mm, unit, "+")
}

fn text(mm: f64, unit: LengthUnit, plus: &str) -> String {
    let (number, places, unit) = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => (mm / 25.4, 6, "in"),
        LengthUnit::Millimetre | LengthUnit::Micrometre => (mm * 1e3, 1, "µm"),
    };
    let digits = format!("{:.places$}", number.abs());
    let sign = match digits.bytes().all(|digit| matches!(digit, b'0' | b'.')) {
        true => "",
        false if number < 0.0 => "-",
        false => plus,
    };
    format!("{sign}{digits} {unit}")
}

/// Words folded to the width of an answer.
pub fn paragraph(words: &str, width: usize) -> String {
    let mut text = wrap(words, width.clamp(40, WIDTH)).join("\n");
    text.push('\n');
    text
}

/// Words folded under a mark: `  - like this`.
pub fn item(words: &str, width: usize) -> String {
    indented("  - ", words, width)
}

/// Words folded beside what they explain.
pub fn indented(head: &str, words: &str, width: usize) -> String {
    let indent = " ".repeat(head.chars().count());
    let mut text = String::new();
    for (index, line) in wrap(words, width.clamp(40, WIDTH).saturating_sub(indent.len()))
        .iter()
        .enumerate()
    {
        text += if index == 0 { head } else { &indent };
        text += line;
        text.push('\n');
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_lengths_in_the_unit_of_the_bench() {
        assert_eq!(signed(0.0208, LengthUnit::Millimetre), "+20.8 µm");
        assert_eq!(signed(-0.00001, LengthUnit::Millimetre), "0.0 µm");
        assert_eq!(small(0.0254, LengthUnit::Inch), "0.001000 in");
        assert_eq!(size(8.98, LengthUnit::Millimetre), "8.9800 mm");
        assert_eq!(size(25.4, LengthUnit::Inch), "1.00000 in");
    }

    #[test]
    fn paragraphs_are_folded_under_their_mark() {
        assert_eq!(
            indented("ab ", &"word ".repeat(9), 40),
            "ab word word word word word word word\n   word word\n"
        );
    }
}
