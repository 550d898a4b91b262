//! The gauge tables under `data/gauges/`, read once.

use std::sync::LazyLock;

use serde::Deserialize;

use super::GaugeClass;
use crate::tables::rows;
use crate::units::{Length, LengthUnit};

const B1_2_X: &str = include_str!("../../data/gauges/asme-b1.2-x.csv");
const B1_2_W: &str = include_str!("../../data/gauges/asme-b1.2-w.csv");
const ISO_1502: &str = include_str!("../../data/gauges/iso-1502.csv");
const ISO_1502_HALF_ANGLE: &str = include_str!("../../data/gauges/iso-1502-half-angle.csv");
const B89_1_5: &str = include_str!("../../data/gauges/asme-b89.1.5.csv");

fn length(text: &str, unit: LengthUnit) -> Option<Length> {
    Length::from_decimal(text.parse().ok()?, unit).ok()
}

fn inch(text: &str) -> Option<Length> {
    length(text, LengthUnit::Inch)
}

fn micrometre(text: &str) -> Option<Length> {
    length(text, LengthUnit::Micrometre)
}

/// Tolerances of a B1.2 gauge of one thread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct B1_2 {
    /// Whole width, one way.
    pub pitch_diameter: Length,
    /// Whole width of major and minor diameter, one way. W gauges take that of X.
    pub crest: Length,
    /// Either way.
    pub lead: Length,
    /// Minutes of arc, either way.
    pub half_angle: f64,
}

#[derive(Deserialize)]
struct XRow {
    tpi: String,
    lead_in: String,
    half_angle_arcmin: f64,
    crest_to_4_in: String,
    crest_over_4_in: String,
    #[serde(rename = "pitch_to_1.5_in")]
    pitch_to_1_5_in: String,
    pitch_to_4_in: String,
    pitch_to_8_in: String,
    pitch_to_12_in: String,
}

#[derive(Deserialize)]
struct WRow {
    tpi: String,
    #[serde(rename = "lead_to_0.5_in")]
    lead_to_half_in: String,
    #[serde(rename = "lead_over_0.5_in")]
    lead_over_half_in: String,
    half_angle_arcmin: f64,
    #[serde(rename = "pitch_to_0.5_in")]
    pitch_to_half_in: String,
    #[serde(rename = "pitch_to_1.5_in")]
    pitch_to_1_5_in: String,
    pitch_to_4_in: String,
    pitch_to_8_in: String,
    pitch_to_12_in: String,
}

static X: LazyLock<Vec<XRow>> = LazyLock::new(|| rows(B1_2_X));
static W: LazyLock<Vec<WRow>> = LazyLock::new(|| rows(B1_2_W));

/// The cell of the first column whose upper end, in thousandths of an inch, is not below the diameter.
fn by_diameter(diameter: Length, columns: &[(i32, &str)]) -> Option<Length> {
    columns
        .iter()
        .find(|(up_to, _)| diameter <= Length::from_ten_thousandths_inch(up_to * 10))
        .and_then(|(_, cell)| inch(cell))
}

/// The tolerances for a count per inch (as printed, `20`, `4.5`) and a nominal diameter.
pub(super) fn b1_2(class: GaugeClass, tpi: &str, diameter: Length) -> Option<B1_2> {
    let x = X.iter().find(|row| row.tpi == tpi)?;
    let crest = by_diameter(
        diameter,
        &[(4_000, &x.crest_to_4_in), (12_000, &x.crest_over_4_in)],
    )?;
    match class {
        GaugeClass::X => Some(B1_2 {
            pitch_diameter: by_diameter(
                diameter,
                &[
                    (1_500, &x.pitch_to_1_5_in),
                    (4_000, &x.pitch_to_4_in),
                    (8_000, &x.pitch_to_8_in),
                    (12_000, &x.pitch_to_12_in),
                ],
            )?,
            crest,
            lead: inch(&x.lead_in)?,
            half_angle: x.half_angle_arcmin,
        }),
        GaugeClass::W => {
            let w = W.iter().find(|row| row.tpi == tpi)?;
            Some(B1_2 {
                pitch_diameter: by_diameter(
                    diameter,
                    &[
                        (500, &w.pitch_to_half_in),
                        (1_500, &w.pitch_to_1_5_in),
                        (4_000, &w.pitch_to_4_in),
                        (8_000, &w.pitch_to_8_in),
                        (12_000, &w.pitch_to_12_in),
                    ],
                )?,
                crest,
                lead: by_diameter(
                    diameter,
                    &[(500, &w.lead_to_half_in), (12_000, &w.lead_over_half_in)],
                )?,
                half_angle: w.half_angle_arcmin,
            })
        }
    }
}

/// A row of ISO 1502 by the product's pitch-diameter tolerance. Symbols as there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(non_snake_case, reason = "symbols of the standard")]
pub(super) struct Iso1502 {
    pub T_R: Length,
    pub T_PL: Length,
    pub T_CP: Length,
    pub m: Length,
    pub Z_R: Length,
    pub Z_PL: Length,
    pub W_GO_ring: Length,
    pub W_GO_plug: Length,
    pub W_NG_ring: Length,
    pub W_NG_plug: Length,
}

#[derive(Deserialize)]
#[allow(clippy::struct_field_names, reason = "columns of the table")]
struct IsoRow {
    t_over_um: i32,
    t_upto_um: i32,
    t_r_um: String,
    t_pl_um: String,
    t_cp_um: String,
    m_um: String,
    z_r_um: String,
    z_pl_um: String,
    w_go_ring_um: String,
    w_go_plug_um: String,
    w_ng_ring_um: String,
    w_ng_plug_um: String,
}

static ISO: LazyLock<Vec<IsoRow>> = LazyLock::new(|| rows(ISO_1502));

/// The row for a product tolerance; `None` outside 24 to 670 micrometres.
pub(super) fn iso_1502(tolerance: Length) -> Option<Iso1502> {
    let row = ISO.iter().find(|row| {
        tolerance > Length::from_micrometres(row.t_over_um)
            && tolerance <= Length::from_micrometres(row.t_upto_um)
    })?;
    Some(Iso1502 {
        T_R: micrometre(&row.t_r_um)?,
        T_PL: micrometre(&row.t_pl_um)?,
        T_CP: micrometre(&row.t_cp_um)?,
        m: micrometre(&row.m_um)?,
        Z_R: micrometre(&row.z_r_um)?,
        Z_PL: micrometre(&row.z_pl_um)?,
        W_GO_ring: micrometre(&row.w_go_ring_um)?,
        W_GO_plug: micrometre(&row.w_go_plug_um)?,
        W_NG_ring: micrometre(&row.w_ng_ring_um)?,
        W_NG_plug: micrometre(&row.w_ng_plug_um)?,
    })
}

#[derive(Deserialize)]
struct HalfAngleRow {
    pitch_mm: String,
    half_angle_arcmin: f64,
}

static HALF_ANGLES: LazyLock<Vec<HalfAngleRow>> = LazyLock::new(|| rows(ISO_1502_HALF_ANGLE));

/// The permitted flank-angle error of complete flanks, minutes of arc either way; pitches from 1 mm only.
pub(super) fn iso_1502_half_angle(pitch: Length) -> Option<f64> {
    HALF_ANGLES
        .iter()
        .find(|row| length(&row.pitch_mm, LengthUnit::Millimetre) == Some(pitch))
        .map(|row| row.half_angle_arcmin)
}

#[derive(Deserialize)]
#[allow(clippy::struct_field_names, reason = "columns of the table")]
struct PlainRow {
    d_over_in: String,
    d_upto_in: String,
    xxx_in: String,
    xx_in: String,
    x_in: String,
    y_in: String,
    z_in: String,
    zz_in: String,
}

static PLAIN: LazyLock<Vec<PlainRow>> = LazyLock::new(|| rows(B89_1_5));

/// Tolerances of XXX, XX, X, Y, Z and ZZ for a diameter; `None` outside 0.010 to 12.010 in.
pub(super) fn plain(diameter: Length) -> Option<[Length; 6]> {
    let row = PLAIN.iter().find(|row| {
        inch(&row.d_over_in).is_some_and(|over| diameter > over)
            && inch(&row.d_upto_in).is_some_and(|up_to| diameter <= up_to)
    })?;
    Some([
        inch(&row.xxx_in)?,
        inch(&row.xx_in)?,
        inch(&row.x_in)?,
        inch(&row.y_in)?,
        inch(&row.z_in)?,
        inch(&row.zz_in)?,
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What the table must pass to be usable: a GO check plug enters the smallest new ring, and a worn ring lies
    /// beyond its NOT GO check plug; Z_R less W_GO hardly changes.
    #[test]
    fn iso_1502_is_consistent_within_itself() {
        assert_eq!(ISO.len(), 7);
        for row in ISO.iter() {
            let row = iso_1502(Length::from_micrometres(row.t_upto_um)).unwrap();
            let half = |length: Length| length.tenth_nanometres() / 2;
            let needed = half(row.T_R) + half(row.T_CP);
            let spare = row.m.tenth_nanometres() - needed;
            assert!((30_000..=50_000).contains(&spare), "{row:?}");
            assert!(row.W_GO_ring.tenth_nanometres() > needed, "{row:?}");
            let beyond = (row.W_GO_ring - row.Z_R).tenth_nanometres();
            assert!((130_000..=140_000).contains(&beyond), "{row:?}");
        }
        assert!(iso_1502(Length::from_micrometres(24)).is_none());
        assert!(iso_1502(Length::from_micrometres(671)).is_none());
    }

    #[test]
    fn every_row_is_read() {
        for (table, read) in [
            (B1_2_X, X.len()),
            (B1_2_W, W.len()),
            (ISO_1502, ISO.len()),
            (ISO_1502_HALF_ANGLE, HALF_ANGLES.len()),
            (B89_1_5, PLAIN.len()),
        ] {
            assert_eq!(table.lines().count(), read + 1);
        }
        // W is the finer class in every cell.
        for row in X.iter() {
            for diameter in [5_000, 15_000, 40_000, 80_000, 120_000] {
                let diameter = Length::from_ten_thousandths_inch(diameter);
                let both = (
                    b1_2(GaugeClass::W, &row.tpi, diameter),
                    b1_2(GaugeClass::X, &row.tpi, diameter),
                );
                if let (Some(w), Some(x)) = both {
                    assert!(w.pitch_diameter < x.pitch_diameter && w.lead <= x.lead);
                    assert!(w.half_angle <= x.half_angle);
                }
            }
        }
    }
}
