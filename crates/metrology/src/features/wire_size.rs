//! Sizes of conductors: American wire gauge and square millimetres.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::tables;

/// One size of American wire gauge (data/awg.csv).
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Gauge {
    /// As written: `18`, `2/0`.
    pub awg: String,
    /// As a number: 1/0 is 0, 2/0 is −1.
    pub number: i32,
    /// Diameter of the solid wire, inches, to the decimals that the standard states.
    pub diameter_in: f64,
    /// Diameter of the solid wire, millimetres.
    pub diameter_mm: f64,
    /// Area of the solid wire, square millimetres.
    pub area_mm2: f64,
    /// Its area in circular mils.
    pub circular_mils: f64,
    /// Common strandings, `strands/gauge of a strand=area in mm²`, separated by semicolons.
    pub common_strandings: String,
}

static TABLE: LazyLock<Vec<Gauge>> = LazyLock::new(|| tables::rows(tables::AWG));

crate::messages! {
    /// Why a size of conductor is none.
    pub enum WireError "wire-size" {
        /// No such gauge.
        NoSuchGauge "no-such-gauge" { text: String as Text },
        /// No area.
        NoArea "no-area" { text: String as Text },
        /// No stranding.
        NoStranding "no-stranding" {
            /// How many.
            strands: u32 as whole,
            /// Diameter of one.
            diameter: f64 as InMillimetres,
        },
    }
}

/// The gauge of that name: `18`, `AWG 18`, `2/0`, `00`.
pub fn awg(text: &str) -> Result<&'static Gauge, WireError> {
    let refused = || WireError::NoSuchGauge {
        text: text.chars().take(40).collect(),
    };
    let bare = text.trim().to_ascii_uppercase();
    let bare = bare
        .trim_start_matches("AWG")
        .trim_end_matches("AWG")
        .trim();
    // 0, 00, 000 and 0000 are 1/0 to 4/0.
    let name = if !bare.is_empty() && bare.bytes().all(|byte| byte == b'0') {
        format!("{}/0", bare.len())
    } else {
        bare.to_owned()
    };
    TABLE
        .iter()
        .find(|gauge| gauge.awg == name)
        .ok_or_else(refused)
}

/// Every gauge, thickest first.
pub fn all() -> &'static [Gauge] {
    &TABLE
}

/// Diameter by the rule of ASTM B258, inches: `d = 0.005 · 92^((36 − n)/39)`, with n = 0 for 1/0, −1 for 2/0.
pub fn diameter_in(number: i32) -> f64 {
    0.005 * libm::pow(92.0, f64::from(36 - number) / 39.0)
}

/// Metal area of a stranded conductor, `N π d²/4`, seen square to each strand (lay adds 1 to 2 % of length, not area).
pub fn stranded_area(strands: u32, strand_diameter: f64) -> Result<f64, WireError> {
    if strands == 0 || !(strand_diameter > 0.0 && strand_diameter <= 20.0) {
        return Err(WireError::NoStranding {
            strands,
            diameter: strand_diameter,
        });
    }
    Ok(f64::from(strands) * std::f64::consts::FRAC_PI_4 * strand_diameter * strand_diameter)
}

/// An area as written: `0.75`, `0,75 mm2`, `0.75mm²`.
pub fn area(text: &str) -> Result<f64, WireError> {
    let bare = text
        .trim()
        .trim_end_matches("mm2")
        .trim_end_matches("mm²")
        .trim();
    bare.replace(',', ".")
        .parse::<f64>()
        .ok()
        .filter(|area| (0.005..=1000.0).contains(area))
        .ok_or_else(|| WireError::NoArea {
            text: text.chars().take(40).collect(),
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every row against the rule of ASTM B258, and areas against diameters.
    #[test]
    fn the_table_is_the_rule() {
        assert_eq!(all().len(), 44);
        for gauge in all() {
            let rule = diameter_in(gauge.number);
            assert!(
                (gauge.diameter_in - rule).abs() <= 0.5001e-5,
                "{}: {rule}",
                gauge.awg
            );
            assert!(
                (gauge.diameter_mm - rule * 25.4).abs() <= 0.6e-4,
                "{}",
                gauge.awg
            );
            let area = std::f64::consts::FRAC_PI_4 * (rule * 25.4) * (rule * 25.4);
            assert!((gauge.area_mm2 - area).abs() < 0.51e-5, "{}", gauge.awg);
            let mils = (rule * 1000.0) * (rule * 1000.0);
            assert!((gauge.circular_mils - mils).abs() < 0.051, "{}", gauge.awg);
        }
    }

    #[test]
    fn names_people_write() {
        assert_eq!(awg("18").unwrap().number, 18);
        assert_eq!(awg("AWG 2/0").unwrap().number, -1);
        assert_eq!(awg("00").unwrap().number, -1);
        assert_eq!(awg("20 awg").unwrap().number, 20);
        for wrong in ["17.5", "41", "5/0", "", "-1", "AWG"] {
            assert!(awg(wrong).is_err(), "{wrong}");
        }
        assert!((area("0,75 mm2").unwrap() - 0.75).abs() < 1e-12);
        assert!(area("0").is_err() && area("NaN").is_err());
    }

    /// 19 strands of AWG 36 (0.127 mm): 0.2407 mm²; 7 of 34 (0.1601 mm): 0.1410 mm².
    #[test]
    fn strands_add_up() {
        assert!((stranded_area(19, 0.127).unwrap() - 0.2407).abs() < 5e-5);
        assert!((stranded_area(7, 0.1601).unwrap() - 0.1410).abs() < 1e-4);
        assert!(stranded_area(0, 0.1).is_err());
        assert!(stranded_area(7, f64::NAN).is_err());
    }
}
