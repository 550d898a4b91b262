//! The options of all that can be printed.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::failure::Failure;
use crate::files;
use crate::letterhead::{Letterhead, Size};
use crate::output::Output;
use crate::report::sheet::Printing;
use crate::say;

#[derive(Args)]
pub struct OnPaper {
    #[arg(long, value_name = "FILE")]
    pub pdf: Option<PathBuf>,
    #[arg(long, requires = "pdf", value_name = "SIZE")]
    paper: Option<Size>,
    #[arg(long, requires = "pdf", value_name = "FILE")]
    laboratory: Option<PathBuf>,
    #[arg(long)]
    pub replace: bool,
}

impl OnPaper {
    /// Writes the PDF where one is asked for; whether it was.
    pub fn write(
        &self,
        output: &mut Output,
        set: impl FnOnce(&Letterhead, Option<Size>) -> Result<Vec<u8>, Failure>,
    ) -> Result<bool, Failure> {
        let Some(file) = &self.pdf else {
            return Ok(false);
        };
        let bytes = set(&self.letterhead()?, self.paper)?;
        self.put(output, file, &bytes)?;
        Ok(true)
    }

    /// Who gives it out.
    pub fn letterhead(&self) -> Result<Letterhead, Failure> {
        Letterhead::read(self.laboratory.as_deref())
    }

    /// Puts the bytes of a file where they are asked for.
    pub fn put(&self, output: &mut Output, file: &Path, bytes: &[u8]) -> Result<(), Failure> {
        if file.as_os_str() == "-" {
            return output.bytes(bytes);
        }
        files::write(file, bytes, self.replace)?;
        output.line(&say!("command.wrote", file = file.display()))
    }
}

/// The short form on paper of this size.
pub const fn short(size: Option<Size>) -> Printing {
    Printing {
        is_long: false,
        size,
    }
}
