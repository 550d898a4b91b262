//! What withholds verdicts of a lot, each reason once with the pieces that it holds up.

use metrology::inspection::Withheld;
use metrology::units::LengthUnit;
use workshop::lot::Measured;

use crate::report::lot::some_of;
use crate::say;
use crate::words::{self, Shown};

/// So many reasons are told, and so many pieces by name with each.
const TOLD: usize = 10;
const NAMED: usize = 5;

/// What was met so far.
#[derive(Default)]
pub struct Reasons {
    told: Vec<Reason>,
    /// Results with a reason beyond those.
    more: usize,
}

struct Reason {
    withheld: Withheld,
    unit: LengthUnit,
    pieces: Vec<String>,
    last: String,
    count: u64,
}

impl Reasons {
    pub fn add(&mut self, measured: &Measured) {
        let Ok(outcome) = &measured.outcome else {
            return;
        };
        let Some(withheld) = &outcome.withheld else {
            return;
        };
        let known = self.told.iter().position(|one| one.withheld == *withheld);
        let at = known.unwrap_or(self.told.len());
        if at == TOLD {
            self.more += 1;
            return;
        }
        if known.is_none() {
            self.told.push(Reason {
                withheld: withheld.clone(),
                unit: outcome.unit,
                pieces: Vec::new(),
                last: String::new(),
                count: 0,
            });
        }
        if let Some(reason) = self.told.get_mut(at) {
            reason.add(&measured.piece);
        }
    }

    /// A line for each.
    pub fn lines(&self) -> impl Iterator<Item = String> {
        let more = Some(self.more).filter(|more| *more > 0);
        let more = more.map(|more| say!("lot-run.more-reasons", n = more));
        self.told.iter().map(Reason::line).chain(more)
    }
}

impl Reason {
    /// A piece, once for all characteristics that follow each other.
    fn add(&mut self, piece: &str) {
        if self.count > 0 && self.last == piece {
            return;
        }
        piece.clone_into(&mut self.last);
        self.count += 1;
        if self.pieces.len() < NAMED {
            self.pieces.push(piece.to_owned());
        }
    }

    fn line(&self) -> String {
        say!(
            "lot-run.reason",
            why = words::message(&self.withheld, Shown::in_unit(self.unit)),
            pieces = some_of(&self.pieces, self.count)
        )
    }
}
