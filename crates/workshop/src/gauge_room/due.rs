//! The calendar of what is due: every piece with its status, who has it, and what two methods say of its interval.

use std::collections::BTreeMap;

use jiff::Span;
use jiff::civil::Date;
use ledger::Ledger;
use metrology::interval::{
    AsFound, Chart, ChartInterval, IntervalError, Staircase, StaircaseStep, chart, staircase,
};
use metrology::units::LengthUnit;
use rust_decimal::prelude::ToPrimitive as _;

use super::calibration;
use crate::certificates_on_record as certificate;
use crate::error::Error;
use crate::gauge_record::calibration::Of;
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::gauge_record::status::{Extension, by_due};
use crate::register::{Register, Standing};
use crate::status::{self, Changed};

/// A piece in the calendar.
#[derive(Clone, Debug)]
pub struct Entry {
    pub piece: PieceId,
    pub standing: Standing,
    /// Days from today to the due date, below zero where it is overdue.
    pub left: Option<i32>,
}

impl Entry {
    fn of(piece: PieceId, standing: Standing, today: Date) -> Self {
        let days = |due| today.until(due).map_or(0, |span| span.get_days());
        let left = standing.due.map(days);
        Self {
            piece,
            standing,
            left,
        }
    }
}

/// The calendar on a day: what may be used by its due date, the first first; then what has none, then what is set apart.
pub fn calendar(ledger: &Ledger, today: Date) -> Result<Vec<Entry>, Error> {
    let changes = status::changes(ledger, None)?;
    let mut dues: BTreeMap<PieceId, Option<Date>> = BTreeMap::new();
    let mut certified = BTreeMap::new();
    for one in certificate::of(ledger, None)? {
        certified.insert(one.certified.piece.clone(), one.entry.sequence());
        dues.insert(one.certified.piece, one.certified.due);
    }
    // What the gauge room set holds until another certificate comes.
    let mut set_dues = BTreeMap::new();
    for Changed { change, entry, .. } in &changes {
        dues.entry(change.piece.clone()).or_default();
        let later = certified.get(&change.piece);
        let holds = later.is_none_or(|later| *later < entry.sequence());
        set_dues.insert(change.piece.clone(), change.due.filter(|_| holds));
    }
    let register = Register::read(ledger)?;
    let registered = register.pieces().iter().filter_map(|piece| {
        let kind = PieceKind::of(piece.described.kind().key())?;
        let id = PieceId::new(kind, piece.described.id());
        Some((id, piece.standing(today)))
    });
    let mut all: Vec<Entry> = Vec::new();
    for (piece, standing) in registered {
        dues.remove(&piece);
        all.push(Entry::of(piece, standing, today));
    }
    // What only certificates and the gauge room know of.
    all.extend(dues.into_iter().map(|(piece, due)| {
        let change = changes.iter().rfind(|one| one.change.piece == piece);
        let change = change.map(|one| &one.change);
        let due = set_dues.get(&piece).copied().flatten().or(due);
        let set = change.map(|change| change.on(today, due));
        let standing = Standing {
            status: set.unwrap_or_else(|| by_due(today, due, None)),
            due,
            extension: change
                .and_then(|change| change.extension.clone())
                .filter(|extension| extension.until >= today),
            limited_to: change.map_or_else(Vec::new, |change| change.limited_to.clone()),
            holder: change.and_then(|change| change.holder.clone()),
        };
        Entry::of(piece, standing, today)
    }));
    all.sort_by_key(|entry| {
        (
            entry.standing.status.is_barred(),
            entry.standing.due.is_none(),
            entry.standing.due,
            entry.piece.clone(),
        )
    });
    Ok(all)
}

/// When a registered piece is due by the certificate that is known on a day.
pub fn by_certificate(register: &Register, piece: &PieceId, today: Date) -> Option<Date> {
    let kind = piece.kind().and_then(PieceKind::registered)?;
    register
        .find(kind, &piece.id)?
        .periods
        .by_certificate(today)
}

/// When the gauge room set a piece due and by what it extended that, where no certificate came after it.
pub fn set_of(
    ledger: &Ledger,
    register: &Register,
    piece: &PieceId,
) -> Result<(Option<Date>, Option<Extension>), Error> {
    let kind = piece.kind().and_then(PieceKind::registered);
    if let Some(known) = kind.and_then(|kind| register.find(kind, &piece.id)) {
        let periods = &known.periods;
        let extension = periods.extension(Date::MAX).cloned();
        return Ok((periods.set(Date::MAX), extension));
    }
    let changes = status::changes(ledger, Some(piece))?;
    let Some(Changed { change, entry, .. }) = changes.last() else {
        return Ok((None, None));
    };
    let certificates = certificate::of(ledger, Some(piece))?;
    let later = |one: &certificate::OnRecord| one.entry.sequence() > entry.sequence();
    if certificates.iter().any(later) {
        return Ok((None, None));
    }
    Ok((change.due, change.extension.clone()))
}

/// A piece as the calendar of a day has it; none where nothing is known of it.
pub fn of(ledger: &Ledger, piece: &PieceId, today: Date) -> Result<Option<Entry>, Error> {
    let mut all = calendar(ledger, today)?.into_iter();
    Ok(all.find(|entry| entry.piece == *piece))
}

/// What both methods say of the interval of a piece, and what they would have said at the calibration before the last.
#[derive(Clone, Debug, PartialEq)]
pub struct Intervals {
    /// What calibrations found, micrometres.
    pub found: Vec<AsFound>,
    /// The limit of the error, micrometres.
    pub limit: f64,
    /// The expanded uncertainty of the last calibration, micrometres.
    pub expanded_uncertainty: f64,
    /// The interval that it began with, days.
    pub first: f64,
    pub staircase: Result<Vec<StaircaseStep>, IntervalError>,
    pub chart: Result<ChartInterval, IntervalError>,
    pub chart_before: Result<ChartInterval, IntervalError>,
}

/// The interval that calibrations begin with where nothing else is known, days (common practice, no source).
pub const USUAL: f64 = 365.0;

impl Intervals {
    /// By what calibrations found.
    pub fn of(found: Vec<AsFound>, limit: f64, expanded_uncertainty: f64, first: f64) -> Self {
        let before = found
            .split_last()
            .map(|(_, before)| before)
            .unwrap_or_default();
        let by_chart =
            |found: &[AsFound]| chart(&Chart::default(), limit, expanded_uncertainty, found);
        Self {
            staircase: staircase(&Staircase::default(), first, limit, &found),
            chart_before: by_chart(before),
            chart: by_chart(&found),
            limit,
            expanded_uncertainty,
            first,
            found,
        }
    }

    /// The day on which the next calibration is due, by the method that gives less.
    pub fn next_due(&self) -> Option<Date> {
        // 365 days come out of the steps of a staircase as a hair less.
        let days = (self.shorter()? + 1e-6).floor().to_i64()?;
        let last = self.found.last()?.on;
        last.checked_add(Span::new().days(days)).ok()
    }

    /// The interval that the staircase gave at the calibration before the last, days.
    pub fn staircase_before(&self) -> Option<f64> {
        let steps = self.staircase.as_ref().ok()?;
        Some(steps.last()?.before)
    }

    /// Days until the next calibration, by the method that gives less; none where neither does. There are none left where the
    /// chart finds the limit reached, or taken up by the uncertainty.
    pub fn shorter(&self) -> Option<f64> {
        let staircase = self.staircase.as_ref().ok();
        let staircase = staircase.and_then(|steps| Some(steps.last()?.after));
        let chart = match &self.chart {
            Ok(chart) => Some(chart.days),
            Err(IntervalError::Beyond | IntervalError::NoLimit) => Some(0.0),
            Err(_) => None,
        };
        [staircase, chart].into_iter().flatten().reduce(f64::min)
    }
}

/// The intervals of a piece that was calibrated in house; none where it never was. The limit is that of the last calibration.
pub fn intervals(ledger: &Ledger, piece: &PieceId) -> Result<Option<Intervals>, Error> {
    let mut found: Vec<(AsFound, f64, f64, Option<Date>)> = Vec::new();
    for one in calibration::of(ledger, piece)? {
        let (Of::Micrometer(calibration), Some(curve)) = (&one.worked.of, &one.result.found) else {
            continue;
        };
        let limit = calibration
            .criterion
            .limit
            .value()
            .in_unit(LengthUnit::Micrometre);
        let widest = curve
            .points
            .iter()
            .map(|point| point.expanded_uncertainty_um);
        // Of a span the span is what is held against the limit.
        let error = match calibration.criterion.shape {
            metrology::calibration::Shape::Span => curve.span_um,
            metrology::calibration::Shape::EitherWay => curve.largest_um,
        };
        let on = calibration.on;
        let widest = widest.fold(0.0, f64::max);
        found.push((AsFound { on, error }, limit, widest, one.worked.due));
    }
    let (Some((first, _, _, due)), Some((_, limit, expanded, _))) = (found.first(), found.last())
    else {
        return Ok(None);
    };
    let begun = due.and_then(|due| first.on.until(due).ok());
    let begun = begun.map_or(USUAL, |span| f64::from(span.get_days()));
    let (limit, expanded) = (*limit, *expanded);
    let found = found.into_iter().map(|(found, ..)| found).collect();
    Ok(Some(Intervals::of(found, limit, expanded, begun)))
}
