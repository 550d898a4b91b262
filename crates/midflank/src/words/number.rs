//! Numbers as people read them: decimal sign, digits and unit, in one place.
//!
//! The decimal sign is a point, or a comma where a page's reader writes one ([`on_page`]): a page is made on one thread from
//! start to end, so the signs are kept for the thread and need not be handed to every function that shows a number. A page has
//! a minus where a terminal has a hyphen.

use std::cell::Cell;

use metrology::decision::{Drawing, Told};
use metrology::units::{Entered, Length, LengthUnit};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;
use workshop::station;

use super::Shown;

/// The signs that numbers are written with.
#[derive(Clone, Copy)]
struct Signs {
    comma: bool,
    minus: bool,
}

/// Those of a terminal.
const PLAIN: Signs = Signs {
    comma: false,
    minus: false,
};

thread_local! {
    static SIGNS: Cell<Signs> = const { Cell::new(PLAIN) };
}

/// Makes a page, with a comma as decimal sign where `comma` says so.
pub fn on_page<T>(comma: bool, run: impl FnOnce() -> T) -> T {
    struct Before(Signs);
    impl Drop for Before {
        fn drop(&mut self) {
            SIGNS.set(self.0);
        }
    }
    let minus = true;
    let _before = Before(SIGNS.replace(Signs { comma, minus }));
    run()
}

/// Sets a sheet, which has a minus as a page has, and the decimal sign of whoever asked for it.
pub fn on_paper<T>(run: impl FnOnce() -> T) -> T {
    on_page(SIGNS.get().comma, run)
}

/// A number written with a point and a hyphen, with the signs of the reader.
pub fn localized(number: &str) -> String {
    let signs = SIGNS.get();
    let text = if signs.comma {
        number.replace('.', ",")
    } else {
        number.to_owned()
    };
    match text.strip_prefix('-') {
        Some(digits) if signs.minus => format!("{MINUS}{digits}"),
        _ => text,
    }
}

const MINUS: char = '\u{2212}';

/// Whether a number that was written has a minus.
fn is_below_zero(text: &str) -> bool {
    text.starts_with(['-', MINUS])
}

/// So many decimals.
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    // What rounds to nothing has no sign.
    let nothing = text.starts_with('-') && !text.contains(|digit: char| matches!(digit, '1'..='9'));
    localized(if nothing { &text[1..] } else { &text })
}

/// So many decimals, or as many more as show on which side of a limit it lies; at most nine.
pub fn fixed_beside(value: f64, limit: f64, decimals: usize) -> String {
    let is_told = |decimals: &usize| {
        let shown: f64 = format!("{value:.decimals$}").parse().unwrap_or(value);
        shown.partial_cmp(&limit) == value.partial_cmp(&limit)
    };
    let enough = (decimals..=9).find(is_told);
    fixed(value, enough.unwrap_or(decimals))
}

/// The same of an exact number.
pub fn decimal(value: Decimal, decimals: usize) -> String {
    localized(&format!("{value:.decimals$}"))
}

/// So many decimals, with the sign, plus or minus.
pub fn signed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if is_below_zero(&text) {
        text
    } else {
        format!("+{text}")
    }
}

/// At most so many decimals, without zeros at the end.
pub fn short(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    localized(if text == "-0" { "0" } else { text })
}

/// A number in the unit of a document, with its unit.
pub fn length(value: f64, decimals: usize, unit: LengthUnit) -> String {
    format!("{} {unit}", fixed(value, decimals))
}

/// The same with its sign.
pub fn signed_length(value: f64, decimals: usize, unit: LengthUnit) -> String {
    format!("{} {unit}", signed(value, decimals))
}

/// An exact length in a unit, rounded once, without the unit.
pub fn rounded(length: Length, unit: LengthUnit, decimals: u32) -> String {
    localized(&length.to_fixed(unit, decimals))
}

/// What a micrometer shows, given in millimetres: to a micrometre, or a ten-thousandth of an inch.
pub fn display(millimetres: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => length(millimetres / 25.4, 4, LengthUnit::Inch),
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            length(millimetres, 3, LengthUnit::Millimetre)
        }
    }
}

/// A computed size given in millimetres: to a tenth of a micrometre, or a hundred-thousandth of an inch.
pub fn size(millimetres: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => length(millimetres / 25.4, 5, LengthUnit::Inch),
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            length(millimetres, 4, LengthUnit::Millimetre)
        }
    }
}

/// At most so many significant digits, without zeros at the end; of a very small or large number with an exponent.
pub fn significant(value: f64, digits: i32) -> String {
    if !value.is_finite() {
        return given(value);
    }
    let size = value.abs();
    if size != 0.0 && !(1e-6..1e12).contains(&size) {
        let decimals = usize::try_from(digits - 1).unwrap_or(0);
        return localized(&format!("{value:.decimals$e}"));
    }
    short(value, decimals_for(value, digits, 0))
}

/// A small length given in millimetres: micrometres to a tenth, or inches to a hundred-thousandth.
pub fn difference(millimetres: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => length(millimetres / 25.4, 5, LengthUnit::Inch),
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            format!("{} µm", fixed(millimetres * 1000.0, 1))
        }
    }
}

/// How many decimals show so many digits of a number, `least` to 9; of nothing and of what is no number the least will do.
fn decimals_for(number: f64, digits: i32, least: usize) -> usize {
    if !number.is_normal() {
        return least;
    }
    let (mut decimals, mut scaled) = (digits - 1, number.abs());
    while scaled >= 10.0 {
        scaled /= 10.0;
        decimals -= 1;
    }
    while scaled < 1.0 && decimals < 9 {
        scaled *= 10.0;
        decimals += 1;
    }
    usize::try_from(decimals).unwrap_or(0).clamp(least, 9)
}

/// The same with at least two digits, so that two of which one is a tenth smaller read as two numbers.
pub fn uncertainty(millimetres: f64, unit: LengthUnit) -> String {
    let (number, least, symbol) = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => (millimetres / 25.4, 5, "in"),
        LengthUnit::Millimetre | LengthUnit::Micrometre => (millimetres * 1000.0, 1, "µm"),
    };
    format!("{} {symbol}", fixed(number, decimals_for(number, 2, least)))
}

/// A difference with its sign.
pub fn shift(millimetres: f64, unit: LengthUnit) -> String {
    let text = difference(millimetres, unit);
    if is_below_zero(&text) {
        text
    } else {
        format!("+{text}")
    }
}

/// The thickness of a coating or film, given in millimetres: micrometres to hundredths, or inches to millionths, without
/// zeros at the end.
pub fn thickness(millimetres: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => format!("{} in", short(millimetres / 25.4, 6)),
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            format!("{} µm", short(millimetres * 1000.0, 2))
        }
    }
}

/// An exact number of millimetres as the drawing writes lengths.
pub fn exact(millimetres: Decimal, shown: Shown) -> String {
    let drawing = Drawing {
        unit: shown.unit,
        decimals: shown.decimals,
    };
    localized(&drawing.text(millimetres))
}

/// A measured size to the digits that its uncertainty allows.
pub fn told(told: &Told, shown: Shown) -> String {
    let drawing = Drawing {
        unit: shown.unit,
        decimals: shown.decimals,
    };
    localized(&drawing.told(told))
}

/// A length as it was entered: its digits, and its unit after a space.
pub fn entered(entered: &Entered) -> String {
    format!(
        "{} {}",
        localized(&entered.number().to_string()),
        sign(entered.unit())
    )
}

/// A length as it was typed, `9,9994mm`, with the decimal sign of the reader and a space before its unit.
pub fn typed(text: &str) -> String {
    Entered::parse(text, None).map_or_else(|_| as_entered(text), |length| entered(&length))
}

/// What was entered, digit by digit, with a space between number and unit (NIST SP 811, 7.2; SI brochure, 5.4.3).
pub fn as_entered(text: &str) -> String {
    let text = text.trim();
    let is_unit = |c: char| c.is_alphabetic() || c == '"';
    let number = text.trim_end_matches(is_unit);
    match text.get(number.len()..) {
        Some(unit) if !unit.is_empty() && !number.is_empty() => {
            format!("{} {unit}", number.trim_end())
        }
        _ => text.to_owned(),
    }
}

/// A unit as people write it.
pub fn sign(unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Micrometre => "µm".to_owned(),
        LengthUnit::Microinch => "µin".to_owned(),
        other => other.to_string(),
    }
}

/// An uncertainty as it was entered, in its unit, with at most two significant digits (JCGM 100:2008, 7.2.6).
pub fn uncertainty_entered(entered: &Entered) -> String {
    let number = entered.number().to_f64().unwrap_or_default();
    format!("{} {}", significant(number, 2), sign(entered.unit()))
}

/// A moment, in universal time.
pub fn time(at: jiff::Timestamp) -> String {
    at.strftime("%Y-%m-%d %H:%M UTC").to_string()
}

/// A moment as the clock on the wall showed it, to the minute.
pub fn on_the_wall(at: jiff::Timestamp) -> String {
    station::shown(at).strftime("%Y-%m-%d %H:%M").to_string()
}

/// An angle in degrees.
pub fn degrees(degrees: f64) -> String {
    short_degrees(degrees, 1)
}

/// An angle in degrees with at most so many decimals.
pub fn short_degrees(degrees: f64, decimals: usize) -> String {
    format!("{}°", short(degrees, decimals))
}

/// An angle in degrees with so many decimals.
pub fn fixed_degrees(degrees: f64, decimals: usize) -> String {
    format!("{}°", fixed(degrees, decimals))
}

/// What an angle is off by, degrees, with its sign and at most so many decimals.
pub fn signed_degrees(degrees: f64, decimals: usize) -> String {
    format!("{}°", signed_short(degrees, decimals))
}

/// A force in newtons: to a tenth, and a small one to its first digit, so that "no more than" is never "0 N".
pub fn newtons(newtons: f64) -> String {
    format!("{} N", short(newtons, decimals_for(newtons, 1, 1)))
}

/// A temperature with at most so many decimals.
pub fn celsius(celsius: f64, decimals: usize) -> String {
    format!("{} °C", short(celsius, decimals))
}

/// A difference of temperature, with its sign.
pub fn kelvin(kelvin: f64) -> String {
    format!("{} K", signed(kelvin, 1))
}

/// An angle in degrees with up to four decimals, as it was measured or is computed.
pub fn fine_degrees(degrees: f64) -> String {
    short_degrees(degrees, 4)
}

/// An angle in minutes of arc.
pub fn minutes_of_arc(minutes: f64) -> String {
    format!("{}\u{2032}", short(minutes, 1))
}

/// A part of a whole in percent: whole percents from ten on, tenths below.
pub fn percent(share: f64) -> String {
    let percent = share * 100.0;
    format!("{} %", fixed(percent, usize::from(percent.abs() < 9.95)))
}

/// A part of a whole in whole percents.
pub fn whole_percent(part: f64) -> String {
    fixed_percent(part, 0)
}

/// A part of a whole in percent with so many decimals.
pub fn fixed_percent(part: f64, decimals: usize) -> String {
    format!("{} %", fixed(part * 100.0, decimals))
}

/// The same of a part that is neither none nor all, however small or large it is.
pub fn bounded_percent(part: f64, decimals: usize) -> String {
    let shown = fixed_percent(part, decimals);
    let step = Decimal::new(1, u32::try_from(decimals).unwrap_or_default());
    let bound = |percent| format!("{} %", decimal(percent, decimals));
    if part > 0.0 && shown == fixed_percent(0.0, decimals) {
        crate::say!("number.below", bound = bound(step))
    } else if part < 1.0 && shown == fixed_percent(1.0, decimals) {
        crate::say!("number.above", bound = bound(Decimal::ONE_HUNDRED - step))
    } else {
        shown
    }
}

/// A probability in percent that never claims certainty. Cut, not rounded: 94.999 % is not 95 %.
pub fn probability(probability: f64) -> String {
    bounded(probability, |percent| (percent * 100.0).floor() / 100.0)
}

/// A risk in percent that never claims certainty, rounded.
pub fn risk(probability: f64) -> String {
    bounded(probability, |percent| percent)
}

fn bounded(probability: f64, digits: impl Fn(f64) -> f64) -> String {
    match probability * 100.0 {
        p if p > 99.99 => crate::say!("number.above", bound = format!("{} %", localized("99.99"))),
        p if p < 0.01 => crate::say!("number.below", bound = format!("{} %", localized("0.01"))),
        p => format!("{} %", fixed(digits(p), 2)),
    }
}

/// A number with all its digits, as it was given.
pub fn given(value: f64) -> String {
    match value {
        nan if nan.is_nan() => crate::say!("number.none").to_owned(),
        endless if endless.is_infinite() => crate::say!("number.infinite").to_owned(),
        -0.0 => "0".to_owned(),
        number => localized(&number.to_string()),
    }
}

/// At most so many decimals, with a sign.
pub fn signed_short(value: f64, decimals: usize) -> String {
    let text = short(value, decimals);
    if is_below_zero(&text) {
        text
    } else {
        format!("+{text}")
    }
}

/// A length given in millimetres, with at most four decimals.
pub fn short_length(millimetres: f64, unit: LengthUnit) -> String {
    let (number, unit) = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => (millimetres / 25.4, LengthUnit::Inch),
        LengthUnit::Millimetre | LengthUnit::Micrometre => (millimetres, LengthUnit::Millimetre),
    };
    format!("{} {unit}", short(number, 4))
}

/// A length given in millimetres as somebody stated it: up to six digits, without zeros at the end.
pub fn stated_length(millimetres: f64, unit: LengthUnit) -> String {
    let (number, unit) = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => (millimetres / 25.4, LengthUnit::Inch),
        LengthUnit::Millimetre | LengthUnit::Micrometre => (millimetres, LengthUnit::Millimetre),
    };
    if !number.is_finite() {
        return given(number);
    }
    format!("{} {unit}", short(number, decimals_for(number, 6, 0)))
}

/// What a cause does to a reading: micrometres to a tenth, or inches to a millionth.
pub fn effect(millimetres: f64, unit: LengthUnit) -> String {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => length(millimetres / 25.4, 6, LengthUnit::Inch),
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            format!("{} µm", fixed(millimetres * 1000.0, 1))
        }
    }
}

/// The same with its sign; what rounds to nothing has none.
pub fn effect_to_add(millimetres: f64, unit: LengthUnit) -> String {
    let text = effect(millimetres, unit);
    let nothing = !text.contains(|digit: char| matches!(digit, '1'..='9'));
    if nothing || is_below_zero(&text) {
        text
    } else {
        format!("+{text}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_and_signs() {
        assert_eq!(fixed(-0.00001, 4), "0.0000");
        assert_eq!(fixed_beside(1.000_007_1, 1.0, 2), "1.00001");
        assert_eq!(fixed_beside(1.0, 1.0, 2), "1.00");
        assert_eq!(fixed_beside(0.996, 1.0, 2), "0.996");
        assert_eq!(fixed_beside(-1.004, -1.0, 2), "-1.004");
        assert_eq!(signed(0.0, 1), "+0.0");
        assert_eq!(short(7.50, 4), "7.5");
        assert_eq!(difference(0.0033, LengthUnit::Millimetre), "3.3 µm");
        assert_eq!(uncertainty(0.0033, LengthUnit::Millimetre), "3.3 µm");
        assert_eq!(uncertainty(0.000_27, LengthUnit::Millimetre), "0.27 µm");
        assert_eq!(uncertainty(0.0, LengthUnit::Millimetre), "0.0 µm");
        assert_eq!(uncertainty(0.000_27, LengthUnit::Inch), "0.000011 in");
        assert_eq!(probability(0.949_999), "94.99 %");
        assert_eq!(risk(0.949_999), "95.00 %");
        assert_eq!(newtons(7.5), "7.5 N");
        assert_eq!(newtons(0.031), "0.03 N");
        assert_eq!(given(1e-6), "0.000001");
        assert_eq!(significant(0.0123456, 3), "0.0123");
        assert_eq!(significant(1234.56, 3), "1235");
        assert_eq!(significant(-2.28e-10, 3), "-2.28e-10");
        assert_eq!(significant(0.0, 3), "0");
        assert_eq!(given(-0.0), "0");
        assert_eq!(signed_short(0.5, 4), "+0.5");
        assert_eq!(effect_to_add(0.0208, LengthUnit::Millimetre), "+20.8 µm");
        assert_eq!(effect_to_add(-0.00001, LengthUnit::Millimetre), "0.0 µm");
        assert_eq!(effect(0.0254, LengthUnit::Inch), "0.001000 in");
        assert_eq!(short_length(15.0, LengthUnit::Millimetre), "15 mm");
        let stated = |mm| stated_length(mm, LengthUnit::Inch);
        assert_eq!(stated(-0.239_617_420_935_412_33), "-0.00943376 in");
        assert_eq!(stated(0.0), "0 in");
        assert_eq!(stated(1e6), "39370.1 in");
        assert_eq!(stated(1e-13), "0 in");
        assert_eq!(
            stated_length(f64::NAN, LengthUnit::Millimetre),
            "not a number"
        );
        on_page(true, || {
            assert_eq!(size(8.9253, LengthUnit::Millimetre), "8,9253 mm");
        });
        assert_eq!(size(8.9253, LengthUnit::Millimetre), "8.9253 mm");
    }
}
