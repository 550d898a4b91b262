#!/usr/bin/env bash
# The long loops: programs killed, system calls that fail, bytes changed, ledgers forged, inputs mutated, searches beside
# the bench. `scripts/long.sh [PERCENT]` runs so much of each, all of it if not said (a quarter of an hour on two cores);
# `cargo test` runs a hundredth. Prints the table of docs/reliability.md, or what failed.
set -euo pipefail
cd "$(dirname "$0")/.."

export MIDFLANK_LONG=${1:-100}
log=$(mktemp)
trap 'rm -f "$log"' EXIT

run() {
  if ! cargo test --release --locked --quiet "$@" --test-threads 1 --nocapture >"$log" 2>&1; then
    cat "$log" >&2
    exit 1
  fi
  grep -o '| .* |$' "$log"
}

echo "Commit $(git describe --always --dirty), $(date -u +%F), $(nproc) cores, $MIDFLANK_LONG percent."
echo
echo "| what | count | found | seconds |"
echo "|---|---|---|---|"
run -p ledger --features shop --test it -- killed:: torn:: concurrency::two_processes damage::a_byte
run -p midflank --test it -- loops::
run -p midflank --lib -- fuzz_targets::
run -p simulated-bench --test it -- lot_fraction::

# Records, reports and every page with all sentences disguised: nothing may depend on how one reads. CI runs a part of it.
MIDFLANK_DISGUISE=1 cargo test --locked --quiet -p midflank --features shop,sheets --test it -- \
  ledger:: forged:: inspect:: equipment:: features:: web:: >"$log" 2>&1 || { cat "$log" >&2; exit 1; }

# Lists and recalls of a million entries (docs/ledger.md), or of so many percent of them; fails where a page takes 100 ms.
echo
ENTRIES=$((10000 * MIDFLANK_LONG)) cargo bench --locked --quiet -p benches --features shop --bench known

# The recipes of docs/exchange.md on ten million rows, or on so many percent of them.
echo
scripts/exchange.sh $((100000 * MIDFLANK_LONG)) | sed -n '/ rows, /,/The CSV files/p'
