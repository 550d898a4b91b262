//! Two results for one pitch diameter that do not agree: which causes can give the difference, and what would tell.
//!
//! Every cause is an error that one of the results may carry: with an expected size (a correction that was perhaps left
//! out) and a spread (what is not known). The physics gives the sizes where it can; where only practice can, the line
//! is marked weak. If all were independent and normal, the difference D that is seen would be shared out as
//! m_i + s_i² (D − Σm)/Σs²: the causes are ranked by that share. It is a guess where to look first, not a correction.

use crate::contacts::{
    Freedom, MeasuredThread, MisfitError, Reach, angle_sensitivity_mm, lead_offset_mm,
};
use crate::elastic::{Elastic, ElasticError, OverWires, over_wires};
use crate::source::Confidence;
use crate::units::{Angle, Force};
use crate::wires::{
    Arrangement, Groove, SeatError, Side, best_wire_mm, reading_from_size, sensitivities,
};

/// How a pitch diameter was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Method {
    /// Over wires, or between balls.
    Wires {
        /// Diameter of the wires or balls.
        wire_mm: f64,
        /// Whether the lead angle was corrected for.
        lead_corrected: bool,
        /// Whether the measuring force was corrected for, or the wires were calibrated under it.
        force_corrected: bool,
        /// Measuring force.
        force: Force,
    },
    /// With cone and V.
    Contacts {
        /// Whether zero was set on a master thread plug of the same form and pitch.
        zero_on_master: bool,
        /// Whether the V turns freely.
        freedom: Freedom,
    },
}

/// One of the two results.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// How.
    pub method: Method,
    /// Pitch diameter found, millimetres.
    pub size_mm: f64,
    /// Spread of repeated readings of this result, one standard deviation, millimetres.
    pub repeatability_mm: f64,
}

/// What is known besides; what is not is taken from practice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facts {
    /// Error of the work's half angle, one standard deviation.
    pub work_half_angle: Angle,
    /// Error of a contact's half angle, one standard deviation.
    pub contact_half_angle: Angle,
    /// Pitch error between neighbouring grooves, one standard deviation, millimetres.
    pub pitch_mm: f64,
    /// Error of the wires' calibrated diameter, one standard deviation, millimetres.
    pub wire_mm: f64,
    /// Local wear of a contact's flank, square to it, that may be there, millimetres.
    pub wear_mm: f64,
    /// Error of the zero's standard and of the zero setting, one standard deviation, millimetres.
    pub zero_mm: f64,
    /// Taper and ovality between places that may have been taken, one standard deviation, millimetres.
    pub form_mm: f64,
    /// Difference of temperature between part and instrument that may have been, one standard deviation, kelvins.
    pub temperature_k: f64,
    /// Expansion of the part, per kelvin.
    pub expansion_per_kelvin: f64,
    /// The work.
    pub work: Elastic,
    /// Width of the faces on the wires, millimetres.
    pub face_width_mm: f64,
    /// Whether both results come from the same wires or pair, instrument and zero.
    pub same_equipment: bool,
}

impl Facts {
    /// What practice expects of an ordinary steel part in an ordinary shop; from memory and experience, weak.
    pub const ORDINARY: Self = Self {
        work_half_angle: Angle::from_radians(0.0043),
        contact_half_angle: Angle::from_radians(0.0015),
        pitch_mm: 0.003,
        wire_mm: 0.0003,
        wear_mm: 0.001,
        zero_mm: 0.001,
        form_mm: 0.002,
        temperature_k: 1.0,
        expansion_per_kelvin: 11.5e-6,
        work: STEEL,
        face_width_mm: 6.35,
        same_equipment: false,
    };
}

const STEEL: Elastic = Elastic {
    young_gpa: 205.0,
    poisson: 0.29,
};

/// Which of the two results carries a cause.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carrier {
    /// The first.
    First,
    /// The second.
    Second,
}

/// A cause of the difference; sizes are its part of (first − second), millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cause {
    /// In the words of a report line.
    pub name: &'static str,
    /// The result that carries it.
    pub carrier: Carrier,
    /// What it gives on average.
    pub expected_mm: f64,
    /// One standard deviation about that.
    pub spread_mm: f64,
    /// Its likely part of the difference that was seen.
    pub likely_mm: f64,
    /// The one check that would tell.
    pub check: &'static str,
    /// Computed, or from practice.
    pub confidence: Confidence,
}

/// The causes, the likeliest first.
#[derive(Clone, Debug, PartialEq)]
pub struct Reconciliation {
    /// First minus second, millimetres.
    pub difference_mm: f64,
    /// What all causes together give on average, millimetres.
    pub expected_mm: f64,
    /// How far the difference is from that, in standard deviations of all causes together. Above 3 none of these is
    /// it: look for a mistake.
    pub surprise: f64,
    /// A whole number of thimble turns that is as large as the difference, if there is one.
    pub thimble_turns: Option<&'static str>,
    /// The causes.
    pub causes: Vec<Cause>,
}

/// Why no causes are given.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum ReconcileError {
    /// A number is out of range, or not a number.
    #[error("{what} is {value}; permitted: {permitted}")]
    Input {
        /// Which number.
        what: &'static str,
        /// As given.
        value: f64,
        /// The permitted range, in words.
        permitted: &'static str,
    },
    /// The wires do not seat in this thread.
    #[error(transparent)]
    Seat(#[from] SeatError),
    /// The contacts do not measure this thread.
    #[error(transparent)]
    Misfit(#[from] MisfitError),
    /// The deformation could not be computed.
    #[error(transparent)]
    Elastic(#[from] ElasticError),
}

/// The error that one result may carry by one cause.
struct Error {
    name: &'static str,
    expected: f64,
    spread: f64,
    check: &'static str,
    confidence: Confidence,
    /// Whether it is the same in both results when the equipment is.
    of_equipment: bool,
}

/// The ranked causes of the difference between two results for the same thread.
pub fn reconcile(
    thread: &MeasuredThread,
    first: &Measured,
    second: &Measured,
    facts: &Facts,
) -> Result<Reconciliation, ReconcileError> {
    facts.checked()?;
    let difference_mm = first.size_mm - second.size_mm;
    let mut causes = Vec::new();
    for (measured, carrier, sign) in [
        (first, Carrier::First, 1.0),
        (second, Carrier::Second, -1.0),
    ] {
        measured.checked()?;
        for error in errors(thread, measured, facts)? {
            if facts.same_equipment && error.of_equipment {
                continue;
            }
            causes.push(Cause {
                name: error.name,
                carrier,
                expected_mm: sign * error.expected,
                spread_mm: error.spread,
                likely_mm: 0.0,
                check: error.check,
                confidence: error.confidence,
            });
        }
    }
    let expected_mm: f64 = causes.iter().map(|cause| cause.expected_mm).sum();
    let variance: f64 = causes
        .iter()
        .map(|cause| cause.spread_mm * cause.spread_mm)
        .sum();
    let left_over = difference_mm - expected_mm;
    for cause in &mut causes {
        let part = if variance > 0.0 {
            cause.spread_mm * cause.spread_mm / variance
        } else {
            0.0
        };
        cause.likely_mm = cause.expected_mm + part * left_over;
    }
    // In the direction of the difference, the largest first.
    let direction = if difference_mm < 0.0 { -1.0 } else { 1.0 };
    causes.sort_by(|a, b| (direction * b.likely_mm).total_cmp(&(direction * a.likely_mm)));
    Ok(Reconciliation {
        difference_mm,
        expected_mm,
        surprise: if variance > 0.0 {
            left_over.abs() / variance.sqrt()
        } else {
            0.0
        },
        thimble_turns: thimble_turns(difference_mm, 3.0 * variance.sqrt()),
        causes,
    })
}

/// Half a millimetre or a fortieth of an inch and their small multiples are turns of a thimble.
fn thimble_turns(difference_mm: f64, margin_mm: f64) -> Option<&'static str> {
    let turns = [
        (0.5, "one turn of a metric thimble (0.5 mm)"),
        (0.635, "one turn of an inch thimble (0.025 in)"),
        (1.0, "two turns of a metric thimble (1 mm)"),
        (1.27, "two turns of an inch thimble (0.050 in)"),
        (2.54, "a numeral of an inch sleeve (0.1 in)"),
    ];
    turns
        .into_iter()
        .map(|(turn, name)| ((difference_mm.abs() - turn).abs(), name))
        .filter(|(off, _)| *off <= margin_mm.min(0.05))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, name)| name)
}

fn errors(
    thread: &MeasuredThread,
    measured: &Measured,
    facts: &Facts,
) -> Result<Vec<Error>, ReconcileError> {
    let mut errors = match measured.method {
        Method::Wires {
            wire_mm,
            lead_corrected,
            force_corrected,
            force,
        } => wire_errors(
            thread,
            facts,
            wire_mm,
            (lead_corrected, force_corrected),
            force,
        )?,
        Method::Contacts {
            zero_on_master,
            freedom,
        } => contact_errors(thread, facts, zero_on_master, freedom)?,
    };
    let drift = thread.pitch_diameter_mm * facts.expansion_per_kelvin * facts.temperature_k;
    errors.extend([
        Error {
            name: "zero of the instrument",
            expected: 0.0,
            spread: facts.zero_mm,
            check: "set zero again on the setting standard, after cleaning, and read it three times",
            confidence: Confidence::Weak,
            of_equipment: true,
        },
        Error {
            name: "place on the part: taper and ovality",
            expected: 0.0,
            spread: facts.form_mm,
            check: "read both at one marked place, then at 0, 60 and 120 degrees",
            confidence: Confidence::Weak,
            of_equipment: false,
        },
        Error {
            name: "temperature of the part",
            expected: 0.0,
            spread: drift,
            check: "lay part, standard and instrument together and measure the part's temperature",
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
        Error {
            name: "repeatability of the readings",
            expected: 0.0,
            spread: measured.repeatability_mm,
            check: "five readings at one place by each person",
            confidence: Confidence::Solid,
            of_equipment: false,
        },
    ]);
    Ok(errors)
}

fn wire_errors(
    thread: &MeasuredThread,
    facts: &Facts,
    wire_mm: f64,
    (lead_corrected, force_corrected): (bool, bool),
    force: Force,
) -> Result<Vec<Error>, ReconcileError> {
    let lead = thread.pitch_mm * f64::from(thread.starts);
    let included = Angle::from_radians(2.0 * thread.half_angle.radians());
    let groove = Groove::symmetric(thread.side, included, thread.pitch_mm, lead);
    let c = sensitivities(&groove, wire_mm)?;
    let seat = reading_from_size(
        &groove,
        Arrangement::usual(thread.side),
        thread.pitch_diameter_mm,
        wire_mm,
    )?;
    let loss = over_wires(&OverWires {
        half_angle: thread.half_angle,
        pitch_diameter_mm: thread.pitch_diameter_mm,
        wire_mm,
        force,
        face_width_mm: facts.face_width_mm,
        thread: facts.work,
        wires: STEEL,
        faces: STEEL,
    })?
    .total_mm();
    // Under force an outside size reads too small, an inside one too large.
    let force_error = match thread.side {
        Side::External => -loss,
        Side::Internal => loss,
    };
    let best = best_wire_mm(&groove)?;
    let angle = c.half_angle_mm.abs() * facts.work_half_angle.radians();
    Ok(vec![
        Error {
            name: "calibrated diameter of the wires",
            expected: 0.0,
            spread: c.wires_common.abs() * facts.wire_mm,
            check: "measure the wires, or repeat with another calibrated set",
            confidence: Confidence::FormulaBacked,
            of_equipment: true,
        },
        Error {
            name: "pitch, which the wire formula takes as nominal",
            expected: 0.0,
            spread: c.pitch.abs() * facts.pitch_mm,
            check: "measure the pitch where the wires lay",
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
        Error {
            name: if (wire_mm - best).abs() < 0.02 * best {
                "flank angle under wires of nearly best size"
            } else {
                "flank angle under wires that are not of best size"
            },
            expected: 0.0,
            spread: angle,
            check: "repeat with wires of best size",
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
        Error {
            name: "lead angle left out of the wire formula",
            expected: if lead_corrected {
                0.0
            } else {
                seat.lead_correction_mm
            },
            spread: 0.0,
            check: "compute the size again with the exact contact",
            confidence: Confidence::Solid,
            of_equipment: false,
        },
        Error {
            name: "measuring force on the wires",
            expected: if force_corrected { 0.0 } else { force_error },
            spread: loss * if force_corrected { 0.15 } else { 0.2 },
            check: "repeat with half the force; look up how the wires were calibrated",
            confidence: Confidence::FormulaBacked,
            of_equipment: true,
        },
    ])
}

fn contact_errors(
    thread: &MeasuredThread,
    facts: &Facts,
    zero_on_master: bool,
    freedom: Freedom,
) -> Result<Vec<Error>, ReconcileError> {
    let outside = match thread.side {
        Side::External => 1.0,
        Side::Internal => -1.0,
    };
    let reach = Reach {
        inner_mm: thread.to_root_mm,
        outer_mm: thread.to_crest_mm,
    };
    let (cone, vee) = lead_offset_mm(thread, reach, reach, freedom)?;
    let per_radian = 2.0 * angle_sensitivity_mm(thread.half_angle, reach);
    // |δ| of a normal δ: mean 0.798 σ, standard deviation 0.603 σ.
    let folded = |sigma: f64| (0.798 * sigma, 0.603 * sigma);
    let (work, work_spread) = folded(per_radian * facts.work_half_angle.radians());
    let pair = per_radian * facts.contact_half_angle.radians();
    let worn = 2.0 * facts.wear_mm / libm::sin(thread.half_angle.radians());
    let not_mastered = |value: f64| if zero_on_master { 0.0 } else { value };
    Ok(vec![
        Error {
            name: "flank angle of the part under cone and V",
            expected: outside * work,
            spread: work_spread,
            check: "measure the flank angle optically, or try a pair with shorter flanks: it reads nearer to the wires",
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
        Error {
            name: "flank angle of the contacts, hidden when zero is set by closing them",
            expected: 0.0,
            spread: not_mastered(pair),
            check: "read a master thread plug of the same pitch",
            confidence: Confidence::FormulaBacked,
            of_equipment: true,
        },
        Error {
            name: "contacts worn where threads touch them",
            // Anything from none to the wear named is as likely.
            expected: -outside * not_mastered(worn / 2.0),
            spread: not_mastered(worn / 12.0_f64.sqrt()),
            check: "read a master thread plug and compare with earlier readings of it",
            confidence: Confidence::Weak,
            of_equipment: true,
        },
        Error {
            name: match freedom {
                Freedom::Free => "lead angle under cone and V",
                Freedom::Locked { .. } => "V that does not turn to the lead angle",
            },
            expected: outside * not_mastered(cone + vee),
            spread: 0.0,
            check: "see that the V turns by hand; read a master thread plug of the same lead",
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
        Error {
            name: "local width of groove and ridge (neighbouring pitch error)",
            expected: 0.0,
            spread: facts.pitch_mm / (2.0 * libm::tan(thread.half_angle.radians())),
            check: "move on by one pitch and turn by half a turn",
            confidence: Confidence::FormulaBacked,
            of_equipment: false,
        },
    ])
}

impl Measured {
    fn checked(&self) -> Result<(), ReconcileError> {
        check(
            "pitch diameter found (mm)",
            self.size_mm,
            1e-6,
            1e6,
            "0.000001 to 1000000 mm",
        )?;
        check(
            "repeatability (mm)",
            self.repeatability_mm,
            0.0,
            1.0,
            "0 to 1 mm",
        )
    }
}

impl Facts {
    fn checked(&self) -> Result<(), ReconcileError> {
        for (what, value) in [
            ("spread of the pitch (mm)", self.pitch_mm),
            ("spread of the wire diameter (mm)", self.wire_mm),
            ("wear of the contacts (mm)", self.wear_mm),
            ("spread of the zero (mm)", self.zero_mm),
            ("spread of the form (mm)", self.form_mm),
        ] {
            check(what, value, 0.0, 1.0, "0 to 1 mm")?;
        }
        for angle in [self.work_half_angle, self.contact_half_angle] {
            check(
                "spread of a half angle (degrees)",
                angle.degrees(),
                0.0,
                5.0,
                "0 to 5 degrees",
            )?;
        }
        check(
            "spread of the temperature (K)",
            self.temperature_k,
            0.0,
            100.0,
            "0 to 100 K",
        )?;
        check(
            "expansion (1/K)",
            self.expansion_per_kelvin,
            0.0,
            1e-3,
            "0 to 0.001 per kelvin",
        )
    }
}

fn check(
    what: &'static str,
    value: f64,
    least: f64,
    most: f64,
    permitted: &'static str,
) -> Result<(), ReconcileError> {
    if (least..=most).contains(&value) {
        Ok(())
    } else {
        Err(ReconcileError::Input {
            what,
            value,
            permitted,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn m10() -> MeasuredThread {
        MeasuredThread {
            side: Side::External,
            half_angle: Angle::from_degrees(30.0),
            pitch_mm: 1.5,
            starts: 1,
            pitch_diameter_mm: 9.026,
            to_crest_mm: 0.487,
            to_root_mm: 0.325,
        }
    }

    fn wires(size_mm: f64, corrected: bool) -> Measured {
        Measured {
            method: Method::Wires {
                wire_mm: 0.866,
                lead_corrected: corrected,
                force_corrected: corrected,
                force: Force::from_newtons(11.12),
            },
            size_mm,
            repeatability_mm: 0.0005,
        }
    }

    fn contacts(size_mm: f64, zero_on_master: bool, freedom: Freedom) -> Measured {
        Measured {
            method: Method::Contacts {
                zero_on_master,
                freedom,
            },
            size_mm,
            repeatability_mm: 0.001,
        }
    }

    fn run(first: &Measured, second: &Measured) -> Reconciliation {
        reconcile(&m10(), first, second, &Facts::ORDINARY).unwrap()
    }

    #[test]
    fn the_shares_add_up_to_the_difference() {
        let got = run(&wires(9.020, true), &contacts(9.028, false, Freedom::Free));
        let sum: f64 = got.causes.iter().map(|cause| cause.likely_mm).sum();
        assert!((sum - got.difference_mm).abs() < 1e-12);
        assert!((got.difference_mm + 0.008).abs() < 1e-12);
    }

    /// Contacts 8 µm above good wires: the flank angle, read by a band and not at the pitch line.
    #[test]
    fn contacts_above_wires_point_to_the_flank_angle() {
        let got = run(&wires(9.020, true), &contacts(9.028, false, Freedom::Free));
        assert_eq!(
            got.causes[0].name,
            "flank angle of the part under cone and V"
        );
        assert_eq!(got.causes[0].carrier, Carrier::Second);
        assert!(got.surprise < 2.0);
    }

    /// A locked V gives 20 µm on M10: nothing else comes near.
    #[test]
    fn a_locked_vee_stands_out() {
        let locked = Freedom::Locked {
            half_length_mm: 2.0,
        };
        let got = run(&wires(9.000, true), &contacts(9.025, false, locked));
        assert_eq!(got.causes[0].name, "V that does not turn to the lead angle");
        assert!((got.causes[0].likely_mm + 0.0216).abs() < 1e-3);
    }

    /// Wires under 2.5 lbf without correction read 4.2 µm low.
    #[test]
    fn uncorrected_force_is_found() {
        let got = run(
            &wires(9.0196, false),
            &contacts(9.0218, true, Freedom::Free),
        );
        let force = got
            .causes
            .iter()
            .find(|cause| cause.name == "measuring force on the wires")
            .unwrap();
        assert!((force.expected_mm + 0.00423).abs() < 1e-5);
        let lead = got
            .causes
            .iter()
            .find(|cause| cause.name == "lead angle left out of the wire formula")
            .unwrap();
        assert!((lead.expected_mm - 0.00173).abs() < 1e-5);
    }

    #[test]
    fn two_people_with_the_same_equipment_share_its_errors() {
        let facts = Facts {
            same_equipment: true,
            ..Facts::ORDINARY
        };
        let (a, b) = (wires(9.020, true), wires(9.024, true));
        let got = reconcile(&m10(), &a, &b, &facts).unwrap();
        assert!(
            got.causes
                .iter()
                .all(|cause| cause.name != "zero of the instrument")
        );
        assert!(
            got.causes
                .iter()
                .all(|cause| cause.name != "calibrated diameter of the wires")
        );
        assert!(
            got.causes
                .iter()
                .any(|cause| cause.name.starts_with("place on the part"))
        );
    }

    #[test]
    fn a_thimble_turn_is_named() {
        let got = run(&wires(9.52, true), &contacts(9.023, true, Freedom::Free));
        assert_eq!(
            got.thimble_turns,
            Some("one turn of a metric thimble (0.5 mm)")
        );
        assert!(got.surprise > 10.0);
        let small = run(&wires(9.02, true), &contacts(9.023, true, Freedom::Free));
        assert_eq!(small.thimble_turns, None);
    }

    #[test]
    fn nonsense_is_refused() {
        let good = contacts(9.0, true, Freedom::Free);
        assert!(reconcile(&m10(), &wires(f64::NAN, true), &good, &Facts::ORDINARY).is_err());
        let bad = Facts {
            form_mm: -1.0,
            ..Facts::ORDINARY
        };
        assert!(reconcile(&m10(), &good, &good, &bad).is_err());
        let mut broken = m10();
        broken.pitch_mm = 0.0;
        assert!(reconcile(&broken, &good, &good, &Facts::ORDINARY).is_err());
    }
}
