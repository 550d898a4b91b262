//! A filter as SQL.

use rusqlite::types::Value;

use super::read::{COLUMNS, to_i64};
use crate::{Filter, Order, Page, encoding};

/// A statement and its values. The text depends only on which conditions are set, never on their values.
pub(super) struct Query {
    pub sql: String,
    pub values: Vec<Value>,
}

impl Query {
    /// Up to `limit` entries of a page.
    pub fn list(filter: &Filter, page: &Page, limit: u32) -> Self {
        let mut conditions = Conditions::of(filter);
        let sequence = conditions.sequence;
        let (compare, direction) = match page.order {
            Order::OldestFirst => (">", "ASC"),
            Order::NewestFirst => ("<", "DESC"),
        };
        if let Some(beyond) = page.beyond {
            conditions.add(&format!("{sequence} {compare} ?"), [to_i64(beyond).into()]);
        }
        let from = if filter.subjects.is_empty() {
            "entry e"
        } else {
            // CROSS JOIN: SQLite keeps the order of the tables, and so leads from the subject to its
            // entries, in the order of the index.
            "subject s CROSS JOIN entry e ON e.sequence = s.sequence"
        };
        Self {
            sql: format!(
                "SELECT {COLUMNS} FROM {from}{} ORDER BY {sequence} {direction} LIMIT {limit}",
                conditions.clause()
            ),
            values: conditions.values,
        }
    }

    /// How many entries there are.
    pub fn count(filter: &Filter) -> Self {
        let conditions = Conditions::of(filter);
        let from = match (filter.subjects.is_empty(), conditions.on_entry) {
            (true, _) => "entry e",
            // The index alone holds the answer.
            (false, false) => "subject s",
            (false, true) => "subject s CROSS JOIN entry e ON e.sequence = s.sequence",
        };
        Self {
            sql: format!("SELECT count(*) FROM {from}{}", conditions.clause()),
            values: conditions.values,
        }
    }
}

/// The conditions of a filter, all of which must hold.
struct Conditions {
    terms: Vec<String>,
    values: Vec<Value>,
    /// The column that holds the sequence number in the leading table.
    sequence: &'static str,
    /// Whether any of them looks into the entry itself.
    on_entry: bool,
}

impl Conditions {
    fn of(filter: &Filter) -> Self {
        let mut all = Self {
            terms: Vec::new(),
            values: Vec::new(),
            sequence: if filter.subjects.is_empty() {
                "e.sequence"
            } else {
                "s.sequence"
            },
            on_entry: false,
        };
        let mut subjects = filter.subjects.iter().map(|subject| {
            [
                Value::from(subject.role.clone()),
                Value::from(subject.identity.clone()),
            ]
        });
        if let Some(first) = subjects.next() {
            all.add("s.role = ? AND s.identity = ?", first);
        }
        for other in subjects {
            let term = format!(
                "EXISTS (SELECT 1 FROM subject o WHERE o.role = ? AND o.identity = ? AND o.sequence = {})",
                all.sequence
            );
            all.add(&term, other);
        }
        let before = all.terms.len();
        if let Some(kind) = &filter.kind {
            all.add("e.kind = ?", [kind.clone().into()]);
        }
        if let Some(since) = filter.since {
            all.add("e.recorded_at >= ?", [encoding::time(since).into()]);
        }
        if let Some(until) = filter.until {
            all.add("e.recorded_at < ?", [encoding::time(until).into()]);
        }
        if let Some(person) = &filter.person {
            all.add("e.person = ?", [person.clone().into()]);
        }
        if filter.standing {
            all.add(
                "NOT EXISTS (SELECT 1 FROM entry n WHERE n.amends = e.sequence)",
                [],
            );
        }
        if let Some(text) = &filter.text {
            // instr() rather than LIKE: no wildcards to escape and no limit on the length.
            let within = "(instr(lower(e.inputs), lower(?)) OR instr(lower(e.results), lower(?)) \
                 OR instr(lower(e.person), lower(?)) OR instr(lower(coalesce(e.reason, '')), lower(?)) \
                 OR EXISTS (SELECT 1 FROM subject t WHERE t.sequence = e.sequence \
                            AND instr(lower(t.identity), lower(?))))";
            all.add(
                within,
                std::array::from_fn::<Value, 5, _>(|_| text.clone().into()),
            );
        }
        all.on_entry = all.terms.len() > before;
        all
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
