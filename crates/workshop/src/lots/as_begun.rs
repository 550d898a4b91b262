//! A plan that readings are held against, beside the one that their lot was begun under: a lot stays with that.

use jiff::civil::Date;
use metrology::decision::Rule;
use metrology::inspection::RuleName;

use super::known::{Lot, LotsError};
use crate::error::Error;
use crate::facts::given;
use crate::inspection_plan::{Plan, Planned};

metrology::codes! {
    /// In what two plans differ.
    pub enum PlanPart "plan-part" {
        /// What the part is called.
        Part "part",
        /// The drawing, or its revision.
        Drawing "drawing",
        /// What the room must be like.
        Room "room",
        /// Which characteristics there are.
        Characteristics "characteristics",
        /// What is measured, or its limits.
        Limits "limits",
        Places "places",
        Scope "scope",
        Way "way",
        Gauge "gauge",
        Class "class",
        Rule "rule",
        /// Who agreed the rule, or where.
        Agreed "agreed",
    }
}

metrology::messages! {
    /// Why readings are not held against a plan.
    pub enum OtherPlan "other-plan" {
        /// Their lot was begun under another.
        Differs "differs" { lot: String as Text, plan: String as Text, entry: String as Text, part: PlanPart as code },
        /// The same, of one characteristic.
        DiffersAt "differs-at" {
            lot: String as Text, plan: String as Text, entry: String as Text, characteristic: String as Text, part: PlanPart as code,
        },
    }
}

metrology::messages! {
    /// What counts in the place of what a plan says.
    pub enum LotTakes "lot-takes" {
        /// The lot was begun with another number of pieces, or other numbers of acceptance and rejection.
        Pieces "pieces" { lot: String as Text, n: u64 as Count, accept: u64 as Count, reject: u64 as Count },
        /// The same of a lot of which all pieces are taken.
        All "all" { lot: String as Text, accept: u64 as Count, reject: u64 as Count },
    }
}

impl Lot {
    /// Refuses what was measured before the lot came in, as a job is refused that says so itself.
    pub fn admits(&self, measured: Date) -> Result<(), Error> {
        match self.begun.received {
            Some(received) if measured < received => {
                let number = self.begun.number.clone();
                Err(Error::input(LotsError::BeforeReceipt {
                    number,
                    received,
                    measured,
                }))
            }
            _ => Ok(()),
        }
    }

    /// A plan for readings of this lot, with the pieces that the lot takes; and what is to be said where those are not as the
    /// plan had them. Refused where it differs in anything else from the plan that the lot was begun under.
    pub fn held_against(&self, plan: Plan) -> Result<(Plan, Option<LotTakes>), Error> {
        let (lot, name) = (self.begun.number.clone(), self.begun.plan.clone());
        let entry = self.begun.plan_entry.clone();
        let differs = |part| {
            let (lot, plan, entry) = (lot.clone(), name.clone(), entry.clone());
            Error::input(OtherPlan::Differs {
                lot,
                plan,
                entry,
                part,
            })
        };
        let own = &self.plan;
        if plan.part.trim() != own.part.trim() {
            return Err(differs(PlanPart::Part));
        }
        if plan.drawing() != own.drawing() {
            return Err(differs(PlanPart::Drawing));
        }
        if plan.room != own.room {
            return Err(differs(PlanPart::Room));
        }
        if plan.characteristics.len() != own.characteristics.len() {
            return Err(differs(PlanPart::Characteristics));
        }
        for planned in &plan.characteristics {
            let Some(begun) = own.find(&planned.number) else {
                return Err(differs(PlanPart::Characteristics));
            };
            if let Some(part) = differs_in(planned, begun)? {
                let characteristic = planned.number.clone();
                return Err(Error::input(OtherPlan::DiffersAt {
                    lot,
                    plan: name,
                    entry,
                    characteristic,
                    part,
                }));
            }
        }
        let takes = &own.pieces;
        let (n, accept, reject) = (takes.n, takes.accept, takes.reject);
        let same = (plan.pieces.n, plan.pieces.accept, plan.pieces.reject) == (n, accept, reject);
        let told = match n {
            _ if same => None,
            Some(n) => Some(LotTakes::Pieces {
                lot,
                n,
                accept,
                reject,
            }),
            None => Some(LotTakes::All {
                lot,
                accept,
                reject,
            }),
        };
        let pieces = takes.clone();
        Ok((Plan { pieces, ..plan }, told))
    }
}

fn differs_in(planned: &Planned, begun: &Planned) -> Result<Option<PlanPart>, Error> {
    let measured = |of: &Planned| {
        let told = of.measured.as_ref().map(given).transpose();
        told.map_err(Error::outside)
    };
    let agreed = |of: &Planned| of.agreed.as_deref().map(|by| by.trim().to_owned());
    let rule = |of: &RuleName| Rule::parse(&of.name, of.parameter).ok();
    Ok(
        if measured(planned)? != measured(begun)? || planned.says != begun.says {
            Some(PlanPart::Limits)
        } else if planned.places != begun.places {
            Some(PlanPart::Places)
        } else if planned.scope != begun.scope {
            Some(PlanPart::Scope)
        } else if planned.way != begun.way {
            Some(PlanPart::Way)
        } else if planned.gauge != begun.gauge {
            Some(PlanPart::Gauge)
        } else if planned.class != begun.class {
            Some(PlanPart::Class)
        } else if rule(&planned.rule) != rule(&begun.rule) {
            Some(PlanPart::Rule)
        } else if agreed(planned) != agreed(begun) {
            Some(PlanPart::Agreed)
        } else {
            None
        },
    )
}
