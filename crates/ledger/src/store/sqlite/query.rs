//! A filter as SQL.

use std::borrow::Cow;
use std::fmt::Write as _;

use rusqlite::types::Value;

use super::super::row::{self, ByFacts, ENTRY, HEADING, fact_columns, to_i64};
use super::super::search::{Words, end_of};
use crate::{Filter, Order, Page, Result, Subject, time};

/// A statement and its values. The text depends only on which conditions are set, never on their values.
pub(super) struct Query {
    pub sql: String,
    pub values: Vec<Value>,
}

impl Query {
    /// Up to `limit` entries of a page, where they can lie between two only.
    pub fn list(
        filter: &Filter,
        page: &Page,
        limit: u32,
        columns: Columns,
        bounds: Option<(i64, i64)>,
    ) -> Result<Self> {
        let mut conditions = Conditions::of(filter, bounds.is_some())?;
        let sequence = conditions.lead.sequence();
        if let Some((first, last)) = bounds {
            let term = format!("{sequence} BETWEEN ? AND ?");
            conditions.add(&term, [first.into(), last.into()]);
        }
        let (compare, direction) = match page.order {
            Order::OldestFirst => (">", "ASC"),
            Order::NewestFirst => ("<", "DESC"),
        };
        if let Some(beyond) = page.beyond {
            conditions.add(&format!("{sequence} {compare} ?"), [to_i64(beyond).into()]);
        }
        Ok(Self {
            sql: format!(
                "SELECT {} FROM {}{}{} ORDER BY {sequence} {direction} LIMIT {limit}",
                columns.names(),
                conditions.lead.to_entries(),
                columns.join(conditions.by_facts == ByFacts::Does),
                conditions.clause()
            ),
            values: conditions.values,
        })
    }

    /// How many entries there are.
    pub fn count(filter: &Filter) -> Result<Self> {
        let conditions = Conditions::of(filter, false)?;
        let from = if conditions.on_entry {
            conditions.lead.to_entries()
        } else {
            // The index alone holds the answer.
            conditions.lead.alone()
        };
        Ok(Self {
            sql: format!("SELECT count(*) FROM {from}{}", conditions.clause()),
            values: conditions.values,
        })
    }
}

/// What is read of each entry.
#[derive(Clone, Copy)]
pub(super) enum Columns {
    /// All of it.
    All,
    /// All but the documents, with its facts where the file has a place for them.
    Heading { facts: bool },
}

impl Columns {
    fn names(self) -> Cow<'static, str> {
        match self {
            Self::All => ENTRY.into(),
            Self::Heading { facts: false } => HEADING.into(),
            Self::Heading { facts: true } => format!("{HEADING}, {}", fact_columns()).into(),
        }
    }

    fn join(self, on_facts: bool) -> &'static str {
        match self {
            Self::All | Self::Heading { facts: false } if !on_facts => "",
            _ => " LEFT JOIN fact f ON f.sequence = e.sequence",
        }
    }
}

/// The table that leads to the entries, in the order in which they were recorded.
#[derive(Clone, Copy)]
enum Lead {
    /// The entries themselves.
    Entry,
    /// From a thing to its entries.
    Subject,
    /// From words to the entries that have them.
    Search,
}

impl Lead {
    /// The column that holds the sequence number.
    fn sequence(self) -> &'static str {
        match self {
            Self::Entry => "e.sequence",
            Self::Subject => "s.sequence",
            Self::Search => "w.rowid",
        }
    }

    fn alone(self) -> &'static str {
        match self {
            Self::Entry => "entry e",
            Self::Subject => "subject s",
            Self::Search => "search w",
        }
    }

    /// CROSS JOIN: SQLite keeps the order of the tables, and so leads from the index to the entries, in its order.
    fn to_entries(self) -> &'static str {
        match self {
            Self::Entry => "entry e",
            Self::Subject => "subject s CROSS JOIN entry e ON e.sequence = s.sequence",
            Self::Search => "search w CROSS JOIN entry e ON e.sequence = w.rowid",
        }
    }
}

/// The conditions of a filter, all of which must hold.
struct Conditions {
    terms: Vec<String>,
    values: Vec<Value>,
    lead: Lead,
    /// Whether any of them looks into the entry itself.
    on_entry: bool,
    by_facts: ByFacts,
}

impl Conditions {
    fn of(filter: &Filter, complete: bool) -> Result<Self> {
        let words = Words::of(filter.text.as_deref().unwrap_or_default())?;
        let mut all = Self {
            terms: Vec::new(),
            values: Vec::new(),
            lead: match (words.long.is_empty(), filter.subjects.is_empty()) {
                (_, false) => Lead::Subject,
                (false, true) => Lead::Search,
                (true, true) => Lead::Entry,
            },
            on_entry: false,
            by_facts: ByFacts::of(complete),
        };
        all.subjects(&filter.subjects);
        all.words(words);
        all.entry(filter);
        Ok(all)
    }

    /// The first leads to the entries; the others are looked up for each.
    fn subjects(&mut self, subjects: &[Subject]) {
        let mut subjects = subjects
            .iter()
            .map(|subject| [subject.role.clone().into(), subject.identity.clone().into()]);
        if let Some(first) = subjects.next() {
            self.add("s.role = ? AND s.identity = ?", first);
        }
        for other in subjects {
            let term = format!(
                "EXISTS (SELECT 1 FROM subject o WHERE o.role = ? AND o.identity = ? AND o.sequence = {})",
                self.lead.sequence()
            );
            self.add(&term, other);
        }
    }

    fn words(&mut self, words: Words) {
        let sequence = self.lead.sequence();
        if !words.long.is_empty() {
            // Each word is a phrase, all of which must be found.
            let phrase = |word: &String| format!("\"{}\"", word.replace('"', "\"\""));
            let phrases: Vec<String> = words.long.iter().map(phrase).collect();
            let long = phrases.join(" ");
            match self.lead {
                Lead::Search => self.add("w.text MATCH ?", [long.into()]),
                _ => self.add(
                    &format!("{sequence} IN (SELECT rowid FROM search WHERE text MATCH ?)"),
                    [long.into()],
                ),
            }
        }
        // The sign keeps SQLite from asking the index of words anew for each entry that a short word leads to.
        let held = match self.lead {
            Lead::Search => format!("+{sequence}"),
            Lead::Entry | Lead::Subject => sequence.to_owned(),
        };
        for short in words.short {
            let end = end_of(&short);
            self.add(
                &format!(
                    "{held} IN (SELECT b.sequence FROM subject b \
                     WHERE b.identity COLLATE NOCASE >= ? AND b.identity COLLATE NOCASE < ?)"
                ),
                [short.into(), end.into()],
            );
        }
    }

    /// What stands in the entry itself.
    fn entry(&mut self, filter: &Filter) {
        let before = self.terms.len();
        if let Some(kind) = &filter.kind {
            self.add("e.kind = ?", [kind.clone().into()]);
        }
        self.time(filter);
        if let Some(person) = &filter.person {
            self.add("e.actor_name = ?", [person.clone().into()]);
        }
        if filter.standing {
            self.add(
                "NOT EXISTS (SELECT 1 FROM entry n WHERE n.amends = e.sequence)",
                [],
            );
        }
        self.on_entry = self.terms.len() > before;
    }

    /// When it was recorded, or what of one role it touches.
    fn time(&mut self, filter: &Filter) {
        let recorded = [
            ("e.recorded_at >= ?", filter.since),
            ("e.recorded_at < ?", filter.until),
        ];
        let mut terms = Vec::new();
        for (term, time) in recorded {
            if let Some(time) = time {
                terms.push(term);
                self.values.push(time::written(time).into());
            }
        }
        if terms.is_empty() {
            return;
        }
        let mut term = terms.join(" AND ");
        if let Some(between) = &filter.or_between {
            let fact = row::fact_of(&between.role).filter(|_| self.by_facts != ByFacts::Never);
            let identity = if let Some(column) = fact {
                self.by_facts = ByFacts::Does;
                term = format!("({term} OR (f.{column} IS NOT NULL");
                format!("f.{column}")
            } else {
                // Of each entry by itself: the days may be those of a million.
                term = format!(
                    "({term} OR 0 < (SELECT count(*) FROM subject d INDEXED BY subject_by_entry \
                         WHERE d.sequence = e.sequence AND d.role = ?"
                );
                self.values.push(between.role.clone().into());
                "d.identity".to_owned()
            };
            for (compare, bound) in [(">=", &between.first), ("<=", &between.last)] {
                if let Some(bound) = bound {
                    let _ = write!(term, " AND {identity} {compare} ?");
                    self.values.push(bound.clone().into());
                }
            }
            term.push_str("))");
        }
        self.terms.push(term);
    }

    fn add<const N: usize>(&mut self, term: &str, values: [Value; N]) {
        self.terms.push(term.to_owned());
        self.values.extend(values);
    }

    fn clause(&self) -> String {
        if self.terms.is_empty() {
            String::new()
        } else {
            format!(" WHERE {}", self.terms.join(" AND "))
        }
    }
}
