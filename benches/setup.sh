#!/bin/sh
# Which of 150 micrometers, 150 pairs and 150 standards to use: the best five beside every set-up there is, in one run.
#
# usage: benches/setup.sh [COUNT]
#
# The shortest of five, wall clock, whole process, with the lines of its answer. What is reckoned alone, without a process
# and a register to read, is timed by `cargo bench --locked -p benches --bench advice`.
set -eu
cd "$(dirname "$0")/.."
count=${1:-150}
program=${MIDFLANK:-target/release/midflank}
[ -x "$program" ] || cargo build --release --locked -p midflank
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
python3 benches/register.py "$count" > "$work/register.toml"
"$program" --ledger "$work/ledger.db" equipment add "$work/register.toml" > /dev/null

# What an answer takes, and how long it is.
row() {
    name=$1
    shift
    best=
    for _ in 1 2 3 4 5; do
        from=$(date +%s%N)
        "$program" --ledger "$work/ledger.db" setup M10x1.5-6g "$@" > "$work/answer"
        took=$(( ($(date +%s%N) - from) / 1000000 ))
        if [ -z "$best" ] || [ "$took" -lt "$best" ]; then best=$took; fi
    done
    printf '%-24s %8d ms %8d lines\n' "$name" "$best" "$(wc -l < "$work/answer")"
}

row 'the best five'
row 'every set-up' --all
