//! Answers that need no more than the line itself.

use metrology::decision::Rule;
use metrology::inspection::{
    Characteristic, JobError, Made, RuleName, Service, Target, Temperature, Thermometer,
    ThreadDiameter, too_cold, too_hot,
};
use metrology::material;
use metrology::message::Say as _;
use metrology::units::{Celsius, Entered, LengthUnit};

use super::rules::LISTED;
use super::{Answer, one};
use crate::bench::event::Event;
use crate::bench::refusal::{Refusal, Refused};
use crate::bench::state::State;
use crate::bench::{details, fit, input, stated};
use crate::error::Why;
use crate::given;

/// What a bench thermometer is taken to be good for where nothing is said, kelvins (common practice, no source).
const THERMOMETER: f64 = 0.3;

/// What is measured: a size with its limits, a feature of which more is asked, or a thread.
pub(super) fn stated_first(line: &str) -> Result<Answer, Refusal> {
    if line.is_empty() {
        return Err(Refusal::new(Refused::DesignationMissing));
    }
    if let Some(characteristic) = stated::thread(line)? {
        can_be_measured(&State::default(), &characteristic)?;
        return Ok(one(Event::Characteristic { characteristic }));
    }
    if let Some(stated) = stated::read(line)? {
        if stated.feature.is_none()
            && let Some(why) = stated::mistyped_thread(&stated.name)
        {
            let name = stated.name;
            return Err(Refusal::new(Refused::NoThread { name, why }));
        }
        let limits = stated::measured(None, stated::section(&stated))?;
        Target::of(&limits).map_err(|error| job_refusal(&error, &State::default()))?;
        if stated.feature.is_some() {
            return Ok(one(Event::Feature { stated }));
        }
        can_be_measured(&State::default(), &limits)?;
        return Ok(one(Event::Characteristic {
            characteristic: limits,
        }));
    }
    let characteristic = thread(line);
    can_be_measured(&State::default(), &characteristic).map_err(|refusal| {
        if is_number_alone(line) {
            Refusal {
                why: Why::of(Refused::NumberAlone {
                    line: line.to_owned(),
                }),
                ..refusal
            }
        } else if !line.contains(|c: char| c.is_ascii_digit()) {
            // Every thread has a size.
            Refusal::new(Refused::NothingKnown {
                line: line.to_owned(),
            })
        } else {
            refusal
        }
    })?;
    Ok(one(Event::Characteristic { characteristic }))
}

/// Whether a line is what a micrometer sends: a decimal number, with or without its unit.
fn is_number_alone(line: &str) -> bool {
    line.contains(['.', ',']) && Entered::parse(line, Some(LengthUnit::Millimetre)).is_ok()
}

/// Whether any contacts can reach it: what none can is said now and not at the end.
pub(super) fn can_be_measured(
    state: &State,
    characteristic: &Characteristic,
) -> Result<(), Refusal> {
    let mut with = state.clone();
    with.happens(&Event::Characteristic {
        characteristic: characteristic.clone(),
    });
    if with.target.is_none() {
        let error = Target::of(characteristic).err();
        return Err(error.map_or_else(
            || Refusal::new(Refused::NotComplete),
            |error| job_refusal(&error, &with),
        ));
    }
    match fit::trial(&with) {
        Some(Err(
            error @ (JobError::ContactsUnfit { .. }
            | JobError::Feature { .. }
            | JobError::ExpectedOutsideRange { .. }
            | JobError::Number { .. }),
        )) => Err(job_refusal(&error, &with)),
        _ => Ok(()),
    }
}

pub(super) fn optional(text: &str) -> Option<String> {
    Some(text.trim().to_owned()).filter(|text| !text.is_empty())
}

pub(super) fn required(text: &str, missing: Refused) -> Result<String, Refusal> {
    optional(text).ok_or_else(|| Refusal::new(missing))
}

pub(super) fn job_refusal(error: &JobError, state: &State) -> Refusal {
    Refusal {
        why: Why::in_unit(error.message(), state.drawing_unit()),
        suggestions: match error {
            JobError::Designation { error } => error.suggestions().to_vec(),
            _ => Vec::new(),
        },
    }
}

/// A thread, which may name its diameter.
fn thread(line: &str) -> Characteristic {
    let (designation, diameter) = match input::diameter_at_end(line) {
        Some((designation, diameter)) => (designation.trim_end_matches([' ', ',']), diameter),
        None => (line, ThreadDiameter::PitchDiameter),
    };
    Characteristic::Thread {
        designation: designation.to_owned(),
        diameter,
        terms: None,
    }
}

/// Whether a wrong acceptance could hurt someone.
pub(super) fn service(line: &str) -> Result<Answer, Refusal> {
    let said = line.trim().to_lowercase();
    let service = if said.is_empty() || input::NONE_OF_THEM.contains(&said.as_str()) {
        None
    } else {
        let chosen = details::chosen(&Service::ALL.map(Service::key), line)?;
        Service::ALL
            .into_iter()
            .find(|service| service.key() == chosen)
    };
    Ok(one(Event::Service { service }))
}

/// How the thread was made; nothing where nobody knows.
pub(super) fn made(line: &str) -> Result<Answer, Refusal> {
    let made = Made::ALL.map(Made::key);
    let answer = match line {
        "" => None,
        _ => Some(details::chosen(&made, line)?.to_owned()),
    };
    let key = details::MADE.to_owned();
    Ok(one(Event::Detail { key, answer }))
}

/// A word for the record: one press too many of a cable's button is no name.
pub(super) fn not_a_reading(line: &str) -> Result<&str, Refusal> {
    if is_number_alone(line) {
        Err(Refusal::new(Refused::NumberForName {
            line: line.to_owned(),
        }))
    } else {
        Ok(line)
    }
}

pub(super) fn rule(line: &str) -> Result<Answer, Refusal> {
    if line.is_empty() {
        // Proof of conformity carries the uncertainty where nothing was agreed: ISO 14253-1:2017, default rule.
        return Ok(one(Event::Rule {
            rule: RuleName {
                name: "iso14253-1".to_owned(),
                parameter: None,
                assumed: true,
            },
        }));
    }
    // `ISO 14253-1` is written with a space as often as without.
    let line = match line.get(..4) {
        Some(iso) if iso.eq_ignore_ascii_case("iso ") => format!("iso{}", line[4..].trim_start()),
        _ => line.to_owned(),
    };
    let (name, parameter) = line.split_once(char::is_whitespace).unwrap_or((&line, ""));
    // Its number in the list, or its name.
    let number = name.parse::<usize>().ok();
    let name = match number.map(|number| number.checked_sub(1).and_then(|at| LISTED.get(at))) {
        Some(Some(listed)) => listed,
        _ => name,
    };
    let parameter = match parameter.trim() {
        "" => None,
        number => Some(number.replace(',', ".").parse().map_err(|_| {
            Refusal::new(Refused::NotANumber {
                text: number.to_owned(),
            })
        })?),
    };
    Rule::agreed(name, parameter).map_err(|error| Refusal::said(&error))?;
    Ok(one(Event::Rule {
        rule: RuleName {
            name: name.to_owned(),
            parameter,
            assumed: false,
        },
    }))
}

/// From so many decimals on a number is a reading and no temperature.
const DECIMALS_OF_A_READING: usize = 3;

fn decimals(number: &str) -> usize {
    number.split_once('.').map_or(0, |(_, after)| after.len())
}

/// `21.4 20.9 brass th-2`: part, standard (the same where only one is written), material of the part (steel), and the thermometer,
/// where one is named; `found` has the registered ones, and `nearest` what may have been meant.
pub(super) fn temperature(
    line: &str,
    found: impl Fn(&str) -> Result<Option<Box<Thermometer>>, Refusal>,
    nearest: impl Fn(&str) -> Vec<String>,
) -> Result<Option<Temperature>, Refusal> {
    if line.is_empty() {
        return Ok(None);
    }
    let mut numbers: Vec<f64> = Vec::new();
    let mut named: Vec<&str> = Vec::new();
    for word in line.split_whitespace() {
        let plain = word.trim_end_matches(['C', 'c', '°']).replace(',', ".");
        match plain.parse::<f64>() {
            // A micrometer shows thousandths, a thermometer at the bench does not.
            Ok(_) if decimals(&plain) >= DECIMALS_OF_A_READING => {
                return Err(Refusal::new(Refused::TemperatureWanted));
            }
            Ok(_) if named.is_empty() => numbers.push(
                given::TEMPERATURE
                    .read("temperature", &plain)
                    .map_err(|error| Refusal::said(&error))?,
            ),
            _ if plain.is_empty() => {}
            _ => named.push(word),
        }
    }
    let (part, standard) = match numbers.as_slice() {
        // A key that was hit twice is no temperature.
        [both] if named.is_empty() => {
            let steel = format!("{both} {both} steel");
            let is_likely = measurable(*both).is_ok();
            return Err(Refusal {
                suggestions: is_likely.then_some(steel).into_iter().collect(),
                ..Refusal::new(Refused::TemperatureAlone {
                    line: line.to_owned(),
                })
            });
        }
        [both] => (*both, *both),
        [part, standard] => (*part, *standard),
        _ => return Err(Refusal::new(Refused::TemperatureWanted)),
    };
    for degrees in [part, standard] {
        measurable(degrees).map_err(|error| job_refusal(&error, &State::default()))?;
    }
    let (part_material, thermometer) =
        of_what(&named, found, nearest).map_err(|refusal| Refusal {
            suggestions: refusal
                .suggestions
                .iter()
                .map(|with| format!("{part} {standard} {with}"))
                .collect(),
            ..refusal
        })?;
    Ok(Some(Temperature {
        part: Celsius::new(part),
        standard: Celsius::new(standard),
        instrument: None,
        standard_uncertainty: THERMOMETER,
        part_material,
        standard_material: "steel".to_owned(),
        thermometer,
    }))
}

/// Refuses a temperature that nobody measures at.
fn measurable(degrees: f64) -> Result<(), JobError> {
    too_cold(degrees)?;
    too_hot(degrees)
}

/// The material of the part and the thermometer, in either order; steel where none is named.
fn of_what(
    named: &[&str],
    found: impl Fn(&str) -> Result<Option<Box<Thermometer>>, Refusal>,
    nearest: impl Fn(&str) -> Vec<String>,
) -> Result<(String, Option<Box<Thermometer>>), Refusal> {
    let is_material = |words: &[&str]| material::named(&words.join(" ")).is_some();
    let made_of = |words: &[&str]| match words {
        [] => "steel".to_owned(),
        words => words.join(" "),
    };
    if named.is_empty() || is_material(named) {
        return Ok((made_of(named), None));
    }
    let mut unknown = None;
    for at in (0..named.len()).rev() {
        let (before, behind) = named.split_at(at);
        for (words, id) in [(before, behind), (behind, before)] {
            if id.is_empty() || !(words.is_empty() || is_material(words)) {
                continue;
            }
            let id = id.join(" ");
            if let Some(thermometer) = found(&id)? {
                return Ok((made_of(words), Some(thermometer)));
            }
            let meant: Vec<String> = nearest(&id)
                .into_iter()
                .map(|known| format!("{} {known}", made_of(words)))
                .collect();
            if !words.is_empty() || !meant.is_empty() {
                unknown.get_or_insert((id, meant));
            }
        }
    }
    if let Some((text, suggestions)) = unknown {
        return Err(Refusal {
            suggestions,
            ..Refusal::new(Refused::NoSuchThermometer { text })
        });
    }
    let known: Vec<&str> = material::all()
        .iter()
        .map(|material| material.name.as_str())
        .collect();
    Err(Refusal::new(Refused::NoSuchMaterial {
        given: named.join(" "),
        known: known.join(", "),
    }))
}

/// Whether this is a sample without its lot: `5`, or `5 of 12`.
pub(super) fn is_sample(text: &str) -> bool {
    let is_number = |text: &str| {
        let text = text.trim();
        !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
    };
    match text.split_once(input::OF) {
        Some((number, of)) => is_number(number) && is_number(of),
        None => is_number(text),
    }
}

/// The sample after one: `4 of 12` is followed by `5 of 12`; none after the last.
pub(in crate::bench) fn next_sample(lot: Option<&str>, sample: Option<&str>) -> Option<String> {
    let sample = sample?;
    let from = sample.find(|c: char| c.is_ascii_digit())?;
    let (before, rest) = sample.split_at(from);
    let end = rest
        .find(|c: char| !c.is_ascii_digit())
        .unwrap_or(rest.len());
    let (digits, after) = rest.split_at(end);
    let next = digits.parse::<u64>().ok()?.checked_add(1)?;
    let last = after
        .trim()
        .strip_prefix(input::OF)
        .and_then(|n| n.trim().parse::<u64>().ok());
    if last.is_some_and(|last| next > last) {
        return None;
    }
    let width = digits.len();
    Some(format!(
        "{} / {before}{next:0width$}{after}",
        lot.unwrap_or_default()
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_a_sample_and_a_code_is_not() {
        assert!(is_sample("5") && is_sample("5 of 12"));
        for other in ["cs-200", "", "cs-118 / 5", "5a", "of 12", "5 of"] {
            assert!(!is_sample(other), "{other}");
        }
    }

    #[test]
    fn a_rule_that_narrows_the_limits_does_not_widen_them() {
        assert!(rule("guard-band -1").is_err());
        for right in ["guard-band 0.5", "guard-band 0", "relaxed 1"] {
            assert!(rule(right).is_ok(), "{right}");
        }
    }

    #[test]
    fn samples_count_on() {
        let next = |sample| next_sample(Some("cs-118"), Some(sample));
        assert_eq!(next("4 of 12").as_deref(), Some("cs-118 / 5 of 12"));
        assert_eq!(next("12 of 12"), None);
        assert_eq!(next("a09").as_deref(), Some("cs-118 / a10"));
        assert_eq!(next_sample(None, None), None);
    }

    #[test]
    fn temperatures_in_words() {
        let found = |_: &str| Ok(None);
        let read = |line: &str| match temperature(line, found, |_| Vec::new()) {
            Ok(read) => Ok(read.map(|t| (t.part.degrees(), t.standard.degrees(), t.part_material))),
            Err(refusal) => Err(format!("{refusal:?}")),
        };
        assert_eq!(read("").unwrap(), None);
        assert_eq!(
            read("21,4 steel").unwrap(),
            Some((21.4, 21.4, "steel".into()))
        );
        assert_eq!(
            read("21.4 °C 20.9 brass").unwrap(),
            Some((21.4, 20.9, "brass".into()))
        );
        assert!(read("brass").is_err());
        assert!(read("10.001").is_err());
        assert!(read("21 cheese").unwrap_err().contains("brass"));
        // A number alone: `2` is a key that was hit twice, and `21.4` is offered as it would be right.
        for (alone, offered) in [("2", false), ("9", true), ("21.4", true), ("21,4 °C", true)] {
            let refused = read(alone).unwrap_err();
            assert!(refused.contains("temperature-alone"), "{refused}");
            assert_eq!(refused.contains("steel"), offered, "{refused}");
        }
        for (cold, taken) in [
            ("2 2", false),
            ("4.9 steel", false),
            ("5 5", true),
            ("21 2", false),
        ] {
            assert_eq!(read(cold).is_ok(), taken, "{cold}");
        }
        assert!(read("68 68").unwrap_err().contains("too-hot"));
    }
}
