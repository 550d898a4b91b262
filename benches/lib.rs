//! Timings. `cargo bench -p benches` times functions; `benches/limits.sh` the whole program against its peers.
