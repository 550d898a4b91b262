#!/usr/bin/env bash
# A lot from a file of readings: pieces a second and memory of `midflank inspect --readings`, beside the same arithmetic in polars and
# DuckDB and the time to read the same bytes and to write as many. `benches/lot.sh [PIECES]`, ten readings a piece; all in one run,
# after the sizes have been compared. The peers have neither budget nor flags. MIDFLANK names another program than that built here.
set -euo pipefail
cd "$(dirname "$0")/.."
. benches/peers/python.sh
. benches/lot-readings.sh
pieces=${1:-20000}
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
program=${MIDFLANK:-${CARGO_TARGET_DIR:-target}/release/midflank}
[ -n "${MIDFLANK:-}" ] || cargo build --release --locked --quiet -p midflank

lot_readings "$pieces" 10 "$folder"

# Seconds and largest memory in kB of a command, whose output goes to a file.
run() {
  local out=$1
  shift
  "$python" - "$out" "$@" <<'PYTHON'
import resource, subprocess, sys, time
begun = time.perf_counter()
with open(sys.argv[1], "w") as out:
    subprocess.run(sys.argv[2:], stdout=out, stderr=subprocess.DEVNULL, check=True)
print(time.perf_counter() - begun, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
PYTHON
}
asked=("$program" inspect "$folder/plan.toml" --readings "$folder/readings.csv" --setup "$folder/setup.toml")
read -r as_csv csv_memory < <(run "$folder/all.csv" "${asked[@]}" --csv)
read -r as_json json_memory < <(run "$folder/all.json" "${asked[@]}" --json)
# The pieces alone, without the lines of those not measured and of the lot.
awk -F, 'NR == 1 || $2 == 1 && $3 != ""' "$folder/all.csv" >"$folder/pieces.csv"
[ "$(wc -l <"$folder/pieces.csv")" -eq $((pieces + 1)) ]

limits=$("$program" limits M10x1.5-6g --json | "$python" -c '
import json, sys
of = json.load(sys.stdin)["pitch_diameter"]
print(of["min"], of["max"])')
curve=$("$python" -c '
import sys, tomllib
points = tomllib.load(open(sys.argv[1], "rb"))["instrument"]["error_curve"]["points"]
print(",".join(at + ":" + str(float(error.removesuffix("um")) / 1000) for at, error in points))' "$folder/setup.toml")
peer() {
  # shellcheck disable=SC2086
  "$python" benches/peers/lot.py "$1" "$folder/readings.csv" "$folder/$1.csv" --from "$folder/pieces.csv" --limits $limits --curve "$curve"
}
polars=$(peer polars)
duckdb=$(peer duckdb)
read -r copied _ < <(run "$folder/copy" cat "$folder/readings.csv" "$folder/all.csv")
bytes=$(stat -c %s "$folder/readings.csv")

awk -v p="$pieces" -v t="$as_csv" -v m="$csv_memory" -v j="$as_json" -v jm="$json_memory" -v b="$bytes" -v c="$copied" \
  -v pt="$(value "$polars" seconds)" -v pm="$(value "$polars" memory)" \
  -v dt="$(value "$duckdb" seconds)" -v dm="$(value "$duckdb" memory)" \
  -v worst="$(value "$polars" worst)" -v cores="$(nproc)" 'BEGIN {
  printf "%d pieces, ten readings each, %.1f MB, %d cores; sizes agree within %.1g mm\n\n", p, b / 1e6, cores, worst
  print "| what | seconds | pieces a second | MiB |"
  print "|---|---:|---:|---:|"
  printf "| midflank, budget and verdict of each piece, CSV | %.2f | %.0f | %.0f |\n", t, p / t, m / 1024
  printf "| midflank, JSON | %.2f | %.0f | %.0f |\n", j, p / j, jm / 1024
  printf "| polars, mean, corrections and verdict | %.2f | %.0f | %.0f |\n", pt, p / pt, pm
  printf "| DuckDB, the same | %.2f | %.0f | %.0f |\n", dt, p / dt, dm
  printf "| copying the bytes in and out | %.3f | %.0f | |\n", c, p / c
}'
