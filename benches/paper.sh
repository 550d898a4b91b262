#!/bin/sh
# Sheets as PDF: one record, a lot of 500 pieces (goal: under 300 ms), and as many sheets as a minute makes (goal: a thousand), beside
# a headless Chromium that prints the same HTML and the time to write the same bytes to disk. Whole processes, wall clock, the
# median of so many runs; all in one run. Chromium gives neither PDF/A nor an attached record.
#
# usage: benches/paper.sh [RUNS] [SHEETS]
#
# MIDFLANK names another program than target/release/midflank, CHROMIUM another browser; without a browser its rows are left out.
set -eu
cd "$(dirname "$0")/.."
. benches/lot-readings.sh
runs=${1:-11}
sheets=${2:-1000}
program=${MIDFLANK:-target/release/midflank}
[ -x "$program" ] || cargo build --release --locked -p midflank
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export XDG_CONFIG_HOME="$work/config" XDG_DATA_HOME="$work/data" MIDFLANK_LEDGER="$work/ledger.db"
unset MIDFLANK_LABORATORY
pieces=500

lot_readings "$pieces" 6 "$work"
"$program" --new inspect "$work/plan.toml" --readings "$work/readings.csv" --setup "$work/setup.toml" --record > /dev/null 2>&1
"$program" plan "$work/plan.toml" --person "A. Quill" > /dev/null 2>&1
"$program" lot L-2026-11 --begin IP-0412-4 --person "A. Quill" > /dev/null
"$program" report 1 --html "$work/record.html" > /dev/null
"$program" lot L-2026-11 --html "$work/lot.html" > /dev/null

browser=${CHROMIUM:-$(command -v chromium || command -v chromium-browser || true)}
python3 benches/paper.py "$program" "$work" "$runs" "$sheets" "$browser"
