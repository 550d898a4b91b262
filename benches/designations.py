"""Writes so many well-formed designations of the four classes that peers/limits.py knows.

`repeated` draws from the published tables; `different` makes special threads, none twice.

usage: designations.py COUNT [repeated|different]
"""

import csv
import pathlib
import random
import sys

data = pathlib.Path(__file__).resolve().parent.parent / "crates/metrology/data"
count, stream = int(sys.argv[1]), (sys.argv[2:] or ["repeated"])[0]
random.seed(965)
threads = []
if stream == "repeated":
    for row in csv.DictReader(open(data / "unified/series.csv")):
        if row["series"] in ("UNC", "UNF", "UNEF", "UN"):
            threads += [f"{row['size'].lstrip('#')}-{row['tpi']} {row['series']}-{side}" for side in ("2A", "2B")]
    for row in csv.DictReader(open(data / "iso-metric/sizes.csv")):
        for pitch in row["coarse_pitch_mm"].split() + row["fine_pitches_mm"].split():
            # Below, the class 6H is not defined.
            if float(pitch) >= 0.35:
                threads += [f"M{row['d_mm']}x{pitch}-{side}" for side in ("6g", "6H")]
    threads = random.choices(threads, k=count)
else:
    # Whole numbers keep the sizes apart: ten-thousandths of an inch, micrometres.
    inches = ((size, n, side) for n in (9, 10, 11, 13, 14, 18, 24) for size in range(3001, 29999, 2) for side in "AB")
    metric = ((size, p, side) for p in (1, 1.25, 1.5) for size in range(24001, 89999, 3) for side in "gH")
    for inch, mm in zip(inches, metric):
        threads.append(f"{inch[0] / 1e4:.4f}-{inch[1]} UNS-2{inch[2]}")
        threads.append(f"M{mm[0] / 1e3:.3f}x{mm[1]}-6{mm[2]}")
    if count > len(threads):
        sys.exit(f"at most {len(threads)} different ones")
    threads = threads[:count]
    random.shuffle(threads)
sys.stdout.write("".join(f"{thread}\n" for thread in threads))
