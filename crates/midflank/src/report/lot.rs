//! What a lot comes to, line by line.

use workshop::inspection_plan::{By, Pieces};
use workshop::lots::{Matrix, Nonconforming, OpenRun, Switching};
use workshop::plan::Plan;

use metrology::sampling::{Proposal, Why};

use crate::document::{CharacteristicDocument, LotDocument};
use crate::say;
use crate::words::{self, number};

/// What the lots before propose for a lot that is inspected otherwise; none where it is as they propose.
pub fn asks_for_another(pieces: &Pieces, proposed: &Switching) -> Option<String> {
    let By::MilStd105E { severity, .. } = &pieces.by else {
        return None;
    };
    let Proposal {
        severity: next,
        why,
    } = proposed.proposal;
    // A plan may begin with another severity than normal.
    let differs = *severity != next.key() && why != Why::Begins;
    if !differs && !matches!(why, Why::ReducedPossible | Why::Discontinue) {
        return None;
    }
    if why == Why::Stays {
        return Some(say!(
            "lots.stays-under-another",
            severity = words::named("severity", severity),
            proposed = words::named("severity", next.key()),
            lots = proposed.lots.join(", ")
        ));
    }
    let because = words::named("switching", why.key());
    Some(say!(
        "lots.asks-for-another",
        severity = words::named("severity", severity),
        proposed = words::named("severity", next.key()),
        because = because,
        lots = proposed.lots.join(", ")
    ))
}

/// Whether a rejected lot may still be accepted: all pieces of it are measured, and those that are worked on are measured again.
fn may_be_reworked(plan: &Plan) -> bool {
    plan.pieces.by == By::All
}

/// That the verdict is not changed by what was not measured.
pub fn early_stop(plan: &Plan, verdict: &str) -> &'static str {
    if may_be_reworked(plan) && verdict == "reject" {
        say!("lots.early-stop-all")
    } else {
        say!("lots.early-stop")
    }
}

/// That a lot is decided, why, and what is left to do.
pub fn decided(
    matrix: &Matrix,
    lot: &LotDocument,
    open: &[OpenRun],
    held: &[Nonconforming],
) -> String {
    let name = lot.lot.clone().unwrap_or_default();
    let counts = say!(
        "lot-run.counts",
        n = lot.pieces,
        accept = lot.accept,
        reject = lot.reject,
        undecided = lot.undecided,
        provisional = lot.provisional
    );
    let mut told = vec![match lot.because {
        Some(because) => say!(
            "lots.decided-reject",
            lot = name,
            because = words::named("lot-reason", because)
        ),
        None => say!("lots.decided-accept", lot = name),
    }];
    told.push(counts);
    let plan = &matrix.plan;
    let left: Vec<String> = plan
        .characteristics
        .iter()
        .enumerate()
        .filter_map(|(index, planned)| {
            let (number, done) = (&planned.number, matrix.done(index));
            let n = plan.pieces.n.filter(|n| done < *n)?;
            Some(say!(
                "lots.decided-of",
                characteristic = number,
                done = done,
                of = n
            ))
        })
        .collect();
    told.push(if left.is_empty() {
        say!("lots.decided-all").to_owned()
    } else {
        let all = left.join(", ");
        match lot.because.filter(|_| may_be_reworked(plan)) {
            Some(_) => say!("lots.decided-left-all", all = all),
            None => say!("lots.decided-left", all = all),
        }
    });
    let waiting = open.iter().filter_map(|run| {
        let number = &run.state.run()?.of.number;
        Some(say!(
            "lots.decided-open-one",
            characteristic = number,
            station = run.station
        ))
    });
    let waiting: Vec<String> = waiting.collect();
    if !waiting.is_empty() {
        told.push(say!("lots.decided-open", all = waiting.join(", ")));
    }
    if !held.is_empty() {
        let pieces: Vec<&str> = held.iter().map(|one| one.piece.as_str()).collect();
        told.push(say!("lots.decided-held", pieces = pieces.join(", ")));
    }
    told.join(" ")
}

/// What the lot comes to.
pub fn lines(plan: &Plan, lot: &LotDocument) -> Vec<String> {
    let mut output = Vec::new();
    for one in &lot.characteristics {
        output.push(say!(
            "lot-run.of-characteristic",
            characteristic = one.characteristic,
            accept = one.accept,
            reject = one.reject,
            undecided = one.undecided,
            provisional = one.provisional
        ));
        output.extend(ppk_and_fraction(one));
        if one.in_doubt > 0 && one.n > 2 {
            output.push(say!("lot-run.in-doubt", n = one.in_doubt));
        }
        if one.fraction_nonconforming.is_none()
            && one.in_doubt == 0
            && lot.not_measured.pieces == 0
            && one.n > 2
            && one.normality_p.is_some()
        {
            output.push(say!("lot-run.no-fraction").to_owned());
        }
    }
    output.push(say!(
        "lot-run.counts",
        n = lot.pieces,
        accept = lot.accept,
        reject = lot.reject,
        undecided = lot.undecided,
        provisional = lot.provisional
    ));
    let rejected = |all: &str| say!("lot-run.rejected", all = all);
    named(&lot.rejected_pieces, lot.reject, rejected, &mut output);
    let open = lot.undecided + lot.provisional;
    let undecided = |all: &str| say!("lot-run.undecided", all = all);
    named(&lot.undecided_pieces, open, undecided, &mut output);
    output.extend(not_measured(plan, lot));
    output.push(criteria(&plan.pieces));
    let verdict = words::named("lot-verdict", lot.verdict);
    output.push(match lot.because {
        Some(because) => say!(
            "lot-run.verdict-because",
            verdict = verdict,
            because = words::named("lot-reason", because)
        ),
        None => say!("lot-run.verdict", verdict = verdict),
    });
    output
}

/// What the plan requires and nobody measured; nothing where all was.
pub fn not_measured(plan: &Plan, lot: &LotDocument) -> Vec<String> {
    let mut output = Vec::new();
    let missing = &lot.not_measured;
    if missing.pieces > 0 {
        let n = plan.pieces.n.unwrap_or_default();
        output.push(say!(
            "lot-run.missing-pieces",
            missing = missing.pieces,
            of = n
        ));
        output.push(say!("lot-run.stopped-early").to_owned());
    }
    if !missing.characteristics.is_empty() {
        let all: Vec<String> = plan
            .characteristics
            .iter()
            .filter(|planned| missing.characteristics.contains(&planned.number))
            .map(|planned| format!("{} ({})", planned.number, words::word(&planned.way)))
            .collect();
        output.push(say!(
            "lot-run.missing-characteristics",
            all = all.join(", ")
        ));
    }
    if missing.of_pieces_count > 0 {
        let all: Vec<String> = missing
            .of_pieces
            .iter()
            .map(|one| match &one.place {
                Some(place) => format!("{}/{}/{place}", one.piece, one.characteristic),
                None => format!("{}/{}", one.piece, one.characteristic),
            })
            .collect();
        let missed = |all: &str| say!("lot-run.missing-of-pieces", all = all);
        named(&all, missing.of_pieces_count, missed, &mut output);
    }
    output
}

/// Names some, and how many more there are.
fn named(
    names: &[String],
    count: u64,
    sentence: impl Fn(&str) -> String,
    output: &mut Vec<String>,
) {
    if names.is_empty() {
        return;
    }
    output.push(sentence(&some_of(names, count)));
}

/// Those that are named of so many, and how many more there are.
pub fn some_of(names: &[String], count: u64) -> String {
    let all = names.join(", ");
    match count.saturating_sub(names.len() as u64) {
        0 => all,
        more => say!("lot-run.and-more", all = all, more = more),
    }
}

/// Ppk and the fraction nonconforming of a characteristic with their intervals, where they are given.
pub fn ppk_and_fraction(one: &CharacteristicDocument) -> Vec<String> {
    let ppk = one.ppk.zip(one.ppk_interval.as_ref());
    let ppk = ppk.map(|(ppk, interval)| {
        say!(
            "lot-run.ppk",
            ppk = number::fixed(ppk, 2),
            lower = number::fixed(interval.lower, 2),
            upper = number::fixed(interval.upper, 2)
        )
    });
    let fraction = one.fraction_nonconforming.as_ref().map(|fraction| {
        say!(
            "lot-run.fraction",
            estimate = number::risk(fraction.estimate),
            lower = number::risk(fraction.lower),
            upper = number::risk(fraction.upper)
        )
    });
    ppk.into_iter().chain(fraction).collect()
}

/// What the nonconforming pieces are held against.
pub fn criteria(pieces: &Pieces) -> String {
    let (accept, reject) = (pieces.accept, pieces.reject);
    if pieces.most_accepted() > accept {
        say!("lot-run.criteria-reduced", accept = accept, reject = reject)
    } else {
        say!("lot-run.criteria", accept = accept, reject = reject)
    }
}
