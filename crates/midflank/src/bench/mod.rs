//! What the bench asks, refuses and shows, in words. What happens there is in [`workshop::bench`].

pub mod asked;
pub mod calibrating;
pub mod run;
pub mod studying;
pub mod words;

pub use workshop::bench::*;
