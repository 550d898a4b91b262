//! An answer that was taken back, as the line that would give it again: it is put right, not typed anew.

use metrology::inspection::{Characteristic, RuleName, Temperature};
use metrology::units::Entered;

use super::event::Event;
use super::input;

/// The line; none for what Enter alone gives, and for what is no answer.
pub fn line(event: &Event) -> Option<String> {
    match event {
        Event::Characteristic { characteristic } => Some(measured(characteristic)),
        Event::Feature { stated } => Some(limits(
            &stated.name,
            stated.lower.as_ref(),
            stated.upper.as_ref(),
        )),
        Event::Detail { answer, .. } => answer.clone(),
        Event::Name { name } => Some(name.clone()),
        Event::Drawing { drawing } => drawing.clone(),
        Event::Lot { lot, sample } => match (lot, sample) {
            (None, None) => None,
            (lot, None) => lot.clone(),
            (lot, Some(sample)) => Some(format!("{} / {sample}", lot.as_deref().unwrap_or(""))),
        },
        Event::Rule { rule } => agreed(rule),
        Event::Service { service } => service.map(|service| service.key().to_owned()),
        Event::Instrument { instrument } => Some(instrument.id.clone()),
        Event::Contacts { contacts } => Some(contacts.id.clone()),
        Event::Wires { wires } => Some(wires.id.clone()),
        Event::Standard { standard } | Event::Plug { plug: standard, .. } => {
            Some(standard.id.clone())
        }
        Event::Unit { unit } => Some(unit.to_string()),
        Event::Temperature { temperature } => temperature.as_ref().map(read),
        Event::Blocks { set } => Some(set.id.clone()),
        Event::CalibrationTold { answer, .. } => Some(answer.clone()),
        _ => None,
    }
}

fn measured(characteristic: &Characteristic) -> String {
    match characteristic {
        Characteristic::Thread {
            designation,
            diameter,
            terms,
        } => {
            let named = match input::of_diameter(*diameter) {
                Some(word) => format!("{designation} {word}"),
                None => designation.clone(),
            };
            let Some(terms) = terms else { return named };
            let named = limits(&named, terms.lower.as_ref(), terms.upper.as_ref());
            match &terms.plane {
                Some(plane) => format!("{named} {} {}", input::AT, plane.at),
                None => named,
            }
        }
        Characteristic::Stated { name, lower, upper }
        | Characteristic::Feature {
            name, lower, upper, ..
        } => limits(name, lower.as_ref(), upper.as_ref()),
    }
}

/// `shank 8.90mm to 8.95mm`, `boss max 3.2mm`.
fn limits(name: &str, lower: Option<&Entered>, upper: Option<&Entered>) -> String {
    let said = match (lower, upper) {
        (Some(lower), Some(upper)) => {
            format!("{} {} {}", lower.text(), input::TO, upper.text())
        }
        (Some(lower), None) => format!("{} {}", input::AT_LEAST, lower.text()),
        (None, Some(upper)) => format!("{} {}", input::AT_MOST, upper.text()),
        (None, None) => String::new(),
    };
    format!("{name} {said}").trim().to_owned()
}

fn agreed(rule: &RuleName) -> Option<String> {
    if rule.assumed {
        return None;
    }
    Some(match rule.parameter {
        Some(parameter) => format!("{} {parameter}", rule.name),
        None => rule.name.clone(),
    })
}

/// `21.4 20.9 brass`, with the thermometer behind it where it was named.
fn read(temperature: &Temperature) -> String {
    let with = temperature.thermometer.iter().map(|one| one.id.trim());
    let read = [
        temperature.part.degrees().to_string(),
        temperature.standard.degrees().to_string(),
        temperature.part_material.clone(),
    ];
    let all = read.into_iter().chain(with.map(str::to_owned));
    all.collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use ledger::Ledger;

    use crate::bench::Answer;
    use crate::bench::story::Story;

    /// Every answer of a job, taken back and given again by the line that is offered, is the same answer.
    #[test]
    fn what_is_offered_says_the_same() {
        let folder = std::env::temp_dir().join(format!("midflank-said-{}", std::process::id()));
        let ledger = Ledger::open(folder.join("ledger.db")).unwrap();
        for lines in [
            &[
                "M10x1.5-6g",
                "screw",
                "TC-0412 rev C",
                "cs-118 / 4 of 12",
                "probability 0.90",
                "lifting",
                "mic-04",
                "vc-60-3",
                "rod-10",
                "21.4 20.9 brass th-2",
            ][..],
            &["M10x1.5-6g major", "screw", "", "cs-118", "", ""],
            &["M10x1.5-6g 8.90 to 8.95 mm", "screw"],
            &["M10x1.5-6g major max 9.9 mm", "screw"],
            &["1/2-14 NPT external at 4.06 mm", "fitting"],
            &[
                "1/2-14 NPT external 19.2 to 19.4 mm at hand-tight",
                "fitting",
            ],
            &["shank 8.90 to 8.95 mm", "shank"],
            &["boss 0.126 in max", "boss"],
            &["tube wall 2.50 ± 0.20 mm"],
        ] {
            let mut story = Story::begin(&ledger);
            for line in lines {
                let Ok(Answer::Events(given)) = story.tell(line) else {
                    panic!("{line} was not taken: {:?}", story.tell(line));
                };
                let before = story.events.clone();
                assert!(
                    matches!(story.tell("/back"), Ok(Answer::Events(_))),
                    "{line}"
                );
                let offered = story.state().said_before.unwrap_or_default();
                assert_eq!(offered.is_empty(), line.is_empty(), "{line}");
                let Ok(Answer::Events(again)) = story.tell(&offered) else {
                    panic!("{offered} was not taken");
                };
                assert_eq!(given, again, "{line}: {offered}");
                story.events = before;
            }
        }
        std::fs::remove_dir_all(folder).unwrap();
    }
}
