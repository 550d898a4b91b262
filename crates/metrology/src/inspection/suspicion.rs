//! Readings that look like a mistake.
//!
//! A slip of the hand leaves a mark: one turn of the thimble, a numeral, a unit, two digits exchanged. Where a
//! reading lies off the others (or off any thread one could sell) by just such a step, it is flagged with what it
//! looks like. It is never changed and never left out: that is for the person who can take it again.
//!
//! The steps are those of micrometers with a 0.5 mm or 0.025 in screw: common practice, no source.

use crate::limits::Limits;
use crate::units::{Entered, Length, LengthUnit};

crate::messages! {
    /// What a reading looks like.
    pub enum Suspicion "suspicion" {
        /// One turn of the thimble, or two, off.
        ThimbleTurn "thimble-turn" { reading: Entered as Entered, step: Step as said, side: OffTo as code, expected: Near as code },
        /// One numeral on the sleeve off.
        Numeral "numeral" { reading: Entered as Entered, step: Step as said, side: OffTo as code, expected: Near as code },
        /// One line on the thimble off.
        ThimbleLine "thimble-line" { reading: Entered as Entered, step: Step as said, side: OffTo as code, expected: Near as code },
        /// Right if it was read in the other unit; `size` is what that is in the unit it was given in.
        Unit "unit" { reading: Entered as Entered, expected: Near as code, other: LengthUnit as Unit, size: Entered as Entered },
        /// Right with the decimal point one place over.
        DecimalPoint "decimal-point" { reading: Entered as Entered, expected: Near as code },
        /// Right with two neighbouring digits exchanged.
        SwappedDigits "swapped-digits" { reading: Entered as Entered, expected: Near as code, meant: Entered as Entered },
        /// Off by twice the zero error, as if it had been applied with the wrong sign.
        ZeroSign "zero-sign" { reading: Entered as Entered, side: OffTo as code, expected: Near as code },
        /// Far from the rest, for no reason that one could name.
        FarFromRest "far-from-rest" { reading: Entered as Entered, side: OffTo as code, expected: Near as code },
        /// With fewer decimals than the display shows; `meant` is it with zeros for those that are not there.
        FewerDecimals "fewer-decimals" { reading: Entered as Entered, step: Entered as Entered, meant: Entered as Entered },
    }
}

crate::messages! {
    /// By what a screw and its scales can be misread.
    pub enum Step "screw-step" {
        /// One turn of the thimble.
        OneTurn "one-turn" { length: Entered as Entered },
        /// Two turns of the thimble.
        TwoTurns "two-turns" { length: Entered as Entered },
        /// One numeral of an inch sleeve.
        Numeral "numeral" { length: Entered as Entered },
        /// One line of a metric sleeve.
        SleeveLine "sleeve-line" { length: Entered as Entered },
        /// Ten of them, where a metric sleeve has a numeral.
        TenLines "ten-lines" { length: Entered as Entered },
        /// One line of the thimble.
        ThimbleLine "thimble-line" { length: Entered as Entered },
    }
}

crate::codes! {
    /// On which side of what was expected a reading lies.
    pub enum OffTo "side" {
        /// Too small.
        Below "below",
        /// Too large.
        Above "above",
    }
}

crate::codes! {
    /// What a reading ought to be near.
    pub enum Near "near" {
        /// The limits of size, as the micrometer would show them.
        Limits "limits",
        /// The certified size of the standard.
        CertifiedSize "certified-size",
        /// The other readings.
        OtherReadings "other-readings",
    }
}

crate::codes! {
    /// The kinds of slips that leave a mark.
    pub enum SuspicionKind "slip" {
        /// One turn of the thimble: 0.5 mm or 0.025 in.
        ThimbleTurn "thimble-turn",
        /// One numeral on the sleeve: 0.1 in, 1 mm or 10 mm.
        Numeral "numeral",
        /// One line on the thimble: 0.001 in or 0.01 mm.
        ThimbleLine "thimble-line",
        /// Millimetres for inches, or the reverse.
        Unit "unit",
        /// Decimal point one place off.
        DecimalPoint "decimal-point",
        /// Two neighbouring digits exchanged.
        SwappedDigits "swapped-digits",
        /// A zero error applied with the wrong sign.
        ZeroSign "zero-sign",
        /// Far from the rest, for no reason that one could name.
        FarFromRest "far-from-rest",
        /// A digit that was lost, or a display that was read more coarsely than it shows.
        FewerDecimals "fewer-decimals",
    }
}

impl Suspicion {
    /// Which kind of slip it looks like.
    pub const fn kind(&self) -> SuspicionKind {
        match self {
            Self::ThimbleTurn { .. } => SuspicionKind::ThimbleTurn,
            Self::Numeral { .. } => SuspicionKind::Numeral,
            Self::ThimbleLine { .. } => SuspicionKind::ThimbleLine,
            Self::Unit { .. } => SuspicionKind::Unit,
            Self::DecimalPoint { .. } => SuspicionKind::DecimalPoint,
            Self::SwappedDigits { .. } => SuspicionKind::SwappedDigits,
            Self::ZeroSign { .. } => SuspicionKind::ZeroSign,
            Self::FarFromRest { .. } => SuspicionKind::FarFromRest,
            Self::FewerDecimals { .. } => SuspicionKind::FewerDecimals,
        }
    }
}

/// What a reading ought to be near, and how near is near enough.
#[derive(Clone, Copy, Debug)]
struct Expected {
    centre: Length,
    reach: Length,
    whose: Near,
}

impl Expected {
    fn holds(self, size: Length) -> bool {
        (size - self.centre).abs() <= self.reach
    }

    /// Further than form can put one of three readings from two that agree.
    fn is_far(self, size: Length) -> bool {
        (size - self.centre).abs() > FAR_FROM_TWO.max(self.reach.times(10))
    }

    /// Half as far, for slips that are no larger than what form can do: they must land well to be named.
    fn closely(self) -> Self {
        Self {
            reach: Length::from_tenth_nanometres(self.reach.tenth_nanometres() / 2),
            ..self
        }
    }
}

/// Where readings should lie if nothing went wrong, as shown: between limits, or about a certified size.
#[derive(Clone, Copy, Debug)]
pub struct Plausible {
    /// From, to.
    pub limits: Limits,
    /// What that is.
    pub whose: Near,
    /// How far the thing itself may put readings apart.
    pub form: Form,
}

/// How far a thing itself may put readings apart: a slip that form could have made is not named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Not at all: one place of a setting standard.
    None,
    /// A little, from place to place of one size.
    Small,
    /// How the places differ is what is measured, as of a wall or of a shaft with a taper.
    Measured,
    /// The same of walls of which the limits say little one by one: those of a diameter across two of them.
    Walls,
}

/// Two against one: a reading this far from two others that agree is asked about (common practice, no source).
const FAR_FROM_TWO: Length = Length::from_micrometres(50);

impl Form {
    /// With fewer others nothing tells a stray from the rest (common practice, no source).
    const fn fewest_others(self) -> Option<usize> {
        match self {
            Self::None => Some(2),
            Self::Small => Some(3),
            Self::Measured | Self::Walls => None,
        }
    }

    /// Whether how the places differ is what is measured.
    pub const fn is_measured(self) -> bool {
        matches!(self, Self::Measured | Self::Walls)
    }
}

/// Examines readings of one size against each other and against where they should lie.
///
/// `repeatability` is the standard deviation of one reading where it is known, `zero_error` indicated minus true.
/// One answer for each reading, in order.
pub fn examine(
    readings: &[Entered],
    plausible: Plausible,
    repeatability: Option<Length>,
    zero_error: Length,
) -> Vec<Option<Suspicion>> {
    let band = plausible_band(plausible);
    let all = Sorted::of(readings.iter().map(Entered::value));
    let median = all.median();
    // That of most: `8.9` among `8.925` and `8.926` lost its last digits, and must not widen what is taken for near.
    let mut steps: Vec<Length> = readings.iter().map(Entered::resolution).collect();
    let resolution = usual_step(&mut steps);
    let whole_set_is_off = match (band, median) {
        (Some(band), Some(median)) => !band.holds(median),
        _ => false,
    };
    let others = readings.len().saturating_sub(1);
    let fewest = plausible.form.fewest_others();
    let strays = fewest.is_some_and(|fewest| others >= fewest);
    let mut neighbourhoods = Neighbourhoods::of(&all, resolution, repeatability);
    readings
        .iter()
        .map(|reading| {
            let others_at = neighbourhoods.without(reading.value());
            // Among others no wall is odd, wherever the limits of a diameter lie.
            let odd = others_at.is_some_and(|expected| !expected.holds(reading.value()));
            let by_neighbours = others_at
                .filter(|_| !whole_set_is_off)
                .filter(|expected| !expected.holds(reading.value()))
                .and_then(|expected| {
                    let far = fewest.is_some() && expected.is_far(reading.value());
                    let naming = Naming::Neighbours {
                        strays: strays || far,
                    };
                    explain(reading, expected, zero_error, naming)
                });
            by_neighbours.or_else(|| {
                let band = band.filter(|band| !band.holds(reading.value()))?;
                let swaps = odd || plausible.form != Form::Walls;
                explain(reading, band, zero_error, Naming::Band { swaps })
            })
        })
        .collect()
}

/// Examines a reading of a part among many: against where it should lie, and against earlier readings of the same part that
/// stand. Unlike [`examine`] it also names one that no slip explains: nobody sees it beside the others. A part out of its limits
/// is named once: what lies near a reading of it that stands is not.
pub fn examine_apart<'a>(
    reading: &Entered,
    same_part: impl Iterator<Item = &'a Entered>,
    plausible: Plausible,
    zero_error: Length,
) -> Option<Suspicion> {
    let slip = examine(std::slice::from_ref(reading), plausible, None, zero_error);
    if let Some(slip) = slip.into_iter().flatten().next() {
        return Some(slip);
    }
    let reach = least_reach(reading.resolution(), None);
    let mut nearest: Option<Expected> = None;
    for earlier in same_part {
        let expected = Expected {
            centre: earlier.value(),
            reach,
            whose: Near::OtherReadings,
        };
        if !expected.is_far(reading.value()) {
            return None;
        }
        let off = |of: Expected| (reading.value() - of.centre).abs();
        if nearest.is_none_or(|known| off(expected) < off(known)) {
            nearest = Some(expected);
        }
    }
    let band = plausible_band(plausible).filter(|band| !band.holds(reading.value()));
    let expected = band.or(nearest)?;
    let side = if (reading.value() - expected.centre).is_negative() {
        OffTo::Below
    } else {
        OffTo::Above
    };
    Some(Suspicion::FarFromRest {
        reading: reading.clone(),
        side,
        expected: expected.whose,
    })
}

/// Whether [`examine`] would name none of these readings; `resolution` is the step of most of them.
pub fn are_plausible(
    readings: &[Length],
    resolution: Length,
    plausible: Plausible,
    repeatability: Option<Length>,
) -> bool {
    let band = plausible_band(plausible);
    if !readings
        .iter()
        .all(|reading| band.is_none_or(|band| band.holds(*reading)))
    {
        return false;
    }
    let (Some(least), Some(most)) = (readings.iter().min(), readings.iter().max()) else {
        return true;
    };
    // All together lie nearer to each other than the neighbourhood of any of them reaches.
    if *most - *least <= least_reach(resolution, repeatability) {
        return true;
    }
    let all = Sorted::of(readings.iter().copied());
    let mut neighbourhoods = Neighbourhoods::of(&all, resolution, repeatability);
    readings.iter().all(|reading| {
        let others = neighbourhoods.without(*reading);
        others.is_none_or(|expected| expected.holds(*reading))
    })
}

/// The step that most readings have.
pub fn usual_step(steps: &mut [Length]) -> Length {
    steps.sort_unstable();
    steps.get(steps.len() / 2).copied().unwrap_or_default()
}

/// How far from the certified size no zero is off without something being wrong (common practice, no source).
const REACH: Length = Length::from_micrometres(50);

/// Examines readings on a standard of this certified size, and by the step of the display where it is stated.
pub fn on_standard(
    readings: &[Entered],
    certified: Length,
    step: Option<&Entered>,
) -> Vec<Option<Suspicion>> {
    let slips = examine(readings, about_certified(certified), None, Length::ZERO);
    or_fewer_decimals(slips, readings, step)
}

/// What was found of each reading, and where that is nothing, that it has fewer decimals than a display of this step shows.
pub fn or_fewer_decimals(
    slips: Vec<Option<Suspicion>>,
    readings: &[Entered],
    step: Option<&Entered>,
) -> Vec<Option<Suspicion>> {
    let both = slips.into_iter().zip(readings);
    both.map(|(slip, reading)| slip.or_else(|| fewer_decimals(reading, step)))
        .collect()
}

/// A reading with fewer decimals than a display of this step shows: `8.99` where it shows `8.999` lost a digit or was read more
/// coarsely, and which of both nobody can tell afterwards (common practice, no source).
///
/// A step in the unit of another system says nothing of the decimals, and readings finer than the step are no matter of this.
pub fn fewer_decimals(reading: &Entered, step: Option<&Entered>) -> Option<Suspicion> {
    /// More than any display shows.
    const MOST: u32 = 10;
    /// No display of a micrometer has a finer step, millimetres; a finer one that is stated is none to be seen.
    const FINEST: f64 = 0.00005;
    let unit = reading.unit();
    let step = step.filter(|step| step.unit().of_drawing() == unit.of_drawing())?;
    if reading.resolution() <= step.value() || step.value().mm() < FINEST {
        return None;
    }
    let mut with_zeros = (reading.decimals() + 1..=MOST).filter_map(|decimals| {
        let text = reading.value().to_fixed(unit, decimals);
        Entered::parse(&text, Some(unit)).ok()
    });
    let meant = with_zeros.find(|one| one.resolution() <= step.value())?;
    Some(Suspicion::FewerDecimals {
        reading: reading.clone(),
        step: step.clone(),
        meant,
    })
}

/// Where readings of a certified size should lie.
pub fn about_certified(certified: Length) -> Plausible {
    Plausible {
        limits: Limits::between(certified - REACH, certified + REACH),
        whose: Near::CertifiedSize,
        form: Form::None,
    }
}

/// Everything within one tolerance of the band between the limits: a bad part is plausible, another thread is not.
fn plausible_band(plausible: Plausible) -> Option<Expected> {
    let (lower, upper) = (plausible.limits.lower?, plausible.limits.upper?);
    let half_sum = Length::from_tenth_nanometres(i64::midpoint(
        lower.tenth_nanometres(),
        upper.tenth_nanometres(),
    ));
    Some(Expected {
        centre: half_sum,
        reach: Length::from_tenth_nanometres((upper - lower).tenth_nanometres() * 3 / 2),
        whose: plausible.whose,
    })
}

/// No reading is odd among others that lie no further off than this.
fn least_reach(resolution: Length, repeatability: Option<Length>) -> Length {
    let repeatability = repeatability.unwrap_or_default();
    resolution.times(3).max(repeatability.times(3))
}

/// Where the readings lie without one of them.
///
/// Whichever is left out, the median of the others is one of three values at most, so that the deviations from it are
/// sorted three times and not once for every reading.
struct Neighbourhoods<'a> {
    all: &'a Sorted,
    least_reach: Length,
    deviations: Vec<(Length, Sorted)>,
}

impl<'a> Neighbourhoods<'a> {
    fn of(all: &'a Sorted, resolution: Length, repeatability: Option<Length>) -> Self {
        Self {
            all,
            least_reach: least_reach(resolution, repeatability),
            deviations: Vec::new(),
        }
    }

    /// Where the others lie when this one is left out: their median, and three standard deviations about it (by the
    /// median deviation, which one bad reading cannot move), but not less than three steps of the display. Needs two
    /// others.
    fn without(&mut self, value: Length) -> Option<Expected> {
        let centre = self
            .all
            .median_without(value)
            .filter(|_| self.all.0.len() > 2)?;
        let deviation = self
            .deviations_from(centre)?
            .median_without((value - centre).abs())?;
        // 4.45 = 3 x 1.4826, which makes a standard deviation of a median deviation (normal distribution).
        let three_sigma = Length::from_tenth_nanometres(deviation.tenth_nanometres() * 445 / 100);
        Some(Expected {
            centre,
            reach: three_sigma.max(self.least_reach),
            whose: Near::OtherReadings,
        })
    }

    fn deviations_from(&mut self, centre: Length) -> Option<&Sorted> {
        let known = self.deviations.iter().position(|(from, _)| *from == centre);
        let at = known.unwrap_or_else(|| {
            let from_centre = self.all.0.iter().map(|value| (*value - centre).abs());
            self.deviations.push((centre, Sorted::of(from_centre)));
            self.deviations.len() - 1
        });
        self.deviations.get(at).map(|(_, sorted)| sorted)
    }
}

/// Lengths in order of size.
struct Sorted(Vec<Length>);

impl Sorted {
    fn of(values: impl Iterator<Item = Length>) -> Self {
        let mut sorted: Vec<Length> = values.collect();
        sorted.sort_unstable();
        Self(sorted)
    }

    fn median(&self) -> Option<Length> {
        middle(self.0.len(), |place| self.0.get(place).copied())
    }

    /// The median without one of the values.
    fn median_without(&self, value: Length) -> Option<Length> {
        let left_out = self.0.partition_point(|other| *other < value);
        middle(self.0.len().checked_sub(1)?, |place| {
            self.0.get(place + usize::from(place >= left_out)).copied()
        })
    }
}

/// The median of `count` values in order of size.
fn middle(count: usize, at: impl Fn(usize) -> Option<Length>) -> Option<Length> {
    let upper = at(count / 2)?;
    if count % 2 == 1 {
        return Some(upper);
    }
    let lower = at((count / 2).checked_sub(1)?)?;
    Some(Length::from_tenth_nanometres(i64::midpoint(
        lower.tenth_nanometres(),
        upper.tenth_nanometres(),
    )))
}

/// What is held against what, and with it which slips can be told from form.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Naming {
    /// Against what any such part could be; `swaps`: also exchanged digits.
    Band { swaps: bool },
    /// Against the other readings; `strays`: also slips that are no larger than what form can do.
    Neighbours { strays: bool },
}

/// The first slip that brings the reading to where it was expected.
fn explain(
    reading: &Entered,
    expected: Expected,
    zero_error: Length,
    naming: Naming,
) -> Option<Suspicion> {
    let as_read = || reading.clone();
    let near = expected.whose;
    if let Some((other, size)) = in_other_unit(reading).filter(|(_, size)| expected.holds(*size)) {
        let decimals = reading.decimals().max(4);
        let unit = reading.unit();
        let size = Entered::parse(&size.to_fixed(unit, decimals), Some(unit)).ok()?;
        return Some(Suspicion::Unit {
            reading: as_read(),
            expected: near,
            other,
            size,
        });
    }
    let value = reading.value();
    let tenfold = [
        Length::from_tenth_nanometres(value.tenth_nanometres() / 10),
        value.times(10),
    ];
    if tenfold.into_iter().any(|size| expected.holds(size)) {
        return Some(Suspicion::DecimalPoint {
            reading: as_read(),
            expected: near,
        });
    }
    let off = value - expected.centre;
    let side = if off.is_negative() {
        OffTo::Below
    } else {
        OffTo::Above
    };
    let back = |step: Length| {
        if off.is_negative() {
            value + step
        } else {
            value - step
        }
    };
    for step in steps(reading.unit()) {
        let by = step.length();
        if expected.holds(back(by)) && by > expected.reach.times(2) {
            return Some(step.misread(as_read(), side, near));
        }
    }
    let name_strays = naming == Naming::Neighbours { strays: true };
    let tells = |swap: &Entered| {
        let change = (swap.value() - value).abs();
        match naming {
            Naming::Band { swaps } => swaps,
            Naming::Neighbours { strays } => strays && change > expected.reach.times(2),
        }
    };
    if let Some(meant) = swapped(reading).find(|swap| expected.holds(swap.value()) && tells(swap)) {
        return Some(Suspicion::SwappedDigits {
            reading: as_read(),
            expected: near,
            meant,
        });
    }
    let twice = zero_error.times(2);
    let sign_fits = [value + twice, value - twice]
        .into_iter()
        .any(|size| expected.closely().holds(size));
    if name_strays && twice.abs() > expected.reach && sign_fits {
        return Some(Suspicion::ZeroSign {
            reading: as_read(),
            side,
            expected: near,
        });
    }
    let line = thimble_line(reading.unit());
    let by = line.length();
    if name_strays && expected.closely().holds(back(by)) && by > expected.reach.times(2) {
        return Some(line.misread(as_read(), side, near));
    }
    // Far from the rest: well outside what three standard deviations allow, so that an ordinary outer reading is not named.
    (name_strays && off.abs() > expected.reach.times(2)).then(|| Suspicion::FarFromRest {
        reading: as_read(),
        side,
        expected: near,
    })
}

/// The same digits read in the other system's unit.
pub fn in_other_unit(reading: &Entered) -> Option<(LengthUnit, Length)> {
    let other = reading.unit().other();
    let size = Length::from_decimal(reading.value().decimal(reading.unit()), other).ok()?;
    Some((other, size))
}

impl Step {
    const fn length(&self) -> Length {
        match self {
            Self::OneTurn { length }
            | Self::TwoTurns { length }
            | Self::Numeral { length }
            | Self::SleeveLine { length }
            | Self::TenLines { length }
            | Self::ThimbleLine { length } => length.value(),
        }
    }

    /// A reading that is off by this step.
    fn misread(self, reading: Entered, side: OffTo, expected: Near) -> Suspicion {
        match self {
            Self::OneTurn { .. } | Self::TwoTurns { .. } => Suspicion::ThimbleTurn {
                reading,
                step: self,
                side,
                expected,
            },
            Self::Numeral { .. } | Self::SleeveLine { .. } | Self::TenLines { .. } => {
                Suspicion::Numeral {
                    reading,
                    step: self,
                    side,
                    expected,
                }
            }
            Self::ThimbleLine { .. } => Suspicion::ThimbleLine {
                reading,
                step: self,
                side,
                expected,
            },
        }
    }
}

/// Turns and numerals of the screw in this unit, largest use first.
fn steps(unit: LengthUnit) -> [Step; 3] {
    match unit {
        LengthUnit::Inch | LengthUnit::Microinch => {
            let length = |ten_thousandths| {
                let length = Length::from_ten_thousandths_inch(ten_thousandths);
                Entered::of(length, LengthUnit::Inch)
            };
            [
                Step::OneTurn {
                    length: length(250),
                },
                Step::Numeral {
                    length: length(1000),
                },
                Step::TwoTurns {
                    length: length(500),
                },
            ]
        }
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            let length = |micrometres| {
                let length = Length::from_micrometres(micrometres);
                Entered::of(length, LengthUnit::Millimetre)
            };
            [
                Step::OneTurn {
                    length: length(500),
                },
                Step::SleeveLine {
                    length: length(1000),
                },
                Step::TenLines {
                    length: length(10_000),
                },
            ]
        }
    }
}

/// One line of the thimble in this unit.
fn thimble_line(unit: LengthUnit) -> Step {
    let length = match unit {
        LengthUnit::Inch | LengthUnit::Microinch => {
            Entered::of(Length::from_ten_thousandths_inch(10), LengthUnit::Inch)
        }
        LengthUnit::Millimetre | LengthUnit::Micrometre => {
            Entered::of(Length::from_micrometres(10), LengthUnit::Millimetre)
        }
    };
    Step::ThimbleLine { length }
}

/// The reading with each pair of neighbouring digits exchanged in turn (also across the decimal sign).
fn swapped(reading: &Entered) -> impl Iterator<Item = Entered> {
    let digits: Vec<char> = reading.text().chars().collect();
    let places: Vec<usize> = digits
        .iter()
        .enumerate()
        .filter_map(|(place, c)| c.is_ascii_digit().then_some(place))
        .collect();
    let pairs: Vec<(usize, usize)> = places
        .iter()
        .copied()
        .zip(places.iter().copied().skip(1))
        .collect();
    pairs.into_iter().filter_map(move |(left, right)| {
        let mut exchanged = digits.clone();
        exchanged.swap(left, right);
        let text: String = exchanged.into_iter().collect();
        Entered::parse(&text, None).ok()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readings(texts: &[&str]) -> Vec<Entered> {
        texts
            .iter()
            .map(|text| Entered::parse(text, None).unwrap())
            .collect()
    }

    fn limits(lower: &str, upper: &str) -> Plausible {
        let value = |text| Entered::parse(text, None).unwrap().value();
        Plausible {
            limits: Limits::between(value(lower), value(upper)),
            whose: Near::Limits,
            form: Form::Small,
        }
    }

    fn kinds(found: &[Option<Suspicion>]) -> Vec<&'static str> {
        found
            .iter()
            .map(|s| s.as_ref().map_or("", |s| s.kind().key()))
            .collect()
    }

    /// `8.99` on a display of 0.001 mm; zeros at the end are decimals, and a coarser scale shows no more of them. Common
    /// practice, no source.
    #[test]
    fn fewer_decimals_than_the_display_shows() {
        let meant = |reading: &str, step: &str| {
            let entered = |text| Entered::parse(text, None).unwrap();
            match fewer_decimals(&entered(reading), Some(&entered(step)))? {
                Suspicion::FewerDecimals { meant, .. } => Some(meant.text().to_owned()),
                other => panic!("{other:?}"),
            }
        };
        for (reading, step, expected) in [
            ("8.99mm", "0.001mm", "8.990mm"),
            ("8.9mm", "0.001mm", "8.900mm"),
            ("9mm", "0.001mm", "9.000mm"),
            ("8.99mm", "1um", "8.990mm"),
            ("8.992mm", "0.5um", "8.9920mm"),
            ("8.99mm", "0.005mm", "8.990mm"),
            ("8.9mm", "0.02mm", "8.90mm"),
            ("0.351in", "0.00005in", "0.35100in"),
        ] {
            assert_eq!(meant(reading, step).as_deref(), Some(expected), "{reading}");
        }
        for (reading, step) in [
            ("8.990mm", "0.001mm"),
            ("8.9999mm", "0.001mm"),
            ("8.99mm", "0.01mm"),
            ("8.993mm", "0.01mm"),
            ("8.94mm", "0.02mm"),
            ("0.3515in", "0.0001in"),
            // What a display of 0.001 mm shows in inches is not stated.
            ("0.3515in", "0.001mm"),
        ] {
            assert_eq!(meant(reading, step), None, "{reading} {step}");
        }
        assert_eq!(fewer_decimals(&readings(&["8.9mm"])[0], None), None);
    }

    /// 1/4-20 UNC-2A pitch diameter 0.2127 to 0.2164 in (ASME B1.1).
    #[test]
    fn one_turn_in_four_readings() {
        let set = readings(&["0.2151in", "0.2152in", "0.2401in", "0.2150in"]);
        let found = examine(&set, limits("0.2127in", "0.2164in"), None, Length::ZERO);
        assert_eq!(kinds(&found), ["", "", "thimble-turn", ""]);
    }

    #[test]
    fn one_turn_in_all_of_them() {
        let set = readings(&["0.2401in", "0.2402in", "0.2400in"]);
        let found = examine(&set, limits("0.2127in", "0.2164in"), None, Length::ZERO);
        assert_eq!(kinds(&found), ["thimble-turn"; 3]);
    }

    /// M8-6g pitch diameter 7.042 to 7.160 mm (ISO 965-1): 0.2805 is inch.
    #[test]
    fn inch_on_a_metric_drawing() {
        let set = readings(&["0.2805mm", "0.2806mm", "0.2804mm"]);
        let found = examine(&set, limits("7.042mm", "7.160mm"), None, Length::ZERO);
        assert_eq!(kinds(&found), ["unit"; 3]);
        let Some(Suspicion::Unit { size, .. }) = &found[0] else {
            panic!("{found:?}");
        };
        assert_eq!(size.text(), "7.1247mm");
    }

    #[test]
    fn digits_exchanged() {
        let set = readings(&["7.124mm", "7.142mm", "7.125mm", "7.124mm"]);
        let found = examine(&set, limits("7.042mm", "7.160mm"), None, Length::ZERO);
        assert_eq!(kinds(&found), ["", "swapped-digits", "", ""]);
    }

    #[test]
    fn zero_error_with_the_wrong_sign() {
        let set = readings(&["8.931mm", "8.947mm", "8.930mm", "8.932mm"]);
        let found = examine(
            &set,
            limits("8.862mm", "8.994mm"),
            None,
            Length::from_micrometres(8),
        );
        assert_eq!(kinds(&found), ["", "zero-sign", "", ""]);
    }

    /// Twice the zero error would land near, but not on, the others: form of the part is as likely.
    #[test]
    fn a_high_spot_is_not_put_down_to_the_zero() {
        let set = readings(&["7.150mm", "7.151mm", "7.150mm", "7.158mm", "7.151mm"]);
        let zero = Length::from_tenth_nanometres(23_000);
        let found = examine(&set, limits("7.042mm", "7.160mm"), None, zero);
        assert_eq!(kinds(&found), ["", "", "", "far-from-rest", ""]);
    }

    /// One digit more than the display has is no stray.
    #[test]
    fn a_digit_more_is_not_far_away() {
        let set = readings(&["7.118mm", "7.120mm", "7.1190mm", "7.120mm"]);
        let found = examine(&set, limits("7.042mm", "7.160mm"), None, Length::ZERO);
        assert_eq!(kinds(&found), [""; 4]);
    }

    #[test]
    fn a_bad_part_is_not_a_mistake() {
        let set = readings(&["8.850mm", "8.853mm", "8.848mm"]);
        let found = examine(&set, limits("8.862mm", "8.994mm"), None, Length::ZERO);
        assert_eq!(kinds(&found), ["", "", ""]);
    }

    #[test]
    fn ordinary_scatter_is_left_alone() {
        let set = readings(&[
            "8.868mm", "8.874mm", "8.871mm", "8.866mm", "8.873mm", "8.870mm",
        ]);
        let found = examine(&set, limits("8.862mm", "8.994mm"), None, Length::ZERO);
        assert!(found.iter().all(Option::is_none), "{found:?}");
    }

    /// Walls of a bored tube, and a shaft of two diameters: what differs is the part.
    #[test]
    fn form_is_no_slip_where_form_is_measured() {
        let form = |lower, upper| Plausible {
            form: Form::Measured,
            ..limits(lower, upper)
        };
        let walls = readings(&["2.51mm", "2.52mm", "2.60mm", "2.51mm", "2.15mm"]);
        let found = examine(&walls, form("2.10mm", "2.90mm"), None, Length::ZERO);
        assert!(found.iter().all(Option::is_none), "{found:?}");
        let turned = readings(&["2.51mm", "2.52mm", "3.01mm", "2.51mm"]);
        let found = examine(&turned, form("2.30mm", "2.70mm"), None, Length::ZERO);
        assert_eq!(kinds(&found), ["", "", "thimble-turn", ""]);
    }

    /// Walls of an eccentric bore: 2.096 is the far side of 1.975, and no 2.069, which the limits of the mean would hold.
    #[test]
    fn an_eccentric_wall_is_no_exchange_of_digits() {
        let walls = readings(&[
            "2.117mm", "2.099mm", "2.052mm", "1.998mm", "1.975mm", "2.096mm",
        ]);
        let plausible = |form| Plausible {
            form,
            ..limits("2.0615mm", "2.0765mm")
        };
        let found = examine(&walls, plausible(Form::Walls), None, Length::ZERO);
        assert!(found.iter().all(Option::is_none), "{found:?}");
        // Method 2.
        let found = examine(&walls, plausible(Form::Measured), None, Length::ZERO);
        assert_eq!(kinds(&found)[5], "swapped-digits");
        let first = examine(&walls[2..3], plausible(Form::Walls), None, Length::ZERO);
        assert_eq!(first, [None]);
        let turned = readings(&["2.069mm", "2.609mm", "2.052mm"]);
        let found = examine(&turned, plausible(Form::Walls), None, Length::ZERO);
        assert_eq!(kinds(&found), ["", "swapped-digits", ""]);
    }

    /// Two readings that happen to agree say nothing of the scatter of a third.
    #[test]
    fn the_third_reading_is_no_stray_yet() {
        let set = readings(&["8.931mm", "8.931mm", "8.942mm"]);
        let found = examine(&set, limits("8.862mm", "8.994mm"), None, Length::ZERO);
        assert!(found.iter().all(Option::is_none), "{found:?}");
    }

    #[test]
    fn two_against_one_is_enough_for_a_question() {
        let set = readings(&["7.015mm", "7.118mm", "7.116mm"]);
        let found = examine(&set, limits("6.950mm", "7.200mm"), None, Length::ZERO);
        assert_eq!(kinds(&found), ["far-from-rest", "", ""]);
    }

    #[test]
    fn a_stray_is_named() {
        let set = readings(&["8.931mm", "8.930mm", "8.962mm", "8.932mm"]);
        let found = examine(&set, limits("8.862mm", "8.994mm"), None, Length::ZERO);
        assert_eq!(kinds(&found), ["", "", "far-from-rest", ""]);
    }

    proptest::proptest! {
        /// What is sorted once gives what sorting the others anew for each reading gives.
        #[test]
        fn the_others_lie_where_they_lie(numbers in proptest::collection::vec(0_i32..12, 0..12)) {
            let values: Vec<Length> = numbers.iter().map(|n| Length::from_micrometres(*n)).collect();
            let all = Sorted::of(values.iter().copied());
            let mut neighbourhoods = Neighbourhoods::of(&all, Length::ZERO, None);
            for (index, value) in values.iter().enumerate() {
                let mut others = values.clone();
                others.remove(index);
                let centre = Sorted::of(others.iter().copied()).median();
                let deviation = centre.and_then(|centre| Sorted::of(others.iter().map(|other| (*other - centre).abs())).median());
                let found = neighbourhoods.without(*value);
                let expected = centre.zip(deviation).filter(|_| others.len() >= 2);
                assert_eq!(found.map(|found| found.centre), expected.map(|(centre, _)| centre));
                assert_eq!(
                    found.map(|found| found.reach.tenth_nanometres()),
                    expected.map(|(_, deviation)| deviation.tenth_nanometres() * 445 / 100),
                );
            }
        }

        #[test]
        fn any_readings_can_be_examined(numbers in proptest::collection::vec(-1_000_000_000_000_i64..=1_000_000_000_000, 0..6)) {
            let set: Vec<Entered> = numbers
                .iter()
                .map(|n| Entered::parse(&Length::from_tenth_nanometres(*n).decimal(LengthUnit::Millimetre).to_string(), Some(LengthUnit::Millimetre)).unwrap())
                .collect();
            let found = examine(&set, limits("8.862mm", "8.994mm"), None, Length::MAX);
            assert_eq!(found.len(), set.len());
        }
    }

    #[test]
    fn a_part_among_many_is_held_against_its_limits_and_its_own_readings() {
        let plausible = limits("8.90mm", "8.95mm");
        let mm = |text: &str| Entered::parse(text, Some(LengthUnit::Millimetre)).unwrap();
        let near = |reading: &str, earlier: &[&str]| {
            let earlier: Vec<Entered> = earlier.iter().map(|text| mm(text)).collect();
            match examine_apart(&mm(reading), earlier.iter(), plausible, Length::ZERO) {
                Some(Suspicion::FarFromRest { expected, side, .. }) => Some((expected, side)),
                other => {
                    assert!(other.is_none(), "{other:?}");
                    None
                }
            }
        };
        assert_eq!(near("8.12", &[]), Some((Near::Limits, OffTo::Below)));
        assert_eq!(near("8.12", &["8.921"]), Some((Near::Limits, OffTo::Below)));
        // A part out of its limits by less than a tolerance, until the same part was found elsewhere.
        assert_eq!(near("8.999", &[]), None);
        assert_eq!(
            near("8.999", &["8.921"]),
            Some((Near::OtherReadings, OffTo::Above))
        );
        assert_eq!(near("8.930", &["8.921"]), None);
        // Once a bad part stands it is not asked about in every trial.
        assert_eq!(near("8.121", &["8.12"]), None);
    }
}
