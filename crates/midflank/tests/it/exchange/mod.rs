//! What goes to other systems and comes from them.

pub mod dcc;
mod equipment;
mod qif;
#[cfg(feature = "sheets")]
mod round;
#[cfg(feature = "sheets")]
mod sheets;
mod xml;

use std::path::Path;
use std::process::Command;

/// Checks a document against a published schema, where `MIDFLANK_SCHEMAS` names their folder; says where it does not.
fn valid(schema: &str, document: &Path) {
    let Some(folder) = std::env::var_os("MIDFLANK_SCHEMAS") else {
        eprintln!("skipped: {schema}; MIDFLANK_SCHEMAS names no folder of schemas");
        return;
    };
    let folder = Path::new(&folder);
    let output = Command::new("xmllint")
        .args(["--nonet", "--noout", "--schema"])
        .arg(folder.join(schema))
        .arg(document)
        .env("XML_CATALOG_FILES", folder.join("dcc/catalog.xml"))
        .output()
        .expect("xmllint is not installed (Debian: libxml2-utils)");
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{}: {told}", document.display());
}
