//! Three virtual wires on a virtual thread: the exact contact, each wire as it truly is, under a force.

use crate::SimulationError;
use crate::set_up::{SetUp, Wires};
use crate::thread::symmetric;
use metrology::elastic::{
    Elastic, OverWires, calibration_compression_mm, measuring_force, over_wires,
};
use metrology::limits::ThreadLimits;
use metrology::material;
use metrology::uncertainty::monte_carlo::random::Generator;
use metrology::units::{Angle, Force, LengthUnit};
use metrology::wires::{Groove, Side, reading_over_unequal_wires};

const UM: f64 = 1e-3;
/// Faces of the micrometer on the wires, millimetres.
const FACE_WIDTH: f64 = 6.35;
/// How far a force may truly be from the one stated, as a fraction; what tables of measuring forces permit.
const FORCE_WITHIN: f64 = 0.1;
/// How far real contacts deform more or less than the formulas say, as a fraction.
const ELASTIC_WITHIN: f64 = 0.3;

/// The wires and the thread under them, as they truly are. Lengths in millimetres at 20 °C.
pub struct VirtualWires {
    groove: Groove,
    /// Free diameters: the wire that lies alone, and the pair.
    single: f64,
    pair: [f64; 2],
    /// What the force takes off the reading.
    loss: f64,
    /// What the certificate says.
    pub certified: f64,
}

impl VirtualWires {
    /// Draws three wires on a thread whose half angles are off by `flank_error`.
    ///
    /// The certificate gives one diameter for the set. Each wire is off from it within the stated uncertainty, three
    /// quarters of the variance in common (the calibration), a quarter its own.
    pub fn draw(
        set_up: &SetUp,
        wires: Wires,
        thread: &ThreadLimits,
        pitch_diameter: f64,
        flank_error: Angle,
        random: &mut Generator,
    ) -> Result<Self, SimulationError> {
        let half_angle = Angle::from_radians(thread.included_angle.radians() / 2.0);
        let pitch = thread.pitch.mm();
        let included = thread.included_angle.radians() + 2.0 * flank_error.radians();
        let certified = ((wires.nominal + UM * symmetric(random)) * 1e5).round() / 1e5;
        let elastic = |name: &str| -> Result<Elastic, SimulationError> {
            material::named(name)
                .and_then(|material| material.elastic)
                .ok_or_else(|| SimulationError::of(format!("no elastic constants of `{name}`")))
        };
        let (steel, carbide) = (elastic("steel")?, elastic("carbide")?);
        let mut about =
            |newtons: f64| Force::from_newtons(newtons * (1.0 + FORCE_WITHIN * symmetric(random)));
        let contact = OverWires {
            half_angle,
            pitch_diameter_mm: pitch_diameter,
            wire_mm: certified,
            force: about(wires.force),
            face_width_mm: FACE_WIDTH,
            thread: elastic(set_up.material)?,
            wires: steel,
            faces: carbide,
        };
        let calibrated = measuring_force(pitch).filter(|_| wires.calibrated_under_force);
        let taken_off = match calibrated {
            Some(advice) => calibration_compression_mm(
                certified,
                about(advice.force.newtons()),
                advice.cylinder_mm,
                FACE_WIDTH,
                steel,
                carbide,
            )
            .map_err(SimulationError::of)?,
            None => 0.0,
        };
        let loss = over_wires(&contact)
            .map_err(SimulationError::of)?
            .total_mm();
        // One formula, one surface: what it is wrong by at the thread it is wrong by at the calibration.
        let truly = 1.0 + ELASTIC_WITHIN * symmetric(random);
        let u = wires.expanded / 2.0 * UM;
        let common = 0.75_f64.sqrt() * u * random.normal();
        let mut wire = || certified + truly * taken_off + common + 0.5 * u * random.normal();
        Ok(Self {
            groove: Groove::symmetric(
                Side::External,
                Angle::from_radians(included),
                pitch,
                thread.lead_in(LengthUnit::Millimetre),
            ),
            single: wire(),
            pair: [wire(), wire()],
            loss: truly * loss,
            certified,
        })
    }

    /// What lies between the faces on a thread of this pitch diameter at 20 °C, when thread and wires have grown by
    /// these factors.
    pub fn over(
        &self,
        pitch_diameter: f64,
        thread_grown: f64,
        wires_grown: f64,
    ) -> Result<f64, SimulationError> {
        let groove = Groove {
            pitch_mm: self.groove.pitch_mm * thread_grown,
            lead_mm: self.groove.lead_mm * thread_grown,
            ..self.groove
        };
        reading_over_unequal_wires(
            &groove,
            pitch_diameter * thread_grown,
            self.single * wires_grown,
            self.pair.map(|wire| wire * wires_grown),
        )
        .map(|over| over - self.loss)
        .map_err(SimulationError::of)
    }
}
