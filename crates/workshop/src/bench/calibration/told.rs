//! What is answered in a calibration, as lines.

use jiff::civil::Date;
use metrology::calibration::{Block, Conditions, Criterion, FormFound, Grade, Guard, Known, Shape};
use metrology::inspection::{ContactKind, Field, StandardForm, small};
use metrology::units::{Entered, Length, LengthUnit};

use crate::bench::event::BlockSet;
use crate::bench::refusal::Refusal;
use crate::gauge_room::calibration::USUAL;

/// The word that begins a calibration at the first question, before the identity of a micrometer.
pub const CALIBRATE: &str = "calibrate";
/// The word before the grade of blocks that have no certificate.
const GRADE: &str = "grade";
/// The words for how the form of a face was found.
const BANDS: &str = "bands";
const BALL: &str = "ball";
const VALUE: &str = "value";
/// That nothing is stated, where something else is offered.
pub const NONE: &str = "none";
/// That something was adjusted, or was not.
pub const YES: &str = "yes";
pub const NO: &str = "no";

/// What may be stated at the signature: the day on which the micrometer came in, and its condition then.
pub const RECEIVED: &str = "received";
pub const CONDITION: &str = "condition";

/// The most interference bands, and the most kelvins that temperatures are off: as in a file.
const MOST_BANDS: f64 = 1000.0;
const KELVINS: f64 = 20.0;
/// Faces of a micrometer.
const FACES: usize = 2;

metrology::messages! {
    /// Why an answer is not taken.
    pub enum Wanted "calibration-wanted" {
        /// No blocks.
        Blocks "blocks" { text: String as Text },
        /// A set that may not be used.
        UnfitBlocks "unfit-blocks" { id: String as Text, status: crate::gauge_record::status::Status as code },
        /// No grade of gauge blocks.
        Grade "grade" { text: String as Text, known: Vec<&'static str> as one_of },
        /// No criterion.
        Criterion "criterion" { text: String as Text },
        /// No number of a certificate.
        Number "number",
        /// No issuer.
        Issuer "issuer",
        /// No two numbers of kelvins.
        Temperature "temperature" { text: String as Text },
        /// No sizes.
        Points "points" { text: String as Text },
        /// Fewer than can be used.
        FewPoints "few-points" { least: usize as count },
        /// A point twice, or not in order.
        PointOrder "point-order",
        /// A point outside the range of the micrometer.
        PointOutside "point-outside" { at: Length as bound, from: Length as bound, to: Length as bound },
        /// A point that no stack makes.
        NoStack "no-stack" { at: Length as bound },
        /// No bands, no readings of a ball, and no value.
        Form "form" { text: String as Text },
        /// Neither yes nor no.
        YesOrNo "yes-or-no",
        /// No date.
        Due "due" { text: String as Text },
        /// Due before it was done.
        DueBefore "due-before" { due: Date as Date, on: Date as Date },
        /// No day on which it came in.
        Received "received" { text: String as Text },
        /// It came in after it was calibrated.
        ReceivedAfter "received-after" { received: Date as Date, on: Date as Date },
        /// No condition.
        Condition "condition",
        /// A reading far from the blocks under the faces.
        FarOff "far-off" { text: String as Text, at: Length as bound },
        /// A reading far from the plug between the contacts.
        FarFromPlug "far-from-plug" { text: String as Text, id: String as Text, size: Length as bound },
        /// Contacts that are no thread contacts.
        NoPair "no-pair" { id: String as Text, kind: ContactKind as code },
        /// No thread plug of that identity.
        Plug "plug" { text: String as Text },
        /// A setting standard that is no thread plug.
        OtherForm "other-form" { id: String as Text, form: StandardForm as code },
        /// The first plug once more.
        SamePlug "same-plug" { id: String as Text },
        /// A plug that the micrometer cannot measure.
        PlugOutside "plug-outside" { id: String as Text, size: Length as bound, instrument: String as Text, from: Length as bound, to: Length as bound },
        /// No pitch.
        Pitch "pitch" { text: String as Text },
        /// A pitch that the pair is not marked for.
        PitchOutside "pitch-outside" { pitch: f64 as Length, low: f64 as Length, high: f64 as Length, contacts: String as Text },
        /// Both plugs have one pitch.
        OnePitch "one-pitch",
        /// No limit of the difference.
        Limit "limit" { text: String as Text },
        /// A number of a certificate that is taken.
        Known "known" { number: String as Text },
    }
}

/// The line that begins a calibration.
pub fn begins(id: &str) -> String {
    format!("{CALIBRATE} {id}")
}

/// The identity in a line that begins a calibration.
pub fn of_line(line: &str) -> Option<&str> {
    let (word, id) = line.trim().split_once(char::is_whitespace)?;
    let id = id.trim();
    (word.eq_ignore_ascii_case(CALIBRATE) && !id.is_empty()).then_some(id)
}

/// A number from zero up to a largest one.
fn number(text: &str, most: f64) -> Option<f64> {
    let number: f64 = text.replace(',', ".").parse().ok()?;
    (0.0..=most).contains(&number).then_some(number)
}

/// A length above zero.
pub(super) fn above_zero(text: &str, unit: LengthUnit) -> Option<Entered> {
    let entered = Entered::parse(text, Some(unit)).ok()?;
    (entered.value() > Length::ZERO).then_some(entered)
}

/// `grade 1 1.0 1.1 1.5`: blocks that are known by their grade.
pub fn by_grade(line: &str, unit: LengthUnit) -> Option<Result<BlockSet, Refusal>> {
    let mut words = line.split_whitespace();
    let is_grade = words.next()?.eq_ignore_ascii_case(GRADE);
    if !is_grade {
        return None;
    }
    let wanted = || {
        Refusal::new(Wanted::Blocks {
            text: line.to_owned(),
        })
    };
    let Some(word) = words.next() else {
        return Some(Err(wanted()));
    };
    let Some(grade) = Grade::of(word) else {
        return Some(Err(Refusal::new(Wanted::Grade {
            text: word.to_owned(),
            known: Grade::EVERY.iter().map(|grade| grade.key()).collect(),
        })));
    };
    let nominal: Option<Vec<Entered>> = words.map(|word| above_zero(word, unit)).collect();
    let Some(nominal) = nominal.filter(|all| !all.is_empty()) else {
        return Some(Err(wanted()));
    };
    let known = Known::Grade(grade);
    let blocks = nominal.into_iter().map(|nominal| Block {
        nominal,
        known: known.clone(),
    });
    Some(Ok(BlockSet {
        id: line.to_owned(),
        certificate: None,
        blocks: blocks.collect(),
    }))
}

/// `span 4um`, `either-way 2 um simple`.
pub fn criterion(line: &str, unit: LengthUnit) -> Result<Criterion, Refusal> {
    let wanted = || {
        Refusal::new(Wanted::Criterion {
            text: line.to_owned(),
        })
    };
    let lower = line.to_lowercase();
    let mut words: Vec<&str> = lower.split_whitespace().collect();
    let shape = words.first().copied().and_then(|word| match word {
        "±" | "+-" => Some(Shape::EitherWay),
        word => Shape::of(word),
    });
    let shape = shape.ok_or_else(wanted)?;
    words.remove(0);
    let (limit, guard) = limit_in(words, unit)?.ok_or_else(wanted)?;
    Ok(Criterion {
        shape,
        limit,
        guard,
    })
}

/// A limit with the word for the rule at its end; none where it is no length.
pub(super) fn limit_in(
    mut words: Vec<&str>,
    unit: LengthUnit,
) -> Result<Option<(Entered, Guard)>, Refusal> {
    let stated = words.last().copied().and_then(Guard::of);
    if stated.is_some() {
        words.pop();
    }
    let Some(limit) = above_zero(&words.join(" "), unit) else {
        return Ok(None);
    };
    // A bare 4 is 4 mm, where µm were meant.
    small(Field::MaximumPermissibleError, &limit).map_err(Refusal::new)?;
    Ok(Some((limit, stated.unwrap_or(Guard::Guarded))))
}

/// The line of a criterion.
pub fn line_of(criterion: &Criterion) -> String {
    let Criterion {
        shape,
        limit,
        guard,
    } = criterion;
    let limit = with_unit(limit);
    format!("{} {limit} {}", shape.key(), guard.key())
}

/// The line of a criterion by a limit that the register has.
pub fn either_way(limit: &Entered) -> String {
    let criterion = Criterion {
        shape: Shape::EitherWay,
        limit: limit.clone(),
        guard: Guard::Guarded,
    };
    line_of(&criterion)
}

pub(super) fn with_unit(length: &Entered) -> String {
    format!("{} {}", length.number(), length.unit())
}

/// `1 0.3`: how far from 20 °C, and how far micrometer and blocks are apart, kelvins.
pub fn temperature(line: &str) -> Result<Conditions, Refusal> {
    let wanted = || {
        Refusal::new(Wanted::Temperature {
            text: line.to_owned(),
        })
    };
    let numbers: Vec<f64> = line
        .split_whitespace()
        .map(|word| number(word, KELVINS))
        .collect::<Option<_>>()
        .ok_or_else(wanted)?;
    let [off_reference, apart] = numbers.as_slice() else {
        return Err(wanted());
    };
    Ok(Conditions {
        off_reference: *off_reference,
        apart: *apart,
        ..USUAL
    })
}

/// The line of what is taken where nobody states it.
pub fn usual_temperature() -> String {
    format!("{} {}", USUAL.off_reference, USUAL.apart)
}

/// `0 2.5 5.1 7.7`.
pub fn sizes(line: &str, unit: LengthUnit) -> Result<Vec<Entered>, Refusal> {
    let all: Result<Vec<Entered>, _> = line
        .split_whitespace()
        .map(|word| Entered::parse(word, Some(unit)))
        .collect();
    let all = all.ok().filter(|all| {
        let negative = |one: &Entered| one.value().is_negative();
        !all.is_empty() && !all.iter().any(negative)
    });
    all.ok_or_else(|| {
        Refusal::new(Wanted::Points {
            text: line.to_owned(),
        })
    })
}

/// `bands 1 1.5 0.6um`, of one face or both; `none` where it was not checked.
pub fn flatness(line: &str, unit: LengthUnit) -> Result<Vec<FormFound>, Refusal> {
    if line == NONE {
        return Ok(Vec::new());
    }
    let found = form(line, unit, FACES)?;
    if found
        .iter()
        .any(|one| matches!(one, FormFound::Ball { .. }))
    {
        return Err(wanted_form(line));
    }
    Ok(found)
}

/// `bands 4 0.6um`, or `ball 10.001 10.002 10.001`; `none` where it was not checked.
pub fn parallelism(line: &str, unit: LengthUnit) -> Result<Option<FormFound>, Refusal> {
    if line == NONE {
        return Ok(None);
    }
    Ok(form(line, unit, 1)?.into_iter().next())
}

fn wanted_form(line: &str) -> Refusal {
    Refusal::new(Wanted::Form {
        text: line.to_owned(),
    })
}

fn form(line: &str, unit: LengthUnit, most: usize) -> Result<Vec<FormFound>, Refusal> {
    let wanted = || wanted_form(line);
    let mut words = line.split_whitespace();
    let way = words.next().unwrap_or_default().to_lowercase();
    let words: Vec<&str> = words.collect();
    match (way.as_str(), words.as_slice()) {
        (BANDS, [counts @ .., wavelength]) if (1..=most).contains(&counts.len()) => {
            // Without its unit a wavelength would be another band.
            let wavelength = Entered::parse(wavelength, None).ok();
            let wavelength = wavelength
                .filter(|one| one.value() > Length::ZERO && one.value() < MOST_WAVELENGTH)
                .ok_or_else(wanted)?;
            let bands = |count: &&str| {
                let count = number(count, MOST_BANDS).ok_or_else(wanted)?;
                Ok(FormFound::Bands {
                    count,
                    wavelength: wavelength.clone(),
                })
            };
            counts.iter().map(bands).collect()
        }
        (BALL, readings) if readings.len() > 1 => {
            let readings = readings.iter().map(|word| above_zero(word, unit));
            let readings = readings.collect::<Option<Vec<_>>>().ok_or_else(wanted)?;
            Ok(vec![FormFound::Ball { readings }])
        }
        (VALUE, [value, uncertainty]) => {
            let length = |text: &str| {
                let length = Entered::parse(text, None).ok();
                let small = length.filter(|one| {
                    !one.value().is_negative() && one.value() < Length::from_micrometres(1000)
                });
                small.ok_or_else(wanted)
            };
            Ok(vec![FormFound::Stated {
                value: length(value)?,
                standard_uncertainty: length(uncertainty)?,
            }])
        }
        _ => Err(wanted()),
    }
}

/// Light that one sees by is shorter.
const MOST_WAVELENGTH: Length = Length::from_micrometres(1);

/// Whether something was adjusted.
pub fn is_yes(line: &str) -> bool {
    let line = line.trim().to_lowercase();
    line == YES || line == "y"
}

/// Whether nothing was.
pub fn is_no(line: &str) -> bool {
    let line = line.trim().to_lowercase();
    line == NO || line == "n"
}

/// A day, after the one on which it was done; `none` where none is set.
pub fn due(line: &str, on: Date) -> Result<Option<Date>, Refusal> {
    if line == NONE {
        return Ok(None);
    }
    let due: Date = line.parse().map_err(|_| {
        Refusal::new(Wanted::Due {
            text: line.to_owned(),
        })
    })?;
    if due <= on {
        return Err(Refusal::new(Wanted::DueBefore { due, on }));
    }
    Ok(Some(due))
}

/// `received 2027-03-01` or `condition no damage`, with what is then stated; with `none` nothing is.
pub fn receipt(line: &str, on: Date) -> Option<Result<(&'static str, String), Refusal>> {
    let line = line.trim();
    let (word, text) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
    let text = text.trim();
    if word.eq_ignore_ascii_case(RECEIVED) {
        if text == NONE {
            return Some(Ok((RECEIVED, String::new())));
        }
        let Ok(received) = text.parse::<Date>() else {
            let text = text.to_owned();
            return Some(Err(Refusal::new(Wanted::Received { text })));
        };
        if received > on {
            return Some(Err(Refusal::new(Wanted::ReceivedAfter { received, on })));
        }
        return Some(Ok((RECEIVED, received.to_string())));
    }
    if !word.eq_ignore_ascii_case(CONDITION) {
        return None;
    }
    Some(match text {
        "" => Err(Refusal::new(Wanted::Condition)),
        NONE => Ok((CONDITION, String::new())),
        text => Ok((CONDITION, text.to_owned())),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const MM: LengthUnit = LengthUnit::Millimetre;

    #[test]
    fn a_criterion_reads_back_from_its_line() {
        for line in ["span 4 um simple", "either-way 0.0002 in guarded"] {
            assert_eq!(line_of(&criterion(line, MM).unwrap()), line);
        }
        let stated = criterion("± 2um", MM).unwrap();
        assert_eq!(stated.shape, Shape::EitherWay);
        // Where nothing is said of the rule, conformity is proven.
        assert_eq!(stated.guard, Guard::Guarded);
    }

    /// Half a wavelength for each band; without its unit the wavelength would be one band more.
    #[test]
    fn bands_need_the_unit_of_their_wavelength() {
        let both = flatness("bands 1 1,5 0.6um", MM).unwrap();
        let bands = |count| FormFound::Bands {
            count,
            wavelength: Entered::parse("0.6um", None).unwrap(),
        };
        assert_eq!(both, [bands(1.0), bands(1.5)]);
        assert!(flatness("bands 1 0.6", MM).is_err());
        assert!(flatness("bands 1 600um", MM).is_err());
        assert_eq!(flatness("none", MM).unwrap(), []);
        assert!(parallelism("value 0.8um 0.2um", MM).unwrap().is_some());
    }

    proptest::proptest! {
        #[test]
        fn any_line_is_read_or_refused(line in "\\PC{0,60}") {
            let on = jiff::civil::date(2026, 3, 2);
            let _ = (by_grade(&line, MM), criterion(&line, MM), sizes(&line, MM), flatness(&line, MM));
            let _ = (parallelism(&line, MM), temperature(&line), due(&line, on), of_line(&line), receipt(&line, on));
        }
    }
}
