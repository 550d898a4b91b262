#!/usr/bin/env python3
"""Inspect one job of many readings: at one place, place by place, and each on its own.

usage: benches/readings.py [COUNT]

Prints wall time and peak memory of the whole process; fails where 100,000 readings (the default) take more than 1 s or
200 MB. Readings are drawn at random about a good pitch diameter, a few of them a turn of the thimble off.
"""

import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PROGRAM = Path(os.environ.get("MIDFLANK", ROOT / "target/release/midflank"))
MOST_SECONDS, MOST_MEGABYTES = 1.0, 200.0


def jobs(folder, count):
    """A job file for each way to write readings down, by its name."""
    demo = (ROOT / "demo/1-rating-screw.toml").read_text()
    before, rest = demo.split("[[readings.place]]", 1)
    after = rest[rest.index("\n[temperature]"):]
    draw = random.Random(1)
    sizes = [f"{draw.gauss(8.928, 0.002) + 0.5 * (draw.random() < 0.002):.3f}" for _ in range(count)]
    listed = ", ".join(f'"{size}"' for size in sizes)
    (folder / "places.csv").write_text(
        "along,angle,reading\n" + "".join(f"section {n // 3},{n % 360},{size}\n" for n, size in enumerate(sizes))
    )
    bodies = {
        "one place": f'[[readings.place]]\nalong = "middle"\nvalues = [{listed}]\n',
        "each alone": f"[readings]\nvalues = [{listed}]\n",
        "CSV by place": '[readings]\nfile = "places.csv"\n',
    }
    for name, body in bodies.items():
        job = folder / f"{name}.toml"
        job.write_text(before + body + after)
        yield name, job


def main():
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    good = True
    with tempfile.TemporaryDirectory() as folder:
        for name, job in jobs(Path(folder), count):
            for form in ([], ["--json"]):
                begun = time.monotonic()
                process = subprocess.Popen([PROGRAM, "inspect", job, *form], stdout=subprocess.DEVNULL)
                _, status, used = os.wait4(process.pid, 0)
                seconds, megabytes = time.monotonic() - begun, used.ru_maxrss / 1024
                print(f"{count} readings, {name:<13} {' '.join(form) or 'text':<7} {seconds:6.2f} s {megabytes:6.0f} MB")
                good &= status == 0
                good &= count > 100_000 or (seconds <= MOST_SECONDS and megabytes <= MOST_MEGABYTES)
    sys.exit(0 if good else 1)


main()
