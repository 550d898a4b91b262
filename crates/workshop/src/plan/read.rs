//! A plan from a TOML file.

use std::path::Path;

use metrology::inspection::{Characteristic, GaugeMember, RuleName, Scope, Target, is_all_around};
use metrology::message::Value;
use toml::Spanned;

use super::shape::{CharacteristicKeys, DecisionKeys, PartKeys, PiecesKeys, PlanFile, RoomKeys};
use super::{By, Class, Pieces, Plan, PlanError, PlanNote, Planned, Take, Way};
use crate::error::Error;
use crate::given::{HUMIDITY, Range, TEMPERATURE, Whole};
use crate::inspection_plan::{RoomLimits, USUAL_WITHIN};
use crate::job_file::origin::Origin;
use crate::job_file::shape::Decision;
use crate::job_file::typed::{Source, Typed};
use crate::job_file::{characteristic, rule_or_usual, shaped};

/// Pieces of a lot or a sample.
const PIECES: Whole = Whole(Range::new(1.0, 1e9, ""));
/// Pieces that may be nonconforming.
const NUMBER: Whole = Whole(Range::new(0.0, 1e9, ""));
/// Minutes between a result and a value of the room.
const MINUTES: Whole = Whole(Range::new(1.0, 1440.0, " min"));
const RISK: Range = Range::new(1e-9, 0.999_999, "");

/// Editions that were withdrawn or replaced, and by what (from memory).
const WITHDRAWN: [(&str, &str); 12] = [
    ("ANSI B1.1-1974", "ASME B1.1-2003 and later"),
    ("ANSI B1.1-1982", "ASME B1.1-2003 and later"),
    ("ASME B1.1-1989", "ASME B1.1-2003 and later"),
    ("ISO 965-1:1980", "ISO 965-1:2013"),
    ("ISO 965-1:1998", "ISO 965-1:2013"),
    ("ISO 14253-1:1998", "ISO 14253-1:2017"),
    ("ISO 14253-1:2013", "ISO 14253-1:2017"),
    ("ISO 1502:1978", "ISO 1502:1996"),
    ("MIL-STD-105D", "MIL-STD-105E"),
    ("MIL-S-7742", "ASME B1.1-2003 and later"),
    ("MIL-S-8879", "ASME B1.15"),
    ("BS 84:1956", "BS 84:2007"),
];

/// Takes the text of a plan; the first mistake in it is the error, and no half of a plan is taken.
pub fn parse(path: &Path, text: &str) -> Result<Plan, Error> {
    let origin = Origin::File { path, text };
    let file: PlanFile = shaped(origin)?;
    let source = Source::new(origin, file.unit.as_ref())?;
    let mut characteristics: Vec<Planned> = Vec::new();
    for keys in &file.characteristic {
        let at = keys.span().start;
        let line = text.get(..at).unwrap_or(text).matches('\n').count() + 1;
        let within = source.within(at);
        let planned = planned(&within, keys.get_ref(), file.decision.as_ref(), line)?;
        let before = characteristics.iter();
        let before = before.map(|other| (other.number.as_str(), other.line));
        if let Err(wrong) = number_is_new(before, &planned.number) {
            return Err(within.wrong_at(&keys.get_ref().number, wrong));
        }
        characteristics.push(planned);
    }
    if characteristics.is_empty() {
        return Err(source.wrong(PlanError::Empty));
    }
    let pieces = pieces(&source.within(file.pieces.span().start), &file.pieces)?;
    let room = file.room.as_ref();
    let room = room.map(|keys| room_limits(&source, keys)).transpose()?;
    Ok(plan(&source, file.part, pieces, room, characteristics))
}

/// A plan of what was read of it.
pub(super) fn plan(
    source: &Source,
    part: PartKeys,
    pieces: Pieces,
    room: Option<RoomLimits>,
    characteristics: Vec<Planned>,
) -> Plan {
    Plan {
        number: part.plan,
        part: part.name,
        drawing: part.drawing,
        revision: part.revision.as_ref().map(|typed| source.text(typed)),
        unit: source.unit(),
        pieces,
        room,
        notes: characteristics
            .iter()
            .flat_map(|planned| of_edition(planned).into_iter().chain(of_places(planned)))
            .collect(),
        characteristics,
    }
}

/// Refuses a number that another characteristic has, or that rows of readings use for another thing. Of those before it the
/// number and the line.
pub(super) fn number_is_new<'a>(
    mut before: impl Iterator<Item = (&'a str, usize)>,
    number: &str,
) -> Result<(), PlanError> {
    let same = before.find(|(other, _)| !other.is_empty() && *other == number);
    if let Some((_, line)) = same {
        let number = number.to_owned();
        return Err(PlanError::NumberTwice { number, line });
    }
    if number.eq_ignore_ascii_case("zero") {
        return Err(PlanError::NumberZero);
    }
    Ok(())
}

fn planned(
    source: &Source,
    keys: &CharacteristicKeys,
    usual: Option<&DecisionKeys>,
    line: usize,
) -> Result<Planned, Error> {
    let way = keys.way.unwrap_or(Way::Contacts);
    let number = source.text(&keys.number).trim().to_owned();
    let measured = measured(source, keys, way)?;
    let gauge = gauge(source, keys, &number, way, measured.as_ref())?;
    let places = places(source, keys)?;
    let (rule, agreed) = rule(source, keys.decision.as_ref().or(usual))?;
    Ok(Planned {
        number,
        line,
        measured,
        scope: keys.measure.as_ref().and_then(|measure| measure.scope),
        says: keys.says.clone(),
        places,
        way,
        gauge,
        class: keys.class.unwrap_or(Class::Ordinary),
        rule,
        agreed,
        edition: keys.edition.as_ref().map(|typed| source.text(typed)),
    })
}

/// The gauge that shows a characteristic: a plug of a nut, a ring of a bolt.
pub(super) fn gauge(
    source: &Source,
    keys: &CharacteristicKeys,
    number: &str,
    way: Way,
    measured: Option<&Characteristic>,
) -> Result<Option<GaugeMember>, Error> {
    let Some(spanned) = &keys.gauge else {
        return Ok(None);
    };
    let (number, member) = (number.to_owned(), *spanned.get_ref());
    if way != Way::Gauge {
        let way = Value::code(way);
        return Err(source.wrong_at(spanned, PlanError::GaugeOfAnother { number, way }));
    }
    let thread = measured.and_then(|what| Target::of(what).ok()?.thread);
    match thread {
        Some(thread) if !member.is_for(thread.kind) => {
            let wrong = PlanError::GaugeMember {
                number,
                thread: thread.designation,
                gauge: Value::code(member),
                right: Value::code(member.other()),
            };
            Err(source.wrong_at(spanned, wrong))
        }
        _ => Ok(Some(member)),
    }
}

/// What is measured of a characteristic; one that is measured must say it.
pub(super) fn measured(
    source: &Source,
    keys: &CharacteristicKeys,
    way: Way,
) -> Result<Option<Characteristic>, Error> {
    let measure = keys.measure.as_ref();
    let measured = measure
        .map(|measure| characteristic(source, measure))
        .transpose()?;
    if let Some(what) = &measured {
        // Limits are looked up now: a designation that is none is told with its line, before anything is measured.
        Target::of(what).map_err(|error| source.wrong_at(&keys.number, error).about("measure"))?;
    } else if way.is_measured() {
        let number = source.text(&keys.number).trim().to_owned();
        let way = Value::code(way);
        let wrong = PlanError::NothingMeasured { number, way };
        return Err(source.wrong_at(&keys.number, wrong).about("measure"));
    }
    Ok(measured)
}

/// Where a characteristic is measured, each place once.
pub(super) fn places(source: &Source, keys: &CharacteristicKeys) -> Result<Vec<String>, Error> {
    let mut places: Vec<String> = Vec::new();
    for typed in &keys.places {
        let place = source.text(typed).trim().to_owned();
        if places.contains(&place) {
            return Err(source.wrong_at(typed, PlanError::PlaceTwice { place }));
        }
        places.push(place);
    }
    Ok(places)
}

/// The decision rule and who agreed it; the usual one where none is stated.
pub(super) fn rule(
    source: &Source,
    keys: Option<&DecisionKeys>,
) -> Result<(RuleName, Option<String>), Error> {
    let Some(keys) = keys else {
        return Ok((rule_or_usual(source, None)?, None));
    };
    if let (None, Some(agreed)) = (&keys.rule, &keys.agreed) {
        return Err(source
            .wrong_at(agreed, PlanError::AgreedAlone)
            .about("rule"));
    }
    let named = Decision {
        rule: keys.rule.clone(),
        parameter: keys.parameter.clone(),
        agreed: None,
    };
    let rule = rule_or_usual(source, Some(&named))?;
    Ok((rule, keys.agreed.as_ref().map(|typed| source.text(typed))))
}

/// How many pieces are taken.
pub(super) fn pieces(source: &Source, spanned: &Spanned<PiecesKeys>) -> Result<Pieces, Error> {
    let keys = spanned.get_ref();
    let take = keys.take;
    check_keys(source, spanned)?;
    let whole = |typed: Option<&Typed>, permitted: Whole| {
        source.optional(typed, |source, typed| {
            source.whole(typed, permitted).map(u64::from)
        })
    };
    let refused = |error: metrology::sampling::SamplingError| source.wrong_at(spanned, error);
    let lot_size = whole(keys.lot_size.as_ref(), PIECES)?;
    let accept = whole(keys.accept.as_ref(), NUMBER)?.unwrap_or_default();
    let reject = whole(keys.reject.as_ref(), NUMBER)?.unwrap_or(accept + 1);
    let text = |typed: &Option<Typed>, usual: &str| {
        typed
            .as_ref()
            .map_or_else(|| usual.to_owned(), |typed| source.text(typed))
    };
    let by = match take {
        Take::All => By::All,
        Take::Fixed => By::Fixed,
        Take::MilStd105E => By::MilStd105E {
            level: text(&keys.level, "II"),
            aql: text(&keys.aql, ""),
            severity: text(&keys.severity, "normal"),
        },
        Take::ZeroAcceptance => By::ZeroAcceptance {
            limiting_fraction: source
                .optional(keys.limiting_fraction.as_ref(), Source::decimal)?
                .unwrap_or_default(),
            risk: source
                .number_if(keys.risk.as_ref(), RISK)?
                .unwrap_or_default(),
        },
    };
    let stated = Pieces {
        by,
        lot_size,
        n: whole(keys.n.as_ref(), PIECES)?.or(lot_size),
        accept,
        reject,
    };
    if reject <= accept {
        return Err(source.wrong_at(spanned, PlanError::Numbers { accept, reject }));
    }
    if let (Some(n), Some(lot)) = (stated.n, lot_size)
        && n > lot
    {
        return Err(source.wrong_at(spanned, PlanError::OverLot { n, lot }));
    }
    let taken = match lot_size {
        Some(size) => stated.of_lot(size).map_err(refused)?,
        None => stated,
    };
    match taken.say_nothing() {
        Some(wrong) => Err(source.wrong_at(spanned, wrong)),
        None => Ok(taken),
    }
}

fn room_limits(source: &Source, spanned: &Spanned<RoomKeys>) -> Result<RoomLimits, Error> {
    let keys = spanned.get_ref();
    let limits = |typed: &Option<[Typed; 2]>, permitted: Range| {
        let Some([lower, upper]) = typed else {
            return Ok(None);
        };
        let limits = [
            source.number(lower, permitted)?,
            source.number(upper, permitted)?,
        ];
        if limits[0] >= limits[1] {
            return Err(source.wrong_at(lower, PlanError::RoomLimits));
        }
        Ok(Some(limits))
    };
    let stated = RoomLimits {
        temperature: limits(&keys.temperature, TEMPERATURE)?,
        humidity: limits(&keys.humidity, HUMIDITY)?,
        within: source
            .optional(keys.within.as_ref(), |source, typed| {
                source.whole(typed, MINUTES).map(u64::from)
            })?
            .unwrap_or(USUAL_WITHIN),
    };
    if stated.temperature.is_none() && stated.humidity.is_none() {
        return Err(source.wrong_at(spanned, PlanError::RoomEmpty));
    }
    Ok(stated)
}

/// Each way of taking pieces has its own keys: one that is missing is told, and so is one that says nothing here.
fn check_keys(source: &Source, spanned: &Spanned<PiecesKeys>) -> Result<(), Error> {
    use Take::{All, Fixed, MilStd105E, ZeroAcceptance};
    let keys = spanned.get_ref();
    let take = keys.take;
    let of = |ways: &[Take]| ways.contains(&take);
    let known = [
        (
            "lot_size",
            &keys.lot_size,
            of(&[MilStd105E, ZeroAcceptance]),
            true,
        ),
        ("n", &keys.n, of(&[Fixed]), of(&[Fixed])),
        ("accept", &keys.accept, false, of(&[All, Fixed])),
        ("reject", &keys.reject, false, of(&[All, Fixed])),
        ("level", &keys.level, false, of(&[MilStd105E])),
        ("aql", &keys.aql, of(&[MilStd105E]), of(&[MilStd105E])),
        ("severity", &keys.severity, false, of(&[MilStd105E])),
        (
            "limiting_fraction",
            &keys.limiting_fraction,
            of(&[ZeroAcceptance]),
            of(&[ZeroAcceptance]),
        ),
        (
            "risk",
            &keys.risk,
            of(&[ZeroAcceptance]),
            of(&[ZeroAcceptance]),
        ),
    ];
    for (key, typed, needed, taken) in known {
        let (name, way) = (key.to_owned(), Value::code(take));
        match typed {
            None if needed => {
                let wrong = PlanError::NeedsKey {
                    key: name,
                    take: way,
                };
                return Err(source.wrong_at(spanned, wrong).about(key));
            }
            Some(typed) if !taken => {
                let wrong = PlanError::OtherKey {
                    key: name,
                    take: way,
                };
                return Err(source.wrong_at(typed, wrong));
            }
            _ => {}
        }
    }
    Ok(())
}

/// What is to be known of a characteristic that is measured at one position, before pieces are measured by it.
pub fn of_places(planned: &Planned) -> Vec<PlanNote> {
    let target = planned
        .measured
        .as_ref()
        .filter(|_| planned.way.is_measured());
    let Some(target) = target.and_then(|measured| Target::of(measured).ok()) else {
        return Vec::new();
    };
    if planned.places.len() != 1 {
        return Vec::new();
    }
    let number = || planned.number.clone();
    let is_open = is_all_around(&target) && planned.scope != Some(Scope::Place);
    let one_place = is_open.then(|| PlanNote::OnePlace { number: number() });
    let one_reading = PlanNote::OneReading { number: number() };
    one_place.into_iter().chain([one_reading]).collect()
}

/// What is to be said of the edition that the drawing names.
pub fn of_edition(planned: &Planned) -> Option<PlanNote> {
    let edition = planned.edition.clone()?;
    let number = planned.number.clone();
    let plain = |text: &str| -> String {
        let kept = text.chars().filter(|c| c.is_alphanumeric());
        kept.collect::<String>().to_lowercase()
    };
    if let Some((_, by)) = WITHDRAWN
        .iter()
        .find(|(known, _)| plain(known) == plain(&edition))
    {
        let by = (*by).to_owned();
        return Some(PlanNote::Withdrawn {
            number,
            edition,
            by,
        });
    }
    let target = Target::of(planned.measured.as_ref()?).ok()?;
    let sources = target.thread.as_ref()?.sources.iter();
    let used: Vec<String> = sources
        .filter_map(|source| Some(source.document()?.to_owned()))
        .collect();
    let named = used
        .iter()
        .any(|used| plain(used).contains(&plain(&edition)));
    (!named && !used.is_empty()).then_some(PlanNote::OtherEdition {
        number,
        edition,
        used,
    })
}
