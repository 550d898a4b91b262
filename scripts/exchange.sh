#!/usr/bin/env bash
# Checks the archive of an example year: every line against its schema, and the recipes of docs/exchange.md with DuckDB. And the
# workbook of a lot, with another reader and writer. `scripts/exchange.sh [ROWS]` runs the recipes on so many rows as well.
# Needs python3 with venv; the packages come from PyPI on first use.
set -euo pipefail
cd "$(dirname "$0")/.."
peers=target/exchange
if ! cmp -s scripts/exchange/requirements.txt "$peers/requirements.txt"; then
  python3 -m venv --clear "$peers"
  "$peers/bin/pip" install --quiet --disable-pip-version-check -r scripts/exchange/requirements.txt
  cp scripts/exchange/requirements.txt "$peers/requirements.txt"
fi
cargo build --locked --quiet -p midflank --features shop,sheets
midflank=$PWD/target/debug/midflank
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
export XDG_DATA_HOME=$folder/data XDG_CONFIG_HOME=$folder/config
unset MIDFLANK_LEDGER
"$midflank" --ledger "$folder/year.db" demo --year >/dev/null 2>&1
for job in demo/[1-3]-*.toml; do
  "$midflank" --ledger "$folder/year.db" inspect "$job" --record >/dev/null
done
"$midflank" --ledger "$folder/year.db" export "$folder/archive" >/dev/null
"$midflank" --ledger "$folder/year.db" export "$folder/archive" --csv >/dev/null
"$midflank" --ledger "$folder/year.db" export "$folder/whole" --documents >/dev/null
"$midflank" --ledger "$folder/year.db" ledger list --json >"$folder/list.ndjson"
"$peers/bin/python" scripts/exchange/archive.py "$folder"
if [ $# -gt 0 ]; then
  "$peers/bin/python" scripts/exchange/rows.py "$folder" "$1"
fi

# A lot goes out as a workbook; read and written again by another program, its readings give the same results.
sed 's/^unit =/measured_at = 2026-03-10T09:00:00Z\n&/' demo/lot/setup.toml >"$folder/setup.toml"
lot() { "$midflank" --ledger "$folder/lot.db" "$@"; }
inspect() { lot inspect demo/lot/plan.toml --setup "$folder/setup.toml" --readings "$@" 2>/dev/null; }
inspect demo/lot/readings.csv --record >/dev/null
lot plan demo/lot/plan.toml --person "A. Quill" >/dev/null 2>&1
lot lot L-2026-11 --begin IP-0412-4 --person "A. Quill" >/dev/null
lot lot L-2026-11 --json >"$folder/lot.ndjson"
lot lot L-2026-11 --xlsx "$folder/lot.xlsx" >/dev/null
"$peers/bin/python" scripts/exchange/sheets.py "$folder"
inspect demo/lot/readings.csv --json >"$folder/first.ndjson"
for book in lot theirs; do
  inspect "$folder/$book.xlsx" --json >"$folder/$book.again.ndjson"
  cmp "$folder/first.ndjson" "$folder/$book.again.ndjson"
done
