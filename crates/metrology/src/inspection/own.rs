//! A laboratory's own uncertainty for a set-up, held against the program's.

use jiff::civil::Date;

use super::Outcome;
use super::approval::OwnUncertainty;
use super::model::Quantity;
use super::note::Note;
use super::size::Size;
use super::warning::Warning;

/// Coverage factor that both are compared at (common practice: about 95 %).
const COMPARED_AT: f64 = 2.0;

crate::codes! {
    /// Whose uncertainty a size is decided with.
    pub enum Decides "decides" {
        /// The budget of the program, which is the larger.
        Program "program",
        /// The laboratory's, which is the larger.
        Laboratory "laboratory",
        /// The laboratory's, which is approved.
        Approved "approved",
    }
}

/// Both uncertainties of a size, and which of them decides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compared {
    /// With the program's budget.
    pub program: Size,
    /// With the laboratory's, at k = 2.
    pub laboratory: Size,
    /// Which decides.
    pub decides: Decides,
}

impl Compared {
    /// The size with the uncertainty that decides.
    pub const fn size(&self) -> Size {
        match self.decides {
            Decides::Program => self.program,
            Decides::Laboratory | Decides::Approved => self.laboratory,
        }
    }
}

/// The size that the budget gives, with the laboratory's uncertainty beside it: the larger decides, unless the laboratory's
/// is approved and its review not overdue. Of a coverage factor other than 2, `U` counts as `2 U/k`.
pub fn compared(own: &OwnUncertainty, used: Date, program: Size) -> Compared {
    let standard_uncertainty = own.expanded_uncertainty.value().mm() / own.coverage_factor;
    let laboratory = Size {
        standard_uncertainty,
        degrees_of_freedom: f64::INFINITY,
        coverage_factor: COMPARED_AT,
        expanded_uncertainty: COMPARED_AT * standard_uncertainty,
        ..program
    };
    let approval = own.approval.as_ref();
    let decides = if approval.is_some_and(|approval| !approval.is_overdue(used)) {
        Decides::Approved
    } else if laboratory.expanded_uncertainty > program.expanded_uncertainty {
        Decides::Laboratory
    } else {
        Decides::Program
    };
    Compared {
        program,
        laboratory,
        decides,
    }
}

/// That these readings show more than the laboratory's uncertainty holds which decides: their own scatter, at k = 2.
pub fn exceeded(outcome: &Outcome) -> Option<Warning> {
    let own = outcome.own.filter(|own| own.decides == Decides::Approved)?;
    let shown = outcome.budget.iter().filter(|line| {
        matches!(line.quantity, Quantity::Repeatability | Quantity::FormSeen)
            && line.note == Some(Note::Readings)
    });
    let squares: f64 = shown
        .map(|line| line.line.contribution * line.line.contribution)
        .sum();
    let shown = COMPARED_AT * squares.sqrt();
    let own = own.laboratory.expanded_uncertainty;
    (shown > own).then_some(Warning::OwnExceeded { shown, own })
}
