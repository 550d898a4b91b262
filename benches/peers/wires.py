"""The exact reading over wires by a root finder: the peer of crates/metrology/benches/wires.rs.

`brentq` solves the one equation that the contact conditions reduce to, for the radius r at which the wire touches the
flank, bracketed about the radius without lead; `root` solves the conditions as they stand: contact point less R n lies on
the axis of measurement, three equations for r, θ and ρ. Prints `name seconds` for one solution, the best of several runs.
"""

import math
import time

from scipy.optimize import brentq, root

SOLUTIONS = 5_000
RUNS = 5


def reading(alpha, pitch, lead, d2, wire):
    tan, cos = math.tan(alpha), math.cos(alpha)
    c, ball, r2 = lead / (2 * math.pi), wire / 2, d2 / 2

    def place(r):
        s = math.sqrt(1 + tan * tan + (c / r) ** 2)
        theta = math.atan(-(ball * c / (s * r)) / (r + ball * tan / s))
        return s, theta

    def miss(r):
        s, theta = place(r)
        return c * theta + pitch / 4 + (r - r2) * tan - ball / s

    start = r2 + (ball * cos - pitch / 4) / tan
    r = brentq(miss, start - 0.1 * pitch, start + 0.1 * pitch, xtol=1e-14, rtol=1e-14)
    s, theta = place(r)
    rho = r * math.cos(theta) + (ball / s) * (tan * math.cos(theta) - c * math.sin(theta) / r)
    return 2 * rho + wire


def reading_by_root(alpha, pitch, lead, d2, wire):
    tan, cos = math.tan(alpha), math.cos(alpha)
    c, ball, r2 = lead / (2 * math.pi), wire / 2, d2 / 2

    def miss(unknown):
        r, theta, rho = unknown
        s = math.sqrt(1 + tan * tan + (c / r) ** 2)
        sin_t, cos_t = math.sin(theta), math.cos(theta)
        return (
            r * cos_t - ball * (c * sin_t / r - tan * cos_t) / s - rho,
            r * sin_t + ball * (c * cos_t / r + tan * sin_t) / s,
            c * theta + pitch / 4 + (r - r2) * tan - ball / s,
        )

    start = r2 + (ball * cos - pitch / 4) / tan
    found = root(miss, (start, 0.0, start + ball / 2), tol=1e-13)
    return 2 * found.x[2] + wire


def best(job):
    seconds = []
    for _ in range(RUNS):
        start = time.perf_counter()
        for number in range(SOLUTIONS):
            job(number)
        seconds.append((time.perf_counter() - start) / SOLUTIONS)
    return min(seconds)


alpha = math.radians(30)
print(f"reading_mm {reading(alpha, 1.5, 1.5, 9.026, 0.866):.10f}")
print(f"root_reading_mm {reading_by_root(alpha, 1.5, 1.5, 9.026, 0.866):.10f}")
print(f"root {best(lambda n: reading_by_root(alpha, 1.5, 1.5, 9.026 + n % 100 * 1e-4, 0.866)):.3e}")
print(f"brentq {best(lambda n: reading(alpha, 1.5, 1.5, 9.026 + n % 100 * 1e-4, 0.866)):.3e}")
