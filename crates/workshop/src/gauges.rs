//! A GO or NOT GO gauge that is named at the bench of a lot: what the register says of it, whether it shows this
//! characteristic, and what its status makes of the results.

use jiff::Timestamp;
use jiff::civil::Date;
use metrology::designation::parse;
use metrology::gauges;
use metrology::inspection::{
    Characteristic, Gauge, GaugeMember, Piece, State, StatusNote, Target, ThreadDiameter,
};
use metrology::limits::Limits;
use metrology::message::Value;

use crate::certified_otherwise;
use crate::equipment::{Equipment, Kind};
use crate::error::Error;
use crate::event::OfLot;
use crate::job_status::{self, Used, barred_piece};
use crate::register::Register;

/// What a limited gauge must be permitted for, by its key: it checks the pitch diameter of a thread.
const CHECKS: &str = ThreadDiameter::PitchDiameter.key();

metrology::messages! {
    /// Why a gauge does not show a characteristic.
    pub enum GaugeRefused "gauge-refused" {
        /// It is not in the register; the line that goes on with it all the same.
        Unknown "unknown" { id: String as Text, line: String as Text },
        /// It checks another thread.
        OtherThread "other-thread" { id: String as Text, thread: String as Text, wanted: String as Text },
        /// It is GO where NOT GO is asked for, or the other way round.
        OtherMember "other-member" { id: String as Text, member: GaugeMember as code, wanted: GaugeMember as code },
        /// What the plan asks for is no pitch diameter of a thread.
        NotOfThread "not-of-thread" { id: String as Text, thread: String as Text },
        /// The plan does not say of which thread it is.
        NoThread "no-thread" { id: String as Text, thread: String as Text },
        /// NOT GO entered more turns than its standard permits: the piece does not conform by it.
        TooManyTurns "too-many-turns" { turns: f64 as Given, permitted: u32 as whole },
        /// GO entered no further than NOT GO may: it did not pass over the whole thread.
        TooFewTurns "too-few-turns" { turns: f64 as Given },
        /// Turns that no gauge makes.
        Turns "turns" { given: String as Text },
        /// Out for calibration or repair, or for reference only.
        NotInUse "not-in-use" { id: String as Text, state: State as code },
    }
}

/// The gauge of this identity, as the register describes it.
pub fn find<'a>(register: &'a Register, id: &str) -> Option<&'a Gauge> {
    match &register.find(Kind::Gauge, id)?.equipment {
        Equipment::Gauge(gauge) => Some(gauge),
        _ => None,
    }
}

/// A gauge as a piece of equipment.
pub fn equipment(gauge: &Gauge) -> Equipment {
    Equipment::Gauge(gauge.clone())
}

/// Registered identities that may have been meant.
pub fn nearest(register: &Register, id: &str) -> Vec<String> {
    register.nearest(Some(Kind::Gauge), id)
}

/// The gauges of the register that show a characteristic and may be used on a day for a verdict, by identity.
pub fn fit<'a>(
    register: &'a Register,
    of: &'a OfLot,
    today: Date,
) -> impl Iterator<Item = &'a Gauge> {
    let pieces = register.pieces().iter();
    let gauges = pieces.filter_map(|piece| match &piece.equipment {
        Equipment::Gauge(gauge) => Some(gauge),
        _ => None,
    });
    gauges.filter(move |gauge| {
        let when = (Timestamp::MAX, today);
        let noted = notes(Some(gauge), &gauge.id, of, register, when);
        of.thread.is_some() && shows(gauge, of).is_ok() && noted.is_ok_and(|notes| notes.is_empty())
    })
}

/// Whether a gauge shows a characteristic, as far as the plan says which gauge does.
pub fn shows(gauge: &Gauge, of: &OfLot) -> Result<(), GaugeRefused> {
    let id = || gauge.id.clone();
    if gauge.state != State::Active {
        let state = gauge.state;
        return Err(GaugeRefused::NotInUse { id: id(), state });
    }
    is_of_thread(gauge, of.measured.as_ref())?;
    if of.thread.is_none() {
        let thread = gauge.designation.clone();
        return Err(GaugeRefused::NoThread { id: id(), thread });
    }
    if let Some(wanted) = &of.thread {
        let checks = parse(wanted).and_then(|thread| thread.limits());
        if !checks.is_ok_and(|thread| gauge.checks(&thread)) {
            return Err(GaugeRefused::OtherThread {
                id: id(),
                thread: gauge.designation.clone(),
                wanted: wanted.clone(),
            });
        }
    }
    match of.gauge {
        Some(wanted) if wanted != gauge.member => Err(GaugeRefused::OtherMember {
            id: id(),
            member: gauge.member,
            wanted,
        }),
        _ => Ok(()),
    }
}

/// Whether what the plan asks for is the pitch diameter of a thread, as far as it says.
pub fn is_of_thread(gauge: &Gauge, asked: Option<&Characteristic>) -> Result<(), GaugeRefused> {
    match asked {
        None => Ok(()),
        Some(Characteristic::Thread { diameter, .. })
            if *diameter == ThreadDiameter::PitchDiameter =>
        {
            Ok(())
        }
        Some(_) => Err(GaugeRefused::NotOfThread {
            id: gauge.id.clone(),
            thread: gauge.designation.clone(),
        }),
    }
}

/// What its certified size makes of the results: it is worn, or accepts parts beyond the limit of what is asked for.
pub fn of_size(gauge: &Gauge, asked: Option<&Characteristic>) -> Vec<StatusNote> {
    let Some(certified) = gauge.certified_gauge() else {
        return Vec::new();
    };
    let target = asked.and_then(|asked| Target::of(asked).ok());
    let limits = target.map_or_else(Limits::default, |target| target.limits);
    let (piece, id, size) = (Piece::Gauge, &gauge.id, gauge.size.value());
    let worn = certified.worn().map(|worn| StatusNote::Worn {
        piece,
        id: id.clone(),
        size,
        limit: worn.limit,
        of: worn.of,
    });
    let past = certified
        .past(limits)
        .map(|past| StatusNote::GaugePastLimit {
            piece,
            id: id.clone(),
            size,
            limit: past.limit,
            of: past.of,
        });
    worn.into_iter().chain(past).collect()
}

/// What the status of a gauge makes of its results at a moment of a day. One that is set apart, no longer used or lost is refused.
pub fn notes(
    gauge: Option<&Gauge>,
    id: &str,
    of: &OfLot,
    register: &Register,
    (at, day): (Timestamp, Date),
) -> Result<Vec<StatusNote>, Error> {
    let piece = Piece::Gauge;
    let used = Used {
        piece,
        kind: Kind::Gauge,
        id,
        certificate: gauge.and_then(|gauge| gauge.certificate.as_deref()),
        certificate_date: gauge.and_then(|gauge| gauge.certificate_date),
        due: gauge.and_then(|gauge| gauge.due),
        state: gauge.map_or(State::Active, |gauge| gauge.state),
    };
    if let Some(barred) = barred_piece(&used, register, at) {
        return Err(Error::input(barred));
    }
    let Some(gauge) = gauge else {
        let id = id.to_owned();
        return Ok(vec![StatusNote::NotRegistered { piece, id }]);
    };
    let mut notes = job_status::notes(&used, register, (at, day), CHECKS);
    notes.extend(job_status::found_bad(&used, register, day));
    let of_record = register
        .find(Kind::Gauge, id)
        .and_then(|one| certified_otherwise::of_record(piece, gauge, (one, register), day));
    notes.extend(of_record);
    notes.extend(of_size(gauge, of.measured.as_ref()));
    Ok(notes)
}

/// The same as they are stored.
pub fn stored(notes: Vec<StatusNote>) -> Vec<Value> {
    notes.into_iter().map(Value::said).collect()
}

/// Whether so many turns are those of a piece that conforms: GO passes over the whole thread, NOT GO enters no more turns than
/// its standard permits. Of a gauge that is not registered the plan says which it is; nothing is refused of one that is unknown.
pub fn turns_conform(turns: f64, gauge: Option<&Gauge>, of: &OfLot) -> Result<(), GaugeRefused> {
    let Some(member) = gauge.map(|gauge| gauge.member).or(of.gauge) else {
        return Ok(());
    };
    let thread = gauge.map(|gauge| &gauge.designation);
    let form = thread.or(of.thread.as_ref()).map(|thread| parse(thread));
    let permitted = form.and_then(|thread| gauges::turns_permitted(thread.ok()?.form()));
    match permitted {
        // Where GO goes no further than NOT GO may, or not one turn, it has not passed (common practice, no source).
        _ if member.is_go() && turns <= permitted.map_or(1.0, f64::from) => {
            Err(GaugeRefused::TooFewTurns { turns })
        }
        Some(permitted) if !member.is_go() && turns > f64::from(permitted) => {
            Err(GaugeRefused::TooManyTurns { turns, permitted })
        }
        _ => Ok(()),
    }
}
