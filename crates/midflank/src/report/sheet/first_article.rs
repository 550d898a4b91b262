//! The sheet of a first article: what it is of, its verdict, every characteristic of the plan, and what it rests on.

use ledger::{Entry, Ledger};
use maud::{Markup, html};
use paper::{Attached, Block, Column, Table, Tone, Words};
use workshop::first_article::{NOT_COVERED, NOT_MEASURED};
use workshop::plan::Way;

use super::Printing;
use super::frame::{
    Format, Framed, accredited_of, attached, fact, fine, head, heading, plain, soft, to_sign,
};
use super::{drawing, markup, plain as in_lines};
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::first_article::{FirstArticle, Line};
use crate::report::sections::Fact;
use crate::report::stated;
use crate::report::{self, caution, range, sentence, size, verdict_words};
use crate::say;
use crate::words::{self, number};

/// The PDF of a first article that was issued.
pub fn pdf(
    ledger: &Ledger,
    entry: &Entry,
    letterhead: &Letterhead,
    printing: &Printing,
) -> Result<Vec<u8>, Failure> {
    FirstArticle::issued(ledger, entry)?.pdf(letterhead, printing)
}

/// What the sheet is shown on.
#[derive(Clone, Copy, PartialEq, Eq)]
enum On {
    Paper,
    Screen,
}

impl FirstArticle {
    pub fn title(&self) -> String {
        say!(
            "first-article.title-of-file",
            piece = self.piece,
            lot = self.lot,
            part = self.part.name
        )
    }

    /// What it is called in its end mark; a draft says that it is one.
    fn name(&self) -> String {
        let of_lot = || say!("first-article.name", lot = self.lot, piece = self.piece);
        let name = self.report.clone().unwrap_or_else(of_lot);
        match &self.issued {
            Some(_) => name,
            None => say!("first-article.draft-of", name = name),
        }
    }

    pub fn pdf(&self, letterhead: &Letterhead, printing: &Printing) -> Result<Vec<u8>, Failure> {
        number::on_paper(|| self.set(letterhead, printing))
    }

    fn set(&self, letterhead: &Letterhead, printing: &Printing) -> Result<Vec<u8>, Failure> {
        let mut files = vec![Attached {
            name: "first-article.json".to_owned(),
            media_type: "application/json".to_owned(),
            description: say!("first-article.attached").to_owned(),
            bytes: serde_json::to_vec_pretty(self).map_err(Failure::outside)?,
        }];
        let issued = self.issued.as_ref();
        for record in issued
            .map(|issued| &issued.of)
            .into_iter()
            .chain(&self.records)
        {
            files.push(attached(record)?);
        }
        let short = match issued {
            Some(issued) => say!(
                "first-article.title-issued",
                name = self.name(),
                record = issued.entry
            ),
            None => say!(
                "first-article.title-short",
                name = self.name(),
                record = self.entry
            ),
        };
        let framed = Framed {
            short,
            title: self.title(),
            identity: issued.map_or(&self.hash, |issued| &issued.hash).clone(),
            made_at: issued.map_or(self.recorded_at, |issued| issued.recorded_at),
            program: issued
                .map_or(&self.program, |issued| &issued.program)
                .clone(),
            person: issued
                .map_or(&self.started_by, |issued| &issued.person)
                .clone(),
            on_one_page: true,
            format: Format::Report,
            name: self.name(),
            attached: files,
        };
        framed.pdf(letterhead, printing, self.blocks(On::Paper, letterhead))
    }

    /// The same as HTML, without the page around it.
    pub fn article(&self, letterhead: &Letterhead) -> Markup {
        let end = Block::End(say!("paper.end", record = self.name()));
        let head = head(letterhead).into_iter();
        let blocks: Vec<Block> = head
            .chain(self.blocks(On::Screen, letterhead))
            .chain([end])
            .collect();
        html! {
            article class=(format!("lot-sheet page {}", self.verdict)) {
                (markup::blocks(&blocks))
                p class="hash" { (self.issued.as_ref().map_or(&self.hash, |issued| &issued.hash)) }
            }
        }
    }

    /// The same as a page: with the style in it, or with a head that fetches it.
    pub fn html(&self, letterhead: &Letterhead, head: Option<Markup>) -> Markup {
        let content = self.article(letterhead);
        report::html::sheet(&self.title(), &self.verdict, head, &content)
    }

    /// The same as lines of so many characters.
    pub fn text(&self, letterhead: &Letterhead, width: usize) -> Vec<String> {
        let head = head(letterhead).into_iter();
        let blocks: Vec<Block> = head.chain(self.blocks(On::Screen, letterhead)).collect();
        in_lines::lines(&blocks, width)
    }

    fn blocks(&self, on: On, letterhead: &Letterhead) -> Vec<Block> {
        let mut blocks = vec![Block::Title(say!("first-article.title").to_owned())];
        let framed = |said: String| Block::Paragraph(Tone::Framed, said.into());
        match &self.issued {
            None => blocks.push(framed(say!("first-article.draft").to_owned())),
            Some(issued) => {
                let superseded = issued.superseded.as_ref();
                blocks.extend(superseded.map(|later| framed(later.sentence())));
            }
        }
        if let Some(replaced) = &self.replaces {
            let said = say!("first-article.replaces", report = replaced);
            blocks.push(framed(said));
        }
        blocks.push(Block::Facts(5, self.identity()));
        blocks.extend(self.verdict_blocks());
        blocks.push(heading(say!("first-article.characteristics")));
        blocks.push(soft(say!("first-article.how-to-read")));
        blocks.push(Block::Table(self.characteristics()));
        blocks.push(heading(say!("first-article.certificates")));
        blocks.push(self.certificates());
        blocks.push(heading(say!("report.equipment")));
        blocks.push(self.used());
        if let Some(held) = &self.nonconformance {
            blocks.push(heading(say!("first-article.nonconformance")));
            blocks.push(plain(sentence(&held.told)));
        }
        blocks.push(heading(say!("report.heading-statement")));
        blocks.push(fine(say!("first-article.statement")));
        for caution in &self.cautions {
            blocks.push(Block::Paragraph(Tone::Caution, caution.clone().into()));
        }
        blocks.push(Block::Paragraph(Tone::Caution, caution().into()));
        blocks.push(Block::Facts(4, self.around()));
        blocks.extend(self.accredited(letterhead));
        let program = env!("CARGO_PKG_VERSION");
        blocks.push(soft(match (&self.issued, on) {
            (Some(issued), _) => say!(
                "first-article.made-of-issued",
                record = issued.entry,
                program = issued.program,
                last = self.entry
            ),
            (None, On::Paper) => say!(
                "first-article.made-of",
                program = program,
                record = self.entry
            ),
            (None, On::Screen) => say!(
                "paper-lot.made-of-record",
                program = program,
                record = self.entry
            ),
        }));
        blocks.push(to_sign());
        blocks
    }

    fn identity(&self) -> Vec<Fact> {
        let part = &self.part;
        let stated = |text: &Option<String>| {
            text.clone()
                .unwrap_or_else(|| say!("first-article.not-stated").to_owned())
        };
        let mut facts = vec![
            fact(
                say!("first-article.part-number"),
                Words::strong(stated(&part.number)),
            ),
            fact(say!("report.head-part"), part.name.clone()),
            fact(say!("first-article.revision"), stated(&part.revision)),
            fact(say!("paper.serial"), stated(&part.serial)),
            fact(say!("lots.drawing"), part.drawing.clone()),
        ];
        if let Some(report) = &self.report {
            facts.push(fact(
                say!("first-article.report"),
                Words::strong(report.clone()),
            ));
        }
        if let Some(issued) = &self.issued {
            facts.push(fact(
                say!("first-article.issued"),
                say!(
                    "first-article.issued-by",
                    time = number::time(issued.recorded_at),
                    person = issued.person,
                    entry = issued.entry
                ),
            ));
        }
        facts.push(fact(
            say!("first-article.extent"),
            words::named("first-article-extent", self.extent),
        ));
        for (name, value) in [
            (say!("first-article.reason"), &self.reason),
            (say!("first-article.baseline"), &self.baseline),
            (say!("lots.order"), &self.order),
        ] {
            facts.extend(value.as_ref().map(|value| fact(name, value.clone())));
        }
        facts.extend([
            fact(
                say!("lots.customer"),
                stated::customer(self.customer.as_deref()),
            ),
            fact(
                say!("first-article.piece"),
                say!("first-article.name", lot = self.lot, piece = self.piece),
            ),
            fact(
                say!("lots.plan"),
                say!(
                    "paper-lot.entry-of",
                    name = self.plan,
                    entry = self.plan_entry
                ),
            ),
        ]);
        if let Some((from, to)) = self.measured_from.zip(self.measured_to) {
            let (from, to) = (number::time(from), number::time(to));
            let told = if from == to {
                from
            } else {
                say!("report.from-to", from = from, to = to)
            };
            facts.push(fact(say!("report.head-measured"), told));
        }
        if !self.people.is_empty() {
            facts.push(fact(say!("paper-lot.by"), self.people.join(", ")));
        }
        facts
    }

    fn verdict_blocks(&self) -> Vec<Block> {
        let word = verdict_words(&self.verdict);
        let counts = &self.counts;
        let mut right = vec![plain(Words::strong(say!(
            "first-article.counts",
            characteristics = counts.characteristics,
            accept = counts.accept,
            reject = counts.reject,
            undecided = counts.undecided,
            not_measured = counts.not_measured,
            not_covered = counts.not_covered
        )))];
        if let Some(because) = &self.because {
            right.push(plain(sentence(&words::word(because))));
        }
        if counts.not_covered > 0 {
            right.push(plain(say!("first-article.only-covered")));
        }
        let mark = drawing::mark(&self.verdict, word.clone());
        let shout = Block::Paragraph(Tone::Shout(drawing::colour(&self.verdict)), word.into());
        vec![Block::Columns(vec![
            (0.07, vec![Block::Figure(mark)]),
            (0.33, vec![shout]),
            (0.60, right),
        ])]
    }

    fn characteristics(&self) -> Table {
        let mut table = Table::new(vec![
            Column::text(say!("lots.number")),
            Column::text(say!("first-article.requirement")),
            Column::text(say!("first-article.result")),
            Column::text(say!("first-article.verdict")),
            Column::text(say!("first-article.with")),
            Column::text(say!("first-article.comments")),
        ]);
        for line in &self.characteristics {
            table.rows.push(vec![
                Words::strong(line.number.clone()),
                line.requirement().into(),
                line.result().into(),
                Words::strong(line.verdict_in_words()),
                line.method().into(),
                line.comments().into(),
            ]);
        }
        table
    }

    fn certificates(&self) -> Block {
        if self.certificates.is_empty() {
            return plain(say!("first-article.no-certificates"));
        }
        let mut table = Table::new(vec![
            Column::text(say!("first-article.certificate-of")),
            Column::text(say!("first-article.certificate-name")),
            Column::text(say!("first-article.specification")),
            Column::text(say!("first-article.certificate-number")),
            Column::text(say!("first-article.supplier")),
        ]);
        let or_none = |text: &Option<String>| text.clone().unwrap_or_else(|| "–".to_owned());
        for one in &self.certificates {
            table.rows.push(vec![
                words::word(&one.of).into(),
                one.name.clone().into(),
                or_none(&one.specification).into(),
                Words::strong(one.number.clone()),
                or_none(&one.supplier).into(),
            ]);
        }
        Block::Table(table)
    }

    fn used(&self) -> Block {
        if self.equipment.is_empty() {
            return plain(say!("first-article.no-equipment"));
        }
        let mut table = Table::new(vec![
            Column::text(say!("paper-lot.role")),
            Column::text(say!("report.equipment")),
            Column::text(say!("paper-lot.used-for")),
        ]);
        for used in &self.equipment {
            table.rows.push(vec![
                used.role.clone().into(),
                used.described.clone().into(),
                used.characteristics.join(", ").into(),
            ]);
        }
        Block::Table(table)
    }

    /// Which characteristics are within the scope of accreditation.
    fn accredited(&self, letterhead: &Letterhead) -> Vec<Block> {
        let found = self.characteristics.iter();
        let found = found.filter(|line| line.size.is_some() || line.conforms.is_some());
        let covered = |line: &&Line| {
            let of = line.of_scope.as_ref();
            of.is_some_and(|(measured, sized)| letterhead.covers(measured, sized) == Some(true))
        };
        let (within, outside): (Vec<&Line>, Vec<&Line>) = found.partition(covered);
        let within: Vec<&str> = within.iter().map(|line| line.number.as_str()).collect();
        let outside: Vec<&str> = outside.iter().map(|line| line.number.as_str()).collect();
        accredited_of(letterhead, &within, &outside)
    }

    /// What ISO/IEC 17025:2017, 7.8.2.1, want to be clear of every report, where it is known.
    fn around(&self) -> Vec<Fact> {
        let mut facts = vec![
            fact(
                say!("paper.receipt"),
                stated::receipt(self.received, self.condition.as_deref()),
            ),
            fact(
                say!("paper.supplied"),
                say!("paper.supplied-limits", drawing = self.part.drawing),
            ),
            fact(say!("paper.deviations"), stated::listed(&self.deviations)),
            fact(say!("paper.risk"), say!("paper-lot.risk")),
            fact(
                say!("paper.of-others"),
                if self.certificates.is_empty() {
                    say!("paper.certificates").to_owned()
                } else {
                    say!("first-article.of-others").to_owned()
                },
            ),
        ];
        if !self.repeats.is_empty() {
            let each = self.repeats.iter().map(|one| {
                say!(
                    "first-article.repeat",
                    number = one.characteristic,
                    entry = one.entry
                )
            });
            let all: Vec<String> = each.collect();
            facts.push(fact(say!("lots.repeats"), all.join("; ")));
        }
        facts
    }
}

impl Line {
    /// What is required: what it is, its limits, how much hangs on it, where it stands on the drawing.
    pub fn requirement(&self) -> String {
        let mut told = vec![self.characteristic.clone()];
        if let Some(unit) = self.unit {
            let decimals = usize::try_from(self.decimals.unwrap_or(4)).unwrap_or(4);
            let limit = |limit: Option<f64>| limit.map(|limit| number::fixed(limit, decimals));
            told.push(format!(
                "{} {unit}",
                range(limit(self.min), limit(self.max))
            ));
        }
        if self.class != "ordinary" {
            told.push(words::named("plan-class", self.class));
        }
        told.extend(self.location.clone());
        told.join(", ")
    }

    /// The size with its uncertainty, or what was found without measuring.
    pub fn result(&self) -> String {
        if let Some((value, expanded)) = self.size.zip(self.expanded_uncertainty) {
            let (value, expanded, _) = size(value, expanded);
            let unit = self.unit.map_or_else(String::new, |unit| unit.to_string());
            return match self.coverage_factor {
                Some(k) => say!(
                    "first-article.size",
                    value = value,
                    expanded = expanded,
                    unit = unit,
                    k = number::fixed(k, 2)
                ),
                None => format!("{value} ± {expanded} {unit}"),
            };
        }
        match (self.conforms, self.verdict.as_str()) {
            (Some(true), _) => say!("first-article.conforms").to_owned(),
            (Some(false), _) => say!("first-article.does-not-conform").to_owned(),
            (None, _) => "–".to_owned(),
        }
    }

    /// Whether it is one to be measured, and not to be looked at or tried with a gauge.
    fn is_measured(&self) -> bool {
        Way::of(self.way).is_some_and(Way::is_measured)
    }

    pub fn verdict_in_words(&self) -> String {
        match self.verdict.as_str() {
            NOT_MEASURED if self.is_measured() => say!("first-article.not-measured").to_owned(),
            NOT_MEASURED => say!("first-article.not-checked").to_owned(),
            NOT_COVERED => say!("first-article.not-covered").to_owned(),
            "provisional" => words::named("standing", "provisional"),
            verdict => report::verdict_word(verdict),
        }
    }

    /// How it was shown, with what, and by which record.
    pub fn method(&self) -> String {
        let mut told = vec![words::named("plan-way", self.way)];
        told.extend(self.with.iter().cloned());
        if let Some(tooling) = &self.tooling {
            told.push(say!("first-article.tooling", tooling = tooling));
        }
        let mut told = told.join(", ");
        if let Some(entry) = &self.entry {
            told += &say!("first-article.in-entry", entry = entry);
        }
        told
    }

    pub fn comments(&self) -> String {
        let mut told = Vec::new();
        if self.verdict == NOT_MEASURED {
            told.push(match &self.not_measured {
                Some(reason) => reason.clone(),
                None => say!("first-article.no-reason").to_owned(),
            });
        }
        if let Some(because) = self.because.as_deref() {
            let known = words::known(&format!("doubt.{because}"));
            told.push(known.unwrap_or(because).to_owned());
        }
        if !self.places_not_measured.is_empty() {
            let places = self.places_not_measured.join(", ");
            told.push(say!("first-article.places", places = places));
        }
        if let Some(number) = &self.nonconformance {
            told.push(number.clone());
        }
        if let Some(rule) = &self.rule
            && self.size.is_some()
        {
            told.push(match &self.agreed {
                Some(agreed) => say!("paper-lot.rule-agreed", rule = rule, agreed = agreed),
                None => say!("paper-lot.rule-not-agreed", rule = rule),
            });
        }
        told.extend(self.comment.clone());
        told.join("; ")
    }
}
