"""Times whole processes in turn and prints the median of each, and how much longer than the first it takes.

usage: start.py RUNS EMPTY PROGRAM
"""

import os
import statistics
import sys
import time

runs, empty, program = int(sys.argv[1]), sys.argv[2], sys.argv[3]
commands = {
    "empty Rust program": [empty],
    "midflank --version": [program, "--version"],
    "midflank limits M10": [program, "limits", "M10"],
    "midflank limits 1/4-20": [program, "limits", "1/4-20"],
}
nowhere = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)]


def once(command):
    start = time.perf_counter()
    pid = os.posix_spawn(command[0], command, os.environ, file_actions=nowhere)
    _, status = os.waitpid(pid, 0)
    took = time.perf_counter() - start
    if status != 0:
        sys.exit(f"{command}: {status}")
    return took * 1e3


taken = {name: [] for name in commands}
for _ in range(runs):
    for name, command in commands.items():
        taken[name].append(once(command))
first = statistics.median(taken["empty Rust program"])
for name, times in taken.items():
    median = statistics.median(times)
    print(f"{name:24} {median:6.2f} ms  {median - first:+6.2f} ms")
