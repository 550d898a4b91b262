#!/bin/sh
# The start of the program beside that of an empty Rust program: the median of many whole processes, taken in turn.
#
# usage: benches/start.sh [RUNS]
set -eu
cd "$(dirname "$0")/.."
program=${MIDFLANK:-target/release/midflank}
[ -x "$program" ] || cargo build --release --locked -p midflank
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
echo 'fn main() {}' > "$work/empty.rs"
rustc -O -o "$work/empty" "$work/empty.rs"
python3 benches/start.py "${1:-300}" "$work/empty" "$program"
