//! `midflank contacts`: what a pair of cone and V reads on a thread.

use clap::{Args, ValueEnum};
use metrology::contacts::{
    Cone, ContactPair, Engagement, Freedom, MeasuredThread, MisfitError, Vee, Zero,
    angle_sensitivity_mm, check_marked_range, effects_after_zero, engagement, local_width, wear,
    wear_sensitivity, width_sensitivity,
};
use metrology::units::Angle;

use crate::document::{
    Contacts, ContactsDocument, ContactsNote, Fit, Sensitivity, Unknown, ZeroSet,
};
use crate::failure::Failure;
use crate::given;
use crate::look_up::thread::{angle_or, exactly, length, optional_length, thread};
use crate::option::Within;
use crate::output::{Output, width};
use crate::report::contacts::answer;
use crate::say;
use crate::words;

/// Half of the length of a V along its ridge, millimetres: long enough for every single start (common practice).
const VEE_HALF_LENGTH: f64 = 2.0;

#[derive(Args)]
pub struct Arguments {
    #[arg(value_name = "DESIGNATION")]
    designation: String,
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = Within(given::HALF_ANGLE))]
    cone_half_angle: Option<f64>,
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = Within(given::HALF_ANGLE))]
    v_half_angle: Option<f64>,
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = Within(given::HALF_ANGLE))]
    part_half_angle: Option<f64>,
    #[arg(long, value_name = "HOW", default_value = "free")]
    v: Turning,
    #[arg(long, value_name = "LEN,LEN", value_delimiter = ',')]
    pitch_range: Vec<String>,
    #[arg(long, value_name = "LEN", requires_all = ["cone_base", "v_root", "v_mouth"])]
    cone_tip: Option<String>,
    #[arg(long, value_name = "LEN", requires = "cone_tip")]
    cone_base: Option<String>,
    #[arg(long, value_name = "LEN", requires = "cone_tip")]
    v_root: Option<String>,
    #[arg(long, value_name = "LEN", requires = "cone_tip")]
    v_mouth: Option<String>,
    #[arg(long, value_name = "LEN", requires = "cone_tip")]
    v_relief: Option<String>,
    #[arg(long, value_name = "HOW", default_value = "closed")]
    zero: ZeroSet,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    standard_longer: Option<String>,
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, value_parser = Within(given::HALF_ANGLE))]
    zero_half_angle: Option<f64>,
    #[arg(long, value_name = "LEN,LEN", value_delimiter = ',')]
    wear: Vec<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    groove_wider: Option<String>,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    ridge_thicker: Option<String>,
    #[arg(long)]
    json: bool,
}

#[derive(Clone, Copy, ValueEnum)]
enum Turning {
    Free,
    Locked,
}

pub fn run(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    let contacts = solve(arguments)?;
    if arguments.json {
        output.json(&ContactsDocument::of(&contacts))
    } else {
        output.text(&answer(&contacts, width()))
    }
}

fn solve(arguments: &Arguments) -> Result<Contacts, Failure> {
    let (limits, nominal) = thread(&arguments.designation)?;
    let part = MeasuredThread {
        half_angle: angle_or(arguments.part_half_angle, nominal.half_angle),
        ..nominal
    };
    let pair = pair(arguments, &nominal, &part)?;
    let marked = marked_range(arguments)?;
    let mut contacts = Contacts {
        designation: limits.designation.clone(),
        unit: limits.unit,
        pitch_mm: part.pitch_mm,
        fit: Fit {
            marked,
            ..Fit::default()
        },
        zero: arguments.zero,
        effects: Vec::new(),
        width: None,
        sensitivities: Vec::new(),
        notes: crate::words::all_said(&limits.assumed),
    };
    let engaged = marked
        .map_or(Ok(()), |(from, to)| {
            check_marked_range(part.pitch_mm, from, to)
        })
        .and_then(|()| engagement(&pair, &part));
    let engaged = match engaged {
        Ok(engaged) => engaged,
        Err(error @ MisfitError::Input { .. }) => {
            return Err(Failure::refused_in(&error, limits.unit));
        }
        Err(misfit) => {
            // That a pair does not fit is an answer.
            contacts.fit.misfit = Some(misfit);
            return Ok(contacts);
        }
    };
    contacts.fit.clearances = arguments
        .cone_tip
        .is_some()
        .then_some((engaged.tip_clearance_mm, engaged.crest_clearance_mm));
    let zero = zero(arguments, &nominal)?;
    let freedom = match arguments.v {
        Turning::Free => Freedom::Free,
        Turning::Locked => Freedom::Locked {
            half_length_mm: VEE_HALF_LENGTH,
        },
    };
    contacts.effects = effects_after_zero(&pair, &engaged, &part, freedom, &zero)
        .map_err(|error| Failure::refused_in(&error, limits.unit))?;
    add_wear(arguments, &part, &mut contacts)?;
    if arguments.groove_wider.is_some() || arguments.ridge_thicker.is_some() {
        let wider = optional_length("--groove-wider", arguments.groove_wider.as_ref())?;
        let thicker = optional_length("--ridge-thicker", arguments.ridge_thicker.as_ref())?;
        let (wider, thicker) = (wider.unwrap_or(0.0), thicker.unwrap_or(0.0));
        contacts.width = Some(
            local_width(&part, wider, thicker)
                .map_err(|error| Failure::refused_in(&error, limits.unit))?,
        );
    }
    contacts.sensitivities = sensitivities(arguments.zero, &part, &engaged);
    add_notes(arguments, &mut contacts);
    Ok(contacts)
}

fn pair(
    arguments: &Arguments,
    nominal: &MeasuredThread,
    part: &MeasuredThread,
) -> Result<ContactPair, Failure> {
    let mut pair = ContactPair::of_whole_flanks(
        angle_or(arguments.cone_half_angle, nominal.half_angle),
        angle_or(arguments.v_half_angle, nominal.half_angle),
        part,
    );
    let half = |name, text: Option<&String>| {
        optional_length(name, text).map(|width| width.map(|width| width / 2.0))
    };
    if let (Some(tip), Some(base), Some(root), Some(mouth)) = (
        half("cone-tip", arguments.cone_tip.as_ref())?,
        half("cone-base", arguments.cone_base.as_ref())?,
        half("v-root", arguments.v_root.as_ref())?,
        half("v-mouth", arguments.v_mouth.as_ref())?,
    ) {
        pair.cone = Cone {
            tip_half_width_mm: tip,
            base_half_width_mm: base,
            ..pair.cone
        };
        pair.vee = Vee {
            root_half_width_mm: root,
            mouth_half_width_mm: mouth,
            relief_depth_mm: optional_length("--v-relief", arguments.v_relief.as_ref())?
                .unwrap_or(0.0),
            ..pair.vee
        };
    }
    Ok(pair)
}

/// The marked range in millimetres, the finer pitch first.
fn marked_range(arguments: &Arguments) -> Result<Option<(f64, f64)>, Failure> {
    if arguments.pitch_range.is_empty() {
        return Ok(None);
    }
    let [one, other] = exactly(
        "--pitch-range",
        &arguments.pitch_range,
        say!("contacts-refused.pitch-range-as"),
    )?;
    let (one, other) = (pitch(one)?, pitch(other)?);
    Ok(Some((one.min(other), one.max(other))))
}

/// A pitch as it is marked: a length, or threads per inch.
fn pitch(text: &str) -> Result<f64, Failure> {
    let Some(count) = text.trim().strip_suffix("tpi") else {
        return length("--pitch-range", text);
    };
    given::PER_INCH
        .read("--pitch-range", count)
        .map(|count| 25.4 / count)
        .map_err(|error| Failure::refused(&error))
}

fn zero(arguments: &Arguments, nominal: &MeasuredThread) -> Result<Zero, Failure> {
    let wrong = |option: &str, zero: &str| {
        Failure::Input(say!(
            "contacts-refused.other-zero",
            option = format!("--{option}"),
            zero = format!("--zero {zero}")
        ))
    };
    let longer_by_mm = optional_length("--standard-longer", arguments.standard_longer.as_ref())?;
    if longer_by_mm.is_some() && arguments.zero != ZeroSet::Standard {
        return Err(wrong("standard-longer", "standard"));
    }
    let half_angle = angle_or(arguments.zero_half_angle, nominal.half_angle);
    Ok(match arguments.zero {
        ZeroSet::Closed if arguments.zero_half_angle.is_some() => {
            return Err(Failure::Input(say!(
                "contacts-refused.other-zeros",
                option = "--zero-half-angle",
                zero = "--zero standard",
                other = "--zero master"
            )));
        }
        ZeroSet::Closed => Zero::Closed,
        ZeroSet::Standard => Zero::Standard {
            longer_by_mm: longer_by_mm.unwrap_or(0.0),
            vee: half_angle,
            cone: half_angle,
        },
        ZeroSet::Master => Zero::Master {
            thread: MeasuredThread {
                half_angle,
                ..*nominal
            },
        },
    })
}

fn add_wear(
    arguments: &Arguments,
    part: &MeasuredThread,
    contacts: &mut Contacts,
) -> Result<(), Failure> {
    if arguments.wear.is_empty() {
        return Ok(());
    }
    let [cone, vee] = exactly("--wear", &arguments.wear, say!("contacts-refused.wear-as"))?;
    let effect = wear(part, length("--wear", cone)?, length("--wear", vee)?)
        .map_err(|error| Failure::refused_in(&error, contacts.unit))?;
    if arguments.zero == ZeroSet::Master {
        contacts.notes.push(words::word(&ContactsNote::WearInZero));
    } else {
        contacts.effects.push(effect);
    }
    Ok(())
}

fn sensitivities(zero: ZeroSet, part: &MeasuredThread, engaged: &Engagement) -> Vec<Sensitivity> {
    let one_degree = Angle::from_degrees(1.0).radians();
    let both = one_degree
        * (angle_sensitivity_mm(part.half_angle, engaged.cone)
            + angle_sensitivity_mm(part.half_angle, engaged.vee));
    let mut lines = vec![Sensitivity::of_angle(Unknown::PartAngle, both)];
    match zero {
        ZeroSet::Closed => lines.push(Sensitivity::of_angle(Unknown::PairAngle, both)),
        ZeroSet::Standard => lines.extend([
            Sensitivity::of_angle(Unknown::StandardAngle, both),
            Sensitivity::of_length(Unknown::StandardLength, 1.0),
        ]),
        ZeroSet::Master => lines.extend([
            Sensitivity::of_angle(Unknown::MasterAngle, both),
            Sensitivity::of_length(Unknown::MasterSize, 1.0),
        ]),
    }
    if zero != ZeroSet::Master {
        lines.push(Sensitivity::of_length(
            Unknown::Wear,
            wear_sensitivity(part.half_angle),
        ));
    }
    lines.push(Sensitivity::of_length(
        Unknown::Width,
        width_sensitivity(part.half_angle),
    ));
    lines
}

fn add_notes(arguments: &Arguments, contacts: &mut Contacts) {
    let mut notes = Vec::new();
    if arguments.cone_tip.is_none() {
        notes.push(ContactsNote::NoWidths);
    }
    if arguments.pitch_range.is_empty() {
        notes.push(ContactsNote::NoPitchRange);
    }
    notes.push(ContactsNote::PitchErrorUnseen);
    contacts.notes.extend(notes.iter().map(words::word));
}
