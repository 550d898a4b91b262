//! What the calibrations in house on the record show of their pieces.

use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::civil::Date;
use ledger::{EntryId, Filter, Ledger, Order, Subject};
use metrology::calibration::Guard;
use metrology::decision::Verdict;
use metrology::units::Length;

use crate::error::Error;
use crate::gauge_record::calibrated::{CalibratedDocument, CurveDocument, FormDocument};
use crate::gauge_record::calibration::{Of, Worked};
use crate::gauge_record::piece::PieceId;
use crate::kept;
use crate::on_record::each_whole;
use crate::record_kind::RecordKind;

/// What a calibration shows of its piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    pub piece: PieceId,
    pub entry: EntryId,
    /// The number of its certificate.
    pub number: String,
    pub date: Date,
    /// When it was recorded.
    pub at: Timestamp,
    /// Whether the piece keeps its criterion, as it goes on.
    pub is_good: bool,
    /// Whether it was shown not to keep it, as it was found.
    pub is_found_beyond: bool,
    /// The error curve with which a micrometer goes on, whatever the verdict: the errors at their places on the scale.
    pub curve: Option<Vec<(Length, Length)>>,
    pub due: Option<Date>,
    /// The largest error as found, either way, micrometres; of a micrometer alone.
    pub largest_found: Option<f64>,
    range: bool,
    flatness: Faces,
    parallelism: Faces,
}

/// What was looked at of the faces.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Faces {
    looked_at: usize,
    failed: bool,
}

impl Faces {
    fn of<'a>(found: impl Iterator<Item = &'a FormDocument>, guard: Guard) -> Self {
        let mut faces = Self::default();
        for one in found {
            let verdict = match guard {
                Guard::Simple => &one.simple,
                Guard::Guarded => &one.guarded,
            };
            faces.looked_at += 1;
            faces.failed |= *verdict != Verdict::Accept.key();
        }
        faces
    }

    /// Whether what failed before is looked at again.
    const fn covers(self, before: Self) -> bool {
        !before.failed || self.looked_at >= before.looked_at
    }
}

impl Shown {
    /// What one shows that is not on the record yet, or of an entry.
    pub fn of(
        worked: &Worked,
        result: &CalibratedDocument,
        (entry, at): (EntryId, Timestamp),
    ) -> Self {
        let guard = match &worked.of {
            Of::Micrometer(calibration) => calibration.criterion.guard,
            Of::Pair(_) => Guard::Simple,
        };
        let rejects = |verdict: &str| verdict == Verdict::Reject.key();
        let found = result.found.as_ref();
        Self {
            piece: worked.piece(),
            entry,
            number: worked.heading.number.trim().to_owned(),
            date: worked.heading.date,
            at,
            is_good: result.is_good(),
            is_found_beyond: rejects(&result.verdict)
                || found.is_some_and(|found| rejects(&found.verdict)),
            curve: result.goes_on_with().map(points),
            due: worked.due,
            largest_found: found.map(|found| found.largest_um.abs()),
            range: result.covers_range(),
            flatness: Faces::of(result.flatness.iter(), guard),
            parallelism: Faces::of(result.parallelism.iter(), guard),
        }
    }

    /// Whether it shows the piece good in all that an earlier one did not: what is good over a part of the range says nothing of
    /// the rest, and faces that were not measured again are as they were.
    pub fn makes_good(&self, before: &Self) -> bool {
        self.is_good
            && self.range
            && self.flatness.covers(before.flatness)
            && self.parallelism.covers(before.parallelism)
    }

    /// Whether it is a good check of the piece.
    pub const fn is_good_check(&self) -> bool {
        self.is_good && self.range
    }

    /// Those of one day in the order in which they were recorded.
    const fn order(&self) -> (Date, u64) {
        (self.date, self.entry.sequence())
    }
}

/// Micrometres of a millimetre.
const UM: f64 = 1000.0;

fn points(curve: &CurveDocument) -> Vec<(Length, Length)> {
    let mm = |number: f64| Length::nearest_mm(number).ok();
    let points = curve.points.iter();
    let points = points.filter_map(|point| Some((mm(point.at_mm)?, mm(point.error_um / UM)?)));
    points.collect()
}

/// What each standing calibration shows, of a piece or of all, by the pieces; of each the first first.
pub fn all(
    ledger: &Ledger,
    piece: Option<&PieceId>,
) -> Result<BTreeMap<PieceId, Vec<Shown>>, Error> {
    let filter = Filter {
        subjects: vec![piece.map_or_else(
            || Subject::new("gauge-room", "calibrations"),
            PieceId::subject,
        )],
        ..RecordKind::Calibration.standing()
    };
    let mut all: BTreeMap<PieceId, Vec<Shown>> = BTreeMap::new();
    each_whole(ledger, &filter, Order::OldestFirst, |entry| {
        let worked: Result<Worked, _> = kept::glance(kept::CALIBRATION, &entry.content.inputs);
        let result: Result<CalibratedDocument, _> =
            kept::glance(kept::CALIBRATED, &entry.content.results);
        if let (Ok(worked), Ok(result)) = (worked, result) {
            let of_entry = (entry.id(), entry.content.recorded_at);
            let shown = Shown::of(&worked, &result, of_entry);
            all.entry(shown.piece.clone()).or_default().push(shown);
        }
        Ok(())
    })?;
    for of_piece in all.values_mut() {
        of_piece.sort_by_key(Shown::order);
    }
    Ok(all)
}

/// The last calibration of a piece up to a day that did not show it good, where nothing up to that day does: no later calibration
/// in all that it failed in, and no certificate from outside of these days.
pub fn failed<'a>(of_piece: &'a [Shown], certificates: &[Date], day: Date) -> Option<&'a Shown> {
    let until = of_piece.partition_point(|one| one.date <= day);
    let known = of_piece.get(..until)?;
    let stands = |(index, one): &(usize, &Shown)| {
        let mut later = known.iter().skip(index + 1);
        let mut certificates = certificates.iter();
        !one.is_good
            && !later.any(|later| later.makes_good(one))
            && !certificates.any(|on| (one.date..=day).contains(on))
    };
    let (_, last) = known.iter().enumerate().rfind(stands)?;
    Some(last)
}
