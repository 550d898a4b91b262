#!/usr/bin/env bash
# Monte Carlo of 10^6 trials with ten inputs against NumPy, on this machine; prints the table of the README.
set -euo pipefail
cd "$(dirname "$0")/.."
. benches/peers/python.sh
ours=$(cargo bench --quiet --locked -p metrology --bench monte_carlo)
theirs=$("$python" benches/peers/monte_carlo.py)
awk -v one="$(value "$ours" one_thread)" -v all="$(value "$ours" all_cores)" -v draw="$(value "$ours" drawing_only)" \
    -v peer="$(value "$theirs" numpy)" -v u="$(value "$ours" standard_uncertainty)" \
    -v v="$(value "$theirs" standard_uncertainty)" 'BEGIN {
    print "| 10^6 trials, ten inputs | ms | |"
    print "|---|---:|---|"
    printf "| midflank, all cores | %.0f | %.1f times as fast as NumPy |\n", all * 1e3, peer / all
    printf "| midflank, one thread | %.0f | %.1f times as fast as NumPy, %.2f times the drawing |\n", one * 1e3, peer / one, one / draw
    printf "| drawing the numbers, one thread | %.0f | |\n", draw * 1e3
    printf "| NumPy, vectorised | %.0f | |\n", peer * 1e3
    d = u - v; if (d < 0) d = -d
    # The same model: both standard deviations are good to 1 in 1400.
    if (d > 0.004 * u) { print "the two do not agree: " u " " v > "/dev/stderr"; exit 1 }
}'
