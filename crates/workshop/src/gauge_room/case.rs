//! Recalls kept as cases: saved, decided result by result, and listed.

use std::collections::BTreeMap;

use jiff::civil::Date;
use ledger::{Draft, Entry, EntryId, EntryRef, Ledger, Order, Page, Text};
use metrology::decision::Verdict;

use crate::certificates_on_record::good_checks;
use crate::clock::now;
use crate::equipment::CONTACT;
use crate::error::Error;
use crate::gauge_record::case::{Case, CaseResult, Decided, Decision};
use crate::gauge_record::piece::{PieceId, PieceKind};
use crate::given;
use crate::kept;
use crate::on_record::each_whole;
use crate::recall::{
    History, Piece, Recall, RecallError, Recalled, Recalls, is_never_used, verdict_moved,
};
use crate::record_kind::RecordKind;
use crate::recorder::Recorder;
use crate::register::{Register, Registered};
use crate::registry;
use crate::station;

metrology::messages! {
    /// Why a case is not kept.
    pub enum CaseError "recall-case" {
        /// An entry that is no case.
        NoCase "no-case" { entry: String as Text },
        /// A result that the case does not have.
        NoResult "no-result" { entry: String as Text, result: String as Text },
        /// Still good, without a word why, though the verdict without the error is none of acceptance.
        NotGood "not-good" { result: String as Text, after: Verdict as code },
    }
}

/// A case keeps every result of a recall of no more than so many, and of a larger one those whose verdict changes.
const MOST: usize = 5000;

/// The case of a recall.
pub fn of(recall: &Recall, error: &str, recalls: &Recalls) -> Case {
    let all = recalls.results.len();
    let kept = recalls.results.iter();
    let kept = kept.filter(|one| all <= MOST || one.changes());
    let (history, step) = match recall.history {
        History::Constant => ("constant", None),
        History::Linear => ("linear", None),
        History::Step(day) => ("step", Some(day)),
    };
    Case {
        piece: recall.piece.key().to_owned(),
        id: recall.id.trim().to_owned(),
        error: error.trim().to_owned(),
        points: None,
        found: recall.found,
        since: recalls.since,
        history: history.to_owned(),
        step,
        listed: all as u64,
        results: kept.map(result).collect(),
        decisions: Vec::new(),
    }
}

fn result(one: &Recalled) -> CaseResult {
    let text = |text: &Option<Box<str>>| text.as_deref().map(str::to_owned);
    CaseResult {
        entry: one.id.to_string(),
        measured_at: one.measured_at,
        part: text(&one.part),
        characteristic: text(&one.characteristic),
        sample: text(&one.sample),
        lot: text(&one.lot),
        piece: text(&one.piece),
        size: one.size,
        corrected: one.corrected,
        unit: one.unit.map(|unit| unit.symbol().to_owned()),
        before: one.before.clone().into_owned(),
        after: one.after.clone().into_owned(),
    }
}

/// What a recall lists; nothing of a registered piece that no result was recorded with yet. Such a finding is kept too: results
/// of that time may still be recorded.
pub fn recalled(recall: &Recall, ledger: &Ledger) -> Result<Recalls, Error> {
    let error = match recall.of(ledger) {
        Err(error) if is_never_used(&error) => error,
        recalls => return recalls,
    };
    let register = Register::read(ledger)?;
    let id = recall.id.trim();
    let is_it = |piece: &&Registered| {
        let mut members = piece.described.piece().members().into_iter().flatten();
        let is_member = members.any(|member| member.trim() == id);
        let kinds = recall.piece.kinds();
        let is_kind = kinds.contains(&piece.described.kind()) && piece.described.id().trim() == id;
        is_kind || recall.piece.key() == CONTACT && is_member
    };
    let pieces: Vec<&Registered> = register.pieces().iter().filter(is_it).collect();
    if pieces.is_empty() {
        return Err(error);
    }
    let mut good: Vec<Date> = Vec::new();
    for piece in pieces {
        good.extend(piece.certificates.iter().map(|one| one.date));
        good.extend(piece.described.certificate_date());
        if let Some(kind) = PieceKind::of(piece.described.kind().key()) {
            good.extend(good_checks(ledger, &PieceId::new(kind, id))?);
        }
    }
    let last = good.into_iter().filter(|date| *date < recall.found).max();
    Ok(Recalls {
        since: recall.since.or(last),
        results: Vec::new(),
    })
}

/// The recalled piece where the register still has it in use.
pub fn in_use(register: &Register, case: &Case) -> Option<PieceId> {
    let kinds = Piece::of(&case.piece)?.kinds().iter();
    let mut found = kinds.filter_map(|kind| register.find(*kind, &case.id));
    let piece = found.find(|one| one.equipment.state().is_active())?;
    Some(PieceId {
        kind: piece.equipment.kind().key().to_owned(),
        id: case.id.trim().to_owned(),
    })
}

fn draft(case: &Case, recorder: &Recorder) -> Result<Draft, Error> {
    given::on_one_line("person", &recorder.person).map_err(Error::input)?;
    Ok(Draft {
        inputs: kept::write(kept::CASE, case).map_err(Error::outside)?,
        subjects: case.subjects(),
        ..recorder.blank(RecordKind::Recall)?
    })
}

/// Puts a case on the record.
pub fn save(ledger: &Ledger, case: &Case, recorder: &Recorder) -> Result<Entry, Error> {
    let (found, today) = (case.found, station::day(now()?));
    if found > today {
        return Err(Error::input(RecallError::FoundInFuture { found, today }));
    }
    Ok(ledger.append(&draft(case, recorder)?)?)
}

/// The case that an entry holds.
pub fn case(entry: &Entry) -> Result<Case, Error> {
    let no_case = || CaseError::NoCase {
        entry: entry.id().to_string(),
    };
    if !RecordKind::Recall.is_of(entry) {
        return Err(Error::input(no_case()));
    }
    kept::read(kept::CASE, &entry.content.inputs).map_err(|_| Error::outside(no_case()))
}

/// A case as it stands today, by the name of any of its entries.
pub fn latest(ledger: &Ledger, name: &EntryRef) -> Result<(Entry, Case), Error> {
    let history = ledger.history(name)?;
    let last = match history.into_iter().last() {
        Some(last) => last,
        None => ledger.get(name)?,
    };
    let case = case(&last)?;
    Ok((last, case))
}

/// Decides of results of a case; `reason` stands with the amendment.
pub fn decide(
    ledger: &Ledger,
    name: &EntryRef,
    results: &[String],
    decided: Decided,
    note: Option<&str>,
    recorder: &Recorder,
    reason: &str,
) -> Result<Entry, Error> {
    given::on_lines("note", note.unwrap_or_default()).map_err(Error::input)?;
    let (entry, mut case) = latest(ledger, name)?;
    let at = now()?;
    for result in results {
        let named = result.trim();
        let known = case.results.iter().find(|one| {
            let number = one.entry.split('-').next();
            one.entry == named || number == Some(named)
        });
        let known = known.ok_or_else(|| {
            Error::input(CaseError::NoResult {
                entry: entry.id().to_string(),
                result: named.to_owned(),
            })
        })?;
        let after = Verdict::of(&known.after).unwrap_or(Verdict::Undecided);
        let is_good = matches!(after, Verdict::Accept | Verdict::ConditionalAccept);
        let says_why = note.is_some_and(|note| !note.trim().is_empty());
        if decided == Decided::StillGood && !is_good && !says_why {
            let result = known.entry.clone();
            return Err(Error::input(CaseError::NotGood { result, after }));
        }
        case.decisions.push(Decision {
            entry: known.entry.clone(),
            decided: decided.key().to_owned(),
            person: recorder.person.clone(),
            at,
            note: note.map(str::to_owned),
        });
    }
    let draft = draft(&case, recorder)?;
    Ok(ledger.amend(&entry.id().into(), reason, draft)?)
}

/// Every case as it stands, the newest first.
pub fn all(ledger: &Ledger) -> Result<Vec<(Entry, Case)>, Error> {
    let mut all = Vec::new();
    let mut page = Some(Page::first(Order::NewestFirst, Page::LARGEST));
    while let Some(next) = page {
        let listing = ledger.list(&RecordKind::Recall.standing(), &next)?;
        for entry in listing.entries {
            let case = case(&entry)?;
            all.push((entry, case));
        }
        page = listing.next;
    }
    Ok(all)
}

/// A result whose verdict several cases change together, though none of them does alone: what was found of a micrometer, its
/// standard and its contacts adds up.
#[derive(Clone, Debug)]
pub struct Together {
    pub result: EntryId,
    /// The newest first.
    pub cases: Vec<EntryId>,
    pub after: String,
}

/// A case with what it keeps of one result.
type Listed<'a> = (EntryId, &'a Case, &'a CaseResult);

/// All of them; of these cases as they stand, the newest first.
pub fn together(ledger: &Ledger, cases: &[(Entry, Case)]) -> Result<Vec<Together>, Error> {
    let mut listed: BTreeMap<&str, Vec<Listed<'_>>> = BTreeMap::new();
    for (entry, case) in cases {
        for one in &case.results {
            let of_result = listed.entry(&one.entry).or_default();
            of_result.push((entry.id(), case, one));
        }
    }
    let mut found = Vec::new();
    for of_result in listed.values() {
        found.extend(added_up(ledger, of_result)?);
    }
    Ok(found)
}

/// What the cases of one result, the newest first, make of it together. A result that the newest of them was decided to be good in
/// is left: whoever decided knew of the others.
fn added_up(ledger: &Ledger, cases: &[Listed<'_>]) -> Result<Option<Together>, Error> {
    let moved = cases.iter().filter_map(|(entry, case, one)| {
        let by = one.corrected? - one.size?;
        Some((*entry, by, case.is_still_good(&one.entry)))
    });
    let moved: Vec<(EntryId, f64, bool)> = moved.collect();
    let changes_alone = cases
        .iter()
        .any(|(_, case, one)| one.before != one.after && !case.is_still_good(&one.entry));
    let is_left = moved.first().is_some_and(|(.., is_good)| *is_good);
    let Some((_, _, first)) = cases.first() else {
        return Ok(None);
    };
    let Ok(name) = first.entry.parse::<EntryRef>() else {
        return Ok(None);
    };
    if moved.len() < 2 || changes_alone || is_left {
        return Ok(None);
    }
    let entry = ledger.get(&name)?;
    let facts = registry::facts(&entry.content);
    let by = moved.iter().map(|(_, by, _)| by).sum();
    let after = verdict_moved(ledger, entry.id(), &facts, by);
    let after = after.map_or_else(|| Verdict::Undecided.key().to_owned(), Into::into);
    let is_changed = facts.text(Text::Verdict) != Some(&after);
    Ok(
        (entry.amended_by.is_none() && is_changed).then(|| Together {
            result: entry.id(),
            cases: moved.into_iter().map(|(entry, ..)| entry).collect(),
            after,
        }),
    )
}

/// What saved recalls make of one result.
#[derive(Clone, Debug, Default)]
pub struct OfResult {
    /// The cases whose error changes its verdict, the newest first, with what each keeps of it; none of one that was decided to be
    /// good all the same.
    pub alone: Vec<(Entry, Case, CaseResult)>,
    /// Where none does alone.
    pub together: Option<Together>,
}

impl OfResult {
    /// A case that a later version wrote is told by verification.
    pub fn read(ledger: &Ledger, result: EntryId) -> Result<Self, Error> {
        let name = result.to_string();
        let mut listed: Vec<(Entry, Case, CaseResult)> = Vec::new();
        let cases = RecordKind::Recall.standing();
        each_whole(ledger, &cases, Order::NewestFirst, |entry| {
            let Ok(case) = case(entry) else {
                return Ok(());
            };
            let of_it = case.results.iter().find(|one| one.entry == name).cloned();
            listed.extend(of_it.map(|of_it| (entry.clone(), case, of_it)));
            Ok(())
        })?;
        let all = listed
            .iter()
            .map(|(entry, case, one)| (entry.id(), case, one));
        let together = added_up(ledger, &all.collect::<Vec<_>>())?;
        listed.retain(|(_, case, _)| case.in_doubt().any(|one| one.entry == name));
        Ok(Self {
            alone: listed,
            together,
        })
    }

    /// The newest case that changes its verdict, alone or with others.
    pub fn newest(&self) -> Option<EntryId> {
        let alone = self.alone.first().map(|(entry, ..)| entry.id());
        let together = self.together.as_ref();
        alone.or_else(|| together?.cases.first().copied())
    }
}
