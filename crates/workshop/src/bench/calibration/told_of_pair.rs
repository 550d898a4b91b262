//! What is answered in the check of a pair on two plugs, as lines.

use metrology::calibration::{Guard, Shape};
use metrology::inspection::PitchEntry;
use metrology::units::{Entered, Length, LengthUnit};

use super::told::{Wanted, above_zero, limit_in, with_unit};
use crate::bench::refusal::Refusal;

/// `4um`, `4 um simple`: how far the errors on two plugs may lie apart, either way.
pub fn limit(line: &str, unit: LengthUnit) -> Result<(Entered, Guard), Refusal> {
    let lower = line.to_lowercase();
    let mut words: Vec<&str> = lower.split_whitespace().collect();
    let either_way =
        |word: &str| matches!(word, "±" | "+-") || Shape::of(word) == Some(Shape::EitherWay);
    if words.first().copied().is_some_and(either_way) {
        words.remove(0);
    }
    limit_in(words, unit)?.ok_or_else(|| {
        Refusal::new(Wanted::Limit {
            text: line.to_owned(),
        })
    })
}

/// The line of such a limit.
pub fn line_of_limit(limit: &Entered, guard: Guard) -> String {
    format!("{} {}", with_unit(limit), guard.key())
}

/// `1.5`, `1.5 mm`, `24 tpi`.
pub fn pitch(line: &str, unit: LengthUnit) -> Result<Entered, Refusal> {
    let lower = line.trim().to_lowercase();
    let found = if lower.ends_with(TPI) {
        let pitch = metrology::inspection::pitch(&PitchEntry::PerInch(lower)).ok();
        let length = pitch.and_then(|pitch| Length::nearest_mm(pitch.mm()).ok());
        length.map(|length| Entered::of(length, LengthUnit::Millimetre))
    } else {
        above_zero(&lower, unit)
    };
    found
        .filter(|pitch| pitch.value() <= MOST_PITCH)
        .ok_or_else(|| {
            Refusal::new(Wanted::Pitch {
                text: line.to_owned(),
            })
        })
}

/// Behind a count of threads per inch.
const TPI: &str = "tpi";
/// No plug has a coarser pitch: two threads per inch.
const MOST_PITCH: Length = Length::from_micrometres(12_700);
/// A pitch of so many decimals was a count of threads per inch.
const DECIMALS_OF_COUNT: u32 = 5;

/// The line of a pitch that was recorded.
pub fn line_of_pitch(pitch: &Entered) -> String {
    let count = 25.4 / pitch.value().mm();
    let is_count = (count - count.round()).abs() < 1e-4 && pitch.decimals() >= DECIMALS_OF_COUNT;
    if is_count {
        format!("{count:.0} {TPI}")
    } else {
        with_unit(pitch)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: LengthUnit = LengthUnit::Millimetre;

    #[test]
    fn a_pitch_and_a_limit_read_back_from_their_lines() {
        for line in ["1.5 mm", "24 tpi", "13 tpi", "0.05 in"] {
            assert_eq!(line_of_pitch(&pitch(line, MM).unwrap()), line);
        }
        let value = |line| pitch(line, MM).unwrap().value();
        assert_eq!(value("1,5"), value("1.5 mm"));
        for line in ["", "0", "M10", "tpi", "0 tpi", "13 mm", "-1"] {
            assert!(pitch(line, MM).is_err(), "{line}");
        }
        for line in ["4 um guarded", "0.0002 in simple"] {
            let (limit, guard) = limit(line, MM).unwrap();
            assert_eq!(line_of_limit(&limit, guard), line);
        }
        assert_eq!(limit("± 4um", MM), limit("4um", MM));
        for line in ["", "4", "span 4um", "simple"] {
            assert!(limit(line, MM).is_err(), "{line}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_line_is_read_or_refused(line in "\\PC{0,60}") {
            let _ = (pitch(&line, MM), limit(&line, MM));
        }
    }
}
