//! The sheet of a study: what it is of, its results as the terminal shows them, drawings, and what it rests on. One that was
//! computed from a file is no record; one that was run at the bench is.

use maud::{Markup, html};
use paper::{Attached, Block, Figure, Tone};
use serde::Serialize;

use super::frame::{Format, Framed, amendments, fact, fine, head, heading, soft, to_sign};
use super::{Printing, markup};
use crate::desk::PROGRAM;
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report::studied::Named;
use crate::report::told::Told;
use crate::report::{self, Record};
use crate::say;
use crate::words::{self, number};

pub use super::study_drawing::{Dot, Plot, bars};

metrology::codes! {
    /// Which study it is.
    pub enum StudyName "study-name" {
        Summary "summary",
        OneWay "one-way",
        Repeatability "repeatability",
        Nested "nested",
        Type1 "type-1",
        Bias "bias",
        Linearity "linearity",
        Stability "stability",
        Agreement "agreement",
        Comparison "comparison",
        Capability "capability",
        /// Of recorded sizes.
        Recorded "recorded",
        Chart "chart",
    }
}

/// A study and what it is of.
pub struct StudySheet {
    pub study: StudyName,
    /// What its readings come from, in words.
    pub of: String,
    pub origin: Origin,
    pub told: Told,
    /// Each under its title.
    pub figures: Vec<(String, Figure)>,
    /// The document of machine-readable output, and the file with the readings.
    pub attached: Vec<Attached>,
}

/// Where the numbers come from.
pub enum Origin {
    /// They were computed for this sheet.
    Computed {
        /// A hash of what it was computed from.
        digest: String,
        made_at: jiff::Timestamp,
    },
    /// They stand on the record.
    Recorded {
        record: Box<Record>,
        facts: Vec<Named>,
        /// By whom it is approved and for what, or that it is not.
        approval: Named,
        /// What is missing, or was changed since.
        remarks: Vec<String>,
    },
}

/// What every sheet of a study has attached: its document, and its readings under the name of a file.
pub fn attached(
    document: &impl Serialize,
    readings: &str,
    text: &str,
) -> Result<Vec<Attached>, Failure> {
    let data = serde_json::to_vec_pretty(document).map_err(Failure::outside)?;
    Ok(vec![
        Attached {
            name: "study.json".to_owned(),
            media_type: "application/json".to_owned(),
            description: say!("study-sheet.attached").to_owned(),
            bytes: data,
        },
        Attached {
            name: readings.to_owned(),
            media_type: "text/csv".to_owned(),
            description: say!("study-sheet.attached-readings").to_owned(),
            bytes: text.as_bytes().to_vec(),
        },
    ])
}

impl StudySheet {
    fn title(&self) -> String {
        let name = words::word(&self.study);
        say!("study-sheet.title-of-file", study = name, of = self.of)
    }

    /// As a terminal shows it.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        if let Origin::Recorded {
            facts,
            approval,
            remarks,
            ..
        } = &self.origin
        {
            let facts = facts.iter().chain([approval]);
            lines.extend(facts.map(|(name, value)| format!("{name:<22} {value}")));
            lines.extend(remarks.iter().cloned());
            lines.push(String::new());
        }
        lines.extend(self.told.lines());
        lines
    }

    /// What tells its state from every other, and stands in the foot line.
    fn identity(&self) -> String {
        match &self.origin {
            Origin::Computed { digest, .. } => digest.clone(),
            Origin::Recorded { record, .. } => record.hash.clone(),
        }
    }

    /// What it is told by in the end mark.
    fn name(&self) -> String {
        match &self.origin {
            Origin::Computed { .. } => words::word(&self.study),
            Origin::Recorded { record, .. } => record.id.clone(),
        }
    }

    pub fn pdf(self, letterhead: &Letterhead, printing: &Printing) -> Result<Vec<u8>, Failure> {
        number::on_paper(|| self.set(letterhead, printing))
    }

    fn set(self, letterhead: &Letterhead, printing: &Printing) -> Result<Vec<u8>, Failure> {
        let (made_at, program, person) = match &self.origin {
            Origin::Computed { made_at, .. } => (*made_at, PROGRAM.to_owned(), PROGRAM.to_owned()),
            Origin::Recorded { record, .. } => (
                record.recorded_at,
                record.program.clone(),
                record.person.clone(),
            ),
        };
        let framed = Framed {
            short: self.title(),
            title: self.title(),
            identity: self.identity(),
            made_at,
            program,
            person,
            on_one_page: false,
            format: Format::Report,
            name: self.name(),
            attached: self.attached.clone(),
        };
        framed.pdf(letterhead, printing, self.blocks())
    }

    /// The same as one HTML file.
    pub fn html(self, letterhead: &Letterhead) -> Markup {
        let title = self.title();
        let identity = self.identity();
        let end = Block::End(say!("paper.end", record = self.name()));
        let head = head(letterhead).into_iter();
        let blocks: Vec<Block> = head.chain(self.blocks()).chain([end]).collect();
        let content = html! {
            article class="lot-sheet page" {
                (markup::blocks(&blocks))
                p class="hash" { (identity) }
            }
        };
        report::html::sheet(&title, "", None, &content)
    }

    /// What was found, as a part of a page.
    pub fn found(&self) -> Markup {
        html! {
            (markup::blocks(&self.told.blocks()))
            @for one in &self.figures { (markup::under_title(one)) }
        }
    }

    fn blocks(self) -> Vec<Block> {
        let mut blocks = vec![Block::Title(words::word(&self.study))];
        let (statement, made_of) = match self.origin {
            Origin::Computed { digest, made_at } => {
                let facts = vec![
                    fact(say!("study-sheet.of"), self.of),
                    fact(say!("study-sheet.made"), number::time(made_at)),
                ];
                blocks.push(Block::Facts(3, facts));
                let program = env!("CARGO_PKG_VERSION");
                (
                    say!("study-sheet.statement").to_owned(),
                    say!("study-sheet.made-of", program = program, digest = digest),
                )
            }
            Origin::Recorded {
                record,
                facts,
                approval: (name, told),
                remarks,
            } => {
                blocks.extend(amendments(&record));
                let remarks = remarks.into_iter();
                blocks.extend(remarks.map(|one| Block::Paragraph(Tone::Framed, one.into())));
                let facts = facts.into_iter();
                let facts = facts.map(|(name, value)| fact(name, value));
                blocks.push(Block::Facts(3, facts.collect()));
                // A sentence, which takes the width.
                blocks.push(Block::Facts(1, vec![fact(name, told)]));
                let (id, program) = (&record.id, &record.program);
                (
                    say!("study-sheet.statement-recorded", record = id),
                    say!("study-sheet.made-of-recorded", program = program),
                )
            }
        };
        blocks.push(heading(say!("study-sheet.results")));
        blocks.extend(self.told.blocks());
        for (title, figure) in self.figures {
            blocks.push(heading(&title));
            blocks.push(Block::Figure(figure));
        }
        blocks.push(heading(say!("report.heading-statement")));
        blocks.push(fine(statement));
        blocks.push(soft(made_of));
        blocks.push(to_sign());
        blocks
    }
}
