//! Tolerance classes of metric threads.

use super::parts::{Parts, plain, size_text};
use crate::designation::tail::{self, Tail};
use crate::designation::text::Cursor;
use crate::limits::metric::{defines_grade, has_deviation};
use crate::thread::Assumed;
use crate::thread::Kind;
use crate::thread::ThreadError;
use crate::thread::metric::{EngagementGroup, MetricClass, MetricThread};
use crate::thread::{ClassNotDefined, Element, Fault, KnownClasses};
use crate::units::Length;

/// Deviation letters that ISO 965-1 has.
const LETTERS: [u8; 10] = *b"GHabcdefgh";

pub(super) const fn is_class_letter(letter: u8) -> bool {
    matches!(letter, b'A'..=b'H' | b'a'..=b'h')
}

/// A digit with a letter that could be a position, even if the class turns out wrong; `6 g` as well.
pub(super) fn is_class(mut c: Cursor<'_>) -> bool {
    grade_and_letter(&mut c).is_some()
}

pub(super) fn read_class<'t>(c: &mut Cursor<'t>, parts: &mut Parts<'t>) -> Result<(), ThreadError> {
    let from = c.at();
    let first = one_class(c, parts)?;
    if parts.class.is_some() {
        return Err(c.error_from(
            from,
            Fault::Twice {
                what: Element::Class,
            },
        ));
    }
    parts.class = Some(first);
    let before = *c;
    c.skip_spaces();
    if c.eat(b'/') {
        c.skip_spaces();
        parts.other = Some(one_class(c, parts)?);
    } else {
        *c = before;
    }
    parts.class_from = from;
    parts.class_end = c.at();
    parts.class_typed = c.typed(from);
    Ok(())
}

/// `6g`, `5g6g`, `6H`, `4H5H`.
fn one_class(c: &mut Cursor<'_>, parts: &Parts<'_>) -> Result<MetricClass, ThreadError> {
    let from = c.at();
    let Some((pitch_grade, letter)) = grade_and_letter(c) else {
        return Err(c.error_here(Fault::UnknownClass {
            class: c.next_piece().typed(from).to_owned(),
            known: KnownClasses::Metric,
        }));
    };
    let mut second = *c;
    second.skip_spaces();
    let (crest_grade, crest_letter) = match grade_and_letter(&mut second) {
        Some(found) => {
            *c = second;
            found
        }
        None => (pitch_grade, letter),
    };
    if letter != crest_letter {
        let (typed, stem) = (c.typed(from).to_owned(), parts.stem());
        let suggestions = [letter, crest_letter].map(|letter| {
            let class = MetricClass::of(pitch_grade, crest_grade, letter);
            format!("{stem}-{class}")
        });
        return Err(c
            .error_from(from, Fault::MixedPositions { class: typed })
            .suggest(suggestions));
    }
    let class = MetricClass::of(pitch_grade, crest_grade, letter);
    let known = LETTERS.contains(&letter)
        && match class.kind() {
            Kind::External => (3..=9).contains(&pitch_grade) && matches!(crest_grade, 4 | 6 | 8),
            Kind::Internal => (4..=8).contains(&pitch_grade) && (4..=8).contains(&crest_grade),
        };
    if known {
        return Ok(class);
    }
    let (typed, stem) = (c.typed(from).to_owned(), parts.stem());
    let known = if class.kind() == Kind::External
        && LETTERS.contains(&letter)
        && (3..=9).contains(&pitch_grade)
    {
        KnownClasses::MetricMajor
    } else {
        KnownClasses::Metric
    };
    Err(c
        .error_from(
            from,
            Fault::UnknownClass {
                class: typed,
                known,
            },
        )
        .suggest(
            nearest_classes(class)
                .into_iter()
                .map(|class| format!("{stem}-{class}")),
        ))
}

/// Classes that somebody who wrote this one may have meant.
fn nearest_classes(class: MetricClass) -> Vec<MetricClass> {
    let letter = class.position.0;
    let (lower, upper) = (letter.to_ascii_lowercase(), letter.to_ascii_uppercase());
    let mut classes = Vec::new();
    if LETTERS.contains(&lower) {
        let crest = |grade: u8| {
            if grade <= 4 {
                4
            } else if grade <= 7 {
                6
            } else {
                8
            }
        };
        if letter == lower && class.pitch_grade == class.crest_grade {
            let pitch_grade = class.pitch_grade.clamp(3, 9);
            // 5g is written 5g6g: the major diameter has the grades 4, 6 and 8 only.
            classes.push(MetricClass::of(pitch_grade, crest(pitch_grade), lower));
        }
        let even = crest(class.pitch_grade);
        classes.push(MetricClass::of(even, even, lower));
    }
    if LETTERS.contains(&upper) {
        let grade = class.pitch_grade.clamp(4, 8);
        classes.push(MetricClass::of(grade, grade, upper));
    }
    if classes.is_empty() {
        classes.push(MetricClass::of(6, 6, b'g'));
        classes.push(MetricClass::of(6, 6, b'H'));
    }
    classes
}

fn grade_and_letter(c: &mut Cursor<'_>) -> Option<(u8, u8)> {
    let digit = c.peek();
    let mut ahead = *c;
    ahead.bump();
    let spaced = ahead.peek() == b' ';
    ahead.skip_spaces();
    let letter = ahead.peek();
    let possible = digit.is_ascii_digit()
        && letter.is_ascii_alphabetic()
        && !matches!(letter, b'x' | b'X' | b'*')
        && !ahead.ahead(1).is_ascii_alphabetic()
        // Behind a space only what is surely a class: `M8 1 S` has the pitch 1.
        && (!spaced || (matches!(digit, b'3'..=b'9') && LETTERS.contains(&letter)));
    if !possible {
        return None;
    }
    ahead.bump();
    *c = ahead;
    Some((digit - b'0', letter))
}

/// The default of ISO 965-1 (from memory): 6H and 6g, up to M1.4 5H and 6h.
pub(super) fn default_class(kind: Kind, diameter: Length, pitch: Length) -> (MetricClass, Assumed) {
    let small = diameter <= Length::from_micrometres(1_400);
    let class = match kind {
        Kind::External if small => MetricClass::of(6, 6, b'h'),
        Kind::External => MetricClass::of(6, 6, b'g'),
        // The tables have no other internal grade for this pitch.
        Kind::Internal if pitch == Length::from_micrometres(200) => MetricClass::of(4, 4, b'H'),
        Kind::Internal if small || pitch == Length::from_micrometres(250) => {
            MetricClass::of(5, 5, b'H')
        }
        Kind::Internal => MetricClass::of(6, 6, b'H'),
    };
    let taken = Assumed::MetricClass {
        class: class.to_string(),
    };
    (class, taken)
}

/// The class stated, or the one that the form takes for none.
pub(super) fn class_of(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    tail: &Tail,
    pitch: Length,
    assumed: &mut Vec<Assumed>,
) -> Result<MetricClass, ThreadError> {
    let error = |fault| c.error_span(parts.class_from, parts.class_end, fault);
    let stem = || parts.stem();
    let Some(first) = parts.class else {
        if let Some(group) = parts
            .group
            .filter(|group| *group != EngagementGroup::Normal)
        {
            let classes = match group {
                EngagementGroup::Long => ["7g6g", "7H"],
                _ => ["5g6g", "5H"],
            };
            let letter = group.letter();
            let fault = Fault::MissingClass { group: letter };
            let stem = stem();
            return Err(c
                .error_span(parts.group_from, parts.group_from + 1, fault)
                .suggest(classes.map(|class| format!("{stem}-{class}-{letter}"))));
        }
        let kind = tail.kind.unwrap_or(Kind::External);
        if tail.kind.is_none() {
            assumed.push(Assumed::External);
        }
        let (class, taken) = (parts.class_when_open)(kind, parts.diameter, pitch);
        assumed.push(taken);
        return Ok(class);
    };
    if let Some(second) = parts.other {
        if first.kind() == second.kind() {
            return Err(error(Fault::UnknownClass {
                class: parts.class_typed.to_owned(),
                known: KnownClasses::MetricFit,
            }));
        }
        return match tail.kind {
            Some(kind) if kind == first.kind() => Ok(first),
            Some(_) => Ok(second),
            None => Err(error(Fault::FitNamesTwoThreads {
                fit: parts.class_typed.to_owned(),
            })
            .suggest([first, second].map(|class| format!("{}-{class}", stem())))),
        };
    }
    tail::agreed_kind(first.kind(), parts.class_typed, tail.kind).map_err(|fault| {
        let other = match first.kind() {
            Kind::External => first.position.0.to_ascii_uppercase(),
            Kind::Internal => first.position.0.to_ascii_lowercase(),
        };
        let other = MetricClass::of(first.pitch_grade, first.crest_grade, other);
        error(*fault).suggest([first, other].map(|class| format!("{}-{class}", stem())))
    })?;
    if parts.capitals && first.kind() == Kind::Internal && tail.kind.is_none() {
        assumed.push(Assumed::CapitalLetter {
            class: first.to_string(),
        });
    }
    Ok(first)
}

/// Refuses a class whose table cell is empty: the standard does not define it, so it is not computed.
pub(super) fn check_class(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    thread: &MetricThread,
) -> Result<(), ThreadError> {
    let class = thread.class;
    let pitch = plain(thread.pitch);
    let why = if !has_deviation(thread.pitch, class.position) {
        Some(ClassNotDefined::NoDeviation {
            letter: class.position.letter(),
            pitch,
        })
    } else if !defines_grade(thread.diameter, thread.pitch, class) {
        Some(ClassNotDefined::NoTolerance { pitch })
    } else {
        None
    };
    let Some(why) = why else {
        return Ok(());
    };
    let stem = size_text(thread.diameter, thread.pitch);
    let letters: &[u8] = match class.kind() {
        Kind::External => b"gh",
        Kind::Internal => b"H",
    };
    let grades = [class.pitch_grade, 6, 5, 4];
    let suggestions = letters.iter().flat_map(|&letter| {
        let stem = &stem;
        grades
            .into_iter()
            .map(move |grade| format!("{stem}-{}", MetricClass::of(grade, grade, letter)))
    });
    Err(c
        .error_span(
            parts.class_from,
            parts.class_end,
            Fault::ClassNotDefined {
                class: class.to_string(),
                thread: stem.clone(),
                why,
            },
        )
        .suggest(suggestions))
}
