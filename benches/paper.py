"""Times sheets as PDF beside a browser that prints the same HTML: `paper.py PROGRAM FOLDER RUNS SHEETS [BROWSER]`."""

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

program, folder, runs, sheets, browser = sys.argv[1], Path(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4]), sys.argv[5]


def process(command):
    begun = time.perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True)
    return time.perf_counter() - begun


def written(content):
    begun = time.perf_counter()
    with open(folder / "written", "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    return time.perf_counter() - begun


def median(measure):
    return statistics.median(measure() for _ in range(runs))


def pages(file):
    told = subprocess.run(["pdfinfo", file], capture_output=True, text=True, check=True).stdout
    return next(line.split()[1] for line in told.splitlines() if line.startswith("Pages:"))


rows = []
for name, arguments in (("one record", ["report", "1"]), ("a lot of 500 pieces", ["lot", "L-2026-11"])):
    pdf = folder / "sheet.pdf"
    took = median(lambda: process([program, *arguments, "--pdf", str(pdf), "--replace"]))
    rows.append((f"midflank, {name}", took, pdf.stat().st_size, pages(pdf)))
    content = pdf.read_bytes()
    rows.append((f"writing the bytes of {name}, with fsync", median(lambda: written(content)), len(content), ""))
    if browser:
        html = folder / ("record.html" if arguments[0] == "report" else "lot.html")
        printed = folder / "printed.pdf"
        flags = ["--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", f"--user-data-dir={folder}/browser"]
        took = median(lambda: process([browser, *flags, f"--print-to-pdf={printed}", f"file://{html}"]))
        rows.append((f"Chromium, {name}", took, printed.stat().st_size, pages(printed)))

begun = time.perf_counter()
for number in range(sheets):
    process([program, "report", str(1 + number % 500), "--pdf", str(folder / "sheet.pdf"), "--replace"])
all_of_them = time.perf_counter() - begun

print(f"median of {runs}, {os.cpu_count()} cores, whole processes one after the other\n")
print("| what | ms | kB | pages |")
print("|---|---:|---:|---:|")
for name, took, size, count in rows:
    print(f"| {name} | {took * 1000:.1f} | {size / 1000:.0f} | {count} |")
print(f"\n{sheets} sheets of one record each: {all_of_them:.1f} s, {60 * sheets / all_of_them:.0f} a minute")
