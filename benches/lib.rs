//! Timings. `cargo bench --locked -p benches` times functions; `benches/limits.sh` the whole program against its peers.
