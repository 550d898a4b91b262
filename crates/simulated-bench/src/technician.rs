//! The virtual technician: puts part, equipment and a room together, reads the display, and writes a job down.

use jiff::Timestamp;
use jiff::civil::Date;

use crate::SimulationError;
use crate::equipment::{VirtualContacts, VirtualMicrometer, measured_thread};
use crate::set_up::{Feature, SetUp, ThreadStandard};
use crate::thread::{Spot, VirtualPart, symmetric};
use crate::wires::VirtualWires;
use metrology::inspection::{
    CertifiedCurve, Characteristic, ContactKind, Contacts, CurvePoint, DefaultName, Instrument,
    InstrumentErrors, Job, Made, Overrides, Part, Place, Prior, Room, RuleName, Scope, Standard,
    StandardForm, State, Target, Temperature, ThreadDiameter, WireSet, Zero,
};
use metrology::limits::Limits;
use metrology::material;
use metrology::uncertainty::monte_carlo::random::Generator;
use metrology::units::{Angle, Celsius, Entered, Length, LengthUnit};

const UM: f64 = 1e-3;

/// Where the true size is put.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aim {
    /// Anywhere a process puts it: normal, centred between the limits, standard deviation a quarter of the tolerance.
    Process,
    /// The mean in the middle between the limits.
    Middle,
    /// The mean at a limit, and the least bit outside it.
    MeanAtLimit,
    /// The worst of the places that are measured at a limit, and the least bit outside it.
    WorstAtLimit,
}

/// A job with the truth about its part, millimetres at 20 °C.
pub struct VirtualJob {
    /// What the technician wrote down.
    pub job: Job,
    /// The true size that the verdict is about: the mean of the part, or the size at the one place that is asked for.
    pub mean: f64,
    /// The true size at each place measured.
    pub places: Vec<f64>,
    /// The size that a GO gauge would feel; of a thread.
    pub functional: Option<f64>,
    /// Which reading is wrong by a slip, counted through all places.
    pub slip: Option<usize>,
}

/// The least bit: a tenth of a nanometre, the resolution of a stored length, and then some for rounding.
const LEAST: f64 = 2e-7;

/// Makes one job.
pub fn virtual_job(
    set_up: &SetUp,
    aim: Aim,
    slips: f64,
    random: &mut Generator,
) -> Result<VirtualJob, SimulationError> {
    let characteristic = characteristic(set_up)?;
    let target = Target::of(&characteristic).map_err(SimulationError::of)?;
    let mut part = VirtualPart::draw(set_up, random);
    let spots: Vec<Spot> = (0..set_up.places)
        .map(|_| VirtualPart::spot(set_up, random))
        .collect();
    let deviations: Vec<f64> = spots.iter().map(|spot| part.deviation(*spot)).collect();
    // Where one place is asked for, its size is all that there is, the mean and the worst.
    let claimed = match set_up.scope {
        Scope::Part => 0.0,
        Scope::Place => deviations.iter().sum(),
    };
    let apart: Vec<f64> = deviations.iter().map(|one| one - claimed).collect();
    part.mean = mean(aim, target.limits, &apart, random)? - claimed;
    let bench = Bench::draw(set_up, &target, &part, random)?;
    let unit = set_up.unit;
    let show = |shown: f64| entered(shown, unit, set_up.decimals);

    // Time runs from 0 at the first check to 1 at the last; readings of the part lie evenly between.
    let drift = set_up.drift * UM * symmetric(random);
    let mut before = Vec::new();
    for _ in 0..set_up.before {
        before.push(show(bench.read_standard(set_up, 0.0, random))?);
    }
    let total = set_up.places * set_up.readings;
    let slip = (random.uniform() < slips).then(|| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a random index below a small count"
        )]
        let index = (random.uniform() * total as f64) as usize;
        index.min(total - 1)
    });
    let mut readings = Vec::new();
    let mut number = 0;
    for (spot, deviation) in spots.iter().zip(&deviations) {
        let mut here = Vec::new();
        for _ in 0..set_up.readings {
            let time = (number as f64 + 0.5) / total as f64;
            let shown = bench.read_part(set_up, part.mean + deviation, drift * time, random)?;
            // One turn of the thimble.
            let wrong = if slip == Some(number) {
                bench.turn.copysign(symmetric(random))
            } else {
                0.0
            };
            here.push(show(shown + wrong)?);
            number += 1;
        }
        readings.push(Place {
            along: None,
            angle: Some((spot.angle.to_degrees() * 10.0).round() / 10.0),
            readings: here,
        });
    }
    let mut after = Vec::new();
    for _ in 0..set_up.after {
        after.push(show(bench.read_standard(set_up, drift, random))?);
    }
    let functional = match &target.thread {
        Some(thread) => Some(part.functional(
            Angle::from_radians(thread.included_angle.radians() / 2.0),
            thread.pitch.mm(),
        )?),
        None => None,
    };
    Ok(VirtualJob {
        job: bench.job(
            set_up,
            characteristic,
            Zero {
                before,
                after,
                contacts: None,
                allowance: None,
                last: None,
                last_record: None,
            },
            readings,
            random,
        )?,
        mean: part.mean + claimed,
        places: deviations
            .iter()
            .map(|deviation| part.mean + deviation)
            .collect(),
        functional,
        slip,
    })
}

fn characteristic(set_up: &SetUp) -> Result<Characteristic, SimulationError> {
    Ok(match set_up.feature {
        Feature::Thread { designation, .. } | Feature::OverWires { designation, .. } => {
            Characteristic::Thread {
                designation: designation.to_owned(),
                diameter: ThreadDiameter::PitchDiameter,
                terms: None,
            }
        }
        Feature::Plain { lower, upper } => Characteristic::Stated {
            name: set_up.name.key().to_owned(),
            lower: Some(parsed(lower)?),
            upper: Some(parsed(upper)?),
        },
    })
}

/// The true mean, by what is aimed at.
fn mean(
    aim: Aim,
    limits: Limits,
    deviations: &[f64],
    random: &mut Generator,
) -> Result<f64, SimulationError> {
    let (Some(lower), Some(upper)) = (limits.lower, limits.upper) else {
        return Err(SimulationError::of("a set-up with one limit"));
    };
    let (lower, upper) = (lower.mm(), upper.mm());
    let above = random.uniform() < 0.5;
    let largest = deviations.iter().copied().fold(f64::MIN, f64::max);
    let smallest = deviations.iter().copied().fold(f64::MAX, f64::min);
    Ok(match (aim, above) {
        (Aim::Process, _) => f64::midpoint(lower, upper) + (upper - lower) / 4.0 * random.normal(),
        (Aim::Middle, _) => f64::midpoint(lower, upper),
        (Aim::MeanAtLimit, true) => upper + LEAST,
        (Aim::MeanAtLimit, false) => lower - LEAST,
        (Aim::WorstAtLimit, true) => upper + LEAST - largest,
        (Aim::WorstAtLimit, false) => lower - LEAST - smallest,
    })
}

/// What lies between the spindle and the part.
enum Between {
    /// Flat faces, on a plain part.
    Faces,
    /// V and cone, on a thread as they meet it.
    VAndCone(VirtualContacts, metrology::contacts::MeasuredThread),
    /// Three wires between flat faces.
    Wires(VirtualWires),
}

/// A default of the program in millimetres or kelvins: what is drawn lies anywhere within it.
const fn usual(name: DefaultName) -> f64 {
    name.value()
}

/// Equipment and room of one job, as they truly are.
struct Bench {
    micrometer: VirtualMicrometer,
    between: Between,
    /// True size of the standard at 20 °C, and what its certificate says.
    standard: (f64, f64),
    /// Kelvins above 20 °C: part, standard, micrometer.
    temperatures: [f64; 3],
    /// The same where the thermometer touches: the hand warms the rest of the part.
    read: [f64; 3],
    /// What faces out of parallel, and the screw since its certificate, add on the part and not on the standard.
    on_part: f64,
    /// Per kelvin: part, standard, micrometer.
    expansions: [f64; 3],
    turn: f64,
    scale: f64,
}

impl Bench {
    fn draw(
        set_up: &SetUp,
        target: &Target,
        part: &VirtualPart,
        random: &mut Generator,
    ) -> Result<Self, SimulationError> {
        let inch = set_up.unit == LengthUnit::Inch;
        // Range and pitch of the screw.
        let (scale, turn) = if inch { (25.4, 0.635) } else { (25.0, 0.5) };
        let micrometer = VirtualMicrometer::draw(set_up, scale, turn, random);
        let (between, nominal) = match (set_up.feature, &target.thread) {
            (Feature::Thread { standard, .. }, Some(thread)) => {
                let half_angle = Angle::from_radians(thread.included_angle.radians() / 2.0);
                let pitch = thread.pitch.mm();
                let contacts = VirtualContacts::draw(set_up, standard, half_angle, pitch, random);
                let flank = Angle::from_radians(half_angle.radians() + part.flank_error.radians());
                let met = measured_thread(flank, half_angle, pitch, part.mean);
                let size = match standard {
                    ThreadStandard::Rod(length) => f64::from(length),
                    // A setting plug is made to the upper limit.
                    ThreadStandard::Plug => target.limits.upper.map_or(part.mean, Length::mm),
                };
                (Between::VAndCone(contacts, met), size)
            }
            (
                Feature::OverWires {
                    wires, standard, ..
                },
                Some(thread),
            ) => {
                let wires =
                    VirtualWires::draw(set_up, wires, thread, part.mean, part.flank_error, random)?;
                (Between::Wires(wires), f64::from(standard))
            }
            _ => (Between::Faces, 10.0),
        };
        // Made within some micrometres of nominal, certified with the stated uncertainty.
        let certified = ((nominal + 3.0 * UM * symmetric(random)) * 1e5).round() / 1e5;
        let standard = certified + set_up.standard / 2.0 * UM * random.normal();
        // A year after its certificate.
        let standard = standard + usual(DefaultName::StandardDrift) * symmetric(random);
        let on_part = match (set_up.curve, &between) {
            (None, _) => 0.0,
            (Some(_), between) => {
                let far = (part.mean - nominal).abs() > turn;
                let screw = usual(DefaultName::MicrometerDrift) * symmetric(random);
                let parallelism = usual(DefaultName::Parallelism) / 2.0 * symmetric(random);
                let flatness = usual(DefaultName::Flatness) * symmetric(random);
                let faces = match between {
                    Between::VAndCone(..) => 0.0,
                    Between::Faces | Between::Wires(_) => parallelism + flatness,
                };
                faces + if far { screw } else { 0.0 }
            }
        };
        let in_the_hand = usual(DefaultName::HandGradient) * symmetric(random);
        let room = set_up.room * symmetric(random);
        let apart = if set_up.thermometer.is_some() {
            0.5
        } else {
            usual(DefaultName::PartToStandard)
        };
        let mut expansion = |name: &str| {
            let material = material::named(name)
                .ok_or_else(|| SimulationError::of(format!("no material `{name}`")))?;
            let off = material.expansion_relative_limit * symmetric(random);
            Ok(material.expansion.value() * (1.0 + off))
        };
        let expansions = [
            expansion(set_up.material)?,
            expansion("steel")?,
            expansion("steel")?,
        ];
        let read = [room + apart * symmetric(random), room, room];
        let temperatures = [read[0] + in_the_hand, room, room];
        Ok(Self {
            micrometer,
            between,
            standard: (standard, certified),
            temperatures,
            read,
            on_part,
            expansions,
            turn,
            scale,
        })
    }

    /// How much body 0 (part), 1 (standard) or 2 (micrometer) has grown.
    fn grown(&self, body: usize) -> f64 {
        let of = |values: &[f64; 3]| values.get(body).copied().unwrap_or(0.0);
        1.0 + of(&self.expansions) * of(&self.temperatures)
    }

    /// A true distance, as it is in the room, as this micrometer would show it; `on_part` or on the standard.
    fn shown(
        &self,
        set_up: &SetUp,
        distance: f64,
        on_part: bool,
        drift: f64,
        random: &mut Generator,
    ) -> f64 {
        let scatter = set_up.repeatability * UM * random.normal();
        self.micrometer
            .indication(distance / self.grown(2), on_part)
            + drift
            + scatter
    }

    fn read_standard(&self, set_up: &SetUp, drift: f64, random: &mut Generator) -> f64 {
        let added = match &self.between {
            // What cannot be computed was refused when the part was read.
            Between::VAndCone(contacts, part) => contacts.on_standard(part).unwrap_or(0.0),
            Between::Faces | Between::Wires(_) => 0.0,
        };
        let distance = (self.standard.0 + added) * self.grown(1);
        self.shown(set_up, distance, false, drift, random)
    }

    fn read_part(
        &self,
        set_up: &SetUp,
        size: f64,
        drift: f64,
        random: &mut Generator,
    ) -> Result<f64, SimulationError> {
        let grown = self.grown(0);
        let distance = match &self.between {
            Between::VAndCone(contacts, part) => (size + contacts.on_thread(part)?) * grown,
            Between::Faces => size * grown,
            // The wires lie on the bench beside the standard, and are of the same steel.
            Between::Wires(wires) => wires.over(size, grown, self.grown(1))?,
        };
        Ok(self.shown(set_up, distance + self.on_part, true, drift, random))
    }

    /// The job as written down: what is known, not what is.
    #[expect(
        clippy::too_many_lines,
        reason = "every field of a job, one after the other"
    )]
    fn job(
        &self,
        set_up: &SetUp,
        characteristic: Characteristic,
        zero: Zero,
        readings: Vec<Place>,
        random: &mut Generator,
    ) -> Result<Job, SimulationError> {
        let um = |number: f64| entered_um(number);
        let prior = match set_up.prior {
            Some(degrees_of_freedom) => {
                // An earlier series found the standard deviation with its own luck.
                let squares: f64 = (0..degrees_of_freedom)
                    .map(|_| {
                        let deviation = random.normal();
                        deviation * deviation
                    })
                    .sum();
                let found = set_up.repeatability * (squares / f64::from(degrees_of_freedom)).sqrt();
                (
                    Some(um(found.max(0.001))?),
                    Some(f64::from(degrees_of_freedom)),
                )
            }
            None => (None, None),
        };
        let form = match set_up.feature {
            Feature::Plain { .. } | Feature::OverWires { .. } => StandardForm::Plain,
            Feature::Thread {
                standard: ThreadStandard::Plug,
                ..
            } => StandardForm::ThreadPlug,
            Feature::Thread {
                standard: ThreadStandard::Rod(_),
                ..
            } => StandardForm::VAndConeRod,
        };
        let kind = match self.between {
            Between::VAndCone(..) => ContactKind::VAndCone,
            Between::Faces | Between::Wires(_) => ContactKind::Flat,
        };
        Ok(Job {
            part: Part {
                name: set_up.name.key().to_owned(),
                ..Part::default()
            },
            person: Some("virtual technician".to_owned()),
            measured_at: Timestamp::UNIX_EPOCH,
            measured_on: Date::constant(1970, 1, 1),
            characteristic,
            instrument: Instrument {
                id: "virtual micrometer".to_owned(),
                range: [
                    entered(0.0, LengthUnit::Millimetre, 0)?,
                    entered(self.scale, LengthUnit::Millimetre, 1)?,
                ],
                resolution: None,
                certificate: None,
                due: None,
                certificate_date: None,
                drift: None,
                errors: self.errors(set_up, random)?,
                force: match set_up.feature {
                    Feature::OverWires { wires, .. } => Some(wires.force),
                    Feature::Thread { .. } | Feature::Plain { .. } => None,
                },
                spindle_turns: None,
                state: State::default(),
            },
            contacts: Contacts {
                id: "virtual contacts".to_owned(),
                kind,
                included_angle: None,
                pitch_range: None,
                half_angle_limit: (kind == ContactKind::VAndCone).then_some(set_up.contact_angle),
                members: None,
                tip_radius: None,
                flatness: None,
                parallelism: None,
                face: None,
                thickness: None,
                force: None,
                material: None,
                certificate: None,
                due: None,
                state: State::default(),
            },
            standard: Standard {
                id: "virtual standard".to_owned(),
                size: entered(self.standard.1, LengthUnit::Millimetre, 5)?,
                expanded_uncertainty: um(set_up.standard)?,
                coverage_factor: 2.0,
                form,
                certificate: None,
                certificate_date: None,
                drift: None,
                due: None,
                state: State::default(),
            },
            zero,
            readings,
            temperature: set_up.thermometer.map(|u| {
                let mut read = |which: usize| {
                    let truth = self.read.get(which).copied().unwrap_or(0.0);
                    Celsius::new(20.0 + truth + u * random.normal())
                };
                Temperature {
                    part: read(0),
                    standard: read(1),
                    instrument: Some(read(2)),
                    standard_uncertainty: u,
                    part_material: set_up.material.to_owned(),
                    standard_material: "steel".to_owned(),
                    thermometer: None,
                }
            }),
            prior: Prior {
                repeatability: prior.0,
                degrees_of_freedom: prior.1,
                drift_limit: Some(um(set_up.drift)?),
                flank_angle: set_up.flanks_stated.then_some(set_up.flank_angle),
                // Threads over wires are ground: their pitch has no error.
                made: matches!(self.between, Between::Wires(_)).then_some(Made::Ground),
                ..Prior::default()
            },
            rule: RuleName {
                name: "iso14253-1".to_owned(),
                parameter: None,
                assumed: false,
            },
            notes: Vec::new(),
            struck: Vec::new(),
            left: Vec::new(),
            scope: (set_up.scope == Scope::Place).then_some(Scope::Place),
            room: set_up.thermometer.is_none().then(|| Room {
                part_material: Some(set_up.material.to_owned()),
                ..Room::default()
            }),
            wires: self.wire_set(set_up)?,
            overrides: Overrides::default(),
            service: None,
            monte_carlo: None,
            held: None,
            approved: Vec::new(),
        })
    }

    /// The wires as certified.
    fn wire_set(&self, set_up: &SetUp) -> Result<Option<WireSet>, SimulationError> {
        let (Between::Wires(found), Feature::OverWires { wires, .. }) =
            (&self.between, set_up.feature)
        else {
            return Ok(None);
        };
        Ok(Some(WireSet {
            id: "virtual wires".to_owned(),
            diameter: entered(found.certified, LengthUnit::Millimetre, 5)?,
            expanded_uncertainty: entered_um(wires.expanded)?,
            coverage_factor: 2.0,
            calibrated_under_force: wires.calibrated_under_force,
            material: Some("steel".to_owned()),
            certificate: None,
            certificate_date: None,
            drift: None,
            due: None,
            state: State::default(),
        }))
    }

    /// The certificate: eleven points, each found with the stated uncertainty.
    fn errors(
        &self,
        set_up: &SetUp,
        random: &mut Generator,
    ) -> Result<InstrumentErrors, SimulationError> {
        let Some(expanded) = set_up.curve else {
            return Ok(InstrumentErrors::Within {
                maximum_permissible_error: entered_um(set_up.indication)?,
            });
        };
        let mut points = Vec::new();
        for number in 0..11 {
            let at = self.scale * f64::from(number) / 10.0;
            let found = self.micrometer.slow_error(at) + expanded / 2.0 * UM * random.normal();
            points.push(CurvePoint {
                at: entered(at, LengthUnit::Millimetre, 3)?,
                error: entered_um(found / UM)?,
            });
        }
        Ok(InstrumentErrors::Curve(CertifiedCurve {
            points,
            expanded_uncertainty: entered_um(expanded)?,
            coverage_factor: 2.0,
            periodic_error: Some(entered_um(set_up.periodic)?),
        }))
    }
}

/// What the display shows, in its unit.
fn entered(millimetres: f64, unit: LengthUnit, decimals: u32) -> Result<Entered, SimulationError> {
    let number = millimetres * 1e7 / unit.tenth_nanometres() as f64;
    parsed(&format!("{number:.*}{}", decimals as usize, unit.symbol()))
}

fn entered_um(micrometres: f64) -> Result<Entered, SimulationError> {
    parsed(&format!("{micrometres:.3}um"))
}

fn parsed(text: &str) -> Result<Entered, SimulationError> {
    Entered::parse(text, None).map_err(SimulationError::of)
}
