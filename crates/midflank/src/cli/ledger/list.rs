//! `midflank ledger list`: the entries that meet what is asked, the latest first.

use std::io::{self, Write};
use std::path::Path;

use clap::Args;
use clap::builder::PossibleValuesParser;
use jiff::civil::Date;
use ledger::{Filter, Known, Ledger, Order, Page, Subject};
use metrology::decision::Verdict;

use super::of_lot::Table;
use super::one_line;
use crate::desk;
use crate::document::EntryDocument;
use crate::equipment::CONTACT;
use crate::failure::Failure;
use crate::given::escaped;
use crate::output::{Output, width};
use crate::record;
use crate::register::{Kind, Register};
use crate::say;
use crate::words;
use workshop::on_record;

/// The most entries that a person is shown unasked.
const SHOWN: u32 = 50;

#[derive(Args)]
pub struct List {
    #[arg(long)]
    part: Option<String>,
    #[arg(long)]
    lot: Option<String>,
    #[arg(long)]
    instrument: Option<String>,
    #[arg(long)]
    contacts: Option<String>,
    #[arg(long)]
    standard: Option<String>,
    #[arg(long, value_parser = PossibleValuesParser::new(VERDICTS.map(Verdict::key)))]
    verdict: Option<String>,
    #[arg(long, value_name = "DATE", value_parser = day)]
    since: Option<Date>,
    #[arg(long, value_name = "DATE", value_parser = day)]
    until: Option<Date>,
    #[arg(long)]
    text: Option<String>,
    #[arg(long)]
    standing: bool,
    #[arg(long)]
    limit: Option<u32>,
    #[arg(long)]
    json: bool,
}

fn day(text: &str) -> Result<Date, Failure> {
    let day = text.parse();
    day.map_err(|_| Failure::Input(say!("jobfile.no-date", text = text)))
}

/// Every verdict that an entry can have.
const VERDICTS: [Verdict; 6] = [
    Verdict::Accept,
    Verdict::ConditionalAccept,
    Verdict::Undecided,
    Verdict::ConditionalReject,
    Verdict::Reject,
    Verdict::Unusable,
];

impl List {
    /// Of a lot the results of its pieces are one table, with all else that is of it below.
    /// Lists page by page, so that a ledger of any length is no more than a page in memory.
    pub fn run(&self, path: Option<&Path>, output: &mut Output) -> Result<(), Failure> {
        let ledger = desk::open_to_read(path)?;
        let filter = self.filter(&ledger)?;
        // A program that reads the list cannot see that it was cut short.
        let limit = self.limit.unwrap_or(if self.json || self.lot.is_some() {
            u32::MAX
        } else {
            SHOWN
        });
        let mut table = match &self.lot {
            Some(number) => Table::of(&ledger, number)?,
            None => Table::default(),
        };
        let mut beside = Vec::new();
        let mut left = limit;
        let mut page = Some(Page::first(Order::NewestFirst, 1000));
        while let Some(next) = page.filter(|_| left > 0) {
            let size = next.size.min(left);
            let listing = on_record::page(&ledger, &filter, &Page { size, ..next })?;
            left = left.saturating_sub(u32::try_from(listing.entries.len()).unwrap_or(u32::MAX));
            for Known { heading, facts } in &listing.entries {
                if self.json {
                    output.json(&EntryDocument::of(heading, false))?;
                    continue;
                }
                // A person is told where an entry was changed since.
                let entry = ledger.get(&heading.id().into())?;
                let facts = facts.clone().unwrap_or_default();
                let intact = entry.is_intact();
                let line = || one_line(&entry, &facts, intact);
                if self.lot.is_none() {
                    output.line(&line())?;
                } else if !intact || !table.add(&ledger, &entry, &facts)? {
                    beside.push(line());
                }
            }
            page = listing.next.map(|next| Page { size: 1000, ..next });
        }
        for line in table.lines(width()).iter().chain(&beside) {
            output.line(line)?;
        }
        if left == limit && limit > 0 {
            self.tell_none(&ledger, &filter, output)?;
        }
        if page.is_some() && !self.json {
            output.line(&say!("ledger.list-more", limit = limit))?;
        }
        Ok(())
    }

    fn filter(&self, ledger: &Ledger) -> Result<Filter, Failure> {
        let stated = [
            ("part", &self.part),
            ("lot", &self.lot),
            ("instrument", &self.instrument),
            ("contacts", &self.contacts),
            ("standard", &self.standard),
            ("verdict", &self.verdict),
        ];
        let mut subjects: Vec<Subject> = stated
            .into_iter()
            .filter_map(|(role, identity)| Some(Subject::new(role, identity.as_ref()?.trim())))
            .collect();
        for subject in subjects
            .iter_mut()
            .filter(|subject| subject.role == "contacts")
        {
            // What is no pair may be one of a pair.
            let member = Subject::new(CONTACT, &subject.identity);
            let known = |subject: &Subject| {
                ledger.count(&Filter::touching(&subject.role, &subject.identity))
            };
            if known(subject)? == 0 && known(&member)? > 0 {
                *subject = member;
            }
        }
        Ok(Filter {
            subjects,
            text: self.text.clone(),
            standing: self.standing,
            ..record::in_days(self.since, self.until)
        })
    }

    /// A name that no entry has is more likely mistyped than never used: a recall must not end there.
    fn tell_none(
        &self,
        ledger: &Ledger,
        filter: &Filter,
        output: &mut Output,
    ) -> Result<(), Failure> {
        let mut told = say!("ledger.list-none").to_owned();
        let register = Register::read(ledger)?;
        for Subject { role, identity } in &filter.subjects {
            if role != "verdict" && ledger.count(&Filter::touching(role, identity))? == 0 {
                told = say!(
                    "ledger.list-unknown",
                    words = told,
                    role = role,
                    identity = identity
                );
                let nearest = Kind::of(role)
                    .map_or_else(Vec::new, |kind| register.nearest(Some(kind), identity));
                if !nearest.is_empty() {
                    let known = words::choice(nearest.iter().map(|known| format!("`{known}`")));
                    told = say!("ledger.list-near", words = told, known = known);
                }
            }
        }
        if self.json {
            // Standard output holds entries and nothing else.
            let _ = writeln!(io::stderr(), "{}", escaped(&told));
            return Ok(());
        }
        output.line(&told)
    }
}
