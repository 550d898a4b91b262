//! The status of a piece: whether it may be used, for what, who has it, when it is due, and whether the gauge room has extended
//! that. Each change is an entry of its own; the last one of a piece holds.

use std::collections::BTreeSet;

use jiff::civil::Date;
use ledger::Subject;
use serde::{Deserialize, Serialize};

use metrology::inspection::{FeatureKind, State, ThreadDiameter};

use super::piece::PieceId;
use crate::approving::SIZE;

/// The subject that every change of status touches.
pub const STATUS: (&str, &str) = ("gauge-room", "status");

metrology::codes! {
    /// What the gauge room sets.
    pub enum Set "status-set" {
        /// It may be used.
        InUse "in-use",
        /// It may be used for some things only.
        Limited "limited",
        /// Set apart.
        Quarantined "quarantined",
        /// No longer used.
        Retired "retired",
        /// Not to be found.
        Lost "lost",
    }
}

metrology::codes! {
    /// The status on a day.
    pub enum Status "status" {
        /// It may be used.
        InUse "in-use",
        /// It may be used, and is due within the month.
        DueSoon "due-soon",
        /// Its calibration is overdue.
        Overdue "overdue",
        /// Overdue, and extended by the gauge room.
        Extended "extended",
        /// It may be used for some things only.
        Limited "limited",
        /// Set apart.
        Quarantined "quarantined",
        /// Out for calibration or repair.
        Out "out",
        /// For comparison only, never for acceptance.
        ReferenceOnly "reference-only",
        /// No longer used.
        Retired "retired",
        /// Not to be found.
        Lost "lost",
    }
}

impl Status {
    /// Whether what it measures has no verdict and no record.
    pub const fn is_barred(self) -> bool {
        matches!(
            self,
            Self::Quarantined | Self::Out | Self::ReferenceOnly | Self::Retired | Self::Lost
        )
    }

    /// That of a piece that the register has in this state; none where it may be used.
    pub const fn apart(state: State) -> Option<Self> {
        match state {
            State::Active => None,
            State::Quarantined => Some(Self::Quarantined),
            State::Out => Some(Self::Out),
            State::ReferenceOnly => Some(Self::ReferenceOnly),
            State::Retired => Some(Self::Retired),
            State::Lost => Some(Self::Lost),
        }
    }
}

/// A due date that the gauge room has put off.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Extension {
    pub until: Date,
    /// Who in the gauge room.
    pub by: String,
    pub reason: String,
    /// By what check.
    pub check: String,
}

/// A change of status.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Change {
    pub piece: PieceId,
    /// The key of what is set.
    pub status: String,
    /// Who has it.
    pub holder: Option<String>,
    /// Of a limited piece: what it may be used for, by the keys of characteristics.
    pub limited_to: Vec<String>,
    /// When its calibration is due, where that is set here.
    pub due: Option<Date>,
    pub extension: Option<Extension>,
    pub reason: String,
    /// The number of the calibration that set it, or by whose withdrawal it was set; none where somebody did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub calibration: Option<String>,
}

metrology::messages! {
    /// Why a change of status is not taken.
    pub enum StatusError "status-error" {
        /// No reason.
        NoReason "no-reason",
        /// Limited, and not said to what.
        LimitedToNothing "limited-to-nothing",
        /// Nothing that a piece can be used for.
        NoSuchUse "no-such-use" { text: String as Text, known: Vec<String> as one_of },
        /// Said what it may be used for, and not limited.
        NotLimited "not-limited",
        /// An extension of something that is out of use.
        ExtendsNothing "extends-nothing",
        /// An extension that has ended.
        ExtensionPast "extension-past" { until: Date as Date, today: Date as Date },
        /// An extension without who, why or by what check.
        HalfExtension "half-extension",
        /// A later due date of what is overdue already.
        PutOff "put-off" { due: Date as Date },
        /// In use, though it failed its latest calibration.
        Failed "failed" { entry: String as Text, date: Date as Date },
        /// To be used, by a curve whose calibration was withdrawn.
        Withdrawn "withdrawn" { number: String as Text },
        /// An entry that cannot be read.
        Unreadable "unreadable" { entry: String as Text },
    }
}

impl Change {
    /// What is set.
    pub fn set(&self) -> Option<Set> {
        Set::of(&self.status)
    }

    /// The state into which it sets a piece apart; none where that may be used.
    pub fn apart(&self) -> Option<State> {
        match self.set() {
            Some(Set::InUse | Set::Limited) => None,
            Some(Set::Quarantined) | None => Some(State::Quarantined),
            Some(Set::Retired) => Some(State::Retired),
            Some(Set::Lost) => Some(State::Lost),
        }
    }

    /// The status on a day, by the due date that holds.
    pub fn on(&self, day: Date, due: Option<Date>) -> Status {
        match self.set() {
            Some(Set::Quarantined) | None => Status::Quarantined,
            Some(Set::Retired) => Status::Retired,
            Some(Set::Lost) => Status::Lost,
            Some(Set::Limited) if due.is_none_or(|due| due >= day) => Status::Limited,
            Some(Set::InUse | Set::Limited) => by_due(day, due, self.extension.as_ref()),
        }
    }

    pub fn subjects(&self) -> BTreeSet<Subject> {
        BTreeSet::from([Subject::new(STATUS.0, STATUS.1), self.piece.subject()])
    }

    /// Whether it can stand.
    pub fn check(&self, today: Date) -> Result<(), StatusError> {
        match self.faults(today).into_iter().next() {
            None => Ok(()),
            Some(fault) => Err(fault),
        }
    }

    /// All that keeps it from standing.
    pub fn faults(&self, today: Date) -> Vec<StatusError> {
        let mut faults = Vec::new();
        if self.reason.trim().is_empty() {
            faults.push(StatusError::NoReason);
        }
        let limited = self.set() == Some(Set::Limited);
        match (limited, self.limited_to.is_empty()) {
            (true, true) => faults.push(StatusError::LimitedToNothing),
            (false, false) => faults.push(StatusError::NotLimited),
            _ => {}
        }
        let known = uses();
        let unknown = |one: &&String| !known.contains(&one.as_str());
        if let Some(text) = self.limited_to.iter().find(unknown) {
            faults.push(StatusError::NoSuchUse {
                text: text.clone(),
                known: known.iter().map(|one| (*one).to_owned()).collect(),
            });
        }
        let Some(extension) = &self.extension else {
            return faults;
        };
        let told = [&extension.by, &extension.reason, &extension.check];
        if told.into_iter().any(|text| text.trim().is_empty()) {
            faults.push(StatusError::HalfExtension);
        }
        if !matches!(self.set(), Some(Set::InUse | Set::Limited)) {
            faults.push(StatusError::ExtendsNothing);
        } else if extension.until < today {
            let until = extension.until;
            faults.push(StatusError::ExtensionPast { until, today });
        }
        faults
    }
}

/// What a piece can be limited to: diameters of threads, features, and sizes with stated limits, by the keys that jobs are judged by.
pub fn uses() -> Vec<&'static str> {
    let diameters = ThreadDiameter::EVERY.iter().map(|one| one.key());
    let features = FeatureKind::EVERY.iter().map(|one| one.key());
    diameters.chain(features).chain([SIZE]).collect()
}

/// What is due within so many days is due soon (common practice, no source).
pub const SOON: i32 = 30;

/// The status of what may be used, by its due date.
pub fn by_due(day: Date, due: Option<Date>, extension: Option<&Extension>) -> Status {
    let Some(due) = due else {
        return Status::InUse;
    };
    let left = day.until(due).map_or(0, |span| span.get_days());
    if left > SOON {
        Status::InUse
    } else if left >= 0 {
        Status::DueSoon
    } else if extension.is_some_and(|extension| extension.until >= day) {
        Status::Extended
    } else {
        Status::Overdue
    }
}

#[cfg(test)]
mod tests {
    use super::super::piece::PieceKind;
    use super::*;
    use jiff::civil::date;

    fn change(set: Set) -> Change {
        Change {
            piece: PieceId::new(PieceKind::Instrument, "mic-01"),
            status: set.key().to_owned(),
            holder: None,
            limited_to: Vec::new(),
            due: Some(date(2026, 3, 31)),
            extension: None,
            reason: "reason".to_owned(),
            calibration: None,
        }
    }

    #[test]
    fn the_due_date_makes_the_status_of_what_is_in_use() {
        let change = change(Set::InUse);
        let on = |month, day| change.on(date(2026, month, day), change.due);
        assert_eq!(on(2, 1), Status::InUse);
        assert_eq!(on(3, 10), Status::DueSoon);
        assert_eq!(on(3, 31), Status::DueSoon);
        assert_eq!(on(4, 1), Status::Overdue);
    }

    #[test]
    fn an_extension_holds_to_its_day() {
        let mut change = change(Set::InUse);
        change.extension = Some(Extension {
            until: date(2026, 4, 30),
            by: "gauge room".to_owned(),
            reason: "laboratory late".to_owned(),
            check: "two blocks".to_owned(),
        });
        assert_eq!(change.on(date(2026, 4, 30), change.due), Status::Extended);
        assert_eq!(change.on(date(2026, 5, 1), change.due), Status::Overdue);
        let today = date(2026, 5, 1);
        let past = StatusError::ExtensionPast {
            until: date(2026, 4, 30),
            today,
        };
        assert_eq!(change.check(today), Err(past));
        change.status = Set::Lost.key().to_owned();
        assert_eq!(
            change.check(date(2026, 4, 1)),
            Err(StatusError::ExtendsNothing)
        );
    }

    #[test]
    fn what_is_set_apart_is_so_whatever_its_due_date() {
        for set in [Set::Quarantined, Set::Retired, Set::Lost] {
            assert!(change(set).on(date(2026, 1, 1), None).is_barred());
        }
        let limited = change(Set::Limited);
        assert_eq!(limited.on(date(2026, 1, 1), None), Status::Limited);
        assert_eq!(limited.on(date(2026, 6, 1), limited.due), Status::Overdue);
        assert_eq!(
            limited.check(date(2026, 1, 1)),
            Err(StatusError::LimitedToNothing)
        );
        let to = |what: &str| {
            let mut limited = change(Set::Limited);
            limited.limited_to = vec!["size".to_owned(), what.to_owned()];
            limited.check(date(2026, 1, 1))
        };
        assert_eq!(to("pitch-diameter"), Ok(()));
        assert!(
            matches!(to("rough work"), Err(StatusError::NoSuchUse { text, .. }) if text == "rough work")
        );
    }
}
