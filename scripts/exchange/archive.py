"""Checks the archives in a folder: every line against the schema, then the recipes of docs/exchange.md, whose answers are compared
with the list of the ledger."""

import json
import os
import re
import sys
from pathlib import Path

import duckdb
from jsonschema import Draft202012Validator

docs = Path("docs").resolve()
os.chdir(sys.argv[1])

schema = json.loads((docs / "archive.schema.json").read_text())
Draft202012Validator.check_schema(schema)
validator = Draft202012Validator(schema)
listed = [json.loads(line) for line in Path("list.ndjson").read_text().splitlines()]
assert listed, "the ledger is empty"

for folder in ("archive", "whole"):
    # A column that no text contains keeps each line whole.
    texts = duckdb.sql(
        f"SELECT column0 FROM read_csv('{folder}/*.ndjson.zst', header = false, sep = '\x01', quote = '', escape = '', "
        "columns = {'column0': 'VARCHAR'}, max_line_size = 20000000)"
    ).fetchall()
    lines = [json.loads(text) for (text,) in texts]
    for line in lines:
        validator.validate(line)
    assert {line["id"] for line in lines} == {entry["id"] for entry in listed}, folder
    assert len(lines) == len(listed), folder
    documents = {"inputs", "results", "editions", "words"}
    for line in lines:
        assert documents & line.keys() == (documents if folder == "whole" else set())
    print(f"{folder}: {len(lines)} lines follow the schema")

recipes = re.findall(r"```sql\n(.*?)```", (docs / "exchange.md").read_text(), re.S)
answers = []
for recipe in recipes:
    answer = duckdb.execute(recipe).fetchall()
    print(recipe.splitlines()[0])
    print(*answer[:5], sep="\n")
    answers.append(answer)
parquet, current, verdicts, characteristics, instruments, csv = answers

inspections = [entry for entry in listed if entry["kind"] == "inspection" and not entry["amended_by"]]
assert inspections, "nothing was inspected"
assert sum(count for _, _, count in verdicts) == len(inspections)
assert sum(row[2] for row in characteristics) == len(inspections)
measured = [e for e in inspections if any(role == "instrument" for role, _ in e["subjects"])]
assert sum(count for _, count, _ in instruments) == len(measured)
entries, sizes = csv[0]
assert entries == len(listed)
by_parquet = duckdb.sql("SELECT sum(size) FROM read_parquet('parquet/*/*.parquet', union_by_name = true)").fetchall()[0][0]
assert abs(sizes - by_parquet) < 1e-9 * abs(by_parquet), (sizes, by_parquet)
print("the recipes answer as the ledger does")
