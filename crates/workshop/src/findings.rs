//! What the gauge room found of equipment beyond its limits, as long as no recall of it is saved: a calibration that found a piece
//! outside its criterion, a gauge past its wear limit, a check part out of its limits. Results since the last good check are in
//! doubt, and nothing new of that time is decided.

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::EntryId;

use crate::calibrations_on_record::{Shown, failed};
use crate::equipment::Kind;
use crate::found_out::FoundOut;
use crate::gauge_record::check::{Check, OnChart};
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::gauge_record::status::Set;
use crate::register::Register;
use crate::station;

/// A piece that was found beyond its limit, and no recall of that is saved.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    pub kind: Kind,
    pub id: String,
    pub found: Date,
    /// The day of the last good check before it; none where nobody knows one.
    pub since: Option<Date>,
    /// The day of the first good check after it.
    pub until: Option<Date>,
    /// The calibration or certificate.
    pub entry: EntryId,
}

/// A set-up whose check part is out of its limits, and no recall of that is saved.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckFinding<'a> {
    pub check: &'a Check,
    pub chart: OnChart,
    /// When the last check before it was within them; none where none was.
    pub since: Option<Timestamp>,
}

impl Finding {
    /// Whether it speaks against what was on record before it: also against what was measured after that day by an earlier
    /// certificate, when nobody knew.
    pub fn speaks_against(&self, day: Date, certified: Option<Date>) -> bool {
        let is_by_earlier = certified.is_none_or(|on| on < self.found);
        let is_before_next = self.until.is_none_or(|until| day < until);
        self.holds(day, certified) || day > self.found && is_before_next && is_by_earlier
    }

    /// Whether it holds for what was measured on a day with a certificate of a day. On the day itself that may have been after it.
    pub fn holds(&self, day: Date, certified: Option<Date>) -> bool {
        let is_after = day == self.found && certified.is_some_and(|on| on >= self.found);
        day <= self.found && self.since.is_none_or(|since| day >= since) && !is_after
    }
}

impl Register {
    /// Every finding.
    pub fn findings(&self) -> Vec<Finding> {
        let calibrations = self.calibrations();
        let of_calibrations = calibrations.filter_map(|shown| self.found_by(shown));
        let of_gauges = self.worn_gauges().map(|worn| self.found_worn(worn));
        let all = of_calibrations.chain(of_gauges);
        all.filter(|finding| !self.is_recalled(finding)).collect()
    }

    /// That which holds for a piece on a day, by a certificate of a day.
    pub fn found_beyond(
        &self,
        (kind, id): (Kind, &str),
        day: Date,
        certified: Option<Date>,
    ) -> Option<Finding> {
        let piece = PieceId::new(PieceKind::of(kind.key())?, id);
        let calibrations = self.calibrations_of(&piece).iter();
        let of_calibrations = calibrations.filter_map(|shown| self.found_by(shown));
        let gauges = self.worn_gauges();
        let of_gauge = gauges.filter(|(worn, ..)| kind == Kind::Gauge && worn.trim() == id.trim());
        let of_gauge = of_gauge.map(|worn| self.found_worn(worn));
        let mut all = of_calibrations.chain(of_gauge);
        all.find(|one| one.holds(day, certified) && !self.is_recalled(one))
    }

    fn found_by(&self, shown: &Shown) -> Option<Finding> {
        let kind = shown.piece.kind().and_then(PieceKind::registered)?;
        let is_finding = shown.is_found_beyond || self.is_beyond_registered(kind, shown);
        is_finding.then(|| self.finding(kind, &shown.piece.id, shown.date, shown.entry))
    }

    fn found_worn(&self, (id, found, entry): (&str, Date, EntryId)) -> Finding {
        self.finding(Kind::Gauge, id, found, entry)
    }

    /// The calibration in house that did not show a piece good, where nothing up to a day does. What it is still good for, the gauge
    /// room may have said since by limiting it.
    pub fn failed_calibration(&self, kind: Kind, id: &str, day: Date) -> Option<&Shown> {
        let piece = PieceId::new(PieceKind::of(kind.key())?, id);
        let certificates = self.certified_on(&piece);
        let failed = failed(self.calibrations_of(&piece), &certificates, day)?;
        let last = self.find(kind, id).and_then(|one| one.status());
        let is_limited = last.is_some_and(|last| {
            last.change.set() == Some(Set::Limited)
                && last.entry.sequence() > failed.entry.sequence()
        });
        (!is_limited).then_some(failed)
    }

    fn finding(&self, kind: Kind, id: &str, found: Date, entry: EntryId) -> Finding {
        let piece = PieceKind::of(kind.key()).map(|kind| PieceId::new(kind, id));
        let good = piece.map_or_else(Vec::new, |piece| self.good_days(&piece, entry));
        Finding {
            kind,
            id: id.trim().to_owned(),
            found,
            since: good.iter().copied().filter(|on| *on < found).max(),
            until: good.into_iter().filter(|on| *on > found).min(),
            entry,
        }
    }

    /// A saved recall of the piece takes the place of the finding.
    fn is_recalled(&self, finding: &Finding) -> bool {
        let covers = |recall: &&FoundOut| {
            recall.found >= finding.found && recall.since.is_none_or(|since| since < finding.found)
        };
        self.recalls_of(finding.kind, &finding.id)
            .any(|one| covers(&one))
    }

    /// The set-ups whose check part is out of its limits today.
    pub fn checks_out(&self) -> Vec<CheckFinding<'_>> {
        let mut seen: Vec<(&str, &str)> = Vec::new();
        let mut all = Vec::new();
        for check in self.checks() {
            let set_up = (check.instrument.trim(), check.contacts.trim());
            if !seen.contains(&set_up) {
                seen.push(set_up);
                all.extend(self.check_finding(set_up));
            }
        }
        all
    }

    fn check_finding(&self, (instrument, contacts): (&str, &str)) -> Option<CheckFinding<'_>> {
        let (check, chart) = self.check_out(instrument, contacts, Timestamp::MAX)?;
        let found = station::day(check.measured_at);
        let recalls = [(Kind::Instrument, instrument), (Kind::Contacts, contacts)];
        let is_recalled = recalls.into_iter().any(|(kind, id)| {
            self.recalls_of(kind, id)
                .any(|recall| recall.found >= found)
        });
        let since = self.last_within(check);
        (!is_recalled).then_some(CheckFinding {
            check,
            chart,
            since,
        })
    }

    /// The check part of a set-up that was found out of its limits after a moment, since its last good check.
    pub fn check_out_after(
        &self,
        instrument: &str,
        contacts: &str,
        at: Timestamp,
    ) -> Option<CheckFinding<'_>> {
        let found = self.check_finding((instrument.trim(), contacts.trim()))?;
        let is_before = at <= found.check.measured_at;
        (is_before && found.since.is_none_or(|since| at >= since)).then_some(found)
    }
}
