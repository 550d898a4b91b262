use rust_decimal::Decimal;

crate::messages! {
    /// Why no sampling plan can be computed or named.
    pub enum SamplingError "sampling-error" {
        /// A lot of no piece, or of more than are counted here.
        Lot "lot" { given: u64 as Count, largest: u64 as Count },
        /// The tables begin with lots of two.
        LotOfOne "lot-of-one",
        /// A sample of no piece.
        NoSample "no-sample",
        /// More pieces than the lot has.
        SampleOverLot "sample-over-lot" { sample: u64 as Count, lot: u64 as Count },
        /// A sample larger than is counted here.
        LargeSample "large-sample" { given: u64 as Count, largest: u64 as Count },
        /// A sample that is accepted whatever is found.
        AcceptsAll "accepts-all" { sample: u64 as Count, acceptance: u64 as Count },
        /// No part of a whole.
        Fraction "fraction" { given: Decimal as Stated },
        /// A fraction of no piece, where one must be meant.
        NoFraction "no-fraction",
        /// More nonconforming pieces than the lot has.
        TooManyNonconforming "too-many-nonconforming" { given: u64 as Count, lot: u64 as Count },
        /// A number of nonconforming pieces without a lot that they are in.
        NoLot "no-lot",
        /// A risk must lie between 0 and 1.
        Risk "risk" { given: f64 as Given },
        /// None of the preferred AQLs.
        Aql "aql" { given: String as Text, known: Vec<&'static str> as one_of },
        /// No inspection level.
        Level "level" { given: String as Text },
        /// No severity of inspection.
        Severity "severity" { given: String as Text },
        /// The arrows of the table lead to no plan.
        NoPlan "no-plan" { letter: String as Text, aql: String as Text },
    }
}
