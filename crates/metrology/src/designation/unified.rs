//! Unified inch threads: UN and UNR.
//!
//! Order of the elements (ASME B1.1): size, threads per inch, series, class, then in any order left hand, special
//! length of engagement, gauging system. Read as in shops: fractions, mixed fractions, decimals, number sizes,
//! `x` or a space for the hyphen, lower case, the series first (`UNC 1/4-20`) or left out.

use std::fmt;

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use super::error::{Fault, ThreadError};
use super::sizes::{UnifiedSize, unified_size, unified_sizes, unified_sizes_near};
use super::tail::{self, MOST_STARTS, Tail};
use super::text::{Cursor, Number};
use super::{Hand, Kind};
use crate::units::{Length, LengthUnit, ThreadsPerInch};

/// A Unified thread as its designation names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnifiedThread {
    /// The basic major diameter in ten-thousandths of an inch, as ASME B1.30 starts its calculations.
    pub(crate) diameter: u32,
    pub(crate) count: ThreadsPerInch,
    pub(crate) series: Series,
    pub(crate) series_stated: bool,
    pub(crate) rounded_root: bool,
    pub(crate) kind: Kind,
    pub(crate) class: Class,
    /// `G`: the allowance must survive coating.
    pub(crate) allowance_kept: bool,
    pub(crate) hand: Hand,
    pub(crate) starts: u16,
    /// A stated length of engagement.
    pub(crate) engagement: Option<Length>,
    /// `SE`: the tolerance is calculated with the stated length of engagement.
    pub(crate) special_engagement: bool,
    /// The gauging system of ASME B1.3: 21, 22 or 23.
    pub(crate) gauging: Option<u8>,
    pub(crate) assumed: Vec<String>,
}

/// A series of Unified threads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Series {
    /// UNC.
    Coarse,
    /// UNF.
    Fine,
    /// UNEF.
    ExtraFine,
    /// UN: 4, 6, 8, 12, 16, 20, 28 or 32 threads per inch.
    Constant,
    /// UNS.
    Special,
}

/// How close a Unified thread fits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    /// Loose.
    One,
    /// General purpose.
    Two,
    /// Close.
    Three,
}

const CLASSES: &str = "Unified classes are 1A, 2A, 3A (external) and 1B, 2B, 3B (internal)";

impl Series {
    /// The symbol, with rounded root (UNR) or without.
    pub const fn symbol(self, rounded_root: bool) -> &'static str {
        match (self, rounded_root) {
            (Self::Coarse, false) => "UNC",
            (Self::Fine, false) => "UNF",
            (Self::ExtraFine, false) => "UNEF",
            (Self::Constant, false) => "UN",
            (Self::Special, false) => "UNS",
            (Self::Coarse, true) => "UNRC",
            (Self::Fine, true) => "UNRF",
            (Self::ExtraFine, true) => "UNREF",
            (Self::Constant, true) => "UNR",
            (Self::Special, true) => "UNRS",
        }
    }

    /// The series of a symbol, in either case, and whether its root is rounded.
    pub(crate) fn from_symbol(symbol: &str) -> Option<(Self, bool)> {
        [
            Self::Coarse,
            Self::Fine,
            Self::ExtraFine,
            Self::Constant,
            Self::Special,
        ]
        .into_iter()
        .flat_map(|series| [(series, false), (series, true)])
        .find(|(series, rounded)| symbol.eq_ignore_ascii_case(series.symbol(*rounded)))
    }
}

impl Class {
    const fn digit(self) -> char {
        match self {
            Self::One => '1',
            Self::Two => '2',
            Self::Three => '3',
        }
    }

    const fn from_digit(digit: u8) -> Option<Self> {
        match digit {
            b'1' => Some(Self::One),
            b'2' => Some(Self::Two),
            b'3' => Some(Self::Three),
            _ => None,
        }
    }
}

impl UnifiedThread {
    /// `2A`, `3B`, `2AG`.
    pub fn class_text(&self) -> String {
        format!(
            "{}{}{}",
            self.class.digit(),
            match self.kind {
                Kind::External => 'A',
                Kind::Internal => 'B',
            },
            if self.allowance_kept { "G" } else { "" }
        )
    }

    /// `8x1.25`: no series was written, and no standard thread of an inch has so few threads per inch.
    pub(super) fn may_be_metric(&self) -> bool {
        !self.series_stated && self.count < ThreadsPerInch::whole(4)
    }

    /// Size and count as the standard prints them, `10-32` or `1 1/8-7`.
    pub(crate) fn size_and_count(&self) -> String {
        size_and_count(self.diameter, self.count)
    }
}

/// Size and count: as listed, else as a fraction, else in decimals.
fn size_and_count(diameter: u32, count: ThreadsPerInch) -> String {
    unified_size(diameter, count).map_or_else(
        || format!("{}-{count}", size_text(diameter, count)),
        UnifiedSize::bare,
    )
}

/// A size that no table lists with this count.
fn size_text(diameter: u32, count: ThreadsPerInch) -> String {
    if let Some(number) = (0..=12).find(|&number| number_size(number) == Some(diameter)) {
        return format!("#{number}");
    }
    let (inches, rest) = (diameter / 10_000, diameter % 10_000);
    if rest == 0 {
        return if bare_number(inches, Some(count)) == Some(Meaning::Inches) {
            inches.to_string()
        } else {
            format!("{inches}.000")
        };
    }
    for denominator in [2, 4, 8, 16, 32, 64] {
        let fraction = (1..denominator)
            .step_by(2)
            .find(|&numerator| fraction_of_inch(numerator, denominator) == Some(rest));
        if let Some(numerator) = fraction {
            return match inches {
                0 => format!("{numerator}/{denominator}"),
                _ => format!("{inches} {numerator}/{denominator}"),
            };
        }
    }
    format!("{}", Decimal::new(i64::from(diameter), 4).normalize())
}

/// In ten-thousandths of an inch, ties to even (ASME B1.30: the basic size is taken to four decimals).
fn fraction_of_inch(numerator: u32, denominator: u32) -> Option<u32> {
    let scaled = numerator.checked_mul(20_000)?.checked_div(denominator)?;
    let exact = (numerator * 20_000).is_multiple_of(denominator);
    Some(match (scaled % 2, exact) {
        (1, true) if scaled / 2 % 2 == 0 => scaled / 2,
        (1, _) => scaled / 2 + 1,
        _ => scaled / 2,
    })
}

/// The diameter of a number size in ten-thousandths of an inch: 0.060 + 0.013 x number.
fn number_size(number: u32) -> Option<u32> {
    matches!(number, 0..=6 | 8 | 10 | 12).then(|| 600 + 130 * number)
}

/// What a bare whole number before the hyphen means.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Meaning {
    Number,
    Inches,
}

/// Reads `10-32` as number 10 and `2-12` as two inches; `None` where both are possible.
///
/// A standard pair decides. Otherwise a number size takes pitches up to 0.3 of its diameter (the coarsest
/// standard one is 0.23), and no thread of an inch or more is finer than 32 per inch in any series.
fn bare_number(number: u32, count: Option<ThreadsPerInch>) -> Option<Meaning> {
    let diameter = number_size(number);
    let (Some(diameter), true) = (diameter, (1..=12).contains(&number)) else {
        return Some(if number == 0 {
            Meaning::Number
        } else {
            Meaning::Inches
        });
    };
    let Some(count) = count else {
        return (number > 6).then_some(Meaning::Number);
    };
    let listed = |diameter| unified_size(diameter, count).is_some();
    match (listed(diameter), listed(number * 10_000)) {
        (true, false) => return Some(Meaning::Number),
        (false, true) => return Some(Meaning::Inches),
        _ => {}
    }
    let count = count.decimal();
    let as_number = count * Decimal::from(diameter) >= Decimal::from(33_333);
    let as_inches = number <= 6 && count < Decimal::from(36);
    match (as_number, as_inches) {
        (true, false) => Some(Meaning::Number),
        (false, _) => Some(Meaning::Inches),
        (true, true) => None,
    }
}

/// Whether a Unified designation can begin like this.
pub(super) fn begins(mut cursor: Cursor<'_>) -> bool {
    cursor.skip_separators();
    let word = cursor.word();
    cursor.is_number()
        || cursor.peek() == b'#'
        || ["no", "nr", "number"]
            .iter()
            .any(|name| word.eq_ignore_ascii_case(name))
        || Series::from_symbol(word).is_some()
}

/// A size as written.
enum Size {
    /// In ten-thousandths of an inch.
    Known(u32),
    /// A whole number without a sign that tells its meaning.
    Bare(u32),
}

/// What was read before it is put together.
struct Parts<'t> {
    size: Size,
    three_decimals: bool,
    size_from: usize,
    size_end: usize,
    size_typed: &'t str,
    count: Option<ThreadsPerInch>,
    count_typed: &'t str,
    count_from: usize,
    count_end: usize,
    lead_starts: Option<u16>,
    /// With the place of the symbol.
    series: Option<((Series, bool), usize, usize)>,
}

/// The elements that only Unified designations have.
#[derive(Default)]
struct Elements {
    class: Option<(Class, Kind, bool)>,
    /// The class of the other thread of a fit, `2A/2B`.
    other: Option<(Class, Kind, bool)>,
    class_from: usize,
    class_end: usize,
    class_typed: String,
    special_engagement: bool,
    special_from: usize,
}

/// Reads a Unified designation.
pub(super) fn read(mut cursor: Cursor<'_>) -> Result<UnifiedThread, ThreadError> {
    let c = &mut cursor;
    let mut parts = read_size(c)?;
    read_count(c, &mut parts)?;
    let (mut own, mut tail) = (Elements::default(), Tail::default());
    loop {
        c.skip_separators();
        if c.is_at_end() {
            break;
        }
        read_element(c, &mut parts, &mut own, &mut tail)?;
    }
    build(*c, &parts, &tail, &own)
}

fn read_size<'t>(c: &mut Cursor<'t>) -> Result<Parts<'t>, ThreadError> {
    let mut series = None;
    if let Some(symbol) = Series::from_symbol(c.word()) {
        let from = c.at();
        c.advance(c.word().len());
        series = Some((symbol, from, c.at()));
        c.skip_separators();
    }
    let missing =
        Fault::MissingSize("a Unified thread begins with it, as in 1/4-20 UNC-2A or 10-32 UNF-2A");
    let mut behind_minus = *c;
    behind_minus.skip_separators();
    if is_class(behind_minus) {
        return Err(c.error_here(missing));
    }
    refuse_minus(c, "size")?;
    let size_from = c.at();
    let mut numbered = c.eat(b'#');
    for name in ["no", "nr", "number"] {
        if !numbered && c.eat_word(name) {
            c.eat(b'.');
            numbered = true;
        }
    }
    c.skip_spaces();
    if !c.is_number() {
        return Err(c.error_here(missing));
    }
    let first = c.number()?;
    let size = if numbered {
        let number = whole(first).and_then(number_size);
        Size::Known(number.ok_or_else(|| {
            c.error_from(size_from, Fault::UnknownNumberSize(first.value.to_string()))
        })?)
    } else if c.peek() == b'/' {
        c.bump();
        Size::Known(fraction(c, 0, first)?)
    } else if let Some(mixed) = mixed(c, first)? {
        Size::Known(mixed)
    } else if let (Some(number), true) = (whole(first), first.whole) {
        Size::Bare(number)
    } else {
        Size::Known(ten_thousandths(c, first.value, size_from)?)
    };
    let size_typed = c.typed(size_from);
    let size_end = c.at();
    let before = *c;
    c.skip_spaces();
    let size = match (tail::unit_here(c), size) {
        (Some(LengthUnit::Inch), Size::Bare(number)) => {
            Size::Known(ten_thousandths(c, Decimal::from(number), size_from)?)
        }
        (Some(LengthUnit::Inch), size) => size,
        (Some(_), _) => {
            return Err(c.error_from(
                before.at(),
                Fault::WrongUnit("Unified sizes are in inches; a size in mm begins with M"),
            ));
        }
        (None, size) => {
            *c = before;
            size
        }
    };
    Ok(Parts {
        size,
        three_decimals: first.value.scale() == 3,
        size_from,
        size_end,
        size_typed,
        count: None,
        count_typed: "",
        count_from: c.at(),
        count_end: c.at(),
        lead_starts: None,
        series,
    })
}

/// Threads per inch, or pitch with lead: `-20`, `x 20`, `-4 1/2`, `-0.0625P-0.1875L`.
fn read_count<'t>(c: &mut Cursor<'t>, parts: &mut Parts<'t>) -> Result<(), ThreadError> {
    let before = *c;
    c.skip_separators();
    if c.eat(b'x') {
        c.skip_spaces();
        refuse_minus(c, "count of threads per inch")?;
    } else if c.before() == b'-' && before.peek() == b'-' && before.ahead(1) == b'-' {
        return Err(c.error_from(
            before.at() + 1,
            Fault::Negative("count of threads per inch"),
        ));
    }
    if !c.is_number() || is_class(*c) {
        *c = before;
        return Ok(());
    }
    parts.count_from = c.at();
    let first = c.number()?;
    if c.eat_word("p") {
        parts.count = Some(count_of_pitch(c, first)?);
        parts.count_typed = c.typed(parts.count_from);
        parts.lead_starts = read_lead(c, first)?;
    } else {
        let count = if c.peek() == b'/' {
            return Err(c.error_from(first.from, Fault::NoSuchNumber));
        } else {
            mixed_count(c, first)?
        };
        parts.count_typed = c.typed(parts.count_from);
        parts.count = Some(ThreadsPerInch::from_decimal(count).map_err(|_| {
            let known = match parts.size {
                Size::Known(diameter) => unified_sizes_near(diameter)
                    .map(UnifiedSize::listed)
                    .collect(),
                Size::Bare(_) => Vec::new(),
            };
            c.error_from(
                parts.count_from,
                Fault::ImpossiblePitch {
                    size: parts.size_typed.to_owned(),
                    pitch: format!("{} threads per inch", parts.count_typed),
                },
            )
            .suggest(known)
        })?);
        let after = *c;
        c.skip_separators();
        if !c.eat_word("tpi") {
            *c = after;
        }
    }
    parts.count_end = c.at();
    Ok(())
}

/// The lead after the pitch, `-0.1875L`, as a number of starts.
fn read_lead(c: &mut Cursor<'_>, pitch: Number) -> Result<Option<u16>, ThreadError> {
    let before = *c;
    c.skip_separators();
    if !c.is_number() {
        *c = before;
        return Ok(None);
    }
    let lead = c.number()?;
    if !c.eat_word("l") {
        *c = before;
        return Ok(None);
    }
    let starts = (lead.value.checked_div(pitch.value))
        .map(|ratio| ratio.round())
        .and_then(|ratio| ratio.to_u16())
        .filter(|starts| (1..=MOST_STARTS).contains(starts));
    let mismatch = || {
        c.error_from(
            lead.from,
            Fault::LeadMismatch(format!(
                "a lead of {} is no multiple of the pitch {}",
                lead.value, pitch.value
            )),
        )
    };
    let starts = starts.ok_or_else(mismatch)?;
    // Lead and pitch are both written rounded.
    let slack = Decimal::new(1, 4) * Decimal::from(starts);
    if (lead.value - pitch.value * Decimal::from(starts)).abs() > slack {
        return Err(mismatch());
    }
    Ok(Some(starts))
}

/// Takes one of the elements behind size and count; they may stand in any order.
fn read_element(
    c: &mut Cursor<'_>,
    parts: &mut Parts<'_>,
    own: &mut Elements,
    tail: &mut Tail,
) -> Result<(), ThreadError> {
    let start = *c;
    let word = c.word();
    if let Some(symbol) = Series::from_symbol(word) {
        c.advance(word.len());
        if parts.series.is_some() {
            return Err(c.error_from(start.at(), Fault::Twice("the series")));
        }
        parts.series = Some((symbol, start.at(), c.at()));
        return Ok(());
    }
    if is_class(*c) {
        return read_class(c, parts, own);
    }
    if tail.take(c, LengthUnit::Inch)? {
        return Ok(());
    }
    if c.eat_word("se") {
        own.special_engagement = true;
        own.special_from = start.at();
        return Ok(());
    }
    if c.eat_word("mod") || c.eat_word("modified") {
        return Err(c.error_from(start.at(), Fault::Modified).suggest(
            build(start, parts, tail, own)
                .map(|thread| thread.to_string())
                .ok(),
        ));
    }
    Err(unexpected(*c, parts, own))
}

/// Something that is no element: a wrong class, a wrong series or a stray piece.
fn unexpected(c: Cursor<'_>, parts: &Parts<'_>, own: &Elements) -> ThreadError {
    let mut end = c.next_piece();
    let word = c.word();
    let typed = end.typed(c.at()).to_owned();
    let class_like = c.peek().is_ascii_digit();
    if class_like && own.class.is_none() {
        let known = if typed.len() == 1 && matches!(c.peek(), b'1'..=b'3') {
            "a class without A or B is the old American National one, with other limits; Unified classes are \
             1A, 2A, 3A (external) and 1B, 2B, 3B (internal)"
        } else {
            CLASSES
        };
        let stem = parts.stem();
        return end
            .error_from(
                c.at(),
                Fault::UnknownClass {
                    class: typed,
                    known,
                },
            )
            .suggest(["2A", "2B", "3A", "3B", "1A", "1B"].map(|class| format!("{stem}-{class}")));
    }
    if word.len() >= 2 && parts.series.is_none() && own.class.is_none() {
        end = c;
        end.advance(word.len());
        let error = end.error_from(c.at(), Fault::UnknownSeries(word.to_owned()));
        return error.suggest_with(vec![parts.stem()], end.rest_from(end.at()));
    }
    end.error_from(c.at(), Fault::Unexpected(typed, "Unified"))
        .suggest([if own.class_typed.is_empty() {
            parts.stem()
        } else {
            format!("{}-{}", parts.stem(), own.class_typed)
        }])
}

impl Parts<'_> {
    /// Size, count and the series they belong to: the beginning of a suggestion.
    fn stem(&self) -> String {
        let diameter = match self.size {
            Size::Known(diameter) => diameter,
            Size::Bare(number) => match bare_number(number, self.count) {
                Some(Meaning::Number) => number_size(number).unwrap_or(0),
                _ => number.saturating_mul(10_000),
            },
        };
        let Some(count) = self.count else {
            return self.size_typed.to_owned();
        };
        let listed = unified_size(diameter, count);
        let series = listed.map_or(Series::Special, |size| size.series);
        format!(
            "{} {}",
            size_and_count(diameter, count),
            series.symbol(false)
        )
    }
}

/// A digit with A or B, as `2A`, `2AG`, `2 A`.
fn is_class(mut c: Cursor<'_>) -> bool {
    let digit = c.peek().is_ascii_digit();
    if c.ahead(1) == b' ' && matches!(c.peek(), b'1'..=b'3') {
        c.bump();
    }
    digit
        && matches!(c.ahead(1), b'A' | b'a' | b'B' | b'b')
        && (!c.ahead(2).is_ascii_alphanumeric() || matches!(c.ahead(2), b'G' | b'g' | b'L' | b'l'))
}

fn read_class(
    c: &mut Cursor<'_>,
    parts: &Parts<'_>,
    own: &mut Elements,
) -> Result<(), ThreadError> {
    let from = c.at();
    let stem = parts.stem();
    let first = one_class(c, &stem)?;
    if own.class.is_some() {
        return Err(c.error_from(from, Fault::Twice("the class")));
    }
    own.class = Some(first);
    let before = *c;
    c.skip_spaces();
    if c.eat(b'/') {
        c.skip_spaces();
        if !is_class(*c) {
            return Err(c.error_here(Fault::UnknownClass {
                class: c.next_piece().typed(c.at()).to_owned(),
                known: CLASSES,
            }));
        }
        own.other = Some(one_class(c, &stem)?);
    } else {
        *c = before;
    }
    own.class_from = from;
    own.class_end = c.at();
    own.class_typed = c.typed(from).to_ascii_uppercase();
    Ok(())
}

fn one_class(c: &mut Cursor<'_>, stem: &str) -> Result<(Class, Kind, bool), ThreadError> {
    let from = c.at();
    let class = Class::from_digit(c.peek());
    c.bump();
    c.skip_spaces();
    let kind = if c.eat(b'A') {
        Kind::External
    } else {
        c.bump();
        Kind::Internal
    };
    let kept = c.peek().eq_ignore_ascii_case(&b'g') && c.eat(b'G');
    let valid = !kept || (class == Some(Class::Two) && kind == Kind::External);
    match class {
        Some(class) if valid => Ok((class, kind, kept)),
        _ => {
            let known = if class.is_some() {
                "G (the allowance is kept after coating) goes with 2A only"
            } else {
                CLASSES
            };
            Err(c
                .error_from(
                    from,
                    Fault::UnknownClass {
                        class: c.typed(from).to_owned(),
                        known,
                    },
                )
                .suggest(['2', '3', '1'].map(|digit| {
                    let letter = if kind == Kind::External { 'A' } else { 'B' };
                    format!("{stem}-{digit}{letter}")
                })))
        }
    }
}

/// Puts the parts together and checks them against the series.
fn build(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    tail: &Tail,
    own: &Elements,
) -> Result<UnifiedThread, ThreadError> {
    let mut assumed = Vec::new();
    let suffix = suffix(tail, own);
    let (diameter, count) = size_and_count_of(c, parts, &suffix, &mut assumed)?;
    check_pitch(c, parts, diameter, count, &suffix)?;
    let starts = starts_of(c, parts, tail)?;
    let (series, rounded_root) =
        series_of(c, parts, diameter, count, starts, &suffix, &mut assumed)?;
    let (class, kind, allowance_kept) = class_of(c, parts, tail, own, &mut assumed)?;
    let thread = UnifiedThread {
        diameter,
        count,
        series,
        series_stated: parts.series.is_some(),
        rounded_root,
        kind,
        class,
        allowance_kept,
        hand: tail.hand.unwrap_or_default(),
        starts,
        engagement: tail.engagement,
        special_engagement: own.special_engagement,
        gauging: tail.gauging,
        assumed,
    };
    check_class(c, parts, own, &thread)?;
    check_engagement(c, tail, own, &thread)?;
    Ok(thread)
}

/// Class and hand as typed: the end of a suggestion.
fn suffix(tail: &Tail, own: &Elements) -> String {
    let class = if own.class_typed.is_empty() {
        String::new()
    } else {
        format!("-{}", own.class_typed)
    };
    match tail.hand {
        Some(Hand::Left) => class + "-LH",
        _ => class,
    }
}

/// Diameter and count; a count left out is taken from the series.
fn size_and_count_of(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    suffix: &str,
    assumed: &mut Vec<String>,
) -> Result<(u32, ThreadsPerInch), ThreadError> {
    let error = |fault| c.error_span(parts.size_from, parts.size_end, fault);
    let diameter = match parts.size {
        Size::Known(diameter) => diameter,
        Size::Bare(number) => match bare_number(number, parts.count) {
            Some(Meaning::Number) => number_size(number)
                .ok_or_else(|| error(Fault::UnknownNumberSize(number.to_string())))?,
            Some(Meaning::Inches) => number.saturating_mul(10_000),
            None => {
                let count = match parts.count {
                    Some(count) => format!("-{count}"),
                    None => String::new(),
                };
                let series = parts
                    .series
                    .map_or_else(String::new, |((series, root), ..)| {
                        format!(" {}", series.symbol(root))
                    });
                return Err(error(Fault::AmbiguousSize(number.to_string())).suggest([
                    format!("#{number}{count}{series}{suffix}"),
                    format!("{number}.000{count}{series}{suffix}"),
                ]));
            }
        },
    };
    if !DIAMETERS.contains(&diameter) {
        // `20 UNC` may be a count whose size was forgotten.
        let of_count = match parts.size {
            Size::Bare(number) if parts.count.is_none() => with_count(number),
            _ => Vec::new(),
        };
        return Err(error(Fault::SizeOutOfRange {
            size: parts.size_typed.to_owned(),
            range: "0.03 in to 12 in; ASME B1.1 tabulates 0.060 in to 6 in",
        })
        .suggest(of_count.iter().map(|listed| format!("{listed}{suffix}"))));
    }
    if let Some(count) = parts.count {
        let diameter = match (parts.series, rounded_size(parts, diameter, count)) {
            (Some(((Series::Special, _), ..)), _) | (_, None) => diameter,
            (_, Some(size)) => {
                assumed.push(format!("{} taken for {}", size.bare(), parts.size_typed));
                size.diameter
            }
        };
        return Ok((diameter, count));
    }
    let listed = parts.series.and_then(|((series, _), ..)| {
        let mut matching = unified_sizes_near(diameter)
            .filter(|size| size.diameter == diameter && size.series == series);
        // A constant-pitch series has several counts for one size: none may be taken.
        matching.next().filter(|_| matching.next().is_none())
    });
    if let Some(size) = listed {
        assumed.push(format!(
            "threads per inch not stated: {} taken, as {} has it for this size",
            size.count,
            size.series.symbol(false)
        ));
        return Ok((diameter, size.count));
    }
    let known = unified_sizes_near(diameter)
        .map(|size| format!("{}{suffix}", size.listed()))
        .collect::<Vec<_>>();
    Err(error(Fault::MissingPitch(format!(
        "{} needs its threads per inch",
        parts.size_typed
    )))
    .suggest(known))
}

/// The listed thread of a size that was written to three decimals, `.312-18` for 5/16-18.
fn rounded_size(
    parts: &Parts<'_>,
    diameter: u32,
    count: ThreadsPerInch,
) -> Option<&'static UnifiedSize> {
    if !parts.three_decimals || unified_size(diameter, count).is_some() {
        return None;
    }
    [diameter.saturating_sub(5), diameter + 5]
        .into_iter()
        .find_map(|near| unified_size(near, count))
}

/// The largest and smallest diameters taken, in ten-thousandths of an inch. ASME B1.1 tabulates 0.060 to 6 in.
const DIAMETERS: std::ops::RangeInclusive<u32> = 300..=120_000;

/// Coarse and fine threads with a count.
fn with_count(count: u32) -> Vec<String> {
    let Some(count) = u16::try_from(count).ok().map(ThreadsPerInch::whole) else {
        return Vec::new();
    };
    unified_sizes()
        .filter(|size| size.count == count && matches!(size.series, Series::Coarse | Series::Fine))
        .map(UnifiedSize::listed)
        .collect()
}

/// Refuses pitches that no thread can have.
fn check_pitch(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    diameter: u32,
    count: ThreadsPerInch,
    suffix: &str,
) -> Result<(), ThreadError> {
    // The pitch is at most 0.45 of the diameter (the coarsest standard one is 0.23), so that a core is left,
    // and no finer than 200 per inch.
    let per_diameter = count.decimal() * Decimal::new(i64::from(diameter), 4);
    if per_diameter < Decimal::new(222, 2) || count > ThreadsPerInch::whole(200) {
        let known = unified_sizes_near(diameter).map(|size| format!("{}{suffix}", size.listed()));
        return Err(c
            .error_span(
                parts.count_from,
                parts.count_end,
                Fault::ImpossiblePitch {
                    size: format!("{} in", Decimal::new(i64::from(diameter), 4).normalize()),
                    pitch: format!("{} threads per inch", count.decimal()),
                },
            )
            .suggest(known));
    }
    Ok(())
}

fn starts_of(c: Cursor<'_>, parts: &Parts<'_>, tail: &Tail) -> Result<u16, ThreadError> {
    match (parts.lead_starts, tail.starts) {
        (Some(of_lead), Some(stated)) if of_lead != stated => Err(c.error_span(
            parts.count_from,
            parts.count_end,
            Fault::LeadMismatch(format!(
                "the lead is {of_lead} times the pitch, but {stated} starts are stated"
            )),
        )),
        (of_lead, stated) => Ok(of_lead.or(stated).unwrap_or(1)),
    }
}

/// The series stated, checked, or the one that the pair belongs to.
fn series_of(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    diameter: u32,
    count: ThreadsPerInch,
    starts: u16,
    suffix: &str,
    assumed: &mut Vec<String>,
) -> Result<(Series, bool), ThreadError> {
    let listed = unified_size(diameter, count);
    let pair = size_and_count(diameter, count);
    let Some(((stated, root), from, end)) = parts.series else {
        let series = match (listed, starts) {
            (Some(size), 1) => size.series,
            _ => Series::Special,
        };
        assumed.push(format!(
            "series not stated: {pair} is {}",
            series.symbol(false)
        ));
        return Ok((series, false));
    };
    match (stated, listed.map(|size| size.series)) {
        (stated, Some(listed)) if stated == listed => Ok((stated, root)),
        // A thread of several starts is special whatever its pitch.
        (Series::Special, _) if starts > 1 => Ok((stated, root)),
        (Series::Special, None) => Ok((stated, root)),
        // The pair carries the symbol of the finer rule: 1-12 is UNF, 1-8 is UNC. The same thread by another
        // name, so taken, and said.
        (Series::Constant, Some(listed)) if listed != Series::Special => {
            assumed.push(format!(
                "{pair} {} taken: the standard lists this size and pitch under that symbol",
                listed.symbol(root)
            ));
            Ok((listed, root))
        }
        (Series::Special, Some(Series::Constant)) => {
            assumed.push(format!(
                "{pair} {} taken: the size and pitch belong to the constant-pitch series",
                Series::Constant.symbol(root)
            ));
            Ok((Series::Constant, root))
        }
        (stated, listed_series) => {
            let is = listed_series.map(|series| format!("{pair} is {}", series.symbol(root)));
            let others = unified_sizes_near(diameter)
                .filter(|size| size.diameter == diameter && size.series == stated)
                .map(|size| format!("{} is {}", size.bare(), stated.symbol(root)));
            let known: Vec<_> = others.chain(is).collect();
            let known = if known.is_empty() {
                format!("{pair} is in no standard series and is written UNS")
            } else {
                known.join(", ")
            };
            let near = unified_sizes_near(diameter)
                .filter(|size| size.diameter == diameter && size.series == stated)
                .chain(listed)
                .map(|size| format!("{} {}{suffix}", size.bare(), size.series.symbol(root)))
                .chain(
                    listed
                        .is_none()
                        .then(|| format!("{pair} {}{suffix}", Series::Special.symbol(root))),
                );
            Err(c
                .error_span(
                    from,
                    end,
                    Fault::NotInSeries {
                        thread: pair.clone(),
                        series: stated.symbol(root).to_owned(),
                        known,
                    },
                )
                .suggest(near))
        }
    }
}

/// The class stated, or 2A/2B as shops take it.
fn class_of(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    tail: &Tail,
    own: &Elements,
    assumed: &mut Vec<String>,
) -> Result<(Class, Kind, bool), ThreadError> {
    let Some(first) = own.class else {
        let kind = tail.kind.unwrap_or(Kind::External);
        let class = match kind {
            Kind::External => "2A",
            Kind::Internal => "2B",
        };
        if tail.kind.is_none() {
            assumed.push("external thread (neither class nor word says which)".to_owned());
        }
        assumed.push(format!(
            "class not stated: {class} taken, as is common; the standard has no default"
        ));
        return Ok((Class::Two, kind, false));
    };
    let error = |fault| c.error_span(own.class_from, own.class_end, fault);
    if let Some(second) = own.other {
        if first.1 == second.1 {
            return Err(error(Fault::UnknownClass {
                class: own.class_typed.clone(),
                known: "a fit is one A and one B class, as 2A/2B",
            }));
        }
        return match tail.kind {
            Some(kind) if kind == first.1 => Ok(first),
            Some(_) => Ok(second),
            None => {
                let stem = parts.stem();
                Err(
                    error(Fault::FitNamesTwoThreads(own.class_typed.clone())).suggest(
                        own.class_typed
                            .split('/')
                            .map(|class| format!("{stem}-{}", class.trim())),
                    ),
                )
            }
        };
    }
    let stem = parts.stem();
    let kind = tail::agreed_kind(first.1, &own.class_typed, tail.kind).map_err(|fault| {
        error(fault).suggest([first.1, other(first.1)].map(|kind| {
            let letter = if kind == Kind::External { 'A' } else { 'B' };
            format!("{stem}-{}{letter}", first.0.digit())
        }))
    })?;
    Ok((first.0, kind, first.2))
}

const fn other(kind: Kind) -> Kind {
    match kind {
        Kind::External => Kind::Internal,
        Kind::Internal => Kind::External,
    }
}

/// UNR is external; class 1 exists for coarse and fine threads from 1/4 in, and for 1-14 UNS.
fn check_class(
    c: Cursor<'_>,
    parts: &Parts<'_>,
    own: &Elements,
    thread: &UnifiedThread,
) -> Result<(), ThreadError> {
    if thread.rounded_root && thread.kind == Kind::Internal {
        let (from, end) = parts.series.map_or((0, 0), |(_, from, end)| (from, end));
        return Err(c
            .error_span(
                from,
                end,
                Fault::ExternalOnly(thread.series.symbol(true), thread.series.symbol(false)),
            )
            .suggest([format!(
                "{} {}-{}",
                thread.size_and_count(),
                thread.series.symbol(false),
                thread.class_text()
            )]));
    }
    let class_one = match thread.series {
        Series::Coarse | Series::Fine => thread.diameter >= 2500,
        _ => is_former_fine(thread.diameter, thread.count),
    };
    if thread.class == Class::One && !class_one {
        let stem = format!(
            "{} {}",
            thread.size_and_count(),
            thread.series.symbol(thread.rounded_root)
        );
        let letter = if thread.kind == Kind::External {
            'A'
        } else {
            'B'
        };
        return Err(c
            .error_span(
                own.class_from,
                own.class_end,
                Fault::ClassNotDefined {
                    class: own.class_typed.clone(),
                    thread: stem.clone(),
                    why: "class 1 exists for UNC and UNF from 1/4 in up, and for 1-14 UNS"
                        .to_owned(),
                },
            )
            .suggest(['2', '3'].map(|digit| format!("{stem}-{digit}{letter}"))));
    }
    Ok(())
}

/// 1-14 UNS was the fine thread of its size and keeps the rules of one.
fn is_former_fine(diameter: u32, count: ThreadsPerInch) -> bool {
    diameter == 10_000 && count == ThreadsPerInch::whole(14)
}

fn check_engagement(
    c: Cursor<'_>,
    tail: &Tail,
    own: &Elements,
    thread: &UnifiedThread,
) -> Result<(), ThreadError> {
    let most = i32::try_from(thread.diameter * 10).unwrap_or(i32::MAX);
    match thread.engagement {
        None if thread.special_engagement => Err(c
            .error_span(
                own.special_from,
                own.special_from + 2,
                Fault::Engagement(
                    "SE says that the length of engagement is special; state it in inches, as in SE LE 1.00"
                        .to_owned(),
                ),
            )),
        Some(length) if length > Length::from_ten_thousandths_inch(most) => Err(c.error_span(
            tail.engagement_from,
            tail.engagement_end,
            Fault::Engagement(format!(
                "a length of engagement of {} in is more than ten diameters",
                length.decimal(LengthUnit::Inch)
            )),
        )),
        _ => Ok(()),
    }
}

fn refuse_minus(c: &mut Cursor<'_>, name: &'static str) -> Result<(), ThreadError> {
    let from = c.at();
    if c.eat(b'-') {
        return Err(c.error_from(from, Fault::Negative(name)));
    }
    Ok(())
}

fn whole(number: Number) -> Option<u32> {
    number.whole.then(|| number.value.to_u32()).flatten()
}

/// A decimal size in ten-thousandths of an inch.
fn ten_thousandths(c: &Cursor<'_>, inches: Decimal, from: usize) -> Result<u32, ThreadError> {
    inches
        .checked_mul(Decimal::from(10_000))
        .and_then(|size| {
            size.round_dp_with_strategy(0, RoundingStrategy::MidpointNearestEven)
                .to_u32()
        })
        .ok_or_else(|| c.error_from(from, Fault::NoSuchNumber))
}

/// The denominator after `a/`, and the size of `whole a/b`.
fn fraction(c: &mut Cursor<'_>, inches: u32, numerator: Number) -> Result<u32, ThreadError> {
    let denominator = c.number()?;
    let error = |c: &Cursor<'_>| c.error_from(numerator.from, Fault::NoSuchNumber);
    let (Some(a), Some(b)) = (whole(numerator), whole(denominator)) else {
        return Err(error(c));
    };
    if a == 0 || b == 0 || b > 128 || a > 12 * 128 {
        return Err(error(c));
    }
    fraction_of_inch(a, b)
        .and_then(|part| inches.checked_mul(10_000)?.checked_add(part))
        .ok_or_else(|| error(c))
}

/// The fraction of a mixed number, ` 1/2` or `-1/2`, if one follows the whole number.
fn mixed_fraction(c: &mut Cursor<'_>, first: Number) -> Option<Number> {
    if !first.whole {
        return None;
    }
    let mut ahead = *c;
    ahead.skip_spaces();
    if ahead.eat(b'-') {
        ahead.skip_spaces();
    }
    if ahead.at() == c.at() {
        return None;
    }
    let numerator = ahead.number().ok()?;
    if !numerator.whole || !ahead.eat(b'/') || !ahead.is_number() {
        return None;
    }
    *c = ahead;
    Some(numerator)
}

/// A mixed size such as `1 1/2` or `1-1/2`.
fn mixed(c: &mut Cursor<'_>, first: Number) -> Result<Option<u32>, ThreadError> {
    let Some(numerator) = mixed_fraction(c, first) else {
        return Ok(None);
    };
    let inches = whole(first).filter(|inches| *inches <= 1000);
    let inches = inches.ok_or_else(|| c.error_from(first.from, Fault::NoSuchNumber))?;
    fraction(c, inches, numerator).map(Some)
}

/// A count such as `20`, `4.5`, `4 1/2`.
fn mixed_count(c: &mut Cursor<'_>, first: Number) -> Result<Decimal, ThreadError> {
    if let Some(numerator) = mixed_fraction(c, first) {
        let part = Decimal::new(i64::from(fraction(c, 0, numerator)?), 4);
        return Ok(first.value + part);
    }
    Ok(first.value)
}

/// The count of a pitch written in inches, which is rounded (0.0769P is 13): the simplest count that the
/// digits allow.
fn count_of_pitch(c: &Cursor<'_>, pitch: Number) -> Result<ThreadsPerInch, ThreadError> {
    let error = || c.error_from(pitch.from, Fault::NoSuchNumber);
    let written = Decimal::new(5, (pitch.value.scale() + 1).clamp(5, 9));
    for parts_of_one in [1, 2, 4, 1000] {
        let parts_of_one = Decimal::from(parts_of_one);
        let count = parts_of_one
            .checked_div(pitch.value)
            .ok_or_else(error)?
            .round()
            / parts_of_one;
        let fits = Decimal::ONE
            .checked_div(count)
            .is_some_and(|exact| (exact - pitch.value).abs() <= written);
        if fits {
            return ThreadsPerInch::from_decimal(count).map_err(|_| error());
        }
    }
    Err(error())
}

/// In the notation of ASME B1.1.
impl fmt::Display for UnifiedThread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.starts > 1 {
            let pitch = self.count.pitch_inch().normalize();
            let lead = (Decimal::from(self.starts) / self.count.decimal())
                .round_dp(8)
                .normalize();
            let size = Decimal::new(i64::from(self.diameter), 4);
            write!(f, "{size}-{pitch}P-{lead}L ({} STARTS)", self.starts)?;
        } else {
            f.write_str(&self.size_and_count())?;
        }
        write!(
            f,
            " {}-{}",
            self.series.symbol(self.rounded_root),
            self.class_text()
        )?;
        if self.hand == Hand::Left {
            f.write_str("-LH")?;
        }
        if self.special_engagement {
            f.write_str(" SE")?;
        }
        if let Some(length) = self.engagement {
            write!(f, " LE {}", length.decimal(LengthUnit::Inch))?;
        }
        if let Some(system) = self.gauging {
            write!(f, " ({system})")?;
        }
        Ok(())
    }
}
