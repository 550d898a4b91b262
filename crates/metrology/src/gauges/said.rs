//! Names of gauges, where their tolerances lie, what to know of them, and why there are none.

use rust_decimal::Decimal;

use crate::source::Source;
use crate::units::Length;

crate::messages! {
    /// Why there are no gauges for a thread.
    #[derive(Eq)]
    pub enum GaugeError "gauge-error" {
        /// No gauge standard is held for the form.
        NoStandard "no-gauge-standard" { thread: String as Text },
        /// W and X belong to ASME B1.2.
        ClassOfAnotherStandard "no-gauge-class" { thread: String as Text },
        /// The table has no row: what was looked for, and what is there.
        OutsideTable "outside-gauge-table" {
            thread: String as Text, table: &'static str as text, what: LookedFor as said, covered: Gauged as code,
        },
        /// A limit that gauges are made from does not exist.
        NoLimits "no-limits" { thread: String as Text },
    }
}

impl GaugeError {
    /// The name that programs read.
    pub fn kind(&self) -> &'static str {
        let code = self.code();
        code.split_once('.').map_or(code, |(_, kind)| kind)
    }
}

crate::messages! {
    /// What was looked for in a table of gauge tolerances.
    #[derive(Eq)]
    pub enum LookedFor "looked-for" {
        /// A metric pitch.
        MetricPitch "metric-pitch",
        /// A pitch in threads per inch.
        InchPitch "inch-pitch",
        /// Threads per inch at a diameter.
        Count "count" { count: Decimal as Stated },
        /// The tolerance of the product.
        Tolerance "tolerance" { tolerance: Length as thickness },
    }
}

crate::codes! {
    /// What a table of gauge tolerances covers.
    pub enum Gauged "gauged" {
        /// ASME B1.2.
        AsmeB1_2 "asme-b1-2",
        /// ISO 1502.
        Iso1502 "iso-1502",
    }
}

crate::codes! {
    /// Which gauge.
    pub enum GaugeName "gauge" {
        /// GO plug.
        GoPlug "go-plug",
        /// NOT GO plug.
        NotGoPlug "not-go-plug",
        /// GO ring.
        GoRing "go-ring",
        /// NOT GO ring.
        NotGoRing "not-go-ring",
        /// Sets the GO ring.
        GoSettingPlug "go-setting-plug",
        /// Sets the NOT GO ring.
        NotGoSettingPlug "not-go-setting-plug",
        /// Passes a new GO ring.
        GoRingGoCheckPlug "go-ring-go-check-plug",
        /// Does not pass a new GO ring.
        GoRingNotGoCheckPlug "go-ring-not-go-check-plug",
        /// Passes a worn GO ring.
        GoRingWearCheckPlug "go-ring-wear-check-plug",
        /// Does not pass a NOT GO ring.
        NotGoRingNotGoCheckPlug "not-go-ring-not-go-check-plug",
        /// Passes a worn NOT GO ring.
        NotGoRingWearCheckPlug "not-go-ring-wear-check-plug",
        /// Plain GO plug.
        GoPlainPlug "go-plain-plug",
        /// Plain NOT GO plug.
        NotGoPlainPlug "not-go-plain-plug",
        /// Plain GO ring.
        GoPlainRing "go-plain-ring",
        /// Plain NOT GO ring.
        NotGoPlainRing "not-go-plain-ring",
    }
}

crate::codes! {
    /// Which way the tolerance of a gauge goes from which limit of the product.
    pub enum Direction "gauge-direction" {
        /// Inside the product.
        UpFromSmallestPitch "up-from-smallest-pitch",
        /// Inside the product.
        DownFromLargestPitch "down-from-largest-pitch",
        /// Around a centre Z_PL above.
        AboveSmallestPitch "above-smallest-pitch",
        /// Outside the product.
        UpFromLargestPitch "up-from-largest-pitch",
        /// Around a centre Z_R below.
        BelowLargestPitch "below-largest-pitch",
        /// Outside the product.
        DownFromSmallestPitch "down-from-smallest-pitch",
        /// Around a centre m below.
        BelowGoRing "below-go-ring",
        /// Around the largest of a new ring.
        AroundLargestOfGoRing "around-largest-of-go-ring",
        /// Around its wear limit.
        AroundWearOfGoRing "around-wear-of-go-ring",
        /// Around the limit of the product.
        AroundSmallestPitch "around-smallest-pitch",
        /// Around its wear limit.
        AroundWearOfNotGoRing "around-wear-of-not-go-ring",
        /// Plain gauges of nuts.
        UpFromSmallestMinor "up-from-smallest-minor",
        /// Plain gauges of nuts.
        DownFromLargestMinor "down-from-largest-minor",
        /// Plain gauges of bolts.
        DownFromLargestMajor "down-from-largest-major",
        /// Plain gauges of bolts.
        UpFromSmallestMajor "up-from-smallest-major",
    }
}

crate::codes! {
    /// The diameter that a plain gauge is for.
    pub enum Crest "crest" {
        /// Of a bolt.
        Major "major",
        /// Of a nut.
        Minor "minor",
    }
}

crate::messages! {
    /// What a reader should know of the gauges.
    pub enum GaugeNote "gauge-note" {
        /// Where ASME B1.2 lays tolerances.
        AsmeB1_2 "asme-b1-2",
        /// How a gauge of ASME B1.2 is tried.
        PassesThreeTurns "passes-three-turns",
        /// Rings and their setting plugs.
        SettingPlugs "setting-plugs",
        /// Setting plugs are asked for in W.
        SettingPlugsOfX "setting-plugs-of-x",
        /// No W column of major and minor diameters.
        NoWColumn "no-w-column",
        /// Where ISO 1502 lays tolerances.
        Iso1502 "iso-1502",
        /// How a gauge of ISO 1502 is tried.
        PassesTwoTurns "passes-two-turns",
        /// Wear limits.
        WearLimits "wear-limits",
        /// What of ISO 1502 is not held.
        NoSettingPlugs "no-setting-plugs",
        /// The crest has no two limits.
        NoCrestLimits "no-crest-limits" { crest: Crest as code },
        /// No class takes little enough of the tolerance.
        NoPlainGauges "no-plain-gauges" { crest: Crest as code },
        /// The class of the plain gauges.
        PlainGauges "plain-gauges" { crest: Crest as code, class: &'static str as text },
        /// The tables are from memory.
        Check "check" { source: Source as source },
    }
}
