"""The arithmetic of a lot in polars or DuckDB, lazily and on all cores: per piece the mean over the means of its positions, the error
curve taken from it, the other corrections, a verdict against the limits narrowed by U; written as CSV. No budget of its own, no
flags, no errors with line and column.

What does not depend on a piece (zero, temperature, U) is a line through two results of the program, `--from`; all the other pieces
then have to agree with it, or the comparison ends.

usage: lot.py polars|duckdb READINGS OUT --from PROGRAM.csv --limits LOWER UPPER --curve 0:0,2.5:0.0004,...
"""

import argparse
import csv
import resource
import sys
import time

parser = argparse.ArgumentParser()
parser.add_argument("engine", choices=["polars", "duckdb"])
parser.add_argument("readings")
parser.add_argument("out")
parser.add_argument("--from", dest="program", required=True)
parser.add_argument("--limits", nargs=2, type=float, required=True)
parser.add_argument("--curve", required=True)
asked = parser.parse_args()
lower, upper = asked.limits
curve = [tuple(map(float, point.split(":"))) for point in asked.curve.split(",")]


def known():
    """Sizes and U of the program, by piece, and the means of two pieces, the smallest and the largest."""
    with open(asked.program) as file:
        rows = {row["piece"]: row for row in csv.DictReader(file)}
    sizes = {piece: float(row["size"]) for piece, row in rows.items()}
    two = min(sizes, key=sizes.get), max(sizes, key=sizes.get)
    places = {piece: {} for piece in two}
    with open(asked.readings) as file:
        for row in csv.DictReader(file):
            if row["piece"] in places:
                places[row["piece"]].setdefault(row["place"], []).append(float(row["reading"]))
    mean = lambda values: sum(values) / len(values)
    means = [mean([mean(values) for values in places[piece].values()]) for piece in two]
    expanded = sorted(float(row["expanded_uncertainty"]) for row in rows.values())
    return sizes, [sizes[piece] for piece in two], means, expanded[len(expanded) // 2]


def error_at(x):
    for (a, at_a), (b, at_b) in zip(curve, curve[1:]):
        if x <= b:
            return at_a + (x - a) / (b - a) * (at_b - at_a)
    return curve[-1][1]


sizes, ends, means, expanded = known()
without = [mean - error_at(mean) for mean in means]
slope = (ends[1] - ends[0]) / (without[1] - without[0])
offset = ends[0] - slope * without[0]


def by_polars():
    import polars as pl

    begun = time.perf_counter()
    mean = pl.col("mean")
    error = pl.lit(curve[-1][1])
    for (a, at_a), (b, at_b) in reversed(list(zip(curve, curve[1:]))):
        error = pl.when(mean <= b).then(at_a + (mean - a) / (b - a) * (at_b - at_a)).otherwise(error)
    size = pl.col("size")
    within = (size >= lower + expanded) & (size <= upper - expanded)
    outside = (size < lower - expanded) | (size > upper + expanded)
    (
        pl.scan_csv(asked.readings)
        .filter(pl.col("characteristic") != "zero")
        .group_by("piece", "characteristic", "place")
        .agg(pl.col("reading").mean(), pl.len().alias("n"))
        .group_by("piece", "characteristic")
        .agg(pl.col("reading").mean().alias("mean"), pl.col("n").sum())
        .with_columns((offset + slope * (mean - error)).alias("size"))
        .with_columns(
            pl.lit(expanded).alias("expanded_uncertainty"),
            pl.when(within).then(pl.lit("accept")).when(outside).then(pl.lit("reject")).otherwise(pl.lit("undecided")).alias("decision"),
        )
        .select("piece", "characteristic", "size", "expanded_uncertainty", "decision", "n")
        .sink_csv(asked.out)
    )
    return time.perf_counter() - begun


def by_duckdb():
    import duckdb

    connection = duckdb.connect()
    begun = time.perf_counter()
    steps = " ".join(
        f"WHEN mean <= {b!r} THEN {at_a!r} + (mean - {a!r}) / {b - a!r} * {at_b - at_a!r}"
        for (a, at_a), (b, at_b) in zip(curve, curve[1:])
    )
    connection.execute(f"""COPY (
        SELECT piece, characteristic, size, {expanded!r} AS expanded_uncertainty,
          CASE WHEN size BETWEEN {lower + expanded!r} AND {upper - expanded!r} THEN 'accept'
               WHEN size < {lower - expanded!r} OR size > {upper + expanded!r} THEN 'reject' ELSE 'undecided' END AS decision, n
        FROM (SELECT piece, characteristic, n, {offset!r} + {slope!r} * (mean - CASE {steps} ELSE {curve[-1][1]!r} END) AS size
              FROM (SELECT piece, characteristic, avg(reading) AS mean, sum(n) AS n
                    FROM (SELECT piece, characteristic, place, avg(reading) AS reading, count(*) AS n
                          FROM read_csv('{asked.readings}', columns = {{'piece': 'VARCHAR', 'characteristic': 'VARCHAR',
                              'place': 'VARCHAR', 'reading': 'DOUBLE', 'unit': 'VARCHAR'}})
                          WHERE characteristic <> 'zero' GROUP BY ALL)
                    GROUP BY ALL))
        ) TO '{asked.out}' (HEADER)""")
    return time.perf_counter() - begun


seconds = by_polars() if asked.engine == "polars" else by_duckdb()
memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
with open(asked.out) as file:
    answered = {row["piece"]: float(row["size"]) for row in csv.DictReader(file)}
if answered.keys() != sizes.keys():
    sys.exit(f"{asked.engine} has other pieces")
worst = max(abs(answered[piece] - size) for piece, size in sizes.items())
if worst > 1e-6:
    sys.exit(f"{asked.engine}: sizes differ by {worst} mm: the two do not do the same work")
print("seconds", seconds)
print("memory", memory)
print("worst", worst)
