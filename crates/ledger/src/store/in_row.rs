//! Facts looked at in the row of a question: of a million results, most are looked at once and not kept.

use super::row::{Columns, some_facts, to_u64};
use crate::{EntryId, Glance, Number, Text, Touched, Wanted};

/// Which column holds each fact that is wanted, in rows whose first column is a sensitivity and whose others are those of
/// [`columns_of`](super::row::columns_of).
pub(super) struct Places {
    numbers: [Option<usize>; Number::ALL.len()],
    texts: [Option<usize>; Text::ALL.len()],
}

const SENSITIVITY: usize = 0;
const SEQUENCE: usize = 1;
const CHECK: usize = 2;
const AT: usize = 4;
const FACTS: usize = 5;

impl Places {
    pub fn of(wanted: Wanted) -> Self {
        let mut places = Self {
            numbers: [None; Number::ALL.len()],
            texts: [None; Text::ALL.len()],
        };
        for (column, number) in (FACTS..).zip(wanted.numbers) {
            if let Some(place) = places.numbers.get_mut(*number as usize) {
                *place = Some(column);
            }
        }
        for (column, text) in (FACTS + wanted.numbers.len()..).zip(wanted.texts) {
            if let Some(place) = places.texts.get_mut(*text as usize) {
                *place = Some(column);
            }
        }
        places
    }

    /// Hands over the result in a row; whether to go on. What makes no sense is left out, and told by verification.
    pub fn hand_over<R: Columns>(
        &self,
        row: &R,
        take: &mut dyn FnMut(Touched<&dyn Glance>) -> bool,
    ) -> bool {
        let facts = InRow { row, places: self };
        touched(row, &facts).is_none_or(take)
    }
}

fn touched<'a>(row: &impl Columns, facts: &'a dyn Glance) -> Option<Touched<&'a dyn Glance>> {
    let sequence = to_u64(row.number_if_any(SEQUENCE).ok().flatten()?);
    Some(Touched {
        entry: EntryId::from_parts(sequence, row.text_in_place(CHECK)?)?,
        at: row.text_in_place(AT)?.parse().ok()?,
        sensitivity: row.real_if_any(SENSITIVITY).ok().flatten(),
        facts,
    })
}

/// The result in a row, kept. What makes no sense is left out, and told by verification.
pub(super) fn one_touched<R: Columns>(
    row: &R,
    wanted: Wanted,
) -> std::result::Result<Option<Touched>, R::Error> {
    let sensitivity = row.real_if_any(SENSITIVITY)?;
    let sequence = row.number_if_any(SEQUENCE)?;
    Ok(some_facts(row, SEQUENCE, wanted).and_then(|kept| {
        Some(Touched {
            entry: EntryId::from_parts(to_u64(sequence?), &kept.check)?,
            at: kept.facts.at?,
            sensitivity,
            facts: kept.facts,
        })
    }))
}

struct InRow<'a, R> {
    row: &'a R,
    places: &'a Places,
}

impl<R: Columns> Glance for InRow<'_, R> {
    fn number(&self, of: Number) -> Option<f64> {
        let column = self.places.numbers.get(of as usize).copied().flatten()?;
        let number = self.row.real_if_any(column).ok().flatten();
        number.filter(|number| number.is_finite())
    }

    fn text(&self, of: Text) -> Option<&str> {
        let column = self.places.texts.get(of as usize).copied().flatten()?;
        self.row.text_in_place(column)
    }
}
