//! A laboratory's own uncertainty for a set-up, held against the program's.

use std::f64::consts::FRAC_1_SQRT_2;

use jiff::civil::Date;

use super::approval::{NotFoundAt, OwnUncertainty};
use super::job::{Job, Temperature};
use super::model::Quantity;
use super::note::Note;
use super::size::Size;
use super::warning::Warning;
use super::{BudgetLine, Outcome};
use crate::message::Say;
use crate::units::Celsius;

/// Coverage factor that both are compared at (common practice: about 95 %).
pub const COMPARED_AT: f64 = 2.0;

impl OwnUncertainty {
    /// Why its approval does not hold for a size that was measured in this job, millimetres; nothing where it does.
    pub fn not_found_at(&self, temperature: Option<&Temperature>, size: f64) -> Option<NotFoundAt> {
        if let Some([from, to]) = &self.sizes
            && !(from.value().mm()..=to.value().mm()).contains(&size)
        {
            let (from, to) = (from.clone(), to.clone());
            return Some(NotFoundAt::Size { size, from, to });
        }
        let [from, to] = self.room?;
        let Some(read) = temperature else {
            return Some(NotFoundAt::Unread { from, to });
        };
        [Some(read.part), Some(read.standard), read.instrument]
            .into_iter()
            .flatten()
            .map(Celsius::degrees)
            .find(|temperature| !(from..=to).contains(temperature))
            .map(|temperature| NotFoundAt::Temperature {
                temperature,
                from,
                to,
            })
            .or_else(|| {
                let uncertainty = COMPARED_AT * self.unshown?;
                Some(NotFoundAt::Unshown {
                    uncertainty,
                    from,
                    to,
                })
            })
    }

    /// The same in a job with such temperatures: whether they show that it was measured within the room is judged when it is taken,
    /// and stays with it.
    #[must_use]
    pub fn in_job(self, temperature: Option<&Temperature>) -> Self {
        let unshown = self.room.zip(temperature).and_then(|([from, to], read)| {
            let expanded = COMPARED_AT * read.standard_uncertainty;
            let all = [Some(read.part), Some(read.standard), read.instrument];
            let mut all = all.into_iter().flatten().map(Celsius::degrees);
            let is_shown = all.all(|at| at - expanded >= from && at + expanded <= to);
            (!is_shown).then_some(read.standard_uncertainty)
        });
        Self { unshown, ..self }
    }
}

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

/// A laboratory's own uncertainty in a job.
pub struct OwnOfJob {
    own: OwnUncertainty,
    used: Date,
    temperature: Option<Temperature>,
}

impl OwnOfJob {
    /// The one of a job, where it has one.
    pub fn of(job: &Job) -> Option<Self> {
        Some(Self {
            own: job.prior.own.clone()?,
            used: job.measured_on,
            temperature: job.temperature.clone(),
        })
    }

    /// Whether it is approved for a size, millimetres.
    fn is_approved(&self, size: f64) -> bool {
        let approval = self.own.approval.as_ref();
        approval.is_some_and(|approval| approval.counts(self.used))
            && self
                .own
                .not_found_at(self.temperature.as_ref(), size)
                .is_none()
    }
}

/// The certificate that contributes most to the uncertainty of a size, with its standard uncertainty there, millimetres: an
/// uncertainty of the whole set-up cannot be less. Over wires their diameter is such a line. Of an error curve one of its two points
/// counts: what both have in common the zero takes out.
pub fn by_certificate(
    lines: impl Iterator<Item = (Quantity, f64)>,
    over_wires: bool,
) -> Option<(Quantity, f64)> {
    let certified = lines.filter_map(|(quantity, contribution)| match quantity {
        Quantity::Standard => Some((quantity, contribution)),
        Quantity::Curve => Some((quantity, contribution * FRAC_1_SQRT_2)),
        Quantity::Companion if over_wires => Some((quantity, contribution)),
        _ => None,
    });
    certified.max_by(|(_, one), (_, other)| one.total_cmp(other))
}

/// The size that the budget gives, with the laboratory's uncertainty beside it: the larger decides, unless the laboratory's
/// is approved for it and no less than one of the certificates alone. Of a coverage factor other than 2, `U` counts as `2 U/k`.
pub fn compared(of_job: &OwnOfJob, program: Size, certified: Option<f64>) -> Compared {
    let own = &of_job.own;
    let standard_uncertainty = own.expanded_uncertainty.value().mm() / own.coverage_factor;
    let laboratory = Size {
        standard_uncertainty,
        degrees_of_freedom: f64::INFINITY,
        coverage_factor: COMPARED_AT,
        expanded_uncertainty: COMPARED_AT * standard_uncertainty,
        ..program
    };
    let is_less = certified.is_some_and(|certified| standard_uncertainty < certified);
    let decides = if of_job.is_approved(program.value) && !is_less {
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

/// That this job shows or states more than the laboratory's uncertainty holds which decides: at k = 2, from the lines that
/// are of this job and not of the set-up.
pub fn exceeded(job: &Job, outcome: &Outcome) -> Option<Warning> {
    let own = outcome.own.filter(|own| own.decides == Decides::Approved)?;
    let shown = outcome.budget.iter().filter(|line| is_of_job(job, line));
    let squares: f64 = shown
        .map(|line| line.line.contribution * line.line.contribution)
        .sum();
    let shown = COMPARED_AT * squares.sqrt();
    let own = own.laboratory.expanded_uncertainty;
    (shown > own).then_some(Warning::OwnExceeded { shown, own })
}

/// Whether a line is what the readings of this job show, or what it states of this very part; a zero that was not checked
/// again, or moved, among them.
fn is_of_job(job: &Job, line: &BudgetLine) -> bool {
    let prior = &job.prior;
    match line.quantity {
        Quantity::Repeatability | Quantity::FormSeen => line.note == Some(Note::Readings.message()),
        Quantity::FormUnseen | Quantity::Drift => true,
        Quantity::FlankAngle => {
            prior.flank_angle.is_some() || prior.flanks.is_some() || prior.made.is_some()
        }
        Quantity::PitchError => prior.pitch_error.is_some() || prior.made.is_some(),
        _ => false,
    }
}
