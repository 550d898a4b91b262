//! Least pull forces of crimps, each by the one standard that the contract names.
//!
//! Standards differ by a factor of two for one wire, so none is taken for another: who does not name one gets no
//! verdict. Circulating copies hold misprints; pounds-force are the primary value of the inch tables and newtons are
//! computed from them. How well each row is known stands beside it.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::source::{Confidence, Source};
use crate::tables;

use super::wire_size::Gauge;

/// Newtons in a pound-force, exact: 0.45359237 kg × 9.80665 m/s².
pub const NEWTONS_PER_LBF: f64 = 4.4482216152605;
/// How far the area of a wire may be from that of a row for the row to hold, as a fraction (common practice: the
/// metric neighbours of AWG sizes lie within it, the next size lies beyond).
const SAME_SIZE: f64 = 0.082;

/// One row of data/crimp-pull-force.csv.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Key of the standard.
    pub standard: String,
    /// Gauge, where the standard lists gauges.
    pub awg: String,
    /// Area that the row is for, square millimetres.
    pub area_mm2: f64,
    /// Least force, pounds-force, where that is the primary value.
    pub least_lbf: Option<f64>,
    /// Least force, newtons.
    pub least_n: f64,
    /// A misprint of a circulating copy, as the table describes it; empty where none is known.
    pub misprint: String,
    pub source: Source,
    /// How the row was come by.
    pub clause: String,
    /// How well it is known.
    pub confidence: Confidence,
    /// More to know.
    pub note: String,
}

#[derive(Deserialize)]
struct Raw {
    standard: String,
    awg: String,
    area_mm2: f64,
    least_lbf: Option<f64>,
    least_n: f64,
    misprint: String,
    source: String,
    clause: String,
    confidence: Confidence,
    note: String,
}

static TABLE: LazyLock<Vec<Row>> = LazyLock::new(|| {
    tables::rows::<Raw>(tables::CRIMP_PULL_FORCE)
        .into_iter()
        .filter_map(|raw| {
            Some(Row {
                source: raw.source.parse().ok()?,
                least_n: raw
                    .least_lbf
                    .map_or(raw.least_n, |lbf| lbf * NEWTONS_PER_LBF),
                standard: raw.standard,
                awg: raw.awg,
                area_mm2: raw.area_mm2,
                least_lbf: raw.least_lbf,
                misprint: raw.misprint,
                clause: raw.clause,
                confidence: raw.confidence,
                note: raw.note,
            })
        })
        .collect()
});

pub fn all() -> &'static [Row] {
    &TABLE
}

/// The standards whose rows may judge a crimp.
pub const STANDARDS: [&str; 5] = [
    "ul-486a",
    "as7928",
    "nasa-std-8739.4",
    "iec-60352-2",
    "as39029",
];

/// Share of the wire's own strength that NASA-STD-8739.4 asks of sizes that its table does not list.
pub const NASA_SHARE: f64 = 0.60;

/// A least force, and what is behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Least {
    /// Newtons.
    pub newtons: f64,
    /// Where it comes from.
    pub basis: PullBasis,
    pub source: Source,
    /// How well it is known.
    pub confidence: Confidence,
}

crate::messages! {
    /// The wire that a row of a standard is for.
    pub enum PullWire "pull-wire" {
        Gauge "gauge" { awg: String as Text },
        /// An area, square millimetres.
        Area "area" { area: f64 as Given },
    }
}

crate::messages! {
    /// What is to be known of a row beside its wire.
    pub enum PullRemark "pull-remark" {
        /// The force in pounds-force, where that is the primary value.
        Pounds "pounds" { lbf: f64 as Given },
        /// It is the row nearest in area.
        Nearest "nearest",
        /// From memory.
        Weak "weak",
        /// Read in one reprint.
        Secondary "secondary",
        /// A misprint that is known of a circulating copy.
        Misprint "misprint" { of: String as Text },
        /// As the table notes.
        Noted "noted" { note: String as Text },
    }
}

crate::messages! {
    /// Where a least force comes from.
    pub enum PullBasis "pull-basis" {
        /// A row of the standard.
        Row "row" {
            source: Source as source,
            clause: String as Text,
            wire: PullWire as said,
            pounds: Option<PullRemark> as said_if,
            nearest: Option<PullRemark> as said_if,
            caution: Option<PullRemark> as said_if,
            misprint: Option<PullRemark> as said_if,
            noted: Option<PullRemark> as said_if,
        },
        /// A part of the strength of the wire itself, newtons.
        WireStrength "wire-strength" { source: Source as source, part: f64 as Share, strength: f64 as Newton },
    }
}

crate::messages! {
    /// Why there is no least force.
    pub enum PullError "pull" {
        /// None named.
        NotNamed "not-named",
        /// Not one of ours.
        Unknown "unknown" { text: String as Text },
        /// A table of terminal blocks.
        NotForCrimps "not-for-crimps",
        /// Wire not in the table.
        NotListed "not-listed" {
            standard: Source as source,
            /// Area asked for, square millimetres.
            area: f64 as Given,
            /// What it lists.
            has: Vec<PullWire> as all_said,
        },
        /// Wire not in the table, and the strength of the wire not stated.
        NeedsWireStrength "needs-wire-strength" { standard: Source as source, part: f64 as Share },
        /// Not a force.
        NoForce "no-force" { text: String as Text },
    }
}

/// The least pull force by a standard, for a wire of this area and, where it is one, gauge.
///
/// A metric wire is judged by a gauge row, or the reverse, only where the areas agree within 8 %; the basis says so.
pub fn least(
    standard: &str,
    gauge: Option<&Gauge>,
    area_mm2: f64,
    wire_strength_n: Option<f64>,
) -> Result<Least, PullError> {
    let key = standard.trim().to_ascii_lowercase();
    let unknown = || PullError::Unknown {
        text: standard.chars().take(40).collect(),
    };
    match key.as_str() {
        "" => return Err(PullError::NotNamed),
        "ul-486e" | "ul486e" | "ul-1059" | "ul1059" => return Err(PullError::NotForCrimps),
        known if STANDARDS.contains(&known) => {}
        _ => return Err(unknown()),
    }
    let rows = || all().iter().filter(|row| row.standard == key);
    let named = gauge.and_then(|gauge| rows().find(|row| row.awg == gauge.awg));
    let near = || {
        rows()
            .filter(|row| (row.area_mm2 / area_mm2 - 1.0).abs() <= SAME_SIZE)
            .min_by(|a, b| {
                let off = |row: &Row| (row.area_mm2 / area_mm2 - 1.0).abs();
                off(a).total_cmp(&off(b))
            })
    };
    if let Some(row) = named.or_else(near) {
        return Ok(of_row(
            row,
            named.is_none() && (row.area_mm2 - area_mm2).abs() > 1e-9,
        ));
    }
    if key == "nasa-std-8739.4" {
        let source = Source::NasaStd8739_4;
        let strength = wire_strength_n.ok_or(PullError::NeedsWireStrength {
            standard: source,
            part: NASA_SHARE,
        })?;
        return Ok(Least {
            newtons: NASA_SHARE * strength,
            basis: PullBasis::WireStrength {
                source,
                part: NASA_SHARE,
                strength,
            },
            source,
            confidence: Confidence::Solid,
        });
    }
    let standard = rows().next().ok_or_else(unknown)?.source;
    Err(PullError::NotListed {
        standard,
        area: area_mm2,
        has: rows().map(Row::wire).collect(),
    })
}

impl Row {
    /// The wire that it is for.
    fn wire(&self) -> PullWire {
        if self.awg.is_empty() {
            PullWire::Area {
                area: self.area_mm2,
            }
        } else {
            PullWire::Gauge {
                awg: self.awg.clone(),
            }
        }
    }
}

fn of_row(row: &Row, neighbour: bool) -> Least {
    let stated = |text: &String| (!text.is_empty()).then(|| text.clone());
    Least {
        newtons: row.least_n,
        basis: PullBasis::Row {
            source: row.source,
            clause: row.clause.clone(),
            wire: row.wire(),
            pounds: row.least_lbf.map(|lbf| PullRemark::Pounds { lbf }),
            nearest: neighbour.then_some(PullRemark::Nearest),
            caution: match row.confidence {
                Confidence::Weak => Some(PullRemark::Weak),
                Confidence::Secondary => Some(PullRemark::Secondary),
                Confidence::FormulaBacked | Confidence::Solid => None,
            },
            misprint: stated(&row.misprint).map(|of| PullRemark::Misprint { of }),
            noted: stated(&row.note)
                .filter(|_| row.confidence != Confidence::Weak)
                .map(|note| PullRemark::Noted { note }),
        },
        source: row.source,
        confidence: row.confidence,
    }
}

/// A force as written, in newtons: `96N`, `21.5 lbf`, `0.1kN`.
pub fn force(text: &str) -> Result<f64, PullError> {
    let refused = || PullError::NoForce {
        text: text.chars().take(40).collect(),
    };
    let bare = text.trim();
    let end = bare
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
        .ok_or_else(refused)?;
    let (number, unit) = bare.split_at(end);
    let number: f64 = number.replace(',', ".").parse().map_err(|_| refused())?;
    let factor = match unit.trim().to_ascii_lowercase().as_str() {
        "n" => 1.0,
        "kn" => 1000.0,
        "lbf" | "lb" | "lbs" => NEWTONS_PER_LBF,
        _ => return Err(refused()),
    };
    Some(number * factor)
        .filter(|newtons| newtons.is_finite() && *newtons > 0.0 && *newtons < 1e6)
        .ok_or_else(refused)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::features::wire_size::awg;

    fn newtons(standard: &str, gauge: &str) -> f64 {
        let gauge = awg(gauge).unwrap();
        least(standard, Some(gauge), gauge.area_mm2, None)
            .unwrap()
            .newtons
    }

    /// One wire, four standards: AWG 20 and 18 (UL 486A 57.8 and 89.0, AS7928 84.5 and 169.0 N).
    #[test]
    fn standards_are_not_mixed() {
        for (standard, gauge, expected) in [
            ("ul-486a", "20", 57.8),
            ("ul-486a", "18", 89.0),
            ("as7928", "20", 84.5),
            ("as7928", "18", 169.0),
            ("as39029", "20", 89.0),
            ("iec-60352-2", "20", 60.0),
            ("nasa-std-8739.4", "24", 35.6),
        ] {
            assert!(
                (newtons(standard, gauge) - expected).abs() < 0.06,
                "{standard} {gauge}"
            );
        }
    }

    /// A reprint gives 1235.0 N for AWG 2/0 and 455 N for AWG 6; 300 lbf is 1334.5 N and 100 lbf 444.8 N.
    #[test]
    fn misprints_do_not_pass() {
        assert!((newtons("ul-486a", "2/0") - 1334.5).abs() < 0.05);
        assert!((newtons("ul-486a", "6") - 444.8).abs() < 0.05);
        let gauge = awg("2/0").unwrap();
        let least = least("ul-486a", Some(gauge), gauge.area_mm2, None).unwrap();
        assert!(matches!(
            least.basis,
            PullBasis::Row {
                misprint: Some(_),
                ..
            }
        ));
    }

    #[test]
    fn what_is_not_known_is_not_answered() {
        assert_eq!(least("", None, 0.5, None), Err(PullError::NotNamed));
        assert_eq!(
            least("UL 486E".replace(' ', "-").as_str(), None, 0.5, None),
            Err(PullError::NotForCrimps)
        );
        assert!(matches!(
            least("din", None, 0.5, None),
            Err(PullError::Unknown { .. })
        ));
        assert!(matches!(
            least("ul-486a", None, 0.75, None),
            Err(PullError::NotListed { .. })
        ));
        let gauge = awg("18").unwrap();
        assert!(matches!(
            least("nasa-std-8739.4", Some(gauge), gauge.area_mm2, None),
            Err(PullError::NeedsWireStrength { .. })
        ));
        let by_share = least("nasa-std-8739.4", Some(gauge), gauge.area_mm2, Some(200.0)).unwrap();
        assert!((by_share.newtons - 120.0).abs() < 1e-9);
        let weak = least("iec-60352-2", None, 0.75, None).unwrap();
        assert_eq!(weak.confidence, Confidence::Weak);
        assert!(matches!(
            weak.basis,
            PullBasis::Row {
                caution: Some(PullRemark::Weak),
                ..
            }
        ));
    }

    #[test]
    fn every_row_is_read_and_true_to_itself() {
        let lines = tables::CRIMP_PULL_FORCE.lines().count() - 1;
        assert_eq!(all().len(), lines);
        for row in all() {
            assert!(row.least_n > 0.0 && row.area_mm2 > 0.0);
            if !row.awg.is_empty() {
                let gauge = awg(&row.awg).unwrap();
                assert!(
                    (gauge.area_mm2 / row.area_mm2 - 1.0).abs() < 1e-3,
                    "{}",
                    row.awg
                );
            }
        }
    }

    #[test]
    fn forces_carry_their_unit() {
        assert!((force("21.5lbf").unwrap() - 95.637).abs() < 1e-3);
        assert!((force("96 N").unwrap() - 96.0).abs() < 1e-12);
        for wrong in ["96", "N", "", "-3N", "1e9N", "96kg", "inf N"] {
            assert!(force(wrong).is_err(), "{wrong}");
        }
    }
}
