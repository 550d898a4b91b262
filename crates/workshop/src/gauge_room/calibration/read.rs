//! A calibration from a TOML file. Without a point that was found the file asks what to measure: points and stacks are proposed.

use std::path::Path;

use jiff::civil::Date;
use metrology::calibration::{
    Block, Calibration, CalibrationError, Conditions, Criterion, Earlier, Faces, FormFound, Grade,
    Guard, Known, Micrometer, PairCheck, Plug, Point, Shape, Stack, propose, usual_points,
    widest_gap,
};
use metrology::inspection::Field;
use metrology::message::Say;
use metrology::units::{Entered, Length, LengthUnit};
use toml::Spanned;

use super::shape::{
    BlockKeys, CalibrationFile, CertificateKeys, CriterionKeys, FacesKeys, FormKeys,
    MicrometerKeys, PlugKeys, PointKeys,
};
use crate::error::Error;
use crate::gauge_record::calibration::{Of, Worked};
use crate::gauge_record::certificate::Heading;
use crate::given::{self, Range};
use crate::job_file::origin::Origin;
use crate::job_file::typed::{Source, Typed};
use crate::job_file::{read_text, shaped};

metrology::messages! {
    /// What can be wrong in a calibration file.
    pub enum FileError "calibration-file" {
        /// Neither a micrometer nor a pair, or both.
        OneThing "one-thing",
        /// Not two plugs.
        TwoPlugs "two-plugs" { n: usize as count },
        /// A word that a key does not take.
        Word "word" { word: String as Text, known: Vec<&'static str> as one_of },
        /// A block by grade and by certificate, or by neither.
        BlockKnown "block-known",
        /// No blocks.
        NoBlocks "no-blocks",
        /// No stack of the set makes a size.
        NoStack "no-stack" { at: Length as bound, most: usize as count },
        /// A point without size and without blocks, or with both.
        PointSize "point-size",
        /// A form by no way or by several.
        FormWay "form-way",
        /// No wavelength of light that one sees by.
        Wavelength "wavelength" { given: Entered as Entered },
        /// An accreditation of which one half is missing.
        HalfAccreditation "half-accreditation",
        /// A calibration from the days to come.
        Ahead "ahead" { on: Date as Date, today: Date as Date },
        /// Due before it was done.
        DueBefore "due-before" { due: Date as Date, on: Date as Date },
        /// Received after it was done.
        ReceivedAfter "received-after" { received: Date as Date, on: Date as Date },
        /// A criterion is missing.
        NoCriterion "no-criterion",
    }
}

/// Interference bands.
const BANDS: Range = Range::new(0.0, 1000.0, "");

/// What a file says.
#[derive(Debug)]
pub enum Read {
    /// A calibration that was done.
    Done(Box<Worked>),
    /// What to measure.
    Plan(Planned),
}

/// Points and stacks that are proposed.
#[derive(Debug)]
pub struct Planned {
    pub unit: LengthUnit,
    pub blocks: Vec<Block>,
    /// Each point with the stack that makes it; none where the set has none.
    pub points: Vec<(Length, Option<Stack>)>,
    /// The widest part of a turn without a point.
    pub widest_gap: f64,
}

/// Reads a file.
pub fn read(path: &Path, today: Date) -> Result<Read, Error> {
    parse(path, &read_text(path)?, today)
}

/// Takes the text of a file.
pub fn parse(path: &Path, text: &str, today: Date) -> Result<Read, Error> {
    let origin = Origin::File { path, text };
    let file: CalibrationFile = shaped(origin)?;
    let source = Source::new(origin, file.unit.as_ref())?;
    let on = source.date(&file.on)?;
    if on > today {
        return Err(source.wrong_at(&file.on, FileError::Ahead { on, today }));
    }
    let due = source.optional(file.due.as_ref(), Source::date)?;
    if let (Some(due), Some(typed)) = (due.filter(|due| *due <= on), &file.due) {
        return Err(source.wrong_at(typed, FileError::DueBefore { due, on }));
    }
    let received = source.optional(file.received.as_ref(), Source::date)?;
    if let (Some(received), Some(typed)) = (received.filter(|day| *day > on), &file.received) {
        return Err(source.wrong_at(typed, FileError::ReceivedAfter { received, on }));
    }
    if let Some(condition) = &file.condition {
        given::on_one_line("condition", condition)
            .map_err(|why| source.wrong(why).about("condition"))?;
    }
    let heading = heading(&source, &file.certificate, on)?;
    let of = match (&file.micrometer, &file.pair) {
        (Some(keys), None) => {
            let blocks = blocks(&source, &file.block)?;
            if file.found.is_empty() {
                return Ok(Read::Plan(plan(&source, keys, blocks)?));
            }
            Of::Micrometer(micrometer(&source, &file, keys, blocks, on)?)
        }
        (None, Some(keys)) => {
            let [one, other] = file.plug.as_slice() else {
                let n = file.plug.len();
                return Err(source.wrong_in("pair", FileError::TwoPlugs { n }));
            };
            let criterion = criterion(&source, file.criterion.as_ref())?;
            Of::Pair(PairCheck {
                contacts: keys.contacts.clone(),
                instrument: keys.instrument.clone(),
                resolution: source.step(&keys.resolution)?,
                limit: criterion.limit,
                guard: criterion.guard,
                plugs: [plug(&source, one)?, plug(&source, other)?],
            })
        }
        _ => return Err(source.wrong(FileError::OneThing)),
    };
    Ok(Read::Done(Box::new(Worked {
        of,
        heading,
        due,
        received,
        condition: file
            .condition
            .map(|text| text.trim().to_owned())
            .filter(|text| !text.is_empty()),
        person: file.person,
    })))
}

/// What a certificate says beside its values.
pub fn heading(source: &Source, keys: &CertificateKeys, date: Date) -> Result<Heading, Error> {
    let accreditation = match (&keys.accreditation_body, &keys.accreditation_number) {
        (Some(body), Some(number)) => Some((body.clone(), number.clone())),
        (None, None) => None,
        _ => return Err(source.wrong_in("certificate", FileError::HalfAccreditation)),
    };
    Ok(Heading {
        issuer: keys.issuer.clone(),
        accreditation,
        national_institute: keys.national_institute.unwrap_or_default(),
        chain: keys.chain.clone(),
        number: keys.number.clone(),
        date,
        procedure: keys.procedure.clone(),
        conditions: keys.conditions.clone(),
    })
}

/// A word of a key, by the codes that it takes.
fn word<T: Copy>(
    source: &Source,
    section: &str,
    text: &str,
    of: impl Fn(&str) -> Option<T>,
    known: &[&'static str],
) -> Result<T, Error> {
    of(text).ok_or_else(|| {
        source.wrong_in(
            section,
            FileError::Word {
                word: text.to_owned(),
                known: known.to_vec(),
            },
        )
    })
}

fn criterion(source: &Source, keys: Option<&CriterionKeys>) -> Result<Criterion, Error> {
    let keys = keys.ok_or_else(|| source.wrong(FileError::NoCriterion))?;
    let shapes = Shape::EVERY.iter().map(|shape| shape.key());
    let guards = Guard::EVERY.iter().map(|guard| guard.key());
    let guard = keys.guard.as_deref().unwrap_or(Guard::Guarded.key());
    Ok(Criterion {
        shape: word(
            source,
            "criterion",
            &keys.shape,
            Shape::of,
            &shapes.collect::<Vec<_>>(),
        )?,
        limit: {
            source.small(Field::MaximumPermissibleError, &keys.limit)?;
            source.positive(Field::MaximumPermissibleError, &keys.limit)?
        },
        guard: word(
            source,
            "criterion",
            guard,
            Guard::of,
            &guards.collect::<Vec<_>>(),
        )?,
    })
}

fn blocks(source: &Source, keys: &[Spanned<BlockKeys>]) -> Result<Vec<Block>, Error> {
    let mut all = Vec::new();
    for spanned in keys {
        let source = source.within(spanned.span().start);
        all.push(block(&source, spanned)?);
    }
    Ok(all)
}

fn block(source: &Source, spanned: &Spanned<BlockKeys>) -> Result<Block, Error> {
    let keys = spanned.get_ref();
    let known = match (
        &keys.grade,
        &keys.deviation,
        &keys.expanded_uncertainty,
        &keys.coverage_factor,
    ) {
        (Some(grade), None, None, None) => {
            let grades: Vec<_> = Grade::EVERY.iter().map(|grade| grade.key()).collect();
            let grade = Grade::of(grade).ok_or_else(|| {
                let (word, known) = (grade.clone(), grades);
                source.wrong_at(spanned, FileError::Word { word, known })
            })?;
            Known::Grade(grade)
        }
        (None, Some(deviation), Some(expanded), Some(factor)) => Known::Certified {
            deviation: source.length(deviation)?,
            expanded_uncertainty: source.small(Field::StandardUncertainty, expanded)?,
            coverage_factor: source.number(factor, given::COVERAGE_FACTOR)?,
        },
        _ => return Err(source.wrong_at(spanned, FileError::BlockKnown)),
    };
    Ok(Block {
        nominal: source.positive(Field::StandardSize, &keys.nominal)?,
        known,
    })
}

/// The pitch of the screw of a micrometer where nobody states it: 0.5 mm, or 0.025 in (common practice, no source).
pub fn usual_turn(unit: LengthUnit) -> Entered {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => {
            Entered::of(Length::from_ten_thousandths_inch(250), LengthUnit::Inch)
        }
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            Entered::of(Length::from_micrometres(500), LengthUnit::Millimetre)
        }
    }
}

/// The instrument, and the pitch of its screw by its unit where nobody states it.
fn instrument(source: &Source, keys: &MicrometerKeys) -> Result<Micrometer, Error> {
    let range = source.range(&keys.id, &keys.range)?;
    let [from, _] = &range;
    let turn = match &keys.turn {
        Some(turn) => source.positive(Field::PitchRange, turn)?,
        None => usual_turn(from.unit().of_drawing()),
    };
    Ok(Micrometer {
        id: keys.id.trim().to_owned(),
        range,
        resolution: source.step(&keys.resolution)?,
        turn,
        frame_per_ten_newtons: source
            .optional(keys.frame_per_ten_newtons.as_ref(), |source, typed| {
                source.small(Field::Form, typed)
            })?,
    })
}

fn plan(source: &Source, keys: &MicrometerKeys, blocks: Vec<Block>) -> Result<Planned, Error> {
    if blocks.is_empty() {
        return Err(source.wrong(FileError::NoBlocks));
    }
    let micrometer = instrument(source, keys)?;
    let range = micrometer.range.each_ref().map(Entered::value);
    let [from, _] = &micrometer.range;
    let unit = from.unit().of_drawing();
    let points = usual_points(range, unit);
    let widest_gap = widest_gap(&points, micrometer.turn.value());
    let stacked = points.into_iter().map(|at| {
        let stack = (at != Length::ZERO).then(|| propose(&blocks, at)).flatten();
        (at, stack)
    });
    Ok(Planned {
        unit,
        points: stacked.collect(),
        blocks,
        widest_gap,
    })
}

/// What is taken where nobody states it: within 1 K of 20 °C, half a kelvin apart, a force within 1 N (common practice, no
/// source).
pub const USUAL: Conditions = Conditions {
    off_reference: 1.0,
    apart: 0.5,
    force_within: 1.0,
};

fn micrometer(
    source: &Source,
    file: &CalibrationFile,
    keys: &MicrometerKeys,
    blocks: Vec<Block>,
    on: Date,
) -> Result<Calibration, Error> {
    let micrometer = instrument(source, keys)?;
    let kelvins = |typed: Option<&Typed>, usual| {
        source
            .number_if(typed, given::KELVINS)
            .map(|stated| stated.unwrap_or(usual))
    };
    let stated = file.conditions.as_ref();
    let of = |get: fn(&super::shape::ConditionsKeys) -> Option<&Typed>| stated.and_then(get);
    let conditions = Conditions {
        off_reference: kelvins(of(|keys| keys.off_reference.as_ref()), USUAL.off_reference)?,
        apart: kelvins(of(|keys| keys.apart.as_ref()), USUAL.apart)?,
        force_within: source
            .number_if(of(|keys| keys.force_within.as_ref()), given::FORCE)?
            .unwrap_or(USUAL.force_within),
    };
    let earlier = |keys: &super::shape::RepeatabilityKeys| {
        Ok::<_, Error>(Earlier {
            standard_deviation: source.small(Field::Repeatability, &keys.standard_deviation)?,
            degrees_of_freedom: source
                .number(&keys.degrees_of_freedom, given::EARLIER_DEGREES_OF_FREEDOM)?,
        })
    };
    Ok(Calibration {
        on,
        criterion: criterion(source, file.criterion.as_ref())?,
        found: points(source, &file.found, &blocks)?,
        left: points(source, &file.left, &blocks)?,
        repeatability: file.repeatability.as_ref().map(earlier).transpose()?,
        conditions,
        faces: faces(source, file.faces.as_ref())?,
        micrometer,
        blocks,
    })
}

fn points(
    source: &Source,
    keys: &[Spanned<PointKeys>],
    blocks: &[Block],
) -> Result<Vec<Point>, Error> {
    let mut all = Vec::new();
    for spanned in keys {
        let source = source.within(spanned.span().start);
        all.push(point(&source, spanned, blocks)?);
    }
    Ok(all)
}

fn point(source: &Source, spanned: &Spanned<PointKeys>, set: &[Block]) -> Result<Point, Error> {
    let keys = spanned.get_ref();
    let blocks = match (&keys.at, &keys.blocks) {
        (None, Some(blocks)) => blocks
            .iter()
            .map(|block| source.positive(Field::StandardSize, block))
            .collect::<Result<Vec<_>, _>>()?,
        (Some(at), None) => {
            let size = source.not_negative(Field::StandardSize, at)?.value();
            if size == Length::ZERO {
                Vec::new()
            } else {
                let stack = propose(set, size).ok_or_else(|| {
                    let most = metrology::calibration::MOST_BLOCKS;
                    source.wrong_at(at, FileError::NoStack { at: size, most })
                })?;
                let nominal = |index: &usize| Some(set.get(*index)?.nominal.clone());
                stack.blocks.iter().filter_map(nominal).collect()
            }
        }
        _ => return Err(source.wrong_at(spanned, FileError::PointSize)),
    };
    Ok(Point {
        blocks,
        readings: source.readings(&keys.readings)?,
    })
}

fn faces(source: &Source, keys: Option<&FacesKeys>) -> Result<Faces, Error> {
    let Some(keys) = keys else {
        return Ok(Faces::default());
    };
    let flatness = keys.flatness.iter().map(|form| self::form(source, form));
    Ok(Faces {
        flatness: flatness.collect::<Result<_, _>>()?,
        flatness_limit: source.optional(keys.flatness_limit.as_ref(), |source, typed| {
            source.small(Field::Flatness, typed)
        })?,
        parallelism: keys
            .parallelism
            .as_ref()
            .map(|form| self::form(source, form))
            .transpose()?,
        parallelism_limit: source.optional(keys.parallelism_limit.as_ref(), |source, typed| {
            source.small(Field::Parallelism, typed)
        })?,
    })
}

fn form(source: &Source, spanned: &Spanned<FormKeys>) -> Result<FormFound, Error> {
    let keys = spanned.get_ref();
    match (
        (&keys.bands, &keys.wavelength),
        &keys.readings,
        (&keys.value, &keys.standard_uncertainty),
    ) {
        ((Some(bands), Some(wavelength)), None, (None, None)) => Ok(FormFound::Bands {
            count: source.number(bands, BANDS)?,
            wavelength: self::wavelength(source, wavelength)?,
        }),
        ((None, None), Some(readings), (None, None)) => Ok(FormFound::Ball {
            readings: source.readings(readings)?,
        }),
        ((None, None), None, (Some(value), Some(uncertainty))) => Ok(FormFound::Stated {
            value: source.small(Field::Flatness, value)?,
            standard_uncertainty: source.small(Field::StandardUncertainty, uncertainty)?,
        }),
        _ => Err(source.wrong_at(spanned, FileError::FormWay)),
    }
}

/// Of light that one sees by: shorter than a micrometre.
fn wavelength(source: &Source, typed: &Typed) -> Result<Entered, Error> {
    let given = source.length(typed)?;
    if given.value() <= Length::ZERO || given.value() >= MOST_WAVELENGTH {
        return Err(source.wrong_at(typed, FileError::Wavelength { given }));
    }
    Ok(given)
}

/// As at the bench.
const MOST_WAVELENGTH: Length = Length::from_micrometres(1);

fn plug(source: &Source, spanned: &Spanned<PlugKeys>) -> Result<Plug, Error> {
    let source = source.within(spanned.span().start);
    let keys = spanned.get_ref();
    Ok(Plug {
        id: keys.id.clone(),
        pitch: source.positive(Field::PitchRange, &keys.pitch)?,
        size: source.positive(Field::StandardSize, &keys.size)?,
        expanded_uncertainty: source
            .small(Field::StandardUncertainty, &keys.expanded_uncertainty)?,
        coverage_factor: source.number(&keys.coverage_factor, given::COVERAGE_FACTOR)?,
        readings: source.readings(&keys.readings)?,
    })
}

/// What the calculation refuses, as what is wrong with what was given.
pub fn refused(error: &CalibrationError) -> Error {
    Error::input(error.message())
}
