//! Studies as text: what was found, line by line, and what was recorded of one that was run at the bench.

use metrology::inspection::Target;
use metrology::units::{Entered, Length, LengthUnit};
use workshop::gauge_record::studied::{
    AnovaDocument, AtReferenceDocument, BiasDocument, ComponentsDocument, LinearityDocument,
    RepeatabilityDocument, Studied, Type1Document,
};
use workshop::gauge_record::study::{Study, StudyKind, StudyPlan};
use workshop::gauge_room::studies::OnRecord;

use crate::report::told::Told;
use crate::say;
use crate::words::{self, number};

/// The fewest readings of a type-1 study that nothing is said of (common practice, no source).
const FEW: usize = 25;

/// A number to six digits, with the unit of the readings where it has one.
pub fn shown(value: f64, unit: Option<&str>) -> String {
    let number = number::significant(value, 6);
    let Some(unit) = unit else { return number };
    let sign = unit.parse::<LengthUnit>().map(number::sign);
    format!("{number} {}", sign.unwrap_or_else(|()| unit.to_owned()))
}

/// The mean of readings: of lengths to a digit more than a micrometer shows, otherwise to six digits.
pub fn mean(value: f64, unit: Option<&str>) -> String {
    match unit.and_then(|unit| unit.parse::<LengthUnit>().ok()) {
        Some(unit @ LengthUnit::Millimetre) => number::length(value, 4, unit),
        Some(unit @ LengthUnit::Inch) => number::length(value, 5, unit),
        _ => shown(value, unit),
    }
}

/// A standard deviation or a bias to three digits, in micrometres or microinches where the readings have a unit.
pub fn deviation(value: f64, unit: Option<&str>) -> String {
    const DIGITS: i32 = 3;
    let Some(unit) = unit.and_then(|unit| unit.parse::<LengthUnit>().ok()) else {
        return number::significant(value, DIGITS);
    };
    let small = unit.small();
    let times = unit.tenth_nanometres() as f64 / small.tenth_nanometres() as f64;
    let number = number::significant(value * times, DIGITS);
    format!("{number} {}", number::sign(small))
}

/// What is usually asked of Cg and Cgk (common practice, no source).
const REQUIRED: f64 = 1.33;

/// Cg or Cgk: one below the usual requirement is not shown as meeting it.
pub fn index(value: f64) -> String {
    number::fixed_beside(value, REQUIRED, 3)
}

/// Repeatability and reproducibility.
pub fn repeatability(study: &RepeatabilityDocument) -> Told {
    let unit = study.unit.as_deref();
    let mut told = Told::default();
    told.sentence(say!(
        "studied.layout",
        operators = study.operators,
        parts = study.parts,
        trials = study.trials,
        design = words::named("study-design", &study.design),
        method = words::named("study-method", &study.method)
    ));
    anova(&study.anova, &mut told);
    let of_tolerance = study.percent_of_tolerance.as_ref();
    let head = [
        "",
        say!("studied.standard-deviation"),
        say!("studied.of-total"),
        of_tolerance.map_or("", |_| say!("studied.of-tolerance")),
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    for (name, of) in parts(study) {
        let percent = |part: &ComponentsDocument| format!("{} %", number::fixed(of(part), 2));
        rows.push(vec![
            name.to_owned(),
            deviation(of(&study.components), unit),
            percent(&study.percent_of_total),
            of_tolerance.map_or_else(String::new, percent),
        ]);
    }
    told.rows(&[22, 18, 12, 14], rows);
    if study.components.repeatability == 0.0 {
        told.sentence(say!("studied.no-repeatability"));
    }
    told.sentence(categories(study));
    if let (Some(pooled), Some(alpha)) = (study.pooled, study.alpha) {
        let alpha = number::given(alpha);
        told.sentence(if pooled {
            say!("studied.pooled", alpha = alpha)
        } else {
            say!("studied.not-pooled", alpha = alpha)
        });
    }
    if let Some(constants) = study.constants {
        told.sentence(say!(
            "studied.constants",
            first = number::fixed(constants.k1, 4),
            second = number::fixed(constants.k2, 4),
            third = number::fixed(constants.k3, 4)
        ));
        let limit = shown(constants.range_limit, unit);
        told.sentence(match constants.ranges_above {
            0 => say!("studied.no-ranges", limit = limit),
            n => say!("studied.ranges", n = n, limit = limit),
        });
    }
    told
}

/// Into how many categories the parts can be told apart.
pub fn categories(study: &RepeatabilityDocument) -> String {
    let categories = study.distinct_categories;
    let categories = categories.map_or_else(|| say!("studied.none").to_owned(), |n| n.to_string());
    match study.distinct_categories_interval {
        Some(interval) => say!(
            "studied.categories-between",
            categories = categories,
            lower = interval.lower,
            upper = interval.upper
        ),
        None if study.components.gauge_rr == 0.0 => say!("studied.no-categories").to_owned(),
        None => say!("studied.categories", categories = categories),
    }
}

type Part = fn(&ComponentsDocument) -> f64;

/// The components by their names; the range method does not look for an interaction.
pub fn parts(study: &RepeatabilityDocument) -> Vec<(&'static str, Part)> {
    let of_trials: [(_, Part); 2] = [
        (say!("studied.repeatability"), |of| of.repeatability),
        (say!("studied.reproducibility"), |of| of.reproducibility),
    ];
    let interaction: (_, Part) = (say!("studied.interaction"), |of| of.interaction);
    let of_all: [(_, Part); 3] = [
        (say!("studied.gauge-rr"), |of| of.gauge_rr),
        (say!("studied.part"), |of| of.part),
        (say!("studied.total"), |of| of.total),
    ];
    let interaction = Some(interaction).filter(|_| study.constants.is_none());
    of_trials
        .into_iter()
        .chain(interaction)
        .chain(of_all)
        .collect()
}

fn anova(all: &[AnovaDocument], told: &mut Told) {
    if all.is_empty() {
        return;
    }
    let head = [
        "",
        say!("studied.df"),
        say!("studied.ss"),
        say!("studied.ms"),
        say!("studied.f"),
        say!("studied.p"),
    ];
    let mut rows = vec![head.map(str::to_owned).to_vec()];
    let shown = |value: Option<f64>, digits| {
        value.map_or_else(String::new, |value| number::significant(value, digits))
    };
    rows.extend(all.iter().map(|line| {
        vec![
            words::named("variation", &line.source),
            line.df.to_string(),
            number::significant(line.ss, 6),
            shown(line.ms, 6),
            shown(line.f, 4),
            shown(line.p, 3),
        ]
    }));
    told.rows(&[16, 6, 14, 14, 10, 10], rows);
}

/// A type-1 study.
pub fn type_1(study: &Type1Document) -> Told {
    let unit = study.unit.as_deref();
    let mut told = Told::default();
    told.value(say!("studied.n"), study.n.to_string());
    for (name, value) in [
        (say!("studied.mean"), mean(study.mean, unit)),
        (
            say!("studied.standard-deviation"),
            deviation(study.standard_deviation, unit),
        ),
        (say!("studied.bias"), deviation(study.bias, unit)),
        (say!("studied.cg"), index(study.cg)),
        (say!("studied.cgk"), index(study.cgk)),
    ] {
        told.value(name, value);
    }
    told.sentence(say!(
        "studied.bias-test",
        t = number::significant(study.t, 4),
        p = number::significant(study.p, 3)
    ));
    told.sentence(say!(
        "studied.type-1-settings",
        part = number::given(study.part_of_tolerance_percent),
        spread = number::given(study.spread)
    ));
    if study.n < FEW {
        told.sentence(say!("studied.few-readings", n = study.n));
    }
    told
}

/// A study of bias.
pub fn bias(study: &BiasDocument) -> Told {
    let unit = study.unit.as_deref();
    let mut told = Told::default();
    told.value(say!("studied.n"), study.n.to_string());
    told.value(say!("studied.mean"), mean(study.mean, unit));
    told.value(say!("studied.bias"), deviation(study.bias, unit));
    let both = [
        (say!("studied.by-deviation"), Some(study.by_deviation)),
        (say!("studied.by-range"), study.by_range),
    ];
    for (how, of) in both {
        let Some(of) = of else { continue };
        told.sentence(say!(
            "studied.bias-by",
            how = how,
            deviation = deviation(of.standard_deviation, unit),
            t = number::significant(of.t, 4),
            p = number::significant(of.p, 3),
            lower = deviation(of.lower, unit),
            upper = deviation(of.upper, unit),
            confidence = number::percent(study.confidence)
        ));
    }
    told
}

/// The biases of a study of linearity by size: at the bench parts come in an order of chance.
pub fn by_size(study: &LinearityDocument) -> Vec<AtReferenceDocument> {
    let mut all = study.references.clone();
    all.sort_by(|one, other| one.reference.total_cmp(&other.reference));
    all
}

/// A study of linearity.
pub fn linearity(study: &LinearityDocument) -> Told {
    let unit = study.unit.as_deref();
    let mut told = Told::default();
    told.sentence(say!(
        "studied.line",
        intercept = number::significant(study.intercept, 4),
        slope = number::significant(study.slope, 4)
    ));
    for (name, t, p) in [
        (say!("studied.slope"), study.slope_t, study.slope_p),
        (
            say!("studied.intercept"),
            study.intercept_t,
            study.intercept_p,
        ),
    ] {
        told.sentence(match t.zip(p) {
            Some((t, p)) => say!(
                "studied.test",
                name = name,
                t = number::significant(t, 4),
                p = number::significant(p, 3)
            ),
            None => say!("studied.no-test", name = name),
        });
    }
    told.value(
        say!("studied.r-squared"),
        number::significant(study.r_squared, 4),
    );
    told.value(
        say!("studied.residual"),
        deviation(study.residual_standard_deviation, unit),
    );
    for at in by_size(study) {
        told.sentence(say!(
            "studied.at-reference",
            reference = shown(at.reference, unit),
            bias = deviation(at.bias, unit),
            lower = deviation(at.lower, unit),
            upper = deviation(at.upper, unit)
        ));
    }
    told.sentence(if study.zero_within {
        say!("studied.linear")
    } else {
        say!("studied.not-linear")
    });
    told
}

/// The result of a study that was run at the bench, or why there is none.
pub fn result(result: &Studied) -> Told {
    let mut told = Told::default();
    if let Some(why) = &result.not_computed {
        let why = words::said(why);
        told.sentence(say!("study-run.not-computed", why = why));
        return told;
    }
    let found = [
        result.repeatability.as_ref().map(repeatability),
        result.type_1.as_ref().map(type_1),
        result.bias.as_ref().map(bias),
        result.linearity.as_ref().map(linearity),
    ];
    found.into_iter().flatten().for_each(|one| told.append(one));
    told
}

/// What is measured, with its limits.
pub fn measured(study: &Study) -> String {
    let target = Target::of(&study.plan.characteristic).ok();
    target
        .as_ref()
        .map_or_else(String::new, words::characteristic)
}

/// Both limits of what is measured.
fn limits(study: &Study) -> Option<String> {
    let target = Target::of(&study.plan.characteristic).ok()?;
    let shown = |limit: Length| number::entered(&Entered::of(limit, target.unit));
    let (lower, upper) = (target.limits.lower?, target.limits.upper?);
    Some(say!(
        "study-run.limits-from",
        lower = shown(lower),
        upper = shown(upper)
    ))
}

/// Micrometer, contacts or wires, and standard.
pub fn set_up(study: &Study) -> String {
    let wires = study.wires.as_ref().map(|wires| wires.id.as_str());
    let ids = [
        Some(study.instrument.id.as_str()),
        Some(study.contacts.id.as_str()),
        wires,
        Some(study.standard.id.as_str()),
    ];
    ids.into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

/// The one number that a study is looked at for.
pub fn brief(one: &OnRecord) -> String {
    let result = &one.result;
    if let Some(study) = &result.repeatability {
        let (share, of) = match &study.percent_of_tolerance {
            Some(percent) => (percent.gauge_rr, say!("studied.of-tolerance")),
            None => (study.percent_of_total.gauge_rr, say!("studied.of-total")),
        };
        return say!(
            "study-run.brief-rr",
            share = number::fixed(share, 1),
            of = of
        );
    }
    if let Some(study) = &result.type_1 {
        return say!(
            "study-run.brief-type-1",
            cg = number::fixed(study.cg, 2),
            cgk = number::fixed(study.cgk, 2)
        );
    }
    if let Some(study) = &result.bias {
        let bias = deviation(study.bias, study.unit.as_deref());
        return say!("study-run.brief-bias", bias = bias);
    }
    if let Some(study) = &result.linearity {
        return if study.zero_within {
            say!("study-run.brief-linear").to_owned()
        } else {
            say!("study-run.brief-not-linear").to_owned()
        };
    }
    say!("study-run.brief-none").to_owned()
}

/// One line of a list.
pub fn listed(one: &OnRecord) -> String {
    say!(
        "study-run.listed",
        kind = words::word(&one.study.plan.kind),
        measured = measured(&one.study),
        set_up = set_up(&one.study),
        result = brief(one)
    )
}

/// The parts: with their known sizes, or in a nested study with whom they belong to.
fn parts_of(plan: &StudyPlan) -> String {
    let of_each = |operator: &String| {
        let own = plan.pairs().filter(|(_, whose)| whose == operator);
        let own: Vec<&str> = own.map(|(part, _)| part).collect();
        say!(
            "study-run.parts-of",
            operator = operator,
            parts = own.join(", ")
        )
    };
    let with_size = |(part, size): (&String, &Entered)| {
        let size = number::entered(size);
        say!("study-run.part-with-size", part = part, size = size)
    };
    match plan.kind {
        StudyKind::Nested => {
            let all: Vec<String> = plan.operators.iter().map(of_each).collect();
            all.join("; ")
        }
        StudyKind::Linearity => {
            let all = plan.parts.iter().zip(&plan.references).map(with_size);
            all.collect::<Vec<_>>().join(", ")
        }
        _ => plan.parts.join(", "),
    }
}

/// A value with its name.
pub type Named = (&'static str, String);

/// What was done.
pub fn facts(study: &Study) -> Vec<Named> {
    let plan = &study.plan;
    let mut facts = vec![
        (say!("study-run.kind"), words::word(&plan.kind)),
        (say!("study-run.measured"), measured(study)),
        (say!("study-run.set-up"), set_up(study)),
        (say!("study-run.operators"), plan.operators.join(", ")),
        (say!("study-run.parts"), parts_of(plan)),
        (
            say!("study-run.readings"),
            say!(
                "study-run.of-planned",
                n = study.readings.len(),
                of = study.planned()
            ),
        ),
        (say!("study-run.seed"), plan.seed.to_string()),
        (say!("study-run.on"), study.on.to_string()),
        (say!("study-run.person"), study.person.clone()),
    ];
    if let Some(tolerance) = &plan.tolerance {
        let tolerance = number::entered(tolerance);
        facts.insert(2, (say!("study-run.tolerance"), tolerance));
    }
    if let Some(limits) = limits(study) {
        facts.insert(2, (say!("study-run.limits"), limits));
    }
    if let Some(reference) = &plan.reference {
        facts.insert(2, (say!("study-run.reference"), number::entered(reference)));
    }
    if plan.kind.has_reference() {
        let zero = number::difference(study.zero_error().mm(), study.unit);
        facts.push((say!("study-run.zero"), zero));
    }
    facts
}
