use super::table::TableError;

crate::messages! {
    /// Why a study gives no result.
    pub enum StudyError "study" {
        /// The table itself.
        Table "table" { why: TableError as said },
        /// Fewer readings than are needed.
        TooFew "too-few" { n: usize as count, needed: usize as count },
        /// Every reading is the same.
        Constant "constant",
        /// Groups need to differ.
        OneGroup "one-group",
        /// Nothing is repeated within any group.
        NoReplicates "no-replicates",
        /// Within the groups nothing varies.
        NoSpreadWithin "no-spread-within",
        OneOperator "one-operator",
        OnePart "one-part",
        /// One trial of each part by each operator.
        OneTrial "one-trial",
        /// A part that an operator did not measure.
        MissingCell "missing-cell" { part: String as Text, operator: String as Text },
        /// A part that an operator measured more or less often than the first one.
        Unbalanced "unbalanced" { part: String as Text, operator: String as Text, n: usize as count, wanted: usize as count },
        /// One trial twice.
        DoubledTrial "doubled-trial" { line: u64 as Count, part: String as Text, operator: String as Text, trial: String as Text },
        /// In a nested study each part belongs to one operator.
        SharedPart "shared-part" { part: String as Text },
        /// Operators with different numbers of parts.
        UnevenParts "uneven-parts" { operator: String as Text, n: usize as count, wanted: usize as count },
        /// Ranges are taken of crossed studies.
        RangeOfNested "range-of-nested",
        /// A significance level must lie between 0 and 1.
        Alpha "alpha" { given: f64 as Given },
        /// One subgroup, whose mean is the centre line.
        FewSubgroups "few-subgroups" { n: usize as count },
        /// The part of the tolerance of a type-1 study, percent.
        PartOfTolerance "part-of-tolerance" { given: f64 as Given },
        /// How many standard deviations take it up.
        Spread "spread" { given: f64 as Given },
        /// A probability must lie between 0 and 1.
        Probability "probability" { given: f64 as Given },
        /// A tolerance must be above zero.
        Tolerance "tolerance",
        /// Lower limit above upper.
        Limits "limits",
        /// There is no limit.
        NoLimit "no-limit",
        /// Subgroups of one.
        SubgroupOfOne "subgroup-of-one" { subgroup: String as Text },
        /// Subgroups of different sizes.
        UnevenSubgroups "uneven-subgroups" { subgroup: String as Text, n: usize as count, wanted: usize as count },
        /// Subgroups larger than ranges are taken of.
        LargeSubgroups "large-subgroups" { n: usize as count, largest: usize as count },
        /// The measurement spreads as much as the parts.
        Hidden "hidden",
        /// One reference value.
        OneReference "one-reference",
        /// A reference that changes within a part.
        References "references" { line: u64 as Count },
        /// A part without a rating of a rater.
        MissingRating "missing-rating" { part: String as Text, rater: String as Text },
        /// A part that a rater rated more or less often than the first rater the first part.
        UnevenRatings "uneven-ratings" { part: String as Text, rater: String as Text, n: usize as count, wanted: usize as count },
        /// A part with two references.
        TwoReferences "two-references" { line: u64 as Count, part: String as Text, reference: String as Text, before: String as Text },
        /// A trial of a part that the first rater has and another has not, or the other way round.
        MissingTrial "missing-trial" { part: String as Text, rater: String as Text, trial: String as Text },
        /// One trial of a part twice.
        DoubledRating "doubled-rating" { line: u64 as Count, part: String as Text, rater: String as Text, trial: String as Text },
        OneRater "one-rater",
        /// Every rating is the same, so that agreement by chance is certain.
        OneRating "one-rating",
        /// An expanded uncertainty must be above zero.
        NoUncertainty "no-uncertainty" { line: u64 as Count },
        /// No day where one is needed.
        NotADate "not-a-date" { line: u64 as Count, text: String as Text },
        /// A reading of an earlier day below one of a later.
        Order "order" { line: u64 as Count, on: String as Text, before: String as Text },
        /// A standard uncertainty below zero.
        Uncertainty "uncertainty",
    }
}

impl From<TableError> for StudyError {
    fn from(why: TableError) -> Self {
        Self::Table { why }
    }
}
