//! `midflank reconcile`: two results for one pitch diameter that do not agree.

use clap::Args;
use metrology::contacts::{Freedom, MeasuredThread};
use metrology::elastic::measuring_force;
use metrology::reconcile::{Facts, Measured, Method, reconcile};
use metrology::units::{Angle, Force, LengthUnit};
use metrology::wires::{FormHeights, Groove, best_wire_mm, usable_wires};

use crate::document::{Reconcile, ReconcileDocument};
use crate::failure::Failure;
use crate::given;
use crate::look_up::thread::{length, optional_length, thread};
use crate::option::Within;
use crate::output::{Output, width};
use crate::report::reconcile::answer;
use crate::say;
use crate::words::number;

/// Half of the length of a V along its ridge, millimetres: long enough for every single start (common practice).
const VEE_HALF_LENGTH: f64 = 2.0;

#[derive(Args)]
pub struct Arguments {
    #[arg(value_name = "DESIGNATION")]
    designation: String,
    #[arg(long, value_name = "LEN")]
    first: String,
    #[arg(long, value_name = "LEN")]
    second: String,
    #[arg(long, value_name = "METHOD", default_value = "wires")]
    first_method: String,
    #[arg(long, value_name = "METHOD", default_value = "contacts")]
    second_method: String,
    #[arg(long, value_name = "LEN")]
    wire: Option<String>,
    #[arg(long, value_name = "N", allow_hyphen_values = true, value_parser = Within(given::FORCE))]
    force: Option<f64>,
    #[arg(long)]
    same_equipment: bool,
    #[arg(long, value_name = "LEN", default_value = "1um")]
    repeatability: String,
    #[arg(long)]
    json: bool,
}

pub fn run(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    let (limits, thread) = thread(&arguments.designation)?;
    let repeatability_mm = length("--repeatability", &arguments.repeatability)?;
    let result = |option: &str, method: &str, text: &str| {
        Ok::<_, Failure>(Measured {
            method: parse_method(
                &format!("{option}-method"),
                method,
                (&thread, limits.unit),
                arguments,
            )?,
            size_mm: length(option, text)?,
            repeatability_mm,
        })
    };
    let first = result("first", &arguments.first_method, &arguments.first)?;
    let second = result("second", &arguments.second_method, &arguments.second)?;
    let facts = Facts {
        same_equipment: arguments.same_equipment,
        ..Facts::ORDINARY
    };
    let reconciliation = reconcile(&thread, &first, &second, &facts)
        .map_err(|error| Failure::refused_in(&error, limits.unit))?;
    let reconciled = Reconcile {
        designation: limits.designation,
        unit: limits.unit,
        first_mm: first.size_mm,
        second_mm: second.size_mm,
        methods: [
            arguments.first_method.clone(),
            arguments.second_method.clone(),
        ],
        repeatability_mm,
        reconciliation,
        notes: crate::words::all_said(&limits.assumed),
    };
    if arguments.json {
        output.json(&ReconcileDocument::of(&reconciled))
    } else {
        output.text(&answer(&reconciled, width()))
    }
}

/// A method in words: `wires,no-force`, `contacts,master`.
fn parse_method(
    option: &str,
    text: &str,
    (thread, unit): (&MeasuredThread, LengthUnit),
    arguments: &Arguments,
) -> Result<Method, Failure> {
    let mut words = text.split(',').map(str::trim);
    let wrong = |word: &str, permitted: &str| {
        Failure::Input(say!(
            "reconcile-refused.method",
            option = format!("--{option}"),
            word = word,
            permitted = permitted
        ))
    };
    match words.next().unwrap_or_default() {
        "wires" => {
            let (mut lead_corrected, mut force_corrected) = (true, true);
            for word in words {
                match word {
                    "no-lead" => lead_corrected = false,
                    "no-force" => force_corrected = false,
                    other => return Err(wrong(other, "no-lead, no-force")),
                }
            }
            Ok(Method::Wires {
                wire_mm: wire(thread, unit, arguments)?,
                lead_corrected,
                force_corrected,
                force: force(thread, arguments)?,
            })
        }
        "contacts" => {
            let (mut zero_on_master, mut freedom) = (false, Freedom::Free);
            for word in words {
                match word {
                    "master" => zero_on_master = true,
                    "v-locked" => {
                        freedom = Freedom::Locked {
                            half_length_mm: VEE_HALF_LENGTH,
                        };
                    }
                    other => return Err(wrong(other, "master, v-locked")),
                }
            }
            Ok(Method::Contacts {
                zero_on_master,
                freedom,
            })
        }
        other => Err(wrong(other, "wires, contacts")),
    }
}

fn wire(thread: &MeasuredThread, unit: LengthUnit, arguments: &Arguments) -> Result<f64, Failure> {
    let included = Angle::from_radians(2.0 * thread.half_angle.radians());
    let lead = thread.pitch_mm * f64::from(thread.starts);
    let groove = Groove::symmetric(thread.side, included, thread.pitch_mm, lead);
    let Some(wire) = optional_length("--wire", arguments.wire.as_ref())? else {
        return best_wire_mm(&groove).map_err(|error| Failure::refused_in(&error, unit));
    };
    if let Some(heights) = FormHeights::of_standard_form(thread.side, included) {
        let usable =
            usable_wires(&groove, heights).map_err(|error| Failure::refused_in(&error, unit))?;
        if !(usable.smallest_mm..=usable.largest_mm).contains(&wire) {
            let size = |mm| number::size(mm, unit);
            return Err(Failure::Input(say!(
                "reconcile-refused.wire",
                option = "--wire",
                wire = size(wire),
                smallest = size(usable.smallest_mm),
                largest = size(usable.largest_mm)
            )));
        }
    }
    Ok(wire)
}

fn force(thread: &MeasuredThread, arguments: &Arguments) -> Result<Force, Failure> {
    if let Some(newtons) = arguments.force {
        return Ok(Force::from_newtons(newtons));
    }
    measuring_force(thread.pitch_mm)
        .map(|advice| advice.force)
        .ok_or_else(|| Failure::Input(say!("reconcile-refused.no-force", option = "--force")))
}
