//! ISO metric threads: M.
//!
//! Order of the elements (ISO 965-1): M, diameter, pitch (the coarse one may be left out), class, group of
//! engagement, left hand. Several starts as `xPh3P1.5` (ISO) or `xL3-P1.5` (ASME B1.13M).
//!
//! Which pitches are answered (see also `limits/metric.rs`):
//! * a pitch that ISO 261 lists for the diameter: yes;
//! * a pitch of the tables that is finer than the coarsest of that diameter (M6x0.5, M6.5x1): yes, and
//!   `assumed` says that the pair is not listed. ISO 261 itself sends whoever needs finer threads to those
//!   pitches;
//! * a coarser pitch, or one that no ISO table has (1.6): no. On a drawing that is a slip of the pen far more
//!   often than a wish, and a plausible wrong answer costs more than a question.

use std::fmt;

use super::error::{Fault, ThreadError};
use super::sizes::{is_listed_metric, metric_size, metric_size_at_or_above, metric_size_near};
use super::tail::{self, MOST_STARTS, Tail};
use super::text::{Cursor, Number};
use super::{Hand, Kind};
use crate::limits::metric::{defines_grade, engagement_group, has_deviation, is_tabulated_pitch};
use crate::units::{Length, LengthUnit};

/// A metric thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MetricThread {
    pub(crate) diameter: Length,
    pub(crate) pitch: Length,
    pub(crate) class: MetricClass,
    pub(crate) starts: u16,
    pub(crate) hand: Hand,
    /// The group written, S, N or L.
    pub(crate) group: Option<EngagementGroup>,
    /// A stated length of engagement.
    pub(crate) engagement: Option<Length>,
    /// The gauging system of ASME B1.3: 21, 22 or 23.
    pub(crate) gauging: Option<u8>,
    pub(crate) assumed: Vec<String>,
}

/// A tolerance class such as `6g`, `5g6g`, `6H`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MetricClass {
    pitch_grade: u8,
    crest_grade: u8,
    position: Position,
}

/// Where the tolerance zone lies: the letter of a class.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Position(u8);

/// How long the threads engage: short, normal or long (ISO 965-1).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EngagementGroup {
    /// S.
    Short,
    /// N; not written.
    Normal,
    /// L.
    Long,
}

const CLASSES: &str = "ISO 965-1 has the grades 3 to 9 with a, b, c, d, e, f, g or h for external threads (6g, \
                       5g6g) and the grades 4 to 8 with G or H for internal threads (6H)";

const PITCH_FOLLOWS: &str = "the pitch in mm follows the x, as in M10x1.5-6g";

/// Deviation letters that ISO 965-1 has.
const LETTERS: [u8; 10] = *b"GHabcdefgh";

impl EngagementGroup {
    /// `S`, `N` or `L`.
    pub const fn letter(self) -> char {
        match self {
            Self::Short => 'S',
            Self::Normal => 'N',
            Self::Long => 'L',
        }
    }
}

impl Position {
    /// The letter; capital for internal threads.
    pub const fn letter(self) -> char {
        self.0 as char
    }

    /// The kind of thread that the letter belongs to.
    pub const fn kind(self) -> Kind {
        if self.0.is_ascii_uppercase() {
            Kind::Internal
        } else {
            Kind::External
        }
    }
}

impl MetricClass {
    const fn of(pitch_grade: u8, crest_grade: u8, letter: u8) -> Self {
        Self {
            pitch_grade,
            crest_grade,
            position: Position(letter),
        }
    }

    /// The grade of the pitch diameter.
    pub const fn pitch_grade(self) -> u8 {
        self.pitch_grade
    }

    /// The grade of the crest diameter: major of an external, minor of an internal thread.
    pub const fn crest_grade(self) -> u8 {
        self.crest_grade
    }

    /// The position of both.
    pub const fn position(self) -> Position {
        self.position
    }

    /// External or internal.
    pub const fn kind(self) -> Kind {
        self.position.kind()
    }
}

/// One grade and letter where both are equal, else both, pitch diameter first.
impl fmt::Display for MetricClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let letter = self.position.letter();
        write!(f, "{}{letter}", self.pitch_grade)?;
        if self.crest_grade != self.pitch_grade {
            write!(f, "{}{letter}", self.crest_grade)?;
        }
        Ok(())
    }
}

/// What was read before it is put together.
struct Parts<'t> {
    diameter: Length,
    diameter_end: usize,
    pitch: Option<Length>,
    pitch_from: usize,
    pitch_end: usize,
    pitch_typed: &'t str,
    lead_starts: Option<u16>,
    class: Option<MetricClass>,
    /// The other class of a fit.
    other: Option<MetricClass>,
    class_from: usize,
    class_end: usize,
    class_typed: &'t str,
    group: Option<EngagementGroup>,
    group_from: usize,
    /// `M10X1.5-6G`: typed in capitals throughout, so that the letter may not be meant.
    capitals: bool,
}

/// Reads a metric designation.
pub(super) fn read(mut cursor: Cursor<'_>) -> Result<MetricThread, ThreadError> {
    let c = &mut cursor;
    let mut parts = read_diameter(c)?;
    read_pitch(c, &mut parts)?;
    let mut tail = Tail::default();
    loop {
        c.skip_separators();
        if c.is_at_end() {
            break;
        }
        read_element(c, &mut parts, &mut tail)?;
    }
    build(*c, &parts, &tail)
}

fn read_diameter<'t>(c: &mut Cursor<'t>) -> Result<Parts<'t>, ThreadError> {
    c.eat(b'M');
    c.skip_spaces();
    let mut behind_minus = *c;
    behind_minus.skip_separators();
    if c.peek() == b'-' && behind_minus.is_number() && !is_class(behind_minus) {
        return Err(c.error_here(Fault::Negative("diameter")));
    }
    if !c.is_number() {
        return Err(c.error_here(Fault::MissingSize(
            "the diameter in mm follows the M, as in M10x1.5-6g",
        )));
    }
    let number = c.number()?;
    let diameter = millimetres(c, number)?;
    let end = c.at();
    skip_millimetres(c)?;
    if !(SMALLEST..=LARGEST).contains(&diameter) {
        return Err(c.error_span(
            number.from,
            end,
            Fault::SizeOutOfRange {
                size: format!("M{}", number.value),
                range: "M1 to M355",
            },
        ));
    }
    Ok(Parts {
        diameter,
        diameter_end: end,
        pitch: None,
        pitch_from: end,
        pitch_end: end,
        pitch_typed: "",
        lead_starts: None,
        class: None,
        other: None,
        class_from: end,
        class_end: end,
        class_typed: "",
        group: None,
        group_from: end,
        capitals: false,
    })
}

/// Smallest and largest diameter of the tolerance tables: over 0.99, up to and including 355 mm.
const SMALLEST: Length = Length::from_micrometres(991);
const LARGEST: Length = Length::from_micrometres(355_000);

/// `x1.5`, `-1.5` (as shops write it), ` 1.5`, `xPh3P1.5`, `xL3-P1.5`, `x3(P1.5)`.
fn read_pitch<'t>(c: &mut Cursor<'t>, parts: &mut Parts<'t>) -> Result<(), ThreadError> {
    let before = *c;
    c.skip_separators();
    let capital_x = c.peek() == b'X';
    let crossed = c.eat(b'x');
    c.skip_spaces();
    let minus = c.at();
    if crossed && c.eat(b'-') {
        if is_class(*c) {
            return Err(c.error_from(minus, Fault::MissingPitch(PITCH_FOLLOWS.to_owned())));
        }
        return Err(c.error_from(minus, Fault::Negative("pitch")));
    }
    if !crossed && c.before() == b'-' && before.peek() == b'-' && before.ahead(1) == b'-' {
        return Err(c.error_here(Fault::Negative("pitch")));
    }
    parts.pitch_from = c.at();
    let lead_first =
        c.eat_word("ph") || (crossed && c.word().eq_ignore_ascii_case("l") && c.eat(b'l'));
    if lead_first {
        c.skip_spaces();
        let lead = c.number()?;
        skip_millimetres(c)?;
        c.skip_separators();
        if !c.eat_word("p") {
            return Err(c.error_here(Fault::MissingPitch(
                "the pitch follows the lead, as in M16xPh3P1.5-6H".to_owned(),
            )));
        }
        c.skip_spaces();
        let pitch = c.number()?;
        return set_pitch(c, parts, pitch, Some(lead));
    }
    if crossed {
        c.eat_word("p");
        c.skip_spaces();
    }
    if !c.is_number() || (!crossed && is_class(*c)) {
        if crossed {
            return Err(c.error_here(Fault::MissingPitch(PITCH_FOLLOWS.to_owned())));
        }
        *c = before;
        return Ok(());
    }
    let first = c.number()?;
    if is_class_letter(c.peek()) || c.peek() == b'/' {
        return Err(c
            .next_piece()
            .error_from(first.from, Fault::MissingPitch(PITCH_FOLLOWS.to_owned())));
    }
    if !crossed && starts_follow(*c) {
        *c = before;
        return Ok(());
    }
    parts.capitals = capital_x;
    // `x3(P1.5)`, the older way to write several starts.
    let mut ahead = *c;
    ahead.skip_spaces();
    ahead.eat(b'(');
    if ahead.eat_word("p") && ahead.is_number() {
        let pitch = ahead.number()?;
        ahead.eat(b')');
        *c = ahead;
        return set_pitch(c, parts, pitch, Some(first));
    }
    set_pitch(c, parts, first, None)
}

/// Whether the number just read was a number of starts.
fn starts_follow(mut c: Cursor<'_>) -> bool {
    c.skip_separators();
    c.eat_word("start") || c.eat_word("starts")
}

fn set_pitch<'t>(
    c: &mut Cursor<'t>,
    parts: &mut Parts<'t>,
    pitch: Number,
    lead: Option<Number>,
) -> Result<(), ThreadError> {
    parts.pitch_end = c.at();
    parts.pitch_typed = c.typed(pitch.from).trim_end_matches(')');
    let length = millimetres(c, pitch)?;
    if length == Length::ZERO {
        return Err(c.error_from(pitch.from, Fault::NoSuchNumber));
    }
    parts.pitch = Some(length);
    parts.pitch_from = pitch.from;
    if let Some(lead) = lead {
        let total = millimetres(c, lead)?;
        let starts = (1..=MOST_STARTS).find(|&starts| length.times(i32::from(starts)) == total);
        parts.lead_starts = Some(starts.ok_or_else(|| {
            c.error_from(
                lead.from,
                Fault::LeadMismatch(format!(
                    "a lead of {} is no multiple of the pitch {}",
                    lead.value, pitch.value
                )),
            )
        })?);
    }
    skip_millimetres(c)
}

fn read_element<'t>(
    c: &mut Cursor<'t>,
    parts: &mut Parts<'t>,
    tail: &mut Tail,
) -> Result<(), ThreadError> {
    let start = *c;
    if is_class(*c) {
        return read_class(c, parts);
    }
    // S, N, L alone are groups of engagement; LH is the hand.
    for (letter, group) in [
        ("s", EngagementGroup::Short),
        ("n", EngagementGroup::Normal),
        ("l", EngagementGroup::Long),
    ] {
        if c.ahead(1) != b'.' && c.eat_word(letter) {
            if parts.group.is_some() {
                return Err(c.error_from(start.at(), Fault::Twice("the group of engagement")));
            }
            parts.group = Some(group);
            parts.group_from = start.at();
            return Ok(());
        }
    }
    if tail.take(c, LengthUnit::Millimetre)? {
        return Ok(());
    }
    let end = c.next_piece();
    let typed = end.typed(c.at()).to_owned();
    let stem = parts.stem();
    Err(if c.peek().is_ascii_digit() && parts.class.is_none() {
        end.error_from(
            c.at(),
            Fault::UnknownClass {
                class: typed,
                known: CLASSES,
            },
        )
        .suggest(["6g", "6H"].map(|class| format!("{stem}-{class}")))
    } else {
        let class = if parts.class_typed.is_empty() {
            String::new()
        } else {
            format!("-{}", parts.class_typed)
        };
        end.error_from(c.at(), Fault::Unexpected(typed, "metric"))
            .suggest([format!("{stem}{class}")])
    })
}

impl Parts<'_> {
    /// Diameter and pitch: the beginning of a suggestion.
    fn stem(&self) -> String {
        let pitch = self
            .pitch
            .or_else(|| metric_size(self.diameter).and_then(|size| size.coarse));
        match pitch {
            Some(pitch) => size_text(self.diameter, pitch),
            None => format!("M{}", plain(self.diameter)),
        }
    }
}

const fn is_class_letter(letter: u8) -> bool {
    matches!(letter, b'A'..=b'H' | b'a'..=b'h')
}

/// A digit with a letter that could be a position, even if the class turns out wrong; `6 g` as well.
fn is_class(mut c: Cursor<'_>) -> bool {
    grade_and_letter(&mut c).is_some()
}

fn read_class<'t>(c: &mut Cursor<'t>, parts: &mut Parts<'t>) -> Result<(), ThreadError> {
    let from = c.at();
    let stem = parts.stem();
    let first = one_class(c, &stem)?;
    if parts.class.is_some() {
        return Err(c.error_from(from, Fault::Twice("the class")));
    }
    parts.class = Some(first);
    let before = *c;
    c.skip_spaces();
    if c.eat(b'/') {
        c.skip_spaces();
        parts.other = Some(one_class(c, &stem)?);
    } else {
        *c = before;
    }
    parts.class_from = from;
    parts.class_end = c.at();
    parts.class_typed = c.typed(from);
    Ok(())
}

/// `6g`, `5g6g`, `6H`, `4H5H`.
fn one_class(c: &mut Cursor<'_>, stem: &str) -> Result<MetricClass, ThreadError> {
    let from = c.at();
    let Some((pitch_grade, letter)) = grade_and_letter(c) else {
        return Err(c.error_here(Fault::UnknownClass {
            class: c.next_piece().typed(from).to_owned(),
            known: CLASSES,
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
    let typed = c.typed(from).to_owned();
    if letter != crest_letter {
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
    let known = if class.kind() == Kind::External
        && LETTERS.contains(&letter)
        && (3..=9).contains(&pitch_grade)
    {
        "the major diameter of an external thread has the grades 4, 6 and 8 only, so the class names two grades, \
         that of the pitch diameter first"
    } else {
        CLASSES
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

/// Puts the parts together and checks them against the tables.
fn build(c: Cursor<'_>, parts: &Parts<'_>, tail: &Tail) -> Result<MetricThread, ThreadError> {
    let mut assumed = Vec::new();
    let pitch = pitch_of(c, parts, &mut assumed)?;
    let starts = match (parts.lead_starts, tail.starts) {
        (Some(of_lead), Some(stated)) if of_lead != stated => {
            return Err(c.error_span(
                parts.pitch_from,
                parts.pitch_end,
                Fault::LeadMismatch(format!(
                    "the lead is {of_lead} times the pitch, but {stated} starts are stated"
                )),
            ));
        }
        (of_lead, stated) => of_lead.or(stated).unwrap_or(1),
    };
    let class = class_of(c, parts, tail, pitch, &mut assumed)?;
    let thread = MetricThread {
        diameter: parts.diameter,
        pitch,
        class,
        starts,
        hand: tail.hand.unwrap_or_default(),
        group: parts.group,
        engagement: tail.engagement,
        gauging: tail.gauging,
        assumed,
    };
    check_class(c, parts, &thread)?;
    check_engagement(c, tail, &thread)?;
    Ok(thread)
}

fn pitch_of(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    assumed: &mut Vec<String>,
) -> Result<Length, ThreadError> {
    let listed = metric_size(parts.diameter);
    let name = format!("M{}", plain(parts.diameter));
    let suggestions = || {
        metric_size_near(parts.diameter)
            .into_iter()
            .flat_map(|size| size.pitches().map(|pitch| size_text(size.diameter, pitch)))
            .collect::<Vec<_>>()
    };
    let known = || {
        metric_size_near(parts.diameter).map_or_else(String::new, |size| {
            let pitches: Vec<_> = size.pitches().map(plain).collect();
            let pitches = pitches.join(", ");
            if size.diameter == parts.diameter {
                format!("ISO 261 gives it {pitches}")
            } else {
                format!(
                    "ISO 261 has no {name}; the nearest is M{} with {pitches}",
                    plain(size.diameter)
                )
            }
        })
    };
    let Some(pitch) = parts.pitch else {
        if let Some(coarse) = listed.and_then(|size| size.coarse) {
            assumed.push(format!(
                "pitch not stated: the coarse pitch {} mm of {name} taken",
                plain(coarse)
            ));
            return Ok(coarse);
        }
        return Err(c
            .error_span(
                0,
                parts.diameter_end,
                Fault::MissingPitch(format!(
                    "{name} has no coarse pitch, so the pitch is stated; {}",
                    known()
                )),
            )
            .suggest_with(suggestions(), c.rest_from(parts.diameter_end)));
    };
    let coarsest = metric_size_at_or_above(parts.diameter).and_then(|size| size.pitches().max());
    let possible = is_tabulated_pitch(pitch) && coarsest.is_some_and(|coarsest| pitch <= coarsest);
    if !possible {
        return Err(c
            .error_span(
                parts.pitch_from,
                parts.pitch_end,
                Fault::NoSuchPitch {
                    size: name.clone(),
                    pitch: parts.pitch_typed.to_owned(),
                    known: known(),
                },
            )
            .suggest_with(suggestions(), c.rest_from(parts.pitch_end)));
    }
    if !is_listed_metric(parts.diameter, pitch) {
        assumed.push(format!(
            "{} is not a thread of ISO 261; taken as written",
            size_text(parts.diameter, pitch)
        ));
    }
    Ok(pitch)
}

/// The class stated, or the default of ISO 965-1 (from memory): 6H and 6g, up to M1.4 5H and 6h.
fn class_of(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    tail: &Tail,
    pitch: Length,
    assumed: &mut Vec<String>,
) -> Result<MetricClass, ThreadError> {
    let error = |fault| c.error_span(parts.class_from, parts.class_end, fault);
    let stem = parts.stem();
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
            let fault = Fault::MissingClass(format!(
                "the default class holds for normal engagement; with {letter} the class is stated"
            ));
            return Err(c
                .error_span(parts.group_from, parts.group_from + 1, fault)
                .suggest(classes.map(|class| format!("{stem}-{class}-{letter}"))));
        }
        let kind = tail.kind.unwrap_or(Kind::External);
        if tail.kind.is_none() {
            assumed.push("external thread (neither class nor word says which)".to_owned());
        }
        let small = parts.diameter <= Length::from_micrometres(1_400);
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
        assumed.push(format!(
            "class not stated: {class} taken, the default of ISO 965-1"
        ));
        return Ok(class);
    };
    if let Some(second) = parts.other {
        if first.kind() == second.kind() {
            return Err(error(Fault::UnknownClass {
                class: parts.class_typed.to_owned(),
                known: "a fit is one internal and one external class, as 6H/6g",
            }));
        }
        return match tail.kind {
            Some(kind) if kind == first.kind() => Ok(first),
            Some(_) => Ok(second),
            None => Err(
                error(Fault::FitNamesTwoThreads(parts.class_typed.to_owned()))
                    .suggest([first, second].map(|class| format!("{stem}-{class}"))),
            ),
        };
    }
    tail::agreed_kind(first.kind(), parts.class_typed, tail.kind).map_err(|fault| {
        let other = match first.kind() {
            Kind::External => first.position.0.to_ascii_uppercase(),
            Kind::Internal => first.position.0.to_ascii_lowercase(),
        };
        let other = MetricClass::of(first.pitch_grade, first.crest_grade, other);
        error(fault).suggest([first, other].map(|class| format!("{stem}-{class}")))
    })?;
    if parts.capitals && first.kind() == Kind::Internal && tail.kind.is_none() {
        assumed.push(format!(
            "class {first} taken as written: a capital letter is an internal thread"
        ));
    }
    Ok(first)
}

/// Refuses a class whose table cell is empty: the standard does not define it, so it is not computed.
fn check_class(c: Cursor<'_>, parts: &Parts<'_>, thread: &MetricThread) -> Result<(), ThreadError> {
    let class = thread.class;
    let pitch = plain(thread.pitch);
    let why = if !has_deviation(thread.pitch, class.position) {
        Some(format!(
            "ISO 965-1 has no deviation {} for a pitch of {pitch} mm",
            class.position.letter()
        ))
    } else if !defines_grade(thread.diameter, thread.pitch, class) {
        Some(format!(
            "ISO 965-1 has no tolerance of that grade for this diameter and a pitch of {pitch} mm"
        ))
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

/// A stated length must be possible, and agree with a stated group.
fn check_engagement(c: Cursor<'_>, tail: &Tail, thread: &MetricThread) -> Result<(), ThreadError> {
    let Some(length) = thread.engagement else {
        return Ok(());
    };
    let refuse = |text| {
        Err(c.error_span(
            tail.engagement_from,
            tail.engagement_end,
            Fault::Engagement(text),
        ))
    };
    if length > thread.diameter.times(10) {
        return refuse(format!(
            "a length of engagement of {} mm is more than ten diameters",
            plain(length)
        ));
    }
    let Some(of_length) = engagement_group(thread.diameter, thread.pitch, length) else {
        return Ok(());
    };
    match thread.group {
        Some(stated) if stated != of_length => refuse(format!(
            "a length of engagement of {} mm belongs to group {}, not {}",
            plain(length),
            of_length.letter(),
            stated.letter()
        )),
        _ => Ok(()),
    }
}

/// A whole number of micrometres.
fn millimetres(c: &Cursor<'_>, number: Number) -> Result<Length, ThreadError> {
    Length::from_decimal(number.value, LengthUnit::Millimetre)
        .ok()
        .filter(|length| length.tenth_nanometres() % 10_000 == 0)
        .ok_or_else(|| c.error_from(number.from, Fault::NoSuchNumber))
}

/// Takes `mm`, refuses inches.
fn skip_millimetres(c: &mut Cursor<'_>) -> Result<(), ThreadError> {
    let before = *c;
    c.skip_spaces();
    match tail::unit_here(c) {
        Some(LengthUnit::Millimetre) => Ok(()),
        Some(_) => Err(c.error_from(
            before.at(),
            Fault::WrongUnit("M threads are in mm; an inch thread is written as 1/4-20 UNC-2A"),
        )),
        None => {
            *c = before;
            Ok(())
        }
    }
}

fn plain(length: Length) -> String {
    length.decimal(LengthUnit::Millimetre).to_string()
}

fn size_text(diameter: Length, pitch: Length) -> String {
    format!("M{}x{}", plain(diameter), plain(pitch))
}

/// In the notation of ISO 965-1, with the pitch always written.
impl fmt::Display for MetricThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mm = |length: Length| length.decimal(LengthUnit::Millimetre);
        write!(f, "M{}x", mm(self.diameter))?;
        if self.starts > 1 {
            write!(f, "Ph{}P", mm(self.pitch.times(i32::from(self.starts))))?;
        }
        write!(f, "{}-{}", mm(self.pitch), self.class)?;
        if let Some(group) = self.group.filter(|group| *group != EngagementGroup::Normal) {
            write!(f, "-{}", group.letter())?;
        }
        if self.hand == Hand::Left {
            f.write_str("-LH")?;
        }
        if let Some(length) = self.engagement {
            write!(f, " LE {}", mm(length))?;
        }
        if let Some(system) = self.gauging {
            write!(f, " ({system})")?;
        }
        Ok(())
    }
}
