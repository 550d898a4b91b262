//! Records in the forms of other systems, one module a form.

pub mod archive;
pub mod dcc;
pub mod qif;
pub mod results;
pub mod sheets;
mod xml;
