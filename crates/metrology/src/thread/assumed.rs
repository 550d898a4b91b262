//! What a designation leaves open and what is taken for it.

use rust_decimal::Decimal;

use crate::units::Entered;

/// The codes of a class that was taken: the limits rest on it, so that it is said beside a verdict.
pub const CLASSES_TAKEN: [&str; 9] = [
    "assumed.unified-class",
    "assumed.unj-class",
    "assumed.metric-class",
    "assumed.mj-class",
    "assumed.trapezoidal-class",
    "assumed.whitworth-class",
    "assumed.ba-class",
    "assumed.acme-class",
    "assumed.pipe-class",
];

crate::messages! {
    /// What a designation left open and what was taken.
    #[derive(Eq)]
    pub enum Assumed "assumed" {
        /// Neither class nor word says external or internal.
        External "external",
        /// G without a class: an internal thread.
        InternalPipe "internal-pipe",
        /// The class of a Unified thread.
        UnifiedClass "unified-class" { class: &'static str as text },
        /// The class of a UNJ thread.
        UnjClass "unj-class" { class: &'static str as text },
        /// The class of an M thread.
        MetricClass "metric-class" { class: String as Text },
        /// The class of an MJ thread.
        MjClass "mj-class" { class: String as Text },
        /// The class of a Tr thread.
        TrapezoidalClass "trapezoidal-class" { class: String as Text },
        /// The class of a Whitworth thread.
        WhitworthClass "whitworth-class",
        /// The class of a BA bolt.
        BaClass "ba-class",
        /// The class of an Acme thread.
        AcmeClass "acme-class",
        /// The class of a G thread.
        PipeClass "pipe-class",
        /// A class that says nothing of a BA nut.
        BaNutClass "ba-nut-class" { class: &'static str as text },
        /// A Whitworth nut of the bolts' class free.
        FreeNut "free-nut",
        /// A capital letter in a designation of capitals.
        CapitalLetter "capital-letter" { class: String as Text },
        /// Threads per inch by the series.
        CountOfSeries "count-of-series" { count: Decimal as Stated, series: &'static str as text },
        /// Threads per inch of a standard Acme size.
        AcmeCount "acme-count" { count: Decimal as Stated },
        /// An Acme thread of no standard size.
        AcmeSize "acme-size" { thread: String as Text },
        /// A Whitworth thread of no standard pitch.
        SpecialWhitworth "special-whitworth",
        /// The coarse pitch of an M thread.
        CoarsePitch "coarse-pitch" { size: String as Text, pitch: Entered as Entered },
        /// The preferred pitch of a Tr thread.
        PreferredPitch "preferred-pitch" { pitch: Entered as Entered },
        /// An M thread that is not listed.
        UnlistedMetric "unlisted-metric" { thread: String as Text },
        /// A Tr thread that is not listed.
        UnlistedTrapezoidal "unlisted-trapezoidal" { thread: String as Text },
        /// A fraction greater than one whose digits are also those of a mixed number: `11/2`, which may be 1 1/2.
        GreaterThanOne "greater-than-one" { given: String as Text, inches: Decimal as Stated, mixed: String as Text },
        /// A size with a point or no sign, in no standard, where the same digits with a slash are a listed one: `1.4-20`.
        PerhapsFraction "perhaps-fraction" { given: String as Text, meant: String as Text },
        /// A Unified special whose size and count another standard lists: `1/8-27`, which may be 1/8-27 NPT.
        AlsoListed "also-listed" { given: String as Text, others: Vec<String> as texts },
        /// A rounded size for the listed one.
        RoundedSize "rounded-size" { taken: String as Text, given: String as Text },
        /// Several starts are special.
        StartsAreSpecial "starts-are-special",
        /// The series by size and pitch.
        Series "series" { thread: String as Text, series: &'static str as text },
        /// The series that the standard lists.
        ListedSeries "listed-series" { thread: String as Text, series: &'static str as text },
        /// The constant-pitch series.
        ConstantSeries "constant-series" { thread: String as Text, series: &'static str as text },
        /// M: the tolerance of the pitch diameter is in no table.
        MetricCalculated "metric-calculated",
        /// Tr: the tolerance of the pitch diameter is in no table.
        TrapezoidalCalculated "trapezoidal-calculated",
        /// Acme: the length of engagement changes nothing.
        AcmeEngagement "acme-engagement",
        /// Unified: the tabulated tolerances serve the length of engagement; they are made for so many inches.
        EngagementServed "engagement-served" { length: Entered as Entered, made_for: Decimal as Stated },
        /// Unified: the tabulated tolerances do not serve it.
        EngagementOutside "engagement-outside" { length: Entered as Entered },
    }
}

impl Assumed {
    /// What is assumed of a size as it was typed, where it may be a mixed number whose blank was left out.
    pub(crate) fn of_fraction(typed: &str) -> Option<Self> {
        let (numerator, denominator) = typed.trim().split_once('/')?;
        let (whole, last) = numerator.split_at_checked(numerator.len().checked_sub(1)?)?;
        let (whole, last): (u32, u32) = (whole.parse().ok()?, last.parse().ok()?);
        let over: u32 = denominator.parse().ok()?;
        let is_mixed = whole > 0 && last % 2 == 1 && last < over && over.is_power_of_two();
        let all = Decimal::from(10 * whole + last);
        let inches = all.checked_div(Decimal::from(over))?;
        (is_mixed && inches > Decimal::ONE).then(|| Self::GreaterThanOne {
            given: typed.trim().to_owned(),
            inches: inches.normalize(),
            mixed: format!("{whole} {last}/{over}"),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fraction_that_may_be_a_mixed_number() {
        let mixed = |typed| match Assumed::of_fraction(typed) {
            Some(Assumed::GreaterThanOne { mixed, inches, .. }) => {
                Some((mixed, inches.to_string()))
            }
            _ => None,
        };
        let some = |mixed: &str, inches: &str| Some((mixed.to_owned(), inches.to_owned()));
        assert_eq!(mixed("11/2"), some("1 1/2", "5.5"));
        assert_eq!(mixed("13/8"), some("1 3/8", "1.625"));
        assert_eq!(mixed("21/4"), some("2 1/4", "5.25"));
        for plain in [
            "1/2", "11/16", "15/16", "5/4", "9/8", "1 1/2", "0.5", "12/2", "é1/2", "/2", "1/", "",
        ] {
            assert_eq!(mixed(plain), None, "{plain}");
        }
    }
}
