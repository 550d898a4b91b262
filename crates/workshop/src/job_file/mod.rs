//! The job file: one measurement as a person writes it down, in TOML.
//!
//! Its shape is `shape`; this module turns it into a [`Job`]. Bare numbers keep the digits they were written with
//! (8.870 is not 8.87) and take the file's `unit`; without one, every length must carry its own.

mod bounds;
mod by_keys;
mod equipment;
mod error;
mod features;
mod held;
mod identity;
pub(crate) mod measure;
pub(crate) mod origin;
mod place;
mod reader;
mod readings;
pub(crate) mod section;
mod section_keys;
mod set_up;
pub(crate) mod shape;
mod thread;
pub(crate) mod typed;
mod values;
mod when;

use std::fs::File;
use std::io::Read as _;
use std::path::Path;

use metrology::decision::Rule;
use metrology::inspection::{
    Characteristic, Contacts, Field, Flanks, Instrument, Job, Left, Overrides, OwnUncertainty,
    Part, Prior, Room, RuleName, Scope, Standard, StandardForm, Struck, Temperature, WireSet, Zero,
    too_cold,
};
use metrology::message::{Say as _, Value};
use metrology::units::{Celsius, Entered};

use crate::approving::SetUp;
use crate::given;
use crate::inspection_plan::PlanNote;
use crate::job_status;
use crate::last_zero::{LastZero, Zeroed};
use crate::register::{Equipment, Kind, Register, Shelf, Stock};
use crate::room_on_record::RoomRecord;
use shape::JobFile;
use typed::Source;

use crate::error::Error;
pub use equipment::{given as given_equipment, parse as parse_equipment, read as read_equipment};
pub(crate) use error::on_line;
use origin::Origin;
use section::Placed;

pub use error::{FileNote, Wrong};
pub use readings::parse as parse_readings;
pub use section::{Given, Section};
pub use set_up::AtHand;
pub use when::{Clock, Measured, day_of};

pub use held::Contradiction;

/// Reads a job file at a moment; what it names by identity alone comes from the shelf.
pub fn read(path: &Path, clock: impl Into<Clock>, shelf: &Shelf) -> Result<Job, Error> {
    let text = read_text(path)?;
    parse(path, &text, clock, shelf)
}

/// The largest file that is read, in megabytes: room for the most readings that a job may have, each with its place.
const LARGEST_FILE: u64 = 128;

/// Reads text, or says at which byte it stops being text.
pub(crate) fn read_text(path: &Path) -> Result<String, Error> {
    let most = LARGEST_FILE << 20;
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(most + 1).read_to_end(&mut bytes))
        .map_err(|source| Error::Unreadable {
            path: path.to_owned(),
            source,
        })?;
    if bytes.len() as u64 > most {
        let most = LARGEST_FILE;
        return Err(on_line(path, 1, None, Wrong::TooLarge { most }));
    }
    text_of(path, bytes)
}

/// The text that the bytes of a file are.
pub(crate) fn text_of(path: &Path, bytes: Vec<u8>) -> Result<String, Error> {
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let before = error.as_bytes().get(..at).unwrap_or_default();
        let line = before.split(|byte| *byte == b'\n').count();
        on_line(path, line, None, Wrong::NotUtf8 { at })
    })
}

/// Takes the text of a job file; a CSV it names is read from the folder of `path`.
pub fn parse(
    path: &Path,
    text: &str,
    clock: impl Into<Clock>,
    shelf: &Shelf,
) -> Result<Job, Error> {
    let origin = Origin::File { path, text };
    let file: JobFile = shaped(origin)?;
    let source = Source::new(origin, file.unit.as_ref())?;
    build(&source, &file, clock.into(), shelf)
}

/// What is measured, from `unit` and the section `measure` alone.
pub fn measured(given: &Section) -> Result<Characteristic, Error> {
    /// The part of a job that says what is measured.
    #[derive(serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Measured {
        unit: Option<typed::Typed>,
        measure: measure::Measure,
    }
    let placed = Placed::of(given);
    let origin = Origin::Given(&placed);
    let given: Measured = shaped(origin)?;
    let source = Source::new(origin, given.unit.as_ref())?;
    characteristic(&source, &given.measure)
}

/// What was given in its shape, or the place that is wrong.
pub(crate) fn shaped<T: serde::de::DeserializeOwned>(origin: Origin) -> Result<T, Error> {
    reader::read(origin).map_err(|trouble| {
        let offset = trouble.at.unwrap_or_default().start;
        let Some(key) = trouble.missing else {
            return origin.wrong(offset, trouble.reason);
        };
        let (section, _) = origin.named(offset);
        let wrong = Wrong::MissingKey {
            key: key.clone(),
            section: section.unwrap_or_default(),
        };
        origin.wrong(offset, wrong).about(&key)
    })
}

fn build(source: &Source, file: &JobFile, clock: Clock, shelf: &Shelf) -> Result<Job, Error> {
    let zero = file.zero.as_ref().ok_or_else(|| {
        let section = "zero".to_owned();
        source.wrong(Wrong::MissingSection { section })
    })?;
    let when = when::measured(source, file.measured_at.as_ref(), clock, shelf)?;
    let wanted = Wanted {
        characteristic: characteristic(source, &file.measure)?,
        scope: file.measure.scope,
        part: part(source, &file.part)?,
        rule: rule_or_usual(source, file.decision.as_ref())?,
    };
    let mut job = job_of(source, &file.at_bench(), wanted, when, shelf)?;
    if let (Some(typed), Some(received)) = (&file.part.received, job.part.received)
        && received > job.measured_on
    {
        let measured = job.measured_on;
        return Err(source.wrong_at(typed, Wrong::ReceivedAfter { received, measured }));
    }
    let agreed = file.decision.as_ref().and_then(|keys| keys.agreed.clone());
    let agreed = agreed.map(|by| PlanNote::RuleAgreed { by });
    job.notes.extend(agreed.map(Value::said));
    job.zero.before = source.readings(&zero.before)?;
    job.zero.after = source.readings(&zero.after)?;
    job.readings = readings::places(source, &file.readings, shelf)?;
    job.struck = with_reason(source, &file.readings.struck, |reading, reason| Struck {
        reading,
        reason,
    })?;
    job.left = with_reason(source, &file.readings.left, |reading, reason| Left {
        reading,
        reason,
    })?;
    Ok(job)
}

/// What is asked for: a characteristic of a part, and how it is decided.
pub(crate) struct Wanted {
    pub characteristic: Characteristic,
    pub scope: Option<Scope>,
    pub part: Part,
    pub rule: RuleName,
}

/// The job of what is wanted and what is at the bench, before anything was read.
fn job_of(
    source: &Source,
    bench: &shape::AtBench,
    wanted: Wanted,
    (measured_when, note): (Measured, Option<Value>),
    shelf: &Shelf,
) -> Result<Job, Error> {
    let shelf = &shelf.at(measured_when.at);
    let Wanted {
        characteristic: measured,
        scope,
        part,
        rule,
    } = wanted;
    // Contacts of features sit on plain standards, those of threads on V and cone.
    let usual_form = match measured {
        Characteristic::Feature { .. } => StandardForm::Plain,
        // So do the flat faces that wires lie between.
        _ if bench.wires.is_some() => StandardForm::Plain,
        _ => StandardForm::default(),
    };
    let read = match bench.temperature {
        Some(keys) => temperature(source, keys, shelf)?,
        None => None,
    };
    let (instrument, contacts, wires, standard) = pieces(source, bench, usual_form, shelf)?;
    let set_up = SetUp::of(&measured, &instrument, &contacts, wires.as_ref());
    let approved = shelf.approvals().in_force(measured_when.on);
    let mut prior = match bench.prior {
        Some(keys) => prior(source, keys)?,
        None => Prior::default(),
    };
    // What is approved takes the place of what is only stated.
    let own = approved.own(&set_up).cloned();
    let own = own.map(|own| own.in_job(read.as_ref()));
    prior.own = own.or(prior.own);
    prior.study = approved.study(&set_up, &measured).cloned();
    prior.study_of_other = approved.study_of_other(&set_up, &measured, measured_when.on);
    if prior.form.is_none() {
        prior.form_history = shelf.form(&part, &measured);
    }
    let stated = bench.zero;
    let mut zero = Zero {
        before: Vec::new(),
        after: Vec::new(),
        contacts: stated.and_then(|zero| zero.contacts.clone()),
        allowance: source.optional(
            stated.and_then(|zero| zero.allowance.as_ref()),
            Source::length,
        )?,
        last: source.optional(stated.and_then(|zero| zero.last.as_ref()), Source::length)?,
        last_record: None,
    };
    if zero.last.is_none() {
        let zeroed = Zeroed::of(&instrument, &contacts, &standard);
        LastZero::tell(shelf.last_zero(&zeroed).as_ref(), &mut zero);
    }
    let mut job = Job {
        part,
        person: bench.person.cloned(),
        measured_at: measured_when.at,
        measured_on: measured_when.on,
        characteristic: measured,
        instrument,
        contacts,
        wires,
        standard,
        zero,
        readings: Vec::new(),
        struck: Vec::new(),
        left: Vec::new(),
        scope,
        room: match (bench.temperature, &read) {
            (Some(keys), None) => Some(room(source, keys)?),
            _ => None,
        },
        temperature: read,
        prior,
        held: bench.temperature.and_then(|keys| keys.held),
        approved: approved.defaults(),
        rule,
        notes: bench
            .note
            .into_iter()
            .map(Value::text)
            .chain(note)
            .collect(),
        monte_carlo: None,
        overrides: bench
            .overrides
            .map_or_else(Overrides::default, |given| Overrides {
                zero: given.zero.clone(),
                equipment: given.equipment.clone(),
                contacts: given.contacts.clone(),
            }),
        service: bench.service,
    };
    let nothing = Register::default();
    // Only a plan limits the room, and what it says is added later.
    let room = RoomRecord::default();
    let register = shelf.register().unwrap_or(&nothing);
    if shelf.is_for_trial() {
        job_status::note_anew(&mut job, register, &room);
    } else {
        job_status::apply(&mut job, register, &room)?;
    }
    Ok(job)
}

/// The four pieces that a job is measured with.
fn pieces(
    source: &Source,
    bench: &shape::AtBench,
    usual_form: StandardForm,
    shelf: &Stock,
) -> Result<(Instrument, Contacts, Option<WireSet>, Standard), Error> {
    let of_job = |kind, keys, usual| equipment::of_job(source, kind, keys, usual, shelf);
    let instrument = of_job(Kind::Instrument, &bench.instrument.keys, None)?;
    let contacts = of_job(Kind::Contacts, &bench.contacts.keys, None)?;
    let wires = bench
        .wires
        .map(|wires| of_job(Kind::Wires, &wires.keys, None))
        .transpose()?;
    let standard = of_job(
        Kind::Standard,
        &bench.standard.keys,
        Some(("form", usual_form.key())),
    )?;
    let (
        Equipment::Instrument(instrument),
        Equipment::Contacts(contacts),
        None | Some(Equipment::Wires(_)),
        Equipment::Standard(standard),
    ) = (instrument, contacts, &wires, standard)
    else {
        return Err(source.wrong(Wrong::NoEquipment));
    };
    let wires = wires.and_then(|wires| match wires {
        Equipment::Wires(wires) => Some(wires),
        _ => None,
    });
    Ok((instrument, contacts, wires, standard))
}

/// The rule that is stated, or the one that is usual.
pub(crate) fn rule_or_usual(
    source: &Source,
    keys: Option<&shape::Decision>,
) -> Result<RuleName, Error> {
    match keys {
        Some(keys) => rule(source, keys),
        // Proof of conformity carries the uncertainty where nothing was agreed: ISO 14253-1:2017, default rule.
        None => Ok(RuleName {
            name: "iso14253-1".to_owned(),
            parameter: None,
            assumed: true,
        }),
    }
}

fn part(source: &Source, keys: &shape::Part) -> Result<Part, Error> {
    Ok(Part {
        name: keys.name.clone(),
        drawing: keys.drawing.clone(),
        order: keys.order.clone(),
        lot: keys.lot.clone(),
        sample: keys.sample.clone(),
        piece: keys.piece.clone(),
        serial: keys.serial.clone(),
        characteristic: keys.characteristic.clone(),
        hardness_hv: source.number_if(keys.hardness_hv.as_ref(), given::HARDNESS)?,
        customer: keys.customer.clone(),
        received: source.optional(keys.received.as_ref(), Source::date)?,
        condition: keys.condition.clone(),
    })
}

pub(crate) fn characteristic(
    source: &Source,
    measure: &measure::Measure,
) -> Result<Characteristic, Error> {
    if let Some(feature) = features::feature(source, measure)? {
        thread::only_of_threads(source, measure)?;
        return Ok(feature);
    }
    let stated = measure.name.is_some()
        || measure.lower.is_some()
        || measure.upper.is_some()
        || measure.nominal.is_some();
    match &measure.designation {
        Some(designation) => thread::thread(source, measure, designation),
        None if stated => {
            thread::only_of_threads(source, measure)?;
            let (lower, upper) = features::limits(source, measure)?;
            Ok(Characteristic::Stated {
                name: measure.name.clone().unwrap_or_default(),
                lower,
                upper,
            })
        }
        None => Err(source.wrong_in("measure", Wrong::NothingMeasured)),
    }
}

fn rule(source: &Source, keys: &shape::Decision) -> Result<RuleName, Error> {
    let Some(typed) = &keys.rule else {
        let wrong = Wrong::MissingChoice {
            key: "rule".to_owned(),
            known: Rule::KEYS.to_vec(),
        };
        return Err(source.wrong_in("decision", wrong).about("rule"));
    };
    let name = source.text(typed);
    let parameter = source.optional(keys.parameter.as_ref(), Source::decimal)?;
    Rule::agreed(&name, parameter).map_err(|error| source.wrong_at(typed, error.message()))?;
    Ok(RuleName {
        name,
        parameter,
        assumed: false,
    })
}

fn prior(source: &Source, keys: &shape::Prior) -> Result<Prior, Error> {
    if let (Some(stated), None) = (&keys.repeatability, &keys.degrees_of_freedom) {
        return Err(source
            .wrong_at(stated, Wrong::NoDegreesOfFreedom)
            .about("degrees_of_freedom"));
    }
    Ok(Prior {
        repeatability: source.optional(keys.repeatability.as_ref(), Source::length)?,
        degrees_of_freedom: source.number_if(
            keys.degrees_of_freedom.as_ref(),
            given::EARLIER_DEGREES_OF_FREEDOM,
        )?,
        form: source.optional(keys.form.as_ref(), Source::length)?,
        drift_limit: source.optional(keys.drift_limit.as_ref(), Source::length)?,
        flank_angle: source.number_if(keys.flank_angle.as_ref(), given::FLANK_ANGLE_LIMIT)?,
        flanks: flanks(source, keys)?,
        made: keys.made,
        pitch_error: source.optional(keys.pitch_error.as_ref(), Source::length)?,
        own: own(source, keys)?,
        form_history: None,
        study: None,
        study_of_other: None,
    })
}

/// An uncertainty of the laboratory's own, with its coverage factor and where it was found.
fn own(source: &Source, keys: &shape::Prior) -> Result<Option<OwnUncertainty>, Error> {
    let (Some(expanded), Some(k), Some(found)) = (
        &keys.expanded_uncertainty,
        &keys.coverage_factor,
        &keys.source,
    ) else {
        let stated = [
            ("expanded_uncertainty", &keys.expanded_uncertainty),
            ("coverage_factor", &keys.coverage_factor),
            ("source", &keys.source),
        ];
        let missing = stated.iter().find(|(_, typed)| typed.is_none());
        let given = stated.iter().find_map(|(_, typed)| typed.as_ref());
        return match (given, missing) {
            (Some(given), Some((key, _))) => Err(source
                .wrong_at(given, Wrong::OwnUncertaintyAlone)
                .about(key)),
            _ => Ok(None),
        };
    };
    Ok(Some(OwnUncertainty {
        expanded_uncertainty: source.small(Field::OwnUncertainty, expanded)?,
        coverage_factor: source.number(k, given::COVERAGE_FACTOR)?,
        source: source.text(found),
        approval: None,
        sizes: None,
        room: None,
        unshown: None,
    }))
}

/// What was read with a thermometer; none where only the room or the materials are stated.
fn temperature(
    source: &Source,
    keys: &shape::Temperature,
    shelf: &Stock,
) -> Result<Option<Temperature>, Error> {
    let celsius = |typed| -> Result<Celsius, Error> {
        let degrees = source.number(typed, given::TEMPERATURE)?;
        too_cold(degrees).map_err(|error| source.wrong_at(typed, error.message()))?;
        Ok(Celsius::new(degrees))
    };
    let read = [
        &keys.part,
        &keys.standard,
        &keys.instrument,
        &keys.standard_uncertainty,
    ];
    if read.iter().all(|key| key.is_none()) {
        return match &keys.thermometer {
            Some(named) => {
                let id = named.get_ref().clone();
                let wrong = source.wrong_at(named, Wrong::ThermometerAlone { id });
                Err(wrong.about("thermometer"))
            }
            None => Ok(None),
        };
    }
    let missing = |key: &str| {
        let wrong = Wrong::MissingKey {
            key: key.to_owned(),
            section: "temperature".to_owned(),
        };
        source.wrong_in("temperature", wrong).about(key)
    };
    let needed = |typed: &Option<typed::Typed>, key| typed.clone().ok_or_else(|| missing(key));
    if let Some([from, _]) = &keys.room {
        return Err(source
            .wrong_at(from, Wrong::RoomBesideReadings)
            .about("room"));
    }
    Ok(Some(Temperature {
        part: celsius(&needed(&keys.part, "part")?)?,
        standard: celsius(&needed(&keys.standard, "standard")?)?,
        instrument: keys.instrument.as_ref().map(celsius).transpose()?,
        standard_uncertainty: source.number(
            &needed(&keys.standard_uncertainty, "standard_uncertainty")?,
            given::KELVINS,
        )?,
        part_material: keys
            .part_material
            .clone()
            .ok_or_else(|| missing("part_material"))?,
        standard_material: keys
            .standard_material
            .clone()
            .unwrap_or_else(|| "steel".to_owned()),
        thermometer: keys
            .thermometer
            .as_ref()
            .map(|named| equipment::thermometer(source, named, shelf))
            .transpose()?,
    }))
}

/// The room and the materials, where no thermometer was read.
fn room(source: &Source, keys: &shape::Temperature) -> Result<Room, Error> {
    let celsius = |typed| source.number(typed, given::TEMPERATURE).map(Celsius::new);
    let range = match &keys.room {
        Some([from, to]) => {
            let range = [celsius(from)?, celsius(to)?];
            if range[0].degrees() > range[1].degrees() {
                return Err(source.wrong_at(from, Wrong::RoomFalls).about("room"));
            }
            Some(range)
        }
        None => None,
    };
    Ok(Room {
        range,
        part_material: keys.part_material.clone(),
        standard_material: keys.standard_material.clone(),
    })
}

/// Measured half angles of the part: both, and how far they may be off.
fn flanks(source: &Source, keys: &shape::Prior) -> Result<Option<Flanks>, Error> {
    let (angles, within) = match (&keys.flank_angles, &keys.flank_angles_within) {
        (None, None) => return Ok(None),
        (Some(angles), Some(within)) => (angles, within),
        (Some([one, _]), None) => {
            return Err(source
                .wrong_at(one, Wrong::FlankAnglesAlone)
                .about("flank_angles_within"));
        }
        (None, Some(within)) => {
            return Err(source
                .wrong_at(within, Wrong::FlankAnglesAlone)
                .about("flank_angles"));
        }
    };
    let [one, other] = angles;
    Ok(Some(Flanks {
        one: source.number(one, given::HALF_ANGLE)?,
        other: source.number(other, given::HALF_ANGLE)?,
        within: source.number(within, given::FLANK_ANGLE_LIMIT)?,
    }))
}

/// Readings with a reason each.
fn with_reason<T>(
    source: &Source,
    keys: &[shape::Struck],
    make: impl Fn(Entered, Value) -> T,
) -> Result<Vec<T>, Error> {
    keys.iter()
        .map(|one| Ok(make(source.length(&one.reading)?, Value::text(&one.reason))))
        .collect()
}

/// The one unit of a list of readings, or what is wrong with it.
pub(crate) fn one_unit<'a>(mut readings: impl Iterator<Item = &'a Entered>) -> Result<(), Wrong> {
    let Some(first) = readings.next() else {
        return Ok(());
    };
    match readings.find(|reading| reading.unit() != first.unit()) {
        None => Ok(()),
        Some(other) => Err(Wrong::MixedUnits {
            one: first.clone(),
            other: other.clone(),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use metrology::inspection::inspect;
    use proptest::prelude::*;

    const DEMO: &str = include_str!("../../../../demo/1-rating-screw.toml");

    /// Each mistake is told with its line and column, section, key and code.
    #[test]
    fn mistakes_have_a_place() {
        let cases = [
            ("id = \"mic-04\"", "id = 4", "instrument", "id", "not-text"),
            (
                "id = \"mic-04\"",
                "ids = \"mic-04\"",
                "instrument",
                "ids",
                "unknown-key-near",
            ),
            (
                "\npart = 2",
                "\npart = nan # 2",
                "temperature",
                "part",
                "outside",
            ),
            ("\npart = 2", "\n# 2", "temperature", "part", "missing-key"),
            (
                "[\"0\", \"25\"]",
                "[\"0\"]",
                "instrument",
                "range",
                "not-two",
            ),
            (
                "kind = \"v-and-cone\"",
                "kind = \"v\"",
                "contacts",
                "kind",
                "unknown-word",
            ),
            (
                "half_angle_limit = 3",
                "half_angle_limit = \"3\"",
                "contacts",
                "half_angle_limit",
                "quoted-number",
            ),
            (
                "rule = \"iso14253-1\"",
                "rule = \"feeling\"",
                "decision",
                "rule",
                "unknown-rule",
            ),
            (
                "values = [\"8.929\"",
                "values = [[1]",
                "readings.place",
                "values",
                "not-value",
            ),
        ];
        let nowhere = Shelf::beside(Path::new("nowhere.db"));
        for (from, to, section, field, code) in cases {
            assert!(DEMO.contains(from), "{from}");
            let text = DEMO.replacen(from, to, 1);
            let error = parse(Path::new("job.toml"), &text, jiff::Timestamp::MAX, &nowhere);
            let Err(Error::Wrong(fault)) = error else {
                panic!("{to} is taken");
            };
            assert_eq!(fault.section.as_deref(), Some(section), "{to}");
            assert_eq!(fault.field.as_deref(), Some(field), "{to}");
            assert_eq!(fault.reason.message().key(), code, "{to}");
            let at = fault.file.as_ref().unwrap();
            let (line, _) = place::line_and_column(DEMO, DEMO.find(from).unwrap());
            assert!(
                (line..=line + 1).contains(&at.line) || code == "missing-key",
                "{to}"
            );
            assert!(at.column.is_some(), "{to}");
        }
    }

    proptest! {
        /// Whatever stands in a job file, the answer is a result or a sentence.
        #[test]
        fn any_job_file_has_an_answer(
            at in 0..DEMO.len(),
            cut in 0_usize..40,
            put in prop_oneof!["\\PC{0,12}", "[0-9.,\"\\[\\]=\n-]{0,8}", "[0-9]{1,30}"],
        ) {
            let start = (0..=at).rev().find(|at| DEMO.is_char_boundary(*at)).unwrap_or(0);
            let end = (start + cut..=DEMO.len()).find(|at| DEMO.is_char_boundary(*at)).unwrap_or(DEMO.len());
            let text = format!("{}{put}{}", &DEMO[..start], &DEMO[end..]);
            match parse(Path::new("job.toml"), &text, jiff::Timestamp::MAX, &Shelf::beside(Path::new("nowhere.db"))) {
                Ok(job) => {
                    if let Ok(result) = inspect(&job) {
                        let document = crate::document::Inspected::of(&job, &result);
                        prop_assert_eq!(document.unit, result.target.unit);
                    }
                    // What is recorded reads back as it was.
                    let kept = serde_json::to_string(&job).unwrap();
                    prop_assert_eq!(serde_json::from_str::<Job>(&kept).unwrap(), job);
                }
                Err(Error::Wrong(fault)) => prop_assert!(fault.file.is_some_and(|file| file.path == Path::new("job.toml"))),
                Err(error) => prop_assert!(false, "{error}"),
            }
        }
    }
}
