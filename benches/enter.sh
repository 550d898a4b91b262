#!/bin/sh
# From Enter to an undecided verdict with a register of 150 micrometers, 150 pairs and 150 standards; the goal is 30 ms.
#
# usage: benches/enter.sh [COUNT [SAMPLES]]
set -eu
cd "$(dirname "$0")/.."
count=${1:-150}
samples=${2:-60}
program=${MIDFLANK:-target/release/midflank}
[ -x "$program" ] || cargo build --release --locked -p midflank
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
python3 benches/register.py "$count" > "$work/register.toml"
"$program" --ledger "$work/ledger.db" equipment add "$work/register.toml" > /dev/null
python3 benches/enter.py "$program" "$work/ledger.db" "$samples"
