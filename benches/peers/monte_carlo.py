"""Monte Carlo of a model with ten inputs, vectorised: the peer of crates/metrology/benches/monte_carlo.rs.

Prints `name seconds`, the best of several runs. Mean, standard deviation and shortest interval, as there.
"""

import time

import numpy as np

TRIALS = 1_000_000
RUNS = 7


def normal(random, estimate, u):
    return random.normal(estimate, u, TRIALS)


def rectangular(random, estimate, half_width):
    return random.uniform(estimate - half_width, estimate + half_width, TRIALS)


def draw(random):
    return (
        normal(random, 10.0, 0.0004),
        normal(random, 8.93, 0.0008),
        normal(random, 10.0, 0.0003),
        rectangular(random, 11.5e-6, 1.15e-6),
        normal(random, 1.2, 0.3),
        rectangular(random, 20.5e-6, 2.05e-6),
        normal(random, 1.4, 0.3),
        rectangular(random, 0.0, 0.0005),
        rectangular(random, 0.0, 0.0005),
        rectangular(random, 0.0, 0.001),
    )


def trial():
    random = np.random.Generator(np.random.PCG64DXSM(1))
    a, b, c, d, e, f, g, h, i, j = draw(random)
    y = (a + b - c) * (1 + d * e) / (1 + f * g) + h - i - j
    mean, u = y.mean(), y.std(ddof=1)
    y.sort()
    q = int(0.95 * TRIALS + 0.5)
    lengths = y[q:] - y[:-q]
    r = int(lengths.argmin())
    return mean, u, y[r], y[r + q]


def best(job):
    seconds = []
    for _ in range(RUNS):
        start = time.perf_counter()
        job()
        seconds.append(time.perf_counter() - start)
    return min(seconds)


print(f"numpy {best(trial):.6f}")
print(f"standard_uncertainty {trial()[1]:.9f}")
