#!/usr/bin/env bash
# The exact reading over wires against a SciPy root finder on the same equation; prints the table of the README.
set -euo pipefail
cd "$(dirname "$0")/.."
. benches/peers/python.sh
ours=$(cargo bench --quiet --locked -p metrology --bench wires)
theirs=$("$python" benches/peers/wires.py)
if [ "$(value "$ours" reading_mm)" != "$(value "$theirs" reading_mm)" ]; then
    echo "the two do not agree: $(value "$ours" reading_mm) $(value "$theirs" reading_mm)" >&2
    exit 1
fi
awk -v m="$(value "$ours" reading)" -v d="$(value "$ours" size)" -v t="$(value "$ours" transcendental)" \
    -v peer="$(value "$theirs" scipy)" 'BEGIN {
    print "| exact reading over wires | ns | |"
    print "|---|---:|---|"
    printf "| midflank, reading from size | %.0f | %.0f times as fast as SciPy, %.1f times one evaluation'"'"'s functions |\n", m * 1e9, peer / m, m / t
    printf "| midflank, size from reading | %.0f | |\n", d * 1e9
    printf "| SciPy, brentq | %.0f | |\n", peer * 1e9
}'
