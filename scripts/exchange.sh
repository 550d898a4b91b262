#!/usr/bin/env bash
# Checks the archive of an example year: every line against its schema, and the recipes of docs/exchange.md with DuckDB.
# Needs python3 with venv; the packages come from PyPI on first use.
set -euo pipefail
cd "$(dirname "$0")/.."
peers=target/exchange
if ! cmp -s scripts/exchange/requirements.txt "$peers/requirements.txt"; then
  python3 -m venv --clear "$peers"
  "$peers/bin/pip" install --quiet --disable-pip-version-check -r scripts/exchange/requirements.txt
  cp scripts/exchange/requirements.txt "$peers/requirements.txt"
fi
cargo build --locked --quiet -p midflank
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
