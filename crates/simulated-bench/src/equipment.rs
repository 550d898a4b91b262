//! The virtual micrometer, contacts and setting standard, with what they truly are and what is known of them.

use std::f64::consts::TAU;

use crate::SimulationError;
use crate::set_up::{SetUp, ThreadStandard};
use crate::thread::symmetric;
use metrology::contacts::{
    Cone, ContactPair, Engagement, Freedom, MeasuredThread, MisfitError, Reach, Vee, engagement,
    flank_angle_offset_mm, lead_offset_mm,
};
use metrology::elastic::{Elastic, EngagedFlank, cone_in_groove, v_over_ridge};
use metrology::uncertainty::monte_carlo::random::Generator;
use metrology::units::{Angle, Force};
use metrology::wires::Side;

/// Measuring force of the virtual micrometer, newtons.
const FORCE: f64 = 7.5;

/// A micrometer with its true errors, millimetres.
pub struct VirtualMicrometer {
    /// Shift of the whole scale, which the zero takes out.
    offset: f64,
    /// Error at the far end of the scale from the lead of the screw.
    lead: f64,
    /// Size of a slow wave of the error, and its phase.
    wave: (f64, f64),
    /// Half the periodic error of the screw, and its phase.
    periodic: (f64, f64),
    /// One turn of the thimble.
    turn: f64,
    /// Length of the scale.
    scale: f64,
    /// On the part and on the standard, where only a maximum permissible error is known: see [`Self::draw`].
    unknown: (f64, f64),
}

impl VirtualMicrometer {
    /// Draws one.
    ///
    /// With an error curve the true error is a smooth function of the size with the periodic error of the screw on
    /// top. Where only a maximum permissible error is known, it holds for the difference of any two sizes (floating
    /// zero, ISO 3611:2010), and that difference is drawn anywhere within it: the worst micrometer that the statement
    /// allows, on average, and worse than most. Errors that are independent are drawn at both sizes.
    pub fn draw(set_up: &SetUp, scale: f64, turn: f64, random: &mut Generator) -> Self {
        let um = 1e-3;
        let offset = 3.0 * um * symmetric(random);
        let size = set_up.indication * um;
        let known = set_up.curve.is_some();
        let part = |share: f64, random: &mut Generator| {
            if known {
                share * size * symmetric(random)
            } else {
                0.0
            }
        };
        let lead = part(0.7, random);
        let wave = (part(0.3, random), TAU * random.uniform());
        let periodic = if known { set_up.periodic * um } else { 0.0 };
        Self {
            offset,
            lead,
            wave,
            periodic: (periodic, TAU * random.uniform()),
            turn,
            scale,
            unknown: match (known, set_up.independent) {
                (true, _) => (0.0, 0.0),
                (false, false) => (size * symmetric(random), 0.0),
                (false, true) => (size * symmetric(random), size * symmetric(random)),
            },
        }
    }

    /// The part of the error that a certificate shows.
    pub fn slow_error(&self, at: f64) -> f64 {
        self.lead * at / self.scale + self.wave.0 * libm::sin(TAU * at / self.scale + self.wave.1)
    }

    /// What the display shows for a true distance, before scatter and drift; `on_part` or on the standard.
    pub fn indication(&self, distance: f64, on_part: bool) -> f64 {
        let turn = self.periodic.0 * libm::sin(TAU * distance / self.turn + self.periodic.1);
        let unknown = if on_part {
            self.unknown.0
        } else {
            self.unknown.1
        };
        distance + self.offset + self.slow_error(distance) + turn + unknown
    }
}

/// A pair of contacts on a thread: how far they stand out of the pitch line, on the part and on the standard.
pub struct VirtualContacts {
    pair: ContactPair,
    nominal: Angle,
    flanks: (Reach, Reach),
    standard: ThreadStandard,
    /// What an error of the part's pitch adds, millimetres.
    pitch_error: f64,
    /// How much the ends of a rod give, as a share of what the thread gives.
    rod_gives: f64,
}

impl VirtualContacts {
    /// Draws a pair that suits the pitch: half angles within their limit, flanks that cover more or less of the
    /// thread's.
    pub fn draw(
        set_up: &SetUp,
        standard: ThreadStandard,
        nominal: Angle,
        pitch: f64,
        random: &mut Generator,
    ) -> Self {
        let quarter = pitch / 4.0;
        let mut between = |low: f64, high: f64| low + (high - low) * random.uniform();
        // From the thread's own flanks, which end at P/8 and 7P/16 (ISO 68-1), to flanks half as long.
        let tip = between(0.55, 0.75) * quarter;
        let base = between(1.4, 1.9) * quarter;
        let root = between(0.25, 0.6) * quarter;
        let mouth = between(1.3, 1.6) * quarter;
        let mut half_angle = || {
            Angle::from_radians(
                nominal.radians()
                    + Angle::from_degrees(set_up.contact_angle / 60.0 * symmetric(random))
                        .radians(),
            )
        };
        let pair = ContactPair {
            cone: Cone {
                half_angle: half_angle(),
                tip_half_width_mm: tip,
                base_half_width_mm: base,
            },
            vee: Vee {
                half_angle: half_angle(),
                root_half_width_mm: root,
                relief_depth_mm: pitch,
                mouth_half_width_mm: mouth,
            },
        };
        // The flanks of a rod end somewhere between half and one and a half times the reach on the thread (3H/8 and
        // H/4); those of the contacts may end before.
        let cot = 1.0 / libm::tan(nominal.radians());
        let rod = 0.5 + random.uniform();
        let reach = |inner: f64, outer: f64| Reach {
            inner_mm: (quarter - inner).abs().min(rod * quarter / 2.0) * cot,
            outer_mm: (outer - quarter).abs().min(rod * quarter * 0.75) * cot,
        };
        Self {
            pair,
            nominal,
            flanks: (reach(tip, base), reach(mouth, root)),
            standard,
            pitch_error: set_up.pitch * 1e-3 * symmetric(random) * cot / 2.0,
            rod_gives: random.uniform() / 2.0,
        }
    }

    /// What the contacts add to the reading on a thread, millimetres.
    pub fn on_thread(&self, thread: &MeasuredThread) -> Result<f64, SimulationError> {
        let wrong = |error: MisfitError| SimulationError::of(error);
        let Engagement { cone, vee, .. } = engagement(&self.pair, thread).map_err(wrong)?;
        let (cone_lead, vee_lead) =
            lead_offset_mm(thread, cone, vee, Freedom::Free).map_err(wrong)?;
        Ok(
            flank_angle_offset_mm(self.pair.cone.half_angle, thread.half_angle, cone)
                + flank_angle_offset_mm(self.pair.vee.half_angle, thread.half_angle, vee)
                + cone_lead
                + vee_lead
                + self.pitch_error
                - self.pressed(thread, (cone, vee))?,
        )
    }

    /// What the measuring force takes off: the lines of contact are as long as the flanks that touch. A plug gives as much
    /// as the part does, the ends of a rod less.
    fn pressed(
        &self,
        thread: &MeasuredThread,
        (cone, vee): (Reach, Reach),
    ) -> Result<f64, SimulationError> {
        let ThreadStandard::Rod(_) = self.standard else {
            return Ok(0.0);
        };
        let steel = Elastic::named("steel").ok_or_else(|| SimulationError::of("no steel"))?;
        let flank = |reach: Reach| EngagedFlank {
            half_angle: self.nominal,
            pitch_mm: thread.pitch_mm,
            pitch_diameter_mm: thread.pitch_diameter_mm,
            height_mm: reach.inner_mm + reach.outer_mm,
        };
        let force = Force::from_newtons(FORCE);
        let cone =
            cone_in_groove(&flank(cone), force, steel, steel).map_err(SimulationError::of)?;
        let vee = v_over_ridge(&flank(vee), force, steel, steel).map_err(SimulationError::of)?;
        Ok((cone.correction_mm + vee.correction_mm) * (1.0 - self.rod_gives))
    }

    /// What they add on the standard; a plug is a thread with flank angles as they should be.
    pub fn on_standard(&self, part: &MeasuredThread) -> Result<f64, SimulationError> {
        match self.standard {
            ThreadStandard::Plug => {
                let plug = MeasuredThread {
                    half_angle: self.nominal,
                    ..*part
                };
                // The pitch of a plug is as it should be.
                Ok(self.on_thread(&plug)? - self.pitch_error)
            }
            ThreadStandard::Rod(_) => Ok(flank_angle_offset_mm(
                self.pair.cone.half_angle,
                self.nominal,
                self.flanks.0,
            ) + flank_angle_offset_mm(
                self.pair.vee.half_angle,
                self.nominal,
                self.flanks.1,
            )),
        }
    }
}

/// The thread as the contacts meet it: full flanks of the 60° form, 3H/8 to the crest and H/4 to the root (ISO 68-1).
pub fn measured_thread(
    half_angle: Angle,
    nominal: Angle,
    pitch: f64,
    pitch_diameter: f64,
) -> MeasuredThread {
    let height = pitch / (2.0 * libm::tan(nominal.radians()));
    MeasuredThread {
        side: Side::External,
        half_angle,
        pitch_mm: pitch,
        starts: 1,
        pitch_diameter_mm: pitch_diameter,
        to_crest_mm: 3.0 / 8.0 * height,
        to_root_mm: height / 4.0 * (1.0 + 1e-9),
    }
}
