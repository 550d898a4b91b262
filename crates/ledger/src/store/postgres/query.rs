//! A filter as SQL.

use std::borrow::Cow;
use std::fmt::Write as _;

use postgres::types::ToSql;

use super::super::row::{self, ByFacts, ENTRY, HEADING, fact_columns, to_i64};
use super::super::search::{Words, end_of};
use crate::{Filter, Order, Page, Result, Subject, time};

type Value = Box<dyn ToSql + Sync>;

/// A statement and its values. The text depends only on which conditions are set, never on their values.
pub(super) struct Query {
    pub sql: String,
    values: Vec<Value>,
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
        let sequence = conditions.sequence();
        if let Some((first, last)) = bounds {
            let (first, last) = (conditions.value(first), conditions.value(last));
            conditions.add(format!("{sequence} BETWEEN {first} AND {last}"));
        }
        let (compare, direction) = match page.order {
            Order::OldestFirst => (">", "ASC"),
            Order::NewestFirst => ("<", "DESC"),
        };
        if let Some(beyond) = page.beyond {
            let beyond = conditions.value(to_i64(beyond));
            conditions.add(format!("{sequence} {compare} {beyond}"));
        }
        Ok(Self {
            sql: format!(
                "SELECT {} FROM {}{}{} ORDER BY {sequence} {direction} LIMIT {limit}",
                columns.names(),
                conditions.from(true),
                columns.join(conditions.by_facts == ByFacts::Does),
                conditions.clause()
            ),
            values: conditions.values,
        })
    }

    /// How many entries there are.
    pub fn count(filter: &Filter) -> Result<Self> {
        let conditions = Conditions::of(filter, false)?;
        Ok(Self {
            sql: format!(
                "SELECT count(*) FROM {}{}",
                conditions.from(conditions.on_entry),
                conditions.clause()
            ),
            values: conditions.values,
        })
    }

    pub fn values(&self) -> Vec<&(dyn ToSql + Sync)> {
        self.values.iter().map(Box::as_ref).collect()
    }
}

/// What is read of each entry.
#[derive(Clone, Copy)]
pub(super) enum Columns {
    /// All of it.
    All,
    /// All but the documents, with its facts.
    Heading,
}

impl Columns {
    fn names(self) -> Cow<'static, str> {
        match self {
            Self::All => ENTRY.into(),
            Self::Heading => format!("{HEADING}, {}", fact_columns()).into(),
        }
    }

    fn join(self, on_facts: bool) -> &'static str {
        match self {
            Self::All if !on_facts => "",
            Self::All | Self::Heading => " LEFT JOIN fact f ON f.sequence = e.sequence",
        }
    }
}

/// The conditions of a filter, all of which must hold.
struct Conditions {
    terms: Vec<String>,
    values: Vec<Value>,
    /// Whether a thing leads to the entries, `s`; without one the entries themselves are looked through, `e`.
    by_subject: bool,
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
            by_subject: !filter.subjects.is_empty(),
            on_entry: filter.subjects.is_empty(),
            by_facts: ByFacts::of(complete),
        };
        all.subjects(&filter.subjects);
        all.words(words);
        all.entry(filter);
        Ok(all)
    }

    /// The column that holds the sequence number.
    fn sequence(&self) -> &'static str {
        if self.by_subject {
            "s.sequence"
        } else {
            "e.sequence"
        }
    }

    fn from(&self, with_entries: bool) -> &'static str {
        match (self.by_subject, with_entries) {
            (false, _) => "entry e",
            (true, false) => "subject s",
            (true, true) => "subject s JOIN entry e ON e.sequence = s.sequence",
        }
    }

    /// The first leads to the entries; the others are looked up for each.
    fn subjects(&mut self, subjects: &[Subject]) {
        for (index, subject) in subjects.iter().enumerate() {
            let role = self.value(subject.role.clone());
            let identity = self.value(subject.identity.clone());
            self.add(if index == 0 {
                format!("s.role = {role} AND s.identity = {identity}")
            } else {
                format!(
                    "EXISTS (SELECT FROM subject o WHERE o.role = {role} AND o.identity = {identity}
                             AND o.sequence = s.sequence)"
                )
            });
        }
    }

    fn words(&mut self, words: Words) {
        self.on_entry |= !words.long.is_empty();
        for word in words.long {
            let word = self.value(format!("%{}%", literal(&word)));
            self.add(format!("e.search LIKE {word}"));
        }
        let sequence = self.sequence();
        for short in words.short {
            let end = self.value(end_of(&short));
            let short = self.value(short);
            self.add(format!(
                "{sequence} IN (SELECT b.sequence FROM subject b
                                WHERE lower(b.identity) >= {short} AND lower(b.identity) < {end})"
            ));
        }
    }

    /// What stands in the entry itself.
    fn entry(&mut self, filter: &Filter) {
        let before = self.terms.len();
        if let Some(kind) = &filter.kind {
            let kind = self.value(kind.clone());
            self.add(format!("e.kind = {kind}"));
        }
        self.time(filter);
        if let Some(person) = &filter.person {
            let person = self.value(person.clone());
            self.add(format!("e.actor_name = {person}"));
        }
        if filter.standing {
            self.add("NOT EXISTS (SELECT FROM entry n WHERE n.amends = e.sequence)".to_owned());
        }
        self.on_entry |= self.terms.len() > before;
    }

    /// When it was recorded, or what of one role it touches.
    fn time(&mut self, filter: &Filter) {
        let mut terms = Vec::new();
        for (compare, time) in [(">=", filter.since), ("<", filter.until)] {
            if let Some(time) = time {
                let time = self.value(time::written(time));
                terms.push(format!("e.recorded_at {compare} {time}"));
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
                let role = self.value(between.role.clone());
                term = format!(
                    "({term} OR 0 < (SELECT count(*) FROM subject d WHERE d.sequence = e.sequence AND d.role = {role}"
                );
                "d.identity".to_owned()
            };
            for (compare, bound) in [(">=", &between.first), ("<=", &between.last)] {
                if let Some(bound) = bound {
                    let bound = self.value(bound.clone());
                    let _ = write!(term, " AND {identity} {compare} {bound}");
                }
            }
            term.push_str("))");
        }
        self.add(term);
    }

    /// Keeps a value and gives the name by which the statement refers to it.
    fn value(&mut self, value: impl ToSql + Sync + 'static) -> String {
        self.values.push(Box::new(value));
        format!("${}", self.values.len())
    }

    fn add(&mut self, term: String) {
        self.terms.push(term);
    }

    fn clause(&self) -> String {
        if self.terms.is_empty() {
            String::new()
        } else {
            format!(" WHERE {}", self.terms.join(" AND "))
        }
    }
}

/// A word in which no sign stands for others.
fn literal(word: &str) -> String {
    let mut text = String::new();
    for letter in word.chars() {
        if "\\%_".contains(letter) {
            text.push('\\');
        }
        text.push(letter);
    }
    text
}
