"""Checks that peer and program answer the same threads, and counts the limits that differ: a race of two who do not do
the same work says nothing. Floats and formulas differ from exact decimals and tables in few last digits.

usage: compare.py PEER PROGRAM
"""

import json
import sys

lines = limits = differ = 0
with open(sys.argv[1]) as peer, open(sys.argv[2]) as program:
    for one, other in zip(peer, program, strict=True):
        one, other = json.loads(one), json.loads(other)
        lines += 1
        if "error" in one or "error" in other:
            sys.exit(f"line {lines} has no answer: {one} {other}")
        for diameter in ("major", "pitch_diameter", "minor"):
            for end in ("max", "min"):
                limits += 1
                differ += one[diameter][end] != other[diameter][end]
if differ > 0.05 * limits:
    sys.exit(f"{differ} of {limits} limits differ: the two do not do the same work")
print(f"# {differ} of {limits} limits differ in a last digit", file=sys.stderr)
