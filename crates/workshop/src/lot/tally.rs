//! What a lot comes to, piece after piece.

use std::collections::HashMap;

use metrology::inspection::puts_size_in_doubt;
use metrology::lot::{Counts, Criteria, LotReason, LotVerdict, Sizes, Standing, verdict};

use super::batch::Measured;
use crate::plan::Plan;

/// Pieces that are named in each list; how many there are is told beside them.
const NAMED: usize = 100;

/// The sizes of so many pieces are held for the test of normality; more are not needed for it.
const TESTED: usize = 2_000;

/// What was found so far.
#[derive(Debug)]
pub struct Tally<'a> {
    plan: &'a Plan,
    /// Which characteristics some piece was measured for.
    measured: Vec<bool>,
    /// Whether the results of each piece stand together.
    together: bool,
    pub counts: Counts,
    pub characteristics: Vec<OfCharacteristic>,
    /// Undecided and provisional pieces by name, as far as lists go.
    pub undecided: Vec<String>,
    pub rejected: Vec<String>,
    /// Places and characteristics of single pieces that were not measured.
    pub not_measured: Vec<NotMeasured>,
    pub not_measured_count: u64,
    /// Why the lot is not accepted, however few pieces are undecided.
    pub holds: Option<LotReason>,
    /// What leaves pieces undecided, where more is known of it than that they are.
    pub open: Option<LotReason>,
    now: Option<Piece>,
    /// Pieces whose rows stand apart, in the order in which they begin.
    apart: Vec<Piece>,
    known: HashMap<String, usize>,
}

/// What was found of a characteristic.
#[derive(Clone, Debug, Default)]
pub struct OfCharacteristic {
    pub counts: Counts,
    pub sizes: Sizes,
    /// The first sizes, millimetres.
    pub first: Vec<f64>,
    /// How many of the sizes are in doubt: their verdict is withheld for another reason than what is known beside the budget.
    pub in_doubt: u64,
}

/// A place of a piece, or all of a characteristic of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotMeasured {
    pub piece: String,
    pub characteristic: String,
    pub place: Option<String>,
}

#[derive(Debug)]
struct Piece {
    name: String,
    standing: Standing,
    measured: Vec<bool>,
}

impl<'a> Tally<'a> {
    pub fn new(plan: &'a Plan, measured: Vec<bool>, together: bool) -> Self {
        Self {
            plan,
            measured,
            together,
            counts: Counts::default(),
            characteristics: vec![OfCharacteristic::default(); plan.characteristics.len()],
            undecided: Vec::new(),
            rejected: Vec::new(),
            not_measured: Vec::new(),
            not_measured_count: 0,
            holds: None,
            open: None,
            now: None,
            apart: Vec::new(),
            known: HashMap::new(),
        }
    }

    /// Counts a result; the verdict of a piece is the worst of its characteristics. Whether its piece is another than that of
    /// the result before.
    pub fn add(&mut self, measured: &Measured) {
        let standing = match &measured.outcome {
            Ok(outcome) => outcome.standing,
            Err(_) => Standing::Undecided,
        };
        let of = self.characteristics.get_mut(measured.characteristic);
        if let (Some(of), Ok(outcome)) = (of, &measured.outcome) {
            let (own, shared) = (outcome.own_uncertainty, outcome.shared_uncertainty);
            of.sizes.add(outcome.size_mm, own, shared);
            let because = outcome.because.as_deref();
            of.in_doubt += u64::from(because.is_some_and(puts_size_in_doubt));
            if of.first.len() < TESTED {
                of.first.push(outcome.size_mm);
            }
        }
        let places = &measured.missing_places;
        self.stand(&measured.piece, measured.characteristic, standing, places);
    }

    /// Counts how a piece stands on a characteristic, with the places of it that nobody measured.
    pub fn stand(
        &mut self,
        name: &str,
        characteristic: usize,
        standing: Standing,
        missing_places: &[String],
    ) {
        for place in missing_places {
            self.miss(name, characteristic, Some(place));
        }
        let standing = match standing {
            Standing::Accept if !missing_places.is_empty() => Standing::Undecided,
            standing => standing,
        };
        if let Some(of) = self.characteristics.get_mut(characteristic) {
            of.counts.add(standing);
        }
        let piece = if self.together {
            if self.now.as_ref().is_none_or(|piece| piece.name != name) {
                let begun = self.begun(name);
                if let Some(done) = self.now.replace(begun) {
                    self.done(done);
                }
            }
            self.now.as_mut()
        } else {
            let place = self.known.get(name).copied();
            let place = place.unwrap_or_else(|| {
                let begun = self.begun(name);
                self.apart.push(begun);
                let place = self.apart.len() - 1;
                self.known.insert(name.to_owned(), place);
                place
            });
            self.apart.get_mut(place)
        };
        if let Some(piece) = piece {
            piece.standing = piece.standing.max(standing);
            if let Some(seen) = piece.measured.get_mut(characteristic) {
                *seen = true;
            }
        }
    }

    fn begun(&self, name: &str) -> Piece {
        Piece {
            name: name.to_owned(),
            standing: Standing::Accept,
            measured: vec![false; self.plan.characteristics.len()],
        }
    }

    fn miss(&mut self, piece: &str, characteristic: usize, place: Option<&String>) {
        self.not_measured_count += 1;
        let planned = self.plan.characteristics.get(characteristic);
        if let (true, Some(planned)) = (self.not_measured.len() < NAMED, planned) {
            self.not_measured.push(NotMeasured {
                piece: piece.to_owned(),
                characteristic: planned.number.clone(),
                place: place.cloned(),
            });
        }
    }

    /// All of a piece is there: what the others were measured for and it was not is not known of it.
    fn done(&mut self, mut piece: Piece) {
        let pairs = self.measured.iter().zip(&piece.measured);
        let missing: Vec<usize> = pairs
            .enumerate()
            .filter(|(_, (asked, done))| **asked && !**done)
            .map(|(index, _)| index)
            .collect();
        for index in missing {
            self.miss(&piece.name, index, None);
            if let Some(of) = self.characteristics.get_mut(index) {
                of.counts.add(Standing::Undecided);
            }
            piece.standing = piece.standing.max(Standing::Undecided);
        }
        self.counts.add(piece.standing);
        let list = match piece.standing {
            Standing::Accept => return,
            Standing::Reject => &mut self.rejected,
            Standing::Undecided | Standing::Provisional => &mut self.undecided,
        };
        if list.len() < NAMED {
            list.push(piece.name);
        }
    }

    /// No more pieces come.
    pub fn finish(&mut self) {
        let apart = std::mem::take(&mut self.apart);
        for piece in apart.into_iter().chain(self.now.take()) {
            self.done(piece);
        }
    }

    /// Characteristics of the plan that no piece was measured for, by number.
    pub fn missing_characteristics(&self) -> Vec<&'a str> {
        let all = self.plan.characteristics.iter().zip(&self.measured);
        all.filter(|(_, measured)| !**measured)
            .map(|(planned, _)| planned.number.as_str())
            .collect()
    }

    /// Pieces that the plan asks for and nobody measured.
    pub fn missing_pieces(&self) -> u64 {
        let n = self.plan.pieces.n.unwrap_or_default();
        n.saturating_sub(self.counts.pieces())
    }

    /// The verdict on the lot by the whole plan, and why it is not accepted.
    pub fn verdict(&self) -> (LotVerdict, Option<LotReason>) {
        self.by(!self.missing_characteristics().is_empty())
    }

    /// The same by the characteristics that were measured alone.
    pub fn verdict_of_measured(&self) -> (LotVerdict, Option<LotReason>) {
        self.by(false)
    }

    fn by(&self, missing_characteristics: bool) -> (LotVerdict, Option<LotReason>) {
        let critical: Vec<Counts> = self
            .plan
            .characteristics
            .iter()
            .zip(&self.characteristics)
            .filter(|(planned, _)| planned.class.accepts_none())
            .map(|(_, of)| of.counts)
            .collect();
        let (accept, reject) = self.plan.pieces.numbers();
        let criteria = Criteria {
            n: self.plan.pieces.n,
            accept,
            reject,
            missing_characteristics,
        };
        match verdict(self.counts, &critical, &criteria) {
            (LotVerdict::Accept, _) if self.holds.is_some() => (LotVerdict::Undecided, self.holds),
            (LotVerdict::Undecided, Some(LotReason::UndecidedPieces)) if self.open.is_some() => {
                (LotVerdict::Undecided, self.open)
            }
            decided => decided,
        }
    }
}
