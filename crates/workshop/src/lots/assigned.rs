//! Which characteristic of the plan a result is of.

use metrology::inspection::Characteristic;

use super::meant::Meant;
use crate::error::Error;
use crate::facts::given;
use crate::inspection_plan::{Plan, Planned};

/// What is measured of the characteristics of a plan, to compare.
#[derive(Clone, Debug)]
pub(super) struct Characteristics(Vec<Known>);

#[derive(Clone, Debug)]
struct Known {
    number: String,
    /// As the facts of a result state it, and what that means; none of one that is not measured.
    given: Option<String>,
    meant: Option<Meant>,
}

/// What a result says of what it is of.
pub(super) struct Said<'a> {
    /// The number of the characteristic, where it is stated.
    pub number: Option<&'a str>,
    /// What was measured, as the facts state it.
    pub given: Option<&'a str>,
    /// The same as it is in the job; none of what was found without measuring.
    pub characteristic: Option<&'a Characteristic>,
    pub is_measured: bool,
}

/// Where a result belongs.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Assigned {
    /// To a characteristic of the plan, by its place there; whether what was measured and its limits are as planned.
    To { index: usize, same_terms: bool },
    /// To none; which characteristics measure the same feature.
    Apart { why: Apart, near: Vec<usize> },
}

/// Why a result belongs to no characteristic of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Apart {
    /// The plan does not have its number.
    UnknownNumber,
    /// What was measured is another feature than that of its number.
    OtherFeature,
    /// It has no number, and several characteristics fit equally.
    SeveralFit,
    /// It has no number, and measures one of them within other limits.
    OtherLimits,
    /// Nothing of the kind is in the plan.
    NotPlanned,
}

impl Characteristics {
    pub fn of(plan: &Plan) -> Result<Self, Error> {
        let known = |planned: &Planned| {
            let measured = planned.measured.as_ref();
            let measured = measured.filter(|_| planned.way.is_measured());
            Ok(Known {
                number: planned.number.clone(),
                given: measured.map(given).transpose().map_err(Error::outside)?,
                meant: measured.and_then(Meant::of),
            })
        };
        let all = plan.characteristics.iter().map(known);
        Ok(Self(all.collect::<Result<_, Error>>()?))
    }

    /// The place of a number in the plan.
    pub fn by_number(&self, number: &str) -> Option<usize> {
        self.0.iter().position(|known| known.number == number)
    }

    /// Where a result belongs. A stated number counts before what was measured.
    pub fn assign(&self, said: &Said<'_>) -> Assigned {
        let meant = said.characteristic.and_then(Meant::of);
        let apart = |why, near| Assigned::Apart { why, near };
        let near = |is: &dyn Fn(&Meant, &Meant) -> bool| -> Vec<usize> {
            let all = self.0.iter().enumerate();
            let fits = |known: &Known| match (&known.meant, &meant) {
                (Some(known), Some(own)) => is(known, own),
                _ => false,
            };
            let fits = all.filter(|(_, known)| known.is_as_written(said) || fits(known));
            fits.map(|(index, _)| index).collect()
        };
        let Some(number) = said.number else {
            let mut fit = near(&Meant::is_same);
            if fit.len() > 1 {
                let named: Vec<usize> =
                    near(&|known, own| known.is_same(own) && known.is_named_as(own));
                fit = if named.is_empty() { fit } else { named };
            }
            return match fit.as_slice() {
                [index] => Assigned::To {
                    index: *index,
                    same_terms: true,
                },
                [] => match near(&Meant::is_of_feature) {
                    near if near.is_empty() => apart(Apart::NotPlanned, near),
                    near => apart(Apart::OtherLimits, near),
                },
                _ => apart(Apart::SeveralFit, fit),
            };
        };
        let Some(index) = self.by_number(number) else {
            return apart(Apart::UnknownNumber, near(&Meant::is_of_feature));
        };
        let to = |same_terms| Assigned::To { index, same_terms };
        let Some(known) = self.0.get(index).filter(|_| said.is_measured) else {
            return to(true);
        };
        match (&known.meant, &meant) {
            _ if known.is_as_written(said) => to(true),
            (Some(known), Some(own)) if known.is_same(own) => to(true),
            (Some(known), Some(own)) if known.is_of_kind(own) => to(false),
            _ => apart(Apart::OtherFeature, vec![index]),
        }
    }
}

impl Known {
    fn is_as_written(&self, said: &Said<'_>) -> bool {
        self.given.is_some() && self.given.as_deref() == said.given
    }
}
