//! The decision rules, with their names and parameters.

use std::borrow::Cow;
use std::fmt;

use rust_decimal::Decimal;

use crate::message::Coded;

/// A decision rule. U is the expanded uncertainty k u, T the distance of the limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// No guard band, limits included. With `largest_ratio` the rule is unusable when 2U/T exceeds it: the N:1
    /// simple acceptance of [ASME B89.7.3.1](crate::source::Source::AsmeB89_7_3_1) (4:1 is 0.25; from memory).
    Simple {
        /// Largest 2U/T as a fraction.
        largest_ratio: Option<Decimal>,
    },
    /// Guard band t u, with t the one-sided 95 % quantile of Student's t for the degrees of freedom, or 1.65 u where none
    /// are stated: conformity proven inside the limits moved in by it, nonconformity outside the limits moved out by it,
    /// undecided between. [ISO 14253-1:2017](crate::source::Source::Iso14253_1), default rule (95 % and 1.65, from
    /// memory); Student's t for few degrees of freedom is common practice (JCGM 100:2008, G.3).
    Iso14253_1,
    /// Accept at or above a conformance probability, reject at or below its complement, else undecided.
    /// [JCGM 106:2012](crate::source::Source::Jcgm106), clause 7.
    Probability {
        /// Least conformance probability, 0.5 up to 1.
        least: Decimal,
    },
    /// Accept inside the limits moved in by r U, else reject. [ILAC-G8:09/2019](crate::source::Source::IlacG8),
    /// binary statement; a negative r gives the doubt to the producer.
    GuardBand {
        /// r, a multiple of U.
        multiple: Decimal,
    },
    /// Accept inside the limits moved in by a stated width, else reject (JCGM 106:2012, 8.3; there with the symbol w).
    StatedGuardBand {
        /// The width, exact millimetres; a negative one gives the doubt to the producer.
        width: Decimal,
    },
    /// Four outcomes: conditional between the limits and the limits moved in or out by r U.
    /// [ILAC-G8:09/2019](crate::source::Source::IlacG8), non-binary statement.
    GuardBandFour {
        /// r, a multiple of U.
        multiple: Decimal,
    },
    /// Accept inside the limits moved in by h U, else reject.
    /// [ASME B89.7.3.1](crate::source::Source::AsmeB89_7_3_1), stringent acceptance (from memory).
    Stringent {
        /// h, a fraction of U.
        fraction: Decimal,
    },
    /// Accept inside the limits moved out by h U, else reject.
    /// [ASME B89.7.3.1](crate::source::Source::AsmeB89_7_3_1), relaxed acceptance (from memory).
    Relaxed {
        /// h, a fraction of U.
        fraction: Decimal,
    },
    /// Accept inside the limits moved in by M U, which keeps the probability of false acceptance at or below 2 %
    /// for every normal process centred between the limits; one that runs near a limit can do worse.
    /// [ANSI/NCSL Z540.3](crate::source::Source::Z540_3), 5.3 b, managed guard band (from memory; confirmed by
    /// integration, see [`risk`](super::risk)).
    FalseAccept2,
}

impl Rule {
    /// Every key that a rule is called by, in the order of the documentation. A stated guard band is a length, and is not
    /// called by a key.
    pub const KEYS: &'static [&'static str] = &[
        "simple",
        "iso14253-1",
        "probability",
        "guard-band",
        "guard-band-four",
        "stringent",
        "relaxed",
        "false-accept-2",
    ];

    /// The key of machine-readable output and of the command line.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Simple { .. } => "simple",
            Self::Iso14253_1 => "iso14253-1",
            Self::Probability { .. } => "probability",
            Self::GuardBand { .. } => "guard-band",
            Self::StatedGuardBand { .. } => "stated-guard-band",
            Self::GuardBandFour { .. } => "guard-band-four",
            Self::Stringent { .. } => "stringent",
            Self::Relaxed { .. } => "relaxed",
            Self::FalseAccept2 => "false-accept-2",
        }
    }

    /// The parameter in use.
    pub const fn parameter(self) -> Option<Decimal> {
        match self {
            Self::Simple { largest_ratio } => largest_ratio,
            Self::Iso14253_1 | Self::FalseAccept2 | Self::StatedGuardBand { .. } => None,
            Self::Probability { least } => Some(least),
            Self::GuardBand { multiple } | Self::GuardBandFour { multiple } => Some(multiple),
            Self::Stringent { fraction } | Self::Relaxed { fraction } => Some(fraction),
        }
    }
}

impl Coded for Rule {
    fn code(&self) -> Cow<'static, str> {
        format!("rule.{}", self.key()).into()
    }
}

/// For developers: the key.
impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::decision::DecisionError;
    use crate::decision::error::Permitted;

    #[test]
    fn every_key_reads_back() {
        for key in Rule::KEYS {
            assert_eq!(Rule::parse(key, None).unwrap().key(), *key);
        }
    }

    #[test]
    fn defaults() {
        let parameter = |key| Rule::parse(key, None).unwrap().parameter();
        assert_eq!(parameter("simple"), None);
        assert_eq!(parameter("probability"), Some("0.95".parse().unwrap()));
        assert_eq!(parameter("guard-band"), Some(Decimal::ONE));
    }

    #[test]
    fn says_what_is_wrong() {
        let permitted =
            |key: &str, parameter: &str| match Rule::parse(key, Some(parameter.parse().unwrap())) {
                Err(DecisionError::Parameter { permitted, .. }) => permitted,
                other => panic!("{other:?}"),
            };
        assert_eq!(permitted("probability", "95"), Permitted::Probability);
        assert_eq!(permitted("stringent", "50"), Permitted::PositiveMultiple);
        assert_eq!(
            permitted("guard-band-four", "-1"),
            Permitted::PositiveMultiple
        );
        assert_eq!(permitted("guard-band", "11"), Permitted::Multiple);
        assert_eq!(permitted("simple", "0"), Permitted::Ratio);
        assert_eq!(
            Rule::parse("iso14253-1", Some(Decimal::ONE)),
            Err(DecisionError::NoParameter {
                rule: Rule::Iso14253_1
            })
        );
        assert_eq!(
            Rule::parse("4:1", None),
            Err(DecisionError::UnknownRule {
                given: "4:1".to_owned(),
                known: Rule::KEYS.to_vec()
            })
        );
        assert!(matches!(
            Rule::parse(" ", None),
            Err(DecisionError::NoRule { .. })
        ));
        let widening = Some("-1".parse().unwrap());
        assert!(Rule::parse("guard-band", widening).is_ok());
        let refused = Rule::agreed("guard-band", widening);
        assert!(
            matches!(
                refused,
                Err(DecisionError::Parameter {
                    permitted: Permitted::Narrowing,
                    ..
                })
            ),
            "{refused:?}"
        );
        assert!(Rule::agreed("guard-band", Some(Decimal::ZERO)).is_ok());
    }
}
