//! The tables of ISO 965-1, and the rule that its numbers follow.
//!
//! The table rules over the formula. The formula, rounded to preferred numbers, serves for pairs of diameter
//! and pitch that no table row covers, and in the tests to hold every cell against.

use std::sync::{LazyLock, OnceLock};

use serde::Deserialize;

use super::preferred_numbers::{rounded, whole};
use crate::source::Confidence;
use crate::tables;
use crate::units::{Length, LengthUnit};

/// A table value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Cell {
    pub micrometres: i32,
    pub confidence: Confidence,
}

/// The pitches that ISO 965-1 tabulates, in micrometres.
pub(crate) const PITCHES: [i64; 25] = [
    200, 250, 300, 350, 400, 450, 500, 600, 700, 750, 800, 1000, 1250, 1500, 1750, 2000, 2500,
    3000, 3500, 4000, 4500, 5000, 5500, 6000, 8000,
];

/// Diameter ranges: over the first, up to and including the second, in micrometres.
pub(crate) const RANGES: [(i64, i64); 9] = [
    (990, 1_400),
    (1_400, 2_800),
    (2_800, 5_600),
    (5_600, 11_200),
    (11_200, 22_400),
    (22_400, 45_000),
    (45_000, 90_000),
    (90_000, 180_000),
    (180_000, 355_000),
];

/// Grades are 3 to 9; one column each.
const GRADES: usize = 10;
/// Cells of one quantity.
const CELLS: usize = RANGES.len() * PITCHES.len() * GRADES;

/// The tolerances of one quantity by range, pitch and grade.
struct Grid(Vec<Option<Cell>>);

/// The number of a pitch in [`PITCHES`].
pub(crate) fn pitch_index(pitch: Length) -> Option<usize> {
    let micrometres = whole_micrometres(pitch)?;
    PITCHES.binary_search(&micrometres).ok()
}

/// The number of a diameter's range in [`RANGES`].
pub(crate) fn range_index(diameter: Length) -> Option<usize> {
    let count = diameter.tenth_nanometres();
    RANGES
        .iter()
        .position(|&(over, up_to)| count > over * 10_000 && count <= up_to * 10_000)
}

fn whole_micrometres(length: Length) -> Option<i64> {
    let count = length.tenth_nanometres();
    (count % 10_000 == 0).then_some(count / 10_000)
}

impl Grid {
    const fn place(range: usize, pitch: usize, grade: u8) -> usize {
        (range * PITCHES.len() + pitch) * GRADES + grade as usize
    }

    fn get(&self, range: usize, pitch: usize, grade: u8) -> Option<Cell> {
        self.0
            .get(Self::place(range, pitch, grade))
            .copied()
            .flatten()
    }
}

/// A row of a table of tolerances; tables by pitch alone have no diameters.
#[derive(Deserialize)]
struct ToleranceRow {
    #[serde(default)]
    d_upto_mm: String,
    pitch_mm: String,
    #[serde(default)]
    grade3_um: Option<i32>,
    grade4_um: Option<i32>,
    #[serde(default)]
    grade5_um: Option<i32>,
    grade6_um: Option<i32>,
    #[serde(default)]
    grade7_um: Option<i32>,
    grade8_um: Option<i32>,
    #[serde(default)]
    grade9_um: Option<i32>,
    confidence: String,
    solid: String,
    weak: String,
}

fn confidence(column: &str, otherwise: &str, solid: &str, weak: &str) -> Confidence {
    let lists = |columns: &str| columns.split_whitespace().any(|listed| listed == column);
    if lists(solid) {
        Confidence::Solid
    } else if lists(weak) {
        Confidence::Weak
    } else {
        named(otherwise)
    }
}

/// The confidence of a data file's word; what is not known is weak.
fn named(word: &str) -> Confidence {
    match word {
        "solid" => Confidence::Solid,
        "formula-backed" => Confidence::FormulaBacked,
        _ => Confidence::Weak,
    }
}

fn mm(text: &str) -> Option<Length> {
    Length::from_decimal(text.parse().ok()?, LengthUnit::Millimetre).ok()
}

fn grid(table: &'static str) -> Grid {
    let mut cells = vec![None; CELLS];
    for row in tables::rows::<ToleranceRow>(table) {
        let Some(pitch) = mm(&row.pitch_mm).and_then(pitch_index) else {
            continue;
        };
        let range = mm(&row.d_upto_mm).and_then(range_index).unwrap_or(0);
        let grades = [
            (3, row.grade3_um),
            (4, row.grade4_um),
            (5, row.grade5_um),
            (6, row.grade6_um),
            (7, row.grade7_um),
            (8, row.grade8_um),
            (9, row.grade9_um),
        ];
        for (grade, value) in grades {
            let place = cells.get_mut(Grid::place(range, pitch, grade));
            if let (Some(micrometres), Some(place)) = (value, place) {
                let column = grade.to_string();
                *place = Some(Cell {
                    micrometres,
                    confidence: confidence(&column, &row.confidence, &row.solid, &row.weak),
                });
            }
        }
    }
    Grid(cells)
}

static MAJOR: LazyLock<Grid> = LazyLock::new(|| grid(tables::METRIC_MAJOR));
static MINOR: LazyLock<Grid> = LazyLock::new(|| grid(tables::METRIC_MINOR));
static PITCH_EXTERNAL: LazyLock<Grid> = LazyLock::new(|| grid(tables::METRIC_PITCH_EXTERNAL));
static PITCH_INTERNAL: LazyLock<Grid> = LazyLock::new(|| grid(tables::METRIC_PITCH_INTERNAL));

/// Td, of the major diameter of an external thread.
pub(crate) fn major_tolerance(pitch: usize, grade: u8) -> Option<Cell> {
    MAJOR.get(0, pitch, grade)
}

/// TD1, of the minor diameter of an internal thread.
pub(crate) fn minor_tolerance(pitch: usize, grade: u8) -> Option<Cell> {
    MINOR.get(0, pitch, grade)
}

/// Td2 or TD2, of the pitch diameter, and whether it was calculated for want of a table row.
pub(crate) fn pitch_tolerance(
    internal: bool,
    range: usize,
    pitch: usize,
    grade: u8,
) -> Option<(Cell, bool)> {
    /// Each cell with what is calculated where the table has none: powers are taken once, and of what is asked for.
    type Complete = [OnceLock<Option<(Cell, bool)>>; CELLS];
    static EXTERNAL: Complete = [const { OnceLock::new() }; CELLS];
    static INTERNAL: Complete = [const { OnceLock::new() }; CELLS];
    let cells: &Complete = if internal { &INTERNAL } else { &EXTERNAL };
    *cells
        .get(Grid::place(range, pitch, grade))?
        .get_or_init(|| tabulated_or_calculated(internal, range, pitch, grade))
}

/// A grade whose cell is empty is not defined. Where the table has no row for range and pitch, the grades are
/// those that the pitch has in any other range.
fn tabulated_or_calculated(
    internal: bool,
    range: usize,
    pitch: usize,
    grade: u8,
) -> Option<(Cell, bool)> {
    let table: &Grid = if internal {
        &PITCH_INTERNAL
    } else {
        &PITCH_EXTERNAL
    };
    let has_row = |range| (0..10).any(|grade| table.get(range, pitch, grade).is_some());
    if has_row(range) {
        return Some((table.get(range, pitch, grade)?, false));
    }
    let defined = (0..RANGES.len()).any(|range| table.get(range, pitch, grade).is_some());
    if !defined {
        return None;
    }
    let micrometres = calculated_pitch_tolerance(internal, range, pitch, grade)?;
    Some((
        Cell {
            micrometres,
            confidence: Confidence::FormulaBacked,
        },
        true,
    ))
}

/// Td2 and TD2 by formula: 90 P^0.4 d^0.1 for grade 6 of the external thread, with d the geometric mean of its
/// range; every other grade a factor of the rounded value. (ISO 965-1, from memory; the factors read in
/// Machinery's Handbook, 27th ed., p. 1797.)
pub(crate) fn calculated_pitch_tolerance(
    internal: bool,
    range: usize,
    pitch: usize,
    grade: u8,
) -> Option<i32> {
    let &(over, up_to) = RANGES.get(range)?;
    let mean = libm::sqrt((over * up_to) as f64) / 1e3;
    let p = *PITCHES.get(pitch)? as f64 / 1e3;
    let exact = 90.0 * libm::pow(p, 0.4) * libm::pow(mean, 0.1);
    let factor = if internal {
        internal_factor(grade)?
    } else {
        external_factor(grade)?
    };
    Some(graded(exact, None, factor))
}

/// A tolerance from the exact value of grade 6, by way of its rounded or tabulated value.
fn graded(exact_six: f64, tabulated_six: Option<i32>, factor: f64) -> i32 {
    if factor == 1.0 {
        whole(rounded(exact_six))
    } else {
        let six = tabulated_six.map_or_else(|| rounded(exact_six), f64::from);
        whole(rounded(factor * six))
    }
}

/// Tolerance of a grade over grade 6: external diameters and the internal minor diameter.
const fn external_factor(grade: u8) -> Option<f64> {
    Some(match grade {
        3 => 0.5,
        4 => 0.63,
        5 => 0.8,
        6 => 1.0,
        7 => 1.25,
        8 => 1.6,
        9 => 2.0,
        _ => return None,
    })
}

/// Tolerance of an internal pitch diameter over grade 6 of the external one.
const fn internal_factor(grade: u8) -> Option<f64> {
    Some(match grade {
        4 => 0.85,
        5 => 1.06,
        6 => 1.32,
        7 => 1.7,
        8 => 2.12,
        _ => return None,
    })
}

#[derive(Deserialize)]
#[expect(
    non_snake_case,
    reason = "the letters of the standard: capital for internal"
)]
struct DeviationRow {
    pitch_mm: String,
    EI_G_um: Option<i32>,
    EI_H_um: Option<i32>,
    es_a_um: Option<i32>,
    es_b_um: Option<i32>,
    es_c_um: Option<i32>,
    es_d_um: Option<i32>,
    es_e_um: Option<i32>,
    es_f_um: Option<i32>,
    es_g_um: Option<i32>,
    es_h_um: Option<i32>,
    confidence: String,
    solid: String,
    weak: String,
}

const LETTERS: [char; 10] = ['G', 'H', 'a', 'b', 'c', 'd', 'e', 'f', 'g', 'h'];

static DEVIATIONS: LazyLock<Vec<[Option<Cell>; 10]>> = LazyLock::new(|| {
    let mut all = vec![[None; 10]; PITCHES.len()];
    for row in tables::rows::<DeviationRow>(tables::METRIC_DEVIATIONS) {
        let place = mm(&row.pitch_mm)
            .and_then(pitch_index)
            .and_then(|index| all.get_mut(index));
        let values = [
            row.EI_G_um,
            row.EI_H_um,
            row.es_a_um,
            row.es_b_um,
            row.es_c_um,
            row.es_d_um,
            row.es_e_um,
            row.es_f_um,
            row.es_g_um,
            row.es_h_um,
        ];
        if let Some(place) = place {
            for ((slot, letter), value) in place.iter_mut().zip(LETTERS).zip(values) {
                let mut buffer = [0; 4];
                let column: &str = letter.encode_utf8(&mut buffer);
                *slot = value.map(|micrometres| Cell {
                    micrometres,
                    confidence: confidence(column, &row.confidence, &row.solid, &row.weak),
                });
            }
        }
    }
    all
});

/// The fundamental deviation, signed: EI for capital letters, es for small ones.
pub(crate) fn deviation(pitch: usize, letter: char) -> Option<Cell> {
    let column = LETTERS.iter().position(|&listed| listed == letter)?;
    DEVIATIONS.get(pitch)?.get(column).copied().flatten()
}

#[derive(Deserialize)]
struct EngagementRow {
    #[serde(rename = "d_upto_mm")]
    up_to: String,
    #[serde(rename = "pitch_mm")]
    pitch: String,
    #[serde(rename = "N_over_mm")]
    normal_over: String,
    #[serde(rename = "N_upto_mm")]
    normal_up_to: String,
}

static ENGAGEMENT: LazyLock<Vec<Option<(Length, Length)>>> = LazyLock::new(|| {
    let mut all = vec![None; RANGES.len() * PITCHES.len()];
    for row in tables::rows::<EngagementRow>(tables::METRIC_ENGAGEMENT) {
        let range = mm(&row.up_to).and_then(range_index);
        let pitch = mm(&row.pitch).and_then(pitch_index);
        if let (Some(range), Some(pitch)) = (range, pitch)
            && let Some(place) = all.get_mut(range * PITCHES.len() + pitch)
        {
            *place = mm(&row.normal_over).zip(mm(&row.normal_up_to));
        }
    }
    all
});

/// Normal engagement is over the first and up to the second length.
pub(crate) fn normal_engagement(range: usize, pitch: usize) -> Option<(Length, Length)> {
    ENGAGEMENT
        .get(range * PITCHES.len() + pitch)
        .copied()
        .flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    const DISPUTED: &str = include_str!("../../data/iso-metric/disputed.csv");

    /// Every filled cell as (table, diameter up to, pitch, column, table value, formula value).
    fn cells() -> Vec<(String, i32, i32)> {
        let mut all = Vec::new();
        let mut push =
            |table: &str, range: Option<usize>, pitch: usize, column: &str, table_um, formula| {
                let up_to = range.map_or(0, |range| RANGES[range].1);
                let key = format!("{table} {up_to} {} {column}", PITCHES[pitch]);
                all.push((key, table_um, formula));
            };
        for (pitch, &micrometres) in PITCHES.iter().enumerate() {
            let p = micrometres as f64 / 1e3;
            // ISO 965-1, from memory; the exponents and factors read in Machinery's Handbook, 27th ed., p. 1794.
            let td = 180.0 * libm::pow(p, 2.0 / 3.0) - 3.15 / libm::sqrt(p);
            let td1 = if p < 1.0 {
                433.0 * p - 190.0 * libm::pow(p, 1.22)
            } else {
                230.0 * libm::pow(p, 0.7)
            };
            for grade in 3..=9 {
                let column = format!("grade{grade}_um");
                let factor = external_factor(grade).unwrap();
                for (name, exact, cell) in [
                    (
                        "major-external",
                        td,
                        major_tolerance as fn(usize, u8) -> Option<Cell>,
                    ),
                    ("minor-internal", td1, minor_tolerance),
                ] {
                    if let Some(found) = cell(pitch, grade) {
                        let six = cell(pitch, 6).map(|cell| cell.micrometres);
                        push(
                            name,
                            None,
                            pitch,
                            &column,
                            found.micrometres,
                            graded(exact, six, factor),
                        );
                    }
                }
                for (range, &(over, up_to)) in RANGES.iter().enumerate() {
                    let mean = libm::sqrt((over * up_to) as f64) / 1e3;
                    let exact = 90.0 * libm::pow(p, 0.4) * libm::pow(mean, 0.1);
                    let six = PITCH_EXTERNAL
                        .get(range, pitch, 6)
                        .map(|cell| cell.micrometres);
                    if let Some(found) = PITCH_EXTERNAL.get(range, pitch, grade) {
                        let formula = graded(exact, six, factor);
                        push(
                            "pitch-diameter-external",
                            Some(range),
                            pitch,
                            &column,
                            found.micrometres,
                            formula,
                        );
                    }
                    if let Some(found) = PITCH_INTERNAL.get(range, pitch, grade) {
                        let formula = graded(exact, six, internal_factor(grade).unwrap());
                        push(
                            "pitch-diameter-internal",
                            Some(range),
                            pitch,
                            &column,
                            found.micrometres,
                            formula,
                        );
                    }
                }
            }
            for (letter, base) in [('G', 15.0), ('g', 15.0), ('f', 30.0), ('e', 50.0)] {
                if let Some(found) = deviation(pitch, letter) {
                    let column = if letter == 'G' {
                        "EI_G_um".to_owned()
                    } else {
                        format!("es_{letter}_um")
                    };
                    let formula = whole(rounded(base + 11.0 * p));
                    push(
                        "fundamental-deviations",
                        None,
                        pitch,
                        &column,
                        found.micrometres.abs(),
                        formula,
                    );
                }
            }
        }
        all
    }

    /// The table rules; where the formula says otherwise the cell is listed with the reason, and a listed cell
    /// that agrees after all is struck from the list.
    #[test]
    fn formula_and_table_agree_except_where_disputed() {
        let mut disputed: Vec<(String, i32, i32)> = csv::Reader::from_reader(DISPUTED.as_bytes())
            .into_records()
            .map(|row| {
                let row = row.unwrap();
                let micrometres = |text: &str| -> i64 {
                    mm(text).map_or(0, |length| length.tenth_nanometres() / 10_000)
                };
                let key = format!(
                    "{} {} {} {}",
                    &row[0],
                    micrometres(&row[2]),
                    micrometres(&row[3]),
                    &row[4]
                );
                (key, row[5].parse().unwrap(), row[6].parse().unwrap())
            })
            .collect();
        let all = cells();
        assert_eq!(
            all.len(),
            763,
            "every filled cell with a formula is held against it"
        );
        let mut differing: Vec<_> = all
            .into_iter()
            .filter(|(_, table, formula)| table != formula)
            .collect();
        disputed.sort();
        differing.sort();
        assert_eq!(differing, disputed);
    }
}
