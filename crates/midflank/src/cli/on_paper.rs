//! The options of all that can be printed.

use std::path::PathBuf;

use clap::Args;

use super::written;
use crate::failure::Failure;
use crate::letterhead::{Letterhead, Size};
use crate::output::Output;
use crate::report::sheet::Printing;

#[derive(Args)]
pub struct OnPaper {
    #[arg(long, value_name = "FILE", group = "issued")]
    pub pdf: Option<PathBuf>,
    #[arg(long, requires = "pdf", value_name = "SIZE")]
    paper: Option<Size>,
    #[arg(long, requires = "issued", value_name = "FILE")]
    laboratory: Option<PathBuf>,
    #[arg(long)]
    pub replace: bool,
}

impl OnPaper {
    /// Who issues it.
    pub fn letterhead(&self) -> Result<Letterhead, Failure> {
        Letterhead::read(self.laboratory.as_deref())
    }

    /// Writes the PDF where one is asked for; whether it was.
    pub fn write(
        &self,
        output: &mut Output,
        set: impl FnOnce(&Letterhead, Option<Size>) -> Result<Vec<u8>, Failure>,
    ) -> Result<bool, Failure> {
        let Some(file) = &self.pdf else {
            return Ok(false);
        };
        let letterhead = self.letterhead()?;
        let bytes = set(&letterhead, self.paper)?;
        written::write(file, &bytes, self.replace, output)?;
        Ok(true)
    }
}

/// The short form on paper of this size.
pub const fn short(size: Option<Size>) -> Printing {
    Printing {
        is_long: false,
        size,
    }
}
