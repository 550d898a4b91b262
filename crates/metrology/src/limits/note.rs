//! What a reader should know of limits: the rounding rule, what a limit means, what was calculated and not tabulated.

use crate::units::Entered;

crate::messages! {
    /// What a reader should know of the limits of a thread.
    pub enum Note "limits-note" {
        /// Tolerances of a single start.
        SeveralStarts "several-starts",
        /// Unified, external: rounding and minor diameter.
        UnifiedExternal "unified-external",
        /// Unified, internal: rounding and minor diameter.
        UnifiedInternal "unified-internal",
        /// 2AG.
        AllowanceKept "allowance-kept",
        /// Outside the tables of ASME B1.1.
        OutsideTables "outside-tables",
        /// UNJ: minor diameter and root radius are limits.
        UnjProduct "unj-product",
        /// UNJ, external: where the numbers are from.
        UnjExternal "unj-external",
        /// A UNJ bolt in a UN nut.
        UnjBolt "unj-bolt",
        /// UNJ, internal: where the numbers are from.
        UnjInternal "unj-internal",
        /// M, external: what the minor diameter is.
        MetricMinor "metric-minor",
        /// M: the group of a stated length of engagement.
        MetricGroup "metric-group" { length: Entered as Entered, group: char as text },
        /// MJ, external: where the numbers are from.
        MjExternal "mj-external",
        /// An MJ bolt in an M nut.
        MjBolt "mj-bolt",
        /// MJ, internal: where the numbers are from.
        MjInternal "mj-internal",
        /// Tr, external: what the class is of.
        TrapezoidalExternal "trapezoidal-external",
        /// Tr, internal: what the major diameter is.
        TrapezoidalInternal "trapezoidal-internal",
        /// Tr: what was seen in print.
        TrapezoidalMemory "trapezoidal-memory",
        /// Tr: the tolerance of several starts is that of one times a factor.
        TrapezoidalStarts "trapezoidal-starts" { starts: u32 as whole, factor: f64 as number },
        /// Tr: the length of engagement.
        TrapezoidalEngagement "trapezoidal-engagement",
        /// Whitworth: where the numbers are from.
        Whitworth "whitworth",
        /// BSF 4 1/4: a size that may not be one.
        WhitworthSize "whitworth-size",
        /// Whitworth: the engagement.
        WhitworthEngagement "whitworth-engagement",
        /// Whitworth, class close of a bolt.
        WhitworthCloseBolt "whitworth-close-bolt",
        /// Whitworth, class close of a nut.
        WhitworthCloseNut "whitworth-close-nut",
        /// G: where the numbers are from.
        GPipe "g-pipe",
        /// G: the size is a name.
        GPipeSize "g-pipe-size",
        /// R: diameters and positions.
        RPipePositions "r-pipe-positions",
        /// R: where the numbers are from.
        RPipe "r-pipe",
        /// Rc: where positions are counted from.
        RPipeInternal "r-pipe-internal",
        /// BA: where the numbers are from.
        Ba "ba",
        /// BA: the allowance.
        BaAllowance "ba-allowance",
        /// Acme: limits that agree with a table.
        AcmeTable "acme-table",
        /// Acme: limits from memory.
        AcmeMemory "acme-memory",
        /// Acme: centralizing.
        AcmeCentralizing "acme-centralizing",
        /// Stub Acme: where the numbers are from.
        StubAcme "stub-acme",
        /// NPT: diameters and positions.
        Npt "npt",
        /// NPTF.
        Nptf "nptf",
        /// NPT, internal: where positions are counted from.
        NptInternal "npt-internal",
    }
}
