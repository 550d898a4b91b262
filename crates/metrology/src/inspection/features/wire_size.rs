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
            diameter: f64 as Size,
        },
        /// Not a stranding of this size.
        NotOfSize "not-of-size" { awg: String as Text, solid: f64 as SquareMillimetre, stranding: String as Text, area: f64 as SquareMillimetre },
        /// A stranding of which the size is not known, where the size is asked for.
        SizeUnknown "size-unknown" { stranding: String as Text },
    }
}

/// The gauge of that name: `18`, `AWG 18`, `2/0`, `00`.
pub fn awg(text: &str) -> Result<&'static Gauge, WireError> {
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
        .ok_or_else(|| no_such(text))
}

fn no_such(text: &str) -> WireError {
    WireError::NoSuchGauge {
        text: text.chars().take(40).collect(),
    }
}

/// Areas of a stranded wire over that of the solid wire of its size; the common strandings span 0.91 to 1.18 (common
/// practice, no source).
const OF_ITS_SIZE: std::ops::RangeInclusive<f64> = 0.85..=1.25;
/// The thinnest strand, by its gauge (ASTM B258 goes on to 56; common practice).
const THINNEST_STRAND: u32 = 50;

/// How a conductor is made up.
#[derive(Clone, Debug, PartialEq)]
pub enum Strands {
    /// Nobody said.
    Unknown,
    Solid,
    /// So many of this gauge.
    Of {
        /// How many.
        strands: u32,
        /// Gauge of one.
        gauge: u32,
        /// Diameter of one by the rule of ASTM B258, millimetres.
        diameter: f64,
    },
}

/// A conductor stated by gauge.
#[derive(Clone, Debug, PartialEq)]
pub struct Conductor {
    /// Its size; `None` of a stranding that is not among the common ones.
    pub gauge: Option<&'static Gauge>,
    /// How it is made up.
    pub strands: Strands,
    /// Area of its metal, square millimetres: of the solid wire where nobody said.
    pub area_mm2: f64,
}

impl Conductor {
    /// Its size, by which pull forces are tabled.
    pub fn size(&self) -> Result<&'static Gauge, WireError> {
        let stranding = match self.strands {
            Strands::Of { strands, gauge, .. } => format!("{strands}/{gauge}"),
            Strands::Solid | Strands::Unknown => String::new(),
        };
        self.gauge.ok_or(WireError::SizeUnknown { stranding })
    }

    /// Least and greatest area that it may have, square millimetres: that of its strands, or where nobody said how it is
    /// made up, of the solid wire and all common strandings.
    pub fn areas(&self) -> (f64, f64) {
        let Some(gauge) = self.gauge.filter(|_| self.strands == Strands::Unknown) else {
            return (self.area_mm2, self.area_mm2);
        };
        let spread = |of: &Gauge| {
            of.strandings()
                .map(|(_, area)| area / of.area_mm2)
                .fold((1.0, 1.0), |(least, most): (f64, f64), ratio| {
                    (least.min(ratio), most.max(ratio))
                })
        };
        // Of sizes without common strandings what others have.
        let (least, most) = if gauge.common_strandings.is_empty() {
            all()
                .iter()
                .map(spread)
                .fold((1.0, 1.0), |one: (f64, f64), other| {
                    (one.0.min(other.0), one.1.max(other.1))
                })
        } else {
            spread(gauge)
        };
        (least * self.area_mm2, most * self.area_mm2)
    }
}

impl Gauge {
    /// Its common strandings as written, each with its area in square millimetres.
    fn strandings(&self) -> impl Iterator<Item = (&str, f64)> {
        self.common_strandings
            .split(';')
            .filter_map(|one| one.split_once('='))
            .filter_map(|(name, area)| Some((name, area.parse().ok()?)))
    }
}

/// The conductor of that name: a gauge (`22`), a gauge and how it is made up (`22 19/34`, `22 solid`), or the stranding
/// alone (`19/34`: strands over the gauge of a strand).
pub fn conductor(text: &str) -> Result<Conductor, WireError> {
    let upper = text.to_ascii_uppercase().replace("AWG", " ");
    let words: Vec<&str> = upper
        .split(|c: char| c.is_whitespace() || matches!(c, ',' | '(' | ')'))
        .filter(|word| !word.is_empty())
        .collect();
    let of = |gauge: &'static Gauge, strands| Conductor {
        gauge: Some(gauge),
        strands,
        area_mm2: gauge.area_mm2,
    };
    match words.as_slice() {
        [size, "SOLID"] => Ok(of(awg(size)?, Strands::Solid)),
        [size, made_up] => {
            let gauge = awg(size)?;
            let stranded = stranding(made_up).ok_or_else(|| no_such(text))??;
            let ratio = stranded.area_mm2 / gauge.area_mm2;
            if !OF_ITS_SIZE.contains(&ratio) {
                return Err(WireError::NotOfSize {
                    awg: gauge.awg.clone(),
                    solid: gauge.area_mm2,
                    stranding: (*made_up).to_owned(),
                    area: stranded.area_mm2,
                });
            }
            Ok(Conductor {
                gauge: Some(gauge),
                ..stranded
            })
        }
        [one] => match stranding(one) {
            Some(stranded) => stranded,
            None => Ok(of(awg(one)?, Strands::Unknown)),
        },
        _ => Err(no_such(text)),
    }
}

/// A stranding, `19/34`, with the size it is a common stranding of; `None` of any other word.
fn stranding(word: &str) -> Option<Result<Conductor, WireError>> {
    let (strands, gauge) = word.split_once('/')?;
    let (strands, gauge): (u32, u32) = (strands.parse().ok()?, gauge.parse().ok()?);
    // 2/0 is a size.
    if gauge == 0 {
        return None;
    }
    let number = i32::try_from(gauge)
        .ok()
        .filter(|_| gauge <= THINNEST_STRAND);
    let diameter = number.map_or(f64::NAN, |number| diameter_in(number) * 25.4);
    Some(stranded_area(strands, diameter).map(|area_mm2| {
        Conductor {
            gauge: all()
                .iter()
                .find(|size| size.strandings().any(|(name, _)| name == word)),
            strands: Strands::Of {
                strands,
                gauge,
                diameter,
            },
            area_mm2,
        }
    }))
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

    /// 22 AWG of 19 strands of 34: 19 π/4 (25.4 · 0.005 · 92^(2/39))² = 0.382706 mm², 17.6 % above the solid wire.
    #[test]
    fn a_stranding_is_no_solid_wire() {
        let alone = conductor("19/34").unwrap();
        assert!(
            (alone.area_mm2 - 0.382_706).abs() < 1e-6,
            "{}",
            alone.area_mm2
        );
        assert_eq!(alone.gauge.unwrap().awg, "22");
        for written in ["22 19/34", "AWG 22 (19/34)", "22awg, 19/34"] {
            assert_eq!(conductor(written).unwrap(), alone, "{written}");
        }
        assert_eq!(alone.areas(), (alone.area_mm2, alone.area_mm2));
        let unknown = conductor("22").unwrap();
        let (least, most) = unknown.areas();
        assert!((least - 0.325_53).abs() < 1e-9 && (most - 0.3827).abs() < 1e-9);
        assert_eq!(conductor("22 solid").unwrap().areas(), (0.32553, 0.32553));
        // 2/0 is a size, and 26/36 a stranding of no size that is known here.
        assert_eq!(conductor("2/0").unwrap().gauge.unwrap().number, -1);
        assert_eq!(conductor("26/36").unwrap().gauge, None);
        let (least, most) = conductor("21").unwrap().areas();
        assert!(least < 0.91 * 0.410_49 && most > 1.17 * 0.410_49);
        for wrong in [
            "18 19/34", "0/34", "19/51", "19/", "22 19", "1 2 3", "", "19/34/2",
        ] {
            assert!(conductor(wrong).is_err(), "{wrong}");
        }
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
