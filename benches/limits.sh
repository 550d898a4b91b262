#!/bin/sh
# Limits of size of 200,000 designations: this program against the same formulas in plain Python, in one run.
#
# usage: benches/limits.sh [COUNT]
#
# Two streams: `repeated` draws from the standard threads, as lists of parts do; in `all different` no line comes twice.
# Python runs plain, and once more remembering its answers by line, as this program does. Each time is the shortest of
# three, wall clock, whole process. `same bytes` is the answer of the first line copied to a file by cat.
set -eu
cd "$(dirname "$0")/.."
count=${1:-200000}
program=${MIDFLANK:-target/release/midflank}
[ -x "$program" ] || cargo build --release --locked -p midflank
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# The shortest of three runs, in milliseconds: seconds input output command...
shortest() {
    input=$1 output=$2
    shift 2
    best=
    for _ in 1 2 3; do
        from=$(date +%s%N)
        "$@" < "$input" > "$output"
        took=$(( ($(date +%s%N) - from) / 1000000 ))
        if [ -z "$best" ] || [ "$took" -lt "$best" ]; then best=$took; fi
    done
    echo "$best"
}

printf '%-14s %12s %12s %12s %12s %9s %9s\n' "$count lines" 'python ms' 'remember ms' 'midflank ms' 'bytes ms' 'x python' 'x bytes'
for stream in repeated different; do
    python3 benches/designations.py "$count" "$stream" > "$work/in"
    plain=$(shortest "$work/in" "$work/peer" python3 benches/peers/limits.py)
    remember=$(shortest "$work/in" "$work/peer" python3 benches/peers/limits.py --remember)
    ours=$(shortest "$work/in" "$work/out" "$program" limits - --json)
    bytes=$(shortest "$work/out" "$work/copy" cat)
    python3 benches/peers/compare.py "$work/peer" "$work/out"
    awk -v s="$stream" -v p="$plain" -v r="$remember" -v o="$ours" -v b="$bytes" 'BEGIN {
        printf "%-14s %12d %12d %12d %12d %9.1f %9.1f\n", s, p, r, o, b, p / (o ? o : 1), o / (b ? b : 1) }'
done
