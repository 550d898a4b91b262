//! What a study comes to.

use jiff::Timestamp;
use paper::Figure;
use serde::Serialize;
use sha2::{Digest as _, Sha256};

use crate::failure::Failure;
use crate::report::sheet::study::{Origin, Plot, StudyName, StudySheet, attached};
use crate::report::told::Told;

/// What a study comes to, in all its forms.
pub struct Answer<D> {
    pub study: StudyName,
    /// For machine-readable output.
    pub document: D,
    pub told: Told,
    /// Each under its title.
    pub figures: Vec<(String, Figure)>,
}

/// What a study was computed from.
pub struct From<'a> {
    /// In words.
    pub of: String,
    /// The readings as a file: its name and its text.
    pub name: &'a str,
    pub text: &'a str,
}

impl<D: Serialize> Answer<D> {
    /// Before it is drawn.
    pub const fn of(study: StudyName, document: D, told: Told) -> Self {
        Self {
            study,
            document,
            told,
            figures: Vec::new(),
        }
    }

    pub fn plot(&mut self, plot: Plot) {
        let title = plot.title.clone();
        self.figures
            .extend(plot.figure().map(|figure| (title, figure)));
    }

    /// The document, and all of it as a sheet.
    pub fn on_sheet(self, from: &From<'_>, made_at: Timestamp) -> Result<(D, StudySheet), Failure> {
        let sheet = StudySheet {
            study: self.study,
            of: from.of.clone(),
            origin: Origin::Computed {
                digest: digest(from.text),
                made_at,
            },
            told: self.told,
            figures: self.figures,
            attached: attached(&self.document, from.name, from.text)?,
        };
        Ok((self.document, sheet))
    }
}

/// The SHA-256 of a text, in hexadecimal.
fn digest(text: &str) -> String {
    ledger::Hash::from_bytes(Sha256::digest(text).into()).to_string()
}
