//! What a laboratory approved, in words.

use metrology::inspection::OwnUncertainty;
use metrology::units::LengthUnit;

use crate::approvals::{ApprovedStudy, Approving};
use crate::say;
use crate::words::number::{entered, given as number};
use crate::words::{self, Shown};

/// How lengths are shown where there is no drawing.
pub const SHOWN: Shown = Shown {
    unit: LengthUnit::Millimetre,
    decimals: 4,
};

/// Who approved what, in words.
pub fn told(approving: &Approving) -> String {
    let value = match approving {
        Approving::Default(approved) => words::value(&approved.shown(), SHOWN),
        Approving::Uncertainty(one) => uncertainty(&one.own),
        Approving::Study(one) => study(one),
    };
    let Some(approval) = approving.approval() else {
        return value;
    };
    say!(
        "approval.by",
        value = value,
        person = approval.person,
        on = approval.on,
        due = approval.review_due,
        evidence = approval.evidence
    )
}

/// An uncertainty, and what it holds for.
fn uncertainty(own: &OwnUncertainty) -> String {
    let mut told = say!(
        "approval.uncertainty",
        value = entered(&own.expanded_uncertainty),
        k = number(own.coverage_factor)
    );
    if let Some([from, to]) = &own.sizes {
        let (from, to) = (entered(from), entered(to));
        told = say!("approval.for-sizes", told = told, from = from, to = to);
    }
    if let Some([from, to]) = own.room {
        let (from, to) = (number(from), number(to));
        told = say!("approval.for-room", told = told, from = from, to = to);
    }
    told
}

/// What a study tells, and what it holds for.
fn study(one: &ApprovedStudy) -> String {
    let prior = &one.prior;
    let repeatability = entered(&prior.repeatability);
    let told = match &prior.reproducibility {
        Some((between, _)) => say!(
            "approval.study-operators",
            study = prior.study,
            repeatability = repeatability,
            operators = entered(between)
        ),
        None => say!(
            "approval.study",
            study = prior.study,
            repeatability = repeatability
        ),
    };
    let told = say!(
        "approval.for-feature",
        told = told,
        measured = words::measured(&one.set_up.characteristic),
        instrument = one.set_up.instrument,
        with = one.set_up.with
    );
    match &one.sizes {
        Some([from, to]) => {
            let (from, to) = (entered(from), entered(to));
            say!("approval.for-sizes", told = told, from = from, to = to)
        }
        None => told,
    }
}
