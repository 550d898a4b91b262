//! The sheet of a computed study: what it was computed from, its results as the terminal shows them, drawings, and what it
//! rests on. It is no record.

use maud::{Markup, html};
use paper::{Attached, Block, Figure};

use super::frame::{Format, Framed, fact, fine, head, heading, soft, to_sign};
use super::{Printing, markup};
use crate::desk::PROGRAM;
use crate::failure::Failure;
use crate::letterhead::Letterhead;
use crate::report;
use crate::report::told::Told;
use crate::say;
use crate::words::{self, number};

pub use super::study_drawing::{Dot, Plot, bars};

metrology::codes! {
    /// Which study it is.
    pub enum StudyName "study-name" {
        Summary "summary",
        OneWay "one-way",
        Repeatability "repeatability",
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
    /// A hash of what it was computed from.
    pub digest: String,
    pub made_at: jiff::Timestamp,
    pub told: Told,
    /// Each under its title.
    pub figures: Vec<(String, Figure)>,
    /// The document of machine-readable output, and the file with the readings.
    pub attached: Vec<Attached>,
}

impl StudySheet {
    fn title(&self) -> String {
        let name = words::word(&self.study);
        say!("study-sheet.title-of-file", study = name, of = self.of)
    }

    pub fn pdf(self, letterhead: &Letterhead, printing: &Printing) -> Result<Vec<u8>, Failure> {
        let framed = Framed {
            short: self.title(),
            title: self.title(),
            identity: self.digest.clone(),
            made_at: self.made_at,
            program: PROGRAM.to_owned(),
            person: PROGRAM.to_owned(),
            on_one_page: false,
            format: Format::Report,
            name: words::word(&self.study),
            attached: self.attached.clone(),
        };
        framed.pdf(letterhead, printing, self.blocks())
    }

    /// The same as one HTML file.
    pub fn html(self, letterhead: &Letterhead) -> Markup {
        let title = self.title();
        let digest = self.digest.clone();
        let end = Block::End(say!("paper.end", record = words::word(&self.study)));
        let head = head(letterhead).into_iter();
        let blocks: Vec<Block> = head.chain(self.blocks()).chain([end]).collect();
        let content = html! {
            article class="lot-sheet page" {
                (markup::blocks(&blocks))
                p class="hash" { (digest) }
            }
        };
        report::html::sheet(&title, "", None, &content)
    }

    fn blocks(self) -> Vec<Block> {
        let mut blocks = vec![
            Block::Title(words::word(&self.study)),
            Block::Facts(
                3,
                vec![
                    fact(say!("study-sheet.of"), self.of.clone()),
                    fact(say!("study-sheet.made"), number::time(self.made_at)),
                ],
            ),
            heading(say!("study-sheet.results")),
        ];
        blocks.extend(self.told.blocks());
        for (title, figure) in self.figures {
            blocks.push(heading(&title));
            blocks.push(Block::Figure(figure));
        }
        blocks.push(heading(say!("report.heading-statement")));
        blocks.push(fine(say!("study-sheet.statement")));
        blocks.push(soft(say!(
            "study-sheet.made-of",
            program = env!("CARGO_PKG_VERSION"),
            digest = self.digest
        )));
        blocks.push(to_sign());
        blocks
    }
}
