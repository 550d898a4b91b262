//! Studies that were run at the bench, on the record.

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{Draft, Entry, EntryId, EntryRef, Filter, Ledger, Order, Page, Subject};

use metrology::inspection::{Approval, Piece, State, StudyPrior};
use metrology::units::{Entered, Length};

use crate::approvals::{self, ApprovedStudy, Approving, SetUp};
use crate::equipment::Kind;
use crate::error::Error;
use crate::gauge_record::studied::Studied;
use crate::gauge_record::study::{STUDIES, Study, StudyKind};
use crate::given;
use crate::kept;
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;
use crate::register::Register;

metrology::messages! {
    /// Why a study is not read.
    pub enum StudyError "study-record" {
        /// The entry holds none.
        NoStudy "no-study" { entry: String as Text },
        /// It was replaced or withdrawn by a later entry.
        Replaced "replaced" { entry: String as Text },
        /// Nothing was computed, or not all was measured.
        NoResult "no-result" { entry: String as Text },
        /// A study that tells nothing of repeatability.
        OfBias "of-bias" { entry: String as Text },
        /// The same of linearity.
        OfLinearity "of-linearity" { entry: String as Text },
        /// The readings did not differ.
        NoSpread "no-spread" { entry: String as Text },
        /// Nobody, or no reason, is named.
        Unsaid "unsaid",
        /// It would count before the study was made, or before today.
        TooEarly "too-early" { on: Date as Date, earliest: Date as Date },
        /// Its review is due before it counts.
        ReviewPast "review-past" { due: Date as Date, on: Date as Date },
        /// No two sizes, the smaller first.
        Sizes "sizes",
        /// Sizes without those that were studied.
        NotStudied "not-studied" { from: Length as bound, to: Length as bound },
        /// A significant bias that takes what the study leaves of the tolerance: it is in no line of a budget.
        Biased "biased" { entry: String as Text, bias: f64 as Difference, cgk: f64 as Number },
        /// Its equipment is set apart.
        Apart "apart" { piece: Piece as code, id: String as Text, state: State as code },
        /// Known sizes held against readings over wires, which are no pitch diameters.
        OverWires "over-wires",
        /// An entry that cannot be read.
        Unreadable "unreadable" { entry: String as Text },
    }
}

/// A study on the record.
#[derive(Clone, Debug, PartialEq)]
pub struct OnRecord {
    pub entry: EntryId,
    pub recorded_at: Timestamp,
    pub study: Study,
    /// As it was computed on that day.
    pub result: Studied,
}

/// The study that an entry holds.
pub fn on_record(entry: &Entry) -> Result<OnRecord, Error> {
    let id = || entry.id().to_string();
    if !RecordKind::Study.is_of(entry) {
        return Err(Error::input(StudyError::NoStudy { entry: id() }));
    }
    let content = &entry.content;
    let unreadable = |_| Error::outside(StudyError::Unreadable { entry: id() });
    Ok(OnRecord {
        entry: entry.id(),
        recorded_at: content.recorded_at,
        study: kept::read(kept::STUDY, &content.inputs).map_err(unreadable)?,
        result: kept::read(kept::STUDIED, &content.results).map_err(unreadable)?,
    })
}

/// The study of an entry.
pub fn get(ledger: &Ledger, name: &EntryRef) -> Result<OnRecord, Error> {
    on_record(&ledger.get(name)?)
}

/// Every standing study, the latest first.
pub fn all(ledger: &Ledger) -> Result<Vec<OnRecord>, Error> {
    let filter = Filter {
        subjects: vec![Subject::new(STUDIES.0, STUDIES.1)],
        ..RecordKind::Study.standing()
    };
    let mut all = Vec::new();
    let mut page = Some(Page::first(Order::NewestFirst, Page::LARGEST));
    while let Some(next) = page {
        let listing = ledger.list(&filter, &next)?;
        for entry in &listing.entries {
            all.push(on_record(entry)?);
        }
        page = listing.next;
    }
    Ok(all)
}

/// How a study is approved.
#[derive(Clone, Debug, PartialEq)]
pub struct Approve {
    pub person: String,
    pub reason: String,
    /// From which day it counts.
    pub on: Date,
    pub review_due: Date,
    /// Smallest and largest limit of what it counts for.
    pub sizes: Option<[Entered; 2]>,
}

/// What is approved of a study for its set-up, or why it cannot be; `today` is the earliest day that it counts from.
pub fn approved(one: &OnRecord, how: &Approve, today: Date) -> Result<ApprovedStudy, Error> {
    let entry = || one.entry.to_string();
    if how.person.trim().is_empty() || how.reason.trim().is_empty() {
        return Err(Error::input(StudyError::Unsaid));
    }
    for (field, text) in [("person", &how.person), ("reason", &how.reason)] {
        given::on_one_line(field, text).map_err(Error::input)?;
    }
    let study = &one.study;
    let earliest = today.max(study.on);
    if how.on < earliest {
        let on = how.on;
        return Err(Error::input(StudyError::TooEarly { on, earliest }));
    }
    if how.review_due <= how.on {
        let (due, on) = (how.review_due, how.on);
        return Err(Error::input(StudyError::ReviewPast { due, on }));
    }
    if how
        .sizes
        .as_ref()
        .is_some_and(|[from, to]| from.value() > to.value() || from.value() <= Length::ZERO)
    {
        return Err(Error::input(StudyError::Sizes));
    }
    if !one.result.is_computed() || study.is_broken_off() {
        return Err(Error::input(StudyError::NoResult { entry: entry() }));
    }
    let length = |value: f64| {
        let mm = value * study.unit.tenth_nanometres() as f64 / 1e7;
        let length = Length::nearest_mm(mm).unwrap_or_default();
        Entered::of(length, study.unit.small())
    };
    let (repeatability, degrees_of_freedom, reproducibility) =
        match (&one.result.repeatability, &one.result.type_1) {
            (Some(found), _) => {
                let parts = &found.components;
                // Operators who differ otherwise from part to part differ as well.
                let squared = |value: f64| value * value;
                let between = squared(parts.reproducibility) + squared(parts.interaction);
                let between = between.sqrt();
                let freedom = found.operators.saturating_sub(1) as f64;
                let between = (between > 0.0).then(|| (length(between), freedom));
                let freedom = found.degrees_of_freedom().unwrap_or_default() as f64;
                (length(parts.repeatability), freedom, between)
            }
            (None, Some(found)) => {
                if found.p < SIGNIFICANT && found.cgk < LEAST_CGK {
                    return Err(Error::input(StudyError::Biased {
                        entry: entry(),
                        bias: length(found.bias).value().mm(),
                        cgk: found.cgk,
                    }));
                }
                let freedom = found.n.saturating_sub(1) as f64;
                (length(found.standard_deviation), freedom, None)
            }
            (None, None) if study.plan.kind == StudyKind::Linearity => {
                return Err(Error::input(StudyError::OfLinearity { entry: entry() }));
            }
            (None, None) => return Err(Error::input(StudyError::OfBias { entry: entry() })),
        };
    if repeatability.value() <= Length::ZERO {
        return Err(Error::input(StudyError::NoSpread { entry: entry() }));
    }
    let (plan, wires) = (&study.plan, study.wires.as_ref());
    let approved = ApprovedStudy {
        set_up: SetUp::of(
            &plan.characteristic,
            &study.instrument,
            &study.contacts,
            wires,
        ),
        sizes: how.sizes.clone(),
        prior: StudyPrior {
            study: entry(),
            repeatability,
            degrees_of_freedom,
            reproducibility,
            approval: Approval {
                evidence: how.reason.trim().to_owned(),
                person: how.person.trim().to_owned(),
                on: how.on,
                review_due: how.review_due,
            },
        },
    };
    match &approved.sizes {
        Some([from, to]) if !approved.holds(&plan.characteristic) => {
            let (from, to) = (from.value(), to.value());
            Err(Error::input(StudyError::NotStudied { from, to }))
        }
        _ => Ok(approved),
    }
}

/// A bias is significant below this probability, and takes too much of the tolerance below this C_gk (common practice of the car
/// industry, from memory).
const SIGNIFICANT: f64 = 0.05;
const LEAST_CGK: f64 = 1.33;

/// Equipment of a study that is set apart: what it measures now, nobody knows.
fn in_use(ledger: &Ledger, study: &Study) -> Result<(), Error> {
    let register = Register::read(ledger)?;
    let wires = study.wires.as_ref().map(|wires| (Kind::Wires, &wires.id));
    let used = [
        (Kind::Instrument, &study.instrument.id),
        (Kind::Contacts, &study.contacts.id),
    ];
    let apart = used.into_iter().chain(wires).find_map(|(kind, id)| {
        let state = register.find(kind, id)?.equipment.state();
        (!state.is_active()).then_some((kind, id, state))
    });
    let Some((kind, id, state)) = apart else {
        return Ok(());
    };
    let (piece, id) = (kind.in_notes(), id.clone());
    Err(Error::input(StudyError::Apart { piece, id, state }))
}

/// Whether there is something to approve.
pub fn may_be_approved(one: &OnRecord) -> bool {
    let tells = one.result.repeatability.is_some() || one.result.type_1.is_some();
    tells && !one.study.is_broken_off()
}

/// Puts the approval of a study on the record; `anew` is the reason where it takes the place of an earlier one.
pub fn approve(
    ledger: &Ledger,
    name: &EntryRef,
    how: &Approve,
    today: Date,
    recorder: &Recorder,
    anew: &str,
) -> Result<(Entry, ApprovedStudy), Error> {
    let one = get(ledger, name)?;
    if !all(ledger)?.iter().any(|known| known.entry == one.entry) {
        let entry = one.entry.to_string();
        return Err(Error::input(StudyError::Replaced { entry }));
    }
    in_use(ledger, &one.study)?;
    let approved = approved(&one, how, today)?;
    let approving = Approving::Study(Box::new(approved.clone()));
    let entry = approvals::record(ledger, &approving, recorder, anew)?;
    Ok((entry, approved))
}

/// The entry of a study, not yet recorded. One that was begun by an earlier version over wires, where sizes are known, is refused.
pub fn draft(study: &Study, recorder: &Recorder) -> Result<Draft, Error> {
    if study.plan.kind.has_reference() && study.wires.is_some() {
        return Err(Error::input(StudyError::OverWires));
    }
    Ok(Draft {
        inputs: kept::write(kept::STUDY, study).map_err(Error::outside)?,
        results: kept::write(kept::STUDIED, &study.studied()).map_err(Error::outside)?,
        subjects: study.subjects(),
        ..recorder.blank(RecordKind::Study)?
    })
}
