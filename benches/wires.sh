#!/usr/bin/env bash
# The exact reading over wires against a SciPy root finder on the same equation; prints the table of the README.
set -euo pipefail
cd "$(dirname "$0")/.."
. benches/peers/python.sh
ours=$(cargo bench --quiet --locked -p metrology --bench wires)
theirs=$("$python" benches/peers/wires.py)
for peer in reading_mm root_reading_mm; do
    if [ "$(value "$ours" reading_mm)" != "$(value "$theirs" $peer)" ]; then
        echo "the two do not agree: $(value "$ours" reading_mm) $(value "$theirs" $peer)" >&2
        exit 1
    fi
done
awk -v m="$(value "$ours" reading)" -v d="$(value "$ours" size)" -v t="$(value "$ours" transcendental)" \
    -v all="$(value "$ours" calls)" \
    -v brentq="$(value "$theirs" brentq)" -v root="$(value "$theirs" root)" 'BEGIN {
    print "| exact reading over wires | ns | midflank is faster by |"
    print "|---|---:|---:|"
    printf "| midflank, reading from size | %.0f | |\n", m * 1e9
    printf "| midflank, size from reading | %.0f | |\n", d * 1e9
    printf "| the functions of one solution (5 sqrt, 4 atan, sincos) | %.0f | |\n", all * 1e9
    printf "| the functions of one evaluation (sqrt, atan, sincos) | %.0f | |\n", t * 1e9
    printf "| SciPy, root on the contact conditions | %.0f | %.0f |\n", root * 1e9, root / m
    printf "| SciPy, brentq on the one equation left of them | %.0f | %.0f |\n", brentq * 1e9, brentq / m
}'
