#!/usr/bin/env bash
# A lot from a file of readings: pieces a second and memory of `midflank inspect --readings`, and the time to read the same
# bytes and write as many. `benches/lot.sh [PIECES]`, ten readings a piece.
#
# The same arithmetic in polars and DuckDB is not here: their answer would be the mean and the corrections alone, without budget,
# suspicions and decision, and no figure for them has been taken on this machine.
set -euo pipefail
cd "$(dirname "$0")/.."
pieces=${1:-20000}
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cargo build --release --locked --quiet -p midflank
program=${CARGO_TARGET_DIR:-target}/release/midflank

awk -v pieces="$pieces" 'BEGIN {
  srand(18); print "piece,characteristic,place,reading,unit"
  split("near the head;middle;near the end", place, ";")
  zero = ",zero,,10.001,mm\n,zero,,10.002,mm\n,zero,,10.001,mm"
  print zero
  for (p = 1; p <= pieces; p++) {
    size = 8.90 + 0.05 * rand()
    for (r = 0; r < 10; r++) printf "%d,1,%s,%.3f,mm\n", p, place[1 + r % 3], size + 0.002 * rand()
  }
  print zero
}' >"$folder/readings.csv"

run() {
  local begun ended
  begun=$(date +%s.%N)
  "$@" >"$folder/out"
  ended=$(date +%s.%N)
  awk -v a="$begun" -v b="$ended" 'BEGIN { print b - a }'
}
sed 's/^take = .*/take = "all"/; /^lot_size/d; /^level/d; /^aql/d' demo/lot/plan.toml >"$folder/plan.toml"
asked=("$program" inspect "$folder/plan.toml" --readings "$folder/readings.csv" --setup demo/lot/setup.toml --json)
whole=$(run "${asked[@]}" 2>"$folder/err")
bytes=$(stat -c %s "$folder/readings.csv")
copied=$(run cat "$folder/readings.csv")
memory=$( (ulimit -v unlimited; "${asked[@]}" >/dev/null 2>&1 & pid=$!
  most=0
  while kill -0 $pid 2>/dev/null; do
    now=$(awk '/VmHWM/ { print $2 }' /proc/$pid/status 2>/dev/null || echo 0)
    [ "${now:-0}" -gt "$most" ] && most=$now
    sleep 0.05
  done
  echo "$most") )
awk -v p="$pieces" -v t="$whole" -v m="$memory" -v b="$bytes" -v c="$copied" 'BEGIN {
  print "| what | value |"
  print "|---|---:|"
  printf "| pieces, ten readings each | %d |\n| seconds | %.2f |\n| pieces a second | %.0f |\n", p, t, p / t
  printf "| memory, MiB | %.1f |\n| file, MB | %.1f |\n| seconds to copy the bytes | %.3f |\n", m / 1024, b / 1e6, c
}'
