//! What is looked up beside a job: wires for a thread, and which thread an unknown one is. Asked by a command or on a page.

pub mod identify;
pub mod thread;
pub mod wires;
