//! What is known of an inspection without reading it again: the facts that stand beside its entry.
//!
//! They follow from the documents of the entry alone. The slopes over the errors of the equipment come from the method by
//! which the result was computed ([`metrology::method::influence_of`]).

use ledger::{Draft, Facts, Number, Text, Used};
use metrology::correction::zero_error;
use metrology::decision::Verdict;
use metrology::inspection::{Influence, Job, Quantity, place_governs};
use metrology::method;
use metrology::units::{Entered, Length};

use crate::document::inspection::{BudgetLine, Outcome, Size};
use crate::document::{Inspected, to_mm};
use crate::equipment::CONTACT;
use crate::kept::{self, Keep as _, Unreadable};
use crate::lot_entry::{Found, GAUGE};
use crate::part_to_part;

/// The facts of an inspection.
pub fn inspection(draft: &Draft) -> Result<Facts, Unreadable> {
    let job: Job = kept::glance(kept::JOB, &draft.inputs)?;
    let result: Inspected = kept::glance(kept::RESULT, &draft.results)?;
    let influence = method::influence_of(result.method).and_then(|of| of(&job).ok());
    let in_lot = job
        .part
        .lot
        .as_ref()
        .is_some_and(|lot| !lot.trim().is_empty());
    let mut facts = sizes(&result, influence, in_lot);
    facts.at = Some(job.measured_at);
    stated(&mut facts, &job, &result)?;
    for piece in equipment(&job, influence) {
        facts.uses(piece);
    }
    Ok(facts)
}

/// The facts of what was found with a gauge; what was found otherwise has none.
pub fn found(draft: &Draft) -> Result<Facts, Unreadable> {
    let found: Found = kept::glance(kept::FOUND, &draft.inputs)?;
    let mut facts = Facts::default();
    let Some(with) = found.gauged_with() else {
        return Ok(facts);
    };
    facts.at = Some(found.at);
    for (of, text) in [
        (Text::Part, found.part.as_str()),
        (Text::Drawing, &found.drawing),
        (Text::Lot, &found.lot),
        (Text::Sample, &found.piece),
        (Text::Characteristic, &found.says),
        (Text::Verdict, found.standing().key()),
        (Text::Because, found.because().unwrap_or_default()),
    ] {
        let text = text.trim();
        facts.tell(of, (!text.is_empty()).then(|| text.to_owned()));
    }
    facts.uses(Used {
        role: GAUGE.to_owned(),
        identity: with.trim().to_owned(),
        part_of: None,
        sensitivity: None,
    });
    Ok(facts)
}

/// What an entry of any other kind has.
pub fn none(_: &Draft) -> Result<Facts, Unreadable> {
    Ok(Facts::default())
}

/// Size, uncertainty, limits and verdict.
fn sizes(result: &Inspected, influence: Option<Influence>, in_lot: bool) -> Facts {
    let mut facts = Facts::default();
    let decision = &result.decision;
    let least_governs = influence.is_some_and(|influence| influence.least_governs);
    let (governing, other) = governing(result, least_governs);
    let Size {
        value,
        standard_uncertainty,
        degrees_of_freedom,
        coverage_factor,
        expanded_uncertainty,
    } = result.size;
    for (of, number) in [
        (Number::Size, Some(value)),
        (Number::StandardUncertainty, Some(standard_uncertainty)),
        (Number::ExpandedUncertainty, Some(expanded_uncertainty)),
        (Number::CoverageFactor, Some(coverage_factor)),
        (Number::DegreesOfFreedom, degrees_of_freedom),
        (Number::Lower, result.limits.min),
        (Number::Upper, result.limits.max),
        (Number::AcceptLower, decision.acceptance.lower),
        (Number::AcceptUpper, decision.acceptance.upper),
        (Number::RejectLower, decision.rejection.lower),
        (Number::RejectUpper, decision.rejection.upper),
        (Number::Margin, Some(decision.margin)),
        (Number::RuleParameter, decision.rule_parameter),
        (Number::Method, Some(f64::from(result.method))),
        (Number::Decimals, Some(f64::from(result.decimals))),
        (
            Number::LeastGoverns,
            Some(f64::from(u8::from(least_governs))),
        ),
        (
            Number::OnPlace,
            Some(f64::from(u8::from(!std::ptr::eq(
                governing,
                &raw const result.mean,
            )))),
        ),
        (Number::OwnVariance, Some(own_variance(result, in_lot))),
    ] {
        facts.set(of, number);
    }
    if let Some(Outcome { size, .. }) = other {
        facts.set(Number::OtherSize, size.value);
        facts.set(Number::OtherStandardUncertainty, size.standard_uncertainty);
        facts.set(Number::OtherCoverageFactor, size.coverage_factor);
        facts.set(Number::OtherDegreesOfFreedom, size.degrees_of_freedom);
    }
    facts.tell(Text::Unit, result.unit.symbol().to_owned());
    facts.tell(Text::Verdict, decision.decision.clone());
    facts.tell(Text::SizeVerdict, governing.decision.decision.clone());
    facts.tell(Text::Because, decision.because.clone());
    facts.tell(Text::Rule, decision.rule.clone());
    facts
}

/// The outcome that was decided on, and the other of mean and worst place.
fn governing(result: &Inspected, least_governs: bool) -> (&Outcome, Option<&Outcome>) {
    let verdict = |outcome: &Outcome| Verdict::of(&outcome.decision.decision);
    match &result.worst_place {
        None => (&result.mean, None),
        Some(place) => {
            let both = verdict(&result.mean).zip(verdict(place));
            if both.is_some_and(|(mean, place)| place_governs(mean, place, least_governs)) {
                (place, Some(&result.mean))
            } else {
                (&result.mean, Some(place))
            }
        }
    }
}

/// What the measurement of one part adds to the spread of many, square millimetres.
fn own_variance(result: &Inspected, in_lot: bool) -> f64 {
    let own = |line: &&BudgetLine| {
        let quantity = Quantity::of(&line.quantity);
        quantity.is_some_and(|quantity| part_to_part::varies(quantity, in_lot))
    };
    let lines = result.budget.iter().filter(own);
    lines
        .map(|line| to_mm(line.contribution, result.unit))
        .map(|contribution| contribution * contribution)
        .sum()
}

/// What the job says of the part, and what is proposed from it for the next one.
fn stated(facts: &mut Facts, job: &Job, result: &Inspected) -> Result<(), Unreadable> {
    let part = &job.part;
    for (of, text) in [
        (Text::Part, Some(&part.name)),
        (Text::Sample, part.sample.as_ref()),
        (Text::Piece, part.piece.as_ref()),
        (Text::Drawing, part.drawing.as_ref()),
        (Text::Lot, part.lot.as_ref()),
    ] {
        let text = text.map(|text| text.trim().to_owned());
        facts.tell(of, text.filter(|text| !text.is_empty()));
    }
    facts.tell(Text::MeasuredOn, job.measured_on.to_string());
    facts.tell(Text::Characteristic, result.measured());
    facts.tell(Text::Told, serde_json::to_string(&result.characteristic)?);
    facts.tell(Text::Given, given(&job.characteristic)?);
    facts.tell(Text::Zero, zero(job).map(|zero| zero.text().to_owned()));
    facts.tell(Text::Places, places(job, result)?);
    Ok(())
}

/// A characteristic as it was given, to compare.
pub fn given(characteristic: &metrology::inspection::Characteristic) -> Result<String, Unreadable> {
    Ok(serde_json::to_string(&characteristic.keep())?)
}

/// The error of the last zero check of a job: indicated less certified.
fn zero(job: &Job) -> Option<Entered> {
    let checks = [&job.zero.after, &job.zero.before];
    let last = checks.into_iter().find(|check| !check.is_empty())?;
    let readings: Vec<Length> = last.iter().map(Entered::value).collect();
    let found = zero_error(&readings, &[], job.standard.size.value())?;
    let error = Length::nearest_mm(found.value).ok()?;
    Some(Entered::of(error, last.first()?.unit()))
}

/// The mean of the corrected readings at each place, millimetres, as a list; none where a reading looked like a mistake: that
/// is no form, though somebody left it.
fn places(job: &Job, result: &Inspected) -> Result<Option<String>, Unreadable> {
    if result.readings.iter().any(|one| !one.flags.is_empty()) {
        return Ok(None);
    }
    let mut corrected = result
        .readings
        .iter()
        .map(|reading| to_mm(reading.corrected, result.unit));
    let mut mean = |n: usize| corrected.by_ref().take(n).sum::<f64>() / n as f64;
    let means: Vec<f64> = job
        .readings
        .iter()
        .map(|place| mean(place.readings.len()))
        .collect();
    Ok(Some(serde_json::to_string(&means)?))
}

/// What it was measured with. Of a pair each contact is a part of it; what one of them is wrong by, the pair is.
fn equipment(job: &Job, influence: Option<Influence>) -> Vec<Used> {
    let of = |slope: fn(Influence) -> Option<f64>| influence.and_then(slope);
    let instrument = of(|influence| Some(influence.instrument));
    let standard = of(|influence| Some(influence.standard));
    let wires = of(|influence| influence.wires);
    let pieces = [
        ("instrument", Some(&job.instrument.id), None, instrument),
        ("contacts", Some(&job.contacts.id), None, instrument),
        ("standard", Some(&job.standard.id), None, standard),
        (
            "wires",
            job.wires.as_ref().map(|wires| &wires.id),
            None,
            wires,
        ),
        // An error of it in kelvins moves a size by no slope over a length.
        (
            "thermometer",
            job.thermometer().map(|one| &one.id),
            None,
            None,
        ),
    ];
    let members = job.contacts.members.iter().flatten();
    let members = members.map(|member| (CONTACT, Some(member), Some("contacts"), instrument));
    pieces
        .into_iter()
        .chain(members)
        .filter_map(|(role, identity, part_of, sensitivity)| {
            let identity = identity?.trim();
            (!identity.is_empty()).then(|| Used {
                role: role.to_owned(),
                identity: identity.to_owned(),
                part_of: part_of.map(str::to_owned),
                sensitivity,
            })
        })
        .collect()
}
