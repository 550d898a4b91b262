#!/usr/bin/env bash
# Makes the tables of docs/simulated-bench.md again, 20,000 jobs a set-up if not said, and holds them against another seed:
# `scripts/simulated-bench.sh [JOBS] [SEED]`.
set -euo pipefail
cd "$(dirname "$0")/.."
jobs=${1:-500000}
seed=${2:-1}
cargo build --release --locked -p midflank
table=$(target/release/midflank simulate --jobs "$jobs" --seed "$seed" --table)
page=docs/simulated-bench.md
{
    sed '/^<!-- made by/q' "$page"
    printf '\n%s\n\n' "$table"
    sed -n '/^<!-- end -->/,$p' "$page"
} > "$page.new"
mv "$page.new" "$page"
cargo test --release --locked -p simulated-bench --test it another_seed -- --ignored
