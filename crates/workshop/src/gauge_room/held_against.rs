//! What a calibration is held against when it is put in. What is on the record was taken, and is not judged by this again.

use jiff::civil::Date;
use ledger::Ledger;
use metrology::calibration::{
    Block, Calibration, Known, PairCheck, Point, Uncertain, check_pair, holds_with,
};
use metrology::decision::Verdict;
use metrology::inspection::{InstrumentErrors, Suspicion, fewer_decimals};
use metrology::uncertainty::statistics;
use metrology::units::{Entered, Length};

use super::blocks;
use crate::error::Error;
use crate::gauge_record::calibrated::CalibratedDocument;
use crate::gauge_record::calibration::{Of, Worked};
use crate::gauge_record::status::Status;
use crate::register::{Equipment, Kind, Register};

metrology::messages! {
    /// Why a calibration is not taken.
    pub enum NotTaken "calibration-entry" {
        /// Readings at one point that lie further apart than the others show them to scatter.
        Scattered "scattered" { at: Length as bound, range: f64 as Difference, usual: f64 as Difference },
        /// A reading without the last digit of the display.
        LostDigit "lost-digit" { at: Length as bound, reading: Entered as Entered, step: Entered as Entered, meant: Entered as Entered },
        /// A set of blocks that may not be used.
        UnfitBlocks "unfit-blocks" { id: String as Text, number: String as Text, status: Status as code },
        /// A block that its certificate has otherwise.
        OtherBlock "other-block" { block: Length as bound, given: Entered as Entered, certified: Entered as Entered, number: String as Text },
        /// A range that is not that of the registered micrometer.
        OtherRange "other-range" { id: String as Text, from: Length as bound, to: Length as bound, registered_from: Length as bound, registered_to: Length as bound },
        /// A plug that may not be used.
        UnfitPlug "unfit-plug" { plug: String as Text, status: Status as code },
        /// A plug that the register has at another size.
        OtherPlug "other-plug" { plug: String as Text, given: Length as bound, registered: Length as bound },
        /// A pair that is only good because the micrometer has another error at the second plug.
        MicrometerHides "micrometer-hides" { id: String as Text, first: Length as bound, second: Length as bound, by: f64 as Difference },
        /// A plug of a pitch that the pair is not for.
        OtherPitch "other-pitch" { plug: String as Text, pitch: f64 as Length, low: f64 as Length, high: f64 as Length, contacts: String as Text },
    }
}

/// Holds a calibration against itself and, where there is a ledger, against what that has of the equipment.
pub fn hold(
    ledger: Option<&Ledger>,
    worked: &Worked,
    result: &CalibratedDocument,
    today: Date,
) -> Result<(), Error> {
    if let Some(why) = lost_digit(worked) {
        return Err(Error::input(why));
    }
    match &worked.of {
        Of::Micrometer(calibration) => {
            if let Some(why) = too_scattered(calibration, result) {
                return Err(Error::input(why));
            }
            ledger.map_or(Ok(()), |ledger| {
                range(ledger, calibration)?;
                set_of_blocks(ledger, worked, calibration, today)
            })
        }
        Of::Pair(check) => ledger.map_or(Ok(()), |ledger| {
            let register = Register::read(ledger)?;
            plugs(&register, check, today)?;
            pitches(&register, check)?;
            micrometer_hides(&register, check).map_or(Ok(()), |why| Err(Error::input(why)))
        }),
    }
}

/// The first reading that lost a digit, or was read more coarsely than the display shows.
fn lost_digit(worked: &Worked) -> Option<NotTaken> {
    let first = |at: Length, readings: &[Entered], step: &Entered| {
        let mut slips = readings
            .iter()
            .filter_map(|one| fewer_decimals(one, Some(step)));
        let Suspicion::FewerDecimals {
            reading,
            step,
            meant,
        } = slips.next()?
        else {
            return None;
        };
        Some(NotTaken::LostDigit {
            at,
            reading,
            step,
            meant,
        })
    };
    match &worked.of {
        Of::Micrometer(calibration) => {
            let step = &calibration.micrometer.resolution;
            let mut points = calibration.found.iter().chain(&calibration.left);
            points.find_map(|point| first(point.nominal(), &point.readings, step))
        }
        Of::Pair(check) => {
            let mut plugs = check.plugs.iter();
            plugs.find_map(|plug| first(plug.size.value(), &plug.readings, &check.resolution))
        }
    }
}

/// Readings of one point may lie so many standard deviations of the others apart, by how well these are known, and so many
/// steps of the display (common practice, no source; the range of three lies within five in 99.9 %).
const RANGE: f64 = 6.0;
const RANGE_OF_FEW: f64 = 10.0;
const FEW: f64 = 6.0;
const STEPS: f64 = 4.0;

/// Why a calibration is not decided by readings that lie too far apart. What is rejected needs no second look.
pub fn too_scattered(calibration: &Calibration, result: &CalibratedDocument) -> Option<NotTaken> {
    if result.verdict == Verdict::Reject.key() {
        return None;
    }
    let mut all = [&calibration.found, &calibration.left].into_iter();
    all.find_map(|points| scattered(calibration, points))
}

fn scattered(calibration: &Calibration, points: &[Point]) -> Option<NotTaken> {
    let all: Vec<(Length, Vec<f64>)> = points
        .iter()
        .map(|point| (point.nominal(), point.millimetres()))
        .collect();
    let step = calibration.micrometer.resolution.value().mm();
    let stated = calibration.repeatability.as_ref();
    all.iter().enumerate().find_map(|(index, (at, readings))| {
        let most = readings.iter().copied().fold(f64::MIN, f64::max);
        let least = readings.iter().copied().fold(f64::MAX, f64::min);
        let range = most - least;
        let (mut squares, mut degrees_of_freedom) = stated.map_or((0.0, 0.0), |stated| {
            let deviation = stated.standard_deviation.value().mm();
            (
                deviation * deviation * stated.degrees_of_freedom,
                stated.degrees_of_freedom,
            )
        });
        for (other, (_, readings)) in all.iter().enumerate() {
            if let Some(deviation) =
                statistics::standard_deviation(readings).filter(|_| other != index)
            {
                let own = readings.len() as f64 - 1.0;
                squares += own * deviation * deviation;
                degrees_of_freedom += own;
            }
        }
        if degrees_of_freedom <= 0.0 {
            return None;
        }
        let factor = if degrees_of_freedom < FEW {
            RANGE_OF_FEW
        } else {
            RANGE
        };
        let usual = (factor * (squares / degrees_of_freedom).sqrt()).max(STEPS * step);
        (readings.len() > 1 && range > usual).then_some(NotTaken::Scattered {
            at: *at,
            range,
            usual,
        })
    })
}

/// The set that the chain names by its certificate: it may be used, and its blocks are as it has them.
fn set_of_blocks(
    ledger: &Ledger,
    worked: &Worked,
    calibration: &Calibration,
    today: Date,
) -> Result<(), Error> {
    for owned in blocks::owned(ledger, today)? {
        let Some(number) = owned.set.certificate.clone() else {
            continue;
        };
        if !worked
            .heading
            .chain
            .iter()
            .any(|named| named.trim() == number.trim())
        {
            continue;
        }
        if !owned.may_be_used() {
            return Err(Error::input(NotTaken::UnfitBlocks {
                id: owned.set.id,
                number,
                status: owned.status,
            }));
        }
        for block in &calibration.blocks {
            let same = |one: &&Block| one.nominal.value() == block.nominal.value();
            if let Some(certified) = owned.set.blocks.iter().find(same)
                && let Some((given, certified)) = contradicts(block, certified)
            {
                return Err(Error::input(NotTaken::OtherBlock {
                    block: block.nominal.value(),
                    given,
                    certified,
                    number,
                }));
            }
        }
    }
    Ok(())
}

/// Half a tenth of a nanometre, millimetres.
const ROUNDING: f64 = 5e-8;

/// Two deviations of one block that lie further apart than both uncertainties.
fn contradicts(given: &Block, certified: &Block) -> Option<(Entered, Entered)> {
    let of = |block: &Block| match &block.known {
        Known::Certified {
            deviation,
            expanded_uncertainty,
            ..
        } => Some((deviation.clone(), expanded_uncertainty.value().mm())),
        Known::Grade(_) => None,
    };
    let ((given, own), (certified, other)) = (of(given)?, of(certified)?);
    let apart = (given.value().mm() - certified.value().mm()).abs();
    (apart > own + other + ROUNDING).then_some((given, certified))
}

/// The range is that of the registered micrometer: points over a part of it are no calibration of the whole.
fn range(ledger: &Ledger, calibration: &Calibration) -> Result<(), Error> {
    let id = &calibration.micrometer.id;
    let register = Register::read(ledger)?;
    let Some(Equipment::Instrument(known)) = register
        .find(Kind::Instrument, id)
        .map(|one| &one.described)
    else {
        return Ok(());
    };
    let [from, to] = calibration.range();
    let [registered_from, registered_to] = known.range.each_ref().map(Entered::value);
    if (from, to) == (registered_from, registered_to) {
        return Ok(());
    }
    Err(Error::input(NotTaken::OtherRange {
        id: id.clone(),
        from,
        to,
        registered_from,
        registered_to,
    }))
}

/// Plugs that are registered may be used, and are as large as the register has them.
fn plugs(register: &Register, check: &PairCheck, today: Date) -> Result<(), Error> {
    for plug in &check.plugs {
        let mut standards = register.standards();
        let Some((piece, known)) = standards.find(|(_, one)| one.id.trim() == plug.id.trim())
        else {
            continue;
        };
        let status = piece.standing(today).status;
        if status.is_barred() || status == Status::Overdue {
            return Err(Error::input(NotTaken::UnfitPlug {
                plug: plug.id.clone(),
                status,
            }));
        }
        let (given, registered) = (plug.size.value(), known.size.value());
        let uncertainties = [&plug.expanded_uncertainty, &known.expanded_uncertainty];
        let within: f64 = uncertainties.iter().map(|one| one.value().mm()).sum();
        if (given - registered).abs().mm() > within + ROUNDING {
            return Err(Error::input(NotTaken::OtherPlug {
                plug: plug.id.clone(),
                given,
                registered,
            }));
        }
    }
    Ok(())
}

/// That a pair is accepted only as long as the error curve of its micrometer is left aside. With plugs of nearly one size its errors
/// are nearly one.
pub fn micrometer_hides(register: &Register, check: &PairCheck) -> Option<NotTaken> {
    let checked = check_pair(check).ok()?;
    let known = register.find(Kind::Instrument, &check.instrument)?;
    let Equipment::Instrument(instrument) = &known.equipment else {
        return None;
    };
    let InstrumentErrors::Curve(curve) = &instrument.errors else {
        return None;
    };
    let errors = curve.errors().ok()?;
    let [first, second] = check.plugs.each_ref().map(|plug| plug.size.value());
    let by = errors.error_at(second).ok()? - errors.error_at(first).ok()?;
    let of_point = curve.expanded_uncertainty.value().mm() / curve.coverage_factor;
    let of_micrometer = Uncertain {
        value: by,
        standard_uncertainty: errors.difference_factor(first, second).ok()? * of_point,
        degrees_of_freedom: f64::INFINITY,
    };
    let is_hidden =
        checked.verdict == Verdict::Accept && !holds_with(check, &checked, of_micrometer).ok()?;
    is_hidden.then(|| NotTaken::MicrometerHides {
        id: check.instrument.clone(),
        first,
        second,
        by,
    })
}

/// Whether a pitch is none of those that a pair is marked for, millimetres.
pub fn is_outside(pitch: Length, (low, high): (f64, f64)) -> bool {
    // A millionth of slack: 24 tpi is not a whole number of any length.
    pitch.mm() < low * (1.0 - 1e-6) || pitch.mm() > high * (1.0 + 1e-6)
}

/// The plugs lie in the pitches that the pair is marked for.
fn pitches(register: &Register, check: &PairCheck) -> Result<(), Error> {
    let Some((low, high)) = register.pitches_of_pair(&check.contacts) else {
        return Ok(());
    };
    for plug in &check.plugs {
        if is_outside(plug.pitch(), (low, high)) {
            return Err(Error::input(NotTaken::OtherPitch {
                plug: plug.id.clone(),
                pitch: plug.pitch().mm(),
                low,
                high,
                contacts: check.contacts.clone(),
            }));
        }
    }
    Ok(())
}
