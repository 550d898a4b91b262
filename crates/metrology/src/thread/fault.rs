//! What can be wrong with a designation.

use rust_decimal::Decimal;

use super::{Form, Kind};
use crate::units::{Entered, Length, LengthUnit};

crate::messages! {
    /// What is wrong.
    #[derive(Eq)]
    #[non_exhaustive]
    pub enum Fault "designation" {
        /// Nothing there.
        Empty "empty",
        /// Longer than any designation.
        TooLong "too-long",
        /// Neither a metric nor an inch size at the start.
        UnknownForm "unknown-form" { given: String as Text },
        /// A known name of several forms of thread.
        SeveralForms "several-forms" { name: String as Text, what: KnownName as code },
        /// A known thread that no table is here for.
        NoTables "no-tables" { name: String as Text, what: KnownName as code },
        /// A metric thread without its M.
        MissingM "missing-m" { given: String as Text },
        /// The diameter is missing.
        MissingSize "missing-size" { form: Begins as code },
        /// A number is needed and something else stands there.
        NumberMissing "missing-number",
        /// Digits without end, a zero denominator.
        NoSuchNumber "no-such-number",
        /// `1.234,5`, or two numbers without a sign between them.
        TwoDecimalSigns "two-decimal-signs",
        /// A minus sign before a size or pitch.
        Negative "negative" { what: Element as code },
        /// A diameter that no table reaches: as typed, and what is covered.
        SizeOutOfRange "size-out-of-range" { size: String as Text, covered: Covered as code },
        /// A bare number that is a number size and a size in inches.
        AmbiguousSize "ambiguous-size" { number: String as Text },
        /// A number size that does not exist.
        UnknownNumberSize "unknown-number-size" { number: String as Text },
        /// A unit that does not go with the form.
        WrongUnit "wrong-unit" { form: UnitOf as code },
        /// Pitch or thread count is missing where nothing can stand for it.
        MissingPitch "missing-pitch" { what: MissingPitch as said },
        /// A pitch that the size does not have.
        NoSuchPitch "no-such-pitch" { size: String as Text, pitch: GivenPitch as said, known: KnownPitches as said },
        /// A size that the form does not have.
        NoSuchSize "no-such-size" { size: String as Text, standard: &'static str as text, known: KnownSizes as said },
        /// A pitch that leaves no core, or that cannot be cut.
        ImpossiblePitch "impossible-pitch" { size: String as Text, pitch: GivenPitch as said },
        /// A series that does not contain this size and pitch, and which does.
        NotInSeries "not-in-series" { thread: String as Text, series: &'static str as text, known: Vec<SeriesOf> as all_said },
        /// A word where a series should stand.
        UnknownSeries "unknown-series" { given: String as Text },
        /// UNR is defined for external threads only.
        ExternalOnly "external-only" { rounded: &'static str as text, plain: &'static str as text },
        /// A class that the form does not have.
        UnknownClass "unknown-class" { class: String as Text, known: KnownClasses as code },
        /// The class exists, but not for this size, pitch or series.
        ClassNotDefined "class-not-defined" { class: String as Text, thread: String as Text, why: ClassNotDefined as said },
        /// Position letters that do not go together.
        MixedPositions "mixed-positions" { class: String as Text },
        /// A class is needed and cannot be assumed, for the group of engagement.
        MissingClass "missing-class" { group: char as text },
        /// A fit names a pair.
        FitNamesTwoThreads "fit-names-two-threads" { fit: String as Text },
        /// The word says external and the class says internal, or the reverse.
        SideConflict "side-conflict" { class: String as Text, of_class: Kind as code, of_word: Kind as code },
        /// Lead that is no multiple of the pitch, or starts that disagree with it.
        LeadMismatch "lead-mismatch" { what: LeadMismatch as said },
        /// A length of engagement that is missing or impossible.
        Engagement "engagement" { what: EngagementFault as said },
        /// The limits are changed on the drawing.
        Modified "modified-limits",
        /// Limits written in the designation that its class does not have.
        StatedLimitsDiffer "stated-limits-differ" {
            diameter: StatedDiameter as code, class: String as Text, max: StatedLimit as said, min: StatedLimit as said,
        },
        /// A gauging system that is none.
        UnknownGauging "unknown-gauging" { given: String as Text },
        /// The same element twice.
        Twice "stated-twice" { what: Element as code },
        /// What is said of the screw and not of its thread.
        OfTheScrew "of-the-screw" { given: String as Text, what: PartOfScrew as code },
        /// Something left over.
        Unexpected "unexpected" { given: String as Text, form: Form as code },
        /// Arithmetic left the range; not reachable from sizes that a table covers.
        Range "range",
    }
}

impl Fault {
    /// A short name for programs, such as `unknown-class`.
    pub fn kind(&self) -> &'static str {
        let code = self.code();
        code.split_once('.').map_or(code, |(_, kind)| kind)
    }

    pub(crate) const fn missing_pitch(what: MissingPitch) -> Self {
        Self::MissingPitch { what }
    }

    pub(crate) const fn lead(what: LeadMismatch) -> Self {
        Self::LeadMismatch { what }
    }

    pub(crate) const fn engagement(what: EngagementFault) -> Self {
        Self::Engagement { what }
    }
}

crate::codes! {
    /// How the designations of a form begin.
    pub enum Begins "begins" {
        /// Unified.
        Unified "unified",
        /// M.
        Metric "metric",
        /// Tr.
        Trapezoidal "trapezoidal",
        /// BSW, BSF.
        Whitworth "whitworth",
        /// G.
        GPipe "g-pipe",
        /// R, Rc, Rp.
        RPipe "r-pipe",
        /// BA.
        Ba "ba",
        /// Acme.
        Acme "acme",
        /// NPT.
        Npt "npt",
    }
}

crate::codes! {
    /// An element of a designation.
    pub enum Element "element" {
        /// The form, such as BSW.
        Form "form",
        /// A size in inches.
        Size "size",
        /// A diameter in millimetres.
        Diameter "diameter",
        /// A pitch in millimetres.
        Pitch "pitch",
        /// Threads per inch.
        Count "count",
        /// The series, such as UNC.
        Series "series",
        Class "class",
        /// Right or left.
        Hand "hand",
        /// External or internal.
        Side "side",
        /// How many starts.
        Starts "starts",
        /// The gauging system of ASME B1.3.
        Gauging "gauging",
        /// A length of engagement.
        Engagement "engagement",
        /// S, N or L.
        Group "group",
    }
}

crate::codes! {
    /// What is said of a screw behind its thread.
    pub enum PartOfScrew "part-of-screw" {
        /// The length of the screw, or the depth of the hole.
        Length "length",
        /// The property class of ISO 898-1, such as 8.8.
        PropertyClass "property-class",
    }
}

crate::codes! {
    /// The diameters that are answered for a form.
    pub enum Covered "covered" {
        /// Unified.
        Unified "unified",
        /// M.
        Metric "metric",
        /// Tr.
        Trapezoidal "trapezoidal",
        /// Acme.
        Acme "acme",
    }
}

crate::codes! {
    /// The unit that a form is written in.
    pub enum UnitOf "unit-of" {
        /// Unified: inches.
        Unified "unified",
        /// Other forms in inches.
        InchForm "inch-form",
        /// M: millimetres.
        Metric "metric",
        /// Tr: millimetres.
        Trapezoidal "trapezoidal",
    }
}

crate::messages! {
    /// Where and why a pitch is missing.
    #[derive(Eq)]
    pub enum MissingPitch "missing-pitch" {
        /// M: behind the x.
        BehindX "behind-x",
        /// M: behind the lead.
        BehindLead "behind-lead",
        /// Tr: behind the x.
        TrapezoidalBehindX "trapezoidal-behind-x",
        /// The diameter has no coarse pitch.
        NoCoarse "no-coarse" { size: String as Text, known: KnownPitches as said },
        /// Tr: no pitch is preferred.
        NoPreferred "no-preferred" { size: String as Text, known: KnownPitches as said },
        /// Threads per inch, with the nearest threads.
        CountNear "count-near" { size: String as Text, nearest: Vec<String> as texts },
        /// Threads per inch.
        Count "count" { size: String as Text },
    }
}

crate::messages! {
    /// A pitch as it was given.
    #[derive(Eq)]
    pub enum GivenPitch "given-pitch" {
        /// Threads per inch.
        PerInch "per-inch" { count: Decimal as Stated },
        /// As typed.
        Typed "typed" { text: String as Text },
    }
}

crate::messages! {
    /// The pitches that a size has.
    #[derive(Eq)]
    pub enum KnownPitches "known-pitches" {
        /// Those of the size.
        OfSize "of-size" { standard: &'static str as text, pitches: Vec<String> as texts },
        /// Those of the nearest size.
        OfNearest "of-nearest" {
            standard: &'static str as text, size: String as Text, nearest: String as Text, pitches: Vec<String> as texts,
        },
        /// The nearest threads.
        Threads "threads" { standard: &'static str as text, threads: Vec<String> as texts },
    }
}

crate::messages! {
    /// The sizes that a form has.
    #[derive(Eq)]
    pub enum KnownSizes "known-sizes" {
        /// BA numbers.
        BaNumbers "ba-numbers",
        Nearest "nearest" { sizes: Vec<String> as texts },
    }
}

crate::messages! {
    /// The series that a size and pitch belong to.
    #[derive(Eq)]
    pub enum SeriesOf "series-of" {
        /// This one.
        Listed "listed" { thread: String as Text, series: &'static str as text },
        /// None.
        Special "special" { thread: String as Text },
    }
}

crate::codes! {
    /// The classes that a form has.
    pub enum KnownClasses "known-classes" {
        /// Unified.
        Unified "unified",
        /// A digit alone.
        UnifiedLetter "unified-letter",
        /// The G behind a class.
        UnifiedKept "unified-kept",
        UnifiedFit "unified-fit",
        /// UNJ.
        Unj "unj",
        /// M.
        Metric "metric",
        /// M: the grades of the major diameter.
        MetricMajor "metric-major",
        /// M: a fit.
        MetricFit "metric-fit",
        /// MJ.
        Mj "mj",
        /// Tr.
        Trapezoidal "trapezoidal",
        /// Tr: a fit.
        TrapezoidalFit "trapezoidal-fit",
        /// BSW, BSF.
        Whitworth "whitworth",
        /// G.
        GPipe "g-pipe",
        /// BA.
        Ba "ba",
        /// Acme and Stub Acme.
        Acme "acme",
    }
}

crate::messages! {
    /// Why a class is not defined for a thread.
    #[derive(Eq)]
    pub enum ClassNotDefined "class-not-defined" {
        /// Stub Acme has one class.
        StubAcme "stub-acme",
        /// BA: close for the numbers 0 to 10.
        BaClose "ba-close",
        /// Unified class 1.
        ClassOne "class-one",
        /// M: no deviation of this letter.
        NoDeviation "no-deviation" { letter: char as text, pitch: String as Text },
        /// M: no tolerance of this grade.
        NoTolerance "no-tolerance" { pitch: String as Text },
        /// M: the cell of the table is empty.
        EmptyCell "empty-cell",
    }
}

crate::messages! {
    /// What is wrong with lead and starts.
    #[derive(Eq)]
    pub enum LeadMismatch "lead-mismatch" {
        /// No thread has so many.
        Starts "starts" { most: u32 as whole },
        /// No whole multiple.
        NoMultiple "no-multiple" { lead: Decimal as Stated, pitch: Decimal as Stated },
        /// Lead and word disagree.
        Disagree "disagree" { of_lead: u32 as whole, stated: u32 as whole },
    }
}

impl LeadMismatch {
    pub(crate) fn disagree(of_lead: u16, stated: u16) -> Fault {
        Fault::lead(Self::Disagree {
            of_lead: of_lead.into(),
            stated: stated.into(),
        })
    }
}

crate::messages! {
    /// What is wrong with a length of engagement.
    #[derive(Eq)]
    pub enum EngagementFault "engagement" {
        /// Zero.
        NotPositive "not-positive",
        /// More diameters than are ever engaged.
        TooLong "too-long" { length: Entered as Entered, diameters: u32 as whole },
        /// The length is of another group than the one stated.
        OtherGroup "other-group" { length: Entered as Entered, group: char as text, stated: char as text },
        /// SE without a length.
        SpecialWithoutLength "special-without-length",
    }
}

crate::codes! {
    /// A diameter whose limits are stated behind a designation.
    pub enum StatedDiameter "thread-diameter" {
        /// Major.
        Major "major",
        /// Pitch.
        Pitch "pitch",
        /// Minor.
        Minor "minor",
    }
}

crate::messages! {
    /// A limit of a class.
    #[derive(Eq)]
    pub enum StatedLimit "stated-limit" {
        /// So much.
        At "at" { size: Entered as Entered },
        /// Not set.
        None "none",
    }
}

impl StatedLimit {
    pub(crate) fn of(limit: Option<Length>, unit: LengthUnit) -> Self {
        limit.map_or(Self::None, |limit| Self::At {
            size: Entered::of(limit, unit),
        })
    }
}

crate::codes! {
    /// Names of threads that are no one form here.
    pub enum KnownName "known-name" {
        /// British Standard Pipe.
        Bsp "bsp",
        /// Whitworth.
        W "w",
        /// The taper pipe thread of JIS B 0203.
        Pt "pt",
        /// The parallel pipe thread of JIS B 0202.
        Pf "pf",
        /// Pipe threads in general.
        Pipe "pipe",
        /// British Standard Brass.
        Brass "brass",
        /// Parallel, for free-fitting mechanical joints.
        Npsm "npsm",
        /// Other parallel pipe threads.
        Nps "nps",
        /// Dryseal parallel.
        Npsf "npsf",
        /// Short dryseal taper.
        Ptf "ptf",
        /// Railings.
        Nptr "nptr",
        /// Gas cylinders.
        Ngt "ngt",
        /// Hose couplings.
        Nh "nh",
        /// Steel conduit.
        Pg "pg",
        /// Round threads.
        Rd "rd",
        /// Metric buttress or miniature.
        S "s",
        /// Buttress.
        Buttress "buttress",
        /// Cycle threads.
        Cycle "cycle",
        /// Wire inserts, inch.
        Sti "sti",
        /// Wire inserts, metric.
        Eg "eg",
        /// Unified miniature.
        Unm "unm",
    }
}
