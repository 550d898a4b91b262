//! One thread at a time: reading its designation, and its limits.

#![allow(clippy::unwrap_used, missing_docs, reason = "a benchmark")]

use divan::{Bencher, black_box};
use metrology::designation::parse;

/// One of each form.
const THREADS: [&str; 12] = [
    "1/4-20 UNC-2A",
    "0.2500-28 UNJF-3A",
    "M10x1.5-6g",
    "MJ8x1-4h6h",
    "Tr40x7-7e",
    "1/2-12 BSW medium",
    "G 1/2 A",
    "R 1/4",
    "0 BA normal",
    "1/2-10 ACME-2G",
    "1/2-10 STUB ACME-2G",
    "1/8-27 NPT",
];

fn main() {
    divan::main();
}

#[divan::bench(args = THREADS)]
fn read(designation: &str) -> bool {
    parse(black_box(designation)).is_ok()
}

#[divan::bench(args = THREADS)]
fn limits(bencher: Bencher<'_, '_>, designation: &str) {
    let thread = parse(designation).unwrap();
    bencher.bench_local(|| black_box(&thread).limits());
}

#[divan::bench(args = ["M10x1.6-6g", "1/2-13 BSW", "hello"])]
fn refuse(designation: &str) -> bool {
    parse(black_box(designation)).is_err()
}
