//! What on the record speaks against results that were recorded before it: equipment found beyond its limit since, and evidence
//! that was withdrawn, such as an extension, an approval, a calibration or a certificate.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use ledger::{Entry, EntryId, Filter, Ledger, Order, Subject, Touching};
use metrology::inspection::{Job, OwnUncertainty, Piece};

use crate::approvals::{Approvals, Approving, approving};
use crate::certificates_on_record;
use crate::equipment::{Kind, pieces};
use crate::error::Error;
use crate::findings::Finding;
use crate::gauge_record::calibration::Worked;
use crate::gauge_record::certificate::{same_number, stated_number};
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::gauge_record::status::Extension;
use crate::job_status::extension_noted;
use crate::kept;
use crate::lot_entry::{Found, LOT};
use crate::on_record::{all_touched, each, each_whole};
use crate::record;
use crate::record_kind::RecordKind;
use crate::register::Register;
use crate::station;
use crate::status;

metrology::messages! {
    /// What speaks against a result.
    pub enum Against "against" {
        /// A piece was found beyond its limit after it, and no recall of that is saved.
        FoundBeyond "found-beyond" { piece: Piece as code, id: String as Text, found: Date as Date, entry: String as Text },
        /// The check part of its set-up was out of its limits after it.
        CheckOut "check-out" { part: String as Text, checked: Date as Date },
        /// It rests on what was withdrawn.
        Withdrawn "evidence-withdrawn" { what: RecordKind as code, entry: String as Text },
    }
}

/// What speaks against each result of a lot.
pub fn against_lot(ledger: &Ledger, lot: &str) -> Result<BTreeMap<EntryId, Against>, Error> {
    let mut all = BTreeMap::new();
    let Some(read) = Read::of(ledger)? else {
        return Ok(all);
    };
    for entry in read.candidates(ledger, &Subject::new(LOT, lot))? {
        if let Some(against) = read.against(&ledger.get(&entry.into())?) {
            all.insert(entry, against);
        }
    }
    Ok(all)
}

/// What speaks against one result.
pub fn against(ledger: &Ledger, entry: &Entry) -> Result<Option<Against>, Error> {
    let mut kinds = [RecordKind::Inspection, RecordKind::Found].into_iter();
    if !kinds.any(|kind| kind.is_of(entry)) {
        return Ok(None);
    }
    let read = Read::of(ledger)?;
    Ok(read.and_then(|read| read.against(entry)))
}

/// What was withdrawn, and where.
struct Evidence {
    withdrawn: Withdrawn,
    kind: RecordKind,
    entry: EntryId,
    /// The sequence number from which it is withdrawn.
    end: u64,
}

enum Withdrawn {
    Approval(Box<Approving>),
    Extension(PieceId, Extension),
    Certificate(PieceId, String),
    Study(EntryId, Vec<String>),
}

/// What the record has that may speak against results.
struct Read {
    register: Register,
    approvals: Approvals,
    findings: Vec<Finding>,
    withdrawn: Vec<Evidence>,
}

impl Read {
    /// None where nothing can.
    fn of(ledger: &Ledger) -> Result<Option<Self>, Error> {
        let withdrawn = withdrawn(ledger)?;
        let kinds = [
            RecordKind::Calibration,
            RecordKind::Check,
            RecordKind::Certificate,
        ];
        let mut is_empty = withdrawn.is_empty();
        for kind in kinds {
            is_empty = is_empty && ledger.count(&kind.standing())? == 0;
        }
        if is_empty {
            return Ok(None);
        }
        let register = Register::read(ledger)?;
        Ok(Some(Self {
            findings: register.findings(),
            approvals: Approvals::read(ledger)?,
            register,
            withdrawn,
        }))
    }

    /// The results of a lot that something may speak against.
    fn candidates(&self, ledger: &Ledger, lot: &Subject) -> Result<BTreeSet<EntryId>, Error> {
        let mut all = BTreeSet::new();
        let mut add = |role: &str, id: &str| -> Result<(), Error> {
            let touching = Touching {
                role: role.to_owned(),
                identity: id.trim().to_owned(),
                also: vec![lot.clone()],
                standing: true,
                ..Touching::default()
            };
            let parts = all_touched(ledger, &touching, |all: &mut Vec<EntryId>, one| {
                all.push(one.entry);
            })?;
            all.extend(parts.into_iter().flatten());
            Ok(())
        };
        for finding in &self.findings {
            add(finding.kind.role(), &finding.id)?;
        }
        for found in self.register.checks_out() {
            add(Kind::Instrument.role(), &found.check.instrument)?;
        }
        let withdrawn = || self.withdrawn.iter().map(|evidence| &evidence.withdrawn);
        for (role, id) in withdrawn().flat_map(Withdrawn::touches) {
            add(&role, &id)?;
        }
        if withdrawn().any(Withdrawn::is_of_any) {
            let filter = Filter {
                subjects: vec![lot.clone()],
                ..RecordKind::Inspection.standing()
            };
            each(ledger, &filter, |entry, _| {
                all.insert(entry.id());
                Ok(())
            })?;
        }
        Ok(all)
    }

    /// What speaks against a result; of what cannot be read verification tells.
    fn against(&self, entry: &Entry) -> Option<Against> {
        let result = Rests::read(entry)?;
        let found = self.findings.iter().find(|finding| {
            // What was recorded after it has its own word of it.
            entry.sequence < finding.entry.sequence() && result.is_found_by(finding)
        });
        if let Some(finding) = found {
            return Some(finding.against());
        }
        if let Rests::Job(job) = &result {
            let (instrument, contacts) = (&job.instrument.id, &job.contacts.id);
            let at = job.measured_at;
            if let Some(found) = self.register.check_out_after(instrument, contacts, at) {
                return Some(Against::CheckOut {
                    part: found.check.part.clone(),
                    checked: station::day(found.check.measured_at),
                });
            }
        }
        let mut withdrawn = self.withdrawn.iter();
        let evidence = withdrawn
            .find(|one| entry.sequence < one.end && self.rests(&result, &one.withdrawn))?;
        Some(Against::Withdrawn {
            what: evidence.kind,
            entry: evidence.entry.to_string(),
        })
    }

    /// Whether a result rests on what was withdrawn, and nothing has taken its place.
    fn rests(&self, result: &Rests, on: &Withdrawn) -> bool {
        match (on, result) {
            (Withdrawn::Certificate(piece, withdrawn), _) => {
                let number = result.certificate(piece);
                let number = stated_number(number.as_deref());
                number.is_some_and(|number| same_number(number, withdrawn))
                    && !self.is_known(piece, withdrawn)
            }
            (_, Rests::Found(_)) => false,
            (Withdrawn::Approval(approving), Rests::Job(job)) => {
                self.is_approved_by(job, approving)
            }
            (Withdrawn::Extension(piece, extension), Rests::Job(job)) => {
                self.is_extended(job, piece, extension)
            }
            (Withdrawn::Study(study, _), Rests::Job(job)) => {
                let of = job.prior.study.as_ref();
                of.is_some_and(|of| of.study == study.to_string())
            }
        }
    }

    /// Whether another record is of a certificate of this number. The description by a calibration in house is none.
    fn is_known(&self, piece: &PieceId, number: &str) -> bool {
        let kind = piece.kind().and_then(PieceKind::registered);
        let registered = kind.and_then(|kind| self.register.find(kind, &piece.id));
        let mut calibrations = self.register.calibrations_of(piece).iter();
        let is_in_house = calibrations.any(|one| same_number(&one.number, number));
        is_in_house
            || registered.is_some_and(|one| {
                let described = one.described_by(number);
                let is_by_calibration = self.withdrawn.iter().any(|evidence| {
                    evidence.kind == RecordKind::Calibration
                        && matches!(&evidence.withdrawn, Withdrawn::Certificate(of, known) if of == piece && same_number(known, number))
                });
                described.is_some() && !is_by_calibration
            })
    }

    fn is_approved_by(&self, job: &Job, approving: &Approving) -> bool {
        let in_force = self.approvals.in_force(job.measured_on);
        match approving {
            Approving::Default(approved) => {
                let same = |one: &metrology::inspection::Approved| one == approved;
                let is_again = in_force
                    .defaults()
                    .iter()
                    .any(|now| now.what == approved.what && now.value == approved.value);
                job.approved.iter().any(same) && !is_again
            }
            Approving::Uncertainty(own) => {
                let again = in_force.own(&own.set_up);
                let is_again = again.is_some_and(|now| {
                    now.expanded_uncertainty == own.own.expanded_uncertainty
                        && now.coverage_factor == own.own.coverage_factor
                });
                let is_taken = |taken: &OwnUncertainty| *taken == own.own;
                job.prior.own.as_ref().is_some_and(is_taken) && !is_again
            }
            Approving::Study(one) => {
                let again = in_force.study(&one.set_up, &job.characteristic);
                let is_again = again.is_some_and(|now| now.study == one.prior.study);
                job.prior.study.as_ref() == Some(&one.prior) && !is_again
            }
        }
    }

    fn is_extended(&self, job: &Job, piece: &PieceId, extension: &Extension) -> bool {
        let Some(kind) = piece.kind().and_then(PieceKind::registered) else {
            return false;
        };
        let noted = extension_noted(&job.notes, kind, &piece.id);
        let day = job.measured_on;
        let now = self.register.find(kind, &piece.id);
        let is_good = now
            .and_then(|one| one.periods.good_until(day))
            .is_some_and(|until| until >= day);
        noted.is_some_and(|(_, until)| until == extension.until) && !is_good
    }
}

impl Finding {
    fn against(&self) -> Against {
        Against::FoundBeyond {
            piece: self.kind.in_notes(),
            id: self.id.clone(),
            found: self.found,
            entry: self.entry.to_string(),
        }
    }
}

impl Withdrawn {
    /// Whether any result may rest on it.
    fn is_of_any(&self) -> bool {
        matches!(self, Self::Approval(approving) if matches!(**approving, Approving::Default(_)))
    }

    /// The roles and identities in results that may rest on it.
    fn touches(&self) -> Vec<(String, String)> {
        let of = |piece: &PieceId| {
            let kind = piece.kind().and_then(PieceKind::registered);
            kind.map(|kind| (kind.role().to_owned(), piece.id.trim().to_owned()))
        };
        let instrument = |id: &str| (Kind::Instrument.role().to_owned(), id.trim().to_owned());
        match self {
            Self::Approval(approving) => match &**approving {
                Approving::Default(_) => Vec::new(),
                Approving::Uncertainty(own) => vec![instrument(&own.set_up.instrument)],
                Approving::Study(one) => vec![instrument(&one.set_up.instrument)],
            },
            Self::Extension(piece, _) | Self::Certificate(piece, _) => {
                of(piece).into_iter().collect()
            }
            Self::Study(_, instruments) => instruments.iter().map(|id| instrument(id)).collect(),
        }
    }
}

/// A result, for what it rests on.
enum Rests {
    Job(Box<Job>),
    Found(Box<Found>),
}

impl Rests {
    fn read(entry: &Entry) -> Option<Self> {
        if RecordKind::Found.is_of(entry) {
            let found = kept::glance(kept::FOUND, &entry.content.inputs).ok()?;
            return Some(Self::Found(Box::new(found)));
        }
        let (job, _) = record::read(entry).ok()?;
        Some(Self::Job(Box::new(job)))
    }

    fn is_found_by(&self, finding: &Finding) -> bool {
        match self {
            Self::Job(job) => {
                let mut used = pieces(job).filter(|(kind, _)| *kind == finding.kind);
                used.any(|(_, one)| {
                    one.id().trim() == finding.id
                        && finding.speaks_against(job.measured_on, one.certificate_date())
                })
            }
            Self::Found(found) => {
                let with = found.with.as_deref().map(str::trim);
                let certified = found
                    .gauge
                    .as_ref()
                    .and_then(|gauge| gauge.certificate_date);
                finding.kind == Kind::Gauge
                    && with == Some(&finding.id)
                    && finding.speaks_against(station::day(found.at), certified)
            }
        }
    }

    /// The number of the certificate by which it takes a piece.
    fn certificate(&self, piece: &PieceId) -> Option<String> {
        match self {
            Self::Job(job) => {
                let mut used = pieces(job);
                let (_, used) = used.find(|(kind, one)| {
                    kind.key() == piece.kind && one.id().trim() == piece.id.trim()
                })?;
                used.certificate().map(str::to_owned)
            }
            Self::Found(found) => {
                let gauge = found.gauge.as_ref();
                let gauge = gauge.filter(|gauge| gauge.id.trim() == piece.id.trim())?;
                gauge
                    .certificate
                    .clone()
                    .filter(|_| piece.kind() == Some(PieceKind::Gauge))
            }
        }
    }
}

/// All that was withdrawn and may be the evidence of results.
fn withdrawn(ledger: &Ledger) -> Result<Vec<Evidence>, Error> {
    let kinds = [
        RecordKind::Approval,
        RecordKind::Calibration,
        RecordKind::Certificate,
        RecordKind::Status,
        RecordKind::Study,
    ];
    let mut all = Vec::new();
    for kind in kinds {
        // Mostly all of them stand, and none has to be read.
        if ledger.count(&kind.all())? == ledger.count(&kind.standing())? {
            continue;
        }
        each_whole(ledger, &kind.all(), Order::OldestFirst, |entry| {
            if entry.amended_by.is_some()
                && let Some(end) = withdrawn_at(ledger, entry)?
                && let Some(withdrawn) = read(ledger, kind, entry)?
            {
                all.push(Evidence {
                    withdrawn,
                    kind,
                    entry: entry.id(),
                    end,
                });
            }
            Ok(())
        })?;
    }
    Ok(all)
}

/// Where an entry was withdrawn: the last of what took its place is no record of its kind but the word that it is.
fn withdrawn_at(ledger: &Ledger, entry: &Entry) -> Result<Option<u64>, Error> {
    let history = ledger.history(&entry.id().into())?;
    let last = history.last();
    let last = last.filter(|last| last.content.kind != entry.content.kind);
    Ok(last.map(|last| last.sequence))
}

fn read(ledger: &Ledger, kind: RecordKind, entry: &Entry) -> Result<Option<Withdrawn>, Error> {
    Ok(match kind {
        RecordKind::Approval => Some(Withdrawn::Approval(Box::new(approving(entry)?))),
        RecordKind::Calibration => {
            let worked: Result<Worked, _> = kept::glance(kept::CALIBRATION, &entry.content.inputs);
            worked
                .ok()
                .map(|worked| Withdrawn::Certificate(worked.piece(), worked.heading.number.clone()))
        }
        RecordKind::Certificate => {
            let certified = certificates_on_record::on_record(entry)?.certified;
            Some(Withdrawn::Certificate(
                certified.piece,
                certified.heading.number,
            ))
        }
        RecordKind::Status => {
            let change = status::changed(entry)?.change;
            let piece = change.piece;
            change
                .extension
                .map(|extension| Withdrawn::Extension(piece, extension))
        }
        RecordKind::Study => Some(Withdrawn::Study(
            entry.id(),
            approved_for(ledger, entry.id())?,
        )),
        _ => None,
    })
}

/// The micrometers for which a study was ever approved.
fn approved_for(ledger: &Ledger, study: EntryId) -> Result<Vec<String>, Error> {
    let mut all = Vec::new();
    each_whole(
        ledger,
        &RecordKind::Approval.all(),
        Order::OldestFirst,
        |entry| {
            if let Ok(Approving::Study(one)) = approving(entry)
                && one.prior.study == study.to_string()
                && !all.contains(&one.set_up.instrument)
            {
                all.push(one.set_up.instrument.clone());
            }
            Ok(())
        },
    )?;
    Ok(all)
}
