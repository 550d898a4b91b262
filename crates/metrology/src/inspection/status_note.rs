//! What the gauge room says of the equipment of a job, and of the room: it stands with the job, and withholds a verdict or lets
//! it stand.

use jiff::Timestamp;
use jiff::civil::Date;

use super::job::Job;
use super::state::State;
use super::warning::Piece;
use crate::gauges::{GaugeLimit, WearLimit};
use crate::message::{Message, Value};
use crate::units::Length;

crate::messages! {
    /// What the gauge room says of a piece, or of the room.
    pub enum StatusNote "status-note" {
        /// Its calibration is overdue, and nobody extended it: no verdict.
        Overdue "overdue" { piece: Piece as code, id: String as Text, due: Date as Date },
        /// Its calibration is overdue, and the gauge room extended it.
        Extended "extended" {
            piece: Piece as code, id: String as Text, due: Date as Date, by: String as Text, until: Date as Date, reason: String as Text,
            check: String as Text,
        },
        /// It may be used for other things only: no verdict.
        Limited "limited" { piece: Piece as code, id: String as Text, uses: Vec<String> as texts, what: String as Text },
        /// A check part was out of its limits: no verdict with that set-up.
        CheckOut "check-out" { part: String as Text, value: f64 as Size, lower: f64 as Size, upper: f64 as Size },
        /// A gauge is past its wear limit: no verdict.
        Worn "worn" { piece: Piece as code, id: String as Text, size: Length as bound, limit: Length as bound, of: WearLimit as code },
        /// A gauge accepts parts beyond the limit that it is to check: no verdict.
        GaugePastLimit "gauge-past-limit" {
            piece: Piece as code, id: String as Text, size: Length as bound, limit: Length as bound, of: GaugeLimit as code,
        },
        /// The zero of a run had moved when it was checked after the piece: no verdict.
        ZeroMoved "zero-moved" { by: f64 as Difference, limit: f64 as Difference },
        /// A recall found it to be out: no verdict.
        FoundOut "found-out" { piece: Piece as code, id: String as Text, error: Length as bound, found: Date as Date, recall: String as Text },
        /// A calibration in house did not show it good, and nothing later does: no verdict.
        FailedCalibration "failed-calibration" { piece: Piece as code, id: String as Text, on: Date as Date, entry: String as Text },
        /// It was found beyond its limit after this was measured, and no recall of it is saved: no verdict.
        FoundBeyond "found-beyond" { piece: Piece as code, id: String as Text, found: Date as Date, entry: String as Text },
        /// A certificate has it at another size than the job takes it at: no verdict.
        OtherCertificate "other-certificate" {
            piece: Piece as code, id: String as Text, used: Length as bound, certified: Length as bound, certificate: String as Text,
        },
        /// The register has it at another size than the job takes it at, by no certificate: no verdict.
        OtherInRegister "other-in-register" { piece: Piece as code, id: String as Text, used: Length as bound, certified: Length as bound },
        /// A certificate, or the register, gives its errors at the size of the part otherwise than the job uses them: no verdict.
        OtherErrors "other-errors" {
            piece: Piece as code, id: String as Text, by: f64 as Difference, at: f64 as Size, known: KnownBy as said,
        },
        /// A certificate, or the register, gives a larger expanded uncertainty than the job uses, both for k = 2: no verdict.
        SmallerUncertainty "smaller-uncertainty" {
            piece: Piece as code, id: String as Text, used: f64 as Difference, certified: f64 as Difference, known: KnownBy as said,
        },
        /// The register describes it otherwise than the job does: no verdict.
        OtherDescription "other-description" {
            piece: Piece as code, id: String as Text, key: String as Text, used: String as Text, registered: String as Text,
        },
        /// One of the two contacts was quarantined with another pair: no verdict.
        MemberQuarantined "member-quarantined" {
            piece: Piece as code, id: String as Text, member: String as Text, pair: String as Text, reason: String as Text,
        },
        /// One of the two contacts was of a pair that is no longer used: no verdict.
        MemberRetired "member-retired" {
            piece: Piece as code, id: String as Text, member: String as Text, pair: String as Text, reason: String as Text,
        },
        /// A later certificate on record has nothing that the piece could be taken by: no verdict.
        UnusedCertificate "unused-certificate" {
            piece: Piece as code, id: String as Text, certificate: String as Text, date: Date as Date,
        },
        /// A later certificate on record has an error beyond the limit that the piece is taken by: no verdict.
        BeyondLimit "beyond-limit" {
            piece: Piece as code, id: String as Text, error: f64 as Difference, limit: f64 as Difference, certificate: String as Text,
        },
        /// The job names a certificate that is neither in the register nor on record.
        UnknownCertificate "unknown-certificate" { piece: Piece as code, id: String as Text, certificate: String as Text },
        /// A gauge that the register does not have: nothing is known of it.
        NotRegistered "not-registered" { piece: Piece as code, id: String as Text },
        /// The room was warmer or colder than the inspection plan allows: no verdict.
        RoomTemperature "room-temperature" {
            thermometer: String as Text, at: Timestamp as Time, value: f64 as Celsius, lower: f64 as Celsius, upper: f64 as Celsius,
        },
        /// The room was drier or damper than the inspection plan allows: no verdict.
        RoomHumidity "room-humidity" {
            thermometer: String as Text, at: Timestamp as Time, value: f64 as Percent, lower: f64 as Percent, upper: f64 as Percent,
        },
        /// The inspection plan has a limit of temperature, and none is on record near the measurement: no verdict.
        NoRoomTemperature "no-room-temperature" { within: u64 as Count },
        /// The room was recorded near the measurement, but with a thermometer that does not count: no verdict.
        RoomThermometer "room-thermometer" { thermometer: String as Text, at: Timestamp as Time, why: Unfit as said },
        /// Temperatures of the job are far from what was recorded of the room near the measurement.
        OtherTemperature "other-temperature" { thermometer: String as Text, at: Timestamp as Time, value: f64 as Celsius, stated: f64 as Celsius },
        /// The same of humidity.
        NoRoomHumidity "no-room-humidity" { within: u64 as Count },
    }
}

crate::messages! {
    /// Why what a thermometer showed of the room does not count.
    pub enum Unfit "unfit" {
        /// The register does not have it.
        NotRegistered "not-registered",
        /// It was set apart.
        Apart "apart" { state: State as code },
        /// Its calibration was overdue.
        Overdue "overdue" { due: Date as Date },
    }
}

crate::messages! {
    /// By what the gauge room knows something of a piece.
    pub enum KnownBy "known-by" {
        /// By a certificate.
        Certificate "certificate" { number: String as Text },
        /// By the register alone.
        Register "register",
    }
}

/// The codes that withhold a verdict.
const WITHHOLDING: [&str; 18] = [
    "status-note.overdue",
    "status-note.limited",
    "status-note.check-out",
    "status-note.worn",
    "status-note.gauge-past-limit",
    "status-note.zero-moved",
    "status-note.found-out",
    "status-note.other-certificate",
    "status-note.other-in-register",
    "status-note.other-errors",
    "status-note.smaller-uncertainty",
    "status-note.other-description",
    "status-note.member-quarantined",
    "status-note.member-retired",
    "status-note.failed-calibration",
    "status-note.found-beyond",
    "status-note.unused-certificate",
    "status-note.beyond-limit",
];

/// Those of them that are of the room.
const OF_ROOM: [&str; 5] = [
    "status-note.room-thermometer",
    "status-note.room-temperature",
    "status-note.room-humidity",
    "status-note.no-room-temperature",
    "status-note.no-room-humidity",
];

fn messages(notes: &[Value]) -> impl Iterator<Item = &Message> {
    notes.iter().filter_map(|note| match note {
        Value::Message(message) => Some(&**message),
        _ => None,
    })
}

/// The first note that withholds the verdict.
pub fn withholding(notes: &[Value]) -> Option<&Message> {
    messages(notes).find(|message| WITHHOLDING.contains(&&*message.code) || is_of_room(message))
}

/// Whether a note is of the room.
pub fn is_of_room(message: &Message) -> bool {
    OF_ROOM.contains(&&*message.code)
}

/// Whether a note is what the record of the room makes of a job.
pub fn is_by_room(message: &Message) -> bool {
    is_of_room(message) || message.code == "status-note.other-temperature"
}

/// Whether it is noted that a piece is overdue: then it is no reason to refuse the job.
pub fn is_overdue_noted(job: &Job, id: &str) -> bool {
    messages(&job.notes).any(|message| {
        message.code == "status-note.overdue"
            && matches!(message.value("id"), Some(Value::Text(noted)) if noted == id)
    })
}
