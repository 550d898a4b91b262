//! Limits of size of ISO metric trapezoidal threads: ISO 2901 to 2904.
//!
//! ```text
//! external   d max = d                 d min = d - Td (grade 4)
//!            d2 max = d - P/2 + es     d2 min = d2 max - Td2
//!            d3 max = d - P - 2 ac     d3 min = d3 max - (1.25 Td2 + |es|)
//! internal   D4 min = d + 2 ac         no maximum
//!            D2 min = d - P/2          D2 max = D2 min + TD2
//!            D1 min = d - P            D1 max = D1 min + TD1 (grade 4)
//! ```
//!
//! The class is that of the pitch diameter; major and root diameters always have the position h. Several starts
//! widen Td2 and TD2: 2 by 1.12, 3 by 1.25, 4 by 1.4, more by 1.6 (from memory). A pair of range and pitch without a
//! table row is calculated by the formula behind the table, and says so.

use std::sync::LazyLock;

use serde::Deserialize;

use super::metric_tables::range_index;
use super::preferred_numbers::{rounded, whole};
use super::{Engagement, Identity, Limits, Note, ThreadLimits};
use crate::source::{Confidence, Source};
use crate::tables;
use crate::thread::{Assumed, Fault, Form, Kind, ThreadError, TrapezoidalThread};
use crate::units::{Length, LengthUnit, Pitch};

/// What depends on the pitch alone; micrometres.
struct PitchRow {
    pitch: Length,
    /// ac, between crest and root.
    clearance: Length,
    major_tolerance: i32,
    minor_tolerance: i32,
    es_c: i32,
    es_e: i32,
    confidence: Confidence,
}

#[derive(Deserialize)]
#[expect(non_snake_case, reason = "the letters of the standard")]
struct PitchCells {
    pitch_mm: String,
    clearance_mm: String,
    Td4_um: i32,
    TD1_4_um: i32,
    es_c_um: i32,
    es_e_um: i32,
    confidence: Confidence,
}

static PITCHES: LazyLock<Vec<PitchRow>> = LazyLock::new(|| {
    tables::rows(tables::TRAPEZOIDAL_PITCHES)
        .into_iter()
        .filter_map(|row: PitchCells| {
            Some(PitchRow {
                pitch: tables::mm(&row.pitch_mm)?,
                clearance: tables::mm(&row.clearance_mm)?,
                major_tolerance: row.Td4_um,
                minor_tolerance: row.TD1_4_um,
                es_c: row.es_c_um,
                es_e: row.es_e_um,
                confidence: row.confidence,
            })
        })
        .collect()
});

/// Td2 and TD2 of a range and pitch, grades 7, 8, 9; micrometres.
struct PitchDiameterRow {
    range: usize,
    pitch: Length,
    external: [i32; 3],
    internal: [i32; 3],
    confidence: Confidence,
}

#[derive(Deserialize)]
#[expect(non_snake_case, reason = "the letters of the standard")]
struct PitchDiameterCells {
    d_upto_mm: String,
    pitch_mm: String,
    Td2_7_um: i32,
    Td2_8_um: i32,
    Td2_9_um: i32,
    TD2_7_um: i32,
    TD2_8_um: i32,
    TD2_9_um: i32,
    confidence: Confidence,
}

static PITCH_DIAMETER: LazyLock<Vec<PitchDiameterRow>> = LazyLock::new(|| {
    tables::rows(tables::TRAPEZOIDAL_PITCH_DIAMETER)
        .into_iter()
        .filter_map(|row: PitchDiameterCells| {
            Some(PitchDiameterRow {
                range: range_index(tables::mm(&row.d_upto_mm)?)?,
                pitch: tables::mm(&row.pitch_mm)?,
                external: [row.Td2_7_um, row.Td2_8_um, row.Td2_9_um],
                internal: [row.TD2_7_um, row.TD2_8_um, row.TD2_9_um],
                confidence: row.confidence,
            })
        })
        .collect()
});

/// Whether ISO 2901 has the pitch.
pub(crate) fn is_tabulated_pitch(pitch: Length) -> bool {
    PITCHES.iter().any(|row| row.pitch == pitch)
}

/// ac, the clearance between crest and root; none for a pitch that ISO 2901 has not.
pub(crate) fn clearance(pitch: Length) -> Length {
    PITCHES
        .iter()
        .find(|row| row.pitch == pitch)
        .map_or(Length::ZERO, |row| row.clearance)
}

/// Td2 or TD2 by the formula behind the table: 90 P^0.4 d^0.1 with the geometric mean of the range, to the nearest
/// preferred number; the grades are factors of that number, rounded alike. (ISO 965-1, factors of grade 9 from memory.)
fn calculated(range: usize, pitch: Length, kind: Kind, grade: usize) -> Option<i32> {
    let &(over, up_to) = super::metric_tables::RANGES.get(range)?;
    let mean = libm::sqrt((over * up_to) as f64) / 1e3;
    let six = rounded(90.0 * libm::pow(pitch.mm(), 0.4) * libm::pow(mean, 0.1));
    let factors: [f64; 3] = match kind {
        Kind::External => [1.25, 1.6, 2.0],
        Kind::Internal => [1.7, 2.12, 2.65],
    };
    Some(whole(rounded(factors.get(grade)? * six)))
}

/// The tolerance of the pitch diameter in micrometres, its confidence, and whether it was calculated.
fn pitch_tolerance(thread: &TrapezoidalThread, range: usize) -> Option<(i32, Confidence, bool)> {
    let kind = thread.class.kind();
    let grade = usize::from(thread.class.grade.checked_sub(7)?);
    let row = PITCH_DIAMETER
        .iter()
        .find(|row| row.range == range && row.pitch == thread.pitch);
    if let Some(row) = row {
        let cells = match kind {
            Kind::External => row.external,
            Kind::Internal => row.internal,
        };
        return Some((*cells.get(grade)?, row.confidence, false));
    }
    let tolerance = calculated(range, thread.pitch, kind, grade)?;
    Some((tolerance, Confidence::Weak, true))
}

/// How several starts widen the tolerance of the pitch diameter, in hundredths; from memory of ISO 2903.
const fn starts_factor(starts: u16) -> i64 {
    match starts {
        0 | 1 => 100,
        2 => 112,
        3 => 125,
        4 => 140,
        _ => 160,
    }
}

const MICROMETRE: Length = Length::from_micrometres(1);

/// A length times so many hundredths, to the micrometre, ties to even.
const fn hundredths(length: Length, hundredths: i64) -> Length {
    let scaled = Length::from_tenth_nanometres(length.tenth_nanometres() * hundredths / 100);
    scaled.round_to(MICROMETRE)
}

/// The limits of a trapezoidal thread.
pub(crate) fn limits(thread: &TrapezoidalThread) -> Result<ThreadLimits, ThreadError> {
    let (d, p) = (thread.diameter, thread.pitch);
    let kind = thread.class.kind();
    let missing = || ThreadError::new(Fault::Range);
    let of_pitch = PITCHES
        .iter()
        .find(|row| row.pitch == p)
        .ok_or_else(missing)?;
    let range = range_index(d).ok_or_else(missing)?;
    let (tolerance, confidence, calculated) = pitch_tolerance(thread, range).ok_or_else(missing)?;
    let single = Length::from_micrometres(tolerance);
    let tolerance = hundredths(single, starts_factor(thread.starts));

    let mut result = ThreadLimits::of(
        Identity {
            designation: thread.to_string(),
            form: Form::Trapezoidal,
            kind,
            unit: LengthUnit::Millimetre,
            nominal: d,
            pitch: Pitch::Metric(p),
            included_angle_deg: 30.0,
            class: thread.class.to_string(),
        },
        &[Source::Iso2901, Source::Iso2903],
    );
    let half_pitch = Length::from_tenth_nanometres(p.tenth_nanometres() / 2);
    let basic = d - half_pitch;
    let of_crest = match kind {
        Kind::External => {
            let es = Length::from_micrometres(match thread.class.letter {
                b'c' => of_pitch.es_c,
                _ => of_pitch.es_e,
            });
            let root = d - p - of_pitch.clearance.times(2);
            let root_tolerance = hundredths(tolerance, 125) + es.abs();
            result.allowance = -es;
            result.major = Limits::between(d - MICROMETRE.times(of_pitch.major_tolerance), d);
            result.pitch_diameter = Limits::between(basic + es - tolerance, basic + es);
            result.minor = Limits::between(root - root_tolerance, root);
            if thread.class.letter == b'e' {
                of_pitch.confidence
            } else {
                Confidence::Weak
            }
        }
        Kind::Internal => {
            let minor = d - p;
            result.major = Limits::at_least(d + of_pitch.clearance.times(2));
            result.pitch_diameter = Limits::between(basic, basic + tolerance);
            result.minor =
                Limits::between(minor, minor + MICROMETRE.times(of_pitch.minor_tolerance));
            of_pitch.confidence.min(Confidence::FormulaBacked)
        }
    };
    result.confidence = if thread.starts > 1 {
        Confidence::Weak
    } else {
        confidence.min(of_crest)
    };
    result.starts = thread.starts;
    result.hand = thread.hand;
    result.engagement = thread.engagement.map(Engagement::Length);
    result.assumed.clone_from(&thread.assumed);
    if calculated {
        result.assumed.push(Assumed::TrapezoidalCalculated);
    }
    result.notes = notes(thread, result.confidence);
    Ok(result)
}

fn notes(thread: &TrapezoidalThread, confidence: Confidence) -> Vec<Note> {
    let mut notes = vec![match thread.class.kind() {
        Kind::External => Note::TrapezoidalExternal,
        Kind::Internal => Note::TrapezoidalInternal,
    }];
    if confidence == Confidence::Weak {
        notes.push(Note::TrapezoidalMemory);
    }
    if thread.starts > 1 {
        notes.push(Note::TrapezoidalStarts {
            starts: thread.starts.into(),
            factor: starts_factor(thread.starts) as f64 / 100.0,
        });
    }
    if thread.long || thread.engagement.is_some() {
        notes.push(Note::TrapezoidalEngagement);
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every cell of the table is the formula's; what is remembered otherwise stands in `disputed.csv`.
    #[test]
    fn every_cell_agrees_with_the_formula() {
        assert_eq!(PITCH_DIAMETER.len(), 45);
        for row in PITCH_DIAMETER.iter() {
            for (grade, (external, internal)) in row.external.iter().zip(row.internal).enumerate() {
                let what = (row.range, row.pitch, grade + 7);
                assert_eq!(
                    calculated(row.range, row.pitch, Kind::External, grade),
                    Some(*external),
                    "{what:?}"
                );
                assert_eq!(
                    calculated(row.range, row.pitch, Kind::Internal, grade),
                    Some(internal),
                    "{what:?}"
                );
            }
        }
    }

    #[derive(Deserialize)]
    struct Disputed {
        table: String,
        d_upto_mm: String,
        pitch_mm: String,
        column: String,
        table_um: i32,
        formula_um: i32,
    }

    fn disputed() -> Vec<Disputed> {
        tables::rows(include_str!("../../data/trapezoidal/disputed.csv"))
    }

    /// Td = 0.63 (180 P^(2/3) - 3.15 P^(-1/2)) and TD1 = 0.63 x 230 P^0.7; where the table differs it stands, and the
    /// cell is in `disputed.csv`, which lists no other.
    #[test]
    fn crest_tolerances_agree_with_their_formulas_or_are_disputed() {
        let mut differ = Vec::new();
        for row in PITCHES.iter() {
            let p = row.pitch.mm();
            let six = rounded(180.0 * libm::pow(p, 2.0 / 3.0) - 3.15 / libm::sqrt(p));
            let major = whole(rounded(0.63 * six));
            let minor = whole(rounded(0.63 * 230.0 * libm::pow(p, 0.7)));
            for (column, table, formula) in [
                ("Td4_um", row.major_tolerance, major),
                ("TD1_4_um", row.minor_tolerance, minor),
            ] {
                if table != formula {
                    differ.push((row.pitch, column.to_owned(), table, formula));
                }
            }
        }
        let listed: Vec<_> = disputed()
            .into_iter()
            .filter(|row| row.table == "pitches")
            .map(|row| {
                let pitch = tables::mm(&row.pitch_mm).unwrap();
                (pitch, row.column, row.table_um, row.formula_um)
            })
            .collect();
        assert_eq!(differ, listed);
    }

    /// Where memory has another base than the formula, the formula is answered, and both stand in `disputed.csv`.
    #[test]
    fn disputed_pitch_diameter_tolerances_are_answered_by_the_formula() {
        let rows: Vec<_> = disputed()
            .into_iter()
            .filter(|row| row.table == "pitch-diameter")
            .collect();
        assert_eq!(rows.len(), 4);
        for row in rows {
            let range = range_index(tables::mm(&row.d_upto_mm).unwrap()).unwrap();
            let pitch = tables::mm(&row.pitch_mm).unwrap();
            let found = PITCH_DIAMETER
                .iter()
                .find(|cell| cell.range == range && cell.pitch == pitch)
                .unwrap();
            assert_eq!(
                found.external[0],
                whole(rounded(1.25 * f64::from(row.formula_um)))
            );
            assert_ne!(row.table_um, row.formula_um);
            assert_eq!(found.confidence, Confidence::Weak);
        }
    }

    #[test]
    fn half_micrometres_go_to_even() {
        // Printed limits of Tr8x1.5-7e and Tr10x2-7e: 1.25 Td2 is 212.5 and 237.5.
        assert_eq!(
            hundredths(Length::from_micrometres(170), 125),
            Length::from_micrometres(212)
        );
        assert_eq!(
            hundredths(Length::from_micrometres(190), 125),
            Length::from_micrometres(238)
        );
    }
}
