//! `midflank pull`: pull forces of crimps, by the standard that the contract names.

use clap::Args;
use metrology::decision::Verdict;
use metrology::features::pull_force::{self, NEWTONS_PER_LBF, PullError};
use metrology::features::wire_size::{self, Conductor};
use metrology::inspection::Service;
use metrology::source::Confidence;
use serde::Serialize;

use crate::failure::Failure;
use crate::output::{Output, width};
use crate::report::small::wrap;
use crate::say;
use crate::words::{self, number};

metrology::codes! {
    /// What is said of one force.
    pub enum Pulled "pulled" {
        Conforms "conforms",
        TooWeak "too-weak",
    }
}

#[derive(Args)]
pub struct Arguments {
    #[arg(long, value_name = "STANDARD")]
    standard: Option<String>,
    #[arg(long, value_name = "SIZE", required_unless_present = "mm2")]
    awg: Option<String>,
    #[arg(long, value_name = "AREA", conflicts_with = "awg")]
    mm2: Option<String>,
    #[arg(long, value_name = "FORCE")]
    wire_strength: Option<String>,
    #[arg(value_name = "FORCE")]
    forces: Vec<String>,
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Answer {
    standard: String,
    wire: WireDocument,
    least_newtons: f64,
    least_lbf: f64,
    /// Where the row stands and how well it is known.
    row: String,
    source: String,
    confidence: Confidence,
    forces: Vec<ForceDocument>,
    /// `accept`, `reject`; `null` where no force was given.
    decision: Option<Verdict>,
    caution: &'static str,
}

#[derive(Serialize)]
struct WireDocument {
    awg: Option<String>,
    area_mm2: f64,
    diameter_mm: Option<f64>,
    common_strandings: Option<String>,
}

#[derive(Serialize)]
struct ForceDocument {
    as_read: String,
    newtons: f64,
    conforms: bool,
}

pub fn run(arguments: &Arguments, output: &mut Output) -> Result<(), Failure> {
    let (conductor, area) = wire(arguments)?;
    let size = conductor.as_ref().map(Conductor::size).transpose();
    let gauge = size.map_err(|error| Failure::refused(&error))?;
    let standard = arguments.standard.as_deref().unwrap_or_default();
    let refused = |error: PullError| Failure::refused(&error);
    let force = |text: &str| pull_force::force(text).map_err(refused);
    let strength = arguments.wire_strength.as_deref().map(force).transpose()?;
    let least = pull_force::least(standard, gauge, area, strength).map_err(refused)?;
    let forces = arguments
        .forces
        .iter()
        .map(|text| {
            let newtons = force(text)?;
            Ok(ForceDocument {
                as_read: text.clone(),
                newtons,
                // The same force in either unit is the same force: a billionth covers its conversion.
                conforms: newtons >= least.newtons * (1.0 - 1e-9),
            })
        })
        .collect::<Result<Vec<_>, Failure>>()?;
    let decision = (!forces.is_empty()).then(|| {
        if forces.iter().all(|force| force.conforms) {
            Verdict::Accept
        } else {
            Verdict::Reject
        }
    });
    let answer = Answer {
        standard: standard.to_owned(),
        wire: WireDocument {
            awg: gauge.map(|gauge| gauge.awg.clone()),
            area_mm2: area,
            diameter_mm: gauge.map(|gauge| gauge.diameter_mm),
            common_strandings: gauge
                .map(|gauge| gauge.common_strandings.clone())
                .filter(|strandings| !strandings.is_empty()),
        },
        least_newtons: least.newtons,
        least_lbf: least.newtons / NEWTONS_PER_LBF,
        row: words::said(&least.basis),
        source: words::source(least.source).to_owned(),
        confidence: least.confidence,
        forces,
        decision,
        caution: crate::words::name(&Service::Electrical.caution()),
    };
    if arguments.json {
        return output.json(&answer);
    }
    tell(&answer, output)
}

fn wire(arguments: &Arguments) -> Result<(Option<Conductor>, f64), Failure> {
    let refused = |error: wire_size::WireError| Failure::refused(&error);
    match (&arguments.awg, &arguments.mm2) {
        (Some(awg), _) => {
            let conductor = wire_size::conductor(awg).map_err(refused)?;
            let area = conductor.area_mm2;
            Ok((Some(conductor), area))
        }
        (None, area) => Ok((
            None,
            wire_size::area(area.as_deref().unwrap_or_default()).map_err(refused)?,
        )),
    }
}

fn tell(answer: &Answer, output: &mut Output) -> Result<(), Failure> {
    if let Some(decision) = answer.decision {
        output.line(&words::word(&decision).to_uppercase())?;
    }
    output.line(&say!(
        "pull.least",
        newtons = number::fixed(answer.least_newtons, 2),
        pounds = number::fixed(answer.least_lbf, 1)
    ))?;
    for force in &answer.forces {
        let verdict = words::word(&if force.conforms {
            Pulled::Conforms
        } else {
            Pulled::TooWeak
        });
        output.line(&format!(
            "  {:<12} {:>8} N  {verdict}",
            force.as_read,
            number::fixed(force.newtons, 2)
        ))?;
    }
    for words in [answer.row.as_str(), answer.caution] {
        for line in wrap(words, width().clamp(40, crate::report::text::WIDTH)) {
            output.line(&line)?;
        }
    }
    Ok(())
}
