//! A document that goes to a file, or to standard output where that is asked for.

use std::path::Path;

use crate::failure::Failure;
use crate::files;
use crate::output::Output;
use crate::say;

/// Writes a document and says so; `-` is standard output.
pub fn write(file: &Path, bytes: &[u8], replace: bool, output: &mut Output) -> Result<(), Failure> {
    if file.as_os_str() == "-" {
        return output.bytes(bytes);
    }
    files::write(file, bytes, replace)?;
    output.line(&say!("command.wrote", file = file.display()))
}
