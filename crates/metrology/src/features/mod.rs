//! Features other than threads: the geometry and physics of each, as pure functions of numbers.
//!
//! Lengths are millimetres, angles radians unless a name says degrees, forces newtons, stresses megapascals. What
//! goes wrong with a wrong contact stands in [`contact_geometry`]: each error is what it adds to the reading.

pub mod contact_geometry;
pub mod crimp;
pub mod groove;
pub mod keyseat;
pub mod lobes;
pub mod plain_diameter;
pub mod pressing;
pub mod pull_force;
pub mod tube_wall;
pub mod wire_size;
