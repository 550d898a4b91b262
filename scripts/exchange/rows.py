"""The recipes of docs/exchange.md on an archive of so many rows: `rows.py FOLDER ROWS`. The rows are those of the archive in the
folder, again and again, each copy with identities of its own; so what every recipe has to answer is known from one copy. Prints
what each takes."""

import os
import re
import resource
import shutil
import sys
import time
from pathlib import Path

import duckdb

docs = Path("docs").resolve()
os.chdir(sys.argv[1])
wanted = int(sys.argv[2])

shutil.rmtree("many", ignore_errors=True)
os.makedirs("many/archive")
SOURCE = "read_json('archive/*.ndjson.zst', format = 'newline_delimited', union_by_name = true, sample_size = -1)"
once = duckdb.sql(f"SELECT count(*) FROM {SOURCE}").fetchall()[0][0]
copies = -(-wanted // once)
known = {
    "entries": once,
    "inspections": duckdb.sql(
        f"SELECT count(*) FROM {SOURCE} AS entry WHERE kind = 'inspection' "
        f"AND NOT EXISTS (SELECT 1 FROM {SOURCE} AS later WHERE later.amends = entry.id)"
    ).fetchall()[0][0],
    "sizes": duckdb.sql(f"SELECT sum(size) FROM {SOURCE}").fetchall()[0][0],
}
assert known["inspections"] > 0

duckdb.execute(f"CREATE TEMP TABLE once AS SELECT * FROM {SOURCE}")
months = duckdb.sql("SELECT DISTINCT left(recorded_at::VARCHAR, 7) FROM once ORDER BY 1").fetchall()
columns = {row[0]: row[1] for row in duckdb.sql("DESCRIBE once").fetchall()}
# Columns that are lists are left to the form that has them.
flat = [name for name, kind in columns.items() if "[" not in kind and "STRUCT" not in kind]
begun = time.perf_counter()
for (month,) in months:
    many = (
        "SELECT once.* REPLACE (id || '.' || copy AS id, amends || '.' || copy AS amends, "
        f"sequence + copy * {once} AS sequence) FROM once, range({copies}) AS copies(copy) "
        f"WHERE left(recorded_at::VARCHAR, 7) = '{month}'"
    )
    duckdb.execute(f"COPY ({many}) TO 'many/archive/{month}.ndjson.zst' (FORMAT json, COMPRESSION zstd)")
    names = ", ".join(f'"{name}"' for name in flat)
    duckdb.execute(f"COPY (SELECT {names} FROM ({many})) TO 'many/archive/{month}.csv.zst' (FORMAT csv, HEADER, COMPRESSION zstd)")
made = time.perf_counter() - begun
duckdb.execute("DROP TABLE once")

os.chdir("many")
recipes = re.findall(r"```sql\n(.*?)```", (docs / "exchange.md").read_text(), re.S)
answers, rows = [], []
for recipe in recipes:
    begun = time.perf_counter()
    answers.append(duckdb.execute(recipe).fetchall())
    rows.append((recipe.splitlines()[0].removeprefix("-- ").rstrip("."), time.perf_counter() - begun))
_, _, verdicts, characteristics, _, csv = answers
assert sum(count for _, _, count in verdicts) == copies * known["inspections"]
assert sum(row[2] for row in characteristics) == copies * known["inspections"]
entries, sizes = csv[0]
assert entries == copies * known["entries"]
assert abs(sizes - copies * known["sizes"]) < 1e-9 * abs(copies * known["sizes"])

packed = sum(file.stat().st_size for file in Path("archive").glob("*.ndjson.zst"))
memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(f"{copies * once} rows, {packed / 1e6:.0f} MB compressed, made in {made:.1f} s; {os.cpu_count()} cores, at most {memory:.0f} MiB\n")
print("| recipe | seconds |")
print("|---|---:|")
for name, took in rows:
    print(f"| {name} | {took:.2f} |")
os.chdir("..")
shutil.rmtree("many")
