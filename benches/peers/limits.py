"""Limits of size of Unified 2A/2B and metric 6g/6H threads in plain Python: what `midflank limits -` is timed against.

The same formulas and rounding as crates/metrology/src/limits (ASME B1.1 with B1.30; ISO 965-1), the same JSON keys for
the sizes, no package beyond the standard library. It reads well-formed designations only and answers nothing that a
table decides (series, engagement of constant-pitch threads, disputes, notes), so it does less than what it is timed
against. Numbers are floats: quick, and wrong at ties; the decimal module would be slower still.

usage: limits.py [--remember] < designations > answers

--remember keeps every answer by its line.
"""

import functools
import json
import re
import sys
from math import sqrt

INCH = re.compile(r"^(?:#?(\d+)|(\d*\.\d+)|(?:(\d+) )?(\d+)/(\d+))-([\d.]+) (UN[A-Z]*)-([12])([AB])$")
METRIC = re.compile(r"^M([\d.]+)x([\d.]+)-6([gH])$")

# ISO 965-1: g and G in micrometres; the tolerances follow the formulas, rounded to preferred numbers.
R40 = [100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300, 315, 335,
       355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950, 1000]
RANGES = [0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45, 90, 180, 355]


def preferred(micrometres):
    decade = 1.0
    while micrometres / decade >= 1000:
        decade *= 10
    while micrometres / decade < 100:
        decade /= 10
    mantissa = micrometres / decade
    return round(min(R40, key=lambda number: abs(number - mantissa)) * decade)


def unified(match):
    number, decimal, whole, numerator, denominator, count, series, digit, letter = match.groups()
    if numerator:
        d = int(whole or 0) + int(numerator) / int(denominator)
    elif decimal:
        d = float(decimal)
    elif float(count) >= (20 if number in ("6", "8", "10", "12") else 40):
        d = 0.060 + 0.013 * int(number)
    else:
        d = float(number)
    n = float(count)
    p = round(1 / n, 8)
    d = round(d, 4)
    engagement = d if series in ("UNC", "UNF") or n <= 8 else 9 * p
    power = p ** (2 / 3)
    base = 0.0015 * d ** (1 / 3) + 0.0015 * sqrt(engagement) + 0.015 * power
    external = letter == "A"
    factor = {"1A": 1.5, "2A": 1.0, "1B": 1.95, "2B": 1.3}[digit + letter]
    tolerance = round(factor * base, 6)
    allowance = round(0.3 * round(base, 6), 4) if external else 0.0
    if external:
        major = round(d - allowance, 4)
        pitch = round(major - round(0.64951905 * p, 6), 4)
        major_tolerance = round((0.09 if digit == "1" else 0.06) * power, 6)
        limits = {
            "major": {"max": major, "min": round(major - major_tolerance, 4)},
            "pitch_diameter": {"max": pitch, "min": round(pitch - tolerance, 4)},
            "minor": {"max": round(major - round(1.19078493 * p, 6), 4), "min": None},
        }
    else:
        pitch = round(d - round(0.64951905 * p, 6), 4)
        minor = round(d - round(1.08253175 * p, 6), 4)
        if d < 0.25:
            free = 0.05 * power + 0.03 * p / max(d, 0.1) - 0.002
            minor_tolerance = min(max(free, 0.25 * p - 0.4 * p * p), 0.394 * p)
        else:
            minor_tolerance = 0.25 * p - 0.4 * p * p if n >= 4 else 0.15 * p
        decimals = 4 if d < 0.138 else 3
        limits = {
            "major": {"max": None, "min": d},
            "pitch_diameter": {"max": round(pitch + tolerance, 4), "min": pitch},
            "minor": {"max": round(minor + round(minor_tolerance, 4), decimals), "min": round(minor, decimals)},
        }
    return {"form": "unified", "kind": "external" if external else "internal", "unit": "in", "nominal": d, "pitch": p,
            "lead": p, "starts": 1, "hand": "right", "included_angle_deg": 60.0, "class": digit + letter,
            "allowance": allowance, "engagement": engagement, **limits}


def metric(match):
    d, p, letter = float(match[1]), float(match[2]), match[3]
    external = letter == "g"
    shift = preferred(15 + 11 * p) / 1000 if external else 0.0
    index = next(i for i in range(9) if d <= RANGES[i + 1])
    mean = sqrt(RANGES[index] * RANGES[index + 1])
    six = preferred(90 * p**0.4 * mean**0.1)
    basic_pitch = round(d - 0.649519053 * p, 3)
    basic_minor = round(d - 1.082531755 * p, 3)
    if external:
        tolerance, crest = six / 1000, preferred(180 * p ** (2 / 3) - 3.15 / sqrt(p)) / 1000
        pitch_max = round(basic_pitch - shift, 3)
        pitch_min = round(pitch_max - tolerance, 3)
        limits = {
            "major": {"max": round(d - shift, 3), "min": round(d - shift - crest, 3)},
            "pitch_diameter": {"max": pitch_max, "min": pitch_min},
            "minor": {"max": round(basic_minor - shift, 3), "min": round(pitch_min - 0.616025404 * p, 3)},
        }
    else:
        tolerance = preferred(1.32 * six) / 1000
        crest = preferred(433 * p - 190 * p**1.22 if p < 1 else 230 * p**0.7) / 1000
        limits = {
            "major": {"max": None, "min": d},
            "pitch_diameter": {"max": round(basic_pitch + tolerance, 3), "min": basic_pitch},
            "minor": {"max": round(basic_minor + crest, 3), "min": basic_minor},
        }
    return {"form": "iso-metric", "kind": "external" if external else "internal", "unit": "mm", "nominal": d,
            "pitch": p, "lead": p, "starts": 1, "hand": "right", "included_angle_deg": 60.0, "class": "6" + letter,
            "allowance": shift, "engagement": None, **limits}


def answer(line):
    designation = line.rstrip("\n")
    match = INCH.match(designation)
    if match:
        found = unified(match)
    else:
        match = METRIC.match(designation)
        found = metric(match) if match else {"error": "not read"}
    return json.dumps({"designation": designation, **found}) + "\n"


def main():
    write = sys.stdout.write
    look_up = functools.cache(answer) if "--remember" in sys.argv else answer
    for line in sys.stdin:
        write(look_up(line))


if __name__ == "__main__":
    main()
