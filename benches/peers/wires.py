"""The exact reading over wires by a root finder: the peer of crates/metrology/benches/wires.rs.

The same equation in one unknown, the radius r at which the wire touches the flank; brentq brackets it about the radius
without lead. Prints `name seconds` for one solution, the best of several runs.
"""

import math
import time

from scipy.optimize import brentq

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
print(f"scipy {best(lambda n: reading(alpha, 1.5, 1.5, 9.026 + n % 100 * 1e-4, 0.866)):.3e}")
